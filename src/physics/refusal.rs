//! Input no equation can be fed with.
//!
//! A value outside an equation's range still gives a result, with a breach beside it.
//! This is for what gives none: a bore of nothing, a length that isn't a number. The
//! constructors of this room refuse it, so that the equations behind them needn't ask.

/// Why a constructor refused its input.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Refusal {
    /// The value isn't a number, or lies outside anything that could be built.
    OutOfBounds {
        /// The quantity in the words of the field.
        quantity: &'static str,
        /// What was given, in the unit named.
        value: f64,
        /// Least value that is taken.
        low: f64,
        /// Greatest value that is taken.
        high: f64,
        /// Unit of all three, SI, or empty for a plain number.
        unit: &'static str,
    },
    /// A list that needs at least one entry has none.
    Empty {
        /// What the list is of.
        of: &'static str,
    },
    /// Two points at the same place say different things.
    Repeated {
        /// What the points are of.
        of: &'static str,
        /// The place both claim, SI.
        at: f64,
    },
    /// A compressor's curve gives more air at a higher pressure, which has no single
    /// duty point.
    FlowRises {
        /// The gauge pressure at which flow has risen, Pa.
        at: f64,
    },
    /// A network that is larger or more deeply nested than is solved.
    TooLarge {
        /// What there is too much of.
        of: &'static str,
        /// The greatest number taken.
        most: usize,
    },
}

impl std::fmt::Display for Refusal {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Refusal::OutOfBounds {
                quantity,
                value,
                low,
                high,
                unit,
            } => {
                let space = if unit.is_empty() { "" } else { " " };
                write!(
                    f,
                    "{quantity} of {value}{space}{unit}: only {low} to {high}{space}{unit} can be calculated with"
                )
            }
            Refusal::Empty { of } => write!(f, "there is no {of}"),
            Refusal::Repeated { of, at } => {
                write!(f, "two points of the {of} stand at {at} and differ")
            }
            Refusal::FlowRises { at } => {
                let at = crate::units::show::significant(at / 1000.0, 3);
                write!(f, "flow rises with pressure at {at} kPa")
            }
            Refusal::TooLarge { of, most } => write!(f, "more than {most} {of}"),
        }
    }
}

impl std::error::Error for Refusal {}

/// `value`, if it is a number from `low` to `high`.
pub(super) fn bounded(
    quantity: &'static str,
    value: f64,
    low: f64,
    high: f64,
    unit: &'static str,
) -> Result<f64, Refusal> {
    // Written so that a value that isn't a number is refused as well.
    if value >= low && value <= high {
        Ok(value)
    } else {
        Err(Refusal::OutOfBounds {
            quantity,
            value,
            low,
            high,
            unit,
        })
    }
}

/// The bounds within which this room's constructors take a value. They are far wider
/// than anything built and narrow enough that no product of them overflows.
pub(super) mod bound {
    use super::{Refusal, bounded};
    use crate::units::quantity::{Length, ThermodynamicTemperature};

    /// Inside diameter: a hundredth of a millimetre to ten metres, in m.
    pub(crate) fn bore(bore: Length) -> Result<f64, Refusal> {
        bounded("bore", bore.value, 1e-5, 10.0, "m")
    }
    /// A run: nothing to a thousand kilometres, in m.
    pub(crate) fn length(length: Length) -> Result<f64, Refusal> {
        bounded("length", length.value, 0.0, 1e6, "m")
    }
    /// Temperature of flowing air, in K.
    pub(crate) fn temperature(temperature: ThermodynamicTemperature) -> Result<f64, Refusal> {
        bounded("temperature", temperature.value, 100.0, 1500.0, "K")
    }
    /// A pressure or a loss above nothing, in Pa.
    pub(crate) fn pressure(quantity: &'static str, pascals: f64) -> Result<f64, Refusal> {
        bounded(quantity, pascals, 0.0, 1e9, "Pa")
    }
    /// A flow of free air, in m3/s.
    pub(crate) fn free_air(quantity: &'static str, flow: f64) -> Result<f64, Refusal> {
        bounded(quantity, flow, 0.0, 1e4, "m3/s")
    }
    /// A plain factor above nothing.
    pub(crate) fn factor(quantity: &'static str, factor: f64) -> Result<f64, Refusal> {
        bounded(quantity, factor, 1e-6, 1e6, "")
    }
}
