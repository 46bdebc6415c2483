//! The JSON Schema of a catalog file, of a pond's, and of a table's mapping, made from the one list of fields.
//!
//! It says of the shape what JSON Schema can say. What stands inside a quantity's string is
//! the reader's matter, whether a named part exists is a rule's.

use serde_json::{Map, Value, json};

use super::fields::{CONDITIONS, Field, Need, ROOT, Shape, Table};
use super::mapping::MAPPING_FILE;
use super::pond::POND_FILE;
use crate::units::Dimension;

/// A kind of file: its root, its schema's name for itself, and what it is.
struct File {
    root: &'static Table,
    id: &'static str,
    title: &'static str,
    says: &'static str,
}

const CATALOG: File = File {
    root: &ROOT,
    id: "urn:nameplate:schema:catalog:1",
    title: "Catalog of pond-aeration equipment, format 1",
    says: "One TOML file of a catalog: parts as facts, packages with what is promised of them.",
};

const POND: File = File {
    root: &POND_FILE,
    id: "urn:nameplate:schema:pond:1",
    title: "Pond that an aerator is sought for, format 1",
    says: "One TOML file that describes a pond: its size, its site, and what its owner asks for.",
};

const MAPPING: File = File {
    root: &MAPPING_FILE,
    id: "urn:nameplate:schema:mapping:1",
    title: "Mapping of tables to a catalog, format 1",
    says: "One TOML file that says which column of a table is which key of the format, and in what unit.",
};

/// An ID: words of small letters and digits, joined by hyphens.
pub const ID_PATTERN: &str = "^[a-z0-9]+(-[a-z0-9]+)*$";

/// The whole schema of a catalog file, 2020-12.
pub fn schema() -> Value {
    of(&CATALOG)
}

/// The whole schema of a pond file.
pub fn pond_schema() -> Value {
    of(&POND)
}

/// The whole schema of a table's mapping.
pub fn mapping_schema() -> Value {
    of(&MAPPING)
}

fn of(file: &File) -> Value {
    let mut defs = Defs::default();
    let root = defs.definition(file.root);
    defs.add("quantity", quantity_def());
    if file.root.name == ROOT.name {
        defs.add("promise", promise_def());
    }
    defs.table(&CONDITIONS);
    defs.add(
        "own",
        json!({
            "title": "Own keys",
            "type": "object",
            "description": "the owner's own keys; not judged",
            // Editors that are strict about unlisted keys want it said that any may stand here.
            "additionalProperties": true
        }),
    );
    let mut schema = Map::new();
    schema.insert(
        "$schema".into(),
        json!("https://json-schema.org/draft/2020-12/schema"),
    );
    schema.insert("$id".into(), json!(file.id));
    schema.insert("title".into(), json!(file.title));
    schema.insert("description".into(), json!(file.says));
    if let Value::Object(root) = root {
        schema.extend(
            root.into_iter()
                .filter(|(key, _)| key != "title" && key != "description"),
        );
    }
    schema.insert("$defs".into(), Value::Object(defs.sorted()));
    Value::Object(schema)
}

/// A quantity: text, the same figure in several units, or with its condition.
fn quantity_def() -> Value {
    let mut def = stated("string");
    def["title"] = json!("Quantity");
    def["description"] = json!(
        "a figure with its unit; several listings of the same figure; or with the condition it holds under"
    );
    def
}

/// A promise: a quantity, or rows of them.
fn promise_def() -> Value {
    let mut def = stated("string");
    def["title"] = json!("Promise");
    def["description"] = json!("a promised figure with its unit, or rows of { is, at }");
    def["properties"]["per"] = json!({
        "title": "Per",
        "enum": ["diffuser", "package"],
        "description": "what one figure is for; the package unless stated",
        "examples": ["diffuser"]
    });
    let mut row = def.clone();
    row["type"] = json!(["string", "object"]);
    if let Some(row) = row.as_object_mut() {
        row.remove("items");
        row.remove("minItems");
        row.remove("description");
    }
    def["items"] = row;
    def
}

