//! `nameplate intake`: tables of other programs into a catalog.

use std::path::{Path, PathBuf};

use rayon::prelude::*;

use super::asking::Format;
use super::contained::{self, Answer};
use super::look::{self, Signs};
use super::output::Planned;
use super::{FOUND, Failure, SOUND, files, output, pages};
use crate::catalog::Catalog;
use crate::catalog::mapping::Mapping;
use crate::engine::{self, Input, Outcome};
use crate::finding::Level;
use crate::intake::merge::{self, Changed, Merged, Record, Settle};
use crate::intake::take::{self, File, Taking};
use crate::intake::told::{Account, Fate, Told};
use crate::intake::{self, Grid, Mapped, Remark, guess};
use crate::report::intake::{self as shown, Shown};
use crate::report::terminal::{self, Detail};

/// Take product tables (CSV, XLSX, ODS) into a catalog.
///
/// A mapping says which column is which key and in what unit; --guess writes a first one. Every row is accounted
/// for, a cell that can't be read is reported at its sheet, row and column, and the catalog is audited as it is
/// afterwards. The tables may be taken in again: values that only the table changed are replaced in place, and
/// what you changed in the catalog stays. What was taken is kept beside the mapping, in a file that ends with .taken.
///
/// The exit status is 0 if every row and cell was taken and no promise is contradicted, 1 if something is to be looked
/// at or, with --dry-run, if there is something to write, and 2 if a file couldn't be read or written.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  nameplate intake list.xlsx --guess list.toml\n  nameplate intake list.xlsx prices.csv --mapping list.toml --catalog ponds --dry-run"
)]
pub(crate) struct Intake {
    /// Tables: CSV, XLSX or ODS files.
    #[arg(required = true, value_name = "TABLE")]
    tables: Vec<PathBuf>,

    /// The mapping: a TOML file with an [intake] table.
    #[arg(long, value_name = "FILE", required_unless_present = "guess")]
    mapping: Option<PathBuf>,

    /// Write a first mapping to this new file, guessed from headings, units and values; take nothing.
    #[arg(long, value_name = "FILE", conflicts_with_all = ["mapping", "dry_run", "offered", "keep", "output"])]
    guess: Option<PathBuf>,

    /// Folder of the catalog; it is made if it isn't there.
    #[arg(long, default_value = ".", value_name = "FOLDER")]
    catalog: PathBuf,

    /// Write nothing to the catalog; show what would change.
    #[arg(long)]
    dry_run: bool,

    /// Take what is offered, such as 3/8 in for 8 March, and the table's value where both were changed.
    #[arg(long)]
    offered: bool,

    /// Where table and catalog were both changed keep the catalog's value, now and from now on.
    #[arg(long, conflicts_with = "offered")]
    keep: bool,

    /// Format of the report.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the report to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    signs: Signs,

    /// Date to which waivers are compared, such as 2026-05-02; today if not given.
    #[arg(long, value_name = "DATE", value_parser = super::today::parse)]
    as_of: Option<String>,
}

/// Read a table from standard input and write its cells; for the program itself.
#[derive(Debug, clap::Args)]
pub(crate) struct ReadTable {}

impl ReadTable {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What was read can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        contained::answer(|bytes| intake::read(&bytes).to_wire())
    }
}

/// The catalog that is taken into, as it is.
struct There {
    /// Its files and what lies with them.
    inputs: Vec<Input>,
    catalog: Catalog,
    /// Whether it has a `catalog.toml`.
    has_head: bool,
}

/// What a new catalog's `catalog.toml` says.
const HEAD: &str = "[catalog]\nformat = 1\n";

