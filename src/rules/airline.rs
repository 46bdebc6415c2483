//! Is an airline of the size it is sold by, does it sink, does it hold pressure and heat.

use std::collections::HashMap;

use crate::catalog::{Airline, Compressor, Figure, Given, Package, Supply};
use crate::derive::flow::{self, Air};
use crate::derive::laid;
use crate::derive::{Corner, WayFacts, heat, laying, machine, sinking, supply};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, show_bore, significant};
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, touches};

static RULES: &[Rule] = &[SIZE_AND_BORE, FLOATS, PRESSURE_RATING, TEMPERATURE_RATING];

const SIZE_AND_BORE: Rule = Rule {
    name: "airline.size-and-bore",
    level: Level::Warning,
    speaks: "the measured bore isn't what the nominal size stands for",
};
const FLOATS: Rule = Rule {
    name: "airline.floats",
    level: Level::Error,
    speaks: "sold as self-sinking, but lighter than the water it displaces when full of air",
};
const PRESSURE_RATING: Rule = Rule {
    name: "airline.pressure-rating",
    level: Level::Error,
    speaks: "rated below 1.5 times the greatest pressure the compressor can put on it",
};
const TEMPERATURE_RATING: Rule = Rule {
    name: "airline.temperature-rating",
    level: Level::Warning,
    speaks: "the air comes hotter out of the compressor than the line is rated for, and no metal or hose lies between",
};

pub const FAMILY: Family = Family {
    name: "airline",
    rules: RULES,
    page: include_str!("airline.md"),
    check,
};

/// A bore further from its nominal size than this is another size.
const APART: f64 = 0.06;
/// A line is rated for this many times the pressure that can come on it.
const MARGIN: f64 = 1.5;

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let laid = everything_laid(context);
    for part in context.catalog.airlines.iter() {
        let uses = laid.get(part.entry.id.as_str());
        let uses = uses.map_or(&[][..], |uses| uses);
        let all = [
            size_and_bore(part),
            floats(context, part),
            pressure(context, part, uses),
            temperature(context, part, uses),
        ];
        findings.extend(all.into_iter().flatten().map(|f| f.on(part.entry.on())));
    }
}

/// A way to buy a package in which an airline is laid.
#[derive(Clone, Copy)]
struct Use<'a> {
    package: &'a Package,
    way: &'a WayFacts<'a>,
    /// Whether it is the first after the compressor.
    first: bool,
}

/// The ways that lay each airline, by its ID.
fn everything_laid<'a>(context: &Context<'a>) -> HashMap<&'a str, Vec<Use<'a>>> {
    let mut laid: HashMap<&str, Vec<Use>> = HashMap::new();
    for facts in &context.derived.packages {
        for way in &facts.ways {
            let trunk = laid::trunk(context.catalog, way.way);
            let runs = laid::runs(context.catalog, facts.package, way.way);
            let has_trunk = !trunk.is_empty();
            let trunk = trunk
                .iter()
                .enumerate()
                .map(|(place, piece)| (piece, place == 0));
            let runs = runs.iter().flat_map(|run| {
                let pieces = run.pieces.iter().enumerate();
                pieces.map(move |(place, piece)| (piece, place == 0 && !has_trunk))
            });
            for (piece, first) in trunk.chain(runs) {
                let Some(part) = piece.part else { continue };
                let uses = laid.entry(part.entry.id.as_str()).or_default();
                match uses.last_mut().filter(|last| std::ptr::eq(last.way, way)) {
                    Some(last) => last.first |= first,
                    None => uses.push(Use {
                        package: facts.package,
                        way,
                        first,
                    }),
                }
            }
        }
    }
    laid
}

fn system(figure: &Figure) -> System {
    System::of(figure.quantity.unit()).unwrap_or(System::Metric)
}

