//! What a change touches: the parts and packages whose facts differ from an earlier state of the same
//! catalog, and everything that depends on them.
//!
//! Facts are compared, not lines: a comment, a moved line or an entry that went into another file touches
//! nothing. What can't be read can't be compared, so a file with such a place counts as changed where its
//! text is another.

use std::collections::{BTreeMap, HashMap, HashSet};

use rayon::prelude::*;

use crate::catalog::{self, Catalog, Kind};
use crate::document::{self, Document, Item, ItemId};
use crate::finding::Finding;
use crate::text::{FileId, Source, Span};

use super::{Input, take_in};

/// An earlier state of the texts, to audit only what has changed since.
#[derive(Debug, Clone, Default)]
pub struct Since {
    /// What the earlier state is called.
    pub revision: String,
    /// The texts as they were, called by the paths they have now.
    pub before: Vec<Input>,
}

/// That only a part of the catalogs was audited.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Partial {
    /// What the earlier state is called.
    pub since: String,
    /// How many packages the catalogs have in all.
    pub packages: usize,
    /// What changed that all of a catalog depends on, such as `site`; in order.
    pub whole: Vec<&'static str>,
}

/// Keys that judge nothing and are judged by nothing.
const REMARKS: &[&str] = &["notes", "own"];
/// Keys of `[catalog]` that change nothing about any entry but whether it is there, which shows by itself.
const NAMES: &[&str] = &["title", "files", "exclude", "parts", "notes", "own"];
/// Tables that everything else in a catalog depends on.
const HEAD: [&str; 5] = ["catalog", "site", "rating", "assumption", "level"];

/// What a change touches in one catalog.
#[derive(Debug, Default)]
pub(super) struct Touched {
    /// What changed that all of it depends on.
    pub whole: Option<&'static str>,
    /// Parts, packages and documents by the name a waiver would use: changed ones and those that depend on
    /// them.
    entries: HashSet<String>,
    /// Tables that changed themselves.
    places: HashSet<(usize, ItemId)>,
    /// Documents whose text isn't what it was.
    texts: HashSet<usize>,
}

impl Touched {
    /// Whether that part or package is touched.
    pub fn has(&self, on: &str) -> bool {
        self.whole.is_some() || self.entries.contains(subject(on))
    }

    /// Whether a finding has to do with what is touched: by what it is about, or by a place that it names.
    pub fn concerns(&self, documents: &[Document], finding: &Finding) -> bool {
        if self.has(&finding.on) {
            return true;
        }
        if finding.rule.family() == "syntax" {
            return self.texts.contains(&(finding.at.file.0 as usize));
        }
        let related = finding.related.iter().map(|related| related.at);
        let evidence = finding.evidence.iter().filter_map(|one| one.place);
        std::iter::once(finding.at)
            .chain(related)
            .chain(evidence)
            .any(|at| self.holds(documents, at))
    }

    /// Whether a place lies in a table that changed itself.
    fn holds(&self, documents: &[Document], at: Span) -> bool {
        let index = at.file.0 as usize;
        let Some(document) = documents.get(index) else {
            return false;
        };
        let section = document.section_at(at.start as usize);
        let above = std::iter::successors(Some(section), |item| item.parent());
        let mut above = above.map(|item| (index, item.id()));
        above.any(|place| self.places.contains(&place))
            // What stands before all headers lies in tables made of dotted keys and braces.
            || (section.parent().is_none()
                && self.places.iter().any(|&(of, id)| of == index && document.item(id).holds(at)))
    }
}

/// The part, package or document that `on` is about, without an option.
fn subject(on: &str) -> &str {
    on.split_once(".option.").map_or(on, |(subject, _)| subject)
}

