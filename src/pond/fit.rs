//! One package laid in a pond, and a grade for each thing the pond needs.

use std::sync::Arc;

use crate::assumptions::{Assumptions, Rating, Values};
use crate::catalog::{Catalog, Figure, Package};
use crate::claims::verdict::Verdict;
use crate::claims::{
    Grade, Ground, Judged, Outcome, Sense, area, depth, oxygen, running_cost, sound,
};
use crate::derive::plant::Plant;
use crate::derive::pond::{Setting, hours_a_day};
use crate::derive::{Missing, PackageFacts, Solver, Way, WayFacts, machine, ranges};
use crate::units::{Dimension, math};

use super::asked::Pond;
use super::layout;
use super::plan::own_depths;

/// Something the pond needs, and how it is met. SI throughout.
#[derive(Debug, Clone, PartialEq)]
pub struct Need {
    /// Its name in reports.
    pub name: &'static str,
    /// Of what, in words.
    pub says: &'static str,
    /// Dimension of the numbers.
    pub dimension: Dimension,
    /// Which way it must lie.
    pub sense: Sense,
    /// What is needed.
    pub needed: f64,
    /// With everything against it, at typical values and with everything for it.
    pub given: [Option<f64>; 3],
    /// On the basis that capacities are rated on.
    pub rated: Option<f64>,
    /// How it is met.
    pub grade: Grade,
    /// The fact that is missing, where it isn't judged.
    pub missing: Option<String>,
}

/// How a package serves a pond.
#[derive(Debug, Clone)]
pub struct Fit {
    /// Each need, in the order of the format.
    pub needs: Vec<Need>,
    /// The largest area that is rated here, m2.
    pub rated_area: Option<f64>,
    /// The greatest depth that is rated here, m.
    pub rated_depth: Option<f64>,
}

/// The names of the needs that aren't criteria of a promise.
pub const SUPPLY: &str = "supply";
/// That the buyer may lay so long a line.
pub const LINE: &str = "line";
/// What running costs.
pub const COST: &str = "cost";

/// From best to worst for a pond. What isn't known may still serve.
pub fn rank(grade: Grade) -> u8 {
    match grade {
        Grade::Holds => 0,
        Grade::WithinRating => 1,
        Grade::NotJudged => 2,
        Grade::BeyondRating => 3,
        Grade::Contradicted => 4,
    }
}

/// Whether a grade is an answer of yes.
pub fn serves(grade: Grade) -> bool {
    matches!(grade, Grade::Holds | Grade::WithinRating)
}

impl Need {
    /// Whether it has numbers to show, and isn't only met or not.
    pub fn is_measured(&self) -> bool {
        self.name != SUPPLY && !self.says.is_empty()
    }

    /// How much more is given than needed, as a share of it: below nothing it falls short. A level counts as the
    /// pressure of its sound.
    pub fn margin(&self) -> Option<f64> {
        let value = self.rated.or(self.given[1])?;
        let is_level = matches!(
            self.dimension,
            Dimension::SoundLevel | Dimension::WeightedSoundLevel
        );
        let ratio = match (is_level, self.sense) {
            (true, Sense::AtMost) => math::powf(10.0, (self.needed - value) / 20.0),
            (true, Sense::AtLeast) => math::powf(10.0, (value - self.needed) / 20.0),
            (false, Sense::AtLeast) => value / self.needed,
            (false, Sense::AtMost) => self.needed / value,
        };
        (!ratio.is_nan()).then_some(ratio - 1.0)
    }
}

impl Fit {
    /// The grade over all needs: the worst.
    pub fn grade(&self) -> Grade {
        let grades = self.needs.iter().map(|need| need.grade);
        grades
            .max_by_key(|grade| rank(*grade))
            .unwrap_or(Grade::NotJudged)
    }

    /// The least margin over all needs.
    pub fn margin(&self) -> Option<f64> {
        let margins = self.needs.iter().filter_map(Need::margin);
        margins.min_by(f64::total_cmp)
    }

    /// The need that fails first: of the worst grade, the one that falls short by most.
    pub fn first_to_fail(&self) -> Option<&Need> {
        let by = |need: &&Need| {
            let short = need.margin().map_or(0.0, |margin| -margin);
            // What doesn't run at all needn't be looked at further.
            (rank(need.grade), need.name == SUPPLY, short)
        };
        let failing = self.needs.iter().filter(|need| !serves(need.grade));
        failing.max_by(|a, b| {
            let (a, b) = (by(a), by(b));
            (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2))
        })
    }

    /// The need of that name.
    pub fn need(&self, name: &str) -> Option<&Need> {
        self.needs.iter().find(|need| need.name == name)
    }
}

