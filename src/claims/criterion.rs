//! One question with a yes or no at each corner of its ranges, and the verdict it gives.
//!
//! A criterion is evaluated where its ranges are worst for the claim, at their central values
//! and where they are best. It moves one way with each range, so those two corners bound
//! everything between them; every criterion has its own pair, because what is bad for one
//! can be good for another. Where a quantity doesn't move one way with some range, that range
//! is sought at both ends ([`Criterion::turns`]).
//!
//! An equation used outside its range doesn't silence a criterion: it widens it.

use std::sync::Arc;

use crate::assumptions::{Assumptions, End, Ends, Name, Values};
use crate::derive::corners::turned;
use crate::derive::solver::Settled;
use crate::physics::{Breach, root};
use crate::units::{Dimension, Mark, math};

/// Whether a claim, or one criterion of it, can be true.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Outcome {
    /// It holds for every value in the ranges.
    Supported,
    /// It holds for part of the ranges.
    Undecided,
    /// It fails for every value in the ranges.
    Contradicted,
    /// It couldn't be judged; a fact is missing.
    NotEvaluated,
}

impl Outcome {
    /// The word for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Outcome::Supported => "supported",
            Outcome::Undecided => "undecided",
            Outcome::Contradicted => "contradicted",
            Outcome::NotEvaluated => "not-evaluated",
        }
    }
}

impl std::fmt::Display for Outcome {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

/// Which way a quantity must lie from what is needed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sense {
    /// The claim needs at least so much.
    AtLeast,
    /// The claim allows at most so much.
    AtMost,
}

/// What a criterion gives at one set of values.
#[derive(Debug, Clone, Default)]
pub struct Measured {
    /// The quantity; `None` where the facts don't say (the curve ends too soon).
    pub value: Option<f64>,
    /// What the claim needs of it.
    pub needed: f64,
    /// Where the value isn't known, but which side of `needed` it lies on is.
    pub known_to_hold: Option<bool>,
    /// Equations used outside their range, those of the duty point left out.
    pub breaches: Vec<Breach>,
    /// The duty point it was measured at.
    pub at: Option<Arc<Settled>>,
}

impl Measured {
    /// Every equation used outside its range.
    fn all_breaches(&self) -> impl Iterator<Item = &Breach> {
        let of_duty = self.at.iter().flat_map(|settled| settled.breaches());
        self.breaches.iter().chain(of_duty)
    }
}

/// A criterion of a claim.
pub struct Criterion<'a> {
    /// Its name in reports: `pressure`, `reach`.
    pub name: &'static str,
    /// What its quantity is, in words: `pressure at the manifold`.
    pub says: &'static str,
    /// Dimension of its quantity and of what is needed.
    pub dimension: Dimension,
    /// Which way it must lie.
    pub sense: Sense,
    /// For each range, the end that is bad for the claim by this criterion.
    pub bad: Ends,
    /// Groups of ranges whose bad end differs from plant to plant: the corners are sought over both ends
    /// of each group.
    pub turns: &'static [&'static [Name]],
    /// The ranges it depends on.
    pub depends: Vec<Name>,
    /// The quantity and what is needed, at given values.
    pub measure: Box<dyn Fn(&Values) -> Measured + 'a>,
}

/// A criterion, judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged {
    /// Its name.
    pub name: &'static str,
    /// What its quantity is, in words.
    pub says: &'static str,
    /// Dimension of the numbers.
    pub dimension: Dimension,
    /// Which way it must lie.
    pub sense: Sense,
    /// The verdict by this criterion.
    pub outcome: Outcome,
    /// What is needed, at central values.
    pub needed: f64,
    /// At the corner bad for the claim.
    pub low: Option<f64>,
    /// At central values.
    pub central: Option<f64>,
    /// At the corner good for the claim.
    pub high: Option<f64>,
    /// Whether it holds at central values, where that is known.
    pub holds_centrally: Option<bool>,
    /// The range that decides most.
    pub decided_by: Option<Decider>,
    /// The weakest mark among the ranges that matter.
    pub weakest: Mark,
    /// Equations used outside their range.
    pub breaches: Vec<Breach>,
    /// The ranges it depends on.
    pub depends: Vec<Name>,
}

/// The range that decides a criterion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Decider {
    /// Which.
    pub name: Name,
    /// The end of it that is bad for the claim.
    pub bad: End,
    /// The value at which the claim would just hold, with the others central; nothing if no value
    /// in its range does it alone.
    pub needs: Option<f64>,
    /// How that bound is known.
    pub mark: Mark,
}

