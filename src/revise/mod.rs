//! Two states of the same catalogs held against each other: which facts, verdicts and findings differ, and
//! which changed facts the verdicts differ by.
//!
//! - [`edition`]: one state of a catalog, its things by name, and what was renamed;
//! - [`value`], [`facts`]: what a thing states, as a tree, and in which facts two of them differ;
//! - [`verdicts`], [`findings`]: which claims and findings differ;
//! - [`cause`]: what accounts for a verdict, found by trying;
//! - [`effects`]: the same by cause: what each change did;
//! - [`since`]: an audit of which only what is new is shown.
//!
//! Facts are compared, not lines: a comment, another order of keys, or an entry in another file is no change.
//! A figure that is the same in another writing is told as such, because its digits may say more.

mod cause;
mod edition;
mod effects;
mod facts;
mod findings;
mod since;
mod value;
mod verdicts;

use std::collections::{BTreeMap, BTreeSet, HashMap};

use rayon::prelude::*;

use crate::catalog::{self, File};
use crate::document::{self, Document};
use crate::engine::{self, Audited, Input, Options, Outcome};
use crate::finding::{Finding, Level};
use crate::text::{FileId, Source, Span};

pub use cause::{Cause, Part};
pub use effects::{Effect, How};
pub use facts::{Fact, FactChange};
pub use findings::{FindingChange, FindingShift};
pub use since::{Before, since};
pub use verdicts::{Direction, Shift, Standing, VerdictChange};

use edition::{Edition, subject};
use since::on_now;

/// The texts of one state.
#[derive(Debug, Clone, Default)]
pub struct Side {
    /// How it is called: a path, or a revision.
    pub name: String,
    /// The folder or file that the texts' paths begin with, which doesn't count when catalogs are matched.
    pub root: String,
    /// The texts.
    pub inputs: Vec<Input>,
    /// Those of the documents in its registers whose files are there; nothing for a run that doesn't look.
    pub documents: Option<BTreeSet<String>>,
    /// The texts of its files that have pages.
    pub pages: BTreeMap<String, engine::Extract>,
}

/// One state, audited.
#[derive(Debug)]
pub struct State {
    /// How it is called.
    pub name: String,
    /// What an audit of it says.
    pub outcome: Outcome,
    /// Files that can be read only in part, with the number of places that can't.
    pub unread: Vec<(FileId, usize)>,
}

/// Two states of a catalog, of which one may be missing.
#[derive(Debug, Clone)]
pub struct Compared {
    /// Its number in the old run.
    pub was: Option<usize>,
    /// Its number in the new run.
    pub is: Option<usize>,
    /// How it is called.
    pub name: String,
    /// Its title.
    pub title: Option<String>,
}

/// How a thing differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ThingChange {
    /// It wasn't there.
    Added,
    /// It isn't there any more.
    Removed,
    /// It states something else.
    Changed,
    /// It has another ID, and states the same or nearly so.
    Renamed,
}

impl ThingChange {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            ThingChange::Added => "added",
            ThingChange::Removed => "removed",
            ThingChange::Changed => "changed",
            ThingChange::Renamed => "renamed",
        }
    }

    /// Whether it came or went as a whole.
    pub fn is_whole(self) -> bool {
        matches!(self, ThingChange::Added | ThingChange::Removed)
    }
}

/// A thing that differs: a part, a package, a document, or a table that counts for all of a catalog.
#[derive(Debug, Clone)]
pub struct Thing {
    /// The numbers of its catalogs among those compared: several where one borrows from another.
    pub catalogs: Vec<usize>,
    /// As a waiver names it now: `airline.sinking-10`, `site`.
    pub on: String,
    /// As it was named, if that was otherwise.
    pub was_on: Option<String>,
    /// Its name for people.
    pub title: Option<String>,
    /// How it differs.
    pub change: ThingChange,
    /// The facts in which it differs; none for one that came or went.
    pub facts: Vec<Fact>,
    /// Where it stood.
    pub was_at: Option<Span>,
    /// Where it stands.
    pub is_at: Option<Span>,
}

