//! Watts against flow and pressure, watts against volts and amperes, and the supply itself.

use crate::catalog::{Compressor, Figure, Given, Supply};
use crate::derive::PackageFacts;
use crate::derive::machine::{self, Operating};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, significant};
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, capital, subject};

static RULES: &[Rule] = &[IMPOSSIBLE, IMPLAUSIBLE, VOLT_AMPERES, POWER_FACTOR, SUPPLY];

const IMPOSSIBLE: Rule = Rule {
    name: "power.impossible",
    level: Level::Error,
    speaks: "fewer watts than the least work that compresses so much air to that pressure",
};
const IMPLAUSIBLE: Rule = Rule {
    name: "power.implausible",
    level: Level::Error,
    speaks: "wire-to-air efficiency outside what the technology is seen to reach",
};
const VOLT_AMPERES: Rule = Rule {
    name: "power.volt-amperes",
    level: Level::Error,
    speaks: "more watts than volts times amperes",
};
const POWER_FACTOR: Rule = Rule {
    name: "power.power-factor",
    level: Level::Warning,
    speaks: "an implied power factor below 0.35",
};
const SUPPLY: Rule = Rule {
    name: "power.supply",
    level: Level::Error,
    speaks: "a voltage and frequency that no nominal supply has, or a package whose parts need different ones",
};

pub const FAMILY: Family = Family {
    name: "power",
    rules: RULES,
    page: include_str!("power.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for part in context.catalog.compressors.iter() {
        for supply in supplies(part) {
            efficiency(context, part, supply, findings);
            electrical(part, supply, findings);
        }
    }
    for facts in &context.derived.packages {
        one_supply(context, facts, findings);
    }
}

/// The supply a compressor is listed on, and its others.
fn supplies(part: &Compressor) -> impl Iterator<Item = &Supply> {
    std::iter::once(&part.supply).chain(&part.variants)
}

/// Watts against the work of compression. The worst point speaks for the machine; the others have the
/// same cause.
fn efficiency(context: &Context, part: &Compressor, supply: &Supply, findings: &mut Vec<Finding>) {
    let points = machine::operating(part, supply);
    let judged = points
        .iter()
        .filter_map(|point| judge(context, part, point));
    findings.extend(judged.max_by(|a, b| a.level.cmp(&b.level)));
}

fn judge(context: &Context, part: &Compressor, point: &Operating) -> Option<Finding> {
    let system = flow_system(part);
    let air = show(Dimension::VolumeFlow, point.flow, system);
    let pressure = show(Dimension::GaugePressure, point.pressure, system);
    let watts = point.power.text();
    let percent = |share: f64| significant(share * 100.0, 2);
    let quantity =
        |name: &'static str, si: f64, dimension: Dimension, source: &'static str, mark| {
            Evidence::derived(name, Value::Quantity(si, dimension), source, mark)
        };
    let common = [
        quantity(
            "pressure",
            point.pressure,
            Dimension::GaugePressure,
            "the catalog",
            Mark::Stated,
        ),
        quantity(
            "flow there",
            point.flow,
            Dimension::VolumeFlow,
            "the curve",
            Mark::Stated,
        ),
        quantity(
            "least work, isothermal",
            point.least,
            Dimension::Power,
            "ideal gas",
            Mark::Exact,
        ),
        quantity(
            "ideal work, isentropic",
            point.ideal,
            Dimension::Power,
            "ideal gas",
            Mark::Exact,
        ),
    ];
    let finish = |finding: Finding| Some(finding.evidence(common).on(part.entry.on()));
    if point.power.high() < point.least {
        let users = context.users(part.entry.kind, &part.entry.id);
        let least = show(Dimension::Power, point.least, system);
        return finish(
            Finding::new(
                &RULES[0],
                point.power.at,
                format!("{watts} can't compress {air} to {pressure}: even without any loss that takes {least}."),
            )
            .mend(format!("Watts, flow or pressure is wrong{}.", super::touches(&users))),
        );
    }
    let band = machine::band(part)?;
    let name = band.technology.words();
    let efficiency = point.efficiency();
    let is = format!("{watts} for {air} at {pressure} is a wire-to-air efficiency of");
    let seen = format!(
        "{} to {} %",
        percent(band.efficiency.0),
        percent(band.efficiency.1)
    );
    let (level, message) = if efficiency > band.impossible_above {
        let most = percent(band.impossible_above);
        (
            Level::Error,
            format!(
                "{is} {} %; no {name} comes above {most} %.",
                percent(efficiency)
            ),
        )
    } else if efficiency > band.doubtful_above {
        (
            Level::Warning,
            format!(
                "{is} {} %; a {name} is seen at {seen}.",
                percent(efficiency)
            ),
        )
    } else if point.best_efficiency() < band.efficiency.0 {
        (
            Level::Warning,
            format!(
                "{is} only {} %; a {name} is seen at {seen}.",
                percent(efficiency)
            ),
        )
    } else {
        return None;
    };
    finish(
        Finding::new(&RULES[1], point.power.at, message)
            .level(level)
            .mend("Ask at which pressure the watts and the flow were measured, and whether at the same one.")
            .evidence([Evidence::derived(
                "wire-to-air efficiency",
                Value::Number(efficiency * 100.0, "%".into()),
                "isentropic work over electrical power; bands by judgement",
                Mark::Judgement,
            )]),
    )
}

