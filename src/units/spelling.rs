//! From a spelling to the unit it stands for.
//!
//! Four answers are kept apart, because they call for different corrections:
//!
//! 1. the format's own spelling;
//! 2. another spelling that can mean nothing else: a *sure* correction;
//! 3. a spelling of several units (`gal`, `$`): the writer has to say which;
//! 4. none of these: the nearest spelling may be offered, and no more than that.
//!
//! Capitals count where they carry meaning. `MW` and `mW` are a thousand million
//! apart, so `mw` is ambiguous and `Mm` is not a millimetre; `KPA` can only be kPa.

use std::sync::OnceLock;

use hashbrown::HashMap;
use iso_currency::Currency;

use super::aliases::{ALIASES, LOSSY, MONEY_ALIASES};
use super::dimension::Dimension;
use super::rows::{MONEY_ROWS, ROWS};
use super::table::{self, Row, Unit};

/// Longest spelling that is looked up, in bytes. The longest alias has 33; a text
/// beyond this is prose, and isn't compared with every unit.
pub(super) const LONGEST: usize = 48;

/// Which country's gallon.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Gallon {
    /// 231 cubic inches.
    Us,
    /// 4.546 09 L.
    Uk,
}

/// What bare `gal`, `gpm` and `$` mean in a text, where that is known from elsewhere:
/// its market, or the currency a catalog declares. Unknown by default.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Conventions {
    /// Whose gallon a bare `gal` or `gpm` is.
    pub gallon: Option<Gallon>,
    /// Whose dollar a bare `$` is.
    pub dollar: Option<Currency>,
}

/// What a spelling stands for.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Found {
    /// The one spelling of this unit.
    Exact(Unit),
    /// Another spelling of this unit and of no other.
    Spelled(Unit),
    /// This unit, but the spelling said more than the unit does.
    Lossy(Unit),
    /// Any of these.
    Either(Vec<Unit>),
}

/// Spellings of several units, with those units.
static AMBIGUOUS: &[(&str, &[&str])] = &[
    ("gal | gals | gallon | gallons", &["gal(US)", "gal(UK)"]),
    (
        "gpm | gal/min | gals/min | gallon per minute | gallons per minute | gallons/min | \
         gal/minute | gallons/minute | gal per min",
        &["gpm(US)", "gpm(UK)"],
    ),
    (
        "gph | gal/h | gal/hr | gals/hr | gallon per hour | gallons per hour | gallons/hr | \
         gal/hour | gallons/hour",
        &["gal(US)/h", "gal(UK)/h"],
    ),
    (
        "fl oz | fluid ounce | fluid ounces",
        &["fl oz(US)", "fl oz(UK)"],
    ),
    ("ton | tons", &["ton(US)", "ton(UK)", "t"]),
];

/// Signs and words that are one currency.
static SURE_MONEY: &[(&str, Currency)] = &[
    ("US$", Currency::USD),
    ("$US", Currency::USD),
    ("USD$", Currency::USD),
    ("US dollar", Currency::USD),
    ("US dollars", Currency::USD),
    ("CA$", Currency::CAD),
    ("CAD$", Currency::CAD),
    ("Canadian dollars", Currency::CAD),
    ("A$", Currency::AUD),
    ("AU$", Currency::AUD),
    ("Australian dollars", Currency::AUD),
    ("NZ$", Currency::NZD),
    ("€", Currency::EUR),
    ("euro", Currency::EUR),
    ("euros", Currency::EUR),
    ("£", Currency::GBP),
    ("pounds sterling", Currency::GBP),
    ("zł", Currency::PLN),
    ("Kč", Currency::CZK),
    ("R$", Currency::BRL),
    ("₹", Currency::INR),
    ("SFr", Currency::CHF),
];

/// Signs of several currencies, the likeliest first.
static UNSURE_MONEY: &[(&str, &[Currency])] = &[
    ("$", DOLLARS),
    ("dollar", DOLLARS),
    ("dollars", DOLLARS),
    ("¥", &[Currency::JPY, Currency::CNY]),
    ("kr", &[Currency::SEK, Currency::NOK, Currency::DKK]),
];

