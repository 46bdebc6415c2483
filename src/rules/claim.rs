//! Which verdicts are worth a finding.
//!
//! Contradicted speaks at the rule's level; undecided speaks only beyond the rating, as a
//! warning; supported and undecided within the rating are silent, and stand in the table.

use crate::claims::{Claim, Outcome, Verdict};
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
        name: "claim.running-cost",
        level: Level::Error,
        speaks: "the claimed cost against watts, hours and tariff",
    },
    Rule {
        name: "claim.not-evaluated",
        level: Level::Note,
        speaks: "a claim that can't be judged for want of a fact",
    },
];

pub const FAMILY: Family = Family {
    name: "claim",
    rules: RULES,
    page: include_str!("claim.md"),
    check,
};

fn rule(claim: Claim) -> Option<&'static Rule> {
    let name = format!("claim.{}", claim.as_str());
    RULES.iter().find(|rule| rule.name == name)
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for verdict in context.verdicts {
        findings.extend(speak(context, verdict));
    }
    not_evaluated(context, findings);
}

/// The level a verdict speaks at, if it does.
fn level(verdict: &Verdict, rule: &Rule) -> Option<Level> {
    match (verdict.outcome, verdict.within_rating) {
        (Outcome::Contradicted, _) if verdict.by_a_hair => Some(Level::Warning.min(rule.level)),
        (Outcome::Contradicted, _) => Some(rule.level),
        // Without a tariff nothing is known for or against the cost; that is worth saying.
        (Outcome::Undecided, None) if verdict.claim == Claim::RunningCost => Some(Level::Warning),
        (Outcome::Undecided, Some(false)) => Some(Level::Warning),
        _ => None,
    }
}

fn speak(context: &Context, verdict: &Verdict) -> Option<Finding> {
    let rule = rule(verdict.claim)?;
    let level = level(verdict, rule)?;
    // One cause, one finding: the claim it follows from speaks.
    if verdict.follows.is_some() {
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
        _ => return None,
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

/// A figure in the claim's own terms.
fn figure(verdict: &Verdict, si: f64) -> String {
    match verdict.dimension {
        Dimension::MoneyPerTime | Dimension::Money => money(verdict, si),
        dimension => show(dimension, si, verdict.system),
    }
}

fn money(verdict: &Verdict, si: f64) -> String {
    let currency = verdict.currency.as_deref().unwrap_or("");
    let period = verdict
        .stated
        .split_whitespace()
        .find_map(|word| word.split_once('/'))
        .map_or("month", |p| p.1);
    match Unit::known(&format!("{currency}/{period}")) {
        Some(unit) => crate::units::show::show_money(unit, si),
        None => format!("{} {currency}", significant(si, 3)),
    }
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

/// What settles or mends it, in whole sentences.
fn mend(verdict: &Verdict) -> String {
    let mut sentences: Vec<String> = Vec::new();
    if verdict.outcome == Outcome::Undecided
        && let Some(decision) = &verdict.decision
        && verdict.claim != Claim::RunningCost
    {
        let unit = if decision.unit.is_empty() {
            String::new()
        } else {
            format!(" {}", decision.unit)
        };
        sentences.push(match decision.needs {
            Some(needs) => {
                format!(
                    "What decides is {}: the claim holds from {}{unit} on.",
                    decision.by,
                    significant(needs, 3)
                )
            }
            None => format!(
                "What weighs most is {}, but no value in its range settles it alone.",
                decision.by
            ),
        });
    }
    match verdict.claim {
        Claim::Depth if verdict.outcome == Outcome::Contradicted => {
            sentences.extend(technology(verdict))
        }
        Claim::Depth | Claim::Area | Claim::Flow => {
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
                    "the engine at this corner of the ranges",
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
            Finding::new(&RULES[4], place, message).on(format!("package.{}", first.package));
        for verdict in blocked.iter().take(8) {
            if verdict.at != place {
                finding = finding.related(verdict.at, "a claim that waits for it");
            }
        }
        findings.push(finding);
    }
}
