//! Duty points of one plant, each solved once.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use crate::assumptions::{Assumptions, Name, Values};
use crate::physics::Breach;
use crate::physics::network::{Duty, Network, Outcome};
use crate::physics::throttle::even;
use crate::physics::valve::KV_PER_CV;
use crate::units::quantity::{AirAmount, si};

use super::corners::{AIR_SIDE, Corner, turned};
use super::plan::Plan;
use super::plant::Plant;

/// What the air side of a calculation depends on, and a hash of it that tells most of them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Key {
    hash: u64,
    bits: [u64; AIR_SIDE.len()],
}

/// The air side of `values`.
fn key(values: &Values) -> Key {
    let bits = std::array::from_fn(|i| values[AIR_SIDE[i]].to_bits());
    // The multiplier of the 64-bit FNV hash.
    let hash = bits.iter().fold(0, |hash: u64, bits| {
        (hash.rotate_left(23) ^ bits).wrapping_mul(0x0100_0000_01b3)
    });
    Key { hash, bits }
}

/// As many duty points of a plant are kept; a verdict asks for fewer than forty.
const KEPT: usize = 64;

/// A plant at its depth, and the duty points already solved.
#[derive(Debug)]
pub struct Solver<'c> {
    /// The plant.
    pub plant: Plant<'c>,
    assumptions: Arc<Assumptions>,
    /// The plant worked out once; nothing where a figure can't be built with.
    plan: OnceLock<Option<Plan>>,
    known: Mutex<Vec<(Key, Option<Arc<Settled>>)>>,
}

/// A duty point, with what valves can make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Settled {
    /// With every valve open.
    pub duty: Duty,
    /// The least air of each outlet of the plant under the values it was solved with, kg/s; 0 where any
    /// air will do.
    pub least: Vec<f64>,
    /// The most air of each outlet, likewise; nothing where none is too much.
    pub most: Vec<Option<f64>>,
    /// Dry air in what the machines draw in, kg/m3: what a volume of free air is counted by.
    pub inlet_density: f64,
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

/// A valve setting.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Setting {
    /// The outlet of the plant.
    pub label: usize,
    /// Kv of its valve; nothing where it stands fully open.
    pub kv: Option<f64>,
    /// The same as Cv.
    pub cv: Option<f64>,
}

