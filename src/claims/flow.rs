//! How much air is delivered: at a stated pressure by the curve, at a depth by the duty point.

use std::sync::Arc;

use crate::assumptions::Name;
use crate::catalog::{Figure, Given};
use crate::derive::corners::{LEAST_FLOW, LEAST_VOLUME};
use crate::derive::flow::Air;
use crate::derive::{self, Corner, Missing, Solver, Way, laying};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, at_least, over_ways, worst};
use super::water::waits_for_depth;
use super::without_machine::{AIR_THERE, OPEN_FLOW};
use super::{Ground, each};
use super::{most_air, without_machine};

/// The name of the evidence that says at which depth a flow without a condition was judged.
pub const DEPTH_TAKEN: &str = "depth taken, since the flow states neither pressure nor depth";

/// Judges every claimed flow.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.flow;
    each(ground, Claim::Flow, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    // A promise of flow promises at least so much; of a range, its lower end at the worst.
    at_least(figure, |promised| {
        let mut verdict = Verdict::new(ground, Claim::Flow, figure);
        verdict.si = figure.low();
        let conditions = &figure.conditions;
        if let Some(pressure) = &conditions.pressure {
            return at_pressure(ground, figure, pressure, promised, verdict);
        }
        match &conditions.depth {
            Some(depth) => {
                let there = at_depth(ground, figure, Some(depth.high()), promised, verdict);
                or_beyond(ground, figure, promised, there)
            }
            None => without_condition(ground, figure, promised, verdict),
        }
    })
}

/// A flow that states neither pressure nor depth holds where it holds at the claimed depth. Where it doesn't,
/// it may be the air against no pressure: only what the machine never gives is contradicted, and of anything
/// else the condition is asked for.
fn without_condition(ground: &Ground, figure: &Figure, promised: f64, verdict: Verdict) -> Verdict {
    let fact = "the pressure or depth the flow is claimed at";
    let ways = ground.facts.ways.iter();
    let own_depths = ways
        .filter_map(|way| way.solver.as_ref().ok())
        .any(|solver| solver.plant.has_depth);
    if ground.facts.claimed_depth.is_none() && !own_depths {
        let missing = match ground.facts.package.claims.depth {
            Given::Unreadable => Missing::unusable(fact, Some(figure.at)),
            _ => Missing::absent(fact, Some(figure.at)),
        };
        return or_beyond(ground, figure, promised, verdict.without(missing));
    }
    let mut there = at_depth(ground, figure, None, promised, verdict);
    if let Some(usual) = ground.facts.claimed_depth {
        there.evidence.push(Evidence::derived(
            DEPTH_TAKEN,
            Value::Quantity(usual, Dimension::Length),
            "the claimed depth",
            Mark::Stated,
        ));
    }
    if there.outcome == Outcome::Supported {
        return there;
    }
    if let Some(refuted) = beyond_open_flow(ground, figure, promised, &there) {
        return refuted;
    }
    // It fails at the claimed depth and holds at some lesser pressure.
    if there.outcome == Outcome::Contradicted {
        there.outcome = Outcome::Undecided;
        there.within_rating = Some(false);
        there.missing = Some(Missing::absent(fact, Some(figure.at)).of_key("at"));
    }
    there
}

/// The verdict refuted where more is promised than the machine gives against no pressure, or than its air and watts
/// leave possible where it is promised.
fn beyond_open_flow(
    ground: &Ground,
    figure: &Figure,
    promised: f64,
    verdict: &Verdict,
) -> Option<Verdict> {
    let site = Air::at(
        ground.catalog.site.altitude_m(),
        ground.catalog.site.air_k(),
    );
    let conditions = &figure.conditions;
    let by_depth = conditions.depth.as_deref().map(Figure::low);
    let by_depth = by_depth.map(|depth| most_air::weight(ground, depth));
    let pressure = conditions.pressure.as_deref();
    let pressure = pressure.map(|figure| derive::flow::gauge(figure, site.pressure).value());
    let there = pressure.or(by_depth).filter(|pressure| *pressure > 0.0);
    let there = there.and_then(|pressure| most_air::against(ground, pressure));
    let open = without_machine::open_flow(ground).map(|most| (OPEN_FLOW, most));
    let bounds = open.into_iter().chain(there.map(|most| (AIR_THERE, most)));
    let (bound, most) = bounds.min_by(|a, b| a.1.total_cmp(&b.1))?;
    let density = if derive::is_amount(figure.dimension()) {
        site.density.value
    } else {
        1.0
    };
    let most = most * density / ground.times(figure);
    without_machine::flow(ground, (bound, most), promised, figure, verdict)
}

/// The same, or the verdict as it was. What the duty point refutes it refutes with a figure, so that stands.
fn or_beyond(ground: &Ground, figure: &Figure, promised: f64, verdict: Verdict) -> Verdict {
    if verdict.outcome == Outcome::Contradicted {
        return verdict;
    }
    beyond_open_flow(ground, figure, promised, &verdict).unwrap_or(verdict)
}

