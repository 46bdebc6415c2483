//! The text of a PDF file with the places of its words.
//!
//! ```text
//! bytes ─► glyphs (where each letter stands) ─► lines (words, rows) ─► columns (in what order they are read)
//! ```
//!
//! What reads other people's files in a format of this size can fail in ways that can't be foreseen, so this is
//! called in a process of its own, which may use up its time and memory or end by a fault; what that process writes
//! is read by [`Extract::parse`], which takes nothing for granted.

mod columns;
mod glyphs;
mod lines;

use std::panic::{AssertUnwindSafe, catch_unwind};

use hayro_syntax::{LoadPdfError, Pdf};

use crate::text::Word;

use super::{Extract, UnreadKind};
use glyphs::{Drawn, Fonts, Glyph, MOST_GLYPHS};
use lines::Cell;

/// Pages of a file that are read.
const MOST_PAGES: usize = 2000;
/// The share of a page from which a picture may hold figures; smaller ones are marks and ornaments.
const PICTURE: f64 = 0.02;

/// Reads the text of a PDF file.
pub fn extract(bytes: Vec<u8>) -> Extract {
    let pdf = match Pdf::new(bytes) {
        Ok(pdf) => pdf,
        Err(LoadPdfError::Decryption(_)) => return Extract::unread(UnreadKind::Encrypted),
        Err(LoadPdfError::Invalid) => return Extract::unread(UnreadKind::Damaged),
    };
    let mut writer = Writer::default();
    let fonts = Fonts::new();
    let pages = pdf.pages();
    if pages.is_empty() {
        return Extract::unread(UnreadKind::Damaged);
    }
    let mut left = MOST_GLYPHS;
    for (page, number) in pages.iter().zip(1..) {
        if number as usize > MOST_PAGES || left == 0 {
            writer.extract.not_read(UnreadKind::TooLarge, number);
            break;
        }
        writer.page(number);
        // One page that its reader stumbles over is no reason to lose the others.
        let drawn = catch_unwind(AssertUnwindSafe(|| glyphs::read(page, &fonts, left)));
        let Ok(drawn) = drawn else {
            writer.extract.not_read(UnreadKind::Damaged, number);
            continue;
        };
        left -= drawn.glyphs.len();
        writer.drawn(&drawn, number);
    }
    writer.extract
}

/// The text as it grows.
#[derive(Default)]
struct Writer {
    extract: Extract,
}

impl Writer {
    fn page(&mut self, number: u32) {
        if number > 1 {
            self.extract.text.push('\u{c}');
        }
    }

    fn drawn(&mut self, drawn: &Drawn, number: u32) {
        if drawn.damaged {
            self.extract.not_read(UnreadKind::Damaged, number);
        }
        if drawn.too_many {
            self.extract.not_read(UnreadKind::TooLarge, number);
        }
        let named = drawn
            .glyphs
            .iter()
            .filter(|glyph| glyph.text.is_some())
            .count();
        let unnamed = drawn.glyphs.len() - named;
        // Letters drawn as shapes, or of a font that doesn't say what its glyphs stand for, are a picture of text.
        let nothing = named == 0 && (unnamed > 0 || drawn.picture > 0.0 || drawn.shapes > 0);
        if nothing || unnamed > named {
            self.extract.not_read(UnreadKind::ScannedPage, number);
        } else if drawn.picture >= PICTURE {
            self.extract.not_read(UnreadKind::Picture, number);
        }
        for turn in 0..=4 {
            let glyphs: Vec<&Glyph> = drawn
                .glyphs
                .iter()
                .filter(|glyph| glyph.turn == turn)
                .collect();
            if glyphs.is_empty() {
                continue;
            }
            for block in columns::blocks(lines::rows(&glyphs)) {
                self.block(&block);
            }
        }
        if !self.extract.text.ends_with('\n') {
            self.extract.text.push('\n');
        }
    }

    /// A block with an empty line before it, and one wherever the lines stand further apart than usual.
    fn block(&mut self, rows: &[Vec<Cell>]) {
        let mut last: Option<(f64, f64)> = None;
        for row in rows {
            let Some(first) = row.first() else { continue };
            let size = row.iter().map(|cell| cell.size).fold(0.0, f64::max);
            let apart = last.is_none_or(|(v, before)| v - first.v > 1.6 * size.max(before));
            if apart && !self.extract.text.is_empty() && !self.extract.text.ends_with('\u{c}') {
                self.extract.text.push('\n');
            }
            last = Some((first.v, size));
            for (number, cell) in row.iter().enumerate() {
                if number > 0 {
                    self.extract.text.push('\t');
                }
                self.cell(cell);
            }
            self.extract.text.push('\n');
        }
    }

    fn cell(&mut self, cell: &Cell) {
        let mut before: Option<&lines::Word> = None;
        for word in &cell.words {
            if before.is_some_and(|before| !word.follows(before)) {
                self.extract.text.push(' ');
            }
            before = Some(word);
            let start = self.extract.text.len();
            self.extract.text.push_str(&word.text);
            let (Ok(start), Ok(end)) =
                (u32::try_from(start), u32::try_from(self.extract.text.len()))
            else {
                return;
            };
            self.extract.words.push(Word {
                start,
                end,
                frame: word.frame,
                bold: word.bold,
            });
        }
    }
}
