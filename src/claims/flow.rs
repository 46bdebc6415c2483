//! How much air is delivered: at a stated pressure by the curve, at a depth by the duty point.

use crate::assumptions::Name;
use crate::catalog::{Figure, Given};
use crate::derive::corners::least_flow;
use crate::derive::flow::Air;
use crate::derive::{self, Corner, Missing, Way, laying};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, over_ways, worst};

/// The name of the evidence that says at which depth a flow without a condition was judged.
pub const DEPTH_TAKEN: &str = "depth taken, since the flow states neither pressure nor depth";

/// Judges every claimed flow.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .flow
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        verdicts.push(one(ground, figure));
    }
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Flow, figure);
    // A promise of flow promises at least so much; of a range, its lower end at the worst.
    let promised = figure.low();
    verdict.si = promised;
    let conditions = &figure.conditions;
    if conditions.unreadable {
        return verdict.without(Missing::unusable(
            "the condition of the flow",
            conditions.at,
        ));
    }
    if let Some(pressure) = &conditions.pressure {
        return at_pressure(ground, figure, pressure, verdict);
    }
    let depth = conditions.depth.as_ref().map(|depth| depth.high());
    let usual = ground.facts.claimed_depth;
    let own_depths = ground
        .facts
        .ways
        .iter()
        .any(|way| way.solver.as_ref().is_ok_and(|s| s.plant.has_depth));
    if depth.is_none() && usual.is_none() && !own_depths {
        let fact = "the pressure or depth the flow is claimed at";
        if matches!(ground.facts.package.claims.depth, Given::Unreadable) {
            return verdict.without(Missing::unusable(fact, Some(figure.at)));
        }
        return verdict.without(Missing::absent(fact, Some(figure.at)));
    }
    if depth.is_none()
        && let Some(usual) = usual
    {
        verdict.evidence.push(Evidence::derived(
            DEPTH_TAKEN,
            Value::Quantity(usual, Dimension::Length),
            "the claimed depth",
            Mark::Stated,
        ));
    }
    let amount = derive::is_amount(figure.dimension());
    let each = figure.per_diffuser;
    let times = ground.times(figure);
    let best = over_ways(
        ground,
        &mut verdict,
        |way| {
            let solver = match depth.or(usual) {
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
                bad: least_flow,
                turns: &[],
                depends,
                measure: Box::new(move |values| {
                    let Some(settled) = solver.at(values) else {
                        return Measured {
                            needed: promised,
                            ..Measured::default()
                        };
                    };
                    let density = solver.plant.site.density.value;
                    let value = settled
                        .delivered(&solver.plant)
                        .map(|free| if amount { free * density } else { free } / times);
                    let breaches = settled.breaches().to_vec();
                    Measured {
                        value,
                        needed: promised,
                        known_to_hold: None,
                        breaches,
                    }
                }),
            }])
        },
        worst,
    );
    let Some(best) = best else { return verdict };
    let dry = best.judged.iter().all(|one| one.high == Some(0.0));
    if let Some(solver) = ground.laid(best.way, depth.or(usual))
        && let Some(settled) = solver.corner(Corner::Central)
    {
        super::depth::budget(&solver, &settled, &mut verdict);
    }
    verdict.settle_by_one(ground.assumptions, &best.criteria, best.judged);
    if dry && depth.is_none() && ground.facts.package.claims.depth.is_there() {
        verdict.follows = Some(Claim::Depth);
    }
    if best.outcome == Outcome::NotEvaluated {
        verdict.missing = Some(Missing::unusable(
            "the duty point: the compressor's curve ends below it",
            None,
        ));
    }
    verdict
}

/// A flow at a stated pressure is what the compressors' curves give there: lines and diffusers have no
/// part in it, so it is judged without an option too. The way whose machines give most speaks.
fn at_pressure(
    ground: &Ground,
    figure: &Figure,
    pressure: &Figure,
    mut verdict: Verdict,
) -> Verdict {
    let catalog = ground.catalog;
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    let gauge = derive::flow::gauge(pressure, site.pressure);
    let fact = || {
        let fact = format!("the compressor's curve at {}", pressure.text());
        Missing::absent(fact, Some(pressure.at))
    };
    let of_way = |way: Way| -> Result<f64, Missing> {
        let machines = laying::machines(catalog, ground.facts.package, way)?;
        let flows = machines.iter().map(|machine| {
            let one = machine.curve.flow(gauge).ok_or_else(fact)?;
            Ok(one.value() * f64::from(machine.count))
        });
        flows.sum()
    };
    let usual = [Way::Own];
    let ways: Vec<Way> = ground.facts.ways.iter().map(|way| way.way).collect();
    let ways = if ways.is_empty() { &usual[..] } else { &ways };
    let mut best: Option<f64> = None;
    let mut missing = None;
    for way in ways {
        match of_way(*way) {
            Ok(flow) => best = Some(best.map_or(flow, |best| best.max(flow))),
            Err(fact) => {
                missing.get_or_insert(fact);
            }
        }
    }
    let Some(flow) = best else {
        return verdict.without(missing.unwrap_or_else(fact));
    };
    let flow = if derive::is_amount(figure.dimension()) {
        flow * site.density.value
    } else {
        flow
    } / ground.times(figure);
    let promised = figure.low();
    let criteria = vec![Criterion {
        name: "curve",
        says: "air by the curve at the stated pressure",
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        bad: least_flow,
        turns: &[],
        depends: vec![Name::CurveTolerance],
        measure: Box::new(move |values| Measured {
            value: Some(flow * values[Name::CurveTolerance]),
            needed: promised,
            known_to_hold: None,
            breaches: Vec::new(),
        }),
    }];
    verdict.judge_by_one(ground.assumptions, criteria);
    verdict
}
