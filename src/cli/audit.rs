//! `nameplate audit`: the main job.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Arc;

use globset::GlobSet;
use rayon::prelude::*;

use super::audit_table::Said;
use super::choice::Choice;
use super::files::From;
use super::limit::Limit;
use super::look::Signs;
use super::progress::Bar;
use super::watched::Watched;
use super::{FOUND, Failure, SOUND, files, look, output, pages};
use crate::engine::{self, Input};
use crate::finding::Level;
use crate::report;
use crate::report::terminal::{Detail, Lines};
use crate::revise;

/// Compare the promises of catalogs and spec sheets with physics, and report what can't be true.
///
/// Each promise gets a grade. Each finding says what is wrong, how to fix it, and which figures show it. The
/// exit status is 0 if no finding is at or above the level of --reject-at (error if not given), 1 if there is
/// one, and 2 if the audit couldn't be done.
#[derive(Debug, clap::Args)]
pub struct Audit {
    /// Folders that hold a catalog.toml, single TOML files with a [catalog] table, or spec sheets: Markdown,
    /// HTML, plain text, CSV and PDF. `-` is standard input, which stands for the file of --stdin-path.
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// The file that standard input stands for, whether it exists or not; what lies around it is read as it is.
    #[arg(long, value_name = "FILE")]
    stdin_path: Option<PathBuf>,

    /// Format of the report; terminal if not given.
    #[arg(long, value_enum, value_name = "FORMAT")]
    format: Option<Format>,

    /// Write a report to this file, whole or not at all; may be given several times. Its format is the one in
    /// FORMAT=FILE, else that of --format, else the one its ending names (.json, .sarif, .xml, .md, .html, .txt).
    /// Standard output then gets the counts, or the report of --format if no file has that format. A report in
    /// HTML on more than 200 packages is an index at FILE and a folder of pages beside it.
    #[arg(long, value_name = "FILE")]
    output: Vec<String>,

    #[command(flatten)]
    signs: Signs,

    /// Write the terminal report for a screen reader: one sentence on each line, without tables, rules and signs.
    #[arg(long)]
    read_aloud: bool,

    /// Write one line for each finding that makes the status 1, as FILE:LINE:COLUMN: LEVEL RULE: MESSAGE, and
    /// the counts.
    #[arg(short, long, conflicts_with = "verbose")]
    quiet: bool,

    /// Show all evidence, notes in full and the lines around each place in the terminal report.
    #[arg(short, long)]
    verbose: bool,

    /// Date to which waivers are compared, such as 2026-05-02; today if not given.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,

    /// Stop with exit status 2 if the audit takes longer than this, and write nothing.
    #[arg(long, value_name = "SECONDS", value_parser = super::limit::parse)]
    time_limit: Option<f64>,

    /// The package that the spec sheets are about: the sheets named on the command line, or all if none is named.
    /// A sheet can also name its package, and so can a [[sheet]] table of the catalog.
    #[arg(long, value_name = "ID")]
    package: Option<String>,

    /// List the figures that were read from spec sheets, with their places, instead of the findings.
    #[arg(long, conflicts_with_all = ["format", "read_aloud"])]
    claims: bool,

    #[command(flatten)]
    choice: Choice,

    /// The lowest level of finding at which the catalogs are rejected, with exit status 1.
    #[arg(long, value_enum, default_value_t = Reject::Error, value_name = "LEVEL")]
    reject_at: Reject,

    /// Also reject if there are more warnings than this.
    #[arg(long, value_name = "COUNT")]
    at_most_warnings: Option<usize>,

    /// Also print how many findings each rule has.
    #[arg(long)]
    statistics: bool,

    /// Most characters of a Markdown report; what doesn't fit is counted. 65000 if not given.
    #[arg(long, value_name = "CHARACTERS")]
    limit: Option<usize>,

    /// Put into a JSON report the evidence of each finding and verdict.
    #[arg(long)]
    evidence: bool,

    /// Also list what to ask, and whom: for each promise that isn't settled, the document or measurement that
    /// would settle it.
    #[arg(long)]
    ask: bool,

    /// Compare with an earlier SARIF report: findings that it already held are unchanged and don't count for the
    /// exit status.
    #[arg(long, value_name = "FILE")]
    baseline: Option<PathBuf>,

