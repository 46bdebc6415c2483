//! What a run is told beside its files: levels, which rules are heard, what to ask whom, and which documents
//! are there.

use std::collections::BTreeSet;

use nameplate::claims::Outcome as Verdict;
use nameplate::engine::{self, Heard, Input, Options, Outcome};
use nameplate::finding::Level;
use tempfile::TempDir;

use crate::catalog_examples;
use crate::scratch::{self, run};

/// A catalog with an error, a warning, a note and an undecided claim within the rating.
const CATALOG: &str = r#"[catalog]
format = 1
title = "Otter Mill Water"

[compressor.linear-44]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "44 W", at = "14 kPa" }
max_pressure = "24 kPa"
curve = [
  { pressure = "0 kPa", flow = "74 L/min" },
  { pressure = "14 kPa", flow = "51 L/min" },
  { pressure = "22 kPa", flow = "35 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]

[diffuser.disc-220]
flow = "10 to 60 L/min"
check_valve = true
gtin = "9520381333938"

[airline.half]
size = "1/2 in"

[airline.left-over]
size = "3/8 in"

[package.garden]
compressor = "linear-44"
diffuser = "disc-220"
above_water = true

[package.garden.claim]
depth = "1.4 m"
area = "250 m2"

[[package.garden.option]]
id = "with-airline"
airline = { part = "half", length = "20 m" }
"#;

fn input(path: &str, text: &str, alone: bool) -> Input {
    Input {
        path: path.into(),
        bytes: text.as_bytes().to_vec(),
        alone,
        borrowed: false,
    }
}

fn audit(text: &str, options: &Options) -> Outcome {
    engine::audit(vec![input("a.toml", text, true)], options)
}

fn spoken(outcome: &Outcome) -> Vec<(&'static str, Level)> {
    let findings = outcome.findings.iter();
    findings.map(|one| (one.rule.name, one.level)).collect()
}

fn with(levels: &[(&str, Option<Level>)]) -> Options {
    Options {
        levels: levels
            .iter()
            .map(|(name, level)| ((*name).to_string(), *level))
            .collect(),
        ..Options::default()
    }
}

#[test]
fn the_catalog_says_what_it_is_made_for() {
    let outcome = audit(CATALOG, &Options::default());
    assert_eq!(
        spoken(&outcome),
        [
            ("identity.check-digit", Level::Error),
            ("reference.unused", Level::Note),
            ("kit.intake-filter", Level::Warning),
        ]
    );
    let area = outcome
        .verdicts
        .iter()
        .find(|one| one.claim.as_str() == "area")
        .unwrap();
    assert_eq!(
        (area.outcome, area.within_rating),
        (Verdict::Undecided, Some(true))
    );
}

#[test]
fn a_run_sets_levels_over_the_catalogs() {
    let set =
        format!("{CATALOG}\n[level]\n\"kit.intake-filter\" = \"error\"\nidentity = \"warning\"\n");
    let level = |options: &Options, rule: &str| {
        let outcome = audit(&set, options);
        let found = spoken(&outcome).into_iter().find(|(name, _)| *name == rule);
        found.map(|(_, level)| level)
    };
    let none = Options::default();
    assert_eq!(level(&none, "kit.intake-filter"), Some(Level::Error));
    assert_eq!(level(&none, "identity.check-digit"), Some(Level::Warning));
    // A family set by the run counts before a rule that the catalog set.
    let run = with(&[("kit", Some(Level::Note)), ("identity.check-digit", None)]);
    assert_eq!(level(&run, "kit.intake-filter"), Some(Level::Note));
    assert_eq!(level(&run, "identity.check-digit"), None);
}

#[test]
fn undecided_claims_within_the_rating_are_heard_on_demand() {
    let options = with(&[("claim.area.undecided", Some(Level::Note))]);
    let outcome = audit(CATALOG, &options);
    assert!(spoken(&outcome).contains(&("claim.area", Level::Note)));
    let family = with(&[
        ("claim.area.undecided", Some(Level::Note)),
        ("claim.area.undecided", None),
    ]);
    assert!(
        !spoken(&audit(CATALOG, &family))
            .iter()
            .any(|(name, _)| *name == "claim.area")
    );
}

#[test]
fn a_rule_that_is_not_heard_leaves_waivers_as_they_are() {
    let waiver = "\n[[waiver]]\nrule = \"kit.intake-filter\"\non = \"compressor.linear-44\"\nreason = \"the filter is in the cabinet\"\n";
    for (on, heard) in [
        // The waiver is needed, whether its rule is heard or not.
        (
            "package.garden",
            Heard {
                only: vec!["waiver".into()],
                silent: vec![],
            },
        ),
        (
            "package.garden",
            Heard {
                only: vec![],
                silent: vec!["kit".into(), "identity".into(), "reference".into()],
            },
        ),
    ] {
        let text = format!("{CATALOG}{}", waiver.replace("compressor.linear-44", on));
        let outcome = audit(
            &text,
            &Options {
                heard,
                ..Options::default()
            },
        );
        assert_eq!(spoken(&outcome), []);
    }
    // One that nothing needs is found in a run that hears only waivers.
    let text = format!(
        "{CATALOG}{}",
        waiver.replace("compressor.linear-44", "airline.half")
    );
    let heard = Heard {
        only: vec!["waiver".into()],
        silent: vec![],
    };
    let outcome = audit(
        &text,
        &Options {
            heard,
            ..Options::default()
        },
    );
    assert_eq!(spoken(&outcome), [("waiver.unused", Level::Warning)]);
    // Levels hold for waivers' own rules too.
    let outcome = audit(&text, &with(&[("waiver", None)]));
    assert!(
        !spoken(&outcome)
            .iter()
            .any(|(name, _)| name.starts_with("waiver"))
    );
}

#[test]
fn what_asks_for_the_whole_is_silent_about_a_part() {
    let part = CATALOG.split_once("\n\n").unwrap().1;
    let waiver = "\n[[waiver]]\nrule = \"kit\"\non = \"airline.half\"\nreason = \"why\"\n";
    let outcome = audit(&format!("{part}{waiver}"), &Options::default());
    let names: Vec<&str> = spoken(&outcome).into_iter().map(|(name, _)| name).collect();
    assert!(names.contains(&"kit.intake-filter"), "{names:?}");
    assert!(
        !names.contains(&"reference.unused") && !names.contains(&"waiver.unused"),
        "{names:?}"
    );
}

// ---- what to ask whom ------------------------------------------------------------------------------

#[test]
fn everything_that_is_not_settled_is_asked_for_once() {
    for folder in ["sound", "faulty"] {
        let inputs = catalog_examples::files(folder);
        let inputs = inputs
            .iter()
            .map(|(path, bytes)| scratch::input(path.clone(), bytes.clone()));
        let options = Options {
            ask: true,
            ..Options::default()
        };
        let outcome = engine::audit(inputs.collect(), &options);
        let mut asked: Vec<usize> = Vec::new();
        for ask in outcome.asks.as_ref().unwrap() {
            assert!(!ask.settles.is_empty() && !ask.what.is_empty());
            asked.extend(&ask.settles);
        }
        asked.sort_unstable();
        let open = outcome.verdicts.iter().enumerate();
        let open = open
            .filter(|(_, one)| matches!(one.outcome, Verdict::Undecided | Verdict::NotEvaluated))
            // Nobody can settle what nobody judges, nor what only waits for something that fails.
            .filter(|(_, one)| one.unjudged.is_none())
            .filter(|(_, one)| {
                one.missing
                    .as_ref()
                    .is_none_or(nameplate::derive::Missing::can_be_asked_for)
            });
        let open: Vec<usize> = open.map(|(place, _)| place).collect();
        assert_eq!(asked, open, "{folder}");
        assert!(open.len() > 10, "{folder}: {}", open.len());
    }
}

#[test]
fn who_is_asked_is_who_knows() {
    let text = CATALOG.replace(
        "area = \"250 m2\"",
        "area = \"250 m2\"\nrunning_cost = \"9 EUR/month\"",
    );
    let outcome = audit(
        &text,
        &Options {
            ask: true,
            ..Options::default()
        },
    );
    let asks = outcome.asks.unwrap();
    let of: Vec<(&str, &str)> = asks
        .iter()
        .map(|ask| (ask.of.as_str(), ask.about.as_str()))
        .collect();
    assert!(of.contains(&("installer", "reach-per-depth")), "{of:?}");
    assert!(of.iter().any(|(of, _)| *of == "utility"), "{of:?}");
}

// ---- documents -------------------------------------------------------------------------------------

const RANGE: &str = r#"
[assumption.reach-per-depth]
low = 1
central = 1.5
high = 2
source = "evidence.dye-test"

[evidence.dye-test]
file = "evidence/dye.txt"
kind = "own-test"
date = 2026-05-04
"#;

#[test]
fn a_document_that_is_not_there_is_told_where_the_disk_is_looked_at() {
    let text = format!("{CATALOG}{RANGE}");
    let missing = |documents: Option<&[&str]>| {
        let documents = documents.map(|all| {
            all.iter()
                .map(|path| (*path).to_string())
                .collect::<BTreeSet<_>>()
        });
        let options = Options {
            documents,
            ..Options::default()
        };
        let outcome = audit(&text, &options);
        spoken(&outcome)
            .into_iter()
            .filter(|(name, _)| *name == "evidence.missing")
            .count()
    };
    assert_eq!(missing(None), 0);
    assert_eq!(missing(Some(&[])), 1);
    assert_eq!(missing(Some(&["evidence/dye.txt"])), 0);
}

#[test]
fn a_range_counts_for_what_its_document_covers() {
    let second = CATALOG[CATALOG.find("[package.garden]").unwrap()..].replace("garden", "other");
    // What the physics allows of each package's area, as numbers that show which range was used.
    let areas = |text: &str| {
        let outcome = audit(text, &Options::default());
        let areas = outcome
            .verdicts
            .iter()
            .filter(|one| one.claim.as_str() == "area");
        areas.map(|one| one.range.unwrap()).collect::<Vec<_>>()
    };
    let covering =
        |covers: &str| areas(&format!("{CATALOG}\n{second}{RANGE}covers = [{covers}]\n"));
    let usual = areas(CATALOG)[0];
    let all = covering("");
    assert_eq!(all[0], all[1]);
    assert!(all[0].1 < usual.1 * 0.9, "{all:?}, {usual:?}");
    assert_eq!(covering("\"package.garden\""), [all[0], usual]);
    assert_eq!(covering("\"diffuser.disc-220\""), all);
    assert_eq!(covering("\"diffuser.gone\""), [usual, usual]);
    // A document that nobody described is no source, and the built-in range stays.
    let other = RANGE.replace("[evidence.dye-test]", "[evidence.dye-tests]");
    let text = format!("{CATALOG}{other}");
    assert_eq!(areas(&text), [usual]);
    let outcome = audit(&text, &Options::default());
    assert!(spoken(&outcome).contains(&("evidence.missing", Level::Error)));
}

// ---- the command -----------------------------------------------------------------------------------

fn folder(text: &str) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.toml"), text).unwrap();
    folder
}

#[test]
fn the_level_at_which_a_catalog_is_rejected_is_chosen() {
    let folder = folder(CATALOG);
    for (arguments, status) in [
        (&[][..], 1),
        (&["--silence", "identity"], 0),
        (&["--silence", "identity", "--reject-at", "warning"], 1),
        (&["--hear", "reference", "--reject-at", "warning"], 0),
        (&["--hear", "reference", "--reject-at", "note"], 1),
        (&["--reject-at", "none"], 0),
        (&["--level", "identity=note"], 0),
        (
            &[
                "--level",
                "identity=note",
                "--level",
                "kit.intake-filter=error",
            ],
            1,
        ),
    ] {
        let output = run(folder.path(), &[&["audit", "a.toml"], arguments].concat());
        assert_eq!(output.status.code(), Some(status), "{arguments:?}");
    }
}

#[test]
fn a_choice_that_cannot_be_is_refused() {
    let folder = folder(CATALOG);
    for (arguments, says) in [
        (["--hear", "kti"], "the nearest name is `kit`"),
        (
            ["--silence", "nothing.at.all"],
            "no rule or family `nothing.at.all`",
        ),
        (["--level", "kit"], "isn't NAME=LEVEL"),
        (["--level", "kit=loud"], "isn't NAME=LEVEL"),
        (["--level", "claim.aera.undecided=note"], "`claim.area`"),
    ] {
        let output = run(
            folder.path(),
            &[&["audit", "a.toml"], &arguments[..]].concat(),
        );
        let said = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(2), "{said}");
        assert!(said.contains(says) && said.lines().count() == 1, "{said}");
    }
}

