//! A catalog as one flat table for shop and print: a row for each thing that is sold, a column for each key.
//!
//! What the columns are comes from the list of fields. A cell is written as an intake reads it, so the table can be taken
//! in again. Promises that aren't within the rating, and options whose airline isn't, are left out unless all is wanted.
//!
//! - [`codes`]: units as shops' programs know them.

pub mod codes;

use std::collections::BTreeMap;

use crate::catalog::fields::{Field, Shape, Table as Fields, table_behind};
use crate::catalog::mapping::{Target, table_of};
use crate::catalog::{Catalog, Entry, Kind};
use crate::derive::Derived;
use crate::document::{Document, Item, Kind as Node};
use crate::sheet::promises::{self, Refused};
use crate::text::Span;

/// A flat table.
#[derive(Debug, Default)]
pub struct Table {
    /// What its rows are.
    pub kind: Option<Kind>,
    /// What the site pays for electricity, where that is stated.
    pub tariff: Option<String>,
    /// How many hours a day the site's packages run.
    pub hours: String,
    /// Its columns, in the order of the list of fields.
    pub columns: Vec<Column>,
    /// Its rows: a text for each column.
    pub rows: Vec<Vec<String>>,
    /// Promises that were left out.
    pub refused: Vec<Refused>,
    /// What has no place in a flat table: where it stands, and its key.
    pub unheld: Vec<(Span, String)>,
}

/// A column.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Column {
    /// Its place in the order of the list of fields.
    place: Vec<usize>,
    /// The key, with dots; also its heading.
    pub key: String,
    /// The condition that its figures hold under, for a point of a curve.
    pub at: Option<String>,
    /// Whether an intake can take it.
    pub taken: bool,
}

impl Column {
    /// What stands above it.
    pub fn heading(&self) -> String {
        match &self.at {
            Some(at) => format!("{} at {at}", self.key),
            None => self.key.clone(),
        }
    }
}

/// Keys that stand first, behind the ID: what a thing is called.
const NAMES: [&str; 4] = ["title", "sku", "model", "gtin"];

/// Keys that are the owner's alone.
const INTERNAL: [&str; 3] = ["notes", "source", "own"];

/// The things of a kind in a catalog as a table; with `all` also promises beyond the rating.
pub fn table(catalog: &Catalog, documents: &[Document], kind: Kind, all: bool) -> Table {
    let site = &catalog.site;
    let mut table = Table {
        kind: Some(kind),
        tariff: site.tariff.known().map(|tariff| tariff.text().to_string()),
        hours: site
            .hours_per_day
            .known()
            .map_or(24.0, |hours| hours.value)
            .to_string(),
        ..Table::default()
    };
    let mut rows: Vec<BTreeMap<Column, String>> = Vec::new();
    for entry in catalog.entries(kind) {
        let mut cells = Cells::of(kind, entry, &mut table);
        if !all && kind == Kind::Package {
            cells.hold_to_the_rating(catalog);
        }
        let Some(document) = documents.get(entry.document) else {
            continue;
        };
        rows.extend(cells.rows(document.item(entry.node)));
    }
    let mut columns: Vec<Column> = rows.iter().flat_map(|row| row.keys().cloned()).collect();
    columns.sort();
    columns.dedup();
    let text = |row: &BTreeMap<Column, String>, column: &Column| row.get(column).cloned();
    table.rows = rows
        .iter()
        .map(|row| {
            columns
                .iter()
                .map(|column| text(row, column).unwrap_or_default())
                .collect()
        })
        .collect();
    table.columns = columns;
    table
}

/// What is gathered of one thing.
struct Cells<'t> {
    kind: Kind,
    entry: &'t Entry,
    table: &'t mut Table,
    /// Where promises stand that aren't within the rating.
    refused: Vec<Span>,
    /// IDs of the options that may be shown; nothing where all may.
    options: Option<Vec<String>>,
    row: BTreeMap<Column, String>,
}

