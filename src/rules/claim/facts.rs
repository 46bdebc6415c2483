//! Facts that aren't there: those a claim waits for, and the sources a catalog asks for.

use crate::catalog::{Entry, Figure, Given};
use crate::claims::{Outcome, Verdict};
use crate::finding::Finding;

use super::{Context, named, words};

/// One note for each missing fact, with the claims it blocks and their number.
pub(super) fn not_evaluated(context: &Context, findings: &mut Vec<Finding>) {
    let Some(rule) = named("not-evaluated") else {
        return;
    };
    let mut facts: Vec<(&str, Vec<&Verdict>)> = Vec::new();
    for verdict in context.verdicts {
        let Some(missing) = &verdict.missing else {
            continue;
        };
        // What the plate of a machine bounds may still leave a claim open.
        let open = verdict.outcome == Outcome::NotEvaluated
            || (verdict.outcome == Outcome::Undecided && missing.key == Some("curve"));
        if !open || missing.reported {
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
            .map(|v| format!("{} of {}", words::name(v.claim), v.package))
            .collect();
        let more = blocked.len() - names.len();
        let list = if more > 0 {
            format!("{} and {more} more", names.join(", "))
        } else {
            names.join(", ")
        };
        let bounded = blocked
            .iter()
            .any(|verdict| verdict.outcome == Outcome::Undecided);
        let message = match (blocked.len(), bounded) {
            (1, false) => format!("The {list} isn't judged: {fact} is missing."),
            (count, false) => format!("{count} claims aren't judged ({list}): {fact} is missing."),
            (1, true) => {
                format!(
                    "The {list} can't be decided: {fact} is missing, and the rating plate only limits the air."
                )
            }
            (count, true) => format!(
                "{count} claims can't be decided ({list}): {fact} is missing, and the rating plate only limits the air."
            ),
        };
        let mut finding =
            Finding::new(rule, place, message).on(format!("package.{}", first.package));
        for verdict in blocked.iter().take(8) {
            if verdict.at != place {
                finding = finding.related(verdict.at, "this claim depends on it");
            }
        }
        findings.push(finding);
    }
}

/// Measured facts and claims without a source, one note for each entry.
pub(super) fn unsourced(context: &Context, findings: &mut Vec<Finding>) {
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
                        "The catalog asks for sources, and {} of {} {} none.",
                        list(&what),
                        entry.id,
                        if what.len() == 1 { "has" } else { "have" }
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
        let supplies = || std::iter::once(&part.supply).chain(&part.variants);
        let mut what = Vec::new();
        let mut is_bare = |name: &'static str, bare: bool| {
            if bare {
                what.push(name);
            }
        };
        is_bare("power", supplies().any(|one| bare(&one.power)));
        is_bare("current", supplies().any(|one| bare(&one.current)));
        is_bare("sound", bare(&part.sound));
        is_bare("rated", bare(&part.rated));
        is_bare("open_flow", bare(&part.open_flow));
        is_bare("curve", supplies().any(|one| one.curve.is_there()));
        note(&part.entry, part.entry.header, what);
    }
    for part in catalog.airlines.iter() {
        let what = if bare(&part.bore) {
            vec!["bore"]
        } else {
            Vec::new()
        };
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
            ("power", &claims.power),
            ("running_cost", &claims.running_cost),
            ("sound", &claims.sound),
            ("turnover", &claims.turnover),
            ("oxygen", &claims.oxygen),
            ("oxygen_uptake", &claims.oxygen_uptake),
            ("transfer_efficiency", &claims.transfer_efficiency),
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
