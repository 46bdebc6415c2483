//! A cell as a quantity of the format: units in the cell or the mapping, conditions, two listings, and what
//! spreadsheets turn into dates.

use crate::catalog::fields::CONDITION;
use crate::units::{self, Dimension, FaultKind, either};

use super::grid::Value;
use super::numeral;
use super::shapes::{Column, Problem, Toml};
use super::told::What;

/// A cell as one of the `expected` quantities.
pub fn read(
    value: &Value,
    expected: &'static [Dimension],
    column: &Column,
) -> Result<Toml, Problem> {
    let wanted = || either(expected);
    let text = match value {
        Value::Date { year, month, day } => {
            return Err(date(
                *day,
                *month,
                &format!("{day} {} {year}", name(*month)),
                expected,
                column,
            ));
        }
        Value::Number(number) => {
            if let Some((day, month)) = serial(number, expected, column) {
                let shown = format!("{day} {}, kept as {number}", name(month));
                return Err(date(day, month, &shown, expected, column));
            }
            number.clone()
        }
        Value::Text(text) => {
            if let Some((day, month)) = day_of(text) {
                return Err(date(day, month, text.trim(), expected, column));
            }
            text.clone()
        }
        other => {
            return Err(Problem::of(What::NotRead {
                found: other.shown(),
                expected: wanted(),
            }));
        }
    };
    let text = numeral::plain(text.trim().trim_start_matches('\''), column.decimal);
    let text = text.trim();
    let found = || value.shown().trim().to_string();
    let first = match figure(text, expected, column.unit.as_deref()) {
        Ok(figure) => return Ok(stated(figure, column)),
        Err(why) => why,
    };
    if let Some(both) = listing(text, expected).or_else(|| conditioned(text, expected, column)) {
        return Ok(both);
    }
    // `38 W*`, `12 m ¹)`: what the mark says isn't in the cell.
    let bare = text.trim_end_matches([
        '*', '\u{2020}', '\u{2021}', '\u{b9}', '\u{b2}', '\u{b3}', ')', ' ',
    ]);
    let is_marked = bare.len() < text.len() && !bare.contains('(');
    if is_marked && let Ok(figure) = figure(bare, expected, column.unit.as_deref()) {
        return Err(Problem {
            taken: Some(stated(figure, column)),
            ..Problem::of(What::Footnote { found: found() })
        });
    }
    let offer = match &first {
        Stop::Offer(offer) => Some(offer.clone()),
        _ => within(text, expected, column),
    };
    let what = match (&offer, first) {
        (Some(_), _) => What::Doubtful { found: found() },
        (None, Stop::NoUnit) => What::NoUnit {
            found: found(),
            expected: wanted(),
        },
        _ => What::NotRead {
            found: found(),
            expected: wanted(),
        },
    };
    Err(Problem {
        offer: offer.map(|offer| Box::new((offer.clone(), stated(offer, column)))),
        ..Problem::of(what)
    })
}

/// A cell as a promise: one figure, or rows of them parted by semicolons, each with its condition, and `per diffuser`
/// behind what is for each.
pub fn promise(
    value: &Value,
    expected: &'static [Dimension],
    column: &Column,
) -> Result<Toml, Problem> {
    let Value::Text(text) = value else {
        return read(value, expected, column);
    };
    let pieces = text
        .split(';')
        .map(str::trim)
        .filter(|piece| !piece.is_empty());
    let pieces: Vec<&str> = pieces.collect();
    let is_plain = |piece: &&str| !piece.ends_with(EACH) && !piece.ends_with(HOURS);
    if pieces.len() < 2 && pieces.iter().all(is_plain) {
        return read(value, expected, column);
    }
    let rows: Result<Vec<Toml>, Problem> = pieces
        .iter()
        .map(|piece| row(piece, expected, column))
        .collect();
    let mut rows = rows?;
    match (rows.pop(), rows.is_empty()) {
        (Some(only), true) => Ok(only),
        (last, _) => {
            rows.extend(last);
            Ok(Toml::List(rows))
        }
    }
}

/// What stands behind a figure that is for each diffuser.
const EACH: &str = " per diffuser";
/// What stands behind the hours that a cost is for.
const HOURS: &str = " hours a day";

