//! Reads the water side's check tables: one figure in a row, with its inputs, its
//! printed digits, and how far off an answer may be.

use crate::published_rows::cells;
use nameplate::physics::plume::PlumeConstants;
use nameplate::physics::rising_air::{Column, DRY_AIR_GAS_CONSTANT};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, Length, MassDensity, si};
use std::cell::RefCell;
use std::collections::{BTreeMap, BTreeSet};

/// One figure that the program must give.
pub struct Row {
    /// File and line, for a message.
    pub place: String,
    /// Which calculation is checked.
    pub check: String,
    /// The figure with its digits.
    pub printed: String,
    /// Its unit.
    pub unit: String,
    tolerance: String,
    inputs: BTreeMap<String, String>,
    read: RefCell<BTreeSet<String>>,
}

/// Air of the standard cubic foot where a row doesn't say otherwise: ideal gas at 20
/// degrees Celsius and one standard atmosphere, kg/m3.
const STANDARD_AIR: f64 = 101_325.0 / (DRY_AIR_GAS_CONSTANT * 293.15);
/// m3/s.
const CUBIC_FOOT_A_MINUTE: f64 = 0.3048 * 0.3048 * 0.3048 / 60.0;
/// m2.
const ACRE: f64 = 4_046.856_422_4;
const DAY: f64 = 86_400.0;

/// How many SI units (or degrees' shift) one of these is.
fn factor(unit: &str) -> f64 {
    match unit {
        "" | "m" | "m2" | "m3" | "m/s" | "m4/s2" | "Pa" | "K" | "1/K" | "W" | "W/m2" | "J/m2"
        | "kg/m3" | "g/kg" => 1.0,
        "g/mL" => 1e3,
        "mm" | "mg/L" | "L/s" => 1e-3,
        "cm/s" | "%" => 1e-2,
        "km2" => 1e6,
        "acre" => ACRE,
        "acre-ft" => ACRE * 0.3048,
        "m3/min" => 1.0 / 60.0,
        "scfm" => CUBIC_FOOT_A_MINUTE * STANDARD_AIR,
        "scfm/acre" => CUBIC_FOOT_A_MINUTE * STANDARD_AIR / ACRE,
        "d" => DAY,
        "h" => 3600.0,
        "min" => 60.0,
        "1/d" | "kg/d" | "K/d" => 1.0 / DAY,
        "g/m2/d" => 1e-3 / DAY,
        "lb/h" => 0.453_592_37 / 3600.0,
        other => panic!("unknown unit {other:?}"),
    }
}

impl Row {
    fn text(&self, name: &str) -> Option<&str> {
        self.read.borrow_mut().insert(name.to_owned());
        self.inputs.get(name).map(String::as_str)
    }

    /// An input as text.
    pub fn word(&self, name: &str) -> &str {
        self.text(name)
            .unwrap_or_else(|| panic!("{}: no input {name}", self.place))
    }

    /// An input in SI units, if the row has it.
    pub fn given(&self, name: &str) -> Option<f64> {
        let text = self.text(name)?;
        let (number, unit) = text.split_once(' ').unwrap_or((text, ""));
        let number: f64 = number
            .parse()
            .unwrap_or_else(|_| panic!("{}: {text:?} is no number", self.place));
        Some(if unit == "C" {
            number + 273.15
        } else {
            number * factor(unit)
        })
    }

    /// An input in SI units.
    pub fn si(&self, name: &str) -> f64 {
        self.given(name)
            .unwrap_or_else(|| panic!("{}: no input {name}", self.place))
    }

    /// The air, with the row's own density of a standard cubic foot if it has one.
    pub fn air(&self) -> AirAmount {
        let density = self.given("density").unwrap_or(STANDARD_AIR);
        AirAmount::kilograms_per_second(self.si("air") / STANDARD_AIR * density)
    }

    /// The depth.
    pub fn depth(&self) -> Length {
        si::metres(self.si("depth"))
    }

    /// As many times the depth as there are diffusers.
    pub fn depths(&self) -> Vec<Length> {
        let diffusers = self.si("diffusers");
        (1..)
            .take_while(|i| f64::from(*i) <= diffusers)
            .map(|_| self.depth())
            .collect()
    }

    /// The column of water; one standard atmosphere and 20 degrees unless stated.
    pub fn column(&self) -> Column {
        Column {
            depth: self.depth(),
            ambient: AbsolutePressure::pascals(self.given("ambient").unwrap_or(101_325.0)),
            temperature: si::kelvins(self.given("temperature").unwrap_or(293.15)),
        }
    }

    /// The plume's constants.
    pub fn constants(&self) -> PlumeConstants {
        PlumeConstants {
            entrainment: self.si("entrainment"),
            bubble_spread: self.si("spread"),
            slip_velocity: si::metres_per_second(self.si("slip")),
            momentum_amplification: self.si("amplification"),
            source_radius: si::metres(self.si("radius")),
            froude: self.si("froude"),
        }
    }

