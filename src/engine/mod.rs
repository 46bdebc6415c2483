//! The one flow: from texts to an outcome that every report shows.
//!
//! Texts are handed in; the disk is not here. The command and the editor call the same
//! [`audit`].

mod baseline;
mod identity;
mod levels;
mod memo;
mod progress;
mod record;
mod sheets;

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use rayon::prelude::*;

use crate::assumptions::Assumptions;
use crate::catalog::{self, Catalog, Kind};
use crate::charts::{self, Charts, Pictured};
use crate::claims::{self, Ask, Ground, Verdict};
use crate::derive::Derived;
use crate::document::{self, Document};
use crate::finding::{Finding, Level};
use crate::rules::{self, Context, Said};
use crate::spec_sheet;
use crate::text::{FileId, Source, Sources};
use crate::units::System;

pub use crate::catalog::Settings;
/// The rulebook, for reports that list it.
pub use crate::rules::{
    FAMILIES, Family, RULEBOOK, rule as rule_named, rules as all_rules, with_undecided,
};
pub use crate::spec_sheet::Extract;
pub use baseline::{Baseline, Earlier, Known, Places, same_catalogs, same_findings, state};

pub use record::{Cause, Change, Kept, Record, Recorded};

pub use memo::Memo;

pub use levels::{Heard, Setting, UnknownName, known};
pub use progress::Progress;
pub use sheets::{AuditedSheet, Copied};

use identity::Keys;
use memo::{Changes, Judged, Own};
use sheets::SheetFile;

/// A text handed in.
#[derive(Debug, Clone)]
pub struct Input {
    /// How reports call it: its path with forward slashes.
    pub path: String,
    /// Its bytes.
    pub bytes: Vec<u8>,
    /// Named alone on the command line: a catalog of its own, whatever lies around it.
    pub alone: bool,
    /// Read only because a catalog borrows its folder's parts.
    pub borrowed: bool,
}

/// What came of a run. Reports neither filter nor sort nor compute.
#[derive(Debug)]
pub struct Outcome {
    /// All texts, for showing their lines.
    pub sources: Sources,
    /// The findings, by text and place.
    pub findings: Vec<Finding>,
    /// The verdicts on every claim, in the order of the catalogs.
    pub verdicts: Vec<Verdict>,
    /// The catalogs, in order.
    pub catalogs: Vec<Audited>,
    /// The day that waivers were held to, `YYYY-MM-DD`, where a catalog has any.
    pub as_of: Option<String>,
    /// The day of the run, `YYYY-MM-DD`, where it was told one.
    pub day: Option<String>,
    /// Which rules are heard; all of them have been asked.
    pub heard: Heard,
    /// What to ask whom, if that was wanted.
    pub asks: Option<Vec<Ask>>,
    /// Counts.
    pub summary: Summary,
    /// What an earlier run found and this one doesn't, where one was given.
    pub gone: Option<Vec<Earlier>>,
    /// That only what is new since an earlier state is shown, where it is.
    pub partial: Option<Partial>,
    /// The verdicts as a record keeps them, where one was asked for.
    pub record: Option<Kept>,
    /// The spec sheets, in order.
    pub sheets: Vec<AuditedSheet>,
    /// What lies in the named folders and wasn't read.
    pub left_out: Vec<LeftOut>,
}

/// That only what is new since an earlier state is shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Partial {
    /// What the earlier state is called.
    pub since: String,
    /// How many packages the catalogs have in all.
    pub packages: usize,
    /// How many spec sheets there are in all.
    pub sheets: usize,
    /// How many findings were there before and aren't shown.
    pub standing: usize,
}

/// A catalog as it was audited: what a report needs to head its part of the page.
#[derive(Debug, Clone)]
pub struct Audited {
    /// Its folder or file.
    pub name: String,
    /// Its title.
    pub title: Option<String>,
    /// The units most of its packages are written in.
    pub system: System,
    /// Its own files.
    pub files: Vec<FileId>,
    /// Everything in it that has a name, the packages first.
    pub entries: Vec<Named>,
    /// Which of the run's verdicts are on its claims.
    pub verdicts: std::ops::Range<usize>,
    /// The ranges its verdicts stand on.
    pub assumptions: Arc<Assumptions>,
    /// The numbers of its packages' pictures, where they were asked for.
    pub charts: Vec<Charts>,
    /// Its verdicts for a record, until the run's are put together.
    pub record: Vec<Recorded>,
    /// Whether it is a spec sheet and no catalog.
    pub is_sheet: bool,
    /// What is to be said of it before its promises, in whole sentences.
    pub remarks: Vec<String>,
}

