//! Flow through a valve whose Cv or Kv is known.

use super::atmosphere::GAS_CONSTANT;
use super::refusal::{Refusal, bound, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{AbsolutePressure, AirAmount, Length, ThermodynamicTemperature};

/// Pressure-drop ratio at which a valve chokes when nothing is stated of it.
pub const DEFAULT_CHOKING_RATIO: f64 = 0.7;

/// Kv for each Cv.
pub const KV_PER_CV: f64 = 0.865;

/// Mass flow of air through a valve.
///
/// `W = 3.16 Kv Y sqrt(x p1 rho1)`, `Y = 1 − x / (3 Fg xT)`, `x = (p1 − p2) / p1 ≤ Fg xT`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | W | mass flow | kg/h |
/// | Kv | flow coefficient, 0.865 Cv | m3/h of water at 1 bar |
/// | Y | expansion factor, from 1 down to 2/3 | – |
/// | p1, p2 | absolute pressure before and behind | kPa |
/// | rho1 | density before | kg/m3 |
/// | Fg | heat ratio over 1.4: 1 for air | – |
/// | xT | pressure-drop ratio at which it chokes | – |
///
/// Check: Cv 1 from 4.0 to 3.5 psi gauge at 20 °C passes 3.031 scfm.
pub static VALVE_FLOW: Equation = Equation {
    name: "mass flow of gas through a valve",
    formula: "W = 3.16 Kv Y sqrt(x p1 rho1), Y = 1 - x/(3 Fg xT)",
    source: "ISA-75.01 / IEC 60534-2-1, read in the library fluids 1.3.1, module control_valve",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "valve Reynolds number",
        // Below this the flow through the seat turns laminar and the coefficient of
        // small needle valves is 20 % uncertain.
        low: 10_000.0,
        high: 1e9,
        unit: "",
    }],
};

/// Loss coefficient that a Cv amounts to.
///
/// `K = (29.84 d² / Cv)²`, d in inches, on the speed in d
///
/// Check: d = 3/8 in, Cv 4.1955 gives K = 1.
pub static VALVE_COEFFICIENT: Equation = Equation {
    name: "loss coefficient of a flow coefficient",
    formula: "K = (29.84 d^2/Cv)^2, d in inches",
    source: "definition of Cv (US gallons of water each minute at 1 psi), read in the library fluids 1.3.1",
    mark: Mark::Published,
    ranges: &[],
};

/// Loss coefficient of a `cv` on the speed in `bore`; see [`VALVE_COEFFICIENT`].
pub fn coefficient_from_cv(cv: f64, bore: Length) -> f64 {
    let inches = bore.value / 0.0254;
    let ratio = 29.84 * inches * inches / cv;
    ratio * ratio
}

/// A valve with a flow coefficient; see [`VALVE_FLOW`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ControlValve {
    kv: f64,
    choking: f64,
    temperature: f64,
    /// m² = `factor` Y² x p1² with m in kg/s, p1 in Pa.
    factor: f64,
}

impl ControlValve {
    /// From Kv, for air at a temperature, choking at the default ratio 0.7.
    ///
    /// Refused: a coefficient of nothing or no number.
    pub fn from_kv(kv: f64, temperature: ThermodynamicTemperature) -> Result<Self, Refusal> {
        Self::with_choking(kv, DEFAULT_CHOKING_RATIO, temperature)
    }

    /// From Cv; see [`ControlValve::from_kv`].
    pub fn from_cv(cv: f64, temperature: ThermodynamicTemperature) -> Result<Self, Refusal> {
        Self::from_kv(cv * KV_PER_CV, temperature)
    }

    /// From Kv and the ratio xT at which it chokes, 0.05 to 0.95.
    pub fn with_choking(
        kv: f64,
        choking: f64,
        temperature: ThermodynamicTemperature,
    ) -> Result<Self, Refusal> {
        let kv = bounded("flow coefficient Kv", kv, 1e-6, 1e6, "m3/h")?;
        let choking = bounded("choking ratio xT", choking, 0.05, 0.95, "")?;
        let temperature = bound::temperature(temperature)?;
        // From kg/h and kPa to kg/s and Pa, with rho1 = p1 / (R T).
        let coefficient = 3.16 * kv / 3600.0;
        Ok(ControlValve {
            kv,
            choking,
            temperature,
            factor: coefficient * coefficient / (1000.0 * GAS_CONSTANT * temperature),
        })
    }

    /// Its Kv.
    pub fn kv(&self) -> f64 {
        self.kv
    }

    /// Air through it between two pressures; nothing flows backwards.
    pub fn flow(&self, before: AbsolutePressure, behind: AbsolutePressure) -> Checked<AirAmount> {
        let p1 = before.value();
        let x = ((p1 - behind.value()) / p1).clamp(0.0, self.choking);
        let expansion = 1.0 - x / (3.0 * self.choking);
        let amount = expansion * p1 * (self.factor * x).sqrt();
        VALVE_FLOW.checked(
            &[self.reynolds(amount, p1)],
            AirAmount::kilograms_per_second(amount),
        )
    }

    /// Pressure before it that passes `amount` against `behind`.
    pub fn pressure_before(
        &self,
        amount: AirAmount,
        behind: AbsolutePressure,
    ) -> Checked<AbsolutePressure> {
        let before = self.upstream(amount.value(), behind.value());
        VALVE_FLOW.checked(
            &[self.reynolds(amount.value(), before)],
            AbsolutePressure::pascals(before),
        )
    }

