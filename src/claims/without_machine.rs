//! Bounds that need no duty point: what is impossible whatever curve, line or machine a package turns out to have.
//!
//! Where a fact is missing a claim isn't judged; but water weighs what it weighs, compression takes its work, and
//! a running compressor is heard. What these refute is refuted with every fact that could still come.

use smallvec::smallvec;

use crate::assumptions::{Ends, Name};
use crate::catalog::{Compressor, Figure};
use crate::derive::flow::{self as air, Air};
use crate::derive::pond::{Setting, Stirring};
use crate::derive::{Pond, machine, supply};
use crate::physics::friction::{Line, SMOOTH_PLASTIC};
use crate::physics::oxygen_transfer::OXYGEN_IN_AIR;
use crate::physics::sound::{Decibels, at_distance};
use crate::physics::{power, reach};
use crate::units::Dimension;
use crate::units::quantity::{FreeAir, GaugePressure, si};

use super::Ground;
use super::area::served;
use super::criterion::{Criterion, Measured, Sense, WIDER};
use super::depth::greatest;
use super::most_air::{self, Depths, air_at, most_diffusers, weight};
use super::oxygen::PER_FOOT;
use super::verdict::Verdict;

/// Depths beyond which no diffuser stirs, whatever else is said for it: twice the longest published cell.
/// Judgement.
pub const FARTHEST: f64 = 15.0;
/// The name of the criterion by the reach that nothing has.
pub const FARTHEST_REACH: &str = "farthest";

/// The name of the criterion by what all the air there can be serves.
pub const SERVED: &str = "served";

/// The name of the criterion by what the stated air takes along a line.
pub const LINE: &str = "line";

/// A pond holds no less, m3: a smaller one is a tub. Judgement.
pub(super) const LEAST_POND: f64 = 1.0;

/// A bound as a criterion: a figure of the facts against one of the claim, without any range.
struct Bound {
    name: &'static str,
    says: &'static str,
    dimension: Dimension,
    sense: Sense,
    value: f64,
    needed: f64,
}

/// `verdict` refuted by `bound`, with `possible` in the claim's own terms; nothing where the bound leaves it open.
fn refuted(
    ground: &Ground,
    verdict: &Verdict,
    bound: &Bound,
    possible: Option<f64>,
) -> Option<Verdict> {
    if bound.sense.holds(bound.value, bound.needed) {
        return None;
    }
    let (value, needed) = (bound.value, bound.needed);
    let criterion = Criterion {
        name: bound.name,
        says: bound.says,
        dimension: bound.dimension,
        sense: bound.sense,
        bad: Ends::UNFAVOURABLE,
        turns: &[],
        depends: Vec::new(),
        measure: Box::new(move |_| Measured {
            value: Some(value),
            needed,
            ..Measured::default()
        }),
    };
    let mut refuted = verdict.clone();
    refuted.judge_by_one(ground, vec![criterion]);
    refuted.missing = None;
    refuted.rated = None;
    refuted.within_rating = Some(false);
    refuted.range = possible.map(|possible| (possible, possible));
    Some(refuted)
}

/// Every compressor of every way, once.
fn compressors<'a>(ground: &Ground<'a>) -> Vec<(&'a Compressor, u32)> {
    let package = ground.facts.package;
    let own = ground
        .facts
        .ways
        .iter()
        .map(|way| way.way.compressors(package));
    let mut all: Vec<(&Compressor, u32)> = Vec::new();
    for one in own
        .chain([&package.compressor])
        .filter_map(|uses| uses.known())
        .flatten()
    {
        let Some(part) = ground.catalog.compressors.get(&one.part.id) else {
            continue;
        };
        match all
            .iter_mut()
            .find(|(known, _)| known.entry.id == part.entry.id)
        {
            Some((_, count)) => *count = (*count).max(one.count),
            None => all.push((part, one.count)),
        }
    }
    all
}

/// The greatest pressure in Pa that anything says of a compressor.
fn greatest_stated(part: &Compressor) -> Option<f64> {
    let air = Air::of_curve(&part.conditions);
    let gauge =
        |figure: &Figure| air::gauge_of(figure.high(), figure.dimension(), air.pressure).value();
    // What it may hold is less than what it could.
    if let Some(most) = part.max_pressure.known() {
        return Some(gauge(most));
    }
    // A curve that ends while air still comes says nothing of where it would end.
    let shut_off = supply::all(part)
        .filter_map(|supply| {
            supply
                .curve
                .known()?
                .iter()
                .find(|point| point.flow.high() == 0.0)
        })
        .map(|point| &point.pressure);
    shut_off
        .chain(part.relief.known())
        .map(gauge)
        .reduce(f64::max)
}

