//! Holds `schemas/` to the list of fields, and the schema to what is said of it.

use std::collections::BTreeMap;
use std::process::Command;

use nameplate::catalog::fields::{self, Field, Need, ROOT, Shape, Table, table_behind};
use nameplate::catalog::{self, FaultKind, File, Kind};
use nameplate::document;
use nameplate::engine::{self, Options};
use nameplate::finding::Level;
use nameplate::text::{FileId, Source};
use nameplate::units::Dimension;
use serde_json::{Map, Value, json};

use crate::catalog_examples::files;
use crate::made;
use crate::scratch;

/// What the program prints for `nameplate schema NAME`.
pub fn printed(name: &str) -> String {
    let run = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["schema", name])
        .output()
        .unwrap();
    assert!(run.status.success());
    String::from_utf8(run.stdout).unwrap()
}

fn schema() -> Value {
    serde_json::from_str(&made::committed("schemas/catalog.schema.json")).unwrap()
}

#[test]
fn the_committed_schema_is_the_printed_one() {
    made::hold("schemas/catalog.schema.json", &printed("catalog"));
    made::hold("schemas/pond.schema.json", &printed("pond"));
    made::hold("schemas/mapping.schema.json", &printed("mapping"));
}

/// The meta-schema of JSON Schema 2020-12, as the crate `jsonschema` carries it.
#[test]
fn the_schema_is_one_of_2020_12() {
    let schema = schema();
    assert_eq!(
        schema["$schema"],
        "https://json-schema.org/draft/2020-12/schema"
    );
    assert!(jsonschema::draft202012::meta::validate(&schema).is_ok());
    let mut wrong = schema;
    wrong["properties"]["site"]["examples"] = json!("not a list");
    assert!(jsonschema::draft202012::meta::validate(&wrong).is_err());
}

/// Calls `visit` with the path and definition of every property of the schema.
fn properties<'s>(at: &str, value: &'s Value, visit: &mut impl FnMut(String, &'s Value)) {
    match value {
        Value::Object(object) => {
            for (key, inner) in object {
                // An example is data, not schema.
                if key == "examples" {
                    continue;
                }
                let path = format!("{at}/{key}");
                if key == "properties"
                    && let Value::Object(all) = inner
                    && !at.ends_with("/if")
                {
                    for (name, definition) in all {
                        visit(format!("{path}/{name}"), definition);
                    }
                }
                properties(&path, inner, visit);
            }
        }
        Value::Array(items) => {
            for (index, item) in items.iter().enumerate() {
                properties(&format!("{at}/{index}"), item, visit);
            }
        }
        _ => {}
    }
}

/// Properties without a title, a description or an example.
fn bare(schema: &Value) -> Vec<String> {
    let mut bare = Vec::new();
    properties("", schema, &mut |path, definition| {
        let says = |key: &str| {
            definition[key]
                .as_str()
                .is_some_and(|text| !text.is_empty())
        };
        let examples = definition["examples"]
            .as_array()
            .is_some_and(|all| !all.is_empty());
        if !says("title") || !says("description") || !examples {
            bare.push(path);
        }
    });
    bare
}

/// Examples that their own property refuses.
fn refused(schema: &Value) -> Vec<String> {
    let mut refused = Vec::new();
    // Many properties are alike; each is tried once.
    let mut tried = std::collections::BTreeSet::new();
    properties("", schema, &mut |path, definition| {
        if !tried.insert(definition.to_string()) {
            return;
        }
        let alone = json!({ "$defs": schema["$defs"], "allOf": [definition] });
        let validator = jsonschema::options()
            .should_validate_formats(true)
            .build(&alone)
            .unwrap();
        for example in definition["examples"].as_array().into_iter().flatten() {
            if !validator.is_valid(example) {
                refused.push(format!("{path}: {example}"));
            }
        }
    });
    refused
}

#[test]
fn every_property_has_a_title_a_description_and_an_example_of_itself() {
    let schema = schema();
    let mut count = 0;
    properties("", &schema, &mut |_, _| count += 1);
    assert!(count > 200, "{count} properties");
    assert_eq!(bare(&schema), Vec::<String>::new());
    assert_eq!(refused(&schema), Vec::<String>::new());
}

#[test]
fn a_bare_property_or_a_wrong_example_would_be_seen() {
    let mut wrong = schema();
    let plugs = &mut wrong["$defs"]["compressor"]["properties"]["plugs"];
    plugs["examples"] = json!(["two"]);
    plugs.as_object_mut().unwrap().remove("title");
    assert_eq!(bare(&wrong), ["/$defs/compressor/properties/plugs"]);
    assert_eq!(
        refused(&wrong),
        ["/$defs/compressor/properties/plugs: \"two\""]
    );
}

