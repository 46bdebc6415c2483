//! Numbers with their units: the figures of a passage.

use std::borrow::Cow;
use std::cell::{OnceCell, RefCell};
use std::ops::Range;

use hashbrown::HashTable;

use crate::units::table::Unit;
use crate::units::{self, Currency, Dimension, Quantity};

use super::lexicon::{ADVERBS, FILLS, MARKS};
use super::numeral::{self, Style};
use super::tokens::{Kind, Token};
use super::unit_words::{self, Found};
use super::vocabulary::{Topic, cue};
use super::word::{Lead, Word, is_one, strip_any, words};

/// What money is paid for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Period {
    /// An hour.
    Hour,
    /// A day.
    Day,
    /// A week, which the catalog's format hasn't.
    Week,
    /// A month.
    Month,
    /// A year.
    Year,
    /// A kilowatt-hour.
    KilowattHour,
    /// A foot.
    Foot,
    /// A metre.
    Metre,
    /// A season, which has no length of its own.
    Season,
}

impl Period {
    /// As the format writes it.
    pub fn word(self) -> &'static str {
        &self.tail()[1..]
    }

    /// As the format writes it behind a currency, stroke included.
    pub fn tail(self) -> &'static str {
        match self {
            Period::Hour => "/h",
            Period::Day => "/day",
            Period::Week => "/week",
            Period::Month => "/month",
            Period::Year => "/year",
            Period::KilowattHour => "/kWh",
            Period::Foot => "/ft",
            Period::Metre => "/m",
            Period::Season => "/season",
        }
    }
}

/// A figure of a passage.
#[derive(Debug, Clone)]
pub struct Measure<'a> {
    /// Its tokens.
    pub tokens: Range<usize>,
    /// Its bytes in the passage, unit included.
    pub at: Range<usize>,
    /// The bytes of its number alone.
    pub number_at: Range<usize>,
    /// The number as the format writes it; for a range the lower end.
    pub number: Cow<'a, str>,
    /// With its unit, where it has one.
    pub quantity: Option<Quantity>,
    /// What money is paid for, where it is money.
    pub period: Option<Period>,
    /// How many: the 2 of `2 x 25 m`, with its bytes.
    pub count: Option<Box<(f64, Range<usize>)>>,
    /// Part of a size of several figures, `12 x 10 in`.
    pub is_size: bool,
    /// Its number among the figures of the passage.
    pub place: usize,
}

impl Measure<'_> {
    /// The dimension; none for a bare number.
    pub fn dimension(&self) -> Option<Dimension> {
        self.quantity.as_ref().map(Quantity::dimension)
    }
}

/// What holds for a whole sheet.
#[derive(Debug, Clone, Copy)]
pub struct Habits {
    /// Which sign parts decimals.
    pub style: Style,
    /// Whether bare gallons are imperial.
    pub british: bool,
    /// Whose dollar `$` is.
    pub dollar: Currency,
    /// Whose cents bare cents are.
    pub cent: Currency,
    /// Of `kr`, by the language of the page.
    pub crown: Option<Currency>,
}

/// Quantities of one sheet by number and unit: pages say `6 ft` again and again, and a copy shares what it holds.
#[derive(Default)]
pub struct Memory {
    known: RefCell<HashTable<Remembered>>,
}

/// A number, its unit and what they are together.
type Remembered = (Word, Unit, Option<Quantity>);

impl Memory {
    /// Most of them. A sheet with more is one where few are said twice.
    const MOST: usize = 10_000;

    /// The quantity of a number in the format's writing.
    pub fn quantity(&self, number: &str, unit: Unit) -> Option<Quantity> {
        let Some(own) = Word::exact(number) else {
            return units::of_unit(number, unit);
        };
        let hash = |number: Word, unit: Unit| number.hash() ^ unit.hash();
        let mut known = self.known.borrow_mut();
        if let Some((_, _, quantity)) = known.find(hash(own, unit), |&(other, of, _)| {
            other == own && of == unit
        }) {
            return quantity.clone();
        }
        let quantity = units::of_unit(number, unit);
        if known.len() < Memory::MOST {
            known.insert_unique(
                hash(own, unit),
                (own, unit, quantity.clone()),
                |&(number, unit, _)| hash(number, unit),
            );
        }
        quantity
    }
}

fn range_quantity(low: &str, high: &str, unit: Unit) -> Option<Quantity> {
    let (a, b) = (numeral::value(low)?, numeral::value(high)?);
    let (low, high) = if a <= b { (low, high) } else { (high, low) };
    units::read(&format!("{low} to {high} {unit}"), &[]).quantity
}

/// Finds the figures among the tokens of a passage.
pub fn measures<'a>(
    text: &'a str,
    tokens: &[Token],
    habits: Habits,
    memory: &Memory,
    found: &mut Vec<Measure<'a>>,
) {
    found.clear();
    let scan = Scan {
        text,
        tokens,
        habits,
        quotations: OnceCell::new(),
        memory,
    };
    let mut next = 0;
    while next < tokens.len() {
        let measure = if tokens[next].is_number() && !scan.is_part_of_name(next) {
            scan.measure(next)
        } else {
            None
        };
        let Some(mut measure) = measure.or_else(|| scan.article(next)) else {
            next += 1;
            continue;
        };
        next = measure.tokens.end.max(next + 1);
        measure.place = found.len();
        // Of `20£6.70` both could have the sign; figures share no bytes.
        let taken = found.last().map_or(0, |last| last.at.end);
        measure.at.start = measure
            .at
            .start
            .max(taken.min(measure.number_at.start))
            .min(measure.at.end);
        found.push(measure);
    }
}

/// Cents beside a word of energy are what a kilowatt-hour costs: `at your rate of 13.5 cents`, `26p a unit`.
pub fn tariffs(text: &str, tokens: &[Token], measures: &mut [Measure<'_>]) {
    const NEAR: usize = 5;
    let mut cost_ends = None;
    for measure in measures {
        if matches!(
            measure.period,
            Some(
                Period::Hour
                    | Period::Day
                    | Period::Week
                    | Period::Month
                    | Period::Year
                    | Period::Season
            )
        ) {
            cost_ends = Some(measure.tokens.end);
        }
        // `48 cents a day at 12 cents`, `16 cents a day, 130 W for 8 hours at 15 cents`
        let is_for_cost = |measure: &Measure<'_>| {
            const FAR: usize = 24;
            let at = measure.tokens.start;
            let in_one_sentence = |end: usize| {
                let between = tokens.get(end..at).unwrap_or_default();
                between.len() <= FAR && between.iter().all(|token| token.kind != Kind::Stop)
            };
            cost_ends.is_some_and(|end| end < at && in_one_sentence(end))
                && at > 0
                && tokens[at - 1].topic() == Some(Topic::At)
        };
        let Some(quantity) = &measure.quantity else {
            continue;
        };
        if measure.period.is_some()
            || quantity.dimension() != Dimension::Money
            || quantity.high() >= 10.0
        {
            continue;
        }
        let is_cents = text
            .get(measure.at.clone())
            .is_some_and(|text| text.ends_with(['c', 'p', 's', 't', 'e', '¢']));
        let sentence = |token: &&Token| token.kind != Kind::Stop;
        let before = tokens[..measure.tokens.start]
            .iter()
            .rev()
            .take_while(sentence)
            .take(NEAR);
        let mut near = before.chain(
            tokens[measure.tokens.end..]
                .iter()
                .take_while(sentence)
                .take(NEAR),
        );
        // `con el kWh a 0,18 €`, `kWh-pris på 2,40 kr.`
        let names_energy = |token: &Token| {
            let word = &text[token.range()];
            word.get(..3)
                .is_some_and(|begin| begin.eq_ignore_ascii_case("kwh"))
        };
        let energy = tokens[..measure.tokens.start]
            .iter()
            .rev()
            .take_while(sentence)
            .take(NEAR)
            .any(names_energy);
        if (energy || is_cents && quantity.high() < 2.0)
            && (energy || near.any(|token| token.cues & cue::TARIFF != 0) || is_for_cost(measure))
            && let Some(unit) = quantity
                .unit()
                .currency()
                .and_then(|currency| Unit::of_money(currency, Period::KilowattHour.tail()))
        {
            measure.quantity = in_unit(quantity, &measure.number, unit);
            measure.period = Some(Period::KilowattHour);
        }
    }
}

