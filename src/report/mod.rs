//! One file for each format. A renderer neither filters nor sorts nor computes: every format shows
//! the same findings.
//!
//! - [`terminal`]: for people;
//! - [`json`]: for programs, in SI;
//! - [`sarif`]: for code-scanning tools;
//! - [`rulebook`]: the rules, as Markdown;
//! - [`assumptions`]: the ranges, as Markdown;
//! - [`diff`]: a text before and after an amendment;
//! - [`answers`]: what `duty`, `limits` and `gauge` say, for people and for programs;
//! - [`units`]: the table of units.

pub mod answers;
pub mod assumptions;
pub mod diff;
pub mod json;
mod rule_text;
pub mod rulebook;
pub mod sarif;
pub mod terminal;
pub mod units;
mod words;
