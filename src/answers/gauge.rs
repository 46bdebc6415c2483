//! What the gauge at the manifold should read, and which faults a reading fits.
//!
//! A fault is the plant with something changed, slightly, usually and badly. Each is calculated over the
//! ranges, so what it reads is a range as well; a reading fits where it lies in it. Two faults that read
//! alike are told apart by a second reading with one valve shut: among all the states of a fault that give the first
//! reading, only some give the second. Where that doesn't tell either, it is said what else to look at.

use crate::assumptions::{End, Ends, Name, Values};
use crate::claims::oversized::SIZES;
use crate::derive::Plant;
use crate::derive::solver::open_manifold;
use crate::units::show::show;
use crate::units::{Dimension, System};

use super::choose::{Asked, Unanswerable};
use super::duty;
use super::explain::Step;

/// What a small gauge is good for, as a share of what it reads: judgement.
const GAUGE: f64 = 0.01;

/// A reading in Pa at the least, the centre and the most.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Least.
    pub low: f64,
    /// Central.
    pub central: f64,
    /// Most.
    pub high: f64,
}

impl Reading {
    /// Whether a gauge's reading lies in it, give or take what the gauge is good for.
    pub fn fits(&self, pascals: f64) -> bool {
        let spare = GAUGE * pascals.abs();
        pascals >= self.low - spare && pascals <= self.high + spare
    }

    /// Whether a gauge couldn't tell a reading of one from a reading of the other.
    fn meets(&self, other: &Reading) -> bool {
        let spare = GAUGE * self.high.abs().max(other.high.abs());
        self.low <= other.high + spare && other.low <= self.high + spare
    }

    fn over(values: impl Iterator<Item = f64>, central: Option<f64>) -> Option<Reading> {
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for value in values {
            (low, high) = (low.min(value), high.max(value));
        }
        (low <= high).then(|| Reading {
            low,
            central: central.unwrap_or(f64::midpoint(low, high)).clamp(low, high),
            high,
        })
    }
}

/// What the gauge reads, and what a reading may mean.
#[derive(Debug, Clone)]
pub struct Gauge {
    /// With everything as it should be.
    pub expected: Reading,
    /// The same with one valve shut; nothing for a single run.
    pub expected_one_shut: Option<Reading>,
    /// The reading that was given.
    pub reads: Option<f64>,
    /// The reading with one valve shut that was given.
    pub one_shut: Option<f64>,
    /// Whether the readings fit a sound installation.
    pub fits_sound: Option<bool>,
    /// The faults that fit the readings, or all of them where none was given.
    pub faults: Vec<Fault>,
    /// Equations behind the expected reading, with their figures.
    pub steps: Vec<Step>,
}

/// A fault, with what it would read.
#[derive(Debug, Clone)]
pub struct Fault {
    /// What it is.
    pub name: &'static str,
    /// How strong it was taken, slight to bad.
    pub taken: &'static str,
    /// What it would read.
    pub reads: Reading,
    /// What it would read with a valve shut, where the first reading is as given.
    pub one_shut: Option<Reading>,
    /// The faults a second reading doesn't tell it from.
    pub alike: Vec<&'static str>,
    /// The further look that tells it from the others that fit.
    pub told_apart_by: String,
}

/// A way an installation can be wrong.
struct Kind {
    name: &'static str,
    taken: &'static str,
    /// What to look at when readings can't tell.
    look: &'static str,
    /// The plant with it, from slight to bad.
    cases: for<'p, 'c> fn(&'p Plant<'c>) -> Vec<Plant<'c>>,
    /// Whether what lies between two cases is a case too.
    graded: bool,
    /// Whether the valve that is shut may be that of a run that was shut before.
    shut_already: bool,
}

