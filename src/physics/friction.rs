//! Pressure lost along an airline.
//!
//! The air in a line is at the temperature of what lies around it: a few metres of
//! submerged or buried tubing bring compressed air within 1 K of the water's
//! temperature, so the flow is isothermal and the *line's* temperature counts, not the
//! discharge temperature. Then mass flow and Reynolds number don't change along the
//! line, and the equation below is exact for an ideal gas.

use super::atmosphere::{GAS_CONSTANT, HEAT_RATIO, air_viscosity};
use super::refusal::{Refusal, bound, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math::{LogTables, cbrt, exp, ln, powf};
use crate::units::quantity::{AbsolutePressure, AirAmount, Length, ThermodynamicTemperature, si};

/// Roughness of drawn plastic tubing, m.
///
/// Anything from 0 to 7 µm changes the friction factor by less than 2 % at the
/// Reynolds numbers met here.
pub const SMOOTH_PLASTIC: f64 = 1.5e-6;

/// A wall rougher than a twentieth of the bore isn't a pipe any more.
const ROUGHEST: f64 = 0.05;

/// Friction factor of a round pipe, laminar to turbulent in one formula.
///
/// `f = 8 [(8/Re)^12 + (A + B)^−1.5]^(1/12)`,
/// `A = [2.457 ln(1 / ((7/Re)^0.9 + 0.27 e/D))]^16`, `B = (37530/Re)^16`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | Re | Reynolds number | – |
/// | e | height of the wall's roughness | m |
/// | D | bore | m |
/// | f | Darcy friction factor | – |
///
/// Chosen because f Re² rises without a break from laminar to turbulent, so that every
/// pressure has exactly one flow; a switch from one law to another at Re 2300 jumps by
/// 1.7 and leaves pressures without any. Between Re 2000 and 4000 no law is sure: see
/// [`friction_band`]. Check: Re 5236, e/D 1.575e-4 gives 0.03757.
pub static FRICTION_FACTOR: Equation = Equation {
    name: "friction factor of a round pipe",
    formula: "f = 8 [(8/Re)^12 + (A + B)^-1.5]^(1/12), A = [2.457 ln(1/((7/Re)^0.9 + 0.27 e/D))]^16, B = (37530/Re)^16",
    source: "Churchill, Chem. Eng. 84 (1977) no. 24, read in the library fluids 1.3.1, module friction",
    mark: Mark::Published,
    ranges: &[
        Range {
            quantity: "Reynolds number",
            low: 0.0,
            high: 1e8,
            unit: "",
        },
        Range {
            quantity: "relative roughness",
            low: 0.0,
            high: 0.05,
            unit: "",
        },
    ],
};

/// Darcy friction factor; see [`FRICTION_FACTOR`]. Infinite at a Reynolds number of 0.
pub fn friction_factor(reynolds: f64, relative_roughness: f64) -> Checked<f64> {
    FRICTION_FACTOR.checked(
        &[reynolds, relative_roughness],
        churchill(reynolds, relative_roughness),
    )
}

/// Below this Reynolds number the turbulent part of the formula is less than one unit
/// in the last place of the laminar part, so that leaving it out changes no digit.
const WHOLLY_LAMINAR: f64 = 400.0;

pub(super) fn churchill(reynolds: f64, relative_roughness: f64) -> f64 {
    if reynolds < WHOLLY_LAMINAR {
        return 64.0 / reynolds;
    }
    // x^0.9 as exp(0.9 ln x) and the twelfth root as two square roots and a cube root
    // cost a third of general powers.
    let viscous = exp(0.9 * ln(7.0 / reynolds));
    let a = sixteenth_power(-2.457 * ln(viscous + 0.27 * relative_roughness));
    let b = sixteenth_power(37_530.0 / reynolds);
    let sum = a + b;
    let laminar = 8.0 / reynolds;
    let cube = laminar * laminar * laminar;
    let sixth = cube * cube;
    let twelfth = sixth * sixth + 1.0 / (sum * sum.sqrt());
    8.0 * cbrt(twelfth).sqrt().sqrt()
}

/// A friction factor and how it changes with the flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Friction {
    /// Darcy friction factor.
    pub(super) factor: f64,
    /// d ln f / d ln Re.
    pub(super) slope: f64,
}

