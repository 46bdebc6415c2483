//! Heat: how hot the air leaves, how warm the cabinet gets, what water falls out.
//!
//! People touch these parts: bare metal much above 60 °C burns within a second (ISO
//! 13732-1, from memory). Where it comes up, the local code and a licensed person
//! decide.

use super::atmosphere::{HEAT_RATIO, saturation_pressure};
use super::refusal::{Refusal, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math::powf;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, GaugePressure, MassRate, Power, ThermodynamicTemperature,
    VolumeRate, si,
};

/// Specific heat of air at constant pressure, J/(kg K), at room temperature; from
/// memory, CoolProp gives 1006.
pub const AIR_SPECIFIC_HEAT: f64 = 1_006.0;

/// Temperature of the air leaving a compressor.
///
/// `T2 = T1 [1 + (r^((k−1)/k) − 1) / eta]`, k = 1.4
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | T1, T2 | temperature at inlet and outlet | K |
/// | r | pressure ratio | – |
/// | eta | efficiency of the air path: 1 without loss; what of the loss leaves through the casing raises it | – |
///
/// Check: 20 °C to 4 psi gives 40.9 °C at eta 1 and 49.8 °C at 0.7.
pub static DISCHARGE_TEMPERATURE: Equation = Equation {
    name: "discharge temperature",
    formula: "T2 = T1 [1 + (r^((k-1)/k) - 1)/eta], k = 1.4",
    source: "first law for an ideal gas with an isentropic efficiency; held against CoolProp 8.0.0 at eta 1",
    mark: Mark::Exact,
    ranges: &[
        Range {
            quantity: "pressure ratio",
            low: 1.0,
            high: 5.0,
            unit: "",
        },
        Range {
            quantity: "efficiency of the air path",
            low: 0.3,
            high: 1.0,
            unit: "",
        },
    ],
};

/// Discharge temperature; see [`DISCHARGE_TEMPERATURE`].
pub fn discharge_temperature(
    inlet: ThermodynamicTemperature,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
    efficiency: f64,
) -> Checked<ThermodynamicTemperature> {
    let r = gauge.above(ambient) / ambient;
    let rise = powf(r, (HEAT_RATIO - 1.0) / HEAT_RATIO) - 1.0;
    DISCHARGE_TEMPERATURE.checked(
        &[r, efficiency],
        si::kelvins(inlet.value * (1.0 + rise / efficiency)),
    )
}

/// Exponent of a compression with losses all along.
///
/// `n / (n − 1) = eta_p k / (k − 1)`
///
/// Check: eta_p 0.8, k 1.4 gives n = 1.5556.
pub static POLYTROPIC_EXPONENT: Equation = Equation {
    name: "polytropic exponent",
    formula: "n/(n-1) = eta_p k/(k-1)",
    source: "definition of the polytropic efficiency, read in the library fluids 1.3.1, module compressible",
    mark: Mark::Published,
    ranges: &[Range {
        // Below (k-1)/k the exponent has no meaning.
        quantity: "polytropic efficiency",
        low: 0.3,
        high: 1.0,
        unit: "",
    }],
};

/// Polytropic exponent; see [`POLYTROPIC_EXPONENT`].
pub fn polytropic_exponent(efficiency: f64) -> Checked<f64> {
    let quotient = efficiency * HEAT_RATIO / (HEAT_RATIO - 1.0);
    POLYTROPIC_EXPONENT.checked(&[efficiency], quotient / (quotient - 1.0))
}

/// How much warmer a ventilated cabinet is than the air around.
///
/// `dT = W / (rho cp V)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | W | power from the supply: all of it ends as heat on the site | W |
/// | rho, cp | density and specific heat of the air | kg/m3, J/(kg K) |
/// | V | flow of air through the cabinet | m3/s |
///
/// All heat is counted as staying in the cabinet, which errs towards warm: some leaves
/// with the compressed air and through the walls. Check: 50 W at 10 K needs 8.9 cfm.
pub static CABINET_RISE: Equation = Equation {
    name: "temperature rise of a ventilated cabinet",
    formula: "dT = W/(rho cp V)",
    source: "energy balance",
    mark: Mark::Exact,
    ranges: &[Range {
        // Further up, the cabinet loses as much through its walls.
        quantity: "temperature rise",
        low: 0.0,
        high: 60.0,
        unit: "K",
    }],
};

