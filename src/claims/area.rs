//! How large a pond is served: how far the diffusers stir, how often the water is lifted, how much
//! air a deep pond takes to stay mixed.
//!
//! Reach is the tightest of the three in shallow water, and rests on cells seen beside line
//! plumes. So it refutes a claim only together with a second criterion that fails at its centre.

use std::sync::Arc;

use crate::assumptions::{End, Name, Values};
use crate::catalog::Figure;
use crate::derive::corners::least_flow;
use crate::derive::pond::ACRE;
use crate::derive::{Corner, Missing, Pond, Solver};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Judged, Outcome, Sense};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, over_ways};
use super::water::{depth_of, lifted_depends, mean_depth, measure};

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

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Area, figure);
    let times = ground.times(figure);
    let area = figure.high() * times;
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
                // One that couldn't be read was told where it stands; that there is none at all
                // `claim.depth-and-area-together` tells.
                return Err(Missing::unusable("a depth for the area", place));
            }
            Ok(criteria(ground, solver, area))
        },
        combine,
    );
    let Some(best) = best else { return verdict };
    // The way's own criteria hold the solver; it is needed once more for what is rated.
    let solver = ground.laid(best.way, depth);
    let dry = best
        .judged
        .iter()
        .any(|one| one.name == "reach" && one.high == Some(0.0));
    // What is only advice decides nothing, and is listed last.
    let (advice, hard): (Vec<_>, Vec<_>) = best
        .criteria
        .into_iter()
        .zip(best.judged)
        .partition(|(criterion, _)| criterion.name == ADVICE);
    let (criteria, judged): (Vec<_>, Vec<_>) = hard.into_iter().unzip();
    verdict.settle(ground.assumptions, &criteria, judged);
    verdict
        .criteria
        .extend(advice.into_iter().map(|(_, judged)| judged));
    verdict.outcome = best.outcome;
    // No air reaches the water at that depth: that is the depth's fault, and told there.
    if dry && ground.facts.package.claims.depth.is_there() {
        verdict.follows = Some(Claim::Depth);
    }
    if let Some(solver) = solver {
        rate(ground, &solver, area, &mut verdict);
        verdict.rated = verdict.rated.map(|rated| rated / times);
        verdict.range = verdict.range.map(|(low, high)| (low / times, high / times));
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
pub fn criteria<'a>(ground: &Ground<'a>, solver: Arc<Solver<'a>>, area: f64) -> Vec<Criterion<'a>> {
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
    let (for_reach, for_turnover, for_mixing) = (solver.clone(), solver.clone(), solver);
    let mut lifted = lifted_depends(&for_turnover);
    if volume.is_none() {
        lifted.push(mean_depth(basin));
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
            turns: &[],
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
            turns: &[],
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
            turns: &[],
            depends: mixed,
            measure: Box::new(move |values| {
                measure(&for_mixing, basin, values, area, |pond| {
                    (pond.mixing_area(values[Name::MixingAir]), Vec::new())
                })
            }),
        },
    ]
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
    // Where the corners of different criteria bind, the favourable one may be the lesser.
    verdict.range = low.zip(high).map(|(a, b)| (a.min(b), a.max(b)));
}

/// The areas in m2 at which the verdict on a claim changes, at a solver's depth; nothing where the
/// compressor's curve ends before that is known. A pond's own volume, where one is claimed, isn't in them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Up to it an area is supported.
    pub supported: Option<f64>,
    /// What is rated.
    pub rated: Option<f64>,
    /// Beyond it an area is contradicted: a criterion fails at its good corner, and two fail centrally.
    pub contradicted: Option<f64>,
}

/// The bounds for a solver at its depth.
pub fn bounds(ground: &Ground, solver: &Solver) -> Bounds {
    let assumptions = ground.assumptions;
    let basin = ground.catalog.site.basin();
    let rating = ground.rating;
    // Reach, turnover and mixing air, the last whether or not it is only advice here.
    let capacities = |corner: Corner, values: &Values, turnovers: f64, mixing: f64| {
        let settled = solver.corner(corner)?;
        let pond = Pond::of(&solver.plant, &settled.duty, basin)?;
        let areas = [
            pond.reach_area(values).value,
            pond.turnover_area(turnovers, values).value,
            pond.mixing_area(mixing),
        ];
        let hard = if pond.mixing_applies() { 3 } else { 2 };
        let least = areas[..hard].iter().copied().fold(f64::INFINITY, f64::min);
        Some((areas, least))
    };
    let at = |corner: Corner, end: End| {
        let values = assumptions.ends(|_| end);
        let (turnovers, mixing) = (values[Name::TurnoversNeeded], values[Name::MixingAir]);
        capacities(corner, &values, turnovers, mixing)
    };
    let basis = assumptions
        .central()
        .with(Name::ReachPerDepth, rating.reach_per_depth)
        .with(Name::Coverage, 1.0);
    let rated = capacities(
        Corner::Central,
        &basis,
        rating.turnovers_per_day,
        rating.mixing_air,
    );
    let central = at(Corner::Central, End::Central);
    let best = at(Corner::GreatestFlow, End::Favourable);
    Bounds {
        supported: at(Corner::LeastFlow, End::Unfavourable).map(|(_, least)| least),
        rated: rated.map(|(_, least)| least),
        contradicted: best.zip(central).map(|((_, least), (mut areas, _))| {
            areas.sort_by(f64::total_cmp);
            least.max(areas[1])
        }),
    }
}

/// Whether a claim is the rating, as people round it: half a per cent apart.
fn at_the_limit(claim: f64, rated: f64) -> bool {
    claim <= rated * 1.005
}

/// Depths of reach, turnovers and air for each area that the claim comes to: facts, whatever the verdict.
fn facts(pond: &Pond, area: f64, central: &Values, verdict: &mut Verdict) {
    let coverage = central[Name::Coverage];
    if let Some(needed) = pond.reach_needed(area, coverage) {
        verdict.evidence.push(Evidence::derived(
            "share of the stirred circles that counts as pond",
            Value::Number(coverage, "".into()),
            "geometry: equal circles covering a plane",
            Mark::Exact,
        ));
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
    // What these are worked out from, so that a reader can do it again.
    for one in pond.diffusers.iter().filter(|one| one.amount > 0.0) {
        verdict.evidence.push(Evidence::derived(
            format!("water over the bubbles of {} diffusers", one.count),
            Value::Quantity(one.depth, Dimension::Length),
            "the diffusers' depth less the height they stand",
            Mark::Stated,
        ));
    }
    verdict.evidence.push(Evidence::derived(
        "volume of that pond",
        Value::Quantity(pond.volume(area, central), Dimension::Volume),
        "area, greatest depth and mean depth over it",
        Mark::FromMemory,
    ));
}

/// Whether an area is served at a depth, by every criterion that decides, at central values; nothing
/// where that isn't known.
pub fn holds_centrally(ground: &Ground, area: f64, depth: f64) -> Option<bool> {
    ground
        .facts
        .ways
        .iter()
        .filter_map(|way| {
            let solver = solver_at(way, depth).ok()?;
            let judged: Vec<Judged> = criteria(ground, solver, area)
                .iter()
                .map(|one| one.judge(ground.assumptions))
                .filter(|one| one.name != ADVICE)
                .collect();
            super::depth::all_hold(&judged)
        })
        .reduce(|a, b| a || b)
}
