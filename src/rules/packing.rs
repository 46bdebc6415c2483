//! Masses and lengths as packed, against what is in the box.

use crate::catalog::{Figure, Given, Kind, Package};
use crate::derive::{PackageFacts, Way, laid};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::text::Span;
use crate::units::show::{show, significant};
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, on_way};

static RULES: &[Rule] = &[MASS, ROLLS];

const MASS: Rule = Rule {
    name: "packing.mass",
    level: Level::Error,
    speaks: "the packed mass is below the sum of what is in the box, or more than twice it",
};
const ROLLS: Rule = Rule {
    name: "packing.rolls",
    level: Level::Note,
    speaks: "the supplied length isn't a whole number of the line's rolls",
};

pub const FAMILY: Family = Family {
    name: "packing",
    rules: RULES,
    page: include_str!("packing.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    for &kind in Kind::PARTS {
        for entry in catalog.entries(kind) {
            if let Given::Known(mass) = &entry.identity.mass {
                let mut contents = Contents::default();
                contents.add("the thing itself", Some(mass), 1.0);
                let found = judge(&entry.identity.packed_mass, &contents);
                findings.extend(found.map(|finding| finding.on(entry.on())));
            }
        }
    }
    for facts in &context.derived.packages {
        package(context, facts, findings);
        rolls(context, facts, findings);
    }
}

/// What is in a box: the sum of known masses, and whether they are all.
#[derive(Default, Clone)]
struct Contents {
    /// At the lower ends of the figures' rounding, kg.
    least: f64,
    /// At the upper ends.
    most: f64,
    unknown: bool,
    parts: Vec<(String, f64)>,
}

impl Contents {
    fn add(&mut self, what: impl Into<String>, mass: Option<&Figure>, times: f64) {
        match mass {
            Some(mass) => {
                let (low, high) = mass.quantity.rounding();
                self.least += low * times;
                self.most += high * times;
                self.parts.push((what.into(), mass.si() * times));
            }
            None => self.unknown = true,
        }
    }
}

/// The finding, if a packed mass doesn't go with the contents.
fn judge(packed: &Given<Figure>, contents: &Contents) -> Option<Finding> {
    let packed = packed.known()?;
    let (low, high) = packed.quantity.rounding();
    let system = System::of(packed.quantity.unit()).unwrap_or(System::Metric);
    let sum: f64 = contents.parts.iter().map(|(_, mass)| mass).sum();
    let words = show(Dimension::Mass, sum, system);
    let text = packed.text();
    let (level, message, mend) = if high < contents.least {
        (
            Level::Error,
            format!("The packed mass is {text}, but the contents alone weigh {words}."),
            "Weigh the packed box, or find which mass or count is wrong.",
        )
    } else if !contents.unknown && low > 2.0 * contents.most && contents.most > 0.0 {
        (
            Level::Warning,
            format!("The packed mass is {text}, more than twice the {words} of the contents."),
            "Weigh the packed box. The usual cause is a carton for several, or pounds taken for kilograms.",
        )
    } else {
        return None;
    };
    let evidence = contents.parts.iter().map(|(what, mass)| {
        let value = Value::Quantity(*mass, Dimension::Mass);
        Evidence::derived(what.clone(), value, "the catalog", Mark::Stated)
    });
    Some(
        Finding::new(&RULES[0], packed.at, message)
            .level(level)
            .mend(mend)
            .evidence(evidence),
    )
}

/// What is in a package's box, the airline of an option apart. Fittings and check valves weigh little
/// and are left out.
fn contents<'a>(context: &Context<'a>, package: &'a Package, way: Way<'a>) -> Contents {
    let catalog = context.catalog;
    let mut contents = Contents::default();
    let mut add = |kind: Kind, id: &str, count: u32| {
        let entry = catalog
            .entries(kind)
            .into_iter()
            .find(|entry| entry.id == id);
        let mass = entry.and_then(|entry| entry.identity.mass.known());
        contents.add(format!("{} {id}", kind.words()), mass, f64::from(count));
    };
    for one in way.compressors(package).known().into_iter().flatten() {
        add(Kind::Compressor, &one.part.id, one.count);
    }
    for one in package.diffuser.known().into_iter().flatten() {
        add(Kind::Diffuser, &one.part.id, one.count);
    }
    if let Given::Known(one) = way.manifold(package) {
        add(Kind::Manifold, &one.part.id, one.count);
    }
    if let Given::Known(one) = way.cabinet(package) {
        add(Kind::Cabinet, &one.part.id, one.count);
    }
    contents.unknown |=
        package.diffuser.known().is_none() || way.compressors(package).known().is_none();
    contents
}

