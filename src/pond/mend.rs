//! How far a package goes in a pond, and the change that would make one serve that doesn't.
//!
//! A change is only named after the package was judged with it.

use crate::assumptions::Values;
use crate::catalog::{Conditions, Figure, Given, Package};
use crate::claims::airline_length::{Limits, longest, share_lost};
use crate::claims::oversized::SIZES;
use crate::claims::service;
use crate::claims::verdict::InService;
use crate::claims::{Grade, Verdict, depth};
use crate::derive::plant::{Lines, Plant};
use crate::derive::{Solver, Way};

use super::fit::{COST, Fit, Judge, LINE, Laid, SUPPLY, serves};
use super::offers::{Offer, bore, longest_run, quiet_from};

/// A change to a package as it is laid. SI throughout.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Change {
    /// Every run in this bore, m.
    Bore(f64),
    /// Every run at most so long, m.
    Run(f64),
    /// Every diffuser at most so deep, m.
    Depth(f64),
    /// So many diffusers, each on a run of its own: a package that nobody sells.
    Diffusers(u32),
    /// So many packages, each for its share of the pond.
    Packages(u32),
    /// The ear at least so far away, m.
    Ear(f64),
    /// So many running hours a day.
    Hours(f64),
}

/// A change that makes a package serve.
#[derive(Debug, Clone, PartialEq)]
pub struct Mend {
    /// What is changed.
    pub change: Change,
    /// From what, in the change's own terms; nothing where that isn't one number.
    pub from: Option<f64>,
    /// Its grade then.
    pub grade: Grade,
}

/// How far a package goes in the pond as it is laid. SI throughout.
#[derive(Debug, Clone, PartialEq)]
pub struct Reach {
    /// Pressure at the manifold, Pa.
    pub pressure: Option<f64>,
    /// Free air of all diffusers, m3/s.
    pub air: Option<f64>,
    /// Diffusers.
    pub diffusers: u32,
    /// Bore of its runs, m.
    pub bore: Option<f64>,
    /// Its longest run in the pond, m.
    pub run: f64,
    /// The longest run of that bore that pressure and air allow here, at typical values, m.
    pub longest_run: Option<f64>,
    /// Share of the air that its runs cost.
    pub line_loss: Option<f64>,
    /// The next larger bore, m, and the share by which it gains air.
    pub wider: Option<(f64, f64)>,
    /// The greatest depth that is rated here, m.
    pub depth: Option<f64>,
    /// The largest area that is rated here, m2.
    pub area: Option<f64>,
    /// What is left after a season.
    pub in_service: Option<InService>,
}

/// How far an offer goes; nothing where it can't be laid.
pub fn reach(judge: &Judge, offer: &Offer) -> Option<Reach> {
    let laid = judge.lay(offer.package, offer.way);
    let solver = laid.solver().ok()?;
    let central = laid.facts.assumptions.central();
    let settled = solver.at(&central)?;
    let plant = &solver.plant;
    let bare = solver.with(plant.clone().without(Lines::Runs));
    let bore = bore(plant);
    Some(Reach {
        pressure: settled.pressure(),
        air: settled.delivered(),
        diffusers: plant.diffusers(),
        bore,
        run: longest_run(plant),
        longest_run: longest_here(solver, &central),
        line_loss: share_lost(solver, &bare, Lines::Runs, &central),
        wider: bore.and_then(|bore| wider(solver, bore, &central)),
        depth: offer.fit.rated_depth,
        area: offer.fit.rated_area,
        in_service: in_service(judge, &laid),
    })
}

/// The longest run that pressure and air allow at typical values, m.
fn longest_here(solver: &Solver, central: &Values) -> Option<f64> {
    let limits = Limits {
        pressure: central.clone(),
        flow: central.clone(),
        loss: None,
    };
    longest(solver, Lines::Runs, &limits)
}

/// The sizes above `bore`, m: those that a buyer would see as larger.
fn larger(bore: f64) -> impl Iterator<Item = f64> {
    SIZES
        .iter()
        .map(|inches| inches * 0.0254)
        .filter(move |size| *size > bore * 1.1)
}

/// The next larger size, and by how much more air comes through it.
fn wider(solver: &Solver, bore: f64, central: &Values) -> Option<(f64, f64)> {
    let next = larger(bore).next()?;
    let wide = solver.with(solver.plant.clone().with_bore(next));
    let air = |solver: &Solver| solver.at(central)?.delivered();
    let (wide, own) = (air(&wide)?, air(solver)?);
    (own > 0.0).then(|| (next, wide / own - 1.0))
}

