//! Spellings of money: codes, signs and words, and what the money is paid for.

use std::sync::OnceLock;

use hashbrown::HashMap;
use iso_currency::Currency;

use super::rows::HUNDREDTH_ROWS;
use super::spelling::{Conventions, Found, fold, is_blank, period};
use super::table::{Row, Unit};

/// Signs and words, and the currencies they may be, the likeliest first.
static SIGNS: &[(&str, &[Currency])] = &[
    ("US$", &[Currency::USD]),
    ("$US", &[Currency::USD]),
    ("USD$", &[Currency::USD]),
    ("US dollar", &[Currency::USD]),
    ("US dollars", &[Currency::USD]),
    ("CA$", &[Currency::CAD]),
    ("CAD$", &[Currency::CAD]),
    ("Canadian dollars", &[Currency::CAD]),
    ("A$", &[Currency::AUD]),
    ("AU$", &[Currency::AUD]),
    ("Australian dollars", &[Currency::AUD]),
    ("NZ$", &[Currency::NZD]),
    ("$", DOLLARS),
    ("dollar", DOLLARS),
    ("dollars", DOLLARS),
    ("€", &[Currency::EUR]),
    ("euro", &[Currency::EUR]),
    ("euros", &[Currency::EUR]),
    ("£", &[Currency::GBP]),
    ("pounds sterling", &[Currency::GBP]),
    ("zł", &[Currency::PLN]),
    ("Kč", &[Currency::CZK]),
    ("R$", &[Currency::BRL]),
    ("₹", &[Currency::INR]),
    ("SFr", &[Currency::CHF]),
    ("¥", &[Currency::JPY, Currency::CNY]),
    ("kr", &[Currency::SEK, Currency::NOK, Currency::DKK]),
];

/// The same for hundredths, in which tariffs are quoted.
static HUNDREDTHS: &[(&str, &[Currency])] = &[
    ("¢", DOLLARS),
    ("c", CENTS),
    ("US¢", &[Currency::USD]),
    ("US cents", &[Currency::USD]),
    ("cent", CENTS),
    ("cents", CENTS),
    ("ct", EURO_CENTS),
    ("cts", EURO_CENTS),
    ("euro cent", &[Currency::EUR]),
    ("euro cents", &[Currency::EUR]),
    ("p", &[Currency::GBP]),
    ("pence", &[Currency::GBP]),
];

static CENTS: &[Currency] = &[
    Currency::USD,
    Currency::EUR,
    Currency::CAD,
    Currency::AUD,
    Currency::NZD,
];

/// The same where `ct` is written, which is most usual of the euro's.
static EURO_CENTS: &[Currency] = &[
    Currency::EUR,
    Currency::USD,
    Currency::CAD,
    Currency::AUD,
    Currency::NZD,
];

static DOLLARS: &[Currency] = &[Currency::USD, Currency::CAD, Currency::AUD, Currency::NZD];

/// Codes that are recognised in small letters and offered for misspelt ones. Other
/// codes are read too, but `5 all` hardly means Albanian money.
pub(super) static COMMON_CODES: &[Currency] = &[
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

/// The unit of a code, sign or word, and what the money is paid for.
pub(super) fn find(text: &str, conventions: Conventions) -> Option<Found> {
    let (head, rest) = split(text)?;
    let row = period(rest)?;
    if let Some(currency) = Currency::from_code(head) {
        return Some(Found::Spelled(Unit::money(row, currency)));
    }
    let folded = fold(head);
    let sign = signs().get(folded.as_str())?;
    let row = if sign.hundredth {
        // A lone letter is money only if something is paid for with it.
        if row.spelling.is_empty() && matches!(folded.as_str(), "c" | "p") {
            return None;
        }
        hundredth(row)?
    } else {
        row
    };
    let currencies = sign.currencies;
    // What is declared settles a sign of its own, and no other.
    let declared = conventions.currency.filter(|own| {
        let symbol = own.symbol();
        let is_own = |sign: &str| fold(sign) == folded;
        currencies.contains(own)
            || is_own(&symbol.symbol)
            || symbol.subunit_symbol.as_deref().is_some_and(is_own)
    });
    Some(match (declared, currencies) {
        (_, [one]) => Found::Spelled(Unit::money(row, *one)),
        (Some(own), _) => Found::Spelled(Unit::money(row, own)),
        (None, several) => Found::Either(several.iter().map(|&c| Unit::money(row, c)).collect()),
    })
}

/// What a sign, word or small code stands for.
struct Sign {
    currencies: &'static [Currency],
    hundredth: bool,
}

/// Every sign, folded.
fn signs() -> &'static HashMap<String, Sign> {
    static INDEX: OnceLock<HashMap<String, Sign>> = OnceLock::new();
    INDEX.get_or_init(|| {
        let wholes = SIGNS.iter().map(|&(sign, of)| (sign, of, false));
        let hundredths = HUNDREDTHS.iter().map(|&(sign, of)| (sign, of, true));
        let codes = COMMON_CODES
            .iter()
            .map(|code| (code.code(), std::slice::from_ref(code), false));
        wholes
            .chain(hundredths)
            .chain(codes)
            .map(|(sign, currencies, hundredth)| {
                let sign = fold(sign);
                (
                    sign,
                    Sign {
                        currencies,
                        hundredth,
                    },
                )
            })
            .collect()
    })
}

