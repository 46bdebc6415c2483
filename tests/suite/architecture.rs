//! Holds `src/` to the table of rooms in `DEVELOPERS.md`, both ways.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

/// A row of the table: a room and what it may import, in the table's order.
struct Row {
    room: String,
    may: BTreeSet<String>,
}

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// Reads the rows between the heading `## Rooms` and the next heading.
fn rows(page: &str) -> Vec<Row> {
    page.lines()
        .skip_while(|line| line.trim() != "## Rooms")
        .skip(1)
        .take_while(|line| !line.starts_with("## "))
        .filter_map(|line| {
            let cells: Vec<&str> = line
                .trim()
                .trim_matches('|')
                .split('|')
                .map(str::trim)
                .collect();
            let room = cells.first()?.strip_prefix('`')?.strip_suffix('`')?;
            let may = cells
                .get(1)?
                .split(',')
                .map(str::trim)
                .filter(|name| *name != "–");
            Some(Row {
                room: room.to_string(),
                may: may.map(str::to_string).collect(),
            })
        })
        .collect()
}

/// Every Rust file below `dir`.
fn rust_files(dir: &Path) -> Vec<PathBuf> {
    walkdir::WalkDir::new(dir)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| path.extension().is_some_and(|ext| ext == "rs"))
        .collect()
}

/// The rooms that code names as `crate::ROOM`, comments left out.
fn named(code: &str) -> BTreeSet<String> {
    let code: String = code
        .lines()
        .filter(|line| !line.trim_start().starts_with("//"))
        .flat_map(|line| [line, "\n"])
        .collect();
    let mut found = BTreeSet::new();
    for (at, _) in code.match_indices("crate::") {
        let rest = &code[at + "crate::".len()..];
        let name: String = rest
            .chars()
            .take_while(|c| c.is_ascii_alphanumeric() || *c == '_')
            .collect();
        assert!(
            !name.is_empty(),
            "name each room by its own path, not in a group: crate::{}",
            &rest[..rest.len().min(40)]
        );
        found.insert(name);
    }
    found
}

/// What is wrong with `src` against the table; empty if all is well.
fn faults(rows: &[Row], code: &BTreeMap<String, BTreeSet<String>>) -> Vec<String> {
    let mut faults = Vec::new();
    let order: Vec<&str> = rows.iter().map(|row| row.room.as_str()).collect();
    for room in code.keys() {
        if !order.contains(&room.as_str()) {
            faults.push(format!("`{room}` has no row in the table"));
        }
    }
    for (place, row) in rows.iter().enumerate() {
        let Some(uses) = code.get(&row.room) else {
            faults.push(format!(
                "the table has a row for `{}`, but src hasn't",
                row.room
            ));
            continue;
        };
        for other in uses {
            if *other != row.room && !row.may.contains(other) {
                faults.push(format!("`{}` may not name `{other}`", row.room));
            }
        }
        for other in &row.may {
            if !uses.contains(other) {
                faults.push(format!(
                    "`{}` may name `{other}`, but doesn't: take it out of the row",
                    row.room
                ));
            }
            if !order[..place].contains(&other.as_str()) {
                faults.push(format!(
                    "`{}` may name `{other}`, which stands below it",
                    row.room
                ));
            }
        }
    }
    faults
}

/// Which rooms each room of `src` names.
fn code() -> BTreeMap<String, BTreeSet<String>> {
    let src = root().join("src");
    let mut code: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for path in rust_files(&src) {
        let inside = path.strip_prefix(&src).unwrap();
        let room = inside
            .components()
            .next()
            .unwrap()
            .as_os_str()
            .to_str()
            .unwrap();
        let room = room.trim_end_matches(".rs").to_string();
        if room == "lib" || room == "main" {
            continue;
        }
        let text = std::fs::read_to_string(&path).unwrap();
        code.entry(room).or_default().extend(named(&text));
    }
    code
}

#[test]
fn every_room_names_only_those_above_it() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let rows = rows(&page);
    assert!(rows.len() > 10, "the table of rooms wasn't found");
    let faults = faults(&rows, &code());
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_order_in_lib_is_the_order_of_the_table() {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let table: Vec<String> = rows(&page).into_iter().map(|row| row.room).collect();
    let lib = std::fs::read_to_string(root().join("src/lib.rs")).unwrap();
    let lib: Vec<String> = lib
        .lines()
        .filter_map(|line| line.strip_prefix("pub mod "))
        .map(|rest| rest.trim_end_matches(';').to_string())
        .collect();
    assert_eq!(lib, table);
}

/// The check itself: each kind of fault is seen.
#[test]
fn a_seeded_fault_is_seen() {
    let table =
        "## Rooms\n| `a` | – | x | y |\n| `b` | a | x | y |\n| `c` | a, b | x | y |\n## Next\n";
    let rows = rows(table);
    let of = |pairs: &[(&str, &[&str])]| {
        pairs
            .iter()
            .map(|(room, uses)| {
                (
                    room.to_string(),
                    uses.iter().map(|u| u.to_string()).collect(),
                )
            })
            .collect::<BTreeMap<String, BTreeSet<String>>>()
    };
    let sound = of(&[("a", &[]), ("b", &["a"]), ("c", &["a", "b"])]);
    assert!(faults(&rows, &sound).is_empty());
    let forbidden = of(&[("a", &["b"]), ("b", &["a"]), ("c", &["a", "b"])]);
    assert_eq!(faults(&rows, &forbidden), ["`a` may not name `b`"]);
    let unused = of(&[("a", &[]), ("b", &["a"]), ("c", &["a"])]);
    assert_eq!(faults(&rows, &unused).len(), 1);
    let without_row = of(&[("a", &[]), ("b", &["a"]), ("c", &["a", "b"]), ("d", &[])]);
    assert_eq!(faults(&rows, &without_row), ["`d` has no row in the table"]);
    assert_eq!(
        named("use crate::text::Span; // x\n// crate::cli::y\n").len(),
        1
    );
}