/// The same over every compressor of the package; nothing where one says nothing.
pub(super) fn most_pressure(ground: &Ground) -> Option<f64> {
    let all = compressors(ground);
    let stated: Option<Vec<f64>> = all.iter().map(|(part, _)| greatest_stated(part)).collect();
    stated?.into_iter().reduce(f64::max)
}

/// A depth whose water weighs more than the greatest pressure that any of its compressors is said to have.
pub(super) fn depth(ground: &Ground, depth: f64, verdict: Verdict) -> Verdict {
    let Some(most) = most_pressure(ground) else {
        return verdict;
    };
    let weight = |depth: f64| weight(ground, depth);
    let bound = Bound {
        name: "head",
        says: "weight of the water over the diffusers",
        dimension: Dimension::GaugePressure,
        sense: Sense::AtMost,
        value: weight(depth),
        needed: most,
    };
    refuted(ground, &verdict, &bound, Some(most / weight(1.0))).unwrap_or(verdict)
}

/// The greatest depth in m that any air comes through; nothing where neither a curve nor a greatest pressure says.
pub(super) fn deepest(ground: &Ground) -> Option<f64> {
    let ways = ground.facts.ways.iter();
    let solvers: Option<Vec<_>> = ways.map(|way| way.solver.as_ref().ok()).collect();
    let by_air = solvers.and_then(|all| {
        let depths = all.into_iter().map(|solver| greatest(solver));
        depths
            .collect::<Option<Vec<f64>>>()?
            .into_iter()
            .reduce(f64::max)
    });
    let by_pressure = most_pressure(ground).map(|most| most / weight(ground, 1.0));
    by_air.into_iter().chain(by_pressure).reduce(f64::min)
}

/// A pond that no depth lets the diffusers stir: each farther than any does, or all with more air than there is.
pub(super) fn area(
    ground: &Ground,
    (area, times): (f64, f64),
    figure: &Figure,
    verdict: Verdict,
) -> Verdict {
    let setting = Setting::of(ground.catalog, ground.facts.package, Some(figure));
    let Some(depths) = Depths::of(ground, figure) else {
        return verdict;
    };
    // Of the depth that favours it most, the criterion that binds there.
    let bounds = depths.all.iter().filter_map(|&depth| {
        let farthest = farthest(ground, depth)?;
        let served = pond(ground, setting, depth)
            .map_or(f64::INFINITY, |pond| served(&pond, ground.assumptions));
        Some(if served < farthest {
            (served, SERVED, "area that all the air it can have serves")
        } else {
            (
                farthest,
                FARTHEST_REACH,
                "area within fifteen depths of a diffuser",
            )
        })
    });
    let Some((most, name, says)) = bounds.max_by(|a, b| a.0.total_cmp(&b.0)) else {
        return verdict;
    };
    let most = most * depths.between * depths.between;
    let bound = Bound {
        name,
        says,
        dimension: Dimension::Area,
        sense: Sense::AtLeast,
        value: most,
        needed: area,
    };
    refuted(ground, &verdict, &bound, Some(most / times)).unwrap_or(verdict)
}

/// Area in m2 within fifteen depths of the diffusers; nothing without any.
fn farthest(ground: &Ground, depth: f64) -> Option<f64> {
    let count = ground.facts.package.diffuser_count();
    let count = match air_at(ground, depth) {
        Some(air) => count.min(most_diffusers(air)),
        None => count,
    };
    let depths = vec![si::metres(depth); count as usize];
    (count > 0).then(|| reach::reach_area(&depths, 1.0, FARTHEST).value.value)
}

/// A volume greater than the claimed area at the claimed depth everywhere, within the digits of the three.
pub(super) fn volume(ground: &Ground, claimed: f64, most: f64, verdict: Verdict) -> Verdict {
    let bound = Bound {
        name: "box",
        says: "claimed area times claimed depth",
        dimension: Dimension::Volume,
        sense: Sense::AtLeast,
        value: most,
        needed: claimed * 0.99,
    };
    refuted(ground, &verdict, &bound, Some(most)).unwrap_or(verdict)
}

/// The most free air in m3/s that the compressors of any way give against no pressure, with the favourable end
/// of the tolerance on their curves; nothing where one doesn't say.
pub(super) fn open_flow(ground: &Ground) -> Option<f64> {
    let tolerance = ground.assumptions[Name::CurveTolerance].favourable;
    let most = most_air::of_ways(ground, &most_air::greatest_flow)?;
    (most > 0.0).then_some(most * tolerance)
}

