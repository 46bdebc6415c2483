//! A first mapping of tables, guessed from headings, their units and the values below them.
//!
//! It is a guess for a person to go through: every column stands in it, and those without a key say so.

use std::collections::HashSet;
use std::fmt::Write as _;
use std::ops::Range;

use crate::catalog::Kind;
use crate::catalog::fields::{AIR, CONDITION, PRESSURE, SOUND, Shape};
use crate::catalog::mapping::Target;
use crate::spec_sheet;
use crate::units::{self, Dimension};

use super::grid::{Row, Sheet, Value};
use super::headings::{self, EXACT, HEADINGS, Heading, KINDS, PRICES};
use super::names::Names;
use super::numeral;
use super::shapes::{self, Column};
use super::take::File;

/// Rows that are looked at for the headings.
const LOOKED_AT: usize = 30;

/// Rows whose values are looked at.
const SAMPLE: usize = 200;

/// The mapping of some files, as TOML.
#[must_use]
pub fn guess(files: &[File]) -> String {
    let mut text = String::from(
        "# Which column of the tables is which key of the catalog: a first guess, for you to go through.\n\
         # A column without a key isn't taken. `nameplate guide intake` explains the keys.\n\n[intake]\nformat = 1\n",
    );
    for file in files {
        let name = file.path.rsplit('/').next().unwrap_or(&file.path);
        for sheet in &file.grid.sheets {
            match Guess::of(name, sheet) {
                Some(guess) => guess.write(name, sheet, &mut text),
                None => {
                    let _ = write!(
                        text,
                        "\n# No headings were found on the sheet {:?} of {name}.\n",
                        sheet.name
                    );
                }
            }
        }
    }
    text
}

struct Guess {
    kind: Option<Kind>,
    join: Option<&'static str>,
    heading_row: u32,
    decimal: Option<char>,
    columns: Vec<Guessed>,
}

#[derive(Default)]
struct Guessed {
    heading: String,
    key: Option<&'static str>,
    unit: Option<String>,
    condition: Option<String>,
}

/// The keys of a list that has names and prices alone, and says nothing of what the things are.
const PRICED: &[&str] = &[
    "price",
    "sku",
    "gtin",
    "model",
    "title",
    "price_per_length",
    "notes",
];

impl Guess {
    fn of(file: &str, sheet: &Sheet) -> Option<Guess> {
        let place = heading_row(sheet)?;
        let row = &sheet.rows[place];
        let below = &sheet.rows[place + 1..];
        let below = &below[..below.len().min(SAMPLE)];
        let above = sheet.rows[..place].iter().flat_map(|row| &row.cells);
        let above: Vec<String> = above.map(|cell| cell.value.shown()).collect();
        let heads = row.cells.iter().map(|cell| Head::of(&cell.value.shown()));
        let heads: Vec<(u32, Head)> = row
            .cells
            .iter()
            .map(|cell| cell.column)
            .zip(heads)
            .collect();
        let kind = kind(file, &sheet.name, &above, &heads);
        let texts = below.iter().flat_map(|row| &row.cells);
        let texts = texts.filter_map(|cell| match &cell.value {
            Value::Text(text) => Some(text.as_str()),
            _ => None,
        });
        let decimal = numeral::decimal_of(texts);
        let columns = columns(&heads, kind, below, decimal);
        let names = [sheet.name.as_str(), file];
        let is_prices = kind.is_none() || names.iter().any(|name| says(name, PRICES) > 0);
        let keys = || columns.iter().filter_map(|column| column.key);
        let join = ["sku", "gtin", "model", "title"]
            .into_iter()
            .find(|own| keys().any(|key| key == *own))
            .filter(|_| is_prices && keys().all(|key| PRICED.contains(&key)));
        Some(Guess {
            kind: kind.filter(|_| join.is_none()),
            join,
            heading_row: row.number,
            decimal,
            columns,
        })
    }

