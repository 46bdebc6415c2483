//! Which cells of a table head its rows and columns.

use hashbrown::HashSet;

use super::layout::{Passage, Role};
use super::lexicon::{self, NEW, OLD, Tag, UNITS, VALUES};

use super::unit_words;
use super::vocabulary::{self, Topic};
use super::word::{Word, words};

/// How many rows at the top of a table may hold a title and heads.
const HIGHEST: u32 = 6;

/// How many rows a first cell may reach down.
const DEEPEST: u32 = 12;

/// How many columns are looked at for heads.
const WIDEST: u32 = 512;

/// The heads above a cell, the nearest first: passages of its column.
pub type Heads = [Option<u32>; 2];

/// Which passage heads which row and column of each table.
#[derive(Default)]
pub struct Tables {
    /// By number.
    tables: Vec<Table>,
    /// Heads of columns, table after table.
    columns: Vec<Heads>,
    /// First cells of rows, table after table, each in the order of its rows.
    rows: Vec<First>,
    /// Rows of a single cell, which head those below them, table after table.
    sections: Vec<First>,
    /// Columns that aren't of what the page offers: a rival's, the buyer's wishes, what held before.
    others: HashSet<(u32, u32), fnv::FnvBuildHasher>,
}

/// What is known of a table.
#[derive(Clone, Copy, Default)]
struct Table {
    /// Its part of the heads of columns: the first, and how many.
    columns: (u32, u32),
    /// Its part of the first cells: the first, and how many.
    rows: (u32, u32),
    /// First and last row of heads.
    heads: Option<(u32, u32)>,
    /// The column that holds the units of its rows.
    units: Option<u32>,
}

/// The first cell of a row.
#[derive(Clone, Copy)]
struct First {
    table: u32,
    row: u32,
    passage: u32,
}

/// What the cells of a column are, as far as it tells a column of units.
#[derive(Clone, Copy, Default)]
struct Tally {
    units: u32,
    others: u32,
}

/// How many rows are looked at for a column of units, and how many columns.
const TALLIED: (u32, u32) = (64, 16);

/// A cell in the first rows of a table.
#[derive(Clone, Copy)]
struct Cell {
    table: u32,
    row: u32,
    column: u32,
    passage: u32,
    marked: bool,
    /// Whether it holds nothing but a unit; looked at beyond the first column only.
    is_unit: bool,
    /// Whether it holds one with a bound or a condition: `ft, max.`, `cfm @ 5 psi`.
    has_unit: bool,
}

impl Tables {
    /// Finds them.
    pub fn of(passages: &[Passage]) -> Tables {
        let mut tables = Tables::default();
        let mut cells: Vec<Cell> = Vec::new();
        for (number, own) in passages.iter().enumerate() {
            let Role::Cell {
                table,
                row,
                column,
                head,
            } = own.role
            else {
                continue;
            };
            let passage = number as u32;
            let is_top = row <= HIGHEST && column < WIDEST;
            if is_top || row < TALLIED.0 && column < TALLIED.1 {
                cells.push(Cell {
                    table,
                    row,
                    column,
                    passage,
                    marked: head,
                    is_unit: (1..TALLIED.1).contains(&column) && is_unit(&own.text),
                    has_unit: (1..TALLIED.1).contains(&column)
                        && own.text.starts_with(char::is_alphabetic)
                        && own.text.len() <= 24
                        && unit_words::of_head(&own.text).is_some(),
                });
            }
            if column == 0 {
                tables.rows.push(First {
                    table,
                    row,
                    passage,
                });
            }
        }
        // A table within a table stands between the cells of the outer one.
        cells.sort_by_key(|cell| cell.table);
        tables.rows.sort_by_key(|first| (first.table, first.row));
        tables.sections = tables.rows.clone();
        let alone = |first: &First| {
            let next = passages.get(first.passage as usize + 1);
            !next.is_some_and(|next| matches!(next.role, Role::Cell { table, row, .. } if (table, row) == (first.table, first.row)))
        };
        tables.sections.retain(alone);
        // The last cell counts where a row has two first ones.
        tables.rows.dedup_by(|second, first| {
            let same = (first.table, first.row) == (second.table, second.row);
            if same {
                first.passage = second.passage;
            }
            same
        });
        let last = cells.last().map(|cell| cell.table);
        let last = last.max(tables.rows.last().map(|first| first.table));
        let count = last.map_or(0, |last| last as usize + 1);
        tables.tables.resize(count, Table::default());
        let mut start = 0;
        for rows in tables.rows.chunk_by(|a, b| a.table == b.table) {
            let table = &mut tables.tables[rows[0].table as usize];
            table.rows = (start, rows.len() as u32);
            start += rows.len() as u32;
        }
        let mut top = Vec::new();
        for cells in cells.chunk_by(|a, b| a.table == b.table) {
            let table = cells[0].table;
            tables.tables[table as usize].units = unit_column(cells);
            top.clear();
            top.extend(cells.iter().filter(|cell| cell.row <= HIGHEST));
            tables.head(table, &top, passages);
        }
        tables
    }

