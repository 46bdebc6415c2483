//! A small writer of charts as SVG.
//!
//! A chart has its colours from the page's own style sheet, so that it follows light, dark and print; a
//! title and a description for those who can't see it; and coordinates with one decimal, so that the
//! same numbers give the same bytes. Two plotting crates were tried: `plotters` 0.3 writes colours and fonts
//! into each element, and `poloto` 19 a style sheet of its own that reaches the whole page; neither
//! describes its picture, and neither draws a stacked bar.

use std::fmt::Write;

use maud::{Markup, html};

use crate::units::math;
use crate::units::show::significant;

/// Width of every chart, in its own units.
pub const WIDTH: f64 = 420.0;
/// Left, top, right and bottom of the field that the axes enclose.
const FIELD: [f64; 4] = [64.0, 14.0, 408.0, 236.0];
/// Height of a chart with axes.
const HEIGHT: f64 = 276.0;

/// A scale along one side.
#[derive(Debug, Clone, Copy)]
pub struct Scale {
    low: f64,
    high: f64,
    from: f64,
    to: f64,
    by_factors: bool,
}

impl Scale {
    /// Even steps from `low` to `high`.
    pub fn even(low: f64, high: f64) -> Scale {
        let high = if high > low { high } else { low + 1.0 };
        Scale {
            low,
            high,
            from: 0.0,
            to: 0.0,
            by_factors: false,
        }
    }

    /// Even steps for even factors; both ends above 0.
    pub fn factors(low: f64, high: f64) -> Scale {
        let low = low.max(1e-9);
        Scale {
            by_factors: true,
            ..Scale::even(low, high.max(low * 10.0))
        }
    }

    fn across(self, from: f64, to: f64) -> Scale {
        Scale { from, to, ..self }
    }

    /// Where a value stands.
    pub fn at(&self, value: f64) -> f64 {
        let share = if self.by_factors {
            math::ln(value.max(self.low / 1e3) / self.low) / math::ln(self.high / self.low)
        } else {
            (value - self.low) / (self.high - self.low)
        };
        self.from + share * (self.to - self.from)
    }

    fn holds(&self, value: f64) -> bool {
        let spare = 1e-9 * (self.high - self.low);
        value >= self.low - spare && value <= self.high + spare
    }

    /// Round values within it, about five.
    fn ticks(&self) -> Vec<f64> {
        if self.by_factors {
            return self.ticks_by_factors();
        }
        let rough = (self.high - self.low) / 5.0;
        let power = math::powi(10.0, math::log10(rough).floor() as i32);
        let step = [1.0, 2.0, 2.5, 5.0, 10.0]
            .map(|step| step * power)
            .into_iter()
            .find(|step| *step >= rough * 0.999)
            .unwrap_or(10.0 * power);
        let first = (self.low / step - 1e-9).ceil() as i64;
        (first..first + 12)
            .map(|number| number as f64 * step)
            .take_while(|value| self.holds(*value))
            .collect()
    }

    fn ticks_by_factors(&self) -> Vec<f64> {
        let (from, to) = (
            math::log10(self.low).floor() as i32,
            math::log10(self.high) as i32,
        );
        // One to three for each factor of ten, as there is room.
        let steps: &[f64] = if to - from > 2 {
            &[1.0]
        } else {
            &[1.0, 2.0, 5.0]
        };
        (from..=to)
            .flat_map(|power| steps.iter().map(move |step| step * math::powi(10.0, power)))
            .filter(|value| self.holds(*value))
            .collect()
    }
}

/// A chart with two axes.
pub struct Chart {
    x: Scale,
    y: Scale,
    across: String,
    up: String,
    marks: Vec<Markup>,
    /// Its lines, which words keep clear of where they can.
    lines: Vec<Vec<(f64, f64)>>,
    /// Boxes that are taken by marks: left, top, right and bottom.
    taken: Vec<[f64; 4]>,
    labels: Vec<Label>,
}

