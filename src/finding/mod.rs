//! What a run finds: levels, places, evidence, corrections, and what a rule's record is.
//!
//! A [`Finding`] is one result of one rule at exactly one place; related places may lie in
//! other texts. No rule is here, and nothing of how a finding is shown.

mod fingerprint;

use std::borrow::Cow;

use crate::text::Span;
use crate::units::{Dimension, Mark};

pub use fingerprint::{Identity, fingerprints, kind_hash, one_writing};

/// How grave a finding is. The words are SARIF's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Level {
    /// Worth knowing.
    Note,
    /// Should be looked at.
    Warning,
    /// A figure that can't stand.
    Error,
}

impl Level {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Level::Note => "note",
            Level::Warning => "warning",
            Level::Error => "error",
        }
    }

    /// The level of that word.
    pub fn parse(word: &str) -> Option<Level> {
        [Level::Note, Level::Warning, Level::Error]
            .into_iter()
            .find(|level| level.as_str() == word)
    }
}

impl std::fmt::Display for Level {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

/// What a finding is to the earlier run. The words of a report are SARIF's.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum State {
    /// It wasn't there.
    New,
    /// It was there at the same level.
    Unchanged,
    /// It was there at a lower level, or a waiver accepted it and none does now.
    Graver,
    /// It was there at a higher level, or a waiver accepts it now.
    Milder,
}

impl State {
    /// SARIF's word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            State::New => "new",
            State::Unchanged => "unchanged",
            State::Graver | State::Milder => "updated",
        }
    }

    /// Whether somebody has to look: what the earlier run held already is no news.
    pub fn is_news(self) -> bool {
        matches!(self, State::New | State::Graver)
    }
}

/// Rules that had another name, before and now. Waivers, levels and baselines with the old one stay valid.
const RENAMED: &[(&str, &str)] = &[("duty.flooded", "duty.above-range")];

/// The name that a rule has now, given that or the one before.
pub fn name_now(name: &str) -> &str {
    let renamed = RENAMED.iter().find(|(before, _)| *before == name);
    renamed.map_or(name, |(_, now)| now)
}

/// The name that a rule had before, if it had another.
pub fn name_before(name: &str) -> Option<&'static str> {
    let renamed = RENAMED.iter().find(|(_, now)| *now == name);
    renamed.map(|(before, _)| *before)
}

/// A rule's record. Its page stands beside the family's code.
#[derive(Debug, PartialEq, Eq)]
pub struct Rule {
    /// `family.subject`, as every format shows it.
    pub name: &'static str,
    /// The highest level it speaks at unless a catalog says otherwise.
    pub level: Level,
    /// When it speaks, in one line.
    pub speaks: &'static str,
}

impl Rule {
    /// The part before the first dot.
    pub fn family(&self) -> &'static str {
        self.name.split('.').next().unwrap_or(self.name)
    }
}

/// One number or word a finding rests on.
#[derive(Debug, Clone, PartialEq)]
pub struct Evidence {
    /// What it is.
    pub name: Cow<'static, str>,
    /// The number or words.
    pub value: Value,
    /// Where it comes from: an equation's source, a range's, or the catalog.
    pub source: Cow<'static, str>,
    /// How it is known.
    pub mark: Mark,
    /// Where it stands, if it stands in a text.
    pub place: Option<Span>,
}

