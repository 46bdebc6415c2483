//! What comes of a claim: its criteria over every way to buy the package.

use crate::catalog::{Figure, Put};
use crate::derive::{Missing, Way, WayFacts, supply};
use crate::finding::Evidence;
use crate::physics::Breach;
use crate::text::Span;
use crate::units::show::show_written;
use crate::units::{Dimension, Mark, System, Unit};

use super::Ground;
use super::criterion::{Criterion, Judged, Outcome, Sense};

/// A kind of claim.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
#[allow(missing_docs, reason = "the claims of those names")]
pub enum Claim {
    Depth,
    Area,
    Flow,
    Power,
    Volume,
    AirlineLength,
    RunningCost,
    Sound,
    Turnover,
    Oxygen,
    OxygenUptake,
    TransferEfficiency,
    WaterMoved,
    WinterOpening,
    Warranty,
    ServiceInterval,
    PackedMass,
}

impl Claim {
    /// Whether no line has a part in it.
    pub fn is_of_the_machine(self) -> bool {
        matches!(self, Claim::Power | Claim::RunningCost | Claim::Sound)
    }

    /// Its name in reports.
    pub fn as_str(self) -> &'static str {
        match self {
            Claim::Depth => "depth",
            Claim::Area => "area",
            Claim::Flow => "flow",
            Claim::Power => "power",
            Claim::Volume => "volume",
            Claim::AirlineLength => "airline-length",
            Claim::RunningCost => "running-cost",
            Claim::Sound => "sound",
            Claim::Turnover => "turnover",
            Claim::Oxygen => "oxygen",
            Claim::OxygenUptake => "oxygen-uptake",
            Claim::TransferEfficiency => "transfer-efficiency",
            Claim::WaterMoved => "water-moved",
            Claim::WinterOpening => "winter-opening",
            Claim::Warranty => "warranty",
            Claim::ServiceInterval => "service-interval",
            Claim::PackedMass => "packed-mass",
        }
    }
}

/// What decides a verdict, in words and numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct Decision {
    /// The range, or the fact, that decides.
    pub by: String,
    /// What it is, in half a sentence.
    pub what: String,
    /// Whether the claim holds from the value on, and not up to it.
    pub from: bool,
    /// The value at which the claim would just hold.
    pub needs: Option<f64>,
    /// Unit of that value.
    pub unit: String,
    /// How the bound is known.
    pub mark: Mark,
}

impl Decision {
    /// The value at which the claim would just hold, in the reader's units.
    pub fn needed(&self, system: System) -> Option<String> {
        self.needs
            .map(|needs| show_written(needs, &self.unit, system))
    }
}

/// What one way to buy a package makes of a claim.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WayOutcome {
    /// As a report calls it.
    pub way: String,
    /// The option whose airline comes with it; nothing where the buyer fits his own.
    pub supplied: Option<String>,
    /// The verdict.
    pub outcome: Outcome,
}

/// What remains after a season, at central values of everything but the wear: at its most, central and at its
/// least.
#[derive(Debug, Clone, PartialEq)]
pub struct InService {
    /// Greatest depth, m.
    pub depth: [Option<f64>; 3],
    /// Free air at the claimed depth, m3/s.
    pub flow: [Option<f64>; 3],
    /// Whether the promise still holds with usual wear; nothing where that isn't known.
    pub holds: Option<bool>,
}

