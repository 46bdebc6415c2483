//! Reading the number at a place of a text.

use std::ops::Range;

use compact_str::{CompactString, format_compact};

use super::number::{Form, Number, Style};
use super::ratio::{Exact, Ratio};
use super::spelling::is_blank;

/// Why a text that starts like a number isn't one.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum BadNumber {
    /// Digits set apart in groups; the number without them, and the other number it
    /// could be where one comma may be a decimal comma.
    Thousands { meant: String, or: Option<String> },
    /// A comma for the point.
    Comma { meant: String },
    /// A letter that looks like a digit among the digits; the number with digits alone.
    Letter { meant: String },
    /// Division by nought, or beyond what a double holds.
    NotFinite,
    /// Something else.
    Unreadable,
}

/// What stands at a place of a text.
pub(super) enum Scan {
    /// No number.
    Nothing,
    /// A number, its end, and what is unusual about its writing.
    Number(Number, usize, Vec<Style>),
    /// Something like a number, its end, and what is wrong with it.
    Bad(BadNumber, usize),
}

/// Reads the number that starts at byte `at` of `text`.
pub(super) fn scan(text: &str, at: usize) -> Scan {
    let mut styles = Vec::new();
    let rest = &text[at..];
    let (sign, length) = match rest.chars().next() {
        Some(sign @ ('-' | '+')) => (Some(sign), 1),
        Some(minus @ '\u{2212}') => {
            styles.push(Style::Minus);
            (Some('-'), minus.len_utf8())
        }
        _ => (None, 0),
    };
    match unsigned(text, at + length, &mut styles) {
        Ok(Some((number, end))) => {
            let number = match sign {
                Some(sign) => number.signed(sign),
                None => number,
            };
            Scan::Number(number, end, styles)
        }
        Ok(None) => Scan::Nothing,
        Err((bad, end)) => Scan::Bad(bad.signed(sign == Some('-')), end),
    }
}

impl BadNumber {
    fn signed(self, negative: bool) -> BadNumber {
        let sign = |text: String| if negative { format!("-{text}") } else { text };
        match self {
            BadNumber::Thousands { meant, or } => BadNumber::Thousands {
                meant: sign(meant),
                or: or.map(sign),
            },
            BadNumber::Comma { meant } => BadNumber::Comma { meant: sign(meant) },
            other => other,
        }
    }
}

type Unsigned = Result<Option<(Number, usize)>, (BadNumber, usize)>;

fn unsigned(text: &str, start: usize, styles: &mut Vec<Style>) -> Unsigned {
    if let Some((parts, end)) = vulgar(text, start) {
        return fraction(0, parts, text[start..end].into(), end);
    }
    let whole = digits(text, start);
    if whole.is_empty() {
        return match point_first(text, start) {
            Some(end) => {
                styles.push(Style::BarePoint);
                decimal(format_compact!("0{}", &text[start..end]), end, text)
            }
            None => Ok(None),
        };
    }
    if let Some(bad) = grouped(text, start) {
        return Err(bad);
    }
    if let Some((parts, end, joint)) = fraction_after(text, whole.end) {
        let canonical = match joint {
            Some(style) => {
                styles.extend(style);
                format_compact!("{} {}/{}", &text[whole.clone()], parts.0, parts.1)
            }
            None => text[start..end].into(),
        };
        let Ok(whole) = text[whole].parse::<u64>() else {
            return Err((BadNumber::NotFinite, end));
        };
        // `1 3/2` is not how anyone writes 2 1/2.
        if parts.0 >= parts.1 && parts.1 != 0 {
            return Err((BadNumber::Unreadable, end));
        }
        return fraction(whole, parts, canonical, end);
    }
    if let Some((below, end, slash)) = slash_digits(text, whole.end) {
        if slash {
            styles.push(Style::FractionSlash);
        }
        // A date or a number of several fractions.
        if text[end..].starts_with('/') && !digits(text, end + 1).is_empty() {
            return Err((BadNumber::Unreadable, end));
        }
        let canonical = format_compact!("{}/{}", &text[whole.clone()], &text[below.clone()]);
        let (Ok(above), Ok(below)) = (text[whole].parse(), text[below].parse()) else {
            return Err((BadNumber::NotFinite, end));
        };
        return fraction(0, (above, below), canonical, end);
    }
    let mut end = whole.end;
    let mut canonical = CompactString::from(&text[whole.clone()]);
    if text[end..].starts_with('.') {
        let decimals = digits(text, end + 1);
        end = decimals.end;
        if decimals.is_empty() {
            styles.push(Style::OpenPoint);
        } else {
            canonical.push('.');
            canonical.push_str(&text[decimals]);
        }
    }
    decimal(canonical, end, text)
}

/// Digits from `at` on.
fn digits(text: &str, at: usize) -> Range<usize> {
    let length = text.as_bytes()[at.min(text.len())..]
        .iter()
        .take_while(|byte| byte.is_ascii_digit())
        .count();
    at..at + length
}

/// End of `.5`.
fn point_first(text: &str, start: usize) -> Option<usize> {
    let rest = text[start..].strip_prefix('.')?;
    let decimals = digits(text, text.len() - rest.len());
    (!decimals.is_empty()).then_some(decimals.end)
}

