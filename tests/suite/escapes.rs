//! Hostile words in a catalog and in arguments: whatever a report is read by, they don't act on it.

use crate::scratch::run;
use std::path::Path;
use std::process::Output;

/// Words that act on a terminal, a runner of jobs, a page, a table or XML.
static PAYLOADS: [&str; 30] = [
    "\u{1b}[31mred",
    "\u{1b}]0;title\u{7}",
    "\u{1b}]8;;https://otter.example\u{1b}\\link",
    "\u{1b}[2J\u{1b}[H",
    "\u{9b}31mred",
    "\u{9d}0;title\u{9c}",
    "a\u{8}\u{8}b",
    "a\rb",
    "a\nb",
    "\n::stop-commands::pause",
    "::stop-commands::pause",
    "  ::add-mask::a",
    "::error file=a,line=1::b",
    ":::error::b",
    "##[error]b",
    "a\u{7f}b",
    "a\u{0}b",
    "a\u{202e}b",
    "a\u{2066}b",
    "a\u{200b}b",
    "\u{feff}a",
    "a\u{fffe}b",
    "a\u{ffff}b",
    "a\u{1fffe}b",
    "a\u{2028}b",
    "<img src=x onerror=alert(1)>",
    "</script><script>alert(1)</script>",
    "]]><a>",
    "| a | `b` | [c](javascript:alert(1))",
    "\u{e0041}\u{e0042}",
];

static FORMATS: &[&[&str]] = &[
    &[],
    &["--verbose"],
    &["--quiet"],
    &["--ascii"],
    &["--read-aloud"],
    &["--claims"],
    &["--ask"],
    &["--statistics"],
    &["--format", "json"],
    &["--format", "sarif"],
    &["--format", "junit"],
    &["--format", "markdown"],
    &["--format", "html"],
    &["--format", "code-quality"],
    &["--format", "workflow-commands"],
];

/// The `number`th payload as TOML writes it, unlike all others.
fn payload(number: usize) -> String {
    let mut text = String::from("\"");
    for character in PAYLOADS[number % PAYLOADS.len()].chars() {
        text.push_str(&format!("\\U{:08x}", u32::from(character)));
    }
    text.push_str(&format!(" {number}\""));
    text
}

/// The sound example with some of its words replaced.
fn catalog(change: &mut dyn FnMut(&str) -> String) -> tempfile::TempDir {
    let sound = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound");
    let folder = tempfile::tempdir().unwrap();
    for entry in walkdir::WalkDir::new(&sound).sort_by_file_name() {
        let entry = entry.unwrap();
        let to = folder
            .path()
            .join(entry.path().strip_prefix(&sound).unwrap());
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
            continue;
        }
        let text = std::fs::read_to_string(entry.path()).unwrap();
        let is_catalog = to.extension().is_some_and(|ending| ending == "toml");
        let text = if is_catalog { change(&text) } else { text };
        std::fs::write(to, text).unwrap();
    }
    folder
}

/// `text` with the strings that stand alone behind keys that `wanted` names replaced by payloads.
fn with_values(text: &str, number: &mut usize, wanted: &dyn Fn(&str) -> bool) -> String {
    let mut made = String::new();
    for line in text.lines() {
        match line.split_once(" = \"") {
            Some((key, value)) if wanted(key.trim()) && value.ends_with('"') => {
                made.push_str(&format!("{key} = {}", payload(*number)));
                *number += 1;
            }
            _ => made.push_str(line),
        }
        made.push('\n');
    }
    made
}

fn is_harmless(folder: &Path, format: &[&str]) {
    does_no_harm(folder, &["audit", "."], format);
}

fn does_no_harm(folder: &Path, command: &[&str], format: &[&str]) {
    let output = run(folder, &[command, format].concat());
    assert!(matches!(output.status.code(), Some(0 | 1)), "{output:?}");
    let told = String::from_utf8(output.stderr).unwrap();
    let acts = |one: &char| one.is_control() && *one != '\n';
    assert_eq!(told.chars().find(acts), None, "{command:?} {format:?}");
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(!text.is_empty() || format == ["--quiet"], "{format:?}");
    let named = format.last().copied().unwrap_or_default();
    let is_json = matches!(named, "json" | "sarif" | "code-quality");
    if is_json {
        // A program reads these, to which nothing in a string is an order.
        serde_json::from_str::<serde_json::Value>(&text).unwrap();
    }
    for character in text.chars() {
        let acts = character.is_ascii_control() && !matches!(character, '\n' | '\u{7f}');
        assert!(!acts, "{format:?} shows {character:?}");
        if is_json {
            continue;
        }
        let hides = matches!(
            character,
            '\u{7f}'..='\u{9f}' | '\u{202e}' | '\u{2066}' | '\u{200b}' | '\u{2028}'
        );
        let is_none = u32::from(character) & 0xfffe == 0xfffe;
        let tag = matches!(character, '\u{e0000}'..='\u{e007f}');
        assert!(!hides && !is_none && !tag, "{format:?} shows {character:?}");
    }
    for line in text.lines().map(str::trim_start) {
        let ours = named == "workflow-commands"
            && ["::error file=", "::warning file=", "::notice file="]
                .iter()
                .any(|order| line.starts_with(order));
        let order = line.starts_with("::") || line.starts_with("##[");
        assert!(ours || !order, "{format:?}: {line}");
        let whole = line.contains("::stop-commands::");
        assert!(is_json || !whole, "{format:?}: {line}");
    }
    if matches!(named, "html" | "junit" | "markdown") {
        for tag in ["<img src=x", "</script><script>alert", "]]><a>"] {
            assert!(!text.contains(tag), "{format:?} holds {tag}");
        }
    }
}

