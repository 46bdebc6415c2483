//! How long a run may be: what it costs in flow, and for airline of the buyer's own also the
//! compressor's pressure and the diffuser's least air.
//!
//! A supplied run that is too long shows as pressure or starved diffusers in `duty`; what it costs in
//! flow is judged here.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Name, Values};
use crate::catalog::{AirlineUse, Figure, Given, PackageOption};
use crate::derive::corners::{greatest_pressure, least_flow, most_lost};
use crate::derive::{Solver, Way, WayFacts};
use crate::units::Dimension;

use super::Ground;
use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::depth;
use super::verdict::{Claim, Verdict, worst};

/// The longest a search for a capacity looks, m.
const LONGEST: f64 = 3000.0;

/// Judges every supplied run and every run the buyer may lay.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    for way in &ground.facts.ways {
        match way.way {
            Way::Supplied(option) => {
                let uses = option.airline.known().map_or(&[][..], |uses| uses);
                for (by, one) in uses.iter().enumerate() {
                    verdicts.extend(supplied(ground, way, option, by, one));
                }
            }
            Way::Allowed(option, allow) => {
                if let (Given::Known(size), Given::Known(up_to)) = (&allow.size, &allow.up_to) {
                    verdicts.push(allowed(ground, way, option, size, up_to));
                }
            }
            Way::Own => {}
        }
    }
}

/// A run that comes with an option; nothing where its length couldn't be read.
fn supplied(
    ground: &Ground,
    way: &WayFacts,
    option: &PackageOption,
    by: usize,
    one: &AirlineUse,
) -> Option<Verdict> {
    let lengths: Vec<&Figure> = one
        .segments
        .iter()
        .map(|segment| segment.length.known())
        .collect::<Option<_>>()?;
    let first = *lengths.first()?;
    let mut verdict = Verdict::new(ground, Claim::AirlineLength, first);
    verdict.option = Some(option.id.clone());
    verdict.si = lengths.iter().map(|length| length.high()).sum();
    if lengths.len() > 1 {
        verdict.stated = lengths
            .iter()
            .map(|length| length.text())
            .collect::<Vec<_>>()
            .join(" + ");
    }
    let solver = match &way.solver {
        Ok(solver) => solver.clone(),
        Err(missing) => return Some(verdict.without(missing.clone())),
    };
    if !solver.plant.has_depth {
        return Some(verdict.without(ground.no_depth()));
    }
    let outlet = solver
        .plant
        .outlets
        .iter()
        .find(|outlet| outlet.laid_by == Some(by))?;
    verdict.size = outlet.lines.last().map(|line| line.bore);
    let criteria = vec![lost(solver.clone(), Some(by))];
    finish(ground, &mut verdict, criteria, &solver, Some(by));
    Some(verdict)
}

/// A run that the buyer may lay.
fn allowed(
    ground: &Ground,
    way: &WayFacts,
    option: &PackageOption,
    size: &Figure,
    up_to: &Figure,
) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::AirlineLength, up_to);
    verdict.option = Some(option.id.clone());
    verdict.stated = format!("{} of {}", up_to.text(), size.text());
    verdict.size = Some(size.si());
    let solver = match &way.solver {
        Ok(solver) => solver.clone(),
        Err(missing) => return verdict.without(missing.clone()),
    };
    if !solver.plant.has_depth {
        return verdict.without(ground.no_depth());
    }
    let mut criteria = vec![lost(solver.clone(), None)];
    match depth::criteria(solver.clone()) {
        Ok(others) => criteria.extend(others),
        Err(missing) => return verdict.without(missing),
    }
    // Where the depth itself can't be reached without any run, the run isn't at fault.
    let bare = solver.with(solver.plant.clone().without_run(None));
    let reached = depth::criteria(Arc::new(bare))
        .map(|criteria| {
            worst(
                &criteria
                    .iter()
                    .map(|one| one.judge(ground.assumptions))
                    .collect::<Vec<_>>(),
            )
        })
        .unwrap_or(Outcome::NotEvaluated);
    finish(ground, &mut verdict, criteria, &solver, None);
    if reached == Outcome::Contradicted {
        verdict.follows = Some(Claim::Depth);
    }
    verdict
}

