//! The water of a pond as places: its shore, how deep it is where, and contours of depth.
//!
//! With soundings the bottom is that of the survey's triangles. Without them the basin tells: a place lies so far from
//! the shore, as a share of the farthest any place lies, and a cone is as deep as that share, a bowl as one less the
//! square of what is missing to one. Without an outline the shore is a circle of the pond's area, for which both are
//! exactly the basins that volumes are counted with.

use crate::catalog::Basin;

use super::shore::Shore;
use super::survey::{Survey, Triangle};

/// About so many places of the water are looked at.
const CELLS: f64 = 2500.0;
/// The water is at most so many places wide or long.
const ACROSS: f64 = 300.0;
/// A run is measured in so many steps.
const STEPS: u32 = 400;

/// The water of a pond.
#[derive(Debug, Clone)]
pub struct Ground {
    shore: Shore,
    bottom: Bottom,
    /// Distance between the places that are looked at, m.
    step: f64,
    /// The lattice's first place.
    origin: [f64; 2],
    /// Its places from west to east.
    columns: usize,
    /// Depth at each place of the lattice, row by row, m; 0 on land.
    depths: Vec<f64>,
    /// Whether the shore is the pond's own, and no circle in its place.
    is_surveyed: bool,
}

#[derive(Debug, Clone)]
enum Bottom {
    /// Between soundings, with the triangles that reach into each place of a lattice.
    Sounded(Vec<Triangle>, Buckets),
    /// As a basin has it.
    Basin {
        basin: Basin,
        depth: f64,
        farthest: f64,
    },
}

/// Triangles by the squares that they reach into, so that a place is looked up among few.
#[derive(Debug, Clone)]
struct Buckets {
    origin: [f64; 2],
    side: f64,
    columns: usize,
    of: Vec<Vec<u32>>,
}

/// A place in the water.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Where.
    pub at: [f64; 2],
    /// How deep, m.
    pub depth: f64,
    /// Its column and row.
    pub lattice: [usize; 2],
}

/// A run laid straight along the bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// Its length, m.
    pub length: f64,
    /// How much of it lies on land after it has entered the water, m.
    pub over_land: f64,
}

/// A depth, m, and the pieces of its contour.
pub type Contour = (f64, Vec<[[f64; 2]; 2]>);

impl Ground {
    /// The water of a survey; where it has no soundings, as deep as `depth` and in the shape of `basin`.
    pub fn of(survey: &Survey, basin: Basin, depth: f64) -> Ground {
        let bottom = match survey.bottom.is_empty() {
            true => None,
            false => Some(Bottom::Sounded(
                survey.bottom.clone(),
                Buckets::of(&survey.shore, &survey.bottom),
            )),
        };
        Ground::with(survey.shore.clone(), bottom, basin, depth, true)
    }

    /// A circle of so large an area.
    pub fn circle(area: f64, basin: Basin, depth: f64) -> Ground {
        Ground::with(Shore::circle(area), None, basin, depth, false)
    }

