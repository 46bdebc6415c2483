//! `nameplate pond`: which package serves a pond.

use std::path::{Path, PathBuf};

use clap::builder::ValueParser;
use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};
use rayon::prelude::*;

use super::asking::Format;
use super::look::{self, Signs};
use super::{Failure, SOUND, files, output};
use crate::catalog::fields::{Field, Shape};
use crate::catalog::pond;
use crate::engine::{self, Input};
use crate::pond::fit::{Judge, serves};
use crate::pond::survey::{self, Survey};
use crate::pond::{self as ponds, Pond as Needs, Rank, mend, offers, season};
use crate::report::pond as shown;
use crate::report::terminal::{self, Detail};

/// Show which package serves a pond, and why the others don't.
///
/// A pond is a TOML file with a [pond] table, or options, which count before the file; at the least an area and a
/// depth. Every way to buy every package is judged as if it promised what the pond needs. The exit status is 0 if one
/// serves, 1 if none does, and 2 if the pond or the catalog can't be read.
#[derive(Debug, clap::Args)]
pub(crate) struct Pond {
    /// A pond file, and catalogs: folders that hold a catalog.toml, or single TOML files with a [catalog] table.
    /// Without a catalog this folder's is taken.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,

    #[command(flatten)]
    stated: Stated,

    /// What to rank the packages that serve by; price where all of them have one in one currency, else cost, unless
    /// given.
    #[arg(long, value_enum, value_name = "BY")]
    rank: Option<By>,

    /// How many ways to buy are listed.
    #[arg(long, value_name = "NUMBER", default_value_t = 12)]
    most: usize,

    /// Format of the answer.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Write the answer to this file, whole or not at all.
    #[arg(long, value_name = "FILE")]
    output: Option<PathBuf>,

