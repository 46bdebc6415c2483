//! A catalog, typed: parts as facts, packages with what is promised of them.
//!
//! A key that isn't there is [`Given::Absent`]; one whose value couldn't be read is
//! [`Given::Unreadable`], and later layers stay silent about it, because the reader has
//! spoken already. Figures keep the digits they were written with and where they stand.

use std::collections::{HashMap, HashSet};
use std::sync::Arc;

use crate::document::ItemId;
use crate::text::Span;
use crate::units::{Dimension, Quantity};

use super::fields::Kind;

/// What stands at a key.
#[derive(Debug, Clone, PartialEq, Default)]
pub enum Given<T> {
    /// The key isn't there.
    #[default]
    Absent,
    /// Something is there, but it couldn't be read; that was reported.
    Unreadable,
    /// The value.
    Known(T),
}

impl<T> Given<T> {
    /// The value, if it is known.
    pub fn known(&self) -> Option<&T> {
        match self {
            Given::Known(value) => Some(value),
            _ => None,
        }
    }

    /// Whether the key isn't there at all.
    pub fn is_absent(&self) -> bool {
        matches!(self, Given::Absent)
    }

    /// Whether something is there, read or not.
    pub fn is_there(&self) -> bool {
        !self.is_absent()
    }
}

impl<T> Given<T> {
    /// What stands here, else what stands at `other`.
    #[must_use]
    pub fn or_else(self, other: Given<T>) -> Given<T> {
        match self {
            Given::Absent => other,
            own => own,
        }
    }
}

impl<T> Given<T> {
    /// The value; `default` if the key isn't there or couldn't be read.
    pub fn or(self, default: T) -> T {
        match self {
            Given::Known(value) => value,
            _ => default,
        }
    }
}

/// Words of the writer and where they stand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text {
    /// The words.
    pub text: String,
    /// Where.
    pub at: Span,
}

/// A named thing and where it is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reference {
    /// Its ID.
    pub id: String,
    /// Where it is named.
    pub at: Span,
}

/// A plain number and where it stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plain<T> {
    /// The number.
    pub value: T,
    /// Where.
    pub at: Span,
}

/// A figure as it is written, with the condition it holds under.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// Value, unit and digits.
    pub quantity: Quantity,
    /// Where the figure stands.
    pub at: Span,
    /// The same figure in other units, as listed beside it.
    pub also: Vec<(Quantity, Span)>,
    /// The condition.
    pub conditions: Conditions,
    /// Where it comes from.
    pub source: Option<Text>,
    /// Whether it is for one diffuser.
    pub per_diffuser: bool,
    /// How a page puts it; a catalog states figures plainly.
    pub put: Put,
}

/// How a figure is put in words.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Put {
    /// As it stands.
    #[default]
    Plainly,
    /// About so much.
    About,
    /// No more than it: `less than 1 USD`.
    AtMost,
    /// No less than it: `at least 3 cfm`.
    AtLeast,
}

impl Figure {
    /// A quantity by itself.
    pub fn bare(quantity: Quantity, at: Span) -> Figure {
        Figure {
            quantity,
            at,
            also: Vec::new(),
            conditions: Conditions::default(),
            source: None,
            per_diffuser: false,
            put: Put::Plainly,
        }
    }

    /// The value in SI: the middle of a range.
    pub fn si(&self) -> f64 {
        self.quantity.si_central()
    }

    /// The lower end in SI.
    pub fn low(&self) -> f64 {
        self.quantity.si_low()
    }

    /// The upper end in SI.
    pub fn high(&self) -> f64 {
        self.quantity.si_high()
    }

    /// What it is a quantity of.
    pub fn dimension(&self) -> Dimension {
        self.quantity.dimension()
    }

    /// As it is written.
    pub fn text(&self) -> &str {
        self.quantity.text()
    }
}

