//! The search for the duty point.
//!
//! Two kinds of run are told apart. A *direct* one gives its pressure from its flow by
//! a formula: an outlet, or any number of alike direct runs. The others, splits into
//! unlike branches, give their flow from their pressure, each branch by a search of its
//! own. The outermost search runs over the flow if the whole network is direct, and
//! otherwise over the pressure *behind* the trunk, where the branches part, so that a
//! trunk costs no search. Nothing here allocates.

use super::{Element, LEAST_SLOPE, LetOff, Network, Outlet};
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::root::{between, from_guess};
use crate::physics::valve::ControlValve;
use crate::units::math::powf;
use crate::units::quantity::{AirAmount, GaugePressure};

/// Pressure tolerance of the searches over pressure, Pa: a few units in the last place.
const PRESSURE_TOLERANCE: f64 = 1e-10;

/// Flow tolerance of the searches over flow, over the greatest flow.
const FLOW_TOLERANCE: f64 = 1e-14;

impl Element {
    /// Pressure before it in Pa, for `amount` kg/s and `behind` Pa.
    fn upstream(&self, amount: f64, behind: f64) -> f64 {
        match self {
            Element::Line(line) => line.upstream(amount, behind),
            Element::Fitting(loss) => loss.upstream(amount, behind),
            Element::Valve(valve) => valve.upstream(amount, behind),
        }
    }
}

/// A run, ready to be walked.
#[derive(Debug, Clone)]
pub(in crate::physics) struct Node {
    pub(in crate::physics) elements: Vec<Element>,
    pub(in crate::physics) end: NodeEnd,
    /// Absolute pressure at its head above which it draws, Pa.
    pub(in crate::physics) opening: f64,
    /// Whether its pressure follows from its flow by a formula.
    pub(in crate::physics) direct: bool,
}

#[derive(Debug, Clone)]
pub(in crate::physics) enum NodeEnd {
    Outlet(Mouth),
    Split(Vec<(f64, Node)>),
}

/// An outlet, ready to be calculated with.
#[derive(Debug, Clone)]
pub(in crate::physics) struct Mouth {
    /// Air pressure and water over it, Pa absolute.
    pub(in crate::physics) standing: f64,
    /// Pressure at which the check valve cracks, Pa.
    pub(in crate::physics) crack: f64,
    pub(in crate::physics) check_valve: Option<ControlValve>,
    pub(in crate::physics) loss: DiffuserLoss,
    pub(in crate::physics) head: f64,
    pub(in crate::physics) depth: f64,
    pub(in crate::physics) label: usize,
}

impl Mouth {
    /// Pressure between check valve and diffuser, for `amount` kg/s.
    pub(in crate::physics) fn before_diffuser(&self, amount: f64) -> f64 {
        self.standing + self.loss.pascals(amount) + LEAST_SLOPE * amount
    }

    /// Pressure at the end of the line, for `amount` kg/s.
    pub(in crate::physics) fn before_check_valve(&self, amount: f64) -> f64 {
        let behind = self.before_diffuser(amount);
        let open = match &self.check_valve {
            Some(valve) => valve.upstream(amount, behind),
            None => behind,
        };
        open + self.crack
    }
}

impl Node {
    pub(in crate::physics) fn outlet(
        elements: Vec<Element>,
        outlet: Outlet,
        ambient: f64,
        head: f64,
        depth: f64,
    ) -> Node {
        let mouth = Mouth {
            standing: ambient + head,
            crack: outlet.check_valve.map_or(0.0, |v| v.opening().value),
            check_valve: outlet.check_valve.and_then(|v| v.valve().copied()),
            loss: outlet.loss,
            head,
            depth,
            label: outlet.label,
        };
        Node {
            opening: mouth.before_check_valve(0.0),
            elements,
            end: NodeEnd::Outlet(mouth),
            direct: true,
        }
    }

    pub(in crate::physics) fn split(elements: Vec<Element>, branches: Vec<(f64, Node)>) -> Node {
        let opening = branches
            .iter()
            .map(|(_, node)| node.opening)
            .fold(f64::INFINITY, f64::min);
        let direct = branches.len() == 1 && branches.iter().all(|(_, node)| node.direct);
        Node {
            elements,
            end: NodeEnd::Split(branches),
            opening,
            direct,
        }
    }

    /// Pressure before the elements, for `amount` kg/s and `behind` Pa at their end.
    pub(in crate::physics) fn through(&self, amount: f64, behind: f64) -> f64 {
        self.elements
            .iter()
            .rev()
            .fold(behind, |pressure, element| {
                element.upstream(amount, pressure)
            })
    }

