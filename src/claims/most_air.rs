//! How much air the stated facts leave possible at a depth, where no duty point is known: by the air that is stated, and by the
//! watts, of which no machine makes more air than compressing it takes.

use crate::assumptions::Name;
use crate::catalog::{Compressor, Figure, Use};
use crate::derive::flow::{self, Air};
use crate::derive::{machine, supply};
use crate::physics::{head, power};
use crate::units::quantity::{GaugePressure, si};

use super::Ground;
use super::water::depth_of;

/// Less air than this comes out of no diffuser as bubbles, m3/s: a small stone's litre a minute. Common practice, no
/// source.
const LEAST: f64 = 1.0 / 60_000.0;

/// A small motor draws up to so many times what its shaft gives. Common practice, no source.
const SHAFT_TO_DRAWN: f64 = 2.0;

/// The shallowest water that is called a pond, m. Judgement.
const SHALLOWEST: f64 = 0.3;

/// A depth over the next shallower one that is tried, where none is stated.
const STEP: f64 = 1.1;

/// The depths a promise may be meant at.
pub(super) struct Depths {
    /// Each in m.
    pub all: Vec<f64>,
    /// How deep the pond is, where somebody says; diffusers may hang higher.
    pub pond: Option<f64>,
    /// What lies between two of them is no more than so many times the greater of what they give.
    pub between: f64,
}

impl Depths {
    /// The promise's own or the package's; where none is stated, or one that no air comes
    /// through, all down to the deepest that some does; nothing where nobody says either.
    pub fn of(ground: &Ground, figure: &Figure) -> Option<Depths> {
        let deepest = super::without_machine::deepest(ground);
        let is_reached = |depth: &f64| deepest.is_none_or(|deepest| *depth <= deepest);
        let stated = depth_of(ground, figure).filter(|depth| *depth > 0.0);
        if let Some(depth) = stated.filter(is_reached) {
            return Some(Depths {
                all: vec![depth],
                pond: Some(depth),
                between: 1.0,
            });
        }
        let deepest = deepest?;
        let steps = std::iter::successors(Some(deepest), |depth| Some(depth / STEP));
        let all: Vec<f64> = steps.take_while(|depth| *depth >= SHALLOWEST).collect();
        (!all.is_empty()).then_some(Depths {
            all,
            pond: stated,
            between: STEP,
        })
    }
}

/// What water of a depth in m weighs, Pa.
pub(super) fn weight(ground: &Ground, depth: f64) -> f64 {
    let density = head::water_density(si::kelvins(ground.catalog.site.water_k())).value;
    head::water_head(density, si::metres(depth)).value.value
}

/// As many diffusers as so much air in m3/s leaves bubbling.
pub(super) fn most_diffusers(air: f64) -> u32 {
    (air / LEAST).clamp(1.0, 1e6) as u32
}

/// The most free air in m3/s against a pressure in Pa that the stated air and watts allow, of the way that has most;
/// nothing where neither is stated.
pub(super) fn against(ground: &Ground, pressure: f64) -> Option<f64> {
    of_ways(ground, &|part| of_part(ground, part, pressure))
}

/// The most free air in m3/s at a depth, of the way that has most; nothing where neither air nor watts are stated.
pub(super) fn air_at(ground: &Ground, depth: f64) -> Option<f64> {
    let by_parts = against(ground, weight(ground, depth));
    by_parts
        .into_iter()
        .chain(promised(ground, depth))
        .reduce(f64::min)
}

/// Over the ways to buy the package: the most of the sums over their compressors.
pub(super) fn of_ways(ground: &Ground, of: &dyn Fn(&Compressor) -> Option<f64>) -> Option<f64> {
    let package = ground.facts.package;
    let of_way = |uses: &Vec<Use>| {
        let each = uses.iter().map(|one| {
            let part = ground.catalog.compressors.get(&one.part.id)?;
            Some(of(part)? * f64::from(one.count))
        });
        each.sum::<Option<f64>>()
    };
    let ways = ground.facts.ways.iter();
    let all: Option<Vec<f64>> = ways
        .map(|way| way.way.compressors(package))
        .chain([&package.compressor])
        .filter_map(|uses| uses.known())
        .map(of_way)
        .collect();
    all?.into_iter().reduce(f64::max)
}

