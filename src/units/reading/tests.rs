//! How the trade writes quantities, each way once.

use super::*;
use crate::units::Gallon;
use crate::units::number::Form;
use iso_currency::Currency;

fn quantity(text: &str) -> Quantity {
    let reading = read(text, &[]);
    reading
        .quantity
        .clone()
        .unwrap_or_else(|| panic!("{text:?} is read: {reading:?}"))
}

/// Written as the format has it: a value, and nothing to say about it.
#[track_caller]
fn clean(text: &str, unit: &str, low: f64, central: f64, high: f64) -> Quantity {
    let reading = read(text, &[]);
    assert_eq!(reading.faults, [], "{text:?}");
    assert_eq!(reading.correction, None, "{text:?}");
    let quantity = quantity(text);
    assert_eq!(quantity.unit(), Unit::known(unit).unwrap(), "{text:?}");
    let values = (quantity.low(), quantity.central(), quantity.high());
    assert_eq!(values, (low, central, high), "{text:?}");
    assert_eq!(quantity.canonical(), text);
    quantity
}

/// Written otherwise: the value is read, and the correction is sure.
#[track_caller]
fn sure(text: &str, corrected: &str) {
    let reading = read(text, &[]);
    assert!(
        !reading.faults.is_empty(),
        "{text:?} isn't the format's writing"
    );
    let correction = reading.correction.clone();
    let expected = Correction {
        text: corrected.to_owned(),
        sure: true,
    };
    assert_eq!(correction, Some(expected), "{text:?} {reading:?}");
    let (read_as, meant) = (quantity(text), quantity(corrected));
    assert_eq!(read_as.si_low(), meant.si_low(), "{text:?}");
    assert_eq!(read_as.si_high(), meant.si_high(), "{text:?}");
    assert_eq!(read(corrected, &[]).faults, [], "{corrected:?}");
}

/// Not readable: the one fault, and what is offered.
#[track_caller]
fn fault(text: &str, expected: &[Dimension], offered: Option<&str>) -> FaultKind {
    let reading = read(text, expected);
    assert_eq!(reading.quantity, None, "{text:?}");
    assert_eq!(reading.faults.len(), 1, "{text:?} {reading:?}");
    let correction = reading.correction.clone();
    assert_eq!(
        correction.as_ref().map(|c| c.text.as_str()),
        offered,
        "{text:?} {reading:?}"
    );
    assert!(correction.is_none_or(|c| !c.sure));
    reading.faults[0].kind.clone()
}

#[test]
fn numbers_of_the_format() {
    clean("1.8 cfm", "cfm", 1.8, 1.8, 1.8);
    clean("3/4 in", "in", 0.75, 0.75, 0.75);
    clean("1 1/2 in", "in", 1.5, 1.5, 1.5);
    clean("¼ acre", "acre", 0.25, 0.25, 0.25);
    clean("1¼ acre", "acre", 1.25, 1.25, 1.25);
    clean("1e3 L/min", "L/min", 1000.0, 1000.0, 1000.0);
    clean("2.5E-2 m3/h", "m3/h", 0.025, 0.025, 0.025);
    clean("-5 degC", "degC", -5.0, -5.0, -5.0);
    clean("+5 degC", "degC", 5.0, 5.0, 5.0);
    clean("0 kPa", "kPa", 0.0, 0.0, 0.0);
    clean("15 %", "%", 15.0, 15.0, 15.0);
    clean("1 /day", "/day", 1.0, 1.0, 1.0);
    clean("0.42 kg/m", "kg/m", 0.42, 0.42, 0.42);
    clean("1.3 scfm/acre", "scfm/acre", 1.3, 1.3, 1.3);
    clean("0.21 USD/kWh", "USD/kWh", 0.21, 0.21, 0.21);
    clean("6.50 USD/month", "USD/month", 6.5, 6.5, 6.5);
    clean("1200 JPY", "JPY", 1200.0, 1200.0, 1200.0);
}

