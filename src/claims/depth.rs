//! How deep the diffusers may lie: the compressor's pressure and the air each diffuser gets.
//!
//! Both criteria move one way with depth, so the depths at which they just hold, at the two
//! corners and at the centre, are what the physics allows and what is rated.

use std::sync::Arc;

use crate::assumptions::{Ends, Values};
use crate::catalog::Figure;
use crate::derive::corners::{GREATEST_PRESSURE, LEAST_VOLUME, turned};
use crate::derive::solver::Settled;
use crate::derive::{Corner, Missing, Solver, WayFacts};
use crate::finding::{Evidence, Value};
use crate::units::quantity::GaugePressure;
use crate::units::{Dimension, Mark};

use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::verdict::{Claim, Verdict, in_favour, over_ways, worst};
use super::without_machine;
use super::{Ground, each};

/// The deepest a search for a capacity looks, m: five times what this trade serves.
const DEEPEST: f64 = 60.0;

/// Judges every claimed depth.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.depth;
    each(ground, Claim::Depth, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = in_favour(figure, figure.high(), Sense::AtLeast, |depth| {
        let mut verdict = Verdict::new(ground, Claim::Depth, figure);
        let Some(found) = over_ways(
            ground,
            &mut verdict,
            |way| criteria(solver_at(way, depth)?),
            worst,
        ) else {
            return without_machine::depth(ground, depth, verdict);
        };
        verdict.within_rating = all_hold(&found.judged);
        verdict.settle(ground, &found.criteria, found.judged);
        if found.outcome == Outcome::NotEvaluated {
            verdict.missing = Some(beyond_the_curve(ground));
        }
        verdict
    });
    let way = verdict.way.map(|place| &ground.facts.ways[place]);
    if let Some(Ok(solver)) = way.map(|way| &way.solver) {
        capacity(ground, solver, &mut verdict);
    }
    verdict
}

/// The solver of a way with a claimed depth of `depth` m. The way's own serves where that is the
/// package's claimed depth.
pub fn solver_at<'a>(way: &WayFacts<'a>, depth: f64) -> Result<Arc<Solver<'a>>, Missing> {
    let usual = way.solver.as_ref().map_err(Clone::clone)?;
    if way.claimed_depth == Some(depth) {
        return Ok(usual.clone());
    }
    Ok(Arc::new(usual.with(usual.plant.clone().at_depth(depth))))
}

/// Whether every criterion holds at central values; nothing where one isn't known.
pub fn all_hold(judged: &[super::Judged]) -> Option<bool> {
    judged
        .iter()
        .map(|one| one.holds_centrally)
        .reduce(|a, b| match (a, b) {
            (Some(false), _) | (_, Some(false)) => Some(false),
            (Some(true), Some(true)) => Some(true),
            _ => None,
        })?
}

/// The fact that is missing where the duty point lies beyond what is known of the machine.
fn beyond_the_curve(ground: &Ground) -> Missing {
    let compressor = ground
        .facts
        .package
        .compressor
        .known()
        .and_then(|uses| uses.first())
        .map_or(String::new(), |one| one.part.id.clone());
    Missing::unusable(
        format!("the curve of compressor {compressor} at the pressure this needs"),
        None,
    )
}

/// Pressure and flow at the plant's depth.
///
/// # Errors
/// The machine's greatest continuous pressure isn't known.
pub fn criteria<'a>(solver: Arc<Solver<'a>>) -> Result<Vec<Criterion<'a>>, Missing> {
    if !solver.plant.has_depth {
        return Err(Missing::absent("the depth", None));
    }
    let Some(most) = solver.plant.max_pressure() else {
        let machine = solver
            .plant
            .machines
            .first()
            .map(|machine| &machine.part.entry);
        let id = machine.map_or("", |entry| &entry.id);
        let fact = format!("the greatest continuous pressure of compressor {id}");
        return Err(Missing::unusable(fact, machine.map(|entry| entry.header)));
    };
    let depends = solver.depends();
    let turns = solver.plant.turns();
    let (for_pressure, for_flow) = (solver.clone(), solver);
    Ok(vec![
        Criterion {
            name: "pressure",
            says: "pressure at the manifold",
            dimension: Dimension::GaugePressure,
            sense: Sense::AtMost,
            bad: GREATEST_PRESSURE,
            turns: &[],
            depends: depends.clone(),
            measure: Box::new(move |values| match for_pressure.at(values) {
                Some(settled) => {
                    let measured = pressure(&settled, most);
                    let measured = pressure_for_air(&for_pressure, &settled, values, measured);
                    Measured {
                        at: Some(settled),
                        ..measured
                    }
                }
                None => Measured {
                    needed: most,
                    ..Measured::default()
                },
            }),
        },
        Criterion {
            name: "flow",
            says: "air at the least-fed diffuser",
            dimension: Dimension::VolumeFlow,
            sense: Sense::AtLeast,
            bad: LEAST_VOLUME,
            turns,
            depends,
            measure: Box::new(move |values| least_air(&for_flow, values)),
        },
    ])
}

