//! What the tables say, held to the catalog: new things are added, what only the table changed is replaced in place,
//! and what a person changed in the catalog stays.
//!
//! Which of the two changed a value is known by a record of what earlier intakes took. No other byte of a file
//! changes; a file in which a value wouldn't be read back as it was meant is left as it was.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::ops::Range;

use crate::catalog::Kind;
use crate::catalog::mapping;
use crate::document::{self, Document, Item, ItemId, Kind as Node};
use crate::text::{FileId, Source};

use super::names::Known;
use super::take::{Draft, Stated};
use super::told::{At, Told, What};
use super::write;

/// What earlier intakes took, by thing and key: one line of JSON for each value.
#[derive(Debug, Default)]
pub struct Record {
    values: BTreeMap<(String, String), String>,
    pub(super) known: Known,
}

/// A line of the record.
#[derive(serde::Serialize, serde::Deserialize)]
struct Line {
    on: String,
    key: String,
    taken: String,
}

impl Record {
    /// Reads a record; lines that are none are left out.
    #[must_use]
    pub fn parse(text: &str) -> Record {
        let mut record = Record::default();
        for line in text
            .lines()
            .filter_map(|line| serde_json::from_str::<Line>(line).ok())
        {
            record.put(line.on, line.key, line.taken);
        }
        record
    }

    fn put(&mut self, on: String, key: String, taken: String) {
        let named = on
            .split_once('.')
            .and_then(|(kind, id)| Some((mapping::kind(kind)?, id)));
        if let Some((kind, id)) = named
            && mapping::NAMES.contains(&key.as_str())
        {
            self.known.add(kind, id, &key, taken.trim_matches('"'));
        }
        self.values.insert((on, key), taken);
    }

    /// What was taken.
    fn get(&self, on: &str, key: &str) -> Option<&str> {
        let found = self.values.get(&(on.to_string(), key.to_string()));
        found.map(String::as_str)
    }

    /// As it is kept.
    #[must_use]
    pub fn text(&self) -> String {
        let lines = self.values.iter().map(|((on, key), taken)| {
            let line = Line {
                on: on.clone(),
                key: key.clone(),
                taken: taken.clone(),
            };
            serde_json::to_string(&line).unwrap_or_default() + "\n"
        });
        lines.collect()
    }
}

/// How values that table and catalog give differently are settled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Settle {
    /// They are told, and the catalog's stay.
    Tell,
    /// The table's are taken.
    Table,
    /// The catalog's stay, from now on.
    Catalog,
}

/// What the catalog becomes.
#[derive(Debug, Default)]
pub struct Merged {
    /// Files that change or are new: path, bytes before if there is one, bytes afterwards.
    pub files: Vec<Changed>,
    /// What changes, in the order of the tables.
    pub changes: Vec<Change>,
    /// Values that a person changed in the catalog and the table left alone.
    pub kept: usize,
    /// Values that are the same in both.
    pub same: usize,
    /// What was found.
    pub told: Vec<Told>,
    /// What has been taken by now.
    pub record: Record,
}

/// A file that changes.
#[derive(Debug, Clone)]
pub struct Changed {
    /// Its path.
    pub path: String,
    /// Its bytes, if it is there.
    pub before: Option<Vec<u8>>,
    /// Its bytes afterwards.
    pub after: Vec<u8>,
}

/// A change of a value, or a new thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The file.
    pub path: String,
    /// What it is about: `compressor.linear-40`.
    pub on: String,
    /// The key; empty for a new thing.
    pub key: String,
    /// What stood there.
    pub was: Option<String>,
    /// What stands there now; for a new thing how many keys it has.
    pub is: String,
}

/// Holds what the tables say to the texts of a catalog, called by their paths; new files go into `folder`.
pub fn merge(
    texts: &[(String, Vec<u8>)],
    folder: &str,
    drafts: &[Draft],
    record: &Record,
    settle: Settle,
) -> Merged {
    let sources: Vec<Source> = texts
        .iter()
        .map(|(path, bytes)| Source::new(path.clone(), bytes.clone()))
        .collect();
    let documents: Vec<Document> = sources
        .iter()
        .enumerate()
        .map(|(number, source)| {
            document::read(FileId(u32::try_from(number).unwrap_or(u32::MAX)), source)
        })
        .collect();
    let mut merging = Merging {
        documents: &documents,
        places: places(&documents),
        record,
        settle,
        edits: BTreeMap::new(),
        replaced: HashSet::new(),
        new: BTreeMap::new(),
        merged: Merged::default(),
    };
    for draft in drafts {
        merging.draft(draft, folder);
    }
    merging.finish(texts, drafts)
}

