//! Oxygen that bubbles bring into a pond, and the demand it meets.
//!
//! Bubbles are the smaller part of what aerates a shallow pond: the water they lift
//! takes up at least as much at its surface. So nothing here contradicts an area; it
//! says what the bubbles alone cover.

use super::oxygen_saturation::{self, Salinity};
use super::rising_air::PRESSURE_PER_DEPTH;
use super::water_properties::STANDARD_ATMOSPHERE;
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, Area, Length, MassDensity, MassRate, Pressure,
    ThermodynamicTemperature, si,
};

/// Mass of oxygen in a mass of dry air: 20.95 % of its molecules at 31.999 g/mol, in air of
/// 28.965 g/mol.
pub const OXYGEN_IN_AIR: f64 = 0.2314;

/// Share of the oxygen that goes into the water for each metre of depth, 1/m.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TransferPerDepth(f64);

impl TransferPerDepth {
    /// From 1/m.
    pub const fn per_metre(x: f64) -> Self {
        Self(x)
    }
    /// In 1/m.
    pub const fn value(self) -> f64 {
        self.0
    }
}

/// 2.7 % a foot: the best of floors wholly covered with fine bubbles, in clean water
/// (U.S. EPA/625/1-89/023, from memory). Newer diffusers reach 9.8 % a metre, 3.0 % a foot, in
/// clean water (Behnisch, Schwarz & Wagner 2020); a few in a pond don't.
pub const FULL_FLOOR_TRANSFER: TransferPerDepth = TransferPerDepth(0.027 / 0.3048);

/// 4.6 % a foot: single bubbles of 2 mm in water at rest, by
/// [`super::bubble_transfer`]. Water that rises with them takes more than half of it away.
pub const STILL_WATER_TRANSFER: TransferPerDepth = TransferPerDepth(0.046 / 0.3048);

/// Transfer efficiency from depth.
pub static TRANSFER_EFFICIENCY: Equation = Equation {
    name: "oxygen transfer efficiency",
    formula: "SOTE = e H, at most 0.9",
    source: "fine pore 8.5 to 9.8 %/m on well covered floors: Behnisch, Schwarz & Wagner 2020, Water Pract. \
             Technol., doi 10.2166/wpt.2020.072 (abstract); 1.0 to 1.7 %/ft in spiral roll at 15 ft: \
             U.S. EPA/625/1-89/023; coarse bubbles 0.6 to 0.9 %/ft (both from memory)",
    mark: Mark::FromMemory,
    ranges: &[DEPTH, PER_DEPTH],
};

const DEPTH: Range = Range {
    quantity: "depth",
    low: 0.0,
    high: 10.1,
    unit: "m",
};
/// From coarse bubbles to 2 mm bubbles in still water: 0.5 to 4.6 % a foot.
const PER_DEPTH: Range = Range {
    quantity: "transfer for each metre of depth",
    low: 0.016,
    high: STILL_WATER_TRANSFER.0,
    unit: "1/m",
};
/// No bubble gives up the last tenth of its oxygen on the way.
const MOST_TRANSFER: f64 = 0.9;

/// Share of the air's oxygen that goes into clean water free of oxygen at 20 degrees.
///
/// `SOTE = e H`, at most 0.9.
///
/// - `e` share for each metre, 1/m; `H` depth, m. In the trade's unit 1 % a foot is
///   0.0328 for each metre.
/// - Range: down to 10 m; `e` from coarse bubbles' 0.5 to still water's 4.6 % a foot. It
///   falls slowly as a diffuser's air grows, which isn't counted.
/// - Check value: 1.6 % a foot at 6 ft: 0.096.
pub fn transfer_efficiency(per_depth: TransferPerDepth, depth: Length) -> Checked<f64> {
    let value = per_depth.0 * depth.value;
    let breaches = [
        DEPTH.check(&TRANSFER_EFFICIENCY, depth.value),
        PER_DEPTH.check(&TRANSFER_EFFICIENCY, per_depth.0),
    ];
    Checked {
        value: if value > 0.0 {
            value.min(MOST_TRANSFER)
        } else {
            0.0
        },
        breaches: breaches.into_iter().flatten().collect(),
    }
}

