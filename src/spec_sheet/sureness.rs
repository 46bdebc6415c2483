//! How sure it is that a figure is promised of what the page offers; what is promised of nothing, and what isn't read.
//!
//! Every number with a unit comes into exactly one of three lists: the claims, what is read and not judged, and what
//! is seen and not read.

use std::cell::RefCell;
use std::ops::Range;

use compact_str::CompactString;
use hashbrown::hash_map::Entry;
use hashbrown::{HashMap, HashSet};

use crate::units::{Dimension, Quantity};

use super::claim::{Attribute, Claim, Comparator, SaidBy, Sureness};
use super::layout::{Passage, Role};
use super::lexicon;
use super::scope::{Scope, Stretch};
use super::siblings::{Families, Known};
use super::tables;
use super::vocabulary::{self, Topic, cue};

/// A figure that is read and not judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Heard {
    /// Its bytes in the file.
    pub at: Range<usize>,
    /// As it is written.
    pub text: CompactString,
    /// The passage it stands in.
    pub passage: u32,
    /// What it would promise; nothing for what only belongs to another figure.
    pub attribute: Option<Attribute>,
    /// Why it isn't judged.
    pub why: Why,
}

/// Why a figure that is read isn't judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// It isn't said of the offer.
    Scope(Scope),
    /// It is what another figure holds under.
    Condition,
}

impl Why {
    /// What a report says of it.
    pub fn as_str(self) -> &'static str {
        match self {
            Why::Scope(scope) => scope.as_str(),
            Why::Condition => "what another figure holds at",
        }
    }
}

/// A figure that is seen and not read.
#[derive(Debug, Clone, PartialEq)]
pub struct Seen {
    /// Its bytes in the file.
    pub at: Range<usize>,
    /// As it is written.
    pub text: CompactString,
    /// The passage it stands in.
    pub passage: u32,
    /// What it is a quantity of.
    pub dimension: Dimension,
}

/// A number with a unit, while a page is read.
pub(super) struct Figure {
    pub(super) passage: u32,
    pub(super) place: Range<u32>,
    pub(super) quantity: Quantity,
}

/// The language of a page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Language {
    /// One whose words stand in the lexicon, by its place there.
    Known(usize),
    /// Too short to tell.
    Untold,
    /// One whose words stand nowhere.
    Unknown,
}

impl Language {
    fn place(self) -> Option<usize> {
        match self {
            Language::Known(place) => Some(place),
            _ => None,
        }
    }
}

/// The three lists.
pub(super) struct Sorted {
    pub(super) claims: Vec<Claim>,
    pub(super) heard: Vec<Heard>,
    pub(super) seen: Vec<Seen>,
}

impl Sorted {
    /// A figure that isn't said of the offer, in both units that it is written in.
    fn hear(&mut self, claim: &Claim, text: &str, scope: Scope) {
        let mut hear = |at: &Range<usize>, text: &str| {
            self.heard.push(Heard {
                at: at.clone(),
                text: text.into(),
                passage: claim.passage,
                attribute: Some(claim.attribute),
                why: Why::Scope(scope),
            });
        };
        hear(&claim.at, text.get(claim.place()).unwrap_or(""));
        if let Some(also) = &claim.also {
            hear(&also.at, &also.text);
        }
    }
}

/// Heads of the cells of a page.
struct Heads<'a> {
    passages: &'a [Passage],
    rows: HashMap<(u32, u32), u32, fnv::FnvBuildHasher>,
    columns: HashMap<(u32, u32), u32, fnv::FnvBuildHasher>,
    /// Rows whose first cells say that their thing is sold no longer.
    former: HashSet<(u32, u32), fnv::FnvBuildHasher>,
    /// Rows of what isn't to be.
    barred: HashSet<(u32, u32), fnv::FnvBuildHasher>,
    /// Rows of parts and work in lists that sell whole things too.
    parts: HashSet<(u32, u32), fnv::FnvBuildHasher>,
    /// Where a post of a forum begins, and whether it is by somebody who sells.
    posts: Vec<(u32, bool)>,
    /// Of whom a head says that all under it speaks, by its passage.
    scopes: RefCell<HashMap<u32, Option<Scope>, fnv::FnvBuildHasher>>,
    language: Option<usize>,
    families: Families,
}

