//! Breaking a layered pond: the energy it takes, and how long air needs for it.

use super::water_properties::GRAVITY;
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Area, Length, MassDensity, Power, Time, si};

/// Energy for each area of a pond.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct EnergyPerArea(f64);

impl EnergyPerArea {
    /// From J/m2.
    pub fn joules_per_square_metre(x: f64) -> Self {
        Self(x)
    }
    /// In J/m2.
    pub fn value(self) -> f64 {
        self.0
    }
}

/// How density changes from the surface to the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Layering {
    /// Evenly from top to bottom.
    Even,
    /// Two layers, one density each.
    TwoLayers {
        /// Share of the depth that the upper layer takes.
        upper_share: f64,
    },
}

/// Energy to mix a layered pond.
pub static LAYERING_ENERGY: Equation = Equation {
    name: "energy to mix a layered pond",
    formula: "S = g (rho_b - rho_t) H^2 / 12; S = g (rho_b - rho_t) H^2 f (1 - f) / 2",
    source: "potential energy of the mixed water less that of the layered; exact for upright sides",
    mark: Mark::Exact,
    ranges: &[SHARE],
};

const SHARE: Range = Range {
    quantity: "upper layer's share of the depth",
    low: 0.0,
    high: 1.0,
    unit: "",
};

/// Energy for each square metre that mixing a layered pond takes.
///
/// Mixing lifts the middle of the water's mass: by `g d H^2 / 12` where density falls
/// evenly over the depth, by `g d H^2 f (1 - f) / 2` in two layers of which the upper
/// takes the share `f`.
///
/// - `d` density at the bottom less that at the surface, kg/m3; `H` depth, m.
/// - Range: a basin with upright sides; in a bowl there is less deep water to lift, and
///   this is the most.
/// - Check values: 25 over 15 degrees Celsius, 3 m: 15.12 J/m2 evenly, 22.68 in two equal
///   layers.
/// - Water that is lighter below mixes by itself: no energy.
pub fn layering_energy(
    density_difference: MassDensity,
    depth: Length,
    layering: Layering,
) -> Checked<EnergyPerArea> {
    let whole = GRAVITY * density_difference.value * depth.value * depth.value;
    let (value, breach) = match layering {
        Layering::Even => (whole / 12.0, None),
        Layering::TwoLayers { upper_share: f } => (
            whole * f * (1.0 - f) / 2.0,
            SHARE.check(&LAYERING_ENERGY, f),
        ),
    };
    let sound = value.is_finite() && value > 0.0;
    Checked {
        value: EnergyPerArea(if sound { value } else { 0.0 }),
        breaches: breach.into_iter().collect(),
    }
}

/// Time to mix a layered pond.
pub static MIXING_TIME: Equation = Equation {
    name: "time to mix a layered pond",
    formula: "t = S A / (eta W)",
    source: "energy balance; efficiency 1 to 12 % in the field, by judgement of this project, it changes with the \
             plume and the layering: Sahoo & Luketina 2003, Mar. Freshw. Res. 54:271-285 (abstract)",
    mark: Mark::Judgement,
    ranges: &[EFFICIENCY],
};

const EFFICIENCY: Range = Range {
    quantity: "mixing efficiency",
    low: 0.01,
    high: 0.12,
    unit: "",
};

/// Time in which rising air mixes a layered pond, if the weather adds nothing.
///
/// `t = S A / (eta W)`.
///
/// - `S` energy for each area, J/m2; `A` area, m2; `W` the air's work, W, from
///   [`super::rising_air::work`]; `eta` the share of it that mixes.
/// - Range: efficiency 1 to 12 %; sun and wind of the days it takes aren't counted.
/// - Check value: 15.12 J/m2, one acre, 15.82 W, 5 %: 0.90 day.
/// - `None` where nothing mixes.
pub fn mixing_time(
    energy: EnergyPerArea,
    area: Area,
    work: Power,
    efficiency: f64,
) -> Option<Checked<Time>> {
    let time = energy.0 * area.value / (efficiency * work.value);
    (time.is_finite() && time >= 0.0).then(|| Checked {
        value: si::seconds(time),
        breaches: EFFICIENCY
            .check(&MIXING_TIME, efficiency)
            .into_iter()
            .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn energy_is_the_rise_of_the_middle_of_mass() {
        // Summed layer by layer: each moves from its own height to the middle of the
        // depth.
        let (depth, difference) = (3.0, 2.0);
        let slices = 1000;
        let sum = |density: fn(f64) -> f64| -> f64 {
            (0..slices)
                .map(|i| (f64::from(i) + 0.5) / f64::from(slices))
                .map(|z| {
                    GRAVITY * difference * density(z) * (0.5 - z) * depth * depth
                        / f64::from(slices)
                })
                .sum()
        };
        let given = |layering| {
            layering_energy(
                si::kilograms_per_cubic_metre(difference),
                si::metres(depth),
                layering,
            )
            .value
            .value()
        };
        let even = sum(|z| 1.0 - z);
        assert!((given(Layering::Even) / even - 1.0).abs() < 1e-5);
        let two = sum(|z| if z < 0.75 { 1.0 } else { 0.0 });
        let upper_share = 0.25;
        assert!((given(Layering::TwoLayers { upper_share }) / two - 1.0).abs() < 1e-5);
    }

    #[test]
    fn water_that_is_lighter_below_needs_nothing() {
        let lighter = si::kilograms_per_cubic_metre(-1.0);
        let energy = layering_energy(lighter, si::metres(3.0), Layering::Even);
        assert_eq!(energy.value.value(), 0.0);
        let none = mixing_time(energy.value, si::square_metres(1.0), si::watts(0.0), 0.05);
        assert!(none.is_none());
    }
}
