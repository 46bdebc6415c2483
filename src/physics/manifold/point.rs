//! The duty point of runs from a manifold.
//!
//! One kind of run: `S(P(m) − p_a) = n m` with S the supply and P the manifold's pressure
//! for m out of each of n diffusers. P rises and S falls, so Newton's method in a bracket
//! finds the one root; the bracket is known from the start.
//!
//! Several kinds: every branch hangs on the pressure p where they part. With H(m) a
//! branch's pressure and T(M, p) the trunk's, one step is
//!
//! ```text
//! A = sum c (m + (p − H)/H'),   B = sum c/H',   M = sum c m
//! dp = [S − A + S' T_M (A − M)] / [B − S' (T_M B + T_p)]
//! dm = (p + dp − H)/H'
//! ```
//!
//! The Jacobian is an arrow, so a step costs one look at each branch, at the trunk and at
//! the curve. Where the steps don't close in, the general search takes over.

use smallvec::SmallVec;

use super::{Laid, LaidRun, Scaled};
use crate::physics::network::Outcome;
use crate::units::math::LogTables;
use crate::units::quantity::{AirAmount, GaugePressure};

/// Error a flow may be left with, relative, where the steps so far tell it.
const WITHIN: f64 = 1e-12;

/// A step so small needs nothing behind it to be believed.
const NOTHING: f64 = 1e-11;

/// The most steps over unlike branches before the general search takes over.
const MOST_STEPS: u32 = 16;

/// Where pressure and flow settle.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// How it ended.
    pub outcome: Outcome,
    /// Absolute pressure at the machines, Pa.
    pub(super) manifold: f64,
    /// Absolute pressure where the runs part, Pa.
    pub(super) parting: f64,
    /// Air that leaves all diffusers, kg/s.
    pub(super) amount: f64,
    /// Air out of one diffuser of each kind of run, kg/s.
    pub(super) each: SmallVec<[f64; 4]>,
    /// How often the pressure of all runs was worked out.
    pub evaluations: u32,
}

/// A duty point, or that it lies beyond the curves and nobody asked where.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum State {
    At(Point),
    Beyond,
}

impl Point {
    /// Gauge pressure at the machines, in air of `ambient` Pa.
    pub fn gauge(&self, ambient: f64) -> GaugePressure {
        GaugePressure::pascals(self.manifold - ambient)
    }

    /// Air that leaves all diffusers, kg/s.
    pub fn amount(&self) -> f64 {
        self.amount
    }

    /// Air out of one diffuser of each kind of run, kg/s; of none beyond the curve.
    pub fn each(&self) -> &[f64] {
        &self.each
    }
}

impl LaidRun<'_> {
    /// Absolute pressure at its head in Pa for `each` kg/s out of every diffuser, and its
    /// slope, Pa s/kg.
    pub(super) fn pressure(&self, tables: LogTables, each: f64) -> (f64, f64) {
        let (end, by_each) = self.before_check_valve(each);
        if self.series.is_nothing() {
            return (end, by_each);
        }
        let at = self.series.upstream(tables, self.per_run * each, end * end);
        let head = at.y.sqrt();
        let slope = at.by_flow * self.per_run + at.by_end * 2.0 * end * by_each;
        (head, slope / (2.0 * head))
    }

    /// Absolute pressure above which it draws, Pa.
    pub(super) fn opening(&self) -> f64 {
        self.before_check_valve(0.0).0
    }
}

/// All kinds of run as they are laid.
type Runs<'a> = SmallVec<[LaidRun<'a>; 2]>;