/// A TOML value as JSON has it: a date is text.
fn as_json(value: &toml::Value) -> Value {
    match value {
        toml::Value::String(text) => json!(text),
        toml::Value::Integer(number) => json!(number),
        toml::Value::Float(number) => json!(number),
        toml::Value::Boolean(flag) => json!(flag),
        toml::Value::Datetime(date) => json!(date.to_string()),
        toml::Value::Array(items) => items.iter().map(as_json).collect(),
        toml::Value::Table(table) => {
            let entries = table
                .iter()
                .map(|(key, value)| (key.clone(), as_json(value)));
            Value::Object(entries.collect::<Map<_, _>>())
        }
    }
}

/// Whether the program finds a fault of shape in a file by itself.
fn has_fault_of_shape(path: &str, bytes: &[u8]) -> bool {
    let source = Source::new(path, bytes.to_vec());
    let documents = [document::read(FileId(0), &source)];
    let files = [File {
        path: path.into(),
        alone: true,
        borrowed: false,
    }];
    let gathered = catalog::gather(&files, &documents);
    gathered.catalogs[0].faults.iter().any(|fault| {
        matches!(
            fault.kind,
            FaultKind::UnknownKey { .. }
                | FaultKind::WrongId { .. }
                | FaultKind::MissingKey { .. }
                | FaultKind::WrongShape { .. }
                | FaultKind::WrongWord { .. }
                | FaultKind::NoUnit { .. }
        )
    })
}

/// What an editor says with the schema, and what the program says of the same file on its own tree.
#[test]
fn a_file_as_json_gets_the_same_verdict_as_on_the_programs_tree() {
    let validator = jsonschema::options()
        .should_validate_formats(true)
        .build(&schema())
        .unwrap();
    let (mut sound, mut faulty) = (0, 0);
    let mut all = files("sound");
    all.extend(files("faulty"));
    all.retain(|(path, _)| path.ends_with(".toml"));
    for (path, bytes) in &all {
        // What isn't TOML can't be converted.
        let Some(table) = std::str::from_utf8(bytes)
            .ok()
            .and_then(|text| toml::from_str::<toml::Table>(text).ok())
        else {
            assert!(path.contains("/faulty/"), "{path} isn't TOML");
            continue;
        };
        let valid = validator.is_valid(&as_json(&toml::Value::Table(table)));
        assert_eq!(valid, !has_fault_of_shape(path, bytes), "{path}");
        if path.contains("/sound/") {
            assert!(valid, "{path}");
        }
        *(if valid { &mut sound } else { &mut faulty }) += 1;
    }
    assert!(sound >= 60 && faulty >= 4, "{sound} sound, {faulty} faulty");
}

/// Every table of the format once, in the order in which it is met.
fn tables() -> Vec<&'static Table> {
    fn visit(table: &'static Table, all: &mut Vec<&'static Table>) {
        if all.iter().any(|one| one.name == table.name) {
            return;
        }
        all.push(table);
        for field in table.fields {
            if let Some(inner) = table_behind(field) {
                visit(inner, all);
            }
        }
    }
    let mut all = Vec::new();
    visit(&ROOT, &mut all);
    visit(&fields::CONDITIONS, &mut all);
    all
}

const EVERY_TABLE: [&str; 4] = ["title", "notes", "source", "own"];
const WHAT_IS_SOLD: [&str; 12] = [
    "sku",
    "model",
    "gtin",
    "status",
    "since",
    "replaced_by",
    "origin",
    "mass",
    "packed",
    "image",
    "warranty",
    "price",
];

/// Whether a table has all of these keys.
fn has(table: &Table, keys: &[&str]) -> bool {
    keys.iter().all(|key| table.field(key).is_some())
}

fn kinds(kinds: &[Kind]) -> String {
    let words: Vec<&str> = kinds.iter().map(|kind| kind.words()).collect();
    words.join(" or ")
}

/// What may stand at a key, in the reader's words.
fn shape(field: &Field) -> String {
    let dimensions = |all: &[Dimension]| {
        let words: Vec<&str> = all.iter().map(|dimension| dimension.words()).collect();
        words.join(" or ")
    };
    let table = |table: &Table| format!("`{}`", table.name);
    match field.shape {
        Shape::Quantity(of) => dimensions(of),
        Shape::Promise(of) => format!("{}, or rows", dimensions(of)),
        Shape::Number => "a bare number".into(),
        Shape::Count(from) => format!("a whole number from {from}"),
        Shape::Flag => "`true` or `false`".into(),
        Shape::Text | Shape::Remark => "text".into(),
        Shape::Texts => "a list of texts".into(),
        Shape::Quantities(of) => format!("{}, or a list", dimensions(of)),
        Shape::Corners => "a list of `[x, y]`".into(),
        Shape::Place => "`[x, y]`".into(),
        Shape::Words(words) => {
            let quoted: Vec<String> = words.iter().map(|word| format!("`{word}`")).collect();
            quoted.join(", ")
        }
        Shape::Date => "a date".into(),
        Shape::Id(of) => format!("ID of a {}", kinds(of)),
        Shape::Ids(of) => format!("list of IDs of {}s", kinds(of)),
        Shape::Part(of) => format!("an ID, or a table {}", table(of)),
        Shape::Parts(of) => format!("an ID, a table {}, or a list of these", table(of)),
        Shape::End => "an end".into(),
        Shape::Supply => "a supply".into(),
        Shape::One(of) => format!("a table {}", table(of)),
        Shape::Many(of) => format!("a list of tables {}", table(of)),
        Shape::OneOrMany(of) => format!("a table {}, or a list of them", table(of)),
        Shape::ById(_, of) => format!("tables {} by ID", table(of)),
        Shape::ByName(of) => format!("tables {} by name", table(of)),
        Shape::Levels => "rule or family, with its level".into(),
        Shape::Own => "any keys".into(),
    }
}

