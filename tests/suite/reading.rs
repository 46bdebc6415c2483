//! Which files an audit reads, which it leaves out and says so, and what it does with repositories of every kind.

use std::path::Path;
use std::process::Output;

use serde_json::Value;

use crate::scratch::Scratch;

const BAD: &str = "[package.bad]\ncompressor = \"gone\"\n";

fn write(scratch: &Scratch, path: &str, text: &str) {
    let path = scratch.path(path);
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, text).unwrap();
}

fn told(output: &Output) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).replace('\n', " ");
    format!("{} {}", text(&output.stdout), text(&output.stderr))
}

fn json(output: &Output) -> Value {
    serde_json::from_slice(&output.stdout).unwrap_or_else(|_| panic!("{}", told(output)))
}

fn left_out(output: &Output) -> Vec<(String, String)> {
    let report = json(output);
    let all = report["left_out"].as_array().cloned().unwrap_or_default();
    let text = |one: &Value, key: &str| one[key].as_str().unwrap().to_string();
    all.iter()
        .map(|one| (text(one, "path"), text(one, "why")))
        .collect()
}

fn audit(scratch: &Scratch, more: &[&str]) -> Output {
    let arguments = [&["audit", "list", "--as-of", "2026-07-01"][..], more].concat();
    scratch.run(&arguments)
}

#[test]
fn what_git_tracks_is_read_whatever_an_ignore_file_says() {
    let scratch = Scratch::new();
    write(&scratch, "list/.gitignore", "drafts/\nlate.toml\n");
    write(&scratch, "list/drafts/bad.toml", BAD);
    write(&scratch, "list/late.toml", &BAD.replace("bad", "late"));
    let ignored = audit(&scratch, &["--format", "json"]);
    assert_eq!(ignored.status.code(), Some(0), "{}", told(&ignored));
    let names = |output: &Output| -> Vec<String> {
        left_out(output).into_iter().map(|one| one.0).collect()
    };
    assert_eq!(names(&ignored), ["list/drafts", "list/late.toml"]);
    scratch.git(&["add", "--force", "list/drafts/bad.toml"]);
    let tracked = audit(&scratch, &["--format", "json"]);
    assert_eq!(tracked.status.code(), Some(1), "{}", told(&tracked));
    scratch.git(&["add", "--force", "list/late.toml"]);
    let new = audit(&scratch, &["--since", "base", "--format", "json"]);
    assert_eq!(new.status.code(), Some(1), "{}", told(&new));
    assert_eq!(json(&new)["summary"]["errors"], 4, "{}", told(&new));
    // The people's report says it as well.
    let shown = audit(&scratch, &["--exclude", "packages/*"]);
    assert!(told(&shown).contains("Left out"), "{}", told(&shown));
}

#[test]
fn what_is_excluded_is_left_out_of_sheets_as_well() {
    let scratch = Scratch::new();
    let bad = "+++\npackage = \"mill-pair\"\n+++\nFor ponds up to 9 m deep.\n";
    write(&scratch, "list/old/page.md", bad);
    assert_eq!(audit(&scratch, &[]).status.code(), Some(1));
    let by_option = audit(&scratch, &["--exclude", "old/**", "--format", "json"]);
    assert_eq!(by_option.status.code(), Some(0));
    assert_eq!(left_out(&by_option)[0].0, "list/old/page.md");
    scratch.edit(
        "list/catalog.toml",
        "format = 1",
        "format = 1\nexclude = [\"old/**\"]",
    );
    let by_catalog = audit(&scratch, &["--format", "json"]);
    assert_eq!(by_catalog.status.code(), Some(0), "{}", told(&by_catalog));
    assert_eq!(left_out(&by_catalog)[0].0, "list/old/page.md");
    let wrong = audit(&scratch, &["--exclude", "[a"]);
    assert_eq!(wrong.status.code(), Some(2));
}

