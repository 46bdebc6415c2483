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

/// A line for each finding and one that counts, ending with a line feed.
pub fn render(outcome: &Outcome) -> String {
    let mut text = String::new();
    for finding in &outcome.findings {
        text.push_str(&command(finding, &outcome.sources));
        text.push('\n');
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