impl Intake {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A file that can't be read or written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let files = tables(&self.tables)?;
        if let Some(path) = &self.guess {
            return guessed(path, &files);
        }
        let Some(path) = &self.mapping else {
            return Err(Failure::Arguments("--mapping is missing".into()));
        };
        let Some(mapping) = self.mapping(path)? else {
            return Ok(super::UNUSABLE);
        };
        let kept = path.with_extension("taken");
        let written: Vec<&Path> = self
            .output
            .as_deref()
            .into_iter()
            .chain([kept.as_path()])
            .collect();
        output::spare(&written, self.tables.iter().chain([path]).cloned())?;
        let before = files::regular(&kept, &files::shown(&kept))
            .ok()
            .filter(|_| kept.is_file());
        let record = Record::parse(&String::from_utf8_lossy(
            before.as_deref().unwrap_or_default(),
        ));
        let there = self.there()?;
        let taken = take::take(&Taking {
            files: &files,
            mapping: &mapping,
            catalog: &there.catalog,
            record: &record,
            offered: self.offered,
        });
        let settle = match (self.offered, self.keep) {
            (true, _) => Settle::Table,
            (_, true) => Settle::Catalog,
            _ => Settle::Tell,
        };
        let texts = own_texts(&there);
        let folder = files::shown(&self.catalog);
        let mut merged = merge::merge(&texts, &folder, &taken.entries, &record, settle);
        if !there.has_head && !merged.files.is_empty() {
            merged.files.push(Changed {
                path: files::shown(&self.catalog.join("catalog.toml")),
                before: None,
                after: HEAD.into(),
            });
        }
        let audit = self.audit(&there, &merged)?;
        if !self.dry_run {
            let record = (&kept, before.as_deref(), merged.record.text());
            self.write(&merged, record)?;
        }
        let mut told: Vec<Told> = taken.told;
        told.append(&mut merged.told);
        told.sort_by(|a, b| a.at.cmp(&b.at));
        self.show(&Shown {
            accounts: &taken.accounts,
            told: &told,
            changes: &merged.changes,
            kept: merged.kept,
            same: merged.same,
            catalog: &folder,
            written: !self.dry_run,
            audit: audit.as_ref(),
        })?;
        let is_to_do = self.dry_run && !merged.files.is_empty();
        let has_contradiction = audit.is_some_and(|audit| audit.fails(Level::Error));
        Ok(
            match is_to_do || has_contradiction || has_lost(&taken.accounts, &told) {
                true => FOUND,
                false => SOUND,
            },
        )
    }

    /// The mapping; nothing where it can't be read, which is then told.
    fn mapping(&self, path: &Path) -> Result<Option<Mapping>, Failure> {
        let name = files::shown(path);
        let read = Mapped::of(&name, files::regular(path, &name)?);
        if !read.findings.is_empty() {
            let look = look::of(self.signs, Detail::Usual, true);
            output::tell_lines(&terminal::faults(&read.sources, &read.findings, look));
        }
        Ok((!read.is_faulty()).then_some(read.mapping))
    }

    fn there(&self) -> Result<There, Failure> {
        let head = self.catalog.join("catalog.toml");
        if self.catalog.exists() && !self.catalog.is_dir() {
            return Err(Failure::Unreadable {
                path: files::shown(&self.catalog),
                why: "a catalog that tables are taken into is a folder".into(),
            });
        }
        if !head.is_file() {
            return Ok(There {
                inputs: Vec::new(),
                catalog: Catalog::default(),
                has_head: false,
            });
        }
        let inputs = files::inputs(std::slice::from_ref(&self.catalog))?;
        let name = files::shown(&self.catalog);
        let mut catalogs = engine::read(inputs.clone()).catalogs;
        let own = catalogs.iter().position(|catalog| catalog.name == name);
        let catalog = match (own, catalogs.is_empty()) {
            (Some(own), _) => catalogs.swap_remove(own),
            (None, false) => catalogs.swap_remove(0),
            (None, true) => Catalog::default(),
        };
        Ok(There {
            inputs,
            catalog,
            has_head: true,
        })
    }

    /// The audit of the catalog as it is afterwards.
    fn audit(&self, there: &There, merged: &Merged) -> Result<Option<Outcome>, Failure> {
        let mut inputs = there.inputs.clone();
        for changed in &merged.files {
            match inputs.iter_mut().find(|input| input.path == changed.path) {
                Some(input) => input.bytes.clone_from(&changed.after),
                None => inputs.push(Input {
                    path: changed.path.clone(),
                    bytes: changed.after.clone(),
                    alone: false,
                    borrowed: false,
                }),
            }
        }
        if inputs.is_empty() {
            return Ok(None);
        }
        let options = engine::Options {
            as_of: Some(super::today::today(self.as_of.as_deref())),
            documents: Some(files::documents(&inputs)),
            pages: pages::read(&inputs)?,
            ..engine::Options::default()
        };
        Ok(Some(engine::audit(inputs, &options)))
    }

    fn write(
        &self,
        merged: &Merged,
        record: (&PathBuf, Option<&[u8]>, String),
    ) -> Result<(), Failure> {
        let (path, before, text) = record;
        let mut planned: Vec<Planned> = merged
            .files
            .iter()
            .map(|changed| Planned {
                path: Path::new(&changed.path),
                before: changed.before.as_deref(),
                after: &changed.after,
            })
            .collect();
        // Last, so that a run that ends before it is one whose values are found again in the catalog.
        if before != Some(text.as_bytes()) {
            planned.push(Planned {
                path,
                before,
                after: text.as_bytes(),
            });
        }
        output::put_all(&planned)
    }

    fn show(&self, shown: &Shown) -> Result<(), Failure> {
        let text = match self.format {
            Format::Json => shown::json::render(shown),
            Format::Terminal => {
                let look = look::of(self.signs, Detail::Usual, self.output.is_some());
                shown::terminal::render(shown, look)
            }
        };
        match &self.output {
            Some(path) => output::write(path, &text),
            None => output::print(&text),
        }
    }
}

