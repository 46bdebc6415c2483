//! A feed as separated values: UTF-8, commas, one line for the headings.

use crate::feed::Table;
use crate::report::terminal::safe;

/// The table. A text that a spreadsheet would take for a formula has an apostrophe before it, which an intake takes off.
pub fn render(table: &Table) -> String {
    let mut writer = csv::WriterBuilder::new()
        .terminator(csv::Terminator::CRLF)
        .from_writer(Vec::new());
    let headings = table.columns.iter().map(|column| column.heading());
    let rows = table
        .rows
        .iter()
        .map(|row| row.iter().map(|cell| neutral(cell)).collect());
    let lines = std::iter::once(headings.map(|text| neutral(&text)).collect()).chain(rows);
    for line in lines {
        let line: Vec<String> = line;
        // Memory takes whatever is written to it.
        let _ = writer.write_record(&line);
    }
    let bytes = writer.into_inner().unwrap_or_default();
    String::from_utf8_lossy(&bytes).into_owned()
}

/// A text that nothing calculates.
pub(super) fn neutral(text: &str) -> String {
    let text = safe(text);
    match text.trim_start().starts_with(['=', '+', '-', '@']) {
        true => format!("'{text}"),
        false => text.into_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::neutral;

    #[test]
    fn what_a_spreadsheet_would_calculate_is_text() {
        for (text, written) in [
            ("=1+1", "'=1+1"),
            (" =1+1", "' =1+1"),
            ("@SUM(A1)", "'@SUM(A1)"),
            ("-5 degC", "'-5 degC"),
            ("+49 30", "'+49 30"),
            ("a=b", "a=b"),
        ] {
            assert_eq!(neutral(text), written);
        }
    }
}