/// The conditions a figure holds under.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Conditions {
    /// At this pressure.
    pub pressure: Option<Box<Figure>>,
    /// With the diffusers at this depth.
    pub depth: Option<Box<Figure>>,
    /// Heard at this distance.
    pub distance: Option<Box<Figure>>,
    /// At this price of electricity.
    pub tariff: Option<Box<Figure>>,
    /// Running so many hours a day.
    pub hours_per_day: Option<f64>,
    /// At this height above the sea.
    pub altitude: Option<Box<Figure>>,
    /// At this temperature.
    pub temperature: Option<Box<Figure>>,
    /// Where the condition stands; absent if there is none.
    pub at: Option<Span>,
    /// Something is stated, but couldn't be read.
    pub unreadable: bool,
}

/// What every entry of a catalog has.
#[derive(Debug, Clone)]
pub struct Entry {
    /// What it is.
    pub kind: Kind,
    /// Its ID.
    pub id: String,
    /// Its header.
    pub header: Span,
    /// Which of the run's documents holds it.
    pub document: usize,
    /// Its table there.
    pub node: ItemId,
    /// Whether something in its table couldn't be read, so that nothing is known to be missing.
    pub damaged: bool,
    /// Name people know it by.
    pub title: Option<String>,
    /// Where its figures come from.
    pub source: Option<Text>,
    /// Numbers that identify it, mass, price.
    pub identity: Identity,
}

impl Entry {
    /// As a waiver names it.
    pub fn on(&self) -> String {
        format!("{}.{}", self.kind.table(), self.id)
    }
}

/// What identifies a part, package or option.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Identity {
    pub sku: Given<Text>,
    pub model: Given<Text>,
    pub gtin: Given<Text>,
    pub status: Given<Text>,
    pub since: Given<Text>,
    pub replaced_by: Given<Text>,
    pub mass: Given<Figure>,
    pub packed_mass: Given<Figure>,
    pub price: Given<Figure>,
    pub warranty: Given<Figure>,
}

/// A point of a curve or of a table of losses.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Pressure.
    pub pressure: Figure,
    /// Flow.
    pub flow: Figure,
    /// Electrical power, on a compressor's curve.
    pub power: Option<Figure>,
}

/// What kind of current a supply gives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Current {
    /// Alternating; above the voltages between one phase and earth it may be three-phase.
    #[default]
    Alternating,
    /// Alternating on three phases, the voltage between two of them.
    ThreePhase,
    /// Direct.
    Direct,
}

impl Current {
    /// The kind that the format calls so.
    pub fn of(word: &str) -> Option<Current> {
        Some(match word {
            "ac" => Current::Alternating,
            "three-phase" => Current::ThreePhase,
            "dc" => Current::Direct,
            _ => return None,
        })
    }
}

/// A compressor on one supply; without watts, amperes and curve the supply by itself.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Supply {
    pub at: Option<Span>,
    pub voltage: Given<Figure>,
    pub frequency: Given<Figure>,
    pub kind: Current,
    pub power: Given<Figure>,
    pub current: Given<Figure>,
    pub curve: Given<Vec<Point>>,
}

/// A small compressor or blower.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Compressor {
    pub entry: Entry,
    pub technology: Given<Text>,
    pub supply: Supply,
    pub variants: Vec<Supply>,
    pub starting_current: Given<Figure>,
    pub rated: Given<Figure>,
    pub open_flow: Given<Figure>,
    pub max_pressure: Given<Figure>,
    pub relief: Given<Figure>,
    pub flow_basis: Given<Text>,
    pub conditions: Conditions,
    pub sound: Given<Figure>,
    pub inlet_filter: Given<Plain<bool>>,
    pub outlet: Given<End>,
    pub plugs: Given<Plain<i64>>,
    pub ambient_limit: Given<Figure>,
    pub lowest_ambient: Given<Figure>,
    pub service: Vec<Service>,
}

