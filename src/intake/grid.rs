//! What stands in a table's cells, whatever kind of file they come from.

use serde::{Deserialize, Serialize};

/// A file of tables.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Grid {
    /// Its sheets, in order; a file of separated values is one without a name.
    pub sheets: Vec<Sheet>,
    /// What is to be said of the file as a whole.
    pub remarks: Vec<Remark>,
}

/// A sheet.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Sheet {
    /// Its name; empty where it has none.
    pub name: String,
    /// Its rows with anything in them, in order.
    pub rows: Vec<Row>,
}

/// A row with something in it.
#[derive(Debug, Clone, Default, PartialEq, Serialize, Deserialize)]
pub struct Row {
    /// Its number, from 1; of separated values the line on which it begins.
    pub number: u32,
    /// Whether the file hides it from who looks at it.
    pub hidden: bool,
    /// Its cells with anything in them, by column.
    pub cells: Vec<Cell>,
}

/// A cell with something in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub struct Cell {
    /// Its column, from 0.
    pub column: u32,
    /// What stands there.
    pub value: Value,
    /// Where the value comes from, if it was calculated.
    pub formula: Option<Formula>,
}

/// What stands in a cell.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
pub enum Value {
    /// Words, or a number kept as text.
    Text(String),
    /// A number, with the digits that the program which keeps it shows.
    Number(String),
    /// A day.
    Date {
        /// Year.
        year: i32,
        /// Month, from 1.
        month: u8,
        /// Day, from 1.
        day: u8,
    },
    /// Yes or no.
    Flag(bool),
    /// A failed calculation: `#DIV/0!`.
    Error(String),
    /// Nothing: a formula that was never calculated.
    Nothing,
}

/// Where a calculated value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Formula {
    /// From this workbook.
    Own,
    /// From another workbook, as last seen.
    Elsewhere,
}

/// What is to be said of a file as a whole.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub enum Remark {
    /// Nothing of it was read: it is damaged, or no table.
    Damaged,
    /// Nothing of it was read: it takes more work than a table does.
    TooMuchWork,
    /// Nothing of it was read: a workbook of the older kind, or locked by a password.
    OldOrLocked,
    /// It takes values from other workbooks.
    LinksElsewhere,
    /// Notes hang on its cells, which aren't read.
    NotesOnCells,
    /// A quotation mark in that row is never closed; the row and what is below it weren't read.
    OpenQuote(u32),
    /// Cells hold more than a cell can, the first at that place; they weren't read.
    LongCells(String),
    /// It was read as text of a single-byte encoding.
    OldEncoding,
    /// One of its sheets can't be read.
    SheetDamaged(String),
}

/// Most characters of a cell: what a worksheet's cell can hold, by its maker's knowledge base, article 211878.
const MOST_LETTERS: usize = 32_767;

impl Grid {
    /// A file of which nothing was read.
    #[must_use]
    pub fn unread(why: Remark) -> Grid {
        Grid {
            sheets: Vec::new(),
            remarks: vec![why],
        }
    }

    /// Without the cells that no spreadsheet's cell could hold, which is told.
    #[must_use]
    pub fn without_long_cells(mut self) -> Grid {
        let mut first = None;
        for sheet in &mut self.sheets {
            for row in &mut sheet.rows {
                let number = row.number;
                row.cells.retain(|cell| {
                    let is_long = matches!(&cell.value, Value::Text(text) if text.len() > MOST_LETTERS
                        && text.chars().count() > MOST_LETTERS);
                    if is_long && first.is_none() {
                        first = Some(format!("{}{number}", letters(cell.column)));
                    }
                    !is_long
                });
            }
        }
        self.remarks.extend(first.map(Remark::LongCells));
        self
    }

    /// As one line between two processes.
    #[must_use]
    pub fn to_wire(&self) -> String {
        serde_json::to_string(self).unwrap_or_default()
    }

    /// From such a line.
    #[must_use]
    pub fn parse(line: &[u8]) -> Option<Grid> {
        serde_json::from_slice(line).ok()
    }
}

impl Row {
    /// What stands in a column.
    #[must_use]
    pub fn at(&self, column: u32) -> Option<&Cell> {
        let place = self.cells.binary_search_by_key(&column, |cell| cell.column);
        place.ok().map(|place| &self.cells[place])
    }
}

impl Value {
    /// As a person reads it.
    #[must_use]
    pub fn shown(&self) -> String {
        match self {
            Value::Text(text) | Value::Number(text) | Value::Error(text) => text.clone(),
            Value::Date { year, month, day } => format!("{year:04}-{month:02}-{day:02}"),
            Value::Flag(true) => "TRUE".into(),
            Value::Flag(false) => "FALSE".into(),
            Value::Nothing => String::new(),
        }
    }
}

/// The letters of a column: `A` for 0, `AA` for 26.
#[must_use]
pub fn letters(column: u32) -> String {
    let mut left = column;
    let mut all = Vec::new();
    loop {
        all.push(char::from(b'A' + u8::try_from(left % 26).unwrap_or(0)));
        match left / 26 {
            0 => break,
            more => left = more - 1,
        }
    }
    all.iter().rev().collect()
}

/// A number of a workbook with the fifteen digits that its program keeps.
#[must_use]
pub fn digits(value: f64) -> String {
    let kept: f64 = format!("{value:.14e}").parse().unwrap_or(value);
    format!("{kept}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cell_longer_than_any_is_told_and_left_out() {
        let cell = |column, length| Cell {
            column,
            value: Value::Text("\u{e4}".repeat(length)),
            formula: None,
        };
        let grid = Grid {
            sheets: vec![Sheet {
                name: String::new(),
                rows: vec![Row {
                    number: 7,
                    hidden: false,
                    cells: vec![cell(0, MOST_LETTERS), cell(2, MOST_LETTERS + 1)],
                }],
            }],
            remarks: Vec::new(),
        };
        let bounded = grid.without_long_cells();
        assert_eq!(bounded.remarks, [Remark::LongCells("C7".into())]);
        assert_eq!(bounded.sheets[0].rows[0].cells, [cell(0, MOST_LETTERS)]);
    }

    #[test]
    fn columns_have_letters() {
        for (column, said) in [(0, "A"), (25, "Z"), (26, "AA"), (701, "ZZ"), (702, "AAA")] {
            assert_eq!(letters(column), said);
        }
    }

    #[test]
    fn numbers_have_the_digits_a_workbook_shows() {
        assert_eq!(digits(0.1 + 0.2), "0.3");
        assert_eq!(digits(15.0), "15");
        assert_eq!(digits(4_006_381_333_931.0), "4006381333931");
    }
}
