//! A compressor by itself: where it is said to run, and how well that would be.

use crate::catalog::{Compressor, Figure, Given};
use crate::physics::curve::CompressorCurve;
use crate::physics::power::{self, TECHNOLOGY_BANDS, Technology, TechnologyBand};
use crate::units::quantity::{FreeAir, GaugePressure};

use super::flow::{self, Air};
use super::laying;

/// A compressor at one pressure, with the watts stated for it.
#[derive(Debug, Clone, Copy)]
pub struct Operating<'c> {
    /// The stated power.
    pub power: &'c Figure,
    /// Gauge pressure, Pa.
    pub pressure: f64,
    /// Free air there, m3/s.
    pub flow: f64,
    /// The least work that compresses that air, isothermal, W.
    pub least: f64,
    /// The ideal work without cooling, isentropic, W.
    pub ideal: f64,
    /// The most ideal work of any listed point, W: near open flow and near shut-off every machine
    /// does little.
    pub best: f64,
}

impl Operating<'_> {
    /// Wire-to-air efficiency at the greatest stated power, which favours the machine.
    pub fn efficiency(&self) -> f64 {
        self.ideal / self.power.high()
    }

    /// What the efficiency would be at the curve's best point with the same watts.
    pub fn best_efficiency(&self) -> f64 {
        self.best.max(self.ideal) / self.power.high()
    }
}

/// What is known of a compressor's technology.
pub fn band(part: &Compressor) -> Option<&'static TechnologyBand> {
    technology(part).map(Technology::band)
}

/// The bands of all technologies.
pub fn bands() -> &'static [TechnologyBand] {
    &TECHNOLOGY_BANDS
}

/// The technology of a compressor.
pub fn technology(part: &Compressor) -> Option<Technology> {
    Some(match part.technology.known()?.text.as_str() {
        "linear-diaphragm" => Technology::LinearDiaphragm,
        "linear-piston" => Technology::LinearPiston,
        "diaphragm" => Technology::Diaphragm,
        "rocking-piston" => Technology::RockingPiston,
        "rotary-vane" => Technology::RotaryVane,
        "regenerative-blower" => Technology::RegenerativeBlower,
        _ => return None,
    })
}

/// The points at which watts, pressure and flow are known together: each point of the curve with a
/// power, and the power's own pressure; without either the curve's best point, and without a curve
/// the rated flow's. Where no air moves, or against no pressure, there is nothing to judge.
pub fn operating(part: &Compressor) -> Vec<Operating<'_>> {
    let air = Air::of_curve(&part.conditions);
    let curve = laying::curve(part, &air).ok();
    let standard = flow::counts_standard(part);
    let listed = part.supply.curve.known().map_or(&[][..], |points| points);
    let free =
        |figure: &Figure| flow::free_air(figure.si(), figure.dimension(), &air, standard).value();
    let gauge = |figure: &Figure| flow::gauge(figure, air.pressure).value();
    let ideal = |flow: f64, pressure: f64| {
        let flow = FreeAir::cubic_metres_per_second(flow);
        power::isentropic_power(flow, air.pressure, GaugePressure::pascals(pressure))
            .value
            .value
    };
    let best_point = listed
        .iter()
        .map(|point| (gauge(&point.pressure), free(&point.flow)))
        .max_by(|a, b| ideal(a.1, a.0).total_cmp(&ideal(b.1, b.0)))
        .filter(|_| curve.is_some());
    let best = best_point.map_or(0.0, |(pressure, flow)| ideal(flow, pressure));
    let mut found: Vec<(&Figure, f64, f64)> = Vec::new();
    if curve.is_some() {
        for point in listed {
            if let Some(power) = &point.power {
                found.push((power, gauge(&point.pressure), free(&point.flow)));
            }
        }
    }
    if let Given::Known(power) = &part.supply.power {
        let at = power.conditions.pressure.as_deref().map(gauge);
        let at_rated = part
            .rated
            .known()
            .and_then(|rated| Some((gauge(rated.conditions.pressure.as_deref()?), free(rated))));
        found.extend(stated_power(
            power,
            at,
            curve.as_ref(),
            best_point,
            at_rated,
            !found.is_empty(),
        ));
    }
    found.retain(|(power, pressure, flow)| *pressure > 0.0 && *flow > 0.0 && power.high() > 0.0);
    found
        .into_iter()
        .map(|(power, pressure, flow)| {
            let air_flow = FreeAir::cubic_metres_per_second(flow);
            let gauge = GaugePressure::pascals(pressure);
            Operating {
                power,
                pressure,
                flow,
                least: power::isothermal_power(air_flow, air.pressure, gauge)
                    .value
                    .value,
                ideal: ideal(flow, pressure),
                best,
            }
        })
        .collect()
}

/// Where the compressor's own power holds: the power, Pa, m3/s.
fn stated_power<'c>(
    power: &'c Figure,
    at: Option<f64>,
    curve: Option<&CompressorCurve>,
    best: Option<(f64, f64)>,
    rated: Option<(f64, f64)>,
    curve_has_power: bool,
) -> Option<(&'c Figure, f64, f64)> {
    match (at, curve) {
        (Some(pressure), Some(curve)) => {
            let flow = curve.flow(GaugePressure::pascals(pressure))?.value();
            Some((power, pressure, flow))
        }
        (None, Some(_)) if !curve_has_power => best.map(|(pressure, flow)| (power, pressure, flow)),
        (_, None) => rated.map(|(pressure, flow)| (power, pressure, flow)),
        _ => None,
    }
}
