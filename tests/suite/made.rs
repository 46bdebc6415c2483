//! Files and parts of pages that the program's own lists make.
//!
//! A page holds a made part between `<!-- made: NAME -->` and `<!-- end -->`. A test compares what is
//! committed with what is made; run with `NAMEPLATE_WRITE=1` it writes instead, so that a change is
//! made by the program and read in the diff.

use std::collections::BTreeMap;
use std::path::PathBuf;

fn at(path: &str) -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The committed text of a file.
pub fn committed(path: &str) -> String {
    std::fs::read_to_string(at(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// Holds the file at `path` to `made`, or writes it.
pub fn hold(path: &str, made: &str) {
    if std::env::var_os("NAMEPLATE_WRITE").is_some() {
        assert!(
            std::env::var_os("CI").is_none(),
            "nothing is written anew in CI"
        );
        std::fs::write(at(path), made).unwrap();
        return;
    }
    let committed = std::fs::read_to_string(at(path)).unwrap_or_default();
    if let Some((line, (is, should))) = committed
        .lines()
        .chain(std::iter::repeat("(end)"))
        .zip(made.lines().chain(std::iter::once("(end)")))
        .enumerate()
        .find(|(_, (is, should))| is != should)
    {
        panic!(
            "{path} line {}: committed is\n  {is}\nand made is\n  {should}\nNAMEPLATE_WRITE=1 cargo test writes it",
            line + 1
        );
    }
    assert_eq!(committed.lines().count(), made.lines().count(), "{path}");
}

/// `page` with its made parts replaced by those of `parts`.
///
/// # Panics
/// A part of the page that nothing makes, and one that no page has.
pub fn with_parts(page: &str, parts: &BTreeMap<String, String>) -> String {
    let mut made = String::new();
    let mut unused: Vec<&String> = parts.keys().collect();
    let mut skipping = false;
    for line in page.lines() {
        let name = line
            .strip_prefix("<!-- made: ")
            .and_then(|rest| rest.strip_suffix(" -->"));
        if let Some(name) = name {
            assert!(!skipping, "`{name}` begins within another part");
            let part = parts
                .get(name)
                .unwrap_or_else(|| panic!("nothing makes the part `{name}`"));
            unused.retain(|one| *one != name);
            made.push_str(&format!("{line}\n{}\n", part.trim_end()));
            skipping = true;
        } else if line == "<!-- end -->" {
            assert!(skipping, "a part ends that hasn't begun");
            made.push_str(line);
            made.push('\n');
            skipping = false;
        } else if !skipping {
            made.push_str(line);
            made.push('\n');
        }
    }
    assert!(!skipping, "the last part doesn't end");
    assert!(unused.is_empty(), "no page has the parts {unused:?}");
    made
}

/// The fenced blocks of `page` in the language `language`: number of the first line, and text.
pub fn fences(page: &str, language: &str) -> Vec<(usize, String)> {
    let mut found: Vec<(usize, String)> = Vec::new();
    let mut open: Option<bool> = None;
    for (index, line) in page.lines().enumerate() {
        match (&mut open, line.strip_prefix("```")) {
            (Some(_), Some(_)) => open = None,
            (None, Some(rest)) => {
                let wanted = rest.trim() == language;
                if wanted {
                    found.push((index + 2, String::new()));
                }
                open = Some(wanted);
            }
            (Some(true), None) => {
                if let Some((_, text)) = found.last_mut() {
                    text.push_str(line);
                    text.push('\n');
                }
            }
            _ => {}
        }
    }
    found
}

#[test]
fn parts_are_replaced_and_missed_ones_are_seen() {
    let page = "a\n<!-- made: x -->\nold\n<!-- end -->\nb\n";
    let parts = BTreeMap::from([("x".to_string(), "new\n".to_string())]);
    assert_eq!(
        with_parts(page, &parts),
        "a\n<!-- made: x -->\nnew\n<!-- end -->\nb\n"
    );
    let more = BTreeMap::from([
        ("x".to_string(), String::new()),
        ("y".to_string(), String::new()),
    ]);
    assert!(std::panic::catch_unwind(|| with_parts(page, &more)).is_err());
    assert!(std::panic::catch_unwind(|| with_parts(page, &BTreeMap::new())).is_err());
    assert_eq!(
        fences("```sh\nls\n```\n```toml\na = 1\n```\n", "toml"),
        [(5, "a = 1\n".to_string())]
    );
}
