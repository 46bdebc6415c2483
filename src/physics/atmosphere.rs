//! The air around: pressure at an altitude, density dry and moist, viscosity.
//!
//! The temperature of a site is always an input. The standard atmosphere has one too,
//! but it is a mean over the whole earth and the year (−5 °C at 3000 m) and no guide to
//! a summer's day at a pond, so only its pressure is used here.

use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math::{exp, powf};
use crate::units::quantity::{
    AbsolutePressure, DynamicViscosity, Length, MassDensity, Pressure, ThermodynamicTemperature, si,
};

/// Specific gas constant of dry air, J/(kg K).
///
/// 8314.32 J/(kmol K) over 28.9644 kg/kmol is 287.053; the last digits follow the
/// rounded pressure, temperature and density of ISO 2533 at sea level.
pub const GAS_CONSTANT: f64 = 287.055;

/// Specific gas constant of water vapour, J/(kg K).
pub const VAPOUR_GAS_CONSTANT: f64 = 461.52;

/// Ratio of the specific heats of air, cp/cv.
pub const HEAT_RATIO: f64 = 1.4;

/// Standard pressure at sea level, Pa (ISO 2533).
pub const SEA_LEVEL: f64 = 101_325.0;

/// Standard acceleration of free fall, m/s2 (ISO 80000-3).
pub const GRAVITY: f64 = 9.806_65;

/// The earth's radius by which geometric is turned into geopotential altitude, m.
const EARTH_RADIUS: f64 = 6_356_766.0;

/// Pressure of the standard atmosphere.
///
/// `H = r0 Z / (r0 + Z)`, `p = 101325 (1 − 2.25577e-5 H)^5.25588`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | Z | geometric altitude, r0 the earth's radius 6 356 766 m | m |
/// | H | geopotential altitude | m |
/// | p | pressure | Pa |
///
/// The exponent is g M / (R L) = 9.80665 · 0.0289644 / (8.31432 · 0.0065).
/// Check: Z = 1000 m gives 89 876 Pa.
pub static STANDARD_PRESSURE: Equation = Equation {
    name: "pressure of the standard atmosphere",
    formula: "p = 101325 (1 - 2.25577e-5 H)^5.25588, H = r0 Z/(r0 + Z)",
    source: "ISO 2533:1975 (= US Standard Atmosphere 1976 up to 32 km), read in the library fluids 1.3.1, module atmosphere",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "altitude",
        low: -2000.0,
        high: 11_000.0,
        unit: "m",
    }],
};

/// Pressure of the standard atmosphere at a geometric altitude; see [`STANDARD_PRESSURE`].
///
/// Good between −2000 and 11 000 m; above 44 km, where the formula ends, it gives 0.
pub fn standard_pressure(altitude: Length) -> Checked<AbsolutePressure> {
    let z = altitude.value;
    let geopotential = EARTH_RADIUS * z / (EARTH_RADIUS + z);
    let base = (1.0 - 2.25577e-5 * geopotential).max(0.0);
    let pressure = SEA_LEVEL * powf(base, 5.25588);
    STANDARD_PRESSURE.checked(&[z], AbsolutePressure::pascals(pressure))
}

/// Saturation vapour pressure over water.
///
/// `p_sat = 610.94 exp(17.625 t / (t + 243.04))`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | t | temperature | °C |
/// | p_sat | vapour pressure of saturated air | Pa |
///
/// Within 0.7 % of the property library CoolProp between 10 and 35 °C.
/// Check: 20 °C gives 2333 Pa.
pub static SATURATION_PRESSURE: Equation = Equation {
    name: "saturation vapour pressure",
    formula: "p_sat = 610.94 exp(17.625 t/(t + 243.04)), t in degC",
    source: "Magnus form with the constants of Alduchov and Eskridge, J. Appl. Meteorol. 35 (1996) 601-609, doi 10.1175/1520-0450(1996)035<0601:IMFAOS>2.0.CO;2 (constants read in public codes that cite it)",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "temperature",
        low: 233.15,
        high: 323.15,
        unit: "K",
    }],
};

/// Saturation vapour pressure at a temperature; see [`SATURATION_PRESSURE`].
pub fn saturation_pressure(temperature: ThermodynamicTemperature) -> Checked<Pressure> {
    let kelvin = temperature.value;
    SATURATION_PRESSURE.checked(&[kelvin], si::pascals(saturation(kelvin)))
}

