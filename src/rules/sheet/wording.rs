//! Outcomes promised without exception. The engine gives an outcome as a range at best, and most of these no range
//! at all: what lives in a pond isn't up to its compressor alone.

use crate::finding::Finding;
use crate::spec_sheet::{Passage, Role};
use crate::text::Span;

use super::{ABSOLUTE, Page};

/// Words that leave no exception, in small letters.
const ABSOLUTES: &[&str] = &[
    "any",
    "all",
    "never",
    "always",
    "guarantee",
    "guarantees",
    "guaranteed",
    "eliminate",
    "eliminates",
    "eliminated",
    "eliminating",
    "100%",
    "completely",
    "forever",
    "every",
    "no more",
    "prevents all",
    "totally",
    "garantiert",
    "immer",
    "nie",
    "niemals",
    "jeden",
    "jeder",
    "jedem",
    "vollständig",
];

/// Outcomes, in small letters: beginnings of words or phrases.
const OUTCOMES: &[&str] = &[
    "clear water",
    "crystal",
    "crystal-clear",
    "algae",
    "algal",
    "fish kill",
    "fish kills",
    "fish loss",
    "fish losses",
    "winterkill",
    "winter kill",
    "ice-free",
    "ice free",
    "free of ice",
    "odor",
    "odour",
    "odors",
    "odours",
    "muck",
    "sludge",
    "mosquito",
    "weeds",
    "any pond",
    "every pond",
    "any size pond",
    "any depth",
    "any lake",
    "weed growth",
    "healthy pond",
    "healthy fish",
    "klares wasser",
    "algen",
    "fischsterben",
    "eisfrei",
    "jeden teich",
    "jedem teich",
    "geruch",
    "schlamm",
];

/// Outcomes that are absolute by themselves.
const WHOLE: &[&str] = &[
    "any pond",
    "every pond",
    "any size pond",
    "any depth",
    "any lake",
    "jeden teich",
    "jedem teich",
];

/// What a sentence speaks of that is a running time, a warranty or a count, and no outcome.
const NOT_ABOUT: &[&str] = &[
    "warranty",
    "warranties",
    "garantie",
    "money back",
    "money-back",
    "satisfaction",
];

/// Speaks of each sentence once.
pub fn speak(page: &Page, findings: &mut Vec<Finding>) {
    for passage in &page.sheet.passages {
        // What somebody else is quoted with isn't the seller's promise.
        if passage.role == Role::Quote {
            continue;
        }
        for sentence in sentences(&passage.text) {
            let text = passage.text[sentence.clone()].to_lowercase();
            if NOT_ABOUT.iter().any(|word| contains(&text, word).is_some()) {
                continue;
            }
            let Some(outcome) = OUTCOMES.iter().find(|word| contains(&text, word).is_some()) else {
                continue;
            };
            let whole = WHOLE
                .iter()
                .find_map(|word| contains(&text, word).map(|at| (*word, at)));
            let absolute = ABSOLUTES.iter().find_map(|word| {
                let at = contains(&text, word)?;
                (!is_negated(&text, at)).then_some((*word, at))
            });
            let Some((word, at)) = whole.or(absolute) else {
                continue;
            };
            // A change of case may change the length of a letter; then the sentence is pointed at.
            let same = text.len() == sentence.len();
            let place = if same {
                sentence.start + at..sentence.start + at + word.len()
            } else {
                sentence.clone()
            };
            let outcome = if whole.is_some() { word } else { outcome };
            findings.push(finding(page, passage, place, word, outcome));
        }
    }
}

fn finding(
    page: &Page,
    passage: &Passage,
    place: std::ops::Range<usize>,
    word: &str,
    outcome: &str,
) -> Finding {
    let source = passage.source(place);
    let at = Span::new(page.file, source.start, source.end);
    let message = if word == outcome {
        format!("\"{word}\" has no exception, and every machine has ponds it can't serve.")
    } else {
        format!(
            "\"{word}\" leaves no exception, and about \"{outcome}\" aeration gives no certainty."
        )
    };
    Finding::new(&ABSOLUTE, at, message)
        .mend("Say what it does and up to which size and depth; call the rest a help.")
}

/// `not all`, `no guarantee`: said with an exception.
fn is_negated(text: &str, at: usize) -> bool {
    let before: Vec<&str> = text[..at].split_whitespace().rev().take(3).collect();
    let negations = [
        "not", "no", "can't", "cannot", "doesn't", "don't", "won't", "without", "nicht", "keine",
        "kein", "isn't", "aren't",
    ];
    before.iter().any(|word| negations.contains(word))
}

/// The place of a word or phrase that begins and ends at the borders of words.
fn contains(text: &str, word: &str) -> Option<usize> {
    text.match_indices(word).map(|(at, _)| at).find(|&at| {
        let before = text[..at].chars().next_back();
        let after = text[at + word.len()..].chars().next();
        let inside = |c: Option<char>| c.is_some_and(|c| c.is_alphanumeric());
        !inside(before) && !inside(after)
    })
}

/// The sentences of a passage.
fn sentences(text: &str) -> Vec<std::ops::Range<usize>> {
    let mut all = Vec::new();
    let mut from = 0;
    let bytes = text.as_bytes();
    for (at, c) in text.char_indices() {
        let ends = match c {
            '!' | '?' | '\n' => true,
            // A point between digits, or one of an abbreviation such as `approx. 2`, ends nothing.
            '.' => bytes
                .get(at + 1)
                .is_none_or(|next| next.is_ascii_whitespace()),
            _ => false,
        };
        if ends {
            all.push(from..at + c.len_utf8());
            from = at + c.len_utf8();
        }
    }
    if from < text.len() {
        all.push(from..text.len());
    }
    all
}
