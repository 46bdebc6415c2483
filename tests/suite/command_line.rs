//! The program as it is called: exit statuses, what goes where, and files as they are found.

use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use tempfile::TempDir;

const HEAD: &str = "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n";
/// A catalog with an error.
const FAULTY: &str = "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n\n[package.mill-pair]\ncompressor = \"gone\"\n";

/// A folder of its own, with files in it.
fn folder(files: &[(&str, &[u8])]) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in files {
        let path = folder.path().join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
    folder
}

fn run_in(folder: &Path, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(arguments)
        .current_dir(folder)
        .env_remove("COLUMNS")
        .env_remove("NO_COLOR")
        .env("LC_ALL", "C.UTF-8")
        .output()
        .expect("runs")
}

fn out(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("is UTF-8")
}

fn err(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("is UTF-8")
}

/// Holds a refusal to one clear sentence on standard error, nothing on standard output, status 2.
fn refused(output: &Output, says: &str) {
    let sentence = err(output);
    assert_eq!(output.status.code(), Some(2), "{sentence}");
    assert_eq!(out(output), "");
    assert_eq!(sentence.lines().count(), 1, "{sentence}");
    assert!(
        sentence.starts_with("nameplate: ") && sentence.contains(says),
        "{sentence}"
    );
    assert!(!sentence.contains("os error"), "{sentence}");
}

// ---- exit statuses -------------------------------------------------------------------------------

#[test]
fn the_status_says_whether_there_is_an_error() {
    let at = folder(&[
        ("sound/catalog.toml", HEAD.as_bytes()),
        ("faulty/catalog.toml", FAULTY.as_bytes()),
    ]);
    let sound = run_in(at.path(), &["audit", "sound", "--allow-empty"]);
    assert_eq!(sound.status.code(), Some(0), "{}", out(&sound));
    assert_eq!(err(&sound), "");
    assert!(out(&sound).starts_with("No promise was judged."));
    assert!(out(&sound).contains("\nOtter Mill Water"));
    let faulty = run_in(at.path(), &["audit", "faulty"]);
    assert_eq!(faulty.status.code(), Some(1));
    assert!(out(&faulty).contains("reference.unknown"));
    // A level that the catalog lowers fails nothing.
    let lowered =
        format!("{FAULTY}[level]\nreference = \"warning\"\nkit = \"none\"\nschema = \"none\"\n");
    std::fs::write(at.path().join("faulty/catalog.toml"), lowered).unwrap();
    assert_eq!(
        run_in(at.path(), &["audit", "faulty"]).status.code(),
        Some(0)
    );
}

#[test]
fn arguments_that_cannot_be_understood_are_refused_in_one_sentence() {
    let at = folder(&[("catalog.toml", HEAD.as_bytes())]);
    for (arguments, says) in [
        (&["audit"][..], "<PATH>"),
        (&["audit", "--frmat", "json"], "--format"),
        (&["audit", "--format", "xml", "."], "terminal, json, sarif"),
        (&["audit", "--jobs", "0", "."], "--jobs"),
        (&["audit", "--as-of", "May", "."], "2026-05-02"),
        (&["audit", "-q", "-v", "."], "--verbose"),
        (&["inspect", "."], "inspect"),
        (&["schema", "moon"], "catalog, units, audit"),
    ] {
        refused(&run_in(at.path(), arguments), says);
    }
}

#[test]
fn help_and_version_are_no_failure() {
    let at = folder(&[]);
    for arguments in [
        &["--help"][..],
        &["audit", "--help"],
        &["schema", "--help"],
        &["--version"],
        &["help"],
    ] {
        let output = run_in(at.path(), arguments);
        assert_eq!(output.status.code(), Some(0), "{arguments:?}");
        assert!(!out(&output).is_empty() && err(&output).is_empty());
    }
}

#[test]
fn what_cannot_be_read_is_refused() {
    let at = folder(&[
        ("empty/readme.md", b"no catalog"),
        ("catalog.toml", HEAD.as_bytes()),
    ]);
    refused(
        &run_in(at.path(), &["audit", "gone.toml"]),
        "gone.toml can't be read: there is no such file",
    );
    refused(
        &run_in(at.path(), &["audit", "empty"]),
        "there is no catalog and no spec sheet in empty",
    );
    refused(
        &run_in(at.path(), &["audit", "catalog.toml/inside"]),
        "catalog.toml/inside can't be read",
    );
    // A name that would act on the terminal.
    let hostile = run_in(at.path(), &["audit", "x\u{1b}[31m\u{202e}"]);
    refused(&hostile, "can't be read");
    assert!(!err(&hostile).contains(['\u{1b}', '\u{202e}']));
}