/// `22 L/min at 2 m per diffuser`, `17 EUR/month at 0.31 EUR/kWh and 24 hours a day`.
fn row(piece: &str, expected: &'static [Dimension], column: &Column) -> Result<Toml, Problem> {
    let (piece, each) = match piece.strip_suffix(EACH) {
        Some(rest) => (rest, true),
        None => (piece, false),
    };
    let hours = piece
        .strip_suffix(HOURS)
        .and_then(|rest| rest.rsplit_once(" and "));
    let hours = hours.filter(|(_, hours)| hours.parse::<f64>().is_ok_and(f64::is_finite));
    let (piece, hours) = hours.map_or((piece, None), |(rest, hours)| (rest, Some(hours)));
    let read = read(&Value::Text(piece.to_string()), expected, column)?;
    let (is, at) = match read {
        Toml::At(is, at) => (Toml::Text(is), Some(at)),
        other => (other, None),
    };
    let mut keys = vec![("is".to_string(), is)];
    keys.extend(at.map(|at| {
        let at = match hours {
            Some(hours) => Toml::Table(vec![
                ("tariff".into(), Toml::Text(at)),
                ("hours_per_day".into(), Toml::Bare(hours.to_string())),
            ]),
            None => Toml::Text(at),
        };
        ("at".to_string(), at)
    }));
    if each {
        keys.push(("per".into(), Toml::text("diffuser")));
    }
    Ok(Toml::Table(keys))
}

/// Why a text is no figure.
enum Stop {
    Offer(String),
    NoUnit,
    Other,
}

/// A text as a figure in the format's writing, with the mapping's unit where it has none.
fn figure(text: &str, expected: &[Dimension], unit: Option<&str>) -> Result<String, Stop> {
    let with_unit = unit.and_then(|unit| {
        let bare = without_sign(text, unit);
        is_bare(bare).then(|| format!("{bare} {unit}"))
    });
    let text = with_unit.as_deref().unwrap_or(text);
    let reading = units::read(text, expected);
    match (reading.quantity, reading.correction) {
        (Some(quantity), _) if reading.faults.is_empty() => Ok(quantity.text().trim().to_string()),
        (Some(_), Some(correction)) if correction.sure => Ok(correction.text),
        (_, Some(correction)) => Err(Stop::Offer(correction.text)),
        (Some(quantity), None) => Ok(quantity.canonical()),
        (None, None) => {
            let is_missing = |kind: &FaultKind| matches!(kind, FaultKind::UnitMissing { .. });
            let is_missing = reading.faults.iter().any(|fault| is_missing(&fault.kind));
            Err(if is_missing {
                Stop::NoUnit
            } else {
                Stop::Other
            })
        }
    }
}

/// Signs that stand for several units, or for none until something else says so, and the units they may stand for.
const SIGNS: &[(&str, &[&str])] = &[
    ("$", &["USD", "CAD", "AUD", "NZD"]),
    ("\u{20ac}", &["EUR"]),
    ("\u{a3}", &["GBP"]),
    ("'", &["ft"]),
    ("\u{2032}", &["ft"]),
];

/// A text without the sign before or behind its number, where the mapping says what the sign stands for: `$0.95` is
/// 0.95 in a column of `USD/ft`.
fn without_sign<'t>(text: &'t str, unit: &str) -> &'t str {
    let first = unit.split('/').next().unwrap_or(unit);
    let mut signs = SIGNS.iter().filter(|(_, units)| units.contains(&first));
    let bare = signs.find_map(|(sign, _)| {
        let rest = text
            .strip_prefix(sign)
            .or_else(|| text.strip_suffix(sign))?;
        Some(rest.trim()).filter(|rest| !rest.contains(sign))
    });
    bare.unwrap_or(text)
}

/// Whether a text holds numbers and their signs alone.
fn is_bare(text: &str) -> bool {
    let is_part = |c: char| {
        c.is_ascii_digit()
            || c.is_whitespace()
            || ".,/+-\u{2013}\u{2212}\u{b1}'\u{2019}".contains(c)
            || is_fraction(c)
    };
    let text = text.replace(" to ", " - ");
    text.chars().all(is_part) && text.chars().any(|c| c.is_ascii_digit() || is_fraction(c))
}

fn is_fraction(c: char) -> bool {
    matches!(c, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215e}')
}

/// A figure as the catalog writes it, with the condition that the mapping gives its column.
fn stated(figure: String, column: &Column) -> Toml {
    match &column.condition {
        Some(at) => Toml::At(figure, at.clone()),
        None => Toml::text(&figure),
    }
}

