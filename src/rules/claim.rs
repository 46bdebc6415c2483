//! Which verdicts are worth a finding.
//!
//! Contradicted speaks at the rule's level; undecided speaks only beyond the rating, as a
//! warning; supported and undecided within the rating are silent, and stand in the table.

use crate::catalog::LevelWord;
use crate::claims::{Claim, Ground, Judged, Outcome, Sense, Verdict};
use crate::derive::Way;
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::Mark;

use super::{Asked, Context, Family};

mod facts;
mod fit;
mod lower;
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
        speaks: "the claimed turnovers against the water that the bubbles lift",
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
        speaks: "a larger bore than a run needs",
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
        speaks: "the claimed water lifted against what the bubbles lift",
    },
    Rule {
        name: "claim.not-evaluated",
        level: Level::Note,
        speaks: "a claim that lacks a fact",
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
    let claim = match claim {
        Claim::TransferEfficiency | Claim::OxygenUptake => Claim::Oxygen,
        other => other,
    };
    named(claim.as_str())
}

fn named(subject: &str) -> Option<&'static Rule> {
    RULES
        .iter()
        .find(|rule| rule.name.strip_prefix("claim.") == Some(subject))
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    context.of_each_package(Asked::Promises, findings, |facts, findings| {
        let own = context.by_package.get(&facts.package.entry.id);
        findings.extend(own.filter_map(|verdict| speak(context, verdict)));
    });
    context.of_each_package(Asked::Together, findings, |facts, findings| {
        let ground = Ground::of(context.catalog, context.derived, facts);
        fit::together(context, &ground, findings);
        fit::oversized(&ground, findings);
    });
    facts::not_evaluated(context, findings);
    facts::unsourced(context, findings);
}

/// The level a verdict speaks at, if it does.
fn level(context: &Context, verdict: &Verdict, rule: &Rule) -> Option<Level> {
    match (verdict.outcome, verdict.within_rating) {
        (Outcome::Contradicted, _) => Some(rule.level),
        // Without a tariff nothing is known for or against the cost; that is worth saying.
        (Outcome::Undecided, None) if verdict.claim == Claim::RunningCost => Some(Level::Warning),
        (Outcome::Undecided | Outcome::Supported, Some(false)) => Some(Level::Warning),
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

/// What is said of a verdict: of the best way to buy the package, else of the options that fail though another
/// way holds. A contradicted promise is always heard here, whatever else explains it.
fn speak(context: &Context, verdict: &Verdict) -> Option<Finding> {
    let rule = rule(verdict.claim)?;
    let Some(level) = level(context, verdict, rule) else {
        return speak_of_options(context, verdict, rule);
    };
    let mut message = words::message(verdict, limit(context, verdict));
    message.extend(mend::decides(verdict).map(|decides| format!(" {decides}")));
    let mut what_to_do = mend::mend(context, verdict);
    let own = own_depth(context, verdict);
    if let Some(own) = own {
        message.push_str(&format!(
            " The diffusers are stated to lie at {}, so the promise is judged there.",
            words::figure(verdict, own)
        ));
        what_to_do = "State a depth for the diffusers and one for the package that agree.".into();
    }
    let best = best_way(context, verdict).filter(|name| !name.is_empty());
    if let (Some(best), 2.., None) = (best, verdict.ways.len(), &verdict.option) {
        message.push_str(&format!(" This is with option {best}, the best one."));
    }
    let mut finding = Finding::new(rule, verdict.at, message)
        .level(level)
        .on(on(verdict))
        .mend(what_to_do);
    finding.evidence = evidence(verdict);
    finding.contradicts = verdict.outcome == Outcome::Contradicted;
    if verdict.claim == Claim::Depth {
        finding = at_the_options(context, verdict, finding);
    }
    let lower = lower::offered(context, verdict).filter(|_| own.is_none());
    if let Some(lower) = lower {
        finding = finding.correct(false, verdict.at, super::quoted(&lower));
    }
    Some(finding)
}

/// The way to buy the package that a verdict is by, as a report calls it.
fn best_way(context: &Context, verdict: &Verdict) -> Option<String> {
    let facts = context.derived.package(&verdict.package)?;
    let way = facts.ways.get(verdict.way?)?.way;
    Some(match way.option() {
        Some(option) if verdict.claim.is_of_the_machine() => option.id.clone(),
        _ => way.name(),
    })
}

/// Whether a package's compressors state their greatest pressure, or a page keeps silent on it and it was assumed.
fn limit(context: &Context, verdict: &Verdict) -> words::Limit {
    let facts = context.derived.package(&verdict.package);
    let uses = facts.and_then(|facts| facts.package.compressor.known());
    let mut parts = uses
        .into_iter()
        .flatten()
        .filter_map(|one| context.catalog.compressors.get(&one.part.id));
    let is_assumed = parts.any(|part| {
        let most = part.max_pressure.known();
        most.is_some_and(|most| most.at.is_empty())
    });
    if is_assumed {
        words::Limit::Assumed
    } else {
        words::Limit::Stated
    }
}

/// The depth in m that diffusers are stated to lie at, where that is deeper than the one promised.
fn own_depth(context: &Context, verdict: &Verdict) -> Option<f64> {
    if verdict.claim != Claim::Depth {
        return None;
    }
    let facts = context.derived.package(&verdict.package)?;
    let solver = facts.ways.get(verdict.way?)?.solver.as_ref().ok()?;
    let own = solver
        .plant
        .outlets
        .iter()
        .filter_map(|outlet| outlet.own_depth);
    own.reduce(f64::max).filter(|own| *own > verdict.si * 1.001)
}

/// The options that come with their airline and with which the promise can't be kept, where another way to buy
/// the package keeps it. An option whose depth or line fails is told there.
fn failing_options<'v>(context: &Context, verdict: &'v Verdict) -> Vec<&'v str> {
    let refuted = |other: &&Verdict| other.outcome == Outcome::Contradicted;
    let told = |option: &str| {
        let mut own = context.by_package.get(&verdict.package);
        own.any(|other| match other.claim {
            Claim::AirlineLength => refuted(&other) && other.option.as_deref() == Some(option),
            Claim::Depth if verdict.claim != Claim::Depth => {
                let mut ways = other.ways.iter();
                refuted(&other)
                    || ways.any(|way| {
                        way.supplied.as_deref() == Some(option)
                            && way.outcome == Outcome::Contradicted
                    })
            }
            _ => false,
        })
    };
    let failing = verdict.ways.iter();
    failing
        .filter(|way| way.outcome == Outcome::Contradicted)
        .filter_map(|way| way.supplied.as_deref())
        .filter(|option| !told(option))
        .collect()
}

