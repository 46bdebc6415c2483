//! `nameplate sheet`: what it writes passes the audit and is read as what it is; what it refuses; templates; hostile names.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::process::Output;

use pulldown_cmark::{Event, Options, Parser, Tag};
use serde_json::Value as Json;

use crate::scratch::run;

fn examples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples")
}

/// The sound example without its sheets, in a folder of its own.
fn sound() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    let from = examples().join("sound");
    for entry in walkdir::WalkDir::new(&from) {
        let entry = entry.unwrap();
        let inside = entry.path().strip_prefix(&from).unwrap();
        let to = folder.path().join("list").join(inside);
        if entry.file_type().is_dir() {
            std::fs::create_dir_all(to).unwrap();
        } else if !inside.starts_with("sheets") {
            std::fs::copy(entry.path(), to).unwrap();
        }
    }
    folder
}

/// The IDs of the packages stated in a file's text.
fn packages(text: &str) -> Vec<String> {
    let headers = text
        .lines()
        .filter_map(|line| line.strip_prefix("[package.")?.strip_suffix(']'));
    headers
        .filter(|id| !id.contains('.'))
        .map(str::to_string)
        .collect()
}

fn told(output: &Output) -> String {
    String::from_utf8_lossy(&output.stderr).into_owned()
}

fn findings(output: &Output) -> Vec<String> {
    let report: Json = serde_json::from_slice(&output.stdout).unwrap();
    let all = report["findings"].as_array().unwrap().iter();
    all.map(|one| format!("{} {} {}", one["level"], one["rule"], one["message"]))
        .collect()
}

/// Every example with packages within the rating, in every form, bound by a `[[sheet]]` table alone: no finding of any level.
#[test]
fn what_is_written_of_the_examples_gives_no_finding() {
    let folder = sound();
    let list = folder.path().join("list");
    let mut count = 0;
    for part in ["", "highland"] {
        let place = list.join(part);
        let mut ids = Vec::new();
        for entry in walkdir::WalkDir::new(&place).max_depth(2) {
            let entry = entry.unwrap();
            let inside = entry.path().strip_prefix(&place).unwrap();
            let is_another = part.is_empty() && inside.starts_with("highland");
            if entry
                .path()
                .extension()
                .is_some_and(|ending| ending == "toml")
                && !is_another
            {
                ids.extend(packages(&std::fs::read_to_string(entry.path()).unwrap()));
            }
        }
        let mut tables = String::new();
        for id in &ids {
            for ending in ["md", "html"] {
                let name = format!("{id}.{ending}");
                let page = place.join(&name);
                let asked = ["sheet", id, "--catalog", ".", "--output", &name];
                let output = run(&place, &asked);
                assert_eq!(
                    (output.status.code(), told(&output)),
                    (Some(0), String::new()),
                    "{name}"
                );
                // Bound by the catalog, and by nothing in itself.
                let text = std::fs::read_to_string(&page).unwrap();
                let bare = match ending {
                    "md" => text.split("+++").nth(2).unwrap().to_string(),
                    _ => text.replace(&format!("<meta name=\"package\" content=\"{id}\">"), ""),
                };
                assert!(bare.len() < text.len() && !bare.contains("+++"), "{name}");
                std::fs::write(&page, bare).unwrap();
                tables.push_str(&format!(
                    "[[sheet]]\nfile = \"{name}\"\npackage = \"{id}\"\n"
                ));
                count += 1;
            }
        }
        std::fs::write(place.join("printed.toml"), tables).unwrap();
    }
    assert_eq!(count, 2 * 13);
    let asked = ["audit", "list", "--format", "json", "--as-of", "2026-07-01"];
    let output = run(folder.path(), &asked);
    assert_eq!(findings(&output), Vec::<String>::new());
    let report: Json = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(report["summary"]["sheets"], count);
}

