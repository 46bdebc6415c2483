//! Does a package hold what it needs.

use crate::catalog::{Given, Package};
use crate::derive::{PackageFacts, Way};
use crate::finding::{Finding, Level, Rule};

use super::{Context, Family, capital, subject};

static RULES: &[Rule] = &[VALVES, CHECK_VALVE, AIRLINE_COUNT];

const VALVES: Rule = Rule {
    name: "kit.valves",
    level: Level::Error,
    speaks: "fewer outlets than runs, or an outlet without a valve where runs have to be set against each other",
};
const CHECK_VALVE: Rule = Rule {
    name: "kit.check-valve",
    level: Level::Error,
    speaks: "nothing stops water from running back to the compressor",
};
const AIRLINE_COUNT: Rule = Rule {
    name: "kit.airline-count",
    level: Level::Error,
    speaks: "an option's runs serve fewer diffusers than the package has",
};

pub const FAMILY: Family = Family {
    name: "kit",
    rules: RULES,
    page: include_str!("kit.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for facts in &context.derived.packages {
        if facts.package.entry.damaged {
            continue;
        }
        valves(context, facts, findings);
        check_valve(context, facts.package, findings);
        airline_count(context, facts.package, findings);
    }
}

/// Number of runs a way has from its manifold.
fn runs(package: &Package, way: Way) -> u32 {
    match way {
        Way::Supplied(option) => {
            let uses = option.airline.known().map_or(&[][..], |uses| uses);
            uses.iter().map(|one| one.count).sum()
        }
        Way::Allowed(..) | Way::Own => package.diffuser_count(),
    }
}

/// One outlet with a valve for each run: an error where outlets are too few, or where depths or runs
/// differ and nothing can even them out.
fn valves(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    let place = context.place(&package.entry, "manifold");
    let on = package.entry.on();
    let several = package.diffuser_count() > 1;
    for way in &facts.ways {
        let runs = runs(package, way.way);
        if runs < 2 {
            continue;
        }
        let named = way.way.manifold(package);
        let Some(manifold) = way.way.manifold_part(context.catalog, package) else {
            if named.is_absent() && several {
                findings.push(
                    Finding::new(
                        &RULES[0],
                        place,
                        format!(
                            "{} has {runs} runs and no manifold to share the air out to them.",
                            capital(&subject(package))
                        ),
                    )
                    .mend("Name a manifold with an outlet and a valve for each run.")
                    .on(on.clone()),
                );
                return;
            }
            continue;
        };
        let Given::Known(outlets) = &manifold.outlets else {
            continue;
        };
        let count = named.known().map_or(1, |one| one.count);
        let all = outlets.value * i64::from(count);
        let id = &manifold.entry.id;
        if all < i64::from(runs) {
            findings.push(
                Finding::new(
                    &RULES[0],
                    place,
                    format!(
                        "Manifold {id} has {} for {runs} runs.",
                        counted(all, "outlet")
                    ),
                )
                .related(context.place(&manifold.entry, "outlets"), "its outlets")
                .on(on.clone()),
            );
            return;
        }
        let Ok(solver) = &way.solver else { continue };
        if manifold.has_valves() || manifold.entry.damaged {
            continue;
        }
        let even = solver.plant.is_even();
        let message = if even {
            format!(
                "The outlets of manifold {id} have no valves: alike as the {runs} runs are, none can be set or shut alone."
            )
        } else {
            format!(
                "The {runs} runs differ in depth or length and the outlets of manifold {id} have no valves: the easiest \
                 run takes the air."
            )
        };
        findings.push(
            Finding::new(&RULES[0], place, message)
                .level(if even { Level::Warning } else { Level::Error })
                .mend("Name a manifold with a valve at each outlet.")
                .related(context.place(&manifold.entry, "valve"), "the manifold")
                .on(on.clone()),
        );
        return;
    }
}

/// Water must not run back when the compressor stops.
fn check_valve(context: &Context, package: &Package, findings: &mut Vec<Finding>) {
    if package.check_valves.is_there() {
        return;
    }
    let Given::Known(uses) = &package.diffuser else {
        return;
    };
    let mut without = Vec::new();
    for one in uses {
        let Some(part) = context.catalog.diffusers.get(&one.part.id) else {
            return;
        };
        match &part.check_valve {
            Given::Known(flag) if flag.value => {}
            Given::Unreadable => return,
            _ => without.push(part.entry.id.as_str()),
        }
    }
    if without.is_empty() {
        return;
    }
    without.dedup();
    let above = package.above_water.known().is_some_and(|flag| flag.value);
    let message = format!(
        "Nothing keeps water from running back up the line: diffuser {} has no check valve and the package none of its own.",
        without.join(", ")
    );
    let mend = if above {
        "The compressor stands above the water, so only the line fills; a check valve spares it the start against full lines."
    } else {
        "Add a check valve, or state above_water = true if the compressor always stands above the water."
    };
    findings.push(
        Finding::new(
            &RULES[1],
            context.place(&package.entry, "diffuser"),
            message,
        )
        .level(if above { Level::Note } else { Level::Error })
        .mend(mend)
        .on(package.entry.on()),
    );
}

/// Each option brings or allows airline for every diffuser.
fn airline_count(context: &Context, package: &Package, findings: &mut Vec<Finding>) {
    let diffusers = package.diffuser_count();
    let Given::Known(uses) = &package.diffuser else {
        return;
    };
    // Those with airline of their own need none from the option.
    let own: u32 = uses
        .iter()
        .filter(|one| one.airline.is_there() && one.run.is_there())
        .map(|one| one.count)
        .sum();
    let needed = diffusers - own.min(diffusers);
    let document = &context.documents[package.entry.document];
    for option in &package.options {
        let on = format!("{}.option.{}", package.entry.on(), option.id);
        match &option.airline {
            Given::Known(runs) => {
                let served: u32 = runs
                    .iter()
                    .map(|one| one.count.saturating_mul(one.per_run))
                    .sum();
                if served < needed {
                    let item = document.item(option.node);
                    let place = item.get("airline").map_or(option.at, |item| item.span());
                    findings.push(
                        Finding::new(
                            &RULES[2],
                            place,
                            format!(
                                "The airline of option {} serves {}, and {} has {}.",
                                option.id,
                                counted(i64::from(served), "diffuser"),
                                subject(package),
                                counted(i64::from(diffusers), "diffuser")
                            ),
                        )
                        .mend("Give count the number of runs, and per_run the diffusers on each.")
                        .related(context.place(&package.entry, "diffuser"), "the diffusers")
                        .on(on),
                    );
                }
            }
            Given::Absent
                if option.allows.is_absent()
                    && needed > 0
                    && !document.item(option.node).damaged() =>
            {
                findings.push(
                    Finding::new(
                        &RULES[2],
                        option.header,
                        format!("Option {} has no airline and allows none.", option.id),
                    )
                    .mend(
                        "State the airline it comes with, or under allows what the buyer may fit.",
                    )
                    .on(on),
                );
            }
            _ => {}
        }
    }
}

fn counted(count: i64, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}
