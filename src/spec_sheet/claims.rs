//! From the figures of each passage to the claims of the sheet.

use std::rc::Rc;

use hashbrown::HashMap;

use crate::units::{self, Dimension, Quantity, Unit};

use super::claim::{Also, Attribute, Claim, Comparator, Condition, Si, Subject};
use super::comparison;
use super::conditions;
use super::layout::{Passage, Role};
use super::measure::{self, Habits, Measure, Memory, Period};
use super::numeral;
use super::subject_matter;
use super::tokens::{self, Kind, Token};
use super::unit_words;
use super::view::{Around, Facts, Head, View, is_sound};
use super::vocabulary::{Topic, cue};

/// Most claims of one sheet. A catalog of thousands of packages has fewer on one page, and each takes about
/// half a kilobyte.
pub const MOST_CLAIMS: usize = 500_000;

/// How many figures away a condition may stand from what it belongs to.
const FARTHEST: usize = 100;

/// Finds the claims of a sheet.
pub fn find(passages: &[Passage], spans: &[(u32, u32)], habits: Habits) -> Found {
    let memory = Memory::default();
    let mut finder = Finder {
        passages,
        habits,
        memory: &memory,
        tables: Tables::of(passages, spans),
        none: Rc::default(),
        heads: HashMap::default(),
        states: HashMap::default(),
        names: HashMap::default(),
        claims: Vec::new(),
        tariff: None,
        hours: None,
        rows: HashMap::default(),
        cut: None,
    };
    let mut tokens = Vec::new();
    let mut measures = Vec::new();
    let mut facts = Facts::default();
    for (number, passage) in passages.iter().enumerate() {
        tokens::tokens(&passage.text, habits.style, &mut tokens);
        measure::measures(&passage.text, &tokens, habits, &memory, &mut measures);
        finder.passage(number, &tokens, &mut measures, &mut facts);
        if finder.claims.len() >= MOST_CLAIMS {
            finder.claims.truncate(MOST_CLAIMS);
            finder.cut = Some(number);
            break;
        }
    }
    finder.finish()
}

/// What was found of a sheet.
pub struct Found {
    /// Its claims, in the order of the page.
    pub claims: Vec<Claim>,
    /// The passage after which no claims were looked for, as there were too many.
    pub cut: Option<usize>,
}

/// Which passages head which row and column of each table.
struct Tables {
    /// Heads of columns by table and column, from the top.
    columns: HashMap<(u32, u32), Vec<u32>, fnv::FnvBuildHasher>,
    /// Heads of rows, by table and row.
    rows: HashMap<(u32, u32), u32, fnv::FnvBuildHasher>,
}

impl Tables {
    /// Widest head that is followed over its columns.
    const WIDEST: u32 = 64;
    /// Most rows of heads.
    const TALLEST: usize = 4;

    fn of(passages: &[Passage], spans: &[(u32, u32)]) -> Tables {
        let mut tables = Tables {
            columns: HashMap::default(),
            rows: HashMap::default(),
        };
        // Where a table says which cells are heads, its first row needn't be guessed.
        let mut marked: hashbrown::HashSet<u32, fnv::FnvBuildHasher> = hashbrown::HashSet::default();
        for passage in passages {
            if let Role::Cell { table, head: true, column, .. } = passage.role
                && column > 0
            {
                marked.insert(table);
            }
        }
        let spans: HashMap<u32, u32, fnv::FnvBuildHasher> = spans.iter().copied().collect();
        for (number, passage) in passages.iter().enumerate() {
            let Role::Cell {
                table,
                row,
                column,
                head,
            } = passage.role
            else {
                continue;
            };
            let number = number as u32;
            // The first row heads its columns if it says so, or if it holds words and no figures.
            let names = || {
                !passage.text.starts_with(|c: char| c.is_ascii_digit())
                    && passage.text.chars().filter(char::is_ascii_digit).count() * 3 < passage.text.chars().count().max(1)
            };
            if head || (row == 0 && !marked.contains(&table) && names()) {
                let width = spans.get(&number).copied().unwrap_or(1).clamp(1, Tables::WIDEST);
                for column in column..column + width {
                    let heads = tables.columns.entry((table, column)).or_default();
                    // A row's head below the first rows heads no column.
                    let goes_on = heads.last().is_none_or(|&last| match passages[last as usize].role {
                        Role::Cell { row: above, .. } => above + 1 >= row,
                        _ => false,
                    });
                    if goes_on && heads.len() < Tables::TALLEST && (column > 0 || row == 0 || !heads.is_empty() || head) {
                        heads.push(number);
                    }
                }
            }
            if column == 0 {
                tables.rows.insert((table, row), number);
            }
        }
        tables
    }
}

struct Finder<'a> {
    passages: &'a [Passage],
    habits: Habits,
    memory: &'a Memory,
    tables: Tables,
    /// No head at all.
    none: Rc<Head>,
    /// Topics of the heads, by passage.
    heads: HashMap<u32, Rc<Head>, fnv::FnvBuildHasher>,
    /// Conditions that heads state, by passage.
    states: HashMap<u32, Rc<[Quantity]>, fnv::FnvBuildHasher>,
    /// Units that heads name, by passage.
    names: HashMap<u32, Option<Named>, fnv::FnvBuildHasher>,
    claims: Vec<Claim>,
    /// A tariff said anywhere on the page, for costs that have none of their own.
    tariff: Option<Quantity>,
    /// Hours each day, likewise.
    hours: Option<f64>,
    /// Conditions of a table's rows: what its first cell states.
    rows: HashMap<(u32, u32), Quantity, fnv::FnvBuildHasher>,
    /// The passage after which no claims were looked for.
    cut: Option<usize>,
}

