//! What a finding is known by from one run to the next.

use std::collections::HashMap;
use std::hash::Hasher;

use fnv::FnvHasher;

use crate::units;

use super::{Finding, name_before};

/// Where a finding stands, told by what stays when lines move, keys change places or a message is worded anew.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Identity {
    /// The catalog, as the run calls it; empty where there is none.
    pub catalog: String,
    /// The file, for what is about no named thing of a catalog; else empty, as a part may lie in any file.
    pub file: String,
    /// The keys that lead to the place within the thing.
    pub key: String,
    /// What stands there, in one writing.
    pub text: String,
}

/// What stands at a place, as far as its first line goes: a figure by its size, whatever digits and unit it is
/// written with, and blanks as one.
pub fn one_writing(text: &str) -> String {
    let line = text.lines().next().unwrap_or("").trim();
    let quoted = ['"', '\'']
        .iter()
        .find_map(|mark| line.strip_prefix(*mark)?.strip_suffix(*mark));
    let bare = quoted.unwrap_or(line).trim();
    // Longer than any figure, and not worth reading as one.
    const LONGEST: usize = 60;
    if bare.len() <= LONGEST && bare.contains(|letter: char| letter.is_ascii_digit()) {
        let reading = units::read(bare, &[]);
        if let Some(quantity) = reading.quantity.filter(|_| reading.faults.is_empty()) {
            // Twelve digits: what differs less was written alike.
            return format!(
                "{:.11e} {:.11e} {:?} {:?}",
                quantity.si_low(),
                quantity.si_high(),
                quantity.dimension(),
                quantity.unit().currency().map(|currency| currency.code()),
            );
        }
    }
    bare.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The hash of what a finding is, wherever it is: rule, subject, keys and text. FNV-1a with 64 bits, which is the
/// same on every machine.
///
/// A rule counts by the first name it had, so that a new name makes no finding a new one.
pub fn kind_hash(rule: &str, on: &str, key: &str, text: &str) -> u64 {
    hash(&[name_before(rule).unwrap_or(rule), on, key, text])
}

impl Finding {
    /// The hash of what it is, wherever it is.
    pub fn kind(&self) -> u64 {
        let identity = &self.identity;
        kind_hash(self.rule.name, &self.on, &identity.key, &identity.text)
    }
}

/// A fingerprint for each finding, in order. Findings that are alike in all are told apart by a number after the
/// hash, in their order.
pub fn fingerprints(findings: &[Finding]) -> Vec<String> {
    let mut seen: HashMap<u64, usize> = HashMap::new();
    findings
        .iter()
        .map(|finding| {
            let kind = format!("{:016x}", finding.kind());
            let hash = hash(&[&finding.identity.catalog, &finding.identity.file, &kind]);
            let times = seen.entry(hash).or_default();
            *times += 1;
            format!("{hash:016x}:{times}")
        })
        .collect()
}

fn hash(parts: &[&str]) -> u64 {
    let mut hasher = FnvHasher::default();
    for part in parts {
        hasher.write(part.as_bytes());
        // No text has this byte, so parts can't run into each other.
        hasher.write(&[0xFF]);
    }
    hasher.finish()
}

#[cfg(test)]
mod tests {
    use super::{hash, one_writing};

    /// The offset basis and the hash of `a` as the hash's authors print them (from memory).
    #[test]
    fn the_hash_is_the_published_one() {
        use std::hash::Hasher;
        assert_eq!(hash(&[]), 0xcbf2_9ce4_8422_2325);
        let mut hasher = fnv::FnvHasher::default();
        hasher.write(b"a");
        assert_eq!(hasher.finish(), 0xaf63_dc4c_8601_ec8c);
        assert_ne!(hash(&["a", "b"]), hash(&["ab"]));
    }

    #[test]
    fn a_figure_is_known_in_any_writing() {
        let same = |a: &str, b: &str| one_writing(a) == one_writing(b);
        assert!(same("\"2.6 m\"", "'2.60 m'") && same("\"2.6 m\"", "\"260 cm\""));
        assert!(same("\"6 ft\"", "\"72 in\"") && same("0.31 EUR/kWh", "0.310 EUR/kWh"));
        assert!(!same("\"2.6 m\"", "\"2.61 m\"") && !same("2 m", "2 to 3 m"));
        assert!(!same("4 EUR/month", "4 USD/month") && !same("\"gone\"", "\"lost\""));
        assert!(same("{ is =  \"x\" }", "{ is = \"x\" }"));
    }
}