    fn write(&self, file: &str, sheet: &Sheet, text: &mut String) {
        let string = |text: &str| toml::Value::String(text.to_string()).to_string();
        let _ = write!(text, "\n[[table]]\nfile = {}\n", string(file));
        if !sheet.name.is_empty() {
            let _ = writeln!(text, "sheet = {}", string(&sheet.name));
        }
        match (self.kind, self.join) {
            (_, Some(join)) => {
                let _ = writeln!(
                    text,
                    "join = {}   # adds to what other tables or the catalog state",
                    string(join)
                );
            }
            (Some(kind), None) => {
                let _ = writeln!(text, "kind = {}", string(kind.table()));
            }
            (None, None) => {
                text.push_str("kind = \"package\"   # not known from the table: change it\n")
            }
        }
        if self.heading_row != 1 {
            let _ = writeln!(text, "heading_row = {}", self.heading_row);
        }
        if let Some(decimal) = self.decimal {
            let word = if decimal == ',' { "comma" } else { "point" };
            let _ = writeln!(text, "decimal = \"{word}\"");
        }
        text.push_str("column = [\n");
        for column in &self.columns {
            let mut line = format!("  {{ heading = {}", string(&column.heading));
            let rest = [
                ("key", column.key.map(str::to_string)),
                ("unit", column.unit.clone()),
                ("at", column.condition.clone()),
            ];
            for (key, value) in rest {
                if let Some(value) = value {
                    let _ = write!(line, ", {key} = {}", string(&value));
                }
            }
            line.push_str(if column.key.is_some() {
                " },\n"
            } else {
                " },   # not taken\n"
            });
            text.push_str(&line);
        }
        text.push_str("]\n");
    }
}

/// The row of the headings: of the first rows the one with the most texts that are known headings; else the first with
/// three texts and nothing else.
fn heading_row(sheet: &Sheet) -> Option<usize> {
    let known = |row: &Row| {
        let cells = row
            .cells
            .iter()
            .filter(|cell| matches!(&cell.value, Value::Text(text) if is_known(text)));
        cells.count()
    };
    let first = sheet.rows.iter().take(LOOKED_AT).enumerate();
    let best = first
        .map(|(place, row)| (known(row), std::cmp::Reverse(place)))
        .max();
    if let Some((count, std::cmp::Reverse(place))) = best
        && count >= 2
    {
        return Some(place);
    }
    let is_text = |row: &Row| {
        row.cells.len() >= 2
            && row
                .cells
                .iter()
                .all(|cell| matches!(cell.value, Value::Text(_)))
    };
    sheet.rows.iter().take(LOOKED_AT).position(is_text)
}

fn is_known(text: &str) -> bool {
    let head = Head::of(text);
    HEADINGS.iter().any(|known| head.fit(known.words) > 0)
}

fn says(name: &str, words: &[&str]) -> usize {
    headings::fit(&headings::fold(name), words)
}

/// What the rows of a sheet are, by its name, the file's, what stands above the headings, and the headings.
fn kind(file: &str, sheet: &str, above: &[String], heads: &[(u32, Head)]) -> Option<Kind> {
    let places = [sheet, file]
        .into_iter()
        .chain(above.iter().map(String::as_str));
    for place in places {
        let best = KINDS
            .iter()
            .map(|(kind, words)| (says(place, words), *kind));
        if let Some((score, kind)) = best.max_by_key(|(score, _)| *score)
            && score > 0
        {
            return Some(kind);
        }
    }
    // Which kind has the most keys that these columns name, beside those that all have.
    let score = |kind: Kind| {
        let own = HEADINGS.iter().filter(|known| known.kinds.contains(&kind));
        let own: Vec<_> = own.collect();
        let is_named = |head: &Head| own.iter().any(|known| head.fit(known.words) > 0);
        heads.iter().filter(|(_, head)| is_named(head)).count()
    };
    let best = KINDS
        .iter()
        .map(|(kind, _)| (score(*kind), *kind))
        .max_by_key(|(score, _)| *score);
    best.filter(|(score, _)| *score >= 2).map(|(_, kind)| kind)
}

/// A heading taken apart: `Flow at 15 kPa (L/min)`.
struct Head {
    heading: String,
    /// Folded, with its unit.
    whole: String,
    /// Folded, without its unit and its condition.
    name: String,
    unit: Option<String>,
    condition: Option<String>,
}

impl Head {
    fn of(heading: &str) -> Head {
        let condition = condition(heading);
        let bare = match &condition {
            Some((_, at)) => format!("{} {}", &heading[..at.start], &heading[at.end..]),
            None => heading.to_string(),
        };
        let (name, unit) = match spec_sheet::unit_of_heading(&bare) {
            Some((unit, at)) => {
                let name = format!("{} {}", &bare[..at.start], &bare[at.end..]);
                (name, Some(unit.to_string()))
            }
            None => (bare.clone(), money(&bare)),
        };
        Head {
            heading: heading.to_string(),
            whole: headings::fold(&bare),
            name: headings::fold(&name),
            unit,
            condition: condition.map(|(condition, _)| condition),
        }
    }

