//! Losses of barbs, elbows and tees.

use super::atmosphere::GAS_CONSTANT;
use super::refusal::{Refusal, bound, bounded};
use super::{Breach, Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{AbsolutePressure, AirAmount, Length, ThermodynamicTemperature};

/// Loss coefficient of a barb, on the speed in the barb's bore.
///
/// `K = 0.5 (1 − b²) + (1 − b²)²`, b = d/D
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | d | bore of the barb | m |
/// | D | bore of the tube | m |
/// | K | loss coefficient on the speed in d | – |
///
/// The air contracts into the barb (first part) and expands behind it (second part,
/// Borda and Carnot). Check: b = 2/3 gives 0.586.
pub static BARB_LOSS: Equation = Equation {
    name: "loss coefficient of a barb",
    formula: "K = 0.5 (1 - b2) + (1 - b2)2, b = d/D, on the speed in d",
    source: "sharp contraction and Borda-Carnot expansion, read in the library fluids 1.3.1, module fittings",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "bore ratio",
        low: 0.3,
        high: 1.0,
        unit: "",
    }],
};

/// Loss coefficient of a barb by the ratio of its bore to the tube's, on the speed in
/// the barb; see [`BARB_LOSS`]. Divide by b⁴ for the speed in the tube.
pub fn barb_coefficient(bore_ratio: f64) -> Checked<f64> {
    let rest = 1.0 - bore_ratio * bore_ratio;
    BARB_LOSS.checked(&[bore_ratio], 0.5 * rest + rest * rest)
}

/// Friction factor of fully turbulent flow in steel pipe, by bore in inches.
///
/// The handbook TP-410 counts fittings in multiples of it. Read in the library fluids
/// 1.3.1, module fittings, which fits the handbook's table.
pub static TURBULENT_FRICTION: [(f64, f64); 5] = [
    (0.375, 0.029_48),
    (0.5, 0.027_14),
    (0.625, 0.025_51),
    (0.75, 0.024_29),
    (1.0, 0.022_53),
];

/// Loss coefficient of a fitting as a multiple of the turbulent friction factor.
///
/// `K = n f_T`
pub static FITTING_LOSS: Equation = Equation {
    name: "loss coefficient of a fitting",
    formula: "K = n fT",
    source: "TP-410 handbook, read in the library fluids 1.3.1, module fittings",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "bore",
        low: 0.375 * 0.0254,
        high: 0.0254,
        unit: "m",
    }],
};

/// Fittings whose loss is known as a multiple of the turbulent friction factor.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fitting {
    /// A threaded 90° elbow.
    Elbow,
    /// A tee, straight through.
    TeeRun,
    /// A tee, into or out of its branch.
    TeeBranch,
    /// A ball valve, fully open.
    OpenBallValve,
    /// A swing check valve, fully open.
    SwingCheck,
}

impl Fitting {
    /// The handbook's multiple n of the turbulent friction factor.
    pub fn multiple(self) -> f64 {
        match self {
            Fitting::Elbow => 30.0,
            Fitting::TeeRun => 20.0,
            Fitting::TeeBranch => 60.0,
            Fitting::OpenBallValve => 3.0,
            Fitting::SwingCheck => 100.0,
        }
    }

    /// The loss coefficient at a bore, straight between the table's rows and the last
    /// row's value beyond them; see [`FITTING_LOSS`].
    pub fn coefficient(self, bore: Length) -> Checked<f64> {
        let inches = bore.value / 0.0254;
        let mut friction = TURBULENT_FRICTION[0].1;
        for pair in TURBULENT_FRICTION.windows(2) {
            if let [(low, f_low), (high, f_high)] = pair
                && inches > *low
            {
                let share = ((inches - low) / (high - low)).min(1.0);
                friction = f_low + share * (f_high - f_low);
            }
        }
        FITTING_LOSS.checked(&[bore.value], self.multiple() * friction)
    }
}

