//! How much air is delivered: at a stated pressure by the curve, at a depth by the duty point.

use crate::assumptions::Name;
use crate::catalog::{Figure, Given};
use crate::derive::corners::least_flow;
use crate::derive::{self, Missing};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, over_ways, worst};

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
            "depth taken, since the flow states neither pressure nor depth",
            Value::Quantity(usual, Dimension::Length),
            "the claimed depth",
            Mark::Stated,
        ));
    }
    let amount = derive::is_amount(figure.dimension());
    let each = figure.per_diffuser;
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
                    let count = if each {
                        f64::from(solver.plant.diffusers())
                    } else {
                        1.0
                    };
                    let density = solver.plant.site.density.value;
                    let value = settled
                        .delivered(&solver.plant)
                        .map(|free| if amount { free * density } else { free } / count);
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

/// A flow at a stated pressure is what the compressors' curves give there.
fn at_pressure(
    ground: &Ground,
    figure: &Figure,
    pressure: &Figure,
    mut verdict: Verdict,
) -> Verdict {
    let Some(way) = ground.facts.ways.first() else {
        return verdict.without(Missing::absent(
            "an option",
            Some(ground.facts.package.entry.header),
        ));
    };
    let solver = match &way.solver {
        Ok(solver) => solver.clone(),
        Err(missing) => return verdict.without(missing.clone()),
    };
    let promised = figure.low();
    let amount = derive::is_amount(figure.dimension());
    let each = if figure.per_diffuser {
        f64::from(solver.plant.diffusers())
    } else {
        1.0
    };
    let site = solver.plant.site;
    let gauge = derive::flow::gauge(pressure, site.pressure);
    let mut flow = Some(0.0);
    for machine in &solver.plant.machines {
        let one = machine
            .curve
            .flow(gauge)
            .map(|flow| flow.value() * f64::from(machine.count));
        flow = flow.zip(one).map(|(sum, one)| sum + one);
    }
    let Some(flow) = flow else {
        let fact = format!("the compressor's curve at {}", pressure.text());
        return verdict.without(Missing::absent(fact, Some(pressure.at)));
    };
    let flow = if amount {
        flow * site.density.value
    } else {
        flow
    } / each;
    let criteria = vec![Criterion {
        name: "flow",
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
