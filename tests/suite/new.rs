//! `nameplate new`: what it writes is sound, and nothing is written over.

use std::path::Path;
use std::process::Output;

use crate::scratch::run;
use serde_json::Value;

fn out(output: &Output) -> String {
    assert_eq!(
        output.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&output.stderr)
    );
    String::from_utf8(output.stdout.clone()).unwrap()
}

fn report(folder: &Path, path: &str) -> Value {
    let output = run(folder, &["audit", path, "--format", "json"]);
    serde_json::from_str(&out(&output)).unwrap()
}

fn names(folder: &Path) -> Vec<String> {
    let entries = std::fs::read_dir(folder).unwrap();
    let mut names: Vec<String> = entries
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .collect();
    names.sort();
    names
}

const FILES: [&str; 7] = [
    "airline.toml",
    "catalog.toml",
    "compressor.toml",
    "diffuser.toml",
    "fitting.toml",
    "manifold.toml",
    "package.toml",
];

#[test]
fn the_first_catalog_audits_clean_and_says_what_to_change() {
    for (units, feet) in [("metric", false), ("us", true)] {
        first_catalog(units, feet);
    }
}

fn first_catalog(units: &str, feet: bool) {
    let folder = tempfile::tempdir().unwrap();
    let told = out(&run(folder.path(), &["new", "ponds", "--units", units]));
    assert_eq!(names(&folder.path().join("ponds")), FILES);
    assert_eq!(names(folder.path()), ["ponds"]);
    for file in FILES {
        assert!(told.contains(&format!("  {file} ")), "{told}");
    }
    assert!(told.contains("Then run `nameplate audit ponds`."), "{told}");
    let report = report(folder.path(), "ponds");
    assert_eq!(report["findings"], Value::Array(Vec::new()));
    let verdicts = report["verdicts"].as_array().unwrap();
    assert!(verdicts.len() >= 6);
    // Every promise holds or is within the rating; none is left without a verdict.
    for one in verdicts {
        let is_kept = one["verdict"] == "supported" || one["within_rating"] == true;
        assert!(is_kept, "{one}");
        assert_eq!(one["breaches"], Value::Array(Vec::new()), "{one}");
    }
    let package = std::fs::read_to_string(folder.path().join("ponds/package.toml")).unwrap();
    assert_eq!(package.contains("depth = \"5 ft\""), feet, "{package}");
    assert_eq!(package.contains("depth = \"1.5 m\""), !feet, "{package}");
    // The comments explain, and the figures say that they are nobody's.
    for file in FILES {
        let text = std::fs::read_to_string(folder.path().join("ponds").join(file)).unwrap();
        assert!(!text.contains(['<', '>', '|']), "{text}");
        assert!(text.matches("# ").count() >= 2, "{file}");
        let is_part = !["catalog.toml", "package.toml"].contains(&file);
        assert_eq!(text.contains("invented"), is_part, "{file}");
    }
}

#[test]
fn each_part_audits_clean_in_that_catalog() {
    let kinds = [
        "compressor",
        "diffuser",
        "airline",
        "manifold",
        "fitting",
        "check-valve",
        "cabinet",
        "package",
    ];
    let folder = tempfile::tempdir().unwrap();
    out(&run(folder.path(), &["new", "ponds"]));
    for kind in kinds {
        let told = out(&run(folder.path(), &["new", "ponds", "--part", kind]));
        assert!(told.contains(&format!("ponds/new-{kind}.toml is written")));
        assert!(told.contains(" first."), "{told}");
    }
    out(&run(
        folder.path(),
        &["new", "ponds", "--part", "compressor", "--id", "linear-60"],
    ));
    let report = report(folder.path(), "ponds");
    let rules: Vec<&str> = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["rule"].as_str().unwrap())
        .collect();
    // Nothing but that no package uses the seven parts and the second compressor yet.
    assert_eq!(rules, vec!["reference.unused"; kinds.len()]);
}

#[test]
fn nothing_is_written_over() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path();
    std::fs::create_dir(path.join("empty")).unwrap();
    std::fs::write(path.join("file"), "mine").unwrap();
    std::fs::write(path.join("new-cabinet.toml"), "mine").unwrap();
    let before = names(path);
    for arguments in [
        &["new", "empty"][..],
        &["new", "file"],
        &["new", "."],
        &["new", ".", "--part", "cabinet"],
        &["new", "nowhere/ponds"],
        &["new", "nowhere", "--part", "cabinet"],
        &["new", ".", "--part", "cabinet", "--id", "../up"],
        &["new", ".", "--part", "cabinet", "--id", "Cabinet"],
        &["new", ".", "--part", "kit"],
        &["new", "ponds", "--id", "cabinet"],
    ] {
        let output = run(path, arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert_eq!(output.stdout, b"");
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(said.lines().count(), 1, "{said}");
        assert_eq!(names(path), before, "{arguments:?}");
    }
    let cabinet = std::fs::read_to_string(path.join("new-cabinet.toml")).unwrap();
    assert_eq!(cabinet, "mine");
    assert_eq!(names(&path.join("empty")), Vec::<String>::new());
}

/// A folder that can't be finished leaves nothing behind.
#[cfg(unix)]
#[test]
fn it_is_whole_or_not_there() {
    use std::os::unix::fs::PermissionsExt;
    let folder = tempfile::tempdir().unwrap();
    let link = folder.path().join("ponds");
    std::os::unix::fs::symlink("nowhere", &link).unwrap();
    assert_eq!(run(folder.path(), &["new", "ponds"]).status.code(), Some(2));
    assert_eq!(names(folder.path()), ["ponds"]);
    std::fs::remove_file(&link).unwrap();
    out(&run(folder.path(), &["new", "ponds"]));
    // Others may read it, as they may what an editor writes.
    let mode = |path: &Path| std::fs::metadata(path).unwrap().permissions().mode() & 0o777;
    assert_eq!(mode(&link) & 0o700, 0o700);
    assert_eq!(mode(&link.join("catalog.toml")), 0o644);
}
