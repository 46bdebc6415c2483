//! How warm a cabinet gets, and how hot the air leaves the compressor.

use crate::assumptions::{Assumptions, End, Name};
use crate::catalog::{Cabinet, Catalog, Package};
use crate::physics::{Breach, heat};
use crate::units::quantity::{GaugePressure, si};

use super::flow::Air;
use super::machine;
use super::way::Way;

/// What a cabinet's fan makes of the heat in it.
#[derive(Debug, Clone)]
pub struct CabinetHeat<'c> {
    /// The cabinet.
    pub part: &'c Cabinet,
    /// Heat in it: all watts of the compressors and the fans, W.
    pub watts: f64,
    /// Air its fans move, m3/s.
    pub flow: f64,
    /// How much warmer it gets than the air around, K.
    pub rise: f64,
    /// How much warmer it may get, K.
    pub allowed: f64,
    /// Whether the compressor's own limit is what allows so little.
    pub by_limit: bool,
    /// The flow that would hold the rise to what is allowed, m3/s; nothing where none would.
    pub needed: Option<f64>,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
}

/// Rise that any cabinet may have, K: judgement.
const RISE: f64 = 10.0;

/// The heat in the cabinet of a way; nothing where its fan's flow or a power isn't known.
pub fn cabinet<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Option<CabinetHeat<'c>> {
    let part = way.cabinet_part(catalog, package)?;
    let count = f64::from(way.cabinet(package).known()?.count);
    let flow = part.fan_flow.known()?.si() * count;
    let watts = machine::watts(catalog, package, way).ok()?.most;
    let checked = heat::cabinet_rise(si::watts(watts), si::cubic_metres_per_second(flow)).ok()?;
    let uses = way.compressors(package).known()?;
    let limit = uses
        .iter()
        .filter_map(|one| catalog.compressors.get(&one.part.id)?.ambient_limit.known())
        .map(|limit| limit.high() - catalog.site.air_k())
        .reduce(f64::min);
    let by_limit = limit.is_some_and(|limit| limit < RISE);
    let allowed = limit.map_or(RISE, |limit| limit.min(RISE));
    let needed = heat::cabinet_flow(si::watts(watts), allowed).ok();
    Some(CabinetHeat {
        part,
        watts,
        flow,
        rise: checked.value,
        allowed,
        by_limit,
        needed: needed.map(|needed| needed.value.value),
        breaches: checked.breaches,
    })
}

/// Temperature at which air leaves a compressor at a gauge pressure in Pa, K, for an efficiency of its air
/// path.
pub fn discharge(site: &Air, pressure: f64, efficiency: f64) -> f64 {
    heat::discharge_temperature(
        si::kelvins(site.temperature),
        site.pressure,
        GaugePressure::pascals(pressure.max(0.0)),
        efficiency,
    )
    .value
    .value
}

/// The same at its coolest: with the most efficient air path.
pub fn coolest_discharge(catalog: &Catalog, assumptions: &Assumptions, pressure: f64) -> f64 {
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    let efficiency = assumptions[Name::AirPathEfficiency].at(End::Favourable);
    discharge(&site, pressure, efficiency)
}
