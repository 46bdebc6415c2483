//! The pictures beside `tests/published/validation.md`: calculated over measured, on two
//! logarithmic axes, with the engine's range as a bar.

use crate::validation::{Point, Set};
use nameplate::units::math::ln;
use nameplate::units::show::significant;

/// One picture.
pub struct Picture {
    /// Its file.
    pub name: &'static str,
    /// What it shows.
    pub title: &'static str,
    /// What to see in it.
    pub words: &'static str,
    /// The sets it takes: those of this quantity; where it is empty, those of the ranges' own
    /// quantities.
    what: &'static str,
    /// Unit of both axes.
    unit: &'static str,
}

pub const ALL: &[Picture] = &[
    Picture {
        name: "lifted",
        title: "Water lifted by round plumes, calculated over measured",
        words: "On the line the two agree. The bars are the built-in ranges.",
        what: "water lifted",
        unit: "m3/s",
    },
    Picture {
        name: "speed",
        title: "Speed in the middle of round plumes, calculated over measured",
        words: "The upper ends are points close to an orifice.",
        what: "speed in the plume's middle",
        unit: "m/s",
    },
    Picture {
        name: "friction",
        title: "Friction factor of a smooth tube, calculated over measured",
        words: "Where the bar is long the flow may be laminar or turbulent.",
        what: "friction factor",
        unit: "",
    },
    Picture {
        name: "constants",
        title: "Measured values of built-in ranges, over the central value",
        words: "Each bar is a built-in range, each circle a measurement; pale ones lie beyond the equations or in other waters.",
        what: "",
        unit: "",
    },
];

const SIZE: f64 = 460.0;
const EDGE: f64 = 56.0;
const LEGEND: f64 = 190.0;
const COLOURS: [&str; 6] = [
    "#1b6ca8", "#c1571b", "#2e7d32", "#7b3fa0", "#9a7d0a", "#5d6d7e",
];

/// From a value to its place along an axis.
struct Axis {
    low: f64,
    high: f64,
}

impl Axis {
    fn of<'a>(points: impl Iterator<Item = &'a Point>) -> Axis {
        let (mut low, mut high) = (f64::INFINITY, 0.0_f64);
        for point in points {
            low = low.min(point.measured).min(point.low);
            high = high.max(point.measured).max(point.high);
        }
        Axis {
            low: low / 1.15,
            high: high * 1.15,
        }
    }

    fn share(&self, value: f64) -> f64 {
        ln(value / self.low) / ln(self.high / self.low)
    }

    fn x(&self, value: f64) -> f64 {
        EDGE + self.share(value) * (SIZE - EDGE - 14.0)
    }

    fn y(&self, value: f64) -> f64 {
        SIZE - EDGE - self.share(value) * (SIZE - EDGE - 40.0)
    }

    /// Powers of ten within, and twice and five times those.
    fn ticks(&self) -> Vec<f64> {
        let mut ticks = Vec::new();
        let mut power = 1e-6;
        while power < 1e6 {
            for step in [1.0, 2.0, 5.0] {
                if (self.low..=self.high).contains(&(power * step)) {
                    ticks.push(power * step);
                }
            }
            power *= 10.0;
        }
        if ticks.len() > 8 {
            // Only the powers: their figures begin with a one.
            ticks.retain(|tick| {
                significant(*tick, 1)
                    .trim_start_matches(['0', '.'])
                    .starts_with('1')
            });
        }
        ticks
    }
}

fn axes(axis: &Axis, unit: &str) -> String {
    let unit = if unit.is_empty() {
        String::new()
    } else {
        format!(", {unit}")
    };
    let (left, right, low, high) = (EDGE, SIZE - 14.0, SIZE - EDGE, 40.0);
    let mut text = format!(
        "<path d=\"M{left:.1} {high:.1}V{low:.1}H{right:.1}\" fill=\"none\" stroke=\"#444\"/>\n\
         <path d=\"M{left:.1} {low:.1}L{right:.1} {high:.1}\" stroke=\"#888\" stroke-dasharray=\"4 3\"/>\n"
    );
    for tick in axis.ticks() {
        let (x, y, shown) = (axis.x(tick), axis.y(tick), significant(tick, 1));
        text += &format!(
            "<path d=\"M{x:.1} {low:.1}v4M{left:.1} {y:.1}h-4\" stroke=\"#444\"/>\
             <text x=\"{x:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{shown}</text>\
             <text x=\"{:.1}\" y=\"{:.1}\" text-anchor=\"end\">{shown}</text>\n",
            low + 17.0,
            left - 7.0,
            y + 4.0,
        );
    }
    let middle = (left + right) / 2.0;
    text + &format!(
        "<text x=\"{middle:.1}\" y=\"{:.1}\" text-anchor=\"middle\">measured{unit}</text>\n\
         <text x=\"14\" y=\"{:.1}\" text-anchor=\"middle\" transform=\"rotate(-90 14 {:.1})\">calculated{unit}</text>\n",
        SIZE - 14.0,
        (low + high) / 2.0,
        (low + high) / 2.0,
    )
}

