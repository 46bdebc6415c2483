//! Spec sheets of a run: which package each is about, and what the rules find in it.

use std::collections::hash_map::Entry;
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use rayon::prelude::*;
use sha2::Digest;

use crate::assumptions::Assumptions;
use crate::binding::{self, About};
use crate::catalog::{Catalog, Gathered, Kind, Package, SheetEntry, beside, lies_in};
use crate::claims::{self, Outcome, Verdict};
use crate::derive::{Corner, Derived, Missing, PackageFacts};
use crate::derive::{heat, supply};
use crate::document::{self, Document};
use crate::finding::{Evidence, Finding, Level};
use crate::rules::caution::{self, Told};
use crate::rules::sheet::{self, Own, Page, Said};
use crate::rules::{ByPackage, Context};
use crate::spec_sheet::{self, Claim, Role, Sheet, Sureness, UnreadKind};
use crate::text::{FileId, Source, Sources, Span};
use crate::units::System;

use super::{Audited, LeftOut, Named};

/// A sheet as it was audited.
#[derive(Debug)]
pub struct AuditedSheet {
    /// Its text.
    pub file: FileId,
    /// What was read of it.
    pub sheet: Sheet,
    /// The package it is about as a whole.
    pub package: Option<String>,
    /// The package of each of its claims, in their order.
    pub of_claims: Vec<Option<String>>,
    /// Where the copy was taken from, for one taken from elsewhere.
    pub copy: Copied,
    /// Hash of its bytes.
    pub hash: String,
}

/// Where and when a copy was taken, as the sheet's entry says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Copied {
    /// Its address.
    pub url: Option<String>,
    /// The day.
    pub captured: Option<String>,
}

impl Copied {
    fn of(entry: &SheetEntry) -> Copied {
        let text = |given: &crate::catalog::Given<crate::catalog::Text>| {
            given.known().map(|text| text.text.clone())
        };
        Copied {
            url: text(&entry.url),
            captured: text(&entry.captured),
        }
    }
}

/// A sheet of the run with what it is bound to.
pub(super) struct Bound<'c> {
    pub file: FileId,
    pub sheet: Sheet,
    /// Hash of its bytes.
    pub hash: String,
    /// Number of its catalog among the run's.
    pub catalog: Option<usize>,
    /// The package it is about as a whole; its catalog has it.
    pub package: Option<String>,
    /// The package it is said to be about and that no catalog has, and where that is said.
    unknown: Option<(String, Option<Span>)>,
    /// Its entry in the catalog.
    entry: Option<&'c SheetEntry>,
    /// Whether nobody named it and nothing of it was read: it may be a sheet, or something else.
    dark: bool,
}

/// A sheet handed in.
#[derive(Debug, Clone)]
pub(super) struct SheetFile {
    pub file: FileId,
    /// Named on the command line.
    pub alone: bool,
    /// Hash of its bytes.
    pub hash: String,
    /// What couldn't be taken from a file of pages, and of which page; nothing for other files.
    pub unread: Option<Vec<(UnreadKind, Option<u32>)>>,
}

/// SHA-256 of a file, as an entry writes it.
pub(super) fn hash(bytes: &[u8]) -> String {
    use std::fmt::Write;
    let mut text = String::from("sha256:");
    for byte in sha2::Sha256::digest(bytes) {
        let _ = write!(text, "{byte:02x}");
    }
    text
}

