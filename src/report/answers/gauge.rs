//! The gauge at the manifold: `nameplate-gauge/1` for programs, a table for people.

use serde::Serialize;

use crate::answers::Asked;
use crate::answers::gauge::{Gauge, Reading};
use crate::units::Dimension;

use super::Style;
use super::explain::{self, StepRow};
use super::page::{Page, heads, row};
use crate::report::json_text;

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
    #[serde(skip_serializing_if = "Option::is_none")]
    equations: Option<Vec<StepRow<'a>>>,
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
    alike: &'a [&'static str],
    told_apart_by: &'a str,
}

/// The answer for programs.
pub fn json(asked: &Asked, gauge: &Gauge, explain: bool) -> String {
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
                alike: &fault.alike,
                told_apart_by: &fault.told_apart_by,
            })
            .collect(),
        equations: explain::rows(&gauge.steps, explain),
    })
}

/// The answer for people, ending with a line feed.
pub fn terminal(asked: &Asked, gauge: &Gauge, style: Style) -> String {
    let mut page = Page::headed(asked, style.look);
    page.heading(match asked.solver.plant.trunk.is_empty() {
        true => "The gauge at the manifold should read",
        // A manifold at the far end of a trunk stands lower by what the trunk takes.
        false => "A gauge at the compressors, before the trunk, should read",
    });
    let cells = |page: &Page, label: &str, reading: &Reading| {
        let pressure = |si| page.figure(si, Dimension::GaugePressure);
        row([
            label.to_string(),
            pressure(reading.low),
            pressure(reading.central),
            pressure(reading.high),
        ])
    };
    let names = |first: &str| heads([first, "lowest", "typical", "highest"].map(String::from));
    let mut rows = vec![names(""), cells(&page, "as laid", &gauge.expected)];
    if let Some(shut) = &gauge.expected_one_shut {
        rows.push(cells(&page, "with one valve shut", shut));
    }
    page.table(&rows);
    let most = asked.solver.plant.max_pressure();
    let shut = gauge.expected_one_shut.as_ref();
    if let Some(most) = most.filter(|most| shut.is_some_and(|shut| shut.high > *most)) {
        page.says(&format!(
            "With one valve shut the pressure may rise above the {} that the compressor may run against: shut it for a few \
             seconds only, and never the last one open.",
            page.figure(most, Dimension::GaugePressure)
        ));
    }
    let pressure = |page: &Page, si| page.figure(si, Dimension::GaugePressure);
    match (gauge.reads, gauge.one_shut) {
        (None, None) => page.heading("What would change the reading"),
        (reads, shut) => {
            let reads = reads.map(|si| format!("It reads {}", pressure(&page, si)));
            let shut = shut.map(|si| format!("with one valve shut {}", pressure(&page, si)));
            let both: Vec<String> = [reads, shut].into_iter().flatten().collect();
            page.heading(&both.join(", "));
            page.says(if gauge.fits_sound == Some(true) {
                "That fits an installation without a fault."
            } else {
                "That doesn't fit an installation without a fault."
            });
            if gauge.faults.is_empty() {
                page.says(
                    "None of the known faults fits: check the gauge, the readings and what was laid. Below the pressure of the water, \
                     look for a hose that is off or split, an open relief valve or a machine that stands still.",
                );
            } else {
                page.gap();
            }
        }
    }
    if !gauge.faults.is_empty() {
        let mut rows = vec![names("a fault that fits")];
        if gauge.reads.is_none() && gauge.one_shut.is_none() {
            rows = vec![names("")];
        }
        for fault in &gauge.faults {
            rows.push(cells(&page, fault.name, &fault.reads));
        }
        page.table(&rows);
        page.heading("How to tell them apart");
        for fault in &gauge.faults {
            let taken = format!("{} (counted as {}): ", fault.name, fault.taken);
            page.says(&format!("{taken}{}.", fault.told_apart_by));
        }
        page.gap();
        page.says(
            "Unplug the compressor and relieve the pressure before a line is opened or the filter is touched. Work \
             on the mains is for a licensed electrician under the local code.",
        );
    }
    if style.explain {
        explain::show(&mut page, &gauge.steps);
    }
    page.done()
}
