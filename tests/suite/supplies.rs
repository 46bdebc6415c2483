//! The supply a package is sold for: whose curve, watts and amperes count.

use nameplate::claims::{Claim, Outcome as Verdict};
use nameplate::engine::{Options, Outcome};
use nameplate::finding::{Finding, Level};

use crate::scratch::audit_text;

/// A machine on two supplies, weak on the second, and its package; `PACKAGE` and `OPTION` are lines of theirs.
const TWOFOLD: &str = r#"[catalog]
format = 1
title = "Otter Mill Water"

[site]
tariff = "0.20 USD/kWh"

[compressor.twofold]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = { is = "62 W", at = "16 kPa" }
max_pressure = "26 kPa"
curve = [
  { pressure = "0 kPa", flow = "108 L/min" },
  { pressure = "16 kPa", flow = "72 L/min" },
  { pressure = "37 kPa", flow = "0 L/min" },
]

[[compressor.twofold.variant]]
voltage = "115 V"
frequency = "60 Hz"
power = { is = "34 W", at = "10 kPa" }
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "10 kPa", flow = "42 L/min" },
  { pressure = "18 kPa", flow = "0 L/min" },
]

[[compressor.twofold.variant]]
voltage = "24 V"
supply = "dc"

[compressor.other]
technology = "linear-diaphragm"
voltage = "120 V"
frequency = "60 Hz"
power = { is = "33 W", at = "10 kPa" }
max_pressure = "18 kPa"
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "10 kPa", flow = "42 L/min" },
  { pressure = "18 kPa", flow = "0 L/min" },
]

[diffuser.disc-220]
flow = "10 to 110 L/min"
check_valve = true

[airline.half]
size = "5/8 in"

[package.garden]
compressor = "twofold"
diffuser = "disc-220"
PACKAGE

[package.garden.claim]
depth = "1.1 m"
flow = { is = "60 L/min", at = "1.1 m" }
power = "64 W"

[[package.garden.option]]
id = "with-airline"
airline = { part = "half", length = "10 m" }
OPTION
"#;

fn audit(text: &str) -> Outcome {
    audit_text(text, &Options::default())
}

fn sold(package: &str, option: &str) -> Outcome {
    let text = TWOFOLD.replace("PACKAGE", package);
    audit(&text.replace("OPTION", option))
}

fn verdict(outcome: &Outcome, claim: Claim) -> Verdict {
    let mut verdicts = outcome.verdicts.iter();
    verdicts.find(|one| one.claim == claim).unwrap().outcome
}

/// Air delivered, m3/s, and watts, as the verdicts have them.
fn rated(outcome: &Outcome, claim: Claim) -> Option<f64> {
    let mut verdicts = outcome.verdicts.iter();
    verdicts.find(|one| one.claim == claim).unwrap().rated
}

fn of<'o>(outcome: &'o Outcome, rule: &str) -> Vec<&'o Finding> {
    let findings = outcome.findings.iter();
    findings.filter(|one| one.rule.name == rule).collect()
}

#[test]
fn a_package_is_calculated_on_the_supply_it_is_sold_for() {
    let first = sold("", "");
    let weak = sold("supply = \"115 V 60 Hz\"", "");
    let by_option = sold("", "supply = \"115 V 60 Hz\"");
    let said = sold("supply = \"115 V 60 Hz\"", "supply = \"230 V 50 Hz\"");
    assert_ne!(verdict(&first, Claim::Flow), Verdict::Contradicted);
    assert_eq!(verdict(&weak, Claim::Flow), Verdict::Contradicted);
    for claim in [Claim::Flow, Claim::Power] {
        assert_eq!(rated(&weak, claim), rated(&by_option, claim));
        assert_eq!(rated(&first, claim), rated(&said, claim));
    }
    let watts = |outcome| rated(outcome, Claim::Power).unwrap();
    assert!((watts(&first) - 62.0).abs() < 1e-9 && (watts(&weak) - 34.0).abs() < 1e-9);
}

#[test]
fn what_a_variant_does_not_state_is_not_borrowed_from_another_supply() {
    let solar = sold("supply = \"24 V dc\"", "");
    for claim in [Claim::Depth, Claim::Flow, Claim::Power] {
        assert_eq!(verdict(&solar, claim), Verdict::NotEvaluated);
    }
    let mut said = of(&solar, "claim.not-evaluated");
    said.retain(|one| one.message.contains("24 V direct current"));
    assert_eq!(said.len(), 2, "the curve and the power");
}

#[test]
fn a_supply_that_a_part_has_not_is_an_error_at_the_supply() {
    for (package, option) in [
        ("supply = \"400 V 60 Hz three-phase\"", ""),
        ("supply = \"12 V dc\"", ""),
        ("supply = \"230 V 60 Hz\"", ""),
        ("", "supply = \"115 V 50 Hz\""),
    ] {
        let outcome = sold(package, option);
        let found = of(&outcome, "power.supply");
        assert_eq!(found.len(), 1, "{package}{option}");
        assert_eq!(found[0].level, Level::Error);
        let written = outcome.sources.slice(found[0].at);
        assert!(format!("{package}{option}").contains(written));
        assert_eq!(verdict(&outcome, Claim::Depth), Verdict::NotEvaluated);
    }
    let unreadable = sold("supply = \"the usual\"", "");
    assert_eq!(of(&unreadable, "schema.wrong-type").len(), 1);
    assert_eq!(of(&unreadable, "power.supply").len(), 0);
    assert_eq!(verdict(&unreadable, Claim::Depth), Verdict::NotEvaluated);
}

