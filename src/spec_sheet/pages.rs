//! Sheets of pages: paragraphs, headings and tables by where their words stand.

use std::num::NonZeroU32;
use std::ops::Range;

use crate::text::{Frame, PagedText, Source};

use super::layout::{Layout, Role};
use super::plain::{is_heading, looks_labelled, starts_item};

/// A part of a line.
#[derive(Debug, Clone)]
struct Part {
    /// Its bytes.
    at: Range<usize>,
    /// Its box.
    frame: Frame,
    /// The height of its highest word, which tells the size of its letters.
    height: f64,
    /// Whether every word of it is bold.
    bold: bool,
}

/// A line of a page with its parts.
#[derive(Debug, Clone)]
struct Line {
    parts: Vec<Part>,
    page: u32,
}

impl Line {
    fn height(&self) -> f64 {
        self.parts
            .iter()
            .map(|part| part.height)
            .fold(0.0, f64::max)
    }

    fn base(&self) -> f64 {
        self.parts
            .iter()
            .map(|part| part.frame.y0)
            .fold(f64::MAX, f64::min)
    }

    fn frame(&self) -> Option<Frame> {
        self.parts
            .iter()
            .map(|part| part.frame)
            .reduce(Frame::around)
    }

    /// How far it stands below `other`, in heights of its letters; nothing if it doesn't, or on another page.
    fn below(&self, other: &Line) -> Option<f64> {
        let apart = (other.base() - self.base()) / self.height().max(other.height()).max(1.0);
        (self.page == other.page && apart > 0.0).then_some(apart)
    }

    fn overlaps(&self, other: &Line) -> bool {
        match (self.frame(), other.frame()) {
            (Some(one), Some(other)) => one.x0 < other.x1 && other.x0 < one.x1,
            _ => false,
        }
    }
}

/// Lines of a paragraph stand no further apart, in heights of their letters.
const CLOSE: f64 = 1.65;
/// Lines that stand less far apart overlap: a row's cells have unequal numbers of lines.
const HALF: f64 = 0.85;
/// Nor do they where lines are set wide; what is wider parts paragraphs on any page.
const WIDEST: f64 = 2.4;
/// Rows of a table stand no further apart.
const ROW: f64 = 5.0;

/// Reads the pages of `source` into passages.
pub fn read(source: &Source, pages: &PagedText, layout: &mut Layout) {
    let lines = lines(source.text(), pages);
    let usual = usual_height(&lines);
    let close = usual_leading(&lines);
    let first = layout.passages.len();
    let mut at = 0;
    while at < lines.len() {
        let table = table_at(&lines, at);
        if table > at + 1 || (table > at && lines[at].parts.len() > 2) {
            table_of(source.text(), &lines[at..table], layout);
            at = table;
            continue;
        }
        at = paragraph(source.text(), &lines, at, (usual, close), layout);
    }
    for passage in &mut layout.passages[first..] {
        let start = passage.source(0..passage.text.len()).start;
        passage.page = NonZeroU32::new(pages.page(start));
    }
}

fn lines(text: &str, pages: &PagedText) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let mut from = start;
        start += line.len();
        let mut parts = Vec::new();
        for part in line.trim_end_matches('\n').split('\t') {
            let at = from..from + part.len();
            from = at.end + 1;
            let words = pages.words_in(at.clone());
            let Some(frame) = words.iter().map(|word| word.frame).reduce(Frame::around) else {
                continue;
            };
            parts.push(Part {
                at: words[0].start as usize..words[words.len() - 1].end as usize,
                frame,
                height: words
                    .iter()
                    .map(|word| word.frame.height())
                    .fold(0.0, f64::max),
                bold: words.iter().all(|word| word.bold),
            });
        }
        if let Some(part) = parts.first() {
            lines.push(Line {
                page: pages.page(part.at.start),
                parts,
            });
        }
    }
    lines
}

/// The height of most letters.
fn usual_height(lines: &[Line]) -> f64 {
    let mut heights: Vec<(f64, usize)> = Vec::new();
    for part in lines.iter().flat_map(|line| &line.parts) {
        let same = heights
            .iter_mut()
            .find(|(height, _)| (*height - part.height).abs() < 0.3);
        match same {
            Some((_, letters)) => *letters += part.at.len(),
            None => heights.push((part.height, part.at.len())),
        }
    }
    let most = heights.iter().max_by_key(|(_, letters)| *letters);
    most.map_or(10.0, |(height, _)| *height)
}