impl<'a> Heads<'a> {
    fn of(passages: &'a [Passage], language: Language) -> Heads<'a> {
        /// Columns that may name the thing of a row.
        const NAMES: u32 = 3;
        let mut heads = Heads {
            passages,
            rows: HashMap::default(),
            columns: HashMap::default(),
            former: HashSet::default(),
            barred: HashSet::default(),
            parts: parts(passages),
            posts: posts(passages),
            scopes: RefCell::default(),
            language: language.place(),
            families: Families::of(passages),
        };
        // Rows of one label but for its year, `Price 2025`: the latest is what holds.
        let mut years: HashMap<(u32, String), (u32, u32), fnv::FnvBuildHasher> = HashMap::default();
        for (number, passage) in passages.iter().enumerate() {
            if let Role::Cell {
                table, row, column, ..
            } = passage.role
            {
                if column == 0 {
                    heads.rows.insert((table, row), number as u32);
                    if let Some((label, year)) = tables::year_of(&passage.text)
                        && let Some(older) = match years.entry((table, label)) {
                            Entry::Vacant(first) => {
                                first.insert((row, year));
                                None
                            }
                            Entry::Occupied(mut last) if last.get().1 < year => {
                                Some(last.insert((row, year)).0)
                            }
                            Entry::Occupied(last) => (last.get().1 > year).then_some(row),
                        }
                    {
                        heads.former.insert((table, older));
                    }
                }
                if row > 0
                    && column < NAMES
                    && passage.text.contains(' ')
                    && Scope::is_no_longer_sold(&passage.text)
                {
                    heads.former.insert((table, row));
                }
                if row > 0 && column > 0 && lexicon::bars(&passage.text) {
                    heads.barred.insert((table, row));
                }
                if row == 0 {
                    heads.columns.insert((table, column), number as u32);
                }
            }
        }
        heads
    }

    /// What names a passage: the term it explains, the heads of its row and column.
    fn over(&self, number: usize) -> impl Iterator<Item = u32> {
        let passage = &self.passages[number];
        let left = number.checked_sub(1).filter(|left| {
            // What a figure says names none.
            let is_word = self.passages[*left].text.starts_with(char::is_alphabetic);
            let role = |number: usize| match self.passages[number].role {
                Role::Cell { table, row, .. } => Some((table, row)),
                _ => None,
            };
            is_word && role(number).is_some() && role(number) == role(*left)
        });
        let (row, column) = match passage.role {
            Role::Cell {
                table, row, column, ..
            } => (
                self.rows.get(&(table, row)).copied(),
                self.columns.get(&(table, column)).copied(),
            ),
            _ => (None, None),
        };
        [passage.term, row, left.map(|left| left as u32), column]
            .into_iter()
            .flatten()
            .filter(move |head| *head as usize != number)
    }

    /// Whether the page says of the size of a water that it is served: beside it, or in what names it. Of other figures
    /// nothing needs to say so.
    fn says_that_it_serves(&self, claim: &Claim, stretch: &Stretch, language: Language) -> bool {
        let is_depth = claim.attribute == Attribute::Depth;
        let of_water = is_depth || matches!(claim.attribute, Attribute::Area | Attribute::Volume);
        // A cell and a label name what stands in them.
        !of_water
            || claim.said_by != SaidBy::Sentence
            || claim.in_winter
            || stretch.serves(&claim.place(), is_depth)
            || self.over(claim.passage()).any(|head| {
                let text = self.text(head);
                Stretch::of(text, language.place()).serves(&(text.len()..text.len()), false)
            })
    }

    /// Whether what a price stands under, or the name of its row, begins as that of a part or of work does.
    fn names_a_part(&self, number: usize) -> bool {
        /// Columns that may name the thing of a row.
        const NAMES: u32 = 3;
        let row = |one: &Passage| match one.role {
            Role::Cell {
                table, row, column, ..
            } => Some(((table, row), column)),
            _ => None,
        };
        let own = row(&self.passages[number]).map(|(row, _)| row);
        let names = self.passages[..number].iter().rev().map_while(|one| {
            row(one)
                .filter(|(row, _)| own == Some(*row))
                .map(|(_, column)| (column, one.text.as_str()))
        });
        names
            .filter(|(column, _)| *column < NAMES)
            .map(|(_, text)| text)
            .chain(self.over(number).map(|head| self.text(head)))
            .any(lexicon::names_a_part)
    }

    fn text(&self, head: u32) -> &'a str {
        let passage = self.passages.get(head as usize);
        passage.map_or("", |passage| passage.text.as_str())
    }