/// What a piece of evidence says.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// A quantity in SI base units of its dimension.
    Quantity(f64, Dimension),
    /// A number in a unit of its own, such as an assumption's; the unit may be empty.
    Number(f64, Cow<'static, str>),
    /// Words.
    Words(Cow<'static, str>),
}

impl Evidence {
    /// The source of what a page keeps silent on and was taken as it favours a promise.
    pub const ASSUMED: &str = "assumed, because the page doesn't say";

    /// Whether nobody states it.
    pub fn is_assumed(&self) -> bool {
        self.source == Self::ASSUMED
    }

    /// A fact that a page keeps silent on.
    pub fn assumed(name: &'static str) -> Evidence {
        Evidence {
            name: name.into(),
            value: Value::Words("as it favours the promise".into()),
            source: Self::ASSUMED.into(),
            mark: Mark::Judgement,
            place: None,
        }
    }

    /// A fact that stands in the catalog at `place`.
    pub fn stated(
        name: impl Into<Cow<'static, str>>,
        value: Value,
        place: Option<Span>,
    ) -> Evidence {
        Evidence {
            name: name.into(),
            value,
            source: "the catalog".into(),
            mark: Mark::Stated,
            place,
        }
    }

    /// A figure the engine worked out from `source`.
    pub fn derived(
        name: impl Into<Cow<'static, str>>,
        value: Value,
        source: impl Into<Cow<'static, str>>,
        mark: Mark,
    ) -> Evidence {
        Evidence {
            name: name.into(),
            value,
            source: source.into(),
            mark,
            place: None,
        }
    }
}

/// A place beside the primary one, and what stands there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Related {
    /// The place.
    pub at: Span,
    /// What it has to do with the finding.
    pub says: String,
}

/// One replacement of bytes.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Edit {
    /// What is replaced; empty to insert.
    pub at: Span,
    /// What stands there afterwards.
    pub with: String,
}

/// A way to mend what was found.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Correction {
    /// What it does, in the imperative: `write 2.99 kPa`.
    pub says: String,
    /// Sure: the meaning can't change. Otherwise a person decides.
    pub sure: bool,
    /// The replacements, in order and apart.
    pub edits: Vec<Edit>,
}

/// One result of one rule at one place.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The rule that speaks.
    pub rule: &'static Rule,
    /// How grave it is here.
    pub level: Level,
    /// Whether a promise is contradicted: then no level that is set lowers it, and only a waiver accepts it.
    pub contradicts: bool,
    /// Where it stands.
    pub at: Span,
    /// What it is about, as a waiver names it: `package.mill-pair`, `compressor.linear-38`, `catalog`.
    pub on: String,
    /// What is wrong, in whole sentences.
    pub message: String,
    /// What to do about it, in whole sentences; may be empty.
    pub mend: String,
    /// Other places.
    pub related: Vec<Related>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
    /// A correction, where there is one.
    pub correction: Option<Correction>,
    /// The waiver that accepts it, if one does.
    pub waived: Option<Waived>,
    /// What it is to an earlier run, where the run was held against one.
    pub state: Option<State>,
    /// What it is known by from one run to the next; the engine fills it in.
    pub identity: Identity,
}

/// Why a finding is accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Waived {
    /// The reason.
    pub reason: String,
    /// Who accepted it.
    pub owner: Option<String>,
    /// Last day it holds.
    pub until: Option<String>,
    /// The waiver.
    pub at: Span,
}

/// Characters without a space between them, from which on nobody reads.
const LONGEST_WORD: usize = 100;

/// Characters of a message, from which on it quotes more than it says.
const LONGEST: usize = 1000;
/// So many are kept of the end of a longer one.
const LAST: usize = 200;

/// A sentence whose overlong words and quotations, which some text put there, are cut: what stands at the place is
/// shown there anyway.
fn readable(sentence: String) -> String {
    let sentence = with_short_quotations(with_short_words(sentence));
    let count = match sentence.len() > LONGEST {
        true => sentence.chars().count(),
        false => 0,
    };
    if count <= LONGEST {
        return sentence;
    }
    let start = sentence.chars().take(LONGEST - LAST);
    let end = sentence.chars().skip(count - LAST);
    start.chain(" … ".chars()).chain(end).collect()
}

/// Characters that are quoted of a text in one piece.
const LONGEST_QUOTATION: usize = 200;

