//! What the air does to the water: how far it stirs, how much it lifts, what it keeps mixed.

use std::sync::Arc;

use smallvec::SmallVec;

use crate::assumptions::{Assumptions, Name, Values};
use crate::catalog::{Basin, Catalog, Figure, Given, Package, Plain};
use crate::physics::mixing::{self, AirPerArea};
use crate::physics::plume::{self, Plume, PlumeConstants};
use crate::physics::rising_air::Column;
use crate::physics::{Breach, Checked, reach, surface_velocity, turnover};
use crate::units::math;
use crate::units::quantity::{AbsolutePressure, AirAmount, Length, si};

use super::plant::Plant;
use super::solver::Settled;

/// Froude number at the rim of a wide source; not a range of its own because it only matters
/// beside the source's radius, which is one.
const FROUDE: f64 = 1.6;

/// Share of its momentum that a plume's water keeps where it turns along the surface; not a range of its own
/// because the speed it is held to is one.
const KEPT: f64 = 0.8;

/// The pond as the catalog states it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// Shape of its bottom.
    pub basin: Basin,
    /// Length over width, where it is stated.
    pub length_to_width: Option<f64>,
    /// Share of the day that the machine runs.
    pub share_of_day: f64,
    /// Whether the package is one that keeps water open in winter, which needn't mix the pond.
    pub in_winter: bool,
}

impl Setting {
    /// The pond of a package, for a promise of it where that states its own running hours.
    pub fn of(catalog: &Catalog, package: &Package, promise: Option<&Figure>) -> Setting {
        let site = &catalog.site;
        Setting {
            basin: site.basin(),
            length_to_width: site.shape.known().map(|shape| shape.value),
            share_of_day: hours_a_day(catalog, package, promise) / 24.0,
            in_winter: package.claims.winter_opening.is_there(),
        }
    }
}

impl Setting {
    /// Whether a pond of that depth in m must be mixed: where it layers for days, and is to be stirred at all.
    pub fn is_mixed_at(self, depth: f64) -> bool {
        depth >= LAYERS_FROM && !self.in_winter
    }
}

/// Whether the running hours a day of a promise are stated and can't be read.
pub fn hours_are_unread(catalog: &Catalog, package: &Package, promise: &Figure) -> bool {
    let unread = |hours: &Given<Plain<f64>>| matches!(hours, Given::Unreadable);
    let own = promise.conditions.hours_per_day.is_some();
    let of_package = &package.hours_per_day;
    !own && (unread(of_package) || of_package.is_absent() && unread(&catalog.site.hours_per_day))
}

/// Running hours a day: the promise's own, else the package's, else the site's, else all of them.
pub fn hours_a_day(catalog: &Catalog, package: &Package, promise: Option<&Figure>) -> f64 {
    let given = |hours: &Given<Plain<f64>>| hours.known().map(|hours| hours.value);
    promise
        .and_then(|figure| figure.conditions.hours_per_day)
        .or(given(&package.hours_per_day))
        .or(given(&catalog.site.hours_per_day))
        .unwrap_or(24.0)
        .clamp(0.0, 24.0)
}

/// The diffusers of a plant with the air each gets.
#[derive(Debug, Clone)]
pub struct Pond {
    /// Alike diffusers.
    pub diffusers: SmallVec<[Stirring; 2]>,
    /// The pond they lie in.
    pub setting: Setting,
    /// Depth that the pond's volume is counted with, m.
    pub depth: f64,
    /// Pressure of the air over it.
    pub ambient: AbsolutePressure,
    /// Water temperature, K.
    pub water: f64,
    /// The duty point that its air is of, where it is of one: it keeps what the plumes do.
    pub settled: Option<Arc<Settled>>,
}

/// Alike diffusers in the water.
#[derive(Debug, Clone, Copy)]
pub struct Stirring {
    /// How many.
    pub count: f64,
    /// Depth of the bubbles, m, at the greatest depth they may lie at.
    pub depth: f64,
    /// Whether that depth is their own; else they lie where the basin has them.
    pub own_depth: bool,
    /// Air for each, kg/s.
    pub amount: f64,
    /// Radius of the area that gives off bubbles, m, where it is stated.
    pub source_radius: Option<f64>,
}

/// The ranges that decide what the plumes do, beside the air.
const WATER_SIDE: [Name; 7] = [
    Name::Entrainment,
    Name::BubbleSpread,
    Name::SlipVelocity,
    Name::MomentumAmplification,
    Name::SourceRadius,
    Name::DiffuserDepth,
    Name::RimSpeed,
];

/// All that decides what the plumes of a duty point do: the basin, and the values of [`WATER_SIDE`].
pub(super) type WaterSide = (Basin, [f64; WATER_SIDE.len()]);

