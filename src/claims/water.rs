//! What a package does to the water, where that is promised in figures: turnovers a day, water
//! lifted, the volume of the pond.

use std::sync::Arc;

use crate::assumptions::{Ends, Name, Values};
use crate::catalog::{Basin, Figure, Given};
use crate::derive::corners::{LEAST_FLOW, PLUME};
use crate::derive::pond::Setting;
use crate::derive::{Missing, Pond, Solver};
use crate::physics::Breach;
use crate::units::Dimension;

use super::criterion::{Criterion, Judged, Measured, Outcome, Sense};
use super::depth::solver_at;
use super::running_cost::Period;
use super::verdict::{Claim, Verdict, at_least, in_favour, over_ways, worst};
use super::without_machine;
use super::{Ground, each, is_open};

/// Judges turnover, water moved and volume.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let claims = &ground.facts.package.claims;
    let mut all = |claim, rows, judge: fn(&Ground, &Figure) -> Verdict| {
        each(ground, claim, rows, verdicts, |figure| {
            judge(ground, figure)
        });
    };
    all(Claim::Turnover, &claims.turnover, turnover);
    all(Claim::Volume, &claims.volume, volume);
    all(Claim::WaterMoved, &claims.water_moved, water_moved);
}

/// The depth a promise about the water is made at: its own, else the package's.
pub(super) fn depth_of(ground: &Ground, figure: &Figure) -> Option<f64> {
    let own = figure.conditions.depth.as_ref().map(|depth| depth.high());
    own.or(ground.facts.claimed_depth)
}

/// The solver of a way at the depth a promise is made at.
///
/// # Errors
/// The plant or its depth isn't known.
pub(super) fn solver_for<'a>(
    ground: &Ground,
    way: &crate::derive::WayFacts<'a>,
    figure: &Figure,
) -> Result<Arc<Solver<'a>>, Missing> {
    let solver = match depth_of(ground, figure) {
        Some(depth) => solver_at(way, depth)?,
        None => way.solver.clone()?,
    };
    if solver.plant.has_depth {
        Ok(solver)
    } else {
        Err(ground.no_depth())
    }
}

/// The range of the mean depth that a basin has.
pub fn mean_depth(basin: Basin) -> Name {
    match basin {
        Basin::Flat => Name::MeanDepthFlat,
        Basin::Bowl => Name::MeanDepthBowl,
        Basin::Cone => Name::MeanDepthCone,
    }
}

/// A quantity of the pond at the duty point under `values`, against what is needed.
pub(super) fn measure(
    solver: &Solver,
    setting: Setting,
    values: &Values,
    needed: f64,
    quantity: impl Fn(&Pond) -> (f64, Vec<Breach>),
) -> Measured {
    let Some(settled) = solver.at(values) else {
        return Measured {
            needed,
            ..Measured::default()
        };
    };
    let Some(pond) = Pond::of(&solver.plant, &settled, setting) else {
        return Measured {
            needed,
            at: Some(settled),
            ..Measured::default()
        };
    };
    let (value, breaches) = quantity(&pond);
    Measured {
        value: Some(value),
        needed,
        known_to_hold: None,
        breaches,
        at: Some(settled),
    }
}

/// What the water a plant lifts depends on.
pub(super) fn lifted_depends(solver: &Solver) -> Vec<Name> {
    let mut names = solver.depends();
    names.extend(PLUME);
    if solver
        .plant
        .outlets
        .iter()
        .any(|outlet| outlet.own_depth.is_none())
    {
        names.push(Name::DiffuserDepth);
    }
    names
}

/// The volume that a turnover is counted on: the claimed one, else of the claimed area.
enum Basis {
    Volume(f64),
    Area(f64),
}

/// Times the water in m3/s, of the depth in m it is lifted from.
type Times = Box<dyn Fn(f64) -> f64>;

/// Of several rows the one promised at the same depth, else the first; for the whole package.
fn beside(ground: &Ground, rows: &Given<Vec<Figure>>, figure: &Figure) -> Option<f64> {
    let own = |one: &Figure| one.conditions.depth.as_ref().map(|depth| depth.high());
    let rows = rows.known()?;
    let row = rows
        .iter()
        .find(|row| own(row) == own(figure))
        .or(rows.first())?;
    Some(row.high() * ground.times(row))
}

fn basis(ground: &Ground, figure: &Figure) -> Option<Basis> {
    let claims = &ground.facts.package.claims;
    let volume = beside(ground, &claims.volume, figure).map(Basis::Volume);
    volume.or_else(|| beside(ground, &claims.area, figure).map(Basis::Area))
}

