//! Duty points of one plant, each solved once.

use std::sync::{Arc, Mutex, OnceLock, PoisonError};

use smallvec::SmallVec;

use crate::assumptions::{Assumptions, Name, Values};
use crate::physics::Breach;
use crate::physics::manifold::{Laid, Point};
use crate::physics::network::{Duty, Outcome};
use crate::physics::throttle::even;
use crate::physics::valve::KV_PER_CV;
use crate::units::quantity::{AirAmount, FreeAir, GaugePressure, si};

use super::corners::{AIR_SIDE, AirSide, Corner, turned};
use super::limits::Metre;
use super::plan::Plan;
use super::plant::Plant;
use super::pond::{Lifted, WaterSide};

/// What a duty point is found again by, and a hash of it that tells most of them apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Key {
    hash: u64,
    bits: [u64; AIR_SIDE.len()],
}

impl Key {
    fn of(air: &AirSide) -> Key {
        let bits = air.bits();
        let mut hash: u64 = 0;
        for bits in &bits {
            // The multiplier of the 64-bit FNV hash.
            hash = (hash.rotate_left(23) ^ bits).wrapping_mul(0x0100_0000_01b3);
        }
        Key { hash, bits }
    }
}

/// As many duty points of a plant are kept; a verdict asks for fewer than forty.
const KEPT: usize = 64;

/// A plant at its depth, and the duty points already solved.
#[derive(Debug)]
pub struct Solver<'c> {
    /// The plant.
    pub plant: Plant<'c>,
    assumptions: Arc<Assumptions>,
    central: (AirSide, Key),
    /// The plant worked out once; nothing where a figure can't be built with.
    plan: OnceLock<Option<Arc<Plan>>>,
    known: Mutex<Vec<(Key, Option<Arc<Settled>>)>>,
    pub(super) metres: Mutex<SmallVec<[Arc<Metre>; 1]>>,
}

/// Something of each outlet of a plant, where it is known.
type PerOutlet = SmallVec<[Option<f64>; 2]>;

/// A duty point with every valve open, and what valves can make of it. Its budget and the ranges it left are
/// worked out when they are asked for: most duty points are only compared with others.
#[derive(Debug)]
pub struct Settled {
    /// How it ended.
    pub outcome: Outcome,
    /// Gauge pressure at the manifold; the curve's last where the duty point is beyond it.
    pub manifold: GaugePressure,
    /// Air that leaves all diffusers.
    pub amount: AirAmount,
    /// Air out of one diffuser of each outlet of the plant, kg/s; of none beyond the curve.
    pub each: SmallVec<[f64; 2]>,
    /// The least air of each outlet of the plant under the values it was solved with, kg/s; 0 where any
    /// air will do.
    pub least: SmallVec<[f64; 2]>,
    /// The most air of each outlet, likewise; nothing where none is too much.
    pub most: PerOutlet,
    /// Dry air in what the machines draw in, kg/m3: what a volume of free air is counted by.
    pub inlet_density: f64,
    /// With valves set so that every diffuser gets its least, where branches differ and have
    /// valves.
    pub throttled: Option<Throttled>,
    /// What the budget is worked out of, where the general search hasn't given it.
    found: Option<Found>,
    duty: OnceLock<Duty>,
    lifted: Mutex<Vec<(WaterSide, Arc<Lifted>)>>,
}

/// A point of a plan under the air side of some values.
#[derive(Debug)]
struct Found {
    plan: Arc<Plan>,
    under: AirSide,
    point: Point,
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
        let central = AirSide::of(&assumptions.central());
        Solver {
            plant,
            central: (central, Key::of(&central)),
            assumptions,
            plan: OnceLock::new(),
            known: Mutex::default(),
            metres: Mutex::default(),
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
        self.at_air(&AirSide::of(values))
    }

