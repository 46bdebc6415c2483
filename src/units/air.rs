//! Reference conditions: how much air a "cubic foot" is.
//!
//! A volume of air is an amount only together with its pressure, temperature and
//! moisture, and the trade has about as many reference conditions as it has
//! countries. Confusing them costs from half a percent to seven. The house convention
//! is dry air at 20 degC and 101.325 kPa; every other label is data here, with its
//! factor to the house's, as all the gas and as dry air alone.
//!
//! The pressure of the atmosphere at an altitude belongs to the physics.

use super::mark::Mark;
use super::math;
use super::quantity::{AbsolutePressure, MassDensity, ThermodynamicTemperature, si};
use super::ratio::Ratio;

/// Specific gas constant of dry air, J/(kg K).
///
/// R / M = 8.314 463 / 0.028 964 7 = 287.055; with the constants of the standard
/// atmosphere of 1976, 8.314 32 / 0.028 964 4, it is 287.053 (both from memory).
pub const DRY_AIR_CONSTANT: f64 = 287.055;

/// Specific gas constant of water vapour, J/(kg K): 8.314 463 / 0.018 015 28
/// = 461.52 (from memory).
pub const WATER_VAPOUR_CONSTANT: f64 = 461.52;

/// Dry air at 20 degC and 101.325 kPa, kg/m3, exactly as the unit table uses it:
/// 101 325 Pa / (287.055 J/(kg K) x 293.15 K) = 1.204 10 kg/m3.
pub const HOUSE_STANDARD_DENSITY: Ratio =
    Ratio::of(101_325, 1).over(Ratio::of(287_055, 1000).times(Ratio::of(29_315, 100)));

/// Temperatures for which [`saturation_pressure`] was fitted, K: -40 to 50 degC.
pub const SATURATION_RANGE: (f64, f64) = (233.15, 323.15);

/// Pressure of water vapour over water at saturation.
///
/// Formula: p = 610.94 exp(17.625 t / (t + 243.04)), with p in Pa and t in degC.
///
/// Source: Alduchov and Eskridge, *Improved Magnus form approximation of saturation
/// vapor pressure*, Journal of Applied Meteorology 35 (1996), from memory.
///
/// Range: -40 to 50 degC ([`SATURATION_RANGE`]); the caller checks it.
///
/// Check value: 2333.4 Pa at 20 degC, where CoolProp 8.0.0 has 2339.3 Pa. From 0 to
/// 50 degC the two were found within 0.3 % of each other.
pub fn saturation_pressure(temperature: ThermodynamicTemperature) -> AbsolutePressure {
    let celsius = temperature.value - 273.15;
    AbsolutePressure::pascals(610.94 * math::exp(17.625 * celsius / (celsius + 243.04)))
}

/// Density of dry air, as an ideal gas.
///
/// Formula: rho = p / (R T), R = 287.055 J/(kg K).
///
/// Range: the compressibility of air differs from 1 by less than 0.1 % at 1 to 3 bar
/// and 0 to 60 degC.
///
/// Check value: 1.204 10 kg/m3 at 101.325 kPa and 20 degC.
pub fn dry_air_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> MassDensity {
    si::kilograms_per_cubic_metre(pressure.value() / (DRY_AIR_CONSTANT * temperature.value))
}

/// Mass of the dry air alone in a volume of moist air: what a flow of free air is as
/// an amount (see [`super::quantity::FreeAir::amount`]).
///
/// `humidity` is the relative one, 0 to 1.
pub fn dry_part_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    humidity: f64,
) -> MassDensity {
    let vapour = humidity * saturation_pressure(temperature).value();
    dry_air_density(
        AbsolutePressure::pascals(pressure.value() - vapour),
        temperature,
    )
}

/// Density of moist air: its dry part and its vapour, each as an ideal gas.
///
/// Formula: rho = (p - p_v) / (287.055 T) + p_v / (461.52 T), p_v = humidity x p_sat.
///
/// `humidity` is the relative one, 0 to 1.
///
/// Check value: 1.1501 kg/m3 at 101.325 kPa, 30 degC, 80 %.
pub fn moist_air_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    humidity: f64,
) -> MassDensity {
    let vapour = humidity * saturation_pressure(temperature).value();
    dry_part_density(pressure, temperature, humidity)
        + si::kilograms_per_cubic_metre(vapour / (WATER_VAPOUR_CONSTANT * temperature.value))
}

