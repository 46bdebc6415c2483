//! Which package, and which way to buy and lay it, a question is about.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Rating};
use crate::catalog::{Allow, Catalog, Compressor, Figure, Given, Kind, Package, Plain};
use crate::derive::solver::Settled;
use crate::derive::{self, Missing, Plant, Solver, Way, ranges, supply};
use crate::text::{FileId, Span};
use crate::units::show::show;
use crate::units::{Dimension, Quantity, System};

/// What a question says beside the catalog.
#[derive(Debug, Clone, Default)]
pub struct Question {
    /// ID of the package.
    pub package: String,
    /// ID of the option; the only one unless given.
    pub option: Option<String>,
    /// Whether the first of several options answers where none is named.
    pub any_option: bool,
    /// Every diffuser at this depth instead of the catalog's.
    pub depth: Option<Quantity>,
    /// Every run of this length instead of the catalog's.
    pub run: Option<Quantity>,
    /// Every run of this bore instead of the catalog's.
    pub bore: Option<Quantity>,
    /// This height above the sea instead of the site's.
    pub altitude: Option<Quantity>,
    /// So many diffusers instead of the catalog's.
    pub diffusers: Option<u32>,
    /// So many running hours a day instead of the catalog's.
    pub hours: Option<f64>,
}

/// Why a question can't be answered; each names what would help.
#[derive(Debug, Clone, PartialEq)]
pub enum Unanswerable {
    /// No package of that ID.
    NoPackage {
        /// As asked.
        id: String,
        /// IDs there are, the nearest first.
        known: Vec<String>,
        /// The kind of part that has the ID.
        part: Option<Kind>,
    },
    /// Several packages, and none is named.
    ChoosePackage {
        /// IDs there are.
        known: Vec<String>,
    },
    /// No option of that ID, or several to choose from.
    ChooseOption {
        /// As asked.
        asked: Option<String>,
        /// IDs there are.
        known: Vec<String>,
    },
    /// Several catalogs that have a package of that ID.
    SeveralCatalogs {
        /// As asked.
        id: String,
        /// Where they lie.
        catalogs: Vec<String>,
    },
    /// A fact that the catalog doesn't state, or states unusably.
    Missing(Missing),
    /// A compressor without a curve: what its plate says only bounds its flow.
    NoCurve {
        /// Its ID.
        compressor: String,
        /// What the plate bounds.
        bounds: String,
    },
    /// No depth: neither claimed nor asked.
    NoDepth,
    /// The compressor's curve ends before the duty point; its last pressure in Pa.
    BeyondCurve(f64, System),
    /// No air comes through; the greatest pressure in Pa that the compressor is known to reach.
    NoAir(f64, System),
    /// Another number of diffusers for a package whose runs differ.
    UnlikeRuns,
    /// A number of diffusers that its runs can't have, each of which has so many.
    UnevenCount(u32),
    /// The figures are beyond what can be built.
    Unbuildable(String),
}

impl std::fmt::Display for Unanswerable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Unanswerable::NoPackage { id, known, .. } if known.is_empty() => {
                write!(f, "there is no package `{id}`: the catalog has none")
            }
            Unanswerable::NoPackage { id, known, part } => {
                write!(f, "there is no package `{id}`")?;
                if let Some(part) = part {
                    write!(f, ", only a part of that ID ({})", part.words())?;
                }
                write!(f, "; there are {}", listed(known))
            }
            Unanswerable::ChoosePackage { known } if known.is_empty() => {
                f.write_str("the catalog has no package")
            }
            Unanswerable::ChoosePackage { known } => {
                write!(f, "name one of the packages: {}", listed(known))
            }
            Unanswerable::ChooseOption {
                asked: Some(id),
                known,
            } => {
                write!(
                    f,
                    "there is no option `{id}`; there are {}",
                    known.join(", ")
                )
            }
            Unanswerable::ChooseOption { asked: None, known } => {
                write!(
                    f,
                    "there are several options, choose one with --option: {}",
                    known.join(", ")
                )
            }
            Unanswerable::SeveralCatalogs { id, catalogs } => write!(
                f,
                "there are several packages `{id}`; name one catalog with --catalog: {}",
                catalogs.join(", ")
            ),
            Unanswerable::Missing(missing) => {
                let verb = if missing.reported {
                    "can't be used (`nameplate audit` says why)"
                } else {
                    "is missing"
                };
                write!(f, "{} {verb}", missing.fact)?;
                match missing.key {
                    Some(key) => write!(f, " (key `{key}`)"),
                    None => Ok(()),
                }
            }
            Unanswerable::NoCurve { compressor, bounds } => write!(
                f,
                "compressor {compressor} has no `curve`, so there is no duty point to give; {bounds}"
            ),
            Unanswerable::NoDepth => f.write_str(
                "no depth is claimed and no diffuser has one of its own; give one with --depth",
            ),
            Unanswerable::BeyondCurve(last, system) => write!(
                f,
                "the compressor's `curve` ends at {}, below the pressure this needs: the flow there isn't known",
                show(Dimension::GaugePressure, *last, *system)
            ),
            Unanswerable::NoAir(most, system) => write!(
                f,
                "no air comes through at this depth, so the gauge shows the most that the compressor can press, {}, \
                 whatever else is wrong; `nameplate duty` shows what each diffuser is short of",
                show(Dimension::GaugePressure, *most, *system)
            ),
            Unanswerable::UnlikeRuns => f.write_str(
                "the package's runs differ, so none of them can be counted again: another number of diffusers isn't tried",
            ),
            Unanswerable::UnevenCount(each) => write!(
                f,
                "each run has {each} diffusers: give a number that can be divided by {each}"
            ),
            Unanswerable::Unbuildable(why) => f.write_str(why),
        }
    }
}

