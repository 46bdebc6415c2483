//! Which cells of a table head its rows and columns.

use hashbrown::HashMap;

use super::layout::{Passage, Role};
use super::unit_words;
use super::vocabulary;

/// How many rows at the top of a table may hold a title and heads.
const HIGHEST: u32 = 6;

/// How many columns are looked at for heads.
const WIDEST: u32 = 512;

/// The heads above a cell, the nearest first: passages of its column.
pub type Heads = [Option<u32>; 2];

type Keyed<T> = HashMap<(u32, u32), T, fnv::FnvBuildHasher>;

/// Which passage heads which row and column of each table.
#[derive(Default)]
pub struct Tables {
    /// Heads of columns, by table and column.
    columns: Keyed<Heads>,
    /// Heads of rows, by table and row: the cell of the first column.
    rows: Keyed<u32>,
    /// First and last row of heads, by table.
    heads: HashMap<u32, (u32, u32), fnv::FnvBuildHasher>,
}

/// A cell near the top of a table.
#[derive(Clone, Copy)]
struct Cell {
    row: u32,
    column: u32,
    passage: u32,
    marked: bool,
}

impl Tables {
    /// Finds them.
    pub fn of(passages: &[Passage]) -> Tables {
        let mut tables = Tables::default();
        let mut tops: HashMap<u32, Vec<Cell>, fnv::FnvBuildHasher> = HashMap::default();
        for (number, passage) in passages.iter().enumerate() {
            let Role::Cell {
                table,
                row,
                column,
                head,
            } = passage.role
            else {
                continue;
            };
            let number = number as u32;
            if row <= HIGHEST && column < WIDEST {
                tops.entry(table).or_default().push(Cell {
                    row,
                    column,
                    passage: number,
                    marked: head,
                });
            }
            if column == 0 {
                tables.rows.insert((table, row), number);
            }
        }
        for (&table, cells) in &tops {
            tables.head(table, cells, passages);
        }
        tables
    }

    fn head(&mut self, table: u32, cells: &[Cell], passages: &[Passage]) {
        let of_row = |row: u32| cells.iter().filter(move |cell| cell.row == row);
        let text = |cell: &Cell| passages[cell.passage as usize].text.as_str();
        let marked = |row: u32| of_row(row).count() > 0 && of_row(row).all(|cell| cell.marked);
        let (first, last) = if let Some(first) =
            (0..HIGHEST).find(|&row| marked(row) && of_row(row).any(|cell| cell.column > 0))
        {
            let last = (first..HIGHEST)
                .take_while(|&row| marked(row))
                .last()
                .unwrap_or(first);
            (first, last)
        } else {
            // A title may hold separators of its own; the heads are as many as the columns.
            let widest = (0..=HIGHEST)
                .map(|row| of_row(row).count())
                .max()
                .unwrap_or(0);
            let Some(first) = (0..HIGHEST)
                .find(|&row| of_row(row).count() > 1 && of_row(row).count() * 4 >= widest * 3)
            else {
                return;
            };
            let names: Vec<&str> = of_row(first).map(text).collect();
            if !are_names(&names) {
                return;
            }
            // A row of nothing but units stands under the names.
            let units = of_row(first + 1).count() > 1
                && of_row(first + 1).all(|cell| {
                    unit_words::of_head(text(cell)).is_some()
                        && !text(cell).contains(|c: char| c.is_ascii_digit())
                });
            (first, first + u32::from(units))
        };
        // A pair of a name and a figure is no head, even where the markup says so.
        let pair = of_row(first).count() == 2
            && cells.iter().all(|cell| cell.column < 2)
            && of_row(first).any(|cell| cell.column == 1 && is_figure(text(cell)));
        if pair {
            return;
        }
        self.heads.insert(table, (first, last));
        for cell in of_row(last) {
            self.columns.entry((table, cell.column)).or_default()[0] = Some(cell.passage);
        }
        for row in (first..last).rev() {
            for cell in of_row(row) {
                let heads = self.columns.entry((table, cell.column)).or_default();
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
                if let Some(left) = left
                    && let Some(heads) = self.columns.get_mut(&(table, column))
                {
                    heads[1].get_or_insert(left.passage);
                }
            }
        }
    }

    /// The heads of a cell's column, the nearest first; none of a head itself.
    pub fn above(&self, table: u32, row: u32, column: u32) -> Heads {
        // Neither heads nor a title above them have heads.
        if self.heads.get(&table).is_some_and(|&(_, last)| row <= last) {
            return Heads::default();
        }
        self.columns
            .get(&(table, column))
            .copied()
            .unwrap_or_default()
    }

    /// The first cell of a row.
    pub fn first(&self, table: u32, row: u32) -> Option<u32> {
        self.rows.get(&(table, row)).copied()
    }

    /// Whether a row is one of heads.
    pub fn is_head(&self, table: u32, row: u32) -> bool {
        self.heads
            .get(&table)
            .is_some_and(|&(first, last)| (first..=last).contains(&row))
    }
}

/// Whether a cell holds a figure and hardly more.
fn is_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit()) && text.len() <= 40
}

/// Whether cells without markup are heads: words without figures, and more than a name and its value.
fn are_names(cells: &[&str]) -> bool {
    let is_name = |text: &&str| {
        let figures = text.chars().filter(char::is_ascii_digit).count();
        !text.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '$' | '€' | '£'))
            && figures * 3 < text.chars().count().max(1)
            && text.len() <= 60
    };
    if !cells.iter().all(is_name) || cells.iter().any(|text| text.ends_with(':')) {
        return false;
    }
    if let [_, second] = cells {
        const VALUES: &[&str] = &[
            "value",
            "values",
            "data",
            "specification",
            "spec",
            "specs",
            "details",
            "detail",
            "wert",
            "werte",
            "daten",
            "valeur",
            "waarde",
            "valor",
            "rating",
            "figure",
            "description",
            "every",
            "interval",
            "amount",
        ];
        let says = |text: &str| {
            VALUES.iter().any(|word| text.eq_ignore_ascii_case(word))
                || unit_words::of_head(text).is_some()
                || text
                    .split(|c: char| !c.is_alphanumeric())
                    .next()
                    .is_some_and(|word| vocabulary::topic(word).is_some())
        };
        return says(second);
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
            .map(|number| layout.passages[number as usize].text.clone())
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
