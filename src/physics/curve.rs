//! A compressor's curve: how much air it moves at each pressure.
//!
//! The flow is free air, a volume at the inlet; the pressure is gauge. A curve is never
//! carried on past its last point: what a machine does beyond the pressures it was
//! tested at isn't known.

use std::sync::Arc;

use super::refusal::{Refusal, bound};
use super::{Breach, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{AbsolutePressure, FreeAir, GaugePressure, Power, si};

/// Flow between the stated points of a curve.
///
/// A cubic through every two neighbours with the slopes
/// `d_k = (w1 + w2) / (w1/D_{k−1} + w2/D_k)`, `w1 = 2 h_k + h_{k−1}`,
/// `w2 = h_k + 2 h_{k−1}`, 0 where D_{k−1} or D_k is 0 or they differ in sign;
/// at the ends the three-point slope `((2 h_1 + h_2) D_1 − h_1 D_2) / (h_1 + h_2)`, set
/// to 0 where its sign is not D_1's, held to 3 D_1 where D_1 and D_2 differ in sign.
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | h_k | distance of two neighbours in pressure | Pa |
/// | D_k | slope of the chord between them | m3/(s Pa) |
/// | d_k | slope of the curve at a point | m3/(s Pa) |
///
/// It never rises where the points fall, which a spline does. The range is the curve's
/// own. Check: x 0, 2, 4, 5, 6 with y 3, 3, 2.9, 1, 0 gives y(4.5) = 2.100178.
pub static CURVE_FLOW: Equation = Equation {
    name: "flow between the points of a compressor curve",
    formula: "monotone cubic with slopes d_k = (w1 + w2)/(w1/D_{k-1} + w2/D_k)",
    source: "Fritsch and Butland, SIAM J. Sci. Stat. Comput. 5 (1984), as the documentation of scipy's PchipInterpolator gives it",
    mark: Mark::Published,
    ranges: &[],
};

/// Inlet volume at an altitude other than the curve's.
///
/// gauge: `q(p_g)` unchanged · ratio: `q(p_g p_0 / p_a)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | p_0 | air pressure where the curve was taken | Pa |
/// | p_a | air pressure at the site | Pa |
///
/// A machine limited by its force keeps its gauge pressures; one limited by its
/// clearance or its tip speed keeps its pressure ratios. Real machines lie between.
pub static ALTITUDE_MODEL: Equation = Equation {
    name: "curve at another altitude",
    formula: "gauge: q(p_g); ratio: q(p_g p_0/p_a)",
    source: "the two limits of a displacement machine; that machines lie between is a judgement",
    mark: Mark::Judgement,
    ranges: &[Range {
        quantity: "air pressure at the site over that of the curve",
        low: 0.6,
        high: 1.1,
        unit: "",
    }],
};

/// One point of a curve.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CurvePoint {
    /// Pressure at the outlet.
    pub pressure: GaugePressure,
    /// Air drawn in.
    pub flow: FreeAir,
    /// Power from the supply, where stated.
    pub power: Option<Power>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
struct Knot {
    pressure: f64,
    flow: f64,
    slope: f64,
    /// Coefficients of the square and the cube of the way to the next point.
    bend: (f64, f64),
}

/// A compressor's curve; see [`CURVE_FLOW`]. A copy of it costs nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct CompressorCurve {
    knots: Arc<[Knot]>,
    /// (Pa, W) of the points that state a power.
    powers: Arc<[(f64, f64)]>,
}

impl CompressorCurve {
    /// From points in any order.
    ///
    /// One point alone is a curve known at its own pressure only. Refused: no point, one
    /// pressure with two flows, a flow that rises with pressure, a negative value or one
    /// that is no number.
    pub fn new(points: &[CurvePoint]) -> Result<Self, Refusal> {
        let mut knots = Vec::with_capacity(points.len());
        let mut powers = Vec::new();
        for point in points {
            let pressure = bound::pressure("pressure of the curve", point.pressure.value())?;
            let flow = bound::free_air("flow of the curve", point.flow.value())?;
            knots.push(Knot {
                pressure,
                flow,
                slope: 0.0,
                bend: (0.0, 0.0),
            });
            if let Some(power) = point.power {
                let watts = super::refusal::bounded("power", power.value, 0.0, 1e9, "W")?;
                powers.push((pressure, watts));
            }
        }
        if knots.is_empty() {
            return Err(Refusal::Empty {
                of: "point of the compressor curve",
            });
        }
        knots.sort_by(|a, b| a.pressure.total_cmp(&b.pressure));
        knots.dedup();
        powers.sort_by(|a, b| a.0.total_cmp(&b.0));
        powers.dedup_by(|a, b| a.0 == b.0);
        for pair in knots.windows(2) {
            if let [here, next] = pair {
                // Closer than a part in a billion the chord's slope is rounding.
                if next.pressure - here.pressure <= 1e-9 * next.pressure {
                    return Err(Refusal::Repeated {
                        of: "compressor curve",
                        at: next.pressure,
                    });
                }
                if next.flow > here.flow {
                    return Err(Refusal::FlowRises { at: next.pressure });
                }
            }
        }
        set_slopes(&mut knots);
        Ok(CompressorCurve {
            knots: knots.into(),
            powers: powers.into(),
        })
    }

