//! Airline demanded wider than a run needs: what the buyer could do with the next smaller bore.

use crate::catalog::{Allow, Figure, Given, PackageOption};
use crate::derive::{Solver, Way};
use crate::physics::root;

use super::Ground;
use super::airline_length::{Limits, longest};
use crate::derive::plant::Lines;

/// The nominal sizes airline is sold in, in.
pub const SIZES: [f64; 6] = [0.25, 0.375, 0.5, 0.625, 0.75, 1.0];
/// How they are written.
const NAMES: [&str; 6] = ["1/4 in", "3/8 in", "1/2 in", "5/8 in", "3/4 in", "1 in"];
const INCH: f64 = 0.0254;

/// An entry of `allows` whose bore is wider than short runs need.
#[derive(Debug, Clone)]
pub struct Oversized<'a> {
    /// The option.
    pub option: &'a PackageOption,
    /// The entry.
    pub allow: &'a Allow,
    /// The bore that would do, m.
    pub smaller: f64,
    /// That bore by its name.
    pub name: &'static str,
    /// Longest run for which it does, m.
    pub up_to: f64,
    /// Share by which the wider one gains flow there.
    pub gain: f64,
    /// What a metre of the smaller costs less, and the currency, where both prices are known.
    pub saves: Option<(f64, String)>,
}

/// Every such entry of a package.
pub fn find<'a>(ground: &Ground<'a>) -> Vec<Oversized<'a>> {
    let mut found = Vec::new();
    for way in &ground.facts.ways {
        let Way::Allowed(option, allow) = way.way else {
            continue;
        };
        let Ok(solver) = &way.solver else { continue };
        let (Given::Known(size), Given::Known(up_to)) = (&allow.size, &allow.up_to) else {
            continue;
        };
        if !solver.plant.has_depth {
            continue;
        }
        let Some((smaller, name)) = next_smaller(size.si()) else {
            continue;
        };
        let allows = option.allows.known().map_or(&[][..], |allows| allows);
        let already = allows
            .iter()
            .filter_map(|other| other.size.known())
            .any(|other| alike(other.si(), smaller));
        if already {
            continue;
        }
        if let Some((length, gain)) = serves(ground, solver, size, smaller)
            && (length >= 10.0 || length >= up_to.si() / 4.0)
        {
            let saves = saving(ground, size.si(), smaller);
            found.push(Oversized {
                option,
                allow,
                smaller,
                name,
                up_to: length.min(up_to.si()),
                gain,
                saves,
            });
        }
    }
    found
}

fn same(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 0.03
}

/// Whether a buyer would take one for the other: 3/8 in and 10 mm are one size in two countries.
fn alike(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() < 0.1
}

/// The nominal size below `size`, in m: one that a buyer would see as smaller.
fn next_smaller(size: f64) -> Option<(f64, &'static str)> {
    SIZES
        .iter()
        .zip(NAMES)
        .rev()
        .map(|(inches, name)| (inches * INCH, name))
        .find(|&(other, _)| other < size && !alike(other, size))
}

/// The wider bore gains too little to matter, as a share of the flow.
const LITTLE: f64 = 0.1;

/// The longest run in m, to the centimetre below, for which the smaller bore is supported and the wider gains
/// less than a tenth, and that gain. Both grow with length.
fn serves(ground: &Ground, solver: &Solver, size: &Figure, smaller: f64) -> Option<(f64, f64)> {
    let of_bore = |bore: f64| solver.with(solver.plant.clone().with_bore(bore));
    let (wide, narrow) = (of_bore(size.si()), of_bore(smaller));
    let limits = Limits::rated(ground.assumptions, ground.rating.line_loss);
    let supported = longest(&narrow, Lines::Runs, &limits)?;
    let central = ground.assumptions.central();
    let gain = |length: f64| {
        let air = |solver: &Solver| solver.delivered_along(Lines::Runs, length, &central);
        let (wide, narrow) = (air(&wide)?, air(&narrow)?);
        (narrow > 0.0).then(|| wide / narrow - 1.0)
    };
    let far = gain(supported)?;
    if far < LITTLE {
        return Some((supported, far));
    }
    let over = |length| gain(length).map_or(f64::NAN, |gain| gain - LITTLE);
    let ends = ((0.0, over(0.0)), (supported, far - LITTLE));
    let limit = root::between(over, ends.0, ends.1, 1e-3).at;
    let short = (limit * 100.0).floor() / 100.0;
    (short > 0.0).then_some((short, gain(short)?))
}

/// What a metre of the smaller bore costs less, by the cheapest airline of either bore in the catalog.
fn saving(ground: &Ground, wide: f64, smaller: f64) -> Option<(f64, String)> {
    let price = |bore: f64| {
        ground
            .catalog
            .airlines
            .iter()
            .filter(|part| crate::derive::laying::bore(part).is_ok_and(|own| same(own, bore)))
            .filter_map(|part| {
                let price = part.price_per_length.known()?;
                Some((
                    price.si(),
                    price.quantity.unit().currency()?.code().to_string(),
                ))
            })
            .min_by(|a, b| a.0.total_cmp(&b.0))
    };
    let (wide, narrow) = (price(wide)?, price(smaller)?);
    (wide.1 == narrow.1 && wide.0 > narrow.0).then_some((wide.0 - narrow.0, wide.1))
}