/// What a promise comes to of the water that is lifted, for where nothing can be solved.
struct Bound {
    setting: Setting,
    promised: f64,
    times: Times,
}

/// Settles a claim whose one criterion is in its own terms, over all ways.
fn settle<'a>(
    ground: &Ground<'a>,
    mut verdict: Verdict,
    criterion: impl Fn(Arc<Solver<'a>>) -> Criterion<'a>,
    figure: &Figure,
    bound: &Bound,
) -> Verdict {
    let best = over_ways(
        ground,
        &mut verdict,
        |way| Ok(vec![criterion(solver_for(ground, way, figure)?)]),
        worst,
    );
    let by_bounds = |verdict| {
        without_machine::water(
            ground,
            figure,
            bound.setting,
            bound.promised,
            |water, depth| water * (bound.times)(depth),
            verdict,
        )
    };
    let Some(best) = best else {
        return by_bounds(verdict);
    };
    // What no depth could make true is refuted whatever the depth's own verdict is.
    if waits_for_depth(ground, figure, &best.judged) {
        return by_bounds(verdict.waits_for_depth());
    }
    verdict.settle_by_one(ground, &best.criteria, best.judged);
    if best.outcome == Outcome::NotEvaluated {
        verdict.missing = Some(beyond());
    }
    if is_open(ground, best.outcome) {
        return by_bounds(verdict);
    }
    verdict
}

/// Whether a promise leans on the package's depth, and no air reaches that.
pub(super) fn waits_for_depth(ground: &Ground, figure: &Figure, judged: &[Judged]) -> bool {
    let dry = judged.iter().all(|one| one.high == Some(0.0));
    dry && figure.conditions.depth.is_none() && ground.facts.package.claims.depth.is_there()
}

/// The fact that is missing where the curve ends below the duty point; `curve.too-short` says so.
pub(super) fn beyond() -> Missing {
    Missing::unusable("the duty point: the compressor's curve ends below it", None)
}

fn turnover<'a>(ground: &Ground<'a>, figure: &Figure) -> Verdict {
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    let Some(basis) = basis(ground, figure) else {
        return turnover_of_any(ground, figure, setting);
    };
    let basis = Arc::new(basis);
    at_least(figure, |promised| {
        let mut verdict = Verdict::new(ground, Claim::Turnover, figure);
        verdict.si = figure.low();
        let criterion = |solver: Arc<Solver<'a>>| {
            let mut depends = lifted_depends(&solver);
            if matches!(*basis, Basis::Area(_)) {
                depends.push(mean_depth(setting.basin));
            }
            let basis = basis.clone();
            Criterion {
                name: "turnover",
                says: "turnovers of the pond",
                dimension: Dimension::PerTime,
                sense: Sense::AtLeast,
                bad: LEAST_FLOW,
                turns: solver.plant.turns(),
                depends,
                measure: Box::new(move |values| {
                    measure(&solver, setting, values, promised, |pond| {
                        let volume = match *basis {
                            Basis::Volume(volume) => volume,
                            Basis::Area(area) => pond.volume(area, values),
                        };
                        let turnovers = pond.turnovers_a_day(volume, values);
                        (turnovers.value / 86_400.0, turnovers.breaches)
                    })
                }),
            }
        };
        // Of an area without a depth the volume is the least that it may hold at the depth the water is lifted from.
        let share = setting.share_of_day;
        let mean = ground.assumptions[mean_depth(setting.basin)].low();
        let times: Times = match *basis {
            Basis::Volume(volume) => Box::new(move |_| share / volume),
            Basis::Area(area) => Box::new(move |depth| share / (area * depth * mean)),
        };
        let bound = Bound {
            setting,
            promised,
            times,
        };
        settle(ground, verdict, criterion, figure, &bound)
    })
}

/// Turnovers of a pond of which neither area nor volume is known: no more than of the smallest.
fn turnover_of_any(ground: &Ground, figure: &Figure, setting: Setting) -> Verdict {
    let missing = Missing::absent(
        "the area or volume that is turned over",
        ground.facts.package.claims.at,
    );
    at_least(figure, |promised| {
        let mut verdict = Verdict::new(ground, Claim::Turnover, figure).without(missing.clone());
        verdict.si = figure.low();
        let a_pond = |water: f64, _| water * setting.share_of_day / without_machine::LEAST_POND;
        without_machine::water(ground, figure, setting, promised, a_pond, verdict)
    })
}

