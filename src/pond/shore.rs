//! The shore of a pond: a ring of corners.

use crate::units::math;

use super::survey::{FARTHEST, Fault, MOST_CORNERS, STRETCHES};

/// No pond is less wide and long than this, m.
const NARROWEST: f64 = 0.5;

/// A shore: its corners in order, the last not the first again. Metres.
#[derive(Debug, Clone, PartialEq)]
pub struct Shore {
    corners: Vec<[f64; 2]>,
}

impl Shore {
    /// With these corners.
    ///
    /// # Errors
    /// They enclose nothing or next to nothing, are too many or too far away, or their edges cross.
    pub fn of(corners: &[[f64; 2]]) -> Result<Shore, Fault> {
        let last = corners.len().saturating_sub(1);
        // A corner that is written twice in a row, or first and last, is one.
        let is_new = |&(number, corner): &(usize, &[f64; 2])| match number {
            0 => true,
            _ => *corner != corners[number - 1] && !(number == last && *corner == corners[0]),
        };
        let distinct = corners.iter().enumerate().filter(is_new);
        let (numbers, corners): (Vec<usize>, Vec<[f64; 2]>) =
            distinct.map(|(number, corner)| (number, *corner)).unzip();
        if corners.len() > MOST_CORNERS {
            return Err(Fault::ManyCorners);
        }
        if corners.len() < 3 {
            return Err(Fault::NoOutline);
        }
        if !corners.iter().flatten().all(|one| one.abs() <= FARTHEST) {
            return Err(Fault::Far);
        }
        let shore = Shore { corners };
        if shore.area() <= 0.0 {
            return Err(Fault::NoOutline);
        }
        let [low, high] = shore.bounds();
        if (0..2).all(|axis| high[axis] - low[axis] < NARROWEST) {
            return Err(Fault::Small);
        }
        match shore.crossing() {
            Some((one, other)) => Err(Fault::Crosses(numbers[one], numbers[other])),
            None => Ok(shore),
        }
    }

    /// The hull of places, which crosses nothing.
    pub(super) fn hull(corners: Vec<[f64; 2]>) -> Shore {
        Shore { corners }
    }

    /// A circle of so large an area round the origin, in 72 corners.
    pub fn circle(area: f64) -> Shore {
        let corners = 72;
        let angle = |corner: u32| f64::from(corner) / f64::from(corners) * std::f64::consts::TAU;
        // The polygon has the area, not the circle through its corners.
        let share = f64::from(corners) / 2.0 * math::sin(angle(1));
        let radius = (area / share).sqrt();
        let quarter = std::f64::consts::FRAC_PI_2;
        let at = |corner: u32| [angle(corner) + quarter, angle(corner)].map(math::sin);
        let corners = (0..corners).map(|corner| at(corner).map(|one| radius * one));
        Shore {
            corners: corners.collect(),
        }
    }

    /// Its corners.
    pub fn corners(&self) -> &[[f64; 2]] {
        &self.corners
    }

    /// Least and greatest x and y.
    pub fn bounds(&self) -> [[f64; 2]; 2] {
        let mut bounds = [[f64::INFINITY; 2], [f64::NEG_INFINITY; 2]];
        for corner in &self.corners {
            for axis in 0..2 {
                bounds[0][axis] = bounds[0][axis].min(corner[axis]);
                bounds[1][axis] = bounds[1][axis].max(corner[axis]);
            }
        }
        bounds
    }

    /// The place of the shore that is nearest to another, and how far that is.
    pub fn nearest(&self, [x, y]: [f64; 2]) -> ([f64; 2], f64) {
        let along = self.edges().map(|(a, b)| {
            let (across, up) = (b[0] - a[0], b[1] - a[1]);
            let square = across * across + up * up;
            let share = ((x - a[0]) * across + (y - a[1]) * up) / square;
            let share = if square > 0.0 {
                share.clamp(0.0, 1.0)
            } else {
                0.0
            };
            let at = [a[0] + share * across, a[1] + share * up];
            (at, f64::hypot(at[0] - x, at[1] - y))
        });
        let nearest = along.min_by(|a, b| a.1.total_cmp(&b.1));
        nearest.unwrap_or(([x, y], 0.0))
    }