/// What packages of a catalog are judged with.
pub struct Judge<'c> {
    /// The catalog, with the pond's needs put to its packages.
    pub catalog: &'c Catalog,
    /// The pond.
    pub pond: &'c Pond,
    /// The ranges that count for every package.
    pub assumptions: Arc<Assumptions>,
    /// The basis on which capacities are rated.
    pub rating: Rating,
}

/// A way to buy a package, laid in the pond.
pub struct Laid<'c> {
    /// The package with this way alone.
    pub facts: PackageFacts<'c>,
}

impl Laid<'_> {
    /// The solver of its plant.
    ///
    /// # Errors
    /// The fact that keeps it from being laid.
    pub fn solver(&self) -> Result<&Arc<Solver<'_>>, &Missing> {
        self.facts.ways[0].solver.as_ref()
    }
}

impl<'c> Judge<'c> {
    /// For the packages of `catalog`, to which `pond` was put.
    pub fn new(catalog: &'c Catalog, pond: &'c Pond) -> Judge<'c> {
        Judge {
            catalog,
            pond,
            assumptions: Arc::new(ranges::assumptions(catalog)),
            rating: ranges::rating(catalog),
        }
    }

    /// A way to buy a package as it would lie in the pond.
    pub fn lay(&self, package: &'c Package, way: Way<'c>) -> Laid<'c> {
        let plant = Plant::of(self.catalog, package, way);
        self.laid(package, way, plant.map(|plant| self.in_pond(plant)))
    }

    /// How long the runs of a plant are here, m: as the pond states them, else from the cabinet's place to those of the
    /// diffusers. None where neither is known.
    pub fn runs(&self, plant: &Plant) -> Vec<f64> {
        let layouts = &self.pond.layouts;
        if !self.pond.runs.is_empty() || layouts.cabinet.is_none() {
            return self.pond.runs.clone();
        }
        let mut own_depths = own_depths(plant);
        // More runs than places are sought for are as long as so many.
        own_depths.truncate(layout::MOST);
        let layout = layouts.of(&own_depths);
        let places = layout.iter().flat_map(|layout| &layout.places);
        places.filter_map(|place| place.run).collect()
    }

    /// A plant in the pond, with the pond's runs.
    fn in_pond<'p>(&self, plant: Plant<'p>) -> Plant<'p> {
        let depth = self.pond.depth;
        let runs = self.runs(&plant);
        plant.with_runs(&runs).within(depth).at_depth(depth)
    }

    /// The same laid as `plant`.
    pub fn laid<'p>(
        &self,
        package: &'p Package,
        way: Way<'p>,
        plant: Result<Plant<'p>, Missing>,
    ) -> Laid<'p> {
        let own = ranges::assumptions_for(self.catalog, package);
        let assumptions = own.map_or(self.assumptions.clone(), Arc::new);
        let depth = Some(self.pond.depth);
        let laid = WayFacts::laid(package, way, plant, depth, &assumptions);
        Laid {
            facts: PackageFacts {
                package,
                claimed_depth: depth,
                ways: vec![laid],
                system: self.pond.system,
                assumptions,
            },
        }
    }

    /// How it serves.
    pub fn fit<'l>(&'l self, laid: &'l Laid<'l>) -> Fit {
        let ground = self.grades(laid);
        let mut needs = Vec::new();
        needs.extend(self.supply(&ground));
        let mut verdicts = Vec::new();
        depth::judge(&ground, &mut verdicts);
        let rated_depth = verdicts.first().and_then(|verdict| verdict.rated);
        verdicts
            .iter()
            .for_each(|verdict| of_depth(verdict, &mut needs));
        verdicts.clear();
        area::judge(&ground, &mut verdicts);
        let rated_area = verdicts.first().and_then(|verdict| verdict.rated);
        verdicts
            .iter()
            .for_each(|verdict| self.of_area(&ground, verdict, &mut needs));
        verdicts.clear();
        oxygen::judge(&ground, &mut verdicts);
        sound::judge(&ground, &mut verdicts);
        verdicts
            .iter()
            .for_each(|verdict| of_one(verdict, &mut needs));
        needs.extend(self.cost(&ground));
        needs.extend(line(&ground));
        Fit {
            needs,
            rated_area,
            rated_depth,
        }
    }

    /// Whether it serves, by typical values and the rating alone; nothing where that takes the whole judgement.
    ///
    /// A criterion moves one way with each range. So what holds at typical values fails nowhere in its range for good,
    /// and what fails there is beyond the rating: either way the grade's side is known without its corners.
    pub fn serves_at_a_glance(&self, laid: &Laid) -> Option<bool> {
        let ground = self.grades(laid);
        let way = &ground.facts.ways[0];
        let mut needs: Vec<Need> = Vec::new();
        needs.extend(self.supply(&ground));
        needs.extend(self.cost(&ground));
        needs.extend(line(&ground));
        if needs.iter().any(|need| !serves(need.grade)) {
            return Some(false);
        }
        let solver = way.solver.as_ref().ok()?;
        let area = ground.facts.package.claims.area.known()?.first()?;
        let is_usual = solver.plant.max_pressure().is_some()
            && !solver.plant.is_bounded()
            && self.pond.oxygen_uptake.is_none()
            && area.conditions.depth.is_none()
            && is_rated_within(ground.assumptions, &ground.basis());
        if !is_usual {
            return None;
        }
        let central = ground.assumptions.central();
        if !depth::holds_at(solver, &central, &central)? {
            return Some(false);
        }
        let setting = Setting::of(self.catalog, ground.facts.package, Some(area));
        if !area::is_within_rating(&ground, solver, setting, area)? {
            return Some(false);
        }
        let mut verdicts = Vec::new();
        sound::judge(&ground, &mut verdicts);
        verdicts
            .iter()
            .for_each(|verdict| of_one(verdict, &mut needs));
        Some(needs.iter().all(|need| serves(need.grade)))
    }

    /// What grades alone are judged on: a fit shows no evidence.
    fn grades<'l>(&'l self, laid: &'l Laid<'l>) -> Ground<'l> {
        Ground {
            with_evidence: false,
            ..self.ground(laid)
        }
    }

    /// What the claims of a laid package are judged on.
    pub fn ground<'l>(&'l self, laid: &'l Laid<'l>) -> Ground<'l> {
        Ground {
            catalog: self.catalog,
            assumptions: &laid.facts.assumptions,
            rating: self.rating,
            facts: &laid.facts,
            with_evidence: true,
        }
    }

    /// Whether it runs on the supply at hand.
    fn supply(&self, ground: &Ground) -> Option<Need> {
        self.pond.supply.as_ref()?;
        let (package, way) = (ground.facts.package, ground.facts.ways[0].way);
        let runs = self.pond.runs(self.catalog, package, way);
        Some(Need {
            name: SUPPLY,
            says: "runs on the supply at hand",
            dimension: Dimension::Share,
            sense: Sense::AtLeast,
            needed: 1.0,
            given: [None; 3],
            rated: None,
            grade: match runs {
                Some(true) => Grade::Holds,
                Some(false) => Grade::Contradicted,
                None => Grade::NotJudged,
            },
            missing: runs
                .is_none()
                .then(|| "the supply of its compressor".to_string()),
        })
    }

    /// Reach, turnover and mixing, each on the basis of the rating beside its ranges.
    fn of_area(&self, ground: &Ground, verdict: &Verdict, needs: &mut Vec<Need>) {
        let package = ground.facts.package;
        let claim = package.claims.area.known().and_then(|rows| rows.first());
        let setting = Setting::of(self.catalog, package, claim);
        let area = claim.map_or(self.pond.area, Figure::high);
        let criteria = match &ground.facts.ways[0].solver {
            Ok(solver) => area::criteria(ground, solver.clone(), setting, area),
            Err(_) => Vec::new(),
        };
        let basis = ground.basis();
        of_verdict(verdict, "area", needs, |judged| {
            let criterion = criteria.iter().find(|one| one.name == judged.name);
            let measured = criterion.map(|one| (one.measure)(&basis));
            let holds = criterion
                .zip(measured.as_ref())
                .and_then(|(one, of)| one.holds(of));
            let within = match verdict.within_rating {
                Some(true) => Some(true),
                _ => holds,
            };
            (within, measured.and_then(|measured| measured.value))
        });
    }

    /// What a month costs, against the most it may.
    fn cost(&self, ground: &Ground) -> Option<Need> {
        let most = self.pond.running_cost.as_ref()?;
        let (package, way) = (ground.facts.package, ground.facts.ways[0].way);
        let (price, _) = self.pond.tariff()?;
        let watts = machine::watts(self.catalog, package, way);
        let promise = package.claims.area.known().and_then(|rows| rows.first());
        let hours = hours_a_day(self.catalog, package, promise);
        // The unit's seconds are those of a usual month, so that cost in SI is by the second.
        let month = running_cost::Period::Month.hours().1 * 3600.0;
        let cost = watts.as_ref().ok();
        let cost = cost.map(|watts| {
            let middle = f64::midpoint(watts.least, watts.most);
            [watts.most, middle, watts.least]
                .map(|watts| running_cost::a_month(watts, hours, price) / month)
        });
        Some(Need {
            name: COST,
            says: "cost of running",
            dimension: Dimension::MoneyPerTime,
            sense: Sense::AtMost,
            needed: most.low(),
            given: [0, 1, 2].map(|at| cost.map(|cost| cost[at])),
            rated: cost.map(|cost| cost[1]),
            grade: match cost {
                Some([worst, ..]) if worst <= most.low() => Grade::Holds,
                Some([.., best]) if best > most.low() => Grade::Contradicted,
                Some([_, middle, _]) if middle <= most.low() => Grade::WithinRating,
                Some(_) => Grade::BeyondRating,
                None => Grade::NotJudged,
            },
            missing: watts.err().map(|missing| missing.fact),
        })
    }
}

