//! `nameplate-intake/1`, for programs.

use serde::Serialize;

use super::{Shown, totals};
use crate::intake::grid::letters;
use crate::report::json_text;

/// The format's name and version.
pub const FORMAT: &str = "nameplate-intake/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/intake.schema.json");

#[derive(Serialize)]
struct Report<'r> {
    format: &'static str,
    written: bool,
    tables: Vec<TableRow<'r>>,
    findings: Vec<FindingRow<'r>>,
    changes: Vec<ChangeRow<'r>>,
    summary: SummaryRow,
}

#[derive(Serialize)]
struct TableRow<'r> {
    file: &'r str,
    sheet: Option<&'r str>,
    kind: Option<&'static str>,
    rows: Vec<FateRow>,
    columns_not_taken: Vec<ColumnRow<'r>>,
}

#[derive(Serialize)]
struct FateRow {
    row: u32,
    fate: &'static str,
}

#[derive(Serialize)]
struct ColumnRow<'r> {
    column: String,
    heading: Option<&'r str>,
}

#[derive(Serialize)]
struct FindingRow<'r> {
    what: &'static str,
    level: &'static str,
    message: String,
    file: Option<&'r str>,
    sheet: Option<&'r str>,
    row: Option<u32>,
    column: Option<String>,
    heading: Option<&'r str>,
    offer: Option<&'r str>,
}

#[derive(Serialize)]
struct ChangeRow<'r> {
    file: &'r str,
    on: &'r str,
    key: Option<&'r str>,
    was: Option<&'r str>,
    is: Option<&'r str>,
}

#[derive(Serialize)]
struct SummaryRow {
    rows: usize,
    taken: usize,
    taken_with_finding: usize,
    not_taken: usize,
    values_kept: usize,
    values_same: usize,
    audit: Option<AuditRow>,
}

#[derive(Serialize)]
struct AuditRow {
    packages: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
}

/// A text, or nothing where it is empty.
fn said(text: &str) -> Option<&str> {
    Some(text).filter(|text| !text.is_empty())
}

/// The report as JSON, ending with a line feed.
#[must_use]
pub fn render(shown: &Shown) -> String {
    let tables = shown.accounts.iter().map(|account| TableRow {
        file: &account.file,
        sheet: said(&account.sheet),
        kind: account.kind,
        rows: account
            .rows
            .iter()
            .map(|(row, fate)| FateRow {
                row: *row,
                fate: fate.name(),
            })
            .collect(),
        columns_not_taken: account
            .unknown
            .iter()
            .map(|(column, heading)| ColumnRow {
                column: letters(*column),
                heading: said(heading),
            })
            .collect(),
    });
    let findings = shown.told.iter().map(|told| FindingRow {
        what: told.what.name(),
        level: told.what.level().as_str(),
        message: told.what.words(),
        file: said(&told.at.file),
        sheet: said(&told.at.sheet),
        row: Some(told.at.row).filter(|row| *row > 0),
        column: told.at.column.map(letters),
        heading: said(&told.at.heading),
        offer: told.offer.as_deref(),
    });
    let changes = shown.changes.iter().map(|change| ChangeRow {
        file: &change.path,
        on: &change.on,
        key: said(&change.key),
        was: change.was.as_deref(),
        is: Some(change.is.as_str()).filter(|_| !change.key.is_empty()),
    });
    let [rows, taken, with, not] = totals(shown.accounts);
    json_text(&Report {
        format: FORMAT,
        written: shown.written,
        tables: tables.collect(),
        findings: findings.collect(),
        changes: changes.collect(),
        summary: SummaryRow {
            rows,
            taken,
            taken_with_finding: with,
            not_taken: not,
            values_kept: shown.kept,
            values_same: shown.same,
            audit: shown.audit.map(|audit| AuditRow {
                packages: audit.summary.packages,
                errors: audit.summary.errors,
                warnings: audit.summary.warnings,
                notes: audit.summary.notes,
            }),
        },
    })
}