    fn at_air(&self, air: &AirSide) -> Option<Arc<Settled>> {
        let key = Key::of(air);
        let central = {
            let known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
            let solved = |wanted: &Key| known.iter().find(|(key, _)| key == wanted);
            if let Some((_, found)) = solved(&key) {
                return found.clone();
            }
            solved(&self.central.1).map(|(_, found)| found.clone())
        };
        // Others are near the central one, and begin there: whatever was asked first, each comes out the same.
        let near = match central {
            Some(near) => near,
            None if key == self.central.1 => None,
            None => self.at_air(&self.central.0),
        };
        let found = self.settle(air, near.as_deref()).map(Arc::new);
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
            .map(|corner| Key::of(&AirSide::of(&corner.values(&self.assumptions))))
            .collect();
        let mut known = self.known.lock().unwrap_or_else(PoisonError::into_inner);
        known.retain(|(key, _)| corners.contains(key));
        known.shrink_to_fit();
        for (_, settled) in known.iter() {
            settled.iter().for_each(|settled| settled.forget());
        }
        let mut metres = self.metres.lock().unwrap_or_else(PoisonError::into_inner);
        metres.clear();
    }

    /// The duty points that between them hold what a corner stands for: one where branches are alike or
    /// have valves, else one for each way of turning what is lost in the lines.
    pub fn corners(&self, corner: Corner) -> impl Iterator<Item = Arc<Settled>> {
        let turns = if corner == Corner::Central {
            &[]
        } else {
            self.plant.turns()
        };
        turned(&self.assumptions, corner.ends(), turns, &self.depends())
            .filter_map(|values| self.at(&values))
            .collect::<Vec<_>>()
            .into_iter()
    }

    /// The duty point at a corner.
    pub fn corner(&self, corner: Corner) -> Option<Arc<Settled>> {
        self.at(&corner.values(&self.assumptions))
    }

    /// The plant worked out once; nothing where a figure can't be built with.
    pub(super) fn plan(&self) -> Option<&Arc<Plan>> {
        let plan = self
            .plan
            .get_or_init(|| Plan::of(&self.plant).ok().map(Arc::new));
        plan.as_ref()
    }

    /// Solves it, beginning at another point where one is near.
    fn settle(&self, values: &AirSide, near: Option<&Settled>) -> Option<Settled> {
        let plant = &self.plant;
        if !plant.has_depth {
            return None;
        }
        let plan = self.plan()?;
        let near = near.and_then(|near| Some((near, near.found.as_ref()?)));
        let inlet_density = match near {
            Some((near, found)) if found.under.has_same_inlet(values) => near.inlet_density,
            _ => plan.inlet_density(values),
        };
        let (manifold, tolerances) = plan.under_at(values, inlet_density).ok()?;
        let laid = manifold.under(&tolerances).ok()?;
        let (mut least, mut most) = (PerOutlet::new(), PerOutlet::new());
        for outlet in &plant.outlets {
            let working = plant.working_in(outlet, values, inlet_density);
            least.push(working.0);
            most.push(working.1);
        }
        let point = near.and_then(|(_, found)| laid.point_from(&found.point));
        let mut settled = match point.or_else(|| laid.point()) {
            Some(point) => Settled::of_point(point, plan, values, &laid),
            None => Settled::of_duty(laid.network().ok()?.solve()),
        };
        settled.throttled = (plant.has_valves && !plant.is_even())
            .then(|| throttle(&least, &laid, settled.manifold))
            .flatten();
        settled.least = least.iter().map(|least| least.unwrap_or(0.0)).collect();
        settled.most = most;
        settled.inlet_density = inlet_density;
        Some(settled)
    }

    /// Valve settings that give every diffuser the same multiple of its least air, at central values;
    /// nothing where that isn't known.
    pub fn evened(&self) -> Option<Vec<Setting>> {
        let plant = &self.plant;
        let central = self.assumptions.central();
        let (manifold, tolerances) = self.plan()?.under(&central).ok()?;
        let network = manifold.under(&tolerances).ok()?.network().ok()?;
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
        // Room for those that a criterion adds.
        let mut names = Vec::with_capacity(24);
        names.push(Name::CurveTolerance);
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
    let (manifold, tolerances) = plan.under(values).ok()?;
    let laid = manifold.under(&tolerances).ok()?;
    Some(laid.gauge().ok()?.value())
}

/// What valves can make of a duty point; nothing if a diffuser's least air isn't known.
fn throttle(least: &[Option<f64>], laid: &Laid, open: GaugePressure) -> Option<Throttled> {
    let needs: Option<SmallVec<[f64; 4]>> = least.iter().copied().collect();
    let shares = laid.evened(&needs?).ok()?;
    Some(Throttled {
        pressure: shares.needed.value().max(open.value()),
        // Off the curve nothing is known to give them their least.
        share: if shares.is_known {
            shares.scale
        } else {
            shares.scale.min(1.0 - 1e-9)
        },
    })
}

impl Settled {
    fn of_point(point: Point, plan: &Arc<Plan>, under: &AirSide, laid: &Laid) -> Settled {
        Settled {
            outcome: point.outcome,
            manifold: point.gauge(laid.ambient()),
            amount: AirAmount::kilograms_per_second(point.amount()),
            each: SmallVec::from_slice(point.each()),
            least: SmallVec::new(),
            most: SmallVec::new(),
            inlet_density: 0.0,
            throttled: None,
            found: Some(Found {
                plan: plan.clone(),
                under: *under,
                point,
            }),
            duty: OnceLock::new(),
            lifted: Mutex::default(),
        }
    }