/// Whether what is rated lies within the ranges: then the best case is no worse than the rating.
fn is_rated_within(assumptions: &Assumptions, basis: &Values) -> bool {
    let mut ranges = assumptions.iter();
    ranges.all(|range| {
        let value = basis[range.name];
        let spare = 1e-9 * value.abs();
        range.low() <= value + spare && value - spare <= range.high()
    })
}

/// The need of a claim with one criterion, which is known by what is asked for.
fn of_one(verdict: &Verdict, needs: &mut Vec<Need>) {
    let rated = |_: &Judged| (verdict.within_rating, verdict.rated);
    of_verdict(verdict, verdict.claim.as_str(), needs, rated);
    if let Some(need) = needs.last_mut() {
        need.name = verdict.claim.as_str();
    }
}

/// Whether the seller lets the buyer lay so long a line; nothing where it comes with the package.
fn line(ground: &Ground) -> Option<Need> {
    let Way::Allowed(_, allow) = ground.facts.ways[0].way else {
        return None;
    };
    let most = allow.up_to.known()?.high();
    let solver = ground.facts.ways[0].solver.as_ref().ok()?;
    let outlets = solver.plant.outlets.iter();
    let longest = outlets
        .map(|outlet| outlet.run_length())
        .fold(0.0, f64::max);
    Some(Need {
        name: LINE,
        says: "run that the seller allows",
        dimension: Dimension::Length,
        sense: Sense::AtLeast,
        needed: longest,
        given: [Some(most); 3],
        rated: Some(most),
        grade: if most >= longest * (1.0 - 1e-9) {
            Grade::Holds
        } else {
            Grade::BeyondRating
        },
        missing: None,
    })
}

