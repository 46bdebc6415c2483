//! `nameplate guide`: every page is listed and shown, and every example on it runs.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use nameplate::engine::{self, Options};
use nameplate::finding::Level;
use nameplate::guide::PAGES;
use unicode_width::UnicodeWidthStr;

use crate::scratch::{self, Scratch};
use crate::{made, readme};

/// The page that another test makes and tries.
const KEYS: &str = "schemas/catalog-format.md";

/// The file of every page, from the repository's root, in the guide's order.
pub fn all_files() -> Vec<String> {
    let file = |topic: &str| match topic {
        "keys" => KEYS.to_string(),
        topic => format!("src/guide/{topic}.md"),
    };
    PAGES.iter().map(|page| file(page.topic)).collect()
}

/// The files of the guide's own folder.
pub fn files() -> Vec<String> {
    let mut files = all_files();
    files.retain(|file| file != KEYS);
    files
}

fn run(arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("guide")
        .args(arguments)
        .env_remove("NO_COLOR")
        .env("COLUMNS", "80")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .unwrap()
}

fn printed(arguments: &[&str]) -> String {
    let output = run(arguments);
    assert_eq!(output.status.code(), Some(0), "{arguments:?}");
    assert_eq!(output.stderr, b"");
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn the_list_has_every_page_of_the_folder() {
    let text = printed(&[]);
    for page in PAGES {
        let row = text
            .lines()
            .find(|line| line.split_whitespace().next() == Some(page.topic));
        assert!(
            row.is_some_and(|row| row.contains(page.title())),
            "{}",
            page.topic
        );
        assert!(page.title().len() > 3, "{}", page.topic);
    }
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("src/guide");
    let mut there: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".md"))
        .map(|name| format!("src/guide/{name}"))
        .collect();
    let mut known = files();
    there.sort();
    known.sort();
    assert_eq!(there, known);
}

#[test]
fn every_page_is_shown_in_the_width_of_the_page_and_plain_when_piped() {
    for (page, file) in PAGES.iter().zip(all_files()) {
        let text = printed(&[page.topic]);
        assert!(text.starts_with(page.title()), "{}", page.topic);
        let signs = ['\u{1b}', '\u{7}'];
        assert!(
            !text.contains(signs) && !text.contains("```") && !text.contains("<!--"),
            "{}",
            page.topic
        );
        // A line of an example stays as it is; a word of a table can't be broken.
        let wide: Vec<&str> = text
            .lines()
            .filter(|line| line.width() > 100 && !line.starts_with("    ") && line.contains(' '))
            .collect();
        assert_eq!(wide, Vec::<&str>::new(), "{}", page.topic);
        assert_eq!(
            printed(&[page.topic, "--format", "markdown"]),
            made::committed(&file)
        );
        assert!(printed(&[page.topic, "--ascii"]).is_ascii());
    }
    assert!(printed(&["units", "--color", "always"]).contains('\u{1b}'));
}

#[test]
fn a_topic_that_is_none_is_refused_with_the_nearest() {
    for (asked, said) in [
        ("unit", "no topic `unit`; the nearest is `units`"),
        ("zzzzzzzz", "the topics are start, format"),
    ] {
        let output = run(&[asked]);
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(output.stdout, b"");
        let error = String::from_utf8(output.stderr).unwrap();
        assert!(error.contains(said), "{error}");
    }
}

/// The languages of the fenced blocks of a page, with the line of each.
fn languages(page: &str) -> Vec<(usize, &str)> {
    let mut is_open = false;
    let mut found = Vec::new();
    for (index, line) in page.lines().enumerate() {
        if let Some(language) = line.strip_prefix("```") {
            if !is_open {
                found.push((index + 1, language.trim()));
            }
            is_open = !is_open;
        }
    }
    found
}

/// A page without what the program made of it.
fn by_hand(page: &str) -> String {
    let mut is_made = false;
    let mut text = String::new();
    for line in page.lines() {
        is_made |= line.starts_with("<!-- made: ");
        if !is_made {
            text.push_str(line);
            text.push('\n');
        }
        is_made &= line != "<!-- end -->";
    }
    text
}