    /// Pressure at the end of the elements of a *direct* run, for `amount` kg/s.
    pub(in crate::physics) fn direct_end(&self, amount: f64) -> f64 {
        match &self.end {
            NodeEnd::Outlet(mouth) => mouth.before_check_valve(amount),
            NodeEnd::Split(branches) => branches.iter().fold(0.0, |greatest, (count, node)| {
                greatest.max(node.direct_head(amount / count))
            }),
        }
    }

    /// Pressure at the head of a *direct* run, for `amount` kg/s.
    pub(in crate::physics) fn direct_head(&self, amount: f64) -> f64 {
        self.through(amount, self.direct_end(amount))
    }

    /// Air drawn in kg/s at `pressure` Pa at the head, and the pressure at the end of
    /// the elements. No more than `cap` is given for any outlet.
    pub(in crate::physics) fn draw(&self, pressure: f64, cap: f64) -> (f64, f64) {
        if pressure <= self.opening {
            return (0.0, pressure);
        }
        if self.direct {
            let amount = self.direct_draw(pressure, cap);
            return (amount, self.direct_end(amount));
        }
        if self.elements.is_empty() {
            return (self.parted(pressure, cap), pressure);
        }
        let excess = |end: f64| self.through(self.parted(end, cap), end) - pressure;
        let root = between(
            excess,
            (self.opening, self.opening - pressure),
            (pressure, excess(pressure)),
            PRESSURE_TOLERANCE,
        );
        (self.parted(root.at, cap), root.at)
    }

    /// Air drawn in kg/s by everything behind the elements, at `end` Pa there.
    pub(in crate::physics) fn parted(&self, end: f64, cap: f64) -> f64 {
        match &self.end {
            NodeEnd::Outlet(_) => self.direct_draw(end, cap),
            NodeEnd::Split(branches) => branches
                .iter()
                .map(|(count, node)| count * node.draw(end, cap).0)
                .sum(),
        }
    }

    fn direct_draw(&self, pressure: f64, cap: f64) -> f64 {
        let excess = |amount: f64| self.direct_head(amount) - pressure;
        invert(excess, self.opening - pressure, cap)
    }
}

/// The flow up to `cap` at which `excess` is 0, where it is `at_zero` without any.
fn invert(excess: impl Fn(f64) -> f64, at_zero: f64, cap: f64) -> f64 {
    let at_cap = excess(cap);
    if at_cap <= 0.0 {
        return cap;
    }
    // Losses go with about the 1.75th power of the flow, so the flow with the 0.57th of
    // the pressure that is left for them.
    let share = powf(-at_zero / (at_cap - at_zero), 0.57);
    from_guess(
        excess,
        (0.0, at_zero),
        (cap, at_cap),
        1.0 - share,
        FLOW_TOLERANCE * cap,
    )
    .at
}

/// What the search found; all in Pa absolute and kg/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Found {
    /// Air flows: the manifold's pressure, the air that leaves it, and the pressure at
    /// the end of the trunk.
    Flow {
        manifold: f64,
        amount: f64,
        end: f64,
    },
    /// Nothing reaches an outlet.
    Stopped { manifold: f64, all_bled: bool },
    /// The duty point lies beyond the curve.
    Beyond {
        manifold: f64,
        curve: f64,
        drawn: f64,
    },
}

impl Network {
    fn ambient(&self) -> f64 {
        self.surroundings.ambient.value()
    }

    /// Free air drawn in by all machines at a manifold pressure, m3/s.
    pub(in crate::physics) fn inlet_flow(&self, manifold: f64) -> f64 {
        let ambient = self.ambient();
        let gauge = manifold - ambient;
        self.machines.iter().map(|m| m.held(gauge, ambient)).sum()
    }

    /// Air let off at a manifold pressure, kg/s.
    pub(super) fn let_off(&self, manifold: f64) -> f64 {
        self.bleed.at(manifold, self.ambient())
    }

    /// What is left for the runs at a manifold pressure, kg/s; less than nothing where
    /// the bleed would take more than there is.
    pub(in crate::physics) fn supply(&self, manifold: f64) -> f64 {
        self.inlet_flow(manifold) * self.surroundings.inlet_density.value - self.let_off(manifold)
    }

