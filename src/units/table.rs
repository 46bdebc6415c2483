//! The exact unit table.
//!
//! Each unit of the catalog format has one spelling, a dimension and a factor to the
//! SI that is a ratio of two whole numbers. Nothing here is rounded: conventional
//! columns of water and mercury are what their definition says (1000 and
//! 13 595.1 kg/m3 under 9.806 65 m/s2), the acre is the international one
//! (4840 square yards of 0.9144 m) and not the survey acre, which is four parts in a
//! million larger.
//!
//! Besides the format's own list the table knows units that the trade also writes
//! (`MPa`, `mL`, `gal(US)/h`): these are *unlisted*. They are read with their full
//! value and restated in a unit of the list, because offering the listed unit with
//! the nearest spelling would change the number.
//!
//! Sources of the definitions, named in each row's description where they aren't
//! plain powers of ten:
//!
//! - NIST Special Publication 811, 2008 edition, appendix B: foot, inch, yard, pound,
//!   gallons, horsepower, conventional columns. Its seven printed digits are checked
//!   in the test suite.
//! - International yard and pound agreement, 1959: 0.9144 m and 0.453 592 37 kg (the
//!   values from memory; they reproduce the digits of SP 811).

use std::collections::BTreeMap;
use std::fmt;
use std::sync::OnceLock;

use iso_currency::Currency;

use super::aliases::{ALIASES, MONEY_ALIASES};
use super::dimension::Dimension;
use super::ratio::{Exact, Ratio};
use super::rows::{HUNDREDTH_ROWS, MONEY_ROWS, ROWS};

/// Whose custom a unit, a text or a reader follows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum System {
    /// Feet, acres, psi, cfm, US gallons.
    Us,
    /// Metres, hectares, kPa, litres.
    Metric,
}

impl System {
    /// The system a unit belongs to; none for those that both use (W, V, h, dB, %,
    /// money) and for the UK's gallon, which goes with either.
    pub fn of(unit: Unit) -> Option<System> {
        unit.row.system
    }
}

/// One line of the unit table.
#[derive(Debug)]
pub struct Row {
    /// The one spelling of the format; for money what follows the currency's code.
    pub spelling: &'static str,
    /// What it measures.
    pub dimension: Dimension,
    /// SI value of one unit, exactly; for a temperature, of a difference of one.
    pub factor: Ratio,
    /// SI value of nought, exactly: only temperatures have one.
    pub offset: Ratio,
    /// Whose custom it is.
    pub system: Option<System>,
    /// What it is, with its definition where that isn't a power of ten.
    pub description: &'static str,
    /// For a unit outside the format's list: the listed one it is restated in.
    pub restated: Option<&'static str>,
    /// Whether it measures what a motor's shaft gives, and not what the motor draws: the trade's horsepower.
    pub of_a_shaft: bool,
    /// Numerator and denominator of the factor, as doubles.
    pub(super) scale: (f64, f64),
}

impl Row {
    pub(super) const fn new(
        spelling: &'static str,
        dimension: Dimension,
        factor: Ratio,
        description: &'static str,
    ) -> Row {
        Row {
            spelling,
            dimension,
            factor,
            offset: Ratio::ZERO,
            system: None,
            description,
            restated: None,
            of_a_shaft: false,
            scale: (factor.numerator() as f64, factor.denominator() as f64),
        }
    }

    pub(super) const fn us(mut self) -> Row {
        self.system = Some(System::Us);
        self
    }

    pub(super) const fn metric(mut self) -> Row {
        self.system = Some(System::Metric);
        self
    }

    pub(super) const fn of_a_shaft(mut self) -> Row {
        self.of_a_shaft = true;
        self
    }

    pub(super) const fn offset(mut self, offset: Ratio) -> Row {
        self.offset = offset;
        self
    }

    pub(super) const fn restated(mut self, listed: &'static str) -> Row {
        self.restated = Some(listed);
        self
    }
}

/// A unit: a line of the table, with its currency if it counts money.
///
/// Its `Display` is the format's spelling.
#[derive(Clone, Copy)]
pub struct Unit {
    row: &'static Row,
    currency: Option<Currency>,
}

impl Unit {
    pub(super) const fn plain(row: &'static Row) -> Unit {
        Unit {
            row,
            currency: None,
        }
    }

    pub(super) const fn money(row: &'static Row, currency: Currency) -> Unit {
        Unit {
            row,
            currency: Some(currency),
        }
    }

    /// Whether it measures what a motor's shaft gives, and not what the motor draws.
    pub fn is_of_a_shaft(self) -> bool {
        self.row.of_a_shaft
    }

    /// The unit of exactly this spelling, if it is one of the format's.
    pub fn listed(spelling: &str) -> Option<Unit> {
        Unit::known(spelling).filter(|unit| unit.is_listed())
    }