    fn head(&mut self, table: u32, cells: &[Cell], passages: &[Passage]) {
        let of_row = |row: u32| cells.iter().filter(move |cell| cell.row == row);
        let text = |cell: &Cell| passages[cell.passage as usize].text.as_str();
        // A row of nothing but units stands under the names.
        let are_units = |row: u32| {
            let names_unit = |cell: &Cell| {
                let text = text(cell);
                is_unit(text)
                    || cell.column > 0
                        && unit_words::of_head(text).is_some()
                        && (text.starts_with(['(', '['])
                            || !text.contains(|c: char| c.is_ascii_digit()))
                    || cell.column > 0 && bounds(text)
                    || cell.column == 0 && says_unit(text)
            };
            // What is no unit is a word, `type` under a name.
            let words = || {
                of_row(row)
                    .filter(|cell| !names_unit(cell))
                    .all(|cell| is_word(text(cell)))
            };
            let cells = of_row(row).count();
            let units = || of_row(row).filter(|cell| names_unit(cell)).count();
            cells > 1 && of_row(row).any(|cell| is_unit(text(cell))) && {
                let units = units();
                units == cells || units * 3 >= cells * 2 && words()
            }
        };
        let marked = |row: u32| of_row(row).count() > 0 && of_row(row).all(|cell| cell.marked);
        let (first, last) = if let Some(first) =
            (0..HIGHEST).find(|&row| marked(row) && of_row(row).any(|cell| cell.column > 0))
        {
            let last = (first..HIGHEST)
                .take_while(|&row| marked(row))
                .last()
                .unwrap_or(first);
            (first, last + u32::from(are_units(last + 1)))
        } else if let Some(first) = stated_in_a_row(cells, passages) {
            (first, first)
        } else {
            // A title may hold separators of its own; the heads are as many as the columns.
            let widest = (0..=HIGHEST)
                .map(|row| of_row(row).count())
                .max()
                .unwrap_or(0);
            let Some(first) = (0..HIGHEST).find(|&row| {
                // The corner above the names of the rows may be empty.
                let corner = usize::from(of_row(row).all(|cell| cell.column > 0));
                of_row(row).count() > 1 && (of_row(row).count() + corner) * 4 >= widest * 3
            }) else {
                return;
            };
            // A title in several cells stands above heads of more.
            let next: Vec<&str> = of_row(first + 1).map(text).collect();
            let is_title = next.len() > of_row(first).count()
                && of_row(first).any(|cell| cell.column == 0)
                && are_names(&next, false);
            let first = first + u32::from(is_title);
            let names: Vec<&str> = of_row(first).map(text).collect();
            let cornered = of_row(first).all(|cell| cell.column > 0);
            // A row alone heads nothing.
            let alone = cells.iter().all(|cell| cell.row <= first);
            if alone || !are_names(&names, cornered) {
                return;
            }
            (first, first + u32::from(are_units(first + 1)))
        };
        // A pair of a name and a figure is no head, even where the markup says so.
        let pair = of_row(first).count() == 2
            && cells.iter().all(|cell| cell.column < 2)
            && of_row(first).any(|cell| cell.column == 1 && is_figure(text(cell)));
        if pair {
            return;
        }
        self.tables[table as usize].heads = Some((first, last));
        self.note_others(table, first, last, cells, passages);
        let start = self.columns.len();
        let width = (first..=last)
            .flat_map(of_row)
            .map(|cell| cell.column as usize + 1)
            .max()
            .unwrap_or(0);
        self.columns.resize(start + width, Heads::default());
        self.tables[table as usize].columns = (start as u32, width as u32);
        let columns = &mut self.columns[start..];
        for cell in of_row(last) {
            columns[cell.column as usize][0] = Some(cell.passage);
        }
        for row in (first..last).rev() {
            for cell in of_row(row) {
                let heads = &mut columns[cell.column as usize];
                let place = usize::from(heads[0].is_some());
                if heads[place].is_none() {
                    heads[place] = Some(cell.passage);
                }
            }
            // A head over several columns stands in the first of them only.
            let over: Vec<u32> = of_row(last).map(|cell| cell.column).collect();
            for column in over {
                if of_row(row).any(|cell| cell.column == column) {
                    continue;
                }
                let left = of_row(row)
                    .filter(|cell| cell.column < column)
                    .max_by_key(|cell| cell.column);
                if let Some(left) = left {
                    columns[column as usize][1].get_or_insert(left.passage);
                }
            }
        }
    }

