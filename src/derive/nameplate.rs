//! What the two numbers of a plate say of a machine without a curve: bounds of its flow, never a guess.
//!
//! Flow doesn't rise with pressure, so at no pressure is there more than against none (`open_flow`), and below the
//! pressure of a stated flow (`rated`) there is at least that much. What the machine's watts can compress at the best
//! efficiency its technology could have bounds it from above as well. Where the curve of a technology is straight
//! or bows outwards, it lies above the chord from its open flow to nothing at the greatest continuous pressure: the
//! machine still moves air there, so the chord errs on the low side.
//!
//! Open flow and greatest pressure never occur together, so no bound is made of the two as one point.
//!
//! A plate may also promise more pressure than machines of its technology run at. Up to that pressure it is believed;
//! above it nothing is sure; and several times above it no such machine gives air.

use crate::catalog::{Compressor, Figure, Supply};
use crate::physics::curve::{CompressorCurve, CurvePoint};
use crate::physics::head;
use crate::physics::power::{self, TechnologyBand};
use crate::units::quantity::{AbsolutePressure, FreeAir, GaugePressure, si};

use super::flow::{self, Air};
use super::machine;
use super::supply;

/// The least and the most a machine may give, as curves.
#[derive(Debug, Clone, PartialEq)]
pub struct Bounds {
    /// No machine of this plate gives less.
    pub least: CompressorCurve,
    /// No machine of this plate gives more.
    pub most: CompressorCurve,
}

/// Whether a machine of a technology could give any air at `depth` m, in water of 15 °C.
pub fn could_reach(band: &TechnologyBand, depth: f64) -> bool {
    let density = head::water_density(si::kelvins(288.15)).value;
    head::water_head(density, si::metres(depth)).value.value < NEVER * band.pressure.1
}

/// Points of the upper bound up to the greatest continuous pressure, and as many beyond.
const POINTS: usize = 24;

/// How far beyond the greatest continuous pressure the upper bound is drawn: far enough for a duty point there to
/// be seen as one the machine mustn't run at.
const BEYOND: f64 = 3.0;

/// How many times the greatest continuous pressure met of a technology nothing of that technology gives air at.
/// Judgement.
const NEVER: f64 = 5.0;

/// The bounds a plate gives; nothing where it states a curve, or neither open nor rated flow, or no greatest
/// pressure. Its flows are those of its first supply.
pub fn bounds(part: &Compressor, supply: &Supply, taken_in: &Air) -> Option<Bounds> {
    if supply.curve.is_there() || !supply::is_first(part, supply) {
        return None;
    }
    let most_pressure = machine::max_pressure(part).filter(|most| *most > 0.0)?;
    let standard = flow::counts_standard(part);
    let free = |value: f64, figure: &Figure| {
        flow::free_air(value, figure.dimension(), taken_in, standard).value()
    };
    let open = part.open_flow.known();
    let rated = part
        .rated
        .known()
        .filter(|rated| !machine::is_corner(part, rated));
    let rated = rated.and_then(|rated| {
        let at = flow::gauge(rated.conditions.pressure.as_deref()?, taken_in.pressure).value();
        let inside = at > 0.0 && at < most_pressure;
        inside.then(|| (at, free(rated.low(), rated), free(rated.high(), rated)))
    });
    if open.is_none() && rated.is_none() {
        return None;
    }
    let least = least(
        part,
        most_pressure,
        open.map(|open| free(open.low(), open)),
        rated,
    )?;
    let band = machine::band(part);
    let at_efficiency = |efficiency: f64| {
        most(
            part,
            taken_in.pressure,
            most_pressure,
            (open.map(|o| free(o.high(), o)), rated),
            efficiency,
        )
    };
    let met = at_efficiency(band.map_or(1.0, |band| band.efficiency.1))?;
    let least = no_more_than(least, &met, most_pressure)?;
    let most = at_efficiency(band.map_or(1.0, |band| band.impossible_above))?;
    Some(Bounds { least, most })
}

