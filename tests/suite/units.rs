//! The unit table, the reader and the reference conditions against the outside.

use std::fs;

use crate::published_rows::cells;
use nameplate::units::air::{self, REFERENCES};
use nameplate::units::quantity::{AbsolutePressure, si};
use nameplate::units::{
    Conventions, Currency, Dimension, Fault, FaultKind, Gallon, Ratio, Unit, math, read,
    read_under, table,
};
use proptest::prelude::*;

/// The rows of a published table, without its remarks and its header.
fn published(name: &str) -> Vec<Vec<String>> {
    let path = format!("{}/tests/published/{name}", env!("CARGO_MANIFEST_DIR"));
    let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    text.lines()
        .filter(|line| !line.starts_with('#'))
        .skip(1)
        .map(cells)
        .collect()
}

fn unit(spelling: &str) -> Unit {
    Unit::known(spelling).unwrap_or_else(|| panic!("{spelling} is in the table"))
}

/// pint 0.25.3 with fractions, and Python's fractions where pint has no unit: see
/// `tests/published/units_pint.py`. Exactly equal, every unit both ways.
#[test]
fn every_factor_is_that_of_pint_exactly() {
    let rows = published("units_pint.csv");
    let ratio = |a: &str, b: &str| Ratio::new(a.parse().unwrap(), b.parse().unwrap()).unwrap();
    let mut seen = Vec::new();
    for row in &rows {
        let unit = unit(&row[0]);
        assert_eq!(unit.factor(), ratio(&row[1], &row[2]), "factor of {unit}");
        assert_eq!(unit.offset(), ratio(&row[3], &row[4]), "offset of {unit}");
        seen.push(unit);
    }
    for unit in table::all().chain(table::money(Currency::USD)) {
        assert!(seen.contains(&unit), "{unit} is in the published table");
    }
}

/// NIST Special Publication 811 (2008), appendix B.9, to the last printed digit.
#[test]
fn factors_are_those_of_sp_811_to_the_printed_digit() {
    let rows = published("units_nist.csv");
    assert!(rows.len() > 40);
    for row in rows {
        let unit = unit(&row[0]);
        let printed: f64 = row[1].parse().unwrap();
        let decimals = row[1].split_once('.').map_or(0, |(_, d)| d.len());
        let power: i32 = row[2].parse().unwrap();
        let value = unit.factor().to_f64() / math::powi(10.0, power);
        let half = 0.5 / math::powi(10.0, decimals as i32);
        // Half of the last digit, and the last place of the double beside it.
        assert!(
            (value - printed).abs() <= half * (1.0 + 1e-9),
            "{unit}: {value} and {printed}"
        );
    }
}

/// SP 811 prints the acre and acre-foot by the US survey foot, 1200/3937 m, which this
/// table doesn't use: 4.046 873 E+03 m2 and 1.233 489 E+03 m3 (read in a copy of the table).
#[test]
fn the_acre_is_the_international_one() {
    let survey = 1200.0 / 3937.0 / 0.3048;
    let acre = unit("acre").factor().to_f64();
    assert_eq!(acre, 4046.8564224);
    assert!((acre - 4046.873).abs() > 0.01, "not the survey acre");
    assert!((acre * survey * survey - 4046.873).abs() < 0.0005);
    let acre_foot = unit("acre-ft").factor().to_f64();
    assert!((acre_foot * survey * survey * survey - 1233.489).abs() < 0.0005);
}

/// Values that follow from definitions in full: a pound-force on a square inch, the
/// conventional columns, the two horsepowers, and the house's reference amounts.
#[test]
fn definitions_to_their_last_digit() {
    let factor = |spelling: &str| unit(spelling).factor();
    let psi = Ratio::new(44_482_216_152_605, 6_451_600_000).unwrap();
    assert_eq!(factor("psi"), psi);
    assert_eq!(factor("psia"), psi);
    assert_eq!(factor("inH2O"), Ratio::new(24_908_891, 100_000).unwrap());
    assert_eq!(factor("ftH2O"), Ratio::new(298_906_692, 100_000).unwrap());
    assert_eq!(
        factor("mmHg"),
        Ratio::new(133_322_387_415, 1_000_000_000).unwrap()
    );
    assert_eq!(
        factor("hp"),
        Ratio::new(74_569_987_158_227_022, 100_000_000_000_000).unwrap()
    );
    assert_eq!(
        factor("hp(metric)"),
        Ratio::new(73_549_875, 100_000).unwrap()
    );
    let scfm = factor("scfm").to_f64();
    assert!((scfm / 5.68271e-4 - 1.0).abs() < 1e-6, "{scfm}");
    let normal = scfm / factor("Nm3/h").to_f64();
    assert!((normal / 1.58310 - 1.0).abs() < 1e-5, "{normal}");
}