/// [`FRICTION_FACTOR`] with its slope, by tables: within 2e-15 of [`churchill`].
///
/// With `u = (Re/7)^0.9`, `q = 1 + 0.27 (e/D) u`, `theta = 2.457 ln(u/q)`:
/// `beta = B/A = (37530/(Re theta))^16`, `alpha = (8 theta²/Re)^12`,
/// `w = (1 + beta)^−1.5 + alpha`, `f = 8 theta^−2 w^(1/12)`, and with
/// `tau = d ln theta / d ln Re = 2.2113/(q theta)`
/// `d ln f/d ln Re = −2 tau + [24 beta (1 + tau) (1 + beta)^−2.5 + alpha (24 tau − 12)]/(12 w)`.
pub(super) fn friction_with_slope(
    tables: LogTables,
    reynolds: f64,
    relative_roughness: f64,
) -> Friction {
    if reynolds < WHOLLY_LAMINAR {
        return Friction {
            factor: 64.0 / reynolds,
            slope: -1.0,
        };
    }
    let u = tables.nine_tenths(reynolds * (1.0 / 7.0));
    let inverse_q = 1.0 / (1.0 + 0.27 * relative_roughness * u);
    let theta = 2.457 * tables.ln(u * inverse_q);
    // One division for both reciprocals that are wanted.
    let inverse = 1.0 / (reynolds * theta);
    let (inverse_theta, inverse_reynolds) = (reynolds * inverse, theta * inverse);
    let tau = 2.457 * 0.9 * inverse_q * inverse_theta;
    let beta = sixteenth_power(37_530.0 * inverse);
    let alpha = twelfth_power(8.0 * theta * theta * inverse_reynolds);
    let rough = 8.0 * inverse_theta * inverse_theta;
    let keep = 1.0 / (1.0 + beta);
    let turbulent = keep * keep.sqrt();
    let w = turbulent + alpha;
    let moved = turbulent * keep * 24.0 * beta * (1.0 + tau) + alpha * (24.0 * tau - 12.0);
    Friction {
        factor: rough * tables.twelfth_root(w),
        slope: -2.0 * tau + moved / (12.0 * w),
    }
}

fn twelfth_power(x: f64) -> f64 {
    let third = x * x * x;
    let sixth = third * third;
    sixth * sixth
}

fn sixteenth_power(x: f64) -> f64 {
    let second = x * x;
    let fourth = second * second;
    let eighth = fourth * fourth;
    eighth * eighth
}

/// By what factors the friction factor may differ from [`FRICTION_FACTOR`] at a
/// Reynolds number: least and greatest.
///
/// Below 2000 and above 4000 formulas and tests agree within 3 %. Between, the flow may
/// be still laminar (64/Re) or already turbulent (Blasius, 0.3164 Re^−0.25), whichever
/// the inlet and the bends decide. The 3 % are judgement; the two laws stand in the library
/// fluids 1.3.1. McKeon et al. 2004 measured both branches: see `tests/published/validation.md`.
pub fn friction_band(reynolds: f64, relative_roughness: f64) -> (f64, f64) {
    if !(2000.0..=4000.0).contains(&reynolds) {
        return (0.97, 1.03);
    }
    let central = churchill(reynolds, relative_roughness);
    let laminar = 64.0 / reynolds / central;
    let turbulent = 0.3164 / powf(reynolds, 0.25) / central;
    (laminar.min(0.97), turbulent.max(1.03))
}