/// What a head names for the bare numbers under it.
#[derive(Clone, Copy)]
enum Named {
    /// A unit.
    Unit(Unit),
    /// Money, and what it is paid for.
    Money(Unit, Option<Period>),
    /// Money in a unit that isn't known: no number under it is read.
    Nothing,
}

/// A figure with what it turned out to be.
#[derive(Clone)]
struct Reading {
    attribute: Option<Attribute>,
    /// Introduced by `at`, so perhaps a condition of another.
    is_condition: bool,
    /// The claim made of it, once made.
    claim: Option<usize>,
    /// Second figure of a dual listing of an earlier one.
    is_also: bool,
}

impl Finder<'_> {
    fn topics_of(&mut self, number: u32) -> Rc<Head> {
        if let Some(known) = self.heads.get(&number) {
            return Rc::clone(known);
        }
        let mut tokens = Vec::new();
        let passage = &self.passages[number as usize];
        // A head is short; what follows in a long cell is text of its own.
        let end = passage.text.char_indices().nth(120).map_or(passage.text.len(), |(at, _)| at);
        tokens::tokens(&passage.text[..end], self.habits.style, &mut tokens);
        let mut head = Head::default();
        let word = |at: usize| tokens.get(at).map_or("", |token: &Token| &passage.text[token.range()]);
        for (at, token) in tokens.iter().enumerate() {
            let topic = if word(at).eq_ignore_ascii_case("up") && word(at + 1).eq_ignore_ascii_case("to") {
                Topic::AtMost
            } else {
                // `Number of diffusers` names no number of a part.
                match token.topic() {
                    Some(Topic::Name) if word(at + 1).eq_ignore_ascii_case("of") => continue,
                    Some(topic) => topic,
                    None => continue,
                }
            };
            head.topics.push(topic);
            head.set.add(topic);
        }
        let head = Rc::new(head);
        self.heads.insert(number, Rc::clone(&head));
        head
    }

    fn around(&mut self, number: usize) -> Around {
        let passage = &self.passages[number];
        let none = || Rc::clone(&self.none);
        let mut around = Around {
            row: none(),
            column: none(),
            heading: none(),
            row_head: passage.term,
            column_heads: Vec::new(),
        };
        if let Role::Cell { table, row, column, .. } = passage.role {
            let heads = self.tables.columns.get(&(table, column)).map(Vec::as_slice).unwrap_or_default();
            // A head is headed by none but those above it.
            let above = |head: &u32| matches!(self.passages[*head as usize].role, Role::Cell { row: head_row, .. } if head_row < row);
            around.column_heads = heads.iter().copied().filter(above).collect();
            if column > 0 {
                let head = self.tables.rows.get(&(table, row)).copied().filter(|&head| head != number as u32);
                around.row_head = head.or(passage.term);
            }
        }
        match around.column_heads.as_slice() {
            [] => {}
            &[head] => around.column = self.topics_of(head),
            _ => {
                // The lowest is the nearest.
                let mut whole = Head::default();
                for &head in around.column_heads.iter().rev() {
                    for &topic in &self.topics_of(head).topics {
                        whole.topics.push(topic);
                        whole.set.add(topic);
                    }
                }
                around.column = Rc::new(whole);
            }
        }
        if let Some(head) = around.row_head {
            around.row = self.topics_of(head);
        }
        if let Some(heading) = self.passages[number].under {
            around.heading = self.topics_of(heading);
        }
        around
    }

    fn passage(&mut self, number: usize, tokens: &[Token], measures: &mut [Measure<'_>], facts: &mut Facts) {
        let passage = &self.passages[number];
        let text = passage.text.as_str();
        let may_tell = |token: &Token| {
            token.cues & (cue::COMPARES | cue::HOURLY) != 0 || matches!(token.kind, Kind::Spelled("1/2" | "1/3" | "1/4"))
        };
        if measures.is_empty() && !tokens.iter().any(may_tell) {
            return;
        }
        let around = self.around(number);
        if around.row_head.is_some() || !around.column_heads.is_empty() {
            self.with_head_units(measures, tokens, text, &around);
        }
        facts.of(text, tokens, measures);
        let view = View {
            text,
            tokens,
            measures,
            around: &around,
            facts,
        };
        // What others say, and what a head names for the figures under it, promises nothing here.
        let quoted = passage.role == Role::Quote || around.heading.set.has(Topic::Quoted);
        let is_column_head = matches!(passage.role, Role::Cell { head: true, row: 0, .. })
            && measures.iter().all(|m| {
                m.quantity.as_ref().is_none_or(|q| {
                    matches!(q.dimension(), Dimension::Length | Dimension::GaugePressure | Dimension::Time)
                })
            });
        if quoted {
            return;
        }
        if view.tells(cue::HOURLY)
            && let Some(hours) = conditions::hours_per_day(&view, 0..tokens.len())
        {
            self.hours.get_or_insert(hours);
        }
        for measure in measures.iter() {
            if measure.period == Some(Period::KilowattHour)
                && let Some(tariff) = &measure.quantity
            {
                self.tariff.get_or_insert_with(|| tariff.clone());
            }
        }
        let first_claim = self.claims.len();
        if measures.is_empty() && !view.tells(cue::COMPARES) && !tokens.iter().any(|token| matches!(token.kind, Kind::Spelled(_))) {
            return;
        }
        let mut readings: Vec<Reading> = Vec::with_capacity(measures.len());
        for (place, measure) in measures.iter().enumerate() {
            let is_also = place > 0 && is_dual(text, &measures[place - 1], measure)
                && readings[place - 1].attribute.is_some();
            let attribute = if is_also {
                readings[place - 1].attribute
            } else {
                self.attribute(&view, measure)
            };
            readings.push(Reading {
                attribute,
                is_condition: is_condition(&view, measure),
                claim: None,
                is_also,
            });
        }
        // A list of figures with one word at its end: `8 or 10 ft deep`, `115/230 V`.
        for place in (0..measures.len().saturating_sub(1)).rev() {
            if readings[place].attribute.is_none()
                && let (Some(a), Some(b)) = (&measures[place].quantity, &measures[place + 1].quantity)
                && a.unit() == b.unit()
                && measures[place].at.end == measures[place].number_at.end
                && !measures[place].is_size
                && text[measures[place].at.end..measures[place + 1].at.start].len() <= 6
            {
                readings[place].attribute = readings[place + 1].attribute;
            }
        }
        if is_column_head {
            return;
        }
        for place in 0..measures.len() {
            if readings[place].is_also {
                continue;
            }
            let Some(attribute) = readings[place].attribute else {
                continue;
            };
            // In a label the condition is one of the figures that it stands for.
            let is_label = matches!(passage.role, Role::Term | Role::Cell { column: 0, .. }) && !is_bare(passage, &measures[place]);
            if readings[place].is_condition
                && (is_label || has_target(&view, measures, &readings, place, attribute))
            {
                continue;
            }
            let claim = self.claim(&view, number, &measures[place], attribute);
            readings[place].claim = Some(self.claims.len());
            self.claims.push(claim);
        }
        self.duals(&view, number, measures, &readings);
        self.conditions(&view, measures, &readings);
        self.of_the_heads(number, first_claim, &around);
        let figures = first_claim..self.claims.len();
        for comparison in comparison::find(&view) {
            let place = tokens[comparison.tokens.start].start as usize..tokens[comparison.tokens.end - 1].end as usize;
            // A figure that was read as a claim itself is none of a comparison's.
            let own = &self.claims[figures.clone()];
            let next = own.partition_point(|claim| claim.place.end <= place.start);
            let taken = own.get(next).is_some_and(|claim| claim.place.start < place.end);
            if taken {
                continue;
            }
            self.claims.push(Claim {
                at: passage.source(place.clone()),
                page: passage.page,
            bounds: None,
                text: text[place.clone()].to_owned(),
                attribute: comparison.attribute,
                comparator: comparison.comparator,
                si: Si::None,
                quantity: None,
                currency: None,
                period: None,
                condition: Condition::default(),
                also: None,
                subject: Subject::Package,
                count: None,
                in_winter: false,
                is_outside: false,
                passage: number,
                place,
            });
        }
        self.claims[first_claim..].sort_by_key(|claim| claim.place.start);
    }

    /// A bare number in a cell has the unit that the head of its column or row names.
    fn with_head_units(
        &mut self,
        measures: &mut [Measure<'_>],
        tokens: &[Token],
        text: &str,
        around: &Around,
    ) {
        let [measure, uppers @ ..] = measures else {
            return;
        };
        // `250–500` under a head that names a unit is two bare numbers and one figure.
        match &*uppers {
            [] => {}
            [upper] if upper.quantity.is_none() && text[measure.at.end..upper.at.start].trim().chars().all(|c| matches!(c, '–' | '-' | '—')) => {}
            _ => return,
        }
        if measure.quantity.is_some() || measure.is_size {
            return;
        }
        // The cell holds the number and at most a word that bounds it.
        let others = tokens.iter().filter(|token| {
            !measure.tokens.contains(&(token.start as usize)) && token.is_word() && token.topic().is_none()
        });
        if others.count() > 1 || text.len() > 24 {
            return;
        }
        for head in around.column_heads.iter().copied().rev().chain(around.row_head) {
            match self.named(head) {
                None => continue,
                Some(Named::Nothing) => {}
                Some(Named::Money(unit, period)) => {
                    measure.quantity = self.memory.quantity(&measure.number, unit);
                    measure.period = period;
                }
                Some(Named::Unit(unit)) => {
                    let as_range = text.find(['–', '-', '—']).filter(|&at| at > measure.at.start);
                    if let Some(dash) = as_range
                        && let Some(second) = text[dash..].find(|c: char| c.is_ascii_digit())
                    {
                        let (high, end) = numeral::read(text, dash + second, self.habits.style);
                        measure.quantity = units::read(&format!("{} to {high} {unit}", measure.number), &[]).quantity;
                        measure.at.end = end;
                        // The upper end is no figure of its own.
                        if let Some(upper) = uppers.last_mut() {
                            upper.is_size = true;
                        }
                    } else {
                        measure.quantity = self.memory.quantity(&measure.number, unit);
                    }
                }
            }
            return;
        }
    }

    /// What a head names for the bare numbers under it.
    fn named(&mut self, head: u32) -> Option<Named> {
        if let Some(&known) = self.names.get(&head) {
            return known;
        }
        let named = named(&self.passages[head as usize].text, self.habits);
        self.names.insert(head, named);
        named
    }

    fn attribute(&self, view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
        // Who asks promises nothing.
        if view.asks(measure.tokens.start) {
            return None;
        }
        if measure.quantity.is_none() {
            return count(view, measure);
        }
        subject_matter::attribute(view, measure)
    }

    fn claim(&self, view: &View<'_>, number: usize, measure: &Measure<'_>, attribute: Attribute) -> Claim {
        let passage = &self.passages[number];
        let (mut comparator, start, end) = conditions::comparator(view, measure);
        if comparator == Comparator::Exact
            && view.around.head(Topic::AtMost)
            && !matches!(attribute, Attribute::Warranty | Attribute::Price)
        {
            comparator = Comparator::AtMost;
        }
        if comparator == Comparator::Exact && view.around.head(Topic::AtLeast) && !view.around.head(Topic::AtMost) {
            comparator = Comparator::AtLeast;
        }
        if comparator == Comparator::Exact && view.around.head(Topic::About) {
            comparator = Comparator::About;
        }
        let near = view.near(measure);
        let quantity = measure.quantity.clone();
        let si = si(view, measure, attribute);
        let money = quantity.as_ref().and_then(|quantity| quantity.unit().currency());
        let mut place = measure.at.clone();
        if attribute == Attribute::Turnover
            && quantity.is_none()
            && let Some((_, end)) = period_after(view, measure)
        {
            // `1.5 times a day` is the figure, and not the number alone.
            place.end = end;
        }
        let end = end.max(place.end);
        Claim {
            at: passage.source(place.clone()),
            page: passage.page,
            bounds: None,
            text: view.text.get(start.min(measure.at.start)..end).unwrap_or("").to_owned(),
            attribute,
            comparator,
            si,
            currency: money,
            period: measure.period,
            condition: Condition {
                per: conditions::per(view, measure, attribute),
                ..Condition::default()
            },
            also: None,
            subject: subject(view, attribute, near),
            count: measure.count.as_ref().map(|(count, _)| *count),
            in_winter: attribute == Attribute::Area
                && (view.sentence_has(measure.tokens.start, Topic::Winter) || view.around.head(Topic::Winter)),
            is_outside: attribute == Attribute::AirlineSize
                && (near.iter().find(|one| matches!(one.topic, Topic::Bore | Topic::Outside)).is_some_and(|one| one.topic == Topic::Outside)
                    || (view.around.head(Topic::Outside) && !view.around.head(Topic::Bore))),
            quantity,
            passage: number,
            place,
        }
    }

    /// The second figures of dual listings are put to the first.
    fn duals(&mut self, view: &View<'_>, number: usize, measures: &[Measure<'_>], readings: &[Reading]) {
        for place in 1..measures.len() {
            if !readings[place].is_also {
                continue;
            }
            let measure = &measures[place];
            let Some(claim) = readings[place - 1].claim.and_then(|claim| self.claims.get_mut(claim)) else {
                continue;
            };
            claim.also = Some(Also {
                at: self.passages[number].source(measure.at.clone()),
                text: view.text[measure.at.clone()].to_owned(),
                si: si(view, measure, claim.attribute),
                quantity: measure.quantity.clone(),
            });
        }
    }

    /// Conditions within the passage.
    fn conditions(&mut self, view: &View<'_>, measures: &[Measure<'_>], readings: &[Reading]) {
        for (place, measure) in measures.iter().enumerate() {
            let Some(quantity) = &measure.quantity else {
                continue;
            };
            if readings[place].claim.is_some() || readings[place].is_also {
                continue;
            }
            let is_tariff = measure.period == Some(Period::KilowattHour);
            let distance = matches!(quantity.dimension(), Dimension::Length)
                && (readings[place].is_condition || near_sound(view, measure));
            if !readings[place].is_condition && !is_tariff && !distance {
                continue;
            }
            let Some(target) = target(view, measures, readings, place) else {
                continue;
            };
            let Some(claim) = readings[target].claim else {
                continue;
            };
            self.put(claim, quantity);
            // `1.8 cfm and 75 W at 2 psi` holds for both.
            if target > 0 && readings[place].is_condition && joined(view, measures, target) {
                if let Some(other) = readings[target - 1].claim {
                    self.put(other, quantity);
                }
            }
        }
        // Hours of the sentence that was looked at last.
        let mut last = (0..0, None);
        for (place, measure) in measures.iter().enumerate() {
            if let Some(claim) = readings[place].claim
                && self.claims[claim].attribute == Attribute::Cost
            {
                let sentence = view.sentence(measure.tokens.start);
                if last.0 != sentence {
                    last = (sentence.clone(), conditions::hours_per_day(view, sentence));
                }
                if last.1.is_some() {
                    self.claims[claim].condition.hours_per_day = last.1;
                }
            }
        }
    }

    /// Puts a condition to a claim, by what it is a quantity of.
    fn put(&mut self, claim: usize, quantity: &Quantity) {
        let Some(claim) = self.claims.get_mut(claim) else {
            return;
        };
        let attribute = claim.attribute;
        let condition = &mut claim.condition;
        let place = match quantity.dimension() {
            Dimension::GaugePressure | Dimension::AbsolutePressure => &mut condition.pressure,
            Dimension::Length if attribute == Attribute::Sound => &mut condition.distance,
            Dimension::Length => &mut condition.depth,
            Dimension::MoneyPerEnergy => &mut condition.tariff,
            Dimension::Temperature => &mut condition.temperature,
            _ => return,
        };
        place.get_or_insert_with(|| quantity.clone());
    }

    /// Conditions that stand in the heads of a cell: `Flow at 2 psi`, a row that begins with `6 ft`.
    fn of_the_heads(&mut self, number: usize, first_claim: usize, around: &Around) {
        let passage = &self.passages[number];
        let (table, row, column) = match passage.role {
            Role::Cell { table, row, column, .. } => (table, row, column),
            Role::Definition => (0, 0, 1),
            _ => return,
        };
        if column == 0 {
            // The first cell of a row of figures says under what the others hold.
            if let [claim] = &self.claims[first_claim..]
                && matches!(claim.attribute, Attribute::Pressure | Attribute::Depth)
                && let Some(quantity) = &claim.quantity
                && claim.text.len() + 12 >= passage.text.len()
                && row > 0
            {
                self.rows.insert((table, row), quantity.clone());
            }
            return;
        }
        if self.claims.len() == first_claim {
            return;
        }
        let mut found: Vec<Quantity> = Vec::new();
        for head in around.column_heads.iter().copied().rev().chain(around.row_head) {
            found.extend(self.stated(head).iter().cloned());
        }
        if let Some(quantity) = self.rows.get(&(table, row)) {
            found.push(quantity.clone());
        }
        for claim in first_claim..self.claims.len() {
            if !takes_condition(self.claims[claim].attribute) {
                continue;
            }
            for quantity in &found {
                if fits(self.claims[claim].attribute, quantity.dimension()) {
                    self.put(claim, quantity);
                }
            }
        }
    }

    /// The conditions that a head states.
    fn stated(&mut self, head: u32) -> Rc<[Quantity]> {
        if let Some(known) = self.states.get(&head) {
            return Rc::clone(known);
        }
        let text = &self.passages[head as usize].text;
        let mut found: Vec<Quantity> = Vec::new();
        if text.contains(|c: char| c.is_ascii_digit()) {
            let (mut tokens, mut measures, mut facts) = (Vec::new(), Vec::new(), Facts::default());
            tokens::tokens(text, self.habits.style, &mut tokens);
            measure::measures(text, &tokens, self.habits, self.memory, &mut measures);
            facts.of(text, &tokens, &measures);
            let bare = text.len() <= 16;
            let view = View {
                text,
                tokens: &tokens,
                measures: &measures,
                around: &Around::default(),
                facts: &facts,
            };
            for measure in &measures {
                if let Some(quantity) = &measure.quantity
                    && (bare || is_condition(&view, measure) || text.contains('('))
                {
                    found.push(quantity.clone());
                }
            }
        }
        // A claim takes the first that fits; no head states more than a few.
        found.truncate(FARTHEST);
        let found: Rc<[Quantity]> = found.into();
        self.states.insert(head, Rc::clone(&found));
        found
    }

    fn finish(mut self) -> Found {
        // A first cell that served as the condition of its row's figures is no claim of its own.
        let served: Vec<(u32, u32)> = self
            .claims
            .iter()
            .filter_map(|claim| {
                let Role::Cell { table, row, column, .. } = self.passages[claim.passage].role else {
                    return None;
                };
                (column > 0 && self.rows.contains_key(&(table, row)) && takes_condition(claim.attribute)
                    && self.rows.get(&(table, row)).is_some_and(|q| fits(claim.attribute, q.dimension())))
                    .then_some((table, row))
            })
            .collect();
        let served: hashbrown::HashSet<(u32, u32), fnv::FnvBuildHasher> = served.into_iter().collect();
        let passages = self.passages;
        self.claims.retain(|claim| match passages[claim.passage].role {
            Role::Cell { table, row, column: 0, .. } => !served.contains(&(table, row)) || claim.quantity.is_none(),
            _ => true,
        });
        for claim in &mut self.claims {
            if claim.attribute == Attribute::Cost {
                if claim.condition.tariff.is_none() {
                    claim.condition.tariff = self.tariff.clone();
                }
                if claim.condition.hours_per_day.is_none() {
                    claim.condition.hours_per_day = self.hours;
                }
            }
        }
        Found {
            claims: pair_columns(self.claims, passages),
            cut: self.cut,
        }
    }
}

