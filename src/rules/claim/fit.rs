//! What fits together and what is more than it takes: depth with area, a run with its bore.

use crate::claims::{self, Ground, Outcome};
use crate::finding::Finding;
use crate::units::show::{show, show_in, show_money, significant};
use crate::units::{Dimension, System, Unit};

use super::{Context, named, words};

/// An area without any depth, or one that holds at its own depth and not at the claimed one.
pub(super) fn together(context: &Context, ground: &Ground, findings: &mut Vec<Finding>) {
    let Some(rule) = named("depth-and-area-together") else {
        return;
    };
    let package = ground.facts.package;
    let areas = package.claims.area.known().map_or(&[][..], |rows| rows);
    let has_depth = ground.facts.ways.iter().any(|way| {
        way.solver
            .as_ref()
            .is_ok_and(|solver| solver.plant.has_depth)
    });
    for area in areas {
        let own = area.conditions.depth.as_ref();
        let pond = area.high() * ground.times(area);
        // What no depth could make true is told as that.
        let mut verdicts = context.by_package.get(&package.entry.id);
        if verdicts.any(|one| one.at == area.at && one.outcome == Outcome::Contradicted) {
            continue;
        }
        let finding = match (own, ground.facts.claimed_depth) {
            (None, None) if package.claims.depth.is_absent() && !has_depth => Some(
                Finding::new(
                    rule,
                    area.at,
                    format!(
                        "A pond of {} is claimed without a depth. A diffuser stirs farther in deeper water, so the area can't be judged.",
                        area.text()
                    ),
                )
                .mend("State the depth with the area, or claim the package's greatest depth."),
            ),
            (Some(own), Some(claimed)) if own.high() != claimed => {
                let alone = claims::area::holds_centrally(ground, area, pond, own.high());
                let both = claims::area::holds_centrally(ground, area, pond, claimed);
                (alone == Some(true) && both == Some(false)).then(|| {
                    Finding::new(
                        rule,
                        area.at,
                        format!(
                            "A pond of {} is possible at a depth of {}, but not at the claimed depth of {}: the two promises don't hold \
                             together.",
                            area.text(),
                            own.text(),
                            show(Dimension::Length, claimed, ground.facts.system)
                        ),
                    )
                    .mend("State the depth for each figure, or claim figures that hold together.")
                    .related(context.place(&package.entry, "claim.depth"), "the claimed depth")
                })
            }
            _ => None,
        };
        findings.extend(finding.map(|finding| finding.on(package.entry.on())));
    }
}

/// A buyer made to fit a wider line than a short run needs.
pub(super) fn oversized(ground: &Ground, findings: &mut Vec<Finding>) {
    let Some(rule) = named("airline-oversized") else {
        return;
    };
    let system = ground.facts.system;
    for one in claims::oversized::find(ground) {
        let Some(size) = one.allow.size.known() else {
            continue;
        };
        let smaller = match System::of(size.quantity.unit()) {
            Some(System::Metric) => show_in(size.quantity.unit(), one.smaller, 2),
            _ => one.name.to_string(),
        };
        let length = words::down_in(
            one.allow
                .up_to
                .known()
                .map_or(size.quantity.unit(), |up_to| up_to.quantity.unit()),
            one.up_to,
        );
        let saves = match &one.saves {
            Some((per_metre, currency)) => {
                let per = match system {
                    System::Us => "ft",
                    System::Metric => "m",
                };
                match Unit::known(&format!("{currency}/{per}")) {
                    Some(unit) => format!(" It saves the buyer {}.", show_money(unit, *per_metre)),
                    None => String::new(),
                }
            }
            None => String::new(),
        };
        findings.push(
            Finding::new(
                rule,
                size.at,
                format!(
                    "For runs of up to {length} a {smaller} line is enough: {} gives only {} % more air.{saves}",
                    size.text(),
                    significant(one.gain * 100.0, 2)
                ),
            )
            .mend(format!("Allow {smaller} up to {length} as well."))
            .on(format!("{}.option.{}", ground.facts.package.entry.on(), one.option.id)),
        );
    }
}