/// The faults that are met. How strong each is taken is this project's judgement.
const KINDS: &[Kind] = &[
    Kind {
        name: "one line shut or blocked",
        taken: "no air through it",
        look: "look which diffuser gives no bubbles; shut the valves in turn, for seconds only and never the last one open: at the \
               blocked line the reading doesn't move",
        cases: |plant| {
            (0..plant.outlets.len())
                .filter_map(|k| plant.clone().without_run_of(k))
                .collect()
        },
        graded: false,
        shut_already: true,
    },
    Kind {
        name: "one diffuser fouled",
        taken: "2 to 6 times its pressure",
        look: "look which diffuser gives fewer bubbles than the others",
        cases: |plant| match plant.diffusers() {
            0 | 1 => Vec::new(),
            _ => [2.0, 3.0, 6.0]
                .map(|times| plant.clone().with_one_loss_times(times))
                .into(),
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "all diffusers fouled",
        taken: "2 to 6 times their pressure",
        look: "lift a diffuser and clean it, then read again",
        cases: |plant| {
            [2.0, 3.0, 6.0]
                .map(|times| plant.clone().with_losses_times(times))
                .into()
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "water in a sag of every line",
        taken: "0.15 to 1 m of it",
        look: "blow the lines out with a diffuser lifted, then read again",
        cases: |plant| {
            [0.15, 0.5, 1.0]
                .map(|metres| plant.clone().with_water_in_lines(metres))
                .into()
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "worn compressor",
        taken: "0.9 to 0.5 of its flow",
        look: "change the intake filter first, for a clogged one reads alike; then time how long it takes to fill a bag of \
               known volume",
        cases: |plant| less_flow(plant, &[0.9, 0.75, 0.5]),
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "intake filter clogged",
        taken: "0.9 to 0.6 of the flow",
        look: "unplug, take the filter out, plug in for a moment and read again, then put it back: a worn compressor stays as it is",
        cases: |plant| less_flow(plant, &[0.9, 0.8, 0.6]),
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "leak before the diffusers",
        taken: "0.1 to 0.6 of the open flow, at the greatest continuous pressure",
        look: "wipe the joints with soapy water, and watch the bank for bubbles",
        cases: |plant| {
            let shares = [0.1, 0.3, 0.6];
            shares
                .into_iter()
                .filter_map(|share| plant.clone().with_leak(share))
                .collect()
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "diffusers lie deeper than stated",
        taken: "0.15 to 1 m",
        look: "measure the depth over a diffuser with a weighted line",
        cases: |plant| {
            [0.15, 0.5, 1.0]
                .map(|metres| plant.clone().deeper_by(metres))
                .into()
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "diffusers lie shallower than stated",
        taken: "0.15 to 1 m",
        look: "measure the depth over a diffuser with a weighted line",
        cases: |plant| {
            [0.15, 0.5, 1.0]
                .map(|metres| plant.clone().deeper_by(-metres))
                .into()
        },
        graded: true,
        shut_already: false,
    },
    Kind {
        name: "line of the next smaller bore",
        taken: "one nominal size",
        look: "measure the line's inside diameter",
        cases: |plant| another_bore(plant, false),
        graded: false,
        shut_already: false,
    },
    Kind {
        name: "line of the next larger bore",
        taken: "one nominal size",
        look: "measure the line's inside diameter",
        cases: |plant| another_bore(plant, true),
        graded: false,
        shut_already: false,
    },
];

fn less_flow<'c>(plant: &Plant<'c>, shares: &[f64]) -> Vec<Plant<'c>> {
    let less = |share: &f64| plant.clone().with_flow_times(*share);
    shares.iter().map(less).collect()
}

fn another_bore<'c>(plant: &Plant<'c>, larger: bool) -> Vec<Plant<'c>> {
    let first = plant
        .outlets
        .first()
        .and_then(|outlet| outlet.lines.first());
    let Some(bore) = first.map(|line| line.bore) else {
        return Vec::new();
    };
    let mut sizes = SIZES.iter().map(|inches| inches * 0.0254);
    let other = if larger {
        sizes.find(|size| *size > bore * 1.03)
    } else {
        sizes.rev().find(|size| *size < bore * 0.97)
    };
    other
        .map(|size| plant.clone().with_bore(size))
        .into_iter()
        .collect()
}

/// What the gauge should read, and which faults fit `reads` and `one_shut`, both in Pa.
///
/// # Errors
/// No depth, or a curve that ends before the duty point.
pub fn answer(
    asked: &Asked,
    reads: Option<f64>,
    one_shut: Option<f64>,
) -> Result<Gauge, Unanswerable> {
    let duty = duty::answer(asked)?;
    if duty.dead_headed {
        return Err(Unanswerable::NoAir(duty.shut_off, asked.system()));
    }
    let lattice = lattice(asked);
    let plant = &asked.solver.plant;
    let sound = States::of(&lattice, std::slice::from_ref(plant), true, false);
    let expected = sound.first().ok_or(Unanswerable::NoDepth)?;
    let given = reads.is_some() || one_shut.is_some();
    let fits = |states: &States| {
        let first = reads.is_none_or(|reads| states.first().is_some_and(|all| all.fits(reads)));
        let second = one_shut.is_none_or(|shut| states.second(reads).is_some_and(|s| s.fits(shut)));
        first && second
    };
    let mut faults: Vec<Fault> = Vec::new();
    for kind in KINDS {
        let cases = (kind.cases)(plant);
        let states = States::of(&lattice, &cases, kind.graded, kind.shut_already);
        let Some(all) = states.first() else { continue };
        if given && !fits(&states) {
            continue;
        }
        faults.push(Fault {
            name: kind.name,
            taken: kind.taken,
            reads: all,
            one_shut: states.second(reads),
            alike: Vec::new(),
            told_apart_by: String::new(),
        });
    }
    faults.extend(lost(&duty, reads, one_shut));
    let fits_sound = given.then(|| fits(&sound));
    for at in 0..faults.len() {
        faults[at].alike = alike(&faults, at, &sound, reads, fits_sound);
        let mut looks = KINDS
            .iter()
            .map(|kind| (kind.name, kind.look))
            .chain([LOST]);
        let look = looks
            .find(|(name, _)| *name == faults[at].name)
            .map_or("", |(_, look)| look);
        faults[at].told_apart_by = told_apart(asked, &faults[at], look, reads, one_shut);
    }
    Ok(Gauge {
        fits_sound,
        expected,
        expected_one_shut: sound.second(None),
        reads,
        one_shut,
        faults,
        steps: duty.steps,
    })
}

/// The air goes elsewhere than into the water, or there is none: its name, and what to look at.
const LOST: (&str, &str) = (
    "hose off or split, relief valve open, or compressor stopped",
    "feel whether the compressor runs, and listen for air between it and the bank; no diffuser bubbles",
);

/// Below the weight of the water over the shallowest diffuser no air can leave it, so whatever is wrong lies before it.
fn lost(duty: &duty::Duty, reads: Option<f64>, one_shut: Option<f64>) -> Option<Fault> {
    let heads = duty.branches.iter().map(|branch| branch.water_head);
    let all = Reading::over([0.0, heads.reduce(f64::min)?].into_iter(), None)?;
    let mut given = reads.into_iter().chain(one_shut);
    given.all(|one| all.fits(one)).then(|| Fault {
        name: LOST.0,
        taken: "no air reaches the water",
        reads: all,
        one_shut: None,
        alike: Vec::new(),
        told_apart_by: String::new(),
    })
}

/// The other faults that fit, and the sound installation where that fits, which a second reading doesn't tell
/// from the fault at `at`.
fn alike(
    faults: &[Fault],
    at: usize,
    sound: &States,
    reads: Option<f64>,
    fits_sound: Option<bool>,
) -> Vec<&'static str> {
    let own = &faults[at];
    let same = |other: Option<Reading>| match (own.one_shut, other) {
        (Some(own), Some(other)) => own.meets(&other),
        _ => true,
    };
    let others = faults.iter().enumerate().filter(|(place, _)| *place != at);
    let mut alike: Vec<&'static str> = others
        .filter(|(_, other)| same(other.one_shut))
        .map(|(_, other)| other.name)
        .collect();
    if fits_sound == Some(true) && same(sound.second(reads)) {
        alike.push("nothing wrong");
    }
    alike
}

