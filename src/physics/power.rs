//! What compressing air costs in power, and what a supply must give for it.
//!
//! No machine needs less than the isothermal power; a real one takes two to five times
//! the isentropic. A nameplate whose watts are fewer than the isothermal power of its
//! own flow and pressure claims the impossible.

use super::atmosphere::HEAT_RATIO;
use super::refusal::{Refusal, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math::{ln, powf};
use crate::units::quantity::{
    AbsolutePressure, ElectricCurrent, ElectricPotential, FreeAir, GaugePressure, Power, si,
};

/// Least power by which air can be compressed.
///
/// `W_T = p1 q1 ln r`, r = (p1 + p_g) / p1
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | p1, q1 | pressure and volume flow at the inlet | Pa, m3/s |
/// | p_g | gauge pressure delivered | Pa |
/// | W_T | power | W |
///
/// Check: 1 scfm at sea level to 4 psi takes 11.512 W.
pub static ISOTHERMAL_POWER: Equation = Equation {
    name: "isothermal power",
    formula: "W_T = p1 q1 ln r, r = (p1 + p_g)/p1",
    source: "first and second law for an ideal gas",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "pressure ratio",
        low: 1.0,
        high: 10.0,
        unit: "",
    }],
};

/// Power of compression without loss and without cooling.
///
/// `W_s = k/(k−1) p1 q1 (r^((k−1)/k) − 1)`, k = 1.4
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | k | heat ratio | – |
/// | others | as for [`ISOTHERMAL_POWER`] | |
///
/// Within 0.04 % of the real-gas value of CoolProp up to 30 psi.
/// Check: 1 scfm at sea level to 4 psi takes 11.917 W.
pub static ISENTROPIC_POWER: Equation = Equation {
    name: "isentropic power",
    formula: "W_s = k/(k-1) p1 q1 (r^((k-1)/k) - 1), k = 1.4",
    source: "first law for an ideal gas, read in the library fluids 1.3.1, module compressible; worked example of Hendricks, Fundamentals of Water Treatment Unit Processes, Table CDD.5, p. 809",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "pressure ratio",
        low: 1.0,
        high: 10.0,
        unit: "",
    }],
};

fn ratio(ambient: AbsolutePressure, gauge: GaugePressure) -> f64 {
    gauge.above(ambient) / ambient
}

/// Isothermal power of a flow of free air; see [`ISOTHERMAL_POWER`].
pub fn isothermal_power(
    flow: FreeAir,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
) -> Checked<Power> {
    let r = ratio(ambient, gauge);
    let watts = ambient.value() * flow.value() * ln(r);
    ISOTHERMAL_POWER.checked(&[r], si::watts(watts))
}

/// Isentropic power of a flow of free air; see [`ISENTROPIC_POWER`].
pub fn isentropic_power(
    flow: FreeAir,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
) -> Checked<Power> {
    isentropic_power_with(HEAT_RATIO, flow, ambient, gauge)
}

/// The same with a heat ratio of one's own: worked examples round it differently.
pub fn isentropic_power_with(
    heat_ratio: f64,
    flow: FreeAir,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
) -> Checked<Power> {
    let r = ratio(ambient, gauge);
    let exponent = (heat_ratio - 1.0) / heat_ratio;
    let watts = ambient.value() * flow.value() / exponent * (powf(r, exponent) - 1.0);
    ISENTROPIC_POWER.checked(&[r], si::watts(watts))
}

/// Wire-to-air efficiency: isentropic power over power from the supply, both at one
/// point of the curve.
///
/// `eta_w = W_s / W`
///
/// An oil-free moving-magnet compressor of a laboratory reached 0.54 at a ratio of 3
/// (Liang, Dadd and Bailey, "Clearance seal compressors with linear motor drives, part
/// 2", abstract). At zero pressure no work is asked and the efficiency means nothing.
pub static WIRE_TO_AIR: Equation = Equation {
    name: "wire-to-air efficiency",
    formula: "eta_w = W_s/W",
    source: "definition",
    mark: Mark::Exact,
    ranges: &[Range {
        // Below this the isentropic work is so small that the reading error of a
        // pressure decides the quotient.
        quantity: "gauge pressure",
        low: 500.0,
        high: 900_000.0,
        unit: "Pa",
    }],
};

/// Wire-to-air efficiency; see [`WIRE_TO_AIR`].
pub fn wire_to_air(
    flow: FreeAir,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
    supply: Power,
) -> Checked<f64> {
    let mut breaches = Vec::new();
    let work = isentropic_power(flow, ambient, gauge).gather(&mut breaches);
    WIRE_TO_AIR.note_breaches(&[gauge.value()], &mut breaches);
    Checked {
        value: work.value / supply.value,
        breaches,
    }
}