/// The first of some IDs, and how many more there are.
fn listed(known: &[String]) -> String {
    let more = known.len().saturating_sub(12);
    let shown = known[..known.len() - more].join(", ");
    match more {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

/// What is asked about, found in the catalog and laid.
#[derive(Debug)]
pub struct Asked<'c> {
    /// The catalog.
    pub catalog: &'c Catalog,
    /// The package.
    pub package: &'c Package,
    /// The way it is bought.
    pub way: Way<'c>,
    /// It laid, at its depth where there is one.
    pub solver: Arc<Solver<'c>>,
    /// The ranges.
    pub assumptions: Arc<Assumptions>,
    /// The rating basis.
    pub rating: Rating,
    /// The greatest claimed depth, m.
    pub claimed_depth: Option<f64>,
    /// The depth that the question is about, m, where it names one: every diffuser lies there.
    pub asked_depth: Option<f64>,
}

/// The catalog among `catalogs` that has the package; where none has, one that names all there are.
///
/// # Errors
/// Several have it.
pub fn catalog(catalogs: Vec<Catalog>, package: &str) -> Result<Catalog, Unanswerable> {
    let holds = |catalog: &Catalog| catalog.packages.get(package).is_some();
    let (mut with, mut without): (Vec<Catalog>, Vec<Catalog>) =
        catalogs.into_iter().partition(holds);
    if with.len() > 1 {
        return Err(Unanswerable::SeveralCatalogs {
            id: package.to_string(),
            catalogs: with.into_iter().map(|catalog| catalog.name).collect(),
        });
    }
    if let Some(only) = with.pop() {
        return Ok(only);
    }
    if without.len() == 1
        && let Some(only) = without.pop()
    {
        return Ok(only);
    }
    Err(no_package(package, &without))
}

/// The ID of the only package there is.
///
/// # Errors
/// There are several, or none.
pub fn only_package(catalogs: &[Catalog]) -> Result<String, Unanswerable> {
    let ids = catalogs.iter().flat_map(|catalog| catalog.packages.ids());
    let mut known: Vec<String> = ids.map(str::to_string).collect();
    match known.len() {
        1 => Ok(known.remove(0)),
        _ => Err(Unanswerable::ChoosePackage { known }),
    }
}

/// The package of that ID.
///
/// # Errors
/// There is none.
pub fn package<'c>(catalog: &'c Catalog, id: &str) -> Result<&'c Package, Unanswerable> {
    let found = catalog.packages.get(id);
    found.ok_or_else(|| no_package(id, [catalog]))
}

/// That there is no such package, and the IDs there are, the nearest first.
fn no_package<'c>(
    id: &str,
    catalogs: impl IntoIterator<Item = &'c Catalog> + Copy,
) -> Unanswerable {
    let mut known: Vec<String> = catalogs
        .into_iter()
        .flat_map(|catalog| catalog.packages.ids().map(str::to_string))
        .collect();
    let mut parts = Kind::PARTS.iter().copied();
    let part = parts.find(|&kind| catalogs.into_iter().any(|catalog| catalog.has(kind, id)));
    let near = crate::catalog::nearest(id, known.iter().map(String::as_str));
    if let Some(place) = near.and_then(|near| known.iter().position(|id| id == near)) {
        let near = known.remove(place);
        known.insert(0, near);
    }
    Unanswerable::NoPackage {
        id: id.to_string(),
        known,
        part,
    }
}

