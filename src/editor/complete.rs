//! What may stand at a place: keys, words, units that fit, and IDs of the right kind.

use serde_json::{Value, json};

use crate::catalog::Catalog;
use crate::catalog::fields::{Field, Kind, Shape, Table};
use crate::document::{Document, Item};
use crate::units::{Dimension, table};

use super::spot::{Spot, kinds};
use super::{Answer, Asked};

/// The protocol's numbers for what is offered.
#[derive(Clone, Copy)]
enum Sort {
    Key = 10,
    Unit = 11,
    Word = 12,
    Thing = 18,
}

/// Something that may stand there.
struct Offer {
    text: String,
    sort: Sort,
    says: String,
}

impl Offer {
    fn new(text: impl Into<String>, sort: Sort, says: impl Into<String>) -> Offer {
        Offer {
            text: text.into(),
            sort,
            says: says.into(),
        }
    }
}

pub(super) fn at(request: &mut Asked) -> Answer {
    let at = request.at()?;
    let catalogs = request.unit.catalogs();
    let Some(document) = request.unit.document(request.file) else {
        return Ok(Value::Null);
    };
    let lines = request.lines();
    let (line, _) = lines.position(at);
    let start = lines.line(line).start;
    let before = request.text.get(start..at).unwrap_or("");
    let (offers, typed) = offers(document, &catalogs, start, before);
    let range = lines.range(at - typed..at);
    let items: Vec<Value> = { offers.iter() }
        .map(|offer| {
            json!({
                "label": offer.text,
                "kind": offer.sort as u8,
                "detail": offer.says,
                "textEdit": { "range": range, "newText": offer.text },
            })
        })
        .collect();
    Ok(json!({ "isIncomplete": false, "items": items }))
}

/// What may stand at the end of `before`, a line's beginning, and how many bytes of it were typed of that.
fn offers(
    document: &Document,
    catalogs: &[Catalog],
    start: usize,
    before: &str,
) -> (Vec<Offer>, usize) {
    let text = before.trim_start();
    if text.starts_with('#') {
        return (Vec::new(), 0);
    }
    if text.starts_with('[') {
        return of_header(catalogs, text.trim_start_matches('['));
    }
    let section = document.section_at(start);
    let spot = match section.header_span() {
        Some(_) => Spot::of(section),
        None => Spot::root(),
    };
    within(spot, Some(section), catalogs, text)
}

/// The keys of a header that isn't finished.
fn of_header(catalogs: &[Catalog], text: &str) -> (Vec<Offer>, usize) {
    let mut keys: Vec<&str> = text.split('.').map(str::trim).collect();
    let last = keys.pop().unwrap_or("");
    let spot = keys.into_iter().fold(Spot::root(), Spot::below);
    let offers = match (spot.table, spot.field.map(|field| &field.shape)) {
        (None, Some(Shape::ById(kind, _))) => ids(catalogs, &[*kind]),
        (Some(table), _) => {
            let tables = table.fields.iter().filter(|field| is_table(&field.shape));
            tables
                .map(|field| Offer::new(field.key, Sort::Key, field.says))
                .collect()
        }
        _ => Vec::new(),
    };
    (offers, last.len())
}

fn is_table(shape: &Shape) -> bool {
    matches!(
        shape,
        Shape::One(_)
            | Shape::Many(_)
            | Shape::OneOrMany(_)
            | Shape::Parts(_)
            | Shape::ById(..)
            | Shape::ByName(_)
            | Shape::Levels
    )
}

/// What may stand in a table, at the end of `text`: a key, or the value of one.
fn within(
    spot: Spot,
    section: Option<Item>,
    catalogs: &[Catalog],
    text: &str,
) -> (Vec<Offer>, usize) {
    let Some((written, value)) = split(text) else {
        let mut keys: Vec<&str> = text.split('.').map(str::trim).collect();
        let last = keys.pop().unwrap_or("");
        let is_dotted = !keys.is_empty();
        let spot = keys.into_iter().fold(spot, Spot::below);
        let there = section.filter(|_| !is_dotted);
        let offers = spot
            .table
            .map(|table| keys_of(table, there))
            .unwrap_or_default();
        return (offers, last.len());
    };
    let spot = written.split('.').map(str::trim).fold(spot, Spot::below);
    let Some(field) = spot.field else {
        return (Vec::new(), 0);
    };
    // In braces stand keys and values of the table that the key has.
    if let Some(open) = unclosed(value) {
        let inside = &value[open + 1..];
        let from = last_comma(inside);
        let inner = inside[from..].trim_start();
        return match spot.table {
            Some(_) => within(spot, None, catalogs, inner),
            None => figure(field, inner),
        };
    }
    of_value(field, catalogs, value)
}

