//! The steps in which the trade states a promise: quarter feet, half metres, twentieths of an acre.
//!
//! What a promise is lowered to is rounded to such a step, so that it reads like one a person would have
//! written, and always to the side that promises less. Common practice, no source.

use super::show::{down_to_step, significant, up_to_step};
use super::table::Unit;

/// From which size on, in the unit, which step is usual; the last row that isn't above the size counts.
type Steps = &'static [(f64, f64)];

/// The steps of a unit. Below the first size, and for units without a row, the second digit is the step.
fn steps(spelling: &str) -> Steps {
    match spelling {
        "ft" => &[(1.0, 0.25), (30.0, 1.0), (100.0, 5.0)],
        "m" => &[(1.0, 0.5), (20.0, 1.0), (50.0, 5.0)],
        "acre" => &[(0.1, 0.05), (10.0, 0.5)],
        "ft2" => &[(100.0, 50.0), (1000.0, 100.0), (10_000.0, 500.0)],
        "m2" => &[(20.0, 10.0), (1000.0, 50.0), (5000.0, 100.0)],
        "ha" => &[(0.1, 0.05), (10.0, 0.5)],
        "cfm" | "scfm" => &[(0.5, 0.1), (10.0, 0.5), (50.0, 1.0)],
        "L/min" => &[(5.0, 1.0), (20.0, 5.0), (500.0, 10.0)],
        "m3/h" | "Nm3/h" => &[(1.0, 0.1), (10.0, 0.5), (50.0, 1.0)],
        "W" => &[(5.0, 1.0), (100.0, 5.0)],
        "dB" | "dB(A)" => &[(1.0, 1.0)],
        _ => &[],
    }
}

/// The step in which a value of this size is stated in `unit`.
pub fn step(unit: Unit, value: f64) -> f64 {
    if let Some(currency) = unit.currency() {
        let decimals = currency.exponent().unwrap_or(2);
        return super::math::powi(10.0, -i32::from(decimals));
    }
    let rows = steps(&unit.to_string()).iter();
    let row = rows.rev().find(|(from, _)| value.abs() >= *from);
    row.map_or_else(|| second_digit(value), |(_, step)| *step)
}

/// The place of the second digit of `value`.
fn second_digit(value: f64) -> f64 {
    let size = value.abs().max(1e-300);
    super::math::powi(10.0, super::math::log10(size).floor() as i32 - 1)
}

/// The greatest promise of a capacity that isn't above `si`, as it is written; nothing if no step is left.
pub fn at_most(unit: Unit, si: f64) -> Option<String> {
    stated(unit, si, down_to_step)
}

/// The least promise of a cost, a level or watts that isn't below `si`, as it is written.
pub fn at_least(unit: Unit, si: f64) -> Option<String> {
    stated(unit, si, up_to_step)
}

fn stated(unit: Unit, si: f64, to_step: fn(f64, f64) -> f64) -> Option<String> {
    let value = unit.from_si(si);
    let step = step(unit, value);
    let rounded = to_step(value, step);
    if !(rounded.is_finite() && rounded > 0.0) {
        return None;
    }
    // Money keeps its decimals; of the rest no step has more than two.
    let number = match unit.currency() {
        Some(currency) => {
            super::show::to_place(rounded, -i32::from(currency.exponent().unwrap_or(2)))
        }
        None => significant(rounded, 6),
    };
    Some(format!("{number} {unit}"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(spelling: &str, value: f64) -> (Option<String>, Option<String>) {
        let unit = Unit::listed(spelling).unwrap();
        let si = unit.to_si(value);
        (at_most(unit, si), at_least(unit, si))
    }

    #[test]
    fn promises_are_rounded_as_the_trade_rounds() {
        let pair = |low: &str, high: &str| (Some(low.to_string()), Some(high.to_string()));
        for (spelling, value, low, high) in [
            ("ft", 6.93, "6.75 ft", "7 ft"),
            ("ft", 7.0, "7 ft", "7 ft"),
            ("ft", 163.0, "160 ft", "165 ft"),
            ("m", 1.19, "1 m", "1.5 m"),
            ("m", 0.921, "0.92 m", "0.93 m"),
            ("acre", 0.23, "0.2 acre", "0.25 acre"),
            ("acre", 0.0712, "0.071 acre", "0.072 acre"),
            ("m2", 745.0, "740 m2", "750 m2"),
            ("L/min", 43.9, "40 L/min", "45 L/min"),
            ("cfm", 1.87, "1.8 cfm", "1.9 cfm"),
            ("dB(A)", 38.2, "38 dB(A)", "39 dB(A)"),
            ("USD/month", 6.501, "6.50 USD/month", "6.51 USD/month"),
            ("lb/h", 0.1234, "0.12 lb/h", "0.13 lb/h"),
        ] {
            assert_eq!(at(spelling, value), pair(low, high), "{value} {spelling}");
        }
    }

    #[test]
    fn nothing_is_promised_of_nothing() {
        assert_eq!(at("ft", 0.0).0, None);
        assert_eq!(at("ft", -2.0).0, None);
        assert_eq!(at_most(Unit::listed("ft").unwrap(), f64::NAN), None);
    }

    /// What is written is never more than what was meant, whatever the unit and the size.
    #[test]
    fn rounding_never_adds_to_a_promise() {
        for spelling in [
            "ft", "m", "acre", "m2", "ha", "L/min", "cfm", "W", "kg/h", "/day",
        ] {
            let unit = Unit::listed(spelling).unwrap();
            let mut value = 0.003;
            while value < 30_000.0 {
                let written = at_most(unit, unit.to_si(value)).unwrap();
                let number: f64 = written.split(' ').next().unwrap().parse().unwrap();
                assert!(
                    number <= value * (1.0 + 1e-9),
                    "{value} {spelling}: {written}"
                );
                assert!(number >= value * 0.49, "{value} {spelling}: {written}");
                value *= 1.37;
            }
        }
    }
}
