//! What is new since an earlier state: both states are audited as a whole, and what the earlier one holds already is
//! left out of what is shown.
//!
//! Nothing is guessed of what a change may touch, so nothing that an audit of all would newly find can be missing.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use crate::catalog;
use crate::claims::{self, Verdict};
use crate::engine::{self, Input, Known, Options, Outcome, Partial, Places};
use crate::finding::Finding;

use super::edition::{self, Edition, subject};
use super::{files, read, renamed_within};

/// An earlier state of a run's files.
#[derive(Debug, Clone, Default)]
pub struct Before {
    /// How it is called.
    pub name: String,
    /// The texts, called by the paths they have now.
    pub inputs: Vec<Input>,
    /// Those of the documents in its registers whose files were there, by path.
    pub documents: Option<BTreeSet<String>>,
    /// The texts of its files that have pages.
    pub pages: BTreeMap<String, engine::Extract>,
}

/// Audits `inputs`, and shows what of it is new since `before`: findings that weren't there or were milder, and the
/// packages and pages whose verdicts are others or that a new finding is about.
pub fn since(inputs: Vec<Input>, before: Before, options: &Options) -> Outcome {
    let (new_files, old_files) = (files(&inputs), files(&before.inputs));
    let mut now = engine::audit(
        inputs,
        &Options {
            earlier: Some(before.inputs.clone()),
            ..options.clone()
        },
    );
    let then = engine::audit(
        before.inputs,
        &Options {
            as_of: options.as_of.clone(),
            levels: options.levels.clone(),
            heard: options.heard.clone(),
            package: options.package.clone(),
            documents: before.documents,
            pages: before.pages,
            ..Options::default()
        },
    );
    let new = {
        let (old_documents, new_documents) =
            (read(&then, old_files.len()), read(&now, new_files.len()));
        let old = catalog::gather(&old_files, &old_documents).catalogs;
        let new = catalog::gather(&new_files, &new_documents).catalogs;
        let names = |all: &[catalog::Catalog]| -> Vec<(String, Option<String>)> {
            let name = |one: &catalog::Catalog| (one.name.clone(), one.title.clone());
            all.iter().map(name).collect()
        };
        let pairs = engine::same_catalogs(&names(&old), &names(&new));
        let mut renamed = Renamed::default();
        for (is, was) in new.iter().zip(&pairs) {
            let Some(was) = was.and_then(|was| old.get(was)) else {
                continue;
            };
            // Few changes rename anything, and only then is it worth to see what.
            if ids(was) != ids(is) {
                let before = Edition::of(was, &old_documents);
                let renames = edition::renames(&before, &Edition::of(is, &new_documents));
                renamed.of.insert(was.name.clone(), renames);
            }
            renamed.catalogs.insert(was.name.clone(), is.name.clone());
        }
        New::of(&then, &now, &renamed)
    };
    show(&mut now, before.name, &new, options.ask);
    now
}

/// The names of everything that a catalog has.
fn ids(catalog: &catalog::Catalog) -> BTreeSet<String> {
    let kinds = catalog::Kind::PARTS
        .iter()
        .chain(&[catalog::Kind::Package, catalog::Kind::Evidence]);
    kinds
        .flat_map(|&kind| catalog.entries(kind))
        .map(catalog::Entry::on)
        .collect()
}

/// What is called otherwise now.
#[derive(Default)]
struct Renamed {
    /// Catalogs.
    catalogs: HashMap<String, String>,
    /// The things of each old catalog.
    of: HashMap<String, BTreeMap<String, String>>,
}

impl Renamed {
    /// A finding of the earlier state by the names of now.
    fn known(&self, finding: &Finding) -> Known {
        let known = Known::of(finding);
        let Some(renames) = self.of.get(&known.catalog).filter(|all| !all.is_empty()) else {
            return known;
        };
        let identity = &finding.identity;
        Known {
            kind: crate::finding::kind_hash(
                finding.rule.name,
                &on_now(&finding.on, renames),
                &identity.key,
                &renamed_within(&identity.text, renames),
            ),
            ..known
        }
    }

    fn package(&self, catalog: &str, id: &str) -> (String, String) {
        let on = format!("package.{id}");
        let on = self
            .of
            .get(catalog)
            .map_or(on.clone(), |renames| on_now(&on, renames));
        let catalog = self.catalogs.get(catalog).map_or(catalog, String::as_str);
        (catalog.to_string(), on)
    }
}

/// What a finding of the old state is about, by the name it has now.
pub(super) fn on_now(on: &str, renames: &BTreeMap<String, String>) -> String {
    match renames.get(subject(on)) {
        Some(now) => format!("{now}{}", &on[subject(on).len()..]),
        None => on.to_string(),
    }
}

/// What is new in a run.
struct New {
    /// Of each finding, whether it is.
    findings: Vec<bool>,
    /// Packages by catalog and name, and pages by path, of which something is.
    about: HashSet<(String, String)>,
}

