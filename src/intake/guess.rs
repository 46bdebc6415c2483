//! A first mapping of tables, guessed from headings, their units and the values below them.
//!
//! It is a guess for a person to go through: every column stands in it, and those without a key say so.

use std::fmt::Write as _;

use crate::catalog::Kind;
use crate::catalog::fields::Shape;
use crate::catalog::mapping::Target;
use crate::spec_sheet;
use crate::units::{self, Dimension};

use super::grid::{Row, Sheet, Value};
use super::headings::{self, HEADINGS, KINDS, PRICES};
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

struct Guessed {
    heading: String,
    key: Option<&'static str>,
    unit: Option<String>,
    condition: Option<String>,
}

impl Guess {
    fn of(file: &str, sheet: &Sheet) -> Option<Guess> {
        let place = heading_row(sheet)?;
        let row = &sheet.rows[place];
        let below = &sheet.rows[place + 1..];
        let below = &below[..below.len().min(SAMPLE)];
        let title: Vec<String> = sheet.rows[..place]
            .iter()
            .flat_map(|row| row.cells.iter().map(|cell| cell.value.shown()))
            .collect();
        let heads: Vec<String> = row.cells.iter().map(|cell| cell.value.shown()).collect();
        let kind = kind(file, &sheet.name, &title, &heads);
        let is_prices = kind.is_none()
            || [&sheet.name, file]
                .iter()
                .any(|name| says(name, PRICES) > 0);
        let texts: Vec<String> = below
            .iter()
            .flat_map(|row| &row.cells)
            .filter_map(|cell| match &cell.value {
                Value::Text(text) => Some(text.clone()),
                _ => None,
            })
            .collect();
        let decimal = numeral::decimal_of(texts.iter().map(String::as_str));
        let mut columns: Vec<Guessed> = Vec::new();
        for cell in &row.cells {
            let heading = cell.value.shown();
            let taken: Vec<&str> = columns.iter().filter_map(|column| column.key).collect();
            let values: Vec<&Value> = below
                .iter()
                .filter_map(|row| row.at(cell.column))
                .map(|cell| &cell.value)
                .filter(|value| !shapes::is_blank(value))
                .collect();
            let kinds = match kind {
                Some(kind) => vec![kind],
                None => KINDS.iter().map(|(kind, _)| *kind).collect(),
            };
            columns.push(column(&heading, &kinds, &values, &taken, decimal));
        }
        // Without a column of their number `2 x Disc` may stand in the column of the diffusers.
        let has_count = columns
            .iter()
            .any(|column| column.key == Some("diffuser.count"));
        for column in columns
            .iter_mut()
            .filter(|column| !has_count && column.key == Some("diffuser.part"))
        {
            column.key = Some("diffuser");
        }
        // A list that has names and prices alone says nothing of what the things are.
        let keys = || columns.iter().filter_map(|column| column.key);
        let only_prices = keys().all(|key| {
            matches!(
                key,
                "price" | "sku" | "gtin" | "model" | "title" | "price_per_length" | "notes"
            )
        });
        let join = (is_prices && only_prices)
            .then(|| {
                ["sku", "gtin", "model", "title"]
                    .into_iter()
                    .find(|own| keys().any(|key| key == *own))
            })
            .flatten();
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
    let folded = headings::fold(&without_unit(text).0);
    HEADINGS
        .iter()
        .any(|heading| headings::fit(&folded, heading.words) > 0)
}

fn says(name: &str, words: &[&str]) -> usize {
    headings::fit(&headings::fold(name), words)
}

/// What the rows of a sheet are, by its name, the file's, what stands above the headings, and the headings.
fn kind(file: &str, sheet: &str, title: &[String], heads: &[String]) -> Option<Kind> {
    let places = [sheet, file]
        .into_iter()
        .chain(title.iter().map(String::as_str));
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
        let own = HEADINGS
            .iter()
            .filter(|heading| heading.kinds.contains(&kind));
        let own: Vec<_> = own.collect();
        let named = |head: &&String| {
            let folded = headings::fold(&without_unit(head).0);
            own.iter()
                .any(|heading| headings::fit(&folded, heading.words) > 0)
        };
        heads.iter().filter(named).count()
    };
    let best = KINDS
        .iter()
        .map(|(kind, _)| (score(*kind), *kind))
        .max_by_key(|(score, _)| *score);
    best.filter(|(score, _)| *score >= 2).map(|(_, kind)| kind)
}

/// A heading without its unit, and the unit.
fn without_unit(heading: &str) -> (String, Option<String>) {
    match spec_sheet::unit_of_heading(heading) {
        Some((unit, at)) => {
            let rest = format!("{} {}", &heading[..at.start], &heading[at.end..]);
            (rest, Some(unit.to_string()))
        }
        None => (heading.to_string(), None),
    }
}

/// What a column is: of the keys whose words it holds the one with the longest, if its unit and values fit.
fn column(
    heading: &str,
    kinds: &[Kind],
    values: &[&Value],
    taken: &[&str],
    decimal: Option<char>,
) -> Guessed {
    let (rest, unit) = without_unit(heading);
    let (folded, whole) = (headings::fold(&rest), headings::fold(heading));
    let condition = condition(heading);
    let unit = unit.or_else(|| money(heading));
    let mut named: Vec<(usize, &'static str, Kind)> = HEADINGS
        .iter()
        .filter_map(|known| {
            let kind = kinds
                .iter()
                .find(|kind| known.kinds.is_empty() || known.kinds.contains(kind))?;
            let score = headings::fit(&folded, known.words).max(headings::fit(&whole, known.words));
            (score > 0).then_some((score, known.key, *kind))
        })
        .collect();
    named.sort_by_key(|(score, ..)| std::cmp::Reverse(*score));
    for (_, key, kind) in named {
        let Some(target) = Target::of(kind, key).filter(|_| !taken.contains(&key)) else {
            continue;
        };
        let dimensions = target.dimensions();
        let unit = unit.clone().filter(|unit| fits(unit, dimensions));
        let column = Column {
            unit: unit.clone(),
            condition: None,
            decimal,
        };
        // A figure whose unit is another's is another figure.
        let is_other =
            !dimensions.is_empty() && unit.is_none() && without_unit(heading).1.is_some();
        if is_other || !are_such(&target, values, &column) {
            continue;
        }
        // Bare fractions, and the days that they were turned into, are inches.
        let is_fraction = |value: &&Value| match value {
            Value::Text(text) => !text.contains(' ') && text.contains('/') && numeral_only(text),
            Value::Date { .. } => true,
            _ => false,
        };
        let is_inches = dimensions == [Dimension::Length] && values.iter().any(is_fraction);
        return Guessed {
            heading: heading.to_string(),
            key: Some(key),
            unit: unit.or_else(|| is_inches.then(|| "in".to_string())),
            condition: condition.filter(|_| !dimensions.is_empty()),
        };
    }
    Guessed {
        heading: heading.to_string(),
        key: None,
        unit: None,
        condition: None,
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

/// The condition that a heading names: `Flow at 15 kPa`.
fn condition(heading: &str) -> Option<String> {
    [
        " at ", " @ ", "@", " in ", " bei ", " \u{e0} ", " bij ", " ved ",
    ]
    .iter()
    .find_map(|mark| {
        let (_, rest) = heading.split_once(mark)?;
        let end = rest.find(['(', '[', ',']).unwrap_or(rest.len());
        let reading = units::read(
            rest[..end].trim().trim_end_matches(')'),
            crate::catalog::fields::CONDITION,
        );
        reading
            .quantity
            .map(|quantity| quantity.text().trim().to_string())
    })
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
