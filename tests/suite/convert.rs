//! `nameplate convert`: the same quantity in other units, with honest digits.

use std::process::Command;

use uom::si::f64::{Area, Length, Mass, Power, Pressure, VolumeRate};
use uom::si::{area, length, mass, power, pressure, volume_rate};

fn convert(arguments: &[&str]) -> (Option<i32>, String, String) {
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .arg("convert")
        .args(arguments)
        .env("LC_ALL", "C.UTF-8")
        .output()
        .unwrap();
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    (
        output.status.code(),
        text(output.stdout),
        text(output.stderr),
    )
}

/// The value, and the bounds behind it.
fn line(quantity: &str, to: &str, more: &[&str]) -> String {
    let (status, text, said) = convert(&[&[quantity, "to", to], more].concat());
    assert_eq!(status, Some(0), "{quantity} to {to}: {said}");
    text.trim_end().to_string()
}

/// As many as `uom`, a general library of units, makes of it: its factors are no part of our table.
#[test]
fn values_are_those_of_another_library() {
    let cfm = |x| VolumeRate::new::<volume_rate::cubic_foot_per_minute>(x);
    let psi = |x| Pressure::new::<pressure::pound_force_per_square_inch>(x);
    for (quantity, unit, theirs) in [
        (
            "2.400000 cfm",
            "L/min",
            cfm(2.4).get::<volume_rate::liter_per_minute>(),
        ),
        (
            "2.400000 cfm",
            "m3/h",
            cfm(2.4).get::<volume_rate::cubic_meter_per_hour>(),
        ),
        (
            "3.600000 psi",
            "kPa",
            psi(3.6).get::<pressure::kilopascal>(),
        ),
        ("3.600000 psi", "mbar", psi(3.6).get::<pressure::millibar>()),
        (
            "1.250000 acre",
            "m2",
            Area::new::<area::acre>(1.25).get::<area::square_meter>(),
        ),
        (
            "12.00000 ft",
            "m",
            Length::new::<length::foot>(12.0).get::<length::meter>(),
        ),
        (
            "44.00000 lb",
            "kg",
            Mass::new::<mass::pound>(44.0).get::<mass::kilogram>(),
        ),
        (
            "0.250000 hp",
            "W",
            Power::new::<power::horsepower>(0.25).get::<power::watt>(),
        ),
    ] {
        let line = line(quantity, unit, &[]);
        let (value, rest) = line.split_once(' ').unwrap();
        assert!(rest.starts_with(&format!("{unit} (")), "{line}");
        let ours: f64 = value.parse().unwrap();
        // That library's acre is the survey acre, four parts in a million larger than the international one.
        assert!(
            (ours / theirs - 1.0).abs() < 5e-6,
            "{quantity}: {ours} {theirs}"
        );
    }
}

/// What is known to a tenth of a cubic foot isn't known to a hundredth of a litre.
#[test]
fn no_digit_is_shown_that_was_not_known() {
    for (quantity, to, shown) in [
        (
            "2.4 cfm",
            "L/min",
            "68 L/min (66.5 to 69.4, 67.96 if the figure is meant exactly)",
        ),
        (
            "2.4 cfm",
            "m3/h",
            "4.1 m3/h (3.99 to 4.16, 4.0776 if the figure is meant exactly)",
        ),
        (
            "6 ft",
            "m",
            "1.8 m (1.68 to 1.98, 1.8288 if the figure is meant exactly)",
        ),
        (
            "1.5 to 3 m",
            "ft",
            "4.9 to 10 ft (4.76 to 11.5, 4.9213 to 9.8425 if the figure is meant exactly)",
        ),
        ("20 degC", "degF", "68 degF (67.1 to 68.9)"),
        (
            "1 acre",
            "ft2",
            "40000 ft2 (22000 to 65000, 43560 if the figure is meant exactly)",
        ),
        ("10 EUR/month", "EUR/year", "120 EUR/year (114 to 126)"),
    ] {
        let line = line(quantity, to, &[]);
        assert_eq!(line, shown);
    }
}