/// What differs between two states. Reports neither filter nor sort nor compute.
#[derive(Debug)]
pub struct Revision {
    /// The old state.
    pub old: State,
    /// The new state.
    pub new: State,
    /// The catalogs of both, those of the new run first.
    pub catalogs: Vec<Compared>,
    /// Things that differ, in the order of catalogs, files and lines.
    pub things: Vec<Thing>,
    /// Claims whose verdicts differ, came or went.
    pub verdicts: Vec<VerdictChange>,
    /// Findings that differ.
    pub findings: Vec<FindingChange>,
    /// The same by what it comes from: what is worse first, then the rest.
    pub effects: Vec<Effect>,
    /// Claims whose verdict is what it was.
    pub kept: usize,
    /// How often a package was judged again to find causes.
    pub trials: usize,
}

impl Revision {
    /// Whether nothing differs: no fact, no verdict and no finding.
    pub fn is_empty(&self) -> bool {
        self.things.is_empty() && self.verdicts.is_empty() && self.findings.is_empty()
    }

    /// The verdicts that moved that way.
    pub fn moved(&self, direction: Direction) -> usize {
        let all = self.verdicts.iter();
        all.filter(|one| one.direction == direction && one.shift != Shift::Figures)
            .count()
    }

    /// A finding's state now, else as it was.
    pub fn finding(&self, change: &FindingChange) -> Option<&Finding> {
        let is = change
            .is
            .and_then(|place| self.new.outcome.findings.get(place));
        let was = || {
            change
                .was
                .and_then(|place| self.old.outcome.findings.get(place))
        };
        is.or_else(was)
    }

    /// Whether something got worse: a verdict, or a finding at that level or above that no waiver accepts.
    pub fn is_worse(&self, level: Level) -> bool {
        let verdict = |one: &VerdictChange| one.direction == Direction::Worse;
        let finding = |one: &FindingChange| {
            one.shift.direction() == Direction::Worse
                && self
                    .finding(one)
                    .is_some_and(|finding| finding.level >= level && finding.waived.is_none())
        };
        self.verdicts.iter().any(verdict) || self.findings.iter().any(finding)
    }
}

/// Holds two states against each other, each audited with `options`.
///
/// Verdicts are those on what catalogs promise; of spec sheets the findings are compared.
pub fn revise(old: Side, new: Side, options: &Options) -> Revision {
    let (old_files, new_files) = (files(&old.inputs), files(&new.inputs));
    let audited = |inputs, documents, pages| {
        let options = Options {
            documents,
            pages,
            ..options.clone()
        };
        engine::audit(inputs, &options)
    };
    let was = audited(old.inputs, old.documents, old.pages);
    let is = audited(new.inputs, new.documents, new.pages);
    let (old_root, new_root) = (old.root, new.root);
    let catalogs = pair(&was.catalogs, &old_root, &is.catalogs, &new_root);
    let found = {
        let (old, new) = (read(&was, old_files.len()), read(&is, new_files.len()));
        compare(
            &catalogs,
            (&was, &old, &old_files, &old_root),
            (&is, &new, &new_files, &new_root),
            options,
        )
    };
    let effects = effects::by_cause(&found.things, &found.verdicts, &found.findings);
    Revision {
        old: State {
            name: old.name,
            outcome: was,
            unread: found.unread[0].clone(),
        },
        new: State {
            name: new.name,
            outcome: is,
            unread: found.unread[1].clone(),
        },
        catalogs,
        things: found.things,
        verdicts: found.verdicts,
        findings: found.findings,
        effects,
        kept: found.kept,
        trials: found.trials,
    }
}

/// The files of catalogs among the texts. A page is no document, and comes after those that are.
fn files(inputs: &[Input]) -> Vec<File> {
    let inputs = inputs.iter().filter(|input| !engine::is_sheet(&input.path));
    let file = |input: &Input| File {
        path: input.path.clone(),
        alone: input.alone,
        borrowed: input.borrowed,
    };
    inputs.map(file).collect()
}

/// The first `count` texts of a run as documents.
fn read(outcome: &Outcome, count: usize) -> Vec<Document> {
    let texts: Vec<(FileId, &Source)> = outcome.sources.iter().take(count).collect();
    let read = texts
        .par_iter()
        .map(|&(id, source)| document::read(id, source));
    read.collect()
}

