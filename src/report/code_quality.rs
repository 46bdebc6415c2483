//! A list of issues as JSON, which a forge holds against the list of the target branch: the part of the open
//! analyser format that the forge reads (`description`, `check_name`, `fingerprint`, `severity`, `location`).
//!
//! Source of the form: "Code Quality report format", the public documentation of the forge that reads it (from
//! memory). The fingerprint is ours, so that moved lines make no new issue.

use serde::Serialize;

use crate::engine::Outcome;
use crate::finding::{Finding, Level, fingerprints};
use crate::text::Sources;

use super::terminal::safe;
use super::{json_text, told};

/// The whole list, ending with a line feed.
pub fn render(outcome: &Outcome) -> String {
    let prints = fingerprints(&outcome.findings);
    let issues: Vec<Issue> = outcome
        .findings
        .iter()
        .zip(prints)
        .map(|(finding, print)| issue(finding, print, &outcome.sources))
        .collect();
    json_text(&issues)
}

#[derive(Serialize)]
struct Issue {
    description: String,
    check_name: &'static str,
    fingerprint: String,
    severity: &'static str,
    location: Location,
}

#[derive(Serialize)]
struct Location {
    path: String,
    lines: Lines,
}

#[derive(Serialize)]
struct Lines {
    begin: usize,
    end: usize,
}

/// What is waived, or was told by an earlier run, is there for information.
fn severity(finding: &Finding) -> &'static str {
    match finding.level {
        _ if !finding.counts() => "info",
        Level::Error => "critical",
        Level::Warning => "major",
        Level::Note => "info",
    }
}

fn issue(finding: &Finding, print: String, sources: &Sources) -> Issue {
    let source = sources.get(finding.at.file);
    let begin = source.position(finding.at.start as usize).line;
    let page = sources.page(finding.at);
    let sentences = safe(&told::sentences(finding)).into_owned();
    Issue {
        description: match page {
            Some(page) => format!("Page {page}: {sentences}"),
            None => sentences,
        },
        check_name: finding.rule.name,
        fingerprint: print,
        severity: severity(finding),
        location: Location {
            path: source.name().to_string(),
            // The form wants lines; a file of pages has none but the first.
            lines: if page.is_some() {
                Lines { begin: 1, end: 1 }
            } else {
                Lines {
                    begin,
                    end: source.position(finding.at.end as usize).line.max(begin),
                }
            },
        },
    }
}
