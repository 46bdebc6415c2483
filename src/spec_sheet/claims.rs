//! From the figures of each passage to the claims of the sheet.

use std::rc::Rc;

use hashbrown::HashMap;

use crate::units::{self, Dimension, Quantity};

use super::claim::{Also, Attribute, Claim, Comparator, Condition, Si, Subject};
use super::comparison;
use super::conditions;
use super::labels::Named;
use super::layout::{Passage, Role};
use super::measure::{self, Habits, Measure, Memory, Period};
use super::notes;
use super::numeral;
use super::subject_matter;
use super::tables::{Heads, Tables};
use super::tokens::{self, Kind, Token};
use super::view::{Around, Facts, Head, View, is_sound};
use super::vocabulary::{self, Topic, cue};

/// Most claims of one sheet. A catalog of thousands of packages has fewer on one page, and each takes about
/// half a kilobyte.
pub const MOST_CLAIMS: usize = 500_000;

/// How many figures away a condition may stand from what it belongs to.
const FARTHEST: usize = 100;

/// Finds the claims of a sheet.
pub fn find(passages: &[Passage], habits: Habits, mixed: bool) -> Found {
    let memory = Memory::default();
    let mut finder = Finder {
        passages,
        habits,
        memory: &memory,
        tables: Tables::of(passages),
        none: Rc::default(),
        pairs: HashMap::default(),
        heads: HashMap::default(),
        states: HashMap::default(),
        names: HashMap::default(),
        claims: Vec::new(),
        tariff: None,
        hours: None,
        rows: HashMap::default(),
        depth: None,
        starred: false,
        counted: Vec::new(),
        at_depth: Vec::new(),
        beside: Vec::new(),
        labelled: None,
        aside: (None, false),
        cut: None,
    };
    let mut tokens = Vec::new();
    let mut measures = Vec::new();
    let mut facts = Facts::default();
    for (number, passage) in passages.iter().enumerate() {
        // On a page in two languages each passage shows its own custom.
        let style = if mixed {
            numeral::own_style(&passage.text, habits.style)
        } else {
            habits.style
        };
        finder.habits.style = style;
        tokens::tokens(&passage.text, style, &mut tokens);
        measure::measures(
            &passage.text,
            &tokens,
            finder.habits,
            &memory,
            &mut measures,
        );
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

pub(super) struct Finder<'a> {
    pub(super) passages: &'a [Passage],
    pub(super) habits: Habits,
    pub(super) memory: &'a Memory,
    pub(super) tables: Tables,
    /// No head at all.
    none: Rc<Head>,
    /// Topics of two heads together, by their passages.
    pairs: HashMap<(u32, u32), Rc<Head>, fnv::FnvBuildHasher>,
    /// Topics of the heads, by passage.
    heads: HashMap<u32, Rc<Head>, fnv::FnvBuildHasher>,
    /// Conditions that heads state, by passage.
    states: HashMap<u32, Rc<[Quantity]>, fnv::FnvBuildHasher>,
    /// Units that heads name, by passage.
    pub(super) names: HashMap<u32, Option<Named>, fnv::FnvBuildHasher>,
    pub(super) claims: Vec<Claim>,
    /// A tariff said anywhere on the page, for costs that have none of their own.
    tariff: Option<Quantity>,
    /// Hours each day, likewise.
    hours: Option<f64>,
    /// Conditions of a table's rows: what its first cells state.
    rows: HashMap<(u32, u32), Vec<Held>, fnv::FnvBuildHasher>,
    /// The depth that was promised last.
    depth: Option<Quantity>,
    /// Whether a warranty bore a star that leads to a note.
    starred: bool,
    /// The counts of `2 x 25 m`, as claims that stand if no other count does.
    counted: Vec<Claim>,
    /// Claims of a cell whose head says that they hold at the depth of their row: `air at depth`.
    at_depth: Vec<usize>,
    /// Figures of a row that are no claims by themselves, but perhaps what one of its claims holds under: a
    /// distance in a column of its own, a remark.
    beside: Vec<Beside>,
    /// The row whose label was looked for last, whether its column's head tells, and the label.
    labelled: Option<((u32, u32, bool), u32)>,
    /// The heading looked at last, and whether what stands under it is about other things.
    aside: (Option<u32>, bool),
    /// The passage after which no claims were looked for.
    cut: Option<usize>,
}

/// A depth or pressure at the beginning of a table's row.
struct Held {
    quantity: Quantity,
    /// The claim made of it.
    claim: usize,
    /// Whether a figure of the row holds under it, so that it is no claim of its own.
    serves: bool,
}

/// A figure in a cell of its own that one of its row's claims holds under.
struct Beside {
    row: (u32, u32),
    quantity: Quantity,
    /// How many claims stood before it.
    after: usize,
    /// Whether its column's head says that it is a condition.
    said: bool,
}

/// The passages that head one.
pub(super) struct Above {
    /// Its row's first cell, the term it explains, its caption.
    pub(super) row: Option<u32>,
    /// The cell between that and its own that says more: `Flow | at 4 ft | 2.6 cfm`.
    beside: Option<u32>,
    /// The heads of its column, the nearest first.
    pub(super) columns: Heads,
}

/// A figure with what it turned out to be.
#[derive(Clone)]
struct Reading {
    attribute: Option<Attribute>,
    /// Introduced by `at`, so perhaps a condition of another.
    is_condition: bool,
    /// The claim made of it, once made.
    claim: Option<usize>,
    /// The figure that it lists in another unit.
    also_of: Option<usize>,
    /// The figure before it that tells what it is.
    like: Option<usize>,
}

impl Finder<'_> {
    fn topics_of(&mut self, number: u32) -> Rc<Head> {
        if let Some(known) = self.heads.get(&number) {
            return Rc::clone(known);
        }
        let mut tokens = Vec::new();
        let passage = &self.passages[number as usize];
        // A head is short; what follows in a long cell is text of its own.
        let end = passage
            .text
            .char_indices()
            .nth(120)
            .map_or(passage.text.len(), |(at, _)| at);
        tokens::tokens(&passage.text[..end], self.habits.style, &mut tokens);
        let mut head = Head::default();
        for (at, token) in tokens.iter().enumerate() {
            head.cues |= token.cues;
            // The `min` of `l/min` bounds nothing.
            // `from now on` is a time.
            let is_time = token.topic() == Some(Topic::AtLeast)
                && tokens
                    .get(at + 1)
                    .is_some_and(|next| next.cues & cue::NOW != 0);
            let is_unit = is_time
                || at > 0
                    && (token.topic() == Some(Topic::AtLeast)
                    && tokens[at - 1].kind == Kind::Sign('/')
                    // The sign of alternating current: `115V~`.
                    || token.kind == Kind::Sign('~')
                        && passage.text[..token.start as usize].ends_with(['V', 'v']));
            if let Some(topic) = token.topic().filter(|_| !is_unit) {
                head.topics.push(topic);
                head.set.add(topic);
            }
        }
        let text = &passage.text[..end];
        // `Highest pressure`, `Most it'll push`, `Largest pond`: what a label begins with bounds what it names.
        let first = text
            .split(|c: char| !c.is_alphabetic())
            .next()
            .unwrap_or("");
        let begins = |words: &[&str]| words.iter().any(|word| first.eq_ignore_ascii_case(word));
        if begins(&[
            "highest", "most", "maximum", "farthest", "furthest", "tallest", "deepest", "greatest",
            "largest", "longest",
        ]) {
            head.topics.push(Topic::AtMost);
            head.set.add(Topic::AtMost);
        }
        if begins(&["lowest", "least", "shallowest", "smallest", "minimum"]) {
            head.topics.push(Topic::AtLeast);
            head.set.add(Topic::AtLeast);
        }
        // `Reaches down to`
        let tail = text.len().checked_sub("down to".len());
        if tail
            .and_then(|tail| text.get(tail..))
            .is_some_and(|tail| tail.eq_ignore_ascii_case("down to"))
        {
            head.topics.push(Topic::Depth);
            head.set.add(Topic::Depth);
        }
        // `Pond area, up to`.
        let bare = text.trim_end_matches([':', ' ']);
        if ["up to", "Up to", "UP TO"]
            .iter()
            .any(|words| text.contains(words))
            || bare.ends_with(" to")
            || bare.ends_with(" TO")
        {
            head.topics.push(Topic::AtMost);
            head.set.add(Topic::AtMost);
        }
        let head = Rc::new(head);
        self.heads.insert(number, Rc::clone(&head));
        head
    }

    /// The cell right before a figure's that says under what it holds, if that isn't its label.
    fn remark(&self, number: usize, label: Option<u32>) -> Option<u32> {
        let before = number.checked_sub(1)?;
        let (
            Role::Cell { table, row, .. },
            Role::Cell {
                table: t, row: r, ..
            },
        ) = (self.passages[number].role, self.passages[before].role)
        else {
            return None;
        };
        let text = self.passages[before].text.as_str();
        let says = text.starts_with(['@', '('])
            || ["at ", "At ", "AT ", "bei ", "à ", "op "]
                .iter()
                .any(|word| text.starts_with(word));
        ((table, row) == (t, r) && label != Some(before as u32) && says).then_some(before as u32)
    }

    /// The question right before a passage that answers it.
    fn question(&self, number: usize) -> Option<u32> {
        const LONGEST: usize = 90;
        let before = number.checked_sub(1)?;
        let asks = |passage: &Passage| {
            passage.text.len() <= LONGEST
                && (passage.text.trim_end().ends_with('?') || is_strangers(&passage.text))
                && matches!(passage.role, Role::Text | Role::Heading(_) | Role::Term)
        };
        (!matches!(self.passages[number].role, Role::Cell { .. }) && asks(&self.passages[before]))
            .then_some(before as u32)
    }

    /// The label of a cell, if it is one.
    fn tables_label(&mut self, number: usize) -> Option<u32> {
        if matches!(self.passages[number].role, Role::Cell { .. }) {
            self.label(number)
        } else {
            None
        }
    }

    /// The cell that names the figures of a cell's row: the first that has a name, where the first is but a number
    /// or a mark; under heads that tell nothing, the last that has a word of the trade.
    pub(super) fn label(&mut self, number: usize) -> Option<u32> {
        const MOST: usize = 4;
        let Role::Cell {
            table, row, column, ..
        } = self.passages[number].role
        else {
            return None;
        };
        let first = self.tables.first(table, row)?;
        if number <= first as usize + 1 {
            return Some(first);
        }
        let own_head = match self.tables.above(table, row, column)[0] {
            Some(head) => self.topics_of(head).set.tell(),
            None => false,
        };
        let is_whole = number >= first as usize + MOST;
        if let Some((key, label)) = self.labelled
            && is_whole
            && key == (table, row, own_head)
        {
            return Some(label);
        }
        let label = self.label_of_row(number, first, own_head, MOST);
        if is_whole {
            self.labelled = Some(((table, row, own_head), label));
        }
        Some(label)
    }

    /// The label of a row for a cell of it, of its first cells.
    fn label_of_row(&self, number: usize, first: u32, own_head: bool, most: usize) -> u32 {
        let Role::Cell { table, row, .. } = self.passages[number].role else {
            return first;
        };
        let cells = first as usize..number.min(first as usize + most);
        let is_name = |text: &str| {
            text.split(|c: char| !c.is_alphanumeric())
                .any(|word| word.chars().count() >= 3 && word.chars().all(char::is_alphabetic))
        };
        let in_row = |cell: &usize| matches!(self.passages[*cell].role, Role::Cell { table: t, row: r, .. } if (t, r) == (table, row));
        let mut named = cells.clone().take_while(in_row).filter(|&cell| {
            let text = self.passages[cell].text.as_str();
            is_name(text) && !text.starts_with(|c: char| c.is_ascii_digit())
        });
        if !is_name(&self.passages[first as usize].text)
            && !is_figure(&self.passages[first as usize].text)
        {
            return named.next().map_or(first, |cell| cell as u32);
        }
        if own_head {
            return first;
        }
        let telling = |&cell: &usize| vocabulary::has_topic(&self.passages[cell].text);
        named
            .filter(telling)
            .last()
            .map_or(first, |cell| cell as u32)
    }

    /// The topics of the heads above a cell, all together.
    fn topics_above(&mut self, heads: Heads) -> Rc<Head> {
        let [Some(near), far] = heads else {
            return Rc::clone(&self.none);
        };
        let Some(far) = far else {
            return self.topics_of(near);
        };
        if let Some(known) = self.pairs.get(&(near, far)) {
            return Rc::clone(known);
        }
        let mut both = Head::default();
        for head in [self.topics_of(near), self.topics_of(far)] {
            both.cues |= head.cues;
            for &topic in &head.topics {
                both.topics.push(topic);
                both.set.add(topic);
            }
        }
        let both = Rc::new(both);
        self.pairs.insert((near, far), Rc::clone(&both));
        both
    }

    /// What stands around a passage: topics, and the passages that head it.
    pub(super) fn around(&mut self, number: usize) -> (Around, Above) {
        let passage = &self.passages[number];
        let mut above = Above {
            row: passage.term,
            beside: None,
            columns: Heads::default(),
        };
        if let Role::Cell {
            table, row, column, ..
        } = passage.role
        {
            above.columns = self.tables.above(table, row, column);
            if column > 0 {
                above.row = self.label(number);
                above.beside = self.remark(number, above.row);
            }
        }
        if above.row.is_none() {
            above.row = self.caption(number).or_else(|| self.question(number));
        }
        let none = || Rc::clone(&self.none);
        let mut around = Around {
            row: none(),
            column: none(),
            heading: none(),
        };
        around.column = self.topics_above(above.columns);
        if let Some(head) = above.row {
            around.row = self.topics_of(head);
        }
        if let Some(heading) = self.passages[number].under {
            around.heading = self.topics_of(heading);
        }
        (around, above)
    }

    fn passage(
        &mut self,
        number: usize,
        tokens: &[Token],
        measures: &mut [Measure<'_>],
        facts: &mut Facts,
    ) {
        let passage = &self.passages[number];
        let text = passage.text.as_str();
        let may_tell = |token: &Token| {
            token.cues & (cue::COMPARES | cue::HOURLY) != 0
                || matches!(token.kind, Kind::Spelled("1/2" | "1/3" | "1/4"))
        };
        if measures.is_empty() && !tokens.iter().any(may_tell) {
            return;
        }
        let (around, above) = self.around(number);
        self.with_named_units(number, measures, tokens, &above);
        self.go_on(text, tokens, measures);
        self.of_the_period(text, tokens, measures, &above);
        measure::tariffs(text, tokens, measures);
        facts.of(text, tokens, measures);
        let view = View {
            text,
            tokens,
            measures,
            around: &around,
            facts,
        };
        // What others say, and what a head names for the figures under it, promises nothing here.
        const FIRST: usize = 6;
        let aside = tokens
            .iter()
            .take(FIRST)
            .any(|token| token.cues & cue::ASIDE != 0);
        let quoted = passage.role == Role::Quote
            || text.starts_with("TODO")
            || aside && begins_aside(text)
            || is_strangers(text);
        let is_column_head = matches!(passage.role, Role::Cell { table, row, .. } if self.tables.is_head(table, row))
            && measures.iter().all(|m| {
                m.quantity.as_ref().is_none_or(|q| {
                    matches!(
                        q.dimension(),
                        Dimension::Length | Dimension::GaugePressure | Dimension::Time
                    )
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
        if measures.is_empty()
            && !view.tells(cue::COMPARES)
            && !tokens
                .iter()
                .any(|token| matches!(token.kind, Kind::Spelled(_)))
        {
            return;
        }
        let anothers = self.is_anothers(number, &around);
        let mut readings: Vec<Reading> = Vec::with_capacity(measures.len());
        for (place, measure) in measures.iter().enumerate() {
            let also_of = also_of(text, measures, &readings, place);
            const PROMISES: [&str; 5] = ["made for", "rated", "good for", "suits", "built for"];
            let attribute = if view.is_story()
                && !view.sentence_says(measure.tokens.start, &PROMISES)
                && matches!(
                    measure.dimension(),
                    Some(
                        Dimension::Length | Dimension::Area | Dimension::Volume | Dimension::Power
                    )
                ) {
                None
            } else if let Some(first) = also_of {
                readings[first].attribute
            } else if anothers || view.asks(measure.tokens.start) {
                None
            } else {
                self.attribute(&view, number, measure)
            };
            readings.push(Reading {
                attribute,
                is_condition: is_condition(&view, measure),
                claim: None,
                also_of,
                like: None,
            });
        }
        // A list of figures with one word at its end: `8 or 10 ft deep`, `115/230 V`.
        for place in (0..measures.len().saturating_sub(1)).rev() {
            if readings[place].attribute.is_none()
                && let (Some(a), Some(b)) =
                    (&measures[place].quantity, &measures[place + 1].quantity)
                && a.unit() == b.unit()
                && measures[place].at.end == measures[place].number_at.end
                && !measures[place].is_size
                && matches!(
                    text[measures[place].at.end..measures[place + 1].at.start].trim(),
                    "or" | "/" | "and" | "," | "&" | "oder" | "und" | "-" | "–" | "bzw."
                )
            {
                readings[place].attribute = readings[place + 1].attribute;
            }
        }
        // `(*) 90 days on vanes`: the note that a warranty's star leads to.
        if self.starred
            && text.starts_with(['*', '†', '('])
            && text
                .trim_start_matches(['(', ')', '*', '†', ' '])
                .starts_with(|c: char| c.is_ascii_digit())
            && let Some(first) = readings.first_mut()
            && first.attribute.is_none()
            && measures[0].dimension() == Some(Dimension::Time)
        {
            first.attribute = Some(Attribute::Warranty);
        }
        // `Up to 150 ft of 3/8 in line, or 400 ft of 1/2 in`: the second is what the first is.
        for place in 1..measures.len() {
            if let Some(first) = goes_on_from(&view, measures, &readings, place) {
                readings[place].attribute = readings[first].attribute;
                readings[place].like = Some(first);
            }
        }
        if is_column_head {
            return;
        }
        // `Air at 1 m depth` names what stands beside it, and promises no depth.
        let is_label = readings.iter().any(|reading| reading.is_condition)
            && (passage.role == Role::Term
                || self.caption(number + 1) == Some(number as u32)
                || number > 0 && self.caption(number - 1) == Some(number as u32)
                || number + 1 < self.passages.len()
                    && self.tables_label(number + 1) == Some(number as u32)
                || matches!(passage.role, Role::Cell { table, row, column: 0, .. }
                if matches!(self.passages.get(number + 1).map(|next| next.role), Some(Role::Cell { table: t, row: r, .. }) if (t, r) == (table, row))));
        let is_note = notes::is_note(text);
        for place in 0..measures.len() {
            if readings[place].also_of.is_some() {
                continue;
            }
            let Some(attribute) = readings[place].attribute else {
                continue;
            };
            // The `24 hours` of `twice in 24 hours`.
            if self.claims[first_claim..]
                .last()
                .is_some_and(|last| last.place.end > measures[place].at.start)
            {
                continue;
            }
            if readings[place].is_condition
                && (is_label || is_note || has_target(&view, measures, &readings, place, attribute))
            {
                continue;
            }
            let mut claim = self.claim(&view, number, &measures[place], attribute);
            if let Some(first) = readings[place]
                .like
                .and_then(|first| readings[first].claim)
                .and_then(|first| self.claims.get(first))
                && claim.comparator == Comparator::Exact
                && first.comparator != Comparator::Range
            {
                claim.comparator = first.comparator;
                claim.condition.per = claim.condition.per.or(first.condition.per);
            }
            self.starred |= attribute == Attribute::Warranty
                && text.get(measures[place].at.end..).is_some_and(|rest| {
                    rest.trim_start().starts_with(['*', '†']) || rest.trim_start().starts_with("(*")
                });
            if attribute == Attribute::Depth && claim.si != Si::None {
                self.depth = claim.quantity.clone();
            }
            if let Some((count, at)) = &measures[place].count
                && attribute == Attribute::AirlineLength
                && self.counted.len() < MOST_CLAIMS
            {
                self.counted.push(Claim {
                    at: passage.source(at.clone()),
                    place: at.clone(),
                    text: text[at.clone()].to_owned(),
                    attribute: Attribute::DiffuserCount,
                    comparator: Comparator::Exact,
                    si: Si::Value(*count),
                    quantity: None,
                    condition: Condition::default(),
                    count: None,
                    subject: Subject::Package,
                    ..claim.clone()
                });
            }
            readings[place].claim = Some(self.claims.len());
            self.claims.push(claim);
        }
        self.duals(&view, number, measures, &readings);
        self.conditions(&view, measures, &readings);
        self.of_the_heads(number, first_claim, &above);
        let figures = first_claim..self.claims.len();
        for comparison in comparison::find(&view) {
            let place = tokens[comparison.tokens.start].start as usize
                ..tokens[comparison.tokens.end - 1].end as usize;
            // A figure that was read as a claim itself is none of a comparison's.
            let own = &self.claims[figures.clone()];
            let next = own.partition_point(|claim| claim.place.end <= place.start);
            let taken = own
                .get(next)
                .is_some_and(|claim| claim.place.start < place.end);
            if taken {
                continue;
            }
            self.claims.push(Claim {
                at: passage.source(place.clone()),
                page: passage.page,
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
        if let Role::Cell {
            table, row, column, ..
        } = passage.role
            && column > 0
            && first_claim == self.claims.len()
            && self.beside.len() < MOST_CLAIMS
            && !anothers
        {
            let head = above.columns[0].map_or("", |head| passages_text(self.passages, head));
            let said = around.column.set.has(Topic::At)
                || around.column.set.has(Topic::Away)
                || head
                    .get(..9)
                    .is_some_and(|head| head.eq_ignore_ascii_case("condition"));
            for measure in measures.iter() {
                if let Some(quantity) = &measure.quantity
                    && (quantity.dimension() == Dimension::Length
                        || said && quantity.dimension() == Dimension::GaugePressure)
                {
                    self.beside.push(Beside {
                        row: (table, row),
                        quantity: quantity.clone(),
                        after: first_claim,
                        said,
                    });
                }
            }
        }
    }

    /// `150 l/min at 3 m, or 185 at 1.5 m`: a bare number that goes on from a figure before it has that one's unit.
    fn go_on(&self, text: &str, tokens: &[Token], measures: &mut [Measure<'_>]) {
        for place in 1..measures.len() {
            let measure = &measures[place];
            let joint = |at: usize| {
                tokens.get(at).is_some_and(|token| {
                    ["or", "and", "oder", "und"]
                        .iter()
                        .any(|word| text[token.range()].eq_ignore_ascii_case(word))
                })
            };
            if measure.quantity.is_some()
                || measure.is_size
                || !measure
                    .tokens
                    .start
                    .checked_sub(1)
                    .is_some_and(|at| joint(at) || tokens[at].kind == Kind::Sign(','))
                || tokens.get(measure.tokens.end).and_then(Token::topic) != Some(Topic::At)
            {
                continue;
            }
            let first = (place.saturating_sub(3)..place).rev().find(|&first| {
                let between = &tokens[measures[first].tokens.end..measure.tokens.start];
                between.iter().all(|token| token.kind != Kind::Stop)
                    && measures[first].dimension().is_some_and(|dimension| {
                        matches!(
                            dimension,
                            Dimension::VolumeFlow
                                | Dimension::AirAmount
                                | Dimension::Power
                                | Dimension::Current
                                | Dimension::SoundLevel
                                | Dimension::WeightedSoundLevel
                        )
                    })
            });
            if let Some(first) = first
                && let Some(quantity) = &measures[first].quantity
            {
                measures[place].quantity = self.memory.quantity(&measure.number, quantity.unit());
            }
        }
    }

    fn attribute(
        &self,
        view: &View<'_>,
        number: usize,
        measure: &Measure<'_>,
    ) -> Option<Attribute> {
        if measure.quantity.is_none() {
            return count(view, measure).or_else(|| {
                (view.tokens.len() == 1 && self.counts_diffusers(number, view.around))
                    .then_some(Attribute::DiffuserCount)
            });
        }
        subject_matter::attribute(view, measure).filter(|&attribute| {
            // `every 0 hours` turns nothing over.
            let lasts = |quantity: &Quantity| quantity.si_low() > 0.0;
            attribute != Attribute::Turnover || measure.quantity.as_ref().is_none_or(lasts)
        })
    }

    /// Whether a cell says how many of its row's thing there are, and that is a diffuser: `Qty | Item`.
    fn counts_diffusers(&self, number: usize, around: &Around) -> bool {
        let Role::Cell { table, row, .. } = self.passages[number].role else {
            return false;
        };
        if around.column.cues & cue::QUANTITY == 0 {
            return false;
        }
        let in_row = |passage: &&Passage| matches!(passage.role, Role::Cell { table: t, row: r, .. } if (t, r) == (table, row));
        let what = self.passages[number + 1..]
            .iter()
            .take(8)
            .take_while(in_row)
            .find(|cell| cell.text.len() > 3 && cell.text.contains(char::is_alphabetic));
        let before = || {
            self.passages[..number]
                .iter()
                .rev()
                .take(8)
                .take_while(in_row)
                .find(|cell| cell.text.len() > 3 && cell.text.contains(char::is_alphabetic))
        };
        what.or_else(before).is_some_and(|cell| {
            let first = cell
                .text
                .split(|c: char| !c.is_alphanumeric())
                .filter_map(vocabulary::topic)
                .find(|topic| {
                    !matches!(
                        topic,
                        Topic::Name | Topic::AtMost | Topic::AtLeast | Topic::About
                    )
                });
            first == Some(Topic::Diffuser) && !cell.text.to_lowercase().contains("spare")
        })
    }

    /// Whether a passage stands under what others say or sell: reviews, offers of other things, a rival's column.
    fn is_anothers(&mut self, number: usize, around: &Around) -> bool {
        if let Role::Cell { table, column, .. } = self.passages[number].role
            && self.tables.is_others(table, column)
        {
            return true;
        }
        if around.column.cues & cue::RIVAL != 0
            || around.column.set.has(Topic::Other)
            || around.row.topics.first() == Some(&Topic::Other)
                && matches!(self.passages[number].role, Role::Cell { .. })
        {
            return true;
        }
        let heading = self.passages[number].under;
        if self.aside.0 != heading {
            self.aside = (heading, self.is_under_aside(heading));
        }
        self.aside.1
    }

    fn is_under_aside(&self, mut heading: Option<u32>) -> bool {
        // Headings nest six deep.
        for _ in 0..6 {
            let Some(above) = heading else {
                return false;
            };
            if is_aside(&self.passages[above as usize].text) {
                return true;
            }
            heading = self.passages[above as usize].under;
        }
        false
    }

    fn claim(
        &self,
        view: &View<'_>,
        number: usize,
        measure: &Measure<'_>,
        attribute: Attribute,
    ) -> Claim {
        let passage = &self.passages[number];
        let (mut comparator, start, end) = conditions::comparator(view, measure);
        // What a head says of the figures under it, it says of no sentence.
        const SHORT: usize = 60;
        let short = view.text.len() <= SHORT;
        if comparator == Comparator::Exact
            && short
            && view.around.head(Topic::AtMost)
            && !matches!(attribute, Attribute::Warranty | Attribute::Price)
        {
            comparator = Comparator::AtMost;
        }
        if comparator == Comparator::Exact
            && short
            && view.around.head(Topic::AtLeast)
            && !view.around.head(Topic::AtMost)
        {
            comparator = Comparator::AtLeast;
        }
        if comparator == Comparator::Exact && short && view.around.head(Topic::About) {
            comparator = Comparator::About;
        }
        // `a claim under the 30-month warranty` bounds nothing.
        if attribute == Attribute::Warranty && comparator == Comparator::AtMost {
            let before = view.text[..measure.at.start].trim_end();
            if ["under the", "under a", "under our", "within the", "within"]
                .iter()
                .any(|words| before.to_lowercase().ends_with(words))
            {
                comparator = Comparator::Exact;
            }
        }
        let near = view.near(measure);
        let quantity = measure.quantity.clone();
        let si = si(view, measure, attribute);
        let mut place = measure.at.clone();
        if attribute == Attribute::Turnover
            && quantity.is_none()
            && let Some((_, after)) = period_after(view, measure)
        {
            place.end = after;
        }
        let at = passage.source(place.clone());
        let money = quantity
            .as_ref()
            .and_then(|quantity| quantity.unit().currency());
        let end = end.max(place.end);
        Claim {
            at,
            page: passage.page,
            text: view
                .text
                .get(start.min(measure.at.start)..end)
                .unwrap_or("")
                .to_owned(),
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
                && (view.sentence_has(measure.tokens.start, Topic::Winter)
                    || view.around.head(Topic::Winter)),
            is_outside: attribute == Attribute::AirlineSize
                && (near
                    .iter()
                    .find(|one| matches!(one.topic, Topic::Bore | Topic::Outside))
                    .is_some_and(|one| one.topic == Topic::Outside)
                    || (view.around.head(Topic::Outside) && !view.around.head(Topic::Bore))),
            quantity,
            passage: number,
            place,
        }
    }

    /// The second figures of dual listings are put to the first.
    fn duals(
        &mut self,
        view: &View<'_>,
        number: usize,
        measures: &[Measure<'_>],
        readings: &[Reading],
    ) {
        for place in 1..measures.len() {
            let Some(first) = readings[place].also_of else {
                continue;
            };
            let measure = &measures[place];
            let Some(claim) = readings[first]
                .claim
                .and_then(|claim| self.claims.get_mut(claim))
            else {
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
        // What stands behind its figure comes before what stands in front of it.
        let turns = (0..measures.len())
            .map(|place| (place, false))
            .chain((0..measures.len()).map(|place| (place, true)));
        for (place, forward) in turns {
            let measure = &measures[place];
            let Some(quantity) = &measure.quantity else {
                continue;
            };
            if readings[place].claim.is_some() || readings[place].also_of.is_some() {
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
            let Some(claim) = readings[target]
                .claim
                .filter(|_| (target > place) == forward)
            else {
                continue;
            };
            self.put(claim, quantity);
            // `1.8 cfm and 75 W at 2 psi` holds for both.
            if target > 0
                && readings[place].is_condition
                && joined(view, measures, target)
                && let Some(other) = readings[target - 1].claim
            {
                self.put(other, quantity);
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
    pub(super) fn put(&mut self, claim: usize, quantity: &Quantity) {
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
    fn of_the_heads(&mut self, number: usize, first_claim: usize, above: &Above) {
        let passage = &self.passages[number];
        if self.claims.len() == first_claim {
            return;
        }
        let mut found: Vec<Quantity> = Vec::new();
        let heads = above.columns.into_iter().chain([above.row, above.beside]);
        for head in heads.flatten() {
            found.extend(self.stated(head).iter().cloned());
        }
        if let Some(row) = above.row
            && let Some(depth) = &self.depth
            && self.passages[row as usize].text.contains("that depth")
        {
            found.push(depth.clone());
        }
        if let Role::Cell { .. } = passage.role
            && self.at_depth.len() < MOST_CLAIMS
            && above.columns.into_iter().flatten().any(|head| {
                let head = self.topics_of(head);
                head.set.has(Topic::At) && head.set.has(Topic::Depth)
            })
        {
            for claim in first_claim..self.claims.len() {
                if takes_condition(self.claims[claim].attribute) {
                    self.at_depth.push(claim);
                }
            }
        }
        if let Role::Cell {
            table, row, column, ..
        } = passage.role
        {
            let key = (table, row);
            let known = self.rows.get(&key).map_or(0, |held| held.len());
            let has_head = above.columns[0].is_some() || column == 0;
            // The first cells of a row of figures say under what the others hold.
            if let [claim] = &self.claims[first_claim..]
                && known == column as usize
                && has_head
                && matches!(claim.attribute, Attribute::Pressure | Attribute::Depth)
                && matches!(claim.comparator, Comparator::Exact | Comparator::About)
                && let Some(quantity) = &claim.quantity
                && claim.text.len() + 12 >= passage.text.len()
                && !self.tables.is_head(table, row)
            {
                let held = Held {
                    quantity: quantity.clone(),
                    claim: first_claim,
                    serves: false,
                };
                self.rows.entry(key).or_default().push(held);
            }
            if column > 0
                && let Some(held) = self.rows.get_mut(&key)
            {
                for held in held.iter_mut().filter(|held| held.claim != first_claim) {
                    let fits = self.claims[first_claim..]
                        .iter()
                        .any(|claim| fits(claim.attribute, held.quantity.dimension()));
                    held.serves |= fits;
                    found.extend(fits.then(|| held.quantity.clone()));
                }
            }
        }
        for claim in first_claim..self.claims.len() {
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
                let by_sound = || {
                    measure.dimension() == Some(Dimension::Length)
                        && tokens
                            .iter()
                            .any(|token| token.topic() == Some(Topic::Sound))
                };
                if let Some(quantity) = &measure.quantity
                    && (by_sound() || bare || is_condition(&view, measure) || text.contains('('))
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

    /// A table that names one thing in several rows gives a curve of it: its depths or pressures are what the other
    /// figures of their rows hold under.
    fn of_the_curves(&mut self) {
        let passages = self.passages;
        // By table and column: the claims, if all are exact and of one attribute that may be a condition.
        let mut columns: HashMap<(u32, u32), Vec<(usize, u32)>, fnv::FnvBuildHasher> =
            HashMap::default();
        for (number, claim) in self.claims.iter().enumerate() {
            let Role::Cell {
                table, row, column, ..
            } = passages[claim.passage].role
            else {
                continue;
            };
            let alone = claim.place.len() + 4 >= passages[claim.passage].text.len();
            if column > 0
                && alone
                && claim.comparator == Comparator::Exact
                && matches!(claim.attribute, Attribute::Depth | Attribute::Pressure)
                && self.tables.above(table, row, column)[0].is_some()
            {
                columns
                    .entry((table, column))
                    .or_default()
                    .push((number, row));
            }
        }
        let mut served: Vec<usize> = Vec::new();
        for ((table, column), claims) in columns {
            let name = |row: u32| {
                self.tables
                    .first(table, row)
                    .map(|first| passages[first as usize].text.as_str())
            };
            // Each name stands in more rows than one.
            let repeats = claims.len() > 1
                && claims.iter().all(|&(number, row)| {
                    name(row).is_some()
                        && claims
                            .iter()
                            .any(|&(other, at)| other != number && name(at) == name(row))
                });
            if !repeats {
                continue;
            }
            for &(number, row) in &claims {
                let Some(quantity) = self.claims[number].quantity.clone() else {
                    continue;
                };
                let mut any = false;
                for claim in number + 1..self.claims.len() {
                    let same = matches!(passages[self.claims[claim].passage].role, Role::Cell { table: t, row: r, column: c, .. } if t == table && r == row && c > column);
                    if !same {
                        break;
                    }
                    if fits(self.claims[claim].attribute, quantity.dimension()) {
                        self.put(claim, &quantity);
                        any = true;
                    }
                }
                if any {
                    served.push(number);
                }
            }
        }
        if !served.is_empty() {
            served.sort_unstable();
            let mut number = 0;
            self.claims.retain(|_| {
                number += 1;
                served.binary_search(&(number - 1)).is_err()
            });
        }
    }

    /// Gives the claims of a row what other cells of it say of them.
    fn of_the_row(&mut self) {
        if self.at_depth.is_empty() && self.beside.is_empty() {
            return;
        }
        let passages = self.passages;
        let row_of = |claim: &Claim| match passages[claim.passage].role {
            Role::Cell { table, row, .. } => Some((table, row)),
            _ => None,
        };
        let mut depths: HashMap<(u32, u32), Quantity, fnv::FnvBuildHasher> = HashMap::default();
        let mut sounds: HashMap<(u32, u32), usize, fnv::FnvBuildHasher> = HashMap::default();
        for (number, claim) in self.claims.iter().enumerate() {
            let Some(row) = row_of(claim) else { continue };
            match (claim.attribute, &claim.quantity) {
                (Attribute::Depth, Some(depth)) => {
                    depths.entry(row).or_insert_with(|| depth.clone());
                }
                (Attribute::Sound, _) => {
                    sounds.entry(row).or_insert(number);
                }
                _ => {}
            }
        }
        for claim in std::mem::take(&mut self.at_depth) {
            let depth = self
                .claims
                .get(claim)
                .and_then(row_of)
                .and_then(|row| depths.get(&row));
            if let Some(depth) = depth {
                self.put(claim, depth);
            }
        }
        for beside in std::mem::take(&mut self.beside) {
            // What a column says is a condition belongs to the claim before it; else only a distance is told.
            let before = self.claims[..beside.after.min(self.claims.len())]
                .iter()
                .enumerate()
                .rev()
                .take_while(|(_, claim)| row_of(claim) == Some(beside.row))
                .find(|(_, claim)| fits(claim.attribute, beside.quantity.dimension()))
                .map(|(number, _)| number)
                .filter(|_| beside.said);
            let sound = sounds
                .get(&beside.row)
                .copied()
                .filter(|_| beside.quantity.dimension() == Dimension::Length);
            if let Some(claim) = before.or(sound) {
                self.put(claim, &beside.quantity);
            }
        }
    }

    fn finish(mut self) -> Found {
        self.of_the_row();
        self.of_the_notes();
        // A first cell that served as the condition of its row's figures is no claim of its own.
        let mut served: Vec<usize> = self
            .rows
            .values()
            .flatten()
            .filter(|held| held.serves)
            .map(|held| held.claim)
            .collect();
        if !served.is_empty() {
            served.sort_unstable();
            let mut number = 0;
            self.claims.retain(|_| {
                number += 1;
                served.binary_search(&(number - 1)).is_err()
            });
        }
        self.of_the_curves();
        let passages = self.passages;
        // `2 x 25 m` counts diffusers where nothing else does.
        if !self
            .claims
            .iter()
            .any(|claim| claim.attribute == Attribute::DiffuserCount)
        {
            let counted = std::mem::take(&mut self.counted);
            let mut whole = Vec::with_capacity(self.claims.len() + counted.len());
            let mut counted = counted.into_iter().peekable();
            for claim in std::mem::take(&mut self.claims) {
                while let Some(count) = counted.next_if(|count| {
                    (count.passage, count.place.start) < (claim.passage, claim.place.start)
                }) {
                    whole.push(count);
                }
                whole.push(claim);
            }
            self.claims = whole;
        }
        for claim in &mut self.claims {
            if claim.attribute == Attribute::Cost && claim.si != Si::None {
                let same = |tariff: &&Quantity| {
                    claim.currency.is_none() || tariff.unit().currency() == claim.currency
                };
                if claim.condition.tariff.is_none() {
                    claim.condition.tariff = self.tariff.as_ref().filter(same).cloned();
                }
                if claim.condition.hours_per_day.is_none() {
                    claim.condition.hours_per_day = self.hours;
                }
            }
        }
        pair_columns(&mut self.claims, passages);
        Found {
            claims: self.claims,
            cut: self.cut,
        }
    }
}

fn passages_text(passages: &[Passage], number: u32) -> &str {
    passages
        .get(number as usize)
        .map_or("", |passage| passage.text.as_str())
}

/// Whether a cell begins with a figure: of a curve, the condition of its row.
fn is_figure(text: &str) -> bool {
    text.starts_with(|c: char| c.is_ascii_digit() || numeral::vulgar(c).is_some())
        && text.contains(char::is_alphabetic)
}

/// Whether a passage is what somebody else than the seller says in a conversation: `visitor: is it loud`.
fn is_strangers(text: &str) -> bool {
    const LONGEST: usize = 14;
    let Some(end) = text.bytes().take(LONGEST).position(|byte| byte == b':') else {
        return false;
    };
    let name = text[..end].trim();
    [
        "visitor",
        "customer",
        "client",
        "caller",
        "user",
        "guest",
        "buyer",
        "asker",
        "kunde",
        "klant",
        "man",
        "woman",
        "husband",
        "wife",
        "neighbour",
        "neighbor",
        "q",
        "you",
    ]
    .iter()
    .any(|known| name.eq_ignore_ascii_case(known))
}

/// Whether a passage says at its beginning that it is about other things: `People also read: …`.
fn begins_aside(text: &str) -> bool {
    const LONGEST: usize = 40;
    let end = text
        .char_indices()
        .take(LONGEST)
        .find(|&(_, c)| c == ':')
        .map(|(at, _)| at);
    end.is_some_and(|end| is_aside(&text[..end]))
}

/// Whether a heading stands over what isn't about the thing that the page sells.
fn is_aside(heading: &str) -> bool {
    const LONGEST: usize = 60;
    if heading.len() > LONGEST {
        return false;
    }
    let small = heading.to_lowercase();
    // `Too big for it?`: what it doesn't do.
    if small.starts_with("too ") && small.ends_with('?') && !small.contains("small") {
        return true;
    }
    [
        "also like",
        "also looked",
        "also read",
        "also this week",
        "also on offer",
        "elsewhere in the shop",
        "other listings",
        "also bought",
        "also viewed",
        "also interest",
        "bought together",
        "goes well with",
        "related",
        "recently viewed",
        "recommended for you",
        "more from",
        "other products",
        "similar products",
        "review",
        "testimonial",
        "customers say",
        "what people say",
        "kundenmeinung",
        "bewertung",
        "kunden kauften",
        "auch gekauft",
        "ähnliche artikel",
        "klantbeoordeling",
        "avis clients",
        "your cart",
        "your basket",
        "shipping",
        "delivery",
        "versand",
        "returns",
        "livraison",
        "verzending",
    ]
    .iter()
    .any(|words| small.contains(words))
}

/// The figure that the one at `place` lists in another unit: the one before it, or before the condition that
/// stands between.
fn also_of(
    text: &str,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let before = place.checked_sub(1)?;
    if readings[before].attribute.is_some()
        && readings[before].also_of.is_none()
        && is_dual(
            text,
            &measures[before],
            &measures[place],
            measures[before].at.end,
        )
    {
        return Some(before);
    }
    // `1.8 cfm at 2 psi (51 L/min)`
    let first = before.checked_sub(1)?;
    let behind = text
        .get(measures[before].at.end..measures[place].at.start)?
        .trim_start();
    (readings[before].is_condition
        && readings[first].attribute.is_some()
        && behind.starts_with(['(', '/', '[', '='])
        && is_dual(
            text,
            &measures[first],
            &measures[place],
            measures[before].at.end,
        ))
    .then_some(first)
}

/// The figure of the sentence that one joined by `or` or `and` goes on from: of the same unit, and an airline's
/// length or a depth.
fn goes_on_from(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let measure = &measures[place];
    let unit = measure.quantity.as_ref()?.unit();
    // `never deeper than 3.2 m, nor in less than 1.2 m`
    let nor = measures[place - 1].tokens.end..measure.tokens.start;
    let nor = nor.len() <= 6 && nor.clone().any(|at| &*view.word(at) == "nor");
    let joint = match view.preposition(measure) {
        _ if nor => std::borrow::Cow::Borrowed("or"),
        joint => joint,
    };
    if !matches!(&*joint, "or" | "and" | "oder" | "und")
        || measure.is_size
        || (readings[place].attribute.is_some() && !matches!(&*joint, "or" | "oder"))
    {
        return None;
    }
    let sentence = view.sentence(measure.tokens.start);
    (place.saturating_sub(3)..place).rev().find(|&first| {
        sentence.contains(&measures[first].tokens.start)
            && matches!(
                readings[first].attribute,
                Some(Attribute::AirlineLength | Attribute::Depth)
            )
            && readings[place]
                .attribute
                .is_none_or(|own| Some(own) == readings[first].attribute)
            && measures[first]
                .quantity
                .as_ref()
                .is_some_and(|quantity| quantity.unit() == unit)
    })
}

/// Two columns of one quantity, in two units, are one listing of it.
fn pair_columns(claims: &mut Vec<Claim>, passages: &[Passage]) {
    let cell = |claim: &Claim| match passages[claim.passage].role {
        Role::Cell {
            table, row, column, ..
        } => Some((table, row, column)),
        _ => None,
    };
    claims.dedup_by(|second, first| {
        let neighbours = match (cell(first), cell(second)) {
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
                at: second.at.clone(),
                text: std::mem::take(&mut second.text),
                si: second.si,
                quantity: second.quantity.take(),
            });
        }
        dual
    });
}

/// Whether `second` repeats `first` in another unit: `6 ft (1.83 m)`, `6 ft / 1.83 m`.
fn is_dual(text: &str, first: &Measure<'_>, second: &Measure<'_>, from: usize) -> bool {
    let (Some(a), Some(b)) = (&first.quantity, &second.quantity) else {
        return false;
    };
    let same = a.dimension() == b.dimension()
        || (matches!(a.dimension(), Dimension::VolumeFlow | Dimension::AirAmount)
            && matches!(b.dimension(), Dimension::VolumeFlow | Dimension::AirAmount));
    if !same || a.unit() == b.unit() || a.dimension().is_money() {
        return false;
    }
    if second.at.start < from {
        return false;
    }
    let between = text[from..second.at.start].trim();
    let bare = between.to_lowercase();
    let tail = bare
        .trim_start_matches(['(', '[', '/', '|', '=', '≈', '~', ',', '–', '-', ' ', ';'])
        .trim();
    let joins = bare.starts_with(['(', '[', '/', '|', '=', '≈', '–'])
        || bare == "or"
        || bare == ","
        || bare == ", which is"
        || bare == "which is"
        || bare == ", that is"
        || bare == ", i.e."
        || bare == "oder"
        || bare == "bzw."
        || bare.ends_with(['(', '[']) && bare.split_whitespace().count() <= 3;
    let words = tail.trim_end_matches(['(', '[', ' ']);
    let joins_time = a.dimension() != Dimension::Time;
    joins
        && joins_time
        && (words.is_empty()
            || matches!(
                words,
                "deep or"
                    | "long or"
                    | "that is"
                    | "about"
                    | "approx."
                    | "approx"
                    | "approximately"
                    | "or"
                    | "ca."
                    | "i.e."
                    | "roughly"
                    | "around"
                    | "etwa"
                    | "up to"
                    | "deep"
                    | "max"
                    | "max."
                    | "id"
                    | "i.d."
                    | "nominal"
                    | "of air"
                    | "of water"
                    | "air"
                    | "gauge"
                    | "depth"
                    | "which is"
                    | "which makes"
                    | "oder"
            ))
        && plausible_pair(a, b, bare == "," || bare == "or")
}

/// Two listings of one figure are near each other; a size and a length aren't.
fn plausible_pair(a: &Quantity, b: &Quantity, strict: bool) -> bool {
    let (a, b) = (a.si_central(), b.si_central());
    if a == 0.0 || b == 0.0 {
        return a == b;
    }
    let ratio = (a / b).abs();
    if strict {
        (0.9..=1.1).contains(&ratio)
    } else {
        (0.4..=2.5).contains(&ratio)
    }
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
    matches!(
        word,
        "at" | "@" | "bei" | "à" | "against" | "gegen" | "auf" | "op" | "ved" | "tegen" | "bij"
    )
}

/// Introduced by `at`: `@ 10'`, `at a depth of 6 ft`, `at 2 psi`.
pub(super) fn is_condition(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let Some(dimension) = measure.dimension() else {
        return false;
    };
    if !matches!(
        dimension,
        Dimension::Length
            | Dimension::GaugePressure
            | Dimension::AbsolutePressure
            | Dimension::Temperature
            | Dimension::MoneyPerEnergy
    ) {
        return false;
    }
    if measure.period == Some(Period::KilowattHour) {
        return true;
    }
    let before = view.preposition(measure);
    if introduces(&before) {
        // `Hung at 3 ft` says where it lies, `the valve opens at 50 kPa` what it does.
        let opens = || {
            let from = measure.tokens.start.saturating_sub(4);
            (from..measure.tokens.start).any(|at| {
                matches!(
                    &*view.word(at),
                    "opens"
                        | "open"
                        | "lifts"
                        | "pops"
                        | "cracks"
                        | "relieves"
                        | "blows"
                        | "trips"
                        | "öffnet"
                )
            })
        };
        return match dimension {
            Dimension::Length => !is_set(view, measure),
            Dimension::GaugePressure | Dimension::AbsolutePressure => !opens(),
            _ => true,
        };
    }
    if dimension == Dimension::Length
        && matches!(&*view.word(measure.tokens.end), "off" | "away")
        && view.sentence_has_sound(measure.tokens.start)
    {
        return true;
    }
    // `95 litres a minute when the discs are down 2.5 m`
    if dimension == Dimension::Length {
        let from = measure.tokens.start.saturating_sub(8);
        let mut diffuser = false;
        for at in (from..measure.tokens.start).rev() {
            let token = &view.tokens[at];
            if matches!(
                token.kind,
                Kind::Stop | Kind::Figure | Kind::Sign(',' | ';')
            ) {
                break;
            }
            diffuser |= token.topic() == Some(Topic::Diffuser);
            if diffuser && matches!(&*view.word(at), "when" | "with" | "while" | "wenn") && at > 0 {
                let leads = view.measures[..measure.place]
                    .last()
                    .is_some_and(|other| other.tokens.end <= at && at - other.tokens.end <= 2);
                if leads {
                    return true;
                }
                break;
            }
        }
    }
    if dimension == Dimension::Length {
        // `44 dBA (1 m)`, `measured 3 ft away`, `44 dB in 1 m Abstand`.
        let away = view
            .near(measure)
            .iter()
            .any(|one| one.topic == Topic::Away && one.cost <= 3);
        if away && view.sentence_has_sound(measure.tokens.start) {
            return true;
        }
        if near_sound(view, measure)
            && matches!(
                &*before,
                "from" | "in" | "/" | "," | "mesuré" | "dba" | "dbd" | "dba)" | ")" | "db"
            )
        {
            return true;
        }
    }
    // `At 6 ft, …` is seen above; `(2 psi)` behind a flow is a condition too.
    let bracket = measure.tokens.start > 0
        && matches!(
            view.tokens[measure.tokens.start - 1].kind,
            Kind::Sign('(' | '[')
        );
    let closed = view
        .tokens
        .get(measure.tokens.end)
        .is_some_and(|token| matches!(token.kind, Kind::Sign(')' | ']')));
    bracket && closed && matches!(dimension, Dimension::GaugePressure | Dimension::Length)
}

/// Whether a word of setting or hanging stands right before the preposition of a figure.
fn is_set(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let from = measure.tokens.start.saturating_sub(4);
    view.tokens[from..measure.tokens.start]
        .iter()
        .any(|token| token.cues & cue::SETS != 0)
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
pub(super) fn fits(attribute: Attribute, dimension: Dimension) -> bool {
    match dimension {
        Dimension::MoneyPerEnergy => attribute == Attribute::Cost,
        Dimension::GaugePressure | Dimension::AbsolutePressure => {
            matches!(
                attribute,
                Attribute::Flow
                    | Attribute::Power
                    | Attribute::Current
                    | Attribute::Sound
                    | Attribute::WaterFlow
            )
        }
        Dimension::Length => takes_condition(attribute) && attribute != Attribute::Cost,
        Dimension::Temperature => takes_condition(attribute) && attribute != Attribute::Cost,
        _ => false,
    }
}

/// Which figure of the sentence a condition belongs to: the nearest before, else the next.
fn target(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let sentence = view.sentence(measures[place].tokens.start);
    let dimension = measures[place].dimension()?;
    let fit = |other: usize| {
        sentence.contains(&measures[other].tokens.start)
            && readings[other].also_of.is_none()
            && (!readings[other].is_condition
                || matches!(readings[other].attribute, Some(a) if takes_condition(a)))
            && readings[other]
                .attribute
                .is_some_and(|attribute| fits(attribute, dimension))
    };
    let before = (place.saturating_sub(FARTHEST)..place).rev();
    let after = place + 1..measures.len().min(place + FARTHEST);
    before
        .take_while(|&other| measures[other].tokens.start >= sentence.start)
        .find(|&other| fit(other))
        .or_else(|| {
            after
                .take_while(|&other| measures[other].tokens.start < sentence.end)
                .find(|&other| fit(other))
        })
}

fn has_target(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
    attribute: Attribute,
) -> bool {
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
    // `1,200 square metres, with 2 diffusers at 3 metres at the most` bounds both.
    if readings[found].attribute == Some(Attribute::Area)
        && attribute == Attribute::Depth
        && conditions::comparator(view, &measures[place]).0 == Comparator::AtMost
    {
        return false;
    }
    true
}

/// Whether figure `place` is joined to the one before it by `and` or a comma alone.
fn joined(view: &View<'_>, measures: &[Measure<'_>], place: usize) -> bool {
    let between = view.text[measures[place - 1].at.end..measures[place].at.start]
        .trim()
        .to_lowercase();
    matches!(between.as_str(), "and" | "&" | "und" | "et" | "en")
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
    if ["once", "twice", "thrice", "double"]
        .iter()
        .any(|word| view.text[measure.number_at.clone()].eq_ignore_ascii_case(word))
    {
        return None;
    }
    // `The diffusers, three of them`
    let of_them = &*view.word(measure.tokens.end) == "of"
        && &*view.word(measure.tokens.end + 1) == "them"
        && (measure.tokens.start.saturating_sub(4)..measure.tokens.start)
            .any(|at| view.tokens[at].topic() == Some(Topic::Diffuser));
    let of_them = of_them
        || &*view.word(measure.tokens.end) == "of"
            && &*view.word(measure.tokens.end + 1) == "them"
            && view.around.row.set.has(Topic::Diffuser);
    // `Tom's lake has 6 m of water; he runs 9 airstones`
    let theirs = view.has_own_pond(measure.tokens.start)
        || view.facts_tell_of_a_pond() && view.goes_on(measure.tokens.start);
    if theirs || view.sentence_says(measure.tokens.start, &["used to sell", "no longer"]) {
        return None;
    }
    if of_them {
        return Some(Attribute::DiffuserCount);
    }
    // `4 × twin disc`: the first number counts.
    let times = measure.tokens.start.checked_sub(1).is_some_and(|at| {
        matches!(view.tokens[at].kind, Kind::Sign('×' | '*')) || &*view.word(at) == "x"
    });
    if times && measure.tokens.start >= 2 && view.tokens[measure.tokens.start - 2].is_number() {
        return None;
    }
    if !(1.0..=64.0).contains(&value) || value.fract() != 0.0 {
        return None;
    }
    // `the single disc` is one that was spoken of, a `single-disc set` a name.
    if view.text[measure.number_at.clone()].eq_ignore_ascii_case("single")
        && (view.text[measure.number_at.end..].starts_with('-')
            || measure.tokens.start > 0 && &*view.word(measure.tokens.start - 1) == "the")
    {
        return None;
    }
    let first = measure.tokens.start;
    let is_colon = |at: usize| {
        matches!(view.tokens[at].kind, Kind::Sign(':' | '=' | '–' | '—'))
            || at > 0
                && view.tokens[at].kind == Kind::Sign('-')
                && view.tokens[at - 1].kind == Kind::Sign('-')
    };
    if first > 0 && is_colon(first - 1) {
        let label = &view.tokens[first.saturating_sub(6)..first - 1];
        let begins = label
            .iter()
            .rposition(|token| matches!(token.kind, Kind::Stop | Kind::Sign(';' | ',')))
            .map_or(0, |stop| stop + 1);
        let is_label = label[begins..]
            .iter()
            .any(|token| token.topic() == Some(Topic::Diffuser))
            && !label[begins..].iter().any(|token| {
                matches!(
                    token.topic(),
                    Some(Topic::Body | Topic::Bore | Topic::Depth | Topic::Weight | Topic::Fitting)
                )
            });
        let joins = matches!(
            view.tokens.get(measure.tokens.end).map(|token| token.kind),
            Some(Kind::Sign('/' | '.' | '-'))
        );
        if is_label && !joins {
            return Some(Attribute::DiffuserCount);
        }
    }
    let mut at = measure.tokens.end;
    let mut words = 0;
    if view
        .tokens
        .get(at)
        .is_some_and(|token| matches!(token.kind, Kind::Sign('.' | '-')))
        && view.text[measure.at.end..].starts_with('.')
    {
        return None;
    }
    // `(2) diffusers`, `2 x 10 in discs`, `two 9-inch discs`, `2 pcs diffusers`.
    while at < view.tokens.len() && words <= 3 {
        let token = &view.tokens[at];
        match token.kind {
            Kind::Sign('-' | ')' | '×') => at += 1,
            Kind::Sign('x') => at += 1,
            Kind::Spelled("1" | "2") => at += 1,
            Kind::Sign('"' | '”' | '\'') if words > 0 || at > measure.tokens.end => at += 1,
            Kind::Figure => {
                let size = view.measure_at(at)?;
                if size.dimension() != Some(Dimension::Length)
                    && size.dimension() != Some(Dimension::SoundLevel)
                {
                    return None;
                }
                at = size.tokens.end;
                words += 1;
            }
            Kind::Word(topic) | Kind::Mixed(topic) => {
                match topic {
                    Some(Topic::Diffuser) => {
                        let next = view.tokens.get(at + 1);
                        let also_diffuser =
                            next.is_some_and(|next| next.topic() == Some(Topic::Diffuser));
                        let after = if also_diffuser {
                            view.tokens.get(at + 2)
                        } else {
                            next
                        };
                        let other = after.is_some_and(|next| {
                            matches!(
                                next.topic(),
                                Some(Topic::Fitting | Topic::Per | Topic::Body)
                            ) || view.text[next.range()].eq_ignore_ascii_case("manifold")
                        });
                        return (!other).then_some(Attribute::DiffuserCount);
                    }
                    // `Diffusers | 2 tubes`
                    // `four tube diffusers`
                    Some(Topic::Line)
                        if view.tokens.get(at + 1).and_then(Token::topic)
                            == Some(Topic::Diffuser) => {}
                    Some(Topic::Line)
                        if measure.at.start == 0 && view.around.row.set.has(Topic::Diffuser) =>
                    {
                        break;
                    }
                    Some(
                        Topic::Joint
                        | Topic::At
                        | Topic::Per
                        | Topic::Compressor
                        | Topic::Line
                        | Topic::Fitting
                        | Topic::Package
                        | Topic::Fan
                        | Topic::Name
                        | Topic::Cord
                        | Topic::Pond
                        | Topic::Service
                        | Topic::Warranty,
                    ) => return None,
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
    let alone = view.tokens.len() - (measure.tokens.end - measure.tokens.start) <= 1;
    // The head that says what a column holds says it alone.
    let by_column_alone = view.around.column.set.has(Topic::Diffuser);
    let heads = |topic: Topic| {
        if by_column_alone {
            view.around.column.set.has(topic)
        } else {
            view.around.head(topic)
        }
    };
    let other = heads(Topic::Depth)
        || heads(Topic::Fitting)
        || heads(Topic::Line)
        || heads(Topic::Price)
        || heads(Topic::Weight)
        || (heads(Topic::Name) && !view.around.row.set.has(Topic::Diffuser))
        || heads(Topic::Bore)
        || heads(Topic::Air)
        || heads(Topic::Body)
        || heads(Topic::Service);
    let start = view
        .text
        .trim_start()
        .starts_with(&view.text[measure.number_at.clone()]);
    let by_column = view.around.column.set.has(Topic::Diffuser);
    let by_row = view.around.row.set.has(Topic::Diffuser);
    let listed = start && view.text[measure.at.end..].starts_with(',');
    let plain_row = by_row && (alone || listed || start && !view.has(Topic::Body));
    (!other && (plain_row || (by_column && alone))).then_some(Attribute::DiffuserCount)
}

/// `1.5 times a day`, `two turnovers per day`, `Turnover: 1.5 per day`, `moves the whole pond once a day`.
fn turnovers(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    let at = measure.tokens.start;
    let moves = view.sentence_has(at, Topic::Moved)
        && (view.sentence_has(at, Topic::Water) || view.sentence_has(at, Topic::Pond));
    let about =
        view.sentence_has(at, Topic::Turnover) || view.around.head(Topic::Turnover) || moves;
    let serves = view.sentence_has(at, Topic::Service) && !view.sentence_has(at, Topic::Turnover);
    (about && !serves)
        .then(|| period_after(view, measure))
        .flatten()
        .map(|_| Attribute::Turnover)
}

/// Seconds of the period that stands behind a count, and where its words end: `times a day`, `/day`, `daily`.
fn period_after(view: &View<'_>, measure: &Measure<'_>) -> Option<(f64, usize)> {
    let rest = view.text.get(measure.number_at.end..)?;
    let small: String = rest
        .chars()
        .take(56)
        .map(|c| {
            if c.is_whitespace() {
                ' '
            } else {
                c.to_ascii_lowercase()
            }
        })
        .collect();
    let mut tail = small.trim_start();
    for word in [
        "full ",
        "complete ",
        "whole ",
        "times ",
        "time ",
        "times",
        "x ",
        "x",
        "×",
        "turnovers ",
        "turnover ",
        "turns ",
        "mal ",
        "umwälzungen ",
        "fois ",
        "volume turnovers ",
        "pond turnovers ",
        "overturns ",
        "keer ",
        "pond volumes ",
        "volumes ",
        "of the pond ",
        "of the water ",
    ] {
        if let Some(after) = tail.strip_prefix(word) {
            tail = after.trim_start();
        }
    }
    let mut marked = false;
    for mark in [
        "per ", "each ", "every ", "a ", "an ", "/ ", "/", "pro ", "am ", "je ", "in a ", "in ",
        "par ", "al ",
    ] {
        if let Some(after) = tail.strip_prefix(mark) {
            tail = after.trim_start();
            marked = true;
            break;
        }
    }
    let periods: [(&str, f64, bool); 12] = [
        ("daily", 86_400.0, false),
        ("days", 86_400.0, true),
        ("day", 86_400.0, true),
        ("24 hours", 86_400.0, true),
        ("24-hour day", 86_400.0, true),
        ("24 h", 86_400.0, true),
        ("hour", 3600.0, true),
        ("week", 604_800.0, true),
        ("tag", 86_400.0, true),
        ("jour", 86_400.0, true),
        ("dag", 86_400.0, true),
        ("d", 86_400.0, true),
    ];
    periods.iter().find_map(|&(word, seconds, needs_mark)| {
        let after = tail.strip_prefix(word)?;
        let ends = !after.starts_with(char::is_alphanumeric);
        (ends && marked == needs_mark).then(|| {
            // Letters keep their length above, but for blanks, so the end is counted in characters.
            let characters = small.chars().count() - after.chars().count();
            let bytes: usize = rest.chars().take(characters).map(char::len_utf8).sum();
            (seconds, measure.number_at.end + bytes)
        })
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
            Some(every) if every.is_range() => {
                Si::Range(1.0 / every.si_high(), 1.0 / every.si_low())
            }
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
                if quantity.is_range() {
                    Si::Range(low, high)
                } else {
                    Si::Value(central)
                }
            }
        },
    }
}

fn subject(view: &View<'_>, attribute: Attribute, near: &[super::view::Near]) -> Subject {
    match attribute {
        Attribute::AirlineSize | Attribute::AirlineLength => return Subject::Airline,
        Attribute::Area
        | Attribute::Depth
        | Attribute::Price
        | Attribute::Turnover
        | Attribute::Volume
        | Attribute::DiffuserCount
        | Attribute::Cost => {
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
        .or_else(|| {
            view.around
                .column
                .topics
                .iter()
                .find_map(|&topic| of(topic))
        })
        .or_else(|| {
            view.around
                .heading
                .topics
                .iter()
                .find_map(|&topic| of(topic))
        })
        .unwrap_or(match attribute {
            Attribute::Voltage
            | Attribute::Frequency
            | Attribute::Current
            | Attribute::Pressure => Subject::Compressor,
            _ => Subject::Package,
        })
}