fn finish(
    ground: &Ground,
    verdict: &mut Verdict,
    criteria: Vec<Criterion>,
    solver: &Solver,
    laid_by: Option<usize>,
) {
    let judged: Vec<_> = criteria
        .iter()
        .map(|one| one.judge(ground.assumptions))
        .collect();
    let outcome = worst(&judged);
    // What a run may cost is declared with the rating; the rest is at central values.
    let basis = ground
        .assumptions
        .central()
        .with(Name::LineLossLimit, ground.rating.line_loss);
    verdict.within_rating = criteria
        .iter()
        .map(|one| one.holds(&(one.measure)(&basis)))
        .reduce(|a, b| match (a, b) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (Some(true), Some(true)) => Some(true),
            _ => None,
        })
        .flatten();
    verdict.settle(ground.assumptions, &criteria, judged);
    if outcome == Outcome::NotEvaluated {
        verdict.missing = Some(super::water::beyond());
        return;
    }
    let supplied = laid_by.is_some();
    let capacity = |bad: bool| {
        let pick = |of: fn(Name) -> crate::assumptions::End| {
            ground.assumptions.ends(|name| {
                if bad {
                    of(name)
                } else {
                    super::criterion::opposite(of(name))
                }
            })
        };
        let corners = Corners {
            lost: pick(most_lost),
            pressure: pick(greatest_pressure),
            flow: pick(least_flow),
        };
        longest(solver, laid_by, &corners, supplied)
    };
    // The rating: everything central but the declared share of the flow.
    let central = ground.assumptions.central();
    let rated = Corners {
        lost: central
            .clone()
            .with(Name::LineLossLimit, ground.rating.line_loss),
        pressure: central.clone(),
        flow: central,
    };
    verdict.rated = longest(solver, laid_by, &rated, supplied);
    verdict.range = capacity(true).zip(capacity(false));
}

/// The values each criterion is taken at.
pub struct Corners {
    /// For the share of the flow.
    pub lost: Values,
    /// For the pressure.
    pub pressure: Values,
    /// For the diffuser's least air.
    pub flow: Values,
}

impl Corners {
    /// Where everything is worst for a long run.
    pub fn worst(assumptions: &Assumptions) -> Corners {
        Corners {
            lost: assumptions.ends(most_lost),
            pressure: assumptions.ends(greatest_pressure),
            flow: assumptions.ends(least_flow),
        }
    }
}

/// The share of the flow that the runs of a statement cost, against the limit for it.
pub fn lost<'a>(solver: Arc<Solver<'a>>, laid_by: Option<usize>) -> Criterion<'a> {
    let bare = solver.with(solver.plant.clone().without_run(laid_by));
    let mut depends = solver.depends();
    depends.push(Name::LineLossLimit);
    Criterion {
        name: "line-loss",
        says: "flow lost in the run",
        dimension: Dimension::Share,
        sense: Sense::AtMost,
        bad: most_lost,
        turns: crate::derive::corners::EITHER_WAY,
        depends,
        measure: Box::new(move |values| share_lost(&solver, &bare, laid_by, values)),
    }
}

/// One less the flow with the run over that without.
fn share_lost(solver: &Solver, bare: &Solver, laid_by: Option<usize>, values: &Values) -> Measured {
    let needed = values[Name::LineLossLimit] / 100.0;
    let air = |solver: &Solver| {
        let settled = solver.at(values)?;
        if settled.beyond().is_some() {
            return None;
        }
        let outlets = settled.duty.outlets.iter();
        let ours = outlets.filter(|outlet| {
            laid_by.is_none() || solver.plant.outlets[outlet.label].laid_by == laid_by
        });
        let sum: f64 = ours
            .map(|outlet| outlet.count * outlet.amount.value())
            .sum();
        Some((sum, settled.breaches().to_vec()))
    };
    let value = air(solver)
        .zip(air(bare))
        .map(|((with, mut breaches), (without, _))| {
            breaches.dedup_by(|a, b| a.range == b.range);
            // Where no air comes even without a run, the run costs nothing.
            let share = if without > 0.0 {
                (1.0 - with / without).max(0.0)
            } else {
                0.0
            };
            (share, breaches)
        });
    match value {
        Some((share, breaches)) => Measured {
            value: Some(share),
            needed,
            known_to_hold: None,
            breaches,
        },
        None => Measured {
            needed,
            ..Measured::default()
        },
    }
}

/// The longest run in m at which everything holds; `only_lost` leaves pressure and least air to
/// others. Nothing where the curve ends before that is known.
pub fn longest(
    solver: &Solver,
    laid_by: Option<usize>,
    corners: &Corners,
    only_lost: bool,
) -> Option<f64> {
    let bare = solver.with(solver.plant.clone().without_run(laid_by));
    let holds = |length: f64| {
        let long = solver.with(solver.plant.clone().with_run_of(laid_by, length));
        let lost = share_lost(&long, &bare, laid_by, &corners.lost);
        let within = lost.value.map(|share| share <= lost.needed)?;
        if only_lost || !within {
            return Some(within);
        }
        depth::holds_at(&long, &corners.pressure, &corners.flow)
    };
    if !holds(0.0)? {
        return Some(0.0);
    }
    // Doubling finds the end from what is laid; then it is halved in.
    let mut short = 0.0;
    let mut long = 10.0;
    while holds(long)? {
        short = long;
        long *= 2.0;
        if long > LONGEST {
            return Some(LONGEST);
        }
    }
    while long - short > 0.05 {
        let middle = f64::midpoint(short, long);
        if holds(middle)? {
            short = middle;
        } else {
            long = middle;
        }
    }
    Some(short)
}