/// In the braces of a figure: what it is, under what, and where it comes from.
fn figure(field: &Field, text: &str) -> (Vec<Offer>, usize) {
    match split(text) {
        Some((key, value)) if key.trim() == "is" => of_value(field, &[], value),
        Some(_) => (Vec::new(), 0),
        None => {
            let keys = [
                ("is", "the figure"),
                ("at", "the condition it holds under"),
                ("source", "where it comes from"),
            ];
            let keys = keys.map(|(key, says)| Offer::new(key, Sort::Key, says));
            (keys.into(), text.len())
        }
    }
}

/// The key and the value of `key = value`, where the text got so far.
fn split(text: &str) -> Option<(&str, &str)> {
    let (key, value) = text.split_once('=')?;
    (!key.contains(['"', '\''])).then(|| (key.trim(), value.trim_start()))
}

/// Where a brace opens that isn't closed: the last of them outside of strings.
fn unclosed(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    outside(text, |at, letter| match letter {
        '{' => open.push(at),
        '}' => {
            open.pop();
        }
        _ => {}
    });
    open.first().copied()
}

/// Behind the last comma outside of strings and brackets.
fn last_comma(text: &str) -> usize {
    let (mut deep, mut found) = (0_usize, 0);
    outside(text, |at, letter| match letter {
        '[' | '{' => deep += 1,
        ']' | '}' => deep = deep.saturating_sub(1),
        ',' if deep == 0 => found = at + 1,
        _ => {}
    });
    found
}

/// The letters outside of strings on one line.
fn outside(text: &str, mut f: impl FnMut(usize, char)) {
    let mut quote = None;
    for (at, letter) in text.char_indices() {
        match (quote, letter) {
            (Some(open), _) if open == letter => quote = None,
            (Some(_), _) => {}
            (None, '"' | '\'') => quote = Some(letter),
            (None, _) => f(at, letter),
        }
    }
}

fn keys_of(table: &Table, there: Option<Item>) -> Vec<Offer> {
    let is_new = |field: &&Field| there.is_none_or(|item| item.get(field.key).is_none());
    let fields = table.fields.iter().filter(is_new);
    fields
        .map(|field| Offer::new(field.key, Sort::Key, field.says))
        .collect()
}

fn of_value(field: &Field, catalogs: &[Catalog], value: &str) -> (Vec<Offer>, usize) {
    // What is being typed: in quotes from the last one on, else the last word.
    let mut open = None;
    let mut quotes = 0;
    for (at, letter) in value.char_indices().filter(|(_, letter)| *letter == '"') {
        quotes += 1;
        open = (quotes % 2 == 1).then_some(at + letter.len_utf8());
    }
    let typed = match open {
        Some(from) => &value[from..],
        None => value.rsplit([' ', ',', '[']).next().unwrap_or(""),
    };
    let quoted = |offers: Vec<Offer>| -> Vec<Offer> {
        let with = |mut offer: Offer| {
            if open.is_none() {
                offer.text = format!("\"{}\"", offer.text);
            }
            offer
        };
        offers.into_iter().map(with).collect()
    };
    let words = |words: &[&str]| -> Vec<Offer> {
        words
            .iter()
            .map(|word| Offer::new(*word, Sort::Word, field.says))
            .collect()
    };
    match field.shape {
        Shape::Quantity(dimensions)
        | Shape::Promise(dimensions)
        | Shape::Quantities(dimensions) => match open {
            Some(_) => units(dimensions, typed),
            None => (Vec::new(), 0),
        },
        Shape::Words(all) => (quoted(words(all)), typed.len()),
        Shape::Levels => (
            quoted(words(&["error", "warning", "note", "none"])),
            typed.len(),
        ),
        Shape::Flag => (words(&["true", "false"]), typed.len()),
        _ => (quoted(ids(catalogs, kinds(field))), typed.len()),
    }
}

/// Units of the dimensions, once a number stands before them.
fn units(dimensions: &[Dimension], typed: &str) -> (Vec<Offer>, usize) {
    let number = typed.rfind(|letter: char| letter.is_ascii_digit());
    let Some(number) = number else {
        return (Vec::new(), 0);
    };
    let unit = typed[number + 1..].trim_start();
    let all = table::listed().filter(|unit| dimensions.contains(&unit.dimension()));
    let offers = all.map(|unit| Offer::new(unit.spelling(), Sort::Unit, unit.description()));
    (offers.collect(), unit.len())
}

fn ids(catalogs: &[Catalog], kinds: &[Kind]) -> Vec<Offer> {
    let mut all: Vec<Offer> = Vec::new();
    for (catalog, kind) in catalogs
        .iter()
        .flat_map(|one| kinds.iter().map(move |kind| (one, *kind)))
    {
        for entry in catalog.entries(kind) {
            let title = entry.title.as_deref().unwrap_or(kind.words());
            all.push(Offer::new(entry.id.as_str(), Sort::Thing, title));
        }
    }
    all.sort_by(|a, b| a.text.cmp(&b.text));
    all.dedup_by(|a, b| a.text == b.text);
    all
}
