//! From the figures of each passage to the claims of the sheet.

use crate::units::{Dimension, Quantity};

use super::asides::{begins_aside, is_aside, is_strangers};
use super::claim::{Also, Attribute, Claim, Comparator, SaidBy, Si, Subject, Sureness, Under};
use super::comparison;
use super::conditions;
use super::counting::{count, period_after};
use super::dual::{also_of, pair_columns};
use super::finder::{Beside, Finder, MOST_CLAIMS, Reading};
use super::holding::{goes_on_from, has_target, is_condition, joined, near_sound, target};
use super::layout::{Passage, Role};
use super::lexicon;
use super::measure::{self, Habits, Measure, Memory, Period};
use super::numeral;
use super::phrases::says;
use super::subject_matter;
use super::sureness::Figure;
use super::tokens::{self, Kind, Token};
use super::unit_words;
use super::view::{Around, Facts, View};
use super::vocabulary::{self, Topic, cue};
use super::word::is_one;

/// Finds the claims of a sheet.
pub fn find(passages: &[Passage], habits: Habits, mixed: bool) -> Found {
    let memory = Memory::default();
    let mut finder = Finder::new(passages, habits, &memory);
    let mut tokens = Vec::new();
    let mut measures = Vec::new();
    let mut facts = Facts::default();
    let mut figures = Vec::new();
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
        measures
            .iter_mut()
            .for_each(|measure| concentration(&passage.text, measure));
        finder.passage(number, &tokens, &mut measures, &mut facts);
        let room = MOST_CLAIMS.saturating_sub(figures.len());
        figures.extend(measures.iter().take(room).filter_map(|measure| {
            Some(Figure {
                passage: number as u32,
                place: measure.at.start as u32..measure.at.end as u32,
                quantity: measure.quantity.clone()?,
            })
        }));
        if finder.claims.len() >= MOST_CLAIMS {
            finder.claims.truncate(MOST_CLAIMS);
            finder.cut = Some(number);
            break;
        }
    }
    finder.finish(figures)
}

/// `30 mg/L` is how much of something water holds, and no mass.
fn concentration(text: &str, measure: &mut Measure<'_>) {
    let after = text.get(measure.at.end..).unwrap_or("");
    let per = after.strip_prefix('/').map_or(0, |rest| {
        let word = rest
            .find(|c: char| !c.is_alphabetic())
            .unwrap_or(rest.len());
        let is_litre = unit_words::whole(&rest[..word])
            .is_some_and(|found| found.unit(false).dimension() == Dimension::Volume);
        if is_litre { 1 + word } else { 0 }
    });
    if per > 0 && measure.dimension() == Some(Dimension::Mass) {
        measure.at.end += per;
        measure.is_size = true;
    }
}

/// What was found of a sheet.
pub struct Found {
    /// Its claims, in the order of the page.
    pub claims: Vec<Claim>,
    /// Its numbers with a unit, claimed or not.
    pub figures: Vec<Figure>,
    /// The passage after which no claims were looked for, as there were too many.
    pub cut: Option<usize>,
}

/// Whether a figure in a column of conditions is one: a depth, distance or pressure.
fn holds_under(measure: &Measure<'_>) -> bool {
    matches!(
        measure.dimension(),
        Some(Dimension::Length | Dimension::GaugePressure)
    )
}

/// Whether an attribute is how large a water is.
fn is_of_water(attribute: Attribute) -> bool {
    matches!(
        attribute,
        Attribute::Area | Attribute::Depth | Attribute::Volume
    )
}

