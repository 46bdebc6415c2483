//! Valves that give every diffuser the same multiple of its least air; see
//! [`crate::physics::throttle`], which finds the valves' settings on any tree.
//!
//! At a multiple s every flow is known, so the manifold's pressure and its slope follow at
//! once, and Newton's method finds the s that the supply allows.

use super::point::before_trunk;
use super::{Laid, LaidRun, Scaled};
use smallvec::SmallVec;

use crate::physics::refusal::{Refusal, bounded};
use crate::units::math::LogTables;
use crate::units::quantity::GaugePressure;

/// What valves can make of unlike runs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shares {
    /// How many times its least air every diffuser gets; 0 where the hardest never opens. Where
    /// the curve ends before that, as if it went on level from its end.
    pub scale: f64,
    /// Pressure at the machines at which each gets its least and no more.
    pub needed: GaugePressure,
    /// Whether the machines' flow is known at that pressure.
    pub is_known: bool,
}

/// Error of the multiple at which Newton's method ends, relative.
const WITHIN: f64 = 1e-13;

/// What the supply may be short of at its end, as a share of what is drawn.
const NEAR: f64 = 1e-9;

/// What is laid, and the least air of one diffuser of each kind of run and of all, kg/s.
struct Needs<'a> {
    trunk: Scaled,
    runs: &'a [LaidRun<'a>],
    least: &'a [f64],
    total: f64,
}

/// A state with every diffuser at a multiple of its least: absolute pressure at the machines in
/// Pa, what they give short of what is drawn in kg/s, and how that grows with the multiple.
struct State {
    manifold: f64,
    short: f64,
    slope: f64,
}

impl Laid<'_> {
    /// Shares the air out so that every diffuser gets the same multiple of its least, `least`
    /// kg/s for one of each kind of run; one that needs nothing is shut.
    ///
    /// # Errors
    /// Another number of needs than of kinds, needs that are all nothing, or one that is
    /// negative or no number.
    pub fn evened(&self, least: &[f64]) -> Result<Shares, Refusal> {
        let kinds = self.manifold.branches.len() as f64;
        bounded("number of needs", least.len() as f64, kinds, kinds, "")?;
        let mut total = 0.0;
        for (branch, need) in self.manifold.branches.iter().zip(least) {
            let count = f64::from(branch.runs) * f64::from(branch.per_run);
            total += count * bounded("least flow", *need, 0.0, 1e4, "kg/s")?;
        }
        bounded("sum of the least flows", total, 1e-12, 1e9, "kg/s")?;
        let ambient = self.supply.ambient;
        let last = ambient + self.supply.end.gauge;
        let runs: SmallVec<[LaidRun; 2]> = self.runs().collect();
        let needs = Needs {
            trunk: self.trunk(),
            runs: &runs,
            least,
            total,
        };
        let one = self.state(1.0, &needs);
        let still = self.state(0.0, &needs);
        let scale = if still.manifold >= last || still.short >= 0.0 {
            0.0
        } else {
            let most = self.supply.inlet_flow(0.0) * self.supply.density / total;
            self.scale_within(most, &needs)
        };
        Ok(Shares {
            scale,
            needed: GaugePressure::pascals(one.manifold - ambient),
            is_known: one.manifold <= last,
        })
    }

    /// The multiple at which supply and needs meet, between nothing and `most`.
    fn scale_within(&self, most: f64, needs: &Needs) -> f64 {
        let (mut low, mut high) = (0.0, most);
        let mut scale = most.min(1.0);
        for _ in 0..100 {
            let state = self.state(scale, needs);
            // So much air that its pressure is no number is too much.
            if state.short < 0.0 {
                low = scale;
            } else {
                high = scale;
            }
            let to = scale - state.short / state.slope;
            // Where the pressure soars, a step is small far from the root too.
            let is_small = (to - scale).abs() <= WITHIN * scale;
            let is_near = state.short.abs() <= NEAR * scale * needs.total;
            if is_small && is_near || high - low <= WITHIN * high {
                break;
            }
            // A step onto an end of the bracket would only be taken back.
            scale = if to > low && to < high && !is_small {
                to
            } else {
                0.5 * (low + high)
            };
        }
        scale
    }

    fn state(&self, scale: f64, needs: &Needs) -> State {
        let tables = LogTables::get();
        let total = needs.total;
        let (mut parting, mut by_scale) = (0.0, 0.0);
        for (run, need) in needs.runs.iter().zip(needs.least) {
            if *need == 0.0 {
                continue;
            }
            let (head, slope) = run.pressure(tables, scale * need);
            if head > parting {
                (parting, by_scale) = (head, slope * need);
            }
        }
        let (manifold, by_flow, by_parting) =
            before_trunk(tables, &needs.trunk, scale * total, parting);
        let (given, by_pressure) = self.supply.held(manifold - self.supply.ambient);
        State {
            manifold,
            short: scale * total - given,
            slope: total - by_pressure * (by_flow * total + by_parting * by_scale),
        }
    }
}
