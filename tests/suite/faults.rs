//! Systems that refuse what the program asks of them: threads, memory, room on the disk, size of a file.

#![cfg(target_os = "linux")]

use std::path::Path;
use std::process::{Command, Output};

const CATALOG: &str = r#"
[catalog]
format = 1
[compressor.linear]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = "40 W"
max_pressure = "24 kPa"
inlet_filter = true
curve = [{ pressure = "0 kPa", flow = "60 L/min" }, { pressure = "30 kPa", flow = "0 L/min" }]
[diffuser.disc]
flow = "10 to 45 L/min"
chek_valve = true
[package.kit]
compressor = "linear"
diffuser = "disc"
[package.kit.claim]
depth = "1.2 m"
"#;

fn catalog() -> tempfile::TempDir {
    let at = tempfile::tempdir().unwrap();
    std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
    at
}

/// Runs the program under a limit of the shell's `ulimit`.
fn limited(folder: &Path, limit: &str, arguments: &str) -> Output {
    let program = env!("CARGO_BIN_EXE_nameplate");
    Command::new("sh")
        .args([
            "-c",
            &format!("ulimit {limit} && exec {program} {arguments}"),
        ])
        .current_dir(folder)
        .env_remove("COLUMNS")
        .env("NO_COLOR", "1")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .expect("a shell is there")
}

