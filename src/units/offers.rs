//! What was probably meant by a unit that is misspelt, or that doesn't belong.

use std::sync::OnceLock;

use super::dimension::Dimension;
use super::money::COMMON_CODES;
use super::spelling::{LONGEST, fold};
use super::table::{self, Unit};

/// The listed unit whose spelling is nearest to a misspelt one, if any is near: no
/// further than a third of its length, and one edit for the shortest. Two edits and
/// more must leave the first letter alone, or `hours/day` would be pounds a day.
///
/// Units of a dimension that is expected go before nearer ones of another, and of
/// three letters or fewer only these: `CV` is one edit from half the table.
pub(super) fn nearest(text: &str, expected: &[Dimension]) -> Option<Unit> {
    if text.len() > LONGEST {
        return None;
    }
    let written = Spelling::new(text);
    let (units, money) = candidates();
    // Codes of money are three letters each: two edits lead from any to any.
    let money = expected
        .iter()
        .any(|dimension| dimension.is_money())
        .then_some(money)
        .into_iter()
        .flatten()
        .map(|candidate| (candidate, 1));
    let mut best: Option<(Rank, Unit)> = None;
    for ((spelling, unit), furthest) in units.iter().map(|c| (c, usize::MAX)).chain(money) {
        let unexpected = !expected.is_empty() && !expected.contains(&unit.dimension());
        if unexpected && written.letters.len() <= 3 {
            continue;
        }
        let Some((distance, other_letters)) = written.distance(spelling, furthest) else {
            continue;
        };
        let rank = Rank {
            unexpected,
            distance,
            other_letters,
        };
        if best.as_ref().is_none_or(|(known, _)| rank < *known) {
            best = Some((rank, *unit));
        }
    }
    best.map(|(_, unit)| unit)
}

/// How good an offer is: the least is the best.
#[derive(PartialEq, PartialOrd)]
struct Rank {
    unexpected: bool,
    distance: usize,
    /// Of two equally near, the one with the same letters in another order is better.
    other_letters: bool,
}

/// A spelling made ready for comparing.
struct Spelling {
    folded: String,
    /// Its letters in alphabetical order.
    letters: Vec<char>,
}

type Candidates = Vec<(Spelling, Unit)>;

/// Every spelling of a listed unit, the format's own first; and those of money.
fn candidates() -> &'static (Candidates, Candidates) {
    static CANDIDATES: OnceLock<(Candidates, Candidates)> = OnceLock::new();
    CANDIDATES.get_or_init(|| {
        let own = |unit: Unit| (Spelling::new(&unit.to_string()), unit);
        let others = table::listed()
            .flat_map(|unit| table::aliases(unit).map(move |alias| (Spelling::new(alias), unit)));
        let units = table::listed().map(own).chain(others).collect();
        let money = COMMON_CODES.iter().flat_map(|code| table::money(*code));
        (units, money.map(own).collect())
    })
}

impl Spelling {
    fn new(text: &str) -> Spelling {
        let folded = fold(text);
        let mut letters: Vec<char> = folded.chars().collect();
        letters.sort_unstable();
        Spelling { folded, letters }
    }

    /// Distance to another spelling, and whether that has other letters; none if it is
    /// too far.
    fn distance(&self, other: &Spelling, furthest: usize) -> Option<(usize, bool)> {
        let length = self.letters.len();
        let limit = (length / 3).max(1).min(furthest);
        let first_differs = self.folded.chars().next() != other.folded.chars().next();
        if length.abs_diff(other.letters.len()) > limit {
            return None;
        }
        let distance = strsim::damerau_levenshtein(&self.folded, &other.folded);
        let far = distance > limit || distance >= length || (distance > 1 && first_differs);
        (!far).then_some((distance, self.letters != other.letters))
    }
}

