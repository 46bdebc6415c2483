//! Holds `README.md` to the program: its reports, options, rules and ranges are made by it.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::{Command, Output};

use crate::made;

const PAGE: &str = "README.md";

/// Runs the program in `folder`, as a person would who pipes its report somewhere.
fn run(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env("NO_COLOR", "1")
        .env_remove("COLUMNS")
        .output()
        .unwrap()
}

fn printed(output: &Output) -> String {
    let text = String::from_utf8(output.stdout.clone()).unwrap();
    // No line of a page ends in blanks.
    let lines = text.lines().map(|line| format!("{}\n", line.trim_end()));
    format!("```text\n{}```\n", lines.collect::<String>())
}

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// The catalog of the walk, as the page has it.
fn walk() -> String {
    let page = made::committed(PAGE);
    made::fences(&page, "toml").remove(0).1
}

/// Audits `text` as `garden.toml` in a folder of its own.
fn audit(text: &str) -> Output {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("garden.toml"), text).unwrap();
    run(
        folder.path(),
        &["audit", "garden.toml", "--as-of", "2026-07-01"],
    )
}

/// What the program says of the page of text that the README has, named as it is there.
fn of_sheet(more: &[&str]) -> String {
    let page = made::committed(PAGE);
    let text = made::fences(&page, "markdown").remove(0).1;
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("duo.md"), text).unwrap();
    printed(&run(folder.path(), &[&["audit", "duo.md"], more].concat()))
}

/// The sound example in two states: a bore is corrected in one airline.
fn revision() -> Output {
    let folder = tempfile::tempdir().unwrap();
    for (state, bore) in [("spring", "0.50 in"), ("summer", "0.25 in")] {
        for (path, bytes) in crate::catalog_examples::files("sound") {
            let path = path.strip_prefix("catalog-examples/sound").unwrap();
            let path = folder.path().join(format!("{state}{path}"));
            std::fs::create_dir_all(path.parent().unwrap()).unwrap();
            let text = String::from_utf8(bytes).unwrap();
            let text = text.replace("bore = \"0.50 in\"", &format!("bore = \"{bore}\""));
            std::fs::write(path, text).unwrap();
        }
    }
    let command = ["revise", "spring", "summer", "--as-of", "2026-07-01"];
    let output = run(folder.path(), &command);
    assert_eq!(output.status.code(), Some(1));
    output
}

fn parts() -> BTreeMap<String, String> {
    let example = "catalog-examples/faulty/too-deep-for-a-linear.toml";
    let report = run(root(), &["audit", example, "--as-of", "2026-07-01"]);
    let help = run(root(), &["audit", "--help"]);
    // A package of the sound example, as `duty` and its sisters show it.
    let asked = |command: &str, more: &[&str]| {
        let about = [command, "mill-pair", "--option", "with-airline"];
        let arguments = [&about[..], more].concat();
        printed(&run(&root().join("catalog-examples/sound"), &arguments))
    };
    BTreeMap::from([
        ("duty".to_string(), asked("duty", &[])),
        ("limits".to_string(), asked("limits", &[])),
        ("gauge".to_string(), asked("gauge", &["--reads", "25 kPa"])),
        ("report".to_string(), printed(&report)),
        ("claims".to_string(), of_sheet(&["--claims"])),
        ("sheet".to_string(), of_sheet(&["--quiet"])),
        ("revision".to_string(), printed(&revision())),
        ("walk".to_string(), printed(&audit(&walk()))),
        ("options".to_string(), printed(&help)),
        (
            "rules".to_string(),
            nameplate::report::rulebook::table(true),
        ),
        ("published".to_string(), crate::published_count::table()),
        (
            "assumptions".to_string(),
            nameplate::report::assumptions::table(),
        ),
    ])
}

#[test]
fn what_the_page_shows_of_the_program_is_the_programs() {
    let page = made::committed(PAGE);
    made::hold(PAGE, &made::with_parts(&page, &parts()));
}

/// The page tells that the walk's first catalog fails by area and cost, and how it is mended.
#[test]
fn the_walk_goes_as_it_is_told() {
    let first = audit(&walk());
    assert_eq!(first.status.code(), Some(1));
    let report = String::from_utf8(first.stdout).unwrap();
    assert!(report.contains("claim.area") && report.contains("claim.running-cost"));
    assert!(!report.contains("claim.depth"));
    let page = made::committed(PAGE);
    let mut mended = walk();
    for (key, value) in [("area", "290 m2"), ("running_cost", "10 EUR/month")] {
        let line = format!("{key} = \"{value}\"");
        assert!(
            page.contains(&format!("`{line}`")),
            "the page doesn't say {line}"
        );
        let old = mended
            .lines()
            .find(|one| one.starts_with(&format!("{key} = ")))
            .unwrap()
            .to_string();
        mended = mended.replace(&old, &line);
    }
    let second = audit(&mended);
    assert_eq!(
        second.status.code(),
        Some(0),
        "{}",
        String::from_utf8_lossy(&second.stdout)
    );
    // With the page's own range the mended catalog is still read without a fault.
    let range = made::fences(&page, "toml").remove(1).1;
    let third = audit(&format!("{mended}\n{range}"));
    let report = String::from_utf8(third.stdout).unwrap();
    assert!(!report.contains("schema."), "{report}");
}

/// The page opens with what the program does in one paragraph, then the two commands.
#[test]
fn the_page_opens_with_the_job_and_two_commands() {
    let page = made::committed(PAGE);
    let mut blocks = page.split("\n\n");
    assert_eq!(blocks.next(), Some("# nameplate"));
    let job = blocks.next().unwrap();
    assert!(job.starts_with("`nameplate` checks"));
    let commands = made::fences(&page, "sh");
    let commands: Vec<&str> = commands.iter().map(|(_, text)| text.trim()).collect();
    assert_eq!(
        commands,
        ["cargo run -- audit catalog-examples", "tests/run"]
    );
    assert_eq!(
        blocks.next(),
        Some("```sh\ncargo run -- audit catalog-examples\n```")
    );
    let all = run(
        root(),
        &["audit", "catalog-examples", "--as-of", "2026-07-01"],
    );
    assert_eq!(all.status.code(), Some(1));
    assert!(root().join("tests/run").is_file());
}

/// Links to files of the repository lead somewhere.
#[test]
fn links_of_the_pages_lead_somewhere() {
    for page in [
        PAGE,
        "schemas/catalog-format.md",
        "DEVELOPERS.md",
        "tests/published/validation.md",
    ] {
        let text = made::committed(page);
        let folder = root().join(page);
        let folder = folder.parent().unwrap();
        let mut count = 0;
        for link in text.split("](").skip(1) {
            let link = link.split(')').next().unwrap();
            match link.split_once('#') {
                Some(("", heading)) => {
                    let there = text
                        .lines()
                        .filter(|line| line.starts_with('#'))
                        .any(|line| {
                            let words = line.trim_start_matches('#').trim().to_lowercase();
                            let anchor: String = words
                                .chars()
                                .filter(|c| c.is_alphanumeric() || " -_".contains(*c))
                                .map(|c| if c == ' ' { '-' } else { c })
                                .collect();
                            anchor == heading
                        });
                    assert!(there, "{page}: no heading for #{heading}");
                }
                _ if link.starts_with("http") => {}
                _ => {
                    let path = link.split('#').next().unwrap();
                    assert!(folder.join(path).exists(), "{page}: {path} isn't there");
                }
            }
            count += 1;
        }
        assert!(count > 0 || page == "DEVELOPERS.md", "{page} has no links");
    }
}
