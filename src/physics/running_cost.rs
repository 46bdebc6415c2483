//! What running a machine costs.
//!
//! A cost without its tariff and its hours says nothing that could be checked.

use super::Equation;
use super::refusal::{Refusal, bounded};
use crate::units::Mark;
use crate::units::quantity::{Energy, Power, Time, si};

/// Energy of a machine that runs some hours of each day.
///
/// `E = W t h / 24`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | W | power from the supply | W |
/// | t | length of the period | s |
/// | h | hours it runs each day | h |
///
/// Check: 50 W all day for a mean month is 36.525 kWh.
pub static RUNNING_ENERGY: Equation = Equation {
    name: "energy of a period",
    formula: "E = W t h/24",
    source: "definition of energy",
    mark: Mark::Exact,
    ranges: &[],
};

/// Periods in which running costs are told.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Period {
    /// 24 hours.
    Day,
    /// A month of 30 days, as many sellers reckon: 720 h.
    ThirtyDays,
    /// The mean month, a twelfth of [`Period::Year`]: 730.5 h.
    Month,
    /// The mean year of 365.25 days.
    Year,
}

impl Period {
    /// Its length.
    pub fn length(self) -> Time {
        let days = match self {
            Period::Day => 1.0,
            Period::ThirtyDays => 30.0,
            Period::Month => 365.25 / 12.0,
            Period::Year => 365.25,
        };
        si::seconds(days * 86_400.0)
    }
}

/// Shortest and longest month, s: what "a month" may honestly mean.
pub const MONTH_RANGE: (f64, f64) = (28.0 * 86_400.0, 31.0 * 86_400.0);

/// Energy of a machine over a period; see [`RUNNING_ENERGY`].
///
/// Refused: hours outside a day.
pub fn energy(power: Power, period: Time, hours_per_day: f64) -> Result<Energy, Refusal> {
    let hours = bounded("hours each day", hours_per_day, 0.0, 24.0, "h")?;
    Ok(power * period * (hours / 24.0))
}

/// Money for an amount of energy at a tariff for each kWh, in the tariff's currency.
pub fn cost(energy: Energy, tariff_per_kilowatt_hour: f64) -> f64 {
    energy.value / 3.6e6 * tariff_per_kilowatt_hour
}

/// The tariff for each kWh at which an amount of energy costs `money`.
pub fn tariff_for(energy: Energy, money: f64) -> f64 {
    money / (energy.value / 3.6e6)
}