/// Pressure and air, which are rated at typical values.
fn of_depth(verdict: &Verdict, needs: &mut Vec<Need>) {
    of_verdict(verdict, "depth", needs, |judged| {
        (judged.holds_centrally, judged.central)
    });
}

/// The criteria of a verdict that decide, each with its own grade; one without any where it isn't judged. `rated`
/// says whether a criterion is within the rating, and what is rated by it.
fn of_verdict(
    verdict: &Verdict,
    name: &'static str,
    needs: &mut Vec<Need>,
    rated: impl Fn(&Judged) -> (Option<bool>, Option<f64>),
) {
    let deciding = verdict
        .criteria
        .iter()
        .filter(|one| !area::is_advice(one.name));
    let before = needs.len();
    for judged in deciding {
        let (within, value) = rated(judged);
        // A criterion alone may refute where the verdict over all of them doesn't.
        let outcome = match judged.outcome {
            Outcome::Contradicted if verdict.outcome != Outcome::Contradicted => Outcome::Undecided,
            outcome => outcome,
        };
        let grade = Grade::of(outcome, within);
        let missing = verdict.missing.as_ref().map(|missing| missing.fact.clone());
        needs.push(Need {
            name: judged.name,
            says: judged.says,
            dimension: judged.dimension,
            sense: judged.sense,
            needed: judged.needed,
            given: [judged.low, judged.central, judged.high],
            rated: value,
            grade,
            missing: missing.filter(|_| grade == Grade::NotJudged),
        });
    }
    if needs.len() == before {
        needs.push(Need {
            name,
            says: "",
            dimension: verdict.dimension,
            sense: Sense::AtLeast,
            needed: verdict.si,
            given: [None; 3],
            rated: None,
            grade: verdict.grade(),
            missing: verdict.missing.as_ref().map(|missing| missing.fact.clone()),
        });
    }
}
