//! The pictures of a package, from the numbers of its charts.

use maud::{Markup, html};

use crate::charts::{AreaMap, Branch, Budget, Charts, DutyChart, Point, RunChart};
use crate::claims::Outcome;
use crate::units::show::{show, show_bore, significant};
use crate::units::{Dimension, System, Unit};

use super::super::promise::word;
use super::super::terminal::safe;
use super::svg::{Chart, Scale, WIDTH, frame, px};

/// The units of a package's pictures.
#[derive(Clone, Copy)]
struct Units {
    system: System,
}

impl Units {
    fn in_unit(self, si: f64, us: &str, metric: &str) -> f64 {
        let spelling = self.spelling(us, metric);
        Unit::known(spelling).map_or(si, |unit| unit.from_si(si))
    }

    fn spelling<'s>(self, us: &'s str, metric: &'s str) -> &'s str {
        match self.system {
            System::Us => us,
            System::Metric => metric,
        }
    }

    fn pressure(self, pascals: f64) -> f64 {
        self.in_unit(pascals, "psi", "kPa")
    }

    fn air(self, cubic_metres_per_second: f64) -> f64 {
        self.in_unit(cubic_metres_per_second, "cfm", "L/min")
    }

    fn length(self, metres: f64) -> f64 {
        self.in_unit(metres, "ft", "m")
    }

    fn area(self, square_metres: f64) -> f64 {
        self.in_unit(square_metres, "ft2", "m2")
    }

    fn told(self, si: f64, dimension: Dimension) -> String {
        show(dimension, si, self.system)
    }
}

/// All pictures of a package; `id` begins the names they have in the page.
pub fn pictures(charts: &Charts, system: System, id: &str) -> Markup {
    let units = Units { system };
    let depth = units.told(charts.depth, Dimension::Length);
    let mut at = format!("at {depth}");
    if !charts.way.is_empty() {
        at.push_str(&format!(", {}", safe(&charts.way)));
    }
    html! {
        div class="pictures" {
            @if let Some(duty) = &charts.duty { (duty_chart(duty, units, &at, &format!("{id}-duty"))) }
            @if !charts.budget.is_empty() { (budget(&charts.budget, units, &at, &format!("{id}-budget"))) }
            @if let Some(area) = &charts.area { (area_map(area, units, &format!("{id}-area"))) }
            @if let Some(runs) = &charts.runs { (run_chart(runs, units, &at, &format!("{id}-runs"))) }
            @if !charts.branches.is_empty() { (branches(&charts.branches, units, &at, &format!("{id}-branches"))) }
        }
    }
}

/// A picture with its heading and what to see in it.
fn figure(title: &str, picture: &Markup, caption: &Markup) -> Markup {
    html! {
        figure {
            h4 { (title) }
            (picture)
            figcaption { (caption) }
        }
    }
}

