//! From glyphs to lines: words, rows of a page, and the parts of a row that wide gaps hold apart.

use crate::text::Frame;

use super::glyphs::Glyph;

/// A word on its page.
#[derive(Debug, Clone)]
pub struct Word {
    /// Its letters.
    pub text: String,
    /// Along the line of writing.
    pub u0: f64,
    /// Its end along the line of writing.
    pub u1: f64,
    /// Its base line.
    pub v: f64,
    /// Size of its font.
    pub size: f64,
    /// Its box on the page.
    pub frame: Frame,
    /// Whether all of it is bold.
    pub bold: bool,
    /// Its number in the order in which the page is drawn.
    order: usize,
    /// Whether no blank stands between it and the word before.
    joined: bool,
    /// Whether a blank stands before it although there is no room for one.
    apart: bool,
}

/// A part of a row that wide gaps hold apart from the others.
#[derive(Debug, Clone)]
pub struct Cell {
    /// Its words from left to right.
    pub words: Vec<Word>,
    /// Its left edge.
    pub u0: f64,
    /// Its right edge.
    pub u1: f64,
    /// The base line of its row: cells of one row have the same.
    pub v: f64,
    /// Size of its largest words.
    pub size: f64,
    /// When it is drawn.
    pub order: usize,
}

impl Cell {
    /// How many letters it has.
    pub fn letters(&self) -> usize {
        self.words
            .iter()
            .map(|word| word.text.chars().count())
            .sum()
    }
}

/// The rows of what is written in one direction, from the top, each in its parts.
pub fn rows(glyphs: &[&Glyph]) -> Vec<Vec<Cell>> {
    let mut rows = cluster(words(glyphs));
    raised(&mut rows);
    rows.retain(|row| !row.words.is_empty());
    rows.into_iter().map(Row::cells).collect()
}

/// Share of the font's size that a gap within a word doesn't reach. A blank of most fonts is a quarter.
const WITHIN: f64 = 0.16;

fn words(glyphs: &[&Glyph]) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut open = false;
    for (order, glyph) in glyphs.iter().enumerate() {
        let text = glyph.text.as_deref().unwrap_or("\u{fffd}");
        let text: String = text
            .chars()
            .filter(|c| !c.is_control())
            .flat_map(spelled)
            .collect();
        if text.trim().is_empty() {
            open = false;
            continue;
        }
        let last = words.last_mut().filter(|last| {
            let gap = glyph.u0 - last.u1;
            open && (glyph.v - last.v).abs() <= 0.05 * last.size
                && (0.9..1.1).contains(&(glyph.size / last.size))
                && gap <= WITHIN * last.size
                && gap >= -0.5 * last.size
        });
        if let Some(last) = last {
            last.text.push_str(&text);
            last.u1 = last.u1.max(glyph.u1);
            last.frame = last.frame.around(glyph.frame);
            last.bold &= glyph.bold;
        } else {
            words.push(Word {
                text,
                u0: glyph.u0,
                u1: glyph.u1,
                v: glyph.v,
                size: glyph.size,
                frame: glyph.frame,
                bold: glyph.bold,
                order,
                joined: open,
                apart: false,
            });
        }
        open = true;
    }
    words
}

/// Letters drawn as one are two again, and a blank of any width is a blank.
fn spelled(c: char) -> impl Iterator<Item = char> {
    let spelled: &[char] = match c {
        'ﬀ' => &['f', 'f'],
        'ﬁ' => &['f', 'i'],
        'ﬂ' => &['f', 'l'],
        'ﬃ' => &['f', 'f', 'i'],
        'ﬄ' => &['f', 'f', 'l'],
        'ﬅ' | 'ﬆ' => &['s', 't'],
        _ => &[],
    };
    let same = spelled.is_empty().then_some(c);
    same.into_iter().chain(spelled.iter().copied())
}

struct Row {
    v: f64,
    size: f64,
    words: Vec<Word>,
}

/// Words on one base line, the rows from the top.
fn cluster(mut words: Vec<Word>) -> Vec<Row> {
    words.sort_by(|a, b| b.v.total_cmp(&a.v).then(a.order.cmp(&b.order)));
    let mut rows: Vec<Row> = Vec::new();
    for word in words {
        match rows.last_mut() {
            Some(row) if row.v - word.v <= 0.2 * row.size.min(word.size) => {
                row.size = row.size.max(word.size);
                row.words.push(word);
            }
            _ => rows.push(Row {
                v: word.v,
                size: word.size,
                words: vec![word],
            }),
        }
    }
    for row in &mut rows {
        // The base line is that of the largest words.
        let large = row.words.iter().max_by(|a, b| a.size.total_cmp(&b.size));
        row.v = large.map_or(row.v, |word| word.v);
    }
    rows
}

