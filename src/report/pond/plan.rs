//! Where diffusers go: in words, as rows of a table, and as a plan seen from above.

use maud::{Markup, html};

use crate::pond::ground::Ground;
use crate::pond::layout::Layout;
use crate::pond::plan::Plan;
use crate::report::figures::joined;
use crate::report::html::svg::{WIDTH, frame, px};
use crate::units::show::significant;
use crate::units::{Dimension, System};

use super::Shown;
use super::words::{Figures, percent};

/// Heads of the table of places.
pub const HEADS: [&str; 6] = [
    "end of",
    "place",
    "depth",
    "run",
    "air, valves open",
    "valve",
];

/// A row for the end of each run: which, place, depth, run, air and valve, where they are known.
pub fn rows(says: &Figures, shown: &Shown, plan: &Plan) -> Vec<[Option<String>; 6]> {
    let places = plan.layout.places.iter().enumerate();
    places
        .map(|(number, placed)| {
            let end = plan.ends.get(number);
            let run = says.pond.stated_run(number).or(placed.run);
            let valve = plan.evened.and(end).map(|end| match (end.cv, end.kv) {
                (Some(cv), Some(kv)) => {
                    format!("Cv {}, Kv {}", significant(cv, 2), significant(kv, 2))
                }
                _ => "open".into(),
            });
            [
                Some(format!("run {}", number + 1)),
                Some(place(shown, placed.at)),
                Some(says.length(placed.depth)),
                Some(run.map_or("as sold".into(), |run| says.length(run))),
                end.map(|end| says.figure(end.air, Dimension::VolumeFlow)),
                valve,
            ]
        })
        .collect()
}

/// A place as the outline has it: degrees, or metres east and north.
fn place(shown: &Shown, at: [f64; 2]) -> String {
    match shown.degrees {
        Some(degrees) => {
            let [longitude, latitude] = degrees.degrees(at);
            format!("{longitude:.6}, {latitude:.6}")
        }
        None => {
            // A stated outline is in metres, whatever else is in feet: so it is found again.
            at.map(|one| format!("{:.1}", if one.abs() < 0.05 { 0.0 } else { one }))
                .join(", ")
        }
    }
}

/// What is to be known of the places.
pub fn sentences(says: &Figures, shown: &Shown, plan: &Plan) -> Vec<String> {
    let ground = &says.pond.layouts.ground;
    let mut all = Vec::new();
    if !ground.is_surveyed() {
        all.push(
            "The outline isn't known, so a circle of the pond's area stands for it: an outline in the pond file gives true \
             places."
                .to_string(),
        );
    } else if !ground.is_sounded() {
        all.push(format!(
            "Depths within the outline are those of a {}: soundings give true ones.",
            says.basin()
        ));
    }
    let reach = plan.reach.map(|reach| significant(reach, 2));
    let covered = plan.covered.map(percent);
    all.push(format!(
        "{} of the surface lies within {} depths of a diffuser, {} within {} and {} within {}.",
        covered[0], reach[0], covered[1], reach[1], covered[2], reach[2]
    ));
    all.push(format!(
        "Places are {}; the guide's page ponds says how they are sought.",
        match (shown.degrees, ground.is_surveyed()) {
            (Some(_), _) => "longitude and latitude",
            (None, true) => "x and y of the outline, in metres",
            (None, false) => "metres east and north of the middle",
        }
    ));
    all.extend(shallower(says, plan));
    all.extend(runs(says, plan));
    all.extend(valves(says, plan));
    all
}

/// That grades count on a greater depth than a diffuser has here.
fn shallower(says: &Figures, plan: &Plan) -> Option<String> {
    let on_the_bottom = plan
        .layout
        .places
        .iter()
        .filter(|one| one.own_depth.is_none());
    let least = on_the_bottom.map(|one| one.depth).min_by(f64::total_cmp)?;
    (least < 0.98 * says.pond.depth).then(|| {
        format!(
            "The grades count on every diffuser at {}, the greatest depth; here the shallowest lies at {}, where it stirs \
             less far and, with all valves open, takes more of the air.",
            says.length(says.pond.depth),
            says.length(least)
        )
    })
}

