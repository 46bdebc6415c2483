//! The water that rises with the bubbles of one diffuser.
//!
//! A column of bubbles drags water up and draws in more from its sides. Two fluxes
//! describe it, water and momentum, and two equations say how they grow with the
//! height above the diffuser. [`plume`] solves them up to the surface.
//!
//! The model is for still water of one density. Layered water belongs to
//! [`super::stratification`], closed formulas for the same flow to
//! [`super::plume_forms`].

mod reduced;

use super::rising_air::{Column, DRY_AIR_GAS_CONSTANT, PRESSURE_PER_DEPTH};
use super::water_properties::GRAVITY;
use super::{Breach, Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{AirAmount, Length, Velocity, VolumeRate, si};

/// Water that rises with the bubbles of one diffuser, at the surface.
///
/// ```text
/// dQ/dz = 2 a sqrt(pi M)                                water drawn in at the side
/// dM/dz = g Qg(z) / (gamma (kappa V + vs))              weight of water the bubbles replace
/// Qg(z) = m R T / (p + rho g (H - z))                   bubbles expand as they rise
/// V = M / Q,   kappa = 2 / (1 + lambda^2)
/// ```
///
/// | symbol | meaning | unit |
/// | --- | --- | --- |
/// | `Q` | water flow through the plume's section | m3/s |
/// | `M` | momentum flux over density | m4/s2 |
/// | `z` | height above the diffuser, at the surface `H` | m |
/// | `a` | entrainment, top-hat: drawn-in velocity over plume velocity | – |
/// | `lambda` | width of the bubbles over width of the rising water | – |
/// | `vs` | velocity of a bubble against the water around it | m/s |
/// | `gamma` | momentum carried by turbulence, over that of the mean flow | – |
/// | `Qg` | volume flow of the air `m` at the local pressure | m3/s |
///
/// Written in fluxes, the equations are the same for a top-hat and for a Gaussian
/// section: a top-hat coefficient is sqrt(2) of the Gaussian one.
///
/// **Start.** With no source radius, the flow of a pure plume at a thousandth of the
/// depth: half-width `1.2 a z`, and the velocity at which buoyancy feeds it,
/// `V^2 (kappa V + vs) = 0.75 g Qg z / (gamma pi b^2)`. What that leaves out changes
/// the flow at the surface by less than 1e-4. With a source radius `rd`, the water starts
/// `rd / 0.8` wide at the velocity of a densimetric Froude number `Fr`,
/// `V = Fr sqrt(2 rd g e / (1 - e))`, where `e = Qg / ((V + vs) pi rd^2)`, at most 0.9,
/// is the share of air. The divisor 0.8 stays as it is when `lambda` is varied: with
/// `rd / lambda` the flow would no longer grow with `lambda`.
///
/// **Solution.** A point source has two numbers only and is read from a polynomial in
/// them, within 6e-7 of the integral; a wide one takes a few steps, and more until an
/// error of 2e-6 is ruled out. Whatever lies outside both is integrated: 72 steps of
/// fourth-order Runge-Kutta in `s = (z/H)^(1/3)`, in which both fluxes are nearly
/// polynomials, within 7e-7 of 1500 steps from 0.3 to 20 m and from 0.01 to 9.4 L/s of
/// air.
///
/// - Left out: air that dissolves (at most a tenth at 2 m, which changes the flow by
///   less than 2 %), layers, currents, the turn below the surface.
/// - Uncertainty: a factor of 2 either way from 2 m on, more in shallower water, where
///   the plume never gets free of its source.
/// - Check value: 1.25 standard cubic feet a minute at 1.8288 m, `a` 0.11, `lambda`
///   0.8, `vs` 0.25 m/s, `gamma` 1.1: `Q` 49.070 L/s, `M` 0.012856 m4/s2.
/// - No air or no depth gives no flow. What isn't a number gives no flow and a breach.
pub fn plume(air: AirAmount, column: &Column, constants: &PlumeConstants) -> Checked<Plume> {
    let breaches = breaches(air, column, constants);
    let flow = air.value();
    let known = constants.are_numbers() && column.stands() && flow > 0.0 && flow.is_finite();
    let rise = Rise::new(flow, column, constants);
    let end = if known {
        rise.end(constants)
    } else {
        Fluxes::STILL
    };
    // Numbers too great to calculate with are out of every range, so the breach is
    // there already.
    let sound = end.water.is_finite() && end.momentum.is_finite() && end.water > 0.0;
    let end = if sound { end } else { Fluxes::STILL };
    let centreline = if sound {
        2.0 * end.momentum / end.water
    } else {
        0.0
    };
    Checked {
        value: Plume {
            water: si::cubic_metres_per_second(end.water),
            momentum: MomentumFlux(end.momentum),
            centreline: si::metres_per_second(centreline),
            slip_velocity: constants.slip_velocity,
        },
        breaches,
    }
}

/// What is uncertain about a plume. Their ranges are assumptions of the program, and
/// none has a value here.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlumeConstants {
    /// `a`: top-hat entrainment, the drawn-in velocity over the plume's.
    pub entrainment: f64,
    /// `lambda`: width of the bubble core over width of the rising water.
    pub bubble_spread: f64,
    /// `vs`: velocity of a bubble against the water around it.
    pub slip_velocity: Velocity,
    /// `gamma`: momentum carried by turbulence too, over that of the mean flow.
    pub momentum_amplification: f64,
    /// `rd`: radius of the area that gives off bubbles; zero for a point.
    pub source_radius: Length,
    /// `Fr`: densimetric Froude number at a source of some radius; unused at a point.
    pub froude: f64,
}

