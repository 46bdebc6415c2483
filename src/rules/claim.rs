//! Which verdicts are worth a finding.
//!
//! Contradicted speaks at the rule's level; undecided speaks only beyond the rating, as a
//! warning; supported and undecided within the rating are silent, and stand in the table.

use crate::catalog::{Entry, Figure, Given, LevelWord};
use crate::claims::{self, Claim, Ground, Outcome, Verdict};
use crate::derive::machine;
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, significant};
use crate::units::{Dimension, Mark, Unit};

use super::{Context, Family};

static RULES: &[Rule] = &[
    Rule {
        name: "claim.depth",
        level: Level::Error,
        speaks: "the claimed depth against pressure and air at each diffuser",
    },
    Rule {
        name: "claim.area",
        level: Level::Error,
        speaks: "the claimed area against reach, turnover and mixing air",
    },
    Rule {
        name: "claim.flow",
        level: Level::Error,
        speaks: "the claimed flow against the duty flow or the curve",
    },
    Rule {
        name: "claim.turnover",
        level: Level::Error,
        speaks: "the claimed turnovers against the water the plumes lift",
    },
    Rule {
        name: "claim.oxygen",
        level: Level::Error,
        speaks: "the claimed oxygen or transfer efficiency against what bubbles can give",
    },
    Rule {
        name: "claim.airline-length",
        level: Level::Error,
        speaks: "a run's length against the flow it costs, the pressure and the diffuser's range",
    },
    Rule {
        name: "claim.airline-oversized",
        level: Level::Note,
        speaks: "a larger bore is demanded than a run needs",
    },
    Rule {
        name: "claim.running-cost",
        level: Level::Error,
        speaks: "the claimed cost against watts, hours and tariff",
    },
    Rule {
        name: "claim.sound",
        level: Level::Error,
        speaks: "the claimed level against its sources together at that distance",
    },
    Rule {
        name: "claim.depth-and-area-together",
        level: Level::Warning,
        speaks: "depth and area hold alone but not together, or an area stands without any depth",
    },
    Rule {
        name: "claim.power",
        level: Level::Error,
        speaks: "the claimed watts against the sum of the parts",
    },
    Rule {
        name: "claim.volume",
        level: Level::Error,
        speaks: "the claimed volume against area and depth",
    },
    Rule {
        name: "claim.water-moved",
        level: Level::Error,
        speaks: "the claimed water lifted against the plumes",
    },
    Rule {
        name: "claim.not-evaluated",
        level: Level::Note,
        speaks: "a claim that can't be judged for want of a fact",
    },
    Rule {
        name: "claim.unsourced",
        level: Level::Note,
        speaks: "a measured fact or claim without a source in a catalog that asks for sources",
    },
];

pub const FAMILY: Family = Family {
    name: "claim",
    rules: RULES,
    page: include_str!("claim.md"),
    check,
};

fn rule(claim: Claim) -> Option<&'static Rule> {
    // What is taken up and what is given are one question.
    let claim = if claim == Claim::TransferEfficiency {
        Claim::Oxygen
    } else {
        claim
    };
    named(claim.as_str())
}

fn named(subject: &str) -> Option<&'static Rule> {
    RULES
        .iter()
        .find(|rule| rule.name.strip_prefix("claim.") == Some(subject))
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for verdict in context.verdicts {
        findings.extend(speak(context, verdict));
    }
    for facts in &context.derived.packages {
        let ground = Ground::of(context.catalog, context.derived, facts);
        together(context, &ground, findings);
        oversized(&ground, findings);
    }
    not_evaluated(context, findings);
    unsourced(context, findings);
}

/// The level a verdict speaks at, if it does.
fn level(context: &Context, verdict: &Verdict, rule: &Rule) -> Option<Level> {
    match (verdict.outcome, verdict.within_rating) {
        (Outcome::Contradicted, _) if verdict.by_a_hair => Some(Level::Warning.min(rule.level)),
        (Outcome::Contradicted, _) => Some(rule.level),
        // Without a tariff nothing is known for or against the cost; that is worth saying.
        (Outcome::Undecided, None) if verdict.claim == Claim::RunningCost => Some(Level::Warning),
        (Outcome::Undecided, Some(false)) => Some(Level::Warning),
        // Within the rating it is silent, unless the catalog wants to hear it.
        (Outcome::Undecided, _) => {
            let name = format!("{}.undecided", rule.name);
            let set = context
                .catalog
                .levels
                .iter()
                .rev()
                .find(|one| one.name.text == name)?;
            set.level.map(|word| match word {
                LevelWord::Error => Level::Error,
                LevelWord::Warning => Level::Warning,
                LevelWord::Note => Level::Note,
            })
        }
        _ => None,
    }
}

