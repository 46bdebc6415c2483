//! `nameplate pond`: which package serves a pond.

use std::path::{Path, PathBuf};

use clap::builder::ValueParser;
use clap::{Arg, ArgAction, ArgMatches, Command, FromArgMatches};

use super::look::{self, Signs};
use super::{Failure, SOUND, files, output};
use crate::catalog::Text;
use crate::catalog::fields::{Field, Shape};
use crate::catalog::pond;
use crate::engine::{self, Input};
use crate::pond::degrees::Degrees;
use crate::pond::fit::{Judge, serves};
use crate::pond::survey::{self, Survey};
use crate::pond::{self as ponds, OPTIONS, Offer, Pond as Needs, Rank, closely, geojson, offers};
use crate::report::pond as shown;
use crate::report::terminal::{self, Detail};
use crate::text::Span;

/// Show which package serves a pond, and why the others don't.
///
/// A pond is a TOML file with a [pond] table, or options, which count before the file; at the least an area and a
/// depth. Every way to buy every package is judged as if it promised what the pond needs. For the first one that
/// serves, each diffuser gets a place. The exit status is 0 if one
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

    /// ID of the package to show in full, with places, order and first days, instead of the first that serves.
    #[arg(long, value_name = "ID")]
    package: Option<String>,

    /// ID of its option; the best unless given.
    #[arg(long, value_name = "ID", requires = "package")]
    option: Option<String>,

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
enum Format {
    /// For people.
    Terminal,
    /// For programs, in SI.
    Json,
    /// One page with pictures, for a browser and for printing.
    Html,
    /// The order alone, for a spreadsheet.
    Csv,
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

impl Pond {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being answered.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let (file, inputs) = self.inputs()?;
        let Some((pond, degrees)) = self.pond(file)? else {
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
        let answer = offers::answer(&judges, self.rank.map(Rank::from), self.closely());
        let listed = closely::list(&judges, &answer.offers, self.most);
        let chosen = self.chosen(&answer.offers)?.map(|offer| {
            let is_asked = self.package.is_some();
            closely::choose(&judges, offer, is_asked, self.format == Format::Html)
        });
        let page = shown::Shown {
            judges: &judges,
            answer: &answer,
            listed: &listed,
            chosen: chosen.as_ref(),
            degrees,
        };
        let text = match self.format {
            Format::Json => shown::json::render(&page),
            Format::Html => shown::html::render(&page),
            Format::Csv => shown::order::csv(&page),
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

    /// How many offers must be looked at closely: all where one of them is named.
    fn closely(&self) -> usize {
        match self.package {
            Some(_) => usize::MAX,
            None => self.most.max(1),
        }
    }

    /// The offer to show in full: the best of the package that is named, else the first.
    fn chosen<'o, 'c>(&self, offers: &'o [Offer<'c>]) -> Result<Option<&'o Offer<'c>>, Failure> {
        let Some(id) = &self.package else {
            return Ok(offers.first());
        };
        let mut own = offers
            .iter()
            .filter(|offer| offer.package.entry.id == *id)
            .peekable();
        if own.peek().is_none() {
            let why = format!("there is no package `{id}` in the catalog");
            return Err(Failure::Unanswerable(why));
        }
        let wanted = self.option.as_deref();
        let found = own.find(|offer| wanted.is_none() || offer.option() == wanted);
        found.map(Some).ok_or_else(|| {
            let wanted = wanted.unwrap_or_default();
            Failure::Unanswerable(format!("package `{id}` has no option `{wanted}`"))
        })
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

    /// The pond that the file and the options state, and where on the globe it lies if that is known; nothing where they
    /// can't be read, which is then told.
    fn pond(&self, file: Option<Input>) -> Result<Option<(Needs, Option<Degrees>)>, Failure> {
        let path = file.as_ref().map(|input| PathBuf::from(&input.path));
        let read = file.map(|input| ponds::Read::of(&input.path, input.bytes));
        let options = ponds::stated(&self.stated.0).into_bytes();
        let mut read = read.unwrap_or_default().under(OPTIONS, options);
        if !read.findings.is_empty() {
            let look = look::of(self.signs, Detail::Usual, true);
            output::tell_lines(&terminal::faults(&read.sources, &read.findings, look));
        }
        if read.is_faulty() {
            return Ok(None);
        }
        let (survey, degrees) = surveyed(&mut read, path.as_deref())?;
        let pond = Needs::of(&read.entry, survey.as_ref());
        let pond = pond.map_err(|lack| told(&read, lack.at(&read.entry), lack.to_string()))?;
        Ok(Some((pond, degrees)))
    }
}

/// Why a pond can't be answered, with the place of its file where there is one.
fn told(read: &ponds::Read, at: Option<Span>, why: String) -> Failure {
    let place = at.and_then(|at| read.place(at));
    Failure::Unanswerable(place.map_or(why.clone(), |place| format!("{place}: {why}")))
}

/// What a file beside the pond's holds, and what reports call the file.
struct Beside<T> {
    holds: T,
    shown: String,
}

/// What `read` makes of the file beside the pond's at `path`, where one is named.
fn beside<T, F: std::fmt::Display>(
    path: Option<&Path>,
    name: Option<&Text>,
    read: impl Fn(&str) -> Result<T, F>,
) -> Result<Option<Beside<T>>, Failure> {
    let Some(name) = name else {
        return Ok(None);
    };
    let folder = path.and_then(Path::parent).unwrap_or(Path::new(""));
    let at = folder.join(&name.text);
    let shown = files::shown(&at);
    let bytes = files::regular(&at, &shown)?;
    match read(&String::from_utf8_lossy(&bytes)) {
        Ok(holds) => Ok(Some(Beside { holds, shown })),
        Err(fault) => Err(Failure::Unanswerable(format!("{shown}: {fault}"))),
    }
}

/// What the outline and the soundings of the pond file at `path` tell. Degrees become metres, the cabinet's place too.
fn surveyed(
    read: &mut ponds::Read,
    path: Option<&Path>,
) -> Result<(Option<Survey>, Option<Degrees>), Failure> {
    let entry = &read.entry;
    let (written, file) = (entry.outline.known(), entry.outline_file.known());
    if let (Some(_), Some(file)) = (written, file) {
        let why = "the outline is there twice: keep `outline` or `outline_file`".into();
        return Err(told(read, Some(file.at), why));
    }
    let mut outline = beside(path, file, geojson::outline)?;
    let mut soundings = beside(path, entry.soundings.known(), survey::soundings)?;
    let corners = outline.as_mut().map(|file| std::mem::take(&mut file.holds));
    let sounded = soundings
        .as_mut()
        .map(|file| std::mem::take(&mut file.holds));
    read.survey(corners, sounded).map_err(|fault| {
        let written = read.entry.outline.known().map_or(&[][..], Vec::as_slice);
        let at_fault = match fault.is_of_soundings() {
            true => soundings.map(|file| file.shown),
            false => outline.map(|file| file.shown),
        };
        match at_fault {
            Some(shown) => Failure::Unanswerable(format!("{shown}: {fault}")),
            None => told(read, fault.at(written), fault.to_string()),
        }
    })
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
