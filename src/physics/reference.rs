//! What a "cfm" is: the reference conditions in use, and the way between them.
//!
//! A volume of air each second says how much air it is only together with the pressure,
//! temperature and humidity at which the volume was counted. The labels of this trade
//! for *dry* air lie within about 3 % of one another, which is less than most figures
//! are good for; a normal cubic metre at 0 °C read as one at 20 °C is 7 % off and worth
//! a word.

use super::atmosphere::{SEA_LEVEL, dry_air_in_moist};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, GaugePressure, MassDensity, ThermodynamicTemperature, VolumeRate,
    si,
};

/// One foot cubed each minute, in m3/s (exact: 0.3048³/60).
pub const CUBIC_FOOT_PER_MINUTE: f64 = 0.3048 * 0.3048 * 0.3048 / 60.0;

/// The state in which a volume of air is counted.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirState {
    /// Pressure of the air.
    pub pressure: AbsolutePressure,
    /// Temperature of the air.
    pub temperature: ThermodynamicTemperature,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
}

impl AirState {
    /// From Pa, °C and relative humidity 0 to 1.
    pub fn new(pascals: f64, celsius: f64, humidity: f64) -> Self {
        AirState {
            pressure: AbsolutePressure::pascals(pascals),
            temperature: si::celsius(celsius),
            humidity,
        }
    }

    /// Mass of dry air in a cubic metre at this state.
    pub fn dry_density(&self) -> Checked<MassDensity> {
        dry_air_in_moist(self.pressure, self.temperature, self.humidity)
    }

    /// How much dry air a volume counted at this state is.
    pub fn amount(&self, volume: VolumeRate) -> Checked<AirAmount> {
        self.dry_density()
            .map(|density| AirAmount::kilograms_per_second(volume.value * density.value))
    }
}

/// A named reference condition.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// What it is called.
    pub label: &'static str,
    /// Pressure, Pa.
    pub pressure: f64,
    /// Temperature, °C.
    pub celsius: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Where it is defined.
    pub source: &'static str,
    /// How firmly that is known.
    pub mark: Mark,
}

impl Reference {
    /// The state it names.
    pub fn state(&self) -> AirState {
        AirState::new(self.pressure, self.celsius, self.humidity)
    }
}

/// The pressure of 14.7 psia in Pa, as the older trade rounds it.
const PSIA_14_7: f64 = 14.7 * 6_894.757_293_168;

/// The reference of this program's `scfm`: 20 °C, 101.325 kPa, dry.
pub static STANDARD: Reference = Reference {
    label: "standard cubic foot (20 °C, 101.325 kPa, dry)",
    pressure: SEA_LEVEL,
    celsius: 20.0,
    humidity: 0.0,
    source: "the values of the US EPA and of NIST: Wikipedia, Standard temperature and pressure (table of reference conditions)",
    mark: Mark::Published,
};

/// The reference of `Nm3/h`: 0 °C, 101.325 kPa, dry.
pub static NORMAL: Reference = Reference {
    label: "normal cubic metre (0 °C, 101.325 kPa, dry)",
    pressure: SEA_LEVEL,
    celsius: 0.0,
    humidity: 0.0,
    source: "DIN 1343 (from memory); the same values in Wikipedia, Standard temperature and pressure (ISO 10780)",
    mark: Mark::Published,
};

