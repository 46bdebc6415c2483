//! A figure in both systems of units, with no more digits than it was written with.

use crate::catalog::Figure;
use crate::units::show::{show, significant, to_place};
use crate::units::{Dimension, Quantity, System, Unit, math};

/// Most digits of a figure that was converted: nothing in this trade is known better.
const DIGITS: u32 = 3;

/// How the trade prints a unit that the format spells in plain letters.
const PRINTED: &[(&str, &str)] = &[
    ("m2", "m²"),
    ("m3", "m³"),
    ("ft2", "ft²"),
    ("ft3", "ft³"),
    ("mm2", "mm²"),
    ("in2", "in²"),
    ("m3/h", "m³/h"),
    ("m3/min", "m³/min"),
    ("Nm3/h", "Nm³/h"),
    ("Nm3/h/ha", "Nm³/h/ha"),
    ("degC", "°C"),
    ("degF", "°F"),
    ("gal(US)", "US gal"),
    ("/day", "times a day"),
    ("/h", "times an hour"),
];

/// Units that have a plural.
const COUNTED: &[&str] = &["year", "month", "week", "day", "acre"];

/// A figure as it is written, and in brackets in the units of the other system.
pub fn both(figure: &Figure) -> String {
    let own = printed(&figure.quantity);
    let system = System::of(figure.quantity.unit());
    let listed = figure.also.iter().find(|(also, _)| {
        let other = System::of(also.unit());
        other.is_some() && other != system
    });
    let other = match listed {
        Some((also, _)) => Some(printed(also)),
        None => converted(&figure.quantity),
    };
    join(&own, other.as_deref())
}

fn join(own: &str, other: Option<&str>) -> String {
    match other {
        Some(other) => format!("{own} ({other})"),
        None => own.to_string(),
    }
}

/// A quantity as it is written, its unit as the trade prints it.
pub fn printed(quantity: &Quantity) -> String {
    let written = quantity.canonical();
    let spelling = quantity.unit().to_string();
    match written.strip_suffix(&spelling) {
        Some(number) => with_unit(number.trim_end(), &spelling),
        None => written,
    }
}

fn with_unit(number: &str, spelling: &str) -> String {
    let printed = PRINTED.iter().find(|(plain, _)| *plain == spelling);
    let unit = printed.map_or(spelling, |(_, printed)| printed);
    if number == "1" && spelling == "/day" {
        return "once a day".into();
    }
    let is_plural = COUNTED.contains(&unit) && !matches!(number, "1" | "1.0");
    // Less than one acre is one, as the trade says it.
    let is_part = number.contains('/') || number.starts_with("0.");
    match is_plural && !is_part {
        true => format!("{number} {unit}s"),
        false => format!("{number} {unit}"),
    }
}

/// The unit of the other system that a value of this size is usually written in.
fn other_unit(dimension: Dimension, si: f64, system: System) -> Option<Unit> {
    let shown = show(dimension, si, system);
    let (_, unit) = shown.split_once(' ')?;
    Unit::known(unit)
}

fn opposite(system: System) -> System {
    match system {
        System::Us => System::Metric,
        System::Metric => System::Us,
    }
}

/// A quantity in the units of the other system; nothing where both have the same.
fn converted(quantity: &Quantity) -> Option<String> {
    let system = System::of(quantity.unit())?;
    if quantity.dimension().is_money() || quantity.dimension() == Dimension::Time {
        return None;
    }
    let unit = other_unit(
        quantity.dimension(),
        quantity.si_central(),
        opposite(system),
    )?;
    if System::of(unit) == Some(system) {
        return None;
    }
    let (least, most) = quantity.rounding();
    let (low, high) = (quantity.si_low(), quantity.si_high());
    let number = if quantity.is_range() {
        let low = rounded(unit, low, 2.0 * (low - least));
        format!("{low} to {}", rounded(unit, high, 2.0 * (most - high)))
    } else {
        rounded(unit, quantity.si_central(), most - least)
    };
    Some(with_unit(&number, &unit.to_string()))
}