/// The measured size against what the name means; a wall without thickness is the same fault.
fn size_and_bore(part: &Airline) -> Option<Finding> {
    if let (Given::Known(bore), Given::Known(outside)) = (&part.bore, &part.outside)
        && outside.si() <= bore.si()
    {
        let message = format!(
            "An outside diameter of {} leaves no wall around a bore of {}.",
            outside.text(),
            bore.text()
        );
        return Some(
            Finding::new(&RULES[0], outside.at, message)
                .mend("One of the two figures is wrong: it may belong to another line, or be a radius.")
                .related(bore.at, "the bore"),
        );
    }
    let size = part.size.known()?;
    let tube = part
        .size_means
        .known()
        .is_some_and(|word| word.text == "tube");
    let (measured, what, means) = if tube {
        (part.outside.known()?, "outside", size.si())
    } else {
        let means = laying::nominal_bore(part, size)?;
        (part.bore.known()?, "bore", means)
    };
    let apart = measured.si() / means - 1.0;
    if apart.abs() <= APART {
        return None;
    }
    let side = if apart > 0.0 { "more" } else { "less" };
    let message = format!(
        "As {} {} the {what} would be {}; the measured {} is {} % {side}.",
        size.text(),
        part.size_means
            .known()
            .map_or("hose", |word| word.text.as_str()),
        show_bore(means, system(measured)),
        measured.text(),
        significant(apart.abs() * 100.0, 2)
    );
    Some(
        Finding::new(&RULES[0], measured.at, message)
            .mend("State under size_means what the size names (hose: the bore; pipe: a nominal pipe; tube: the outside), or the right size.")
            .related(size.at, "the size it is sold by"),
    )
}

/// A line sold as self-sinking must outweigh the water it displaces, full of air as it runs.
fn floats(context: &Context, part: &Airline) -> Option<Finding> {
    let sold = part.self_sinking.known().filter(|flag| flag.value)?;
    let sinking = sinking::line(part, context.catalog.site.water_k())?;
    if sinking.best >= 0.0 {
        return None;
    }
    let system = part.mass_per_length.known().map_or(System::Metric, system);
    let each = |mass: f64| show(Dimension::MassPerLength, mass, system);
    let message = format!(
        "Full of air this line floats: it weighs {} and displaces {} of water.",
        each(sinking.mass),
        each(sinking.displaced)
    );
    let figure = |name: &'static str, mass: f64| {
        let value = Value::Quantity(mass, Dimension::MassPerLength);
        Evidence::derived(name, value, "Archimedes", Mark::Exact)
    };
    let mut finding = Finding::new(&RULES[1], sold.at, message)
        .mend("Leave self_sinking out and supply weights, or correct mass or outside diameter.")
        .correct(false, sold.at, "false")
        .evidence([
            figure("water it displaces", sinking.displaced),
            figure("what holds it down, full of air", sinking.net),
        ]);
    if let Given::Known(mass) = &part.mass_per_length {
        finding = finding.related(mass.at, "its mass");
    }
    if let Given::Known(outside) = &part.outside {
        finding = finding.related(outside.at, "its outside diameter");
    }
    Some(finding)
}

/// The greatest pressure in Pa that a compressor can put on its line: its relief valve's, else the
/// larger of its continuous limit and its curve's last pressure. Nothing where that can't be read.
fn greatest(part: &Compressor, supply: &Supply) -> Option<f64> {
    let taken = Air::of_curve(&part.conditions);
    match &part.relief {
        Given::Known(relief) => return Some(flow::gauge(relief, taken.pressure).value()),
        Given::Unreadable => return None,
        Given::Absent => {}
    }
    let curve = machine::curve(part, supply, &taken).ok();
    let last = curve.map(|curve| curve.last_pressure().value());
    let most = machine::max_pressure(part);
    match (last, most) {
        (Some(last), Some(most)) => Some(last.max(most)),
        (one, other) => one.or(other),
    }
}

