//! One file for each format. A renderer neither filters nor sorts nor computes: every format shows
//! the same findings.

pub mod json;
pub mod units;
