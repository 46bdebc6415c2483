//! How far a package goes: the deepest, the largest at that depth, the longest run for each bore.

use crate::assumptions::{End, Name, Values};
use crate::catalog::Figure;
use crate::claims::airline_length::{Corners, LONGEST, longest};
use crate::claims::criterion::opposite;
use crate::claims::depth::{deepest, holds_at};
use crate::claims::oversized::SIZES;
use crate::derive::corners::{greatest_pressure, least_flow, most_lost};
use crate::derive::{Corner, Pond, Solver};

use super::choose::{Asked, Unanswerable};
use super::duty;
use super::explain::Step;
use super::water::{self, Water};

/// A limit in SI at the unfavourable corner, at central values and at the favourable corner; nothing
/// where the compressor's curve ends before it is known.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// Every range at its worst.
    pub low: Option<f64>,
    /// Central values.
    pub central: Option<f64>,
    /// Every range at its best.
    pub high: Option<f64>,
    /// What binds at central values.
    pub binds: &'static str,
}

/// The limits of a package.
#[derive(Debug, Clone, PartialEq)]
pub struct Limits {
    /// Deepest diffuser, m.
    pub depth: Limit,
    /// Largest pond, m2, and the depth in m it is for.
    pub area: Option<(Limit, f64)>,
    /// Bore in m, and the longest run of it, m.
    pub runs: Vec<(f64, Limit)>,
    /// The claimed area, else the largest at central values, at that depth.
    pub water: Option<Water>,
    /// Equations behind the central limits, with their figures at that depth.
    pub steps: Vec<Step>,
}

/// The limits of what is asked about.
///
/// # Errors
/// The machine's greatest continuous pressure isn't known.
pub fn answer(asked: &Asked) -> Result<Limits, Unanswerable> {
    let solver = &asked.solver;
    if solver.plant.max_pressure().is_none() {
        let fact = "the compressor's greatest continuous pressure";
        return Err(Unanswerable::Missing(crate::derive::Missing::absent(
            fact, None,
        )));
    }
    let depth = depth(asked);
    // The area at the claimed depth, where air reaches it; else at the deepest.
    let reached = asked
        .claimed_depth
        .filter(|claimed| depth.central.is_none_or(|most| *claimed <= most));
    let at = reached.or(depth.central).filter(|at| *at > 0.0);
    let area = at.map(|at| (area(asked, at), at));
    let runs = bores(asked)
        .into_iter()
        .map(|bore| (bore, run(asked, bore, at)))
        .collect();
    let claims = asked.package.claims.area.known();
    let claimed = claims.and_then(|rows| rows.iter().map(Figure::high).reduce(f64::max));
    let largest = area.as_ref().and_then(|(area, _)| area.central);
    let there = at.map(|at| asked.at_depth(at));
    let water = there
        .as_ref()
        .zip(claimed.or(largest).filter(|area| *area > 0.0));
    let water = water.and_then(|(there, area)| water::of(there, area));
    let mut steps = there
        .and_then(|there| Some(duty::answer(&there).ok()?.steps))
        .unwrap_or_default();
    steps.extend(water.iter().flat_map(|water| water.steps.iter().cloned()));
    Ok(Limits {
        depth,
        area,
        runs,
        water,
        steps,
    })
}

fn ends(asked: &Asked, of: fn(Name) -> End, bad: bool) -> Values {
    asked
        .assumptions
        .ends(|name| if bad { of(name) } else { opposite(of(name)) })
}

fn depth(asked: &Asked) -> Limit {
    let solver = &asked.solver;
    let at = |bad: bool| {
        deepest(
            solver,
            &ends(asked, greatest_pressure, bad),
            &ends(asked, least_flow, bad),
        )
    };
    let central = asked.assumptions.central();
    let most = deepest(solver, &central, &central);
    Limit {
        low: at(true),
        central: most,
        high: at(false),
        binds: most.map_or("curve", |most| {
            let beyond = solver.with(solver.plant.clone().all_at_depth(most + 0.01));
            pressure_or_flow(&beyond, &central)
        }),
    }
}

/// Which of the two fails where one of them does.
fn pressure_or_flow(solver: &Solver, central: &Values) -> &'static str {
    let settled = solver.at(central);
    let over = settled.and_then(|settled| {
        let most = solver.plant.max_pressure()?;
        Some(settled.pressure()? > most)
    });
    if over == Some(true) {
        "pressure"
    } else {
        "flow"
    }
}

fn area(asked: &Asked, at: f64) -> Limit {
    let solver = asked
        .solver
        .with(asked.solver.plant.clone().all_at_depth(at));
    let basin = asked.catalog.site.basin();
    let capacities = |corner: Corner, values: &Values| {
        let settled = solver.corner(corner)?;
        let pond = Pond::of(&solver.plant, &settled.duty, basin)?;
        let mut all = vec![
            ("reach", pond.reach_area(values).value),
            (
                "turnover",
                pond.turnover_area(values[Name::TurnoversNeeded], values)
                    .value,
            ),
        ];
        if pond.mixing_applies() {
            all.push(("mixing", pond.mixing_area(values[Name::MixingAir])));
        }
        all.into_iter().min_by(|a, b| a.1.total_cmp(&b.1))
    };
    let end = |corner: Corner, end: End| capacities(corner, &asked.assumptions.ends(|_| end));
    let central = end(Corner::Central, End::Central);
    Limit {
        low: end(Corner::LeastFlow, End::Unfavourable).map(|least| least.1),
        central: central.map(|least| least.1),
        high: end(Corner::GreatestFlow, End::Favourable).map(|least| least.1),
        binds: central.map_or("curve", |least| least.0),
    }
}

/// The nominal bores, and those the package is laid with.
fn bores(asked: &Asked) -> Vec<f64> {
    let mut bores: Vec<f64> = SIZES.iter().map(|inches| inches * 0.0254).collect();
    let laid = asked
        .solver
        .plant
        .outlets
        .iter()
        .flat_map(|outlet| &outlet.lines);
    for line in laid {
        if !bores
            .iter()
            .any(|bore| (bore / line.bore - 1.0).abs() < 0.03)
        {
            bores.push(line.bore);
        }
    }
    bores.sort_by(f64::total_cmp);
    bores
}

/// The longest run of a bore at `depth`, m.
fn run(asked: &Asked, bore: f64, depth: Option<f64>) -> Limit {
    let plant = asked.solver.plant.clone().with_bore(bore);
    let plant = match depth {
        Some(depth) => plant.all_at_depth(depth),
        None => plant,
    };
    let solver = asked.solver.with(plant);
    let corners = |bad: bool| Corners {
        lost: ends(asked, most_lost, bad),
        pressure: ends(asked, greatest_pressure, bad),
        flow: ends(asked, least_flow, bad),
    };
    let central = asked.assumptions.central();
    let middle = Corners {
        lost: central.clone(),
        pressure: central.clone(),
        flow: central.clone(),
    };
    let most = longest(&solver, None, &middle, false);
    Limit {
        low: longest(&solver, None, &corners(true), false),
        central: most,
        high: longest(&solver, None, &corners(false), false),
        binds: most.map_or("curve", |most| {
            let beyond = solver.with(solver.plant.clone().with_run(most + 0.5));
            if most >= LONGEST {
                return "search";
            }
            match holds_at(&beyond, &central, &central) {
                Some(false) => pressure_or_flow(&beyond, &central),
                _ => "line-loss",
            }
        }),
    }
}
