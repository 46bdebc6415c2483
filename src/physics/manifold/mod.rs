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
//! [`Laid::network`] is the same as a general network, which answers where this
//! doesn't, and holds it to account in the tests: the same outcomes, and flows and limits
//! within 1e-9.
//!
//! - [`Series`]: elements in series, forwards, backwards and for a length
//! - [`Tolerances`]: how far things as laid are from things as listed
//! - `supply`: the machines' curves, forwards and backwards
//! - `point`: the duty point
//! - [`limit`]: depths and lengths at which something just holds
//! - `evened`: what valves can make of unlike runs

mod evened;
pub mod limit;
mod point;
mod series;
mod supply;
mod tolerances;

use smallvec::SmallVec;

use super::Breach;
use super::check_valve::CheckValve;
use super::curve::Machine;
use super::diffuser::DiffuserLoss;
use super::head::{water_head, weight_over};
use super::network::{
    self, Assembly, Bleed, Duty, End, LEAST_SLOPE, Leaving, LetOff, Network, Outcome, Outlet, Run,
    Surroundings, Way,
};
use super::refusal::{Refusal, bound, bounded};
use super::valve::ControlValve;
use crate::units::quantity::{AirAmount, FreeAir, GaugePressure, Length, Pressure, si};

pub use evened::Shares;
pub use limit::{Limit, Needs, Part, Turn};
pub use point::Point;
use series::Scaled;
pub use series::Series;
use supply::Supply;
use tolerances::Scale;
pub use tolerances::{Bore, Tolerances};

/// What stands at the end of a run.
#[derive(Debug, Clone, PartialEq)]
pub struct Discharge {
    /// Depth of the bottom it stands on.
    pub bottom: Length,
    /// Height above that at which the bubbles leave.
    pub stand: Length,
    /// What the diffuser takes, where it is stated.
    pub loss: Option<DiffuserLoss>,
    /// Factor on what it takes, stated or not: fouling.
    pub loss_times: f64,
    /// Sum of the stated openings of the check valves before it.
    pub opening: Pressure,
    /// How many of these state none.
    pub unstated_openings: f64,
    /// The check valves' flow coefficient, where stated.
    pub check_valve: Option<ControlValve>,
    /// The caller's own number for it, given back in the result.
    pub label: usize,
}

/// Runs of one kind.
#[derive(Debug, Clone)]
struct Branch {
    runs: u32,
    per_run: u32,
    series: Series,
    discharge: Discharge,
}

impl Discharge {
    /// Depth at which the bubbles leave over a bottom at `bottom` m.
    fn depth(&self, bottom: f64) -> Length {
        si::metres((bottom - self.stand.value).max(0.0))
    }
}

/// Machines on a manifold with runs that end in diffusers, everything as listed.
#[derive(Debug, Clone)]
pub struct Manifold {
    surroundings: Surroundings,
    machines: Vec<Machine>,
    bleed: Option<Bleed>,
    trunk: Series,
    branches: Vec<Branch>,
    /// What is out of range before anything flows: depths.
    standing: Vec<Breach>,
}

/// A manifold under the tolerances of one calculation.
#[derive(Debug, Clone)]
pub struct Laid<'a> {
    manifold: &'a Manifold,
    surroundings: Surroundings,
    tolerances: &'a Tolerances,
    scale: Scale,
    supply: Supply<'a>,
    turned: Turned,
}

/// What a question about limits turns on a manifold.
#[derive(Debug, Clone, Default)]
struct Turned {
    /// All diffusers on a bottom at so many m.
    bottom: Option<f64>,
    /// How many times as long the trunk is.
    trunk: Option<f64>,
    /// How many times as long the runs of these kinds are.
    runs: Option<(Kinds, f64)>,
}

/// Some kinds of run, by the caller's numbers for them.
type Kinds = SmallVec<[usize; 4]>;

/// A kind of run under the tolerances of one calculation.
#[derive(Debug, Clone)]
struct LaidRun<'a> {
    branch: &'a Branch,
    series: Scaled,
    /// Diffusers on one run, and on all of them.
    per_run: f64,
    count: f64,
    /// Depth at which the bubbles leave.
    depth: Length,
    /// Weight of the water over the diffuser, Pa.
    head: f64,
    /// Air pressure and water over the diffuser, Pa absolute.
    standing: f64,
    /// Pressure at which the check valves crack, Pa.
    crack: f64,
    loss: &'a DiffuserLoss,
    loss_times: f64,
}

