//! What a printed spec sheet of one package says: the promises that are within the rating, under their conditions, on
//! each way to buy it, and what the engine makes of its parts. No sentence is here.
//!
//! - [`figure`]: a figure in both systems of units;
//! - [`promises`]: which promises may be printed, and which are refused;
//! - [`offers`]: what is in the box of each option, and what is due for service;
//! - [`card`]: what the gauge should read;
//! - [`template`]: the sheet's parts and the words of others around them.

pub mod card;
pub mod figure;
pub mod offers;
pub mod promises;
pub mod template;

use crate::answers::{Question, Unanswerable, choose, duty};
use crate::assumptions::Rating;
use crate::catalog::{Catalog, Compressor, Figure, Package, Supply};
use crate::derive::{self, Derived, Way, ranges, supply};
use crate::units::System;

pub use card::{Card, Fault};
pub use offers::{Due, Item, Offer};
pub use promises::{Promise, Refused, Why};

/// Whose words and rules count for what is plugged in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mains {
    /// 60 Hz: ground-fault protection and the electrical code.
    America,
    /// Other mains: residual-current devices and wiring rules.
    Elsewhere,
    /// Direct current.
    Direct,
}

/// A compressor on the supply that the package is sold for.
#[derive(Debug)]
pub struct Machine<'c> {
    /// The part.
    pub part: &'c Compressor,
    /// What it runs on.
    pub supply: &'c Supply,
}

/// What a sheet says.
#[derive(Debug)]
pub struct Sheet<'c> {
    /// The catalog.
    pub catalog: &'c Catalog,
    /// The package.
    pub package: &'c Package,
    /// The units that stand first.
    pub system: System,
    /// The greatest depth that is claimed.
    pub depth: Option<&'c Figure>,
    /// Whose words count for what is plugged in.
    pub mains: Mains,
    /// Every way to buy and lay it that may be printed.
    pub ways: Vec<Way<'c>>,
    /// The promises that are printed.
    pub promises: Vec<Promise<'c>>,
    /// The promises that aren't, and why.
    pub refused: Vec<Refused>,
    /// Each option.
    pub offers: Vec<Offer<'c>>,
    /// Each compressor with its supply.
    pub machines: Vec<Machine<'c>>,
    /// What the gauge should read, for each way that it can be told of.
    pub cards: Vec<Card<'c>>,
    /// What another reading may mean.
    pub faults: Vec<Fault>,
    /// What is replaced how often, and what else is kept for it.
    pub service: Vec<Due<'c>>,
    /// Whether the air may leave a compressor hot enough to burn.
    pub is_hot: bool,
    /// The basis of what is rated.
    pub rating: Rating,
}

/// Above this what is touched burns, K: 60 degC.
const BURNS: f64 = 333.15;

impl<'c> Sheet<'c> {
    /// The sheet of a package of `catalog`, of all its options or of the one named.
    ///
    /// # Errors
    /// There is no such package or option.
    pub fn of(
        catalog: &'c Catalog,
        id: &str,
        option: Option<&str>,
    ) -> Result<Sheet<'c>, Unanswerable> {
        let package = choose::package(catalog, id)?;
        choose::option(package, option)?;
        let wanted =
            |way: &Way| option.is_none_or(|id| way.option().is_some_and(|own| own.id == id));
        let derived = Derived::of_one(catalog, package);
        let judged = promises::judge(catalog, derived, wanted);
        let ways = judged.ways.clone();
        let machines = machines(catalog, package, &ways);
        let cards: Vec<(Card, Vec<Fault>)> = ways
            .iter()
            .filter_map(|&way| card::of(catalog, package, way))
            .collect();
        let (cards, mut faults): (Vec<Card>, Vec<Vec<Fault>>) = cards.into_iter().unzip();
        Ok(Sheet {
            catalog,
            package,
            system: derive::system(package),
            depth: deepest(package),
            mains: mains(&machines),
            offers: offers::of(catalog, package, &ways),
            service: offers::service(catalog, package, &ways),
            is_hot: ways.iter().any(|&way| is_hot(catalog, package, way)),
            rating: ranges::rating(catalog),
            promises: judged.promises,
            refused: judged.refused,
            faults: if faults.is_empty() {
                Vec::new()
            } else {
                faults.swap_remove(0)
            },
            ways,
            machines,
            cards,
        })
    }

    /// Its name for people.
    pub fn title(&self) -> &str {
        named(&self.package.entry)
    }
}

/// What people call a thing: its title, else its ID.
pub fn named(entry: &crate::catalog::Entry) -> &str {
    entry.title.as_deref().unwrap_or(&entry.id)
}

fn deepest(package: &Package) -> Option<&Figure> {
    let rows = package.claims.depth.known()?;
    rows.iter().max_by(|a, b| a.high().total_cmp(&b.high()))
}

fn machines<'c>(catalog: &'c Catalog, package: &'c Package, ways: &[Way<'c>]) -> Vec<Machine<'c>> {
    let mut machines: Vec<Machine> = Vec::new();
    for &way in ways {
        for one in way.compressors(package).known().into_iter().flatten() {
            let Some(part) = catalog.compressors.get(&one.part.id) else {
                continue;
            };
            let Ok(on) = supply::of(catalog, package, way, part) else {
                continue;
            };
            if !machines.iter().any(|known| std::ptr::eq(known.supply, on)) {
                machines.push(Machine { part, supply: on });
            }
        }
    }
    machines
}

fn mains(machines: &[Machine]) -> Mains {
    let hertz: Vec<f64> = machines
        .iter()
        .filter_map(|machine| supply::hertz(machine.supply))
        .collect();
    if hertz.iter().any(|hertz| (hertz - 60.0).abs() < 1.0) {
        Mains::America
    } else if !hertz.is_empty() && hertz.iter().all(|hertz| *hertz == 0.0) {
        Mains::Direct
    } else {
        Mains::Elsewhere
    }
}

fn is_hot(catalog: &Catalog, package: &Package, way: Way) -> bool {
    let question = Question::default();
    let duty =
        choose::laid(catalog, package, way, &question).and_then(|asked| duty::answer(&asked));
    // What isn't known may be hot.
    duty.map_or(true, |duty| {
        duty.discharge.iter().any(|kelvins| *kelvins > BURNS)
    })
}
