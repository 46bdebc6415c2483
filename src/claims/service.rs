//! New, and in service: what is left of a depth and its air after a season.
//!
//! Verdicts are for equipment as delivered. Diffusers foul, diaphragms and vanes wear, a filter loads, volts
//! sag and water stands in the low places of a line. What remains then is shown beside the verdict, and where
//! only the new machine keeps the promise a reader is told so.

use crate::assumptions::{End, Name};
use crate::derive::machine;
use crate::derive::{Corner, Plant, Solver};
use crate::physics::power::Technology;

use super::Ground;
use super::criterion::Sense;
use super::depth::deepest;
use super::verdict::{Claim, InService, Verdict, lenient};

/// Says of a verdict on a depth what remains of it; nothing where the plant in service can't be calculated.
pub fn add(ground: &Ground, verdict: &mut Verdict) {
    let way = verdict.way.map(|place| &ground.facts.ways[place]);
    if let Some(Ok(solver)) = way.map(|way| &way.solver)
        && verdict.claim == Claim::Depth
    {
        verdict.in_service = of(ground, solver, verdict);
    }
}

fn of(ground: &Ground, solver: &Solver, verdict: &Verdict) -> Option<InService> {
    let ends = [End::Unfavourable, End::Central, End::Favourable];
    let central = ground.assumptions.central();
    let worn = ends.map(|end| solver.with(worn(ground, solver.plant.clone(), end)));
    let depth = [0, 1, 2].map(|end| deepest(&worn[end], &central, &central));
    let flow = [0, 1, 2].map(|end| worn[end].corner(Corner::Central)?.delivered());
    // With its last digit in its favour, as the promise itself is judged.
    let rows = ground.facts.package.claims.depth.known();
    let row = rows.into_iter().flatten().find(|row| row.at == verdict.at);
    let promised = row.map_or(verdict.si, |row| lenient(row, verdict.si, Sense::AtLeast));
    depth[1]?;
    Some(InService {
        depth,
        flow,
        holds: depth[1].map(|depth| depth >= promised),
    })
}

/// A plant after a season, every kind of wear at `end` of its range.
fn worn<'c>(ground: &Ground, plant: Plant<'c>, end: End) -> Plant<'c> {
    let at = |name: Name| ground.assumptions[name].at(end);
    let flow = plant
        .machines
        .iter()
        .map(|machine| {
            let technology = machine::technology(machine.part);
            let wears = technology.is_none_or(|of| {
                matches!(
                    of,
                    Technology::LinearDiaphragm | Technology::Diaphragm | Technology::RotaryVane
                )
            });
            // An electromagnet pulls as the volts do; a motor keeps its speed.
            let sags = technology.is_some_and(Technology::is_resonant);
            let worn = if wears { at(Name::WornCurve) } else { 1.0 };
            let low = if sags { at(Name::LowVoltage) } else { 1.0 };
            worn * low
        })
        .fold(1.0, f64::min)
        * at(Name::WornFilter);
    let plant = plant
        .with_losses_times(at(Name::WornDiffuserLoss))
        .with_flow_times(flow);
    let has_lines = plant.outlets.iter().any(|outlet| outlet.run_length() > 0.0);
    if has_lines {
        plant.with_water_in_lines(at(Name::SagWater))
    } else {
        plant
    }
}