/// Pressure at the start of a line of constant bore.
///
/// `p1² − p2² = G² R T (f L/D + 2 ln(p1/p2))`, `G = 4 m / (pi D²)`,
/// `Re = 4 m / (pi D mu)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | p1, p2 | absolute pressure at the line's start and end | Pa |
/// | m | mass flow | kg/s |
/// | D, L | bore and length | m |
/// | f | Darcy friction factor at Re | – |
/// | R, T, mu | gas constant, temperature and viscosity of the air | J/(kg K), K, Pa s |
///
/// The logarithm is the air's acceleration: below 0.2 % in ponds, but it decides the
/// published example with methane (960.07 kPa, without it 944.2).
/// Check: 3/8 in, 100 ft, 1.25 scfm at 20 °C under 6 ft of water: 4145.0 Pa.
/// The range is where taking the line as isothermal was held against an integration
/// along the line; at a Mach number of 0.845 the end of an isothermal line chokes.
pub static LINE_LOSS: Equation = Equation {
    name: "pressure along an isothermal line",
    formula: "p1^2 - p2^2 = G^2 R T (f L/D + 2 ln(p1/p2))",
    source: "complete isothermal equation of the TP-410 handbook; Rennels and Hudson, Pipe Flow (2012); read in the library fluids 1.3.1, module compressible",
    mark: Mark::Published,
    ranges: &[
        Range {
            quantity: "Mach number",
            low: 0.0,
            high: 0.3,
            unit: "",
        },
        Range {
            quantity: "temperature",
            low: 263.15,
            high: 353.15,
            unit: "K",
        },
    ],
};

/// A length of airline of one bore, ready to be calculated with; see [`LINE_LOSS`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Line {
    /// Reynolds number for each kg/s.
    pub(super) reynolds: f64,
    /// Relative roughness e/D.
    pub(super) roughness: f64,
    /// L/D times the factor on friction.
    pub(super) slenderness: f64,
    /// R T / A², Pa² for each (kg/s)².
    pub(super) square: f64,
    temperature: f64,
    bore: f64,
    length: f64,
}

/// What goes on in a line at a flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineState {
    /// Bore of the line, m.
    pub bore: f64,
    /// Length of the line, m.
    pub length: f64,
    /// Reynolds number.
    pub reynolds: f64,
    /// Darcy friction factor; 0 where nothing flows.
    pub friction: f64,
    /// Mach number at the line's end, where it is greatest.
    pub mach: f64,
    /// Pressure lost along it, Pa.
    pub loss: f64,
}

impl Line {
    /// A line of a bore and a length at a temperature, with the height of its wall's
    /// roughness ([`SMOOTH_PLASTIC`] where nothing is known).
    ///
    /// Refused: a bore of nothing, a negative length, anything that is no number.
    pub fn new(
        bore: Length,
        length: Length,
        temperature: ThermodynamicTemperature,
        roughness: Length,
    ) -> Result<Self, Refusal> {
        let bore = bound::bore(bore)?;
        let length = bound::length(length)?;
        let kelvin = bound::temperature(temperature)?;
        let roughness = bounded("roughness", roughness.value, 0.0, 1.0, "m")?;
        let area = std::f64::consts::PI * bore * bore / 4.0;
        let viscosity = air_viscosity(si::kelvins(kelvin)).value.value;
        Ok(Line {
            reynolds: 4.0 / (std::f64::consts::PI * bore * viscosity),
            roughness: (roughness / bore).min(ROUGHEST),
            slenderness: length / bore,
            square: GAS_CONSTANT * kelvin / (area * area),
            temperature: kelvin,
            bore,
            length,
        })
    }

    /// The same with its friction `factor` times: coils, kinks, condensate.
    pub fn with_friction_times(mut self, factor: f64) -> Result<Self, Refusal> {
        self.slenderness *= bound::factor("factor on friction", factor)?;
        Ok(self)
    }

    /// The same with its bore `bore` times, `inverse` and `fourth` one over that and over its
    /// fourth power, its L/D times the friction and its length so many times.
    pub(super) fn scaled(
        self,
        bore: f64,
        inverse: f64,
        fourth: f64,
        (slenderness, length): (f64, f64),
    ) -> Self {
        Line {
            reynolds: self.reynolds * inverse,
            roughness: (self.roughness * inverse).min(ROUGHEST),
            slenderness: self.slenderness * slenderness,
            square: self.square * fourth,
            bore: self.bore * bore,
            length: self.length * length,
            ..self
        }
    }

    /// Pressure at its start that drives `amount` against `end`.
    pub fn pressure_at_start(
        &self,
        amount: AirAmount,
        end: AbsolutePressure,
    ) -> Checked<AbsolutePressure> {
        let (m, p2) = (amount.value().max(0.0), end.value());
        let mut breaches = Vec::new();
        self.note_breaches(m, p2, &mut breaches);
        Checked {
            value: AbsolutePressure::pascals(self.upstream(m, p2)),
            breaches,
        }
    }

