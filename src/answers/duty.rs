//! The duty point of a package: pressures, flows, power, cost and noise.

use crate::assumptions::{End, Name};
use crate::claims::running_cost;
use crate::derive::heat::{CabinetHeat, cabinet, discharge};
use crate::derive::pond::hours_a_day;
use crate::derive::solver::{Setting, Settled, Throttled};
use crate::derive::{Corner, machine, sound};
use crate::physics::network::{Outcome, OutletDuty};
use crate::physics::{Breach, power};
use crate::units::Unit;
use crate::units::quantity::{FreeAir, GaugePressure, si};

use super::choose::{Asked, Unanswerable};
use super::explain::{self, Step};

/// A duty point. SI throughout.
#[derive(Debug, Clone)]
pub struct Duty {
    /// Gauge pressure at the manifold, Pa.
    pub manifold: f64,
    /// The same at the least and the most, where the curve reaches so far.
    pub manifold_range: (Option<f64>, Option<f64>),
    /// Greatest pressure for continuous running, Pa.
    pub limit: Option<f64>,
    /// Free air the compressors draw in, m3/s.
    pub free_air: f64,
    /// What is let off before it reaches a line, as free air, m3/s.
    pub bled: f64,
    /// Free air that reaches the water, m3/s, at the least and the most.
    pub free_air_range: (Option<f64>, Option<f64>),
    /// Air the compressors move, kg/s.
    pub amount: f64,
    /// Power of the compressors from the supply, W.
    pub power: Option<f64>,
    /// Isentropic work over power.
    pub wire_to_air: Option<f64>,
    /// Whether no air comes through.
    pub dead_headed: bool,
    /// Each diffuser, in the catalog's order.
    pub branches: Vec<Branch>,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
    /// What a month costs.
    pub cost: Option<Cost>,
    /// How loud it is.
    pub noise: Option<sound::Noise>,
    /// What starting against full lines takes, Pa.
    pub start: Option<f64>,
    /// The greatest pressure the machines are known to reach, Pa.
    pub shut_off: f64,
    /// What valves can make of unlike branches, and how they are set.
    pub throttled: Option<(Throttled, Vec<Setting>)>,
    /// Temperature at which the air leaves the compressor, K: least, central, most.
    pub discharge: [f64; 3],
    /// How warm the cabinet gets.
    pub cabinet_rise: Option<f64>,
    /// Every equation used, with its figures.
    pub steps: Vec<Step>,
}

/// One diffuser and the way to it. Losses in Pa.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// ID of the diffuser.
    pub diffuser: String,
    /// Its depth, m.
    pub depth: f64,
    /// Length of its run, m.
    pub run: f64,
    /// Bore of its run, m: the last segment's; 0 without a line.
    pub bore: f64,
    /// Free air to it, m3/s.
    pub free_air: f64,
    /// Its working range, m3/s.
    pub working: Option<(f64, f64)>,
    /// Water over it.
    pub water_head: f64,
    /// Friction in the trunk, which all branches share.
    pub trunk_loss: f64,
    /// Friction in its own lines.
    pub line_loss: f64,
    /// Barbs and fittings.
    pub fitting_loss: f64,
    /// Valves.
    pub valve_loss: f64,
    /// Check valve.
    pub check_valve_loss: f64,
    /// The diffuser.
    pub diffuser_loss: f64,
    /// What a dry one is short of.
    pub short_by: f64,
    /// Reynolds number in its last line; 0 without one.
    pub reynolds: f64,
}

/// What a month of running costs.
#[derive(Debug, Clone, PartialEq)]
pub struct Cost {
    /// In the currency's own unit.
    pub a_month: f64,
    /// Code of the currency.
    pub currency: String,
    /// Power of compressors and fan, W.
    pub watts: f64,
    /// Running hours a day.
    pub hours_a_day: f64,
    /// Price of a kilowatt-hour.
    pub tariff: f64,
    /// Hours in the month.
    pub month: f64,
}

/// The duty point that is asked for.
///
/// # Errors
/// No depth, a curve that ends before it, or figures nothing can be built with.
pub fn answer(asked: &Asked) -> Result<Duty, Unanswerable> {
    let plant = &asked.solver.plant;
    let settled = asked.settled()?;
    let corner = |corner: Corner| asked.solver.corner(corner);
    let pressure = |of: Corner| corner(of).and_then(|settled| open_pressure(&settled));
    let air = |of: Corner| corner(of).and_then(|settled| settled.delivered());
    let duty = settled.duty();
    let manifold = duty.manifold.value();
    let free_air = duty.free_air.value();
    let density = settled.inlet_density;
    let power = power_of(asked, &settled);
    let gauge = GaugePressure::pascals(manifold);
    let wire_to_air = power.filter(|watts| *watts > 0.0).map(|watts| {
        let flow = FreeAir::cubic_metres_per_second(free_air);
        power::wire_to_air(flow, plant.site.pressure, gauge, si::watts(watts)).value
    });
    let throttled = settled
        .throttled
        .zip(asked.solver.evened())
        .filter(|_| plant.has_valves);
    let cabinet_heat = cabinet(asked.catalog, asked.package, asked.way);
    let efficiency = &asked.assumptions[Name::AirPathEfficiency];
    let leaves = |end: End| discharge(&plant.site, manifold, efficiency.at(end));
    let mut answer = Duty {
        manifold,
        manifold_range: (
            pressure(Corner::LeastPressure),
            pressure(Corner::GreatestPressure),
        ),
        limit: plant.max_pressure(),
        free_air,
        bled: duty.bled.value() / density,
        free_air_range: (air(Corner::LeastFlow), air(Corner::GreatestFlow)),
        amount: free_air * density,
        power,
        wire_to_air,
        dead_headed: settled.is_dry(),
        branches: branches(asked, &settled),
        breaches: duty.breaches.clone(),
        cost: cost(asked),
        noise: sound::noise(asked.catalog, asked.package, asked.way, &asked.assumptions),
        start: asked.solver.start_pressure(),
        shut_off: shut_off(asked),
        throttled,
        discharge: [End::Favourable, End::Central, End::Unfavourable].map(leaves),
        cabinet_rise: cabinet_heat.as_ref().map(|heat: &CabinetHeat| heat.rise),
        steps: Vec::new(),
    };
    answer.steps = explain::duty(asked, &settled, &answer);
    Ok(answer)
}

