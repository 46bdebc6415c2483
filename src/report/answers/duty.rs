//! The duty point: `nameplate-duty/1` for programs, a pressure budget for people.

use serde::Serialize;

use crate::answers::Asked;
use crate::answers::duty::{Branch, Duty};
use crate::report::terminal::table::Row;
use crate::units::Dimension;
use crate::units::show::{show_bore, show_money, show_rise, significant};

use super::Style;
use super::explain::{self, StepRow};
use super::page::{Page, heads, row};
use crate::report::json_text;

/// The format's name and version.
pub const FORMAT: &str = "nameplate-duty/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/duty.schema.json");

#[derive(Serialize)]
struct Answer<'a> {
    format: &'static str,
    package: &'a str,
    option: Option<&'a str>,
    manifold_gauge_pa: f64,
    manifold_gauge_range_pa: RangeRow,
    continuous_limit_pa: Option<f64>,
    free_air_m3_per_s: f64,
    bled_m3_per_s: f64,
    delivered_range_m3_per_s: RangeRow,
    mass_flow_kg_per_s: f64,
    power_w: Option<f64>,
    wire_to_air: Option<f64>,
    dead_headed: bool,
    start_pressure_pa: Option<f64>,
    cost: Option<CostRow<'a>>,
    sound: Option<SoundRow>,
    branches: Vec<BranchRow<'a>>,
    breaches: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    equations: Option<Vec<StepRow<'a>>>,
}

#[derive(Serialize)]
struct RangeRow {
    low: Option<f64>,
    high: Option<f64>,
}

impl RangeRow {
    fn of((low, high): (Option<f64>, Option<f64>)) -> RangeRow {
        RangeRow { low, high }
    }
}

#[derive(Serialize)]
struct CostRow<'a> {
    per_month: f64,
    currency: &'a str,
    power_w: f64,
    hours_per_day: f64,
    tariff_per_kwh: f64,
}

#[derive(Serialize)]
struct SoundRow {
    distance_m: f64,
    low_db: f64,
    central_db: f64,
    high_db: f64,
    a_weighted: bool,
}

#[derive(Serialize)]
struct BranchRow<'a> {
    diffuser: &'a str,
    depth_m: f64,
    run_m: f64,
    bore_m: f64,
    free_air_m3_per_s: f64,
    water_head_pa: f64,
    trunk_loss_pa: f64,
    line_loss_pa: f64,
    fitting_loss_pa: f64,
    diffuser_loss_pa: f64,
    reynolds: f64,
    barb_loss_pa: f64,
    valve_loss_pa: f64,
    check_valve_loss_pa: f64,
    short_by_pa: f64,
}

