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

/// Figures of one quantity, all in the unit of the middle one.
pub fn show_alike(dimension: Dimension, si: &[f64], system: System) -> Vec<String> {
    let mut sorted = si.to_vec();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.get(sorted.len() / 2);
    let shown = middle.map(|si| show(dimension, *si, system));
    let unit = shown.as_deref().and_then(|text| text.split_once(' '));
    let unit = unit.and_then(|(_, unit)| Unit::known(unit));
    si.iter()
        .map(|si| match unit {
            Some(unit) => show_in(unit, *si, 3),
            None => show(dimension, *si, system),
        })
        .collect()
}

/// A difference of two temperatures in K, in the degrees that the reader's system uses.
pub fn show_rise(kelvin: f64, system: System, digits: u32) -> String {
    let (size, unit) = match system {
        System::Us => (1.8, "degF"),
        System::Metric => (1.0, "K"),
    };
    format!("{} {unit}", significant(kelvin * size, digits))
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

/// A value written in the unit `spelling`, in the one that the reader has for it: `0.169 psi` is `1.17 kPa`. Money and
/// what has no unit stay as they are.
pub fn show_written(value: f64, spelling: &str, system: System) -> String {
    let known = Unit::known(spelling).filter(|unit| !unit.dimension().is_money());
    match known {
        Some(unit) => show(unit.dimension(), unit.to_si(value), system),
        None => format!("{} {spelling}", significant(value, 3))
            .trim_end()
            .to_string(),
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
        // A depth, a height or a run of nothing: a part's size is never nought.
        Dimension::Length if size == 0.0 => pick(system, "ft", "m"),
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
        Dimension::AirAmountPerArea => pick(system, "scfm/acre", "Nm3/h/ha"),
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

#[cfg(test)]
mod tests {
    use super::*;
    use iso_currency::Currency;

    #[test]
    fn the_trade_s_unit_in_three_digits() {
        use Dimension::*;
        let both = |dimension, si| {
            (
                show(dimension, si, System::Us),
                show(dimension, si, System::Metric),
            )
        };
        let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
        assert_eq!(both(Length, 1.8288), pair("6 ft", "1.83 m"));
        assert_eq!(both(Length, 0.0127), pair("0.5 in", "12.7 mm"));
        assert_eq!(both(Area, 1011.7141056), pair("0.25 acre", "1010 m2"));
        assert_eq!(both(Area, 40468.564224), pair("10 acre", "4.05 ha"));
        assert_eq!(both(Area, 50.0), pair("538 ft2", "50 m2"));
        assert_eq!(both(GaugePressure, 20684.27), pair("3 psi", "20.7 kPa"));
        assert_eq!(
            both(AbsolutePressure, 101325.0),
            pair("14.7 psia", "101 kPa(abs)")
        );
        assert_eq!(both(VolumeFlow, 8.4950540e-4), pair("1.8 cfm", "51 L/min"));
        assert_eq!(both(VolumeFlow, 0.02), pair("42.4 cfm", "72 m3/h"));
        assert_eq!(both(AirAmount, 5.68271e-4), pair("1 scfm", "1.58 Nm3/h"));
        assert_eq!(both(Power, 75.0), pair("75 W", "75 W"));
        assert_eq!(both(Power, 1500.0), pair("1.5 kW", "1.5 kW"));
        assert_eq!(both(Temperature, 293.15), pair("68 degF", "20 degC"));
        assert_eq!(both(WeightedSoundLevel, 38.0), pair("38 dB(A)", "38 dB(A)"));
        assert_eq!(both(PerTime, 1.0 / 86400.0), pair("1 /day", "1 /day"));
        assert_eq!(both(Share, 0.15), pair("15 %", "15 %"));
        assert_eq!(both(SharePerLength, 0.0525), pair("1.6 %/ft", "5.25 %/m"));
        assert_eq!(both(MoneyPerEnergy, 0.21 / 3.6e6), pair("0.21", "0.21"));
        assert_eq!(show_bore(0.0254, System::Us), "1 in");
        assert_eq!(show_bore(0.2, System::Metric), "200 mm");
        assert_eq!(show_water_flow(0.001, System::Us), "15.9 gpm(US)");
        assert_eq!(show_water_flow(0.001, System::Metric), "1 L/s");
    }

    #[test]
    fn money_has_its_currency_and_its_decimals() {
        let unit = |spelling: &str| Unit::listed(spelling).unwrap();
        let month = unit("USD/month");
        assert_eq!(show_money(month, month.to_si(6.5)), "6.50 USD/month");
        assert_eq!(show_money(unit("JPY"), 1200.0), "1200 JPY");
        assert_eq!(show_money(unit("EUR/kWh"), 0.2134 / 3.6e6), "0.213 EUR/kWh");
        assert_eq!(unit("JPY").currency(), Some(Currency::JPY));
    }

    #[test]
    fn digits_without_exponents() {
        assert_eq!(significant(9.996, 3), "10");
        assert_eq!(significant(0.00012345, 3), "0.000123");
        assert_eq!(significant(123456.0, 3), "123000");
        assert_eq!(significant(-2.5, 3), "-2.5");
        assert_eq!(significant(0.0, 3), "0");
        assert_eq!(significant(1e300, 2).len(), 301);
        assert_eq!(significant(f64::INFINITY, 3), "inf");
        assert_eq!(to_place(2.0, -2), "2.00");
        assert_eq!(to_place(1549.0, 2), "1500");
        assert_eq!(to_place(-0.001, -2), "0.00");
        let feet = Unit::listed("ft").unwrap();
        assert_eq!(show_in(feet, 1.8288, 3), "6 ft");
        assert_eq!(show_at(feet, 1.8288, 0.01), "6.00 ft");
        assert_eq!(show_at(feet, 1.8288, 1.0), "6 ft");
        assert_eq!(show_at(feet, 45.72, 10.0), "150 ft");
    }

    #[test]
    fn steps_down_and_up() {
        assert_eq!(down_to_step(6.9, 0.25), 6.75);
        assert_eq!(up_to_step(6.9, 0.25), 7.0);
        let feet = Unit::listed("ft").unwrap();
        for whole in 1..2000 {
            let there_and_back = feet.from_si(feet.to_si(f64::from(whole)));
            assert_eq!(down_to_step(there_and_back, 0.25), f64::from(whole));
            assert_eq!(up_to_step(there_and_back, 0.25), f64::from(whole));
        }
        assert_eq!(down_to_step(5.0, 0.0), 5.0);
        assert!(down_to_step(f64::NAN, 0.25).is_nan());
    }
}
