//! What lies on the bottom: whether its mass holds it there when it is full of air.

use crate::catalog::{Airline, Diffuser, Figure};
use crate::physics::head;
use crate::physics::hose::{HoseSize, LINE_AIR};
use crate::units::quantity::si;

use super::laying;

/// Mass against the water it takes the place of, per metre of a line or for a whole diffuser.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sinking {
    /// Mass of the thing, kg or kg/m.
    pub mass: f64,
    /// Mass of the water it displaces, kg or kg/m.
    pub displaced: f64,
    /// What is left to hold it down; below 0 it floats.
    pub net: f64,
    /// The same at the ends of the figures' rounding that hold it down best.
    pub best: f64,
}

/// A line full of air, in water of `water` K; nothing where a figure isn't stated, or the wall has no
/// thickness.
pub fn line(part: &Airline, water: f64) -> Option<Sinking> {
    let density = head::water_density(si::kelvins(water)).value;
    let air = si::kilograms_per_cubic_metre(LINE_AIR);
    let bore = si::metres(laying::bore(part).ok()?);
    let (mass, outside) = (part.mass_per_length.known()?, part.outside.known()?);
    let net = |mass: f64, outside: f64| {
        let size = HoseSize::new(bore, si::metres(outside)).ok()?;
        let mass = si::kilograms(mass) / si::metres(1.0);
        let net = size.weight_in_water(mass, air, density).value.value;
        Some((net, size.displaced(density).value))
    };
    let (central, displaced) = net(mass.si(), outside.si())?;
    let (best, _) = net(mass.quantity.rounding().1, outside.quantity.rounding().0)?;
    Some(Sinking {
        mass: mass.si(),
        displaced,
        net: central,
        best: best.max(central),
    })
}

/// A diffuser while it runs; nothing where its mass or volume isn't stated.
pub fn diffuser(part: &Diffuser, water: f64) -> Option<Sinking> {
    let density = head::water_density(si::kelvins(water)).value.value;
    let (mass, volume): (&Figure, &Figure) =
        (part.entry.identity.mass.known()?, part.volume.known()?);
    let displaced = volume.si() * density;
    Some(Sinking {
        mass: mass.si(),
        displaced,
        net: mass.si() - displaced,
        best: mass.quantity.rounding().1 - volume.quantity.rounding().0 * density,
    })
}
