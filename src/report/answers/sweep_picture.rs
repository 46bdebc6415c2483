//! What if, as a picture: curves over one variable, a shaded grid over two.

use maud::{Markup, PreEscaped, html};

use crate::answers::sweep::{Axis, Measure, Point, Sweep, Three};
use crate::claims::Grade;
use crate::report::html::PICTURES;
use crate::report::html::svg::{Chart, Scale, WIDTH, frame, px};
use crate::units::show::significant;

use super::sweep::{axis_name, called, figure, graded, measure_name, stop, unit, varied};

/// The picture as a file of its own, which has its colours with it.
pub fn file(sweep: &Sweep, measure: Measure) -> String {
    let (picture, height) = draw(sweep, measure, "sweep");
    let size = [px(WIDTH), px(height)];
    let whole = html! {
        svg xmlns="http://www.w3.org/2000/svg" viewBox=(format!("0 0 {} {}", size[0], size[1]))
            width=(size[0]) height=(size[1]) font-family="system-ui, sans-serif" {
            style { (PreEscaped(PICTURES)) }
            rect class="paper" width=(size[0]) height=(size[1]) {}
            (picture)
        }
    };
    let mut text = whole.into_string();
    text.push('\n');
    text
}

/// The picture and its height; `id` is its own in a page.
pub(in crate::report) fn draw(sweep: &Sweep, measure: Measure, id: &str) -> (Markup, f64) {
    match sweep.axes.as_slice() {
        [rows, columns] => grid(sweep, (rows, columns), measure, id),
        [axis] => (curves(sweep, axis, measure, id), CURVES),
        _ => (html! {}, 0.0),
    }
}

/// Height of a chart with two axes.
const CURVES: f64 = 276.0;

/// The line to which a measure is held: the limit of the pressure, the least air.
fn bound(sweep: &Sweep, measure: Measure) -> Option<(f64, &'static str)> {
    match measure {
        Measure::Pressure => {
            let limit = sweep.points.iter().find_map(|point| point.limit);
            Some((limit?, "continuous limit"))
        }
        Measure::LeastFed => {
            let needed = sweep.points.iter().find_map(|point| point.needed);
            Some((needed?, "least it needs"))
        }
        _ => None,
    }
}

/// The mark of a grade, as charts of packages have it.
fn mark(grade: Grade) -> &'static str {
    match grade {
        Grade::Holds | Grade::WithinRating => "supported",
        Grade::BeyondRating => "undecided",
        Grade::Contradicted => "contradicted",
        Grade::NotJudged => "corner",
    }
}

/// A curve in pieces, none of which leads over a point that isn't known.
fn pieces(
    axis: &Axis,
    sweep: &Sweep,
    number: impl Fn(&Point) -> Option<f64>,
) -> Vec<Vec<(f64, f64)>> {
    let mut pieces = vec![Vec::new()];
    for (stop, point) in axis.stops.iter().zip(&sweep.points) {
        match number(point).filter(|number| number.is_finite()) {
            Some(number) => {
                if let Some(piece) = pieces.last_mut() {
                    piece.push((stop.number, number));
                }
            }
            None => pieces.push(Vec::new()),
        }
    }
    pieces
}

fn curves(sweep: &Sweep, axis: &Axis, measure: Measure, id: &str) -> Markup {
    let unit = unit(sweep, measure);
    let to = |si: f64| unit.map_or(si, |unit| unit.from_si(si));
    let bound = bound(sweep, measure).map(|(si, name)| (to(si), name));
    let cases: [fn(&Three) -> Option<f64>; 3] =
        [|three| three.low, |three| three.typical, |three| three.high];
    let of = |case: fn(&Three) -> Option<f64>| {
        move |point: &Point| case(&point.measured(measure)).map(to)
    };
    let numbers = || {
        let points = sweep.points.iter();
        points.flat_map(move |point| cases.map(|case| of(case)(point)))
    };
    let all = || numbers().flatten().filter(|number| number.is_finite());
    let most = all().chain(bound.map(|bound| bound.0)).fold(0.0, f64::max);
    let least = all()
        .filter(|number| *number > 0.0)
        .fold(f64::INFINITY, f64::min);
    // Areas from the worst to the best case differ by factors.
    let up = match measure {
        Measure::Area if least.is_finite() => Scale::factors(least / 1.6, most * 1.6),
        _ => Scale::even(0.0, most * 1.08),
    };
    let ends = [axis.stops.first(), axis.stops.last()].map(|one| one.map_or(0.0, |one| one.number));
    let mut picture = Chart::new(
        Scale::even(ends[0], ends[1]),
        up,
        axis_name(axis),
        measure_name(sweep, measure),
    );
    for (case, name) in cases.into_iter().zip(["least", "typical", "greatest"]) {
        let class = if name == "typical" {
            "case"
        } else {
            "case bound"
        };
        let pieces = pieces(axis, sweep, of(case));
        for piece in &pieces {
            picture.line(piece, class);
        }
        let longest = pieces.iter().max_by_key(|piece| piece.len());
        let along = longest.into_iter().flatten().copied().rev();
        picture.name(along, name);
    }
    if let Some((at, name)) = bound {
        picture.level(at, "limit", name);
    }
    for (stop, point) in axis.stops.iter().zip(&sweep.points) {
        if let Some(number) = of(cases[1])(point) {
            picture.mark((stop.number, number), mark(point.grade), "");
        }
    }
    let told: Vec<String> = axis
        .stops
        .iter()
        .zip(&sweep.points)
        .map(|(one, point)| {
            let typical = figure(sweep, measure, point.measured(measure).typical);
            format!("{}: {typical}, {}", stop(axis, one), point.grade)
        })
        .collect();
    let title = title(sweep, measure);
    picture.draw(id, &title, &format!("{}.", told.join("; ")))
}

