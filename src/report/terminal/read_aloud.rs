//! The terminal report for the ear: one sentence after another, each on a line of its own.
//!
//! Nothing depends on columns, lines, colours or signs, which a screen reader spells out or passes over. It
//! tells what the other report tells, in the same order and detail.

use std::borrow::Cow;

use crate::claims::Verdict;
use crate::engine::{Audited, Named, Outcome};
use crate::finding::{Finding, Level, State, capital};
use crate::text::Sources;

use super::super::basis::{self, Basis};
use super::super::figures::Reader;
use super::super::order::{self, Index, by_catalog};
use super::super::promise::{Promise, word};
use super::super::told;
use super::{Detail, Look, PHYSICS, clean};

/// The whole report, ending with a line feed.
pub fn render(outcome: &Outcome, look: Look) -> String {
    let mut speech = Speech {
        look,
        sources: &outcome.sources,
        text: String::new(),
    };
    speech.say(told::answer(outcome).trim_end_matches('.'));
    for (catalog, findings) in outcome.catalogs.iter().zip(by_catalog(outcome)) {
        let verdicts = &outcome.verdicts[catalog.verdicts.clone()];
        speech.findings(catalog, verdicts, &findings);
        if !look.detail.is_lines() {
            speech.grades(catalog, verdicts);
        }
    }
    if let Some(asks) = &outcome.asks {
        speech.say("What to ask for");
        if asks.is_empty() {
            speech.say("Nothing: every promise is settled, one way or the other");
        }
        for ask in asks {
            let what = capital(&ask.what);
            speech.say(&format!(
                "From {}: {what}{}",
                ask.of.words(),
                super::ask::about(ask)
            ));
            for verdict in ask
                .settles
                .iter()
                .filter_map(|&at| outcome.verdicts.get(at))
            {
                speech.say(&super::ask::settles(verdict));
            }
        }
    }
    let gone = outcome.gone.iter().flatten();
    for one in gone.filter(|_| !look.detail.is_lines()) {
        let (level, rule) = (one.level, &one.rule);
        let file = one.file.as_deref().unwrap_or("no file");
        let line = one
            .line
            .map_or(String::new(), |line| format!(", line {line}"));
        speech.say(&format!(
            "Gone since the baseline, {level} of {rule} in {file}{line}: {}",
            one.message
        ));
    }
    let changes = outcome.record.iter().flat_map(|kept| &kept.changes);
    for change in changes.filter(|_| !look.detail.is_lines()) {
        speech.say(&format!(
            "Changed since the record: {}",
            told::change(change)
        ));
    }
    if let Some(fixes) = told::fixes(outcome) {
        speech.say(&fixes);
    }
    speech.say(&told::summary(outcome));
    speech.text
}

struct Speech<'a> {
    look: Look,
    sources: &'a Sources,
    text: String,
}

