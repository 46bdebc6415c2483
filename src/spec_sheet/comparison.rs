//! Comparisons and superlatives: claims without a figure, against what isn't said.

use super::claim::{Attribute, Comparator};
use super::tokens::{Kind, Token};
use super::view::View;
use super::vocabulary::{Topic, cue};
use super::word::{Word, is_one, words};

/// A comparison: its bytes in the passage and what it compares.
pub struct Comparison {
    /// First and last token.
    pub tokens: std::ops::Range<usize>,
    /// What is compared.
    pub attribute: Attribute,
    /// Which way.
    pub comparator: Comparator,
}

fn attribute(topic: Topic) -> Option<Attribute> {
    Some(match topic {
        Topic::Power => Attribute::Power,
        Topic::Sound => Attribute::Sound,
        Topic::Air => Attribute::Flow,
        Topic::Running => Attribute::Cost,
        Topic::Oxygen => Attribute::Oxygen,
        Topic::Efficiency => Attribute::Efficiency,
        Topic::Price => Attribute::Price,
        Topic::Turnover => Attribute::Turnover,
        Topic::Moved => Attribute::WaterFlow,
        _ => return None,
    })
}

/// Finds the comparisons of a passage.
pub fn find(view: &View<'_>) -> Vec<Comparison> {
    let mut found: Vec<Comparison> = Vec::new();
    let mut at = 0;
    if !view.may_compare() {
        return found;
    }
    while at < view.tokens.len() {
        match one(view, at) {
            Some(comparison) => {
                at = comparison.tokens.end.max(at + 1);
                found.push(comparison);
            }
            None => at += 1,
        }
    }
    found
}

/// The first topic that can be compared within `reach` words after token `at`, and its token.
fn compared(view: &View<'_>, at: usize, reach: usize) -> Option<(Attribute, usize)> {
    for next in at..(at + reach).min(view.tokens.len()) {
        let token = &view.tokens[next];
        match token.kind {
            Kind::Stop | Kind::Sign(',' | ';' | '(' | ')' | ':') | Kind::Figure => return None,
            _ => {}
        }
        let word = &view.text[token.range()];
        if word.eq_ignore_ascii_case("energy") || word.eq_ignore_ascii_case("electricity") {
            return Some((Attribute::Power, next));
        }
        if let Some(found) = token.topic().and_then(attribute) {
            return Some((found, next));
        }
    }
    None
}