/// What the text of a head names for the bare numbers under it.
fn named(head: &str, habits: Habits) -> Option<Named> {
    let head = head.trim_end_matches([':', ' ', '*', '†']);
    if let Some((found, _)) = unit_words::of_head(head) {
        return Some(Named::Unit(found.unit(habits.british)));
    }
    let small = head.to_lowercase();
    let code = if head.contains('€') || small.contains("eur") {
        "EUR"
    } else if head.contains('£') {
        "GBP"
    } else if head.contains('$') || small.contains("usd") {
        habits.dollar.code()
    } else {
        return None;
    };
    let periods = [
        ("month", Period::Month),
        ("mo", Period::Month),
        ("year", Period::Year),
        ("day", Period::Day),
        ("monat", Period::Month),
        ("jahr", Period::Year),
        ("kwh", Period::KilowattHour),
        ("ft", Period::Foot),
        ("foot", Period::Foot),
    ];
    let parts = small.split(|c: char| !c.is_alphanumeric());
    let period = periods
        .into_iter()
        .find(|(word, _)| parts.clone().any(|part| part.strip_prefix(word).is_some_and(|rest| matches!(rest, "" | "ly"))))
        .map(|(_, period)| period);
    let tail = period.map_or_else(String::new, |period| format!("/{}", period.word()));
    Some(Unit::known(&format!("{code}{tail}")).map_or(Named::Nothing, |unit| Named::Money(unit, period)))
}

