//! Records of verdicts: what is kept, what is told of a change, and who is said to have changed it.

use std::path::Path;

use crate::scratch::run;
use serde_json::Value;

const CATALOG: &str = r#"[catalog]
format = 1
title = "Otter Mill Water, record"

[compressor.linear-40]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "40 W", at = "15 kPa" }
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "20 kPa", flow = "40 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]
max_pressure = "24 kPa"
inlet_filter = true

[diffuser.disc]
flow = "10 to 45 L/min"
check_valve = true

[airline.half]
size = "1/2 in"
bore = "12.7 mm"

[package.kit]
compressor = "linear-40"
diffuser = "disc"
claim.depth = "1.5 m"
claim.power = "40 W"
[[package.kit.option]]
id = "with-airline"
airline = { part = "half", length = "20 m" }
"#;

/// The report on a catalog held against the record beside it.
fn audit(folder: &Path, text: &str) -> Value {
    std::fs::write(folder.join("catalog.toml"), text).unwrap();
    let output = run(
        folder,
        &[
            "audit",
            "catalog.toml",
            "--record",
            "verdicts.jsonl",
            "--format",
            "json",
        ],
    );
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn record(folder: &Path) -> String {
    std::fs::read_to_string(folder.join("verdicts.jsonl")).unwrap()
}

#[test]
fn a_record_is_a_line_for_each_promise_and_stays_while_nothing_changes() {
    let at = tempfile::tempdir().unwrap();
    let report = audit(at.path(), CATALOG);
    // All are new to a record that begins.
    let verdicts = report["verdicts"].as_array().unwrap().len();
    assert_eq!(report["record"].as_array().unwrap().len(), verdicts);
    let first = record(at.path());
    assert_eq!(first.lines().count(), verdicts);
    let schema: Value = serde_json::from_str(nameplate::report::record::SCHEMA).unwrap();
    let schema = jsonschema::validator_for(&schema).unwrap();
    for line in first.lines() {
        assert!(
            schema.is_valid(&serde_json::from_str(line).unwrap()),
            "{line}"
        );
    }
    // Comments, blank lines and the order of tables are no facts.
    let (head, tail) = CATALOG.split_once("[diffuser.disc]").unwrap();
    let (diffuser, rest) = tail.split_once("[airline.half]").unwrap();
    let moved = format!("{head}# the airline\n[airline.half]{rest}\n\n[diffuser.disc]{diffuser}");
    assert_eq!(audit(at.path(), &moved)["record"], Value::Array(Vec::new()));
    assert_eq!(record(at.path()), first);
}

#[test]
fn a_verdict_that_a_part_changed_is_the_catalogs() {
    let at = tempfile::tempdir().unwrap();
    audit(at.path(), CATALOG);
    let report = audit(at.path(), &CATALOG.replace("\"24 kPa\"", "\"12 kPa\""));
    let changes = report["record"].as_array().unwrap();
    // The depth, and the run that waits for it.
    assert_eq!(changes.len(), 2, "{changes:?}");
    assert_eq!(changes[0]["is"]["verdict"], "not-evaluated");
    let change = &changes[1];
    assert_eq!(change["claim"], "depth");
    assert_eq!(change["was"]["verdict"], "supported");
    assert_eq!(change["is"]["verdict"], "contradicted");
    assert_eq!(change["cause"], "catalog");
    // It is told once; the record then has the new verdict.
    let again = audit(at.path(), &CATALOG.replace("\"24 kPa\"", "\"12 kPa\""));
    assert_eq!(again["record"], Value::Array(Vec::new()));
}

#[test]
fn a_verdict_that_the_program_changed_is_the_programs() {
    let at = tempfile::tempdir().unwrap();
    audit(at.path(), CATALOG);
    let older = record(at.path())
        .replace("\"verdict\":\"supported\"", "\"verdict\":\"contradicted\"")
        .replace("\"rulebook\":\"1\"", "\"rulebook\":\"0\"");
    std::fs::write(at.path().join("verdicts.jsonl"), older).unwrap();
    let output = run(
        at.path(),
        &["audit", "catalog.toml", "--record", "verdicts.jsonl"],
    );
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    let text: Vec<&str> = text.split_whitespace().collect();
    assert!(
        text.join(" ").contains(
            "kit: depth 1.5 m was graded contradicted and is now graded holds: the catalog states the same, and the \
             program changed"
        ),
        "{text:?}"
    );
}

#[test]
fn a_file_that_is_no_record_is_refused_and_stays() {
    let at = tempfile::tempdir().unwrap();
    std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
    std::fs::write(at.path().join("notes.log"), "mine\n").unwrap();
    let output = run(
        at.path(),
        &["audit", "catalog.toml", "--record", "notes.log"],
    );
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        said.contains("notes.log can't be read: line 1 isn't a line of a record of verdicts"),
        "{said}"
    );
    assert_eq!(
        std::fs::read_to_string(at.path().join("notes.log")).unwrap(),
        "mine\n"
    );
}