/// Reads the sheets and finds what each is about. A file that nobody named or bound, and that states no area,
/// depth, flow or power, is none.
pub(super) fn bind<'c>(
    sources: &Sources,
    files: &[SheetFile],
    gathered: &'c Gathered,
    package: Option<&str>,
    left_out: &mut Vec<LeftOut>,
    read: &HashMap<(String, String), Sheet>,
) -> Vec<Bound<'c>> {
    let catalogs = &gathered.catalogs;
    let any_alone = files.iter().any(|file| file.alone);
    let mut entries: HashMap<String, (usize, &SheetEntry)> = HashMap::new();
    for (number, catalog) in catalogs.iter().enumerate() {
        for entry in &catalog.sheets {
            if let Some(path) = path_of(sources, entry) {
                entries.entry(path).or_insert((number, entry));
            }
        }
    }
    // A document that claims cite is evidence and no sheet, unless somebody says so.
    let documents: HashSet<String> = catalogs
        .iter()
        .flat_map(|catalog| evidence(sources, catalog))
        .collect();
    let path_of_file = |one: &SheetFile| {
        let name = sources.get(one.file).name();
        beside(name, base(name))
    };
    // What nobody names, and a catalog excludes, is none of its sheets.
    let (excluded, files): (Vec<&SheetFile>, Vec<&SheetFile>) = files.iter().partition(|one| {
        let path = path_of_file(one);
        !one.alone && !entries.contains_key(&path) && gathered.excludes(&path)
    });
    left_out.extend(excluded.iter().map(|one| LeftOut {
        path: sources.get(one.file).name().to_string(),
        why: "its catalog leaves it out",
    }));
    let bound: Vec<Option<Bound>> = files
        .par_iter()
        .map(|one| {
            let source = sources.get(one.file);
            let path = path_of_file(one);
            let kind = spec_sheet::Kind::of(&path)?;
            let known = read.get(&(source.name().to_string(), one.hash.clone()));
            let sheet = match &one.unread {
                None if known.is_some() => known?.clone(),
                Some(unread) => spec_sheet::read_pages(source, unread),
                None => spec_sheet::read(kind, source),
            };
            if documents.contains(&path) && !one.alone && !entries.contains_key(&path) {
                return None;
            }
            let asked = package.filter(|_| one.alone || !any_alone);
            let entry = entries.get(&path).copied();
            let listed = entry.and_then(|(number, entry)| Some((number, entry.package.known()?)));
            let own = sheet.package.clone();
            let mut bound = Bound {
                file: one.file,
                sheet,
                hash: one.hash.clone(),
                catalog: entry.map(|(number, _)| number),
                package: None,
                unknown: None,
                entry: entry.map(|(_, entry)| entry),
                dark: false,
            };
            let (id, at, among) = match (asked, listed, own) {
                (Some(id), ..) => (id.to_string(), None, None),
                (None, Some((number, reference)), _) => {
                    (reference.id.clone(), Some(reference.at), Some(number))
                }
                (None, None, Some((id, at))) => {
                    (id, Some(Span::new(one.file, at.start, at.end)), None)
                }
                (None, None, None) => {
                    // What can't be read may be a sheet: silence about it would be taken for a clean bill.
                    let dark = one.unread.is_some()
                        && bound.sheet.passages.is_empty()
                        && !bound.sheet.unread.is_empty();
                    let named = one.alone || entry.is_some();
                    bound.dark = dark && !named;
                    return (named || dark || binding::is_sheet(&bound.sheet)).then_some(bound);
                }
            };
            let has = |&number: &usize| catalogs[number].has(Kind::Package, &id);
            let mut places: Vec<usize> = match among {
                Some(number) => vec![number],
                None => (0..catalogs.len()).collect(),
            };
            places.retain(has);
            // The catalog in whose folder it lies comes before others that know such a package.
            let near = |number: &usize| {
                root(&catalogs[*number])
                    .filter(|root| lies_in(&path, root))
                    .map_or(0, |root| root.len() + 1)
            };
            match places
                .into_iter()
                .max_by_key(|number| (near(number), std::cmp::Reverse(*number)))
            {
                Some(number) => {
                    bound.catalog = Some(number);
                    bound.package = Some(id);
                }
                None => bound.unknown = Some((id, at)),
            }
            Some(bound)
        })
        .collect();
    bound.into_iter().flatten().collect()
}

/// The documents that a catalog's register describes, as the run calls them.
fn evidence(sources: &Sources, catalog: &Catalog) -> Vec<String> {
    let files = catalog
        .evidence
        .iter()
        .filter_map(|document| document.file.known());
    files
        .map(|file| beside(sources.get(file.at.file).name(), &file.text))
        .collect()
}

