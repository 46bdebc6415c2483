//! Holds a document's tree to the schema, and words what is wrong for a person.
//!
//! The schema is the one made from the list of fields; the validator walks our own tree, so
//! each error is known by its node and stands at its key or value. A file in which the list
//! itself finds nothing wrong is not held to it.

use std::borrow::Cow;
use std::collections::{HashMap, HashSet};
use std::sync::LazyLock;

use jsonschema::JsonType;
use jsonschema::error::ValidationErrorKind as Kind;
use jsonschema::json::{Array, Json, JsonNumber, Node, NodeIdentity, Object};
use jsonschema::{PatternOptions, Validator};
use serde_json::Value;

use crate::document::{Document, Item, ItemId, Kind as ItemKind};
use crate::text::Span;

use super::fault::{CatalogFault, FaultKind};
use super::fields::{self, Field, Shape, Table};
use super::fits::fits;
use super::{headers, nearest, schema};

/// A tree of ours, as the validator sees it.
enum Tree {}

/// One item of it, or a key on its own.
#[derive(Clone, Copy)]
enum Part<'a> {
    Item(Item<'a>),
    Name(&'a str),
}

impl Json for Tree {
    type Node<'a> = Part<'a>;
    type PreparedKey = String;
    type StringBuffer = String;

    const KEYS_PER_LOOKUP: usize = 4;
    const ACYCLIC: bool = true;

    fn prepare_key(key: &str) -> String {
        key.to_owned()
    }

    fn with_string_node<T>(buffer: &mut String, string: &str, f: impl FnOnce(Part<'_>) -> T) -> T {
        buffer.clear();
        buffer.push_str(string);
        f(Part::Name(buffer))
    }
}

impl<'a> Node<'a, Tree> for Part<'a> {
    type Object = Item<'a>;
    type Array = Item<'a>;
    type Number = Number;

    fn as_object(&self) -> Option<Item<'a>> {
        match self {
            Part::Item(item) if item.kind() == ItemKind::Table => Some(*item),
            _ => None,
        }
    }

    fn as_array(&self) -> Option<Item<'a>> {
        match self {
            Part::Item(item) if item.kind() == ItemKind::Array => Some(*item),
            _ => None,
        }
    }

    fn as_string(&self) -> Option<Cow<'a, str>> {
        match self {
            Part::Name(name) => Some(Cow::Borrowed(name)),
            Part::Item(item) => match item.kind() {
                ItemKind::String => item.as_str().map(Cow::Borrowed),
                // JSON has no dates: the schema calls a date a text of that format.
                ItemKind::Date => Some(Cow::Borrowed(item.written())),
                _ => None,
            },
        }
    }

    fn as_number(&self) -> Option<Number> {
        match self {
            Part::Item(item) => match item.kind() {
                ItemKind::Integer => item.as_i64().map(Number::Whole),
                ItemKind::Float => item
                    .as_f64()
                    .filter(|one| one.is_finite())
                    .map(Number::Real),
                _ => None,
            },
            Part::Name(_) => None,
        }
    }

    fn as_boolean(&self) -> Option<bool> {
        match self {
            Part::Item(item) => item.as_bool(),
            Part::Name(_) => None,
        }
    }

    fn is_null(&self) -> bool {
        matches!(self, Part::Item(item) if item.kind() == ItemKind::Bad)
    }

    fn json_type(&self) -> JsonType {
        match self {
            Part::Name(_) => JsonType::String,
            Part::Item(item) => match item.kind() {
                ItemKind::Table => JsonType::Object,
                ItemKind::Array => JsonType::Array,
                ItemKind::String | ItemKind::Date => JsonType::String,
                // JSON has no infinity, and nobody can calculate with one.
                ItemKind::Float if is_endless(*item) => JsonType::Null,
                ItemKind::Integer | ItemKind::Float => JsonType::Number,
                ItemKind::Boolean => JsonType::Boolean,
                ItemKind::Bad => JsonType::Null,
            },
        }
    }

    fn equals_value(&self, expected: &Value) -> bool {
        match (self.as_string(), expected) {
            (Some(text), Value::String(expected)) => text == expected.as_str(),
            (None, Value::String(_)) => false,
            _ => match (self.as_number(), expected.as_f64()) {
                (Some(number), Some(expected)) => number.as_f64() == Some(expected),
                _ => false,
            },
        }
    }

    fn to_value(&self) -> Cow<'a, Value> {
        // Only for the library's own wording, which nobody reads; a copy of a whole file would
        // be made for each error otherwise.
        Cow::Owned(Value::Null)
    }

    fn identity(&self) -> Option<NodeIdentity> {
        match self {
            Part::Item(item) => {
                let document = std::ptr::from_ref(item.document()) as usize;
                Some(NodeIdentity::tagged(document, item.id().number()))
            }
            Part::Name(_) => None,
        }
    }
}

