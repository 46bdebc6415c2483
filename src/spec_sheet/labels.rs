//! What the heads of a table, a label before a colon or an element beside it name for a bare number.

use crate::units::{self, Dimension, Unit};

use super::finder::{Above, Finder, MOST_LABELS, Named};
use super::layout::Role;
use super::lexicon;
use super::measure::{self, Habits, Measure, Period};
use super::numeral;
use super::tokens::{Kind, Token};
use super::unit_words;
use super::vocabulary::{self, Topic, Topics};
use super::word::Word;

/// Longest text of a figure that has its unit elsewhere.
const LONGEST_FIGURE: usize = 32;

/// Longest label or caption.
const LONGEST_LABEL: usize = 48;

/// Longest cell that is nothing but a unit or a currency.
const LONGEST_UNIT: usize = 24;

/// How many elements a row of figures and captions is followed back.
const FARTHEST: usize = 24;

impl Finder<'_> {
    /// Gives bare numbers the unit that is named for them elsewhere.
    pub(super) fn with_named_units(
        &mut self,
        number: usize,
        measures: &mut [Measure<'_>],
        tokens: &[Token],
        above: &Above,
    ) {
        if !measures
            .iter()
            .any(|measure| measure.quantity.is_none() && !measure.is_size)
        {
            return;
        }
        let passages = self.passages;
        let text = passages[number].text.as_str();
        for measure in measures.iter_mut().filter(|measure| {
            measure.quantity.is_none() && !measure.is_size && is_in_figures(text, measure)
        }) {
            if let Some(label) = label_of(text, tokens, measure)
                && let Some(named) = named(label, self.habits)
            {
                give(measure, named);
            }
        }
        if text.len() > LONGEST_FIGURE {
            return;
        }
        // The figure stands alone, with at most a word that bounds it.
        let first = measures.first().map_or(0, |measure| measure.tokens.start);
        let other = |token: &&Token| {
            token.is_word()
                && token.topic().is_none()
                && !["up", "to", "bis", "zu", "tot"]
                    .iter()
                    .any(|word| text[token.range()].eq_ignore_ascii_case(word))
        };
        if tokens[..first].iter().any(|token| other(&token))
            || tokens[first..].iter().filter(other).count() > 1
        {
            return;
        }
        // `VOLTS/HZ/PH | 115/60/1`: a unit for each.
        if let Some(row) = above.row
            && measures.len() > 1
            && text.contains('/')
        {
            let head = passages[row as usize].text.trim_end_matches([':', ' ']);
            let parts = head.split('/');
            if parts.clone().count() == measures.len() {
                for (measure, part) in measures.iter_mut().zip(parts) {
                    if let Some(unit) = unit_words::whole(part.trim())
                        && measure.quantity.is_none()
                    {
                        measure.quantity =
                            units::of_unit(&measure.number, unit.unit(self.habits.british));
                    }
                }
                return;
            }
        }
        let beside = self.named_beside(number);
        // Under a head of its own, even `m` and `W` are units.
        let under = || match above.columns {
            [Some(near), Some(far)] => self.of_cell(near, Some(far)),
            _ => None,
        };
        let named = beside.or_else(under).or_else(|| {
            let mut columns = above.columns.into_iter().flatten();
            columns.find_map(|head| self.named(head))
        });
        let named = named.or_else(|| {
            let row = above.row.filter(|_| !self.is_named_alone(above))?;
            self.named(row)
        });
        let named = named.or_else(|| self.of_price(above));
        let named = named.or_else(|| self.named_before(number, above));
        let named = named.or_else(|| above.section.and_then(|section| self.of_section(section)));
        let Some(named) = named else {
            return;
        };
        // `single phase`, `one coil`
        if !measures.iter().all(|measure| is_in_figures(text, measure)) {
            return;
        }
        // `50/52/56` under `dB(A)`
        let is_list = measures.len() > 1
            && measures
                .iter()
                .all(|one| one.quantity.is_none() && !one.is_size)
            && measures
                .windows(2)
                .all(|two| text.get(two[0].at.end..two[1].at.start).map(str::trim) == Some("/"));
        if is_list && let Named::Unit(_) = named {
            measures.iter_mut().for_each(|one| give(one, named));
            return;
        }
        match measures {
            [measure] if measure.quantity.is_none() && !measure.is_size => give(measure, named),
            // `dB: | 39 at 10 ft`
            [measure, rest @ ..]
                if measure.quantity.is_none()
                    && !measure.is_size
                    && rest.iter().all(|other| other.quantity.is_some()) =>
            {
                give(measure, named)
            }
            [low, high] if low.quantity.is_none() && high.quantity.is_none() && !low.is_size => {
                let between = text.get(low.at.end..high.at.start).unwrap_or("").trim();
                let is_range = matches!(
                    between,
                    "–" | "-" | "—" | "−" | "‑" | "to" | "bis" | "tot" | "à" | "..."
                );
                if let Named::Unit(unit) = named
                    && is_range
                {
                    // `-10 to 40` under degrees
                    let cold = text[..low.at.start].trim_end().ends_with(['-', '−', '–'])
                        && unit.dimension() == Dimension::Temperature;
                    if cold {
                        low.number = format!("-{}", low.number).into();
                        low.at.start = text[..low.at.start]
                            .rfind(['-', '−', '–'])
                            .unwrap_or(low.at.start);
                    }
                    low.quantity =
                        units::read(&format!("{} to {} {unit}", low.number, high.number), &[])
                            .quantity;
                    low.at.end = high.at.end;
                    low.tokens.end = high.tokens.end;
                    high.is_size = true;
                }
            }
            _ => {}
        }
    }

    /// `A month of air: under $4`, `Running cost a month | £11`: the label says what the money is paid for.
    pub(super) fn of_the_period(
        &self,
        text: &str,
        tokens: &[Token],
        measures: &mut [Measure<'_>],
        above: &Above,
    ) {
        const NEAR: usize = 4;
        for measure in measures
            .iter_mut()
            .filter(|measure| measure.period.is_none())
        {
            let Some(quantity) = measure
                .quantity
                .as_ref()
                .filter(|quantity| quantity.dimension() == Dimension::Money)
            else {
                continue;
            };
            let near = measure.tokens.start.saturating_sub(NEAR)..measure.tokens.start;
            let colon = near.rev().find(|&at| tokens[at].kind == Kind::Sign(':'));
            let own = colon.and_then(|colon| label_before(text, tokens, colon));
            let beside = || {
                let heads = above
                    .row
                    .into_iter()
                    .chain(above.columns.into_iter().flatten());
                heads
                    .map(|head| self.passages[head as usize].text.as_str())
                    .find(|label| paid_for(label).is_some())
            };
            let Some(period) = own.or_else(beside).and_then(paid_for) else {
                continue;
            };
            let Some(currency) = quantity.unit().currency() else {
                continue;
            };
            let of_period = match period {
                Period::Week | Period::Season => None,
                period => Unit::of_money(currency, period.tail()),
            };
            if let Some(unit) = of_period {
                measure.quantity = measure::in_unit(quantity, &measure.number, unit);
            }
            measure.period = Some(period);
        }
    }

    /// Whether the head of a column says what stands under it, so that a cell of the row with figures of its own lends
    /// it no unit: `hose 10 mm | 22.31` under a price.
    fn is_named_alone(&mut self, above: &Above) -> bool {
        const QUANTITIES: [Topic; 9] = [
            Topic::Price,
            Topic::Tax,
            Topic::Depth,
            Topic::Power,
            Topic::Pressure,
            Topic::Air,
            Topic::Sound,
            Topic::Weight,
            Topic::Diffuser,
        ];
        let Some(row) = above.row else {
            return false;
        };
        let label = self.passages[row as usize].text.as_str();
        let at = ["@", "at ", "bei ", "à ", "bij ", "ved ", "op ", "a "];
        let states = at.iter().any(|word| label.contains(word));
        let is_long = label.len() > LONGEST_LABEL;
        let has_figures = label.contains(|c: char| c.is_ascii_digit());
        let heads = above.columns.into_iter().flatten();
        let mut sets = heads.map(|head| self.topics_of(head).set);
        sets.any(|set| {
            let is_money = set.has(Topic::Price) || set.has(Topic::Tax);
            has_figures
                && (is_money || is_long || !states)
                && QUANTITIES.iter().any(|&topic| set.has(topic))
        })
    }

    /// The currency that the rest of the page shows, for a number under a price that names none; nothing where the page
    /// shows several.
    fn of_price(&mut self, above: &Above) -> Option<Named> {
        let heads: Vec<u32> = above.columns.into_iter().flatten().collect();
        let is_price = heads
            .into_iter()
            .any(|head| self.topics_of(head).set.has(Topic::Price));
        if !is_price {
            return None;
        }
        let (passages, habits) = (self.passages, self.habits);
        let money = *self.money.get_or_insert_with(|| {
            let mut codes = passages
                .iter()
                .filter_map(|one| currency_in(&one.text, habits));
            let first = codes.next()?;
            let unit = Unit::known(first)?;
            codes.all(|code| code == first).then_some(unit)
        });
        money.map(|unit| Named::Money(unit, None))
    }

    /// The unit that the sentence before a table names for the figures under such a head: `depths in feet, air in cfm`.
    fn named_before(&mut self, number: usize, above: &Above) -> Option<Named> {
        let Role::Cell { table, .. } = self.passages[number].role else {
            return None;
        };
        if self.said.as_ref().is_none_or(|(of, _)| *of != table) {
            self.said = Some((table, self.units_before(table)));
        }
        if self.said.as_ref().is_none_or(|(_, units)| units.is_empty()) {
            return None;
        }
        let heads: Vec<u32> = above
            .columns
            .into_iter()
            .chain([above.row])
            .flatten()
            .collect();
        heads.into_iter().find_map(|head| {
            let topics = self.topics_of(head).set;
            let (_, units) = self.said.as_ref()?;
            let mut units = units.iter();
            let (_, unit) = units.find(|(of, _)| of.meet(topics))?;
            Some(Named::Unit(*unit))
        })
    }

    /// The units that the sentence before a table names, each with what it is the unit of.
    fn units_before(&self, table: u32) -> Vec<(Topics, Unit)> {
        const LONGEST: usize = 240;
        let first = self.tables.first(table, 0);
        let before = first
            .and_then(|first| first.checked_sub(1))
            .and_then(|before| self.passages.get(before as usize))
            .filter(|before| {
                matches!(before.role, Role::Text | Role::Heading(_)) && before.text.len() <= LONGEST
            });
        let Some(before) = before else {
            return Vec::new();
        };
        let clauses = before
            .text
            .split([',', ';', '.', '(', ')', ':'])
            .flat_map(|clause| clause.split(" and ").flat_map(|one| one.split(" und ")));
        clauses
            .filter_map(|clause| {
                let (of, unit) = clause
                    .rsplit_once(" in ")
                    .or_else(|| clause.rsplit_once(" en "))?;
                let unit = unit_words::whole(unit.trim())?.unit(self.habits.british);
                let mut topics = Topics::default();
                of.split(|c: char| !c.is_alphabetic())
                    .filter_map(super::vocabulary::topic)
                    .for_each(|topic| topics.add(topic));
                topics.tell().then_some((topics, unit))
            })
            .collect()
    }

    /// The unit in the cell or element beside a number: `12 | ft`, `4.2` with `CFM at 6 ft` under it.
    fn named_beside(&mut self, number: usize) -> Option<Named> {
        let british = self.habits.british;
        let passage = &self.passages[number];
        let next = self.passages.get(number + 1);
        let Role::Cell {
            table, row, column, ..
        } = passage.role
        else {
            let caption = self.caption(number)?;
            let text = &self.passages[caption as usize].text;
            let (unit, _) = unit_words::at(text, 0)?;
            return (caption as usize > number).then(|| Named::Unit(unit.unit(british)));
        };
        let in_row = |cell: &super::layout::Passage| match cell.role {
            Role::Cell {
                table: t,
                row: r,
                column,
                ..
            } if (t, r) == (table, row) => Some(column),
            _ => None,
        };
        // `VOLTS | 115 | HZ | 60`: names and figures take turns, and each figure has its name before it.
        let takes_turns = || {
            let is_figure = |cell: usize| {
                self.passages.get(cell).is_some_and(|cell| {
                    in_row(cell).is_some() && cell.text.starts_with(|c: char| c.is_ascii_digit())
                })
            };
            let before = number.checked_sub(1)?;
            let is_last = next.is_none_or(|next| in_row(next).is_none());
            let turns = self.tables.above(table, row, column)[0].is_none()
                && in_row(&self.passages[before]).is_some()
                && !is_figure(before)
                && (is_figure(number + 2) || is_last && before > 0 && is_figure(before - 1));
            turns
                .then(|| named(&self.passages[before].text, self.habits))
                .flatten()
        };
        if let Some(named) = takes_turns() {
            return Some(named);
        }
        if let Some(next) = next
            && in_row(next) == Some(column + 1)
            && let Some(named) = self.of_cell(number as u32 + 1, self.tables.first(table, row))
        {
            return Some(named);
        }
        let unit = self.unit_cell(number)?;
        let label = self.label(number);
        self.of_cell(unit, label).or_else(|| {
            // `ft, max.`, `cfm @ 5 psi`
            let (found, _) = unit_words::of_head(&self.passages[unit as usize].text)?;
            Some(Named::Unit(found.unit(british)))
        })
    }

    /// The cell that holds the units of a cell's row.
    pub(super) fn unit_cell(&self, number: usize) -> Option<u32> {
        let Role::Cell {
            table, row, column, ..
        } = self.passages[number].role
        else {
            return None;
        };
        let units = self
            .tables
            .unit_column(table)
            .filter(|&units| units != column)?;
        let in_row = |cell: usize| match self.passages[cell].role {
            Role::Cell {
                table: t,
                row: r,
                column,
                ..
            } if (t, r) == (table, row) => Some(column),
            _ => None,
        };
        let before = (number.saturating_sub(FARTHEST)..number).rev();
        let after = number + 1..self.passages.len().min(number + FARTHEST);
        let is_here = |&cell: &usize| in_row(cell).is_some();
        before
            .take_while(is_here)
            .chain(after.take_while(is_here))
            .find(|&cell| in_row(cell) == Some(units))
            .map(|cell| cell as u32)
    }

    /// The unit that the head of a part of a table names for the rows under it: `Depth (in metres)`.
    fn of_section(&self, section: u32) -> Option<Named> {
        let text = self.passages[section as usize].text.as_str();
        let inside = text
            .split_once('(')
            .and_then(|(_, rest)| rest.split_once(')'))
            .map_or(text, |(inside, _)| inside);
        let first = inside.split([',', ';']).next()?.trim();
        let words = first
            .rsplit_once(" in ")
            .or_else(|| first.rsplit_once(" en "));
        let unit = words.map_or(first.trim_start_matches("in "), |(_, unit)| unit);
        let found = unit_words::whole(unit.trim())?;
        Some(Named::Unit(found.unit(self.habits.british)))
    }

    /// The cell that one of a mark of repetition stands for, some rows above it at most; any other is itself.
    fn repeated(&self, cell: u32) -> Option<u32> {
        let is_mark = |cell: u32| {
            matches!(
                self.passages[cell as usize].text.trim(),
                "\"" | "″" | "”" | "do." | "ditto"
            )
        };
        let mut place = cell;
        for _ in 0..FARTHEST {
            if !is_mark(place) {
                return Some(place);
            }
            let Role::Cell {
                table, row, column, ..
            } = self.passages[place as usize].role
            else {
                return None;
            };
            let is_above = |&above: &u32| matches!(self.passages[above as usize].role, Role::Cell { table: t, row: r, column: c, .. } if t == table && r + 1 == row && c == column);
            place = (place.saturating_sub(FARTHEST as u32)..place)
                .rev()
                .find(is_above)?;
        }
        None
    }

    /// What a cell that is nothing but a unit or a currency names; `beside` says what money is paid for.
    fn of_cell(&self, cell: u32, beside: Option<u32>) -> Option<Named> {
        let cell = self.repeated(cell)?;
        let text = self.passages[cell as usize].text.trim();
        if let Some(unit) = unit_words::whole(text) {
            return Some(Named::Unit(unit.unit(self.habits.british)));
        }
        if text.len() > LONGEST_UNIT || text.contains(|c: char| c.is_ascii_digit()) {
            return None;
        }
        match of_money(text, self.habits)? {
            Named::Money(unit, None) => {
                let period = beside.and_then(|label| {
                    period_of(&self.passages[label as usize].text.to_lowercase())
                });
                let Some(period) = period.filter(|&period| period != Period::KilowattHour) else {
                    return Some(Named::Money(unit, None));
                };
                let of_period = unit
                    .currency()
                    .and_then(|currency| Unit::of_money(currency, period.tail()));
                Some(of_period.map_or(Named::Nothing, |unit| Named::Money(unit, Some(period))))
            }
            named => Some(named),
        }
    }

    /// What a head names for the bare numbers under it.
    fn named(&mut self, head: u32) -> Option<Named> {
        let text = self.passages[head as usize].text.as_str();
        let exact = Word::exact(text);
        let by_text = exact.and_then(|label| self.units.get(label)?.as_ref());
        if let Some(&known) = by_text.or_else(|| self.names.get(&head)) {
            return known;
        }
        let named = named(text, self.habits);
        match exact.filter(|_| self.units.len() < MOST_LABELS) {
            Some(label) => *self.units.entry(label) = Some(named),
            None => _ = self.names.insert(head, named),
        }
        named
    }

    /// The element that says what a figure in an element of its own is: before it or after it, whichever way
    /// the page has them.
    pub(super) fn caption(&self, number: usize) -> Option<u32> {
        if !self.is_figure(number) {
            return None;
        }
        // Figures and captions take turns; what the row begins with tells which belongs to which.
        let mut first = number;
        while first > 0 && number - first < FARTHEST {
            let before = first - 1;
            if self.is_figure(first) && !self.is_caption(before)
                || !self.is_figure(first) && !self.is_figure(before)
            {
                break;
            }
            first = before;
        }
        let place = if self.is_figure(first) {
            number + 1
        } else {
            number.checked_sub(1)?
        };
        // What comes first and has a figure of its own is none, unless that is a condition: `depth max. 2 m`, `28 W`.
        let has_own = |place: usize| {
            let text = &self.passages[place].text;
            let mut words = text.split(' ').map(vocabulary::topic);
            text.bytes().any(|byte| byte.is_ascii_digit())
                && !words.any(|topic| topic == Some(Topic::At))
        };
        (self.is_caption(place) && !(place < number && has_own(place))).then_some(place as u32)
    }

    fn is_figure(&self, number: usize) -> bool {
        let Some(passage) = self.passages.get(number) else {
            return false;
        };
        let text = passage.text.as_str();
        matches!(passage.role, Role::Text | Role::Heading(_))
            && text.len() <= LONGEST_FIGURE
            && text.starts_with(|c: char| {
                c.is_ascii_digit()
                    || numeral::vulgar(c).is_some()
                    || matches!(c, '.' | '<' | '≤' | '~')
            })
            && text.split_whitespace().count() <= 3
    }

    fn is_caption(&self, number: usize) -> bool {
        let Some(passage) = self.passages.get(number) else {
            return false;
        };
        let text = passage.text.as_str();
        passage.role == Role::Text
            && text.len() <= LONGEST_LABEL
            && text.starts_with(char::is_alphabetic)
            && !text.ends_with(['.', '!', '?'])
            && text.split_whitespace().count() <= 6
    }
}

/// Whether a number is written in figures, as those that have their unit elsewhere are.
fn is_in_figures(text: &str, measure: &Measure<'_>) -> bool {
    text[measure.number_at.clone()].starts_with(|c: char| !c.is_alphabetic())
}

/// Gives a bare number what was named for it.
fn give(measure: &mut Measure<'_>, named: Named) {
    match named {
        Named::Nothing => {}
        Named::Money(unit, period) => {
            measure.quantity = units::of_unit(&measure.number, unit);
            measure.period = period;
        }
        Named::Unit(unit) => measure.quantity = units::of_unit(&measure.number, unit),
    }
}

/// The label of a number that stands right behind a colon and ends what it begins: `Watts: 145`.
fn label_of<'a>(text: &'a str, tokens: &[Token], measure: &Measure<'_>) -> Option<&'a str> {
    let ends = match tokens.get(measure.tokens.end).map(|token| token.kind) {
        None | Some(Kind::Stop | Kind::Sign(',' | '(' | '|' | '@')) => true,
        Some(Kind::Word(Some(Topic::At | Topic::AtMost))) => true,
        Some(_) => false,
    };
    if !ends {
        return None;
    }
    let mut colon = measure.tokens.start.checked_sub(1)?;
    while matches!(
        tokens[colon].topic(),
        Some(Topic::AtMost | Topic::AtLeast | Topic::About)
    ) || tokens[colon].kind == Kind::Sign('.')
    {
        colon = colon.checked_sub(1)?;
    }
    if tokens[colon].is_word() {
        return bare_label(text, tokens, colon);
    }
    // `Noise (dBA at 1 m) - 42`
    let dash = matches!(tokens[colon].kind, Kind::Sign('-' | '–' | '—'))
        && text.get(..tokens[colon].start as usize)?.ends_with(' ');
    if !dash && !matches!(tokens[colon].kind, Kind::Sign(':' | '=')) {
        return None;
    }
    label_before(text, tokens, colon).filter(|label| label.len() <= LONGEST_LABEL)
}

/// The words before a colon that belong to it.
fn label_before<'a>(text: &'a str, tokens: &[Token], colon: usize) -> Option<&'a str> {
    const MOST: usize = 8;
    let first = tokens[..colon]
        .iter()
        .rev()
        .take(MOST)
        .take_while(|token| !matches!(token.kind, Kind::Stop | Kind::Sign(';' | '|')))
        .last()?;
    text.get(first.start as usize..tokens[colon].start as usize)
}