    /// What the layout says of whom a passage speaks.
    fn scope(&self, number: usize) -> Option<Scope> {
        const DEEPEST: usize = 6;
        if let Role::Cell { table, row, .. } = self.passages[number].role {
            let is = |rows: &HashSet<(u32, u32), fnv::FnvBuildHasher>| rows.contains(&(table, row));
            let told = [
                (&self.former, Scope::Former),
                (&self.parts, Scope::OtherOffer),
                (&self.barred, Scope::Negated),
            ];
            if let Some((_, scope)) = told.into_iter().find(|(rows, _)| is(rows)) {
                return Some(scope);
            }
        }
        let post = self
            .posts
            .partition_point(|(begins, _)| *begins as usize <= number);
        if let Some((_, false)) = post.checked_sub(1).map(|post| self.posts[post]) {
            return Some(Scope::Quoted);
        }
        let mut above = self.passages[number].under;
        let headings = std::iter::from_fn(|| {
            let heading = above?;
            above = self.passages.get(heading as usize)?.under;
            Some(heading)
        });
        // What heads the whole page is no section of it.
        let is_section = |heading: &u32| {
            let passage = self.passages.get(*heading as usize);
            passage.is_some_and(|passage| passage.role != Role::Heading(1))
        };
        // `What should the gauge read?`, and its answer.
        let asked = number.checked_sub(1).filter(|before| {
            const LONGEST: usize = 90;
            let before = &self.passages[*before];
            before.text.len() <= LONGEST && before.text.trim_end().ends_with('?')
        });
        if let Some(asked) = asked
            && super::scope::asks_for_an_offer(self.text(asked as u32))
            && super::scope::denies(&self.passages[number].text).is_some()
        {
            return Some(Scope::Negated);
        }
        if let Some(asked) = asked
            && !matches!(self.passages[number].role, Role::Cell { .. })
            && Scope::of_head(self.text(asked as u32), self.language) == Some(Scope::Reading)
        {
            return Some(Scope::Reading);
        }
        headings
            .take(DEEPEST)
            .filter(is_section)
            .chain(self.over(number))
            .find_map(|head| {
                let mut scopes = self.scopes.borrow_mut();
                *scopes
                    .entry(head)
                    .or_insert_with(|| Scope::of_head(self.text(head), self.language))
            })
    }
}

/// Rows that sell a part or work, in tables that name prices and no quantities and sell whole things too: a list of
/// what may be bought, and not of what one thing is made of. A row of one cell heads those below it.
fn parts(passages: &[Passage]) -> HashSet<(u32, u32), fnv::FnvBuildHasher> {
    let mut found = HashSet::default();
    let mut rows = Vec::new();
    let mut list = List::default();
    let role = |one: &Passage| match one.role {
        Role::Cell { table, row, .. } => Some((table, row)),
        _ => None,
    };
    for cells in passages.chunk_by(|a, b| role(a) == role(b)) {
        let Some((table, row)) = role(&cells[0]) else {
            continue;
        };
        if list.table != table {
            list = List {
                table,
                ..List::default()
            };
            rows.clear();
        }
        if list.holds_a_part(row, cells) {
            rows.push((table, row));
        }
        if list.sells_whole {
            found.extend(rows.drain(..));
        }
    }
    found
}

/// Where the posts of a forum begin, and whether each is by somebody who sells: where one says that he does.
fn posts(passages: &[Passage]) -> Vec<(u32, bool)> {
    let mut found: Vec<(u32, &str, bool)> = Vec::new();
    for (number, passage) in passages.iter().enumerate() {
        if let Some(author) = lexicon::author(&passage.text) {
            let sells = lexicon::says(&passage.text, lexicon::Tag::Vendor);
            found.push((number as u32, author, sells));
        }
    }
    let sellers: HashSet<&str> = found.iter().filter(|one| one.2).map(|one| one.1).collect();
    if sellers.is_empty() {
        return Vec::new();
    }
    let known = found
        .iter()
        .map(|(number, author, _)| (*number, sellers.contains(author)));
    known.collect()
}

