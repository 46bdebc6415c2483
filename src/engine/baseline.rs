//! Findings of two runs held against each other: which are new, which were there, which are gone.
//!
//! A finding is the same one in the same catalog, and in the same file where it is about none of the catalog's
//! named things. A catalog or a file counts as moved only if the other run hasn't the path it has in this one, so
//! that what was mended in one place never hides what was broken in another.

use std::collections::{BTreeSet, HashMap};

use crate::finding::{Finding, Level, State};
use crate::text::Sources;

use super::Audited;

/// What an earlier run found.
#[derive(Debug, Clone, Default)]
pub struct Baseline {
    /// What it audited.
    pub places: Places,
    /// Its findings, in its order.
    pub findings: Vec<Earlier>,
}

/// A finding of an earlier run.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Earlier {
    /// Its fingerprint.
    pub print: String,
    /// What it is known by.
    pub known: Known,
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

/// What a run audited: its catalogs with their titles, and its files.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Places {
    /// The catalogs.
    pub catalogs: Vec<(String, Option<String>)>,
    /// The files.
    pub files: BTreeSet<String>,
}

impl Places {
    /// Of a run.
    pub fn of(catalogs: &[Audited], sources: &Sources) -> Places {
        let catalogs = catalogs.iter().filter(|one| !one.is_sheet);
        Places {
            catalogs: catalogs
                .map(|one| (one.name.clone(), one.title.clone()))
                .collect(),
            files: sources
                .iter()
                .map(|(_, source)| source.name().to_string())
                .collect(),
        }
    }
}

/// What a finding is known by, and how much it weighs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Known {
    /// Its catalog.
    pub catalog: String,
    /// Its file, where that counts.
    pub file: String,
    /// What it is, wherever it is.
    pub kind: u64,
    /// Whether no waiver accepts it, and its level.
    pub weight: (bool, Level),
}

impl Known {
    /// Of a finding.
    pub fn of(finding: &Finding) -> Known {
        Known {
            catalog: finding.identity.catalog.clone(),
            file: finding.identity.file.clone(),
            kind: finding.kind(),
            weight: (finding.waived.is_none(), finding.level),
        }
    }
}

/// Which old catalog each of the new ones is: by path, then, of those that the other run hasn't, by title. One on
/// each side are the same whatever they are called.
pub fn same_catalogs(
    old: &[(String, Option<String>)],
    new: &[(String, Option<String>)],
) -> Vec<Option<usize>> {
    let mut open: Vec<bool> = vec![true; old.len()];
    let mut found: Vec<Option<usize>> = vec![None; new.len()];
    let mut by_path: HashMap<&str, usize> = HashMap::new();
    let mut by_title: HashMap<&str, Vec<usize>> = HashMap::new();
    for (place, (path, _)) in old.iter().enumerate().rev() {
        by_path.insert(path, place);
    }
    for ((path, _), found) in new.iter().zip(&mut found) {
        *found = by_path.remove(path.as_str());
        if let Some(place) = *found {
            open[place] = false;
        }
    }
    for (place, (_, title)) in old.iter().enumerate().rev() {
        if let Some(title) = title.as_deref().filter(|_| open[place]) {
            by_title.entry(title).or_default().push(place);
        }
    }
    for ((_, title), found) in new.iter().zip(&mut found) {
        if let (None, Some(title)) = (*found, title) {
            *found = by_title.get_mut(title.as_str()).and_then(Vec::pop);
        }
    }
    if let ([None], 1) = (&found[..], old.len()) {
        found[0] = Some(0);
    }
    found
}

