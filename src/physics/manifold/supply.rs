//! What the machines leave for the runs: at a pressure, and at which pressure so much.

use smallvec::SmallVec;

use super::tolerances::Tolerances;
use crate::physics::curve::{Backwards, Machine, Source};
use crate::physics::network::{LetOff, Surroundings};
use crate::physics::refusal::Refusal;

/// Machines on a manifold, with what is let off before it.
#[derive(Debug, Clone)]
pub(super) struct Supply<'a> {
    pub(super) sources: SmallVec<[Source<'a>; 2]>,
    let_off: LetOff,
    /// Pressure of the air, Pa.
    pub(super) ambient: f64,
    /// Dry air in a cubic metre at the inlet, kg/m3.
    pub(super) density: f64,
    pub(super) end: CurveEnd,
}

/// Where the machines' curves end, all told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CurveEnd {
    /// The gauge pressure to which every machine's flow is known, Pa.
    pub(super) gauge: f64,
    /// What is left for the runs there, kg/s; nothing where every machine is shut.
    pub(super) left: f64,
}

impl<'a> Supply<'a> {
    pub(super) fn new(
        surroundings: &Surroundings,
        machines: &'a [Machine],
        let_off: LetOff,
        tolerances: &Tolerances,
    ) -> Result<Supply<'a>, Refusal> {
        let ambient = surroundings.ambient.value();
        let mut sources = SmallVec::with_capacity(machines.len());
        for machine in machines {
            let source = machine.source(ambient).with_flow_times(tolerances.flow)?;
            sources.push(source.towards_gauge(tolerances.keeps_gauge));
        }
        let mut supply = Supply {
            sources,
            let_off,
            ambient,
            density: surroundings.inlet_density.value,
            end: CurveEnd {
                gauge: 0.0,
                left: 0.0,
            },
        };
        supply.end = supply.find_end();
        Ok(supply)
    }

    /// Whether all that the machines give goes into the runs.
    pub(super) fn is_whole(&self) -> bool {
        matches!(self.let_off, LetOff::Nothing)
    }

    /// Free air that all machines draw in at a gauge pressure, m3/s.
    pub(super) fn inlet_flow(&self, gauge: f64) -> f64 {
        self.sources.iter().map(|source| source.held(gauge)).sum()
    }

    /// Air let off at a gauge pressure, kg/s.
    pub(super) fn let_off(&self, gauge: f64) -> f64 {
        self.let_off.at(gauge + self.ambient, self.ambient)
    }

    /// What is left for the runs at a gauge pressure, kg/s, and how it changes with it.
    /// Past an open end of a curve it is carried on.
    pub(super) fn at(&self, gauge: f64) -> (f64, f64) {
        self.left(gauge, |source| source.carried_on(gauge))
    }

    /// The same, where past an open end a curve is held at its last flow.
    pub(super) fn held(&self, gauge: f64) -> (f64, f64) {
        self.left(gauge, |source| {
            if gauge > source.last_pressure() {
                (source.held(gauge), 0.0)
            } else {
                source.carried_on(gauge)
            }
        })
    }

    fn left(&self, gauge: f64, flow_of: impl Fn(&Source) -> (f64, f64)) -> (f64, f64) {
        let (mut amount, mut slope) = (0.0, 0.0);
        for source in &self.sources {
            let (flow, by_pressure) = flow_of(source);
            amount += flow;
            slope += by_pressure;
        }
        amount *= self.density;
        slope *= self.density;
        match self.let_off {
            LetOff::Nothing => {}
            LetOff::Constant(off) => amount -= off,
            LetOff::Orifice(coefficient) => {
                let off = self.let_off(gauge);
                amount -= off;
                if off > 0.0 {
                    // m = C sqrt(P² − p_a²)
                    slope -= coefficient * coefficient * (gauge + self.ambient) / off;
                }
            }
        }
        (amount, slope)
    }

    fn find_end(&self) -> CurveEnd {
        let ends = |shut: bool| {
            self.sources
                .iter()
                .filter(move |source| source.reaches_shut_off() == shut)
                .map(Source::last_pressure)
        };
        match ends(false).reduce(f64::min) {
            Some(gauge) => CurveEnd {
                gauge,
                left: self.at(gauge).0,
            },
            None => CurveEnd {
                gauge: ends(true).fold(0.0, f64::max),
                left: 0.0,
            },
        }
    }

    /// The greatest gauge pressure at which so much is left for the runs, kg/s.
    pub(super) fn backwards(&self, amount: f64) -> Backwards {
        if let ([source], true) = (self.sources.as_slice(), self.is_whole()) {
            return source.backwards(amount / self.density);
        }
        let end = self.end;
        if amount < end.left {
            return Backwards::More;
        }
        if self.at(0.0).0 < amount {
            return Backwards::Less;
        }
        // Newton's method in a bracket that narrows itself; of a level stretch the far end.
        let (mut low, mut high) = (0.0, end.gauge);
        let mut gauge = 0.5 * high;
        for _ in 0..200 {
            let (here, slope) = self.at(gauge);
            if here >= amount {
                low = gauge;
            } else {
                high = gauge;
            }
            let mut next = gauge - (here - amount) / slope;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let moved = (next - gauge).abs();
            gauge = next;
            if moved <= 1e-13 * end.gauge {
                break;
            }
        }
        Backwards::At(gauge)
    }
}
