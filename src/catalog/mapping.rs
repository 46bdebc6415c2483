//! The keys of a table's mapping: which column of a spreadsheet is which key of the format, and in what unit.

use crate::document::{Document, Item};
use crate::text::Span;
use crate::units::{self, Dimension};

use super::fields::{self, Field, Kind, ROOT, Shape as S, Table, field, needed, table_behind};
use super::{CatalogFault, FaultKind, nearest, shape};

/// The root of a mapping file.
pub static MAPPING_FILE: Table = Table {
    name: "mapping-file",
    says: "how tables are taken into a catalog",
    fields: &[
        needed(
            "intake",
            S::One(&INTAKE),
            "the mapping itself",
            "{ format = 1 }",
        ),
        needed(
            "table",
            S::Many(&TABLE),
            "the tables",
            "[{ kind = \"compressor\", column = [{ heading = \"Model\", key = \"title\" }] }]",
        ),
    ],
    either: &[],
};

static INTAKE: Table = Table {
    name: "intake",
    says: "the mapping itself",
    fields: &[
        needed("format", S::Count(1), "version of the format: 1", "1"),
        field("title", S::Text, "what it is called", "\"Spring list\""),
        field(
            "notes",
            S::Remark,
            "remarks; not used",
            "\"from the buyers\"",
        ),
    ],
    either: &[],
};

/// One table: a sheet of a workbook, or a CSV file.
pub static TABLE: Table = Table {
    name: "table",
    says: "a sheet of a workbook, or a file of separated values",
    fields: &[
        field(
            "file",
            S::Text,
            "name of the file, as a glob; any unless stated",
            "\"list-*.xlsx\"",
        ),
        field(
            "sheet",
            S::Text,
            "name of the sheet; any unless stated",
            "\"Compressors\"",
        ),
        field(
            "kind",
            S::Words(KINDS),
            "what its rows are; with join, what is looked for",
            "\"compressor\"",
        ),
        field(
            "join",
            S::Words(NAMES),
            "the key by which a row finds what other tables or the catalog state; such a table makes nothing new",
            "\"sku\"",
        ),
        field(
            "heading_row",
            S::Count(1),
            "row of the headings; 1 unless stated",
            "3",
        ),
        field(
            "decimal",
            S::Words(&["point", "comma"]),
            "sign before the decimals in its numbers; the other one then parts thousands. Doubtful numbers are reported unless stated",
            "\"comma\"",
        ),
        field(
            "write",
            S::Text,
            "file of the catalog that new entries go to; KIND.toml unless stated",
            "\"parts/compressors.toml\"",
        ),
        needed(
            "column",
            S::Many(&COLUMN),
            "its columns",
            "[{ heading = \"Flow (CFM)\", key = \"open_flow\", unit = \"cfm\" }]",
        ),
        field(
            "fixed",
            S::Own,
            "values that hold for every row and that no column has, by key",
            "{ technology = \"linear-diaphragm\", frequency = \"50 Hz\" }",
        ),
        field(
            "notes",
            S::Remark,
            "remarks; not used",
            "\"prices without tax\"",
        ),
    ],
    either: &[&["kind"], &["join"]],
};

static COLUMN: Table = Table {
    name: "column",
    says: "a column of a table",
    fields: &[
        needed(
            "heading",
            S::Text,
            "its heading, as it stands there",
            "\"Flow (CFM)\"",
        ),
        field(
            "key",
            S::Text,
            "key of the format, with a dot before a key of a table within; not taken unless stated",
            "\"claim.depth\"",
        ),
        field(
            "unit",
            S::Text,
            "unit of its numbers that stand without one",
            "\"cfm\"",
        ),
        field(
            "unit_from",
            S::Text,
            "heading of the column that holds the unit of each row",
            "\"Currency\"",
        ),
        field(
            "at",
            S::Text,
            "condition that its figures hold under",
            "\"15 kPa\"",
        ),
        field(
            "notes",
            S::Remark,
            "remarks; not used",
            "\"old stock numbers\"",
        ),
    ],
    either: &[],
};

/// The kinds of thing that a row may be.
const KINDS: &[&str] = &[
    "compressor",
    "diffuser",
    "airline",
    "manifold",
    "fitting",
    "check-valve",
    "cabinet",
    "spare",
    "package",
];

/// The keys that name a thing.
pub const NAMES: &[&str] = &["id", "sku", "gtin", "model", "title"];

/// The kind of that table.
pub fn kind(word: &str) -> Option<Kind> {
    let all = Kind::PARTS.iter().copied().chain([Kind::Package]);
    all.into_iter().find(|kind| kind.table() == word)
}

/// The table whose keys things of a kind have.
pub fn table_of(kind: Kind) -> &'static Table {
    ROOT.field(kind.table())
        .and_then(table_behind)
        .unwrap_or(&ROOT)
}

/// A text of a mapping with its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The text.
    pub text: String,
    /// Where it stands.
    pub at: Span,
}

/// A mapping as it is stated.
#[derive(Debug, Clone, Default)]
pub struct Mapping {
    /// Its tables, in order.
    pub tables: Vec<TableEntry>,
}

