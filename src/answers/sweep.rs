//! What if: a package's answers over one or two variables.
//!
//! Every stop is asked as `duty` and `limits` would be asked with it, so it says what they say.

use rayon::prelude::*;

use crate::catalog::{Catalog, Package};
use crate::claims::oversized::SIZES;
use crate::claims::verdict::worst;
use crate::claims::{Grade, Judged, Outcome, depth};
use crate::derive::Corner;
use crate::units::show::significant;
use crate::units::{self, Dimension, Quantity, Unit};

use super::choose::{self, Asked, Question, Unanswerable};
use super::{duty, limits};

/// What may be varied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Variable {
    /// Depth of every diffuser.
    Depth,
    /// Length of every run.
    Run,
    /// Bore of every run.
    Bore,
    /// Height above the sea.
    Altitude,
    /// Diffusers, each on a run of its own or as many to a run as the package has.
    Diffusers,
    /// Running hours a day.
    Hours,
}

impl Variable {
    /// All, in the order in which two are varied.
    pub const ALL: [Variable; 6] = [
        Variable::Depth,
        Variable::Run,
        Variable::Bore,
        Variable::Altitude,
        Variable::Diffusers,
        Variable::Hours,
    ];

    /// Its name.
    pub fn as_str(self) -> &'static str {
        match self {
            Variable::Depth => "depth",
            Variable::Run => "run",
            Variable::Bore => "bore",
            Variable::Altitude => "altitude",
            Variable::Diffusers => "diffusers",
            Variable::Hours => "hours a day",
        }
    }

    /// Its key in formats for programs, with the unit.
    pub fn key(self) -> &'static str {
        match self {
            Variable::Depth => "depth_m",
            Variable::Run => "run_m",
            Variable::Bore => "bore_m",
            Variable::Altitude => "altitude_m",
            Variable::Diffusers => "diffusers",
            Variable::Hours => "hours_per_day",
        }
    }

    /// What is shown of it unless something else is asked for: the first thing that it changes.
    pub fn usual_measure(self) -> Measure {
        match self {
            Variable::Hours => Measure::Cost,
            Variable::Altitude | Variable::Diffusers => Measure::LeastFed,
            Variable::Depth | Variable::Run | Variable::Bore => Measure::Pressure,
        }
    }
}

/// What is calculated at each stop.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Measure {
    /// Gauge pressure at the manifold with all valves open, Pa.
    Pressure,
    /// Free air of all diffusers together, m3/s.
    Air,
    /// Free air at the diffuser that gets least of what it needs, m3/s.
    LeastFed,
    /// Largest pond at the depth it lies, m2.
    Area,
    /// Greatest depth, m.
    Deepest,
    /// Power of the compressors, W.
    Power,
    /// Cost of a month, in the currency's own unit.
    Cost,
}

impl Measure {
    /// All, in the order of a row.
    pub const ALL: [Measure; 7] = [
        Measure::Pressure,
        Measure::Air,
        Measure::LeastFed,
        Measure::Area,
        Measure::Deepest,
        Measure::Power,
        Measure::Cost,
    ];

    /// What it is called.
    pub fn says(self) -> &'static str {
        match self {
            Measure::Pressure => "pressure at the manifold",
            Measure::Air => "free air",
            Measure::LeastFed => "air at the least-fed diffuser",
            Measure::Area => "largest pond",
            Measure::Deepest => "deepest diffuser",
            Measure::Power => "power",
            Measure::Cost => "cost of a month",
        }
    }

    /// Its name in a form.
    pub fn key(self) -> &'static str {
        match self {
            Measure::Pressure => "pressure",
            Measure::Air => "air",
            Measure::LeastFed => "least-fed",
            Measure::Area => "area",
            Measure::Deepest => "deepest",
            Measure::Power => "power",
            Measure::Cost => "cost",
        }
    }

    /// Its dimension; money has none without a currency.
    pub fn dimension(self) -> Option<Dimension> {
        match self {
            Measure::Pressure => Some(Dimension::GaugePressure),
            Measure::Air | Measure::LeastFed => Some(Dimension::VolumeFlow),
            Measure::Area => Some(Dimension::Area),
            Measure::Deepest => Some(Dimension::Length),
            Measure::Power => Some(Dimension::Power),
            Measure::Cost => None,
        }
    }
}

