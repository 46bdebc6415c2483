//! How far things as laid are from things as listed.
//!
//! A tolerance is a factor, and enters the equations as a factor on their coefficients. So a
//! manifold is worked out once, at factors of one, and another set of tolerances costs a
//! handful of multiplications.

use crate::physics::diffuser::DiffuserLoss;
use crate::physics::network::Element;
use crate::physics::refusal::{Refusal, bound, bounded};
use crate::units::quantity::{Pressure, si};

/// How the bore of a line is known.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Bore {
    /// Somebody measured it.
    Measured,
    /// It is the size the line is sold by.
    Nominal,
}

/// What one calculation assumes of everything on a manifold.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerances {
    /// Factor on the density of the inlet air: warm and moist.
    pub inlet_density: f64,
    /// Factor on every machine's flow.
    pub flow: f64,
    /// At another altitude than its curve's a machine keeps its pressure ratios (0), its gauge
    /// pressures (1), or something between; for those that know where their curve was taken.
    pub keeps_gauge: f64,
    /// Factor on every measured bore.
    pub bore: f64,
    /// Factor on every nominal bore.
    pub nominal_bore: f64,
    /// Factor on friction in every line.
    pub friction: f64,
    /// Number of each fitting.
    pub fittings: f64,
    /// Factor on every stated diffuser loss.
    pub loss: f64,
    /// The loss of diffusers that state none.
    pub unstated_loss: DiffuserLoss,
    /// What a check valve cracks at that doesn't state it.
    pub unstated_opening: Pressure,
}

impl Tolerances {
    /// Everything as listed, with a default's central loss and check valves that state
    /// nothing cracking at nothing.
    ///
    /// # Errors
    /// Never: a factor of one can be built with.
    pub fn none() -> Result<Tolerances, Refusal> {
        Ok(Tolerances {
            inlet_density: 1.0,
            flow: 1.0,
            keeps_gauge: 0.0,
            bore: 1.0,
            nominal_bore: 1.0,
            friction: 1.0,
            fittings: 1.0,
            loss: 1.0,
            unstated_loss: DiffuserLoss::default_times(1.0)?,
            unstated_opening: si::pascals(0.0),
        })
    }
}

/// Tolerances on elements, ready to be multiplied with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Scale {
    measured: BoreScale,
    nominal: BoreScale,
    friction: f64,
    fittings: f64,
}

/// A factor on a bore.
#[derive(Debug, Clone, Copy, PartialEq)]
struct BoreScale {
    factor: f64,
    /// One over it.
    inverse: f64,
    /// One over its fourth power.
    fourth: f64,
}

impl BoreScale {
    fn of(factor: f64) -> Result<BoreScale, Refusal> {
        let factor = bound::factor("factor on the bore", factor)?;
        let inverse = 1.0 / factor;
        let square = inverse * inverse;
        Ok(BoreScale {
            factor,
            inverse,
            fourth: square * square,
        })
    }
}

impl Scale {
    pub(super) fn of(tolerances: &Tolerances) -> Result<Scale, Refusal> {
        Ok(Scale {
            measured: BoreScale::of(tolerances.bore)?,
            nominal: BoreScale::of(tolerances.nominal_bore)?,
            friction: bound::factor("factor on friction", tolerances.friction)?,
            fittings: bounded("number of barbs", tolerances.fittings, 0.0, 1e4, "")?,
        })
    }

    pub(super) fn has_fittings(&self) -> bool {
        self.fittings > 0.0
    }

    /// An element as it is laid, a line `times` as long.
    pub(super) fn element(&self, element: Element, bore: Bore, times: f64) -> Element {
        let bore = match bore {
            Bore::Measured => &self.measured,
            Bore::Nominal => &self.nominal,
        };
        let (inverse, fourth) = (bore.inverse, bore.fourth);
        match element {
            Element::Line(line) => {
                let length = inverse * self.friction * times;
                Element::Line(line.scaled(bore.factor, inverse, fourth, (length, times)))
            }
            Element::Fitting(loss) => Element::Fitting(loss.scaled(self.fittings, inverse, fourth)),
            Element::Valve(valve) => Element::Valve(valve),
        }
    }
}