#[test]
fn ranges_tolerances_and_compounds() {
    let compound = clean("5 ft 6 in", "ft", 5.5, 5.5, 5.5);
    assert_eq!(compound.si_central(), 1.6764);
    clean("5 ft 6 1/2 in", "ft", 66.5 / 12.0, 66.5 / 12.0, 66.5 / 12.0);
    clean("2 lb 3 oz", "lb", 2.1875, 2.1875, 2.1875);
    clean("-5 ft 6 in", "ft", -5.5, -5.5, -5.5);
    clean("40 to 60 W", "W", 40.0, 50.0, 60.0);
    clean("-10 to 40 degC", "degC", -10.0, 15.0, 40.0);
    clean("5 ft 6 in to 7 ft", "ft", 5.5, 6.25, 7.0);
    clean("1/2 to 3/4 in", "in", 0.5, 0.625, 0.75);
    clean("75 W ± 5 %", "W", 71.25, 75.0, 78.75);
    let spelled = quantity("75 W +/- 5 %");
    assert_eq!((spelled.low(), spelled.high()), (71.25, 78.75));
    assert_eq!(
        read("75 W +/- 5 %", &[]).faults,
        [],
        "both signs are the format's"
    );
    clean("75 W ± 4 W", "W", 71.0, 75.0, 79.0);
    // A tolerance of a temperature is a difference: no 273.15 in it.
    let tolerance = clean("20 degC ± 2 degC", "degC", 18.0, 20.0, 22.0);
    assert_eq!((tolerance.si_low(), tolerance.si_high()), (291.15, 295.15));
}

#[test]
fn exactly_rounded_in_the_si() {
    assert_eq!(quantity("12 in").si_central(), 0.3048);
    assert_eq!(quantity("9 ft").si_central(), 2.7432);
    assert_eq!(quantity("1 acre").si_central(), 4046.8564224);
    assert_eq!(quantity("10 inH2O").si_central(), 2490.8891);
    assert_eq!(quantity("1 hp").si_central(), 745.699_871_582_270_2);
    assert_eq!(quantity("68 degF").si_central(), 293.15);
    assert_eq!(quantity("20 degC").si_central(), 293.15);
    let equal = |a: &str, b: &str| quantity(a).compare_exact(&quantity(b));
    assert_eq!(equal("12 in", "1 ft"), Some(std::cmp::Ordering::Equal));
    assert_eq!(equal("68 degF", "20 degC"), Some(std::cmp::Ordering::Equal));
    assert_eq!(equal("1 ft", "30 cm"), Some(std::cmp::Ordering::Greater));
    assert_eq!(equal("1 ft", "1 psi"), None);
    assert_eq!(equal("1 USD", "1 EUR"), None);
    assert_eq!(equal("1 to 2 ft", "1 ft"), None);
}

#[test]
fn the_written_digits_are_kept() {
    let digits = |text: &str| {
        let quantity = quantity(text);
        let number = quantity.number().clone();
        (
            number.resolution(),
            number.half_width(),
            number.significant(),
        )
    };
    assert_eq!(digits("2.50 m"), (0.01, 0.005, Some((3, 3))));
    assert_eq!(digits("2.5 m"), (0.1, 0.05, Some((2, 2))));
    assert_eq!(digits("200 ft"), (1.0, 0.5, Some((1, 3))));
    assert_eq!(digits("0.05 m"), (0.01, 0.005, Some((1, 1))));
    assert_eq!(digits("1e3 m"), (1000.0, 500.0, Some((1, 1))));
    assert_eq!(digits("0 m"), (1.0, 0.5, Some((1, 1))));
    // A fraction isn't rounded.
    assert_eq!(digits("3/8 in"), (0.125, 0.0, None));
    assert_eq!(
        quantity("3/8 in").number().form(),
        Form::Fraction { denominator: 8 }
    );
    assert_eq!(
        quantity("2.50 m").number().form(),
        Form::Decimal {
            decimals: 2,
            exponent: 0
        }
    );
    let close = |(low, high): (f64, f64), a: f64, b: f64| {
        assert!(
            (low - a).abs() < 1e-12 && (high - b).abs() < 1e-12,
            "{low} {high}"
        );
    };
    close(quantity("2.5 m").rounding(), 2.45, 2.55);
    close(quantity("40 to 60 W").rounding(), 39.5, 60.5);
    close(quantity("75 W ± 5 %").rounding(), 71.25, 78.75);
    close(
        quantity("5 ft 6 in").rounding(),
        65.5 * 0.0254,
        66.5 * 0.0254,
    );
    close(quantity("¼ acre").rounding(), 1011.7141056, 1011.7141056);
    close(quantity("20 degC").rounding(), 292.65, 293.65);
}

