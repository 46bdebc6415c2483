//! Which promises may be printed: those that hold or are within the rating, on which way to buy the package.

use crate::catalog::{Catalog, Claims, Figure, Given};
use crate::claims::{self, Claim, Grade, Verdict};
use crate::derive::{Derived, PackageFacts, Way};
use crate::text::Span;
use crate::units::show::{down_to_step, show_in, show_money, up_to_step};
use crate::units::{Dimension, math};

/// A promise that is printed.
#[derive(Debug)]
pub struct Promise<'c> {
    /// Which.
    pub claim: Claim,
    /// The figure.
    pub figure: &'c Figure,
    /// The weakest answer on the ways it is printed for; not judged for a term of sale.
    pub grade: Grade,
    /// The ways on which it isn't kept.
    pub but: Vec<Way<'c>>,
}

/// A promise that isn't printed.
#[derive(Debug, Clone, PartialEq)]
pub struct Refused {
    /// Which.
    pub claim: Claim,
    /// The option, where it is about one.
    pub option: Option<String>,
    /// As it is written.
    pub stated: String,
    /// Where.
    pub at: Span,
    /// Why.
    pub why: Why,
}

/// Why a promise isn't printed.
#[derive(Debug, Clone, PartialEq)]
pub enum Why {
    /// It is beyond the rating; what is within it.
    Beyond(Option<String>),
    /// No value in the ranges allows it; what is within the rating.
    Contradicted(Option<String>),
    /// A fact is missing.
    Missing(String),
    /// Nobody could tell, and why.
    Undecidable(&'static str),
    /// It may be printed, and every way to buy the package is refused.
    NoWay,
    /// Something else that it rests on fails: how a row says it.
    Waits(&'static str),
    /// It isn't known whether it is within the rating.
    Unrated,
}

/// What came of the promises of a package.
pub struct Judged<'c> {
    /// Ways whose lines may be printed.
    pub ways: Vec<Way<'c>>,
    /// The promises that may be.
    pub promises: Vec<Promise<'c>>,
    /// Those that may not.
    pub refused: Vec<Refused>,
}

/// Every kind of promise, in the order of a sheet.
fn rows(claims: &Claims) -> [(Claim, &Given<Vec<Figure>>); 16] {
    [
        (Claim::Depth, &claims.depth),
        (Claim::Area, &claims.area),
        (Claim::Volume, &claims.volume),
        (Claim::Flow, &claims.flow),
        (Claim::Turnover, &claims.turnover),
        (Claim::WaterMoved, &claims.water_moved),
        (Claim::Oxygen, &claims.oxygen),
        (Claim::OxygenUptake, &claims.oxygen_uptake),
        (Claim::TransferEfficiency, &claims.transfer_efficiency),
        (Claim::WinterOpening, &claims.winter_opening),
        (Claim::Power, &claims.power),
        (Claim::RunningCost, &claims.running_cost),
        (Claim::Sound, &claims.sound),
        (Claim::PackedMass, &claims.packed_mass),
        (Claim::ServiceInterval, &claims.service_interval),
        (Claim::Warranty, &claims.warranty),
    ]
}

/// Terms of sale: what is agreed, counted or weighed, and not calculated.
fn is_term(claim: Claim) -> bool {
    matches!(
        claim,
        Claim::Warranty | Claim::ServiceInterval | Claim::PackedMass
    )
}

fn may_be_printed(verdict: &Verdict) -> bool {
    matches!(verdict.grade(), Grade::Holds | Grade::WithinRating)
}

/// Judges every promise of the one package in `derived` on each way by itself that is `wanted`.
pub fn judge<'c>(
    catalog: &'c Catalog,
    mut derived: Derived<'c>,
    wanted: impl Fn(&Way<'c>) -> bool,
) -> Judged<'c> {
    let mut judged = Judged {
        ways: Vec::new(),
        promises: Vec::new(),
        refused: Vec::new(),
    };
    let Some(facts) = derived.packages.pop() else {
        return judged;
    };
    let package = facts.package;
    let alone = by_way(facts, wanted);
    let mut kept: Vec<(Option<Way>, Vec<Verdict>)> = Vec::new();
    let mut left: Vec<Vec<Verdict>> = Vec::new();
    for facts in &alone {
        let verdicts = claims::judge(catalog, &derived, facts);
        let lines = verdicts
            .iter()
            .filter(|one| one.claim == Claim::AirlineLength);
        let before = judged.refused.len();
        judged
            .refused
            .extend(lines.filter(|one| !may_be_printed(one)).map(refusal));
        let way = facts.ways.first().map(|way| way.way);
        match judged.refused.len() == before {
            true => kept.push((way, verdicts)),
            false => left.push(verdicts),
        }
    }
    judged.ways = kept.iter().filter_map(|(way, _)| *way).collect();
    for (claim, figures) in rows(&package.claims) {
        for figure in figures.known().into_iter().flatten() {
            one(claim, figure, &kept, &left, &mut judged);
        }
    }
    // What can't be read has an answer too: that.
    let all = kept.iter().map(|(_, verdicts)| verdicts).chain(&left);
    if let Some(first) = all.max_by_key(|verdicts| verdicts.len()) {
        let unread =
            |verdict: &&Verdict| package.claims.unread.iter().any(|one| one.at == verdict.at);
        judged
            .refused
            .extend(first.iter().filter(unread).map(refusal));
    }
    judged.refused.sort_by_key(|refused| refused.at);
    judged
}