    fn ends(&self) -> (Knot, Knot) {
        let nothing = Knot {
            pressure: 0.0,
            flow: 0.0,
            slope: 0.0,
            bend: (0.0, 0.0),
        };
        // `new` refuses an empty curve.
        (
            self.knots.first().copied().unwrap_or(nothing),
            self.knots.last().copied().unwrap_or(nothing),
        )
    }

    /// Lowest pressure of the curve.
    pub fn first_pressure(&self) -> GaugePressure {
        GaugePressure::pascals(self.ends().0.pressure)
    }

    /// Highest pressure of the curve.
    pub fn last_pressure(&self) -> GaugePressure {
        GaugePressure::pascals(self.ends().1.pressure)
    }

    /// Flow at the lowest pressure, the greatest of the curve.
    pub fn first_flow(&self) -> FreeAir {
        FreeAir::cubic_metres_per_second(self.ends().0.flow)
    }

    /// Flow at the highest pressure, the least of the curve.
    pub fn last_flow(&self) -> FreeAir {
        FreeAir::cubic_metres_per_second(self.ends().1.flow)
    }

    /// Whether the curve goes on to where nothing flows.
    pub fn reaches_shut_off(&self) -> bool {
        self.ends().1.flow == 0.0
    }

    /// Flow at a gauge pressure; nothing outside the curve, except 0 beyond a shut-off.
    pub fn flow(&self, pressure: GaugePressure) -> Option<FreeAir> {
        let p = pressure.value();
        let (first, last) = self.ends();
        let known = p >= first.pressure && (p <= last.pressure || last.flow == 0.0);
        known.then(|| FreeAir::cubic_metres_per_second(self.held(p)))
    }

    /// Power at a gauge pressure, straight between the points that state one; nothing
    /// outside them.
    pub fn power(&self, pressure: GaugePressure) -> Option<Power> {
        let p = pressure.value();
        for pair in self.powers.windows(2) {
            if let [(low, w_low), (high, w_high)] = pair
                && (*low..=*high).contains(&p)
            {
                let share = (p - low) / (high - low);
                return Some(si::watts(w_low + share * (w_high - w_low)));
            }
        }
        self.powers
            .iter()
            .find(|(at, _)| *at == p)
            .map(|(_, watts)| si::watts(*watts))
    }

    /// Flow in m3/s at a pressure in Pa, its first and last value held outside.
    pub(super) fn held(&self, pressure: f64) -> f64 {
        let (first, last) = self.ends();
        if pressure <= first.pressure {
            return first.flow;
        }
        if pressure >= last.pressure {
            return last.flow;
        }
        let mut left = first;
        for right in self.knots.iter() {
            if pressure < right.pressure {
                return between(&left, right, pressure);
            }
            left = *right;
        }
        last.flow
    }
}

/// What a curve says of a flow, read backwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Backwards {
    /// It never gives so much.
    Less,
    /// The greatest pressure in Pa at which it still does.
    At(f64),
    /// It gives more at its last point.
    More,
}

impl CompressorCurve {
    /// [`CompressorCurve::held`] with its slope, m3/s and m3/(s Pa). Past a last point
    /// that isn't the shut-off it is carried on along the last chord: no duty point lies
    /// there, but Newton's method may look there on its way and needs to be led back.
    pub(super) fn carried_on(&self, pressure: f64) -> (f64, f64) {
        let (first, last) = self.ends();
        if pressure <= first.pressure {
            return (first.flow, 0.0);
        }
        if pressure >= last.pressure {
            if last.flow == 0.0 {
                return (0.0, 0.0);
            }
            let chord = match &*self.knots {
                [.., before, last] => (last.flow - before.flow) / (last.pressure - before.pressure),
                _ => 0.0,
            };
            return (last.flow + chord * (pressure - last.pressure), chord);
        }
        let mut left = &first;
        for right in self.knots.iter() {
            if pressure < right.pressure {
                return left.flow_to(right, pressure - left.pressure);
            }
            left = right;
        }
        (last.flow, 0.0)
    }

