//! Starting against lines full of water.
//!
//! A line that stood open fills with water. Before the first bubble the machine must
//! press all of it out, which takes the whole water head at no flow: a machine whose
//! curve ends below that never starts, however well it would run.

use super::refusal::{Refusal, bounded};
use super::{Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{FreeAir, GaugePressure, Length, Pressure, Time, Volume, si};

/// Pressure a machine must reach to start.
///
/// `p_start = rho g h + opening (check valve and diffuser)`, wanted: `p_shut ≥ 1.1 p_start`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | rho g h | water over the diffuser | Pa |
/// | opening | pressure at which check valve and diffuser begin to pass air | Pa |
/// | p_shut | pressure at which the curve reaches no flow | Pa |
///
/// The margin of a tenth is judgement. A line that sags below the diffuser and holds
/// water there asks for the sag's height as well.
pub static START_PRESSURE: Equation = Equation {
    name: "pressure to start against full lines",
    formula: "p_start = rho g h + opening, p_shut >= 1.1 p_start",
    source: "hydrostatics; the margin is judgement",
    mark: Mark::Judgement,
    ranges: &[Range {
        quantity: "shut-off over starting pressure",
        low: 1.1,
        high: 1e9,
        unit: "",
    }],
};

/// Pressure to start; see [`START_PRESSURE`].
pub fn start_pressure(
    water_head: Pressure,
    check_valve_opening: Pressure,
    diffuser_opening: Pressure,
) -> GaugePressure {
    GaugePressure::from(water_head + check_valve_opening + diffuser_opening)
}

/// How a machine stands to its starting pressure: shut-off over it, with a breach where
/// the margin is missing; see [`START_PRESSURE`].
pub fn start_margin(shut_off: GaugePressure, start: GaugePressure) -> super::Checked<f64> {
    let margin = if start.value() > 0.0 {
        shut_off / start
    } else {
        f64::INFINITY
    };
    START_PRESSURE.checked(&[margin.min(1e9)], margin)
}

/// How long the water takes to leave a line.
///
/// `t = V / q_mean`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | V | volume of the line below the water | m3 |
/// | q_mean | free air at half the starting pressure, over the pressure ratio there | m3/s |
///
/// Rough, by a factor of two: the pressure rises as the water goes. Told in minutes, so
/// that nobody takes a slow start for a fault.
pub static CLEARING_TIME: Equation = Equation {
    name: "time to clear a line of water",
    formula: "t = V/q_mean",
    source: "conservation of volume at a mean flow; the mean is judgement",
    mark: Mark::Judgement,
    ranges: &[],
};

/// Time to clear a volume of water at a mean flow; see [`CLEARING_TIME`].
///
/// Refused: a flow of nothing, which clears no line.
pub fn clearing_time(line: Volume, mean_flow: FreeAir, ratio: f64) -> Result<Time, Refusal> {
    let flow = bounded("flow while starting", mean_flow.value(), 1e-12, 1e4, "m3/s")?;
    let ratio = bounded("pressure ratio", ratio, 1.0, 1e3, "")?;
    Ok(si::seconds(line.value * ratio / flow))
}

/// Volume inside a line.
pub fn line_volume(bore: Length, length: Length) -> Volume {
    bore * bore * length * (std::f64::consts::PI / 4.0)
}
