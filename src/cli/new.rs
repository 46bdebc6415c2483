//! `nameplate new`: a first catalog to begin with, or a part for one.

use std::path::{Path, PathBuf};

use super::{Failure, SOUND, output};
use crate::catalog::is_id;
use crate::report::terminal;

/// Write a commented starter catalog, or one part or package for a catalog.
///
/// The figures are invented: replace them with your own. The command says which come first. It asks nothing
/// and overwrites nothing; a catalog is written whole or not at all.
#[derive(Debug, clap::Args)]
pub(crate) struct New {
    /// The folder to create; with --part, the catalog's folder.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,

    /// Write one table of this kind, in a file of its own.
    #[arg(long, value_enum, value_name = "KIND")]
    part: Option<Part>,

    /// Units of the figures, with the voltage, frequency and currency that go with them.
    #[arg(long, value_enum, default_value_t = Units::Metric, value_name = "SYSTEM")]
    units: Units,

    /// ID of the table and name of its file; new-KIND if not given.
    #[arg(long, value_name = "ID", requires = "part", value_parser = id)]
    id: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Units {
    /// Metres, L/min and kPa; 230 V at 50 Hz, euros.
    Metric,
    /// Feet, cfm and psi; 115 V at 60 Hz, dollars.
    Us,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Part {
    /// A compressor or blower.
    Compressor,
    /// A diffuser.
    Diffuser,
    /// An airline.
    Airline,
    /// A manifold with its valves.
    Manifold,
    /// A fitting that joins two ends.
    Fitting,
    /// A check valve.
    CheckValve,
    /// A cabinet with its fan.
    Cabinet,
    /// A package, which names the parts in the box by their IDs.
    Package,
}

/// A table to begin with.
struct Starter {
    kind: &'static str,
    /// Its keys; the head `[KIND.ID]` is put above them.
    keys: &'static str,
    /// What to change in it first.
    first: &'static str,
}

macro_rules! starter {
    ($name:ident, $kind:literal, $first:literal) => {
        static $name: Starter = Starter {
            kind: $kind,
            keys: include_str!(concat!("new/", $kind, ".toml")),
            first: $first,
        };
    };
}

starter!(
    COMPRESSOR,
    "compressor",
    "the curve, max_pressure, power and the supply"
);
starter!(
    DIFFUSER,
    "diffuser",
    "the range of flow and the pressure loss"
);
starter!(AIRLINE, "airline", "the size and the measured bore");
starter!(MANIFOLD, "manifold", "the number of outlets and the valve");
starter!(FITTING, "fitting", "the two ends");
starter!(CHECK_VALVE, "check-valve", "the opening pressure");
starter!(CABINET, "cabinet", "the fan and the receptacles");
starter!(
    PACKAGE,
    "package",
    "what is in the box, and what you promise of it"
);

/// The head of a catalog, which is no part.
const HEAD: &str = include_str!("new/catalog.toml");
const HEAD_FIRST: &str = "the title, and the altitude and tariff of the place";

/// The tables of the first catalog with their IDs, in the order in which they are filled in.
static CATALOG: [(&Starter, &str); 6] = [
    (&COMPRESSOR, "linear-44"),
    (&DIFFUSER, "disc-220"),
    (&AIRLINE, "sinking-half"),
    (&MANIFOLD, "two-way"),
    (&FITTING, "half-to-three-eighths"),
    (&PACKAGE, "garden-pair"),
];

impl Part {
    fn starter(self) -> &'static Starter {
        match self {
            Part::Compressor => &COMPRESSOR,
            Part::Diffuser => &DIFFUSER,
            Part::Airline => &AIRLINE,
            Part::Manifold => &MANIFOLD,
            Part::Fitting => &FITTING,
            Part::CheckValve => &CHECK_VALVE,
            Part::Cabinet => &CABINET,
            Part::Package => &PACKAGE,
        }
    }
}

impl Starter {
    /// The file that holds it.
    fn file(&self, id: &str, units: Units) -> String {
        format!("[{}.{id}]\n{}", self.kind, units.of(self.keys))
    }
}

impl Units {
    /// A starter's text, where each figure stands as `<metric|us>`; a remark behind it begins in the column where it
    /// does in metric units.
    fn of(self, text: &str) -> String {
        let mut lines = String::new();
        for line in text.lines() {
            let written = self.pick(line);
            match (
                written.split_once(" #"),
                Units::Metric.pick(line).find(" #"),
            ) {
                (Some((key, remark)), Some(column)) => {
                    let key = key.trim_end();
                    lines.push_str(&format!("{key:<column$} #{remark}"));
                }
                _ => lines.push_str(&written),
            }
            lines.push('\n');
        }
        lines
    }

    /// A line with its figures in these units.
    fn pick(self, line: &str) -> String {
        let mut written = String::new();
        let mut rest = line;
        while let Some((before, after)) = rest.split_once('<') {
            let (pair, after) = after.split_once('>').unwrap_or((after, ""));
            let (metric, us) = pair.split_once('|').unwrap_or((pair, pair));
            written.push_str(before);
            written.push_str(match self {
                Units::Metric => metric,
                Units::Us => us,
            });
            rest = after;
        }
        written + rest
    }
}

impl New {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What it would write is there already, or can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let told = match self.part {
            None => catalog(&self.folder, self.units)?,
            Some(part) => {
                let starter = part.starter();
                let id = self.id.unwrap_or_else(|| format!("new-{}", starter.kind));
                let path = self.folder.join(format!("{id}.toml"));
                output::create(&path, &starter.file(&id, self.units))?;
                format!(
                    "{} is written. Its figures are invented: replace {} first.\n",
                    shown(&path),
                    starter.first
                )
            }
        };
        output::print(&told).map(|()| SOUND)
    }
}

/// Writes the first catalog to `folder`; what to say of it.
fn catalog(folder: &Path, units: Units) -> Result<String, Failure> {
    let head = ("catalog.toml".to_string(), units.of(HEAD));
    let parts =
        CATALOG.map(|(starter, id)| (format!("{}.toml", starter.kind), starter.file(id, units)));
    let files: Vec<(String, String)> = std::iter::once(head).chain(parts).collect();
    output::create_folder(folder, &files)?;
    let shown = shown(folder);
    let mut told =
        format!("{shown} is written. Its figures are invented: replace them in this order.\n\n");
    let first = std::iter::once(HEAD_FIRST).chain(CATALOG.map(|(starter, _)| starter.first));
    for ((name, _), first) in files.iter().zip(first) {
        told.push_str(&format!("  {name:<16} {first}\n"));
    }
    told.push_str(&format!(
        "\nThen run `nameplate audit {shown}`. `nameplate guide format` explains the files.\n"
    ));
    Ok(told)
}

/// A path as a terminal may show it.
fn shown(path: &Path) -> String {
    terminal::safe(&path.display().to_string()).into_owned()
}

/// An ID of the format.
fn id(text: &str) -> Result<String, String> {
    match is_id(text) {
        true => Ok(text.to_string()),
        false => {
            Err("an ID is made of lower-case letters and digits, in words joined by hyphens".into())
        }
    }
}
