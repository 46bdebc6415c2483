//! How a figure is bounded, and under what it holds.

use std::sync::OnceLock;

use crate::units::Dimension;

use super::claim::{Attribute, Comparator, Counted};
use super::measure::Measure;
use super::tokens::{Kind, Token};
use super::view::View;
use super::vocabulary::{Topic, cue};

/// Words before a figure that bound it, the longest first.
static BEFORE: &[(&str, Comparator)] = &[
    ("up to and including", Comparator::AtMost),
    ("up to about", Comparator::AtMost),
    ("up to a maximum of", Comparator::AtMost),
    ("up to a full", Comparator::AtMost),
    ("up to a", Comparator::AtMost),
    ("up to an", Comparator::AtMost),
    ("up to", Comparator::AtMost),
    ("upto", Comparator::AtMost),
    ("as much as", Comparator::AtMost),
    ("as deep as", Comparator::AtMost),
    ("as large as", Comparator::AtMost),
    ("as big as", Comparator::AtMost),
    ("as long as", Comparator::AtMost),
    ("as far as", Comparator::AtMost),
    ("as high as", Comparator::AtMost),
    ("as many as", Comparator::AtMost),
    ("no more than", Comparator::AtMost),
    ("not more than", Comparator::AtMost),
    ("no deeper than", Comparator::AtMost),
    ("no larger than", Comparator::AtMost),
    ("no longer than", Comparator::AtMost),
    ("no louder than", Comparator::AtMost),
    ("not to exceed", Comparator::AtMost),
    ("not exceeding", Comparator::AtMost),
    ("never exceed", Comparator::AtMost),
    ("not exceed", Comparator::AtMost),
    ("not larger than", Comparator::AtMost),
    ("not bigger than", Comparator::AtMost),
    ("not deeper than", Comparator::AtMost),
    ("never deeper than", Comparator::AtMost),
    ("not longer than", Comparator::AtMost),
    ("never longer than", Comparator::AtMost),
    ("not louder than", Comparator::AtMost),
    ("not above", Comparator::AtMost),
    ("never above", Comparator::AtMost),
    ("not over", Comparator::AtMost),
    ("never less than", Comparator::AtLeast),
    ("never in less than", Comparator::AtLeast),
    ("not in less than", Comparator::AtLeast),
    ("not below", Comparator::AtLeast),
    ("never below", Comparator::AtLeast),
    ("call it", Comparator::About),
    ("never more than", Comparator::AtMost),
    ("at most", Comparator::AtMost),
    ("a maximum of", Comparator::AtMost),
    ("maximum of", Comparator::AtMost),
    ("max of", Comparator::AtMost),
    ("maximum", Comparator::AtMost),
    ("max.", Comparator::AtMost),
    ("max", Comparator::AtMost),
    ("maximal", Comparator::AtMost),
    ("less than", Comparator::AtMost),
    ("fewer than", Comparator::AtMost),
    ("lower than", Comparator::AtMost),
    ("quieter than", Comparator::AtMost),
    ("smaller than", Comparator::AtMost),
    ("shallower than", Comparator::AtMost),
    ("under", Comparator::AtMost),
    ("below", Comparator::AtMost),
    ("within", Comparator::AtMost),
    ("down to", Comparator::AtMost),
    ("depths to", Comparator::AtMost),
    ("depth to", Comparator::AtMost),
    ("ponds to", Comparator::AtMost),
    ("rated to", Comparator::AtMost),
    ("good to", Comparator::AtMost),
    ("runs to", Comparator::AtMost),
    ("lakes to", Comparator::AtMost),
    ("works to", Comparator::AtMost),
    ("bis zu einer tiefe von", Comparator::AtMost),
    ("bis zu", Comparator::AtMost),
    ("bis", Comparator::AtMost),
    ("höchstens", Comparator::AtMost),
    ("unter", Comparator::AtMost),
    ("weniger als", Comparator::AtMost),
    ("jusqu'à", Comparator::AtMost),
    ("jusqu’à", Comparator::AtMost),
    ("hasta", Comparator::AtMost),
    ("tot", Comparator::AtMost),
    ("≤", Comparator::AtMost),
    ("<", Comparator::AtMost),
    ("at least", Comparator::AtLeast),
    ("a minimum of", Comparator::AtLeast),
    ("minimum of", Comparator::AtLeast),
    ("minimum", Comparator::AtLeast),
    ("min.", Comparator::AtLeast),
    ("min", Comparator::AtLeast),
    ("no less than", Comparator::AtLeast),
    ("not less than", Comparator::AtLeast),
    ("no fewer than", Comparator::AtLeast),
    ("more than", Comparator::AtLeast),
    ("greater than", Comparator::AtLeast),
    ("in excess of", Comparator::AtLeast),
    ("upwards of", Comparator::AtLeast),
    ("starting at", Comparator::AtLeast),
    ("starting from", Comparator::AtLeast),
    ("starts at", Comparator::AtLeast),
    ("as little as", Comparator::AtLeast),
    ("as low as", Comparator::AtLeast),
    ("as few as", Comparator::AtLeast),
    ("exceeding", Comparator::AtLeast),
    ("exceeds", Comparator::AtLeast),
    ("over", Comparator::AtLeast),
    ("above", Comparator::AtLeast),
    ("from", Comparator::AtLeast),
    ("mindestens", Comparator::AtLeast),
    ("mehr als", Comparator::AtLeast),
    ("über", Comparator::AtLeast),
    ("ab", Comparator::AtLeast),
    ("≥", Comparator::AtLeast),
    (">", Comparator::AtLeast),
    ("approximately", Comparator::About),
    ("approx.", Comparator::About),
    ("approx", Comparator::About),
    ("about", Comparator::About),
    ("around", Comparator::About),
    ("roughly", Comparator::About),
    ("nearly", Comparator::About),
    ("almost", Comparator::About),
    ("close to", Comparator::About),
    ("typically", Comparator::About),
    ("some", Comparator::About),
    ("an estimated", Comparator::About),
    ("estimated at", Comparator::About),
    ("an average of", Comparator::About),
    ("on average", Comparator::About),
    ("averages", Comparator::About),
    ("averaging", Comparator::About),
    ("circa", Comparator::About),
    ("ca.", Comparator::About),
    ("ca", Comparator::About),
    ("etwa", Comparator::About),
    ("rund", Comparator::About),
    ("environ", Comparator::About),
    ("~", Comparator::About),
    ("≈", Comparator::About),
];

