//! A sheet's figures against the catalog's: the package's promises first, then its parts' facts, then the curve.

use crate::binding;
use crate::catalog::{
    AirlineUse, Catalog, Compressor, Entry, Figure, Given, Package, PackageOption, Supply,
};
use crate::derive::{flow, machine, supply};
use crate::finding::{Evidence, Finding, Level, Value};
use crate::spec_sheet::{Attribute, Claim, Comparator, Counted, Subject};
use crate::text::{FileId, Span};
use crate::units::quantity::GaugePressure;
use crate::units::show::show_in;
use crate::units::{self, Dimension, Mark};

use super::{CONTRADICTS, STALE, Said, in_prose, name};

/// A package of a catalog with its own promises.
#[derive(Debug, Clone, Copy)]
pub struct Own<'a> {
    /// The catalog.
    pub catalog: &'a Catalog,
    /// The package.
    pub package: &'a Package,
    /// The sheet.
    pub file: FileId,
}

/// A figure of the catalog that a sheet's figure is held against.
struct Counterpart<'a> {
    figure: Stands<'a>,
    /// What it is, in a few words.
    what: String,
    /// Promises before facts of parts, these before the curve.
    rank: u8,
}

enum Stands<'a> {
    Figure(&'a Figure),
    /// Worked out from several figures of the catalog.
    Sum(f64, Dimension, Span),
    Count(u32, Span),
}

impl Stands<'_> {
    fn at(&self) -> Span {
        match self {
            Stands::Figure(figure) => figure.at,
            Stands::Sum(_, _, at) | Stands::Count(_, at) => *at,
        }
    }

    fn text(&self, like: &Claim) -> String {
        match self {
            Stands::Figure(figure) => figure.text().to_string(),
            Stands::Count(count, _) => count.to_string(),
            Stands::Sum(si, _, _) => like
                .quantity
                .as_ref()
                .map_or(String::new(), |quantity| show_in(quantity.unit(), *si, 3)),
        }
    }
}

/// Speaks of every figure that the catalog has otherwise.
pub(super) fn speak(said: &Said) -> Vec<Finding> {
    let mut findings = Vec::new();
    let Some(own) = &said.own else {
        return findings;
    };
    for claim in said.claims.iter().copied() {
        let counterparts = own.counterparts(claim);
        if counterparts.is_empty() || own.agrees_with(claim, &counterparts) {
            continue;
        }
        // A lesser promise beside the catalog's own is a row of a table, and no contradiction.
        if own.promises_less(claim, &counterparts)
            && said
                .claims
                .iter()
                .any(|other| is_as_the_catalog(own, claim, other))
        {
            continue;
        }
        let Some(nearest) = nearest(claim, &counterparts) else {
            continue;
        };
        let mut differs = finding(said, own, claim, nearest, false);
        // Who promises less than the catalog, or cites a part, says nothing untrue of the package.
        if own.promises_less(claim, &counterparts) || own.agrees_with(claim, &own.facts(claim)) {
            differs.level = Level::Warning;
        }
        findings.push(differs);
        // That the catalog had it before explains the difference, and makes it no less.
        let is_stale = said.before.as_ref().is_some_and(|before| {
            let then = before.counterparts(claim);
            !then.is_empty() && before.agrees_with(claim, &then)
        });
        if is_stale {
            findings.push(finding(said, own, claim, nearest, true));
        }
    }
    findings
}

/// Whether another figure of the sheet says of the same attribute what the catalog says.
fn is_as_the_catalog(own: &Own, claim: &Claim, other: &Claim) -> bool {
    let is_itself = (other.passage(), other.place()) == (claim.passage(), claim.place());
    other.attribute == claim.attribute && !is_itself && own.agrees(other)
}