impl<'a> Object<'a, Tree> for Item<'a> {
    type Node = Part<'a>;
    type MemberName = &'a str;
    type MembersIter = Box<dyn Iterator<Item = (&'a str, Part<'a>)> + 'a>;

    fn len(&self) -> usize {
        Item::len(*self)
    }

    fn get(&self, key: &String) -> Option<Part<'a>> {
        Item::get(*self, key).map(Part::Item)
    }

    fn members(&self) -> Self::MembersIter {
        Box::new(
            self.entries()
                .map(|item| (item.key().map_or("", |(key, _)| key), Part::Item(item))),
        )
    }
}

impl<'a> Array<'a, Tree> for Item<'a> {
    type Node = Part<'a>;
    type ElementsIter = Box<dyn Iterator<Item = Part<'a>> + 'a>;

    fn len(&self) -> usize {
        Item::len(*self)
    }

    fn elements(&self) -> Self::ElementsIter {
        Box::new(self.items().map(Part::Item))
    }

    fn is_unique(&self) -> bool {
        true
    }
}

/// A number of the tree.
#[derive(Clone, Copy)]
enum Number {
    Whole(i64),
    Real(f64),
}

impl JsonNumber for Number {
    fn as_u64(&self) -> Option<u64> {
        match self {
            Number::Whole(number) => u64::try_from(*number).ok(),
            Number::Real(_) => None,
        }
    }

    fn as_i64(&self) -> Option<i64> {
        match self {
            Number::Whole(number) => Some(*number),
            Number::Real(_) => None,
        }
    }

    fn as_f64(&self) -> Option<f64> {
        match self {
            Number::Whole(number) => Some(*number as f64),
            Number::Real(number) => Some(*number),
        }
    }

    fn as_str(&self) -> Cow<'_, str> {
        match self {
            Number::Whole(number) => Cow::Owned(number.to_string()),
            Number::Real(number) => Cow::Owned(number.to_string()),
        }
    }

    fn to_number(&self) -> Cow<'_, serde_json::Number> {
        let zero = || serde_json::Number::from(0);
        Cow::Owned(match self {
            Number::Whole(number) => (*number).into(),
            Number::Real(number) => serde_json::Number::from_f64(*number).unwrap_or_else(zero),
        })
    }

    fn is_integer(&self) -> bool {
        // In TOML `2.0` is a different type from `2`.
        matches!(self, Number::Whole(_))
    }

    fn is_written_as_integer(&self) -> bool {
        self.is_integer()
    }
}

/// The validators of a catalog file, of a table's mapping and of a pond's, each built once.
static CATALOG: LazyLock<Validator<Tree>> = LazyLock::new(|| validator(&schema::schema()));
static MAPPING: LazyLock<Validator<Tree>> = LazyLock::new(|| validator(&schema::mapping_schema()));
static POND: LazyLock<Validator<Tree>> = LazyLock::new(|| validator(&schema::pond_schema()));

fn validator(schema: &Value) -> Validator<Tree> {
    jsonschema::options_for::<Tree>()
        .with_pattern_options(PatternOptions::regex())
        .should_validate_formats(true)
        .offline()
        .build(schema)
        .unwrap_or_else(|error| panic!("the program's own schema: {error}"))
}

/// Most faults of shape listed for one file; beyond that the file is another kind of thing.
pub const MOST: usize = 1000;

/// What of `document` hasn't the shape of a catalog file, in the order of the text, and how many
/// more there are than are listed.
pub fn check(document: &Document) -> (Vec<CatalogFault>, usize) {
    check_by(&CATALOG, &fields::ROOT, "catalog", document)
}

/// The same of a pond file.
pub fn check_pond(document: &Document) -> (Vec<CatalogFault>, usize) {
    check_by(&POND, &super::pond::POND_FILE, "pond", document)
}