/// The catalog at the altitude, and its package with the running hours, that the question names.
pub fn at_site(mut catalog: Catalog, question: &Question) -> Catalog {
    let nowhere = Span::new(FileId(0), 0, 0);
    if let Some(altitude) = &question.altitude {
        catalog.site.altitude = Given::Known(Figure::bare(altitude.clone(), nowhere));
    }
    if let Some(hours) = question.hours {
        let mut packages = catalog.packages.iter_mut();
        if let Some(package) = packages.find(|package| package.entry.id == question.package) {
            package.hours_per_day = Given::Known(Plain {
                value: hours,
                at: nowhere,
            });
            // Hours of a promise alone give way too.
            let claims = &mut package.claims;
            for rows in [&mut claims.area, &mut claims.running_cost] {
                if let Given::Known(rows) = rows {
                    rows.iter_mut()
                        .for_each(|row| row.conditions.hours_per_day = None);
                }
            }
        }
    }
    catalog
}

impl Asked<'_> {
    /// The central duty point.
    ///
    /// # Errors
    /// No depth, a curve that ends before it, or figures nothing can be built with.
    pub fn settled(&self) -> Result<Arc<Settled>, Unanswerable> {
        let plant = &self.solver.plant;
        if !plant.has_depth {
            return Err(Unanswerable::NoDepth);
        }
        let central = self.assumptions.central();
        plant
            .network(&central)
            .map_err(|refusal| Unanswerable::Unbuildable(refusal.to_string()))?;
        let settled = self.solver.at(&central).ok_or(Unanswerable::NoDepth)?;
        match settled.beyond() {
            Some(last) => Err(Unanswerable::BeyondCurve(last, self.system())),
            None => Ok(settled),
        }
    }

    /// The same with every diffuser at `depth` m.
    #[must_use]
    pub fn at_depth(&self, depth: f64) -> Asked<'_> {
        self.laid(self.solver.plant.clone().all_at_depth(depth))
    }

    /// The same as it is laid for a depth of `depth` m: diffusers with depths of their own keep them.
    #[must_use]
    pub fn for_depth(&self, depth: f64) -> Asked<'_> {
        self.laid(self.solver.plant.clone().at_depth(depth))
    }

    fn laid<'a>(&'a self, plant: Plant<'a>) -> Asked<'a> {
        Asked {
            catalog: self.catalog,
            package: self.package,
            way: self.way,
            solver: Arc::new(self.solver.with(plant)),
            assumptions: self.assumptions.clone(),
            rating: self.rating,
            claimed_depth: self.claimed_depth,
            asked_depth: self.asked_depth,
        }
    }

    /// The units the package is written in.
    pub fn system(&self) -> System {
        derive::system(self.package)
    }
}

/// Finds what `question` asks about in `catalog`, which [`at_site`] has set.
///
/// # Errors
/// What is missing or has to be chosen.
pub fn find<'c>(catalog: &'c Catalog, question: &Question) -> Result<Asked<'c>, Unanswerable> {
    let package = package(catalog, &question.package)?;
    laid(catalog, package, way(package, question)?, question)
}

/// That `package` has the option named, where one is.
///
/// # Errors
/// It hasn't.
pub fn option(package: &Package, named: Option<&str>) -> Result<(), Unanswerable> {
    let mut options = package.options.iter();
    match named {
        Some(id) if !options.any(|option| option.id == id) => Err(Unanswerable::ChooseOption {
            asked: Some(id.to_string()),
            known: package
                .options
                .iter()
                .map(|option| option.id.clone())
                .collect(),
        }),
        _ => Ok(()),
    }
}

/// A way to buy a package, laid as `question` says.
///
/// # Errors
/// What is missing.
pub fn laid<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
    question: &Question,
) -> Result<Asked<'c>, Unanswerable> {
    without_curve(catalog, package, way)?;
    let plant = Plant::of(catalog, package, way).map_err(Unanswerable::Missing)?;
    let claimed_depth = derive::claimed_depth(package);
    let plant = match (&question.depth, claimed_depth) {
        (Some(depth), _) => plant.all_at_depth(depth.si_high()),
        (None, Some(depth)) => plant.at_depth(depth),
        (None, None) => plant,
    };
    let plant = match &question.bore {
        Some(bore) => plant.with_bore(bore.si_central()),
        None => plant,
    };
    let plant = match &question.run {
        Some(run) => plant.with_run(run.si_central()),
        None => plant,
    };
    let plant = match question.diffusers {
        Some(count) => counted(plant, count)?,
        None => plant,
    };
    let assumptions = ranges::assumptions_for(catalog, package);
    let assumptions = Arc::new(assumptions.unwrap_or_else(|| ranges::assumptions(catalog)));
    Ok(Asked {
        catalog,
        package,
        way,
        solver: Arc::new(Solver::new(plant, assumptions.clone())),
        assumptions,
        rating: ranges::rating(catalog),
        claimed_depth,
        asked_depth: question.depth.as_ref().map(Quantity::si_high),
    })
}

