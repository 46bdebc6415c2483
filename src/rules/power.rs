//! Watts against flow and pressure, watts against volts and amperes, and the supply itself.

use crate::catalog::{Compressor, Current, Figure, Given, Package, Supply};
use crate::derive::machine::{self, Operating};
use crate::derive::{Way, supply};
use crate::finding::{Evidence, Finding, Level, Rule, Value, capital};
use crate::text::Span;
use crate::units::show::{show, significant};
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, subject};

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
    speaks: "more watts than volts and amperes carry",
};
const POWER_FACTOR: Rule = Rule {
    name: "power.power-factor",
    level: Level::Warning,
    speaks: "an implied power factor below 0.35",
};
const SUPPLY: Rule = Rule {
    name: "power.supply",
    level: Level::Error,
    speaks: "a supply that doesn't exist, that a package's parts don't share, or that it is sold for and they don't have",
};

pub const FAMILY: Family = Family {
    name: "power",
    rules: RULES,
    page: include_str!("power.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for part in context.catalog.compressors.iter() {
        for supply in supply::all(part) {
            efficiency(context, part, supply, findings);
            electrical(part, supply, findings);
        }
    }
    for package in context.catalog.packages.iter() {
        one_supply(context, package, findings);
    }
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

/// The most that a small motor may be run above its horsepower: NEMA MG 1, table of service factors (from memory: 1.4
/// below 1/4 hp, 1.35 to 1/3 hp, 1.25 to 1 hp).
const SERVICE_FACTOR: f64 = 1.4;

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
    let of_a_shaft = point.power.quantity.unit().is_of_a_shaft();
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
    // A motor may be run above the size on its plate, by its service factor.
    let most = match of_a_shaft {
        true => point.power.high() * SERVICE_FACTOR,
        false => point.power.high(),
    };
    if most < point.least {
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
    // What the motor itself loses stands nowhere, so a shaft's power has no wire-to-air efficiency.
    if of_a_shaft {
        return None;
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
            .mend("Ask at which pressure the watts and the flow were measured, and whether it was the same.")
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
        findings.extend(carried(part, supply, volts, amps, watts));
    }
    if let (Given::Known(volts), Some(hertz)) = (&supply.voltage, supply::hertz(supply))
        && !exists(volts, hertz)
    {
        findings.push(
            Finding::new(
                &RULES[4],
                volts.at,
                format!("No usual mains or battery supply has {}.", supply::words(supply)),
            )
            .mend(
                "Usual supplies are 100, 110 to 127, 200 to 240, 277, 380 and 440 to 480 V at 60 Hz; 100, 110, \
                 200 to 240 and 380 to 415 V at 50 Hz; 12, 24, 36 and 48 V direct current.",
            )
            .on(part.entry.on()),
        );
    }
}

/// Watts against volts and amperes. Where it isn't said whether a supply has three phases, what favours the plate
/// counts.
fn carried(
    part: &Compressor,
    supply: &Supply,
    volts: &Figure,
    amps: &Figure,
    watts: &Figure,
) -> Option<Finding> {
    let (one, three) = supply::phase_factor(supply);
    let apparent = three * volts.high() * amps.high();
    let at_least = one * volts.low() * amps.low();
    let least = watts.low();
    let phases = match supply::is_three_phase(supply) {
        Some(false) => "",
        Some(true) => " on three phases",
        None => " on three phases, if it has them,",
    };
    let evidence = [
        Evidence::derived(
            match phases {
                "" => "volts times amperes",
                _ => "square root of 3 times volts times amperes",
            },
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
        let mend = match phases {
            "" if supply.kind == Current::Alternating => {
                "Watts can't exceed volts times amperes; one of the three is wrong, or the supply is three-phase."
            }
            "" => "Watts can't exceed volts times amperes; one of the three is wrong.",
            _ => {
                "Watts can't exceed the square root of 3 times volts times amperes; one of the three is wrong."
            }
        };
        let carry = significant(apparent, 3);
        let message = format!(
            "{} and {}{phases} give at most {carry} VA, less than the stated {}.",
            amps.text(),
            volts.text(),
            watts.text()
        );
        return Some(
            Finding::new(&RULES[2], watts.at, message)
                .mend(mend)
                .related(amps.at, "the current")
                .related(volts.at, "the voltage")
                .evidence(evidence)
                .on(part.entry.on()),
        );
    }
    // What a shaft gives is less than what its motor draws.
    let of_a_shaft = watts.quantity.unit().is_of_a_shaft();
    if of_a_shaft || supply.kind == Current::Direct || watts.high() >= 0.35 * at_least {
        return None;
    }
    let message = format!(
        "{} at {} and {} is a power factor of {}; running machines have 0.4 and more.",
        watts.text(),
        volts.text(),
        amps.text(),
        significant(watts.high() / at_least, 2)
    );
    Some(
        Finding::new(&RULES[3], amps.at, message)
            .mend("This may be the current at start or with the rotor locked. If so, state it as `starting_current`.")
            .related(watts.at, "the power")
            .evidence(evidence)
            .on(part.entry.on()),
    )
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

/// The compressors of each way to buy a package must have the supply it is sold for, and without one a supply that
/// all have. One finding for each place that says so.
fn one_supply(context: &Context, package: &Package, findings: &mut Vec<Finding>) {
    let mut places: Vec<Span> = Vec::new();
    for way in supply::offers(package) {
        let parts = supply::machines(context.catalog, package, way);
        let found = match way.supply(package) {
            Given::Known(chosen) => parts
                .iter()
                .find(|part| supply::nearest(part, chosen).is_none())
                .map(|part| not_made_for(package, part, chosen)),
            Given::Unreadable => None,
            Given::Absent => none_shared(context, package, way, &parts),
        };
        if let Some(finding) = found.filter(|one| !places.contains(&one.at)) {
            places.push(finding.at);
            findings.push(finding);
        }
    }
}

/// A compressor that hasn't the supply its package is sold for.
fn not_made_for(package: &Package, part: &Compressor, chosen: &Supply) -> Finding {
    let own: Vec<String> = supply::all(part).map(supply::words).collect();
    Finding::new(
        &RULES[4],
        chosen.at.unwrap_or(package.entry.header),
        format!(
            "{} is sold for {}, and {} is made for {}.",
            capital(&subject(package)),
            supply::words(chosen),
            part.entry.id,
            own.join(", and for ")
        ),
    )
    .mend("Choose a supply that the machine has, or state its other supplies under `variant`.")
    .related(part.entry.header, "the compressor")
    .on(package.entry.on())
}

/// Compressors of one kit that no one supply runs.
fn none_shared(
    context: &Context,
    package: &Package,
    way: Way,
    parts: &[&Compressor],
) -> Option<Finding> {
    let first = parts.first()?;
    if supply::shared(parts).is_some() {
        return None;
    }
    let apart =
        |part: &&&Compressor| !supply::all(first).any(|on| supply::nearest(part, on).is_some());
    let other = parts.iter().find(apart).or(parts.get(1))?;
    let own = way.option().filter(|option| option.compressor.is_there());
    let at = match own {
        Some(option) => context.place_in(package, option, "compressor"),
        None => context.place(&package.entry, "compressor"),
    };
    Some(
        Finding::new(
            &RULES[4],
            at,
            format!(
                "{} holds {} for {} and {} for {}: no one supply runs both.",
                capital(&subject(package)),
                first.entry.id,
                supply::words(&first.supply),
                other.entry.id,
                supply::words(&other.supply)
            ),
        )
        .mend(
            "Choose machines for one supply, or state a machine's other supplies under `variant`.",
        )
        .related(first.entry.header, "the one compressor")
        .related(other.entry.header, "the other")
        .on(package.entry.on()),
    )
}
