//! A run held against an earlier one: which findings are new, which were there, which are gone.
//!
//! Findings are known again by their fingerprints, so moved lines and renamed files change nothing.

use std::collections::HashMap;

use crate::finding::{Finding, Level, State, fingerprints};
use crate::text::Sources;

/// What an earlier run found.
#[derive(Debug, Clone, Default)]
pub struct Baseline {
    /// Its findings, in its order.
    pub findings: Vec<Earlier>,
}

/// A finding of an earlier run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// Its fingerprint.
    pub print: String,
    /// The rule that spoke.
    pub rule: String,
    /// How grave it was.
    pub level: Level,
    /// What was wrong.
    pub message: String,
    /// The path of its file, where it is known.
    pub file: Option<String>,
    /// Its line then, from 1.
    pub line: Option<usize>,
    /// Whether a waiver accepted it.
    pub waived: bool,
}

/// Tells each of `findings` what it is to `baseline`; what is gone since then.
pub fn compare(baseline: &Baseline, findings: &mut [Finding], sources: &Sources) -> Vec<Earlier> {
    let mut known: HashMap<&str, &Earlier> = baseline
        .findings
        .iter()
        .map(|earlier| (earlier.print.as_str(), earlier))
        .collect();
    let prints = fingerprints(findings, sources);
    for (finding, print) in findings.iter_mut().zip(prints) {
        finding.state = Some(match known.remove(print.as_str()) {
            None => State::New,
            Some(earlier) => state(earlier, finding),
        });
    }
    let gone = |earlier: &&Earlier| known.contains_key(earlier.print.as_str());
    baseline.findings.iter().filter(gone).cloned().collect()
}

fn state(earlier: &Earlier, finding: &Finding) -> State {
    match (earlier.waived, finding.waived.is_some()) {
        (true, false) => State::Graver,
        (false, true) => State::Milder,
        _ if finding.level > earlier.level => State::Graver,
        _ if finding.level < earlier.level => State::Milder,
        _ => State::Unchanged,
    }
}
