//! A sheet as HTML that asks for nothing from elsewhere, with rules for paper.

use maud::{DOCTYPE, Markup, PreEscaped, html};

use crate::report::terminal::safe;
use crate::sheet::Sheet;
use crate::sheet::template::Part;

use super::Piece;

/// The sheet's own style.
const STYLE: &str = include_str!("sheet.css");

/// What stands in the head of the page.
pub(super) fn head(sheet: &Sheet) -> String {
    let head = html! {
        meta charset="utf-8";
        meta name="viewport" content="width=device-width, initial-scale=1";
        title { (safe(&super::words::name(sheet))) }
        meta name="package" content=(safe(&sheet.package.entry.id));
        style { (PreEscaped(STYLE)) }
    };
    head.into_string() + "\n"
}

/// A page of the parts: the first is its head.
pub(super) fn page(parts: &[String]) -> String {
    let (head, body) = parts
        .split_first()
        .map_or(("", &[][..]), |(head, body)| (head.as_str(), body));
    let page = html! {
        (DOCTYPE)
        html lang="en" {
            head { (PreEscaped(head)) }
            body { main { @for part in body { (PreEscaped(part)) } } }
        }
    };
    page.into_string() + "\n"
}

/// A part's pieces.
pub(super) fn pieces(part: Part, pieces: &[Piece]) -> String {
    if pieces.is_empty() {
        return String::new();
    }
    let name = Part::ALL.iter().find(|(own, ..)| *own == part);
    let class = name.map_or("", |(_, name, _)| name);
    let part = html! { section class=(class) { @for one in pieces { (piece(one)) } } };
    part.into_string() + "\n"
}

fn piece(piece: &Piece) -> Markup {
    html! {
        @match piece {
            Piece::Title(text) => h1 { (safe(text)) },
            Piece::Heading(text) => h2 { (safe(text)) },
            Piece::Sub(text) => h3 { (safe(text)) },
            Piece::Words(text) => p { (safe(text)) },
            Piece::Small(text) => p class="small" { (safe(text)) },
            Piece::List(items) => ul { @for item in items { li { (safe(item)) } } },
            Piece::Table(heads, rows) => (table(heads, rows)),
            Piece::Blanks(names) => p {
                @for name in names { (name) " " span class="blank" {} " " }
            },
        }
    }
}

fn table(heads: &[&str], rows: &[Vec<String>]) -> Markup {
    html! {
        table {
            @if !heads.is_empty() {
                thead { tr { @for head in heads { th scope="col" { (head) } } } }
            }
            tbody {
                @for row in rows {
                    tr {
                        @for (column, cell) in row.iter().enumerate() {
                            @if column == 0 { th scope="row" { (safe(cell)) } }
                            @else { td { (safe(cell)) } }
                        }
                    }
                }
            }
        }
    }
}
