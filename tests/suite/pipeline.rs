//! The workflow and the hooks on the guide's page are run in a repository of their own, as they stand there.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

use crate::made;
use crate::scratch::Scratch;

/// The fences of that kind on the guide's page about pipelines.
fn fences(kind: &str) -> Vec<String> {
    let page = made::committed("src/guide/pipelines.md");
    let fences = made::fences(&page, kind);
    fences.into_iter().map(|(_, text)| text).collect()
}

fn yaml(text: &str) -> Value {
    serde_saphyr::from_str(text).expect("is YAML")
}

/// The search path with the program in it.
fn path() -> std::ffi::OsString {
    let program = Path::new(env!("CARGO_BIN_EXE_nameplate"));
    let mut folders = vec![program.parent().unwrap().to_path_buf()];
    folders.extend(std::env::split_paths(&std::env::var_os("PATH").unwrap()));
    std::env::join_paths(folders).unwrap()
}

/// A command in the repository, as a runner or git would start it.
fn command(scratch: &Scratch, program: &str, arguments: &[&str]) -> Command {
    let mut command = Command::new(program);
    command
        .args(arguments)
        .current_dir(scratch.path(""))
        .env("PATH", path())
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("GIT_AUTHOR_NAME", "Otter Mill")
        .env("GIT_AUTHOR_EMAIL", "mill@otter.example")
        .env("GIT_COMMITTER_NAME", "Otter Mill")
        .env("GIT_COMMITTER_EMAIL", "mill@otter.example")
        // The sound example's waivers are held to a day that doesn't move.
        .env("SOURCE_DATE_EPOCH", "1782864000");
    command
}

/// Runs the steps of a job that are commands, in order, until one fails. `known` stands for what the forge
/// puts in place of its own expressions.
fn job(scratch: &Scratch, name: &str, known: &BTreeMap<&str, String>) -> Output {
    let workflow = yaml(&fences("yaml")[0]);
    let steps = workflow["jobs"][name]["steps"].as_array().unwrap();
    let mut last = None;
    let mut has_failed = false;
    for step in steps.iter().filter(|step| step.get("run").is_some()) {
        let always = step.get("if").is_some_and(|when| when == "always()");
        if has_failed && !always {
            continue;
        }
        let run = step["run"].as_str().unwrap();
        assert!(!run.contains("${{"), "expressions belong into env");
        // As the forge documents it for a step without a shell of its own (from memory).
        let mut command = command(scratch, "bash", &["-e", "-c", run]);
        for (key, value) in step
            .get("env")
            .and_then(Value::as_object)
            .into_iter()
            .flatten()
        {
            let value = value.as_str().unwrap();
            let expression = value
                .trim_start_matches("${{")
                .trim_end_matches("}}")
                .trim();
            command.env(key, &known[expression]);
        }
        command.env("GITHUB_STEP_SUMMARY", scratch.path(".git/summary"));
        let output = command.output().unwrap();
        has_failed |= !output.status.success();
        // What runs always tells of the step before.
        if !always {
            last = Some(output);
        }
    }
    last.expect("a job runs something")
}

fn told(output: &Output) -> String {
    let out = String::from_utf8_lossy(&output.stdout);
    format!("{out}{}", String::from_utf8_lossy(&output.stderr))
}

const PACKAGES: &str = "list/packages/metric.toml";