    /// Show only what is new since this git revision: findings that weren't there or were less severe, and
    /// packages and pages whose verdicts changed. Both states are audited whole; `A...B` means the commit where
    /// the two parted.
    #[arg(long, value_name = "REV")]
    since: Option<String>,

    /// Audit what is staged for the next commit instead of the files as they are.
    #[arg(long)]
    staged: bool,

    /// Leave out files in the folders that match this glob, such as "drafts/**"; may be given several times.
    #[arg(long, value_name = "GLOB")]
    exclude: Vec<String>,

    /// Pass even if no package and no spec sheet was judged.
    #[arg(long)]
    allow_empty: bool,

    /// Keep the verdicts in this file, one line for each promise, for you to commit. If the file exists, the
    /// report says which verdicts changed, and whether the catalog or the program changed.
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,

    /// Don't write the record of --record; exit with status 1 if it would change.
    #[arg(long, requires = "record")]
    check: bool,

    /// Stay, and audit again whenever a file is saved; after the first report, show only findings that are new or
    /// gone. Ctrl-C ends it, with exit status 0.
    #[arg(long, conflicts_with_all = ["format", "output", "stdin_path", "claims", "statistics", "ask", "baseline", "since", "staged", "record", "time_limit"])]
    watch: bool,

    /// Number of threads, at most 256; one for each core if not given. The report doesn't depend on it.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..=super::threads::MOST))]
    pub(super) jobs: Option<u16>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Format {
    /// For people.
    Terminal,
    /// For programs: nameplate-audit/1.
    Json,
    /// For code-scanning tools: SARIF 2.1.0.
    Sarif,
    /// For pipelines that show test results: JUnit XML.
    Junit,
    /// For a comment on a change.
    Markdown,
    /// For the log of a forge's job: workflow commands, a line for each finding, shown beside the change.
    WorkflowCommands,
    /// For a forge that compares issues: code-quality JSON.
    CodeQuality,
    /// For reviewers: pages with pictures, evidence and sources.
    Html,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Reject {
    /// At an error.
    Error,
    /// At a warning or an error.
    Warning,
    /// At any finding.
    Note,
    /// At nothing: the status is 0 whatever is found.
    None,
}

impl Reject {
    pub(super) fn level(self) -> Option<Level> {
        match self {
            Reject::Error => Some(Level::Error),
            Reject::Warning => Some(Level::Warning),
            Reject::Note => Some(Level::Note),
            Reject::None => None,
        }
    }
}

/// A report that goes into a file.
#[derive(Debug, Clone)]
pub(super) struct Report {
    format: Format,
    pub(super) path: PathBuf,
}

impl Audit {
    fn look(&self, least: Level, into_file: bool) -> report::terminal::Look {
        let detail = match (self.quiet, self.verbose) {
            (true, _) => Detail::Lines(least),
            (_, true) => Detail::All,
            _ => Detail::Usual,
        };
        look::of(self.signs, detail, into_file)
    }

    /// Whether a long run shows how far it is: not for who wants little, nor for who listens.
    fn wants_bar(&self) -> bool {
        !self.quiet && !self.read_aloud && Bar::has_room()
    }

    /// The files as they were at a revision.
    fn before(&self, revision: &str, exclude: &GlobSet) -> Result<revise::Before, Failure> {
        if !self.staged {
            super::git::is_whole(&self.paths)?;
        }
        let then = files::read(&self.paths, From::Revision(revision), exclude)?;
        Ok(revise::Before {
            name: revision.to_string(),
            pages: pages::read(&then.inputs)?,
            documents: Some(then.documents),
            inputs: then.inputs,
        })
    }

    /// The reports that go into files, each with its format: those of the command line, else those that the catalog
    /// asks for where all of it is audited.
    fn reports(&self, said: &Said) -> Result<Vec<Report>, Failure> {
        if self.output.is_empty() && self.is_whole() && !self.claims {
            return said.reports();
        }
        let report = |text: &String| Report::of(text, self.format);
        self.output.iter().map(report).collect()
    }

    /// Whether the files as they are are shown as a whole.
    fn is_whole(&self) -> bool {
        self.since.is_none() && !self.staged && self.stdin_path.is_none()
    }

    /// What the run is told beside its texts.
    fn options(
        &self,
        files: files::State,
        reports: &[Report],
    ) -> Result<(Vec<Input>, engine::Options), Failure> {
        let in_files = reports.iter().map(|report| report.format);
        let mut options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
            ask: self.ask,
            documents: Some(files.documents),
            left_out: files.left_out,
            pages: pages::read(&files.inputs)?,
            baseline: self.baseline.as_deref().map(earlier).transpose()?,
            charts: in_files.chain(self.format).any(|one| one == Format::Html),
            progress: self.wants_bar().then(Arc::default),
            record: self.record.as_deref().map(recorded).transpose()?,
            package: self.package.clone(),
            ..engine::Options::default()
        };
        self.choice.clone().put(&mut options)?;
        Ok((files.inputs, options))
    }

    /// Standard input, where `-` is among the paths, which then names the file it stands for.
    fn handed(&mut self) -> Result<Option<files::Handed>, Failure> {
        let is_dash = |path: &PathBuf| path.as_os_str() == "-";
        let dashes = self.paths.iter().filter(|path| is_dash(path)).count();
        match (dashes, &self.stdin_path) {
            (0, None) => Ok(None),
            (0, Some(_)) => Err(Failure::Arguments(
                "--stdin-path is the file that standard input stands for; `-` among the paths is standard input".into(),
            )),
            (_, None) => Err(Failure::Arguments(
                "`-` is standard input; --stdin-path FILE says which file it stands for".into(),
            )),
            (_, Some(_)) if dashes > 1 || self.staged => Err(Failure::Arguments(
                "standard input stands for one file, and for none of those that are staged".into(),
            )),
            (_, Some(path)) => {
                let path = path.clone();
                let handed = files::Handed::read(&path)?;
                for one in self.paths.iter_mut().filter(|path| is_dash(path)) {
                    one.clone_from(&path);
                }
                Ok(Some(handed))
            }
        }
    }

    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being done at all.
    pub(crate) fn run(mut self) -> Result<u8, Failure> {
        let limit = self.time_limit.map(Limit::start);
        let began = std::time::Instant::now();
        let handed = self.handed()?;
        let exclude = files::globs(&self.exclude)?;
        let from = match &handed {
            Some(handed) => From::Handed(std::slice::from_ref(handed)),
            None if self.staged => From::Index,
            None => From::Disk,
        };
        if self.watch {
            return self.watch(&exclude);
        }
        let files = files::read(&self.paths, from, &exclude)?;
        let said = Said::of(&files.settings);
        let reports = self.reports(&said)?;
        // What the command line says needn't be agreed upon.
        self.limit = match self.limit {
            None => said.limit()?,
            given => given,
        };
        let jobs = match self.jobs {
            None => said.jobs()?,
            given => given.map(usize::from),
        };
        if let Some(jobs) = jobs {
            // Only the first call counts, and this is the first.
            let _ = rayon::ThreadPoolBuilder::new()
                .num_threads(jobs)
                .build_global();
        }
        self.spare(&reports, &files)?;
        let before = self.since.as_deref().map(|rev| self.before(rev, &exclude));
        let before = before.transpose()?;
        let (inputs, options) = self.options(files, &reports)?;
        let bar = options.progress.clone().and_then(Bar::watch);
        let outcome = match before {
            Some(before) => revise::since(inputs, before, &options),
            None => engine::audit(inputs, &options),
        };
        self.judged(&outcome)?;
        // Each stands for itself, so they are written side by side.
        let written: Vec<Written> = reports
            .par_iter()
            .map(|report| self.written(&outcome, report))
            .collect::<Result<_, _>>()?;
        let shown = self.shown(&outcome, &reports)?;
        if let Some(bar) = bar {
            bar.stop();
        }
        if let Some(limit) = limit {
            limit.reach()?;
        }
        for (report, written) in reports.iter().zip(&written) {
            written.put(&report.path)?;
        }
        if let Some(shown) = shown {
            output::print(&shown)?;
        }
        let is_kept = self.keep(&outcome)?;
        self.tell(&outcome, began)?;
        let is_rejected = self.rejecting(&outcome).is_some();
        Ok(if is_rejected || !is_kept {
            FOUND
        } else {
            SOUND
        })
    }

    /// Audits the files, and again whenever they change; says what is new and what is gone.
    fn watch(&self, exclude: &GlobSet) -> Result<u8, Failure> {
        let mut watched = Watched::of(&self.paths);
        let mut memo = engine::Memo::new();
        let (mut said, mut is_told) = (None, false);
        loop {
            match self.look_again(&mut watched, exclude, &mut memo, &mut said) {
                Ok(Some(text)) => output::print(&text)?,
                Ok(None) => {}
                // What can't be read at first is no catalog; later it may be again after the next save.
                Err(failure) if said.is_none() => return Err(failure),
                Err(failure) => output::tell(&failure.to_string()),
            }
            if !is_told {
                output::tell("watching; Ctrl-C ends it");
                is_told = true;
            }
            if !watched.wait() {
                return Ok(SOUND);
            }
        }
    }

    /// One audit of those: the report of the first, and the news of all others.
    fn look_again(
        &self,
        watched: &mut Watched,
        exclude: &GlobSet,
        memo: &mut engine::Memo,
        said: &mut Option<Lines>,
    ) -> Result<Option<String>, Failure> {
        let look = self.look(Level::Note, false);
        let files = files::read(&self.paths, From::Disk, exclude)?;
        watched.take(&self.paths, &files);
        let (inputs, mut options) = self.options(files, &[])?;
        options.progress = None;
        let audited = catch_unwind(AssertUnwindSafe(|| {
            memo.audit(inputs, &options);
        }));
        audited.map_err(|payload| Failure::Fault(super::message(&*payload)))?;
        Ok(memo.outcome().and_then(|outcome| match said {
            Some(said) => report::terminal::news(outcome, said, look),
            None => {
                *said = Some(Lines::of(outcome, look));
                Some(self.text(outcome, Format::Terminal, false))
            }
        }))
    }

    /// What goes to standard output: a report that no file takes, else the counts.
    fn shown(
        &self,
        outcome: &engine::Outcome,
        reports: &[Report],
    ) -> Result<Option<String>, Failure> {
        let takes_format = self.output.iter().any(|text| explicit(text).is_none());
        let into_file = !reports.is_empty();
        let shown = match (self.format, self.output.is_empty()) {
            (Some(Format::Html), _)
                if !takes_format && report::html::Folder::is_needed(outcome) =>
            {
                return Err(Failure::Unanswerable(format!(
                    "a report in HTML on more than {} packages is a folder of pages, so it needs --output FILE",
                    report::html::MOST
                )));
            }
            (Some(format), _) if !takes_format => Some(self.text(outcome, format, into_file)),
            (_, true) => Some(self.text(outcome, Format::Terminal, false)),
            (None, false) => Some(format!(
                "{}\n",
                report::terminal::safe(&report::summary(outcome))
            )),
            (Some(_), false) => None,
        };
        Ok(shown)
    }

    /// A report as it goes into a file.
    fn written<'o>(
        &self,
        outcome: &'o engine::Outcome,
        report: &Report,
    ) -> Result<Written<'o>, Failure> {
        let pages = output::pages_of(&report.path);
        let name = |path: &Path| {
            let name = path.file_name().unwrap_or_default();
            name.to_string_lossy().into_owned()
        };
        if report.format == Format::Html
            && let Some(folder) =
                report::html::Folder::of(outcome, &name(&report.path), &name(&pages))
        {
            output::only_pages(&pages)?;
            return Ok(Written::Pages(folder));
        }
        Ok(Written::Text(self.text(outcome, report.format, true)))
    }

    /// What is told beside the reports: how long it took, and how many findings each rule has.
    fn tell(&self, outcome: &engine::Outcome, began: std::time::Instant) -> Result<(), Failure> {
        let is_for_people = self.format.is_none_or(|format| format == Format::Terminal);
        if is_for_people {
            output::elapsed(began.elapsed());
        }
        let statistics = self
            .statistics
            .then(|| report::terminal::statistics(outcome));
        match statistics {
            // A program that reads standard output reads one report and no more.
            Some(text) if !is_for_people => output::tell_lines(&text),
            Some(text) => output::print(&text)?,
            None => {}
        }
        Ok(())
    }

    /// That nothing that was read is written over by a report, and no report by another.
    fn spare(&self, reports: &[Report], files: &files::State) -> Result<(), Failure> {
        let read = files.inputs.iter().map(|input| PathBuf::from(&input.path));
        let named = [&self.baseline, &self.record]
            .into_iter()
            .flatten()
            .cloned();
        let documents = files.documents.iter().map(PathBuf::from);
        let mut written: Vec<&Path> = reports.iter().map(|one| one.path.as_path()).collect();
        output::spare(&written, read.chain(named).chain(documents))?;
        written.clear();
        written.extend(self.record.as_deref());
        let texts = files.inputs.iter().map(|input| PathBuf::from(&input.path));
        output::spare(&written, texts.chain(self.baseline.clone()))
    }

    /// That something was judged, and that it knows the package asked for.
    fn judged(&self, outcome: &engine::Outcome) -> Result<(), Failure> {
        let partial = outcome.partial.as_ref();
        let judged = partial.map_or(outcome.summary.packages, |all| all.packages);
        let sheets = partial.map_or(outcome.summary.sheets, |all| all.sheets);
        let is_rejected = self.rejecting(outcome).is_some();
        if judged == 0 && sheets == 0 && !self.allow_empty && !is_rejected {
            return Err(match outcome.summary.catalogs {
                0 => Failure::nothing(&self.paths),
                _ => Failure::no_package(&self.paths),
            });
        }
        match &self.package {
            // A partial report doesn't show all packages there are.
            Some(id) if partial.is_none() => knows(outcome, id),
            _ => Ok(()),
        }
    }

    /// The lowest level of finding that rejects the catalogs, where they are.
    fn rejecting(&self, outcome: &engine::Outcome) -> Option<Level> {
        let warnings = outcome.findings.iter();
        let warnings = warnings.filter(|one| one.level == Level::Warning && one.counts());
        let are_many = self
            .at_most_warnings
            .is_some_and(|most| warnings.count() > most);
        let by_count = are_many.then_some(Level::Warning);
        let by_level = self.reject_at.level().filter(|level| outcome.fails(*level));
        match (by_count, by_level) {
            (Some(a), Some(b)) => Some(a.min(b)),
            (one, other) => one.or(other),
        }
    }

    /// The report in a format.
    fn text(&self, outcome: &engine::Outcome, format: Format, into_file: bool) -> String {
        let least = match self.rejecting(outcome) {
            Some(level) => level.min(Level::Error),
            None => Level::Error,
        };
        let look = self.look(least, into_file);
        match format {
            Format::Terminal if self.claims => report::terminal::claims(outcome, look),
            Format::Json if self.evidence => report::json::render(outcome),
            Format::Json => report::json::brief(outcome),
            Format::Terminal if self.read_aloud => report::terminal::read_aloud(outcome, look),
            Format::Terminal => report::terminal::render(outcome, look),
            Format::Sarif => report::sarif::render(outcome),
            Format::Junit => report::junit::render(outcome, self.reject_at.level()),
            Format::Markdown => {
                let limit = self.limit.unwrap_or(report::markdown::LIMIT);
                report::markdown::render(outcome, limit)
            }
            Format::WorkflowCommands => report::workflow_commands::render(outcome),
            Format::CodeQuality => report::code_quality::render(outcome),
            Format::Html => report::html::render(outcome),
        }
    }

    /// Keeps the record, or only looks whether it is what it would be; whether it is.
    fn keep(&self, outcome: &engine::Outcome) -> Result<bool, Failure> {
        let (Some(path), Some(kept)) = (&self.record, &outcome.record) else {
            return Ok(true);
        };
        let text = report::record::render(&kept.lines);
        if !self.check {
            return output::write(path, &text).map(|()| true);
        }
        let is_same = path.exists() && files::text(path)? == text;
        if !is_same {
            output::tell(&format!(
                "{} would change; run without --check to write it",
                files::shown(path)
            ));
        }
        Ok(is_same)
    }
}

