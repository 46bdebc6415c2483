//! How deep and how long a plant may go, read backwards; see
//! [`crate::physics::manifold::limit`].
//!
//! Where an equation doesn't give it there is nothing here, and whoever asks has to search.

use std::sync::{Arc, PoisonError};

use smallvec::SmallVec;

use crate::assumptions::Values;
use crate::physics::manifold::{Laid, Limit, Needs, Part, Turn};
use crate::units::quantity::{AirAmount, GaugePressure};

use super::plan::Plan;
use super::plant::{Lines, Plant};
use super::solver::Solver;

impl Solver<'_> {
    /// The depth in m, not beyond `farthest`, to which the machines hold their greatest
    /// continuous pressure under `by_pressure` and every diffuser gets its least air under
    /// `by_air`.
    pub fn deepest(
        &self,
        (by_pressure, by_air): (&Values, &Values),
        farthest: f64,
    ) -> Option<Limit> {
        let ask = Ask {
            plan: self.plan()?,
            plant: &self.plant,
            turn: Turn::Bottom,
            // On one bottom only lines and diffusers can differ.
            valves: {
                let plant = &self.plant;
                let has_several = plant.has_valves && plant.outlets.len() > 1;
                has_several && !plant.clone().all_at_depth(0.0).is_even()
            },
            farthest,
        };
        ask.holds(by_pressure, by_air)
    }

    /// The length in m of `part`, not beyond `farthest`, to which both hold, as
    /// [`Solver::deepest`] says, and to which it costs no more of the flow than `loss` says, at
    /// its values.
    pub fn longest(
        &self,
        part: Lines,
        (by_pressure, by_air): (&Values, &Values),
        loss: Option<(&Values, f64)>,
        farthest: f64,
    ) -> Option<Limit> {
        let plant = &self.plant;
        let kinds = kinds_of(plant, part);
        let of = part_of(part, &kinds)?;
        if !plant.has_depth {
            return None;
        }
        let metre = self.metre(part);
        let ask = Ask {
            plan: metre.plan.as_deref()?,
            plant,
            turn: Turn::Length(of),
            valves: metre.valves,
            farthest,
        };
        let holds = ask.holds(by_pressure, by_air)?;
        let Some((values, share)) = loss else {
            return Some(holds);
        };
        // How much flow a pressure costs is the slope of the curve, which a machine without a
        // curve doesn't have.
        if plant.is_bounded() {
            return Some(Limit::Unknown);
        }
        let lost = ask.of(values, |laid| laid.by_share(of, share, farthest))?;
        Some(holds.nearer(lost))
    }

    /// Free air in m3/s at all diffusers where `part` is `length` m long; nothing beyond the curve.
    pub fn delivered_along(&self, part: Lines, length: f64, values: &Values) -> Option<f64> {
        let kinds = kinds_of(&self.plant, part);
        let turn = Turn::Length(part_of(part, &kinds)?);
        let metre = self.metre(part);
        let plan = metre.plan.as_deref()?;
        let (manifold, tolerances) = plan.under(values).ok()?;
        let laid = manifold.under(&tolerances).ok()?;
        let amount = laid.amount_at(turn, length)?;
        Some(amount.value() / plan.inlet_density(values))
    }

    /// The plant with a metre of `part`, worked out once.
    fn metre(&self, part: Lines) -> Arc<Metre> {
        let mut known = self.metres.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(metre) = known.iter().find(|metre| metre.part == part) {
            return metre.clone();
        }
        let plant = self.plant.clone().with_length(part, 1.0);
        let metre = Arc::new(Metre {
            part,
            plan: Plan::of(&plant).ok().map(Arc::new),
            valves: plant.has_valves && plant.outlets.len() > 1 && !plant.is_even(),
        });
        known.push(metre.clone());
        metre
    }
}

/// Which lines of a manifold `part` is; nothing where no diffuser hangs on it.
fn part_of<'k>(part: Lines, kinds: &'k [usize]) -> Option<Part<'k>> {
    match part {
        Lines::Trunk => Some(Part::Trunk),
        Lines::Runs | Lines::Of(_) => (!kinds.is_empty()).then_some(Part::Runs(kinds)),
    }
}

/// A plant with a metre of some of its lines, so that times as long are metres.
#[derive(Debug)]
pub(super) struct Metre {
    part: Lines,
    /// Nothing where a figure can't be built with.
    plan: Option<Arc<Plan>>,
    /// Whether valves share the air out between unlike runs.
    valves: bool,
}

/// The outlets whose runs are `part`.
fn kinds_of(plant: &Plant, part: Lines) -> SmallVec<[usize; 4]> {
    let outlets = plant.outlets.iter().enumerate();
    outlets
        .filter(|(_, outlet)| match part {
            Lines::Trunk => false,
            Lines::Runs => true,
            Lines::Of(by) => outlet.laid_by == Some(by),
        })
        .map(|(label, _)| label)
        .collect()
}

/// A plant to be asked.
struct Ask<'a, 'c> {
    plan: &'a Plan,
    plant: &'a Plant<'c>,
    turn: Turn<'a>,
    /// Whether valves share the air out between unlike runs.
    valves: bool,
    farthest: f64,
}

impl Ask<'_, '_> {
    fn of(&self, values: &Values, ask: impl FnOnce(&Laid) -> Option<Limit>) -> Option<Limit> {
        let (manifold, tolerances) = self.plan.under(values).ok()?;
        ask(&manifold.under(&tolerances).ok()?)
    }

    /// Both limits.
    fn holds(&self, by_pressure: &Values, by_air: &Values) -> Option<Limit> {
        let most = GaugePressure::pascals(self.plant.max_pressure()?);
        let (turn, farthest) = (self.turn, self.farthest);
        let pressure = self.needing(by_pressure, |laid, needs| {
            laid.by_pressure(turn, most, needs, farthest)
        })?;
        let air = self.needing(by_air, |laid, needs| laid.by_air(turn, needs, farthest));
        if let Some(air) = air {
            return Some(pressure.nearer(air));
        }
        // Where the machines would give every diffuser more than its least at the end of their curve, the limit is
        // known as long as the pressure stops it before that end.
        let to = self.needing(by_air, |laid, needs| laid.air_to_the_end(turn, needs))?;
        match (pressure, to) {
            (Limit::Always, _) => Some(Limit::Always),
            (Limit::At(place), Limit::At(to)) if place <= to => Some(Limit::At(place)),
            _ => None,
        }
    }

    /// Asks with what the diffusers need: their least air, or any at all where none is known.
    fn needing(
        &self,
        values: &Values,
        ask: impl FnOnce(&Laid, Needs) -> Option<Limit>,
    ) -> Option<Limit> {
        let outlets = self.plant.outlets.iter();
        let least: SmallVec<[Option<f64>; 4]> = outlets
            .map(|outlet| self.plant.working(outlet, values).0)
            .collect();
        let amounts: SmallVec<[AirAmount; 4]> = least
            .iter()
            .map(|least| AirAmount::kilograms_per_second(least.unwrap_or(0.0)))
            .collect();
        let needs = Needs {
            least: &amounts,
            // Valves share out what is known to be needed.
            valves: self.valves && least.iter().all(Option::is_some),
        };
        self.of(values, |laid| ask(laid, needs))
    }
}
