//! Does a cabinet's fan carry the heat away.

use std::collections::HashMap;
use std::collections::hash_map::Entry;

use crate::derive::heat::{self, CabinetHeat};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, show_in, show_rise};
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, touches};

static RULES: &[Rule] = &[TOO_HOT];

const TOO_HOT: Rule = Rule {
    name: "cabinet.too-hot",
    level: Level::Warning,
    speaks: "the fan can't carry the heat away within the allowed rise",
};

pub const FAMILY: Family = Family {
    name: "cabinet",
    rules: RULES,
    page: include_str!("cabinet.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let mut hot: HashMap<&str, Hot> = HashMap::new();
    for facts in &context.derived.packages {
        let package = facts.package.entry.id.as_str();
        for way in &facts.ways {
            let heat = heat::cabinet(context.catalog, facts.package, way.way);
            let Some(heat) = heat.filter(|heat| heat.rise > heat.allowed) else {
                continue;
            };
            match hot.entry(&heat.part.entry.id) {
                Entry::Occupied(mut known) => known.get_mut().add(heat, package),
                Entry::Vacant(new) => {
                    new.insert(Hot {
                        worst: (heat, package),
                        users: vec![package],
                    });
                }
            }
        }
    }
    for part in context.catalog.cabinets.iter() {
        if let Some(Hot { worst, users }) = hot.get(part.entry.id.as_str()) {
            findings.push(too_hot(&worst.0, worst.1, users).on(part.entry.on()));
        }
    }
}

/// A cabinet that gets too hot: in which package most, and in which at all.
struct Hot<'a> {
    worst: (CabinetHeat<'a>, &'a str),
    users: Vec<&'a str>,
}

impl<'a> Hot<'a> {
    fn add(&mut self, heat: CabinetHeat<'a>, package: &'a str) {
        // The ways of a package follow each other.
        if self.users.last() != Some(&package) {
            self.users.push(package);
        }
        let excess = |heat: &CabinetHeat| heat.rise - heat.allowed;
        if excess(&heat) > excess(&self.worst.0) {
            self.worst = (heat, package);
        }
    }
}

fn too_hot(heat: &CabinetHeat, package: &str, users: &[&str]) -> Finding {
    let fan = heat.part.fan_flow.known();
    let place = fan.map_or(heat.part.entry.header, |fan| fan.at);
    let system = fan
        .and_then(|fan| System::of(fan.quantity.unit()))
        .unwrap_or(System::Metric);
    let because = if heat.by_limit && heat.allowed <= 0.0 {
        "the air around is already at the compressor's limit".to_string()
    } else if heat.by_limit {
        format!(
            "the compressor allows at most {}",
            show_rise(heat.allowed, system, 2)
        )
    } else {
        format!(
            "it should be at most {}",
            show_rise(heat.allowed, system, 2)
        )
    };
    let mend = match (heat.needed, fan) {
        (Some(needed), Some(fan)) => format!(
            "Use a fan of at least {}",
            show_in(fan.quantity.unit(), needed, 3)
        ),
        _ => "Give it shade, or use a machine rated for hotter places".to_string(),
    };
    let mut finding = Finding::new(
        &RULES[0],
        place,
        format!(
            "In package {package} the cabinet gets {} warmer than the air around it, from {} of heat; {because}.",
            show_rise(heat.rise, system, 2),
            show(Dimension::Power, heat.watts, system)
        ),
    )
    .mend(match users {
        [_, _, ..] => format!("{mend}{}.", touches(users)),
        _ => format!("{mend}."),
    })
    .evidence([Evidence::derived(
        "heat in the cabinet",
        Value::Quantity(heat.watts, Dimension::Power),
        "all watts of compressors and fan",
        Mark::Stated,
    )]);
    for breach in &heat.breaches {
        finding.evidence.push(Evidence::derived(
            "outside an equation's range",
            Value::Words(breach.to_string().into()),
            breach.equation.source,
            breach.equation.mark,
        ));
    }
    finding
}