/// A decimal number whose digits are `canonical`; an exponent may follow at `end`.
fn decimal(mut canonical: CompactString, mut end: usize, text: &str) -> Unsigned {
    let digits_end = canonical.len();
    if let Some(after) = exponent(text, end) {
        canonical.push_str(&text[end..after]);
        end = after;
    }
    let written = &canonical[..digits_end];
    let decimals = written.split_once('.').map_or(0, |(_, d)| d.len());
    let power: i64 = match canonical.get(digits_end + 1..) {
        None | Some("") => 0,
        // More digits than an i64 has: the value below decides between nought and
        // infinity, which is all that is left to tell.
        Some(power) => power.parse().unwrap_or(i64::from(i32::MAX)),
    };
    let mut mantissa = CompactString::from(written);
    if decimals > 0 {
        mantissa.remove(written.len() - decimals - 1);
    }
    let exponent = i32::try_from(power).unwrap_or(i32::MAX);
    let decimals = u32::try_from(decimals).unwrap_or(u32::MAX);
    let exact = exact_decimal(&mantissa, i64::from(exponent) - i64::from(decimals));
    let value = match exact {
        Some(exact) => exact.to_f64(),
        None => {
            let value: f64 = canonical.parse().unwrap_or(f64::INFINITY);
            let nought = mantissa.bytes().all(|byte| byte == b'0');
            if !value.is_finite() || (value == 0.0 && !nought) {
                return Err((BadNumber::NotFinite, end));
            }
            value
        }
    };
    let significant = significant(&mantissa, decimals > 0);
    Ok(Some((
        Number::read(
            value,
            exact.map(Exact::from),
            Form::Decimal { decimals, exponent },
            Some(significant),
            canonical,
        ),
        end,
    )))
}

/// End of `e3`, `E-2` at `at`.
fn exponent(text: &str, at: usize) -> Option<usize> {
    let bytes = text.as_bytes();
    if !matches!(bytes.get(at), Some(b'e' | b'E')) {
        return None;
    }
    let signed = usize::from(matches!(bytes.get(at + 1), Some(b'+' | b'-')));
    let power = digits(text, at + 1 + signed);
    (!power.is_empty()).then_some(power.end)
}

fn exact_decimal(mantissa: &str, power: i64) -> Option<Ratio> {
    // 38 digits are what 128 bits always hold.
    let trimmed = mantissa.trim_start_matches('0');
    if trimmed.is_empty() {
        return Some(Ratio::ZERO);
    }
    if trimmed.len() > 38 || power.abs() > 38 {
        return None;
    }
    // Nearly every number fits 64 bits, which are read many times faster.
    let whole = match trimmed.parse::<u64>() {
        Ok(whole) => u128::from(whole),
        Err(_) => trimmed.parse().ok()?,
    };
    let ten = 10u128.checked_pow(u32::try_from(power.abs()).ok()?)?;
    if power >= 0 {
        Ratio::new(whole.checked_mul(ten)?, 1)
    } else {
        Ratio::new(whole, ten)
    }
}

/// Fewest and most significant digits.
fn significant(mantissa: &str, after_point: bool) -> (u32, u32) {
    let digits = mantissa.trim_start_matches('0');
    let count = |s: &str| u32::try_from(s.len()).unwrap_or(u32::MAX).max(1);
    let most = count(digits);
    let fewest = if after_point {
        most
    } else {
        count(digits.trim_end_matches('0'))
    };
    (fewest, most)
}

fn fraction(
    whole: u64,
    (above, below): (u64, u64),
    canonical: CompactString,
    end: usize,
) -> Unsigned {
    let (Some(denominator), true) = (u32::try_from(below).ok(), below != 0) else {
        return Err((BadNumber::NotFinite, end));
    };
    let numerator = u128::from(whole) * u128::from(below) + u128::from(above);
    let Some(ratio) = Ratio::new(numerator, u128::from(below)) else {
        return Err((BadNumber::NotFinite, end));
    };
    Ok(Some((
        Number::read(
            ratio.to_f64(),
            Some(ratio.into()),
            Form::Fraction { denominator },
            None,
            canonical,
        ),
        end,
    )))
}

/// One of the fractions that are a single character.
fn vulgar(text: &str, at: usize) -> Option<((u64, u64), usize)> {
    let c = text[at..].chars().next()?;
    let parts = match c {
        '¼' => (1, 4),
        '½' => (1, 2),
        '¾' => (3, 4),
        '⅐' => (1, 7),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        _ => return None,
    };
    Some((parts, at + c.len_utf8()))
}

/// `/4` or `⁄4` at `at`: its digits, its end, whether it is the slash of print.
fn slash_digits(text: &str, at: usize) -> Option<(Range<usize>, usize, bool)> {
    let slash = text[at..]
        .chars()
        .next()
        .filter(|c| matches!(c, '/' | '⁄'))?;
    let below = digits(text, at + slash.len_utf8());
    (!below.is_empty()).then(|| (below.clone(), below.end, slash == '⁄'))
}