    /// The greatest pressure at which it still gives `flow` m3/s.
    pub(super) fn backwards(&self, flow: f64) -> Backwards {
        let (first, last) = self.ends();
        if flow > first.flow {
            return Backwards::Less;
        }
        if flow < last.flow {
            return Backwards::More;
        }
        // From the far end, so that of a level stretch the far end is found.
        for pair in self.knots.windows(2).rev() {
            if let [left, right] = pair
                && left.flow >= flow
            {
                return Backwards::At(left.pressure_to(right, flow));
            }
        }
        Backwards::At(last.pressure)
    }
}

impl Knot {
    /// Flow and slope `way` Pa behind this point, on the piece to `next`.
    fn flow_to(&self, next: &Knot, way: f64) -> (f64, f64) {
        let (square, cube) = self.bend;
        let flow = self.flow + way * (self.slope + way * (square + way * cube));
        let slope = self.slope + way * (2.0 * square + way * (3.0 * cube));
        // Rounding may leave the interval by a unit in the last place.
        (flow.clamp(next.flow, self.flow), slope)
    }

    /// The greatest pressure on the piece to `next` at which it gives `flow`.
    fn pressure_to(&self, next: &Knot, flow: f64) -> f64 {
        if flow == next.flow {
            return next.pressure;
        }
        // The piece before may be level: its far end is this one's near end.
        if flow == self.flow {
            return self.pressure;
        }
        let width = next.pressure - self.pressure;
        // Newton's method in a bracket, from the chord.
        let (mut low, mut high) = (0.0, width);
        let mut way = width * (self.flow - flow) / (self.flow - next.flow);
        for _ in 0..60 {
            let (here, slope) = self.flow_to(next, way);
            let excess = here - flow;
            if excess >= 0.0 {
                low = way;
            } else {
                high = way;
            }
            let mut to = way - excess / slope;
            if !(to >= low && to <= high) {
                to = 0.5 * (low + high);
            }
            let moved = (to - way).abs();
            way = to;
            if moved <= 1e-9 * width {
                break;
            }
        }
        self.pressure + way
    }
}

fn between(left: &Knot, right: &Knot, pressure: f64) -> f64 {
    let h = right.pressure - left.pressure;
    let t = (pressure - left.pressure) / h;
    let u = 1.0 - t;
    let value = left.flow * (1.0 + 2.0 * t) * u * u
        + right.flow * t * t * (3.0 - 2.0 * t)
        + h * t * u * (left.slope * u - right.slope * t);
    // Rounding may leave the interval by a unit in the last place.
    value.clamp(right.flow, left.flow)
}

fn set_slopes(knots: &mut [Knot]) {
    let chords: Vec<(f64, f64)> = knots
        .windows(2)
        .filter_map(|pair| match pair {
            [a, b] => {
                let h = b.pressure - a.pressure;
                Some((h, (b.flow - a.flow) / h))
            }
            _ => None,
        })
        .collect();
    for (k, knot) in knots.iter_mut().enumerate() {
        let before = k.checked_sub(1).and_then(|i| chords.get(i));
        let after = chords.get(k);
        knot.slope = match (before, after) {
            (Some((h0, d0)), Some((h1, d1))) => inner_slope(*h0, *d0, *h1, *d1),
            (None, Some(near)) => end_slope(*near, chords.get(1)),
            (Some(near), None) => end_slope(
                *near,
                chords.len().checked_sub(2).and_then(|i| chords.get(i)),
            ),
            (None, None) => 0.0,
        };
    }
    let mut following = chords.iter();
    let mut next = knots.iter().map(|knot| knot.slope).collect::<Vec<_>>();
    next.rotate_left(1);
    for (knot, next) in knots.iter_mut().zip(next) {
        if let Some((h, chord)) = following.next() {
            knot.bend = (
                (3.0 * chord - 2.0 * knot.slope - next) / h,
                (knot.slope + next - 2.0 * chord) / (h * h),
            );
        }
    }
}

fn inner_slope(h0: f64, d0: f64, h1: f64, d1: f64) -> f64 {
    // Flows never rise, so the chords can't differ in sign.
    if d0 == 0.0 || d1 == 0.0 {
        return 0.0;
    }
    let (w1, w2) = (2.0 * h1 + h0, h1 + 2.0 * h0);
    (w1 + w2) / (w1 / d0 + w2 / d1)
}