impl Manifold {
    /// Machines behind a trunk, without a run yet.
    ///
    /// Refused as by [`Network::new`].
    pub fn new(
        surroundings: Surroundings,
        machines: Vec<Machine>,
        bleed: Option<Bleed>,
        trunk: Series,
    ) -> Result<Manifold, Refusal> {
        surroundings.check()?;
        if machines.is_empty() {
            return Err(Refusal::Empty { of: "compressor" });
        }
        LetOff::of(bleed, &surroundings)?;
        Ok(Manifold {
            surroundings,
            machines,
            bleed,
            trunk,
            branches: Vec::new(),
            standing: Vec::new(),
        })
    }

    /// Adds `runs` runs alike, each with `per_run` diffusers at its end.
    ///
    /// Refused: no run, no diffuser, a depth or a factor that can't be built.
    pub fn add(
        &mut self,
        runs: u32,
        per_run: u32,
        series: Series,
        discharge: Discharge,
    ) -> Result<(), Refusal> {
        bounded("depth", discharge.bottom.value, 0.0, 12_000.0, "m")?;
        bounded("height of a diffuser", discharge.stand.value, 0.0, 1e4, "m")?;
        bounded("number of branches", f64::from(runs), 1.0, 1e6, "")?;
        bounded("number of branches", f64::from(per_run), 1.0, 1e6, "")?;
        bound::factor("factor on the diffuser loss", discharge.loss_times)?;
        if self.branches.len() == network::MOST_OUTLETS {
            return Err(Refusal::TooLarge {
                of: "outlets",
                most: network::MOST_OUTLETS,
            });
        }
        let depth = discharge.depth(discharge.bottom.value);
        water_head(self.surroundings.water_density, depth).gather(&mut self.standing);
        self.branches.push(Branch {
            runs,
            per_run,
            series,
            discharge,
        });
        Ok(())
    }

    /// It under the tolerances of one calculation.
    ///
    /// Refused: a factor or a pressure that can't be built.
    pub fn under<'a>(&'a self, tolerances: &'a Tolerances) -> Result<Laid<'a>, Refusal> {
        bound::factor("factor on the diffuser loss", tolerances.loss)?;
        let opening = tolerances.unstated_opening.value;
        bound::pressure("opening pressure of the check valve", opening)?;
        let mut surroundings = self.surroundings;
        let density = "factor on the density of the inlet air";
        surroundings.inlet_density *= bound::factor(density, tolerances.inlet_density)?;
        surroundings.check()?;
        let let_off = LetOff::of(self.bleed, &surroundings)?;
        Ok(Laid {
            manifold: self,
            tolerances,
            scale: Scale::of(tolerances)?,
            supply: Supply::new(&surroundings, &self.machines, let_off, tolerances)?,
            surroundings,
            turned: Turned::default(),
        })
    }
}