#[test]
fn the_workflow_runs_as_it_stands_on_the_page() {
    let scratch = Scratch::new();
    let head = |scratch: &Scratch| {
        let output = scratch.git(&["rev-parse", "main"]);
        String::from_utf8(output.stdout).unwrap().trim().to_string()
    };
    scratch.git(&["checkout", "--quiet", "-b", "deeper"]);
    scratch.edit(PACKAGES, "depth = \"1.8 m\"", "depth = \"1.7 m\"");
    scratch.commit("Less deep");
    // Meanwhile the target branch goes on, and what happened there is nothing of the change's.
    scratch.git(&["checkout", "--quiet", "main"]);
    scratch.edit(PACKAGES, "depth = \"1.2 m\"", "depth = \"9.2 m\"");
    scratch.commit("Too deep, elsewhere");
    let base = "github.event.pull_request.base.sha";
    let known = BTreeMap::from([(base, head(&scratch))]);
    scratch.git(&["checkout", "--quiet", "deeper"]);
    let sound = job(&scratch, "change", &known);
    assert_eq!(sound.status.code(), Some(0), "{}", told(&sound));
    let summary = || std::fs::read_to_string(scratch.path(".git/summary")).unwrap();
    assert!(
        summary().contains("This was a partial report on"),
        "{}",
        summary()
    );
    std::fs::remove_file(scratch.path("change.md")).unwrap();
    // A change that makes a promise fail is told at its line, and the step fails.
    scratch.edit(PACKAGES, "depth = \"1.7 m\"", "depth = \"9.7 m\"");
    scratch.commit("Too deep");
    let faulty = job(&scratch, "change", &known);
    assert_eq!(faulty.status.code(), Some(1), "{}", told(&faulty));
    let wanted = format!("::error file={PACKAGES},line=46,col=");
    assert!(told(&faulty).contains(&wanted), "{}", told(&faulty));
    assert!(summary().contains("claim.depth"), "{}", summary());
    std::fs::remove_file(scratch.path("change.md")).unwrap();
    // The other job audits all, leaves its report to be kept also when it fails, and its counts in the log.
    let steps = yaml(&fences("yaml")[0])["jobs"]["everything"]["steps"].clone();
    let kept = steps.as_array().unwrap().last().unwrap().clone();
    assert_eq!(
        (&kept["if"], &kept["with"]["path"]),
        (&Value::from("always()"), &Value::from("promises.sarif"))
    );
    let everything = job(&scratch, "everything", &known);
    assert_eq!(everything.status.code(), Some(1), "{}", told(&everything));
    assert!(
        told(&everything).contains("Found ") && told(&everything).contains(" error"),
        "{}",
        told(&everything)
    );
    let report = std::fs::read_to_string(scratch.path("promises.sarif")).unwrap();
    assert!(report.contains("\"claim.depth\""));
    scratch.git(&["checkout", "--quiet", "base"]);
    let everything = job(&scratch, "everything", &known);
    assert_eq!(everything.status.code(), Some(0), "{}", told(&everything));
}

/// What `git commit` says to an edit of a depth.
fn commit(scratch: &Scratch, old: &str, new: &str) -> Output {
    scratch.edit(
        PACKAGES,
        &format!("depth = \"{old}\""),
        &format!("depth = \"{new}\""),
    );
    scratch.git(&["add", "--all"]);
    command(scratch, "git", &["commit", "-m", "Another depth"])
        .env("PRE_COMMIT_HOME", scratch.path(".git/kept"))
        .output()
        .unwrap()
}

fn holds_back_what_fails(scratch: &Scratch) {
    let sound = commit(scratch, "1.8 m", "1.7 m");
    assert!(sound.status.success(), "{}", told(&sound));
    let faulty = commit(scratch, "1.7 m", "9.7 m");
    assert_eq!(faulty.status.code(), Some(1), "{}", told(&faulty));
    assert!(told(&faulty).contains("claim.depth"), "{}", told(&faulty));
    let count = scratch.git(&["rev-list", "--count", "base..HEAD"]).stdout;
    assert_eq!(String::from_utf8(count).unwrap().trim(), "1");
    // Mended in the file alone, it is still what would be committed.
    scratch.edit(PACKAGES, "depth = \"9.7 m\"", "depth = \"1.7 m\"");
    let staged = command(scratch, "git", &["commit", "-m", "Staged"])
        .env("PRE_COMMIT_HOME", scratch.path(".git/kept"))
        .output()
        .unwrap();
    assert_eq!(staged.status.code(), Some(1), "{}", told(&staged));
    scratch.git(&["reset", "--quiet", "--hard"]);
    // A page alone, and a file that is only deleted.
    let page = "+++\npackage = \"mill-pair\"\n+++\nFor ponds up to 9 m deep.\n";
    std::fs::write(scratch.path("list/sheets/new.md"), page).unwrap();
    scratch.git(&["add", "--all"]);
    let try_again = || {
        command(scratch, "git", &["commit", "-m", "Another"])
            .env("PRE_COMMIT_HOME", scratch.path(".git/kept"))
            .output()
            .unwrap()
    };
    assert_eq!(try_again().status.code(), Some(1), "{}", told(&try_again()));
    scratch.git(&["reset", "--quiet", "--hard"]);
    scratch.git(&["rm", "--quiet", "list/evidence/dye-days.txt"]);
    assert_eq!(try_again().status.code(), Some(1), "{}", told(&try_again()));
    scratch.git(&["reset", "--quiet", "--hard"]);
}

