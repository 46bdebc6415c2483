//! Every way to buy every package, as it serves the pond, in the order that is asked for.

use std::cmp::Ordering;

use rayon::prelude::*;

use crate::catalog::{Identity, Package};
use crate::claims::{Grade, running_cost};
use crate::derive::plant::Plant;
use crate::derive::pond::hours_a_day;
use crate::derive::{Way, machine, sound};
use crate::units::math;

use super::fit::{Fit, Judge, Laid, SUPPLY, rank, serves};

/// What packages are ranked by.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rank {
    /// What it costs to buy.
    Price,
    /// What it costs to run.
    Cost,
    /// How loud it is.
    Noise,
    /// How much more it gives than is needed.
    Margin,
}

impl Rank {
    /// As a command line has it.
    pub fn as_str(self) -> &'static str {
        match self {
            Rank::Price => "price",
            Rank::Cost => "cost",
            Rank::Noise => "noise",
            Rank::Margin => "margin",
        }
    }
}

/// A sum and its currency.
#[derive(Debug, Clone, PartialEq)]
pub struct Money {
    /// In the currency's own unit.
    pub sum: f64,
    /// Code of the currency.
    pub currency: String,
}

impl Money {
    /// So many times as much.
    pub fn times(&self, count: f64) -> Money {
        Money {
            sum: self.sum * count,
            currency: self.currency.clone(),
        }
    }
}

/// A way to buy a package, and how it serves.
#[derive(Debug, Clone)]
pub struct Offer<'c> {
    /// Number of its catalog among those that were given.
    pub catalog: usize,
    /// The package.
    pub package: &'c Package,
    /// How it is bought and laid.
    pub way: Way<'c>,
    /// How it serves.
    pub fit: Fit,
    /// Its price as it is sold.
    pub price: Option<Money>,
    /// Power from the supply, W.
    pub watts: Option<f64>,
    /// Electricity in a month of usual length, kWh.
    pub energy: Option<f64>,
    /// What that costs, where the pond's tariff is known.
    pub month: Option<Money>,
    /// Level at the ear, or at [`FAR`] where there is none: the middle of its range, dB(A).
    pub noise: Option<f64>,
    /// Airline of each run that is needed and doesn't come with it, m.
    pub line_short: Option<f64>,
}

/// Distance at which levels are compared where no ear is known, m.
pub const FAR: f64 = 10.0;

impl Offer<'_> {
    /// The ID of its option; nothing where the package has none.
    pub fn option(&self) -> Option<&str> {
        self.way.option().map(|option| option.id.as_str())
    }

    /// Whether it isn't known not to run on the supply at hand.
    pub fn runs(&self) -> bool {
        let supply = self.fit.need(SUPPLY);
        supply.is_none_or(|need| need.grade != Grade::Contradicted)
    }

    /// Its grade.
    pub fn grade(&self) -> Grade {
        self.fit.grade()
    }
}

/// What is answered: offers, the best first.
pub struct Answer<'c> {
    /// Those that were looked at closely: at least as many of the best as were asked for.
    pub offers: Vec<Offer<'c>>,
    /// How many there are.
    pub count: usize,
    /// How many serve.
    pub serving: usize,
    /// Of those that run on the supply at hand and fail, though they cost less than the first, the nearest to it in
    /// what is ranked by.
    pub next_cheaper: Option<Offer<'c>>,
    /// What they are ranked by.
    pub by: Rank,
    /// Whether that was asked for.
    pub asked: bool,
}

impl<'c> Answer<'c> {
    /// Those that serve, among those that were looked at closely.
    pub fn serving(&self) -> impl Iterator<Item = &Offer<'c>> {
        self.offers.iter().filter(|offer| serves(offer.grade()))
    }

    /// The others that serve and are no worse than the first in what is ranked by.
    pub fn as_good_as_the_first(&self) -> Vec<&Offer<'c>> {
        let mut serving = self.serving();
        let first = serving.next();
        let is_alike = |one: &&Offer| {
            first.is_some_and(|first| compare(first, *one, self.by) == Ordering::Equal)
        };
        serving.take_while(is_alike).collect()
    }
}

/// An offer before anybody looked closely: what it is ranked by, and whether it serves.
struct Sketch<'c> {
    catalog: usize,
    package: &'c Package,
    /// Ways to lay it, of which the best is offered: one where that is known already.
    ways: Vec<Way<'c>>,
    keys: Keys,
    serves: bool,
    /// Whether it isn't known not to run on the supply at hand, and so may be told as the next cheaper.
    runs: bool,
}

/// What an offer is ranked by, beside what it has to spare.
#[derive(Debug, Clone)]
struct Keys {
    price: Option<Money>,
    watts: Option<f64>,
    energy: Option<f64>,
    noise: Option<f64>,
}