/// The units a compressor's flows are written in.
fn flow_system(part: &Compressor) -> System {
    let curve = part
        .supply
        .curve
        .known()
        .and_then(|points| points.first())
        .map(|point| &point.flow);
    curve
        .or(part.rated.known())
        .and_then(|figure| System::of(figure.quantity.unit()))
        .unwrap_or(System::Metric)
}

/// Watts against volts and amperes, and whether the supply exists.
fn electrical(part: &Compressor, supply: &Supply, findings: &mut Vec<Finding>) {
    if let (Given::Known(volts), Given::Known(amps), Given::Known(watts)) =
        (&supply.voltage, &supply.current, &supply.power)
    {
        let apparent = volts.high() * amps.high();
        let least = watts.low();
        let evidence = [
            Evidence::derived(
                "volts times amperes",
                Value::Number(apparent, "VA".into()),
                "the catalog",
                Mark::Stated,
            ),
            Evidence::derived(
                "power factor",
                Value::Number(least / apparent.max(1e-12), "".into()),
                "watts over volt-amperes",
                Mark::Exact,
            ),
        ];
        // Three per cent for the rounding of three figures.
        if apparent < least * 0.97 {
            findings.push(
                Finding::new(
                    &RULES[2],
                    watts.at,
                    format!(
                        "{} at {} carry at most {} VA, less than the stated {}.",
                        amps.text(),
                        volts.text(),
                        significant(apparent, 3),
                        watts.text()
                    ),
                )
                .mend("Watts can't exceed volts times amperes; one of the three is wrong.")
                .related(amps.at, "the current")
                .related(volts.at, "the voltage")
                .evidence(evidence)
                .on(part.entry.on()),
            );
        } else if !supply.direct && watts.high() < 0.35 * volts.low() * amps.low() {
            let factor = watts.high() / (volts.low() * amps.low());
            findings.push(
                Finding::new(
                    &RULES[3],
                    amps.at,
                    format!(
                        "{} at {} and {} is a power factor of {}; running machines have 0.4 and more.",
                        watts.text(),
                        volts.text(),
                        amps.text(),
                        significant(factor, 2)
                    ),
                )
                .mend("This may be the current at start or with the rotor locked; state that as starting_current.")
                .related(watts.at, "the power")
                .evidence(evidence)
                .on(part.entry.on()),
            );
        }
    }
    if let (Given::Known(volts), Some(hertz)) = (&supply.voltage, hertz(supply))
        && !exists(volts, hertz)
    {
        findings.push(
            Finding::new(
                &RULES[4],
                volts.at,
                format!("No mains or battery supply has {}.", words(supply)),
            )
            .mend(
                "Usual supplies are 100, 110 to 127, 200 to 240, 277, 380 and 440 to 480 V at 60 Hz; 100, 110, \
                 200 to 240 and 380 to 415 V at 50 Hz; 12, 24, 36 and 48 V direct current.",
            )
            .on(part.entry.on()),
        );
    }
}