/// Money said to be of another unit: what it is paid for stood elsewhere.
pub fn in_unit(quantity: &Quantity, number: &str, unit: Unit) -> Option<Quantity> {
    if quantity.is_range() {
        return units::read(
            &format!("{} to {} {unit}", quantity.low(), quantity.high()),
            &[],
        )
        .quantity;
    }
    units::of_unit(number, unit)
}

struct Scan<'a, 't> {
    text: &'a str,
    tokens: &'t [Token],
    habits: Habits,
    /// Where quotations open and close, in order.
    quotations: OnceCell<Vec<(usize, bool)>>,
    memory: &'t Memory,
}

/// A number with where it stands.
struct Numeral<'a> {
    written: Cow<'a, str>,
    tokens: Range<usize>,
    at: Range<usize>,
    spelled: bool,
}

impl<'a> Scan<'a, '_> {
    fn token(&self, at: usize) -> Option<&Token> {
        self.tokens.get(at)
    }

    fn is_word(&self, at: usize, words: &[Word]) -> bool {
        self.token(at)
            .is_some_and(|token| token.is_word() && words.contains(&token.word))
    }

    fn sign(&self, at: usize) -> Option<char> {
        match self.tokens.get(at)?.kind {
            Kind::Sign(sign) => Some(sign),
            _ => None,
        }
    }

    /// `#12`, `OM_5`, `-5` behind a letter.
    fn is_part_of_name(&self, at: usize) -> bool {
        let start = self.tokens[at].range().start;
        let before = self.text[..start].chars().next_back();
        before.is_some_and(|c| {
            c == '#' || c == '_' || c == '§' || c.is_ascii_alphabetic() || c == '№'
        }) && !matches!(self.tokens[at].kind, Kind::Spelled(_))
    }

    /// The number at a token: figures, or words such as `one and a half`.
    fn numeral(&self, at: usize) -> Option<Numeral<'a>> {
        let token = self.token(at)?;
        let range = token.range();
        match token.kind {
            Kind::Figure => {
                let (mut written, end) = numeral::read(self.text, range.start, self.habits.style);
                let mut numeral = Numeral {
                    written: Cow::Borrowed(""),
                    tokens: at..at + 1,
                    at: range.start..end,
                    spelled: false,
                };
                // `1.9 million`
                if let Some(times) = self.thousands(at + 1)
                    && let Some(more) = shifted(&written, times)
                {
                    written = more.into();
                    numeral.tokens.end = at + 2;
                    numeral.at.end = self.tokens[at + 1].range().end;
                    numeral.written = written;
                    return Some(numeral);
                }
                // `1 and 1/2`, `2 and a half`.
                if !written.contains(['/', '.'])
                    && self.is_word(at + 1, words!["and"])
                    && let Some((part, next)) = self.part_of_one(at + 2)
                {
                    written = format!("{written} {part}").into();
                    numeral.tokens.end = next;
                    numeral.at.end = self.tokens[next - 1].range().end;
                }
                numeral.written = written;
                Some(numeral)
            }
            Kind::Spelled(number) => {
                let mut written: Cow<'a, str> = Cow::Borrowed(number);
                let mut end = at + 1;
                if !number.contains('/') {
                    let (whole, last) = self.spelled(at);
                    if last > at + 1 {
                        written = whole.to_string().into();
                    }
                    end = last;
                    match self.token(end).map(|token| token.kind) {
                        // `three quarters`.
                        Some(Kind::Spelled(part)) if part.starts_with("1/") && whole < 10 => {
                            written = format!("{whole}/{}", &part[2..]).into();
                            end += 1;
                        }
                        Some(Kind::Word(Some(Topic::Joint)))
                            if self.is_word(end, words!["and"])
                                && let Some((part, next)) = self.part_of_one(end + 1) =>
                        {
                            written = format!("{written} {part}").into();
                            end = next;
                        }
                        // `one point eight`
                        Some(Kind::Word(_)) if self.is_word(end, words!["point"]) => {
                            let mut decimals = String::new();
                            let mut next = end + 1;
                            while let Some(Kind::Spelled(digit)) =
                                self.token(next).map(|token| token.kind)
                                && digit.len() == 1
                                && decimals.len() < 6
                            {
                                decimals.push_str(digit);
                                next += 1;
                            }
                            if !decimals.is_empty() {
                                written = format!("{whole}.{decimals}").into();
                                end = next;
                            }
                        }
                        // `quarters` and their like as plural words.
                        _ => {
                            const PLURALS: [(Word, u32); 5] = [
                                (Word::of("quarters"), 4),
                                (Word::of("eighths"), 8),
                                (Word::of("thirds"), 3),
                                (Word::of("sixteenths"), 16),
                                (Word::of("halves"), 2),
                            ];
                            for (plural, under) in PLURALS {
                                if self.is_word(end, &[plural]) {
                                    written = format!("{whole}/{under}").into();
                                    end += 1;
                                    break;
                                }
                            }
                        }
                    }
                }
                Some(Numeral {
                    written,
                    tokens: at..end,
                    at: range.start..self.tokens[end - 1].range().end,
                    spelled: true,
                })
            }
            _ => None,
        }
    }

    /// A whole number in words, `two hundred and thirty`, `forty-four`, and the token after it.
    fn spelled(&self, at: usize) -> (u64, usize) {
        const MOST: usize = 12;
        let (mut total, mut part) = (0u64, 0u64);
        let (mut next, mut end) = (at, at);
        while next < at + MOST
            && let Some(Kind::Spelled(word)) = self.token(next).map(|token| token.kind)
            && let Ok(value) = word.parse::<u64>()
        {
            match value {
                100 if part < 100 && (end == at || part > 0) => part = part.max(1) * 100,
                1000 if part < 1000 && (end == at || part > 0) => {
                    total += part.max(1) * 1000;
                    part = 0;
                }
                value
                    if end == at
                        || (part % 100 == 0 && value < 100)
                        || (part % 10 == 0 && part % 100 >= 20 && value < 10) =>
                {
                    part += value
                }
                _ => break,
            }
            end = next + 1;
            next = end;
            let joins = self.sign(next) == Some('-') && part % 10 == 0
                || self.is_word(next, words!["and"]) && part >= 100 && part % 100 == 0;
            if joins
                && matches!(self.token(next + 1).map(|token| token.kind), Some(Kind::Spelled(word)) if !word.contains('/'))
            {
                next += 1;
            }
        }
        (total + part, end.max(at + 1))
    }

    /// How many noughts `million` or `thousand` stands for at a token.
    fn thousands(&self, at: usize) -> Option<usize> {
        if self.is_word(at, words!["million", "millionen", "millions", "mio"]) {
            return Some(6);
        }
        matches!(self.token(at)?.kind, Kind::Spelled("1000")).then_some(3)
    }

    /// `a half`, `one quarter`, `1/2`: the fraction and the token after it.
    fn part_of_one(&self, at: usize) -> Option<(Cow<'a, str>, usize)> {
        let mut next = at;
        if self.is_word(next, words!["a", "an"]) {
            next += 1;
        } else if let Some(Kind::Spelled(number)) = self.token(next).map(|t| t.kind)
            && number == "1"
        {
            next += 1;
        }
        match self.token(next)?.kind {
            // `three quarter`, `three quarters`
            Kind::Spelled(times)
                if times.len() == 1
                    && matches!(
                        self.token(next + 1).map(|token| token.kind),
                        Some(Kind::Spelled("1/4" | "1/3" | "1/8"))
                    ) =>
            {
                let Some(Kind::Spelled(part)) = self.token(next + 1).map(|token| token.kind) else {
                    return None;
                };
                Some((Cow::Owned(format!("{times}{}", &part[1..])), next + 2))
            }
            Kind::Spelled(times)
                if times.len() == 1 && self.is_word(next + 1, words!["quarters"]) =>
            {
                Some((Cow::Owned(format!("{times}/4")), next + 2))
            }
            Kind::Spelled(part) if part.starts_with("1/") && !part.contains(' ') => {
                Some((Cow::Borrowed(part), next + 1))
            }
            Kind::Spelled("3/4") => Some((Cow::Borrowed("3/4"), next + 1)),
            Kind::Figure => {
                let (written, _) = numeral::read(
                    self.text,
                    self.tokens[next].range().start,
                    self.habits.style,
                );
                (written.contains('/') && !written.contains(' ')).then_some((written, next + 1))
            }
            _ => None,
        }
    }

    /// The unit after byte `at`: behind blanks or a hyphen, and behind `of an` after a part of one.
    fn unit_after(&self, at: usize, is_part: bool) -> Option<(Found, usize)> {
        // Behind plain blanks most begin with a letter; a sign begins none, but for these.
        let bytes = self.text.as_bytes().get(at..)?;
        let blanks = bytes.iter().take_while(|&&byte| byte == b' ').count();
        let first = *bytes.get(blanks)?;
        if first.is_ascii_alphabetic() {
            if let Some(found) = unit_words::at(self.text, at + blanks) {
                return Some(found);
            }
            let may_skip = matches!(
                first | 0x20,
                b's' | b'l' | b'f' | b'r' | b'w' | b'v' | b'a' | b'g'
            );
            if !may_skip && !is_part {
                return None;
            }
        } else if first.is_ascii()
            && !matches!(first, b'\n' | b'-' | b'\'' | b'"' | b'%' | b'#' | b'/')
        {
            return None;
        }
        let rest = self.text.get(at..)?;
        let lead = |text: &str| {
            text.len()
                - text
                    .trim_start_matches([
                        ' ', '\u{a0}', '\u{202f}', '\u{2009}', '\u{200a}', '\u{2007}', '\n',
                    ])
                    .len()
        };
        let mut start = at + lead(rest);
        // A line that begins with a label: what stands there is no unit of the line before.
        if rest[..start - at].contains('\n')
            && let Some(line) = self.text[start..].split('\n').next()
            && line
                .find(':')
                .is_some_and(|colon| line[..colon].split(' ').count() <= 3)
        {
            return None;
        }
        let mut hyphen = false;
        for sign in ['-', '\u{2010}', '\u{2011}', '\u{ad}'] {
            if self.text[start..].starts_with(sign) && start == at {
                let next = start + sign.len_utf8();
                let next = next + lead(&self.text[next..]);
                if self.text[next..].starts_with(|c: char| c.is_alphabetic()) {
                    start = next;
                    hyphen = true;
                }
            }
        }
        // A quotation mark that closes what was opened before is no sign of inches.
        let spaced = start > at && !hyphen;
        if spaced && self.text[start..].starts_with(['\'', '’', '"', '”', '″', '′']) {
            return None;
        }
        if self.text[start..].starts_with(['"', '”']) && self.closes_quotation(start) {
            return None;
        }
        if let Some(found) = unit_words::at(self.text, start) {
            return Some(found);
        }
        let skip = |from: usize, words: &[&str]| -> Option<usize> {
            let rest = &self.text[from..];
            words.iter().find_map(|word| {
                let same = rest.get(..word.len())?.eq_ignore_ascii_case(word);
                same.then(|| from + word.len() + lead(&rest[word.len()..]))
            })
        };
        // `3/8 of an inch`
        if is_part && let Some(next) = skip(start, &["of an ", "of a ", "of ", "an ", "a "]) {
            return unit_words::at(self.text, next);
        }
        if let Some(next) = skip(
            start,
            &[
                "surface ",
                "linear ",
                "lineal ",
                "full ",
                "running ",
                "whole ",
                "vertical ",
                "amazing ",
                "square-",
                "standard ",
                "solid ",
                "good ",
            ],
        ) {
            return unit_words::at(self.text, next).filter(|(found, _)| {
                matches!(
                    found.unit(false).dimension(),
                    Dimension::Length | Dimension::Area | Dimension::VolumeFlow
                )
            });
        }
        None
    }

    /// Whether an odd number of quotation marks stands before, not counting those behind a figure.
    fn closes_quotation(&self, at: usize) -> bool {
        let quotations = self.quotations.get_or_init(|| {
            let (mut open, mut before) = (false, ' ');
            let mut found = Vec::new();
            for (at, c) in self.text.char_indices() {
                let now = match c {
                    '“' | '„' | '«' => true,
                    '"' if !before.is_ascii_digit() => !open,
                    '”' if !before.is_ascii_digit() && numeral::vulgar(before).is_none() => false,
                    _ => open,
                };
                if now != open {
                    open = now;
                    found.push((at, open));
                }
                before = c;
            }
            found
        });
        let next = quotations.partition_point(|&(place, _)| place < at);
        next.checked_sub(1)
            .and_then(|last| quotations.get(last))
            .is_some_and(|&(_, open)| open)
    }

    /// `up to an acre`, `at a metre`: an article that stands for one, where a bound or a condition is before it.
    fn article(&self, at: usize) -> Option<Measure<'a>> {
        if !self.is_word(at, words!["a", "an"]) {
            return None;
        }
        let hundreds = matches!(self.token(at + 1)?.kind, Kind::Spelled("100" | "1000"));
        if !hundreds
            && !self.is_word(
                at + 1,
                words!["acre", "hectare", "metre", "meter", "foot", "yard"],
            )
        {
            return None;
        }
        // `a metre off it is 37 dB(A)`
        let distant = self.is_word(at + 2, words!["off", "away"]);
        let bound = distant
            || at.checked_sub(1).is_some_and(|before| {
                self.is_word(
                    before,
                    words![
                        "to", "about", "nearly", "almost", "over", "under", "than", "at", "within",
                        "around", "just", "roughly",
                    ],
                )
            });
        let range = self.tokens[at].range();
        // `a hundred feet` needs no bound.
        if hundreds {
            let mut measure = self.measure(at + 1)?;
            measure.tokens.start = at;
            measure.at.start = range.start;
            measure.number_at.start = range.start;
            return measure.quantity.is_some().then_some(measure);
        }
        if !bound {
            return None;
        }
        let one = Numeral {
            written: Cow::Borrowed("1"),
            tokens: at..at + 1,
            at: range,
            spelled: true,
        };
        let (found, end) = self.unit_after(one.at.end, false)?;
        let unit = found.unit(self.habits.british);
        let next = self.tokens_until(at + 1, end);
        if self.is_word(next, words!["and"])
            && self.is_word(next + 1, words!["a"])
            && matches!(self.token(next + 2)?.kind, Kind::Spelled("1/2"))
        {
            let end = self.tokens[next + 2].range().end;
            return Some(self.built(&one, end, next + 3, self.memory.quantity("1 1/2", unit)));
        }
        Some(self.built(&one, end, next, self.memory.quantity("1", unit)))
    }

    fn tokens_until(&self, from: usize, byte: usize) -> usize {
        let mut next = from;
        while self
            .tokens
            .get(next)
            .is_some_and(|token| (token.start as usize) < byte)
        {
            next += 1;
        }
        next
    }

    fn measure(&self, at: usize) -> Option<Measure<'a>> {
        let first = self.numeral(at)?;
        if let Some(measure) = self.money(at, &first) {
            return Some(measure);
        }
        let is_part = first.written.contains('/');
        let unit = self.unit_after(first.at.end, is_part);
        let Some((found, end)) = unit else {
            return Some(self.without_unit(first));
        };
        let unit = found.unit(self.habits.british);
        if let Some(measure) = self.flow_of_something(&first, unit, end) {
            return Some(measure);
        }
        let mut next = self.tokens_until(first.tokens.end, end);
        // `an acre and a half`
        if self.is_word(next, words!["and"])
            && self.is_word(next + 1, words!["a"])
            && matches!(
                self.token(next + 2).map(|token| token.kind),
                Some(Kind::Spelled("1/2"))
            )
            && !first.written.contains(['/', '.', ' '])
        {
            let last = next + 2;
            let end = self.tokens[last].range().end;
            return Some(
                self.built(
                    &first,
                    end,
                    last + 1,
                    self.memory
                        .quantity(&format!("{} 1/2", first.written), unit),
                ),
            );
        }
        // `2 ft 6 in`.
        if matches!(unit.spelling(), "ft" | "lb")
            && let Some(compound) = self.compound(&first, unit, end, next)
        {
            return Some(compound);
        }
        if unit.dimension() == Dimension::Temperature
            && let Some(measure) = self.temperature(&first, found, end)
        {
            return Some(measure);
        }
        // `75 W ± 5 %`
        if self.sign(next) == Some('±')
            && let Some(spread) = self.numeral(next + 1)
            && let Some((of, spread_end)) = self.unit_after(spread.at.end, false)
        {
            let text = format!(
                "{} {unit} ± {} {}",
                first.written,
                spread.written,
                of.unit(false)
            );
            if let Some(quantity) = units::read(&text, &[]).quantity {
                next = self.tokens_until(next, spread_end);
                return Some(self.built(&first, spread_end, next, Some(quantity)));
            }
        }
        // `6 ft to 10 ft`
        if let Some(joint) = self.range_joint(next)
            && let Some(second) = self.numeral(joint)
            && let Some((upper, upper_end)) = self.unit_after(second.at.end, false)
            && upper == found
            && let Some(quantity) = range_quantity(&first.written, &second.written, unit)
        {
            let next = self.tokens_until(second.tokens.end, upper_end);
            return Some(self.built(&first, upper_end, next, Some(quantity)));
        }
        let is_size = self.is_times(next) && self.token(next + 1).is_some_and(Token::is_number);
        let quantity = self.memory.quantity(&first.written, unit);
        let mut measure = self.built(&first, end, next, quantity);
        measure.is_size = is_size && unit.dimension() == Dimension::Length && {
            // `3/8 in x 100 ft` is a line, `12 in x 10 in` a size.
            let second = self
                .numeral(next + 1)
                .and_then(|second| self.unit_after(second.at.end, false));
            second.is_none_or(|(second, _)| second == found)
        };
        Some(measure)
    }

    fn built(
        &self,
        first: &Numeral<'a>,
        end: usize,
        next: usize,
        quantity: Option<Quantity>,
    ) -> Measure<'a> {
        Measure {
            tokens: first.tokens.start..next.max(first.tokens.end),
            at: first.at.start..end,
            number_at: first.at.clone(),
            number: first.written.clone(),
            quantity,
            period: None,
            count: None,
            is_size: false,
            place: 0,
        }
    }

    fn is_times(&self, at: usize) -> bool {
        matches!(self.sign(at), Some('×' | '*'))
            || (self.joins(at) && self.is_word(at, words!["x", "by"]))
    }

    /// Whether the word may join two numbers.
    fn joins(&self, at: usize) -> bool {
        self.token(at)
            .is_some_and(|token| token.cues & cue::JOINS != 0)
    }

    /// The token after what joins the ends of a range.
    fn range_joint(&self, at: usize) -> Option<usize> {
        if let Some(sign @ ('–' | '—' | '-' | '‑' | '‒' | '−' | '…' | '~')) = self.sign(at)
        {
            // `230~ 50Hz`: the sign of alternating current joins nothing.
            let range = self.tokens[at].range();
            let is_current = sign == '~'
                && !self.text[..range.start].ends_with(' ')
                && self.text[range.end..].starts_with([' ', '\u{a0}']);
            return (!is_current).then_some(at + 1);
        }
        if self.is_word(at, words!["up"])
            && self.is_word(at + 1, words!["to"])
            && self
                .token(at + 2)
                .is_some_and(|token| token.is_number() || matches!(token.kind, Kind::Sign('+')))
        {
            return Some(at + 2);
        }
        // `from 1.5 down to 4 m`
        if self.is_word(at, words!["down"])
            && self.is_word(at + 1, words!["to"])
            && self.token(at + 2).is_some_and(Token::is_number)
        {
            return Some(at + 2);
        }
        if self.is_word(
            at,
            words![
                "to", "through", "bis", "til", "à", "a", "tot", "and", "und", "et", "en", "y", "e",
                "og"
            ],
        ) {
            if self.is_word(at, words!["and", "und", "et", "en", "y", "e", "og"]) {
                let start = self.tokens.get(at)?.range().start;
                let from = self.text[..start]
                    .char_indices()
                    .rev()
                    .nth(99)
                    .map_or(0, |(at, _)| at);
                let near = self.text[from..start].rsplit(' ').take(6).any(|word| {
                    [
                        "between", "zwischen", "entre", "tussen", "mellem", "tra", "fra",
                    ]
                    .iter()
                    .any(|known| word.eq_ignore_ascii_case(known))
                });
                if !near {
                    return None;
                }
            }
            return Some(at + 1);
        }
        None
    }

    /// A number whose unit stands behind a second one, or nowhere.
    fn without_unit(&self, first: Numeral<'a>) -> Measure<'a> {
        let next = first.tokens.end;
        if let Some(joint) = self.range_joint(next)
            && let Some(second) = self.numeral(joint + usize::from(self.sign(joint) == Some('+')))
            && let Some((found, end)) = self.unit_after(second.at.end, second.written.contains('/'))
        {
            let unit = found.unit(self.habits.british);
            let flow = self.flow_tail(unit, end);
            let (unit, end) = flow.unwrap_or((unit, end));
            if unit.dimension() == Dimension::Temperature
                && let Some(start) = self.minus(&first)
                && let Some(quantity) = units::read(
                    &format!("-{} to {} {unit}", first.written, second.written),
                    &[],
                )
                .quantity
            {
                let after = self.tokens_until(second.tokens.end, end);
                let mut measure = self.built(&first, end, after, Some(quantity));
                measure.at.start = start;
                return measure;
            }
            if let Some(quantity) = range_quantity(&first.written, &second.written, unit) {
                let after = self.tokens_until(second.tokens.end, end);
                return self.built(&first, end, after, Some(quantity));
            }
        }
        if self.is_times(next)
            && let Some(second) = self.numeral(next + 1)
            && !second.spelled
        {
            let third = second.tokens.end;
            let (unit, end) = match self.unit_after(second.at.end, false) {
                Some((found, end)) => (Some(found.unit(self.habits.british)), end),
                None => (None, second.at.end),
            };
            let is_count = numeral::value(&first.written)
                .is_some_and(|count| (1.0..=24.0).contains(&count))
                && !first.written.contains(['/', '.', ' ']);
            if let Some(unit) = unit
                && is_count
                && !self.is_times(self.tokens_until(third, end))
                && !matches!(unit.spelling(), "mm" | "cm" | "in")
            {
                let after = self.tokens_until(third, end);
                let mut measure = self.built(
                    &second,
                    end,
                    after,
                    self.memory.quantity(&second.written, unit),
                );
                measure.count =
                    numeral::value(&first.written).map(|count| Box::new((count, first.at.clone())));
                measure.tokens.start = first.tokens.start;
                return measure;
            }
            if !(is_count && unit.is_some_and(|unit| matches!(unit.spelling(), "mm" | "cm" | "in")))
                || self.is_times(self.tokens_until(third, end))
            {
                let mut measure = self.built(&first, first.at.end, first.tokens.end, None);
                measure.is_size = true;
                return measure;
            }
            // `2 x 10 in diffusers`: the number stays a bare one.
        }
        // `39 ± 2 dB(A)`
        if self.sign(next) == Some('±')
            && let Some(spread) = self.numeral(next + 1)
            && let Some((of, end)) = self.unit_after(spread.at.end, false)
        {
            let unit = of.unit(self.habits.british);
            let text = format!("{} {unit} ± {} {unit}", first.written, spread.written);
            if let Some(quantity) = units::read(&text, &[]).quantity {
                let after = self.tokens_until(spread.tokens.end, end);
                return self.built(&first, end, after, Some(quantity));
            }
        }
        // `115/230 V`, `8 or 10 ft`, `50/52/56 dB(A)`: the unit of the last serves all.
        if let Some(found) = self.unit_of_the_last(next) {
            let unit = found.unit(self.habits.british);
            if let Some(quantity) = self.memory.quantity(&first.written, unit) {
                return self.built(&first, first.at.end, first.tokens.end, Some(quantity));
            }
        }
        // `900 ft of 5/8 hose`, `3/8 ID`: a part of one before a word of lines has inches.
        if first.written.contains('/')
            && !first.spelled
            && (matches!(
                self.token(next + usize::from(self.sign(next) == Some('(')))
                    .and_then(Token::topic),
                Some(Topic::Line | Topic::Bore)
            ) || first
                .tokens
                .start
                .checked_sub(1)
                .and_then(|before| self.token(before))
                .and_then(Token::topic)
                == Some(Topic::Line))
            && !self.is_word(
                next,
                words!["run", "runs", "roll", "rolls", "coil", "spool"],
            )
            && let Some(unit) = Unit::known("in")
        {
            return self.built(
                &first,
                first.at.end,
                first.tokens.end,
                self.memory.quantity(&first.written, unit),
            );
        }
        // `DN 25`
        if let Some(before) = first.tokens.start.checked_sub(1)
            && self.is_word(before, words!["dn"])
            && let Some(unit) = Unit::known("mm")
        {
            let mut measure = self.built(
                &first,
                first.at.end,
                first.tokens.end,
                self.memory.quantity(&first.written, unit),
            );
            measure.at.start = self.tokens[before].range().start;
            return measure;
        }
        self.built(&first, first.at.end, first.tokens.end, None)
    }

    /// The unit behind the last of a list of numbers whose next begins behind the sign or word at `next`.
    fn unit_of_the_last(&self, mut next: usize) -> Option<Found> {
        const MOST: usize = 6;
        for place in 0..MOST {
            let shared = matches!(self.sign(next), Some('/' | '&'))
                || (place == 0 && self.joins(next) && self.is_word(next, words!["or"]));
            let number = self.numeral(next + 1).filter(|_| shared)?;
            if let Some((found, _)) = self.unit_after(number.at.end, false) {
                return Some(found);
            }
            next = number.tokens.end;
        }
        None
    }

    /// Whether a minus stands right before the number, and its first byte.
    fn minus(&self, number: &Numeral<'a>) -> Option<usize> {
        let before = self.text.get(..number.at.start)?;
        let sign = ['-', '−', '–', '\u{2011}']
            .into_iter()
            .find(|&sign| before.ends_with(sign))?;
        let start = before.len() - sign.len_utf8();
        // `10-20 °C` is a range, `minus` a sign only behind a blank, a bracket or nothing.
        let behind = before[..start].chars().next_back();
        behind
            .is_none_or(|c| c.is_whitespace() || matches!(c, '(' | '[' | ':' | '/' | ','))
            .then_some(start)
    }

    /// `-5 °C to +40 °C`, `−10 °F`: temperatures have signs.
    fn temperature(&self, first: &Numeral<'a>, found: Found, end: usize) -> Option<Measure<'a>> {
        let unit = found.unit(false);
        let minus = self.minus(first);
        let low = if minus.is_some() {
            format!("-{}", first.written)
        } else {
            first.written.to_string()
        };
        let start = minus.unwrap_or(first.at.start);
        let next = self.tokens_until(first.tokens.end, end);
        let mut measure = self.built(first, end, next, None);
        measure.at.start = start;
        while measure.tokens.start > 0
            && self.tokens[measure.tokens.start - 1].start as usize >= start
        {
            measure.tokens.start -= 1;
        }
        // `−30 °C and 40 °C`
        let and = minus.is_some() && self.is_word(next, words!["and"]);
        if let Some(mut joint) = self.range_joint(next).or(and.then_some(next + 1)) {
            let signed = matches!(self.sign(joint), Some('+' | '-' | '−' | '–'));
            joint += usize::from(signed);
            if let Some(second) = self.numeral(joint)
                && let Some((upper, upper_end)) = self.unit_after(second.at.end, false)
                && upper == found
            {
                let minus = signed && !matches!(self.sign(joint - 1), Some('+'));
                let high = if minus {
                    format!("-{}", second.written)
                } else {
                    second.written.to_string()
                };
                if let Some(quantity) =
                    units::read(&format!("{low} to {high} {unit}"), &[]).quantity
                {
                    measure.at.end = upper_end;
                    measure.tokens.end = self.tokens_until(second.tokens.end, upper_end);
                    measure.quantity = Some(quantity);
                    return Some(measure);
                }
            }
        }
        minus?;
        measure.quantity = units::read(&format!("{low} {unit}"), &[]).quantity;
        Some(measure)
    }

    /// `2 ft 6 in`, `6' 6"`, `3 lb 4 oz`.
    fn compound(
        &self,
        first: &Numeral<'a>,
        unit: Unit,
        end: usize,
        next: usize,
    ) -> Option<Measure<'a>> {
        let mut at = next;
        if matches!(self.sign(at), Some(',' | '-')) {
            at += 1;
        }
        let second = self.numeral(at)?;
        let (found, last) = self.unit_after(second.at.end, second.written.contains('/'))?;
        let (smaller, times) = if unit.spelling() == "ft" {
            ("in", 12.0)
        } else {
            ("oz", 16.0)
        };
        let part = numeral::value(&second.written)?;
        if found.unit(false).spelling() != smaller || part >= times {
            return None;
        }
        // `100 ft, ½ in bore` is a length and a size.
        let listed = self.sign(next) == Some(',')
            && (numeral::value(&first.written).is_some_and(|feet| feet >= 20.0)
                || second.written.contains('/')
                || matches!(
                    self.token(self.tokens_until(second.tokens.end, last))
                        .and_then(Token::topic),
                    Some(Topic::Bore | Topic::Line)
                ));
        if listed {
            return None;
        }
        if second.at.start - end > 3 {
            return None;
        }
        let quantity = if smaller == "in" {
            units::read(&format!("{} ft {} in", first.written, second.written), &[]).quantity?
        } else {
            self.memory.quantity(
                &format!("{}", numeral::value(&first.written)? + part / times),
                unit,
            )?
        };
        let after = self.tokens_until(second.tokens.end, last);
        Some(self.built(first, last, after, Some(quantity)))
    }

    /// `1,500 gallons of water per minute`, `2 lb of oxygen an hour`.
    fn flow_of_something(
        &self,
        first: &Numeral<'a>,
        unit: Unit,
        end: usize,
    ) -> Option<Measure<'a>> {
        let (flow, last) = self.flow_tail(unit, end)?;
        let after = self.tokens_until(first.tokens.end, last);
        Some(self.built(
            first,
            last,
            after,
            self.memory.quantity(&first.written, flow),
        ))
    }

    /// The unit of flow that a volume or mass of something in a time makes, and where it ends.
    fn flow_tail(&self, unit: Unit, end: usize) -> Option<(Unit, usize)> {
        if !matches!(unit.dimension(), Dimension::Volume | Dimension::Mass) {
            return None;
        }
        let name = unit.spelling();
        let rest = &self.text[end..];
        const LONGEST: usize = 48;
        let lead = Lead::of(rest, LONGEST);
        let small = lead.as_str();
        let mut tail = small.trim_start();
        if !tail.starts_with(|c: char| c.is_alphabetic() || c == '/') {
            return None;
        }
        let before = tail.len();
        tail = tail.strip_prefix("of ").unwrap_or(tail).trim_start();
        for adjective in ["dissolved ", "pure ", "pond ", "fresh ", "free ", "bottom "] {
            tail = tail.strip_prefix(adjective).unwrap_or(tail);
        }
        let something = strip_any(
            tail,
            &[
                "oxygen",
                "water",
                "air",
                "o2",
                "o₂",
                "sauerstoff",
                "luft",
                "wasser",
            ],
        );
        if something.is_none() && tail.len() != before {
            return None;
        }
        let bare = something.unwrap_or(tail).trim_start();
        let bare = strip_any(bare, &["is moved ", "are moved "]).unwrap_or(bare);
        let per = strip_any(
            bare,
            &[
                "per ", "each ", "every ", "an ", "a ", "/ ", "/", "pro ", "je ",
            ],
        )?;
        let (time, length) = [
            ("minute", "min"),
            ("min", "min"),
            ("hour", "h"),
            ("hr", "h"),
            ("h", "h"),
            ("day", "d"),
            ("second", "s"),
            ("sec", "s"),
            ("stunde", "h"),
            ("std", "h"),
            ("tag", "d"),
            ("d", "d"),
            ("s", "s"),
        ]
        .iter()
        .find_map(|&(word, time)| {
            let after = per.strip_prefix(word)?;
            let ends = !after.starts_with(|c: char| c.is_alphanumeric());
            ends.then_some((time, word.len()))
        })?;
        let flow = match (name, time) {
            ("gal(US)", "min") => "gpm(US)".to_owned(),
            ("gal(UK)", "min") => "gpm(UK)".to_owned(),
            ("ft3", "min") => "cfm".to_owned(),
            ("ft3", "h") => "cfh".to_owned(),
            ("ft3", "s") => "cfs".to_owned(),
            (name, time) => format!("{name}/{time}"),
        };
        let flow = Unit::known(&flow)?;
        let written = lead.written(small.len() - per.len() + length, rest)?;
        Some((flow, end + written))
    }

    /// `$5`, `US$ 5-7 a month`, `5 €`, `15 cents per kWh`.
    fn money(&self, at: usize, first: &Numeral<'a>) -> Option<Measure<'a>> {
        let mut start = first.at.start;
        let mut token = at;
        let mut currency = None;
        if !self.may_be_money(first) {
            return None;
        }
        let before = self.text[..start].trim_end_matches([' ', '\u{a0}']);
        let near = start - before.len() <= 2;
        for (sign, code) in [
            ("US$", Some(Currency::USD)),
            ("CA$", Some(Currency::CAD)),
            ("C$", Some(Currency::CAD)),
            ("AU$", Some(Currency::AUD)),
            ("A$", Some(Currency::AUD)),
            ("NZ$", Some(Currency::NZD)),
            ("$", None),
            ("€", Some(Currency::EUR)),
            ("£", Some(Currency::GBP)),
        ] {
            if near && before.ends_with(sign) {
                currency = Some(code.unwrap_or(self.habits.dollar));
                start = before.len() - sign.len();
                // `CAD $799`
                let lead = before[..start].trim_end_matches(' ');
                let named = ["CAD", "USD", "AUD", "NZD"]
                    .iter()
                    .find(|code| sign == "$" && lead.ends_with(**code));
                if let Some(code) = named.and_then(|code| Currency::from_code(code)) {
                    currency = Some(code);
                    start = lead.len() - "CAD".len();
                }
                break;
            }
        }
        // `GBP    95.00` in a column of amounts
        if currency.is_none() {
            let word = before
                .rsplit(|c: char| !c.is_ascii_alphabetic())
                .next()
                .unwrap_or("");
            if let Some(coded) = coded(word) {
                currency = Some(coded);
                start = before.len() - word.len();
            }
        }
        let mut number = first.written.clone();
        // Three figures behind a comma are thousands, as money has no thousandths.
        if self.habits.style == Style::Comma
            && number
                .rsplit_once('.')
                .is_some_and(|(_, decimals)| decimals.len() == 3)
            && self.text[first.at.clone()].contains(',')
        {
            number = numeral::read(self.text, first.at.start, Style::Point).0;
        }
        let mut end = first.at.end;
        let mut next = first.tokens.end;
        let mut upper: Option<Cow<'a, str>> = None;
        if currency.is_some() {
            while token > 0 && (self.tokens[token - 1].start as usize) >= start {
                token -= 1;
            }
            if let Some(joint) = self.range_joint(next)
                && let Some((second, shift)) = self.money_number(joint)
                && !(self.is_word(next, words!["a", "and", "through"]))
                && numeral::value(&second.written) > numeral::value(&number)
            {
                end = second.at.end;
                next = joint + shift + (second.tokens.end - second.tokens.start);
                upper = Some(second.written);
            }
        } else {
            let mut number_end = first.at.end;
            let mut tokens_end = first.tokens.end;
            if let Some(joint) = self.range_joint(tokens_end)
                && let Some(second) = self.numeral(joint)
                && self.money_word(second.at.end).is_some()
                && numeral::value(&second.written) > numeral::value(&number)
            {
                number_end = second.at.end;
                tokens_end = second.tokens.end;
                upper = Some(second.written);
            }
            let (code, hundredth, word_end) = self.money_word(number_end)?;
            currency = Some(code);
            if hundredth {
                number = hundredths(&number)?.into();
                upper = match upper {
                    Some(upper) => Some(hundredths(&upper)?.into()),
                    None => None,
                };
            }
            end = word_end;
            next = self.tokens_until(tokens_end, end);
        }
        let mut currency = currency?;
        if self.text[end..].starts_with(".–")
            || self.text[end..].starts_with(",-")
            || self.text[end..].starts_with(",–")
        {
            end += 1 + self.text[end + 1..]
                .chars()
                .next()
                .map_or(0, char::len_utf8);
            next = self.tokens_until(next, end);
            if let Some((code, false, word_end)) = self.money_word(end)
                && code == currency
            {
                end = word_end;
                next = self.tokens_until(next, end);
            }
        }
        // `$614 CAD`
        if self.text[start..end].contains('$')
            && let Some((code, false, word_end)) = self.money_word(end)
            && self.text[..word_end].ends_with(|c: char| c.is_ascii_uppercase())
        {
            currency = code;
            end = word_end;
            next = self.tokens_until(next, end);
        }
        let period = self.period(end);
        if let Some((_, period_end)) = period {
            end = period_end;
            next = self.tokens_until(next, end);
        }
        let period = period.map(|(period, _)| period);
        let tail = match period {
            None | Some(Period::Week | Period::Season) => "",
            Some(period) => period.tail(),
        };
        let unit = Unit::of_money(currency, tail)?;
        let quantity = match &upper {
            Some(upper) => range_quantity(&number, upper, unit),
            None => self.memory.quantity(&number, unit),
        };
        let mut measure = self.built(first, end, next, quantity);
        measure.at.start = start;
        measure.tokens.start = token;
        measure.number = number;
        measure.period = period;
        Some(measure)
    }

    /// Whether a sign or a word of money may stand before the number, or behind it or the end of a range that it begins.
    fn may_be_money(&self, first: &Numeral<'a>) -> bool {
        let before = self.text[..first.at.start]
            .trim_end_matches([' ', '\u{a0}'])
            .chars()
            .next_back();
        if before.is_some_and(|c| c.is_ascii_uppercase() || matches!(c, '$' | '€' | '£')) {
            return true;
        }
        self.money_word(first.at.end).is_some() || self.range_joint(first.tokens.end).is_some()
    }

    /// A number with or without a sign of money before it, as the second of a range.
    fn money_number(&self, at: usize) -> Option<(Numeral<'a>, usize)> {
        if let Some('$' | '€' | '£') = self.sign(at) {
            return self.numeral(at + 1).map(|number| (number, 1));
        }
        let number = self.numeral(at)?;
        // `$5 to 10 ft` isn't a range of money.
        (self.unit_after(number.at.end, false).is_none()).then_some((number, 0))
    }

    /// A currency's word after byte `at`: whether it is the hundredth part, and where it ends.
    fn money_word(&self, at: usize) -> Option<(Currency, bool, usize)> {
        let rest = self.text.get(at..)?;
        // Most numbers have neither a word nor a sign behind them that may be money's.
        let next = rest.bytes().find(|byte| !matches!(byte, b' ' | b'-'))?;
        if !matches!(next, b'$' | b',' | b'.' | 0x80..) && !next.is_ascii_alphabetic() {
            return None;
        }
        // `1.099,- €`
        let whole = strip_any(rest, &[",-", ".-", ",–", ".–", ",—"]).unwrap_or(rest);
        let trimmed = whole.trim_start_matches([' ', '\u{a0}', '-', '\u{202f}']);
        let start = at + rest.len() - trimmed.len();
        if !trimmed.starts_with(|c: char| c.is_ascii_alphabetic()) {
            return self.money_sign(trimmed, start);
        }
        let length = trimmed
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(trimmed.len());
        let word = Word::at(self.text, start, start + length);
        let is_small = !trimmed[..length].starts_with(|c: char| c.is_ascii_uppercase());
        let (currency, hundredth) = if is_one!(word, "dollars" | "dollar" | "bucks") {
            (self.habits.dollar, false)
        } else if is_one!(word, "usd") {
            (Currency::USD, false)
        } else if is_one!(word, "cent" | "cents") && self.habits.style == Style::Comma {
            (Currency::EUR, true)
        } else if is_one!(word, "cent" | "cents") {
            (self.habits.cent, true)
        } else if is_one!(word, "ct") {
            (Currency::EUR, true)
        } else if is_one!(word, "eur" | "euro" | "euros") {
            (Currency::EUR, false)
        } else if is_one!(word, "gbp") {
            (Currency::GBP, false)
        } else if is_one!(word, "pence") {
            (Currency::GBP, true)
        } else if is_one!(word, "p")
            && is_small
            && (start == at || matches!(self.period(start + 1), Some((Period::KilowattHour, _))))
            && (self.habits.british || self.period(start + 1).is_some())
        {
            // A bare letter is money only right behind its number, and where a time or energy follows it.
            (Currency::GBP, true)
        } else if is_one!(word, "c") && is_small && start == at {
            (self.habits.cent, true)
        } else if is_one!(word, "cad") {
            (Currency::CAD, false)
        } else if is_one!(word, "aud") {
            (Currency::AUD, false)
        } else if is_one!(word, "chf") {
            (Currency::CHF, false)
        } else if is_one!(word, "kr" | "kroner") && self.habits.crown.is_some() {
            let stop = usize::from(trimmed[length..].starts_with('.'));
            return Some((self.habits.crown?, false, start + length + stop));
        } else {
            return None;
        };
        Some((currency, hundredth, start + length))
    }

    /// A sign of money at byte `start`, where `rest` begins.
    fn money_sign(&self, rest: &str, start: usize) -> Option<(Currency, bool, usize)> {
        let sign = rest.chars().next()?;
        let (currency, hundredth) = match sign {
            // `20£6.70`: the sign is that of the number behind it.
            '£' if rest[sign.len_utf8()..].starts_with(|c: char| c.is_ascii_digit()) => {
                return None;
            }
            '€' => (Currency::EUR, false),
            '£' => (Currency::GBP, false),
            '¢' => (self.habits.dollar, true),
            '$' if !rest[1..].starts_with(|c: char| c.is_ascii_digit()) => {
                (self.habits.dollar, false)
            }
            _ => return None,
        };
        Some((currency, hundredth, start + sign.len_utf8()))
    }

    /// `a month`, `/kWh`, `pro Jahr` after byte `at`.
    fn period(&self, at: usize) -> Option<(Period, usize)> {
        let rest = &self.text[at..];
        // A note's mark may stand between: `$30¹ a month`.
        let mark = rest.chars().next().filter(|&c| numeral::is_raised(c));
        let at = at + mark.map_or(0, char::len_utf8);
        let rest = &self.text[at..];
        let blank = |c: char| matches!(c, ' ' | '\u{a0}' | '\u{202f}');
        let bare = rest.trim_start_matches(blank);
        if !bare.starts_with(|c: char| c.is_alphanumeric() || matches!(c, '/' | '(')) {
            return None;
        }
        let lead = Lead::of(bare, LONGEST_PERIOD);
        let mut tail = lead.as_str();
        for fill in FILLS {
            tail = tail.strip_prefix(fill).unwrap_or(tail);
        }
        let marked = strip_any(tail, MARKS);
        let tail = marked.unwrap_or(tail);
        let first = tail.bytes().next()?;
        let (word, period) = PERIODS.iter().find(|(word, period)| {
            word.as_bytes().first() == Some(&first)
                && marked.is_some() != ADVERBS.contains(word)
                && tail.strip_prefix(word).is_some_and(|after| {
                    // `$5/m²` is paid for an area; `$30 a month²` bears a note's mark.
                    !after.starts_with(|c: char| {
                        c.is_alphabetic()
                            || c.is_ascii_digit()
                            || numeral::is_raised(c)
                                && matches!(*period, Period::Foot | Period::Metre)
                    })
                })
        })?;
        let consumed = lead.as_str().len() - tail.len() + word.len();
        let written = lead.written(consumed, bare)?;
        Some((*period, self.text.len() - bare.len() + written))
    }
}

