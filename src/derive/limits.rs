//! How deep and how long a plant of alike runs may go, read backwards.
//!
//! Every limit is a formula on the manifold, so none is searched; see
//! [`crate::physics::manifold::limit`]. Where runs differ, or an equation doesn't give it,
//! there is nothing here and whoever asks has to search.

use crate::assumptions::Values;
use crate::physics::manifold::{Laid, Limit};
use crate::units::quantity::{AirAmount, GaugePressure};

use super::plan::Plan;
use super::plant::PlantOutlet;
use super::solver::Solver;

impl Solver<'_> {
    /// The depth in m to which the machines hold their greatest continuous pressure under
    /// `by_pressure` and every diffuser gets its least air under `by_air`.
    pub fn deepest_alike(&self, by_pressure: &Values, by_air: &Values) -> Option<Limit> {
        let outlet = self.only_outlet()?;
        let most = GaugePressure::pascals(self.plant.max_pressure()?);
        let plan = self.plan()?;
        let by_pressure = laid(plan, by_pressure, |laid| laid.deepest_by_pressure(most))?;
        let by_air = laid(plan, by_air, |laid| laid.deepest_by_air(least(outlet)))?;
        Some(match by_pressure.nearer(by_air) {
            // The bubbles leave somewhat above the bottom.
            Limit::At(depth) => Limit::At(depth + outlet.stand),
            other => other,
        })
    }

    /// The length in m to which the runs of an airline statement hold both, as
    /// [`Solver::deepest_alike`] says; without a number all runs.
    pub fn longest_alike(
        &self,
        laid_by: Option<usize>,
        by_pressure: &Values,
        by_air: &Values,
    ) -> Option<Limit> {
        let outlet = self.only_outlet_of(laid_by)?;
        let most = GaugePressure::pascals(self.plant.max_pressure()?);
        let plan = self.plan_of_a_metre(laid_by)?;
        let by_pressure = laid(&plan, by_pressure, |laid| laid.longest_by_pressure(most))?;
        let by_air = laid(&plan, by_air, |laid| laid.longest_by_air(least(outlet)))?;
        Some(by_pressure.nearer(by_air))
    }

    /// The length in m at which these runs cost `share` of the flow they would have without
    /// any. How much flow a pressure costs is the slope of the curve, so a machine without a
    /// curve has none.
    pub fn longest_by_share(
        &self,
        laid_by: Option<usize>,
        share: f64,
        values: &Values,
    ) -> Option<Limit> {
        self.only_outlet_of(laid_by)?;
        if self.plant.is_bounded() {
            return Some(Limit::Unknown);
        }
        let plan = self.plan_of_a_metre(laid_by)?;
        laid(&plan, values, |laid| laid.longest_by_share(share))
    }

    /// The one kind of run there is.
    fn only_outlet(&self) -> Option<&PlantOutlet<'_>> {
        match self.plant.outlets.as_slice() {
            [one] => Some(one),
            _ => None,
        }
    }

    /// The same, where the statement lays it.
    fn only_outlet_of(&self, laid_by: Option<usize>) -> Option<&PlantOutlet<'_>> {
        let outlet = self.only_outlet()?;
        let laid = laid_by.is_none() || outlet.laid_by == laid_by;
        (laid && !outlet.lines.is_empty() && self.plant.has_depth).then_some(outlet)
    }

    /// The plant with a metre of run, so that times as long are metres.
    fn plan_of_a_metre(&self, laid_by: Option<usize>) -> Option<Plan> {
        Plan::of(&self.plant.clone().with_run_of(laid_by, 1.0)).ok()
    }
}

fn laid<T>(plan: &Plan, values: &Values, ask: impl FnOnce(&Laid) -> Option<T>) -> Option<T> {
    let (manifold, tolerances) = plan.under(values).ok()?;
    ask(&manifold.under(&tolerances).ok()?)
}

/// A diffuser's least air; without a stated one any air at all will do.
fn least(outlet: &PlantOutlet) -> AirAmount {
    AirAmount::kilograms_per_second(outlet.least.unwrap_or(0.0))
}
