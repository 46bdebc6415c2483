//! A sheet as Markdown.

use crate::report::markdown::escape;
use crate::sheet::Sheet;

use super::Piece;

/// Which package it is about, for the audit.
pub(super) fn head(sheet: &Sheet) -> String {
    let id = serde_json::Value::from(sheet.package.entry.id.as_str());
    format!("+++\npackage = {id}\n+++\n\n")
}

/// Pieces, each with the empty line behind it.
pub(super) fn pieces(pieces: &[Piece]) -> String {
    pieces.iter().map(piece).collect()
}

fn piece(piece: &Piece) -> String {
    match piece {
        Piece::Title(text) => format!("# {}\n\n", line(text)),
        Piece::Heading(text) => format!("## {}\n\n", line(text)),
        Piece::Sub(text) => format!("### {}\n\n", line(text)),
        Piece::Words(text) | Piece::Small(text) => format!("{}\n\n", line(text)),
        Piece::List(items) => {
            let items: String = items
                .iter()
                .map(|item| format!("- {}\n", line(item)))
                .collect();
            items + "\n"
        }
        Piece::Table(heads, rows) => table(heads, rows),
        Piece::Blanks(names) => {
            let blanks = names
                .iter()
                .map(|name| format!("{} ______________", line(name)));
            blanks.collect::<Vec<_>>().join(" ") + "\n\n"
        }
    }
}

/// Text that stays text, whatever it begins with.
fn line(text: &str) -> String {
    let text = escape(text);
    let text = text.trim();
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let is_item = digits > 0
        && [". ", ") "]
            .iter()
            .any(|mark| text[digits..].starts_with(mark));
    if is_item {
        return format!("{}\\{}", &text[..digits], &text[digits..]);
    }
    match text.starts_with(['-', '+', '=']) {
        true => format!("\\{text}"),
        false => text.to_string(),
    }
}

fn table(heads: &[&str], rows: &[Vec<String>]) -> String {
    let row = |cells: &mut dyn Iterator<Item = String>| {
        format!("| {} |\n", cells.collect::<Vec<_>>().join(" | "))
    };
    let columns = rows.first().map_or(heads.len(), Vec::len);
    let mut text = match heads {
        [] => row(&mut std::iter::repeat_n(String::new(), columns)),
        heads => row(&mut heads.iter().map(|head| line(head))),
    };
    text.push_str(&row(&mut std::iter::repeat_n("---".to_string(), columns)));
    for cells in rows {
        text.push_str(&row(&mut cells.iter().map(|cell| line(cell))));
    }
    text + "\n"
}