/// Words after a figure that bound it.
static AFTER: &[(&str, Comparator)] = &[
    ("maximum", Comparator::AtMost),
    ("max", Comparator::AtMost),
    ("at most", Comparator::AtMost),
    ("deep at most", Comparator::AtMost),
    ("or less", Comparator::AtMost),
    ("or smaller", Comparator::AtMost),
    ("or under", Comparator::AtMost),
    ("or shallower", Comparator::AtMost),
    ("and under", Comparator::AtMost),
    ("and smaller", Comparator::AtMost),
    ("or below", Comparator::AtMost),
    ("or fewer", Comparator::AtMost),
    ("minimum", Comparator::AtLeast),
    ("min.", Comparator::AtLeast),
    ("or more", Comparator::AtLeast),
    ("or deeper", Comparator::AtLeast),
    ("or larger", Comparator::AtLeast),
    ("or better", Comparator::AtLeast),
    ("and up", Comparator::AtLeast),
    ("and above", Comparator::AtLeast),
    ("and more", Comparator::AtLeast),
    ("+", Comparator::AtLeast),
];

/// How a figure is bounded, and where the words that bound it begin and end in the passage.
pub fn comparator(view: &View<'_>, measure: &Measure<'_>) -> (Comparator, usize, usize) {
    let (start, end) = (measure.at.start, measure.at.end);
    if let Some(quantity) = &measure.quantity
        && quantity.is_range()
    {
        return (Comparator::Range, start, end);
    }
    let dimension = measure.dimension();
    if let Some((comparator, at)) = bound_before(&view.text[..start]) {
        let words = &view.text[at.unwrap_or(start)..start];
        let supplied = matches!(dimension, Some(Dimension::Voltage | Dimension::Frequency));
        let warm = dimension == Some(Dimension::Temperature);
        match comparator {
            // `runs from 115 V`, `230 V ~ 50 Hz`: where it comes from, and what kind of voltage.
            Comparator::AtLeast if supplied && words.to_lowercase().starts_with("from") => {}
            Comparator::About if words.starts_with('~') && view.text[..at.unwrap_or(start)].trim_end().ends_with(['V', 'v']) => {}
            // `good down to -10 °F` is the cold end.
            Comparator::AtMost if warm && words.to_lowercase().starts_with("down to") => return (Comparator::AtLeast, at.unwrap_or(start), end),
            _ => return (comparator, at.unwrap_or(start), end),
        }
    } else if let Some(at) = bare_to(view.text, start)
        && !matches!(dimension, Some(Dimension::Temperature | Dimension::Time))
    {
        return (Comparator::AtMost, at, end);
    }
    // Words behind the other unit of a dual listing bound both: `0.1 ha (¼ acre) max.`
    let end = match view.measures.get(measure.place + 1) {
        Some(other) if view.text[end..other.at.start].trim() == "(" => {
            let close = view.text[other.at.end..].strip_prefix([')', ']']).map(str::len);
            let bound = close.and_then(|rest| bound_after(view.text[view.text.len() - rest..].trim_start(), 1));
            if let Some((comparator, _)) = bound {
                return (comparator, start, end);
            }
            end
        }
        _ => end,
    };
    let rest = view.text[end..].trim_start_matches([' ', '\u{a0}', ',']);
    let gap = view.text.len() - end - rest.len();
    if let Some((comparator, length)) = bound_after(rest, gap) {
        return (comparator, start, end + gap + length);
    }
    // `maximum depth of 6 ft`, `Max. depth: 6 ft`.
    for one in view.near(measure) {
        if one.after || one.cost > 3 {
            continue;
        }
        if one.topic == Topic::AtMost && is_limit_word(view, measure) {
            return (Comparator::AtMost, start, end);
        }
    }
    (Comparator::Exact, start, end)
}

