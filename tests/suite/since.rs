//! `audit --since`: only what a change touches, compared by facts.

use std::collections::BTreeSet;

use nameplate::engine::{self, Input, Options, Since};
use serde_json::Value;

use crate::scratch::Scratch;

fn report(scratch: &Scratch, more: &[&str]) -> Value {
    let arguments = [
        &["audit", "list", "--as-of", "2026-07-01", "--format", "json"][..],
        more,
    ]
    .concat();
    let output = scratch.run(&arguments);
    serde_json::from_slice(&output.stdout)
        .unwrap_or_else(|_| panic!("{}", String::from_utf8_lossy(&output.stderr)))
}

fn packages(report: &Value) -> BTreeSet<String> {
    let verdicts = report["verdicts"].as_array().unwrap().iter();
    verdicts
        .map(|one| one["package"].as_str().unwrap().to_string())
        .collect()
}

fn findings(report: &Value) -> Vec<(String, String)> {
    let text = |one: &Value, key: &str| one[key].as_str().unwrap().to_string();
    let findings = report["findings"].as_array().unwrap().iter();
    findings
        .map(|one| (text(one, "rule"), text(one, "on")))
        .collect()
}

#[test]
fn a_change_of_lines_touches_nothing() {
    let scratch = Scratch::new();
    let nothing = report(&scratch, &["--since", "base"]);
    assert!(packages(&nothing).is_empty() && findings(&nothing).is_empty());
    // A comment, a blank line, another order and a file of its own say nothing new.
    let text = std::fs::read_to_string(scratch.path("list/packages/metric.toml")).unwrap();
    let moved = format!("# A remark.\n\n{}", text.replace(" = ", "  =  "));
    std::fs::write(scratch.path("list/packages/renamed.toml"), moved).unwrap();
    std::fs::remove_file(scratch.path("list/packages/metric.toml")).unwrap();
    let moved = report(&scratch, &["--since", "base"]);
    assert!(packages(&moved).is_empty(), "{moved}");
    assert_eq!(moved["partial"]["since"], "base");
    assert_eq!(moved["summary"]["packages"], 0);
    let all = report(&scratch, &[]);
    assert_eq!(
        moved["partial"]["packages_in_all"],
        all["summary"]["packages"]
    );
    assert!(all.get("partial").is_none());
}

#[test]
fn a_changed_part_touches_the_packages_that_use_it_and_no_others() {
    let scratch = Scratch::new();
    let all = report(&scratch, &[]);
    // A deeper claim of one package.
    scratch.edit(
        "list/packages/metric.toml",
        "depth = \"1.8 m\"",
        "depth = \"9.8 m\"",
    );
    let one = report(&scratch, &["--since", "base"]);
    assert_eq!(packages(&one), BTreeSet::from(["mill-pair".to_string()]));
    let depth = ("claim.depth".to_string(), "package.mill-pair".to_string());
    assert!(findings(&one).contains(&depth), "{:?}", findings(&one));
    // What it found is what a whole run finds there, but for a sheet that says what the catalog said before: that
    // it is stale only the earlier state can tell.
    let stale = ("sheet.stale".to_string(), "package.mill-pair".to_string());
    assert!(findings(&one).contains(&stale), "{:?}", findings(&one));
    let whole = report(&scratch, &[]);
    let of_pair = |report: &Value| -> Vec<Value> {
        let findings = report["findings"].as_array().unwrap().iter();
        let is_own = |one: &&Value| one["on"].as_str().unwrap().starts_with("package.mill-pair");
        let in_catalog = |one: &&Value| one["file"].as_str().unwrap().ends_with(".toml");
        findings
            .filter(is_own)
            .filter(in_catalog)
            .cloned()
            .collect()
    };
    assert_eq!(of_pair(&one), of_pair(&whole));
    scratch.git(&["checkout", "--quiet", "."]);
    // A part that it shares with some others.
    scratch.edit(
        "list/parts/diffusers.toml",
        "[diffuser.disc-230]",
        "[diffuser.disc-230]\nown = { page = 4 }",
    );
    assert!(packages(&report(&scratch, &["--since", "base"])).is_empty());
    scratch.edit(
        "list/parts/diffusers.toml",
        "[diffuser.disc-230]",
        "[diffuser.disc-230]\nmodel = \"D 230\"",
    );
    let shared = packages(&report(&scratch, &["--since", "base"]));
    assert!(shared.contains("mill-pair"), "{shared:?}");
    assert!(shared.len() < packages(&all).len(), "{shared:?}");
    // A part that is gone is missed by the same ones.
    scratch.edit(
        "list/parts/diffusers.toml",
        "[diffuser.disc-230]",
        "[diffuser.disc-231]",
    );
    let gone = report(&scratch, &["--since", "base"]);
    assert_eq!(packages(&gone), shared);
    assert!(
        findings(&gone)
            .iter()
            .any(|(rule, _)| rule == "reference.unknown")
    );
}