/// A faulty example is refused with a word, and nothing is written; or its sheet gives no finding above a note.
#[test]
fn of_faulty_examples_nothing_is_written_that_an_audit_finds() {
    let (mut written, mut refused) = (0, 0);
    let folder = tempfile::tempdir().unwrap();
    for entry in walkdir::WalkDir::new(examples().join("faulty"))
        .sort_by_file_name()
        .max_depth(1)
    {
        let catalog = entry.unwrap().into_path();
        let Ok(text) = std::fs::read(&catalog) else {
            continue;
        };
        for id in packages(&String::from_utf8_lossy(&text)) {
            let page = folder.path().join(format!("{id}.md"));
            let _ = std::fs::remove_file(&page);
            let catalog = catalog.to_str().unwrap();
            let asked = [
                "sheet",
                &id,
                "--catalog",
                catalog,
                "--output",
                page.to_str().unwrap(),
            ];
            let output = run(folder.path(), &asked);
            if output.status.code() == Some(0) {
                let audit = [
                    "audit",
                    catalog,
                    page.to_str().unwrap(),
                    "--quiet",
                    "--hear",
                    "sheet",
                    "--hear",
                    "caution",
                ];
                let output = run(folder.path(), &audit);
                assert_eq!(
                    output.status.code(),
                    Some(0),
                    "{catalog}: {}",
                    told(&output)
                );
                written += 1;
            } else {
                assert_eq!(
                    output.status.code(),
                    Some(1),
                    "{catalog}: {}",
                    told(&output)
                );
                assert!(!page.exists(), "{catalog}");
                assert!(!told(&output).is_empty(), "{catalog}");
                refused += 1;
            }
        }
    }
    assert!(
        written > 20 && refused > 40,
        "{written} written, {refused} refused"
    );
}

/// Every printed figure of one package, with the attribute and the value that the reader takes it for.
#[test]
fn each_figure_is_read_as_what_it_is() {
    let folder = sound();
    let list = folder.path().join("list");
    let output = run(&list, &["sheet", "heron-one", "--output", "heron-one.md"]);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let output = run(&list, &["audit", ".", "--claims"]);
    let text = String::from_utf8(output.stdout).unwrap();
    let words: Vec<&str> = text.split_whitespace().collect();
    let text = words.join(" ");
    for read in [
        "depth at most 5 ft, also 1.5 m",
        "area at most 0.07 acre, at 5 ft, also 280 m2",
        "flow at least 1.2 cfm, at 5 ft, also 34 L/min",
        "cost at most 5.20 USD/month, at 0.16 USD/kWh,",
        "price 365 USD",
        "price 275 USD",
        "diffuser-count 1",
        "airline-length 100 ft, also 30.5 m",
        "airline-size 3/8 in, also 9.53 mm",
        "airline-length at most 20 ft, also 6.1 m",
        "airline-size 1/2 in, also 12.7 mm",
        "airline-length at most 100 ft, also 30.5 m",
        "voltage 115 V",
        "frequency 60 Hz",
        "power 44 W, at 2 psi",
        "current 0.68 A",
        "pressure at most 3.6 psi, also 24.8 kPa",
        "sound 39 dB(A), at 3 ft",
        "pressure; what a gauge shows 2.5 to 3.3 psi",
        "power; somebody is quoted with it 44 W",
    ] {
        assert!(text.contains(read), "{read}\n{text}");
    }
    let asserted = text.split("Read, not judged").next().unwrap();
    assert!(!asserted.contains("Likely meant"), "{asserted}");
    assert!(!asserted.contains("turnover"), "{asserted}");
}

/// A promise that can't be true is refused with what is within the rating, and the file that was there stays.
#[test]
fn what_is_refused_names_what_is_within_and_touches_nothing() {
    let folder = tempfile::tempdir().unwrap();
    let catalog = examples().join("faulty/too-deep-for-a-linear.toml");
    let catalog = catalog.to_str().unwrap();
    let id = &packages(&std::fs::read_to_string(catalog).unwrap())[0];
    std::fs::write(folder.path().join("page.md"), "mine").unwrap();
    let asked = ["sheet", id, "--catalog", catalog, "--output", "page.md"];
    let output = run(folder.path(), &asked);
    assert_eq!(output.status.code(), Some(1));
    let told = told(&output);
    assert!(told.contains("too-deep-for-a-linear.toml:"), "{told}");
    assert!(
        told.contains("isn't printed: it can't be true; up to "),
        "{told}"
    );
    assert!(told.contains("is within the rating."), "{told}");
    assert_eq!(
        std::fs::read_to_string(folder.path().join("page.md")).unwrap(),
        "mine"
    );
}

