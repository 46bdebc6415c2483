//! `nameplate audit`: the main job.

use std::path::PathBuf;

use super::{FOUND, Failure, SOUND, files, output};
use crate::engine;
use crate::finding::Level;
use crate::report;

/// Check catalogs and report what can't be true, with the physics behind it.
#[derive(Debug, clap::Args)]
pub struct Audit {
    /// Folders with a catalog.toml, or TOML files with a [catalog] table.
    #[arg(required = true, value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// How to show what was found.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the report to a file instead of standard output, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// The day that waivers are held to, as 2026-05-02; today unless given.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,

    /// Threads to work with; the report is the same for any number. As many as there are cores
    /// unless given.
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
}

impl Audit {
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
        let inputs = files::inputs(&self.paths)?;
        let options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
        };
        let outcome = engine::audit(inputs, &options);
        if outcome.summary.catalogs == 0 {
            let paths: Vec<String> = self
                .paths
                .iter()
                .map(|path| path.display().to_string())
                .collect();
            return Err(Failure::NothingToAudit(paths.join(", ")));
        }
        let text = match self.format {
            Format::Json => report::json::render(&outcome),
            Format::Terminal | Format::Sarif => report::json::render(&outcome),
        };
        match &self.output {
            Some(path) => output::write(path, &text)?,
            None => output::print(&text)?,
        }
        Ok(if outcome.fails(Level::Error) {
            FOUND
        } else {
            SOUND
        })
    }
}
