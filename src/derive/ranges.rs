//! The ranges and the rating basis of a catalog: the built-in ones, with its own in place.

use crate::assumptions::{Assumptions, Name, Rating, Replacement};
use crate::catalog::{Catalog, Given, Plain, RangeEntry};
use crate::units::Unit;

/// The ranges a catalog's verdicts stand on.
pub fn assumptions(catalog: &Catalog) -> Assumptions {
    let own: Vec<Replacement> = catalog.ranges.iter().filter_map(replacement).collect();
    Assumptions::with(&own)
}

/// A stated range; nothing where it isn't complete or its ends are out of order. One without a source
/// isn't taken.
fn replacement(entry: &RangeEntry) -> Option<Replacement> {
    let number = |given: &Given<Plain<f64>>| given.known().map(|n| n.value);
    let (low, central, high) = (
        number(&entry.low)?,
        number(&entry.central)?,
        number(&entry.high)?,
    );
    let source = entry.source.known()?.text.clone();
    let name = Name::parse(&entry.name.text)?;
    (low <= central && central <= high).then_some(Replacement {
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
        reach_per_depth: number(&stated.reach_per_depth, usual.reach_per_depth),
        turnovers_per_day: number(&stated.turnovers_per_day, usual.turnovers_per_day),
        mixing_air: figure(&stated.mixing_air, "scfm/acre", usual.mixing_air),
        line_loss: figure(&stated.line_loss, "%", usual.line_loss),
    }
}

/// The names of all ranges that a catalog may replace.
pub fn names() -> impl Iterator<Item = &'static str> {
    let all = Assumptions::builtin().iter();
    all.filter(|range| !range.fixed)
        .map(|range| range.name.as_str())
}
