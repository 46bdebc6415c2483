//! Numbers as people write them: groups of thousands, decimal commas, fractions of every kind.

use std::borrow::Cow;

/// Which sign parts the decimals on a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// `1,500.5`
    Point,
    /// `1.500,5`
    Comma,
}

/// Tells a page's style by its own figures: `1,5` against `1.5`, where three digits could be thousands.
///
/// Also tells whether the page has figures of both styles.
pub fn style<'a>(texts: impl Iterator<Item = &'a str>, comma_language: bool) -> (Style, bool) {
    let (points, commas) = signs(texts);
    let style = if commas > points || (commas == points && comma_language) {
        Style::Comma
    } else {
        Style::Point
    };
    (style, points > 0 && commas > 0)
}

/// The style of a passage by its own figures; the page's if they don't tell.
pub fn own_style(text: &str, page: Style) -> Style {
    match signs(std::iter::once(text)) {
        (points, commas) if points > commas => Style::Point,
        (points, commas) if commas > points => Style::Comma,
        _ => page,
    }
}

/// How many figures have a point before one or two decimals, and how many a comma.
fn signs<'a>(texts: impl Iterator<Item = &'a str>) -> (u32, u32) {
    let (mut points, mut commas) = (0u32, 0u32);
    for text in texts {
        let bytes = text.as_bytes();
        for at in memchr::memchr2_iter(b',', b'.', bytes) {
            let before = at > 0 && bytes[at - 1].is_ascii_digit();
            if !before {
                continue;
            }
            let digits = bytes[at + 1..]
                .iter()
                .take(5)
                .take_while(|b| b.is_ascii_digit())
                .count();
            // A date or a number of a section has more than one point.
            let start = bytes[..at]
                .iter()
                .rev()
                .take(6)
                .take_while(|b| b.is_ascii_digit())
                .count();
            // In `2.495,00` the point parts thousands, and the comma can only part decimals.
            let chained = (at > start && bytes[at - start - 1] == bytes[at])
                || (matches!(bytes.get(at + 1 + digits), Some(b'.' | b','))
                    && bytes.get(at + 2 + digits).is_some_and(u8::is_ascii_digit));
            if digits == 0 || digits == 3 || digits > 4 || chained {
                continue;
            }
            if bytes[at] == b',' {
                commas += 1;
            } else {
                points += 1;
            }
        }
        if points + commas > 200 {
            break;
        }
    }
    (points, commas)
}

/// A fraction that is one character, as `a/b`.
pub fn vulgar(c: char) -> Option<&'static str> {
    Some(match c {
        '¼' => "1/4",
        '½' => "1/2",
        '¾' => "3/4",
        '⅓' => "1/3",
        '⅔' => "2/3",
        '⅛' => "1/8",
        '⅜' => "3/8",
        '⅝' => "5/8",
        '⅞' => "7/8",
        '⅕' => "1/5",
        '⅖' => "2/5",
        '⅗' => "3/5",
        '⅘' => "4/5",
        '⅙' => "1/6",
        '⅚' => "5/6",
        '⅒' => "1/10",
        _ => return None,
    })
}

fn raised(c: char) -> Option<char> {
    Some(match c {
        '⁰' | '₀' => '0',
        '¹' | '₁' => '1',
        '²' | '₂' => '2',
        '³' | '₃' => '3',
        '⁴' | '₄' => '4',
        '⁵' | '₅' => '5',
        '⁶' | '₆' => '6',
        '⁷' | '₇' => '7',
        '⁸' | '₈' => '8',
        '⁹' | '₉' => '9',
        _ => return None,
    })
}

/// Whether it is a raised or lowered figure.
pub fn is_raised(c: char) -> bool {
    raised(c).is_some()
}

fn is_stroke(c: char) -> bool {
    matches!(c, '/' | '⁄' | '∕')
}

