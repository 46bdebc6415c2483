//! The tree of a text: one flat list of nodes, each with the bytes of its key and value.

use std::hash::{BuildHasher, RandomState};
use std::sync::Arc;

use hashbrown::HashTable;

use super::item::{Item, ItemId, Kind};
use super::problem::Problem;
use crate::text::{FileId, Span};

/// What a catalog's text says, with the place of every key and value, and what was wrong
/// with it.
///
/// It shares the text with its source. [`Document::root`] is where a reader begins.
#[derive(Debug)]
pub struct Document {
    pub(super) file: FileId,
    pub(super) text: Arc<str>,
    pub(super) nodes: Vec<Node>,
    /// Where each section begins, and the table whose keys it holds; in order of place.
    pub(super) sections: Vec<(u32, u32)>,
    pub(super) problems: Vec<Problem>,
    /// Whether reading stopped before the end.
    pub(super) cut: bool,
    /// Texts that aren't in the source as they read, end to end.
    decoded: String,
    /// Keys among them: node, start, end; in order of node.
    decoded_keys: Vec<(u32, u32, u32)>,
    index: KeyIndex,
}

impl Document {
    /// The table of the whole text.
    pub fn root(&self) -> Item<'_> {
        Item::new(self, ROOT)
    }

    /// The item that [`Item::id`] stands for in this document.
    ///
    /// # Panics
    /// If the number came from another, larger document.
    pub fn item(&self, id: ItemId) -> Item<'_> {
        assert!((id.0 as usize) < self.nodes.len());
        Item::new(self, id.0)
    }

    /// What was wrong, in the order of the text.
    pub fn problems(&self) -> &[Problem] {
        &self.problems
    }

    /// The number of the text.
    pub fn file(&self) -> FileId {
        self.file
    }

    /// The text, as it was decoded.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Whether nothing was wrong.
    pub fn is_sound(&self) -> bool {
        self.problems.is_empty()
    }

    /// The table to which a `key = value` at byte `at` would belong: that of the last header
    /// before it, else the root. Can be one that isn't reached from the root, when its
    /// header was a duplicate or couldn't be read.
    pub fn section_at(&self, at: usize) -> Item<'_> {
        let before = self
            .sections
            .partition_point(|&(start, _)| start as usize <= at);
        let node = before.checked_sub(1).map_or(ROOT, |i| self.sections[i].1);
        Item::new(self, node)
    }

    /// Where each header begins, in the order of the text.
    pub fn headers(&self) -> impl Iterator<Item = usize> {
        self.sections.iter().map(|&(start, _)| start as usize)
    }

    pub(super) fn empty(file: FileId, text: Arc<str>) -> Self {
        Document {
            file,
            nodes: vec![Node::new(Kind::Table, NONE, 0, text.len())],
            text,
            sections: Vec::new(),
            problems: Vec::new(),
            cut: false,
            decoded: String::new(),
            decoded_keys: Vec::new(),
            index: KeyIndex::default(),
        }
    }

    pub(super) fn node(&self, id: u32) -> &Node {
        &self.nodes[id as usize]
    }

    pub(super) fn node_mut(&mut self, id: u32) -> &mut Node {
        &mut self.nodes[id as usize]
    }

    pub(super) fn span(&self, (start, end): (u32, u32)) -> Span {
        Span {
            file: self.file,
            start,
            end,
        }
    }

    /// The key of a node as it reads; empty for one that has none.
    pub(super) fn key(&self, id: u32) -> &str {
        let node = self.node(id);
        if node.has(DECODED_KEY) {
            let found = self
                .decoded_keys
                .binary_search_by_key(&id, |&(node, _, _)| node);
            return found.map_or("", |i| {
                let (_, start, end) = self.decoded_keys[i];
                &self.decoded[start as usize..end as usize]
            });
        }
        let (start, end) = (node.key.0 as usize, node.key.1 as usize);
        let written = &self.text[start..end];
        if matches!(written.as_bytes().first(), Some(b'"' | b'\'')) {
            &written[1..written.len() - 1]
        } else {
            written
        }
    }

    /// The text of a string node.
    pub(super) fn string(&self, node: &Node) -> &str {
        let range = node.a as usize..node.b as usize;
        if node.has(DECODED) {
            &self.decoded[range]
        } else {
            &self.text[range]
        }
    }

    /// The entry of a table.
    pub(super) fn find(&self, table: u32, key: &str) -> Option<u32> {
        let node = self.node(table);
        if node.kind != Kind::Table {
            return None;
        }
        if node.count as usize > KeyIndex::FROM {
            return self.index.find(self, table, key);
        }
        self.children(table).find(|&child| self.key(child) == key)
    }

    /// The children of a node in the order of the text.
    pub(super) fn children(&self, of: u32) -> impl Iterator<Item = u32> {
        let node = self.node(of);
        let first = if node.has_children() { node.a } else { NONE };
        let exists = |id: u32| (id != NONE).then_some(id);
        std::iter::successors(exists(first), move |&at| exists(self.node(at).next))
    }

    /// Puts a node at the end of the list and below `parent`, or below nothing if that is
    /// [`NONE`].
    pub(super) fn add(&mut self, parent: u32, key: Option<KeyText<'_>>, mut node: Node) -> u32 {
        let id = u32::try_from(self.nodes.len()).unwrap_or(NONE);
        node.parent = parent;
        if let Some(key) = &key {
            node.key = (key.start, key.end);
            if let Some(text) = key.decoded {
                node.flags |= DECODED_KEY;
                let (start, end) = self.keep(text);
                self.decoded_keys.push((id, start, end));
            }
        }
        self.nodes.push(node);
        if parent == NONE {
            return id;
        }
        let above = self.node_mut(parent);
        let last = above.b;
        if above.count == 0 {
            above.a = id;
        }
        above.b = id;
        above.count += 1;
        let count = above.count as usize;
        if count > 1 {
            self.node_mut(last).next = id;
        }
        if key.is_some() && count > KeyIndex::FROM {
            self.put_in_index(parent, id, count == KeyIndex::FROM + 1);
        }
        id
    }

    /// Stores a decoded text and gives its place in the store.
    pub(super) fn keep(&mut self, text: &str) -> (u32, u32) {
        let start = self.decoded.len();
        self.decoded.push_str(text);
        // A decoded text is never longer than its source, so the store fits as the text does.
        (narrow(start), narrow(self.decoded.len()))
    }

    fn put_in_index(&mut self, table: u32, id: u32, all: bool) {
        let mut index = std::mem::take(&mut self.index);
        if all {
            for child in self.children(table) {
                index.insert(self, table, child);
            }
        } else {
            index.insert(self, table, id);
        }
        self.index = index;
    }
}