#[test]
fn what_is_not_heard_is_said() {
    let folder = folder(CATALOG);
    let output = run(
        folder.path(),
        &[
            "audit",
            "a.toml",
            "--hear",
            "kit",
            "--silence",
            "kit.valves",
        ],
    );
    let text = String::from_utf8(output.stdout).unwrap();
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        text.ends_with("Heard only kit. Kept silent: kit.valves."),
        "{text}"
    );
    let output = run(
        folder.path(),
        &["audit", "a.toml", "--hear", "kit", "--format", "json"],
    );
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert_eq!(json["heard"]["only"][0], "kit");
}

#[test]
fn the_ask_list_is_in_both_reports() {
    let folder = folder(CATALOG);
    let output = run(folder.path(), &["audit", "a.toml", "--ask"]);
    let text = String::from_utf8(output.stdout).unwrap();
    assert!(text.contains("from the installer\n  A dye test"), "{text}");
    assert!(
        text.contains("garden: area 250 m2 holds if it is at least "),
        "{text}"
    );
    let output = run(
        folder.path(),
        &["audit", "a.toml", "--ask", "--format", "json"],
    );
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    let asks = json["ask"].as_array().unwrap();
    assert!(
        asks.iter()
            .any(|ask| ask["of"] == "installer" && ask["settles"][0]["claim"] == "area")
    );
    let output = run(folder.path(), &["audit", "a.toml", "--format", "json"]);
    let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(json.get("ask").is_none() && json.get("heard").is_none());
}