/// A report on its way into a file.
enum Written<'o> {
    Text(String),
    /// An index, and pages that are made as they are written.
    Pages(report::html::Folder<'o>),
}

impl Written<'_> {
    fn put(&self, path: &Path) -> Result<(), Failure> {
        let pages = output::pages_of(path);
        match self {
            Written::Text(text) => output::write(path, text),
            Written::Pages(folder) => {
                output::write_pages(&pages, folder.len(), |number| folder.page(number))?;
                output::write(path, &folder.index())
            }
        }
    }
}

/// What `FORMAT=FILE` says.
fn explicit(text: &str) -> Option<Report> {
    let (format, file) = text.split_once('=')?;
    let format = <Format as clap::ValueEnum>::from_str(format, false).ok()?;
    let path = PathBuf::from(file);
    Some(Report { format, path })
}

/// What stands before the `=` of a text that can only be meant as `FORMAT=FILE`.
fn meant_as_format(text: &str) -> Option<&str> {
    let is_word = |name: &&str| {
        name.bytes()
            .all(|byte| byte.is_ascii_lowercase() || byte == b'-')
    };
    text.split_once('=')
        .map(|(format, _)| format)
        .filter(is_word)
}

impl Report {
    /// What `FORMAT=FILE` says, or a file's name: in the format `otherwise`, else the one that its ending stands for.
    ///
    /// # Errors
    /// There is no such format.
    pub(super) fn of(text: &str, otherwise: Option<Format>) -> Result<Report, Failure> {
        if let Some(report) = explicit(text) {
            return Ok(report);
        }
        if let Some(format) = meant_as_format(text) {
            let all = <Format as clap::ValueEnum>::value_variants().iter();
            let all = all.filter_map(clap::ValueEnum::to_possible_value);
            let all: Vec<String> = all.map(|one| one.get_name().to_string()).collect();
            return Err(Failure::Arguments(format!(
                "`{format}` in --output {text} is no format; the formats are {}. A file of this name is `./{text}`.",
                all.join(", ")
            )));
        }
        let path = PathBuf::from(text);
        let format = otherwise.unwrap_or_else(|| Format::by_ending(&path));
        Ok(Report { format, path })
    }
}