/// Each block by hand is of a kind that some test runs.
#[test]
fn no_example_is_left_untried() {
    for file in files() {
        let page = by_hand(&made::committed(&file));
        for (line, language) in languages(&page) {
            let is_tried = match language {
                "sh" | "toml" => true,
                // `tests/suite/pipeline.rs` runs these, `tests/suite/readme.rs` that.
                "yaml" | "bash" => file.ends_with("/pipelines.md"),
                "markdown" => file.ends_with("/sheets.md") || file.ends_with("/printing.md"),
                // `tests/editor/neovim` runs this.
                "lua" => file.ends_with("/editor.md"),
                _ => false,
            };
            assert!(is_tried, "{file}, block {line}: nothing tries `{language}`");
        }
    }
}

/// Where the commands of a page are run: a repository with the sound example, a faulty catalog and a page.
fn place() -> Scratch {
    let scratch = Scratch::new();
    std::fs::rename(scratch.path("list"), scratch.path("catalog")).unwrap();
    std::fs::write(scratch.path("garden.toml"), readme::walk()).unwrap();
    std::fs::write(scratch.path("duo.md"), readme::duo()).unwrap();
    std::fs::write(scratch.path("house.md"), house()).unwrap();
    std::fs::write(scratch.path("pond.toml"), readme::pond()).unwrap();
    readme::put_tables(&scratch.path(""));
    scratch.commit("What the examples speak of");
    scratch.git(&["tag", "--force", "base"]);
    std::fs::create_dir(scratch.path(".git/home")).unwrap();
    scratch
}

/// The template that the guide has.
fn house() -> String {
    let page = made::committed("src/guide/printing.md");
    made::fences(&page, "markdown").remove(0).1
}

/// Runs a line as a person's shell would.
fn shell(scratch: &Scratch, line: &str) -> Output {
    let program = PathBuf::from(env!("CARGO_BIN_EXE_nameplate"));
    let mut folders = vec![program.parent().unwrap().to_path_buf()];
    folders.extend(std::env::split_paths(&std::env::var_os("PATH").unwrap()));
    Command::new("sh")
        .args(["-c", line])
        .current_dir(scratch.path(""))
        .env("PATH", std::env::join_paths(folders).unwrap())
        .env("HOME", scratch.path(".git/home"))
        .env("GIT_CONFIG_GLOBAL", "/dev/null")
        .env("GIT_CONFIG_NOSYSTEM", "1")
        .env("NO_COLOR", "1")
        // The sound example's waivers are held to a day that doesn't move.
        .env("SOURCE_DATE_EPOCH", "1782864000")
        .output()
        .unwrap()
}

/// A command exits with the status in the remark behind it, `# status 1`, and with 0 where none says otherwise.
#[cfg(unix)]
#[test]
fn every_command_on_a_page_does_what_the_page_says() {
    let mut count = 0;
    for file in files() {
        let page = made::committed(&file);
        let scratch = place();
        for (_, block) in made::fences(&page, "sh") {
            for line in block.lines().filter(|line| !line.is_empty()) {
                let status = line.rsplit_once("# status ").map(|(_, status)| status);
                let expected: i32 = status.map_or(0, |status| status.parse().unwrap());
                // A dry run says by its status whether there is something to write.
                let output = shell(&scratch, line);
                let told = String::from_utf8_lossy(&output.stderr);
                assert_eq!(
                    output.status.code(),
                    Some(expected),
                    "{file}: {line}\n{told}"
                );
                count += 1;
            }
        }
    }
    assert!(count >= 20, "{count} commands");
}

/// The tables that stand in a catalog.toml only.
const OF_THE_HEAD: [&str; 4] = ["[catalog]", "[site]", "[rating]", "[level]"];