/// One scfm, at 20 degC and 101.325 kPa, fills more at 1500 m, where the standard atmosphere has 84.56 kPa (U.S.
/// Standard Atmosphere 1976, from memory); and one psi is 2.31 ft of water, as every handbook of pumps has it.
#[test]
fn free_and_standard_air_are_told_apart_and_pressure_is_depth() {
    let number = |line: &str| -> f64 { line.split_once(' ').unwrap().0.parse().unwrap() };
    let high = line("1.0000 scfm", "cfm", &["--altitude", "1500 m"]);
    assert!((number(&high) - 101.325 / 84.56).abs() < 2e-3, "{high}");
    assert!(
        high.contains("as free air, drawn in at 1500 m above the sea and 20 degC"),
        "{high}"
    );
    let low = line("1.0000 scfm", "cfm", &[]);
    assert!((number(&low) - 1.0).abs() < 1e-3, "{low}");
    let back = line("1.0000 cfm", "scfm", &["--altitude", "1500 m"]);
    assert!((number(&back) * number(&high) - 1.0).abs() < 1e-3, "{back}");
    let depth = line("1.0000 psi", "ft", &[]);
    assert!((number(&depth) - 2.31).abs() < 5e-3, "{depth}");
    let weight = line("2.3100 ft", "psi", &[]);
    assert!((number(&weight) - 1.0).abs() < 3e-3, "{weight}");
}

#[test]
fn what_cannot_be_converted_is_refused_in_a_sentence() {
    for (arguments, says) in [
        (
            vec!["2.4 cfm", "to", "kPa"],
            "2.4 cfm is a volume flow, and kPa is the unit of a pressure",
        ),
        (vec!["2.4"], "with its unit"),
        (vec!["much"], "with its unit"),
        (vec!["2.4 cfm", "in", "L/min"], "stands `to` and a unit"),
        (vec!["2.4 cfm", "to"], "stands `to` and a unit"),
        (
            vec!["2.4 cfm", "to", "furlongs"],
            "is no unit of the format",
        ),
        (
            vec!["2.4 cfm", "--altitude", "high"],
            "write a length with its unit",
        ),
    ] {
        let (status, text, said) = convert(&arguments);
        assert_eq!(status, Some(2), "{arguments:?}");
        assert!(
            text.is_empty() && said.contains(says),
            "{arguments:?}: {said}"
        );
        assert_eq!(said.lines().count(), 1, "{said}");
    }
}

/// Every unit of the format converts to each other of its dimension, and nothing panics.
#[test]
fn every_unit_has_a_table() {
    let output = Command::new(env!("CARGO_BIN_EXE_nameplate"))
        .args(["schema", "units"])
        .output()
        .unwrap();
    let units = String::from_utf8(output.stdout).unwrap();
    let spellings = units
        .lines()
        .filter_map(|line| line.strip_prefix("  ")?.split("  ").next());
    let spellings: Vec<&str> = spellings.collect();
    assert!(spellings.len() > 60, "{}", spellings.len());
    for unit in spellings {
        let (status, text, said) = convert(&[&format!("1.2 {unit}")]);
        assert_eq!(status, Some(0), "{unit}: {said}");
        assert!(text.starts_with(&format!("1.2 {unit} is\n")), "{text}");
    }
}

#[test]
fn a_fraction_is_exact() {
    let here = tempfile::tempdir().unwrap();
    let told = |arguments: &[&str]| {
        let output = crate::scratch::run(here.path(), arguments);
        String::from_utf8(output.stdout).unwrap()
    };
    assert_eq!(told(&["convert", "3/8 in", "to", "mm"]), "9.525 mm\n");
    assert_eq!(
        told(&["convert", "0.4 in", "to", "mm"]),
        "10 mm (8.9 to 11.4, 10.16 if the figure is meant exactly)\n"
    );
}
