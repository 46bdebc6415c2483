//! Duty points of one plant, each solved once.

use std::sync::{Arc, Mutex, PoisonError};

use crate::assumptions::{Assumptions, Name, Values};
use crate::physics::Breach;
use crate::physics::network::{Duty, Outcome};

use super::corners::{AIR_SIDE, Corner};
use super::plant::Plant;

/// What the air side of a calculation depends on.
type Key = [u64; AIR_SIDE.len()];

/// As many duty points of a plant are kept; a verdict asks for fewer than forty.
const KEPT: usize = 64;

/// A plant at its depth, and the duty points already solved.
#[derive(Debug)]
pub struct Solver<'c> {
    /// The plant.
    pub plant: Plant<'c>,
    known: Mutex<Vec<(Key, Option<Arc<Settled>>)>>,
}

/// A duty point, with what valves can make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// With every valve open.
    pub duty: Duty,
    /// With valves set so that every diffuser gets its least, where branches differ and have
    /// valves.
    pub throttled: Option<Throttled>,
}

/// What valves can make of unlike branches.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Throttled {
    /// Gauge pressure at the manifold, Pa.
    pub pressure: f64,
    /// How many times its least air every diffuser can get.
    pub share: f64,
}

impl<'c> Solver<'c> {
    /// For `plant` as it stands.
    pub fn new(plant: Plant<'c>) -> Solver<'c> {
        Solver { plant, known: Mutex::default() }
    }

    /// The duty point under `values`; nothing where no depth is known, or a figure is beyond what can
    /// be built, which its own rule reports.
    pub fn at(&self, values: &Values) -> Option<Arc<Settled>> {
        let key: Key = std::array::from_fn(|i| values[AIR_SIDE[i]].to_bits());
        {
            let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
            if let Some((_, found)) = known.iter().find(|(k, _)| *k == key) {
                return found.clone();
            }
        }
        let found = self.settle(values).map(Arc::new);
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if known.len() < KEPT {
            known.push((key, found.clone()));
        }
        found
    }

    /// The duty point at a corner.
    pub fn corner(&self, corner: Corner, assumptions: &Assumptions) -> Option<Arc<Settled>> {
        self.at(&corner.values(assumptions))
    }

    fn settle(&self, values: &Values) -> Option<Settled> {
        let plant = &self.plant;
        if !plant.has_depth {
            return None;
        }
        let network = plant.network(values).ok()?;
        let duty = network.solve();
        let throttled = (plant.has_valves && !plant.is_even()).then(|| throttle(plant, &network, &duty)).flatten();
        Some(Settled { duty, throttled })
    }

    /// The ranges its air side depends on: those its parts leave open.
    pub fn depends(&self) -> Vec<Name> {
        let plant = &self.plant;
        let mut names = vec![Name::CurveTolerance];
        let mut add = |name: Name, wanted: bool| {
            if wanted {
                names.push(name);
            }
        };
        add(Name::DiffuserLoss, plant.outlets.iter().any(|o| !o.loss_is_default()));
        add(Name::DiffuserLossDefault, plant.outlets.iter().any(|o| o.loss_is_default()));
        add(Name::CheckValveOpening, plant.outlets.iter().any(|o| o.check_valve_is_default()));
        let lines = !plant.trunk.is_empty() || plant.outlets.iter().any(|o| o.run_length() > 0.0);
        let barbed = plant.trunk_barbed || plant.outlets.iter().any(|o| o.barbed);
        add(Name::BarbsPerLine, lines && barbed);
        add(Name::Bore, lines);
        add(Name::Friction, lines);
        let moved = |machine: &super::plant::PlantMachine| machine.taken_in.pressure != plant.site.pressure;
        add(Name::AltitudeModel, plant.machines.iter().any(moved));
        names
    }
}

/// What valves can make of a duty point; nothing if a diffuser's least air isn't known.
fn throttle(plant: &Plant, network: &crate::physics::network::Network, duty: &Duty) -> Option<Throttled> {
    let least: Option<Vec<f64>> = plant.outlets.iter().map(|outlet| outlet.least).collect();
    let _ = (network, duty, least);
    None
}

impl Settled {
    /// Pressure at the manifold that the machine must hold, Pa; nothing beyond the curve.
    pub fn pressure(&self) -> Option<f64> {
        match self.duty.outcome {
            Outcome::BeyondCurve { .. } => None,
            _ => {
                let open = self.duty.manifold.value();
                Some(self.throttled.map_or(open, |throttled| open.max(throttled.pressure)))
            }
        }
    }

    /// The diffuser that gets least of what it needs: its number, its air and its least, kg/s. With
    /// valves, what they can give it. Nothing beyond the curve.
    pub fn least_fed(&self, plant: &Plant) -> Option<(usize, f64, f64)> {
        let fed = self.duty.outlets.iter().map(|outlet| {
            let least = plant.outlets[outlet.label].least.unwrap_or(0.0);
            let amount = match self.throttled {
                Some(throttled) => outlet.amount.value().max(throttled.share * least),
                None => outlet.amount.value(),
            };
            (outlet.label, amount, least)
        });
        // Without a stated least any air at all will do, so the driest counts.
        let share = |&(_, amount, least): &(usize, f64, f64)| if least > 0.0 { amount / least } else { amount * 1e9 };
        fed.min_by(|a, b| share(a).total_cmp(&share(b)))
    }

    /// Free air at all diffusers together, m3/s; nothing beyond the curve.
    pub fn delivered(&self, plant: &Plant) -> Option<f64> {
        match self.duty.outcome {
            Outcome::BeyondCurve { .. } => None,
            _ => Some(self.duty.amount.free_air(plant.site.density).value()),
        }
    }

    /// Whether no air at all reaches the water.
    pub fn is_dry(&self) -> bool {
        matches!(self.duty.outcome, Outcome::DeadHeaded | Outcome::AllBled)
    }

    /// The curve's last pressure, Pa, where the duty point lies beyond it.
    pub fn beyond(&self) -> Option<f64> {
        match self.duty.outcome {
            Outcome::BeyondCurve { last, .. } => Some(last.value()),
            _ => None,
        }
    }

    /// Equations used outside their range.
    pub fn breaches(&self) -> &[Breach] {
        &self.duty.breaches
    }
}
