//! How much oxygen water holds in balance with the air.

use super::water_properties::STANDARD_ATMOSPHERE;
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{AbsolutePressure, MassDensity, ThermodynamicTemperature, si};

/// Salt dissolved in water.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Salinity(f64);

impl Salinity {
    /// No salt to speak of.
    pub const FRESH: Salinity = Salinity(0.0);

    /// From g/kg.
    pub fn grams_per_kilogram(x: f64) -> Self {
        Self(x)
    }

    /// From specific conductance at 25 degrees Celsius, in microsiemens per centimetre:
    /// `S = 5.572e-4 SC + 2.02e-9 SC^2`.
    ///
    /// - Source: as used with Benson & Krause in U.S. Geological Survey memorandum
    ///   OWQ 2011.03 (constants seen in a public code that cites it).
    /// - Check value: 2000 gives 1.1225 g/kg.
    pub fn specific_conductance(microsiemens_per_centimetre: f64) -> Self {
        let sc = microsiemens_per_centimetre;
        Self(5.572e-4 * sc + 2.02e-9 * sc * sc)
    }

    /// In g/kg.
    pub fn value(self) -> f64 {
        self.0
    }
}

/// Oxygen in balance with air.
pub static OXYGEN_SATURATION: Equation = Equation {
    name: "oxygen at saturation",
    formula: "C = exp(-139.34411 + 1.575701e5/K - 6.642308e7/K^2 + 1.243800e10/K^3 \
              - 8.621949e11/K^4) Fs Fp; Fs = exp(-S (0.017674 - 10.754/K + 2140.7/K^2)); \
              Fp = (P - u)(1 - th P) / ((1 - u)(1 - th))",
    source: "Benson & Krause 1980, 1984, in the form of U.S. Geological Survey memorandum OWQ \
             2011.03 (constants seen in public codes that cite it)",
    mark: Mark::Published,
    ranges: &[TEMPERATURE, SALINITY, PRESSURE],
};

const TEMPERATURE: Range = Range {
    quantity: "water temperature",
    low: 273.15,
    high: 313.15,
    unit: "K",
};
const SALINITY: Range = Range {
    quantity: "salinity",
    low: 0.0,
    high: 40.0,
    unit: "g/kg",
};
/// 0.6 to 1.1 atmospheres.
const PRESSURE: Range = Range {
    quantity: "pressure of the air",
    low: 0.6 * STANDARD_ATMOSPHERE,
    high: 1.1 * STANDARD_ATMOSPHERE,
    unit: "Pa",
};

/// Oxygen that water holds in balance with moist air.
///
/// The product of three factors:
///
/// - fresh water at one atmosphere, mg/L, with `K` the temperature in kelvins:
///   `exp(-139.34411 + 1.575701e5/K - 6.642308e7/K^2 + 1.243800e10/K^3 - 8.621949e11/K^4)`
/// - salt, with `S` in g/kg: `exp(-S (0.017674 - 10.754/K + 2140.7/K^2))`
/// - pressure, with `P` in atmospheres: `(P - u)(1 - th P) / ((1 - u)(1 - th))`, where
///   `u = exp(11.8571 - 3840.70/K - 216961/K^2)` is the vapour's share and
///   `th = 0.000975 - 1.426e-5 t + 6.436e-8 t^2` (`t` in degrees Celsius) the real gas's.
///
/// - Range: 0 to 40 degrees Celsius, 0 to 40 g/kg, 0.6 to 1.1 atmospheres.
/// - Check value: 9.092 mg/L in fresh water at 20 degrees Celsius and one atmosphere.
/// - mg/L are g/m3; the answer is in kg/m3. What isn't a number gives an answer that
///   isn't one, and a breach.
pub fn saturation(
    temperature: ThermodynamicTemperature,
    salinity: Salinity,
    pressure: AbsolutePressure,
) -> Checked<MassDensity> {
    let breaches = [
        TEMPERATURE.check(&OXYGEN_SATURATION, temperature.value),
        SALINITY.check(&OXYGEN_SATURATION, salinity.0),
        PRESSURE.check(&OXYGEN_SATURATION, pressure.value()),
    ];
    Checked {
        value: value(temperature, salinity, pressure),
        breaches: breaches.into_iter().flatten().collect(),
    }
}

/// Breaches that come from the water and the air on it, for an equation that takes the
/// pressure further down and answers for that itself.
pub(super) fn surface_breaches(
    temperature: ThermodynamicTemperature,
    ambient: AbsolutePressure,
) -> impl Iterator<Item = super::Breach> {
    [
        TEMPERATURE.check(&OXYGEN_SATURATION, temperature.value),
        PRESSURE.check(&OXYGEN_SATURATION, ambient.value()),
    ]
    .into_iter()
    .flatten()
}

/// [`saturation`] without its ranges.
pub(super) fn value(
    temperature: ThermodynamicTemperature,
    salinity: Salinity,
    pressure: AbsolutePressure,
) -> MassDensity {
    let k = temperature.value;
    let t = k - 273.15;
    let fresh = math::exp(
        -139.344_11
            + (1.575_701e5 + (-6.642_308e7 + (1.243_800e10 - 8.621_949e11 / k) / k) / k) / k,
    );
    let salt = math::exp(-salinity.0 * (0.017_674 - 10.754 / k + 2140.7 / (k * k)));
    let p = pressure.value() / STANDARD_ATMOSPHERE;
    let vapour = math::exp(11.857_1 - 3840.70 / k - 216_961.0 / (k * k));
    let th = 0.000_975 - 1.426e-5 * t + 6.436e-8 * t * t;
    let pressed = (p - vapour) * (1.0 - th * p) / ((1.0 - vapour) * (1.0 - th));
    si::kilograms_per_cubic_metre(1e-3 * fresh * salt * pressed)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn at_twenty_degrees_and_one_atmosphere() {
        let at = |pressure| {
            saturation(
                si::celsius(20.0),
                Salinity::FRESH,
                AbsolutePressure::pascals(pressure),
            )
        };
        let one = at(STANDARD_ATMOSPHERE);
        assert!((one.value.value * 1e3 - 9.092).abs() < 0.000_5);
        assert!(one.breaches.is_empty());
        assert_eq!(at(50_000.0).breaches.len(), 1);
        assert_eq!(at(f64::NAN).breaches.len(), 1);
    }
}