/// A part that is replaced from time to time.
#[derive(Debug, Clone)]
pub struct Service {
    /// The spare part.
    pub part: Reference,
    /// How often.
    pub every: Given<Figure>,
    /// What it costs.
    pub price: Given<Figure>,
}

/// What lets the bubbles out.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Diffuser {
    pub entry: Entry,
    pub flow: Given<Figure>,
    pub loss: Given<Vec<Point>>,
    pub bubble: Given<Text>,
    pub check_valve: Given<Plain<bool>>,
    pub volume: Given<Figure>,
    pub source_radius: Given<Figure>,
    pub stand: Given<Figure>,
    pub inlet: Given<End>,
}

/// Tubing that carries the air.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Airline {
    pub entry: Entry,
    pub size: Given<Figure>,
    pub size_means: Given<Text>,
    pub bore: Given<Figure>,
    pub outside: Given<Figure>,
    pub mass_per_length: Given<Figure>,
    pub self_sinking: Given<Plain<bool>>,
    pub max_pressure: Given<Figure>,
    pub max_temperature: Given<Figure>,
    pub roll: Given<Figure>,
    pub price_per_length: Given<Figure>,
}

/// What shares the air out to the lines.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Manifold {
    pub entry: Entry,
    pub outlets: Given<Plain<i64>>,
    pub valve: Given<Text>,
    pub cv: Given<Plain<f64>>,
    pub kv: Given<Plain<f64>>,
    pub loss: Given<Vec<Point>>,
    pub inlet: Given<End>,
    pub outlet: Given<End>,
    pub max_pressure: Given<Figure>,
    pub max_temperature: Given<Figure>,
}

impl Manifold {
    /// Whether each outlet has a valve.
    pub fn has_valves(&self) -> bool {
        self.valve.known().is_some_and(|valve| valve.text != "none")
    }
}

/// What joins two ends.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Fitting {
    pub entry: Entry,
    pub from: Given<End>,
    pub to: Given<End>,
}

/// What lets air through one way.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct CheckValve {
    pub entry: Entry,
    pub opening: Given<Figure>,
    pub cv: Given<Plain<f64>>,
    pub kv: Given<Plain<f64>>,
}

/// The box the compressor stands in.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Cabinet {
    pub entry: Entry,
    pub fan_flow: Given<Figure>,
    pub fan_power: Given<Figure>,
    pub fan_sound: Given<Figure>,
    pub receptacles: Given<Plain<i64>>,
    pub plugs: Given<Plain<i64>>,
    pub sound_reduction: Given<Figure>,
}

/// A spare part.
#[derive(Debug, Clone)]
pub struct Spare {
    /// What every entry has.
    pub entry: Entry,
    /// IDs of the parts it fits.
    pub fits: Vec<Text>,
}

/// How an end joins.
#[derive(Debug, Clone, PartialEq)]
pub struct End {
    /// Nominal size in m.
    pub size: f64,
    /// `barb`, `npt`, `push-in`, …
    pub kind: String,
    /// `male` or `female`, where it matters.
    pub gender: Option<String>,
    /// As written.
    pub text: String,
    /// Where.
    pub at: Span,
}

impl End {
    /// Whether it is a hose barb.
    pub fn is_barb(&self) -> bool {
        self.kind == "barb"
    }
}

/// A part and how many of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Use {
    /// The part.
    pub part: Reference,
    /// How many.
    pub count: u32,
    /// The whole statement.
    pub at: Span,
}

/// Diffusers of a package that lie alike.
#[derive(Debug, Clone)]
pub struct DiffuserUse {
    /// The diffuser.
    pub part: Reference,
    /// How many.
    pub count: u32,
    /// Their own depth.
    pub depth: Given<Figure>,
    /// Their own run of airline.
    pub run: Given<Figure>,
    /// Their own airline.
    pub airline: Given<Reference>,
    /// The whole statement.
    pub at: Span,
}

