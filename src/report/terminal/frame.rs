//! A place in a text, with its line and what is marked there.
//!
//! `miette` draws. It is handed a window of the few lines that are marked, already clean and cut
//! to the page, instead of the text: a frame costs the same wherever in a file it lies and however
//! long its lines are.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, LabeledSpan, SourceSpan};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use crate::text::{Source, Span};

use super::clean;
use super::theme::{Role, Theme};
use super::words;

/// Marked lines no further apart than this share a window.
const NEAR: usize = 3;
/// Columns of the lead before a label.
const LEAD: usize = 4;
/// A label that would have fewer columns isn't drawn, but told beside the place.
const LABEL: usize = 12;

/// A marked place.
#[derive(Debug, Clone)]
pub struct Marked<'a> {
    /// Where.
    pub at: Span,
    /// What stands there; the primary place has its words elsewhere.
    pub says: Option<&'a str>,
    /// Its colour.
    pub role: Role,
}

/// A drawn window.
pub struct Drawn {
    /// Its first mark.
    pub at: Span,
    /// Line of its first mark, from 1.
    line: usize,
    /// What is told beside the place instead of being drawn: the words of its mark if it has one only, and
    /// those that have no room.
    pub says: Option<String>,
    /// The last line that is marked, from 1.
    last: usize,
    /// The lines as drawn.
    pub lines: Vec<String>,
}

impl Drawn {
    /// Whether a marked `line` (from 1) may be in it.
    pub fn holds(&self, line: usize) -> bool {
        (self.line..=self.last).contains(&line)
    }
}

/// Draws the marks of one text, in as many windows as their distance asks for, in the order of the
/// text. `around` lines are shown on either side; none is wider than `width`.
pub fn draw(
    source: &Source,
    marks: &[Marked],
    around: usize,
    width: usize,
    theme: &Theme,
) -> Vec<Drawn> {
    let mut marks: Vec<(usize, &Marked)> = marks
        .iter()
        .map(|mark| (source.position(mark.at.start as usize).line - 1, mark))
        .collect();
    marks.sort_by_key(|(line, mark)| (*line, mark.at.start));
    marks
        .chunk_by(|(a, _), (b, _)| b - a <= NEAR)
        .filter_map(|near| window(source, near, around, width, theme))
        .collect()
}

fn window(
    source: &Source,
    marks: &[(usize, &Marked)],
    around: usize,
    width: usize,
    theme: &Theme,
) -> Option<Drawn> {
    let (first, last) = (marks.first()?, marks.last()?);
    let top = first.0.saturating_sub(around);
    let mut bottom = (last.0 + around).min(source.lines().len() - 1);
    // What follows the last line's end is no line.
    if bottom > last.0 && line_range(source, bottom).is_empty() {
        bottom -= 1;
    }
    let gutter = (bottom + 1).to_string().len() + 4;
    let room = width.saturating_sub(gutter).max(8);
    let mut window = Window {
        text: String::new(),
        first_line: top,
        labels: Vec::new(),
        beside: Vec::new(),
    };
    for line in top..=bottom {
        let here: Vec<&Marked> = marks
            .iter()
            .filter(|(at, _)| *at == line)
            .map(|(_, mark)| *mark)
            .collect();
        window.take(source, line, &here, room, theme);
    }
    // The colours go round in the order of the places.
    window.labels.sort_by_key(|(from, to, ..)| (*from, *to));
    let roles: Vec<Role> = window.labels.iter().map(|label| label.3).collect();
    // A single label is better told in a sentence beside the place.
    if let [only] = window.labels.as_mut_slice() {
        window.beside.extend(only.2.take());
    }
    let says = window.beside.join("; ").replace('\n', " ");
    let handler = GraphicalReportHandler::new_themed(theme.frames(&roles))
        .with_width(usize::MAX)
        .with_wrap_lines(false)
        .with_context_lines(bottom - top + 1)
        .without_syntax_highlighting()
        .with_links(false);
    let mut drawn = String::new();
    // Writing to a string can't fail, and every label lies within the window.
    let _ = handler.render_report(&mut drawn, &window);
    // The first line is for a message, which stands elsewhere; the next heads the window, and the last
    // closes it.
    let lines: Vec<&str> = drawn.lines().skip(2).collect();
    let lines = lines.split_last().map_or(&[][..], |(_, lines)| lines);
    Some(Drawn {
        at: first.1.at,
        line: source.position(first.1.at.start as usize).line,
        says: (!says.is_empty()).then_some(says),
        last: last.0 + 1,
        lines: lines
            .iter()
            .map(|line| line.trim_end().to_string())
            .collect(),
    })
}

/// Bytes of a line without its end.
fn line_range(source: &Source, line: usize) -> std::ops::Range<usize> {
    let text = source.text();
    let start = source.lines().start_of(line).unwrap_or(text.len());
    let end = source.lines().start_of(line + 1).unwrap_or(text.len());
    let end = start + text[start..end].trim_end_matches(['\n', '\r']).len();
    start..end
}

/// A few lines as they are shown, and what is marked in them.
struct Window {
    text: String,
    /// The number of the first line, from 0.
    first_line: usize,
    /// First byte, end, words and colour of each mark, in `text`.
    labels: Vec<(usize, usize, Option<String>, Role)>,
    /// Words that have no room below their mark.
    beside: Vec<String>,
}