/// Offers of the catalogs that `judges` judge for one pond, the best `closely` of them at the least; ranked by price
/// where all that serve have one in one currency, else by what they cost to run, unless `by` says by what.
pub fn answer<'c>(judges: &'c [Judge<'c>], by: Option<Rank>, closely: usize) -> Answer<'c> {
    let packages = judges.iter().enumerate().flat_map(|(catalog, judge)| {
        let packages = judge.catalog.packages.iter();
        packages.map(move |package| (catalog, judge, package))
    });
    let packages: Vec<_> = packages.collect();
    // What is to spare is only known of what was looked at closely.
    if by == Some(Rank::Margin) || closely >= packages.len() {
        return of_all(packages, by);
    }
    let sketches: Vec<Sketch> = packages
        .into_par_iter()
        .flat_map_iter(|(catalog, judge, package)| sketches(catalog, judge, package))
        .collect();
    let serving: Vec<&Sketch> = sketches.iter().filter(|one| one.serves).collect();
    let usual = usual_rank(serving.iter().map(|one| one.keys.price.as_ref()));
    let (by, asked) = (by.unwrap_or(usual), by.is_some());
    let look = |wanted: Vec<&Sketch<'c>>| {
        let look =
            |one: &Sketch<'c>| best(one.catalog, &judges[one.catalog], one.package, &one.ways);
        let mut offers: Vec<Offer> = wanted.into_par_iter().filter_map(look).collect();
        sort(&mut offers, by);
        offers
    };
    // Whoever ties with the last that is wanted may come before it.
    let mut ranked = serving.clone();
    ranked.sort_by(|a, b| compare(*a, *b, by));
    let last = closely.checked_sub(1).and_then(|last| ranked.get(last));
    let offers = match last {
        Some(last) => {
            let within = |one: &&&Sketch| compare(**one, *last, by) != Ordering::Greater;
            look(serving.iter().filter(within).copied().collect())
        }
        // Too few serve: what fails is listed by how near it comes.
        None => look(sketches.iter().collect()),
    };
    let next_cheaper = ranked.first().and_then(|best| {
        let failing = sketches.iter().filter(|one| !one.serves && one.runs);
        let less = failing.filter(|one| compare(*one, *best, by) == Ordering::Less);
        let less: Vec<&Sketch> = less.collect();
        let most = less.iter().copied().max_by(|a, b| compare(*a, *b, by))?;
        let tied = less.into_iter();
        let tied = tied.filter(|one| compare(*one, most, by) == Ordering::Equal);
        look(tied.collect()).pop()
    });
    Answer {
        offers,
        count: sketches.len(),
        serving: serving.len(),
        next_cheaper,
        by,
        asked,
    }
}

/// The answer with every offer looked at closely.
fn of_all<'c>(packages: Vec<(usize, &'c Judge<'c>, &'c Package)>, by: Option<Rank>) -> Answer<'c> {
    let mut offers: Vec<Offer> = packages
        .into_par_iter()
        .flat_map_iter(|(catalog, judge, package)| of_package(catalog, judge, package))
        .collect();
    let serving = |offers: &[Offer]| offers.iter().filter(|one| serves(one.grade())).count();
    let usual = usual_rank(
        offers
            .iter()
            .filter(|one| serves(one.grade()))
            .map(|one| one.price.as_ref()),
    );
    let (by, asked) = (by.unwrap_or(usual), by.is_some());
    sort(&mut offers, by);
    let best = offers.iter().find(|offer| serves(offer.grade()));
    let next_cheaper = best.and_then(|best| {
        let runs = |offer: &&Offer| offer.fit.need(SUPPLY).is_none_or(|need| serves(need.grade));
        let failing = offers.iter().filter(|offer| !serves(offer.grade()));
        let less = failing
            .filter(runs)
            .filter(|offer| compare(*offer, best, by) == Ordering::Less);
        less.max_by(|a, b| compare(*a, *b, by)).cloned()
    });
    Answer {
        count: offers.len(),
        serving: serving(&offers),
        offers,
        next_cheaper,
        by,
        asked,
    }
}

/// The best first.
fn sort(offers: &mut [Offer], by: Rank) {
    offers.sort_by(|a, b| {
        let class = |offer: &Offer| class(offer.grade());
        let by_fit = || {
            let of = |offer: &Offer| offer.fit.margin().unwrap_or(-1.0);
            of(b).total_cmp(&of(a))
        };
        // Where no air flows, the one that goes deepest comes nearest.
        let by_depth = || {
            let of = |offer: &Offer| offer.fit.rated_depth.filter(|_| class(offer) > 0);
            of(b).unwrap_or(0.0).total_cmp(&of(a).unwrap_or(0.0))
        };
        // What fails is listed by how near it comes.
        let serving = class(a) == 0 && class(b) == 0;
        let wanted = if serving {
            compare(a, b, by)
        } else {
            Ordering::Equal
        };
        let runs = b.runs().cmp(&a.runs());
        class(a)
            .cmp(&class(b))
            .then(wanted)
            .then(runs)
            .then_with(by_fit)
            .then_with(by_depth)
    });
}

