//! Verdicts kept from run to run: which changed, and whether the catalog changed or the program did.

use std::collections::{HashMap, HashSet};

use crate::catalog::{Catalog, FactPrints};
use crate::claims::{Outcome as Word, Verdict};
use crate::document::Document;

use super::Audited;

/// A verdict as a record keeps it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recorded {
    /// The catalog, as the report calls it.
    pub catalog: String,
    /// ID of the package.
    pub package: String,
    /// ID of the option, where the claim is about one.
    pub option: Option<String>,
    /// The claim's name.
    pub claim: String,
    /// As it is stated.
    pub stated: String,
    /// The verdict's word.
    pub verdict: String,
    /// Whether it lies within the rating, where that is known.
    pub within_rating: Option<bool>,
    /// The weakest mark it rests on.
    pub weakest_mark: String,
    /// Fingerprint of the package's facts.
    pub facts: String,
    /// Version of the program.
    pub program: String,
    /// Version of the rulebook.
    pub rulebook: String,
}

/// A record, and where it is kept: it calls catalogs by their paths from its own folder, so that it is the same from
/// wherever a run is started.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Record {
    /// Its verdicts; none where there is none yet.
    pub lines: Vec<Recorded>,
    /// The folder of the run, from the root.
    pub here: String,
    /// The folder of the record, from the root.
    pub folder: String,
}

impl Record {
    /// A catalog of the run, as the record calls it.
    fn name(&self, catalog: &str) -> String {
        let from_root = match catalog.starts_with('/') {
            true => catalog.to_string(),
            false => format!("{}/{catalog}", self.here),
        };
        let mut place: Vec<&str> = Vec::new();
        for part in from_root.split('/') {
            match part {
                "" | "." => {}
                ".." => drop(place.pop()),
                part => place.push(part),
            }
        }
        let folder: Vec<&str> = self
            .folder
            .split('/')
            .filter(|part| !part.is_empty())
            .collect();
        let shared = place
            .iter()
            .zip(&folder)
            .take_while(|(a, b)| a == b)
            .count();
        let up = std::iter::repeat_n("..", folder.len() - shared);
        let parts: Vec<&str> = up.chain(place[shared..].iter().copied()).collect();
        match parts.is_empty() {
            true => ".".into(),
            false => parts.join("/"),
        }
    }
}

/// Why a verdict isn't what it was.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cause {
    /// What the catalog states changed.
    Catalog,
    /// The catalog states the same; the program or its rulebook changed.
    Program,
    /// Both changed, so which of them did it isn't known.
    Both,
}

impl Cause {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            Cause::Catalog => "catalog",
            Cause::Program => "program",
            Cause::Both => "both",
        }
    }
}

/// A verdict that isn't what the record has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// What it was; nothing for a new claim.
    pub was: Option<Recorded>,
    /// What it is; nothing for one that is gone.
    pub is: Option<Recorded>,
    /// Why.
    pub cause: Cause,
}

/// The verdicts of a run, in the order of a record, and what changed since the one before.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Kept {
    /// All verdicts.
    pub lines: Vec<Recorded>,
    /// Those that changed, came or went.
    pub changes: Vec<Change>,
}

/// The verdicts of a catalog as a record keeps them.
pub(super) fn lines(
    catalog: &Catalog,
    documents: &[Document],
    verdicts: &[Verdict],
) -> Vec<Recorded> {
    let prints = FactPrints::of(catalog, documents);
    let mut of_package: HashMap<&str, String> = HashMap::new();
    for package in catalog.packages.iter() {
        let print = prints.package(&package.entry);
        of_package.insert(&package.entry.id, format!("{print:016x}"));
    }
    verdicts
        .iter()
        .map(|verdict| Recorded {
            catalog: catalog.name.clone(),
            package: verdict.package.clone(),
            option: verdict.option.clone(),
            claim: verdict.claim.as_str().into(),
            stated: verdict.stated.clone(),
            verdict: verdict.outcome.as_str().into(),
            within_rating: verdict.within_rating,
            weakest_mark: match verdict.outcome {
                Word::NotEvaluated => String::new(),
                _ => verdict.weakest.to_string(),
            },
            facts: of_package
                .get(verdict.package.as_str())
                .cloned()
                .unwrap_or_default(),
            program: env!("CARGO_PKG_VERSION").into(),
            rulebook: crate::rules::RULEBOOK.into(),
        })
        .collect()
}

/// The lines of all catalogs in their order, and what changed since `before`. What it has of catalogs that weren't
/// audited stays.
pub(super) fn kept(catalogs: &mut [Audited], before: &Record) -> Kept {
    let mut lines: Vec<Recorded> = Vec::new();
    let mut audited = HashSet::new();
    for catalog in catalogs.iter_mut().filter(|one| !one.is_sheet) {
        let name = before.name(&catalog.name);
        let own = std::mem::take(&mut catalog.record).into_iter();
        lines.extend(own.map(|line| Recorded {
            catalog: name.clone(),
            ..line
        }));
        audited.insert(name);
    }
    let (of_audited, others): (Vec<Recorded>, Vec<Recorded>) = before
        .lines
        .iter()
        .cloned()
        .partition(|line| audited.contains(&line.catalog));
    lines.sort_by(|a, b| key(a).cmp(&key(b)));
    let changes = changes(&lines, &of_audited);
    lines.extend(others);
    lines.sort_by(|a, b| key(a).cmp(&key(b)));
    Kept { lines, changes }
}

