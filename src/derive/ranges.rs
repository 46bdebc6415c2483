//! The ranges and the rating basis of a catalog: the built-in ones, with its own in place.

use crate::assumptions::{Assumptions, Name, Rating, Replacement};
use crate::catalog::{Catalog, EvidenceEntry, Given, Package, Plain, RangeEntry};
use crate::units::Unit;

/// The ranges that a catalog's verdicts stand on, whatever the package.
pub fn assumptions(catalog: &Catalog) -> Assumptions {
    let own = catalog
        .ranges
        .iter()
        .filter(|range| match cited(catalog, range) {
            Cited::Words => true,
            Cited::Document(document) => document.covers.is_empty(),
            Cited::Nothing => false,
        });
    let own: Vec<Replacement> = own.filter_map(replacement).collect();
    Assumptions::with(&own)
}

/// The ranges that the verdicts on one package stand on: a range that rests on a document with a list of
/// what it covers counts only there. Nothing where they are those of the whole catalog.
pub fn assumptions_for(catalog: &Catalog, package: &Package) -> Option<Assumptions> {
    let covers = |document: &EvidenceEntry| is_of(catalog, document, package);
    let mut differs = false;
    let own = catalog
        .ranges
        .iter()
        .filter(|range| match cited(catalog, range) {
            Cited::Words => true,
            Cited::Document(document) if document.covers.is_empty() => true,
            Cited::Document(document) => {
                let counts = covers(document);
                differs |= counts;
                counts
            }
            Cited::Nothing => false,
        });
    let own: Vec<Replacement> = own.filter_map(replacement).collect();
    differs.then(|| Assumptions::with(&own))
}

/// Whether a document lists the package, or a part it names, among what it covers.
fn is_of(catalog: &Catalog, document: &EvidenceEntry, package: &Package) -> bool {
    let on = package.entry.on();
    let has = |thing: &str| document.covers.has(thing);
    let mut mentions = catalog.mentions.within(&on);
    has(&on)
        || mentions.any(|mention| {
            let mut kinds = mention.kinds.iter();
            kinds.any(|kind| has(&format!("{}.{}", kind.table(), mention.id)))
        })
}

/// What a range's source points to.
enum Cited<'c> {
    /// Words that stand for themselves.
    Words,
    /// A document of the catalog.
    Document(&'c EvidenceEntry),
    /// A document that the catalog doesn't have: no source at all.
    Nothing,
}

fn cited<'c>(catalog: &'c Catalog, range: &RangeEntry) -> Cited<'c> {
    let source = range.source.known();
    let id = source.and_then(|source| source.text.trim().strip_prefix("evidence."));
    match id.map(|id| catalog.evidence.get(id)) {
        None => Cited::Words,
        Some(Some(document)) => Cited::Document(document),
        Some(None) => Cited::Nothing,
    }
}

/// A stated range; nothing where it isn't complete, its ends are out of order, or no measurement could give it. One
/// without a source isn't taken.
fn replacement(entry: &RangeEntry) -> Option<Replacement> {
    let number = |given: &Given<Plain<f64>>| given.known().map(|n| n.value);
    let (low, central, high) = (
        number(&entry.low)?,
        number(&entry.central)?,
        number(&entry.high)?,
    );
    let source = entry.source.known()?.text.clone();
    let name = Name::parse(&entry.name.text)?;
    (Assumptions::builtin()[name].could_be(low, high) && low <= central && central <= high)
        .then_some(Replacement {
            name,
            low,
            central,
            high,
            source,
        })
}

/// The basis a catalog rates on: the usual one, with what it states in place.
pub fn rating(catalog: &Catalog) -> Rating {
    let usual = Rating::default();
    let stated = &catalog.rating;
    let number = |given: &Given<Plain<f64>>, usual: f64| given.known().map_or(usual, |n| n.value);
    let figure = |given: &Given<crate::catalog::Figure>, unit: &str, usual: f64| {
        let unit = Unit::known(unit);
        given
            .known()
            .zip(unit)
            .map_or(usual, |(figure, unit)| unit.from_si(figure.si()))
    };
    Rating {
        coverage: usual.coverage,
        transfer: usual.transfer,
        reach_per_depth: number(&stated.reach_per_depth, usual.reach_per_depth),
        turnovers_per_day: number(&stated.turnovers_per_day, usual.turnovers_per_day),
        mixing_air: figure(&stated.mixing_air, "scfm/acre", usual.mixing_air),
        line_loss: figure(&stated.line_loss, "%", usual.line_loss),
    }
}

/// Whether a catalog may replace a range of that name.
pub fn is_known(name: &str) -> bool {
    Name::parse(name).is_some_and(|name| !Assumptions::builtin()[name].fixed)
}

/// What no measurement of a range of that name could leave, with its unit; nothing for a name that isn't known.
pub fn possible(name: &str) -> Option<([f64; 2], &'static str)> {
    let range = &Assumptions::builtin()[Name::parse(name)?];
    (!range.fixed).then_some((range.possible, &*range.unit))
}

/// The names of all ranges that a catalog may replace.
pub fn names() -> impl Iterator<Item = &'static str> {
    let all = Assumptions::builtin().iter();
    all.filter(|range| !range.fixed)
        .map(|range| range.name.as_str())
}