fn finding(said: &Said, own: &Own, claim: &Claim, nearest: &Counterpart, stale: bool) -> Finding {
    let written = claim
        .quantity
        .as_ref()
        .map_or(claim.text.as_str(), |quantity| quantity.text());
    let catalog = nearest.figure.text(claim);
    let what = &nearest.what;
    let message = if stale {
        format!("{written} is what the catalog had before; {what} is {catalog} now.")
    } else {
        match nearest.figure {
            Stands::Count(..) => {
                format!("The page says {written}; {what} is {catalog} in the catalog.")
            }
            _ => format!("{written} isn't the catalog's figure: {what} is {catalog}."),
        }
    };
    let rule = if stale { &STALE } else { &CONTRADICTS };
    let mut finding = Finding::new(rule, said.page.at(claim), message)
        .mend(format!(
            "Find out which {} is true, and say the same in both.",
            name(claim.attribute)
        ))
        .related(nearest.figure.at(), what.clone())
        .evidence(evidence(own, claim, nearest));
    if let Stands::Figure(figure) = nearest.figure {
        finding = finding.correct(false, said.page.at(claim), figure.text());
        in_prose(said, Some(claim), &mut finding);
    }
    finding
}

fn evidence(own: &Own, claim: &Claim, nearest: &Counterpart) -> Vec<Evidence> {
    let mut all = Vec::new();
    if let Some(quantity) = &claim.quantity {
        let value = Value::Quantity(quantity.si_high(), quantity.dimension());
        let at = Span::new(own.file, claim.at.start, claim.at.end);
        let mut stated = Evidence::stated("in the sheet", value, Some(at));
        stated.source = "the text".into();
        all.push(stated);
    }
    let (value, at) = match nearest.figure {
        Stands::Figure(figure) => (
            Value::Quantity(figure.high(), figure.dimension()),
            figure.at,
        ),
        Stands::Sum(si, dimension, at) => (Value::Quantity(si, dimension), at),
        Stands::Count(count, at) => (Value::Number(f64::from(count), "".into()), at),
    };
    all.push(Evidence::stated("in the catalog", value, Some(at)));
    let same = claim.condition.is_empty();
    if !same {
        all.push(Evidence::derived(
            "under",
            Value::Words("the condition that the sheet states with it".into()),
            "the text",
            Mark::Stated,
        ));
    }
    all
}

/// The counterpart that a person would put beside the figure: of the first rank, the nearest.
fn nearest<'a, 'c>(
    claim: &Claim,
    counterparts: &'a [Counterpart<'c>],
) -> Option<&'a Counterpart<'c>> {
    let (_, high) = claim.si.bounds()?;
    let far = |one: &Counterpart| {
        let is = match &one.figure {
            Stands::Figure(figure) => {
                if figure.dimension().is_money() {
                    figure.quantity.high()
                } else {
                    figure.high()
                }
            }
            Stands::Sum(si, _, _) => *si,
            Stands::Count(count, _) => f64::from(*count),
        };
        (is - high).abs()
    };
    counterparts
        .iter()
        .min_by(|a, b| a.rank.cmp(&b.rank).then_with(|| far(a).total_cmp(&far(b))))
}

impl<'a> Own<'a> {
    /// As a waiver names the package.
    pub fn on(&self) -> String {
        self.package.entry.on()
    }

    /// Whether the catalog says what the claim says.
    pub fn agrees(&self, claim: &Claim) -> bool {
        self.agrees_with(claim, &self.counterparts(claim))
    }

    fn agrees_with(&self, claim: &Claim, counterparts: &[Counterpart]) -> bool {
        counterparts
            .iter()
            .any(|one| self.is_same(claim, &one.figure))
    }

    /// Whether one figure of the catalog is the claim's, as far as both are written.
    fn is_same(&self, claim: &Claim, stands: &Stands) -> bool {
        match stands {
            Stands::Count(count, _) => claim
                .si
                .bounds()
                .is_some_and(|(low, high)| (low..=high).contains(&f64::from(*count))),
            Stands::Sum(si, dimension, _) => claim.quantity.as_ref().is_some_and(|quantity| {
                let (low, high) = quantity.rounding();
                let room = units::LISTING_SHARE * si.abs();
                quantity.dimension() == *dimension && low - room <= *si && *si <= high + room
            }),
            Stands::Figure(figure) => {
                let Some(own) = binding::figure(claim, self.file) else {
                    return false;
                };
                let (a, b) = (&own.quantity, &figure.quantity);
                let holds = if a.unit() == b.unit() {
                    let (low, high) = a.rounding();
                    let (from, to) = b.rounding();
                    match is_term(claim.attribute) {
                        true => a.low() == b.low() && a.high() == b.high(),
                        false => low <= to && from <= high,
                    }
                } else {
                    units::agree(a, b).is_some_and(units::Agreement::holds)
                };
                holds || is_range_over(a, b) || is_kept_by_less(claim, a, b)
            }
        }
    }