/// A table of a mapping.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct TableEntry {
    pub at: Span,
    pub file: Option<Said>,
    pub sheet: Option<Said>,
    pub kind: Option<Kind>,
    pub join: Option<Said>,
    pub heading_row: u32,
    pub decimal: Option<char>,
    pub write: Option<Said>,
    pub columns: Vec<ColumnEntry>,
    pub fixed: Vec<(Said, String)>,
}

/// A column of a mapping.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct ColumnEntry {
    pub at: Span,
    pub heading: String,
    pub key: Option<Said>,
    pub unit: Option<Said>,
    pub unit_from: Option<Said>,
    pub condition: Option<Said>,
}

/// A mapping file, read.
#[derive(Debug, Clone)]
pub struct ReadMapping {
    /// What it states.
    pub mapping: Mapping,
    /// What is wrong with its shape.
    pub faults: Vec<CatalogFault>,
    /// How many more faults there are than are listed.
    pub more: usize,
}

impl Mapping {
    /// Reads the mapping in `document`, and tells what is wrong with it, in the order of the text.
    pub fn read(document: &Document) -> ReadMapping {
        let (mut faults, more) = shape::check_mapping(document);
        let tables = document.root().get("table");
        let tables = tables.into_iter().flat_map(Item::items).map(table);
        let mapping = Mapping {
            tables: tables.collect(),
        };
        faults.extend(mapping.tables.iter().flat_map(TableEntry::faults));
        faults.sort_by_key(|fault| fault.at);
        ReadMapping {
            mapping,
            faults,
            more,
        }
    }
}

impl TableEntry {
    /// The kinds of thing that its rows may be about.
    pub fn kinds(&self) -> Vec<Kind> {
        match self.kind {
            Some(kind) => vec![kind],
            None => KINDS.iter().filter_map(|word| kind(word)).collect(),
        }
    }

    /// What of its columns and fixed values the format hasn't got.
    fn faults(&self) -> Vec<CatalogFault> {
        let keys = self.columns.iter().filter_map(|column| column.key.as_ref());
        let keys = keys.chain(self.fixed.iter().map(|(key, _)| key));
        let unknown = keys.filter_map(|key| self.unknown(key));
        let columns = self.columns.iter().flat_map(|column| self.units(column));
        let outside = self.write.iter().filter(|said| !is_within(&said.text));
        let outside = outside.map(|said| CatalogFault {
            at: said.at,
            on: "mapping".into(),
            kind: FaultKind::WrongShape {
                expected: "a TOML file within the catalog's folder".into(),
                found: format!("\"{}\"", said.text),
                example: "\"parts/compressors.toml\"",
                offered: None,
            },
        });
        unknown.chain(columns).chain(outside).collect()
    }

    /// That none of the kinds has such a key.
    fn unknown(&self, key: &Said) -> Option<CatalogFault> {
        let kinds = self.kinds();
        let has = |kind: &Kind| Target::of(*kind, &key.text).is_some();
        if key.text == "id" || kinds.iter().any(has) {
            return None;
        }
        let table = table_of(*kinds.first()?);
        let known: Vec<&'static str> = table.fields.iter().map(|field| field.key).collect();
        Some(CatalogFault {
            at: key.at,
            on: "mapping".into(),
            kind: FaultKind::UnknownKey {
                key: key.text.clone(),
                nearest: nearest(&key.text, known.iter().copied()),
                also: Vec::new(),
                table: table.name,
                known,
            },
        })
    }

    /// What is wrong with the unit and the condition of a column.
    fn units(&self, column: &ColumnEntry) -> Vec<CatalogFault> {
        let key = column.key.as_ref();
        let target = key.and_then(|key| {
            let mut kinds = self.kinds().into_iter();
            kinds.find_map(|kind| Target::of(kind, &key.text))
        });
        let dimensions = target.as_ref().map_or(&[][..], Target::dimensions);
        let unit = column.unit.as_ref().filter(|_| !dimensions.is_empty());
        let unit = unit.and_then(|unit| fault_of(unit, &format!("1 {}", unit.text), dimensions));
        let at = column.condition.as_ref();
        // A point of a curve is at a pressure.
        let is_point = target.is_some_and(|target| matches!(target.field().shape, S::Many(_)));
        let conditions = if is_point {
            fields::PRESSURE
        } else {
            fields::CONDITION
        };
        let at = at.and_then(|at| fault_of(at, &at.text, conditions));
        unit.into_iter().chain(at).collect()
    }
}

/// Whether a path names a TOML file below the folder it starts from.
fn is_within(path: &str) -> bool {
    let mut parts = path.split(['/', '\\']);
    path.ends_with(".toml")
        && !path.contains(':')
        && parts.all(|part| !matches!(part, "" | "." | ".."))
}

/// What is wrong with a text that is to be read as one of those quantities, if nothing comes of it.
fn fault_of(said: &Said, text: &str, expected: &'static [Dimension]) -> Option<CatalogFault> {
    let reading = units::read(text, expected);
    let is_read = reading.quantity.is_some() || !reading.alternatives.is_empty();
    let fault = reading.faults.into_iter().next().filter(|_| !is_read)?;
    Some(CatalogFault {
        at: said.at,
        on: "mapping".into(),
        kind: FaultKind::Unit {
            text: text.to_string(),
            fault,
            expected,
            whole: said.at,
            correction: None,
        },
    })
}

