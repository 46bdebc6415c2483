//! A cell as what may stand at a key: words, counts, dates, names of parts, and quantities.

use crate::catalog::Kind;
use crate::catalog::fields::{Field, Shape};
use crate::catalog::{id_of, nearest};

use super::figure;
use super::grid::Value;
use super::headings;
use super::names::{Found, Names};
use super::numeral;
use super::told::What;

/// A value as the catalog is to have it.
#[derive(Debug, Clone, PartialEq)]
pub enum Toml {
    /// A number, word or date as it is written.
    Bare(String),
    /// A text, without its quotes.
    Text(String),
    /// A figure and the condition it holds under.
    At(String, String),
    /// Several values.
    List(Vec<Toml>),
    /// A table on one line.
    Table(Vec<(String, Toml)>),
}

impl Toml {
    /// A text.
    pub fn text(text: &str) -> Toml {
        Toml::Text(text.to_string())
    }

    /// As it is written in a file.
    pub fn written(&self) -> String {
        match self {
            Toml::Bare(bare) => bare.clone(),
            Toml::Text(text) => quoted(text),
            Toml::At(is, at) => format!("{{ is = {}, at = {} }}", quoted(is), quoted(at)),
            Toml::List(items)
                if items.iter().any(|item| matches!(item, Toml::Table(_))) && items.len() > 1 =>
            {
                let rows: Vec<String> = items
                    .iter()
                    .map(|item| format!("  {},\n", item.written()))
                    .collect();
                format!("[\n{}]", rows.concat())
            }
            Toml::List(items) => {
                let items: Vec<String> = items.iter().map(Toml::written).collect();
                format!("[{}]", items.join(", "))
            }
            Toml::Table(entries) => {
                let entries = entries
                    .iter()
                    .map(|(key, value)| format!("{key} = {}", value.written()));
                format!("{{ {} }}", entries.collect::<Vec<_>>().join(", "))
            }
        }
    }
}

/// A text in the quotes of TOML, on one line.
fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for c in text.chars() {
        match c {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\t' => out.push_str("\\t"),
            '\r' => {}
            c if c.is_control() => out.push(' '),
            c => out.push(c),
        }
    }
    out.push('"');
    out
}

/// What the mapping says of a column's cells.
#[derive(Debug, Clone, Default)]
pub struct Column {
    /// The unit of numbers without one.
    pub unit: Option<String>,
    /// The condition that its figures hold under.
    pub condition: Option<String>,
    /// The sign before decimals, where it is known.
    pub decimal: Option<char>,
}

/// Why a cell isn't taken as it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Problem {
    /// What is wrong.
    pub what: Box<What>,
    /// What was taken all the same.
    pub taken: Option<Toml>,
    /// What may be meant, as a person reads it and as the catalog would have it.
    pub offer: Option<Box<(String, Toml)>>,
}

impl Problem {
    /// One without anything to take or offer.
    pub fn of(what: What) -> Problem {
        Problem {
            what: Box::new(what),
            taken: None,
            offer: None,
        }
    }

    fn unread(value: &Value, expected: impl Into<String>) -> Problem {
        Problem::of(What::NotRead {
            found: value.shown().trim().to_string(),
            expected: expected.into(),
        })
    }

    fn offering(self, toml: Toml) -> Problem {
        let shown = match &toml {
            Toml::Text(text) => text.clone(),
            other => other.written(),
        };
        Problem {
            offer: Some(Box::new((shown, toml))),
            ..self
        }
    }
}

/// Whether a cell says that there is nothing: a dash, or the usual letters for it (common practice, no source).
pub fn is_blank(value: &Value) -> bool {
    let Value::Text(text) = value else {
        return *value == Value::Nothing;
    };
    let text = text.trim().to_lowercase();
    matches!(
        text.as_str(),
        "" | "-"
            | "--"
            | "\u{2013}"
            | "\u{2014}"
            | "n/a"
            | "n.a."
            | "na"
            | "k.a."
            | "k. a."
            | "n.v.t."
            | "nvt"
            | "s/o"
    )
}

