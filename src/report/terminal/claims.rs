//! What was read of spec sheets, for a person to check figure by figure.

use crate::engine::{AuditedSheet, Outcome};
use crate::report::read_as::{self, ReadAs};
use crate::spec_sheet::Sureness;

use super::table::{self, Cell, Room, Row};
use super::theme::{Role, Theme};
use super::{Look, NARROWEST, WIDEST};

/// A table for each sheet: the place of each figure, its words, what they were taken for, and of which package.
pub fn render(outcome: &Outcome, look: Look) -> String {
    let theme = Theme {
        color: look.color,
        unicode: look.unicode,
    };
    let width = look.width.clamp(NARROWEST, WIDEST);
    let mut text = String::new();
    for sheet in &outcome.sheets {
        one(outcome, sheet, width, &theme, &mut text);
    }
    let count = outcome.summary.claims;
    let sheets = outcome.summary.sheets;
    let last = match (count, sheets) {
        (_, 0) => "No spec sheet was read.".to_string(),
        (count, 1) => format!("{count} claims read from one sheet."),
        (count, sheets) => format!("{count} claims read from {sheets} sheets."),
    };
    text.push_str(&theme.paint(Role::Strong, &last));
    text.push('\n');
    text
}

fn one(outcome: &Outcome, sheet: &AuditedSheet, width: usize, theme: &Theme, text: &mut String) {
    let source = outcome.sources.get(sheet.file);
    let about = match &sheet.package {
        Some(package) => format!("about package {package}"),
        None => "about no package".into(),
    };
    let head = vec![
        Cell::new(theme.text(source.name()), Role::Strong),
        Cell::new(theme.text(&about), Role::Quiet),
    ];
    let mut rows = vec![Row::Across(head)];
    if sheet.sheet.claims.is_empty() {
        rows.push(Row::Across(vec![Cell::new(
            "nothing that could be judged",
            Role::Quiet,
        )]));
    } else {
        let heads = ["place", "attribute", "read as", "in the text"];
        rows.push(Row::Heads(
            heads
                .iter()
                .map(|head| Cell::new(*head, Role::Label))
                .collect(),
        ));
    }
    let claims: Vec<ReadAs> = read_as::claims(sheet, source).collect();
    for (sureness, title) in [
        (Sureness::Asserted, "Asserted of what the page offers"),
        (Sureness::Likely, "Likely meant of it"),
    ] {
        let mut own = claims
            .iter()
            .filter(|claim| claim.sureness == sureness)
            .peekable();
        if own.peek().is_some() {
            rows.push(Row::Across(vec![Cell::new(title, Role::Label)]));
        }
        rows.extend(own.map(|claim| {
            Row::Cells(vec![
                Cell::new(claim.place.clone(), Role::Quiet),
                Cell::new(claim.attribute, Role::Plain),
                Cell::new(theme.text(&claim.value), Role::Plain),
                Cell::new(theme.text(&claim.words), Role::Quiet),
            ])
        }));
    }
    let more = [
        (
            "Read, not judged",
            read_as::not_judged(sheet, source).collect::<Vec<_>>(),
        ),
        (
            "Figures seen, not read",
            read_as::not_read(sheet, source).collect(),
        ),
    ];
    for (title, figures) in more.into_iter().filter(|(_, figures)| !figures.is_empty()) {
        rows.push(Row::Across(vec![Cell::new(title, Role::Label)]));
        rows.extend(figures.into_iter().map(|one| {
            Row::Cells(vec![
                Cell::new(one.place, Role::Quiet),
                Cell::new("", Role::Plain),
                Cell::new(theme.text(&one.why), Role::Plain),
                Cell::new(theme.text(&one.words), Role::Quiet),
            ])
        }));
    }
    let room = Room {
        width,
        indent: 0,
        widest: 44,
        least: 24,
    };
    text.push_str(&table::lay(&rows, room, theme));
    text.push('\n');
}
