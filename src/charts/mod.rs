//! The numbers that pictures of a package show. How a picture looks is the report's.
//!
//! - [`duty`]: the compressor's curve against the system's, and the pressure from the manifold to the bubbles;
//! - [`area`]: the areas supported and contradicted at each depth, with the claims among them;
//! - [`runs`]: the flow that a run costs, for each bore.
//!
//! All numbers are in SI. They come from the same duty points and criteria that the verdicts stand on.

pub mod area;
pub mod duty;
pub mod runs;

use crate::claims::{Claim, Grade, Ground, Outcome, Verdict};
use crate::derive::WayFacts;

pub use area::AreaMap;
pub use duty::{Branch, Budget, DutyChart};
pub use runs::RunChart;

/// A point of a line: what stands below it, then its height.
pub type Point = (f64, f64);

/// The numbers of one package's pictures.
#[derive(Debug, Clone, PartialEq)]
pub struct Charts {
    /// ID of the package.
    pub package: String,
    /// The way to buy it that the pictures show, as a report calls it; empty where there is only one.
    pub way: String,
    /// Depth of the deepest diffuser, m.
    pub depth: f64,
    /// The compressor against the system; nothing where that can't be calculated.
    pub duty: Option<DutyChart>,
    /// Where the pressure goes, for each kind of branch.
    pub budget: Vec<Budget>,
    /// The air each branch gets, where branches aren't alike; else empty.
    pub branches: Vec<Branch>,
    /// Depth against area.
    pub area: Option<AreaMap>,
    /// Flow lost against length of run.
    pub runs: Option<RunChart>,
}

/// The most packages of a run that are all pictured. Beyond it nobody looks at all of them, and half of the run would
/// go into pictures.
pub const ALL_OF: usize = 200;

/// Which packages of a run have pictures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Pictured {
    /// None: no report shows them.
    None,
    /// Those with a promise that is contradicted or beyond its rating.
    Doubted,
    /// All.
    All,
}

impl Pictured {
    /// Which packages of a report with pictures have them, where it has so many packages.
    pub fn of(packages: usize) -> Pictured {
        match packages > ALL_OF {
            true => Pictured::Doubted,
            false => Pictured::All,
        }
    }

    /// Whether a package with these verdicts on its claims is among them.
    pub fn has(self, verdicts: &[Verdict]) -> bool {
        let is_doubted =
            |one: &Verdict| matches!(one.grade(), Grade::BeyondRating | Grade::Contradicted);
        match self {
            Pictured::None => false,
            Pictured::Doubted => verdicts.iter().any(is_doubted),
            Pictured::All => true,
        }
    }
}

/// The numbers for a package, for the way to buy it that its depth is best promised of; nothing where
/// no way can be calculated. `verdicts` are those on its own claims.
pub fn of(ground: &Ground, verdicts: &[Verdict]) -> Option<Charts> {
    let way = way(ground, verdicts)?;
    let solver = way.solver.as_ref().ok()?;
    let several = ground.facts.ways.len() > 1;
    Some(Charts {
        package: ground.facts.package.entry.id.clone(),
        way: if several {
            way.way.name()
        } else {
            String::new()
        },
        depth: solver.plant.deepest(),
        duty: duty::chart(solver),
        budget: duty::budget(solver),
        branches: duty::branches(solver),
        area: area::map(ground, way, verdicts),
        runs: runs::chart(ground, solver),
    })
}

/// The first way with the best verdict on depth among those that can be calculated.
fn way<'a>(ground: &Ground<'a>, verdicts: &[Verdict]) -> Option<&'a WayFacts<'a>> {
    let depth = verdicts.iter().find(|one| one.claim == Claim::Depth);
    let rank = |way: &&WayFacts| {
        let name = way.way.name();
        let outcome = depth.and_then(|depth| depth.ways.iter().find(|one| one.way == name));
        match outcome.map(|one| one.outcome) {
            Some(Outcome::Supported) => 0,
            Some(Outcome::Undecided) | None => 1,
            Some(Outcome::Contradicted | Outcome::NotEvaluated) => 2,
        }
    };
    let known = |way: &&WayFacts| {
        let solver = way.solver.as_ref();
        solver.is_ok_and(|solver| solver.plant.has_depth)
    };
    ground.facts.ways.iter().filter(known).min_by_key(rank)
}

/// `count` values from `from` to `to`, both among them.
fn spread(from: f64, to: f64, count: u32) -> impl Iterator<Item = f64> {
    let last = f64::from(count.max(2) - 1);
    (0..count.max(2)).map(move |step| from + (to - from) * f64::from(step) / last)
}