fn end_slope((h, d): (f64, f64), next: Option<&(f64, f64)>) -> f64 {
    let Some((h_next, d_next)) = next else {
        return d;
    };
    let slope = ((2.0 * h + h_next) * d - h * d_next) / (h + h_next);
    if slope * d <= 0.0 { 0.0 } else { slope }
}

/// How a curve is carried to the site's altitude; see [`ALTITUDE_MODEL`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum AltitudeModel {
    /// The inlet volume stays the same at the same gauge pressure.
    Gauge,
    /// The inlet volume stays the same at the same pressure ratio.
    Ratio {
        /// Air pressure where the curve was taken.
        taken_at: AbsolutePressure,
    },
}

/// One or several like machines on a manifold, each with its own check valve.
#[derive(Debug, Clone, PartialEq)]
pub struct Machine {
    curve: CompressorCurve,
    /// Factor on the flow: the number of machines times their tolerance.
    factor: f64,
    count: f64,
    model: AltitudeModel,
}

impl Machine {
    /// `count` machines of one curve, carried to the site by `model`.
    ///
    /// Refused: no machine, a curve taken at no pressure.
    pub fn new(curve: CompressorCurve, count: u32, model: AltitudeModel) -> Result<Self, Refusal> {
        let count =
            super::refusal::bounded("number of compressors", f64::from(count), 1.0, 10_000.0, "")?;
        if let AltitudeModel::Ratio { taken_at } = model {
            super::refusal::bounded(
                "air pressure of the curve",
                taken_at.value(),
                1_000.0,
                1e7,
                "Pa",
            )?;
        }
        Ok(Machine {
            curve,
            factor: count,
            count,
            model,
        })
    }

    /// The same with every flow `factor` times: a curve's tolerance.
    pub fn with_flow_times(mut self, factor: f64) -> Result<Self, Refusal> {
        self.factor *= bound::factor("factor on the flow", factor)?;
        Ok(self)
    }

    /// The same, `place` of the way from keeping its pressure ratios to keeping its gauge
    /// pressures: as if its curve had been taken so far on the way to a site of `ambient`.
    pub(super) fn towards_gauge(self, place: f64, ambient: AbsolutePressure) -> Self {
        let model = match self.model {
            AltitudeModel::Ratio { taken_at } if place < 1.0 => {
                let (taken_at, site) = (taken_at.value(), ambient.value());
                AltitudeModel::Ratio {
                    taken_at: AbsolutePressure::pascals(taken_at + place * (site - taken_at)),
                }
            }
            _ => AltitudeModel::Gauge,
        };
        Machine { model, ..self }
    }

    /// The curve each of them has.
    pub fn curve(&self) -> &CompressorCurve {
        &self.curve
    }

    /// It in air of `ambient` Pa.
    pub(super) fn source(&self, ambient: f64) -> Source<'_> {
        let ratio = match self.model {
            AltitudeModel::Gauge => None,
            AltitudeModel::Ratio { taken_at } => Some(ambient / taken_at.value()),
        };
        Source {
            curve: &self.curve,
            factor: self.factor,
            count: self.count,
            scale: ratio.map_or(1.0, |ratio| 1.0 / ratio),
            ratio,
        }
    }

    pub(super) fn held(&self, gauge: f64, ambient: f64) -> f64 {
        self.source(ambient).held(gauge)
    }

    /// The gauge pressure at the site at which its curve ends.
    pub(super) fn last_pressure(&self, ambient: f64) -> f64 {
        self.source(ambient).last_pressure()
    }
}

/// Machines of one curve at a site: gauge pressures there, free air in m3/s.
#[derive(Debug, Clone, Copy)]
pub(super) struct Source<'a> {
    curve: &'a CompressorCurve,
    factor: f64,
    count: f64,
    /// How many curve pascals one pascal of gauge pressure at the site is.
    scale: f64,
    /// Pressure of the air over that where the curve was taken, where that counts.
    ratio: Option<f64>,
}

