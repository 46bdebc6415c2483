//! Fresh water: density, thermal expansion, and the constants of water at rest.

use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{AbsolutePressure, Length, MassDensity, ThermodynamicTemperature, si};

/// Standard acceleration of free fall, m/s2 (3rd General Conference on Weights and
/// Measures, 1901; exact by definition).
pub const GRAVITY: f64 = 9.80665;

/// Standard atmosphere, Pa (exact by definition).
pub const STANDARD_ATMOSPHERE: f64 = 101_325.0;

/// Density of fresh water at 20 degrees Celsius, kg/m3, rounded.
///
/// The equations of the plume and of the head above a diffuser take this one value.
/// Between 5 and 30 degrees the true density stays within 0.26 % of it, far inside
/// what is known of any other constant they hold.
pub const FRESH_WATER: f64 = 998.2;

/// Specific heat of water, J/(kg K), rounded: 4179 to 4200 between 1 and 40 degrees
/// Celsius (from memory).
pub const SPECIFIC_HEAT: f64 = 4180.0;

/// A flow of heat through each square metre of a surface.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct HeatFlux(f64);

impl HeatFlux {
    /// From W/m2.
    pub fn watts_per_square_metre(x: f64) -> Self {
        Self(x)
    }
    /// In W/m2.
    pub fn value(self) -> f64 {
        self.0
    }
}

const TEMPERATURE: Range = Range {
    quantity: "water temperature",
    low: 273.15,
    high: 313.15,
    unit: "K",
};

/// Density of fresh water at one atmosphere.
pub static WATER_DENSITY: Equation = Equation {
    name: "density of fresh water",
    formula: "rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4)))",
    source: "Tanaka, Girard, Davis, Peuto & Bignell 2001, Metrologia 38:301-309, \
             equation 1 (coefficients read in public codes that cite it); held to CoolProp",
    mark: Mark::Published,
    ranges: &[TEMPERATURE],
};

// Coefficients of `WATER_DENSITY`: degrees Celsius, and kg/m3 for the last.
const A1: f64 = -3.983_035;
const A2: f64 = 301.797;
const A3: f64 = 522_528.9;
const A4: f64 = 69.348_81;
const A5: f64 = 999.974_950;

/// Density of fresh water at one atmosphere.
///
/// `rho = a5 (1 - (t + a1)^2 (t + a2) / (a3 (t + a4)))`, where `t` is the temperature
/// in degrees Celsius and -`a1` the temperature of greatest density.
///
/// - Range: 0 to 40 degrees Celsius; dissolved salts and pressure aren't counted.
/// - Check value: 997.0470 kg/m3 at 25 degrees Celsius.
/// - A temperature that isn't a number gives a density that isn't one, and a breach.
pub fn density(temperature: ThermodynamicTemperature) -> Checked<MassDensity> {
    let t = temperature.value - 273.15;
    let value = A5 * (1.0 - (t + A1) * (t + A1) * (t + A2) / (A3 * (t + A4)));
    Checked {
        value: si::kilograms_per_cubic_metre(value),
        breaches: TEMPERATURE
            .check(&WATER_DENSITY, temperature.value)
            .into_iter()
            .collect(),
    }
}

/// Thermal expansion of fresh water.
pub static WATER_EXPANSION: Equation = Equation {
    name: "thermal expansion of fresh water",
    formula: "beta = -(d rho / d t) / rho",
    source: "derivative of the density of Tanaka et al. 2001, Metrologia 38:301-309 \
             (coefficients read in public codes that cite it); held to CoolProp",
    mark: Mark::Published,
    ranges: &[TEMPERATURE],
};

/// Thermal expansion of fresh water at one atmosphere, 1/K.
///
/// `beta = -(d rho / d t) / rho`, the density's own derivative. With
/// `x = t + a1` and `f = x^2 (t + a2) / (a3 (t + a4))`, `d rho / d t = -a5 f'` and
/// `f' = (2 x (t + a2) + x^2 - x^2 (t + a2) / (t + a4)) / (a3 (t + a4))`.
///
/// - Range: 0 to 40 degrees Celsius. It is negative below 3.98 degrees: water that
///   cold grows lighter as it cools, which is why a winter pond is warmest below.
/// - Check value: 2.573e-4 at 25 degrees Celsius.
pub fn expansion(temperature: ThermodynamicTemperature) -> Checked<f64> {
    let t = temperature.value - 273.15;
    let x = t + A1;
    let slope = (2.0 * x * (t + A2) + x * x - x * x * (t + A2) / (t + A4)) / (A3 * (t + A4));
    let relative = 1.0 - x * x * (t + A2) / (A3 * (t + A4));
    Checked {
        value: slope / relative,
        breaches: TEMPERATURE
            .check(&WATER_EXPANSION, temperature.value)
            .into_iter()
            .collect(),
    }
}

/// Absolute pressure at a depth of fresh water: `p = p_ambient + rho g depth`.
///
/// - Check value: 119 227 Pa at 1.8288 m below one standard atmosphere.
pub fn pressure_at(depth: Length, ambient: AbsolutePressure) -> AbsolutePressure {
    ambient + si::pascals(FRESH_WATER * GRAVITY * depth.value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn density_has_its_greatest_value_where_expansion_changes_sign() {
        let peak = si::celsius(3.983_035);
        assert!((density(peak).value.value - A5).abs() < 1e-9);
        assert!(expansion(peak).value.abs() < 1e-15);
        assert!(expansion(si::celsius(1.0)).value < 0.0);
        assert!(expansion(si::celsius(25.0)).value > 0.0);
    }

    #[test]
    fn expansion_is_the_slope_of_density() {
        for t in [2.0, 10.0, 25.0, 38.0] {
            let at = |t: f64| density(si::celsius(t)).value.value;
            let slope = -(at(t + 1e-3) - at(t - 1e-3)) / 2e-3 / at(t);
            assert!((expansion(si::celsius(t)).value - slope).abs() < 1e-10);
        }
    }

    #[test]
    fn ice_and_numbers_that_are_none_are_breaches() {
        assert_eq!(density(si::celsius(-5.0)).breaches.len(), 1);
        assert_eq!(density(si::kelvins(f64::NAN)).breaches.len(), 1);
        assert!(density(si::celsius(20.0)).breaches.is_empty());
    }

    #[test]
    fn six_feet_of_water_weigh_as_they_should() {
        let ambient = AbsolutePressure::pascals(STANDARD_ATMOSPHERE);
        let at = pressure_at(si::metres(1.8288), ambient).value();
        assert!((at - 119_227.0).abs() < 1.0);
    }
}