/// A fraction of raised and lowered figures, such as `³⁄₈`: the fraction, and its length.
pub fn raised_fraction(text: &str) -> Option<(String, usize)> {
    let mut written = String::new();
    let mut stroke = false;
    let mut end = 0;
    let mut under = 0;
    for c in text.chars().take(8) {
        if let Some(digit) = raised(c).filter(|_| !stroke) {
            written.push(digit);
        } else if is_stroke(c) && !stroke && !written.is_empty() {
            stroke = true;
            written.push('/');
        } else if stroke && let Some(digit) = raised(c).or(Some(c).filter(char::is_ascii_digit)) {
            written.push(digit);
            under += 1;
        } else {
            break;
        }
        end += c.len_utf8();
    }
    (under > 0 && is_fraction(&written)).then_some((written, end))
}

/// Whether `a/b` is a part of one as a rule or a catalog has it, and not two figures with a stroke.
fn is_fraction(written: &str) -> bool {
    let Some((above, under)) = written.split_once('/') else {
        return false;
    };
    let (Ok(above), Ok(under)) = (above.parse::<u32>(), under.parse::<u32>()) else {
        return false;
    };
    let of_a_rule = matches!(under, 2 | 3 | 4 | 5 | 6 | 8 | 10 | 16 | 32 | 64);
    // A twentieth of an acre or horsepower, too; `1/50 Hz` and `1/60 Hz` are one phase.
    let a_part = above == 1 && matches!(under, 7 | 9 | 12 | 15 | 20 | 24 | 25 | 30 | 40 | 100);
    above > 0 && above < under && (of_a_rule || a_part)
}

/// A fraction in figures at the beginning: `a/b` and its length.
fn plain_fraction(text: &str) -> Option<(String, usize)> {
    let digits = |text: &str| text.bytes().take(3).take_while(u8::is_ascii_digit).count();
    let above = digits(text);
    if above == 0 || above > 2 {
        return None;
    }
    let mut rest = &text[above..];
    let stroke = rest.chars().next().filter(|&c| is_stroke(c))?;
    rest = &rest[stroke.len_utf8()..];
    let under = digits(rest);
    let after = rest[under..].chars().next();
    if under == 0 || after.is_some_and(|c| is_stroke(c) || c.is_ascii_digit()) {
        return None;
    }
    let written = format!("{}/{}", &text[..above], &rest[..under]);
    let length = above + stroke.len_utf8() + under;
    is_fraction(&written).then_some((written, length))
}

/// Where the number at byte `at` ends.
pub fn end(text: &str, at: usize, style: Style) -> usize {
    plain(text.as_bytes(), at, style).unwrap_or_else(|| read(text, at, style).1)
}

/// Where a number ends that is nothing but figures, perhaps with a point and decimals, and after which
/// nothing stands that could belong to it; none for all others, which [`read`] has to look at.
fn plain(bytes: &[u8], at: usize, style: Style) -> Option<usize> {
    let digits = |from: usize| {
        from + bytes.get(from..).map_or(0, |rest| {
            rest.iter().take_while(|b| b.is_ascii_digit()).count()
        })
    };
    let end = digits(at);
    if end == at {
        return None;
    }
    if bytes.get(end) == Some(&b'.') && style == Style::Point {
        let decimals = digits(end + 1);
        if decimals == end + 1 {
            return Some(end);
        }
        // A second point makes it a date, a number of a section or a version.
        let more = bytes.get(decimals) == Some(&b'.')
            && bytes.get(decimals + 1).is_some_and(u8::is_ascii_digit);
        return (!more).then_some(decimals);
    }
    let ends = match bytes.get(end) {
        None | Some(b'"' | b'%' | b')' | b':' | b';' | b'|' | b'!' | b'?') => true,
        Some(b' ') => bytes
            .get(end + 1)
            .is_none_or(|&next| next.is_ascii() && !next.is_ascii_digit() && next != b'-'),
        Some(&byte) => byte.is_ascii_alphabetic() && !matches!(byte, b'k' | b'K'),
    };
    ends.then_some(end)
}