/// The most that a compressor gives against a pressure in Pa.
fn of_part(ground: &Ground, part: &Compressor, pressure: f64) -> Option<f64> {
    let taken = Air::of_curve(&part.conditions);
    let tolerance = ground.assumptions[Name::CurveTolerance].favourable;
    let stated = flows(part)
        .into_iter()
        .filter(|(at, _)| *at <= pressure)
        .map(|(_, flow)| flow * tolerance);
    let open = greatest_flow(part).map(|flow| flow * tolerance);
    let watts = supply::all(part)
        .filter_map(|supply| supply.power.known())
        .map(|power| {
            let drawn = if power.quantity.unit().is_of_a_shaft() {
                SHAFT_TO_DRAWN
            } else {
                1.0
            };
            drawn * power.quantity.rounding().1
        })
        .reduce(f64::max);
    let efficiency = machine::band(part).map_or(1.0, |band| band.impossible_above);
    let by_watts = watts.map(|watts| {
        let gauge = GaugePressure::pascals(pressure);
        power::most_flow(si::watts(watts), efficiency, taken.pressure, gauge)
            .value
            .value()
    });
    let all = stated.chain(open).chain(by_watts);
    // A machine that gives nothing at all is none, and its facts are at fault.
    all.reduce(f64::min).filter(|most| *most > 0.0)
}

/// What a compressor is said to give, with the pressure in Pa it gives it against, the least pressure first; nothing where
/// that rises with pressure, as no machine's does.
fn flows(part: &Compressor) -> Vec<(f64, f64)> {
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let rated = part.rated.known().and_then(|rated| {
        let at = rated.conditions.pressure.as_deref()?;
        Some((at, rated))
    });
    let points = supply::all(part)
        .filter_map(|supply| supply.curve.known())
        .flatten()
        .map(|point| (&point.pressure, &point.flow));
    let mut all: Vec<(f64, f64)> = points
        .chain(rated)
        .map(|(at, flow)| {
            let free = flow::free_air(flow.high(), flow.dimension(), &taken, standard);
            (flow::gauge(at, taken.pressure).value(), free.value())
        })
        .collect();
    all.sort_by(|a, b| a.0.total_cmp(&b.0));
    if all.is_sorted_by(|a, b| a.1 >= b.1) {
        all
    } else {
        Vec::new()
    }
}

/// The greatest flow anything says of a compressor, once it says what it gives against no pressure.
pub(super) fn greatest_flow(part: &Compressor) -> Option<f64> {
    let open = supply::all(part)
        .filter_map(|supply| machine::open_flow(part, supply))
        .reduce(f64::max)?;
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let free = |figure: &Figure| {
        flow::free_air(figure.high(), figure.dimension(), &taken, standard).value()
    };
    let stated = flows(part).into_iter().map(|(_, flow)| flow);
    Some(
        stated
            .chain(part.open_flow.known().map(free))
            .fold(open, f64::max),
    )
}

/// The least flow in m3/s that anything says of all compressors, with the unfavourable end of the tolerance on it: against what
/// is stated they give that or more.
pub(super) fn least(ground: &Ground) -> Option<f64> {
    let tolerance = ground.assumptions[Name::CurveTolerance].unfavourable;
    of_ways(ground, &|part| {
        let last = flows(part).pop()?;
        Some(last.1 * tolerance)
    })
}

/// The air that is promised at this depth or a shallower one: deeper there is no more.
fn promised(ground: &Ground, depth: f64) -> Option<f64> {
    let package = ground.facts.package;
    let rows = package.claims.flow.known().map_or(&[][..], |rows| rows);
    let site = Air::at(
        ground.catalog.site.altitude_m(),
        ground.catalog.site.air_k(),
    );
    rows.iter()
        .filter(|row| {
            let own = row.conditions.depth.as_deref();
            own.is_some_and(|own| own.low() <= depth)
        })
        .map(|row| {
            let most = row.quantity.rounding().1 * ground.times(row);
            flow::free_air(most, row.dimension(), &site, false).value()
        })
        .reduce(f64::min)
}
