//! Whether a tree has the shape of the list of fields, in one walk.
//!
//! Most files have, and for them the schema's validator needn't be built at all: it words
//! what is wrong where this walk isn't sure. What fits here the validator takes too, which the
//! test below holds for the examples and for what is made of them by mistake.

use crate::document::{Item, Kind};

use super::fields::{CONDITIONS, Field, Need, Shape, Table};

/// Whether `item` is a table as `table` lists it. What isn't sure to be one is none.
pub(super) fn fits(item: Item, table: &'static Table) -> bool {
    let has = |key: &str| item.get(key).is_some();
    let is_whole = |field: &Field| match field.need {
        Need::No => true,
        Need::Yes => has(field.key),
        Need::Unless(key, word) => is_word(item.get(key), word) || has(field.key),
    };
    let fields = table.fields;
    let ways = table.either;
    item.kind() == Kind::Table
        && item.entries().all(|entry| {
            let field = entry.key().and_then(|(key, _)| table.field(key));
            field.is_some_and(|field| takes(field.shape, entry))
        })
        && fields.iter().all(is_whole)
        && (ways.is_empty() || ways.iter().any(|keys| keys.iter().all(|key| has(key))))
}

fn takes<'d>(shape: Shape, item: Item<'d>) -> bool {
    match shape {
        Shape::Quantity(_) => is_text(item) || several(item, 1, is_text) || is_figure(item, false),
        Shape::Promise(_) => {
            let row = |row: Item<'d>| is_text(row) || is_figure(row, true);
            row(item) || several(item, 1, row)
        }
        Shape::Number => is_number(item),
        Shape::Count(from) => {
            item.kind() == Kind::Integer && item.as_i64().is_some_and(|it| it >= from)
        }
        Shape::Flag => item.kind() == Kind::Boolean,
        Shape::Text | Shape::End | Shape::Supply | Shape::Id(_) => says_something(item),
        Shape::Remark => is_text(item),
        Shape::Texts | Shape::Ids(_) => several(item, 0, says_something),
        Shape::Quantities(_) => is_text(item) || several(item, 1, is_text),
        Shape::Corners => several(item, 3, is_place),
        Shape::Place => is_place(item),
        Shape::Words(words) => words.iter().any(|word| is_word(Some(item), word)),
        Shape::Date => is_day(item),
        Shape::Part(table) => is_text(item) || fits(item, table),
        Shape::Parts(table) => {
            let part = |part: Item<'d>| is_text(part) || fits(part, table);
            part(item) || several(item, 1, part)
        }
        Shape::One(table) => fits(item, table),
        Shape::Many(table) => several(item, 0, |one| fits(one, table)),
        Shape::OneOrMany(table) => fits(item, table) || several(item, 1, |one| fits(one, table)),
        Shape::ById(_, table) => each(item, |key, one| is_id(key) && fits(one, table)),
        Shape::ByName(table) => each(item, |_, one| fits(one, table)),
        Shape::Levels => each(item, |_, level| {
            let mut words = ["error", "warning", "note", "none"].into_iter();
            words.any(|word| is_word(Some(level), word))
        }),
        Shape::Own => item.kind() == Kind::Table,
    }
}

/// `{ is, at, source }`; of a promise with `per` too.
fn is_figure(item: Item, promised: bool) -> bool {
    item.get("is").is_some()
        && each(item, |key, value| match key {
            "is" => is_text(value) || several(value, 1, is_text),
            "at" => is_text(value) || fits(value, &CONDITIONS),
            "source" => is_text(value),
            "per" if promised => {
                is_word(Some(value), "diffuser") || is_word(Some(value), "package")
            }
            _ => false,
        })
}

fn is_text(item: Item) -> bool {
    item.kind() == Kind::String
}

fn says_something(item: Item) -> bool {
    let text = item.as_str().filter(|_| is_text(item));
    text.is_some_and(|text| text.contains(|letter: char| !letter.is_whitespace()))
}

fn is_word(item: Option<Item>, word: &str) -> bool {
    item.is_some_and(|item| is_text(item) && item.as_str() == Some(word))
}

fn is_number(item: Item) -> bool {
    match item.kind() {
        Kind::Integer => item.as_i64().is_some(),
        Kind::Float => item.as_f64().is_some_and(f64::is_finite),
        _ => false,
    }
}

