//! Holds `DEVELOPERS.md` to the repository: what it names is there.

use std::path::Path;

use crate::made;

/// The paths a page names between backticks: whatever has a slash or is a file at the top.
fn paths(page: &str) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    let mut in_fence = false;
    for line in page.lines() {
        if line.starts_with("```") {
            in_fence = !in_fence;
            continue;
        }
        if in_fence {
            // In the commands only what is run by its path is a path.
            let word = line.split_whitespace().next().unwrap_or("");
            if word.contains('/') && !line.contains('│') {
                found.push(word.to_string());
            }
            continue;
        }
        for (index, part) in line.split('`').enumerate() {
            let is_code = index % 2 == 1;
            let is_path = part.contains('/') || part.ends_with(".md") || part.ends_with(".toml");
            let plain = part
                .chars()
                .all(|c| c.is_alphanumeric() || "./-_".contains(c));
            if is_code && is_path && plain && !part.starts_with('.') {
                found.push(part.to_string());
            }
        }
    }
    found
}

/// Those of `paths` that aren't in the repository.
fn missing(paths: &[String]) -> Vec<&String> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    paths
        .iter()
        .filter(|path| !root.join(path).exists())
        .collect()
}

#[test]
fn every_path_of_the_page_is_there() {
    let paths = paths(&made::committed("DEVELOPERS.md"));
    assert!(paths.len() >= 30, "{} paths", paths.len());
    assert_eq!(missing(&paths), Vec::<&String>::new());
}

#[test]
fn a_path_that_leads_nowhere_would_be_seen() {
    let page = "See `src/rules/mod.rs` and `src/rules/gone.rs`; `depth = \"1.5 m\"`.\n\n```sh\ntests/gone # all\n```\n";
    let paths = paths(page);
    assert_eq!(
        paths,
        ["src/rules/mod.rs", "src/rules/gone.rs", "tests/gone"]
    );
    assert_eq!(missing(&paths), ["src/rules/gone.rs", "tests/gone"]);
}

/// The page has one picture, the walk, the rooms, what is kept, and three recipes.
#[test]
fn the_page_has_its_parts() {
    let page = made::committed("DEVELOPERS.md");
    let headings: Vec<&str> = page
        .lines()
        .filter_map(|line| line.strip_prefix("## "))
        .collect();
    assert_eq!(
        headings,
        [
            "The picture",
            "The walk of one figure",
            "Rooms",
            "What is kept from one audit to the next",
            "Three recipes",
            "Running parts of the tests",
            "Style",
            "What the program is built from",
            "What is made, and how",
        ]
    );
    let recipes = page.lines().filter(|line| line.starts_with("### ")).count();
    assert_eq!(recipes, 3);
}