impl Laid<'_> {
    /// Pressure of the air around it, Pa.
    pub fn ambient(&self) -> f64 {
        self.supply.ambient
    }

    /// Its trunk as it is laid.
    fn trunk(&self) -> Scaled {
        let times = self.turned.trunk.unwrap_or(1.0);
        self.manifold.trunk.under(&self.scale, times)
    }

    /// A kind of run as it is laid.
    fn run<'a>(&'a self, branch: &'a Branch) -> LaidRun<'a> {
        let discharge = &branch.discharge;
        let unstated = discharge.unstated_openings * self.tolerances.unstated_opening.value;
        let (loss, times) = match &discharge.loss {
            Some(stated) => (stated, self.tolerances.loss),
            None => (&self.tolerances.unstated_loss, 1.0),
        };
        let per_run = f64::from(branch.per_run);
        let bottom = self.turned.bottom.unwrap_or(discharge.bottom.value);
        let depth = discharge.depth(bottom);
        let head = weight_over(self.surroundings.water_density, depth);
        let longer = match &self.turned.runs {
            Some((kinds, longer)) if kinds.contains(&discharge.label) => *longer,
            _ => 1.0,
        };
        LaidRun {
            branch,
            series: branch.series.under(&self.scale, longer),
            per_run,
            count: f64::from(branch.runs) * per_run,
            depth,
            head,
            standing: self.supply.ambient + head,
            crack: discharge.opening.value + unstated,
            loss,
            loss_times: discharge.loss_times * times,
        }
    }

    /// Every kind of run as it is laid.
    fn runs(&self) -> impl ExactSizeIterator<Item = LaidRun<'_>> {
        self.manifold.branches.iter().map(|branch| self.run(branch))
    }

    /// The same as a tree for the general search.
    ///
    /// # Errors
    /// There is no run.
    pub fn network(&self) -> Result<Network, Refusal> {
        let mut branches = Vec::with_capacity(self.manifold.branches.len());
        for run in self.runs() {
            let end = End::Outlet(run.outlet()?);
            let elements = run.series.iter().copied().collect();
            let run_of = if run.branch.per_run > 1 {
                let one = network::Branch {
                    count: run.branch.per_run,
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
                count: run.branch.runs,
                run: run_of,
            });
        }
        let root = Run {
            elements: self.trunk().iter().copied().collect(),
            end: End::Split(branches),
        };
        let machines = self.manifold.machines.iter().map(|machine| {
            let machine = machine.clone().with_flow_times(self.tolerances.flow)?;
            Ok(machine.towards_gauge(self.tolerances.keeps_gauge, self.surroundings.ambient))
        });
        Network::new(
            self.surroundings,
            machines.collect::<Result<_, _>>()?,
            self.manifold.bleed,
            root,
        )
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

    /// Gauge pressure at the machines; the curves' last where the duty point is beyond them.
    ///
    /// # Errors
    /// There is no run.
    pub fn gauge(&self) -> Result<GaugePressure, Refusal> {
        match self.point() {
            Some(point) => Ok(point.gauge(self.supply.ambient)),
            None => Ok(self.network()?.solve().manifold),
        }
    }

    /// A duty point with every outlet's budget.
    pub fn duty(&self, point: &Point) -> Duty {
        let manifold = self.manifold;
        let mut assembly = Assembly::new(
            self.surroundings,
            manifold.branches.len(),
            manifold.standing.clone(),
        );
        let gauge = point.manifold - self.supply.ambient;
        for source in &self.supply.sources {
            source.note_breaches(gauge, &mut assembly.breaches);
        }
        if !matches!(point.outcome, Outcome::BeyondCurve { .. }) {
            let (trunk, none) = (self.trunk(), Way::default());
            let trunk = trunk.iter().copied();
            let trunk = assembly.pass(trunk, point.amount, point.parting, none);
            for (run, &each) in self.runs().zip(&point.each) {
                run.take_down(each, point.parting, &trunk, &mut assembly);
            }
        }
        let powers = self.supply.sources.iter();
        let power = powers
            .map(|source| source.power(gauge))
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

impl LaidRun<'_> {
    /// Pressure between check valve and diffuser for `amount` kg/s, Pa, and its slope.
    fn before_diffuser(&self, amount: f64) -> (f64, f64) {
        let (loss, slope) = self.loss.pascals_with_slope(amount);
        let taken = loss * self.loss_times + LEAST_SLOPE * amount;
        (self.standing + taken, slope * self.loss_times + LEAST_SLOPE)
    }

    /// Pressure at the end of the line for `amount` kg/s, Pa, and its slope, Pa s/kg.
    fn before_check_valve(&self, amount: f64) -> (f64, f64) {
        let (behind, slope) = self.before_diffuser(amount);
        match &self.branch.discharge.check_valve {
            None => (behind + self.crack, slope),
            Some(valve) => {
                let (before, by_flow, by_behind) = valve.upstream_with_slopes(amount, behind);
                (before + self.crack, by_flow + by_behind * slope)
            }
        }
    }

    /// What stands over the diffuser where `before` Pa drive `amount` kg/s out, Pa; nothing
    /// where that flow can't pass.
    fn standing_for(&self, amount: f64, before: f64) -> Option<f64> {
        let open = before - self.crack;
        let behind = match &self.branch.discharge.check_valve {
            None => open,
            Some(valve) if open > 0.0 => valve.downstream(amount, open)?,
            Some(_) => return None,
        };
        let taken = self.loss.pascals(amount) * self.loss_times + LEAST_SLOPE * amount;
        Some(behind - taken)
    }

    /// Its budget for `each` kg/s out of every diffuser, with `parting` Pa at its head.
    fn take_down(&self, each: f64, parting: f64, trunk: &Way, assembly: &mut Assembly) {
        let before_check_valve = self.before_check_valve(each).0;
        let end = if each > 0.0 {
            before_check_valve
        } else {
            parting
        };
        let through = self.per_run * each;
        let own = self.series.iter().copied();
        let way = assembly.pass(own, through, end, trunk.clone());
        let leaving = Leaving {
            label: self.branch.discharge.label,
            count: self.count,
            amount: each,
            depth: self.depth.value,
            head: self.head,
            standing: self.standing,
            before_diffuser: self.before_diffuser(each).0,
            before_check_valve,
            crack: self.crack,
            loss: self.loss,
        };
        assembly.leave(&leaving, end, way);
    }

    /// As a general network takes it.
    fn outlet(&self) -> Result<Outlet, Refusal> {
        let discharge = &self.branch.discharge;
        let check_valve = CheckValve::new(si::pascals(self.crack))?;
        Ok(Outlet {
            depth: self.depth,
            loss: self.loss.times(self.loss_times)?,
            check_valve: Some(match discharge.check_valve {
                Some(valve) => check_valve.with_valve(valve),
                None => check_valve,
            }),
            label: discharge.label,
        })
    }
}