static DOLLARS: &[Currency] = &[Currency::USD, Currency::CAD, Currency::AUD, Currency::NZD];

/// Codes that are recognised in small letters and offered for misspelt ones. Other
/// codes are read too, but `5 all` hardly means Albanian money.
static COMMON_CODES: &[Currency] = &[
    Currency::USD,
    Currency::EUR,
    Currency::GBP,
    Currency::CAD,
    Currency::AUD,
    Currency::NZD,
    Currency::CHF,
    Currency::JPY,
    Currency::CNY,
    Currency::SEK,
    Currency::NOK,
    Currency::DKK,
    Currency::PLN,
    Currency::CZK,
    Currency::INR,
    Currency::MXN,
    Currency::BRL,
    Currency::ZAR,
];

/// Whether a character is blank, with the no-break and thin spaces of print.
pub(super) fn is_blank(c: char) -> bool {
    c.is_whitespace() || matches!(c, '\u{200B}' | '\u{2060}' | '\u{FEFF}')
}

/// A spelling without what doesn't tell units apart: capitals, blanks, points,
/// brackets, hyphens; raised and lowered figures are brought to the line.
pub(super) fn fold(text: &str) -> String {
    let mut folded = String::with_capacity(text.len());
    for word in text.split(is_blank).filter(|word| !word.is_empty()) {
        if word.eq_ignore_ascii_case("per") {
            folded.push('/');
            continue;
        }
        for c in word.chars() {
            match c {
                '.' | '(' | ')' | '[' | ']' | '-' | '_' | '^' | '\u{2010}' | '\u{2011}' => {}
                '²' | '₂' => folded.push('2'),
                '³' | '₃' => folded.push('3'),
                '″' | '”' | '“' | '＂' => folded.push('"'),
                '′' | '’' | '‘' | '´' | '`' => folded.push('\''),
                'º' | '˚' => folded.push('°'),
                '∕' | '⁄' => folded.push('/'),
                '％' | '﹪' => folded.push('%'),
                c if c.is_ascii() => folded.push(c.to_ascii_lowercase()),
                c => folded.extend(c.to_lowercase()),
            }
        }
    }
    folded
}

/// The unit a spelling stands for. `expected` decides only whether `oz` is a volume
/// and `KGS` money; empty means anything.
pub(super) fn find(text: &str, expected: &[Dimension], conventions: Conventions) -> Option<Found> {
    if text.is_empty() || text.len() > LONGEST {
        return None;
    }
    let index = index();
    if let Some(unit) = Unit::known(text) {
        // Where a mass may stand as well, `oz` must stay what the format says it is.
        let volume = expected.contains(&Dimension::Volume) && !expected.contains(&Dimension::Mass);
        if text == "oz" && volume {
            return either(&["fl oz(US)", "fl oz(UK)"], conventions);
        }
        // `KGS` is a currency's code, and how a freight note writes kilograms.
        if unit.currency().is_some()
            && !expected.iter().any(|dimension| dimension.is_money())
            && let Some(Entry::Row(row)) = index.folded.get(fold(text).as_str())
        {
            return Some(Found::Spelled(Unit::plain(row)));
        }
        return Some(Found::Exact(unit));
    }
    if let Some(&row) = index.as_written.get(text) {
        return Some(Found::Spelled(Unit::plain(row)));
    }
    let folded = fold(text);
    match index.folded.get(folded.as_str()) {
        Some(Entry::Row(row)) if capitals_agree(text, &folded) => {
            Some(Found::Spelled(Unit::plain(row)))
        }
        Some(Entry::Row(_)) => None,
        Some(Entry::Lossy(row)) => Some(Found::Lossy(Unit::plain(row))),
        Some(Entry::Rows(rows)) => Some(Found::Either(
            rows.iter().map(|row| Unit::plain(row)).collect(),
        )),
        Some(Entry::Named(names)) => either(names, conventions),
        None => money(text, conventions),
    }
}