/// The folder of a catalog; nothing for one that is a single file.
fn root(catalog: &Catalog) -> Option<&str> {
    (!catalog.name.ends_with(".toml")).then_some(catalog.name.as_str())
}

fn base(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, base)| base)
}

/// The file that an entry names, as the run calls it.
pub(super) fn path_of(sources: &Sources, entry: &SheetEntry) -> Option<String> {
    let file = entry.file.known()?;
    Some(beside(sources.get(file.at.file).name(), &file.text))
}

/// What came of the sheets of one catalog, or of none.
#[derive(Default)]
pub(super) struct Judged {
    pub findings: Vec<Finding>,
    pub sheets: Vec<(Audited, Vec<Verdict>, AuditedSheet)>,
}

/// Where a run's sheets are judged.
pub(super) struct SheetContext<'a> {
    pub sources: &'a Sources,
    pub documents: &'a [Document],
    /// The catalog they are bound to.
    pub catalog: Option<&'a Catalog>,
    /// The same catalog before a change.
    pub before: Option<&'a Catalog>,
}

/// Judges the sheets that are bound to one catalog, or to none.
pub(super) fn judge(context: &SheetContext, sheets: Vec<Bound>) -> Judged {
    let names = context.catalog.map(binding::names).unwrap_or_default();
    let copies: Vec<Option<(String, String, Span)>> =
        sheets.iter().map(|bound| differs(bound)).collect();
    let pages: Vec<Page> = sheets
        .iter()
        .zip(&copies)
        .map(|(bound, copy)| Page {
            file: bound.file,
            sheet: &bound.sheet,
            package: bound.package.as_deref(),
            unknown: bound.unknown.as_ref().map(|(id, at)| (id.as_str(), *at)),
            kind: bound
                .entry
                .and_then(|entry| entry.kind.known())
                .map(|text| text.text.as_str()),
            market: bound
                .entry
                .and_then(|entry| entry.market.known())
                .map(|text| text.text.as_str()),
            copy: copy
                .as_ref()
                .map(|(held, has, at)| (held.as_str(), has.as_str(), *at)),
            first: first_words(bound, context.sources.get(bound.file)),
        })
        .collect();
    // Each page stands for itself.
    let judged: Vec<One> = pages
        .par_iter()
        .map(|page| {
            spec_sheet::contained(|| one(context, page, &names)).unwrap_or_else(|| failed(page))
        })
        .collect();
    let mut out = Judged::default();
    cautions(context, &pages, &judged, &mut out.findings);
    drop(pages);
    for (bound, mut one) in sheets.into_iter().zip(judged) {
        if bound.dark {
            // Nobody said that it is one: it is pointed out, and rejects no catalog.
            one.findings
                .iter_mut()
                .for_each(|finding| finding.level = Level::Note);
        }
        let remarks = remarks(&bound, &one);
        out.findings.extend(one.findings);
        let name = context.sources.get(bound.file).name().to_string();
        let own = one.called.iter().map(|name| Named {
            on: format!("package.{name}"),
            title: None,
            system: None,
        });
        let entries = one.packages.iter().map(|id| {
            let package = context.catalog.and_then(|catalog| catalog.packages.get(id));
            Named {
                on: format!("package.{id}"),
                title: package.and_then(|package| package.entry.title.clone()),
                system: None,
            }
        });
        let mut passages = bound.sheet.passages.iter();
        let heading = passages.find(|one| matches!(one.role, Role::Heading(_)));
        let audited = Audited {
            name,
            title: heading
                .map(|one| one.text.trim().to_string())
                .filter(|text| !text.is_empty()),
            system: if bound.sheet.is_us {
                System::Us
            } else {
                System::Metric
            },
            files: vec![bound.file],
            entries: entries.chain(own).collect(),
            verdicts: 0..0,
            assumptions: one.assumptions,
            charts: Vec::new(),
            record: Vec::new(),
            is_sheet: true,
            remarks,
        };
        let sheet = AuditedSheet {
            file: bound.file,
            sheet: bound.sheet,
            package: bound.package,
            of_claims: one.of_claims,
            copy: bound.entry.map(Copied::of).unwrap_or_default(),
            hash: bound.hash,
        };
        out.sheets.push((audited, one.verdicts, sheet));
    }
    out
}

