//! `nameplate revise`: which facts and verdicts a change moved, and by which fact.

use std::collections::BTreeSet;
use std::process::Output;

use nameplate::engine::Options;
use nameplate::finding::Level;
use nameplate::report::revision::{html, json, markdown, terminal};
use nameplate::report::terminal::{Detail, Look, safe};
use nameplate::revise::{
    self, Cause, Direction, FactChange, FindingShift, Revision, Shift, Side, ThingChange,
};
use serde_json::Value;

use crate::reports::{check, parsed};
use crate::scratch::{self, Scratch};

const CATALOG: &str = r#"[catalog]
format = 1
title = "Otter Mill Water, revised"

[compressor.linear-40]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "40 W", at = "15 kPa" }
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "20 kPa", flow = "40 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]
max_pressure = "24 kPa"
inlet_filter = true

[diffuser.disc]
flow = "10 to 45 L/min"
check_valve = true

[airline.half]
title = "Half an inch"
size = "1/2 in"
bore = "12.7 mm"
roll = "6 ft"

[package.kit]
compressor = "linear-40"
diffuser = "disc"
claim.depth = "1.5 m"
claim.power = "40 W"
[[package.kit.option]]
id = "with-airline"
airline = { part = "half", length = "20 m" }

[package.other]
compressor = "linear-40"
diffuser = "disc"
claim.depth = "1.2 m"
[[package.other.option]]
id = "with-airline"
airline = { part = "half", length = "10 m" }
"#;

fn side(name: &str, text: &str) -> Side {
    Side {
        name: name.into(),
        root: format!("{name}.toml"),
        inputs: vec![scratch::alone(format!("{name}.toml"), text)],
        ..Side::default()
    }
}

fn revised(old: &str, new: &str) -> Revision {
    let options = Options {
        as_of: Some("2026-07-01".into()),
        ..Options::default()
    };
    revise::revise(side("old", old), side("new", new), &options)
}

/// The catalog with some texts replaced, each of which stands in it.
fn with(pairs: &[(&str, &str)]) -> String {
    let mut text = CATALOG.to_string();
    for (old, new) in pairs {
        assert!(text.contains(old), "{old}");
        text = text.replacen(old, new, 1);
    }
    text
}

/// What changed: thing, fact, how, old and new writing.
fn facts(revision: &Revision) -> Vec<String> {
    let mut told = Vec::new();
    for thing in &revision.things {
        if thing.facts.is_empty() {
            told.push(format!("{} {}", thing.change.as_str(), thing.on));
        }
        for fact in &thing.facts {
            let text = |one: &Option<(String, nameplate::text::Span)>| {
                one.as_ref().map_or("-".into(), |(text, _)| text.clone())
            };
            told.push(format!(
                "{} {} {}: {} > {}",
                fact.change.as_str(),
                thing.on,
                fact.key,
                text(&fact.was),
                text(&fact.is)
            ));
        }
    }
    told
}

/// The verdicts that turned, each with the ways to account for it.
fn causes(revision: &Revision) -> Vec<String> {
    let turned = revision
        .verdicts
        .iter()
        .filter(|one| one.shift != Shift::Figures);
    turned
        .map(|change| {
            let of = |state: &revise::State, place: Option<usize>| {
                place.map_or("-".to_string(), |place| {
                    let verdict = &state.outcome.verdicts[place];
                    format!("{} {}", verdict.claim.as_str(), verdict.outcome)
                })
            };
            let ways = match change.cause.as_ref().unwrap() {
                Cause::Found(ways) => ways
                    .iter()
                    .map(|way| {
                        let parts = way.iter().map(|part| {
                            let thing = &revision.things[part.thing];
                            match part.fact {
                                Some(fact) => format!("{} {}", thing.on, thing.facts[fact].key),
                                None => thing.on.clone(),
                            }
                        });
                        parts.collect::<Vec<_>>().join(" + ")
                    })
                    .collect::<Vec<_>>()
                    .join(" | "),
                other => format!("{other:?}"),
            };
            format!(
                "{} {} > {} by {ways}",
                change.package,
                of(&revision.old, change.was),
                of(&revision.new, change.is)
            )
        })
        .collect()
}

fn none() -> Vec<String> {
    Vec::new()
}

#[test]
fn lines_are_no_facts() {
    let revision = revised(CATALOG, CATALOG);
    assert!(revision.is_empty() && !revision.is_worse(Level::Note));
    // Comments, another order, tables spelled otherwise.
    let (head, tail) = CATALOG.split_once("[diffuser.disc]").unwrap();
    let (diffuser, rest) = tail.split_once("[airline.half]").unwrap();
    let moved = format!("# new\n{head}[airline.half]{rest}\n[diffuser.disc]{diffuser}");
    let moved = moved.replace(
        "claim.depth = \"1.5 m\"\nclaim.power = \"40 W\"",
        "claim = { power = \"40 W\", depth = '1.5 m' }",
    );
    assert_ne!(moved, CATALOG);
    let revision = revised(CATALOG, &moved);
    assert_eq!(facts(&revision), none());
    assert!(revision.is_empty());
    assert_eq!(revision.kept, 5);
}

