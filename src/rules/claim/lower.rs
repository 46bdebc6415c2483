//! What a promise could be lowered to: the figure that is within the rating, in the steps of the trade.

use crate::claims::{Claim, Verdict};
use crate::rules::Context;
use crate::units::steps;

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