impl Sense {
    /// Whether `value` is enough.
    pub fn holds(self, value: f64, needed: f64) -> bool {
        match self {
            Sense::AtLeast => value >= needed,
            Sense::AtMost => value <= needed,
        }
    }
}

/// By this factor either way a quantity may be off where an equation behind it is used outside its range:
/// judgement, after plumes, whose own uncertainty in shallow water is a factor of two.
pub(super) const WIDER: f64 = 2.0;
/// The same for a level, dB.
const WIDER_LEVEL: f64 = 6.0;

impl Criterion<'_> {
    /// Whether the claim holds by what is measured; nothing where that isn't known.
    pub fn holds(&self, measured: &Measured) -> Option<bool> {
        match measured.value {
            Some(value) => Some(self.sense.holds(value, measured.needed)),
            None => measured.known_to_hold,
        }
    }

    /// What it gives at the corner that is bad for the claim.
    fn worst(&self, assumptions: &Assumptions) -> Measured {
        let corners = self.corners(assumptions, self.bad);
        corners
            .map(|measured| self.widened(measured, false))
            .min_by(|a, b| self.spare(a).total_cmp(&self.spare(b)))
            .unwrap_or_default()
    }

    /// What it gives at the corner that is good for the claim.
    fn best(&self, assumptions: &Assumptions) -> Measured {
        let corners = self.corners(assumptions, self.bad.other());
        corners
            .map(|measured| self.widened(measured, true))
            .max_by(|a, b| self.spare(a).total_cmp(&self.spare(b)))
            .unwrap_or_default()
    }

    /// What it gives with every range at its own of `ends`, each group that turns at both.
    fn corners<'s>(
        &'s self,
        assumptions: &'s Assumptions,
        ends: Ends,
    ) -> impl Iterator<Item = Measured> + 's {
        let corners = turned(assumptions, ends, self.turns, &self.depends);
        corners.map(|values| (self.measure)(&values))
    }

    /// What is measured with an equation outside its range, as far off as that may be: to the claim's
    /// favour or against it.
    fn widened(&self, mut measured: Measured, in_favour: bool) -> Measured {
        // A duty point is bounded by its curve and the water whatever its lines and diffusers take.
        if measured.breaches.is_empty() {
            return measured;
        }
        let greater = in_favour == (self.sense == Sense::AtLeast);
        let is_level = matches!(
            self.dimension,
            Dimension::SoundLevel | Dimension::WeightedSoundLevel
        );
        measured.value = measured.value.map(|value| match (is_level, greater) {
            (true, true) => value + WIDER_LEVEL,
            (true, false) => value - WIDER_LEVEL,
            (false, true) => value * WIDER,
            (false, false) => value / WIDER,
        });
        measured
    }

    /// How much is to spare: above 1 it holds. What isn't known lies between failing and holding.
    fn spare(&self, measured: &Measured) -> f64 {
        let ratio = |value: f64| match self.sense {
            Sense::AtLeast => value / measured.needed,
            Sense::AtMost => measured.needed / value,
        };
        match measured.value {
            Some(value) if !ratio(value).is_nan() => ratio(value),
            _ if measured.known_to_hold == Some(false) => 0.0,
            _ => 1.0,
        }
    }

    /// Whether it would hold at its good corner if `name` went a quarter farther from its centre than its good end, as
    /// a ratio. A contradiction that such a step undoes hangs on where the end was put.
    pub fn holds_a_quarter_beyond(&self, assumptions: &Assumptions, name: Name) -> bool {
        let range = &assumptions[name];
        let to = range.at(self.bad[name].other());
        let beyond = if range.central > 0.0 && to >= 0.0 {
            range.central * math::powf(to / range.central, 1.25)
        } else {
            range.central + 1.25 * (to - range.central)
        };
        turned(assumptions, self.bad.other(), self.turns, &self.depends).any(|values| {
            let measured = (self.measure)(&values.with(name, beyond));
            self.holds(&self.widened(measured, true)) == Some(true)
        })
    }

    /// Judges it at its two corners and the centre.
    pub fn judge(&self, assumptions: &Assumptions) -> Judged {
        let worst = self.worst(assumptions);
        let central = (self.measure)(&assumptions.central());
        let best = self.best(assumptions);
        let (bad, good) = (self.holds(&worst), self.holds(&best));
        let mid = self
            .holds(&central)
            .or_else(|| self.fails_at_the_good_bound(assumptions).then_some(false));
        let outcome = match (bad, good) {
            (Some(true), _) => Outcome::Supported,
            (_, Some(false)) => Outcome::Contradicted,
            (None, None) if mid.is_none() => Outcome::NotEvaluated,
            _ => Outcome::Undecided,
        };
        let mut breaches: Vec<Breach> = Vec::new();
        for breach in [&worst, &central, &best]
            .into_iter()
            .flat_map(Measured::all_breaches)
        {
            if !breaches.iter().any(|b| b.range == breach.range) {
                breaches.push(*breach);
            }
        }
        Judged {
            name: self.name,
            says: self.says,
            dimension: self.dimension,
            sense: self.sense,
            outcome,
            needed: central.needed,
            low: worst.value,
            central: central.value,
            high: best.value,
            holds_centrally: mid,
            decided_by: None,
            weakest: Mark::Stated,
            breaches,
            depends: self.depends.clone(),
        }
    }

    /// Whether it fails at central values though a machine of which only bounds are known gives all that its plate
    /// can mean.
    fn fails_at_the_good_bound(&self, assumptions: &Assumptions) -> bool {
        let good = assumptions[Name::PlateBound].at(self.bad[Name::PlateBound].other());
        let values = assumptions.central().with(Name::PlateBound, good);
        self.depends.contains(&Name::PlateBound)
            && self.holds(&(self.measure)(&values)) == Some(false)
    }

    /// Finds the range that decides, by moving each alone from end to end with the others central.
    ///
    /// The decider is the one with the longest stretch among those whose stretch crosses what is
    /// needed; if none crosses alone, the one with the longest stretch. Ranges with less than a
    /// tenth of the longest stretch don't count for the weakest mark. The others stand as in `basis`: central,
    /// but for what the rating declares, so that what is needed and what is rated can be held side by side.
    pub fn decide(&self, assumptions: &Assumptions, basis: &Values, judged: &mut Judged) {
        // Only at its bounds is anything known of a machine without a curve; others don't depend on it.
        let good = self.bad[Name::PlateBound].other();
        let bound = assumptions[Name::PlateBound].at(good);
        let central = basis.clone().with(Name::PlateBound, bound);
        let mut stretches: Vec<(Name, f64, Option<[f64; 2]>)> = Vec::new();
        for &name in &self.depends {
            let range = &assumptions[name];
            if range.unfavourable == range.favourable {
                continue;
            }
            let end = self.bad[name];
            let bad = (self.measure)(&central.clone().with(name, range.at(end)));
            let good = (self.measure)(&central.clone().with(name, range.at(end.other())));
            let crosses = self.holds(&bad) == Some(false) && self.holds(&good) == Some(true);
            let margins = crosses.then(|| [self.margin(&bad), self.margin(&good)]);
            stretches.push((name, stretch(&bad, &good), margins));
        }
        let Some(longest) = stretches.iter().map(|s| s.1).max_by(f64::total_cmp) else {
            return;
        };
        let decider = stretches
            .iter()
            .filter(|s| s.2.is_some())
            .max_by(|a, b| a.1.total_cmp(&b.1))
            .or_else(|| stretches.iter().max_by(|a, b| a.1.total_cmp(&b.1)));
        let good_mark = |name: Name| {
            let range = &assumptions[name];
            range.mark_at(range.at(self.bad[name].other()))
        };
        judged.decided_by = decider.map(|&(name, _, margins)| Decider {
            name,
            bad: self.bad[name],
            // Between the bounds of a plate nothing is known, so there is no value to name.
            needs: margins
                .filter(|_| name != Name::PlateBound)
                .map(|margins| self.needs(assumptions, &central, name, margins)),
            mark: good_mark(name),
        });
        judged.weakest = stretches
            .iter()
            .filter(|s| s.1 >= longest / 10.0 && s.1 > 0.0)
            .map(|s| good_mark(s.0))
            .max()
            .unwrap_or(Mark::Stated);
    }

    /// The value of `name` at which the criterion just holds, with the others central. It fails at the bad
    /// end of its range and holds at the good one, by `margins`.
    fn needs(
        &self,
        assumptions: &Assumptions,
        central: &Values,
        name: Name,
        [bad, good]: [f64; 2],
    ) -> f64 {
        let range = &assumptions[name];
        let end = self.bad[name];
        let (from, to) = (range.at(end), range.at(end.other()));
        let margin = |value| self.margin(&(self.measure)(&central.clone().with(name, value)));
        // The reader gets three digits.
        let within = 1e-6 * (to - from).abs();
        root::between(margin, (from, bad), (to, good), within).at
    }

    /// How far beyond what is needed it is, as a share of that; below nothing it fails. What isn't known
    /// counts as failing.
    fn margin(&self, measured: &Measured) -> f64 {
        let holds = self.holds(measured) == Some(true);
        let Some(value) = measured.value else {
            return if holds { 1.0 } else { -1.0 };
        };
        let over = match self.sense {
            Sense::AtLeast => value - measured.needed,
            Sense::AtMost => measured.needed - value,
        };
        let share = over / measured.needed.abs();
        if share.is_finite() { share } else { over }
    }
}