/// Two columns of one quantity, in two units, are one listing of it.
fn pair_columns(claims: Vec<Claim>, passages: &[Passage]) -> Vec<Claim> {
    let cell = |claim: &Claim| match passages[claim.passage].role {
        Role::Cell { table, row, column, .. } => Some((table, row, column)),
        _ => None,
    };
    let mut paired: Vec<Claim> = Vec::with_capacity(claims.len());
    for second in claims {
        let Some(first) = paired.last_mut() else {
            paired.push(second);
            continue;
        };
        let neighbours = match (cell(first), cell(&second)) {
            (Some(a), Some(b)) => a.0 == b.0 && a.1 == b.1 && a.2 + 1 == b.2,
            _ => false,
        };
        let dual = neighbours
            && first.attribute == second.attribute
            && first.also.is_none()
            && second.also.is_none()
            && match (&first.quantity, &second.quantity) {
                (Some(a), Some(b)) => {
                    a.dimension() == b.dimension()
                        && a.unit() != b.unit()
                        && units::table::System::of(a.unit()) != units::table::System::of(b.unit())
                }
                _ => false,
            };
        if dual {
            first.also = Some(Also {
                at: second.at,
                text: second.text,
                si: second.si,
                quantity: second.quantity,
            });
        } else {
            paired.push(second);
        }
    }
    paired
}