/// A value of a variable.
#[derive(Debug, Clone)]
pub struct Stop {
    /// Its number, in the unit of its axis.
    pub number: f64,
    /// In SI.
    pub si: f64,
    quantity: Option<Quantity>,
}

/// A variable with the values it takes.
#[derive(Debug, Clone)]
pub struct Axis {
    /// Which.
    pub variable: Variable,
    /// The unit it was asked in; none for a count.
    pub unit: Option<Unit>,
    /// Its values, rising.
    pub stops: Vec<Stop>,
}

/// The most values of one variable.
pub const MOST: usize = 101;
/// The most points of two variables together.
pub const MOST_POINTS: usize = 2_500;
/// Values have no more digits than this.
const DIGITS: u32 = 6;

impl Axis {
    /// `steps` even steps over the range of a quantity. A bore takes its ends and the nominal sizes between them, as
    /// no other can be bought.
    pub fn of_quantity(variable: Variable, range: &Quantity, steps: usize) -> Axis {
        let unit = range.unit();
        let (low, high) = (range.low(), range.high());
        let mut numbers: Vec<f64> = match variable {
            Variable::Bore => {
                let sizes = SIZES.iter().map(|inches| unit.from_si(inches * 0.0254));
                let apart = |size: &f64| *size > low * 1.03 && *size < high / 1.03;
                std::iter::once(low)
                    .chain(sizes.filter(apart))
                    .chain([high])
                    .collect()
            }
            _ => even(low, high, steps).collect(),
        };
        numbers.sort_by(f64::total_cmp);
        let stops = numbers.into_iter().filter_map(|number| {
            let text = format!("{} {unit}", significant(number, DIGITS));
            let quantity = units::read(&text, &[range.dimension()]).quantity?;
            Some(Stop {
                number: quantity.central(),
                si: quantity.si_central(),
                quantity: Some(quantity),
            })
        });
        Axis {
            variable,
            unit: Some(unit),
            stops: stops.collect(),
        }
    }

    /// `steps` even steps over a range of numbers; whole ones where they are counted.
    pub fn of_numbers(variable: Variable, low: f64, high: f64, steps: usize) -> Axis {
        let numbers: Vec<f64> = match variable {
            Variable::Diffusers => {
                let whole = (high - low).round().max(0.0) as usize;
                let each = whole.div_ceil(MOST - 1).max(1);
                (0..=whole)
                    .step_by(each)
                    .map(|more| low.round() + more as f64)
                    .collect()
            }
            _ => even(low, high, steps).collect(),
        };
        let stop = |number: f64| Stop {
            number,
            si: number,
            quantity: None,
        };
        Axis {
            variable,
            unit: None,
            stops: numbers.into_iter().map(stop).collect(),
        }
    }

    /// Puts a value of it in a question.
    fn put(&self, stop: &Stop, question: &mut Question) {
        match self.variable {
            Variable::Depth => question.depth.clone_from(&stop.quantity),
            Variable::Run => question.run.clone_from(&stop.quantity),
            Variable::Bore => question.bore.clone_from(&stop.quantity),
            Variable::Altitude => question.altitude.clone_from(&stop.quantity),
            Variable::Diffusers => question.diffusers = Some(stop.si as u32),
            Variable::Hours => question.hours = Some(stop.si),
        }
    }
}

fn even(low: f64, high: f64, steps: usize) -> impl Iterator<Item = f64> {
    let last = steps.max(2) - 1;
    (0..=last).map(move |step| low + (high - low) * step as f64 / last as f64)
}

/// The least, the typical and the greatest of a figure over the ranges.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Three {
    /// The least.
    pub low: Option<f64>,
    /// At typical values.
    pub typical: Option<f64>,
    /// The greatest.
    pub high: Option<f64>,
}