/// Units that are mistaken for one another, because their names share a word:
/// written, expected, and what was probably meant.
static SIBLINGS: &[(&str, Dimension, &str)] = &[
    // A head is a pressure written as a length.
    ("ft", Dimension::GaugePressure, "ftH2O"),
    ("in", Dimension::GaugePressure, "inH2O"),
    ("m", Dimension::GaugePressure, "mH2O"),
    ("mm", Dimension::GaugePressure, "mmH2O"),
    ("ftH2O", Dimension::Length, "ft"),
    ("inH2O", Dimension::Length, "in"),
    ("mH2O", Dimension::Length, "m"),
    ("mmH2O", Dimension::Length, "mm"),
    // Above the air around, or above vacuum.
    ("psia", Dimension::GaugePressure, "psi"),
    ("kPa(abs)", Dimension::GaugePressure, "kPa"),
    ("bar(abs)", Dimension::GaugePressure, "bar"),
    ("psi", Dimension::AbsolutePressure, "psia"),
    ("psig", Dimension::AbsolutePressure, "psia"),
    ("kPa", Dimension::AbsolutePressure, "kPa(abs)"),
    ("bar", Dimension::AbsolutePressure, "bar(abs)"),
    // Volume of free air, or amount of air.
    ("cfm", Dimension::AirAmount, "scfm"),
    ("m3/h", Dimension::AirAmount, "Nm3/h"),
    ("scfm", Dimension::VolumeFlow, "cfm"),
    ("Nm3/h", Dimension::VolumeFlow, "m3/h"),
    ("scfm", Dimension::AirAmountPerArea, "scfm/acre"),
    ("scfm/acre", Dimension::AirAmount, "scfm"),
    ("Nm3/h", Dimension::AirAmountPerArea, "Nm3/h/ha"),
    ("Nm3/h/ha", Dimension::AirAmount, "Nm3/h"),
    ("L", Dimension::VolumeFlow, "L/min"),
    ("ft3", Dimension::VolumeFlow, "cfm"),
    ("m3", Dimension::VolumeFlow, "m3/h"),
    ("gal(US)", Dimension::VolumeFlow, "gpm(US)"),
    ("gal(UK)", Dimension::VolumeFlow, "gpm(UK)"),
    // Length, area, volume.
    ("in", Dimension::Area, "in2"),
    ("ft", Dimension::Area, "ft2"),
    ("mm", Dimension::Area, "mm2"),
    ("m", Dimension::Area, "m2"),
    ("in2", Dimension::Length, "in"),
    ("ft2", Dimension::Length, "ft"),
    ("mm2", Dimension::Length, "mm"),
    ("m2", Dimension::Length, "m"),
    ("ft", Dimension::Volume, "ft3"),
    ("ft2", Dimension::Volume, "ft3"),
    ("m", Dimension::Volume, "m3"),
    ("m2", Dimension::Volume, "m3"),
    ("ft3", Dimension::Area, "ft2"),
    ("m3", Dimension::Area, "m2"),
    ("acre-ft", Dimension::Area, "acre"),
    ("acre", Dimension::Volume, "acre-ft"),
    ("cfm", Dimension::Volume, "ft3"),
    ("gpm(US)", Dimension::Volume, "gal(US)"),
    ("gpm(UK)", Dimension::Volume, "gal(UK)"),
    // The rest.
    ("kWh", Dimension::Power, "kW"),
    ("kW", Dimension::Energy, "kWh"),
    ("dB", Dimension::WeightedSoundLevel, "dB(A)"),
    ("dB(A)", Dimension::SoundLevel, "dB"),
    ("lb", Dimension::MassPerLength, "lb/ft"),
    ("g", Dimension::MassPerLength, "g/m"),
    ("kg", Dimension::MassPerLength, "kg/m"),
    ("lb/ft", Dimension::Mass, "lb"),
    ("g/m", Dimension::Mass, "g"),
    ("kg/m", Dimension::Mass, "kg"),
    ("kg", Dimension::MassRate, "kg/h"),
    ("lb", Dimension::MassRate, "lb/h"),
    ("h", Dimension::PerTime, "/h"),
    ("day", Dimension::PerTime, "/day"),
    ("/h", Dimension::Time, "h"),
    ("/day", Dimension::Time, "day"),
];

/// What was probably meant where `unit` is of the wrong dimension.
pub(super) fn sibling(unit: Unit, expected: &[Dimension]) -> Option<Unit> {
    if unit.currency().is_some() {
        return None;
    }
    let spelling = unit.to_string();
    let (_, _, meant) = SIBLINGS
        .iter()
        .find(|(found, wanted, _)| *found == spelling && expected.contains(wanted))?;
    Unit::listed(meant)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn siblings_are_of_the_dimension_that_was_expected() {
        let listed = |name: &str| Unit::listed(name).unwrap_or_else(|| panic!("{name} is listed"));
        for (found, expected, meant) in SIBLINGS {
            assert_ne!(listed(found).dimension(), *expected, "{found}");
            assert_eq!(listed(meant).dimension(), *expected, "{found} {meant}");
        }
    }

    #[test]
    fn a_misspelt_unit_gets_the_nearest() {
        use Dimension::*;
        let near =
            |text: &str, expected: &[Dimension]| nearest(text, expected).map(|u| u.to_string());
        assert_eq!(near("cmf", &[]).as_deref(), Some("cfm"));
        assert_eq!(near("psl", &[GaugePressure]).as_deref(), Some("psi"));
        assert_eq!(
            near("Kpaa", &[AbsolutePressure]).as_deref(),
            Some("kPa(abs)")
        );
        assert_eq!(near("Kpaa", &[GaugePressure]).as_deref(), Some("kPa"));
        assert_eq!(near("ccfm", &[VolumeFlow]).as_deref(), Some("cfm"));
        assert_eq!(near("M", &[Length]).as_deref(), Some("m"));
        assert_eq!(
            near("USB/month", &[MoneyPerTime]).as_deref(),
            Some("USD/month")
        );
        assert_eq!(near("furlongs", &[]), None);
        assert_eq!(near("x", &[]), None);
        assert_eq!(near(&"m".repeat(100_000), &[]), None);
    }
}
