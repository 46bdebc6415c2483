//! What is found in a table, at which cell.

use std::fmt::Write as _;

use crate::finding::Level;

use super::grid::letters;

/// A cell, row or sheet of a table, as a person finds it there.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct At {
    /// The file.
    pub file: String,
    /// The sheet; empty where it has no name.
    pub sheet: String,
    /// The row, from 1; 0 for the whole sheet.
    pub row: u32,
    /// The column, from 0.
    pub column: Option<u32>,
    /// What the column is headed.
    pub heading: String,
}

impl At {
    /// As `list.xlsx, sheet Compressors, C7 (Bore)`.
    #[must_use]
    pub fn words(&self) -> String {
        let mut text = self.file.clone();
        if !self.sheet.is_empty() {
            let _ = write!(text, ", sheet {}", self.sheet);
        }
        match (self.column, self.row) {
            (Some(column), 0) => {
                let _ = write!(text, ", column {}", letters(column));
            }
            (Some(column), row) => {
                let _ = write!(text, ", {}{row}", letters(column));
            }
            (None, 0) => {}
            (None, row) => {
                let _ = write!(text, ", row {row}");
            }
        }
        if !self.heading.is_empty() {
            let _ = write!(text, " ({})", self.heading);
        }
        text
    }
}

/// Something found in a table.
#[derive(Debug, Clone, PartialEq)]
pub struct Told {
    /// Where.
    pub at: At,
    /// What.
    pub what: What,
    /// What to read in its place, if there is something to offer.
    pub offer: Option<String>,
}

/// What is found.
#[derive(Debug, Clone, PartialEq)]
pub enum What {
    /// A day where a fraction of an inch belongs.
    FractionAsDate {
        /// The day, as it stands there.
        day: String,
        /// The fraction.
        fraction: String,
    },
    /// A day where a range belongs.
    RangeAsDate {
        /// The day, as it stands there.
        day: String,
    },
    /// A day where something else belongs.
    Date {
        /// The day, as it stands there.
        day: String,
        /// What belongs there.
        expected: String,
    },
    /// A number without a unit.
    NoUnit {
        /// The number.
        found: String,
        /// What belongs there.
        expected: String,
    },
    /// A number that may be read in two ways, or a figure with words around it.
    Doubtful {
        /// As it stands there.
        found: String,
    },
    /// The mark of a footnote behind a figure that was taken.
    Footnote {
        /// As it stands there.
        found: String,
    },
    /// What can't be read.
    NotRead {
        /// As it stands there.
        found: String,
        /// What belongs there.
        expected: String,
    },
    /// Words that say there is nothing to be read yet: `on request`.
    NotStated {
        /// As it stands there.
        found: String,
    },
    /// A failed calculation.
    Failed {
        /// As it stands there.
        found: String,
    },
    /// A formula without a value.
    NeverCalculated,
    /// A value from another workbook, which was taken.
    Elsewhere,
    /// A number whose last digits are gone.
    DigitsLost {
        /// As it stands there.
        found: String,
    },
    /// A name that no part has.
    UnknownPart {
        /// The name.
        found: String,
        /// What is sought.
        kind: &'static str,
    },
    /// A name that several parts have.
    SeveralParts {
        /// The name.
        found: String,
    },
    /// A row that is hidden, and was taken.
    Hidden,
    /// A row without a name.
    NoName,
    /// A row of something that an earlier row is about.
    Duplicate {
        /// What it is.
        on: String,
        /// The earlier row.
        row: u32,
    },
    /// A row whose name nothing has.
    NoMatch {
        /// The name.
        found: String,
    },
    /// A value that another table gives otherwise; the earlier one was taken.
    OtherTable {
        /// What was taken.
        taken: String,
        /// What stands here.
        found: String,
        /// Where the other stands.
        other: String,
    },
    /// A value that the table and the catalog give differently.
    Conflict {
        /// What it is of.
        on: String,
        /// What the catalog says.
        catalog: String,
        /// What the table says.
        table: String,
        /// Whether an earlier run had taken it from the table.
        known: bool,
    },
    /// A value that there is no place for in what the catalog says.
    NoPlace {
        /// What it is of.
        on: String,
        /// The key.
        key: String,
    },
    /// A heading that the mapping names and the table hasn't got.
    NoColumn {
        /// The heading.
        heading: String,
    },
    /// A table that the mapping names and that isn't there.
    NoTable {
        /// Its file and sheet.
        named: String,
    },
    /// Something that an earlier run took and no table has any more.
    Gone {
        /// What it is.
        on: String,
    },
    /// Something about the whole file.
    File(super::Remark),
}

