//! How often the lifted water amounts to the whole pond.

use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Area, Frequency, Length, Volume, VolumeRate, si};

/// The shape of a basin below its shoreline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Basin {
    /// Upright walls and a flat bottom.
    Box,
    /// Depth `H (1 - (r/R)^m)`: a cone at exponent 1, a bowl at 2, nearly flat when
    /// great.
    Round {
        /// `m` of the formula.
        exponent: f64,
    },
    /// A square dug out with sloping sides and a flat bottom.
    Square {
        /// Side of the water's surface.
        side: Length,
        /// Greatest depth.
        depth: Length,
        /// Metres across for each metre down.
        slope: f64,
    },
}

/// Mean over greatest depth.
pub static MEAN_DEPTH: Equation = Equation {
    name: "mean over greatest depth",
    formula: "m / (m + 2); (1 + p + p^2) / 3 with p = 1 - 2 s H / L",
    source: "volume of a solid of revolution and of a frustum; exact geometry",
    mark: Mark::Exact,
    ranges: &[BOTTOM],
};

/// A slope that meets itself before the depth is reached leaves no bottom.
const BOTTOM: Range = Range {
    quantity: "side of the bottom over side of the surface",
    low: 0.0,
    high: 1.0,
    unit: "",
};

/// Mean depth of a basin over its greatest depth.
///
/// - Box: 1. Round: `m / (m + 2)`, so 1/3 for a cone, 1/2 for a bowl.
/// - Square with sides sloping `s` across to one down: `(1 + p + p^2) / 3` with
///   `p = 1 - 2 s H / L`, the bottom's side over the surface's `L`. Sides that meet
///   before `H` count as a pyramid, 1/3, with a breach.
/// - Where only an area and a greatest depth are stated, farm practice takes 0.4 (NRCS
///   Agriculture Handbook 590, from memory); the ranges are assumptions, elsewhere.
/// - Check value: a quarter of an acre, 6 ft deep, sides 3 to 1: 0.6947.
/// - Never below 0 or above 1; what isn't a number gives 0 and a breach.
pub fn mean_depth_ratio(basin: Basin) -> Checked<f64> {
    let (value, breach) = match basin {
        Basin::Box => (1.0, None),
        Basin::Round { exponent } if exponent == f64::INFINITY => (1.0, None),
        Basin::Round { exponent } if exponent > 0.0 => (exponent / (exponent + 2.0), None),
        Basin::Round { .. } => (0.0, BOTTOM.check(&MEAN_DEPTH, f64::NAN)),
        Basin::Square { side, depth, slope } => {
            let p = 1.0 - 2.0 * slope * depth.value / side.value;
            let breach = BOTTOM.check(&MEAN_DEPTH, p);
            let p = if p.is_nan() {
                None
            } else {
                Some(p.clamp(0.0, 1.0))
            };
            (p.map_or(0.0, |p| (1.0 + p + p * p) / 3.0), breach)
        }
    };
    Checked {
        value,
        breaches: breach.into_iter().collect(),
    }
}

/// Volume of a pond: `A H r`, with `r` the mean over the greatest depth `H`.
///
/// - Check value: a quarter of an acre, 6 ft, `r` 0.5: 925.1 m3.
pub fn volume(area: Area, depth: Length, mean_depth_ratio: f64) -> Volume {
    area * depth * mean_depth_ratio
}

/// How often a pond is lifted through.
pub static TURNOVER: Equation = Equation {
    name: "turnovers",
    formula: "n = Q / V; A = Q / (n r H)",
    source: "definition; lifted water that circles near the plume counts each time, so n is the \
             most that the basin's own exchange can be",
    mark: Mark::Exact,
    ranges: &[],
};

/// How often lifted water amounts to the pond's volume, 1/s.
///
/// `n = Q / V`. Some of the lifted water is back at the plume before it has seen the
/// basin, so this is the most that the true exchange can be, and it must never alone
/// support an area.
///
/// - Check value: 98.14 L/s in 925.1 m3: 9.17 a day.
/// - `None` without a volume.
pub fn turnover_rate(water: VolumeRate, volume: Volume) -> Option<Frequency> {
    let rate: Frequency = water / volume;
    (volume.value > 0.0 && rate.value.is_finite() && rate.value >= 0.0).then_some(rate)
}

/// Greatest area of a pond that lifted water turns over as often as needed.
///
/// `A = Q / (n r H)`.
///
/// - `Q` water of all plumes together, m3/s; `n` turnovers needed, 1/s; `r` mean over
///   greatest depth; `H` greatest depth, m.
/// - Check value: 98.14 L/s, once a day, `r` 0.5, 1.8288 m: 2.29 acres.
/// - No water serves no area. `None` where nothing is needed or nothing is deep.
pub fn turnover_area(
    water: VolumeRate,
    needed: Frequency,
    mean_depth_ratio: f64,
    depth: Length,
) -> Option<Area> {
    let area = water.value / (needed.value * mean_depth_ratio * depth.value);
    (area.is_finite() && area >= 0.0).then(|| si::square_metres(area))
}

/// Turnovers a day as a frequency.
pub fn a_day(turnovers: f64) -> Frequency {
    Frequency::new::<uom::si::frequency::hertz>(turnovers / 86_400.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_square_with_upright_sides_is_a_box_and_a_closed_one_a_pyramid() {
        let square = |slope| {
            mean_depth_ratio(Basin::Square {
                side: si::metres(20.0),
                depth: si::metres(2.0),
                slope,
            })
        };
        assert_eq!(square(0.0).value, 1.0);
        assert!((square(5.0).value - 1.0 / 3.0).abs() < 1e-15);
        assert!(square(5.0).breaches.is_empty());
        assert_eq!(square(6.0).breaches.len(), 1);
        assert_eq!(square(f64::NAN).value, 0.0);
    }

    #[test]
    fn round_basins() {
        for (exponent, ratio) in [(1.0, 1.0 / 3.0), (2.0, 0.5), (4.0, 2.0 / 3.0)] {
            assert_eq!(mean_depth_ratio(Basin::Round { exponent }).value, ratio);
        }
        assert_eq!(mean_depth_ratio(Basin::Box).value, 1.0);
        let none = mean_depth_ratio(Basin::Round { exponent: -1.0 });
        assert_eq!((none.value, none.breaches.len()), (0.0, 1));
    }

    #[test]
    fn nothing_turns_over_nothing() {
        let still = si::cubic_metres_per_second(0.0);
        assert_eq!(
            turnover_area(still, a_day(1.0), 0.5, si::metres(2.0)).unwrap(),
            si::square_metres(0.0)
        );
        assert!(turnover_area(still, a_day(0.0), 0.5, si::metres(2.0)).is_none());
        assert!(turnover_rate(still, si::cubic_metres(0.0)).is_none());
    }
}