/// A length of one airline.
#[derive(Debug, Clone)]
pub struct Segment {
    /// The airline.
    pub part: Reference,
    /// Its length.
    pub length: Given<Figure>,
}

/// Runs that are laid alike.
#[derive(Debug, Clone)]
pub struct AirlineUse {
    /// Lengths in series, from the compressor on.
    pub segments: Vec<Segment>,
    /// Number of runs.
    pub count: u32,
    /// Diffusers on each.
    pub per_run: u32,
    /// The whole statement.
    pub at: Span,
}

/// What the seller tells the buyer to fit.
#[derive(Debug, Clone)]
pub struct Allow {
    /// Nominal bore.
    pub size: Given<Figure>,
    /// Longest run for each diffuser.
    pub up_to: Given<Figure>,
    /// The whole statement.
    pub at: Span,
}

/// One way to buy a package.
#[derive(Debug, Clone)]
pub struct PackageOption {
    /// Its ID; empty if it has none.
    pub id: String,
    /// Where the ID stands, else the header.
    pub at: Span,
    /// Its header.
    pub header: Span,
    /// Its table.
    pub node: ItemId,
    /// The runs supplied.
    pub airline: Given<Vec<AirlineUse>>,
    /// Airline from the compressor to the manifold.
    pub trunk: Given<AirlineUse>,
    /// What the buyer may fit.
    pub allows: Given<Vec<Allow>>,
    /// In place of the package's.
    pub compressor: Given<Vec<Use>>,
    /// In place of the package's.
    pub supply: Given<Supply>,
    /// In place of the package's.
    pub manifold: Given<Use>,
    /// In place of the package's.
    pub cabinet: Given<Use>,
    /// In place of the package's.
    pub fittings: Given<Vec<Reference>>,
    /// Its own numbers.
    pub identity: Identity,
}

/// Metal or hose before the plastic line.
#[derive(Debug, Clone)]
pub struct HotSection {
    /// `metal` or `hose`.
    pub material: Given<Text>,
    /// Its length.
    pub length: Given<Figure>,
}

/// A promise that couldn't be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct UnreadPromise {
    /// Its key.
    pub key: &'static str,
    /// As it is written.
    pub text: String,
    /// Where.
    pub at: Span,
}

/// What is promised of a package. Each promise is one or more rows.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Claims {
    pub at: Option<Span>,
    pub depth: Given<Vec<Figure>>,
    pub area: Given<Vec<Figure>>,
    pub flow: Given<Vec<Figure>>,
    pub power: Given<Vec<Figure>>,
    pub running_cost: Given<Vec<Figure>>,
    pub sound: Given<Vec<Figure>>,
    pub turnover: Given<Vec<Figure>>,
    pub oxygen: Given<Vec<Figure>>,
    pub oxygen_uptake: Given<Vec<Figure>>,
    pub transfer_efficiency: Given<Vec<Figure>>,
    pub volume: Given<Vec<Figure>>,
    pub water_moved: Given<Vec<Figure>>,
    pub winter_opening: Given<Vec<Figure>>,
    pub warranty: Given<Vec<Figure>>,
    pub service_interval: Given<Vec<Figure>>,
    pub packed_mass: Given<Vec<Figure>>,
    pub unread: Vec<UnreadPromise>,
    pub source: Option<Text>,
}

/// What is sold together.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Package {
    pub entry: Entry,
    pub compressor: Given<Vec<Use>>,
    pub supply: Given<Supply>,
    pub diffuser: Given<Vec<DiffuserUse>>,
    pub manifold: Given<Use>,
    pub cabinet: Given<Use>,
    pub fittings: Given<Vec<Reference>>,
    pub check_valves: Given<Vec<Reference>>,
    pub hot_section: Given<HotSection>,
    pub bleed: Given<Figure>,
    pub hours_per_day: Given<Plain<f64>>,
    pub above_water: Given<Plain<bool>>,
    pub claims: Claims,
    pub options: Vec<PackageOption>,
}