/// Two catalogs beside each other, and what a run writes into a record of both.
fn both(at: &Path) {
    for (folder, watts) in [("brook", "40"), ("weir", "50")] {
        std::fs::create_dir_all(at.join(folder)).unwrap();
        let text = CATALOG.replace("\"40 W\"", &format!("\"{watts} W\""));
        std::fs::write(at.join(folder).join("catalog.toml"), text).unwrap();
    }
    let output = run(
        at,
        &["audit", "brook", "weir", "--record", "verdicts.jsonl"],
    );
    assert_ne!(output.status.code(), Some(2));
}

#[test]
fn a_record_of_several_catalogs_keeps_those_that_were_not_audited_from_any_folder() {
    let at = tempfile::tempdir().unwrap();
    both(at.path());
    let first = record(at.path());
    assert!(first.contains("\"catalog\":\"brook\"") && first.contains("\"catalog\":\"weir\""));
    for (folder, arguments) in [
        ("", &["audit", "weir", "--record", "verdicts.jsonl"][..]),
        (
            "",
            &["audit", "weir/catalog.toml", "--record", "./verdicts.jsonl"],
        ),
        ("weir", &["audit", ".", "--record", "../verdicts.jsonl"]),
        (
            "brook",
            &["audit", "../weir", ".", "--record", "../verdicts.jsonl"],
        ),
    ] {
        let output = run(
            &at.path().join(folder),
            &[arguments, &["--format", "json"]].concat(),
        );
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(report["record"], Value::Array(Vec::new()), "{arguments:?}");
        assert_eq!(record(at.path()), first, "{arguments:?}");
    }
}

#[test]
fn a_record_is_checked_without_being_written() {
    let at = tempfile::tempdir().unwrap();
    both(at.path());
    let first = record(at.path());
    let check = || {
        run(
            at.path(),
            &[
                "audit",
                "brook",
                "weir",
                "--record",
                "verdicts.jsonl",
                "--check",
            ],
        )
    };
    assert_eq!(check().status.code(), Some(0));
    let path = at.path().join("weir/catalog.toml");
    let text = std::fs::read_to_string(&path).unwrap();
    std::fs::write(&path, text.replace("1.5 m", "1.4 m")).unwrap();
    let other = check();
    assert_eq!(other.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&other.stderr).contains("would change; run without --check"));
    assert_eq!(record(at.path()), first);
    std::fs::remove_file(at.path().join("verdicts.jsonl")).unwrap();
    assert_eq!(check().status.code(), Some(1));
    assert!(!at.path().join("verdicts.jsonl").exists());
}

#[test]
fn a_record_is_written_only_when_the_report_was_and_a_merge_must_have_settled() {
    let at = tempfile::tempdir().unwrap();
    std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
    let output = run(
        at.path(),
        &[
            "audit",
            ".",
            "--record",
            "verdicts.jsonl",
            "--output",
            "gone/report.md",
        ],
    );
    assert_eq!(output.status.code(), Some(2));
    assert!(!at.path().join("verdicts.jsonl").exists());
    audit(at.path(), CATALOG);
    let lines = record(at.path());
    let torn = format!("<<<<<<< ours\n{lines}=======\n{lines}>>>>>>> theirs\n");
    std::fs::write(at.path().join("verdicts.jsonl"), &torn).unwrap();
    let output = run(at.path(), &["audit", ".", "--record", "verdicts.jsonl"]);
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(said.contains("line 1 is the mark of a merge"), "{said}");
    assert_eq!(record(at.path()), torn);
}