fn runs(says: &Figures, plan: &Plan) -> Vec<String> {
    if !says.pond.runs.is_empty() {
        return Vec::new();
    }
    if plan.layout.cabinet.is_none() {
        let ask = "The place of the cabinet gives each run: state `cabinet` in the pond file.";
        let is_surveyed = says.pond.layouts.ground.is_surveyed();
        return is_surveyed.then(|| ask.to_string()).into_iter().collect();
    }
    let mut all = vec![
        "Runs are straight from the cabinet and follow the bottom, without slack: add what rises to the valve and the way \
         round what lies between."
            .to_string(),
    ];
    let is_wet = |at: [f64; 2]| says.pond.layouts.ground.depth_at(at) > 0.0;
    if plan.layout.cabinet.is_some_and(is_wet) {
        all.push(
            "The place of the cabinet lies in the water: a cabinet stands on land, above flood level.".into(),
        );
    }
    let dry = plan.layout.places.iter().enumerate();
    let dry = dry.filter(|(_, placed)| placed.over_land > 0.5);
    all.extend(dry.map(|(number, placed)| {
        format!(
            "Run {} crosses land for {} on its way; lay it round, and measure it then.",
            number + 1,
            says.length(placed.over_land)
        )
    }));
    all
}

fn valves(says: &Figures, plan: &Plan) -> Option<String> {
    let airs: Vec<f64> = plan.ends.iter().map(|end| end.air).collect();
    let least = airs.iter().copied().fold(f64::INFINITY, f64::min);
    let most = airs.iter().copied().fold(0.0, f64::max);
    if airs.len() < 2 || most <= least * 1.02 {
        return None;
    }
    let ends = [least, most].map(|air| says.figure(air, Dimension::VolumeFlow));
    let open = format!(
        "With all valves open a diffuser gets {} of air",
        joined(&ends, " to ")
    );
    Some(match plan.evened {
        Some(evened) => format!(
            "{open}. Set as in the table, each gets {} times its least air, and the gauge at the manifold reads {}.",
            significant(evened.share, 3),
            says.figure(evened.pressure, Dimension::GaugePressure)
        ),
        None => format!("{open}; the package has no valves that could even it."),
    })
}

/// Margin round a plan.
const EDGE: f64 = 18.0;
/// A plan is at most so high.
const HIGHEST: f64 = 430.0;

/// A pond seen from above, in the units of the picture.
struct View {
    west: f64,
    north: f64,
    left: f64,
    scale: f64,
    height: f64,
}

impl View {
    fn of(ground: &Ground, cabinet: Option<[f64; 2]>) -> View {
        let [mut low, mut high] = ground.shore().bounds();
        if let Some(place) = cabinet {
            for axis in 0..2 {
                low[axis] = low[axis].min(place[axis]);
                high[axis] = high[axis].max(place[axis]);
            }
        }
        let (wide, long) = (high[0] - low[0], high[1] - low[1]);
        let scale = f64::min(
            (WIDTH - 2.0 * EDGE) / wide.max(1e-9),
            HIGHEST / long.max(1e-9),
        );
        View {
            west: low[0],
            north: high[1],
            left: (WIDTH - wide * scale) / 2.0,
            scale,
            // Room for the scale below.
            height: long * scale + 2.0 * EDGE + 22.0,
        }
    }

    fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [
            self.left + (x - self.west) * self.scale,
            EDGE + (self.north - y) * self.scale,
        ]
    }

    fn points(&self, places: &[[f64; 2]]) -> String {
        let points = places.iter().map(|&place| {
            let [x, y] = self.at(place);
            format!("{},{}", px(x), px(y))
        });
        points.collect::<Vec<_>>().join(" ")
    }
}

/// A round length of about `most` m at the most, in the reader's unit.
fn round(most: f64, system: System) -> f64 {
    let unit = match system {
        System::Metric => 1.0,
        System::Us => 0.3048,
    };
    let steps = [
        1000.0, 500.0, 200.0, 100.0, 50.0, 20.0, 10.0, 5.0, 2.0, 1.0, 0.5, 0.2,
    ];
    let mut fit = steps
        .into_iter()
        .map(|step| step * unit)
        .filter(|length| *length <= most);
    fit.next().unwrap_or(most)
}

/// The depths whose contours are drawn, m: round ones, five at the most.
fn levels(depth: f64, system: System) -> Vec<f64> {
    let step = round(depth / 2.5, system);
    let levels = (1..=12).map(|number| f64::from(number) * step);
    levels
        .filter(|level| *level < depth * 0.98)
        .take(6)
        .collect()
}

