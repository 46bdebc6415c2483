//! Holds `catalog-examples/` to what its files say of themselves.
//!
//! The sound catalogs have no error and no warning. In a faulty one a marker `# here: RULE` on the
//! line after a value says that this rule speaks at the line before it; errors and warnings must
//! be those marked, no more and no fewer. A note needn't be marked, but a marked one must be there.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use crate::scratch;
use nameplate::catalog::{self, File, fields};
use nameplate::document::{self, ProblemKind};
use nameplate::engine::{self, Options, Outcome};
use nameplate::finding::Level;
use nameplate::rules;
use nameplate::text::{FileId, Source};

/// Rules that no example shows, because they ask about more than files: `sheet.stale` wants an earlier state, and
/// the family's page shows it. One that is shown must leave this list.
const NOT_SHOWN: &[&str] = &["sheet.stale"];

/// Every TOML file and spec sheet below a folder of the examples, by its path from the repository's root.
pub fn files(folder: &str) -> Vec<(String, Vec<u8>)> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let below = root.join("catalog-examples").join(folder);
    let found: Vec<(String, Vec<u8>)> = walkdir::WalkDir::new(&below)
        .sort_by_file_name()
        .into_iter()
        .map(|entry| entry.unwrap().into_path())
        .filter(|path| {
            let is_toml = path.extension().is_some_and(|ext| ext == "toml");
            is_toml || engine::is_sheet(&path.to_string_lossy())
        })
        .map(|path: PathBuf| {
            let name = path.strip_prefix(root).unwrap().to_string_lossy();
            (name.replace('\\', "/"), std::fs::read(&path).unwrap())
        })
        .collect();
    assert!(!found.is_empty(), "{} holds nothing", below.display());
    found
}

/// Those of the files that are a catalog's.
fn of_catalogs(files: Vec<(String, Vec<u8>)>) -> Vec<(String, Vec<u8>)> {
    files
        .into_iter()
        .filter(|(path, _)| path.ends_with(".toml"))
        .collect()
}

fn audit(files: &[(String, Vec<u8>)]) -> Outcome {
    let inputs = files
        .iter()
        .map(|(path, bytes)| scratch::input(path.clone(), bytes.clone()));
    engine::audit(inputs.collect(), &as_of())
}

/// Every example on its own, audited: each folder and file under `catalog-examples` that holds a catalog.
pub fn outcomes() -> Vec<Outcome> {
    let mut groups: std::collections::BTreeMap<String, Vec<(String, Vec<u8>)>> = Default::default();
    for folder in ["sound", "faulty"] {
        for (path, bytes) in files(folder) {
            // A folder of its own is one example, and so is a file beside others.
            let inside = path.trim_start_matches("catalog-examples/");
            let mut parts = inside.split('/');
            let (first, second) = (parts.next().unwrap(), parts.next().unwrap());
            let group = if first == "sound" { first } else { second };
            groups
                .entry(group.to_string())
                .or_default()
                .push((path, bytes));
        }
    }
    assert!(groups.len() > 80, "{} examples", groups.len());
    groups.values().map(|files| audit(files)).collect()
}

/// The day waivers are held to: the tests look at no calendar.
fn as_of() -> Options {
    Options {
        as_of: Some("2026-07-01".into()),
        ..Default::default()
    }
}

/// File, line and rule.
type Spoken = (String, usize, String);

/// What the markers of these files announce.
fn announced(files: &[(String, Vec<u8>)]) -> BTreeSet<Spoken> {
    let mut all = BTreeSet::new();
    for (path, bytes) in files {
        let text = String::from_utf8_lossy(bytes);
        for (before, line) in text.lines().enumerate() {
            let line = line.trim();
            let in_prose = || line.strip_prefix("<!-- here: ")?.strip_suffix(" -->");
            let Some(rules) = line.strip_prefix("# here: ").or_else(in_prose) else {
                continue;
            };
            for rule in rules.split(',') {
                all.insert((path.clone(), before, rule.trim().to_string()));
            }
        }
    }
    all
}

