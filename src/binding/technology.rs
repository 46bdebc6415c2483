//! What kind of machine a sheet speaks of: by its words, else by what its figures leave possible.

use std::collections::BTreeMap;

use crate::derive::{machine, nameplate};
use crate::spec_sheet::{Attribute, Claim, Passage, Sheet, heads_others};

/// Words of prose, in small letters, and the machines that may be meant by them.
const WORDS: &[(&str, &[&str])] = &[
    ("linear", &["linear-diaphragm", "linear-piston"]),
    ("linearkompressor", &["linear-diaphragm", "linear-piston"]),
    ("diaphragm compressor", &["linear-diaphragm", "diaphragm"]),
    ("diaphragm pump", &["linear-diaphragm", "diaphragm"]),
    ("diaphragm air pump", &["linear-diaphragm", "diaphragm"]),
    ("membrankompressor", &["linear-diaphragm", "diaphragm"]),
    ("membranpumpe", &["linear-diaphragm", "diaphragm"]),
    ("rocking piston", &["rocking-piston"]),
    ("piston", &["rocking-piston", "linear-piston"]),
    ("kolbenkompressor", &["rocking-piston", "linear-piston"]),
    ("rotary vane", &["rotary-vane"]),
    ("vane compressor", &["rotary-vane"]),
    ("drehschieber", &["rotary-vane"]),
    ("regenerative", &["regenerative-blower"]),
    ("blower", &["regenerative-blower"]),
    ("seitenkanalverdichter", &["regenerative-blower"]),
];

const ALL: [&str; 6] = [
    "linear-diaphragm",
    "linear-piston",
    "diaphragm",
    "rocking-piston",
    "rotary-vane",
    "regenerative-blower",
];

/// The machines that a sheet may speak of, as a catalog's `technology` has them: those its words name, by
/// [`named_machines`]; without such words those whose continuous pressures reach the stated one; all where nothing tells.
pub fn machines(named: &[&'static str], claims: &[&Claim]) -> Vec<&'static str> {
    match named {
        [] => by_pressure(claims),
        named => named.to_vec(),
    }
}

/// The machines that the words of a sheet name.
pub fn named_machines(sheet: &Sheet) -> Vec<&'static str> {
    let mut named: Vec<&str> = Vec::new();
    // A used pump in the corner of bargains isn't the machine of the offer.
    let under_others = |passage: &Passage| {
        let heading = passage
            .under
            .and_then(|under| sheet.passages.get(under as usize));
        heading.is_some_and(|heading| heads_others(&heading.text))
    };
    for passage in sheet.passages.iter().filter(|one| !under_others(one)) {
        let text = passage.text.to_lowercase();
        let mut covered: BTreeMap<usize, usize> = BTreeMap::new();
        // Of two phrases at one place the longer tells: a rocking piston is no linear one.
        let mut phrases: Vec<&(&str, &[&str])> = WORDS.iter().collect();
        phrases.sort_by_key(|(phrase, _)| std::cmp::Reverse(phrase.len()));
        for (phrase, meant) in phrases {
            for (at, _) in text.match_indices(phrase) {
                let before = covered.range(..=at).next_back();
                let is_inside = before.is_some_and(|(_, &end)| at < end);
                if !begins_a_word(&text, at) || is_inside {
                    continue;
                }
                covered.insert(at, at + phrase.len());
                named.extend(*meant);
            }
        }
    }
    ALL.iter()
        .copied()
        .filter(|one| named.contains(one))
        .collect()
}

fn begins_a_word(text: &str, at: usize) -> bool {
    text.get(..at)
        .and_then(|before| before.chars().next_back())
        .is_none_or(|c| !c.is_alphanumeric())
}

/// Those whose continuous pressures reach what is stated, and that could give air at the depths promised at all; a
/// sheet that states more than any machine of the trade leaves all of them.
fn by_pressure(claims: &[&Claim]) -> Vec<&'static str> {
    let greatest = |attribute: Attribute| {
        let stated = claims.iter().filter(|claim| {
            claim.attribute == attribute && (attribute != Attribute::Pressure || claim.is_limit)
        });
        stated
            .filter_map(|claim| claim.si.bounds())
            .map(|(low, _)| low)
            .fold(0.0, f64::max)
    };
    let (pressure, depth) = (greatest(Attribute::Pressure), greatest(Attribute::Depth));
    let reach: Vec<&'static str> = ALL
        .iter()
        .copied()
        .filter(|word| {
            machine::band_of(word).is_some_and(|band| {
                band.pressure.1 >= pressure && nameplate::could_reach(band, depth)
            })
        })
        .collect();
    if reach.is_empty() {
        ALL.to_vec()
    } else {
        reach
    }
}
