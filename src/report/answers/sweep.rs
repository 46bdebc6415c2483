//! What if: `nameplate-sweep/1` and separated values for programs, a table for people.

use serde::Serialize;

use crate::answers::sweep::{Axis, Measure, Point, Stop, Sweep, Three, Variable};
use crate::claims::Grade;
use crate::finding::capital;
use crate::report::json_text;
use crate::report::terminal::Look;
use crate::report::terminal::safe;
use crate::report::terminal::table::{Cell, Row};
use crate::report::terminal::theme::Role;
use crate::units::show::{show, show_money, significant};
use crate::units::{Dimension, Unit};

use super::page::{Page, heads};

/// The format's name and version.
pub const FORMAT: &str = "nameplate-sweep/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/sweep.schema.json");

#[derive(Serialize)]
struct Answer<'a> {
    format: &'static str,
    package: &'a str,
    option: Option<&'a str>,
    sold_with_diffusers: u32,
    currency: Option<&'a str>,
    variables: Vec<&'static str>,
    points: Vec<PointRow<'a>>,
}

#[derive(Serialize)]
struct PointRow<'a> {
    at: serde_json::Map<String, serde_json::Value>,
    verdict: &'static str,
    within_rating: Option<bool>,
    manifold_gauge_pa: ThreeRow,
    continuous_limit_pa: Option<f64>,
    delivered_m3_per_s: ThreeRow,
    least_fed_m3_per_s: ThreeRow,
    least_needed_m3_per_s: Option<f64>,
    area_m2: ThreeRow,
    rated_area_m2: Option<f64>,
    deepest_m: ThreeRow,
    power_w: Option<f64>,
    cost_per_month: Option<f64>,
    missing: Option<&'a str>,
}

#[derive(Serialize)]
struct ThreeRow {
    low: Option<f64>,
    central: Option<f64>,
    high: Option<f64>,
}

impl ThreeRow {
    fn of(three: Three) -> ThreeRow {
        ThreeRow {
            low: three.low,
            central: three.typical,
            high: three.high,
        }
    }
}

/// The stop of a point on each axis.
fn stops<'s>(sweep: &'s Sweep, point: &'s Point) -> impl Iterator<Item = (&'s Axis, &'s Stop)> {
    let axes = sweep.axes.iter().zip(&point.at);
    axes.filter_map(|(axis, at)| Some((axis, axis.stops.get(*at)?)))
}

/// Whether a grade is within the rating; nothing where that isn't known.
fn within(grade: Grade) -> Option<bool> {
    match grade {
        Grade::Holds | Grade::WithinRating => Some(true),
        Grade::BeyondRating | Grade::Contradicted => Some(false),
        Grade::NotJudged => None,
    }
}

/// The answer for programs.
pub fn json(sweep: &Sweep) -> String {
    let points = sweep.points.iter().map(|point| PointRow {
        at: stops(sweep, point)
            .map(|(axis, stop)| (axis.variable.key().to_string(), stop.si.into()))
            .collect(),
        verdict: point.outcome.as_str(),
        within_rating: within(point.grade),
        manifold_gauge_pa: ThreeRow::of(point.pressure),
        continuous_limit_pa: point.limit,
        delivered_m3_per_s: ThreeRow::of(point.air),
        least_fed_m3_per_s: ThreeRow::of(point.least_fed),
        least_needed_m3_per_s: point.needed,
        area_m2: ThreeRow::of(point.area),
        rated_area_m2: point.rated_area,
        deepest_m: ThreeRow::of(point.deepest),
        power_w: point.power,
        cost_per_month: point.cost,
        missing: point.missing.as_deref(),
    });
    json_text(&Answer {
        format: FORMAT,
        package: &sweep.package,
        option: sweep.about.option.as_deref(),
        sold_with_diffusers: sweep.about.sold_with,
        currency: sweep.about.currency.as_deref(),
        variables: sweep.axes.iter().map(|axis| axis.variable.key()).collect(),
        points: points.collect(),
    })
}