impl Package {
    /// Number of diffusers.
    pub fn diffuser_count(&self) -> u32 {
        let uses = self.diffuser.known().map_or(&[][..], |uses| uses);
        uses.iter().map(|one| one.count).sum()
    }
}

/// The things that a document speaks of.
#[derive(Debug, Clone, Default)]
pub struct Covered(HashSet<String>);

impl Covered {
    /// Whether it names none: then it speaks of whatever cites it.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Whether it names a thing, such as `package.a`, or what that belongs to.
    pub fn has(&self, thing: &str) -> bool {
        let ends = thing.match_indices('.').map(|(at, _)| at);
        let mut names = ends.chain([thing.len()]).map(|end| &thing[..end]);
        names.any(|name| self.0.contains(name))
    }
}

impl FromIterator<Text> for Covered {
    fn from_iter<I: IntoIterator<Item = Text>>(things: I) -> Covered {
        Covered(things.into_iter().map(|thing| thing.text).collect())
    }
}

/// Entries of one kind, in the order of the files, found by ID.
#[derive(Debug, Clone)]
pub struct Parts<T> {
    all: Vec<Arc<T>>,
    by_id: HashMap<String, usize>,
}

impl<T> Default for Parts<T> {
    fn default() -> Self {
        Parts {
            all: Vec::new(),
            by_id: HashMap::new(),
        }
    }
}

impl<T> Parts<T> {
    /// Adds `part`; of two with one ID the first counts, and the second is given back.
    pub fn add(&mut self, id: &str, part: T) -> Result<(), (usize, T)> {
        if let Some(&first) = self.by_id.get(id) {
            return Err((first, part));
        }
        self.by_id.insert(id.to_string(), self.all.len());
        self.all.push(Arc::new(part));
        Ok(())
    }

    /// Adds a part that other lists may have too. Of two with one ID the first counts, and is given back.
    pub(super) fn share(&mut self, id: &str, part: &Arc<T>) -> Option<&T> {
        if let Some(&first) = self.by_id.get(id) {
            return self.nth(first);
        }
        self.by_id.insert(id.to_string(), self.all.len());
        self.all.push(part.clone());
        None
    }

    /// The entry of that ID.
    pub fn get(&self, id: &str) -> Option<&T> {
        self.by_id.get(id).map(|&at| &*self.all[at])
    }

    /// The place of that ID in the order.
    pub fn place(&self, id: &str) -> Option<usize> {
        self.by_id.get(id).copied()
    }

    /// The entry at that place in the order.
    pub fn nth(&self, at: usize) -> Option<&T> {
        self.all.get(at).map(Arc::as_ref)
    }

    /// Keeps only those that `keep` wants.
    pub fn retain(&mut self, mut keep: impl FnMut(&T) -> bool) {
        let mut ids: Vec<(String, usize)> = self.by_id.drain().collect();
        ids.sort_by_key(|(_, at)| *at);
        let mut ids = ids.into_iter();
        let mut by_id = HashMap::new();
        let mut kept = 0;
        self.all.retain(|part: &Arc<T>| {
            let id = ids.next();
            let wanted = keep(part);
            if wanted {
                by_id.extend(id.map(|(id, _)| (id, kept)));
                kept += 1;
            }
            wanted
        });
        self.by_id = by_id;
    }

    /// All, in order.
    pub fn iter(&self) -> impl ExactSizeIterator<Item = &T> + DoubleEndedIterator + Clone {
        self.all.iter().map(Arc::as_ref)
    }

    /// Every ID, in order of the entries.
    pub fn ids(&self) -> impl Iterator<Item = &str> {
        let mut ids: Vec<(&str, usize)> = self
            .by_id
            .iter()
            .map(|(id, &at)| (id.as_str(), at))
            .collect();
        ids.sort_by_key(|&(_, at)| at);
        ids.into_iter().map(|(id, _)| id)
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }
}

