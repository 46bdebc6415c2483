//! The ranges that verdicts stand on, as a table.

use crate::assumptions::{Assumption, Assumptions, Name};
use crate::units::show::significant;

/// What the columns are.
const HEADS: [&str; 8] = [
    "name",
    "unfavourable",
    "central",
    "favourable",
    "unit",
    "what it is",
    "mark",
    "source",
];

/// The built-in ranges as a Markdown table.
pub fn table() -> String {
    let mut text = format!(
        "| {} |\n|{}\n",
        HEADS.join(" | "),
        " --- |".repeat(HEADS.len())
    );
    for one in Assumptions::builtin().iter() {
        let mut cells = cells(one);
        let fixed = if one.fixed { " (fixed)" } else { "" };
        cells[0] = format!("`{}`{fixed}", one.name);
        text.push_str(&format!("| {} |\n", cells.join(" | ")));
    }
    text
}

/// A range as cells of a table.
pub(super) fn cells(one: &Assumption) -> [String; 8] {
    // The data has at most four digits.
    let value = |x: f64| significant(x, 4);
    // The two models of altitude stand in the data as 0 and 1.
    let [unfavourable, central, favourable] = if one.name == Name::AltitudeModel {
        ["ratio", "gauge", "gauge"].map(String::from)
    } else {
        [one.unfavourable, one.central, one.favourable].map(value)
    };
    let mark = match one.judgement_beyond {
        Some(limit) => format!("{}, judgement beyond {}", one.mark, value(limit)),
        None => one.mark.to_string(),
    };
    [
        one.name.to_string(),
        unfavourable,
        central,
        favourable,
        if one.unit.is_empty() {
            "–".into()
        } else {
            one.unit.clone()
        },
        one.what.clone(),
        mark,
        one.source.clone(),
    ]
}
