//! Area, depth and volume of an outline and of soundings.
//!
//! The area is that of the outline's corners (the shoelace formula). Depths between soundings are those of the
//! triangles that Delaunay's rule draws through them and the shore, where the water is 0 deep; the prism below a
//! triangle holds its area times the mean of its three depths, exactly. Triangles outside the outline are left out.

use delaunator::{Point, triangulate};

use crate::catalog::Plain;
use crate::text::Span;

use super::shore::Shore;

/// What a survey tells of a pond. SI throughout.
#[derive(Debug, Clone, PartialEq)]
pub struct Survey {
    /// Surface, m2.
    pub area: f64,
    /// Greatest depth, m, where soundings are known.
    pub depth: Option<f64>,
    /// Volume, m3, where soundings are known.
    pub volume: Option<f64>,
    /// The shore: the outline, else the hull of the soundings.
    pub shore: Shore,
    /// The bottom between soundings and shore; none without soundings.
    pub bottom: Vec<Triangle>,
}

/// Three places of the bottom, each with x, y and depth, m.
pub type Triangle = [[f64; 3]; 3];

/// A place, and how deep it is there, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sounding {
    /// East, m.
    pub x: f64,
    /// North, m.
    pub y: f64,
    /// Depth, m.
    pub depth: f64,
    /// Its line in the file.
    pub line: usize,
}

/// Why a survey tells nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fault {
    /// An outline of no area, or of fewer than three corners.
    NoOutline,
    /// An outline with more corners than are looked at.
    ManyCorners,
    /// A corner farther from the origin than is looked at.
    Far,
    /// An outline that is hardly wider than a corner is exact.
    Small,
    /// Two of its edges cross, by the numbers of their first corners.
    Crosses(usize, usize),
    /// A line that isn't three numbers.
    NotASounding(usize),
    /// A sounding beyond the outline.
    Outside(usize),
    /// More soundings than are looked at.
    ManySoundings,
    /// No soundings, or all on one line or at no depth.
    NoSoundings,
}

/// Most corners and soundings that are looked at.
pub(super) const MOST_CORNERS: usize = 2000;
const MOST_SOUNDINGS: usize = 20_000;
/// The farthest place from the origin, m.
pub(super) const FARTHEST: f64 = 1e7;
/// The shore is divided into so many stretches at the most.
pub(super) const STRETCHES: f64 = 400.0;

impl Fault {
    /// Where the outline is wrong, among the places of its corners; nothing where the soundings are.
    pub fn at(self, outline: &[Plain<[f64; 2]>]) -> Option<Span> {
        let corner = match self {
            Fault::Crosses(one, _) => one,
            _ => 0,
        };
        let corner = outline.get(corner).filter(|_| !self.is_of_soundings());
        corner.map(|corner| corner.at)
    }

    /// Whether the soundings are at fault, and not the outline.
    pub fn is_of_soundings(self) -> bool {
        match self {
            Fault::NoOutline
            | Fault::ManyCorners
            | Fault::Far
            | Fault::Small
            | Fault::Crosses(..) => false,
            Fault::NotASounding(_)
            | Fault::Outside(_)
            | Fault::ManySoundings
            | Fault::NoSoundings => true,
        }
    }
}

impl std::fmt::Display for Fault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Fault::NoOutline => {
                f.write_str("the outline encloses nothing: it needs three corners or more, in metres, in order around the shore")
            }
            Fault::ManyCorners => write!(f, "the outline has more than {MOST_CORNERS} corners"),
            Fault::Far => write!(
                f,
                "the outline has a corner more than {:.0} km from x = 0, y = 0: corners are in metres",
                FARTHEST / 1000.0
            ),
            Fault::Small => f.write_str(
                "the outline is less than half a metre wide: corners are in metres, or in degrees, longitude (-180 to 180) \
                 before latitude (-89 to 89)",
            ),
            Fault::Crosses(one, other) => write!(
                f,
                "the outline crosses itself: the edge from corner {} meets the one from corner {}",
                one + 1,
                other + 1
            ),
            Fault::NotASounding(line) => write!(
                f,
                "line {line} of the soundings isn't three numbers: x, y and depth in metres, a depth of 0 or more"
            ),
            Fault::Outside(line) => write!(f, "the sounding on line {line} lies outside the outline"),
            Fault::ManySoundings => write!(f, "there are more than {MOST_SOUNDINGS} soundings"),
            Fault::NoSoundings => {
                f.write_str("the soundings enclose no water: at least one must be deep, and they mustn't all lie on one line")
            }
        }
    }
}

