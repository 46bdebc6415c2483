//! How far from a diffuser the water is stirred, and the area that makes.
//!
//! The rising water spreads along the surface, sinks some depths away and comes back
//! along the bottom. The length of that cell over the depth is the *reach per depth*,
//! `k`. It needs no plume, which makes it the sturdiest figure of the water side.

use super::{Breach, Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Area, Length, si};
use std::f64::consts::PI;

/// The area that diffusers reach.
pub static REACH_AREA: Equation = Equation {
    name: "area reached by the diffusers",
    formula: "A = f pi k^2 sum(H^2)",
    source: "lengths of circulation cells, 2.5 to 7 depths for line plumes: Riess & Fannelop \
             1998, J. Hydraul. Eng. 124(9):932-940 (abstract); carried over to round plumes, and \
             from 7 to 10, by judgement of this project",
    mark: Mark::Published,
    ranges: &[REACH_PER_DEPTH, DEPTH, COVERAGE],
};

/// Published from 2.5 to 7; to 10 is an allowance for round plumes and for what little
/// layering helps the surface flow on.
const REACH_PER_DEPTH: Range = Range {
    quantity: "reach per depth",
    low: 2.5,
    high: 10.0,
    unit: "",
};
const DEPTH: Range = Range {
    quantity: "depth",
    low: 0.9,
    high: 10.1,
    unit: "m",
};
/// From circles on a square grid's inside to the circles' whole area.
const COVERAGE: Range = Range {
    quantity: "coverage",
    low: 2.0 / PI,
    high: 1.0,
    unit: "",
};

/// Longest circulation cell in the published range, in depths.
pub const LONGEST_PUBLISHED_CELL: f64 = 7.0;
/// Shortest circulation cell in the published range, in depths.
pub const SHORTEST_PUBLISHED_CELL: f64 = 2.5;

/// Share of their own area that equal circles serve when they must cover a square grid
/// without a gap: 2/pi, exact.
pub const SQUARE_COVERAGE: f64 = 2.0 / PI;
/// The same on a hexagonal grid, the best there is: 3 sqrt(3) / (2 pi), exact.
pub const HEXAGONAL_COVERAGE: f64 = 0.826_993_343_132_688_1;

/// Area that diffusers reach, each at its own depth.
///
/// `A = f pi k^2 sum(H^2)`: each stirs a circle of `k` times its depth, and `f` of the
/// circles' area counts.
///
/// - `k` reach per depth; `f` coverage: 2/pi on a square grid, 0.827 on a hexagonal one,
///   1 where circles are counted as area, as the trade does; `H` each diffuser's depth, m.
/// - Range: `k` 2.5 to 10, depth 0.9 to 10 m. The published lengths are those of *line*
///   plumes; none was found for round plumes in shallow water.
/// - Air doesn't appear: more air stirs faster, not farther, as long as the plume
///   carries water at all (see [`super::surface_velocity`] for very little air).
/// - Check value: one diffuser at 1.8288 m, `k` 7, `f` 1: 514.8 m2, 0.1272 acre.
/// - A depth of zero adds nothing; one that isn't a number adds nothing and is a breach.
pub fn reach_area(depths: &[Length], coverage: f64, reach_per_depth: f64) -> Checked<Area> {
    let mut breaches = depth_breaches(depths);
    breaches.extend(COVERAGE.check(&REACH_AREA, coverage));
    breaches.extend(REACH_PER_DEPTH.check(&REACH_AREA, reach_per_depth));
    let value = coverage * PI * reach_per_depth * reach_per_depth * sum_of_squares(depths);
    Checked {
        value: si::square_metres(if value.is_finite() && value > 0.0 {
            value
        } else {
            0.0
        }),
        breaches,
    }
}

/// Reach per depth that diffusers would need to serve an area.
///
/// `k = sqrt(A / (f pi sum(H^2)))`, [`reach_area`] the other way round. It is to be held
/// against 2.5, 7 and 10.
///
/// - Check value: an eighth of an acre, one diffuser at 6 ft, `f` 1: 6.939.
/// - `None` where no diffuser has any depth: nothing reaches anything.
/// - The answer itself is never a breach: being too great is what it is asked for.
pub fn reach_per_depth_needed(
    area: Area,
    depths: &[Length],
    coverage: f64,
) -> Option<Checked<f64>> {
    let mut breaches = depth_breaches(depths);
    breaches.extend(COVERAGE.check(&REACH_AREA, coverage));
    let served = coverage * PI * sum_of_squares(depths);
    let needed = (area.value / served).sqrt();
    (served > 0.0 && needed.is_finite()).then_some(Checked {
        value: needed,
        breaches,
    })
}

fn sum_of_squares(depths: &[Length]) -> f64 {
    depths
        .iter()
        .map(|depth| depth.value)
        .filter(|depth| *depth > 0.0 && depth.is_finite())
        .map(|depth| depth * depth)
        .sum()
}

/// The first depth outside the range, for one is enough to doubt the sum.
fn depth_breaches(depths: &[Length]) -> Vec<Breach> {
    depths
        .iter()
        .filter(|depth| depth.value != 0.0)
        .find_map(|depth| DEPTH.check(&REACH_AREA, depth.value))
        .into_iter()
        .collect()
}

