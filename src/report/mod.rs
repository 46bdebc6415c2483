//! One file for each format. A renderer neither filters nor sorts nor computes: every format shows
//! the same findings.
//!
//! - [`terminal`]: for people;
//! - [`json`]: for programs, in SI;
//! - [`sarif`]: for code-scanning tools;
//! - [`answers`]: what `duty`, `limits` and `gauge` say, for people and for programs;
//! - [`assumptions`]: the table of ranges;
//! - [`units`]: the table of units.

pub mod answers;
pub mod assumptions;
pub mod json;
mod rule_text;
pub mod sarif;
pub mod terminal;
pub mod units;