    /// The unit of exactly this spelling, on the format's list or not.
    pub fn known(spelling: &str) -> Option<Unit> {
        if let Some(row) = by_spelling().get(spelling) {
            return Some(Unit::plain(row));
        }
        let (code, period) = spelling.split_at_checked(3)?;
        Unit::of_money(Currency::from_code(code)?, period)
    }

    /// Money of a currency by what follows its code in the format's spelling: nothing, `/month`, `/kWh`.
    pub fn of_money(currency: Currency, period: &str) -> Option<Unit> {
        let mut rows = MONEY_ROWS.iter().chain(HUNDREDTH_ROWS);
        let row = rows.find(|row| row.spelling == period)?;
        Some(Unit::money(row, currency))
    }

    /// A number by which to look it up: units that are the same have the same.
    pub fn hash(self) -> u64 {
        let bytes = self.row.spelling.bytes();
        bytes.fold(0, |hash, byte| hash.rotate_left(5) ^ u64::from(byte))
    }

    /// The format's spelling; of money what follows the currency's code.
    pub fn spelling(self) -> &'static str {
        self.row.spelling
    }

    /// What it measures.
    pub fn dimension(self) -> Dimension {
        self.row.dimension
    }

    /// SI value of one unit, exactly; for a temperature, of a difference of one.
    pub fn factor(self) -> Ratio {
        self.row.factor
    }

    /// SI value of nought, exactly: nought but for temperatures.
    pub fn offset(self) -> Ratio {
        self.row.offset
    }

    /// The currency, where it counts money.
    pub fn currency(self) -> Option<Currency> {
        self.currency
    }

    /// Whether the format has it on its list.
    pub fn is_listed(self) -> bool {
        self.row.restated.is_none()
    }

    /// The listed unit to write in its place; itself, if it is listed.
    pub fn restated(self) -> Unit {
        let listed = match (self.row.restated, self.currency) {
            (None, _) => Some(self),
            (Some(listed), None) => Unit::listed(listed),
            (Some(listed), Some(currency)) => MONEY_ROWS
                .iter()
                .find(|row| row.spelling == listed)
                .map(|row| Unit::money(row, currency)),
        };
        listed.unwrap_or(self)
    }

    /// What it is, with its definition where that isn't a power of ten.
    pub fn description(self) -> &'static str {
        self.row.description
    }

    /// Whether the two can be set against each other: same dimension, and the same
    /// currency if they count money.
    pub fn is_comparable(self, other: Unit) -> bool {
        self.dimension() == other.dimension() && self.currency == other.currency
    }

    /// SI value of `value` of this unit.
    ///
    /// Within a few units in the last place; [`Unit::exact_si`] is exactly rounded.
    pub fn to_si(self, value: f64) -> f64 {
        self.difference_to_si(value) + self.row.offset.to_f64()
    }

    /// SI value, exactly, where 128 bits hold it.
    pub fn exact_si(self, value: Exact) -> Option<Exact> {
        let above = value.checked_mul(self.row.factor)?;
        if self.row.offset == Ratio::ZERO {
            return Some(above);
        }
        above.checked_add(self.row.offset.into())
    }

    /// How many of this unit an SI value is.
    pub fn from_si(self, si: f64) -> f64 {
        self.difference_from_si(si - self.row.offset.to_f64())
    }

    /// SI value of a difference of `value` units: without the offset.
    pub fn difference_to_si(self, value: f64) -> f64 {
        // Numerator first: 12 in are 12 x 127 / 5000 m, one rounding, and not 12 times
        // a rounded 0.0254.
        let (numerator, denominator) = self.row.scale;
        value * numerator / denominator
    }

    /// How many units a difference in SI is.
    pub fn difference_from_si(self, si: f64) -> f64 {
        let (numerator, denominator) = self.row.scale;
        si * denominator / numerator
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        let same = std::ptr::eq(self.row, other.row) || self.row.spelling == other.row.spelling;
        same && self.currency == other.currency
    }
}

impl Eq for Unit {}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        if let Some(currency) = self.currency {
            f.write_str(currency.code())?;
        }
        f.write_str(self.row.spelling)
    }
}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({self})")
    }
}

/// The units of the format's list but for money, ordered by dimension.
pub fn listed() -> impl Iterator<Item = Unit> {
    all().filter(|unit| unit.is_listed())
}

/// All units known but for money, listed or not, ordered by dimension.
pub fn all() -> impl Iterator<Item = Unit> {
    ROWS.iter().map(Unit::plain)
}

/// How money is written in `currency`: alone, and for each of what is paid for.
pub fn money(currency: Currency) -> impl Iterator<Item = Unit> {
    MONEY_ROWS.iter().map(move |row| Unit::money(row, currency))
}