/// The same of the mapping of a table.
pub fn check_mapping(document: &Document) -> (Vec<CatalogFault>, usize) {
    check_by(&MAPPING, &super::mapping::MAPPING_FILE, "mapping", document)
}

fn check_by(
    validator: &LazyLock<Validator<Tree>>,
    root: &'static Table,
    on: &str,
    document: &Document,
) -> (Vec<CatalogFault>, usize) {
    let mut faults = Vec::new();
    let mut more = 0;
    if fits(document.root(), root) {
        return (faults, more);
    }
    let mut lists = Lists::default();
    let mut named = HashSet::new();
    for error in validator.iter_errors(Part::Item(document.root())) {
        let start = Place {
            item: document.root(),
            field: None,
            table: Some(root),
            on: on.to_string(),
        };
        let Some(place) = start.follow(error.instance_path(), &mut lists) else {
            continue;
        };
        // One wrong name of a table is worded with all others.
        let of_names = matches!(error.kind(), Kind::PropertyNames { .. });
        if of_names && !named.insert(place.item.id()) {
            continue;
        }
        // What couldn't be read has been reported by the reader of the text.
        if place.item.kind() == ItemKind::Bad {
            continue;
        }
        let before = faults.len();
        place.word(error.kind(), &mut faults);
        if faults.len() > MOST {
            more += faults.len() - MOST.max(before);
            faults.truncate(MOST);
        }
    }
    let start = Place {
        item: document.root(),
        field: None,
        table: Some(root),
        on: on.to_string(),
    };
    start.stray_dates(&mut faults);
    faults.sort_by_key(|fault| fault.at);
    (faults, more)
}

/// Whether a document is a catalog's file, a pond's and a mapping, by the validators.
#[cfg(test)]
pub(super) fn are_valid(document: &Document) -> [bool; 3] {
    [&CATALOG, &POND, &MAPPING].map(|validator| validator.is_valid(Part::Item(document.root())))
}

/// Whether a text of any kind is what belongs at a place.
fn takes_text(shape: Shape) -> bool {
    matches!(
        shape,
        Shape::Quantity(_)
            | Shape::Promise(_)
            | Shape::Quantities(_)
            | Shape::Text
            | Shape::Remark
            | Shape::Texts
            | Shape::Id(_)
            | Shape::Ids(_)
            | Shape::End
            | Shape::Supply
            | Shape::Part(_)
            | Shape::Parts(_)
    )
}

/// The elements of lists by their numbers: a list itself is walked to reach one of them.
type Lists<'d> = HashMap<ItemId, Vec<Item<'d>>>;

/// Where an error is: the item, and what the list of fields says of the place.
#[derive(Clone)]
struct Place<'d> {
    item: Item<'d>,
    /// The field whose value this is or lies in.
    field: Option<&'static Field>,
    /// The table this is, where it is one.
    table: Option<&'static Table>,
    /// What it lies in, as a waiver names it.
    on: String,
}

