//! `nameplate audit`: the main job.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use globset::GlobSet;

use super::choice::Choice;
use super::files::From;
use super::limit::Limit;
use super::look::Color;
use super::progress::Bar;
use super::{FOUND, Failure, SOUND, files, look, output, pages};
use crate::engine;
use crate::finding::Level;
use crate::report;
use crate::report::terminal::Detail;
use crate::revise;

/// Check what catalogs and spec sheets promise against the physics, and report what can't be true.
///
/// Each promise gets a verdict: supported, undecided or contradicted. Each finding says what is wrong, how
/// to mend it and what it rests on. The exit status is 0 if no finding is at or above the level of
/// --reject-at, which is error unless given, 1 if there is one, and 2 if the audit couldn't be done.
#[derive(Debug, clap::Args)]
pub struct Audit {
    /// Folders that hold a catalog.toml, single TOML files with a [catalog] table, or spec sheets: Markdown,
    /// HTML, plain text, CSV and PDF.
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// How to write what was found.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the report to this file instead of standard output; it is written whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Whether the terminal report has colours; `auto` looks at the terminal and at NO_COLOR.
    #[arg(long, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    color: Color,

    /// Write the terminal report in ASCII only, also where the terminal could show more.
    #[arg(long)]
    ascii: bool,

    /// Write the terminal report for the ear: one sentence after another, without tables, lines and signs.
    #[arg(long)]
    read_aloud: bool,

    /// Show only errors and the counts in the terminal report.
    #[arg(short, long, conflicts_with = "verbose")]
    quiet: bool,

    /// Show all evidence, notes in full and the lines around each place in the terminal report.
    #[arg(short, long)]
    verbose: bool,

    /// The day that waivers are held to, like 2026-05-02; today unless given.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,

    /// End with exit status 2 if the audit takes longer than this; then nothing is written.
    #[arg(long, value_name = "SECONDS", value_parser = super::limit::parse)]
    time_limit: Option<f64>,

    /// The package that the spec sheets are about: those named on the command line, or all where none is. A sheet
    /// can also say it itself, or the catalog in a [[sheet]] table.
    #[arg(long, value_name = "ID")]
    package: Option<String>,

    /// Show what was read of the spec sheets, figure by figure with its place, in place of the findings.
    #[arg(long, conflicts_with_all = ["format", "read_aloud"])]
    claims: bool,

    #[command(flatten)]
    choice: Choice,

    /// The lowest level of finding at which the catalogs are rejected, with exit status 1.
    #[arg(long, value_enum, default_value_t = Reject::Error, value_name = "LEVEL")]
    reject_at: Reject,

    /// Also list what to ask whom: for each promise that isn't settled, the document or measurement that
    /// would settle it.
    #[arg(long)]
    ask: bool,

    /// Hold this run against an earlier SARIF report: what it held already is unchanged and fails nothing,
    /// the rest is new.
    #[arg(long, value_name = "FILE")]
    baseline: Option<PathBuf>,

    /// Show only what is new since this git revision: findings that weren't there, or were milder, and the
    /// packages and pages whose verdicts are others. Both states are audited as a whole; `A...B` is where
    /// the two parted.
    #[arg(long, value_name = "REV")]
    since: Option<String>,

    /// Audit what is staged for the next commit, whatever the files hold that isn't.
    #[arg(long)]
    staged: bool,

    /// Leave out what this glob names within the folders, such as "drafts/**"; may be given several times.
    #[arg(long, value_name = "GLOB")]
    exclude: Vec<String>,

    /// Let an audit pass that judged no package and no spec sheet.
    #[arg(long)]
    allow_empty: bool,

    /// Keep the verdicts in this file, a line for each promise, to be committed. If it is there already, the
    /// report tells which verdicts changed since, and whether the catalog changed or the program did.
    #[arg(long, value_name = "FILE")]
    record: Option<PathBuf>,

