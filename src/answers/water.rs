//! What a package does to its largest pond: water lifted, turnovers, air for each area, and the first days.
//!
//! None of it is judged here. It is what a reader needs beside an area: how hard the pond is stirred, how slowly to
//! begin, and how fast an opening in the ice cools what lies below.

use crate::assumptions::{End, Ends, Name, Values};
use crate::claims::basis;
use crate::derive::pond::{Setting, scfm_per_acre};
use crate::derive::{Corner, Pond};
use crate::physics::first_run::{COMMON_SCHEDULE_HOURS, FIRST_RUN, time_to_lift};
use crate::physics::mixing::MIXING_AIR;
use crate::physics::plume::BUBBLE_PLUME;
use crate::physics::reach::REACH_AREA;
use crate::physics::turnover::{MEAN_DEPTH, TURNOVER};
use crate::units::quantity::si;

use super::choose::Asked;
use super::explain::{Step, number};

/// A pond of an area at a depth, over the ranges: at the unfavourable corner, central and favourable. SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Water {
    /// Area it is counted for, m2.
    pub area: f64,
    /// Its depth, m.
    pub depth: f64,
    /// Its volume, central, m3.
    pub volume: f64,
    /// Water the plumes lift, m3/s.
    pub lifted: [f64; 3],
    /// Turnovers a day.
    pub turnovers: [f64; 3],
    /// Depths each diffuser would have to stir.
    pub reach_needed: f64,
    /// Air on the pond, kg/(s m2).
    pub air_per_area: f64,
    /// How long the plumes at their strongest take to lift a tenth of it, s.
    pub first_run: Option<f64>,
    /// Equations used, with their figures.
    pub steps: Vec<Step>,
}

/// The share of a pond that may be lifted on the first day: judgement.
const FIRST_SHARE: f64 = 0.1;

/// Hours to run on the first days as is common practice.
pub fn first_days() -> &'static [f64] {
    &COMMON_SCHEDULE_HOURS
}

/// What `asked`, laid at its depth, does to a pond of `area` m2; nothing where no air reaches the water.
pub fn of(asked: &Asked, area: f64) -> Option<Water> {
    let claim = asked
        .package
        .claims
        .area
        .known()
        .and_then(|rows| rows.first());
    let setting = Setting::of(asked.catalog, asked.package, claim);
    let plant = &asked.solver.plant;
    let at = |corner: Corner, end: End| {
        let settled = asked.solver.corner(corner)?;
        let pond = Pond::of(plant, &settled, setting)?;
        (pond.air() > 0.0).then(|| (pond, asked.assumptions.ends(&Ends::all(end))))
    };
    let central = at(Corner::Central, End::Central)?;
    let worst = at(Corner::LeastFlow, End::Unfavourable);
    let best = at(Corner::GreatestFlow, End::Favourable);
    let lifted = |of: &Option<(Pond, Values)>| {
        of.as_ref()
            .map_or(0.0, |(pond, values)| pond.water_lifted(values).value)
    };
    let turnovers = |of: &Option<(Pond, Values)>| {
        of.as_ref().map_or(0.0, |(pond, values)| {
            pond.turnovers_a_day(pond.volume(area, values), values)
                .value
        })
    };
    let (pond, values) = central.clone();
    let central = Some(central);
    let volume = pond.volume(area, &values);
    let lifted = [lifted(&worst), lifted(&central), lifted(&best)];
    let first_run = time_to_lift(
        FIRST_SHARE,
        si::cubic_metres(volume),
        si::cubic_metres_per_second(lifted[2]),
    );
    let mut water = Water {
        area,
        depth: pond.depth,
        volume,
        lifted,
        turnovers: [turnovers(&worst), turnovers(&central), turnovers(&best)],
        reach_needed: pond
            .reach_needed(area, &basis(&asked.assumptions, &asked.rating))
            .unwrap_or(f64::NAN),
        air_per_area: pond.air() / area,
        first_run: first_run.map(|time| time.value.value),
        steps: Vec::new(),
    };
    water.steps = steps(&pond, &values, &water);
    Some(water)
}

/// The equations of the water side at central values.
fn steps(pond: &Pond, values: &Values, water: &Water) -> Vec<Step> {
    let count: f64 = pond.diffusers.iter().map(|one| one.count).sum();
    let mut steps = Vec::new();
    let mut add = |equation, with, gives| {
        steps.push(Step {
            equation,
            of: String::new(),
            with,
            gives,
        });
    };
    let first = pond.diffusers.first();
    let mut plume = vec![
        number("diffusers", count, ""),
        number(
            "air of the first",
            first.map_or(0.0, |one| one.amount),
            "kg/s",
        ),
        number(
            "depth of its bubbles",
            first.map_or(0.0, |one| pond.lies_at(one, values)),
            "m",
        ),
    ];
    for (symbol, name, unit) in [
        ("entrainment", Name::Entrainment, ""),
        ("bubble spread", Name::BubbleSpread, ""),
        ("slip velocity", Name::SlipVelocity, "m/s"),
        ("momentum amplification", Name::MomentumAmplification, ""),
        (
            "source radius, where none is stated",
            Name::SourceRadius,
            "m",
        ),
    ] {
        plume.push(number(symbol, values[name], unit));
    }
    add(
        &BUBBLE_PLUME,
        plume,
        number("Q of all", water.lifted[1], "m3/s"),
    );
    let area = pond.reach_area(values).value;
    let (reach, coverage) = (values[Name::ReachPerDepth], pond.coverage(values));
    add(
        &REACH_AREA,
        vec![
            number("N", count, ""),
            number("k", reach, ""),
            number("f", coverage, ""),
            number(
                "H of the first, to its bubbles",
                first.map_or(0.0, |one| pond.lies_at(one, values)),
                "m",
            ),
        ],
        number("A", area, "m2"),
    );
    let ratio = pond.mean_depth_ratio(values);
    add(
        &MEAN_DEPTH,
        vec![
            number("A", water.area, "m2"),
            number("H", pond.depth, "m"),
            number("r", ratio, ""),
        ],
        number("V", water.volume, "m3"),
    );
    add(
        &TURNOVER,
        vec![
            number("Q", water.lifted[1], "m3/s"),
            number("V", water.volume, "m3"),
        ],
        number("n", water.turnovers[1], "1/day"),
    );
    let needed = values[Name::MixingAir];
    add(
        &MIXING_AIR,
        vec![
            number("air", pond.air(), "kg/s"),
            number("needed", scfm_per_acre(needed), "kg/(s m2)"),
        ],
        number("A", pond.mixing_area(needed), "m2"),
    );
    if let Some(time) = water.first_run {
        add(
            &FIRST_RUN,
            vec![
                number("s", FIRST_SHARE, ""),
                number("V", water.volume, "m3"),
                number("Q, favourable", water.lifted[2], "m3/s"),
            ],
            number("t", time, "s"),
        );
    }
    steps
}
