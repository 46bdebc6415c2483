//! Air released under water: its volume on the way up, and the work it can do.

use super::water_properties::{FRESH_WATER, GRAVITY, pressure_at};
use super::{Breach, Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, Length, Power, ThermodynamicTemperature, VolumeRate, si,
};

/// Gas constant of dry air, J/(kg K): 8.314462618 J/(mol K) over the molar mass
/// 0.0289647 kg/mol of the U.S. Standard Atmosphere 1976.
pub const DRY_AIR_GAS_CONSTANT: f64 = 287.055;

/// The water above a diffuser.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Column {
    /// From the diffuser up to the surface.
    pub depth: Length,
    /// Pressure of the air on the surface.
    pub ambient: AbsolutePressure,
    /// Of the water, and so of the bubbles, which take it within centimetres.
    pub temperature: ThermodynamicTemperature,
}

impl Column {
    /// Whether there is water to rise through, and all of it is stated in numbers.
    pub(crate) fn stands(&self) -> bool {
        let positive = |x: f64| x > 0.0 && x.is_finite();
        positive(self.depth.value)
            && positive(self.ambient.value())
            && positive(self.temperature.value)
    }
}

/// Isothermal expansion of rising air.
pub static EXPANSION_WORK: Equation = Equation {
    name: "work of rising air",
    formula: "W = m R T ln(1 + rho g H / p)",
    source: "isothermal expansion of an ideal gas; textbook thermodynamics",
    mark: Mark::Exact,
    ranges: &[DEPTH, AMBIENT],
};

/// Depths at which ideal gas and water of one density are good to a thousandth.
const DEPTH: Range = Range {
    quantity: "depth",
    low: 0.0,
    high: 100.0,
    unit: "m",
};

/// From some 4000 m above the sea to the deepest inhabited valley in a high.
const AMBIENT: Range = Range {
    quantity: "pressure of the air",
    low: 60_000.0,
    high: 111_457.5,
    unit: "Pa",
};

/// The volume an amount of air has each second at a pressure: `m R T / p`.
///
/// Ideal gas; real air differs by less than 0.1 % from 0 to 60 degrees Celsius and
/// 1 to 3 bar. Water vapour taken up by the bubbles (at most 2 to 4 % of the volume)
/// isn't counted.
///
/// - Check value: 1 kg/s at 20 degrees Celsius and 101 325 Pa is 0.83050 m3/s.
pub fn volume_at(
    air: AirAmount,
    temperature: ThermodynamicTemperature,
    pressure: AbsolutePressure,
) -> VolumeRate {
    si::cubic_metres_per_second(
        air.value() * DRY_AIR_GAS_CONSTANT * temperature.value / pressure.value(),
    )
}

/// Work that air does each second as it rises through a column of water.
///
/// `W = m R T ln(1 + rho g H / p)`: the bubbles stay at the water's temperature, so
/// they expand isothermally from the diffuser's pressure to the surface's `p`. It is
/// the least work by which any compressor could have put them there, too.
///
/// - `m` air, kg/s; `T` water temperature, K; `H` depth, m; `p` ambient, Pa.
/// - Range: down to 100 m.
/// - Check value: 1.3 standard cubic feet a minute, 3 m, 20 degrees: 15.82 W.
/// - No depth or no air gives no work; so does what isn't a number, with a breach.
pub fn work(air: AirAmount, column: &Column) -> Checked<Power> {
    let breaches: Vec<Breach> = [
        DEPTH.check(&EXPANSION_WORK, column.depth.value),
        AMBIENT.check(&EXPANSION_WORK, column.ambient.value()),
    ]
    .into_iter()
    .flatten()
    .collect();
    let value = if column.stands() && air.value() > 0.0 && air.value().is_finite() {
        let bottom = pressure_at(column.depth, column.ambient);
        air.value()
            * DRY_AIR_GAS_CONSTANT
            * column.temperature.value
            * math::ln(bottom / column.ambient)
    } else {
        0.0
    };
    // Numbers too great to calculate with are far outside the ranges already.
    let value = if value.is_finite() { value } else { 0.0 };
    Checked {
        value: si::watts(value),
        breaches,
    }
}

/// `rho g`, Pa for each metre of fresh water.
pub(crate) const PRESSURE_PER_DEPTH: f64 = FRESH_WATER * GRAVITY;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::physics::water_properties::STANDARD_ATMOSPHERE;

    fn column(depth: f64) -> Column {
        Column {
            depth: si::metres(depth),
            ambient: AbsolutePressure::pascals(STANDARD_ATMOSPHERE),
            temperature: si::celsius(20.0),
        }
    }

    #[test]
    fn work_is_the_integral_of_weight_over_volume() {
        // Buoyancy does rho g Q(z) each second for each metre: summed up, it must be
        // the logarithm.
        let air = AirAmount::kilograms_per_second(6e-4);
        let column = column(3.0);
        let steps = 2000;
        let mut sum = 0.0;
        for i in 0..steps {
            let depth = si::metres(3.0 * (f64::from(i) + 0.5) / f64::from(steps));
            let pressure = pressure_at(depth, column.ambient);
            sum += volume_at(air, column.temperature, pressure).value * PRESSURE_PER_DEPTH * 3.0
                / f64::from(steps);
        }
        let whole = work(air, &column).value.value;
        assert!((sum / whole - 1.0).abs() < 1e-7, "{sum} {whole}");
    }

    #[test]
    fn nothing_gives_nothing() {
        let air = AirAmount::kilograms_per_second(1e-3);
        assert_eq!(work(air, &column(0.0)).value.value, 0.0);
        assert!(work(air, &column(0.0)).breaches.is_empty());
        let no_air = AirAmount::kilograms_per_second(0.0);
        assert_eq!(work(no_air, &column(2.0)).value.value, 0.0);
        let unknown = work(air, &column(f64::NAN));
        assert_eq!(unknown.value.value, 0.0);
        assert_eq!(unknown.breaches.len(), 1);
    }
}