    fn with(
        shore: Shore,
        bottom: Option<Bottom>,
        basin: Basin,
        depth: f64,
        is_surveyed: bool,
    ) -> Ground {
        let [[west, south], [east, north]] = shore.bounds();
        let widest = (east - west).max(north - south);
        let step = (shore.area() / CELLS).sqrt().max(widest / ACROSS);
        let count = |length: f64| (length / step).ceil().clamp(1.0, ACROSS + 1.0) as usize;
        // One place more on each side, so that every contour closes.
        let (columns, rows) = (count(east - west) + 2, count(north - south) + 2);
        let origin = [west - step / 2.0, south - step / 2.0];
        let mut ground = Ground {
            bottom: bottom.unwrap_or(Bottom::Basin {
                basin,
                depth,
                farthest: f64::NAN,
            }),
            shore,
            step,
            origin,
            columns,
            depths: Vec::new(),
            is_surveyed,
        };
        let mut wet = vec![false; columns * rows];
        for row in 0..rows {
            let y = origin[1] + row as f64 * step;
            for (from, to) in ground.shore.across(y) {
                let first = ((from - origin[0]) / step).ceil().max(0.0) as usize;
                let last = ((to - origin[0]) / step).floor().max(-1.0) as isize;
                let last = usize::try_from(last + 1).unwrap_or(0).min(columns);
                wet[row * columns..][first.min(last)..last].fill(true);
            }
        }
        let at = |place: usize| ground.place([place % columns, place / columns]);
        if let Bottom::Basin { .. } = &ground.bottom {
            let wet = (0..wet.len()).filter(|place| wet[*place]);
            let away: Vec<(usize, f64)> = wet
                .map(|place| (place, ground.shore.nearest(at(place)).1))
                .collect();
            let farthest = away.iter().map(|(_, away)| *away).fold(0.0, f64::max);
            let mut depths = vec![0.0; columns * rows];
            for (place, away) in away {
                depths[place] = depth * share_of_depth(basin, away / farthest);
            }
            ground.depths = depths;
            ground.bottom = Bottom::Basin {
                basin,
                depth,
                farthest,
            };
        } else {
            let depth = |place: usize| {
                if wet[place] {
                    ground.bottom_at(at(place))
                } else {
                    0.0
                }
            };
            ground.depths = (0..wet.len()).map(depth).collect();
        }
        ground
    }

    fn place(&self, [column, row]: [usize; 2]) -> [f64; 2] {
        [
            self.origin[0] + column as f64 * self.step,
            self.origin[1] + row as f64 * self.step,
        ]
    }

    /// The shore.
    pub fn shore(&self) -> &Shore {
        &self.shore
    }

    /// Whether the shore is the pond's own; else it is a circle in its place.
    pub fn is_surveyed(&self) -> bool {
        self.is_surveyed
    }

    /// Whether depths come from soundings.
    pub fn is_sounded(&self) -> bool {
        matches!(self.bottom, Bottom::Sounded(..))
    }

    /// The places in the water, of which each stands for as much of the surface.
    pub fn cells(&self) -> Vec<Cell> {
        let places = self.depths.iter().enumerate();
        let wet = places.filter(|(_, depth)| **depth > 0.0);
        wet.map(|(place, &depth)| {
            let lattice = [place % self.columns, place / self.columns];
            Cell {
                at: self.place(lattice),
                depth,
                lattice,
            }
        })
        .collect()
    }