fn speak(context: &Context, verdict: &Verdict) -> Option<Finding> {
    let rule = rule(verdict.claim)?;
    let level = level(context, verdict, rule)?;
    // One cause, one finding: the claim it follows from speaks.
    if verdict.follows.is_some() {
        return None;
    }
    // In an option that only allows, the starved diffuser is told once, not for each length.
    let starves = verdict.deciding().is_some_and(|one| one.name == "flow");
    if verdict.claim == Claim::AirlineLength && starves {
        return None;
    }
    // A diffuser that starves says it itself; the depth then stands in the table.
    if verdict.claim == Claim::Depth && starved(context, verdict) {
        return None;
    }
    let message = match verdict.claim {
        Claim::Depth => depth(verdict),
        Claim::Area => area(verdict),
        Claim::Flow => flow(verdict),
        Claim::RunningCost => running_cost(verdict),
        Claim::AirlineLength => airline_length(verdict),
        _ => plain(verdict),
    };
    let mut finding = Finding::new(rule, verdict.at, message)
        .level(level)
        .on(format!("package.{}", verdict.package))
        .mend(mend(verdict));
    finding.evidence = evidence(verdict);
    Some(finding)
}

/// Whether every way fails by a diffuser's least air alone, which `duty.starved` reports.
fn starved(context: &Context, verdict: &Verdict) -> bool {
    let Some(deciding) = verdict.deciding() else {
        return false;
    };
    if deciding.name != "flow" {
        return false;
    }
    // Where no way gets any air down there, the depth itself is the fault.
    let facts = context.derived.package(&verdict.package);
    let dead = facts.is_some_and(|facts| {
        facts.ways.iter().all(|way| {
            let solver = way.solver.as_ref().ok();
            let settled = solver.and_then(|s| s.corner(crate::derive::Corner::Central));
            settled.is_none_or(|settled| settled.is_dry())
        })
    });
    !dead
}

/// A figure in the claim's own terms: the unit the claim is written in.
fn figure(verdict: &Verdict, si: f64) -> String {
    let unit = verdict.unit;
    if unit.dimension().is_money() {
        return crate::units::show::show_money(unit, si);
    }
    crate::units::show::show_in(unit, si, 3)
}

fn range(verdict: &Verdict) -> Option<String> {
    let (low, high) = verdict.range?;
    Some(format!(
        "{} to {}",
        figure(verdict, low),
        figure(verdict, high)
    ))
}

fn depth(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let allowed = range(verdict).map_or(String::new(), |range| {
        format!(" The physics allows {range}")
    });
    let rated = verdict.rated.map_or(String::new(), |rated| {
        format!("; rated is {}.", figure(verdict, rated))
    });
    let because = match verdict.deciding() {
        Some(pressure) if pressure.name == "pressure" => {
            let central = pressure.central.unwrap_or(f64::NAN);
            format!(
                "the compressor would have to hold {}, and its continuous limit is {}",
                show(Dimension::GaugePressure, central, verdict.system),
                show(Dimension::GaugePressure, pressure.needed, verdict.system)
            )
        }
        Some(air) if air.central == Some(0.0) => {
            "no air comes out of the diffusers down there".into()
        }
        Some(air) => format!(
            "a diffuser gets {}, and its working range begins with {}",
            show(
                Dimension::VolumeFlow,
                air.central.unwrap_or(f64::NAN),
                verdict.system
            ),
            show(Dimension::VolumeFlow, air.needed, verdict.system)
        ),
        None => String::new(),
    };
    let verb = if verdict.outcome == Outcome::Contradicted {
        "can't be reached"
    } else {
        "is beyond the rating"
    };
    format!("A depth of {stated} {verb}: {because}.{allowed}{rated}")
}