/// The verdict on one claim.
#[derive(Debug, Clone)]
pub struct Verdict {
    /// ID of the package.
    pub package: String,
    /// Its name for people.
    pub title: Option<String>,
    /// The option it is about, where it is about one.
    pub option: Option<String>,
    /// The place of the way to buy the package that it is judged by, the best, among the package's.
    pub way: Option<usize>,
    /// Which claim.
    pub claim: Claim,
    /// The verdict.
    pub outcome: Outcome,
    /// The claim as it is written.
    pub stated: String,
    /// The claim in SI: the end of a range that promises most; no number where it can't be read.
    pub si: f64,
    /// Dimension of it.
    pub dimension: Dimension,
    /// Currency of it, for a cost.
    pub currency: Option<String>,
    /// Where it stands.
    pub at: Span,
    /// The unit it is written in.
    pub unit: Unit,
    /// The custom that unit follows.
    pub system: System,
    /// What is rated under the declared basis, in the claim's dimension.
    pub rated: Option<f64>,
    /// Whether the claim lies within that.
    pub within_rating: Option<bool>,
    /// What the physics allows, at the unfavourable and favourable corner, in the claim's dimension.
    pub range: Option<(f64, f64)>,
    /// The criteria of the best way, the deciding one first.
    pub criteria: Vec<Judged>,
    /// What decides.
    pub decision: Option<Decision>,
    /// The weakest mark it rests on.
    pub weakest: Mark,
    /// Whether it is contradicted only by a hair of judgement.
    pub by_a_hair: bool,
    /// The fact that keeps it from being judged.
    pub missing: Option<Missing>,
    /// The value in SI it was judged at, where that isn't the stated one but what its last digit leaves open
    /// in its favour.
    pub read_as: Option<f64>,
    /// Why nobody judges it, where nobody does.
    pub unjudged: Option<&'static str>,
    /// What it rests on.
    pub evidence: Vec<Evidence>,
    /// Each way to buy the package and its own verdict, where there are several.
    pub ways: Vec<WayOutcome>,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
    /// Size of the airline, for its length.
    pub size: Option<f64>,
    /// What remains after a season, for a depth.
    pub in_service: Option<InService>,
}

impl Verdict {
    /// A verdict on `figure` that says nothing yet.
    pub fn new(ground: &Ground, claim: Claim, figure: &Figure) -> Verdict {
        let entry = &ground.facts.package.entry;
        let system = System::of(figure.quantity.unit()).unwrap_or(ground.facts.system);
        Verdict {
            package: entry.id.clone(),
            title: entry.title.clone(),
            option: None,
            way: None,
            claim,
            outcome: Outcome::NotEvaluated,
            stated: stated(figure),
            si: figure.high(),
            dimension: figure.dimension(),
            currency: figure
                .quantity
                .unit()
                .currency()
                .map(|currency| currency.code().to_string()),
            at: figure.at,
            unit: figure.quantity.unit(),
            system,
            rated: None,
            within_rating: None,
            range: None,
            criteria: Vec::new(),
            decision: None,
            weakest: Mark::Stated,
            by_a_hair: false,
            missing: None,
            read_as: None,
            unjudged: None,
            evidence: Vec::new(),
            ways: Vec::new(),
            breaches: Vec::new(),
            size: None,
            in_service: None,
        }
    }

    /// The same, not judged for want of a fact.
    #[must_use]
    pub fn without(mut self, missing: Missing) -> Verdict {
        self.outcome = Outcome::NotEvaluated;
        self.missing = Some(missing);
        self
    }

    /// The same for a promise that states no depth of its own, where no air reaches the claimed one: the depth
    /// is at fault, and says so.
    #[must_use]
    pub fn waits_for_depth(self) -> Verdict {
        self.without(Missing::failing(
            "enough air at the claimed depth",
            "the claimed depth isn't reached",
        ))
    }

    /// The criterion that decides.
    pub fn deciding(&self) -> Option<&Judged> {
        self.criteria.first()
    }

    /// Takes what `judged` says: the worst criterion decides, and is the first of the list.
    pub fn settle(&mut self, ground: &Ground, criteria: &[Criterion], mut judged: Vec<Judged>) {
        let assumptions = ground.assumptions;
        let worst = judged.iter().enumerate().max_by(|a, b| {
            severity(a.1)
                .partial_cmp(&severity(b.1))
                .unwrap_or(std::cmp::Ordering::Equal)
        });
        let Some((place, _)) = worst else { return };
        // What is refuted needs its decider: it may hang on a judgement.
        if ground.with_evidence || judged[place].outcome == Outcome::Contradicted {
            criteria[place].decide(assumptions, &ground.basis(), &mut judged[place]);
        }
        self.outcome = judged[place].outcome;
        self.weakest = judged[place].weakest;
        self.decision = judged[place].decided_by.map(|decider| {
            let range = &assumptions[decider.name];
            Decision {
                by: decider.name.to_string(),
                what: range.what.clone(),
                from: range.more_favours == (decider.bad == crate::assumptions::End::Unfavourable),
                needs: decider.needs,
                unit: range.unit.clone(),
                mark: decider.mark,
            }
        });
        self.by_a_hair = is_by_a_hair(ground, criteria, &mut judged);
        if self.by_a_hair {
            self.outcome = Outcome::Undecided;
        }
        self.breaches = judged
            .iter()
            .flat_map(|one| one.breaches.iter().copied())
            .collect();
        self.breaches.dedup_by(|a, b| a.range == b.range);
        judged.swap(0, place);
        self.criteria = judged;
    }

