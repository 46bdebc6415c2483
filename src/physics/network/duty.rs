//! What the search found: flows, and each outlet's pressure budget.
//!
//! The budget is the manifold's gauge pressure taken apart: water over the diffuser,
//! diffuser, check valve, friction in every line on the way, fittings, valves. It sums
//! to the manifold's pressure; where an outlet is dry, the sum is greater by what it is
//! short of.

use super::solve::{Found, Mouth, Node, NodeEnd};
use super::{Element, Network, Surroundings};
use crate::physics::Breach;
use crate::physics::check_valve::CHECK_VALVE_LOSS;
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::friction::LineState;
use crate::physics::valve::VALVE_FLOW;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, FreeAir, GaugePressure, Length, Power, Pressure, si,
};

/// How it ended.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Outcome {
    /// Air leaves at one outlet at least.
    Running,
    /// The curve reaches zero flow below the pressure that opens any outlet. Nothing
    /// flows; the manifold stands at the curve's last pressure.
    DeadHeaded,
    /// The bleed takes all the air below the pressure that opens any outlet.
    AllBled,
    /// At the curve's last point the machine still gives more than the network takes,
    /// so the duty point lies beyond what is known of the machine.
    BeyondCurve {
        /// The curve's last pressure.
        last: GaugePressure,
        /// What the machines give the network there.
        curve: FreeAir,
        /// What the network takes there.
        network: FreeAir,
    },
}

/// The duty point of a network.
#[derive(Debug, Clone, PartialEq)]
pub struct Duty {
    /// How it ended.
    pub outcome: Outcome,
    /// Pressure at the manifold; the curve's last where the duty point is beyond it.
    pub manifold: GaugePressure,
    /// Free air all compressors draw in, what is bled included.
    pub free_air: FreeAir,
    /// Air that leaves at the outlets.
    pub amount: AirAmount,
    /// Air let off by the bleed.
    pub bled: AirAmount,
    /// Power from the supply, where every curve states it at this pressure.
    pub power: Option<Power>,
    /// Each outlet in the order of the tree, alike ones once; empty beyond the curve.
    pub outlets: Vec<OutletDuty>,
    /// Every range that was left.
    pub breaches: Vec<Breach>,
}

/// What happens at one outlet.
#[derive(Debug, Clone, PartialEq)]
pub struct OutletDuty {
    /// The caller's number for it.
    pub label: usize,
    /// How many alike outlets this stands for.
    pub count: f64,
    /// Air through one of them; exactly 0 where it is dry.
    pub amount: AirAmount,
    /// The same as free air at the inlet.
    pub free_air: FreeAir,
    /// Depth at which the bubbles leave.
    pub depth: Length,
    /// Weight of the water over it.
    pub water_head: Pressure,
    /// Loss across the diffuser.
    pub diffuser_loss: Pressure,
    /// Loss across the check valve.
    pub check_valve_loss: Pressure,
    /// Friction in every line from the manifold to it.
    pub line_loss: Pressure,
    /// Loss in every barb, elbow and tee.
    pub fitting_loss: Pressure,
    /// Loss in every valve.
    pub valve_loss: Pressure,
    /// What a dry outlet is short of to open; 0 where air flows.
    pub short_by: Pressure,
    /// Absolute pressure at which the bubbles leave.
    pub bubble_pressure: AbsolutePressure,
    /// Each line on the way, from the manifold outwards.
    pub lines: Vec<LineState>,
}

impl OutletDuty {
    /// Sum of the budget: the manifold's gauge pressure.
    pub fn budget(&self) -> Pressure {
        self.water_head
            + self.diffuser_loss
            + self.check_valve_loss
            + self.line_loss
            + self.fitting_loss
            + self.valve_loss
            - self.short_by
    }

    /// Reynolds number in the last line before it, if there is a line.
    pub fn reynolds(&self) -> Option<f64> {
        self.lines.last().map(|line| line.reynolds)
    }

    /// Greatest Mach number in any line on the way; 0 without a line.
    pub fn greatest_mach(&self) -> f64 {
        self.lines
            .iter()
            .fold(0.0, |most, line| most.max(line.mach))
    }
}

/// Losses on the way from the manifold to some place.
#[derive(Debug, Clone, Default)]
pub(in crate::physics) struct Way {
    line: f64,
    fitting: f64,
    valve: f64,
    lines: Vec<LineState>,
}