/// A flow with the diffusers at a depth: that stated with it, else as they are laid.
fn at_depth(
    ground: &Ground,
    figure: &Figure,
    depth: Option<f64>,
    promised: f64,
    mut verdict: Verdict,
) -> Verdict {
    let amount = derive::is_amount(figure.dimension());
    let each = figure.per_diffuser;
    let times = ground.times(figure);
    let best = over_ways(
        ground,
        &mut verdict,
        |way| {
            let solver = match depth {
                Some(depth) => solver_at(way, depth)?,
                None => way.solver.clone()?,
            };
            let depends = solver.depends();
            Ok(vec![Criterion {
                name: "flow",
                says: if each {
                    "air at each diffuser"
                } else {
                    "air at the diffusers"
                },
                dimension: figure.dimension(),
                sense: Sense::AtLeast,
                bad: if amount { LEAST_FLOW } else { LEAST_VOLUME },
                turns: solver.plant.turns(),
                depends,
                measure: Box::new(move |values| {
                    let Some(settled) = solver.at(values) else {
                        return Measured {
                            needed: promised,
                            ..Measured::default()
                        };
                    };
                    let counted = if amount { settled.inlet_density } else { 1.0 };
                    Measured {
                        value: settled.delivered().map(|free| free * counted / times),
                        needed: promised,
                        at: Some(settled),
                        ..Measured::default()
                    }
                }),
            }])
        },
        worst,
    );
    let Some(best) = best else {
        return or_beyond(ground, figure, promised, verdict);
    };
    if waits_for_depth(ground, figure, &best.judged) {
        return or_beyond(ground, figure, promised, verdict.waits_for_depth());
    }
    if let Some(solver) = ground.laid(best.place, depth)
        && let Some(settled) = solver.corner(Corner::Central)
    {
        super::depth::budget(&solver, &settled, &mut verdict);
    }
    verdict.settle_by_one(ground, &best.criteria, best.judged);
    if verdict.outcome == Outcome::NotEvaluated {
        verdict.missing = Some(super::water::beyond());
    }
    if let Some(solver) = depth.and_then(|_| ground.laid(best.place, depth)) {
        held(ground, solver, &mut verdict);
    }
    verdict
}

/// Holds a flow at a depth of its own to the pressure that the machine may be held at there: the promise's other depths
/// are told at the depth.
fn held<'a>(ground: &Ground<'a>, solver: Arc<Solver<'a>>, verdict: &mut Verdict) {
    let criteria = super::depth::criteria(solver).unwrap_or_default();
    let Some(pressure) = criteria.first().map(|one| one.judge(ground.assumptions)) else {
        return;
    };
    if pressure.holds_centrally != Some(false) || verdict.outcome == Outcome::Contradicted {
        return;
    }
    if pressure.outcome == Outcome::Contradicted {
        verdict.outcome = Outcome::Contradicted;
    }
    verdict.within_rating = Some(false);
    (verdict.rated, verdict.range, verdict.decision) = (None, None, None);
    verdict.criteria.insert(0, pressure);
}

/// A flow at a stated pressure is what the compressors' curves give there: lines and diffusers have no
/// part in it, so it is judged without an option too. The way whose machines give most speaks.
fn at_pressure(
    ground: &Ground,
    figure: &Figure,
    pressure: &Figure,
    promised: f64,
    mut verdict: Verdict,
) -> Verdict {
    let catalog = ground.catalog;
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    let gauge = derive::flow::gauge(pressure, site.pressure);
    let fact = || {
        let fact = format!("the compressor's curve at {}", pressure.text());
        Missing::absent(fact, Some(pressure.at))
    };
    // The least and the most the machines may give: the same where every one states its curve.
    let of_way = |way: Way| -> Result<(f64, f64), Missing> {
        let machines = laying::machines(catalog, ground.facts.package, way)?;
        let (mut least, mut most) = (0.0, 0.0);
        for machine in &machines {
            let times = f64::from(machine.count);
            let upper = machine.curve.flow(gauge).ok_or_else(fact)?.value();
            // Beyond the bound's end the machine may give nothing.
            let lower = machine.at_least.as_ref().map_or(upper, |bound| {
                bound.flow(gauge).map_or(0.0, |flow| flow.value())
            });
            least += lower * times;
            most += upper * times;
        }
        Ok((least, most))
    };
    let usual = [Way::Own];
    let ways: Vec<Way> = ground.facts.ways.iter().map(|way| way.way).collect();
    let ways = if ways.is_empty() { &usual[..] } else { &ways };
    let mut best: Option<(f64, f64)> = None;
    let mut missing = None;
    for way in ways {
        match of_way(*way) {
            Ok(flow) => {
                best = Some(best.map_or(flow, |best| if flow.1 > best.1 { flow } else { best }));
            }
            Err(fact) => {
                missing.get_or_insert(fact);
            }
        }
    }
    let Some((least, most)) = best else {
        let verdict = verdict.without(missing.unwrap_or_else(fact));
        return or_beyond(ground, figure, promised, verdict);
    };
    let counted = |flow: f64| {
        let density = if derive::is_amount(figure.dimension()) {
            site.density.value
        } else {
            1.0
        };
        flow * density / ground.times(figure)
    };
    let (least, most) = (counted(least), counted(most));
    let criteria = vec![Criterion {
        name: "curve",
        says: "air by the curve at the stated pressure",
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        bad: LEAST_FLOW,
        turns: &[],
        depends: if least < most {
            vec![Name::CurveTolerance, Name::PlateBound]
        } else {
            vec![Name::CurveTolerance]
        },
        measure: Box::new(move |values| {
            let flow = match values[Name::PlateBound] {
                _ if least == most => Some(most),
                bound if bound <= 0.0 => Some(least),
                bound if bound >= 1.0 => Some(most),
                _ => None,
            };
            Measured {
                value: flow.map(|flow| flow * values[Name::CurveTolerance]),
                needed: promised,
                ..Measured::default()
            }
        }),
    }];
    verdict.judge_by_one(ground, criteria);
    verdict
}