/// Where a bare `to` begins that opens its clause, in front of a figure: `Pond: to ½ acre`.
fn bare_to(text: &str, start: usize) -> Option<usize> {
    let lead = text[..start].trim_end_matches([' ', '\u{a0}', '\n']);
    let at = lead.len().checked_sub(2)?;
    if !lead.get(at..)?.eq_ignore_ascii_case("to") {
        return None;
    }
    let before = lead[..at].trim_end();
    (before.is_empty() || before.ends_with([':', '(', ';', '•', '·', '|'])).then_some(at)
}

/// The bound that stands at the end of the text before a figure, and where its words begin.
fn bound_before(text: &str) -> Option<(Comparator, Option<usize>)> {
    let from = match text.len().checked_sub(32) {
        Some(from) if text.as_bytes()[from..].is_ascii() => from,
        _ => text.char_indices().rev().nth(31).map_or(0, |(at, _)| at),
    };
    let lead = text[from..].trim_end_matches([' ', '\u{a0}', '(', '\n']);
    let mut buffer = [0u8; 128];
    let owned: String;
    let mut small: &str = match buffer.get_mut(..lead.len()) {
        Some(buffer) if lead.is_ascii() => {
            buffer.copy_from_slice(lead.as_bytes());
            buffer.make_ascii_lowercase();
            std::str::from_utf8(buffer).unwrap_or(lead)
        }
        _ => {
            owned = lead.to_lowercase();
            &owned
        }
    };
    // `up to a ¼ acre`, `at least an acre`, `up to the 1/2 acre`.
    const ARTICLES: [&str; 8] = [" a", " an", " the", " just", " only", " approximately", " roughly", " about"];
    // All of them end with one of these letters.
    let may_be = matches!(small.as_bytes().last(), Some(b'a' | b'n' | b'e' | b't' | b'y'));
    for article in ARTICLES.into_iter().filter(|_| may_be) {
        if let Some(rest) = small.strip_suffix(article)
            && bound_at_end(rest).is_some()
        {
            small = rest;
            break;
        }
    }
    let &(words, comparator) = bound_at_end(small)?;
    let back = small.len() - words.len();
    let at = from + back.min(lead.len());
    Some((comparator, text.is_char_boundary(at).then_some(at)))
}

