//! Taking a PDF apart. Runs only in a process of its own.

use std::panic::{AssertUnwindSafe, catch_unwind};

use pdf_extract::{Document, MediaBox, Object, OutputDev, OutputError, Transform, output_doc_page};

use super::lines::{self, Glyph};
use super::{MOST_PAGES, Placed, unreadable};
use crate::spec_sheet::layout::UnreadKind;

/// Most bytes of text: a page of print has some thousands.
const MOST_TEXT: usize = 32 * 1024 * 1024;

/// The text of all pages that can be read, with what can't.
pub fn placed_text(bytes: &[u8]) -> String {
    let mut document = match Document::load_mem(bytes) {
        Ok(document) => document,
        Err(error) => return unreadable(reason(&error)),
    };
    if document.is_encrypted()
        && let Err(error) = document.decrypt("")
    {
        return unreadable(match reason(&error) {
            UnreadKind::Damaged => UnreadKind::Encrypted,
            other => other,
        });
    }
    spell_out_widths(&mut document);
    let pages = document.get_pages();
    let mut placed = Placed::default();
    if pages.is_empty() {
        placed.unread(UnreadKind::Damaged, 0);
    }
    for (place, (&number, &id)) in pages.iter().enumerate() {
        if place >= MOST_PAGES || placed.text.len() >= MOST_TEXT {
            placed.unread(UnreadKind::TooLarge, number);
            break;
        }
        let mut page = Page::default();
        let ended = catch_unwind(AssertUnwindSafe(|| output_doc_page(&document, &mut page, number)));
        let is_whole = matches!(ended, Ok(Ok(())));
        if !is_whole {
            placed.unread(UnreadKind::Damaged, number);
        } else if page.glyphs.iter().all(|glyph| glyph.text.trim().is_empty()) {
            // A page that draws something but shows no text is a picture of one.
            let content = document.get_page_content(id).unwrap_or_default();
            if content.iter().any(|byte| !byte.is_ascii_whitespace()) {
                placed.unread(UnreadKind::ScannedPage, number);
            }
        }
        lines::page(number, page.glyphs, &mut placed);
        placed.text.push('\u{c}');
    }
    placed.written()
}

/// Most widths that are spelled out: a font has at most 65 536 glyphs, and a file few fonts.
const MOST_WIDTHS: usize = 1_000_000;

/// Writes runs of equal widths (`17 26 556`) one by one (`17 [556 556 …]`).
///
/// PDF allows both for composite fonts (ISO 32000-1, 9.7.4.3); version 0.12 of the library reads the first as
/// no width at all, which would pull figures apart: digits are as wide as each other, so they stand in runs.
fn spell_out_widths(document: &mut Document) {
    let mut left = MOST_WIDTHS;
    let mut changed = Vec::new();
    for (&id, object) in &document.objects {
        let Ok(font) = object.as_dict() else { continue };
        let is_composite = font.get(b"Subtype").and_then(Object::as_name).is_ok_and(|name| name.starts_with(b"CIDFontType"));
        let widths = font.get(b"W").and_then(|widths| document.dereference(widths));
        if is_composite
            && let Ok((_, Object::Array(widths))) = widths
            && let Some(spelled) = spelled_out(widths, &mut left)
        {
            changed.push((id, spelled));
        }
    }
    for (id, widths) in changed {
        if let Ok(font) = document.get_object_mut(id).and_then(Object::as_dict_mut) {
            font.set("W", Object::Array(widths));
        }
    }
}

/// The widths without runs; nothing if they are no list of widths, or too many.
fn spelled_out(widths: &[Object], left: &mut usize) -> Option<Vec<Object>> {
    let mut spelled = Vec::new();
    let mut at = 0;
    while at < widths.len() {
        let first = widths.get(at)?.as_i64().ok()?;
        match widths.get(at + 1)? {
            Object::Array(own) => {
                spelled.extend([Object::Integer(first), Object::Array(own.clone())]);
                at += 2;
            }
            last => {
                let count = last.as_i64().ok()?.checked_sub(first)?.checked_add(1)?;
                let count = usize::try_from(count).ok()?;
                *left = left.checked_sub(count)?;
                let width = widths.get(at + 2)?;
                spelled.extend([Object::Integer(first), Object::Array(vec![width.clone(); count])]);
                at += 3;
            }
        }
    }
    Some(spelled)
}

fn reason(error: &pdf_extract::Error) -> UnreadKind {
    match error {
        pdf_extract::Error::Decryption(_) | pdf_extract::Error::InvalidPassword => UnreadKind::Encrypted,
        _ => UnreadKind::Damaged,
    }
}

/// The glyphs of the page that is being taken apart.
#[derive(Default)]
struct Page {
    left: f64,
    foot: f64,
    glyphs: Vec<Glyph>,
}

impl OutputDev for Page {
    fn begin_page(&mut self, _: u32, media: &MediaBox, _: Option<(f64, f64, f64, f64)>) -> Result<(), OutputError> {
        (self.left, self.foot) = (media.llx, media.lly);
        Ok(())
    }

    fn end_page(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn output_character(&mut self, at: &Transform, width: f64, _: f64, font_size: f64, text: &str) -> Result<(), OutputError> {
        // The size on the page is that of a square as large as the glyph's field after the transformation.
        let across = (at.m11 * at.m11 + at.m12 * at.m12).sqrt() * font_size;
        let up = (at.m21 * at.m21 + at.m22 * at.m22).sqrt() * font_size;
        // Text that runs up the page or down is no line of the sheet.
        if at.m11.abs() < at.m12.abs() {
            return Ok(());
        }
        let x = at.m31 - self.left;
        self.glyphs.push(Glyph {
            x,
            y: at.m32 - self.foot,
            end: x + width.max(0.0) * across.abs(),
            size: up.abs(),
            text: text.to_owned(),
        });
        Ok(())
    }

    fn begin_word(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn end_word(&mut self) -> Result<(), OutputError> {
        Ok(())
    }

    fn end_line(&mut self) -> Result<(), OutputError> {
        Ok(())
    }
}