/// The further look, in words.
fn told_apart(
    asked: &Asked,
    fault: &Fault,
    look: &str,
    reads: Option<f64>,
    one_shut: Option<f64>,
) -> String {
    let again = match (fault.one_shut, reads, one_shut) {
        (Some(second), Some(_), None) => format!(
            "shut one valve{} and read again: this fault then gives {}",
            for_how_long(asked, &second),
            range(&second, asked.system())
        ),
        _ => return look.to_string(),
    };
    match fault.alike.as_slice() {
        [] => format!("{again}, and no other fault does"),
        ["nothing wrong"] => format!("{again}, and so does a sound installation; {look}"),
        [other] => format!("{again}, and so does {other}; {look}"),
        [faults @ .., "nothing wrong"] => format!(
            "{again}, and so do a sound installation and {} of the other faults; {look}",
            faults.len()
        ),
        faults => format!(
            "{again}, and so do {} of the other faults; {look}",
            faults.len()
        ),
    }
}

/// That a valve may be shut for seconds only, where the compressor then runs beyond what it may run against all day.
fn for_how_long(asked: &Asked, reading: &Reading) -> &'static str {
    match asked.solver.plant.max_pressure() {
        Some(most) if reading.high > most => " for a few seconds",
        _ => "",
    }
}