/// Every reference condition met in the trade.
pub static REFERENCES: [Reference; 8] = [
    STANDARD,
    Reference {
        label: "compressor reference (20 °C, 100 kPa, dry)",
        pressure: 100_000.0,
        celsius: 20.0,
        humidity: 0.0,
        source: "CAGI: Wikipedia, Standard temperature and pressure; ISO 1217 from memory",
        mark: Mark::Published,
    },
    Reference {
        label: "older US trade (68 °F, 14.7 psia, 36 %)",
        pressure: PSIA_14_7,
        celsius: 20.0,
        humidity: 0.36,
        source: "ASME test code for displacement compressors: 14.7 psia, 68 °F, 36 %, 0.075 lb/ft3 (read in two glossaries of the trade)",
        mark: Mark::Published,
    },
    Reference {
        label: "gas trade (60 °F, 101.325 kPa, dry)",
        pressure: SEA_LEVEL,
        celsius: 140.0 / 9.0,
        humidity: 0.0,
        source: "SPE and U.S. OSHA: Wikipedia, Standard temperature and pressure",
        mark: Mark::Published,
    },
    Reference {
        label: "fan standard air (70 °F, 101.325 kPa, dry)",
        pressure: SEA_LEVEL,
        celsius: 190.0 / 9.0,
        humidity: 0.0,
        source: "AMCA, 0.075 lb/ft3: Wikipedia, Standard temperature and pressure",
        mark: Mark::Published,
    },
    NORMAL,
    Reference {
        label: "pneumatic normal (20 °C, 100 kPa, 65 %)",
        pressure: 100_000.0,
        celsius: 20.0,
        humidity: 0.65,
        source: "ISO 8778:2003; its title was read, its numbers are from memory",
        mark: Mark::FromMemory,
    },
    Reference {
        label: "standard day (15 °C, 101.325 kPa, dry)",
        pressure: SEA_LEVEL,
        celsius: 15.0,
        humidity: 0.0,
        source: "ISO 2533:1975, sea level",
        mark: Mark::Published,
    },
];

/// Volume at one state of the air that has a given volume at another.
///
/// `V_a = V_s (p_s − RH_s p_vs) / (p_a − RH_a p_va) · T_a / T_s`
///
/// The *dry* air is what stays the same. s: the reference; a: the actual inlet.
/// Check (published tutorial): 100 scfm with p_s 14.7 psia dry, 520 °R into air of
/// 12.23 psia, 80 %, p_sat 0.5069 psia, 540 °R is 129.1 acfm.
pub static VOLUME_BETWEEN_STATES: Equation = Equation {
    name: "volume of the same dry air at another state",
    formula: "V_a = V_s (p_s - RH_s p_vs)/(p_a - RH_a p_va) T_a/T_s",
    source: "conservation of dry air; worked example of an article on veryfocus.net (articles_620cha, without author or year)",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "dry share of the actual air's pressure",
        low: 0.5,
        high: 1.0,
        unit: "",
    }],
};

/// Volume at `actual` for each unit of volume at `reference`;
/// see [`VOLUME_BETWEEN_STATES`].
pub fn volume_ratio(reference: &AirState, actual: &AirState) -> Checked<f64> {
    let mut breaches = Vec::new();
    let from = reference.dry_density().gather(&mut breaches).value;
    let to = actual.dry_density().gather(&mut breaches).value;
    let dry_share =
        to * super::atmosphere::GAS_CONSTANT * actual.temperature.value / actual.pressure.value();
    VOLUME_BETWEEN_STATES.note_breaches(&[dry_share], &mut breaches);
    Checked {
        value: from / to,
        breaches,
    }
}

/// Free air for each volume counted at line pressure.
///
/// `V_free / V_line = (p_a + p_g) / p_a` at one temperature.
///
/// A flow quoted at line pressure is too small by this factor; a "curve" that falls
/// by exactly it is a constant flow counted in the wrong volume.
/// Check: 5 psi at sea level gives 1.340.
pub static LINE_VOLUME: Equation = Equation {
    name: "free air for each volume at line pressure",
    formula: "V_free/V_line = (p_a + p_g)/p_a",
    source: "Boyle's law",
    mark: Mark::Exact,
    ranges: &[],
};

/// Free air for each volume counted at line pressure; see [`LINE_VOLUME`].
pub fn free_per_line_volume(ambient: AbsolutePressure, line: GaugePressure) -> f64 {
    line.above(ambient) / ambient
}
