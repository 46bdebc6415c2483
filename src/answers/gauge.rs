//! What the gauge at the manifold should read, and which faults a reading fits.
//!
//! Every fault is laid into the plant and solved like the sound one, at the same corners, so that
//! what it would read is a range too. Two faults whose ranges meet can't be told apart by one
//! reading; a second one, with one valve shut, tells some of them apart, and the rest is said.

use std::sync::Arc;

use crate::claims::oversized::SIZES;
use crate::derive::{Corner, Plant};

use super::choose::{Asked, Unanswerable};

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
    /// Whether a gauge's reading lies in it, give or take the hundredth that small gauges are good for.
    pub fn fits(&self, pascals: f64) -> bool {
        let spare = 0.01 * self.high.abs();
        pascals >= self.low - spare && pascals <= self.high + spare
    }

    fn meets(&self, other: &Reading) -> bool {
        self.low <= other.high && other.low <= self.high
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
}

/// A fault, with what it would read.
#[derive(Debug, Clone)]
pub struct Fault {
    /// What it is.
    pub name: &'static str,
    /// What it would read.
    pub reads: Reading,
    /// What it would read with a valve shut.
    pub one_shut: Option<Reading>,
    /// The further look that tells it from the others that fit.
    pub told_apart_by: String,
}

/// A way an installation can be wrong, as a change of its plant.
struct Kind {
    name: &'static str,
    /// What to look at when readings can't tell.
    look: &'static str,
    change: for<'c> fn(Plant<'c>) -> Option<Plant<'c>>,
}

/// The faults that are met. How strong each is taken is this project's judgement.
const KINDS: &[Kind] = &[
    Kind {
        name: "one line shut or blocked",
        look: "look which diffuser gives no bubbles",
        change: |plant| plant.without_one_run(),
    },
    Kind {
        name: "one diffuser fouled",
        look: "look which diffuser gives fewer bubbles than the others",
        change: |plant| (plant.diffusers() > 1).then(|| plant.with_one_loss_times(3.0)),
    },
    Kind {
        name: "all diffusers fouled",
        look: "lift a diffuser and clean it, then read again",
        change: |plant| Some(plant.with_losses_times(3.0)),
    },
    Kind {
        name: "water in a sag of every line",
        look: "blow the lines out with one diffuser lifted, then read again",
        change: |plant| Some(plant.with_water_in_lines(0.5)),
    },
    Kind {
        name: "worn compressor or clogged intake filter",
        look: "change the filter, then read again: a clogged filter and a worn machine read alike",
        change: |plant| plant.with_flow_times(0.7),
    },
    Kind {
        name: "leak before the diffusers",
        look: "wipe the joints with soapy water, or watch the bank for bubbles",
        change: |plant| plant.with_leak(0.3),
    },
    Kind {
        name: "diffusers lie deeper than stated",
        look: "measure the depth over a diffuser with a weighted line",
        change: |plant| Some(plant.deeper_by(0.6)),
    },
    Kind {
        name: "diffusers lie shallower than stated",
        look: "measure the depth over a diffuser with a weighted line",
        change: |plant| Some(plant.deeper_by(-0.6)),
    },
    Kind {
        name: "line of the next smaller bore",
        look: "measure the line's inside diameter",
        change: smaller_bore,
    },
];

fn smaller_bore(plant: Plant<'_>) -> Option<Plant<'_>> {
    let bore = plant.outlets.first()?.lines.first()?.bore;
    let smaller = SIZES
        .iter()
        .rev()
        .map(|inches| inches * 0.0254)
        .find(|size| *size < bore * 0.97)?;
    Some(plant.with_bore(smaller))
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
    let solver = &asked.solver;
    asked.settled()?;
    let expected = reading(asked, &solver.plant).ok_or(Unanswerable::NoDepth)?;
    let shut = |plant: &Plant| {
        let plant = plant.clone().without_one_run()?;
        reading(asked, &plant)
    };
    let expected_one_shut = shut(&solver.plant);
    let fits = |first: &Reading, second: Option<&Reading>| {
        let one = reads.is_none_or(|reads| first.fits(reads));
        let two = match (one_shut, second) {
            (Some(reads), Some(second)) => second.fits(reads),
            (Some(_), None) => false,
            (None, _) => true,
        };
        one && two
    };
    let mut faults: Vec<Fault> = Vec::new();
    for kind in KINDS {
        let Some(plant) = (kind.change)(solver.plant.clone()) else {
            continue;
        };
        let Some(found) = reading(asked, &plant) else {
            continue;
        };
        // With a line already blocked, shutting another leaves one fewer.
        let second = shut(&plant);
        if (reads.is_some() || one_shut.is_some()) && !fits(&found, second.as_ref()) {
            continue;
        }
        faults.push(Fault {
            name: kind.name,
            reads: found,
            one_shut: second,
            told_apart_by: kind.look.to_string(),
        });
    }
    let told: Vec<String> = faults
        .iter()
        .map(|fault| told_apart(fault, &faults))
        .collect();
    for (fault, told) in faults.iter_mut().zip(told) {
        if !told.is_empty() {
            fault.told_apart_by = format!("{told}; {}", fault.told_apart_by);
        }
    }
    let given = reads.is_some() || one_shut.is_some();
    Ok(Gauge {
        fits_sound: given.then(|| fits(&expected, expected_one_shut.as_ref())),
        expected,
        expected_one_shut,
        reads,
        one_shut,
        faults,
    })
}

/// How a second reading with one valve shut tells a fault from the others; empty where it doesn't.
fn told_apart(fault: &Fault, all: &[Fault]) -> String {
    let Some(own) = fault.one_shut else {
        return String::new();
    };
    let others: Vec<&Fault> = all
        .iter()
        .filter(|other| other.name != fault.name)
        .collect();
    if others.is_empty() {
        return String::new();
    }
    let apart = others
        .iter()
        .all(|other| other.one_shut.is_some_and(|second| !second.meets(&own)));
    if apart {
        "shut one valve and read again: none of the others would read so".into()
    } else {
        String::new()
    }
}

/// The manifold's pressure of a plant with valves open, at the corners and the centre. A corner beyond
/// the curve reads at least the curve's last pressure.
fn reading(asked: &Asked, plant: &Plant) -> Option<Reading> {
    let solver = Arc::new(asked.solver.with(plant.clone()));
    let at = |corner: Corner| {
        let settled = solver.corner(corner)?;
        Some(settled.duty.manifold.value())
    };
    let central = at(Corner::Central)?;
    let (a, b) = (at(Corner::LeastPressure)?, at(Corner::GreatestPressure)?);
    Some(Reading {
        low: a.min(b).min(central),
        central,
        high: a.max(b).max(central),
    })
}