/// Where each thing stands: its document and its table.
fn places(documents: &[Document]) -> HashMap<(Kind, String), (usize, ItemId)> {
    let mut places = HashMap::new();
    let kinds: Vec<Kind> = Kind::PARTS.iter().copied().chain([Kind::Package]).collect();
    for (number, document) in documents.iter().enumerate() {
        for &kind in &kinds {
            let things = document.root().get(kind.table());
            for thing in things.into_iter().flat_map(Item::entries) {
                if let Some((id, _)) = thing.key() {
                    places
                        .entry((kind, id.to_string()))
                        .or_insert((number, thing.id()));
                }
            }
        }
    }
    places
}

struct Merging<'m> {
    documents: &'m [Document],
    places: HashMap<(Kind, String), (usize, ItemId)>,
    record: &'m Record,
    settle: Settle,
    /// Replacements by document, in the order of the text once they are applied.
    edits: BTreeMap<usize, Vec<(Range<usize>, String)>>,
    /// Where replaced values begin, so that none is replaced twice.
    replaced: HashSet<(usize, usize)>,
    /// New things by the file they go to.
    new: BTreeMap<String, Vec<String>>,
    merged: Merged,
}

/// Where a value is, or could be.
enum Spot<'d> {
    /// It stands there.
    There(Item<'d>),
    /// Nothing stands there; text put at that byte, between those, makes it stand there.
    Free(usize, String, String),
    /// What stands there has no place for it.
    Otherwise,
}

