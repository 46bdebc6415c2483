//! Which package serves a pond: every way to buy every package of a catalog, judged by what the pond needs.
//!
//! A pond asks the question that a promise answers, so it is judged by the same functions: its depth, its area and
//! the level at the nearest ear are put to a package as if the package promised them. What a pond is told is what an
//! audit would say of that promise.
//!
//! - [`asked`]: the pond in SI, and the catalog at its site;
//! - [`shore`], [`survey`]: area and depth of an outline and of soundings;
//! - [`degrees`], [`geojson`]: outlines as others write them;
//! - [`ground`]: how deep it is where;
//! - [`fit`]: one package laid in the pond, and a grade for each need;
//! - [`offers`]: all of them, ranked;
//! - [`mend`]: the change that would make one serve, and how far it goes as it is;
//! - [`closely`]: what is looked at of all that;
//! - [`layout`], [`plan`]: where diffusers go, and the air that each gets there;
//! - [`order`]: what to buy;
//! - [`season`]: the first days, winter, and what is left after a season.

pub mod asked;
pub mod closely;
pub mod degrees;
pub mod fit;
pub mod geojson;
pub mod ground;
pub mod layout;
pub mod mend;
pub mod offers;
pub mod order;
pub mod plan;
pub mod season;
pub mod shore;
pub mod survey;

use degrees::Degrees;
use survey::{Sounding, Survey};

pub use asked::{Lack, Pond};
pub use fit::{Fit, Need};
pub use offers::{Answer, Offer, Rank};

use crate::catalog::fields::{Field, Shape};
use crate::catalog::pond::{PondEntry, ReadPond};
use crate::catalog::{Given, nearest};
use crate::document;
use crate::finding::{Finding, Level};
use crate::rules;
use crate::text::{FileId, Source, Sources, Span};

/// A pond file and the options of a command, read.
#[derive(Debug, Default)]
pub struct Read {
    /// What they state.
    pub entry: PondEntry,
    /// Their texts, for showing lines.
    pub sources: Sources,
    /// What is wrong with them.
    pub findings: Vec<Finding>,
}

/// What reports call the options of a command. They have no lines that anybody could open.
pub const OPTIONS: &str = "the options";

impl Read {
    /// Reads the pond in `bytes`, which reports call `path`.
    pub fn of(path: &str, bytes: Vec<u8>) -> Read {
        Read::default().under(path, bytes)
    }

    /// The same with what another text states, which counts before it.
    #[must_use]
    pub fn under(mut self, path: &str, bytes: Vec<u8>) -> Read {
        let file = self.sources.add(Source::new(path, bytes));
        let document = document::read(file, self.sources.get(file));
        let read: ReadPond = PondEntry::read(&document);
        self.findings.extend(rules::check_pond(&document, &read));
        self.entry = self.entry.under(read.pond);
        self
    }

    /// Where a statement of a file stands, as reports write it; nothing of an option's.
    pub fn place(&self, at: Span) -> Option<String> {
        let name = self.sources.get(at.file).name();
        let place = self.sources.position(at);
        (name != OPTIONS).then(|| format!("{name}, line {}, column {}", place.line, place.column))
    }

    /// What an outline and soundings tell: `outline` in place of one that is written. Degrees become metres, the
    /// cabinet's place too; then it is told where on the globe the pond lies.
    ///
    /// # Errors
    /// Why they tell nothing.
    pub fn survey(
        &mut self,
        outline: Option<Vec<[f64; 2]>>,
        mut soundings: Option<Vec<Sounding>>,
    ) -> Result<(Option<Survey>, Option<Degrees>), survey::Fault> {
        let written = self.entry.outline.known();
        let written = written.map(|corners| corners.iter().map(|corner| corner.value).collect());
        let mut corners: Option<Vec<[f64; 2]>> = written.or(outline);
        if corners.is_none() && soundings.is_none() {
            return Ok((None, None));
        }
        let sounded = soundings.iter().flatten();
        let places = corners.iter().flatten().copied();
        let places: Vec<[f64; 2]> = places.chain(sounded.map(|one| [one.x, one.y])).collect();
        let degrees = Degrees::of(&places);
        if let Some(degrees) = degrees {
            for corner in corners.iter_mut().flatten() {
                *corner = degrees.metres(*corner);
            }
            for one in soundings.iter_mut().flatten() {
                [one.x, one.y] = degrees.metres([one.x, one.y]);
            }
            if let Given::Known(cabinet) = &mut self.entry.cabinet {
                cabinet.value = degrees.metres(cabinet.value);
            }
        }
        let survey = Survey::of(corners.as_deref(), soundings.as_deref())?;
        Ok((Some(survey), degrees))
    }

    /// Whether it can't be gone on with. What is only written otherwise is read all the same.
    pub fn is_faulty(&self) -> bool {
        let is_safe = |finding: &Finding| finding.correction.as_ref().is_some_and(|fix| fix.sure);
        let mut errors = self
            .findings
            .iter()
            .filter(|finding| finding.level == Level::Error);
        errors.any(|finding| !is_safe(finding))
    }
}

/// The values of some keys as a pond file would state them.
pub fn stated(fields: &[(&Field, Vec<String>)]) -> String {
    let mut text = String::from("[pond]\n");
    for (field, values) in fields {
        let values: Vec<String> = values.iter().map(|value| written(field, value)).collect();
        let value = match (field.shape, values.as_slice()) {
            (Shape::Quantities(_), several) => format!("[{}]", several.join(", ")),
            (_, several) => several.last().cloned().unwrap_or_default(),
        };
        text.push_str(&format!("{} = {value}\n", field.key));
    }
    text
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

/// Whether a text is a pond file: it has a table of that name, or nearly so, and none of a catalog.
pub fn is_pond(bytes: &[u8]) -> bool {
    let source = Source::new("", bytes.to_vec());
    let document = document::read(FileId(0), &source);
    let mut keys = document.root().entries().filter_map(|item| item.key());
    let named = keys.any(|(key, _)| nearest(key, ["pond"]).is_some());
    named && document.root().get("catalog").is_none()
}
