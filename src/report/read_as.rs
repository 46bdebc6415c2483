//! What the figures of spec sheets were read as, in the catalog's own writing.

use crate::engine::AuditedSheet;
use crate::spec_sheet::{Attribute, Claim, Comparator, Condition, Si};
use crate::text::Source;
use crate::units::Quantity;
use crate::units::show::significant;

/// A claim as a person checks it.
pub struct ReadAs {
    /// Its page, or its line and column.
    pub place: String,
    /// What it promises.
    pub attribute: &'static str,
    /// What it says, under what, and of which package if not of the sheet's.
    pub value: String,
    /// Its words, without line ends.
    pub words: String,
}

/// The claims of a sheet, in its order.
pub fn claims<'a>(sheet: &'a AuditedSheet, source: &'a Source) -> impl Iterator<Item = ReadAs> {
    let packages = sheet.of_claims.iter().map(Option::as_deref);
    let claims = sheet.sheet.claims.iter().zip(packages);
    claims.map(|(claim, package)| {
        let mut value = value(claim);
        let under = condition(&claim.condition);
        if !under.is_empty() {
            value.push_str(&format!(", {under}"));
        }
        if let Some(also) = &claim.also {
            let other = also
                .quantity
                .as_ref()
                .map_or_else(|| also.text.to_string(), Quantity::canonical);
            value.push_str(&format!(", also {other}"));
        }
        if package != sheet.package.as_deref() {
            value.push_str(&format!(", of {}", package.unwrap_or("another thing")));
        }
        ReadAs {
            place: place(claim, source),
            attribute: claim.attribute.as_str(),
            value,
            words: one_line(&claim.text),
        }
    })
}

fn place(claim: &Claim, source: &Source) -> String {
    match claim.page {
        Some(page) => format!("page {page}"),
        None => {
            let at = source.position(claim.at.start);
            format!("{}:{}", at.line, at.column)
        }
    }
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