#[test]
fn own_reports_and_files_of_other_programs_are_left_alone() {
    let scratch = Scratch::new();
    for (form, name) in [
        ("html", "r.html"),
        ("markdown", "r.md"),
        ("terminal", "r.txt"),
        ("sarif", "r.sarif"),
    ] {
        let output = audit(&scratch, &["--format", form]);
        std::fs::write(scratch.path("list").join(name), output.stdout).unwrap();
    }
    write(
        &scratch,
        "list/pyproject.toml",
        "[project]\nname = \"tools\"\n[tool.odd]\nx = 1\n",
    );
    let output = audit(&scratch, &["--format", "json"]);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let all: Vec<String> = left_out(&output).into_iter().map(|one| one.0).collect();
    assert_eq!(all.len(), 4, "{all:?}");
    // What a catalog claims is its own, and a slip in a name is none of another program.
    write(
        &scratch,
        "list/slip.toml",
        "[pakage.kit]\ncompressor = \"gone\"\n",
    );
    assert_eq!(audit(&scratch, &[]).status.code(), Some(1));
    std::fs::remove_file(scratch.path("list/slip.toml")).unwrap();
    scratch.edit(
        "list/catalog.toml",
        "format = 1",
        "format = 1\nfiles = [\"**/*.toml\"]",
    );
    assert_eq!(audit(&scratch, &[]).status.code(), Some(1));
}

#[test]
fn a_file_of_a_catalog_is_judged_with_its_catalog() {
    let scratch = Scratch::new();
    let count = |arguments: &[&str]| {
        let all = [
            &["audit", "--as-of", "2026-07-01", "--format", "json"][..],
            arguments,
        ]
        .concat();
        let output = scratch.run(&all);
        json(&output)["summary"]["packages"].as_u64().unwrap()
    };
    let whole = count(&["list"]);
    assert!(whole > 5);
    assert_eq!(count(&["list/catalog.toml"]), whole);
    assert_eq!(count(&["list/packages/metric.toml"]), whole);
    assert_eq!(
        count(&["list/packages/metric.toml", "list/parts/airline.toml"]),
        whole
    );
}