impl Merging<'_> {
    fn draft(&mut self, draft: &Draft, folder: &str) {
        let on = draft.on();
        let place = self.places.get(&(draft.kind, draft.id.clone())).copied();
        match place {
            Some((number, id)) => self.known(number, id, &on, draft),
            None if draft.made => self.add(on, draft, folder),
            // A part that the catalog borrows is another catalog's to change.
            None => {
                for value in &draft.values {
                    self.no_place(&value.at, &on, &value.key);
                }
            }
        }
    }

    /// A thing that the catalog hasn't got.
    fn add(&mut self, on: String, draft: &Draft, folder: &str) {
        let path = match folder {
            "" | "." => draft.write.clone(),
            folder => format!("{folder}/{}", draft.write),
        };
        let entries = self.new.entry(path.clone()).or_default();
        entries.push(write::entry(draft));
        for value in &draft.values {
            let written = value.toml.written();
            self.merged
                .record
                .put(on.clone(), value.key.clone(), written);
        }
        self.merged.changes.push(Change {
            path,
            on,
            key: String::new(),
            was: None,
            is: draft.values.len().to_string(),
        });
    }

    /// A thing that the catalog has in that document.
    fn known(&mut self, number: usize, id: ItemId, on: &str, draft: &Draft) {
        let documents = self.documents;
        let thing = documents[number].item(id);
        // Keys that only a whole table can bring are written together.
        let mut missing: BTreeMap<&str, Vec<&Stated>> = BTreeMap::new();
        for value in &draft.values {
            match spot(thing, &value.key) {
                Spot::There(item) => self.there(number, item, on, value),
                Spot::Otherwise => self.no_place(&value.at, on, &value.key),
                Spot::Free(..) if !self.may_add(on, value) => {}
                Spot::Free(at, before, after) => match value.key.split_once('.') {
                    Some((first, _)) if thing.get(first).is_none() => {
                        missing.entry(first).or_default().push(value);
                    }
                    _ => {
                        let text = format!("{before}{}{after}", value.toml.written());
                        self.edit(number, at..at, text);
                        self.added(number, on, value);
                    }
                },
            }
        }
        for (first, values) in missing {
            let field = values.first().and_then(|value| value.way.first());
            let (Some(field), Spot::Free(at, before, after)) = (field, spot(thing, first)) else {
                continue;
            };
            let text = format!("{before}{}{after}", write::below(field, &values));
            self.edit(number, at..at, text);
            for value in values {
                self.added(number, on, value);
            }
        }
    }

    /// Whether a value that the catalog hasn't got is to be written: a person may have taken it out.
    fn may_add(&mut self, on: &str, value: &Stated) -> bool {
        let written = value.toml.written();
        let earlier = self.record.get(on, &value.key);
        match earlier {
            None => true,
            Some(earlier) if earlier == written => {
                self.merged.kept += 1;
                self.merged
                    .record
                    .put(on.to_string(), value.key.clone(), written);
                false
            }
            Some(_) => true,
        }
    }

    fn added(&mut self, number: usize, on: &str, value: &Stated) {
        let written = value.toml.written();
        self.change(number, on, &value.key, None, &written);
        self.merged
            .record
            .put(on.to_string(), value.key.clone(), written);
    }

    /// Holds a value to what stands there.
    fn there(&mut self, number: usize, item: Item, on: &str, value: &Stated) {
        let written = value.toml.written();
        let key = value.key.clone();
        let earlier = self.record.get(on, &key).map(str::to_string);
        if holds(item, &written).is_some() {
            self.merged.same += 1;
            self.merged.record.put(on.to_string(), key, written);
            return;
        }
        // An ID that stands for itself is one of it.
        if item.kind() == Node::String
            && key.ends_with(".count")
            && earlier.as_deref().is_none_or(|earlier| earlier == "1")
        {
            match written.as_str() {
                "1" => {
                    self.merged.same += 1;
                    self.merged.record.put(on.to_string(), key, written);
                }
                _ => self.replace(number, item, on, &key, &written),
            }
            return;
        }
        // The part of what stands there that an earlier intake wrote; a person may have put a condition around it.
        let own = earlier.as_deref().and_then(|earlier| holds(item, earlier));
        if let Some(own) = own {
            self.replace(number, own, on, &key, &written);
            return;
        }
        match (self.settle, earlier) {
            // The table says what it said: whoever changed the catalog knew better.
            (_, Some(earlier)) if earlier == written => {
                self.merged.kept += 1;
                self.merged.record.put(on.to_string(), key, written);
            }
            (Settle::Table, _) => self.replace(number, item, on, &key, &written),
            (Settle::Catalog, _) => {
                self.merged.kept += 1;
                self.merged.record.put(on.to_string(), key, written);
            }
            (Settle::Tell, earlier) => {
                let what = What::Conflict {
                    on: format!("`{key}` of {on}"),
                    catalog: flat(item.written()),
                    table: flat(&written),
                    known: earlier.is_some(),
                };
                self.tell(&value.at, what, Some(flat(&written)));
                if let Some(earlier) = earlier {
                    self.merged.record.put(on.to_string(), key, earlier);
                }
            }
        }
    }

    fn replace(&mut self, number: usize, item: Item, on: &str, key: &str, written: &str) {
        let text = self.documents[number].text();
        let range = item.span().range();
        let put = match (item.kind(), key.rsplit_once('.')) {
            (Node::String, Some((_, "count"))) => {
                format!("{{ part = {}, count = {written} }}", item.written())
            }
            _ => written.to_string(),
        };
        let was = flat(&text[range.clone()]);
        // A list of tables with headers can't be replaced in place.
        let has_headers =
            item.header_span().is_some() || item.kind() == Node::Array && !item.is_inline();
        if has_headers || !self.edit(number, range, put.clone()) {
            self.no_place(&At::default(), on, key);
            return;
        }
        self.change(number, on, key, Some(was), &put);
        self.merged
            .record
            .put(on.to_string(), key.to_string(), written.to_string());
    }

    fn no_place(&mut self, at: &At, on: &str, key: &str) {
        let what = What::NoPlace {
            on: on.to_string(),
            key: key.to_string(),
        };
        self.tell(at, what, None);
    }

    /// Whether the bytes in `range` weren't to be replaced already.
    fn edit(&mut self, number: usize, range: Range<usize>, text: String) -> bool {
        if !range.is_empty() && !self.replaced.insert((number, range.start)) {
            return false;
        }
        self.edits.entry(number).or_default().push((range, text));
        true
    }

    fn change(&mut self, number: usize, on: &str, key: &str, was: Option<String>, is: &str) {
        self.merged.changes.push(Change {
            // The file's name is known where the texts are.
            path: number.to_string(),
            on: on.to_string(),
            key: key.to_string(),
            was,
            is: flat(is),
        });
    }

    fn tell(&mut self, at: &At, what: What, offer: Option<String>) {
        self.merged.told.push(Told {
            at: at.clone(),
            what,
            offer,
        });
    }

    /// Which of the changes to a document aren't read back from `after` as they were meant.
    fn unread(&self, number: usize, after: &[u8]) -> Vec<String> {
        let source = Source::new("", after.to_vec());
        let document = document::read(FileId(0), &source);
        let is_damaged = document.problems().len() > self.documents[number].problems().len();
        let own = number.to_string();
        let changes = self
            .merged
            .changes
            .iter()
            .filter(|change| change.path == own);
        let is_read = |change: &&Change| {
            let (kind, id) = change.on.split_once('.').unwrap_or_default();
            let thing = document.root().get(kind).and_then(|things| things.get(id));
            let spot = thing.map(|thing| spot(thing, &change.key));
            matches!(spot, Some(Spot::There(item)) if holds(item, &change.is).is_some())
        };
        let unread = changes.filter(|change| is_damaged || !is_read(change));
        unread
            .map(|change| format!("{}.{}", change.on, change.key))
            .collect()
    }

    fn finish(mut self, texts: &[(String, Vec<u8>)], drafts: &[Draft]) -> Merged {
        let mut files: BTreeMap<String, Changed> = BTreeMap::new();
        for (number, edits) in std::mem::take(&mut self.edits) {
            let (path, bytes) = &texts[number];
            let after = edited(bytes, edits);
            if !self.unread(number, &after).is_empty() {
                self.leave(number);
                continue;
            }
            let changed = Changed {
                path: path.clone(),
                before: Some(bytes.clone()),
                after,
            };
            files.insert(path.clone(), changed);
        }
        for (path, entries) in std::mem::take(&mut self.new) {
            let mut texts = texts.iter();
            let before = texts.find(|(own, _)| *own == path);
            let before = before.map(|(_, bytes)| bytes.clone());
            let changed = files.entry(path.clone()).or_insert_with(|| Changed {
                path,
                after: before.clone().unwrap_or_default(),
                before,
            });
            append(&mut changed.after, entries);
        }
        let mut merged = self.merged;
        for change in &mut merged.changes {
            let number = change.path.parse::<usize>().ok();
            if let Some((path, _)) = number.and_then(|number| texts.get(number)) {
                change.path.clone_from(path);
            }
        }
        merged.files = files.into_values().collect();
        let about: HashSet<String> = drafts.iter().map(Draft::on).collect();
        gone(self.record, &about, &self.places, &mut merged);
        merged
    }

    /// Leaves a file as it is, and tells all that was to change in it.
    fn leave(&mut self, number: usize) {
        let own = number.to_string();
        let changes = std::mem::take(&mut self.merged.changes);
        let (left, stay): (Vec<Change>, Vec<Change>) =
            changes.into_iter().partition(|one| one.path == own);
        self.merged.changes = stay;
        for change in left {
            self.no_place(&At::default(), &change.on, &change.key);
            self.merged.record.values.remove(&(change.on, change.key));
        }
    }
}

