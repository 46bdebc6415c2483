//! The workflow and the hooks on the README are run in a repository of their own, as they stand there.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

use crate::made;
use crate::scratch::Scratch;

/// The fences of that kind in the README's section about pipelines.
fn fences(kind: &str) -> Vec<String> {
    let page = made::committed("README.md");
    let start = page.find("## In a pipeline\n").unwrap();
    let end = start + page[start..].find("\n## Options\n").unwrap();
    let fences = made::fences(&page[start..end], kind);
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
    for step in steps.iter().filter(|step| step.get("run").is_some()) {
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
        let output = command.output().unwrap();
        let is_ok = output.status.success();
        last = Some(output);
        if !is_ok {
            break;
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
    assert!(
        told(&sound).contains("This was a partial report on"),
        "{}",
        told(&sound)
    );
    // A change that makes a promise fail is told at its line, and the step fails.
    scratch.edit(PACKAGES, "depth = \"1.7 m\"", "depth = \"9.7 m\"");
    scratch.commit("Too deep");
    let faulty = job(&scratch, "change", &known);
    assert_eq!(faulty.status.code(), Some(1), "{}", told(&faulty));
    let wanted = format!("::error file={PACKAGES},line=46,col=");
    assert!(told(&faulty).contains(&wanted), "{}", told(&faulty));
    // The other job audits all and leaves its report.
    let everything = job(&scratch, "everything", &known);
    assert_eq!(everything.status.code(), Some(1), "{}", told(&everything));
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
    assert!(!told(&first).contains("partial report"));
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
}