impl Audited {
    /// The packages among its entries: those that were audited.
    pub fn packages(&self) -> impl Iterator<Item = &Named> {
        let entries = self.entries.iter();
        entries.filter(|entry| entry.on.starts_with("package."))
    }
}

/// A part or package by name.
#[derive(Debug, Clone)]
pub struct Named {
    /// As a finding and a waiver name it: `package.mill-pair`.
    pub on: String,
    /// Its name for people.
    pub title: Option<String>,
    /// The units it is written in, where that is known of itself.
    pub system: Option<System>,
}

/// The counts of a run.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Summary {
    /// Files that belong to a catalog.
    pub files: usize,
    /// Catalogs.
    pub catalogs: usize,
    /// Spec sheets.
    pub sheets: usize,
    /// Figures and comparisons read from them.
    pub claims: usize,
    /// Packages that were audited.
    pub packages: usize,
    /// Findings of level error.
    pub errors: usize,
    /// Findings of level warning.
    pub warnings: usize,
    /// Findings of level note.
    pub notes: usize,
    /// Findings that are waived.
    pub waived: usize,
    /// Claims supported, undecided, contradicted, not evaluated.
    pub verdicts: [usize; 4],
}

impl Summary {
    /// Counts what a report shows anew; how many files and catalogs there are doesn't change with it.
    pub fn count(
        &mut self,
        findings: &[Finding],
        verdicts: &[Verdict],
        catalogs: &[Audited],
        sheets: &[AuditedSheet],
    ) {
        *self = Summary {
            files: self.files,
            catalogs: self.catalogs,
            sheets: sheets.len(),
            claims: sheets.iter().map(|sheet| sheet.sheet.claims.len()).sum(),
            packages: catalogs
                .iter()
                .filter(|one| !one.is_sheet)
                .map(|one| one.packages().count())
                .sum(),
            ..Summary::default()
        };
        for finding in findings {
            *match finding.level {
                _ if finding.waived.is_some() => &mut self.waived,
                Level::Error => &mut self.errors,
                Level::Warning => &mut self.warnings,
                Level::Note => &mut self.notes,
            } += 1;
        }
        for verdict in verdicts {
            self.verdicts[verdict.outcome as usize] += 1;
        }
    }
}

impl Outcome {
    /// Whether a finding at or above `level` is there that isn't waived, and that an earlier run, where one
    /// was given, didn't hold already.
    pub fn fails(&self, level: Level) -> bool {
        self.findings
            .iter()
            .any(|finding| finding.counts() && finding.level >= level)
    }
}

/// Folders, as paths of the run, whose parts the catalog in `input` borrows.
pub fn borrows(input: &Input) -> Vec<String> {
    let source = Source::new(input.path.clone(), input.bytes.clone());
    let document = document::read(FileId(0), &source);
    let folder = input.path.rsplit_once('/').map_or("", |(folder, _)| folder);
    catalog::borrows(&document, folder)
}

/// The paths of the documents that the register in `input` describes.
pub fn evidence_files(input: &Input) -> Vec<String> {
    // Few files have a register, and the others needn't be read for it.
    if is_sheet(&input.path) || memchr::memmem::find(&input.bytes, b"evidence").is_none() {
        return Vec::new();
    }
    let source = Source::new(input.path.clone(), input.bytes.clone());
    let document = document::read(FileId(0), &source);
    catalog::evidence_files(&document, &input.path)
}

/// The paths of the spec sheets that the catalog's file in `input` names.
pub fn sheet_files(input: &Input) -> Vec<String> {
    if is_sheet(&input.path) || memchr::memmem::find(&input.bytes, b"sheet").is_none() {
        return Vec::new();
    }
    let source = Source::new(input.path.clone(), input.bytes.clone());
    let document = document::read(FileId(0), &source);
    catalog::sheet_files(&document, &input.path)
}

