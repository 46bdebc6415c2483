//! What the figures of spec sheets were read as, in the catalog's own writing.

use std::num::NonZeroU32;

use crate::engine::AuditedSheet;
use crate::spec_sheet::{Attribute, Claim, Comparator, Condition, Si, Sureness};
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
    /// How sure it is that they are promised.
    pub sureness: Sureness,
    /// What says so.
    pub said_by: &'static str,
}

/// A figure that nobody judged.
pub struct NotJudged {
    /// Its page, or its line and column.
    pub place: String,
    /// As it is written.
    pub words: String,
    /// Why it isn't judged, and what it would promise.
    pub why: String,
}

/// Figures of a sheet that are read and not judged.
pub fn not_judged<'a>(
    sheet: &'a AuditedSheet,
    source: &'a Source,
) -> impl Iterator<Item = NotJudged> {
    sheet.sheet.heard.iter().map(|one| NotJudged {
        place: place_of(page_of(sheet, one.passage), one.at.start, source),
        words: one_line(&one.text),
        why: match one.attribute {
            Some(attribute) => format!("{}; {}", attribute.as_str(), one.why.as_str()),
            None => one.why.as_str().to_string(),
        },
    })
}

/// Figures of a sheet that are seen and not read.
pub fn not_read<'a>(
    sheet: &'a AuditedSheet,
    source: &'a Source,
) -> impl Iterator<Item = NotJudged> {
    sheet.sheet.seen.iter().map(|one| NotJudged {
        place: place_of(page_of(sheet, one.passage), one.at.start, source),
        words: one_line(&one.text),
        why: String::new(),
    })
}

fn page_of(sheet: &AuditedSheet, passage: u32) -> Option<NonZeroU32> {
    sheet.sheet.passages.get(passage as usize)?.page
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
            place: place_of(claim.page, claim.at.start, source),
            attribute: claim.attribute.as_str(),
            value,
            words: one_line(&claim.text),
            sureness: claim.sureness,
            said_by: claim.said_by.as_str(),
        }
    })
}

fn place_of(page: Option<NonZeroU32>, at: usize, source: &Source) -> String {
    match page {
        Some(page) => format!("page {page}"),
        None => {
            let at = source.position(at);
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
