//! What a finding is known by from one run to the next.

use std::hash::Hasher;

use fnv::FnvHasher;

use crate::text::Sources;

use super::Finding;

/// A fingerprint for each finding, in order: of its rule, of what it is about and of what stands at its
/// place. It stays when lines move, files are renamed or the message is worded anew, and changes with the
/// figure.
///
/// Findings that are alike in all three are told apart by a number after the hash, in their order. The hash
/// is FNV-1a with 64 bits, which is the same on every machine.
pub fn fingerprints(findings: &[Finding], sources: &Sources) -> Vec<String> {
    let mut seen = std::collections::HashMap::new();
    findings
        .iter()
        .map(|finding| {
            let hash = hash(&[finding.rule.name, &finding.on, key_text(finding, sources)]);
            let times = seen.entry(hash).or_insert(0_usize);
            *times += 1;
            format!("{hash:016x}:{times}")
        })
        .collect()
}

/// What stands at the place, as far as its first line goes.
fn key_text<'s>(finding: &Finding, sources: &'s Sources) -> &'s str {
    sources
        .slice(finding.at)
        .lines()
        .next()
        .unwrap_or("")
        .trim()
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
    use super::hash;

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
}