#[test]
fn machines_of_one_kit_run_on_the_supply_they_share() {
    let two = "[{ part = \"twofold\" }, { part = \"other\" }]";
    let kit = TWOFOLD.replace(
        "compressor = \"twofold\"\n",
        &format!("compressor = {two}\n"),
    );
    let kit = kit.replace("PACKAGE", "").replace("OPTION", "");
    let shared = audit(&kit);
    assert_eq!(of(&shared, "power.supply").len(), 0);
    // 34 W at 115 V and 33 W, not the 62 W of the first listing.
    assert!((rated(&shared, Claim::Power).unwrap() - 67.0).abs() < 1e-9);
    let apart = audit(&kit.replace("voltage = \"115 V\"", "voltage = \"277 V\""));
    assert_eq!(of(&apart, "power.supply").len(), 1);
}

/// Two phases of a supply, or one and neutral, run what is made for one phase; the other way round nothing runs.
#[test]
fn a_three_phase_supply_runs_machines_for_one_phase() {
    for supply in ["400 V 50 Hz three-phase", "230 V 50 Hz three-phase"] {
        let outcome = sold(&format!("supply = \"{supply}\""), "");
        assert_eq!(of(&outcome, "power.supply").len(), 0, "{supply}");
        assert_eq!(rated(&outcome, Claim::Power), Some(62.0), "{supply}");
    }
    let second = |plate: &str| {
        let other = "voltage = \"120 V\"\nfrequency = \"60 Hz\"";
        assert!(TWOFOLD.contains(other));
        let two = "compressor = [{ part = \"twofold\" }, { part = \"other\" }]\n";
        let kit = TWOFOLD.replace("compressor = \"twofold\"\n", two);
        let kit = kit.replace(other, plate);
        of(
            &audit(&kit.replace("PACKAGE", "").replace("OPTION", "")),
            "power.supply",
        )
        .len()
    };
    let three = "frequency = \"50 Hz\"\nsupply = \"three-phase\"";
    assert_eq!(second(&format!("voltage = \"400 V\"\n{three}")), 0);
    assert_eq!(second(&format!("voltage = \"230 V\"\n{three}")), 0);
    assert_eq!(
        second("voltage = \"480 V\"\nfrequency = \"60 Hz\"\nsupply = \"three-phase\""),
        1
    );
    let blower = TWOFOLD.replacen(
        "frequency = \"50 Hz\"",
        "frequency = \"50 Hz\"\nsupply = \"three-phase\"",
        1,
    );
    let one_phase = blower
        .replace("PACKAGE", "supply = \"230 V 50 Hz\"")
        .replace("OPTION", "");
    assert_eq!(of(&audit(&one_phase), "power.supply").len(), 1);
}

#[test]
fn supplies_nobody_chose_are_audited_too() {
    let text = TWOFOLD.replace("PACKAGE", "").replace("OPTION", "");
    let sound = audit(&text);
    for rule in ["power.volt-amperes", "power.impossible", "curve.disagrees"] {
        assert_eq!(of(&sound, rule).len(), 0, "{rule}");
    }
    for (was, is, rule) in [
        (
            "power = { is = \"34 W\", at = \"10 kPa\" }",
            "power = { is = \"34 W\", at = \"10 kPa\" }\ncurrent = \"0.2 A\"",
            "power.volt-amperes",
        ),
        ("is = \"34 W\"", "is = \"4 W\"", "power.impossible"),
        (
            "\"34 W\", at = \"10 kPa\"",
            "\"34 W\", at = \"20 kPa\"",
            "curve.disagrees",
        ),
        (
            "flow = \"42 L/min\" },\n  { pressure = \"18 kPa\", flow = \"0 L/min\" },\n]\n\n[[",
            "flow = \"72 L/min\" },\n  { pressure = \"18 kPa\", flow = \"0 L/min\" },\n]\n\n[[",
            "curve.rising",
        ),
    ] {
        assert!(text.contains(was), "{was}");
        let found = audit(&text.replacen(was, is, 1));
        assert_eq!(of(&found, rule).len(), 1, "{rule}");
    }
}

#[test]
fn three_phases_carry_the_root_of_three_times_as_much() {
    let plate = |supply: &str, amperes: &str| {
        let text = format!(
            "[catalog]\nformat = 1\ntitle = \"Otter Mill Water\"\n[compressor.blower]\n\
             technology = \"regenerative-blower\"\n{supply}\npower = \"1.1 kW\"\ncurrent = \"{amperes} A\"\n\
             max_pressure = \"20 kPa\"\nopen_flow = \"2400 L/min\"\n"
        );
        of(&audit(&text), "power.volt-amperes").len()
    };
    // 1.1 kW at 400 V: 1.59 A on three phases, 2.75 A on one.
    let three = "voltage = \"400 V\"\nfrequency = \"50 Hz\"\nsupply = \"three-phase\"";
    assert_eq!((plate(three, "1.7"), plate(three, "1.4")), (0, 1));
    // What may be three-phase isn't accused of being on one.
    let unsaid = "voltage = \"400 V\"\nfrequency = \"50 Hz\"";
    assert_eq!((plate(unsaid, "1.7"), plate(unsaid, "1.4")), (0, 1));
    // 1.1 kW at 230 V: 2.76 A on three phases, 4.78 A on one.
    let three = "voltage = \"230 V\"\nfrequency = \"50 Hz\"\nsupply = \"three-phase\"";
    let one = "voltage = \"230 V\"\nfrequency = \"50 Hz\"";
    assert_eq!((plate(three, "3.0"), plate(one, "3.0")), (0, 1));
}
