//! How large a pond is served: how far the diffusers stir, how often the water is lifted, how much
//! air a deep pond takes to stay mixed.
//!
//! Reach is the tightest of the three in shallow water, and rests on cells seen beside line
//! plumes. So it refutes a claim only together with a second criterion that fails at its centre.

use std::sync::Arc;

use crate::assumptions::{End, Name, Values};
use crate::catalog::{Figure, Given};
use crate::derive::corners::{PLUME, least_flow};
use crate::derive::pond::ACRE;
use crate::derive::{Corner, Missing, Pond, Solver};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Judged, Measured, Outcome, Sense};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, over_ways};

/// Judges every claimed area.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .area
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        verdicts.push(one(ground, figure));
    }
}

/// The depth an area is claimed at: its own, else the package's; nothing where there is none.
fn depth_of(ground: &Ground, figure: &Figure) -> Option<f64> {
    figure
        .conditions
        .depth
        .as_ref()
        .map(|depth| depth.high())
        .or(ground.facts.claimed_depth)
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Area, figure);
    let area = figure.high();
    let depth = depth_of(ground, figure);
    let place = ground.facts.package.claims.at;
    let best = over_ways(
        ground,
        &mut verdict,
        |way| {
            let solver = match depth {
                Some(depth) => solver_at(way, depth)?,
                None => way.solver.clone()?,
            };
            if !solver.plant.has_depth {
                // One that is there but couldn't be read has been told already.
                let fact = "a depth for the area";
                return Err(match ground.facts.package.claims.depth {
                    Given::Unreadable => Missing::unusable(fact, place),
                    _ if figure.conditions.unreadable => Missing::unusable(fact, place),
                    _ => Missing::absent(fact, place),
                });
            }
            Ok(criteria(ground, solver, area))
        },
        combine,
    );
    let Some(best) = best else { return verdict };
    // The way's own criteria hold the solver; it is needed once more for what is rated.
    let way = ground
        .facts
        .ways
        .iter()
        .find(|way| way.way.name() == best.way.name());
    let solver = way.and_then(|way| match depth {
        Some(depth) => solver_at(way, depth).ok(),
        None => way.solver.clone().ok(),
    });
    let dry = best
        .judged
        .iter()
        .any(|one| one.name == "reach" && one.high == Some(0.0));
    verdict.settle(ground.assumptions, &best.criteria, best.judged);
    verdict.outcome = best.outcome;
    // No air reaches the water at that depth: that is the depth's fault, and told there.
    if dry && ground.facts.package.claims.depth.is_there() {
        verdict.follows = Some(Claim::Depth);
    }
    if let Some(solver) = solver {
        rate(ground, &solver, area, &mut verdict);
    }
    if verdict.outcome == Outcome::NotEvaluated && verdict.missing.is_none() {
        verdict.missing = Some(Missing::unusable(
            "the duty point: the compressor's curve ends below it",
            None,
        ));
    }
    verdict
}

/// One outcome of the criteria: the worst of the hard ones; refuted only where a second one fails at
/// central values too.
fn combine(judged: &[Judged]) -> Outcome {
    let hard = judged.iter().filter(|one| one.name != ADVICE);
    let worst = super::verdict::worst(&hard.cloned().collect::<Vec<_>>());
    if worst != Outcome::Contradicted {
        return worst;
    }
    let failing = judged
        .iter()
        .filter(|one| one.holds_centrally == Some(false))
        .count();
    if failing >= 2 {
        Outcome::Contradicted
    } else {
        Outcome::Undecided
    }
}

/// The name of the mixing criterion in a pond so shallow that it is only advice.
const ADVICE: &str = "mixing-advice";

/// Reach, turnover and mixing air for `area` m2.
fn criteria<'a>(ground: &Ground<'a>, solver: Arc<Solver<'a>>, area: f64) -> Vec<Criterion<'a>> {
    let basin = ground.catalog.site.basin();
    let volume = ground
        .facts
        .package
        .claims
        .volume
        .known()
        .and_then(|rows| rows.first())
        .map(Figure::high);
    let air = solver.depends();
    let deep = solver.plant.deepest() >= 3.0;
    let mean_depth = match basin {
        crate::catalog::Basin::Flat => Name::MeanDepthFlat,
        crate::catalog::Basin::Bowl => Name::MeanDepthBowl,
        crate::catalog::Basin::Cone => Name::MeanDepthCone,
    };
    let stated_source = solver
        .plant
        .outlets
        .iter()
        .all(|outlet| outlet.part.source_radius.known().is_some());
    let (for_reach, for_turnover, for_mixing) = (solver.clone(), solver.clone(), solver);
    let mut lifted = air.clone();
    lifted.extend(
        PLUME
            .iter()
            .filter(|name| !(stated_source && **name == Name::SourceRadius)),
    );
    if volume.is_none() {
        lifted.push(mean_depth);
    }
    let mut mixed = air;
    mixed.push(Name::MixingAir);
    vec![
        Criterion {
            name: "reach",
            says: "area the diffusers stir",
            dimension: Dimension::Area,
            sense: Sense::AtLeast,
            bad: least_flow,
            depends: vec![Name::ReachPerDepth, Name::Coverage],
            measure: Box::new(move |values| {
                measure(&for_reach, basin, values, area, |pond| {
                    let checked = pond.reach_area(values);
                    (checked.value, checked.breaches)
                })
            }),
        },
        Criterion {
            name: "turnover",
            says: "turnovers a day",
            dimension: Dimension::PerTime,
            sense: Sense::AtLeast,
            bad: least_flow,
            depends: lifted,
            measure: Box::new(move |values| {
                let needed = values[Name::TurnoversNeeded] / 86_400.0;
                measure(&for_turnover, basin, values, needed, |pond| {
                    let volume = volume.unwrap_or_else(|| pond.volume(area, values));
                    let checked = pond.turnovers_a_day(volume, values);
                    (checked.value / 86_400.0, checked.breaches)
                })
            }),
        },
        Criterion {
            name: if deep { "mixing" } else { ADVICE },
            says: "area the air keeps mixed",
            dimension: Dimension::Area,
            sense: Sense::AtLeast,
            bad: least_flow,
            depends: mixed,
            measure: Box::new(move |values| {
                measure(&for_mixing, basin, values, area, |pond| {
                    (pond.mixing_area(values[Name::MixingAir]), Vec::new())
                })
            }),
        },
    ]
}