/// How much of a set's colour is seen: less where the engine isn't used.
fn opacity(set: &Set) -> f64 {
    if set.is_beyond() { 0.4 } else { 1.0 }
}

/// Author and year, without what follows.
fn short(study: &str) -> String {
    let end = study
        .match_indices(' ')
        .map(|(at, _)| at + 1)
        .find(|at| study[*at..].starts_with(['1', '2']));
    let words = end.map_or(study, |at| &study[..(at + 4).min(study.len())]);
    words.replace('&', "&amp;")
}

fn opening(title: &str, width: f64, height: f64) -> String {
    format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {height:.0}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"12\">\n<title>{title}</title>\n\
         <rect width=\"{width:.0}\" height=\"{height:.0}\" fill=\"#fff\"/>\n\
         <text x=\"14\" y=\"22\" font-size=\"14\">{title}</text>\n"
    )
}

/// A row for each set: the range as a bar, its measurements as circles.
fn rows_of_ranges(picture: &Picture, sets: &[Set]) -> String {
    let own: Vec<&Set> = sets
        .iter()
        .filter(|set| set.what.starts_with('`'))
        .collect();
    let (left, width, step) = (390.0, SIZE + LEGEND + 100.0, 22.0);
    let bottom = 44.0 + step * own.len() as f64;
    let (least, most) = (0.1, 25.0);
    let x = |value: f64| left + ln(value / least) / ln(most / least) * (width - left - 20.0);
    let mut text = opening(picture.title, width, bottom + 40.0);
    for tick in [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0] {
        let (at, shown) = (x(tick), significant(tick, 1));
        text += &format!(
            "<path d=\"M{at:.1} 36V{bottom:.1}\" stroke=\"#ddd\"/>\
             <text x=\"{at:.1}\" y=\"{:.1}\" text-anchor=\"middle\">{shown}</text>\n",
            bottom + 18.0
        );
    }
    for (index, set) in own.iter().enumerate() {
        let y = 54.0 + step * index as f64;
        let opacity = opacity(set);
        text += &format!(
            "<text x=\"14\" y=\"{:.1}\">{}, {}</text>\n",
            y + 4.0,
            set.what.trim_matches('`'),
            short(&set.study)
        );
        for (number, point) in set.points.iter().enumerate() {
            let over = |value: f64| x(value / point.central);
            if number == 0 {
                text += &format!(
                    "<path d=\"M{:.1} {y:.1}H{:.1}\" stroke=\"#9bb8cc\" stroke-width=\"10\"/>\n",
                    over(point.low),
                    over(point.high)
                );
            }
            let fill = if point.is_covered() {
                COLOURS[0]
            } else {
                "#fff"
            };
            text += &format!(
                "<circle cx=\"{:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"{fill}\" stroke=\"{}\" opacity=\"{opacity}\"/>\n",
                over(point.measured),
                COLOURS[0]
            );
        }
    }
    text + "</svg>\n"
}

/// The picture as a file of its own.
pub fn draw(picture: &Picture, sets: &[Set]) -> String {
    if picture.what.is_empty() {
        return rows_of_ranges(picture, sets);
    }
    let own: Vec<&Set> = sets.iter().filter(|set| set.what == picture.what).collect();
    let mut studies: Vec<&str> = Vec::new();
    for set in &own {
        if !studies.contains(&set.study.as_str()) {
            studies.push(&set.study);
        }
    }
    let axis = Axis::of(own.iter().flat_map(|set| &set.points));
    let width = SIZE + LEGEND;
    let mut text = opening(picture.title, width, SIZE) + &axes(&axis, picture.unit);
    for set in &own {
        let index = studies.iter().position(|study| *study == set.study);
        let colour = COLOURS[index.unwrap_or(0) % COLOURS.len()];
        let opacity = opacity(set);
        for point in &set.points {
            let (x, y) = (axis.x(point.measured), axis.y(point.central));
            let fill = if point.is_covered() { colour } else { "#fff" };
            text += &format!(
                "<path d=\"M{x:.1} {:.1}V{:.1}\" stroke=\"{colour}\" stroke-opacity=\".35\"/>\
                 <circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"{fill}\" stroke=\"{colour}\" opacity=\"{opacity}\"/>\n",
                axis.y(point.low),
                axis.y(point.high),
            );
        }
    }
    for (index, study) in studies.iter().enumerate() {
        let y = 52.0 + 20.0 * index as f64;
        text += &format!(
            "<circle cx=\"{:.1}\" cy=\"{:.1}\" r=\"4\" fill=\"{}\"/><text x=\"{:.1}\" y=\"{y:.1}\">{}</text>\n",
            SIZE + 6.0,
            y - 4.0,
            COLOURS[index % COLOURS.len()],
            SIZE + 16.0,
            study.replace('&', "&amp;"),
        );
    }
    for (index, words) in ["hollow: not covered", "pale: not held to it"]
        .iter()
        .enumerate()
    {
        let y = 52.0 + 20.0 * (studies.len() + index) as f64;
        text += &format!(
            "<text x=\"{:.1}\" y=\"{y:.1}\">{words}</text>\n",
            SIZE + 6.0
        );
    }
    text + "</svg>\n"
}
