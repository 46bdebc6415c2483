//! How large a pond is served: how far the diffusers stir, how often the water is lifted, how much
//! air a deep pond takes to stay mixed.
//!
//! Reach is the tightest of them in shallow water, and rests on cells seen beside line plumes. So it refutes
//! a claim only together with a second criterion that fails at its centre, and not by less than a quarter;
//! beyond [`FARTHEST`] depths it refutes alone. The speed that is left along the surface at the rim bears
//! others out and decides nothing by itself.
//!
//! The verdict, what is possible and what a picture of it shows come from one place, [`bounds`] and the
//! criteria it is made of, so they agree.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Ends, Name, Values};
use crate::catalog::Figure;
use crate::derive::corners::LEAST_FLOW;
use crate::derive::pond::Setting;
use crate::derive::{Corner, Missing, Pond, Solver};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::criterion::{Criterion, Judged, Outcome, Sense, WIDER};
use super::depth::solver_at;
use super::verdict::{Claim, Verdict, as_rated, in_favour, over_ways};
use super::water::{depth_of, lifted_depends, mean_depth, measure};
use super::without_machine;
use super::{Ground, each, is_open};

pub use super::without_machine::{FARTHEST, FARTHEST_REACH, SERVED};

/// A bound of judgement is taken this much farther before a claim beyond it is refuted.
const SPARE: f64 = 1.25;

/// Judges every claimed area.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.area;
    each(ground, Claim::Area, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let times = ground.times(figure);
    let depth = depth_of(ground, figure);
    let mut verdict = in_favour(figure, figure.high(), Sense::AtLeast, |area| {
        of_area(ground, figure, area * times)
    });
    let solver = verdict.way.and_then(|place| {
        let way = &ground.facts.ways[place];
        match depth {
            Some(depth) => solver_at(way, depth).ok(),
            None => way.solver.clone().ok(),
        }
    });
    if let Some(solver) = solver.filter(|_| verdict.outcome != Outcome::NotEvaluated) {
        let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
        let read = as_rated(figure, figure.high(), Sense::AtLeast) * times;
        let area = figure.high() * times;
        rate(ground, &solver, setting, (area, read), &mut verdict);
        verdict.rated = verdict.rated.map(|rated| rated / times);
        verdict.range = verdict.range.map(|(low, high)| (low / times, high / times));
    }
    // What no machine or reach could exceed is possible at most, whatever the other measures allow.
    let bound = verdict
        .deciding()
        .filter(|one| [FARTHEST_REACH, SERVED].contains(&one.name))
        .and_then(|one| one.high)
        .filter(|_| verdict.outcome == Outcome::Contradicted);
    if let Some(most) = bound.map(|bound| bound / times) {
        verdict.rated = verdict.rated.map(|rated| rated.min(most));
        verdict.range = verdict
            .range
            .map(|(low, high)| (low.min(most), high.min(most)));
    }
    verdict
}

/// The verdict on `area` m2.
fn of_area(ground: &Ground, figure: &Figure, area: f64) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Area, figure);
    let depth = depth_of(ground, figure);
    let place = ground.facts.package.claims.at;
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
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
            Ok(criteria(ground, solver, setting, area))
        },
        combine,
    );
    let Some(best) = best else {
        let times = ground.times(figure);
        return without_machine::area(ground, (area, times), figure, verdict);
    };
    let dry = best
        .judged
        .iter()
        .any(|one| one.name == "reach" && one.high == Some(0.0));
    if dry && figure.conditions.depth.is_none() && ground.facts.package.claims.depth.is_there() {
        // What no depth could make true is refuted whatever the depth's own verdict is.
        let verdict = verdict.waits_for_depth();
        return without_machine::area(ground, (area, ground.times(figure)), figure, verdict);
    }
    // What only bears others out decides nothing, and is listed last. How far a reach can be at all is
    // shown where it refutes.
    let decides = |one: &Judged| match one.name {
        FARTHEST_REACH => one.outcome == Outcome::Contradicted,
        name => !is_advice(name),
    };
    let (hard, advice): (Vec<_>, Vec<_>) = best
        .criteria
        .into_iter()
        .zip(best.judged)
        .partition(|(_, judged)| decides(judged));
    let (criteria, judged): (Vec<_>, Vec<_>) = hard.into_iter().unzip();
    verdict.settle(ground, &criteria, judged);
    let advice = advice.into_iter().map(|(_, judged)| judged);
    verdict
        .criteria
        .extend(advice.filter(|one| one.name != FARTHEST_REACH));
    verdict.by_a_hair &= best.outcome != Outcome::Contradicted;
    verdict.outcome = best.outcome;
    if verdict.outcome == Outcome::NotEvaluated && verdict.missing.is_none() {
        verdict.missing = Some(super::water::beyond());
    }
    if is_open(ground, verdict.outcome) {
        return without_machine::area(ground, (area, ground.times(figure)), figure, verdict);
    }
    verdict
}

