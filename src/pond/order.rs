//! What to order for a package in a pond: the package as it is sold, airline beside it in whole rolls, and spares for a
//! year. No price and no part that isn't in the catalog; what is needed and isn't there is said.

use std::collections::BTreeMap;

use crate::catalog::{Airline, Catalog, End, Entry, Figure, Given, Package, Reference};
use crate::derive::plant::{Plant, PlantOutlet};
use crate::derive::{Way, supply};
use crate::units::Unit;
use crate::units::math;

use super::fit::Judge;
use super::offers::{Money, Offer, price};

/// A year of 365.25 days, s.
const YEAR: f64 = 365.25 * 86_400.0;
/// What is shorter than this nobody joins on, m.
const SHORTEST: f64 = 0.01;

/// What a line of an order is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Group {
    /// The package, with its price.
    Package,
    /// What comes with it, in its price.
    With,
    /// What must be bought beside it.
    Beside,
    /// Spares that fall due within a year.
    Spares,
}

impl Group {
    /// As formats for programs have it.
    pub fn as_str(self) -> &'static str {
        match self {
            Group::Package => "package",
            Group::With => "with-it",
            Group::Beside => "beside-it",
            Group::Spares => "spares",
        }
    }
}

/// How much of something.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Amount {
    /// Pieces.
    Pieces(u32),
    /// A length, m: what comes with a package, or is sold by length.
    Length(f64),
    /// Whole rolls of so many metres.
    Rolls(u32, f64),
}

impl Amount {
    /// How many, of what, and of how many metres a roll is.
    pub fn counted(self) -> (f64, &'static str, Option<f64>) {
        match self {
            Amount::Pieces(count) => (f64::from(count), "piece", None),
            Amount::Length(metres) => (metres, "m", None),
            Amount::Rolls(count, metres) => (f64::from(count), "roll", Some(metres)),
        }
    }

    fn number(self) -> f64 {
        match self {
            Amount::Pieces(count) => f64::from(count),
            Amount::Length(metres) => metres,
            Amount::Rolls(count, metres) => f64::from(count) * metres,
        }
    }
}

/// A line of an order.
#[derive(Debug, Clone)]
pub struct Line<'c> {
    /// What it is.
    pub group: Group,
    /// Its entry.
    pub entry: &'c Entry,
    /// ID of the option, for a package that has options.
    pub option: Option<&'c str>,
    /// The number it is ordered by.
    pub sku: Option<&'c str>,
    /// How much.
    pub amount: Amount,
    /// The price of one, of a metre or of a roll.
    pub price: Option<Money>,
    /// The price of all, rounded to the currency's smallest coin.
    pub sum: Option<Money>,
    /// The mass of all, kg.
    pub mass: Option<f64>,
}

/// What is needed and isn't in the catalog, or isn't known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Absent {
    /// Airline of a bore, m, and a length, m.
    Airline(f64, f64),
    /// Couplers for airline of a bore, m.
    Couplers(u32, f64),
    /// Clamps for barbed ends.
    Clamps(u32),
    /// How long the runs are, where the buyer lays his own.
    Runs,
}

/// An order.
#[derive(Debug, Clone, Default)]
pub struct Order<'c> {
    /// Its lines, by group.
    pub lines: Vec<Line<'c>>,
    /// What all but the spares cost, by currency.
    pub sums: Vec<Money>,
    /// What the spares cost, by currency.
    pub spares: Vec<Money>,
    /// The mass of all but the spares that is known, kg.
    pub mass: f64,
    /// Lines whose price isn't in the catalog, and are no part of the package.
    pub unpriced: usize,
    /// Lines without a mass, where the package has none of its own.
    pub unweighed: usize,
    /// What the catalog doesn't have.
    pub absent: Vec<Absent>,
    /// Spares that fit and have no interval.
    pub more_spares: Vec<&'c Entry>,
}

/// The order for an offer.
pub fn order<'c>(judge: &Judge<'c>, offer: &Offer<'c>) -> Order<'c> {
    let mut order = Order::default();
    let (catalog, package, way) = (judge.catalog, offer.package, offer.way);
    order.lines.push(whole(package, way));
    with_it(catalog, package, way, &mut order);
    airline(judge, offer, &mut order);
    spares(catalog, package, way, &mut order);
    order.lines.sort_by_key(|line| line.group);
    total(&mut order);
    order
}