#[test]
fn what_all_depends_on_touches_all() {
    let scratch = Scratch::new();
    // The catalog in a folder below has a site of its own.
    let all = report(&scratch, &[]);
    let own = all["verdicts"].as_array().unwrap().iter();
    let own = own.filter(|one| !one["file"].as_str().unwrap().contains("highland"));
    let own: BTreeSet<String> = own
        .map(|one| one["package"].as_str().unwrap().to_string())
        .collect();
    assert!(own.len() > 3);
    scratch.edit(
        "list/catalog.toml",
        "altitude = \"120 m\"",
        "altitude = \"130 m\"",
    );
    let touched = report(&scratch, &["--since", "base"]);
    assert!(touched["partial"]["whole_for"].to_string().contains("site"));
    assert_eq!(packages(&touched), own);
    // The same between commits.
    scratch.commit("Higher up");
    assert!(packages(&report(&scratch, &["--since", "HEAD"])).is_empty());
    assert_eq!(
        packages(&report(&scratch, &["--since", "HEAD~1"])),
        packages(&touched)
    );
}

/// A part that nothing uses, and a waiver that nothing needs, are no news of a change.
#[test]
fn a_partial_run_does_not_judge_what_is_unused_and_says_so() {
    let scratch = Scratch::new();
    let unused = "\n[diffuser.spare-disc]\nflow = \"10 to 60 L/min\"\n[[waiver]]\nrule = \"claim.sound\"\non = \"package.mill-pair\"\nreason = \"heard it\"\n";
    let path = scratch.path("list/parts/more.toml");
    std::fs::write(path, unused).unwrap();
    let rules =
        |report: &Value| -> Vec<String> { findings(report).into_iter().map(|one| one.0).collect() };
    let whole = rules(&report(&scratch, &[]));
    let partial = report(&scratch, &["--since", "base"]);
    for rule in ["reference.unused", "waiver.unused"] {
        assert!(whole.contains(&rule.to_string()), "{whole:?}");
        assert!(!rules(&partial).contains(&rule.to_string()));
    }
    // A new waiver touches what it is about.
    assert!(packages(&partial).contains("mill-pair"));
    for (format, says) in [
        ("terminal", "partial run"),
        ("markdown", "partial run"),
        ("html", "partial run"),
        ("junit", "only what has changed since base"),
        ("sarif", "\"onlyTouchedSince\": \"base\""),
        ("json", "\"partial\""),
    ] {
        let output = scratch.run(&["audit", "list", "--since", "base", "--format", format]);
        let text = String::from_utf8(output.stdout).unwrap();
        let text = text.replace('\n', " ");
        assert!(text.contains(says), "{format}: {text}");
    }
}

