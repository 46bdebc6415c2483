//! Aligned columns whose last one takes what width is left.

use unicode_width::UnicodeWidthStr;

use super::theme::{Role, Theme};
use super::words::wrap;

/// Columns between two cells.
const GAP: usize = 2;

/// How much room a table has.
#[derive(Debug, Clone, Copy)]
pub struct Room {
    /// Columns of the page.
    pub width: usize,
    /// Columns before each line.
    pub indent: usize,
    /// No column but the last is wider: a cell wraps rather than push all others aside.
    pub widest: usize,
    /// The last column wraps in its own place if that has so many columns; else it goes beneath.
    pub least: usize,
}

/// A cell: clean text and what it is.
#[derive(Debug, Clone)]
pub struct Cell {
    /// The text.
    pub text: String,
    /// What it is.
    pub role: Role,
}

impl Cell {
    /// A cell of clean text.
    pub fn new(text: impl Into<String>, role: Role) -> Cell {
        Cell {
            text: text.into(),
            role,
        }
    }
}

/// A line of the table.
#[derive(Debug, Clone)]
pub enum Row {
    /// What the columns are.
    Heads(Vec<Cell>),
    /// Cells, the last of which may be long.
    Cells(Vec<Cell>),
    /// A line across all columns.
    Across(Vec<Cell>),
}

impl Row {
    /// The cells that stand in columns.
    fn cells(&self) -> Option<&Vec<Cell>> {
        match self {
            Row::Heads(cells) | Row::Cells(cells) => Some(cells),
            Row::Across(_) => None,
        }
    }
}

/// Lays out `rows`.
pub fn lay(rows: &[Row], room: Room, theme: &Theme) -> String {
    let columns = Columns::of(rows, room);
    let indent = room.indent;
    let mut head = None;
    let mut text = String::new();
    for row in rows {
        match row {
            Row::Across(cells) => across(cells, room.width, indent, theme, &mut text),
            // A head has no place over what goes beneath, so it stands before it.
            Row::Heads(cells) if columns.last.is_none() => {
                let (beside, last) = cells.split_at(cells.len().min(columns.widths.len()));
                head = last.first().map(|cell| cell.text.as_str());
                columns.line(beside, head, indent, theme, &mut text);
            }
            Row::Heads(cells) | Row::Cells(cells) => {
                columns.line(cells, head, indent, theme, &mut text);
            }
        }
    }
    text
}

/// Whether `rows` have room for all that stands in columns, and for the last one to wrap in its own place.
pub fn fits(rows: &[Row], room: Room) -> bool {
    let columns = Columns::of(rows, room);
    columns.last.is_some() && !columns.squeezed
}

/// The widths of all columns.
struct Columns {
    /// Of all but the last.
    widths: Vec<usize>,
    /// The last one's; nothing if it goes beneath.
    last: Option<usize>,
    /// What a line beneath has.
    beneath: usize,
    /// Whether a column is narrower than what stands in it.
    squeezed: bool,
}

impl Columns {
    fn of(rows: &[Row], room: Room) -> Columns {
        let width = room.width.saturating_sub(room.indent);
        let all = || rows.iter().filter_map(Row::cells);
        let count = all().map(Vec::len).max().unwrap_or(1).max(1);
        let mut widths = vec![0; count - 1];
        let mut longest = 0;
        for cells in all() {
            for (column, cell) in cells.iter().enumerate() {
                let needs = cell.text.width();
                match widths.get_mut(column) {
                    Some(width) => *width = needs.min(room.widest).max(*width),
                    None => longest = longest.max(needs),
                }
            }
        }
        // The widest gives way where all together leave no room.
        let mut squeezed = false;
        while widths.iter().sum::<usize>() + GAP * widths.len() > width {
            let Some(widest) = widths.iter_mut().max().filter(|widest| **widest > 4) else {
                break;
            };
            *widest -= 1;
            squeezed = true;
        }
        let taken = widths.iter().sum::<usize>() + GAP * widths.len();
        let left = width.saturating_sub(taken);
        let fits = left >= room.least || left >= longest;
        Columns {
            last: fits.then_some(left.max(1)),
            beneath: width.saturating_sub(2 * GAP).max(1),
            widths,
            squeezed,
        }
    }