/// The currency of a code that the trade's pages write; other codes are words as well: `ALL`, `TOP`, `TRY`.
pub(super) fn coded(word: &str) -> Option<Currency> {
    matches!(
        word,
        "USD" | "EUR" | "GBP" | "CAD" | "AUD" | "CHF" | "NZD" | "SEK" | "DKK" | "NOK" | "PLN"
    )
    .then(|| Currency::from_code(word))
    .flatten()
}

/// How many characters behind money are looked at for what it is paid for.
const LONGEST_PERIOD: usize = 40;

/// What money is paid for, the longer before its beginning.
static PERIODS: &[(&str, Period)] = &[
    ("kilowatt-hour", Period::KilowattHour),
    ("kilowatt hour", Period::KilowattHour),
    ("kwh", Period::KilowattHour),
    ("kw-h", Period::KilowattHour),
    ("kw h", Period::KilowattHour),
    ("kilowattstunde", Period::KilowattHour),
    ("hourly", Period::Hour),
    ("daily", Period::Day),
    ("monthly", Period::Month),
    ("yearly", Period::Year),
    ("annually", Period::Year),
    ("weekly", Period::Week),
    ("season", Period::Season),
    ("saison", Period::Season),
    ("winter", Period::Season),
    ("summer", Period::Season),
    ("quarter", Period::Season),
    ("24 hours", Period::Day),
    ("24 h", Period::Day),
    ("24h", Period::Day),
    ("kw/h", Period::KilowattHour),
    ("uur", Period::Hour),
    ("maand", Period::Month),
    ("jaar", Period::Year),
    ("dag", Period::Day),
    ("jour", Period::Day),
    ("stunde", Period::Hour),
    ("tag", Period::Day),
    ("täglich", Period::Day),
    ("jährlich", Period::Year),
    ("monatlich", Period::Month),
    ("hour", Period::Hour),
    ("hr", Period::Hour),
    ("day", Period::Day),
    ("week", Period::Week),
    ("month", Period::Month),
    ("mo", Period::Month),
    ("mth", Period::Month),
    ("year", Period::Year),
    ("yr", Period::Year),
    ("annum", Period::Year),
    ("tag", Period::Day),
    ("monat", Period::Month),
    ("jahr", Period::Year),
    ("woche", Period::Week),
    ("mois", Period::Month),
    ("an", Period::Year),
    ("mes", Period::Month),
    ("mese", Period::Month),
    ("anno", Period::Year),
    ("giorno", Period::Day),
    ("día", Period::Day),
    ("dia", Period::Day),
    ("måneden", Period::Month),
    ("måned", Period::Month),
    ("md", Period::Month),
    ("året", Period::Year),
    ("år", Period::Year),
    ("døgnet", Period::Day),
    ("dagen", Period::Day),
    ("mnd", Period::Month),
    ("año", Period::Year),
    ("foot", Period::Foot),
    ("ft", Period::Foot),
    ("linear foot", Period::Foot),
    ("metre", Period::Metre),
    ("meter", Period::Metre),
    ("m", Period::Metre),
    ("h", Period::Hour),
];