/// What the file in `input` says under `[audit]` of how its catalog is audited, and whether it has a `[catalog]`.
pub fn settings(input: &Input) -> Option<(Settings, bool)> {
    if is_sheet(&input.path) || memchr::memmem::find(&input.bytes, b"audit").is_none() {
        return None;
    }
    let source = Source::new(input.path.clone(), input.bytes.clone());
    let document = document::read(FileId(0), &source);
    let has_head = document.root().get("catalog").is_some();
    Settings::of(&document).map(|settings| (settings, has_head))
}

/// Whether a file is a spec sheet by its name, and no part of a catalog.
pub fn is_sheet(path: &str) -> bool {
    spec_sheet::Kind::of(path).is_some()
}

/// Whether a file has pages by its name: its text is taken from it before a run, see [`Options::pages`].
pub fn is_paged(path: &str) -> bool {
    spec_sheet::Kind::of(path) == Some(spec_sheet::Kind::Pdf)
}

/// Whether a catalog's file stands for itself: it has a `[catalog]` table, or is no catalog's at all.
pub fn is_whole(input: &Input) -> bool {
    let source = Source::new(input.path.clone(), input.bytes.clone());
    let document = document::read(FileId(0), &source);
    catalog::is_whole(&document)
}

/// Whether a file is a report of this program, which says of others what it says.
pub fn is_own_report(path: &str, bytes: &[u8]) -> bool {
    // Marks stand at the start of Markdown and HTML, and a report for people ends with its counts.
    const LOOKED_AT: usize = 1000;
    let start = &bytes[..bytes.len().min(LOOKED_AT)];
    if memchr::memmem::find(start, REPORT_MARK.as_bytes()).is_some() {
        return true;
    }
    if spec_sheet::Kind::of(path) != Some(spec_sheet::Kind::Text) {
        return false;
    }
    let end = String::from_utf8_lossy(&bytes[bytes.len().saturating_sub(LOOKED_AT)..]);
    let words: Vec<&str> = end.split_whitespace().collect();
    let end = words.join(" ");
    let counts = ["Audited ", " promise", ". Found ", " warning", " note"];
    let mut from = end.rfind("Audited ").unwrap_or(end.len());
    counts.iter().all(|part| match end[from..].find(part) {
        Some(at) => {
            from += at;
            true
        }
        None => false,
    })
}

/// What a report in Markdown or HTML is known by, near its start.
pub const REPORT_MARK: &str = "Written by nameplate ";

/// A file that lies in what was named and wasn't read.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct LeftOut {
    /// Why.
    pub why: &'static str,
    /// Its path.
    pub path: String,
}

/// What a run is told beside its texts.
#[derive(Debug, Clone, Default)]
pub struct Options {
    /// The day that waivers are held to, `YYYY-MM-DD`; nothing for a run that looks at no calendar.
    pub as_of: Option<String>,
    /// Levels set over those of the catalogs.
    pub levels: Vec<Setting>,
    /// Which rules are heard.
    pub heard: Heard,
    /// Whether to say what to ask whom.
    pub ask: bool,
    /// Those of the documents in the registers whose files are there, by path; nothing for a run that
    /// doesn't look.
    pub documents: Option<BTreeSet<String>>,
    /// An earlier run to hold this one against.
    pub baseline: Option<Baseline>,
    /// Whether a report shows pictures; in a run of many packages they are of those in doubt.
    pub charts: bool,
    /// An earlier state of the texts, called by the paths they have now, for what only it can tell of a page.
    pub earlier: Option<Vec<Input>>,
    /// Where the run tells how far it is.
    pub progress: Option<Arc<Progress>>,
    /// The package that spec sheets are about: those named alone, or all where none is.
    pub package: Option<String>,
    /// The record that verdicts are held against; nothing for a run that keeps none.
    pub record: Option<Record>,
    /// What lies in the named folders and wasn't read.
    pub left_out: Vec<LeftOut>,
    /// The texts of files that have pages, by path; those that aren't among them weren't read.
    pub pages: BTreeMap<String, spec_sheet::Extract>,
}

