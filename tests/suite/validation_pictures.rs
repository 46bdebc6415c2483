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
    /// The sets it takes: those of this quantity.
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
        name: "entrainment",
        title: "Entrainment, built-in over measured",
        words: "Each bar is the same built-in range; a measurement lies within it where the bar crosses the line.",
        what: "`entrainment`",
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

/// The picture as a file of its own.
pub fn draw(picture: &Picture, sets: &[Set]) -> String {
    let own: Vec<&Set> = sets.iter().filter(|set| set.what == picture.what).collect();
    let mut studies: Vec<&str> = Vec::new();
    for set in &own {
        if !studies.contains(&set.study.as_str()) {
            studies.push(&set.study);
        }
    }
    let axis = Axis::of(own.iter().flat_map(|set| &set.points));
    let width = SIZE + LEGEND;
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width:.0} {SIZE:.0}\" role=\"img\" \
         font-family=\"sans-serif\" font-size=\"12\">\n<title>{}</title>\n\
         <rect width=\"{width:.0}\" height=\"{SIZE:.0}\" fill=\"#fff\"/>\n\
         <text x=\"{EDGE:.1}\" y=\"22\" font-size=\"14\">{}</text>\n{}",
        picture.title,
        picture.title,
        axes(&axis, picture.unit),
    );
    for set in &own {
        let index = studies.iter().position(|study| *study == set.study);
        let colour = COLOURS[index.unwrap_or(0) % COLOURS.len()];
        for point in &set.points {
            let (x, y) = (axis.x(point.measured), axis.y(point.central));
            let fill = if point.is_covered() { colour } else { "#fff" };
            text += &format!(
                "<path d=\"M{x:.1} {:.1}V{:.1}\" stroke=\"{colour}\" stroke-opacity=\".35\"/>\
                 <circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"3\" fill=\"{fill}\" stroke=\"{colour}\"/>\n",
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
    let y = 52.0 + 20.0 * studies.len() as f64;
    text + &format!(
        "<text x=\"{:.1}\" y=\"{y:.1}\">hollow: not covered</text>\n</svg>\n",
        SIZE + 6.0
    )
}
