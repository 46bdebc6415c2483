//! What a written flow of air means at a place: a volume at the inlet, or an amount.

use crate::catalog::{Compressor, Conditions, Figure};
use crate::physics::atmosphere;
use crate::units::Dimension;
use crate::units::quantity::{
    AbsolutePressure, AirAmount, FreeAir, GaugePressure, MassDensity, si,
};

/// The air around: where the package stands, or where a curve was taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Pressure.
    pub pressure: AbsolutePressure,
    /// Temperature, K.
    pub temperature: f64,
    /// Density of dry air there.
    pub density: MassDensity,
}

impl Air {
    /// Dry air at an altitude in m and a temperature in K.
    pub fn at(altitude: f64, temperature: f64) -> Air {
        let pressure = atmosphere::standard_pressure(si::metres(altitude)).value;
        let density = atmosphere::dry_air_density(pressure, si::kelvins(temperature));
        Air {
            pressure,
            temperature,
            density,
        }
    }

    /// The air a compressor's curve was taken in: 0 m and 20 degC unless stated.
    pub fn of_curve(conditions: &Conditions) -> Air {
        let stated =
            |figure: &Option<Box<Figure>>, usual: f64| figure.as_ref().map_or(usual, |f| f.si());
        Air::at(
            stated(&conditions.altitude, 0.0),
            stated(&conditions.temperature, 293.15),
        )
    }
}

/// A written flow as free air: a volume stays what it is, an amount takes the volume it has in
/// `air`. `standard` says that bare volumes are counted at reference conditions.
pub fn free_air(si_value: f64, dimension: Dimension, air: &Air, standard: bool) -> FreeAir {
    match dimension {
        Dimension::AirAmount => AirAmount::kilograms_per_second(si_value).free_air(air.density),
        _ if standard => FreeAir::cubic_metres_per_second(si_value)
            .amount(reference_density())
            .free_air(air.density),
        _ => FreeAir::cubic_metres_per_second(si_value),
    }
}

/// A written flow as an amount, where a volume is counted in `air`.
pub fn amount(si_value: f64, dimension: Dimension, air: &Air) -> AirAmount {
    match dimension {
        Dimension::AirAmount => AirAmount::kilograms_per_second(si_value),
        _ => FreeAir::cubic_metres_per_second(si_value).amount(air.density),
    }
}

/// Dry air in a cubic metre at the reference of `scfm`: 20 degC, 101.325 kPa.
pub fn reference_density() -> MassDensity {
    crate::physics::reference::STANDARD
        .state()
        .dry_density()
        .value
}

/// Whether a compressor counts bare volumes at reference conditions.
pub fn counts_standard(compressor: &Compressor) -> bool {
    compressor
        .flow_basis
        .known()
        .is_some_and(|word| word.text == "standard")
}

/// A written pressure as gauge pressure, where the air around has `ambient`.
pub fn gauge(figure: &Figure, ambient: AbsolutePressure) -> GaugePressure {
    gauge_of(figure.si(), figure.dimension(), ambient)
}

/// The same for one end of a figure.
pub fn gauge_of(si_value: f64, dimension: Dimension, ambient: AbsolutePressure) -> GaugePressure {
    match dimension {
        Dimension::AbsolutePressure => AbsolutePressure::pascals(si_value).over(ambient),
        _ => GaugePressure::pascals(si_value),
    }
}