/// What a package does at a stop. SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// The number of the stop on each axis.
    pub at: Vec<usize>,
    /// Whether pressure and air allow it: what an audit would say of a promise of that depth.
    pub grade: Grade,
    /// That grade's outcome.
    pub outcome: Outcome,
    /// Gauge pressure at the manifold, valves open.
    pub pressure: Three,
    /// Greatest pressure for continuous running.
    pub limit: Option<f64>,
    /// Free air of all diffusers.
    pub air: Three,
    /// Free air at the least-fed diffuser; with valves what they can give it.
    pub least_fed: Three,
    /// What that needs at the least.
    pub needed: Option<f64>,
    /// Largest pond; nothing where the depth isn't reached.
    pub area: Three,
    /// The area that is rated.
    pub rated_area: Option<f64>,
    /// Greatest depth.
    pub deepest: Three,
    /// Power of the compressors.
    pub power: Option<f64>,
    /// Cost of a month, in the currency's own unit.
    pub cost: Option<f64>,
    /// Why there is no duty point.
    pub missing: Option<String>,
}

impl Point {
    /// One of its figures.
    pub fn measured(&self, measure: Measure) -> Three {
        let only = |typical: Option<f64>| Three {
            typical,
            ..Three::default()
        };
        match measure {
            Measure::Pressure => self.pressure,
            Measure::Air => self.air,
            Measure::LeastFed => self.least_fed,
            Measure::Area => self.area,
            Measure::Deepest => self.deepest,
            Measure::Power => only(self.power),
            Measure::Cost => only(self.cost),
        }
    }
}

/// A package over one or two variables.
#[derive(Debug, Clone)]
pub struct Sweep {
    /// ID of the package.
    pub package: String,
    /// What it is called.
    pub title: Option<String>,
    /// What is the same at all points.
    pub about: About,
    /// The variables, one or two.
    pub axes: Vec<Axis>,
    /// A point for each stop, or each pair of them: the last axis runs first.
    pub points: Vec<Point>,
}

/// The answers of `question`, about a package of `catalog`, with every value of `axes`.
///
/// # Errors
/// What keeps every point from being answered.
pub fn answer(
    catalog: &Catalog,
    question: &Question,
    axes: Vec<Axis>,
) -> Result<Sweep, Unanswerable> {
    let mut alone = catalog.clone();
    alone
        .packages
        .retain(|package: &Package| package.entry.id == question.package);
    // Without it the list of what there is comes from all.
    let Some(package) = alone.packages.get(&question.package) else {
        return Err(choose::find(catalog, question)
            .err()
            .unwrap_or(Unanswerable::NoDepth));
    };
    let places = places(&axes);
    let asked = |at: &Vec<usize>| {
        let mut own = question.clone();
        for (axis, stop) in axes.iter().zip(at) {
            axis.put(&axis.stops[*stop], &mut own);
        }
        of_one(&alone, &own, at)
    };
    let points: Vec<Result<(Point, About), Unanswerable>> = places.par_iter().map(asked).collect();
    let about = points
        .iter()
        .flatten()
        .map(|(_, about)| about.clone())
        .next();
    let Some(about) = about else {
        let why = points.into_iter().find_map(Result::err);
        return Err(why.unwrap_or(Unanswerable::NoDepth));
    };
    let points = points
        .into_iter()
        .zip(places)
        .map(|(point, at)| match point {
            Ok((point, _)) => point,
            Err(why) => Point::unknown(at, &why),
        });
    Ok(Sweep {
        package: package.entry.id.clone(),
        title: package.entry.title.clone(),
        points: points.collect(),
        axes,
        about,
    })
}

/// The number of the stop on each axis, for each point.
fn places(axes: &[Axis]) -> Vec<Vec<usize>> {
    let stops = |axis: usize| 0..axes.get(axis).map_or(0, |axis| axis.stops.len());
    match axes.len() {
        2 => stops(0)
            .flat_map(|row| stops(1).map(move |column| vec![row, column]))
            .collect(),
        _ => stops(0).map(|stop| vec![stop]).collect(),
    }
}