    /// Where a line from west to east at `y` runs through water: from and to, one after the other.
    pub fn across(&self, y: f64) -> Vec<(f64, f64)> {
        let cut = |(a, b): ([f64; 2], [f64; 2])| {
            let crosses = (a[1] > y) != (b[1] > y);
            crosses.then(|| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
        };
        let mut cuts: Vec<f64> = self.edges().filter_map(cut).collect();
        cuts.sort_by(f64::total_cmp);
        cuts.chunks_exact(2)
            .map(|pair| (pair[0], pair[1]))
            .collect()
    }

    /// Each edge from a corner to the next.
    pub fn edges(&self) -> impl Iterator<Item = ([f64; 2], [f64; 2])> {
        let nexts = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(nexts.copied())
    }

    /// Its area, m2: the shoelace formula, from the first corner so that far places lose no digits.
    pub fn area(&self) -> f64 {
        let Some(from) = self.corners.first() else {
            return 0.0;
        };
        let twice = self.edges().map(|(a, b)| {
            let (a, b) = (
                [a[0] - from[0], a[1] - from[1]],
                [b[0] - from[0], b[1] - from[1]],
            );
            a[0] * b[1] - b[0] * a[1]
        });
        twice.sum::<f64>().abs() / 2.0
    }

    /// Whether a place lies within it or on it.
    pub fn holds(&self, x: f64, y: f64) -> bool {
        let mut within = false;
        for ([ax, ay], [bx, by]) in self.edges() {
            let side = (bx - ax) * (y - ay) - (x - ax) * (by - ay);
            let on_line = side.abs() <= 1e-9 * ((bx - ax).abs() + (by - ay).abs());
            let between = x >= ax.min(bx) && x <= ax.max(bx) && y >= ay.min(by) && y <= ay.max(by);
            if on_line && between {
                return true;
            }
            if (ay > y) != (by > y) && (side > 0.0) == (by > ay) {
                within = !within;
            }
        }
        within
    }

    /// Two edges that meet elsewhere than at a corner they share.
    fn crossing(&self) -> Option<(usize, usize)> {
        let edges: Vec<_> = self.edges().collect();
        let count = edges.len();
        for one in 0..count {
            for other in one + 2..count {
                let are_neighbours = one == 0 && other == count - 1;
                if !are_neighbours && meet(edges[one], edges[other]) {
                    return Some((one, other));
                }
            }
        }
        None
    }

    /// Places along it, with its corners, as far apart as `soundings` of them are within it: closer ones would make
    /// triangles among themselves, of no depth.
    pub(super) fn divided(&self, soundings: usize) -> Vec<[f64; 2]> {
        let length = |a: [f64; 2], b: [f64; 2]| f64::hypot(b[0] - a[0], b[1] - a[1]);
        let least = self.edges().map(|(a, b)| length(a, b)).sum::<f64>() / STRETCHES;
        let step = (self.area() / soundings.max(1) as f64).sqrt().max(least);
        let mut places = Vec::new();
        for (a, b) in self.edges() {
            let pieces = (length(a, b) / step).ceil().clamp(1.0, STRETCHES);
            places.extend((0..pieces as u32).map(|piece| {
                let share = f64::from(piece) / pieces;
                [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
            }));
        }
        places
    }
}

/// Whether two edges have a place in common.
fn meet(one: ([f64; 2], [f64; 2]), other: ([f64; 2], [f64; 2])) -> bool {
    let side = |(a, b): ([f64; 2], [f64; 2]), p: [f64; 2]| {
        (b[0] - a[0]) * (p[1] - a[1]) - (p[0] - a[0]) * (b[1] - a[1])
    };
    let apart = |line, (a, b)| side(line, a) * side(line, b);
    let boxes = (0..2).all(|axis| {
        let ends = |(a, b): ([f64; 2], [f64; 2])| (a[axis].min(b[axis]), a[axis].max(b[axis]));
        let ((low, high), (other_low, other_high)) = (ends(one), ends(other));
        low <= other_high && other_low <= high
    });
    boxes && apart(one, other) <= 0.0 && apart(other, one) <= 0.0
}