/// Texts as catalogs, not judged: for a question about one package.
#[derive(Debug)]
pub struct ReadCatalogs {
    /// All texts.
    pub sources: Sources,
    /// The catalogs among them, in order.
    pub catalogs: Vec<Catalog>,
}

/// Reads all catalogs among the texts and judges none.
pub fn read(inputs: Vec<Input>) -> ReadCatalogs {
    let mut memo = Memo::default();
    let taken = take_in(inputs, &BTreeMap::new(), &mut memo);
    let catalogs = catalog::gather(memo.texts.files(), memo.documents()).catalogs;
    ReadCatalogs {
        sources: taken.sources,
        catalogs,
    }
}

/// The texts in the order in which a run numbers them: catalogs' files, then spec sheets. A sheet in a folder that
/// only lends its parts is another catalog's.
pub fn in_order(inputs: Vec<Input>) -> Vec<Input> {
    let (mut sheets, mut texts): (Vec<Input>, Vec<Input>) =
        inputs.into_iter().partition(|input| is_sheet(&input.path));
    sheets.retain(|input| !input.borrowed);
    texts.append(&mut sheets);
    texts
}

/// The texts of a run by number. Sheets come last, so that a document has the number of its text.
struct Taken {
    sources: Sources,
    sheets: Vec<SheetFile>,
    /// What changed among the catalogs' texts since the last run.
    changes: Changes,
}

fn take_in(
    inputs: Vec<Input>,
    pages: &BTreeMap<String, spec_sheet::Extract>,
    memo: &mut Memo,
) -> Taken {
    let mut texts = in_order(inputs);
    let first_sheet = texts.iter().position(|input| is_sheet(&input.path));
    let sheets = texts.split_off(first_sheet.unwrap_or(texts.len()));
    let mut sources = Sources::default();
    let changes = memo.texts.take_in(texts, &mut sources);
    let sheets = sheets
        .into_iter()
        .map(|input| {
            let hash = sheets::hash(&input.bytes);
            let extract = pages.get(&input.path);
            let unread = extract.map(|extract| extract.unread.clone());
            let source = match extract.and_then(spec_sheet::Extract::paged) {
                Some(pages) => Source::paged(input.path, pages),
                // The bytes of such a file are no text.
                None if is_paged(&input.path) => Source::new(input.path, Vec::new()),
                None => Source::new(input.path, input.bytes),
            };
            SheetFile {
                file: sources.add(source),
                alone: input.alone,
                hash,
                unread,
            }
        })
        .collect();
    Taken {
        sources,
        sheets,
        changes,
    }
}

/// Audits all catalogs among the texts.
pub fn audit(inputs: Vec<Input>, options: &Options) -> Outcome {
    run(inputs, options, &mut Memo::default())
}

/// The same, with what `memo` kept of the run before.
fn run(inputs: Vec<Input>, options: &Options, memo: &mut Memo) -> Outcome {
    let before = memo.begin(options);
    let taken = take_in(inputs, &options.pages, memo);
    let mut judged = judge(&taken, before, options, memo);
    let sources = taken.sources;
    let baseline = options.baseline.as_ref();
    Outcome {
        heard: options.heard.clone(),
        asks: options.ask.then(|| claims::ask::list(&judged.verdicts)),
        record: options
            .record
            .as_ref()
            .map(|before| record::kept(&mut judged.catalogs, before)),
        gone: baseline.map(|earlier| {
            let places = Places::of(&judged.catalogs, &sources);
            baseline::compare(earlier, &mut judged.findings, &places)
        }),
        findings: judged.findings,
        verdicts: judged.verdicts,
        catalogs: judged.catalogs,
        as_of: options.as_of.clone().filter(|_| judged.waivers),
        day: options.as_of.clone(),
        partial: None,
        left_out: {
            let mut all = options.left_out.clone();
            all.append(&mut judged.left_out);
            all.sort();
            all
        },
        sheets: judged.sheets,
        summary: judged.summary,
        sources,
    }
}