impl<T: Clone> Parts<T> {
    /// All, in order, to be changed: in this list, and in no other that shares them.
    pub fn iter_mut(&mut self) -> impl Iterator<Item = &mut T> {
        self.all.iter_mut().map(Arc::make_mut)
    }
}

/// The shape of the pond.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Basin {
    /// A flat bottom.
    Flat,
    /// Sloping all the way, rounded.
    #[default]
    Bowl,
    /// Sloping all the way to one point.
    Cone,
}

impl Basin {
    /// As a sentence has it.
    pub fn words(self) -> &'static str {
        match self {
            Basin::Flat => "flat bottom",
            Basin::Bowl => "bowl",
            Basin::Cone => "cone",
        }
    }

    /// Of its word: a bowl unless stated.
    pub fn of(word: Option<&Text>) -> Basin {
        match word.map(|word| word.text.as_str()) {
            Some("flat") => Basin::Flat,
            Some("cone") => Basin::Cone,
            _ => Basin::Bowl,
        }
    }
}

/// The conditions claims are made for.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Site {
    pub altitude: Given<Figure>,
    pub air: Given<Figure>,
    pub water: Given<Figure>,
    pub basin: Given<Text>,
    pub shape: Given<Plain<f64>>,
    pub hours_per_day: Given<Plain<f64>>,
    pub tariff: Given<Figure>,
}

impl Site {
    /// Height above the sea in m: 0 unless stated.
    pub fn altitude_m(&self) -> f64 {
        self.altitude.known().map_or(0.0, Figure::si)
    }

    /// Air temperature in K: 20 degC unless stated.
    pub fn air_k(&self) -> f64 {
        self.air.known().map_or(293.15, Figure::si)
    }

    /// Water temperature in K: 20 degC unless stated.
    pub fn water_k(&self) -> f64 {
        self.water.known().map_or(293.15, Figure::si)
    }

    /// Shape of the pond: a bowl unless stated.
    pub fn basin(&self) -> Basin {
        Basin::of(self.basin.known())
    }
}

/// The basis on which capacities are rated, as far as it is stated.
#[derive(Debug, Clone, Default)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct RatingEntry {
    pub reach_per_depth: Given<Plain<f64>>,
    pub turnovers_per_day: Given<Plain<f64>>,
    pub mixing_air: Given<Figure>,
    pub line_loss: Given<Figure>,
}

/// A range put in place of a built-in one.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct RangeEntry {
    pub name: Text,
    pub low: Given<Plain<f64>>,
    pub central: Given<Plain<f64>>,
    pub high: Given<Plain<f64>>,
    pub source: Given<Text>,
}

/// A level set for a rule, a family, or a rule's undecided claims.
#[derive(Debug, Clone)]
pub struct LevelSetting {
    /// As written.
    pub name: Text,
    /// The level; nothing for `none`.
    pub level: Option<crate::catalog::LevelWord>,
}

/// A spec sheet and the package it speaks of.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct SheetEntry {
    pub file: Given<Text>,
    pub package: Given<Reference>,
    pub kind: Given<Text>,
    pub language: Given<Text>,
    pub market: Given<Text>,
    pub captured: Given<Text>,
    pub url: Given<Text>,
    pub hash: Given<Text>,
    pub at: Span,
    pub document: usize,
}

/// A document that may be cited.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct EvidenceEntry {
    pub entry: Entry,
    pub file: Given<Text>,
    pub kind: Given<Text>,
    pub date: Given<Text>,
    pub covers: Covered,
}

/// A finding that is accepted.
#[derive(Debug, Clone)]
#[allow(missing_docs, reason = "the keys of that name; see the list of fields")]
pub struct Waiver {
    pub rule: Given<Text>,
    pub on: Given<Text>,
    pub value: Given<Text>,
    pub owner: Given<Text>,
    pub reason: Given<Text>,
    pub until: Given<Text>,
    pub at: Span,
    pub document: usize,
}
