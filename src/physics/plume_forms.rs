//! Closed formulas for the water a bubble plume lifts: three independent checks of
//! [`super::plume`].
//!
//! They need no solution step by step, each leaves something out, and none of them
//! decides a verdict. The first two are for one standard atmosphere and water of about
//! 20 degrees Celsius, so they take neither.

use super::rising_air::{DRY_AIR_GAS_CONSTANT, PRESSURE_PER_DEPTH};
use super::water_properties::{FRESH_WATER, GRAVITY, STANDARD_ATMOSPHERE};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{AirAmount, Length, Velocity, VolumeRate, si};
use std::f64::consts::PI;

/// Kobus's formula.
pub static KOBUS: Equation = Equation {
    name: "water lifted by an orifice, after Kobus",
    formula: "Q = 35.6 C (x + 0.8) sqrt(-V0 ln(1 - x / (h + 10.3)) / ub); \
              C = 2 V0 + 0.05; ub = 25 V0 + 0.7",
    source: "Kobus 1968, 11th Conf. Coastal Eng. ch. 65, doi 10.1061/9780872620131.065, in the form of \
             Lorenzen & Fast 1977, EPA-600/3-77-004; C and ub from memory, held to points read off \
             his figure 13 (a fifth more in the mean); 35.6 confirmed as 2 sqrt(10.3 pi g)",
    mark: Mark::FromMemory,
    ranges: &[KOBUS_AIR, KOBUS_DEPTH],
};

/// The flows of the experiments: 0.13 to 6.2 L/s in his figure 13.
const KOBUS_AIR: Range = Range {
    quantity: "air for each diffuser",
    low: 0.2,
    high: 6.2,
    unit: "L/s",
};
/// The experiments were made at some 4.5 m (from memory); used here from 1 to 10 m.
const KOBUS_DEPTH: Range = Range {
    quantity: "depth",
    low: 1.0,
    high: 10.1,
    unit: "m",
};

/// Free air at 20 degrees Celsius and one standard atmosphere, m3/s.
fn standard_volume(air: AirAmount) -> f64 {
    air.value() * DRY_AIR_GAS_CONSTANT * 293.15 / STANDARD_ATMOSPHERE
}

/// Water that reaches the surface above one orifice, after Kobus.
///
/// `Q = 35.6 C (x + 0.8) sqrt(-V0 ln(1 - x / (h + 10.3)) / ub)` with the spread
/// `C = 2 V0 + 0.05` and the bubbles' velocity `ub = 25 V0 + 0.7`, taken at `x = h`.
///
/// - `V0` free air, m3/s; `h` depth of the orifice, m; `x` height above it, m; 10.3 m
///   of water weigh one atmosphere; 0.8 m is how far below the orifice the cone of
///   rising water seems to begin.
/// - The factor follows from the rest: a Gaussian section of deviation `C (x + 0.8)`
///   carries `2 sigma sqrt(pi M)`, and the momentum fed by the bubbles' weight is
///   `10.3 g V0 / ub` times the logarithm; 2 sqrt(10.3 pi g) = 35.63.
/// - Range: 0.2 to 6.2 L/s of air, 1 to 10 m; made at one standard atmosphere.
/// - Check value: 55.63 L/s at 0.5899 L/s of air and 1.8288 m.
/// - No air or no depth gives no flow; so does what isn't a number, with a breach.
pub fn kobus(air: AirAmount, depth: Length) -> Checked<VolumeRate> {
    let v0 = standard_volume(air);
    let h = depth.value;
    let something = v0 > 0.0 && h > 0.0 && v0.is_finite() && h.is_finite();
    let value = if something {
        let spread = 2.0 * v0 + 0.05;
        let rise = 25.0 * v0 + 0.7;
        35.6 * spread * (h + 0.8) * (-v0 * math::ln(1.0 - h / (h + 10.3)) / rise).sqrt()
    } else {
        0.0
    };
    // Only a depth or a flow far out of range makes a number too great to hold.
    let value = if value.is_finite() { value } else { 0.0 };
    let breaches = if v0 == 0.0 || h == 0.0 {
        Vec::new()
    } else {
        [
            KOBUS_AIR.check(&KOBUS, v0 * 1e3),
            KOBUS_DEPTH.check(&KOBUS, h),
        ]
        .into_iter()
        .flatten()
        .collect()
    };
    Checked {
        value: si::cubic_metres_per_second(value),
        breaches,
    }
}

/// McDougall's series.
pub static MCDOUGALL_SERIES: Equation = Equation {
    name: "water lifted by a plume, McDougall's series",
    formula: "Q = pi B^2 W; B = 2 a H (0.6 + 0.01719 t - 0.002527 t^2 + z (-0.04609 + 3.1e-5/m)); \
              W = (UB/t) (1.609 - 0.3195 t + 0.06693 t^2 + z (0.4536 - 0.0105/m)); t = (z/m)^(1/3)",
    source: "McDougall 1978, J. Fluid Mech. 85:655-672 (place from memory), as coded in the public \
             General Lake Model, glm_bubbler.c, commit b3b7b35",
    mark: Mark::Published,
    ranges: &[SERIES_REACH],
};