/// What the plumes do at the surface.
#[derive(Debug, Clone, PartialEq)]
pub struct Lifted {
    /// Water that they bring up while the machine runs, m3/s.
    pub water: f64,
    /// Area within which the water along the surface keeps the speed that counts as stirred, m2.
    pub rim_area: f64,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
}

/// From this depth on, in m, a pond layers for days: air that keeps it mixed is a criterion then, and a start by
/// stages is advised.
pub use crate::physics::mixing::LAYERED_FROM as LAYERS_FROM;

impl Pond {
    /// The pond of a plant at a duty point; nothing where the duty point isn't known.
    pub fn of(plant: &Plant, settled: &Arc<Settled>, setting: Setting) -> Option<Pond> {
        if settled.each.is_empty() {
            return None;
        }
        let fed = plant.outlets.iter().zip(&settled.each);
        let diffusers = fed
            .map(|(outlet, &amount)| Stirring {
                count: f64::from(outlet.count()),
                depth: outlet.bubble_depth(),
                own_depth: outlet.own_depth.is_some(),
                amount,
                source_radius: outlet.part.source_radius.known().map(Figure::si),
            })
            .collect();
        Some(Pond {
            diffusers,
            setting,
            depth: plant.deepest(),
            ambient: plant.site.pressure,
            water: plant.water,
            settled: Some(settled.clone()),
        })
    }

    /// How many diffusers there are.
    pub fn count(&self) -> f64 {
        self.diffusers.iter().map(|one| one.count).sum()
    }

    /// Depth of the bubbles of alike diffusers as they lie in the basin, m.
    ///
    /// One diffuser lies at the greatest depth. Several without depths of their own share the pond out, and
    /// `diffuser-depth` says how far from the greatest depth that puts them.
    pub fn lies_at(&self, one: &Stirring, values: &Values) -> f64 {
        let sharing: f64 = self
            .diffusers
            .iter()
            .filter(|other| !other.own_depth)
            .map(|other| other.count)
            .sum();
        if one.own_depth || sharing < 2.0 {
            return one.depth;
        }
        let spread = depth_of_shares(sharing, self.setting.basin);
        one.depth * (spread + (1.0 - spread) * values[Name::DiffuserDepth].clamp(0.0, 1.0))
    }

    /// Share of the stirred circles that counts as pond: less in a long one.
    pub fn coverage(&self, values: &Values) -> f64 {
        let stated = self.setting.length_to_width;
        let elongation = stated.map_or(1.0, |ratio| reach::elongation(ratio, self.count()));
        values[Name::Coverage] * elongation
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
        let depths = self.wet_depths(values);
        reach::reach_area(&depths, self.coverage(values), values[Name::ReachPerDepth])
            .map(|area| area.value)
    }

    /// Depths that each diffuser would have to stir for `area` m2, by the coverage of `values`.
    pub fn reach_needed(&self, area: f64, values: &Values) -> Option<f64> {
        let depths = self.wet_depths(values);
        let coverage = self.coverage(values);
        let needed = reach::reach_per_depth_needed(si::square_metres(area), &depths, coverage);
        needed.map(|checked| checked.value)
    }

    fn wet_depths(&self, values: &Values) -> SmallVec<[Length; 8]> {
        let wet = self.diffusers.iter().filter(|one| one.amount > 0.0);
        wet.flat_map(|one| {
            let depth = si::metres(self.lies_at(one, values));
            std::iter::repeat_n(depth, one.count as usize)
        })
        .collect()
    }

    /// What the plumes do at the surface.
    pub fn lifted(&self, values: &Values) -> Arc<Lifted> {
        match &self.settled {
            Some(settled) => settled.lifted(
                (self.setting.basin, WATER_SIDE.map(|name| values[name])),
                || self.lift(values),
            ),
            None => Arc::new(self.lift(values)),
        }
    }

    fn lift(&self, values: &Values) -> Lifted {
        let mut lifted = Lifted {
            water: 0.0,
            rim_area: 0.0,
            breaches: Vec::new(),
        };
        let rim = si::metres_per_second(values[Name::RimSpeed]);
        for one in &self.diffusers {
            let plume = self.plume(one, values).gather(&mut lifted.breaches);
            lifted.water += one.count * plume.water.value;
            let radius = surface_velocity::distance_of(plume.momentum, KEPT, rim);
            let radius = radius.map_or(0.0, |checked| checked.value.value);
            lifted.rim_area += one.count * std::f64::consts::PI * radius * radius;
        }
        lifted
    }