/// Whether `second` repeats `first` in another unit: `6 ft (1.83 m)`, `6 ft / 1.83 m`.
fn is_dual(text: &str, first: &Measure<'_>, second: &Measure<'_>) -> bool {
    let (Some(a), Some(b)) = (&first.quantity, &second.quantity) else {
        return false;
    };
    let same = a.dimension() == b.dimension()
        || (matches!(a.dimension(), Dimension::VolumeFlow | Dimension::AirAmount)
            && matches!(b.dimension(), Dimension::VolumeFlow | Dimension::AirAmount));
    if !same || a.unit() == b.unit() || a.dimension().is_money() {
        return false;
    }
    let from = first.at.end;
    if second.at.start < from {
        return false;
    }
    let between = text[from..second.at.start].trim();
    let bare = between.to_lowercase();
    let tail = bare.trim_start_matches(['(', '[', '/', '|', '=', '≈', '~', ',', '–', '-', ' ', ';']).trim();
    let joins = bare.starts_with(['(', '[', '/', '|', '=', '≈', '–']) || bare == "or" || bare == "," || bare == "bzw."
        || bare.ends_with(['(', '[']) && bare.split_whitespace().count() <= 3;
    let words = tail.trim_end_matches(['(', '[', ' ']);
    let joins_time = a.dimension() != Dimension::Time;
    joins
        && joins_time
        && (words.is_empty()
            || matches!(words, "about" | "approx." | "approx" | "approximately" | "or" | "ca." | "i.e." | "roughly" | "around" | "etwa" | "up to" | "deep" | "max" | "max." | "id" | "i.d." | "nominal" | "of air" | "of water" | "air" | "gauge" | "depth"))
        && plausible_pair(a, b, bare == "," || bare == "or")
}

