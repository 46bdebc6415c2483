//! A plant worked out once, and its limits read backwards, against the plant's own network
//! solved over and over.

use nameplate::assumptions::Values;
use nameplate::claims::{airline_length, depth};
use nameplate::derive::plant::Lines;
use nameplate::derive::{Derived, Solver};
use nameplate::physics::manifold::Limit;
use nameplate::physics::network::Duty;

use crate::hull::{CATALOG, Draws, read};

/// Calls `hold` with every plant of the invented packages, several draws of its ranges each.
fn each_plant(mut hold: impl FnMut(&str, &Solver, &Values)) {
    let (catalog, faults) = read(CATALOG);
    assert_eq!(faults, 0);
    let derived = Derived::of(&catalog);
    let mut draws = Draws(20_261_130);
    for facts in &derived.packages {
        for way in &facts.ways {
            let solver = way.solver.as_ref().unwrap();
            let name = format!("{} {}", facts.package.entry.id, way.way.name());
            for _ in 0..40 {
                hold(&name, solver, &draws.values(solver.ranges()));
            }
        }
    }
}

fn same(ours: &Duty, theirs: &Duty) -> Result<(), String> {
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-9 * a.abs().max(b.abs());
    if !near(ours.manifold.value(), theirs.manifold.value()) {
        return Err(format!("{:?} and {:?}", ours.manifold, theirs.manifold));
    }
    if ours.breaches.len() != theirs.breaches.len() {
        return Err(format!("{:?} and {:?}", ours.breaches, theirs.breaches));
    }
    for (one, other) in ours.outlets.iter().zip(&theirs.outlets) {
        if one.label != other.label || !near(one.amount.value(), other.amount.value()) {
            return Err(format!("{one:?} and {other:?}"));
        }
    }
    if ours.outlets.len() == theirs.outlets.len() {
        Ok(())
    } else {
        Err("another number of outlets".into())
    }
}

#[test]
fn a_plant_worked_out_once_is_the_plant_built_anew() {
    let mut running = 0;
    each_plant(|name, solver, values| {
        let ours = solver.at(values).unwrap();
        let theirs = solver.plant.network(values).unwrap().solve();
        if let Err(what) = same(ours.duty(), &theirs) {
            panic!("{name} at {values:?}: {what}");
        }
        running += usize::from(!ours.duty().outlets.is_empty());
    });
    assert!(running > 150, "{running}");
}

/// Where `holds` stops to hold between nothing and `most`; nothing where that isn't known.
fn halved(most: f64, holds: impl Fn(f64) -> Option<bool>) -> Option<f64> {
    if !holds(0.0)? {
        return Some(0.0);
    }
    if holds(most)? {
        return Some(most);
    }
    let (mut low, mut high) = (0.0, most);
    for _ in 0..40 {
        let middle = 0.5 * (low + high);
        if holds(middle)? {
            low = middle;
        } else {
            high = middle;
        }
    }
    Some(low)
}

fn hold_limit(name: &str, limit: Option<Limit>, halved: Option<f64>, most: f64) -> bool {
    let (Some(limit), Some(halved)) = (limit, halved) else {
        return false;
    };
    let found = limit.within(most).unwrap();
    assert!(
        (found - halved).abs() <= 1e-6 * (1.0 + halved),
        "{name}: {found}, halved {halved}"
    );
    true
}

#[test]
fn limits_are_where_halving_finds_them() {
    let (mut depths, mut lengths) = (0, 0);
    each_plant(|name, solver, values| {
        let plant = &solver.plant;
        let deep = halved(60.0, |depth| {
            let there = solver.with(plant.clone().all_at_depth(depth));
            depth::holds_at(&there, values, values)
        });
        let limit = solver.deepest((values, values), 60.0);
        depths += usize::from(hold_limit(&format!("depth of {name}"), limit, deep, 60.0));
        for part in [Lines::Runs, Lines::Trunk] {
            let long = halved(3000.0, |length| {
                let there = solver.with(plant.clone().with_length(part, length));
                depth::holds_at(&there, values, values)
            });
            let limit = solver.longest(part, (values, values), None, 3000.0);
            lengths += usize::from(hold_limit(
                &format!("{part:?} of {name}"),
                limit,
                long,
                3000.0,
            ));
            let bare = solver.with(plant.clone().without(part));
            let long = halved(3000.0, |length| {
                let there = solver.with(plant.clone().with_length(part, length));
                let lost = airline_length::share_lost(&there, &bare, part, values)?;
                Some(lost <= 0.15 && depth::holds_at(&there, values, values)?)
            });
            let limit = solver.longest(part, (values, values), Some((values, 0.15)), 3000.0);
            lengths += usize::from(hold_limit(
                &format!("{part:?} of {name}, rated"),
                limit,
                long,
                3000.0,
            ));
        }
    });
    assert!(depths > 60 && lengths > 120, "{depths} {lengths}");
}