    /// Its Reynolds number at an amount.
    pub fn reynolds_at(&self, amount: AirAmount) -> f64 {
        self.reynolds * amount.value()
    }

    /// Its relative roughness.
    pub fn relative_roughness(&self) -> f64 {
        self.roughness
    }

    pub(super) fn state(&self, amount: f64, end: f64) -> LineState {
        let reynolds = self.reynolds * amount;
        let friction = if amount > 0.0 {
            friction_with_slope(LogTables::get(), reynolds, self.roughness).factor
        } else {
            0.0
        };
        LineState {
            bore: self.bore,
            length: self.length,
            reynolds,
            friction,
            mach: amount * (self.square / HEAT_RATIO).sqrt() / self.end_pressure(amount, end),
            loss: self.upstream_with(friction, amount, end) - end,
        }
    }

    pub(super) fn note_breaches(&self, amount: f64, end: f64, breaches: &mut Vec<super::Breach>) {
        self.note_breaches_of(&self.state(amount, end), breaches);
    }

    /// Every range that a state of it leaves.
    pub(super) fn note_breaches_of(&self, state: &LineState, breaches: &mut Vec<super::Breach>) {
        LINE_LOSS.note_breaches(&[state.mach, self.temperature], breaches);
        FRICTION_FACTOR.note_breaches(&[state.reynolds, self.roughness], breaches);
    }

    /// The pressure just inside the line's end. Air leaves an isothermal line at most
    /// at the isothermal speed of sound; where more is asked, the pressure inside the
    /// end stays above what lies behind. Without this a great enough flow would have no
    /// pressure at all.
    fn end_pressure(&self, amount: f64, behind: f64) -> f64 {
        behind.max(amount * self.square.sqrt())
    }

    /// Pressure at its start in Pa, for `amount` kg/s and `behind` Pa.
    pub(super) fn upstream(&self, amount: f64, behind: f64) -> f64 {
        if amount <= 0.0 {
            return behind;
        }
        let friction = churchill(self.reynolds * amount, self.roughness);
        self.upstream_with(friction, amount, behind)
    }

    /// The same where the friction factor is known.
    fn upstream_with(&self, friction: f64, amount: f64, behind: f64) -> f64 {
        if amount <= 0.0 {
            return behind;
        }
        let end = self.end_pressure(amount, behind);
        let dynamic = self.square * amount * amount;
        let end_square = end * end;
        let loss = dynamic * friction * self.slenderness;
        let plain = end_square + loss;
        if loss <= 0.0 {
            return end;
        }
        // y = p1² solves y − dynamic ln(y / p2²) = plain. The left side is convex and
        // rising, so Newton's method from `plain` overshoots once and then closes in.
        let mut y = plain;
        for _ in 0..40 {
            let excess = y - dynamic * ln(y / end_square) - plain;
            let slope = 1.0 - dynamic / y;
            let next = y - excess / slope;
            let moved = (next - y).abs();
            y = next;
            if moved <= 1e-14 * y {
                break;
            }
        }
        y.sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two ways to the same formula, and the slope against the chord of a step so
    /// small that its own bend is below the tolerance.
    #[test]
    fn the_tables_give_the_formula_and_its_slope() {
        let tables = LogTables::get();
        for roughness in [0.0, 1e-6, 1.5e-4, 1e-3, 0.05] {
            let mut reynolds = 1.0;
            while reynolds < 1e8 {
                let with_slope = friction_with_slope(tables, reynolds, roughness);
                let plain = churchill(reynolds, roughness);
                assert!(
                    (with_slope.factor / plain - 1.0).abs() < 1e-14,
                    "factor at {reynolds}, {roughness}"
                );
                let step = 1e-5;
                let (low, high) = (reynolds * (1.0 - step), reynolds * (1.0 + step));
                let chord = ln(churchill(high, roughness) / churchill(low, roughness))
                    / ln((1.0 + step) / (1.0 - step));
                if low > WHOLLY_LAMINAR || high < WHOLLY_LAMINAR {
                    assert!(
                        (with_slope.slope - chord).abs() < 1e-6,
                        "slope at {reynolds}, {roughness}: {} {chord}",
                        with_slope.slope
                    );
                }
                reynolds *= 1.003;
            }
        }
    }
}