impl<'t> Cells<'t> {
    fn of(kind: Kind, entry: &'t Entry, table: &'t mut Table) -> Cells<'t> {
        Cells {
            kind,
            entry,
            table,
            refused: Vec::new(),
            options: None,
            row: BTreeMap::new(),
        }
    }

    fn hold_to_the_rating(&mut self, catalog: &Catalog) {
        let Some(package) = catalog.packages.get(&self.entry.id) else {
            return;
        };
        let judged = promises::judge(catalog, Derived::of_one(catalog, package), |_| true);
        self.refused = judged.refused.iter().map(|refused| refused.at).collect();
        let options = judged
            .ways
            .iter()
            .filter_map(|way| Some(way.option()?.id.clone()));
        self.options = Some(options.collect());
        self.table.refused.extend(judged.refused);
    }

    /// A row for each way that it is sold, or one.
    fn rows(mut self, item: Item) -> Vec<BTreeMap<Column, String>> {
        let fields = table_of(self.kind);
        self.put(vec![0], "id", self.entry.id.clone());
        self.walk(item, fields, "", &[1]);
        let place = fields.fields.iter().position(|field| field.key == "option");
        let options = place.and_then(|place| Some((place, table_behind(&fields.fields[place])?)));
        let Some((place, option)) = options else {
            return vec![self.row];
        };
        let own = self.row.clone();
        let listed = item.get("option").into_iter().flat_map(Item::items);
        let mut rows = Vec::new();
        for one in listed {
            let id = one.get("id").and_then(Item::as_str).unwrap_or_default();
            let may = self.options.as_ref();
            if may.is_some_and(|may| !may.iter().any(|own| own == id)) {
                continue;
            }
            self.row.clone_from(&own);
            self.walk(one, option, "option.", &[1, place]);
            rows.push(std::mem::take(&mut self.row));
        }
        match rows.is_empty() && item.get("option").is_none() {
            true => vec![own],
            false => rows,
        }
    }

    fn put(&mut self, place: Vec<usize>, key: &str, text: String) {
        self.put_at(place, key, None, text);
    }

    fn put_at(&mut self, place: Vec<usize>, key: &str, at: Option<String>, text: String) {
        let column = Column {
            place,
            key: key.to_string(),
            at,
            taken: key == "id" || Target::of(self.kind, key).is_some(),
        };
        if !text.is_empty() {
            self.row.insert(column, text);
        }
    }

    /// Every key of a table that is there.
    fn walk(&mut self, item: Item, fields: &'static Fields, before: &str, place: &[usize]) {
        for (number, field) in fields.fields.iter().enumerate() {
            let Some(value) = item.get(field.key) else {
                continue;
            };
            if INTERNAL.contains(&field.key) || (before.is_empty() && field.key == "option") {
                continue;
            }
            let key = format!("{before}{}", field.key);
            let named = NAMES.iter().position(|name| *name == key);
            let place = match named {
                Some(first) => vec![0, first],
                None => place.iter().copied().chain([number]).collect(),
            };
            self.value(value, field, &key, place);
        }
    }

    fn value(&mut self, value: Item, field: &'static Field, key: &str, place: Vec<usize>) {
        // A list of one is that one.
        let only = value.items().next().filter(|_| value.len() == 1);
        let value = match field.shape {
            Shape::OneOrMany(_) => only.unwrap_or(value),
            _ => value,
        };
        match (field.shape, table_behind(field)) {
            (Shape::Many(_), Some(table)) if table.field("pressure").is_some() => {
                self.curve(value, key, &place);
            }
            (Shape::One(_) | Shape::OneOrMany(_), Some(table)) if is_flat(value, table) => {
                self.walk(value, table, &format!("{key}."), &place);
            }
            (Shape::One(_) | Shape::Many(_) | Shape::OneOrMany(_), _) => {
                self.in_words(value, key, place);
            }
            (Shape::Part(table) | Shape::Parts(table), _) => self.parts(value, key, table, place),
            (Shape::Quantity(_) | Shape::Promise(_), _) => self.figures(value, key, place),
            (Shape::Texts | Shape::Ids(_), _) => {
                let all: Vec<&str> = value.items().filter_map(Item::as_str).collect();
                self.put(place, key, all.join("; "));
            }
            _ => self.put(place, key, plain(value)),
        }
    }

    /// A column for each pressure of a curve; one with watts along it is told in words.
    fn curve(&mut self, value: Item, key: &str, place: &[usize]) {
        let text = |point: Item, name: &str| point.get(name)?.as_str().map(str::to_string);
        let points = value.items().map(|point| {
            let is_whole = point.get("power").is_none();
            text(point, "pressure")
                .zip(text(point, "flow"))
                .filter(|_| is_whole)
        });
        let Some(points) = points.collect::<Option<Vec<(String, String)>>>() else {
            self.in_words(value, key, place.to_vec());
            return;
        };
        for (number, (pressure, flow)) in points.into_iter().enumerate() {
            let place = place.iter().copied().chain([number]).collect();
            self.put_at(place, key, Some(pressure), flow);
        }
    }

    /// What no cell holds whole: a column of its own shows it, which no intake takes, so that nothing is lost by one.
    fn in_words(&mut self, value: Item, key: &str, place: Vec<usize>) {
        let text = self.told(value);
        self.put(place, &format!("{key} in words"), text);
        let key = format!("{}.{key}", self.entry.on());
        self.table.unheld.push((value.name_span(), key));
    }

    /// `2 x disc-230; tube-500`.
    fn parts(&mut self, value: Item, key: &str, table: &'static Fields, place: Vec<usize>) {
        let uses: Vec<Item> = match value.kind() {
            Node::Array => value.items().collect(),
            _ => vec![value],
        };
        let mut more = table
            .fields
            .iter()
            .filter(|field| !["part", "count"].contains(&field.key));
        if more.any(|field| uses.iter().any(|one| one.get(field.key).is_some())) {
            self.in_words(value, key, place);
            return;
        }
        let one = |item: Item| match (item.as_str(), item.get("part").and_then(Item::as_str)) {
            (Some(id), _) => id.to_string(),
            (None, Some(id)) => match item.get("count").map_or("1", Item::written) {
                "1" => id.to_string(),
                count => format!("{count} x {id}"),
            },
            _ => String::new(),
        };
        let uses: Vec<String> = uses.into_iter().map(one).collect();
        self.put(place, key, uses.join("; "));
    }

    /// A figure with its condition; several rows of a promise one after another.
    fn figures(&mut self, value: Item, key: &str, place: Vec<usize>) {
        let is_rows =
            value.kind() == Node::Array && value.items().any(|one| one.kind() == Node::Table);
        let rows: Vec<Item> = match is_rows {
            true => value.items().collect(),
            false => vec![value],
        };
        let is_refused = |row: &&Item| {
            let mut refused = self.refused.iter();
            refused.any(|at| row.span() == *at || row.holds(*at))
        };
        let rows: Vec<Item> = rows
            .iter()
            .filter(|row| !is_refused(row))
            .copied()
            .collect();
        match rows
            .iter()
            .map(|row| figure(*row))
            .collect::<Option<Vec<String>>>()
        {
            Some(texts) => self.put(place, key, texts.join("; ")),
            None => self.in_words(value, key, place),
        }
    }

    /// A table or list that no cell holds, as a person reads it.
    fn told(&self, value: Item) -> String {
        let table = |item: Item| {
            let entries = item.entries().filter_map(|entry| {
                let (key, _) = entry.key()?;
                Some(format!("{} {}", key.replace('_', " "), self.told(entry)))
            });
            entries.collect::<Vec<_>>().join(", ")
        };
        match value.kind() {
            Node::Array => {
                let items: Vec<String> = value.items().map(|item| self.told(item)).collect();
                items.join("; ")
            }
            Node::Table => table(value),
            _ => plain(value),
        }
    }
}

