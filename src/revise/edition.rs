//! One state of a catalog: its things by name, what each of them names, and which were renamed since.

use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};

use crate::catalog::{Catalog, Kind};
use crate::document::Document;
use crate::text::{FileId, Span};

use super::facts::{FactChange, differences};
use super::value::Value;

/// How many pairs of a gone and a new thing are compared for stating nearly the same.
const MOST_PAIRS: usize = 4_000;
/// From this share of equal facts on, a thing with another ID is taken for the same one, renamed. Two sizes of
/// one product line differ in more than a quarter of theirs.
const LIKE: f64 = 0.75;

/// Tables that stand once in a catalog and that all of its verdicts and findings depend on.
pub(super) const HEAD: [&str; 6] = ["catalog", "site", "rating", "assumption", "level", "audit"];

/// The kinds of named things, those that name none before those that name them.
const KINDS: [Kind; 10] = [
    Kind::Evidence,
    Kind::Spare,
    Kind::Fitting,
    Kind::CheckValve,
    Kind::Airline,
    Kind::Diffuser,
    Kind::Manifold,
    Kind::Cabinet,
    Kind::Compressor,
    Kind::Package,
];

/// A thing in one state of a catalog.
#[derive(Debug)]
pub(super) struct Stated {
    pub value: Value,
    /// Where its name stands.
    pub at: Span,
    /// Its name for people.
    pub title: Option<String>,
}

/// One state of a catalog.
#[derive(Debug, Default)]
pub(super) struct Edition {
    /// Everything with a name, and the tables that stand once, by the name a waiver would use.
    pub things: BTreeMap<String, Stated>,
    /// What each thing names.
    names: HashMap<String, BTreeSet<String>>,
    /// Where something is named: the place, and what may be meant.
    mentions: BTreeMap<(FileId, u32), Vec<String>>,
}

/// The thing that `on` is about, without an option.
pub(super) fn subject(on: &str) -> &str {
    on.split_once(".option.").map_or(on, |(subject, _)| subject)
}

impl Edition {
    pub fn of(catalog: &Catalog, documents: &[Document]) -> Edition {
        let mut edition = Edition::default();
        for kind in KINDS {
            for entry in catalog.entries(kind) {
                let item = documents[entry.document].item(entry.node);
                let stated = Stated {
                    value: Value::of(item),
                    at: item.name_span(),
                    title: entry.title.clone(),
                };
                // Of two by one ID the first counts.
                edition.things.entry(entry.on()).or_insert(stated);
            }
        }
        edition.tables(catalog, documents);
        for mention in &catalog.mentions {
            let meant = mention.kinds.iter();
            let meant = meant.map(|kind| format!("{}.{}", kind.table(), mention.id));
            let place = (mention.at.file, mention.at.start);
            let of = edition.names.entry(subject(&mention.on).to_string());
            of.or_default().extend(meant.clone());
            edition.mentions.entry(place).or_default().extend(meant);
        }
        let mut cited: Vec<(String, String)> = Vec::new();
        for (on, stated) in &mut edition.things {
            stated.value.leaves_mut(&mut |_, leaf| {
                let text = leaf.text.trim();
                if text.starts_with("evidence.") {
                    cited.push((on.clone(), text.to_string()));
                }
            });
        }
        for (on, named) in cited {
            edition.names.entry(on).or_default().insert(named);
        }
        edition
    }

