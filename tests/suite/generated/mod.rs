//! Catalogs drawn at random: honest ones, about which nothing may be said, and ones with a known
//! fault, which has to be found where it stands.
//!
//! The facts of an honest catalog are drawn; what it promises is what the engine rates for those facts,
//! rounded to the safe side. So these tests hold the rules to the engine, not the engine to the world:
//! that is done by the published values.

mod faults;
pub mod honest;

use std::collections::BTreeMap;

use nameplate::engine::{self, Input, Options, Outcome};
use nameplate::finding::Level;
use rayon::prelude::*;

use faults::{FAULTS, Fault};
use honest::Drawn;

/// What is asked of an honest catalog, and how many are drawn.
const HONEST: u64 = 500;
const FAULTY: usize = 3000;
/// Faults of which the rulebook makes a warning where they are mild: alike runs without valves, watts that are only
/// odd, a line that costs more than is rated and starves nobody.
const MAY_WARN: [&str; 3] = [
    "outlets without valves",
    "eight times the watts",
    "a run far too long",
];

fn audit(text: &str) -> Outcome {
    let input = Input {
        path: "catalog.toml".into(),
        bytes: text.as_bytes().to_vec(),
        alone: true,
        borrowed: false,
    };
    let options = Options {
        as_of: Some("2026-07-01".into()),
        ..Options::default()
    };
    engine::audit(vec![input], &options)
}

/// The line a finding stands on, its rule and message, for those of weight.
fn of_weight(outcome: &Outcome) -> Vec<(usize, &'static str, String)> {
    outcome
        .findings
        .iter()
        .filter(|finding| finding.level > Level::Note)
        .map(|finding| {
            let line = outcome.sources.position(finding.at).line;
            (line, finding.rule.name, finding.message.clone())
        })
        .collect()
}

#[test]
fn nothing_is_said_of_honest_catalogs() {
    let spoken: Vec<String> = (0..HONEST)
        .into_par_iter()
        .flat_map_iter(|seed| {
            let text = honest::catalog(seed).text();
            let spoken = of_weight(&audit(&text));
            spoken.into_iter().map(move |(line, rule, message)| {
                let at = text.lines().nth(line - 1).unwrap_or_default();
                format!("seed {seed}, {at}: {rule}: {message}")
            })
        })
        .collect();
    assert!(
        spoken.is_empty(),
        "{} findings, first ones:\n{}",
        spoken.len(),
        spoken[..spoken.len().min(20)].join("\n")
    );
}

#[test]
fn honest_catalogs_promise_something() {
    let catalogs = (0..40).map(|seed| audit(&honest::catalog(seed).text()));
    let promises: usize = catalogs.map(|outcome| outcome.verdicts.len()).sum();
    assert!(promises >= 40 * 5, "{promises}");
}

/// Whether a fault was found at its line, and what was said instead.
fn found(fault: &Fault, seed: u64) -> Option<Result<(), String>> {
    let mut drawn: Drawn = honest::catalog(seed);
    let label = (fault.seed)(&mut drawn)?;
    let (text, line) = (drawn.text(), drawn.line(label));
    let outcome = audit(&text);
    let spoken: Vec<_> = outcome
        .findings
        .iter()
        .map(|one| {
            (
                outcome.sources.position(one.at).line,
                one.rule.name,
                one.message.as_str(),
            )
        })
        .collect();
    // Heard at its line; and where the rule is one of errors the run fails, by that finding or a graver one.
    let fails = outcome.findings.iter().any(|one| one.level == Level::Error);
    let is_found = outcome.findings.iter().any(|one| {
        outcome.sources.position(one.at).line == line
            && fault.rules.contains(&one.rule.name)
            && (fails || one.rule.level < Level::Error || MAY_WARN.contains(&fault.name))
    });
    Some(if is_found {
        Ok(())
    } else {
        Err(format!(
            "{}, seed {seed}, line {line}: `{}`: {spoken:?}",
            fault.name,
            text.lines().nth(line - 1).unwrap_or_default()
        ))
    })
}

#[test]
fn a_known_fault_is_found_at_its_line() {
    assert!(FAULTS.len() >= 25);
    let each = FAULTY.div_ceil(FAULTS.len());
    let results: Vec<(&str, Result<(), String>)> = FAULTS
        .par_iter()
        .enumerate()
        .flat_map_iter(|(kind, fault)| {
            // Not every catalog has what a fault needs; the next one is drawn then.
            let seeds = (0..).map(move |n| 10_000 + (kind as u64) * 1_000 + n);
            seeds
                .filter_map(|seed| found(fault, seed))
                .take(each)
                .map(|result| (fault.name, result))
        })
        .collect();
    assert!(results.len() >= FAULTY);
    let mut by_kind: BTreeMap<&str, (usize, usize)> = BTreeMap::new();
    for (name, result) in &results {
        let entry = by_kind.entry(name).or_default();
        entry.0 += usize::from(result.is_ok());
        entry.1 += 1;
    }
    // Shown with `--nocapture`: the figure by kind.
    for (name, (hits, all)) in &by_kind {
        eprintln!("{name:45} {hits:3} of {all}");
    }
    let missed: Vec<&String> = results
        .iter()
        .filter_map(|(_, result)| result.as_ref().err())
        .collect();
    for one in &missed {
        eprintln!("missed: {one}");
    }
    eprintln!(
        "{} of {} found, {} kinds",
        results.len() - missed.len(),
        results.len(),
        by_kind.len()
    );
    assert!(
        missed.len() * 200 <= results.len(),
        "{} of {} missed, first ones:\n{}",
        missed.len(),
        results.len(),
        missed[..missed.len().min(15)]
            .iter()
            .map(|one| one.as_str())
            .collect::<Vec<_>>()
            .join("\n")
    );
    // No kind may be lost in the crowd.
    for (name, (hits, all)) in &by_kind {
        assert!(hits * 10 >= all * 9, "{name}: {hits} of {all}");
    }
}

#[test]
fn without_its_fault_nothing_is_found() {
    // The figures above would say nothing if a finding stood at those lines anyway.
    for (kind, fault) in FAULTS.iter().enumerate() {
        let seed = (0..)
            .map(|n| 10_000 + (kind as u64) * 1_000 + n)
            .find(|seed| (fault.seed)(&mut honest::catalog(*seed)).is_some())
            .unwrap_or_default();
        let spoken = of_weight(&audit(&honest::catalog(seed).text()));
        assert!(spoken.is_empty(), "{}: {spoken:?}", fault.name);
    }
}