/// A path below what was named.
fn below(path: &str, root: &str) -> String {
    let rest = path.strip_prefix(root).unwrap_or(path);
    rest.trim_start_matches('/').to_string()
}

/// The catalogs of both states, matched by where they lie below what was named, then by title.
fn pair(old: &[Audited], old_root: &str, new: &[Audited], new_root: &str) -> Vec<Compared> {
    // Spec sheets come after the catalogs.
    let catalogs = |all: &'_ [Audited]| all.iter().take_while(|one| !one.is_sheet).count();
    let (old, new) = (&old[..catalogs(old)], &new[..catalogs(new)]);
    let names = |all: &[Audited], root: &str| -> Vec<(String, Option<String>)> {
        let name = |one: &Audited| (below(&one.name, root), one.title.clone());
        all.iter().map(name).collect()
    };
    let found = engine::same_catalogs(&names(old, old_root), &names(new, new_root));
    let gone = (0..old.len()).filter(|place| !found.contains(&Some(*place)));
    let gone: Vec<usize> = gone.collect();
    let now = new.iter().zip(&found).enumerate();
    let now = now.map(|(is, (one, was))| Compared {
        was: *was,
        is: Some(is),
        name: one.name.clone(),
        title: one.title.clone(),
    });
    let gone = gone.into_iter().map(|was| Compared {
        was: Some(was),
        is: None,
        name: old[was].name.clone(),
        title: old[was].title.clone(),
    });
    now.chain(gone).collect()
}

/// What differs, before it is told by cause.
struct Found {
    things: Vec<Thing>,
    verdicts: Vec<VerdictChange>,
    findings: Vec<FindingChange>,
    kept: usize,
    trials: usize,
    unread: [Vec<(FileId, usize)>; 2],
}

/// A run, its documents and files, and what it was named by.
type Run<'r> = (&'r Outcome, &'r [Document], &'r [File], &'r str);

fn compare(catalogs: &[Compared], old: Run, new: Run, options: &Options) -> Found {
    // What is tried is heard at the levels of the run.
    let heard = Options {
        levels: options.levels.clone(),
        heard: options.heard.clone(),
        ..Options::default()
    };
    let (was, is) = (old.0, new.0);
    let gather = |(_, documents, files, _): Run| catalog::gather(files, documents).catalogs;
    let (old_catalogs, new_catalogs) = (gather(old), gather(new));
    let mut things: Vec<Thing> = Vec::new();
    let mut known: HashMap<(String, Option<Span>, Option<Span>), usize> = HashMap::new();
    let mut verdicts = Vec::new();
    let mut kept = 0;
    // All states of all catalogs, with the names of now.
    let mut editions: Vec<[Edition; 2]> = Vec::new();
    let mut renamed: BTreeMap<String, String> = BTreeMap::new();
    for (number, compared) in catalogs.iter().enumerate() {
        let of = |place: Option<usize>, all: &[catalog::Catalog], documents: &[Document]| {
            let catalog = place.and_then(|place| all.get(place));
            catalog.map_or_else(Edition::default, |catalog| Edition::of(catalog, documents))
        };
        let mut before = of(compared.was, &old_catalogs, old.1);
        let now = of(compared.is, &new_catalogs, new.1);
        let renames = edition::renames(&before, &now);
        before.rename(&renames);
        for thing in differing(number, &before, &now, &renames) {
            // A part that another catalog borrows differs once.
            let key = (thing.on.clone(), thing.was_at, thing.is_at);
            let place = *known.entry(key).or_insert(things.len());
            match things.get_mut(place) {
                Some(one) => one.catalogs.push(number),
                None => things.push(thing),
            }
        }
        let slice = |place: Option<usize>, outcome: &'_ Outcome| {
            let range = place.and_then(|place| outcome.catalogs.get(place));
            range.map_or(0..0, |one| one.verdicts.clone())
        };
        let (from, to) = (slice(compared.was, was), slice(compared.is, is));
        let package = |id: &str| {
            let now = renames.get(&format!("package.{id}"));
            now.and_then(|on| on.split_once('.'))
                .map_or(id, |(_, id)| id)
                .to_string()
        };
        let (changes, same) = verdicts::compare(
            number,
            (&was.verdicts[from.clone()], from.start),
            (&is.verdicts[to.clone()], to.start),
            package,
        );
        verdicts.extend(changes);
        kept += same;
        renamed.extend(renames);
        editions.push([before, now]);
    }
    sort(&mut things, was, is);
    let pairs: Vec<cause::TwoStates> = editions
        .iter()
        .enumerate()
        .map(|(number, [before, now])| cause::TwoStates {
            editions: [before, now],
            changed: changed(number, &things),
            things: &things,
            verdicts: [&was.verdicts, &is.verdicts],
            findings: [&was.findings, &is.findings],
            options: &heard,
        })
        .collect();
    let on = |on: &str| on_now(on, &renamed);
    let mut findings = findings::compare((was, old.3), (is, new.3), &renamed);
    let trials = causes(&pairs, &mut verdicts, &mut findings, &on);
    let places = verdict_places(&pairs, &verdicts);
    for change in &mut findings {
        change.through = through(change, (was, is), &pairs, (&verdicts, &places), &on);
    }
    Found {
        verdicts,
        findings,
        kept,
        trials,
        unread: [unread(old.1, was), unread(new.1, is)],
        things,
    }
}