    /// What stands at the top of its files under no kind of named thing.
    fn tables(&mut self, catalog: &Catalog, documents: &[Document]) {
        let head = catalog.header.map(|at| at.file.0 as usize);
        let own = catalog.documents.iter().copied();
        // Where a table stands in several files, the catalog's own file counts.
        let order = head.into_iter().chain(own.filter(|one| Some(*one) != head));
        let is_kind = |key: &str| KINDS.iter().any(|kind| kind.table() == key);
        for item in order.flat_map(|index| documents[index].root().entries()) {
            let Some((key, _)) = item.key().filter(|(key, _)| !is_kind(key)) else {
                continue;
            };
            let row = |parts: &[&str], item: crate::document::Item| {
                let word = |key: &&str| item.get(key).and_then(|one| one.as_str()).unwrap_or("?");
                let words: Vec<&str> = parts.iter().map(word).collect();
                words.join(" ")
            };
            let rows: Vec<(String, crate::document::Item)> = match key {
                "waiver" => item
                    .items()
                    .map(|one| (row(&["rule", "on"], one), one))
                    .collect(),
                "sheet" => item.items().map(|one| (row(&["file"], one), one)).collect(),
                _ => vec![(String::new(), item)],
            };
            for (name, item) in rows {
                let on = match name.as_str() {
                    "" => key.to_string(),
                    name => format!("{key} {name}"),
                };
                let many = (2..).map(|number| format!("{on} ({number})"));
                let mut free = std::iter::once(on.clone()).chain(many);
                let is_list = matches!(key, "waiver" | "sheet");
                let name = free.find(|one| !is_list || !self.things.contains_key(one));
                let stated = Stated {
                    value: Value::of(item),
                    at: item.name_span(),
                    title: None,
                };
                self.things.entry(name.unwrap_or(on)).or_insert(stated);
            }
        }
    }

    /// What a thing names itself.
    fn named_by(&self, on: &str) -> impl Iterator<Item = &str> {
        let named = self.names.get(on);
        named.into_iter().flatten().map(String::as_str)
    }

    /// Calls things by the names they have now.
    pub fn rename(&mut self, renames: &BTreeMap<String, String>) {
        if renames.is_empty() {
            return;
        }
        let things = std::mem::take(&mut self.things);
        for (on, mut stated) in things {
            let kind = on.split('.').next().unwrap_or_default().to_string();
            self.rename_within(&mut stated.value, &kind, renames);
            let now = renames.get(&on).cloned().unwrap_or(on);
            self.things.insert(now, stated);
        }
        let now = |on: &String| renames.get(on).unwrap_or(on).clone();
        let names = std::mem::take(&mut self.names);
        for (on, named) in names {
            let named = named.iter().map(now).collect();
            self.names.insert(now(&on), named);
        }
    }

    /// A thing's value as it reads when what it names is called by the names of now.
    fn rename_within(&self, value: &mut Value, kind: &str, renames: &BTreeMap<String, String>) {
        value.leaves_mut(&mut |key, leaf| {
            let (file, start, end) = (leaf.at.file, leaf.at.start, leaf.at.end);
            let here = self.mentions.range((file, start)..=(file, end));
            let meant = here.flat_map(|(_, meant)| meant);
            let meant = meant.filter(|on| on.ends_with(&format!(".{}", leaf.text)));
            let of_kind = format!("{kind}.{}", leaf.text);
            let own = (key == "replaced_by").then_some(&of_kind);
            let new = meant.chain(own).find_map(|on| renames.get(on));
            if let Some((_, id)) = new.and_then(|on| on.split_once('.')) {
                leaf.text = id.to_string();
            } else if let Some(new) = renames.get(subject(&leaf.text)) {
                let rest = leaf.text[subject(&leaf.text).len()..].to_string();
                leaf.text = format!("{new}{rest}");
            }
        });
    }
}

/// Everything that a package or part rests on in either state, itself included: the things themselves and
/// not what counts for all.
pub(super) fn rests_on<'e>(editions: [&'e Edition; 2], on: &'e str) -> BTreeSet<&'e str> {
    let mut found = BTreeSet::from([on]);
    let mut next = vec![on];
    while let Some(on) = next.pop() {
        for named in editions.iter().flat_map(|edition| edition.named_by(on)) {
            let is_there = editions.iter().any(|one| one.things.contains_key(named));
            if is_there && found.insert(named) {
                next.push(named);
            }
        }
    }
    found
}