/// Where a label may stand, with its anchor.
type Place = (f64, f64, &'static str);

/// Words in a picture, and where they may stand, the best place first.
struct Label {
    text: String,
    class: &'static str,
    /// So many lines may run through it; through a line's own name none, as it would seem to be another's.
    lines: usize,
    places: Vec<Place>,
}

impl Label {
    /// The box that it takes at a place. A letter is about seven wide, a bold one about eight.
    fn at(&self, (x, y, anchor): Place) -> [f64; 4] {
        let letter = if self.class.ends_with("strong") {
            7.6
        } else {
            6.8
        };
        let width = letter * self.text.chars().count() as f64;
        let left = match anchor {
            "end" => x - width,
            "middle" => x - width / 2.0,
            _ => x,
        };
        [left, y - 10.0, left + width, y + 3.0]
    }
}

fn overlap(a: &[f64; 4], b: &[f64; 4]) -> bool {
    a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3]
}

/// Whether a box lies within the field.
fn is_within(own: &[f64; 4]) -> bool {
    let [left, top, right, bottom] = FIELD;
    own[0] >= left && own[1] >= top && own[2] <= right && own[3] <= bottom
}

/// A coordinate as it is written.
pub fn px(value: f64) -> String {
    let mut text = String::new();
    put(&mut text, value);
    text
}

/// Writes a coordinate: whole tenths are many times sooner written than a number of any size.
fn put(text: &mut String, value: f64) {
    let tenths = (value * 10.0).round() as i64;
    let (whole, rest) = (tenths.unsigned_abs() / 10, tenths.unsigned_abs() % 10);
    let sign = if tenths < 0 { "-" } else { "" };
    // Writing to a string can't fail.
    let _ = match rest {
        0 => write!(text, "{sign}{whole}"),
        rest => write!(text, "{sign}{whole}.{rest}"),
    };
}

impl Chart {
    /// An empty chart; `across` and `up` name what the axes tell, with its unit.
    pub fn new(x: Scale, y: Scale, across: impl Into<String>, up: impl Into<String>) -> Chart {
        let [left, top, right, bottom] = FIELD;
        Chart {
            x: x.across(left, right),
            y: y.across(bottom, top),
            across: across.into(),
            up: up.into(),
            marks: Vec::new(),
            lines: Vec::new(),
            taken: Vec::new(),
            labels: Vec::new(),
        }
    }

    fn point(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (self.x.at(x), self.y.at(y))
    }

    fn path(&self, points: &[(f64, f64)]) -> String {
        let mut text = String::with_capacity(points.len() * 12);
        for point in points {
            let (x, y) = self.point(*point);
            if !text.is_empty() {
                text.push(' ');
            }
            put(&mut text, x);
            text.push(',');
            put(&mut text, y);
        }
        text
    }

    /// A line through points; `class` says how it looks.
    pub fn line(&mut self, points: &[(f64, f64)], class: &str) {
        if points.len() > 1 {
            self.lines
                .push(points.iter().map(|point| self.point(*point)).collect());
            let points = self.path(points);
            self.marks
                .push(html! { polyline class=(format!("line {class}")) points=(points) {} });
        }
    }

    /// The area between a line and the lower end of the chart, or with `above` its upper end.
    pub fn fill(&mut self, points: &[(f64, f64)], above: bool, class: &str) {
        let (Some(first), Some(last)) = (points.first(), points.last()) else {
            return;
        };
        let edge = if above { self.y.high } else { self.y.low };
        let mut around = points.to_vec();
        around.extend([(last.0, edge), (first.0, edge)]);
        let points = self.path(&around);
        self.marks
            .push(html! { polygon class=(class) points=(points) {} });
    }

    /// A line across the whole field at a height, with its name along it.
    pub fn level(&mut self, y: f64, class: &str, name: &str) {
        if !self.y.holds(y) {
            return;
        }
        let [left, _, right, _] = FIELD;
        let height = self.y.at(y);
        self.marks.push(html! {
            line class=(format!("line {class}")) x1=(px(left)) y1=(px(height)) x2=(px(right)) y2=(px(height)) {}
        });
        self.lines.push(vec![(left, height), (right, height)]);
        let along = [
            (right - 3.0, "end"),
            (left + 3.0, "start"),
            ((left + right) / 2.0, "middle"),
        ];
        let places = along
            .into_iter()
            .flat_map(|(x, anchor)| [(x, height - 5.0, anchor), (x, height + 13.0, anchor)]);
        self.label(name, "name", usize::MAX, places.collect());
    }