type Joined = ((u64, u64), usize, Option<Vec<Style>>);

/// A fraction after a whole number that ends at `at`: ` 1/2`, `-1/2`, `½`, ` ½`. The
/// styles are none where the writing is the format's and can be kept as it is.
fn fraction_after(text: &str, at: usize) -> Option<Joined> {
    if let Some((parts, end)) = vulgar(text, at) {
        return Some((parts, end, None));
    }
    let joint = text[at..].chars().next()?;
    let next = at + joint.len_utf8();
    let style = match joint {
        ' ' => None,
        '-' | '\u{2010}' | '\u{2011}' => Some(Style::MixedHyphen),
        c if is_blank(c) => Some(Style::Spacing),
        _ => return None,
    };
    if let Some((parts, end)) = vulgar(text, next) {
        // `1 ½` is `1½`, but as written out it needs no change of sense.
        return Some((parts, end, Some(vec![style.unwrap_or(Style::Spacing)])));
    }
    let above = digits(text, next);
    if above.is_empty() {
        return None;
    }
    let (below, end, slash) = slash_digits(text, above.end)?;
    let parts = (text[above].parse().ok()?, text[below].parse().ok()?);
    // After a hyphen only a proper fraction makes one number; else it is a range.
    if style == Some(Style::MixedHyphen) && parts.0 >= parts.1 {
        return None;
    }
    let mut styles: Vec<Style> = style.into_iter().collect();
    if slash {
        styles.push(Style::FractionSlash);
    }
    Some((parts, end, (!styles.is_empty()).then_some(styles)))
}

/// Digits in groups, or with a comma for the point, from `start` on.
fn grouped(text: &str, start: usize) -> Option<(BadNumber, usize)> {
    let run = text[start..]
        .bytes()
        .take_while(|b| b.is_ascii_digit() || matches!(b, b'.' | b',' | b'_'))
        .count();
    let run = text[start..start + run].trim_end_matches(['.', ',']);
    let end = start + run.len();
    if !run.contains([',', '_']) && run.matches('.').count() < 2 {
        return spaced(text, start);
    }
    Some((separators(run), end))
}

/// What a run of digits, points, commas and low lines was meant to be.
fn separators(run: &str) -> BadNumber {
    let groups = |whole: &str, by: char| -> bool {
        let mut parts = whole.split(by);
        let first = parts.next().unwrap_or_default();
        (1..=3).contains(&first.len())
            && parts.clone().next().is_some()
            && parts.all(|group| group.len() == 3)
            && whole.chars().all(|c| c.is_ascii_digit() || c == by)
    };
    let plain = |s: &str| !s.is_empty() && s.bytes().all(|b| b.is_ascii_digit());
    let joined = |whole: &str, by: char| whole.replace(by, "");
    // 1,500 or 1,500.5
    let (whole, decimals) = run.split_once('.').unwrap_or((run, ""));
    if groups(whole, ',') && (decimals.is_empty() || plain(decimals)) {
        let point = if decimals.is_empty() { "" } else { "." };
        let or = (decimals.is_empty() && whole.matches(',').count() == 1)
            .then(|| whole.replace(',', "."));
        let meant = format!("{}{point}{decimals}", joined(whole, ','));
        return BadNumber::Thousands { meant, or };
    }
    // 5,5 or 1.500,5
    if let Some((whole, decimals)) = run.split_once(',')
        && plain(decimals)
        && (plain(whole) || groups(whole, '.'))
    {
        let meant = format!("{}.{decimals}", joined(whole, '.'));
        return BadNumber::Comma { meant };
    }
    // 1.500.000 and 1_500
    for by in ['.', '_'] {
        let (whole, decimals) = match by {
            '_' => (whole, decimals),
            _ => (run, ""),
        };
        let free = by == '_' && whole.split('_').all(plain);
        if (groups(whole, by) || free) && (decimals.is_empty() || plain(decimals)) {
            let point = if decimals.is_empty() { "" } else { "." };
            let meant = format!("{}{point}{decimals}", joined(whole, by));
            return BadNumber::Thousands { meant, or: None };
        }
    }
    BadNumber::Unreadable
}

/// `1 500`: groups of three digits with one blank before each.
fn spaced(text: &str, start: usize) -> Option<(BadNumber, usize)> {
    let first = digits(text, start);
    if first.len() > 3 {
        return None;
    }
    let mut meant = text[first.clone()].to_owned();
    let mut end = first.end;
    while let Some(blank) = text[end..].chars().next().filter(|c| is_blank(*c)) {
        let group = digits(text, end + blank.len_utf8());
        let part_of_fraction = text[group.end..].starts_with(['/', '⁄']);
        if group.len() != 3 || part_of_fraction {
            break;
        }
        meant.push_str(&text[group.clone()]);
        end = group.end;
    }
    if end == first.end {
        return None;
    }
    if text[end..].starts_with('.') {
        let decimals = digits(text, end + 1);
        if !decimals.is_empty() {
            meant.push('.');
            meant.push_str(&text[decimals.clone()]);
            end = decimals.end;
        }
    }
    Some((BadNumber::Thousands { meant, or: None }, end))
}