    #[command(flatten)]
    signs: Signs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum By {
    /// What it costs to buy.
    Price,
    /// What it costs to run.
    Cost,
    /// How loud it is.
    Noise,
    /// How much more it gives than the pond needs.
    Margin,
}

impl From<By> for Rank {
    fn from(by: By) -> Rank {
        match by {
            By::Price => Rank::Price,
            By::Cost => Rank::Cost,
            By::Noise => Rank::Noise,
            By::Margin => Rank::Margin,
        }
    }
}

/// What the options state of the pond: as many options as its table has keys, each read as its key is.
#[derive(Debug, Clone, Default)]
struct Stated(Vec<(&'static Field, Vec<String>)>);

/// The option of a key: underscores become hyphens.
fn long(field: &Field) -> String {
    field.key.replace('_', "-")
}

impl FromArgMatches for Stated {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Stated, clap::Error> {
        let mut stated = Stated::default();
        stated.update_from_arg_matches(matches)?;
        Ok(stated)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        for field in pond::options() {
            let values = matches.get_many::<String>(field.key);
            let values: Vec<String> = values.into_iter().flatten().cloned().collect();
            if !values.is_empty() {
                self.0.push((field, values));
            }
        }
        Ok(())
    }
}

impl clap::Args for Stated {
    fn augment_args(command: Command) -> Command {
        pond::options().fold(command, |command, field| {
            let many = matches!(field.shape, Shape::Quantities(_));
            let mut says = field.says.to_string();
            if let Some(first) = says.get_mut(..1) {
                first.make_ascii_uppercase();
            }
            let more = if many {
                "; may be given several times"
            } else {
                ""
            };
            let arg = Arg::new(field.key)
                .long(long(field))
                .help(format!("{says}, such as {}{more}", example(field)))
                .value_name(match field.shape {
                    Shape::Quantity(_) | Shape::Quantities(_) => "QUANTITY",
                    Shape::Number => "NUMBER",
                    Shape::Flag => "BOOLEAN",
                    Shape::Date => "DATE",
                    Shape::Words(_) => "WORD",
                    Shape::Supply => "SUPPLY",
                    _ => "TEXT",
                })
                .value_parser(ValueParser::string())
                .allow_hyphen_values(true)
                .action(if many {
                    ArgAction::Append
                } else {
                    ArgAction::Set
                });
            command.arg(arg)
        })
    }

    fn augment_args_for_update(command: Command) -> Command {
        Stated::augment_args(command)
    }
}

/// An example of an option's value: the first where a key may have several.
fn example(field: &Field) -> String {
    let first = field.example.trim_start_matches('[').split(", ").next();
    first.unwrap_or_default().trim_end_matches(']').to_string()
}

impl Stated {
    /// The options as a pond file would state them.
    fn text(&self) -> String {
        let mut text = String::from("[pond]\n");
        for (field, values) in &self.0 {
            let values: Vec<String> = values.iter().map(|value| written(field, value)).collect();
            let value = match (field.shape, values.as_slice()) {
                (Shape::Quantities(_), several) => format!("[{}]", several.join(", ")),
                (_, several) => several.last().cloned().unwrap_or_default(),
            };
            text.push_str(&format!("{} = {value}\n", field.key));
        }
        text
    }
}

/// A value as TOML has it: a number, flag or date as it is, anything else in quotes.
fn written(field: &Field, value: &str) -> String {
    let is_bare = match field.shape {
        Shape::Number => value.parse::<f64>().is_ok_and(f64::is_finite),
        Shape::Flag => matches!(value, "true" | "false"),
        Shape::Date => value.parse::<toml_datetime::Datetime>().is_ok(),
        _ => false,
    };
    if is_bare {
        value.to_string()
    } else {
        toml::Value::String(value.to_string()).to_string()
    }
}

impl Pond {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being answered.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let (file, inputs) = self.inputs()?;
        let Some(pond) = self.pond(file)? else {
            return Err(Failure::Unanswerable(
                "the pond can't be read: see above".into(),
            ));
        };
        let catalogs = engine::read(inputs).catalogs;
        if catalogs.is_empty() {
            return Err(Failure::nothing(&self.catalogs()));
        }
        let catalogs: Vec<_> = catalogs
            .into_iter()
            .map(|catalog| pond.put_to(catalog))
            .collect();
        let judges: Vec<Judge> = catalogs
            .iter()
            .map(|catalog| Judge::new(catalog, &pond))
            .collect();
        let answer = offers::answer(&judges, self.rank.map(Rank::from));
        let first = answer.offers.iter().take(self.most).collect::<Vec<_>>();
        let listed: Vec<shown::Listed> = first
            .into_par_iter()
            .map(|offer| {
                let judge = &judges[offer.catalog];
                shown::Listed {
                    offer,
                    reach: mend::reach(judge, offer),
                    mends: mend::mends(judge, offer),
                }
            })
            .collect();
        let best = answer.serving().next();
        let season = best.map(|best| season::season(&judges[best.catalog], best));
        let page = shown::Shown {
            judges: &judges,
            answer: &answer,
            listed: &listed,
            season: season.as_ref(),
        };
        let text = match self.format {
            Format::Json => shown::json::render(&page),
            Format::Terminal => shown::terminal::render(
                &page,
                look::of(self.signs, Detail::Usual, self.output.is_some()),
            ),
        };
        match &self.output {
            Some(path) => output::write(path, &text)?,
            None => output::print(&text)?,
        }
        let one_serves = answer
            .offers
            .first()
            .is_some_and(|offer| serves(offer.grade()));
        Ok(if one_serves { SOUND } else { super::FOUND })
    }

    /// The pond file, where one is named, and the texts of the catalogs.
    fn inputs(&self) -> Result<(Option<Input>, Vec<Input>), Failure> {
        let (mut named, mut catalogs) = (Vec::new(), Vec::new());
        for path in &self.paths {
            match pond_file(path)? {
                Some(input) => named.push(input),
                None => catalogs.push(path.clone()),
            }
        }
        if let [_, second, ..] = named.as_slice() {
            let why = format!("{} is a second pond: ask about one at a time", second.path);
            return Err(Failure::Arguments(why));
        }
        if catalogs.is_empty() {
            catalogs.push(PathBuf::from("."));
        }
        let file = named.pop();
        let inputs = files::inputs(&catalogs)?;
        let written: Vec<&Path> = self.output.as_deref().into_iter().collect();
        let texts = inputs
            .iter()
            .chain(&file)
            .map(|input| PathBuf::from(&input.path));
        output::spare(&written, texts)?;
        Ok((file, inputs))
    }

    /// The paths that catalogs are looked for in.
    fn catalogs(&self) -> Vec<PathBuf> {
        if self.paths.is_empty() {
            vec![PathBuf::from(".")]
        } else {
            self.paths.clone()
        }
    }

    /// The pond that the file and the options state; nothing where they can't be read, which is then told.
    fn pond(&self, file: Option<Input>) -> Result<Option<Needs>, Failure> {
        let options = ponds::Read::of("the options", self.stated.text().into_bytes());
        let file = file.map(|input| ponds::Read::of(&input.path, input.bytes));
        let mut is_faulty = false;
        for read in file.iter().chain([&options]) {
            is_faulty |= read.is_faulty();
            if !read.findings.is_empty() {
                let look = look::of(self.signs, Detail::Usual, true);
                output::tell_lines(&terminal::faults(&read.sources, &read.findings, look));
            }
        }
        if is_faulty {
            return Ok(None);
        }
        let path = file.as_ref().map(|read| PathBuf::from(read.path()));
        let entry = file.map(|read| read.entry).unwrap_or_default();
        let entry = entry.under(options.entry);
        let survey = surveyed(&entry, path.as_deref())?;
        let pond = Needs::of(&entry, survey.as_ref());
        pond.map(Some)
            .map_err(|lack| Failure::Unanswerable(lack.to_string()))
    }
}

/// What the outline and the soundings of the pond file at `path` tell.
fn surveyed(entry: &pond::PondEntry, path: Option<&Path>) -> Result<Option<Survey>, Failure> {
    let outline = entry.outline.known().map(Vec::as_slice);
    let told = |of: &str, fault: survey::Fault| Failure::Unanswerable(format!("{of}: {fault}"));
    let soundings = match entry.soundings.known() {
        Some(name) => {
            let folder = path.and_then(Path::parent).unwrap_or(Path::new(""));
            let at = folder.join(&name.text);
            let shown = files::shown(&at);
            let bytes = files::regular(&at, &shown)?;
            let rows = survey::soundings(&String::from_utf8_lossy(&bytes));
            Some((rows.map_err(|fault| told(&shown, fault))?, shown))
        }
        None => None,
    };
    if outline.is_none() && soundings.is_none() {
        return Ok(None);
    }
    let own = path.map_or_else(String::new, files::shown);
    let of = soundings.as_ref().map_or(own, |(_, shown)| shown.clone());
    let rows = soundings.as_ref().map(|(rows, _)| rows.as_slice());
    let survey = Survey::of(outline, rows);
    survey.map(Some).map_err(|fault| told(&of, fault))
}

/// The file at `path` where it is a pond's.
fn pond_file(path: &Path) -> Result<Option<Input>, Failure> {
    let is_toml = path
        .extension()
        .is_some_and(|end| end.eq_ignore_ascii_case("toml"));
    if !is_toml || !path.is_file() {
        return Ok(None);
    }
    let inputs = files::inputs(&[path.to_path_buf()])?;
    let own = inputs
        .into_iter()
        .find(|input| input.alone || Path::new(&input.path) == path);
    Ok(own.filter(|input| ponds::is_pond(&input.bytes)))
}