/// A number with its point moved to the right; none for fractions.
fn shifted(number: &str, places: usize) -> Option<String> {
    if number.contains(['/', ' ']) {
        return None;
    }
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    if decimals.len() > places {
        return Some(format!(
            "{whole}{}.{}",
            decimals.get(..places)?,
            decimals.get(places..)?
        ));
    }
    let digits = format!("{whole}{decimals:0<places$}");
    let bare = digits.trim_start_matches('0');
    Some(if bare.is_empty() {
        "0".to_owned()
    } else {
        bare.to_owned()
    })
}

/// A number of hundredths as one of wholes: `15` is `0.15`.
fn hundredths(number: &str) -> Option<String> {
    if number.contains(['/', ' ']) {
        return numeral::value(number).map(|value| format!("{}", value / 100.0));
    }
    let (whole, decimals) = number.split_once('.').unwrap_or((number, ""));
    let padded = format!("{whole:0>3}");
    let cut = padded.len().checked_sub(2)?;
    Some(format!("{}.{}{decimals}", &padded[..cut], &padded[cut..]))
}

#[cfg(test)]
mod tests {
    use super::super::tokens;
    use super::*;

    fn figures(text: &str, style: Style) -> Vec<String> {
        let mut tokens = Vec::new();
        tokens::tokens(text, style, &mut tokens);
        let mut found = Vec::new();
        let habits = Habits {
            style,
            british: false,
            dollar: Currency::USD,
            cent: Currency::USD,
            crown: None,
        };
        measures(text, &tokens, habits, &Memory::default(), &mut found);
        found
            .iter()
            .map(|measure| {
                let quantity = measure
                    .quantity
                    .as_ref()
                    .map_or(measure.number.to_string(), Quantity::canonical);
                format!("{} = {quantity}", &text[measure.at.clone()])
            })
            .collect()
    }