/// The dimensions in order, each with the units of the format's list. Money stands
/// in US dollars, as an example of every currency.
pub fn by_dimension() -> impl Iterator<Item = (Dimension, Vec<Unit>)> {
    Dimension::ALL.iter().map(|&dimension| {
        let units = listed()
            .chain(money(Currency::USD))
            .filter(|unit| unit.dimension() == dimension)
            .collect();
        (dimension, units)
    })
}

/// The other spellings that are read as this unit beyond doubt; for money those of
/// what follows the currency.
pub fn aliases(unit: Unit) -> impl Iterator<Item = &'static str> {
    let table = if unit.currency.is_some() {
        MONEY_ALIASES
    } else {
        ALIASES
    };
    table
        .iter()
        .filter(move |(spelling, _)| *spelling == unit.row.spelling)
        .flat_map(|(_, aliases)| aliases.split(" | "))
}

fn by_spelling() -> &'static BTreeMap<&'static str, &'static Row> {
    static INDEX: OnceLock<BTreeMap<&'static str, &'static Row>> = OnceLock::new();
    INDEX.get_or_init(|| ROWS.iter().map(|row| (row.spelling, row)).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit(spelling: &str) -> Unit {
        Unit::known(spelling).unwrap_or_else(|| panic!("{spelling} is in the table"))
    }

    #[test]
    fn every_unit_of_the_format_is_listed_once() {
        let of_the_format = "in ft yd mm cm m km in2 ft2 acre mm2 m2 ha \
            gal(US) gal(UK) ft3 L m3 acre-ft \
            psi psig psia inH2O ftH2O inHg Pa kPa kPa(abs) mbar bar bar(abs) mmH2O mH2O mmHg \
            cfm scfm L/s L/min m3/min m3/h Nm3/h gpm(US) gpm(UK) W kW hp hp(metric) V A mA Hz \
            oz lb g kg lb/ft lb/100ft g/m kg/m lb/h lb/d kg/h kg/d degF degC K dB dB(A) kWh \
            /h /day % %/ft %/m h day month year scfm/acre Nm3/h/ha";
        let mut expected: Vec<String> = of_the_format
            .split_whitespace()
            .map(str::to_owned)
            .collect();
        let mut found: Vec<String> = listed().map(|unit| unit.to_string()).collect();
        expected.sort();
        found.sort();
        assert_eq!(found, expected);
    }

    #[test]
    fn money_takes_any_currency_alone_or_for_something() {
        let spelled: Vec<String> = money(Currency::EUR).map(|unit| unit.to_string()).collect();
        assert_eq!(
            spelled,
            [
                "EUR",
                "EUR/kWh",
                "EUR/h",
                "EUR/day",
                "EUR/month",
                "EUR/year",
                "EUR/ft",
                "EUR/m"
            ]
        );
        assert_eq!(unit("JPY/kWh").currency(), Some(Currency::JPY));
        assert_eq!(unit("EUR¢/kWh").restated(), unit("EUR/kWh"));
        assert_eq!(unit("EUR¢/kWh").to_si(21.0), unit("EUR/kWh").to_si(0.21));
        assert_eq!(Unit::known("usd"), None);
        assert_eq!(Unit::known("USD/week"), None);
        assert_eq!(
            Unit::known("€/m"),
            None,
            "a place inside a character is no place"
        );
    }

    #[test]
    fn the_table_is_ordered_and_restatements_are_listed() {
        assert!(
            ROWS.windows(2)
                .all(|pair| pair[0].dimension <= pair[1].dimension)
        );
        for unit in all().filter(|unit| !unit.is_listed()) {
            let restated = unit.restated();
            assert!(restated.is_listed(), "{unit} is restated in a listed unit");
            assert!(restated.is_comparable(unit), "{unit} and {restated}");
        }
        for (dimension, units) in by_dimension() {
            assert!(!units.is_empty(), "{dimension} has a unit");
        }
    }

    #[test]
    fn si_and_back() {
        assert_eq!(unit("in").to_si(12.0), 0.3048);
        assert_eq!(unit("L").from_si(0.003), 3.0);
        assert_eq!(unit("degC").to_si(20.0), 293.15);
        assert!((unit("degF").to_si(68.0) - 293.15).abs() < 1e-12);
        assert!((unit("degF").from_si(293.15) - 68.0).abs() < 1e-12);
        assert_eq!(unit("degF").difference_to_si(9.0), 5.0);
        for unit in all() {
            for value in [0.37, 1.0, 12.5, 4000.0] {
                let back = unit.from_si(unit.to_si(value));
                assert!(
                    (back / value - 1.0).abs() < 3e-13,
                    "{value} {unit} came back as {back}"
                );
            }
        }
    }

    #[test]
    fn a_unit_knows_its_custom() {
        assert_eq!(System::of(unit("acre")), Some(System::Us));
        assert_eq!(System::of(unit("Nm3/h")), Some(System::Metric));
        assert_eq!(System::of(unit("W")), None);
        assert_eq!(System::of(unit("USD/ft")), Some(System::Us));
    }
}
