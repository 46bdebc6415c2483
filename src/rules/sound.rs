//! Is a sound level one that can be compared, and one that such a machine has.

use crate::catalog::{Compressor, Figure};
use crate::derive::{machine, sound};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::significant;
use crate::units::{Dimension, Mark};

use super::{Context, Family};

static RULES: &[Rule] = &[NO_DISTANCE, IMPLAUSIBLE];

const NO_DISTANCE: Rule = Rule {
    name: "sound.no-distance",
    level: Level::Warning,
    speaks: "a sound level without its distance, or without its weighting",
};
const IMPLAUSIBLE: Rule = Rule {
    name: "sound.implausible",
    level: Level::Warning,
    speaks: "a compressor's level, brought to 1 m, outside what its technology is heard at",
};

pub const FAMILY: Family = Family {
    name: "sound",
    rules: RULES,
    page: include_str!("sound.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    for part in catalog.compressors.iter() {
        let level = part.sound.known();
        findings.extend(level.and_then(|figure| no_distance(figure, part.entry.on())));
        findings.extend(implausible(part));
    }
    for part in catalog.cabinets.iter() {
        let level = part.fan_sound.known();
        findings.extend(level.and_then(|figure| no_distance(figure, part.entry.on())));
    }
    for package in catalog.packages.iter() {
        let levels = package.claims.sound.known().into_iter().flatten();
        findings.extend(levels.filter_map(|figure| no_distance(figure, package.entry.on())));
    }
}

fn no_distance(figure: &Figure, on: String) -> Option<Finding> {
    let conditions = &figure.conditions;
    let far = conditions.distance.is_some() || conditions.unreadable;
    let weighted = figure.dimension() == Dimension::WeightedSoundLevel;
    let text = figure.text();
    let (message, mend) = match (far, weighted) {
        (true, true) => return None,
        (false, true) => (
            format!("{text} means nothing without the distance at which it was measured."),
            "State the distance: { is = \"…\", at = \"1 m\" }.",
        ),
        (true, false) => (
            format!("{text} has no weighting: levels of machines are given in dB(A)."),
            "Ask whether it was measured with A-weighting, and write dB(A) if so.",
        ),
        (false, false) => (
            format!("{text} has neither a weighting nor the distance at which it was measured."),
            "State both: { is = \"… dB(A)\", at = \"1 m\" }.",
        ),
    };
    Some(
        Finding::new(&RULES[0], figure.at, message)
            .mend(mend)
            .on(on),
    )
}

fn implausible(part: &Compressor) -> Option<Finding> {
    let figure = part.sound.known()?;
    let band = machine::band(part)?;
    let (low, high) = sound::at_one_metre(figure)?;
    let (quiet, loud) = band.sound;
    let side = if high < quiet {
        "quieter"
    } else if low > loud {
        "louder"
    } else {
        return None;
    };
    let at = figure.conditions.distance.as_ref();
    let there = f64::midpoint(low, high);
    let name = band.technology.words();
    let stated = format!(
        "{} at {}",
        figure.text(),
        at.map_or("", |distance| distance.text())
    );
    let near = at.is_some_and(|distance| (distance.si() - 1.0).abs() < 1e-9);
    let level = if near {
        format!("{stated} is")
    } else {
        format!("{stated} is {} dB(A) at 1 m,", significant(there, 2))
    };
    Some(
        Finding::new(
            &RULES[1],
            figure.at,
            format!(
                "{level} {side} than a bare {name}, which is heard at {quiet} to {loud} dB(A) there."
            ),
        )
        .mend("Ask for the distance, and whether it was measured in a cabinet or indoors. A level with the cabinet belongs to the package.")
        .evidence([
            Evidence::derived(
                "level at 1 m",
                Value::Quantity(there, Dimension::WeightedSoundLevel),
                "spherical spreading",
                Mark::Published,
            ),
            Evidence::derived(
                "usual levels of the technology at 1 m",
                Value::Words(format!("{quiet} to {loud} dB(A)").into()),
                "judgement of this project",
                Mark::Judgement,
            ),
        ])
        .on(part.entry.on()),
    )
}
