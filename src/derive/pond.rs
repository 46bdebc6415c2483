//! What the air does to the water: how far it stirs, how much it lifts, what it keeps mixed.

use crate::assumptions::{Name, Values};
use crate::catalog::{Basin, Figure};
use crate::physics::mixing::{self, AirPerArea};
use crate::physics::network::Duty;
use crate::physics::plume::{self, PlumeConstants};
use crate::physics::rising_air::Column;
use crate::physics::{Breach, Checked, reach, turnover};
use crate::units::quantity::{AbsolutePressure, AirAmount, Length, si};

use super::plant::Plant;

/// Froude number at the rim of a wide source; not a range of its own because it only matters
/// beside the source's radius, which is one.
const FROUDE: f64 = 1.6;

/// The diffusers of a plant with the air each gets.
#[derive(Debug, Clone)]
pub struct Pond {
    /// Alike diffusers.
    pub diffusers: Vec<Stirring>,
    /// Shape of the pond.
    pub basin: Basin,
    /// Depth that the pond's volume is counted with, m.
    pub depth: f64,
    /// Pressure of the air over it.
    pub ambient: AbsolutePressure,
    /// Water temperature, K.
    pub water: f64,
}

/// Alike diffusers in the water.
#[derive(Debug, Clone, Copy)]
pub struct Stirring {
    /// How many.
    pub count: f64,
    /// Depth of the bubbles, m.
    pub depth: f64,
    /// Air for each, kg/s.
    pub amount: f64,
    /// Radius the bubbles start from, m, where it is stated.
    pub source_radius: Option<f64>,
}

impl Pond {
    /// The pond of a plant at a duty point; nothing where the duty point isn't known.
    pub fn of(plant: &Plant, duty: &Duty, basin: Basin) -> Option<Pond> {
        if duty.outlets.is_empty() {
            return None;
        }
        let diffusers = duty
            .outlets
            .iter()
            .map(|outlet| Stirring {
                count: outlet.count,
                depth: outlet.depth.value,
                amount: outlet.amount.value(),
                source_radius: plant.outlets[outlet.label]
                    .part
                    .source_radius
                    .known()
                    .map(Figure::si),
            })
            .collect();
        Some(Pond {
            diffusers,
            basin,
            depth: plant.deepest(),
            ambient: plant.site.pressure,
            water: plant.water,
        })
    }

    /// All the air that reaches the water, kg/s.
    pub fn air(&self) -> f64 {
        self.diffusers
            .iter()
            .map(|one| one.count * one.amount)
            .sum()
    }

    /// Area in m2 that the diffusers reach. One without air reaches nothing.
    pub fn reach_area(&self, values: &Values) -> Checked<f64> {
        let depths: Vec<Length> = self.wet_depths();
        let coverage = values[Name::Coverage];
        reach::reach_area(&depths, coverage, values[Name::ReachPerDepth]).map(|area| area.value)
    }

    /// Depths that each diffuser would have to stir for `area` m2.
    pub fn reach_needed(&self, area: f64, coverage: f64) -> Option<f64> {
        let depths = self.wet_depths();
        let needed = reach::reach_per_depth_needed(si::square_metres(area), &depths, coverage);
        needed.map(|checked| checked.value)
    }

    fn wet_depths(&self) -> Vec<Length> {
        let wet = self.diffusers.iter().filter(|one| one.amount > 0.0);
        wet.flat_map(|one| std::iter::repeat_n(si::metres(one.depth), one.count as usize))
            .collect()
    }

    /// Water in m3/s that the plumes bring to the surface.
    pub fn water_lifted(&self, values: &Values) -> Checked<f64> {
        let mut sum = 0.0;
        let mut breaches: Vec<Breach> = Vec::new();
        for one in &self.diffusers {
            let constants = PlumeConstants {
                entrainment: values[Name::Entrainment],
                bubble_spread: values[Name::BubbleSpread],
                slip: si::metres_per_second(values[Name::Slip]),
                momentum_amplification: values[Name::MomentumAmplification],
                source_radius: si::metres(one.source_radius.unwrap_or(values[Name::SourceRadius])),
                froude: FROUDE,
            };
            let column = Column {
                depth: si::metres(one.depth),
                ambient: self.ambient,
                temperature: si::kelvins(self.water),
            };
            let air = AirAmount::kilograms_per_second(one.amount);
            let plume = plume::plume(air, &column, &constants).gather(&mut breaches);
            sum += one.count * plume.water.value;
        }
        Checked {
            value: sum,
            breaches,
        }
    }

    /// Mean depth over greatest depth.
    pub fn mean_depth_ratio(&self, values: &Values) -> f64 {
        values[match self.basin {
            Basin::Flat => Name::MeanDepthFlat,
            Basin::Bowl => Name::MeanDepthBowl,
            Basin::Cone => Name::MeanDepthCone,
        }]
    }

    /// Volume in m3 of a pond of `area` m2.
    pub fn volume(&self, area: f64, values: &Values) -> f64 {
        let ratio = self.mean_depth_ratio(values);
        turnover::volume(si::square_metres(area), si::metres(self.depth), ratio).value
    }

    /// Turnovers of `volume` m3 a day.
    pub fn turnovers_a_day(&self, volume: f64, values: &Values) -> Checked<f64> {
        self.water_lifted(values).map(|water| {
            let rate = turnover::turnover_rate(
                si::cubic_metres_per_second(water),
                si::cubic_metres(volume),
            );
            rate.map_or(0.0, |rate| rate.value * 86_400.0)
        })
    }

    /// Area in m2 whose volume is turned over so many times a day.
    pub fn turnover_area(&self, a_day: f64, values: &Values) -> Checked<f64> {
        let ratio = self.mean_depth_ratio(values);
        self.water_lifted(values).map(|water| {
            let depth = self.depth.max(1e-9);
            water * 86_400.0 / (a_day * ratio * depth)
        })
    }

    /// Area in m2 that the air keeps mixed at `needed` scfm/acre.
    pub fn mixing_area(&self, needed: f64) -> f64 {
        let needed = AirPerArea::kilograms_per_second_and_square_metre(scfm_per_acre(needed));
        let air = AirAmount::kilograms_per_second(self.air());
        mixing::mixing_area(air, needed, si::metres(self.depth))
            .map_or(0.0, |area| area.value.value)
    }

    /// Whether the pond is deep enough for the air that keeps it mixed to be a criterion of its own,
    /// and not only advice.
    pub fn mixing_applies(&self) -> bool {
        self.depth >= 3.0
    }
}

/// Square metres in an acre.
pub const ACRE: f64 = 4_046.856_422_4;

/// scfm/acre in kg/(s m2).
pub fn scfm_per_acre(x: f64) -> f64 {
    x * crate::physics::diffuser::SCFM / ACRE
}
