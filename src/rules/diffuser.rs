//! Does a diffuser stay down.

use crate::catalog::{Diffuser, Given};
use crate::derive::sinking;
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::show;
use crate::units::{Dimension, Mark, System};

use super::{Context, Family};

static RULES: &[Rule] = &[FLOATS];

const FLOATS: Rule = Rule {
    name: "diffuser.floats",
    level: Level::Warning,
    speaks: "mass and volume show that it won't stay down when it is full of air",
};

pub const FAMILY: Family = Family {
    name: "diffuser",
    rules: RULES,
    page: include_str!("diffuser.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let water = context.catalog.site.water_k();
    for part in context.catalog.diffusers.iter() {
        findings.extend(floats(part, water));
    }
}

fn floats(part: &Diffuser, water: f64) -> Option<Finding> {
    let sinking = sinking::diffuser(part, water)?;
    if sinking.best >= 0.0 {
        return None;
    }
    let mass = part.entry.identity.mass.known()?;
    let system = System::of(mass.quantity.unit()).unwrap_or(System::Metric);
    let words = |kilograms: f64| show(Dimension::Mass, kilograms, system);
    let mut finding = Finding::new(
        &RULES[0],
        mass.at,
        format!(
            "At {} it doesn't stay down: while it runs it displaces {} of water.",
            mass.text(),
            words(sinking.displaced)
        ),
    )
    .mend(format!(
        "It needs at least {} of ballast, counted in its mass, unless mass or volume is wrong.",
        words(-sinking.net)
    ))
    .evidence([Evidence::derived(
        "water it displaces",
        Value::Quantity(sinking.displaced, Dimension::Mass),
        "Archimedes",
        Mark::Exact,
    )])
    .on(part.entry.on());
    if let Given::Known(volume) = &part.volume {
        finding = finding.related(volume.at, "its volume, trapped air included");
    }
    Some(finding)
}