fn stated(item: &str) -> Value {
    json!({
        "type": ["string", "array", "object"],
        "minItems": 1,
        "items": { "type": item },
        "properties": {
            "is": {
                "title": "Is",
                "type": ["string", "array"],
                "minItems": 1,
                "items": { "type": "string" },
                "description": "the figure, or several listings of it",
                "examples": ["38 L/min", ["9 ft", "2.74 m"]]
            },
            "at": {
                "title": "At",
                "type": ["string", "object"],
                "$ref": "#/$defs/conditions-or-one",
                "description": "the condition it holds under: one quantity, or a table of several",
                "examples": ["15 kPa", { "tariff": "0.21 USD/kWh", "hours_per_day": 24 }]
            },
            "source": {
                "title": "Source",
                "type": "string",
                "description": "where it comes from: words, or evidence.ID",
                "examples": ["evidence.bench-test"]
            }
        },
        "required": ["is"],
        "additionalProperties": false
    })
}

/// The definitions met so far.
#[derive(Default)]
struct Defs(std::collections::BTreeMap<String, Value>);

impl Defs {
    fn add(&mut self, name: &str, def: Value) {
        self.0.insert(name.to_string(), def);
    }

    fn sorted(self) -> Map<String, Value> {
        let mut all = self.0;
        // `at` is one condition as text, or a table of several.
        if let Some(conditions) = all.get("conditions").cloned() {
            let mut either = conditions;
            either["type"] = json!(["string", "object"]);
            all.insert("conditions-or-one".into(), either);
        }
        all.into_iter().collect()
    }

    /// The definition of `table`, put into the list with those it needs.
    fn table(&mut self, table: &'static Table) -> Value {
        let def = self.definition(table);
        self.add(table.name, def.clone());
        def
    }

    /// The definition of `table`, with those it needs put into the list.
    fn definition(&mut self, table: &'static Table) -> Value {
        let mut properties = Map::new();
        for field in table.fields {
            properties.insert(field.key.into(), self.field(field));
        }
        let required: Vec<&str> = table
            .fields
            .iter()
            .filter(|f| f.need == Need::Yes)
            .map(|f| f.key)
            .collect();
        let mut def = json!({
            "title": title(table.name),
            "description": table.says,
            "type": "object",
            "properties": properties,
            "additionalProperties": false
        });
        if !required.is_empty() {
            def["required"] = json!(required);
        }
        if !table.either.is_empty() {
            let ways: Vec<Value> = table
                .either
                .iter()
                .map(|keys| json!({ "required": keys }))
                .collect();
            def["anyOf"] = json!(ways);
        }
        let unless: Vec<Value> = table
            .fields
            .iter()
            .filter_map(|f| match f.need {
                Need::Unless(key, word) => Some(json!({
                    "if": { "properties": { key: { "const": word } }, "required": [key] },
                    "else": { "required": [f.key] }
                })),
                _ => None,
            })
            .collect();
        if !unless.is_empty() {
            def["allOf"] = json!(unless);
        }
        def
    }

    fn reference(&mut self, table: &'static Table) -> Value {
        if !self.0.contains_key(table.name) {
            self.table(table);
        }
        json!({ "$ref": format!("#/$defs/{}", table.name) })
    }