/// What was renamed: an ID is gone, another came, and it states the same or nearly so.
pub(super) fn renames(old: &Edition, new: &Edition) -> BTreeMap<String, String> {
    let mut renames = BTreeMap::new();
    for kind in KINDS {
        let prefix = format!("{}.", kind.table());
        let lone = |of: &Edition, other: &Edition| -> Vec<String> {
            let own = of.things.keys().filter(|on| on.starts_with(&prefix));
            let own = own.filter(|on| !other.things.contains_key(*on));
            own.cloned().collect()
        };
        let mut came: HashMap<String, Vec<String>> = HashMap::new();
        for on in lone(new, old).into_iter().rev() {
            let says = canonical(&new.things[&on].value);
            came.entry(says).or_default().push(on);
        }
        let mut found = Vec::new();
        let mut left = Vec::new();
        let mut taken = HashSet::new();
        for on in lone(old, new) {
            let mut value = old.things[&on].value.clone();
            old.rename_within(&mut value, kind.table(), &renames);
            // What states nothing is like everything else that does.
            let says_something = matches!(&value, Value::Table(entries, _) if !entries.is_empty());
            let now = came.get_mut(&canonical(&value)).filter(|_| says_something);
            match now.and_then(Vec::pop) {
                Some(now) => {
                    taken.insert(now.clone());
                    found.push((on, now));
                }
                None if says_something => left.push((on, value)),
                None => {}
            }
        }
        // Of those left over, what states nearly the same; each with each, while that is quick.
        let open: Vec<&String> = came
            .values()
            .flatten()
            .filter(|on| !taken.contains(*on))
            .collect();
        if left.len() * open.len() <= MOST_PAIRS {
            let mut pairs: Vec<(f64, &String, &String)> = Vec::new();
            for (on, value) in &left {
                for now in &open {
                    let like = likeness(value, &new.things[*now].value);
                    if like >= LIKE {
                        pairs.push((like, on, now));
                    }
                }
            }
            pairs.sort_by(|a, b| {
                b.0.total_cmp(&a.0)
                    .then_with(|| (a.1, a.2).cmp(&(b.1, b.2)))
            });
            let mut gone: HashSet<&String> = HashSet::new();
            for (place, (like, on, now)) in pairs.iter().enumerate() {
                // What is as like to another could be either.
                let rival = |other: &(f64, &String, &String)| {
                    other.0 == *like
                        && (other.1 == *on) != (other.2 == *now)
                        && !gone.contains(other.1)
                        && !gone.contains(other.2)
                };
                let others = pairs
                    .iter()
                    .enumerate()
                    .filter(|(other, _)| *other != place);
                let is_alone = !others.map(|(_, pair)| pair).any(rival);
                if is_alone && !gone.contains(*on) && !gone.contains(*now) {
                    gone.extend([*on, *now]);
                    found.push(((*on).clone(), (*now).clone()));
                }
            }
        }
        renames.extend(found);
    }
    renames
}

/// Which share of their facts is the same.
fn likeness(was: &Value, is: &Value) -> f64 {
    let all = was.leaves().max(is.leaves());
    let facts = differences(was, is);
    let other = facts
        .iter()
        .filter(|fact| fact.change != FactChange::Rewritten)
        .count();
    1.0 - other as f64 / all.max(1) as f64
}

/// What a value says, whatever the order of its keys.
fn canonical(value: &Value) -> String {
    fn sort(value: &mut Value) {
        match value {
            Value::Leaf(_) => {}
            Value::List(rows, _) => rows.iter_mut().for_each(sort),
            Value::Table(entries, _) => {
                entries.sort_by(|a, b| a.0.cmp(&b.0));
                entries.iter_mut().for_each(|(_, value)| sort(value));
            }
        }
    }
    let mut sorted = value.clone();
    sort(&mut sorted);
    let mut text = String::new();
    sorted.write(&mut text);
    text
}