/// The number at byte `at` in the format's writing, and where it ends. There must be one.
pub fn read(text: &str, at: usize, style: Style) -> (Cow<'_, str>, usize) {
    if let Some(end) = plain(text.as_bytes(), at, style) {
        return (Cow::Borrowed(&text[at..end]), end);
    }
    let rest = &text[at..];
    let first = rest.chars().next().unwrap_or('0');
    if let Some(fraction) = vulgar(first) {
        return (Cow::Borrowed(fraction), at + first.len_utf8());
    }
    if let Some((fraction, length)) = raised_fraction(rest) {
        return (fraction.into(), at + length);
    }
    if let Some((fraction, length)) = plain_fraction(rest) {
        return (fraction.into(), at + length);
    }
    let bytes = rest.as_bytes();
    let mut written = String::new();
    let mut end = 0;
    let digits = |from: usize| {
        bytes.get(from..).map_or(0, |rest| {
            rest.iter().take_while(|b| b.is_ascii_digit()).count()
        })
    };
    let whole = digits(0);
    written.push_str(&rest[..whole]);
    end += whole;
    let mut grouped = false;
    // Groups of three, as long as they are parted by the same sign.
    if (1..=3).contains(&whole) {
        let mut mark: Option<char> = None;
        while let Some(sign) = rest[end..].chars().next() {
            let may_group = match sign {
                ',' => style == Style::Point || mark == Some(','),
                '.' => style == Style::Comma,
                '\u{a0}' | '\u{202f}' | '\u{2009}' | '’' | '\'' => true,
                ' ' => style == Style::Comma || is_spaced_group(&text[..at], &rest[end + 1..]),
                _ => false,
            };
            if !may_group || mark.is_some_and(|mark| mark != sign) {
                break;
            }
            let from = end + sign.len_utf8();
            if digits(from) != 3 {
                break;
            }
            written.push_str(&rest[from..from + 3]);
            end = from + 3;
            mark = Some(sign);
            grouped = true;
        }
    }
    // Decimals.
    let sign = bytes.get(end).copied();
    let decimals = digits(end + 1);
    let is_decimal = match sign {
        Some(b'.') if decimals > 0 => {
            // A second point makes it a date, a number of a section or a version.
            let more =
                bytes.get(end + 1 + decimals) == Some(&b'.') && digits(end + 2 + decimals) > 0;
            !more && (style == Style::Point || decimals != 3 || whole == 0)
        }
        Some(b',') if decimals > 0 => match style {
            Style::Comma => true,
            Style::Point => !grouped && decimals <= 2 && whole <= 3,
        },
        _ => false,
    };
    // `9·5 kg`, with the point raised as in old print.
    let raised = rest[end..].starts_with('·') && !grouped && (1..=2).contains(&whole);
    let after = digits(end + '·'.len_utf8());
    let beyond = &rest[end..];
    let beyond = beyond.get('·'.len_utf8() + after..).unwrap_or("");
    if raised && (1..=2).contains(&after) && !beyond.starts_with(['·', '.', ',', '/']) {
        let from = end + '·'.len_utf8();
        written.push('.');
        written.push_str(&rest[from..from + after]);
        return (written.into(), at + from + after);
    }
    if is_decimal {
        if written.is_empty() {
            written.push('0');
        }
        written.push('.');
        written.push_str(&rest[end + 1..end + 1 + decimals]);
        end += 1 + decimals;
        return (written.into(), at + end);
    }
    if written.is_empty() {
        // A point with nothing behind it; the caller saw a figure, so this is one character.
        return (Cow::Borrowed("0"), at + first.len_utf8());
    }
    // A fraction after the whole: `1 1/2`, `1-1/2`, `1½`.
    for gap in ["", " ", "\u{a0}", "-", "\u{2011}", "\u{2009}", " - "] {
        let Some(after) = rest[end..].strip_prefix(gap) else {
            continue;
        };
        let Some(next) = after.chars().next() else {
            continue;
        };
        let part = vulgar(next)
            .map(|part| (part.to_owned(), next.len_utf8()))
            .or_else(|| raised_fraction(after))
            .or_else(|| plain_fraction(after).filter(|_| !gap.is_empty() && whole <= 3));
        if let Some((part, length)) = part {
            return (
                format!("{written} {part}").into(),
                at + end + gap.len() + length,
            );
        }
    }
    // `10k gallons`.
    if let Some(b'k' | b'K') = bytes.get(end)
        && whole <= 3
        && rest[end + 1..].starts_with([' ', '-'])
        && rest[end + 2..]
            .trim_start()
            .to_ascii_lowercase()
            .starts_with("gal")
    {
        written.push_str("000");
        return (written.into(), at + end + 1);
    }
    (written.into(), at + end)
}