impl Speech<'_> {
    /// A sentence on a line of its own. A terminal breaks it where it likes; a listener doesn't hear that.
    fn say(&mut self, sentence: &str) {
        let sentence = self.safe(sentence);
        let words: Vec<&str> = sentence
            .split(' ')
            .filter(|word| !word.is_empty())
            .collect();
        let sentence = words.join(" ");
        let end = if sentence.ends_with(['.', '!', '?', ':']) {
            ""
        } else {
            "."
        };
        let line = format!("{sentence}{end}\n");
        self.text.push_str(&line);
    }

    fn safe<'t>(&self, text: &'t str) -> Cow<'t, str> {
        clean::clean(text, !self.look.unicode)
    }

    fn grades(&mut self, catalog: &Audited, verdicts: &[Verdict]) {
        let name = &catalog.name;
        match &catalog.title {
            _ if catalog.is_sheet => self.say(&format!("Spec sheet {name}")),
            Some(title) => self.say(&format!("Catalog {title}, in {name}")),
            None => self.say(&format!("Catalog in {name}")),
        }
        for remark in &catalog.remarks {
            self.say(remark.trim_end_matches('.'));
        }
        for package in catalog.packages() {
            let id = package.on.trim_start_matches("package.");
            let own: Vec<&Verdict> = verdicts.iter().filter(|one| one.package == id).collect();
            let has = match own.len() {
                0 => "has no promise that can be read".to_string(),
                count => format!("makes {}", told::count(count, "promise", "promises")),
            };
            self.say(&format!("Package {} {has}", called(id, package)));
            for verdict in own {
                self.promise(verdict);
            }
        }
    }

    fn promise(&mut self, verdict: &Verdict) {
        let promise = Promise::of(verdict);
        let claim = capital(&promise.claim.replace('-', " "));
        let (stated, grade, gives) = (&promise.stated, promise.grade, promise.gives());
        let told = if gives.is_empty() {
            String::new()
        } else {
            format!(". {}", capital(&gives))
        };
        self.say(&format!("{claim} {stated}: {grade}{told}"));
        if self.look.detail == Detail::All {
            for one in &verdict.ways {
                self.say(&format!("With {}: {}", one.way, word(one.outcome)));
            }
        }
    }

    fn findings(&mut self, catalog: &Audited, verdicts: &[Verdict], findings: &[&Finding]) {
        let index = Index::of(catalog, verdicts);
        let shown = findings
            .iter()
            .copied()
            .filter(|finding| match self.look.detail {
                Detail::Lines(least) => finding.level >= least && finding.counts(),
                _ => true,
            });
        let shown: Vec<&Finding> = shown.collect();
        for (on, findings) in order::by_subject(shown, self.sources) {
            let about = order::heading(on);
            let many = told::count(findings.len(), "finding", "findings");
            self.say(&format!("About {about}, {many}"));
            for finding in findings {
                self.finding(finding, index.reader(finding));
            }
        }
    }

    fn finding(&mut self, finding: &Finding, reader: Reader) {
        let level = match finding.waived {
            Some(_) => "Waived",
            None => match finding.level {
                Level::Error => "Error",
                Level::Warning => "Warning",
                Level::Note => "Note",
            },
        };
        self.say(&format!("{level}: {}", finding.message));
        if let Some(waived) = &finding.waived {
            self.say(&told::waiver(waived));
        }
        if let Some(state) = finding.state {
            self.say(told::since(state));
        }
        let all = self.look.detail == Detail::All;
        let is_told = finding.state == Some(State::Unchanged);
        let is_small = finding.level == Level::Note || finding.waived.is_some() || is_told;
        if all || !is_small {
            let fix = told::fix(finding);
            if !fix.is_empty() {
                self.say(&format!("Fix: {fix}"));
            }
            let lines = basis::lines(&finding.evidence, reader, self.sources);
            // One line more is as short as saying that there is one more.
            let most = if all || lines.len() <= PHYSICS + 1 {
                lines.len()
            } else {
                PHYSICS
            };
            for line in &lines[..most] {
                self.say(&physics(line));
            }
            if lines.len() > most {
                let more = lines.len() - most;
                self.say(&format!(
                    "{} with --verbose",
                    told::count(more, "more figure", "more figures")
                ));
            }
            for related in &finding.related {
                let name = self.sources.get(related.at.file).name();
                let (line, says) = (told::line(self.sources, related.at), &related.says);
                self.say(&format!("See also {name}, {line}: {says}"));
            }
        }
        let place = told::place(finding, self.sources);
        let rule = told::rule(finding);
        let written = self.sources.slice(finding.at).lines().next();
        let written = written.map_or("", str::trim);
        let written: String = written.chars().take(super::WIDEST).collect();
        self.say(&match (written.as_str(), all || !is_small) {
            ("", _) | (_, false) => format!("Place: {place}, by the rule {rule}"),
            (written, true) => {
                format!("Place: {place}, by the rule {rule}; the file has {written}")
            }
        });
    }
}

/// A package by its ID and title.
fn called(id: &str, package: &Named) -> String {
    match &package.title {
        Some(title) => format!("{id}, {title},"),
        None => id.to_string(),
    }
}

/// What a finding rests on, as a sentence.
fn physics(line: &Basis) -> String {
    let figures = match line.figures.as_slice() {
        [first, rest @ ..] if rest.iter().all(|one| one == first) => first.clone(),
        [lowest, highest] => format!("from {lowest} to {highest}"),
        [lowest, typical, highest] => {
            format!("lowest {lowest}, typical {typical}, highest {highest}")
        }
        others => others.join(", "),
    };
    let limit = line.limit.as_ref();
    let limit = limit.map_or(String::new(), |limit| format!(", {limit}"));
    let name = capital(&line.name);
    format!("{name}: {figures}{limit}; source: {}", line.ground)
}