/// Two listings of one figure are near each other; a size and a length aren't.
fn plausible_pair(a: &Quantity, b: &Quantity, strict: bool) -> bool {
    let (a, b) = (a.si_central(), b.si_central());
    if a == 0.0 || b == 0.0 {
        return a == b;
    }
    let ratio = (a / b).abs();
    if strict { (0.9..=1.1).contains(&ratio) } else { (0.4..=2.5).contains(&ratio) }
}

/// Whether a passage is hardly more than the figure.
fn is_bare(passage: &Passage, measure: &Measure<'_>) -> bool {
    measure.at.len() + 4 >= passage.text.len()
}

fn near_sound(view: &View<'_>, measure: &Measure<'_>) -> bool {
    view.measures
        .iter()
        .take(measure.place)
        .rev()
        .take_while(|other| measure.tokens.start.saturating_sub(other.tokens.end) <= 6)
        .any(|other| is_sound(other) && other.tokens.end <= measure.tokens.start)
}

/// Whether a word introduces a condition.
fn introduces(word: &str) -> bool {
    matches!(word, "at" | "@" | "bei" | "à" | "against" | "gegen" | "auf")
}

/// Introduced by `at`: `@ 10'`, `at a depth of 6 ft`, `at 2 psi`.
fn is_condition(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let Some(dimension) = measure.dimension() else {
        return false;
    };
    if !matches!(
        dimension,
        Dimension::Length | Dimension::GaugePressure | Dimension::AbsolutePressure | Dimension::Temperature | Dimension::MoneyPerEnergy
    ) {
        return false;
    }
    if measure.period == Some(Period::KilowattHour) {
        return true;
    }
    let before = view.preposition(measure);
    if introduces(&before) {
        return true;
    }
    if dimension == Dimension::Length {
        // `44 dBA (1 m)`, `measured 3 ft away`, `44 dB in 1 m Abstand`.
        let away = view.near(measure).iter().any(|one| one.topic == Topic::Away && one.cost <= 3);
        if away && view.sentence_has_sound(measure.tokens.start) {
            return true;
        }
        if near_sound(view, measure) && matches!(&*before, "from" | "in" | "/" | "," | "mesuré" | "dba" | "dbd" | "dba)" | ")" | "db") {
            return true;
        }
    }
    // `At 6 ft, …` is seen above; `(2 psi)` behind a flow is a condition too.
    let bracket = measure.tokens.start > 0 && matches!(view.tokens[measure.tokens.start - 1].kind, Kind::Sign('(' | '['));
    let closed = view.tokens.get(measure.tokens.end).is_some_and(|token| matches!(token.kind, Kind::Sign(')' | ']')));
    bracket && closed && matches!(dimension, Dimension::GaugePressure | Dimension::Length)
}

/// Whether a claim of that attribute can hold under a condition.
fn takes_condition(attribute: Attribute) -> bool {
    matches!(
        attribute,
        Attribute::Flow
            | Attribute::Power
            | Attribute::Current
            | Attribute::Sound
            | Attribute::Area
            | Attribute::Turnover
            | Attribute::Oxygen
            | Attribute::Cost
            | Attribute::Efficiency
            | Attribute::WaterFlow
            | Attribute::Pressure
    )
}

/// Whether a condition of that dimension makes sense for the attribute.
fn fits(attribute: Attribute, dimension: Dimension) -> bool {
    match dimension {
        Dimension::MoneyPerEnergy => attribute == Attribute::Cost,
        Dimension::GaugePressure | Dimension::AbsolutePressure => {
            matches!(attribute, Attribute::Flow | Attribute::Power | Attribute::Current | Attribute::Sound | Attribute::WaterFlow)
        }
        Dimension::Length => takes_condition(attribute) && attribute != Attribute::Cost,
        Dimension::Temperature => takes_condition(attribute) && attribute != Attribute::Cost,
        _ => false,
    }
}