/// One outcome of the criteria: the worst of the hard ones; refuted where the reach is beyond all, or where
/// one fails everywhere by more than a quarter and a second one fails at central values too.
fn combine(judged: &[Judged]) -> Outcome {
    let farthest = judged.iter().find(|one| one.name == FARTHEST_REACH);
    if farthest.is_some_and(|one| one.outcome == Outcome::Contradicted) {
        return Outcome::Contradicted;
    }
    let decides = |one: &&Judged| !is_advice(one.name) && one.name != FARTHEST_REACH;
    let hard: Vec<Judged> = judged.iter().filter(decides).cloned().collect();
    let worst = super::verdict::worst(&hard);
    if worst != Outcome::Contradicted {
        return worst;
    }
    let beyond = |one: &Judged| {
        one.outcome == Outcome::Contradicted
            && one.high.is_some_and(|most| one.needed >= SPARE * most)
    };
    let failing = judged
        .iter()
        .filter(|one| one.name != FARTHEST_REACH && one.holds_centrally == Some(false))
        .count();
    if failing >= 2 && hard.iter().any(beyond) {
        Outcome::Contradicted
    } else {
        Outcome::Undecided
    }
}

/// The name of the mixing criterion in a pond so shallow that it is only advice.
const MIXING_ADVICE: &str = "mixing-advice";
/// The name of the criterion by the speed along the surface.
const RIM: &str = "rim";

/// Whether a criterion of that name only bears others out.
pub fn is_advice(name: &str) -> bool {
    name == MIXING_ADVICE || name == RIM
}

/// Reach, turnover, mixing air and rim speed for `area` m2.
pub fn criteria<'a>(
    ground: &Ground<'a>,
    solver: Arc<Solver<'a>>,
    setting: Setting,
    area: f64,
) -> Vec<Criterion<'a>> {
    let volume = ground
        .facts
        .package
        .claims
        .volume
        .known()
        .and_then(|rows| rows.first())
        .map(Figure::high);
    let turns = solver.plant.turns();
    let deep = setting.is_mixed_at(solver.plant.deepest());
    let mut lifted = lifted_depends(&solver);
    let mut rim = lifted.clone();
    rim.push(Name::RimSpeed);
    if volume.is_none() {
        lifted.push(mean_depth(setting.basin));
    }
    let mut mixed = solver.depends();
    mixed.push(Name::MixingAir);
    let of_area = |name, says, depends, measure| Criterion {
        name,
        says,
        dimension: Dimension::Area,
        sense: Sense::AtLeast,
        bad: LEAST_FLOW,
        turns,
        depends,
        measure,
    };
    let [for_reach, for_farthest, for_turnover, for_mixing, for_rim] =
        std::array::from_fn(|_| solver.clone());
    vec![
        of_area(
            "reach",
            "area the diffusers stir",
            vec![Name::ReachPerDepth, Name::Coverage, Name::DiffuserDepth],
            Box::new(move |values| {
                measure(&for_reach, setting, values, area, |pond| {
                    let checked = pond.reach_area(values);
                    (checked.value, checked.breaches)
                })
            }),
        ),
        of_area(
            FARTHEST_REACH,
            "area within fifteen depths of a diffuser",
            vec![Name::Coverage, Name::DiffuserDepth],
            Box::new(move |values| {
                measure(&for_farthest, setting, values, area, |pond| {
                    let farthest = values.clone().with(Name::ReachPerDepth, FARTHEST);
                    (pond.reach_area(&farthest).value, Vec::new())
                })
            }),
        ),
        Criterion {
            name: "turnover",
            says: "turnovers a day",
            dimension: Dimension::PerTime,
            sense: Sense::AtLeast,
            bad: LEAST_FLOW,
            turns,
            depends: lifted,
            measure: Box::new(move |values| {
                let needed = values[Name::TurnoversNeeded] / 86_400.0;
                measure(&for_turnover, setting, values, needed, |pond| {
                    let volume = volume.unwrap_or_else(|| pond.volume(area, values));
                    let checked = pond.turnovers_a_day(volume, values);
                    (checked.value / 86_400.0, checked.breaches)
                })
            }),
        },
        of_area(
            if deep { "mixing" } else { MIXING_ADVICE },
            "area the air keeps mixed",
            mixed,
            Box::new(move |values| {
                measure(&for_mixing, setting, values, area, |pond| {
                    (pond.mixing_area(values[Name::MixingAir]), Vec::new())
                })
            }),
        ),
        of_area(
            RIM,
            "area within which the surface still moves",
            rim,
            Box::new(move |values| {
                measure(&for_rim, setting, values, area, |pond| {
                    let lifted = pond.lifted(values);
                    (lifted.rim_area, lifted.breaches.clone())
                })
            }),
        ),
    ]
}