fn saturation(kelvin: f64) -> f64 {
    // Below its pole at -243 degC the form turns round; there is no vapour there.
    let celsius = (kelvin - 273.15).max(-200.0);
    610.94 * exp(17.625 * celsius / (celsius + 243.04))
}

/// Density of moist air.
///
/// `rho = p_d / (287.055 T) + p_v / (461.52 T)`, `p_v = RH p_sat`, `p_d = p − p_v`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | p | pressure | Pa |
/// | T | temperature | K |
/// | RH | relative humidity, 0 to 1 | – |
/// | rho | density | kg/m3 |
///
/// Two ideal gases; the real-gas factor is 0.9990 to 0.9998 between 1 and 3 bar and
/// 0 and 60 °C (CoolProp). Check: 100 kPa, 20 °C, 65 % gives 1.1820 kg/m3.
pub static MOIST_AIR_DENSITY: Equation = Equation {
    name: "density of moist air",
    formula: "rho = (p - p_v)/(287.055 T) + p_v/(461.52 T), p_v = RH p_sat",
    source: "ideal-gas mixture (Dalton); held against CoolProp 8.0.0 humid air",
    mark: Mark::Published,
    ranges: &[
        Range {
            quantity: "pressure",
            low: 20_000.0,
            high: 400_000.0,
            unit: "Pa",
        },
        Range {
            quantity: "temperature",
            low: 233.15,
            high: 333.15,
            unit: "K",
        },
        Range {
            quantity: "relative humidity",
            low: 0.0,
            high: 1.0,
            unit: "",
        },
    ],
};

/// Density of air with all its moisture; see [`MOIST_AIR_DENSITY`].
pub fn moist_air_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    relative_humidity: f64,
) -> Checked<MassDensity> {
    let vapour = vapour_pressure(pressure, temperature, relative_humidity);
    let dry = dry_share(pressure, temperature, vapour);
    let wet = vapour / (VAPOUR_GAS_CONSTANT * temperature.value);
    MOIST_AIR_DENSITY.checked(
        &[pressure.value(), temperature.value, relative_humidity],
        si::kilograms_per_cubic_metre(dry + wet),
    )
}

/// Mass of *dry* air in a cubic metre of air; see [`MOIST_AIR_DENSITY`].
///
/// This is the density by which a volume of free air becomes an amount of air: the
/// vapour a compressor draws in is partly lost as water and carries no oxygen.
pub fn dry_air_in_moist(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    relative_humidity: f64,
) -> Checked<MassDensity> {
    let vapour = vapour_pressure(pressure, temperature, relative_humidity);
    MOIST_AIR_DENSITY.checked(
        &[pressure.value(), temperature.value, relative_humidity],
        si::kilograms_per_cubic_metre(dry_share(pressure, temperature, vapour)),
    )
}

/// Density of dry air, `p / (287.055 T)`; see [`MOIST_AIR_DENSITY`].
pub fn dry_air_density(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
) -> MassDensity {
    si::kilograms_per_cubic_metre(dry_share(pressure, temperature, 0.0))
}

fn vapour_pressure(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    relative_humidity: f64,
) -> f64 {
    (relative_humidity * saturation(temperature.value)).min(pressure.value())
}

fn dry_share(
    pressure: AbsolutePressure,
    temperature: ThermodynamicTemperature,
    vapour: f64,
) -> f64 {
    (pressure.value() - vapour) / (GAS_CONSTANT * temperature.value)
}

/// Viscosity of air.
///
/// `mu = 1.458e-6 T^1.5 / (T + 110.4)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | T | temperature | K |
/// | mu | dynamic viscosity | Pa s |
///
/// Pressure changes it by 0.1 % for each bar, which is left out. It lies 0.3 to 0.8 %
/// below CoolProp over the range given. Check: 20 °C gives 1.81341e-5 Pa s.
pub static AIR_VISCOSITY: Equation = Equation {
    name: "viscosity of air",
    formula: "mu = 1.458e-6 T^1.5/(T + 110.4)",
    source: "Sutherland's law with the constants of the US Standard Atmosphere 1976, read in the library fluids 1.3.1, module atmosphere",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "temperature",
        low: 263.15,
        high: 393.15,
        unit: "K",
    }],
};

/// Viscosity of air at a temperature; see [`AIR_VISCOSITY`].
pub fn air_viscosity(temperature: ThermodynamicTemperature) -> Checked<DynamicViscosity> {
    let t = temperature.value;
    AIR_VISCOSITY.checked(
        &[t],
        si::pascal_seconds(1.458e-6 * t * t.sqrt() / (t + 110.4)),
    )
}