impl Window {
    /// Adds a line, cut to `room` columns round its first mark.
    fn take(
        &mut self,
        source: &Source,
        line: usize,
        marks: &[&Marked],
        room: usize,
        theme: &Theme,
    ) {
        let range = line_range(source, line);
        let text = &source.text()[range.clone()];
        let inside = |at: u32| {
            floor(
                text,
                (at as usize).clamp(range.start, range.end) - range.start,
            )
        };
        let anchor = marks.first().map_or(0, |mark| inside(mark.at.start));
        let start = self.text.len();
        let (shown, mut places) = cut(text, anchor, room, theme);
        self.text.push_str(&shown);
        places.sort_unstable();
        for mark in marks {
            let to_shown = |at: usize| {
                let next = places.partition_point(|&(raw, _)| raw < at);
                start + places.get(next).map_or(shown.len(), |&(_, shown)| shown)
            };
            let from = to_shown(inside(mark.at.start));
            let mut to = to_shown(ceil(text, inside(mark.at.end)));
            if to <= from {
                // Nothing is marked, or what lies beyond the cut: the sign stands under one column.
                if from == self.text.len() {
                    self.text.push(' ');
                }
                to = ceil(&self.text, from + 1);
            }
            // The lead begins below the middle of the mark.
            let before = self.text[start..from].width() + self.text[from..to].width() / 2;
            let columns = room.saturating_sub(before + LEAD);
            let says = mark.says.map(|says| theme.text(says));
            let says = match says {
                Some(says) if columns < LABEL => {
                    self.beside.push(says.into_owned());
                    None
                }
                says => says.map(|says| words::wrap(&says, columns).join("\n")),
            };
            self.labels.push((from, to, says, mark.role));
        }
        self.text.push('\n');
    }
}

/// The part of a line that fits into `room` columns, with `anchor` in it, and where each of its
/// characters came to stand: its byte in the line and its byte in what is shown.
fn cut(text: &str, anchor: usize, room: usize, theme: &Theme) -> (String, Vec<(usize, usize)>) {
    let sign = theme.cut();
    // As much before the place as leaves it two thirds of the room; all of it if the line is short.
    let fits = text.len() <= 4 * room && shown(text, theme).width() <= room;
    let mut begin = 0;
    if !fits
        && text[..anchor]
            .chars()
            .rev()
            .take(room)
            .map(columns)
            .sum::<usize>()
            > room / 3
    {
        let mut taken = 0;
        begin = anchor;
        for (at, character) in text[..anchor].char_indices().rev() {
            taken += columns(character);
            if taken > room / 3 {
                break;
            }
            begin = at;
        }
    }
    let mut line = String::new();
    if begin > 0 {
        line.push_str(sign);
    }
    let mut taken = line.width();
    let mut places = Vec::new();
    // A byte-order mark is no character of the first line.
    let mark = if begin == 0 && text.starts_with('\u{feff}') {
        3
    } else {
        0
    };
    for (at, character) in text[begin + mark..].char_indices() {
        let before = line.len();
        match character {
            '\t' => line.push_str(&" ".repeat(4 - taken % 4)),
            _ => clean::push(&mut line, character, !theme.unicode),
        }
        taken += line[before..].width();
        if !fits && taken + sign.width() > room {
            line.truncate(before);
            places.push((begin + mark + at, line.len()));
            line.push_str(sign);
            return (line, places);
        }
        places.push((begin + mark + at, before));
    }
    (line, places)
}

fn shown(text: &str, theme: &Theme) -> String {
    let mut line = String::new();
    for character in text.chars() {
        match character {
            '\t' => line.push_str("    "),
            _ => clean::push(&mut line, character, !theme.unicode),
        }
    }
    line
}

/// Columns that a character takes, near enough to choose where to cut.
fn columns(character: char) -> usize {
    character.width().unwrap_or(1).max(1)
}

fn floor(text: &str, mut at: usize) -> usize {
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

fn ceil(text: &str, mut at: usize) -> usize {
    while at < text.len() && !text.is_char_boundary(at) {
        at += 1;
    }
    at.min(text.len())
}

impl fmt::Debug for Window {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Window")
    }
}

impl fmt::Display for Window {
    fn fmt(&self, _: &mut fmt::Formatter<'_>) -> fmt::Result {
        Ok(())
    }
}

impl std::error::Error for Window {}

impl Diagnostic for Window {
    fn source_code(&self) -> Option<&dyn miette::SourceCode> {
        Some(self)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        Some(Box::new(self.labels.iter().map(|(from, to, says, _)| {
            LabeledSpan::new(says.clone(), *from, to - from)
        })))
    }
}

impl miette::SourceCode for Window {
    fn read_span<'a>(
        &'a self,
        span: &SourceSpan,
        before: usize,
        after: usize,
    ) -> Result<Box<dyn miette::SpanContents<'a> + 'a>, miette::MietteError> {
        // The window is a few short lines, so what `miette` does with a whole text is quick here.
        let inner = self.text.as_bytes().read_span(span, before, after)?;
        Ok(Box::new(miette::MietteSpanContents::new(
            inner.data(),
            *inner.span(),
            inner.line() + self.first_line,
            inner.column(),
            inner.line_count(),
        )))
    }
}