    /// The soundings in the water, each with the lattice's place next to it: the bottom is deepest at one of them.
    pub fn soundings(&self) -> Vec<Cell> {
        let Bottom::Sounded(triangles, _) = &self.bottom else {
            return Vec::new();
        };
        let corners = triangles.iter().flatten().filter(|corner| corner[2] > 0.0);
        let mut corners: Vec<[f64; 3]> = corners.copied().collect();
        let by_place =
            |a: &[f64; 3], b: &[f64; 3]| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1]));
        corners.sort_by(by_place);
        corners.dedup();
        let near =
            |at: f64, axis: usize| ((at - self.origin[axis]) / self.step).round().max(0.0) as usize;
        let cell = |[x, y, depth]: [f64; 3]| Cell {
            at: [x, y],
            depth,
            lattice: [near(x, 0), near(y, 1)],
        };
        corners.into_iter().map(cell).collect()
    }

    /// How deep it is at a place, m; 0 on land.
    pub fn depth_at(&self, at: [f64; 2]) -> f64 {
        if self.shore.holds(at[0], at[1]) {
            self.bottom_at(at)
        } else {
            0.0
        }
    }

    /// The same of a place in the water.
    fn bottom_at(&self, at: [f64; 2]) -> f64 {
        match &self.bottom {
            Bottom::Sounded(triangles, buckets) => buckets.depth(triangles, at),
            Bottom::Basin {
                basin,
                depth,
                farthest,
            } => depth * share_of_depth(*basin, self.shore.nearest(at).1 / farthest),
        }
    }

    /// The line from one place straight to another, up and down along the bottom.
    pub fn run(&self, from: [f64; 2], to: [f64; 2]) -> Run {
        let along = |step: u32| {
            let share = f64::from(step) / f64::from(STEPS);
            [0, 1].map(|axis| from[axis] + share * (to[axis] - from[axis]))
        };
        let piece = f64::hypot(to[0] - from[0], to[1] - from[1]) / f64::from(STEPS);
        let depths: Vec<f64> = (0..=STEPS).map(|step| self.depth_at(along(step))).collect();
        let steps = depths.windows(2);
        let length = steps.map(|ends| f64::hypot(piece, ends[1] - ends[0])).sum();
        let in_water = depths.iter().skip_while(|depth| **depth <= 0.0);
        let dry = in_water.filter(|depth| **depth <= 0.0).count();
        Run {
            length,
            over_land: dry as f64 * piece,
        }
    }

    /// Contours at these depths.
    pub fn contours(&self, depths: impl IntoIterator<Item = f64>) -> Vec<Contour> {
        let rows = self.depths.len() / self.columns;
        let corner = |column: usize, row: usize| {
            let [x, y] = self.place([column, row]);
            [x, y, self.depths[row * self.columns + column]]
        };
        let squares =
            (0..rows - 1).flat_map(|row| (0..self.columns - 1).map(move |column| (column, row)));
        let triangles: Vec<Triangle> = squares
            .flat_map(|(column, row)| {
                let [a, b] = [corner(column, row), corner(column + 1, row)];
                let [c, d] = [corner(column, row + 1), corner(column + 1, row + 1)];
                [[a, b, d], [a, d, c]]
            })
            .collect();
        let contour = |depth: f64| {
            (
                depth,
                triangles.iter().filter_map(|one| cut(one, depth)).collect(),
            )
        };
        depths.into_iter().map(contour).collect()
    }
}

/// The piece of a contour that runs through a triangle.
fn cut(triangle: &Triangle, depth: f64) -> Option<[[f64; 2]; 2]> {
    let edges = [(0, 1), (1, 2), (2, 0)].map(|(from, to)| (triangle[from], triangle[to]));
    let crossing = |(a, b): ([f64; 3], [f64; 3])| {
        ((a[2] < depth) != (b[2] < depth)).then(|| {
            let share = (depth - a[2]) / (b[2] - a[2]);
            [a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]
        })
    };
    let mut crossings = edges.into_iter().filter_map(crossing);
    Some([crossings.next()?, crossings.next()?])
}

/// How deep a basin is, as a share of its depth, where a place lies so far from the shore, as a share of the farthest.
fn share_of_depth(basin: Basin, away: f64) -> f64 {
    let away = away.clamp(0.0, 1.0);
    match basin {
        Basin::Flat => 1.0,
        Basin::Bowl => 1.0 - (1.0 - away) * (1.0 - away),
        Basin::Cone => away,
    }
}

impl Buckets {
    fn of(shore: &Shore, triangles: &[Triangle]) -> Buckets {
        let [[west, south], [east, north]] = shore.bounds();
        let widest = (east - west).max(north - south);
        let side = (widest / (triangles.len() as f64).sqrt().clamp(1.0, 128.0)).max(1e-9);
        let count = |length: f64| (length / side).floor() as usize + 1;
        let (columns, rows) = (count(east - west), count(north - south));
        let mut buckets = Buckets {
            origin: [west, south],
            side,
            columns,
            of: vec![Vec::new(); columns * rows],
        };
        for (number, triangle) in (0u32..).zip(triangles) {
            let ends = |axis: usize| {
                let values = triangle.map(|corner| corner[axis]);
                let low = values.into_iter().fold(f64::INFINITY, f64::min);
                (low, values.into_iter().fold(f64::NEG_INFINITY, f64::max))
            };
            let ((west, east), (south, north)) = (ends(0), ends(1));
            let (low, high) = (buckets.square([west, south]), buckets.square([east, north]));
            for row in low[1]..=high[1] {
                for column in low[0]..=high[0] {
                    if let Some(bucket) = buckets.of.get_mut(row * columns + column) {
                        bucket.push(number);
                    }
                }
            }
        }
        buckets
    }