/// Oxygen transfer under standard conditions.
pub static STANDARD_TRANSFER: Equation = Equation {
    name: "standard oxygen transfer rate",
    formula: "SOTR = 0.2314 m SOTE",
    source: "mass balance; standard conditions of ASCE/EWRI 2 (20 degrees Celsius, no oxygen in the \
             water, one atmosphere, clean water)",
    mark: Mark::Exact,
    ranges: &[],
};

/// Oxygen that goes into clean water under standard conditions.
///
/// `SOTR = 0.2314 m SOTE`, with `m` the air, kg/s.
///
/// - Check value: 2.5 standard cubic feet a minute (1.2046 kg/m3), 6 ft, 1.6 % a foot:
///   2.7277 kg a day.
pub fn standard_transfer(air: AirAmount, transfer_efficiency: f64) -> MassRate {
    let value = OXYGEN_IN_AIR * air.value() * transfer_efficiency;
    si::kilograms_per_second(if value.is_finite() && value > 0.0 {
        value
    } else {
        0.0
    })
}

/// What makes a pond differ from clean water at 20 degrees.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FieldConditions {
    /// Transfer in the pond's water over that in clean water.
    pub alpha: f64,
    /// Saturation in the pond's water over that in clean water.
    pub beta: f64,
    /// Transfer of a diffuser in use over that of a new one.
    pub fouling: f64,
    /// Share of the diffuser's depth at which its bubbles are in balance with the water.
    pub effective_depth: f64,
    /// Of the water.
    pub temperature: ThermodynamicTemperature,
    /// Pressure of the air on the pond.
    pub ambient: AbsolutePressure,
    /// Oxygen that the water holds already.
    pub oxygen: MassDensity,
    /// Of the diffuser.
    pub depth: Length,
}

/// Oxygen transfer in the field.
pub static FIELD_TRANSFER: Equation = Equation {
    name: "oxygen transfer rate in the field",
    formula: "AOTR = SOTR alpha F 1.024^(t - 20) (beta C*(t, P) - C) / C*(20, 1 atm); \
              C* is saturation at P + fd rho g H",
    source: "Metcalf & Eddy, Wastewater Engineering, 5th ed. 2014, p. 761 (read in a public code that follows \
             it), with the saturation at the bubbles' depth in place of its pressure's factor",
    mark: Mark::Published,
    ranges: &[FIELD_DEPTH, EFFECTIVE_DEPTH, SHARE],
};

const FIELD_DEPTH: Range = Range {
    quantity: "depth",
    low: 0.0,
    high: 10.1,
    unit: "m",
};
/// A quarter to a half of the depth (0.25 to 0.45: Metcalf & Eddy, 5th ed., as a public code has
/// it); zero is saturation at the surface.
const EFFECTIVE_DEPTH: Range = Range {
    quantity: "effective over diffuser's depth",
    low: 0.0,
    high: 0.5,
    unit: "",
};
/// None makes a diffuser better than new in clean water; the low end is this project's
/// judgement.
const SHARE: Range = Range {
    quantity: "alpha, beta and fouling",
    low: 0.3,
    high: 1.0,
    unit: "",
};

/// Growth of transfer for each kelvin.
const THETA: f64 = 1.024;