/// The first of [`BEFORE`] that the text ends with.
fn bound_at_end(small: &str) -> Option<&'static (&'static str, Comparator)> {
    /// By their last byte, in order.
    static BY_LAST: OnceLock<Vec<Vec<&'static (&'static str, Comparator)>>> = OnceLock::new();
    let by_last = BY_LAST.get_or_init(|| {
        let mut lists = vec![Vec::new(); 256];
        for one in BEFORE {
            if let Some(list) = one.0.bytes().last().and_then(|last| lists.get_mut(usize::from(last))) {
                list.push(one);
            }
        }
        lists
    });
    let last = small.bytes().last()?;
    by_last
        .get(usize::from(last))?
        .iter()
        .find(|(words, _)| ends_with_word(small, words))
        .copied()
}

/// The bound that stands at the beginning of the text after a figure and a gap, and the length of its words.
fn bound_after(rest: &str, gap: usize) -> Option<(Comparator, usize)> {
    // `87 W MAX 6 PSI`, `41 W, max. 25 kPa`: words before another figure bound that one.
    let behind = |after: &str| after.trim_start_matches(['.', ' ', '\u{a0}', ':']).starts_with(|c: char| c.is_ascii_digit());
    AFTER.iter().find_map(|&(words, comparator)| {
        let (start, after) = rest.split_at_checked(words.len())?;
        if !start.eq_ignore_ascii_case(words) {
            return None;
        }
        let ends = words == "+" && gap == 0 || !after.starts_with(|c: char| c.is_alphanumeric()) && words != "+";
        (ends && (words == "+" || !behind(after))).then_some((comparator, words.len()))
    })
}

/// Whether the words before it hold `max`, `maximum` or `limit`, and not merely `under`.
fn is_limit_word(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let from = measure.tokens.start.saturating_sub(7);
    view.tokens[from..measure.tokens.start].iter().any(|token| token.cues & cue::LIMIT != 0)
}

fn ends_with_word(text: &str, words: &str) -> bool {
    text.strip_suffix(words).is_some_and(|rest| {
        let first = words.chars().next();
        first.is_some_and(|c| !c.is_alphanumeric()) || !rest.ends_with(|c: char| c.is_alphanumeric())
    })
}