fn text(given: &Given<crate::catalog::Text>) -> Option<&str> {
    given.known().map(|text| text.text.as_str())
}

fn mass(entry: &Entry) -> Option<f64> {
    entry.identity.mass.known().map(Figure::si)
}

fn price_of(entry: &Entry) -> Option<Money> {
    entry.identity.price.known().and_then(Money::of)
}

/// The package as it is sold.
fn whole<'c>(package: &'c Package, way: Way<'c>) -> Line<'c> {
    let option = way.option();
    let identities = option.map(|option| &option.identity).into_iter();
    let identities: Vec<_> = identities.chain([&package.entry.identity]).collect();
    let masses = identities
        .iter()
        .flat_map(|one| [&one.packed_mass, &one.mass]);
    let price = price(package, way);
    Line {
        group: Group::Package,
        entry: &package.entry,
        option: option
            .map(|option| option.id.as_str())
            .filter(|id| !id.is_empty()),
        sku: identities.iter().find_map(|one| text(&one.sku)),
        amount: Amount::Pieces(1),
        sum: price.as_ref().map(Money::rounded),
        price,
        mass: masses
            .into_iter()
            .find_map(|mass| mass.known().map(Figure::si)),
    }
}

/// A line of a part.
fn line<'c>(
    group: Group,
    entry: &'c Entry,
    amount: Amount,
    price: Option<Money>,
    each: Option<f64>,
) -> Line<'c> {
    let times = match amount {
        Amount::Pieces(count) | Amount::Rolls(count, _) => f64::from(count),
        Amount::Length(metres) => metres,
    };
    Line {
        group,
        entry,
        option: None,
        sku: text(&entry.identity.sku),
        amount,
        sum: price.as_ref().map(|price| price.times(times).rounded()),
        price,
        mass: each.map(|each| each * amount.number()),
    }
}

/// What comes with the package: parts in its price.
fn with_it<'c>(catalog: &'c Catalog, package: &'c Package, way: Way<'c>, order: &mut Order<'c>) {
    let mut counts: Vec<(&'c Entry, u32)> = Vec::new();
    let mut add = |entry: Option<&'c Entry>, count: u32| {
        let Some(entry) = entry else { return };
        match counts
            .iter_mut()
            .find(|(other, _)| std::ptr::eq(*other, entry))
        {
            Some((_, all)) => *all = all.saturating_add(count),
            None => counts.push((entry, count)),
        }
    };
    for one in way.compressors(package).known().into_iter().flatten() {
        add(
            catalog
                .compressors
                .get(&one.part.id)
                .map(|part| &part.entry),
            one.count,
        );
    }
    add(
        way.cabinet_part(catalog, package).map(|part| &part.entry),
        1,
    );
    add(
        way.manifold_part(catalog, package).map(|part| &part.entry),
        1,
    );
    for one in package.diffuser.known().into_iter().flatten() {
        add(
            catalog.diffusers.get(&one.part.id).map(|part| &part.entry),
            one.count,
        );
    }
    let each = |given: &'c Given<Vec<Reference>>| given.known().into_iter().flatten();
    for one in each(way.fittings(package)) {
        add(catalog.fittings.get(&one.id).map(|part| &part.entry), 1);
    }
    for one in each(&package.check_valves) {
        add(catalog.check_valves.get(&one.id).map(|part| &part.entry), 1);
    }
    let pieces = counts.into_iter();
    let pieces = pieces
        .map(|(entry, count)| line(Group::With, entry, Amount::Pieces(count), None, mass(entry)));
    order.lines.extend(pieces);
    for (part, metres) in supplied(catalog, package, way) {
        let each = part.mass_per_length.known().map(Figure::si);
        order.lines.push(line(
            Group::With,
            &part.entry,
            Amount::Length(metres),
            None,
            each,
        ));
    }
}