    /// Notes the columns that aren't of what the page offers, by their heads.
    fn note_others(
        &mut self,
        table: u32,
        first: u32,
        last: u32,
        cells: &[Cell],
        passages: &[Passage],
    ) {
        let heads = || {
            cells
                .iter()
                .filter(|cell| (first..=last).contains(&cell.row))
                .map(|cell| (cell.column, passages[cell.passage as usize].text.as_str()))
        };
        let short = || heads().filter(|(_, text)| text.len() <= 60);
        let ours: Vec<u32> = short()
            .filter(|(_, text)| lexicon::says(text, Tag::This))
            .map(|(column, _)| column)
            .collect();
        let renews = heads().any(|(_, text)| has_word(text, NEW));
        let is_thing = |&(column, text): &(u32, &str)| {
            column > 0
                && self.unit_column(table) != Some(column)
                && !lexicon::names_no_thing(text)
                && !lexicon::heads_remarks(text)
                && !says_unit(text)
        };
        let things = short().filter(is_thing).count();
        let quantities = short()
            .filter(is_thing)
            .any(|(_, text)| names_a_quantity(text));
        let latest = |of: &str| {
            let years = short().filter_map(|(_, text)| year_of(text));
            years
                .filter(|(rest, _)| rest == of)
                .map(|(_, year)| year)
                .max()
        };
        let strange = strange(&short().filter(is_thing).collect::<Vec<_>>());
        for (column, text) in short() {
            let beside_ours = matches!(ours[..], [ours] if ours != column)
                && column > 0
                && self.unit_column(table) != Some(column)
                && !says_unit(text)
                && !names_a_quantity(text)
                && !has_word(
                    text,
                    words!["note", "notes", "remark", "remarks", "condition"],
                );
            let replaced = renews && has_word(text, OLD) && text.split(' ').count() <= 4;
            let wished = lexicon::says(text, Tag::Wanted) && !names_a_quantity(text);
            // What a column beside several things remarks is said of none of them alone.
            let remarks = things > 1 && !quantities && lexicon::heads_remarks(text);
            let former = year_of(text).is_some_and(|(rest, year)| latest(&rest) > Some(year));
            let foreign = column > 0 && strange.contains(&column);
            if beside_ours || replaced || wished || remarks || former || foreign {
                self.others.insert((table, column));
            }
        }
    }

    fn table(&self, table: u32) -> Table {
        self.tables.get(table as usize).copied().unwrap_or_default()
    }

    /// The column that holds the units of a table's rows.
    pub fn unit_column(&self, table: u32) -> Option<u32> {
        self.table(table).units
    }

    /// Whether a column isn't of what the page offers.
    pub fn is_others(&self, table: u32, column: u32) -> bool {
        self.others.contains(&(table, column))
    }

    /// The heads of a cell's column, the nearest first; none of a head itself.
    pub fn above(&self, table: u32, row: u32, column: u32) -> Heads {
        let Table { heads, columns, .. } = self.table(table);
        // Neither heads nor a title above them have heads.
        if heads.is_none_or(|(_, last)| row <= last) || column >= columns.1 {
            return Heads::default();
        }
        self.columns
            .get((columns.0 + column) as usize)
            .copied()
            .unwrap_or_default()
    }

    /// The first cell of a row.
    pub fn first(&self, table: u32, row: u32) -> Option<u32> {
        let (start, count) = self.table(table).rows;
        let rows = self.rows.get(start as usize..(start + count) as usize)?;
        // Most tables have a first cell in every row.
        if let Some(first) = rows.get(row as usize)
            && first.row == row
        {
            return Some(first.passage);
        }
        // A cell that reaches down from a row above heads this one too.
        let after = rows.partition_point(|first| first.row <= row);
        let first = rows.get(after.checked_sub(1)?)?;
        (row - first.row <= DEEPEST).then_some(first.passage)
    }

    /// The cell alone in its row that heads a row below it.
    pub fn section(&self, table: u32, row: u32) -> Option<u32> {
        let after = self
            .sections
            .partition_point(|first| (first.table, first.row) < (table, row));
        let section = self.sections.get(after.checked_sub(1)?)?;
        (section.table == table).then_some(section.passage)
    }