/// What price lists write where the seller is to be asked, in the languages that pages are read in, folded (common
/// practice, no source).
const TO_BE_ASKED: &[&str] = &[
    "on request",
    "upon request",
    "poa",
    "price on application",
    "tba",
    "tbd",
    "call",
    "call for price",
    "please ask",
    "auf anfrage",
    "a a",
    "sur demande",
    "nous consulter",
    "op aanvraag",
    "a consultar",
    "consultar",
    "bajo pedido",
    "paa forespoergsel",
    "su richiesta",
    "a richiesta",
];

/// Whether a cell refers to the seller for what belongs there.
fn is_to_be_asked(value: &Value) -> bool {
    let Value::Text(text) = value else {
        return false;
    };
    TO_BE_ASKED.contains(&headings::fold(text).as_str())
}

/// Reads a cell as what stands at `field`. Words stand for themselves; anything else may be still to be asked for.
pub fn read(
    value: &Value,
    field: &'static Field,
    column: &Column,
    names: &Names,
) -> Result<Toml, Problem> {
    by_shape(value, field, column, names).map_err(|problem| match is_to_be_asked(value) {
        true => Problem::of(What::NotStated {
            found: value.shown().trim().to_string(),
        }),
        false => problem,
    })
}

fn by_shape(
    value: &Value,
    field: &'static Field,
    column: &Column,
    names: &Names,
) -> Result<Toml, Problem> {
    match field.shape {
        Shape::Quantity(expected) => figure::read(value, expected, column),
        Shape::Promise(expected) => figure::promise(value, expected, column),
        Shape::Many(_) => figure::read(value, crate::catalog::fields::AIR, column),
        Shape::Number => number(value, column),
        Shape::Count(least) => count(value, least, column),
        Shape::Flag => flag(value),
        Shape::Words(words) => word(value, words),
        Shape::Date => date(value),
        Shape::Texts => Ok(Toml::List(pieces(&text(value)?).map(Toml::text).collect())),
        Shape::Id(kinds) => one_part(value, kinds, names),
        Shape::Ids(kinds) => {
            let ids: Result<Vec<Toml>, Problem> = pieces(&text(value)?)
                .map(|piece| part(piece, kinds, names).map(|id| Toml::text(&id)))
                .collect();
            ids.map(Toml::List)
        }
        Shape::Part(table) | Shape::Parts(table) => {
            let kinds = match table.field("part").map(|field| field.shape) {
                Some(Shape::Id(kinds)) => kinds,
                _ => &[],
            };
            let uses: Result<Vec<Toml>, Problem> = pieces(&text(value)?)
                .map(|piece| counted(piece, kinds, names))
                .collect();
            let mut uses = uses?;
            match (uses.pop(), uses.is_empty()) {
                (Some(one), true) => Ok(one),
                (last, _) => {
                    uses.extend(last);
                    Ok(Toml::List(uses))
                }
            }
        }
        Shape::Supply => Ok(Toml::text(&supply(&text(value)?))),
        Shape::Text | Shape::Remark | Shape::End => text(value).map(|text| Toml::text(&text)),
        _ => Err(Problem::unread(value, "a value of its own")),
    }
}

/// A cell's words. A number that was rounded to its power of ten is none.
pub fn text(value: &Value) -> Result<String, Problem> {
    match value {
        Value::Date { day, month, year } => Err(Problem::of(What::Date {
            day: format!("{year:04}-{month:02}-{day:02}"),
            expected: "a text".into(),
        })),
        Value::Text(text) if numeral::is_power(text) => Err(Problem::of(What::DigitsLost {
            found: text.trim().to_string(),
        })),
        Value::Text(text) => {
            // Signs that no file may hold are blanks, here as where the text is written.
            let text = text.replace(char::is_control, " ");
            let words: Vec<&str> = text
                .trim()
                .trim_start_matches('\'')
                .split_whitespace()
                .collect();
            Ok(words.join(" "))
        }
        other => Ok(other.shown()),
    }
}

