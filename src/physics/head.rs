//! Weight of the water over a diffuser.
//!
//! The depth that counts is that of the surface where the bubbles leave, not of the
//! bottom. The air's own weight in the line (45 Pa at 3 m) and the water's
//! compressibility (5 parts in 100 000 at 10 m) are left out.

use super::atmosphere::GRAVITY;
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Length, MassDensity, Pressure, ThermodynamicTemperature, si};

/// Density of fresh water.
///
/// `rho = (999.83952 + 16.945176 t − 7.9870401e-3 t² − 46.170461e-6 t³
///         + 105.56302e-9 t⁴ − 280.54253e-12 t⁵) / (1 + 16.879850e-3 t)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | t | temperature | °C |
/// | rho | density at 1 atm | kg/m3 |
///
/// Held against CoolProp and gsw within 0.01 kg/m3 from 0 to 30 °C.
/// Check: 15 °C gives 999.10 kg/m3.
pub static WATER_DENSITY: Equation = Equation {
    name: "density of fresh water",
    formula: "rho = (999.83952 + 16.945176 t - 7.9870401e-3 t2 - 46.170461e-6 t3 + 105.56302e-9 t4 - 280.54253e-12 t5)/(1 + 16.879850e-3 t)",
    source: "Kell, Density, thermal expansivity, and compressibility of liquid water, J. Chem. Eng. Data 20 (1975), no. 1 (coefficients read in public codes that cite it); held against CoolProp 8.0.0 and gsw 3.6.23",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "temperature",
        low: 273.15,
        high: 313.15,
        unit: "K",
    }],
};

/// Density of fresh water at a temperature; see [`WATER_DENSITY`].
pub fn water_density(temperature: ThermodynamicTemperature) -> Checked<MassDensity> {
    let t = temperature.value - 273.15;
    // The same polynomial nested, which costs five products.
    let top = 999.839_52
        + t * (16.945_176
            + t * (-7.987_040_1e-3
                + t * (-46.170_461e-6 + t * (105.563_02e-9 - t * 280.542_53e-12))));
    let density = top / (1.0 + 16.879_850e-3 * t);
    WATER_DENSITY.checked(&[temperature.value], si::kilograms_per_cubic_metre(density))
}

/// Pressure under a column of water.
///
/// `dp = rho g h`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | rho | density of the water | kg/m3 |
/// | g | 9.80665 | m/s2 |
/// | h | depth at which the bubbles leave | m |
/// | dp | gauge pressure there | Pa |
///
/// The trade's 0.4335 psi for a foot is the value at 4 °C; over 0 to 30 °C it is at
/// most 0.4 % off. Altitude doesn't change it, but does change the pressure *ratio*.
/// Check: 10 ft at 15 °C gives 4.3314 psi. The upper end of the range is where the
/// water's own compressibility reaches 0.05 %.
pub static WATER_HEAD: Equation = Equation {
    name: "hydrostatic head",
    formula: "dp = rho g h",
    source: "hydrostatics",
    mark: Mark::Exact,
    ranges: &[Range {
        quantity: "depth",
        low: 0.0,
        high: 100.0,
        unit: "m",
    }],
};

/// Pressure under `depth` of water; see [`WATER_HEAD`].
pub fn water_head(density: MassDensity, depth: Length) -> Checked<Pressure> {
    let head = weight_over(density, depth);
    WATER_HEAD.checked(&[depth.value], si::pascals(head))
}

/// The same in Pa, of a depth that was checked.
pub(super) fn weight_over(density: MassDensity, depth: Length) -> f64 {
    density.value * GRAVITY * depth.value
}

/// Depth of water whose weight a pressure holds: [`WATER_HEAD`] the other way.
pub fn depth_for_head(density: MassDensity, head: Pressure) -> Length {
    si::metres(head.value / (density.value * GRAVITY))
}