/// `run-too-long` lays one airline beyond the rating: the option goes, and the rest is printed when that is asked for.
#[test]
fn with_leave_out_the_rest_is_printed() {
    let folder = sound();
    let list = folder.path().join("list");
    let packages = list.join("packages/us.toml");
    let text = std::fs::read_to_string(&packages).unwrap();
    // A quarter mile of the thinner hose is beyond the rating.
    let longer = text.replacen("up_to = \"20 ft\"", "up_to = \"1300 ft\"", 1);
    assert_ne!(longer, text);
    std::fs::write(&packages, longer).unwrap();
    let output = run(&list, &["sheet", "heron-one"]);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(output.stdout, b"");
    assert!(
        told(&output)
            .contains("The run of airline of option own-airline, 1300 ft of 3/8 in, isn't printed"),
        "{}",
        told(&output)
    );
    let output = run(&list, &["sheet", "heron-one", "--leave-out"]);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let page = String::from_utf8(output.stdout).unwrap();
    assert!(
        page.contains("1/2 in") && !page.contains("1300 ft") && !page.contains("3/8 in"),
        "{page}"
    );
}

#[test]
fn one_option_is_printed_alone() {
    let folder = sound();
    let list = folder.path().join("list");
    let output = run(&list, &["sheet", "heron-one", "--option", "with-airline"]);
    let page = String::from_utf8(output.stdout).unwrap();
    assert!(
        page.contains("Option with-airline") && !page.contains("own-airline"),
        "{page}"
    );
    let output = run(&list, &["sheet", "heron-one", "--option", "nothing"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("with-airline, own-airline"),
        "{}",
        told(&output)
    );
}

#[test]
fn a_template_holds_own_words_and_its_figures_are_audited() {
    let folder = sound();
    let list = folder.path().join("list");
    let sheet = |template: &str| {
        std::fs::write(list.join("house.template.md"), template).unwrap();
        run(
            &list,
            &[
                "sheet",
                "mill-pair",
                "--template",
                "house.template.md",
                "--output",
                "out.md",
            ],
        )
    };
    let output = sheet(
        "@head\n![Otter Mill Water: an otter on a mill wheel](logo.svg)\n\n@title\nMade for ponds in villages.\n\n@promises\n@cautions\n",
    );
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let page = std::fs::read_to_string(list.join("out.md")).unwrap();
    assert!(
        page.contains("Made for ponds in villages.") && page.contains("](logo.svg)"),
        "{page}"
    );
    assert!(
        page.contains("| Depth of the diffusers |") && !page.contains("gauge"),
        "{page}"
    );

    let output = sheet("@title\nIt serves ponds 2.5 m deep.\n\n@promises\n@cautions\n");
    assert_eq!(output.status.code(), Some(1));
    assert!(
        told(&output).contains("2.5 m isn't the catalog's figure"),
        "{}",
        told(&output)
    );
    assert_eq!(std::fs::read_to_string(list.join("out.md")).unwrap(), page);

    let output = sheet("@title\n@promise\n@cautions\n");
    assert_eq!(output.status.code(), Some(2));
    assert!(
        told(&output).contains("line 2: there is no part `@promise`; the nearest is `@promises`"),
        "{}",
        told(&output)
    );
    let output = sheet("@title\n");
    assert_eq!(output.status.code(), Some(2));
    assert!(told(&output).contains("@cautions"), "{}", told(&output));
    assert_eq!(std::fs::read_to_string(list.join("out.md")).unwrap(), page);
    let output = run(
        &list,
        &[
            "sheet",
            "mill-pair",
            "--template",
            "house.template.md",
            "--format",
            "html",
        ],
    );
    assert_eq!(output.status.code(), Some(2), "{}", told(&output));
}

/// Names as nobody should give them, in a catalog that is sound.
fn hostile() -> (tempfile::TempDir, PathBuf) {
    let folder = sound();
    let list = folder.path().join("list");
    let change = |file: &str, from: &str, to: &str| {
        let path = list.join(file);
        let text = std::fs::read_to_string(&path).unwrap();
        assert!(text.contains(from), "{from}");
        std::fs::write(&path, text.replacen(from, to, 1)).unwrap();
    };
    change(
        "packages/metric.toml",
        "\"Two discs for a village pond\"",
        "'# Two <img src=x onerror=alert(1)> | `discs` [a](http://b.example) **c** &amp; \"d\"'",
    );
    change(
        "packages/metric.toml",
        "\"OMW-1002\"",
        "'=HYPERLINK(\"http://b.example\")'",
    );
    change(
        "parts/diffusers.toml",
        "\"Disc, 230 mm\"",
        "'</table><script>alert(1)</script> ![x](y) 1. | --- |'",
    );
    change(
        "parts/compressors-linear.toml",
        "\"Linear compressor, 62 W\"",
        "'- <!-- --> www.b.example a@b.example ~~x~~ _y_ \\'",
    );
    (folder, list)
}

#[test]
fn names_stay_text_in_markdown() {
    let (_folder, list) = hostile();
    let output = run(&list, &["sheet", "mill-pair"]);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let page = String::from_utf8(output.stdout).unwrap();
    let body = page.splitn(3, "+++").nth(2).unwrap();
    let mut text = String::new();
    let mut tables = 0;
    for event in Parser::new_ext(
        body,
        Options::ENABLE_TABLES
            | Options::ENABLE_STRIKETHROUGH
            | Options::ENABLE_FOOTNOTES
            | Options::ENABLE_TASKLISTS,
    ) {
        match event {
            Event::Text(piece) => text.push_str(&piece),
            Event::Start(Tag::Table(_)) => tables += 1,
            Event::Html(_)
            | Event::InlineHtml(_)
            | Event::Code(_)
            | Event::Start(
                Tag::Link { .. }
                | Tag::Image { .. }
                | Tag::CodeBlock(_)
                | Tag::Emphasis
                | Tag::Strong
                | Tag::Strikethrough,
            ) => panic!("{event:?} in\n{page}"),
            _ => {}
        }
    }
    assert!(
        text.contains("<img src=x onerror=alert(1)>")
            && text.contains("</table><script>alert(1)</script>"),
        "{text}"
    );
    assert!(text.contains("=HYPERLINK(\"http://b.example\")"), "{text}");
    assert!(tables >= 6, "{tables}");
}

#[test]
fn names_stay_text_in_html() {
    use html5gum::{Token, Tokenizer};
    let (_folder, list) = hostile();
    let output = run(&list, &["sheet", "mill-pair", "--format", "html"]);
    assert_eq!(output.status.code(), Some(0), "{}", told(&output));
    let page = String::from_utf8(output.stdout).unwrap();
    let mut tags = BTreeSet::new();
    for token in Tokenizer::new(page.as_str()) {
        let Ok(token) = token;
        if let Token::StartTag(tag) = token {
            tags.insert(String::from_utf8_lossy(&tag.name).into_owned());
            let own: Vec<String> = tag
                .attributes
                .keys()
                .map(|key| String::from_utf8_lossy(key).into_owned())
                .collect();
            assert!(
                !own.iter()
                    .any(|name| name.starts_with("on") || name == "src" || name == "href"),
                "{own:?}"
            );
        }
    }
    let known = "body h1 h2 h3 head html li main meta p section span style table tbody td th thead title tr ul";
    let known: BTreeSet<String> = known.split(' ').map(str::to_string).collect();
    assert_eq!(
        tags.difference(&known).collect::<Vec<_>>(),
        Vec::<&String>::new()
    );
    assert!(page.contains("&lt;script&gt;alert(1)&lt;/script&gt;"));
}

#[test]
fn the_guide_lists_every_part_of_a_template() {
    let page = crate::made::committed("src/guide/printing.md");
    for (_, name, says) in nameplate::sheet::template::Part::ALL {
        let row = format!("| `@{name}` | {says} |");
        assert!(page.contains(&row), "{row}");
    }
}
