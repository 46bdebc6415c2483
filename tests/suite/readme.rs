//! Holds `README.md` and the guide to the program: their reports, options, rules and ranges are made by it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::process::Output;

use nameplate::catalog::pond::POND;
use nameplate::guide::PAGES;

use crate::made;
use crate::scratch::run;

const PAGE: &str = "README.md";
/// The guide's page that leads through a first catalog.
const START: &str = "src/guide/start.md";
/// Its page about spec sheets.
const SHEETS: &str = "src/guide/sheets.md";
/// Its page about ponds.
const PONDS: &str = "src/guide/ponds.md";

/// The pages that this test makes parts of: the front page and the guide's own.
fn pages() -> Vec<String> {
    let guide = crate::guide::files().into_iter();
    std::iter::once(PAGE.to_string()).chain(guide).collect()
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
pub fn walk() -> String {
    let page = made::committed(START);
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

/// The page of text that the guide has.
pub fn duo() -> String {
    let page = made::committed(SHEETS);
    made::fences(&page, "markdown").remove(0).1
}

/// What the program says of it, named as it is there.
fn of_sheet(more: &[&str]) -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("duo.md"), duo()).unwrap();
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
        (
            "sweep".to_string(),
            asked("sweep", &["--depth", "1 to 4 m"]),
        ),
        ("pond".to_string(), of_pond()),
        ("intake".to_string(), printed(&intake())),
        ("pond-keys".to_string(), crate::schemas::keys(&POND)),
        ("gauge".to_string(), asked("gauge", &["--reads", "25 kPa"])),
        ("report".to_string(), printed(&report)),
        ("claims".to_string(), of_sheet(&["--claims"])),
        ("sheet".to_string(), of_sheet(&["--quiet"])),
        ("revision".to_string(), printed(&revision())),
        ("walk".to_string(), printed(&audit(&walk()))),
        ("options".to_string(), printed(&help)),
        ("rules".to_string(), rules()),
        ("guide".to_string(), topics()),
        (
            "units".to_string(),
            format!("```text\n{}```\n", crate::schemas::printed("units")),
        ),
        ("published".to_string(), crate::published_count::table()),
        (
            "assumptions".to_string(),
            nameplate::report::assumptions::table(),
        ),
    ])
}

/// The pond of the guide's page, asked of the sound example.
fn of_pond() -> String {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("pond.toml"), pond()).unwrap();
    let pond = folder.path().join("pond.toml");
    let arguments = [
        "pond",
        pond.to_str().unwrap(),
        "catalog-examples/sound",
        "--most",
        "6",
    ];
    printed(&run(root(), &arguments))
}

/// The first pond file that the guide has.
pub fn pond() -> String {
    let page = made::committed(PONDS);
    made::fences(&page, "toml").remove(0).1
}

/// Puts the tables of the examples into `folder`, as the guide's page speaks of them.
pub fn put_tables(folder: &Path) {
    let tables = folder.join("tables");
    std::fs::create_dir_all(&tables).unwrap();
    for entry in std::fs::read_dir(root().join("catalog-examples/tables")).unwrap() {
        let path = entry.unwrap().path();
        std::fs::copy(&path, tables.join(path.file_name().unwrap())).unwrap();
    }
}

/// What the program says of those tables, taken in for the first time.
fn intake() -> Output {
    let folder = tempfile::tempdir().unwrap();
    put_tables(folder.path());
    let names = ["airlines", "compressors", "diffusers", "packages", "prices"];
    let tables = names.map(|name| format!("tables/{name}.csv"));
    let mut arguments: Vec<&str> = vec!["intake"];
    arguments.extend(tables.iter().map(String::as_str));
    arguments.extend([
        "--mapping",
        "tables/list.toml",
        "--catalog",
        "new",
        "--dry-run",
        "--as-of",
        "2026-07-01",
    ]);
    run(folder.path(), &arguments)
}

/// The rules, with links that lead from the guide's folder.
fn rules() -> String {
    nameplate::report::rulebook::table(true).replace("](src/rules/", "](../rules/")
}

/// The guide's pages, with links that lead from the front page.
fn topics() -> String {
    let mut text = String::from("| `nameplate guide …` | about |\n| --- | --- |\n");
    for (page, file) in PAGES.iter().zip(crate::guide::all_files()) {
        let (topic, title) = (page.topic, page.title());
        text.push_str(&format!("| [`{topic}`]({file}) | {title} |\n"));
    }
    text
}

/// The names of the parts a page has.
fn named(page: &str) -> BTreeSet<&str> {
    let names = page.lines().filter_map(|line| {
        let rest = line.strip_prefix("<!-- made: ")?;
        rest.strip_suffix(" -->")
    });
    names.collect()
}

#[test]
fn what_the_pages_show_of_the_program_is_the_programs() {
    let parts = parts();
    let mut unused: BTreeSet<&str> = parts.keys().map(String::as_str).collect();
    for path in pages() {
        let page = made::committed(&path);
        let named = named(&page);
        unused.retain(|name| !named.contains(name));
        let mut own = parts.clone();
        own.retain(|name, _| named.contains(name.as_str()));
        made::hold(&path, &made::with_parts(&page, &own));
    }
    assert!(unused.is_empty(), "no page has the parts {unused:?}");
}

/// The page tells that the walk's first catalog fails by area and cost, and how it is mended.
#[test]
fn the_walk_goes_as_it_is_told() {
    let first = audit(&walk());
    assert_eq!(first.status.code(), Some(1));
    let report = String::from_utf8(first.stdout).unwrap();
    assert!(report.contains("claim.area") && report.contains("claim.running-cost"));
    assert!(!report.contains("claim.depth"));
    let page = made::committed(START);
    let mut mended = walk();
    for (key, value) in [("area", "300 m2"), ("running_cost", "9.65 EUR/month")] {
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

/// The page opens with what the program does in one paragraph, then the two commands, and stays short.
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
    assert!(page.lines().count() <= 250);
}

/// From a clone to the first own package audited: at most five commands, and those of the program succeed.
#[test]
fn a_first_catalog_takes_five_commands_at_most() {
    let page = made::committed(PAGE);
    let commands: Vec<String> = made::fences(&page, "bash")
        .iter()
        .flat_map(|(_, text)| text.lines().map(str::to_string).collect::<Vec<_>>())
        .collect();
    assert!((2..=5).contains(&commands.len()), "{commands:?}");
    assert!(commands[0].starts_with("git clone "), "{commands:?}");
    assert_eq!(commands[1], "cargo install --path nameplate --locked");
    let folder = tempfile::tempdir().unwrap();
    for command in &commands[2..] {
        let words: Vec<&str> = command.split(' ').collect();
        assert_eq!(words[0], "nameplate", "{command}");
        let output = run(folder.path(), &words[1..]);
        assert_eq!(output.status.code(), Some(0), "{command}");
    }
    assert!(commands.last().unwrap().starts_with("nameplate audit "));
}

/// Links to files of the repository lead somewhere.
#[test]
fn links_of_the_pages_lead_somewhere() {
    let others = [
        "schemas/catalog-format.md",
        "DEVELOPERS.md",
        "tests/published/validation.md",
    ];
    for page in others.map(str::to_string).into_iter().chain(pages()) {
        let page = page.as_str();
        let text = made::committed(page);
        let folder = root().join(page);
        let folder = folder.parent().unwrap();
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
        }
    }
}
