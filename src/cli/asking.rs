//! What `duty`, `limits`, `gauge` and `sweep` are asked: which package of which catalog, laid how, shown how.

use std::path::{Path, PathBuf};

use super::look::{self, Signs};
use super::{Failure, files, output};
use crate::answers::Question;
use crate::answers::choose::{self, Unanswerable};
use crate::catalog::Catalog;
use crate::engine;
use crate::report::answers::Style;
use crate::report::terminal::Detail;
use crate::units::{Dimension, Quantity, Reading, read};

/// Which package is asked about.
#[derive(Debug, clap::Args)]
pub(crate) struct Which {
    /// ID of the package; may be left out if there is only one.
    #[arg(value_name = "PACKAGE")]
    package: Option<String>,

    /// Folder that holds a catalog.toml, or a single TOML file with a [catalog] table.
    #[arg(long, default_value = ".", value_name = "PATH")]
    catalog: PathBuf,

    /// ID of the option; the first if left out (`gauge` asks which).
    #[arg(long, value_name = "ID")]
    option: Option<String>,
}

impl Which {
    /// Puts `question` to the package that is named, and finds the catalog that has it; no file of that is `output`.
    ///
    /// # Errors
    /// A path that can't be opened, no such package.
    pub(crate) fn put(
        &self,
        mut question: Question,
        output: Option<&Path>,
    ) -> Result<Put, Failure> {
        question.package = self.package.clone().unwrap_or_default();
        question.option.clone_from(&self.option);
        let inputs = files::inputs(std::slice::from_ref(&self.catalog))?;
        let written: Vec<&Path> = output.into_iter().collect();
        let texts = inputs.iter().map(|input| PathBuf::from(&input.path));
        output::spare(&written, texts)?;
        let read = engine::read(inputs);
        if read.catalogs.is_empty() {
            return Err(Failure::NothingToAudit(self.catalog.display().to_string()));
        }
        let refused = |why: Unanswerable| Failure::Unanswerable(why.to_string());
        if self.package.is_none() {
            question.package = choose::only_package(&read.catalogs).map_err(refused)?;
        }
        let catalog = choose::catalog(read.catalogs, &question.package)
            .and_then(|catalog| {
                choose::package(&catalog, &question.package)?;
                Ok(catalog)
            })
            .map_err(|why| self.is_a_path().unwrap_or_else(|| refused(why)))?;
        let catalog = choose::at_site(catalog, &question);
        Ok(Put { question, catalog })
    }

    /// That the path of a catalog stands where the package's ID should, if it does.
    fn is_a_path(&self) -> Option<Failure> {
        let path = Path::new(self.package.as_deref()?);
        path.exists().then(|| {
            Failure::Arguments(format!(
                "{0} is a file or folder; name the package by its ID, and the catalog with --catalog {0}",
                files::shown(path)
            ))
        })
    }
}

/// The arguments all three share.
#[derive(Debug, clap::Args)]
pub(crate) struct Asking {
    #[command(flatten)]
    which: Which,

    /// Depth of every diffuser, such as "6 ft", instead of the catalog's.
    #[arg(long, value_name = "QUANTITY")]
    depth: Option<String>,

    /// Length of the airline to each diffuser, such as "100 ft", instead of the catalog's.
    #[arg(long, value_name = "QUANTITY")]
    run: Option<String>,

    /// Inside diameter of the airline, such as "1/2 in", instead of the catalog's.
    #[arg(long, value_name = "QUANTITY")]
    bore: Option<String>,

    /// Height above the sea, such as "1500 m", instead of the site's.
    #[arg(long, value_name = "QUANTITY")]
    altitude: Option<String>,

    /// Format of the answer.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Also show every equation used: formula, figures, source and valid range.
    #[arg(long)]
    explain: bool,

    /// Write the answer to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    signs: Signs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(crate) enum Format {
    /// For people.
    Terminal,
    /// For programs, in SI.
    Json,
}