/// A reference condition that a figure of air may be stated at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reference {
    /// What the trade calls it.
    pub label: &'static str,
    /// Pa.
    pub pressure: f64,
    /// K.
    pub temperature: f64,
    /// Relative humidity, 0 to 1.
    pub humidity: f64,
    /// Where the condition is defined.
    pub source: &'static str,
    /// How firmly that is known.
    pub mark: Mark,
}

impl Reference {
    /// Amount of all the gas in a volume at this condition to that at the house's:
    /// p T0 / (p0 T).
    pub fn gas_to_house(&self) -> f64 {
        self.pressure / HOUSE.pressure * (HOUSE.temperature / self.temperature)
    }

    /// Amount of the dry air alone, to the house's. This is what carries oxygen.
    pub fn dry_air_to_house(&self) -> f64 {
        let vapour = self.humidity * saturation_pressure(si::kelvins(self.temperature)).value();
        (self.pressure - vapour) / HOUSE.pressure * (HOUSE.temperature / self.temperature)
    }

    /// Mass of dry air in a volume at this condition.
    pub fn dry_density(&self) -> MassDensity {
        dry_part_density(
            AbsolutePressure::pascals(self.pressure),
            si::kelvins(self.temperature),
            self.humidity,
        )
    }
}

/// The condition `scfm` has in this program.
pub const HOUSE: Reference = Reference {
    label: "scfm",
    pressure: 101_325.0,
    temperature: 293.15,
    humidity: 0.0,
    source: "convention of this project, that of the US EPA and of NIST: Wikipedia, Standard temperature and pressure",
    mark: Mark::Published,
};

/// The condition `Nm3/h` has in this program.
pub const NORMAL: Reference = Reference {
    label: "Nm3/h",
    pressure: 101_325.0,
    temperature: 273.15,
    humidity: 0.0,
    source: "DIN 1343 (from memory); the same values in Wikipedia, Standard temperature and pressure",
    mark: Mark::Published,
};

/// One pound-force on a square inch, Pa.
const PSI: f64 = 6_894.757_293_168_361;

/// Every reference condition the trade is known to use, the house's first.
pub const REFERENCES: [Reference; 8] = [
    HOUSE,
    Reference {
        label: "CAGI, ISO 1217",
        pressure: 100_000.0,
        temperature: 293.15,
        humidity: 0.0,
        source: "CAGI: Wikipedia, Standard temperature and pressure; ISO 1217 from memory",
        mark: Mark::FromMemory,
    },
    Reference {
        label: "ASME",
        pressure: 14.7 * PSI,
        temperature: 293.15,
        humidity: 0.36,
        source: "ASME test code for displacement compressors: 14.7 psia, 68 degF, 36 % (read in two glossaries of the trade)",
        mark: Mark::Published,
    },
    Reference {
        label: "60 degF, gas trade",
        pressure: 101_325.0,
        temperature: 288.705_555_555_555_6,
        humidity: 0.0,
        source: "SPE and U.S. OSHA: Wikipedia, Standard temperature and pressure",
        mark: Mark::Published,
    },
    Reference {
        label: "fan standard air",
        pressure: 101_325.0,
        temperature: 294.261_111_111_111_1,
        humidity: 0.0,
        source: "AMCA, 70 degF, 0.075 lb/ft3: Wikipedia, Standard temperature and pressure",
        mark: Mark::Published,
    },
    NORMAL,
    Reference {
        label: "ANR, ISO 8778",
        pressure: 100_000.0,
        temperature: 293.15,
        humidity: 0.65,
        source: "ISO 8778:2003, numbers from memory",
        mark: Mark::FromMemory,
    },
    Reference {
        label: "standard atmosphere at sea level",
        pressure: 101_325.0,
        temperature: 288.15,
        humidity: 0.0,
        source: "ISO 2533:1975",
        mark: Mark::Published,
    },
];