    /// The Kv that passes `amount` between two pressures at a temperature; nothing where
    /// there is no pressure to take or no flow to pass.
    pub fn kv_for(
        amount: AirAmount,
        before: AbsolutePressure,
        behind: AbsolutePressure,
        temperature: ThermodynamicTemperature,
    ) -> Option<f64> {
        let unit = Self::from_kv(1.0, temperature).ok()?;
        let kv = amount.value() / unit.flow(before, behind).value.value();
        (kv.is_finite() && kv > 0.0).then_some(kv)
    }

    /// Pressure before it in Pa, for `amount` kg/s and `behind` Pa.
    ///
    /// Solves x Y² / (1 − x)² = w for x, where w = m² / (factor p2²). The left side
    /// rises from 0 without an end as x goes to the choking ratio and past it; from
    /// there on the flow is proportional to p1 alone, whatever lies behind.
    pub(super) fn upstream(&self, amount: f64, behind: f64) -> f64 {
        if amount <= 0.0 {
            return behind;
        }
        let w = amount * amount / (self.factor * behind * behind);
        let third = 1.0 / (3.0 * self.choking);
        let choked = self.choking * (4.0 / 9.0);
        let rest = 1.0 - self.choking;
        if w >= choked / (rest * rest) {
            return amount / (self.factor * choked).sqrt();
        }
        // Newton's method held inside a bracket that it narrows itself.
        let (mut low, mut high) = (0.0_f64, self.choking);
        let mut x = (w / (1.0 + 2.0 * w)).min(high);
        for _ in 0..60 {
            let y = 1.0 - third * x;
            let r = 1.0 - x;
            let value = x * y * y / (r * r) - w;
            if value > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let slope = y / (r * r) * (y - 2.0 * third * x + 2.0 * x * y / r);
            let mut next = x - value / slope;
            if !(next > low && next < high) {
                next = 0.5 * (low + high);
            }
            let moved = (next - x).abs();
            x = next;
            if moved <= 1e-15 * x {
                break;
            }
        }
        behind / (1.0 - x)
    }

    /// [`ControlValve::upstream`], and how it grows with the flow and with the pressure
    /// behind: Pa s/kg and Pa for each Pa.
    pub(super) fn upstream_with_slopes(&self, amount: f64, behind: f64) -> (f64, f64, f64) {
        if amount <= 0.0 {
            return (behind, 0.0, 1.0);
        }
        let before = self.upstream(amount, behind);
        let x = 1.0 - behind / before;
        if x >= self.choking {
            return (before, before / amount, 0.0);
        }
        // With w = m²/(factor p2²): x Y²/(1 − x)² = w, and p1 = p2/(1 − x).
        let third = 1.0 / (3.0 * self.choking);
        let (y, rest) = (1.0 - third * x, 1.0 - x);
        let w = x * y * y / (rest * rest);
        let slope = y / (rest * rest) * (y - 2.0 * third * x + 2.0 * x * y / rest);
        let moved = 2.0 * w / slope / (rest * rest);
        (before, behind * moved / amount, 1.0 / rest - moved)
    }

    /// Pressure behind it in Pa, for `amount` kg/s and `before` Pa; nothing where it
    /// passes less.
    pub(super) fn downstream(&self, amount: f64, before: f64) -> Option<f64> {
        if amount <= 0.0 {
            return Some(before);
        }
        // x Y² = w rises from 0 to 4/9 of the choking ratio.
        let w = amount * amount / (self.factor * before * before);
        if w > self.choking * (4.0 / 9.0) {
            return None;
        }
        let third = 1.0 / (3.0 * self.choking);
        let (mut low, mut high) = (0.0, self.choking);
        let mut x = w;
        for _ in 0..60 {
            let y = 1.0 - third * x;
            let value = x * y * y - w;
            if value > 0.0 {
                high = x;
            } else {
                low = x;
            }
            let mut next = x - value / (y * (y - 2.0 * third * x));
            if !(next >= low && next <= high) {
                next = 0.5 * (low + high);
            }
            let moved = (next - x).abs();
            x = next;
            if moved <= 1e-15 * x {
                break;
            }
        }
        Some(before * (1.0 - x))
    }

    /// Reynolds number of the seat at the pressure before it; see [`VALVE_FLOW`].
    pub fn reynolds_at(&self, amount: AirAmount, before: AbsolutePressure) -> f64 {
        self.reynolds(amount.value(), before.value())
    }

    /// Reynolds number of the seat, for `amount` kg/s at `pressure` Pa.
    ///
    /// `Rev = 0.0707 Q / (nu sqrt(Kv FL))`, Q in m3/h, nu in m2/s, with the style
    /// factor Fd 1 and FL 0.9, and without the term for the approaching pipe (IEC
    /// 60534-2-1, read in the library fluids 1.3.1; the two factors are judgement).
    pub(super) fn reynolds(&self, amount: f64, pressure: f64) -> f64 {
        let density = pressure / (GAS_CONSTANT * self.temperature);
        let t = self.temperature;
        let viscosity = 1.458e-6 * t * t.sqrt() / (t + 110.4);
        let flow = amount / density * 3600.0;
        0.0707 * flow / (viscosity / density * (self.kv * 0.9).sqrt())
    }
}