#[cfg(unix)]
fn install(scratch: &Scratch) -> PathBuf {
    use std::os::unix::fs::PermissionsExt;
    let hook = scratch.path(".git/hooks/pre-commit");
    std::fs::create_dir_all(hook.parent().unwrap()).unwrap();
    std::fs::write(&hook, &fences("bash")[0]).unwrap();
    std::fs::set_permissions(&hook, std::fs::Permissions::from_mode(0o755)).unwrap();
    hook
}

#[cfg(unix)]
#[test]
fn the_hook_of_git_holds_back_what_fails() {
    let scratch = Scratch::new();
    install(&scratch);
    holds_back_what_fails(&scratch);
    // Before the first commit there is nothing to compare with, so everything is audited.
    scratch.git(&["checkout", "--quiet", "--orphan", "first"]);
    let first = command(&scratch, "git", &["commit", "-m", "First"])
        .output()
        .unwrap();
    assert_eq!(first.status.code(), Some(1), "{}", told(&first));
}

/// The manager of hooks, where the test run has installed it.
fn manager() -> Option<PathBuf> {
    let installed =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("target/published-venv/bin/pre-commit");
    installed.is_file().then_some(installed)
}

#[test]
fn the_definition_for_a_manager_of_hooks_does_the_same() {
    let text = fences("yaml").remove(1);
    let scratch = Scratch::new();
    let hook = &yaml(&text)["repos"][0]["hooks"][0];
    let own = &yaml(&made::committed(".pre-commit-hooks.yaml"))[0];
    for key in [
        "id",
        "name",
        "entry",
        "language",
        "always_run",
        "pass_filenames",
    ] {
        assert_eq!(hook[key], own[key], "{key}");
    }
    // Without the manager at least its command runs.
    let entry = hook["entry"].as_str().unwrap();
    let words: Vec<&str> = entry.split(' ').collect();
    let run = command(&scratch, words[0], &words[1..]).output().unwrap();
    assert_eq!(run.status.code(), Some(0), "{}", told(&run));
    let Some(manager) = manager() else { return };
    std::fs::write(scratch.path(".pre-commit-config.yaml"), &text).unwrap();
    scratch.git(&["add", "--all"]);
    let manager = manager.to_str().unwrap();
    let installed = command(&scratch, manager, &["install"])
        .env("PRE_COMMIT_HOME", scratch.path(".git/kept"))
        .output()
        .unwrap();
    assert!(installed.status.success(), "{}", told(&installed));
    holds_back_what_fails(&scratch);
    // All files, and the definition that stands in this repository.
    let here = env!("CARGO_MANIFEST_DIR");
    let folder = scratch.path("defined");
    std::fs::create_dir(&folder).unwrap();
    std::fs::copy(
        Path::new(here).join(".pre-commit-hooks.yaml"),
        folder.join(".pre-commit-hooks.yaml"),
    )
    .unwrap();
    let defined = Scratch::new();
    std::fs::copy(
        folder.join(".pre-commit-hooks.yaml"),
        defined.path(".pre-commit-hooks.yaml"),
    )
    .unwrap();
    defined.commit("The hook");
    let of_defined = defined.path("");
    for all in [
        &["run", "nameplate", "--all-files"][..],
        &[
            "try-repo",
            of_defined.to_str().unwrap(),
            "nameplate",
            "--all-files",
        ],
    ] {
        let output = command(&scratch, manager, all)
            .env("PRE_COMMIT_HOME", scratch.path(".git/kept"))
            .output()
            .unwrap();
        assert_eq!(output.status.code(), Some(0), "{all:?}: {}", told(&output));
    }
}