/// Hertz of a supply: 0 for direct current, nothing where it isn't known.
fn hertz(supply: &Supply) -> Option<f64> {
    if supply.direct {
        Some(0.0)
    } else {
        supply.frequency.known().map(Figure::si)
    }
}

/// A supply as a sentence has it.
fn words(supply: &Supply) -> String {
    let text = |given: &Given<Figure>| {
        let figure = given.known();
        figure.map_or("an unknown".to_string(), |figure| figure.text().to_string())
    };
    if supply.direct {
        format!("{} direct current", text(&supply.voltage))
    } else {
        format!("{} at {}", text(&supply.voltage), text(&supply.frequency))
    }
}

/// Nominal supplies: hertz (0 for direct current), least and greatest volts.
const SUPPLIES: &[(f64, f64, f64)] = &[
    (60.0, 100.0, 100.0),
    (60.0, 110.0, 127.0),
    (60.0, 200.0, 240.0),
    (60.0, 277.0, 277.0),
    (60.0, 380.0, 380.0),
    (60.0, 440.0, 480.0),
    (50.0, 100.0, 100.0),
    (50.0, 110.0, 110.0),
    (50.0, 200.0, 240.0),
    (50.0, 380.0, 415.0),
    (0.0, 12.0, 12.0),
    (0.0, 24.0, 24.0),
    (0.0, 36.0, 36.0),
    (0.0, 48.0, 48.0),
];

/// Whether a nominal supply has that voltage and frequency, within 5 %. A range of volts may reach
/// over several.
fn exists(volts: &Figure, hertz: f64) -> bool {
    SUPPLIES.iter().any(|&(frequency, low, high)| {
        let same = if frequency == 0.0 {
            hertz == 0.0
        } else {
            (hertz / frequency - 1.0).abs() <= 0.05
        };
        same && volts.high() >= low * 0.95 && volts.low() <= high * 1.05
    })
}

/// Whether two supplies can be one: the same frequency, and 110 to 127 V apart from 200 to 240 V.
/// What isn't known keeps nothing apart.
fn can_be_one(one: &Supply, other: &Supply) -> bool {
    let frequencies = hertz(one).zip(hertz(other));
    let frequency = frequencies.is_none_or(|(a, b)| (a - b).abs() <= 0.05 * a.max(b));
    let class = |supply: &Supply| {
        let volts = supply.voltage.known().map(Figure::si)?;
        Some(if supply.direct {
            (volts / 12.0).round() as i64
        } else {
            i64::from(volts > 150.0) + i64::from(volts > 300.0)
        })
    };
    frequency && class(one).zip(class(other)).is_none_or(|(a, b)| a == b)
}

/// The compressors of each way to buy a package must run on one supply, each on one of its own.
fn one_supply(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    for way in &facts.ways {
        let Given::Known(uses) = way.way.compressors(package) else {
            continue;
        };
        let parts: Vec<&Compressor> = uses
            .iter()
            .filter_map(|one| context.catalog.compressors.get(&one.part.id))
            .collect();
        let Some(first) = parts.first() else { continue };
        let runs = |part: &Compressor, on: &Supply| supplies(part).any(|own| can_be_one(own, on));
        let all = supplies(first).any(|on| parts.iter().all(|part| runs(part, on)));
        if all {
            continue;
        }
        let Some(other) = parts
            .iter()
            .find(|part| !supplies(first).any(|on| runs(part, on)))
            .or(parts.get(1))
        else {
            continue;
        };
        let own = way
            .way
            .option()
            .filter(|option| option.compressor.is_there());
        findings.push(
            Finding::new(
                &RULES[4],
                match own {
                    Some(option) => context.place_in(package, option, "compressor"),
                    None => context.place(&package.entry, "compressor"),
                },
                format!(
                    "{} holds {} for {} and {} for {}: no one supply runs both.",
                    capital(&subject(package)),
                    first.entry.id,
                    words(&first.supply),
                    other.entry.id,
                    words(&other.supply)
                ),
            )
            .mend("Choose machines for one supply, or state under variant the other supplies a machine is made for.")
            .related(first.entry.header, "the one compressor")
            .related(other.entry.header, "the other")
            .on(package.entry.on()),
        );
        return;
    }
}
