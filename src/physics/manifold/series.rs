//! Elements in series, walked at a known flow: up from the water, down from the
//! manifold, or for the length that takes the pressure between the two.
//!
//! Everything is told in squared pressures, y = p². There a barb is `y1 = y2 + F m²`, and
//! a line `y1 = y2 + X (f L/D + ln(y1/y2))` with `X = m² R T/A²`. The friction factor hangs
//! on the flow alone, so one flow needs one factor for each bore, whatever the pressures,
//! depths and lengths, and the line's equation can be read for any of them.

use smallvec::SmallVec;

use super::tolerances::{Bore, Scale};
use crate::physics::friction::{Friction, Line, friction_with_slope};
use crate::physics::network::Element;
use crate::units::math::{LogTables, ln_one_plus_small};

/// Error of a squared pressure at which a walk along a line ends, over the pressure.
const WITHIN: f64 = 2e-15;

/// Above this, the dynamic pressure over the squared pressure at a line's end, Newton's
/// method for a length leads nowhere: the air is near the speed of sound.
const NEAR_CHOKED: f64 = 0.5;

/// Elements in series, from the compressor outwards, at tolerances of one.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series(Vec<(Element, Bore)>);

/// A series under the tolerances of one calculation: its elements as they are laid, from the
/// compressor outwards.
#[derive(Debug, Clone)]
pub(super) struct Scaled(SmallVec<[Element; 4]>);

/// Squared pressure at a head, Pa², and how it grows.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Squared {
    pub(super) y: f64,
    /// With the flow, Pa² s/kg.
    pub(super) by_flow: f64,
    /// With the squared pressure at the end.
    pub(super) by_end: f64,
}

impl Series {
    /// Adds an element at the far end, in a line whose bore is known so.
    pub fn push(&mut self, element: Element, bore: Bore) {
        self.0.push((element, bore));
    }

    /// It as it is laid, its lines so many times as long, and without them at 0.
    pub(super) fn under(&self, scale: &Scale, times: f64) -> Scaled {
        let elements = self.0.iter().filter(|(element, _)| match element {
            Element::Line(_) => times > 0.0,
            Element::Fitting(_) => scale.has_fittings(),
            Element::Valve(_) => true,
        });
        Scaled(
            elements
                .map(|(element, bore)| scale.element(*element, *bore, times))
                .collect(),
        )
    }
}

impl Scaled {
    pub(super) fn is_nothing(&self) -> bool {
        self.0.is_empty()
    }

    /// Its elements, from the compressor outwards.
    pub(super) fn iter(&self) -> impl DoubleEndedIterator<Item = &Element> {
        self.0.iter()
    }

    /// Squared pressure at its head that drives `amount` kg/s against `end` Pa².
    pub(super) fn upstream(&self, tables: LogTables, amount: f64, end: f64) -> Squared {
        let mut at = Squared {
            y: end,
            by_flow: 0.0,
            by_end: 1.0,
        };
        if amount <= 0.0 {
            return at;
        }
        let mut factors = Factors::new(tables, amount);
        for element in self.iter().rev() {
            match element {
                Element::Line(line) => {
                    let friction = factors.of(line);
                    pass_line(tables, line, friction, amount, &mut at);
                }
                Element::Fitting(loss) => {
                    at.y += loss.factor * amount * amount;
                    at.by_flow += 2.0 * loss.factor * amount;
                }
                Element::Valve(valve) => {
                    let behind = at.y.sqrt();
                    let (before, by_flow, by_behind) = valve.upstream_with_slopes(amount, behind);
                    // dy = 2 p dp on either side.
                    let through = before / behind * by_behind;
                    at.by_flow = 2.0 * before * by_flow + through * at.by_flow;
                    at.by_end *= through;
                    at.y = before * before;
                }
            }
        }
        at
    }

