//! `nameplate feed`: the catalog as one flat table, for shop and print.

use std::path::{Path, PathBuf};

use super::{FOUND, Failure, SOUND, files, output};
use crate::answers::choose;
use crate::catalog::{Catalog, Kind};
use crate::document::{self, Document};
use crate::engine;
use crate::feed::{self, Table};
use crate::report::feed as shown;
use crate::report::sheet::refused;
use crate::text::Sources;

/// Write the catalog as one flat table, for a shop or for print.
///
/// Each row is a thing that is sold: an option of a package, or a part with --kind. Columns are the keys of the format.
/// Promises and options that aren't within the rating are left out and told on standard error, unless --all is given.
/// What has no place in a flat table is told too.
///
/// `nameplate intake` takes the CSV and XLSX in again, by the mapping that --mapping writes.
///
/// The exit status is 0 if all was written, 1 if a promise or an option was left out, and 2 if a file couldn't be
/// read or written.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  nameplate feed --catalog ponds --output feed.csv --mapping feed.toml\n  nameplate feed --catalog ponds --kind compressor --output compressors.xlsx\n  nameplate feed --catalog ponds --format json-ld --output products.jsonld"
)]
pub(crate) struct Feed {
    /// Folder that holds a catalog.toml, or a single TOML file with a [catalog] table.
    #[arg(long, default_value = ".", value_name = "PATH")]
    catalog: PathBuf,

    /// What the rows are.
    #[arg(long, value_name = "KIND", default_value = "package", value_parser = kind)]
    kind: Kind,

    /// What it is written as; by the ending of --output if not given, else CSV.
    #[arg(long, value_enum, value_name = "FORMAT")]
    format: Option<Format>,

    /// Also promises and options beyond the rating.
    #[arg(long)]
    all: bool,

    /// Write the feed to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    /// Also write the mapping by which `nameplate intake` takes the table in again.
    #[arg(long, value_name = "FILE")]
    mapping: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
    /// Separated values.
    Csv,
    /// A workbook; it needs --output.
    Xlsx,
    /// schema.org's Product, for web pages and shops.
    JsonLd,
}

/// A kind of thing by its name.
fn kind(word: &str) -> Result<Kind, String> {
    let mut all = [Kind::Package]
        .into_iter()
        .chain(Kind::PARTS.iter().copied());
    all.find(|kind| kind.table() == word).ok_or_else(|| {
        let parts: Vec<&str> = Kind::PARTS.iter().map(|kind| kind.table()).collect();
        format!("there are package, {}", parts.join(", "))
    })
}

impl Feed {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A file that can't be read or written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let format = self.format();
        if format == Format::Xlsx && self.output.is_none() {
            return Err(Failure::Arguments("a workbook needs --output".into()));
        }
        let mut inputs = files::inputs(std::slice::from_ref(&self.catalog))?;
        inputs.retain(|input| !engine::is_sheet(&input.path));
        let written: Vec<&Path> = self
            .output
            .iter()
            .chain(&self.mapping)
            .map(PathBuf::as_path)
            .collect();
        output::spare(
            &written,
            inputs.iter().map(|input| PathBuf::from(&input.path)),
        )?;
        let read = engine::read(inputs);
        let catalog = self.catalog(read.catalogs)?;
        let documents: Vec<Document> = read
            .sources
            .iter()
            .map(|(id, source)| document::read(id, source))
            .collect();
        let table = feed::table(&catalog, &documents, self.kind, self.all);
        if table.rows.is_empty() && table.refused.is_empty() {
            return Err(Failure::Unanswerable(format!(
                "the catalog has no {} to write",
                self.kind.words()
            )));
        }
        tell(&table, &read.sources);
        self.write(&table, format)?;
        Ok(if table.refused.is_empty() {
            SOUND
        } else {
            FOUND
        })
    }

    fn format(&self) -> Format {
        let ending = self
            .output
            .as_ref()
            .and_then(|path| path.extension()?.to_str());
        self.format
            .unwrap_or(match ending.map(str::to_lowercase).as_deref() {
                Some("xlsx") => Format::Xlsx,
                Some("json" | "jsonld") => Format::JsonLd,
                _ => Format::Csv,
            })
    }

    /// The catalog at the path, not those below it.
    fn catalog(&self, mut catalogs: Vec<Catalog>) -> Result<Catalog, Failure> {
        let name = files::shown(&self.catalog);
        let own = catalogs.iter().position(|catalog| catalog.name == name);
        match (own, catalogs.len()) {
            (Some(own), _) => Ok(catalogs.swap_remove(own)),
            (None, 1) => Ok(catalogs.swap_remove(0)),
            (None, 0) => Err(Failure::NothingToAudit(name)),
            (None, _) => {
                let catalogs = catalogs.into_iter().map(|catalog| catalog.name).collect();
                let id = name;
                Err(Failure::Unanswerable(
                    choose::Unanswerable::SeveralCatalogs { id, catalogs }.to_string(),
                ))
            }
        }
    }

    fn write(&self, table: &Table, format: Format) -> Result<(), Failure> {
        let bytes = match format {
            Format::Csv => shown::separated::render(table).into_bytes(),
            Format::JsonLd => shown::json_ld::render(table).into_bytes(),
            Format::Xlsx => shown::workbook::render(table).map_err(|why| Failure::Unwritable {
                path: self
                    .output
                    .as_deref()
                    .map_or_else(String::new, files::shown),
                why,
            })?,
        };
        match &self.output {
            Some(path) => output::write_bytes(path, &bytes)?,
            None => output::print_bytes(&bytes)?,
        }
        match &self.mapping {
            Some(path) => output::write(path, &shown::mapping::render(table)),
            None => Ok(()),
        }
    }
}

/// Tells what isn't in the table.
fn tell(table: &Table, sources: &Sources) {
    let place = |at: crate::text::Span| {
        let position = sources.position(at);
        format!(
            "{}:{}:{}",
            sources.get(at.file).name(),
            position.line,
            position.column
        )
    };
    for one in &table.refused {
        output::tell(&format!("{}: {}", place(one.at), refused(one)));
    }
    for (at, key) in &table.unheld {
        output::tell(&format!(
            "{}: {key} has no cell that an intake takes, so it stands in words.",
            place(*at)
        ));
    }
}
