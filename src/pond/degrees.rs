//! Longitudes and latitudes of a pond in metres, and back.
//!
//! The map is the sinusoidal one on the ellipsoid of WGS 84, round the middle of the pond: areas are true everywhere,
//! and so are lengths along parallels and along the middle meridian; over a kilometre other lengths are less than a
//! thousandth off. `tests/published/pond_degrees.py` holds it to the geodesics of pyproj.
//!
//! Source: Snyder 1987, Map Projections: A Working Manual, USGS Professional Paper 1395, p. 248 (equations quoted from
//! memory).

use crate::units::math;

/// Equatorial radius of the ellipsoid of WGS 84, m; exact by definition.
const A: f64 = 6_378_137.0;
/// Its first eccentricity, squared: `f (2 - f)` with f = 1/298.257223563.
const E2: f64 = 0.006_694_379_990_141_317;
/// No pond is so wide in degrees, and none so narrow in metres: that tells the two apart.
const WIDEST: f64 = 0.5;

/// The middle of a pond, in radians.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Degrees {
    longitude: f64,
    latitude: f64,
}

/// Radius of the parallel and of the meridian at a latitude, m.
fn radii(latitude: f64) -> (f64, f64) {
    let sine = math::sin(latitude);
    let w = (1.0 - E2 * sine * sine).sqrt();
    let cosine = math::sin(std::f64::consts::FRAC_PI_2 - latitude);
    (A / w * cosine, A * (1.0 - E2) / (w * w * w))
}

impl Degrees {
    /// The middle of places that are longitudes and latitudes; nothing where they can't be, so are metres.
    pub fn of(places: &[[f64; 2]]) -> Option<Degrees> {
        let ends = |axis: usize| {
            let values = places.iter().map(move |place| place[axis]);
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| {
                (low.min(value), high.max(value))
            })
        };
        let ((mut west, mut east), (south, north)) = (ends(0), ends(1));
        // Beyond 180 degrees east they go on from 180 degrees west.
        if west < WIDEST - 180.0 && east > 180.0 - WIDEST {
            let longitudes = places.iter().map(|[longitude, _]| longitude);
            let (of_west, of_east): (Vec<f64>, Vec<f64>) = longitudes.partition(|one| **one < 0.0);
            west = of_east.into_iter().fold(f64::INFINITY, f64::min);
            east = of_west.into_iter().fold(f64::NEG_INFINITY, f64::max) + 360.0;
        }
        let are_degrees = -180.0 <= west
            && east <= 180.0 + WIDEST
            && -89.0 <= south
            && north <= 89.0
            && east - west < WIDEST
            && north - south < WIDEST;
        are_degrees.then(|| Degrees {
            longitude: f64::midpoint(west, east).to_radians(),
            latitude: f64::midpoint(south, north).to_radians(),
        })
    }

    /// A longitude and latitude as metres east and north of the middle.
    pub fn metres(self, [longitude, latitude]: [f64; 2]) -> [f64; 2] {
        let (longitude, latitude) = (longitude.to_radians(), latitude.to_radians());
        // So short an arc has the curvature of its middle.
        let (_, meridian) = radii(f64::midpoint(latitude, self.latitude));
        let (parallel, _) = radii(latitude);
        [
            parallel * turn(longitude - self.longitude),
            meridian * (latitude - self.latitude),
        ]
    }

    /// Metres east and north of the middle as longitude and latitude.
    pub fn degrees(self, [x, y]: [f64; 2]) -> [f64; 2] {
        let mut latitude = self.latitude;
        for _ in 0..3 {
            let (_, meridian) = radii(f64::midpoint(latitude, self.latitude));
            latitude = self.latitude + y / meridian;
        }
        let (parallel, _) = radii(latitude);
        [turn(self.longitude + x / parallel), latitude].map(f64::to_degrees)
    }
}

/// The same direction within half a turn.
fn turn(angle: f64) -> f64 {
    let whole = std::f64::consts::TAU;
    angle - whole * (angle / whole).round()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn metres_and_degrees_are_told_apart() {
        assert_eq!(Degrees::of(&[[0.0, 0.0], [40.0, 0.0], [40.0, 30.0]]), None);
        assert_eq!(
            Degrees::of(&[[412_000.0, 5_300_000.0], [412_000.3, 5_300_000.2]]),
            None
        );
        assert!(Degrees::of(&[[8.5, 47.1], [8.501, 47.1], [8.5, 47.1004]]).is_some());
    }

    #[test]
    fn there_and_back() {
        let boston = [[-71.06, 42.31], [-71.05, 42.32], [-71.055, 42.3]];
        let across_the_date_line = [[179.9995, -17.0], [-179.999, -17.001], [-179.9995, -17.002]];
        for places in [boston, across_the_date_line] {
            let middle = Degrees::of(&places).unwrap();
            for place in places {
                let there = middle.metres(place);
                assert!(there.iter().all(|one| one.abs() < 1500.0), "{there:?}");
                let back = middle.degrees(there);
                assert!((back[0] - place[0]).abs() < 1e-9 && (back[1] - place[1]).abs() < 1e-9);
            }
        }
    }
}