#[test]
fn places_are_bytes_of_the_string() {
    let places = |text: &str| {
        let quantity = quantity(text);
        assert_eq!(quantity.text(), text);
        let (number, unit) = (quantity.number_at(), quantity.unit_at());
        (text[number].to_owned(), text[unit].to_owned())
    };
    let pair = |a: &str, b: &str| (a.to_owned(), b.to_owned());
    assert_eq!(places("1.8 cfm"), pair("1.8", "cfm"));
    assert_eq!(places(" ¼  acre "), pair("¼", "acre"));
    assert_eq!(places("40 to 60 W"), pair("40 to 60", "W"));
    assert_eq!(places("40 watts to 60 W"), pair("40 watts to 60", "watts"));
    assert_eq!(places("5 ft 6 in"), pair("5 ft 6", "ft"));
    assert_eq!(places("5'6\""), pair("5'6", "'"));
    assert_eq!(places("75 W ± 5 %"), pair("75", "W"));
    assert_eq!(places("US$ 6.50/month"), pair("6.50", "US$"));
}

#[test]
fn other_spellings_have_a_sure_correction() {
    for (text, corrected) in [
        ("6 feet", "6 ft"),
        ("6'", "6 ft"),
        ("6 ′", "6 ft"),
        ("1/2\"", "1/2 in"),
        ("1/2 inch", "1/2 in"),
        ("5 in.", "5 in"),
        ("5'6\"", "5 ft 6 in"),
        ("5' 6\"", "5 ft 6 in"),
        ("5′ 6½″", "5 ft 6½ in"),
        ("5 ft 6\"", "5 ft 6 in"),
        ("5 ft. 6 in.", "5 ft 6 in"),
        ("5ft6in", "5 ft 6 in"),
        ("1.8 CFM", "1.8 cfm"),
        ("1.8 ft³/min", "1.8 cfm"),
        ("1.8 SCFM", "1.8 scfm"),
        ("45 l/min", "45 L/min"),
        ("45 lpm", "45 L/min"),
        ("45 LPM", "45 L/min"),
        ("60 m³/h", "60 m3/h"),
        ("60 m^3/hr", "60 m3/h"),
        ("60 M3/H", "60 m3/h"),
        ("60 Nm³/h", "60 Nm3/h"),
        ("15 kpa", "15 kPa"),
        ("15 KPA", "15 kPa"),
        ("5 PSI", "5 psi"),
        ("5 psi(g)", "5 psig"),
        ("5 PSIG", "5 psig"),
        ("5 lb/in²", "5 psi"),
        ("60 in. w.c.", "60 inH2O"),
        ("60 \"H2O", "60 inH2O"),
        ("60\" w.c.", "60 inH2O"),
        ("60 inches of water", "60 inH2O"),
        ("10 ft of head", "10 ftH2O"),
        ("2 m water column", "2 mH2O"),
        ("101 kPa abs", "101 kPa(abs)"),
        ("1 bara", "1 bar(abs)"),
        ("200 hPa", "200 mbar"),
        ("20 °C", "20 degC"),
        ("20°C", "20 degC"),
        ("68 ° F", "68 degF"),
        ("68 deg. F", "68 degF"),
        ("38 dBA", "38 dB(A)"),
        ("38 dB (A)", "38 dB(A)"),
        ("1/4 HP", "1/4 hp"),
        ("75 Watt", "75 W"),
        ("75 watts", "75 W"),
        ("75 w", "75 W"),
        ("115 Volt", "115 V"),
        ("115 VAC", "115 V"),
        ("115 V AC", "115 V"),
        ("0.7 amps", "0.7 A"),
        ("500 sq ft", "500 ft2"),
        ("500 sq. ft.", "500 ft2"),
        ("500 sqft", "500 ft2"),
        ("500 ft²", "500 ft2"),
        ("2 acres", "2 acre"),
        ("2 hectares", "2 ha"),
        ("9 cu ft", "9 ft3"),
        ("11 lbs", "11 lb"),
        ("30 lb/100 ft", "30 lb/100ft"),
        ("24 hrs", "24 h"),
        ("2 per day", "2 /day"),
        ("2 1/day", "2 /day"),
        ("2x per day", "2 /day"),
        ("2 % per foot", "2 %/ft"),
        ("15 percent", "15 %"),
        ("3 acre-feet", "3 acre-ft"),
        ("100 US gal", "100 gal(US)"),
        ("100 imperial gallons", "100 gal(UK)"),
        ("10 US gpm", "10 gpm(US)"),
        ("6.50 USD per month", "6.50 USD/month"),
        ("6.50 usd/mo", "6.50 USD/month"),
        ("€0.21/kWh", "0.21 EUR/kWh"),
        ("0.21 € per kWh", "0.21 EUR/kWh"),
        ("£5", "5 GBP"),
        ("£5 to £7", "5 to 7 GBP"),
        ("US$6.50/month", "6.50 USD/month"),
        ("USD 6.50 a month", "6.50 USD/month"),
        ("EUR 12/m", "12 EUR/m"),
    ] {
        sure(text, corrected);
    }
}