/// `per diffuser`, `each`, `per kit` behind a figure.
pub fn per(view: &View<'_>, measure: &Measure<'_>, attribute: Attribute) -> Option<Counted> {
    // `14 lb each` is the mass of a thing that is counted, and no share of the package's.
    if !matches!(attribute, Attribute::Flow | Attribute::AirlineLength | Attribute::Power | Attribute::WaterFlow | Attribute::Oxygen | Attribute::Area) {
        return None;
    }
    if view.around.row.set.has(Topic::Per) && view.around.row.set.has(Topic::Diffuser) {
        return Some(Counted::Diffuser);
    }
    let mut at = measure.tokens.end;
    let mut skipped = 0;
    while at < view.tokens.len() && skipped <= 4 {
        let token = &view.tokens[at];
        if let Kind::Sign('/') = token.kind
            && let Some(found) = counted(view, at + 1)
        {
            return Some(found);
        }
        if token.topic() == Some(Topic::Per) {
            let word = view.word(at);
            if let Some(found) = counted(view, at + 1) {
                return Some(found);
            }
            // `1.2 cfm each`
            let ends = view.tokens.get(at + 1).is_none_or(|next| !next.is_word() && !next.is_number() || next.topic() == Some(Topic::At));
            if &*word == "each" && ends && view.has(Topic::Diffuser) {
                return Some(Counted::Diffuser);
            }
            return None;
        }
        match token.kind {
            Kind::Word(_) | Kind::Sign('(' | ')') => skipped += 1,
            // `150 ft of 3/8 in line for each diffuser`
            Kind::Figure | Kind::Spelled(_) if attribute == Attribute::AirlineLength => {
                let size = view.measure_at(at)?;
                if size.dimension() != Some(Dimension::Length) {
                    return None;
                }
                at = size.tokens.end;
                continue;
            }
            _ => return None,
        }
        at += 1;
    }
    None
}

fn counted(view: &View<'_>, at: usize) -> Option<Counted> {
    for next in at..at + 3 {
        let token = view.tokens.get(next)?;
        match token.topic() {
            Some(Topic::Diffuser) => return Some(Counted::Diffuser),
            Some(Topic::Package) => return Some(Counted::Package),
            _ if token.is_word() => {
                if matches!(&*view.word(next), "head" | "heads" | "line" | "run" | "tube") {
                    return Some(Counted::Diffuser);
                }
            }
            _ => return None,
        }
    }
    None
}

/// How hours in each day are written, after their number.
static DAILY: &[&str] = &[
    "hours a day", "hours per day", "hours each day", "h/day", "hrs/day", "h per day", "h a day", "hours/day",
    "hours daily", "h/d", "hr/day", "stunden am tag", "stunden pro tag", "h am tag", "h täglich", "hrs per day",
    "hours every day", "h daily",
];

/// `24 hours a day`, `24/7`, `12 h/day`: hours that it runs each day.
pub fn hours_per_day(view: &View<'_>, range: std::ops::Range<usize>) -> Option<f64> {
    let tokens = view.tokens.get(range)?;
    let is_slashed = |pair: &[Token]| pair[0].kind == Kind::Figure && pair[1].kind == Kind::Sign('/');
    for pair in tokens.windows(2).filter(|pair| is_slashed(pair)) {
        let end = pair[0].end as usize;
        if view.text[..end].ends_with("24") && view.text[end..].starts_with("/7") {
            return Some(24.0);
        }
    }
    let said = || tokens.iter().filter(|token| token.cues & cue::HOURLY != 0);
    let ends_with = |text: &str, words: &str| {
        let from = text.len().checked_sub(words.len());
        from.and_then(|from| text.get(from..)).is_some_and(|end| end.eq_ignore_ascii_case(words))
    };
    for token in said() {
        let (before, word) = (view.text.get(..token.start as usize)?, &view.text[token.range()]);
        if word.eq_ignore_ascii_case("clock") && ends_with(before, "round the ")
            || word.eq_ignore_ascii_case("uhr") && ends_with(before, "rund um die ")
        {
            return Some(24.0);
        }
    }
    said().find_map(|token| {
        let (before, rest) = view.text.split_at_checked(token.start as usize)?;
        if !before.trim_end().ends_with(|c: char| c.is_ascii_digit() || c == '.') {
            return None;
        }
        let rest: String = rest.chars().take(20).flat_map(char::to_lowercase).collect();
        DAILY.iter().find(|mark| rest.starts_with(**mark))?;
        let before = before.trim_end();
        let digits = before.len() - before.bytes().rev().take(8).take_while(|b| b.is_ascii_digit() || *b == b'.').count();
        let hours = before[digits..].parse::<f64>().ok()?;
        (hours > 0.0 && hours <= 24.0).then_some(hours)
    })
}