    /// Whether the claim promises less than every counterpart.
    fn promises_less(&self, claim: &Claim, counterparts: &[Counterpart]) -> bool {
        let less_is_less = matches!(
            claim.attribute,
            Attribute::Area
                | Attribute::Depth
                | Attribute::Flow
                | Attribute::AirlineLength
                | Attribute::Turnover
                | Attribute::Oxygen
                | Attribute::WaterFlow
                | Attribute::Volume
                | Attribute::Pressure
        );
        less_is_less
            && counterparts.iter().all(|one| match &one.figure {
                Stands::Figure(figure) => claim
                    .si
                    .bounds()
                    .is_some_and(|(_, high)| high <= figure.high()),
                _ => false,
            })
    }

    /// The figures of the catalog that the claim could be about, under its condition.
    fn facts(&self, claim: &Claim) -> Vec<Counterpart<'a>> {
        let mut list = List::default();
        let package = self.package;
        let claims = &package.claims;
        match claim.attribute {
            Attribute::Area if claim.in_winter => {
                list.rows(&claims.winter_opening, "the claimed opening in winter")
            }
            Attribute::Area => list.rows(&claims.area, "the claimed area"),
            Attribute::Depth => list.rows(&claims.depth, "the claimed depth"),
            Attribute::Flow => self.flows(claim, &mut list),
            Attribute::Power => self.powers(claim, &mut list),
            Attribute::Turnover => list.rows(&claims.turnover, "the claimed turnover"),
            Attribute::Oxygen => list.rows(&claims.oxygen, "the claimed oxygen"),
            Attribute::Efficiency => list.rows(
                &claims.transfer_efficiency,
                "the claimed transfer efficiency",
            ),
            Attribute::Volume => list.rows(&claims.volume, "the claimed volume"),
            Attribute::WaterFlow => list.rows(&claims.water_moved, "the water moved as claimed"),
            Attribute::Cost => list.rows(&claims.running_cost, "the claimed running cost"),
            Attribute::Sound => self.levels(&mut list),
            Attribute::Voltage => self.supplies(&mut list, |supply| &supply.voltage, "the voltage"),
            Attribute::Frequency => {
                self.supplies(&mut list, |supply| &supply.frequency, "the frequency")
            }
            Attribute::Current => {
                self.supplies(&mut list, |supply| &supply.current, "the current");
                for part in self.compressors() {
                    list.part(&part.starting_current, "the starting current", &part.entry);
                }
            }
            Attribute::Pressure => self.pressures(&mut list),
            Attribute::AirlineSize => self.sizes(claim, &mut list),
            Attribute::AirlineLength => self.lengths(&mut list),
            Attribute::DiffuserCount => {
                if let Given::Known(uses) = &package.diffuser
                    && let Some(first) = uses.first()
                {
                    list.push(
                        Stands::Count(package.diffuser_count(), first.at),
                        "the number of diffusers".into(),
                        0,
                    );
                }
            }
            Attribute::Temperature => {
                for part in self.compressors() {
                    list.part(&part.ambient_limit, "the warmest surroundings", &part.entry);
                    list.part(
                        &part.lowest_ambient,
                        "the coldest surroundings",
                        &part.entry,
                    );
                }
            }
            Attribute::Mass => self.masses(&mut list),
            Attribute::Price => self.prices(&mut list),
            Attribute::Warranty => {
                list.rows(&claims.warranty, "the claimed warranty");
                for entry in self.entries() {
                    list.part(&entry.identity.warranty, "the warranty", entry);
                }
            }
            Attribute::ServiceInterval => {
                list.rows(&claims.service_interval, "the claimed service interval");
                for part in self.compressors() {
                    for service in &part.service {
                        list.part(&service.every, "the interval of service", &part.entry);
                    }
                }
            }
        }
        let mut all = list.all;
        all.retain(|one| self.is_under(claim, &one.figure));
        all
    }

    /// What the catalog says of what a claim is about.
    fn counterparts(&self, claim: &Claim) -> Vec<Counterpart<'a>> {
        let mut all = self.facts(claim);
        // The package's own promise under the same condition is what a page repeats; the facts of its parts say what
        // else may be meant only where there is none.
        let of_package = claim.subject == Subject::Package;
        if of_package
            && all
                .iter()
                .any(|one| one.rank == 0 && has_same_condition(claim, one))
        {
            all.retain(|one| one.rank == 0);
        }
        all
    }

    /// Whether the figure of the catalog holds under the claim's condition, or one of the two has none.
    fn is_under(&self, claim: &Claim, stands: &Stands) -> bool {
        let Stands::Figure(figure) = stands else {
            return true;
        };
        let same = |a: &Option<units::Quantity>, b: &Option<Box<Figure>>| match (a, b) {
            (Some(a), Some(b)) => units::agree(a, &b.quantity).is_some_and(units::Agreement::holds),
            _ => true,
        };
        let conditions = &figure.conditions;
        same(&claim.condition.pressure, &conditions.pressure)
            && same(&claim.condition.depth, &conditions.depth)
            && same(&claim.condition.distance, &conditions.distance)
            && same(&claim.condition.tariff, &conditions.tariff)
            && is_comparable(claim, figure)
            && (claim.condition.per == Some(Counted::Diffuser)) == figure.per_diffuser
    }

    fn compressors(&self) -> impl Iterator<Item = &'a crate::catalog::Compressor> {
        let (catalog, package) = (self.catalog, self.package);
        let own = package.compressor.known().into_iter().flatten();
        let options = package
            .options
            .iter()
            .filter_map(|option| option.compressor.known())
            .flatten();
        own.chain(options)
            .filter_map(|one| catalog.compressors.get(&one.part.id))
    }

    fn cabinets(&self) -> impl Iterator<Item = &'a crate::catalog::Cabinet> {
        let (catalog, package) = (self.catalog, self.package);
        let own = package.cabinet.known().into_iter();
        let options = package
            .options
            .iter()
            .filter_map(|option| option.cabinet.known());
        own.chain(options)
            .filter_map(|one| catalog.cabinets.get(&one.part.id))
    }

    fn airlines(&self) -> impl Iterator<Item = &'a crate::catalog::Airline> {
        let (catalog, package) = (self.catalog, self.package);
        let uses = package.options.iter().flat_map(laid);
        let segments = uses.flat_map(|one| &one.segments);
        let own = package
            .diffuser
            .known()
            .into_iter()
            .flatten()
            .filter_map(|one| one.airline.known());
        segments
            .map(|segment| segment.part.id.as_str())
            .chain(own.map(|reference| reference.id.as_str()))
            .filter_map(|id| catalog.airlines.get(id))
    }

    /// The package and every part it names.
    fn entries(&self) -> Vec<&'a Entry> {
        let mut all = vec![&self.package.entry];
        for mention in self.catalog.mentions.within(&self.package.entry.on()) {
            let kinds = mention.kinds.iter();
            all.extend(kinds.filter_map(|&kind| self.catalog.entry(kind, &mention.id)));
        }
        all
    }

    fn flows(&self, claim: &Claim, list: &mut List<'a>) {
        let of_diffuser =
            claim.subject == Subject::Diffuser || claim.condition.per == Some(Counted::Diffuser);
        if of_diffuser {
            for entry in self.package.diffuser.known().into_iter().flatten() {
                if let Some(part) = self.catalog.diffusers.get(&entry.part.id) {
                    list.part(&part.flow, "the working range", &part.entry);
                }
            }
        }
        list.rows(&self.package.claims.flow, "the claimed flow");
        let condition = &claim.condition;
        let at = condition.pressure.as_ref().map(units::Quantity::si_central);
        for part in self.compressors() {
            for supply in supply::sold(self.package, part) {
                if supply::is_first(part, supply) {
                    list.part(&part.rated, "the rated flow", &part.entry);
                    if at.is_none_or(|at| at == 0.0) && condition.depth.is_none() {
                        list.part(&part.open_flow, "the open flow", &part.entry);
                    }
                }
                on_curve(claim, part, supply, at, list);
            }
        }
    }

    fn powers(&self, claim: &Claim, list: &mut List<'a>) {
        list.rows(&self.package.claims.power, "the claimed power");
        for part in self.compressors() {
            for (place, supply) in supply::sold(self.package, part).into_iter().enumerate() {
                let what = match place {
                    0 => "the power",
                    _ => "the power on another supply",
                };
                list.part(&supply.power, what, &part.entry);
                for point in supply.curve.known().into_iter().flatten() {
                    if let Some(power) = &point.power {
                        let what = format!("the power on the curve of {}", part.entry.id);
                        list.push(Stands::Figure(power), what, 2);
                    }
                }
            }
        }
        for part in self.cabinets() {
            list.part(&part.fan_power, "the fan's power", &part.entry);
        }
        // The size of a motor is no sum of watts.
        if of_a_shaft(claim.quantity.as_ref()) {
            return;
        }
        // All together, as a bill has it.
        for way in crate::derive::Way::all(self.package) {
            if let Ok(watts) = machine::watts(self.catalog, self.package, way) {
                list.push(
                    Stands::Sum(watts.most, Dimension::Power, self.package.entry.header),
                    "the power of all parts".into(),
                    1,
                );
            }
        }
    }

    fn levels(&self, list: &mut List<'a>) {
        list.rows(&self.package.claims.sound, "the claimed sound level");
        for part in self.compressors() {
            list.part(&part.sound, "the sound level", &part.entry);
        }
        for part in self.cabinets() {
            list.part(&part.fan_sound, "the fan's sound level", &part.entry);
        }
    }

    fn supplies(
        &self,
        list: &mut List<'a>,
        of: fn(&'a crate::catalog::Supply) -> &'a Given<Figure>,
        what: &str,
    ) {
        for part in self.compressors() {
            for supply in supply::sold(self.package, part) {
                list.part(of(supply), what, &part.entry);
            }
        }
    }

    fn pressures(&self, list: &mut List<'a>) {
        for part in self.compressors() {
            list.part(&part.max_pressure, "the continuous pressure", &part.entry);
            list.part(&part.relief, "the relief pressure", &part.entry);
            let supplies = supply::sold(self.package, part);
            let curves = supplies.iter().filter_map(|supply| supply.curve.known());
            for point in curves.flatten() {
                list.push(
                    Stands::Figure(&point.pressure),
                    format!("a pressure on the curve of {}", part.entry.id),
                    2,
                );
            }
        }
        for part in self.airlines() {
            list.part(
                &part.max_pressure,
                "the airline's greatest pressure",
                &part.entry,
            );
        }
    }

    fn sizes(&self, claim: &Claim, list: &mut List<'a>) {
        for part in self.airlines() {
            if claim.is_outside {
                list.part(&part.outside, "the outside diameter", &part.entry);
            } else {
                list.part(&part.size, "the size", &part.entry);
                list.part(&part.bore, "the bore", &part.entry);
            }
        }
        for option in &self.package.options {
            for allow in option.allows.known().into_iter().flatten() {
                if let Given::Known(size) = &allow.size {
                    list.push(
                        Stands::Figure(size),
                        format!("the size that option {} allows", option.id),
                        1,
                    );
                }
            }
        }
    }

    fn lengths(&self, list: &mut List<'a>) {
        for option in &self.package.options {
            for one in laid(option) {
                let lengths: Option<Vec<&Figure>> = one
                    .segments
                    .iter()
                    .map(|segment| segment.length.known())
                    .collect();
                let Some(lengths) = lengths else { continue };
                for length in &lengths {
                    list.push(
                        Stands::Figure(length),
                        format!("a run of option {}", option.id),
                        0,
                    );
                }
                let run: f64 = lengths.iter().map(|length| length.si()).sum();
                list.push(
                    Stands::Sum(run, Dimension::Length, one.at),
                    format!("a whole run of option {}", option.id),
                    0,
                );
                list.push(
                    Stands::Sum(run * f64::from(one.count), Dimension::Length, one.at),
                    format!("all runs of option {}", option.id),
                    0,
                );
            }
            for allow in option.allows.known().into_iter().flatten() {
                if let Given::Known(up_to) = &allow.up_to {
                    list.push(
                        Stands::Figure(up_to),
                        format!("the run that option {} allows", option.id),
                        0,
                    );
                }
            }
        }
        for part in self.airlines() {
            list.part(&part.roll, "the roll", &part.entry);
        }
    }

    fn masses(&self, list: &mut List<'a>) {
        list.rows(&self.package.claims.packed_mass, "the claimed packed mass");
        for option in &self.package.options {
            list.part(
                &option.identity.mass,
                "the mass of an option",
                &self.package.entry,
            );
            list.part(
                &option.identity.packed_mass,
                "the packed mass of an option",
                &self.package.entry,
            );
        }
        for entry in self.entries() {
            list.part(&entry.identity.mass, "the mass", entry);
            list.part(&entry.identity.packed_mass, "the packed mass", entry);
        }
    }

    fn prices(&self, list: &mut List<'a>) {
        for option in &self.package.options {
            if let Given::Known(price) = &option.identity.price {
                list.push(
                    Stands::Figure(price),
                    format!("the price of option {}", option.id),
                    0,
                );
            }
        }
        for (place, entry) in self.entries().into_iter().enumerate() {
            if let Given::Known(price) = &entry.identity.price {
                list.push(
                    Stands::Figure(price),
                    format!("the price of {}", entry.id),
                    u8::from(place > 0),
                );
            }
        }
        for part in self.compressors() {
            for service in &part.service {
                list.part(&service.price, "the price of service", &part.entry);
            }
        }
    }
}