/// The masses of a package as packed: its own without airline, each option's with what it brings.
fn package(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    let identity = &package.entry.identity;
    let mut base = contents(context, package, Way::Own);
    // With which airline the package itself is packed isn't stated, so it can only be too light.
    base.unknown |= !package.options.is_empty();
    let claimed = package.claims.packed_mass.known().into_iter().flatten();
    let claimed = claimed.map(|figure| Given::Known(figure.clone()));
    for packed in std::iter::once(identity.packed_mass.clone()).chain(claimed) {
        findings.extend(judge(&packed, &base).map(|finding| finding.on(package.entry.on())));
    }
    for way in &facts.ways {
        let Way::Supplied(option) = way.way else {
            continue;
        };
        let mut all = contents(context, package, way.way);
        for (piece, count) in pieces(context, package, way.way) {
            let each = piece
                .part
                .and_then(|part| part.mass_per_length.known())
                .zip(piece.length);
            match each {
                Some((mass, length)) => {
                    let id = piece.part.map_or("", |part| part.entry.id.as_str());
                    let metres = length.si() * f64::from(count);
                    all.add(format!("airline {id}"), Some(mass), metres);
                }
                None => all.unknown = true,
            }
        }
        let found = judge(&option.identity.packed_mass, &all);
        findings.extend(found.map(|finding| finding.on(on_way(package, way.way))));
    }
}

/// Every piece of airline that a way brings, with how often.
fn pieces<'a>(
    context: &Context<'a>,
    package: &'a Package,
    way: Way<'a>,
) -> Vec<(laid::Piece<'a>, u32)> {
    let trunk = laid::trunk(context.catalog, way);
    let trunk = trunk.into_iter().map(|piece| (piece, 1));
    let runs = laid::runs(context.catalog, package, way);
    let runs = runs
        .into_iter()
        .flat_map(|run| run.pieces.into_iter().map(move |piece| (piece, run.count)));
    trunk.chain(runs).collect()
}

/// The whole length of each airline in an option, against the rolls it is sold in.
fn rolls(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    for way in &facts.ways {
        if !matches!(way.way, Way::Supplied(_)) {
            continue;
        }
        // Airline, its roll, metres in all, and the place of the first length.
        let mut lines: Vec<(&str, &Figure, f64, Span)> = Vec::new();
        for (piece, count) in pieces(context, package, way.way) {
            let (Some(part), Some(length)) = (piece.part, piece.length) else {
                continue;
            };
            let Given::Known(roll) = &part.roll else {
                continue;
            };
            let metres = length.si() * f64::from(count);
            match lines.iter_mut().find(|(id, ..)| *id == part.entry.id) {
                Some((_, _, sum, _)) => *sum += metres,
                None => lines.push((&part.entry.id, roll, metres, length.at)),
            }
        }
        for (id, roll, metres, at) in lines {
            findings.extend(
                partial(id, roll, metres, at).map(|finding| finding.on(on_way(package, way.way))),
            );
        }
    }
}

fn partial(id: &str, roll: &Figure, metres: f64, at: Span) -> Option<Finding> {
    let each = roll.si();
    let rolls = metres / each;
    // A hundredth of a roll is rounding between feet and metres.
    if !rolls.is_finite() || (rolls - rolls.round()).abs() <= 0.01 {
        return None;
    }
    let system = System::of(roll.quantity.unit()).unwrap_or(System::Metric);
    Some(
        Finding::new(
            &RULES[1],
            at,
            format!(
                "Airline {id} is supplied as {} in all, which is {} rolls of {}.",
                show(Dimension::Length, metres, system),
                significant(rolls, 3),
                roll.text()
            ),
        )
        .mend("Choose lengths that add up to whole rolls: nothing is left over, and no run needs a joint.")
        .related(roll.at, "the length it is sold in"),
    )
}