/// Pressure in front of a fitting.
///
/// `p1² − p2² = K G² R T`, `G = m / A`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | p1, p2 | absolute pressure before and behind | Pa |
/// | K | loss coefficient on the speed in the bore | – |
/// | G | mass flow for each area of the bore | kg/(m2 s) |
/// | R, T | gas constant and temperature | J/(kg K), K |
///
/// The same as `dp = K rho u²/2` with the density at the mean pressure.
/// Check: four barbs b = 2/3 of 1/4 in at 1.25 scfm near 4 psi take 0.056 psi.
pub static MINOR_LOSS: Equation = Equation {
    name: "pressure loss of a fitting",
    formula: "p1^2 - p2^2 = K G^2 R T",
    source: "K rho u2/2 at mean density for an isothermal ideal gas",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "Mach number",
        low: 0.0,
        high: 0.3,
        unit: "",
    }],
};

/// A loss coefficient at a bore, ready to be calculated with; see [`MINOR_LOSS`].
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MinorLoss {
    /// K R T / A², so that p1² − p2² is this times m².
    pub(super) factor: f64,
    /// sqrt(R T / k) / A, so that the Mach number is this times m / p.
    mach: f64,
    /// Bore over the tube's, where it is a barb.
    barb: Option<f64>,
}

impl MinorLoss {
    /// From the coefficient, the bore whose speed it counts on, and the temperature.
    ///
    /// Refused: a negative coefficient, a bore of nothing, anything that is no number.
    pub fn new(
        coefficient: f64,
        bore: Length,
        temperature: ThermodynamicTemperature,
    ) -> Result<Self, Refusal> {
        let coefficient = bounded("loss coefficient", coefficient, 0.0, 1e9, "")?;
        let bore = bound::bore(bore)?;
        let temperature = bound::temperature(temperature)?;
        let area = std::f64::consts::PI * bore * bore / 4.0;
        Ok(MinorLoss {
            factor: coefficient * GAS_CONSTANT * temperature / (area * area),
            mach: (GAS_CONSTANT * temperature / super::atmosphere::HEAT_RATIO).sqrt() / area,
            barb: None,
        })
    }

    /// `count` barbs of bore `ratio` times the tube's.
    pub fn barbs(
        count: f64,
        tube: Length,
        ratio: f64,
        temperature: ThermodynamicTemperature,
    ) -> Result<Self, Refusal> {
        let count = bounded("number of barbs", count, 0.0, 1e4, "")?;
        let ratio = bounded(
            "bore of the barb over that of the tube",
            ratio,
            0.01,
            1.0,
            "",
        )?;
        let coefficient = count * barb_coefficient(ratio).value;
        let loss = Self::new(coefficient, tube * ratio, temperature)?;
        Ok(MinorLoss {
            barb: Some(ratio),
            ..loss
        })
    }

    /// `count` of it in a tube and a barb of another size, their ratio the same; `inverse` and
    /// `fourth` are one over the factor on the bore and over its fourth power.
    pub(super) fn scaled(self, count: f64, inverse: f64, fourth: f64) -> Self {
        MinorLoss {
            factor: self.factor * count * fourth,
            mach: self.mach * inverse * inverse,
            barb: self.barb,
        }
    }

    /// Pressure before it that drives `amount` against `behind`.
    pub fn pressure_before(&self, amount: AirAmount, behind: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure::pascals(self.upstream(amount.value(), behind.value()))
    }

    /// Pressure before it in Pa, for `amount` kg/s and `behind` Pa.
    pub(super) fn upstream(&self, amount: f64, behind: f64) -> f64 {
        (behind * behind + self.factor * amount * amount).sqrt()
    }

    pub(super) fn note_breaches(&self, amount: f64, behind: f64, breaches: &mut Vec<Breach>) {
        MINOR_LOSS.note_breaches(&[self.mach * amount / behind], breaches);
        if let Some(ratio) = self.barb {
            BARB_LOSS.note_breaches(&[ratio], breaches);
        }
    }
}