/// What was read is never written over by a report.
#[test]
fn a_report_takes_the_place_of_nothing_that_was_read_or_written() {
    let at = tempfile::tempdir().unwrap();
    std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
    let sarif = run(
        at.path(),
        &["audit", ".", "--format", "sarif", "--record", "kept.jsonl"],
    );
    std::fs::write(at.path().join("base.sarif"), &sarif.stdout).unwrap();
    std::fs::write(
        at.path().join("page.md"),
        "For ponds up to 1 m deep, 40 W.\n",
    )
    .unwrap();
    #[cfg(unix)]
    {
        std::os::unix::fs::symlink("catalog.toml", at.path().join("other")).unwrap();
        std::os::unix::fs::symlink("nowhere", at.path().join("dangling.md")).unwrap();
    }
    let before = |name: &str| std::fs::read(at.path().join(name)).unwrap();
    let names = ["catalog.toml", "kept.jsonl", "base.sarif", "page.md"];
    let all: Vec<Vec<u8>> = names.iter().map(|name| before(name)).collect();
    let mut cases: Vec<Vec<&str>> = vec![
        vec!["--output", "catalog.toml"],
        vec!["--output", "json=./catalog.toml"],
        vec!["--output", "page.md"],
        vec!["--output", "kept.jsonl", "--record", "kept.jsonl"],
        vec!["--record", "catalog.toml"],
        vec!["--output", "base.sarif", "--baseline", "base.sarif"],
        vec!["--record", "base.sarif", "--baseline", "base.sarif"],
        vec!["--output", "a.md", "--output", "./a.md"],
    ];
    if cfg!(unix) {
        cases.push(vec!["--output", "other"]);
        cases.push(vec!["--output", "dangling.md"]);
    }
    for more in cases {
        let output = run(at.path(), &[&["audit", "."][..], &more].concat());
        assert_eq!(output.status.code(), Some(2), "{more:?}");
        for (name, was) in names.iter().zip(&all) {
            assert_eq!(&before(name), was, "{more:?}");
        }
        assert!(!at.path().join("a.md").exists() && !at.path().join("nowhere").exists());
    }
    // What is marked as read-only stays.
    let path = at.path().join("fixed.md");
    std::fs::write(&path, "mine").unwrap();
    let mut permissions = std::fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    std::fs::set_permissions(&path, permissions).unwrap();
    let output = run(
        at.path(),
        &["audit", "catalog.toml", "--output", "fixed.md"],
    );
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(std::fs::read(&path).unwrap(), b"mine");
}

/// One judging for all: each format is what it is alone.
#[test]
fn one_run_writes_several_reports() {
    let at = tempfile::tempdir().unwrap();
    std::fs::create_dir(at.path().join("list")).unwrap();
    std::fs::write(at.path().join("list/catalog.toml"), CATALOG).unwrap();
    let forms = [
        ("json", "r.json"),
        ("sarif", "r.sarif"),
        ("junit", "r.xml"),
        ("markdown", "r.md"),
        ("html", "r.html"),
        ("terminal", "r.txt"),
        ("code-quality", "code-quality=issues.json"),
        ("workflow-commands", "workflow-commands=log"),
    ];
    let mut arguments = vec!["audit", "list"];
    for (_, output) in forms {
        arguments.extend(["--output", output]);
    }
    let output = run(at.path(), &arguments);
    assert_ne!(output.status.code(), Some(2), "{output:?}");
    let shown = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(
        shown.starts_with("Audited 1 package and ") && shown.lines().count() == 1,
        "{shown}"
    );
    for (form, name) in forms {
        let name = name.rsplit('=').next().unwrap();
        let alone = run(at.path(), &["audit", "list", "--format", form]);
        let written = std::fs::read(at.path().join(name)).unwrap();
        assert!(written == alone.stdout, "{form}");
    }
}