/// What is known of a table, row after row.
#[derive(Default)]
struct List {
    table: u32,
    /// Whether its heads have been met.
    sells: bool,
    /// Whether a row isn't of a part, and serves a water.
    sells_whole: bool,
    /// Whether the rows stand under a head of parts.
    under_parts: bool,
}

impl List {
    /// Whether a row sells a part or work.
    fn holds_a_part(&mut self, row: u32, cells: &[Passage]) -> bool {
        /// Rows that may head a list, and columns that may name the thing of a row.
        const HIGHEST: u32 = 8;
        const NAMES: u32 = 3;
        const WORD: usize = 4;
        let first = cells[0].text.as_str();
        let tells = || {
            cells
                .iter()
                .flat_map(|one| one.text.split(|c: char| !c.is_alphanumeric()))
                .any(|word| {
                    let topic = vocabulary::topic(word);
                    topic.is_some_and(|topic| WHOLE.contains(&topic))
                })
        };
        if !self.sells {
            self.sells = row <= HIGHEST && heads_a_list(cells);
            self.sells_whole |= self.sells && tells();
            return false;
        }
        // A head of the rows below it, or a note.
        if cells.len() == 1 {
            self.under_parts = lexicon::heads_parts(first);
            return false;
        }
        let is_name = |one: &&Passage| {
            let column = matches!(one.role, Role::Cell { column, .. } if column < NAMES);
            let is_word =
                |word: &str| word.chars().count() >= WORD && word.chars().all(char::is_alphabetic);
            let mut words = one.text.split(|c: char| !c.is_alphanumeric());
            column && one.text.contains(char::is_lowercase) && words.any(is_word)
        };
        // An article has a number or a name; `1` and `A` count the lines of one offer.
        let is_line = first.chars().count() <= 2;
        let name = cells.iter().find(is_name);
        let is_part = self.under_parts
            || !is_line && name.is_some_and(|name| lexicon::names_a_part(&name.text));
        self.sells_whole |= !is_part && !self.sells_whole && tells();
        is_part
    }
}

/// What only a whole thing serves.
const WHOLE: [Topic; 3] = [Topic::Pond, Topic::Area, Topic::Depth];

/// Whether a row of heads has one over prices, and none over quantities.
fn heads_a_list(cells: &[Passage]) -> bool {
    const FEWEST: usize = 3;
    const LONGEST: usize = 48;
    let is_name = |one: &Passage| {
        one.text.len() <= LONGEST
            && !one
                .text
                .starts_with(|c: char| c.is_ascii_digit() || "€£$".contains(c))
    };
    let mut words = cells
        .iter()
        .flat_map(|one| one.text.split(|c: char| !c.is_alphanumeric()));
    cells.len() >= FEWEST
        && cells.iter().all(is_name)
        && words
            .clone()
            .any(|word| vocabulary::topic(word) == Some(Topic::Price))
        && !words.any(|word| vocabulary::entry(word).cues & cue::QUANTITY != 0)
}