/// The soundings of a CSV file: x, y and depth in metres, apart by semicolons, tabs or commas; between the first two a
/// number may have a decimal comma. The first line may be a heading.
///
/// # Errors
/// A line that isn't three numbers, or too many of them.
pub fn soundings(text: &str) -> Result<Vec<Sounding>, Fault> {
    let mut all = Vec::new();
    for (place, line) in text.lines().enumerate() {
        let line = line.trim().trim_start_matches('\u{feff}');
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let number = place + 1;
        let apart = [';', '\t'].into_iter().find(|one| line.contains(*one));
        let cells = line
            .split(apart.unwrap_or(','))
            .map(|cell| cell.trim().replacen(',', ".", 1).parse::<f64>());
        let cells: Vec<f64> = match cells.collect::<Result<Vec<f64>, _>>() {
            Ok(cells) => cells,
            Err(_) if all.is_empty() && place == 0 => continue,
            Err(_) => return Err(Fault::NotASounding(number)),
        };
        let [x, y, depth] = cells[..] else {
            return Err(Fault::NotASounding(number));
        };
        let is_near = [x, y, depth].iter().all(|one| one.abs() <= FARTHEST);
        if !is_near || depth < 0.0 {
            return Err(Fault::NotASounding(number));
        }
        all.push(Sounding {
            x,
            y,
            depth,
            line: number,
        });
        if all.len() > MOST_SOUNDINGS {
            return Err(Fault::ManySoundings);
        }
    }
    Ok(all)
}

impl Survey {
    /// Of an outline, of soundings, or of both. Without an outline the shore is the hull of the soundings.
    ///
    /// # Errors
    /// Why they tell nothing.
    pub fn of(
        outline: Option<&[[f64; 2]]>,
        soundings: Option<&[Sounding]>,
    ) -> Result<Survey, Fault> {
        let shore = outline.map(Shore::of).transpose()?;
        let Some(soundings) = soundings else {
            let shore = shore.ok_or(Fault::NoOutline)?;
            return Ok(Survey {
                area: shore.area(),
                depth: None,
                volume: None,
                shore,
                bottom: Vec::new(),
            });
        };
        if let Some(shore) = &shore
            && let Some(beyond) = soundings.iter().find(|one| !shore.holds(one.x, one.y))
        {
            return Err(Fault::Outside(beyond.line));
        }
        let depth = soundings.iter().map(|one| one.depth).fold(0.0, f64::max);
        let (bottom, hull) = triangles(shore.as_ref(), soundings);
        let surface: f64 = bottom.iter().map(base).sum();
        let volume: f64 = bottom.iter().map(prism).sum();
        if depth <= 0.0 || surface <= 0.0 || volume <= 0.0 {
            return Err(Fault::NoSoundings);
        }
        // Beyond the triangles, in the bends of the shore, it is as deep as within them on average.
        let area = shore.as_ref().map_or(surface, Shore::area);
        Ok(Survey {
            area,
            depth: Some(depth),
            volume: Some(volume / surface * area),
            shore: shore.unwrap_or_else(|| Shore::hull(hull)),
            bottom,
        })
    }
}

/// Area of a triangle seen from above, m2.
fn base([a, b, c]: &Triangle) -> f64 {
    ((b[0] - a[0]) * (c[1] - a[1]) - (c[0] - a[0]) * (b[1] - a[1])).abs() / 2.0
}

/// The water over a triangle, m3.
fn prism(triangle: &Triangle) -> f64 {
    let [a, b, c] = triangle;
    base(triangle) * (a[2] + b[2] + c[2]) / 3.0
}

