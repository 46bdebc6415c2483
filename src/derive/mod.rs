//! What the facts of a catalog imply, by physics and under assumptions. No judgement is here.
//!
//! - [`plant`]: a package as it would be laid, in the engine's terms;
//! - [`way`]: the ways it can be bought and laid;
//! - [`corners`]: which end of each range is the bad one for which question;
//! - [`pond`]: what the air does to the water.
//!
//! [`Derived`] holds all of it for a catalog; duty points are solved when first asked for.

use std::collections::HashMap;
use std::sync::Arc;

use crate::assumptions::{Assumptions, Rating};
use crate::catalog::{Catalog, Figure, Package};
use crate::units::{Dimension, System};

pub mod corners;
pub mod flow;
pub mod heat;
pub mod joints;
pub mod laid;
pub mod laying;
mod limits;
pub mod machine;
pub mod missing;
pub mod nameplate;
pub mod pipe;
mod plan;
pub mod plant;
pub mod pond;
pub mod ranges;
pub mod sinking;
pub mod solver;
pub mod sound;
pub mod supply;
pub mod way;

pub use corners::Corner;
pub use missing::Missing;
pub use plant::Plant;
pub use pond::Pond;
pub use solver::Solver;
pub use way::Way;

/// What a catalog's facts imply.
#[derive(Debug)]
pub struct Derived<'c> {
    /// The ranges that count for every package, with the catalog's own in place.
    pub assumptions: Arc<Assumptions>,
    /// The basis on which capacities are rated.
    pub rating: Rating,
    /// Its packages, in its order.
    pub packages: Vec<PackageFacts<'c>>,
    /// The place of each among them, by its ID.
    places: HashMap<&'c str, usize>,
}

/// What a package's facts imply.
#[derive(Debug)]
pub struct PackageFacts<'c> {
    /// The package.
    pub package: &'c Package,
    /// The depth it claims, m: the greatest where it claims several.
    pub claimed_depth: Option<f64>,
    /// Each way to buy it.
    pub ways: Vec<WayFacts<'c>>,
    /// The units its claims are written in.
    pub system: System,
    /// The ranges its verdicts stand on: the catalog's, and those that count for this package alone.
    pub assumptions: Arc<Assumptions>,
}

/// What one way to buy a package comes to, at its claimed depth.
#[derive(Debug)]
pub struct WayFacts<'c> {
    /// The way.
    pub way: Way<'c>,
    /// How it would be laid, at the claimed depth where there is one.
    pub solver: Result<Arc<Solver<'c>>, Missing>,
    /// The depth it was set to, m.
    pub claimed_depth: Option<f64>,
}

impl<'c> Derived<'c> {
    /// What `catalog` implies; nothing is solved yet.
    pub fn of(catalog: &'c Catalog) -> Derived<'c> {
        Derived::of_these(catalog, catalog.packages.iter())
    }

    /// What one package of `catalog` implies; nothing is solved yet.
    pub fn of_one(catalog: &'c Catalog, package: &'c Package) -> Derived<'c> {
        Derived::of_these(catalog, std::iter::once(package))
    }

    fn of_these(catalog: &'c Catalog, packages: impl Iterator<Item = &'c Package>) -> Derived<'c> {
        let assumptions = Arc::new(ranges::assumptions(catalog));
        let packages: Vec<PackageFacts> = packages
            .map(|package| PackageFacts::under(catalog, package, &assumptions))
            .collect();
        let ids = packages.iter().map(|facts| facts.package.entry.id.as_str());
        Derived {
            assumptions,
            rating: ranges::rating(catalog),
            places: ids.enumerate().map(|(place, id)| (id, place)).collect(),
            packages,
        }
    }

    /// The facts of that package.
    pub fn package(&self, id: &str) -> Option<&PackageFacts<'c>> {
        self.packages.get(*self.places.get(id)?)
    }
}

impl<'c> PackageFacts<'c> {
    /// What `package` implies under the catalog's ranges, or those that count for it alone.
    fn under(
        catalog: &'c Catalog,
        package: &'c Package,
        assumptions: &Arc<Assumptions>,
    ) -> PackageFacts<'c> {
        match ranges::assumptions_for(catalog, package) {
            Some(own) => PackageFacts::of(catalog, package, &Arc::new(own)),
            None => PackageFacts::of(catalog, package, assumptions),
        }
    }

    /// What `package` implies.
    pub fn of(
        catalog: &'c Catalog,
        package: &'c Package,
        assumptions: &Arc<Assumptions>,
    ) -> PackageFacts<'c> {
        let claimed_depth = claimed_depth(package);
        let ways = Way::all(package)
            .into_iter()
            .map(|way| {
                let plant = Plant::of(catalog, package, way);
                let plant = match claimed_depth {
                    Some(depth) => plant.map(|plant| plant.at_depth(depth)),
                    None => plant,
                };
                WayFacts::laid(package, way, plant, claimed_depth, assumptions)
            })
            .collect();
        PackageFacts {
            package,
            claimed_depth,
            ways,
            system: system(package),
            assumptions: assumptions.clone(),
        }
    }
}

impl<'c> WayFacts<'c> {
    /// What a way comes to, laid as `plant`, which is at `claimed_depth` m where that is known.
    pub fn laid(
        package: &Package,
        way: Way<'c>,
        plant: Result<Plant<'c>, Missing>,
        claimed_depth: Option<f64>,
        assumptions: &Arc<Assumptions>,
    ) -> WayFacts<'c> {
        // A figure beyond anything that could be built leaves nothing to calculate with.
        let plant =
            plant.and_then(
                |plant| match plant.network(&plant.known(&assumptions.central())) {
                    Ok(_) => Ok(plant),
                    Err(refusal) => {
                        let fact = format!("a figure that can be calculated with ({refusal})");
                        Err(Missing::absent(fact, Some(package.entry.header)))
                    }
                },
            );
        WayFacts {
            way,
            solver: plant.map(|plant| Arc::new(Solver::new(plant, assumptions.clone()))),
            claimed_depth,
        }
    }
}

/// The depth a package claims, m: the greatest where it claims several.
pub fn claimed_depth(package: &Package) -> Option<f64> {
    let rows = package.claims.depth.known()?;
    rows.iter().map(Figure::high).reduce(f64::max)
}

/// The units a package's claims are written in: those of its depth, else of its area or flow.
pub fn system(package: &Package) -> System {
    let claims = &package.claims;
    [&claims.depth, &claims.area, &claims.flow]
        .into_iter()
        .filter_map(|rows| rows.known()?.first())
        .find_map(|figure| System::of(figure.quantity.unit()))
        .unwrap_or(System::Metric)
}

/// Whether a flow is counted as an amount of air.
pub fn is_amount(dimension: Dimension) -> bool {
    dimension == Dimension::AirAmount
}