impl<'a> BranchRow<'a> {
    fn of(branch: &'a Branch) -> BranchRow<'a> {
        BranchRow {
            diffuser: &branch.diffuser,
            depth_m: branch.depth,
            run_m: branch.run,
            bore_m: branch.bore,
            free_air_m3_per_s: branch.free_air,
            water_head_pa: branch.water_head,
            trunk_loss_pa: branch.trunk_loss,
            line_loss_pa: branch.line_loss,
            // So that the losses of the format sum to the manifold's pressure.
            fitting_loss_pa: branch.fitting_loss + branch.valve_loss + branch.check_valve_loss,
            diffuser_loss_pa: branch.diffuser_loss,
            reynolds: branch.reynolds,
            barb_loss_pa: branch.fitting_loss,
            valve_loss_pa: branch.valve_loss,
            check_valve_loss_pa: branch.check_valve_loss,
            short_by_pa: branch.short_by,
        }
    }
}

/// The answer for programs.
pub fn json(asked: &Asked, duty: &Duty, explain: bool) -> String {
    json_text(&Answer {
        format: FORMAT,
        package: &asked.package.entry.id,
        option: asked.way.option().map(|option| option.id.as_str()),
        manifold_gauge_pa: duty.manifold,
        manifold_gauge_range_pa: RangeRow::of(duty.manifold_range),
        continuous_limit_pa: duty.limit,
        free_air_m3_per_s: duty.free_air,
        bled_m3_per_s: duty.bled,
        delivered_range_m3_per_s: RangeRow::of(duty.free_air_range),
        mass_flow_kg_per_s: duty.amount,
        power_w: duty.power,
        wire_to_air: duty.wire_to_air,
        dead_headed: duty.dead_headed,
        start_pressure_pa: duty.start,
        cost: duty.cost.as_ref().map(|cost| CostRow {
            per_month: cost.a_month,
            currency: &cost.currency,
            power_w: cost.watts,
            hours_per_day: cost.hours_a_day,
            tariff_per_kwh: cost.tariff,
        }),
        sound: duty.noise.as_ref().map(|noise| SoundRow {
            distance_m: noise.distance,
            low_db: noise.low,
            central_db: noise.central,
            high_db: noise.high,
            a_weighted: noise.weighted,
        }),
        branches: duty.branches.iter().map(BranchRow::of).collect(),
        breaches: duty.breaches.iter().map(ToString::to_string).collect(),
        equations: explain::rows(&duty.steps, explain),
    })
}

/// The answer for people, ending with a line feed.
pub fn terminal(asked: &Asked, duty: &Duty, style: Style) -> String {
    let mut page = Page::headed(asked, style.look);
    page.heading("Duty point");
    // A manifold at the far end of a trunk stands lower by what the trunk takes.
    let place = match asked.solver.plant.trunk.is_empty() {
        true => "at the manifold",
        false => "at the compressors",
    };
    summary(&mut page, duty, place);
    if duty.dead_headed {
        page.says(
            "No air comes through: the machine is dead-headed below the pressure that opens a diffuser. Never run it so; \
             a machine against a shut outlet overheats.",
        );
    }
    page.heading("Pressure budget, from the water to the valve");
    budget(&mut page, duty, place);
    throttled(&mut page, asked, duty);
    explain::breaches(&mut page, &duty.breaches);
    if style.explain {
        explain::show(&mut page, &duty.steps);
    }
    page.done()
}

fn summary(page: &mut Page, duty: &Duty, place: &str) {
    let pressure = |page: &Page, si| page.figure(si, Dimension::GaugePressure);
    let mut rows: Vec<Row> = Vec::new();
    let spread = |page: &Page, ends: (Option<f64>, Option<f64>), dimension| match ends {
        (Some(low), Some(high)) => format!("{} over the ranges", page.range(low, high, dimension)),
        (Some(low), None) => format!(
            "from {} over the ranges; the other end lies beyond the curve",
            page.figure(low, dimension)
        ),
        (None, Some(high)) => format!(
            "to {} over the ranges; the other end lies beyond the curve",
            page.figure(high, dimension)
        ),
        (None, None) => "both ends of the ranges lie beyond the curve".into(),
    };
    let mut beside = spread(page, duty.manifold_range, Dimension::GaugePressure);
    if let Some(limit) = duty.limit {
        let over = if duty.manifold > limit {
            "above"
        } else {
            "within"
        };
        beside = format!(
            "{beside}; {over} its continuous limit of {}",
            pressure(page, limit)
        );
    }
    rows.push(row([place.into(), pressure(page, duty.manifold), beside]));
    rows.push(row([
        "free air".into(),
        page.figure(duty.free_air, Dimension::VolumeFlow),
        spread(page, duty.free_air_range, Dimension::VolumeFlow),
    ]));
    if duty.bled > 0.0 {
        rows.push(row([
            "let off".into(),
            page.figure(duty.bled, Dimension::VolumeFlow),
            "bled before the lines, part of the free air above".into(),
        ]));
    }
    rows.push(match duty.power {
        Some(watts) => row([
            "power".into(),
            page.figure(watts, Dimension::Power),
            duty.wire_to_air.map_or(String::new(), |efficiency| {
                format!(
                    "{} % of it goes into the air",
                    significant(100.0 * efficiency, 3)
                )
            }),
        ]),
        None => row([
            "power".into(),
            "not known".into(),
            "a compressor states no `power`".into(),
        ]),
    });
    rows.push(match &duty.cost {
        Some(cost) => row([
            "running cost".into(),
            cost.unit()
                .map(|unit| show_money(unit, cost.a_month / (730.5 * 3600.0)))
                .unwrap_or_default(),
            format!(
                "{}{}, {} h a day, {} days, at {} {}/kWh",
                page.figure(cost.watts, Dimension::Power),
                match duty.power {
                    Some(watts) if cost.watts > watts * 1.001 => format!(
                        ", {} of them for the fan",
                        page.figure(cost.watts - watts, Dimension::Power)
                    ),
                    _ => String::new(),
                },
                significant(cost.hours_a_day, 3),
                significant(cost.month / 24.0, 3),
                significant(cost.tariff, 4),
                cost.currency
            ),
        ]),
        None => row([
            "running cost".into(),
            "not known".into(),
            "it takes the power of every part and a price of electricity".into(),
        ]),
    });
    rows.push(match &duty.noise {
        Some(noise) => {
            let unit = if noise.weighted { "dB(A)" } else { "dB" };
            let at = page.figure(noise.distance, Dimension::Length);
            let level = |db: f64| significant((db * 10.0).round() / 10.0, 3);
            let ends = if noise.low < noise.high {
                format!(
                    ", {} to {} by its cabinet",
                    level(noise.low),
                    level(noise.high)
                )
            } else {
                String::new()
            };
            row([
                "noise".into(),
                format!("{} {unit}", level(noise.central)),
                format!("at {at}, outdoors over hard ground{ends}"),
            ])
        }
        None => row([
            "noise".into(),
            "not known".into(),
            "a compressor states no `sound` with its distance".into(),
        ]),
    });
    if let Some(start) = duty.start {
        let says = if duty.shut_off >= 1.1 * start {
            "it starts".to_string()
        } else {
            "less than a tenth to spare: it may not start".to_string()
        };
        rows.push(row([
            "to start".into(),
            pressure(page, start),
            format!(
                "against lines full of water; its curve goes to {}: {says}",
                pressure(page, duty.shut_off)
            ),
        ]));
    }
    let [cool, _, hot] = duty.discharge;
    rows.push(row([
        "air leaves at".into(),
        page.figure(duty.discharge[1], Dimension::Temperature),
        format!(
            "{} by its efficiency; hot parts burn, and what they are joined to must stand it",
            page.range(cool, hot, Dimension::Temperature)
        ),
    ]));
    if let Some(rise) = duty.cabinet_rise {
        rows.push(row([
            "cabinet".into(),
            show_rise(rise, page.system, 3),
            "warmer than the air around, with its fan".into(),
        ]));
    }
    page.table(&rows);
}

/// Alike neighbours together: how many, and one of them.
fn alike(branches: &[Branch]) -> Vec<(usize, &Branch)> {
    branches
        .chunk_by(|a, b| a == b)
        .filter_map(|alike| Some((alike.len(), alike.first()?)))
        .collect()
}

/// The columns are diffusers, as many as fit side by side.
fn budget(page: &mut Page, duty: &Duty, place: &str) {
    let groups = alike(&duty.branches);
    let side_by_side = (page.width.saturating_sub(26) / 20).max(1);
    for (number, groups) in groups.chunks(side_by_side).enumerate() {
        if number > 0 {
            page.gap();
        }
        let rows = columns(page, groups, (place, duty.manifold));
        page.table(&rows);
    }
}

fn columns(page: &Page, groups: &[(usize, &Branch)], (place, manifold): (&str, f64)) -> Vec<Row> {
    let line = |label: &str, of: &dyn Fn(&Branch) -> String| {
        let cells = groups.iter().map(|(_, branch)| of(branch));
        row(std::iter::once(label.to_string()).chain(cells))
    };
    let pressure = |si: f64| page.figure(si, Dimension::GaugePressure);
    let mut rows = vec![heads(std::iter::once(String::new()).chain(
        groups.iter().map(|(count, branch)| {
            let id = page.theme.text(&branch.diffuser);
            if *count == 1 {
                id.into_owned()
            } else {
                format!("{count} x {id}")
            }
        }),
    ))];
    rows.push(line("depth", &|b| page.figure(b.depth, Dimension::Length)));
    rows.push(line("run", &|b| page.figure(b.run, Dimension::Length)));
    rows.push(line("bore", &|b| {
        if b.bore > 0.0 {
            show_bore(b.bore, page.system)
        } else {
            "no line".into()
        }
    }));
    rows.push(line("water", &|b| pressure(b.water_head)));
    rows.push(line("diffuser", &|b| pressure(b.diffuser_loss)));
    rows.push(line("check valve", &|b| pressure(b.check_valve_loss)));
    if groups.iter().any(|(_, b)| b.trunk_loss > 0.0) {
        rows.push(line("trunk", &|b| pressure(b.trunk_loss)));
    }
    rows.push(line("line", &|b| pressure(b.line_loss)));
    rows.push(line("barbs and fittings", &|b| pressure(b.fitting_loss)));
    rows.push(line("valve", &|b| pressure(b.valve_loss)));
    if groups.iter().any(|(_, b)| b.short_by > 0.0) {
        rows.push(line("short of it by", &|b| pressure(-b.short_by)));
    }
    rows.push(line(place, &|_| pressure(manifold)));
    rows.push(line("free air", &|b| {
        if b.free_air > 0.0 {
            page.figure(b.free_air, Dimension::VolumeFlow)
        } else {
            "none: it is dry".into()
        }
    }));
    if groups.iter().any(|(_, b)| b.working.is_some()) {
        rows.push(line("works with", &|b| match b.working {
            Some((least, most)) => {
                let says = if b.free_air < least {
                    ", too little"
                } else if b.free_air > most {
                    ", too much"
                } else {
                    ""
                };
                format!("{}{says}", page.range(least, most, Dimension::VolumeFlow))
            }
            None => "not stated".into(),
        }));
    }
    rows.push(line("Reynolds", &|b| significant(b.reynolds, 3)));
    rows
}

/// What valves can make of unlike branches.
fn throttled(page: &mut Page, asked: &Asked, duty: &Duty) {
    let Some((throttled, settings)) = &duty.throttled else {
        return;
    };
    page.heading("Valves that give every diffuser the same share of its least air");
    let mut rows = Vec::new();
    for setting in settings {
        let outlet = &asked.solver.plant.outlets[setting.label];
        let id = page.theme.text(&outlet.part.entry.id).into_owned();
        let depth = page.figure(outlet.depth, Dimension::Length);
        let set = match (setting.cv, setting.kv) {
            (Some(cv), Some(kv)) => {
                format!("Cv {}, Kv {}", significant(cv, 2), significant(kv, 2))
            }
            _ => "open".to_string(),
        };
        rows.push(row([format!("{id} at {depth}"), set]));
    }
    page.table(&rows);
    let pressure = page.figure(throttled.pressure, Dimension::GaugePressure);
    page.says(&format!(
        "The manifold then stands at {pressure}, and each diffuser gets {} times its least air.",
        significant(throttled.share, 3)
    ));
}