impl What {
    /// How grave it is: an error where a file or a part of it wasn't read, a warning where a value wasn't taken, a note
    /// where all that is stated was.
    #[must_use]
    pub fn level(&self) -> Level {
        use super::Remark as R;
        match self {
            What::File(
                R::Damaged
                | R::TooMuchWork
                | R::OldOrLocked
                | R::SheetDamaged(_)
                | R::OpenQuote(_)
                | R::LongCells(_),
            ) => Level::Error,
            What::NoColumn { .. } | What::NoTable { .. } => Level::Error,
            What::File(_)
            | What::Footnote { .. }
            | What::NotStated { .. }
            | What::Elsewhere
            | What::Hidden
            | What::Gone { .. } => Level::Note,
            _ => Level::Warning,
        }
    }

    /// The name that programs know it by.
    #[must_use]
    pub fn name(&self) -> &'static str {
        use super::Remark as R;
        match self {
            What::FractionAsDate { .. } => "fraction-as-date",
            What::RangeAsDate { .. } => "range-as-date",
            What::Date { .. } => "date",
            What::NoUnit { .. } => "no-unit",
            What::Doubtful { .. } => "doubtful",
            What::Footnote { .. } => "footnote",
            What::NotRead { .. } => "not-read",
            What::NotStated { .. } => "not-stated",
            What::Failed { .. } => "failed-calculation",
            What::NeverCalculated => "never-calculated",
            What::Elsewhere => "other-workbook",
            What::DigitsLost { .. } => "digits-lost",
            What::UnknownPart { .. } => "unknown-part",
            What::SeveralParts { .. } => "several-parts",
            What::Hidden => "hidden-row",
            What::NoName => "no-name",
            What::Duplicate { .. } => "same-again",
            What::NoMatch { .. } => "no-match",
            What::OtherTable { .. } => "other-table",
            What::Conflict { .. } => "changed-in-both",
            What::NoPlace { .. } => "no-place",
            What::NoColumn { .. } => "no-column",
            What::NoTable { .. } => "no-table",
            What::Gone { .. } => "gone",
            What::File(R::Damaged | R::SheetDamaged(_)) => "damaged",
            What::File(R::OpenQuote(_)) => "open-quote",
            What::File(R::LongCells(_)) => "long-cells",
            What::File(R::TooMuchWork) => "too-much-work",
            What::File(R::OldOrLocked) => "old-or-locked",
            What::File(R::LinksElsewhere) => "links-elsewhere",
            What::File(R::NotesOnCells) => "notes-on-cells",
            What::File(R::OldEncoding) => "old-encoding",
        }
    }

    /// In one or two sentences.
    #[must_use]
    pub fn words(&self) -> String {
        use super::Remark as R;
        match self {
            What::FractionAsDate { day, fraction } => format!(
                "This cell holds a day, {day}. Most likely somebody typed {fraction}, and the spreadsheet turned it into a date."
            ),
            What::RangeAsDate { day } => format!(
                "This cell holds a day, {day}. Most likely somebody typed a range, and the spreadsheet turned it into a date."
            ),
            What::Date { day, expected } => {
                format!("This cell holds a day, {day}; {expected} is needed.")
            }
            What::NoUnit { found, expected } => {
                format!("`{found}` has no unit, and the mapping gives none; {expected} is needed.")
            }
            What::Doubtful { found } => {
                format!("`{found}` doesn't plainly say one figure, so it isn't taken.")
            }
            What::Footnote { found } => {
                format!("`{found}` has the mark of a footnote, which isn't read; the figure is taken.")
            }
            What::NotRead { found, expected } => {
                format!("`{found}` can't be read; {expected} is needed.")
            }
            What::NotStated { found } => format!("`{found}` states nothing yet, so nothing is taken."),
            What::Failed { found } => format!("The cell's calculation failed: `{found}`."),
            What::NeverCalculated => {
                "The cell holds a formula without a value. Open the workbook, let it calculate, and save it.".into()
            }
            What::Elsewhere => {
                "The value comes from another workbook and is taken as it was last seen.".into()
            }
            What::DigitsLost { found } => {
                format!("`{found}` has lost its last digits. Format the column as text, and type the number again.")
            }
            What::UnknownPart { found, kind } => {
                format!("No {kind} is called `{found}`, neither in the tables nor in the catalog.")
            }
            What::SeveralParts { found } => {
                format!("Several things are called `{found}`. Name this one by its ID or its stock number.")
            }
            What::Hidden => "The row is hidden in the table, and is taken.".into(),
            What::NoName => "The row has no name: no title, model, number or ID.".into(),
            What::Duplicate { on, row } => {
                format!("Row {row} is about {on} already, so this one isn't taken.")
            }
            What::NoMatch { found } => {
                format!("Nothing is called `{found}`, neither in the tables nor in the catalog, so the row isn't taken.")
            }
            What::OtherTable { taken, found, other } => {
                format!("{found} stands here, and {taken} in {other}, which is taken.")
            }
            What::Conflict {
                on,
                catalog,
                table,
                known: true,
            } => format!(
                "{on} was changed in the table, to {table}, and by hand in the catalog, to {catalog}. The catalog's value stays."
            ),
            What::Conflict {
                on, catalog, table, ..
            } => format!("{on} is {catalog} in the catalog and {table} in the table. The catalog's value stays."),
            What::NoPlace { on, key } => format!(
                "The catalog writes `{key}` of {on} in a way that has no place for this value. Write it there by hand."
            ),
            What::NoColumn { heading } => {
                format!("The mapping names a column `{heading}`, which the table hasn't got.")
            }
            What::NoTable { named } => format!("The mapping names a table that isn't there: {named}."),
            What::Gone { on } => {
                format!("{on} is in no table any more. It stays in the catalog; take it out there if it is gone.")
            }
            What::File(R::Damaged) => {
                "Nothing of this file was read: it is damaged, or no table. CSV, XLSX and ODS are read.".into()
            }
            What::File(R::TooMuchWork) => {
                "Nothing of this file was read: it takes more time or memory than any list of products does.".into()
            }
            What::File(R::OldOrLocked) => {
                "Nothing of this file was read: it is an older workbook, or one with a password. Save it as XLSX without one.".into()
            }
            What::File(R::OpenQuote(row)) => format!(
                "A quotation mark that opens a cell in row {row} isn't closed at the cell's end. That row and all below it aren't read."
            ),
            What::File(R::LongCells(first)) => format!(
                "Cells hold more than the 32 767 characters that a cell can have, the first at {first}. They aren't read."
            ),
            What::File(R::LinksElsewhere) => {
                "The workbook takes values from other workbooks. They aren't opened; values are as they were last seen.".into()
            }
            What::File(R::NotesOnCells) => "Notes hang on cells of this workbook. They aren't read.".into(),
            What::File(R::OldEncoding) => {
                "The file isn't UTF-8 and was read as Windows-1252. Look at its umlauts and accents.".into()
            }
            What::File(R::SheetDamaged(name)) => format!("The sheet {name} can't be read to its end: it is damaged."),
        }
    }
}