/// The row of hundredths that is restated in `row`.
fn hundredth(row: &Row) -> Option<&'static Row> {
    HUNDREDTH_ROWS
        .iter()
        .find(|hundredth| hundredth.restated == Some(row.spelling))
}

/// Currency and period of `USD/month`, `USD per month`, `USD a month`, `USD monthly`.
fn split(text: &str) -> Option<(&str, &str)> {
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
pub(super) fn prefix(text: &str, any_code: bool) -> Option<usize> {
    let sign = SIGNS
        .iter()
        .filter(|(sign, _)| text.starts_with(sign))
        .map(|(sign, _)| sign.len())
        .max();
    sign.or_else(|| {
        let code = text.get(..3)?;
        let common = COMMON_CODES
            .iter()
            .any(|c| c.code().eq_ignore_ascii_case(code));
        (common || (any_code && Currency::from_code(code).is_some())).then_some(3)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn signs_and_words_with_and_without_a_period() {
        let found = |text: &str| -> Vec<String> {
            match find(text, Conventions::default()) {
                Some(Found::Spelled(unit)) => vec![unit.to_string()],
                Some(Found::Either(units)) => units.iter().map(|u| u.to_string()).collect(),
                _ => Vec::new(),
            }
        };
        assert_eq!(found("USD per month"), ["USD/month"]);
        assert_eq!(found("euros a year"), ["EUR/year"]);
        assert_eq!(found("€ monthly"), ["EUR/month"]);
        assert_eq!(found("£ p.a."), ["GBP/year"]);
        assert_eq!(found("dollars per foot")[0], "USD/ft");
        assert_eq!(found("¥"), ["JPY", "CNY"]);
        assert_eq!(found("ct/kWh").len(), 5);
        assert_eq!(found("ct/kWh")[0], "EUR¢/kWh");
        assert_eq!(found("p per kWh"), ["GBP¢/kWh"]);
        assert_eq!(found("¢/kWh").len(), 4);
        assert_eq!(found("¢/month"), [""; 0], "nobody pays cents a month");
        assert_eq!(found("/month"), [""; 0]);
        assert_eq!(found("bucks"), [""; 0]);
    }

    #[test]
    fn a_declared_currency_settles_its_own_signs_and_no_others() {
        let found = |text: &str, code: &str| match find(text, Conventions::of_currency(code)) {
            Some(Found::Spelled(unit)) => unit.to_string(),
            Some(Found::Either(_)) => "either".into(),
            other => format!("{other:?}"),
        };
        for (text, code, unit) in [
            ("ct/kWh", "USD", "USD¢/kWh"),
            ("ct/kWh", "EUR", "EUR¢/kWh"),
            ("ct/kWh", "GBP", "either"),
            ("cents/kWh", "CAD", "CAD¢/kWh"),
            ("c/kWh", "EUR", "EUR¢/kWh"),
            ("¢/kWh", "MXN", "MXN¢/kWh"),
            ("¢/kWh", "EUR", "either"),
            ("$", "MXN", "MXN"),
            ("$/month", "usd ", "USD/month"),
            ("$", "EUR", "either"),
            ("$", "no code", "either"),
            ("€", "USD", "EUR"),
            ("US$", "CAD", "USD"),
            ("¥", "CNY", "CNY"),
            ("kr", "DKK", "DKK"),
            ("p/kWh", "USD", "GBP¢/kWh"),
        ] {
            assert_eq!(found(text, code), unit, "{text} where money is {code}");
        }
    }

    #[test]
    fn a_prefix_is_the_longest_sign() {
        assert_eq!(prefix("US$ 5", false), Some(3));
        assert_eq!(prefix("$5", false), Some(1));
        assert_eq!(prefix("€5", false), Some(3), "bytes");
        assert_eq!(prefix("usd 5", false), Some(3));
        assert_eq!(prefix("TOP 5", false), None);
        assert_eq!(prefix("TOP 5", true), Some(3));
        assert_eq!(prefix("about 5", true), None);
    }
}
