//! How deep and how long: the place at which a criterion just holds, read backwards.
//!
//! | criterion | the curve gives | the runs give |
//! | --- | --- | --- |
//! | the machines hold at most p | the flow at p | depth or length at that flow |
//! | every diffuser gets at least m | the greatest pressure at n m | the same |
//! | a run costs at most a share | the pressure at the flow that is left | the length |
//!
//! Depth: the pressure is walked down the trunk and a run, and what is left stands over
//! the diffuser. Length: the line's own equation, see [`super::Series`]. That is for one
//! kind of run, and for several with valves that give each its least: there every flow is
//! known. Unlike runs without valves move each other's flows, and their limits are searched
//! between duty points, each begun at the last.

use std::cell::RefCell;

use smallvec::SmallVec;

use super::point::State;
use super::{Kinds, Laid, LaidRun, Point};
use crate::physics::curve::Backwards;
use crate::physics::head::depth_for_head;
use crate::physics::network::Outcome;
use crate::physics::root::between;
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

/// Which lines a length is of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part<'a> {
    /// Those of the runs of these kinds, by the caller's numbers for them.
    Runs(&'a [usize]),
    /// The trunk's.
    Trunk,
}

/// What is turned until a criterion no longer holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Turn<'a> {
    /// The bottom that all diffusers stand on, in m.
    Bottom,
    /// The length of some lines, in times what it is.
    Length(Part<'a>),
}

/// What the diffusers need.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Needs<'a> {
    /// The least air of one diffuser of each kind of run; any air will do at nothing.
    pub least: &'a [AirAmount],
    /// Whether valves can give every one its least.
    pub valves: bool,
}

/// The places between which a search looks: nothing, and this.
type Farthest = f64;

