//! From the compressor to the bubbles: where pressure and flow settle.
//!
//! ```text
//! compressors ─► manifold ─┬─► valve ─► barbs ─► line ─► check valve ─► diffuser ─► water
//!      bleed ◄─┘           ├─► trunk ─┬─► …
//!                          │          └─► …
//!                          └─► …
//! ```
//!
//! A network is a tree of [`Run`]s. Each has elements in series, from the compressor
//! outwards, and ends in an [`Outlet`] or in a split into further runs.
//!
//! **Why there is exactly one duty point.** The pressure in front of an outlet rises
//! strictly with the air through it: water and check valve are constant, every other
//! part loses more with more air. So the air a run draws is a continuous function of the
//! pressure at its head: 0 up to its opening pressure, strictly rising above. Sums and
//! series of such runs are such runs again. The compressors' flow doesn't rise with
//! pressure. A rising and a falling function meet once, and a bracket around that place
//! is known from the start, so the search can't fail.
//!
//! - [`mod@self`]: what a network is made of
//! - `solve`: the search
//! - [`duty`]: what it found, with the pressure budget of each outlet

pub mod duty;
mod solve;

use super::check_valve::CheckValve;
use super::curve::Machine;
use super::diffuser::DiffuserLoss;
use super::fittings::MinorLoss;
use super::friction::Line;
use super::head::water_head;
use super::refusal::{Refusal, bound, bounded};
use super::valve::ControlValve;
use super::{Breach, Equation};
use crate::units::Mark;
use crate::units::quantity::{AbsolutePressure, FreeAir, GaugePressure, Length, MassDensity};

pub(super) use duty::{Assembly, Leaving, Way};
pub use duty::{Duty, Outcome, OutletDuty};
pub(super) use solve::{Node, NodeEnd};

/// Where pressure and flow settle.
///
/// `sum of m_i(P) + bleed(P) = rho_in sum of q_j(P − p_a)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | P | absolute pressure at the manifold | Pa |
/// | m_i(P) | air drawn by run i: the m at which `P = p_a + rho g h + opening + diffuser(m) + line, fittings, valves (m)`, 0 where P is less than that at m = 0 | kg/s |
/// | rho_in | dry air in a cubic metre at the inlet | kg/m3 |
/// | q_j | curve of compressor j | m3/s |
///
/// Check (two lines of 3/8 in, 100 ft, 6 ft deep; see the published tests): 3.632 psi
/// and 2.502 scfm.
pub static DUTY_POINT: Equation = Equation {
    name: "duty point",
    formula: "sum m_i(P) + bleed(P) = rho_in sum q_j(P - p_a)",
    source: "conservation of mass and one pressure at each junction; held against an independent solution with scipy, fluids and CoolProp",
    mark: Mark::Exact,
    ranges: &[],
};

/// Pressure that every diffuser takes for each kg/s beyond its stated loss, Pa s/kg.
///
/// It is 0.6 Pa for a scfm, a hundredth of what a gauge shows. It is there so that a
/// diffuser of constant loss on no line at all still has one flow at each pressure, and
/// one that double precision can find to nine digits.
pub const LEAST_SLOPE: f64 = 1_000.0;

/// The most outlets of a network, each branch counted once however often it is there.
pub const MOST_OUTLETS: usize = 1_000;

/// The most splits into unlike branches, one behind the other. Each nests a search in
/// a search; a trunk, a manifold and two unlike diffusers on a run are two.
pub const MOST_NESTED: usize = 3;

/// The most runs one behind the other, whether or not they split.
pub const MOST_DEEP: usize = 32;

/// Air and water around the network.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Surroundings {
    /// Pressure of the air, over the water and at the inlet.
    pub ambient: AbsolutePressure,
    /// Dry air in a cubic metre at the compressor's inlet.
    pub inlet_density: MassDensity,
    /// Density of the water.
    pub water_density: MassDensity,
}

/// Where the air leaves.
#[derive(Debug, Clone, PartialEq)]
pub struct Outlet {
    /// Depth at which the bubbles leave.
    pub depth: Length,
    /// What the diffuser takes.
    pub loss: DiffuserLoss,
    /// The check valve in front of it.
    pub check_valve: Option<CheckValve>,
    /// The caller's own number for it, given back in the result.
    pub label: usize,
}

/// One thing in series.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Element {
    /// A length of line.
    Line(Line),
    /// Barbs, elbows, tees.
    Fitting(MinorLoss),
    /// A valve with a flow coefficient.
    Valve(ControlValve),
}

/// Elements in series, and what they end in.
#[derive(Debug, Clone, PartialEq)]
pub struct Run {
    /// From the compressor outwards.
    pub elements: Vec<Element>,
    /// What stands at the far end.
    pub end: End,
}

/// What a run ends in.
#[derive(Debug, Clone, PartialEq)]
pub enum End {
    /// A diffuser.
    Outlet(Outlet),
    /// A manifold or a tee.
    Split(Vec<Branch>),
}

/// A run, as often as it is there.
#[derive(Debug, Clone, PartialEq)]
pub struct Branch {
    /// How many of it: alike branches draw alike and are solved once.
    pub count: u32,
    /// One of them.
    pub run: Run,
}

/// Air let off before the manifold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Bleed {
    /// A hole to the air that passes `flow` at the pressure `at`.
    ///
    /// `m = C sqrt(P² − p_a²)`, the isothermal form of a loss coefficient.
    Orifice {
        /// The gauge pressure at which the flow is known.
        at: GaugePressure,
        /// The flow there.
        flow: FreeAir,
    },
    /// The same flow at any pressure.
    Constant {
        /// That flow.
        flow: FreeAir,
    },
}

