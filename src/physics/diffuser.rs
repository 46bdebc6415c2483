//! Pressure a diffuser takes, beyond the water over it.

use smallvec::{SmallVec, smallvec};

use super::refusal::{Refusal, bound, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{
    AirAmount, Area, FreeAir, Length, MassDensity, Pressure, VolumeRate, si,
};

/// Loss across a wet diffuser.
///
/// `dp = dp_k + (m − m_k) (dp_{k+1} − dp_k) / (m_{k+1} − m_k)`, straight between the
/// stated points; the end pieces carried on, never below 0.
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | m | amount of air through the diffuser | kg/s |
/// | dp | pressure across it, the bubbles' opening pressure included | Pa |
///
/// Because the opening pressure is in the stated points, [`CAPILLARY_PRESSURE`] is not
/// added. Where a later point states less than an earlier one, the earlier value is
/// held: pores don't close up again with more air, and a falling loss would have no
/// single flow at a given pressure. The range is that of the stated points.
pub static DIFFUSER_LOSS: Equation = Equation {
    name: "diffuser loss",
    formula: "straight between the stated points, end pieces carried on, never below 0, never falling",
    source: "the diffuser's own data",
    mark: Mark::Stated,
    ranges: &[],
};

/// Loss of a diffuser about which nothing is stated: 0.30 psi + 0.04 psi for each scfm.
///
/// The ranges of membrane and stone diffusers in two handbooks of wastewater treatment
/// (EPA/625/1-89/023 and WEF MOP 8) are 2 to 5 kPa new, from memory.
pub static DEFAULT_DIFFUSER_LOSS: Equation = Equation {
    name: "diffuser loss where none is stated",
    formula: "dp = 0.30 psi + 0.04 psi/scfm q",
    source: "judgement of this project, within what EPA/625/1-89/023 and WEF MOP 8 print for new diffusers (from memory)",
    mark: Mark::Judgement,
    ranges: &[Range {
        quantity: "amount of air",
        low: 0.0,
        high: 5.0 * SCFM,
        unit: "kg/s",
    }],
};

/// One scfm in kg/s: a cubic foot each minute of dry air at 20 °C and 101.325 kPa.
pub const SCFM: f64 = super::reference::CUBIC_FOOT_PER_MINUTE * super::atmosphere::SEA_LEVEL
    / (super::atmosphere::GAS_CONSTANT * 293.15);

/// One pound for each square inch, Pa.
const PSI: f64 = 6_894.757_293_168;

/// How far beyond its last listed flow a diffuser's loss is carried on in a straight piece.
pub const CARRIED_ON: f64 = 1.5;

/// A diffuser's loss as a function of the amount of air; see [`DIFFUSER_LOSS`].
#[derive(Debug, Clone, PartialEq)]
pub struct DiffuserLoss {
    /// (kg/s, Pa), flows rising, losses not falling, at least one.
    points: SmallVec<[(f64, f64); 4]>,
    /// Whether a stated loss fell with flow and was held instead.
    raised: bool,
    equation: &'static Equation,
}

impl DiffuserLoss {
    /// From points of amount and loss, in any order.
    ///
    /// Refused: no point; a flow or loss that is negative or no number; one flow with
    /// two losses.
    pub fn from_amounts(points: &[(AirAmount, Pressure)]) -> Result<Self, Refusal> {
        let mut taken = SmallVec::with_capacity(points.len());
        for (amount, loss) in points {
            taken.push((
                bounded("diffuser flow", amount.value(), 0.0, 1e4, "kg/s")?,
                bound::pressure("diffuser loss", loss.value)?,
            ));
        }
        Self::from_sorted(taken, &DIFFUSER_LOSS)
    }

    /// From points of free air and loss, where the inlet air holds `density` of dry air.
    ///
    /// Refused as by [`DiffuserLoss::from_amounts`].
    pub fn from_free_air(
        points: &[(FreeAir, Pressure)],
        density: MassDensity,
    ) -> Result<Self, Refusal> {
        let amounts: Vec<_> = points
            .iter()
            .map(|(flow, loss)| (flow.amount(density), *loss))
            .collect();
        Self::from_amounts(&amounts)
    }

    /// A loss with an opening part and one that grows with the amount of air.
    ///
    /// `dp = opening + slope m`, slope in Pa for each kg/s.
    pub fn linear(opening: Pressure, slope: f64) -> Result<Self, Refusal> {
        let opening = bound::pressure("diffuser opening loss", opening.value)?;
        let slope = bounded("slope of the diffuser loss", slope, 0.0, 1e12, "Pa s/kg")?;
        let far = 10.0 * SCFM;
        Self::from_sorted(
            smallvec![(0.0, opening), (far, opening + slope * far)],
            &DIFFUSER_LOSS,
        )
    }

    /// The default of [`DEFAULT_DIFFUSER_LOSS`], `factor` times.
    pub fn default_times(factor: f64) -> Result<Self, Refusal> {
        let factor = bound::factor("factor on the diffuser loss", factor)?;
        let mut loss = Self::linear(si::pascals(0.30 * PSI * factor), 0.04 * PSI / SCFM * factor)?;
        loss.equation = &DEFAULT_DIFFUSER_LOSS;
        Ok(loss)
    }

    fn from_sorted(
        mut points: SmallVec<[(f64, f64); 4]>,
        equation: &'static Equation,
    ) -> Result<Self, Refusal> {
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        points.dedup();
        if points.is_empty() {
            return Err(Refusal::Empty {
                of: "point of the diffuser loss",
            });
        }
        for pair in points.windows(2) {
            if let [(here, _), (next, _)] = pair
                && next - here <= 1e-9 * next
            {
                return Err(Refusal::Repeated {
                    of: "diffuser loss",
                    at: *next,
                });
            }
        }
        let mut raised = false;
        let mut greatest = 0.0_f64;
        for (_, loss) in &mut points {
            raised |= *loss < greatest;
            greatest = greatest.max(*loss);
            *loss = greatest;
        }
        Ok(DiffuserLoss {
            points,
            raised,
            equation,
        })
    }

    /// Whether a stated loss fell with flow, and the greater value before it was held.
    pub fn was_raised(&self) -> bool {
        self.raised
    }

    /// Every loss `factor` times: fouling, or the ends of a stated range.
    pub fn times(&self, factor: f64) -> Result<Self, Refusal> {
        let factor = bound::factor("factor on the diffuser loss", factor)?;
        let mut loss = self.clone();
        for (_, pascals) in &mut loss.points {
            *pascals *= factor;
        }
        Ok(loss)
    }

    /// The loss at an amount, with a breach where the amount lies far beyond the last point
    /// ([`CARRIED_ON`]).
    ///
    /// A single point is a constant: no flow lies outside it.
    pub fn at(&self, amount: AirAmount) -> Checked<Pressure> {
        let mut breaches = Vec::new();
        self.note_breaches(amount.value(), &mut breaches);
        Checked {
            value: si::pascals(self.pascals(amount.value())),
            breaches,
        }
    }

    pub(super) fn note_breaches(&self, amount: f64, breaches: &mut Vec<super::Breach>) {
        if !self.equation.ranges.is_empty() {
            self.equation.note_breaches(&[amount], breaches);
        } else if let ([_, .., (last, _)], true) =
            (self.points.as_slice(), self.equation.mark == Mark::Stated)
        {
            // Below the first point the loss lies between nothing and that point's, so carrying the
            // first piece on can't go far wrong; above the last it can grow past any straight piece.
            let stated = Range {
                quantity: "amount of air",
                low: 0.0,
                high: last * CARRIED_ON,
                unit: "kg/s",
            };
            if let Some(breach) = stated.check(self.equation, amount) {
                breach.note(breaches);
            }
        }
    }

    /// The loss in Pa at an amount in kg/s.
    pub(super) fn pascals(&self, amount: f64) -> f64 {
        self.pascals_with_slope(amount).0
    }

    /// The loss in Pa at an amount in kg/s, and how it grows, Pa s/kg; at a point, as
    /// towards less air.
    pub(super) fn pascals_with_slope(&self, amount: f64) -> (f64, f64) {
        match self.points.as_slice() {
            [] => (0.0, 0.0),
            [(_, only)] => (*only, 0.0),
            [first, second, rest @ ..] => {
                let (mut left, mut right) = (first, second);
                for next in rest {
                    if amount <= right.0 {
                        break;
                    }
                    (left, right) = (right, next);
                }
                let slope = (right.1 - left.1) / (right.0 - left.0);
                let loss = left.1 + slope * (amount - left.0);
                if loss > 0.0 {
                    (loss, slope)
                } else {
                    (0.0, 0.0)
                }
            }
        }
    }

    /// Whether one straight piece holds both amounts.
    pub(super) fn is_straight_between(&self, one: f64, other: f64) -> bool {
        let inner = match self.points.as_slice() {
            [_, inner @ .., _] => inner,
            _ => &[],
        };
        inner
            .iter()
            .all(|(bend, _)| (one <= *bend) == (other <= *bend))
    }
}

/// Pressure that opens a pore against surface tension.
///
/// `dp = 4 sigma / d`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | sigma | surface tension of clean water, 0.0728 at 20 °C | N/m |
/// | d | diameter of the pore | m |
///
/// Already inside any measured loss of a wet diffuser. Check: 0.3 mm gives 971 Pa.
pub static CAPILLARY_PRESSURE: Equation = Equation {
    name: "capillary pressure of a pore",
    formula: "dp = 4 sigma/d, sigma = 0.0728 N/m",
    source: "Young and Laplace; surface tension of water at 20 degC of IAPWS R1-76(2014), by the library iapws 1.5.5",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "pore diameter",
        low: 1e-6,
        high: 5e-3,
        unit: "m",
    }],
};

