//! Ends that meet in a package, and whether they join: by themselves, or by its fittings.
//!
//! An airline's end is its nominal size, for a barb; a push-in or compression end takes a tube
//! by its outside. What isn't stated joins anything.

use crate::catalog::{Airline, Catalog, Compressor, End, Fitting, Given, Package};

use super::laid::{self, Piece};
use super::way::Way;

/// Sizes within this share are the same: 13 mm and 1/2 in.
const SAME: f64 = 0.03;

/// Two ends that meet and don't join.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenJoint {
    /// What stands nearer the compressor, as a sentence has it.
    pub from: String,
    /// What stands nearer the water.
    pub to: String,
}

/// What meets at a joint.
#[derive(Debug, Clone)]
enum Face<'c> {
    /// An end of a part.
    End(&'c End),
    /// An end of a line: the barb and the fitting around it that take it, where known, m.
    Line {
        barb: Option<f64>,
        outside: Option<f64>,
    },
}

/// A face and how a sentence calls it; no face where nothing is stated.
#[derive(Debug, Clone)]
struct Named<'c> {
    face: Option<Face<'c>>,
    words: String,
}

fn same(a: f64, b: f64) -> bool {
    (a / b - 1.0).abs() <= SAME || (b / a - 1.0).abs() <= SAME
}

fn ends_fit(a: &End, b: &End) -> bool {
    let genders = a.gender.is_none() || b.gender.is_none() || a.gender != b.gender;
    a.kind == b.kind && same(a.size, b.size) && genders
}

fn fit(a: &Face, b: &Face) -> bool {
    let agree = |a: Option<f64>, b: Option<f64>| a.zip(b).is_none_or(|(a, b)| same(a, b));
    match (a, b) {
        (Face::End(a), Face::End(b)) => ends_fit(a, b),
        (Face::Line { barb: a, .. }, Face::Line { barb: b, .. }) => agree(*a, *b),
        (Face::End(end), Face::Line { barb, outside })
        | (Face::Line { barb, outside }, Face::End(end)) => match end.kind.as_str() {
            "barb" => agree(Some(end.size), *barb),
            "push-in" | "compression" => agree(Some(end.size), *outside),
            _ => false,
        },
    }
}

/// Whether two faces join, by at most two fittings in a chain. A fitting is used as often as needed.
fn join(a: &Face, b: &Face, fittings: &[(&End, &End)]) -> bool {
    let ways = || {
        let both = fittings.iter().flat_map(|&(x, y)| [(x, y), (y, x)]);
        both.map(|(x, y)| (Face::End(x), Face::End(y)))
    };
    fit(a, b)
        || ways().any(|(near, far)| {
            fit(a, &near)
                && (fit(&far, b) || ways().any(|(next, last)| fit(&far, &next) && fit(&last, b)))
        })
}

fn end<'c>(given: &'c Given<End>, what: String) -> Named<'c> {
    let end = given.known();
    Named {
        words: end.map_or(what.clone(), |end| format!("{what} ({})", end.text)),
        face: end.map(Face::End),
    }
}

fn outlet(part: &Compressor) -> Named<'_> {
    end(
        &part.outlet,
        format!("the outlet of compressor {}", part.entry.id),
    )
}

fn line<'c>(part: &'c Airline) -> Named<'c> {
    let size = part.size.known().map(|size| size.si());
    let bore = part.bore.known().map(|bore| bore.si());
    let outside = part.outside.known().map(|outside| outside.si());
    let tube = part
        .size_means
        .known()
        .is_some_and(|word| word.text == "tube");
    let face = if tube {
        Face::Line {
            barb: bore,
            outside: size.or(outside),
        }
    } else {
        Face::Line {
            barb: size.or(bore),
            outside,
        }
    };
    let named = part.size.known().or(part.bore.known());
    let size = named.map_or(String::new(), |figure| format!(" ({})", figure.text()));
    Named {
        face: Some(face),
        words: format!("airline {}{size}", part.entry.id),
    }
}