    /// A mark at a point, with its name beside it.
    pub fn mark(&mut self, at: (f64, f64), class: &str, name: &str) {
        let (x, y) = self.point(at);
        let shape = match class.split(' ').next() {
            Some("contradicted") => html! {
                path class=(format!("mark {class}")) d=(format!("M{} {}h12M{} {}v12", px(x - 6.0), px(y), px(x), px(y - 6.0)))
                    transform=(format!("rotate(45 {} {})", px(x), px(y))) {}
            },
            Some("undecided") => html! {
                rect class=(format!("mark {class}")) x=(px(x - 5.0)) y=(px(y - 5.0)) width="10" height="10" {}
            },
            _ => html! { circle class=(format!("mark {class}")) cx=(px(x)) cy=(px(y)) r="5" {} },
        };
        self.marks.push(shape);
        self.taken.push([x - 6.0, y - 6.0, x + 6.0, y + 6.0]);
        let beside = [(9.0, "start"), (-9.0, "end")];
        let mut places: Vec<Place> = [-8.0, 16.0, 4.0]
            .into_iter()
            .flat_map(|dy| beside.map(|(dx, anchor)| (x + dx, y + dy, anchor)))
            .collect();
        places.extend([(x, y - 11.0, "middle"), (x, y + 21.0, "middle")]);
        places.extend([(x, y - 26.0, "middle"), (x, y + 36.0, "middle")]);
        self.label(name, "name strong", usize::MAX, places);
    }

    /// The name of a line at one of its points, the first if it can be.
    pub fn name(&mut self, points: impl IntoIterator<Item = (f64, f64)>, name: &str) {
        let points = points.into_iter().map(|point| self.point(point));
        let around = |(x, y): (f64, f64)| {
            [
                (x - 3.0, y - 5.0, "end"),
                (x - 3.0, y + 13.0, "end"),
                (x + 3.0, y - 5.0, "start"),
                (x + 3.0, y + 13.0, "start"),
            ]
        };
        let places = points.flat_map(around).collect();
        self.label(name, "name", 0, places);
    }

    /// The name of a region above or below one of a line's points, the first if it can be.
    pub fn region(
        &mut self,
        points: impl IntoIterator<Item = (f64, f64)>,
        above: bool,
        name: &str,
    ) {
        let points = points.into_iter().map(|point| self.point(point));
        let away = [10.0, 22.0, 36.0].map(|dy| if above { -dy } else { dy + 10.0 });
        let places = points
            .flat_map(|(x, y)| away.map(|dy| (x, y + dy, "middle")))
            .collect();
        self.label(name, "region", usize::MAX, places);
    }

    /// Words that are to stand at the best of some places, with at most so many lines through them.
    fn label(&mut self, text: &str, class: &'static str, lines: usize, places: Vec<Place>) {
        if !text.is_empty() {
            self.labels.push(Label {
                text: text.to_string(),
                class,
                lines,
                places,
            });
        }
    }

    /// The labels where they collide with nothing; one for which there is no room is left out, as the caption tells
    /// it too. Those of marks come first, those of regions last.
    fn placed(&self) -> Vec<Markup> {
        let mut taken = self.taken.clone();
        let mut drawn = Vec::new();
        for class in ["name strong", "name", "region"] {
            for label in self.labels.iter().filter(|one| one.class == class) {
                let boxes = label.places.iter().map(|place| (place, label.at(*place)));
                let free = boxes.filter(|(_, own)| {
                    is_within(own) && !taken.iter().any(|other| overlap(own, other))
                });
                // Of the places that are free the first with the fewest lines through it.
                let best = free
                    .map(|(place, own)| (place, own, self.crossings(&own)))
                    .filter(|(.., lines)| *lines <= label.lines)
                    .min_by_key(|(.., lines)| *lines);
                if let Some((&(x, y, anchor), own, _)) = best {
                    taken.push(own);
                    drawn.push(html! {
                        text class=(class) x=(px(x)) y=(px(y)) text-anchor=(anchor) { (label.text) }
                    });
                }
            }
        }
        drawn
    }

