//! One verdict for each claim, with its evidence.
//!
//! - [`criterion`]: a question with a yes or no at each corner of its ranges;
//! - [`verdict`]: what comes of a claim's criteria over the ways to buy the package;
//! - `grade`: verdict and rating as the one answer that people read;
//! - [`ask`]: what would settle what isn't settled, and who could supply it;
//! - one file for each kind of claim.
//!
//! No level and no sentence is here: whether a verdict is worth a finding, a rule decides.

pub mod airline_length;
pub mod area;
pub mod ask;
pub mod criterion;
pub mod depth;
pub mod equations;
pub mod flow;
mod grade;
mod most_air;
pub mod oversized;
pub mod oxygen;
pub mod power;
pub mod running_cost;
pub mod service;
pub mod sound;
pub mod unjudged;
pub mod water;
pub mod verdict;
mod without_machine;

pub use ask::Ask;
pub use criterion::{Judged, Outcome, Sense};
pub use grade::Grade;
pub use verdict::{Claim, Decision, Verdict, WayOutcome};
pub use without_machine::{AIR_THERE, LINE, OPEN_FLOW, QUIETEST, WORK};

use std::sync::Arc;

use crate::assumptions::{Assumptions, Name, Rating, Values};
use crate::catalog::{Catalog, Figure, Given};
use crate::derive::{Corner, Derived, Missing, PackageFacts, Solver};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

/// Every claim of a package, judged, in the order of the format.
pub fn judge(catalog: &Catalog, derived: &Derived, facts: &PackageFacts) -> Vec<Verdict> {
    let ground = Ground::of(catalog, derived, facts);
    let mut verdicts = Vec::new();
    depth::judge(&ground, &mut verdicts);
    area::judge(&ground, &mut verdicts);
    flow::judge(&ground, &mut verdicts);
    power::judge(&ground, &mut verdicts);
    water::judge(&ground, &mut verdicts);
    airline_length::judge(&ground, &mut verdicts);
    running_cost::judge(&ground, &mut verdicts);
    sound::judge(&ground, &mut verdicts);
    oxygen::judge(&ground, &mut verdicts);
    let mut solvers = facts.ways.iter().filter_map(|way| way.solver.as_ref().ok());
    let bounded = solvers.find(|solver| solver.plant.is_bounded());
    for verdict in &mut verdicts {
        by_the_plate(bounded, verdict);
        service::add(&ground, verdict);
    }
    unjudged::judge(&ground, &mut verdicts);
    // What was made room for and not needed is more than what is kept, times the packages of a run.
    for verdict in &mut verdicts {
        verdict.evidence.shrink_to_fit();
        verdict.criteria.shrink_to_fit();
    }
    verdicts.shrink_to_fit();
    for solver in facts.ways.iter().filter_map(|way| way.solver.as_ref().ok()) {
        solver.forget();
    }
    verdicts
}

/// Judges every promise of a kind. One whose condition can't be read isn't judged under another.
fn each(
    ground: &Ground,
    claim: Claim,
    rows: &Given<Vec<Figure>>,
    verdicts: &mut Vec<Verdict>,
    judge: impl Fn(&Figure) -> Verdict,
) {
    let is_out_of_reach = verdicts
        .iter()
        .any(|one| one.claim == Claim::Depth && one.outcome == Outcome::Contradicted);
    verdicts.extend(rows.known().into_iter().flatten().map(|figure| {
        if !figure.conditions.unreadable {
            let verdict = judge(figure);
            // What is promised at a depth that isn't reached isn't kept there, whatever it would be.
            let waits = is_out_of_reach
                && rests_on_depth(claim, figure)
                && matches!(verdict.outcome, Outcome::Supported | Outcome::Undecided);
            return if waits {
                verdict.waits_for_depth()
            } else {
                verdict
            };
        }
        let fact = Missing::unusable("the condition it is promised under", figure.conditions.at);
        Verdict::new(ground, claim, figure).without(fact)
    }));
}

/// Whether a promise is made at the package's claimed depth, as it names no place of its own.
fn rests_on_depth(claim: Claim, figure: &Figure) -> bool {
    let at = &figure.conditions;
    match claim {
        Claim::Area | Claim::Turnover | Claim::WaterMoved => at.depth.is_none(),
        Claim::Flow | Claim::Oxygen | Claim::OxygenUptake | Claim::TransferEfficiency => {
            at.depth.is_none() && at.pressure.is_none()
        }
        _ => false,
    }
}