    /// Settles a claim by one criterion in the claim's own terms: its central value is what is rated,
    /// its corners are what the physics allows.
    pub fn settle_by_one(&mut self, ground: &Ground, criteria: &[Criterion], judged: Vec<Judged>) {
        self.settle(ground, criteria, judged);
        if let Some(one) = self.deciding() {
            let (rated, within) = (one.central, one.holds_centrally);
            // Ranges begin with the lesser; of what is allowed at most, the unfavourable corner is the greater.
            let range = match one.sense {
                Sense::AtLeast => one.low.zip(one.high),
                Sense::AtMost => one.high.zip(one.low),
            };
            self.rated = rated;
            self.within_rating = within;
            self.range = range;
        }
    }

    /// Judges the criterion and settles the claim by it.
    pub fn judge_by_one(&mut self, ground: &Ground, criteria: Vec<Criterion>) {
        let judged = criteria
            .iter()
            .map(|one| one.judge(ground.assumptions))
            .collect();
        self.settle_by_one(ground, &criteria, judged);
    }
}

/// Of what is said to be about so much, so large a share is in its favour too: judgement.
const ABOUT: f64 = 0.02;

/// Of a figure that is rated, or put as a bound, no larger share is: judgement.
const FINE: f64 = 0.05;

/// A promise of `promised` with its last digit in its favour: 2.3 m is also what 2.25 m is rounded to.
pub(super) fn lenient(figure: &Figure, promised: f64, sense: Sense) -> f64 {
    // Of a range each end has digits of its own.
    let (low, high) = figure.quantity.rounding();
    let digit = if promised <= figure.low() {
        figure.low() - low
    } else {
        high - figure.high()
    };
    let half = match (figure.put, sense) {
        (Put::About, _) => digit.max(ABOUT * promised.abs()),
        // "Less than 1 USD" isn't what 1.40 USD is rounded to.
        (Put::AtMost, Sense::AtMost) | (Put::AtLeast, Sense::AtLeast) => {
            digit.min(FINE * promised.abs())
        }
        _ => digit,
    };
    match sense {
        Sense::AtLeast => promised - half,
        Sense::AtMost => promised + half,
    }
}

/// The same as a rating takes it, which is a figure too: no more than a twentieth off, for `1 acre` isn't within
/// a rating of half an acre.
pub fn as_rated(figure: &Figure, promised: f64, sense: Sense) -> f64 {
    let read = lenient(figure, promised, sense);
    if (read / promised - 1.0).abs() <= FINE {
        read
    } else {
        promised
    }
}

/// Judges a promise of `promised` as it is stated, and where it fails so with its last digit in its favour.
pub fn in_favour(
    figure: &Figure,
    promised: f64,
    sense: Sense,
    judge: impl Fn(f64) -> Verdict,
) -> Verdict {
    let stated = judge(promised);
    let read_as = lenient(figure, promised, sense);
    let settled = matches!(stated.outcome, Outcome::Supported | Outcome::NotEvaluated)
        && stated.within_rating != Some(false);
    if settled || read_as == promised || read_as <= 0.0 {
        return stated;
    }
    let read = judge(read_as);
    let within_rating = match read.within_rating {
        Some(true) if as_rated(figure, promised, sense) == read_as => Some(true),
        _ => stated.within_rating,
    };
    let better = rank(read.outcome) < rank(stated.outcome);
    Verdict {
        within_rating,
        read_as: better.then_some(read_as),
        ..if better { read } else { stated }
    }
}

/// Judges a promise of at least so much that may be a range: its low end is what is promised at the worst, and its
/// high end must be possible at all. Where it isn't, that refutes the promise.
pub fn at_least(figure: &Figure, judge: impl Fn(f64) -> Verdict) -> Verdict {
    let low = in_favour(figure, figure.low(), Sense::AtLeast, &judge);
    if !figure.quantity.is_range() || low.outcome == Outcome::Contradicted {
        return low;
    }
    let high = in_favour(figure, figure.high(), Sense::AtLeast, &judge);
    if high.outcome == Outcome::Contradicted {
        Verdict {
            si: figure.high(),
            ..high
        }
    } else {
        low
    }
}