#[test]
fn the_same_value_in_another_writing_is_told_as_that() {
    let revision = revised(
        CATALOG,
        &with(&[("\"6 ft\"", "\"72 in\""), ("\"24 kPa\"", "\"24.0 kPa\"")]),
    );
    assert_eq!(
        facts(&revision),
        [
            "rewritten compressor.linear-40 max_pressure: 24 kPa > 24.0 kPa",
            "rewritten airline.half roll: 6 ft > 72 in"
        ]
    );
    assert_eq!(causes(&revision), none());
    assert!(!revision.is_worse(Level::Note));
}

#[test]
fn a_verdict_comes_from_the_one_fact_that_turns_it() {
    // Six facts of four things change, and one of them matters.
    let new = with(&[
        ("\"24 kPa\"", "\"12 kPa\""),
        ("\"40 W\", at", "\"41 W\", at"),
        ("\"Half an inch\"", "\"Half\""),
        ("\"6 ft\"", "\"30 ft\""),
        ("\"12.7 mm\"", "\"12.8 mm\""),
        ("10 to 45", "10 to 46"),
    ]);
    let revision = revised(CATALOG, &new);
    assert_eq!(
        revision
            .things
            .iter()
            .map(|one| one.facts.len())
            .sum::<usize>(),
        6
    );
    let causes = causes(&revision);
    assert!(
        causes.contains(
            &"kit depth supported > depth contradicted by compressor.linear-40 max_pressure"
                .to_string()
        ),
        "{causes:?}"
    );
    // That is so: with nothing else changed the verdict is the same.
    let alone = revised(CATALOG, &with(&[("\"24 kPa\"", "\"12 kPa\"")]));
    let verdict = |revision: &Revision| {
        let all = revision.new.outcome.verdicts.iter();
        let mut all = all.filter(|one| one.package == "kit" && one.claim.as_str() == "depth");
        all.next().unwrap().outcome
    };
    assert_eq!(verdict(&alone), verdict(&revision));
    assert!(revision.is_worse(Level::Error));
    // The other way round it is better.
    let back = revised(&new, CATALOG);
    assert_eq!(back.moved(Direction::Worse), 0);
    assert!(back.moved(Direction::Better) > 0);
    assert!(!back.is_worse(Level::Error));
    let gone = |one: &&revise::FindingChange| one.shift == FindingShift::Gone;
    assert!(back.findings.iter().filter(gone).count() > 0);
}

#[test]
fn one_part_turns_the_promises_of_all_packages_that_use_it() {
    let revision = revised(CATALOG, &with(&[("\"12.7 mm\"", "\"3 mm\"")]));
    let causes = causes(&revision);
    for package in ["kit", "other"] {
        let mut own = causes
            .iter()
            .filter(|one| one.starts_with(&format!("{package} ")));
        assert!(own.all(|one| one.ends_with("by airline.half bore")));
        assert!(
            causes
                .iter()
                .any(|one| one.starts_with(&format!("{package} airline-length"))),
            "{causes:?}"
        );
    }
    // It stands first among the effects, with all that it did.
    let first = &revision.effects[0];
    assert_eq!(revision.things[first.things[0]].on, "airline.half");
    assert_eq!(first.verdicts.len(), causes.len());
    assert!(!first.findings.is_empty());
    assert_eq!(revision.effects.len(), 1, "{:?}", revision.effects);
}

#[test]
fn what_takes_two_changes_is_told_of_both_and_not_of_a_third() {
    // A shorter curve alone and a deeper claim alone leave the depth as it was; together they don't.
    let pressure = ("\"24 kPa\"", "\"19 kPa\"");
    let depth = ("claim.depth = \"1.5 m\"", "claim.depth = \"1.8 m\"");
    for alone in [pressure, depth] {
        let revision = revised(CATALOG, &with(&[alone]));
        assert!(
            causes(&revision)
                .iter()
                .all(|one| !one.contains("depth contradicted")),
            "{:?}",
            causes(&revision)
        );
    }
    let revision = revised(
        CATALOG,
        &with(&[
            pressure,
            depth,
            ("\"6 ft\"", "\"30 ft\""),
            ("\"40 W\", at", "\"39 W\", at"),
        ]),
    );
    let causes = causes(&revision);
    assert!(
        causes.contains(
            &"kit depth supported > depth contradicted by compressor.linear-40 max_pressure + package.kit claim.depth"
                .to_string()
        ),
        "{causes:?}"
    );
    let text = told(&revision, 100);
    assert!(text.contains("Only together did these"), "{text}");
}