#[test]
fn other_writings_have_a_sure_correction() {
    for (text, corrected) in [
        ("12kW", "12 kW"),
        ("5%", "5 %"),
        ("5  ft", "5 ft"),
        (" 5 ft ", "5 ft"),
        ("5\u{a0}ft", "5 ft"),
        ("5\u{2009}ft", "5 ft"),
        ("5\u{202f}ft", "5 ft"),
        ("100-ft", "100 ft"),
        (".5 in", "0.5 in"),
        ("5. in", "5 in"),
        ("\u{2212}5 degC", "-5 degC"),
        ("1-1/2 in", "1 1/2 in"),
        ("1\u{a0}1/2 in", "1 1/2 in"),
        ("3\u{2044}4 in", "3/4 in"),
        ("1 3\u{2044}4 in", "1 3/4 in"),
        ("40-60 W", "40 to 60 W"),
        ("40 - 60 W", "40 to 60 W"),
        ("40\u{2013}60 W", "40 to 60 W"),
        ("40 \u{2014} 60 W", "40 to 60 W"),
        ("40 W to 60 W", "40 to 60 W"),
        ("40W-60W", "40 to 60 W"),
        ("40 TO 60 W", "40 to 60 W"),
        ("10…45 L/min", "10 to 45 L/min"),
        ("75 W ±5%", "75 W ± 5 %"),
        ("75 W +- 5 %", "75 W ± 5 %"),
        ("75 ± 4 W", "75 W ± 4 W"),
        ("75 W ± 5 percent", "75 W ± 5 %"),
    ] {
        sure(text, corrected);
    }
    let styles = |text: &str| -> Vec<FaultKind> {
        read(text, &[])
            .faults
            .into_iter()
            .map(|fault| fault.kind)
            .collect()
    };
    assert_eq!(styles("12kW"), [FaultKind::Writing(Style::Spacing)]);
    assert_eq!(styles("40-60 W"), [FaultKind::Writing(Style::RangeJoint)]);
    assert_eq!(
        styles("40 W to 60 W"),
        [FaultKind::Writing(Style::UnitTwice)]
    );
    assert_eq!(styles("EUR 5"), [FaultKind::Writing(Style::MoneyFirst)]);
    // What the unit's correction mends anyway has no word of its own.
    let canonical = Unit::listed("ft").unwrap();
    assert_eq!(
        styles("5feet"),
        [FaultKind::UnitSpelling {
            canonical,
            loses: false
        }]
    );
    let second = read("5 ft 6\"", &[]);
    assert_eq!(
        second.faults[0].at,
        6..7,
        "the inches are at fault, not the feet"
    );
}

#[test]
fn direct_current_is_read_but_not_corrected_without_asking() {
    let reading = read("12 VDC", &[Dimension::Voltage]);
    assert_eq!(reading.quantity.as_ref().map(Quantity::central), Some(12.0));
    assert_eq!(
        reading.correction,
        Some(Correction {
            text: "12 V".into(),
            sure: false
        })
    );
}