/// Which of the old findings each of the new ones is. Of several that are alike those of one weight belong together.
pub fn same_findings(
    (old_places, old): (&Places, &[Known]),
    (new_places, new): (&Places, &[Known]),
) -> Vec<Option<usize>> {
    let catalogs = same_catalogs(&old_places.catalogs, &new_places.catalogs);
    let names: HashMap<&str, &str> = catalogs
        .iter()
        .zip(&new_places.catalogs)
        .filter_map(|(was, (is, _))| Some((old_places.catalogs[(*was)?].0.as_str(), is.as_str())))
        .collect();
    // What was in no catalog, or in one that is gone, is known by its own name.
    let now = |catalog: &str| names.get(catalog).map_or(catalog, |now| *now).to_string();
    let mut pairs = Pairs {
        open: vec![true; old.len()],
        found: vec![None; new.len()],
    };
    // What stays in its place comes before what moved, and what weighs the same before what doesn't.
    for weighs in [true, false] {
        let weight = |one: &Known| weighs.then_some(one.weight);
        pairs.take(
            old.iter()
                .map(|one| Some((now(&one.catalog), &one.file, one.kind, weight(one)))),
            new.iter()
                .map(|one| Some((one.catalog.clone(), &one.file, one.kind, weight(one)))),
        );
    }
    let has_moved =
        |one: &Known, other: &Places| !one.file.is_empty() && !other.files.contains(&one.file);
    for weighs in [true, false] {
        let weight = |one: &Known| weighs.then_some(one.weight);
        pairs.take(
            old.iter().map(|one| {
                has_moved(one, new_places).then(|| (now(&one.catalog), one.kind, weight(one)))
            }),
            new.iter().map(|one| {
                has_moved(one, old_places).then(|| (one.catalog.clone(), one.kind, weight(one)))
            }),
        );
    }
    pairs.found
}

/// Old and new ones that belong together, as far as they are found.
struct Pairs {
    open: Vec<bool>,
    found: Vec<Option<usize>>,
}

impl Pairs {
    /// Takes together what is left and has the same key, in order.
    fn take<K: std::hash::Hash + Eq>(
        &mut self,
        old: impl DoubleEndedIterator<Item = Option<K>> + ExactSizeIterator,
        new: impl Iterator<Item = Option<K>>,
    ) {
        let mut by_key: HashMap<K, Vec<usize>> = HashMap::new();
        for (place, key) in old.enumerate().rev() {
            if let Some(key) = key.filter(|_| self.open[place]) {
                by_key.entry(key).or_default().push(place);
            }
        }
        for (found, key) in self.found.iter_mut().zip(new) {
            if let (None, Some(key)) = (*found, key) {
                *found = by_key.get_mut(&key).and_then(Vec::pop);
                if let Some(place) = *found {
                    self.open[place] = false;
                }
            }
        }
    }
}

/// What a finding is to the one it was: its level then, and whether a waiver accepted it.
pub fn state(was: Option<(Level, bool)>, finding: &Finding) -> State {
    let Some((level, waived)) = was else {
        return State::New;
    };
    match (waived, finding.waived.is_some()) {
        (true, false) => State::Graver,
        (false, true) => State::Milder,
        _ if finding.level > level => State::Graver,
        _ if finding.level < level => State::Milder,
        _ => State::Unchanged,
    }
}

/// Tells each of `findings` what it is to `baseline`; what is gone since then.
pub(super) fn compare(
    baseline: &Baseline,
    findings: &mut [Finding],
    places: &Places,
) -> Vec<Earlier> {
    let old: Vec<Known> = baseline
        .findings
        .iter()
        .map(|one| one.known.clone())
        .collect();
    let new: Vec<Known> = findings.iter().map(Known::of).collect();
    let found = same_findings((&baseline.places, &old), (places, &new));
    let mut gone: Vec<bool> = vec![true; old.len()];
    for (finding, was) in findings.iter_mut().zip(found) {
        let was = was.inspect(|&place| gone[place] = false);
        let was = was.map(|place| &baseline.findings[place]);
        finding.state = Some(state(was.map(|one| (one.level, one.waived)), finding));
    }
    let all = baseline.findings.iter().zip(gone);
    all.filter(|(_, gone)| *gone)
        .map(|(one, _)| one.clone())
        .collect()
}