/// A unit or a quantity that has only one, in front of its number: `Amps 1.2, HP 1/8`.
fn bare_label<'a>(text: &'a str, tokens: &[Token], at: usize) -> Option<&'a str> {
    let begins = at.checked_sub(1).is_none_or(|before| {
        matches!(
            tokens[before].kind,
            Kind::Stop | Kind::Sign(',' | ';' | '|' | '(' | '/')
        )
    });
    let label = text.get(tokens[at].range())?;
    let is_unit = || {
        label.len() > 1
            && unit_words::whole(label).is_some_and(|unit| {
                !matches!(
                    unit.unit(false).dimension(),
                    Dimension::Time
                        | Dimension::Length
                        | Dimension::Mass
                        | Dimension::Volume
                        | Dimension::Money
                )
            })
    };
    (begins && (of_quantity(&label.to_lowercase()).is_some() || is_unit())).then_some(label)
}

/// What the text of a head names for the bare numbers under it.
fn named(head: &str, habits: Habits) -> Option<Named> {
    // `4 ft` states a condition, and names no unit for what stands under it.
    let states = ["at ", "At ", "@", "bei ", "à "];
    if head.starts_with(|c: char| c.is_ascii_digit())
        || states.iter().any(|word| head.starts_with(word))
            && head.contains(|c: char| c.is_ascii_digit())
    {
        return None;
    }
    if let Some((found, _)) = unit_words::of_head(head) {
        return Some(Named::Unit(found.unit(habits.british)));
    }
    of_money(head, habits).or_else(|| of_quantity(&head.to_lowercase()))
}

