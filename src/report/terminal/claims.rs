//! What was read of spec sheets, for a person to check figure by figure.

use crate::engine::{AuditedSheet, Outcome};
use crate::spec_sheet::{Attribute, Claim, Comparator, Condition, Si};
use crate::units::Quantity;
use crate::units::show::significant;

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
    let packages = sheet.of_claims.iter().map(Option::as_deref);
    for (claim, package) in sheet.sheet.claims.iter().zip(packages) {
        let place = match claim.page {
            Some(page) => format!("page {page}"),
            None => {
                let at = source.position(claim.at.start);
                format!("{}:{}", at.line, at.column)
            }
        };
        let mut read = value(claim);
        let under = condition(&claim.condition);
        if !under.is_empty() {
            read.push_str(&format!(", {under}"));
        }
        if let Some(also) = &claim.also {
            let other = also
                .quantity
                .as_ref()
                .map_or_else(|| also.text.to_string(), Quantity::canonical);
            read.push_str(&format!(", also {other}"));
        }
        if package != sheet.package.as_deref() {
            read.push_str(&format!(", of {}", package.unwrap_or("another thing")));
        }
        rows.push(Row::Cells(vec![
            Cell::new(place, Role::Quiet),
            Cell::new(claim.attribute.as_str(), Role::Plain),
            Cell::new(theme.text(&read), Role::Plain),
            Cell::new(theme.text(&one_line(&claim.text)), Role::Quiet),
        ]));
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

/// Words of a sheet without line ends.
fn one_line(words: &str) -> String {
    words.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What a claim says, in the catalog's own writing.
fn value(claim: &Claim) -> String {
    const DAY: f64 = 86_400.0;
    let is_turnover = claim.attribute == Attribute::Turnover;
    let day = |si: f64| significant(si * DAY, 4);
    let figure = match (&claim.quantity, claim.si) {
        (_, Si::None) => return "a comparison; against what isn't said".into(),
        (_, Si::Value(si)) if is_turnover => format!("{} /day", day(si)),
        (_, Si::Range(low, high)) if is_turnover => format!("{} to {} /day", day(low), day(high)),
        (Some(quantity), _) => quantity.canonical(),
        (None, Si::Value(value)) => significant(value, 6),
        (None, Si::Range(low, high)) => {
            format!("{} to {}", significant(low, 6), significant(high, 6))
        }
    };
    let bound = match claim.comparator {
        Comparator::Exact | Comparator::Range => "",
        Comparator::AtMost => "at most ",
        Comparator::AtLeast => "at least ",
        Comparator::About => "about ",
    };
    format!("{bound}{figure}")
}

/// Under what it holds, in the catalog's own writing.
fn condition(condition: &Condition) -> String {
    let mut parts: Vec<String> = Vec::new();
    let quantities = [
        &condition.pressure,
        &condition.depth,
        &condition.distance,
        &condition.tariff,
        &condition.temperature,
    ];
    for quantity in quantities.into_iter().flatten() {
        parts.push(format!("at {}", quantity.canonical()));
    }
    if let Some(hours) = condition.hours_per_day {
        parts.push(format!("{} hours a day", significant(hours, 3)));
    }
    if let Some(per) = condition.per {
        parts.push(format!("for each {}", per.as_str()));
    }
    parts.join(", ")
}