    /// Whether a row is a single cell.
    pub fn is_section(&self, table: u32, row: u32) -> bool {
        let found = self
            .sections
            .binary_search_by_key(&(table, row), |first| (first.table, first.row));
        found.is_ok()
    }

    /// Whether a row is one of heads.
    pub fn is_head(&self, table: u32, row: u32) -> bool {
        self.table(table)
            .heads
            .is_some_and(|(first, last)| (first..=last).contains(&row))
    }
}

/// The column that holds the units of a table's rows, of the table's first rows.
fn unit_column(cells: &[Cell]) -> Option<u32> {
    let mut tallies = [Tally::default(); TALLIED.1 as usize];
    for cell in cells.iter().filter(|cell| cell.column > 0) {
        let Some(tally) = tallies.get_mut(cell.column as usize) else {
            continue;
        };
        if cell.is_unit {
            tally.units += 1;
        } else if cell.row > 0 && !cell.has_unit {
            tally.others += 1;
        }
    }
    let units = |tally: &Tally| tally.units >= 2 && tally.others * 2 < tally.units;
    tallies.iter().position(units).map(|column| column as u32)
}

/// Columns of somebody else's things: those without the family name that two or more of the heads begin with.
fn strange(heads: &[(u32, &str)]) -> Vec<u32> {
    const WORD: usize = 3;
    let first = |text: &str| {
        let word = text
            .split(|c: char| !c.is_alphanumeric())
            .next()
            .unwrap_or("");
        let is_name = word.chars().count() >= WORD && word.starts_with(char::is_uppercase);
        (is_name && vocabulary::topic(word).is_none()).then(|| word.to_owned())
    };
    let family = heads.iter().enumerate().find_map(|(place, (_, text))| {
        let family = first(text)?;
        let again = heads[place + 1..]
            .iter()
            .any(|(_, other)| first(other).as_ref() == Some(&family));
        again.then_some(family)
    });
    let Some(family) = family else {
        return Vec::new();
    };
    let others = heads.iter().filter(|(_, text)| {
        let mut words = text.split(|c: char| !c.is_alphanumeric());
        let names =
            words.any(|word| word.chars().count() >= WORD && vocabulary::topic(word).is_none());
        names && !text.contains(&family) && !names_a_quantity(text)
    });
    others.map(|(column, _)| *column).collect()
}

/// The year in a head that names a quantity, and the head without it: `List 2025`.
pub(super) fn year_of(text: &str) -> Option<(String, u32)> {
    let is_year = |word: &&str| word.len() == 4 && word.starts_with("20");
    let written = text.split([' ', '(', ')']).find(is_year)?;
    let year = written.parse().ok()?;
    let rest = text.replacen(written, "", 1).to_lowercase();
    vocabulary::has_topic(&rest).then_some((rest, year))
}

fn has_word(text: &str, words: &[Word]) -> bool {
    text.split(|c: char| !c.is_alphanumeric())
        .any(|word| !word.is_empty() && words.contains(&Word::read(word)))
}

/// Whether a head names what is measured, so that it heads figures of that and not somebody's.
fn names_a_quantity(text: &str) -> bool {
    unit_words::of_head(text).is_some()
        || text
            .split(|c: char| !c.is_alphanumeric())
            .filter_map(vocabulary::topic)
            .any(|topic| {
                matches!(
                    topic,
                    Topic::Depth
                        | Topic::Power
                        | Topic::Pressure
                        | Topic::Air
                        | Topic::Sound
                        | Topic::Price
                        | Topic::Weight
                        | Topic::Line
                        | Topic::Diffuser
                )
            })
}

/// Whether a head says that units stand under it.
pub(super) fn says_unit(text: &str) -> bool {
    let bare = text.trim_matches(['(', ')', '[', ']', ':', ' ', '.']);
    UNITS.iter().any(|word| bare.eq_ignore_ascii_case(word))
}

/// Whether a cell is one short word without figures.
fn is_word(text: &str) -> bool {
    text.len() <= 12 && text.chars().all(|c| c.is_alphabetic() || c == '.')
}

/// Whether a cell under a name does nothing but bound it: `up to`, `max.`
fn bounds(text: &str) -> bool {
    [
        "up to", "max", "max.", "min", "min.", "approx.", "each", "total", "to",
    ]
    .iter()
    .any(|word| text.eq_ignore_ascii_case(word))
}

/// Whether a cell is nothing but a unit or a currency.
fn is_unit(text: &str) -> bool {
    const LONGEST: usize = 24;
    text.len() <= LONGEST
        && !text.starts_with(|c: char| c.is_ascii_digit())
        && (unit_words::whole(text).is_some()
            || money_of(text).is_some()
            || matches!(
                text,
                "-" | "–" | "—" | "pcs" | "pc" | "ea" | "Stk" | "Stück" | "no." | "×"
            ))
}

