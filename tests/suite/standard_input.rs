//! Standard input stands for a file of a catalog, as an editor has it before it is saved; and what goes to standard
//! output is one report.

use std::io::Write;
use std::process::{Command, Output, Stdio};

use serde_json::Value;

use crate::scratch::Scratch;

const PACKAGES: &str = "list/packages/metric.toml";

fn run(scratch: &Scratch, input: &str, arguments: &[&str]) -> Output {
    let mut child = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "--as-of", "2026-07-01"])
        .args(arguments)
        .current_dir(scratch.path(""))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    // A run that refuses its arguments reads nothing.
    let _ = child.stdin.take().unwrap().write_all(input.as_bytes());
    child.wait_with_output().unwrap()
}

fn told(output: &Output) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    format!("{}{}", text(&output.stdout), text(&output.stderr))
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", told(output)))
}

#[test]
fn standard_input_is_judged_in_the_place_of_its_file() {
    let scratch = Scratch::new();
    let text = std::fs::read_to_string(scratch.path(PACKAGES)).unwrap();
    let on_disk = run(&scratch, "", &[PACKAGES, "--format", "json"]);
    let handed = |text: &str, path: &str| {
        run(
            &scratch,
            text,
            &["-", "--stdin-path", path, "--format", "json"],
        )
    };
    // The same text is the same audit, by whatever name the file goes.
    let dotted = format!("./{PACKAGES}");
    for path in [PACKAGES, &dotted, "list/../list/packages/metric.toml"] {
        assert_eq!(
            json(&handed(&text, path))["summary"],
            json(&on_disk)["summary"],
            "{path}"
        );
    }
    let deep = text.replacen("depth = \"1.8 m\"", "depth = \"9.8 m\"", 1);
    assert_ne!(text, deep);
    let faulty = handed(&deep, PACKAGES);
    assert_eq!(faulty.status.code(), Some(1));
    let finding = &json(&faulty)["findings"].as_array().unwrap().clone();
    let depth = finding
        .iter()
        .find(|one| one["rule"] == "claim.depth")
        .unwrap();
    assert_eq!(depth["file"], PACKAGES);
    assert_eq!(
        on_disk.status.code(),
        Some(0),
        "the file itself stays: {}",
        told(&on_disk)
    );
    // A file that isn't there yet belongs to the catalog it would lie in; a page likewise.
    let new = handed(
        "[package.bad]\ncompressor = \"gone\"\n",
        "list/packages/new.toml",
    );
    assert_eq!(new.status.code(), Some(1), "{}", told(&new));
    assert!(told(&new).contains("\"file\": \"list/packages/new.toml\""));
    let page = "+++\npackage = \"mill-pair\"\n+++\nFor ponds up to 9 m deep.\n";
    let sheet = run(
        &scratch,
        page,
        &["list", "-", "--stdin-path", "list/sheets/new.md"],
    );
    assert_eq!(sheet.status.code(), Some(1), "{}", told(&sheet));
    // Held against a revision, only what it changes is new.
    let since = [
        "-",
        "--stdin-path",
        PACKAGES,
        "--since",
        "base",
        "--format",
        "json",
    ];
    let same = run(&scratch, &text, &since);
    assert_eq!(json(&same)["findings"], serde_json::json!([]));
    assert_eq!(run(&scratch, &deep, &since).status.code(), Some(1));
}

#[test]
fn standard_input_without_its_path_is_refused() {
    let scratch = Scratch::new();
    for (arguments, says) in [
        (
            &["-"][..],
            "--stdin-path FILE says which file it stands for",
        ),
        (
            &["list", "--stdin-path", PACKAGES],
            "`-` among the paths is standard input",
        ),
        (&["-", "-", "--stdin-path", PACKAGES], "stands for one file"),
        (
            &["-", "--stdin-path", PACKAGES, "--staged"],
            "none of those that are staged",
        ),
    ] {
        let output = run(&scratch, "", arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(
            told(&output).contains(says),
            "{arguments:?}: {}",
            told(&output)
        );
        assert!(output.stdout.is_empty());
    }
    // What it stands for isn't written over.
    let text = std::fs::read_to_string(scratch.path(PACKAGES)).unwrap();
    let over = ["-", "--stdin-path", PACKAGES, "--output", PACKAGES];
    assert_eq!(run(&scratch, &text, &over).status.code(), Some(2));
}

/// `--evidence` adds what figures rest on and changes nothing else.
#[test]
fn evidence_stands_in_a_json_report_where_it_is_asked_for() {
    let scratch = Scratch::new();
    let report = |more: &[&str]| {
        let all = [&["list", "--format", "json"][..], more].concat();
        json(&run(&scratch, "", &all))
    };
    let (brief, mut whole) = (report(&[]), report(&["--evidence"]));
    let mut pieces = 0;
    for list in ["findings", "verdicts"] {
        for row in whole[list].as_array_mut().unwrap() {
            let evidence = row.as_object_mut().unwrap().shift_remove("evidence");
            pieces += evidence.unwrap().as_array().unwrap().len();
        }
    }
    assert!(pieces > 100, "{pieces}");
    assert_eq!(brief, whole);
}

/// A program that reads standard output gets one report, and the counts by rule beside it.
#[test]
fn statistics_leave_a_report_for_programs_whole() {
    let scratch = Scratch::new();
    let counted = [
        "list",
        "--statistics",
        "--level",
        "claim.area.undecided=note",
    ];
    let output = run(
        &scratch,
        "",
        &[&counted[..], &["--format", "sarif"]].concat(),
    );
    assert!(json(&output)["runs"].is_array());
    let beside = String::from_utf8_lossy(&output.stderr).into_owned();
    let is_row = |line: &str| {
        let words: Vec<&str> = line.split_whitespace().collect();
        words.len() == 3 && words[0].parse::<usize>().is_ok() && words[2].contains('.')
    };
    assert!(!beside.is_empty() && beside.lines().all(is_row), "{beside}");
    let people = run(&scratch, "", &counted);
    assert!(String::from_utf8_lossy(&people.stdout).ends_with(&beside));
}