/// The diffusers at a depth, with all the air they can have there; nothing where nothing bounds that.
fn pond(ground: &Ground, setting: Setting, depth: f64) -> Option<Pond> {
    let site = &ground.catalog.site;
    let around = Air::at(site.altitude_m(), site.air_k());
    let air = air_at(ground, depth)?;
    let stated = ground.facts.package.diffuser_count().max(1);
    let count = f64::from(stated.min(most_diffusers(air)));
    Some(Pond {
        settled: None,
        diffusers: smallvec![Stirring {
            count,
            depth,
            own_depth: true,
            amount: air * around.density.value / count,
            source_radius: None,
        }],
        setting,
        depth,
        ambient: around.pressure,
        water: site.water_k(),
    })
}

/// More of the water than all the air could lift from any depth; `of` is what that comes to in the promise's own
/// terms, of the water and the depth it is lifted from. Every range of the plume is in its favour, with a factor of
/// two where its equation ends.
pub(super) fn water(
    ground: &Ground,
    figure: &Figure,
    setting: Setting,
    promised: f64,
    of: impl Fn(f64, f64) -> f64,
    verdict: Verdict,
) -> Verdict {
    let Some(depths) = Depths::of(ground, figure) else {
        return verdict;
    };
    let favourable = ground.assumptions.ends(&Ends::FAVOURABLE);
    let lifted = |&depth: &f64| {
        let lifted = pond(ground, setting, depth)?.lifted(&favourable);
        let wider = if lifted.breaches.is_empty() {
            1.0
        } else {
            WIDER
        };
        Some(of(lifted.water * wider, depths.pond.unwrap_or(depth)))
    };
    // One depth without a bound is a way out.
    let all: Option<Vec<f64>> = depths.all.iter().map(lifted).collect();
    let Some(most) = all.and_then(|all| all.into_iter().reduce(f64::max)) else {
        return verdict;
    };
    let most = most * depths.between * depths.between;
    let bound = Bound {
        name: "all-lifted",
        says: "what all the air of the machine could lift",
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        value: most,
        needed: promised,
    };
    refuted(ground, &verdict, &bound, Some(most)).unwrap_or(verdict)
}

/// The name of the bound by the air against no pressure, and what it is.
pub const OPEN_FLOW: (&str, &str) = ("open-flow", "air against no pressure");
/// The name of the bound by what the stated air and watts leave possible at a pressure or depth, and what it is.
pub const AIR_THERE: (&str, &str) = ("air-there", "most air by the stated flow and watts");

/// More air than a bound by that name and of that meaning.
pub(super) fn flow(
    ground: &Ground,
    ((name, says), most): ((&'static str, &'static str), f64),
    promised: f64,
    figure: &Figure,
    verdict: &Verdict,
) -> Option<Verdict> {
    let bound = Bound {
        name,
        says,
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        value: most,
        needed: promised,
    };
    refuted(ground, verdict, &bound, Some(most))
}

/// More of the oxygen than the air has, at whatever depth.
pub(super) fn share(ground: &Ground, promised: f64, verdict: Verdict) -> Verdict {
    let bound = Bound {
        name: "whole",
        says: "all the oxygen of the air",
        dimension: Dimension::Share,
        sense: Sense::AtLeast,
        value: 1.0,
        needed: promised,
    };
    refuted(ground, &verdict, &bound, Some(1.0)).unwrap_or(verdict)
}

/// More oxygen than small bubbles take from all the air there can be, at the depth where that is most.
pub(super) fn oxygen(
    ground: &Ground,
    (promised, figure): (f64, &Figure),
    share_of_day: f64,
    times: f64,
    verdict: Verdict,
) -> Verdict {
    let Some(depths) = Depths::of(ground, figure) else {
        return verdict;
    };
    let site = Air::at(
        ground.catalog.site.altitude_m(),
        ground.catalog.site.air_k(),
    );
    let share = ground.assumptions[Name::TransferFine].favourable * PER_FOOT;
    let taken = |&depth: &f64| {
        let air = air_at(ground, depth)? * site.density.value;
        Some(air * OXYGEN_IN_AIR * (share * depth).min(1.0) * share_of_day / times)
    };
    let all: Option<Vec<f64>> = depths.all.iter().map(taken).collect();
    let Some(most) = all.and_then(|all| all.into_iter().reduce(f64::max)) else {
        return verdict;
    };
    let most = most * depths.between;
    let bound = Bound {
        name: "taken",
        says: "oxygen that small bubbles take from all the air it can have",
        dimension: Dimension::MassRate,
        sense: Sense::AtLeast,
        value: most,
        needed: promised,
    };
    refuted(ground, &verdict, &bound, Some(most)).unwrap_or(verdict)
}