/// `1.5 m (5 ft)`, `9 ft / 2.74 m`: one figure, listed twice.
fn listing(text: &str, expected: &[Dimension]) -> Option<Toml> {
    let (first, second) = match text.strip_suffix(')') {
        Some(open) => open.rsplit_once('(')?,
        None => text.split_once(" / ")?,
    };
    let first = figure(first.trim(), expected, None).ok()?;
    let second = figure(second.trim(), expected, None).ok()?;
    let (a, b) = (
        units::read(&first, expected).quantity?,
        units::read(&second, expected).quantity?,
    );
    let agree = a.unit() != b.unit() && units::agree(&a, &b).is_some_and(units::Agreement::holds);
    agree.then(|| Toml::List(vec![Toml::text(&first), Toml::text(&second)]))
}

/// Words and signs between a figure and the condition it holds under, in the languages that pages are read in (common
/// practice, no source).
const UNDER: &[&str] = &[
    "@", " at ", " bei ", " \u{e0} ", " bij ", " op ", " a ", " ved ", " in ",
];

/// `48 L/min @ 15 kPa`: a figure with its condition.
fn conditioned(text: &str, expected: &[Dimension], column: &Column) -> Option<Toml> {
    UNDER.iter().find_map(|mark| {
        let (first, at) = text.split_once(mark)?;
        let is = figure(first.trim(), expected, column.unit.as_deref()).ok()?;
        let at = figure(at.trim(), CONDITION, None).ok()?;
        Some(Toml::At(is, at))
    })
}

/// The one figure among words, to be offered: in `ca. 38 W (typical)` it is 38 W.
fn within(text: &str, expected: &[Dimension], column: &Column) -> Option<String> {
    const LONGEST: usize = 60;
    if text.len() > LONGEST {
        return None;
    }
    let digit = text.find(|c: char| c.is_ascii_digit() || is_fraction(c))?;
    // `.55` is no 55, nor is `-5` a 5.
    let start = text[..digit]
        .trim_end_matches(['.', ',', '-', '\u{2212}'])
        .len();
    let ends = text.char_indices().map(|(at, _)| at).chain([text.len()]);
    let ends: Vec<usize> = ends.filter(|&at| at > start).collect();
    let found = ends.iter().rev().find_map(|&end| {
        let part = text[start..end].trim();
        let is_whole = !text[end..].starts_with(|c: char| c.is_alphanumeric());
        figure(part, expected, column.unit.as_deref())
            .ok()
            .map(|one| (one, end))
            .filter(|_| is_whole)
    });
    let (figure, end) = found?;
    // A second number would be one too many.
    let rest = &text[end..];
    (!rest.contains(|c: char| c.is_ascii_digit() || is_fraction(c))).then_some(figure)
}

/// What to say of a day where a figure belongs: a fraction of an inch or a range that was taken for one.
fn date(
    day: u8,
    month: u8,
    shown: &str,
    expected: &'static [Dimension],
    column: &Column,
) -> Problem {
    let unit = column.unit.as_deref();
    let (low, high) = (day.min(month), day.max(month));
    // Only one of 3/8 and 8/3 is a mark of a rule, so the order of day and month needn't be known.
    let is_mark = low % 2 == 1
        && matches!(high, 2 | 4 | 8 | 16)
        && low < high
        && is_inches(unit.unwrap_or("in"));
    let shown = shown.to_string();
    let (what, offer) = match expected.contains(&Dimension::Length) {
        true if is_mark => {
            let fraction = format!("{low}/{high}");
            let offer = figure(&fraction, expected, Some(unit.unwrap_or("in"))).ok();
            (
                What::FractionAsDate {
                    day: shown,
                    fraction,
                },
                offer,
            )
        }
        false if low < high && unit.is_some() => {
            let offer = figure(&format!("{low} to {high}"), expected, unit).ok();
            (What::RangeAsDate { day: shown }, offer)
        }
        _ => {
            let expected = either(expected);
            (
                What::Date {
                    day: shown,
                    expected,
                },
                None,
            )
        }
    };
    Problem {
        offer: offer.map(|offer| Box::new((offer.clone(), stated(offer, column)))),
        ..Problem::of(what)
    }
}

fn is_inches(unit: &str) -> bool {
    matches!(unit, "in" | "\"" | "inch" | "inches")
}