    #[test]
    fn quantities_as_people_write_them() {
        for (text, expected) in [
            ("¼ acre", "¼ acre = 1/4 acre"),
            ("1/4-acre pond", "1/4-acre = 1/4 acre"),
            ("a quarter acre", "quarter acre = 1/4 acre"),
            ("half an acre", "half an acre = 1/2 acre"),
            ("a quarter of an acre", "quarter of an acre = 1/4 acre"),
            ("three-quarter acre", "three-quarter acre = 3/4 acre"),
            ("one and a half acres", "one and a half acres = 1 1/2 acre"),
            ("1 and 1/2 acres", "1 and 1/2 acres = 1 1/2 acre"),
            ("half-acre pond", "half-acre = 1/2 acre"),
            ("3/8\" ID", "3/8\" = 3/8 in"),
            ("3⁄8-inch ID", "3⁄8-inch = 3/8 in"),
            ("6' deep", "6' = 6 ft"),
            ("6 ft. deep", "6 ft. = 6 ft"),
            ("six feet", "six feet = 6 ft"),
            ("2 ft 6 in deep", "2 ft 6 in = 2 ft 6 in"),
            ("6' 6\" deep", "6' 6\" = 6 ft 6 in"),
            ("4.2 m³/hr", "4.2 m³/hr = 4.2 m3/h"),
            ("120 LPM", "120 LPM = 120 L/min"),
            ("0.9A", "0.9A = 0.9 A"),
            ("30–40 dB", "30–40 dB = 30 to 40 dB"),
            ("8 to 12 ft", "8 to 12 ft = 8 to 12 ft"),
            ("between 8 and 12 ft", "8 and 12 ft = 8 to 12 ft"),
            ("8 ft to 12 ft", "8 ft to 12 ft = 8 to 12 ft"),
            ("1,500 GPM", "1,500 GPM = 1500 gpm(US)"),
            (
                "1,500 gallons of water per minute",
                "1,500 gallons of water per minute = 1500 gpm(US)",
            ),
            ("2 lb of oxygen an hour", "2 lb of oxygen an hour = 2 lb/h"),
            ("less than $5 a month", "$5 a month = 5 USD/month"),
            ("$5–$7/month", "$5–$7/month = 5 to 7 USD/month"),
            ("15 cents per kWh", "15 cents per kWh = 0.15 USD/kWh"),
            ("6,50 € pro Monat", "6,50 € pro Monat = 6.50 EUR/month"),
            ("$1,299.00", "$1,299.00 = 1299.00 USD"),
            ("75 W ± 5 %", "75 W ± 5 % = 75 W ± 5 %"),
            (
                "100 cubic feet per minute",
                "100 cubic feet per minute = 100 cfm",
            ),
            ("1.8 cu. ft./min.", "1.8 cu. ft./min. = 1.8 cfm"),
            ("2½ ft", "2½ ft = 2 1/2 ft"),
            ("-5 °C to +40 °C", "-5 °C to +40 °C = -5 to 40 degC"),
            ("−20 to 40 °C", "−20 to 40 °C = -20 to 40 degC"),
            ("from 5 °C up to 40 °C", "5 °C up to 40 °C = 5 to 40 degC"),
            ("3 lb. 4 oz. each", "3 lb. 4 oz. = 3.25 lb"),
            (
                "1.9 million gallons",
                "1.9 million gallons = 1900000 gal(US)",
            ),
            ("quarter-inch tubing", "quarter-inch = 1/4 in"),
            (
                "up to an acre and a half",
                "an acre and a half = 1 1/2 acre",
            ),
            ("within a metre", "a metre = 1 m"),
            (
                "a hundred and fifteen volts",
                "a hundred and fifteen volts = 115 V",
            ),
            ("forty-four decibels", "forty-four decibels = 44 dB"),
            ("one point eight cfm", "one point eight cfm = 1.8 cfm"),
            ("6.4a on 220v", "6.4a = 6.4 A"),
            ("900ft of 5/8 hose", "5/8 = 5/8 in"),
            ("9.5c/kWh", "9.5c/kWh = 0.095 USD/kWh"),
            ("11p a day", "11p a day = 0.11 GBP/day"),
            ("2,4 m³/u", "2,4 m³/u = 2.4 m3/h"),
            ("draws 0.9 A. The cord", "0.9 A = 0.9 A"),
            ("10 ft. Water is", "10 ft = 10 ft"),
        ] {
            let style = if text.contains('€') {
                Style::Comma
            } else {
                Style::Point
            };
            let found = figures(text, style);
            assert!(found.iter().any(|one| one == expected), "{text}: {found:?}");
        }
        assert_eq!(
            figures("2 × 20£6.70 a month", Style::Point),
            ["2 = 2", "20 = 20", "£6.70 a month = 6.70 GBP/month"]
        );
        assert_eq!(
            figures("20€6.70 a month", Style::Point),
            ["20€ = 20 EUR", "6.70 a month = 6.70 EUR/month"]
        );
        assert_eq!(
            figures("115V/60Hz", Style::Point),
            ["115V = 115 V", "60Hz = 60 Hz"]
        );
        assert_eq!(
            figures("115/230V", Style::Point),
            ["115 = 115 V", "230V = 230 V"]
        );
        assert_eq!(
            figures("44 dBA @ 10'", Style::Point),
            ["44 dBA = 44 dB(A)", "10' = 10 ft"]
        );
        assert_eq!(figures("2 x 25 m", Style::Point), ["25 m = 25 m"]);
        assert_eq!(
            figures("AP60 and OM-38", Style::Point),
            Vec::<String>::new()
        );
    }
}