#[test]
fn free_words_of_a_catalog_do_no_harm() {
    let mut number = 0;
    let free = |key: &str| matches!(key, "title" | "sku" | "notes" | "source");
    let at = catalog(&mut |text| with_values(text, &mut number, &free));
    assert!(number >= PAYLOADS.len(), "{number}");
    for format in FORMATS {
        is_harmless(at.path(), format);
    }
}

#[test]
fn words_in_place_of_figures_and_references_do_no_harm() {
    let mut number = 0;
    let at = catalog(&mut |text| with_values(text, &mut number, &|key| key != "package"));
    assert!(number >= PAYLOADS.len(), "{number}");
    for format in FORMATS {
        is_harmless(at.path(), format);
    }
}

#[test]
fn ids_do_no_harm() {
    let mut ids: Vec<String> = Vec::new();
    // What refers to an ID stands in other files, so all are gathered first.
    catalog(&mut |text| {
        let heads = text
            .lines()
            .filter_map(|line| line.strip_prefix('[')?.strip_suffix(']'));
        let named = heads.filter_map(|head| Some(head.split_once('.')?.1.to_string()));
        ids.extend(named.filter(|id| !id.contains(['.', '"', '['])));
        text.to_string()
    });
    assert!(ids.len() >= 20, "{ids:?}");
    let at = catalog(&mut |text| {
        let mut text = text.to_string();
        for (number, id) in ids.iter().enumerate() {
            let name = payload(number);
            text = text.replace(&format!("\"{id}\""), &name);
            for after in ["]", "."] {
                text = text.replace(&format!(".{id}{after}"), &format!(".{name}{after}"));
            }
        }
        text
    });
    for format in FORMATS {
        is_harmless(at.path(), format);
    }
}

/// What is said of sheets, in tables that name one that is there.
#[test]
fn words_about_sheets_do_no_harm() {
    let mut number = 0;
    let at = catalog(&mut |text| text.to_string());
    let keys = ["kind", "language", "market", "url", "hash", "notes"];
    let mut tables = String::new();
    for sheet in 0..PAYLOADS.len() {
        let path = at.path().join(format!("sheets/page-{sheet}.md"));
        std::fs::write(path, "For ponds up to 40 acres and 95 ft deep.\n").unwrap();
        tables.push_str(&format!(
            "[[sheet]]\nfile = \"sheets/page-{sheet}.md\"\npackage = \"mill-pair\"\n"
        ));
        for key in keys {
            tables.push_str(&format!("{key} = {}\n", payload(number)));
            number += 7;
        }
        tables.push_str(&format!(
            "[[sheet]]\nfile = {}\npackage = {}\n",
            payload(number),
            payload(number + 1)
        ));
    }
    std::fs::write(at.path().join("sheets.toml"), tables).unwrap();
    for format in FORMATS {
        is_harmless(at.path(), format);
    }
}

/// A page whose headings, names, words around figures and cells are payloads.
fn page(ending: &str) -> String {
    let mut text = String::new();
    for payload in PAYLOADS {
        text.push_str(&match ending {
            "csv" => format!("Mill {payload},95 ft,{payload} 40 acres\n"),
            "html" => format!(
                "<h1>Mill {payload}</h1><p title='{payload}'>{payload} up to 95 ft deep {payload}</p>\
                 <table><tr><th>{payload}<th>Depth<tr><td>Mill {payload}<td>95 ft {payload}</table>\n"
            ),
            _ => format!(
                "# Mill {payload}\n\n{payload} For ponds up to 40 acres and 95 ft deep {payload}.\n\n\
                 | Model | Depth |\n| --- | --- |\n| {payload} | 95 ft {payload} |\n\n"
            ),
        });
        // The same as a page writes what it can't write itself.
        if ending == "html" {
            let written = payload.chars().map(|one| format!("&#{};", u32::from(one)));
            text.push_str(&format!(
                "<p>{} up to 95 ft deep</p>\n",
                written.collect::<String>()
            ));
        }
    }
    text
}