/// Of two that serve neither is better for serving with more to spare.
fn class(grade: Grade) -> u8 {
    rank(grade).max(1) - 1
}

/// By price where all that serve have one in one currency, else by what they cost to run.
fn usual_rank<'p>(mut serving: impl Iterator<Item = Option<&'p Money>>) -> Rank {
    let Some(Some(first)) = serving.next() else {
        return Rank::Cost;
    };
    let alike = |price: Option<&Money>| price.is_some_and(|one| one.currency == first.currency);
    if serving.all(alike) {
        Rank::Price
    } else {
        Rank::Cost
    }
}

/// What may be ranked.
trait Ranked {
    fn price(&self) -> Option<&Money>;
    fn energy(&self) -> Option<f64>;
    fn noise(&self) -> Option<f64>;
    fn margin(&self) -> Option<f64>;
}

impl Ranked for Offer<'_> {
    fn price(&self) -> Option<&Money> {
        self.price.as_ref()
    }

    fn energy(&self) -> Option<f64> {
        self.energy
    }

    fn noise(&self) -> Option<f64> {
        self.noise
    }

    fn margin(&self) -> Option<f64> {
        self.fit.margin()
    }
}

impl Ranked for Sketch<'_> {
    fn price(&self) -> Option<&Money> {
        self.keys.price.as_ref()
    }

    fn energy(&self) -> Option<f64> {
        self.keys.energy
    }

    fn noise(&self) -> Option<f64> {
        self.keys.noise
    }

    fn margin(&self) -> Option<f64> {
        None
    }
}

/// The better of two by `rank` first; what isn't known comes last, and sums of different currencies aren't compared.
fn compare(a: &impl Ranked, b: &impl Ranked, by: Rank) -> Ordering {
    let known = |a: Option<f64>, b: Option<f64>| match (a, b) {
        (Some(a), Some(b)) => a.total_cmp(&b),
        (Some(_), None) => Ordering::Less,
        (None, Some(_)) => Ordering::Greater,
        (None, None) => Ordering::Equal,
    };
    match by {
        Rank::Price => match (a.price(), b.price()) {
            (Some(a), Some(b)) => a.currency.cmp(&b.currency).then(a.sum.total_cmp(&b.sum)),
            (a, b) => known(a.map(|a| a.sum), b.map(|b| b.sum)),
        },
        Rank::Cost => known(a.energy(), b.energy()),
        Rank::Noise => known(a.noise(), b.noise()),
        Rank::Margin => known(
            a.margin().map(|margin| -margin),
            b.margin().map(|margin| -margin),
        ),
    }
}

/// The offers of a package as far as a glance tells of them.
fn sketches<'c>(catalog: usize, judge: &'c Judge<'c>, package: &'c Package) -> Vec<Sketch<'c>> {
    let of_group = |ways: Vec<Way<'c>>| {
        let laid = judge.lay(package, ways[0]);
        let keys = keys(judge, &laid, ways[0]);
        let runs = is_run(judge, package, ways[0]);
        // Where a glance doesn't tell, somebody looks closely.
        let serves = |way: &Way<'c>| {
            let laid = judge.lay(package, *way);
            let glance = judge.serves_at_a_glance(&laid);
            glance.unwrap_or_else(|| serves(judge.fit(&laid).grade()))
        };
        let serving = ways
            .iter()
            .copied()
            .filter(serves)
            .min_by_key(|way| size(*way));
        Sketch {
            catalog,
            package,
            serves: serving.is_some(),
            ways: serving.map_or(ways, |way| vec![way]),
            keys,
            runs,
        }
    };
    groups(package).into_iter().map(of_group).collect()
}

/// The ways to buy a package, those together of which an offer is the best.
fn groups(package: &Package) -> Vec<Vec<Way<'_>>> {
    let mut groups: Vec<Vec<Way>> = Vec::new();
    for way in Way::all(package) {
        let of_one_option = |group: &&mut Vec<Way>| match (group.last(), way) {
            (Some(Way::Allowed(last, _)), Way::Allowed(own, _)) => std::ptr::eq(*last, own),
            _ => false,
        };
        match groups.last_mut().filter(of_one_option) {
            Some(group) => group.push(way),
            None => groups.push(vec![way]),
        }
    }
    groups
}

/// Whether the supply at hand is no reason for it to fail.
fn is_run(judge: &Judge, package: &Package, way: Way) -> bool {
    judge.pond.supply.is_none() || judge.pond.runs(judge.catalog, package, way) == Some(true)
}