/// Sorts the figures of a page.
pub(super) fn sort(
    passages: &[Passage],
    claims: Vec<Claim>,
    figures: Vec<Figure>,
    language: Language,
) -> Sorted {
    let heads = Heads::of(passages, language);
    let mut sorted = Sorted {
        claims: Vec::with_capacity(claims.len()),
        heard: Vec::new(),
        seen: Vec::new(),
    };
    let conditions: HashSet<String> = claims.iter().flat_map(conditions_of).collect();
    let taken = Taken::of(&claims);
    let struck = struck(passages, &claims);
    let mut stretch: Option<(usize, Stretch, Option<Scope>)> = None;
    let mut known: Option<(usize, Known)> = None;
    // The last service interval, and its end.
    let mut interval = None;
    for mut claim in claims {
        let number = claim.passage();
        let text = passages[number].text.as_str();
        if stretch.as_ref().is_none_or(|(of, ..)| *of != number) {
            stretch = Some((
                number,
                Stretch::of(text, language.place()),
                heads.scope(number),
            ));
        }
        let Some((_, stretch, layout)) = &stretch else {
            continue;
        };
        let (mut scope, hedged) = stretch.scope(&claim);
        let sentence = stretch.sentence(claim.place().start);
        let named = match &mut known {
            Some((of, named)) if (*of, &named.sentence) == (number, &sentence) => named,
            known => {
                let named = heads.families.known(text, sentence);
                &mut known.insert((number, named)).1
            }
        };
        if scope == Scope::Offer && named.is_of_sibling(claim.place().start) {
            scope = Scope::OtherOffer;
        }
        if claim.attribute == Attribute::Price
            && (heads.names_a_part(number) || goes_on_from(&interval, text, &claim))
        {
            scope = Scope::OtherOffer;
        }
        if claim.attribute == Attribute::ServiceInterval {
            interval = Some((claim.passage(), claim.place().end));
        }
        if struck.contains(&claim.at.start) {
            scope = Scope::Former;
        }
        if is_difference(&passages[number], &claim) {
            scope = Scope::Difference;
        }
        claim.said_by = said_by(&passages[number], stretch, &claim);
        if let Some(layout) = layout.filter(|layout| layout.heads(&claim)) {
            scope = layout;
        }
        if scope != Scope::Offer {
            sorted.hear(&claim, text, scope);
            continue;
        }
        let doubtful = hedged || language == Language::Unknown && claim.said_by == SaidBy::Sentence;
        let doubtful = doubtful || !heads.says_that_it_serves(&claim, stretch, language);
        claim.sureness = if doubtful {
            Sureness::Likely
        } else {
            Sureness::Asserted
        };
        claim.is_limit = claim.attribute == Attribute::Pressure
            && !stretch.reads_a_gauge(claim.place().start)
            && (claim.comparator == Comparator::AtMost
                || stretch.is_limit(&claim.place())
                || heads.over(number).any(|head| {
                    let text = heads.text(head);
                    Stretch::of(text, language.place()).is_limit(&(text.len()..text.len()))
                }));
        if claim.attribute == Attribute::Cost
            && claim.quantity.is_some()
            && let Some(hours) = stretch.hours_at(claim.place().start).or_else(|| {
                claim
                    .condition
                    .hours_per_day
                    .is_none()
                    .then(|| stretch.hours(false))?
            })
        {
            claim.condition.hours_per_day = Some(hours);
        }
        sorted.claims.push(claim);
    }
    hours_of_the_page(passages, &mut sorted.claims, language);
    for figure in figures {
        let passage = &passages[figure.passage as usize];
        let place = figure.place.start as usize..figure.place.end as usize;
        let at = passage.source(place.clone());
        if taken.holds(&figure, &at) {
            continue;
        }
        let text: CompactString = passage.text.get(place).unwrap_or("").into();
        if conditions.contains(&figure.quantity.canonical()) {
            sorted.heard.push(Heard {
                at,
                text,
                passage: figure.passage,
                attribute: None,
                why: Why::Condition,
            });
        } else {
            sorted.seen.push(Seen {
                at,
                text,
                passage: figure.passage,
                dimension: figure.quantity.dimension(),
            });
        }
    }
    sorted.heard.sort_by_key(|one| (one.passage, one.at.start));
    sorted
}

/// Where prices stand that nothing but their place tells to be struck: `852 € 749 €`.
fn struck(passages: &[Passage], claims: &[Claim]) -> HashSet<usize> {
    let price = |claim: &Claim| {
        let sum = claim
            .quantity
            .as_ref()
            .filter(|_| claim.attribute == Attribute::Price)?;
        Some(sum.low())
    };
    let pairs = claims.windows(2).filter(|two| {
        let text = passages[two[0].passage()].text.as_str();
        let gap = text.get(two[0].place().end..two[1].place().start);
        two[0].passage == two[1].passage
            && gap.is_some_and(|gap| !gap.is_empty() && gap.trim().is_empty())
            && price(&two[0])
                .zip(price(&two[1]))
                .is_some_and(|(first, second)| first > second)
    });
    pairs.map(|two| two[0].at.start).collect()
}