fn duty_chart(chart: &DutyChart, units: Units, at: &str, id: &str) -> Markup {
    let to = |points: &[Point]| -> Vec<(f64, f64)> {
        let points = points.iter();
        points
            .map(|(air, pressure)| (units.air(*air), units.pressure(*pressure)))
            .collect()
    };
    let (supply, system) = (to(&chart.supply), to(&chart.system));
    let limit = chart.limit.map(|limit| units.pressure(limit));
    let points = supply.iter().chain(system.first()).copied();
    let most = |of: fn((f64, f64)) -> f64| points.clone().map(of).fold(0.0, f64::max);
    let top = most(|point| point.1).max(limit.unwrap_or(0.0)) * 1.08;
    let right = most(|point| point.0) * 1.05;
    let mut picture = Chart::new(
        Scale::even(0.0, right),
        Scale::even(0.0, top),
        format!("free air, {}", units.spelling("cfm", "L/min")),
        format!("pressure, {}", units.spelling("psi", "kPa")),
    );
    picture.line(&supply, "supply");
    picture.line(&system, "system");
    if let Some(limit) = limit {
        picture.level(limit, "limit", "continuous limit");
    }
    let corners = [chart.least, chart.most].into_iter().flatten();
    for corner in corners {
        let corner = to(&[corner]);
        picture.mark(corner[0], "corner", "");
    }
    let pressure = |pascals: f64| units.told(pascals, Dimension::GaugePressure);
    let air = |flow: f64| units.told(flow, Dimension::VolumeFlow);
    let limit = chart.limit.map(pressure);
    let limit = limit.map_or("not stated".to_string(), |limit| limit);
    let duty = match chart.duty {
        Some(point) => {
            picture.mark(to(&[point])[0], "duty", "duty point");
            let corners = chart
                .least
                .zip(chart.most)
                .filter(|(least, most)| least.0 < most.0)
                .map_or(String::new(), |(least, most)| {
                    format!(
                        " From the worst to the best case it lies between {} and {}.",
                        air(least.0),
                        air(most.0)
                    )
                });
            let meet = match point.0 > 0.0 {
                true => "The two lines meet",
                false => "No air flows: the two lines meet",
            };
            format!(
                "{meet} at {} and {}.{corners}",
                air(point.0),
                pressure(point.1)
            )
        }
        None => {
            "The compressor's curve ends before the two lines meet, so the flow there isn't known."
                .into()
        }
    };
    let says = format!("{duty} The compressor's limit for continuous running is {limit}.");
    let title = format!("Compressor against system, {at}");
    let drawn = picture.draw(id, &title, &says);
    figure(
        &title,
        &drawn,
        &html! {
            (duty) " The limit for continuous running is " (limit) ". " br;
            span class="key supply" { "what the compressor gives" } " "
            span class="key system" { "what lines, diffusers and water take" } " "
            span class="key corner" { "worst and best case" }
        },
    )
}

/// Height of a row of bars.
const ROW: f64 = 48.0;
/// Where bars begin and end.
const BARS: (f64, f64) = (8.0, WIDTH - 8.0);

fn branch_name(diffuser: &str, count: f64, depth: f64, run: f64, units: Units) -> String {
    let times = if count > 1.0 {
        format!("{} × ", significant(count, 3))
    } else {
        String::new()
    };
    format!(
        "{times}{} at {}, run {}",
        safe(diffuser),
        units.told(depth, Dimension::Length),
        units.told(run, Dimension::Length)
    )
}