/// A line through which the least air that is stated takes more than the greatest pressure.
pub(super) fn airline(
    ground: &Ground,
    (length, bore): (f64, Option<f64>),
    runs: u32,
    verdict: Verdict,
) -> Verdict {
    let (Some(most), Some(air), Some(bore)) =
        (most_pressure(ground), most_air::least(ground), bore)
    else {
        return verdict;
    };
    let site = Air::at(
        ground.catalog.site.altitude_m(),
        ground.catalog.site.air_k(),
    );
    let friction = ground.assumptions[Name::Friction].favourable;
    let line = Line::new(
        si::metres(bore),
        si::metres(length),
        si::kelvins(ground.catalog.site.water_k()),
        si::metres(SMOOTH_PLASTIC),
    )
    .and_then(|line| line.with_friction_times(friction));
    let Ok(line) = line else {
        return verdict;
    };
    let each = FreeAir::cubic_metres_per_second(air / f64::from(runs.max(1))).amount(site.density);
    let start = line.pressure_at_start(each, site.pressure).value;
    // What is lost goes with the squares of the pressures, and with the length.
    let square = |pascals: f64| pascals * pascals - site.pressure.value() * site.pressure.value();
    let possible = length * square(most + site.pressure.value()) / square(start.value());
    let bound = Bound {
        name: LINE,
        says: "pressure that the stated air takes along the line",
        dimension: Dimension::GaugePressure,
        sense: Sense::AtMost,
        value: start.over(site.pressure).value(),
        needed: most,
    };
    refuted(ground, &verdict, &bound, Some(possible)).unwrap_or(verdict)
}

/// Fewer watts than it takes to compress the air that is claimed at a pressure or depth.
pub(super) fn power(ground: &Ground, watts: f64, times: f64, verdict: Verdict) -> Verdict {
    let rows = ground.facts.package.claims.flow.known();
    let works = rows
        .into_iter()
        .flatten()
        .filter_map(|air| work(ground, air));
    let Some(least) = works.reduce(f64::max) else {
        return verdict;
    };
    let least = least / times;
    let bound = Bound {
        name: WORK,
        says: "least work of compressing the claimed air",
        dimension: Dimension::Power,
        sense: Sense::AtMost,
        value: least,
        needed: watts,
    };
    refuted(ground, &verdict, &bound, Some(least)).unwrap_or(verdict)
}

/// The name of the bound by the work of compressing.
pub const WORK: &str = "work";

/// The least work in W that compresses a claimed flow, all diffusers together; nothing where the claim names neither
/// a pressure nor a depth, for then it may be the air against none.
fn work(ground: &Ground, air: &Figure) -> Option<f64> {
    let site = Air::at(
        ground.catalog.site.altitude_m(),
        ground.catalog.site.air_k(),
    );
    let conditions = &air.conditions;
    let at_pressure = conditions.pressure.as_deref();
    let at_depth = conditions.depth.as_deref().map(Figure::low);
    let pressure = at_pressure
        .map(|figure| air::gauge(figure, site.pressure))
        .or(at_depth.map(|depth| GaugePressure::pascals(weight(ground, depth))))?;
    // As little air as the claim may mean: its last digit is in the promise's favour here.
    let least_air = air.quantity.rounding().0.max(0.0) * ground.times(air);
    let free = air::free_air(least_air, air.dimension(), &site, false);
    let free = FreeAir::cubic_metres_per_second(free.value());
    let work = power::isothermal_power(free, site.pressure, pressure);
    Some(work.value.value)
}

/// The name of the bound by what any running machine is heard at.
pub const QUIETEST: &str = "quietest";

/// Beyond the quietest band a machine is still given so much, dB: an error never rests on judgement by a hair.
const SPARE: f64 = 3.0;

/// A level below that of the quietest running compressor in the best of cabinets, at the stated distance.
pub(super) fn sound(ground: &Ground, most: f64, figure: &Figure, verdict: Verdict) -> Verdict {
    let Some(distance) = figure
        .conditions
        .distance
        .as_ref()
        .map(|distance| distance.si())
    else {
        return verdict;
    };
    let all = compressors(ground);
    let quietest = |part: &Compressor| match machine::band(part) {
        Some(band) => band.sound.0,
        None => machine::bands()
            .iter()
            .map(|band| band.sound.0)
            .fold(f64::INFINITY, f64::min),
    };
    let Some(quietest) = all.iter().map(|(part, _)| quietest(part)).reduce(f64::min) else {
        return verdict;
    };
    let cabinet = ground.assumptions[Name::CabinetReduction].favourable;
    let Ok(there) = at_distance(
        Decibels(quietest - cabinet - SPARE),
        si::metres(1.0),
        si::metres(distance),
    ) else {
        return verdict;
    };
    let bound = Bound {
        name: QUIETEST,
        says: "level of the quietest machine of its kind, in the best of cabinets",
        dimension: figure.dimension(),
        sense: Sense::AtMost,
        value: there.value.0,
        needed: most,
    };
    refuted(ground, &verdict, &bound, Some(there.value.0)).unwrap_or(verdict)
}