impl Laid<'_> {
    /// The duty point; nothing where only the general search answers: a bleed that takes
    /// all, a curve that lies at nothing for a stretch, unlike branches beyond the curve.
    pub fn point(&self) -> Option<Point> {
        let runs: Runs = self.runs().collect();
        match runs.as_slice() {
            [] => None,
            [one] => self.point_of_one(one, None),
            several => match self.point_of_several(several, None)? {
                State::At(point) => Some(point),
                State::Beyond => None,
            },
        }
    }

    /// The same, from another point of like runs: fewer steps the nearer it is.
    pub fn point_from(&self, start: &Point) -> Option<Point> {
        match self.state_from(Some(start))? {
            State::At(point) => Some(point),
            State::Beyond => None,
        }
    }

    /// The same, where it is enough to know that it lies beyond the curves.
    pub(super) fn state_from(&self, start: Option<&Point>) -> Option<State> {
        let runs: Runs = self.runs().collect();
        match runs.as_slice() {
            [] => None,
            [one] => {
                let start = start.and_then(|start| start.each.first().copied());
                self.point_of_one(one, start).map(State::At)
            }
            several => {
                let start = start.filter(|start| start.each.len() == several.len());
                self.point_of_several(several, start)
            }
        }
    }

    /// Pressures of the one kind of run for `each` kg/s out of every diffuser.
    fn pressures(
        &self,
        tables: LogTables,
        (trunk, one): (&Scaled, &LaidRun),
        each: f64,
    ) -> Pressures {
        let parting = one.pressure(tables, each);
        let (head, by_flow, by_end) = before_trunk(tables, trunk, one.count * each, parting.0);
        Pressures {
            manifold: (head, by_flow * one.count + by_end * parting.1),
            parting,
        }
    }

    /// Nothing flows: the machines stand at their shut-off, or beyond their curves.
    fn still(&self, left: f64, gauge: f64) -> Option<Point> {
        if left > 0.0 {
            return Some(self.beyond(gauge, left, 0.0, 0));
        }
        // A bleed lets the pressure settle lower, where it takes all.
        self.supply.is_whole().then(|| {
            let manifold = self.supply.ambient + gauge;
            Point {
                outcome: Outcome::DeadHeaded,
                manifold,
                parting: manifold,
                amount: 0.0,
                each: SmallVec::from_elem(0.0, self.manifold.branches.len()),
                evaluations: 0,
            }
        })
    }

    fn beyond(&self, gauge: f64, left: f64, drawn: f64, evaluations: u32) -> Point {
        let density = self.surroundings.inlet_density;
        let manifold = self.supply.ambient + gauge;
        Point {
            outcome: Outcome::BeyondCurve {
                last: GaugePressure::pascals(gauge),
                curve: AirAmount::kilograms_per_second(left).free_air(density),
                network: AirAmount::kilograms_per_second(drawn).free_air(density),
            },
            manifold,
            parting: manifold,
            amount: 0.0,
            each: SmallVec::new(),
            evaluations,
        }
    }

    fn point_of_one(&self, one: &LaidRun, start: Option<f64>) -> Option<Point> {
        let tables = LogTables::get();
        let trunk = self.trunk();
        let ambient = self.supply.ambient;
        let end = self.supply.end;
        let opening = one.opening() - ambient;
        if opening >= end.gauge {
            return self.still(end.left, end.gauge);
        }
        let most = self.supply.at(opening).0;
        if most <= 0.0 {
            return None;
        }
        let count = one.count;
        let (mut low, mut high) = (0.0, most / count);
        let near = start.filter(|each| (low..high).contains(each) && *each > 0.0);
        let mut each = near.unwrap_or(0.9 * high);
        // Nothing is known before the first step: a tenth, so that one step must be tiny to
        // be the last.
        let mut before = 0.1;
        for evaluations in 1..=60 {
            let at = self.pressures(tables, (&trunk, one), each);
            let gauge = at.manifold.0 - ambient;
            let (given, by_pressure) = self.supply.at(gauge);
            let excess = given - count * each;
            if excess >= 0.0 {
                low = each;
            } else {
                high = each;
            }
            let step = excess / (count - by_pressure * at.manifold.1);
            let to = each + step;
            // A step leaves its square times what the last two steps show, unless it goes
            // over a bend.
            let part = (step / each).abs();
            let leaves = part * part * (4.0 * part / (before * before)).max(1.0);
            before = part;
            let straight = gauge < end.gauge && one.loss.is_straight_between(each, to);
            if part <= NOTHING || (leaves <= WITHIN && straight) {
                return Some(self.settled_of_one(one, to, at.moved(step), evaluations));
            }
            let next = if evaluations == 1 && gauge > end.gauge {
                // Far beyond the curve a step only halves what is too much; losses that bend
                // like a parabola, on the curve's chord, lead back at once.
                let chord = (end.left - most) / (end.gauge - opening);
                at.flow_on_chord(each, opening + ambient, (most, chord), count)
            } else {
                to
            };
            // The upper end may be the root itself: where the curve is level.
            each = if next > low && next <= high {
                next
            } else {
                0.5 * (low + high)
            };
        }
        None
    }

    /// The point at which Newton's method ended: on the curves, or beyond them.
    fn settled_of_one(
        &self,
        one: &LaidRun,
        each: f64,
        (manifold, parting): (f64, f64),
        evaluations: u32,
    ) -> Point {
        let end = self.supply.end;
        let last = self.supply.ambient + end.gauge;
        if end.left > 0.0 && manifold > last {
            let drawn = self.drawn_by_one(one, last, end.left);
            return self.beyond(end.gauge, end.left, drawn, evaluations);
        }
        Point {
            outcome: Outcome::Running,
            manifold,
            parting,
            amount: one.count * each,
            each: SmallVec::from_elem(each, 1),
            evaluations,
        }
    }

    /// What all runs draw where `manifold` Pa stand at the machines and it is less than
    /// `most` kg/s.
    fn drawn_by_one(&self, one: &LaidRun, manifold: f64, most: f64) -> f64 {
        let tables = LogTables::get();
        let trunk = self.trunk();
        let (mut low, mut high) = (0.0, most / one.count);
        let mut each = 0.5 * high;
        for _ in 0..200 {
            let (head, slope) = self.pressures(tables, (&trunk, one), each).manifold;
            if head < manifold {
                low = each;
            } else {
                high = each;
            }
            let to = each + (manifold - head) / slope;
            let next = if to > low && to < high {
                to
            } else {
                0.5 * (low + high)
            };
            let moved = (next - each).abs();
            each = next;
            if moved <= WITHIN * each {
                break;
            }
        }
        one.count * each
    }

    fn point_of_several(&self, runs: &[LaidRun], start: Option<&Point>) -> Option<State> {
        let tables = LogTables::get();
        let ambient = self.supply.ambient;
        let end = self.supply.end;
        let openings: SmallVec<[f64; 4]> = runs.iter().map(LaidRun::opening).collect();
        let first = openings.iter().copied().fold(f64::INFINITY, f64::min);
        let last = ambient + end.gauge;
        if first >= last {
            return self.still(end.left, end.gauge).map(State::At);
        }
        let most = self.supply.at(first - ambient).0;
        if most <= 0.0 {
            return None;
        }
        let all: f64 = runs.iter().map(|run| run.count).sum();
        let trunk = self.trunk();
        let mut search = match start {
            Some(start) => Search {
                each: start.each.clone(),
                parting: start.parting.clamp(first, last),
            },
            None => start_of(tables, runs, 0.7 * most / all, (first, last)),
        };
        for evaluations in 1..=MOST_STEPS {
            let trickle = 0.02 * most / all;
            let step = self.step(tables, (&trunk, runs), &mut search, &openings, trickle)?;
            let settled = step.is_last && {
                let mut flows = search.each.iter().zip(&openings);
                flows.all(|(each, opening)| (*each > 0.0) == (search.parting > *opening))
            };
            search.parting = search.parting.max(first);
            if settled {
                if end.left > 0.0 && step.manifold > last {
                    return Some(State::Beyond);
                }
                let flows = search.each.iter().zip(runs);
                return Some(State::At(Point {
                    outcome: Outcome::Running,
                    manifold: step.manifold,
                    parting: search.parting,
                    amount: flows.map(|(each, run)| run.count * each).sum(),
                    each: search.each,
                    evaluations,
                }));
            }
        }
        None
    }

    /// One step of Newton's method over all branches; nothing where none draws.
    fn step(
        &self,
        tables: LogTables,
        (trunk, runs): (&Scaled, &[LaidRun]),
        search: &mut Search,
        openings: &[f64],
        trickle: f64,
    ) -> Option<Step> {
        let parting = search.parting;
        let mut rows: SmallVec<[Row; 4]> = SmallVec::with_capacity(runs.len());
        let (mut total, mut wanted, mut gain) = (0.0, 0.0, 0.0);
        let mut woken = false;
        for ((run, each), opening) in runs.iter().zip(&mut search.each).zip(openings) {
            if parting <= *opening {
                woken |= *each != 0.0;
                *each = 0.0;
                rows.push(Row::default());
                continue;
            }
            if *each <= 0.0 {
                *each = trickle;
                woken = true;
            }
            let (head, slope) = run.pressure(tables, *each);
            let row = Row {
                gain: 1.0 / slope,
                rest: (parting - head) / slope,
            };
            let count = run.count;
            total += count * *each;
            wanted += count * (*each + row.rest);
            gain += count * row.gain;
            rows.push(row);
        }
        if gain == 0.0 {
            return None;
        }
        let (manifold, by_flow, by_parting) = before_trunk(tables, trunk, total, parting);
        let (given, by_pressure) = self.supply.at(manifold - self.supply.ambient);
        let moved = (given - wanted + by_pressure * by_flow * (wanted - total))
            / (gain - by_pressure * (by_flow * gain + by_parting));
        let mut is_last = moved.abs() <= 1e-10 * parting && !woken;
        let mut grown = 0.0;
        for ((run, each), row) in runs.iter().zip(&mut search.each).zip(&rows) {
            if row.gain == 0.0 {
                continue;
            }
            let step = row.rest + row.gain * moved;
            // Losses bend upward: a step that would take a flow away is cut, and one that
            // would more than treble it.
            let next = (*each + step).clamp(0.1 * *each, 4.0 * *each);
            let part = (next - *each).abs() / *each;
            let straight = run.loss.is_straight_between(*each, next);
            is_last &= part <= NOTHING || (part <= 1e-7 && straight);
            grown += run.count * (next - *each);
            *each = next;
        }
        search.parting = parting + moved;
        Some(Step {
            manifold: manifold + by_flow * grown + by_parting * moved,
            is_last,
        })
    }
}