impl Finder<'_> {
    fn passage(
        &mut self,
        number: usize,
        tokens: &[Token],
        measures: &mut [Measure<'_>],
        facts: &mut Facts,
    ) {
        let passage = &self.passages[number];
        let text = passage.text.as_str();
        let may_tell =
            |token: &Token| token.cues & (cue::COMPARES | cue::HOURLY) != 0 || token.is_part();
        if measures.is_empty() && !tokens.iter().any(may_tell) {
            return;
        }
        let (around, above) = self.around(number);
        // A head names units and has none: `Price 2026 (€)`.
        let is_head = matches!(passage.role, Role::Cell { table, row, .. } if self.tables.is_head(table, row));
        if !is_head {
            self.with_named_units(number, measures, tokens, &above);
        }
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
        // `cfm @ 5 psi` in the column of units says under what its row holds.
        let is_unit = matches!(passage.role, Role::Cell { table, column, .. }
            if self.tables.unit_column(table) == Some(column));
        let in_conditions = is_unit
            || above.columns[0]
                .is_some_and(|head| lexicon::heads_conditions(&self.passages[head as usize].text));
        let mut readings = std::mem::take(&mut self.readings);
        readings.clear();
        for (place, measure) in measures.iter().enumerate() {
            let also_of = also_of(text, measures, &readings, place);
            let attribute = if view.is_story()
                && !view.sentence_says(measure.tokens.start, says::PROMISES)
                && matches!(
                    measure.dimension(),
                    Some(
                        Dimension::Length | Dimension::Area | Dimension::Volume | Dimension::Power
                    )
                ) {
                None
            } else if let Some(first) = also_of {
                readings[first].attribute
            } else if anothers
                || view.asks(measure.tokens.start)
                || in_conditions && holds_under(measure)
            {
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
                || matches!(passage.role, Role::Cell { table, row, .. } if self.tables.is_section(table, row))
                || matches!(passage.role, Role::Cell { table, row, column: 0, .. }
                if matches!(self.passages.get(number + 1).map(|next| next.role), Some(Role::Cell { table: t, row: r, .. }) if (t, r) == (table, row))));
        let is_note = self.is_note(number);
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
                .is_some_and(|last| last.place().end > measures[place].at.start)
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
                if claim.condition.per.is_none() && first.condition.per.is_some() {
                    claim.condition.per = first.condition.per;
                }
            }
            // `up to 1 acre and 22 ft`: one bound for both.
            if claim.comparator == Comparator::Exact
                && is_of_water(attribute)
                && let Some(before) = place.checked_sub(1)
                && let Some(first) = readings[before]
                    .claim
                    .and_then(|first| self.claims.get(first))
                && first.comparator == Comparator::AtMost
                && is_of_water(first.attribute)
                && text
                    .get(measures[before].at.end..measures[place].at.start)
                    .is_some_and(|between| lexicon::JOINTS.contains(&between.trim()))
            {
                claim.comparator = Comparator::AtMost;
            }
            self.starred |= attribute == Attribute::Warranty
                && text.get(measures[place].at.end..).is_some_and(|rest| {
                    rest.trim_start().starts_with(['*', '†']) || rest.trim_start().starts_with("(*")
                });
            if attribute == Attribute::Depth && claim.si != Si::None {
                self.depth = claim.quantity.clone();
            }
            if let Some((count, at)) = measures[place].count.as_deref()
                && attribute == Attribute::AirlineLength
                && self.counted.len() < MOST_CLAIMS
            {
                self.counted.push(Claim {
                    at: passage.source(at.clone()),
                    place: at.start as u32..at.end as u32,
                    text: text[at.clone()].into(),
                    attribute: Attribute::DiffuserCount,
                    comparator: Comparator::Exact,
                    si: Si::Value(*count),
                    quantity: None,
                    condition: Under::default(),
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
        self.readings = readings;
        self.of_the_heads(number, first_claim, &above);
        let figures = first_claim..self.claims.len();
        for comparison in comparison::find(&view) {
            let place = tokens[comparison.tokens.start].start as usize
                ..tokens[comparison.tokens.end - 1].end as usize;
            // A figure that was read as a claim itself is none of a comparison's.
            let own = &self.claims[figures.clone()];
            let next = own.partition_point(|claim| claim.place().end <= place.start);
            let taken = own
                .get(next)
                .is_some_and(|claim| claim.place().start < place.end);
            if taken {
                continue;
            }
            self.claims.push(Claim {
                at: passage.source(place.clone()),
                page: passage.page,
                text: text[place.clone()].into(),
                attribute: comparison.attribute,
                comparator: comparison.comparator,
                si: Si::None,
                quantity: None,
                currency: None,
                period: None,
                condition: Under::default(),
                also: None,
                subject: Subject::Package,
                count: None,
                in_winter: false,
                is_outside: false,
                sureness: Sureness::Asserted,
                said_by: SaidBy::Sentence,
                is_limit: false,
                passage: number as u32,
                place: place.start as u32..place.end as u32,
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
            let said = around.column.set.has(Topic::At)
                || around.column.set.has(Topic::Away)
                || in_conditions;
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
                    .is_some_and(|at| joint(at) || matches!(tokens[at].kind, Kind::Sign(',' | '(')))
                || !holds_at(tokens, measure.tokens.end)
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
            // A station may be the whole of it.
            let is_station = ["station", "stations"]
                .iter()
                .any(|word| cell.text.to_lowercase().starts_with(word));
            first == Some(Topic::Diffuser)
                && !is_station
                && !cell.text.to_lowercase().contains("spare")
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
                .into(),
            attribute,
            comparator,
            si,
            currency: money,
            period: measure.period,
            condition: Under::per(conditions::per(view, measure, attribute)),
            also: None,
            subject: subject(view, attribute, near),
            count: measure.count.as_ref().map(|counted| counted.0),
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
            sureness: Sureness::Asserted,
            said_by: SaidBy::Sentence,
            is_limit: false,
            passage: number as u32,
            place: place.start as u32..place.end as u32,
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
            claim.also = Some(Box::new(Also {
                at: self.passages[number].source(measure.at.clone()),
                text: view.text[measure.at.clone()].into(),
                si: si(view, measure, claim.attribute),
                quantity: measure.quantity.clone(),
            }));
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

    fn finish(mut self, figures: Vec<Figure>) -> Found {
        self.of_the_row();
        self.of_the_notes();
        // A first cell that served as the condition of its row's figures is no claim of its own.
        let served: Vec<usize> = self
            .rows
            .values()
            .flatten()
            .filter(|held| held.serves)
            .map(|held| held.claim)
            .collect();
        self.take_out(served);
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
                if claim.condition.tariff.is_none()
                    && let Some(tariff) = self.tariff.as_ref().filter(same)
                {
                    claim.condition.tariff = Some(tariff.clone());
                }
                if claim.condition.hours_per_day.is_none() && self.hours.is_some() {
                    claim.condition.hours_per_day = self.hours;
                }
            }
        }
        pair_columns(&mut self.claims, passages);
        Found {
            claims: self.claims,
            figures,
            cut: self.cut,
        }
    }
}

/// Whether a condition follows: `at 3 m`, `with them at 2.4 m`.
fn holds_at(tokens: &[Token], from: usize) -> bool {
    const MOST: usize = 3;
    let is_at = |at: usize| tokens.get(at).and_then(Token::topic) == Some(Topic::At);
    let with = tokens
        .get(from)
        .is_some_and(|token| is_one!(token.word, "with"));
    is_at(from)
        || with
            && (from + 1..=from + MOST)
                .take_while(|&at| tokens.get(at).is_some_and(Token::is_word))
                .any(is_at)
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
