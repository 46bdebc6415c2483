//! What was read of spec sheets: each figure with its place, and each sheet.

use std::num::NonZeroU32;

use serde::Serialize;

use crate::engine::{AuditedSheet, Outcome};
use crate::spec_sheet::{Claim, Condition, Si, UnreadKind};
use crate::text::{Source, Sources};
use crate::units::Quantity;

use super::number;

/// Every figure and comparison, in the order of the sheets.
pub(super) fn rows(outcome: &Outcome) -> Vec<ClaimRow<'_>> {
    let sheets = outcome.sheets.iter();
    sheets
        .flat_map(|sheet| {
            let source = outcome.sources.get(sheet.file);
            let claims = sheet.sheet.claims.iter().zip(&sheet.of_claims);
            claims.map(move |(claim, package)| ClaimRow::of(source, claim, package.as_deref()))
        })
        .collect()
}

/// Every sheet.
pub(super) fn sheets(outcome: &Outcome) -> Vec<SheetRow<'_>> {
    outcome
        .sheets
        .iter()
        .map(|sheet| SheetRow::of(&outcome.sources, sheet))
        .collect()
}

#[derive(Serialize)]
pub(super) struct ClaimRow<'a> {
    file: &'a str,
    /// Absent for a file of pages.
    line: Option<usize>,
    column: Option<usize>,
    page: Option<u32>,
    #[serde(rename = "box", skip_serializing_if = "Option::is_none")]
    frame: Option<[f64; 4]>,
    text: &'a str,
    attribute: &'static str,
    comparator: &'static str,
    si: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    per: Option<&'static str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    count: Option<f64>,
    condition: Option<ConditionRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    also: Option<AlsoRow<'a>>,
    subject: &'static str,
    sureness: &'static str,
    said_by: &'static str,
    package: Option<&'a str>,
}

impl<'a> ClaimRow<'a> {
    fn of(source: &'a Source, claim: &'a Claim, package: Option<&'a str>) -> ClaimRow<'a> {
        let position = claim
            .page
            .is_none()
            .then(|| source.position(claim.at.start));
        ClaimRow {
            file: source.name(),
            line: position.map(|at| at.line),
            column: position.map(|at| at.column),
            page: claim.page.map(NonZeroU32::get),
            frame: source
                .pages()
                .and_then(|pages| pages.frame(claim.at.clone()))
                .map(|frame| [frame.x0, frame.y0, frame.x1, frame.y1]),
            text: &claim.text,
            attribute: claim.attribute.as_str(),
            comparator: claim.comparator.as_str(),
            si: SiRow::of(claim.si),
            currency: claim.currency.as_ref().map(|currency| currency.code()),
            per: claim.period.map(|period| period.word()),
            count: claim.count,
            condition: (!claim.condition.is_empty()).then(|| ConditionRow::of(&claim.condition)),
            also: claim.also.as_ref().map(|also| AlsoRow {
                text: &also.text,
                si: SiRow::of(also.si),
            }),
            subject: claim.subject.as_str(),
            sureness: claim.sureness.as_str(),
            said_by: claim.said_by.as_str(),
            package,
        }
    }
}

/// One value, or a range.
#[derive(Serialize)]
#[serde(untagged)]
enum SiRow {
    Value {
        value: serde_json::Value,
    },
    Range {
        low: serde_json::Value,
        high: serde_json::Value,
    },
}

impl SiRow {
    fn of(si: Si) -> Option<SiRow> {
        match si {
            Si::None => None,
            Si::Value(value) => Some(SiRow::Value {
                value: number(value),
            }),
            Si::Range(low, high) => Some(SiRow::Range {
                low: number(low),
                high: number(high),
            }),
        }
    }

    fn of_quantity(quantity: &Quantity) -> SiRow {
        // A price of energy is for each kilowatt-hour, as it is written.
        let (low, high) = if quantity.dimension().is_money() {
            (quantity.low(), quantity.high())
        } else {
            (quantity.si_low(), quantity.si_high())
        };
        if low < high {
            SiRow::Range {
                low: number(low),
                high: number(high),
            }
        } else {
            SiRow::Value {
                value: number(high),
            }
        }
    }
}

#[derive(Serialize)]
struct AlsoRow<'a> {
    text: &'a str,
    si: Option<SiRow>,
}