/// The day behind a number that a spreadsheet keeps for it, where a fraction of an inch belongs and the number can
/// be none: 46089 is 8 March 2026.
fn serial(number: &str, expected: &[Dimension], column: &Column) -> Option<(u8, u8)> {
    /// Days from 30 December 1899, from which spreadsheets count (OpenDocument 1.2, the default of `table:null-date`),
    /// to 1 January 2000 and to the end of 2050.
    const DAYS: std::ops::RangeInclusive<i32> = 36_526..=55_153;
    let is_inches = column.unit.as_deref().is_some_and(is_inches);
    let days: i32 = number.parse().ok().filter(|days| DAYS.contains(days))?;
    if !is_inches || !expected.contains(&Dimension::Length) {
        return None;
    }
    let (mut year, mut left) = (2000, days - DAYS.start());
    let is_leap = |year: i32| year % 4 == 0;
    while left >= 365 + i32::from(is_leap(year)) {
        left -= 365 + i32::from(is_leap(year));
        year += 1;
    }
    for month in 1..=12u8 {
        let length = match month {
            2 => 28 + i32::from(is_leap(year)),
            4 | 6 | 9 | 11 => 30,
            _ => 31,
        };
        if left < length {
            return Some((u8::try_from(left + 1).ok()?, month));
        }
        left -= length;
    }
    None
}

/// The day and month in a text that is nothing but a date: `08-Mar`, `Mar-08`, `2026-03-08 00:00:00`, `8.3.2026`.
pub fn day_of(text: &str) -> Option<(u8, u8)> {
    let text = text
        .trim()
        .trim_end_matches(" 00:00:00")
        .trim_end_matches("T00:00:00");
    let parts: Vec<&str> = text
        .split(['-', '/', '.', ' '])
        .filter(|part| !part.is_empty())
        .collect();
    let number = |part: &str| part.parse::<u8>().ok().filter(|_| part.len() <= 2);
    let is_year = |part: &str| part.len() == 4 && part.bytes().all(|byte| byte.is_ascii_digit());
    let proper = |day: u8, month: u8| {
        let valid = (1..=31).contains(&day) && (1..=12).contains(&month);
        valid.then_some((day, month))
    };
    match parts.as_slice() {
        [first, second] => match (month(first), month(second)) {
            (None, Some(month)) => proper(number(first)?, month),
            (Some(month), None) => proper(number(second)?, month),
            _ => None,
        },
        [year, second, third] if is_year(year) => proper(number(third)?, number(second)?),
        [first, second, year] if is_year(year) => {
            let named = month(second).map(|month| (number(first), month));
            match named.or_else(|| month(first).map(|month| (number(second), month))) {
                Some((day, month)) => proper(day?, month),
                None => {
                    let (a, b) = (number(first)?, number(second)?);
                    proper(a, b).or_else(|| proper(b, a))
                }
            }
        }
        _ => None,
    }
}

/// The beginnings of the months' names in the languages that pages are read in (from memory).
const MONTHS: [&[&str]; 12] = [
    &["jan", "ene", "gen"],
    &["feb", "fev"],
    &["mar", "mrz", "maer", "maa", "mrt"],
    &["apr", "avr", "abr"],
    &["may", "mai", "mei", "maj", "mag"],
    &["jun", "juin", "giu"],
    &["jul", "juil", "lug"],
    &["aug", "aou", "ago"],
    &["sep", "set"],
    &["oct", "okt", "ott"],
    &["nov"],
    &["dec", "dez", "dic"],
];

fn month(word: &str) -> Option<u8> {
    let word = deunicode::deunicode(word).to_lowercase();
    let is_word =
        word.len() >= 3 && word.len() <= 10 && word.bytes().all(|byte| byte.is_ascii_alphabetic());
    let begins = |starts: &&[&str]| starts.iter().any(|start| word.starts_with(start));
    let place = MONTHS.iter().position(begins).filter(|_| is_word)?;
    u8::try_from(place + 1).ok()
}

fn name(month: u8) -> &'static str {
    const NAMES: [&str; 12] = [
        "January",
        "February",
        "March",
        "April",
        "May",
        "June",
        "July",
        "August",
        "September",
        "October",
        "November",
        "December",
    ];
    NAMES
        .get(usize::from(month).wrapping_sub(1))
        .copied()
        .unwrap_or("")
}

#[cfg(test)]
mod tests {
    use super::*;

    const LENGTH: &[Dimension] = &[Dimension::Length];
    const FLOW: &[Dimension] = &[Dimension::VolumeFlow, Dimension::AirAmount];

    fn of(value: Value, expected: &'static [Dimension], unit: Option<&str>) -> String {
        let column = Column {
            unit: unit.map(str::to_string),
            ..Column::default()
        };
        match read(&value, expected, &column) {
            Ok(toml) => toml.written(),
            Err(problem) => {
                let offer = problem.offer.map(|both| format!(", offers {}", both.0));
                format!("{}{}", problem.what.name(), offer.unwrap_or_default())
            }
        }
    }