/// A text with replacements, which are in the order in which they were asked for.
fn edited(bytes: &[u8], mut edits: Vec<(Range<usize>, String)>) -> Vec<u8> {
    let mut after = bytes.to_vec();
    // From the end on, so that places stay; at one place in the order in which they were asked for.
    edits.sort_by_key(|(range, _)| range.start);
    for (range, text) in edits.into_iter().rev() {
        after.splice(range, text.into_bytes());
    }
    after
}

/// Puts entries behind a text, an empty line before each.
fn append(text: &mut Vec<u8>, entries: Vec<String>) {
    if !text.is_empty() && !text.ends_with(b"\n") {
        text.push(b'\n');
    }
    for entry in entries {
        if !text.is_empty() {
            text.push(b'\n');
        }
        text.extend(entry.into_bytes());
    }
}

/// Tells what an earlier intake took, the catalog still has, and no table has any more; the record keeps it.
fn gone(
    record: &Record,
    about: &HashSet<String>,
    places: &HashMap<(Kind, String), (usize, ItemId)>,
    merged: &mut Merged,
) {
    let there: HashSet<String> = places
        .keys()
        .map(|(kind, id)| format!("{}.{id}", kind.table()))
        .collect();
    let mut told = HashSet::new();
    for ((on, key), taken) in &record.values {
        if about.contains(on) {
            // A key that the table leaves blank now is still one that it once gave.
            if merged.record.get(on, key).is_none() {
                merged.record.put(on.clone(), key.clone(), taken.clone());
            }
            continue;
        }
        if !there.contains(on) {
            continue;
        }
        merged.record.put(on.clone(), key.clone(), taken.clone());
        if told.insert(on.clone()) {
            merged.told.push(Told {
                at: At::default(),
                what: What::Gone { on: on.clone() },
                offer: None,
            });
        }
    }
}