    /// How well some words name it.
    fn fit(&self, words: &[&str]) -> usize {
        headings::fit(&self.name, words).max(headings::fit(&self.whole, words))
    }

    /// The keys of those kinds that it may be, the best first.
    fn keys(&self, kinds: &[Kind]) -> Vec<(usize, &'static str, Kind)> {
        let kind_of = |known: &Heading| {
            let mut kinds = kinds.iter().copied();
            kinds.find(|kind| known.kinds.is_empty() || known.kinds.contains(kind))
        };
        let known = HEADINGS.iter().filter_map(|known| {
            let kind = kind_of(known)?;
            Some((self.fit(known.words), known.key, kind))
        });
        let mut named: Vec<_> = known.filter(|(score, ..)| *score > 0).collect();
        // `Kit` over a list of kits is what they are called.
        if let &[kind] = kinds
            && let Some((_, words)) = KINDS.iter().find(|(own, _)| *own == kind)
            && words.contains(&self.whole.as_str())
        {
            named.push((EXACT, "title", kind));
        }
        // Air at a pressure is a point of a compressor's curve.
        if self.is_point() && kinds.contains(&Kind::Compressor) {
            named.push((2 * EXACT, CURVE, Kind::Compressor));
        }
        if named.is_empty() {
            named.extend(self.by_unit(kinds));
        }
        named.sort_by_key(|(score, ..)| std::cmp::Reverse(*score));
        named
    }

    fn is_point(&self) -> bool {
        let has_air = self.unit.as_deref().is_some_and(|unit| fits(unit, AIR));
        let at = self.condition.as_deref();
        has_air && at.is_some_and(|at| units::read(at, PRESSURE).quantity.is_some())
    }

    /// The one key of those kinds whose figures have such a unit: `Max PSI`.
    fn by_unit(&self, kinds: &[Kind]) -> Option<(usize, &'static str, Kind)> {
        let (unit, &[kind]) = (self.unit.as_deref()?, kinds) else {
            return None;
        };
        let own = HEADINGS
            .iter()
            .filter(|known| known.kinds.is_empty() || known.kinds.contains(&kind));
        let mut fitting = own.filter(|known| {
            let target = Target::of(kind, known.key);
            target.is_some_and(|target| fits(unit, target.dimensions()))
        });
        let one = fitting.next()?;
        fitting.next().is_none().then_some((1, one.key, kind))
    }
}

/// The key that several columns may have: each is a point of it.
const CURVE: &str = "curve";

/// What the columns are. Those that their headings name best choose their keys first: of `Dealer price` and `List
/// price` the second is the price.
fn columns(
    heads: &[(u32, Head)],
    kind: Option<Kind>,
    below: &[Row],
    decimal: Option<char>,
) -> Vec<Guessed> {
    let kinds = match kind {
        Some(kind) => vec![kind],
        None => KINDS.iter().map(|(kind, _)| *kind).collect(),
    };
    let named = heads.iter().map(|(_, head)| head.keys(&kinds));
    let named: Vec<Vec<_>> = named.collect();
    let best = |place: &usize| named[*place].first().map_or(0, |(score, ..)| *score);
    let mut order: Vec<usize> = (0..heads.len()).collect();
    order.sort_by_key(|place| std::cmp::Reverse(best(place)));
    let mut taken: HashSet<&str> = HashSet::new();
    let mut columns: Vec<(usize, Guessed)> = Vec::new();
    for place in order {
        let (column, head) = &heads[place];
        let values = below.iter().filter_map(|row| row.at(*column));
        let values = values.map(|cell| &cell.value);
        let values: Vec<&Value> = values.filter(|value| !shapes::is_blank(value)).collect();
        let free = named[place]
            .iter()
            .filter(|(_, key, _)| !taken.contains(key));
        let mut found = free.filter_map(|(_, key, kind)| head.as_key(key, *kind, &values, decimal));
        let guessed = found.next().unwrap_or_else(|| Guessed {
            heading: head.heading.clone(),
            ..Guessed::default()
        });
        taken.extend(guessed.key.filter(|key| *key != CURVE));
        columns.push((place, guessed));
    }
    columns.sort_by_key(|(place, _)| *place);
    let mut columns: Vec<Guessed> = columns.into_iter().map(|(_, guessed)| guessed).collect();
    // Without a column of their number `2 x Disc` may stand in the column of the diffusers.
    if !taken.contains("diffuser.count") {
        for column in &mut columns {
            column.key = column.key.map(|key| match key {
                "diffuser.part" => "diffuser",
                key => key,
            });
        }
    }
    columns
}