/// What a report says of a sheet before its promises: what it is about and how much was read, and for a copy what
/// is needed to judge it again.
fn remarks(bound: &Bound, one: &One) -> Vec<String> {
    let read = match one.of_claims.len() {
        0 => "no claim was read".to_string(),
        1 => "one claim was read".to_string(),
        many => format!("{many} claims were read"),
    };
    let about = match one.packages.as_slice() {
        [] => "Not tied to a package of a catalog".to_string(),
        [one] => format!("About package {one}"),
        many => format!("About packages {}", many.join(", ")),
    };
    let mut remarks = vec![format!("{about}; {read}.")];
    let copied = bound.entry.map(Copied::of).unwrap_or_default();
    if copied != Copied::default() {
        let from = copied.url.map_or(String::new(), |url| format!(" of {url}"));
        let on = copied
            .captured
            .map_or(String::new(), |day| format!(", taken on {day}"));
        remarks.push(format!(
            "A copy{from}{on}; {}, read by nameplate {} with rulebook {}.",
            bound.hash,
            env!("CARGO_PKG_VERSION"),
            crate::rules::RULEBOOK
        ));
    }
    remarks
}

/// Where what is about the whole of a text stands: the first words that its reader sees in markup, else the first line.
fn first_words(bound: &Bound, source: &Source) -> Span {
    let text = source.text();
    let begins = text.trim_start();
    // A remark may begin a page of any kind.
    let is_markup = begins.starts_with('<') && !begins.starts_with("<!--");
    let mut passages = bound.sheet.passages.iter();
    let first = passages
        .find(|one| is_markup && !one.text.trim().is_empty())
        .map(|one| one.source(0..one.text.len()))
        .filter(|at| !at.is_empty());
    let line = || {
        let end = memchr::memchr(b'\n', text.as_bytes()).unwrap_or(text.len());
        let line = text[..end].trim_end();
        0..line.len().max(usize::from(!text.is_empty()))
    };
    let at = first.unwrap_or_else(line);
    Span::new(bound.file, at.start, at.end)
}

/// The hash that an entry holds of its copy and the one it has, where they differ.
fn differs(bound: &Bound) -> Option<(String, String, Span)> {
    let held = bound.entry?.hash.known()?;
    let same = held.text.trim().eq_ignore_ascii_case(&bound.hash);
    (!same).then(|| (held.text.clone(), bound.hash.clone(), held.at))
}

/// What came of one sheet.
struct One {
    findings: Vec<Finding>,
    verdicts: Vec<Verdict>,
    of_claims: Vec<Option<String>>,
    /// The catalog's packages it speaks of.
    packages: Vec<String>,
    /// What it calls the things it speaks of that no catalog has.
    called: Vec<String>,
    assumptions: Arc<Assumptions>,
}

fn one(context: &SheetContext, page: &Page, names: &[binding::Name]) -> One {
    let mut one = One {
        findings: Vec::new(),
        verdicts: Vec::new(),
        of_claims: vec![None; page.sheet.claims.len()],
        packages: page.package.map(str::to_string).into_iter().collect(),
        called: Vec::new(),
        assumptions: Arc::new(Assumptions::builtin().clone()),
    };
    sheet::page(page, &mut one.findings);
    let empty = Source::new(
        context.sources.get(page.file).name().to_string(),
        Vec::new(),
    );
    let nothing = document::read(page.file, &empty);
    let machines = binding::named_machines(page.sheet);
    let mut met: HashSet<String> = one.packages.iter().cloned().collect();
    for about in binding::tell_apart(page.sheet, names, page.package) {
        let claims: Vec<&Claim> = about
            .claims
            .iter()
            .map(|&number| &page.sheet.claims[number])
            .collect();
        for &number in &about.claims {
            one.of_claims[number].clone_from(&about.package);
        }
        let own = own_package(context.catalog, &about, page.file);
        match own {
            Some(own) => {
                let id = &own.package.entry.id;
                if met.insert(id.clone()) {
                    one.packages.push(id.clone());
                }
                bound(context, page, claims, own, &mut one);
            }
            None => provisional(
                context,
                page,
                (&claims, &machines),
                &nothing,
                &about,
                &mut one,
            ),
        }
    }
    one
}