impl New {
    fn of(then: &Outcome, now: &Outcome, renamed: &Renamed) -> New {
        let old: Vec<Known> = then.findings.iter().map(|one| renamed.known(one)).collect();
        let new: Vec<Known> = now.findings.iter().map(Known::of).collect();
        let places = |of: &Outcome| Places::of(&of.catalogs, &of.sources);
        let found = engine::same_findings((&places(then), &old), (&places(now), &new));
        let is_news = |(finding, was): (&Finding, Option<usize>)| {
            let was = was.map(|place| &then.findings[place]);
            engine::state(was.map(|one| (one.level, one.waived.is_some())), finding).is_news()
        };
        let findings: Vec<bool> = now.findings.iter().zip(found).map(is_news).collect();
        let before = said(then, |catalog, id| renamed.package(catalog, id));
        let after = said(now, |catalog, id| {
            (catalog.to_string(), format!("package.{id}"))
        });
        let mut about: HashSet<(String, String)> = after
            .into_iter()
            .filter(|(of, says)| before.get(of) != Some(says))
            .map(|(of, _)| of)
            .collect();
        let news = now.findings.iter().zip(&findings).filter(|(_, new)| **new);
        for (finding, _) in news {
            let catalog = finding.identity.catalog.clone();
            about.insert((catalog, subject(&finding.on).to_string()));
            about.insert((finding.identity.file.clone(), String::new()));
        }
        New { findings, about }
    }
}

/// What the verdicts on each package, and on each page as a whole, say.
fn said(
    outcome: &Outcome,
    package: impl Fn(&str, &str) -> (String, String),
) -> HashMap<(String, String), Vec<String>> {
    let mut said: HashMap<(String, String), Vec<String>> = HashMap::new();
    for audited in &outcome.catalogs {
        // What promises nothing may be new all the same.
        for one in audited.packages().filter(|_| !audited.is_sheet) {
            let id = one.on.trim_start_matches("package.");
            said.entry(package(&audited.name, id)).or_default();
        }
        if audited.is_sheet {
            let page = (audited.name.clone(), String::new());
            said.entry(page).or_default();
        }
        for verdict in &outcome.verdicts[audited.verdicts.clone()] {
            let of = match audited.is_sheet {
                true => (audited.name.clone(), String::new()),
                false => package(&audited.name, &verdict.package),
            };
            said.entry(of).or_default().push(says(verdict));
        }
    }
    for lines in said.values_mut() {
        lines.sort_unstable();
    }
    said
}

fn says(verdict: &Verdict) -> String {
    format!(
        "{:?} {:?} {} {:?} {:?} {:?} {:?} {:?}",
        verdict.claim,
        verdict.option,
        verdict.stated,
        verdict.outcome,
        verdict.rated,
        verdict.within_rating,
        verdict.range,
        verdict.missing.is_some(),
    )
}

/// Leaves what is new in a run, and tells that it did.
fn show(now: &mut Outcome, since: String, new: &New, ask: bool) {
    let (packages, sheets) = (now.summary.packages, now.summary.sheets);
    let all = now.findings.len();
    let mut is_new = new.findings.iter();
    now.findings.retain(|_| is_new.next() == Some(&true));
    let is_about = |catalog: &str, on: &str| {
        let of = (catalog.to_string(), on.to_string());
        new.about.contains(&of)
    };
    let verdicts = std::mem::take(&mut now.verdicts);
    let mut kept = Vec::new();
    now.catalogs.retain_mut(|audited| {
        let is_page = audited.is_sheet;
        let name = audited.name.clone();
        let shows = |id: &str| match is_page {
            true => is_about(&name, ""),
            false => is_about(&name, &format!("package.{id}")),
        };
        let own = &verdicts[audited.verdicts.clone()];
        let start = kept.len();
        kept.extend(own.iter().filter(|one| shows(&one.package)).cloned());
        audited.verdicts = start..kept.len();
        audited
            .entries
            .retain(|one| match one.on.strip_prefix("package.") {
                Some(id) => shows(id),
                None => true,
            });
        audited.charts.retain(|charts| shows(&charts.package));
        let shown = now.findings.iter().any(|one| one.identity.catalog == name);
        match is_page {
            true => is_about(&name, ""),
            false => shown || audited.packages().next().is_some(),
        }
    });
    now.verdicts = kept;
    let sources = &now.sources;
    now.sheets
        .retain(|sheet| is_about(sources.get(sheet.file).name(), ""));
    if ask {
        now.asks = Some(claims::ask::list(&now.verdicts));
    }
    now.summary
        .count(&now.findings, &now.verdicts, &now.catalogs, &now.sheets);
    now.partial = Some(Partial {
        since,
        packages,
        sheets,
        standing: all - now.findings.len(),
    });
}
