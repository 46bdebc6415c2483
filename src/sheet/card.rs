//! The card for the cabinet's door: what the gauge should read, and what another reading may mean.

use crate::answers::gauge::{self, Gauge, Reading};
use crate::answers::{Question, choose};
use crate::catalog::{Catalog, Package};
use crate::derive::Way;

/// What the gauge should read on one way to lay it.
#[derive(Debug)]
pub struct Card<'c> {
    /// The way.
    pub way: Way<'c>,
    /// With every valve open.
    pub reads: Reading,
    /// With one shut; nothing for a single run.
    pub one_shut: Option<Reading>,
    /// The most that the compressors may run against for good, Pa.
    pub limit: Option<f64>,
}

/// What another reading may mean.
#[derive(Debug, Clone)]
pub struct Fault {
    /// What is wrong.
    pub name: &'static str,
    /// Whether the gauge then reads more than it should.
    pub is_higher: bool,
    /// What to look at.
    pub look: String,
}

/// The card of a way, and what other readings mean there; nothing where it can't be calculated.
pub fn of<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Option<(Card<'c>, Vec<Fault>)> {
    let asked = choose::laid(catalog, package, way, &Question::default()).ok()?;
    let gauge = gauge::answer(&asked, None, None).ok()?;
    let card = Card {
        way,
        reads: gauge.expected,
        one_shut: gauge.expected_one_shut,
        limit: asked.solver.plant.max_pressure(),
    };
    Some((card, faults(gauge)))
}

fn faults(gauge: Gauge) -> Vec<Fault> {
    let expected = gauge.expected.central;
    let faults = gauge.faults.into_iter().map(|fault| Fault {
        name: fault.name,
        is_higher: fault.reads.central > expected,
        look: fault.told_apart_by,
    });
    let mut faults: Vec<Fault> = faults.collect();
    faults.sort_by_key(|fault| !fault.is_higher);
    faults
}