/// How a claim is written, with its condition.
fn stated(figure: &Figure) -> String {
    let mut text = figure.text().to_string();
    let conditions = &figure.conditions;
    for condition in [
        &conditions.pressure,
        &conditions.depth,
        &conditions.distance,
        &conditions.tariff,
    ]
    .into_iter()
    .flatten()
    {
        text.push_str(" at ");
        text.push_str(condition.text());
    }
    if figure.per_diffuser {
        text.push_str(" for each diffuser");
    }
    text
}

/// How bad a criterion is for its claim: the verdict first, then how far the centre lies from what
/// is needed.
fn severity(judged: &Judged) -> (u8, f64) {
    let rank = match judged.outcome {
        Outcome::Supported => 0,
        Outcome::NotEvaluated => 1,
        Outcome::Undecided => 2,
        Outcome::Contradicted => 3,
    };
    (rank, shortfall(judged, judged.central))
}

/// How far `value` falls short of what is needed, as a ratio; above 1 it fails.
fn shortfall(judged: &Judged, value: Option<f64>) -> f64 {
    let Some(value) = value else { return 1.0 };
    let ratio = match judged.sense {
        Sense::AtLeast => judged.needed / value,
        Sense::AtMost => value / judged.needed,
    };
    if ratio.is_nan() { 1.0 } else { ratio }
}

/// Whether a contradiction hangs on judgement: every criterion that refutes goes beyond what its deciding
/// bound allows by less than a quarter, that bound is judgement, and moving it by a quarter would let the
/// claim hold. What the weight of water and the catalog's own figures refute doesn't hang on it.
fn is_by_a_hair(ground: &Ground, criteria: &[Criterion], judged: &mut [Judged]) -> bool {
    let mut refuting = judged
        .iter_mut()
        .zip(criteria)
        .filter(|(one, _)| one.outcome == Outcome::Contradicted)
        .peekable();
    refuting.peek().is_some()
        && refuting.all(|(one, criterion)| hangs_on_judgement(ground, criterion, one))
}

fn hangs_on_judgement(ground: &Ground, criterion: &Criterion, judged: &mut Judged) -> bool {
    if shortfall(judged, judged.high) >= 1.25 {
        return false;
    }
    if judged.decided_by.is_none() {
        criterion.decide(ground.assumptions, &ground.basis(), judged);
    }
    judged.decided_by.is_some_and(|decider| {
        decider.mark == Mark::Judgement
            && criterion.holds_a_quarter_beyond(ground.assumptions, decider.name)
    })
}

/// What one way to buy a package gives for a claim.
pub struct WayVerdict<'a> {
    /// The way.
    pub way: Way<'a>,
    /// Its place among the package's ways; nothing of an option without any airline.
    pub place: Option<usize>,
    /// Its criteria.
    pub criteria: Vec<Criterion<'a>>,
    /// Each judged.
    pub judged: Vec<Judged>,
    /// The verdict by all of them.
    pub outcome: Outcome,
}

/// Judges a claim for every way by `criteria`, and takes the best.
///
/// `combine` makes one outcome of a way's criteria; usually it is the worst of them.
pub fn over_ways<'a>(
    ground: &Ground<'a>,
    verdict: &mut Verdict,
    criteria: impl Fn(&'a WayFacts<'a>) -> Result<Vec<Criterion<'a>>, Missing>,
    combine: impl Fn(&[Judged]) -> Outcome,
) -> Option<WayVerdict<'a>> {
    let ways = ground.facts.ways.iter().enumerate();
    let all = ways.map(|(place, way)| (way.way, Some(place), criteria(way)));
    best_of(ground, verdict, all, combine, |_, _| true)
}

/// Judges a claim that no line has a part in for everything the package is sold as, and takes the best: an option may
/// come with another machine or cabinet, and needs no airline for that.
pub fn over_offers<'a>(
    ground: &Ground<'a>,
    verdict: &mut Verdict,
    criterion: impl Fn(Way<'a>) -> Result<Criterion<'a>, Missing>,
) -> Option<WayVerdict<'a>> {
    let id = |way: Way<'a>| way.option().map(|option| option.id.as_str());
    let package = ground.facts.package;
    let all = supply::offers(package).filter_map(|way| {
        let mut ways = ground.facts.ways.iter();
        let place = ways.position(|one| id(one.way) == id(way));
        // Facts of one way to buy it say nothing of the others.
        let is_left_out = || Way::all(package).iter().any(|one| id(*one) == id(way));
        (place.is_some() || !is_left_out())
            .then(|| (way, place, criterion(way).map(|one| vec![one])))
    });
    best_of(ground, verdict, all, worst, |one, other| {
        one.judged != other.judged
    })
}