/// A key to be stored: its bytes in the text, and its reading if that differs from them.
pub(super) struct KeyText<'a> {
    pub start: u32,
    pub end: u32,
    pub decoded: Option<&'a str>,
}

/// The number of the root.
pub(super) const ROOT: u32 = 0;
/// Stands for no node.
pub(super) const NONE: u32 = u32::MAX;

/// A place in the text as it is stored. A text is no larger than `Source::MAX_BYTES`, which fits.
pub(super) fn narrow(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}

/// One key and value, or one element of a list.
#[derive(Debug, Clone)]
pub(super) struct Node {
    /// Bytes of the key.
    pub key: (u32, u32),
    /// Bytes of the value; of the header for a table that has one.
    pub at: (u32, u32),
    /// First child; for a string the start of its text; for numbers the low half.
    pub a: u32,
    /// Last child; for a string the end of its text; for numbers the high half.
    pub b: u32,
    pub count: u32,
    pub parent: u32,
    pub next: u32,
    pub kind: Kind,
    pub flags: u16,
}

impl Node {
    pub fn new(kind: Kind, parent: u32, start: usize, end: usize) -> Self {
        Node {
            key: (0, 0),
            at: (narrow(start), narrow(end)),
            a: NONE,
            b: NONE,
            count: 0,
            parent,
            next: NONE,
            kind,
            flags: 0,
        }
    }

    pub fn has(&self, flag: u16) -> bool {
        self.flags & flag != 0
    }

    pub fn has_children(&self) -> bool {
        matches!(self.kind, Kind::Table | Kind::Array) && self.count > 0
    }

    /// A number's 64 bits, kept in two halves.
    pub fn bits(&self) -> u64 {
        u64::from(self.a) | u64::from(self.b) << 32
    }

    pub fn set_bits(&mut self, bits: u64) {
        self.a = (bits & 0xffff_ffff) as u32;
        self.b = (bits >> 32) as u32;
    }
}

/// A table with a header of its own.
pub(super) const HEADER: u16 = 1;
/// A table made by a dotted key.
pub(super) const DOTTED: u16 = 2;
/// A table or list in brackets, to which nothing can be added.
pub(super) const INLINE: u16 = 4;
/// A list whose elements have headers.
pub(super) const OF_TABLES: u16 = 8;
/// Something that belongs here couldn't be read.
pub(super) const DAMAGED: u16 = 16;
/// A string that stands in the store of decoded texts.
pub(super) const DECODED: u16 = 32;
/// A key that stands there.
pub(super) const DECODED_KEY: u16 = 64;
/// A string with a character in it that was reported.
pub(super) const SUSPECT: u16 = 128;

/// Finds keys of large tables; small ones are searched in order, which is faster.
#[derive(Debug, Default)]
struct KeyIndex {
    hasher: RandomState,
    entries: HashTable<u32>,
}

impl KeyIndex {
    /// Tables with more entries than this are indexed.
    const FROM: usize = 32;

    fn hash(&self, table: u32, key: &str) -> u64 {
        self.hasher.hash_one((table, key))
    }

    fn find(&self, document: &Document, table: u32, key: &str) -> Option<u32> {
        let same = |&id: &u32| document.node(id).parent == table && document.key(id) == key;
        self.entries.find(self.hash(table, key), same).copied()
    }

    fn insert(&mut self, document: &Document, table: u32, id: u32) {
        let hash = self.hash(table, document.key(id));
        let hasher = &self.hasher;
        self.entries.insert_unique(hash, id, |&other| {
            hasher.hash_one((document.node(other).parent, document.key(other)))
        });
    }
}
