//! A spec sheet to be printed, as Markdown or HTML. Both show the same pieces, whose sentences are in [`words`].
//!
//! HTML is also the way to paper and PDF: its style sheet has rules for pages, and a browser prints it.

mod html;
mod markdown;
mod words;

use crate::sheet::Sheet;
use crate::sheet::template::{Line, Part};

pub use words::refused;

/// What a sheet is written as.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// Markdown.
    Markdown,
    /// HTML with rules for printing.
    Html,
}

/// A piece of a page; its texts are plain.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Piece {
    /// The title.
    Title(String),
    /// A heading.
    Heading(String),
    /// A heading below it.
    Sub(String),
    /// A paragraph.
    Words(String),
    /// A paragraph in small letters.
    Small(String),
    /// A list.
    List(Vec<String>),
    /// A table with the heads of its columns, if they have any.
    Table(Vec<&'static str>, Vec<Vec<String>>),
    /// What is filled in by hand.
    Blanks(Vec<&'static str>),
}

/// The sheet by a template's lines.
pub fn render(sheet: &Sheet, lines: &[Line], form: Form) -> String {
    let whole = lines.iter().all(|line| matches!(line, Line::Part(_)));
    let parts = lines.iter().map(|line| match (line, form) {
        (Line::Words(words), _) => words.clone(),
        (Line::Part(Part::Head), Form::Markdown) => markdown::head(sheet),
        (Line::Part(Part::Head), Form::Html) => html::head(sheet),
        (Line::Part(part), Form::Markdown) => markdown::pieces(&words::part(sheet, *part)),
        (Line::Part(part), Form::Html) => html::pieces(*part, &words::part(sheet, *part)),
    });
    match (form, whole) {
        (Form::Html, true) => html::page(&parts.collect::<Vec<_>>()),
        _ => parts.collect(),
    }
}