impl<'d> Place<'d> {
    /// The place at `path` from this one.
    fn follow(
        self,
        path: &jsonschema::paths::Location,
        lists: &mut Lists<'d>,
    ) -> Option<Place<'d>> {
        let mut place = self;
        for segment in path.segments() {
            place = match segment {
                jsonschema::paths::LocationSegment::Property(key) => place.enter(&key)?,
                jsonschema::paths::LocationSegment::Index(index) => {
                    let list = place.item;
                    let elements = lists.entry(list.id());
                    let elements = elements.or_insert_with(|| list.items().collect());
                    Place {
                        item: *elements.get(index)?,
                        ..place
                    }
                }
            };
        }
        Some(place)
    }

    /// The place of `key` in this one.
    fn enter(self, key: &str) -> Option<Place<'d>> {
        let item = self.item.get(key)?;
        Some(self.at(key, item))
    }

    /// The place of `item`, which stands in this one under `key`.
    fn at(self, key: &str, item: Item<'d>) -> Place<'d> {
        // The tables below `[compressor]` and its like are named by the writer.
        if let Some(Shape::ById(_, table) | Shape::ByName(table)) = self.field.map(|f| f.shape)
            && self.table.is_none()
        {
            let kind = self.field.map_or("", |field| field.key);
            return Place {
                item,
                field: self.field,
                table: Some(table),
                on: format!("{kind}.{key}"),
            };
        }
        let field = self.table.and_then(|table| table.field(key));
        let table = match field.map(|field| field.shape) {
            Some(Shape::ById(..) | Shape::ByName(_)) => None,
            _ => field.and_then(fields::table_behind),
        };
        // Inside a quantity written as a table the keys are `is`, `at` and `source`.
        let (field, table) = match (field, self.field.map(|f| f.shape)) {
            (None, Some(Shape::Quantity(_) | Shape::Promise(_))) if key == "at" => {
                (self.field, Some(&fields::CONDITIONS))
            }
            (None, _) => (self.field, None),
            found => (found.0, table),
        };
        Place {
            item,
            field,
            table,
            on: self.on,
        }
    }

    /// Dates where a text belongs: the schema calls a date a text, as JSON has none, and takes them.
    fn stray_dates(self, faults: &mut Vec<CatalogFault>) {
        match self.item.kind() {
            ItemKind::Table => {
                for entry in self.item.entries() {
                    if let Some((key, _)) = entry.key() {
                        self.clone().at(key, entry).stray_dates(faults);
                    }
                }
            }
            ItemKind::Array => {
                for item in self.item.items() {
                    let place = Place {
                        item,
                        ..self.clone()
                    };
                    place.stray_dates(faults);
                }
            }
            ItemKind::Date if self.field.is_some_and(|field| takes_text(field.shape)) => {
                faults.push(CatalogFault {
                    at: self.item.span(),
                    kind: self.wrong(&self.expected()),
                    on: self.on,
                });
            }
            _ => {}
        }
    }

    fn is_quantity(&self) -> bool {
        matches!(
            self.field.map(|f| f.shape),
            Some(Shape::Quantity(_) | Shape::Promise(_) | Shape::Quantities(_))
        )
    }

    /// Where a key that should be here and isn't is reported: at the table's header.
    fn header(&self) -> Span {
        self.item.header_span().unwrap_or(self.item.name_span())
    }

    fn word(&self, kind: &Kind, faults: &mut Vec<CatalogFault>) {
        let mut add = |at: Span, kind: FaultKind| {
            faults.push(CatalogFault {
                at,
                on: self.on.clone(),
                kind,
            })
        };
        match kind {
            Kind::AdditionalProperties { unexpected } => {
                for key in unexpected {
                    let Some(item) = self.item.get(key) else {
                        continue;
                    };
                    // A key whose value couldn't be read is still a key, and may be misspelt; but
                    // one fault at a place is enough.
                    if item.kind() == ItemKind::Bad {
                        continue;
                    }
                    add(item.name_span(), self.unknown(key));
                }
            }
            Kind::Required { property } => {
                let key = property.as_str().unwrap_or("");
                if !self.item.damaged() {
                    add(self.header(), self.missing(&[key.to_string()]));
                }
            }
            Kind::AnyOf { .. } => {
                let either = self.table.map_or(&[][..], |table| table.either);
                let ways: Vec<String> = either.iter().map(|keys| keys.join(" and ")).collect();
                if !self.item.damaged() && !ways.is_empty() {
                    add(self.header(), self.missing(&ways));
                }
            }
            Kind::PropertyNames { .. } => {
                for item in self.item.entries() {
                    let Some((key, at)) = item.key() else {
                        continue;
                    };
                    if !is_id(key) {
                        let offered = Some(id_of(key)).filter(|id| is_id(id));
                        add(
                            at,
                            FaultKind::WrongId {
                                found: key.to_string(),
                                offered,
                            },
                        );
                    }
                }
            }
            Kind::Enum { .. } => {
                let allowed: &'static [&'static str] = match self.field.map(|f| f.shape) {
                    Some(Shape::Words(words)) => words,
                    Some(Shape::Levels) => &["error", "warning", "note", "none"],
                    _ => &["diffuser", "package"],
                };
                match self.item.as_str() {
                    Some(word) => add(
                        self.item.span(),
                        FaultKind::WrongWord {
                            found: word.to_string(),
                            allowed,
                            nearest: nearest(word, allowed.iter().copied()),
                        },
                    ),
                    None => add(
                        self.item.span(),
                        self.wrong(&format!("one of {}", allowed.join(", "))),
                    ),
                }
            }
            Kind::Minimum { limit } => {
                add(
                    self.item.span(),
                    self.wrong(&format!("a whole number from {limit} on")),
                );
            }
            Kind::Pattern { .. } => add(self.item.span(), self.wrong("some text")),
            Kind::MinItems { .. } if self.item.is_empty() => {
                add(self.item.span(), self.wrong("at least one"));
            }
            Kind::MinItems { .. } => {
                let count = self.item.items().count();
                let found = format!("a list of {count}");
                add(self.item.span(), self.wrong_as(&self.expected(), found));
            }
            // A bare number at a quantity's place lacks its unit; the reader of figures says so.
            Kind::Type { .. } if self.is_quantity() && self.item.as_f64().is_some() => {}
            Kind::Type { .. } => add(self.item.span(), self.wrong(&self.expected())),
            Kind::Format { .. } => add(self.item.span(), self.wrong("a date such as 2026-05-02")),
            _ => add(self.item.span(), self.wrong(&self.expected())),
        }
    }

    fn unknown(&self, key: &str) -> FaultKind {
        let (table, fields) = match self.table {
            Some(table) => (table.name, table.fields),
            None => ("quantity", &[][..]),
        };
        let keys: Vec<&'static str> = if fields.is_empty() {
            vec!["is", "at", "source"]
        } else {
            fields.iter().map(|f| f.key).collect()
        };
        let is_free = |key: &&'static str| self.item.get(key).is_none();
        let item = self.item.get(key);
        let takes = |known: &&'static str| {
            let field = self.table.and_then(|table| table.field(known));
            let there = self.item.get(known).zip(item).zip(field);
            there.is_none_or(|((there, more), field)| goes_into(more, there, field))
        };
        FaultKind::UnknownKey {
            key: key.to_string(),
            nearest: nearest(key, keys.iter().copied().filter(takes))
                .or_else(|| with_word(key, keys.iter().copied().filter(takes))),
            also: item.map_or(Vec::new(), headers::naming),
            table,
            known: keys.into_iter().filter(is_free).collect(),
        }
    }

    fn missing(&self, ways: &[String]) -> FaultKind {
        let field = match ways {
            [key] => self.table.and_then(|table| table.field(key)),
            _ => None,
        };
        FaultKind::MissingKey {
            ways: ways.to_vec(),
            says: field.map_or("", |field| field.says),
            example: field.map_or("", |field| field.example),
            table: self.table.map_or("quantity", |table| table.name),
        }
    }

    fn wrong(&self, expected: &str) -> FaultKind {
        self.wrong_as(expected, found(self.item))
    }

    fn wrong_as(&self, expected: &str, found: String) -> FaultKind {
        FaultKind::WrongShape {
            expected: expected.to_string(),
            found,
            example: self.field.map_or("", |field| field.example),
            offered: self
                .field
                .and_then(|field| in_shape(self.item, field.shape)),
        }
    }

    /// What belongs here, in words.
    fn expected(&self) -> String {
        let Some(field) = self.field else {
            return "something else".into();
        };
        match field.shape {
            Shape::Quantity(dimensions)
            | Shape::Promise(dimensions)
            | Shape::Quantities(dimensions) => {
                let words: Vec<&str> = dimensions.iter().map(|d| d.words()).collect();
                format!("{} with its unit, in quotes", words.join(" or "))
            }
            Shape::Number => "a plain number".into(),
            Shape::Count(from) => format!("a whole number, {from} or more"),
            Shape::Flag => "true or false".into(),
            Shape::Text | Shape::Remark => "text in quotes".into(),
            Shape::Texts => "a list of texts".into(),
            Shape::Corners | Shape::Place if is_endless(self.item) => "a plain number".into(),
            Shape::Corners => "a list of three corners or more, each [x, y]".into(),
            Shape::Place => "a place, [x, y]".into(),
            Shape::Words(words) => format!("one of {}", words.join(", ")),
            Shape::Date => "a date such as 2026-05-02, without quotes".into(),
            Shape::Id(_) => "the ID of a part, in quotes".into(),
            Shape::Ids(_) => "a list of IDs".into(),
            Shape::Part(_) => "an ID in quotes, or { part, count }".into(),
            Shape::Parts(_) => "an ID in quotes, or { part, count }, or a list of these".into(),
            Shape::End => "an end such as \"1/2 in barb\"".into(),
            Shape::Supply => "a supply such as \"115 V 60 Hz\"".into(),
            Shape::One(_) | Shape::ById(..) | Shape::ByName(_) | Shape::Levels | Shape::Own => {
                "a table".into()
            }
            Shape::Many(_) => "a list of tables".into(),
            Shape::OneOrMany(_) => "a table, or a list of tables".into(),
        }
    }
}