/// Whether a verdict waits for more to be known of the machine: what is impossible with any is refuted all the same.
fn is_open(ground: &Ground, outcome: Outcome) -> bool {
    let mut solvers = ground
        .facts
        .ways
        .iter()
        .filter_map(|way| way.solver.as_ref().ok());
    match outcome {
        Outcome::NotEvaluated => true,
        Outcome::Undecided => solvers.any(|solver| solver.plant.is_bounded()),
        Outcome::Supported | Outcome::Contradicted => false,
    }
}

/// What the evidence of air that no curve gives is called.
pub const WITHOUT_CURVE: &str = "air assumed without a curve";

/// Says of a verdict that rests on the bounds of a plate what they come to, and which curve would settle it.
fn by_the_plate(bounded: Option<&Arc<Solver>>, verdict: &mut Verdict) {
    let air = matches!(
        verdict.claim,
        Claim::Depth
            | Claim::Area
            | Claim::Flow
            | Claim::AirlineLength
            | Claim::Turnover
            | Claim::WaterMoved
            | Claim::Oxygen
    );
    let Some(solver) = bounded.filter(|_| air) else {
        return;
    };
    let mut machines = solver.plant.machines.iter();
    let Some(machine) = machines.find(|machine| machine.at_least.is_some()) else {
        return;
    };
    let entry = &machine.part.entry;
    let ends = [
        ("at the least", Corner::LeastFlow),
        ("at the most", Corner::GreatestFlow),
    ];
    for (end, corner) in ends {
        let settled = solver.corner(corner);
        if let Some(air) = settled.and_then(|settled| settled.delivered()) {
            verdict.evidence.push(Evidence::derived(
                format!("{WITHOUT_CURVE} {end}"),
                Value::Quantity(air, Dimension::VolumeFlow),
                "between a straight line from the open flow to the greatest pressure and the most that open flow or watts allow",
                Mark::Judgement,
            ));
        }
    }
    // A promise that waits for something else that is told already keeps that.
    let told = verdict
        .missing
        .as_ref()
        .is_some_and(|missing| missing.reported);
    let open = matches!(verdict.outcome, Outcome::Undecided | Outcome::NotEvaluated);
    if open && !told {
        let fact = format!("the curve of compressor {}", entry.id);
        verdict.missing = Some(Missing::absent(fact, Some(entry.header)).of_key("curve"));
    }
}

/// What every kind of claim is judged on.
pub struct Ground<'a> {
    /// The catalog.
    pub catalog: &'a Catalog,
    /// The ranges.
    pub assumptions: &'a Assumptions,
    /// The basis on which capacities are rated.
    pub rating: Rating,
    /// The package.
    pub facts: &'a PackageFacts<'a>,
    /// Whether a verdict's evidence is wanted beside its grade: what decides, and the corners of what is rated.
    pub with_evidence: bool,
}

impl<'a> Ground<'a> {
    /// What a package's claims are judged on.
    pub fn of(
        catalog: &'a Catalog,
        derived: &'a Derived,
        facts: &'a PackageFacts<'a>,
    ) -> Ground<'a> {
        Ground {
            catalog,
            assumptions: &facts.assumptions,
            rating: derived.rating,
            facts,
            with_evidence: true,
        }
    }

    /// Central values, but for what the rating declares.
    pub fn basis(&self) -> Values {
        basis(self.assumptions, &self.rating)
    }

    /// What the way at `place` comes to at a depth, or as it is laid.
    pub fn laid(&self, place: Option<usize>, depth: Option<f64>) -> Option<Arc<Solver<'a>>> {
        let facts = self.facts.ways.get(place?)?;
        match depth {
            Some(depth) => depth::solver_at(facts, depth).ok(),
            None => facts.solver.clone().ok(),
        }
    }

    /// That nobody says how deep the diffusers lie: or where it is said and can't be read.
    pub fn no_depth(&self) -> Missing {
        let claims = &self.facts.package.claims;
        match claims.depth {
            Given::Unreadable => Missing::unusable("the depth", claims.at),
            _ => Missing::absent("the depth", claims.at),
        }
    }

    /// What a figure is to be taken times for the whole package: its diffusers, where it is for each.
    pub fn times(&self, figure: &Figure) -> f64 {
        if figure.per_diffuser {
            f64::from(self.facts.package.diffuser_count().max(1))
        } else {
            1.0
        }
    }
}

/// Central values, but for what the rating declares.
pub fn basis(assumptions: &Assumptions, rating: &Rating) -> Values {
    assumptions
        .central()
        .with(Name::ReachPerDepth, rating.reach_per_depth)
        .with(Name::Coverage, rating.coverage)
        .with(Name::DiffuserDepth, 1.0)
        .with(Name::TurnoversNeeded, rating.turnovers_per_day)
        .with(Name::MixingAir, rating.mixing_air)
        .with(Name::TransferFine, rating.transfer.0)
        .with(Name::TransferCoarse, rating.transfer.1)
}