/// Where no air comes through: what the machine must hold for every diffuser to get any. What it stops at says nothing
/// of that, and may be less than the water alone.
fn pressure_for_air(
    solver: &Solver,
    settled: &Settled,
    values: &Values,
    mut measured: Measured,
) -> Measured {
    if settled.is_dry() {
        let plant = &solver.plant;
        let outlets = plant.outlets.iter();
        let opening = outlets.filter_map(|outlet| plant.opening_pressure(outlet, values));
        measured.value = opening.reduce(f64::max);
    }
    measured
}

/// The manifold's pressure against the greatest for continuous running.
fn pressure(settled: &Settled, most: f64) -> Measured {
    Measured {
        value: settled.pressure(),
        needed: most,
        // Beyond the curve the pressure is at least that of its last point.
        known_to_hold: settled.beyond().filter(|&last| last > most).map(|_| false),
        ..Measured::default()
    }
}

/// Free air at the diffuser that gets least of what it needs, against its least.
fn least_air(solver: &Solver, values: &Values) -> Measured {
    let Some(settled) = solver.at(values) else {
        // Of a machine of which only bounds are known nothing is solved between them.
        let outlets = solver.plant.outlets.iter();
        let least = outlets.filter_map(|outlet| solver.plant.working(outlet, values).0);
        return Measured {
            needed: least.fold(0.0, f64::max) / solver.plant.inlet_density(values).value,
            ..Measured::default()
        };
    };
    let limited = within_the_limit(solver, &settled, values);
    let fed = settled
        .least_fed()
        .map(|(_, amount, least)| (amount, least));
    let known = match (fed, limited) {
        (Some((amount, least)), Some(limited)) => Some((amount.min(limited), least)),
        (None, Some(limited)) => settled.least.first().map(|least| (limited, *least)),
        (fed, None) => fed,
    };
    match known {
        Some((amount, least)) => Measured {
            value: Some(amount / settled.inlet_density),
            // Without a stated least, any air at all.
            needed: if least > 0.0 {
                least / settled.inlet_density
            } else {
                f64::MIN_POSITIVE
            },
            at: Some(settled),
            ..Measured::default()
        },
        None => Measured {
            needed: settled.least.iter().copied().fold(0.0, f64::max) / settled.inlet_density,
            at: Some(settled),
            ..Measured::default()
        },
    }
}

/// Of a machine without a curve that would have to hold more than it may: the air of each diffuser, kg/s, that its
/// line lets through at the greatest pressure it may hold. The bound of its flow knows nothing of that. Where the
/// water alone is too much, the pressure says so.
fn within_the_limit(solver: &Solver, settled: &Settled, values: &Values) -> Option<f64> {
    let plant = &solver.plant;
    let most = plant.max_pressure()?;
    let beyond = settled
        .beyond()
        .or(settled.pressure())
        .is_some_and(|held| held > most);
    let opens = plant.outlets.iter().all(|outlet| {
        plant
            .opening_pressure(outlet, values)
            .is_some_and(|opening| opening < most)
    });
    if !(plant.is_bounded() && plant.is_even() && beyond && opens) {
        return None;
    }
    let network = plant.network(values).ok()?;
    let all = network.drawn_at(GaugePressure::pascals(most)).value();
    Some(all / f64::from(plant.diffusers().max(1)))
}

/// What depth is rated, and what the physics allows at the two corners.
fn capacity(ground: &Ground, solver: &Solver, verdict: &mut Verdict) {
    if !ground.with_evidence {
        let central = solver.ranges().central();
        verdict.rated = deepest(solver, &central, &central);
        return;
    }
    let (low, rated, high) = capacities(solver);
    verdict.rated = rated;
    verdict.range = low.zip(high);
    if let Some(settled) = solver.corner(Corner::Central) {
        budget(solver, &settled, verdict);
    }
}

/// The greatest depth in m: with everything against it, at central values, with everything for it.
pub fn capacities(solver: &Solver) -> (Option<f64>, Option<f64>, Option<f64>) {
    let central = solver.ranges().central();
    (
        over_turns(solver, Corner::GreatestPressure, LEAST_VOLUME, f64::min),
        deepest(solver, &central, &central),
        greatest(solver),
    )
}

/// The greatest depth in m with everything for it.
pub fn greatest(solver: &Solver) -> Option<f64> {
    over_turns(
        solver,
        Corner::LeastPressure,
        LEAST_VOLUME.other(),
        f64::max,
    )
}

/// Where branches share the air unlike, the worst or the best of what turns.
fn over_turns(
    solver: &Solver,
    pressure: Corner,
    flow: Ends,
    pick: fn(f64, f64) -> f64,
) -> Option<f64> {
    let ranges = solver.ranges();
    let by_pressure = pressure.values(ranges);
    turned(ranges, flow, solver.plant.turns(), &solver.depends())
        .map(|by_flow| deepest(solver, &by_pressure, &by_flow))
        .reduce(|a, b| Some(pick(a?, b?)))
        .flatten()
}

