//! Every format shows the same findings, each in its own order of things; the machine formats are held to
//! their schemas, the terminal report to what it looked like when somebody last looked at it.
//!
//! When the look is meant to change, `NAMEPLATE_WRITE=1 cargo test reports` writes `tests/expected` anew; the
//! difference is then for eyes, in version control.

use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

use nameplate::engine::{self, Options, Outcome};
use nameplate::finding::{Finding, Level, Rule, fingerprints, one_writing};
use nameplate::report::terminal::{Detail, Look};
use nameplate::report::{json, sarif, terminal};
use nameplate::text::{FileId, Source, Sources, Span};
use serde_json::Value;
use unicode_width::UnicodeWidthStr;

use super::made::hold;
use super::{catalog_examples, report_baseline, report_sample};
use crate::scratch;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

const USUAL: Look = Look {
    width: 100,
    color: false,
    unicode: true,
    detail: Detail::Usual,
};

/// What the engine finds in a catalog with faults of many kinds.
pub fn audited() -> Outcome {
    let text = r#"
[catalog]
format = 1
title = "Otter Mill Water, faults"

[site]
tariff = "0.21 USD/kWh"

[compressor.linear-38]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "38 W", at = "15 kPa" }
curve = [
  { pressure = "0 kPa", flow = "68 L/min" },
  { pressure = "20 kPa", flow = "38 L/min" },
  { pressure = "32 kPa", flow = "0 L/min" },
]
max_pressure = "24 kPa"

[diffuser.tube-300]
flow = "10 to 45 L/min"

[airline.half]
size = "1/2 in"
bore = "12.7 mm"

[package.mill-deep]
compressor = "linear-38"
diffuser = { part = "tube-300", count = 3 }
manifold = "two-wey"

[package.mill-deep.claim]
depth = "2.9 m"
aera = "1 acre"
running_cost = "4.00 USD/month"
sound = "40 dB"
warranty = "2 year"

[[package.mill-deep.option]]
id = "with-airline"
airline = { part = "half", length = "40 m", count = 3 }

[[waiver]]
rule = "claim.running-cost"
on = "package.mill-deep"
reason = "the sample shows it"
until = 2027-01-01
"#;
    let input = scratch::alone("faults.toml", text);
    let options = Options {
        as_of: Some("2026-05-02".into()),
        ask: true,
        heard: engine::Heard {
            only: Vec::new(),
            silent: vec!["packing".into()],
        },
        ..Default::default()
    };
    let outcome = engine::audit(vec![input], &options);
    assert!(outcome.findings.len() >= 4 && outcome.summary.waived == 1);
    outcome
}

pub fn parsed(text: &str) -> Value {
    serde_json::from_str(text).expect("is JSON")
}

// ---- every format shows the same -----------------------------------------------------------------

/// Rule, level, file, line, column of a finding.
type Told = (String, String, String, u64, u64);

fn in_json(outcome: &Outcome) -> Vec<Told> {
    let report = parsed(&json::render(outcome));
    let rows = report["findings"].as_array().unwrap().iter();
    rows.map(|row| {
        let word = |key: &str| row[key].as_str().unwrap().to_string();
        let number = |key: &str| row[key].as_u64().unwrap();
        (
            word("rule"),
            word("level"),
            word("file"),
            number("line"),
            number("column"),
        )
    })
    .collect()
}

fn in_sarif(outcome: &Outcome) -> Vec<Told> {
    let report = parsed(&sarif::render(outcome));
    let run = &report["runs"][0];
    let rows = run["results"].as_array().unwrap().iter();
    rows.map(|row| {
        let place = &row["locations"][0]["physicalLocation"];
        let rule = row["ruleId"].as_str().unwrap().to_string();
        if let Some(index) = row["ruleIndex"].as_u64() {
            assert_eq!(
                run["tool"]["driver"]["rules"][index as usize]["id"],
                row["ruleId"]
            );
        }
        let uri = place["artifactLocation"]["uri"].as_str().unwrap();
        (
            rule,
            row["level"].as_str().unwrap().to_string(),
            uri.to_string(),
            place["region"]["startLine"].as_u64().unwrap(),
            place["region"]["startColumn"].as_u64().unwrap(),
        )
    })
    .collect()
}

