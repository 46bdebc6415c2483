//! How much air keeps a deep pond from layering.
//!
//! One rule, air for each area, and the heat balance that explains why it is for each
//! *area* and hardly asks for the depth.

use super::rising_air::{Column, DRY_AIR_GAS_CONSTANT};
use super::water_properties::{self, FRESH_WATER, GRAVITY, HeatFlux, SPECIFIC_HEAT};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{
    AirAmount, Area, Length, MassDensity, ThermodynamicTemperature, VolumeRate, si,
};

/// Air for each area of a pond.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AirPerArea(f64);

impl AirPerArea {
    /// From kg/(s m2).
    pub fn kilograms_per_second_and_square_metre(x: f64) -> Self {
        Self(x)
    }
    /// From a volume flow of air of some density on an area.
    pub fn volume_on(flow: VolumeRate, density: MassDensity, area: Area) -> Self {
        Self(flow.value * density.value / area.value)
    }
    /// In kg/(s m2).
    pub fn value(self) -> f64 {
        self.0
    }
}

/// The rule of air for each area.
pub static MIXING_AIR: Equation = Equation {
    name: "air that keeps a pond mixed",
    formula: "A = m / (m/A needed)",
    source: "Lorenzen & Fast 1977, EPA-600/3-77-004: 9.2 m3/min for each km2 (as a design guide quotes it); \
             falling short of it as the usual cause of failed mixing: Pastorok, Lorenzen & Ginn 1982 \
             (from memory), Cooke et al., Restoration and Management of Lakes and Reservoirs, ch. 19",
    mark: Mark::Published,
    ranges: &[LAKES],
};

/// Ponds and lakes; where the rule stops being one of ponds is this project's judgement.
const LAKES: Range = Range {
    quantity: "depth",
    low: 0.0,
    high: 60.0,
    unit: "m",
};

/// Depth from which a pond stays layered from day to day, m: judgement of this project, after the 8 ft from
/// which a start by stages is advised (common practice). Shallower ones layer by day and turn over by night: fish ponds to 0.7 to 1 m on
/// average (Chang & Ouyang 1988, Aquaculture 74:263-276, abstract).
pub const LAYERED_FROM: f64 = 2.4;

/// What a criterion may decide.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It may contradict a claim.
    Decides,
    /// It is shown and may bear another out, but decides nothing alone.
    Advises,
}

/// Whether the rule of air for each area decides at a depth: from [`LAYERED_FROM`] on. Below 2 m it
/// hardly means anything, since no layer lasts the night there.
pub fn standing(depth: Length) -> Standing {
    if depth.value >= LAYERED_FROM {
        Standing::Decides
    } else {
        Standing::Advises
    }
}

/// Greatest area that air keeps mixed, by the rule of air for each area.
///
/// `A = m / needed`, with `m` all the air that comes out of the diffusers.
///
/// - The depth isn't in it; ask [`standing`] what the answer may decide. It is no pond
///   any more from 60 m on, and a breach.
/// - Check value: 2.5 standard cubic feet a minute at 1.3 an acre: 1.923 acres.
/// - No air serves no area. `None` where no air is needed.
pub fn mixing_area(air: AirAmount, needed: AirPerArea, depth: Length) -> Option<Checked<Area>> {
    let area = air.value() / needed.0;
    (area.is_finite() && area >= 0.0).then(|| Checked {
        value: si::square_metres(area),
        breaches: LAKES.check(&MIXING_AIR, depth.value).into_iter().collect(),
    })
}

/// Air for each area of a pond; `None` without an area.
pub fn air_per_area(air: AirAmount, area: Area) -> Option<AirPerArea> {
    let value = air.value() / area.value;
    (area.value > 0.0 && value.is_finite() && value >= 0.0).then_some(AirPerArea(value))
}