/// The most free air a power can compress at an efficiency: [`ISENTROPIC_POWER`] the
/// other way. Without bound at zero pressure.
pub fn most_flow(
    supply: Power,
    efficiency: f64,
    ambient: AbsolutePressure,
    gauge: GaugePressure,
) -> Checked<FreeAir> {
    isentropic_power(FreeAir::cubic_metres_per_second(1.0), ambient, gauge)
        .map(|each| FreeAir::cubic_metres_per_second(supply.value * efficiency / each.value))
}

/// How compressors of this trade move air.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Technology {
    /// A diaphragm on a vibrating armature.
    LinearDiaphragm,
    /// A piston on a vibrating armature.
    LinearPiston,
    /// A diaphragm on a crank.
    Diaphragm,
    /// A piston that rocks on its rod.
    RockingPiston,
    /// Vanes in an eccentric rotor.
    RotaryVane,
    /// An impeller in a side channel.
    RegenerativeBlower,
}

/// What a technology is known to do; judgement of this project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TechnologyBand {
    /// The technology.
    pub technology: Technology,
    /// Plausible wire-to-air efficiency at the best point.
    pub efficiency: (f64, f64),
    /// Above this it is better than anything seen.
    pub doubtful_above: f64,
    /// Above this it can't be.
    pub impossible_above: f64,
    /// Continuous pressures met, Pa gauge.
    pub pressure: (f64, f64),
    /// Sound of the bare machine at 1 m, dB(A).
    pub sound: (f64, f64),
    /// How firmly.
    pub mark: Mark,
}

/// Below this a wire-to-air efficiency, anywhere but at open flow, is a slip of units
/// rather than a machine (judgement).
pub const LEAST_EFFICIENCY: f64 = 0.05;

const PSI: f64 = 6_894.757_293_168;

/// The bands of every technology. Judgement throughout; the bands of the linear piston
/// and the crank diaphragm are those of their nearest relative, widened.
pub static TECHNOLOGY_BANDS: [TechnologyBand; 6] = [
    TechnologyBand {
        technology: Technology::LinearDiaphragm,
        efficiency: (0.20, 0.45),
        doubtful_above: 0.50,
        impossible_above: 0.70,
        pressure: (2.0 * PSI, 5.0 * PSI),
        sound: (32.0, 52.0),
        mark: Mark::Judgement,
    },
    TechnologyBand {
        technology: Technology::LinearPiston,
        efficiency: (0.20, 0.45),
        doubtful_above: 0.50,
        impossible_above: 0.70,
        pressure: (2.0 * PSI, 6.0 * PSI),
        sound: (32.0, 60.0),
        mark: Mark::Judgement,
    },
    TechnologyBand {
        technology: Technology::Diaphragm,
        efficiency: (0.15, 0.40),
        doubtful_above: 0.50,
        impossible_above: 0.65,
        pressure: (2.0 * PSI, 30.0 * PSI),
        sound: (45.0, 68.0),
        mark: Mark::Judgement,
    },
    TechnologyBand {
        technology: Technology::RockingPiston,
        efficiency: (0.15, 0.40),
        doubtful_above: 0.50,
        impossible_above: 0.65,
        pressure: (5.0 * PSI, 30.0 * PSI),
        sound: (50.0, 68.0),
        mark: Mark::Judgement,
    },
    TechnologyBand {
        technology: Technology::RotaryVane,
        efficiency: (0.20, 0.45),
        doubtful_above: 0.50,
        impossible_above: 0.65,
        pressure: (3.0 * PSI, 15.0 * PSI),
        sound: (55.0, 72.0),
        mark: Mark::Judgement,
    },
    TechnologyBand {
        technology: Technology::RegenerativeBlower,
        efficiency: (0.15, 0.40),
        doubtful_above: 0.45,
        impossible_above: 0.60,
        pressure: (0.5 * PSI, 3.5 * PSI),
        sound: (55.0, 80.0),
        mark: Mark::Judgement,
    },
];

impl Technology {
    /// As a sentence has it.
    pub fn words(self) -> &'static str {
        match self {
            Technology::LinearDiaphragm => "linear diaphragm compressor",
            Technology::LinearPiston => "linear piston compressor",
            Technology::Diaphragm => "diaphragm compressor",
            Technology::RockingPiston => "rocking piston compressor",
            Technology::RotaryVane => "rotary vane compressor",
            Technology::RegenerativeBlower => "regenerative blower",
        }
    }

    /// What is known of it.
    pub fn band(self) -> &'static TechnologyBand {
        let [linear, linear_piston, diaphragm, piston, vane, blower] = &TECHNOLOGY_BANDS;
        match self {
            Technology::LinearDiaphragm => linear,
            Technology::LinearPiston => linear_piston,
            Technology::Diaphragm => diaphragm,
            Technology::RockingPiston => piston,
            Technology::RotaryVane => vane,
            Technology::RegenerativeBlower => blower,
        }
    }

    /// Whether the machine runs at its supply's frequency in resonance, so that its
    /// curve can't be scaled to another.
    pub fn is_resonant(self) -> bool {
        matches!(self, Technology::LinearDiaphragm | Technology::LinearPiston)
    }
}

