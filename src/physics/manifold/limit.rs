//! How deep and how long: the place at which a criterion just holds, read backwards.
//!
//! | criterion | the curve gives | the runs give |
//! | --- | --- | --- |
//! | the machines hold at most p | the flow at p | depth or length at that flow |
//! | every diffuser gets at least m | the greatest pressure at n m | the same |
//! | a run costs at most a share | the pressure at the flow that is left | the length |
//!
//! Depth: the pressure is walked down the trunk and a run, and what is left stands over
//! the diffuser. Length: the line's own equation, see [`super::Series`]. It is for one kind
//! of run; unlike ones move each other's flows.

use super::{Laid, LaidRun};
use crate::physics::curve::Backwards;
use crate::physics::head::depth_for_head;
use crate::physics::network::Outcome;
use crate::units::math::LogTables;
use crate::units::quantity::{AirAmount, GaugePressure, si};

/// How far a criterion holds.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    /// It just holds there.
    At(f64),
    /// It holds however far.
    Never,
    /// It holds nowhere.
    Always,
    /// The curve ends before it is known.
    Unknown,
}

impl Limit {
    /// The nearer of two. Where one lies beyond the curve and the other on it, the other
    /// is nearer: beyond the curve is farther than any place on it.
    #[must_use]
    pub fn nearer(self, other: Limit) -> Limit {
        match (self, other) {
            (Limit::Always, _) | (_, Limit::Always) => Limit::Always,
            (Limit::At(one), Limit::At(other)) => Limit::At(one.min(other)),
            (Limit::Never, one) | (one, Limit::Never) => one,
            (Limit::Unknown, one) | (one, Limit::Unknown) => one,
        }
    }

    /// The place, where it is one; not beyond `most`. Nothing where it isn't known.
    pub fn within(self, most: f64) -> Option<f64> {
        match self {
            Limit::At(place) => Some(place.clamp(0.0, most)),
            Limit::Never => Some(most),
            Limit::Always => Some(0.0),
            Limit::Unknown => None,
        }
    }
}

/// A criterion at the place where it just holds: air out of each diffuser in kg/s and
/// absolute pressure at the machines in Pa.
struct Edge {
    each: f64,
    manifold: f64,
}

impl Laid<'_> {
    /// The one kind of run it has; nothing where they differ.
    fn only_run(&self) -> Option<LaidRun<'_>> {
        let mut runs = self.runs();
        runs.next().filter(|_| runs.len() == 0)
    }

    /// Depth of the bubbles in m to which the machines hold at most `most`. Nothing for
    /// unlike runs.
    pub fn deepest_by_pressure(&self, most: GaugePressure) -> Option<Limit> {
        let one = &self.only_run()?;
        Some(self.depth(one, self.at_pressure(one, most.value())))
    }

    /// Depth of the bubbles in m to which every diffuser gets `least`; any air at all
    /// where that is nothing. Nothing for unlike runs.
    pub fn deepest_by_air(&self, least: AirAmount) -> Option<Limit> {
        let one = &self.only_run()?;
        Some(self.depth(one, self.at_air(one, least.value())))
    }

    /// How many times as long its runs may be for the machines to hold at most `most`.
    /// Nothing for unlike runs, or where the equations don't give it.
    pub fn longest_by_pressure(&self, most: GaugePressure) -> Option<Limit> {
        let one = &self.only_run()?;
        self.length(one, self.at_pressure(one, most.value()))
    }

    /// How many times as long its runs may be for every diffuser to get `least`; nothing
    /// as with [`Manifold::longest_by_pressure`].
    pub fn longest_by_air(&self, least: AirAmount) -> Option<Limit> {
        let one = &self.only_run()?;
        self.length(one, self.at_air(one, least.value()))
    }

    /// How many times as long its runs may be to cost at most `share` of the flow they
    /// would have without any length; nothing as with [`Manifold::longest_by_pressure`].
    pub fn longest_by_share(&self, share: f64) -> Option<Limit> {
        let one = &self.only_run()?;
        let bare = LaidRun {
            series: one.series.without_lines(),
            ..*one
        };
        let bare = self.point_of_one(&bare)?;
        match (bare.outcome, bare.each()) {
            (Outcome::BeyondCurve { .. }, _) => Some(Limit::Unknown),
            (Outcome::Running, [each]) => self.length(one, self.at_air(one, each * (1.0 - share))),
            // Where no air comes even without a run, the run costs nothing.
            _ => Some(Limit::Never),
        }
    }

    fn at_pressure(&self, one: &LaidRun, most: f64) -> Result<Edge, Limit> {
        let end = self.supply.end;
        if end.gauge <= most {
            // Past a shut-off no machine pushes; past an open end nothing is known.
            if end.left <= 0.0 {
                return Err(Limit::Never);
            }
            if end.gauge < most {
                return Err(Limit::Unknown);
            }
        }
        let each = self.supply.at(most).0 / one.count;
        if each <= 0.0 {
            return Err(Limit::Never);
        }
        Ok(Edge {
            each,
            manifold: most + self.supply.ambient,
        })
    }

    fn at_air(&self, one: &LaidRun, least: f64) -> Result<Edge, Limit> {
        match self.supply.backwards(least * one.count) {
            Backwards::Less => Err(Limit::Always),
            Backwards::More => Err(Limit::Unknown),
            Backwards::At(gauge) => Ok(Edge {
                each: least,
                manifold: gauge + self.supply.ambient,
            }),
        }
    }

    fn depth(&self, one: &LaidRun, edge: Result<Edge, Limit>) -> Limit {
        let edge = match edge {
            Ok(edge) => edge,
            Err(limit) => return limit,
        };
        let ambient = self.supply.ambient;
        match self.standing_at(one, &edge) {
            Some(standing) if standing >= ambient => {
                let head = si::pascals(standing - ambient);
                Limit::At(depth_for_head(self.surroundings.water_density, head).value)
            }
            _ => Limit::Always,
        }
    }

    /// What is left to stand over the diffusers, Pa; nothing where the flow can't pass.
    fn standing_at(&self, one: &LaidRun, edge: &Edge) -> Option<f64> {
        let tables = LogTables::get();
        let head = edge.manifold * edge.manifold;
        let amount = one.count * edge.each;
        let parting = self.trunk().downstream(tables, amount, head)?;
        let end = one
            .series
            .downstream(tables, one.per_run * edge.each, parting)?;
        one.standing_for(edge.each, end.sqrt())
    }

    fn length(&self, one: &LaidRun, edge: Result<Edge, Limit>) -> Option<Limit> {
        let edge = match edge {
            Ok(edge) => edge,
            Err(limit) => return Some(limit),
        };
        if edge.each <= 0.0 {
            return Some(Limit::Never);
        }
        let tables = LogTables::get();
        let head = edge.manifold * edge.manifold;
        let amount = one.count * edge.each;
        let Some(parting) = self.trunk().downstream(tables, amount, head) else {
            return Some(Limit::Always);
        };
        let end = one.before_check_valve(edge.each).0;
        let through = one.per_run * edge.each;
        let times = one
            .series
            .times_as_long(tables, through, parting, end * end)?;
        Some(if times >= 0.0 {
            Limit::At(times)
        } else {
            Limit::Always
        })
    }
}
