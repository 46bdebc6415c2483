//! The command line: arguments, files, exit status. The flow itself is the engine's.

mod amend;
mod asking;
mod audit;
mod audit_table;
mod choice;
mod contained;
mod convert;
mod desk;
mod disk;
mod duty;
mod feed;
mod editor;
mod files;
mod gauge;
mod git;
mod guide;
mod intake;
mod limit;
mod limits;
mod look;
mod new;
mod output;
mod pages;
mod pond;
mod progress;
mod revise;
mod rulebook;
mod sheet;
mod shell;
mod signals;
mod sweep;
mod threads;
mod today;
mod watched;

use std::io::Write;
use std::process::ExitCode;

use clap::error::{ContextKind, ContextValue, ErrorKind};
use clap::{Parser, Subcommand};

use crate::catalog::schema;
use crate::report;

/// Nothing at or above the failing level.
const SOUND: u8 = 0;
/// Findings at or above the failing level.
const FOUND: u8 = 1;
/// Bad arguments, a path that can't be opened, nothing to audit, output that can't be written.
const UNUSABLE: u8 = 2;

/// Checks equipment catalogs and spec sheets of the pond-aeration trade against the physics of air and water.
#[derive(Debug, Parser)]
#[command(
    name = "nameplate",
    version,
    max_term_width = 100,
    arg_required_else_help = true,
    after_help = "Begin with `nameplate new FOLDER`, and read `nameplate guide start`."
)]
struct Arguments {
    #[command(subcommand)]
    command: Command,

    /// The largest file that is read, in MiB; 256 at most.
    #[arg(long, global = true, value_name = "MIB", default_value_t = files::USUAL, value_parser = clap::value_parser!(u16).range(1..=files::GREATEST))]
    max_size: u16,
}

#[derive(Debug, Subcommand)]
enum Command {
    New(new::New),
    Audit(audit::Audit),
    Editor(editor::Editor),
    Amend(amend::Amend),
    Revise(revise::Revise),
    Rulebook(rulebook::Rulebook),
    Duty(duty::DutyPoint),
    Limits(limits::Limits),
    Sweep(sweep::Sweep),
    Gauge(gauge::Gauge),
    Convert(convert::Convert),
    Pond(pond::Pond),
    Sheet(sheet::SpecSheet),
    Desk(desk::OpenDesk),
    Intake(intake::Intake),
    Feed(feed::Feed),
    Guide(guide::Guide),
    Schema(Schema),
    Completions(shell::Completions),
    Man(shell::ManPages),
    #[cfg(feature = "pdf")]
    #[command(hide = true)]
    ReadPages(pages::ReadPages),
    #[command(hide = true)]
    ReadTable(intake::ReadTable),
}

/// Print a JSON Schema, or the table of units.
#[derive(Debug, clap::Args)]
struct Schema {
    /// Which one.
    #[arg(value_enum, default_value_t = Printed::Catalog, value_name = "NAME")]
    name: Printed,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Printed {
    /// The JSON Schema of a catalog's file, for an editor.
    Catalog,
    /// Every unit of the format with its size, as a table.
    Units,
    /// The JSON Schema of what `audit --format json` writes.
    Audit,
    /// The JSON Schema of what `duty --format json` writes.
    Duty,
    /// The JSON Schema of what `limits --format json` writes.
    Limits,
    /// The JSON Schema of what `sweep --format json` writes.
    Sweep,
    /// The JSON Schema of what `gauge --format json` writes.
    Gauge,
    /// The JSON Schema of a pond file, for an editor.
    Pond,
    /// The JSON Schema of what `pond --format json` writes.
    PondAnswer,
    /// The JSON Schema of a table's mapping, for an editor.
    Mapping,
    /// The JSON Schema of what `intake --format json` writes.
    Intake,
    /// The JSON Schema of a line of what `audit --record` keeps.
    Record,
    /// The JSON Schema of what `revise --format json` writes.
    #[value(alias = "revise")]
    Revision,
}

/// Runs the program.
pub fn run() -> ExitCode {
    // A fault of the program is told in a sentence like any other, and one of a file alone stays with the file.
    std::panic::set_hook(Box::new(|_| {}));
    let ended = std::panic::catch_unwind(asked);
    match ended.unwrap_or_else(|payload| Err(Failure::Fault(message(&*payload)))) {
        Ok(status) => ExitCode::from(status),
        Err(failure) => failed(&failure),
    }
}

/// Does what the arguments ask for; the exit status.
fn asked() -> Result<u8, Failure> {
    signals::refuse_and_go_on();
    match Arguments::try_parse() {
        Ok(arguments) => {
            files::limit(arguments.max_size);
            let jobs = arguments.command.jobs();
            threads::with(jobs, || arguments.command.run())
        }
        // Nothing was asked: the commands are what is wanted.
        Err(error) if error.kind() == ErrorKind::DisplayHelpOnMissingArgumentOrSubcommand => {
            let _ = error.print();
            Ok(UNUSABLE)
        }
        Err(error) if error.use_stderr() => Err(Failure::Arguments(misuse(&error))),
        // Help and version go to standard output and are no failure.
        Err(error) => {
            let _ = error.print();
            Ok(SOUND)
        }
    }
}

impl Command {
    /// How many threads are asked for; one is enough for who reads a single file in a process of its own.
    fn jobs(&self) -> Option<u16> {
        match self {
            Command::Audit(audit) => audit.jobs,
            #[cfg(feature = "pdf")]
            Command::ReadPages(_) => Some(1),
            Command::ReadTable(_) => Some(1),
            _ => None,
        }
    }