/// Power drawn by a load on alternating current.
///
/// `W = V I pf`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | V, I | voltage and current, effective values | V, A |
/// | pf | power factor, at most 1 | – |
///
/// So the watts can't exceed the volt-amperes. Fractional-horsepower single-phase motors
/// have 0.55 to 0.75 (an engineering blog), capacitor-run 0.85 to 0.95, shaded-pole and
/// vibrating machines 0.4 to 0.65 (judgement).
/// Check: 50 W at 120 V needs at least 0.417 A, at pf 0.6 0.694 A.
pub static ELECTRIC_POWER: Equation = Equation {
    name: "power of an alternating current",
    formula: "W = V I pf, pf <= 1",
    source: "definition of the power factor",
    mark: Mark::Exact,
    ranges: &[Range {
        // Less than this is a wrong or a starting current; more is impossible beyond
        // the rounding of a nameplate (both judgement).
        quantity: "power factor",
        low: 0.35,
        high: 1.0 / 0.97,
        unit: "",
    }],
};

/// Volt-amperes of a load.
pub fn apparent_power(voltage: ElectricPotential, current: ElectricCurrent) -> Power {
    voltage * current
}

/// The power factor a nameplate implies; see [`ELECTRIC_POWER`].
///
/// A breach on the high side says that the watts exceed the volt-amperes.
pub fn power_factor(
    power: Power,
    voltage: ElectricPotential,
    current: ElectricCurrent,
) -> Checked<f64> {
    let factor = power.value / apparent_power(voltage, current).value;
    ELECTRIC_POWER.checked(&[factor], factor)
}

/// Current a power needs at a voltage and a power factor.
///
/// Refused: a power factor of nothing or above 1, a voltage of nothing.
pub fn current_for(
    power: Power,
    voltage: ElectricPotential,
    power_factor: f64,
) -> Result<ElectricCurrent, Refusal> {
    let factor = bounded("power factor", power_factor, 1e-3, 1.0, "")?;
    bounded("voltage", voltage.value, 1e-3, 1e6, "V")?;
    Ok(power / (voltage * factor))
}

/// A supply, the range it holds at the socket, and what nameplates call it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupplySystem {
    /// Nominal voltage, V.
    pub nominal: f64,
    /// Frequencies it comes with, Hz.
    pub frequencies: &'static [f64],
    /// Service voltage held under ordinary conditions, V.
    pub service: (f64, f64),
    /// Nameplate voltages that mean this system, V.
    pub nameplates: &'static [f64],
    /// Where it stands.
    pub source: &'static str,
    /// How firmly.
    pub mark: Mark,
}

/// The supply systems met on nameplates.
pub static SUPPLY_SYSTEMS: [SupplySystem; 4] = [
    SupplySystem {
        nominal: 100.0,
        frequencies: &[50.0, 60.0],
        service: (95.0, 107.0),
        nameplates: &[100.0],
        source: "enforcement rules of Japan's Electricity Business Act, 101 ± 6 V, as a journal of Nikkei BP quotes them in 2009, rounded",
        mark: Mark::Published,
    },
    SupplySystem {
        nominal: 120.0,
        frequencies: &[60.0],
        service: (114.0, 126.0),
        nameplates: &[110.0, 115.0, 120.0, 125.0],
        source: "ANSI C84.1, service range A: ± 5 % (its lower end read in public codes that cite it)",
        mark: Mark::Published,
    },
    SupplySystem {
        nominal: 230.0,
        frequencies: &[50.0],
        service: (207.0, 253.0),
        nameplates: &[220.0, 230.0, 240.0],
        source: "EN 50160 and IEC 60038: 230 V ± 10 % (read where grid operators quote them)",
        mark: Mark::Published,
    },
    SupplySystem {
        nominal: 240.0,
        frequencies: &[60.0],
        service: (228.0, 252.0),
        nameplates: &[220.0, 230.0, 240.0, 250.0],
        source: "ANSI C84.1, service range A: ± 5 % (its lower end read in public codes that cite it)",
        mark: Mark::Published,
    },
];

/// The system a nameplate's volts and hertz mean, if any.
///
/// 50 Hz at 120 V, and a voltage between the systems, mean none.
pub fn supply_system(voltage: ElectricPotential, hertz: f64) -> Option<&'static SupplySystem> {
    SUPPLY_SYSTEMS.iter().find(|system| {
        system.frequencies.contains(&hertz)
            && system
                .nameplates
                .iter()
                .any(|v| (voltage.value - v).abs() <= 2.0)
    })
}