#[derive(Serialize)]
struct ConditionRow {
    #[serde(skip_serializing_if = "Option::is_none")]
    pressure: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    depth: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    distance: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    tariff: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hours_per_day: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    temperature: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    per: Option<&'static str>,
}

impl ConditionRow {
    fn of(condition: &Condition) -> ConditionRow {
        let row = |quantity: &Option<Quantity>| quantity.as_ref().map(SiRow::of_quantity);
        ConditionRow {
            pressure: row(&condition.pressure),
            depth: row(&condition.depth),
            distance: row(&condition.distance),
            tariff: row(&condition.tariff),
            hours_per_day: condition.hours_per_day,
            temperature: row(&condition.temperature),
            per: condition.per.map(|per| per.as_str()),
        }
    }
}

/// A sheet, where its copy is from, and what of it wasn't read.
#[derive(Serialize)]
pub(super) struct SheetRow<'a> {
    file: &'a str,
    package: Option<&'a str>,
    language: Option<&'a str>,
    claims: usize,
    not_judged: Vec<HeardRow<'a>>,
    not_read: Vec<SeenRow<'a>>,
    unread: Vec<UnreadRow>,
    url: Option<&'a str>,
    captured: Option<&'a str>,
    hash: &'a str,
    program: &'static str,
    rulebook: &'static str,
}

#[derive(Serialize)]
struct HeardRow<'a> {
    line: Option<usize>,
    page: Option<u32>,
    text: &'a str,
    attribute: Option<&'static str>,
    why: &'static str,
}

#[derive(Serialize)]
struct SeenRow<'a> {
    line: Option<usize>,
    page: Option<u32>,
    text: &'a str,
}

#[derive(Serialize)]
struct UnreadRow {
    what: &'static str,
    line: Option<usize>,
    page: Option<u32>,
}

impl<'a> SheetRow<'a> {
    fn of(sources: &'a Sources, sheet: &'a AuditedSheet) -> SheetRow<'a> {
        let source = sources.get(sheet.file);
        let unread = sheet.sheet.unread.iter();
        SheetRow {
            file: source.name(),
            package: sheet.package.as_deref(),
            language: sheet.sheet.language.as_deref(),
            claims: sheet.sheet.claims.len(),
            not_judged: sheet
                .sheet
                .heard
                .iter()
                .map(|one| {
                    let (line, page) = place(sheet, source, one.passage, one.at.start);
                    HeardRow {
                        line,
                        page,
                        text: &one.text,
                        attribute: one.attribute.map(|attribute| attribute.as_str()),
                        why: one.why.as_str(),
                    }
                })
                .collect(),
            not_read: sheet
                .sheet
                .seen
                .iter()
                .map(|one| {
                    let (line, page) = place(sheet, source, one.passage, one.at.start);
                    SeenRow {
                        line,
                        page,
                        text: &one.text,
                    }
                })
                .collect(),
            unread: unread
                .map(|one| UnreadRow {
                    what: word(one.what),
                    line: one
                        .page
                        .is_none()
                        .then(|| source.position(one.at.start).line),
                    page: one.page,
                })
                .collect(),
            url: sheet.copy.url.as_deref(),
            captured: sheet.copy.captured.as_deref(),
            hash: &sheet.hash,
            program: env!("CARGO_PKG_VERSION"),
            rulebook: crate::engine::RULEBOOK,
        }
    }
}

/// The line of a figure; its page instead, in a file of pages.
fn place(
    sheet: &AuditedSheet,
    source: &Source,
    passage: u32,
    at: usize,
) -> (Option<usize>, Option<u32>) {
    let passage = sheet.sheet.passages.get(passage as usize);
    match passage.and_then(|passage| passage.page) {
        Some(page) => (None, Some(page.get())),
        None => (Some(source.position(at).line), None),
    }
}

fn word(kind: UnreadKind) -> &'static str {
    match kind {
        UnreadKind::Picture => "picture",
        UnreadKind::Language => "language",
        UnreadKind::TooLarge => "too-large",
        UnreadKind::Encoding => "encoding",
        UnreadKind::Damaged => "damaged",
        UnreadKind::Encrypted => "encrypted",
        UnreadKind::TooMuchWork => "too-much-work",
        UnreadKind::Kind => "kind",
        UnreadKind::ScannedPage => "scanned-page",
        UnreadKind::CrowdedTag => "crowded-tag",
        UnreadKind::Failed => "failed",
    }
}
