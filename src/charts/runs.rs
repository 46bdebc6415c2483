//! The share of the flow that a run costs, by its length and bore.

use std::sync::Arc;

use crate::claims::Ground;
use crate::claims::airline_length::share_lost;
use crate::claims::oversized::SIZES;
use crate::derive::plant::Lines;
use crate::derive::{Corner, Solver};

use super::{Point, spread};

/// Lengths that are calculated.
const LENGTHS: u32 = 9;
/// m in an inch.
const INCH: f64 = 0.0254;

/// Flow lost against length. Points are (m, share of the flow).
#[derive(Debug, Clone, PartialEq)]
pub struct RunChart {
    /// Each bore in m with its line.
    pub lines: Vec<(f64, Vec<Point>)>,
    /// What may be lost, as a share.
    pub limit: f64,
    /// What is laid: bore in m, and where it lies on its own line.
    pub laid: Option<(f64, Point)>,
}

/// The lines of the nominal bores beside what is laid; nothing where nothing is laid.
pub(super) fn chart(ground: &Ground, solver: &Arc<Solver>) -> Option<RunChart> {
    let longest = solver
        .plant
        .outlets
        .iter()
        .max_by(|a, b| a.run_length().total_cmp(&b.run_length()))?;
    let length = longest.run_length();
    let bore = longest.lines.last().filter(|_| length > 0.0)?.bore;
    let values = Corner::Central.values(ground.assumptions);
    // Each plant without its lines is solved once.
    let of_bore = |bore: f64| {
        let plant = solver.plant.clone().with_bore(bore);
        let bare = solver.with(plant.clone().without(Lines::Runs));
        let values = &values;
        move |length: f64| {
            let laid = solver.with(plant.clone().with_run(length));
            share_lost(&laid, &bare, Lines::Runs, values)
        }
    };
    let most = (2.0 * length).max(30.0);
    // The laid bore, and of the nominal ones the two next to it on either side.
    let mut bores: Vec<f64> = SIZES.iter().map(|inches| inches * INCH).collect();
    bores.retain(|size| (size / bore - 1.0).abs() > 0.03);
    let above = bores.iter().filter(|size| **size > bore).count();
    let below = bores.len() - above;
    let mut bores: Vec<f64> = bores[below.saturating_sub(2)..(below + 2).min(bores.len())].to_vec();
    bores.push(bore);
    bores.sort_by(f64::total_cmp);
    let lines = bores.into_iter().map(|size| {
        let points = spread(0.0, most, LENGTHS);
        let share = of_bore(size);
        let points = points.filter_map(|at| Some((at, share(at)?)));
        (size, points.collect())
    });
    Some(RunChart {
        lines: lines.collect(),
        limit: ground.rating.line_loss / 100.0,
        laid: of_bore(bore)(length).map(|lost| (bore, (length, lost))),
    })
}