    fn text(text: &str) -> Value {
        Value::Text(text.into())
    }

    fn number(text: &str) -> Value {
        Value::Number(text.into())
    }

    #[test]
    fn a_fraction_that_became_a_day_is_offered_back() {
        let told = "fraction-as-date, offers 3/8 in";
        let march = Value::Date {
            year: 2026,
            month: 3,
            day: 8,
        };
        let august = Value::Date {
            year: 2026,
            month: 8,
            day: 3,
        };
        assert_eq!(of(march, LENGTH, None), told);
        assert_eq!(of(august, LENGTH, Some("in")), told);
        for day in [
            "08-Mar",
            "Mar-08",
            "8. M\u{e4}rz",
            "03-ago",
            "8 mars",
            "2026-03-08 00:00:00",
            "3/8/2026",
        ] {
            assert_eq!(of(text(day), LENGTH, None), told, "{day}");
        }
        // 8 March 2026 is day 46089 in a spreadsheet.
        assert_eq!(of(number("46089"), LENGTH, Some("in")), told);
        assert_eq!(of(number("46089"), LENGTH, Some("ft")), "\"46089 ft\"");
        // 3/7 is no mark of a rule.
        assert_eq!(of(text("03-Jul"), LENGTH, None), "date");
        assert_eq!(
            of(text("12-Oct"), FLOW, Some("L/min")),
            "range-as-date, offers 10 to 12 L/min"
        );
        assert_eq!(of(text("3/8"), LENGTH, Some("in")), "\"3/8 in\"");
    }

    #[test]
    fn units_stand_in_the_cell_or_in_the_mapping() {
        assert_eq!(of(number("2.4"), FLOW, Some("CFM")), "\"2.4 cfm\"");
        assert_eq!(of(text("68 l/min"), FLOW, Some("cfm")), "\"68 L/min\"");
        assert_eq!(of(text("4 m\u{b3}/h"), FLOW, Some("cfm")), "\"4 m3/h\"");
        assert_eq!(of(number("2.4"), FLOW, None), "no-unit");
        assert_eq!(of(text("1.5E+01"), FLOW, Some("cfm")), "\"15 cfm\"");
        assert_eq!(of(text("10-45"), FLOW, Some("L/min")), "\"10 to 45 L/min\"");
    }

    #[test]
    fn the_mapping_says_what_a_sign_stands_for() {
        const MONEY: &[Dimension] = &[Dimension::Money];
        const BY_LENGTH: &[Dimension] = &[Dimension::MoneyPerLength];
        let price = |said: &str, unit| of(text(said), MONEY, unit);
        assert_eq!(price("$399.00", Some("USD")), "\"399.00 USD\"");
        assert_eq!(price("399.00 $", Some("CAD")), "\"399.00 CAD\"");
        assert_eq!(price("\u{20ac} 39.90", Some("EUR")), "\"39.90 EUR\"");
        // Without the mapping's word nobody knows whose dollars these are.
        assert_eq!(price("$399.00", None), "doubtful, offers 399.00 USD");
        let by_length = |said: &str| of(text(said), BY_LENGTH, Some("USD/ft"));
        assert_eq!(by_length("$0.95"), "\"0.95 USD/ft\"");
        assert_eq!(by_length("$.55"), by_length("0.55"));
        assert_eq!(by_length("about .55"), "doubtful, offers 0.55 USD/ft");
        assert_eq!(of(text("100'"), LENGTH, Some("ft")), "\"100 ft\"");
        assert_eq!(of(text("9' 6\""), LENGTH, Some("ft")), "\"9 ft 6 in\"");
    }

    #[test]
    fn conditions_listings_and_notes() {
        assert_eq!(
            of(text("48 L/min @ 15 kPa"), FLOW, None),
            "{ is = \"48 L/min\", at = \"15 kPa\" }"
        );
        assert_eq!(
            of(text("1.5 m (5 ft)"), LENGTH, None),
            "[\"1.5 m\", \"5 ft\"]"
        );
        assert_eq!(of(text("48 L/min*"), FLOW, None), "footnote");
        assert_eq!(
            of(text("ca. 48 L/min (see note)"), FLOW, None),
            "doubtful, offers 48 L/min"
        );
        assert_eq!(of(text("on request"), FLOW, None), "not-read");
    }
}