/// The money that a head names, and what it is paid for.
fn of_money(head: &str, habits: Habits) -> Option<Named> {
    let code = currency_in(head, habits)?;
    let period = period_of(&head.to_lowercase());
    let tail = period.map_or_else(String::new, |period| format!("/{}", period.word()));
    Some(
        Unit::known(&format!("{code}{tail}"))
            .map_or(Named::Nothing, |unit| Named::Money(unit, period)),
    )
}

/// The code of the currency that a text names first.
fn currency_in(head: &str, habits: Habits) -> Option<&'static str> {
    let says = |code: &str| {
        head.split(|c: char| !c.is_alphanumeric())
            .any(|word| word.eq_ignore_ascii_case(code))
    };
    Some(
        if head.contains('€') || says("eur") || says("euro") || says("euros") {
            "EUR"
        } else if head.contains('£') || says("gbp") {
            "GBP"
        } else if says("cad") {
            "CAD"
        } else if says("aud") {
            "AUD"
        } else if says("usd") {
            "USD"
        } else if head.contains('$') || says("dollars") {
            habits.dollar.code()
        } else if let Some(crown) = habits.crown.filter(|_| says("kr")) {
            crown.code()
        } else {
            let mut words = head.split(|c: char| !c.is_ascii_alphabetic());
            words.find_map(measure::coded)?.code()
        },
    )
}