/// The heat balance behind the rule.
pub static HEAT_BALANCE: Equation = Equation {
    name: "air against a day's heating",
    formula: "m/A = g beta q H / (2 cp eta R T ln(1 + rho g H / p))",
    source: "energy of mixing heat down from the surface against isothermal work of rising air; \
             derived by this project",
    mark: Mark::Judgement,
    ranges: &[HEATED_DEPTH, NET_HEAT, EFFICIENCY],
};

/// Judgement of this project.
const HEATED_DEPTH: Range = Range {
    quantity: "depth",
    low: 1.0,
    high: 30.0,
    unit: "m",
};
/// A day's mean in the warm season: judgement of this project.
const NET_HEAT: Range = Range {
    quantity: "net heat that layers the water",
    low: 50.0,
    high: 150.0,
    unit: "W/m2",
};
/// Share of the air's work that ends up in mixing (from memory: 1 to 12 % in the field).
const EFFICIENCY: Range = Range {
    quantity: "mixing efficiency",
    low: 0.01,
    high: 0.12,
    unit: "",
};

/// Air for each area that mixes down what the sun heats: an independent check of the
/// rule, from a heat balance.
///
/// Heat `q` that stays at the surface would raise it; spread over the depth `H` it lifts
/// the water's middle by `g beta q H / (2 cp)` W for each square metre. Air does
/// `m R T ln(1 + rho g H / p)` W, of which the share `eta` mixes:
///
/// `m/A = g beta q H / (2 cp eta R T ln(1 + rho g H / p))`
///
/// The logarithm grows almost as the depth, so the depth nearly cancels.
///
/// - `beta` expansion of the warm water at the surface, 1/K; `q` W/m2; `cp` 4180 J/(kg K).
/// - Range: 50 to 150 W/m2, efficiency 1 to 12 %.
/// - Check value: 150 W/m2, 5 %, water of 25 degrees at the surface and 20 at the bottom,
///   3 m: 0.90 standard cubic feet a minute for each acre.
/// - `None` where there is no column of water or no efficiency.
pub fn heat_balance_air(
    column: &Column,
    surface: ThermodynamicTemperature,
    heat: HeatFlux,
    efficiency: f64,
) -> Option<Checked<AirPerArea>> {
    let mut breaches = Vec::new();
    let beta = water_properties::expansion(surface).gather(&mut breaches);
    let h = column.depth.value;
    let head = FRESH_WATER * GRAVITY * h / column.ambient.value();
    let air_work = DRY_AIR_GAS_CONSTANT * column.temperature.value * math::ln(1.0 + head);
    let needed = GRAVITY * beta * heat.value() * h / (2.0 * SPECIFIC_HEAT * efficiency * air_work);
    breaches.extend(HEATED_DEPTH.check(&HEAT_BALANCE, h));
    breaches.extend(NET_HEAT.check(&HEAT_BALANCE, heat.value()));
    breaches.extend(EFFICIENCY.check(&HEAT_BALANCE, efficiency));
    (column.stands() && needed.is_finite()).then_some(Checked {
        value: AirPerArea(needed),
        breaches,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_decides_where_a_pond_stays_layered() {
        assert_eq!(standing(si::metres(2.39)), Standing::Advises);
        assert_eq!(standing(si::metres(2.4)), Standing::Decides);
        assert_eq!(standing(si::metres(f64::NAN)), Standing::Advises);
    }

    #[test]
    fn area_and_air_for_each_area_are_each_others_inverse() {
        let air = AirAmount::kilograms_per_second(1e-3);
        let needed = AirPerArea::kilograms_per_second_and_square_metre(2e-7);
        let area = mixing_area(air, needed, si::metres(4.0)).unwrap();
        assert!(area.breaches.is_empty());
        let back = air_per_area(air, area.value).unwrap();
        assert!((back.value() / needed.value() - 1.0).abs() < 1e-15);
        assert!(air_per_area(air, si::square_metres(0.0)).is_none());
        assert!(mixing_area(air, AirPerArea(0.0), si::metres(4.0)).is_none());
    }
}