/// What changed in each of `catalogs` since the texts were as in `before`.
pub(super) fn find(documents: &[Document], catalogs: &[Catalog], before: &[Input]) -> Vec<Touched> {
    let (sources, files, _) = take_in(before.to_vec(), &BTreeMap::new());
    let texts: Vec<(FileId, &Source)> = sources.iter().take(files.len()).collect();
    let old_documents: Vec<Document> = texts
        .par_iter()
        .map(|&(id, source)| document::read(id, source))
        .collect();
    let old_catalogs = catalog::gather(&files, &old_documents).catalogs;
    let old_texts: HashSet<&str> = old_documents.iter().map(Document::text).collect();
    let by_name: HashMap<&str, &Catalog> = old_catalogs
        .iter()
        .map(|catalog| (catalog.name.as_str(), catalog))
        .collect();
    let one = |catalog: &Catalog| {
        let Some(old) = by_name.get(catalog.name.as_str()) else {
            return Touched {
                whole: Some("a new catalog"),
                ..Touched::default()
            };
        };
        let mut touched = Touched::default();
        for &index in &catalog.documents {
            if !old_texts.contains(documents[index].text()) {
                touched.texts.insert(index);
            }
        }
        let (now, then) = (Side::of(catalog, documents), Side::of(old, &old_documents));
        touched.head(&now, &then);
        touched.entries(&now, &then);
        touched.lists(&now, &then);
        touched.spread(&now, &then);
        touched
    };
    catalogs.iter().map(one).collect()
}

/// A catalog in one of the two states.
struct Side<'a> {
    catalog: &'a Catalog,
    documents: &'a [Document<'a>],
    entries: HashMap<String, (usize, ItemId)>,
}

/// What a table says; where that isn't known, the whole text it stands in.
fn told<'d>(item: Item<'d>, except: &[&str]) -> Result<String, &'d str> {
    item.facts(except).ok_or_else(|| item.document().text())
}

impl<'a> Side<'a> {
    fn of(catalog: &'a Catalog, documents: &'a [Document<'a>]) -> Side<'a> {
        let kinds = Kind::PARTS.iter().chain(&[Kind::Package, Kind::Evidence]);
        let entries = kinds.flat_map(|&kind| catalog.entries(kind));
        let mut by_name = HashMap::new();
        for entry in entries {
            by_name
                .entry(entry.on())
                .or_insert((entry.document, entry.node));
        }
        Side {
            catalog,
            documents,
            entries: by_name,
        }
    }

    fn item(&self, (index, id): (usize, ItemId)) -> Item<'a> {
        self.documents[index].item(id)
    }

    /// The tables of that name at the top of its files.
    fn tables(&self, name: &str) -> Vec<(usize, Item<'a>)> {
        let own = self.catalog.documents.iter();
        own.filter_map(|&index| Some((index, self.documents[index].root().get(name)?)))
            .collect()
    }

    /// The rows of the lists of that name, each with what it says.
    fn rows(&self, name: &str) -> Vec<(usize, Item<'a>, Result<String, &'a str>)> {
        let lists = self.tables(name);
        lists
            .into_iter()
            .flat_map(|(index, list)| list.items().map(move |row| (index, row)))
            .map(|(index, row)| (index, row, told(row, REMARKS)))
            .collect()
    }

    /// What each entry depends on: entry and what it names, both as a waiver names them.
    fn dependencies(&self) -> Vec<(String, String)> {
        let mut pairs = Vec::new();
        for mention in &self.catalog.mentions {
            for kind in mention.kinds {
                let named = format!("{}.{}", kind.table(), mention.id);
                pairs.push((subject(&mention.on).to_string(), named));
            }
        }
        for kind in Kind::PARTS.iter().chain(&[Kind::Package]) {
            for entry in self.catalog.entries(*kind) {
                if let Some(next) = entry.identity.replaced_by.known() {
                    pairs.push((entry.on(), format!("{}.{}", kind.table(), next.text)));
                }
            }
        }
        for (on, &place) in &self.entries {
            let mut cited = Vec::new();
            citations(self.item(place), &mut cited);
            pairs.extend(cited.into_iter().map(|named| (on.clone(), named)));
        }
        pairs
    }

    /// The documents that its ranges rest on.
    fn range_sources(&self) -> impl Iterator<Item = &str> {
        let sources = self.catalog.ranges.iter();
        sources.filter_map(|range| Some(range.source.known()?.text.trim()))
    }
}

/// Every `evidence.ID` that is written in an item.
fn citations(item: Item, found: &mut Vec<String>) {
    if let Some(text) = item.as_str() {
        let text = text.trim();
        if text.starts_with("evidence.") {
            found.push(text.to_string());
        }
    }
    for inner in item.entries().chain(item.items()) {
        citations(inner, found);
    }
}

impl Touched {
    /// Compares what stands once in a catalog. What isn't known to the format is compared too: a finding
    /// about it stands there.
    fn head(&mut self, now: &Side, then: &Side) {
        for name in HEAD {
            let except = if name == "catalog" { NAMES } else { REMARKS };
            let says = |side: &Side, except: &[&str]| -> Vec<Result<String, String>> {
                let tables = side.tables(name).into_iter();
                tables
                    .map(|(_, item)| told(item, except).map_err(str::to_string))
                    .collect()
            };
            if says(now, except) != says(then, except) {
                self.whole = self.whole.or(Some(name));
            }
        }
        let known = |key: &str| {
            let mut entries = Kind::PARTS.iter().chain(&[Kind::Package, Kind::Evidence]);
            entries.any(|kind| kind.table() == key) || ["waiver", "sheet"].contains(&key)
        };
        for &index in &now.catalog.documents {
            for item in now.documents[index].root().entries() {
                let Some((key, _)) = item.key().filter(|(key, _)| !known(key)) else {
                    continue;
                };
                let says = told(item, REMARKS);
                let mut earlier = then.tables(key).into_iter();
                if !earlier.any(|(_, item)| told(item, REMARKS) == says) {
                    self.places.insert((index, item.id()));
                }
            }
        }
    }

