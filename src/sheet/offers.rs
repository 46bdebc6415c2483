//! What is in the box of each option, and what is replaced how often.

use crate::catalog::{
    Allow, Catalog, Compressor, Entry, Figure, Kind, Package, PackageOption, Reference, Segment,
};
use crate::derive::Way;

/// One way to buy it.
#[derive(Debug)]
pub struct Offer<'c> {
    /// The option; nothing for a package that has none.
    pub option: Option<&'c PackageOption>,
    /// What is in the box.
    pub items: Vec<Item<'c>>,
    /// What the buyer may fit.
    pub allows: Vec<&'c Allow>,
    /// What it costs.
    pub price: Option<&'c Figure>,
}

/// Something in the box.
#[derive(Debug)]
pub struct Item<'c> {
    /// What it is.
    pub role: Role,
    /// Its entry.
    pub entry: &'c Entry,
    /// How many.
    pub count: u32,
    /// The length of each.
    pub length: Option<&'c Figure>,
}

/// What something in the box is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A part of that kind.
    Part(Kind),
    /// Airline to the diffusers.
    Airline,
    /// Airline to the manifold.
    Trunk,
}

/// A spare part, and how often one is due.
#[derive(Debug)]
pub struct Due<'c> {
    /// The spare part.
    pub spare: &'c Entry,
    /// What it is for.
    pub of: &'c Entry,
    /// How often.
    pub every: Option<&'c Figure>,
}

/// The offers that `ways` belong to, in their order.
pub fn of<'c>(catalog: &'c Catalog, package: &'c Package, ways: &[Way<'c>]) -> Vec<Offer<'c>> {
    let mut offers: Vec<Offer> = Vec::new();
    for &way in ways {
        let option = way.option();
        let same = |one: &Offer| match (one.option, option) {
            (Some(a), Some(b)) => std::ptr::eq(a, b),
            (a, b) => a.is_none() && b.is_none(),
        };
        let place = offers.iter().position(same);
        let place = place.unwrap_or_else(|| {
            offers.push(Offer {
                option,
                items: parts(catalog, package, way),
                allows: Vec::new(),
                price: price(package, option),
            });
            offers.len() - 1
        });
        let offer = &mut offers[place];
        match way {
            Way::Supplied(option) => offer.items.extend(lines(catalog, option)),
            Way::Allowed(_, allow) => offer.allows.push(allow),
            Way::Own => {}
        }
    }
    offers
}

fn price<'c>(package: &'c Package, option: Option<&'c PackageOption>) -> Option<&'c Figure> {
    let own = option.and_then(|option| option.identity.price.known());
    own.or(package.entry.identity.price.known())
}

fn item<'c>(catalog: &'c Catalog, kind: Kind, id: &str, count: u32) -> Option<Item<'c>> {
    Some(Item {
        role: Role::Part(kind),
        entry: catalog.entry(kind, id)?,
        count,
        length: None,
    })
}

/// What every box of a way holds beside its lines.
fn parts<'c>(catalog: &'c Catalog, package: &'c Package, way: Way<'c>) -> Vec<Item<'c>> {
    let uses = |kind: Kind, id: &str, count: u32| item(catalog, kind, id, count);
    let mut items: Vec<Item> = Vec::new();
    let compressors = way.compressors(package).known().into_iter().flatten();
    items.extend(compressors.filter_map(|one| uses(Kind::Compressor, &one.part.id, one.count)));
    let diffusers = package.diffuser.known().into_iter().flatten();
    items.extend(diffusers.filter_map(|one| uses(Kind::Diffuser, &one.part.id, one.count)));
    let manifold = way.manifold(package).known();
    items.extend(manifold.and_then(|one| uses(Kind::Manifold, &one.part.id, one.count)));
    let cabinet = way.cabinet(package).known();
    items.extend(cabinet.and_then(|one| uses(Kind::Cabinet, &one.part.id, one.count)));
    let several = |kind: Kind, all: Option<&'c Vec<Reference>>| {
        let all = all.into_iter().flatten();
        all.filter_map(move |one| uses(kind, &one.id, 1))
    };
    items.extend(several(Kind::CheckValve, package.check_valves.known()));
    items.extend(several(Kind::Fitting, way.fittings(package).known()));
    together(items)
}

/// Things named several times as one line each.
fn together(items: Vec<Item>) -> Vec<Item> {
    let mut all: Vec<Item> = Vec::new();
    for item in items {
        let same = |one: &&mut Item| std::ptr::eq(one.entry, item.entry);
        match all.iter_mut().find(same) {
            Some(first) => first.count += item.count,
            None => all.push(item),
        }
    }
    all
}

/// The airline that comes with an option, and its trunk.
fn lines<'c>(catalog: &'c Catalog, option: &'c PackageOption) -> Vec<Item<'c>> {
    let line = |segment: &'c Segment, role: Role, count: u32| {
        Some(Item {
            role,
            entry: catalog.entry(Kind::Airline, &segment.part.id)?,
            count,
            length: segment.length.known(),
        })
    };
    let trunks = option.trunk.known().into_iter();
    let trunks = trunks.flat_map(|one| {
        one.segments
            .iter()
            .map(move |of| (of, Role::Trunk, one.count))
    });
    let runs = option.airline.known().into_iter().flatten();
    let runs = runs.flat_map(|one| {
        one.segments
            .iter()
            .map(move |of| (of, Role::Airline, one.count))
    });
    trunks
        .chain(runs)
        .filter_map(|(of, role, count)| line(of, role, count))
        .collect()
}

/// What falls due on the compressors of `ways`, and every other spare part that fits something in the box.
pub fn service<'c>(catalog: &'c Catalog, package: &'c Package, ways: &[Way<'c>]) -> Vec<Due<'c>> {
    let mut due: Vec<Due> = Vec::new();
    let offers = of(catalog, package, ways);
    let items = offers.iter().flat_map(|offer| &offer.items);
    for item in items {
        let compressor: Option<&Compressor> = match item.role {
            Role::Part(Kind::Compressor) => catalog.compressors.get(&item.entry.id),
            _ => None,
        };
        for one in compressor.into_iter().flat_map(|part| &part.service) {
            if let Some(spare) = catalog.spares.get(&one.part.id) {
                add(&mut due, &spare.entry, item.entry, one.every.known());
            }
        }
        for spare in catalog.spares.iter() {
            if spare.fits.iter().any(|fits| fits.text == item.entry.id) {
                add(&mut due, &spare.entry, item.entry, None);
            }
        }
    }
    due
}

fn add<'c>(due: &mut Vec<Due<'c>>, spare: &'c Entry, of: &'c Entry, every: Option<&'c Figure>) {
    let is_known = |one: &Due| std::ptr::eq(one.spare, spare) && std::ptr::eq(one.of, of);
    if !due.iter().any(is_known) {
        due.push(Due { spare, of, every });
    }
}