/// The triangles within the shore, and the hull of all places.
fn triangles(shore: Option<&Shore>, soundings: &[Sounding]) -> (Vec<Triangle>, Vec<[f64; 2]>) {
    let mut places: Vec<[f64; 3]> = soundings
        .iter()
        .map(|one| [one.x, one.y, one.depth])
        .collect();
    let banks = shore.map_or(Vec::new(), |shore| shore.divided(soundings.len()));
    places.extend(banks.into_iter().map(|[x, y]| [x, y, 0.0]));
    let points: Vec<Point> = places.iter().map(|&[x, y, _]| Point { x, y }).collect();
    let drawn = triangulate(&points);
    let corners = drawn.triangles.chunks_exact(3);
    let all = corners.map(|of| [places[of[0]], places[of[1]], places[of[2]]]);
    let within = |[a, b, c]: &Triangle| {
        let middle = [(a[0] + b[0] + c[0]) / 3.0, (a[1] + b[1] + c[1]) / 3.0];
        shore.is_none_or(|shore| shore.holds(middle[0], middle[1]))
    };
    let hull = drawn.hull.iter().map(|&at| [places[at][0], places[at][1]]);
    (all.filter(within).collect(), hull.collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    /// A round pond of radius 30 m, its shore in 360 corners, sounded on rings; `depth` by the share of the radius.
    fn round(depth: impl Fn(f64) -> f64) -> Survey {
        let at = |angle: f64, radius: f64| [radius * angle.cos(), radius * angle.sin()];
        let angle = |step: u32, of: u32| f64::from(step) / f64::from(of) * 2.0 * PI;
        let outline: Vec<[f64; 2]> = (0..360).map(|step| at(angle(step, 360), 30.0)).collect();
        let rings = (0..60)
            .flat_map(|ring| (0..90).map(move |step| (f64::from(ring) / 60.0, angle(step, 90))));
        let soundings: Vec<Sounding> = rings
            .filter(|(share, angle)| *share > 0.0 || *angle == 0.0)
            .map(|(share, angle)| {
                let [x, y] = at(angle, 30.0 * share);
                Sounding {
                    x,
                    y,
                    depth: depth(share),
                    line: 1,
                }
            })
            .collect();
        Survey::of(Some(&outline), Some(&soundings)).unwrap()
    }

    /// Volumes of solids from geometry.
    #[test]
    fn solids_hold_what_geometry_says() {
        let disc = PI * 900.0;
        let close =
            |is: f64, should: f64| assert!((is / should - 1.0).abs() < 2e-3, "{is} is {should}");
        let cone = round(|share| 3.0 * (1.0 - share));
        close(cone.area, disc);
        close(cone.volume.unwrap(), disc * 3.0 / 3.0);
        close(
            round(|share| 3.0 * (1.0 - share * share)).volume.unwrap(),
            disc * 3.0 / 2.0,
        );
        // A frustum whose bottom has half the radius: h/3 (A + a + sqrt(A a)).
        let frustum = round(|share| (6.0 * (1.0 - share)).min(3.0));
        close(
            frustum.volume.unwrap(),
            3.0 / 3.0 * disc * (1.0 + 0.25 + 0.5),
        );
        assert_eq!(frustum.depth, Some(3.0));
    }

    #[test]
    fn a_pyramid_is_exact_and_an_outline_alone_has_an_area() {
        let square = [
            [0.0, 0.0],
            [12.0, 0.0],
            [12.0, 12.0],
            [0.0, 12.0],
            [0.0, 0.0],
        ];
        let middle = Sounding {
            x: 6.0,
            y: 6.0,
            depth: 2.0,
            line: 1,
        };
        let pyramid = Survey::of(Some(&square), Some(&[middle])).unwrap();
        assert_eq!(pyramid.area, 144.0);
        assert!((pyramid.volume.unwrap() - 144.0 * 2.0 / 3.0).abs() < 1e-9);
        let bare = Survey::of(Some(&square), None).unwrap();
        assert_eq!((bare.area, bare.depth, bare.volume), (144.0, None, None));
    }

    #[test]
    fn what_is_no_shore_and_no_sounding_is_told() {
        let bow = [[0.0, 0.0], [5.0, 5.0], [5.0, 0.0], [0.0, 6.0]];
        assert_eq!(Survey::of(Some(&bow), None), Err(Fault::Crosses(0, 2)));
        // A corner written twice is one, and the numbers are those of the file.
        let twice = [bow[0], bow[0], bow[1], bow[2], bow[3]];
        assert_eq!(Survey::of(Some(&twice), None), Err(Fault::Crosses(0, 3)));
        let far = [[0.0, 0.0], [1e300, 0.0], [9.0, 5.0]];
        assert_eq!(Survey::of(Some(&far), None), Err(Fault::Far));
        let small = [[10.0, 89.9999], [10.1, 89.9999], [10.1, 89.999]];
        assert_eq!(Survey::of(Some(&small), None), Err(Fault::Small));
        let line = [[0.0, 0.0], [5.0, 0.0], [9.0, 0.0]];
        assert_eq!(Survey::of(Some(&line), None), Err(Fault::NoOutline));
        assert_eq!(Survey::of(None, None), Err(Fault::NoOutline));
        assert_eq!(
            soundings("x,y,depth\n1,2,0.5\n3;4;x\n"),
            Err(Fault::NotASounding(3))
        );
        let comma = soundings("1,5;2;0,5\n1,5\t2\t0,5\n1.5,2,0.5\n").unwrap();
        assert!(
            comma
                .iter()
                .all(|one| [one.x, one.y, one.depth] == [1.5, 2.0, 0.5])
        );
        assert_eq!(soundings("1,2\n"), Err(Fault::NotASounding(1)));
        assert_eq!(soundings("1,2,nan\n"), Err(Fault::NotASounding(1)));
        assert_eq!(soundings("1,2,-1\n"), Err(Fault::NotASounding(1)));
        let square = [[0.0, 0.0], [2.0, 0.0], [2.0, 2.0], [0.0, 2.0]];
        let beyond = soundings("x,y,depth\n1,1,1\n9,1,1\n").unwrap();
        assert_eq!(
            Survey::of(Some(&square), Some(&beyond)),
            Err(Fault::Outside(3))
        );
        assert_eq!(Survey::of(None, Some(&beyond)), Err(Fault::NoSoundings));
    }
}
