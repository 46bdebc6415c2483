//! Records of verdicts: what is kept, what is told of a change, and who is said to have changed it.

use std::path::Path;
use std::process::{Command, Output};

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

fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .current_dir(folder)
        .args(arguments)
        .output()
        .unwrap()
}

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
            "kit: depth 1.5 m was contradicted and is supported now: the catalog states the same, and the program \
             changed"
        ),
        "{text:?}"
    );
}

#[test]
fn a_file_that_is_no_record_is_refused_and_stays() {
    let at = tempfile::tempdir().unwrap();
    std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
    std::fs::write(at.path().join("notes.txt"), "mine\n").unwrap();
    let output = run(
        at.path(),
        &["audit", "catalog.toml", "--record", "notes.txt"],
    );
    assert_eq!(output.status.code(), Some(2));
    let said = String::from_utf8_lossy(&output.stderr).into_owned();
    assert!(
        said.contains("notes.txt can't be read: line 1 isn't a line of a record of verdicts"),
        "{said}"
    );
    assert_eq!(
        std::fs::read_to_string(at.path().join("notes.txt")).unwrap(),
        "mine\n"
    );
}
