//! What power a package takes: the sum over its compressors and its fan.

use crate::assumptions::{Ends, Name, Values};
use crate::catalog::Figure;
use crate::derive::machine::{self, Watts};
use crate::derive::{Corner, Missing, Solver, Way};
use crate::physics::power::isothermal_power;
use crate::units::Dimension;
use crate::units::quantity::{FreeAir, GaugePressure};

use super::criterion::{Criterion, Measured, Sense};
use super::verdict::{Claim, Verdict, lenient, over_offers};
use super::without_machine;
use super::{Ground, each};

/// What one way to buy a package takes at the least and at the most, W: by the figures of its parts or, where a curve
/// states its watts, at its duty point; and never less than the work its machines do.
///
/// # Errors
/// The part whose power isn't known.
pub(super) fn taken(ground: &Ground, way: Way) -> Result<Watts, Missing> {
    let (catalog, package) = (ground.catalog, ground.facts.package);
    let stated = machine::watts(catalog, package, way)?;
    let fan = machine::fan(catalog, package, way)?;
    let fan = fan.map_or(0.0, |(fan, count)| fan.low() * f64::from(count));
    let (mut least, mut work): (f64, Option<f64>) = (stated.least, None);
    for solver in solvers(ground, way) {
        let corners = Corner::ALL.iter().filter_map(|at| solver.corner(*at));
        let drawn = corners.filter_map(|settled| Some(settled.duty().power?.value));
        least = drawn.map(|drawn| drawn + fan).fold(least, f64::min);
        work = least_work(solver).into_iter().chain(work).reduce(f64::min);
    }
    let work = work.unwrap_or(0.0);
    Ok(Watts {
        least: least.max(work),
        most: stated.most.max(work),
    })
}

/// One way to buy a package, in each way it may be laid that can be solved.
fn solvers<'a>(ground: &'a Ground, way: Way) -> impl Iterator<Item = &'a Solver<'a>> {
    let id = |way: Way| way.option().map(|option| option.id.clone());
    let own = id(way);
    let ways = ground.facts.ways.iter();
    let ways = ways.filter(move |one| id(one.way) == own);
    ways.filter_map(|one| one.solver.as_deref().ok())
}

/// The least work in W that compresses the air it delivers at its depth, with everything for it; nothing where no duty
/// point is known. No machine takes less, whatever its plate says.
fn least_work(solver: &Solver) -> Option<f64> {
    let settled = solver.corner(Corner::LeastFlow)?;
    let pressure = GaugePressure::pascals(settled.pressure()?);
    let air = FreeAir::cubic_metres_per_second(settled.delivered()?);
    let work = isothermal_power(air, solver.plant.site.pressure, pressure);
    Some(work.value.value)
}

/// Between the least and the most that the parts' figures come to, under one calculation's values.
pub(super) fn within(watts: Watts, values: &Values) -> f64 {
    watts.most + (watts.least - watts.most) * values[Name::StatedRange]
}

/// The ranges that a sum of watts depends on.
pub(super) fn depends(watts: Watts) -> Vec<Name> {
    let ranged = watts.least < watts.most;
    ranged.then_some(Name::StatedRange).into_iter().collect()
}

/// Judges every claimed power: it can't be less than what the parts take, nor than the work they do.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.power;
    each(ground, Claim::Power, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Power, figure);
    // The size of a motor says nothing for or against the watts that the parts draw.
    if figure.quantity.unit().is_of_a_shaft() {
        let fact = "the watts it draws; horsepower is what a motor's shaft gives";
        return verdict.without(Missing::absent(fact, None));
    }
    let most = lenient(figure, figure.high(), Sense::AtMost);
    let times = ground.times(figure);
    let criterion = |way| {
        let watts = taken(ground, way)?;
        Ok(Criterion {
            name: "power",
            says: "power of the parts together",
            dimension: Dimension::Power,
            sense: Sense::AtMost,
            bad: Ends::UNFAVOURABLE,
            turns: &[],
            depends: depends(watts),
            measure: Box::new(move |values| Measured {
                value: Some(within(watts, values) / times),
                needed: most,
                ..Measured::default()
            }),
        })
    };
    match over_offers(ground, &mut verdict, criterion) {
        Some(best) => verdict.settle_by_one(ground, &best.criteria, best.judged),
        None => verdict = without_machine::power(ground, most, times, verdict),
    }
    verdict
}