impl Head {
    /// As a column of that key, if its unit and its values fit.
    fn as_key(
        &self,
        key: &'static str,
        kind: Kind,
        values: &[&Value],
        decimal: Option<char>,
    ) -> Option<Guessed> {
        let target = Target::of(kind, key)?;
        let dimensions = target.dimensions();
        let unit = self.unit.clone().filter(|unit| fits(unit, dimensions));
        let column = Column {
            unit: unit.clone(),
            condition: None,
            decimal,
        };
        // A figure whose unit is another's is another figure.
        let is_other = !dimensions.is_empty() && unit.is_none() && self.unit.is_some();
        // Air under a condition is no free air.
        let is_bound = key == "open_flow" && self.condition.is_some();
        if is_other || is_bound || !are_such(&target, values, &column) {
            return None;
        }
        // Bare fractions, and the days that they were turned into, are inches.
        let is_fraction = |value: &&Value| match value {
            Value::Text(text) => !text.contains(' ') && text.contains('/') && numeral_only(text),
            Value::Date { .. } => true,
            _ => false,
        };
        let is_inches = dimensions == [Dimension::Length] && values.iter().any(is_fraction);
        Some(Guessed {
            heading: self.heading.clone(),
            key: Some(key),
            unit: unit.or_else(|| is_inches.then(|| "in".to_string())),
            condition: self.condition.clone().filter(|_| !dimensions.is_empty()),
        })
    }
}

fn numeral_only(text: &str) -> bool {
    text.bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'/')
}

/// Whether a unit is one of those dimensions.
fn fits(unit: &str, dimensions: &[Dimension]) -> bool {
    let reading = units::read(&format!("1 {unit}"), dimensions);
    !dimensions.is_empty() && reading.quantity.is_some()
}

/// The currency that a heading names: `Price (EUR)`, `Preis €`.
fn money(heading: &str) -> Option<String> {
    let signs = [("\u{20ac}", "EUR"), ("\u{a3}", "GBP"), ("US$", "USD")];
    if let Some((_, code)) = signs.iter().find(|(sign, _)| heading.contains(sign)) {
        return Some((*code).to_string());
    }
    let words = heading.split(|c: char| !c.is_ascii_alphabetic());
    let mut codes =
        words.filter(|word| word.len() == 3 && word.chars().all(|c| c.is_ascii_uppercase()));
    codes
        .find(|word| fits(word, &[Dimension::Money]))
        .map(str::to_string)
}

/// The condition that a heading names, and where: `Flow at 15 kPa`, `dB(A) 1 m`.
fn condition(heading: &str) -> Option<(String, Range<usize>)> {
    const MARKS: &[&str] = &[
        " at ", " @ ", "@", " in ", " bei ", " \u{e0} ", " bij ", " ved ",
    ];
    let marked = MARKS.iter().find_map(|mark| {
        let at = heading.find(mark)?;
        let (condition, end) = figure_at(heading, at + mark.len(), CONDITION)?;
        Some((condition, at..end))
    });
    marked.or_else(|| {
        // Behind the unit of a level a distance needs no word, nor a pressure behind that of a flow.
        let mut gaps = heading.match_indices([' ', '/']);
        gaps.find_map(|(at, _)| {
            let (unit, _) = spec_sheet::unit_of_heading(&heading[..at])?;
            let unit = unit.to_string();
            let expected = match (fits(&unit, SOUND), fits(&unit, AIR)) {
                (true, _) => &[Dimension::Length][..],
                (_, true) => PRESSURE,
                _ => return None,
            };
            let (condition, end) = figure_at(heading, at + 1, expected)?;
            Some((condition, at..end))
        })
    })
}

