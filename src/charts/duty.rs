//! The compressor against the system, and where the pressure goes.

use crate::derive::{Corner, Solver};
use crate::physics::network::Network;
use crate::units::quantity::GaugePressure;

use super::{Point, spread};

/// Points on each curve.
const POINTS: u32 = 25;

/// Two curves of flow against pressure, and where they meet. Points are (m3/s of free air, Pa).
#[derive(Debug, Clone, PartialEq)]
pub struct DutyChart {
    /// What the compressors give at each pressure, up to the curve's last point.
    pub supply: Vec<Point>,
    /// What runs and diffusers take at each pressure.
    pub system: Vec<Point>,
    /// Where they meet at central values; nothing beyond the curve.
    pub duty: Option<Point>,
    /// The same where there is least air.
    pub least: Option<Point>,
    /// The same where there is most.
    pub most: Option<Point>,
    /// The greatest pressure for continuous running, Pa.
    pub limit: Option<f64>,
}

/// Pressures on the way of one kind of branch, Pa. They add up to the manifold's.
#[derive(Debug, Clone, PartialEq)]
pub struct Budget {
    /// ID of the diffuser.
    pub diffuser: String,
    /// How many branches are so.
    pub count: f64,
    /// Depth of the bubbles, m.
    pub depth: f64,
    /// Length of the run, m.
    pub run: f64,
    /// Pressure at the manifold.
    pub manifold: f64,
    /// What it goes into, in the order the air meets it; what is nothing is left out.
    pub parts: Vec<(&'static str, f64)>,
}

/// The air of one kind of branch, m3/s.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// ID of the diffuser.
    pub diffuser: String,
    /// How many branches are so.
    pub count: f64,
    /// Depth of the bubbles, m.
    pub depth: f64,
    /// Length of the run, m.
    pub run: f64,
    /// Air for each diffuser with all valves open.
    pub air: f64,
    /// The diffuser's working range.
    pub working: Option<(f64, f64)>,
}

/// The two curves of a plant at its depth.
pub(super) fn chart(solver: &Solver) -> Option<DutyChart> {
    let plant = &solver.plant;
    let density = plant.site.density;
    let values = Corner::Central.values(solver.ranges());
    let network = plant.network(&values).ok()?;
    let last = plant
        .machines
        .iter()
        .map(|machine| machine.curve.last_pressure().value())
        .reduce(f64::min)?;
    let first = plant
        .machines
        .iter()
        .map(|machine| machine.curve.first_pressure().value())
        .fold(0.0, f64::max);
    let supplied = |pressure: f64| {
        let at = GaugePressure::pascals(pressure);
        network.supplied_at(at).free_air(density).value()
    };
    let supply: Vec<Point> = spread(first, last, POINTS)
        .map(|pressure| (supplied(pressure), pressure))
        .collect();
    let duty = at(solver, Corner::Central);
    let most_air = supply.iter().map(|point| point.0).fold(0.0, f64::max);
    let outlets = plant.outlets.iter();
    let opens = outlets.filter_map(|outlet| plant.opening_pressure(outlet, &values));
    let opens = opens.reduce(f64::min)?;
    let system = system(&network, density, (opens, last), most_air);
    Some(DutyChart {
        supply,
        system,
        duty,
        least: at(solver, Corner::LeastFlow),
        most: at(solver, Corner::GreatestFlow),
        limit: plant.max_pressure(),
    })
}

/// What the system takes, from where air begins to leave to the end of either curve.
fn system(
    network: &Network,
    density: crate::units::quantity::MassDensity,
    (open, last): (f64, f64),
    most_air: f64,
) -> Vec<Point> {
    let drawn = |pressure: f64| {
        let at = GaugePressure::pascals(pressure);
        network.drawn_at(at).free_air(density).value()
    };
    if open >= last * 1.2 {
        return Vec::new();
    }
    let mut points = vec![(0.0, open)];
    for pressure in spread(open, last * 1.2, POINTS).skip(1) {
        let air = drawn(pressure);
        points.push((air, pressure));
        if air > most_air {
            break;
        }
    }
    points
}

/// The duty point at a corner; nothing beyond the curve.
fn at(solver: &Solver, corner: Corner) -> Option<Point> {
    let settled = solver.corner(corner)?;
    let air = settled.delivered()?;
    Some((air, settled.manifold.value()))
}

/// Where the pressure goes at central values.
pub(super) fn budget(solver: &Solver) -> Vec<Budget> {
    let Some(settled) = solver.corner(Corner::Central) else {
        return Vec::new();
    };
    if settled.beyond().is_some() {
        return Vec::new();
    }
    let outlets = settled.duty().outlets.iter();
    outlets
        .map(|outlet| {
            let of = &solver.plant.outlets[outlet.label];
            let parts = [
                ("valve", outlet.valve_loss.value),
                ("barbs and fittings", outlet.fitting_loss.value),
                ("airline", outlet.line_loss.value),
                ("check valve", outlet.check_valve_loss.value),
                ("diffuser", outlet.diffuser_loss.value),
                ("water over the diffuser", outlet.water_head.value),
            ];
            Budget {
                diffuser: of.part.entry.id.clone(),
                count: outlet.count,
                depth: outlet.depth.value,
                run: of.run_length(),
                manifold: settled.manifold.value(),
                parts: parts.into_iter().filter(|part| part.1 > 0.0).collect(),
            }
        })
        .collect()
}

/// The air of each branch at central values, where branches aren't alike.
pub(super) fn branches(solver: &Solver) -> Vec<Branch> {
    let plant = &solver.plant;
    if plant.is_even() {
        return Vec::new();
    }
    let Some(settled) = solver.corner(Corner::Central) else {
        return Vec::new();
    };
    let density = settled.inlet_density;
    let outlets = settled.duty().outlets.iter();
    outlets
        .map(|outlet| {
            let of = &plant.outlets[outlet.label];
            let least = Some(settled.least[outlet.label]).filter(|least| *least > 0.0);
            let working = least.zip(settled.most[outlet.label]);
            Branch {
                diffuser: of.part.entry.id.clone(),
                count: outlet.count,
                depth: outlet.depth.value,
                run: of.run_length(),
                air: outlet.free_air.value(),
                working: working.map(|(least, most)| (least / density, most / density)),
            }
        })
        .collect()
}