#[test]
fn what_cannot_be_read_counts_as_changed_where_its_text_did() {
    let scratch = Scratch::new();
    let path = scratch.path("list/parts/broken.toml");
    std::fs::write(&path, "[spare.odd]\nfits = oops\n").unwrap();
    let new = findings(&report(&scratch, &["--since", "base"]));
    assert!(
        new.iter().any(|(rule, _)| rule.starts_with("syntax.")),
        "{new:?}"
    );
    scratch.commit("Broken");
    let old = findings(&report(&scratch, &["--since", "HEAD"]));
    assert!(old.is_empty(), "{old:?}");
    // A new catalog is new as a whole.
    std::fs::write(scratch.path("list/two.toml"), "").unwrap();
    std::fs::create_dir(scratch.path("other")).unwrap();
    std::fs::write(
        scratch.path("other/catalog.toml"),
        "[catalog]\nformat = 1\ntitle = \"Other\"\n[package.a]\ncompressor = \"gone\"\n",
    )
    .unwrap();
    let output = scratch.run(&["audit", "list", "other", "--since", "HEAD"]);
    assert_eq!(output.status.code(), Some(1));
}

/// Within a hook git names the repository and its index in the environment.
#[test]
fn a_run_within_a_hook_finds_the_repository_of_its_paths() {
    let scratch = Scratch::new();
    scratch.edit(
        "list/packages/metric.toml",
        "depth = \"1.8 m\"",
        "depth = \"9.8 m\"",
    );
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", ".", "--since", "base"])
        .current_dir(scratch.path("list"))
        .env("GIT_DIR", ".git")
        .env("GIT_INDEX_FILE", ".git/index")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(1));
    assert!(String::from_utf8_lossy(&output.stdout).contains("claim.depth"));
}

#[test]
fn a_revision_that_cannot_be_looked_at_is_refused_in_a_sentence() {
    let scratch = Scratch::new();
    let lone = tempfile::tempdir().unwrap();
    std::fs::copy(
        scratch.path("list/catalog.toml"),
        lone.path().join("catalog.toml"),
    )
    .unwrap();
    let lone = lone.path().to_str().unwrap();
    for (arguments, says) in [
        (
            &["audit", "list", "--since", "nowhere"][..],
            "knows no revision `nowhere`",
        ),
        (&["audit", "list", "--since", ""], "knows no revision"),
        (
            &["audit", "list", "--since=--help"],
            "knows no revision `--help`",
        ),
        (
            &["audit", "list", "--since=HEAD^{tree}"],
            "knows no revision",
        ),
        (
            &["audit", lone, "--since", "base"],
            "lies in no git repository",
        ),
        (
            &["audit", "list", "--since", "base", "--baseline", "x"],
            "--baseline",
        ),
        // It would forget the packages that no change touches.
        (
            &["audit", "list", "--since", "base", "--record", "x"],
            "--record",
        ),
    ] {
        let output = scratch.run(arguments);
        let sentence = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{arguments:?}: {sentence}");
        assert!(output.stdout.is_empty());
        assert_eq!(sentence.lines().count(), 1, "{sentence}");
        assert!(sentence.contains(says), "{sentence}");
    }
    // Without the program there is no answer either.
    let output = std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["audit", "list", "--since", "base"])
        .current_dir(scratch.path(""))
        .env("PATH", "")
        .output()
        .unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8_lossy(&output.stderr).contains("`git` can't be run"));
}

const SMALL: &str = r#"
[catalog]
format = 1

[evidence.log]
file = "log.pdf"
kind = "own-test"
date = 2026-02-01

[spare.kit]
fits = ["one"]
price = "12 EUR"

[compressor.one]
technology = "linear-diaphragm"
service = [{ part = "kit", every = "1 year" }]

[compressor.two]
technology = "linear-diaphragm"
max_pressure = { is = "20 kPa", source = "evidence.log" }

[compressor.three]
technology = "linear-diaphragm"

[package.first]
compressor = "one"
[package.second]
compressor = "two"
[package.third]
compressor = "three"
[[package.third.option]]
id = "strong"
compressor = "two"

[[waiver]]
rule = "kit"
on = "package.first"
reason = "as sold"
"#;

/// The packages of `now` that are audited since it was as `before`.
fn touched(before: &str, now: &str) -> Vec<String> {
    let input = |text: &str| Input {
        path: "a.toml".into(),
        bytes: text.into(),
        alone: true,
        borrowed: false,
    };
    let options = Options {
        since: Some(Since {
            revision: "then".into(),
            before: vec![input(before)],
        }),
        ..Options::default()
    };
    let outcome = engine::audit(vec![input(now)], &options);
    let packages = outcome.catalogs[0].packages();
    packages
        .map(|one| one.on.trim_start_matches("package.").to_string())
        .collect()
}

