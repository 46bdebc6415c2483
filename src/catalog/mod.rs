//! A catalog: the one list of its keys, the typed model, and reading one from the other.
//!
//! A folder's files are read as one catalog; [`gather`] tells which file belongs to which.
//! Reading never fails: what couldn't be understood is a [`CatalogFault`] at its place, and the
//! value is left [`Given::Unreadable`]. No physics is here and no verdict.

mod ends;
mod fault;
pub mod fields;
mod fits;
mod gather;
mod headers;
pub mod mapping;
mod model;
pub mod pond;
mod print;
mod read;
pub mod schema;
mod settings;
mod shape;
mod supplies;
mod visit;

pub use fault::{CatalogFault, FaultKind};
pub use fields::Kind;
pub use gather::{
    File, Gathered, Lowered, beside, borrows, evidence_files, gather, gather_again, is_whole,
    lies_in, sheet_files,
};
pub use model::*;
pub use print::FactPrints;
pub use settings::Settings;
pub use shape::{id_of, is_id};

use std::collections::{HashMap, HashSet};

use crate::text::Span;

/// A level as a catalog writes it; `None` in a [`LevelSetting`] stands for `none`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LevelWord {
    /// `error`
    Error,
    /// `warning`
    Warning,
    /// `note`
    Note,
}

impl LevelWord {
    /// The level of a word of `[level]`: `Some(None)` for `none`.
    pub fn parse(word: &str) -> Option<Option<LevelWord>> {
        match word {
            "error" => Some(Some(LevelWord::Error)),
            "warning" => Some(Some(LevelWord::Warning)),
            "note" => Some(Some(LevelWord::Note)),
            "none" => Some(None),
            _ => None,
        }
    }
}

/// A place where a part is named.
#[derive(Debug, Clone)]
pub struct Mention {
    /// The kinds of thing that may be named there.
    pub kinds: &'static [Kind],
    /// The ID.
    pub id: String,
    /// Where.
    pub at: Span,
    /// In what, as a waiver names it.
    pub on: String,
    /// Whether `{ part, count }` may stand in its place.
    pub is_use: bool,
}

/// Every place where a part is named, in the order of the catalog; found by what is named, and by what names it.
#[derive(Debug, Clone, Default)]
pub struct Mentions {
    all: Vec<Mention>,
    of: HashMap<String, Vec<usize>>,
    within: HashMap<String, Vec<usize>>,
}

impl Mentions {
    /// Adds one behind all others.
    pub fn push(&mut self, mention: Mention) {
        let at = self.all.len();
        self.of.entry(mention.id.clone()).or_default().push(at);
        self.within.entry(mention.on.clone()).or_default().push(at);
        self.all.push(mention);
    }

    /// All of them.
    pub(crate) fn into_all(self) -> Vec<Mention> {
        self.all
    }

    /// Those of the part or package with that ID, of whatever kind.
    pub fn of(&self, id: &str) -> impl Iterator<Item = &Mention> {
        let places = self.of.get(id).map_or(&[][..], |all| all);
        places.iter().map(|&at| &self.all[at])
    }

    /// Those within a part or package, named like `package.a`: an option's stand under its package.
    pub fn within(&self, on: &str) -> impl Iterator<Item = &Mention> {
        let places = self.within.get(on).map_or(&[][..], |all| all);
        places.iter().map(|&at| &self.all[at])
    }
}

impl std::ops::Deref for Mentions {
    type Target = [Mention];

    fn deref(&self) -> &[Mention] {
        &self.all
    }
}

impl<'m> IntoIterator for &'m Mentions {
    type Item = &'m Mention;
    type IntoIter = std::slice::Iter<'m, Mention>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.iter()
    }
}

impl FromIterator<Mention> for Mentions {
    fn from_iter<I: IntoIterator<Item = Mention>>(all: I) -> Mentions {
        let mut mentions = Mentions::default();
        all.into_iter().for_each(|one| mentions.push(one));
        mentions
    }
}

/// One catalog, over all its files.
#[derive(Debug, Clone, Default)]
pub struct Catalog {
    /// Its folder or file, as the report calls it.
    pub name: String,
    /// Its documents, by the run's numbers.
    pub documents: Vec<usize>,
    /// Header of its `[catalog]` table.
    pub header: Option<Span>,
    /// Its title.
    pub title: Option<String>,
    /// Usual currency.
    pub currency: Option<Text>,
    /// Whether every measured fact and claim needs a source.
    pub sources_required: bool,
    /// Version of the rulebook it was checked by.
    pub rulebook: Option<Text>,
    /// The conditions claims are made for.
    pub site: Site,
    /// The basis on which capacities are rated.
    pub rating: RatingEntry,
    /// Ranges in place of built-in ones.
    pub ranges: Vec<RangeEntry>,
    /// Levels of rules.
    pub levels: Vec<LevelSetting>,
    /// Compressors and blowers.
    pub compressors: Parts<Compressor>,
    /// Diffusers.
    pub diffusers: Parts<Diffuser>,
    /// Airlines.
    pub airlines: Parts<Airline>,
    /// Manifolds.
    pub manifolds: Parts<Manifold>,
    /// Fittings.
    pub fittings: Parts<Fitting>,
    /// Check valves.
    pub check_valves: Parts<CheckValve>,
    /// Cabinets.
    pub cabinets: Parts<Cabinet>,
    /// Spare parts.
    pub spares: Parts<Spare>,
    /// Packages.
    pub packages: Parts<Package>,
    /// Spec sheets.
    pub sheets: Vec<SheetEntry>,
    /// Documents that may be cited.
    pub evidence: Parts<EvidenceEntry>,
    /// Findings that are accepted.
    pub waivers: Vec<Waiver>,
    /// Every place where a part is named.
    pub mentions: Mentions,
    /// What is wrong with its entries.
    pub faults: Vec<CatalogFault>,
    /// How many more faults of shape there are than are listed, by document.
    pub unlisted: Vec<(usize, usize)>,
}

