//! Codes of units by UN/ECE Recommendation No. 20, *Codes for Units of Measure Used in International Trade*, as
//! schema.org's `unitCode` asks for.
//!
//! The codes were compared with two public copies of the list (the constants of a library for e-invoices, and the units of
//! a library for machines' data) in December 2026, but for those marked *from memory*. The list has one code for a
//! pressure, whether it is counted from the air around or not; what a gauge reads is what the trade means by it. Sound
//! levels have none: the list's decibel says nothing of the weighting.

use crate::units::Unit;

/// A unit as the format spells it, and its code.
const CODES: &[(&str, &str)] = &[
    ("in", "INH"), // from memory
    ("ft", "FOT"), // from memory
    ("yd", "YRD"), // from memory
    ("mm", "MMT"),
    ("cm", "CMT"),
    ("m", "MTR"),
    ("km", "KMT"),
    ("in2", "INK"),
    ("ft2", "FTK"),
    ("acre", "ACR"),
    ("mm2", "MMK"), // from memory
    ("m2", "MTK"),
    ("ha", "HAR"),
    ("gal(US)", "GLL"),
    ("gal(UK)", "GLI"),
    ("ft3", "FTQ"),
    ("L", "LTR"),
    ("m3", "MTQ"),
    ("psi", "PS"), // from memory
    ("inH2O", "F78"),
    ("Pa", "PAL"),
    ("kPa", "KPA"),
    ("mbar", "MBR"),
    ("bar", "BAR"), // from memory
    ("MPa", "MPA"), // from memory
    ("psia", "80"),
    ("atm", "ATM"),
    ("cfm", "2L"),
    ("L/s", "G51"),
    ("L/min", "L2"),
    ("m3/min", "G53"),
    ("m3/h", "MQH"),
    ("gpm(US)", "G2"),
    ("W", "WTT"), // from memory
    ("kW", "KWT"),
    ("kWh", "KWH"),
    ("V", "VLT"), // from memory
    ("A", "AMP"),
    ("mA", "4K"),
    ("Hz", "HTZ"),
    ("oz", "ONZ"), // from memory
    ("lb", "LBR"), // from memory
    ("g", "GRM"),
    ("kg", "KGM"),
    ("lb/ft", "P2"),
    ("g/m", "GF"),
    ("kg/m", "KL"),
    ("lb/h", "4U"),
    ("lb/d", "K66"),
    ("kg/h", "E93"),
    ("kg/d", "F30"),
    ("degC", "CEL"), // from memory
    ("degF", "FAH"),
    ("h", "HUR"),
    ("day", "DAY"),   // from memory
    ("week", "WEE"),  // from memory
    ("month", "MON"), // from memory
    ("year", "ANN"),
    ("/h", "H10"),
    ("/day", "E91"),
    ("%/m", "H99"),
    ("%", "P1"), // from memory
];

/// The code of a unit, where the list has one.
pub fn of(unit: Unit) -> Option<&'static str> {
    let spelling = unit.to_string();
    let mut codes = CODES.iter();
    codes
        .find(|(own, _)| *own == spelling)
        .map(|(_, code)| *code)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::BTreeSet;

    #[test]
    fn every_code_is_of_a_unit_of_the_format_and_of_one_alone() {
        let codes: BTreeSet<&str> = CODES.iter().map(|(_, code)| *code).collect();
        assert_eq!(codes.len(), CODES.len());
        for (spelling, code) in CODES {
            let unit = Unit::known(spelling).unwrap();
            assert_eq!(of(unit), Some(*code));
        }
    }
}