    fn of_duty(duty: Duty) -> Settled {
        Settled {
            outcome: duty.outcome,
            manifold: duty.manifold,
            amount: duty.amount,
            each: duty.outlets.iter().map(|one| one.amount.value()).collect(),
            least: SmallVec::new(),
            most: SmallVec::new(),
            inlet_density: 0.0,
            throttled: None,
            found: None,
            duty: OnceLock::from(duty),
            lifted: Mutex::default(),
        }
    }

    /// It with every outlet's budget.
    pub fn duty(&self) -> &Duty {
        self.duty.get_or_init(|| {
            let found = self.found.as_ref();
            // What was laid once is laid again, so something is always found.
            found.and_then(Found::duty).unwrap_or_else(|| Duty {
                outcome: self.outcome,
                manifold: self.manifold,
                free_air: FreeAir::cubic_metres_per_second(0.0),
                amount: self.amount,
                bled: AirAmount::kilograms_per_second(0.0),
                power: None,
                outlets: Vec::new(),
                breaches: Vec::new(),
            })
        })
    }

    /// Pressure at the manifold that the machine must hold, Pa; nothing beyond the curve.
    pub fn pressure(&self) -> Option<f64> {
        match self.outcome {
            Outcome::BeyondCurve { .. } => None,
            _ => {
                let open = self.manifold.value();
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
        let fed = self.each.iter().zip(&self.least).enumerate();
        let fed = fed.map(|(label, (&each, &least))| {
            let amount = match self.throttled {
                Some(throttled) => each.max(throttled.share * least),
                None => each,
            };
            (label, amount, least)
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
        match self.outcome {
            Outcome::BeyondCurve { .. } => None,
            // What a root leaves over of nothing is no air.
            _ if self.is_dry() => Some(0.0),
            _ => Some(self.amount.value() / self.inlet_density),
        }
    }

    /// Whether no air at all reaches the water.
    pub fn is_dry(&self) -> bool {
        matches!(self.outcome, Outcome::DeadHeaded | Outcome::AllBled)
    }

    /// The curve's last pressure, Pa, where the duty point lies beyond it.
    pub fn beyond(&self) -> Option<f64> {
        match self.outcome {
            Outcome::BeyondCurve { last, .. } => Some(last.value()),
            _ => None,
        }
    }

    /// What the plumes do at the surface under `water`; `lift` works it out where it isn't known yet.
    pub(super) fn lifted(&self, water: WaterSide, lift: impl FnOnce() -> Lifted) -> Arc<Lifted> {
        let mut known = self.lifted.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, lifted)) = known.iter().find(|(known, _)| *known == water) {
            return lifted.clone();
        }
        let lifted = Arc::new(lift());
        if known.len() < KEPT {
            known.push((water, lifted.clone()));
        }
        lifted
    }

    fn forget(&self) {
        let mut known = self.lifted.lock().unwrap_or_else(PoisonError::into_inner);
        *known = Vec::new();
    }

    /// Equations used outside their range.
    pub fn breaches(&self) -> &[Breach] {
        &self.duty().breaches
    }
}

impl Found {
    fn duty(&self) -> Option<Duty> {
        let (manifold, tolerances) = self.plan.under(&self.under).ok()?;
        Some(manifold.under(&tolerances).ok()?.duty(&self.point))
    }
}