/// CoolProp 8.0.0, a general-purpose library of fluid properties, real gas: 0.1 %.
#[test]
fn moist_air_is_that_of_coolprop() {
    let rows = published("units_air.csv");
    assert_eq!(rows.len(), 6);
    for row in rows {
        let number = |column: usize| row[column].parse::<f64>().unwrap();
        let pressure = AbsolutePressure::pascals(number(1));
        let density = air::moist_air_density(pressure, si::celsius(number(2)), number(3)).value;
        assert!(
            (density / number(4) - 1.0).abs() < number(5),
            "{row:?} {density}"
        );
    }
    // Water vapour at saturation, CoolProp 8.0.0 `PropsSI("P", "T", t, "Q", 0, "Water")`.
    for (celsius, pressure) in [
        (5.0, 872.5751),
        (10.0, 1228.1989),
        (20.0, 2339.3182),
        (30.0, 4246.9708),
        (40.0, 7384.9381),
    ] {
        let calculated = air::saturation_pressure(si::celsius(celsius)).value();
        assert!(
            (calculated / pressure - 1.0).abs() < 4e-3,
            "{celsius} {calculated}"
        );
    }
    let dry = air::dry_air_density(AbsolutePressure::pascals(101_325.0), si::celsius(20.0)).value;
    assert!((dry / air::HOUSE_STANDARD_DENSITY.to_f64() - 1.0).abs() < 1e-15);
    assert!((dry / 1.204_10 - 1.0).abs() < 5e-6);
}

/// Mole ratios of reference conditions by the ideal gas, with the saturation pressure
/// of CoolProp 8.0.0 (2339.318 Pa at 20 degC) where there is moisture; the formula here
/// differs by 0.25 % in that pressure, hence by less than 5 in the last digit.
#[test]
fn reference_conditions_relate_as_calculated_elsewhere() {
    let expected = [
        ("scfm", 1.0, 1.0),
        ("CAGI, ISO 1217", 0.98692, 0.98692),
        ("ASME", 1.00028, 0.99196),
        ("60 degF, gas trade", 1.01539, 1.01539),
        ("fan standard air", 0.99622, 0.99622),
        ("Nm3/h", 1.07322, 1.07322),
        ("ANR, ISO 8778", 0.98692, 0.97192),
        ("standard atmosphere at sea level", 1.01735, 1.01735),
    ];
    assert_eq!(expected.len(), REFERENCES.len());
    for (reference, (label, gas, dry)) in REFERENCES.iter().zip(expected) {
        assert_eq!(reference.label, label);
        assert!((reference.gas_to_house() - gas).abs() < 1e-5, "{label}");
        assert!((reference.dry_air_to_house() - dry).abs() < 5e-5, "{label}");
    }
    // The unit table and this table must not drift apart.
    let normal = unit("Nm3/h").factor().to_f64() * 3600.0;
    let density = air::NORMAL.dry_density().value;
    assert!((normal / density - 1.0).abs() < 1e-14);
}

#[test]
fn the_printed_table_has_every_dimension_and_describes_every_unit() {
    let groups: Vec<_> = table::by_dimension().collect();
    assert_eq!(groups.len(), Dimension::ALL.len());
    for (dimension, units) in groups {
        assert!(!units.is_empty());
        assert!(dimension.words().starts_with("a"));
        for unit in units {
            assert_eq!(unit.dimension(), dimension);
            assert!(!unit.description().is_empty(), "{unit}");
        }
    }
}