/// The offers of a package: one for each option that brings its airline, and one for each that lets the buyer lay his.
fn of_package<'c>(catalog: usize, judge: &'c Judge<'c>, package: &'c Package) -> Vec<Offer<'c>> {
    let groups = groups(package).into_iter();
    groups
        .filter_map(|ways| best(catalog, judge, package, &ways))
        .collect()
}

/// The offer of some ways to lay one option: the smallest size that serves, else that which comes nearest.
fn best<'c>(
    catalog: usize,
    judge: &'c Judge<'c>,
    package: &'c Package,
    ways: &[Way<'c>],
) -> Option<Offer<'c>> {
    let offers = ways.iter().map(|way| offer(catalog, judge, package, *way));
    offers.min_by_key(|offer| (class(offer.grade()), size(offer.way)))
}

/// Nominal bore of the airline that a buyer may lay, in micrometres.
fn size(way: Way) -> u64 {
    match way {
        Way::Allowed(_, allow) => allow
            .size
            .known()
            .map_or(u64::MAX, |size| (size.si() * 1e6) as u64),
        _ => 0,
    }
}

fn offer<'c>(
    catalog: usize,
    judge: &'c Judge<'c>,
    package: &'c Package,
    way: Way<'c>,
) -> Offer<'c> {
    let laid = judge.lay(package, way);
    let fit = judge.fit(&laid);
    let keys = keys(judge, &laid, way);
    let month = keys
        .energy
        .zip(judge.pond.tariff())
        .map(|(energy, (price, currency))| Money {
            sum: energy * price,
            currency,
        });
    Offer {
        catalog,
        package,
        way,
        fit,
        price: keys.price,
        watts: keys.watts,
        energy: keys.energy,
        month,
        noise: keys.noise,
        line_short: line_short(judge, package, way),
    }
}

/// What a laid package is ranked by.
fn keys(judge: &Judge, laid: &Laid, way: Way) -> Keys {
    let package = laid.facts.package;
    let watts = machine::watts(judge.catalog, package, way).ok();
    let watts = watts.map(|watts| watts.most);
    let hours = hours_a_day(judge.catalog, package, None);
    let noise = sound::noise_at(
        judge.catalog,
        package,
        way,
        &laid.facts.assumptions,
        Some(judge.pond.ear.unwrap_or(FAR)),
    );
    Keys {
        price: price(package, way),
        watts,
        energy: watts.map(|watts| running_cost::a_month(watts, hours, 1.0)),
        noise: noise
            .filter(|noise| noise.weighted)
            .map(|noise| noise.central),
    }
}

/// The option's price, else the package's.
pub(super) fn price(package: &Package, way: Way) -> Option<Money> {
    let of = |identity: &Identity| {
        let price = identity.price.known()?;
        let unit = price.quantity.unit();
        Some(Money {
            sum: unit.from_si(price.si()),
            currency: unit.currency()?.code().to_string(),
        })
    };
    let option = way.option().and_then(|option| of(&option.identity));
    option.or_else(|| of(&package.entry.identity))
}

/// How much longer the pond's runs are, together, than those that come with the package, m: all of them where the
/// buyer lays his own. Nothing where the pond's runs aren't known.
fn line_short<'c>(judge: &Judge<'c>, package: &'c Package, way: Way<'c>) -> Option<f64> {
    if judge.pond.runs.is_empty() && judge.pond.layouts.cabinet.is_none() {
        return None;
    }
    let sold = Plant::of(judge.catalog, package, way).ok()?;
    let runs = judge.runs(&sold);
    let each = |plant: &Plant| -> Vec<f64> {
        let runs = plant.outlets.iter();
        runs.flat_map(|run| std::iter::repeat_n(run.run_length(), run.runs as usize))
            .collect()
    };
    let comes = match way {
        Way::Allowed(..) => vec![0.0; each(&sold).len()],
        Way::Supplied(_) | Way::Own => each(&sold),
    };
    let needed = each(&sold.with_runs(&runs));
    let short = needed
        .iter()
        .zip(&comes)
        .map(|(needed, comes)| (needed - comes).max(0.0));
    Some(short.sum())
}

/// How far from a machine its level falls to `limit`, where it is `level` at `distance` m.
pub fn quiet_from(level: f64, distance: f64, limit: f64) -> f64 {
    distance * math::powf(10.0, (level - limit) / 20.0)
}

/// The bore of the airline that a package is laid with, m: the last of its first run.
pub fn bore(plant: &Plant) -> Option<f64> {
    let outlet = plant.outlets.first()?;
    outlet.lines.last().map(|line| line.bore)
}

/// The length of the longest run, m.
pub fn longest_run(plant: &Plant) -> f64 {
    let outlets = plant.outlets.iter();
    outlets
        .map(|outlet| outlet.run_length())
        .fold(0.0, f64::max)
}