/// The airline that comes with an option: its runs and its trunk.
fn laid(option: &PackageOption) -> impl Iterator<Item = &AirlineUse> {
    let runs = option.airline.known().into_iter().flatten();
    runs.chain(option.trunk.known())
}

/// Whether a figure of the catalog and a claim state the same condition: a depth, a pressure or a distance.
fn has_same_condition(claim: &Claim, one: &Counterpart) -> bool {
    let Stands::Figure(figure) = &one.figure else {
        return false;
    };
    let (a, b) = (&claim.condition, &figure.conditions);
    [
        (&a.pressure, &b.pressure),
        (&a.depth, &b.depth),
        (&a.distance, &b.distance),
    ]
    .iter()
    .any(|(a, b)| a.is_some() && b.is_some())
}

/// Whether an attribute is agreed and not measured: 2 years aren't 3 years rounded.
fn is_term(attribute: Attribute) -> bool {
    matches!(attribute, Attribute::Warranty | Attribute::ServiceInterval)
}

/// Whether both are of one dimension and currency; air may be counted as volume or as amount.
fn is_comparable(claim: &Claim, figure: &Figure) -> bool {
    let air =
        |dimension: Dimension| matches!(dimension, Dimension::VolumeFlow | Dimension::AirAmount);
    let level = |dimension: Dimension| {
        matches!(
            dimension,
            Dimension::SoundLevel | Dimension::WeightedSoundLevel
        )
    };
    claim.quantity.as_ref().is_none_or(|quantity| {
        let (a, b) = (quantity.dimension(), figure.dimension());
        claim.attribute == Attribute::Turnover
            || (quantity.unit().is_comparable(figure.quantity.unit())
                && of_a_shaft(Some(quantity)) == of_a_shaft(Some(&figure.quantity)))
            || (air(a) && air(b) && quantity.unit().is_comparable(figure.quantity.unit()))
            || (level(a) && level(b))
    })
}

