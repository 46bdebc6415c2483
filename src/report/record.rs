//! A record of verdicts, made to be committed: a line of JSON for each claim, in a stable order.

use std::sync::LazyLock;

use jsonschema::Validator;
use serde::{Deserialize, Serialize};
use serde_json::Value;

use crate::engine::Recorded;

/// The format's name and version.
pub const FORMAT: &str = "nameplate-record/1";

/// The JSON Schema of a line.
pub const SCHEMA: &str = include_str!("../../schemas/record.schema.json");

/// The schema of a line, ready to hold lines to it.
static VALIDATOR: LazyLock<Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(SCHEMA).unwrap_or_default();
    jsonschema::validator_for(&schema)
        .unwrap_or_else(|error| panic!("the schema of a record: {error}"))
});

/// The longest record that is read, lines: a hundred times the largest catalog anybody has.
const MOST_LINES: usize = 1_000_000;

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Line {
    format: String,
    catalog: String,
    package: String,
    option: Option<String>,
    claim: String,
    stated: String,
    verdict: String,
    within_rating: Option<bool>,
    weakest_mark: Option<String>,
    facts: String,
    program: String,
    rulebook: String,
}

/// The record, a line for each verdict.
pub fn render(lines: &[Recorded]) -> String {
    let mut text = String::new();
    for line in lines {
        let line = Line {
            format: FORMAT.into(),
            catalog: line.catalog.clone(),
            package: line.package.clone(),
            option: line.option.clone(),
            claim: line.claim.clone(),
            stated: line.stated.clone(),
            verdict: line.verdict.clone(),
            within_rating: line.within_rating,
            weakest_mark: Some(line.weakest_mark.clone()).filter(|mark| !mark.is_empty()),
            facts: line.facts.clone(),
            program: line.program.clone(),
            rulebook: line.rulebook.clone(),
        };
        // Strings and numbers always serialise.
        text.push_str(&serde_json::to_string(&line).unwrap_or_default());
        text.push('\n');
    }
    text
}

/// Reads a record.
///
/// # Errors
/// A line isn't one of a record; the sentence says which.
pub fn read(text: &str) -> Result<Vec<Recorded>, String> {
    let lines = text.lines().enumerate();
    let mut all = Vec::new();
    for (number, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let place = number + 1;
        if number >= MOST_LINES {
            return Err(format!("it has more than {MOST_LINES} lines"));
        }
        if ["<<<<<<<", "=======", ">>>>>>>", "|||||||"]
            .iter()
            .any(|mark| line.starts_with(mark))
        {
            return Err(format!(
                "line {place} is the mark of a merge that didn't settle: keep the lines of one side, and audit again"
            ));
        }
        let refused = || format!("line {place} isn't a line of a record of verdicts");
        let value: Value = serde_json::from_str(line).map_err(|_| refused())?;
        if value.get("format").is_some_and(|format| format != FORMAT) {
            return Err(format!("line {place} isn't of the format {FORMAT}"));
        }
        if !VALIDATOR.is_valid(&value) {
            return Err(refused());
        }
        let line: Line = serde_json::from_value(value).map_err(|_| refused())?;
        all.push(Recorded {
            catalog: line.catalog,
            package: line.package,
            option: line.option,
            claim: line.claim,
            stated: line.stated,
            verdict: line.verdict,
            within_rating: line.within_rating,
            weakest_mark: line.weakest_mark.unwrap_or_default(),
            facts: line.facts,
            program: line.program,
            rulebook: line.rulebook,
        });
    }
    Ok(all)
}