fn either(names: &[&str], conventions: Conventions) -> Option<Found> {
    let mark = match conventions.gallon {
        Some(Gallon::Us) => "(US)",
        Some(Gallon::Uk) => "(UK)",
        None => "",
    };
    let is_gallons = names
        .iter()
        .all(|n| n.contains("(US)") || n.contains("(UK)"));
    if is_gallons && !mark.is_empty() {
        let chosen = names.iter().find(|name| name.contains(mark))?;
        return Some(Found::Spelled(Unit::known(chosen)?));
    }
    let units: Vec<Unit> = names.iter().filter_map(|name| Unit::known(name)).collect();
    (!units.is_empty()).then_some(Found::Either(units))
}

/// Whether capitals leave no doubt: a short spelling that opens with the wrong kind
/// of m may be a thousand million times something else, and a lone letter stands for
/// itself except where the other kind of letter means nothing in this trade.
fn capitals_agree(text: &str, folded: &str) -> bool {
    let capital_m = text.trim_start_matches(is_blank).starts_with('M');
    if folded.starts_with('m') && capital_m && folded.len() <= 4 {
        return false;
    }
    folded.len() != 1
        || matches!(folded, "w" | "v" | "a" | "l" | "c" | "f" | "d" | "y")
        || !folded.chars().all(char::is_alphabetic)
}