/// The greatest depth in m at which both criteria hold; nothing where the curve ends before that is
/// known.
pub fn deepest(solver: &Solver, by_pressure: &Values, by_flow: &Values) -> Option<f64> {
    let most = solver.plant.max_pressure()?;
    if let Some(limit) = solver.deepest((by_pressure, by_flow), DEEPEST) {
        // Told to the millimetre below: at the limit itself a rounding decides.
        return limit
            .within(DEEPEST)
            .map(|depth| (depth * 1e3).floor() / 1e3);
    }
    let holds = |depth: f64| {
        let at = solver.with(solver.plant.clone().all_at_depth(depth));
        holds_at(&at, by_pressure, by_flow)
    };
    let (mut shallow, mut deep) = (0.0, DEEPEST);
    if holds(shallow) != Some(true) {
        return holds(shallow).map(|_| 0.0);
    }
    // A start near the end saves halvings: the head the machine could hold if nothing else took any.
    let head = most / (9.80665 * 998.0) + 0.5;
    if head < deep && holds(head) == Some(false) {
        deep = head;
    }
    // To a millimetre, which is finer than anyone lays a line.
    while deep - shallow > 1e-3 {
        let middle = f64::midpoint(shallow, deep);
        match holds(middle) {
            Some(true) => shallow = middle,
            Some(false) => deep = middle,
            None => return None,
        }
    }
    Some(shallow)
}

/// Whether pressure and least air hold at the plant's depth; nothing where the curve ends too soon.
pub fn holds_at(solver: &Solver, by_pressure: &Values, by_flow: &Values) -> Option<bool> {
    let most = solver.plant.max_pressure()?;
    let settled = solver.at(by_pressure)?;
    let first = pressure_for_air(solver, &settled, by_pressure, pressure(&settled, most));
    let pressure_holds = first.value.map(|value| value <= first.needed);
    let second = least_air(solver, by_flow);
    let flow_holds = second.value.map(|value| value >= second.needed);
    match (pressure_holds.or(first.known_to_hold), flow_holds) {
        (Some(false), _) | (_, Some(false)) => Some(false),
        (Some(true), Some(true)) => Some(true),
        _ => None,
    }
}

/// The central pressure budget, as evidence.
pub(super) fn budget(solver: &Solver, settled: &Settled, verdict: &mut Verdict) {
    let duty = settled.duty();
    let Some(outlet) = duty
        .outlets
        .iter()
        .max_by(|a, b| a.depth.value.total_cmp(&b.depth.value))
    else {
        return;
    };
    let pressure = |name: &'static str, pascals: f64, source: &'static str, mark: Mark| {
        Evidence::derived(
            name,
            Value::Quantity(pascals, Dimension::GaugePressure),
            source,
            mark,
        )
    };
    let mut evidence = vec![
        pressure(
            "water over the diffuser",
            outlet.water_head.value,
            "hydrostatics",
            Mark::Exact,
        ),
        pressure(
            "diffuser",
            outlet.diffuser_loss.value,
            if solver.plant.outlets[outlet.label].loss_is_default() {
                "default for a diffuser whose loss isn't stated"
            } else {
                "the diffuser's stated loss"
            },
            if solver.plant.outlets[outlet.label].loss_is_default() {
                Mark::FromMemory
            } else {
                Mark::Stated
            },
        ),
    ];
    if outlet.check_valve_loss.value > 0.0 {
        let mark = if solver.plant.outlets[outlet.label].check_valve_is_default() {
            Mark::Judgement
        } else {
            Mark::Stated
        };
        evidence.push(pressure(
            "check valve",
            outlet.check_valve_loss.value,
            "opening pressure",
            mark,
        ));
    }
    if outlet.line_loss.value > 0.0 {
        let source = "isothermal flow with Churchill's friction factor (1977)";
        evidence.push(pressure(
            AIRLINE,
            outlet.line_loss.value,
            source,
            Mark::Published,
        ));
    }
    let fittings = outlet.fitting_loss.value + outlet.valve_loss.value;
    if fittings > 0.0 {
        evidence.push(pressure(
            "barbs and valves",
            fittings,
            "loss coefficients",
            Mark::Published,
        ));
    }
    // Where no air flows, they aren't the whole of what the machine works against.
    let sum = outlet.water_head.value
        + outlet.diffuser_loss.value
        + outlet.check_valve_loss.value
        + outlet.line_loss.value
        + fittings;
    if (sum - duty.manifold.value()).abs() <= 0.01 * sum {
        evidence.push(pressure(
            "these together",
            duty.manifold.value(),
            "the duty point of the typical case",
            Mark::Exact,
        ));
    }
    verdict.evidence.extend(evidence);
}

/// The name of the evidence that says what the airline takes.
const AIRLINE: &str = "airline";

/// What the airline takes at central values, Pa, where there is one.
pub fn airline_loss(verdict: &Verdict) -> Option<f64> {
    let one = verdict.evidence.iter().find(|one| one.name == AIRLINE)?;
    match one.value {
        Value::Quantity(pascals, _) => Some(pascals),
        _ => None,
    }
}