/// What is left of the coverage where a pond is longer than wide.
///
/// A pond of length over width `a` is shared out to `n` diffusers in the grid whose cells are nearest to square;
/// a circle that reaches the corners of a cell of ratio `b` covers `4 b / (pi (1 + b^2))` of its own area, and
/// that is taken over the same for a square pond: exact geometry of rectangles.
///
/// - `a` from 1; below it is read the other way round. `n` at least 1.
/// - Check values: one diffuser in a pond three times as long as wide, 0.6; three diffusers in it, 1.
pub fn elongation(length_to_width: f64, diffusers: f64) -> f64 {
    let ratio = length_to_width.max(1.0 / length_to_width);
    let served = |ratio: f64| {
        let count = diffusers.clamp(1.0, 1000.0) as u32;
        (1..=count)
            .map(|along| {
                let across = f64::from(count) / f64::from(along);
                let cell = ratio * across / f64::from(along);
                2.0 * cell / (1.0 + cell * cell)
            })
            .fold(0.0, f64::max)
    };
    if ratio.is_finite() {
        (served(ratio) / served(1.0)).min(1.0)
    } else {
        1.0
    }
}

/// Where a surface jet must turn.
pub static JET_REACH: Equation = Equation {
    name: "reach of a radial surface jet",
    formula: "k = 0.5 / (c m)",
    source: "growth of a radial wall jet, c about 0.09: Rajaratnam 1976, Turbulent Jets (from \
             memory); where the cell closes: judgement of this project",
    mark: Mark::Judgement,
    ranges: &[GROWTH, EDGE],
};
/// About 0.09 (from memory), give or take what is this project's judgement. Round bubble plumes at
/// 1.5 m spread faster (Toné, Pacheco & Lima Neto 2017, Water SA 43(1), abstract), by how much
/// wasn't to be read.
const GROWTH: Range = Range {
    quantity: "growth of the surface jet",
    low: 0.08,
    high: 0.12,
    unit: "",
};
/// From the depth of half the speed to the edge that an eye sees.
const EDGE: Range = Range {
    quantity: "edge over half-velocity depth",
    low: 1.0,
    high: 2.0,
    unit: "",
};

/// Reach per depth from how a radial jet along the surface thickens: an independent
/// check of the published cell lengths from different physics.
///
/// A jet whose half-velocity depth is `c r` at the radius `r` fills half the water where
/// `m c r = H / 2`; what flows back below needs the other half, so the cell closes.
///
/// - `c` growth; `m` from 1 (half-velocity depth) to 2 (visible edge).
/// - Check values: `c` 0.09: 5.6 at `m` 1, 2.8 at `m` 2.
/// - `None` for a jet that doesn't grow.
pub fn jet_reach(growth: f64, edge: f64) -> Option<Checked<f64>> {
    let value = 0.5 / (growth * edge);
    (value > 0.0 && value.is_finite()).then(|| Checked {
        value,
        breaches: [
            GROWTH.check(&JET_REACH, growth),
            EDGE.check(&JET_REACH, edge),
        ]
        .into_iter()
        .flatten()
        .collect(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn unequal_depths_count_each_by_its_square() {
        let depths = [si::metres(3.0), si::metres(4.0)];
        let together = reach_area(&depths, 1.0, 5.0);
        let as_one = reach_area(&[si::metres(5.0)], 1.0, 5.0);
        assert_eq!(together.value, as_one.value);
        assert!(together.breaches.is_empty());
    }

    #[test]
    fn needed_is_reach_the_other_way_round() {
        let depths = [si::metres(2.0), si::metres(2.5), si::metres(1.2)];
        let area = reach_area(&depths, HEXAGONAL_COVERAGE, 6.25).value;
        let needed = reach_per_depth_needed(area, &depths, HEXAGONAL_COVERAGE).unwrap();
        assert!((needed.value - 6.25).abs() < 1e-12);
    }

    #[test]
    fn a_hexagon_covers_what_its_circle_holds() {
        let exact = 3.0 * 3f64.sqrt() / (2.0 * PI);
        assert!((HEXAGONAL_COVERAGE - exact).abs() < 1e-15);
    }

    #[test]
    fn a_long_pond_is_served_less_by_one_and_as_well_by_a_row() {
        assert!((elongation(3.0, 1.0) - 0.6).abs() < 1e-12);
        assert!((elongation(1.0 / 3.0, 1.0) - 0.6).abs() < 1e-12);
        assert_eq!(elongation(3.0, 3.0), 1.0);
        assert_eq!(elongation(1.0, 5.0), 1.0);
    }

    #[test]
    fn nothing_reaches_nothing() {
        assert_eq!(reach_area(&[], 1.0, 5.0).value.value, 0.0);
        let area = si::square_metres(100.0);
        assert!(reach_per_depth_needed(area, &[si::metres(0.0)], 1.0).is_none());
        let unknown = reach_area(&[si::metres(f64::NAN)], 1.0, 5.0);
        assert_eq!(unknown.value.value, 0.0);
        assert_eq!(unknown.breaches.len(), 1);
        assert!(jet_reach(0.0, 1.0).is_none());
    }
}