fn area(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let rated = verdict.rated.map_or(String::new(), |rated| {
        format!("rated is {}", figure(verdict, rated))
    });
    let because = match verdict.deciding() {
        Some(reach) if reach.name == "reach" => {
            let needed = verdict.evidence.iter().find_map(|one| match one.value {
                Value::Number(depths, _) if one.name.starts_with("reach needed") => Some(depths),
                _ => None,
            });
            match needed {
                Some(depths) => format!(
                    "each diffuser would have to stir to {} times its depth, and cells of 2.5 to 7 depths are published",
                    significant(depths, 2)
                ),
                None => "the diffusers don't stir that far".into(),
            }
        }
        Some(turnover) if turnover.name == "turnover" => format!(
            "the plumes lift the pond's volume {} times a day",
            significant(turnover.central.unwrap_or(f64::NAN) * 86_400.0, 2)
        ),
        Some(_) => "there isn't the air to keep so large a pond mixed".into(),
        None => String::new(),
    };
    let verb = if verdict.outcome == Outcome::Contradicted {
        "isn't served"
    } else {
        "is beyond the rating"
    };
    format!("A pond of {stated} {verb}: {because}; {rated}.")
}

fn flow(verdict: &Verdict) -> String {
    let central = verdict
        .rated
        .map_or(String::new(), |flow| figure(verdict, flow));
    let range = range(verdict).map_or(String::new(), |range| format!(" ({range})"));
    format!(
        "{} isn't delivered: there it is {central}{range}.",
        verdict.stated
    )
}

fn running_cost(verdict: &Verdict) -> String {
    match (&verdict.rated, &verdict.decision) {
        (Some(cost), _) => {
            format!(
                "{} doesn't pay for it: with these watts, hours and tariff it is {}.",
                verdict.stated,
                figure(verdict, *cost)
            )
        }
        (None, Some(decision)) => match decision.needs {
            Some(tariff) => format!(
                "{} can't be checked without a price of electricity: it holds up to {} {}.",
                verdict.stated,
                significant(tariff, 3),
                decision.unit
            ),
            None => format!(
                "{} can't be checked without a price of electricity.",
                verdict.stated
            ),
        },
        _ => format!("{} can't be checked.", verdict.stated),
    }
}

fn airline_length(verdict: &Verdict) -> String {
    let deciding = verdict.deciding();
    let because = match deciding.map(|one| (one.name, one)) {
        Some(("line-loss", lost)) => format!(
            "it costs {} % of the flow, and {} % is what a run may cost",
            significant(lost.central.unwrap_or(f64::NAN) * 100.0, 2),
            significant(lost.needed * 100.0, 2)
        ),
        Some(("pressure", pressure)) => format!(
            "the compressor would have to hold {}, and its continuous limit is {}",
            show(
                Dimension::GaugePressure,
                pressure.central.unwrap_or(f64::NAN),
                verdict.system
            ),
            show(Dimension::GaugePressure, pressure.needed, verdict.system)
        ),
        Some((_, air)) => format!(
            "a diffuser gets {}, and its working range begins with {}",
            show(
                Dimension::VolumeFlow,
                air.central.unwrap_or(f64::NAN),
                verdict.system
            ),
            show(Dimension::VolumeFlow, air.needed, verdict.system)
        ),
        None => String::new(),
    };
    let rated = verdict.rated.map_or(String::new(), |rated| {
        format!(" Rated is {} for each diffuser.", figure(verdict, rated))
    });
    let verb = if verdict.outcome == Outcome::Contradicted {
        "is too long"
    } else {
        "is beyond the rating"
    };
    format!("A run of {} {verb}: {because}.{rated}", verdict.stated)
}