fn title(sweep: &Sweep, measure: Measure) -> String {
    format!("{} of {}, {}", measure.says(), called(sweep), varied(sweep))
}

/// The shades of a grid.
const SHADES: usize = 6;
/// Left, top and right of its cells.
const CELLS: [f64; 3] = [64.0, 14.0, WIDTH - 12.0];

fn grid(
    sweep: &Sweep,
    (rows, columns): (&Axis, &Axis),
    measure: Measure,
    id: &str,
) -> (Markup, f64) {
    let (down, across) = (rows.stops.len().max(1), columns.stops.len().max(1));
    let [left, top, right] = CELLS;
    let wide = (right - left) / across as f64;
    let high = if down > 12 {
        (300.0 / down as f64).max(6.0)
    } else {
        26.0
    };
    let bottom = top + high * down as f64;
    let height = bottom + 67.0;
    let unit = unit(sweep, measure);
    let number = |point: &Point| {
        let si = point
            .measured(measure)
            .typical
            .filter(|si| si.is_finite())?;
        Some(unit.map_or(si, |unit| unit.from_si(si)))
    };
    let known = || sweep.points.iter().filter_map(number);
    let (least, most) = (
        known().fold(f64::INFINITY, f64::min),
        known().fold(f64::NEG_INFINITY, f64::max),
    );
    let shade = |value: f64| {
        let share = if most > least {
            (value - least) / (most - least)
        } else {
            0.0
        };
        0.08 + 0.6 * (share * SHADES as f64).floor().min(SHADES as f64 - 1.0) / SHADES as f64
    };
    // So many cells share a number that it fits beside the next.
    let every = ((40.0 / wide).ceil() as usize).max(1);
    let every_row = ((15.0 / high).ceil() as usize).max(1);
    let x = |column: usize| left + wide * column as f64;
    // The first row is the lowest, as on any chart.
    let y = |row: usize| bottom - high * (row + 1) as f64;
    let at = |row: usize, column: usize| sweep.points.get(row * across + column);
    let cells = || (0..down).flat_map(move |row| (0..across).map(move |column| (row, column)));
    let differ =
        |a: Option<&Point>, b: Option<&Point>| a.zip(b).is_some_and(|(a, b)| a.grade != b.grade);
    let middle = (left + right) / 2.0;
    let body = html! {
        @for (row, column) in cells() {
            @if let Some(value) = at(row, column).and_then(number) {
                rect class="cell" fill-opacity=(significant(shade(value), 2)) x=(px(x(column))) y=(px(y(row))) width=(px(wide)) height=(px(high)) {}
            }
        }
        @for (row, column) in cells() {
            @if differ(at(row, column), at(row, column + 1)) && column + 1 < across {
                line class="change" x1=(px(x(column + 1))) x2=(px(x(column + 1))) y1=(px(y(row))) y2=(px(y(row) + high)) {}
            }
            @if row + 1 < down && differ(at(row, column), at(row + 1, column)) {
                line class="change" x1=(px(x(column))) x2=(px(x(column + 1))) y1=(px(y(row))) y2=(px(y(row))) {}
            }
        }
        @for (row, column) in cells() {
            @if row % every_row == 0 && column % every == 0 {
                @if let Some(point) = at(row, column) {
                    text class="name" x=(px(x(column) + wide / 2.0)) y=(px(y(row) + high / 2.0 + 4.0)) text-anchor="middle" {
                        (number(point).map_or("–".to_string(), |value| significant(value, 3))) (sign(point.grade))
                    }
                }
            }
        }
        @for (column, one) in columns.stops.iter().enumerate().step_by(every) {
            text class="tick x" x=(px(x(column) + wide / 2.0)) y=(px(bottom + 14.0)) text-anchor="middle" { (significant(one.number, 4)) }
        }
        @for (row, one) in rows.stops.iter().enumerate().step_by(every_row) {
            text class="tick y" x=(px(left - 5.0)) y=(px(y(row) + high / 2.0 + 4.0)) text-anchor="end" { (significant(one.number, 4)) }
        }
        rect class="edge" x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(bottom - top)) {}
        text class="axis" x=(px(middle)) y=(px(bottom + 30.0)) text-anchor="middle" { (axis_name(columns)) }
        text class="axis" x="12" y=(px((top + bottom) / 2.0)) text-anchor="middle"
            transform=(format!("rotate(-90 12 {})", px((top + bottom) / 2.0))) { (axis_name(rows)) }
        text class="name strong" x=(px(middle)) y=(px(bottom + 47.0)) text-anchor="middle" { (measure_name(sweep, measure)) }
        text class="axis" x=(px(middle)) y=(px(bottom + 60.0)) text-anchor="middle" { "● holds, ◕ within rating, ◔ beyond rating, ○ contradicted" }
    };
    let says = format!(
        "{}, for {}. {}.",
        measure.says(),
        varied(sweep),
        graded(sweep).join("; ")
    );
    (
        frame(id, &title(sweep, measure), &says, height, body),
        height,
    )
}

/// A grade in a cell.
fn sign(grade: Grade) -> &'static str {
    match grade {
        Grade::Holds => "●",
        Grade::WithinRating => "◕",
        Grade::BeyondRating => "◔",
        Grade::Contradicted => "○",
        Grade::NotJudged => "·",
    }
}
