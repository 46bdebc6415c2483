//! Values written without quotes: numbers, true and false, dates; and what somebody meant
//! who wrote something else.

use std::borrow::Cow;
use std::num::IntErrorKind;

use toml_datetime::Datetime;
use toml_parser::decoder::ScalarKind;

use super::problem::Fault;

/// A value without quotes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Scalar {
    Integer(i64),
    Float(f64),
    Boolean(bool),
    /// A date or time; whether its time lacks the seconds, which only TOML 1.1 allows.
    Date {
        without_seconds: bool,
    },
}

/// Why a text is no value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NotScalar {
    /// A number beyond what TOML's 64 bits hold.
    TooLarge,
    /// Anything else.
    Malformed,
}

/// Reads a value without quotes. The grammar is the parser crate's; the ranges, which it
/// leaves to its caller, are checked here.
pub(super) fn read(text: &str) -> Result<Scalar, NotScalar> {
    if let Some(small) = small_integer(text) {
        return Ok(Scalar::Integer(small));
    }
    let whole = toml_parser::Span::new_unchecked(0, text.len());
    let raw = toml_parser::Raw::new_unchecked(text, None, whole);
    let mut plain = Cow::Borrowed("");
    let mut faults = 0;
    let kind = raw.decode_scalar(&mut plain, &mut |_| faults += 1);
    if faults > 0 {
        return Err(NotScalar::Malformed);
    }
    match kind {
        ScalarKind::String => Err(NotScalar::Malformed),
        ScalarKind::Boolean(value) => Ok(Scalar::Boolean(value)),
        ScalarKind::Integer(radix) => i64::from_str_radix(&plain, radix.value())
            .map(Scalar::Integer)
            .map_err(|error| match error.kind() {
                IntErrorKind::PosOverflow | IntErrorKind::NegOverflow => NotScalar::TooLarge,
                _ => NotScalar::Malformed,
            }),
        ScalarKind::Float => match plain.parse::<f64>() {
            // "inf" is written with letters; digits that round to infinity are too large.
            Ok(value) if value.is_infinite() && !plain.ends_with("inf") => Err(NotScalar::TooLarge),
            Ok(value) => Ok(Scalar::Float(value)),
            Err(_) => Err(NotScalar::Malformed),
        },
        ScalarKind::DateTime => match plain.parse::<Datetime>() {
            Ok(_) => Ok(Scalar::Date {
                without_seconds: lacks_seconds(text),
            }),
            Err(_) => Err(NotScalar::Malformed),
        },
    }
}

/// Most numbers of a catalog are a few plain digits.
fn small_integer(text: &str) -> Option<i64> {
    let bytes = text.as_bytes();
    let plain = matches!(bytes.len(), 1..=9) && bytes.iter().all(u8::is_ascii_digit);
    if !plain || (bytes[0] == b'0' && bytes.len() > 1) {
        return None;
    }
    Some(
        bytes
            .iter()
            .fold(0, |sum, digit| sum * 10 + i64::from(digit - b'0')),
    )
}

/// Whether the time of a valid date-time is `hh:mm` alone.
fn lacks_seconds(text: &str) -> bool {
    let Some(colon) = text.find(':') else {
        return false;
    };
    text.as_bytes().get(colon + 3) != Some(&b':')
}

/// What is wrong with a text that stands where a value is expected and is none.
pub(super) fn diagnose(text: &str, cause: NotScalar) -> Fault {
    let owned = || text.into();
    let first = text.chars().next().unwrap_or(' ');
    let digits = text.bytes().any(|byte| byte.is_ascii_digit());
    let comma = has_decimal_comma(text);
    if cause == NotScalar::TooLarge {
        return Fault::NumberTooLarge;
    }
    if let Some((value, _)) = text.split_once(" //")
        && read(value.trim_end()).is_ok()
    {
        return Fault::OtherComment("//");
    }
    if text.contains(is_smart_quote) || first == '`' {
        return Fault::SmartQuotes(unquoted(text).into());
    }
    if let Some(word) = boolean_word(text) {
        return Fault::BooleanWord(word);
    }
    if ["null", "nil", "none", "n/a", "~", "undefined"]
        .iter()
        .any(|word| text.eq_ignore_ascii_case(word))
    {
        return Fault::NoValueWord(owned());
    }
    if text.ends_with(['\'', '"']) || text.contains("'") && digits {
        return if is_feet_and_inches(text) {
            Fault::FeetInchMarks
        } else {
            Fault::MissingOpeningQuote
        };
    }
    if let Some(fault) = date_fault(text) {
        return fault;
    }
    if let Some(fault) = number_fault(text, comma) {
        return fault;
    }
    if text.contains(['$', '€', '£', '¥']) {
        return Fault::MoneySign(owned());
    }
    let number_first = first.is_ascii_digit()
        || "¼½¾⅛⅜⅝⅞".contains(first)
        || (digits && "+-.<>~≈±≤≥".contains(first));
    match (number_first, comma) {
        (true, true) => Fault::QuantityComma(with_point(text).into()),
        (true, false) => Fault::QuantityUnquoted(owned()),
        _ => Fault::TextUnquoted(owned()),
    }
}

fn is_smart_quote(character: char) -> bool {
    matches!(
        character,
        '\u{2018}'..='\u{201f}' | '\u{2032}' | '\u{2033}' | '\u{ab}' | '\u{bb}' | '\u{ff02}'
    )
}

/// The text without quotation marks of any kind at its ends.
pub(super) fn unquoted(text: &str) -> &str {
    text.trim_matches(|c| is_smart_quote(c) || "`'\"".contains(c))
}

