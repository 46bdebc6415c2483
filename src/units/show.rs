//! Writing quantities for people.
//!
//! Messages and tables show a value in the unit the trade uses for it, with three
//! significant digits and never an exponent.

use super::dimension::Dimension;
use super::math;
use super::table::{System, Unit};

/// `si` in the trade's unit of `system`, with three significant digits.
///
/// For money, which needs a currency, the number alone is written, as a rate for the
/// usual amount (a kilowatt-hour, a month, a foot or metre); [`show_money`] writes the
/// currency as well. For water by volume see [`show_water_flow`], for the bore of an
/// airline [`show_bore`].
pub fn show(dimension: Dimension, si: f64, system: System) -> String {
    let spelling = match usual_unit(dimension, si, system) {
        Some(spelling) => spelling,
        None => return significant(si * money_amount(dimension, system), 3),
    };
    in_three_digits(spelling, si)
}

/// A bore or wall: inches or millimetres, however large.
pub fn show_bore(si: f64, system: System) -> String {
    in_three_digits(pick(system, "in", "mm"), si)
}

/// A flow of water: US gallons a minute or litres a second.
pub fn show_water_flow(si: f64, system: System) -> String {
    in_three_digits(pick(system, "gpm(US)", "L/s"), si)
}

/// A sum or rate in the unit given, with the decimals its currency has, or three
/// significant digits if it is less than one.
pub fn show_money(unit: Unit, si: f64) -> String {
    let value = unit.from_si(si);
    let decimals = unit.currency().and_then(|c| c.exponent()).unwrap_or(2);
    let number = if value.abs() < 1.0 {
        significant(value, 3)
    } else {
        to_place(value, -i32::from(decimals))
    };
    format!("{number} {unit}")
}

/// `si` in `unit`, with `digits` significant digits.
pub fn show_in(unit: Unit, si: f64, digits: u32) -> String {
    format!("{} {unit}", significant(unit.from_si(si), digits))
}

/// `si` in `unit`, with its last digit at a place: 0.01 for a `resolution` of 0.01 to
/// 0.099. This is how a corrected figure keeps the digits its author wrote.
pub fn show_at(unit: Unit, si: f64, resolution: f64) -> String {
    let place = if resolution > 0.0 && resolution.is_finite() {
        // A place of 0.01 may arrive as its neighbour below.
        math::log10(resolution * (1.0 + 1e-9)).floor() as i32
    } else {
        0
    };
    format!("{} {unit}", to_place(unit.from_si(si), place))
}

/// The greatest multiple of `step` that isn't above `value`: quarter feet, for one.
///
/// A value that differs from a multiple by less than a thousand-millionth of a step is
/// that multiple; else the conversion of ten feet to metres and back could come out at
/// nine and three quarters.
pub fn down_to_step(value: f64, step: f64) -> f64 {
    to_step(value, step, f64::floor)
}

/// The least multiple of `step` that isn't below `value`; see [`down_to_step`].
pub fn up_to_step(value: f64, step: f64) -> f64 {
    to_step(value, step, f64::ceil)
}

fn to_step(value: f64, step: f64, round: fn(f64) -> f64) -> f64 {
    if step <= 0.0 || !step.is_finite() || !value.is_finite() {
        return value;
    }
    let steps = value / step;
    let nearest = steps.round();
    let whole = if (steps - nearest).abs() < 1e-9 * steps.abs().max(1.0) {
        nearest
    } else {
        round(steps)
    };
    whole * step
}

/// `value` with `digits` significant digits, without an exponent and without trailing
/// noughts after the point.
pub fn significant(value: f64, digits: u32) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    if value == 0.0 {
        return "0".to_owned();
    }
    // The exponent of the number *as rounded*: 9.996 with three digits is 10.0.
    let digits = digits.clamp(1, 17) as usize;
    let scientific = format!("{value:.*e}", digits - 1);
    let exponent: i32 = scientific
        .rsplit_once('e')
        .and_then(|(_, exponent)| exponent.parse().ok())
        .unwrap_or(0);
    let place = exponent + 1 - digits as i32;
    let written = to_place(value, place);
    match written.contains('.') {
        true => written
            .trim_end_matches('0')
            .trim_end_matches('.')
            .to_owned(),
        false => written,
    }
}

/// `value` rounded to the place `10^place`, with all its decimals: `to_place(2.0, -2)`
/// is `2.00`.
pub fn to_place(value: f64, place: i32) -> String {
    if !value.is_finite() {
        return value.to_string();
    }
    let written = if place <= 0 {
        // Beyond 340 decimals a double has nothing to show.
        format!("{value:.*}", place.unsigned_abs().min(340) as usize)
    } else {
        let step = math::powi(10.0, place.min(308));
        format!("{:.0}", (value / step).round() * step)
    };
    // A small negative number rounded to nought has no sign.
    match written.strip_prefix('-') {
        Some(size) if size.bytes().all(|b| matches!(b, b'0' | b'.')) => size.to_owned(),
        _ => written,
    }
}

