//! Depth against area: where a claim would be supported, where contradicted, and where the claims lie.

use crate::claims::area::{Bounds, bounds};
use crate::claims::depth::{deepest, solver_at};
use crate::claims::{Claim, Ground, Outcome, Verdict};
use crate::derive::WayFacts;
use crate::derive::pond::Setting;

use super::{Point, spread};

/// Depths that are calculated.
const DEPTHS: u32 = 11;
/// The shallowest of them, m.
const SHALLOWEST: f64 = 0.5;

/// Depth against area. Points are (m, m2).
#[derive(Debug, Clone, PartialEq)]
pub struct AreaMap {
    /// Up to here an area is supported.
    pub supported: Vec<Point>,
    /// What is rated.
    pub rated: Vec<Point>,
    /// Beyond this an area is contradicted.
    pub contradicted: Vec<Point>,
    /// Claims, each with its verdict.
    pub claims: Vec<(Point, Outcome)>,
}

/// The map of a package bought in one way; nothing where no area is claimed at a known depth.
pub(super) fn map(ground: &Ground, way: &WayFacts, verdicts: &[Verdict]) -> Option<AreaMap> {
    let rows = ground.facts.package.claims.area.known()?;
    let mut claims = Vec::new();
    for figure in rows {
        let own = figure.conditions.depth.as_ref().map(|depth| depth.high());
        let Some(depth) = own.or(ground.facts.claimed_depth) else {
            continue;
        };
        let verdict = verdicts
            .iter()
            .find(|one| one.claim == Claim::Area && one.at == figure.at);
        let area = figure.high() * ground.times(figure);
        claims.extend(verdict.map(|verdict| ((depth, area), verdict.outcome)));
    }
    let claimed = claims.iter().map(|claim| claim.0.0).reduce(f64::max)?;
    let solver = way.solver.as_ref().ok()?;
    let central = ground.assumptions.central();
    let reached = deepest(solver, &central, &central).unwrap_or(claimed);
    let most = reached.max(claimed) * 1.15;
    let mut map = AreaMap {
        supported: Vec::new(),
        rated: Vec::new(),
        contradicted: Vec::new(),
        claims,
    };
    let mut depths: Vec<f64> = spread(SHALLOWEST.min(most / 2.0), most, DEPTHS).collect();
    depths.extend(map.claims.iter().map(|claim| claim.0.0));
    depths.sort_by(f64::total_cmp);
    depths.dedup();
    let setting = Setting::of(ground.catalog, ground.facts.package, rows.first());
    for depth in depths {
        let Ok(solver) = solver_at(way, depth) else {
            continue;
        };
        let Bounds {
            supported,
            rated,
            contradicted,
            ..
        } = bounds(&solver, &ground.basis(), setting);
        map.supported.extend(supported.map(|area| (depth, area)));
        map.rated.extend(rated.map(|area| (depth, area)));
        map.contradicted
            .extend(contradicted.map(|area| (depth, area)));
    }
    Some(map)
}