/// How the findings differ from the markers; empty where they agree.
fn differences(files: &[(String, Vec<u8>)]) -> Vec<String> {
    let outcome = audit(files);
    let announced = announced(files);
    let mut spoken: BTreeMap<Spoken, (usize, Level, String)> = BTreeMap::new();
    // What a waiver accepts doesn't count.
    let counting = outcome.findings.iter().filter(|one| one.waived.is_none());
    for finding in counting {
        let place = outcome.sources.position(finding.at);
        let path = outcome.sources.get(finding.at.file).name().to_string();
        let key = (path, place.line, finding.rule.name.to_string());
        let entry = spoken
            .entry(key)
            .or_insert((0, finding.level, finding.message.clone()));
        entry.0 += 1;
        entry.1 = entry.1.max(finding.level);
    }
    let mut all = Vec::new();
    for one in &announced {
        match spoken.get(one) {
            None => all.push(format!("{}:{}: {} doesn't speak", one.0, one.1, one.2)),
            Some((count, ..)) if *count > 1 => {
                all.push(format!(
                    "{}:{}: {} speaks {count} times",
                    one.0, one.1, one.2
                ));
            }
            Some(_) => {}
        }
    }
    for (one, (_, level, message)) in &spoken {
        if *level > Level::Note && !announced.contains(one) {
            all.push(format!("{}:{}: {level} {}: {message}", one.0, one.1, one.2));
        }
    }
    all
}

/// The bytes of one of `files` with `from` replaced by `to`, which must stand there once.
fn changed(
    files: &[(String, Vec<u8>)],
    path: &str,
    from: &str,
    to: &str,
) -> Vec<(String, Vec<u8>)> {
    let mut files = files.to_vec();
    let (_, bytes) = files.iter_mut().find(|(name, _)| name == path).unwrap();
    let text = String::from_utf8(bytes.clone()).unwrap();
    assert_eq!(text.matches(from).count(), 1, "{path}: {from}");
    *bytes = text.replace(from, to).into_bytes();
    files
}

#[test]
fn the_sound_catalogs_are_clean() {
    let files = files("sound");
    assert!(announced(&files).is_empty());
    assert_eq!(differences(&files), Vec::<String>::new());
    let outcome = audit(&files);
    assert!(outcome.summary.packages >= 10);
    let [supported, undecided, contradicted, _] = outcome.summary.verdicts;
    assert_eq!(contradicted, 0);
    assert!(supported + undecided > 40, "{:?}", outcome.summary);
}

/// A test of cleanliness that can't fail would be worth nothing.
#[test]
fn a_sound_catalog_with_one_figure_changed_is_not_clean() {
    let files = files("sound");
    let metric = "catalog-examples/sound/packages/metric.toml";
    let changes = [
        (
            metric,
            "depth = \"1.8 m\"\n",
            "depth = \"18 m\"\n",
            "claim.depth",
        ),
        (
            metric,
            "area = \"3000 m2\"",
            "area = \"90000 m2\"",
            "claim.area",
        ),
        (
            metric,
            "35 EUR/month",
            "3.5 EUR/month",
            "claim.running-cost",
        ),
        (metric, "\"six-way\"", "\"two-way\"", "kit.valves"),
        (
            "catalog-examples/sound/parts/blowers.toml",
            "is = \"750 W\"",
            "is = \"75 W\"",
            "power.impossible",
        ),
        (
            "catalog-examples/sound/highland/packages.toml",
            "compressor = \"piston-300\"",
            "compressor = \"piston-30\"",
            "reference.unknown",
        ),
    ];
    for (path, from, to, rule) in changes {
        let differences = differences(&changed(&files, path, from, to));
        assert!(
            differences.iter().any(|one| one.contains(rule)),
            "{from} -> {to}: {differences:?}"
        );
    }
}

#[test]
fn the_sound_catalogs_show_what_the_format_has() {
    let files = files("sound");
    let text: String = files
        .iter()
        .map(|(_, bytes)| String::from_utf8(bytes.clone()).unwrap())
        .collect();
    for shown in [
        "linear-diaphragm",
        "rocking-piston",
        "rotary-vane",
        "regenerative-blower",
        "allows = [",
        "trunk = {",
        "segments = [",
        "per_run = 2",
        "depth = \"2.3 m\", run",
        "altitude = \"1500 m\"",
        "[\"7 ft\", \"2.1 m\"]",
        "per = \"diffuser\"",
        "USD/kWh",
        "EUR/kWh",
    ] {
        assert!(text.contains(shown), "nothing shows {shown}");
    }
    // Every kind of part is there, and each file says in its first lines what it teaches.
    for kind in catalog::Kind::PARTS {
        let table = kind.table();
        assert!(text.contains(&format!("\n[{table}.")), "no {table}");
        assert!(fields::ROOT.field(table).is_some());
    }
    for (path, bytes) in &of_catalogs(files) {
        let text = String::from_utf8_lossy(bytes);
        let opening: Vec<&str> = text.lines().take(3).collect();
        assert!(
            opening[0].starts_with("#:schema ") && opening[2].starts_with("# "),
            "{path}"
        );
    }
}

#[test]
fn each_faulty_catalog_has_the_faults_it_marks_and_no_others() {
    assert_eq!(differences(&files("faulty")), Vec::<String>::new());
}