/// How far apart the lines of a paragraph stand at most: by what most lines stand apart that follow each other.
fn usual_leading(lines: &[Line]) -> f64 {
    let mut steps: Vec<(f64, usize)> = Vec::new();
    for pair in lines.windows(2) {
        let [above, below] = pair else { continue };
        if above.parts.len() > 1 || below.parts.len() > 1 || !below.overlaps(above) {
            continue;
        }
        let Some(apart) = below.below(above).filter(|apart| *apart <= WIDEST) else {
            continue;
        };
        match steps
            .iter_mut()
            .find(|(step, _)| (*step - apart).abs() < 0.04)
        {
            Some((_, count)) => *count += 1,
            None => steps.push((apart, 1)),
        }
    }
    let most = steps.iter().max_by_key(|(_, count)| *count);
    most.map_or(CLOSE, |(step, _)| (step * 1.08).clamp(CLOSE, WIDEST))
}

/// Reads a paragraph, heading or item that begins with line `at`, where letters have the usual height and lines
/// stand so close; the number of the line after it.
fn paragraph(
    text: &str,
    lines: &[Line],
    at: usize,
    (usual, leading): (f64, f64),
    layout: &mut Layout,
) -> usize {
    let first = &lines[at];
    let words = |line: &Line| {
        text[line.parts[0].at.start..line.parts[line.parts.len() - 1].at.end].replace('\t', " ")
    };
    let large = first.height() >= 1.12 * usual;
    let bold = first.parts.iter().all(|part| part.bold);
    let mut end = at + 1;
    let mut last = words(first);
    let mut sentence = last.clone();
    while let Some(next) = lines.get(end) {
        let previous = &lines[end - 1];
        let own = words(next);
        let alike = (0.92..1.08).contains(&(next.height() / previous.height().max(0.1)));
        let same_weight = next.parts.iter().all(|part| part.bold) == bold;
        // A figure in large letters with its caption below it, or above.
        let caption = is_figure(&last) != is_figure(&own)
            && !alike
            && sentence.len() + own.len() < 80
            && end == at + 1;
        let close =
            next.below(previous).is_some_and(|apart| apart <= leading) && next.overlaps(previous);
        // A sentence may hold a colon too; it then goes on in small letters.
        let goes_on = own.chars().next().is_some_and(char::is_lowercase);
        let begins =
            starts_item(&own) || looks_labelled(&own) || (looks_labelled(&sentence) && !goes_on);
        let flows = alike && (same_weight || !bold) && table_at(lines, end) <= end + 1;
        if !close || begins || !(flows || caption) {
            break;
        }
        sentence.push(' ');
        sentence.push_str(&own);
        last = own;
        end += 1;
    }
    for (number, line) in lines[at..end].iter().enumerate() {
        for part in &line.parts {
            layout.space(part.at.start);
            let is_end = at + number + 1 < end && part.at == line.parts[line.parts.len() - 1].at;
            let next = lines
                .get(at + number + 1)
                .and_then(|line| text[line.parts[0].at.clone()].chars().next());
            push(text, part.at.clone(), next.filter(|_| is_end), layout);
        }
    }
    let lone = end - at <= 3 && sentence.len() <= 120;
    let worded = sentence
        .split_whitespace()
        .any(|word| word.chars().filter(|c| c.is_alphabetic()).count() >= 3);
    let follows = lines
        .get(end)
        .is_some_and(|next| next.below(&lines[end - 1]).is_some_and(|apart| apart < ROW));
    let heading = lone
        && worded
        && !is_figure(&sentence)
        && !starts_item(&sentence)
        && !sentence.ends_with(['.', ',', ';', ':'])
        && (large || (bold && follows && is_heading(&sentence)));
    layout.end(if heading {
        let ratio = first.height() / usual.max(0.1);
        Role::Heading(if ratio >= 1.7 {
            1
        } else if ratio >= 1.3 {
            2
        } else {
            3
        })
    } else {
        Role::Text
    });
    end
}