/// The worst of the packages that lay a line, and all that are touched.
fn pressure(context: &Context, part: &Airline, uses: &[Use]) -> Option<Finding> {
    let rated = part.max_pressure.known()?;
    let site = Air::at(
        context.catalog.site.altitude_m(),
        context.catalog.site.air_k(),
    );
    let holds = flow::gauge_of(rated.high(), rated.dimension(), site.pressure).value();
    let mut worst: Option<(f64, &Compressor)> = None;
    let mut users: Vec<&str> = Vec::new();
    for one in uses {
        let machines = one.way.way.compressors(one.package).known();
        let machines = machines
            .into_iter()
            .flatten()
            .filter_map(|one| context.catalog.compressors.get(&one.part.id));
        for machine in machines {
            let supply = supply::of(context.catalog, one.package, one.way.way, machine).ok();
            let most = supply.and_then(|supply| greatest(machine, supply));
            let Some(most) = most.filter(|most| MARGIN * most > holds) else {
                continue;
            };
            let id = one.package.entry.id.as_str();
            if !users.contains(&id) {
                users.push(id);
            }
            if worst.is_none_or(|(so_far, _)| most > so_far) {
                worst = Some((most, machine));
            }
        }
    }
    let (most, machine) = worst?;
    let words = |pascals: f64| show(Dimension::GaugePressure, pascals, system(rated));
    Some(
        Finding::new(
            &RULES[2],
            rated.at,
            format!(
                "Compressor {} can put {} on this line. A line should be rated for {MARGIN} times that, {}; this one is rated for {}.",
                machine.entry.id,
                words(most),
                words(MARGIN * most),
                rated.text()
            ),
        )
        .mend(format!(
            "Supply a line of a higher rating, or a relief valve that opens sooner{}. A bursting line whips about.",
            touches(&users)
        ))
        .related(machine.entry.header, "the compressor")
        .evidence([Evidence::derived(
            "greatest pressure on the line",
            Value::Quantity(most, Dimension::GaugePressure),
            "relief valve, else the greater of continuous limit and the curve's last pressure; the margin is judgement",
            Mark::Judgement,
        )]),
    )
}

/// The air at its coolest against the line that it meets first.
fn temperature(context: &Context, part: &Airline, uses: &[Use]) -> Option<Finding> {
    let rated = part.max_temperature.known()?;
    let mut worst: Option<(f64, f64, &str)> = None;
    let mut users: Vec<&str> = Vec::new();
    let met_first = uses
        .iter()
        .filter(|one| one.first && one.package.hot_section.is_absent());
    for one in met_first {
        let solver = one.way.solver.as_ref().ok();
        let settled = solver.and_then(|solver| solver.corner(Corner::Central));
        let Some(pressure) = settled.and_then(|settled| settled.pressure()) else {
            continue;
        };
        let facts = context.derived.package(&one.package.entry.id);
        let assumptions = facts.map_or(&context.derived.assumptions, |facts| &facts.assumptions);
        let kelvins = heat::coolest_discharge(context.catalog, assumptions, pressure);
        if kelvins <= rated.high() {
            continue;
        }
        let id = one.package.entry.id.as_str();
        if !users.contains(&id) {
            users.push(id);
        }
        if worst.is_none_or(|(so_far, ..)| kelvins > so_far) {
            worst = Some((kelvins, pressure, id));
        }
    }
    let (kelvins, pressure, package) = worst?;
    let air = show(Dimension::Temperature, kelvins, system(rated));
    Some(
        Finding::new(
            &RULES[3],
            rated.at,
            format!(
                "In package {package} the air leaves the compressor at {air} or hotter when it works against {}. This line comes \
                 first, and is rated for {}.",
                show(Dimension::GaugePressure, pressure, system(rated)),
                rated.text()
            ),
        )
        .mend(format!(
            "Put metal or hot-air hose before the plastic and state it as hot_section{}. Hot lines burn hands: keep \
             them out of reach.",
            touches(&users)
        ))
        .evidence([Evidence::derived(
            "discharge temperature, at its coolest",
            Value::Quantity(kelvins, Dimension::Temperature),
            "first law for an ideal gas with an air-path efficiency of 0.9 (judgement)",
            Mark::Judgement,
        )]),
    )
}