/// The plan of the first offer.
pub fn picture(says: &Figures, plan: &Plan, id: &str) -> Markup {
    let ground = &says.pond.layouts.ground;
    let layout = &plan.layout;
    let view = View::of(ground, layout.cabinet);
    let contours = match ground.is_sounded() {
        true => ground.contours(levels(says.pond.depth, says.pond.system)),
        false => Vec::new(),
    };
    let clip = format!("{id}-shore");
    let shore = view.points(ground.shore().corners());
    let circle = |class: &str, reach: f64| {
        html! {
            @for placed in &layout.places {
                @let [x, y] = view.at(placed.at);
                circle class=(format!("reach {class}")) cx=(px(x)) cy=(px(y)) r=(px(reach * placed.depth * view.scale)) {}
            }
        }
    };
    let bar = round((WIDTH / 3.0) / view.scale, says.pond.system);
    let foot = view.height - 10.0;
    let body = html! {
        clipPath id=(clip) { polygon points=(shore) {} }
        polygon class="shore" points=(shore) {}
        g clip-path=(format!("url(#{clip})")) {
            (circle("high", plan.reach[2]))
            (circle("typical", plan.reach[1]))
            (circle("low", plan.reach[0]))
            @for (_, pieces) in &contours {
                path class="contour" d=(drawn(&view, pieces)) {}
            }
        }
        @for (depth, pieces) in &contours { (named(says, &view, layout, *depth, pieces)) }
        @if let Some(cabinet) = layout.cabinet {
            @for placed in &layout.places { polyline class="pipe" points=(view.points(&[cabinet, placed.at])) {} }
            @let [x, y] = view.at(cabinet);
            rect class="mark duty" x=(px(x - 5.0)) y=(px(y - 5.0)) width="10" height="10" {}
            // On the side that no run leaves to, above or below.
            @let below = layout.places.iter().filter(|placed| view.at(placed.at)[1] > y).count();
            @let dy = if 2 * below > layout.places.len() { -8.0 } else { 19.0 };
            (beside("cabinet", x - 14.0, y + dy - 4.0))
        }
        @for (number, placed) in layout.places.iter().enumerate() {
            @let [x, y] = view.at(placed.at);
            circle class="mark" cx=(px(x)) cy=(px(y)) r="5" {}
            (beside(&(number + 1).to_string(), x, y))
        }
        line class="measure" x1=(px(EDGE)) y1=(px(foot)) x2=(px(EDGE + bar * view.scale)) y2=(px(foot)) {}
        text class="axis" x=(px(EDGE + bar * view.scale + 6.0)) y=(px(foot + 4.0)) { (says.length(bar)) }
        @if ground.is_surveyed() {
            text class="axis" x=(px(WIDTH - EDGE)) y=(px(foot + 4.0)) text-anchor="end" { "north is up" }
        }
    };
    let told = layout.places.iter().enumerate().map(|(number, placed)| {
        let run = says.pond.stated_run(number).or(placed.run);
        let run = run.map_or(String::new(), |run| format!(", run {}", says.length(run)));
        format!(
            "{} in {} of water{run}",
            number + 1,
            says.length(placed.depth)
        )
    });
    let told = told.collect::<Vec<_>>().join("; ");
    let says = format!("The pond seen from above, with the ends of the runs: {told}.");
    frame(id, "Plan of the pond", &says, view.height, body)
}

/// A name to the right of a mark, or to its left where there is no room.
fn beside(name: &str, x: f64, y: f64) -> Markup {
    let is_far = x + 10.0 + 7.6 * name.len() as f64 > WIDTH - 4.0;
    let (x, anchor) = if is_far {
        (x - 9.0, "end")
    } else {
        (x + 9.0, "start")
    };
    html! { text class="name strong" x=(px(x)) y=(px(y + 4.0)) text-anchor=(anchor) { (name) } }
}

fn drawn(view: &View, pieces: &[[[f64; 2]; 2]]) -> String {
    let pieces = pieces.iter().map(|&[from, to]| {
        let ([a, b], [c, d]) = (view.at(from), view.at(to));
        format!("M{} {}L{} {}", px(a), px(b), px(c), px(d))
    });
    pieces.collect()
}

/// A contour's depth, written at its northernmost place that is clear of the ends of runs.
fn named(
    says: &Figures,
    view: &View,
    layout: &Layout,
    depth: f64,
    pieces: &[[[f64; 2]; 2]],
) -> Markup {
    let ends: Vec<[f64; 2]> = layout
        .places
        .iter()
        .map(|placed| view.at(placed.at))
        .collect();
    let places = pieces.iter().map(|piece| view.at(piece[0]));
    let is_clear = |at: &[f64; 2]| {
        let mut ends = ends.iter();
        ends.all(|end| (end[0] - at[0]).abs() > 40.0 || (end[1] - at[1]).abs() > 16.0)
    };
    let north = places.filter(is_clear).min_by(|a, b| a[1].total_cmp(&b[1]));
    html! {
        @if let Some([x, y]) = north {
            text class="tick name" x=(px(x)) y=(px(y + 4.0)) text-anchor="middle" { (says.length(depth)) }
        }
    }
}
