//! Does a package hold what it needs.

use crate::catalog::{Cabinet, Given, Manifold, Package, PackageOption};
use crate::derive::plant::{PlantLine, PlantOutlet};
use crate::derive::{Corner, PackageFacts, Way, WayFacts, joints, laying};
use crate::finding::{Finding, Level, Rule, capital};
use crate::text::Span;
use crate::units::Dimension;
use crate::units::show::show;

use super::duty::UNEVEN;
use super::{Asked, Context, Family, on_way, subject};

static RULES: &[Rule] = &[
    VALVES,
    CONNECTIONS,
    CHECK_VALVE,
    INTAKE_FILTER,
    AIRLINE_COUNT,
    AIRLINE_SHORT,
    RECEPTACLES,
];

const VALVES: Rule = Rule {
    name: "kit.valves",
    level: Level::Error,
    speaks: "fewer outlets than runs, or an outlet without a valve where runs have to be set against each other",
};
const CONNECTIONS: Rule = Rule {
    name: "kit.connections",
    level: Level::Error,
    speaks: "two ends that meet in an option don't join, and no fitting in the box joins them",
};
const CHECK_VALVE: Rule = Rule {
    name: "kit.check-valve",
    level: Level::Error,
    speaks: "nothing stops water from running back to the compressor",
};
const INTAKE_FILTER: Rule = Rule {
    name: "kit.intake-filter",
    level: Level::Warning,
    speaks: "a compressor has no intake filter",
};
const AIRLINE_COUNT: Rule = Rule {
    name: "kit.airline-count",
    level: Level::Error,
    speaks: "an option's runs serve fewer diffusers than the package has",
};
const AIRLINE_SHORT: Rule = Rule {
    name: "kit.airline-short",
    level: Level::Error,
    speaks: "an airline that doesn't reach down to its diffuser",
};
const RECEPTACLES: Rule = Rule {
    name: "kit.receptacles",
    level: Level::Warning,
    speaks: "more plugs than the cabinet has receptacles",
};

pub const FAMILY: Family = Family {
    name: "kit",
    rules: RULES,
    page: include_str!("kit.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    context.of_each_package(Asked::Kit, findings, |facts, findings| {
        let package = facts.package;
        // The worst way speaks; the others have the same cause.
        let all = facts
            .ways
            .iter()
            .filter_map(|way| valves(context, facts, way));
        findings.extend(all.reduce(|a, b| if b.level > a.level { b } else { a }));
        connections(context, facts, findings);
        check_valve(context, package, findings);
        intake_filter(context, package, findings);
        airline_count(context, package, findings);
        for way in &facts.ways {
            airline_short(context, package, way, findings);
        }
        receptacles(context, facts, findings);
    });
}

