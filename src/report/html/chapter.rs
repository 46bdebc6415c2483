//! A catalog or sheet with its packages, verdicts and findings at hand, so that a page of some of its packages needn't
//! look through all of them.

use std::collections::HashMap;
use std::ops::Range;

use crate::charts::Charts;
use crate::claims::{Grade, Verdict};
use crate::engine::{Audited, Named, Outcome};
use crate::finding::Finding;

use super::super::order::{self, Index, by_catalog};
use super::{MOST, id_of};

/// A catalog or sheet of a report.
pub(super) struct Chapter<'a> {
    /// Its place among the report's.
    pub number: usize,
    pub catalog: &'a Audited,
    /// All its verdicts.
    pub all: &'a [Verdict],
    pub packages: Vec<&'a Named>,
    /// Findings about no package, by what they are about.
    pub rest: Vec<(&'a str, Vec<&'a Finding>)>,
    pub index: Index<'a>,
    /// What each package has, by its ID.
    of: HashMap<&'a str, Own<'a>>,
    /// Whether the report is small enough to show the evidence of what is in no doubt too.
    pub whole: bool,
}

/// What a package has.
#[derive(Default)]
struct Own<'a> {
    verdicts: Vec<&'a Verdict>,
    findings: Vec<&'a Finding>,
    charts: Option<&'a Charts>,
}

impl<'a> Chapter<'a> {
    /// The chapters of a report, in order.
    pub fn all(outcome: &'a Outcome) -> Vec<Chapter<'a>> {
        let found = by_catalog(outcome);
        let parts = outcome.catalogs.iter().zip(found).enumerate();
        let chapters =
            parts.map(|(number, (catalog, found))| Chapter::of(outcome, number, catalog, found));
        let mut chapters: Vec<Chapter> = chapters.collect();
        let packages: usize = chapters.iter().map(|one| one.packages.len()).sum();
        for chapter in &mut chapters {
            chapter.whole = packages <= MOST;
        }
        chapters
    }

    /// Whether the evidence of a verdict is shown.
    pub fn explains(&self, verdict: &Verdict) -> bool {
        self.whole || !matches!(verdict.grade(), Grade::Holds | Grade::WithinRating)
    }

    fn of(
        outcome: &'a Outcome,
        number: usize,
        catalog: &'a Audited,
        found: Vec<&'a Finding>,
    ) -> Chapter<'a> {
        let all = &outcome.verdicts[catalog.verdicts.clone()];
        let packages: Vec<&Named> = catalog.packages().collect();
        let mut of: HashMap<&str, Own> = HashMap::new();
        for package in &packages {
            of.insert(id_of(package), Own::default());
        }
        for verdict in all {
            if let Some(own) = of.get_mut(verdict.package.as_str()) {
                own.verdicts.push(verdict);
            }
        }
        for charts in &catalog.charts {
            if let Some(own) = of.get_mut(charts.package.as_str()) {
                own.charts = Some(charts);
            }
        }
        let mut rest = order::by_subject(found, &outcome.sources);
        rest.retain_mut(|(on, findings)| {
            let own = on.strip_prefix("package.");
            let Some(own) = own.and_then(|id| of.get_mut(id)) else {
                return true;
            };
            own.findings = std::mem::take(findings);
            false
        });
        Chapter {
            number,
            catalog,
            all,
            packages,
            rest,
            index: Index::of(catalog, all),
            of,
            whole: true,
        }
    }

    fn own(&self, place: usize) -> Option<&Own<'a>> {
        self.of.get(id_of(self.packages.get(place)?))
    }

    /// The verdicts on a package's promises.
    pub fn verdicts(&self, place: usize) -> &[&'a Verdict] {
        self.own(place).map_or(&[], |own| &own.verdicts)
    }

    /// What was found about a package.
    pub fn found(&self, place: usize) -> &[&'a Finding] {
        self.own(place).map_or(&[], |own| &own.findings)
    }

    /// The numbers of a package's pictures.
    pub fn charts(&self, place: usize) -> Option<&'a Charts> {
        self.own(place)?.charts
    }

    /// How many verdicts of each kind some packages have.
    pub fn verdicts_on(&self, places: Range<usize>) -> [usize; Grade::ALL.len()] {
        let mut counts = [0; Grade::ALL.len()];
        for verdict in places.flat_map(|place| self.verdicts(place)) {
            counts[verdict.grade() as usize] += 1;
        }
        counts
    }

    /// What was found about some packages.
    pub fn found_about(&self, places: Range<usize>) -> impl Iterator<Item = &'a Finding> + Clone {
        places.flat_map(|place| self.found(place).iter().copied())
    }

    /// All that was found.
    pub fn found_in_all(&self) -> impl Iterator<Item = &'a Finding> + Clone {
        let packages = 0..self.packages.len();
        self.found_about(packages).chain(self.found_beside())
    }

    /// What was found about no package.
    pub fn found_beside(&self) -> impl Iterator<Item = &'a Finding> + Clone {
        self.rest.iter().flat_map(|(_, all)| all.iter().copied())
    }
}