    /// How many lines run through a box.
    fn crossings(&self, own: &[f64; 4]) -> usize {
        let runs_through = |line: &&Vec<(f64, f64)>| {
            let mut steps = line.windows(2);
            steps.any(|ends| crosses(ends[0], ends[1], own))
        };
        self.lines.iter().filter(runs_through).count()
    }

    /// The picture. `title` names it, `says` tells it to who can't see it, `id` is its own in the page.
    pub fn draw(self, id: &str, title: &str, says: &str) -> Markup {
        let [left, top, right, bottom] = FIELD;
        let clip = format!("{id}-field");
        frame(
            id,
            title,
            says,
            HEIGHT,
            html! {
                clipPath id=(clip) { rect x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(bottom - top)) {} }
                g class="grid" {
                    @for value in self.x.ticks() {
                        @let x = px(self.x.at(value));
                        line x1=(x) y1=(px(top)) x2=(x) y2=(px(bottom)) {}
                        text class="tick x" x=(x) y=(px(bottom + 14.0)) text-anchor="middle" { (significant(value, 3)) }
                    }
                    @for value in self.y.ticks() {
                        @let y = self.y.at(value);
                        line x1=(px(left)) y1=(px(y)) x2=(px(right)) y2=(px(y)) {}
                        text class="tick y" x=(px(left - 5.0)) y=(px(y + 4.0)) text-anchor="end" { (significant(value, 3)) }
                    }
                }
                g clip-path=(format!("url(#{clip})")) { @for mark in &self.marks { (mark) } @for label in self.placed() { (label) } }
                rect class="edge" x=(px(left)) y=(px(top)) width=(px(right - left)) height=(px(bottom - top)) {}
                text class="axis" x=(px((left + right) / 2.0)) y=(px(HEIGHT - 8.0)) text-anchor="middle" { (self.across) }
                text class="axis" x="12" y=(px((top + bottom) / 2.0)) text-anchor="middle"
                    transform=(format!("rotate(-90 12 {})", px((top + bottom) / 2.0))) { (self.up) }
            },
        )
    }
}

/// Whether a straight line runs through a box of left, top, right and bottom.
fn crosses((x, y): (f64, f64), (to_x, to_y): (f64, f64), own: &[f64; 4]) -> bool {
    let (mut from, mut to) = (0.0, 1.0);
    // The share of the line that lies between two sides, first of one pair and then of the other.
    for (start, step, low, high) in [(x, to_x - x, own[0], own[2]), (y, to_y - y, own[1], own[3])] {
        if step == 0.0 {
            if start <= low || start >= high {
                return false;
            }
            continue;
        }
        let (one, other) = ((low - start) / step, (high - start) / step);
        from = f64::max(from, one.min(other));
        to = f64::min(to, one.max(other));
        if from >= to {
            return false;
        }
    }
    true
}

/// A picture of a height, with its title and description.
pub fn frame(id: &str, title: &str, says: &str, height: f64, body: Markup) -> Markup {
    let (name, told) = (format!("{id}-title"), format!("{id}-says"));
    html! {
        svg id=(id) role="img" aria-labelledby=(name) aria-describedby=(told)
            viewBox=(format!("0 0 {} {}", px(WIDTH), px(height))) width=(px(WIDTH)) height=(px(height)) {
            title id=(name) { (title) }
            desc id=(told) { (says) }
            (body)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_within() {
        let of = |scale: Scale| scale.ticks();
        assert_eq!(of(Scale::even(0.0, 33.0)), [0.0, 10.0, 20.0, 30.0]);
        assert_eq!(of(Scale::even(0.5, 2.6)).first(), Some(&0.5));
        assert_eq!(of(Scale::even(0.0, 0.0)).len(), 6);
        assert_eq!(
            of(Scale::factors(60.0, 1600.0)),
            [100.0, 200.0, 500.0, 1000.0]
        );
        assert_eq!(of(Scale::factors(1.0, 10_000.0)).len(), 5);
    }

    #[test]
    fn coordinates_are_short() {
        assert_eq!(px(12.0), "12");
        assert_eq!(px(-0.01), "0");
        assert_eq!(px(7.0625), "7.1");
        assert_eq!(px(-12.34), "-12.3");
        assert_eq!(px(f64::NAN), "0");
    }
}
