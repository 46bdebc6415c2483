//! What an audit keeps for the next one of nearly the same texts.
//!
//! Everything is kept by what it was made from, and compared, not hashed: a text by its bytes, a tree and its entries by
//! their text, the verdicts on a package and what was said of it by itself by the entries it rests on. What looks at a
//! whole catalog is done again. A place is a part of an entry: what stands elsewhere now is another one.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use crate::catalog::fields::{self, Kind, Shape};
use crate::catalog::{self, Catalog, File, Lowered};
use crate::claims::Verdict;
use crate::document::{self, Document, Item};
use crate::rules::Said;
use crate::spec_sheet::Sheet;
use crate::text::{FileId, Source, Sources};

use super::identity::Keys;
use super::{Input, Options, Outcome, Setting};

/// Audits texts again and again, and does only what changes of them ask for.
///
/// The outcome is that of [`super::audit`]: the texts of a run, their order and what it is told may all change.
#[derive(Debug, Default)]
pub struct Memo {
    /// Whether anything is kept after a run.
    keeps: bool,
    pub(super) texts: Texts,
    pub(super) lowered: Lowered,
    /// Where the keys of documents stand, by their numbers.
    pub(super) keys: HashMap<usize, Keys>,
    /// What was judged of each catalog, by its name.
    pub(super) judged: HashMap<String, Judged>,
    /// Sheets as they were read, by the name and the hash of their file.
    pub(super) sheets: HashMap<(String, String), Sheet>,
    levels: Vec<Setting>,
    outcome: Option<Outcome>,
}

impl Memo {
    /// Keeps what the next run may need.
    pub fn new() -> Memo {
        Memo {
            keeps: true,
            ..Memo::default()
        }
    }

    /// Audits all catalogs among the texts.
    pub fn audit(&mut self, inputs: Vec<Input>, options: &Options) -> &Outcome {
        // After a panic in a run nothing that it left behind is trusted.
        let mut memo = std::mem::replace(self, Memo::new());
        let outcome = super::run(inputs, options, &mut memo);
        *self = memo;
        self.outcome.insert(outcome)
    }

    /// The outcome of the last run.
    pub fn outcome(&self) -> Option<&Outcome> {
        self.outcome.as_ref()
    }

    /// The trees of the last run's catalogs, by the numbers of their texts.
    pub fn documents(&self) -> &[Document] {
        &self.texts.documents
    }

    /// The catalogs of the last run, read and not judged.
    pub fn catalogs(&mut self) -> Vec<Catalog> {
        let texts = &self.texts;
        catalog::gather_again(&texts.files, &texts.documents, &mut self.lowered).catalogs
    }

    pub(super) fn keeps(&self) -> bool {
        self.keeps
    }

    /// Makes ready for a run: takes in what the last one left.
    pub(super) fn begin(&mut self, options: &Options) -> HashMap<String, Own> {
        if self.levels != options.levels {
            self.levels.clone_from(&options.levels);
            self.judged.clear();
        }
        let Some(last) = self.outcome.take() else {
            return HashMap::new();
        };
        let mut verdicts = last.verdicts.into_iter();
        let mut all = HashMap::new();
        for catalog in last.catalogs.iter().take_while(|one| !one.is_sheet) {
            let mut own = Own::new();
            for verdict in verdicts.by_ref().take(catalog.verdicts.len()) {
                match own.get_mut(&verdict.package) {
                    Some(all) => all.push(verdict),
                    None => {
                        own.insert(verdict.package.clone(), vec![verdict]);
                    }
                }
            }
            all.insert(catalog.name.clone(), own);
        }
        all
    }
}

/// The verdicts of a catalog by package; one without promises has none.
pub(super) type Own = HashMap<String, Vec<Verdict>>;

/// What was judged of a catalog.
#[derive(Debug, Default)]
pub(super) struct Judged {
    documents: Vec<usize>,
    packages: HashSet<String>,
    said: Said,
}

/// The texts of catalogs, by number, with their trees.
#[derive(Debug, Default)]
pub(super) struct Texts {
    files: Vec<File>,
    sources: Vec<Arc<Source>>,
    pub documents: Vec<Document>,
}

/// What changed between two runs.
pub(super) enum Changes {
    /// Other files, or the first run.
    All,
    /// These texts, with the trees they had.
    These(Vec<(usize, Document)>),
}

impl Texts {
    /// Takes in the texts of a run's catalogs.
    pub fn take_in(&mut self, inputs: Vec<Input>, sources: &mut Sources) -> Changes {
        use rayon::prelude::*;
        let files: Vec<File> = inputs
            .iter()
            .map(|input| File {
                path: input.path.clone(),
                alone: input.alone,
                borrowed: input.borrowed,
            })
            .collect();
        let before = std::mem::take(self);
        let same = before.files == files;
        let mut old = if same { before.sources } else { Vec::new() }.into_iter();
        let mut changed: Vec<usize> = Vec::new();
        for (number, input) in inputs.into_iter().enumerate() {
            let is_same = |old: &Arc<Source>| {
                old.fault().is_none() && old.text().as_bytes() == input.bytes.as_slice()
            };
            let source = old.next().filter(is_same).unwrap_or_else(|| {
                changed.push(number);
                Arc::new(Source::new(input.path, input.bytes))
            });
            sources.share(source.clone());
            self.sources.push(source);
        }
        let read: Vec<Document> = changed
            .par_iter()
            .map(|&number| document::read(id(number), &self.sources[number]))
            .collect();
        self.files = files;
        if !same {
            self.documents = read;
            return Changes::All;
        }
        self.documents = before.documents;
        let changed = changed.into_iter().zip(read);
        let changed = changed.map(|(number, document)| {
            let before = std::mem::replace(&mut self.documents[number], document);
            (number, before)
        });
        Changes::These(changed.collect())
    }