    /// Squared pressure at its end, where `head` Pa² drive `amount` kg/s; nothing where
    /// that flow can't pass.
    pub(super) fn downstream(&self, tables: LogTables, amount: f64, head: f64) -> Option<f64> {
        if amount <= 0.0 {
            return Some(head);
        }
        let mut factors = Factors::new(tables, amount);
        let mut y = head;
        for element in self.iter() {
            y = match element {
                Element::Line(line) => {
                    behind_line(tables, line, factors.of(line).factor, amount, y)?
                }
                other => behind_other(other, amount, y)?,
            };
        }
        Some(y)
    }

    /// How many times as long all its lines may be that `head` Pa² drive `amount` kg/s
    /// against `end` Pa². Less than nothing where even none is too long. Nothing where
    /// there is no line, a valve between lines, or air near the speed of sound.
    pub(super) fn times_as_long(
        &self,
        tables: LogTables,
        amount: f64,
        head: f64,
        end: f64,
    ) -> Option<f64> {
        let elements = &self.0;
        let is_line = |element: &Element| matches!(element, Element::Line(_));
        let first = elements.iter().position(is_line)?;
        let last = elements.iter().rposition(is_line)?;
        let mut head = head;
        for element in &elements[..first] {
            head = behind_other(element, amount, head)?;
        }
        let mut end = end;
        for element in elements[last + 1..].iter().rev() {
            end = before_other(element, amount, end);
        }
        let lines = &elements[first..=last];
        if let [Element::Line(line)] = lines {
            // One bore: the equation itself, solved for the length.
            let dynamic = line.square * amount * amount;
            let behind = end.max(dynamic);
            let friction = friction_with_slope(tables, line.reynolds * amount, line.roughness);
            let gain = head / behind - 1.0;
            let whole = dynamic * friction.factor * line.slenderness;
            let rise = if gain > 0.0 {
                tables.ln_one_plus(gain)
            } else {
                0.0
            };
            return Some((head - behind - dynamic * rise) / whole);
        }
        times_of_several(tables, lines, amount, head, end)
    }
}

/// Several bores: Newton's method on the length, two or three turns.
fn times_of_several(
    tables: LogTables,
    lines: &[Element],
    amount: f64,
    head: f64,
    end: f64,
) -> Option<f64> {
    let mut factors = Factors::new(tables, amount);
    let mut losses = 0.0;
    for element in lines {
        match element {
            Element::Line(line) => losses += line_loss(line, factors.of(line), amount),
            Element::Fitting(_) => {}
            Element::Valve(_) => return None,
        }
    }
    let mut times = (head - end) / losses;
    if times <= 0.0 {
        return Some(times);
    }
    for _ in 0..20 {
        let (mut y, mut by_times) = (end, 0.0);
        for element in lines.iter().rev() {
            let Element::Line(line) = element else {
                y = before_other(element, amount, y);
                continue;
            };
            let dynamic = line.square * amount * amount;
            let ratio = dynamic / y;
            if ratio > NEAR_CHOKED {
                return None;
            }
            let loss = line_loss(line, factors.of(line), amount);
            let rise = rise_along(tables, ratio, times * loss / y);
            let before = y * (1.0 + rise);
            by_times = (by_times * (1.0 - ratio) + loss) / (1.0 - dynamic / before);
            y = before;
        }
        let next = (times + (head - y) / by_times).max(0.0);
        let moved = (next - times).abs();
        times = next;
        if moved <= 1e-10 * times {
            return Some(times);
        }
    }
    None
}

/// Friction factors at one flow; bores that are alike and follow each other share one.
struct Factors {
    tables: LogTables,
    amount: f64,
    known: Option<(f64, f64, Friction)>,
}

impl Factors {
    fn new(tables: LogTables, amount: f64) -> Factors {
        Factors {
            tables,
            amount,
            known: None,
        }
    }

    fn of(&mut self, line: &Line) -> Friction {
        if let Some((reynolds, roughness, friction)) = self.known
            && reynolds == line.reynolds
            && roughness == line.roughness
        {
            return friction;
        }
        let friction =
            friction_with_slope(self.tables, line.reynolds * self.amount, line.roughness);
        self.known = Some((line.reynolds, line.roughness, friction));
        friction
    }
}