/// Every listed unit reads as itself, and every other spelling of it as a sure
/// correction to it.
#[test]
fn every_spelling_is_read() {
    for unit in table::all().chain(table::money(Currency::EUR)) {
        let text = format!("2.50 {unit}");
        let quantity = read(&text, &[unit.dimension()]).quantity.expect(&text);
        assert_eq!(quantity.unit(), unit);
        assert_eq!(read(&text, &[]).faults.is_empty(), unit.is_listed());
    }
    for unit in table::listed() {
        for alias in table::aliases(unit) {
            let text = format!("2.50 {alias}");
            let reading = read(&text, &[unit.dimension()]);
            assert_eq!(reading.quantity.expect(&text).unit(), unit, "{text}");
            let correction = reading.correction.expect(&text);
            assert_eq!(
                (correction.text, correction.sure),
                (format!("2.50 {unit}"), true)
            );
        }
    }
}

/// A long text is read in time proportional to it: ten times as long may not take a
/// hundred times as long. Counted, not timed: the texts are such that anything worse
/// than linear would not end in the time of a test run.
#[test]
fn long_texts_end() {
    for piece in [
        "1", " ", "9 ", "'5", "5'", "5 ft ", "5 to ", "±", "-", "1/", ",1", "1,500 ", "é", "\u{0}",
        "ft", "5-", "$",
    ] {
        let text = piece.repeat(1_000_000 / piece.len());
        check(&text);
        check(&format!("5 {text}"));
        check(&format!("5 ft {text}"));
        check(&format!("{text} ft"));
        check(&format!("5 ± {text}"));
    }
}

fn dimensions() -> impl Strategy<Value = Vec<Dimension>> {
    proptest::sample::subsequence(Dimension::ALL.to_vec(), 0..4)
}

/// What holds of every reading whatever was read.
fn check(text: &str) {
    for expected in [
        &[][..],
        &[Dimension::Length],
        &[Dimension::Money, Dimension::MoneyPerTime],
    ] {
        check_expecting(text, expected);
    }
}

fn check_expecting(text: &str, expected: &[Dimension]) {
    let conventions = Conventions {
        gallon: Some(Gallon::Uk),
        currency: None,
    };
    for reading in [
        read(text, expected),
        read_under(text, expected, conventions),
    ] {
        let inside =
            |range: std::ops::Range<usize>| range.start <= range.end && text.get(range).is_some();
        for fault in &reading.faults {
            assert!(inside(fault.at.clone()), "{:?} in {text:?}", fault.at);
        }
        let stops = reading
            .faults
            .iter()
            .any(|fault| !fault.kind.leaves_value());
        assert_eq!(reading.quantity.is_none(), stops, "{text:?}");
        assert!(reading.quantity.is_some() || !reading.faults.is_empty());
        for quantity in reading
            .quantity
            .iter()
            .chain(&reading.misfit)
            .chain(&reading.alternatives)
        {
            assert_eq!(quantity.text(), text);
            assert!(inside(quantity.number_at()) && inside(quantity.unit_at()));
            assert!(quantity.si_low() <= quantity.si_central());
            assert!(quantity.si_central() <= quantity.si_high());
            let (low, high) = quantity.rounding();
            assert!(low <= quantity.si_low() && quantity.si_high() <= high);
        }
        if let Some(quantity) = &reading.quantity {
            assert!(expected.is_empty() || expected.contains(&quantity.dimension()));
        }
        // A correction is itself correct, and a sure one means what was written.
        if let Some(correction) = &reading.correction {
            let again = read(&correction.text, expected);
            assert_eq!(again.faults, [], "{text:?} {:?}", correction.text);
            let Some(corrected) = again.quantity else {
                panic!("{text:?}: the correction {:?} has a value", correction.text);
            };
            if correction.sure {
                let Some(written) = &reading.quantity else {
                    panic!("{text:?}: what is surely corrected has a value");
                };
                let near = |a: f64, b: f64| (a - b).abs() <= 1e-14 * a.abs().max(b.abs());
                assert!(near(corrected.si_low(), written.si_low()), "{text:?}");
                assert!(near(corrected.si_high(), written.si_high()), "{text:?}");
            }
        }
    }
}