/// Which figure of the sentence a condition belongs to: the nearest before, else the next.
fn target(view: &View<'_>, measures: &[Measure<'_>], readings: &[Reading], place: usize) -> Option<usize> {
    let sentence = view.sentence(measures[place].tokens.start);
    let dimension = measures[place].dimension()?;
    let fit = |other: usize| {
        sentence.contains(&measures[other].tokens.start)
            && !readings[other].is_also
            && !(readings[other].is_condition && !matches!(readings[other].attribute, Some(a) if takes_condition(a)))
            && readings[other].attribute.is_some_and(|attribute| fits(attribute, dimension))
    };
    let before = (place.saturating_sub(FARTHEST)..place).rev();
    let after = place + 1..measures.len().min(place + FARTHEST);
    before
        .take_while(|&other| measures[other].tokens.start >= sentence.start)
        .find(|&other| fit(other))
        .or_else(|| after.take_while(|&other| measures[other].tokens.start < sentence.end).find(|&other| fit(other)))
}

fn has_target(view: &View<'_>, measures: &[Measure<'_>], readings: &[Reading], place: usize, attribute: Attribute) -> bool {
    let Some(found) = target(view, measures, readings, place) else {
        return false;
    };
    // A bracket behind an area holds its depth only if nothing says it is a claim of its own.
    let before = view.preposition(&measures[place]);
    if !introduces(&before)
        && readings[found].attribute == Some(Attribute::Area)
        && attribute == Attribute::Depth
    {
        return false;
    }
    true
}

/// Whether figure `place` is joined to the one before it by `and` or a comma alone.
fn joined(view: &View<'_>, measures: &[Measure<'_>], place: usize) -> bool {
    let between = view.text[measures[place - 1].at.end..measures[place].at.start].trim().to_lowercase();
    matches!(between.as_str(), "and" | "," | "/" | "&" | "und" | "+")
}

/// Whether a bare number counts diffusers, or turnovers a day.
fn count(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    if measure.is_size {
        return None;
    }
    let value = numeral::value(&measure.number)?;
    if let Some(turnover) = turnovers(view, measure) {
        return Some(turnover);
    }
    if !(1.0..=64.0).contains(&value) || value.fract() != 0.0 {
        return None;
    }
    let mut at = measure.tokens.end;
    let mut words = 0;
    if view.tokens.get(at).is_some_and(|token| matches!(token.kind, Kind::Sign('.' | '-'))) && view.text[measure.at.end..].starts_with('.') {
        return None;
    }
    // `(2) diffusers`, `2 x 10 in discs`, `two 9-inch discs`, `2 pcs diffusers`.
    while at < view.tokens.len() && words <= 3 {
        let token = &view.tokens[at];
        match token.kind {
            Kind::Sign('-' | ')' | '×') => at += 1,
            Kind::Sign('x') => at += 1,
            Kind::Sign('"' | '”' | '\'' ) if words > 0 || at > measure.tokens.end => at += 1,
            Kind::Figure => {
                let size = view.measure_at(at)?;
                if size.dimension() != Some(Dimension::Length) && size.dimension() != Some(Dimension::SoundLevel) {
                    return None;
                }
                at = size.tokens.end;
                words += 1;
            }
            Kind::Word(topic) | Kind::Mixed(topic) => {
                match topic {
                    Some(Topic::Diffuser) => {
                        let next = view.tokens.get(at + 1);
                        let also_diffuser = next.is_some_and(|next| next.topic() == Some(Topic::Diffuser));
                        let after = if also_diffuser { view.tokens.get(at + 2) } else { next };
                        let other = after.is_some_and(|next| {
                            matches!(next.topic(), Some(Topic::Fitting | Topic::Per | Topic::Body))
                                || view.text[next.range()].eq_ignore_ascii_case("manifold")
                        });
                        return (!other).then_some(Attribute::DiffuserCount);
                    }
                    Some(Topic::Joint | Topic::At | Topic::Per | Topic::Compressor | Topic::Line | Topic::Fitting | Topic::Package | Topic::Fan | Topic::Name | Topic::Cord | Topic::Pond | Topic::Service | Topic::Warranty) => return None,
                    _ => {}
                }
                let word = &view.text[token.range()];
                if !word.eq_ignore_ascii_case("x") {
                    words += 1;
                }
                at += 1;
            }
            _ => break,
        }
    }
    // `Diffusers: 2`, a row or column of them.
    let before = &view.tokens[measure.tokens.start.saturating_sub(5)..measure.tokens.start];
    let alone = view.tokens.len() - (measure.tokens.end - measure.tokens.start) <= 1;
    // `Diffusers: 4 EA.`, `Diffusers: 2 tubes`
    let after_label = measure.tokens.start > 0 && view.tokens[measure.tokens.start - 1].kind == Kind::Sign(':');
    if after_label
        && before.iter().rev().nth(1).is_some_and(|token| token.topic() == Some(Topic::Diffuser))
        && !view.tokens.get(measure.tokens.end).is_some_and(|next| next.is_number() || matches!(next.kind, Kind::Sign('/' | '-' | '–' | '%')))
    {
        return Some(Attribute::DiffuserCount);
    }
    let labelled = before.iter().any(|token| token.kind == Kind::Sign(':'))
        && before.iter().any(|token| token.topic() == Some(Topic::Diffuser))
        && measure.tokens.end >= view.tokens.len().min(view.sentence(measure.tokens.start).end);
    if labelled {
        return Some(Attribute::DiffuserCount);
    }
    let heads = |topic: Topic| view.around.head(topic);
    let other = heads(Topic::Depth) || heads(Topic::Fitting) || heads(Topic::Line) || heads(Topic::Price) || heads(Topic::Weight) || heads(Topic::Name) || heads(Topic::Bore) || heads(Topic::Air) || heads(Topic::Body) || heads(Topic::Service);
    let start = view.text.trim_start().starts_with(&view.text[measure.number_at.clone()]);
    let by_column = view.around.column.set.has(Topic::Diffuser);
    let by_row = view.around.row.set.has(Topic::Diffuser);
    let plain_row = by_row && (alone || start && !view.has(Topic::Body));
    (!other && (plain_row || (by_column && alone))).then_some(Attribute::DiffuserCount)
}