/// Whether three digits behind a blank go on with the number on a page of decimal points: noughts, behind a sign
/// of money, or before a unit that no thing of a hundred and more is told apart by.
fn is_spaced_group(before: &str, group: &str) -> bool {
    let Some((digits, after)) = group.split_at_checked(3) else {
        return false;
    };
    if !digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return false;
    }
    let after = after.trim_start_matches(' ');
    // A cell that holds nothing else.
    let alone = before.is_empty() && after.is_empty();
    alone
        || digits == "000"
        || before.trim_end_matches(' ').ends_with(['€', '£', '$'])
        || [
            "€", "m²", "m2", "m³", "m3", "litre", "liter", "gallon", "hour", "EUR", "GBP", "l/h",
            "L/h",
        ]
        .iter()
        .any(|unit| after.starts_with(unit))
        || groups_on(after)
}

/// Whether another group of three stands right behind, and no further figure: `1 500 000`.
fn groups_on(after: &str) -> bool {
    let digits = after.bytes().take_while(u8::is_ascii_digit).count();
    digits == 3
        && !after[3..]
            .trim_start()
            .starts_with(|c: char| c.is_ascii_digit())
}

/// The value of a number in the format's writing.
pub fn value(written: &str) -> Option<f64> {
    let mut total = 0.0;
    for part in written.split(' ') {
        total += match part.split_once('/') {
            Some((above, under)) => above.parse::<f64>().ok()? / under.parse::<f64>().ok()?,
            None => part.parse::<f64>().ok()?,
        };
    }
    Some(total)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_writing() {
        let is = |text: &str, style: Style, written: &str, length: usize| {
            assert_eq!(read(text, 0, style), (written.into(), length), "{text}");
        };
        use Style::{Comma, Point};
        is("1,500 gpm", Point, "1500", 5);
        is("1.500 l", Comma, "1500", 5);
        is("1.500 in", Point, "1.500", 5);
        is("1,5 m", Point, "1.5", 3);
        is("1,5 m", Comma, "1.5", 3);
        is("12,50 €", Comma, "12.50", 5);
        is("1.234,50", Comma, "1234.50", 8);
        is("1,234.50", Point, "1234.50", 8);
        is("1 1/2 acres", Point, "1 1/2", 5);
        is("1-1/2", Point, "1 1/2", 5);
        is("2½ ft", Point, "2 1/2", 3);
        is("2 ¼", Point, "2 1/4", 4);
        is("¼ acre", Point, "1/4", 2);
        is("3⁄8", Point, "3/8", 5);
        is("³⁄₈", Point, "3/8", 8);
        is("3/8\"", Point, "3/8", 3);
        is("115/230", Point, "115", 3);
        is("5/12/2026", Point, "5", 1);
        is("1\u{a0}500", Point, "1500", 6);
        is("2 500 l", Comma, "2500", 5);
        is("2 100 ft", Point, "2", 1);
        is("10 000 h", Point, "10000", 6);
        is("1 200 m²", Point, "1200", 5);
        is(".5 hp", Point, "0.5", 2);
        is("10k gallons", Point, "10000", 3);
        is("6 ft", Point, "6", 1);
        is("1,2", Point, "1.2", 3);
        is("1.2.3", Point, "1", 1);
        // A number with nothing behind it is read the short way; it must be the long one's.
        is("6. The", Point, "6", 1);
        is("6.5.", Point, "6.5", 3);
        is("6 - 1/2", Point, "6 1/2", 7);
        is("6\" ID", Point, "6", 1);
        is("6 ½", Point, "6 1/2", 4);
        assert_eq!(value("1 1/2"), Some(1.5));
    }

    #[test]
    fn a_page_shows_its_style() {
        assert_eq!(
            style(["1,5 m und 0,9 A"].into_iter(), false).0,
            Style::Comma
        );
        assert_eq!(
            style(["1.5 m, 0.9 A, 1,500"].into_iter(), false).0,
            Style::Point
        );
        assert_eq!(style(["1,500"].into_iter(), false).0, Style::Point);
        assert_eq!(style(["1.500 l"].into_iter(), true).0, Style::Comma);
    }
}