fn boolean_word(text: &str) -> Option<bool> {
    let lower = text.to_ascii_lowercase();
    match lower.as_str() {
        "yes" | "on" | "y" => Some(true),
        "no" | "off" | "n" => Some(false),
        // A word being typed, or written with capitals.
        other if !other.is_empty() && "true".starts_with(other) => Some(true),
        other if !other.is_empty() && "false".starts_with(other) => Some(false),
        _ => None,
    }
}

/// A length such as 5'6" or 3", written with the marks for feet and inches.
fn is_feet_and_inches(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit())
        && text
            .chars()
            .all(|c| c.is_ascii_digit() || " '\"/.,-".contains(c))
}

/// A comma between two digits.
fn has_decimal_comma(text: &str) -> bool {
    text.as_bytes()
        .windows(3)
        .any(|three| three[0].is_ascii_digit() && three[1] == b',' && three[2].is_ascii_digit())
}

fn with_point(text: &str) -> String {
    text.replace(',', ".")
}

/// A date in another order or with other signs between, or one the calendar doesn't have.
fn date_fault(text: &str) -> Option<Fault> {
    let day = text.split([' ', 'T', 't']).next().unwrap_or(text);
    let groups: Vec<&str> = day.split(['-', '/', '.']).collect();
    let all_digits = |group: &&str| group.bytes().all(|byte| byte.is_ascii_digit());
    let mut lens = groups.iter().map(|group| group.len());
    let year_first = lens.next() == Some(4);
    let whole = groups.len() == 3 && groups.iter().all(|g| all_digits(g) && !g.is_empty());
    let dashes = day.contains('-') && !day.contains(['/', '.']);
    if whole && year_first && dashes && lens.eq([2, 2]) {
        return Some(Fault::NoSuchDate(text.into()));
    }
    let being_typed = year_first && dashes && groups.len() <= 3 && groups.iter().all(all_digits);
    let looks_like_year = groups.last().is_some_and(|group| group.len() == 4);
    if being_typed || whole && (year_first || looks_like_year || text != day) {
        return Some(Fault::DateOrder(text.into()));
    }
    let time = text
        .bytes()
        .all(|b| b.is_ascii_digit() || b == b':' || b == b'.');
    (time && text.contains(':')).then(|| Fault::NoSuchDate(text.into()))
}

fn number_fault(text: &str, comma: bool) -> Option<Fault> {
    let body = text.trim_start_matches(['+', '-']);
    if body.eq_ignore_ascii_case("inf") || body.eq_ignore_ascii_case("nan") {
        return Some(Fault::MalformedNumber(text.into()));
    }
    let bytes = body.as_bytes();
    let starts = bytes
        .first()
        .is_some_and(|b| b.is_ascii_digit() || *b == b'.' || *b == b'_');
    if !starts || !bytes.iter().any(u8::is_ascii_digit) {
        return body.is_empty().then(|| Fault::MalformedNumber(text.into()));
    }
    let only = |signs: &[u8]| {
        bytes
            .iter()
            .all(|byte| byte.is_ascii_digit() || signs.contains(byte))
    };
    if comma && only(b",._") {
        return Some(Fault::DecimalComma(with_point(text).into()));
    }
    if only(b"._") && bytes[0] == b'0' && bytes.get(1).is_some_and(u8::is_ascii_digit) {
        return Some(Fault::LeadingZero(text.into()));
    }
    if only(b".") && (bytes[0] == b'.' || bytes.ends_with(b".")) {
        return Some(Fault::BarePoint(text.into()));
    }
    let radix = ["0x", "0o", "0b", "0X", "0O", "0B"]
        .iter()
        .any(|prefix| body.starts_with(prefix));
    let exponent =
        only(b"._+-eE") && !body.contains('-') || only(b"._+-eE") && body.contains(['e', 'E']);
    (exponent || radix && body.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'_'))
        .then(|| Fault::MalformedNumber(text.into()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_held_to_the_range_of_toml() {
        assert_eq!(read("9223372036854775807"), Ok(Scalar::Integer(i64::MAX)));
        assert_eq!(read("-9223372036854775808"), Ok(Scalar::Integer(i64::MIN)));
        assert_eq!(read("9223372036854775808"), Err(NotScalar::TooLarge));
        assert_eq!(read("0xffffffffffffffff"), Err(NotScalar::TooLarge));
        assert_eq!(read("1e308"), Ok(Scalar::Float(1e308)));
        assert_eq!(read("1e309"), Err(NotScalar::TooLarge));
        assert_eq!(read("-inf"), Ok(Scalar::Float(f64::NEG_INFINITY)));
        assert_eq!(read("1_000"), Ok(Scalar::Integer(1000)));
        assert_eq!(read("1_a"), Err(NotScalar::Malformed));
        assert_eq!(read("007"), Err(NotScalar::Malformed));
        assert_eq!(read("0"), Ok(Scalar::Integer(0)));
    }

    #[test]
    fn a_time_without_seconds_is_told_apart() {
        let date = |without_seconds| Ok(Scalar::Date { without_seconds });
        assert_eq!(read("2026-05-02"), date(false));
        assert_eq!(read("07:32"), date(true));
        assert_eq!(read("07:32:00.5"), date(false));
        assert_eq!(read("2026-05-02 07:32Z"), date(true));
        assert_eq!(read("2026-05-02T07:32:00+01:00"), date(false));
        assert_eq!(read("2026-05-02T07:32+01:00"), date(true));
        assert_eq!(read("2026-02-30"), Err(NotScalar::Malformed));
    }
}