    pub fn files(&self) -> &[File] {
        &self.files
    }
}

fn id(number: usize) -> FileId {
    FileId(u32::try_from(number).unwrap_or(u32::MAX))
}

impl Judged {
    /// What stands of the last run: the packages of `catalog` for which nothing changed that they rest on.
    pub fn standing<'c>(
        &self,
        catalog: &'c Catalog,
        documents: &[Document],
        changes: &Changes,
    ) -> HashSet<&'c str> {
        let Changes::These(changed) = changes else {
            return HashSet::new();
        };
        if self.documents != catalog.documents {
            return HashSet::new();
        }
        let mut touched: BTreeSet<(Kind, String)> = BTreeSet::new();
        for (number, before) in changed {
            if !differences(before, &documents[*number], &mut touched) {
                return HashSet::new();
            }
        }
        let touched = with_users(catalog, touched);
        let ids = catalog.packages.iter().map(|one| one.entry.id.as_str());
        let stands = |id: &&str| {
            self.packages.contains(*id) && !touched.contains(&(Kind::Package, (*id).to_string()))
        };
        ids.filter(stands).collect()
    }

    /// Of a run that begins, with what of `before` stands.
    pub fn of(catalog: &Catalog, before: Judged, standing: &HashSet<&str>) -> Judged {
        let ids = || catalog.packages.iter().map(|one| one.entry.id.as_str());
        Judged {
            documents: catalog.documents.clone(),
            packages: ids().map(str::to_string).collect(),
            said: Said::of(ids(), before.said, |id| standing.contains(id)),
        }
    }

    pub fn said(&self) -> &Said {
        &self.said
    }
}

/// Adds the entries that differ between two states of a text, also by where they stand. Nothing can be said where
/// what differs counts for a whole catalog.
fn differences(
    before: &Document,
    after: &Document,
    touched: &mut BTreeSet<(Kind, String)>,
) -> bool {
    let keys = |document: &Document| -> Vec<String> {
        let entries = document.root().entries();
        entries
            .filter_map(|item| Some(item.key()?.0.to_string()))
            .collect()
    };
    let all: BTreeSet<String> = keys(before).into_iter().chain(keys(after)).collect();
    all.into_iter().all(|key| {
        let (before, after) = (before.root().get(&key), after.root().get(&key));
        let kind = match fields::ROOT.field(&key).map(|field| &field.shape) {
            Some(Shape::ById(kind, _)) if *kind != Kind::Evidence => *kind,
            _ => return same(before, after),
        };
        let ids = [before, after]
            .into_iter()
            .flatten()
            .flat_map(Item::entries);
        let ids: BTreeSet<&str> = ids.filter_map(|item| Some(item.key()?.0)).collect();
        let differs = ids.into_iter().filter(|id| {
            let was = before.and_then(|table| table.get(id));
            !same(was, after.and_then(|table| table.get(id)))
        });
        touched.extend(differs.map(|id| (kind, id.to_string())));
        true
    })
}

/// Whether two items say the same at the same place.
fn same(before: Option<Item>, after: Option<Item>) -> bool {
    let (before, after) = match (before, after) {
        (Some(before), Some(after)) => (before, after),
        (None, None) => return true,
        _ => return false,
    };
    let within = |item: Item<'_>| item.entries().count() + item.items().count();
    let inner = |item| Item::entries(item).chain(Item::items(item));
    before.id() == after.id()
        && before.kind() == after.kind()
        && before.key() == after.key()
        && before.span() == after.span()
        && before.damaged() == after.damaged()
        && before.header_span() == after.header_span()
        && before.written() == after.written()
        && within(before) == within(after)
        && inner(before)
            .zip(inner(after))
            .all(|(a, b)| same(Some(a), Some(b)))
}

/// The things, and all that name them, themselves or through others.
fn with_users(catalog: &Catalog, things: BTreeSet<(Kind, String)>) -> BTreeSet<(Kind, String)> {
    let mut open: Vec<(Kind, String)> = things.iter().cloned().collect();
    let mut all = things;
    while let Some((kind, id)) = open.pop() {
        let mentions = catalog.mentions.of(&id);
        for mention in mentions.filter(|mention| mention.kinds.contains(&kind)) {
            let Some(user) = thing(&mention.on) else {
                continue;
            };
            if all.insert(user.clone()) {
                open.push(user);
            }
        }
    }
    all
}

/// `package.a.option.b` is in package `a`.
fn thing(on: &str) -> Option<(Kind, String)> {
    let mut parts = on.splitn(3, '.');
    let (table, id) = (parts.next()?, parts.next()?);
    let mut kinds = Kind::PARTS.iter().chain(&[Kind::Package]);
    let kind = kinds.find(|kind| kind.table() == table)?;
    Some((*kind, id.to_string()))
}