/// The figure that stands in a heading from that byte on, as far as a bracket or a comma, and where it ends.
fn figure_at(
    heading: &str,
    from: usize,
    expected: &'static [Dimension],
) -> Option<(String, usize)> {
    let rest = &heading[from..];
    let end = rest.find(['(', '[', ',', ')']).unwrap_or(rest.len());
    let quantity = units::read(rest[..end].trim(), expected).quantity?;
    Some((quantity.text().trim().to_string(), from + end))
}

/// Whether at least a part of the values can be what stands at that key. Names of parts can't be known yet.
fn are_such(target: &Target, values: &[&Value], column: &Column) -> bool {
    if values.is_empty() {
        return true;
    }
    let names = Names::default();
    let is_such = |value: &&&Value| match shapes::read(value, target.field(), column, &names) {
        Ok(_) => true,
        Err(problem) => {
            let is_name = matches!(
                target.field().shape,
                Shape::Id(_) | Shape::Ids(_) | Shape::Part(_) | Shape::Parts(_)
            );
            // A number that only lacks its unit is the right kind of thing.
            let name = problem.what.name();
            is_name || problem.offer.is_some() || problem.taken.is_some() || name == "no-unit"
        }
    };
    let such = values.iter().filter(is_such).count();
    such * 3 >= values.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What a column of a compressor or an airline is, with its unit and condition.
    fn guessed(kind: Kind, heading: &str, values: &[&str]) -> String {
        let values: Vec<Value> = values
            .iter()
            .map(|text| Value::Text((*text).into()))
            .collect();
        let row = |value: Value| Row {
            number: 2,
            hidden: false,
            cells: vec![super::super::grid::Cell {
                column: 0,
                value,
                formula: None,
            }],
        };
        let below: Vec<Row> = values.into_iter().map(row).collect();
        let heads = [(0, Head::of(heading))];
        let one = columns(&heads, Some(kind), &below, Some('.')).remove(0);
        let said = [one.key.map(str::to_string), one.unit, one.condition];
        let said: Vec<String> = said.into_iter().flatten().collect();
        said.join(", ")
    }

    #[test]
    fn headings_are_taken_apart() {
        let compressor = |heading: &str, value: &str| guessed(Kind::Compressor, heading, &[value]);
        for heading in [
            "dB(A) 1m",
            "dB(A) at 1m",
            "Noise dB(A) 1 m",
            "Schallpegel dB(A) in 1 m",
            "Sound level at 1 m (dB(A))",
        ] {
            let said = compressor(heading, "38");
            assert_eq!(said.replace("1m", "1 m"), "sound, dB(A), 1 m", "{heading}");
        }
        assert_eq!(compressor("CFM @ 10 psi", "1.8"), "curve, cfm, 10 psi");
        assert_eq!(compressor("L/min bei 20 kPa", "50"), "curve, L/min, 20 kPa");
        assert_eq!(
            compressor("Air flow at 15 kPa (L/min)", "50"),
            "curve, L/min, 15 kPa"
        );
        // A depth is no pressure, and its air isn't free.
        assert_eq!(compressor("CFM @ 10 ft", "1.8"), "");
        assert_eq!(compressor("CFM", "1.8"), "open_flow, cfm");
        assert_eq!(compressor("Max PSI", "30"), "max_pressure, psi");
        assert_eq!(compressor("Watts", "38"), "power, W");
        assert_eq!(compressor("Verdichter", "Linear 38"), "title");
        // Of net and packed weight nobody knows which.
        assert_eq!(compressor("Approx. kg", "3.9"), "");
        assert_eq!(guessed(Kind::Airline, "I.D.", &["1/2", "3/8"]), "bore, in");
    }

    #[test]
    fn the_price_is_the_one_its_heading_names_best() {
        let row = |heads: &[&str]| {
            let heads: Vec<(u32, Head)> =
                (0..).zip(heads.iter().map(|head| Head::of(head))).collect();
            let columns = columns(&heads, Some(Kind::Compressor), &[], None);
            let keys = columns.iter().map(|column| column.key.unwrap_or("-"));
            keys.collect::<Vec<_>>().join(" ")
        };
        assert_eq!(row(&["Item", "Dealer price", "List price"]), "sku - price");
        assert_eq!(row(&["Item", "Price", "Sale price"]), "sku price -");
        assert_eq!(
            row(&["Item", "CFM @ 5 psi", "CFM @ 10 psi"]),
            "sku curve curve"
        );
    }
}
