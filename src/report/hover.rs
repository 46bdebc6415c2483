//! What stands at a place of a text, as Markdown: a promise with its grade and evidence, a quantity in other units.

use crate::answers::convert::{Converted, Place};
use crate::claims::Verdict;

use super::figures::Reader;
use super::promise::Promise;

/// Evidence listed of a promise. More is in a report.
const MOST: usize = 12;

/// A promise: its grade, what is rated and possible, and what that rests on.
pub fn promise(verdict: &Verdict) -> String {
    let row = Promise::of(verdict).in_full(verdict);
    let mut text = format!("**{}** {}: **{}**\n", row.claim, row.stated, row.grade);
    let gives = row.gives();
    if !gives.is_empty() {
        text.push_str(&format!("\n{gives}\n"));
    }
    if verdict.evidence.is_empty() {
        return text;
    }
    let reader = Reader::of_verdict(verdict);
    text.push_str("\nFigures:\n\n");
    for one in verdict.evidence.iter().take(MOST) {
        let value = reader.value(&one.value);
        text.push_str(&format!(
            "- {}: {value} ({}; {})\n",
            one.name, one.source, one.mark
        ));
    }
    if let more @ 1.. = verdict.evidence.len().saturating_sub(MOST) {
        text.push_str(&format!(
            "- and {more} more in `nameplate audit --verbose`\n"
        ));
    }
    text
}

/// A quantity in other units; with where air is drawn in where that counts.
pub fn units(written: &str, all: &[Converted], at: &Place) -> String {
    let mut text = format!("**{written}** is\n\n");
    for one in all {
        for row in &one.rows {
            text.push_str(&format!(
                "- {}\n",
                super::answers::convert::line(one, row, at).trim_end()
            ));
        }
    }
    text
}
