//! How far a package goes: `nameplate-limits/1` for programs, a table for people.

use serde::Serialize;

use crate::answers::Asked;
use crate::answers::limits::{Limit, Limits};
use crate::units::Dimension;
use crate::units::show::show_bore;

use super::page::{Page, heads, row};
use super::{Style, json_text};

/// The format's name and version.
pub const FORMAT: &str = "nameplate-limits/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/limits.schema.json");

#[derive(Serialize)]
struct Answer<'a> {
    format: &'static str,
    package: &'a str,
    option: Option<&'a str>,
    depth_m: LimitRow,
    area_m2: Option<AreaRow>,
    run_m: Vec<RunRow>,
}

#[derive(Serialize)]
struct LimitRow {
    low: Option<f64>,
    central: Option<f64>,
    high: Option<f64>,
    binds: &'static str,
}

#[derive(Serialize)]
struct AreaRow {
    #[serde(flatten)]
    limit: LimitRow,
    at_depth_m: f64,
}

#[derive(Serialize)]
struct RunRow {
    bore_m: f64,
    #[serde(flatten)]
    limit: LimitRow,
}

impl LimitRow {
    fn of(limit: &Limit) -> LimitRow {
        LimitRow {
            low: limit.low,
            central: limit.central,
            high: limit.high,
            binds: limit.binds,
        }
    }
}

/// The answer for programs.
pub fn json(asked: &Asked, limits: &Limits, _explain: bool) -> String {
    json_text(&Answer {
        format: FORMAT,
        package: &asked.package.entry.id,
        option: asked.way.option().map(|option| option.id.as_str()),
        depth_m: LimitRow::of(&limits.depth),
        area_m2: limits.area.as_ref().map(|(limit, at)| AreaRow {
            limit: LimitRow::of(limit),
            at_depth_m: *at,
        }),
        run_m: limits
            .runs
            .iter()
            .map(|(bore, limit)| RunRow {
                bore_m: *bore,
                limit: LimitRow::of(limit),
            })
            .collect(),
    })
}

/// The answer for people, ending with a line feed.
pub fn terminal(asked: &Asked, limits: &Limits, style: Style) -> String {
    let mut page = Page::headed(asked, style.look);
    page.heading("How far it goes");
    let mut rows = vec![heads(
        ["", "low", "central", "high", "what binds"].map(String::from),
    )];
    let cells = |page: &Page, label: String, limit: &Limit, dimension| {
        row([
            label,
            page.maybe(limit.low, dimension),
            page.maybe(limit.central, dimension),
            page.maybe(limit.high, dimension),
            binds(limit.binds).to_string(),
        ])
    };
    rows.push(cells(
        &page,
        "deepest diffuser".into(),
        &limits.depth,
        Dimension::Length,
    ));
    if let Some((area, at)) = &limits.area {
        let label = format!("largest pond at {}", page.figure(*at, Dimension::Length));
        rows.push(cells(&page, label, area, Dimension::Area));
    }
    for (bore, run) in &limits.runs {
        let label = format!("longest run of {}", show_bore(*bore, page.system));
        rows.push(cells(&page, label, run, Dimension::Length));
    }
    page.table(&rows);
    page.done()
}

/// What binds, in words.
fn binds(word: &str) -> &'static str {
    match word {
        "pressure" => "the compressor's continuous pressure",
        "flow" => "the air each diffuser needs",
        "line-loss" => "the flow a run may cost",
        "reach" => "how far a diffuser reaches",
        "turnover" => "turning the water over",
        "mixing" => "the air that keeps it mixed",
        "search" => "nothing within what was looked at",
        _ => "the end of the compressor's curve",
    }
}