/// Whether a figure is of a motor's shaft, in horsepower: that isn't compared with watts from the socket.
fn of_a_shaft(quantity: Option<&units::Quantity>) -> bool {
    quantity.is_some_and(|quantity| quantity.unit().is_of_a_shaft())
}

/// A range of the catalog holds a figure between its ends, and a range of the text one of the catalog's.
fn is_range_over(a: &units::Quantity, b: &units::Quantity) -> bool {
    let level = |dimension: Dimension| {
        matches!(
            dimension,
            Dimension::SoundLevel | Dimension::WeightedSoundLevel
        )
    };
    let same_kind =
        a.unit().is_comparable(b.unit()) || (level(a.dimension()) && level(b.dimension()));
    if !same_kind {
        return false;
    }
    let within = |one: &units::Quantity, range: &units::Quantity| {
        range.si_low() - range.half_width_si() <= one.si_low()
            && one.si_high() <= range.si_high() + range.half_width_si()
    };
    (a.is_range() && within(b, a))
        || (b.is_range() && within(a, b))
        || (level(a.dimension()) && within(a, b))
}

/// `less than 5 USD a month` is kept by anything at or below; so are watts and decibels.
fn is_kept_by_less(claim: &Claim, a: &units::Quantity, b: &units::Quantity) -> bool {
    let bounds = matches!(
        claim.attribute,
        Attribute::Cost | Attribute::Power | Attribute::Sound
    );
    let comparable = a.unit().is_comparable(b.unit());
    bounds && comparable && claim.comparator == Comparator::AtMost && b.si_high() <= a.si_high()
}