/// Pieces that quantities are made of, in any order.
fn pieces() -> impl Strategy<Value = String> {
    let piece = prop_oneof![
        Just("5"),
        Just("1"),
        Just("500"),
        Just("0"),
        Just("."),
        Just(","),
        Just("/"),
        Just("/4"),
        Just(" "),
        Just(" "),
        Just("\u{a0}"),
        Just("-"),
        Just("–"),
        Just(" to "),
        Just("±"),
        Just("+/-"),
        Just("e3"),
        Just("e-400"),
        Just("ft"),
        Just("'"),
        Just("\""),
        Just("in"),
        Just("W"),
        Just("watts"),
        Just("cmf"),
        Just("%"),
        Just("degC"),
        Just("degF"),
        Just("gal"),
        Just("$"),
        Just("USD"),
        Just("/month"),
        Just("per"),
        Just("m3/h"),
        Just("½"),
        Just("lb"),
        Just("oz"),
        Just("MPa"),
        Just("Mw"),
        Just("VDC"),
        Just("−"),
        Just("⁄"),
        Just("_"),
    ];
    prop::collection::vec(piece, 0..10).prop_map(|pieces| pieces.concat())
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 3000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_without_harm(text in any::<String>(), expected in dimensions()) {
        check_expecting(&text, &expected);
    }

    #[test]
    fn any_order_of_pieces_is_read_without_harm(text in pieces(), expected in dimensions()) {
        check_expecting(&text, &expected);
        check_expecting(&text, &[]);
    }

    #[test]
    fn what_is_written_is_read_back(
        whole in 0u32..100_000,
        decimals in prop::option::of("[0-9]{1,6}"),
        exponent in prop::option::of(-9i32..9),
        negative: bool,
        index in 0usize..1000,
    ) {
        let units: Vec<Unit> = table::listed().chain(table::money(Currency::NZD)).collect();
        let unit = units[index % units.len()];
        let sign = if negative { "-" } else { "" };
        let point = decimals.map_or(String::new(), |d| format!(".{d}"));
        let power = exponent.map_or(String::new(), |e| format!("e{e}"));
        let number = format!("{sign}{whole}{point}{power}");
        let text = format!("{number} {unit}");
        let reading = read(&text, &[unit.dimension()]);
        if let [Fault { kind: FaultKind::BeyondScale(dimension), .. }] = reading.faults.as_slice() {
            // Only what is out of all proportion is refused.
            let si = unit.to_si(number.parse().unwrap());
            let cold = *dimension == Dimension::Temperature && si < 0.0;
            prop_assert!(cold || si.abs() >= 1e3 || si.abs() <= 1e-6, "{} is refused", text);
            return Ok(());
        }
        prop_assert_eq!(&reading.faults, &[]);
        let quantity = reading.quantity.unwrap();
        prop_assert_eq!(quantity.canonical(), text);
        prop_assert_eq!(quantity.central(), number.parse::<f64>().unwrap());
        // The exactly rounded value is within what plain arithmetic makes of it.
        let (exact, plain) = (quantity.si_central(), unit.to_si(quantity.central()));
        prop_assert!((exact - plain).abs() <= 1e-15 * 4.0 * exact.abs().max(unit.offset().to_f64()));
    }

    #[test]
    fn fractions_are_read_back(whole in 0u32..50, above in 0u32..64, denominator in 2u32..65) {
        let above = 1 + above % (denominator - 1);
        let text = format!("{whole} {above}/{denominator} in");
        let quantity = read(&text, &[]).quantity.unwrap();
        let expected = f64::from(whole * denominator + above) / f64::from(denominator);
        prop_assert_eq!(quantity.central(), expected);
    }

    #[test]
    fn ranges_are_read_back(a in 0u32..1000, b in 0u32..1000) {
        let (low, high) = (a.min(b), a.max(b));
        let quantity = read(&format!("{low} to {high} kPa"), &[]).quantity.unwrap();
        prop_assert_eq!((quantity.low(), quantity.high()), (f64::from(low), f64::from(high)));
    }
}