#[test]
fn where_each_of_two_changes_would_do_both_are_named() {
    let revision = revised(
        CATALOG,
        &with(&[
            ("\"24 kPa\"", "\"9 kPa\""),
            ("claim.depth = \"1.5 m\"", "claim.depth = \"4.5 m\""),
        ]),
    );
    let causes = causes(&revision);
    assert!(
        causes.contains(
            &"kit depth supported > depth contradicted by compressor.linear-40 max_pressure | package.kit claim.depth"
                .to_string()
        ),
        "{causes:?}"
    );
    assert!(told(&revision, 100).contains("Any one of these alone"));
}

#[test]
fn what_counts_for_all_is_a_cause_too() {
    let site = format!("{CATALOG}\n[site]\naltitude = \"100 m\"\n");
    let revision = revised(&site, &site.replace("\"100 m\"", "\"3500 m\""));
    let causes = causes(&revision);
    assert!(!causes.is_empty());
    assert!(
        causes.iter().all(|one| one.ends_with("by site altitude")),
        "{causes:?}"
    );
}

#[test]
fn another_id_over_the_same_facts_is_a_new_name() {
    let new = CATALOG
        .replace("airline.half", "airline.thirteen")
        .replace("part = \"half\"", "part = \"thirteen\"")
        .replace("package.kit", "package.garden-kit");
    let revision = revised(CATALOG, &new);
    assert_eq!(
        facts(&revision),
        ["renamed airline.thirteen", "renamed package.garden-kit"]
    );
    assert_eq!(revision.things[0].was_on.as_deref(), Some("airline.half"));
    let pages = pages(&revision);
    assert!(
        revision.verdicts.is_empty() && revision.findings.is_empty(),
        "{}",
        pages[0]
    );
    assert_eq!(revision.kept, 5);
    assert!(pages[0].contains("renamed"));
    // A figure in another writing is still the same fact; another figure isn't.
    let rewritten = revised(CATALOG, &new.replace("\"6 ft\"", "\"72 in\""));
    assert!(
        rewritten
            .things
            .iter()
            .all(|one| one.change == ThingChange::Renamed)
    );
    let other = revised(CATALOG, &new.replace("\"12.7 mm\"", "\"3 mm\""));
    assert_eq!(
        facts(&other),
        [
            "changed airline.thirteen bore: 12.7 mm > 3 mm",
            "renamed package.garden-kit"
        ]
    );
    let causes_of_other = causes(&other);
    assert!(!causes_of_other.is_empty());
    for cause in causes_of_other {
        assert!(cause.ends_with("by airline.thirteen bore"), "{cause}");
    }
    // What differs in more than that is another part, and comes into the package with the reference to it.
    let another = new
        .replace("\"12.7 mm\"", "\"3 mm\"")
        .replace("\"Half an inch\"", "\"Thin\"")
        .replace("package.garden-kit", "package.kit");
    let another = revised(CATALOG, &another);
    let told = facts(&another);
    assert!(told.contains(&"removed airline.half".into()), "{told:?}");
    assert!(told.contains(&"added airline.thirteen".into()), "{told:?}");
    for cause in causes(&another) {
        assert!(
            cause.contains("by airline.thirteen + package.") && cause.ends_with(".airline.part"),
            "{cause}"
        );
    }
    // Of two that are as like, neither is taken.
    let twice = "\n[airline.quarter]\ntitle = \"Half an inch\"\nsize = \"1/2 in\"\nbore = \"4 mm\"\nroll = \"6 ft\"\n";
    let twice = format!("{}{twice}", new.replace("\"12.7 mm\"", "\"3 mm\""));
    assert!(facts(&revised(CATALOG, &twice)).contains(&"removed airline.half".into()));
}

#[test]
fn things_and_claims_come_and_go() {
    let without = CATALOG.split("[package.other]").next().unwrap();
    let revision = revised(
        CATALOG,
        &without.replace("claim.power = \"40 W\"\n", "claim.area = \"5 acre\"\n"),
    );
    let told = facts(&revision);
    assert_eq!(
        told,
        [
            "removed package.kit claim.power: 40 W > -",
            "added package.kit claim.area: - > 5 acre",
            "removed package.other"
        ]
    );
    let causes = causes(&revision);
    assert!(
        causes.contains(&"kit power supported > - by package.kit claim.power".into()),
        "{causes:?}"
    );
    assert!(
        causes.contains(&"other depth supported > - by package.other".into()),
        "{causes:?}"
    );
    let came = revision
        .verdicts
        .iter()
        .find(|one| one.shift == Shift::Came)
        .unwrap();
    // A new promise that can't be kept makes the catalog worse.
    assert_eq!(came.direction, Direction::Worse);
    let went = revision
        .verdicts
        .iter()
        .filter(|one| one.shift == Shift::Went);
    assert!(
        went.clone().count() >= 2 && went.clone().all(|one| one.direction == Direction::Neither)
    );
}

