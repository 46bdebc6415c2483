//! Machines, a trunk, a manifold and the runs from it: the shape a package is laid in.
//!
//! ```text
//! compressors ─► trunk ─► manifold ─┬─► valve ─► barb ─► lines ─► barb ─► diffusers
//!                                   ├─► the same, as often as it is there
//!                                   └─► another kind of run
//! ```
//!
//! [`super::network`] searches the duty point of any tree. Here the shape is known, so the
//! question is read backwards wherever it can be: at a known flow every pressure follows,
//! step by step, and every step's slope with it. Runs that are alike are one run; their
//! duty point is one unknown, found by Newton's method in a handful of steps from any
//! start. Unlike runs hang on the manifold's pressure alone, so one step finds all their
//! flows together. A limit needs no search at all: at a pressure the curve gives the
//! flow, at a flow the pressure, and depth or length follow.
//!
//! [`Manifold::network`] is the same as a general network, which answers where this
//! doesn't, and holds it to account in the tests: the same outcomes, and flows and limits
//! within 1e-9.
//!
//! - [`Series`]: elements in series, forwards, backwards and for a length
//! - `supply`: the machines' curves, forwards and backwards
//! - `point`: the duty point
//! - [`limit`]: depths and lengths at which something just holds

pub mod limit;
mod point;
mod series;
mod supply;

use smallvec::SmallVec;

use super::Breach;
use super::check_valve::CheckValve;
use super::curve::Machine;
use super::head::water_head;
use super::network::{
    self, Assembly, Bleed, Duty, Element, End, LEAST_SLOPE, LetOff, Mouth, Network, Outcome,
    Outlet, Run, Surroundings, Way,
};
use super::refusal::{Refusal, bounded};
use crate::units::quantity::{AirAmount, FreeAir, GaugePressure, si};

pub use limit::Limit;
pub use point::Point;
pub use series::Series;
use supply::Supply;

/// Runs of one kind.
#[derive(Debug, Clone)]
pub struct Branch {
    runs: f64,
    per_run: f64,
    series: Series,
    mouth: Mouth,
}

/// Machines on a manifold with runs that end in diffusers.
#[derive(Debug, Clone)]
pub struct Manifold {
    surroundings: Surroundings,
    supply: Supply,
    bleed: Option<Bleed>,
    trunk: Series,
    branches: SmallVec<[Branch; 1]>,
    /// What is out of range before anything flows: depths.
    standing: Vec<Breach>,
}

impl Manifold {
    /// Machines behind a trunk, without a run yet.
    ///
    /// Refused as by [`Network::new`].
    pub fn new(
        surroundings: Surroundings,
        machines: impl IntoIterator<Item = Machine>,
        bleed: Option<Bleed>,
        trunk: Series,
    ) -> Result<Manifold, Refusal> {
        surroundings.check()?;
        let machines: SmallVec<[Machine; 1]> = machines.into_iter().collect();
        if machines.is_empty() {
            return Err(Refusal::Empty { of: "compressor" });
        }
        let let_off = LetOff::of(bleed, &surroundings)?;
        Ok(Manifold {
            supply: Supply::new(&surroundings, machines, let_off),
            surroundings,
            bleed,
            trunk,
            branches: SmallVec::new(),
            standing: Vec::new(),
        })
    }

    /// Adds `runs` runs alike, each with `per_run` diffusers at its end.
    ///
    /// Refused: no run, no diffuser, a depth that can't be built.
    pub fn add(
        &mut self,
        runs: u32,
        per_run: u32,
        series: Series,
        outlet: Outlet,
    ) -> Result<(), Refusal> {
        let depth = bounded("depth", outlet.depth.value, 0.0, 12_000.0, "m")?;
        let head =
            water_head(self.surroundings.water_density, outlet.depth).gather(&mut self.standing);
        if self.branches.len() == network::MOST_OUTLETS {
            return Err(Refusal::TooLarge {
                of: "outlets",
                most: network::MOST_OUTLETS,
            });
        }
        let ambient = self.surroundings.ambient.value();
        self.branches.push(Branch {
            runs: bounded("number of branches", f64::from(runs), 1.0, 1e6, "")?,
            per_run: bounded("number of branches", f64::from(per_run), 1.0, 1e6, "")?,
            series,
            mouth: Mouth::new(outlet, ambient, head.value, depth),
        });
        Ok(())
    }

    /// The same as a tree for the general search.
    ///
    /// # Errors
    /// There is no run.
    pub fn network(&self) -> Result<Network, Refusal> {
        let mut branches = Vec::with_capacity(self.branches.len());
        for branch in &self.branches {
            let end = End::Outlet(branch.mouth.outlet()?);
            let elements = branch.series.elements().to_vec();
            let run = if branch.per_run > 1.0 {
                let one = network::Branch {
                    count: branch.per_run as u32,
                    run: Run {
                        elements: Vec::new(),
                        end,
                    },
                };
                Run {
                    elements,
                    end: End::Split(vec![one]),
                }
            } else {
                Run { elements, end }
            };
            branches.push(network::Branch {
                count: branch.runs as u32,
                run,
            });
        }
        let root = Run {
            elements: self.trunk.elements().to_vec(),
            end: End::Split(branches),
        };
        let machines = self.supply.machines.to_vec();
        Network::new(self.surroundings, machines, self.bleed, root)
    }

