//! How far a package goes: `nameplate-limits/1` for programs, a table for people.

use serde::Serialize;

use crate::answers::Asked;
use crate::answers::limits::{Limit, Limits};
use crate::answers::water::{self, Water};
use crate::assumptions::Rating;
use crate::claims::airline_length::LONGEST;
use crate::units::Dimension;
use crate::units::show::{show_alike, show_bore, show_water_flow, show_written, significant};

use super::explain::{self, StepRow};
use crate::physics::mixing::LAYERED_FROM;
use crate::report::figures::duration;

use super::Style;
use super::page::{Page, heads, row};
use crate::report::json_text;

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
    water: Option<WaterRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    equations: Option<Vec<StepRow<'a>>>,
}

/// The pond of the claimed area, else of the largest.
#[derive(Serialize)]
struct WaterRow {
    area_m2: f64,
    depth_m: f64,
    volume_m3: f64,
    lifted_m3_per_s: ThreeRow,
    turnovers_per_day: ThreeRow,
    reach_per_depth_needed: f64,
    air_kg_per_s_and_m2: f64,
    first_run_s: Option<f64>,
}

#[derive(Serialize)]
struct ThreeRow {
    low: f64,
    central: f64,
    high: f64,
}

impl ThreeRow {
    fn of([low, central, high]: [f64; 3]) -> ThreeRow {
        ThreeRow { low, central, high }
    }
}

#[derive(Serialize)]
struct LimitRow {
    low: Option<f64>,
    central: Option<f64>,
    high: Option<f64>,
    rated: Option<f64>,
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
            rated: limit.rated,
            binds: limit.binds,
        }
    }
}

/// The answer for programs.
pub fn json(asked: &Asked, limits: &Limits, explain: bool) -> String {
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
        water: limits.water.as_ref().map(|water| WaterRow {
            area_m2: water.area,
            depth_m: water.depth,
            volume_m3: water.volume,
            lifted_m3_per_s: ThreeRow::of(water.lifted),
            turnovers_per_day: ThreeRow::of(water.turnovers),
            reach_per_depth_needed: water.reach_needed,
            air_kg_per_s_and_m2: water.air_per_area,
            first_run_s: water.first_run,
        }),
        equations: explain::rows(&limits.steps, explain),
    })
}