/// Capillary pressure of a pore; see [`CAPILLARY_PRESSURE`].
pub fn capillary_pressure(pore: Length) -> Checked<Pressure> {
    CAPILLARY_PRESSURE.checked(&[pore.value], si::pascals(4.0 * 0.0728 / pore.value))
}

/// Flow through a sharp-edged hole at a small pressure difference.
///
/// `Q = C A sqrt(2 dp / rho)`, C = 0.61
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | A | area of the hole | m2 |
/// | dp | pressure across it | Pa |
/// | rho | density of the air upstream | kg/m3 |
/// | Q | volume flow at that density | m3/s |
///
/// Incompressible: the range ends where that is about 3 % off.
pub static ORIFICE_FLOW: Equation = Equation {
    name: "flow through a sharp-edged hole",
    formula: "Q = C A sqrt(2 dp/rho), C = 0.61",
    source: "Hendricks, Fundamentals of Water Treatment Unit Processes, pp. 156 and 805 (C = 0.61 to 0.62)",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "pressure difference",
        low: 0.0,
        high: 5_000.0,
        unit: "Pa",
    }],
};

/// Volume flow through a sharp-edged hole; see [`ORIFICE_FLOW`].
pub fn orifice_flow(area: Area, difference: Pressure, density: MassDensity) -> Checked<VolumeRate> {
    let speed = (2.0 * difference.value.max(0.0) / density.value).sqrt();
    ORIFICE_FLOW.checked(
        &[difference.value],
        si::cubic_metres_per_second(0.61 * area.value * speed),
    )
}

