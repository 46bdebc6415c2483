//! Promises without a verdict keep their rows: those that can't be read, and those that nothing here could decide.

use nameplate::claims::{Claim, Outcome as Verdict};
use nameplate::engine::{Options, Outcome};
use nameplate::report;

use crate::scratch::audit_text;

const KIT: &str = r#"[catalog]
format = 1
title = "Otter Mill Water"

[compressor.linear-44]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "44 W", at = "14 kPa" }
max_pressure = "24 kPa"
inlet_filter = true
curve = [
  { pressure = "0 kPa", flow = "74 L/min" },
  { pressure = "14 kPa", flow = "51 L/min" },
  { pressure = "33 kPa", flow = "0 L/min" },
]

[diffuser.disc-220]
flow = "10 to 60 L/min"
check_valve = true

[airline.half]
size = "1/2 in"

[package.garden]
compressor = "linear-44"
diffuser = "disc-220"
above_water = true

[package.garden.claim]
CLAIMS

[[package.garden.option]]
id = "with-airline"
airline = { part = "half", length = "20 m" }
"#;

fn audit(claims: &str) -> Outcome {
    let options = Options {
        as_of: Some("2026-07-01".into()),
        ask: true,
        ..Options::default()
    };
    audit_text(&KIT.replace("CLAIMS", claims), &options)
}

fn rows(outcome: &Outcome) -> Vec<(Claim, Verdict, &str)> {
    let verdicts = outcome.verdicts.iter();
    let verdicts = verdicts.filter(|one| one.claim != Claim::AirlineLength);
    verdicts
        .map(|one| (one.claim, one.outcome, one.stated.as_str()))
        .collect()
}

#[test]
fn what_cannot_be_read_keeps_its_row_and_says_why() {
    let outcome = audit(
        "depth = \"five feet\"\narea = [{ is = \"200 m2\", at = \"1.4 m\" }, { is = \"29O m2\" }]\n\
         flow = 40\nvolume = \"20000 gal\"\npower = \"44 W\"",
    );
    assert_eq!(
        rows(&outcome),
        [
            (Claim::Depth, Verdict::NotEvaluated, "five feet"),
            (Claim::Area, rows(&outcome)[1].1, "200 m2 at 1.4 m"),
            (Claim::Area, Verdict::NotEvaluated, "29O m2"),
            (Claim::Flow, Verdict::NotEvaluated, "40"),
            (Claim::Power, Verdict::Supported, "44 W"),
            (Claim::Volume, Verdict::NotEvaluated, "20000 gal"),
        ]
    );
    let depth = &outcome.verdicts[0];
    let missing = depth.missing.as_ref().unwrap();
    assert_eq!(missing.fact, "a depth that can be read");
    let text = &KIT.replace("CLAIMS", "depth = \"five feet\"");
    assert_eq!(depth.at.start as usize, text.find("\"five feet\"").unwrap());
    // The rule of the figure has spoken; no second finding says the same.
    let said = |rule: &str| {
        outcome
            .findings
            .iter()
            .filter(|one| one.rule.name == rule)
            .count()
    };
    assert_eq!(said("unit.unreadable"), 2);
    let waits = outcome
        .findings
        .iter()
        .filter(|one| one.message.contains("that can be read"));
    assert_eq!(waits.count(), 0);
}

#[test]
fn a_value_that_broke_off_keeps_its_row() {
    let outcome = audit("depth = \npower = \"44 W\"");
    let found = rows(&outcome);
    assert_eq!(found.len(), 2, "{found:?}");
    assert_eq!(
        (found[0].0, found[0].1),
        (Claim::Depth, Verdict::NotEvaluated)
    );
}