/// What stands in a text without end is told of, and isn't told whole.
#[test]
fn long_words_are_quoted_in_part() {
    for long in ["x".repeat(5000), "ab ".repeat(2000)] {
        let mut number = 0;
        let at = catalog(&mut |text| {
            let text = with_values(text, &mut number, &|key| key != "package");
            let hostile = text.lines().map(|line| match line.split_once(" = \"\\U") {
                Some((key, _)) => format!("{key} = \"{long}\"\n"),
                None => format!("{line}\n"),
            });
            hostile.collect()
        });
        assert!(number > 100, "{number}");
        let output = run(at.path(), &["audit", ".", "--format", "json"]);
        let report: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        let mut messages = 0;
        for finding in report["findings"].as_array().unwrap() {
            let related = finding["related"].as_array().into_iter().flatten();
            for one in std::iter::once(finding).chain(related) {
                let texts = ["message", "mend", "says"]
                    .iter()
                    .filter_map(|key| one[*key].as_str());
                for text in texts {
                    assert!(text.chars().count() <= 1003, "{text}");
                    messages += 1;
                }
            }
        }
        assert!(messages > 100, "{messages}");
    }
}

#[test]
fn words_of_pages_do_no_harm() {
    for ending in ["md", "txt", "html", "csv"] {
        let at = tempfile::tempdir().unwrap();
        let head = if ending == "csv" {
            "Model,Depth,Area\n"
        } else {
            ""
        };
        std::fs::write(
            at.path().join(format!("page.{ending}")),
            format!("{head}{}", page(ending)),
        )
        .unwrap();
        for format in FORMATS {
            is_harmless(at.path(), format);
        }
    }
}

#[test]
fn names_of_files_do_no_harm() {
    let at = tempfile::tempdir().unwrap();
    for (number, payload) in PAYLOADS.iter().enumerate() {
        let name = payload.replace(['/', '\0'], "");
        let text = "# Mill\n\nFor ponds up to 40 acres and 95 ft deep.\n";
        std::fs::write(at.path().join(format!("{name}{number}.md")), text).unwrap();
        std::fs::write(
            at.path().join(format!("{name}{number}.toml")),
            "[catalog]\nformat = 1\n",
        )
        .unwrap();
    }
    for format in FORMATS {
        is_harmless(at.path(), format);
    }
}

/// The sound catalog and one whose words are payloads, in one folder.
fn both() -> tempfile::TempDir {
    let at = tempfile::tempdir().unwrap();
    let mut number = 0;
    let free = |key: &str| matches!(key, "title" | "sku" | "notes" | "source");
    for (name, hostile) in [("before", false), ("after", true)] {
        let made = catalog(&mut |text| match hostile {
            true => with_values(text, &mut number, &free).replace("\"12.7 mm\"", "\"5 mm\""),
            false => text.to_string(),
        });
        std::fs::rename(made.keep(), at.path().join(name)).unwrap();
    }
    at
}

#[test]
fn words_of_two_states_do_no_harm() {
    let at = both();
    for states in [["before", "after"], ["after", "before"]] {
        for format in [
            &[][..],
            &["--verbose"],
            &["--ascii"],
            &["--format", "json"],
            &["--format", "markdown"],
            &["--format", "html"],
        ] {
            does_no_harm(at.path(), &["revise", states[0], states[1]], format);
        }
    }
}

/// A record keeps the words as JSON does, and what changed since is told in every format.
#[test]
fn words_of_a_record_do_no_harm() {
    let mut number = 0;
    let at = both();
    does_no_harm(
        at.path(),
        &["audit", "before", "after", "--record", "record.jsonl"],
        &[],
    );
    let kept = std::fs::read_to_string(at.path().join("record.jsonl")).unwrap();
    for line in kept.lines() {
        serde_json::from_str::<serde_json::Value>(line).unwrap();
        assert_eq!(line.chars().find(|one| one.is_control()), None);
    }
    // The words of a record may be anybody's.
    let hostile = kept.lines().map(|line| {
        let mut line: serde_json::Value = serde_json::from_str(line).unwrap();
        for key in [
            "catalog", "package", "option", "stated", "program", "rulebook",
        ] {
            line[key] = PAYLOADS[number % PAYLOADS.len()].into();
            number += 1;
        }
        format!("{line}\n")
    });
    let hostile: String = hostile.collect();
    assert!(number >= PAYLOADS.len());
    for format in FORMATS {
        std::fs::write(at.path().join("record.jsonl"), &hostile).unwrap();
        does_no_harm(
            at.path(),
            &["audit", "before", "--record", "record.jsonl"],
            format,
        );
    }
}