fn number(value: &Value, column: &Column) -> Result<Toml, Problem> {
    let plain = numeral::plain(value.shown().trim(), column.decimal);
    let is_decimal = plain
        .bytes()
        .all(|byte| byte.is_ascii_digit() || byte == b'.' || byte == b'-');
    match plain.parse::<f64>() {
        Ok(number) if is_decimal && number.is_finite() && !matches!(value, Value::Date { .. }) => {
            // TOML wants a digit on both sides of the point.
            let has_both =
                !plain.starts_with('.') && !plain.ends_with('.') && !plain.starts_with("-.");
            let is_plain = has_both && !is_led_by_nought(&plain);
            Ok(Toml::Bare(if is_plain {
                plain
            } else {
                format!("{number}")
            }))
        }
        _ => Err(Problem::unread(value, "a number")),
    }
}

/// Whether noughts stand before a whole number, which TOML doesn't allow.
fn is_led_by_nought(number: &str) -> bool {
    let digits = number.trim_start_matches('-');
    digits.len() > 1 && digits.starts_with('0') && !digits.starts_with("0.")
}

fn count(value: &Value, least: i64, column: &Column) -> Result<Toml, Problem> {
    let plain = numeral::plain(value.shown().trim(), column.decimal);
    let whole = plain.strip_suffix(".0").unwrap_or(&plain);
    if let Ok(number) = whole.parse::<i64>()
        && number >= least
        && !matches!(value, Value::Date { .. })
    {
        return Ok(Toml::Bare(number.to_string()));
    }
    // `2 pcs`, `2x`: one number with a word.
    let digits: String = plain.chars().take_while(char::is_ascii_digit).collect();
    let rest = &plain[digits.len()..];
    let problem = Problem::unread(value, format!("a whole number from {least}"));
    match digits.parse::<i64>() {
        Ok(number)
            if number >= least
                && !rest.contains(|c: char| c.is_ascii_digit())
                && !rest.starts_with(['.', ',']) =>
        {
            Err(problem.offering(Toml::Bare(number.to_string())))
        }
        _ => Err(problem),
    }
}

/// Words for yes and no in the languages that pages are read in, and the marks that stand for them (from memory).
const YES: &[&str] = &[
    "yes",
    "y",
    "true",
    "ja",
    "j",
    "wahr",
    "oui",
    "o",
    "vrai",
    "waar",
    "si",
    "s",
    "verdadero",
    "vero",
    "sand",
    "x",
    "1",
    "included",
];
const NO: &[&str] = &[
    "no", "n", "false", "nein", "falsch", "non", "faux", "nee", "onwaar", "falso", "nej", "falsk",
    "0", "none",
];

fn flag(value: &Value) -> Result<Toml, Problem> {
    let shown = value.shown();
    if matches!(shown.trim(), "\u{2713}" | "\u{2714}" | "\u{2611}") {
        return Ok(Toml::Bare("true".into()));
    }
    let word = deunicode::deunicode(shown.trim()).to_lowercase();
    match word.as_str() {
        word if YES.contains(&word) => Ok(Toml::Bare("true".into())),
        word if NO.contains(&word) => Ok(Toml::Bare("false".into())),
        _ => Err(Problem::unread(value, "yes or no")),
    }
}

fn word(value: &Value, words: &'static [&'static str]) -> Result<Toml, Problem> {
    let said = text(value)?;
    let folded = id_of(&said);
    if let Some(word) = words.iter().find(|word| **word == folded) {
        return Ok(Toml::text(word));
    }
    let problem = Problem::unread(value, format!("one of {}", words.join(", ")));
    // `ball valve`: one of the words, and another.
    let mut holding = words
        .iter()
        .filter(|word| folded.split('-').any(|part| part == **word));
    let held = holding.next().filter(|_| holding.next().is_none()).copied();
    match held.or_else(|| nearest(&folded, words.iter().copied())) {
        Some(near) => Err(problem.offering(Toml::text(near))),
        None => Err(problem),
    }
}