/// The kinds of claim that are one figure against one figure.
fn plain(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let is = verdict
        .rated
        .map_or(String::new(), |rated| figure(verdict, rated));
    let allowed = range(verdict).map_or(String::new(), |range| format!(" ({range})"));
    let beyond = if verdict.outcome == Outcome::Contradicted {
        ""
    } else {
        " by the rating"
    };
    match verdict.claim {
        Claim::Power => format!("{stated} is less than the parts take together: {is}."),
        Claim::Volume => {
            format!("The claimed area and depth don't hold {stated}{beyond}: it is {is}{allowed}.")
        }
        Claim::Sound => {
            format!(
                "It isn't as quiet as {stated}{beyond}: its sources together come to {is}{allowed}."
            )
        }
        Claim::Turnover => {
            format!(
                "The pond isn't turned over {stated}{beyond}: the plumes lift it {is}{allowed}."
            )
        }
        Claim::WaterMoved => {
            format!("{stated} of water isn't lifted{beyond}: the plumes bring up {is}{allowed}.")
        }
        Claim::Oxygen | Claim::TransferEfficiency => {
            let needs = verdict
                .decision
                .as_ref()
                .and_then(|decision| decision.needs);
            let share = needs.map_or(String::new(), |needs| {
                format!(
                    ": the bubbles would have to give up {} % of their oxygen for each foot of depth; 1 is sure, 2.7 \
                     is a full floor of fine bubbles in clean water, and above 4.6 no bubble comes",
                    significant(needs, 3)
                )
            });
            format!("{stated} isn't given to the water{beyond}{share}.")
        }
        other => format!(
            "The {} of {stated} isn't borne out{beyond}: it is {is}{allowed}.",
            other.as_str()
        ),
    }
}

/// An area without any depth, or one that holds at its own depth and not at the claimed one.
fn together(context: &Context, ground: &Ground, findings: &mut Vec<Finding>) {
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
        let finding = match (own, ground.facts.claimed_depth) {
            (None, None) if package.claims.depth.is_absent() && !has_depth => Some(
                Finding::new(
                    rule,
                    area.at,
                    format!(
                        "{} is claimed without a depth: how far a diffuser stirs grows with it.",
                        area.text()
                    ),
                )
                .mend("State the depth with the area, or claim the package's greatest depth."),
            ),
            (Some(own), Some(claimed)) if own.high() != claimed => {
                let alone = claims::area::holds_centrally(ground, area.high(), own.high());
                let both = claims::area::holds_centrally(ground, area.high(), claimed);
                (alone == Some(true) && both == Some(false)).then(|| {
                    Finding::new(
                        rule,
                        area.at,
                        format!(
                            "{} holds at {} and not at the claimed depth of {}: the two promises aren't kept at once.",
                            area.text(),
                            own.text(),
                            show(Dimension::Length, claimed, ground.facts.system)
                        ),
                    )
                    .mend("Say with each figure what it holds with, or claim what holds together.")
                    .related(context.place(&package.entry, "claim.depth"), "the claimed depth")
                })
            }
            _ => None,
        };
        findings.extend(finding.map(|finding| finding.on(package.entry.on())));
    }
}

/// A buyer made to fit a wider line than a short run needs.
fn oversized(ground: &Ground, findings: &mut Vec<Finding>) {
    let Some(rule) = named("airline-oversized") else {
        return;
    };
    let system = ground.facts.system;
    for one in claims::oversized::find(ground) {
        let Some(size) = one.allow.size.known() else {
            continue;
        };
        let smaller = crate::units::show::show_bore(one.smaller, system);
        let length = show(Dimension::Length, one.up_to, system);
        let saves = match &one.saves {
            Some((per_metre, currency)) => {
                let per = if system == crate::units::System::Us {
                    ("ft", 0.3048)
                } else {
                    ("m", 1.0)
                };
                let unit = Unit::known(&format!("{currency}/{}", per.0));
                let price = unit.map_or(String::new(), |unit| {
                    crate::units::show::show_money(unit, *per_metre)
                });
                format!(" The buyer saves {price}.")
            }
            None => String::new(),
        };
        findings.push(
            Finding::new(
                rule,
                size.at,
                format!(
                    "Up to {length} for each diffuser {smaller} serves as well; {} gains {} % of flow there.{saves}",
                    size.text(),
                    significant(one.gain * 100.0, 2)
                ),
            )
            .mend(format!("Allow {smaller} up to that length beside it."))
            .on(format!("{}.option.{}", ground.facts.package.entry.on(), one.option.id)),
        );
    }
}