    fn square(&self, at: [f64; 2]) -> [usize; 2] {
        let rows = self.of.len() / self.columns;
        let of = |axis: usize, most: usize| {
            let number = ((at[axis] - self.origin[axis]) / self.side)
                .floor()
                .max(0.0);
            (number as usize).min(most - 1)
        };
        [of(0, self.columns), of(1, rows)]
    }

    /// The depth between the corners of the triangle that a place lies in; in a bend of the shore that no triangle
    /// reaches, 0.
    fn depth(&self, triangles: &[Triangle], at: [f64; 2]) -> f64 {
        let [column, row] = self.square(at);
        let near = self.of.get(row * self.columns + column);
        let mut within = near
            .into_iter()
            .flatten()
            .filter_map(|&number| between(triangles.get(number as usize)?, at));
        within.next().unwrap_or(0.0)
    }
}

/// The depth at a place of a triangle; nothing beyond it.
fn between([a, b, c]: &Triangle, [x, y]: [f64; 2]) -> Option<f64> {
    let twice = (b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1]);
    let of_b = ((x - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (y - a[1])) / twice;
    let of_c = ((b[0] - a[0]) * (y - a[1]) - (x - a[0]) * (b[1] - a[1])) / twice;
    let of_a = 1.0 - of_b - of_c;
    let is_within = [of_a, of_b, of_c].iter().all(|share| *share >= -1e-9);
    is_within.then(|| of_a * a[2] + of_b * b[2] + of_c * c[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Mean depths of basins from geometry: a cone a third, a paraboloid a half. The lattice is 50 places wide, so 2 % off.
    #[test]
    fn a_circle_has_the_basins_that_volumes_are_counted_with() {
        for (basin, mean) in [
            (Basin::Flat, 1.0),
            (Basin::Bowl, 0.5),
            (Basin::Cone, 1.0 / 3.0),
        ] {
            let cells = Ground::circle(900.0, basin, 2.0).cells();
            assert!((2300..2700).contains(&cells.len()), "{}", cells.len());
            let own = cells.iter().map(|cell| cell.depth).sum::<f64>() / cells.len() as f64;
            assert!((own / 2.0 / mean - 1.0).abs() < 0.02, "{basin:?} {own}");
        }
    }

    /// Down a cone of depth 3 m and radius 20 m: the slope's length by Pythagoras.
    #[test]
    fn a_run_goes_down_along_the_bottom() {
        let ground = Ground::circle(std::f64::consts::PI * 400.0, Basin::Cone, 3.0);
        let run = ground.run([-30.0, 0.0], [0.0, 0.0]);
        let should = 10.0 + f64::hypot(20.0, 3.0);
        assert!(
            (run.length - should).abs() < 0.05,
            "{} is {should}",
            run.length
        );
        assert_eq!(run.over_land, 0.0);
    }

    /// The contour of half the depth of a cone is a circle of half the radius.
    #[test]
    fn a_contour_of_a_cone_is_a_circle() {
        let ground = Ground::circle(std::f64::consts::PI * 400.0, Basin::Cone, 3.0);
        let contours = ground.contours([1.5]);
        let (_, pieces) = &contours[0];
        let long: f64 = pieces
            .iter()
            .map(|[a, b]| f64::hypot(b[0] - a[0], b[1] - a[1]))
            .sum();
        assert!(
            (long / (std::f64::consts::TAU * 10.0) - 1.0).abs() < 0.02,
            "{long}"
        );
        assert!(
            pieces
                .iter()
                .flatten()
                .all(|[x, y]| (f64::hypot(*x, *y) - 10.0).abs() < 0.2)
        );
    }
}