#[test]
fn units_outside_the_list_are_restated() {
    let restated = |text: &str| {
        let reading = read(text, &[]);
        let correction = reading.correction.expect("a restatement");
        assert!(reading.quantity.is_some());
        (correction.text, correction.sure)
    };
    assert_eq!(restated("0.4 MPa"), ("400 kPa".into(), true));
    assert_eq!(restated("1 kg/cm2"), ("98.0665 kPa".into(), true));
    assert_eq!(restated("2 to 3 mi"), ("10560 to 15840 ft".into(), true));
    assert_eq!(restated("0.5 t ± 2 %"), ("500 kg ± 2 %".into(), true));
    assert_eq!(restated("1 atm"), ("101.325 kPa(abs)".into(), true));
    assert_eq!(restated("750 mL"), ("0.75 L".into(), true));
    assert_eq!(restated("100 cfh"), ("1.67 cfm".into(), false));
    assert_eq!(restated("20 min"), ("0.333 h".into(), false));
    assert_eq!(restated("528 degR"), ("68.33 degF".into(), true));
}

#[test]
fn what_is_no_quantity_says_what_belongs_there() {
    use Dimension::*;
    for text in [
        "",
        " ",
        "about 5",
        "five ft",
        "N/A",
        "-",
        "ft",
        "5 ft deep",
        "up to 5 ft",
        "nan W",
        "inf W",
        "1/2/3 ft",
        "1.2.3 ft",
        "1,2,3 ft",
        "5 ft 14 in",
        "5 ft 6 lb",
        "1 3/2 in",
        "5 ft to 60 psi",
        "40 to 60 to 80 W",
        "75 W ± 5 ft",
    ] {
        let kind = fault(text, &[Length], None);
        assert_eq!(
            kind,
            FaultKind::NotAQuantity {
                expected: vec![Length]
            },
            "{text:?}"
        );
    }
    let missing = fault("5", &[Length, GaugePressure], None);
    assert_eq!(
        missing,
        FaultKind::UnitMissing {
            expected: vec![Length, GaugePressure]
        }
    );
    assert!(matches!(
        fault("40 to 60", &[], None),
        FaultKind::UnitMissing { .. }
    ));
    let deep = read("5 ft deep", &[Length]);
    assert_eq!(deep.faults[0].at, 5..9);
}

#[test]
fn a_misspelt_unit_is_offered_the_nearest() {
    use Dimension::*;
    let offered = |text: &str, expected: &[Dimension], correction: &str| match fault(
        text,
        expected,
        Some(correction),
    ) {
        FaultKind::UnitUnknown { offered } => offered.map(|unit| unit.to_string()),
        other => panic!("{text}: {other:?}"),
    };
    assert_eq!(offered("1.8 cmf", &[], "1.8 cfm").as_deref(), Some("cfm"));
    assert_eq!(
        offered("5 psl", &[GaugePressure], "5 psi").as_deref(),
        Some("psi")
    );
    assert_eq!(offered("5 M", &[Length], "5 m").as_deref(), Some("m"));
    assert_eq!(
        offered("20 m3/hx", &[VolumeFlow], "20 m3/h").as_deref(),
        Some("m3/h")
    );
    assert_eq!(
        offered("40 to 60 Wats", &[Power], "40 to 60 W").as_deref(),
        Some("W")
    );
    assert_eq!(
        offered("10 ft of watr", &[GaugePressure], "10 ftH2O").as_deref(),
        Some("ftH2O")
    );
    assert_eq!(
        offered("40 cmf to 60 cfm", &[], "40 to 60 cfm").as_deref(),
        Some("cfm")
    );
    assert!(matches!(
        fault("5 furlongs", &[Length], None),
        FaultKind::UnitUnknown { offered: None }
    ));
    // `Kpa` can be nothing but kPa: that is a spelling, with its value.
    sure("15 Kpa", "15 kPa");
}