/// What became of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Fate {
    /// All that is mapped was taken.
    Taken,
    /// It was taken, and something of it is to be looked at.
    WithFinding,
    /// It stands above the headings.
    Above,
    /// It holds the headings, perhaps again.
    Headings,
    /// One cell alone: the title of a section, or a note.
    Note,
    /// A sum of the rows above it.
    Sum,
    /// It has no name.
    NoName,
    /// An earlier row is about the same thing.
    Duplicate,
    /// Nothing is called by its name.
    NoMatch,
    /// The mapping doesn't speak of its sheet.
    Unmapped,
}

impl Fate {
    /// Whether it was taken.
    #[must_use]
    pub fn is_taken(self) -> bool {
        matches!(self, Fate::Taken | Fate::WithFinding)
    }

    /// Why it wasn't taken, as a list has it.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Fate::Taken => "taken",
            Fate::WithFinding => "taken with a finding",
            Fate::Above => "above the headings",
            Fate::Headings => "headings",
            Fate::Note => "one cell alone: a title or a note",
            Fate::Sum => "a sum of other rows",
            Fate::NoName => "no name",
            Fate::Duplicate => "the same thing again",
            Fate::NoMatch => "nothing of that name",
            Fate::Unmapped => "the mapping doesn't name this sheet",
        }
    }

    /// The name that programs know it by.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Fate::Taken => "taken",
            Fate::WithFinding => "taken-with-finding",
            Fate::Above => "above-headings",
            Fate::Headings => "headings",
            Fate::Note => "one-cell",
            Fate::Sum => "sum",
            Fate::NoName => "no-name",
            Fate::Duplicate => "same-again",
            Fate::NoMatch => "no-match",
            Fate::Unmapped => "not-mapped",
        }
    }
}

/// What became of the rows of a sheet under one table of the mapping.
#[derive(Debug, Clone, Default)]
pub struct Account {
    /// The file.
    pub file: String,
    /// The sheet; empty where it has no name.
    pub sheet: String,
    /// What its rows are, where the mapping says so.
    pub kind: Option<&'static str>,
    /// Each row with anything in it, by its number, and what became of it.
    pub rows: Vec<(u32, Fate)>,
    /// Columns that weren't taken: the column, from 0, and its heading.
    pub unknown: Vec<(u32, String)>,
}

impl Account {
    /// How many rows had that fate.
    #[must_use]
    pub fn count(&self, fate: Fate) -> usize {
        self.rows.iter().filter(|(_, own)| *own == fate).count()
    }
}
