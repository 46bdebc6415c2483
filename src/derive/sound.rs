//! Sound levels brought to one distance, so that they compare.

use crate::catalog::Figure;
use crate::physics::sound::{Decibels, at_distance};
use crate::units::Dimension;
use crate::units::quantity::si;

/// The lower and upper end of an A-weighted level at 1 m, dB(A), as far as its digits tell; nothing
/// where its distance isn't stated, or is so near or far that levels don't carry over.
pub fn at_one_metre(figure: &Figure) -> Option<(f64, f64)> {
    if figure.dimension() != Dimension::WeightedSoundLevel {
        return None;
    }
    let distance = figure.conditions.distance.as_ref()?;
    let there = |level: f64| {
        let checked =
            at_distance(Decibels(level), si::metres(distance.si()), si::metres(1.0)).ok()?;
        checked.breaches.is_empty().then_some(checked.value.0)
    };
    let (low, high) = figure.quantity.rounding();
    Some((
        there(low.min(figure.low()))?,
        there(high.max(figure.high()))?,
    ))
}