/// What a new diffuser of a kind takes at its rated flow.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DiffuserBand {
    /// The kind, in the words of the field.
    pub kind: &'static str,
    /// Least and greatest loss, Pa.
    pub loss: (f64, f64),
    /// Where it stands.
    pub source: &'static str,
    /// How firmly.
    pub mark: Mark,
}

/// Losses of new diffusers by kind; fouling takes them to 1.5 to 3 times (judgement).
pub static DIFFUSER_BANDS: [DiffuserBand; 5] = [
    DiffuserBand {
        kind: "membrane disc or tube",
        loss: (2_000.0, 5_000.0),
        source: "EPA/625/1-89/023 and WEF MOP 8",
        mark: Mark::FromMemory,
    },
    DiffuserBand {
        kind: "ceramic dome or disc",
        loss: (1_200.0, 2_500.0),
        source: "EPA/625/1-89/023 and WEF MOP 8",
        mark: Mark::FromMemory,
    },
    DiffuserBand {
        kind: "bonded-silica stone",
        loss: (2_300.0, 2_600.0),
        source: "judgement of this project: about 10 in of water",
        mark: Mark::Judgement,
    },
    DiffuserBand {
        kind: "coarse orifice",
        loss: (0.0, 1_000.0),
        source: "orifice equation",
        mark: Mark::Exact,
    },
    DiffuserBand {
        kind: "porous tube",
        loss: (1_000.0, 10_000.0),
        source: "judgement of this project",
        mark: Mark::Judgement,
    },
];