impl PlumeConstants {
    fn are_numbers(&self) -> bool {
        let positive = |x: f64| x > 0.0 && x.is_finite();
        let not_negative = |x: f64| x >= 0.0 && x.is_finite();
        positive(self.entrainment)
            && not_negative(self.bubble_spread)
            && not_negative(self.slip_velocity.value)
            && positive(self.momentum_amplification)
            && not_negative(self.source_radius.value)
            && (self.source_radius.value == 0.0 || positive(self.froude))
    }
}

/// A plume as it meets the surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plume {
    /// Water that reaches the surface each second. Some of it was there before: what
    /// circles near the plume counts each time round.
    pub water: VolumeRate,
    /// Momentum that turns into flow along the surface.
    pub momentum: MomentumFlux,
    /// Velocity in the middle of the plume, twice the mean of a top hat.
    pub centreline: Velocity,
    /// Slip of the bubbles that it was calculated with.
    pub slip_velocity: Velocity,
}

impl Plume {
    /// Velocity in the middle over the slip velocity of the bubbles; `None` where bubbles have none.
    pub fn velocity_ratio(&self) -> Option<f64> {
        (self.slip_velocity.value > 0.0).then(|| self.centreline.value / self.slip_velocity.value)
    }

    /// What carries the water: see [`Regime`]. Where nothing rises, nothing carries it.
    pub fn regime(&self) -> Regime {
        if self.centreline.value >= REGIME.high * self.slip_velocity.value {
            Regime::Buoyant
        } else if self.centreline.value >= REGIME.low * self.slip_velocity.value {
            Regime::Between
        } else {
            Regime::SlipDominated
        }
    }
}

/// What carries the water of a plume.
///
/// Below about 0.2 standard cubic feet a minute at 2 m the bubbles outrun the water,
/// each dragging a wake of its own; the flow then goes with `z / vs^2` (Mingotti & Woods
/// 2023, J. Fluid Mech., abstract, seen for 1 to 21 mL/s), and the model's answer is
/// less sure than its constants' ranges say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Regime {
    /// The water rises at least one and a half times as fast as the bubbles do through it.
    Buoyant,
    /// Between the two.
    Between,
    /// The bubbles outrun the water.
    SlipDominated,
}

/// Momentum carried each second over the water's density.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct MomentumFlux(f64);

