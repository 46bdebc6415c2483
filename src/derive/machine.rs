//! A compressor by itself: where it is said to run, and how well that would be.

use crate::catalog::{Catalog, Compressor, Figure, Given, Package, Supply};
use crate::physics::Refusal;
use crate::physics::curve::{CompressorCurve, CurvePoint};
use crate::physics::power::{self, TECHNOLOGY_BANDS, Technology, TechnologyBand};
use crate::units::quantity::{FreeAir, GaugePressure, si};

use super::flow::{self, Air};
use super::missing::Missing;
use super::supply;
use super::way::Way;

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

/// What is known of the technology that the format calls so.
pub fn band_of(word: &str) -> Option<&'static TechnologyBand> {
    technology_of(word).map(Technology::band)
}

/// The technology of a compressor.
pub fn technology(part: &Compressor) -> Option<Technology> {
    technology_of(part.technology.known()?.text.as_str())
}

fn technology_of(word: &str) -> Option<Technology> {
    Some(match word {
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
pub fn operating<'c>(part: &'c Compressor, supply: &'c Supply) -> Vec<Operating<'c>> {
    let air = Air::of_curve(&part.conditions);
    let curve = curve(part, supply, &air).ok();
    let standard = flow::counts_standard(part);
    let listed = supply.curve.known().map_or(&[][..], |points| points);
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
    if let Given::Known(power) = &supply.power {
        let at = power.conditions.pressure.as_deref().map(gauge);
        // The rated flow is that of the first supply: on another the machine runs otherwise.
        let at_rated = part
            .rated
            .known()
            .filter(|rated| supply::is_first(part, supply) && !is_corner(part, rated))
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

/// Electrical power in W, as the ranges that parts state add up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watts {
    /// With every part at its least.
    pub least: f64,
    /// With every part at its most: what wires, fuses and a bill are reckoned with.
    pub most: f64,
}

impl Watts {
    fn add(&mut self, figure: &Figure, count: u32) {
        self.least += figure.low() * f64::from(count);
        self.most += figure.high() * f64::from(count);
    }
}

/// Electrical power of one way to buy a package: its compressors and its fans.
///
/// # Errors
/// The part whose power isn't known.
pub fn watts(catalog: &Catalog, package: &Package, way: Way) -> Result<Watts, Missing> {
    let uses = way
        .compressors(package)
        .known()
        .ok_or_else(|| Missing::unusable("the compressor", Some(package.entry.header)))?;
    let mut watts = Watts {
        least: 0.0,
        most: 0.0,
    };
    for one in uses {
        let fact = || format!("the power of compressor {}", one.part.id);
        let part = catalog
            .compressors
            .get(&one.part.id)
            .ok_or_else(|| Missing::unusable(fact(), Some(one.part.at)))?;
        let on = supply::of(catalog, package, way, part)?;
        let power = match &on.power {
            Given::Known(power) => power,
            // Every compressor needs it on its first supply, and on the others it may be left out.
            Given::Absent if !supply::is_first(part, on) => {
                let fact = supply::of_supply(fact(), part, on);
                return Err(Missing::absent(fact, on.at).of_key("power"));
            }
            _ => return Err(Missing::unusable(fact(), Some(part.entry.header))),
        };
        if power.quantity.unit().is_of_a_shaft() {
            let fact = format!(
                "the watts that compressor {} draws: horsepower is what a motor's shaft gives",
                one.part.id
            );
            return Err(Missing::absent(fact, Some(power.at)).of_key("power"));
        }
        watts.add(power, one.count);
    }
    if let Some((fan, count)) = fan(catalog, package, way)? {
        watts.add(fan, count);
    }
    Ok(watts)
}

/// The power of the cabinet's fan of a way and how many there are; nothing where none is stated.
///
/// # Errors
/// A cabinet that can't be found may have a fan that takes watts too.
pub fn fan<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Result<Option<(&'c Figure, u32)>, Missing> {
    let named = match way.cabinet(package) {
        Given::Known(named) => named,
        Given::Absent => return Ok(None),
        Given::Unreadable => return Err(Missing::unusable("the cabinet", None)),
    };
    let cabinet = catalog.cabinets.get(&named.part.id).ok_or_else(|| {
        let fact = format!("the cabinet {}", named.part.id);
        Missing::unusable(fact, Some(named.part.at))
    })?;
    let fan = cabinet.fan_power.known();
    Ok(fan.map(|fan| (fan, named.count)))
}

/// Free air against no pressure, m3/s: as stated for the first supply, else the curve's first point where that
/// is at none.
pub fn open_flow(part: &Compressor, supply: &Supply) -> Option<f64> {
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let free =
        |figure: &Figure| flow::free_air(figure.si(), figure.dimension(), &taken, standard).value();
    let is_stated = supply::is_first(part, supply) && part.open_flow.is_there();
    match (&part.open_flow, &supply.curve) {
        (Given::Known(open), _) if is_stated => Some(free(open)),
        (_, Given::Known(points)) if !is_stated => points
            .iter()
            .find(|point| flow::gauge(&point.pressure, taken.pressure).value() == 0.0)
            .map(|point| free(&point.flow)),
        _ => None,
    }
}

/// The greatest pressure for continuous running, Pa.
pub fn max_pressure(part: &Compressor) -> Option<f64> {
    let taken = Air::of_curve(&part.conditions);
    let max = part.max_pressure.known()?;
    Some(flow::gauge(max, taken.pressure).value())
}

/// The pressure in Pa that a compressor may be held at: its greatest for continuous running, or where its relief valve
/// opens before that; nothing where the greatest isn't known.
pub fn may_hold(part: &Compressor) -> Option<f64> {
    let taken = Air::of_curve(&part.conditions);
    let relief = part.relief.known();
    let relief = relief.map(|relief| flow::gauge(relief, taken.pressure).value());
    Some(max_pressure(part)?.min(relief.unwrap_or(f64::INFINITY)))
}

/// Open flow and a flow quoted at the greatest pressure are the same within this.
const CORNER_SHARE: f64 = 0.03;

/// Whether a flow in m3/s at a pressure in Pa pairs the open flow with the greatest pressure or more:
/// the two ends of a curve, which no machine gives at once.
pub fn is_corner_pair(flow: f64, at: Option<f64>, open: Option<f64>, most: Option<f64>) -> bool {
    let (Some(at), Some(open), Some(most)) = (at, open, most) else {
        return false;
    };
    most > 0.0 && at >= most * (1.0 - 1e-9) && (flow / open - 1.0).abs() <= CORNER_SHARE
}

/// Whether a compressor's rated flow is such a pair.
pub fn is_corner(part: &Compressor, rated: &Figure) -> bool {
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let free = flow::free_air(rated.si(), rated.dimension(), &taken, standard);
    let at = rated.conditions.pressure.as_deref();
    let at = at.map(|at| flow::gauge(at, taken.pressure).value());
    let open = open_flow(part, &part.supply);
    is_corner_pair(free.value(), at, open, max_pressure(part))
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
        // Watts and flow must be of one pressure.
        (at, None) => rated
            .filter(|(pressure, _)| at.is_none_or(|at| (at - pressure).abs() <= 0.01 * pressure))
            .map(|(pressure, flow)| (power, pressure, flow)),
        _ => None,
    }
}

/// A compressor's curve, for rooms that ask no other question of the physics.
pub type Curve = CompressorCurve;

/// A compressor's curve on one of its supplies, as free air against gauge pressure, at the air it was taken in.
///
/// # Errors
/// What is missing, or why the stated points are no curve.
pub fn curve(part: &Compressor, supply: &Supply, taken_in: &Air) -> Result<Curve, Missing> {
    let id = supply::of_supply(part.entry.id.clone(), part, supply);
    let points = match &supply.curve {
        Given::Known(points) => points,
        Given::Unreadable => {
            return Err(
                Missing::unusable(format!("the curve of compressor {id}"), None).of_key("curve"),
            );
        }
        Given::Absent => {
            return Err(Missing::absent(
                format!("the curve of compressor {id}"),
                supply.at.or(Some(part.entry.header)),
            )
            .of_key("curve"));
        }
    };
    let standard = flow::counts_standard(part);
    let points: Vec<CurvePoint> = points
        .iter()
        .map(|point| CurvePoint {
            pressure: flow::gauge(&point.pressure, taken_in.pressure),
            flow: flow::free_air(point.flow.si(), point.flow.dimension(), taken_in, standard),
            power: point.power.as_ref().map(|power| si::watts(power.si())),
        })
        .collect();
    CompressorCurve::new(&points).map_err(|refusal| {
        let place = supply
            .curve
            .known()
            .and_then(|points| points.first())
            .map(|p| p.flow.at);
        let fact = format!("a usable curve of compressor {id} ({refusal})");
        let missing = match refusal {
            // `curve.rising` says so.
            Refusal::FlowRises { .. } | Refusal::Repeated { .. } => Missing::unusable(fact, place),
            _ => Missing::absent(fact, place),
        };
        missing.of_key("curve")
    })
}