fn date(value: &Value) -> Result<Toml, Problem> {
    let shown = value.shown();
    let text = shown.trim().trim_end_matches(" 00:00:00");
    let parts: Vec<&str> = text.split(['-', '.', '/']).collect();
    let number = |part: &str| part.trim().parse::<u32>().ok();
    let is_valid = |year: u32, month: u32, day: u32| {
        let iso = format!("{year:04}-{month:02}-{day:02}");
        iso.parse::<toml_datetime::Datetime>().ok().map(|_| iso)
    };
    let iso = match parts.as_slice() {
        [year, month, day] if year.trim().len() == 4 => number(year)
            .zip(number(month))
            .zip(number(day))
            .and_then(|((year, month), day)| is_valid(year, month, day)),
        // With points the day comes first everywhere; with strokes that depends on the country.
        [day, month, year] if year.trim().len() == 4 => {
            let read = number(day).zip(number(month)).zip(number(year));
            read.and_then(|((first, second), year)| match text.contains('/') {
                false => is_valid(year, second, first),
                true if first > 12 => is_valid(year, second, first),
                true if second > 12 || first == second => is_valid(year, first, second),
                true => None,
            })
        }
        _ => None,
    };
    match iso {
        Some(iso) => Ok(Toml::Bare(iso)),
        None => Err(Problem::unread(value, "a date such as 2026-03-01")),
    }
}

/// Names in one cell, parted by semicolons, line ends or plus signs.
fn pieces(text: &str) -> impl Iterator<Item = &str> {
    let pieces = text.split([';', '\n', '+']).map(str::trim);
    pieces.filter(|piece| !piece.is_empty())
}

fn one_part(value: &Value, kinds: &'static [Kind], names: &Names) -> Result<Toml, Problem> {
    part(&text(value)?, kinds, names).map(|id| Toml::text(&id))
}

/// The ID of the part that is called `name`.
fn part(name: &str, kinds: &'static [Kind], names: &Names) -> Result<String, Problem> {
    match names.find(kinds, name) {
        Found::One(_, id) => Ok(id),
        Found::Several => Err(Problem::of(What::SeveralParts {
            found: name.to_string(),
        })),
        Found::None => {
            let kind = kinds.first().map_or("part", |kind| kind.words());
            let problem = Problem::of(What::UnknownPart {
                found: name.to_string(),
                kind,
            });
            match names.nearest(kinds, name) {
                Some(id) => Err(problem.offering(Toml::Text(id))),
                None => Err(problem),
            }
        }
    }
}

/// `2 x Tube 300`, `Tube 300 (2)`: a part and how many of it.
fn counted(piece: &str, kinds: &'static [Kind], names: &Names) -> Result<Toml, Problem> {
    if let Found::One(_, id) = names.find(kinds, piece) {
        return Ok(Toml::Text(id));
    }
    // `6 Disc 9` is six of them if there is a Disc 9.
    let bare = piece.split_once(' ').and_then(|(count, name)| {
        let is_known = matches!(names.find(kinds, name), Found::One(..));
        Some((count.parse().ok()?, name)).filter(|_| is_known)
    });
    let (count, name) = bare.or_else(|| number_of(piece)).unwrap_or((1, piece));
    let id = part(name, kinds, names)?;
    Ok(match count {
        1 => Toml::Text(id),
        count => Toml::Table(vec![
            ("part".into(), Toml::Text(id)),
            ("count".into(), Toml::Bare(count.to_string())),
        ]),
    })
}

/// The number in `2 x NAME`, `2× NAME`, `NAME x 2` or `NAME (2)`, and the name.
fn number_of(piece: &str) -> Option<(u32, &str)> {
    let digits = piece.bytes().take_while(u8::is_ascii_digit).count();
    let rest = piece[digits..].trim_start();
    let behind = ["x ", "X ", "\u{d7} ", "\u{d7}", "pcs ", "St. ", "Stk. "];
    if let Some(name) = behind.iter().find_map(|mark| rest.strip_prefix(mark)) {
        return Some((piece[..digits].parse().ok()?, name.trim()));
    }
    let (name, count) = match piece.strip_suffix(')') {
        Some(open) => open.rsplit_once('(')?,
        None => piece
            .rsplit_once(" x ")
            .or_else(|| piece.rsplit_once('\u{d7}'))?,
    };
    Some((count.trim().parse().ok()?, name.trim()))
}