/// The airline that comes with a package, m of each.
fn supplied<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Vec<(&'c Airline, f64)> {
    let mut all: BTreeMap<&str, (&'c Airline, f64)> = BTreeMap::new();
    let mut add = |reference: &Reference, length: &Given<Figure>, count: u32| {
        let part = catalog.airlines.get(&reference.id);
        if let Some((part, length)) = part.zip(length.known()) {
            let metres = length.si() * f64::from(count);
            all.entry(part.entry.id.as_str()).or_insert((part, 0.0)).1 += metres;
        }
    };
    if let Some(option) = way.option() {
        let comes = match way {
            Way::Supplied(_) => option.airline.known(),
            _ => None,
        };
        for laid in comes.into_iter().flatten().chain(option.trunk.known()) {
            for segment in &laid.segments {
                add(&segment.part, &segment.length, laid.count);
            }
        }
    }
    for one in package.diffuser.known().into_iter().flatten() {
        if let Some(part) = one.airline.known() {
            add(part, &one.run, one.count);
        }
    }
    all.into_values().collect()
}

/// Runs that need more airline than comes with them: of which part or bore, and the lengths.
struct Short<'c> {
    part: Option<&'c Airline>,
    bore: f64,
    /// Each with whether it is joined to a run that comes with the package.
    pieces: Vec<(f64, bool)>,
}

/// Airline to buy beside the package, with what joins it.
fn airline<'c>(judge: &Judge<'c>, offer: &Offer<'c>, order: &mut Order<'c>) {
    let (catalog, package, way) = (judge.catalog, offer.package, offer.way);
    let Ok(sold) = Plant::of(catalog, package, way) else {
        return;
    };
    let runs = judge.runs(&sold);
    let lays_own = matches!(way, Way::Allowed(..));
    if runs.is_empty() {
        if lays_own {
            order.absent.push(Absent::Runs);
        }
        return;
    }
    let comes: Vec<f64> = each_run(&sold)
        .map(|run| if lays_own { 0.0 } else { run.run_length() })
        .collect();
    let needed = sold.with_runs(&runs);
    let mut barbs = 0;
    let mut short: Vec<Short<'c>> = Vec::new();
    for (run, comes) in each_run(&needed).zip(comes) {
        barbs += if run.barbed && lays_own { 2 } else { 0 };
        let more = run.run_length() - comes;
        if more < SHORTEST {
            continue;
        }
        let bore = run.lines.last().map_or(0.0, |line| line.bore);
        let part = part_of(catalog, package, way, run);
        let alike = |one: &&mut Short| match (one.part, part) {
            (Some(a), Some(b)) => std::ptr::eq(a, b),
            (None, None) => (one.bore - bore).abs() < 1e-6,
            _ => false,
        };
        match short.iter_mut().find(alike) {
            Some(one) => one.pieces.push((more, !lays_own)),
            None => short.push(Short {
                part,
                bore,
                pieces: vec![(more, !lays_own)],
            }),
        }
    }
    for one in short {
        barbs += 2 * buy(catalog, &one, order);
    }
    if barbs > 0 {
        order.absent.push(Absent::Clamps(barbs));
    }
}

fn each_run<'p, 'c>(plant: &'p Plant<'c>) -> impl Iterator<Item = &'p PlantOutlet<'c>> {
    let outlets = plant.outlets.iter();
    outlets.flat_map(|outlet| std::iter::repeat_n(outlet, outlet.runs as usize))
}

/// The airline that a run is laid with: as it is sold, or of the size that the seller allows.
fn part_of<'c>(
    catalog: &'c Catalog,
    package: &Package,
    way: Way,
    run: &PlantOutlet,
) -> Option<&'c Airline> {
    let get = |reference: &Reference| catalog.airlines.get(&reference.id);
    if let Way::Allowed(_, allow) = way {
        let size = allow.size.known()?.si();
        let bore = run.lines.last()?.bore;
        let is_it = |part: &&Airline| {
            let same = |figure: &Given<Figure>, si: f64| {
                figure
                    .known()
                    .is_some_and(|own| (own.si() / si - 1.0).abs() < 1e-6)
            };
            same(&part.size, size) && (same(&part.bore, bore) || part.bore.is_absent())
        };
        return catalog.airlines.iter().find(is_it);
    }
    match run.laid_by {
        Some(by) => {
            let laid = way.option()?.airline.known()?.get(by)?;
            get(&laid.segments.last()?.part)
        }
        None => {
            let uses = package.diffuser.known()?;
            get(uses.get(run.stated_in)?.airline.known()?)
        }
    }
}

