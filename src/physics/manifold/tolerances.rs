//! How far things as laid are from things as listed.
//!
//! A tolerance is a factor, and enters the equations as a factor on their coefficients. So a
//! manifold is worked out once, at factors of one, and another set of tolerances costs a
//! handful of multiplications.

use crate::physics::diffuser::DiffuserLoss;
use crate::physics::network::Element;
use crate::physics::refusal::{Refusal, bound, bounded};
use crate::units::quantity::{Pressure, si};

/// What one calculation assumes of everything on a manifold.
#[derive(Debug, Clone, PartialEq)]
pub struct Tolerances {
    /// Factor on every machine's flow.
    pub flow: f64,
    /// Whether machines keep their pressure ratios at another altitude, and not their gauge
    /// pressures; for those that know where their curve was taken.
    pub keeps_ratio: bool,
    /// Factor on every bore.
    pub bore: f64,
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
            flow: 1.0,
            keeps_ratio: true,
            bore: 1.0,
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
    bore: f64,
    friction: f64,
    fittings: f64,
    /// 1 / bore and 1 / bore⁴.
    narrower: (f64, f64),
}

impl Scale {
    pub(super) fn of(tolerances: &Tolerances) -> Result<Scale, Refusal> {
        let bore = bound::factor("factor on the bore", tolerances.bore)?;
        let inverse = 1.0 / bore;
        let square = inverse * inverse;
        Ok(Scale {
            bore,
            friction: bound::factor("factor on friction", tolerances.friction)?,
            fittings: bounded("number of barbs", tolerances.fittings, 0.0, 1e4, "")?,
            narrower: (inverse, square * square),
        })
    }

    pub(super) fn has_barbs(&self) -> bool {
        self.fittings > 0.0
    }

    /// An element as it is laid.
    pub(super) fn element(&self, element: Element) -> Element {
        let (inverse, fourth) = self.narrower;
        match element {
            Element::Line(line) => {
                Element::Line(line.scaled(self.bore, inverse, fourth, self.friction))
            }
            Element::Fitting(loss) => Element::Fitting(loss.scaled(self.fittings, inverse, fourth)),
            Element::Valve(valve) => Element::Valve(valve),
        }
    }
}