/// With quotations cut in their middle: of more nobody reads which file or figure is meant.
fn with_short_quotations(sentence: String) -> String {
    if sentence.len() <= LONGEST_QUOTATION {
        return sentence;
    }
    let mut cut = String::with_capacity(sentence.len());
    let mut rest = sentence.as_str();
    while let Some(opens) = rest.find(['`', '"']) {
        let mark = &rest[opens..=opens];
        let Some(length) = rest[opens + 1..].find(mark) else {
            break;
        };
        let quoted = &rest[opens + 1..][..length];
        cut.push_str(&rest[..=opens]);
        match quoted.chars().count() {
            count if count > LONGEST_QUOTATION => {
                let start = quoted.chars().take(LONGEST_QUOTATION * 3 / 4);
                let end = quoted.chars().skip(count - LONGEST_QUOTATION / 4 + 3);
                cut.extend(start.chain(" … ".chars()).chain(end));
            }
            _ => cut.push_str(quoted),
        }
        cut.push_str(mark);
        rest = &rest[opens + 1 + length + 1..];
    }
    cut + rest
}

fn with_short_words(sentence: String) -> String {
    let is_long = |word: &str| word.chars().nth(LONGEST_WORD).is_some();
    if sentence.len() <= LONGEST_WORD || !sentence.split(' ').any(is_long) {
        return sentence;
    }
    let words: Vec<String> = sentence
        .split(' ')
        .map(|word| {
            if !is_long(word) {
                return word.to_string();
            }
            let start: String = word.chars().take(LONGEST_WORD / 2).collect();
            // A quotation keeps its closing mark.
            let end = if word.contains('`') { "…`" } else { "…" };
            format!("{start}{end}")
        })
        .collect();
    words.join(" ")
}

impl Finding {
    /// A finding of `rule` at its own level.
    pub fn new(rule: &'static Rule, at: Span, message: impl Into<String>) -> Finding {
        Finding {
            rule,
            level: rule.level,
            contradicts: false,
            at,
            on: String::new(),
            message: readable(message.into()),
            mend: String::new(),
            related: Vec::new(),
            evidence: Vec::new(),
            correction: None,
            waived: None,
            state: None,
            identity: Identity::default(),
        }
    }

    /// Whether it counts: no waiver accepts it, and no earlier run held it already.
    pub fn counts(&self) -> bool {
        self.waived.is_none() && self.state.is_none_or(State::is_news)
    }

    /// At a lower level than the rule's own.
    #[must_use]
    pub fn level(mut self, level: Level) -> Finding {
        self.level = level;
        self
    }

    /// About the thing that a waiver would call `on`.
    #[must_use]
    pub fn on(mut self, on: impl Into<String>) -> Finding {
        self.on = on.into();
        self
    }

    /// With what to do about it.
    #[must_use]
    pub fn mend(mut self, mend: impl Into<String>) -> Finding {
        self.mend = readable(mend.into());
        self
    }

    /// With another place.
    #[must_use]
    pub fn related(mut self, at: Span, says: impl Into<String>) -> Finding {
        self.related.push(Related {
            at,
            says: readable(says.into()),
        });
        self
    }

    /// With what it rests on.
    #[must_use]
    pub fn evidence(mut self, evidence: impl IntoIterator<Item = Evidence>) -> Finding {
        self.evidence.extend(evidence);
        self
    }

    /// With a correction that replaces `at` by `with`.
    #[must_use]
    pub fn correct(mut self, sure: bool, at: Span, with: impl Into<String>) -> Finding {
        let with = with.into();
        self.correction = Some(Correction {
            says: if with.is_empty() {
                "take it out".into()
            } else {
                format!("write {with}")
            },
            sure,
            edits: vec![Edit { at, with }],
        });
        self
    }
}

/// `text` as a sentence begins.
pub fn capital(text: &str) -> String {
    let mut chars = text.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_message_quotes_two_hundred_characters_at_most() {
        let told =
            |quoted: &str| readable(format!("There is no part `{quoted}`. The nearest is `b`."));
        let short = "a b ".repeat(50);
        assert!(told(&short).contains(&short));
        let long = told(&format!("first {}last", "a b ".repeat(60)));
        let quoted = long.split('`').nth(1).unwrap();
        assert_eq!(quoted.chars().count(), LONGEST_QUOTATION);
        assert!(
            quoted.starts_with("first ") && quoted.ends_with("last"),
            "{quoted}"
        );
        assert!(long.ends_with("`. The nearest is `b`."));
        let open = format!("one `mark {}", "a ".repeat(200));
        assert_eq!(readable(open.clone()), open);
    }
}