    /// The plume of one of alike diffusers.
    fn plume(&self, one: &Stirring, values: &Values) -> Checked<Plume> {
        // A stated radius says how wide the bubbles may start, not that they start at full speed over all
        // of it: the range from a point to the widest is scaled to it.
        let widest = Assumptions::builtin()[Name::SourceRadius].favourable;
        let share = values[Name::SourceRadius] / widest;
        let radius = one
            .source_radius
            .map_or(values[Name::SourceRadius], |stated| {
                stated * share.clamp(0.0, 1.0)
            });
        let constants = PlumeConstants {
            entrainment: values[Name::Entrainment],
            bubble_spread: values[Name::BubbleSpread],
            slip_velocity: si::metres_per_second(values[Name::SlipVelocity]),
            momentum_amplification: values[Name::MomentumAmplification],
            source_radius: si::metres(radius),
            froude: FROUDE,
        };
        let column = Column {
            depth: si::metres(self.lies_at(one, values)),
            ambient: self.ambient,
            temperature: si::kelvins(self.water),
        };
        plume::plume(
            AirAmount::kilograms_per_second(one.amount),
            &column,
            &constants,
        )
    }

    /// Water in m3/s that the plumes bring to the surface while the machine runs.
    pub fn water_lifted(&self, values: &Values) -> Checked<f64> {
        let lifted = self.lifted(values);
        Checked {
            value: lifted.water,
            breaches: lifted.breaches.clone(),
        }
    }

    /// Mean depth over greatest depth.
    pub fn mean_depth_ratio(&self, values: &Values) -> f64 {
        values[match self.setting.basin {
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

    /// Turnovers of `volume` m3 a day, in the hours the machine runs.
    pub fn turnovers_a_day(&self, volume: f64, values: &Values) -> Checked<f64> {
        self.water_lifted(values).map(|water| {
            let rate = turnover::turnover_rate(
                si::cubic_metres_per_second(water * self.setting.share_of_day),
                si::cubic_metres(volume),
            );
            rate.map_or(0.0, |rate| rate.value * 86_400.0)
        })
    }

    /// Area in m2 whose volume `lifted` m3/s turn over so many times a day, in the hours the machine runs.
    pub fn turnover_area(&self, lifted: f64, a_day: f64, values: &Values) -> f64 {
        let ratio = self.mean_depth_ratio(values);
        let depth = self.depth.max(1e-9);
        lifted * self.setting.share_of_day * 86_400.0 / (a_day * ratio * depth)
    }

    /// Area in m2 that the air of a day keeps mixed at `needed` scfm/acre.
    pub fn mixing_area(&self, needed: f64) -> f64 {
        let needed = AirPerArea::kilograms_per_second_and_square_metre(scfm_per_acre(needed));
        let air = AirAmount::kilograms_per_second(self.air() * self.setting.share_of_day);
        mixing::mixing_area(air, needed, si::metres(self.depth))
            .map_or(0.0, |area| area.value.value)
    }

    /// Whether the air that keeps it mixed is a criterion of its own, and not only advice.
    pub fn mixing_applies(&self) -> bool {
        self.setting.is_mixed_at(self.depth)
    }
}

/// Depth over the greatest at the middle of each of `count` equal sectors of a round pond.
///
/// The middle of a sector of angle `2 pi / n` lies `r = (2/3) sin(pi/n) / (pi/n)` of the radius out (its
/// centroid); there a bowl (a paraboloid) is `1 - r^2` deep, a cone `1 - r`, a flat bottom 1.
///
/// - Check values: two in a bowl 0.820, four 0.640; two in a cone 0.576.
fn depth_of_shares(count: f64, basin: Basin) -> f64 {
    let angle = std::f64::consts::PI / count.max(1.0);
    let out = 2.0 / 3.0 * math::sin(angle) / angle;
    match basin {
        Basin::Flat => 1.0,
        Basin::Bowl => 1.0 - out * out,
        Basin::Cone => 1.0 - out,
    }
}

/// Square metres in an acre.
pub const ACRE: f64 = 4_046.856_422_4;

/// scfm/acre in kg/(s m2).
pub fn scfm_per_acre(x: f64) -> f64 {
    x * crate::physics::diffuser::SCFM / ACRE
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn shares_of_a_basin_lie_where_geometry_puts_them() {
        for (count, basin, depth) in [
            (1.0, Basin::Bowl, 1.0),
            (2.0, Basin::Bowl, 0.820),
            (4.0, Basin::Bowl, 0.640),
            (2.0, Basin::Cone, 0.576),
            (7.0, Basin::Flat, 1.0),
        ] {
            assert!(
                (depth_of_shares(count, basin) - depth).abs() < 5e-4,
                "{count} {basin:?}"
            );
        }
    }
}
