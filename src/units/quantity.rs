//! What the engine calculates with.
//!
//! Plain quantities are those of `uom`, so a length can't be added to an area. Three
//! things `uom` can't tell apart are kept apart here, because confusing them is how
//! this trade goes wrong:
//!
//! | type | what it is |
//! | --- | --- |
//! | [`GaugePressure`] | pressure above the air around, what a gauge at the manifold reads |
//! | [`AbsolutePressure`] | pressure above vacuum |
//! | `Pressure` | a difference: a loss, a head |
//! | [`FreeAir`] | volume of air each second at the compressor's inlet |
//! | [`AirAmount`] | mass of dry air each second: what `scfm` and `Nm3/h` count |
//!
//! Constructors and getters take and give SI base units.

use std::ops::{Add, Div, Mul, Sub};

pub use uom::si::f64::{
    Area, DynamicViscosity, ElectricCurrent, ElectricPotential, Energy, Frequency, Length,
    LinearMassDensity, Mass, MassDensity, MassRate, Power, Pressure, ThermodynamicTemperature,
    Time, Velocity, Volume, VolumeRate,
};

/// Short constructors from SI base units, so that an equation reads like its source.
pub mod si {
    use super::*;
    use uom::si::{
        area::square_meter, dynamic_viscosity::pascal_second, length::meter, mass::kilogram,
        mass_density::kilogram_per_cubic_meter, mass_rate::kilogram_per_second, power::watt,
        pressure::pascal, thermodynamic_temperature::kelvin, time::second,
        velocity::meter_per_second, volume::cubic_meter, volume_rate::cubic_meter_per_second,
    };

    /// A length in m.
    pub fn metres(x: f64) -> Length {
        Length::new::<meter>(x)
    }
    /// An area in m2.
    pub fn square_metres(x: f64) -> Area {
        Area::new::<square_meter>(x)
    }
    /// A volume in m3.
    pub fn cubic_metres(x: f64) -> Volume {
        Volume::new::<cubic_meter>(x)
    }
    /// A volume flow in m3/s.
    pub fn cubic_metres_per_second(x: f64) -> VolumeRate {
        VolumeRate::new::<cubic_meter_per_second>(x)
    }
    /// A mass flow in kg/s.
    pub fn kilograms_per_second(x: f64) -> MassRate {
        MassRate::new::<kilogram_per_second>(x)
    }
    /// A mass in kg.
    pub fn kilograms(x: f64) -> Mass {
        Mass::new::<kilogram>(x)
    }
    /// A density in kg/m3.
    pub fn kilograms_per_cubic_metre(x: f64) -> MassDensity {
        MassDensity::new::<kilogram_per_cubic_meter>(x)
    }
    /// A pressure difference in Pa.
    pub fn pascals(x: f64) -> Pressure {
        Pressure::new::<pascal>(x)
    }
    /// A viscosity in Pa s.
    pub fn pascal_seconds(x: f64) -> DynamicViscosity {
        DynamicViscosity::new::<pascal_second>(x)
    }
    /// A temperature in K.
    pub fn kelvins(x: f64) -> ThermodynamicTemperature {
        ThermodynamicTemperature::new::<kelvin>(x)
    }
    /// A temperature from degrees Celsius.
    pub fn celsius(x: f64) -> ThermodynamicTemperature {
        kelvins(x + 273.15)
    }
    /// A power in W.
    pub fn watts(x: f64) -> Power {
        Power::new::<watt>(x)
    }
    /// A time in s.
    pub fn seconds(x: f64) -> Time {
        Time::new::<second>(x)
    }
    /// A speed in m/s.
    pub fn metres_per_second(x: f64) -> Velocity {
        Velocity::new::<meter_per_second>(x)
    }
}

/// Pressure above the air around.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct GaugePressure(Pressure);

/// Pressure above vacuum.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AbsolutePressure(Pressure);

impl GaugePressure {
    /// From Pa above the air around.
    pub fn pascals(x: f64) -> Self {
        Self(si::pascals(x))
    }
    /// In Pa above the air around.
    pub fn value(self) -> f64 {
        self.0.value
    }
    /// The same pressure counted from vacuum, where the air around has `ambient`.
    pub fn above(self, ambient: AbsolutePressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + ambient.0)
    }
    /// As a difference from the air around.
    pub fn difference(self) -> Pressure {
        self.0
    }
}