/// A duty point in the making: outlets with their budgets, and the ranges that were left.
#[derive(Debug)]
pub(in crate::physics) struct Assembly {
    surroundings: Surroundings,
    pub(in crate::physics) outlets: Vec<OutletDuty>,
    pub(in crate::physics) breaches: Vec<Breach>,
}

/// The way through a network's tree.
struct Walk {
    cap: f64,
    assembly: Assembly,
}

impl Network {
    /// The duty point.
    ///
    /// It never fails: what can't be solved was refused by [`Network::new`]. Each outlet
    /// costs some hundred calls of its elements, ten times that for each nested split.
    pub fn solve(&self) -> Duty {
        let ambient = self.surroundings.ambient.value();
        let found = self.search();
        let (manifold, outcome) = match found {
            Found::Flow { manifold, .. } => (manifold, Outcome::Running),
            Found::Stopped { manifold, all_bled } => {
                let outcome = if all_bled {
                    Outcome::AllBled
                } else {
                    Outcome::DeadHeaded
                };
                (manifold, outcome)
            }
            Found::Beyond {
                manifold,
                curve,
                drawn,
            } => {
                let density = self.surroundings.inlet_density;
                let outcome = Outcome::BeyondCurve {
                    last: GaugePressure::pascals(manifold - ambient),
                    curve: AirAmount::kilograms_per_second(curve).free_air(density),
                    network: AirAmount::kilograms_per_second(drawn).free_air(density),
                };
                (manifold, outcome)
            }
        };
        let mut walk = Walk {
            cap: self.cap(),
            assembly: Assembly::new(self.surroundings, self.outlets, self.standing.clone()),
        };
        let gauge = manifold - ambient;
        for machine in &self.machines {
            let source = machine.source(ambient);
            source.note_breaches(gauge, &mut walk.assembly.breaches);
        }
        let amount = match found {
            Found::Flow { amount, end, .. } => {
                if self.root.direct {
                    walk.walk_direct(&self.root, amount, 1.0, Way::default());
                } else {
                    walk.walk_parted(&self.root, amount, end, 1.0, Way::default());
                }
                amount
            }
            Found::Stopped { .. } => {
                walk.walk(&self.root, manifold, 1.0, Way::default());
                0.0
            }
            Found::Beyond { .. } => 0.0,
        };
        let power = self
            .machines
            .iter()
            .map(|m| m.source(ambient).power(gauge))
            .sum::<Option<f64>>();
        Duty {
            outcome,
            manifold: GaugePressure::pascals(gauge),
            free_air: FreeAir::cubic_metres_per_second(self.inlet_flow(manifold)),
            amount: AirAmount::kilograms_per_second(amount),
            bled: AirAmount::kilograms_per_second(
                self.let_off(manifold)
                    .min(self.inlet_flow(manifold) * self.surroundings.inlet_density.value),
            ),
            power: power.map(si::watts),
            outlets: walk.assembly.outlets,
            breaches: walk.assembly.breaches,
        }
    }
}

impl Walk {
    /// Settles a run whose head stands at `pressure` Pa.
    fn walk(&mut self, node: &Node, pressure: f64, count: f64, way: Way) {
        let (amount, end) = node.draw(pressure, self.cap);
        if node.direct && amount > 0.0 {
            self.walk_direct(node, amount, count, way);
        } else {
            self.walk_parted(node, amount, end, count, way);
        }
    }

    /// Settles a direct run through which `amount` kg/s flow.
    fn walk_direct(&mut self, node: &Node, amount: f64, count: f64, way: Way) {
        let end = node.direct_end(amount);
        let way = self
            .assembly
            .pass(node.elements.iter().copied(), amount, end, way);
        match &node.end {
            NodeEnd::Outlet(mouth) => {
                self.assembly.leave(&mouth.leaving(amount, count), end, way);
            }
            NodeEnd::Split(branches) => {
                for (times, branch) in branches {
                    self.walk_direct(branch, amount / times, count * times, way.clone());
                }
            }
        }
    }

    /// Settles a run through which `amount` kg/s flow to `end` Pa behind its elements.
    fn walk_parted(&mut self, node: &Node, amount: f64, end: f64, count: f64, way: Way) {
        let way = self
            .assembly
            .pass(node.elements.iter().copied(), amount, end, way);
        match &node.end {
            NodeEnd::Outlet(mouth) => {
                self.assembly.leave(&mouth.leaving(amount, count), end, way);
            }
            NodeEnd::Split(branches) => {
                for (times, branch) in branches {
                    self.walk(branch, end, count * times, way.clone());
                }
            }
        }
    }
}