    /// The definition of what stands at `field`.
    fn field(&mut self, field: &'static Field) -> Value {
        let mut says = field.says.to_string();
        let mut def = match field.shape {
            Shape::Quantity(dimensions) => {
                says = format!("{says} ({})", dimension_words(dimensions));
                json!({ "$ref": "#/$defs/quantity" })
            }
            Shape::Promise(dimensions) => {
                says = format!("{says} ({})", dimension_words(dimensions));
                json!({ "$ref": "#/$defs/promise" })
            }
            Shape::Number => json!({ "type": "number" }),
            Shape::Count(from) => json!({ "type": "integer", "minimum": from }),
            Shape::Flag => json!({ "type": "boolean" }),
            Shape::Text | Shape::End | Shape::Supply | Shape::Id(_) => text(),
            Shape::Remark => json!({ "type": "string" }),
            Shape::Texts | Shape::Ids(_) => {
                json!({ "type": "array", "items": text() })
            }
            Shape::Quantities(dimensions) => {
                says = format!("{says} ({})", dimension_words(dimensions));
                json!({ "type": ["string", "array"], "minItems": 1, "items": { "type": "string" } })
            }
            Shape::Corners => json!({
                "type": "array",
                "minItems": 3,
                "items": { "type": "array", "minItems": 2, "maxItems": 2, "items": { "type": "number" } }
            }),
            Shape::Place => json!({
                "type": "array",
                "minItems": 2,
                "maxItems": 2,
                "items": { "type": "number" }
            }),
            Shape::Words(words) => json!({ "enum": words }),
            Shape::Date => json!({ "type": "string", "format": "date" }),
            Shape::Part(table) => {
                let mut def = self.expanded(table);
                def["type"] = json!(["string", "object"]);
                def
            }
            Shape::Parts(table) => {
                // An ID stands for itself in a list too.
                let mut item = self.expanded(table);
                item["type"] = json!(["string", "object"]);
                let mut def = self.expanded(table);
                def["type"] = json!(["string", "object", "array"]);
                def["minItems"] = json!(1);
                def["items"] = item;
                def
            }
            Shape::One(table) => self.reference(table),
            Shape::Many(table) => {
                json!({ "type": "array", "items": self.reference(table) })
            }
            Shape::OneOrMany(table) => {
                let item = self.reference(table);
                let mut def = self.expanded(table);
                def["type"] = json!(["object", "array"]);
                def["minItems"] = json!(1);
                def["items"] = item;
                def
            }
            Shape::ById(_, table) => json!({
                "type": "object",
                "propertyNames": { "pattern": ID_PATTERN },
                "additionalProperties": self.reference(table)
            }),
            Shape::ByName(table) => {
                json!({ "type": "object", "additionalProperties": self.reference(table) })
            }
            Shape::Levels => json!({
                "type": "object",
                "additionalProperties": { "enum": ["error", "warning", "note", "none"] }
            }),
            Shape::Own => json!({ "$ref": "#/$defs/own" }),
        };
        def["title"] = json!(title(field.key));
        def["description"] = json!(says);
        if let Some(example) = example(field) {
            def["examples"] = json!([example]);
        }
        def
    }

    /// The definition of a table, to be widened by other forms.
    fn expanded(&mut self, table: &'static Table) -> Value {
        let mut def = self.table(table);
        if let Some(def) = def.as_object_mut() {
            def.remove("title");
            def.remove("description");
        }
        def
    }
}

/// A key as a heading: editors show it above the description.
fn title(key: &str) -> String {
    let words = key.replace(['_', '-'], " ");
    let mut chars = words.chars();
    match chars.next() {
        Some(first) => first.to_uppercase().chain(chars).collect(),
        None => words,
    }
}

/// Text that says something.
fn text() -> Value {
    json!({ "type": "string", "pattern": "\\S" })
}

fn dimension_words(dimensions: &[Dimension]) -> String {
    let words: Vec<&str> = dimensions.iter().map(|d| d.words()).collect();
    words.join(", or ")
}

/// The field's example as JSON.
fn example(field: &Field) -> Option<Value> {
    let table: toml::Table = toml::from_str(&format!("it = {}", field.example)).ok()?;
    let value = table.get("it")?;
    Some(from_toml(value))
}

fn from_toml(value: &toml::Value) -> Value {
    match value {
        toml::Value::String(text) => json!(text),
        toml::Value::Integer(number) => json!(number),
        toml::Value::Float(number) => json!(number),
        toml::Value::Boolean(flag) => json!(flag),
        toml::Value::Datetime(date) => json!(date.to_string()),
        toml::Value::Array(items) => items.iter().map(from_toml).collect(),
        toml::Value::Table(table) => Value::Object(
            table
                .iter()
                .map(|(k, v)| (k.clone(), from_toml(v)))
                .collect(),
        ),
    }
}