/// Small words that touch a larger one and stand a little higher or lower belong to its row.
fn raised(rows: &mut [Row]) {
    for at in 0..rows.len() {
        let mut kept = Vec::new();
        for word in std::mem::take(&mut rows[at].words) {
            match touched(rows, at, &word) {
                Some((row, place)) => {
                    let text = if place == Place::Below {
                        word.text.clone()
                    } else {
                        superscript(&word.text)
                    };
                    let joined = place != Place::Before;
                    let apart = place == Place::Mark;
                    rows[row].words.push(Word {
                        text,
                        joined,
                        apart,
                        ..word
                    });
                }
                None => kept.push(word),
            }
        }
        // Others may have come meanwhile.
        rows[at].words.extend(kept);
    }
}

/// Where a small word stands beside a larger one.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    /// Raised behind it: an exponent.
    Above,
    /// Raised behind a whole word: the mark of a footnote, which is no part of the word.
    Mark,
    /// Lowered behind it.
    Below,
    /// Raised before it: the footnote itself.
    Before,
}

/// The row whose larger word `small` touches, and how.
fn touched(rows: &[Row], own: usize, small: &Word) -> Option<(usize, Place)> {
    let near = |row: &&usize| {
        let apart = rows[**row].v - small.v;
        apart.abs() <= 2.0 * rows[**row].size
    };
    // Rows are in order, so those that are near stand beside it.
    let before: Vec<usize> = (0..own).rev().take(4).collect();
    let after: Vec<usize> = (own + 1..rows.len()).take(4).collect();
    for row in after.iter().chain(&before).filter(near) {
        for large in &rows[*row].words {
            let rise = (small.v - large.v) / large.size;
            let gap = (small.u0 - large.u1) / large.size;
            let before = (large.u0 - small.u1) / large.size;
            if small.size > 0.85 * large.size || !(-0.35..=0.65).contains(&rise) {
                continue;
            }
            if (-0.15..=0.2).contains(&gap) {
                return Some((
                    *row,
                    if rise <= 0.1 {
                        Place::Below
                    } else if is_long(&large.text) {
                        Place::Mark
                    } else {
                        Place::Above
                    },
                ));
            }
            if rise > 0.1 && (-0.15..=0.4).contains(&before) {
                return Some((*row, Place::Before));
            }
        }
    }
    None
}

/// Whether a word ends in more letters than a unit that has a power.
fn is_long(word: &str) -> bool {
    let letters = word.chars().rev().take_while(|c| c.is_alphabetic());
    letters.count() > 3
}

/// Raised figures as signs of their own; other words as they are.
fn superscript(text: &str) -> String {
    const RAISED: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    if text.is_empty() || !text.bytes().all(|byte| byte.is_ascii_digit()) {
        return text.to_owned();
    }
    text.bytes()
        .map(|digit| RAISED[usize::from(digit - b'0') % 10])
        .collect()
}

impl Row {
    /// Takes the row apart where gaps are much wider than between words.
    fn cells(mut self) -> Vec<Cell> {
        self.words
            .sort_by(|a, b| a.u0.total_cmp(&b.u0).then(a.order.cmp(&b.order)));
        // Bold letters are sometimes the same ones drawn twice.
        self.words.dedup_by(|b, a| {
            let twice = (a.u0 - b.u0).abs() < 0.15 * a.size && a.text == b.text;
            a.bold |= twice;
            twice
        });
        let mut gaps: Vec<f64> = self
            .words
            .windows(2)
            .map(|pair| (pair[1].u0 - pair[0].u1) / pair[0].size.max(pair[1].size))
            .filter(|gap| *gap > WITHIN)
            .collect();
        gaps.sort_by(f64::total_cmp);
        // Justified lines have wide blanks, but then even the narrowest is; one that is wider still holds columns apart.
        let least = gaps
            .first()
            .filter(|least| gaps.len() >= 3 && **least < 0.7);
        let usual = least.map_or(0.33, |least| least.min(0.6));
        let wide = (2.0 * usual).clamp(0.75, 1.2);
        let mut cells: Vec<Cell> = Vec::new();
        for word in self.words {
            let start = cells.last().is_none_or(|cell| {
                let size = cell
                    .words
                    .last()
                    .map_or(word.size, |last| last.size.max(word.size));
                word.u0 - cell.u1 > wide * size
            });
            if start {
                cells.push(Cell {
                    u0: word.u0,
                    u1: word.u1,
                    v: self.v,
                    size: word.size,
                    order: word.order,
                    words: vec![word],
                });
            } else if let Some(cell) = cells.last_mut() {
                cell.u1 = cell.u1.max(word.u1);
                cell.size = cell.size.max(word.size);
                cell.order = cell.order.min(word.order);
                cell.words.push(word);
            }
        }
        cells
    }
}

impl Word {
    /// Whether no blank stands between `before` and this word.
    pub fn follows(&self, before: &Word) -> bool {
        let gap = (self.u0 - before.u1) / before.size.max(self.size);
        // What a page draws in two goes is one word if there is no room for a blank.
        !self.apart && gap <= if self.joined { WITHIN } else { 0.05 }
    }
}