/// A reading's ends in the reader's unit, which stands once.
fn range(reading: &Reading, system: System) -> String {
    let end = |si: f64| show(Dimension::GaugePressure, si, system);
    let (low, high) = (end(reading.low), end(reading.high));
    if low == high {
        return low;
    }
    match (low.split_once(' '), high.split_once(' ')) {
        (Some((number, unit)), Some((_, other))) if unit == other => format!("{number} to {high}"),
        _ => format!("{low} to {high}"),
    }
}

/// Sets of assumptions: rows by the machine's flow, columns by what stands in the air's way.
fn lattice(asked: &Asked) -> [[Values; 3]; 3] {
    let ends = [End::Unfavourable, End::Central, End::Favourable];
    ends.map(|machine| {
        ends.map(|losses| {
            let of_machine = [Name::CurveTolerance, Name::AltitudeModel, Name::PlateBound];
            let ends = Ends::all(losses).but(&of_machine, machine);
            asked.assumptions.ends(&ends)
        })
    })
}

/// The readings of a fault in every state that was calculated: by case, machine and losses.
struct States {
    cases: Vec<[[State; 3]; 3]>,
    graded: bool,
}

/// The manifold's pressure, and the same with one valve shut: one for each run that may be shut.
#[derive(Clone, Default)]
struct State {
    first: Option<f64>,
    second: Vec<f64>,
}

impl States {
    fn of(lattice: &[[Values; 3]; 3], cases: &[Plant], graded: bool, shut_already: bool) -> States {
        let cases = cases.iter().map(|plant| {
            let shut: Vec<Plant> = (0..plant.outlets.len())
                .filter_map(|k| plant.clone().without_run_of(k))
                .collect();
            let state = |values: &Values| {
                let first = open_manifold(plant, values);
                let mut second: Vec<f64> = shut
                    .iter()
                    .filter_map(|plant| open_manifold(plant, values))
                    .collect();
                if shut_already {
                    second.extend(first);
                }
                State { first, second }
            };
            lattice.each_ref().map(|row| row.each_ref().map(state))
        });
        States {
            cases: cases.collect(),
            graded,
        }
    }

    fn all(&self) -> impl Iterator<Item = &State> {
        self.cases.iter().flatten().flatten()
    }

    /// What the gauge reads over all states; central is the middle case at central values.
    fn first(&self) -> Option<Reading> {
        let middle = self.cases.get(self.cases.len() / 2);
        let central = middle.and_then(|case| case[1][1].first);
        Reading::over(self.all().filter_map(|state| state.first), central)
    }

    /// What it reads with one valve shut: over all states, or those in which it first reads `reads`.
    fn second(&self, reads: Option<f64>) -> Option<Reading> {
        let Some(reads) = reads else {
            let all = self.all().flat_map(|state| state.second.iter().copied());
            let middle = self.cases.get(self.cases.len() / 2);
            return Reading::over(
                all,
                middle.and_then(|case| case[1][1].second.first().copied()),
            );
        };
        let mut found = Vec::new();
        for (from, to) in self.neighbours() {
            between(from, to, reads, &mut found);
        }
        if found.is_empty() {
            // A single state, or a reading at the edge: the states that give it within the gauge's error.
            let near = |state: &&State| {
                state
                    .first
                    .is_some_and(|first| (first - reads).abs() <= GAUGE * reads.abs())
            };
            found.extend(
                self.all()
                    .filter(near)
                    .flat_map(|state| state.second.clone()),
            );
        }
        Reading::over(found.into_iter(), None)
    }

    /// Every two states that differ in one thing by one step.
    fn neighbours(&self) -> Vec<(&State, &State)> {
        let mut pairs = Vec::new();
        for (at, case) in self.cases.iter().enumerate() {
            for machine in 0..3 {
                for losses in 0..3 {
                    let here = &case[machine][losses];
                    if let Some(next) = case.get(machine + 1) {
                        pairs.push((here, &next[losses]));
                    }
                    if let Some(next) = case[machine].get(losses + 1) {
                        pairs.push((here, next));
                    }
                    if let Some(next) = self.cases.get(at + 1).filter(|_| self.graded) {
                        pairs.push((here, &next[machine][losses]));
                    }
                }
            }
        }
        pairs
    }
}

/// The second readings between two states where the first one is `reads`, by straight lines.
fn between(from: &State, to: &State, reads: f64, found: &mut Vec<f64>) {
    let (Some(a), Some(b)) = (from.first, to.first) else {
        return;
    };
    if (reads - a) * (reads - b) > 0.0 {
        return;
    }
    let share = if a == b { 0.5 } else { (reads - a) / (b - a) };
    for (low, high) in from.second.iter().zip(&to.second) {
        found.push(low + share * (high - low));
    }
}