/// What is left when the documents are gone.
struct JudgedTexts {
    findings: Vec<Finding>,
    verdicts: Vec<Verdict>,
    catalogs: Vec<Audited>,
    waivers: bool,
    sheets: Vec<AuditedSheet>,
    left_out: Vec<LeftOut>,
    summary: Summary,
}

fn judge(
    taken: &Taken,
    mut before: HashMap<String, Own>,
    options: &Options,
    memo: &mut Memo,
) -> JudgedTexts {
    let sources = &taken.sources;
    match &taken.changes {
        Changes::All => {
            memo.lowered = catalog::Lowered::default();
            memo.keys.clear();
        }
        Changes::These(changed) => {
            let is_changed = |index| changed.iter().any(|(other, _)| *other == index);
            memo.lowered.keep(|index| !is_changed(index));
            memo.keys.retain(|&index, _| !is_changed(index));
        }
    }
    let (files, documents) = (memo.texts.files(), &memo.texts.documents);
    let mut gathered = catalog::gather_again(files, documents, &mut memo.lowered);
    for catalog in &mut gathered.catalogs {
        levels::set(catalog, &options.levels);
    }
    let packages = gathered.catalogs.iter().map(|one| one.packages.len()).sum();
    if let Some(progress) = &options.progress {
        progress.expect(packages);
    }
    let pictured = match options.charts {
        true => Pictured::of(packages),
        false => Pictured::None,
    };
    let package = options.package.as_deref();
    let left_out = gathered.others.iter().map(|(index, why)| LeftOut {
        path: files[*index].path.clone(),
        why,
    });
    let mut left_out: Vec<LeftOut> = left_out.collect();
    let sheets_before = std::mem::take(&mut memo.sheets);
    let bound = sheets::bind(
        sources,
        &taken.sheets,
        &gathered,
        package,
        &mut left_out,
        &sheets_before,
    );
    if memo.keeps() {
        let key = |one: &sheets::Bound| {
            let name = sources.get(one.file).name();
            ((name.to_string(), one.hash.clone()), one.sheet.clone())
        };
        memo.sheets = bound.iter().map(key).collect();
    }
    let earlier = match &options.earlier {
        Some(before) if !bound.is_empty() => read(before.clone()).catalogs,
        _ => Vec::new(),
    };
    let earlier: HashMap<&str, &Catalog> = { earlier.iter().rev() }
        .map(|catalog| (catalog.name.as_str(), catalog))
        .collect();
    let mut of_catalogs: Vec<Vec<sheets::Bound>> = Vec::new();
    of_catalogs.resize_with(gathered.catalogs.len(), Vec::new);
    let mut of_none = Vec::new();
    for one in bound {
        let own = one.catalog.and_then(|place| of_catalogs.get_mut(place));
        own.unwrap_or(&mut of_none).push(one);
    }
    let mut of_sheets = Vec::new();
    let mut findings = Vec::new();
    let mut verdicts = Vec::new();
    let mut catalogs = Vec::new();
    let mut summary = Summary {
        catalogs: gathered.catalogs.len(),
        ..Summary::default()
    };
    let mut kept = std::mem::take(&mut memo.judged);
    let mut keys = std::mem::take(&mut memo.keys);
    for (catalog, own) in gathered.catalogs.iter().zip(of_catalogs) {
        let last = kept.remove(&catalog.name).unwrap_or_default();
        let standing = last.standing(catalog, documents, &taken.changes);
        let verdicts_before = before.remove(&catalog.name).unwrap_or_default();
        let judged_now = memo.keeps().then(|| Judged::of(catalog, last, &standing));
        let (found, judged, mut audited, sheets) = one_catalog(
            sources,
            documents,
            catalog,
            Beside {
                sheets: own,
                before: earlier.get(catalog.name.as_str()).copied(),
                pictured,
                standing: Standing {
                    packages: standing,
                    verdicts: verdicts_before,
                    said: judged_now.as_ref().map(Judged::said),
                },
            },
            options,
            &mut keys,
        );
        if let Some(judged_now) = judged_now {
            memo.judged.insert(catalog.name.clone(), judged_now);
        }
        findings.extend(found);
        of_sheets.extend(sheets);
        audited.verdicts = verdicts.len()..verdicts.len() + judged.len();
        verdicts.extend(judged);
        summary.files += catalog.documents.len();
        catalogs.push(audited);
    }
    memo.keys = keys;
    let (found, sheets) = of_no_catalog(sources, documents, of_none, options);
    findings.extend(found);
    of_sheets.extend(sheets);
    of_sheets.sort_by_key(|(_, _, sheet)| sheet.file);
    let mut sheets = Vec::new();
    for (mut audited, judged, sheet) in of_sheets {
        audited.verdicts = verdicts.len()..verdicts.len() + judged.len();
        verdicts.extend(judged);
        catalogs.push(audited);
        summary.files += 1;
        sheets.push(sheet);
    }
    sort(sources, &mut findings);
    for finding in &mut findings {
        let on_page = |edit: &crate::finding::Edit| sources.get(edit.at.file).pages().is_some();
        let edits = finding
            .correction
            .iter()
            .flat_map(|correction| &correction.edits);
        // What stands on a page can't be written anew: its bytes are none of the file's.
        if { edits }.any(on_page) {
            finding.correction = None;
        }
    }
    summary.count(&findings, &verdicts, &catalogs, &sheets);
    JudgedTexts {
        findings,
        verdicts,
        catalogs,
        waivers: gathered.catalogs.iter().any(|one| !one.waivers.is_empty()),
        sheets,
        left_out,
        summary,
    }
}