enum Entry {
    Row(&'static Row),
    Lossy(&'static Row),
    /// Units that differ in capitals only.
    Rows(Vec<&'static Row>),
    Named(&'static [&'static str]),
}

struct Index {
    /// Aliases as they are written in the table.
    as_written: HashMap<&'static str, &'static Row>,
    /// Spellings and aliases, folded.
    folded: HashMap<String, Entry>,
    /// What follows a currency, folded.
    periods: HashMap<String, &'static Row>,
}

fn index() -> &'static Index {
    static INDEX: OnceLock<Index> = OnceLock::new();
    INDEX.get_or_init(|| {
        let mut index = Index {
            as_written: HashMap::new(),
            folded: HashMap::new(),
            periods: HashMap::new(),
        };
        let named = |name: &str| ROWS.iter().find(|row| row.spelling == name);
        for row in ROWS {
            put(&mut index.folded, fold(row.spelling), row);
        }
        for (row, alias) in spread(ALIASES).filter_map(|(name, alias)| Some((named(name)?, alias)))
        {
            index.as_written.insert(alias, row);
            put(&mut index.folded, fold(alias), row);
        }
        for (row, alias) in spread(LOSSY).filter_map(|(name, alias)| Some((named(name)?, alias))) {
            index.folded.insert(fold(alias), Entry::Lossy(row));
        }
        for (aliases, names) in AMBIGUOUS {
            for alias in aliases.split(" | ") {
                index.folded.insert(fold(alias), Entry::Named(names));
            }
        }
        for row in MONEY_ROWS {
            index.periods.insert(fold(row.spelling), row);
            for (_, alias) in spread(MONEY_ALIASES).filter(|(name, _)| *name == row.spelling) {
                index.periods.insert(fold(alias), row);
            }
        }
        index
    })
}

fn spread(
    table: &'static [(&'static str, &'static str)],
) -> impl Iterator<Item = (&'static str, &'static str)> {
    table
        .iter()
        .flat_map(|(name, aliases)| aliases.split(" | ").map(move |alias| (*name, alias)))
}

fn put(folded: &mut HashMap<String, Entry>, key: String, row: &'static Row) {
    let entry = folded.entry(key).or_insert(Entry::Row(row));
    match entry {
        Entry::Row(known) if known.spelling != row.spelling => {
            *entry = Entry::Rows(vec![known, row]);
        }
        Entry::Rows(rows) if rows.iter().all(|known| known.spelling != row.spelling) => {
            rows.push(row);
        }
        _ => {}
    }
}

/// Money: a code, sign or word, and what it is paid for.
fn money(text: &str, conventions: Conventions) -> Option<Found> {
    let (head, period) = split_money(text)?;
    let row = *index().periods.get(fold(period).as_str())?;
    let one = |currency| Some(Found::Spelled(Unit::money(row, currency)));
    if let Some(currency) = Currency::from_code(head) {
        return one(currency);
    }
    let folded = fold(head);
    let is_head = |known: &str| fold(known) == folded;
    if let Some(currency) = COMMON_CODES.iter().find(|code| is_head(code.code())) {
        return one(*currency);
    }
    if let Some((_, currency)) = SURE_MONEY.iter().find(|(sign, _)| is_head(sign)) {
        return one(*currency);
    }
    let (sign, currencies) = UNSURE_MONEY.iter().find(|(sign, _)| is_head(sign))?;
    match conventions.dollar {
        Some(dollar) if !matches!(*sign, "¥" | "kr") => one(dollar),
        _ => Some(Found::Either(
            currencies.iter().map(|&c| Unit::money(row, c)).collect(),
        )),
    }
}

/// Currency and period of `USD/month`, `USD per month`, `USD a month`, `USD monthly`.
fn split_money(text: &str) -> Option<(&str, &str)> {
    let text = text.trim_matches(is_blank);
    let mut words = text.char_indices();
    let cut = words.find_map(|(at, c)| {
        let rest = &text[at..];
        let slash = matches!(c, '/' | '∕' | '⁄');
        let word = is_blank(c) && {
            let rest = rest.trim_start_matches(is_blank);
            let first = rest.split(is_blank).next().unwrap_or_default();
            ["per", "a", "an", "pa", "p.a.", "p.a"]
                .iter()
                .any(|joint| first.eq_ignore_ascii_case(joint))
                || (first.len() > 4 && first.to_ascii_lowercase().ends_with("ly"))
        };
        (slash || word).then_some(at)
    });
    let (head, period) = text.split_at(cut.unwrap_or(text.len()));
    let head = head.trim_matches(is_blank);
    (!head.is_empty()).then_some((head, period))
}

/// The signs and codes of money that may stand before a number, if `text` opens with
/// one: its length in bytes. Codes in full only where money is expected, since
/// `TOP 5` is hardly a sum in Tongan money.
pub(super) fn money_prefix(text: &str, any_code: bool) -> Option<usize> {
    let signs = SURE_MONEY.iter().map(|(sign, _)| *sign);
    let sign = signs
        .chain(UNSURE_MONEY.iter().map(|(sign, _)| *sign))
        .filter(|sign| text.starts_with(sign))
        .map(str::len)
        .max();
    sign.or_else(|| {
        let code = text.get(..3)?;
        let common = COMMON_CODES
            .iter()
            .any(|c| c.code().eq_ignore_ascii_case(code));
        (common || (any_code && Currency::from_code(code).is_some())).then_some(3)
    })
}

/// The listed unit whose spelling is nearest to a misspelt one, if any is near:
/// no further than a third of its length, and one edit for the shortest. Units of a
/// dimension that is expected go before nearer ones of another.
pub(super) fn nearest(text: &str, expected: &[Dimension]) -> Option<Unit> {
    if text.len() > LONGEST {
        return None;
    }
    let folded = fold(text);
    let length = folded.chars().count();
    let limit = (length / 3).max(1);
    let sorted = |text: &str| {
        let mut letters: Vec<char> = text.chars().collect();
        letters.sort_unstable();
        letters
    };
    let letters = sorted(&folded);
    let mut best: Option<((bool, usize, bool), Unit)> = None;
    let mut consider = |spelling: &str, unit: Unit| {
        let spelling = fold(spelling);
        if spelling.chars().count().abs_diff(length) > limit {
            return;
        }
        let distance = strsim::damerau_levenshtein(&folded, &spelling);
        if distance > limit || distance >= length {
            return;
        }
        let unexpected = !expected.is_empty() && !expected.contains(&unit.dimension());
        // Of two equally near, the one with the same letters in another order.
        let rank = (unexpected, distance, sorted(&spelling) != letters);
        if best.as_ref().is_none_or(|(known, _)| rank < *known) {
            best = Some((rank, unit));
        }
    };
    for unit in table::listed() {
        consider(&unit.to_string(), unit);
    }
    for unit in table::listed() {
        for alias in table::aliases(unit) {
            consider(alias, unit);
        }
    }
    if expected.iter().any(|dimension| dimension.is_money()) {
        for currency in COMMON_CODES {
            for unit in table::money(*currency) {
                consider(&unit.to_string(), unit);
            }
        }
    }
    best.map(|(_, unit)| unit)
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

    fn look(text: &str) -> Option<Found> {
        find(text, &[], Conventions::default())
    }

    #[track_caller]
    fn spelled_where(text: &str, expected: &[Dimension], unit: &str) {
        let found = find(text, expected, Conventions::default());
        assert_eq!(found, Some(Found::Spelled(listed(unit))), "{text}");
    }

    fn listed(spelling: &str) -> Unit {
        Unit::known(spelling).unwrap_or_else(|| panic!("{spelling} is in the table"))
    }

    #[test]
    fn the_tables_name_units_that_exist() {
        for (name, _) in spread(ALIASES).chain(spread(LOSSY)) {
            listed(name);
        }
        for (name, _) in MONEY_ALIASES {
            assert!(MONEY_ROWS.iter().any(|row| row.spelling == *name), "{name}");
        }
        for name in AMBIGUOUS.iter().flat_map(|(_, names)| *names) {
            listed(name);
        }
        for (found, expected, meant) in SIBLINGS {
            assert_ne!(listed(found).dimension(), *expected, "{found}");
            assert_eq!(listed(meant).dimension(), *expected, "{found} {meant}");
            assert!(listed(meant).is_listed());
        }
    }

    #[test]
    fn no_spelling_stands_for_two_units_by_accident() {
        let mut clashes: Vec<Vec<&str>> = index()
            .folded
            .values()
            .filter_map(|entry| match entry {
                Entry::Rows(rows) => Some(rows.iter().map(|row| row.spelling).collect()),
                _ => None,
            })
            .collect();
        clashes.sort();
        assert_eq!(clashes, [["MPa", "mPa"], ["mW", "MW"]]);
        // An alias must not be hidden by the spelling of an ambiguity or a currency.
        for (name, alias) in spread(ALIASES) {
            let unit = listed(name);
            let found = look(alias);
            assert_eq!(found, Some(Found::Spelled(unit)), "{alias}");
            assert!(alias.len() <= LONGEST, "{alias}");
            let code = Currency::from_code(&fold(alias).to_ascii_uppercase());
            assert!(
                code.is_none() || code == Some(Currency::KGS),
                "{alias} reads as money"
            );
        }
        for row in ROWS {
            assert_eq!(Currency::from_code(row.spelling), None);
        }
        spelled_where("KGS", &[], "kg");
        spelled_where("KGS", &[Dimension::Mass], "kg");
        let som = find("KGS", &[Dimension::Money], Conventions::default());
        assert_eq!(som, Some(Found::Exact(listed("KGS"))));
    }

    #[test]
    fn capitals_count_where_they_mean_something() {
        let spelled = |text: &str, unit: &str| {
            assert_eq!(look(text), Some(Found::Spelled(listed(unit))), "{text}");
        };
        spelled("KPA", "kPa");
        spelled("w", "W");
        spelled("SCFM", "scfm");
        spelled("MM", "mm");
        spelled("METERS", "m");
        spelled("kw", "kW");
        assert_eq!(look("mW"), Some(Found::Exact(listed("mW"))));
        assert_eq!(look("MW"), Some(Found::Exact(listed("MW"))));
        assert_eq!(
            look("Mw"),
            Some(Found::Either(vec![listed("mW"), listed("MW")]))
        );
        for doubtful in ["M", "Mm", "MA", "Mbar", "k", "S", "T"] {
            assert_eq!(look(doubtful), None, "{doubtful}");
        }
    }

    #[test]
    fn conventions_settle_what_is_ambiguous() {
        let here = Conventions {
            gallon: Some(Gallon::Us),
            dollar: Some(Currency::CAD),
        };
        let spelled = |text: &str, unit: &str| {
            assert_eq!(
                find(text, &[], here),
                Some(Found::Spelled(listed(unit))),
                "{text}"
            );
        };
        spelled("gal", "gal(US)");
        spelled("GPM", "gpm(US)");
        spelled("$/month", "CAD/month");
        assert!(matches!(find("ton", &[], here), Some(Found::Either(_))));
        assert!(matches!(find("¥", &[], here), Some(Found::Either(_))));
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