/// Whether the tables of `more` may be added to those that are there: further parts with IDs of their own, or
/// further tables of a list.
fn goes_into(more: Item, there: Item, field: &Field) -> bool {
    match field.shape {
        Shape::ById(..) | Shape::ByName(_) => {
            let mut keys = more.entries().filter_map(Item::key);
            let is_table = |item: Item| item.kind() == ItemKind::Table && !item.is_inline();
            is_table(more) && is_table(there) && keys.all(|(key, _)| there.get(key).is_none())
        }
        Shape::Many(_) => more.is_list_of_tables() && there.is_list_of_tables(),
        _ => false,
    }
}

/// The same value in the shape it should have: a count, a number or a flag without its quotes, a
/// name that is a number with them. Nothing where it isn't one.
fn in_shape(item: Item, shape: Shape) -> Option<String> {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let text = item.as_str().map(str::trim);
    match shape {
        Shape::Count(from) => {
            let text =
                text.filter(|text| digits(text) && (*text == "0" || !text.starts_with('0')))?;
            let count: i64 = text.parse().ok()?;
            (count >= from).then(|| text.to_string())
        }
        Shape::Number => {
            let text = text?;
            let (whole, rest) = text
                .split_once('.')
                .map_or((text, None), |(a, b)| (a, Some(b)));
            let plain = digits(whole) && (whole == "0" || !whole.starts_with('0'));
            (plain && rest.is_none_or(digits)).then(|| text.to_string())
        }
        Shape::Flag => match text?.to_ascii_lowercase().as_str() {
            "true" | "yes" => Some("true".into()),
            "false" | "no" => Some("false".into()),
            _ => None,
        },
        Shape::Text => {
            use ItemKind::{Date, Float, Integer};
            let is_bare = matches!(item.kind(), Integer | Float | Date);
            is_bare.then(|| format!("\"{}\"", item.written()))
        }
        _ => None,
    }
}