/// What came of a sheet: its part of a report, its verdicts and what was read.
type OfSheet = (Audited, Vec<Verdict>, AuditedSheet);

/// Judges the sheets that no catalog of the run has a package for; only the run's own levels count.
fn of_no_catalog(
    sources: &Sources,
    documents: &[Document],
    sheets: Vec<sheets::Bound>,
    options: &Options,
) -> (Vec<Finding>, Vec<OfSheet>) {
    let among = sheets::SheetContext {
        sources,
        documents,
        catalog: None,
        before: None,
    };
    let judged = sheets::judge(&among, sheets);
    let mut findings = judged.findings;
    let mut settings = Catalog::default();
    levels::set(&mut settings, &options.levels);
    levels::apply(&settings, &mut findings);
    findings.retain(|finding| options.heard.hears(finding.rule.name));
    // A page is no document, and has no keys.
    identity::fill(sources, documents, "", &mut findings, &mut HashMap::new());
    (findings, judged.sheets)
}

/// What a catalog is judged with.
struct Beside<'a> {
    /// The spec sheets that are bound to it.
    sheets: Vec<sheets::Bound<'a>>,
    /// The catalog as it was before a change.
    before: Option<&'a Catalog>,
    pictured: Pictured,
    standing: Standing<'a>,
}

/// What stands of the run before.
struct Standing<'a> {
    /// The packages for which nothing changed that they rest on.
    packages: HashSet<&'a str>,
    /// The verdicts on packages.
    verdicts: Own,
    /// What was said of packages by themselves.
    said: Option<&'a Said>,
}