fn is_place(item: Item) -> bool {
    item.len() == 2 && several(item, 2, is_number)
}

/// A day without a time.
fn is_day(item: Item) -> bool {
    item.as_date()
        .is_some_and(|(_, at)| at.date.is_some() && at.time.is_none() && at.offset.is_none())
}

/// As [`super::schema::ID_PATTERN`] has it.
fn is_id(key: &str) -> bool {
    key.split('-').all(|word| {
        let mut letters = word.bytes();
        !word.is_empty() && letters.all(|one| one.is_ascii_lowercase() || one.is_ascii_digit())
    })
}

/// An array of at least so many that all are one.
fn several<'d>(item: Item<'d>, least: usize, one: impl Fn(Item<'d>) -> bool) -> bool {
    item.kind() == Kind::Array && item.len() >= least && item.items().all(one)
}

/// A table all of whose entries are one.
fn each(item: Item, one: impl Fn(&str, Item) -> bool) -> bool {
    item.kind() == Kind::Table
        && item
            .entries()
            .all(|entry| entry.key().is_some_and(|(key, _)| one(key, entry)))
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::super::shape;
    use super::*;
    use crate::catalog::fields::ROOT;
    use crate::catalog::mapping::MAPPING_FILE;
    use crate::catalog::pond::POND_FILE;
    use crate::document;
    use crate::text::{FileId, Source};

    const DAY: &str = "2026-01-31";

    /// Whether a text fits as a catalog's file, as a pond's and as a mapping; each must be what the validator says.
    fn tried(text: &str) -> [bool; 3] {
        let source = Source::new("file.toml", text.as_bytes().to_vec());
        let document = document::read(FileId(0), &source);
        let fit = [&ROOT, &POND_FILE, &MAPPING_FILE].map(|root| fits(document.root(), root));
        let valid = shape::are_valid(&document);
        for (fits, is_valid) in fit.into_iter().zip(valid) {
            assert!(!fits || is_valid, "the validator refuses\n{text}");
        }
        // Where all could be read, the walk is as sure as the validator, to which a date is a text.
        if document.is_sound() && !text.contains(DAY) {
            assert_eq!(fit, valid, "{text}");
        }
        fit
    }

    fn files(folder: &Path, all: &mut Vec<String>) {
        let mut entries: Vec<_> = std::fs::read_dir(folder).unwrap().flatten().collect();
        entries.sort_by_key(std::fs::DirEntry::path);
        for entry in entries {
            let path = entry.path();
            if path.is_dir() {
                files(&path, all);
            } else if path.extension().is_some_and(|end| end == "toml") {
                all.extend(String::from_utf8(std::fs::read(&path).unwrap()));
            }
        }
    }

    #[test]
    fn what_fits_is_what_the_validator_takes() {
        let mut all = Vec::new();
        let root = Path::new(env!("CARGO_MANIFEST_DIR"));
        files(&root.join("catalog-examples"), &mut all);
        assert!(all.len() > 100);
        let sound = all.iter().filter(|text| tried(text)[0]).count();
        assert!(sound > all.len() / 2, "only {sound} of {} fit", all.len());
        // One slip in every file and every line of some, each in its turn.
        const INSTEAD: [&str; 8] = [
            "3",
            "-3.5",
            "true",
            "\"\"",
            "[]",
            "[\"x\", {}]",
            "{ is = 1 }",
            DAY,
        ];
        let (mut broken, mut slips) = (0, 0);
        for (number, text) in all.iter().enumerate() {
            let lines: Vec<&str> = text.lines().collect();
            for at in (number % 5..lines.len()).step_by(5) {
                let slip = match lines[at].split_once(" = ") {
                    Some((key, value)) => match (number + at) % 4 {
                        0 => String::new(),
                        1 => format!("{key}x = {value}"),
                        _ => format!("{key} = {}", INSTEAD[(number + at / 5) % INSTEAD.len()]),
                    },
                    None => lines[at].replace(']', "-A]"),
                };
                let mut lines = lines.clone();
                lines[at] = &slip;
                slips += 1;
                broken += usize::from(!tried(&lines.join("\n"))[0]);
            }
        }
        assert!(slips > 800 && broken > slips / 2, "{broken} of {slips}");
    }
}