/// Oxygen in balance with bubbles that are held down by water.
///
/// Saturation at the pressure `P + fd rho g H`, a share `fd` of the diffuser's depth down.
/// The pressure there leaves the range that saturation is tabulated for, 1.1 atmospheres,
/// from about 3 m on. Its form holds on: it is nearly a straight line in pressure, by
/// Henry's law. So the range that counts is that of the air on the surface, and of the
/// depth.
///
/// - Check value: 6 ft, 20 degrees Celsius, `fd` 0.33: 9.635 mg/L.
pub fn saturation_at_depth(
    temperature: ThermodynamicTemperature,
    ambient: AbsolutePressure,
    effective_depth: f64,
    depth: Length,
) -> Checked<MassDensity> {
    let head: Pressure = si::pascals(effective_depth * PRESSURE_PER_DEPTH * depth.value);
    let mut breaches: Vec<_> = oxygen_saturation::surface_breaches(temperature, ambient).collect();
    breaches.extend(FIELD_DEPTH.check(&FIELD_TRANSFER, depth.value));
    breaches.extend(EFFECTIVE_DEPTH.check(&FIELD_TRANSFER, effective_depth));
    Checked {
        value: oxygen_saturation::value(temperature, Salinity::FRESH, ambient + head),
        breaches,
    }
}

/// Oxygen that bubbles bring into a pond.
///
/// `AOTR = SOTR alpha F 1.024^(t - 20) (beta C* - C) / C*20`
///
/// | symbol | meaning |
/// | --- | --- |
/// | `SOTR` | transfer under standard conditions, kg/s |
/// | `alpha`, `beta` | pond over clean water: transfer, saturation |
/// | `F` | diffuser in use over new |
/// | `t` | water temperature, degrees Celsius |
/// | `C*`, `C*20` | [`saturation_at_depth`], here and at 20 degrees and one atmosphere |
/// | `C` | oxygen in the water already |
///
/// - Range: 0 to 40 degrees, down to 10 m, shares 0.3 to 1.
/// - It isn't monotone in temperature: water that holds less loses to transfer that is
///   faster, or not, as `C` is small or great.
/// - Check value: the standard check's 2.7277 kg a day at 25 degrees, 4 mg/L, `alpha`
///   0.9, `beta` 0.98, `F` 0.9, `fd` 0.33: 1.1839 kg a day. At 20 degrees, one atmosphere,
///   no oxygen and shares of 1, it is `SOTR` itself.
/// - Negative where the water holds more than the bubbles would leave: they carry it off.
///   What isn't a number gives zero and a breach.
pub fn field_transfer(standard: MassRate, conditions: &FieldConditions) -> Checked<MassRate> {
    let c = conditions;
    let mut breaches = Vec::new();
    let here = saturation_at_depth(c.temperature, c.ambient, c.effective_depth, c.depth)
        .gather(&mut breaches)
        .value;
    let sea_level = AbsolutePressure::pascals(STANDARD_ATMOSPHERE);
    let reference = saturation_at_depth(si::celsius(20.0), sea_level, c.effective_depth, c.depth)
        .gather(&mut breaches)
        .value;
    // One share out of its range is enough to doubt the product.
    let shares = [c.alpha, c.beta, c.fouling];
    breaches.extend(
        shares
            .iter()
            .find_map(|share| SHARE.check(&FIELD_TRANSFER, *share)),
    );
    let warmth = math::powf(THETA, c.temperature.value - 293.15);
    let deficit = (c.beta * here - c.oxygen.value) / reference;
    let value = standard.value * c.alpha * c.fouling * warmth * deficit;
    Checked {
        value: si::kilograms_per_second(if value.is_finite() { value } else { 0.0 }),
        breaches,
    }
}

/// Oxygen that each area of a pond uses up.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct OxygenDemand(f64);

impl OxygenDemand {
    /// From kg/(s m2).
    pub fn kilograms_per_second_and_square_metre(x: f64) -> Self {
        Self(x)
    }
    /// From g/m2 a day, the field's unit.
    pub fn grams_per_square_metre_a_day(x: f64) -> Self {
        Self(x * 1e-3 / 86_400.0)
    }
    /// In kg/(s m2).
    pub fn value(self) -> f64 {
        self.0
    }
}