/// The findings and verdicts of one catalog, not sorted yet.
fn one_catalog(
    sources: &Sources,
    documents: &[Document],
    catalog: &Catalog,
    mut beside: Beside,
    options: &Options,
    keys: &mut HashMap<usize, Keys>,
) -> (Vec<Finding>, Vec<Verdict>, Audited, Vec<OfSheet>) {
    let derived = Derived::of(catalog);
    let step = |count: usize| {
        if let Some(progress) = &options.progress {
            progress.step(count);
        }
    };
    // Each package stands for itself, so they are judged side by side; the order stays the catalog's.
    let standing = &mut beside.standing;
    let kept: Vec<Option<Vec<Verdict>>> = { derived.packages.iter() }
        .map(|facts| facts.package.entry.id.as_str())
        .map(|id| {
            let stands = standing.packages.contains(id);
            stands.then(|| standing.verdicts.remove(id).unwrap_or_default())
        })
        .collect();
    let judged: Vec<Vec<Verdict>> = { derived.packages.par_iter().zip(kept) }
        .map(|(facts, kept)| {
            let verdicts = kept.unwrap_or_else(|| claims::judge(catalog, &derived, facts));
            step(1);
            verdicts
        })
        .collect();
    let pictured = derived.packages.par_iter().zip(&judged);
    let charts: Vec<Charts> = pictured
        .filter(|(_, own)| beside.pictured.has(own))
        .filter_map(|(facts, own)| charts::of(&Ground::of(catalog, &derived, facts), own))
        .collect();
    let mut verdicts = Vec::with_capacity(judged.iter().map(Vec::len).sum());
    verdicts.extend(judged.into_iter().flatten());
    let context = Context {
        sources,
        documents,
        catalog,
        derived: &derived,
        verdicts: &verdicts,
        by_package: rules::ByPackage::of(&verdicts),
        said: beside.standing.said,
    };
    let mut findings = Vec::new();
    for &document in &catalog.documents {
        rules::check_text(&documents[document], &mut findings);
    }
    findings.extend(rules::check(&context));
    if let Some(there) = &options.documents {
        rules::check_files(&context, there, &mut findings);
    }
    let among = sheets::SheetContext {
        sources,
        documents,
        catalog: Some(catalog),
        before: beside.before,
    };
    let of_sheets = sheets::judge(&among, beside.sheets);
    findings.extend(of_sheets.findings);
    // Every rule has spoken before waivers, levels and what is heard are looked at: a rule that is kept silent
    // doesn't make its waivers needless.
    rules::waive(
        &context,
        options.as_of.as_deref().unwrap_or(""),
        &mut findings,
    );
    if is_part(documents, catalog) {
        findings.retain(|finding| !OF_A_WHOLE.contains(&finding.rule.name));
    }
    levels::apply(catalog, &mut findings);
    findings.retain(|finding| options.heard.hears(finding.rule.name));
    identity::fill(sources, documents, &catalog.name, &mut findings, keys);
    let mut audited = audited(catalog, &derived);
    if options.record.is_some() {
        audited.record = record::lines(catalog, documents, &verdicts);
    }
    audited.charts = charts;
    (findings, verdicts, audited, of_sheets.sheets)
}

/// Rules that ask what the rest of a catalog has to do with something.
const OF_A_WHOLE: [&str; 2] = ["reference.unused", "waiver.unused"];

/// Whether a catalog is a file of a larger one that was named alone: nothing in it says that it is whole.
fn is_part(documents: &[Document], catalog: &Catalog) -> bool {
    let mut own = catalog.documents.iter();
    !own.any(|&index| documents[index].root().get("catalog").is_some())
}

/// The head of a catalog's part of a report.
fn audited(catalog: &Catalog, derived: &Derived) -> Audited {
    let packages = derived.packages.iter().map(|facts| Named {
        on: facts.package.entry.on(),
        title: facts.package.entry.title.clone(),
        system: Some(facts.system),
    });
    let parts = Kind::PARTS.iter().flat_map(|&kind| catalog.entries(kind));
    let parts = parts.map(|entry| Named {
        on: entry.on(),
        title: entry.title.clone(),
        system: None,
    });
    let us = derived
        .packages
        .iter()
        .filter(|facts| facts.system == System::Us)
        .count();
    Audited {
        name: catalog.name.clone(),
        title: catalog.title.clone(),
        system: if 2 * us > derived.packages.len() {
            System::Us
        } else {
            System::Metric
        },
        files: catalog
            .documents
            .iter()
            .filter_map(|&index| u32::try_from(index).ok().map(FileId))
            .collect(),
        entries: packages.chain(parts).collect(),
        verdicts: 0..0,
        assumptions: derived.assumptions.clone(),
        charts: Vec::new(),
        record: Vec::new(),
        is_sheet: false,
        remarks: Vec::new(),
    }
}

/// By text, place, rule and words; what two catalogs that share a part both find stands once.
fn sort(sources: &Sources, findings: &mut Vec<Finding>) {
    findings.sort_by(|a, b| {
        let path = |finding: &Finding| sources.get(finding.at.file).name();
        path(a)
            .cmp(path(b))
            .then_with(|| a.at.cmp(&b.at))
            .then_with(|| a.rule.name.cmp(b.rule.name))
            .then_with(|| a.message.cmp(&b.message))
    });
    findings.dedup_by(|a, b| a.at == b.at && a.rule == b.rule && a.message == b.message);
}