#[test]
fn an_audit_that_judges_nothing_does_not_pass() {
    let scratch = Scratch::new();
    write(&scratch, "none/catalog.toml", "[catalog]\nformat = 1\n");
    let output = scratch.run(&["audit", "none"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(told(&output).contains("--allow-empty"), "{}", told(&output));
    assert!(output.stdout.is_empty());
    let allowed = scratch.run(&["audit", "none", "--allow-empty"]);
    assert_eq!(allowed.status.code(), Some(0), "{}", told(&allowed));
    // Where something is wrong that is said.
    write(
        &scratch,
        "none/catalog.toml",
        "[catalog]\nformat = 1\nx = = 2\n",
    );
    assert_eq!(scratch.run(&["audit", "none"]).status.code(), Some(1));
    // A level that would do nothing is refused, with the names that do.
    for name in [
        "claim.undecided",
        "kit.valves.undecided",
        "claim.power.undecided",
    ] {
        let level = format!("{name}=error");
        let output = audit(&scratch, &["--level", &level]);
        if name == "claim.power.undecided" {
            assert_ne!(output.status.code(), Some(2), "{}", told(&output));
            continue;
        }
        assert_eq!(output.status.code(), Some(2), "{name}");
        assert!(
            told(&output).contains("claim.depth.undecided"),
            "{}",
            told(&output)
        );
    }
}

#[cfg(unix)]
#[test]
fn only_regular_files_within_what_was_named_are_read() {
    use std::os::unix::fs::symlink;
    let scratch = Scratch::new();
    write(&scratch, "outside/.env", "password = \"hunter2\"\n");
    write(
        &scratch,
        "outside/page.md",
        "For ponds up to hunter2 m deep, 4 W.\n",
    );
    let link = |to: &str, name: &str| symlink(to, scratch.path("list").join(name)).unwrap();
    link("../outside/.env", "env.toml");
    link("../outside/page.md", "page.md");
    link("nowhere", "dangling.toml");
    link("/dev/zero", "zero.toml");
    link("..", "up");
    link("catalog.toml", "again.toml");
    let pipe = std::process::Command::new("mkfifo")
        .args([
            scratch.path("list/pipe.toml"),
            scratch.path("list/pipe.md"),
            scratch.path("list/parts/.gitignore"),
        ])
        .status();
    assert!(pipe.unwrap().success());
    let mut more = std::fs::read_to_string(scratch.path("list/catalog.toml")).unwrap();
    more.push_str("\n[[sheet]]\nfile = \"../outside/page.md\"\npackage = \"mill-pair\"\n");
    write(&scratch, "list/catalog.toml", &more);
    let output = audit(&scratch, &["--format", "json"]);
    let all: Vec<String> = left_out(&output).into_iter().map(|one| one.0).collect();
    let expected = [
        "dangling.toml",
        "env.toml",
        "page.md",
        "pipe.md",
        "pipe.toml",
        "up",
        "zero.toml",
    ];
    for name in expected {
        assert!(all.contains(&format!("list/{name}")), "{name}: {all:?}");
    }
    assert!(all.contains(&"outside/page.md".to_string()), "{all:?}");
    let shown = audit(&scratch, &["--verbose"]);
    assert!(!told(&shown).contains("hunter2") && !told(&output).contains("hunter2"));
    // Named itself it is refused.
    for name in ["list/pipe.toml", "list/zero.toml", "list/dangling.toml"] {
        let output = scratch.run(&["audit", name]);
        assert_eq!(output.status.code(), Some(2), "{name}");
    }
    // In history links are what they are on the disk.
    std::fs::remove_file(scratch.path("list/pipe.toml")).unwrap();
    std::fs::remove_file(scratch.path("list/pipe.md")).unwrap();
    std::fs::remove_file(scratch.path("list/parts/.gitignore")).unwrap();
    scratch.commit("Links");
    let same = audit(&scratch, &["--since", "HEAD", "--format", "json"]);
    assert_eq!(
        json(&same)["findings"],
        serde_json::json!([]),
        "{}",
        told(&same)
    );
    let staged = audit(
        &scratch,
        &["--staged", "--since", "HEAD", "--format", "json"],
    );
    assert_eq!(
        json(&staged)["findings"],
        serde_json::json!([]),
        "{}",
        told(&staged)
    );
}

/// Commits a package that can't be: an error that each kind of repository has to show.
fn worse(scratch: &Scratch) {
    write(scratch, "list/packages/bad.toml", BAD);
    scratch.commit("Worse");
}

#[test]
fn what_is_staged_is_judged_whatever_the_files_hold() {
    let scratch = Scratch::new();
    let staged = || audit(&scratch, &["--staged", "--since", "HEAD"]);
    write(&scratch, "list/packages/bad.toml", BAD);
    assert_eq!(staged().status.code(), Some(0), "{}", told(&staged()));
    scratch.git(&["add", "--all"]);
    assert_eq!(staged().status.code(), Some(1));
    // Mended in the file alone, or broken there alone.
    write(&scratch, "list/packages/bad.toml", "");
    assert_eq!(staged().status.code(), Some(1));
    scratch.git(&["add", "--all"]);
    write(&scratch, "list/packages/bad.toml", BAD);
    assert_eq!(staged().status.code(), Some(0), "{}", told(&staged()));
    // Before the first commit everything is new.
    scratch.git(&["add", "--all"]);
    scratch.git(&["checkout", "--quiet", "--orphan", "first"]);
    scratch.git(&["update-ref", "-d", "refs/heads/main"]);
    scratch.git(&["tag", "--delete", "base"]);
    let first = staged();
    assert_eq!(first.status.code(), Some(1), "{}", told(&first));
}

#[test]
fn where_two_branches_parted_is_what_a_change_is_held_against() {
    let scratch = Scratch::new();
    scratch.git(&["checkout", "--quiet", "-b", "change"]);
    write(&scratch, "list/notes.toml", "");
    scratch.commit("Nothing");
    scratch.git(&["checkout", "--quiet", "main"]);
    scratch.edit(
        "list/packages/metric.toml",
        "depth = \"1.8 m\"",
        "depth = \"9.8 m\"",
    );
    scratch.commit("Meanwhile");
    scratch.git(&["checkout", "--quiet", "change"]);
    for since in ["main...", "main...HEAD", "main...change", "base"] {
        let output = audit(&scratch, &["--since", since, "--format", "json"]);
        assert_eq!(
            json(&output)["findings"],
            serde_json::json!([]),
            "{since}: {}",
            told(&output)
        );
    }
    let output = audit(&scratch, &["--since", "main...nowhere"]);
    assert_eq!(output.status.code(), Some(2));
    worse(&scratch);
    assert_eq!(
        audit(&scratch, &["--since", "main..."]).status.code(),
        Some(1)
    );
}

#[test]
fn a_partial_run_goes_with_a_baseline_and_a_record() {
    let scratch = Scratch::new();
    let report = audit(&scratch, &["--format", "sarif", "--record", "kept.jsonl"]);
    write(
        &scratch,
        "base.sarif",
        &String::from_utf8(report.stdout).unwrap(),
    );
    let kept = std::fs::read_to_string(scratch.path("kept.jsonl")).unwrap();
    worse(&scratch);
    let both = audit(
        &scratch,
        &[
            "--since",
            "base",
            "--baseline",
            "base.sarif",
            "--record",
            "kept.jsonl",
            "--format",
            "json",
        ],
    );
    assert_eq!(both.status.code(), Some(1), "{}", told(&both));
    let findings = json(&both)["findings"].as_array().unwrap().clone();
    assert!(
        findings.iter().all(|one| one["baseline"] == "new"),
        "{findings:?}"
    );
    // The record is of everything.
    assert_eq!(
        std::fs::read_to_string(scratch.path("kept.jsonl")).unwrap(),
        kept
    );
}

/// Clones the repository in a way, and audits the clone.
fn cloned(scratch: &Scratch, how: &[&str], since: &str) -> Output {
    let to = scratch.path("clone");
    let from = format!("file://{}", scratch.path("").display());
    let target = to.to_str().unwrap();
    scratch.git(&[&["clone", "--quiet"][..], how, &[from.as_str(), target]].concat());
    at(
        &to,
        &["audit", "list", "--as-of", "2026-07-01", "--since", since],
    )
}

fn at(folder: &Path, arguments: &[&str]) -> Output {
    std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .output()
        .unwrap()
}

#[test]
fn a_repository_that_has_not_everything_says_what_brings_it() {
    let scratch = Scratch::new();
    worse(&scratch);
    scratch.git(&["config", "uploadpack.allowFilter", "true"]);
    let shallow = cloned(&scratch, &["--depth=1"], "base");
    assert_eq!(shallow.status.code(), Some(2));
    assert!(
        told(&shallow).contains("this clone is shallow: `git fetch origin base`"),
        "{}",
        told(&shallow)
    );
    std::fs::remove_dir_all(scratch.path("clone")).unwrap();
    let shallow = cloned(&scratch, &["--depth=1"], "HEAD~1");
    let whole = "this clone is shallow: `git fetch --unshallow origin`";
    assert!(told(&shallow).contains(whole), "{}", told(&shallow));
    std::fs::remove_dir_all(scratch.path("clone")).unwrap();
    // What changed since isn't in the clone, and nothing is fetched to find out.
    scratch.edit(
        "list/packages/metric.toml",
        "depth = \"1.8 m\"",
        "depth = \"1.7 m\"",
    );
    scratch.commit("Less deep");
    let partial = cloned(&scratch, &["--filter=blob:none"], "HEAD~1");
    assert_eq!(partial.status.code(), Some(2), "{}", told(&partial));
    assert!(
        told(&partial).contains("`git fetch --refetch --no-filter origin`"),
        "{}",
        told(&partial)
    );
    let clone = scratch.path("clone");
    let mended = std::process::Command::new("git")
        .args(["fetch", "--quiet", "--refetch", "--no-filter", "origin"])
        .current_dir(&clone)
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .status();
    assert!(mended.unwrap().success());
    let whole = at(
        &clone,
        &[
            "audit",
            "list",
            "--as-of",
            "2026-07-01",
            "--since",
            "HEAD~2",
        ],
    );
    assert_eq!(whole.status.code(), Some(1), "{}", told(&whole));
    std::fs::remove_dir_all(&clone).unwrap();
    let bare = scratch.path("bare");
    scratch.git(&["clone", "--quiet", "--bare", ".", bare.to_str().unwrap()]);
    let output = at(&bare, &["audit", ".", "--staged"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("must be run in a work tree"),
        "{}",
        told(&output)
    );
    // A sparse checkout lacks files that nobody took out.
    scratch.git(&["sparse-checkout", "set", "--no-cone", "/*", "!/list/parts/"]);
    let sparse = audit(&scratch, &["--since", "base"]);
    assert_eq!(sparse.status.code(), Some(2), "{}", told(&sparse));
    assert!(
        told(&sparse).contains("`git sparse-checkout disable`"),
        "{}",
        told(&sparse)
    );
    let staged = audit(&scratch, &["--staged", "--since", "base"]);
    assert_eq!(staged.status.code(), Some(1), "{}", told(&staged));
}

/// A checkout that another user owns, as in a container: git refuses it, and so does the audit wherever it asks git.
#[test]
fn a_repository_of_another_owner_is_refused_with_what_mends_it() {
    let scratch = Scratch::new();
    worse(&scratch);
    let audit = |more: &[&str], trusted: bool| {
        let mut command = std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"));
        command
            .args([&["audit", "list", "--as-of", "2026-07-01"][..], more].concat())
            .current_dir(scratch.path(""))
            .env("GIT_CONFIG_GLOBAL", scratch.path(".git/trusted"))
            .env("GIT_CONFIG_NOSYSTEM", "1")
            // Git's own tests make it take any owner for another one by this.
            .env("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1");
        let text = if trusted {
            "[safe]\n\tdirectory = *\n"
        } else {
            ""
        };
        std::fs::write(scratch.path(".git/trusted"), text).unwrap();
        command.output().unwrap()
    };
    for more in [
        &["--since", "base"][..],
        &["--staged"],
        &["--since", "base...HEAD"],
    ] {
        let refused = audit(more, false);
        assert_eq!(
            refused.status.code(),
            Some(2),
            "{more:?}: {}",
            told(&refused)
        );
        let says = told(&refused);
        assert!(
            says.contains("detected dubious ownership in repository at"),
            "{says}"
        );
        assert!(
            says.contains("git config --global --add safe.directory"),
            "{says}"
        );
        assert!(refused.stdout.is_empty());
        assert_eq!(audit(more, true).status.code(), Some(1), "{more:?}");
    }
    // What an ignore file names is read if git tracks it, so git must say.
    assert_eq!(audit(&[], false).status.code(), Some(1));
    write(&scratch, "list/.gitignore", "packages/bad.toml\n");
    assert_eq!(audit(&[], false).status.code(), Some(2));
    assert_eq!(audit(&[], true).status.code(), Some(1));
}

#[test]
fn worktrees_and_submodules_are_looked_into() {
    let scratch = Scratch::new();
    let other = scratch.path("other");
    scratch.git(&[
        "worktree",
        "add",
        "--quiet",
        other.to_str().unwrap(),
        "-b",
        "other",
    ]);
    std::fs::write(other.join("list/packages/bad.toml"), BAD).unwrap();
    let output = at(
        &other,
        &["audit", "list", "--as-of", "2026-07-01", "--since", "base"],
    );
    assert_eq!(output.status.code(), Some(1), "{}", told(&output));
    std::fs::remove_file(other.join("list/packages/bad.toml")).unwrap();
    let output = at(
        &other,
        &["audit", "list", "--as-of", "2026-07-01", "--since", "base"],
    );
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    // A catalog that is a submodule of another repository.
    let outer = Scratch::new();
    let from = scratch.path("");
    outer.git(&[
        "-c",
        "protocol.file.allow=always",
        "submodule",
        "add",
        "--quiet",
        from.to_str().unwrap(),
        "sub",
    ]);
    outer.commit("With a submodule");
    let audit = |since: &str| outer.run(&["audit", ".", "--as-of", "2026-07-01", "--since", since]);
    assert_eq!(
        audit("HEAD").status.code(),
        Some(0),
        "{}",
        told(&audit("HEAD"))
    );
    write(&outer, "sub/list/packages/bad.toml", BAD);
    assert_eq!(
        audit("HEAD").status.code(),
        Some(1),
        "{}",
        told(&audit("HEAD"))
    );
}

/// A repository may have been made to do harm: whatever its settings name isn't run.
#[cfg(unix)]
#[test]
fn nothing_that_a_repository_names_is_run() {
    use std::os::unix::fs::PermissionsExt;
    let scratch = Scratch::new();
    worse(&scratch);
    // What this one replaces isn't in the clone, so an older git would fetch it.
    scratch.edit(
        "list/packages/metric.toml",
        "depth = \"1.8 m\"",
        "depth = \"1.7 m\"",
    );
    scratch.commit("Less deep");
    let shim = scratch.path("shim");
    std::fs::create_dir(&shim).unwrap();
    let path = std::env::var_os("PATH").unwrap();
    let real = std::env::split_paths(&path).map(|folder| folder.join("git"));
    let real = { real }.find(|git| git.is_file()).unwrap();
    let older = format!(
        "#!/bin/sh\nunset GIT_NO_LAZY_FETCH\nexec {} \"$@\"\n",
        real.display()
    );
    std::fs::write(shim.join("git"), older).unwrap();
    std::fs::set_permissions(shim.join("git"), std::fs::Permissions::from_mode(0o755)).unwrap();
    let folders = std::iter::once(shim).chain(std::env::split_paths(&path));
    let with_older = std::env::join_paths(folders).unwrap();
    scratch.git(&["config", "uploadpack.allowFilter", "true"]);
    let _ = cloned(&scratch, &["--filter=blob:none"], "HEAD");
    let clone = scratch.path("clone");
    let (program, sign) = (clone.join(".git/harm"), clone.join("harmed"));
    std::fs::write(
        &program,
        format!("#!/bin/sh\ntouch {}\nexit 1\n", sign.display()),
    )
    .unwrap();
    std::fs::set_permissions(&program, std::fs::Permissions::from_mode(0o755)).unwrap();
    let harm = program.display().to_string();
    std::fs::write(
        clone.join(".git/info/attributes"),
        "* filter=harm diff=harm\n",
    )
    .unwrap();
    for name in [
        "post-checkout",
        "post-index-change",
        "reference-transaction",
        "fsmonitor-watchman",
    ] {
        std::fs::create_dir_all(clone.join(".git/hooks")).unwrap();
        std::fs::copy(&program, clone.join(".git/hooks").join(name)).unwrap();
    }
    for (name, value) in [
        ("core.fsmonitor", harm.clone()),
        ("core.pager", harm.clone()),
        ("core.sshCommand", harm.clone()),
        ("core.editor", harm.clone()),
        ("core.alternateRefsCommand", harm.clone()),
        (
            "core.hooksPath",
            clone.join(".git/hooks").display().to_string(),
        ),
        ("filter.harm.smudge", harm.clone()),
        ("filter.harm.clean", harm.clone()),
        ("filter.harm.process", harm.clone()),
        ("diff.harm.textconv", harm.clone()),
        ("diff.external", harm.clone()),
        ("credential.helper", harm.clone()),
        ("protocol.ext.allow", "always".into()),
        ("protocol.allow", "always".into()),
        ("remote.origin.url", format!("ext::{harm}")),
        ("remote.origin.uploadpack", harm.clone()),
    ] {
        let set = std::process::Command::new("git")
            .args(["config", name, &value])
            .current_dir(&clone)
            .status();
        assert!(set.unwrap().success());
    }
    for more in [
        &["--since", "HEAD~1"][..],
        &["--since", "base"],
        &["--staged"],
        &["--since", "main...HEAD"],
    ] {
        let arguments = [&["audit", "list", "--as-of", "2026-07-01"][..], more].concat();
        let output = std::process::Command::new(env!("CARGO_BIN_EXE_nameplate"))
            .args(&arguments)
            .current_dir(&clone)
            .env("GIT_CONFIG_GLOBAL", "/dev/null")
            // Versions before 2.44 don't know the variable that keeps them from fetching.
            .env("PATH", &with_older)
            .output()
            .unwrap();
        assert!(!sign.exists(), "{more:?}: {}", told(&output));
    }
}