/// On one line.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The item, or the part of it, that says exactly `written`: a figure may stand with its condition or with the same
/// figure in another unit, and a part with its count.
fn holds<'d>(item: Item<'d>, written: &str) -> Option<Item<'d>> {
    if reads_same(item.written(), written) {
        return Some(item);
    }
    let inner = match item.kind() {
        Node::Table => item.get("is").or_else(|| item.get("part")),
        Node::Array => item
            .items()
            .next()
            .filter(|first| first.kind() == Node::String),
        _ => None,
    };
    inner.filter(|inner| reads_same(inner.written(), written))
}

/// Whether two values are the same but for how they are laid out.
fn reads_same(a: &str, b: &str) -> bool {
    a == b || {
        let parse = |text: &str| toml::from_str::<toml::Table>(&format!("it = {text}")).ok();
        parse(a).is_some_and(|a| parse(b) == Some(a))
    }
}

/// Where the value at `key` is in a thing's table, or could be.
fn spot<'d>(thing: Item<'d>, key: &str) -> Spot<'d> {
    let mut table = thing;
    // The keys from the table with a header, or in braces, that holds them.
    let mut way: Vec<&str> = Vec::new();
    let mut keys = key.split('.').peekable();
    while let Some(key) = keys.next() {
        let is_last = keys.peek().is_none();
        way.push(key);
        let found = table.get(key).and_then(|found| match found.kind() {
            Node::Array if !is_last => {
                let called = |item: &Item| {
                    let id = item.get("id").and_then(Item::as_str);
                    id.is_some() && id == keys.peek().copied()
                };
                match found.items().find(called) {
                    Some(one) => {
                        keys.next();
                        Some(one)
                    }
                    // Without an ID a table can tell but of one way to buy.
                    None => found.items().next().filter(|_| found.len() == 1),
                }
            }
            _ => Some(found),
        });
        match found {
            None if table.get(key).is_some() => return Spot::Otherwise,
            None => return free(table, &way, keys.map(str::to_string).collect()),
            Some(found) if is_last => return Spot::There(found),
            Some(found) if found.kind() == Node::Table => {
                let is_own = found.header_span().is_some() || found.is_inline();
                table = found;
                if is_own {
                    way.clear();
                }
            }
            // An ID that stands for a part with its count.
            Some(found) if found.kind() == Node::String => {
                return Spot::There(found);
            }
            Some(_) => return Spot::Otherwise,
        }
    }
    Spot::Otherwise
}

/// Where a key that a table hasn't got can be put.
fn free<'d>(table: Item<'d>, way: &[&str], rest: Vec<String>) -> Spot<'d> {
    let keys: Vec<&str> = way
        .iter()
        .copied()
        .chain(rest.iter().map(String::as_str))
        .collect();
    let name = keys.join(".");
    let text = table.document().text();
    if table.is_inline() {
        let last = table.entries().last();
        return match last {
            Some(last) => {
                let end = last.whole_span().range().end;
                Spot::Free(end, format!(", {name} = "), String::new())
            }
            None => Spot::Free(
                table.span().range().start + 1,
                format!(" {name} = "),
                " ".into(),
            ),
        };
    }
    let own = table
        .entries()
        .filter(|entry| entry.header_span().is_none() && !entry.is_list_of_tables());
    let own = own.filter(|entry| !is_only_above(*entry));
    let end = own.map(|entry| entry.whole_span().range().end).max();
    let end = end.or_else(|| table.header_span().map(|header| header.range().end));
    match end {
        // Behind whatever else stands on its line.
        Some(end) => {
            let line = memchr::memchr(b'\n', &text.as_bytes()[end..])
                .map_or(text.len(), |found| end + found);
            let line = match text[..line].ends_with('\r') {
                true => line - 1,
                false => line,
            };
            Spot::Free(line, format!("\n{name} = "), String::new())
        }
        None => Spot::Otherwise,
    }
}

/// Whether a table is there only because a table below it has a header.
fn is_only_above(item: Item) -> bool {
    item.kind() == Node::Table
        && !item.is_inline()
        && item.entries().next().is_some()
        && item.entries().all(|inner| {
            inner.header_span().is_some() || inner.is_list_of_tables() || is_only_above(inner)
        })
}