/// Adds airline for these pieces; how many couplers join it.
fn buy<'c>(catalog: &'c Catalog, short: &Short<'c>, order: &mut Order<'c>) -> u32 {
    let metres: f64 = short.pieces.iter().map(|(metres, _)| metres).sum();
    let roll = short
        .part
        .and_then(|part| part.roll.known())
        .map(Figure::si);
    let roll = roll.filter(|roll| *roll > SHORTEST);
    let (rolls, cuts) = match roll {
        Some(roll) => rolls(short, roll),
        None => (0, short.pieces.len() as u32),
    };
    let on_the_bank = short.pieces.iter().filter(|(_, joined)| !joined).count() as u32;
    let joints = cuts - on_the_bank.min(cuts);
    match short.part {
        None => order.absent.push(Absent::Airline(short.bore, metres)),
        Some(part) => {
            let by_length = part.price_per_length.known().and_then(Money::of);
            let (amount, price) = match roll {
                Some(roll) => (
                    Amount::Rolls(rolls, roll),
                    by_length.map(|price| price.times(roll)),
                ),
                None => (Amount::Length(metres), by_length),
            };
            let each = part.mass_per_length.known().map(Figure::si);
            order
                .lines
                .push(line(Group::Beside, &part.entry, amount, price, each));
        }
    }
    if joints > 0 {
        match coupler(catalog, short) {
            Some(entry) => {
                let line = line(
                    Group::Beside,
                    entry,
                    Amount::Pieces(joints),
                    price_of(entry),
                    mass(entry),
                );
                order.lines.push(line);
            }
            None => order.absent.push(Absent::Couplers(joints, short.bore)),
        }
    }
    joints
}

/// How many whole rolls the pieces take, and how many cuts of airline they are: a piece longer than a roll takes whole
/// ones first, and what is left is cut from the first roll that has as much, the longest first.
fn rolls(short: &Short, roll: f64) -> (u32, u32) {
    let (mut whole, mut cuts) = (0u32, 0u32);
    let mut rests = Vec::new();
    for (metres, _) in &short.pieces {
        // A million rolls nobody buys; the number only mustn't run over.
        let full = ((metres - SHORTEST) / roll).floor().clamp(0.0, 1e6) as u32;
        whole += full;
        cuts += full + 1;
        rests.push(metres - f64::from(full) * roll);
    }
    rests.sort_by(|a, b| b.total_cmp(a));
    let mut left: Vec<f64> = Vec::new();
    for rest in rests {
        match left.iter_mut().find(|left| **left + SHORTEST >= rest) {
            Some(left) => *left -= rest,
            None => left.push(roll - rest),
        }
    }
    (whole + left.len() as u32, cuts)
}

/// A fitting that joins airline to airline: barbs of its size on both ends.
fn coupler<'c>(catalog: &'c Catalog, short: &Short) -> Option<&'c Entry> {
    let part = short.part?;
    let sizes = [&part.size, &part.bore].map(|size| size.known().map(Figure::si));
    let fits = |end: &Given<End>| {
        let end = end.known().filter(|end| end.kind == "barb");
        end.is_some_and(|end| {
            sizes
                .iter()
                .flatten()
                .any(|size| (size / end.size - 1.0).abs() < 0.01)
        })
    };
    let mut fittings = catalog.fittings.iter();
    fittings
        .find(|one| fits(&one.from) && fits(&one.to))
        .map(|one| &one.entry)
}

/// The spares of its compressors: those that fall due within a year, and those that have no interval.
fn spares<'c>(catalog: &'c Catalog, package: &'c Package, way: Way<'c>, order: &mut Order<'c>) {
    let mut named: Vec<&str> = Vec::new();
    for machine in supply::machines(catalog, package, way) {
        let uses = way.compressors(package).known().into_iter().flatten();
        let of_it = uses.filter(|one| one.part.id == machine.entry.id);
        let count: u32 = of_it.map(|one| one.count).sum();
        for service in &machine.service {
            let (Some(part), Some(every)) =
                (catalog.spares.get(&service.part.id), service.every.known())
            else {
                continue;
            };
            named.push(&part.entry.id);
            let due = (YEAR / every.si() * (1.0 + 1e-9)).floor();
            let due = if due.is_finite() {
                due.clamp(0.0, 1000.0) as u32
            } else {
                0
            };
            let pieces = due * count.max(1);
            if pieces > 0 {
                let own = service.price.known().and_then(Money::of);
                let price = own.or_else(|| price_of(&part.entry));
                let amount = Amount::Pieces(pieces);
                order.lines.push(line(
                    Group::Spares,
                    &part.entry,
                    amount,
                    price,
                    mass(&part.entry),
                ));
            }
        }
    }
    let has: Vec<&str> = order
        .lines
        .iter()
        .filter(|line| line.group == Group::With)
        .map(|line| line.entry.id.as_str())
        .collect();
    let fits = |spare: &&crate::catalog::Spare| {
        let is_named = named.contains(&spare.entry.id.as_str());
        !is_named
            && spare
                .fits
                .iter()
                .any(|part| has.contains(&part.text.as_str()))
    };
    order.more_spares = catalog
        .spares
        .iter()
        .filter(fits)
        .map(|spare| &spare.entry)
        .collect();
}