#[test]
fn what_nothing_here_could_decide_is_listed_as_not_judged() {
    let outcome = audit(
        "depth = \"1.4 m\"\nwinter_opening = \"10 m2\"\nwarranty = \"2 year\"\n\
         service_interval = \"1 year\"\npacked_mass = \"21 kg\"",
    );
    let unjudged: Vec<Claim> = outcome
        .verdicts
        .iter()
        .filter(|one| one.unjudged.is_some())
        .map(|one| one.claim)
        .collect();
    assert_eq!(
        unjudged,
        [
            Claim::WinterOpening,
            Claim::Warranty,
            Claim::ServiceInterval,
            Claim::PackedMass
        ]
    );
    assert_eq!(outcome.verdicts[0].claim, Claim::Depth);
    assert!(outcome.verdicts[0].unjudged.is_none());
    let page = report::markdown::render(&outcome, usize::MAX);
    for row in [
        "| warranty | 2 year | not judged |",
        "| packed mass | 21 kg | not judged |",
    ] {
        assert!(page.contains(row), "{page}");
    }
    let page = report::html::render(&outcome);
    // And once where the page says how it is to be read.
    assert_eq!(
        page.matches("</span>not judged</span>").count(),
        2 * unjudged.len() + 1
    );
    // Nobody is asked for what wouldn't help.
    assert!(outcome.asks.as_ref().unwrap().iter().all(|ask| {
        let mut settles = ask.settles.iter();
        settles.all(|&place| outcome.verdicts[place].unjudged.is_none())
    }));
}

#[test]
fn rows_without_a_number_stand_in_every_report() {
    let outcome = audit("depth = \"five feet\"\nwarranty = \"2 year\"");
    let json: serde_json::Value = serde_json::from_str(&report::json::render(&outcome)).unwrap();
    let verdicts = json["verdicts"].as_array().unwrap();
    let of = |claim: &str| verdicts.iter().find(|one| one["claim"] == claim).unwrap();
    assert_eq!(of("depth")["si"], serde_json::Value::Null);
    assert_eq!(of("depth")["missing"], "a depth that can be read");
    assert_eq!(of("warranty")["unjudged"], "a term of sale");
    let schema: serde_json::Value =
        serde_json::from_str(include_str!("../../schemas/audit.schema.json")).unwrap();
    let validator = jsonschema::validator_for(&schema).unwrap();
    let faults: Vec<String> = validator
        .iter_errors(&json)
        .map(|e| e.to_string())
        .collect();
    assert_eq!(faults, [""; 0]);
}

/// TOML has dates, and the schema calls them texts: where a figure, a part or a word belongs, one is an error.
#[test]
fn a_date_in_the_place_of_anything_else_is_an_error() {
    let dates = |outcome: &Outcome| {
        let findings = outcome.findings.iter();
        let wrong = findings.filter(|one| one.rule.name == "schema.wrong-type");
        wrong
            .filter(|one| one.message.contains("but it is a date"))
            .count()
    };
    assert_eq!(dates(&audit("depth = 2026-03-08")), 1);
    assert_eq!(
        dates(&audit(
            "depth = { is = 2026-03-08, at = \"1 kPa\" }\narea = [\"1 acre\", 2026-03-08]"
        )),
        2
    );
    let catalog = KIT.replace("CLAIMS", "depth = \"1.2 m\"");
    let typed = |old: &str, new: &str| audit_text(&catalog.replace(old, new), &Options::default());
    assert_eq!(dates(&typed("\"1/2 in\"", "2026-03-08")), 1);
    assert_eq!(
        dates(&typed(
            "compressor = \"linear-44\"",
            "compressor = 2026-03-08"
        )),
        1
    );
    assert_eq!(
        dates(&typed(
            "above_water = true",
            "above_water = true\nsince = 2026-03-08"
        )),
        0
    );
}

/// Two figures in one unit can't be told from each other by a conversion, and neither is offered for the other.
#[test]
fn two_figures_of_one_unit_are_said_to_differ() {
    let outcome = audit("depth = [\"1.5 m\", \"9 m\"]");
    let mut findings = outcome.findings.iter();
    let found = findings
        .find(|one| one.rule.name == "unit.listings-disagree")
        .unwrap();
    assert_eq!(
        found.message,
        "1.5 m and 9 m are listed as the same figure."
    );
    assert_eq!(found.correction, None);
}

#[test]
fn what_means_nothing_at_nought_is_refused_there() {
    for line in [
        "mass_per_length = \"0 kg/m\"",
        "bore = \"0 mm\"",
        "roll = \"0 m\"",
        "mass = \"0 kg\"",
    ] {
        let catalog = KIT.replace("CLAIMS", "depth = \"1.2 m\"");
        let catalog = catalog.replace("size = \"1/2 in\"", &format!("size = \"1/2 in\"\n{line}"));
        let outcome = audit_text(&catalog, &Options::default());
        let mut findings = outcome.findings.iter();
        assert!(
            findings.any(|one| one.message.contains("of more than nothing, but it is 0 ")),
            "{line}"
        );
    }
}