/// By a part of a part, by a document that is cited, by an option, by a waiver that comes or goes.
#[test]
fn what_depends_on_a_change_is_touched_however_far_away() {
    for (old, new, expected) in [
        ("12 EUR", "13 EUR", &["first"][..]),
        ("own-test", "test-report", &["second", "third"]),
        (
            "[compressor.three]",
            "[compressor.three]\nmodel = \"3\"",
            &["third"],
        ),
        ("id = \"strong\"", "id = \"stronger\"", &["third"]),
        ("as sold", "as sold since May", &["first"]),
        ("[catalog]", "[catalog]\ntitle = \"Small\"", &[]),
        (
            "format = 1",
            "format = 1\ncurrency = \"EUR\"",
            &["first", "second", "third"],
        ),
        (
            "\n[package.second]",
            "\n[level]\nkit = \"note\"\n[package.second]",
            &["first", "second", "third"],
        ),
        (
            "[package.second]\n",
            "[package.new]\ncompressor = \"one\"\n[package.second]\n",
            &["new"],
        ),
    ] {
        let now = SMALL.replace(old, new);
        assert_ne!(now, SMALL);
        assert_eq!(touched(SMALL, &now), expected, "{old} to {new}");
        // And the other way round, but for what isn't there any more.
        let back: Vec<&str> = expected
            .iter()
            .copied()
            .filter(|one| *one != "new")
            .collect();
        assert_eq!(touched(&now, SMALL), back, "{new} to {old}");
    }
    let waiver = SMALL.find("[[waiver]]").unwrap();
    assert_eq!(touched(SMALL, &SMALL[..waiver]), ["first"]);
    assert_eq!(touched(&SMALL[..waiver], SMALL), ["first"]);
}

/// Parts that a catalog borrows may lie outside the paths; what an ignore file leaves out isn't there.
#[test]
fn borrowed_parts_and_ignored_files_are_as_in_a_whole_run() {
    let scratch = Scratch::new();
    let write = |path: &str, text: &str| {
        let path = scratch.path(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, text).unwrap();
    };
    write(
        "shop/catalog.toml",
        "[catalog]\nformat = 1\nparts = [\"../stock\"]\n[package.a]\ncompressor = \"one\"\n[package.b]\ncompressor = \"two\"\n",
    );
    write(
        "stock/parts.toml",
        "[compressor.one]\ntechnology = \"linear-diaphragm\"\n[compressor.two]\ntechnology = \"linear-diaphragm\"\n",
    );
    write("shop/.ignore", "drafts/\n");
    write(
        "shop/drafts/more.toml",
        "[package.draft]\ncompressor = \"one\"\n",
    );
    scratch.commit("A shop that borrows");
    let audited = |folder: &str, path: &str| -> Value {
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"))
            .args([
                "audit",
                path,
                "--since",
                "HEAD",
                "--format",
                "json",
                "--silence",
                "packing",
            ])
            .current_dir(scratch.path(folder))
            .output()
            .unwrap();
        serde_json::from_slice(&output.stdout).unwrap()
    };
    for (folder, path) in [
        ("", "shop"),
        ("shop", "."),
        ("list", "../shop"),
        ("", "./shop/"),
    ] {
        let report = audited(folder, path);
        assert_eq!(report["summary"]["packages"], 0, "{path}: {report}");
    }
    scratch.edit(
        "stock/parts.toml",
        "[compressor.two]",
        "[compressor.two]\nmodel = \"2\"",
    );
    for (folder, path) in [
        ("", "shop"),
        ("shop", "."),
        ("list", "../shop"),
        ("", "./shop/"),
    ] {
        let report = audited(folder, path);
        assert_eq!(report["summary"]["packages"], 1, "{path}: {report}");
        let other = findings(&report).iter().any(|(_, on)| on == "package.a");
        assert!(!other, "{report}");
    }
}
