//! The command line: arguments, files, exit status. The flow itself is the engine's.

mod audit;
mod files;
mod output;
mod today;

use std::io::Write;
use std::process::ExitCode;

use clap::{Parser, Subcommand};

/// Nothing at or above the failing level.
const SOUND: u8 = 0;
/// Findings at or above the failing level.
const FOUND: u8 = 1;
/// Bad arguments, a path that can't be opened, nothing to audit, output that can't be written.
const UNUSABLE: u8 = 2;

/// Checks equipment catalogs of the pond-aeration trade against the physics of air and water.
#[derive(Debug, Parser)]
#[command(
    name = "nameplate",
    version,
    max_term_width = 100,
    arg_required_else_help = true
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    Audit(audit::Audit),
    Schema(Schema),
}

/// Print a JSON Schema, or the table of units.
#[derive(Debug, clap::Args)]
struct Schema {
    /// What to print: `catalog` (a catalog file's schema) or `units` (every unit of the format).
    #[arg(default_value = "catalog", value_parser = ["catalog", "units"])]
    name: String,
}

/// Runs the program.
pub fn run() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(error) => {
            // Help and version go to standard output and are no failure.
            let status = if error.use_stderr() { UNUSABLE } else { SOUND };
            let _ = error.print();
            return ExitCode::from(status);
        }
    };
    let ended = match arguments.command {
        Command::Audit(audit) => audit.run(),
        Command::Schema(schema) => output::print(&schema.text()).map(|()| SOUND),
    };
    match ended {
        Ok(status) => ExitCode::from(status),
        Err(failure) => {
            let _ = writeln!(std::io::stderr(), "nameplate: {failure}");
            ExitCode::from(UNUSABLE)
        }
    }
}

impl Schema {
    fn text(&self) -> String {
        if self.name == "units" {
            return crate::report::units::table();
        }
        let mut text =
            serde_json::to_string_pretty(&crate::catalog::schema::schema()).unwrap_or_default();
        text.push('\n');
        text
    }
}

/// What keeps the program from doing what it was asked; not a fault of a catalog.
#[derive(Debug)]
pub(crate) enum Failure {
    /// A path that can't be read.
    Unreadable {
        /// The path.
        path: String,
        /// Why.
        why: String,
    },
    /// Paths that hold no catalog.
    NothingToAudit(String),
    /// Output that can't be written.
    Unwritable {
        /// Where to.
        path: String,
        /// Why.
        why: String,
    },
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Failure::Unreadable { path, why } => write!(f, "{path} can't be read: {why}"),
            Failure::NothingToAudit(paths) => write!(
                f,
                "there is no catalog in {paths}: a catalog is a folder with a catalog.toml, or a TOML file with a \
                 [catalog] table"
            ),
            Failure::Unwritable { path, why } => write!(f, "{path} can't be written: {why}"),
        }
    }
}