    /// Writes a row, over several lines where a cell is wrapped; `head` is that of what goes beneath.
    fn line(
        &self,
        cells: &[Cell],
        head: Option<&str>,
        indent: usize,
        theme: &Theme,
        text: &mut String,
    ) {
        let (first, last) = cells.split_at(cells.len().min(self.widths.len()));
        let mut wrapped: Vec<Vec<String>> = first
            .iter()
            .zip(&self.widths)
            .map(|(cell, &width)| wrap(&cell.text, width))
            .collect();
        let mut roles: Vec<Role> = first.iter().map(|cell| cell.role).collect();
        let mut widths = self.widths.clone();
        let last = last.first().filter(|cell| !cell.text.is_empty());
        if let (Some(cell), Some(width)) = (last, self.last) {
            // A row that is short of cells has its last one in the last column all the same.
            wrapped.resize(self.widths.len(), Vec::new());
            roles.resize(self.widths.len(), Role::Plain);
            wrapped.push(wrap(&cell.text, width));
            roles.push(cell.role);
            widths.push(width);
        }
        let height = wrapped.iter().map(Vec::len).max().unwrap_or(0);
        for line in 0..height {
            let mut written = " ".repeat(indent);
            let mut owed = 0;
            for ((cell, role), width) in wrapped.iter().zip(&roles).zip(&widths) {
                let piece = cell.get(line).map_or("", String::as_str);
                if !piece.is_empty() {
                    written.push_str(&" ".repeat(owed));
                    owed = 0;
                    written.push_str(&theme.paint(*role, piece));
                }
                owed += width.saturating_sub(piece.width()) + GAP;
            }
            text.push_str(&written);
            text.push('\n');
        }
        if let (Some(cell), None) = (last, self.last) {
            let head = head.filter(|head| !head.is_empty());
            let labelled = head.map(|head| format!("{head}: {}", cell.text));
            for piece in wrap(labelled.as_ref().unwrap_or(&cell.text), self.beneath) {
                text.push_str(&" ".repeat(indent + 2 * GAP));
                text.push_str(&theme.paint(cell.role, &piece));
                text.push('\n');
            }
        }
    }
}

/// Writes cells side by side, cut short where they are too long for a line.
fn across(cells: &[Cell], width: usize, indent: usize, theme: &Theme, text: &mut String) {
    let mut left = width.saturating_sub(indent);
    let mut written = " ".repeat(indent);
    for (place, cell) in cells.iter().enumerate() {
        let gap = if place == 0 { 0 } else { GAP };
        let shown = super::words::shorten(&cell.text, left.saturating_sub(gap), theme);
        if shown.is_empty() {
            break;
        }
        written.push_str(&" ".repeat(gap));
        left = left.saturating_sub(gap + shown.width());
        written.push_str(&theme.paint(cell.role, &shown));
    }
    text.push_str(written.trim_end());
    text.push('\n');
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Theme = Theme {
        color: false,
        unicode: true,
    };

    fn room(width: usize, indent: usize) -> Room {
        Room {
            width,
            indent,
            widest: 40,
            least: 20,
        }
    }

    fn row(cells: &[&str]) -> Row {
        Row::Cells(
            cells
                .iter()
                .map(|text| Cell::new(*text, Role::Plain))
                .collect(),
        )
    }

    #[test]
    fn columns_stand_below_each_other_and_the_last_wraps() {
        let rows = [
            row(&["a", "long cell", "one two three four five six seven eight"]),
            row(&["bb", "c", "x"]),
        ];
        let wide = lay(&rows, room(42, 1), &PLAIN);
        assert_eq!(
            wide,
            " a   long cell  one two three four five\n                six seven eight\n bb  c          x\n"
        );
        let narrow = lay(&rows, room(24, 0), &PLAIN);
        assert_eq!(
            narrow,
            "a   long cell\n    one two three four\n    five six seven eight\nbb  c\n    x\n"
        );
    }

    #[test]
    fn what_goes_beneath_keeps_its_head() {
        let heads = ["need", "worst to best"].map(|text| Cell::new(text, Role::Quiet));
        let rows = [
            Row::Heads(heads.to_vec()),
            row(&["a pressure", "23 to 17 kPa"]),
            row(&["a supply", ""]),
        ];
        let narrow = lay(&rows, room(20, 0), &PLAIN);
        assert_eq!(
            narrow,
            "need\na pressure\n    worst to best:\n    23 to 17 kPa\na supply\n"
        );
    }

    #[test]
    fn nothing_is_wider_than_it_may_be() {
        let long = "x".repeat(300);
        let rows = [
            row(&[&long, &long, &long]),
            Row::Across(vec![Cell::new(long.clone(), Role::Strong)]),
        ];
        for width in [1, 5, 20, 80] {
            for line in lay(&rows, room(width, 0), &PLAIN).lines() {
                assert!(line.width() <= width.max(16), "{width}: {line}");
            }
        }
    }
}
