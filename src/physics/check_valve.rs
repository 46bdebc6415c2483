//! The valve that keeps water out of the line.
//!
//! Wherever a machine can stand lower than the water, a line without one siphons the
//! pond back into it when the power fails.

use super::refusal::{Refusal, bound};
use super::valve::ControlValve;
use super::{Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Pressure, si};

/// Pressure a check valve takes while it is open.
///
/// `dp = opening + (loss of its Cv, where stated)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | opening | pressure at which it cracks | Pa |
///
/// The opening is held constant: flaps and springs close harder the wider they stand,
/// but by less than the spread between valves of one make.
pub static CHECK_VALVE_LOSS: Equation = Equation {
    name: "check valve loss",
    formula: "dp = opening pressure + loss of its Cv where stated",
    source: "force balance of a light flap or spring; constant opening is a judgement",
    mark: Mark::Judgement,
    ranges: &[Range {
        quantity: "opening pressure",
        low: 0.0,
        high: 7_000.0,
        unit: "Pa",
    }],
};

/// What kinds of check valve crack at, Pa, least and greatest: judgement of this project.
pub static OPENING_BANDS: [(&str, f64, f64); 2] = [
    ("elastomer flap or duckbill", 138.0, 1_034.0),
    ("spring poppet", 690.0, 3_447.0),
];

/// A check valve in front of a diffuser.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CheckValve {
    opening: f64,
    valve: Option<ControlValve>,
}

impl CheckValve {
    /// One that cracks at `opening` and takes no more than that when open.
    ///
    /// Refused: an opening that is negative or no number.
    pub fn new(opening: Pressure) -> Result<Self, Refusal> {
        Ok(CheckValve {
            opening: bound::pressure("opening pressure of the check valve", opening.value)?,
            valve: None,
        })
    }

    /// The same with a stated flow coefficient.
    pub fn with_valve(self, valve: ControlValve) -> Self {
        CheckValve {
            valve: Some(valve),
            ..self
        }
    }

    /// The pressure at which it cracks.
    pub fn opening(&self) -> Pressure {
        si::pascals(self.opening)
    }

    /// Its flow coefficient, where stated.
    pub fn valve(&self) -> Option<&ControlValve> {
        self.valve.as_ref()
    }
}