/// What is the same at all points.
#[derive(Debug, Clone)]
pub struct About {
    /// ID of the option.
    pub option: Option<String>,
    /// The units the package is described in.
    pub system: units::System,
    /// Diffusers that it is sold with.
    pub sold_with: u32,
    /// Currency of costs.
    pub currency: Option<String>,
}

/// What a package does as `question` lays it.
fn of_one(
    catalog: &Catalog,
    question: &Question,
    at: &[usize],
) -> Result<(Point, About), Unanswerable> {
    let moved;
    let catalog = if question.altitude.is_some() || question.hours.is_some() {
        moved = choose::at_site(catalog.clone(), question);
        &moved
    } else {
        catalog
    };
    let asked = choose::find(catalog, question)?;
    let cost = duty::cost(&asked);
    let about = About {
        option: asked.way.option().map(|option| option.id.clone()),
        system: asked.system(),
        sold_with: asked.package.diffuser_count(),
        currency: cost.as_ref().map(|cost| cost.currency.clone()),
    };
    if !asked.solver.plant.has_depth {
        return Err(Unanswerable::NoDepth);
    }
    let mut point = Point::judged(&asked, at);
    point.cost = cost.map(|cost| cost.a_month);
    Ok((point, about))
}

impl Point {
    fn unknown(at: Vec<usize>, why: &Unanswerable) -> Point {
        Point {
            at,
            grade: Grade::NotJudged,
            outcome: Outcome::NotEvaluated,
            pressure: Three::default(),
            limit: None,
            air: Three::default(),
            least_fed: Three::default(),
            needed: None,
            area: Three::default(),
            rated_area: None,
            deepest: Three::default(),
            power: None,
            cost: None,
            missing: Some(why.to_string()),
        }
    }

    fn judged(asked: &Asked, at: &[usize]) -> Point {
        let solver = &asked.solver;
        let corner = |corner: Corner| solver.corner(corner);
        let pressure = |of: Corner| corner(of).and_then(|settled| duty::open_pressure(&settled));
        let air = |of: Corner| corner(of).and_then(|settled| settled.delivered());
        let settled = asked.settled();
        let judged: Vec<Judged> = depth::criteria(solver.clone())
            .into_iter()
            .flatten()
            .map(|criterion| criterion.judge(&asked.assumptions))
            .collect();
        let flow = judged.iter().find(|one| one.name == "flow");
        let outcome = match judged.as_slice() {
            [] => Outcome::NotEvaluated,
            judged => worst(judged),
        };
        let deepest = limits::depth(asked);
        let laid_at = asked.asked_depth.or(asked.claimed_depth);
        let is_reached =
            laid_at.is_none_or(|depth| deepest.central.is_none_or(|most| depth <= most));
        let area = is_reached.then(|| limits::area(asked));
        let three = |limit: &limits::Limit| Three {
            low: limit.low,
            typical: limit.central,
            high: limit.high,
        };
        Point {
            at: at.to_vec(),
            grade: Grade::of(outcome, depth::all_hold(&judged)),
            outcome,
            pressure: Three {
                low: pressure(Corner::LeastPressure),
                typical: pressure(Corner::Central),
                high: pressure(Corner::GreatestPressure),
            },
            limit: solver.plant.max_pressure(),
            air: Three {
                low: air(Corner::LeastFlow),
                typical: air(Corner::Central),
                high: air(Corner::GreatestFlow),
            },
            least_fed: flow.map_or(Three::default(), |flow| Three {
                low: flow.low,
                typical: flow.central,
                high: flow.high,
            }),
            // Any air at all will do where no least is stated.
            needed: flow
                .map(|flow| flow.needed)
                .filter(|needed| *needed > f64::MIN_POSITIVE),
            area: area.as_ref().map_or(Three::default(), three),
            rated_area: area.and_then(|area| area.rated),
            deepest: three(&deepest),
            power: settled
                .as_ref()
                .ok()
                .and_then(|settled| duty::power_of(asked, settled)),
            cost: None,
            missing: settled.err().map(|why| why.to_string()),
        }
    }
}
