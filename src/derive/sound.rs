//! Sound levels brought to one distance, so that they compare.

use crate::assumptions::{Assumptions, End, Name};
use crate::catalog::{Catalog, Figure, Package};
use crate::physics::sound::{Decibels, at_distance, sum};
use crate::units::Dimension;
use crate::units::quantity::si;

use super::way::Way;

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

/// How loud a package is.
#[derive(Debug, Clone, PartialEq)]
pub struct Noise {
    /// At this distance, m.
    pub distance: f64,
    /// With what the cabinet takes off at its most, dB.
    pub low: f64,
    /// Central, dB.
    pub central: f64,
    /// With what it takes off at its least, dB.
    pub high: f64,
    /// What the cabinet takes off, central, dB.
    pub reduction: f64,
    /// Whether every level is A-weighted.
    pub weighted: bool,
    /// Each source.
    pub sources: Vec<Source>,
}

/// A machine or fan that is heard.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// Which.
    pub of: String,
    /// Its stated level, dB.
    pub stated: f64,
    /// Where that is heard, m.
    pub stated_at: f64,
    /// Its level at the common distance, dB.
    pub level: f64,
    /// Whether the cabinet muffles it.
    inside: bool,
}

/// How loud a way to buy a package is, at the distance of its own claim or else of its first compressor;
/// nothing where a level or its distance isn't known.
pub fn noise(
    catalog: &Catalog,
    package: &Package,
    way: Way,
    assumptions: &Assumptions,
) -> Option<Noise> {
    let claims = package.claims.sound.known();
    let claimed = claims.and_then(|rows| stated_at(rows.first()?));
    noise_at(catalog, package, way, assumptions, claimed)
}

/// Where a level is heard, m.
fn stated_at(figure: &Figure) -> Option<f64> {
    figure.conditions.distance.as_ref().map(|at| at.si())
}

/// The same at `distance` m, or where none is given at that of its first compressor.
pub fn noise_at(
    catalog: &Catalog,
    package: &Package,
    way: Way,
    assumptions: &Assumptions,
    distance: Option<f64>,
) -> Option<Noise> {
    let uses = way.compressors(package).known()?;
    let mut stated: Vec<(String, &Figure, u32, bool)> = Vec::new();
    for one in uses {
        let level = catalog.compressors.get(&one.part.id)?.sound.known()?;
        stated.push((
            format!("compressor {}", one.part.id),
            level,
            one.count,
            true,
        ));
    }
    let cabinet = way.cabinet_part(catalog, package);
    if let Some(level) = cabinet.and_then(|cabinet| cabinet.fan_sound.known()) {
        stated.push(("the cabinet's fan".into(), level, 1, false));
    }
    let distance = distance.or_else(|| stated_at(stated.first()?.1))?;
    let mut sources = Vec::new();
    for (of, level, count, inside) in &stated {
        let stated_at = stated_at(level)?;
        let there = at_distance(
            Decibels(level.high()),
            si::metres(stated_at),
            si::metres(distance),
        );
        let source = Source {
            of: of.clone(),
            stated: level.high(),
            stated_at,
            level: there.ok()?.value.0,
            inside: *inside,
        };
        sources.extend(std::iter::repeat_n(source, *count as usize));
    }
    let usual = &assumptions[Name::CabinetReduction];
    let own = cabinet.map(|cabinet| cabinet.sound_reduction.known().map(Figure::si));
    let reduction = |end: End| match own {
        None => 0.0,
        Some(stated) => stated.unwrap_or(usual.at(end)),
    };
    let level = |end: End| {
        let muffled = |source: &Source| {
            let less = if source.inside { reduction(end) } else { 0.0 };
            Decibels(source.level - less)
        };
        let levels: Vec<Decibels> = sources.iter().map(muffled).collect();
        Some(sum(&levels)?.0)
    };
    Some(Noise {
        distance,
        low: level(End::Favourable)?,
        central: level(End::Central)?,
        high: level(End::Unfavourable)?,
        reduction: reduction(End::Central),
        weighted: stated
            .iter()
            .all(|(_, level, ..)| level.dimension() == Dimension::WeightedSoundLevel),
        sources,
    })
}
