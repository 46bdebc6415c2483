//! What one bubble gives up on its way to the surface: physics to hold the handbooks'
//! transfer efficiencies against.

use super::rising_air::{Column, PRESSURE_PER_DEPTH};
use super::{Breach, Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{Length, MassDensity, Velocity};
use std::f64::consts::PI;

/// Oxygen and nitrogen leaving a bubble.
pub static BUBBLE_TRANSFER: Equation = Equation {
    name: "oxygen left behind by a rising bubble",
    formula: "dn/dz = -KL 4 pi r^2 (He p - C) / (vb + w); KL = min(0.6 r, 4e-4)",
    source: "closures for transfer, rise and solubility of Wuest, Brooks & Imboden 1992, Water Resour. \
             Res. 28(12):3235-3250, as coded in a public plume model by V. Singleton, 2009",
    mark: Mark::Published,
    ranges: &[DIAMETER, DEPTH, TEMPERATURE],
};

const DIAMETER: Range = Range {
    quantity: "bubble diameter",
    low: 0.0005,
    high: 0.02,
    unit: "m",
};
const DEPTH: Range = Range {
    quantity: "depth",
    low: 0.0,
    high: 30.0,
    unit: "m",
};
/// The solubilities are parabolas in temperature.
const TEMPERATURE: Range = Range {
    quantity: "water temperature",
    low: 273.15,
    high: 303.15,
    unit: "K",
};

/// Shares of oxygen and nitrogen in the molecules of a fresh bubble; argon counts as
/// nitrogen.
const AIR: [f64; 2] = [0.21, 0.79];

/// kg/mol.
const OXYGEN_MOLAR_MASS: f64 = 0.031_999;

/// J/(mol K).
const MOLAR_GAS_CONSTANT: f64 = 8.314_462_618;

/// Steps of the way up.
const STEPS: u32 = 200;

/// Share of a bubble's oxygen that is in the water when it breaks the surface.
///
/// Of each gas, `n` moles in a bubble of radius `r`:
///
/// ```text
/// dn/dz = -KL 4 pi r^2 (He x P - C) / (vb + w),   P = p + rho g (H - z)
/// 4/3 pi r^3 = (n_O2 + n_N2) R T / P
/// KL = min(0.6 r, 4e-4)                                           m/s
/// vb = 1189 r^1.1945 (r <= 0.75 mm), 0.22, 2.995 r^0.489 (r >= 4.8 mm)   m/s
/// He_O2 = (2.125 - 0.05023 t + 5.7714e-4 t^2) 1e-5                mol/(m3 Pa)
/// He_N2 = (1.042 - 0.02457 t + 3.1714e-4 t^2) 1e-5                mol/(m3 Pa)
/// ```
///
/// | symbol | meaning | unit |
/// | --- | --- | --- |
/// | `x` | share of the gas in the bubble | – |
/// | `C` | the gas in the water: oxygen as given, nitrogen in balance with the air | mol/m3 |
/// | `vb`, `w` | rise in still water, and of the water itself | m/s |
/// | `t` | temperature, degrees Celsius | – |
///
/// Solved in 200 fixed steps of fourth-order Runge-Kutta.
///
/// - Range: 0.5 to 20 mm, down to 30 m, 0 to 30 degrees Celsius. Bubbles neither meet nor
///   break up.
/// - Check values at 20 degrees, water rising 0.3 m/s, 6 ft: 12.73 % of 2 mm bubbles,
///   4.42 % of 6 mm ones; in still water 27.7 % of 2 mm ones.
/// - Between 0 and 1, or negative where the water feeds the bubble. No depth gives zero;
///   what isn't a number gives zero and a breach.
pub fn bubble_transfer(
    diameter: Length,
    column: &Column,
    rising_water: Velocity,
    oxygen: MassDensity,
) -> Checked<f64> {
    let breaches: Vec<Breach> = [
        DIAMETER.check(&BUBBLE_TRANSFER, diameter.value),
        DEPTH.check(&BUBBLE_TRANSFER, column.depth.value),
        TEMPERATURE.check(&BUBBLE_TRANSFER, column.temperature.value),
    ]
    .into_iter()
    .flatten()
    .collect();
    let usable = diameter.value > 0.0
        && diameter.value.is_finite()
        && column.stands()
        && rising_water.value >= 0.0
        && rising_water.value.is_finite()
        && oxygen.value.is_finite();
    let value = if usable {
        let rise = Rise::new(column, rising_water.value, oxygen.value);
        rise.oxygen_left_behind(diameter.value / 2.0)
    } else {
        0.0
    };
    Checked {
        value: if value.is_finite() { value } else { 0.0 },
        breaches,
    }
}

struct Rise {
    depth: f64,
    ambient: f64,
    /// `R T`, J/mol.
    thermal: f64,
    /// Oxygen and nitrogen, mol/(m3 Pa).
    solubility: [f64; 2],
    /// Oxygen and nitrogen in the water, mol/m3.
    dissolved: [f64; 2],
    rising_water: f64,
}

impl Rise {
    fn new(column: &Column, rising_water: f64, oxygen: f64) -> Self {
        let t = column.temperature.value - 273.15;
        let solubility = [
            (2.125 - 0.050_23 * t + 5.771_4e-4 * t * t) * 1e-5,
            (1.042 - 0.024_57 * t + 3.171_4e-4 * t * t) * 1e-5,
        ];
        let ambient = column.ambient.value();
        Rise {
            depth: column.depth.value,
            ambient,
            thermal: MOLAR_GAS_CONSTANT * column.temperature.value,
            solubility,
            dissolved: [oxygen / OXYGEN_MOLAR_MASS, solubility[1] * AIR[1] * ambient],
            rising_water,
        }
    }

    fn pressure(&self, z: f64) -> f64 {
        self.ambient + PRESSURE_PER_DEPTH * (self.depth - z)
    }

    /// Moles of each gas lost for each metre.
    fn slopes(&self, z: f64, moles: [f64; 2]) -> [f64; 2] {
        // A bubble that has dissolved stays so.
        let whole = moles[0].max(0.0) + moles[1].max(0.0);
        if whole <= 0.0 {
            return [0.0, 0.0];
        }
        let pressure = self.pressure(z);
        let radius = math::cbrt(0.75 / PI * whole * self.thermal / pressure);
        let transfer = (0.6 * radius).min(4e-4);
        let through =
            transfer * 4.0 * PI * radius * radius / (rise_velocity(radius) + self.rising_water);
        let loss = |i: usize| {
            let partial = moles[i].max(0.0) / whole * pressure;
            -through * (self.solubility[i] * partial - self.dissolved[i])
        };
        [loss(0), loss(1)]
    }

    fn oxygen_left_behind(&self, radius: f64) -> f64 {
        let whole = self.pressure(0.0) * 4.0 / 3.0 * PI * math::powi(radius, 3) / self.thermal;
        let first = AIR.map(|share| share * whole);
        let mut moles = first;
        let step = self.depth / f64::from(STEPS);
        let along = |moles: [f64; 2], slope: [f64; 2], length: f64| {
            [moles[0] + length * slope[0], moles[1] + length * slope[1]]
        };
        for i in 0..STEPS {
            let z = f64::from(i) * step;
            let half = 0.5 * step;
            let k1 = self.slopes(z, moles);
            let k2 = self.slopes(z + half, along(moles, k1, half));
            let k3 = self.slopes(z + half, along(moles, k2, half));
            let k4 = self.slopes(z + step, along(moles, k3, step));
            for gas in 0..2 {
                moles[gas] += step / 6.0 * (k1[gas] + 2.0 * (k2[gas] + k3[gas]) + k4[gas]);
                moles[gas] = moles[gas].max(0.0);
            }
        }
        1.0 - moles[0] / first[0]
    }
}

/// Rise of a bubble in still water, m/s, from its radius in m.
fn rise_velocity(radius: f64) -> f64 {
    if radius <= 0.75e-3 {
        1189.0 * math::powf(radius, 1.194_5)
    } else if radius < 4.8e-3 {
        0.22
    } else {
        2.995 * math::powf(radius, 0.489)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::quantity::{AbsolutePressure, si};

    fn column(depth: f64) -> Column {
        Column {
            depth: si::metres(depth),
            ambient: AbsolutePressure::pascals(101_325.0),
            temperature: si::celsius(20.0),
        }
    }

    fn share(diameter: f64, depth: f64, water: f64) -> Checked<f64> {
        bubble_transfer(
            si::metres(diameter),
            &column(depth),
            si::metres_per_second(water),
            si::kilograms_per_cubic_metre(0.0),
        )
    }

    #[test]
    fn rising_water_halves_what_small_bubbles_give() {
        let still = share(0.002, 1.8288, 0.0);
        let moving = share(0.002, 1.8288, 0.3);
        assert!(still.breaches.is_empty());
        assert!((still.value - 0.277).abs() < 5e-4);
        assert!((moving.value - 0.1273).abs() < 5e-5);
    }

    #[test]
    fn nothing_gives_nothing_and_a_dissolved_bubble_gives_all() {
        assert_eq!(share(0.002, 0.0, 0.3).value, 0.0);
        assert_eq!(share(f64::NAN, 2.0, 0.3).value, 0.0);
        let dust = share(0.0001, 10.0, 0.0);
        assert!(dust.value > 0.9 && dust.value <= 1.0, "{}", dust.value);
        assert_eq!(dust.breaches.len(), 1);
    }
}
