//! Which package, and which way to buy and lay it, a question is about.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Rating};
use crate::catalog::{Allow, Catalog, Figure, Given, Package};
use crate::derive::{self, Missing, Plant, Solver, Way, ranges};
use crate::text::{FileId, Span};
use crate::units::Quantity;

/// What a question says beside the catalog.
#[derive(Debug, Clone, Default)]
pub struct Question {
    /// ID of the package.
    pub package: String,
    /// ID of the option; the only one unless given.
    pub option: Option<String>,
    /// Every diffuser at this depth instead of the catalog's.
    pub depth: Option<Quantity>,
    /// Every run of this length instead of the catalog's.
    pub run: Option<Quantity>,
    /// Every run of this bore instead of the catalog's.
    pub bore: Option<Quantity>,
    /// This height above the sea instead of the site's.
    pub altitude: Option<Quantity>,
}

/// Why a question can't be answered; each names what would help.
#[derive(Debug, Clone, PartialEq)]
pub enum Unanswerable {
    /// No package of that ID.
    NoPackage {
        /// As asked.
        id: String,
        /// IDs there are, the nearest first.
        known: Vec<String>,
    },
    /// No option of that ID, or several to choose from.
    ChooseOption {
        /// As asked.
        asked: Option<String>,
        /// IDs there are.
        known: Vec<String>,
    },
    /// A fact that the catalog doesn't state, or states unusably.
    Missing(Missing),
    /// No depth: neither claimed nor asked.
    NoDepth,
    /// The compressor's curve ends before the duty point; its last pressure in Pa.
    BeyondCurve(f64),
    /// The figures are beyond what can be built.
    Unbuildable(String),
}

impl std::fmt::Display for Unanswerable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Unanswerable::NoPackage { id, known } if known.is_empty() => {
                write!(f, "there is no package `{id}`: the catalog has none")
            }
            Unanswerable::NoPackage { id, known } => {
                let more = known.len().saturating_sub(12);
                let shown = known[..known.len() - more].join(", ");
                write!(f, "there is no package `{id}`; there are {shown}")?;
                if more > 0 {
                    write!(f, " and {more} more")
                } else {
                    Ok(())
                }
            }
            Unanswerable::ChooseOption {
                asked: Some(id),
                known,
            } => {
                write!(
                    f,
                    "there is no option `{id}`; there are {}",
                    known.join(", ")
                )
            }
            Unanswerable::ChooseOption { asked: None, known } => {
                write!(
                    f,
                    "there are several options, choose one with --option: {}",
                    known.join(", ")
                )
            }
            Unanswerable::Missing(missing) => write!(f, "{} is missing", missing.fact),
            Unanswerable::NoDepth => f.write_str(
                "no depth is claimed and no diffuser has one of its own; give one with --depth",
            ),
            Unanswerable::BeyondCurve(last) => write!(
                f,
                "the compressor's curve ends at {:.2} kPa, below the pressure this needs: what flows there isn't known",
                last / 1000.0
            ),
            Unanswerable::Unbuildable(why) => f.write_str(why),
        }
    }
}

/// What is asked about, found in the catalog and laid.
#[derive(Debug)]
pub struct Asked<'c> {
    /// The catalog.
    pub catalog: &'c Catalog,
    /// The package.
    pub package: &'c Package,
    /// The way it is bought.
    pub way: Way<'c>,
    /// It laid, at its depth where there is one.
    pub solver: Arc<Solver<'c>>,
    /// The ranges.
    pub assumptions: Arc<Assumptions>,
    /// The rating basis.
    pub rating: Rating,
    /// The greatest claimed depth, m.
    pub claimed_depth: Option<f64>,
}

/// The catalog at another altitude, where the question names one.
pub fn at_altitude(catalog: &Catalog, altitude: Option<&Quantity>) -> Catalog {
    let mut catalog = catalog.clone();
    if let Some(altitude) = altitude {
        catalog.site.altitude = Given::Known(Figure {
            quantity: altitude.clone(),
            at: Span::new(FileId(0), 0, 0),
            also: Vec::new(),
            conditions: Default::default(),
            source: None,
            per_diffuser: false,
        });
    }
    catalog
}

/// Finds what `question` asks about in `catalog`, which [`at_altitude`] has set.
///
/// # Errors
/// What is missing or has to be chosen.
pub fn find<'c>(catalog: &'c Catalog, question: &Question) -> Result<Asked<'c>, Unanswerable> {
    let package = catalog.packages.get(&question.package).ok_or_else(|| {
        let mut known: Vec<String> = catalog.packages.ids().map(str::to_string).collect();
        let near = crate::catalog::nearest(&question.package, known.iter().map(String::as_str));
        if let Some(place) = near.and_then(|near| known.iter().position(|id| id == near)) {
            known.swap(0, place);
        }
        Unanswerable::NoPackage {
            id: question.package.clone(),
            known,
        }
    })?;
    let way = way(package, question)?;
    let plant = Plant::of(catalog, package, way).map_err(Unanswerable::Missing)?;
    let claimed_depth = derive::claimed_depth(package);
    let plant = match (&question.depth, claimed_depth) {
        (Some(depth), _) => plant.all_at_depth(depth.si_high()),
        (None, Some(depth)) => plant.at_depth(depth),
        (None, None) => plant,
    };
    let plant = match &question.bore {
        Some(bore) => plant.with_bore(bore.si_central()),
        None => plant,
    };
    let plant = match &question.run {
        Some(run) => plant.with_run(run.si_central()),
        None => plant,
    };
    let assumptions = ranges::assumptions_for(catalog, package);
    let assumptions = Arc::new(assumptions.unwrap_or_else(|| ranges::assumptions(catalog)));
    Ok(Asked {
        catalog,
        package,
        way,
        solver: Arc::new(Solver::new(plant, assumptions.clone())),
        assumptions,
        rating: ranges::rating(catalog),
        claimed_depth,
    })
}

/// The way that is asked about: the option named, or the only one. Of what the buyer may fit, the
/// smallest size whose length covers the run that is asked about, else the first.
fn way<'c>(package: &'c Package, question: &Question) -> Result<Way<'c>, Unanswerable> {
    let known: Vec<String> = package
        .options
        .iter()
        .map(|option| option.id.clone())
        .collect();
    let option = match (&question.option, package.options.as_slice()) {
        (None, []) => return Ok(Way::Own),
        (None, [only]) => only,
        (None, _) => return Err(Unanswerable::ChooseOption { asked: None, known }),
        (Some(id), options) => options
            .iter()
            .find(|option| option.id == *id)
            .ok_or_else(|| Unanswerable::ChooseOption {
                asked: Some(id.clone()),
                known,
            })?,
    };
    if option.airline.is_there() {
        return Ok(Way::Supplied(option));
    }
    let allows = option.allows.known().map_or(&[][..], |allows| allows);
    let covers = |allow: &&Allow| match (&question.run, allow.up_to.known()) {
        (Some(run), Some(up_to)) => up_to.high() >= run.si_central(),
        _ => false,
    };
    let size = |allow: &&Allow| allow.size.known().map_or(f64::INFINITY, Figure::si);
    let fitting = allows
        .iter()
        .filter(covers)
        .min_by(|a, b| size(a).total_cmp(&size(b)));
    match fitting.or(allows.first()) {
        Some(allow) => Ok(Way::Allowed(option, allow)),
        None => Err(Unanswerable::Missing(Missing::absent(
            format!("the airline of option {}", option.id),
            Some(option.header),
        ))),
    }
}
