//! The table of assumptions, for people: every range, where it comes from and how firmly it is known.

use crate::assumptions::{Assumption, Assumptions};
use crate::units::show::significant;

use super::terminal::table::{self, Cell, Room, Row};
use super::terminal::theme::{Role, Theme};

/// Columns of a printed table.
const WIDTH: usize = 118;

/// Every built-in range: its ends in the order unfavourable, central, favourable to a promise, its unit and mark;
/// below it what it is and its source.
pub fn table() -> String {
    of(Assumptions::builtin())
}

/// The same of a catalog's ranges.
pub fn of(assumptions: &Assumptions) -> String {
    let theme = Theme {
        color: false,
        unicode: true,
    };
    let room = Room {
        width: WIDTH,
        indent: 0,
        widest: 40,
        least: 24,
    };
    let heads = [
        "name",
        "unfavourable",
        "central",
        "favourable",
        "unit",
        "mark",
        "what it is; source",
    ];
    let head = |text: &&str| Cell::new(*text, Role::Plain);
    let mut rows = vec![Row::Heads(heads.iter().map(head).collect())];
    rows.extend(assumptions.iter().map(row));
    let text = table::lay(&rows, room, &theme);
    let lines: Vec<&str> = text.lines().map(str::trim_end).collect();
    lines.join("\n") + "\n"
}

fn row(range: &Assumption) -> Row {
    let number = |value: f64| significant(value, 4);
    // The two models of altitude stand in the data as 0 and 1.
    let figures = if range.name == crate::assumptions::Name::AltitudeModel {
        ["ratio", "gauge", "gauge"].map(String::from)
    } else {
        [range.unfavourable, range.central, range.favourable].map(number)
    };
    let mut mark = range.mark.to_string();
    if let Some(limit) = range.judgement_beyond {
        mark.push_str(&format!(", judgement beyond {}", number(limit)));
    }
    let mut says = format!("{}; {}", range.what, range.source);
    if range.fixed {
        says.push_str("; a catalog can't replace it");
    }
    let [unfavourable, central, favourable] = figures;
    let cells = [
        range.name.as_str().to_string(),
        unfavourable,
        central,
        favourable,
        range.unit.clone(),
        mark,
        says,
    ];
    Row::Cells(cells.map(|text| Cell::new(text, Role::Plain)).into())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::assumptions::Name;

    #[test]
    fn every_range_has_a_row_with_its_source() {
        let text = table();
        for name in Name::ALL {
            assert!(text.contains(name.as_str()), "{name}");
        }
        // The sources are wrapped, so their words are looked for without the ends of lines.
        let words: Vec<&str> = text.split_whitespace().collect();
        let text = words.join(" ");
        assert!(text.contains("ISO 1217") && text.contains("from memory"));
        assert!(table().lines().all(|line| line.chars().count() <= WIDTH));
    }
}