/// Measured facts and claims without a source, one note for each entry.
fn unsourced(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    let Some(rule) = named("unsourced").filter(|_| catalog.sources_required) else {
        return;
    };
    let mut note = |entry: &Entry, at: crate::text::Span, what: Vec<&str>| {
        if entry.source.is_none() && !what.is_empty() {
            findings.push(
                Finding::new(
                    rule,
                    at,
                    format!(
                        "The catalog asks for sources, and {} of {} {}.",
                        list(&what),
                        entry.id,
                        have(&what)
                    ),
                )
                .mend("Name the source at the entry, or with the figure: { is = …, source = … }.")
                .on(entry.on()),
            );
        }
    };
    let bare =
        |figure: &Given<Figure>| figure.known().is_some_and(|figure| figure.source.is_none());
    for part in catalog.compressors.iter() {
        let mut what = Vec::new();
        for (name, figure) in [
            ("power", &part.supply.power),
            ("current", &part.supply.current),
            ("sound", &part.sound),
            ("rated", &part.rated),
        ] {
            if bare(figure) {
                what.push(name);
            }
        }
        if part.supply.curve.is_there() {
            what.push("curve");
        }
        note(&part.entry, part.entry.header, what);
    }
    for part in catalog.diffusers.iter() {
        let what = if part.loss.is_there() {
            vec!["loss"]
        } else {
            Vec::new()
        };
        note(&part.entry, part.entry.header, what);
    }
    for package in catalog.packages.iter() {
        let claims = &package.claims;
        if claims.source.is_some() {
            continue;
        }
        let rows = [
            ("depth", &claims.depth),
            ("area", &claims.area),
            ("flow", &claims.flow),
            ("running_cost", &claims.running_cost),
            ("sound", &claims.sound),
            ("turnover", &claims.turnover),
            ("oxygen", &claims.oxygen),
            ("volume", &claims.volume),
            ("water_moved", &claims.water_moved),
        ];
        let what = rows
            .iter()
            .filter(|(_, rows)| {
                rows.known()
                    .is_some_and(|rows| rows.iter().any(|row| row.source.is_none()))
            })
            .map(|(name, _)| *name)
            .collect();
        note(
            &package.entry,
            claims.at.unwrap_or(package.entry.header),
            what,
        );
    }
}