    /// Compares parts, packages and documents by their names.
    fn entries(&mut self, now: &Side, then: &Side) {
        for (on, &place) in &now.entries {
            let earlier = then.entries.get(on);
            let earlier = earlier.map(|&earlier| told(then.item(earlier), REMARKS));
            if earlier != Some(told(now.item(place), REMARKS)) {
                self.entries.insert(on.clone());
                self.places.insert(place);
            }
        }
        // What is gone is missed by those that name it.
        let gone = then
            .entries
            .keys()
            .filter(|on| !now.entries.contains_key(*on));
        self.entries.extend(gone.cloned());
        // Of two entries by one ID the first counts; the others stand nowhere else.
        for kind in Kind::PARTS.iter().chain(&[Kind::Package, Kind::Evidence]) {
            for (index, table) in now.tables(kind.table()) {
                for item in table.entries() {
                    let Some((id, _)) = item.key() else { continue };
                    let on = format!("{}.{id}", kind.table());
                    if now.entries.get(&on) == Some(&(index, item.id())) {
                        continue;
                    }
                    let says = told(item, REMARKS);
                    let earlier = then.tables(kind.table());
                    let mut earlier = earlier.iter().filter_map(|(_, table)| table.get(id));
                    if !earlier.any(|item| told(item, REMARKS) == says) {
                        self.places.insert((index, item.id()));
                        self.entries.insert(on);
                    }
                }
            }
        }
    }

    /// Compares waivers and sheets, which have no names: each touches what it is about.
    fn lists(&mut self, now: &Side, then: &Side) {
        for (name, key) in [("waiver", "on"), ("sheet", "package")] {
            let (now, then) = (now.rows(name), then.rows(name));
            let about = |item: Item| {
                let on = item.get(key).and_then(Item::as_str)?;
                Some(match name {
                    "sheet" => format!("package.{on}"),
                    _ => subject(on).to_string(),
                })
            };
            let mut left: HashMap<&Result<String, &str>, usize> = HashMap::new();
            for (_, _, says) in &then {
                *left.entry(says).or_default() += 1;
            }
            for (index, item, says) in &now {
                match left.get_mut(says).filter(|count| **count > 0) {
                    Some(count) => *count -= 1,
                    None => {
                        self.places.insert((*index, item.id()));
                        self.entries.extend(about(*item));
                    }
                }
            }
            for (_, item, says) in &then {
                if left.get(says).is_some_and(|count| *count > 0) {
                    self.entries.extend(about(*item));
                }
            }
        }
        // A waiver may be about all of a catalog.
        if self.entries.contains("catalog") {
            self.whole = self.whole.or(Some("a waiver for all of the catalog"));
        }
    }

    /// Touches what depends on something touched, until nothing is left that does.
    fn spread(&mut self, now: &Side, then: &Side) {
        let mut users: HashMap<String, Vec<String>> = HashMap::new();
        for (user, used) in now.dependencies().into_iter().chain(then.dependencies()) {
            users.entry(used).or_default().push(user);
        }
        let mut next: Vec<String> = self.entries.iter().cloned().collect();
        while let Some(used) = next.pop() {
            for user in users.remove(&used).unwrap_or_default() {
                if self.entries.insert(user.clone()) {
                    next.push(user);
                }
            }
        }
        // A range that rests on a document counts for every package.
        let mut sources = now.range_sources();
        if sources.any(|source| self.entries.contains(source)) {
            self.whole = self.whole.or(Some("a document that a range rests on"));
        }
    }
}