#[test]
fn other_figures_of_the_same_verdict_are_counted_and_listed() {
    let revision = revised(CATALOG, &with(&[("\"12.7 mm\"", "\"12.68 mm\"")]));
    assert_eq!(causes(&revision), none());
    let figures = revision
        .verdicts
        .iter()
        .filter(|one| one.shift == Shift::Figures)
        .count();
    assert!(figures > 0);
    assert_eq!(revision.kept, 5);
    let usual = told(&revision, 100);
    assert!(
        usual.contains(&format!("({figures} with other figures)")),
        "{usual}"
    );
    assert!(!revision.is_worse(Level::Note));
}

#[test]
fn findings_have_causes_of_their_own() {
    // No verdict turns, but a wrong key and a lost filter are found.
    let revision = revised(
        CATALOG,
        &with(&[(
            "inlet_filter = true\n",
            "inlet_filter = false\nwheels = 2\n",
        )]),
    );
    let new: BTreeSet<&str> = revision
        .findings
        .iter()
        .map(|one| {
            assert_eq!(one.shift, FindingShift::New);
            assert_eq!(
                one.through
                    .iter()
                    .map(|&one| revision.things[one].on.as_str())
                    .collect::<Vec<_>>(),
                ["compressor.linear-40"]
            );
            revision.finding(one).unwrap().rule.name
        })
        .collect();
    assert!(new.contains("schema.unknown-key"), "{new:?}");
    // A level that is set is a change of the catalog, and a finding at another figure is the same finding.
    let faulty = with(&[("claim.depth = \"1.5 m\"", "claim.depth = \"5 m\"")]);
    let unfiltered = with(&[("inlet_filter = true", "inlet_filter = false")]);
    let level = format!("{unfiltered}\n[level]\n\"kit.intake-filter\" = \"note\"\n");
    let revision = revised(&unfiltered, &level);
    let milder = revision
        .findings
        .iter()
        .find(|one| one.shift == FindingShift::Milder)
        .unwrap();
    assert_eq!(revision.things[milder.through[0]].on, "level");
    assert!(revised(&level, &unfiltered).is_worse(Level::Warning));
    // A contradicted promise stays what it was.
    let lowered = format!("{faulty}\n[level]\n\"claim.depth\" = \"note\"\n");
    assert!(revised(&faulty, &lowered).findings.is_empty());
    let restated = revised(&faulty, &faulty.replace("\"5 m\"", "\"6 m\""));
    let shifts: BTreeSet<FindingShift> = restated.findings.iter().map(|one| one.shift).collect();
    assert!(
        shifts.contains(&FindingShift::Restated) && !shifts.contains(&FindingShift::New),
        "{shifts:?}"
    );
    assert!(!restated.is_worse(Level::Error));
}

#[test]
fn what_cannot_be_read_is_said_and_the_rest_compared() {
    let broken = with(&[
        ("size = \"1/2 in\"", "size = 1/2 in"),
        ("\"24 kPa\"", "\"12 kPa\""),
    ]);
    let revision = revised(CATALOG, &broken);
    assert!(revision.old.unread.is_empty());
    assert_eq!(revision.new.unread.len(), 1);
    let causes = causes(&revision);
    assert!(
        causes
            .iter()
            .any(|one| one.starts_with("kit depth supported > depth contradicted by compressor")),
        "{causes:?}"
    );
    for page in pages(&revision) {
        assert!(
            page.contains("compared as far as it was understood"),
            "{page}"
        );
    }
    // Whatever the bytes, both ways.
    for text in [
        "",
        "\u{0}",
        "[",
        "[[package]]\n[package]",
        "a = [[[[",
        "package = 1\ncatalog = 2",
        "[package.\"\"]\n",
    ] {
        for (old, new) in [(CATALOG, text), (text, CATALOG), (text, text)] {
            let revision = revised(old, new);
            assert_eq!(old == new, revision.is_empty(), "{old} {new}");
            pages(&revision);
        }
    }
}

