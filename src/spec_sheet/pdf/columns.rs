//! The order in which a page is read: columns one after the other, the rows of a table across.
//!
//! Both look alike: parts of rows with a gap down the page. What tells them apart is the order in which they are
//! drawn. Who sets columns draws one and then the other; who sets a table draws it row by row.

use super::lines::Cell;

/// A gap of columns within a gap of columns, no deeper.
const DEEPEST: u32 = 10;
/// Places of a gap that are tried.
const MOST_PLACES: usize = 300;

/// Parts of a page that are read one after the other, each as rows from its top.
pub fn blocks(rows: Vec<Vec<Cell>>) -> Vec<Vec<Vec<Cell>>> {
    let mut blocks = Vec::new();
    arrange(rows, 0, &mut blocks);
    blocks
}

fn arrange(rows: Vec<Vec<Cell>>, depth: u32, blocks: &mut Vec<Vec<Vec<Cell>>>) {
    if rows.is_empty() {
        return;
    }
    let gap = if depth < DEEPEST {
        best_gap(&rows)
    } else {
        None
    };
    let Some(gap) = gap else {
        blocks.push(rows);
        return;
    };
    let mut rows = rows;
    let below = rows.split_off(gap.rows.end);
    let band = rows.split_off(gap.rows.start);
    arrange(rows, depth + 1, blocks);
    let (mut left, mut right) = (Vec::new(), Vec::new());
    for row in band {
        let (before, after): (Vec<Cell>, Vec<Cell>) =
            row.into_iter().partition(|cell| cell.u1 <= gap.at + SLACK);
        left.push(before);
        right.push(after);
    }
    for mut side in [left, right] {
        side.retain(|row| !row.is_empty());
        arrange(side, depth + 1, blocks);
    }
    arrange(below, depth + 1, blocks);
}

/// A part that reaches over a gap by no more than this many points doesn't cross it.
const SLACK: f64 = 1.0;

struct Gap {
    at: f64,
    rows: std::ops::Range<usize>,
}

/// The gap between columns beside which the most letters stand.
fn best_gap(rows: &[Vec<Cell>]) -> Option<Gap> {
    let mut places: Vec<f64> = Vec::new();
    for row in rows {
        for pair in row.windows(2) {
            places.push(f64::midpoint(pair[0].u1, pair[1].u0));
        }
        // Columns whose lines stand at different heights have no row in common.
        places.extend(row.iter().map(|cell| cell.u0 - 0.4 * cell.size));
    }
    places.sort_by(f64::total_cmp);
    places.dedup_by(|b, a| *b - *a < 3.0);
    let step = places.len().div_ceil(MOST_PLACES).max(1);
    let mut best: Option<(usize, Gap)> = None;
    for &at in places.iter().step_by(step) {
        for rows_of in bands(rows, at) {
            let letters = columns(&rows[rows_of.clone()], at);
            if letters > best.as_ref().map_or(0, |(most, _)| *most) {
                best = Some((letters, Gap { at, rows: rows_of }));
            }
        }
    }
    best.map(|(_, gap)| gap)
}

/// The stretches of rows in which nothing crosses `at`.
fn bands(rows: &[Vec<Cell>], at: f64) -> Vec<std::ops::Range<usize>> {
    let mut bands = Vec::new();
    let mut from = 0;
    for (number, row) in rows.iter().enumerate() {
        if row
            .iter()
            .any(|cell| cell.u0 < at - SLACK && cell.u1 > at + SLACK)
        {
            bands.push(from..number);
            from = number + 1;
        }
    }
    bands.push(from..rows.len());
    bands.retain(|band| band.len() >= 2);
    bands
}

/// How many letters stand in the columns on both sides of `at`; 0 if they are none.
fn columns(band: &[Vec<Cell>], at: f64) -> usize {
    let mut cells: Vec<(&Cell, bool)> = band
        .iter()
        .flatten()
        .map(|cell| (cell, cell.u0 >= at - SLACK))
        .collect();
    let of = |right: bool| {
        cells
            .iter()
            .filter(move |(_, is_right)| *is_right == right)
            .map(|(cell, _)| *cell)
    };
    let count = |right: bool| {
        band.iter()
            .filter(|row| row.iter().any(|cell| (cell.u0 >= at - SLACK) == right))
            .count()
    };
    let (left, right) = (count(false), count(true));
    if left < 2 || right < 2 {
        return 0;
    }
    let edge = of(false).map(|cell| cell.u1).fold(f64::MIN, f64::max);
    let other = of(true).map(|cell| cell.u0).fold(f64::MAX, f64::min);
    let size = cells
        .iter()
        .map(|(cell, _)| cell.size)
        .fold(f64::MAX, f64::min);
    if other - edge < 0.7 * size {
        return 0;
    }
    let letters: usize = cells.iter().map(|(cell, _)| cell.letters()).sum();
    let in_common = band.iter().filter(|row| {
        row.iter().any(|cell| cell.u0 < at - SLACK) && row.iter().any(|cell| cell.u0 >= at - SLACK)
    });
    let in_common = in_common.count();
    let mean = |right: bool, rows: usize| of(right).map(Cell::letters).sum::<usize>() / rows;
    let short = mean(false, left) < 22 && mean(true, right) < 22;
    let prose = mean(false, left) >= 35 && mean(true, right) >= 35 && left >= 5 && right >= 5;
    cells.sort_by_key(|(cell, _)| cell.order);
    let switches = cells
        .windows(2)
        .filter(|pair| pair[0].1 != pair[1].1)
        .count();
    // A table that is drawn row by row changes sides twice for each row; columns change once.
    let by_column = switches <= 1 || 10 * switches <= 6 * left.min(right);
    // Some draw a table column by column; its rows are then all in common, and short, and few go on with a sentence.
    let goes_on = cells.iter().filter(|(cell, _)| {
        let first = cell.words.first().and_then(|word| word.text.chars().next());
        first.is_some_and(char::is_lowercase)
    });
    let running = 10 * goes_on.count() >= 3 * cells.len();
    let table = short && !running && in_common >= 3 && 10 * in_common >= 9 * left.max(right);
    if (by_column && !table) || prose {
        letters
    } else {
        0
    }
}
