//! What the machines leave for the runs: at a pressure, and at which pressure so much.

use smallvec::SmallVec;

use crate::physics::curve::{Backwards, Machine};
use crate::physics::network::{LetOff, Surroundings};

/// Machines on a manifold, with what is let off before it.
#[derive(Debug, Clone)]
pub(super) struct Supply {
    pub(super) machines: SmallVec<[Machine; 1]>,
    pub(super) let_off: LetOff,
    /// Pressure of the air, Pa.
    pub(super) ambient: f64,
    /// Dry air in a cubic metre at the inlet, kg/m3.
    pub(super) density: f64,
}

/// Where the machines' curves end, all told.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct CurveEnd {
    /// The gauge pressure to which every machine's flow is known, Pa.
    pub(super) gauge: f64,
    /// What is left for the runs there, kg/s; nothing where every machine is shut.
    pub(super) left: f64,
}

impl Supply {
    pub(super) fn new(
        surroundings: &Surroundings,
        machines: SmallVec<[Machine; 1]>,
        let_off: LetOff,
    ) -> Supply {
        Supply {
            machines,
            let_off,
            ambient: surroundings.ambient.value(),
            density: surroundings.inlet_density.value,
        }
    }

    /// Whether all that the machines give goes into the runs.
    pub(super) fn is_whole(&self) -> bool {
        matches!(self.let_off, LetOff::Nothing)
    }

    /// Free air that all machines draw in at a gauge pressure, m3/s.
    pub(super) fn inlet_flow(&self, gauge: f64) -> f64 {
        self.machines
            .iter()
            .map(|machine| machine.held(gauge, self.ambient))
            .sum()
    }

    /// Air let off at a gauge pressure, kg/s.
    pub(super) fn let_off(&self, gauge: f64) -> f64 {
        self.let_off.at(gauge + self.ambient, self.ambient)
    }

    /// What is left for the runs at a gauge pressure, kg/s, and how it changes with it.
    /// Past an open end of a curve it is carried on.
    pub(super) fn at(&self, gauge: f64) -> (f64, f64) {
        let (mut amount, mut slope) = (0.0, 0.0);
        for machine in &self.machines {
            let (flow, by_pressure) = machine.carried_on(gauge, self.ambient);
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

    pub(super) fn end(&self) -> CurveEnd {
        let ends = |shut: bool| {
            self.machines
                .iter()
                .filter(move |machine| machine.curve().reaches_shut_off() == shut)
                .map(|machine| machine.last_pressure(self.ambient))
        };
        let open = ends(false).reduce(f64::min);
        match open {
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
        if let ([machine], true) = (self.machines.as_slice(), self.is_whole()) {
            return machine.backwards(amount / self.density, self.ambient);
        }
        let end = self.end();
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
