//! `audit --since`: only what is new since a revision.

use std::collections::BTreeSet;

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
    // A page that still says what the catalog said before contradicts it now, and why only the earlier state tells.
    let differs = (
        "sheet.contradicts-catalog".to_string(),
        "package.mill-pair".to_string(),
    );
    assert!(findings(&one).contains(&differs), "{:?}", findings(&one));
    let stale = ("sheet.stale".to_string(), "package.mill-pair".to_string());
    assert!(findings(&one).contains(&stale), "{:?}", findings(&one));
    // Each of them a whole run finds as well.
    let whole = report(&scratch, &[]);
    let all_of = |report: &Value| report["findings"].as_array().unwrap().clone();
    for one in all_of(&one)
        .iter()
        .filter(|one| one["rule"] != "sheet.stale")
    {
        assert!(all_of(&whole).contains(one), "{one}");
    }
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
        "pressure = \"2.6 kPa\"",
        "pressure = \"2.9 kPa\"",
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
    assert!(packages(&gone).is_superset(&shared));
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
        "altitude = \"430 m\"",
    );
    let touched = report(&scratch, &["--since", "base"]);
    // One promises nothing that air or water decides.
    let touched_packages = packages(&touched);
    assert!(touched_packages.is_subset(&own) && touched_packages.len() + 1 >= own.len());
    // The same between commits.
    scratch.commit("Higher up");
    assert!(packages(&report(&scratch, &["--since", "HEAD"])).is_empty());
    assert_eq!(
        packages(&report(&scratch, &["--since", "HEAD~1"])),
        packages(&touched)
    );
}

/// A part that nothing uses and a waiver that nothing needs are news like others.
#[test]
fn what_is_newly_unused_is_told_and_each_format_says_that_it_is_no_whole_report() {
    let scratch = Scratch::new();
    let unused = "\n[diffuser.spare-disc]\nflow = \"10 to 60 L/min\"\n[[waiver]]\nrule = \"claim.sound\"\non = \"package.mill-pair\"\nreason = \"heard it\"\n";
    let path = scratch.path("list/parts/more.toml");
    std::fs::write(path, unused).unwrap();
    let partial = findings(&report(&scratch, &["--since", "base"]));
    for rule in ["reference.unused", "waiver.unused"] {
        assert!(partial.iter().any(|(one, _)| one == rule), "{partial:?}");
    }
    for (format, says) in [
        ("terminal", "partial report"),
        ("markdown", "partial report"),
        ("html", "partial report"),
        ("junit", "only what is new since base"),
        ("sarif", "\"onlyNewSince\": \"base\""),
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
        "[catalog]\nformat = 1\nparts = [\"../stock\"]\n[package.a]\ncompressor = \"one\"\n[package.b]\ncompressor = \"two\"\n[package.b.claim]\npower = \"40 W\"\n",
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
        "[compressor.two]\npower = \"60 W\"",
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
