//! What a package's facts are known by from one run to the next.

use std::collections::{BTreeMap, HashMap};
use std::hash::Hasher;

use fnv::FnvHasher;

use crate::document::{Document, Item, Kind as Node};

use super::{Catalog, Entry, Kind};

/// The tables of a catalog's head that verdicts depend on.
const HEAD: [&str; 4] = ["site", "rating", "assumption", "evidence"];

/// Fingerprints of packages: of all that a catalog states of one, of its parts and of what counts for all
/// packages. They stay when lines move, keys change places or comments change, and change with any figure.
///
/// The hash is FNV-1a with 64 bits, which is the same on every machine.
pub struct FactPrints<'a> {
    documents: &'a [Document],
    /// Every part by kind and ID.
    parts: HashMap<(Kind, &'a str), &'a Entry>,
    /// What each thing names.
    named: HashMap<&'a str, Vec<(&'static [Kind], &'a str)>>,
    head: u64,
}

impl<'a> FactPrints<'a> {
    /// Makes ready to print the packages of a catalog.
    pub fn of(catalog: &'a Catalog, documents: &'a [Document]) -> FactPrints<'a> {
        let mut parts = HashMap::new();
        for &kind in Kind::PARTS {
            for entry in catalog.entries(kind) {
                parts.entry((kind, entry.id.as_str())).or_insert(entry);
            }
        }
        let mut named: HashMap<&str, Vec<(&'static [Kind], &str)>> = HashMap::new();
        for mention in &catalog.mentions {
            let all = named.entry(mention.on.as_str()).or_default();
            all.push((mention.kinds, &mention.id));
        }
        let mut head = FnvHasher::default();
        for &document in &catalog.documents {
            let root = documents[document].root();
            for table in HEAD {
                if let Some(item) = root.get(table) {
                    write(table, &mut head);
                    print(item, &mut head);
                }
            }
        }
        FactPrints {
            documents,
            parts,
            named,
            head: head.finish(),
        }
    }

    /// The fingerprint of a package.
    pub fn package(&self, package: &Entry) -> u64 {
        let mut hasher = FnvHasher::default();
        hasher.write_u64(self.head);
        print(self.item(package), &mut hasher);
        // Its parts, and the parts that those name, in an order that no file's order changes.
        let mut seen: BTreeMap<String, &Entry> = BTreeMap::new();
        let mut open = vec![package.on()];
        while let Some(on) = open.pop() {
            // An option's or sub-table's mention stands under the thing's own name.
            let mentions = self.named.get(on.as_str()).map_or(&[][..], |all| all);
            for (kinds, id) in mentions {
                for kind in *kinds {
                    if let Some(entry) = self.parts.get(&(*kind, *id)) {
                        let on = entry.on();
                        if seen.insert(on.clone(), entry).is_none() {
                            open.push(on);
                        }
                    }
                }
            }
        }
        for (on, entry) in &seen {
            write(on, &mut hasher);
            print(self.item(entry), &mut hasher);
        }
        hasher.finish()
    }

    fn item(&self, entry: &Entry) -> Item<'a> {
        self.documents[entry.document].item(entry.node)
    }
}

fn write(text: &str, hasher: &mut FnvHasher) {
    hasher.write(text.as_bytes());
    // No text has this byte, so parts can't run into each other.
    hasher.write(&[0xFF]);
}

/// Prints a value: the entries of a table by name, the elements of a list in order.
fn print(item: Item, hasher: &mut FnvHasher) {
    match item.kind() {
        Node::Table => {
            let entries = item.entries();
            let mut entries: Vec<(&str, Item)> = entries
                .filter_map(|entry| Some((entry.key()?.0, entry)))
                .collect();
            entries.sort_by_key(|(key, _)| *key);
            hasher.write(b"{");
            for (key, entry) in entries {
                write(key, hasher);
                print(entry, hasher);
            }
            hasher.write(b"}");
        }
        Node::Array => {
            hasher.write(b"[");
            for element in item.items() {
                print(element, hasher);
            }
            hasher.write(b"]");
        }
        Node::String => write(item.as_str().unwrap_or_default(), hasher),
        _ => write(item.written(), hasher),
    }
}
