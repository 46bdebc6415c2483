//! A line for each finding, in the form that compilers use, so that editors and hooks know the place:
//! `FILE:LINE:COLUMN: LEVEL RULE: MESSAGE`.

use std::collections::BTreeMap;

use crate::engine::Outcome;
use crate::finding::{Finding, Level, fingerprints};

use super::super::told;
use super::theme::{Role, Theme};
use super::{Look, clean};

/// Every finding that counts and is at `least` or above, and the counts on a line.
pub fn render(outcome: &Outcome, least: Level, look: Look) -> String {
    let shown = outcome.findings.iter();
    let shown = shown.filter(|one| one.counts() && one.level >= least);
    let lines = shown.map(|finding| line(outcome, finding, look));
    let mut text: String = lines.collect();
    text.push_str(&counts(outcome, look));
    text
}

/// What is new since `before` and what is gone, a line for each, and the counts; nothing where neither is. The lines
/// of now are put in the place of those before.
pub fn news(outcome: &Outcome, before: &mut Lines, look: Look) -> Option<String> {
    let now = Lines::of(outcome, look);
    let lacks = |all: &Lines, word: &str, other: &Lines| -> String {
        let lines = all
            .0
            .iter()
            .filter(|(known, _)| !other.0.contains_key(*known));
        lines.map(|(_, line)| format!("{word}: {line}")).collect()
    };
    let mut text = lacks(&now, "new", before);
    text.push_str(&lacks(before, "gone", &now));
    *before = now;
    (!text.is_empty()).then(|| text + &counts(outcome, look))
}

/// The line of each finding that counts, by what it is known by.
#[derive(Debug, Default)]
pub struct Lines(BTreeMap<String, String>);

impl Lines {
    /// Of a run.
    pub fn of(outcome: &Outcome, look: Look) -> Lines {
        let known = fingerprints(&outcome.findings);
        let all = outcome.findings.iter().zip(known);
        let counting = all.filter(|(finding, _)| finding.counts());
        // A finding that grew more severe is another one.
        let line = |(finding, known): (&Finding, String)| {
            (
                format!("{known} {}", finding.level),
                line(outcome, finding, look),
            )
        };
        Lines(counting.map(line).collect())
    }
}

fn one_line(words: &str, look: Look) -> String {
    let words: Vec<&str> = words.split_whitespace().collect();
    clean::clean(&words.join(" "), !look.unicode).into_owned()
}

fn theme(look: Look) -> Theme {
    Theme {
        color: look.color,
        unicode: look.unicode,
    }
}

fn counts(outcome: &Outcome, look: Look) -> String {
    let counts = one_line(&told::summary(outcome), look);
    theme(look).paint(Role::Strong, &counts) + "\n"
}

fn line(outcome: &Outcome, finding: &Finding, look: Look) -> String {
    let sources = &outcome.sources;
    let source = sources.get(finding.at.file);
    // A file of pages has none but a first line.
    let (place, page) = match sources.page(finding.at) {
        Some(page) => ("1:1".into(), format!(" (page {page})")),
        None => {
            let at = source.position(finding.at.start as usize);
            (format!("{}:{}", at.line, at.column), String::new())
        }
    };
    let level = theme(look).paint(Role::Level(finding.level), finding.level.as_str());
    let place = clean::clean(source.name(), !look.unicode).into_owned() + ":" + &place;
    let says = format!("{}: {}{page}", finding.rule.name, finding.message);
    format!("{place}: {level} {}\n", one_line(&says, look))
}

/// How many findings each rule has, the most first.
pub fn statistics(outcome: &Outcome) -> String {
    let mut counts: BTreeMap<(&str, Level), usize> = BTreeMap::new();
    for finding in outcome.findings.iter().filter(|one| one.counts()) {
        *counts
            .entry((finding.rule.name, finding.level))
            .or_default() += 1;
    }
    let mut rows: Vec<((&str, Level), usize)> = counts.into_iter().collect();
    rows.sort_by_key(|&((rule, level), count)| (std::cmp::Reverse((level, count)), rule));
    let row = |((rule, level), count): ((&str, Level), usize)| {
        format!("{count:>7} {:<7} {rule}\n", level.as_str())
    };
    rows.into_iter().map(row).collect()
}