/// Density of air at 25 °C and sea level, for cabinets, kg/m3.
const CABINET_AIR: f64 = 1.184;

/// Temperature rise of a cabinet in K; see [`CABINET_RISE`].
///
/// Refused: a flow of nothing.
pub fn cabinet_rise(power: Power, flow: VolumeRate) -> Result<Checked<f64>, Refusal> {
    let flow = bounded("flow through the cabinet", flow.value, 1e-9, 1e4, "m3/s")?;
    let rise = power.value / (CABINET_AIR * AIR_SPECIFIC_HEAT * flow);
    Ok(CABINET_RISE.checked(&[rise], rise))
}

/// Flow through a cabinet that holds its rise to `rise` K; see [`CABINET_RISE`].
///
/// Refused: a rise of nothing.
pub fn cabinet_flow(power: Power, rise: f64) -> Result<Checked<VolumeRate>, Refusal> {
    let rise = bounded("temperature rise", rise, 1e-3, 1e4, "K")?;
    let flow = power.value / (CABINET_AIR * AIR_SPECIFIC_HEAT * rise);
    Ok(CABINET_RISE.checked(&[rise], si::cubic_metres_per_second(flow)))
}

/// Water that falls out of compressed air as it cools.
///
/// `m_w = m (x1 − x2)`, `x = 0.622 p_v / (p − p_v)`, nothing where x2 > x1
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | m | dry air | kg/s |
/// | x1 | water in the air drawn in, for each kg of dry air | – |
/// | x2 | the most it can hold at the line's pressure and temperature | – |
///
/// It gathers in the sags of cold lines and freezes there in winter.
/// Check: 1 scfm of 25 °C, 70 % at 4 psi, cooled to 10 °C, drops 0.39 kg a day.
pub static CONDENSATE: Equation = Equation {
    name: "condensate of compressed air",
    formula: "m_w = m (x1 - x2), x = 0.622 p_v/(p - p_v)",
    source: "conservation of water; 0.622 is the ratio of the gas constants",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "relative humidity",
        low: 0.0,
        high: 1.0,
        unit: "",
    }],
};

/// Condensate of an amount of air; see [`CONDENSATE`].
pub fn condensate(
    amount: AirAmount,
    ambient: AbsolutePressure,
    (inlet, humidity): (ThermodynamicTemperature, f64),
    (line, gauge): (ThermodynamicTemperature, GaugePressure),
) -> Checked<MassRate> {
    let mut breaches = Vec::new();
    let wet = humidity * saturation_pressure(inlet).gather(&mut breaches).value;
    let held = saturation_pressure(line).gather(&mut breaches).value;
    CONDENSATE.note_breaches(&[humidity], &mut breaches);
    let share = |vapour: f64, pressure: f64| {
        super::atmosphere::GAS_CONSTANT / super::atmosphere::VAPOUR_GAS_CONSTANT * vapour
            / (pressure - vapour)
    };
    let dropped = share(wet, ambient.value()) - share(held, gauge.above(ambient).value());
    Checked {
        value: si::kilograms_per_second(amount.value() * dropped.max(0.0)),
        breaches,
    }
}

/// How warm a material of the first length of line may get, °C.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MaterialLimit {
    /// The material.
    pub material: &'static str,
    /// Its limit, °C.
    pub celsius: f64,
}

/// Limits of line materials, all from memory; a maker's own figure overrides them.
pub static MATERIAL_LIMITS: [MaterialLimit; 4] = [
    MaterialLimit {
        material: "flexible PVC",
        celsius: 60.0,
    },
    MaterialLimit {
        material: "polyethylene",
        celsius: 60.0,
    },
    MaterialLimit {
        material: "EPDM rubber",
        celsius: 110.0,
    },
    MaterialLimit {
        material: "silicone rubber",
        celsius: 180.0,
    },
];