/// A text in which each ID that was renamed is the one of now.
fn renamed_within(text: &str, renamed: &BTreeMap<String, String>) -> String {
    if renamed.is_empty() {
        return text.to_string();
    }
    let ids: HashMap<&str, &str> = renamed
        .iter()
        .filter_map(|(was, is)| Some((was.split_once('.')?.1, is.split_once('.')?.1)))
        .collect();
    let is_end = |character: char| !character.is_alphanumeric() && character != '-';
    let pieces = text.split_inclusive(is_end).map(|piece| {
        let word = piece.trim_end_matches(is_end);
        let now = ids.get(word).copied().unwrap_or(word);
        format!("{now}{}", &piece[word.len()..])
    });
    pieces.collect()
}

/// The things of a catalog that differ, in no order yet.
fn differing(
    catalog: usize,
    old: &Edition,
    new: &Edition,
    renames: &BTreeMap<String, String>,
) -> Vec<Thing> {
    let earlier: HashMap<&str, &str> = renames
        .iter()
        .map(|(was, is)| (is.as_str(), was.as_str()))
        .collect();
    let mut names: Vec<&String> = old.things.keys().chain(new.things.keys()).collect();
    names.sort_unstable();
    names.dedup();
    let thing = |on: &String| {
        let (was, is) = (old.things.get(on), new.things.get(on));
        let was_on = earlier.get(on.as_str()).map(|was| (*was).to_string());
        let facts = match (was, is) {
            (Some(was), Some(is)) => facts::differences(&was.value, &is.value),
            _ => Vec::new(),
        };
        let change = match (was, is) {
            (None, _) => ThingChange::Added,
            (_, None) => ThingChange::Removed,
            _ if was_on.is_some() => ThingChange::Renamed,
            _ if facts.is_empty() => return None,
            _ => ThingChange::Changed,
        };
        let title = is.or(was).and_then(|one| one.title.clone());
        Some(Thing {
            catalogs: vec![catalog],
            on: on.clone(),
            was_on,
            title,
            change,
            facts,
            was_at: was.map(|one| one.at),
            is_at: is.map(|one| one.at),
        })
    };
    names.into_iter().filter_map(thing).collect()
}

/// By catalog, then by where they stand now; what is gone stands last, by where it stood.
fn sort(things: &mut [Thing], was: &Outcome, is: &Outcome) {
    things.sort_by_cached_key(|thing| {
        let (sources, at) = match (thing.is_at, thing.was_at) {
            (Some(at), _) => (&is.sources, at),
            (None, Some(at)) => (&was.sources, at),
            (None, None) => return (thing.catalogs.first().copied(), true, String::new(), 0),
        };
        let file = sources.get(at.file).name().to_string();
        (
            thing.catalogs.first().copied(),
            thing.is_at.is_none(),
            file,
            at.start,
        )
    });
}

