//! Runs that take long: a limit of time, and nothing of a bar where no terminal is.

use std::path::Path;
use std::process::{Command, Output};

fn audit(more: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "catalog-examples/sound", "--as-of", "2026-07-01"])
        .args(more)
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .unwrap()
}

#[test]
fn a_run_that_takes_too_long_ends_with_a_sentence_and_writes_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let there = folder.path().join("report.json");
    std::fs::write(&there, "earlier").unwrap();
    let output = there.to_str().unwrap();
    // No machine audits a catalog in a microsecond.
    for more in [
        &["--time-limit", "0.000001"][..],
        &[
            "--time-limit",
            "0.000001",
            "--format",
            "json",
            "--output",
            output,
        ],
    ] {
        let late = audit(more);
        let sentence = String::from_utf8(late.stderr).unwrap();
        assert_eq!(late.status.code(), Some(2), "{sentence}");
        assert!(late.stdout.is_empty());
        assert_eq!(sentence.lines().count(), 1, "{sentence}");
        assert!(
            sentence.contains("--time-limit, so nothing was written"),
            "{sentence}"
        );
    }
    assert_eq!(std::fs::read_to_string(&there).unwrap(), "earlier");
    assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
}

#[test]
fn a_run_within_its_limit_is_as_any_other() {
    let without = audit(&[]);
    let within = audit(&["--time-limit", "600"]);
    assert_eq!(within.status.code(), without.status.code());
    assert_eq!(within.stdout, without.stdout);
    // Nothing of a bar or of the time goes where no terminal is.
    assert_eq!(String::from_utf8(within.stderr).unwrap(), "");
}

#[test]
fn a_limit_that_is_no_time_is_refused() {
    for limit in ["0", "-1", "nan", "inf", "soon", "1e300"] {
        let refused = audit(&[&format!("--time-limit={limit}")]);
        let sentence = String::from_utf8(refused.stderr).unwrap();
        assert_eq!(refused.status.code(), Some(2), "{limit}");
        assert!(sentence.contains("--time-limit"), "{sentence}");
    }
}

/// A bar is drawn on a terminal once a run is long, and is gone before the report stands there.
#[test]
fn a_long_run_on_a_terminal_has_a_bar() {
    // The program of that name gives a command a terminal; without it there is none to look at.
    if !Path::new("/usr/bin/script").exists() {
        assert!(
            std::env::var_os("CI").is_none(),
            "CI has the program `script`"
        );
        return;
    }
    let folder = tempfile::tempdir().unwrap();
    let mut catalog = String::from("[catalog]\nformat = 1\n");
    let text = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/catalog-examples/faulty/too-deep-for-a-linear.toml"
    ))
    .unwrap();
    let parts = text.find("[package.").unwrap();
    catalog.push_str(&text[text.find("[catalog]").unwrap()..parts].replacen(
        "[catalog]\nformat = 1\n",
        "",
        1,
    ));
    for number in 0..3000 {
        catalog.push_str(&text[parts..].replace("otter-one", &format!("otter-{number}")));
    }
    std::fs::write(folder.path().join("catalog.toml"), catalog).unwrap();
    let run = |more: &str| {
        let program = env!("CARGO_BIN_EXE_nameplate");
        let command = format!("{program} audit . --format json --jobs 1 {more} > report.json");
        let output = Command::new("/usr/bin/script")
            .args(["--quiet", "--command", &command, "/dev/null"])
            .current_dir(folder.path())
            .env("TERM", "xterm")
            .output()
            .unwrap();
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let shown = run("");
    assert!(shown.contains("of 3000 packages"), "{shown}");
    assert!(!run("--quiet").contains("packages"));
}