fn said(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

/// What lies in a folder besides the catalog, hidden files of a killed run left out.
fn beside(folder: &Path) -> Vec<String> {
    let names = std::fs::read_dir(folder).unwrap().flatten();
    let names = names.map(|one| one.file_name().into_string().unwrap());
    let mut names: Vec<String> = names
        .filter(|name| name != "catalog.toml" && !name.starts_with(".nameplate-"))
        .collect();
    names.sort();
    names
}

#[test]
fn more_threads_than_cores_are_not_begun() {
    let at = catalog();
    let usual = limited(at.path(), "-v unlimited", "audit . --jobs 2");
    assert_eq!(usual.status.code(), Some(1), "{}", said(&usual));
    // So many stacks wouldn't fit, and the work does.
    let alone = limited(
        at.path(),
        "-v 1000000",
        "audit . --jobs 256 --time-limit 600",
    );
    assert_eq!(alone.status.code(), Some(1), "{}", said(&alone));
    assert_eq!(alone.stdout, usual.stdout);
}

#[test]
fn more_threads_than_any_machine_has_are_refused() {
    let at = catalog();
    let refused = limited(at.path(), "-v unlimited", "audit . --jobs 257");
    assert_eq!(refused.status.code(), Some(2));
    assert!(said(&refused).contains("--jobs"), "{}", said(&refused));
    assert_eq!(said(&refused).lines().count(), 1);
}

#[test]
fn a_file_that_the_system_lets_grow_no_further_is_an_error_and_stays_as_it_was() {
    let at = catalog();
    let path = at.path().join("report.json");
    std::fs::write(&path, "earlier").unwrap();
    for arguments in [
        "audit . --format json --output report.json",
        "audit . --format json > report.txt",
    ] {
        let ended = limited(at.path(), "-f 1", arguments);
        let sentence = said(&ended);
        assert_eq!(ended.status.code(), Some(2), "{arguments}: {sentence}");
        assert_eq!(sentence.lines().count(), 1, "{sentence}");
        assert!(
            sentence.contains("can't be written: file too large"),
            "{sentence}"
        );
    }
    assert_eq!(std::fs::read_to_string(path).unwrap(), "earlier");
    assert_eq!(beside(at.path()), ["report.json", "report.txt"]);
}

#[test]
fn a_full_disk_is_told() {
    let at = catalog();
    for arguments in [
        "audit . --output /dev/full",
        "audit . > /dev/full",
        "rulebook > /dev/full",
    ] {
        let full = limited(at.path(), "-v unlimited", arguments);
        assert_eq!(full.status.code(), Some(2), "{arguments}: {}", said(&full));
        assert!(
            said(&full).contains("can't be written: there is no room left"),
            "{}",
            said(&full)
        );
    }
}

/// Limits of memory from too little to begin with up to enough: whatever comes of a run, each file is old or new.
#[test]
fn too_little_memory_leaves_each_file_old_or_new() {
    let at = catalog();
    let amended = CATALOG.replace("chek_valve", "check_valve");
    let mut ended = std::collections::BTreeSet::new();
    for megabytes in (20..=1000)
        .step_by(20)
        .filter(|one| *one <= 400 || one % 100 == 0)
    {
        let limit = format!("-v {}", megabytes * 1000);
        std::fs::write(at.path().join("catalog.toml"), CATALOG).unwrap();
        std::fs::write(at.path().join("report.json"), "earlier").unwrap();
        let _ = std::fs::remove_file(at.path().join("record.jsonl"));
        let audit = "audit . --format json --output report.json --record record.jsonl --jobs 1";
        let audited = limited(at.path(), &limit, audit);
        let code = audited.status.code();
        let report = std::fs::read_to_string(at.path().join("report.json")).unwrap();
        let is_new = serde_json::from_str::<serde_json::Value>(&report).is_ok();
        assert!(is_new || report == "earlier", "{megabytes} MB: {report}");
        if let Ok(record) = std::fs::read_to_string(at.path().join("record.jsonl")) {
            assert!(
                record.ends_with('\n') && record.lines().count() == 1,
                "{megabytes} MB: {record}"
            );
        }
        if matches!(code, Some(0 | 1)) {
            assert!(
                is_new && at.path().join("record.jsonl").exists(),
                "{megabytes} MB"
            );
        }
        if code == Some(2) {
            assert_eq!(
                said(&audited).lines().count(),
                1,
                "{megabytes} MB: {}",
                said(&audited)
            );
        }
        ended.insert(code);
        let mended = limited(at.path(), &limit, "amend . --offered");
        let now = std::fs::read_to_string(at.path().join("catalog.toml")).unwrap();
        assert!(now == CATALOG || now == amended, "{megabytes} MB: {now}");
        if mended.status.code() == Some(0) {
            assert_eq!(now, amended, "{megabytes} MB: {}", said(&mended));
        }
    }
    // Both ends were met: one where it can't even begin, one where it does its work.
    assert!(ended.contains(&Some(1)) && ended.len() > 1, "{ended:?}");
}

#[test]
fn a_report_that_is_piped_is_as_wide_as_usual() {
    let at = catalog();
    let run = |columns: &str| {
        let program = env!("CARGO_BIN_EXE_nameplate");
        let output = Command::new(program)
            .args(["audit", "."])
            .current_dir(at.path())
            .env("COLUMNS", columns)
            .output();
        output.unwrap().stdout
    };
    assert_eq!(run("40"), run("200"));
}

#[test]
fn a_file_larger_than_any_catalog_is_read_only_when_that_is_asked_for() {
    let at = catalog();
    let long = format!("{CATALOG}# {}\n", "a".repeat(17 << 20));
    std::fs::write(at.path().join("catalog.toml"), long).unwrap();
    for (arguments, code) in [
        ("audit .", 2),
        ("audit . --max-size 18", 1),
        ("amend . --dry-run", 2),
    ] {
        let output = limited(at.path(), "-v unlimited", arguments);
        let sentence = said(&output);
        assert_eq!(output.status.code(), Some(code), "{arguments}: {sentence}");
        let told =
            sentence.contains("catalog.toml can't be read: it is larger than 16 MiB; --max-size");
        assert_eq!(told, code == 2, "{sentence}");
    }
    for size in ["0", "257", "-1", "much"] {
        let output = limited(
            at.path(),
            "-v unlimited",
            &format!("audit . --max-size={size}"),
        );
        assert_eq!(output.status.code(), Some(2), "{size}");
        assert!(said(&output).contains("--max-size"), "{}", said(&output));
    }
}

#[test]
fn a_record_with_words_of_its_own_is_refused_and_stays() {
    let at = catalog();
    let keep = "audit . --record record.jsonl";
    assert_eq!(
        limited(at.path(), "-v unlimited", keep).status.code(),
        Some(1)
    );
    let path = at.path().join("record.jsonl");
    let sound = std::fs::read_to_string(&path).unwrap();
    let line: serde_json::Value = serde_json::from_str(sound.trim()).unwrap();
    for (key, word) in [
        ("verdict", "fine"),
        ("claim", "colour"),
        ("weakest_mark", "hearsay"),
        ("facts", "x"),
        ("format", "nameplate-record/9"),
    ] {
        let mut wrong = line.clone();
        wrong[key] = word.into();
        let wrong = format!("{wrong}\n");
        std::fs::write(&path, &wrong).unwrap();
        let refused = limited(at.path(), "-v unlimited", keep);
        assert_eq!(refused.status.code(), Some(2), "{key}");
        assert!(
            said(&refused).contains("record.jsonl can't be read: line 1 isn't"),
            "{}",
            said(&refused)
        );
        assert_eq!(std::fs::read_to_string(&path).unwrap(), wrong);
    }
}
