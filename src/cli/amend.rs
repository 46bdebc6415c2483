//! `nameplate amend`: applies the corrections that findings carry.

use std::io::{IsTerminal, Write};
use std::path::{Path, PathBuf};

use super::choice::Choice;
use super::look::Signs;
use super::{FOUND, Failure, SOUND, UNUSABLE, files, look, output, pages};
use crate::amend::{self, Amended, Scope};
use crate::engine;
use crate::report;
use crate::report::terminal::Detail;

/// Apply the fixes that an audit proposes; everything else in the files stays as it is.
///
/// A safe fix can't change what is meant, and is applied; an offered fix is applied with --offered. The result
/// is audited again, and a fix that doesn't remove its finding is taken back. Each file is written whole or not
/// at all, with its permissions. Links are followed. A file that changed meanwhile, or is read-only, isn't
/// written. A hard link keeps the old text.
///
/// The exit status is 0 if all is done, 1 if a fix was taken back or, with --dry-run, if there is something to
/// write, and 2 if a file couldn't be read or written.
#[derive(Debug, clap::Args)]
pub struct Amend {
    /// Folders that hold a catalog.toml, or single TOML files with a [catalog] table.
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// Also apply fixes that a person should review, such as the nearest ID for an unknown one.
    #[arg(long)]
    offered: bool,

    /// Write nothing; print the changes as a unified diff.
    #[arg(long)]
    dry_run: bool,

    #[command(flatten)]
    choice: Choice,

    #[command(flatten)]
    signs: Signs,

    /// Date to which waivers are compared, such as 2026-05-02; today if not given. Waived findings aren't fixed.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,
}

impl Amend {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being done at all.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let inputs = files::inputs(&self.paths)?;
        let mut options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
            documents: Some(files::documents(&inputs)),
            pages: pages::read(&inputs)?,
            ..engine::Options::default()
        };
        self.choice.put(&mut options)?;
        let scope = if self.offered {
            Scope::Offered
        } else {
            Scope::Sure
        };
        let amended = amend::amend(inputs, &options, scope);
        if amended.before.summary.catalogs == 0 {
            return Err(Failure::nothing(&self.paths));
        }
        if self.dry_run {
            return show(&amended, self.signs);
        }
        let mut amended = amended;
        let mut failures = Vec::new();
        amended.files.retain(|file| {
            match output::replace(Path::new(&file.path), &file.before, &file.after) {
                Ok(()) => true,
                Err(failure) => {
                    failures.push(failure);
                    false
                }
            }
        });
        output::print(&report::terminal::amendment(
            &amended,
            true,
            failures.is_empty(),
            look::of(self.signs, Detail::Usual, false),
        ))?;
        for failure in &failures {
            super::failed(failure);
        }
        Ok(match (failures.is_empty(), amended.refused.is_empty()) {
            (false, _) => UNUSABLE,
            (_, false) => FOUND,
            _ => SOUND,
        })
    }
}

/// The diff on standard output, so that it can be kept and applied, and the rest beside it.
fn show(amended: &Amended, signs: Signs) -> Result<u8, Failure> {
    let terminal = std::io::stdout().is_terminal();
    for file in &amended.files {
        let diff = report::diff::unified(&file.path, &file.before, &file.after);
        if terminal {
            // A catalog's text must not act on a terminal.
            for line in String::from_utf8_lossy(&diff).lines() {
                output::print(&format!("{}\n", report::terminal::safe(line)))?;
            }
        } else {
            output::print_bytes(&diff)?;
        }
    }
    let look = look::of(signs, Detail::Usual, true);
    let _ = std::io::stderr()
        .write_all(report::terminal::amendment(amended, false, true, look).as_bytes());
    Ok(if amended.files.is_empty() && amended.refused.is_empty() {
        SOUND
    } else {
        FOUND
    })
}