#[cfg(unix)]
#[test]
fn links_that_lead_in_a_circle_end() {
    use std::os::unix::fs::symlink;
    let at = folder(&[
        ("list/catalog.toml", HEAD.as_bytes()),
        ("list/parts/a.toml", b""),
    ]);
    // A folder in itself has nothing new in it.
    symlink(at.path().join("list"), at.path().join("list/parts/again")).unwrap();
    let output = run_in(at.path(), &["audit", "list", "--allow-empty"]);
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    // A file that is nowhere can't be read.
    symlink("two.toml", at.path().join("one.toml")).unwrap();
    symlink("one.toml", at.path().join("two.toml")).unwrap();
    refused(
        &run_in(at.path(), &["audit", "one.toml"]),
        "one.toml can't be read",
    );
}

#[cfg(unix)]
#[test]
fn a_file_that_the_system_keeps_closed_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let at = folder(&[("catalog.toml", HEAD.as_bytes()), ("closed.toml", b"")]);
    let closed = at.path().join("closed.toml");
    std::fs::set_permissions(&closed, std::fs::Permissions::from_mode(0o000)).unwrap();
    if std::fs::read(&closed).is_ok() {
        // Whoever runs this may read everything, so there is nothing to see.
        return;
    }
    refused(
        &run_in(at.path(), &["audit", "."]),
        "closed.toml can't be read: the system doesn't permit it",
    );
}

// ---- output --------------------------------------------------------------------------------------

