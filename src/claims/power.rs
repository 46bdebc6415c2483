//! What power a package takes: the sum over its compressors and its fan.

use crate::catalog::Figure;
use crate::derive::Missing;
use crate::units::Dimension;

use super::Ground;
use super::criterion::{Criterion, Measured, Sense};
use super::verdict::{Claim, Verdict};

/// Electrical power of the package in W: each compressor's upper figure, and the fan.
///
/// # Errors
/// The part whose power isn't known.
pub fn sum(ground: &Ground) -> Result<f64, Missing> {
    let package = ground.facts.package;
    let way = ground.facts.ways.first().map(|way| way.way);
    let uses = match way {
        Some(way) => way.compressors(package),
        None => &package.compressor,
    };
    let uses = uses
        .known()
        .ok_or_else(|| Missing::unusable("the compressor", Some(package.entry.header)))?;
    let mut watts = 0.0;
    for one in uses {
        let fact = || format!("the power of compressor {}", one.part.id);
        let part = ground
            .catalog
            .compressors
            .get(&one.part.id)
            .ok_or_else(|| Missing::unusable(fact(), Some(one.part.at)))?;
        let power = part
            .supply
            .power
            .known()
            .ok_or_else(|| Missing::unusable(fact(), Some(part.entry.header)))?;
        watts += power.high() * f64::from(one.count);
    }
    let cabinet = way.and_then(|way| way.cabinet_part(ground.catalog, package));
    // A cabinet that can't be found may have a fan that takes watts too.
    if let (Some(named), None) = (way.and_then(|way| way.cabinet(package).known()), cabinet) {
        let fact = format!("the cabinet {}", named.part.id);
        return Err(Missing::unusable(fact, Some(named.part.at)));
    }
    let fan = cabinet
        .and_then(|cabinet| cabinet.fan_power.known())
        .map_or(0.0, Figure::high);
    Ok(watts + fan)
}

/// Judges every claimed power: it can't be less than what the parts take.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .power
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        let mut verdict = Verdict::new(ground, Claim::Power, figure);
        let watts = match sum(ground) {
            Ok(watts) => watts,
            Err(missing) => {
                verdicts.push(verdict.without(missing));
                continue;
            }
        };
        let most = figure.quantity.rounding().1;
        let criterion = Criterion {
            name: "power",
            says: "power of the parts together",
            dimension: Dimension::Power,
            sense: Sense::AtMost,
            bad: |_| crate::assumptions::End::Unfavourable,
            turns: &[],
            depends: Vec::new(),
            measure: Box::new(move |_| Measured {
                value: Some(watts),
                needed: most,
                ..Measured::default()
            }),
        };
        verdict.judge_by_one(ground.assumptions, vec![criterion]);
        verdicts.push(verdict);
    }
}