/// Whether an item is `inf` or `nan`, which TOML calls numbers too.
fn is_endless(item: Item) -> bool {
    item.kind() == ItemKind::Float && !item.as_f64().is_some_and(f64::is_finite)
}

/// What an item is, in words.
fn found(item: Item) -> String {
    match item.kind() {
        ItemKind::Table => "a table".into(),
        ItemKind::Array if item.is_empty() => "an empty list".into(),
        ItemKind::Array => "a list".into(),
        ItemKind::String if item.as_str().is_some_and(|text| text.trim().is_empty()) => {
            "nothing but quotes".into()
        }
        ItemKind::String => "text".into(),
        ItemKind::Float if is_endless(item) => format!("`{}`", item.written()),
        ItemKind::Integer | ItemKind::Float => format!("the number {}", item.written()),
        ItemKind::Boolean => item.written().to_string(),
        ItemKind::Date => "a date".into(),
        ItemKind::Bad => "something unreadable".into(),
    }
}

/// Whether `text` is a right ID.
pub fn is_id(text: &str) -> bool {
    !text.is_empty()
        && text.split('-').all(|word| {
            !word.is_empty()
                && word
                    .bytes()
                    .all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
        })
}

/// The nearest right ID to `text`, without accents: `Tube 300, 1/2 in` becomes `tube-300-1-2-in`. Empty where the text
/// has neither letters nor digits.
pub fn id_of(text: &str) -> String {
    let ascii = deunicode::deunicode(text).to_ascii_lowercase();
    let words = ascii.split(|c: char| !c.is_ascii_alphanumeric());
    let words: Vec<&str> = words.filter(|word| !word.is_empty()).collect();
    words.join("-")
}

/// The one key that has `word` among its words: `running_cost` for `cost`.
fn with_word(word: &str, keys: impl Iterator<Item = &'static str>) -> Option<&'static str> {
    let mut having = keys.filter(|key| key.split('_').any(|part| part == word));
    let first = having.next()?;
    having.next().is_none().then_some(first)
}