/// Where a key stands that an option may state in the package's place.
fn place_of(
    context: &Context,
    package: &Package,
    way: Way,
    key: &str,
    own: impl Fn(&PackageOption) -> bool,
) -> Span {
    match way.option().filter(|option| own(option)) {
        Some(option) => context.place_in(package, option, key),
        None => context.place(&package.entry, key),
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
/// Whether the branches of a way get the same air within what counts as balanced, at central values.
fn is_balanced(way: &WayFacts) -> bool {
    let settled = way
        .solver
        .as_ref()
        .ok()
        .and_then(|solver| solver.corner(Corner::Central));
    settled.is_some_and(|settled| {
        let flows = || settled.duty().outlets.iter().map(|one| one.amount.value());
        let (most, least) = (
            flows().fold(0.0, f64::max),
            flows().fold(f64::MAX, f64::min),
        );
        least > 0.0 && most / least <= UNEVEN
    })
}

fn valves(context: &Context, facts: &PackageFacts, way: &WayFacts) -> Option<Finding> {
    let package = facts.package;
    let runs = runs(package, way.way);
    if runs < 2 || package.diffuser.known().is_none() {
        return None;
    }
    let place = place_of(context, package, way.way, "manifold", |option| {
        option.manifold.is_there()
    });
    let named = way.way.manifold(package);
    if named.is_absent() {
        let finding = Finding::new(
            &VALVES,
            place,
            format!(
                "{} has {runs} runs but no manifold.",
                capital(&subject(package))
            ),
        );
        let mend = "Name a manifold with an outlet and a valve for each run.";
        return Some(finding.mend(mend).on(package.entry.on()));
    }
    let manifold: &Manifold = way.way.manifold_part(context.catalog, package)?;
    let id = &manifold.entry.id;
    let outlets = manifold.outlets.known()?.value * i64::from(named.known()?.count);
    if outlets < i64::from(runs) {
        let finding = Finding::new(
            &VALVES,
            place,
            format!(
                "Manifold {id} has {} for {runs} runs.",
                counted(outlets, "outlet")
            ),
        );
        return Some(
            finding
                .mend(
                    "Choose a manifold with an outlet for each run, or put two diffusers on a run.",
                )
                .related(context.place(&manifold.entry, "outlets"), "its outlets")
                .on(package.entry.on()),
        );
    }
    if manifold.has_valves() || matches!(manifold.valve, Given::Unreadable) {
        return None;
    }
    let even = laying::is_laid_evenly(context.catalog, package, way.way, facts.claimed_depth)?;
    // Runs that differ may still share the air fairly: a deeper one on a shorter line.
    let balanced = !even && is_balanced(way);
    let message = if balanced {
        format!(
            "The outlets of manifold {id} have no valves. The {runs} runs differ and still get the same air within a \
             quarter, but none can be set or shut alone."
        )
    } else if even {
        format!(
            "The outlets of manifold {id} have no valves. The {runs} runs are alike, but none can be shut alone."
        )
    } else {
        format!(
            "The {runs} runs differ in depth or length, and the outlets of manifold {id} have no valves: the run with the \
             least resistance takes the air."
        )
    };
    Some(
        Finding::new(&VALVES, place, message)
            .level(if even || balanced {
                Level::Warning
            } else {
                Level::Error
            })
            .mend("Name a manifold with a valve at each outlet.")
            .related(context.place(&manifold.entry, "valve"), "the manifold")
            .on(package.entry.on()),
    )
}

/// Ends that meet must join, in each option by itself.
fn connections(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    for way in &facts.ways {
        let open = joints::open(context.catalog, package, way.way);
        if open.is_empty() {
            continue;
        }
        let place = context.place_of_way(package, way.way);
        let pairs: Vec<String> = open
            .iter()
            .map(|joint| format!("{} and {}", joint.from, joint.to))
            .collect();
        let option = match way.way.option() {
            Some(option) => format!("In option {} nothing joins", option.id),
            None => "Nothing joins".to_string(),
        };
        findings.push(
            Finding::new(
                &CONNECTIONS,
                place,
                format!("{option} {}.", pairs.join(", nor ")),
            )
            .mend("Add a fitting with these two ends to the package's fittings, or parts whose ends are the same.")
            .on(on_way(package, way.way)),
        );
    }
}

/// Dust in the air wears the compressor out.
fn intake_filter(context: &Context, package: &Package, findings: &mut Vec<Finding>) {
    let own = package.options.iter().map(|option| &option.compressor);
    let mut told: Vec<&str> = Vec::new();
    for uses in std::iter::once(&package.compressor).chain(own) {
        for one in uses.known().map_or(&[][..], |uses| uses) {
            let Some(part) = context.catalog.compressors.get(&one.part.id) else {
                continue;
            };
            let id = part.entry.id.as_str();
            let message = match &part.inlet_filter {
                Given::Known(flag) if !flag.value => {
                    format!("Compressor {id} has no intake filter.")
                }
                Given::Absent => format!("Compressor {id} states no intake filter."),
                _ => continue,
            };
            if told.contains(&id) {
                continue;
            }
            told.push(id);
            findings.push(
                Finding::new(&INTAKE_FILTER, one.at, message)
                    .mend("Choose one with a filter, or state inlet_filter = true at the compressor if it has one.")
                    .related(context.place(&part.entry, "inlet_filter"), "the compressor")
                    .on(package.entry.on()),
            );
        }
    }
}

/// A receptacle in the cabinet for each plug of compressors and fan.
fn receptacles(context: &Context, facts: &PackageFacts, findings: &mut Vec<Finding>) {
    let package = facts.package;
    let mut told: Vec<Span> = Vec::new();
    for way in &facts.ways {
        let found = plugs(context, package, way.way);
        let Some((part, plugs, receptacles)) = found.filter(|(_, plugs, most)| plugs > most) else {
            continue;
        };
        let place = place_of(context, package, way.way, "cabinet", |option| {
            option.cabinet.is_there()
        });
        if told.contains(&place) {
            continue;
        }
        told.push(place);
        findings.push(
            Finding::new(
                &RECEPTACLES,
                place,
                format!(
                    "Compressors and fan have {}, but cabinet {} has {}.",
                    counted(plugs, "plug"),
                    part.entry.id,
                    counted(receptacles, "receptacle")
                ),
            )
            .mend(
                "Choose a cabinet with a receptacle for each plug. Mains near water is for a licensed electrician, \
                 under the local code; an extension lead in the cabinet is no fix.",
            )
            .related(context.place(&part.entry, "receptacles"), "its receptacles")
            .on(package.entry.on()),
        );
    }
}

/// The cabinet of a way, the plugs in it and its receptacles.
fn plugs<'a>(
    context: &Context<'a>,
    package: &'a Package,
    way: Way<'a>,
) -> Option<(&'a Cabinet, i64, i64)> {
    let cabinet = way.cabinet_part(context.catalog, package)?;
    let count = i64::from(way.cabinet(package).known()?.count);
    let receptacles = cabinet.receptacles.known()?.value.saturating_mul(count);
    let has_fan =
        cabinet.fan_flow.is_there() || cabinet.fan_power.is_there() || cabinet.fan_sound.is_there();
    let usual = i64::from(has_fan);
    let fan = cabinet.plugs.known().map_or(usual, |plugs| plugs.value);
    let uses = way.compressors(package).known()?;
    let mut plugs = fan.saturating_mul(count);
    for one in uses {
        let part = context.catalog.compressors.get(&one.part.id)?;
        let each = part.plugs.known().map_or(1, |plugs| plugs.value);
        plugs = plugs.saturating_add(each.saturating_mul(i64::from(one.count)));
    }
    Some((cabinet, plugs, receptacles))
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
        "Nothing keeps water from running back into the line: diffuser `{}` has no check valve, and the package has none of its own.",
        without.join(", ")
    );
    let mend = if above {
        "The compressor stands above the water, so only the line fills. A check valve saves it from starting against a full line."
    } else {
        "Add a check valve, or state above_water = true if the compressor always stands above the water."
    };
    findings.push(
        Finding::new(
            &CHECK_VALVE,
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
                    let place = context.place_in(package, option, "airline");
                    findings.push(
                        Finding::new(
                            &AIRLINE_COUNT,
                            place,
                            format!(
                                "The airline of option {} serves {}, and {} has {}.",
                                option.id,
                                counted(i64::from(served), "diffuser"),
                                subject(package),
                                counted(i64::from(diffusers), "diffuser")
                            ),
                        )
                        .mend("Set `count` to the number of runs and `per_run` to the diffusers on each.")
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
                        &AIRLINE_COUNT,
                        option.header,
                        format!("Option {} has no airline and allows none.", option.id),
                    )
                    .mend("State the airline it comes with, or what the buyer may fit (`allows`).")
                    .on(on),
                );
            }
            _ => {}
        }
    }
}

