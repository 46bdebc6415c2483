//! `nameplate revise`: what a change to catalogs did.

use std::path::{Path, PathBuf};

use super::audit::Reject;
use super::choice::Choice;
use super::files::From;
use super::look::Signs;
use super::{FOUND, Failure, SOUND, files, git, look, output, pages};
use crate::engine;
use crate::report::revision as told;
use crate::report::terminal::Detail;
use crate::revise::{self, Side};

/// Report what a change to catalogs did: which facts and verdicts changed, and which fact changed a verdict.
///
/// OLD and NEW are folders or files, or git revisions of a catalog. Facts are compared, not lines: comments,
/// order and file names don't matter, and a figure in another unit is reported as the same. The cause of a
/// changed verdict is found by judging the old catalog again with one change at a time.
///
/// The exit status is 0 if nothing got worse, 1 if a verdict did or if there is a new or more severe finding at
/// the level of --reject-at or above, and 2 if the two couldn't be compared.
#[derive(Debug, clap::Args)]
pub struct Revise {
    /// The earlier state: a folder or file of that name, else a git revision.
    #[arg(value_name = "OLD")]
    old: String,

    /// The later state, likewise. May be left out after a revision: then the files as they are.
    #[arg(value_name = "NEW")]
    new: Option<String>,

    /// The folder or file of the catalog whose revisions are compared; may be given several times. The
    /// current folder unless given, or OLD or NEW where one of them is a path.
    #[arg(long, value_name = "PATH")]
    catalog: Vec<PathBuf>,

    /// What OLD and NEW are, where a name could be both.
    #[arg(long, value_enum, default_value_t = Reading::Auto, value_name = "WHAT")]
    take_as: Reading,

    /// Format of the report.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the report to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    signs: Signs,

    /// Also list the promises that keep their verdicts with other figures in the terminal report.
    #[arg(short, long)]
    verbose: bool,

    /// Date to which waivers of both states are compared, such as 2026-05-02; today if not given.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,

    #[command(flatten)]
    choice: Choice,

    /// The lowest level of a new or more severe finding that counts as worse; with none the status is 0 even if
    /// something got worse.
    #[arg(long, value_enum, default_value_t = Reject::Error, value_name = "LEVEL")]
    reject_at: Reject,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Reading {
    /// A path where there is such a file or folder, else a revision.
    Auto,
    /// Folders or files.
    Paths,
    /// Git revisions.
    Revisions,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// For people.
    Terminal,
    /// For programs: nameplate-revision/1.
    Json,
    /// For a comment on a change.
    Markdown,
    /// For reviewers: one page.
    Html,
}

/// Where a state comes from.
enum State {
    Path(PathBuf),
    Revision(String),
    /// The files of the catalog as they are.
    Now,
}

impl Revise {
    /// What OLD or NEW names.
    fn state(&self, word: &str) -> State {
        let is_path = match self.take_as {
            Reading::Auto => Path::new(word).exists(),
            Reading::Paths => true,
            Reading::Revisions => false,
        };
        if is_path {
            State::Path(word.into())
        } else {
            State::Revision(word.into())
        }
    }

    /// The texts of both states.
    fn sides(&self) -> Result<(Side, Side), Failure> {
        let old = self.state(&self.old);
        let new = match &self.new {
            Some(word) => self.state(word),
            None => State::Now,
        };
        let paths = match (&old, &new) {
            (State::Path(_), State::Now) => {
                return Err(Failure::Arguments(
                    "with a path as OLD a NEW is needed; for what changed since a revision, name the revision".into(),
                ));
            }
            (State::Path(path), State::Revision(_)) | (State::Revision(_), State::Path(path))
                if self.catalog.is_empty() =>
            {
                vec![path.clone()]
            }
            (State::Path(_), _) | (_, State::Path(_)) if !self.catalog.is_empty() => {
                return Err(Failure::Arguments(
                    "--catalog is for revisions; here OLD or NEW is a path and says itself which catalog is meant".into(),
                ));
            }
            _ if self.catalog.is_empty() => vec![PathBuf::from(".")],
            _ => self.catalog.clone(),
        };
        if matches!((&old, &new), (State::Revision(_), State::Now)) {
            git::is_whole(&paths)?;
        }
        Ok((self.side(old, &paths)?, self.side(new, &paths)?))
    }

    fn side(&self, state: State, paths: &[PathBuf]) -> Result<Side, Failure> {
        let root = |paths: &[PathBuf]| match paths {
            [one] => files::shown(one).trim_end_matches('/').to_string(),
            _ => String::new(),
        };
        let (name, paths, from) = match &state {
            State::Path(path) => (files::shown(path), std::slice::from_ref(path), From::Disk),
            State::Now => ("the files as they are".into(), paths, From::Disk),
            State::Revision(word) => (word.clone(), paths, From::Revision(word)),
        };
        let read = files::read(paths, from, &globset::GlobSet::empty());
        let read = read.map_err(|failure| match failure {
            // Whoever meant a path is told that it isn't there.
            Failure::Revision(why)
                if self.take_as == Reading::Auto && matches!(state, State::Revision(_)) =>
            {
                Failure::Revision(format!("there is no file or folder `{name}`, and {why}"))
            }
            other => other,
        })?;
        Ok(Side {
            root: root(paths),
            name,
            pages: pages::read(&read.inputs)?,
            inputs: read.inputs,
            documents: Some(read.documents),
        })
    }

    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being done at all.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let (old, new) = self.sides()?;
        let read = old.inputs.iter().chain(&new.inputs);
        let written: Vec<&Path> = self.output.as_deref().into_iter().collect();
        output::spare(&written, read.map(|input| PathBuf::from(&input.path)))?;
        let both_are_there = self.new.is_some()
            && [Some(&self.old), self.new.as_ref()]
                .into_iter()
                .flatten()
                .all(|word| matches!(self.state(word), State::Path(_)));
        let mut options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
            ..engine::Options::default()
        };
        let level = self.reject_at.level();
        let detail = if self.verbose {
            Detail::All
        } else {
            Detail::Usual
        };
        let look = look::of(self.signs, detail, self.output.is_some());
        self.choice.put(&mut options)?;
        let revision = revise::revise(old, new, &options);
        let catalogs = [&revision.old, &revision.new].map(|one| one.outcome.summary.catalogs);
        let nothing = |state: &revise::State| Failure::nothing(&[PathBuf::from(&state.name)]);
        // A catalog may be new since a revision; but a path without one is a mistake.
        if catalogs[0] == 0 && (both_are_there || catalogs[1] == 0) {
            return Err(nothing(&revision.old));
        }
        if catalogs[1] == 0 && both_are_there {
            return Err(nothing(&revision.new));
        }
        let text = match self.format {
            Format::Terminal => told::terminal::render(&revision, look),
            Format::Json => told::json::render(&revision),
            Format::Markdown => told::markdown::render(&revision),
            Format::Html => told::html::render(&revision),
        };
        match &self.output {
            Some(path) => output::write(path, &text)?,
            None => output::print(&text)?,
        }
        let worse = level.is_some_and(|level| revision.is_worse(level));
        Ok(if worse { FOUND } else { SOUND })
    }
}