/// What a claim is known by, before how it is stated.
fn key(line: &Recorded) -> (&str, &str, &str, Option<&str>, &str) {
    (
        &line.catalog,
        &line.package,
        &line.claim,
        line.option.as_deref(),
        &line.stated,
    )
}

fn changes(lines: &[Recorded], before: &[Recorded]) -> Vec<Change> {
    // A claim that is stated as before is the same claim. Of those left over, one in the same place is
    // taken for the same, stated otherwise.
    let mut open: Vec<Option<&Recorded>> = before.iter().map(Some).collect();
    let mut exact: HashMap<_, Vec<usize>> = HashMap::new();
    for (place, one) in before.iter().enumerate().rev() {
        exact.entry(key(one)).or_default().push(place);
    }
    let mut found: Vec<Option<&Recorded>> = lines
        .iter()
        .map(|line| {
            let place = exact.get_mut(&key(line))?.pop()?;
            open[place].take()
        })
        .collect();
    let place_of = |line: &Recorded| {
        let (catalog, package, claim, option, _) = key(line);
        (
            catalog.to_string(),
            package.to_string(),
            claim.to_string(),
            option.map(str::to_string),
        )
    };
    let mut near: HashMap<_, Vec<usize>> = HashMap::new();
    for (place, one) in open.iter().enumerate().rev() {
        if let Some(one) = one {
            near.entry(place_of(one)).or_default().push(place);
        }
    }
    for (line, was) in lines.iter().zip(&mut found) {
        if was.is_none() {
            *was = near
                .get_mut(&place_of(line))
                .and_then(Vec::pop)
                .and_then(|place| open[place].take());
        }
    }
    let mut all = Vec::new();
    for (line, was) in lines.iter().zip(&found) {
        match was {
            Some(was) if was.verdict == line.verdict && was.within_rating == line.within_rating => {
            }
            was => all.push(Change {
                was: was.cloned(),
                is: Some(line.clone()),
                cause: was.map_or(Cause::Catalog, |was| cause(was, line)),
            }),
        }
    }
    // What is gone went with the catalog: a program that can't judge it any more still lists it.
    all.extend(open.into_iter().flatten().map(|was| Change {
        was: Some(was.clone()),
        is: None,
        cause: Cause::Catalog,
    }));
    all
}

fn cause(was: &Recorded, is: &Recorded) -> Cause {
    let same_facts = was.facts == is.facts;
    let same_program = was.program == is.program && was.rulebook == is.rulebook;
    match (same_facts, same_program) {
        (false, true) => Cause::Catalog,
        (false, false) => Cause::Both,
        // The same version can be built anew from other sources.
        (true, _) => Cause::Program,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn line(claim: &str, stated: &str, verdict: &str, facts: &str, program: &str) -> Recorded {
        Recorded {
            catalog: "list".into(),
            package: "kit".into(),
            option: None,
            claim: claim.into(),
            stated: stated.into(),
            verdict: verdict.into(),
            within_rating: Some(true),
            weakest_mark: "judgement".into(),
            facts: facts.into(),
            program: program.into(),
            rulebook: "1".into(),
        }
    }

    #[test]
    fn a_change_says_whether_the_catalog_or_the_program_changed() {
        let before = [line("depth", "4 m", "supported", "a", "1")];
        let cause_of = |facts: &str, program: &str| {
            let now = [line("depth", "4 m", "contradicted", facts, program)];
            let all = changes(&now, &before);
            assert_eq!(all.len(), 1);
            all[0].cause
        };
        assert_eq!(cause_of("b", "1"), Cause::Catalog);
        assert_eq!(cause_of("a", "2"), Cause::Program);
        assert_eq!(cause_of("b", "2"), Cause::Both);
        assert!(changes(&before, &before).is_empty());
        // A new program that says the same is no change.
        let same = [line("depth", "4 m", "supported", "a", "2")];
        assert!(changes(&same, &before).is_empty());
    }

    #[test]
    fn a_claim_stated_otherwise_is_the_same_claim_and_others_come_and_go() {
        let before = [
            line("area", "1 ha", "contradicted", "a", "1"),
            line("area", "2 ha", "contradicted", "a", "1"),
            line("sound", "30 dB(A)", "supported", "a", "1"),
        ];
        let now = [
            line("area", "0.1 ha", "supported", "b", "1"),
            line("area", "2 ha", "contradicted", "b", "1"),
            line("depth", "4 m", "supported", "b", "1"),
        ];
        let all = changes(&now, &before);
        let shown: Vec<_> = all
            .iter()
            .map(|one| {
                let stated = |line: &Option<Recorded>| line.as_ref().map(|one| one.stated.clone());
                (stated(&one.was), stated(&one.is))
            })
            .collect();
        let text = |text: &str| Some(text.to_string());
        assert_eq!(
            shown,
            [
                (text("1 ha"), text("0.1 ha")),
                (None, text("4 m")),
                (text("30 dB(A)"), None)
            ]
        );
    }
}
