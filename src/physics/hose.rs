//! Airline: does it stay on the bottom, does it hold the pressure.

use super::refusal::{Refusal, bound};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Length, LinearMassDensity, MassDensity, Pressure, si};
use std::f64::consts::PI;

/// Density of the air in a line a few metres down, kg/m3: 1.2 times 1.25.
pub const LINE_AIR: f64 = 1.5;

/// Weight of a line in water for each length.
///
/// `n = m_L + rho_i pi d²/4 − rho_w pi D²/4`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | m_L | mass of the line for each length | kg/m |
/// | rho_i | density of what fills it | kg/m3 |
/// | rho_w | density of the water | kg/m3 |
/// | d, D | bore and outside diameter | m |
/// | n | what is left to hold it down; below 0 it floats | kg/m |
///
/// A line without air in it says nothing: full of water every wall denser than water
/// sinks. 0.02 kg/m are wanted to stay put (judgement). Check: 3/8 by 5/8 in of
/// 1600 kg/m3, air-filled, in water of 10 °C, is 4.9 g/m.
pub static WEIGHT_IN_WATER: Equation = Equation {
    name: "weight of an airline in water",
    formula: "n = m_L + rho_i pi d2/4 - rho_w pi D2/4",
    source: "Archimedes",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "bore over outside diameter",
        low: 0.05,
        high: 0.99,
        unit: "",
    }],
};

/// Net mass that keeps a line from drifting, kg/m: judgement of this project.
pub const STAYS_PUT: f64 = 0.02;

/// Bore and outside diameter of a line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HoseSize {
    bore: f64,
    outside: f64,
}

impl HoseSize {
    /// Refused: a bore of nothing, an outside no greater than the bore.
    pub fn new(bore: Length, outside: Length) -> Result<Self, Refusal> {
        let bore = bound::bore(bore)?;
        let outside = super::refusal::bounded(
            "outside diameter",
            outside.value,
            bore * (1.0 + 1e-6),
            20.0,
            "m",
        )?;
        Ok(HoseSize { bore, outside })
    }

    fn bore_area(&self) -> f64 {
        PI * self.bore * self.bore / 4.0
    }

    fn outside_area(&self) -> f64 {
        PI * self.outside * self.outside / 4.0
    }

    fn wall(&self) -> f64 {
        (self.outside - self.bore) / 2.0
    }

    /// Mass for each length of a wall of a density.
    pub fn mass_of_wall(&self, wall: MassDensity) -> LinearMassDensity {
        linear(wall.value * (self.outside_area() - self.bore_area()))
    }

    /// Mass of water it takes the place of, for each length.
    pub fn displaced(&self, water: MassDensity) -> LinearMassDensity {
        linear(water.value * self.outside_area())
    }

    /// Density of the wall at which it neither sinks nor floats with `filling` inside:
    /// `(rho_w D² − rho_i d²) / (D² − d²)`.
    pub fn neutral_wall(&self, filling: MassDensity, water: MassDensity) -> MassDensity {
        let held = water.value * self.outside_area() - filling.value * self.bore_area();
        si::kilograms_per_cubic_metre(held / (self.outside_area() - self.bore_area()))
    }

    /// Net mass for each length in water; see [`WEIGHT_IN_WATER`].
    pub fn weight_in_water(
        &self,
        mass: LinearMassDensity,
        filling: MassDensity,
        water: MassDensity,
    ) -> Checked<LinearMassDensity> {
        let net = mass.value + filling.value * self.bore_area() - water.value * self.outside_area();
        WEIGHT_IN_WATER.checked(&[self.bore / self.outside], linear(net))
    }

    /// Pressure of a thin wall; see [`THIN_WALL`].
    pub fn thin_wall_pressure(&self, stress: Pressure) -> Checked<Pressure> {
        let share = self.wall() / self.outside;
        THIN_WALL.checked(&[share], stress * (2.0 * share))
    }

