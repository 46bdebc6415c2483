//! The airline of a way, piece by piece, and what stands at either end of it.

use crate::catalog::{Airline, AirlineUse, Catalog, DiffuserUse, Figure, Given, Package, Segment};

use super::way::Way;

/// A length of one airline.
#[derive(Debug, Clone, Copy)]
pub struct Piece<'c> {
    /// The airline, where it is known.
    pub part: Option<&'c Airline>,
    /// Its length, where it is stated.
    pub length: Option<&'c Figure>,
}

/// Runs that are laid alike, to diffusers that are stated together.
#[derive(Debug, Clone)]
pub struct Run<'c> {
    /// Lengths in series, from the compressor on.
    pub pieces: Vec<Piece<'c>>,
    /// The diffusers they lead to.
    pub to: Vec<&'c DiffuserUse>,
    /// How many such runs there are.
    pub count: u32,
}

fn piece<'c>(catalog: &'c Catalog, segment: &'c Segment) -> Piece<'c> {
    Piece {
        part: catalog.airlines.get(&segment.part.id),
        length: segment.length.known(),
    }
}

fn pieces<'c>(catalog: &'c Catalog, one: &'c AirlineUse) -> Vec<Piece<'c>> {
    let segments = one.segments.iter();
    segments.map(|segment| piece(catalog, segment)).collect()
}

/// The airline from the compressors to the manifold.
pub fn trunk<'c>(catalog: &'c Catalog, way: Way<'c>) -> Vec<Piece<'c>> {
    match way.option().map(|option| &option.trunk) {
        Some(Given::Known(trunk)) => pieces(catalog, trunk),
        _ => Vec::new(),
    }
}

/// The runs of supplied airline: those of the option, then those of diffusers with airline of
/// their own. What the buyer fits is none of them.
pub fn runs<'c>(catalog: &'c Catalog, package: &'c Package, way: Way<'c>) -> Vec<Run<'c>> {
    let uses = package.diffuser.known().map_or(&[][..], |uses| uses);
    let (own, shared): (Vec<_>, Vec<_>) = uses.iter().partition(|one| one.airline.is_there());
    let mut runs = Vec::new();
    if let Way::Supplied(option) = way {
        let laid = option.airline.known().map_or(&[][..], |uses| uses);
        // Runs and diffusers are dealt out in the order both are stated in; the last runs serve the rest.
        let mut served = 0;
        for (place, one) in laid.iter().enumerate() {
            let last = place + 1 == laid.len();
            let until = served + u64::from(one.count) * u64::from(one.per_run);
            let mut before = 0;
            let to = shared.iter().filter(|to| {
                let (from, end) = (before, before + u64::from(to.count));
                before = end;
                end > served && (from < until || last)
            });
            runs.push(Run {
                pieces: pieces(catalog, one),
                to: to.copied().collect(),
                count: one.count,
            });
            served = until;
        }
    }
    for one in own {
        let part = one.airline.known();
        runs.push(Run {
            pieces: vec![Piece {
                part: part.and_then(|part| catalog.airlines.get(&part.id)),
                length: one.run.known(),
            }],
            to: vec![one],
            count: one.count,
        });
    }
    runs
}