impl MomentumFlux {
    /// From m4/s2.
    pub fn new(x: f64) -> Self {
        Self(x)
    }
    /// In m4/s2.
    pub fn value(self) -> f64 {
        self.0
    }
}

/// The two equations of a rising plume.
pub static BUBBLE_PLUME: Equation = Equation {
    name: "bubble plume",
    formula: "dQ/dz = 2 a sqrt(pi M); dM/dz = g Qg / (gamma (kappa M/Q + vs)); \
              kappa = 2 / (1 + lambda^2)",
    source: "integral plume after Cederwall & Ditmars 1970, McDougall 1978, Milgram 1983; \
             Wuest, Brooks & Imboden 1992, Water Resour. Res. 28(12):3235-3250; constants \
             as used in public codes of these models",
    mark: Mark::Published,
    ranges: &[
        DEPTH,
        AIR,
        AMBIENT,
        TEMPERATURE,
        ENTRAINMENT,
        SPREAD,
        SLIP_VELOCITY,
        AMPLIFICATION,
    ],
};

/// The start of a plume above a diffuser that isn't a point.
pub static PLUME_SOURCE: Equation = Equation {
    name: "start of a plume above a wide diffuser",
    formula: "b = rd / 0.8; V = Fr sqrt(2 rd g e / (1 - e)); e = Qg / ((V + vs) pi rd^2) <= 0.9",
    source: "Wuest, Brooks & Imboden 1992, Water Resour. Res. 28(12):3235-3250, who call \
             radius and velocity at the source open",
    mark: Mark::Published,
    ranges: &[RADIUS, FROUDE],
};

/// When the bubbles outrun the water.
pub static PLUME_REGIME: Equation = Equation {
    name: "regime of a bubble plume",
    formula: "w / vs, w = 2 M / Q at the surface",
    source: "judgement of this project, after Mingotti & Woods 2023, J. Fluid Mech. (abstract)",
    mark: Mark::Judgement,
    ranges: &[REGIME],
};

/// Depths over which the model was compared with closed formulas; the top is 33 ft.
const DEPTH: Range = Range {
    quantity: "depth",
    low: 0.9,
    high: 10.1,
    unit: "m",
};
/// 0.1 to 5 standard cubic feet a minute, with room for the ends' own digits.
const AIR: Range = Range {
    quantity: "air for each diffuser",
    low: 0.056,
    high: 2.85,
    unit: "g/s",
};
const AMBIENT: Range = Range {
    quantity: "pressure of the air",
    low: 60_000.0,
    high: 111_457.5,
    unit: "Pa",
};
const TEMPERATURE: Range = Range {
    quantity: "water temperature",
    low: 273.15,
    high: 313.15,
    unit: "K",
};
/// From the core of a double plume and the weakest plumes measured (0.055) to great releases
/// (0.165 for a Gaussian section: Milgram 1983, table 2).
const ENTRAINMENT: Range = Range {
    quantity: "entrainment",
    low: 0.055,
    high: 0.234,
    unit: "",
};
/// From 0.2 (Cederwall & Ditmars, from memory) to bubbles as wide as the water; 0.3 and 0.8 are
/// what public codes of McDougall's and Wuest's models take.
const SPREAD: Range = Range {
    quantity: "bubble spread",
    low: 0.2,
    high: 1.0,
    unit: "",
};
/// Bubbles of 1.5 to 10 mm (0.22 m/s) to swarms (Milgram: 0.35, from memory).
const SLIP_VELOCITY: Range = Range {
    quantity: "slip velocity of the bubbles",
    low: 0.2,
    high: 0.35,
    unit: "m/s",
};
/// Up to 2.8 in weak plumes (Milgram 1983, tables 1 and 3).
const AMPLIFICATION: Range = Range {
    quantity: "momentum amplification",
    low: 1.0,
    high: 2.8,
    unit: "",
};
/// Below 2 cm the limit on the share of air bends the answer by about 1 %; a point
/// source is asked for with zero.
const RADIUS: Range = Range {
    quantity: "radius of the diffuser",
    low: 0.02,
    high: 0.3,
    unit: "m",
};
/// 1.6 for a round diffuser, 2.0 for a long one.
const FROUDE: Range = Range {
    quantity: "Froude number at the diffuser",
    low: 1.0,
    high: 2.0,
    unit: "",
};
/// Under the low end slip-dominated, from the high end on buoyant.
const REGIME: Range = Range {
    quantity: "velocity over slip velocity",
    low: 1.0,
    high: 1.5,
    unit: "",
};

