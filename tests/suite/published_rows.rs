//! Reads the tables under `tests/published`: comma-separated, with comments and quoted cells.

use std::collections::BTreeMap;
use std::path::PathBuf;

/// One line of a table, by the names in its head.
pub struct Row {
    /// The table's path below `tests/published`.
    pub table: String,
    /// Its line there.
    pub line: usize,
    /// What stands in it.
    pub cells: BTreeMap<String, String>,
}

impl Row {
    /// The first of the columns of that name, which differ from table to table.
    pub fn cell(&self, names: &[&str]) -> Option<&str> {
        let found = names.iter().find_map(|name| self.cells.get(*name));
        found.map(String::as_str)
    }

    /// The text in the column `name`.
    pub fn text(&self, name: &str) -> &str {
        self.cell(&[name])
            .unwrap_or_else(|| panic!("{} has no column {name}", self.table))
    }

    /// The number in the column `name`; nothing where the cell is empty.
    pub fn number(&self, name: &str) -> Option<f64> {
        let text = self.text(name);
        let parsed = text.parse();
        let wrong = |_| panic!("{}, line {}: {text:?} is no number", self.table, self.line);
        (!text.is_empty()).then(|| parsed.unwrap_or_else(wrong))
    }
}

fn folder() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/published")
}

/// The names in a folder below `tests/published`, `""` for itself, that end in `.ending`.
pub fn names(below: &str, ending: &str) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder().join(below))
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(&format!(".{ending}")))
        .collect();
    names.sort();
    names
}

/// The cells of a line; a cell in quotes may hold commas.
pub fn cells(line: &str) -> Vec<String> {
    let mut cells = vec![String::new()];
    let mut quoted = false;
    for character in line.chars() {
        match character {
            '"' => quoted = !quoted,
            ',' if !quoted => cells.push(String::new()),
            other => cells.last_mut().unwrap().push(other),
        }
    }
    cells
}

/// The rows of a table, without its comments.
pub fn rows(table: &str) -> Vec<Row> {
    let text = std::fs::read_to_string(folder().join(table)).unwrap();
    let mut lines = text
        .lines()
        .enumerate()
        .filter(|(_, line)| !line.is_empty() && !line.starts_with('#'));
    let heads = cells(lines.next().unwrap().1);
    let read = |(line, text): (usize, &str)| {
        let own = cells(text);
        assert_eq!(own.len(), heads.len(), "{table}, line {}", line + 1);
        Row {
            table: table.to_string(),
            line: line + 1,
            cells: heads.iter().cloned().zip(own).collect(),
        }
    };
    lines.map(read).collect()
}
