//! What power a package takes: the sum over its compressors and its fan.

use crate::derive::{Corner, Missing, Way, machine};
use crate::physics::power::isothermal_power;
use crate::units::Dimension;
use crate::units::quantity::{FreeAir, GaugePressure};

use super::Ground;
use super::criterion::{Criterion, Measured, Sense};
use super::verdict::{Claim, Verdict, lenient};
use super::without_machine;

/// Electrical power of the package in W: each compressor's upper figure, and the fan.
///
/// # Errors
/// The part whose power isn't known.
pub fn sum(ground: &Ground) -> Result<f64, Missing> {
    let way = ground.facts.ways.first().map_or(Way::Own, |way| way.way);
    machine::watts(ground.catalog, ground.facts.package, way)
}

/// The least work in W that compresses the air a package delivers at its depth, of the way that takes least, with
/// everything for it; nothing where no duty point is known. No machine takes less, whatever its plate says.
pub fn least_work(ground: &Ground) -> Option<f64> {
    let ways = ground.facts.ways.iter();
    let solvers = ways.filter_map(|way| way.solver.as_ref().ok());
    let works = solvers.filter_map(|solver| {
        let settled = solver.corner(Corner::LeastFlow)?;
        let pressure = GaugePressure::pascals(settled.pressure()?);
        let air = FreeAir::cubic_metres_per_second(settled.delivered()?);
        let work = isothermal_power(air, solver.plant.site.pressure, pressure);
        Some(work.value.value)
    });
    works.reduce(f64::min)
}

/// Judges every claimed power: it can't be less than what the parts take, nor than the work they do.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .power
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        let mut verdict = Verdict::new(ground, Claim::Power, figure);
        let watts = match sum(ground) {
            Ok(watts) => watts,
            Err(missing) => {
                let most = lenient(figure, figure.high(), Sense::AtMost);
                let verdict = verdict.without(missing);
                verdicts.push(without_machine::power(
                    ground,
                    most,
                    ground.times(figure),
                    verdict,
                ));
                continue;
            }
        };
        let most = lenient(figure, figure.high(), Sense::AtMost);
        let watts = watts.max(least_work(ground).unwrap_or(0.0)) / ground.times(figure);
        let criterion = Criterion {
            name: "power",
            says: "power of the parts together",
            dimension: Dimension::Power,
            sense: Sense::AtMost,
            bad: |_| crate::assumptions::End::Unfavourable,
            turns: &[],
            depends: Vec::new(),
            measure: Box::new(move |_| Measured {
                value: Some(watts),
                needed: most,
                ..Measured::default()
            }),
        };
        verdict.judge_by_one(ground, vec![criterion]);
        verdicts.push(verdict);
    }
}