#[test]
fn more_changes_than_are_tried_are_said_to_be_too_many() {
    // So many parts that none by itself and no half of them accounts for the depth.
    let mut old = CATALOG.to_string();
    let mut new = CATALOG
        .replace("\"1.5 m\"", "\"1.9 m\"")
        .replace("max_pressure = \"24 kPa\"", "max_pressure = \"19.9 kPa\"");
    let mut fits = Vec::new();
    for number in 0..450 {
        old.push_str(&format!(
            "\n[fitting.f{number}]\nfrom = \"1/2 in barb\"\nto = \"1/2 in barb\"\n"
        ));
        new.push_str(&format!("\n[fitting.f{number}]\nfrom = \"1/2 in barb\"\nto = \"1/2 in barb\"\nsku = \"{number}\"\n"));
        fits.push(format!("\"f{number}\""));
    }
    let list = format!("diffuser = \"disc\"\nfittings = [{}]\n", fits.join(", "));
    let (old, new) = (
        old.replacen("diffuser = \"disc\"\n", &list, 1),
        new.replacen("diffuser = \"disc\"\n", &list, 1),
    );
    let revision = revised(&old, &new);
    let change = revision
        .verdicts
        .iter()
        .find(|one| one.package == "kit" && one.shift == Shift::Turned)
        .unwrap_or_else(|| panic!("{:?}", causes(&revision)));
    assert!(
        matches!(change.cause, Some(Cause::TooMany(_))),
        "{:?}",
        change.cause
    );
    assert!(told(&revision, 100).contains("too many changes to try"));
}

// ---- the formats ---------------------------------------------------------------------------------

fn look(width: usize, detail: Detail) -> Look {
    Look {
        width,
        color: false,
        unicode: true,
        detail,
    }
}

