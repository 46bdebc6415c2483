//! How far a package goes: the deepest, the largest at that depth, the longest run for each bore.

use crate::assumptions::Values;
use crate::catalog::Figure;
use crate::claims::airline_length::{LONGEST, Limits as LineLimits, bound, longest};
use crate::claims::depth::capacities;
use crate::claims::oversized::SIZES;
use crate::claims::{area, basis};
use crate::derive::Solver;
use crate::derive::plant::Lines;
use crate::derive::pond::Setting;

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
    /// What is rated.
    pub rated: Option<f64>,
    /// What limits it at central values.
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
        .asked_depth
        .or(asked.claimed_depth)
        .filter(|claimed| depth.central.is_none_or(|most| *claimed <= most));
    let at = reached.or(depth.central).filter(|at| *at > 0.0);
    // Where the claim is reached everything lies as it is judged.
    let there = at.map(|at| match reached {
        Some(_) if asked.asked_depth.is_none() => asked.for_depth(at),
        _ => asked.at_depth(at),
    });
    let area = there.as_ref().map(area).zip(at);
    let runs = bores(asked)
        .into_iter()
        .map(|bore| (bore, run(there.as_ref().unwrap_or(asked), bore)))
        .collect();
    let claims = asked.package.claims.area.known();
    let claimed = claims.and_then(|rows| rows.iter().map(Figure::high).reduce(f64::max));
    let largest = area.as_ref().and_then(|(area, _)| area.central);
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

/// The deepest that every diffuser may lie.
pub(super) fn depth(asked: &Asked) -> Limit {
    let solver = &asked.solver;
    let central = asked.assumptions.central();
    let (low, most, high) = capacities(solver);
    Limit {
        low,
        central: most,
        high,
        rated: most,
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

/// The largest pond, as it is laid.
pub(super) fn area(asked: &Asked) -> Limit {
    let claim = asked
        .package
        .claims
        .area
        .known()
        .and_then(|rows| rows.first());
    let setting = Setting::of(asked.catalog, asked.package, claim);
    let bounds = area::bounds(
        &asked.solver,
        &basis(&asked.assumptions, &asked.rating),
        setting,
    );
    Limit {
        low: bounds.supported,
        central: bounds.central,
        high: bounds.contradicted,
        rated: bounds.rated,
        binds: bounds.binds,
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

/// The longest run of a bore in m, as it is laid.
fn run(asked: &Asked, bore: f64) -> Limit {
    let solver = asked
        .solver
        .with(asked.solver.plant.clone().with_bore(bore));
    let central = asked.assumptions.central();
    let at_centre = |loss: Option<f64>| {
        let limits = LineLimits {
            pressure: central.clone(),
            flow: central.clone(),
            loss: loss.map(|share| (central.clone(), share)),
        };
        longest(&solver, Lines::Runs, &limits)
    };
    let most = at_centre(None);
    Limit {
        low: bound(&solver, Lines::Runs, &asked.assumptions, true),
        central: most,
        high: bound(&solver, Lines::Runs, &asked.assumptions, false),
        rated: at_centre(Some(asked.rating.line_loss / 100.0)),
        binds: most.map_or("curve", |most| {
            if most >= LONGEST {
                return "search";
            }
            let beyond = solver.with(solver.plant.clone().with_run(most + 0.5));
            pressure_or_flow(&beyond, &central)
        }),
    }
}