#[test]
fn a_unit_of_something_else_is_a_misfit() {
    use Dimension::*;
    let wrong = |text: &str, expected: &[Dimension], correction: Option<&str>| {
        let reading = read(text, expected);
        assert!(reading.misfit.is_some(), "{text}");
        let kind = fault(text, expected, correction);
        let FaultKind::WrongDimension {
            found,
            expected: wanted,
            offered,
        } = kind
        else {
            panic!("{text}: {kind:?}");
        };
        assert_eq!(wanted, expected);
        (found, offered.map(|unit| unit.to_string()))
    };
    let some = |unit: &str| Some(unit.to_owned());
    assert_eq!(wrong("6 psi", &[Length], None), (GaugePressure, None));
    assert_eq!(
        wrong("10 ft", &[GaugePressure], Some("10 ftH2O")),
        (Length, some("ftH2O"))
    );
    assert_eq!(
        wrong("10 feet", &[GaugePressure], Some("10 ftH2O")),
        (Length, some("ftH2O"))
    );
    assert_eq!(
        wrong("2 scfm", &[VolumeFlow], Some("2 cfm")),
        (AirAmount, some("cfm"))
    );
    assert_eq!(
        wrong("38 dB", &[WeightedSoundLevel], Some("38 dB(A)")),
        (SoundLevel, some("dB(A)"))
    );
    assert_eq!(
        wrong("14.7 psia", &[GaugePressure], Some("14.7 psi")),
        (AbsolutePressure, some("psi"))
    );
    assert_eq!(wrong("5 USD", &[MoneyPerTime], None), (Money, None));
    assert_eq!(wrong("100 gal", &[Length], None).0, Volume);
    assert!(read("2 scfm", &[VolumeFlow, AirAmount]).faults.is_empty());
}

#[test]
fn an_ambiguous_unit_lists_what_it_can_be() {
    use Dimension::*;
    let candidates = |text: &str, expected: &[Dimension]| -> Vec<String> {
        let reading = read(text, expected);
        assert_eq!(reading.quantity, None);
        assert!(!reading.alternatives.is_empty(), "{text}");
        match &reading.faults[0].kind {
            FaultKind::Ambiguous { candidates } => {
                assert_eq!(candidates.len(), reading.alternatives.len());
                candidates.iter().map(|unit| unit.to_string()).collect()
            }
            other => panic!("{text}: {other:?}"),
        }
    };
    assert_eq!(candidates("100 gal", &[Volume]), ["gal(US)", "gal(UK)"]);
    assert_eq!(candidates("10 GPM", &[VolumeFlow]), ["gpm(US)", "gpm(UK)"]);
    assert_eq!(candidates("2 tons", &[Mass]), ["ton(US)", "ton(UK)", "t"]);
    assert_eq!(candidates("8 oz", &[Volume]), ["fl oz(US)", "fl oz(UK)"]);
    assert!(read("8 oz", &[Volume, Mass]).faults.is_empty());
    assert!(read("8 oz", &[Mass]).faults.is_empty());
    assert_eq!(
        candidates("$6.50/month", &[MoneyPerTime]),
        ["USD/month", "CAD/month", "AUD/month", "NZD/month"]
    );
    assert_eq!(candidates("5 Mw", &[Power]), ["mW", "MW"]);
    let conventions = Conventions {
        gallon: Some(Gallon::Us),
        currency: Some(Currency::USD),
    };
    let settled = |text: &str| {
        let reading = read_under(text, &[], conventions);
        reading.correction.map(|c| (c.text, c.sure))
    };
    assert_eq!(settled("10 GPM"), Some(("10 gpm(US)".into(), true)));
    assert_eq!(
        settled("$6.50/month"),
        Some(("6.50 USD/month".into(), true))
    );
    assert_eq!(settled("$5"), Some(("5 USD".into(), true)));
}