/// The terminal report is grouped by what findings are about, so the order isn't compared.
fn in_terminal(outcome: &Outcome) -> BTreeSet<(String, String, u64, u64)> {
    let look = Look {
        width: 160,
        detail: Detail::All,
        ..USUAL
    };
    let text = terminal::render(outcome, look);
    let mut told = BTreeSet::new();
    for line in text.lines() {
        let Some((place, rule)) = line
            .split_once(" · ")
            .filter(|_| line.starts_with(" where"))
        else {
            continue;
        };
        let place: Vec<&str> = place
            .trim_start_matches(" where")
            .trim()
            .split(", ")
            .collect();
        let number = |part: &str| part.split(' ').nth(1).unwrap().parse().unwrap();
        let rule = rule.split(',').next().unwrap().to_string();
        told.insert((
            rule,
            place[0].to_string(),
            number(place[1]),
            number(place[2]),
        ));
    }
    told
}

#[test]
fn every_format_shows_the_same_findings() {
    let all = [report_sample::outcome(), audited()].into_iter();
    for outcome in all.chain(catalog_examples::outcomes()) {
        let told = in_json(&outcome);
        assert_eq!(told.len(), outcome.findings.len());
        assert_eq!(told, in_sarif(&outcome));
        let places: BTreeSet<_> = told
            .iter()
            .map(|(rule, _, file, line, column)| (rule.clone(), file.clone(), *line, *column))
            .collect();
        assert_eq!(places, in_terminal(&outcome));
        let text = terminal::render(&outcome, USUAL);
        let flat: String = text.split_whitespace().collect::<Vec<_>>().join(" ");
        for finding in &outcome.findings {
            let shown = terminal::safe(&finding.message).into_owned();
            assert!(flat.contains(&shown), "{shown} isn't in\n{text}");
        }
    }
}

#[test]
fn the_table_of_grades_holds_every_verdict_in_every_width() {
    for outcome in [report_sample::outcome(), audited()] {
        for width in [60, 80, 100, 120, 160] {
            for detail in [Detail::Usual, Detail::All] {
                let look = Look {
                    width,
                    detail,
                    ..USUAL
                };
                let text = terminal::render(&outcome, look);
                // The tables, without what was found before them.
                let tables = text.split_once("  promise ").unwrap().1;
                for verdict in &outcome.verdicts {
                    let claim = verdict.claim.as_str();
                    let mut words = claim.split('-');
                    assert!(
                        words.all(|word| tables.contains(word)),
                        "{claim} isn't in\n{tables}"
                    );
                }
            }
        }
    }
}

// ---- the machine formats and their schemas --------------------------------------------------------