    /// The manifold pressure to which every machine's flow is known, Pa absolute.
    ///
    /// A machine at its shut-off closes its check valve and gives nothing at any higher
    /// pressure; one whose curve ends before isn't known beyond.
    pub(in crate::physics) fn last_known(&self) -> f64 {
        let ambient = self.ambient();
        let last = |shut: bool| {
            self.machines
                .iter()
                .filter(move |m| m.curve().reaches_shut_off() == shut)
                .map(move |m| m.last_pressure(ambient))
        };
        let gauge = if last(false).next().is_some() {
            last(false).fold(f64::INFINITY, f64::min)
        } else {
            last(true).fold(0.0, f64::max)
        };
        ambient + gauge
    }

    /// What is left for the runs at the last pressure that is known, kg/s.
    ///
    /// Where every machine is shut there, that is nothing, and isn't read off the curve:
    /// the pressure has been through a sum and may lie a digit before the shut-off.
    pub(in crate::physics) fn left_at_last(&self) -> f64 {
        let left = self.supply(self.last_known());
        if self.machines.iter().all(|m| m.curve().reaches_shut_off()) {
            left.min(0.0)
        } else {
            left
        }
    }

    /// A flow that no outlet exceeds at the duty point, kg/s.
    pub(super) fn cap(&self) -> f64 {
        // Twice what all machines give at most, so that at the cap more is drawn than
        // is there and the sum of the two rises through zero.
        2.0 * self.inlet_flow(self.ambient()) * self.surroundings.inlet_density.value
    }

    /// Air that would leave at the outlets if `manifold` stood at the manifold, whatever
    /// the machines give; not more than twice what they can give for any one outlet.
    ///
    /// It never falls as the pressure rises.
    pub fn drawn_at(&self, manifold: GaugePressure) -> AirAmount {
        let pressure = manifold.above(self.surroundings.ambient).value();
        AirAmount::kilograms_per_second(self.root.draw(pressure, self.cap()).0)
    }

    /// Air the machines leave for the network at a manifold pressure, the bleed taken
    /// off; outside a curve its end values are held.
    ///
    /// It never rises as the pressure rises.
    pub fn supplied_at(&self, manifold: GaugePressure) -> AirAmount {
        let pressure = manifold.above(self.surroundings.ambient).value();
        AirAmount::kilograms_per_second(self.supply(pressure).max(0.0))
    }

    pub(super) fn search(&self) -> Found {
        let last = self.last_known();
        let cap = self.cap();
        let opening = self.root.opening;
        let left = self.left_at_last();
        if opening >= last {
            return if left > 0.0 {
                Found::Beyond {
                    manifold: last,
                    curve: left,
                    drawn: 0.0,
                }
            } else {
                self.stopped(last)
            };
        }
        if self.supply(opening) <= 0.0 {
            return self.stopped(opening);
        }
        if left > 0.0 {
            let (drawn, _) = self.root.draw(last, cap);
            if drawn < left {
                return Found::Beyond {
                    manifold: last,
                    curve: left,
                    drawn,
                };
            }
        }
        if self.root.direct {
            let most = self.inlet_flow(self.ambient()) * self.surroundings.inlet_density.value;
            let short = |amount: f64| amount - self.supply(self.root.direct_head(amount));
            let root = between(
                short,
                (0.0, -self.supply(opening)),
                (most, short(most)),
                FLOW_TOLERANCE * most,
            );
            let end = self.root.direct_end(root.at);
            Found::Flow {
                manifold: self.root.through(root.at, end),
                amount: root.at,
                end,
            }
        } else {
            let short = |end: f64| {
                let drawn = self.root.parted(end, cap);
                drawn - self.supply(self.root.through(drawn, end))
            };
            let root = between(
                short,
                (opening, -self.supply(opening)),
                (last, short(last)),
                PRESSURE_TOLERANCE,
            );
            let amount = self.root.parted(root.at, cap);
            Found::Flow {
                manifold: self.root.through(amount, root.at),
                amount,
                end: root.at,
            }
        }
    }

    /// Where the manifold stands while nothing reaches an outlet: the machines'
    /// shut-off, or where the bleed takes everything.
    fn stopped(&self, high: f64) -> Found {
        let low = self.ambient();
        let at_low = self.supply(low);
        if matches!(self.bleed, LetOff::Nothing) {
            return Found::Stopped {
                manifold: self.last_known(),
                all_bled: false,
            };
        }
        if at_low <= 0.0 {
            return Found::Stopped {
                manifold: low,
                all_bled: true,
            };
        }
        let root = between(
            |p| -self.supply(p),
            (low, -at_low),
            (high, -self.supply(high)),
            PRESSURE_TOLERANCE,
        );
        Found::Stopped {
            manifold: root.at,
            all_bled: true,
        }
    }
}