/// The plant with another number of diffusers, as many to a run as it has.
fn counted(plant: Plant<'_>, count: u32) -> Result<Plant<'_>, Unanswerable> {
    let [outlet] = plant.outlets.as_slice() else {
        return Err(Unanswerable::UnlikeRuns);
    };
    let each = outlet.per_run;
    if each == 0 || count == 0 || !count.is_multiple_of(each) {
        return Err(Unanswerable::UnevenCount(each));
    }
    plant
        .with_run_count(count / each)
        .ok_or(Unanswerable::UnlikeRuns)
}

/// The way that is asked about: the option named, or the only one. Of what the buyer may fit, the
/// smallest size whose length covers the run that is asked about, else the first.
fn way<'c>(package: &'c Package, question: &Question) -> Result<Way<'c>, Unanswerable> {
    let known: Vec<String> = package
        .options
        .iter()
        .map(|option| option.id.clone())
        .collect();
    let option = match (&question.option, package.options.as_slice()) {
        (None, []) => return Ok(Way::Own),
        (None, [only]) => only,
        (None, [first, ..]) if question.any_option => first,
        (None, _) => return Err(Unanswerable::ChooseOption { asked: None, known }),
        (Some(id), options) => options
            .iter()
            .find(|option| option.id == *id)
            .ok_or_else(|| Unanswerable::ChooseOption {
                asked: Some(id.clone()),
                known,
            })?,
    };
    if option.airline.is_there() {
        return Ok(Way::Supplied(option));
    }
    let allows = option.allows.known().map_or(&[][..], |allows| allows);
    let covers = |allow: &&Allow| match (&question.run, allow.up_to.known()) {
        (Some(run), Some(up_to)) => up_to.high() >= run.si_central(),
        _ => false,
    };
    let size = |allow: &&Allow| allow.size.known().map_or(f64::INFINITY, Figure::si);
    let fitting = allows
        .iter()
        .filter(covers)
        .min_by(|a, b| size(a).total_cmp(&size(b)));
    // A run beyond what any size may be laid for is shown in the one that goes furthest.
    let furthest = question.run.as_ref().and_then(|_| {
        let length = |allow: &&Allow| allow.up_to.known().map_or(0.0, Figure::high);
        allows.iter().max_by(|a, b| length(a).total_cmp(&length(b)))
    });
    match fitting.or(furthest).or(allows.first()) {
        Some(allow) => Ok(Way::Allowed(option, allow)),
        None => Err(Unanswerable::Missing(Missing::absent(
            format!("the airline of option {}", option.id),
            Some(option.header),
        ))),
    }
}

/// Refuses a way with a compressor that states no curve, and says what its plate bounds.
fn without_curve(catalog: &Catalog, package: &Package, way: Way) -> Result<(), Unanswerable> {
    let uses = way.compressors(package).known();
    let parts = uses
        .into_iter()
        .flatten()
        .filter_map(|one| catalog.compressors.get(&one.part.id));
    for part in parts {
        let first = supply::of(catalog, package, way, part).ok();
        let first = first.filter(|on| supply::is_first(part, on));
        if first.is_some_and(|on| on.curve.is_absent()) {
            return Err(Unanswerable::NoCurve {
                compressor: part.entry.id.clone(),
                bounds: bounds(part),
            });
        }
    }
    Ok(())
}

/// What the two numbers of a plate say of a machine's flow, in a sentence.
fn bounds(part: &Compressor) -> String {
    let text = |given: &Given<Figure>| given.known().map(|figure| figure.text().to_string());
    match (text(&part.open_flow), text(&part.max_pressure)) {
        (Some(open), Some(most)) => format!(
            "its plate only bounds the flow: at most {open} at any pressure, more than nothing up to {most} if it \
             may run there, and never both at once"
        ),
        (Some(open), None) => {
            format!("its plate only bounds the flow: at most {open} at any pressure")
        }
        (None, Some(most)) => {
            format!(
                "its plate only says that it may run up to {most}, and nothing of the flow there"
            )
        }
        (None, None) => "its plate doesn't bound the flow either".to_string(),
    }
}
