//! Oxygen given to the water, and the share of it taken up.
//!
//! Two things have two names. The *standard rate* is what a test in clean water free of oxygen gives at 20 °C
//! (SOTR, and SOTE as a share of the air's oxygen: ASCE/EWRI 2). The *uptake* is what a pond takes from the same
//! bubbles: its water is dirtier and holds oxygen already, and the diffuser is no longer new.
//!
//! Both rest on the share of the air's oxygen taken up for each foot of depth: well covered floors of fine bubbles reach
//! 3.0 %, the rating, and a lone small bubble in still water 4.6 %. What surface reaeration adds is no merit of
//! the bubbles, so oxygen alone never refutes an area.

use std::sync::Arc;

use crate::assumptions::{Name, Values};
use crate::catalog::Figure;
use crate::derive::corners::LEAST_FLOW;
use crate::derive::plant::PlantOutlet;
use crate::derive::pond::Setting;
use crate::derive::solver::Settled;
use crate::derive::{Corner, Solver};
use crate::finding::{Evidence, Value};
use crate::physics::Breach;
use crate::physics::oxygen_transfer::{
    FieldConditions, OXYGEN_IN_AIR, TransferPerDepth, field_transfer, standard_transfer,
    transfer_efficiency,
};
use crate::units::quantity::{AirAmount, si};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Sense};
use super::verdict::{Claim, Verdict, as_rated, at_least, over_ways, worst};
use super::water::{beyond, share_of_day, solver_for, waits_for_depth};
use super::{Outcome, each, without_machine};

/// A share for each metre of depth, from % for each foot.
pub const PER_FOOT: f64 = 0.01 / 0.3048;

/// Judges claims of oxygen and of transfer efficiency.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let claims = &ground.facts.package.claims;
    for (rows, claim) in [
        (&claims.oxygen, Claim::Oxygen),
        (&claims.oxygen_uptake, Claim::OxygenUptake),
        (&claims.transfer_efficiency, Claim::TransferEfficiency),
    ] {
        each(ground, claim, rows, verdicts, |figure| {
            one(ground, figure, claim)
        });
    }
}

/// The name of the evidence that says how much oxygen there is.
pub const CARRIED: &str = "oxygen in the air that reaches the water";

fn one(ground: &Ground, figure: &Figure, claim: Claim) -> Verdict {
    at_least(figure, |promised| {
        let mut verdict = match claim {
            Claim::TransferEfficiency => efficiency(ground, figure, promised),
            _ => rate(ground, figure, claim, promised),
        };
        verdict.si = figure.low();
        verdict
    })
}

/// The range of the share taken up from a diffuser's bubbles: fine unless it says coarse.
fn transfer(outlet: &PlantOutlet) -> Name {
    let bubble = outlet.part.bubble.known();
    if bubble.is_some_and(|word| word.text == "coarse") {
        Name::TransferCoarse
    } else {
        Name::TransferFine
    }
}

/// What is rated by `criteria`: their quantity on the rating's basis.
fn rated(ground: &Ground, figure: &Figure, criteria: &[Criterion], verdict: &mut Verdict) {
    let basis = ground.basis();
    let measured = criteria.first().map(|one| (one.measure)(&basis));
    verdict.rated = measured.and_then(|measured| measured.value);
    let read = as_rated(figure, figure.low(), Sense::AtLeast);
    verdict.within_rating = verdict.rated.map(|rated| read <= rated * (1.0 + 1e-9));
}

/// A share of the oxygen, for each length of depth or of the whole. Where several kinds of diffuser stand in a
/// package, the one that takes up most speaks.
fn efficiency(ground: &Ground, figure: &Figure, promised: f64) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::TransferEfficiency, figure);
    let depth = if figure.dimension() == Dimension::SharePerLength {
        None
    } else {
        match super::water::depth_of(ground, figure) {
            Some(depth) => Some(depth),
            None => {
                let verdict = verdict.without(ground.no_depth());
                return without_machine::share(ground, promised, verdict);
            }
        }
    };
    let uses = ground
        .facts
        .package
        .diffuser
        .known()
        .map_or(&[][..], |uses| uses);
    let parts = uses
        .iter()
        .filter_map(|one| ground.catalog.diffusers.get(&one.part.id));
    let coarse = |part: &crate::catalog::Diffuser| {
        part.bubble
            .known()
            .is_some_and(|word| word.text == "coarse")
    };
    let all_coarse =
        !uses.is_empty() && parts.clone().count() == uses.len() && parts.clone().all(coarse);
    let name = if all_coarse {
        Name::TransferCoarse
    } else {
        Name::TransferFine
    };
    let criteria = vec![Criterion {
        name: "transfer",
        says: "share of the oxygen taken up",
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        bad: LEAST_FLOW,
        turns: &[],
        depends: vec![name],
        measure: Box::new(move |values| {
            let share = TransferPerDepth::per_metre(values[name] * PER_FOOT);
            let value = match depth {
                Some(depth) => transfer_efficiency(share, si::metres(depth)).value,
                None => share.value(),
            };
            Measured {
                value: Some(value),
                needed: promised,
                ..Measured::default()
            }
        }),
    }];
    let judged = criteria
        .iter()
        .map(|one| one.judge(ground.assumptions))
        .collect();
    verdict.settle_by_one(ground, &criteria, judged);
    rated(ground, figure, &criteria, &mut verdict);
    verdict
}

