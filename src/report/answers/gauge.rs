//! The gauge at the manifold: `nameplate-gauge/1` for programs, a table for people.

use serde::Serialize;

use crate::answers::Asked;
use crate::answers::gauge::{Gauge, Reading};
use crate::units::Dimension;

use super::page::{Page, heads, row};
use super::{Style, json_text};

/// The format's name and version.
pub const FORMAT: &str = "nameplate-gauge/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/gauge.schema.json");

#[derive(Serialize)]
struct Answer<'a> {
    format: &'static str,
    package: &'a str,
    option: Option<&'a str>,
    expected_pa: ReadingRow,
    expected_one_shut_pa: Option<ReadingRow>,
    reads_pa: Option<f64>,
    one_shut_pa: Option<f64>,
    fits_expected: Option<bool>,
    fits: Vec<FaultRow<'a>>,
}

#[derive(Serialize)]
struct ReadingRow {
    low: f64,
    central: f64,
    high: f64,
}

impl ReadingRow {
    fn of(reading: &Reading) -> ReadingRow {
        ReadingRow {
            low: reading.low,
            central: reading.central,
            high: reading.high,
        }
    }
}

#[derive(Serialize)]
struct FaultRow<'a> {
    fault: &'static str,
    reads_pa: ReadingRow,
    one_shut_pa: Option<ReadingRow>,
    told_apart_by: &'a str,
}

/// The answer for programs.
pub fn json(asked: &Asked, gauge: &Gauge, _explain: bool) -> String {
    json_text(&Answer {
        format: FORMAT,
        package: &asked.package.entry.id,
        option: asked.way.option().map(|option| option.id.as_str()),
        expected_pa: ReadingRow::of(&gauge.expected),
        expected_one_shut_pa: gauge.expected_one_shut.as_ref().map(ReadingRow::of),
        reads_pa: gauge.reads,
        one_shut_pa: gauge.one_shut,
        fits_expected: gauge.fits_sound,
        fits: gauge
            .faults
            .iter()
            .map(|fault| FaultRow {
                fault: fault.name,
                reads_pa: ReadingRow::of(&fault.reads),
                one_shut_pa: fault.one_shut.as_ref().map(ReadingRow::of),
                told_apart_by: &fault.told_apart_by,
            })
            .collect(),
    })
}

/// The answer for people, ending with a line feed.
pub fn terminal(asked: &Asked, gauge: &Gauge, style: Style) -> String {
    let mut page = Page::headed(asked, style.look);
    page.heading("The gauge at the manifold");
    let pressure = |page: &Page, si| page.figure(si, Dimension::GaugePressure);
    let cells = |page: &Page, label: String, reading: &Reading, look: &str| {
        row([
            label,
            pressure(page, reading.low),
            pressure(page, reading.central),
            pressure(page, reading.high),
            look.to_string(),
        ])
    };
    let mut rows = vec![heads(
        ["", "low", "central", "high", "to tell it apart"].map(String::from),
    )];
    rows.push(cells(
        &page,
        "all as it should be".into(),
        &gauge.expected,
        "",
    ));
    for fault in &gauge.faults {
        rows.push(cells(
            &page,
            fault.name.to_string(),
            &fault.reads,
            &fault.told_apart_by,
        ));
    }
    page.table(&rows);
    page.done()
}
