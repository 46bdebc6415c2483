//! The table of units, for people.

use unicode_width::UnicodeWidthStr;

use crate::units::table;

/// Every unit of the format, by dimension: its spelling, its size in SI, what it is.
pub fn table() -> String {
    let mut text = String::new();
    for (dimension, units) in table::by_dimension() {
        let rows: Vec<[String; 3]> = units
            .into_iter()
            .filter(|unit| unit.is_listed())
            .map(|unit| {
                let size = format!("{} {}", unit.to_si(1.0), dimension.si_unit());
                [unit.to_string(), size, unit.description().to_string()]
            })
            .collect();
        if rows.is_empty() {
            continue;
        }
        if !text.is_empty() {
            text.push('\n');
        }
        let words = dimension.words();
        let words = words.strip_prefix("an ").or(words.strip_prefix("a "));
        text.push_str(words.unwrap_or(dimension.words()));
        text.push('\n');
        let widest = |column: usize| {
            rows.iter()
                .map(|row| row[column].width())
                .max()
                .unwrap_or(0)
        };
        let (spelling, size) = (widest(0), widest(1));
        for row in &rows {
            let line = format!("  {:<spelling$}  {:<size$}  {}", row[0], row[1], row[2]);
            text.push_str(line.trim_end());
            text.push('\n');
        }
    }
    text
}