/// What area is rated, what the physics allows, and the facts every reader may want.
fn rate(
    ground: &Ground,
    solver: &Solver,
    setting: Setting,
    (area, read): (f64, f64),
    verdict: &mut Verdict,
) {
    let basis = ground.basis();
    verdict.rated = rated(solver, &basis, setting);
    if let Some(rated) = verdict.rated {
        verdict.within_rating = Some(is_within(read, rated));
    }
    if !ground.with_evidence {
        return;
    }
    let bounds = bounds(solver, &basis, setting);
    verdict.range = bounds.supported.zip(bounds.contradicted);
    let settled = solver.corner(Corner::Central);
    let pond = settled.and_then(|settled| Pond::of(&solver.plant, &settled, setting));
    if let Some(pond) = pond {
        facts(ground, &pond, area, verdict);
    }
}

/// Whether an area is within what is rated: at the limit it is, as people round it, half a per cent apart.
fn is_within(area: f64, rated: f64) -> bool {
    area <= rated * 1.005
}

/// Whether an area is within the rating at a way's own depth, without a verdict on it; nothing where the curve ends
/// before that is known.
pub fn is_within_rating(
    ground: &Ground,
    solver: &Solver,
    setting: Setting,
    figure: &Figure,
) -> Option<bool> {
    let rated = rated(solver, &ground.basis(), setting)?;
    let read = as_rated(figure, figure.high(), Sense::AtLeast) * ground.times(figure);
    Some(is_within(read, rated))
}

/// The areas in m2 that each criterion allows.
struct Areas {
    reach: f64,
    turnover: f64,
    mixing: f64,
    rim: f64,
    /// Whether mixing decides, or is only advice.
    deep: bool,
    /// How much wider reach and turnover are taken, where an equation was used outside its range.
    wider: [f64; 2],
}

impl Areas {
    fn of(pond: &Pond, values: &Values) -> Areas {
        let reach = pond.reach_area(values);
        let lifted = pond.lifted(values);
        let turnovers = values[Name::TurnoversNeeded];
        Areas {
            reach: reach.value,
            turnover: pond.turnover_area(lifted.water, turnovers, values),
            mixing: pond.mixing_area(values[Name::MixingAir]),
            rim: lifted.rim_area,
            deep: pond.mixing_applies(),
            wider: [&reach.breaches, &lifted.breaches].map(|breaches| match breaches.is_empty() {
                true => 1.0,
                false => WIDER,
            }),
        }
    }

    /// The least of those that decide.
    fn least(&self) -> f64 {
        self.least_of(self.reach, self.turnover)
    }