/// The currency's code or sign that a cell begins with, if hardly more stands there: `USD`, `€`, `GBP/month`.
fn money_of(text: &str) -> Option<&str> {
    let bare = text.trim_matches(['(', ')', '[', ']', ' ']);
    if bare.starts_with(|c: char| c.is_ascii_lowercase()) {
        return None;
    }
    let sign = ["€", "£", "$", "US$", "CA$"]
        .iter()
        .find(|sign| bare.starts_with(**sign));
    let length = match sign {
        Some(sign) => sign.len(),
        None => {
            let code = bare.get(..3)?;
            if !code.bytes().all(|byte| byte.is_ascii_uppercase()) {
                return None;
            }
            crate::units::Currency::from_code(code)?;
            3
        }
    };
    let rest = bare.get(length..)?;
    (rest.is_empty()
        || rest.starts_with(['/', ' ']) && !rest.contains(|c: char| c.is_ascii_digit()))
    .then(|| &bare[..length])
}

/// A first row that says under what the figures below it hold: `Diffuser at | 4 ft | 7 ft`.
fn stated_in_a_row(cells: &[Cell], passages: &[Passage]) -> Option<u32> {
    let row = cells.iter().map(|cell| cell.row).min()?;
    let text = |cell: &Cell| passages[cell.passage as usize].text.as_str();
    let mut of_row = cells.iter().filter(|cell| cell.row == row);
    let label = of_row.next().filter(|cell| cell.column == 0)?;
    let small = text(label).to_lowercase();
    let bare = small.trim_end_matches([':', ' ']);
    let states = bare.ends_with(" at")
        || bare.starts_with("at ")
        || bare == "at"
        || bare.starts_with("with the");
    let mut figures = 0;
    for cell in of_row {
        let text = text(cell);
        let unit = text.trim_start_matches(|c: char| {
            c.is_ascii_digit() || matches!(c, '.' | ',' | ' ' | '½' | '¼')
        });
        if !is_figure(text) || unit_words::whole(unit).is_none() {
            return None;
        }
        figures += 1;
    }
    (states && figures > 1).then_some(row)
}

/// Whether a cell holds a figure and hardly more.
fn is_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 40
}

/// Whether cells without markup are heads: words without figures, and more than a name and its value.
fn are_names(cells: &[&str], cornered: bool) -> bool {
    let is_name = |text: &&str| {
        let figures = text.chars().filter(char::is_ascii_digit).count();
        !text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '$' | '€' | '£'))
            && figures * 3 < text.chars().count().max(1)
            && text.len() <= 60
    };
    if !cells.iter().all(is_name) || cells.iter().any(|text| text.ends_with(':')) {
        return false;
    }
    if let [_, second] = cells
        && !cornered
    {
        let says = |text: &str| {
            VALUES.iter().any(|word| text.eq_ignore_ascii_case(word))
                || unit_words::of_head(text).is_some()
                || text
                    .split(|c: char| !c.is_alphanumeric())
                    .next()
                    .is_some_and(|word| vocabulary::topic(word).is_some())
        };
        return says(second) && !second.contains(|c: char| c.is_ascii_digit());
    }
    true
}

#[cfg(test)]
mod tests {
    use super::super::csv;
    use super::super::layout::Layout;
    use super::*;

    fn heads(text: &str, row: u32, column: u32) -> Vec<String> {
        let mut layout = Layout::default();
        csv::read(text, 0, &mut layout);
        let tables = Tables::of(&layout.passages);
        tables
            .above(1, row, column)
            .into_iter()
            .flatten()
            .map(|number| layout.passages[number as usize].text.to_string())
            .collect()
    }

    #[test]
    fn a_title_stands_above_the_heads() {
        assert_eq!(
            heads("Price list 26,,\nItem,Depth (ft),Watts\nA-1,6,38\n", 2, 1),
            ["Depth (ft)"]
        );
        assert_eq!(
            heads("Depth,Area,Flow\nft,acre,cfm\n6,1/4,1.8\n", 2, 2),
            ["cfm", "Flow"]
        );
        assert_eq!(
            heads("Depth:,6 ft\nFlow:,1.8 cfm\n", 1, 1),
            Vec::<String>::new()
        );
        assert_eq!(
            heads("Name,Dabchick\nFlow,1.8 cfm\n", 1, 1),
            Vec::<String>::new()
        );
    }
}