fn row(field: &Field) -> String {
    let needed = match field.need {
        Need::Yes => "\\*",
        Need::Unless(..) => "(\\*)",
        Need::No => "",
    };
    // A bar would end the cell.
    let example = field.example.replace('|', "\\|");
    format!(
        "| `{}`{needed} | {} | {} | `{example}` |\n",
        field.key,
        shape(field),
        field.says
    )
}

const HEAD: &str =
    "| key | what stands there | what it says | for example |\n| --- | --- | --- | --- |\n";

/// The table of keys of one table, in Markdown.
pub fn keys(table: &Table) -> String {
    let (plain, sold) = (has(table, &EVERY_TABLE), has(table, &WHAT_IS_SOLD));
    let mut text = HEAD.to_string();
    for field in table.fields {
        let common = plain && EVERY_TABLE.contains(&field.key);
        if !(common || sold && WHAT_IS_SOLD.contains(&field.key)) {
            text.push_str(&row(field));
        }
    }
    let mut notes = Vec::new();
    if !table.either.is_empty() {
        let ways: Vec<String> = table
            .either
            .iter()
            .map(|keys| format!("`{}`", keys.join("` with `")))
            .collect();
        notes.push(format!(
            "At least one of {} must stand there.",
            ways.join(", ")
        ));
    }
    if sold {
        notes.push("The keys of [what is sold](#what-is-sold) may stand here too.".into());
    }
    if !notes.is_empty() {
        text.push_str(&format!("\n{}\n", notes.join(" ")));
    }
    text
}

/// The made parts of the format's page.
fn parts() -> BTreeMap<String, String> {
    let mut parts: BTreeMap<String, String> = tables()
        .into_iter()
        .map(|table| (format!("keys of {}", table.name), keys(table)))
        .collect();
    let compressor = fields::table_of("compressor");
    let common = |keys: &[&str]| {
        let rows: String = keys
            .iter()
            .map(|key| row(compressor.field(key).unwrap()))
            .collect();
        format!("{HEAD}{rows}")
    };
    parts.insert("keys of every table".into(), common(&EVERY_TABLE));
    parts.insert("keys of what is sold".into(), common(&WHAT_IS_SOLD));
    parts
}

const PAGE: &str = "schemas/catalog-format.md";

/// Every key of the list stands in the page, and the page has no others.
#[test]
fn the_formats_page_has_every_key() {
    let page = made::committed(PAGE);
    made::hold(PAGE, &made::with_parts(&page, &parts()));
}

/// What the tables share is told once, so it must be the same in all of them.
#[test]
fn what_is_told_once_is_the_same_everywhere() {
    let compressor = fields::table_of("compressor");
    for table in tables() {
        for group in [&EVERY_TABLE[..], &WHAT_IS_SOLD[..]] {
            if !has(table, group) {
                continue;
            }
            for key in group {
                let (here, there) = (table.field(key).unwrap(), compressor.field(key).unwrap());
                assert_eq!(row(here), row(there), "{}", table.name);
            }
        }
    }
}

/// The examples of the page, put together, are one catalog without an error or a warning.
#[test]
fn the_formats_page_has_sound_examples() {
    let page = made::committed(PAGE);
    let examples = made::fences(&page, "toml");
    assert!(examples.len() >= 10);
    for (line, text) in &examples {
        let read = toml::from_str::<toml::Table>(text);
        assert!(read.is_ok(), "{PAGE} line {line}: {read:?}");
    }
    let together: String = examples
        .iter()
        .map(|(_, text)| format!("{text}\n"))
        .collect();
    let wrong = |text: &str| {
        let input = scratch::alone("example.toml", text.as_bytes().to_vec());
        let day = Options {
            as_of: Some("2026-07-01".into()),
            ..Default::default()
        };
        let outcome = engine::audit(vec![input], &day);
        let findings = outcome.findings.iter();
        findings
            .filter(|finding| finding.level > Level::Note && finding.waived.is_none())
            .map(|finding| {
                let place = outcome.sources.position(finding.at);
                let line = text.lines().nth(place.line - 1).unwrap_or("");
                format!("{}: {} ({line})", finding.rule.name, finding.message)
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(wrong(&together), Vec::<String>::new());
    assert!(!wrong(&together.replacen("depth = \"1.4 m\"", "depth = \"14 m\"", 1)).is_empty());
}