#[test]
fn separators_are_faults_with_an_offer() {
    let thousands = |text: &str, meant: &str, or: Option<&str>, offered: &str| {
        let kind = fault(text, &[], Some(offered));
        let expected = FaultKind::ThousandsSeparator {
            meant: meant.to_owned(),
            or: or.map(str::to_owned),
        };
        assert_eq!(kind, expected, "{text}");
    };
    thousands("1,500 ft2", "1500", Some("1.500"), "1500 ft2");
    thousands("1,500.5 ft2", "1500.5", None, "1500.5 ft2");
    thousands("1,234,567 gal(US)", "1234567", None, "1234567 gal(US)");
    thousands("1.234.567 L", "1234567", None, "1234567 L");
    thousands("1_500 ft2", "1500", None, "1500 ft2");
    thousands("1 500 ft2", "1500", None, "1500 ft2");
    thousands("1\u{a0}500\u{a0}000 L", "1500000", None, "1500000 L");
    thousands(
        "1,500 to 2,000 sq ft",
        "1500",
        Some("1.500"),
        "1500 to 2000 ft2",
    );
    thousands("-1,500 ft", "-1500", Some("-1.500"), "-1500 ft");
    let comma = |text: &str, meant: &str, offered: &str| {
        let kind = fault(text, &[], Some(offered));
        assert_eq!(
            kind,
            FaultKind::DecimalComma {
                meant: meant.to_owned()
            },
            "{text}"
        );
    };
    comma("5,5 m", "5.5", "5.5 m");
    comma("0,21 €/kWh", "0.21", "0.21 EUR/kWh");
    comma("1.500,5 L", "1500.5", "1500.5 L");
    let at = read("1,500 ft2", &[]).faults[0].at.clone();
    assert_eq!(at, 0..5);
}

#[test]
fn numbers_that_cannot_be_calculated_with() {
    for text in [
        "1/0 ft",
        "0/0 ft",
        "1e999 ft",
        "1e-999 ft",
        "1 1/0 ft",
        "1e99999999999999999999 m",
        "99999999999999999999999/3 in",
    ] {
        assert_eq!(fault(text, &[], None), FaultKind::NotFinite, "{text}");
    }
    assert_eq!(quantity("0e5 m").central(), 0.0);
    assert_eq!(
        fault("0e99999999999999999999 m", &[], None),
        FaultKind::NotFinite,
        "nought, but to which place?"
    );
    assert_eq!(
        fault("60 to 40 W", &[], Some("40 to 60 W")),
        FaultKind::Reversed
    );
    assert!(read("40 to 40 W", &[]).faults.is_empty());
    // Beyond 128 bits the value is rounded like any double.
    assert_eq!(
        quantity(&format!("0.{} m", "1".repeat(60))).central(),
        0.1111111111111111
    );
}

#[test]
fn more_or_less_than_there_is_isnt_read() {
    for (text, dimension) in [
        ("1e308 km", Dimension::Length),
        ("1e308 m", Dimension::Length),
        ("-1e9 m", Dimension::Length),
        ("1e-300 m", Dimension::Length),
        ("1 to 1e200 m2", Dimension::Area),
        ("1 m2 ± 1e300 %", Dimension::Area),
        ("1e200 EUR/month", Dimension::MoneyPerTime),
        ("1e30 W", Dimension::Power),
        ("-300 degC", Dimension::Temperature),
    ] {
        assert_eq!(
            fault(text, &[], None),
            FaultKind::BeyondScale(dimension),
            "{text}"
        );
    }
    for text in [
        "0 m",
        "40000 km",
        "-0.5 m",
        "1e-9 m",
        "0 W",
        "-273.15 degC",
        "-1 to 1 degC",
    ] {
        assert!(read(text, &[]).quantity.is_some(), "{text}");
    }
}

#[test]
fn what_is_read_of_each_dimension_can_be_calculated_with() {
    for dimension in Dimension::ALL {
        let scale = dimension.scale();
        assert!(scale.lowest <= 0.0 && scale.highest > 0.0, "{dimension:?}");
        assert!(
            scale.finest >= 0.0 && scale.finest < scale.highest,
            "{dimension:?}"
        );
        // Two of the greatest, one over the finest of another: nothing of it runs out of numbers.
        let worst = scale.highest * 1e25 / 1e-27;
        assert!(worst.is_finite(), "{dimension:?}");
    }
}