/// The lower bound where it stays below what the watts compress at the best efficiency met of the technology. A plate
/// whose open flow its watts can't keep up contradicts itself; then the watts hold, as they are measured and no air is
/// made without them.
fn no_more_than(
    least: CompressorCurve,
    most: &CompressorCurve,
    most_pressure: f64,
) -> Option<CompressorCurve> {
    let step = most_pressure / POINTS as f64;
    let last = least.last_pressure().value();
    let pressures = (0..=POINTS)
        .map(|place| step * place as f64)
        .filter(|&pressure| pressure < last)
        .chain([last]);
    let points: Vec<(f64, f64, f64)> = pressures
        .filter_map(|pressure| {
            let at = GaugePressure::pascals(pressure);
            let low = least.flow(at)?.value();
            let high = most.flow(at).map_or(f64::INFINITY, |flow| flow.value());
            Some((pressure, low, high))
        })
        .collect();
    if points.iter().all(|&(_, low, high)| low <= high) {
        return Some(least);
    }
    let points: Vec<(f64, f64)> = points
        .iter()
        .map(|&(pressure, low, high)| (pressure, low.min(high)))
        .collect();
    curve(&points)
}

fn curve(points: &[(f64, f64)]) -> Option<CompressorCurve> {
    let points: Vec<CurvePoint> = points
        .iter()
        .map(|&(pressure, flow)| CurvePoint {
            pressure: GaugePressure::pascals(pressure),
            flow: FreeAir::cubic_metres_per_second(flow),
            power: None,
        })
        .collect();
    CompressorCurve::new(&points).ok()
}

/// Whether curves of a technology are straight or bow outwards: all that are met here, by the shapes of their
/// curves (judgement). Of an unstated technology nothing is taken.
fn bows_outwards(part: &Compressor) -> bool {
    machine::technology(part).is_some()
}

/// The chords from open flow over the rated one to nothing.
fn least(
    part: &Compressor,
    most_pressure: f64,
    open: Option<f64>,
    rated: Option<(f64, f64, f64)>,
) -> Option<CompressorCurve> {
    let chords = bows_outwards(part);
    // A drop over so few Pa stands for "nothing is known beyond".
    const STEP: f64 = 1.0;
    let mut points = Vec::new();
    match (open, rated) {
        (Some(open), Some((at, flow, _))) => {
            points.push((0.0, if chords { open.max(flow) } else { flow }));
            points.push((at, flow));
        }
        (None, Some((at, flow, _))) => points.extend([(0.0, flow), (at, flow)]),
        (Some(open), None) => points.push((0.0, open)),
        (None, None) => return None,
    }
    let from = points.last().map_or(0.0, |point| point.0);
    // The chord ends where the plate does, and no later than machines of its technology do.
    let usual = machine::band(part).map_or(most_pressure, |band| band.pressure.1);
    let end = most_pressure.min(usual).max(from + STEP);
    points.push((if chords { end } else { from + STEP }, 0.0));
    curve(&points)
}

/// Open flow, what the watts can compress, and beyond a rated flow's pressure no more than that.
fn most(
    part: &Compressor,
    ambient: AbsolutePressure,
    most_pressure: f64,
    (open, rated): (Option<f64>, Option<(f64, f64, f64)>),
    efficiency: f64,
) -> Option<CompressorCurve> {
    let never = machine::band(part).map_or(f64::INFINITY, |band| NEVER * band.pressure.1);
    let watts = part.supply.power.known().map(Figure::high);
    let at = |pressure: f64| {
        let unit = FreeAir::cubic_metres_per_second(1.0);
        let gauge = GaugePressure::pascals(pressure);
        let work = power::isentropic_power(unit, ambient, gauge).value.value;
        let by_power = watts
            .filter(|_| pressure > 0.0)
            .map(|watts| efficiency * watts / work);
        let by_technology = (pressure >= never).then_some(0.0);
        let by_rating = rated
            .filter(|rated| pressure >= rated.0)
            .map(|rated| rated.2);
        [open, by_power, by_rating, by_technology]
            .into_iter()
            .flatten()
            .reduce(f64::min)
    };
    let step = most_pressure / POINTS as f64;
    let mut points = Vec::new();
    // Without an open flow or watts nothing bounds it below the rated pressure.
    for place in 0..=(POINTS as f64 * BEYOND) as usize {
        let pressure = step * place as f64;
        points.extend(at(pressure).map(|flow| (pressure, flow)));
        // Where it gives nothing it is shut off, and its curve ends.
        if points.last().is_some_and(|&(_, flow)| flow == 0.0) {
            break;
        }
    }
    // Nothing is known of lower pressures than the first that is bounded, and a curve holds from there on only.
    let first = points.first().copied()?;
    if first.0 > 0.0 {
        points.insert(0, (0.0, first.1.max(at(first.0)?)));
    }
    curve(&points)
}
