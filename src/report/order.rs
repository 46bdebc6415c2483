//! In what order a report for people tells findings: by catalog, then by what they are about, the gravest first.

use std::cmp::Reverse;
use std::collections::HashMap;

use crate::claims::Verdict;
use crate::engine::{Audited, Named, Outcome};
use crate::finding::{Finding, Level};
use crate::text::{FileId, Sources, Span};

use super::figures::Reader;

/// The findings of each catalog. A finding in a borrowed part goes to the first catalog that has it.
pub fn by_catalog(outcome: &Outcome) -> Vec<Vec<&Finding>> {
    let mut of_file: HashMap<FileId, usize> = HashMap::new();
    for (place, catalog) in outcome.catalogs.iter().enumerate() {
        for &file in &catalog.files {
            of_file.entry(file).or_insert(place);
        }
    }
    let mut lists = vec![Vec::new(); outcome.catalogs.len()];
    for finding in &outcome.findings {
        let named = || {
            outcome.catalogs.iter().position(|catalog| {
                let mut entries = catalog.entries.iter();
                entries.any(|entry| entry.on == subject(&finding.on))
            })
        };
        let place = of_file.get(&finding.at.file).copied().or_else(named);
        if let Some(list) = lists.get_mut(place.unwrap_or(0)) {
            list.push(finding);
        }
    }
    lists
}

/// What each of a catalog's findings is about, and the findings: errors before warnings before notes, parts before
/// the packages that rest on them, and else as they stand in the files. What is about no part or package is about its
/// file.
pub fn by_subject<'a>(
    findings: impl IntoIterator<Item = &'a Finding>,
    sources: &'a Sources,
) -> Vec<(&'a str, Vec<&'a Finding>)> {
    let mut about: Vec<(&str, Vec<&Finding>)> = Vec::new();
    let mut place: HashMap<&str, usize> = HashMap::new();
    for finding in findings {
        let on = match subject(&finding.on) {
            "" => sources.get(finding.at.file).name(),
            on => on,
        };
        let at = *place.entry(on).or_insert_with(|| {
            about.push((on, Vec::new()));
            about.len() - 1
        });
        about[at].1.push(finding);
    }
    for (_, findings) in &mut about {
        findings.sort_by_key(|one| Reverse(gravity(one)));
    }
    about.sort_by_key(|(on, findings)| {
        let gravest = findings.iter().map(|one| gravity(one)).max();
        (Reverse(gravest), on.starts_with("package."))
    });
    about
}

/// How grave a finding is: what a waiver accepts is told last.
fn gravity(finding: &Finding) -> (bool, Level) {
    (finding.waived.is_none(), finding.level)
}

/// The part or package that a finding is about: its kind and ID, without an option.
pub fn subject(on: &str) -> &str {
    match on.match_indices('.').nth(1) {
        Some((end, _)) => &on[..end],
        None => on,
    }
}

/// The option that a finding is about, if it is about one.
pub fn option(on: &str) -> Option<&str> {
    on.get(subject(on).len()..)?.strip_prefix(".option.")
}

/// A part or package as a heading has it: `package mill-pair`.
pub fn heading(on: &str) -> String {
    match on.split_once('.') {
        Some((kind, id))
            if !on.contains('/') && !on.ends_with(".toml") && !crate::engine::is_sheet(on) =>
        {
            format!("{} {id}", kind.replace('-', " "))
        }
        _ => on.to_string(),
    }
}

/// What a catalog's findings are looked up in.
pub struct Index<'a> {
    catalog: &'a Audited,
    /// Parts and packages by what a finding calls them.
    pub entries: HashMap<&'a str, &'a Named>,
    verdicts: HashMap<Span, &'a Verdict>,
}

impl<'a> Index<'a> {
    /// Of a catalog and its verdicts.
    pub fn of(catalog: &'a Audited, verdicts: &'a [Verdict]) -> Index<'a> {
        let entries = catalog.entries.iter();
        Index {
            catalog,
            entries: entries.map(|entry| (entry.on.as_str(), entry)).collect(),
            verdicts: verdicts.iter().map(|one| (one.at, one)).collect(),
        }
    }

    /// The verdict on the claim that a finding stands at, if it stands at one.
    pub fn verdict(&self, finding: &Finding) -> Option<&'a Verdict> {
        self.verdicts.get(&finding.at).copied()
    }

    /// The units of what a finding is about: of the claim it stands at, else of its package, else of most
    /// packages.
    pub fn reader(&self, finding: &Finding) -> Reader {
        if let Some(verdict) = self.verdict(finding) {
            return Reader::of_verdict(verdict);
        }
        let own = self.entries.get(subject(&finding.on));
        let own = own.and_then(|entry| entry.system);
        Reader::of_system(own.unwrap_or(self.catalog.system))
    }
}