    fn least_of(&self, reach: f64, turnover: f64) -> f64 {
        let mixing = if self.deep {
            self.mixing
        } else {
            f64::INFINITY
        };
        reach.min(turnover).min(mixing)
    }

    /// The least of those that decide, by as much less as equations outside their ranges take.
    fn certain(&self) -> f64 {
        let [reach, turnover] = self.wider;
        self.least_of(self.reach / reach, self.turnover / turnover)
    }

    /// The least of those that decide, by as much more as judgement and equations outside their ranges take.
    fn beyond(&self) -> f64 {
        let [reach, turnover] = self.wider;
        SPARE * self.least_of(self.reach * reach, self.turnover * turnover)
    }

    /// The area beyond which two fail.
    fn second(&self) -> f64 {
        let mut all = [self.reach, self.turnover, self.mixing, self.rim];
        all.sort_by(f64::total_cmp);
        all[1]
    }
}

/// The area in m2 beyond which a pond's air and diffusers serve none: two criteria fail there, one of them with everything for
/// it and by more than a quarter.
pub(super) fn served(pond: &Pond, assumptions: &Assumptions) -> f64 {
    let best = Areas::of(pond, &assumptions.ends(&Ends::FAVOURABLE));
    let central = Areas::of(pond, &assumptions.central());
    best.beyond().max(central.second())
}

/// The areas in m2 at which the verdict on a claim changes, at a solver's depth; nothing where the
/// compressor's curve ends before that is known. A pond's own volume, where one is claimed, isn't in them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Up to it an area is supported.
    pub supported: Option<f64>,
    /// At central values of everything.
    pub central: Option<f64>,
    /// What is rated.
    pub rated: Option<f64>,
    /// Beyond it an area is contradicted.
    pub contradicted: Option<f64>,
    /// The criterion that binds at central values.
    pub binds: &'static str,
}

/// The area that is rated for a solver at its depth.
fn rated(solver: &Solver, basis: &Values, setting: Setting) -> Option<f64> {
    let settled = solver.corners(Corner::Central).next()?;
    let pond = Pond::of(&solver.plant, &settled, setting)?;
    Some(Areas::of(&pond, basis).least())
}

/// The bounds for a solver at its depth.
pub fn bounds(solver: &Solver, basis: &Values, setting: Setting) -> Bounds {
    let assumptions = solver.ranges();
    let ponds = |corner: Corner| {
        let settled = solver.corners(corner);
        let ponds: Option<Vec<Pond>> = settled
            .map(|settled| Pond::of(&solver.plant, &settled, setting))
            .collect();
        ponds.filter(|ponds| !ponds.is_empty())
    };
    let areas = |ponds: &[Pond], values: &Values| -> Vec<Areas> {
        ponds.iter().map(|pond| Areas::of(pond, values)).collect()
    };
    let fold = |of: Vec<f64>, pick: fn(f64, f64) -> f64| of.into_iter().reduce(pick);
    let supported = ponds(Corner::LeastFlow).and_then(|ponds| {
        let areas = areas(&ponds, &assumptions.ends(&Ends::UNFAVOURABLE));
        fold(areas.iter().map(Areas::certain).collect(), f64::min)
    });
    let at_centre = |values: &Values| ponds(Corner::Central).map(|ponds| areas(&ponds, values));
    let middle = at_centre(&assumptions.central());
    let best = ponds(Corner::GreatestFlow);
    let contradicted = best.and_then(|ponds| {
        let values = assumptions.ends(&Ends::FAVOURABLE);
        let most = areas(&ponds, &values);
        let best = fold(most.iter().map(Areas::beyond).collect(), f64::max)?;
        // Of a machine without a curve the centre isn't known; its bound's good end stands for it.
        let central = match &middle {
            Some(areas) => areas.first()?.second(),
            None => fold(
                areas(&ponds, &assumptions.central())
                    .iter()
                    .map(Areas::second)
                    .collect(),
                f64::max,
            )?,
        };
        let all = values.with(Name::ReachPerDepth, FARTHEST);
        let farthest = fold(
            ponds
                .iter()
                .map(|pond| pond.reach_area(&all).value)
                .collect(),
            f64::max,
        )?;
        Some(best.max(central).min(farthest))
    });
    let central = middle.as_ref().and_then(|areas| areas.first());
    let binds = central.map_or("curve", |one| {
        let least = one.least();
        if least == one.reach {
            "reach"
        } else if least == one.turnover {
            "turnover"
        } else {
            "mixing"
        }
    });
    Bounds {
        supported: supported.zip(contradicted).map(|(low, high)| low.min(high)),
        central: central.map(Areas::least),
        rated: rated(solver, basis, setting),
        contradicted,
        binds,
    }
}

