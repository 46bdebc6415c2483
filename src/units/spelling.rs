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
use super::money;
use super::rows::{MONEY_ROWS, ROWS};
use super::table::{Row, Unit};

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
    /// Whose money `$`, `¢`, `ct` and other signs of several currencies stand for.
    pub currency: Option<Currency>,
}

impl Conventions {
    /// Those of a text that declares a currency by its ISO 4217 code; a code that isn't one declares nothing.
    pub fn of_currency(code: &str) -> Conventions {
        Conventions {
            currency: Currency::from_code(&code.trim().to_ascii_uppercase()),
            ..Conventions::default()
        }
    }
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
        None => money::find(text, conventions),
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

/// What follows a currency, by its spelling.
pub(super) fn period(text: &str) -> Option<&'static Row> {
    index().periods.get(fold(text).as_str()).copied()
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
            currency: Some(Currency::CAD),
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
}