impl Format {
    /// The format that the ending of a file's name stands for; the terminal's for any other.
    fn by_ending(path: &Path) -> Format {
        let ending = path
            .extension()
            .map(|ending| ending.to_string_lossy().to_lowercase());
        match ending.as_deref() {
            Some("json") => Format::Json,
            Some("sarif") => Format::Sarif,
            Some("xml") => Format::Junit,
            Some("md" | "markdown") => Format::Markdown,
            Some("html" | "htm") => Format::Html,
            _ => Format::Terminal,
        }
    }
}

/// Whether a catalog of the run has the package that sheets were said to be about.
fn knows(outcome: &engine::Outcome, id: &str) -> Result<(), Failure> {
    let on = format!("package.{id}");
    let mut packages = outcome
        .catalogs
        .iter()
        .filter(|one| !one.is_sheet)
        .flat_map(engine::Audited::packages);
    if packages.any(|package| package.on == on) {
        return Ok(());
    }
    Err(Failure::Unanswerable(match outcome.summary.catalogs {
        0 => format!(
            "--package {id} needs the catalog that has the package: name its folder or file as well"
        ),
        _ => format!("no catalog of this run has a package {id}"),
    }))
}

/// The record at `path`, without a verdict where there is no such file yet.
fn recorded(path: &Path) -> Result<engine::Record, Failure> {
    let folder = path.parent().unwrap_or(Path::new(""));
    let lines = match path.exists() {
        false => Vec::new(),
        true => report::record::read(&files::text(path)?).map_err(|why| Failure::Unreadable {
            path: path.display().to_string(),
            why,
        })?,
    };
    Ok(engine::Record {
        lines,
        here: files::shown(&files::absolute(Path::new("."))),
        folder: files::shown(&files::absolute(folder)),
    })
}

/// The earlier run whose SARIF report is at `path`.
fn earlier(path: &Path) -> Result<engine::Baseline, Failure> {
    let text = files::text(path)?;
    report::sarif::read_baseline(&text).map_err(|why| Failure::Unreadable {
        path: path.display().to_string(),
        why,
    })
}