/// The manifold's pressure with every valve open; nothing beyond the curve.
pub(super) fn open_pressure(settled: &Settled) -> Option<f64> {
    match settled.outcome {
        Outcome::BeyondCurve { .. } => None,
        _ => Some(settled.manifold.value()),
    }
}

/// The greatest last pressure of the curves, Pa.
fn shut_off(asked: &Asked) -> f64 {
    let machines = asked.solver.plant.machines.iter();
    machines
        .map(|machine| machine.curve.last_pressure().value())
        .fold(0.0, f64::max)
}

/// Power of the compressors at a duty point, else as stated, W.
pub(super) fn power_of(asked: &Asked, settled: &Settled) -> Option<f64> {
    let solved = settled.duty().power.map(|power| power.value);
    solved.or_else(|| stated_power(asked))
}

/// The compressors' stated power together, W.
fn stated_power(asked: &Asked) -> Option<f64> {
    let machines = asked.solver.plant.machines.iter();
    machines
        .map(|machine| {
            let power = machine.supply.power.known()?;
            Some(power.si() * f64::from(machine.count))
        })
        .sum()
}

/// Every diffuser, alike ones one by one.
fn branches(asked: &Asked, settled: &Settled) -> Vec<Branch> {
    let mut branches = Vec::new();
    for outlet in &settled.duty().outlets {
        let one = branch(asked, settled, outlet);
        branches.extend(std::iter::repeat_n(one, outlet.count.round() as usize));
    }
    branches
}

fn branch(asked: &Asked, settled: &Settled, outlet: &OutletDuty) -> Branch {
    let plant = &asked.solver.plant;
    let density = settled.inlet_density;
    let of = &plant.outlets[outlet.label];
    // The lines are listed from the compressors on, so the trunk's come first.
    let trunk = plant.trunk.iter().filter(|line| line.length > 0.0).count();
    let trunk_loss: f64 = outlet.lines.iter().take(trunk).map(|line| line.loss).sum();
    Branch {
        diffuser: of.part.entry.id.clone(),
        depth: of.depth,
        run: of.run_length(),
        bore: of.lines.last().map_or(0.0, |line| line.bore),
        free_air: outlet.free_air.value(),
        working: Some(settled.least[outlet.label])
            .filter(|least| *least > 0.0)
            .zip(settled.most[outlet.label])
            .map(|(least, most)| (least / density, most / density)),
        water_head: outlet.water_head.value,
        trunk_loss,
        line_loss: outlet.line_loss.value - trunk_loss,
        fitting_loss: outlet.fitting_loss.value,
        valve_loss: outlet.valve_loss.value,
        check_valve_loss: outlet.check_valve_loss.value,
        diffuser_loss: outlet.diffuser_loss.value,
        short_by: outlet.short_by.value,
        reynolds: outlet.reynolds().unwrap_or(0.0),
    }
}

/// What a month costs at the stated power, as a claim of it is judged: at the price the package's own claim
/// of cost names, else at the site's.
pub(super) fn cost(asked: &Asked) -> Option<Cost> {
    let watts = machine::watts(asked.catalog, asked.package, asked.way)
        .ok()?
        .most;
    let claims = asked.package.claims.running_cost.known();
    let claim = claims.and_then(|rows| rows.first());
    let own = claim.and_then(|figure| figure.conditions.tariff.as_deref());
    let tariff = own.or(asked.catalog.site.tariff.known())?;
    let hours_a_day = hours_a_day(asked.catalog, asked.package, claim);
    let (_, month) = running_cost::Period::Month.hours();
    let price = tariff.si() * 3.6e6;
    Some(Cost {
        a_month: running_cost::a_month(watts, hours_a_day, price),
        currency: tariff.quantity.unit().currency()?.code().to_string(),
        watts,
        hours_a_day,
        tariff: price,
        month,
    })
}

impl Cost {
    /// The unit of money in a month, for showing it.
    pub fn unit(&self) -> Option<Unit> {
        Unit::known(&format!("{}/month", self.currency))
    }
}