fn breaches(air: AirAmount, column: &Column, constants: &PlumeConstants) -> Vec<Breach> {
    let plume = &BUBBLE_PLUME;
    // No air and no depth have an exact answer, nothing, at any range.
    let nothing = air.value() == 0.0 || column.depth.value == 0.0;
    let (depth, flow) = if nothing {
        (None, None)
    } else {
        (
            DEPTH.check(plume, column.depth.value),
            AIR.check(plume, air.value() * 1e3),
        )
    };
    let radius = constants.source_radius.value;
    let (source, froude) = if radius == 0.0 {
        (None, None)
    } else {
        (
            RADIUS.check(&PLUME_SOURCE, radius),
            FROUDE.check(&PLUME_SOURCE, constants.froude),
        )
    };
    [
        depth,
        flow,
        AMBIENT.check(plume, column.ambient.value()),
        TEMPERATURE.check(plume, column.temperature.value),
        ENTRAINMENT.check(plume, constants.entrainment),
        SPREAD.check(plume, constants.bubble_spread),
        SLIP_VELOCITY.check(plume, constants.slip_velocity.value),
        AMPLIFICATION.check(plume, constants.momentum_amplification),
        source,
        froude,
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Steps of the solution; see [`plume`] for what more would change.
const STEPS: u32 = 72;

/// Height of a point source's start, as a share of the depth.
const START: f64 = 1e-3;

/// Widest share of air at a source.
const MOST_AIR: f64 = 0.9;

/// Source radius over the half-width of the water at the source.
const SOURCE_SPREAD: f64 = 0.8;

#[derive(Clone, Copy)]
struct Fluxes {
    /// As a share of the depth.
    height: f64,
    /// m3/s.
    water: f64,
    /// m4/s2.
    momentum: f64,
}

impl Fluxes {
    const STILL: Fluxes = Fluxes {
        height: 1.0,
        water: 0.0,
        momentum: 0.0,
    };
}

/// The right-hand sides, with everything that doesn't change worked out once.
struct Rise {
    depth: f64,
    ambient: f64,
    /// `m R T`: Pa m3/s, the air's volume flow times pressure.
    expansion: f64,
    /// `2 a sqrt(pi)`.
    draw: f64,
    entrainment: f64,
    kappa: f64,
    slip_velocity: f64,
    gamma: f64,
}

impl Rise {
    fn new(air: f64, column: &Column, constants: &PlumeConstants) -> Self {
        let lambda = constants.bubble_spread;
        Rise {
            depth: column.depth.value,
            ambient: column.ambient.value(),
            expansion: air * DRY_AIR_GAS_CONSTANT * column.temperature.value,
            draw: 2.0 * constants.entrainment * std::f64::consts::PI.sqrt(),
            entrainment: constants.entrainment,
            kappa: 2.0 / (1.0 + lambda * lambda),
            slip_velocity: constants.slip_velocity.value,
            gamma: constants.momentum_amplification,
        }
    }

    /// Fluxes at the surface.
    fn end(&self, constants: &PlumeConstants) -> Fluxes {
        let reduced = if constants.source_radius.value > 0.0 {
            reduced::wide(self, constants)
        } else {
            reduced::point(self)
        };
        reduced.unwrap_or_else(|| self.to_the_surface(self.start(constants)))
    }

    /// Volume flow of the bubbles at the diffuser.
    fn air_at_diffuser(&self) -> f64 {
        self.expansion / (self.ambient + PRESSURE_PER_DEPTH * self.depth)
    }

    fn start(&self, constants: &PlumeConstants) -> Fluxes {
        let radius = constants.source_radius.value;
        let (height, half_width, velocity) = if radius > 0.0 {
            (
                0.0,
                radius / SOURCE_SPREAD,
                self.velocity_at_source(radius, constants.froude),
            )
        } else {
            let z = START * self.depth;
            let half_width = 1.2 * self.entrainment * z;
            (START, half_width, self.velocity_at_point(z, half_width))
        };
        let water = std::f64::consts::PI * half_width * half_width * velocity;
        Fluxes {
            height,
            water,
            momentum: water * velocity,
        }
    }

    /// Solves `V^2 (kappa V + vs) = c` by Newton's method.
    ///
    /// The left side bends upward and the first guess lies above the root, less than
    /// twice as high, so each step comes closer from above.
    fn velocity_at_point(&self, z: f64, half_width: f64) -> f64 {
        let c = 0.75 * GRAVITY * self.air_at_diffuser() * z
            / (self.gamma * std::f64::consts::PI * half_width * half_width);
        let mut v = math::cbrt(c / self.kappa);
        if self.slip_velocity > 0.0 {
            v = v.min((c / self.slip_velocity).sqrt());
        }
        for _ in 0..12 {
            let excess = v * v * (self.kappa * v + self.slip_velocity) - c;
            v -= excess / (v * (3.0 * self.kappa * v + 2.0 * self.slip_velocity));
        }
        v
    }

    /// Solves `V = Fr sqrt(2 rd g e / (1 - e))` by halving.
    ///
    /// The right side falls with `V`, since faster air takes up less room, so there is
    /// exactly one answer, and it is no greater than that of the most air.
    fn velocity_at_source(&self, radius: f64, froude: f64) -> f64 {
        let driven = |v: f64| {
            let area = std::f64::consts::PI * radius * radius;
            let share = (self.air_at_diffuser() / ((v + self.slip_velocity) * area)).min(MOST_AIR);
            froude * (2.0 * radius * GRAVITY * share / (1.0 - share)).sqrt()
        };
        let mut low = 0.0;
        let mut high = froude * (2.0 * radius * GRAVITY * MOST_AIR / (1.0 - MOST_AIR)).sqrt();
        // A velocity has 53 binary digits; a few more halvings cost nothing.
        for _ in 0..60 {
            let middle = 0.5 * (low + high);
            if middle < driven(middle) {
                low = middle;
            } else {
                high = middle;
            }
        }
        high
    }

    /// Slopes of both fluxes against `s`, where the height is `H s^3`.
    fn slopes(&self, s: f64, water: f64, momentum: f64) -> (f64, f64) {
        let height_slope = 3.0 * self.depth * s * s;
        let pressure = self.ambient + PRESSURE_PER_DEPTH * self.depth * (1.0 - s * s * s);
        // One division instead of three: Qg / (kappa M/Q + vs) with both denominators
        // brought together.
        let lift = GRAVITY * self.expansion * water
            / (pressure * self.gamma * (self.kappa * momentum + self.slip_velocity * water));
        (
            height_slope * self.draw * momentum.sqrt(),
            height_slope * lift,
        )
    }

    fn to_the_surface(&self, start: Fluxes) -> Fluxes {
        let mut water = start.water;
        let mut momentum = start.momentum;
        let first = math::cbrt(start.height);
        let step = (1.0 - first) / f64::from(STEPS);
        for i in 0..STEPS {
            let s = first + f64::from(i) * step;
            let half = 0.5 * step;
            let (q1, m1) = self.slopes(s, water, momentum);
            let (q2, m2) = self.slopes(s + half, water + half * q1, momentum + half * m1);
            let (q3, m3) = self.slopes(s + half, water + half * q2, momentum + half * m2);
            let (q4, m4) = self.slopes(s + step, water + step * q3, momentum + step * m3);
            water += step / 6.0 * (q1 + 2.0 * (q2 + q3) + q4);
            momentum += step / 6.0 * (m1 + 2.0 * (m2 + m3) + m4);
        }
        Fluxes {
            height: 1.0,
            water,
            momentum,
        }
    }
}