/// What is said of a page at whose judging the program itself failed: only that.
fn failed(page: &Page) -> One {
    One {
        findings: vec![sheet::failed(page)],
        verdicts: Vec::new(),
        of_claims: vec![None; page.sheet.claims.len()],
        packages: page.package.map(str::to_string).into_iter().collect(),
        called: Vec::new(),
        assumptions: Arc::new(Assumptions::builtin().clone()),
    }
}

fn own_package<'a>(catalog: Option<&'a Catalog>, about: &About, file: FileId) -> Option<Own<'a>> {
    let catalog = catalog?;
    let package = catalog.packages.get(about.package.as_deref()?)?;
    Some(Own {
        catalog,
        package,
        file,
    })
}

/// The claims as promises of the catalog's package.
fn bound(context: &SheetContext, page: &Page, claims: Vec<&Claim>, own: Own, one: &mut One) {
    let id = &own.package.entry.id;
    let Some(excerpt) = binding::bound(own.catalog, id, &claims, page.file) else {
        return;
    };
    let likely = likely(page, &claims);
    let derived = Derived::of(&excerpt);
    one.assumptions = derived.assumptions.clone();
    let verdicts = verdicts_of(&excerpt, &derived);
    let before = context.before.and_then(|catalog| {
        Some(Own {
            catalog,
            package: catalog.packages.get(id)?,
            file: page.file,
        })
    });
    let said = Said {
        page,
        claims,
        contexts: vec![Context {
            sources: context.sources,
            documents: context.documents,
            catalog: &excerpt,
            derived: &derived,
            verdicts: &verdicts,
            by_package: ByPackage::of(&verdicts),
            said: None,
        }],
        own: Some(own),
        before,
    };
    one.findings.extend(sheet::about(&said));
    drop(said);

    let mut own: Vec<Verdict> = verdicts
        .into_iter()
        .filter(|verdict| is_in(page, verdict))
        .collect();
    for verdict in &mut own {
        ask_where_unsure(verdict, &likely);
        // Air against nobody says what may be the open flow: it is asked about, and no boast.
        let asks = verdict
            .missing
            .as_ref()
            .is_some_and(|missing| missing.key == Some("at"));
        if verdict.claim == claims::Claim::Flow && verdict.outcome == Outcome::Undecided && asks {
            verdict.within_rating = None;
            verdict.rated = None;
        }
    }
    one.verdicts.extend(own);
}

/// Where figures of a page stand that are only likely meant of what it offers.
fn likely(page: &Page, claims: &[&Claim]) -> HashSet<Span> {
    claims
        .iter()
        .filter(|claim| claim.sureness != Sureness::Asserted)
        .map(|claim| Span::new(page.file, claim.at.start, claim.at.end))
        .collect()
}

/// A promise that is only likely one of the package isn't contradicted before somebody says that it is.
fn ask_where_unsure(verdict: &mut Verdict, likely: &HashSet<Span>) {
    if verdict.outcome == Outcome::Contradicted && likely.contains(&verdict.at) {
        verdict.outcome = Outcome::Undecided;
        verdict.decision = None;
        verdict.missing = Some(Missing::unusable(
            "whether it is meant of the package",
            None,
        ));
    }
}

