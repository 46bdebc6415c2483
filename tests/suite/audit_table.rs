//! What a catalog says under `[audit]` of how it is audited, and that the command line stands above it.

use std::path::Path;
use std::process::Output;

use serde_json::Value;

use crate::scratch::Scratch;

fn told(output: &Output) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    format!("{}{}", text(&output.stdout), text(&output.stderr))
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", told(output)))
}

/// The sound example with `[audit]` in its own file.
fn with(table: &str) -> Scratch {
    let scratch = Scratch::new();
    add(
        &scratch,
        "list/catalog.toml",
        &format!("\n[audit]\n{table}\n"),
    );
    scratch
}

fn add(scratch: &Scratch, path: &str, more: &str) {
    let path = scratch.path(path);
    let text = std::fs::read_to_string(&path).unwrap_or_default();
    std::fs::write(path, text + more).unwrap();
}

fn audit(scratch: &Scratch, more: &[&str]) -> Output {
    scratch.run(&[&["audit", "list", "--as-of", "2026-07-01"][..], more].concat())
}

fn levels(output: &Output, rule: &str) -> Vec<String> {
    let report = json(output);
    let all = report["findings"].as_array().unwrap().iter();
    let own = all.filter(|one| one["rule"] == rule);
    own.map(|one| one["level"].as_str().unwrap().to_string())
        .collect()
}

#[test]
fn levels_stand_above_the_catalogs_and_below_the_command_lines() {
    // Undecided promises within the rating, which are heard on demand.
    let (rule, name) = ("claim.area", "claim.area.undecided");
    let scratch = Scratch::new();
    scratch.edit(
        "list/catalog.toml",
        "[level]\n",
        &format!("[level]\n\"{name}\" = \"note\"\n"),
    );
    let report = |more: &[&str]| audit(&scratch, &[&["--format", "json"][..], more].concat());
    let as_it_is = report(&[]);
    assert_eq!(as_it_is.status.code(), Some(0), "{}", told(&as_it_is));
    assert!(levels(&as_it_is, rule).iter().all(|level| level == "note"));
    let table = format!("\n[audit.level]\n\"{name}\" = \"error\"\n");
    add(&scratch, "list/catalog.toml", &table);
    let said = report(&[]);
    assert_eq!(said.status.code(), Some(1), "{}", told(&said));
    let of_said = levels(&said, rule);
    assert!(!of_said.is_empty() && of_said.iter().all(|level| level == "error"));
    let above = report(&["--level", "claim.area.undecided=warning"]);
    assert_eq!(above.status.code(), Some(0));
    let of_above = levels(&above, rule);
    // The catalog that lies within the folder is another's to set; the command line's word holds for both.
    assert_eq!(of_above.len(), of_said.len() + 1);
    assert!(of_above.iter().all(|level| level == "warning"));
    // A name that is no rule's is refused with the one that was meant, like one under `[level]`.
    let scratch = with("level = { \"claim.dept\" = \"note\" }");
    let wrong = audit(&scratch, &[]);
    assert_eq!(wrong.status.code(), Some(1));
    assert!(
        told(&wrong).contains("the nearest name is `claim.depth`"),
        "{}",
        told(&wrong)
    );
}

#[test]
fn what_is_excluded_is_not_read() {
    let scratch = with("exclude = [\"drafts/**\", \"old.md\", \"[\"]");
    std::fs::create_dir(scratch.path("list/drafts")).unwrap();
    add(
        &scratch,
        "list/drafts/bad.toml",
        "[package.bad]\ncompressor = \"gone\"\n",
    );
    add(
        &scratch,
        "list/old.md",
        "+++\npackage = \"mill-pair\"\n+++\nFor ponds up to 9 m deep.\n",
    );
    // From the folder itself, and from one above it.
    for folder in ["list", "."] {
        let output = scratch.run(&["audit", folder, "--as-of", "2026-07-01", "--format", "json"]);
        assert_eq!(output.status.code(), Some(0), "{}", told(&output));
        let left_out: Vec<String> = json(&output)["left_out"]
            .as_array()
            .unwrap()
            .iter()
            .map(|one| format!("{}: {}", one["path"], one["why"]))
            .collect();
        assert_eq!(left_out.len(), 2, "{left_out:?}");
        assert!(
            left_out
                .iter()
                .all(|one| one.contains("`exclude` under `[audit]`"))
        );
    }
    // Each state by its own table: what a change takes in is new.
    scratch.commit("Drafts");
    scratch.edit("list/catalog.toml", "\"drafts/**\", ", "");
    let taken_in = audit(&scratch, &["--since", "HEAD"]);
    assert_eq!(taken_in.status.code(), Some(1), "{}", told(&taken_in));
}

