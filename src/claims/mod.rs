//! One verdict for each claim, with its evidence.
//!
//! - [`criterion`]: a question with a yes or no at each corner of its ranges;
//! - [`verdict`]: what comes of a claim's criteria over the ways to buy the package;
//! - one file for each kind of claim.
//!
//! No level and no sentence is here: whether a verdict is worth a finding, a rule decides.

pub mod area;
pub mod criterion;
pub mod depth;
pub mod flow;
pub mod running_cost;
pub mod verdict;

pub use criterion::{Judged, Outcome, Sense};
pub use verdict::{Claim, Decision, Verdict};

use crate::assumptions::{Assumptions, Rating};
use crate::catalog::Catalog;
use crate::derive::{Derived, PackageFacts};

/// Every claim of a package, judged, in the order of the format.
pub fn judge(catalog: &Catalog, derived: &Derived, facts: &PackageFacts) -> Vec<Verdict> {
    let ground = Ground {
        catalog,
        assumptions: &derived.assumptions,
        rating: derived.rating,
        facts,
    };
    let mut verdicts = Vec::new();
    depth::judge(&ground, &mut verdicts);
    area::judge(&ground, &mut verdicts);
    flow::judge(&ground, &mut verdicts);
    running_cost::judge(&ground, &mut verdicts);
    verdict::unjudged(&ground, &mut verdicts);
    verdicts
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
}