impl Laid<'_> {
    /// How far `turn` may go for the machines to hold at most `most`, and with valves for them
    /// to hold what gives every diffuser its least. Nothing where only a search that knows the
    /// ends of curves can tell.
    pub fn by_pressure(
        &self,
        turn: Turn,
        most: GaugePressure,
        needs: Needs,
        farthest: Farthest,
    ) -> Option<Limit> {
        let most = most.value();
        let runs: Runs = self.runs().collect();
        if let [one] = runs.as_slice() {
            return match self.flow_at(most) {
                Ok(amount) => self.place(turn, &[amount / one.count], most),
                // What shuts off below its limit stops where the water alone shuts it off.
                Err(Limit::Never) if turn == Turn::Bottom && self.supply.end.left <= 0.0 => {
                    self.place(turn, &[0.0], self.supply.end.gauge)
                }
                Err(limit) => Some(limit),
            };
        }
        let margin = |state: &Point| (most - (state.manifold - self.supply.ambient)) / most;
        // A duty point beyond a curve that goes on past the limit is beyond the limit too.
        let end = self.supply.end.gauge;
        let beyond = (end > most).then_some((most - end) / most);
        let open = match self.flow_at(most) {
            Err(Limit::Never) => Limit::Never,
            _ => self.searched(turn, farthest, beyond, margin)?,
        };
        if !needs.valves {
            return Some(open);
        }
        Some(open.nearer(self.place(turn, &amounts(needs.least), most)?))
    }

    /// How far `turn` may go for every diffuser to get its least. Nothing as with
    /// [`Laid::by_pressure`].
    pub fn by_air(&self, turn: Turn, needs: Needs, farthest: Farthest) -> Option<Limit> {
        let runs: Runs = self.runs().collect();
        let least = amounts(needs.least);
        if needs.valves || runs.len() == 1 {
            let flows = runs.iter().zip(&least);
            let all = flows.map(|(run, least)| run.count * least).sum();
            return match self.supply.backwards(all) {
                Backwards::Less => Some(Limit::Always),
                Backwards::More if runs.len() == 1 => Some(Limit::Unknown),
                // Beyond the curve its own rules hold for what valves can give.
                Backwards::More => None,
                Backwards::At(gauge) => self.place(turn, &least, gauge),
            };
        }
        if least.iter().any(|least| *least <= 0.0) {
            return None;
        }
        self.searched(turn, farthest, None, |state| {
            let fed = state.each.iter().zip(&least);
            fed.map(|(each, least)| each / least - 1.0)
                .fold(f64::INFINITY, f64::min)
        })
    }

    /// How far `turn` may go for valves to give every diffuser its least at a pressure on the curve. Nothing
    /// without valves, or where the curve ends at such a flow anyway.
    pub fn air_to_the_end(&self, turn: Turn, needs: Needs) -> Option<Limit> {
        let least = amounts(needs.least);
        let all = self
            .runs()
            .zip(&least)
            .map(|(run, least)| run.count * least);
        let more = self.supply.backwards(all.sum()) == Backwards::More;
        (needs.valves && more)
            .then(|| self.place(turn, &least, self.supply.end.gauge))
            .flatten()
    }

    /// How many times as long `part` may be to cost at most `share` of the flow there would be
    /// without any length of it. Nothing as with [`Laid::by_pressure`].
    pub fn by_share(&self, part: Part, share: f64, farthest: Farthest) -> Option<Limit> {
        let turn = Turn::Length(part);
        let runs: Runs = self.runs().collect();
        let ours = |point: &Point| -> f64 {
            let flows = runs.iter().zip(&point.each);
            flows
                .filter(|(run, _)| match part {
                    Part::Runs(kinds) => kinds.contains(&run.branch.discharge.label),
                    Part::Trunk => true,
                })
                .map(|(run, each)| run.count * each)
                .sum()
        };
        let bare = self.turned_to(turn, 0.0).point()?;
        match bare.outcome {
            Outcome::Running => {}
            // What even no length leaves beyond the curve has no share.
            Outcome::BeyondCurve { .. } => return None,
            // Where no air comes even without a line, the line costs nothing.
            _ => return Some(Limit::Never),
        }
        let left = ours(&bare) * (1.0 - share);
        if let [one] = runs.as_slice() {
            return match self.supply.backwards(left) {
                Backwards::Less => Some(Limit::Always),
                Backwards::More => Some(Limit::Unknown),
                Backwards::At(gauge) => self.place(turn, &[left / one.count], gauge),
            };
        }
        self.searched(turn, farthest, None, |state| ours(state) / left - 1.0)
    }

    /// What all runs get with `turn` at `place`; nothing beyond the curve.
    pub fn amount_at(&self, turn: Turn, place: f64) -> Option<AirAmount> {
        let laid = self.turned_to(turn, place);
        let (outcome, amount) = match laid.point() {
            Some(point) => (point.outcome, point.amount()),
            None => {
                let duty = laid.network().ok()?.solve();
                (duty.outcome, duty.amount.value())
            }
        };
        let known = !matches!(outcome, Outcome::BeyondCurve { .. });
        known.then(|| AirAmount::kilograms_per_second(amount))
    }

    /// What all runs get where the machines hold `most` Pa.
    fn flow_at(&self, most: f64) -> Result<f64, Limit> {
        let end = self.supply.end;
        // A limit that is the curve's end has been through other sums than it.
        if end.gauge < most * (1.0 - 1e-9) {
            // Past a shut-off no machine pushes; past an open end nothing is known.
            return Err(if end.left <= 0.0 {
                Limit::Never
            } else {
                Limit::Unknown
            });
        }
        let amount = self.supply.at(most.min(end.gauge)).0;
        // A bleed that takes all lets the pressure settle lower.
        if amount <= 0.0 && !self.supply.is_whole() {
            return Err(Limit::Never);
        }
        Ok(amount.max(0.0))
    }

    /// The place at which the machines' `gauge` Pa drive `each` kg/s out of every diffuser of
    /// each kind of run, valves taking what is over: the nearest of all runs'.
    fn place(&self, turn: Turn, each: &[f64], gauge: f64) -> Option<Limit> {
        let tables = LogTables::get();
        let runs: Runs = self.runs().collect();
        let amount = runs.iter().zip(each).map(|(run, each)| run.count * each);
        let amount: f64 = amount.sum();
        let manifold = gauge + self.supply.ambient;
        let head = manifold * manifold;
        if turn == Turn::Length(Part::Trunk) {
            let flowing = runs.iter().zip(each).filter(|(_, each)| **each > 0.0);
            let parting = flowing
                .map(|(run, each)| run.pressure(tables, *each).0)
                .fold(0.0, f64::max);
            return self.length(&self.trunk(), amount, head, parting);
        }
        let Some(parting) = self.trunk().downstream(tables, amount, head) else {
            return Some(Limit::Always);
        };
        let mut nearest = Limit::Never;
        for (run, &each) in runs.iter().zip(each) {
            let one = match turn {
                Turn::Bottom => self.bottom(run, each, parting),
                Turn::Length(Part::Runs(kinds)) if kinds.contains(&run.branch.discharge.label) => {
                    let end = run.before_check_valve(each).0;
                    self.length(&run.series, run.per_run * each, parting, end)?
                }
                // A run that isn't turned has to pass its air as it is.
                Turn::Length(_) if run.pressure(tables, each).0 <= parting.sqrt() => Limit::Never,
                Turn::Length(_) => Limit::Always,
            };
            nearest = nearest.nearer(one);
        }
        Some(nearest)
    }

    /// The bottom on which a run with `parting` Pa² at its head gives `each` kg/s.
    fn bottom(&self, run: &LaidRun, each: f64, parting: f64) -> Limit {
        let tables = LogTables::get();
        let end = run.series.downstream(tables, run.per_run * each, parting);
        let standing = end.and_then(|end| run.standing_for(each, end.sqrt()));
        match standing.map(|standing| standing - self.supply.ambient) {
            Some(head) if head >= 0.0 => {
                let water = self.surroundings.water_density;
                let depth = depth_for_head(water, si::pascals(head));
                Limit::At((depth + run.branch.discharge.stand).value)
            }
            _ => Limit::Always,
        }
    }

    /// How many times as long a series may be for `head` Pa² to drive `amount` against `end` Pa.
    fn length(&self, series: &super::Scaled, amount: f64, head: f64, end: f64) -> Option<Limit> {
        if amount <= 0.0 {
            return Some(Limit::Never);
        }
        let times = series.times_as_long(LogTables::get(), amount, head, end * end)?;
        Some(if times >= 0.0 {
            Limit::At(times)
        } else {
            Limit::Always
        })
    }

    /// The same with `turn` at `place`.
    fn turned_to(&self, turn: Turn, place: f64) -> Self {
        let mut other = self.clone();
        match turn {
            Turn::Bottom => other.turned.bottom = Some(place),
            Turn::Length(Part::Trunk) => other.turned.trunk = Some(place),
            Turn::Length(Part::Runs(kinds)) => {
                other.turned.runs = Some((Kinds::from_slice(kinds), place));
            }
        }
        other
    }

    /// The place at which `margin`, which falls the farther it goes, is nothing. Nothing where
    /// a duty point on the way isn't on the curves, unless `beyond` says what the margin is there.
    fn searched(
        &self,
        turn: Turn,
        farthest: Farthest,
        beyond: Option<f64>,
        margin: impl Fn(&Point) -> f64,
    ) -> Option<Limit> {
        let last: RefCell<Option<Point>> = RefCell::new(None);
        let at = |place: f64| {
            let laid = self.turned_to(turn, place);
            let mut last = last.borrow_mut();
            let near = last
                .take()
                .filter(|point| point.outcome == Outcome::Running);
            let state = near
                .and_then(|near| laid.state_from(Some(&near)))
                .or_else(|| laid.state_from(None));
            let on_curve = |point: &Point| !matches!(point.outcome, Outcome::BeyondCurve { .. });
            let (value, known) = match state {
                Some(State::At(point)) if on_curve(&point) => (margin(&point), Some(point)),
                Some(_) => (beyond.unwrap_or(f64::NAN), None),
                None => (f64::NAN, None),
            };
            *last = known;
            value
        };
        let (first, far) = (at(0.0), at(farthest));
        if first.is_nan() || far.is_nan() {
            return None;
        }
        if first < 0.0 {
            return Some(Limit::Always);
        }
        if far >= 0.0 {
            return Some(Limit::Never);
        }
        let missed = RefCell::new(false);
        let root = between(
            |place| {
                let value = -at(place);
                *missed.borrow_mut() |= value.is_nan();
                value
            },
            (0.0, -first),
            (farthest, -far),
            1e-9 * farthest,
        );
        (!missed.into_inner()).then_some(Limit::At(root.at))
    }
}

/// All kinds of run as they are laid.
type Runs<'a> = SmallVec<[LaidRun<'a>; 2]>;

fn amounts(least: &[AirAmount]) -> SmallVec<[f64; 4]> {
    least.iter().map(|amount| amount.value()).collect()
}
