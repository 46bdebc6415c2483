//! Speed of the water along the surface: a second look at a diffuser's reach.
//!
//! Advice only. What speed still counts as stirred is anybody's choice, so the figure
//! decides nothing; it caps a reach where there is very little air.

use super::plume::MomentumFlux;
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Length, Velocity, si};
use std::f64::consts::PI;

/// Speed of a radial jet along the surface.
pub static SURFACE_JET: Equation = Equation {
    name: "speed along the surface",
    formula: "u = sqrt(eta M) / (r sqrt(2 pi sqrt(pi/8) s))",
    source: "radial jet that keeps its momentum, Gaussian below the surface, growth of a radial wall \
             jet after Rajaratnam 1976, Turbulent Jets (from memory); derived by this project",
    mark: Mark::Judgement,
    ranges: &[KEPT],
};

/// Momentum left after the turn at the surface.
const KEPT: Range = Range {
    quantity: "share of momentum kept",
    low: 0.5,
    high: 1.0,
    unit: "",
};

/// Thickness of the jet over radius: the deviation for which a Gaussian falls to half at
/// 0.09 of the radius would be 0.0764; as `exp(-(y/d)^2)` takes it, `d` is 0.108.
const THICKNESS: f64 = 0.108;

/// `u r / sqrt(eta M)`: 1.533.
fn factor() -> f64 {
    // The jet carries 2 pi r u^2 times the integral of exp(-2 (y/d)^2) from the surface
    // down, which is d sqrt(pi/8).
    1.0 / (2.0 * PI * (PI / 8.0).sqrt() * THICKNESS).sqrt()
}

/// Speed along the surface at a distance from the plume.
///
/// The plume's momentum `M` turns outward and loses all but the share `eta`; the jet
/// thickens with the radius, `d = 0.108 r`, and keeps its momentum, so
/// `u = sqrt(eta M) / (r sqrt(2 pi sqrt(pi/8) 0.108)) = 1.533 sqrt(eta M) / r`.
///
/// - `M` momentum flux over density at the surface, m4/s2; `r` distance, m.
/// - Range: `eta` 0.5 to 1, 0.8 in the middle (judgement); three depths or more away.
/// - Check value: 1.25 standard cubic feet a minute at 6 ft, `eta` 0.8: 1 cm/s at 15.6 m.
/// - `None` at no distance.
pub fn speed_at(momentum: MomentumFlux, kept: f64, distance: Length) -> Option<Checked<Velocity>> {
    let speed = factor() * (kept * momentum.value()).sqrt() / distance.value;
    (speed.is_finite() && speed >= 0.0).then(|| Checked {
        value: si::metres_per_second(speed),
        breaches: KEPT.check(&SURFACE_JET, kept).into_iter().collect(),
    })
}

/// Distance from the plume at which the surface water has slowed to a speed: [`speed_at`]
/// the other way round. `None` for no speed, which is reached nowhere.
pub fn distance_of(momentum: MomentumFlux, kept: f64, speed: Velocity) -> Option<Checked<Length>> {
    let distance = factor() * (kept * momentum.value()).sqrt() / speed.value;
    (distance.is_finite() && distance >= 0.0).then(|| Checked {
        value: si::metres(distance),
        breaches: KEPT.check(&SURFACE_JET, kept).into_iter().collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_jet_carries_its_momentum_at_any_distance() {
        let momentum = MomentumFlux::new(0.0128);
        for r in [3.0, 20.0] {
            let u = speed_at(momentum, 1.0, si::metres(r)).unwrap().value.value;
            let thickness = THICKNESS * r;
            let slices = 4000;
            let dy = 6.0 * thickness / f64::from(slices);
            let carried: f64 = (0..slices)
                .map(|i| {
                    let y = (f64::from(i) + 0.5) * dy;
                    let local = u * crate::units::math::exp(-(y / thickness) * (y / thickness));
                    2.0 * PI * r * local * local * dy
                })
                .sum();
            assert!((carried / momentum.value() - 1.0).abs() < 1e-6, "{carried}");
        }
        assert!((factor() - 1.533).abs() < 5e-4);
    }

    #[test]
    fn a_jet_as_thick_as_the_wall_jets_half_width() {
        // Half the speed at 0.09 of the radius.
        let half = crate::units::math::exp(-(0.09 / THICKNESS) * (0.09 / THICKNESS));
        assert!((half - 0.5).abs() < 0.002, "{half}");
    }

    #[test]
    fn nowhere_and_nothing() {
        let momentum = MomentumFlux::new(0.01);
        assert!(speed_at(momentum, 0.8, si::metres(0.0)).is_none());
        assert!(distance_of(momentum, 0.8, si::metres_per_second(0.0)).is_none());
        let still = MomentumFlux::new(0.0);
        let distance = distance_of(still, 0.8, si::metres_per_second(0.01)).unwrap();
        assert_eq!(distance.value.value, 0.0);
    }
}