/// A rate of oxygen: the standard test's, or what the pond takes up.
fn rate(ground: &Ground, figure: &Figure, claim: Claim, promised: f64) -> Verdict {
    let mut verdict = Verdict::new(ground, claim, figure);
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    let share = share_of_day(figure, setting);
    let times = ground.times(figure);
    let in_pond = claim == Claim::OxygenUptake;
    let best = over_ways(
        ground,
        &mut verdict,
        |way| {
            let solver = solver_for(ground, way, figure)?;
            Ok(vec![given_criterion(
                solver,
                figure,
                in_pond,
                promised,
                share / times,
            )])
        },
        worst,
    );
    let Some(best) = best else {
        return without_machine::oxygen(ground, (promised, figure), share, times, verdict);
    };
    if waits_for_depth(ground, figure, &best.judged) {
        let verdict = verdict.waits_for_depth();
        return without_machine::oxygen(ground, (promised, figure), share, times, verdict);
    }
    verdict.settle_by_one(ground, &best.criteria, best.judged);
    rated(ground, figure, &best.criteria, &mut verdict);
    if verdict.outcome == Outcome::NotEvaluated {
        verdict.missing = Some(beyond());
    }
    if let Some(place) = best.place {
        carried(ground, place, figure, share / times, &mut verdict);
    }
    verdict
}

/// The oxygen a plant gives against what is promised, `scale` times what its diffusers give while it runs.
fn given_criterion<'a>(
    solver: Arc<Solver<'a>>,
    figure: &Figure,
    in_pond: bool,
    promised: f64,
    scale: f64,
) -> Criterion<'a> {
    let mut depends = solver.depends();
    depends.extend(solver.plant.outlets.iter().map(transfer));
    if in_pond {
        depends.extend([Name::Alpha, Name::Beta, Name::Fouling, Name::OxygenTarget]);
    }
    depends.dedup();
    Criterion {
        name: "transfer",
        says: if in_pond {
            "oxygen the pond takes up"
        } else {
            "oxygen given to clean water, by the standard test"
        },
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        bad: LEAST_FLOW,
        turns: solver.plant.turns(),
        depends,
        measure: Box::new(move |values| {
            let settled = solver
                .at(values)
                .filter(|settled| settled.beyond().is_none());
            let Some(settled) = settled else {
                return Measured {
                    needed: promised,
                    ..Measured::default()
                };
            };
            let (value, breaches) = given(&solver, &settled, values, in_pond);
            Measured {
                value: Some(value * scale),
                needed: promised,
                breaches,
                ..Measured::default()
            }
        }),
    }
}

/// Oxygen in kg/s that the bubbles of all diffusers give, while the machine runs.
fn given(solver: &Solver, settled: &Settled, values: &Values, in_pond: bool) -> (f64, Vec<Breach>) {
    let mut breaches: Vec<Breach> = settled.breaches().to_vec();
    let mut sum = 0.0;
    for outlet in &settled.duty().outlets {
        let share = values[transfer(&solver.plant.outlets[outlet.label])] * PER_FOOT;
        let efficiency =
            transfer_efficiency(TransferPerDepth::per_metre(share), outlet.depth).value;
        let amount = AirAmount::kilograms_per_second(outlet.amount.value());
        let standard = standard_transfer(amount, efficiency);
        let rate = if in_pond {
            let conditions = FieldConditions {
                alpha: values[Name::Alpha],
                beta: values[Name::Beta],
                fouling: values[Name::Fouling],
                effective_depth: EFFECTIVE_DEPTH,
                temperature: si::kelvins(solver.plant.water),
                ambient: solver.plant.site.pressure,
                oxygen: si::kilograms_per_cubic_metre(values[Name::OxygenTarget] * 1e-3),
                depth: outlet.depth,
            };
            field_transfer(standard, &conditions).gather(&mut breaches)
        } else {
            standard
        };
        sum += outlet.count * rate.value.max(0.0);
    }
    (sum, breaches)
}

/// Share of the depth at which bubbles are in balance with the water: a third, as tests of fine bubbles have it
/// (from memory). It moves saturation by some per cent in ponds, less than any range here.
const EFFECTIVE_DEPTH: f64 = 0.33;

/// How much oxygen there is in the air at all, and how much of it the promise comes to for each foot of depth.
fn carried(ground: &Ground, place: usize, figure: &Figure, scale: f64, verdict: &mut Verdict) {
    let Ok(solver) = solver_for(ground, &ground.facts.ways[place], figure) else {
        return;
    };
    let sums = |corner: Corner| {
        let settled = solver.corner(corner)?;
        let outlets = settled.duty().outlets.iter();
        Some(outlets.fold((0.0, 0.0), |(air, depth), outlet| {
            let amount = outlet.count * outlet.amount.value();
            (air + amount, depth + amount * outlet.depth.value)
        }))
    };
    // A contradicted claim is told at the most air there can be.
    let corner = if verdict.outcome == Outcome::Contradicted {
        Corner::GreatestFlow
    } else {
        Corner::Central
    };
    if let Some((air, _)) = sums(Corner::GreatestFlow) {
        verdict.evidence.push(Evidence::derived(
            CARRIED,
            Value::Quantity(air * OXYGEN_IN_AIR * scale, Dimension::MassRate),
            "duty point at its most air, and 23.14 % of oxygen by mass in dry air",
            Mark::Published,
        ));
    }
    if let Some((_, by_depth)) = sums(corner).filter(|(_, by_depth)| *by_depth > 0.0) {
        let needed = verdict.si / (by_depth * OXYGEN_IN_AIR * scale);
        verdict.evidence.push(Evidence::derived(
            TRANSFER_NEEDED,
            Value::Quantity(needed, Dimension::SharePerLength),
            "the promise over the oxygen in the air and its depth",
            Mark::Published,
        ));
    }
}

/// The name of the evidence that says what share the bubbles would have to give up.
pub const TRANSFER_NEEDED: &str = "share the bubbles would have to give up";