/// A quantity of the pond at the duty point under `values`.
fn measure(
    solver: &Solver,
    basin: crate::catalog::Basin,
    values: &Values,
    needed: f64,
    quantity: impl Fn(&Pond) -> (f64, Vec<crate::physics::Breach>),
) -> Measured {
    let Some(settled) = solver.at(values) else {
        return Measured {
            needed,
            ..Measured::default()
        };
    };
    let Some(pond) = Pond::of(&solver.plant, &settled.duty, basin) else {
        return Measured {
            needed,
            breaches: settled.breaches().to_vec(),
            ..Measured::default()
        };
    };
    let (value, mut breaches) = quantity(&pond);
    breaches.extend_from_slice(settled.breaches());
    Measured {
        value: Some(value),
        needed,
        known_to_hold: None,
        breaches,
    }
}

/// What area is rated, what the physics allows, and the facts every reader may want.
fn rate(ground: &Ground, solver: &Solver, area: f64, verdict: &mut Verdict) {
    let assumptions = ground.assumptions;
    let basin = ground.catalog.site.basin();
    let rating = ground.rating;
    let central = assumptions.central();
    let pond = |corner: Corner| {
        let settled = solver.corner(corner)?;
        Pond::of(&solver.plant, &settled.duty, basin)
    };
    // The declared basis, with everything else central.
    let basis = central
        .clone()
        .with(Name::ReachPerDepth, rating.reach_per_depth)
        .with(Name::Coverage, 1.0);
    if let Some(pond) = pond(Corner::Central) {
        let mut rated = pond.reach_area(&basis).value;
        rated = rated.min(pond.turnover_area(rating.turnovers_per_day, &basis).value);
        if pond.mixing_applies() {
            rated = rated.min(pond.mixing_area(rating.mixing_air));
        }
        verdict.rated = Some(rated);
        // The claim's own rounding decides at the limit: 0.25 acre is within 0.2499.
        verdict.within_rating = Some(area * (1.0 - 1e-9) <= rated || at_the_limit(area, rated));
        facts(&pond, area, &central, verdict);
    }
    let capacity = |corner: Corner, end: End| {
        let pond = pond(corner)?;
        let values = assumptions.ends(|_| end);
        let mut least = pond.reach_area(&values).value;
        least = least.min(
            pond.turnover_area(values[Name::TurnoversNeeded], &values)
                .value,
        );
        if pond.mixing_applies() {
            least = least.min(pond.mixing_area(values[Name::MixingAir]));
        }
        Some(least)
    };
    let low = capacity(Corner::LeastFlow, End::Unfavourable);
    let high = capacity(Corner::GreatestFlow, End::Favourable);
    verdict.range = low.zip(high);
}

/// Whether a claim is the rating, as people round it: half a per cent apart.
fn at_the_limit(claim: f64, rated: f64) -> bool {
    claim <= rated * 1.005
}

/// Depths of reach, turnovers and air for each area that the claim comes to: facts, whatever the verdict.
fn facts(pond: &Pond, area: f64, central: &Values, verdict: &mut Verdict) {
    if let Some(needed) = pond.reach_needed(area, 1.0) {
        verdict.evidence.push(Evidence::derived(
            "reach needed of each diffuser, in depths",
            Value::Number(needed, "".into()),
            "geometry; published cells reach 2.5 to 7 depths (Riess & Fannelöp 1998)",
            Mark::Published,
        ));
    }
    let turnovers = pond.turnovers_a_day(pond.volume(area, central), central);
    verdict.evidence.push(Evidence::derived(
        "turnovers of that pond a day",
        Value::Quantity(turnovers.value / 86_400.0, Dimension::PerTime),
        "integral bubble plume (Wüest, Brooks & Imboden 1992)",
        Mark::Published,
    ));
    let per_area = pond.air() / crate::physics::diffuser::SCFM / (area / ACRE);
    verdict.evidence.push(Evidence::derived(
        "air for each acre",
        Value::Number(per_area, "scfm/acre".into()),
        "Lorenzen & Fast 1977 ask 1.3 from 3 m on (from memory)",
        Mark::FromMemory,
    ));
}