/// The answer for people, ending with a line feed.
pub fn terminal(asked: &Asked, limits: &Limits, style: Style) -> String {
    let mut page = Page::headed(asked, style.look);
    page.heading("How far it goes");
    let mut rows = vec![heads(
        [
            "",
            "rated",
            "worst case",
            "typical",
            "best case",
            "what limits it",
        ]
        .map(String::from),
    )];
    let cells = |page: &Page, label: String, limit: &Limit, dimension| {
        let ends = [limit.rated, limit.low, limit.central, limit.high];
        let [rated, low, central, high] = shown(page, ends, dimension);
        row([
            label,
            rated,
            low,
            central,
            high,
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
    let is_stricter = |run: &Limit| Some(run.rated? < run.low?);
    if limits
        .runs
        .iter()
        .any(|(_, run)| is_stricter(run) == Some(true))
    {
        page.says(&format!(
            "A rated run loses no more than {} % of the air in the line, which the other columns don't ask.",
            significant(asked.rating.line_loss, 3)
        ));
    }
    if limits.depth.central == Some(0.0) {
        page.says(match limits.depth.binds {
            "pressure" => {
                "No depth is reached, because the compressor would be beyond its pressure: use a wider or shorter line, \
                 fewer diffusers, or a machine for more pressure."
            }
            _ => {
                "No depth is reached, because a diffuser would get less air than it needs: use fewer diffusers, or a \
                 machine with more air."
            }
        });
    }
    if let Some(water) = &limits.water {
        pond(&mut page, water, &asked.rating);
    }
    if style.explain {
        explain::show(&mut page, &limits.steps);
    }
    page.done()
}

/// Limits in one unit; a run is looked for up to a length that nobody lays, and no further.
fn shown(page: &Page, limits: [Option<f64>; 4], dimension: Dimension) -> [String; 4] {
    let known: Vec<f64> = limits.into_iter().flatten().collect();
    let mut figures = show_alike(dimension, &known, page.system).into_iter();
    limits.map(|limit| {
        let figure = limit.and_then(|_| figures.next());
        match (limit, figure) {
            (Some(limit), Some(figure)) if dimension == Dimension::Length && limit >= LONGEST => {
                format!("over {figure}")
            }
            (_, figure) => figure.unwrap_or("not known".into()),
        }
    })
}

/// What it does to a pond, and how to begin.
fn pond(page: &mut Page, water: &Water, rating: &Rating) {
    let (reach, mixing_air) = (rating.reach_per_depth, rating.mixing_air);
    let area = page.figure(water.area, Dimension::Area);
    let depth = page.figure(water.depth, Dimension::Length);
    page.heading(&format!("A pond of {area}, {depth} deep"));
    let three = |of: [f64; 3], show: &dyn Fn(f64) -> String| of.map(show).join(page.theme.dot());
    let mut rows = vec![
        row([
            "each diffuser must stir".into(),
            format!("{} times its depth", significant(water.reach_needed, 3)),
            match water.reach_needed > reach {
                true => format!("too far: rated at {}", significant(reach, 3)),
                false => format!(
                    "rated at {}; published tests reach 2.5 to 7",
                    significant(reach, 3)
                ),
            },
        ]),
        row([
            "water lifted".into(),
            three(water.lifted, &|si| show_water_flow(si, page.system)),
            "worst case, typical, best case; part of it circles near the bubbles".into(),
        ]),
        row([
            "turnovers a day".into(),
            three(water.turnovers, &|times| significant(times, 3)),
            "by the water lifted, which is more than is truly exchanged".into(),
        ]),
        row([
            "air on the pond".into(),
            page.figure(water.air_per_area, Dimension::AirAmountPerArea),
            format!(
                "a lake in layers needs about {}",
                show_written(mixing_air, "scfm/acre", page.system)
            ),
        ]),
    ];
    let first = water.first_run.filter(|_| water.depth >= LAYERED_FROM);
    rows.extend(first.map(|seconds| {
        row([
            "on the first day".into(),
            duration(seconds),
            "run at most, in a pond with layers: that lifts a tenth of it".into(),
        ])
    }));
    page.table(&rows);
    let usual = water::first_days().iter().map(|hours| hours * 3600.0);
    let most = |(day, seconds): (usize, f64)| match first.filter(|_| day == 0) {
        Some(first) => duration(seconds.min(first)),
        None => duration(seconds),
    };
    let days: Vec<String> = usual.enumerate().map(most).collect();
    page.says(&match water.depth >= LAYERED_FROM {
        false => "So shallow a pond is mixed by wind and seldom lies in layers for days; it may run all day from the first \
                  day. If it does lie in layers, start by stages."
            .to_string(),
        true => format!(
        "Bottom water may hold no oxygen, and can kill fish when it comes up all at once. Start in spring before there are layers, \
         or run {} on the first days, in the cool of the day (common practice, no source).",
        days.join(", ")
    ),
    });
    page.says(
        "In winter the warmest water lies at the bottom. Diffusers at a quarter to half of the depth leave it there \
         (common practice, no source). Bubbles thin the ice far around them: mark it, keep people off it and follow the local rules.",
    );
}

/// What limits it, in words.
fn binds(word: &str) -> &'static str {
    match word {
        "pressure" => "the compressor's continuous pressure",
        "flow" => "the air each diffuser needs",
        "reach" => "how far a diffuser reaches",
        "turnover" => "turning the water over",
        "mixing" => "the air that keeps it mixed",
        "search" => "nothing, in the typical case",
        _ => "the end of the compressor's curve",
    }
}