/// Area whose demand a transfer covers.
pub static DEMAND_AREA: Equation = Equation {
    name: "area whose oxygen demand is covered",
    formula: "A = AOTR / SOD",
    source: "mass balance; sediment demand 1.1 to 1.2 g/m2 a day in fish ponds at rest: Meijer & Avnimelech \
             1999, Aquacult. Eng. 21:71-83; 1.5 to 25 in fed catfish ponds: Steeby, Hargreaves, Tucker & \
             Cathcart 2004, Aquacult. Eng. 31:247-262 (abstracts)",
    mark: Mark::Published,
    ranges: &[DEMAND],
};

/// In g/m2 a day, as the field counts.
const DEMAND: Range = Range {
    quantity: "sediment oxygen demand",
    low: 0.2,
    high: 3.0,
    unit: "g/(m2 d)",
};

/// Area whose sediment's demand bubbles cover alone: `A = AOTR / SOD`.
///
/// - Range: 0.2 to 3 g/m2 a day. The range alone is a factor of fifteen, so the area never
///   contradicts anything.
/// - Check value: 1.1839 kg a day at 1 g/m2 a day: 1184 m2.
/// - No transfer, or transfer out of the water, covers nothing. `None` without a demand.
pub fn area_covered(transfer: MassRate, demand: OxygenDemand) -> Option<Checked<Area>> {
    let area = transfer.value / demand.0;
    (demand.0 > 0.0 && area.is_finite()).then(|| Checked {
        value: si::square_metres(area.max(0.0)),
        breaches: DEMAND
            .check(&DEMAND_AREA, demand.0 * 1e3 * 86_400.0)
            .into_iter()
            .collect(),
    })
}

/// Demand that a transfer covers on an area; `None` without an area.
pub fn demand_covered(transfer: MassRate, area: Area) -> Option<OxygenDemand> {
    let demand = transfer.value / area.value;
    (area.value > 0.0 && demand.is_finite()).then(|| OxygenDemand(demand.max(0.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn clean() -> FieldConditions {
        FieldConditions {
            alpha: 1.0,
            beta: 1.0,
            fouling: 1.0,
            effective_depth: 0.33,
            temperature: si::celsius(20.0),
            ambient: AbsolutePressure::pascals(STANDARD_ATMOSPHERE),
            oxygen: si::kilograms_per_cubic_metre(0.0),
            depth: si::metres(4.5),
        }
    }

    #[test]
    fn clean_water_at_twenty_degrees_is_the_standard() {
        let standard = si::kilograms_per_second(3e-5);
        let field = field_transfer(standard, &clean());
        assert_eq!(field.value, standard);
        assert!(field.breaches.is_empty(), "{:?}", field.breaches);
    }

    #[test]
    fn bubbles_carry_off_what_is_too_much() {
        let full = FieldConditions {
            oxygen: si::kilograms_per_cubic_metre(0.02),
            ..clean()
        };
        let field = field_transfer(si::kilograms_per_second(3e-5), &full).value;
        assert!(field.value < 0.0);
        let demand = OxygenDemand::grams_per_square_metre_a_day(1.0);
        assert_eq!(area_covered(field, demand).unwrap().value.value, 0.0);
    }

    #[test]
    fn nothing_gives_nothing() {
        let per_depth = TransferPerDepth::per_metre(0.05);
        assert_eq!(transfer_efficiency(per_depth, si::metres(0.0)).value, 0.0);
        assert_eq!(transfer_efficiency(per_depth, si::metres(-1.0)).value, 0.0);
        assert_eq!(transfer_efficiency(per_depth, si::metres(80.0)).value, 0.9);
        let none = AirAmount::kilograms_per_second(f64::NAN);
        assert_eq!(standard_transfer(none, 0.1).value, 0.0);
        let unknown = FieldConditions {
            depth: si::metres(f64::NAN),
            ..clean()
        };
        let field = field_transfer(si::kilograms_per_second(1.0), &unknown);
        assert_eq!(field.value.value, 0.0);
        assert_eq!(field.breaches.len(), 1);
        assert!(area_covered(field.value, OxygenDemand(0.0)).is_none());
    }
}
