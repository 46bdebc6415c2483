//! One file for each format. A renderer neither filters nor sorts nor computes: every format shows
//! the same findings.
//!
//! - [`terminal`]: for people;
//! - [`json`]: for programs, in SI;
//! - [`sarif`]: for code-scanning tools;
//! - [`rulebook`]: the rules, as Markdown;
//! - [`assumptions`]: the ranges, as Markdown;
//! - [`desk`]: the pages that `nameplate desk` serves;
//! - [`diff`]: a text before and after an amendment;
//! - [`answers`]: what `duty`, `limits`, `sweep` and `gauge` say, for people and for programs;
//! - [`record`]: verdicts to be committed;
//! - [`revision`]: what differs between two states of a catalog;
//! - [`html`]: for reviewers, pages with pictures;
//! - [`junit`]: for pipelines that show test results;
//! - [`markdown`]: for a comment on a change;
//! - [`workflow_commands`], [`code_quality`]: for forges that show findings beside the lines of a change;
//! - [`intake`]: what became of the rows of tables;
//! - [`mod@sheet`]: a spec sheet to be printed;
//! - [`feed`]: a catalog as one table;
//! - [`units`]: the table of units.
//!
//! What several formats for people share: [`order`], [`promise`], [`basis`], [`told`] and [`figures`].

pub mod answers;
pub mod assumptions;
mod basis;
pub mod code_quality;
pub mod desk;
pub mod diff;
mod figures;
pub mod feed;
pub mod hover;
pub mod html;
pub mod intake;
pub mod json;
pub mod junit;
pub mod markdown;
mod order;
mod promise;
mod read_as;
pub mod pond;
pub mod record;
pub mod revision;
mod rule_text;
pub mod rulebook;
pub mod sarif;
pub mod sheet;
pub mod terminal;
mod told;

pub use told::{count, fix, summary};
pub mod units;
pub mod workflow_commands;

use crate::engine;

/// Whether a file is a report of this program, of whatever format.
pub fn is_own(path: &str, bytes: &[u8]) -> bool {
    const MARKS: [&str; 6] = [
        "\"format\": \"nameplate-audit/",
        "\"fullName\": \"nameplate ",
        "<testsuites name=\"nameplate",
        "\"check_name\": ",
        "::error file=",
        "::notice file=",
    ];
    let has = |mark: &str| memchr::memmem::find(bytes, mark.as_bytes()).is_some();
    engine::is_own_report(path, bytes) || MARKS.into_iter().any(has)
}

/// `rows` as JSON, ending with a line feed.
fn json_text(rows: &impl serde::Serialize) -> String {
    // Rows of plain strings and finite numbers always serialise.
    let mut text = serde_json::to_string_pretty(rows).unwrap_or_default();
    text.push('\n');
    text
}