fn in_service(judge: &Judge, laid: &Laid) -> Option<InService> {
    let ground = judge.ground(laid);
    let mut verdicts: Vec<Verdict> = Vec::new();
    depth::judge(&ground, &mut verdicts);
    let verdict = verdicts.first_mut()?;
    service::add(&ground, verdict);
    verdict.in_service.take()
}

/// The changes that would each alone make an offer serve, the least trouble first.
pub fn mends(judge: &Judge, offer: &Offer) -> Vec<Mend> {
    if serves(offer.grade())
        || offer
            .fit
            .need(SUPPLY)
            .is_some_and(|need| !serves(need.grade))
    {
        return Vec::new();
    }
    let trial = Trial { judge, offer };
    let trials = [
        trial.bore(),
        trial.run(),
        trial.depth(),
        trial.diffusers(),
        trial.packages(),
        trial.ear(),
        trial.hours(),
    ];
    trials.into_iter().flatten().collect()
}

/// An offer that is tried with a change.
struct Trial<'a> {
    judge: &'a Judge<'a>,
    offer: &'a Offer<'a>,
}

/// The greatest number of alike packages that is tried: more than that nobody puts at one pond.
const MOST_PACKAGES: u32 = 4;

/// The greatest number of diffusers that is tried.
const MOST: u32 = 24;