fn in_three_digits(spelling: &str, si: f64) -> String {
    match Unit::listed(spelling) {
        Some(unit) => show_in(unit, si, 3),
        None => significant(si, 3),
    }
}

fn pick<T>(system: System, us: T, metric: T) -> T {
    match system {
        System::Us => us,
        System::Metric => metric,
    }
}

/// The unit in which the trade of a country has a value of this size. None for money.
fn usual_unit(dimension: Dimension, si: f64, system: System) -> Option<&'static str> {
    let size = si.abs();
    // The first unit whose smallest usual value isn't above the size.
    let by_size = |units: &[(f64, &'static str)]| {
        units
            .iter()
            .find(|(least, _)| size >= *least)
            .or(units.last())
            .map_or("", |(_, unit)| *unit)
    };
    let us = system == System::Us;
    Some(match dimension {
        // Half a foot and more is a depth or a run; less is a part's size.
        Dimension::Length if us => by_size(&[(0.1524, "ft"), (0.0, "in")]),
        Dimension::Length => by_size(&[(10_000.0, "km"), (0.1, "m"), (0.0, "mm")]),
        // A twentieth of an acre is 200 m2.
        Dimension::Area if us => by_size(&[(200.0, "acre"), (0.1, "ft2"), (0.0, "in2")]),
        Dimension::Area => by_size(&[(10_000.0, "ha"), (0.01, "m2"), (0.0, "mm2")]),
        Dimension::Volume if us => by_size(&[(1233.0, "acre-ft"), (0.0, "gal(US)")]),
        Dimension::Volume => by_size(&[(1.0, "m3"), (0.0, "L")]),
        Dimension::GaugePressure => pick(system, "psi", "kPa"),
        Dimension::AbsolutePressure => pick(system, "psia", "kPa(abs)"),
        Dimension::VolumeFlow if us => "cfm",
        Dimension::VolumeFlow => by_size(&[(1.0 / 60.0, "m3/h"), (0.0, "L/min")]),
        Dimension::AirAmount => pick(system, "scfm", "Nm3/h"),
        Dimension::AirAmountPerArea => "scfm/acre",
        Dimension::Power => by_size(&[(1000.0, "kW"), (0.0, "W")]),
        Dimension::Energy => "kWh",
        Dimension::Voltage => "V",
        Dimension::Current => by_size(&[(0.1, "A"), (0.0, "mA")]),
        Dimension::Frequency => "Hz",
        Dimension::Mass if us => by_size(&[(0.45, "lb"), (0.0, "oz")]),
        Dimension::Mass => by_size(&[(1.0, "kg"), (0.0, "g")]),
        Dimension::MassPerLength if us => "lb/ft",
        Dimension::MassPerLength => by_size(&[(1.0, "kg/m"), (0.0, "g/m")]),
        // A kilogram an hour and more is written so; less by the day.
        Dimension::MassRate if us => by_size(&[(1.0 / 3600.0, "lb/h"), (0.0, "lb/d")]),
        Dimension::MassRate => by_size(&[(1.0 / 3600.0, "kg/h"), (0.0, "kg/d")]),
        Dimension::Temperature => pick(system, "degF", "degC"),
        Dimension::SoundLevel => "dB",
        Dimension::WeightedSoundLevel => "dB(A)",
        Dimension::Time => by_size(&[
            (2.0 * 31_557_600.0, "year"),
            (2.0 * 2_629_800.0, "month"),
            (2.0 * 86_400.0, "day"),
            (0.0, "h"),
        ]),
        Dimension::PerTime => by_size(&[(1.0 / 3600.0, "/h"), (0.0, "/day")]),
        Dimension::Share => "%",
        Dimension::SharePerLength => pick(system, "%/ft", "%/m"),
        Dimension::Money
        | Dimension::MoneyPerEnergy
        | Dimension::MoneyPerTime
        | Dimension::MoneyPerLength => return None,
    })
}

/// SI size of what a rate of money is usually for.
fn money_amount(dimension: Dimension, system: System) -> f64 {
    match dimension {
        Dimension::MoneyPerEnergy => 3.6e6,
        Dimension::MoneyPerTime => 2_629_800.0,
        Dimension::MoneyPerLength => pick(system, 0.3048, 1.0),
        _ => 1.0,
    }
}