fn piece<'c>(piece: &Piece<'c>) -> Named<'c> {
    piece.part.map_or(
        Named {
            face: None,
            words: String::new(),
        },
        line,
    )
}

/// The ends of a fitting; nothing where one of them can't be read.
fn ends(fitting: &Fitting) -> Option<(&End, &End)> {
    Some((fitting.from.known()?, fitting.to.known()?))
}

/// The joints of a way that nothing closes; none where a fitting isn't known.
pub fn open<'c>(catalog: &'c Catalog, package: &'c Package, way: Way<'c>) -> Vec<OpenJoint> {
    let named = match way.fittings(package) {
        Given::Known(named) => named.as_slice(),
        Given::Absent => &[],
        Given::Unreadable => return Vec::new(),
    };
    let fittings: Option<Vec<_>> = named
        .iter()
        .map(|one| ends(catalog.fittings.get(&one.id)?))
        .collect();
    let Some(fittings) = fittings else {
        return Vec::new();
    };
    let mut open: Vec<OpenJoint> = Vec::new();
    let mut meet = |a: &Named, b: &Named| {
        if let (Some(one), Some(other)) = (&a.face, &b.face)
            && !join(one, other, &fittings)
        {
            let joint = OpenJoint {
                from: a.words.clone(),
                to: b.words.clone(),
            };
            if !open.contains(&joint) {
                open.push(joint);
            }
        }
    };
    let uses = way
        .compressors(package)
        .known()
        .map_or(&[][..], |uses| uses);
    let machines = uses
        .iter()
        .filter_map(|one| catalog.compressors.get(&one.part.id));
    // A hot section stands between the compressor and the rest, and its ends aren't stated.
    let mut sources: Vec<Named> = match package.hot_section {
        Given::Absent => machines.map(outlet).collect(),
        _ => Vec::new(),
    };
    let trunk: Vec<Named> = laid::trunk(catalog, way).iter().map(piece).collect();
    if let (Some(first), Some(last)) = (trunk.first(), trunk.last()) {
        sources.iter().for_each(|source| meet(source, first));
        for pair in trunk.windows(2) {
            meet(&pair[0], &pair[1]);
        }
        sources = vec![last.clone()];
    }
    if let Some(part) = way.manifold_part(catalog, package) {
        let id = &part.entry.id;
        let inlet = end(&part.inlet, format!("the inlet of manifold {id}"));
        sources.iter().for_each(|source| meet(source, &inlet));
        sources = vec![end(&part.outlet, format!("an outlet of manifold {id}"))];
    }
    let inlet = |id: &str| {
        let part = catalog.diffusers.get(id)?;
        Some(end(&part.inlet, format!("the inlet of diffuser {id}")))
    };
    let mut runs: Vec<(Vec<Named>, Vec<&str>)> = laid::runs(catalog, package, way)
        .iter()
        .map(|run| {
            let to = run.to.iter().map(|one| one.part.id.as_str()).collect();
            (run.pieces.iter().map(piece).collect(), to)
        })
        .collect();
    if let Way::Allowed(_, allow) = way
        && let Given::Known(size) = &allow.size
    {
        let fitted = Named {
            face: Some(Face::Line {
                barb: Some(size.si()),
                outside: None,
            }),
            words: format!("airline of {}", size.text()),
        };
        let uses = package.diffuser.known().map_or(&[][..], |uses| uses);
        let to = uses.iter().filter(|one| !one.airline.is_there());
        runs.push((vec![fitted], to.map(|one| one.part.id.as_str()).collect()));
    }
    for (pieces, to) in &runs {
        let (Some(first), Some(last)) = (pieces.first(), pieces.last()) else {
            continue;
        };
        sources.iter().for_each(|source| meet(source, first));
        for pair in pieces.windows(2) {
            meet(&pair[0], &pair[1]);
        }
        for inlet in to.iter().filter_map(|id| inlet(id)) {
            meet(last, &inlet);
        }
    }
    open
}