    fn run(self) -> Result<u8, Failure> {
        match self {
            Command::New(new) => new.run(),
            Command::Audit(audit) => audit.run(),
            Command::Editor(editor) => editor.run(),
            Command::Amend(amend) => amend.run(),
            Command::Revise(revise) => revise.run(),
            Command::Rulebook(rulebook) => rulebook.run(),
            Command::Duty(duty) => duty.run(),
            Command::Limits(limits) => limits.run(),
            Command::Sweep(sweep) => sweep.run(),
            Command::Gauge(gauge) => gauge.run(),
            Command::Convert(convert) => convert.run(),
            Command::Pond(pond) => pond.run(),
            Command::Sheet(sheet) => sheet.run(),
            Command::Desk(desk) => desk.run(),
            Command::Intake(intake) => intake.run(),
            Command::Feed(feed) => feed.run(),
            Command::Guide(guide) => guide.run(),
            Command::Completions(completions) => completions.run(),
            Command::Man(pages) => pages.run(),
            #[cfg(feature = "pdf")]
            Command::ReadPages(pages) => pages.run(),
            Command::ReadTable(table) => table.run(),
            Command::Schema(schema) => output::print(&schema.text()).map(|()| SOUND),
        }
    }
}

/// What a panic says of itself.
fn message(payload: &(dyn std::any::Any + Send)) -> String {
    let text = payload.downcast_ref::<&str>().copied();
    let text = text.or_else(|| payload.downcast_ref::<String>().map(String::as_str));
    text.unwrap_or("it doesn't say why").to_string()
}

/// Says what went wrong, in one sentence.
fn failed(failure: &Failure) -> ExitCode {
    // A path may hold anything, so what it says is made safe to show.
    let sentence = failure.to_string();
    let sentence = report::terminal::safe(&sentence);
    let _ = writeln!(std::io::stderr(), "nameplate: {sentence}");
    ExitCode::from(UNUSABLE)
}

/// What is wrong with the arguments and what was perhaps meant, without the pages that clap adds.
fn misuse(error: &clap::Error) -> String {
    if let (ErrorKind::MissingRequiredArgument, Some(ContextValue::Strings(missing))) =
        (error.kind(), error.get(ContextKind::InvalidArg))
    {
        let usage = match error.get(ContextKind::Usage) {
            Some(ContextValue::StyledStr(usage)) => usage.to_string(),
            _ => String::new(),
        };
        let usage = usage.trim_start_matches("Usage: ");
        return format!("{} is missing: {usage}", missing.join(" and "));
    }
    let text = error.to_string();
    let sentences = text.split("\n\n").map(|paragraph| {
        let words: Vec<&str> = paragraph.split_whitespace().collect();
        words.join(" ")
    });
    let told: Vec<String> = sentences
        .filter_map(|sentence| {
            let said = sentence.strip_prefix("error: ");
            let said = said.or_else(|| sentence.strip_prefix("tip: "))?;
            Some(said.trim_end_matches(['.', ':']).to_string())
        })
        .collect();
    told.join("; ")
}

/// Why the system refused, without its number.
fn refusal(error: &std::io::Error) -> String {
    match error.kind() {
        std::io::ErrorKind::NotFound => "there is no such file or folder".into(),
        std::io::ErrorKind::PermissionDenied => "the system doesn't permit it".into(),
        std::io::ErrorKind::IsADirectory => "it is a folder".into(),
        std::io::ErrorKind::NotADirectory => "a part of its path is no folder".into(),
        std::io::ErrorKind::StorageFull => "there is no room left".into(),
        std::io::ErrorKind::ReadOnlyFilesystem => "it can only be read there".into(),
        _ => {
            let text = error.to_string();
            let end = text.find(" (os error").unwrap_or(text.len());
            text[..end].to_lowercase()
        }
    }
}

impl Schema {
    fn text(&self) -> String {
        match self.name {
            Printed::Units => report::units::table(),
            Printed::Audit => report::json::SCHEMA.to_string(),
            Printed::Duty => report::answers::duty::SCHEMA.to_string(),
            Printed::Limits => report::answers::limits::SCHEMA.to_string(),
            Printed::Sweep => report::answers::sweep::SCHEMA.to_string(),
            Printed::Revision => report::revision::json::SCHEMA.to_string(),
            Printed::Record => report::record::SCHEMA.to_string(),
            Printed::Gauge => report::answers::gauge::SCHEMA.to_string(),
            Printed::PondAnswer => report::pond::json::SCHEMA.to_string(),
            Printed::Mapping => pretty(&schema::mapping_schema()),
            Printed::Intake => report::intake::json::SCHEMA.to_string(),
            Printed::Catalog => pretty(&schema::schema()),
            Printed::Pond => pretty(&schema::pond_schema()),
        }
    }
}

/// A schema as text, ending with a line feed.
fn pretty(schema: &serde_json::Value) -> String {
    let mut text = serde_json::to_string_pretty(schema).unwrap_or_default();
    text.push('\n');
    text
}

/// What keeps the program from doing what it was asked; not a fault of a catalog.
#[derive(Debug)]
pub(crate) enum Failure {
    /// Arguments that can't be understood.
    Arguments(String),
    /// A path that can't be read.
    Unreadable {
        /// The path.
        path: String,
        /// Why.
        why: String,
    },
    /// Paths that hold no catalog.
    NothingToAudit(String),
    /// A limit of time that was exceeded.
    Late(String),
    /// A revision that can't be looked at.
    Revision(String),
    /// A question that can't be answered.
    Unanswerable(String),
    /// A fault of the program itself.
    Fault(String),
    /// Output that can't be written.
    Unwritable {
        /// Where to.
        path: String,
        /// Why.
        why: String,
    },
}

impl Failure {
    /// That `paths` hold no catalog.
    fn nothing(paths: &[std::path::PathBuf]) -> Failure {
        let paths = paths.iter().map(|path| path.display().to_string());
        Failure::NothingToAudit(paths.collect::<Vec<_>>().join(", "))
    }

    /// That the catalogs in `paths` have nothing to judge.
    fn no_package(paths: &[std::path::PathBuf]) -> Failure {
        let paths = paths.iter().map(|path| path.display().to_string());
        Failure::Unanswerable(format!(
            "no package and no spec sheet was judged in {}; --allow-empty lets that pass",
            paths.collect::<Vec<_>>().join(", ")
        ))
    }
}

impl std::fmt::Display for Failure {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Failure::Arguments(why) => {
                write!(f, "{why}; see `nameplate help`")
            }
            Failure::Unreadable { path, why } => write!(f, "{path} can't be read: {why}"),
            Failure::NothingToAudit(paths) => write!(
                f,
                "there is no catalog and no spec sheet in {paths}; a catalog is a folder with a catalog.toml, or a TOML \
                 file with a [catalog] table; a spec sheet is a page of text that states an area, a depth, a flow or watts"
            ),
            Failure::Late(why) | Failure::Revision(why) | Failure::Unanswerable(why) => {
                f.write_str(why)
            }
            Failure::Fault(why) => write!(
                f,
                "the program itself failed, not your files; please report it: {why}"
            ),
            Failure::Unwritable { path, why } => write!(f, "{path} can't be written: {why}"),
        }
    }
}