/// Beyond this the series' terms no longer fall off.
const SERIES_REACH: Range = Range {
    quantity: "height over slip length",
    low: 0.0,
    high: 2.5,
    unit: "",
};

/// Water that reaches the surface above a point source, by McDougall's series.
///
/// With `UB = vs (1 + lambda^2)`, the depth to vacuum `L = H + 10.2` m, `z = H / L` and the
/// strength `m = Qs p (1 + lambda^2) / (4 pi a^2 rho L^2 UB^3)`, the half-width `B` and the
/// velocity `W` in the middle are the series in `t = (z/m)^(1/3)` that the record gives, and
/// `Q = pi B^2 W`.
///
/// - `Qs p` is the air's volume flow times its pressure, W; `a` the *Gaussian*
///   entrainment, the top-hat one over sqrt(2); `vs` slip velocity, m/s.
/// - The public code has the square of `UB` in `m`; the cube is what its dimensions ask
///   for, and what agrees with the two equations, within 0.6 %.
/// - Range: `z / m` up to 2.5; momentum amplification 1, point source.
/// - Check value: 48.84 L/s at 0.5899 L/s of air, 1.8288 m, `a` 0.083, `lambda` 0.3,
///   `vs` 0.3 m/s.
/// - No air, depth or slip velocity gives no flow; so does what isn't a number, with a breach.
pub fn mcdougall(
    air: AirAmount,
    depth: Length,
    gaussian_entrainment: f64,
    bubble_spread: f64,
    slip_velocity: Velocity,
) -> Checked<VolumeRate> {
    let h = depth.value;
    let a = gaussian_entrainment;
    let widened = 1.0 + bubble_spread * bubble_spread;
    let ub = slip_velocity.value * widened;
    let atmosphere_of_water = 10.2;
    let to_vacuum = h + atmosphere_of_water;
    let z = h / to_vacuum;
    let pressure = PRESSURE_PER_DEPTH * atmosphere_of_water;
    let strength = standard_volume(air) * pressure * widened
        / (4.0 * PI * a * a * FRESH_WATER * to_vacuum * to_vacuum * math::powi(ub, 3));
    let reach = z / strength;
    let t = math::cbrt(reach);
    let width = 2.0
        * a
        * h
        * (0.6 + 0.017_19 * t - 0.002_527 * t * t + z * (-0.046_09 + 0.000_031 / strength));
    let velocity =
        ub / t * (1.609 - 0.319_5 * t + 0.066_93 * t * t + z * (0.453_6 - 0.010_5 / strength));
    let value = PI * width * width * velocity;
    if air.value() == 0.0 || h == 0.0 {
        return Checked::sound(si::cubic_metres_per_second(0.0));
    }
    let sound = value.is_finite() && value > 0.0 && h > 0.0;
    Checked {
        value: si::cubic_metres_per_second(if sound { value } else { 0.0 }),
        breaches: SERIES_REACH
            .check(&MCDOUGALL_SERIES, if sound { reach } else { f64::NAN })
            .into_iter()
            .collect(),
    }
}

/// The pure plume.
pub static PURE_PLUME: Equation = Equation {
    name: "pure plume",
    formula: "Q = (6 a / 5) (9 a / 10)^(1/3) pi^(2/3) (g Qg)^(1/3) z^(5/3)",
    source: "exact solution of the plume's two equations for a constant flow of buoyancy, after Morton, \
             Taylor & Turner 1956, Proc. R. Soc. A 234:1-23 (place from memory); held to an integration",
    mark: Mark::Exact,
    ranges: &[],
};

/// Water carried by a plume of constant buoyancy from a point: what the bubble plume
/// becomes where bubbles neither slip nor expand and turbulence carries no momentum.
///
/// `Q = (6 a / 5) (9 a / 10)^(1/3) pi^(2/3) B^(1/3) z^(5/3)`, `B = g Qg`.
///
/// - `a` top-hat entrainment; `Qg` air at its local pressure, m3/s; `z` height, m.
/// - Range: none; it is the exact solution of its own equations.
/// - Check value: 64.379 L/s at 0.58993 L/s, 1.83 m, `a` 0.11.
pub fn pure_plume(air: VolumeRate, height: Length, entrainment: f64) -> VolumeRate {
    let buoyancy = GRAVITY * air.value;
    let value = 1.2
        * entrainment
        * math::cbrt(0.9 * entrainment)
        * math::powf(PI, 2.0 / 3.0)
        * math::cbrt(buoyancy)
        * math::powf(height.value, 5.0 / 3.0);
    si::cubic_metres_per_second(if value.is_finite() && value > 0.0 {
        value
    } else {
        0.0
    })
}
