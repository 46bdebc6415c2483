//! What a promise could be lowered to: the figure that is within the rating, in the steps of the trade.

use crate::claims::{Claim, Verdict};
use crate::rules::Context;
use crate::units::show::{down_to_step, significant};
use crate::units::{Unit, math, steps};

/// The promise as it would be written; nothing where none is rated, or where what is stated isn't a
/// promise but a length of line that is in the box.
pub(super) fn offered(context: &Context, verdict: &Verdict) -> Option<String> {
    let rated = verdict.rated.filter(|rated| *rated > 0.0)?;
    let (unit, stated) = (verdict.unit, verdict.si);
    match verdict.claim {
        // Less is the better promise here, so it is raised.
        Claim::Power | Claim::RunningCost | Claim::Sound => {
            steps::at_least(unit, rated).filter(|_| rated > stated)
        }
        Claim::AirlineLength if !is_allowed(context, verdict) => None,
        // Half a metre less would take more from a shallow promise than the physics does.
        Claim::Depth => two_digits(unit, rated).filter(|_| rated < stated),
        _ => steps::at_most(unit, rated).filter(|_| rated < stated),
    }
}

/// Whether a length of airline is one that the buyer may fit, not one that is supplied.
fn is_allowed(context: &Context, verdict: &Verdict) -> bool {
    let package = context.catalog.packages.get(&verdict.package);
    let options = package.map_or(&[][..], |package| &package.options);
    let allowed = options.iter().filter_map(|option| option.allows.known());
    let mut lengths = allowed.flatten().filter_map(|one| one.up_to.known());
    lengths.any(|length| length.at == verdict.at)
}

/// The greatest depth of two digits that isn't above `si`.
fn two_digits(unit: Unit, si: f64) -> Option<String> {
    let value = unit.from_si(si);
    let step = math::powi(10.0, math::log10(value.max(1e-300)).floor() as i32 - 1);
    let rounded = down_to_step(value, step);
    (rounded.is_finite() && rounded > 0.0).then(|| format!("{} {unit}", significant(rounded, 6)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_depth_is_lowered_to_two_digits() {
        for (spelling, value, is) in [
            ("m", 2.29, "2.2 m"),
            ("m", 2.3, "2.3 m"),
            ("m", 12.97, "12 m"),
            ("m", 0.968, "0.96 m"),
            ("ft", 6.93, "6.9 ft"),
            ("ft", 10.0, "10 ft"),
            ("in", 94.8, "94 in"),
        ] {
            let unit = Unit::known(spelling).unwrap();
            let lowered = two_digits(unit, unit.to_si(value));
            assert_eq!(lowered.as_deref(), Some(is), "{value} {spelling}");
        }
        assert_eq!(two_digits(Unit::known("m").unwrap(), 0.0), None);
    }
}