/// Adds up what can be.
fn total(order: &mut Order) {
    let (mut sums, mut spares) = (BTreeMap::new(), BTreeMap::new());
    let has_own_mass = order
        .lines
        .first()
        .is_some_and(|whole| whole.mass.is_some());
    for line in &order.lines {
        let is_spare = line.group == Group::Spares;
        let into = if is_spare { &mut spares } else { &mut sums };
        if let Some(sum) = &line.sum {
            *into.entry(sum.currency.clone()).or_insert(0.0) += sum.sum;
        }
        order.unpriced += usize::from(line.sum.is_none() && line.group != Group::With);
        // The mass of a package is that of its parts already.
        let counts = match line.group {
            Group::Package | Group::Beside => true,
            Group::With => !has_own_mass,
            Group::Spares => false,
        };
        if counts {
            order.mass += line.mass.unwrap_or(0.0);
            let is_missing = line.mass.is_none() && line.group != Group::Package;
            order.unweighed += usize::from(is_missing);
        }
    }
    let all = |sums: BTreeMap<String, f64>| -> Vec<Money> {
        let each = sums.into_iter();
        each.map(|(currency, sum)| Money { sum, currency }.rounded())
            .collect()
    };
    (order.sums, order.spares) = (all(sums), all(spares));
}

impl Money {
    /// A price of a catalog, by the piece or by the metre.
    fn of(figure: &Figure) -> Option<Money> {
        let currency = figure.quantity.unit().currency()?;
        Some(Money {
            sum: figure.si(),
            currency: currency.code().to_string(),
        })
    }

    /// The same to the currency's smallest coin, halves up.
    #[must_use]
    pub fn rounded(&self) -> Money {
        let currency = Unit::known(&self.currency).and_then(Unit::currency);
        let digits = currency
            .and_then(|currency| currency.exponent())
            .unwrap_or(2);
        let coins = math::powi(10.0, i32::from(digits));
        Money {
            // A half that binary fractions put just below one is meant as one.
            sum: (self.sum * coins * (1.0 + 1e-12) + 0.5).floor() / coins,
            currency: self.currency.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(lengths: &[f64], joined: bool) -> Short<'static> {
        Short {
            part: None,
            bore: 0.0127,
            pieces: lengths.iter().map(|metres| (*metres, joined)).collect(),
        }
    }

    #[test]
    fn rolls_are_whole_and_pieces_are_cut_from_what_is_left() {
        // 18 + 7 m are one roll of 25 m; 26 m are a roll and a piece.
        assert_eq!(rolls(&pieces(&[18.0, 7.0], true), 25.0), (1, 2));
        assert_eq!(rolls(&pieces(&[26.0], true), 25.0), (2, 2));
        assert_eq!(rolls(&pieces(&[50.0], true), 25.0), (2, 2));
        assert_eq!(rolls(&pieces(&[26.0, 24.0], true), 25.0), (2, 3));
        assert_eq!(rolls(&pieces(&[13.0, 13.0, 13.0], true), 25.0), (3, 3));
    }

    #[test]
    fn sums_are_rounded_to_coins() {
        let round = |sum: f64, code: &str| {
            let money = Money {
                sum,
                currency: code.into(),
            };
            money.rounded().sum
        };
        assert_eq!(round(2.675, "EUR"), 2.68);
        assert_eq!(round(2.674, "EUR"), 2.67);
        assert_eq!(round(149.5, "JPY"), 150.0);
    }
}
