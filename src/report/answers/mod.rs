//! What `duty`, `limits` and `gauge` say: for people in the units of the package, for programs in SI.

pub mod convert;
pub mod duty;
mod explain;
pub mod gauge;
pub mod limits;
pub(in crate::report) mod page;

use crate::report::terminal::Look;

/// How an answer is shown to a person.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    /// Width, colours and characters.
    pub look: Look,
    /// Whether the equations are shown.
    pub explain: bool,
}

/// `rows` as JSON, ending with a line feed.
pub(in crate::report) fn json_text(rows: &impl serde::Serialize) -> String {
    // Rows of plain strings and finite numbers always serialise.
    let mut text = serde_json::to_string_pretty(rows).unwrap_or_default();
    text.push('\n');
    text
}
