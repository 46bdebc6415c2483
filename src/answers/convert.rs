//! A quantity in other units of the trade, with no more digits than it was written with.
//!
//! Free air and air at reference conditions are told apart: which volume an amount of air has depends on where it is
//! drawn in. A gauge pressure is also one above vacuum, and a depth of water.

use crate::derive::flow::Air;
use crate::physics::head;
use crate::units::quantity::{AbsolutePressure, AirAmount, FreeAir, GaugePressure, si};
use crate::units::{Currency, Dimension, Quantity, Unit, math, show, table};

/// Where air is drawn in, and the water that a depth is of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Height above the sea, m.
    pub altitude: f64,
    /// Temperature of the air, K.
    pub air: f64,
    /// Temperature of the water, K.
    pub water: f64,
}

impl Place {
    fn surroundings(&self) -> Air {
        Air::at(self.altitude, self.air)
    }

    /// Pa for each metre of water.
    fn weight(&self) -> f64 {
        let density = head::water_density(si::kelvins(self.water)).value;
        head::water_head(density, si::metres(1.0)).value.value
    }
}

/// A quantity in one unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    /// The unit.
    pub unit: Unit,
    /// As many of it, to the place that was known.
    pub value: String,
    /// The least and the most that are rounded to what was written, to one place more.
    pub from: (String, String),
    /// As many of it if the figure is meant exactly, to five digits: `1 acre` is often no rounded figure.
    pub exact: String,
}

/// The units of one dimension.
#[derive(Debug, Clone, PartialEq)]
pub struct Converted {
    /// What it is counted as, where that isn't what was written.
    pub counted: Option<Counted>,
    /// Each unit of the format, in the order of its table; not the one that was written.
    pub rows: Vec<Row>,
}

/// What else a quantity is, at a place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Counted {
    /// Air by volume, as an amount.
    Amount,
    /// An amount of air, by volume.
    FreeAir,
    /// A pressure above the air around, above vacuum.
    AboveVacuum,
    /// A pressure above vacuum, above the air around.
    AboveAir,
    /// A pressure, as the depth of water that weighs so much.
    Depth,
    /// A depth, as what its water weighs.
    Weight,
}

/// From a value in SI to another, at a place; each rises with what it is given.
type Carry = fn(f64, &Place) -> f64;

/// What a quantity of a dimension also is: in which dimension, and by which equation.
fn also(dimension: Dimension) -> &'static [(Counted, Dimension, Carry)] {
    use Dimension::{
        AbsolutePressure as Above, AirAmount as Amount, GaugePressure, Length, VolumeFlow,
    };
    match dimension {
        VolumeFlow => &[(Counted::Amount, Amount, |flow, at| {
            let air = FreeAir::cubic_metres_per_second(flow);
            air.amount(at.surroundings().density).value()
        })],
        Amount => &[(Counted::FreeAir, VolumeFlow, |amount, at| {
            let air = AirAmount::kilograms_per_second(amount);
            air.free_air(at.surroundings().density).value()
        })],
        GaugePressure => &[
            (Counted::Depth, Length, |pressure, at| {
                pressure / at.weight()
            }),
            (Counted::AboveVacuum, Above, |pressure, at| {
                let gauge = self::GaugePressure::pascals(pressure);
                gauge.above(at.surroundings().pressure).value()
            }),
        ],
        Above => &[(Counted::AboveAir, GaugePressure, |pressure, at| {
            let absolute = AbsolutePressure::pascals(pressure);
            absolute.over(at.surroundings().pressure).value()
        })],
        Length => &[(Counted::Weight, GaugePressure, |depth, at| {
            depth * at.weight()
        })],
        _ => &[],
    }
}

/// `quantity` in every unit it can be written in at a place, those of its own dimension first; or in `to` alone.
pub fn convert(quantity: &Quantity, to: Option<Unit>, at: &Place) -> Vec<Converted> {
    let own = (None, quantity.dimension(), None);
    let others = also(quantity.dimension()).iter();
    let others = others.map(|&(counted, dimension, carry)| (Some(counted), dimension, Some(carry)));
    let all = std::iter::once(own).chain(others);
    let all = all.map(|(counted, dimension, carry)| {
        let carried = |si: f64| carry.map_or(si, |carry: Carry| carry(si, at));
        let central = carried(quantity.si_central());
        let wanted = |unit: &Unit| match to {
            Some(to) => *unit == to,
            None => unit.is_listed() && *unit != quantity.unit() && is_usual(*unit, central),
        };
        let rows = units(dimension, quantity.unit().currency()).filter(wanted);
        Converted {
            counted,
            rows: rows.map(|unit| row(quantity, unit, carried)).collect(),
        }
    });
    all.filter(|one| !one.rows.is_empty()).collect()
}

/// Whether anybody would write it in that unit: neither kilometres of a pond's depth nor its inches by the million.
fn is_usual(unit: Unit, si: f64) -> bool {
    (0.01..1e5).contains(&unit.from_si(si).abs()) || si == 0.0
}

/// Every unit of a dimension, in the order of the table; of money those of one currency.
fn units(dimension: Dimension, currency: Option<Currency>) -> impl Iterator<Item = Unit> {
    let money = currency.into_iter().flat_map(table::money);
    let all = table::all().chain(money);
    all.filter(move |unit| unit.dimension() == dimension)
}

fn row(quantity: &Quantity, unit: Unit, carried: impl Fn(f64) -> f64) -> Row {
    let (least, most) = quantity.rounding();
    let (low, high) = (quantity.si_low(), quantity.si_high());
    // The width of what is rounded to a figure is worth one step of its last digit; each end of a range has its own.
    let place = |from: f64, to: f64| {
        let step = unit.difference_from_si(carried(to) - carried(from)) * (1.0 + 1e-9);
        match step > 0.0 {
            true => math::log10(step).floor() as i32,
            false => -3,
        }
    };
    let (at_low, at_high) = (
        place(least, 2.0 * low - least),
        place(2.0 * high - most, most),
    );
    let write = |si: f64, place: i32| show::to_place(unit.from_si(carried(si)), place);
    let exactly = |si: f64| show::significant(unit.from_si(carried(si)), 5);
    let exact = match quantity.is_range() {
        true => format!("{} to {}", exactly(low), exactly(high)),
        false => exactly(quantity.si_central()),
    };
    let value = if quantity.is_range() {
        format!("{} to {}", write(low, at_low), write(high, at_high))
    } else {
        write(quantity.si_central(), at_low)
    };
    Row {
        unit,
        value,
        from: (write(least, at_low - 1), write(most, at_high - 1)),
        exact,
    }
}
