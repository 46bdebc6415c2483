//! What the program is built from: each package that it asks for is listed with why.

use std::collections::BTreeSet;

use crate::made;

/// The packages that `Cargo.toml` asks for, those of tests apart.
fn asked() -> (BTreeSet<String>, BTreeSet<String>) {
    let manifest: toml::Table = made::committed("Cargo.toml").parse().unwrap();
    let names = |table: &toml::Value| -> BTreeSet<String> {
        table.as_table().unwrap().keys().cloned().collect()
    };
    let mut all = names(&manifest["dependencies"]);
    for of_target in manifest["target"].as_table().unwrap().values() {
        all.extend(names(&of_target["dependencies"]));
    }
    let tests = names(&manifest["dev-dependencies"]);
    let tests = tests.difference(&all).cloned().collect();
    (all, tests)
}

#[test]
fn each_package_is_listed_with_why() {
    let page = made::committed("DEVELOPERS.md");
    let (_, part) = page.split_once("| package | why it is here |").unwrap();
    let (part, _) = part.split_once("\n## ").unwrap();
    let rows = part
        .lines()
        .filter_map(|line| line.strip_prefix("| ")?.split_once(" | "));
    let rows: Vec<(&str, &str)> = rows.filter(|(name, _)| *name != "---").collect();
    let listed: BTreeSet<String> = rows.iter().map(|(name, _)| name.to_string()).collect();
    assert_eq!(listed.len(), rows.len());
    let (all, tests) = asked();
    assert_eq!(listed, all);
    for name in tests {
        assert!(part.contains(&name), "{name}");
    }
    assert!(rows.iter().all(|(_, why)| why.len() > 10));
}

/// The whole page is held to the packages by `tests/run`; this holds it to the lock file, which changes oftener.
#[test]
fn the_notices_are_of_the_versions_in_the_lock_file() {
    let page = made::committed("tests/supply/THIRD-PARTY.md");
    let lock: toml::Table = made::committed("Cargo.lock").parse().unwrap();
    let locked: BTreeSet<(String, String)> = lock["package"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| ["name", "version"].map(|key| one[key].as_str().unwrap().to_string()))
        .map(|[name, version]| (name, version))
        .collect();
    let noticed = page
        .lines()
        .filter_map(|line| line.strip_prefix("- **")?.split_once("** "));
    let noticed: BTreeSet<(String, String)> = noticed
        .map(|(name, rest)| (name.into(), rest.split(',').next().unwrap().into()))
        .collect();
    assert!(noticed.len() > 100, "{}", noticed.len());
    assert_eq!(
        noticed.difference(&locked).collect::<Vec<_>>(),
        Vec::<&(String, String)>::new()
    );
    let (all, _) = asked();
    let names: BTreeSet<&String> = noticed.iter().map(|(name, _)| name).collect();
    assert_eq!(
        all.iter()
            .filter(|name| !names.contains(name))
            .collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    // The fonts that stand in for those that a PDF file doesn't bring have a notice of their own.
    assert!(page.contains("LICENSE_FOXIT") && page.contains("PDFium Authors"));
}