    /// Pressure by the mean diameter; see [`MEAN_DIAMETER`].
    pub fn mean_diameter_pressure(&self, stress: Pressure) -> Checked<Pressure> {
        let share = self.wall() / self.outside;
        let ratio = 2.0 * self.wall() / (self.outside - self.wall());
        MEAN_DIAMETER.checked(&[share], stress * ratio)
    }

    /// Pressure of a thick wall; see [`THICK_WALL`].
    pub fn thick_wall_pressure(&self, stress: Pressure) -> Checked<Pressure> {
        let (outer, inner) = (self.outside * self.outside, self.bore * self.bore);
        THICK_WALL.checked(
            &[self.wall() / self.outside],
            stress * ((outer - inner) / (outer + inner)),
        )
    }
}

fn linear(kilograms_per_metre: f64) -> LinearMassDensity {
    si::kilograms(kilograms_per_metre) / si::metres(1.0)
}

/// Pressure a thin wall holds.
///
/// `P = 2 S t / D`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | S | stress the material may carry: its hydrostatic design stress | Pa |
/// | t, D | wall and outside diameter | m |
///
/// Check: 3/8 by 5/8 in with 200 psi holds 80 psi.
pub static THIN_WALL: Equation = Equation {
    name: "pressure of a thin-walled pipe",
    formula: "P = 2 S t/D",
    source: "equilibrium of half a ring with the pressure taken on the outside diameter (Barlow)",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "wall over outside diameter",
        low: 0.0,
        high: 0.1,
        unit: "",
    }],
};

/// Pressure a pipe holds by its mean diameter.
///
/// `P = 2 S t / (D − t) = 2 S / (SDR − 1) = 2 S / (SIDR + 1)`
///
/// SDR is outside diameter over wall, SIDR bore over wall; other symbols as for
/// [`THIN_WALL`]. Check: SIDR 15 with 630 psi holds 78.75 psi.
pub static MEAN_DIAMETER: Equation = Equation {
    name: "pressure of a plastic pipe",
    formula: "P = 2 S t/(D - t)",
    source: "Moser, Buried Pipe Design, p. 206, equation 4.15, for ASTM D2241; with the bore in place of the outside diameter that of ASTM D2239",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "wall over outside diameter",
        low: 0.0,
        high: 0.2,
        unit: "",
    }],
};

/// Pressure a thick wall holds where its stress is greatest, at the bore.
///
/// `P = S (D² − d²) / (D² + d²)`
///
/// Symbols as for [`THIN_WALL`], d the bore.
/// Check: 3/8 by 5/8 in with 200 psi holds 94.1 psi.
pub static THICK_WALL: Equation = Equation {
    name: "pressure of a thick-walled pipe",
    formula: "P = S (D2 - d2)/(D2 + d2)",
    source: "elastic solution of a ring under inner pressure (Lamé), at the bore",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "wall over outside diameter",
        low: 0.0,
        high: 0.45,
        unit: "",
    }],
};

/// What a material of airline weighs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineMaterial {
    /// The material.
    pub material: &'static str,
    /// Least and greatest density, kg/m3.
    pub density: (f64, f64),
    /// Where it stands.
    pub source: &'static str,
    /// How firmly.
    pub mark: Mark,
}

/// Densities of airline materials.
pub static LINE_MATERIALS: [LineMaterial; 3] = [
    LineMaterial {
        material: "low-density polyethylene",
        density: (910.0, 925.0),
        source: "general reference on plastics",
        mark: Mark::Published,
    },
    LineMaterial {
        material: "flexible PVC",
        density: (1_100.0, 1_350.0),
        source: "a trade association of PVC (1100 to 1300) and a general reference (1180 to 1350)",
        mark: Mark::Published,
    },
    LineMaterial {
        material: "mineral-filled PVC",
        density: (1_500.0, 2_200.0),
        source: "judgement of this project",
        mark: Mark::Judgement,
    },
];