/// The air starts above the water, so trunk and run together are at least as long as their diffuser is deep.
fn airline_short(
    context: &Context,
    package: &Package,
    way: &WayFacts,
    findings: &mut Vec<Finding>,
) {
    let (Way::Supplied(option), Ok(solver)) = (way.way, &way.solver) else {
        return;
    };
    let plant = &solver.plant;
    let length = |lines: &[PlantLine]| lines.iter().map(|line| line.length).sum::<f64>();
    let trunk = length(&plant.trunk);
    let laid = |outlet: &&PlantOutlet| trunk + length(&outlet.lines);
    let mut short = plant
        .outlets
        .iter()
        .filter(|one| plant.has_depth && laid(one) < one.depth);
    let Some(outlet) = short.next() else { return };
    let system = crate::derive::system(package);
    let shown = |metres| show(Dimension::Length, metres, system);
    let trunk = if plant.trunk.is_empty() {
        ""
    } else {
        " with its trunk"
    };
    let place = match outlet.laid_by {
        Some(_) => context.place_in(package, option, "airline"),
        None => context.place(&package.entry, "diffuser"),
    };
    findings.push(
        Finding::new(
            &AIRLINE_SHORT,
            place,
            format!(
                "An airline of {}{trunk} doesn't reach a diffuser {} deep.",
                shown(laid(&outlet)),
                shown(outlet.depth)
            ),
        )
        // A manifold may lie in the water, at the end of a line that nobody states.
        .level(match plant.trunk.is_empty() && package.manifold.is_there() {
            true => Level::Warning,
            false => Level::Error,
        })
        .mend(
            "Check the unit of the length: it is for one run, from the manifold to its diffuser. If the manifold lies in \
             the water, state the line to it as `trunk`.",
        )
        .related(context.place(&package.entry, "claim.depth"), "the depth")
        .on(format!("{}.option.{}", package.entry.on(), option.id)),
    );
}

fn counted(count: i64, what: &str) -> String {
    if count == 1 {
        format!("1 {what}")
    } else {
        format!("{count} {what}s")
    }
}