/// Whether a price stands in the sentence of a service interval: `change the diaphragms every 2 years; the kit costs £38`.
fn goes_on_from(interval: &Option<(usize, usize)>, text: &str, claim: &Claim) -> bool {
    interval.is_some_and(|(passage, end)| {
        let between = text.get(end..claim.place().start);
        passage == claim.passage() && between.is_some_and(|between| !between.contains(". "))
    })
}

/// Gives costs that don't say for how long a machine runs what the rest of the page says.
fn hours_of_the_page(passages: &[Passage], claims: &mut [Claim], language: Language) {
    let without = |claim: &Claim| {
        claim.attribute == Attribute::Cost
            && claim.quantity.is_some()
            && claim.condition.hours_per_day.is_none()
    };
    if !claims.iter().any(without) {
        return;
    }
    let Some(hours) = passages
        .iter()
        .find_map(|passage| Stretch::of(&passage.text, language.place()).hours(true))
    else {
        return;
    };
    for claim in claims.iter_mut().filter(|claim| without(claim)) {
        claim.condition.hours_per_day = Some(hours);
    }
}

/// The conditions of a claim, as the catalog writes them.
fn conditions_of(claim: &Claim) -> Vec<String> {
    let under = &claim.condition;
    let all = [
        &under.pressure,
        &under.depth,
        &under.distance,
        &under.tariff,
        &under.temperature,
    ];
    all.into_iter().flatten().map(Quantity::canonical).collect()
}

/// Whether a cell holds nothing but a figure with its sign, as a column of differences does: `-6`, `+0.5 cfm`.
fn is_difference(passage: &Passage, claim: &Claim) -> bool {
    let before = passage.text.get(..claim.place().start).unwrap_or("");
    // The sign may be read with the figure.
    let figure = passage.text.get(claim.place()).unwrap_or("");
    let signed = |text: &str| text.trim().starts_with(['-', '−', '+', '\u{2011}']);
    matches!(passage.role, Role::Cell { .. })
        && claim.attribute != Attribute::Temperature
        && claim.comparator != Comparator::AtLeast
        && (before.trim().len() <= 3 && signed(before)
            || before.trim().is_empty() && signed(figure))
}

/// What says of a figure that it is promised: of running text the words before a colon, in a sentence as short as a
/// label's.
fn said_by(passage: &Passage, stretch: &Stretch, claim: &Claim) -> SaidBy {
    const LABELLED: usize = 60;
    let sentence = stretch.sentence(claim.place().start);
    let is_label = || {
        let before = passage.text.get(sentence.start..claim.place().start);
        before.is_some_and(|before| before.contains(':'))
    };
    match passage.role {
        Role::Cell { .. } => SaidBy::Cell,
        _ if passage.term.is_some() => SaidBy::Label,
        _ if sentence.len() <= LABELLED && is_label() => SaidBy::Label,
        _ => SaidBy::Sentence,
    }
}

/// Where claims stand.
struct Taken {
    /// By passage and place, in order.
    places: Vec<(u32, u32, u32)>,
    /// The first bytes of second listings, in the file.
    also: HashSet<usize>,
}

impl Taken {
    fn of(claims: &[Claim]) -> Taken {
        let mut places: Vec<(u32, u32, u32)> = claims
            .iter()
            .map(|claim| (claim.passage, claim.place.start, claim.place.end))
            .collect();
        places.sort_unstable();
        Taken {
            places,
            also: claims
                .iter()
                .filter_map(|claim| Some(claim.also.as_ref()?.at.start))
                .collect(),
        }
    }

    fn holds(&self, figure: &Figure, at: &Range<usize>) -> bool {
        if self.also.contains(&at.start) {
            return true;
        }
        // Claims of one passage don't overlap, so only the one that begins last before the figure's end may hold it.
        let next = self.places.partition_point(|&(passage, start, _)| {
            (passage, start) < (figure.passage, figure.place.end)
        });
        self.places[..next]
            .last()
            .is_some_and(|&(passage, _, end)| passage == figure.passage && end > figure.place.start)
    }
}