#[test]
fn words_of_answers_do_no_harm() {
    let at = both();
    for command in ["duty", "limits", "gauge"] {
        let asked = [
            command,
            "mill-pair",
            "--catalog",
            "after",
            "--option",
            "with-airline",
        ];
        for format in [&[][..], &["--explain"], &["--ascii"], &["--format", "json"]] {
            does_no_harm(at.path(), &asked, format);
        }
    }
}

/// A pond that can't be read is told at its place, and any other is answered.
#[test]
fn words_of_a_pond_do_no_harm() {
    let at = both();
    let refused = |output: Output| {
        assert_eq!(output.stdout, b"");
        let said = String::from_utf8(output.stderr).unwrap();
        let acts = |character: &char| character.is_control() && *character != '\n';
        assert_eq!(said.chars().find(acts), None, "{said}");
    };
    let mut answered = 0;
    for number in 0..PAYLOADS.len() {
        let title = payload(number);
        let text = format!("[pond]\narea = \"300 m2\"\ndepth = \"1 m\"\ntitle = {title}\n");
        std::fs::write(at.path().join("pond.toml"), text).unwrap();
        let asked = ["pond", "pond.toml", "after"];
        let output = run(at.path(), &asked);
        if output.status.code() == Some(2) {
            refused(output);
            continue;
        }
        answered += 1;
        for format in [&[][..], &["--ascii"], &["--format", "json"]] {
            does_no_harm(at.path(), &asked, format);
        }
    }
    assert!(answered >= 8, "{answered}");
    for payload in PAYLOADS.iter().filter(|payload| !payload.contains('\0')) {
        let asked = ["pond", "after", "--area", payload, "--title", payload];
        let output = run(at.path(), &asked);
        assert_eq!(output.status.code(), Some(2), "{output:?}");
        refused(output);
    }
}

#[test]
fn words_of_an_earlier_report_do_no_harm() {
    let at = both();
    let report = run(at.path(), &["audit", "after", "--format", "sarif"]).stdout;
    let report = String::from_utf8(report).unwrap();
    let mut value: serde_json::Value = serde_json::from_str(&report).unwrap();
    let results = value["runs"][0]["results"].as_array_mut().unwrap();
    for (result, payload) in results.iter_mut().zip(PAYLOADS.iter().cycle()) {
        result["message"]["text"] = (*payload).into();
    }
    std::fs::write(at.path().join("earlier.sarif"), value.to_string()).unwrap();
    for format in FORMATS {
        does_no_harm(
            at.path(),
            &["audit", "before", "--baseline", "earlier.sarif"],
            format,
        );
    }
}

#[test]
fn words_of_arguments_do_no_harm() {
    let at = tempfile::tempdir().unwrap();
    for payload in PAYLOADS.iter().filter(|payload| !payload.contains('\0')) {
        for arguments in [
            vec!["audit", payload],
            vec![payload],
            vec!["audit", "--format", payload],
            vec!["audit", "--level", payload],
            vec!["audit", "--as-of", payload],
            vec!["rulebook", payload],
            vec!["duty", payload, "--depth", payload],
            vec!["revise", payload, payload],
            vec!["revise", payload],
            vec!["audit", ".", "--exclude", payload, "--package", payload],
            vec!["audit", ".", "--only", payload],
            vec!["audit", ".", "--since", payload],
            vec!["audit", ".", "--baseline", payload],
            vec!["audit", ".", "--record", payload],
            vec!["audit", ".", "--output", payload],
            vec!["audit", ".", "--jobs", payload],
            vec!["audit", ".", "--max-size", payload],
            vec!["audit", ".", "--time-limit", payload],
            vec!["amend", payload],
            vec!["limits", payload, "--catalog", payload],
            vec!["limits", payload, "--run", payload],
            vec!["gauge", payload, "--reads", payload],
            vec!["convert", payload],
            vec!["convert", "1 m", "to", payload],
            vec!["schema", payload],
            vec!["help", payload],
        ] {
            let output = run(at.path(), &arguments);
            assert_eq!(output.status.code(), Some(2), "{arguments:?} {output:?}");
            let said = String::from_utf8(output.stderr).unwrap();
            let acts = |character: &char| character.is_control() && *character != '\n';
            assert_eq!(said.chars().find(acts), None, "{arguments:?}");
            assert_eq!(said.lines().count(), 1, "{arguments:?}: {said}");
            assert!(!said.contains("::stop-commands::"), "{said}");
        }
    }
}