/// A network that can be solved.
#[derive(Debug, Clone)]
pub struct Network {
    surroundings: Surroundings,
    machines: Vec<Machine>,
    bleed: LetOff,
    root: Node,
    outlets: usize,
    /// What is out of range before anything flows: depths.
    standing: Vec<Breach>,
}

/// A bleed, ready to be calculated with.
#[derive(Debug, Clone, Copy)]
pub(super) enum LetOff {
    Nothing,
    /// kg/s for each Pa.
    Orifice(f64),
    /// kg/s.
    Constant(f64),
}

impl LetOff {
    pub(super) fn of(bleed: Option<Bleed>, surroundings: &Surroundings) -> Result<LetOff, Refusal> {
        let inlet = surroundings.inlet_density.value;
        Ok(match bleed {
            None => LetOff::Nothing,
            Some(Bleed::Constant { flow }) => {
                LetOff::Constant(bound::free_air("bleed", flow.value())? * inlet)
            }
            Some(Bleed::Orifice { at, flow }) => {
                let at = bounded("pressure of the bleed", at.value(), 1.0, 1e9, "Pa")?;
                let amount = bound::free_air("bleed", flow.value())? * inlet;
                let ambient = surroundings.ambient.value();
                LetOff::Orifice(amount / (at * (at + 2.0 * ambient)).sqrt())
            }
        })
    }

    /// Air let off where `manifold` Pa stand at the manifold and `ambient` around it, kg/s.
    pub(super) fn at(self, manifold: f64, ambient: f64) -> f64 {
        match self {
            LetOff::Nothing => 0.0,
            LetOff::Orifice(coefficient) => {
                let square = manifold * manifold - ambient * ambient;
                coefficient * square.max(0.0).sqrt()
            }
            LetOff::Constant(amount) => amount,
        }
    }
}

impl Surroundings {
    pub(super) fn check(&self) -> Result<(), Refusal> {
        bounded("air pressure", self.ambient.value(), 1_000.0, 1e7, "Pa")?;
        let inlet = self.inlet_density.value;
        bounded("density of the inlet air", inlet, 0.01, 100.0, "kg/m3")?;
        let water = self.water_density.value;
        bounded("density of the water", water, 100.0, 5_000.0, "kg/m3")?;
        Ok(())
    }
}

impl Network {
    /// A network of machines and runs.
    ///
    /// Refused: no machine, a split into nothing, more outlets or deeper nesting than
    /// [`MOST_OUTLETS`], [`MOST_NESTED`] and [`MOST_DEEP`], and any value that is no
    /// number or outside what could be built.
    pub fn new(
        surroundings: Surroundings,
        machines: Vec<Machine>,
        bleed: Option<Bleed>,
        root: Run,
    ) -> Result<Self, Refusal> {
        surroundings.check()?;
        if machines.is_empty() {
            return Err(Refusal::Empty { of: "compressor" });
        }
        let mut build = Build {
            surroundings,
            outlets: 0,
            standing: Vec::new(),
        };
        let root = build.run(root, 0, 0)?;
        let bleed = LetOff::of(bleed, &surroundings)?;
        Ok(Network {
            surroundings,
            machines,
            bleed,
            root,
            outlets: build.outlets,
            standing: build.standing,
        })
    }

    /// How many outlets it has, alike ones counted once.
    pub fn distinct_outlets(&self) -> usize {
        self.outlets
    }

    pub(super) fn root(&self) -> &Node {
        &self.root
    }

    /// Air and water around it.
    pub fn surroundings(&self) -> &Surroundings {
        &self.surroundings
    }
}

/// Turns what the caller gave into what the solver walks.
struct Build {
    surroundings: Surroundings,
    outlets: usize,
    standing: Vec<Breach>,
}

impl Build {
    fn run(&mut self, run: Run, deep: usize, nested: usize) -> Result<Node, Refusal> {
        if deep > MOST_DEEP {
            return Err(Refusal::TooLarge {
                of: "runs one behind the other",
                most: MOST_DEEP,
            });
        }
        match run.end {
            End::Outlet(outlet) => {
                let depth = bounded("depth", outlet.depth.value, 0.0, 12_000.0, "m")?;
                let head = water_head(self.surroundings.water_density, outlet.depth)
                    .gather(&mut self.standing);
                if self.outlets == MOST_OUTLETS {
                    return Err(Refusal::TooLarge {
                        of: "outlets",
                        most: MOST_OUTLETS,
                    });
                }
                self.outlets += 1;
                Ok(Node::outlet(
                    run.elements,
                    outlet,
                    self.surroundings.ambient.value(),
                    head.value,
                    depth,
                ))
            }
            End::Split(branches) => {
                if branches.is_empty() {
                    return Err(Refusal::Empty {
                        of: "branch of a split",
                    });
                }
                let unlike = branches.len() > 1;
                let nested = nested + usize::from(unlike);
                if nested > MOST_NESTED {
                    return Err(Refusal::TooLarge {
                        of: "splits one behind the other",
                        most: MOST_NESTED,
                    });
                }
                let mut nodes = Vec::with_capacity(branches.len());
                for branch in branches {
                    let count =
                        bounded("number of branches", f64::from(branch.count), 1.0, 1e6, "")?;
                    nodes.push((count, self.run(branch.run, deep + 1, nested)?));
                }
                Ok(Node::split(run.elements, nodes))
            }
        }
    }
}