fn one(view: &View<'_>, at: usize) -> Option<Comparison> {
    let token: &Token = &view.tokens[at];
    let may_begin = token.is_part() || token.cues & cue::COMPARES != 0 || token.is_number();
    if !may_begin {
        return None;
    }
    let built = |end: usize, attribute: Attribute, comparator: Comparator| {
        Some(Comparison {
            tokens: at..end + 1,
            attribute,
            comparator,
        })
    };
    let is = |at: usize, words: &[Word]| words.contains(&view.word(at));
    // `half the power`, `a third of the electricity`, `half as much energy`.
    if token.is_part()
        && (is(at + 1, words!["the", "as", "that"])
            || (is(at + 1, words!["of"]) && is(at + 2, words!["the"])))
    {
        let (attribute, end) = compared(view, at + 1, 6)?;
        return built(end, attribute, Comparator::AtMost);
    }
    if !token.is_word() && token.kind != Kind::Figure && !matches!(token.kind, Kind::Spelled(_)) {
        return None;
    }
    let word = view.word(at);
    if is_one!(word, "twice" | "double" | "triple" | "doubles" | "doppelt") {
        if !is(at + 1, words!["the", "as", "so"]) {
            return None;
        }
        let (attribute, end) = compared(view, at + 1, 6)?;
        return built(end, attribute, Comparator::AtLeast);
    }
    if is_one!(word, "fraction") && is(at + 1, words!["of"]) {
        let (attribute, end) = compared(view, at + 2, 5)?;
        return built(end, attribute, Comparator::AtMost);
    }
    if is_one!(word, "quietest" | "leiseste" | "leisester" | "leisestes") {
        return built(at, Attribute::Sound, Comparator::AtMost);
    }
    if is_one!(word, "quieter") && is(at + 1, words!["than"])
        || is_one!(word, "leiser") && is(at + 1, words!["als"])
    {
        return built(at + 1, Attribute::Sound, Comparator::AtMost);
    }
    if is_one!(word, "most") {
        if is(
            at + 1,
            words!["efficient", "energy-efficient", "economical", "energy"],
        ) {
            let two = is(at + 1, words!["energy"]) && is(at + 2, words!["efficient"]);
            let end = at + 1 + usize::from(two);
            return built(end, Attribute::Efficiency, Comparator::AtLeast);
        }
        if is(at + 1, words!["powerful"]) {
            return built(at + 1, Attribute::Flow, Comparator::AtLeast);
        }
        if is(at + 1, words!["quiet"]) {
            return built(at + 1, Attribute::Sound, Comparator::AtMost);
        }
        return None;
    }
    if is_one!(word, "cheapest") {
        let runs = is(at + 1, words!["to"]) && is(at + 2, words!["run", "operate"]);
        return runs
            .then(|| built(at + 2, Attribute::Cost, Comparator::AtMost))
            .flatten();
    }
    if is_one!(word, "strongest" | "lowest" | "highest" | "best") {
        let (attribute, end) = compared(view, at + 1, 3)?;
        if is_one!(word, "best") && attribute == Attribute::Price {
            return None;
        }
        let comparator = if is_one!(word, "lowest") {
            Comparator::AtMost
        } else {
            Comparator::AtLeast
        };
        return built(end, attribute, comparator);
    }
    if is_one!(
        word,
        "less" | "fewer" | "lower" | "more" | "higher" | "better" | "cheaper" | "weniger" | "mehr"
    ) {
        return than(view, at);
    }
    // `40 % quieter`
    if token.is_number()
        && is(at + 1, words!["%", "percent", "prozent", "times", "x"])
        && is(at + 2, words!["quieter", "leiser"])
    {
        return built(at + 2, Attribute::Sound, Comparator::AtMost);
    }
    None
}

/// `22 % less power than …`, `cheaper to run than …`.
fn than(view: &View<'_>, at: usize) -> Option<Comparison> {
    let word = view.word(at);
    let is = |at: usize, words: &[Word]| words.contains(&view.word(at));
    let than = (at + 1..(at + 8).min(view.tokens.len()))
        .take_while(|&next| view.tokens[next].kind != Kind::Stop)
        .find(|&next| is(next, words!["than", "als"]));
    let percent_before =
        at >= 2 && is(at - 1, words!["%", "percent", "prozent"]) && view.tokens[at - 2].is_number();
    let times_before =
        at >= 2 && is(at - 1, words!["times", "x"]) && view.tokens[at - 2].is_number();
    if than.is_none() && !percent_before && !times_before {
        return None;
    }
    // `22 % less air than at the sea` compares a place, not a machine.
    if than.is_some_and(|than| is(than + 1, words!["at", "in", "on"])) {
        return None;
    }
    // `less than $5` bounds a figure and compares nothing.
    if than == Some(at + 1) {
        return None;
    }
    let found = compared(view, at + 1, 4).or_else(|| {
        let from = at.saturating_sub(5);
        (from..at).rev().find_map(|before| {
            let topic = view.tokens[before].topic()?;
            Some((attribute(topic)?, at))
        })
    });
    let (attribute, mut end) = found?;
    if is_one!(word, "cheaper") {
        return Some(Comparison {
            tokens: at..end + 1,
            attribute: Attribute::Cost,
            comparator: Comparator::AtMost,
        });
    }
    if let Some(than) = than
        && than <= end + 3
    {
        end = than;
    }
    let down = is_one!(word, "less" | "fewer" | "lower" | "weniger");
    let comparator = if down {
        Comparator::AtMost
    } else {
        Comparator::AtLeast
    };
    let start = if percent_before || times_before {
        at - 2
    } else {
        at
    };
    Some(Comparison {
        tokens: start..end + 1,
        attribute,
        comparator,
    })
}
