//! How long a line may be: what it leaves of the compressor's pressure and of the diffuser's least air.
//!
//! That is what the physics says of a line. What share of the flow a line may cost is a matter of taste,
//! declared with the rating; it decides what is rated and never what is possible. The trunk from the
//! compressors to the manifold is a line like any other.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Ends, Name, Values};
use crate::catalog::{AirlineUse, Figure, Given, PackageOption};
use crate::derive::corners::{GREATEST_PRESSURE, LEAST_VOLUME, turned};
use crate::derive::plant::Lines;
use crate::derive::{Solver, Way, WayFacts};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Judged, Outcome, Sense};
use super::depth;
use super::verdict::{Claim, Verdict, in_favour, lenient, worst};
use super::without_machine;

/// The longest a search for a capacity looks, m.
pub const LONGEST: f64 = 3000.0;

/// The name of the criterion that belongs to the rating alone.
pub const LINE_LOSS: &str = "line-loss";

/// Judges every supplied line and every run the buyer may lay.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    for way in &ground.facts.ways {
        match way.way {
            Way::Supplied(option) => {
                let uses = option.airline.known().map_or(&[][..], |uses| uses);
                for (by, one) in uses.iter().enumerate() {
                    verdicts.extend(supplied(ground, way, option, Lines::Of(by), one));
                }
                let trunk = option.trunk.known();
                verdicts
                    .extend(trunk.and_then(|one| supplied(ground, way, option, Lines::Trunk, one)));
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

/// A line that comes with an option; nothing where its length couldn't be read.
fn supplied(
    ground: &Ground,
    way: &WayFacts,
    option: &PackageOption,
    part: Lines,
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
    if part == Lines::Trunk {
        verdict.stated.push_str(" of trunk");
    }
    let plant = way.solver.as_ref().map(|solver| &solver.plant);
    let of_part = || {
        let part = ground
            .catalog
            .airlines
            .get(&one.segments.first()?.part.id)?;
        part.bore.known().map(|bore| bore.quantity.rounding().1)
    };
    verdict.size = plant.ok().map_or_else(of_part, |plant| match part {
        Lines::Trunk => plant.trunk.last().map(|line| line.bore),
        _ => {
            let mut outlets = plant.outlets.iter();
            let laid = outlets.find(|outlet| {
                part == Lines::Runs || outlet.laid_by.map(Lines::Of) == Some(part)
            })?;
            laid.lines.last().map(|line| line.bore)
        }
    });
    Some(one_line(ground, way, part, first, &verdict))
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
    one_line(ground, way, Lines::Runs, up_to, &verdict)
}

/// Judges `part` of a way at its length; `written` is what is known of the verdict before.
fn one_line(
    ground: &Ground,
    way: &WayFacts,
    part: Lines,
    figure: &Figure,
    written: &Verdict,
) -> Verdict {
    let solver = match &way.solver {
        Ok(solver) => solver,
        Err(missing) => return by_bounds(ground, figure, written.clone().without(missing.clone())),
    };
    if !solver.plant.has_depth {
        let verdict = without_depth(ground, solver, part, figure, written);
        return by_bounds(ground, figure, verdict);
    }
    // Segments in series have a last digit each; the first one's stands for the sum.
    let mut verdict = in_favour(figure, written.si, Sense::AtLeast, |length| {
        at_length(ground, solver, part, length, written)
    });
    if verdict.outcome == Outcome::NotEvaluated {
        return verdict;
    }
    let rated = Limits::rated(ground.assumptions, ground.rating.line_loss);
    verdict.rated = longest(solver, part, &rated);
    let low = bound(solver, part, ground.assumptions, true);
    let high = bound(solver, part, ground.assumptions, false);
    verdict.range = low.zip(high);
    verdict
}

/// A verdict that nothing settles yet, by what the stated air takes along the line.
fn by_bounds(ground: &Ground, figure: &Figure, verdict: Verdict) -> Verdict {
    if verdict.outcome != Outcome::NotEvaluated {
        return verdict;
    }
    let runs = ground.facts.package.diffuser_count();
    let line = (lenient(figure, verdict.si, Sense::AtLeast), verdict.size);
    without_machine::airline(ground, line, runs, verdict)
}

/// A line of which nobody says how deep it leads: what can't feed a diffuser at the surface feeds none.
fn without_depth(
    ground: &Ground,
    solver: &Solver,
    part: Lines,
    figure: &Figure,
    written: &Verdict,
) -> Verdict {
    let shallow = Arc::new(solver.with(solver.plant.clone().at_depth(0.0)));
    let verdict = in_favour(figure, written.si, Sense::AtLeast, |length| {
        at_length(ground, &shallow, part, length, written)
    });
    if verdict.outcome == Outcome::Contradicted {
        verdict
    } else {
        written.clone().without(ground.no_depth())
    }
}

/// The longest `part` at the corner that is bad for a long line, or the good one.
pub fn bound(solver: &Solver, part: Lines, assumptions: &Assumptions, bad: bool) -> Option<f64> {
    let turns = solver.plant.turns();
    let towards = |bad_ends: Ends| if bad { bad_ends } else { bad_ends.other() };
    let pressure = assumptions.ends(&towards(GREATEST_PRESSURE));
    let pick: fn(f64, f64) -> f64 = if bad { f64::min } else { f64::max };
    turned(assumptions, towards(LEAST_VOLUME), turns, &solver.depends())
        .map(|flow| {
            let pressure = pressure.clone();
            longest(
                solver,
                part,
                &Limits {
                    pressure,
                    flow,
                    loss: None,
                },
            )
        })
        .reduce(|a, b| Some(pick(a?, b?)))
        .flatten()
}

fn at_length(
    ground: &Ground,
    solver: &Arc<Solver>,
    part: Lines,
    length: f64,
    written: &Verdict,
) -> Verdict {
    let mut verdict = written.clone();
    let laid = if length == written.si {
        solver.clone()
    } else {
        Arc::new(solver.with(solver.plant.clone().with_length(part, length)))
    };
    let criteria = match depth::criteria(laid.clone()) {
        Ok(criteria) => criteria,
        Err(missing) => return verdict.without(missing),
    };
    let judged: Vec<Judged> = criteria
        .iter()
        .map(|one| one.judge(ground.assumptions))
        .collect();
    let outcome = worst(&judged);
    let holds = depth::all_hold(&judged);
    let loss = cost(ground, &laid, part);
    // Where the depth can't be reached without any of this line, the line isn't at fault.
    let bare = (holds == Some(false) || outcome == Outcome::Contradicted).then(|| {
        let bare = solver.with(solver.plant.clone().without(part));
        let criteria = depth::criteria(Arc::new(bare)).unwrap_or_default();
        let judged = criteria.iter().map(|one| one.judge(ground.assumptions));
        judged.collect::<Vec<Judged>>()
    });
    let bare_fails = bare
        .as_ref()
        .is_some_and(|bare| depth::all_hold(bare) == Some(false));
    if outcome == Outcome::Contradicted && bare.is_some_and(|bare| worst(&bare) == outcome) {
        verdict.criteria.extend(loss);
        return verdict.waits_for_depth();
    }
    verdict.settle(ground, &criteria, judged);
    let loses = loss.as_ref().and_then(|loss| loss.holds_centrally);
    verdict.within_rating = match (holds, loses) {
        (_, Some(false)) => Some(false),
        (Some(false), _) if bare_fails => None,
        (Some(false), _) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    };
    verdict.criteria.extend(loss);
    if outcome == Outcome::NotEvaluated {
        verdict.missing = Some(super::water::beyond());
    }
    verdict
}

/// What a line costs of the flow at central values, against what the rating lets it cost.
fn cost(ground: &Ground, solver: &Solver, part: Lines) -> Option<Judged> {
    let bare = solver.with(solver.plant.clone().without(part));
    let share = share_lost(solver, &bare, part, &ground.assumptions.central())?;
    let limit = ground.rating.line_loss / 100.0;
    let holds = share <= limit;
    Some(Judged {
        name: LINE_LOSS,
        says: "flow lost in the line",
        dimension: Dimension::Share,
        sense: Sense::AtMost,
        // Of the rating alone: it refutes nothing.
        outcome: if holds {
            Outcome::Supported
        } else {
            Outcome::Undecided
        },
        needed: limit,
        low: None,
        central: Some(share),
        high: None,
        holds_centrally: Some(holds),
        decided_by: None,
        weakest: Mark::Judgement,
        breaches: Vec::new(),
        depends: vec![Name::Friction],
    })
}

/// One less the flow with the line over that without; nothing where that isn't known.
pub fn share_lost(solver: &Solver, bare: &Solver, part: Lines, values: &Values) -> Option<f64> {
    // How much flow a pressure costs is the slope of the curve, which no bound of its height bounds.
    if solver.plant.is_bounded() {
        return None;
    }
    let air = |solver: &Solver| {
        let settled = solver.at(values)?;
        if settled.beyond().is_some() {
            return None;
        }
        let fed = solver.plant.outlets.iter().zip(&settled.each);
        let ours = fed.filter(|(outlet, _)| match part {
            Lines::Of(by) => outlet.laid_by == Some(by),
            Lines::Runs | Lines::Trunk => true,
        });
        Some(
            ours.map(|(outlet, each)| f64::from(outlet.count()) * each)
                .sum::<f64>(),
        )
    };
    let (with, without) = (air(solver)?, air(bare)?);
    // Where no air comes even without a line, the line costs nothing.
    Some(if without > 0.0 {
        (1.0 - with / without).max(0.0)
    } else {
        0.0
    })
}

/// What a line is held to.
pub struct Limits {
    /// The values the pressure is taken at.
    pub pressure: Values,
    /// The values the diffuser's least air is taken at.
    pub flow: Values,
    /// The share of the flow that may be lost, and the values it is taken at.
    pub loss: Option<(Values, f64)>,
}

impl Limits {
    /// As a line is rated: central values, and no more than `line_loss` % of the flow lost.
    pub fn rated(assumptions: &Assumptions, line_loss: f64) -> Limits {
        let central = assumptions.central();
        Limits {
            pressure: central.clone(),
            flow: central.clone(),
            loss: Some((central, line_loss / 100.0)),
        }
    }
}

/// The longest `part` in m at which everything holds. Nothing where the curve ends before that is known.
pub fn longest(solver: &Solver, part: Lines, limits: &Limits) -> Option<f64> {
    let loss = limits.loss.as_ref().map(|(values, share)| (values, *share));
    let values = (&limits.pressure, &limits.flow);
    if let Some(limit) = solver.longest(part, values, loss, LONGEST) {
        // Told to the centimetre below: at the limit itself a rounding decides.
        return limit
            .within(LONGEST)
            .map(|length| (length * 1e2).floor() / 1e2);
    }
    if !solver.plant.has_lines_of(part) {
        // No diffuser hangs on it: however long it is, the plant is the same, and it costs nothing.
        if let Some((values, _)) = &limits.loss {
            share_lost(solver, solver, part, values)?;
        }
        let holds = depth::holds_at(solver, &limits.pressure, &limits.flow)?;
        return Some(if holds { LONGEST } else { 0.0 });
    }
    let bare = solver.with(solver.plant.clone().without(part));
    let holds = |length: f64| {
        let long = solver.with(solver.plant.clone().with_length(part, length));
        if let Some((values, limit)) = &limits.loss {
            let share = share_lost(&long, &bare, part, values)?;
            if share > *limit {
                return Some(false);
            }
        }
        depth::holds_at(&long, &limits.pressure, &limits.flow)
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