pub fn check(schema: &Value, instance: &Value) {
    let validator = jsonschema::validator_for(schema).expect("is a schema");
    let faults: Vec<String> = validator
        .iter_errors(instance)
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Marks every property of the schema that the instance has.
fn visit(schema: &Value, root: &Value, instance: &Value, path: &str, seen: &mut BTreeSet<String>) {
    if let Some(name) = schema["$ref"].as_str() {
        let name = name.trim_start_matches("#/$defs/");
        visit(&root["$defs"][name], root, instance, name, seen);
    }
    for choice in schema["anyOf"].as_array().into_iter().flatten() {
        visit(choice, root, instance, path, seen);
    }
    if let (Some(properties), Some(object)) =
        (schema["properties"].as_object(), instance.as_object())
    {
        for (key, inner) in properties {
            if let Some(value) = object.get(key) {
                let path = format!("{path}/{key}");
                visit(inner, root, value, &path, seen);
                seen.insert(path);
            }
        }
    }
    for item in instance.as_array().into_iter().flatten() {
        visit(&schema["items"], root, item, path, seen);
    }
}

/// Every property of the schema, and every object of it that is open.
fn listed(schema: &Value, path: &str, all: &mut BTreeSet<String>, open: &mut Vec<String>) {
    if let Some(properties) = schema["properties"].as_object() {
        if schema["additionalProperties"] != Value::Bool(false) {
            open.push(path.to_string());
        }
        for (key, inner) in properties {
            let path = format!("{path}/{key}");
            listed(inner, &path, all, open);
            all.insert(path);
        }
    }
    for choice in schema["anyOf"].as_array().into_iter().flatten() {
        listed(choice, path, all, open);
    }
    if schema["items"].is_object() {
        listed(&schema["items"], path, all, open);
    }
}

#[test]
fn the_json_report_and_its_schema_agree_both_ways() {
    let schema = parsed(json::SCHEMA);
    assert!(jsonschema::meta::is_valid(&schema));
    let (mut all, mut open) = (BTreeSet::new(), Vec::new());
    listed(&schema, "", &mut all, &mut open);
    for (name, inner) in schema["$defs"].as_object().unwrap() {
        listed(inner, name, &mut all, &mut open);
    }
    assert!(all.len() > 80, "{}", all.len());
    assert!(open.is_empty(), "these let unlisted keys in: {open:?}");
    let mut seen = BTreeSet::new();
    let mut recorded = report_sample::outcome();
    let line = engine::Recorded {
        catalog: "otter".into(),
        package: "mill-pair".into(),
        option: None,
        claim: "depth".into(),
        stated: "4 m".into(),
        verdict: "supported".into(),
        within_rating: Some(true),
        weakest_mark: "judgement".into(),
        facts: "0123456789abcdef".into(),
        program: "0.1.0".into(),
        rulebook: "1".into(),
    };
    recorded.record = Some(engine::Kept {
        lines: vec![line.clone()],
        changes: vec![engine::Change {
            was: Some(line.clone()),
            is: Some(line),
            cause: engine::Cause::Program,
        }],
    });
    for outcome in [
        report_sample::outcome(),
        recorded,
        audited(),
        crate::sheets::everything(),
        crate::sheets::paged(),
        report_baseline::compared(),
        Outcome {
            partial: Some(engine::Partial {
                since: "main".into(),
                packages: 7,
                sheets: 1,
                standing: 3,
            }),
            ..report_sample::outcome()
        },
    ] {
        let report = parsed(&json::render(&outcome));
        check(&schema, &report);
        visit(&schema, &schema, &report, "", &mut seen);
    }
    let unseen: Vec<&String> = all.difference(&seen).collect();
    assert!(unseen.is_empty(), "no report has {unseen:?}");
    let validator = jsonschema::validator_for(&schema).unwrap();
    for outcome in catalog_examples::outcomes() {
        let report = parsed(&json::render(&outcome));
        let faults: Vec<String> = validator
            .iter_errors(&report)
            .map(|one| one.to_string())
            .collect();
        assert!(faults.is_empty(), "{faults:?}");
    }
}

#[test]
fn a_key_that_is_not_listed_is_seen() {
    let schema = parsed(json::SCHEMA);
    let validator = jsonschema::validator_for(&schema).unwrap();
    let mut report = parsed(&json::render(&report_sample::outcome()));
    assert!(validator.is_valid(&report));
    report["findings"][0]["extra"] = Value::Bool(true);
    assert!(!validator.is_valid(&report));
    report["findings"][0]
        .as_object_mut()
        .unwrap()
        .remove("extra");
    assert!(validator.is_valid(&report));
    report["verdicts"][0]["verdict"] = Value::String("likely".into());
    assert!(!validator.is_valid(&report));
}

/// The standard's schema as OASIS publishes it (draft-07), which the crate `serde-sarif` brings along.
pub fn sarif_schema() -> Value {
    let run = |program: &str, arguments: &[&str]| {
        let output = Command::new(program)
            .args(arguments)
            .current_dir(root())
            .output()
            .expect("runs");
        assert!(
            output.status.success(),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
        String::from_utf8(output.stdout).unwrap()
    };
    let rustc = std::env::var("RUSTC").unwrap_or_else(|_| "rustc".into());
    let host = run(&rustc, &["-vV"]);
    let host = host
        .lines()
        .find_map(|line| line.strip_prefix("host: "))
        .unwrap();
    let metadata = run(
        env!("CARGO"),
        &[
            "metadata",
            "--locked",
            "--format-version",
            "1",
            "--filter-platform",
            host,
        ],
    );
    let metadata = parsed(&metadata);
    let manifest = metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .find(|package| package["name"] == "serde-sarif")
        .and_then(|package| package["manifest_path"].as_str())
        .expect("is a dependency");
    let path = Path::new(manifest)
        .with_file_name("src")
        .join("schema.json");
    let mut schema = parsed(&std::fs::read_to_string(path).expect("comes with the crate"));
    // The pattern of a language has a bracket too many, which a strict reader of patterns refuses. No report
    // of ours names a language.
    for holder in ["run", "toolComponent"] {
        let language = &mut schema["definitions"][holder]["properties"]["language"];
        let pattern = language
            .as_object_mut()
            .expect("is there")
            .remove("pattern");
        assert_eq!(
            pattern,
            Some("^[a-zA-Z]{2}|^[a-zA-Z]{2}-[a-zA-Z]{2}]?$".into())
        );
    }
    schema
}

#[test]
fn the_sarif_report_is_valid_by_the_schema_of_oasis() {
    let schema = sarif_schema();
    assert_eq!(
        schema["title"],
        "Static Analysis Results Format (SARIF) Version 2.1.0 JSON Schema"
    );
    let all = [report_sample::outcome(), audited()].into_iter();
    let validator = jsonschema::validator_for(&schema).unwrap();
    for outcome in all.chain(catalog_examples::outcomes()) {
        let log = parsed(&sarif::render(&outcome));
        let faults: Vec<String> = validator
            .iter_errors(&log)
            .map(|one| one.to_string())
            .collect();
        assert!(faults.is_empty(), "{faults:?}");
    }
    // The check itself: a log without a version, and a level that isn't one.
    let mut log = parsed(&sarif::render(&report_sample::outcome()));
    log["runs"][0]["results"][0]["level"] = Value::String("grave".into());
    assert!(!validator.is_valid(&log));
}

#[test]
fn lines_and_bytes_of_a_sarif_region_name_the_same_text() {
    let outcome = report_sample::outcome();
    let log = parsed(&sarif::render(&outcome));
    let mut checked = 0;
    for result in log["runs"][0]["results"].as_array().unwrap() {
        let related = result["relatedLocations"].as_array().into_iter().flatten();
        let places = result["locations"]
            .as_array()
            .unwrap()
            .iter()
            .chain(related);
        for place in places {
            let place = &place["physicalLocation"];
            let name = place["artifactLocation"]["uri"].as_str().unwrap();
            let source = outcome
                .sources
                .iter()
                .find(|(_, source)| source.name() == name);
            let text = source.expect("is one of them").1.text();
            let number = |key: &str| place["region"][key].as_u64().unwrap() as usize;
            let by_bytes = &text[number("byteOffset")..number("byteOffset") + number("byteLength")];
            // Lines and characters counted the plain way; a byte-order mark is no character.
            let lines: Vec<&str> = text.trim_start_matches('\u{feff}').split('\n').collect();
            assert_eq!(number("startLine"), number("endLine"));
            let line: Vec<char> = lines[number("startLine") - 1].chars().collect();
            let by_lines: String = line[number("startColumn") - 1..number("endColumn") - 1]
                .iter()
                .collect();
            assert_eq!(by_lines, by_bytes);
            checked += 1;
        }
    }
    assert!(checked >= 8);
}

#[test]
fn every_rule_is_listed_in_a_sarif_report_with_its_help() {
    let log = parsed(&sarif::render(&audited()));
    let listed = log["runs"][0]["tool"]["driver"]["rules"]
        .as_array()
        .unwrap();
    let names: Vec<&str> = listed
        .iter()
        .map(|rule| rule["id"].as_str().unwrap())
        .collect();
    let rules: Vec<&str> = nameplate::rules::rules().map(|rule| rule.name).collect();
    assert_eq!(names, rules);
    let on_page = |rule: &&Value| {
        rule["help"]["markdown"]
            .as_str()
            .is_some_and(|help| help.contains("### The promise"))
    };
    // A family whose page isn't written yet has its rules' one line.
    assert!(listed.iter().filter(on_page).count() >= 10);
    assert!(
        listed
            .iter()
            .all(|rule| !rule["help"]["text"].as_str().unwrap().is_empty())
    );
}

// ---- fingerprints --------------------------------------------------------------------------------

static RULE: Rule = Rule {
    name: "claim.area",
    level: Level::Error,
    speaks: "a rule of this test",
};

fn prints(text: &str, on: &str) -> Vec<String> {
    let mut sources = Sources::default();
    sources.add(Source::new("a.toml", text.into()));
    let findings: Vec<Finding> = text
        .match_indices("\"600 m2\"")
        .map(|(at, figure)| {
            let at = Span::new(FileId(0), at, at + figure.len());
            Finding::new(&RULE, at, "Says it.").on(on)
        })
        .collect();
    let findings: Vec<Finding> = findings
        .into_iter()
        .map(|mut finding| {
            finding.identity.text = one_writing(sources.slice(finding.at));
            finding
        })
        .collect();
    fingerprints(&findings)
}

#[test]
fn a_fingerprint_survives_moved_lines_and_changes_with_the_figure() {
    let one = prints("area = \"600 m2\"", "package.a");
    assert_eq!(one.len(), 1);
    assert_eq!(
        one,
        prints("# new\n\n\narea =    \"600 m2\" # more", "package.a")
    );
    assert_ne!(one, prints("area = \"600 m2\"", "package.b"));
    let two = prints("area = \"600 m2\"\narea = \"600 m2\"", "package.a");
    assert_eq!(two[0], one[0]);
    assert_ne!(two[0], two[1]);
}

// ---- the terminal report -------------------------------------------------------------------------

fn expect(name: &str, text: &str) {
    hold(&format!("tests/expected/{name}"), text);
}

#[test]
fn the_terminal_report_looks_as_it_did() {
    let outcome = report_sample::outcome();
    let render = |look: Look| terminal::render(&outcome, look);
    expect(
        "terminal-130.txt",
        &render(Look {
            width: 130,
            ..USUAL
        }),
    );
    expect("terminal-80.txt", &render(Look { width: 80, ..USUAL }));
    let ascii = Look {
        width: 80,
        unicode: false,
        detail: Detail::All,
        ..USUAL
    };
    expect("terminal-80-ascii-verbose.txt", &render(ascii));
    let quiet = Look {
        detail: Detail::Lines(Level::Error),
        ..USUAL
    };
    expect("terminal-quiet.txt", &render(quiet));
}

#[test]
fn nothing_of_the_input_acts_on_the_terminal() {
    let hostile = |c: char| {
        (c.is_control() && c != '\n')
            || matches!(c, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{ad}')
    };
    for outcome in [report_sample::outcome(), audited()] {
        for detail in [Detail::Lines(Level::Error), Detail::Usual, Detail::All] {
            for unicode in [true, false] {
                let look = Look {
                    unicode,
                    detail,
                    ..USUAL
                };
                let text = terminal::render(&outcome, look);
                assert_eq!(text.find(hostile), None, "{text}");
                assert!(unicode || text.is_ascii());
                // Colours are the only escape sequences, and taking them out gives the same text.
                let colored = terminal::render(
                    &outcome,
                    Look {
                        color: true,
                        ..look
                    },
                );
                assert!(colored.contains('\u{1b}'));
                assert_eq!(without_colors(&colored), text);
            }
        }
    }
}

/// `text` without `ESC [ digits and semicolons m`.
fn without_colors(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find("\u{1b}[") {
        plain.push_str(&rest[..at]);
        let after = &rest[at + 2..];
        let end = after.find('m').expect("ends");
        assert!(after[..end].chars().all(|c| c.is_ascii_digit() || c == ';'));
        rest = &after[end + 1..];
    }
    plain + rest
}

#[test]
fn no_line_is_wider_than_the_page() {
    for outcome in [report_sample::outcome(), audited()] {
        for width in [60, 66, 80, 100, 130] {
            for detail in [Detail::Usual, Detail::All] {
                let text = terminal::render(
                    &outcome,
                    Look {
                        width,
                        detail,
                        ..USUAL
                    },
                );
                for line in text.lines() {
                    assert!(line.width() <= width, "{width}: {line}");
                }
            }
        }
    }
}

/// A frame costs the same at the end of a long text as at its start, and a long line is cut.
#[test]
fn long_texts_and_long_lines_are_shown_in_part() {
    let line = "x".repeat(200_000);
    let text = format!(
        "a = \"{line}\"\n{}b = \"end\"\n",
        "# filler\n".repeat(200_000)
    );
    let mut sources = Sources::default();
    sources.add(Source::new("long.toml", text.clone().into()));
    let middle = 100_000;
    let spans = [
        Span::new(FileId(0), 4, text.find('\n').unwrap()),
        Span::new(FileId(0), middle, middle + 5),
        Span::new(FileId(0), text.len() - 10, text.len() - 1),
        Span::new(FileId(0), text.len(), text.len() + 99),
    ];
    let findings = spans.map(|at| Finding::new(&RULE, at, "Says it.").on("catalog"));
    let sample = report_sample::outcome();
    let outcome = Outcome {
        findings: findings.to_vec(),
        verdicts: Vec::new(),
        sources,
        catalogs: sample.catalogs[..1]
            .iter()
            .cloned()
            .map(|catalog| engine::Audited {
                verdicts: 0..0,
                ..catalog
            })
            .collect(),
        ..sample
    };
    let began = std::time::Instant::now();
    let text = terminal::render(&outcome, USUAL);
    assert!(began.elapsed().as_secs() < 5, "{:?}", began.elapsed());
    assert!(text.len() < 10_000, "{}", text.len());
    assert!(text.contains("b = \"end\"") && text.contains("…xxx") && text.contains("xxx…"));
    assert!(text.contains("line 1, column 100001"), "{text}");
    assert!(text.lines().all(|line| line.width() <= 100));
}
