//! Which verdicts are worth a finding.
//!
//! Contradicted speaks at the rule's level; undecided speaks only beyond the rating, as a
//! warning; supported and undecided within the rating are silent, and stand in the table.

use crate::catalog::LevelWord;
use crate::claims::{Claim, Ground, Outcome, Verdict};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::Mark;

use super::{Context, Family};

mod facts;
mod fit;
mod mend;
mod words;

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
        fit::together(context, &ground, findings);
        fit::oversized(&ground, findings);
    }
    facts::not_evaluated(context, findings);
    facts::unsourced(context, findings);
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
    // A diffuser that starves is told once for the option, not for each length it allows.
    let starves = verdict.deciding().is_some_and(|one| one.name == "flow");
    if verdict.claim == Claim::AirlineLength && starves {
        return None;
    }
    // A diffuser that starves says it itself; the depth then stands in the table.
    if verdict.claim == Claim::Depth && starved(context, verdict) {
        return None;
    }
    let mut finding = Finding::new(rule, verdict.at, words::message(verdict))
        .level(level)
        .on(on(verdict))
        .mend(mend::mend(context, verdict));
    finding.evidence = evidence(verdict);
    Some(finding)
}

/// What a finding about the claim is about: its option, where it is about one.
fn on(verdict: &Verdict) -> String {
    match &verdict.option {
        Some(option) => format!("package.{}.option.{option}", verdict.package),
        None => format!("package.{}", verdict.package),
    }
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
