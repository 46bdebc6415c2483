//! Oxygen given to the water, and the share of it taken up.
//!
//! Both are held to the share of the air's oxygen taken up for each foot of depth: full-floor grids of
//! fine bubbles in clean water reach 2.7 %, and a lone small bubble in still water 4.6 %. What surface
//! reaeration adds is no merit of the bubbles, so oxygen alone never refutes an area.

use crate::catalog::Figure;
use crate::derive::{Corner, Missing};
use crate::finding::{Evidence, Value};
use crate::physics::oxygen_transfer::OXYGEN_IN_AIR;
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Judged, Outcome, Sense};
use super::verdict::{Claim, Decision, Verdict};
use super::water::{beyond, solver_for};

/// A share for each metre of depth, from % for each foot.
pub const PER_FOOT: f64 = 0.01 / 0.3048;
/// Every pond layout reaches this, a share for each metre of depth.
const SURE: f64 = 1.0 * PER_FOOT;
/// Full-floor grids of fine bubbles in clean water reach this, a share for each metre of depth: the
/// rating. EPA/625/1-89/023, tables of full-floor fine-pore grids, from memory.
pub const RATED: f64 = 2.7 * PER_FOOT;
/// A 2 mm bubble rising through still water reaches this, a share for each metre of depth, and nothing
/// more: [`crate::physics::bubble_transfer`] with the water at rest.
pub const MOST: f64 = 4.6 * PER_FOOT;

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

/// What a share for each metre is multiplied with to come to the claim's own terms, at the least air the
/// ranges allow, at their centre and at the most.
struct Scale {
    least: f64,
    central: f64,
    most: f64,
    /// More than this is never given, whatever the share: all the oxygen there is.
    carried: f64,
}

/// The name of the evidence that says how much oxygen there is.
pub const CARRIED: &str = "oxygen in the air that reaches the water";

fn one(ground: &Ground, figure: &Figure, claim: Claim) -> Verdict {
    let mut verdict = Verdict::new(ground, claim, figure);
    let promised = figure.low();
    verdict.si = promised;
    let scale = match claim {
        Claim::TransferEfficiency => efficiency_scale(ground, figure),
        _ => oxygen_scale(ground, figure),
    };
    let scale = match scale {
        Ok(scale) => scale,
        Err(missing) => return verdict.without(missing),
    };
    if scale.most <= 0.0 && ground.facts.package.claims.depth.is_there() {
        verdict.follows = Some(Claim::Depth);
    }
    if claim == Claim::Oxygen {
        verdict.evidence.push(Evidence::derived(
            CARRIED,
            Value::Quantity(scale.carried, Dimension::MassRate),
            "duty point at its most air, and 23.14 % of oxygen by mass in dry air",
            Mark::Published,
        ));
    }
    let least = (SURE * scale.least).min(scale.carried);
    let rated = (RATED * scale.central).min(scale.carried);
    let most = (MOST * scale.most).min(scale.carried);
    let outcome = if promised <= least {
        Outcome::Supported
    } else if promised <= most {
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
        low: Some(least),
        central: Some(rated),
        high: Some(most),
        holds_centrally: Some(promised <= rated),
        decided_by: None,
        weakest: Mark::FromMemory,
        breaches: Vec::new(),
        depends: Vec::new(),
    };
    verdict.outcome = outcome;
    verdict.weakest = Mark::FromMemory;
    verdict.rated = Some(rated);
    verdict.within_rating = judged.holds_centrally;
    verdict.range = Some((least, most));
    // A contradicted claim is told at the most air there can be.
    let of = if outcome == Outcome::Contradicted {
        scale.most
    } else {
        scale.central
    };
    verdict.decision = Some(Decision {
        by: "transfer".into(),
        what: "oxygen taken up for each foot of depth".into(),
        from: true,
        needs: (of > 0.0).then(|| promised / of / PER_FOOT),
        unit: "%/ft".into(),
        mark: Mark::FromMemory,
    });
    verdict.criteria = vec![judged];
    verdict
}

/// A share for each foot or metre is in its own terms already; a share of the whole is that over the
/// depth, and no more than everything.
///
/// # Errors
/// The depth isn't known.
fn efficiency_scale(ground: &Ground, figure: &Figure) -> Result<Scale, Missing> {
    let (depth, carried) = if figure.dimension() == Dimension::SharePerLength {
        (1.0, f64::INFINITY)
    } else {
        let depth = super::water::depth_of(ground, figure);
        (depth.ok_or_else(|| ground.no_depth())?, 1.0)
    };
    Ok(Scale {
        least: depth,
        central: depth,
        most: depth,
        carried,
    })
}

/// Oxygen in kg/s in the air that reaches the diffusers, times their depth. The way that gives most
/// speaks.
///
/// # Errors
/// The duty point isn't known.
fn oxygen_scale(ground: &Ground, figure: &Figure) -> Result<Scale, Missing> {
    let each = ground.times(figure);
    let at = |corner: Corner, of: fn(f64, f64) -> f64| {
        Ok(best_way(ground, figure, corner, of)? * OXYGEN_IN_AIR / each)
    };
    let by_depth: fn(f64, f64) -> f64 = |amount, depth| amount * depth;
    Ok(Scale {
        least: at(Corner::LeastFlow, by_depth)?,
        central: at(Corner::Central, by_depth)?,
        most: at(Corner::GreatestFlow, by_depth)?,
        carried: at(Corner::GreatestFlow, |amount, _| amount)?,
    })
}

/// The sum over a way's diffusers, by their air in kg/s and their depth in m, of the way that gives
/// most.
///
/// # Errors
/// The duty point isn't known.
fn best_way(
    ground: &Ground,
    figure: &Figure,
    corner: Corner,
    of: fn(f64, f64) -> f64,
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
        let settled = solver.corner(corner);
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
