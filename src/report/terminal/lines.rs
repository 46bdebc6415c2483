//! A line for each finding, in the form that compilers use, so that editors and hooks know the place:
//! `FILE:LINE:COLUMN: LEVEL RULE: MESSAGE`.

use std::collections::BTreeMap;

use crate::engine::Outcome;
use crate::finding::Level;

use super::super::told;
use super::theme::{Role, Theme};
use super::{Look, clean};

/// Every finding that counts and is at `least` or above, and the counts on a line.
pub fn render(outcome: &Outcome, least: Level, look: Look) -> String {
    let sources = &outcome.sources;
    let theme = Theme {
        color: look.color,
        unicode: look.unicode,
    };
    let one_line = |words: &str| {
        let words: Vec<&str> = words.split_whitespace().collect();
        clean::clean(&words.join(" "), !look.unicode).into_owned()
    };
    let mut text = String::new();
    let shown = outcome.findings.iter();
    for finding in shown.filter(|one| one.counts() && one.level >= least) {
        let source = sources.get(finding.at.file);
        // A file of pages has none but a first line.
        let (place, page) = match sources.page(finding.at) {
            Some(page) => ("1:1".into(), format!(" (page {page})")),
            None => {
                let at = source.position(finding.at.start as usize);
                (format!("{}:{}", at.line, at.column), String::new())
            }
        };
        let level = theme.paint(Role::Level(finding.level), finding.level.as_str());
        let place = clean::clean(source.name(), !look.unicode).into_owned() + ":" + &place;
        let says = one_line(&format!("{}: {}{page}", finding.rule.name, finding.message));
        text.push_str(&format!("{place}: {level} {says}\n"));
    }
    let counts = theme.paint(Role::Strong, &one_line(&told::summary(outcome)));
    text.push_str(&counts);
    text.push('\n');
    text
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