    /// The duty point with every outlet's budget; by the general search where this one
    /// doesn't answer.
    ///
    /// # Errors
    /// There is no run.
    pub fn solve(&self) -> Result<Duty, Refusal> {
        match self.point() {
            Some(point) => Ok(self.duty(&point)),
            None => Ok(self.network()?.solve()),
        }
    }

    /// A duty point with every outlet's budget.
    pub fn duty(&self, point: &Point) -> Duty {
        let ambient = self.supply.ambient;
        let mut assembly = Assembly::new(
            self.surroundings,
            self.branches.len(),
            self.standing.clone(),
        );
        let gauge = point.manifold - ambient;
        for machine in &self.supply.machines {
            machine.note_breaches(gauge, ambient, &mut assembly.breaches);
        }
        if !matches!(point.outcome, Outcome::BeyondCurve { .. }) {
            let trunk = assembly.pass(
                self.trunk.elements(),
                point.amount,
                point.parting,
                Way::default(),
            );
            for (branch, &each) in self.branches.iter().zip(&point.each) {
                branch.take_down(each, point.parting, &trunk, &mut assembly);
            }
        }
        let powers = self.supply.machines.iter();
        let power = powers
            .map(|machine| machine.power(gauge, ambient))
            .sum::<Option<f64>>();
        let inlet_flow = self.supply.inlet_flow(gauge);
        let given = inlet_flow * self.supply.density;
        Duty {
            outcome: point.outcome,
            manifold: GaugePressure::pascals(gauge),
            free_air: FreeAir::cubic_metres_per_second(inlet_flow),
            amount: AirAmount::kilograms_per_second(point.amount),
            bled: AirAmount::kilograms_per_second(self.supply.let_off(gauge).min(given)),
            power: power.map(si::watts),
            outlets: assembly.outlets,
            breaches: assembly.breaches,
        }
    }
}

impl Branch {
    /// All its diffusers.
    fn count(&self) -> f64 {
        self.runs * self.per_run
    }

    /// Its budget for `each` kg/s out of every diffuser, with `parting` Pa at its head.
    fn take_down(&self, each: f64, parting: f64, trunk: &Way, assembly: &mut Assembly) {
        let end = if each > 0.0 {
            self.mouth.before_check_valve(each)
        } else {
            parting
        };
        let through = self.per_run * each;
        let way = assembly.pass(self.series.elements(), through, end, trunk.clone());
        assembly.leave(&self.mouth, each, end, self.count(), way);
    }
}

impl Mouth {
    /// Pressure at the end of the line for `amount` kg/s, Pa, and its slope, Pa s/kg.
    fn upstream(&self, amount: f64) -> (f64, f64) {
        let (loss, slope) = self.loss.pascals_with_slope(amount);
        let behind = self.standing + loss + LEAST_SLOPE * amount;
        let slope = slope + LEAST_SLOPE;
        match &self.check_valve {
            None => (behind + self.crack, slope),
            Some(valve) => {
                let (before, by_flow, by_behind) = valve.upstream_with_slopes(amount, behind);
                (before + self.crack, by_flow + by_behind * slope)
            }
        }
    }

    /// What stands over it where `before` Pa drive `amount` kg/s out, Pa; nothing where
    /// that flow can't pass.
    fn standing_for(&self, amount: f64, before: f64) -> Option<f64> {
        let open = before - self.crack;
        let behind = match &self.check_valve {
            None => open,
            Some(valve) if open > 0.0 => valve.downstream(amount, open)?,
            Some(_) => return None,
        };
        Some(behind - self.loss.pascals(amount) - LEAST_SLOPE * amount)
    }

    /// As it was given.
    fn outlet(&self) -> Result<Outlet, Refusal> {
        let check_valve = CheckValve::new(si::pascals(self.crack))?;
        Ok(Outlet {
            depth: si::metres(self.depth),
            loss: self.loss.clone(),
            check_valve: Some(match self.check_valve {
                Some(valve) => check_valve.with_valve(valve),
                None => check_valve,
            }),
            label: self.label,
        })
    }
}

impl Element {
    /// The same in tube of `bore` times the bore, its friction `friction` times and
    /// `barbs` of each fitting: what a range of an assumption makes of a plan.
    ///
    /// Refused: a bore, a factor or a number that can't be built.
    pub fn scaled(self, bore: f64, friction: f64, barbs: f64) -> Result<Element, Refusal> {
        Ok(match self {
            Element::Line(line) => {
                Element::Line(line.with_bore_times(bore)?.with_friction_times(friction)?)
            }
            Element::Fitting(loss) => Element::Fitting(loss.times(barbs, bore)?),
            Element::Valve(valve) => Element::Valve(valve),
        })
    }
}