impl<'c> Solver<'c> {
    /// For `plant` as it stands.
    pub fn new(plant: Plant<'c>, assumptions: Arc<Assumptions>) -> Solver<'c> {
        Solver {
            plant,
            assumptions,
            plan: OnceLock::new(),
            known: Mutex::default(),
        }
    }

    /// Another plant under the same ranges.
    pub fn with(&self, plant: Plant<'c>) -> Solver<'c> {
        Solver::new(plant, self.assumptions.clone())
    }

    /// The ranges it is solved under.
    pub fn ranges(&self) -> &Assumptions {
        &self.assumptions
    }

    /// The duty point under `values`; nothing where no depth is known, or a figure is beyond what can
    /// be built, which its own rule reports.
    pub fn at(&self, values: &Values) -> Option<Arc<Settled>> {
        let key = key(values);
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

    /// Forgets all duty points but those at the corners, which rules ask for again: a catalog of
    /// thousands of packages needn't hold what each verdict looked at on its way.
    pub fn forget(&self) {
        let corners: Vec<Key> = Corner::ALL
            .iter()
            .map(|corner| key(&corner.values(&self.assumptions)))
            .collect();
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.retain(|(key, _)| corners.contains(key));
        known.shrink_to_fit();
    }

    /// The duty points that between them hold what a corner stands for: one where branches are alike or
    /// have valves, else one for each way of turning what is lost in the lines.
    pub fn corners(&self, corner: Corner) -> impl Iterator<Item = Arc<Settled>> {
        let turns = if corner == Corner::Central {
            &[]
        } else {
            self.plant.turns()
        };
        turned(&self.assumptions, corner.end(), turns, &self.depends())
            .filter_map(|values| self.at(&values))
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// The duty point at a corner.
    pub fn corner(&self, corner: Corner) -> Option<Arc<Settled>> {
        self.at(&corner.values(&self.assumptions))
    }

    /// The plant worked out once; nothing where a figure can't be built with.
    pub(super) fn plan(&self) -> Option<&Plan> {
        let plan = self.plan.get_or_init(|| Plan::of(&self.plant).ok());
        plan.as_ref()
    }

    fn settle(&self, values: &Values) -> Option<Settled> {
        let plant = &self.plant;
        if !plant.has_depth {
            return None;
        }
        let (manifold, tolerances) = self.plan()?.under(plant, values).ok()?;
        let laid = manifold.under(&tolerances).ok()?;
        let duty = laid.solve().ok()?;
        let outlets = plant.outlets.iter();
        let (least, most): (Vec<Option<f64>>, Vec<Option<f64>>) =
            outlets.map(|outlet| plant.working(outlet, values)).unzip();
        let throttled = (plant.has_valves && !plant.is_even())
            .then(|| throttle(plant, &least, &laid.network().ok()?, &duty))
            .flatten();
        Some(Settled {
            duty,
            least: least.iter().map(|least| least.unwrap_or(0.0)).collect(),
            most,
            inlet_density: plant.inlet_density(values).value,
            throttled,
        })
    }

    /// Valve settings that give every diffuser the same multiple of its least air, at central values;
    /// nothing where that isn't known.
    pub fn evened(&self) -> Option<Vec<Setting>> {
        let plant = &self.plant;
        let central = self.assumptions.central();
        let network = plant.network(&central).ok()?;
        // Without a stated least, alike shares are what evens them.
        let needs: Vec<AirAmount> = plant
            .outlets
            .iter()
            .map(|outlet| plant.working(outlet, &central).0.unwrap_or(1e-4))
            .map(AirAmount::kilograms_per_second)
            .collect();
        let evened = even(&network, &needs, si::kelvins(plant.water)).ok()?;
        if evened.beyond_curve || evened.scale <= 0.0 {
            return None;
        }
        let settings = evened.outlets.iter().enumerate();
        Some(
            settings
                .map(|(label, outlet)| Setting {
                    label,
                    kv: outlet.kv,
                    cv: outlet.kv.map(|kv| kv / KV_PER_CV),
                })
                .collect(),
        )
    }

    /// Pressure in Pa that starting against full lines takes: over the deepest diffuser the water's head,
    /// the diffuser's loss at no flow and the check valve's opening.
    pub fn start_pressure(&self) -> Option<f64> {
        let values = &self.assumptions.central();
        let plant = &self.plant;
        if !plant.has_depth {
            return None;
        }
        let starts = plant
            .outlets
            .iter()
            .map(|outlet| plant.opening_pressure(outlet, values));
        starts
            .collect::<Option<Vec<f64>>>()?
            .into_iter()
            .reduce(f64::max)
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
        add(
            Name::DiffuserLoss,
            plant.outlets.iter().any(|o| !o.loss_is_default()),
        );
        add(
            Name::DiffuserLossDefault,
            plant.outlets.iter().any(|o| o.loss_is_default()),
        );
        add(
            Name::CheckValveOpening,
            plant.outlets.iter().any(|o| o.check_valve_is_default()),
        );
        let lines = !plant.trunk.is_empty() || plant.outlets.iter().any(|o| o.run_length() > 0.0);
        let barbed = plant.trunk_barbed || plant.outlets.iter().any(|o| o.barbed);
        add(Name::BarbsPerLine, lines && barbed);
        let laid = || {
            let runs = plant.outlets.iter().flat_map(|outlet| &outlet.lines);
            plant.trunk.iter().chain(runs)
        };
        add(Name::Bore, laid().any(|line| !line.nominal));
        add(Name::BoreNominal, laid().any(|line| line.nominal));
        add(Name::Friction, lines);
        add(Name::Humidity, true);
        add(
            Name::InletRise,
            plant.inlet_rise == super::plant::InletRise::Unknown,
        );
        for share in [Name::LeastFlowFine, Name::LeastFlowCoarse] {
            let takes = |outlet: &super::plant::PlantOutlet| matches!(outlet.least, super::plant::Least::Share(_, of) if of == share);
            add(share, plant.outlets.iter().any(takes));
        }
        let moved =
            |machine: &super::plant::PlantMachine| machine.taken_in.pressure != plant.site.pressure;
        add(Name::PlateBound, plant.is_bounded());
        add(Name::AltitudeModel, plant.machines.iter().any(moved));
        names
    }
}

/// Gauge pressure in Pa at the manifold of a plant with its valves open; the curve's last where the duty
/// point lies beyond it.
pub fn open_manifold(plant: &Plant, values: &Values) -> Option<f64> {
    let plan = Plan::of(plant).ok()?;
    let (manifold, tolerances) = plan.under(plant, values).ok()?;
    let laid = manifold.under(&tolerances).ok()?;
    Some(laid.gauge().ok()?.value())
}

/// What valves can make of a duty point; nothing if a diffuser's least air isn't known.
fn throttle(
    plant: &Plant,
    least: &[Option<f64>],
    network: &Network,
    duty: &Duty,
) -> Option<Throttled> {
    let needs: Option<Vec<AirAmount>> = least
        .iter()
        .map(|least| least.map(AirAmount::kilograms_per_second))
        .collect();
    let evened = even(network, &needs?, si::kelvins(plant.water)).ok()?;
    // Off the curve nothing is known to give them their least.
    let known = evened.supply_at_needed.is_some();
    Some(Throttled {
        pressure: evened.throttled_manifold(duty).value(),
        share: if known {
            evened.scale
        } else {
            evened.scale.min(1.0 - 1e-9)
        },
    })
}

impl Settled {
    /// Pressure at the manifold that the machine must hold, Pa; nothing beyond the curve.
    pub fn pressure(&self) -> Option<f64> {
        match self.duty.outcome {
            Outcome::BeyondCurve { .. } => None,
            _ => {
                let open = self.duty.manifold.value();
                Some(
                    self.throttled
                        .map_or(open, |throttled| open.max(throttled.pressure)),
                )
            }
        }
    }

    /// The diffuser that gets least of what it needs: its number, its air and its least, kg/s. With
    /// valves, what they can give it. Nothing beyond the curve.
    pub fn least_fed(&self) -> Option<(usize, f64, f64)> {
        let fed = self.duty.outlets.iter().map(|outlet| {
            let least = self.least[outlet.label];
            let amount = match self.throttled {
                Some(throttled) => outlet.amount.value().max(throttled.share * least),
                None => outlet.amount.value(),
            };
            (outlet.label, amount, least)
        });
        // Without a stated least any air at all will do, so the driest counts.
        let share = |&(_, amount, least): &(usize, f64, f64)| {
            if least > 0.0 {
                amount / least
            } else {
                amount * 1e9
            }
        };
        fed.min_by(|a, b| share(a).total_cmp(&share(b)))
    }

    /// Free air at all diffusers together, m3/s, as the machines draw it in; nothing beyond the curve.
    pub fn delivered(&self) -> Option<f64> {
        match self.duty.outcome {
            Outcome::BeyondCurve { .. } => None,
            _ => Some(self.duty.amount.value() / self.inlet_density),
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