/// A question with what it is put to.
pub(crate) struct Put {
    pub(crate) question: Question,
    pub(crate) catalog: Catalog,
}

impl Asking {
    /// Reads the arguments and the catalog they are about.
    ///
    /// # Errors
    /// A quantity that can't be read, a path that can't be opened, no such package.
    pub(crate) fn put(&self) -> Result<Put, Failure> {
        let length = |name: &str, text: &Option<String>| {
            quantity(name, text.as_deref(), &[Dimension::Length])
        };
        let question = Question {
            depth: not_less(0.0, "--depth", length("--depth", &self.depth)?)?,
            run: not_less(0.0, "--run", length("--run", &self.run)?)?,
            bore: not_less(f64::MIN_POSITIVE, "--bore", length("--bore", &self.bore)?)?,
            altitude: length("--altitude", &self.altitude)?,
            ..Question::default()
        };
        self.which.put(question, self.output.as_deref())
    }

    pub(crate) fn json(&self) -> bool {
        self.format == Format::Json
    }

    pub(crate) fn explain(&self) -> bool {
        self.explain
    }

    pub(crate) fn style(&self) -> Style {
        Style {
            look: look::of(self.signs, Detail::Usual, self.output.is_some()),
            explain: self.explain,
        }
    }

    /// Writes the answer where it is wanted.
    ///
    /// # Errors
    /// The output can't be written.
    pub(crate) fn write(&self, text: &str) -> Result<(), Failure> {
        match &self.output {
            Some(path) => output::write(path, text),
            None => output::print(text),
        }
    }
}

/// A quantity on the command line, read as in a catalog. What is only written otherwise is taken; what
/// could mean two things isn't.
///
/// # Errors
/// It can't be read, in a sentence.
pub(crate) fn quantity(
    name: &str,
    text: Option<&str>,
    expected: &[Dimension],
) -> Result<Option<Quantity>, Failure> {
    let Some(text) = text else { return Ok(None) };
    let reading = read(text, expected);
    if let Some(quantity) = reading.quantity {
        let refused = |why: String| Err(Failure::Arguments(format!("{name} {text:?}: {why}")));
        return if quantity.is_range() {
            refused("write one value, not a range".into())
        } else if quantity.si_central().is_finite() {
            Ok(Some(quantity))
        } else {
            refused("the number is beyond what can be calculated with".into())
        };
    }
    Err(unread(name, text, &crate::units::either(expected), reading))
}

/// A quantity of anything, also a range.
///
/// # Errors
/// It can't be read, in a sentence.
pub(crate) fn any_quantity(name: &str, text: &str) -> Result<Quantity, Failure> {
    let mut reading = read(text, &[]);
    let quantity = reading.quantity.take();
    quantity.ok_or_else(|| unread(name, text, "a number", reading))
}

/// Why `text` isn't what is `wanted`.
fn unread(name: &str, text: &str, wanted: &str, reading: Reading) -> Failure {
    let refused = |why: String| Failure::Arguments(format!("{name} {text:?}: {why}"));
    if !reading.alternatives.is_empty() {
        let units: Vec<String> = reading
            .alternatives
            .iter()
            .map(|one| format!("`{}`", one.unit()))
            .collect();
        return refused(format!(
            "its unit may mean {}; write which",
            units.join(" or ")
        ));
    }
    refused(match reading.correction {
        Some(meant) => {
            let meant = meant.text;
            format!("write {wanted} with its unit; perhaps {meant:?} is meant")
        }
        None => format!("write {wanted} with its unit"),
    })
}

pub(crate) fn not_less(
    least: f64,
    name: &str,
    quantity: Option<Quantity>,
) -> Result<Option<Quantity>, Failure> {
    match quantity {
        Some(quantity) if quantity.si_central() < least => Err(Failure::Arguments(format!(
            "{name} {:?}: it must be more than nothing",
            quantity.text()
        ))),
        other => Ok(other),
    }
}
