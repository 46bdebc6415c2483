//! The duty point of a package: pressures, flows, power, cost and noise.

use crate::catalog::Given;
use crate::claims::{self, Ground};
use crate::derive::solver::Settled;
use crate::derive::{Corner, Derived};
use crate::physics::network::Outcome;
use crate::physics::{Breach, power};
use crate::units::quantity::{FreeAir, GaugePressure, si};

use super::choose::{Asked, Unanswerable};

/// A duty point. SI throughout.
#[derive(Debug, Clone)]
pub struct Duty {
    /// Gauge pressure at the manifold, Pa.
    pub manifold: f64,
    /// The same at the unfavourable and favourable corner, where the curve reaches so far.
    pub manifold_range: (Option<f64>, Option<f64>),
    /// Greatest pressure for continuous running, Pa.
    pub limit: Option<f64>,
    /// Free air the compressors draw in, m3/s.
    pub free_air: f64,
    /// The same at the least and the most.
    pub free_air_range: (Option<f64>, Option<f64>),
    /// Air that reaches the water, kg/s.
    pub amount: f64,
    /// Power from the supply, W.
    pub power: Option<f64>,
    /// Isentropic work over power.
    pub wire_to_air: Option<f64>,
    /// Whether no air comes through.
    pub dead_headed: bool,
    /// Each diffuser, in the catalog's order.
    pub branches: Vec<Branch>,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
    /// Cost of a month, and its currency, where the site has a tariff.
    pub cost_a_month: Option<(f64, String)>,
    /// Level of the bare compressors together, dB, and the distance in m, where they state one.
    pub sound: Option<(f64, f64)>,
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
    /// Friction in its lines.
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

/// The duty point that is asked for.
///
/// # Errors
/// No depth, a curve that ends before it, or figures nothing can be built with.
pub fn answer(asked: &Asked) -> Result<Duty, Unanswerable> {
    let plant = &asked.solver.plant;
    if !plant.has_depth {
        return Err(Unanswerable::NoDepth);
    }
    let central = asked.assumptions.central();
    plant
        .network(&central)
        .map_err(|refusal| Unanswerable::Unbuildable(refusal.to_string()))?;
    let settled = asked.solver.at(&central).ok_or(Unanswerable::NoDepth)?;
    if let Outcome::BeyondCurve { last, .. } = settled.duty.outcome {
        return Err(Unanswerable::BeyondCurve(last.value()));
    }
    let corner = |corner: Corner| asked.solver.corner(corner);
    let pressure = |of: Corner| corner(of).and_then(|settled| settled.pressure());
    let air = |of: Corner| corner(of).and_then(|settled| settled.delivered(plant));
    let duty = &settled.duty;
    let manifold = duty.manifold.value();
    let free_air = duty.free_air.value();
    let power = duty
        .power
        .map(|power| power.value)
        .or_else(|| stated_power(asked));
    let wire_to_air = power
        .filter(|watts| *watts > 0.0 && free_air > 0.0)
        .map(|watts| {
            let flow = FreeAir::cubic_metres_per_second(free_air);
            let gauge = GaugePressure::pascals(manifold);
            power::wire_to_air(flow, plant.site.pressure, gauge, si::watts(watts)).value
        });
    Ok(Duty {
        manifold,
        manifold_range: (
            pressure(Corner::LeastPressure),
            pressure(Corner::GreatestPressure),
        ),
        limit: plant.max_pressure(),
        free_air,
        free_air_range: (air(Corner::LeastFlow), air(Corner::GreatestFlow)),
        amount: duty.amount.value(),
        power,
        wire_to_air,
        dead_headed: settled.is_dry(),
        branches: branches(asked, &settled),
        breaches: duty.breaches.clone(),
        cost_a_month: cost(asked),
        sound: sound(asked),
    })
}

/// The compressors' stated power together, W.
fn stated_power(asked: &Asked) -> Option<f64> {
    let machines = asked.solver.plant.machines.iter();
    machines
        .map(|machine| {
            let power = machine.part.supply.power.known()?;
            Some(power.si() * f64::from(machine.count))
        })
        .sum()
}

fn branches(asked: &Asked, settled: &Settled) -> Vec<Branch> {
    let plant = &asked.solver.plant;
    let density = plant.site.density.value;
    let mut branches = Vec::new();
    for outlet in &settled.duty.outlets {
        let of = &plant.outlets[outlet.label];
        let branch = Branch {
            diffuser: of.part.entry.id.clone(),
            depth: of.depth,
            run: of.run_length(),
            bore: of.lines.last().map_or(0.0, |line| line.bore),
            free_air: outlet.free_air.value(),
            working: of
                .least
                .zip(of.most)
                .map(|(least, most)| (least / density, most / density)),
            water_head: outlet.water_head.value,
            line_loss: outlet.line_loss.value,
            fitting_loss: outlet.fitting_loss.value,
            valve_loss: outlet.valve_loss.value,
            check_valve_loss: outlet.check_valve_loss.value,
            diffuser_loss: outlet.diffuser_loss.value,
            short_by: outlet.short_by.value,
            reynolds: outlet.reynolds().unwrap_or(0.0),
        };
        branches.extend(std::iter::repeat_n(branch, outlet.count.round() as usize));
    }
    branches
}

/// What a month costs at the stated power, as a claim of it is judged.
fn cost(asked: &Asked) -> Option<(f64, String)> {
    let derived = Derived::of(asked.catalog);
    let facts = derived.package(&asked.package.entry.id)?;
    let ground = Ground::of(asked.catalog, &derived, facts);
    let watts = claims::power::sum(&ground).ok()?;
    let tariff = asked.catalog.site.tariff.known()?;
    let hours = claims::running_cost::hours_a_day(&ground, None);
    let month = asked.assumptions.central()[crate::assumptions::Name::Month];
    let currency = tariff.quantity.unit().currency()?.code().to_string();
    Some((
        watts * hours / 24.0 * month * 3600.0 * tariff.si(),
        currency,
    ))
}

/// The compressors' levels together, where all state one at the same distance.
fn sound(asked: &Asked) -> Option<(f64, f64)> {
    let mut distance: Option<f64> = None;
    let mut levels = Vec::new();
    for machine in &asked.solver.plant.machines {
        let Given::Known(level) = &machine.part.sound else {
            return None;
        };
        let at = level.conditions.distance.as_ref().map(|at| at.si())?;
        if distance.is_some_and(|other| other != at) {
            return None;
        }
        distance = Some(at);
        levels.extend(std::iter::repeat_n(
            crate::physics::sound::Decibels(level.high()),
            machine.count as usize,
        ));
    }
    Some((crate::physics::sound::sum(&levels)?.0, distance?))
}
