//! What is known of a page while its claims are gathered.

use std::rc::Rc;

use hashbrown::HashMap;

use crate::units::{Dimension, Quantity, Unit};

use super::claim::{Attribute, Claim};
use super::layout::Passage;
use super::measure::{Habits, Memory, Period};
use super::tables::{Heads, Tables};
use super::tokens::Token;
use super::view::Head;
use super::vocabulary::Topics;
use super::word::WordMap;

/// Most claims of one sheet. A catalog of thousands of packages has fewer on one page, and each takes about
/// an eighth of a kilobyte.
pub(super) const MOST_CLAIMS: usize = 500_000;

/// How many figures away a condition may stand from what it belongs to.
pub(super) const FARTHEST: usize = 100;

/// How many labels are known by their text; a page with more of them repeats few.
pub(super) const MOST_LABELS: usize = 4096;

/// A page while its claims are gathered, passage by passage.
pub(super) struct Finder<'a> {
    pub(super) passages: &'a [Passage],
    pub(super) habits: Habits,
    pub(super) memory: &'a Memory,
    pub(super) tables: Tables,
    /// No head at all.
    pub(super) none: Rc<Head>,
    /// No condition at all.
    pub(super) nothing: Rc<[Quantity]>,
    /// Memory for the words of a head.
    pub(super) tokens: Vec<Token>,
    /// Memory for the readings of a passage.
    pub(super) readings: Vec<Reading>,
    /// Topics of two heads together, by their passages.
    pub(super) pairs: HashMap<(u32, u32), Rc<Head>, fnv::FnvBuildHasher>,
    /// Topics of the longer heads, by passage.
    pub(super) heads: HashMap<u32, Rc<Head>, fnv::FnvBuildHasher>,
    /// Topics of the short ones, by their text.
    pub(super) labels: WordMap<Option<Rc<Head>>>,
    /// Conditions that heads state, by passage.
    pub(super) states: HashMap<u32, Rc<[Quantity]>, fnv::FnvBuildHasher>,
    /// Units that the longer heads name, by passage.
    pub(super) names: HashMap<u32, Option<Named>, fnv::FnvBuildHasher>,
    /// Units that the short ones name, by their text.
    pub(super) units: WordMap<Option<Option<Named>>>,
    pub(super) claims: Vec<Claim>,
    /// A tariff said anywhere on the page, for costs that have none of their own.
    pub(super) tariff: Option<Quantity>,
    /// Hours each day, likewise.
    pub(super) hours: Option<f64>,
    /// Conditions of a table's rows: what its first cells state.
    pub(super) rows: HashMap<(u32, u32), Vec<Held>, fnv::FnvBuildHasher>,
    /// What the sentence before the table that was looked at last names for its figures.
    pub(super) said: Option<(u32, Vec<(Topics, Unit)>)>,
    /// The one currency that the page shows, once it was looked for.
    pub(super) money: Option<Option<Unit>>,
    /// The depth that was promised last.
    pub(super) depth: Option<Quantity>,
    /// Whether a warranty bore a star that leads to a note.
    pub(super) starred: bool,
    /// The counts of `2 x 25 m`, as claims that stand if no other count does.
    pub(super) counted: Vec<Claim>,
    /// Claims of a cell whose head says that they hold at the depth of their row: `air at depth`.
    pub(super) at_depth: Vec<usize>,
    /// Figures of a row that are no claims by themselves, but perhaps what one of its claims holds under: a
    /// distance in a column of its own, a remark.
    pub(super) beside: Vec<Beside>,
    /// The row whose label was looked for last, whether its column's head tells, and the label.
    pub(super) labelled: Option<((u32, u32, bool), u32)>,
    /// The heading looked at last, and whether what stands under it is about other things.
    pub(super) aside: (Option<u32>, bool),
    /// The passage after which no claims were looked for.
    pub(super) cut: Option<usize>,
}

/// A figure with what it turned out to be.
#[derive(Clone)]
pub(super) struct Reading {
    pub(super) attribute: Option<Attribute>,
    /// Introduced by `at`, so perhaps a condition of another.
    pub(super) is_condition: bool,
    /// The claim made of it, once made.
    pub(super) claim: Option<usize>,
    /// The figure that it lists in another unit.
    pub(super) also_of: Option<usize>,
    /// The figure before it that tells what it is.
    pub(super) like: Option<usize>,
}

/// The passages that head one.
pub(super) struct Above {
    /// Its row's first cell, the term it explains, its caption.
    pub(super) row: Option<u32>,
    /// The cell between that and its own that says more: `Flow | at 4 ft | 2.6 cfm`.
    pub(super) beside: Option<u32>,
    /// The heads of its column, the nearest first.
    pub(super) columns: Heads,
    /// The cell of units of its row.
    pub(super) unit: Option<u32>,
    /// The cell alone in its row that heads the rows below it.
    pub(super) section: Option<u32>,
}

/// What a head names for the bare numbers under it.
#[derive(Clone, Copy)]
pub enum Named {
    /// A unit.
    Unit(Unit),
    /// Money, and what it is paid for.
    Money(Unit, Option<Period>),
    /// Money in a unit that isn't known: no number under it is read.
    Nothing,
}

/// A depth or pressure at the beginning of a table's row.
pub(super) struct Held {
    pub(super) quantity: Quantity,
    /// The claim made of it.
    pub(super) claim: usize,
    /// Whether a figure of the row holds under it, so that it is no claim of its own.
    pub(super) serves: bool,
}

/// A figure in a cell of its own that one of its row's claims holds under.
pub(super) struct Beside {
    pub(super) row: (u32, u32),
    pub(super) quantity: Quantity,
    /// How many claims stood before it.
    pub(super) after: usize,
    /// Whether its column's head says that it is a condition.
    pub(super) said: bool,
}

impl<'a> Finder<'a> {
    /// Of a page of which nothing is known yet.
    pub(super) fn new(passages: &'a [Passage], habits: Habits, memory: &'a Memory) -> Finder<'a> {
        Finder {
            passages,
            habits,
            memory,
            tables: Tables::of(passages),
            none: Rc::default(),
            nothing: Rc::new([]),
            tokens: Vec::new(),
            readings: Vec::new(),
            pairs: HashMap::default(),
            heads: HashMap::default(),
            labels: WordMap::default(),
            states: HashMap::default(),
            names: HashMap::default(),
            units: WordMap::default(),
            // Room for one in every passage costs nothing until it is filled.
            claims: Vec::with_capacity(passages.len().min(MOST_CLAIMS)),
            tariff: None,
            hours: None,
            rows: HashMap::default(),
            said: None,
            money: None,
            depth: None,
            starred: false,
            counted: Vec::new(),
            at_depth: Vec::new(),
            beside: Vec::new(),
            labelled: None,
            aside: (None, false),
            cut: None,
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
}