/// The columns of separated values that have three figures each.
const THREES: [(&str, Measure); 5] = [
    ("manifold_gauge_pa", Measure::Pressure),
    ("delivered_m3_per_s", Measure::Air),
    ("least_fed_m3_per_s", Measure::LeastFed),
    ("area_m2", Measure::Area),
    ("deepest_m", Measure::Deepest),
];

/// The answer for a spreadsheet: a line for each point, in SI.
pub fn csv(sweep: &Sweep) -> String {
    let mut heads: Vec<String> = sweep
        .axes
        .iter()
        .map(|axis| axis.variable.key().to_string())
        .collect();
    heads.push("grade".into());
    for (name, _) in THREES {
        heads.extend(["low", "central", "high"].map(|case| format!("{name}_{case}")));
    }
    heads.extend(
        [
            "continuous_limit_pa",
            "least_needed_m3_per_s",
            "rated_area_m2",
            "power_w",
            "cost_per_month",
            "currency",
        ]
        .map(String::from),
    );
    let number = |value: Option<f64>| value.map_or(String::new(), |value| significant(value, 9));
    let mut text = heads.join(",");
    text.push_str("\r\n");
    for point in &sweep.points {
        let mut cells: Vec<String> = stops(sweep, point)
            .map(|(_, stop)| number(Some(stop.si)))
            .collect();
        cells.push(point.grade.as_str().to_string());
        for (_, measure) in THREES {
            let three = point.measured(measure);
            cells.extend([three.low, three.typical, three.high].map(number));
        }
        cells.extend(
            [
                point.limit,
                point.needed,
                point.rated_area,
                point.power,
                point.cost,
            ]
            .map(number),
        );
        // A currency is three letters.
        cells.push(sweep.about.currency.clone().unwrap_or_default());
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

/// A value of a variable, for people.
pub(in crate::report) fn stop(axis: &Axis, stop: &Stop) -> String {
    let number = significant(stop.number, 4);
    match (axis.variable, axis.unit) {
        (Variable::Hours, _) => format!("{number} h"),
        (_, Some(unit)) => format!("{number} {unit}"),
        (_, None) => number,
    }
}

/// What an axis is called, with the unit of its numbers.
pub(in crate::report) fn axis_name(axis: &Axis) -> String {
    match axis.unit {
        Some(unit) => format!("{}, {unit}", axis.variable.as_str()),
        None => axis.variable.as_str().to_string(),
    }
}

/// A figure of a measure in the units of the package.
pub(in crate::report) fn figure(sweep: &Sweep, measure: Measure, value: Option<f64>) -> String {
    let Some(value) = value.filter(|value| value.is_finite()) else {
        return NONE.into();
    };
    match measure.dimension() {
        Some(dimension) => show(dimension, value, sweep.about.system),
        None => money(sweep, value),
    }
}

/// What stands where nothing is known.
const NONE: &str = "–";

/// The unit of a measure's numbers: that in which people are shown the middle one.
pub(in crate::report) fn unit(sweep: &Sweep, measure: Measure) -> Option<Unit> {
    let points = sweep.points.iter();
    let mut known: Vec<f64> = points
        .filter_map(|point| point.measured(measure).typical)
        .collect();
    known.sort_by(f64::total_cmp);
    let middle = known.get(known.len() / 2)?;
    let shown = show(measure.dimension()?, *middle, sweep.about.system);
    Unit::known(shown.split_once(' ')?.1)
}

/// What the numbers of a measure are, with their unit.
pub(in crate::report) fn measure_name(sweep: &Sweep, measure: Measure) -> String {
    let unit = unit(sweep, measure).map(|unit| unit.to_string());
    let money = sweep.about.currency.clone();
    let money = money.filter(|_| measure == Measure::Cost);
    match unit.or(money) {
        Some(unit) => format!("{}, {unit}", measure.says()),
        None => measure.says().to_string(),
    }
}

/// A figure of a measure in the unit that all of them have.
fn number(sweep: &Sweep, measure: Measure, value: Option<f64>) -> String {
    let value = value.filter(|value| value.is_finite());
    let unit = unit(sweep, measure);
    value.map_or(NONE.into(), |si| {
        significant(unit.map_or(si, |unit| unit.from_si(si)), 3)
    })
}

fn money(sweep: &Sweep, a_month: f64) -> String {
    let currency = sweep.about.currency.as_deref().unwrap_or_default();
    match Unit::known(&format!("{currency}/month")) {
        Some(unit) => show_money(unit, unit.to_si(a_month)),
        None => significant(a_month, 3),
    }
}

/// What is varied, in one line: `depth from 1 m to 3 m`.
pub(in crate::report) fn varied(sweep: &Sweep) -> String {
    let from_to = |axis: &Axis| {
        let end = |one: Option<&Stop>| one.map_or(String::new(), |one| stop(axis, one));
        format!(
            "{} from {} to {}",
            axis.variable.as_str(),
            end(axis.stops.first()),
            end(axis.stops.last())
        )
    };
    let axes: Vec<String> = sweep.axes.iter().map(from_to).collect();
    axes.join(", ")
}

/// How the grade changes along a variable: `1 m to 2.25 m: holds`; of two, how many points have each.
pub(in crate::report) fn graded(sweep: &Sweep) -> Vec<String> {
    let [axis] = sweep.axes.as_slice() else {
        let of = |grade: Grade| sweep.points.iter().filter(|one| one.grade == grade).count();
        let counts = Grade::ALL
            .into_iter()
            .map(|grade| (grade, of(grade)))
            .filter(|(_, count)| *count > 0);
        return counts
            .map(|(grade, count)| format!("{grade}: {count} of {} points", sweep.points.len()))
            .collect();
    };
    let alike = sweep.points.chunk_by(|a, b| a.grade == b.grade);
    alike
        .filter_map(|points| {
            let (first, last) = (points.first()?, points.last()?);
            let ends = [first, last].map(|point| stop(axis, &axis.stops[point.at[0]]));
            let where_ = match points.len() {
                1 => ends[0].clone(),
                _ => format!("{} to {}", ends[0], ends[1]),
            };
            Some(format!("{where_}: {}", first.grade))
        })
        .collect()
}

/// What is to be known beside the figures.
pub(in crate::report) fn notes(sweep: &Sweep) -> Vec<String> {
    let mut notes = Vec::new();
    let first = sweep.points.iter().find(|point| point.limit.is_some());
    let limit = first.and_then(|point| point.limit);
    if let Some(limit) = limit {
        notes.push(format!(
            "The compressor may run at up to {}.",
            show(Dimension::GaugePressure, limit, sweep.about.system)
        ));
    }
    let needed = sweep.points.iter().find_map(|point| point.needed);
    if let Some(needed) = needed {
        notes.push(format!(
            "A diffuser needs {} of air.",
            show(Dimension::VolumeFlow, needed, sweep.about.system)
        ));
    }
    let varies = |variable: Variable| sweep.axes.iter().any(|axis| axis.variable == variable);
    if varies(Variable::Diffusers) {
        let count = sweep.about.sold_with;
        notes.push(format!(
            "The package is sold with {count} {}; other numbers are made up, not sold.",
            if count == 1 { "diffuser" } else { "diffusers" }
        ));
    }
    if varies(Variable::Bore) {
        notes.push("Between the ends stand the nominal sizes, as no other can be bought.".into());
    }
    notes.push(
        "The grade says whether pressure and air allow it, as an audit would say it of a promise. The largest pond is as \
         rated, where the depth is reached."
            .into(),
    );
    let mut missing: Vec<&str> = Vec::new();
    for why in sweep.points.iter().filter_map(|one| one.missing.as_deref()) {
        if !missing.contains(&why) {
            missing.push(why);
        }
    }
    notes.extend(
        missing
            .into_iter()
            .map(|why| format!("Not everywhere known: {why}.")),
    );
    notes
}

/// The answer for people, ending with a line feed; `measure` is the one that is shown with its least and greatest, or
/// of two variables alone.
pub fn terminal(sweep: &Sweep, measure: Measure, look: Look) -> String {
    let mut page = Page::new(look, sweep.about.system);
    let mut head = vec![Cell::new(page.theme.text(&sweep.package), Role::Strong)];
    if let Some(title) = &sweep.title {
        head.push(Cell::new(page.theme.text(title), Role::Plain));
    }
    page.across(head, 0);
    let option = sweep.about.option.iter();
    let option = option.map(|option| format!("option {}", page.theme.text(option)));
    let laid: Vec<String> = option.chain([varied(sweep)]).collect();
    page.ruled_off(&laid.join(", "));
    page.heading("What if");
    for line in graded(sweep) {
        page.says(&line);
    }
    page.gap();
    match sweep.axes.as_slice() {
        [rows, columns] => {
            page.says(&format!(
                "{}, at typical values; {} down, {} across:",
                capital(&measure_name(sweep, measure)),
                rows.variable.as_str(),
                columns.variable.as_str()
            ));
            let table = grid(sweep, (rows, columns), measure, &page);
            page.table(&table);
        }
        _ => {
            page.says(&format!("{}:", capital(measure.says())));
            let table = lines(sweep, measure, &page);
            page.table(&table);
        }
    }
    for note in notes(sweep) {
        page.says(&note);
    }
    page.done()
}

/// A line for each value of one variable. A column that says nothing is left out.
fn lines(sweep: &Sweep, measure: Measure, page: &Page) -> Vec<Row> {
    let Some(axis) = sweep.axes.first() else {
        return Vec::new();
    };
    let figures = |point: &Point| {
        let three = point.measured(measure);
        let pond = point.rated_area.filter(|_| measure != Measure::Area);
        let month = point.cost.filter(|_| measure != Measure::Cost);
        let of = |measure, value: Option<f64>| value.map(|_| figure(sweep, measure, value));
        [
            of(measure, three.low),
            of(measure, three.typical),
            of(measure, three.high),
            of(Measure::Area, pond),
            of(Measure::Cost, month),
        ]
    };
    let rows: Vec<_> = sweep.points.iter().map(figures).collect();
    let filled = |column: &usize| rows.iter().any(|row| row[*column].is_some());
    let columns: Vec<usize> = (0..5).filter(filled).collect();
    let titles = ["least", "typical", "greatest", "largest pond", "a month"];
    let mut table = vec![heads(
        [axis.variable.as_str(), "grade"]
            .into_iter()
            .chain(columns.iter().map(|column| titles[*column]))
            .map(String::from),
    )];
    for ((stop_at, point), row) in axis.stops.iter().zip(&sweep.points).zip(&rows) {
        let grade = point.grade;
        let sign = page.theme.sign(grade);
        let mut cells = vec![
            Cell::new(stop(axis, stop_at), Role::Label),
            Cell::new(format!("{sign} {grade}"), Role::Grade(grade)),
        ];
        cells.extend(columns.iter().map(|column| {
            let text = row[*column].as_deref().unwrap_or(NONE);
            Cell::new(text, Role::Plain)
        }));
        table.push(Row::Cells(cells));
    }
    table
}

/// A line for each value of the first variable, and a column for each of the second.
fn grid(sweep: &Sweep, (rows, columns): (&Axis, &Axis), measure: Measure, page: &Page) -> Vec<Row> {
    let across = columns.stops.iter();
    let mut titles = vec![String::new()];
    titles.extend(across.map(|one| stop(columns, one)));
    let mut table = vec![heads(titles)];
    let lines = sweep.points.chunks(columns.stops.len().max(1));
    for (stop_at, points) in rows.stops.iter().zip(lines) {
        let mut cells = vec![Cell::new(stop(rows, stop_at), Role::Label)];
        cells.extend(points.iter().map(|point| {
            let value = number(sweep, measure, point.measured(measure).typical);
            let sign = page.theme.sign(point.grade);
            Cell::new(format!("{sign} {value}"), Role::Grade(point.grade))
        }));
        table.push(Row::Cells(cells));
    }
    let signs = Grade::ALL.map(|grade| format!("{} {grade}", page.theme.sign(grade)));
    table.push(Row::Across(vec![Cell::new(signs.join(", "), Role::Quiet)]));
    table
}

/// A text of the catalog, for a picture.
pub(in crate::report) fn called(sweep: &Sweep) -> String {
    match &sweep.about.option {
        Some(option) => safe(&format!("{}, {option}", sweep.package)).into_owned(),
        None => safe(&sweep.package).into_owned(),
    }
}
