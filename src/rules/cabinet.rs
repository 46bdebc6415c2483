//! Does a cabinet's fan carry the heat away.

use crate::derive::heat::{self, CabinetHeat};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, show_in, significant};
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
    for part in context.catalog.cabinets.iter() {
        let mut worst: Option<(CabinetHeat, &str)> = None;
        let mut users: Vec<&str> = Vec::new();
        for facts in &context.derived.packages {
            for way in &facts.ways {
                let Some(heat) = heat::cabinet(context.catalog, facts.package, way.way) else {
                    continue;
                };
                if heat.part.entry.id != part.entry.id || heat.rise <= heat.allowed {
                    continue;
                }
                let id = facts.package.entry.id.as_str();
                if !users.contains(&id) {
                    users.push(id);
                }
                let excess = |heat: &CabinetHeat| heat.rise - heat.allowed;
                if worst
                    .as_ref()
                    .is_none_or(|(so_far, _)| excess(&heat) > excess(so_far))
                {
                    worst = Some((heat, id));
                }
            }
        }
        if let Some((heat, package)) = worst {
            findings.push(too_hot(&heat, package, &users).on(part.entry.on()));
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
            "the compressor's limit leaves {} K over the air around",
            significant(heat.allowed, 2)
        )
    } else {
        format!(
            "{} K is as much as it should be",
            significant(heat.allowed, 2)
        )
    };
    let mend = match (heat.needed, fan) {
        (Some(needed), Some(fan)) => format!(
            "It takes a fan of {}",
            show_in(fan.quantity.unit(), needed, 3)
        ),
        _ => "Give it shade, or use a machine rated for hotter places".to_string(),
    };
    let mut finding = Finding::new(
        &RULES[0],
        place,
        format!(
            "In package {package} this fan lets the cabinet get {} K warmer than the air around, from {} of heat; {because}.",
            significant(heat.rise, 2),
            show(Dimension::Power, heat.watts, system)
        ),
    )
    .mend(format!("{mend}{}.", touches(users)))
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