impl Catalog {
    /// Leaves out borrowed parts that nothing names: they are another catalog's to judge.
    pub(crate) fn leave_out_unused_borrowed(&mut self) {
        let mut named: HashSet<(Kind, String)> = self
            .mentions
            .iter()
            .flat_map(|mention| mention.kinds.iter().map(|&kind| (kind, mention.id.clone())))
            .collect();
        let own: HashSet<usize> = self.documents.iter().copied().collect();
        // What takes the place of something is named as well, and so on along the line.
        loop {
            let before = named.len();
            for &kind in Kind::PARTS {
                for entry in self.entries(kind) {
                    let next = entry.identity.replaced_by.known();
                    let stays =
                        own.contains(&entry.document) || named.contains(&(kind, entry.id.clone()));
                    named.extend(next.filter(|_| stays).map(|next| (kind, next.text.clone())));
                }
            }
            if named.len() == before {
                break;
            }
        }
        let wanted = |entry: &Entry| {
            own.contains(&entry.document) || named.contains(&(entry.kind, entry.id.clone()))
        };
        self.compressors.retain(|part| wanted(&part.entry));
        self.diffusers.retain(|part| wanted(&part.entry));
        self.airlines.retain(|part| wanted(&part.entry));
        self.manifolds.retain(|part| wanted(&part.entry));
        self.fittings.retain(|part| wanted(&part.entry));
        self.check_valves.retain(|part| wanted(&part.entry));
        self.cabinets.retain(|part| wanted(&part.entry));
        self.spares.retain(|part| wanted(&part.entry));
    }

    /// Whether something of that kind and ID is in it.
    pub fn has(&self, kind: Kind, id: &str) -> bool {
        self.entry(kind, id).is_some()
    }

    /// The entry of that kind and ID.
    pub fn entry(&self, kind: Kind, id: &str) -> Option<&Entry> {
        match kind {
            Kind::Compressor => self.compressors.get(id).map(|p| &p.entry),
            Kind::Diffuser => self.diffusers.get(id).map(|p| &p.entry),
            Kind::Airline => self.airlines.get(id).map(|p| &p.entry),
            Kind::Manifold => self.manifolds.get(id).map(|p| &p.entry),
            Kind::Fitting => self.fittings.get(id).map(|p| &p.entry),
            Kind::CheckValve => self.check_valves.get(id).map(|p| &p.entry),
            Kind::Cabinet => self.cabinets.get(id).map(|p| &p.entry),
            Kind::Spare => self.spares.get(id).map(|p| &p.entry),
            Kind::Package => self.packages.get(id).map(|p| &p.entry),
            Kind::Evidence => self.evidence.get(id).map(|p| &p.entry),
        }
    }

    /// The entries of a kind, in order.
    pub fn entries(&self, kind: Kind) -> Vec<&Entry> {
        match kind {
            Kind::Compressor => self.compressors.iter().map(|p| &p.entry).collect(),
            Kind::Diffuser => self.diffusers.iter().map(|p| &p.entry).collect(),
            Kind::Airline => self.airlines.iter().map(|p| &p.entry).collect(),
            Kind::Manifold => self.manifolds.iter().map(|p| &p.entry).collect(),
            Kind::Fitting => self.fittings.iter().map(|p| &p.entry).collect(),
            Kind::CheckValve => self.check_valves.iter().map(|p| &p.entry).collect(),
            Kind::Cabinet => self.cabinets.iter().map(|p| &p.entry).collect(),
            Kind::Spare => self.spares.iter().map(|p| &p.entry).collect(),
            Kind::Package => self.packages.iter().map(|p| &p.entry).collect(),
            Kind::Evidence => self.evidence.iter().map(|p| &p.entry).collect(),
        }
    }
}

/// The word of `known` that `word` was most likely meant to be, if one is near: as many as a
/// third of its letters may differ, and none of its numbers. `sg-30` is another machine than `sg-60`.
pub fn nearest<'k>(word: &str, known: impl IntoIterator<Item = &'k str>) -> Option<&'k str> {
    let folded = word.to_lowercase().replace('_', "-");
    let most = (word.chars().count() / 3).max(1);
    let known: Vec<&str> = known.into_iter().collect();
    let near = known
        .iter()
        .map(|&k| {
            (
                strsim::damerau_levenshtein(&folded, &k.to_lowercase().replace('_', "-")),
                k,
            )
        })
        .filter(|&(far, k)| far <= most && numbers(word).eq(numbers(k)))
        .min_by_key(|&(far, _)| far)
        .map(|(_, k)| k);
    // `cost` for `running_cost`: a word of one name alone.
    near.or_else(|| {
        let mut holding = known
            .iter()
            .filter(|k| k.split(['_', '-']).any(|part| part == folded));
        holding.next().filter(|_| holding.next().is_none()).copied()
    })
}

/// The numbers in a word.
fn numbers(word: &str) -> impl Iterator<Item = &str> {
    let parts = word.split(|c: char| !c.is_ascii_digit());
    parts.filter(|part| !part.is_empty())
}
