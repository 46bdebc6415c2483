//! Lines that a forge's runner takes out of a job's log and shows beside the lines of a change:
//! `::error file=…,line=…::message`.
//!
//! Source of the form: "Workflow commands", the public documentation of the forge that reads them; which
//! characters are written as percent signs and two digits is as in its own toolkit (both from memory).

use std::fmt::Write;

use crate::engine::Outcome;
use crate::finding::{Finding, Level};
use crate::text::Sources;

use super::terminal::safe;
use super::told;

/// How many of each word a forge shows of one step (from memory); the others stand in the log alone.
const SHOWN: usize = 10;

/// A line for each finding, the gravest first, what a forge won't show, and the counts, ending with a line feed.
pub fn render(outcome: &Outcome) -> String {
    let mut text = String::new();
    let mut findings: Vec<&Finding> = outcome.findings.iter().collect();
    findings.sort_by_key(|one| std::cmp::Reverse((one.counts(), one.level)));
    let more: usize = ["error", "warning", "notice"]
        .iter()
        .map(|one| {
            findings
                .iter()
                .filter(|finding| word(finding) == *one)
                .count()
        })
        .map(|count| count.saturating_sub(SHOWN))
        .sum();
    for finding in findings {
        text.push_str(&command(finding, &outcome.sources));
        text.push('\n');
    }
    if more > 0 {
        let many = told::count(more, "finding stands", "findings stand");
        let _ = writeln!(
            text,
            "{many} in this log alone: a forge shows {SHOWN} of a kind beside the lines."
        );
    }
    text.push_str(&safe(&told::summary(outcome)));
    text.push('\n');
    text
}

/// What is waived, or was told by an earlier run, is nobody's failure.
fn word(finding: &Finding) -> &'static str {
    match finding.level {
        _ if !finding.counts() => "notice",
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Note => "notice",
    }
}

fn command(finding: &Finding, sources: &Sources) -> String {
    let source = sources.get(finding.at.file);
    let start = source.position(finding.at.start as usize);
    let end = source.position(finding.at.end as usize);
    let mut line = format!("::{} file={}", word(finding), property(source.name()));
    let page = sources.page(finding.at);
    if page.is_none() {
        let _ = write!(line, ",line={}", start.line);
    }
    // Columns are only understood where the place lies in one line. The last one is inside the place.
    if page.is_some() {
        // The words say where.
    } else if end.line == start.line {
        let last = end.column.saturating_sub(1).max(start.column);
        let _ = write!(line, ",col={},endColumn={last}", start.column);
    } else {
        let _ = write!(line, ",endLine={}", end.line);
    }
    let _ = write!(line, ",title={}", property(&told::rule(finding)));
    let page = page.map_or(String::new(), |page| format!("Page {page}: "));
    let _ = write!(line, "::{page}{}", data(&told::sentences(finding)));
    line
}

/// The words of a command.
fn data(text: &str) -> String {
    // Line ends are gone by now, so a catalog can't begin a command of its own.
    safe(text).replace('%', "%25")
}

/// A value before the words, where signs of the form itself are written otherwise too.
fn property(text: &str) -> String {
    data(text).replace(':', "%3A").replace(',', "%2C")
}