/// Judges each way by its criteria, and takes the best; all are listed where any two `differ`.
fn best_of<'a>(
    ground: &Ground<'a>,
    verdict: &mut Verdict,
    ways: impl Iterator<Item = (Way<'a>, Option<usize>, Result<Vec<Criterion<'a>>, Missing>)>,
    combine: impl Fn(&[Judged]) -> Outcome,
    differ: impl Fn(&WayVerdict, &WayVerdict) -> bool,
) -> Option<WayVerdict<'a>> {
    let mut known: Vec<WayVerdict<'a>> = Vec::new();
    let mut missing = None;
    for (way, place, criteria) in ways {
        match criteria {
            Ok(criteria) => known.push(of_way(ground, way, place, criteria, &combine)),
            Err(fact) => {
                missing.get_or_insert(fact);
            }
        }
    }
    if known.iter().skip(1).any(|one| differ(&known[0], one)) {
        verdict.ways = known.iter().map(WayVerdict::outcome).collect();
    }
    // The best way speaks for the package; among equals the one with most to spare.
    let spare = |way: &WayVerdict| {
        let shortfalls = way.judged.iter().map(|one| shortfall(one, one.central));
        shortfalls.fold(0.0, f64::max)
    };
    let best = known.into_iter().min_by(|a, b| {
        rank(a.outcome)
            .cmp(&rank(b.outcome))
            .then(spare(a).total_cmp(&spare(b)))
    });
    match (best, missing) {
        // Of a way that nobody knows enough about, nobody knows that it fails too.
        (Some(best), Some(fact)) if best.outcome == Outcome::Contradicted => {
            verdict.missing = Some(fact);
            None
        }
        (Some(best), _) => {
            verdict.way = best.place;
            Some(best)
        }
        (None, fact) => {
            verdict.missing = Some(fact.unwrap_or_else(|| {
                Missing::absent(
                    "an option that says what airline is laid",
                    Some(ground.facts.package.entry.header),
                )
            }));
            None
        }
    }
}

/// One way, judged by its criteria.
fn of_way<'a>(
    ground: &Ground<'a>,
    way: Way<'a>,
    place: Option<usize>,
    criteria: Vec<Criterion<'a>>,
    combine: impl Fn(&[Judged]) -> Outcome,
) -> WayVerdict<'a> {
    let all = criteria.iter().map(|one| one.judge(ground.assumptions));
    let mut judged: Vec<Judged> = all.collect();
    let mut outcome = combine(&judged);
    if outcome == Outcome::Contradicted && is_by_a_hair(ground, &criteria, &mut judged) {
        outcome = Outcome::Undecided;
    }
    WayVerdict {
        way,
        place,
        criteria,
        judged,
        outcome,
    }
}

impl WayVerdict<'_> {
    fn outcome(&self) -> WayOutcome {
        WayOutcome {
            way: self.way.name(),
            supplied: match self.way {
                Way::Supplied(option) => Some(option.id.clone()),
                _ => None,
            },
            outcome: self.outcome,
        }
    }
}

/// From best to worst for a package.
fn rank(outcome: Outcome) -> u8 {
    match outcome {
        Outcome::Supported => 0,
        Outcome::Undecided => 1,
        Outcome::NotEvaluated => 2,
        Outcome::Contradicted => 3,
    }
}

impl Verdict {
    /// Whether it favours its promise more than another verdict on the same one: by its outcome, else by what it
    /// leaves possible.
    pub fn favours_more_than(&self, other: &Verdict) -> bool {
        if self.outcome != other.outcome {
            return rank(self.outcome) < rank(other.outcome);
        }
        let (Some(own), Some(others)) = (self.range, other.range) else {
            return false;
        };
        match self.claim {
            Claim::Power | Claim::RunningCost | Claim::Sound => own.0 < others.0,
            _ => own.1 > others.1,
        }
    }
}

/// The worst of a way's criteria.
pub fn worst(judged: &[Judged]) -> Outcome {
    judged
        .iter()
        .map(|one| one.outcome)
        .max_by_key(|outcome| match outcome {
            Outcome::Supported => 0,
            Outcome::NotEvaluated => 1,
            Outcome::Undecided => 2,
            Outcome::Contradicted => 3,
        })
        .unwrap_or(Outcome::NotEvaluated)
}