/// Adds a part. A word that is broken at the end of a line is drawn together with what follows, unless a figure or
/// a capital is touched: those are names and ranges.
fn push(text: &str, at: Range<usize>, next: Option<char>, layout: &mut Layout) {
    let part = &text[at.clone()];
    let cut = part.strip_suffix(['-', '\u{2010}', '\u{ad}']);
    let before = cut.and_then(|cut| cut.chars().next_back());
    match (cut, before, next) {
        (Some(cut), Some(before), Some(next)) if before.is_lowercase() && next.is_lowercase() => {
            layout.push(cut, at.start..at.start + cut.len());
            layout.no_space();
        }
        (Some(_), Some(_), Some(_)) => {
            layout.push(part, at);
            layout.no_space();
        }
        _ => layout.push(part, at),
    }
}

/// A few words that begin with a figure: `55 W`, `£10.80 a month`.
fn is_figure(words: &str) -> bool {
    let words = words.trim_start_matches([
        '£', '$', '€', '~', '<', '≤', '≥', '±', '¼', '½', '¾', '+', ' ',
    ]);
    let starts = words.chars().next().is_some_and(|c| c.is_ascii_digit()) || words.is_empty();
    // A numbered heading: `2 Air`.
    let names = words.split_whitespace().nth(1).is_some_and(|word| {
        word.chars().count() >= 3
            && word.chars().next().is_some_and(char::is_uppercase)
            && word.chars().skip(1).all(char::is_lowercase)
    });
    starts && !names && words.split_whitespace().count() <= 4
}

/// One past the last line of the table that begins with line `at`; `at` if none does.
fn table_at(lines: &[Line], at: usize) -> usize {
    let Some(first) = lines.get(at) else {
        return at;
    };
    if first.parts.len() < 2 {
        return at;
    }
    let mut end = at + 1;
    while let Some(next) = lines.get(end) {
        let previous = &lines[end - 1];
        let Some(apart) = next.below(previous).filter(|apart| *apart <= ROW) else {
            break;
        };
        let near = &lines[at.max(end.saturating_sub(3))..end];
        let row = next.parts.len() >= 2 && near.iter().any(|line| next.overlaps(line));
        // A cell of more than one line: one part, under one part of the line above and not wider.
        let rest = next.parts.len() == 1 && apart <= CLOSE && {
            let own = &next.parts[0];
            let mut above = lines[at..end]
                .iter()
                .rev()
                .take(3)
                .flat_map(|line| &line.parts);
            let room = column_of(lines, at, end, own);
            room && above.any(|part| part.frame.x0 < own.frame.x1 && own.frame.x0 < part.frame.x1)
        };
        // A cell whose first line stands higher than the rest of its row.
        let begins = next.parts.len() == 1
            && lines.get(end + 1).is_some_and(|row| {
                row.parts.len() >= 2 && row.below(next).is_some_and(|apart| apart < HALF)
            })
            && column_of(lines, at, end, &next.parts[0]);
        if !row && !rest && !begins {
            break;
        }
        end += 1;
    }
    end
}

/// Whether `part` lies within the reach of one column of the rows so far.
fn column_of(lines: &[Line], at: usize, end: usize, part: &Part) -> bool {
    let touched = lines[at..end]
        .iter()
        .filter(|line| line.parts.len() >= 2)
        .map(|line| {
            let touches =
                |one: &&Part| one.frame.x0 < part.frame.x1 && part.frame.x0 < one.frame.x1;
            line.parts.iter().filter(touches).count()
        });
    let mut touched = touched.peekable();
    touched.peek().is_some() && touched.all(|count| count <= 1)
}