impl Assembly {
    pub(in crate::physics) fn new(
        surroundings: Surroundings,
        outlets: usize,
        breaches: Vec<Breach>,
    ) -> Assembly {
        Assembly {
            surroundings,
            outlets: Vec::with_capacity(outlets),
            breaches,
        }
    }

    /// Adds the losses of a run's elements to the way, for `amount` kg/s and `end` Pa
    /// behind them.
    pub(in crate::physics) fn pass(
        &mut self,
        elements: impl DoubleEndedIterator<Item = Element>,
        amount: f64,
        end: f64,
        mut way: Way,
    ) -> Way {
        let mut behind = end;
        let known = way.lines.len();
        for element in elements.rev() {
            let before = match element {
                Element::Line(line) => {
                    let state = line.state(amount, behind);
                    if amount > 0.0 {
                        line.note_breaches_of(&state, &mut self.breaches);
                    }
                    way.line += state.loss;
                    way.lines.push(state);
                    behind + state.loss
                }
                Element::Fitting(loss) => {
                    let before = loss.upstream(amount, behind);
                    if self.matters(before, behind) {
                        loss.note_breaches(amount, behind, &mut self.breaches);
                    }
                    way.fitting += before - behind;
                    before
                }
                Element::Valve(valve) => {
                    let before = valve.upstream(amount, behind);
                    if amount > 0.0 && self.matters(before, behind) {
                        let reynolds = valve.reynolds(amount, before);
                        VALVE_FLOW.note_breaches(&[reynolds], &mut self.breaches);
                    }
                    way.valve += before - behind;
                    before
                }
            };
            behind = before;
        }
        // The lines of this run were met from its end; they are told from its head.
        if let Some(own) = way.lines.get_mut(known..) {
            own.reverse();
        }
        way
    }

    /// Whether what is lost at a fitting or valve is more than a hundredth of the gauge pressure there:
    /// below that, an equation outside its range can't move the duty point by more than a gauge shows.
    fn matters(&self, before: f64, behind: f64) -> bool {
        before - behind > 0.01 * (before - self.surroundings.ambient.value())
    }

    /// Takes down an outlet with `end` Pa before it.
    pub(in crate::physics) fn leave(&mut self, leaving: &Leaving, end: f64, way: Way) {
        let amount = leaving.amount;
        if amount > 0.0 {
            leaving.loss.note_breaches(amount, &mut self.breaches);
            CHECK_VALVE_LOSS.note_breaches(&[leaving.crack], &mut self.breaches);
        }
        let through = AirAmount::kilograms_per_second(amount);
        let open = leaving.before_check_valve - leaving.before_diffuser;
        self.outlets.push(OutletDuty {
            label: leaving.label,
            count: leaving.count,
            amount: through,
            free_air: through.free_air(self.surroundings.inlet_density),
            depth: si::metres(leaving.depth),
            water_head: si::pascals(leaving.head),
            diffuser_loss: si::pascals(leaving.before_diffuser - leaving.standing),
            check_valve_loss: si::pascals(open),
            line_loss: si::pascals(way.line),
            fitting_loss: si::pascals(way.fitting),
            valve_loss: si::pascals(way.valve),
            short_by: si::pascals(if amount > 0.0 {
                0.0
            } else {
                (leaving.before_check_valve - end).max(0.0)
            }),
            bubble_pressure: AbsolutePressure::pascals(leaving.standing),
            lines: way.lines,
        });
    }
}

/// Alike outlets as the air leaves them: pressures in Pa, amounts in kg/s, m of depth.
pub(in crate::physics) struct Leaving<'a> {
    pub(in crate::physics) label: usize,
    pub(in crate::physics) count: f64,
    pub(in crate::physics) amount: f64,
    pub(in crate::physics) depth: f64,
    pub(in crate::physics) head: f64,
    pub(in crate::physics) standing: f64,
    pub(in crate::physics) before_diffuser: f64,
    pub(in crate::physics) before_check_valve: f64,
    pub(in crate::physics) crack: f64,
    pub(in crate::physics) loss: &'a DiffuserLoss,
}

impl Mouth {
    /// `count` of it with `amount` kg/s out of each.
    fn leaving(&self, amount: f64, count: f64) -> Leaving<'_> {
        Leaving {
            label: self.label,
            count,
            amount,
            depth: self.depth,
            head: self.head,
            standing: self.standing,
            before_diffuser: self.before_diffuser(amount),
            before_check_valve: self.before_check_valve(amount),
            crack: self.crack,
            loss: &self.loss,
        }
    }
}