fn speak_of_options(context: &Context, verdict: &Verdict, rule: &'static Rule) -> Option<Finding> {
    let failing = failing_options(context, verdict);
    if failing.is_empty() {
        return None;
    }
    let facts = context.derived.package(&verdict.package)?;
    let best = best_way(context, verdict);
    let mut finding = Finding::new(
        rule,
        verdict.at,
        words::of_options(verdict, &failing, best.as_deref()),
    )
    .on(on(verdict))
    .mend(if verdict.claim.is_of_the_machine() {
        "Say which option the promise is for."
    } else {
        "Say which option the promise is for, or change the airline of the others."
    });
    let says = if verdict.claim.is_of_the_machine() {
        "with this option the promise fails"
    } else {
        "with this airline the promise fails"
    };
    for option in &facts.package.options {
        if failing.contains(&option.id.as_str()) {
            let place = context.place_of_way(facts.package, Way::Supplied(option));
            finding = finding.related(place, says);
        }
    }
    finding.evidence = evidence(verdict);
    Some(finding)
}

/// With the branch that starves, or the airline that costs the pressure, as related places.
fn at_the_options(context: &Context, verdict: &Verdict, mut finding: Finding) -> Finding {
    let Some(facts) = context.derived.package(&verdict.package) else {
        return finding;
    };
    let by_air = verdict.deciding().is_some_and(|one| one.name == "flow");
    let says = if by_air {
        "here the diffusers get too little air"
    } else {
        "here the compressor is beyond its continuous pressure"
    };
    for way in &facts.ways {
        let name = way.way.name();
        let fails = verdict.ways.is_empty()
            || verdict
                .ways
                .iter()
                .any(|one| one.way == name && one.outcome == Outcome::Contradicted);
        let place = context.place_of_way(facts.package, way.way);
        // A package made of a page's figures stands nowhere.
        if fails && place.start < place.end && place != verdict.at {
            finding = finding.related(place, says);
        }
    }
    finding
}

/// What a finding about the claim is about: its option, where it is about one.
fn on(verdict: &Verdict) -> String {
    match &verdict.option {
        Some(option) => format!("package.{}.option.{option}", verdict.package),
        None => format!("package.{}", verdict.package),
    }
}

/// What a claim is read as, in SI, where its last digit leaves more open in its favour.
fn read_as(verdict: &Verdict) -> Option<f64> {
    let of_claim = |one: &&Judged| one.dimension == verdict.dimension;
    let held = verdict.criteria.iter().find(of_claim).map(|one| one.needed);
    let differs = |held: &f64| (held - verdict.si).abs() > 1e-9 * held.abs();
    verdict.read_as.or(held.filter(differs))
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
                    "calculated",
                    one.weakest.max(Mark::Published),
                ));
            }
        };
        corner("unfavourable", one.low);
        corner("central", one.central);
        corner("favourable", one.high);
        if one.needed > f64::MIN_POSITIVE {
            let limit = match one.sense {
                Sense::AtLeast => "needed at least",
                // What a promise itself says isn't needed.
                Sense::AtMost if one.dimension == verdict.dimension => "claimed at most",
                Sense::AtMost => "allowed at most",
            };
            all.push(Evidence::derived(
                format!("{}, {limit}", one.says),
                Value::Quantity(one.needed, one.dimension),
                "the claim and the catalog",
                Mark::Stated,
            ));
        }
    }
    if let Some(read_as) = read_as(verdict) {
        all.push(Evidence::derived(
            format!("{}, read in its favour", verdict.stated),
            Value::Quantity(read_as, verdict.dimension),
            "the last digit may be rounded",
            Mark::Exact,
        ));
    }
    all.extend(verdict.evidence.iter().cloned());
    for one in &verdict.ways {
        all.push(Evidence::derived(
            format!("with {}", one.way),
            Value::Words(one.outcome.as_str().into()),
            "calculated",
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