/// Absolute pressure before a trunk, with its slopes against flow and pressure.
pub(super) fn before_trunk(
    tables: LogTables,
    trunk: &Scaled,
    amount: f64,
    parting: f64,
) -> (f64, f64, f64) {
    if trunk.is_nothing() || amount <= 0.0 {
        return (parting, 0.0, 1.0);
    }
    let at = trunk.upstream(tables, amount, parting * parting);
    let head = at.y.sqrt();
    (head, at.by_flow / (2.0 * head), at.by_end * parting / head)
}

/// All runs at one flow, and the mean of their pressures.
fn start_of(tables: LogTables, runs: &[LaidRun], each: f64, (first, last): (f64, f64)) -> Search {
    let (mut sum, mut count) = (0.0, 0.0);
    for run in runs {
        sum += run.count * run.pressure(tables, each).0;
        count += run.count;
    }
    Search {
        each: SmallVec::from_elem(each, runs.len()),
        parting: (sum / count).clamp(first, last),
    }
}

/// Absolute pressures in Pa with their slopes against the air out of each diffuser.
struct Pressures {
    manifold: (f64, f64),
    parting: (f64, f64),
}

impl Pressures {
    /// The air out of each diffuser where a parabola through the opening pressure, with
    /// pressure and slope at `each`, meets a straight supply: `chord.0` kg/s at the opening
    /// pressure, `chord.1` kg/s more for each Pa.
    fn flow_on_chord(&self, each: f64, opening: f64, chord: (f64, f64), count: f64) -> f64 {
        let (head, slope) = self.manifold;
        let square = (slope * each - (head - opening)) / (each * each);
        let linear = slope - 2.0 * square * each;
        // a m² + b m = c
        let (a, b) = (-chord.1 * square, count - chord.1 * linear);
        let c = chord.0;
        let root = (b * b + 4.0 * a * c).max(0.0).sqrt();
        2.0 * c / (b + root)
    }

    /// Both after a step so small that they are straight.
    fn moved(&self, step: f64) -> (f64, f64) {
        let along = |(pressure, slope): (f64, f64)| pressure + slope * step;
        (along(self.manifold), along(self.parting))
    }
}

/// Where the steps over unlike branches stand.
struct Search {
    each: SmallVec<[f64; 4]>,
    parting: f64,
}

/// What a step needs of one branch: how much it draws more for each Pa, and what it would
/// draw more at the pressure there is.
#[derive(Clone, Copy, Default)]
struct Row {
    gain: f64,
    rest: f64,
}

struct Step {
    /// Absolute pressure at the machines behind the step, Pa.
    manifold: f64,
    /// Whether nothing moved that matters.
    is_last: bool,
}