/// `1.5 times a day`, `two turnovers per day`, `Turnover: 1.5 per day`.
fn turnovers(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    let at = measure.tokens.start;
    let about = view.sentence_has(at, Topic::Turnover)
        || view.around.head(Topic::Turnover)
        || (view.sentence_has(at, Topic::Moved) && (view.sentence_has(at, Topic::Pond) || view.sentence_has(at, Topic::Water)));
    about.then(|| period_after(view, measure)).flatten().map(|_| Attribute::Turnover)
}

/// Seconds of the period that stands behind a count: `times a day`, `/day`, `daily`.
fn period_after(view: &View<'_>, measure: &Measure<'_>) -> Option<(f64, usize)> {
    let rest = view.text.get(measure.number_at.end..)?;
    let small: String = rest.chars().take(48).flat_map(char::to_lowercase).collect();
    let mut tail = small.trim_start();
    for word in ["full ", "complete ", "times ", "time ", "x ", "x", "turnovers", "turnover", "pond ", "mal ", "turns", "umwälzungen", "fois ", "volume turnovers"] {
        if let Some(after) = tail.strip_prefix(word) {
            tail = after.trim_start();
        }
    }
    let mut marked = false;
    for mark in ["per ", "each ", "every ", "a ", "an ", "/ ", "/", "pro ", "am ", "je ", "in ", "in a "] {
        if let Some(after) = tail.strip_prefix(mark) {
            tail = after.trim_start();
            marked = true;
        }
    }
    let periods: [(&str, f64, bool); 9] = [
        ("daily", 86_400.0, false),
        ("day", 86_400.0, true),
        ("24 hours", 86_400.0, true),
        ("24 h", 86_400.0, true),
        ("hour", 3600.0, true),
        ("week", 604_800.0, true),
        ("tag", 86_400.0, true),
        ("jour", 86_400.0, true),
        ("d", 86_400.0, true),
    ];
    periods.iter().find_map(|&(word, seconds, needs_mark)| {
        let after = tail.strip_prefix(word)?;
        let ends = !after.starts_with(|c: char| c.is_alphanumeric());
        let length = small.chars().count() - after.chars().count();
        let bytes: usize = rest.chars().take(length).map(char::len_utf8).sum();
        (ends && marked == needs_mark).then_some((seconds, measure.number_at.end + bytes))
    })
}

/// The figure in SI.
fn si(view: &View<'_>, measure: &Measure<'_>, attribute: Attribute) -> Si {
    match attribute {
        Attribute::DiffuserCount => numeral::value(&measure.number).map_or(Si::None, Si::Value),
        Attribute::Turnover => match &measure.quantity {
            None => match (numeral::value(&measure.number), period_after(view, measure)) {
                (Some(value), Some((seconds, _))) => Si::Value(value / seconds),
                _ => Si::None,
            },
            Some(every) if every.is_range() => Si::Range(1.0 / every.si_high(), 1.0 / every.si_low()),
            Some(every) => Si::Value(1.0 / every.si_central()),
        },
        _ => match &measure.quantity {
            None => Si::None,
            Some(quantity) => {
                let money = quantity.dimension().is_money();
                let (low, central, high) = if money {
                    (quantity.low(), quantity.central(), quantity.high())
                } else {
                    (quantity.si_low(), quantity.si_central(), quantity.si_high())
                };
                if quantity.is_range() { Si::Range(low, high) } else { Si::Value(central) }
            }
        },
    }
}

fn subject(view: &View<'_>, attribute: Attribute, near: &[super::view::Near]) -> Subject {
    match attribute {
        Attribute::AirlineSize | Attribute::AirlineLength => return Subject::Airline,
        Attribute::Area | Attribute::Depth | Attribute::Price | Attribute::Turnover | Attribute::Volume | Attribute::DiffuserCount | Attribute::Cost => {
            return Subject::Package;
        }
        _ => {}
    }
    let of = |topic: Topic| match topic {
        Topic::Compressor => Some(Subject::Compressor),
        Topic::Diffuser => Some(Subject::Diffuser),
        Topic::Line => Some(Subject::Airline),
        Topic::Body => Some(Subject::Cabinet),
        Topic::Package => Some(Subject::Package),
        _ => None,
    };
    near.iter()
        .filter(|one| one.cost <= 5)
        .find_map(|one| of(one.topic))
        .or_else(|| view.around.row.topics.iter().find_map(|&topic| of(topic)))
        .or_else(|| view.around.column.topics.iter().find_map(|&topic| of(topic)))
        .or_else(|| view.around.heading.topics.iter().find_map(|&topic| of(topic)))
        .unwrap_or(match attribute {
            Attribute::Voltage | Attribute::Frequency | Attribute::Current | Attribute::Pressure => Subject::Compressor,
            _ => Subject::Package,
        })
}