#[test]
fn two_quantities_in_one_string_are_told_apart() {
    let two = |text: &str| match fault(text, &[], None) {
        FaultKind::TwoQuantities {
            first,
            second,
            link,
        } => (first, second, link),
        other => panic!("{text}: {other:?}"),
    };
    let other = |a: &str, b: &str| (a.to_owned(), b.to_owned(), Link::Other);
    let condition = |a: &str, b: &str| (a.to_owned(), b.to_owned(), Link::Condition);
    // Ratings with a stroke between are no fraction.
    assert_eq!(two("115/230 V"), other("115 V", "230 V"));
    assert_eq!(two("12/24 V"), other("12 V", "24 V"));
    assert_eq!(two("50/60 Hz"), other("50 Hz", "60 Hz"));
    assert_eq!(two("40/60 W"), other("40 W", "60 W"));
    assert_eq!(two("5/500gal"), other("5 gal", "500 gal"));
    assert_eq!(two("3.5 cfm at 5 psi"), condition("3.5 cfm", "5 psi"));
    assert_eq!(two("3.5 CFM @ 5 PSI"), condition("3.5 cfm", "5 psi"));
    assert_eq!(two("3.5CFM@5PSI"), condition("3.5 cfm", "5 psi"));
    assert_eq!(two("38 dB(A) at 1 m"), condition("38 dB(A)", "1 m"));
    assert_eq!(two("9 ft (2.7 m)"), other("9 ft", "2.7 m"));
    assert_eq!(two("9 ft(2.7 m)"), other("9 ft", "2.7 m"));
    assert_eq!(two("9 ft / 2.7 m"), other("9 ft", "2.7 m"));
    assert_eq!(two("1/2\" = 12.7mm"), other("1/2 in", "12.7 mm"));
    for fraction in [
        "1/2 in",
        "3/4 hp",
        "1/25 hp",
        "11/16 in",
        "1 7/48 in",
        "2/3 acre",
    ] {
        assert_eq!(read(fraction, &[]).faults, [], "{fraction}");
    }
    for neither in ["9 ft (deep)", "9 ft at noon", "9 ft, or so"] {
        assert!(matches!(
            fault(neither, &[], None),
            FaultKind::NotAQuantity { .. } | FaultKind::UnitUnknown { .. }
        ));
    }
}

#[test]
fn hundredths_of_a_currency_are_restated() {
    sure("28p per kWh", "0.28 GBP/kWh");
    let cents = read("12 ¢/kWh", &[Dimension::MoneyPerEnergy]);
    let texts: Vec<&str> = cents.correction.iter().map(|c| c.text.as_str()).collect();
    assert_eq!(texts, ["0.12 USD/kWh"]);
    assert_eq!(cents.alternatives.len(), 4);
    let declared = Conventions {
        currency: Some(Currency::USD),
        ..Conventions::default()
    };
    let settled = read_under("12 cents/kWh", &[Dimension::MoneyPerEnergy], declared);
    assert_eq!(
        settled.correction,
        Some(Correction {
            text: "0.12 USD/kWh".into(),
            sure: true
        })
    );
    assert!(settled.quantity.is_some());
}

#[test]
fn a_lesser_number_without_its_unit_is_missed() {
    let missing = read("5 ft 6", &[Dimension::Length]);
    assert_eq!(
        missing.faults[0].kind,
        FaultKind::UnitMissing {
            expected: vec![Dimension::Length]
        }
    );
    assert_eq!(missing.faults[0].at, 5..6);
    assert_eq!(missing.correction, None, "nobody may drop the six");
    for drawn in ["5'-6\"", "5' - 6\"", "5 ft-6 in", "5’6”"] {
        sure(drawn, "5 ft 6 in");
    }
    sure("5 ft-6 ft", "5 to 6 ft");
    sure("15 inH20", "15 inH2O");
}

#[test]
fn a_number_and_a_unit_are_read_as_their_text_is() {
    use super::super::table;
    let units = table::all().chain(table::money(iso_currency::Currency::EUR));
    for unit in units {
        for number in [
            "6",
            "0",
            "0.50",
            "1500",
            "2.1",
            "1/2",
            "1 1/2",
            "230",
            "115/230",
            "007",
            "99999999999999999999999999999999999999999999",
            "",
        ] {
            let read = super::read(&format!("{number} {unit}"), &[]).quantity;
            assert_eq!(super::of_unit(number, unit), read, "{number} {unit}");
        }
    }
}