#[test]
fn reports_are_written_where_all_is_audited() {
    let scratch = with("output = [\"promises.sarif\", \"markdown=out/for-people\"]\nlimit = 900");
    std::fs::create_dir(scratch.path("list/out")).unwrap();
    let (sarif, markdown) = (
        scratch.path("list/promises.sarif"),
        scratch.path("list/out/for-people"),
    );
    // A part of what there is takes the place of no report on all.
    for part in [&["--since", "base"][..], &["--staged"]] {
        audit(&scratch, part);
        assert!(!sarif.exists() && !markdown.exists(), "{part:?}");
    }
    let shown = audit(&scratch, &[]);
    assert_eq!(shown.status.code(), Some(0), "{}", told(&shown));
    assert!(
        told(&shown).contains("mill-pair"),
        "people are shown all: {}",
        told(&shown)
    );
    let log: Value = serde_json::from_str(&std::fs::read_to_string(&sarif).unwrap()).unwrap();
    assert_eq!(log["version"], "2.1.0");
    let page = std::fs::read_to_string(&markdown).unwrap();
    assert!(
        page.chars().count() <= 900 && page.contains("cut at 900 characters"),
        "{page}"
    );
    // Again, in the place of the earlier ones, from another folder; and with a limit from the command line.
    let again = scratch.run(&["audit", ".", "--as-of", "2026-07-01", "--limit", "2000"]);
    assert_eq!(again.status.code(), Some(0), "{}", told(&again));
    assert!(
        std::fs::read_to_string(&markdown)
            .unwrap()
            .contains("cut at 2000 characters")
    );
    // What the command line names is written in their place.
    std::fs::remove_file(&sarif).unwrap();
    audit(&scratch, &["--output", "own.json"]);
    assert!(scratch.path("own.json").exists() && !sarif.exists());
}

/// A catalog comes from anybody: what it asks for is written nowhere else, and over nothing.
#[test]
fn a_catalog_names_no_file_of_others() {
    let outside = Scratch::new();
    let mut cases = vec![
        "../escaped.sarif",
        "/tmp/nameplate-escaped.sarif",
        ".git/hooks/pre-commit",
        "a/../../b.md",
        ".",
        "",
        "README.md",
        "catalog.toml",
    ];
    if cfg!(unix) {
        cases.push("linked/report.md");
    }
    for named in cases {
        let scratch = with(&format!("output = [\"{named}\"]"));
        add(&scratch, "list/README.md", "Ours.\n");
        #[cfg(unix)]
        std::os::unix::fs::symlink(outside.path("list"), scratch.path("list/linked")).unwrap();
        let output = audit(&scratch, &[]);
        // No path at all is a fault of the file, and told as one.
        let expected = if named.is_empty() { 1 } else { 2 };
        assert!(
            output.status.code() >= Some(expected),
            "{named}: {}",
            told(&output)
        );
        assert!(
            !scratch.path("escaped.sarif").exists()
                && !Path::new("/tmp/nameplate-escaped.sarif").exists()
        );
        assert!(!scratch.path(".git/hooks/pre-commit").exists());
        assert!(!outside.path("list/report.md").exists());
        assert_eq!(
            std::fs::read_to_string(scratch.path("list/README.md")).unwrap(),
            "Ours.\n"
        );
    }
}

#[test]
fn catalogs_of_one_run_that_differ_leave_the_word_to_the_command_line() {
    let scratch = with("jobs = 1\nlimit = 900");
    let second = "[catalog]\nformat = 1\n[audit]\nlimit = 800\njobs = 1\n";
    std::fs::create_dir(scratch.path("other")).unwrap();
    add(&scratch, "other/catalog.toml", second);
    let both =
        |more: &[&str]| scratch.run(&[&["audit", ".", "--as-of", "2026-07-01"][..], more].concat());
    let differ = both(&[]);
    assert_eq!(differ.status.code(), Some(2), "{}", told(&differ));
    let says = "differ in `limit` under `[audit]`; --limit says what counts";
    assert!(told(&differ).contains(says), "{}", told(&differ));
    let settled = both(&["--limit", "500"]);
    assert_eq!(settled.status.code(), Some(0), "{}", told(&settled));
}

#[test]
fn what_stands_there_is_held_to_the_format() {
    for (table, says) in [
        ("exlude = [\"a\"]", "exclude"),
        ("jobs = 0", "jobs"),
        ("jobs = \"two\"", "jobs"),
        ("output = \"a.sarif\"", "output"),
        ("limit = -5", "limit"),
        ("reject_at = \"note\"", "reject_at"),
    ] {
        let output = audit(&with(table), &[]);
        assert_eq!(output.status.code(), Some(1), "{table}: {}", told(&output));
        assert!(told(&output).contains(says), "{table}: {}", told(&output));
    }
    // In another file of the folder it has no effect, and that is told.
    let scratch = Scratch::new();
    add(
        &scratch,
        "list/packages/metric.toml",
        "\n[audit]\nexclude = [\"**\"]\n",
    );
    let output = audit(&scratch, &[]);
    assert_eq!(output.status.code(), Some(1), "{}", told(&output));
    assert!(told(&output).contains("catalog.toml"), "{}", told(&output));
}