/// The terminal report, on one line.
fn told(revision: &Revision, width: usize) -> String {
    let text = terminal::render(revision, look(width, Detail::Usual));
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// What each format for people says, on one line and without its signs.
fn pages(revision: &Revision) -> [String; 3] {
    let one_line = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let page = html::render(revision);
    let mut plain = String::new();
    let mut inside = false;
    for character in page.split_once("<body>").unwrap().1.chars() {
        match character {
            '<' => inside = true,
            '>' => {
                inside = false;
                plain.push(' ');
            }
            other if !inside => plain.push(other),
            _ => {}
        }
    }
    let plain = plain
        .replace("&amp;", "&")
        .replace("&lt;", "<")
        .replace("&gt;", ">")
        .replace("&quot;", "\"");
    let mut text = markdown::render(revision);
    for character in "\\`*_[]<>&#|~@!:.$".chars() {
        text = text.replace(
            &format!("&#{};", u32::from(character)),
            &character.to_string(),
        );
    }
    let terminal = terminal::render(revision, look(160, Detail::All));
    [one_line(terminal), one_line(text), one_line(plain)]
}

fn samples() -> Vec<Revision> {
    let mut hostile = CATALOG.replace(
        "Half an inch",
        "<script>alert(1)</script> \\u001b[31m \\u202e | # @someone",
    );
    hostile = hostile.replace("12.7 mm", "<img src=x>\\u0007 ]( & www.a.example");
    vec![
        revised(CATALOG, CATALOG),
        revised(
            CATALOG,
            &with(&[
                ("\"12.7 mm\"", "\"3 mm\""),
                ("\"6 ft\"", "\"72 in\""),
                ("10 to 45", "12 to 45"),
            ]),
        ),
        revised(
            CATALOG,
            &CATALOG
                .replace("airline.half", "airline.thirteen")
                .replace("part = \"half\"", "part = \"thirteen\""),
        ),
        revised(
            &with(&[("claim.depth = \"1.5 m\"", "claim.depth = \"5 m\"")]),
            CATALOG,
        ),
        revised("", CATALOG),
        revised(CATALOG, CATALOG.split("[package.other]").next().unwrap()),
        revised(CATALOG, &hostile),
        revised(&hostile, &with(&[("size = \"1/2 in\"", "size = oops")])),
    ]
}

#[test]
fn every_format_tells_every_change() {
    for revision in samples() {
        let report = parsed(&json::render(&revision));
        let pages = pages(&revision);
        let has = |text: &str| {
            let words: Vec<&str> = text.split_whitespace().collect();
            let text = words.join(" ");
            for page in &pages {
                assert!(page.contains(&text), "`{text}` isn't in\n{page}");
            }
        };
        let list = |key: &str| report[key].as_array().unwrap().clone();
        assert_eq!(list("things").len(), revision.things.len());
        for (row, thing) in list("things").iter().zip(&revision.things) {
            assert_eq!(row["on"], Value::from(thing.on.clone()));
            let (kind, id) = thing.on.split_once('.').unwrap_or((&thing.on, ""));
            has(format!("{} {}", kind.replace('-', " "), safe(id)).trim());
            for fact in &thing.facts {
                for (text, _) in fact.was.iter().chain(&fact.is) {
                    // A cell may be broken at any blank; the first word is enough.
                    has(safe(text).split_whitespace().next().unwrap_or(""));
                }
                if fact.change == FactChange::Rewritten {
                    has("the same value");
                }
            }
        }
        assert_eq!(list("verdicts").len(), revision.verdicts.len());
        for row in list("verdicts") {
            has(row["package"].as_str().unwrap());
            for state in [&row["was"], &row["is"]] {
                if let Some(stated) = state["stated"].as_str() {
                    has(stated.split(' ').next().unwrap());
                }
            }
        }
        assert_eq!(list("findings").len(), revision.findings.len());
        for (row, change) in list("findings").iter().zip(&revision.findings) {
            let finding = revision.finding(change).unwrap();
            assert_eq!(row["rule"], finding.rule.name);
            has(finding.rule.name);
            let gone = if change.is.is_none() { " before" } else { "" };
            let (line, column) = (&row["line"], &row["column"]);
            has(&format!(
                "{}, line {line}, column {column}{gone}, {}",
                row["file"].as_str().unwrap(),
                finding.rule.name
            ));
        }
        // Every change stands in exactly one effect.
        let mut told = Vec::new();
        for effect in &revision.effects {
            told.extend(effect.verdicts.iter().copied());
        }
        told.sort_unstable();
        let turned: Vec<usize> = (0..revision.verdicts.len())
            .filter(|&one| revision.verdicts[one].shift != Shift::Figures)
            .collect();
        assert_eq!(told, turned);
        let mut found: Vec<usize> = revision
            .effects
            .iter()
            .flat_map(|one| one.findings.clone())
            .collect();
        found.sort_unstable();
        assert_eq!(found, (0..revision.findings.len()).collect::<Vec<_>>());
        let things: BTreeSet<usize> = revision
            .effects
            .iter()
            .flat_map(|one| one.things.clone())
            .collect();
        assert_eq!(things.len(), revision.things.len());
    }
}

#[test]
fn the_json_report_is_valid_and_its_schema_lets_nothing_else_in() {
    let schema = parsed(json::SCHEMA);
    assert!(jsonschema::meta::is_valid(&schema));
    assert_eq!(crate::schemas::printed("revision"), json::SCHEMA);
    for revision in samples() {
        let report = parsed(&json::render(&revision));
        check(&schema, &report);
        let validator = jsonschema::validator_for(&schema).unwrap();
        for place in [
            "",
            "/summary",
            "/things/0",
            "/things/0/facts/0",
            "/verdicts/0",
            "/findings/0",
            "/effects/0",
        ] {
            let mut wrong = report.clone();
            if let Some(Value::Object(at)) = wrong.pointer_mut(place) {
                at.insert("extra".into(), Value::Bool(true));
                assert!(!validator.is_valid(&wrong), "{place} lets unlisted keys in");
            }
        }
    }
}

#[test]
fn nothing_of_a_catalog_acts_on_a_page_or_terminal() {
    let revision = samples().remove(6);
    for unicode in [true, false] {
        let look = Look {
            unicode,
            ..look(80, Detail::All)
        };
        let text = terminal::render(&revision, look);
        let bad = |c: char| c.is_control() && c != '\n' || ('\u{202a}'..='\u{202e}').contains(&c);
        assert!(!text.contains(bad), "{text:?}");
        assert!(unicode || text.is_ascii(), "{text}");
    }
    let page = html::render(&revision);
    assert!(page.contains("&lt;script&gt;alert(1)") && !page.contains("<script"));
    assert!(page.contains("default-src 'none'") && !page.contains("<img"));
    let text = markdown::render(&revision);
    for sign in ["@someone", "<script", "](", "www.a"] {
        assert!(!text.contains(sign), "{sign}\n{text}");
    }
}

#[test]
fn no_line_of_the_terminal_report_is_wider_than_the_page() {
    for revision in samples() {
        for width in [60, 72, 100, 160] {
            let text = terminal::render(&revision, look(width, Detail::All));
            for line in text.lines() {
                assert!(line.chars().count() <= width, "{width}: {line}");
                assert_eq!(line, line.trim_end());
            }
        }
    }
}

#[test]
fn the_same_states_give_the_same_bytes() {
    let render = || -> Vec<String> {
        let all = samples();
        all.iter()
            .flat_map(|one| {
                [
                    json::render(one),
                    markdown::render(one),
                    html::render(one),
                    terminal::render(one, look(90, Detail::All)),
                ]
            })
            .collect()
    };
    assert_eq!(render(), render());
}

// ---- the command ----------------------------------------------------------------------------------

fn printed(output: &Output) -> (Option<i32>, String, String) {
    let text = |bytes: &[u8]| String::from_utf8(bytes.to_vec()).unwrap();
    (
        output.status.code(),
        text(&output.stdout),
        text(&output.stderr),
    )
}

#[test]
fn revisions_folders_and_files_can_be_compared() {
    let scratch = Scratch::new();
    let run = |arguments: &[&str]| {
        let arguments = [&["revise"][..], arguments, &["--as-of", "2026-07-01"]].concat();
        printed(&scratch.run(&arguments))
    };
    let (status, text, _) = run(&["base", "--catalog", "list"]);
    assert_eq!(status, Some(0), "{text}");
    assert!(
        text.contains("Nothing changed from base to the files as they are"),
        "{text}"
    );
    scratch.edit(
        "list/parts/airline.toml",
        "bore = \"12.7 mm\"",
        "bore = \"5.0 mm\"",
    );
    // What isn't committed counts for the files as they are.
    let (status, now, _) = run(&["base", "--catalog", "list"]);
    assert_eq!(status, Some(1));
    assert!(
        now.contains("airline sinking-13") && now.contains("12.7 mm → 5.0 mm"),
        "{now}"
    );
    assert!(now.contains("list/parts/airline.toml, line 23"), "{now}");
    let (status, _, _) = run(&["base", "HEAD", "--catalog", "list"]);
    assert_eq!(status, Some(0));
    scratch.commit("A thinner line");
    let (status, between, _) = run(&["base", "HEAD", "--catalog", "list"]);
    assert_eq!(status, Some(1));
    // A path beside a revision says which catalog is meant.
    let (_, beside, _) = run(&["base", "list"]);
    let body = |text: &str| text.split_once('\n').unwrap().1.to_string();
    assert_eq!(body(&beside), body(&now));
    assert_eq!(body(&between), body(&now));
    let (status, back, _) = run(&["HEAD", "base", "--catalog", "list"]);
    assert_eq!(status, Some(0), "{back}");
    // Two folders say the same as two revisions, but for the folders' names.
    scratch.git(&["worktree", "add", "--quiet", "before", "base"]);
    let (status, folders, _) = run(&["before/list", "list", "--format", "json"]);
    assert_eq!(status, Some(1));
    let (_, revisions, _) = run(&["base", "HEAD", "--catalog", "list", "--format", "json"]);
    let rows = |text: &str| {
        let report = parsed(text);
        let verdicts = report["verdicts"].as_array().unwrap().clone();
        verdicts
            .into_iter()
            .map(|mut row| {
                row["was"]["file"] = Value::Null;
                row
            })
            .collect::<Vec<_>>()
    };
    assert_eq!(rows(&folders), rows(&revisions));
    // A name that could be both is a path unless it is said to be a revision.
    scratch.git(&["branch", "list", "base"]);
    let (status, text, _) = run(&[
        "list",
        "HEAD",
        "--catalog",
        "list",
        "--take-as",
        "revisions",
    ]);
    assert_eq!(status, Some(1), "{text}");
    assert!(text.starts_with("What changed from list to HEAD"));
    // A catalog that is new since a revision came as a whole.
    std::fs::create_dir(scratch.path("more")).unwrap();
    std::fs::write(scratch.path("more/catalog.toml"), CATALOG).unwrap();
    let (status, text, _) = run(&["base", "more"]);
    assert_eq!(status, Some(0), "{text}");
    assert!(
        text.contains("package kit") && text.contains("new"),
        "{text}"
    );
}

#[test]
fn the_status_follows_the_chosen_level() {
    let scratch = Scratch::new();
    scratch.edit(
        "list/packages/metric.toml",
        "cabinet = \"post\"\n",
        "cabinet = \"post\"\nwheels = 2\n",
    );
    let run = |level: &str| {
        scratch
            .run(&["revise", "base", "list", "--reject-at", level])
            .status
            .code()
    };
    let found = scratch.run(&[
        "revise",
        "base",
        "list",
        "--format",
        "json",
        "--reject-at",
        "none",
    ]);
    let report = parsed(&String::from_utf8(found.stdout).unwrap());
    let levels: BTreeSet<&str> = report["findings"]
        .as_array()
        .unwrap()
        .iter()
        .map(|one| one["level"].as_str().unwrap())
        .collect();
    assert_eq!(levels, BTreeSet::from(["error"]));
    assert_eq!(
        [run("error"), run("note"), run("none")],
        [Some(1), Some(1), Some(0)]
    );
}

#[test]
fn what_cannot_be_compared_is_refused_in_a_sentence() {
    let scratch = Scratch::new();
    let lone = tempfile::tempdir().unwrap();
    std::fs::write(lone.path().join("catalog.toml"), CATALOG).unwrap();
    let lone = lone.path().to_str().unwrap();
    std::fs::create_dir(scratch.path("empty")).unwrap();
    for (arguments, says) in [
        (
            &["nosuch", "HEAD"][..],
            "there is no file or folder `nosuch`, and the repository",
        ),
        (&["HEAD", "nosuch"], "knows no revision `nosuch`"),
        (&["list"], "a NEW is needed"),
        (&["list", "empty"], "there is no catalog"),
        (&["empty", "list"], "there is no catalog"),
        (&["HEAD", lone], "lies in no git repository"),
        (
            &["list", "list", "--catalog", "list"],
            "--catalog is for revisions",
        ),
        (&["HEAD", "--catalog", "nosuch"], "nosuch can't be read"),
        (
            &["nosuch", "list", "--take-as", "paths"],
            "nosuch can't be read",
        ),
        (
            &["--take-as", "revisions", "--", "-x", "HEAD"],
            "knows no revision `-x`",
        ),
        (&["HEAD", "--catalog", "empty"], "there is no catalog"),
    ] {
        let output = scratch.run(&[&["revise"][..], arguments].concat());
        let (status, text, sentence) = printed(&output);
        assert_eq!(status, Some(2), "{arguments:?}: {text}{sentence}");
        assert!(text.is_empty());
        assert_eq!(sentence.lines().count(), 1, "{sentence}");
        assert!(sentence.contains(says), "{arguments:?}: {sentence}");
    }
}

/// A catalog and its files in a folder of a test.
fn files(name: &str, files: &[(&str, &str)]) -> Side {
    let texts = files.iter().filter(|(path, _)| !path.ends_with(".pdf"));
    Side {
        name: name.into(),
        root: name.into(),
        inputs: texts
            .map(|(path, text)| scratch::input(format!("{name}/{path}"), text.as_bytes().to_vec()))
            .collect(),
        documents: Some(
            files
                .iter()
                .map(|(path, _)| format!("{name}/{path}"))
                .collect(),
        ),
        ..Side::default()
    }
}

fn new_errors(revision: &Revision) -> Vec<&'static str> {
    let new = revision
        .findings
        .iter()
        .filter(|one| one.shift == FindingShift::New);
    new.filter_map(|one| revision.finding(one))
        .map(|one| one.rule.name)
        .collect()
}

