//! Findings as diagnostics.

use std::collections::{BTreeMap, HashMap};

use serde_json::{Value, json};

use crate::engine::Outcome;
use crate::finding::{Finding, Level};
use crate::report;
use crate::text::{FileId, Span};

use super::lines::{Encoding, Lines};
use super::{Open, uri};

/// Findings told of one file. Whoever mends them sees the next.
const MOST: usize = 1000;

/// The diagnostics of each file that has some.
pub(super) fn by_file(
    outcome: &Outcome,
    open: &BTreeMap<String, Open>,
    encoding: Encoding,
) -> BTreeMap<String, Value> {
    let mut lines = AllLines {
        outcome,
        encoding,
        of: HashMap::new(),
    };
    let mut all: BTreeMap<String, Vec<Value>> = BTreeMap::new();
    for finding in outcome.findings.iter().filter(|one| one.waived.is_none()) {
        let path = outcome.sources.get(finding.at.file).name();
        let own = match all.get_mut(path) {
            Some(own) => own,
            None => all.entry(path.to_string()).or_default(),
        };
        if own.len() < MOST {
            own.push(diagnostic(finding, &mut lines, open));
        }
    }
    all.into_iter()
        .map(|(path, list)| (path, Value::Array(list)))
        .collect()
}

/// The lines of files, found once.
struct AllLines<'o> {
    outcome: &'o Outcome,
    encoding: Encoding,
    of: HashMap<FileId, Lines<'o>>,
}

impl AllLines<'_> {
    fn range(&mut self, at: Span) -> Value {
        let source = self.outcome.sources.get(at.file);
        // The letters of a page are none of its file's.
        if source.pages().is_some() {
            return Lines::of("", self.encoding).range(0..0);
        }
        let encoding = self.encoding;
        let lines = self.of.entry(at.file);
        lines
            .or_insert_with(|| Lines::of(source.text(), encoding))
            .range(at.range())
    }
}

fn diagnostic(finding: &Finding, lines: &mut AllLines, open: &BTreeMap<String, Open>) -> Value {
    let sources = &lines.outcome.sources;
    let mut message = finding.message.clone();
    if let Some(page) = sources.page(finding.at) {
        message.insert_str(0, &format!("Page {page}: "));
    }
    let fix = report::fix(finding);
    if !fix.is_empty() {
        message.push_str(&format!("\nFix: {fix}"));
    }
    let related: Vec<Value> = finding
        .related
        .iter()
        .map(|one| {
            let uri = uri::shown(sources.get(one.at.file).name(), open);
            let location = json!({ "uri": uri, "range": lines.range(one.at) });
            json!({ "location": location, "message": one.says })
        })
        .collect();
    json!({
        "range": lines.range(finding.at),
        "severity": severity(finding.level),
        "code": finding.rule.name,
        "source": "nameplate",
        "message": message,
        "relatedInformation": related,
    })
}

/// The protocol's number for a level: a note is information.
fn severity(level: Level) -> u8 {
    match level {
        Level::Error => 1,
        Level::Warning => 2,
        Level::Note => 3,
    }
}
