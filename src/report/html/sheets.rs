//! What was read of the spec sheets, for a person to check figure by figure.

use maud::{Markup, html};

use crate::engine::{AuditedSheet, Outcome};

use super::super::read_as::{self, NotJudged, ReadAs};
use super::super::terminal::safe;
use super::super::told;

/// Most figures of one sheet that are shown; a catalog of a thousand packages on one page has more, and a page
/// with all of them takes long to open.
const MOST: usize = 2000;

/// A table for each sheet; nothing where no sheet was read.
pub(super) fn sheets<'a>(
    outcome: &Outcome,
    sheets: impl IntoIterator<Item = &'a AuditedSheet>,
) -> Markup {
    let mut sheets = sheets.into_iter().peekable();
    html! {
        @if sheets.peek().is_some() {
            section aria-labelledby="read" {
                h2 id="read" { "What was read of the spec sheets" }
                p {
                    "Every figure and comparison that was taken for a claim, in the catalog's own writing. "
                    "A contradicted figure that is only likely meant of the package is asked about. Below them stand the figures "
                    "that were read and not judged, and those that were seen and not read."
                }
                @for sheet in sheets { (one(outcome, sheet)) }
            }
        }
    }
}

fn one(outcome: &Outcome, sheet: &AuditedSheet) -> Markup {
    let source = outcome.sources.get(sheet.file);
    let count = sheet.sheet.claims.len();
    html! {
        details class="evidence" {
            summary {
                (safe(source.name())) ", "
                @match &sheet.package {
                    Some(package) => { "about " (safe(package)) },
                    None => { "about no package" },
                }
                ": " (told::count(count, "claim", "claims"))
            }
            @if count > 0 {
                table role="table" class="read" {
                    thead role="rowgroup" {
                        tr role="row" {
                            @for head in ["place", "attribute", "read as", "in the text", "how sure"] {
                                th role="columnheader" scope="col" { (head) }
                            }
                        }
                    }
                    tbody role="rowgroup" {
                        @for claim in read_as::claims(sheet, source).take(MOST) { (row(&claim)) }
                    }
                }
            }
            @if count > MOST {
                p { (told::count(count - MOST, "claim", "claims")) " more; the report in JSON lists all." }
            }
            (list("Read, not judged", read_as::not_judged(sheet, source)))
            (list("Figures seen, not read", read_as::not_read(sheet, source)))
        }
    }
}

/// Figures that nobody judged; nothing where there is none.
fn list(title: &str, figures: impl Iterator<Item = NotJudged>) -> Markup {
    let figures: Vec<NotJudged> = figures.take(MOST).collect();
    html! {
        @if !figures.is_empty() {
            p { (title) ":" }
            ul class="read" {
                @for one in &figures {
                    li {
                        (one.place) ": " (safe(&one.words))
                        @if !one.why.is_empty() { " (" (one.why) ")" }
                    }
                }
            }
        }
    }
}

fn row(claim: &ReadAs) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { (claim.place) }
            td role="cell" data-label="attribute" { (claim.attribute) }
            td role="cell" data-label="read as" { (safe(&claim.value)) }
            td role="cell" data-label="in the text" { (safe(&claim.words)) }
            td role="cell" data-label="how sure" { (claim.sureness.as_str()) ", " (claim.said_by) }
        }
    }
}