fn list(words: &[&str]) -> String {
    match words {
        [] => String::new(),
        [one] => (*one).to_string(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

fn have(words: &[&str]) -> &'static str {
    if words.len() == 1 {
        "has none"
    } else {
        "have none"
    }
}

/// What settles or mends it, in whole sentences.
fn mend(verdict: &Verdict) -> String {
    let mut sentences: Vec<String> = Vec::new();
    if verdict.outcome == Outcome::Undecided
        && let Some(decision) = &verdict.decision
        && !matches!(
            verdict.claim,
            Claim::RunningCost | Claim::Oxygen | Claim::TransferEfficiency
        )
    {
        let unit = if decision.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", decision.unit)
        };
        let by = format!("{} ({})", decision.what, decision.by);
        sentences.push(match decision.needs {
            Some(needs) if decision.from => {
                format!(
                    "What decides is {by}: the claim holds from {}{unit} on.",
                    significant(needs, 3)
                )
            }
            Some(needs) => {
                format!(
                    "What decides is {by}: the claim holds up to {}{unit}.",
                    significant(needs, 3)
                )
            }
            None => {
                format!("What weighs most is {by}, but no value in its range settles it alone.")
            }
        });
    }
    match verdict.claim {
        Claim::Depth if verdict.outcome == Outcome::Contradicted => {
            sentences.extend(technology(verdict))
        }
        Claim::Power => sentences.push("Claim what the parts take.".into()),
        Claim::Depth
        | Claim::Area
        | Claim::Flow
        | Claim::AirlineLength
        | Claim::Turnover
        | Claim::WaterMoved
        | Claim::Oxygen
        | Claim::TransferEfficiency
        | Claim::Volume => {
            if let Some(rated) = verdict.rated.filter(|rated| *rated > 0.0) {
                sentences.push(format!(
                    "Up to {} it is within the rating.",
                    figure(verdict, rated)
                ));
            }
        }
        Claim::RunningCost if verdict.rated.is_none() => {
            sentences.push("State the tariff with the claim, or in [site].".into());
        }
        _ => {}
    }
    sentences.join(" ")
}

/// The technologies whose continuous pressure reaches what the depth needs.
fn technology(verdict: &Verdict) -> Option<String> {
    let pressure = verdict.criteria.iter().find(|one| one.name == "pressure")?;
    // What the depth needs, not what a dead-headed machine holds: the water and the losses.
    let head = verdict.si * 998.0 * 9.80665;
    let needed = pressure.central.unwrap_or(0.0).max(head * 1.15);
    let names: Vec<String> = machine::bands()
        .iter()
        .filter(|band| band.pressure.1 >= needed)
        .map(|band| band.technology.words().to_string())
        .collect();
    match names.as_slice() {
        [] => None,
        [one] => Some(format!(
            "A {one} holds the {} this takes.",
            show(Dimension::GaugePressure, needed, verdict.system)
        )),
        [first @ .., last] => Some(format!(
            "A {} or {last} holds the {} this takes.",
            first.join(", a "),
            show(Dimension::GaugePressure, needed, verdict.system)
        )),
    }
}

/// The criteria with their corners, then the facts.
fn evidence(verdict: &Verdict) -> Vec<Evidence> {
    let mut all = Vec::new();
    for one in &verdict.criteria {
        let mut corner = |name: &str, value: Option<f64>| {
            if let Some(value) = value {
                all.push(Evidence::derived(
                    format!("{}, {name}", one.says),
                    Value::Quantity(value, one.dimension),
                    "the engine, over the ranges",
                    one.weakest.max(Mark::Published),
                ));
            }
        };
        corner("unfavourable", one.low);
        corner("central", one.central);
        corner("favourable", one.high);
        if one.needed > f64::MIN_POSITIVE {
            all.push(Evidence::derived(
                format!("{}, needed", one.says),
                Value::Quantity(one.needed, one.dimension),
                "the claim and the catalog",
                Mark::Stated,
            ));
        }
    }
    all.extend(verdict.evidence.iter().cloned());
    for (way, outcome) in &verdict.ways {
        all.push(Evidence::derived(
            format!("with {way}"),
            Value::Words(outcome.as_str().into()),
            "the engine",
            Mark::Published,
        ));
    }
    for breach in &verdict.breaches {
        all.push(Evidence::derived(
            "outside an equation's range",
            Value::Words(breach.to_string().into()),
            breach.equation.source,
            breach.equation.mark,
        ));
    }
    all
}

/// One note for each missing fact, with the claims it blocks and their number.
fn not_evaluated(context: &Context, findings: &mut Vec<Finding>) {
    let Some(rule) = RULES.iter().find(|rule| rule.name == "claim.not-evaluated") else {
        return;
    };
    let mut facts: Vec<(&str, Vec<&Verdict>)> = Vec::new();
    for verdict in context.verdicts {
        let Some(missing) = &verdict.missing else {
            continue;
        };
        if verdict.outcome != Outcome::NotEvaluated || missing.reported {
            continue;
        }
        match facts.iter_mut().find(|(fact, _)| *fact == missing.fact) {
            Some((_, blocked)) => blocked.push(verdict),
            None => facts.push((&missing.fact, vec![verdict])),
        }
    }
    for (fact, blocked) in facts {
        let Some(first) = blocked.first() else {
            continue;
        };
        let place = first
            .missing
            .as_ref()
            .and_then(|missing| missing.place)
            .unwrap_or(first.at);
        let names: Vec<String> = blocked
            .iter()
            .take(4)
            .map(|v| format!("{} of {}", v.claim.as_str(), v.package))
            .collect();
        let more = blocked.len() - names.len();
        let list = if more > 0 {
            format!("{} and {more} more", names.join(", "))
        } else {
            names.join(", ")
        };
        let message = match blocked.len() {
            1 => format!("The claim {list} isn't judged: {fact} is missing."),
            count => format!("{count} claims aren't judged ({list}): {fact} is missing."),
        };
        let mut finding =
            Finding::new(rule, place, message).on(format!("package.{}", first.package));
        for verdict in blocked.iter().take(8) {
            if verdict.at != place {
                finding = finding.related(verdict.at, "a claim that waits for it");
            }
        }
        findings.push(finding);
    }
}