/// Every block of TOML is sound: by itself where it holds the catalog's own tables, else as one more file of the
/// sound example.
#[test]
fn every_table_on_a_page_is_read_without_a_fault() {
    let mut count = 0;
    for file in files() {
        if file == "src/guide/start.md" {
            // `tests/suite/readme.rs` walks through that page.
            continue;
        }
        for (line, block) in made::fences(&made::committed(&file), "toml") {
            let input = |path: &str, bytes: Vec<u8>| scratch::input(path, bytes);
            let is_head = OF_THE_HEAD.iter().any(|head| block.contains(head));
            let inputs = if is_head {
                let head = "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n\n";
                let whole = match block.contains("[catalog]") {
                    true => block.clone(),
                    false => format!("{head}{block}"),
                };
                vec![input("sound/catalog.toml", whole.into_bytes())]
            } else {
                let sound = crate::catalog_examples::files("sound").into_iter();
                sound
                    .map(|(path, bytes)| input(&path.replacen("catalog-examples/", "", 1), bytes))
                    .chain([input("sound/block.toml", block.clone().into_bytes())])
                    .collect()
            };
            let options = Options {
                as_of: Some("2026-07-01".into()),
                ..Options::default()
            };
            let outcome = engine::audit(inputs, &options);
            let faults: Vec<String> = outcome
                .findings
                .iter()
                .filter(|one| one.level == Level::Error && one.waived.is_none())
                // The documents are on a disk that this test doesn't show.
                .filter(|one| one.rule.name != "evidence.missing")
                .map(|one| format!("{}: {}", one.rule.name, one.message))
                .collect();
            assert_eq!(faults, Vec::<String>::new(), "{file}, line {line}");
            count += 1;
        }
    }
    assert!(count >= 8, "{count} blocks");
}

/// The limits on their page, each with the file and the line of the code that it has its figure from.
const LIMITS: &[(&str, &str, &str)] = &[
    (
        "| a file | 256 MiB |",
        "text/source.rs",
        "MAX_BYTES: u64 = 256 * 1024 * 1024;",
    ),
    (
        "| tables and lists inside one another | 80 levels |",
        "document/mod.rs",
        "nesting: 80,",
    ),
    (
        "| keys in a file | 2 million |",
        "document/mod.rs",
        "keys: 2_000_000,",
    ),
    (
        "| listed faults in a file | 1000 |",
        "document/mod.rs",
        "problems: 1000,",
    ),
    (
        "| listed faults in a file | 1000 |",
        "catalog/shape.rs",
        "MOST: usize = 1000;",
    ),
    (
        "| claims on a sheet | 500 000 |",
        "spec_sheet/finder.rs",
        "MOST_CLAIMS: usize = 500_000;",
    ),
    (
        "| a PDF or a table | 20 seconds and, on Unix, 1 GiB |",
        "cli/contained.rs",
        "SECONDS: u64 = 20;",
    ),
    (
        "| a PDF or a table | 20 seconds and, on Unix, 1 GiB |",
        "cli/contained.rs",
        "MEMORY: u64 = 1 << 30;",
    ),
    (
        "| cells of a workbook | 3 million |",
        "intake/workbook.rs",
        "MOST_CELLS: usize = 3_000_000;",
    ),
    (
        "| a table's cell | 32 767 characters |",
        "intake/grid.rs",
        "MOST_LETTERS: usize = 32_767;",
    ),
    (
        "| what a form sends to the desk | 2 MiB |",
        "desk/http.rs",
        "BODY: usize = 2 * 1024 * 1024;",
    ),
    (
        "| connections that wait for the desk | 1024 |",
        "desk/http.rs",
        "WAITING: usize = 1024;",
    ),
    (
        "| SARIF results | 5000 |",
        "report/sarif/mod.rs",
        "MOST_RESULTS: usize = 5_000;",
    ),
    (
        "| a Markdown report | 65 000 characters, or `--limit` |",
        "report/markdown.rs",
        "LIMIT: usize = 65_000;",
    ),
    (
        "| trials for the cause of a changed verdict | 400 for each package |",
        "revise/cause.rs",
        "TRIALS_OF_ONE: usize = 400;",
    ),
];

#[test]
fn the_page_of_limits_has_those_of_the_code() {
    let page = made::committed("src/guide/limits.md");
    let rows = page.lines().skip_while(|line| *line != "| of | limit |");
    let rows: Vec<&str> = rows
        .skip(2)
        .take_while(|line| line.starts_with('|'))
        .collect();
    for (row, file, line) in LIMITS {
        assert!(rows.contains(row), "{row}");
        let code = made::committed(&format!("src/{file}"));
        assert!(code.contains(line), "{file}: {line}");
    }
    for row in rows {
        assert!(
            LIMITS.iter().any(|(one, ..)| *one == row),
            "{row} isn't held"
        );
    }
}
