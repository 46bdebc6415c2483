//! Words of a language stand in `src/spec_sheet/lexicon.rs` and `vocabulary.rs`, and units in `unit_words.rs`. What still
//! stands elsewhere is counted in `tests/expected/words-elsewhere.list`, a file a line, which may only shrink:
//! `NAMEPLATE_WRITE=1` writes it again where none of its counts has grown.

use std::collections::BTreeMap;
use std::path::Path;

/// The rooms' files that hold words by right.
const HOLD: [&str; 3] = ["lexicon.rs", "vocabulary.rs", "unit_words.rs"];

/// The texts in quotation marks of a program's source, without its comments and tests.
fn literals(source: &str) -> Vec<String> {
    let source = source.split("#[cfg(test)]").next().unwrap_or("");
    let mut found = Vec::new();
    for line in source.lines() {
        let line = line.trim_start();
        if line.starts_with("//") || line.starts_with("#[") || line.contains("reason = ") {
            continue;
        }
        let mut rest = line;
        while let Some(open) = rest.find(['"', '\'']) {
            let before = &rest[..open];
            if before.ends_with("//") || before.contains(" // ") {
                break;
            }
            let inside = &rest[open + 1..];
            if rest[open..].starts_with('\'') {
                // A character, or a lifetime.
                let close = inside
                    .char_indices()
                    .skip(1)
                    .take(2)
                    .find(|(_, c)| *c == '\'');
                rest = close.map_or(inside, |(at, _)| &inside[at + 1..]);
                continue;
            }
            let Some(close) = inside.find('"') else {
                break;
            };
            // Bytes are markup.
            if !before.ends_with('b') {
                found.push(inside[..close].to_owned());
            }
            rest = &inside[close + 1..];
        }
    }
    found
}

/// Whether a text is a word of a language, or several: small letters, at least three together.
fn is_word(text: &str) -> bool {
    const FEWEST: usize = 3;
    let may = |c: char| c.is_lowercase() || matches!(c, ' ' | '\'' | '’' | '-' | '.');
    text.chars().all(may)
        && text
            .split(|c: char| !c.is_alphabetic())
            .any(|word| word.chars().count() >= FEWEST)
}

#[test]
fn words_of_a_language_stand_in_the_lexicon() {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let mut counts: BTreeMap<String, usize> = BTreeMap::new();
    let room = root.join("src/spec_sheet");
    for entry in walkdir::WalkDir::new(&room) {
        let path = entry.unwrap().into_path();
        let name = path
            .strip_prefix(&room)
            .unwrap()
            .to_string_lossy()
            .into_owned();
        if path.extension().is_none_or(|ending| ending != "rs") || HOLD.contains(&name.as_str()) {
            continue;
        }
        let source = std::fs::read_to_string(&path).unwrap();
        let words = literals(&source)
            .iter()
            .filter(|text| is_word(text))
            .count();
        if words > 0 {
            counts.insert(name, words);
        }
    }
    let list = root.join("tests/expected/words-elsewhere.list");
    let listed = std::fs::read_to_string(&list).unwrap_or_default();
    let known: BTreeMap<&str, usize> = listed
        .lines()
        .map(|line| line.rsplit_once(" | ").unwrap())
        .map(|(name, count)| (name, count.parse().unwrap()))
        .collect();
    let grown: Vec<_> = counts
        .iter()
        .filter(|(name, count)| {
            !known.is_empty() && **count > known.get(name.as_str()).copied().unwrap_or(0)
        })
        .collect();
    assert!(
        grown.is_empty(),
        "these words belong into the lexicon: {grown:?}"
    );
    let written: String = counts
        .iter()
        .map(|(name, count)| format!("{name} | {count}\n"))
        .collect();
    if std::env::var_os("NAMEPLATE_WRITE").is_some() {
        std::fs::write(&list, &written).unwrap();
    }
    assert_eq!(
        written,
        std::fs::read_to_string(&list).unwrap(),
        "fewer words than the list says"
    );
}

#[test]
fn literals_are_found() {
    let found = literals(
        "let a = is(\"one\", 'x', b\"two\"); // \"three\"\n/// \"four\"\nfn of<'a>(a: &'a str) { \"five six\" }",
    );
    assert_eq!(found, ["one", "five six"]);
    assert!(is_word("jusqu’à") && !is_word("dB") && !is_word("at"));
}