/// Depths of reach, turnovers and air for each area that the claim comes to: facts, whatever the verdict.
fn facts(ground: &Ground, pond: &Pond, area: f64, verdict: &mut Verdict) {
    let central = &ground.assumptions.central();
    let basis = &ground.basis();
    let coverage = pond.coverage(basis);
    if let Some(needed) = pond.reach_needed(area, basis) {
        verdict.evidence.push(Evidence::derived(
            REACH_NEEDED,
            Value::Number(needed, "".into()),
            "geometry; published cells reach 2.5 to 7 depths (Riess & Fannelöp 1998)",
            Mark::Published,
        ));
        verdict.evidence.push(Evidence::derived(
            REACH_RATED,
            Value::Number(basis[Name::ReachPerDepth], "".into()),
            "the rating",
            Mark::Stated,
        ));
        verdict.evidence.push(Evidence::derived(
            "share of the stirred circles that counts as pond, as rated",
            Value::Number(coverage, "".into()),
            "the rating",
            Mark::Stated,
        ));
    }
    let turnovers = pond.turnovers_a_day(pond.volume(area, central), central);
    verdict.evidence.push(Evidence::derived(
        "turnovers of that pond a day",
        Value::Quantity(turnovers.value / 86_400.0, Dimension::PerTime),
        "integral bubble plume (Wüest, Brooks & Imboden 1992)",
        Mark::Published,
    ));
    if pond.setting.share_of_day < 1.0 {
        verdict.evidence.push(Evidence::derived(
            "running hours a day",
            Value::Number(pond.setting.share_of_day * 24.0, "h".into()),
            "the catalog",
            Mark::Stated,
        ));
    }
    verdict.evidence.push(Evidence::derived(
        "air on the pond, of its area",
        Value::Quantity(
            pond.air() * pond.setting.share_of_day / area,
            Dimension::AirAmountPerArea,
        ),
        "Lorenzen & Fast 1977 ask 1.3 scfm/acre (5.1 Nm3/h/ha) in layered ponds (from memory)",
        Mark::FromMemory,
    ));
    // What these are worked out from, so that a reader can do it again.
    for one in pond.diffusers.iter().filter(|one| one.amount > 0.0) {
        let lies = pond.lies_at(one, central);
        verdict.evidence.push(Evidence::derived(
            format!("water over the bubbles of {} diffusers", one.count),
            Value::Quantity(lies, Dimension::Length),
            if lies < one.depth {
                "where the basin has them: no depth of their own is stated, and they share it out"
            } else {
                "the diffusers' depth less the height they stand"
            },
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

/// The name of the evidence that says how far each diffuser would have to stir.
pub const REACH_NEEDED: &str = "reach needed of each diffuser, in depths";

/// The name of the evidence that says how far one stirs by the rating.
pub const REACH_RATED: &str = "reach of each diffuser as rated, in depths";

/// Whether an area is served at a depth, by every criterion that decides, at central values; nothing
/// where that isn't known.
pub fn holds_centrally(ground: &Ground, figure: &Figure, area: f64, depth: f64) -> Option<bool> {
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    ground
        .facts
        .ways
        .iter()
        .filter_map(|way| {
            let solver = solver_at(way, depth).ok()?;
            let judged: Vec<Judged> = criteria(ground, solver, setting, area)
                .iter()
                .filter(|one| !is_advice(one.name) && one.name != FARTHEST_REACH)
                .map(|one| one.judge(ground.assumptions))
                .collect();
            super::depth::all_hold(&judged)
        })
        .reduce(|a, b| a || b)
}