/// The two ways in which a faulty catalog can be wrong about itself.
#[test]
fn a_marker_too_few_or_too_many_is_seen() {
    let files = files("faulty");
    let path = "catalog-examples/faulty/too-deep-for-a-linear.toml";
    let without = changed(&files, path, "# here: claim.depth\n", "");
    assert!(
        differences(&without)
            .iter()
            .any(|one| one.contains("error claim.depth"))
    );
    let other = changed(
        &files,
        path,
        "# here: claim.depth\n",
        "# here: claim.area\n",
    );
    let seen = differences(&other);
    assert!(
        seen.iter()
            .any(|one| one.contains("claim.area doesn't speak")),
        "{seen:?}"
    );
    let mended = changed(&files, path, "depth = \"2.2 m\"", "depth = \"0.9 m\"");
    let seen = differences(&mended);
    assert!(
        seen.iter()
            .any(|one| one.contains("claim.depth doesn't speak")),
        "{seen:?}"
    );
}

#[test]
fn every_rule_that_can_speak_is_shown() {
    let shown: BTreeSet<String> = announced(&files("faulty"))
        .into_iter()
        .map(|(_, _, rule)| rule)
        .collect();
    for rule in rules::rules() {
        let exempt = NOT_SHOWN.contains(&rule.name);
        assert_ne!(shown.contains(rule.name), exempt, "{}", rule.name);
    }
    for rule in shown
        .iter()
        .map(String::as_str)
        .chain(NOT_SHOWN.iter().copied())
    {
        assert!(rules::rule(rule).is_some(), "there is no rule {rule}");
    }
}

#[test]
fn each_faulty_catalog_says_first_what_it_shows() {
    for (path, bytes) in of_catalogs(files("faulty")) {
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let text = text.trim_start_matches('\u{feff}');
        let opening: String = text
            .lines()
            .take_while(|line| line.starts_with("# "))
            .map(|line| line[1..].trim_end().to_string())
            .collect();
        assert!(opening.ends_with('.'), "{path}: {opening}");
        let sentences = opening.matches(['.', '?', '!']).count();
        assert!((1..=3).contains(&sentences), "{path}: {opening}");
    }
}

/// Lines that occur more than once.
fn doubled(lines: impl IntoIterator<Item = usize>) -> Vec<usize> {
    let mut counts = BTreeMap::new();
    for line in lines {
        *counts.entry(line).or_insert(0) += 1;
    }
    let twice = counts.into_iter().filter(|(_, count)| *count > 1);
    twice.map(|(line, _)| line).collect()
}

/// A file is read while it is typed: whatever its first bytes are, nothing panics, and a damaged
/// place is told once.
#[test]
fn every_beginning_of_every_example_is_read() {
    let mut all = files("sound");
    all.extend(files("faulty"));
    for (path, bytes) in &of_catalogs(all) {
        let alone = [File {
            path: path.clone(),
            alone: true,
            borrowed: false,
        }];
        for end in 0..=bytes.len() {
            let source = Source::new(path.clone(), bytes[..end].to_vec());
            let documents = [document::read(FileId(0), &source)];
            let problems = documents[0].problems().iter();
            // That more is wrong than is listed is no fault of a place.
            let lines = problems
                .filter(|problem| problem.kind != ProblemKind::Limit)
                .map(|problem| source.position(problem.span.start as usize).line);
            let twice = doubled(lines);
            assert!(
                twice.is_empty(),
                "{path}, {end} bytes: twice at lines {twice:?}"
            );
            let gathered = catalog::gather(&alone, &documents);
            assert_eq!(gathered.catalogs.len(), 1, "{path}, {end} bytes");
        }
    }
}

/// The same through the whole of the program, at every end of a line and in the middle of it: the
/// duty points take too long for every byte.
#[test]
fn cut_off_examples_are_audited() {
    for (path, bytes) in of_catalogs(files("faulty")) {
        let ends = bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n');
        let mut start = 0;
        for (end, _) in ends {
            for cut in [end, start + (end - start) / 2] {
                let input = scratch::alone(path.clone(), bytes[..cut].to_vec());
                let outcome = engine::audit(vec![input], &as_of());
                assert_eq!(outcome.summary.catalogs, 1, "{path}, {cut} bytes");
            }
            start = end + 1;
        }
    }
}

#[test]
fn a_place_told_twice_would_be_seen() {
    assert_eq!(doubled([4, 7, 4, 9]), [4]);
    let source = Source::new("two.toml", b"depth = \"1 m\nrun = 3 m\n".to_vec());
    let document = document::read(FileId(0), &source);
    let problems = document.problems().iter();
    let lines: Vec<usize> = problems
        .map(|problem| source.position(problem.span.start as usize).line)
        .collect();
    assert_eq!(lines, [1, 2]);
}