#[derive(Default)]
struct List<'a> {
    all: Vec<Counterpart<'a>>,
}

impl<'a> List<'a> {
    fn push(&mut self, figure: Stands<'a>, what: String, rank: u8) {
        self.all.push(Counterpart { figure, what, rank });
    }

    /// A promise of the package, which may have several rows.
    fn rows(&mut self, rows: &'a Given<Vec<Figure>>, what: &str) {
        for figure in rows.known().into_iter().flatten() {
            self.push(Stands::Figure(figure), what.into(), 0);
        }
    }

    /// A fact of a part.
    fn part(&mut self, figure: &'a Given<Figure>, what: &str, entry: &'a Entry) {
        if let Given::Known(figure) = figure {
            self.push(Stands::Figure(figure), format!("{what} of {}", entry.id), 1);
        }
    }
}

/// What a compressor's curve on one supply says of a flow, at a pressure in Pa where one is claimed.
fn on_curve<'a>(
    claim: &Claim,
    part: &'a Compressor,
    supply: &'a Supply,
    at: Option<f64>,
    list: &mut List<'a>,
) {
    let points = supply.curve.known().map_or(&[][..], |points| points);
    for point in points {
        let at_it =
            at.is_none_or(|at| (at - point.pressure.si()).abs() <= units::LISTING_SHARE * at.abs());
        if at_it {
            let what = format!(
                "the curve of {} at {}",
                part.entry.id,
                point.pressure.text()
            );
            list.push(Stands::Figure(&point.flow), what, 2);
        }
    }
    // Between two points of the curve.
    let taken = flow::Air::of_curve(&part.conditions);
    let curve = machine::curve(part, supply, &taken).ok();
    let there = at
        .zip(curve)
        .and_then(|(at, curve)| curve.flow(GaugePressure::pascals(at)));
    if let (Some(there), Some(first)) = (there, points.first()) {
        let dimension = claim
            .quantity
            .as_ref()
            .map_or(Dimension::VolumeFlow, units::Quantity::dimension);
        let value = match dimension {
            Dimension::AirAmount => there.amount(flow::reference_density()).value(),
            _ => there.value(),
        };
        let what = format!("the curve of {} at that pressure", part.entry.id);
        list.push(Stands::Sum(value, dimension, first.flow.at), what, 3);
    }
}
