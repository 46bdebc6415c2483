//! From the text of a catalog to a tree in which every key and value has its place.
//!
//! [`read`] never fails. What couldn't be read stands in the tree as [`Kind::Bad`], the table
//! around it is [`Item::damaged`] if a key may be missing, and [`Document::problems`] says what
//! is wrong, once for each fault. Reading goes on behind every fault: a table is lost only if its
//! own header is.
//!
//! The format is TOML 1.0. What only TOML 1.1 allows is read and reported, since other programs
//! that read the catalog would refuse it.

mod brackets;
mod conflict;
mod define;
mod item;
mod keys;
mod marks;
mod message;
mod problem;
mod reader;
mod recover;
mod scalar;
mod string;
#[cfg(test)]
mod tests;
mod tokens;
mod tree;
mod value;

pub use item::{Item, ItemId, Kind};
pub use problem::{Problem, ProblemKind};
pub use tree::Document;

use crate::text::{DecodingFault, FileId, Source};
use marks::{Mark, MarkKind, Marks};
use problem::Fault;
use reader::Reader;

/// How much of a text is read. Beyond these there is a problem instead of a longer wait.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limits {
    /// Tables and lists in one another.
    pub nesting: usize,
    /// Keys and values in one text.
    pub keys: usize,
    /// Problems listed of one text; the rest are counted in one more.
    pub problems: usize,
}

impl Default for Limits {
    /// 80 deep, 2 000 000 keys, 1000 problems: far beyond any catalog written by hand.
    fn default() -> Self {
        Limits {
            nesting: 80,
            keys: 2_000_000,
            problems: 1000,
        }
    }
}

/// Reads a text under the usual limits.
pub fn read(file: FileId, source: &Source) -> Document {
    read_within(file, source, &Limits::default())
}

/// Reads a text under the given limits.
pub fn read_within(file: FileId, source: &Source, limits: &Limits) -> Document {
    let text = source.text();
    let document = Document::empty(file, source.shared_text());
    if let Some(fault) = unreadable(source) {
        let kind = match fault {
            Fault::TooLarge(_) => ProblemKind::Limit,
            _ => ProblemKind::Encoding,
        };
        return refuse(document, kind, fault);
    }
    let marks = Marks::find(source);
    let mut reader = Reader::new(document, text, &marks, limits);
    reader.read();
    report_marks(&mut reader, source);
    finish(reader)
}

/// Why nothing of a text is read, if so.
fn unreadable(source: &Source) -> Option<Fault> {
    let bytes = source.text().as_bytes();
    if source.fault() == Some(DecodingFault::Utf16) {
        return Some(Fault::Utf16);
    }
    if bytes.len() as u64 > Source::MAX_BYTES {
        return Some(Fault::TooLarge(Source::MAX_BYTES));
    }
    // Without its mark UTF-16 is known by every other byte being zero.
    let zeros = memchr::memchr_iter(0, bytes).count();
    (zeros > 0 && zeros >= bytes.len() / 3).then_some(Fault::Utf16)
}

fn refuse(mut document: Document, kind: ProblemKind, fault: Fault) -> Document {
    let start = document.text.len().min(1);
    document.cut = true;
    document.problems.push(Problem {
        span: crate::text::Span::new(document.file, 0, start),
        kind,
        related: None,
        fault,
    });
    document
}

/// Reports what stands at marked places; all bytes that aren't UTF-8 are one problem, and so
/// are all lone carriage returns.
fn report_marks(reader: &mut Reader<'_, '_>, source: &Source) {
    let text = reader.text;
    let returns = |mark: &&Mark| mark.kind == MarkKind::Return;
    let lone: usize = reader
        .marks
        .iter()
        .filter(returns)
        .map(|mark| (mark.end - mark.start) as usize)
        .sum();
    let marks = reader.marks;
    let (mut undecoded_seen, mut return_seen) = (false, false);
    // The list of problems may be full of faults that stand further down.
    let full = std::mem::take(&mut reader.problems);
    // A text cut off between the two bytes of a line end has a lone return as its last byte. What
    // the cut did to the line has been told.
    let cut_off = |mark: &Mark| {
        let bytes = text.as_bytes();
        let before = &bytes[..mark.start as usize];
        let line = memchr::memrchr2(b'\n', b'\r', before).map_or(0, |found| found + 1);
        lone == 1
            && mark.end as usize == bytes.len()
            && full.iter().any(|one| one.span.start as usize >= line)
    };
    for mark in marks.iter() {
        let (start, end) = (mark.start as usize, mark.end as usize);
        let character = text[start..].chars().next().unwrap_or(' ');
        let (kind, fault) = match (mark.kind, source.fault()) {
            (MarkKind::Undecoded, Some(DecodingFault::NotUtf8 { count, .. }))
                if !undecoded_seen =>
            {
                undecoded_seen = true;
                (ProblemKind::Encoding, Fault::NotUtf8(count))
            }
            (MarkKind::Undecoded, _) => continue,
            (MarkKind::Return, _) if return_seen || cut_off(mark) => continue,
            (MarkKind::Return, _) => {
                return_seen = true;
                (ProblemKind::Syntax, Fault::LoneReturns(lone))
            }
            (MarkKind::Control, _) => (ProblemKind::Encoding, Fault::Control(character)),
            (MarkKind::Hidden, _) => (ProblemKind::Encoding, Fault::Hidden(character)),
        };
        reader.push(kind, fault, reader.place(start, end), None);
    }
    reader.problems.extend(full);
}

/// Puts the problems in order and cuts the list to its limit.
fn finish(reader: Reader<'_, '_>) -> Document {
    let Reader {
        mut document,
        mut problems,
        mut unlisted,
        mut first_unlisted,
        limits,
        ..
    } = reader;
    problems.sort_by_key(|problem| (problem.span, problem.kind));
    if problems.len() > limits.problems {
        unlisted += problems.len() - limits.problems;
        first_unlisted = first_unlisted.min(problems[limits.problems].span.start as usize);
        problems.truncate(limits.problems);
    }
    if unlisted > 0 {
        let last = problems.last().map_or(0, |last| last.span.start as usize);
        let at = first_unlisted.max(last).min(document.text.len());
        problems.push(Problem {
            span: crate::text::Span::new(document.file, at, at),
            kind: ProblemKind::Limit,
            related: None,
            fault: Fault::MoreProblems(unlisted),
        });
    }
    document.problems = problems;
    document
}