impl Source<'_> {
    /// The same with every flow `factor` times.
    pub(super) fn with_flow_times(mut self, factor: f64) -> Result<Self, Refusal> {
        self.factor *= bound::factor("factor on the flow", factor)?;
        Ok(self)
    }

    /// See [`Machine::towards_gauge`].
    pub(super) fn towards_gauge(self, place: f64) -> Self {
        let ratio = self.ratio.filter(|_| place < 1.0);
        // Both over the pressure of the site: taken_at + place (site − taken_at).
        let scale = ratio.map(|ratio| 1.0 / ratio + place * (1.0 - 1.0 / ratio));
        Source {
            scale: scale.unwrap_or(1.0),
            ratio: scale.map(|scale| 1.0 / scale),
            ..self
        }
    }

    pub(super) fn reaches_shut_off(&self) -> bool {
        self.curve.reaches_shut_off()
    }

    pub(super) fn held(&self, gauge: f64) -> f64 {
        self.factor * self.curve.held(gauge * self.scale)
    }

    /// Flow and its slope, carried on past an open end; see [`CompressorCurve::carried_on`].
    pub(super) fn carried_on(&self, gauge: f64) -> (f64, f64) {
        let (flow, slope) = self.curve.carried_on(gauge * self.scale);
        (self.factor * flow, self.factor * self.scale * slope)
    }

    /// The greatest gauge pressure at which they still give `flow`.
    pub(super) fn backwards(&self, flow: f64) -> Backwards {
        match self.curve.backwards(flow / self.factor) {
            Backwards::At(pressure) => Backwards::At(pressure / self.scale),
            other => other,
        }
    }

    pub(super) fn last_pressure(&self) -> f64 {
        self.curve.last_pressure().value() / self.scale
    }

    pub(super) fn power(&self, gauge: f64) -> Option<f64> {
        let pressure = GaugePressure::pascals(gauge * self.scale);
        self.curve.power(pressure).map(|p| p.value * self.count)
    }

    pub(super) fn note_breaches(&self, gauge: f64, breaches: &mut Vec<Breach>) {
        let stated = Range {
            quantity: "gauge pressure",
            low: self.curve.first_pressure().value(),
            high: self.curve.last_pressure().value(),
            unit: "Pa",
        };
        let pressure = gauge * self.scale;
        // Past a shut-off the check valve is shut: that the flow is 0 is known there.
        if pressure < stated.low
            && let Some(breach) = stated.check(&CURVE_FLOW, pressure)
        {
            breach.note(breaches);
        }
        if let Some(ratio) = self.ratio {
            ALTITUDE_MODEL.note_breaches(&[ratio], breaches);
        }
    }
}

/// What a clearance space and leaky rings leave of a piston's displacement.
///
/// `eta_v = 1 − c (r^(1/n) − 1)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | c | clearance volume over swept volume, 0.03 to 0.13 | – |
/// | r | pressure ratio | – |
/// | n | exponent of the expansion, about 1.3 | – |
///
/// Dry rings leak a further 10 to 15 %. It tells why a piston's curve is nearly flat.
/// Check: c 0.05, n 1.3, r 1.68 gives 0.9755.
pub static CLEARANCE_EFFICIENCY: Equation = Equation {
    name: "volumetric efficiency by clearance",
    formula: "eta_v = 1 - c (r^(1/n) - 1)",
    source: "re-expansion of the clearance gas; range of c from a published lecture on compressors",
    mark: Mark::Published,
    ranges: &[
        Range {
            quantity: "clearance",
            low: 0.0,
            high: 0.13,
            unit: "",
        },
        Range {
            quantity: "pressure ratio",
            low: 1.0,
            high: 8.0,
            unit: "",
        },
    ],
};

/// Volumetric efficiency by clearance; see [`CLEARANCE_EFFICIENCY`].
pub fn clearance_efficiency(clearance: f64, ratio: f64, exponent: f64) -> super::Checked<f64> {
    let grown = crate::units::math::powf(ratio, 1.0 / exponent);
    CLEARANCE_EFFICIENCY.checked(&[clearance, ratio], 1.0 - clearance * (grown - 1.0))
}

/// What mains frequency does to a machine made for another.
///
/// displacement machines: `q ~ f` · regenerative blowers: `q ~ f`, `dp ~ f²`, `W ~ f³`
///
/// A resonant (linear) machine follows no such law and needs its own curve.
/// Check: 50 Hz over 60 Hz gives 0.833, 0.694 and 0.579.
pub static FREQUENCY_LAWS: Equation = Equation {
    name: "machine at another mains frequency",
    formula: "q2/q1 = f2/f1, dp2/dp1 = (f2/f1)^2, W2/W1 = (f2/f1)^3",
    source: "similarity: speed goes with the frequency, flow with speed, pressure with its square; that slip and leaks change nothing is a judgement",
    mark: Mark::Judgement,
    ranges: &[Range {
        quantity: "frequency ratio",
        low: 0.8,
        high: 1.25,
        unit: "",
    }],
};

/// Factors on flow, pressure and power of a regenerative blower at `ratio` times the
/// frequency; displacement machines take the first only. See [`FREQUENCY_LAWS`].
pub fn frequency_factors(ratio: f64) -> super::Checked<(f64, f64, f64)> {
    FREQUENCY_LAWS.checked(&[ratio], (ratio, ratio * ratio, ratio * ratio * ratio))
}