    /// A concentration.
    pub fn concentration(&self, name: &str) -> MassDensity {
        si::kilograms_per_cubic_metre(self.si(name))
    }

    /// What is wrong with an answer in SI units, if anything is.
    pub fn fault(&self, answer: f64) -> Option<String> {
        let answer = answer / factor(&self.unit);
        let printed: f64 = self
            .printed
            .parse()
            .unwrap_or_else(|_| panic!("{}: {:?} is no number", self.place, self.printed));
        let allowed = self.allowed(printed);
        let unread: Vec<&String> = self
            .inputs
            .keys()
            .filter(|name| !self.read.borrow().contains(*name))
            .collect();
        if !unread.is_empty() {
            return Some(format!("{}: inputs not used: {unread:?}", self.place));
        }
        // A half digit is met at its very end too, where the last bit may be off.
        let near = (answer - printed).abs() <= allowed * (1.0 + 1e-9);
        (!near).then(|| {
            format!(
                "{}: {} is {answer} {}, printed {}, may be {allowed} off",
                self.place, self.check, self.unit, self.printed
            )
        })
    }

    fn allowed(&self, printed: f64) -> f64 {
        let number = |text: &str| -> f64 {
            text.trim()
                .parse()
                .unwrap_or_else(|_| panic!("{}: tolerance {text:?}", self.place))
        };
        if self.tolerance == "half digit" {
            let decimals = self
                .printed
                .split_once('.')
                .map_or(0, |(_, after)| after.len());
            let mut digit = 1.0;
            for _ in 0..decimals {
                digit /= 10.0;
            }
            0.5 * digit
        } else if let Some(percent) = self.tolerance.strip_suffix('%') {
            number(percent) / 100.0 * printed.abs()
        } else {
            number(&self.tolerance)
        }
    }
}

/// Central values of the plume's constants, for tests alone.
pub fn central() -> PlumeConstants {
    PlumeConstants {
        entrainment: 0.11,
        bubble_spread: 0.8,
        slip_velocity: si::metres_per_second(0.25),
        momentum_amplification: 1.1,
        source_radius: si::metres(0.0),
        froude: 1.6,
    }
}

/// Holds every row of a table against `answer`, and says all that is wrong at once.
pub fn hold(name: &str, table: &str, least: usize, answer: impl Fn(&Row) -> f64) {
    let rows = read(name, table);
    assert!(rows.len() >= least, "{name}: only {} rows", rows.len());
    let faults: Vec<String> = rows
        .iter()
        .filter_map(|row| row.fault(answer(row)))
        .collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

/// Rows of a table.
pub fn read(name: &str, table: &str) -> Vec<Row> {
    let mut lines = table.lines().enumerate();
    let head = lines.next().map(|(_, line)| line).unwrap_or_default();
    assert_eq!(
        head, "check,inputs,printed,unit,tolerance,source,place,mark",
        "{name}"
    );
    lines
        .map(|(index, line)| {
            let place = format!("{name}:{}", index + 1);
            let [check, inputs, printed, unit, tolerance, source, at, mark] =
                <[String; 8]>::try_from(cells(line))
                    .unwrap_or_else(|cells| panic!("{place}: {} cells", cells.len()));
            assert!(!source.is_empty() && !at.is_empty(), "{place}: no source");
            let marks = [
                "exact",
                "published",
                "from memory",
                "common practice",
                "judgement",
            ];
            assert!(marks.contains(&mark.as_str()), "{place}: mark {mark:?}");
            let inputs = inputs
                .split("; ")
                .map(|input| {
                    let (name, value) = input
                        .split_once('=')
                        .unwrap_or_else(|| panic!("{place}: input {input:?}"));
                    (name.to_owned(), value.to_owned())
                })
                .collect();
            Row {
                place,
                check,
                printed,
                unit,
                tolerance,
                inputs,
                read: RefCell::default(),
            }
        })
        .collect()
}

#[test]
fn a_wrong_answer_is_a_fault() {
    let table = "check,inputs,printed,unit,tolerance,source,place,mark\n\
                 x,a=1,2.50,L/s,half digit,s,p,exact\n\
                 x,a=1,200,L/s,1 %,s,p,exact\n";
    let rows = read("x.csv", table);
    assert!(rows[0].fault(0.0025).unwrap().contains("not used"));
    for row in &rows {
        assert_eq!(row.si("a"), 1.0);
    }
    assert_eq!(rows[0].fault(0.002_504), None);
    assert!(rows[0].fault(0.002_506).is_some());
    assert!(rows[0].fault(f64::NAN).is_some());
    assert_eq!(rows[1].fault(0.2019), None);
    assert!(rows[1].fault(0.2021).is_some());
}