fn said(item: Item, key: &str) -> Option<Said> {
    let value = item.get(key)?;
    Some(Said {
        text: value.as_str()?.to_string(),
        at: value.span(),
    })
}

fn table(item: Item) -> TableEntry {
    let columns = item.get("column").into_iter().flat_map(Item::items);
    let row = item.get("heading_row").and_then(Item::as_i64);
    TableEntry {
        at: item.name_span(),
        file: said(item, "file"),
        sheet: said(item, "sheet"),
        kind: said(item, "kind").and_then(|word| kind(&word.text)),
        join: said(item, "join"),
        heading_row: row.and_then(|row| u32::try_from(row).ok()).unwrap_or(1),
        decimal: said(item, "decimal").map(|word| match word.text.as_str() {
            "comma" => ',',
            _ => '.',
        }),
        write: said(item, "write"),
        columns: columns.map(column).collect(),
        fixed: item.get("fixed").map(fixed).unwrap_or_default(),
    }
}

fn column(item: Item) -> ColumnEntry {
    ColumnEntry {
        at: item.name_span(),
        heading: said(item, "heading").map_or_else(String::new, |heading| heading.text),
        key: said(item, "key"),
        unit: said(item, "unit"),
        unit_from: said(item, "unit_from"),
        condition: said(item, "at"),
    }
}

/// The values under `fixed` with their keys, whether written with dots or as tables.
fn fixed(item: Item) -> Vec<(Said, String)> {
    let mut all = Vec::new();
    let mut open = vec![(String::new(), item)];
    while let Some((path, item)) = open.pop() {
        for entry in item.entries() {
            let Some((key, at)) = entry.key() else {
                continue;
            };
            let path = match path.is_empty() {
                true => key.to_string(),
                false => format!("{path}.{key}"),
            };
            if entry.entries().next().is_some() {
                open.push((path, entry));
                continue;
            }
            let text = entry.as_str().unwrap_or(entry.written()).to_string();
            all.push((Said { text: path, at }, text));
        }
    }
    all.sort_by_key(|(key, _)| key.at);
    all
}

/// A key of a kind's table, by its path.
#[derive(Debug, Clone)]
pub struct Target {
    /// The fields on the way, the last one's value is meant.
    pub way: Vec<&'static Field>,
}

impl Target {
    /// The key that `path` names for things of a kind: `claim.depth`.
    pub fn of(kind: Kind, path: &str) -> Option<Target> {
        let mut table = table_of(kind);
        let mut way: Vec<&'static Field> = Vec::new();
        for key in path.split('.') {
            let last = way.last();
            if last.is_some_and(|field| matches!(field.shape, S::Own)) && is_word(key) {
                way.push(&OWN_WORD);
                continue;
            }
            // `option.with-airline.price`: of several things in a list the one of that ID.
            let is_list = last.is_some_and(|field| matches!(field.shape, S::Many(_)));
            if is_list && table.field(key).is_none() && table.field("id").is_some() && is_word(key)
            {
                way.push(&ONE_OPTION);
                continue;
            }
            let field = table.field(key)?;
            way.push(field);
            table = table_behind(field).unwrap_or(&NOTHING);
        }
        Some(Target { way }).filter(|target| !target.field().takes_no_cell())
    }

    /// The dimensions of its figure, where it has one.
    pub fn dimensions(&self) -> &'static [Dimension] {
        match self.field().shape {
            S::Quantity(dimensions) | S::Promise(dimensions) => dimensions,
            S::Many(_) => fields::AIR,
            _ => &[],
        }
    }

    /// The field at its end.
    pub fn field(&self) -> &'static Field {
        self.way.last().copied().unwrap_or(&OWN_WORD)
    }
}

/// Whether a key can be written without quotes.
fn is_word(key: &str) -> bool {
    let is_part = |c: char| c.is_ascii_alphanumeric() || c == '-' || c == '_';
    !key.is_empty() && key.chars().all(is_part)
}

/// One of the ways to buy a package, by its ID.
static ONE_OPTION: Field = field("option", S::One(&fields::OPTION), "one of them", "{}");

/// What stands under `own`: a word of the owner.
static OWN_WORD: Field = field("own", S::Text, "the owner's own key", "\"C4\"");

static NOTHING: Table = Table {
    name: "nothing",
    says: "nothing",
    fields: &[],
    either: &[],
};

impl Field {
    /// Whether no cell can hold its value: it takes several.
    fn takes_no_cell(&self) -> bool {
        match self.shape {
            S::One(_) | S::OneOrMany(_) | S::ById(..) | S::ByName(_) | S::Levels | S::Own => true,
            // A curve is made of columns, one for each pressure.
            S::Many(table) => table.field("pressure").is_none(),
            S::Corners | S::Quantities(_) => true,
            _ => false,
        }
    }
}