/// Whether every key of a table has a cell of its own.
fn is_flat(value: Item, table: &Fields) -> bool {
    let is_cell = |entry: Item| {
        let field = entry.key().and_then(|(key, _)| table.field(key));
        field.is_none_or(|field| !matches!(field.shape, Shape::Many(_) | Shape::OneOrMany(_)))
    };
    value.kind() == Node::Table && value.entries().all(is_cell)
}

/// A word, number or date without its quotes.
fn plain(value: Item) -> String {
    value.as_str().unwrap_or(value.written()).to_string()
}

/// `7 ft (2.1 m)`, `50 L/min at 1.8 m`, `17 EUR/month at 0.31 EUR/kWh and 24 hours a day`; nothing for what an intake
/// wouldn't read.
fn figure(value: Item) -> Option<String> {
    let is = match value.kind() {
        Node::String => return value.as_str().map(str::to_string),
        Node::Array => return listed(value),
        _ => value.get("is")?,
    };
    let is = match is.kind() {
        Node::Array => listed(is)?,
        _ => is.as_str()?.to_string(),
    };
    let at = match value.get("at") {
        None => String::new(),
        Some(at) if at.as_str().is_some() => format!(" at {}", at.as_str()?),
        Some(at) => condition(at)?,
    };
    let each = value.get("per").map_or("", |_| " per diffuser");
    Some(format!("{is}{at}{each}"))
}

fn listed(value: Item) -> Option<String> {
    let all: Vec<&str> = value.items().filter_map(Item::as_str).collect();
    match all.as_slice() {
        [only] => Some((*only).to_string()),
        [first, second] => Some(format!("{first} ({second})")),
        _ => None,
    }
}

/// A condition of one quantity, or of a tariff and hours.
fn condition(at: Item) -> Option<String> {
    let hours = at.get("hours_per_day").map(Item::written);
    let mut others = at
        .entries()
        .filter(|entry| entry.key().is_some_and(|(key, _)| key != "hours_per_day"));
    let (first, none) = (others.next(), others.next().is_none());
    let first = first.map(|first| first.as_str().map(|text| (first, text)));
    match (first, hours) {
        (Some(Some((_, text))), None) if none => Some(format!(" at {text}")),
        (Some(Some((first, text))), Some(hours)) if none && first.key()?.0 == "tariff" => {
            Some(format!(" at {text} and {hours} hours a day"))
        }
        _ => None,
    }
}