/// The claims as promises of a package of their own, of each kind of machine that the page could mean.
fn provisional(
    context: &SheetContext,
    page: &Page,
    (claims, machines): (&[&Claim], &[&'static str]),
    nothing: &Document,
    about: &About,
    one: &mut One,
) {
    let name = about
        .called
        .clone()
        .unwrap_or_else(|| base(context.sources.get(page.file).name()).to_string());
    let catalogs: Vec<Catalog> = if binding::states_enough(claims) {
        let machines = binding::machines(machines, claims);
        let watts = binding::watts(claims);
        let cases = machines
            .iter()
            .flat_map(|word| watts.iter().map(move |watts| (*word, *watts)));
        let one = |case: (&str, binding::Watts)| {
            binding::provisional(claims, case, &name, page.file, nothing.root().id())
        };
        cases.map(one).collect()
    } else {
        Vec::new()
    };
    let derived: Vec<Derived> = catalogs.iter().map(Derived::of).collect();
    let verdicts: Vec<Vec<Verdict>> = catalogs
        .iter()
        .zip(&derived)
        .map(|(catalog, derived)| verdicts_of(catalog, derived))
        .collect();
    let documents = std::slice::from_ref(nothing);
    let said = Said {
        page,
        claims: claims.to_vec(),
        contexts: catalogs
            .iter()
            .zip(&derived)
            .zip(&verdicts)
            .map(|((catalog, derived), verdicts)| Context {
                sources: context.sources,
                documents,
                catalog,
                derived,
                verdicts,
                by_package: ByPackage::of(verdicts),
                said: None,
            })
            .collect(),
        own: None,
        before: None,
    };
    one.findings.extend(sheet::about(&said));
    drop(said);
    // Of each claim the verdict that the best of the machines gets.
    let likely = likely(page, claims);
    let mut best: Vec<Verdict> = Vec::new();
    let mut places: HashMap<(Span, claims::Claim), usize> = HashMap::new();
    for verdict in verdicts
        .into_iter()
        .flatten()
        .filter(|verdict| is_in(page, verdict))
    {
        match places.entry((verdict.at, verdict.claim)) {
            Entry::Occupied(place) => {
                let other = &mut best[*place.get()];
                if verdict.favours_more_than(other) {
                    *other = verdict;
                }
            }
            Entry::Vacant(place) => {
                place.insert(best.len());
                best.push(verdict);
            }
        }
    }
    for verdict in &mut best {
        let open = sheet::left_open(claims, verdict.claim);
        not_more_than_known(verdict, &open);
        let is_imagined = !sheet::counts_diffusers(claims)
            || verdict.claim == claims::Claim::Depth && !sheet::states_limit(claims);
        if is_imagined && verdict.outcome != Outcome::Contradicted {
            verdict.range = None;
            verdict
                .criteria
                .retain(|one| one.outcome == Outcome::Contradicted);
        }
        in_the_pages_words(verdict);
        verdict
            .evidence
            .extend(open.into_iter().map(Evidence::assumed));
        ask_where_unsure(verdict, &likely);
        // What a page doesn't say has no name on it.
        verdict.option = None;
    }
    // Things are told apart by what they are called; only the page itself, which comes first, may be called as one.
    if !best.is_empty() && one.called.first() != Some(&name) {
        one.called.push(name);
    }
    one.verdicts.extend(best);
}

/// What the page doesn't say was taken in its favour, so a promise about air and water that holds then isn't
/// supported yet.
fn not_more_than_known(verdict: &mut Verdict, open: &[&str]) {
    use crate::claims::Claim::{Power, RunningCost, Sound, Volume};
    // Nobody rates the machine that was assumed.
    if verdict.outcome == Outcome::Undecided
        && verdict.within_rating == Some(false)
        && !sheet::is_beyond_reach(verdict)
    {
        verdict.rated = None;
        verdict.within_rating = None;
    }
    if verdict.outcome == Outcome::Supported
        && !matches!(verdict.claim, Power | RunningCost | Sound | Volume)
    {
        verdict.outcome = Outcome::Undecided;
        verdict.decision = None;
        verdict.rated = None;
        verdict.within_rating = None;
        let what = match open {
            [] => "the machine's air at several pressures".to_string(),
            [one] => (*one).to_string(),
            [all @ .., last] => format!("{} and {last}", all.join(", ")),
        };
        let fact = format!("{what}, which the page doesn't give");
        verdict.missing = Some(Missing::absent(fact, None));
    }
}

/// Says of a verdict on a page's own figures what the page doesn't give, and not what a catalog's entry lacks.
fn in_the_pages_words(verdict: &mut Verdict) {
    verdict.evidence.iter_mut().for_each(sheet::of_the_page);
    let Some(missing) = &mut verdict.missing else {
        return;
    };
    let what = match missing.key {
        Some("curve") => "the machine's air at several pressures",
        Some("power") => "the machine's watts",
        Some("bore") => "the bore of its airline",
        Some("run") => "how its airline is laid",
        Some("at") => "the pressure or depth its air is given at",
        _ => {
            // What a catalog's entry is called a page calls nothing.
            let part = format!("compressor {}", verdict.package);
            if missing.fact.contains(&part) {
                let of_it = missing.fact.replace(&part, "the machine");
                missing.fact = format!("{of_it}, which the page doesn't give");
                if verdict.claim == claims::Claim::Sound {
                    missing.fails = Some("a page alone gives nothing to check a level against");
                }
            }
            return;
        }
    };
    missing.fact = format!("{what}, which the page doesn't give");
}

fn verdicts_of(catalog: &Catalog, derived: &Derived) -> Vec<Verdict> {
    let packages = derived.packages.iter();
    packages
        .flat_map(|facts| claims::judge(catalog, derived, facts))
        .collect()
}

/// Whether a verdict is on a figure of the sheet, and not on one that the program filled in.
fn is_in(page: &Page, verdict: &Verdict) -> bool {
    verdict.at.file == page.file && !verdict.at.is_empty()
}

/// Cautions are looked for over all sheets of a package together; a sheet of none stands for itself.
fn cautions(context: &SheetContext, pages: &[Page], judged: &[One], findings: &mut Vec<Finding>) {
    let mut told: Vec<Told> = Vec::new();
    let mut places: HashMap<String, usize> = HashMap::new();
    for (page, one) in pages.iter().zip(judged) {
        let on = page
            .package
            .map(|id| format!("package.{id}"))
            .unwrap_or_default();
        if let Some(&place) = places.get(&on) {
            told[place].pages.push(page);
            continue;
        }
        // What promises nothing needs no caution.
        if page.package.is_none() && one.of_claims.is_empty() {
            continue;
        }
        if !on.is_empty() {
            places.insert(on.clone(), told.len());
        }
        let package = page
            .package
            .and_then(|id| context.catalog?.packages.get(id));
        told.push(Told {
            pages: vec![page],
            discharge: package.and_then(|package| discharge(context.catalog?, package)),
            mains: package
                .zip(context.catalog)
                .is_some_and(|(package, catalog)| is_on_mains(catalog, package)),
            on,
        });
    }
    for one in &told {
        caution::package(one, findings);
    }
}

/// The coolest that the air can leave the compressor at the claimed depth, K.
fn discharge(catalog: &Catalog, package: &Package) -> Option<f64> {
    let derived = Derived::of_one(catalog, package);
    let facts = derived.packages.first()?;
    let pressure = |facts: &PackageFacts| {
        let solvers = facts.ways.iter().filter_map(|way| way.solver.as_ref().ok());
        let pressures = solvers.filter_map(|solver| solver.corner(Corner::Central)?.pressure());
        pressures.reduce(f64::max)
    };
    Some(heat::coolest_discharge(
        catalog,
        &facts.assumptions,
        pressure(facts)?,
    ))
}

fn is_on_mains(catalog: &Catalog, package: &Package) -> bool {
    const MAINS: f64 = 60.0;
    let uses = package.compressor.known().into_iter().flatten();
    let parts = uses.filter_map(|one| catalog.compressors.get(&one.part.id));
    parts
        .flat_map(|part| supply::sold(package, part))
        .filter_map(|supply| supply.voltage.known())
        .any(|volts| volts.high() > MAINS)
}
