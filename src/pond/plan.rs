//! A package laid out in a pond: the places of its diffusers, the air that each gets there, and valves that even it.

use std::sync::Arc;

use crate::assumptions::{End, Name};
use crate::charts::{self, Charts};
use crate::derive::Solver;
use crate::derive::plant::{Plant, PlantOutlet};

use super::fit::Judge;
use super::layout::{Layout, Placed, covered};
use super::offers::Offer;

/// A layout with what comes out of it.
#[derive(Debug, Clone)]
pub struct Plan {
    /// Where everything lies.
    pub layout: Arc<Layout>,
    /// Depths that a diffuser stirs: with everything against it, as a rule and with everything for it.
    pub reach: [f64; 3],
    /// Share of the surface within that.
    pub covered: [f64; 3],
    /// What the end of each run gives; none where the air isn't known.
    pub ends: Vec<EndOfRun>,
    /// What valves make of it, where the package has them and ends differ.
    pub evened: Option<Evened>,
}

/// What happens at the end of a run. SI.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct EndOfRun {
    /// Free air of each of its diffusers with all valves open, m3/s.
    pub air: f64,
    /// Diffusers there.
    pub diffusers: u32,
    /// Kv of its valve that evens them; nothing where it stands open.
    pub kv: Option<f64>,
    /// The same as Cv.
    pub cv: Option<f64>,
}

/// What evening makes of the whole.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Evened {
    /// Gauge pressure at the manifold then, Pa.
    pub pressure: f64,
    /// How many times its least air every diffuser gets then.
    pub share: f64,
}

/// The depths that its diffusers have by themselves, one for each run.
pub fn own_depths(plant: &Plant) -> Vec<Option<f64>> {
    let runs = plant.outlets.iter();
    runs.flat_map(|outlet| std::iter::repeat_n(outlet.own_depth, outlet.runs as usize))
        .collect()
}

/// The plan of an offer; nothing where it can't be laid, or has more runs than places are sought for.
pub fn plan(judge: &Judge, offer: &Offer) -> Option<Plan> {
    let laid = judge.lay(offer.package, offer.way);
    let solver = laid.solver().ok()?;
    let layout = judge.pond.layouts.of(&own_depths(&solver.plant))?;
    let reach = &laid.facts.assumptions[Name::ReachPerDepth];
    let reach = [End::Unfavourable, End::Central, End::Favourable].map(|end| reach.at(end));
    let measured = judge.pond.runs.is_empty();
    let placed = solver.with(placed(&solver.plant, &layout, measured));
    let (ends, evened) = air(&placed);
    Some(Plan {
        covered: reach.map(|reach| covered(&judge.pond.layouts.ground, &layout.places, reach)),
        reach,
        layout,
        ends,
        evened,
    })
}

/// A plant with each run ending at its place, and as long as that is `measured`, unless the pond states its length.
fn placed<'c>(plant: &Plant<'c>, layout: &Layout, measured: bool) -> Plant<'c> {
    let mut plant = plant.clone();
    let runs = plant.outlets.iter();
    let each = runs.flat_map(|outlet| std::iter::repeat_n(outlet, outlet.runs as usize));
    let at_place = |(outlet, place): (&PlantOutlet<'c>, &Placed)| {
        let mut one = outlet.clone();
        one.runs = 1;
        one.depth = place.depth;
        one.own_depth = Some(place.depth);
        one
    };
    plant.outlets = each.zip(&layout.places).map(at_place).collect();
    let runs: Vec<f64> = plant
        .outlets
        .iter()
        .zip(&layout.places)
        .map(|(outlet, place)| {
            place
                .run
                .filter(|_| measured)
                .unwrap_or(outlet.run_length())
        })
        .collect();
    plant.with_runs(&runs)
}

/// What each end gets, and what valves can make of it.
fn air(solver: &Solver) -> (Vec<EndOfRun>, Option<Evened>) {
    let plant = &solver.plant;
    let Some(settled) = solver.at(&solver.ranges().central()) else {
        return (Vec::new(), None);
    };
    let throttled = settled.throttled.filter(|_| plant.has_valves);
    let settings = throttled.and_then(|_| solver.evened());
    let of_outlet = |label: usize| {
        let set = settings.iter().flatten().find(|set| set.label == label);
        let outlet = plant.outlets.get(label)?;
        Some((
            outlet.runs,
            EndOfRun {
                air: settled.each.get(label)? / settled.inlet_density,
                diffusers: outlet.per_run,
                kv: set.and_then(|set| set.kv),
                cv: set.and_then(|set| set.cv),
            },
        ))
    };
    let outlets = (0..plant.outlets.len()).filter_map(of_outlet);
    let ends = outlets.flat_map(|(runs, end)| std::iter::repeat_n(end, runs as usize));
    let evened = throttled
        .filter(|_| settings.is_some())
        .map(|throttled| Evened {
            pressure: throttled.pressure,
            share: throttled.share,
        });
    (ends.collect(), evened)
}

/// The numbers of the pictures of an offer in the pond.
pub fn pictures(judge: &Judge, offer: &Offer) -> Option<Charts> {
    let laid = judge.lay(offer.package, offer.way);
    charts::of(&judge.ground(&laid), &[])
}
