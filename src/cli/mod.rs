//! The command line.

use std::process::ExitCode;

/// Runs the program.
pub fn run() -> ExitCode {
    ExitCode::SUCCESS
}