/// How far a quantity moves, as the logarithm of the ratio of its ends.
fn stretch(bad: &Measured, good: &Measured) -> f64 {
    match (bad.value, good.value) {
        (Some(a), Some(b)) if a > 0.0 && b > 0.0 => math::ln(b / a).abs(),
        (Some(a), Some(b)) if a == b => 0.0,
        // What isn't known either way doesn't turn on it.
        (None, None) if bad.known_to_hold == good.known_to_hold => 0.0,
        // From nothing to something, or from known to unknown: as far as can be.
        _ => f64::MAX,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A claim that needs `needed` of something that grows with reach and falls with friction.
    fn toy(needed: f64) -> Criterion<'static> {
        Criterion {
            name: "toy",
            says: "toy",
            dimension: Dimension::Length,
            sense: Sense::AtLeast,
            bad: Ends::UNFAVOURABLE,
            turns: &[],
            depends: vec![Name::ReachPerDepth, Name::Friction],
            measure: Box::new(move |v| Measured {
                value: Some(v[Name::ReachPerDepth] / v[Name::Friction]),
                needed,
                ..Measured::default()
            }),
        }
    }

    #[test]
    fn the_two_corners_decide_and_the_longest_stretch_that_crosses_is_named() {
        let ranges = Assumptions::builtin();
        assert_eq!(toy(2.0).judge(ranges).outcome, Outcome::Supported);
        assert_eq!(toy(11.0).judge(ranges).outcome, Outcome::Contradicted);
        let criterion = toy(6.0);
        let mut judged = criterion.judge(ranges);
        assert_eq!(judged.outcome, Outcome::Undecided);
        assert_eq!(judged.holds_centrally, Some(false));
        criterion.decide(ranges, &ranges.central(), &mut judged);
        let decider = judged.decided_by.unwrap();
        assert_eq!(decider.name, Name::ReachPerDepth);
        assert!((decider.needs.unwrap() - 6.0).abs() < 1e-5);
        // Its favourable end lies beyond what is published.
        assert_eq!(judged.weakest, Mark::Judgement);
    }

    #[test]
    fn a_step_beyond_the_bound_that_decides_undoes_a_near_miss_only() {
        let ranges = Assumptions::builtin();
        // The best corner gives 10 depths over 0.95: 10.5.
        let near = toy(12.0);
        let far = toy(14.0);
        assert_eq!(near.judge(ranges).outcome, Outcome::Contradicted);
        assert!(near.holds_a_quarter_beyond(ranges, Name::ReachPerDepth));
        assert!(!far.holds_a_quarter_beyond(ranges, Name::ReachPerDepth));
        // Friction may fall from 0.95 to 0.938, which brings 10.66.
        assert!(toy(10.6).holds_a_quarter_beyond(ranges, Name::Friction));
        assert!(!near.holds_a_quarter_beyond(ranges, Name::Friction));
        assert!(!far.holds_a_quarter_beyond(ranges, Name::Friction));
    }

    #[test]
    fn an_equation_outside_its_range_widens_and_silences_nothing() {
        let ranges = Assumptions::builtin();
        let off = |needed: f64| {
            let mut criterion = toy(needed);
            criterion.measure = Box::new(move |v| Measured {
                value: Some(v[Name::ReachPerDepth]),
                needed,
                breaches: crate::physics::reach::reach_area(&[], 1.0, 99.0).breaches,
                ..Measured::default()
            });
            criterion.judge(ranges).outcome
        };
        // 2.5 to 10, a factor of two either way.
        assert_eq!(off(1.2), Outcome::Supported);
        assert_eq!(off(2.0), Outcome::Undecided);
        assert_eq!(off(19.0), Outcome::Undecided);
        assert_eq!(off(21.0), Outcome::Contradicted);
    }

    #[test]
    fn what_is_unknown_everywhere_is_not_evaluated() {
        let mut criterion = toy(1.0);
        criterion.measure = Box::new(|_| Measured::default());
        assert_eq!(
            criterion.judge(Assumptions::builtin()).outcome,
            Outcome::NotEvaluated
        );
    }
}