#[test]
fn documents_are_looked_for_beside_the_file_that_describes_them() {
    let folder = folder(&format!("{CATALOG}{RANGE}"));
    let count = || {
        let output = run(
            folder.path(),
            &["audit", "a.toml", "--hear", "evidence", "--format", "json"],
        );
        let json: serde_json::Value = serde_json::from_slice(&output.stdout).unwrap();
        json["summary"]["errors"].as_u64().unwrap()
    };
    assert_eq!(count(), 1);
    std::fs::create_dir(folder.path().join("evidence")).unwrap();
    std::fs::write(folder.path().join("evidence/dye.txt"), "dye").unwrap();
    assert_eq!(count(), 0);
}

// ---- names that were other ones --------------------------------------------------------------------

#[test]
fn what_names_a_rule_or_a_range_as_it_was_called_before_stays_valid() {
    let path = "faulty/too-few-discs.toml";
    let text = std::fs::read_to_string(format!("catalog-examples/{path}")).unwrap();
    let rule = |outcome: &Outcome| {
        let one = outcome.findings.iter();
        let mut one = one.filter(|one| one.rule.name == "duty.above-range");
        (one.next().unwrap().clone(), spoken(outcome))
    };
    let (found, alone) = rule(&audit(&text, &Options::default()));
    // As a SARIF report has it that was written while the rule was called duty.flooded.
    assert_eq!(found.kind(), 0x24cb_35f1_be79_a01a);
    assert_eq!(alone.len(), 1);

    let waiver =
        "\n[[waiver]]\nrule = \"duty.flooded\"\non = \"package.otter-one\"\nreason = \"why\"\n";
    let (found, with) = rule(&audit(&format!("{text}{waiver}"), &Options::default()));
    assert!(found.waived.is_some() && with.len() == 1, "{with:?}");

    let level = "\n[level]\n\"duty.flooded\" = \"note\"\n";
    let (found, with) = rule(&audit(&format!("{text}{level}"), &Options::default()));
    assert_eq!((found.level, with.len()), (Level::Note, 1));

    let range = |name: &str| {
        let values = "low = 0.2\ncentral = 0.21\nhigh = 0.22\nsource = \"own\"\n";
        let text = text.replace("area = \"900 m2\"", "water_moved = \"100 m3/h\"");
        let outcome = audit(&format!("{text}{name}{values}"), &Options::default());
        let moved = outcome.verdicts[1].range.unwrap();
        (moved, spoken(&outcome).len())
    };
    let names = ["slip", "slip-velocity", "bubble-spread"];
    let [before, now, other] = names.map(|name| range(&format!("\n[assumption.{name}]\n")));
    assert!(before == now && before.0 != other.0, "{before:?} {now:?}");
}