impl AbsolutePressure {
    /// From Pa.
    pub fn pascals(x: f64) -> Self {
        Self(si::pascals(x))
    }
    /// In Pa.
    pub fn value(self) -> f64 {
        self.0.value
    }
    /// What a gauge reads where the air around has `ambient`.
    pub fn over(self, ambient: AbsolutePressure) -> GaugePressure {
        GaugePressure(self.0 - ambient.0)
    }
}

impl From<Pressure> for GaugePressure {
    /// A difference from the air around is what a gauge shows.
    fn from(difference: Pressure) -> Self {
        Self(difference)
    }
}

impl Add<Pressure> for AbsolutePressure {
    type Output = AbsolutePressure;
    fn add(self, loss: Pressure) -> AbsolutePressure {
        AbsolutePressure(self.0 + loss)
    }
}

impl Sub<AbsolutePressure> for AbsolutePressure {
    type Output = Pressure;
    fn sub(self, other: AbsolutePressure) -> Pressure {
        self.0 - other.0
    }
}

impl Add<Pressure> for GaugePressure {
    type Output = GaugePressure;
    fn add(self, loss: Pressure) -> GaugePressure {
        GaugePressure(self.0 + loss)
    }
}

impl Sub<GaugePressure> for GaugePressure {
    type Output = Pressure;
    fn sub(self, other: GaugePressure) -> Pressure {
        self.0 - other.0
    }
}

/// Volume of air each second at the compressor's inlet conditions.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct FreeAir(VolumeRate);

/// Mass of dry air each second.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct AirAmount(MassRate);

impl FreeAir {
    /// From m3/s at the inlet.
    pub fn cubic_metres_per_second(x: f64) -> Self {
        Self(si::cubic_metres_per_second(x))
    }
    /// In m3/s at the inlet.
    pub fn value(self) -> f64 {
        self.0.value
    }
    /// How much air that is, where the inlet air has `density` (dry air in a m3 of it).
    pub fn amount(self, density: MassDensity) -> AirAmount {
        AirAmount(self.0 * density)
    }
}

impl AirAmount {
    /// From kg/s.
    pub fn kilograms_per_second(x: f64) -> Self {
        Self(si::kilograms_per_second(x))
    }
    /// In kg/s.
    pub fn value(self) -> f64 {
        self.0.value
    }
    /// The volume it has at an inlet whose air has `density`.
    pub fn free_air(self, density: MassDensity) -> FreeAir {
        FreeAir(self.0 / density)
    }
}

/// What every quantity of this page can do with itself and with a plain factor.
macro_rules! arithmetic {
    ($($kind:ident),*) => {$(
        impl Mul<f64> for $kind {
            type Output = $kind;
            fn mul(self, factor: f64) -> $kind { $kind(self.0 * factor) }
        }
        impl Div<f64> for $kind {
            type Output = $kind;
            fn div(self, divisor: f64) -> $kind { $kind(self.0 / divisor) }
        }
        impl Div for $kind {
            type Output = f64;
            fn div(self, other: $kind) -> f64 { self.value() / other.value() }
        }
    )*};
}
arithmetic!(FreeAir, AirAmount, GaugePressure, AbsolutePressure);

macro_rules! sums {
    ($($kind:ident),*) => {$(
        impl Add for $kind {
            type Output = $kind;
            fn add(self, other: $kind) -> $kind { $kind(self.0 + other.0) }
        }
        impl Sub for $kind {
            type Output = $kind;
            fn sub(self, other: $kind) -> $kind { $kind(self.0 - other.0) }
        }
    )*};
}
sums!(FreeAir, AirAmount);

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_counts_from_the_air_around() {
        let ambient = AbsolutePressure::pascals(100_000.0);
        let gauge = GaugePressure::pascals(20_000.0);
        assert_eq!(gauge.above(ambient).value(), 120_000.0);
        assert_eq!(gauge.above(ambient).over(ambient), gauge);
    }

    #[test]
    fn free_air_and_amount_meet_in_a_density() {
        let density = si::kilograms_per_cubic_metre(1.2);
        let free = FreeAir::cubic_metres_per_second(0.001);
        assert_eq!(free.amount(density).value(), 0.0012);
        assert!((free.amount(density).free_air(density) / free - 1.0).abs() < 1e-15);
    }
}