/// What money is paid for, by the words of a label in small letters; an amount for each kilowatt-hour beside
/// another period is that one's condition.
fn period_of(small: &str) -> Option<Period> {
    let periods = [
        ("month", Period::Month),
        ("mo", Period::Month),
        ("year", Period::Year),
        ("annual", Period::Year),
        ("annum", Period::Year),
        ("day", Period::Day),
        ("dai", Period::Day),
        ("monat", Period::Month),
        ("jahr", Period::Year),
        ("maand", Period::Month),
        ("jaar", Period::Year),
        ("mois", Period::Month),
        ("an", Period::Year),
        ("año", Period::Year),
        ("mes", Period::Month),
        ("året", Period::Year),
        ("år", Period::Year),
        ("måned", Period::Month),
        ("måneden", Period::Month),
        ("anno", Period::Year),
        ("mese", Period::Month),
        ("anual", Period::Year),
        ("annuel", Period::Year),
        ("annuale", Period::Year),
        ("annuo", Period::Year),
        ("jährliche", Period::Year),
        ("jaarlijkse", Period::Year),
        ("årlig", Period::Year),
        ("mensual", Period::Month),
        ("mensuel", Period::Month),
        ("mensile", Period::Month),
        ("monatliche", Period::Month),
        ("maandelijkse", Period::Month),
        ("månedlig", Period::Month),
        ("season", Period::Season),
        ("kwh", Period::KilowattHour),
        ("ft", Period::Foot),
        ("foot", Period::Foot),
    ];
    // `per year³` bears a note's mark.
    let parts = small.split(|c: char| !c.is_alphabetic());
    periods
        .into_iter()
        .find(|(word, _)| {
            parts.clone().any(|part| {
                part.strip_prefix(word)
                    .is_some_and(|rest| matches!(rest, "" | "ly"))
            })
        })
        .map(|(_, period)| period)
}