/// The texts that the catalog itself is made of, by path.
fn own_texts(there: &There) -> Vec<(String, Vec<u8>)> {
    let sources = engine::in_order(there.inputs.clone());
    let own = sources.into_iter().enumerate();
    let own =
        own.filter(|(number, input)| there.catalog.documents.contains(number) && !input.borrowed);
    own.map(|(_, input)| (input.path, input.bytes)).collect()
}

/// Whether a row, or something of one, wasn't taken.
fn has_lost(accounts: &[Account], told: &[Told]) -> bool {
    let is_lost = |fate: Fate| matches!(fate, Fate::NoName | Fate::Duplicate | Fate::NoMatch);
    let mut rows = accounts.iter().flat_map(|account| &account.rows);
    rows.any(|&(_, fate)| is_lost(fate))
        || told.iter().any(|told| told.what.level() >= Level::Warning)
}

/// Reads the tables, each in a process of its own.
fn tables(paths: &[PathBuf]) -> Result<Vec<File>, Failure> {
    let read = paths.par_iter().map(|path| {
        let name = files::shown(path);
        let bytes = files::regular(path, &name)?;
        let grid = match contained::ask("read-table", &name, &bytes)? {
            Answer::Read(line) => {
                Grid::parse(&line).unwrap_or_else(|| Grid::unread(Remark::Damaged))
            }
            Answer::TooMuchWork => Grid::unread(Remark::TooMuchWork),
            Answer::Damaged => Grid::unread(Remark::Damaged),
        };
        Ok(File { path: name, grid })
    });
    read.collect()
}

/// Writes a first mapping.
fn guessed(path: &Path, files: &[File]) -> Result<u8, Failure> {
    let mut is_unread = false;
    for file in files {
        for remark in &file.grid.remarks {
            let what = intake::told::What::File(remark.clone());
            is_unread |= what.level() == Level::Error;
            output::tell(&format!("{}: {}", file.path, what.words()));
        }
    }
    let text = guess::guess(files);
    output::create(path, &text)?;
    let columns = |has_key: bool| {
        let lines = text
            .lines()
            .filter(|line| line.starts_with("  { heading = "));
        lines
            .filter(|line| line.contains(", key = ") == has_key)
            .count()
    };
    output::print(&format!(
        "{} is written: {} of {} columns have a key. Go through it, then run `nameplate intake` with --mapping and --dry-run.\n",
        terminal::safe(&path.display().to_string()),
        columns(true),
        columns(true) + columns(false),
    ))?;
    Ok(if is_unread { FOUND } else { SOUND })
}