/// The facts of a package for each wanted way alone; without any where it has none.
fn by_way<'c>(facts: PackageFacts<'c>, wanted: impl Fn(&Way<'c>) -> bool) -> Vec<PackageFacts<'c>> {
    let of = |ways| PackageFacts {
        package: facts.package,
        claimed_depth: facts.claimed_depth,
        ways,
        system: facts.system,
        assumptions: facts.assumptions.clone(),
    };
    if facts.ways.is_empty() {
        return vec![of(Vec::new())];
    }
    let ways = facts.ways.into_iter();
    ways.filter(|way| wanted(&way.way))
        .map(|way| of(vec![way]))
        .collect()
}

/// Sorts one promise: where no way keeps it that may be printed, it is refused with the best answer there is.
fn one<'c>(
    claim: Claim,
    figure: &'c Figure,
    kept: &[(Option<Way<'c>>, Vec<Verdict>)],
    left: &[Vec<Verdict>],
    judged: &mut Judged<'c>,
) {
    let of = |verdicts: &[Verdict]| {
        let mut own = verdicts.iter();
        own.find(|one| one.claim == claim && one.at == figure.at)
            .cloned()
    };
    let answers: Vec<(Option<Way>, Verdict)> = kept
        .iter()
        .filter_map(|(way, verdicts)| Some((*way, of(verdicts)?)))
        .collect();
    if is_term(claim) {
        judged.promises.push(Promise {
            claim,
            figure,
            grade: Grade::NotJudged,
            but: Vec::new(),
        });
        return;
    }
    let good = answers
        .iter()
        .filter(|(_, verdict)| may_be_printed(verdict));
    let Some(grade) = good.map(|(_, verdict)| verdict.grade()).max() else {
        let others = left.iter().filter_map(|verdicts| of(verdicts));
        let all = answers
            .into_iter()
            .map(|(_, verdict)| verdict)
            .chain(others);
        judged
            .refused
            .extend(all.reduce(better).as_ref().map(refusal));
        return;
    };
    let but = answers
        .iter()
        .filter(|(_, verdict)| !may_be_printed(verdict));
    judged.promises.push(Promise {
        claim,
        figure,
        grade,
        but: but.filter_map(|(way, _)| *way).collect(),
    });
}

/// Of two ways the one that comes nearer to a promise.
fn better(one: Verdict, other: Verdict) -> Verdict {
    let nearer = |a: f64, b: f64| match other.claim.is_of_the_machine() {
        true => b < a,
        false => b > a,
    };
    let is_nearer = one
        .rated
        .zip(other.rated)
        .is_some_and(|(a, b)| nearer(a, b));
    match other.grade() < one.grade() || other.grade() == one.grade() && is_nearer {
        true => other,
        false => one,
    }
}

fn refusal(verdict: &Verdict) -> Refused {
    let missing = || match &verdict.missing {
        Some(missing) => match missing.fails {
            Some(fails) => Why::Waits(fails),
            None => Why::Missing(missing.fact.to_string()),
        },
        None => Why::Unrated,
    };
    Refused {
        claim: verdict.claim,
        option: verdict.option.clone(),
        stated: verdict.stated.clone(),
        at: verdict.at,
        why: match (verdict.grade(), verdict.unjudged) {
            (_, Some(why)) => Why::Undecidable(why),
            (Grade::Contradicted, _) => Why::Contradicted(within(verdict)),
            (Grade::BeyondRating, _) => Why::Beyond(within(verdict)),
            (Grade::Holds | Grade::WithinRating, _) => Why::NoWay,
            _ => missing(),
        },
    }
}

/// What is within the rating, in the unit of the promise, rounded to the safe side.
fn within(verdict: &Verdict) -> Option<String> {
    let rated = verdict
        .rated
        .filter(|rated| rated.is_finite() && *rated > 0.0)?;
    let unit = verdict.unit;
    let value = unit.from_si(rated);
    let step = match (unit.dimension(), unit.currency()) {
        (Dimension::SoundLevel | Dimension::WeightedSoundLevel, _) => 1.0,
        (_, Some(currency)) => math::powi(10.0, -i32::from(currency.exponent().unwrap_or(2))),
        _ => math::powi(
            10.0,
            math::log10(value.abs().max(1e-300)).floor() as i32 - 2,
        ),
    };
    let value = match verdict.claim.is_of_the_machine() {
        true => up_to_step(value, step),
        false => down_to_step(value, step),
    };
    let si = unit.to_si(value);
    Some(match unit.dimension().is_money() {
        true => show_money(unit, si),
        false => show_in(unit, si, 3),
    })
}