/// Reads a table.
fn table_of(text: &str, lines: &[Line], layout: &mut Layout) {
    if let [figures, captions] = lines
        && is_captioned(text, figures, captions)
    {
        for (figure, caption) in figures.parts.iter().zip(&captions.parts) {
            layout.push(&text[figure.at.clone()], figure.at.clone());
            layout.space(caption.at.start);
            layout.push(&text[caption.at.clone()], caption.at.clone());
            layout.end(Role::Text);
        }
        return;
    }
    layout.tables += 1;
    let table = layout.tables;
    let groups = groups(lines);
    let columns = columns(&groups);
    for (row, group) in (0..).zip(groups) {
        // The parts of each column of this row, from its top.
        let mut cells: Vec<Vec<&Part>> = vec![Vec::new(); columns.len()];
        for line in group {
            let mut least = 0;
            for part in &line.parts {
                let column = nearest(&columns, part).max(least).min(columns.len() - 1);
                least = column + 1;
                cells[column].push(part);
            }
        }
        for (column, parts) in cells.iter().enumerate() {
            for (number, part) in parts.iter().enumerate() {
                layout.space(part.at.start);
                let next = parts
                    .get(number + 1)
                    .and_then(|part| text[part.at.clone()].chars().next());
                push(text, part.at.clone(), next, layout);
            }
            layout.end(Role::Cell {
                table,
                row,
                column: column as u32,
                head: false,
            });
        }
    }
}

/// Whether one line holds figures in large letters, and the other what each of them is.
fn is_captioned(text: &str, figures: &Line, captions: &Line) -> bool {
    figures.parts.len() == captions.parts.len()
        && figures.height() >= 1.25 * captions.height()
        && figures
            .parts
            .iter()
            .all(|part| is_figure(&text[part.at.clone()]))
}

/// Where the columns stand: as in the rows that have the most parts, one below the other taken as one.
fn columns(groups: &[&[Line]]) -> Vec<(f64, f64)> {
    let rows: Vec<Vec<(f64, f64)>> = groups.iter().map(|group| reaches(group)).collect();
    let most = rows.iter().map(Vec::len).max().unwrap_or(1).max(1);
    let mut columns = vec![(f64::MAX, f64::MIN); most];
    for row in rows.iter().filter(|row| row.len() == most) {
        for (column, reach) in columns.iter_mut().zip(row) {
            column.0 = column.0.min(reach.0);
            column.1 = column.1.max(reach.1);
        }
    }
    columns
}

/// From where to where the parts of a row reach, from the left.
fn reaches(row: &[Line]) -> Vec<(f64, f64)> {
    let mut parts: Vec<(f64, f64)> = row
        .iter()
        .flat_map(|line| &line.parts)
        .map(|part| (part.frame.x0, part.frame.x1))
        .collect();
    parts.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut reaches: Vec<(f64, f64)> = Vec::new();
    for part in parts {
        match reaches.last_mut() {
            Some(last) if part.0 < last.1 => last.1 = last.1.max(part.1),
            _ => reaches.push(part),
        }
    }
    reaches
}

/// The column that a part shares the most of its width with, or else the nearest.
fn nearest(columns: &[(f64, f64)], part: &Part) -> usize {
    let shared = |&(x0, x1): &(f64, f64)| part.frame.x1.min(x1) - part.frame.x0.max(x0);
    let all = columns.iter().enumerate();
    let best = all.max_by(|(i, a), (j, b)| shared(a).total_cmp(&shared(b)).then(j.cmp(i)));
    best.map_or(0, |(column, _)| column)
}

/// The lines of each row. Where rows stand apart, lines close together are one row.
fn groups(lines: &[Line]) -> Vec<&[Line]> {
    let apart: Vec<f64> = lines
        .windows(2)
        .map(|pair| pair[1].below(&pair[0]).unwrap_or(ROW))
        .collect();
    // Lines that overlap in height are one row in any case.
    let apart_at_all = apart.iter().filter(|apart| **apart >= HALF).count();
    let wide = apart.iter().filter(|apart| **apart > CLOSE).count();
    let airy = 2 * wide >= apart_at_all;
    let mut groups = Vec::new();
    let mut from = 0;
    for (number, &apart) in apart.iter().enumerate() {
        // In a dense table a line that fills fewer columns than the one above goes on with it.
        let rest = lines[number + 1].parts.len() == 1 && lines[from].parts.len() > 1;
        let same = if airy {
            apart <= CLOSE
        } else {
            apart < HALF || (rest && apart <= CLOSE)
        };
        if !same {
            groups.push(&lines[from..=number]);
            from = number + 1;
        }
    }
    groups.push(&lines[from..]);
    groups
}
