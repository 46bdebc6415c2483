//! Oxygen given to the water, and the share of it taken up.
//!
//! Both are held to the share of the air's oxygen taken up for each foot of depth: full-floor grids of
//! fine bubbles in clean water reach 2.7 %, and a lone small bubble in still water 4.6 %. What surface
//! reaeration adds is no merit of the bubbles, so oxygen alone never refutes an area.

use crate::catalog::Figure;
use crate::derive::{Corner, Missing};
use crate::physics::oxygen_transfer::OXYGEN_IN_AIR;
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Judged, Outcome, Sense};
use super::verdict::{Claim, Decision, Verdict};
use super::water::{beyond, solver_for};

/// A share for each metre of depth, from % for each foot.
const PER_FOOT: f64 = 0.01 / 0.3048;
/// Every pond layout reaches this.
const SURE: f64 = 1.0 * PER_FOOT;
/// Full-floor grids of fine bubbles in clean water reach this: the rating.
const RATED: f64 = 2.7 * PER_FOOT;
/// A small bubble in still water reaches this, and nothing more.
const MOST: f64 = 4.6 * PER_FOOT;

/// Judges claims of oxygen and of transfer efficiency.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let claims = &ground.facts.package.claims;
    for figure in claims.oxygen.known().map_or(&[][..], |rows| rows) {
        verdicts.push(one(ground, figure, Claim::Oxygen));
    }
    for figure in claims
        .transfer_efficiency
        .known()
        .map_or(&[][..], |rows| rows)
    {
        verdicts.push(one(ground, figure, Claim::TransferEfficiency));
    }
}

fn one(ground: &Ground, figure: &Figure, claim: Claim) -> Verdict {
    let mut verdict = Verdict::new(ground, claim, figure);
    verdict.si = figure.low();
    // What the claim comes to in the claim's own terms for each unit of share per metre.
    let scale = match (claim, figure.dimension()) {
        (Claim::TransferEfficiency, Dimension::SharePerLength) => Ok(1.0),
        (Claim::TransferEfficiency, _) => super::water::depth_of(ground, figure)
            .ok_or_else(|| Missing::absent("the depth", ground.facts.package.claims.at)),
        _ => oxygen_scale(ground, figure),
    };
    let scale = match scale {
        Ok(scale) => scale,
        Err(missing) => return verdict.without(missing),
    };
    if scale <= 0.0 {
        verdict.follows = Some(Claim::Depth);
    }
    let promised = figure.low();
    // More oxygen than the air carries is past any share for each metre; on a deep line that comes
    // first.
    let carried = match claim {
        Claim::Oxygen => scale_without_depth(ground, figure).unwrap_or(f64::INFINITY),
        _ if figure.dimension() == Dimension::Share => 1.0,
        _ => f64::INFINITY,
    };
    let at = |share: f64| (share * scale).min(carried);
    let outcome = if promised <= at(SURE) {
        Outcome::Supported
    } else if promised <= at(MOST) {
        Outcome::Undecided
    } else {
        Outcome::Contradicted
    };
    let judged = Judged {
        name: "transfer",
        says: "oxygen that bubbles can give",
        dimension: figure.dimension(),
        sense: Sense::AtLeast,
        outcome,
        needed: promised,
        low: Some(at(SURE)),
        central: Some(at(RATED)),
        high: Some(at(MOST)),
        holds_centrally: Some(promised <= at(RATED)),
        decided_by: None,
        weakest: Mark::FromMemory,
        breaches: Vec::new(),
    };
    verdict.outcome = outcome;
    verdict.weakest = Mark::FromMemory;
    verdict.rated = Some(at(RATED));
    verdict.within_rating = judged.holds_centrally;
    verdict.range = Some((at(SURE), at(MOST)));
    verdict.decision = Some(Decision {
        by: "transfer".into(),
        what: "oxygen taken up for each foot of depth".into(),
        from: true,
        needs: (scale > 0.0).then(|| promised / scale / PER_FOOT),
        unit: "%/ft".into(),
        mark: Mark::FromMemory,
    });
    verdict.criteria = vec![judged];
    verdict
}

/// Oxygen in kg/s in the air that reaches the diffusers, times their depth: what a share for each
/// metre is multiplied with. The way that gives most air speaks.
///
/// # Errors
/// The duty point isn't known.
fn oxygen_scale(ground: &Ground, figure: &Figure) -> Result<f64, Missing> {
    over_ways(ground, figure, |amount, depth| {
        amount * OXYGEN_IN_AIR * depth
    })
}

/// Oxygen in kg/s in the air that reaches the diffusers.
///
/// # Errors
/// The duty point isn't known.
fn scale_without_depth(ground: &Ground, figure: &Figure) -> Result<f64, Missing> {
    over_ways(ground, figure, |amount, _| amount * OXYGEN_IN_AIR)
}

fn over_ways(
    ground: &Ground,
    figure: &Figure,
    of: impl Fn(f64, f64) -> f64,
) -> Result<f64, Missing> {
    let mut best: Option<f64> = None;
    let mut missing = None;
    for way in &ground.facts.ways {
        let solver = match solver_for(ground, way, figure) {
            Ok(solver) => solver,
            Err(fact) => {
                missing.get_or_insert(fact);
                continue;
            }
        };
        let settled = solver.corner(Corner::GreatestFlow);
        let Some(settled) = settled.filter(|settled| settled.beyond().is_none()) else {
            missing.get_or_insert_with(beyond);
            continue;
        };
        let sum: f64 = settled
            .duty
            .outlets
            .iter()
            .map(|outlet| outlet.count * of(outlet.amount.value(), outlet.depth.value))
            .sum();
        best = Some(best.map_or(sum, |best| best.max(sum)));
    }
    best.ok_or_else(|| missing.unwrap_or_else(|| Missing::absent("an option", Some(figure.at))))
}