impl Trial<'_> {
    fn plant(&self) -> Option<Plant<'_>> {
        let laid = self.judge.lay(self.offer.package, self.offer.way);
        laid.facts
            .ways
            .into_iter()
            .next()?
            .solver
            .ok()
            .map(|solver| solver.plant.clone())
    }

    /// How `package` serves laid as `plant`.
    fn fit<'p>(&'p self, package: &'p Package, way: Way<'p>, plant: Plant<'p>) -> Fit {
        let laid = self.judge.laid(package, way, Ok(plant));
        self.judge.fit(&laid)
    }

    /// A plant's grade, the need `but` left aside: the change is what meets it.
    fn with(&self, plant: Plant, but: Option<&str>) -> Grade {
        let fit = self.fit(self.offer.package, self.offer.way, plant);
        without(fit, but)
    }

    /// The smallest larger bore that serves.
    fn bore(&self) -> Option<Mend> {
        let plant = self.plant()?;
        let own = bore(&plant)?;
        let mut tried = larger(own).map(|bore| {
            let grade = self.with(plant.clone().with_bore(bore), None);
            (bore, grade)
        });
        let (bore, grade) = tried.find(|(_, grade)| serves(*grade))?;
        Some(Mend {
            change: Change::Bore(bore),
            from: Some(own),
            grade,
        })
    }

    /// A cabinet nearer to the water.
    fn run(&self) -> Option<Mend> {
        let plant = self.plant()?;
        let own = longest_run(&plant);
        let laid = self.judge.lay(self.offer.package, self.offer.way);
        let solver = laid.solver().ok()?;
        let central = laid.facts.assumptions.central();
        let physics = longest_here(solver, &central)?;
        let allowed = self.offer.fit.need(LINE).and_then(|need| need.rated);
        let most = allowed.map_or(physics, |most| most.min(physics));
        // To half a metre below, as people pace it out.
        let most = (most * 2.0).floor() / 2.0;
        if most <= 0.0 || most >= own {
            return None;
        }
        let runs = self.judge.runs(&plant).into_iter();
        let runs: Vec<f64> = runs.map(|run| run.min(most)).collect();
        let nearer = match runs.as_slice() {
            [] => plant.with_run(most),
            runs => plant.with_runs(runs),
        };
        let grade = self.with(nearer, None);
        serves(grade).then_some(Mend {
            change: Change::Run(most),
            from: Some(own),
            grade,
        })
    }

    /// Diffusers that lie less deep.
    fn depth(&self) -> Option<Mend> {
        let own = self.judge.pond.depth;
        let rated = self.offer.fit.rated_depth?;
        let most = (rated * 20.0).floor() / 20.0;
        if most <= 0.0 || most >= own {
            return None;
        }
        let package = with_claim(self.offer.package, |package| {
            for row in [&mut package.claims.depth, &mut package.claims.area] {
                at_depth(row, most);
            }
        });
        let plant = self.plant()?.within(most);
        let way = self.offer.way;
        let grade = {
            let mut laid = self.judge.laid(&package, way, Ok(plant));
            laid.facts.claimed_depth = Some(most);
            laid.facts.ways[0].claimed_depth = Some(most);
            self.judge.fit(&laid).grade()
        };
        serves(grade).then_some(Mend {
            change: Change::Depth(most),
            from: Some(own),
            grade,
        })
    }

    /// More diffusers, or fewer: the nearest number that serves.
    fn diffusers(&self) -> Option<Mend> {
        let plant = self.plant()?;
        let [outlet] = plant.outlets.as_slice() else {
            return None;
        };
        let (runs, per_run) = (outlet.runs, outlet.per_run);
        let by_distance = (1..=MOST).flat_map(|off| [runs.checked_add(off), runs.checked_sub(off)]);
        let counts = by_distance
            .flatten()
            .filter(|count| (1..=MOST).contains(count));
        let mut tried = counts.filter_map(|count| {
            let made_up = plant.clone().with_run_count(count)?;
            Some((count, self.with(made_up, None)))
        });
        let (count, grade) = tried.find(|(_, grade)| serves(*grade))?;
        Some(Mend {
            change: Change::Diffusers(count * per_run),
            from: Some(f64::from(runs * per_run)),
            grade,
        })
    }

    /// Several alike packages: the least number that serves.
    fn packages(&self) -> Option<Mend> {
        let counts = 2..=MOST_PACKAGES;
        let mut tried = counts.map(|count| {
            let part = self.judge.pond.shared_by(count);
            let package = with_claim(self.offer.package, |package| package.claims = part.claims());
            let judge = Judge {
                catalog: self.judge.catalog,
                pond: &part,
                assumptions: self.judge.assumptions.clone(),
                rating: self.judge.rating,
            };
            let laid = judge.lay(&package, self.offer.way);
            (count, judge.fit(&laid).grade())
        });
        let (count, grade) = tried.find(|(_, grade)| serves(*grade))?;
        Some(Mend {
            change: Change::Packages(count),
            from: Some(1.0),
            grade,
        })
    }

    /// A cabinet farther from the ear.
    fn ear(&self) -> Option<Mend> {
        let need = self
            .offer
            .fit
            .need("sound")
            .filter(|need| !serves(need.grade))?;
        let ear = self.judge.pond.ear?;
        let level = need.given[0].or(need.given[1])?;
        let far = quiet_from(level, ear, need.needed).ceil();
        let grade = self.with(self.plant()?, Some("sound"));
        (far > ear && far.is_finite() && serves(grade)).then_some(Mend {
            change: Change::Ear(far),
            from: Some(ear),
            grade,
        })
    }

    /// Fewer hours a day, where those still turn the water over.
    fn hours(&self) -> Option<Mend> {
        let need = self
            .offer
            .fit
            .need(COST)
            .filter(|need| !serves(need.grade))?;
        let claim = self
            .offer
            .package
            .claims
            .area
            .known()
            .and_then(|rows| rows.first());
        let own = crate::derive::pond::hours_a_day(self.judge.catalog, self.offer.package, claim);
        let hours = (own * need.needed / need.given[1]?).floor();
        if hours < 1.0 || hours >= own {
            return None;
        }
        let package = with_claim(self.offer.package, |package| {
            for row in rows_of(&mut package.claims.area) {
                row.conditions.hours_per_day = Some(hours);
            }
        });
        let grade = self.fit(&package, self.offer.way, self.plant()?).grade();
        serves(grade).then_some(Mend {
            change: Change::Hours(hours),
            from: Some(own),
            grade,
        })
    }
}

/// A copy of a package that promises something else.
fn with_claim(package: &Package, change: impl FnOnce(&mut Package)) -> Package {
    let mut package = package.clone();
    change(&mut package);
    package
}

fn rows_of(given: &mut Given<Vec<Figure>>) -> &mut [Figure] {
    match given {
        Given::Known(rows) => rows,
        _ => &mut [],
    }
}

/// Puts a promise at another depth: that of the depth itself, and of an area the condition it holds under.
fn at_depth(given: &mut Given<Vec<Figure>>, depth: f64) {
    let Some(there) = super::asked::exact(depth, "m") else {
        return;
    };
    for row in rows_of(given) {
        if row.dimension() == there.dimension() {
            *row = there.clone();
        } else {
            row.conditions = Conditions {
                depth: Some(Box::new(there.clone())),
                ..row.conditions.clone()
            };
        }
    }
}

/// The grade over all needs but one.
fn without(mut fit: Fit, but: Option<&str>) -> Grade {
    fit.needs.retain(|need| but != Some(need.name));
    fit.grade()
}