/// A value whose last digit isn't worth less than the width of what is rounded to it.
fn rounded(unit: Unit, si: f64, width: f64) -> String {
    let value = unit.from_si(si);
    if value == 0.0 {
        // Nothing has no last digit.
        return "0".into();
    }
    let step = unit.difference_from_si(width).abs() * (1.0 + 1e-9);
    let first = math::log10(value.abs().max(1e-300)).floor() as i32;
    let finest = first + 1 - DIGITS as i32;
    let place = match step > 0.0 {
        true => (math::log10(step).floor() as i32).max(finest),
        false => finest,
    };
    // A figure keeps two digits, or the two systems would say different things.
    let place = place.min(first - 1);
    if place <= finest {
        significant(value, DIGITS)
    } else {
        to_place(value, place)
    }
}

/// What was calculated, in the units of `system` and in brackets in the other's: two digits, as nothing calculated is
/// known better.
pub fn calculated(dimension: Dimension, si: &[f64], system: System) -> String {
    let one = |system: System| {
        let middle = si.get(si.len() / 2).copied().unwrap_or_default();
        let unit = other_unit(dimension, middle, system)?;
        let numbers: Vec<String> = si
            .iter()
            .map(|si| significant(unit.from_si(*si), 2))
            .collect();
        let number = match numbers.as_slice() {
            [low, high] if low != high => format!("{low} to {high}"),
            [first, ..] => first.clone(),
            [] => return None,
        };
        Some(with_unit(&number, &unit.to_string()))
    };
    join(
        &one(system).unwrap_or_default(),
        one(opposite(system)).as_deref(),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::{FileId, Span};
    use crate::units::read;

    fn of(text: &str) -> String {
        let quantity = read(text, &[]).quantity.unwrap();
        both(&Figure::bare(quantity, Span::new(FileId(0), 0, 0)))
    }

    /// Conversions are exact by definition (NIST SP 811, appendix B.8): 1 ft is 0.3048 m, 1 acre 4046.87 m2, 1 cfm 28.3168
    /// L/min, 1 psi 6.89476 kPa.
    #[test]
    fn a_figure_stands_in_both_systems_with_honest_digits() {
        for (written, printed) in [
            ("5 ft", "5 ft (1.5 m)"),
            ("1.8 m", "1.8 m (5.9 ft)"),
            ("0 m", "0 m (0 ft)"),
            ("0 ft", "0 ft (0 m)"),
            ("100 ft", "100 ft (30.5 m)"),
            ("0.07 acre", "0.07 acre (280 m²)"),
            ("1/4 acre", "1/4 acre (1010 m²)"),
            ("3 acre", "3 acres (1.2 ha)"),
            ("700 m2", "700 m² (0.173 acre)"),
            ("1.2 cfm", "1.2 cfm (34 L/min)"),
            ("12 to 55 L/min", "12 to 55 L/min (0.42 to 1.94 cfm)"),
            ("2 psi", "2 psi (14 kPa)"),
            ("20 degC", "20 °C (68 °F)"),
            ("75 W", "75 W"),
            ("18 month", "18 months"),
            ("1 year", "1 year"),
            ("1 /day", "once a day"),
            ("1.2 /day", "1.2 times a day"),
            ("5.20 USD/month", "5.20 USD/month"),
            ("44 dB(A)", "44 dB(A)"),
        ] {
            assert_eq!(of(written), printed, "{written}");
        }
    }

    #[test]
    fn what_is_calculated_has_two_digits() {
        let read = |si: &[f64]| calculated(Dimension::GaugePressure, si, System::Metric);
        assert_eq!(read(&[18_700.0, 24_100.0]), "19 to 24 kPa (2.7 to 3.5 psi)");
        assert_eq!(read(&[19_800.0]), "20 kPa (2.9 psi)");
    }
}