/// A supply as the catalog writes it: `230 V 50 Hz` for `230V/50Hz`.
fn supply(text: &str) -> String {
    let mut out = String::new();
    let mut before = ' ';
    for c in text.chars() {
        let c = if matches!(c, '/' | ',' | '~') { ' ' } else { c };
        if before.is_ascii_digit() && c.is_alphabetic() {
            out.push(' ');
        }
        if c != ' ' || before != ' ' {
            out.push(c);
        }
        before = c;
    }
    out.trim().to_string()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::mapping::Target;

    fn of(kind: Kind, key: &str, value: &Value) -> String {
        let mut names = Names::default();
        names.add(Kind::Diffuser, "tube-300", "Tube 300");
        names.add(Kind::Compressor, "linear-38", "Linear 38");
        let field = Target::of(kind, key).map(|target| target.field());
        let column = Column::default();
        match field.map(|field| read(value, field, &column, &names)) {
            Some(Ok(toml)) => toml.written(),
            Some(Err(problem)) => {
                let offer = problem.offer.map(|both| format!(", offers {}", both.0));
                format!("{}{}", problem.what.name(), offer.unwrap_or_default())
            }
            None => "no such key".into(),
        }
    }

    fn text(text: &str) -> Value {
        Value::Text(text.into())
    }

    #[test]
    fn cells_are_read_by_what_stands_at_the_key() {
        let package = |key: &str, value: &str| of(Kind::Package, key, &text(value));
        assert_eq!(
            package("diffuser", "2 x Tube 300"),
            "{ part = \"tube-300\", count = 2 }"
        );
        assert_eq!(
            package("diffuser", "4 Tube 300"),
            "{ part = \"tube-300\", count = 4 }"
        );
        assert_eq!(package("diffuser", "tube 300"), "\"tube-300\"");
        assert_eq!(package("diffuser", "Tube 30"), "unknown-part");
        assert_eq!(package("compressor", "Linear-38"), "\"linear-38\"");
        assert_eq!(package("supply", "230V/50Hz"), "\"230 V 50 Hz\"");
        assert_eq!(
            package("claim.area", "330 m2 at 1.2 m; 700 m2"),
            "[\n  { is = \"330 m2\", at = \"1.2 m\" },\n  { is = \"700 m2\" },\n]"
        );
        assert_eq!(
            package("claim.flow", "22 L/min at 2 m per diffuser"),
            "{ is = \"22 L/min\", at = \"2 m\", per = \"diffuser\" }"
        );
        assert_eq!(
            package(
                "claim.running_cost",
                "17 EUR/month at 0.31 EUR/kWh and 24 hours a day"
            ),
            "{ is = \"17 EUR/month\", at = { tariff = \"0.31 EUR/kWh\", hours_per_day = 24 } }"
        );
        assert_eq!(package("option.complete.price", "389 EUR"), "\"389 EUR\"");
        assert_eq!(package("above_water", "Ja"), "true");
        assert_eq!(package("above_water", "perhaps"), "not-read");
        assert_eq!(package("since", "01.03.2026"), "2026-03-01");
        assert_eq!(package("since", "3/1/2026"), "not-read");
        assert_eq!(package("gtin", "4.00639E+12"), "digits-lost");
        assert_eq!(package("sku", "'00123"), "\"00123\"");
        assert_eq!(package("status", "Discontinued"), "\"discontinued\"");
        assert_eq!(package("hours_per_day", "024"), "24");
        assert_eq!(package("nothing", "x"), "no such key");
        assert_eq!(package("price", "Auf Anfrage"), "not-stated");
        assert_eq!(
            package("claim.depth", "p\u{e5} foresp\u{f8}rgsel"),
            "not-stated"
        );
        assert_eq!(package("title", "On request"), "\"On request\"");
        let manifold = |key: &str, value: &Value| of(Kind::Manifold, key, value);
        assert_eq!(manifold("outlets", &text("4 pcs")), "not-read, offers 4");
        assert_eq!(manifold("outlets", &Value::Number("4".into())), "4");
        assert_eq!(
            manifold("valve", &text("Ball valve")),
            "not-read, offers ball"
        );
    }
}