#[test]
fn a_report_goes_into_a_file_whole_or_not_at_all() {
    let at = folder(&[
        ("list/catalog.toml", FAULTY.as_bytes()),
        ("out/report.json", b"old"),
    ]);
    let arguments = [
        "audit",
        "list",
        "--format",
        "json",
        "--output",
        "out/report.json",
    ];
    let output = run_in(at.path(), &arguments);
    assert_eq!(output.status.code(), Some(1));
    assert_eq!(out(&output), "");
    let written = std::fs::read_to_string(at.path().join("out/report.json")).unwrap();
    assert_eq!(written, out(&run_in(at.path(), &arguments[..4])));
    // Nothing is left beside it.
    let beside: Vec<PathBuf> = std::fs::read_dir(at.path().join("out"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .collect();
    assert_eq!(beside.len(), 1, "{beside:?}");
    refused(
        &run_in(
            at.path(),
            &["audit", "list", "--output", "gone/report.json"],
        ),
        "gone/report.json can't be written: there is no such folder",
    );
    refused(
        &run_in(at.path(), &["audit", "list", "--output", "out"]),
        "out can't be written: it is a folder",
    );
}

#[test]
fn the_same_bytes_come_out_at_any_number_of_threads() {
    let mut files: Vec<(String, Vec<u8>)> = vec![("catalog.toml".into(), HEAD.into())];
    for number in 0..40 {
        let text = format!(
            "[package.mill-{number}]\ncompressor = \"gone-{number}\"\n[package.mill-{number}.claim]\ndepth = \"{number} psi\"\n"
        );
        files.push((format!("packages/{number}.toml"), text.into()));
    }
    let files: Vec<(&str, &[u8])> = files
        .iter()
        .map(|(name, bytes)| (name.as_str(), bytes.as_slice()))
        .collect();
    let at = folder(&files);
    for format in ["terminal", "json", "sarif"] {
        let of = |jobs: &str| {
            run_in(
                at.path(),
                &[
                    "audit",
                    ".",
                    "--format",
                    format,
                    "--jobs",
                    jobs,
                    "--as-of",
                    "2026-05-02",
                ],
            )
        };
        let (one, four) = (of("1"), of("4"));
        assert_eq!(one.status.code(), Some(1));
        assert!(one.stdout.len() > 1000);
        assert_eq!(out(&one), out(&four), "{format}");
    }
}

#[test]
fn colours_come_only_when_they_are_asked_for() {
    let at = folder(&[("catalog.toml", FAULTY.as_bytes())]);
    let piped = run_in(at.path(), &["audit", "."]);
    assert!(!out(&piped).contains('\u{1b}'));
    let always = run_in(at.path(), &["audit", ".", "--color", "always"]);
    assert!(out(&always).contains("\u{1b}["));
    let ascii = run_in(at.path(), &["audit", ".", "--ascii"]);
    assert!(out(&ascii).is_ascii());
    let usual = out(&piped);
    assert!(usual.lines().all(|line| line.chars().count() <= 100));
}

/// The form in which compilers tell of a place, which editors and hooks read.
#[test]
fn quiet_is_a_line_for_each_finding_that_made_the_status() {
    let warned = format!("{FAULTY}[airline.unused]\nsize = \"1/2 in\"\n");
    let at = folder(&[("catalog.toml", warned.as_bytes())]);
    let run = |arguments: &[&str]| run_in(at.path(), &[&["audit", "."], arguments].concat());
    let of = |arguments: &[&str]| out(&run(arguments));
    let lines = |text: &str| -> Vec<(String, String)> {
        let mut all: Vec<&str> = text.lines().collect();
        assert!(
            all.pop().unwrap().starts_with("Audited 1 package and "),
            "{text}"
        );
        let line = |line: &&str| {
            let mut parts = line.splitn(4, ':');
            assert_eq!(parts.next(), Some("catalog.toml"), "{line}");
            for number in [parts.next(), parts.next()] {
                assert!(number.unwrap().parse::<usize>().unwrap() > 0, "{line}");
            }
            let rest = parts.next().unwrap().trim().to_string();
            let (head, message) = rest.split_once(": ").unwrap();
            let (level, rule) = head.split_once(' ').unwrap();
            assert!(rule.contains('.') && message.len() > 10, "{line}");
            (level.to_string(), rule.to_string())
        };
        all.iter().map(line).collect()
    };
    let report: serde_json::Value = serde_json::from_str(&of(&["--format", "json"])).unwrap();
    let of_level = |level: &str| {
        let all = report["findings"].as_array().unwrap().iter();
        all.filter(|one| one["level"] == level).count()
    };
    let quiet = lines(&of(&["--quiet"]));
    assert_eq!(quiet.len(), of_level("error"));
    assert!(quiet.iter().all(|(level, _)| level == "error"));
    let all = lines(&of(&["--quiet", "--reject-at", "note"]));
    assert_eq!(
        all.len(),
        of_level("error") + of_level("warning") + of_level("note")
    );
    assert!(all.len() > quiet.len());
    // Too many warnings reject as well, and are shown then.
    let most = of_level("warning").to_string();
    let level = [
        "--level",
        "reference.unused=warning",
        "--reject-at",
        "none",
        "--quiet",
    ];
    let status = |most: &str| run(&[&level[..], &["--at-most-warnings", most]].concat());
    assert_eq!(
        status(&(of_level("warning") + 1).to_string()).status.code(),
        Some(0)
    );
    let many = status(&most);
    assert_eq!(many.status.code(), Some(1));
    assert!(
        out(&many).contains(": warning reference.unused: "),
        "{}",
        out(&many)
    );
    let counted = of(&["--quiet", "--statistics"]);
    assert!(
        counted
            .lines()
            .any(|line| line.trim().starts_with("1 note    reference.unused")),
        "{counted}"
    );
    let (usual, verbose) = (of(&[]), of(&["--verbose"]));
    assert!(usual.contains(" note ") && verbose.len() > usual.len());
}

#[test]
fn schemas_and_units_are_printed() {
    let at = folder(&[]);
    let of = |arguments: &[&str]| out(&run_in(at.path(), arguments));
    let catalog: serde_json::Value = serde_json::from_str(&of(&["schema"])).unwrap();
    assert_eq!(of(&["schema"]), of(&["schema", "catalog"]));
    assert!(catalog["$schema"].is_string());
    let audit = of(&["schema", "audit"]);
    let committed = Path::new(env!("CARGO_MANIFEST_DIR")).join("schemas/audit.schema.json");
    assert_eq!(audit, std::fs::read_to_string(committed).unwrap());
    let units = of(&["schema", "units"]);
    assert!(units.contains("  psi ") && units.contains("inch, 25.4 mm"));
    // What a unit is begins in one column for all units of a dimension.
    let lengths: Vec<&str> = units
        .split("\n\n")
        .next()
        .unwrap()
        .lines()
        .skip(1)
        .collect();
    let columns: Vec<usize> = lengths
        .iter()
        .map(|line| line.rfind("  ").unwrap())
        .collect();
    assert!(
        columns.len() > 5 && columns.iter().all(|column| *column == columns[0]),
        "{units}"
    );
}

// ---- files as they are found ---------------------------------------------------------------------

/// The JSON report on one file named alone.
fn alone(bytes: &[u8]) -> (Option<i32>, serde_json::Value) {
    let at = folder(&[("list.toml", bytes)]);
    let output = run_in(
        at.path(),
        &["audit", "list.toml", "--allow-empty", "--format", "json"],
    );
    let terminal = run_in(
        at.path(),
        &["audit", "list.toml", "--allow-empty", "--verbose"],
    );
    assert_eq!(terminal.status.code(), output.status.code());
    let hostile = |c: char| c.is_control() && c != '\n';
    assert_eq!(out(&terminal).find(hostile), None);
    let report = serde_json::from_str(&out(&output)).expect("is JSON");
    (output.status.code(), report)
}

fn rules(report: &serde_json::Value) -> Vec<&str> {
    let findings = report["findings"].as_array().unwrap().iter();
    findings
        .map(|finding| finding["rule"].as_str().unwrap())
        .collect()
}

#[test]
fn whatever_is_in_a_file_is_a_finding_and_never_a_refusal() {
    let with_mark = [
        b"\xef\xbb\xbf".as_slice(),
        HEAD.replace('\n', "\r\n").as_bytes(),
    ]
    .concat();
    let (status, report) = alone(&with_mark);
    assert_eq!((status, rules(&report).len()), (Some(0), 0), "{report}");
    for bytes in [&b""[..], b"# only\n# comments\n", b"\n\n\n"] {
        let (status, report) = alone(bytes);
        assert_eq!(status, Some(1));
        assert_eq!(rules(&report), ["schema.missing-key"], "{report}");
    }
    let (status, report) = alone(b"[catalog]\nformat = 1\ntitle = \"a\xff\xfeb\"\n");
    assert_eq!(status, Some(1));
    assert!(rules(&report).contains(&"syntax.encoding"), "{report}");
    let (status, _) = alone(b"\xff\xfe[\0c\0");
    assert_eq!(status, Some(1));
    let (status, _) = alone(&[0; 4096]);
    assert_eq!(status, Some(1));
}

#[test]
fn a_huge_line_is_read_and_shown_in_part() {
    let text = format!(
        "{HEAD}[package.mill]\ntitel = \"{}\"\n",
        "x".repeat(3_000_000)
    );
    let at = folder(&[("list.toml", text.as_bytes())]);
    let output = run_in(at.path(), &["audit", "list.toml"]);
    assert_eq!(output.status.code(), Some(1));
    assert!(
        out(&output).contains("titel") && output.stdout.len() < 20_000,
        "{}",
        output.stdout.len()
    );
}

#[test]
fn a_catalog_full_of_what_acts_on_terminals_is_shown_safely() {
    let text = "[catalog]\nformat = 1\ntitle = \"\u{202e}Otter\u{2066} \\u001b[2J\u{200b}\"\n# \u{1b}]0;owned\u{7}\n[package.\"\u{1b}[31m\"]\n\u{202e} = 1 # \u{9b}31m\ntitle = \"a\u{1b}[1mb\"\n";
    let at = folder(&[("list.toml", text.as_bytes())]);
    for arguments in [
        &["--verbose"][..],
        &["--quiet"],
        &["--color", "always"],
        &["--ascii"],
    ] {
        let output = run_in(at.path(), &[&["audit", "list.toml"], arguments].concat());
        assert_eq!(output.status.code(), Some(1));
        let text = out(&output);
        let colours = arguments.contains(&"always");
        for (at, character) in text.char_indices() {
            let color = colours && character == '\u{1b}' && text[at..].starts_with("\u{1b}[");
            let hostile = character.is_control() && character != '\n'
                || matches!(character, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}');
            assert!(color || !hostile, "{character:?} at {at} of\n{text}");
        }
        assert!(!text.contains("\u{1b}[2J") && !text.contains("\u{1b}]"));
    }
}

#[test]
fn ignore_files_are_honoured_and_a_named_file_is_read_all_the_same() {
    let at = folder(&[
        ("catalog.toml", HEAD.as_bytes()),
        (".gitignore", b"drafts/\n*.old.toml\n"),
        ("drafts/a.toml", b"not toml at all"),
        ("b.old.toml", b"nor this"),
        (".hidden/c.toml", b"nor this"),
        ("kept/.ignore", b"d.toml\n"),
        ("kept/d.toml", b"nor this"),
    ]);
    let output = run_in(at.path(), &["audit", ".", "--allow-empty"]);
    assert_eq!(output.status.code(), Some(0), "{}", out(&output));
    for named in ["drafts/a.toml", "kept/d.toml", ".hidden/c.toml"] {
        let output = run_in(at.path(), &["audit", ".", named, "--format", "json"]);
        assert_eq!(output.status.code(), Some(1), "{named}: {}", out(&output));
        assert!(out(&output).contains(named));
    }
}

#[test]
fn paths_are_shown_as_they_were_given_with_forward_slashes() {
    let at = folder(&[("lists/spring/catalog.toml", FAULTY.as_bytes())]);
    for (given, shown) in [
        ("lists", "lists/spring/catalog.toml"),
        ("./lists/spring", "lists/spring/catalog.toml"),
        (".", "lists/spring/catalog.toml"),
    ] {
        let output = run_in(at.path(), &["audit", given, "--format", "json"]);
        let report: serde_json::Value = serde_json::from_str(&out(&output)).unwrap();
        assert_eq!(report["findings"][0]["file"], shown, "{given}");
    }
}

#[test]
fn a_word_that_nobody_reads_is_cut() {
    let nines = "9".repeat(5000);
    let text = format!("{HEAD}\n[compressor.a]\npower = \"{nines} W\"\n");
    let at = folder(&[("catalog.toml", text.as_bytes())]);
    let output = run_in(at.path(), &["audit", "catalog.toml"]);
    assert!(out(&output).contains("999…` is no number that can be"));
    assert!(!out(&output).contains(&nines[..200]));
}

// ---- files made to do harm -----------------------------------------------------------------------

#[test]
fn one_hostile_page_leaves_the_others_judged() {
    let hostile = format!("<p {}>Up to 25 ft deep.</p>", "a=\"\" ".repeat(30_000));
    let at = folder(&[
        ("hostile.html", hostile.as_bytes()),
        (
            "sound.html",
            b"<p>Aerates up to 2 acres and 25 ft deep with 100 W.</p>",
        ),
    ]);
    let output = run_in(
        at.path(),
        &["audit", "hostile.html", "sound.html", "--format", "json"],
    );
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("is JSON");
    let text = report.to_string();
    assert!(text.contains("crowded-tag"), "{text}");
    assert!(text.contains("sheet.unreadable"), "{text}");
    assert!(matches!(output.status.code(), Some(0 | 1)), "{output:?}");
    assert!(err(&output).lines().count() <= 1, "{output:?}");
}

/// Every figure of a sound package in turn is made as great as a number can be.
#[test]
fn nothing_that_isnt_finite_reaches_a_report() {
    let sound = Path::new(env!("CARGO_MANIFEST_DIR")).join("catalog-examples/sound");
    for (old, new) in [
        ("depth = \"1.2 m\"", "depth = \"1e308 m\""),
        ("at = \"0.31 EUR/kWh\"", "at = \"1e308 EUR/kWh\""),
        ("at = \"0.31 EUR/kWh\"", "at = \"1e-300 EUR/kWh\""),
        ("\"6.90 EUR/month\"", "\"1e308 EUR/month\""),
        ("\"30 L/min\"", "\"1e300 L/min\""),
        ("length = \"25 m\"", "length = \"1e308 m\""),
        ("length = \"25 m\"", "length = \"1e-300 m\""),
    ] {
        let at = tempfile::tempdir().unwrap();
        for entry in walkdir::WalkDir::new(&sound).into_iter().flatten() {
            let to = at.path().join(entry.path().strip_prefix(&sound).unwrap());
            if entry.file_type().is_dir() {
                std::fs::create_dir_all(to).unwrap();
            } else {
                std::fs::copy(entry.path(), to).unwrap();
            }
        }
        let file = at.path().join("packages/metric.toml");
        let text = std::fs::read_to_string(&file).unwrap();
        assert!(text.contains(old), "{old}");
        std::fs::write(&file, text.replacen(old, new, 1)).unwrap();
        let output = run_in(at.path(), &["audit", ".", "--format", "json"]);
        let told = out(&output);
        assert_eq!(output.status.code(), Some(1), "{new}: {told}");
        assert!(told.contains("unit.unreadable"), "{new}: {told}");
        let page = out(&run_in(at.path(), &["audit", ".", "--format", "markdown"]));
        for text in [&told, &page] {
            let words = text.split(|c: char| !c.is_ascii_alphanumeric());
            let mut bad = words.filter(|word| matches!(*word, "inf" | "NaN" | "nan"));
            assert_eq!(bad.next(), None, "{new}");
        }
    }
}

/// Each offer of another ID is one search through all of them, so they mayn't grow with the catalog.
#[test]
fn searches_for_the_nearest_id_dont_grow_with_the_catalog() {
    for count in [100, 200, 400] {
        let mut text = HEAD.to_string();
        for number in 0..count {
            text += &format!(
                "[diffuser.disc-{number}]\nreplaced_by = \"dosc-{}\"\n[package.p{number}]\ndiffuser = \"dusc-{number}\"\n",
                (number + 1) % count
            );
        }
        let at = folder(&[("catalog.toml", text.as_bytes())]);
        let told = out(&run_in(at.path(), &["audit", ".", "--format", "json"]));
        let report: serde_json::Value = serde_json::from_str(&told).expect("is JSON");
        let findings = report["findings"].as_array().expect("is a list");
        let of = |rule: &str| -> Vec<&serde_json::Value> {
            let all = findings.iter();
            all.filter(|one| one["rule"] == rule).collect()
        };
        for rule in ["reference.unknown", "identity.replaced-by"] {
            let told = of(rule);
            assert_eq!(told.len(), count, "{rule}: each is told");
            let offered = told
                .iter()
                .filter(|one| one["message"].to_string().contains("nearest ID"));
            assert_eq!(offered.count(), 50, "{rule}");
        }
    }
}

#[test]
fn who_asks_nothing_is_shown_the_commands() {
    let at = folder(&[]);
    let nothing = run_in(at.path(), &[]);
    assert_eq!(nothing.status.code(), Some(2));
    let shown = err(&nothing);
    for command in ["new", "audit", "amend", "gauge", "guide"] {
        assert!(shown.contains(&format!("\n  {command} ")), "{shown}");
    }
    refused(
        &run_in(at.path(), &["new"]),
        "<FOLDER> is missing: nameplate new",
    );
}

/// A misspelt key is one fault, and a key's own word is enough to name it.
#[test]
fn a_misspelt_key_is_told_once() {
    let text = format!(
        "{HEAD}[compressor.c]\ntechnology = \"linear-diaphragm\"\nvoltage = \"230 V\"\nfrequency = \"50 Hz\"\npower = \"40 W\"\nmax_presure = \"24 kPa\"\nopen_flow = \"70 L/min\"\n[package.p]\ncompressor = \"c\"\nclaim.cost = \"7 EUR/month\"\n"
    );
    let at = folder(&[("catalog.toml", text.as_bytes())]);
    let told = out(&run_in(
        at.path(),
        &["audit", ".", "--hear", "schema", "--quiet"],
    ));
    assert!(told.contains("the nearest is `max_pressure`"), "{told}");
    assert!(!told.contains("needs `max_pressure`"), "{told}");
    assert!(told.contains("the nearest is `running_cost`"), "{told}");
}

#[test]
fn a_format_that_there_is_not_is_no_file_name() {
    let folder = folder(&[("catalog.toml", HEAD.as_bytes())]);
    let output = run_in(
        folder.path(),
        &[
            "audit",
            "--allow-empty",
            ".",
            "--output",
            "sarf=report.sarif",
        ],
    );
    refused(
        &output,
        "`sarf` in --output sarf=report.sarif is no format; the formats are",
    );
    let output = run_in(
        folder.path(),
        &[
            "audit",
            "--allow-empty",
            ".",
            "--output",
            "./sarf=report.sarif",
        ],
    );
    assert_eq!(output.status.code(), Some(0), "{}", err(&output));
    assert!(folder.path().join("sarf=report.sarif").exists());
}