#[test]
fn a_document_that_is_gone_and_a_page_that_was_edited_are_told() {
    let catalog = format!(
        "{CATALOG}\n[evidence.log]\nfile = \"log.pdf\"\nkind = \"own-test\"\ndate = 2026-02-01\n"
    );
    let page = "+++\npackage = \"first\"\n+++\nNothing is promised here.\n";
    let first = catalog
        .lines()
        .find_map(|line| line.strip_prefix("[package.")?.strip_suffix(']'))
        .unwrap();
    let page = page.replace("first", first);
    let edited = format!("{page}For ponds up to 29 m deep.\n");
    let options = Options {
        as_of: Some("2026-07-01".into()),
        ..Options::default()
    };
    let old = || {
        files(
            "then",
            &[
                ("catalog.toml", &catalog),
                ("log.pdf", ""),
                ("page.md", &page),
            ],
        )
    };
    let new = |more: &[(&str, &str)]| {
        let all = [&[("catalog.toml", catalog.as_str())][..], more].concat();
        revise::revise(old(), files("now", &all), &options)
    };
    let same = new(&[("log.pdf", ""), ("page.md", &page)]);
    assert!(same.findings.is_empty(), "{:?}", same.findings);
    let gone = new(&[("page.md", &page)]);
    assert_eq!(new_errors(&gone), ["evidence.missing"]);
    assert!(gone.is_worse(Level::Error));
    let other = new(&[("log.pdf", ""), ("page.md", &edited)]);
    assert!(
        new_errors(&other)
            .iter()
            .any(|rule| rule.starts_with("sheet.")),
        "{:?}",
        new_errors(&other)
    );
    assert!(other.is_worse(Level::Error));
}

/// A fact that is only added, and clears what was found about another thing.
#[test]
fn what_an_added_fact_cleared_is_told_under_it() {
    let path = "catalog-examples/faulty/line-not-made-for-the-pressure.toml";
    let text = std::fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(path))
        .unwrap();
    let with = text.replace(
        "inlet_filter = true",
        "inlet_filter = true\nrelief = \"60 kPa\"",
    );
    assert_ne!(with, text);
    let revision = revised(&text, &with);
    let gone: Vec<_> = revision
        .findings
        .iter()
        .filter(|one| one.shift == FindingShift::Gone)
        .collect();
    assert_eq!(gone.len(), 1, "{gone:?}");
    let through: Vec<&str> = gone[0]
        .through
        .iter()
        .map(|&place| revision.things[place].on.as_str())
        .collect();
    assert_eq!(through, ["compressor.piston-190"]);
}