fn water_moved<'a>(ground: &Ground<'a>, figure: &Figure) -> Verdict {
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    let each = figure.per_diffuser;
    // A flow of a day is what is lifted in the hours the machine runs; any other is one while it runs.
    let share = share_of_day(figure, setting);
    at_least(figure, |promised| {
        let mut verdict = Verdict::new(ground, Claim::WaterMoved, figure);
        verdict.si = figure.low();
        let criterion = |solver: Arc<Solver<'a>>| {
            let depends = lifted_depends(&solver);
            let count = ground.times(figure);
            Criterion {
                name: "water",
                says: if each {
                    "water lifted at each diffuser"
                } else {
                    "water lifted"
                },
                dimension: Dimension::VolumeFlow,
                sense: Sense::AtLeast,
                bad: LEAST_FLOW,
                turns: solver.plant.turns(),
                depends,
                measure: Box::new(move |values| {
                    measure(&solver, setting, values, promised, |pond| {
                        let water = pond.water_lifted(values);
                        (water.value * share / count, water.breaches)
                    })
                }),
            }
        };
        let times = share / ground.times(figure);
        let bound = Bound {
            setting,
            promised,
            times: Box::new(move |_| times),
        };
        settle(ground, verdict, criterion, figure, &bound)
    })
}

/// The share of the day that counts for a rate: the running hours where it is one of a whole day.
pub(super) fn share_of_day(figure: &Figure, setting: Setting) -> f64 {
    if Period::of(figure) == Some(Period::Day) {
        setting.share_of_day
    } else {
        1.0
    }
}

/// A claimed volume is held to the claimed area and depth, which hold no more than their product by
/// the shape of the basin; without an area to one turnover a day.
fn volume<'a>(ground: &Ground<'a>, figure: &Figure) -> Verdict {
    let times = ground.times(figure);
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    let area = beside(ground, &ground.facts.package.claims.area, figure);
    let depth = depth_of(ground, figure);
    in_favour(figure, figure.high(), Sense::AtLeast, |claimed| {
        let mut verdict = Verdict::new(ground, Claim::Volume, figure);
        if let Some((area, depth)) = area.zip(depth) {
            let criterion = Criterion {
                name: "volume",
                says: "volume of the claimed area at the claimed depth",
                dimension: Dimension::Volume,
                sense: Sense::AtLeast,
                // A shallow mean is good for a turnover and bad for a volume.
                bad: Ends::FAVOURABLE,
                turns: &[],
                depends: vec![mean_depth(setting.basin)],
                measure: Box::new(move |values| Measured {
                    value: Some(area * depth * values[mean_depth(setting.basin)] / times),
                    // Half a digit of each of the three figures.
                    needed: claimed * 0.99,
                    ..Measured::default()
                }),
            };
            verdict.judge_by_one(ground, vec![criterion]);
            let upright = area * depth / times;
            if !ground.catalog.site.basin.is_there() && verdict.outcome == Outcome::Contradicted {
                // A pond of which nobody says that its sides slope may have upright ones.
                verdict.outcome = Outcome::Undecided;
                verdict.decision = None;
                let fact = Missing::absent("the shape of the basin", Some(figure.at));
                verdict.missing = Some(fact.of_key("basin"));
                verdict.range = verdict
                    .range
                    .map(|(least, most)| (least, most.max(upright)));
            }
            return without_machine::volume(ground, claimed, upright, verdict);
        }
        let criterion = |solver: Arc<Solver<'a>>| {
            let depends = lifted_depends(&solver);
            Criterion {
                name: "turnover",
                says: "volume turned over once a day",
                dimension: Dimension::Volume,
                sense: Sense::AtLeast,
                bad: LEAST_FLOW,
                turns: solver.plant.turns(),
                depends,
                measure: Box::new(move |values| {
                    measure(&solver, setting, values, claimed, |pond| {
                        let water = pond.water_lifted(values);
                        let a_day = water.value * setting.share_of_day * 86_400.0;
                        (
                            a_day / values[Name::TurnoversNeeded] / times,
                            water.breaches,
                        )
                    })
                }),
            }
        };
        let a_day = setting.share_of_day * 86_400.0;
        let needed = ground.assumptions[Name::TurnoversNeeded].favourable;
        let bound = Bound {
            setting,
            promised: claimed,
            times: Box::new(move |_| a_day / needed / times),
        };
        settle(ground, verdict, criterion, figure, &bound)
    })
}