/// The period that the label of running costs names.
fn paid_for(label: &str) -> Option<Period> {
    if label.len() > LONGEST_LABEL * 2 {
        return None;
    }
    let small = label.to_lowercase();
    let runs = lexicon::RUNS.iter().any(|word| small.contains(word));
    let begins = lexicon::PERIODS
    .iter()
    .any(|words| small.starts_with(words))
        // `$/month`
        || small.starts_with(['$', '€', '£']) && small.contains('/');
    let pays = [
        "payment", "instal", "rent", "lease", "warrant", "financ", "deposit", "price", "preis",
        "prix",
    ]
    .iter()
    .any(|word| small.contains(word));
    if !(runs || begins) || pays {
        return None;
    }
    period_of(&small)
        .filter(|period| !matches!(period, Period::KilowattHour | Period::Foot | Period::Metre))
}

/// The unit of a quantity that the trade gives in one unit only, by the quantity's name.
fn of_quantity(small: &str) -> Option<Named> {
    let words = small.split(|c: char| !c.is_alphanumeric());
    let unit = words.into_iter().find_map(vocabulary::unit_of_quantity)?;
    Unit::known(unit).map(Named::Unit)
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::{claims_of, is};

    #[test]
    fn a_label_names_the_unit() {
        is("Watts: 145", "145 power exact");
        is(
            "Amps 1.2, Volts 115",
            "1.2 current exact; 115 voltage exact",
        );
        is("FULL LOAD AMPS........ 5.2", "5.2 current exact");
        is("Noise (dBA at 1 m) - 42", "42 sound exact at 1 m");
        is(
            "VOLTS/HZ/PH:    115/60/1",
            "115 voltage exact; 60 frequency exact",
        );
    }

    #[test]
    fn prices_under_a_head_with_its_currency() {
        let csv = "Varenr.;Navn;Pris (DKK);Garanti (år)\nSL-1;Vandkalv;2.495,00;2\n";
        assert_eq!(
            claims_of(Kind::Csv, csv),
            ["2.495,00 price exact", "2 warranty exact"]
        );
        let csv = "Art;Name;Preis (EUR)\nS-1;Biber;1.099,50\n";
        assert_eq!(claims_of(Kind::Csv, csv), ["1.099,50 price exact"]);
    }

    #[test]
    fn a_label_with_a_unit_in_words() {
        let html = "<table><tr><td>Litres a min.</td><td>90 (at 20 kPa)</td></tr></table>";
        assert_eq!(claims_of(Kind::Html, html), ["90 flow exact at 20 kPa"]);
        let table = "| Item | Figure |\n|--|--|\n| Open flow, at 0 kPa | 150 L/min |\n";
        assert_eq!(
            claims_of(Kind::Markdown, table),
            ["150 L/min flow exact at 0 kPa"]
        );
    }

    #[test]
    fn a_neighbour_names_the_unit() {
        let csv = "Item,Value,Unit\nAir flow,65,l/min\nTube bore,9,mm\n";
        assert_eq!(
            claims_of(Kind::Csv, csv),
            ["65 flow exact", "9 airline-size exact"]
        );
        assert_eq!(
            claims_of(
                Kind::Text,
                "VOLTS   115     HZ   60\nAMPS    3.2     HP   1/3\n"
            ),
            [
                "115 voltage exact",
                "60 frequency exact",
                "3.2 current exact",
                "1/3 power exact"
            ]
        );
        let cards = "<h1>Pair</h1><div>4.2</div><div>CFM at 6 ft</div><div>¼ acre</div><div>Max pond size</div><div>8 ft</div><div>Maximum depth</div>";
        assert_eq!(
            claims_of(Kind::Html, cards),
            [
                "4.2 flow exact at 6 ft",
                "¼ acre area at-most",
                "8 ft depth at-most"
            ]
        );
        let reversed = "<h1>Pair</h1><p>Maximum depth</p><p>8 ft</p><p>Airline</p><p>50 ft</p>";
        assert_eq!(
            claims_of(Kind::Html, reversed),
            ["8 ft depth at-most", "50 ft airline-length exact"]
        );
    }

    #[test]
    fn ranges_and_curves_under_heads() {
        let csv = "Package;Pond (m²);Depth (m)\nGrebe;250–500;0.8–1.5\n";
        assert_eq!(
            claims_of(Kind::Csv, csv),
            ["250–500 area range", "0.8–1.5 depth range"]
        );
        let curve = "Depth (ft),Pressure (psi),Flow (cfm)\n6,3.1,5.9\n10,4.9,5.4\n";
        assert_eq!(
            claims_of(Kind::Csv, curve),
            [
                "5.9 flow exact at 3.1 psi at 6 ft",
                "5.4 flow exact at 4.9 psi at 10 ft"
            ]
        );
        let theirs = "| | Ours | Theirs |\n|--|--|--|\n| Power | 45 W | 120 W |\n";
        assert_eq!(claims_of(Kind::Markdown, theirs), ["45 W power exact"]);
    }
}