/// Parts of a bar, each with what comes before it.
fn laid(parts: &[(&'static str, f64)]) -> Vec<(&'static str, f64, f64)> {
    let mut before = 0.0;
    let mut laid = Vec::new();
    for &(part, pascals) in parts {
        laid.push((part, pascals, before));
        before += pascals;
    }
    laid
}

fn budget(rows: &[Budget], units: Units, at: &str, id: &str) -> Markup {
    let pressure = |pascals: f64| units.told(pascals, Dimension::GaugePressure);
    let most = rows
        .iter()
        .map(|row| row.parts.iter().map(|part| part.1).sum::<f64>());
    let most = most.fold(1e-9, f64::max);
    let scale = |pascals: f64| pascals / most * (BARS.1 - BARS.0);
    let name = |row: &Budget| branch_name(&row.diffuser, row.count, row.depth, row.run, units);
    let class = |part: &str| format!("part {}", part.split(' ').next().unwrap_or_default());
    let body = html! {
        @for (number, row) in rows.iter().enumerate() {
            @let top = number as f64 * ROW;
            text class="name" x=(px(BARS.0)) y=(px(top + 14.0)) { (name(row)) }
            @for (part, pascals, begin) in laid(&row.parts) {
                rect class=(class(part)) data-part=(part) x=(px(BARS.0 + scale(begin))) y=(px(top + 20.0)) width=(px(scale(pascals))) height="20" {
                    title { (part) " " (pressure(pascals)) }
                }
            }
        }
    };
    let told = rows.iter().map(|row| {
        let parts = row
            .parts
            .iter()
            .map(|(part, pascals)| format!("{part} {}", pressure(*pascals)));
        let parts: Vec<String> = parts.collect();
        format!(
            "{}: pressure at the manifold {}, made up of {}",
            name(row),
            pressure(row.manifold),
            parts.join(", ")
        )
    });
    let says = told.collect::<Vec<_>>().join("; ");
    let title = format!("Where the pressure goes, {at}");
    let height = rows.len() as f64 * ROW + 2.0;
    let drawn = frame(id, &title, &says, height, body);
    figure(
        &title,
        &drawn,
        &html! {
            @for row in rows {
                p { (name(row)) ": the pressure at the manifold is " (pressure(row.manifold)) "." }
                ul class="legend" {
                    @for (part, pascals) in &row.parts {
                        li { span class=(format!("swatch {}", class(part))) {} (part) " " (pressure(*pascals)) }
                    }
                }
            }
        },
    )
}

fn area_map(map: &AreaMap, units: Units, id: &str) -> Markup {
    let to = |points: &[Point]| -> Vec<(f64, f64)> {
        let wet = points.iter().filter(|point| point.1 > 0.0);
        wet.map(|(depth, area)| (units.length(*depth), units.area(*area)))
            .collect()
    };
    let supported = to(&map.supported);
    let rated = to(&map.rated);
    let contradicted = to(&map.contradicted);
    let claims: Vec<((f64, f64), Outcome)> = map
        .claims
        .iter()
        .map(|(point, outcome)| (to(&[*point]), *outcome))
        .filter_map(|(point, outcome)| Some((*point.first()?, outcome)))
        .collect();
    let points = || {
        let lines = supported.iter().chain(&rated).chain(&contradicted);
        lines.copied().chain(claims.iter().map(|claim| claim.0))
    };
    let least = points().map(|point| point.1).fold(f64::INFINITY, f64::min);
    let most = points().map(|point| point.1).fold(0.0, f64::max);
    let deepest = points().map(|point| point.0).fold(0.0, f64::max);
    let shallowest = points().map(|point| point.0).fold(f64::INFINITY, f64::min);
    let mut picture = Chart::new(
        Scale::even(shallowest, deepest),
        Scale::factors(least / 1.6, most * 1.6),
        format!("depth, {}", units.spelling("ft", "m")),
        format!("area, {}", units.spelling("ft2", "m2")),
    );
    picture.fill(&supported, false, "zone supported");
    picture.fill(&contradicted, true, "zone contradicted");
    picture.line(&supported, "bound-supported");
    picture.line(&rated, "bound-rated");
    picture.line(&contradicted, "bound-contradicted");
    // Words stand two thirds along a line where there is room, else nearer to its beginning or end.
    let along = |line: &[(f64, f64)]| -> Vec<(f64, f64)> {
        let shares = [8, 6, 9, 4, 3, 10, 2, 11, 1];
        let points = shares.map(|share| line.get(line.len() * share / 12).copied());
        points.into_iter().flatten().collect()
    };
    picture.name(along(&rated).into_iter().rev(), "rated");
    picture.region(along(&supported), false, "holds");
    picture.region(along(&contradicted), true, "contradicted");
    for (at, outcome) in &claims {
        let class = if *outcome == Outcome::NotEvaluated {
            "corner"
        } else {
            outcome.as_str()
        };
        picture.mark(*at, class, "promised");
    }
    let area = |square_metres: f64| units.told(square_metres, Dimension::Area);
    let told = map.claims.iter().map(|((depth, claimed), outcome)| {
        // The claimed depths are among those calculated.
        let near = |line: &[Point]| {
            let nearest = line.iter().min_by(|a, b| (a.0 - depth).abs().total_cmp(&(b.0 - depth).abs()));
            nearest.map_or("not known".to_string(), |point| area(point.1))
        };
        let promise = format!(
            "The promise is {} at {}: {}.",
            area(*claimed),
            units.told(*depth, Dimension::Length),
            word(*outcome)
        );
        if *outcome == Outcome::NotEvaluated {
            return promise;
        }
        format!(
            "{promise} At that depth, up to {} holds, {} is rated, and more than {} is contradicted.",
            near(&map.supported),
            near(&map.rated),
            near(&map.contradicted)
        )
    });
    let says = told.collect::<Vec<_>>().join(" ");
    let title = "Area and depth";
    let drawn = picture.draw(id, title, &says);
    figure(
        title,
        &drawn,
        &html! {
            (says) " Between the two lines it isn't certain: an area is contradicted only if one measure fails in the best case and a second one fails in the typical case. The scale of areas is logarithmic."
        },
    )
}

fn run_chart(chart: &RunChart, units: Units, at: &str, id: &str) -> Markup {
    let most = chart
        .lines
        .iter()
        .flat_map(|line| &line.1)
        .map(|point| point.0)
        .fold(0.0, f64::max);
    // Beyond twice the limit nobody lays a line.
    let top = (2.0 * chart.limit)
        .max(chart.laid.map_or(0.0, |laid| 1.2 * laid.1.1))
        .min(1.0);
    let percent = |share: f64| 100.0 * share;
    let to = |point: &Point| (units.length(point.0), percent(point.1));
    let mut picture = Chart::new(
        Scale::even(0.0, units.length(most)),
        Scale::even(0.0, percent(top)),
        format!("length of each run, {}", units.spelling("ft", "m")),
        "flow lost, %",
    );
    let laid = chart.laid.map(|laid| laid.0);
    for (bore, points) in &chart.lines {
        let own = laid.is_some_and(|laid| (laid / bore - 1.0).abs() < 1e-9);
        let line: Vec<(f64, f64)> = points.iter().map(to).collect();
        picture.line(&line, if own { "bore own" } else { "bore" });
        // Named where it leaves the picture.
        let within = line.iter().take_while(|point| point.1 <= percent(top));
        let within: Vec<(f64, f64)> = within.copied().collect();
        picture.name(within.into_iter().rev(), &show_bore(*bore, units.system));
    }
    picture.level(percent(chart.limit), "limit", "allowed by the rating");
    let length = |metres: f64| units.told(metres, Dimension::Length);
    let says = match chart.laid {
        Some((bore, (run, lost))) => {
            picture.mark((units.length(run), percent(lost)), "duty", "as laid");
            format!(
                "A run of {} with a bore of {} costs {} % of the flow; the rating allows {} %.",
                length(run),
                show_bore(bore, units.system),
                significant(percent(lost), 3),
                significant(percent(chart.limit), 3)
            )
        }
        None => "The loss in the run as laid isn't known.".into(),
    };
    let bores = chart.lines.iter();
    let bores: Vec<String> = bores
        .map(|(bore, _)| show_bore(*bore, units.system))
        .collect();
    let bores = bores.join(", ");
    let title = format!("Flow lost in the airline, {at}");
    let drawn = picture.draw(id, &title, &says);
    figure(
        &title,
        &drawn,
        &html! {
            (says) " The lines are for the typical case, from the highest to the lowest for a bore (inside diameter) of "
            (bores) "."
        },
    )
}

fn branches(rows: &[Branch], units: Units, at: &str, id: &str) -> Markup {
    let air = |flow: f64| units.told(flow, Dimension::VolumeFlow);
    let most = rows.iter().map(|row| {
        row.working
            .map_or(row.air, |working| working.1.max(row.air))
    });
    let most = most.fold(1e-12, f64::max);
    let scale = |flow: f64| flow / most * (BARS.1 - BARS.0);
    let name = |row: &Branch| branch_name(&row.diffuser, row.count, row.depth, row.run, units);
    let body = html! {
        @for (number, row) in rows.iter().enumerate() {
            @let top = number as f64 * ROW;
            text class="name" x=(px(BARS.0)) y=(px(top + 14.0)) { (name(row)) }
            @if let Some((least, most)) = row.working {
                rect class="working" x=(px(BARS.0 + scale(least))) y=(px(top + 20.0)) width=(px(scale(most - least))) height="24" {
                    title { "working range " (air(least)) " to " (air(most)) }
                }
            }
            rect class="part air" x=(px(BARS.0)) y=(px(top + 25.0)) width=(px(scale(row.air))) height="14" {
                title { (air(row.air)) }
            }
        }
    };
    let told = rows.iter().map(|row| {
        let working = row.working.map_or(String::new(), |(least, most)| {
            format!(", working range {} to {}", air(least), air(most))
        });
        format!("{}: {} for each diffuser{working}", name(row), air(row.air))
    });
    let told: Vec<String> = told.collect();
    let title = format!("Air for each branch, all valves open, {at}");
    let height = rows.len() as f64 * ROW + 2.0;
    let drawn = frame(id, &title, &told.join("; "), height, body);
    figure(
        &title,
        &drawn,
        &html! {
            ul class="legend" { @for line in &told { li { (line) "." } } }
            "The frame shows the diffuser's working range."
        },
    )
}