/// The things of a catalog that state something else, by name.
fn changed(catalog: usize, things: &[Thing]) -> BTreeMap<&str, usize> {
    let all = things.iter().enumerate();
    let own = all.filter(|(_, thing)| thing.catalogs.contains(&catalog));
    own.filter(|(_, thing)| thing.change.is_whole() || !thing.facts.is_empty())
        .map(|(place, thing)| (thing.on.as_str(), place))
        .collect()
}

/// Finds what accounts for each verdict that turned, came or went, and for the findings about packages; how
/// many trials that took.
fn causes(
    pairs: &[cause::TwoStates],
    verdicts: &mut [VerdictChange],
    findings: &mut [FindingChange],
    now: &impl Fn(&str) -> String,
) -> usize {
    type Targets = (Vec<usize>, Vec<usize>);
    let mut of_package: BTreeMap<(usize, String), Targets> = BTreeMap::new();
    for (place, change) in verdicts.iter().enumerate() {
        if change.shift != Shift::Figures {
            let key = (change.catalog, change.package.clone());
            of_package.entry(key).or_default().0.push(place);
        }
    }
    let Some([old, new]) = pairs.first().map(|pair| pair.findings) else {
        return 0;
    };
    let (heard_before, heard_now) = (cause::heard(old, now), cause::heard(new, str::to_string));
    let places = verdict_places(pairs, verdicts);
    let mut about: Vec<(&'static str, String)> = Vec::new();
    for (place, change) in findings.iter().enumerate() {
        let was = change.was.and_then(|place| old.get(place));
        let is = change.is.and_then(|place| new.get(place));
        let before = || was.map(|one| (one.rule.name, now(&one.on)));
        let (rule, on) = is
            .map(|one| (one.rule.name, one.on.clone()))
            .or_else(before)
            .unwrap_or_default();
        let holds = |pair: &cause::TwoStates| {
            let on = subject(&on);
            pair.editions.iter().any(|one| one.things.contains_key(on))
        };
        // A finding about a claim comes from what its verdict comes from.
        let is_told = at_verdict(was, is, &places).is_some();
        let catalog = pairs.iter().position(holds).filter(|_| !is_told);
        if let (Some(catalog), Some(id)) = (catalog, subject(&on).strip_prefix("package.")) {
            let key = (catalog, id.to_string());
            of_package.entry(key).or_default().1.push(place);
        }
        about.push((rule, on));
    }
    let allowed = cause::allowance(of_package.len());
    let packages: Vec<((usize, String), Targets)> = of_package.into_iter().collect();
    let found: Vec<(Targets, Vec<Cause>, usize)> = packages
        .into_par_iter()
        .map(|((catalog, package), places)| {
            let verdicts = places
                .0
                .iter()
                .map(|&place| cause::Target::Verdict(&verdicts[place]));
            let findings = places.1.iter().map(|&place| {
                let of = &about[place];
                let levels = |heard: &cause::Heard| heard.get(of).cloned().unwrap_or_default();
                cause::Target::Finding {
                    rule: of.0,
                    on: of.1.clone(),
                    was: levels(&heard_before),
                    is: levels(&heard_now),
                }
            });
            let targets: Vec<cause::Target> = verdicts.chain(findings).collect();
            let (causes, trials) = cause::find(&pairs[catalog], &package, &targets, allowed);
            (places, causes, trials)
        })
        .collect();
    let mut trials = 0;
    for ((of_verdicts, of_findings), causes, some) in found {
        trials += some;
        let mut causes = causes.into_iter();
        for (place, cause) in of_verdicts.into_iter().zip(causes.by_ref()) {
            verdicts[place].cause = Some(cause);
        }
        for (place, cause) in of_findings.into_iter().zip(causes) {
            // What a trial can't show, such as what has to do with other packages, is told by place.
            findings[place].cause = Some(cause).filter(|cause| matches!(cause, Cause::Found(_)));
        }
    }
    trials
}

/// The verdicts that turned, came or went, by their places in the old and in the new state.
type Places = [HashMap<Span, usize>; 2];

fn verdict_places(pairs: &[cause::TwoStates], verdicts: &[VerdictChange]) -> Places {
    let mut places = Places::default();
    let Some([old, new]) = pairs.first().map(|pair| pair.verdicts) else {
        return places;
    };
    let turned = verdicts.iter().enumerate();
    for (place, change) in turned.filter(|(_, one)| one.shift != Shift::Figures) {
        let was = change.was.and_then(|was| old.get(was));
        let is = change.is.and_then(|is| new.get(is));
        for (verdict, places) in [was, is].into_iter().zip(&mut places) {
            if let Some(verdict) = verdict {
                places.entry(verdict.at).or_insert(place);
            }
        }
    }
    places
}

/// The changed verdict that a finding stands at.
fn at_verdict(was: Option<&Finding>, is: Option<&Finding>, places: &Places) -> Option<usize> {
    let [old, new] = places;
    let found = match (was, is) {
        (_, Some(is)) => new.get(&is.at),
        (was, None) => old.get(&was?.at),
    };
    found.copied()
}

/// The changed things that a finding has to do with: those that its verdict comes from, else those that it
/// names by a place, else those that what it is about rests on.
fn through(
    change: &FindingChange,
    (was, is): (&Outcome, &Outcome),
    pairs: &[cause::TwoStates],
    (verdicts, places): (&[VerdictChange], &Places),
    now: &impl Fn(&str) -> String,
) -> Vec<usize> {
    let old = change.was.and_then(|place| was.findings.get(place));
    let new = change.is.and_then(|place| is.findings.get(place));
    let of_verdict = at_verdict(old, new, places).and_then(|place| verdicts[place].cause.as_ref());
    if let Some(cause) = of_verdict.or(change.cause.as_ref()) {
        return cause.things().into_iter().collect();
    }
    let Some(finding) = new.or(old) else {
        return Vec::new();
    };
    let about = match new {
        Some(_) => finding.on.clone(),
        None => now(&finding.on),
    };
    let about = subject(&about);
    let things = pairs.first().map_or(&[][..], |pair| pair.things);
    let places = |finding: &Finding| -> Vec<Span> {
        let related = finding.related.iter().map(|one| one.at);
        let evidence = finding.evidence.iter().filter_map(|one| one.place);
        std::iter::once(finding.at)
            .chain(related)
            .chain(evidence)
            .collect()
    };
    // A finding about one thing names by its head another that it comes from.
    let names = |finding: Option<&Finding>, head: Option<Span>| {
        let places = finding.map_or_else(Vec::new, places);
        head.is_some_and(|head| places.iter().any(|at| at.contains(head)))
    };
    let touches = |thing: &Thing| {
        thing.on == about
            || names(new, thing.is_at)
            || names(old, thing.was_at)
            || thing.facts.iter().any(|fact| {
                let holds = |fact: &Option<(String, Span)>, finding: Option<&Finding>| {
                    let fact = fact.as_ref().map(|(_, at)| *at);
                    let places = finding.map_or_else(Vec::new, places);
                    places
                        .iter()
                        .any(|at| fact.is_some_and(|fact| fact.contains(*at) || at.contains(fact)))
                };
                holds(&fact.is, new) || holds(&fact.was, old)
            })
    };
    let direct: Vec<usize> = (0..things.len())
        .filter(|&one| touches(&things[one]))
        .collect();
    if !direct.is_empty() {
        return direct;
    }
    let mut under: Vec<usize> = pairs
        .iter()
        .filter(|pair| {
            pair.editions
                .iter()
                .any(|one| one.things.contains_key(about))
        })
        .flat_map(|pair| cause::changed_under(pair, about))
        .collect();
    under.sort_unstable();
    under.dedup();
    under
}

/// Files that can be read only in part.
fn unread(documents: &[Document], outcome: &Outcome) -> Vec<(FileId, usize)> {
    let count = |document: &Document| document.problems().len();
    let decoded = |id: FileId| usize::from(outcome.sources.get(id).fault().is_some());
    documents
        .iter()
        .map(|one| (one.file(), count(one) + decoded(one.file())))
        .filter(|(_, problems)| *problems > 0)
        .collect()
}