/// What a line takes of the squared pressure, its logarithm left out.
fn line_loss(line: &Line, friction: Friction, amount: f64) -> f64 {
    line.square * amount * amount * friction.factor * line.slenderness
}

/// `y1/y2 − 1` along a line, by `w − r ln(1 + w) = b` with r the dynamic pressure and b the
/// friction, both over y2.
fn rise_along(tables: LogTables, ratio: f64, friction: f64) -> f64 {
    let mut rise = if ratio < NEAR_CHOKED {
        friction / (1.0 - ratio)
    } else {
        friction
    };
    for _ in 0..40 {
        let excess = rise - ratio * tables.ln_one_plus(rise) - friction;
        let step = excess / (1.0 - ratio / (1.0 + rise));
        rise -= step;
        // Newton's method leaves r/2 (step/(1 + w))².
        if ratio * step * step <= WITHIN * (1.0 + rise) {
            break;
        }
    }
    rise
}

/// Moves up along a line.
fn pass_line(tables: LogTables, line: &Line, friction: Friction, amount: f64, at: &mut Squared) {
    let dynamic = line.square * amount * amount;
    // A choked end stands at its own speed of sound, whatever lies behind.
    if dynamic > at.y {
        *at = Squared {
            y: dynamic,
            by_flow: 2.0 * line.square * amount,
            by_end: 0.0,
        };
    }
    let loss = line_loss(line, friction, amount);
    if loss <= 0.0 {
        return;
    }
    let ratio = dynamic / at.y;
    let before = at.y * (1.0 + rise_along(tables, ratio, loss / at.y));
    let back = 1.0 / (1.0 - dynamic / before);
    let own = (2.0 * (before - at.y) + loss * friction.slope) / amount;
    let through = 1.0 - ratio;
    *at = Squared {
        y: before,
        by_flow: (at.by_flow * through + own) * back,
        by_end: at.by_end * through * back,
    };
}

/// Squared pressure behind a line; nothing where it would choke.
fn behind_line(
    tables: LogTables,
    line: &Line,
    factor: f64,
    amount: f64,
    before: f64,
) -> Option<f64> {
    let dynamic = line.square * amount * amount;
    let ratio = dynamic / before;
    let friction = ratio * factor * line.slenderness;
    if friction <= 0.0 {
        return (ratio <= 1.0).then_some(before);
    }
    if friction >= 1.0 || ratio >= 1.0 {
        return None;
    }
    // v + r ln(1 − v) = b with v = 1 − y2/y1.
    let mut fall = friction / (1.0 - ratio);
    for _ in 0..30 {
        if fall >= 1.0 - ratio {
            return None;
        }
        let ln = if fall < 0.2 {
            ln_one_plus_small(-fall)
        } else {
            tables.ln(1.0 - fall)
        };
        let keep = 1.0 / (1.0 - fall);
        let step = (fall + ratio * ln - friction) / (1.0 - ratio * keep);
        fall -= step;
        if ratio * (step * keep) * (step * keep) <= WITHIN {
            return Some(before * (1.0 - fall));
        }
    }
    None
}

/// Squared pressure before a fitting or a valve.
fn before_other(element: &Element, amount: f64, behind: f64) -> f64 {
    match element {
        Element::Line(_) => behind,
        Element::Fitting(loss) => behind + loss.factor * amount * amount,
        Element::Valve(valve) => {
            let before = valve.upstream(amount, behind.sqrt());
            before * before
        }
    }
}

/// Squared pressure behind a fitting or a valve; nothing where the flow can't pass.
fn behind_other(element: &Element, amount: f64, before: f64) -> Option<f64> {
    let behind = match element {
        Element::Line(_) => before,
        Element::Fitting(loss) => before - loss.factor * amount * amount,
        Element::Valve(valve) => {
            let behind = valve.downstream(amount, before.sqrt())?;
            behind * behind
        }
    };
    (behind > 0.0).then_some(behind)
}