    /// How many threads to work with; one for each core unless given. The report is the same for any
    /// number.
    #[arg(long, value_name = "COUNT", value_parser = clap::value_parser!(u16).range(1..))]
    jobs: Option<u16>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
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
    /// For reviewers: one page with pictures, evidence and sources.
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

impl Audit {
    fn look(&self) -> report::terminal::Look {
        let detail = match (self.quiet, self.verbose) {
            (true, _) => Detail::Errors,
            (_, true) => Detail::All,
            _ => Detail::Usual,
        };
        look::of(self.color, self.ascii, detail, self.output.is_some())
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

    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being done at all.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        if let Some(jobs) = self.jobs {
            // Only the first call counts, and this is the first.
            let _ = rayon::ThreadPoolBuilder::new()
                .num_threads(usize::from(jobs))
                .build_global();
        }
        let limit = self.time_limit.map(Limit::start);
        let began = std::time::Instant::now();
        let exclude = files::globs(&self.exclude)?;
        let from = if self.staged { From::Index } else { From::Disk };
        let files = files::read(&self.paths, from, &exclude)?;
        let inputs = files.inputs;
        let before = self.since.as_deref().map(|rev| self.before(rev, &exclude));
        let before = before.transpose()?;
        let mut options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
            ask: self.ask,
            documents: Some(files.documents),
            left_out: files.left_out,
            pages: pages::read(&inputs)?,
            baseline: self.baseline.as_deref().map(earlier).transpose()?,
            charts: self.format == Format::Html,
            progress: self.wants_bar().then(Arc::default),
            record: self.record.as_deref().map(recorded).transpose()?,
            package: self.package.clone(),
            ..engine::Options::default()
        };
        let look = self.look();
        self.choice.put(&mut options)?;
        let bar = options.progress.clone().map(Bar::watch);
        let outcome = match before {
            Some(before) => revise::since(inputs, before, &options),
            None => engine::audit(inputs, &options),
        };
        let judged = outcome
            .partial
            .as_ref()
            .map_or(outcome.summary.packages, |all| all.packages);
        let is_nothing = judged == 0 && outcome.summary.sheets == 0;
        let level = self.reject_at.level();
        if is_nothing && !self.allow_empty && !level.is_some_and(|level| outcome.fails(level)) {
            return Err(match outcome.summary.catalogs {
                0 => Failure::nothing(&self.paths),
                _ => Failure::no_package(&self.paths),
            });
        }
        if let Some(id) = &self.package {
            knows(&outcome, id)?;
        }
        let text = match self.format {
            Format::Terminal if self.claims => report::terminal::claims(&outcome, look),
            Format::Json => report::json::render(&outcome),
            Format::Terminal if self.read_aloud => report::terminal::read_aloud(&outcome, look),
            Format::Terminal => report::terminal::render(&outcome, look),
            Format::Sarif => report::sarif::render(&outcome),
            Format::Junit => report::junit::render(&outcome, self.reject_at.level()),
            Format::Markdown => report::markdown::render(&outcome),
            Format::WorkflowCommands => report::workflow_commands::render(&outcome),
            Format::CodeQuality => report::code_quality::render(&outcome),
            Format::Html => report::html::render(&outcome),
        };
        if let Some(bar) = bar {
            bar.stop();
        }
        if let Some(limit) = limit {
            limit.reach()?;
        }
        if let (Some(path), Some(kept)) = (&self.record, &outcome.record) {
            output::write(path, &report::record::render(&kept.lines))?;
        }
        match &self.output {
            Some(path) => output::write(path, &text)?,
            None => output::print(&text)?,
        }
        if self.format == Format::Terminal {
            output::elapsed(began.elapsed());
        }
        let rejected = self
            .reject_at
            .level()
            .is_some_and(|level| outcome.fails(level));
        Ok(if rejected { FOUND } else { SOUND })
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

/// The verdicts of the record at `path`; none where there is no such file yet.
fn recorded(path: &Path) -> Result<Vec<engine::Recorded>, Failure> {
    if !path.exists() {
        return Ok(Vec::new());
    }
    let text = files::text(path)?;
    report::record::read(&text).map_err(|why| Failure::Unreadable {
        path: path.display().to_string(),
        why,
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
