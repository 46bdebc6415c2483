//! Walking the tree: a cursor on one item.

use toml_datetime::Datetime;

use super::tree::{
    DAMAGED, DECODED, DOTTED, Document, HEADER, INLINE, NONE, Node, OF_TABLES, ROOT, SUSPECT,
};
use crate::text::Span;

/// What an item is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Kind {
    /// A table: with a header, in braces, or made by dotted keys or deeper headers.
    Table,
    /// A list, in brackets or of `[[…]]` tables.
    Array,
    /// Text.
    String,
    /// A whole number.
    Integer,
    /// A number with a decimal point or exponent, an infinity, or not a number.
    Float,
    /// True or false.
    Boolean,
    /// A date, a time, or both.
    Date,
    /// Stands where a value couldn't be read, which has been reported; say nothing more.
    Bad,
}

/// The number of an item in its document, for keeping it where the document can't be borrowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ItemId(pub(super) u32);

impl ItemId {
    /// As a plain number, unique in the document.
    pub fn number(self) -> u32 {
        self.0
    }
}

/// One item of a [`Document`]: cheap to copy, borrows the document.
#[derive(Clone, Copy)]
pub struct Item<'d> {
    document: &'d Document,
    id: u32,
}

impl<'d> Item<'d> {
    pub(super) fn new(document: &'d Document, id: u32) -> Self {
        Item { document, id }
    }

    fn node(self) -> &'d Node {
        self.document.node(self.id)
    }

    fn at(self, id: u32) -> Item<'d> {
        Item::new(self.document, id)
    }

    /// Its document.
    pub fn document(self) -> &'d Document {
        self.document
    }

    /// Its number, for [`Document::item`].
    pub fn id(self) -> ItemId {
        ItemId(self.id)
    }

    /// What it is.
    pub fn kind(self) -> Kind {
        self.node().kind
    }

    /// The bytes of its value. For a table with a header the header's bytes, brackets
    /// included; for one made by a dotted key or a deeper header, its name there; for a list
    /// of `[[…]]` tables the first header. The root is the whole text.
    pub fn span(self) -> Span {
        self.document.span(self.node().at)
    }

    /// Its key as it reads, and the bytes of it as written (quotes included). `None` for the
    /// root and for elements of a list.
    pub fn key(self) -> Option<(&'d str, Span)> {
        let node = self.node();
        if node.key == (0, 0) {
            return None;
        }
        Some((self.document.key(self.id), self.document.span(node.key)))
    }

    /// The key's bytes, else the value's: where a finding about the whole item stands.
    pub fn name_span(self) -> Span {
        self.key().map_or(self.span(), |(_, span)| span)
    }

    /// The entry of a table under `key`; `None` if there is none or this is no table.
    pub fn get(self, key: &str) -> Option<Item<'d>> {
        self.document.find(self.id, key).map(|id| self.at(id))
    }

    /// The entries of a table in the order of the text; none for anything else.
    pub fn entries(self) -> impl Iterator<Item = Item<'d>> {
        self.children(Kind::Table)
    }

    /// The elements of a list in the order of the text; none for anything else.
    pub fn items(self) -> impl Iterator<Item = Item<'d>> {
        self.children(Kind::Array)
    }

    fn children(self, of: Kind) -> impl Iterator<Item = Item<'d>> {
        let wanted = self.kind() == of;
        self.document
            .children(self.id)
            .take_while(move |_| wanted)
            .map(move |id| self.at(id))
    }

    /// How many entries or elements it has; 0 for what is neither table nor list.
    pub fn len(self) -> usize {
        match self.kind() {
            Kind::Table | Kind::Array => self.node().count as usize,
            _ => 0,
        }
    }

    /// Whether it has no entries or elements.
    pub fn is_empty(self) -> bool {
        self.len() == 0
    }

    /// The text of a string.
    pub fn as_str(self) -> Option<&'d str> {
        (self.kind() == Kind::String).then(|| self.document.string(self.node()))
    }

    /// A whole number.
    pub fn as_i64(self) -> Option<i64> {
        (self.kind() == Kind::Integer).then(|| self.node().bits().cast_signed())
    }

    /// A number, whole or not; [`Item::kind`] tells which.
    pub fn as_f64(self) -> Option<f64> {
        match self.kind() {
            Kind::Float => Some(f64::from_bits(self.node().bits())),
            Kind::Integer => Some(self.node().bits().cast_signed() as f64),
            _ => None,
        }
    }

    /// True or false.
    pub fn as_bool(self) -> Option<bool> {
        (self.kind() == Kind::Boolean).then(|| self.node().a == 1)
    }

    /// A date or time: as written, and as read.
    pub fn as_date(self) -> Option<(&'d str, Datetime)> {
        if self.kind() != Kind::Date {
            return None;
        }
        let text = self.written();
        text.parse().ok().map(|date| (text, date))
    }

    /// The value as it stands in the text, digits and quotes and all.
    pub fn written(self) -> &'d str {
        let (start, end) = self.node().at;
        &self.document.text[start as usize..end as usize]
    }

    /// The table or list it is in; `None` for the root and for what isn't part of the tree.
    pub fn parent(self) -> Option<Item<'d>> {
        let parent = self.node().parent;
        (parent != NONE).then(|| self.at(parent))
    }

    /// Its keys from the root, as in `package.mill-pair.option[0].id`.
    pub fn path(self) -> String {
        let mut parts = Vec::new();
        let mut item = self;
        while let Some(parent) = item.parent() {
            parts.push(match item.key() {
                Some((key, _)) => key.to_owned(),
                None => {
                    let before = parent.items().take_while(|other| other.id != item.id);
                    format!("[{}]", before.count())
                }
            });
            item = parent;
        }
        let mut path = String::new();
        for part in parts.iter().rev() {
            if !path.is_empty() && !part.starts_with('[') {
                path.push('.');
            }
            path.push_str(part);
        }
        path
    }

    /// The bytes of the `[header]` of a table that has one.
    pub fn header_span(self) -> Option<Span> {
        self.node().has(HEADER).then(|| self.span())
    }

    /// Whether it is a table or list in braces or brackets, not one with headers.
    pub fn is_inline(self) -> bool {
        self.node().has(INLINE)
    }

    /// Whether it is a list of `[[…]]` tables.
    pub fn is_list_of_tables(self) -> bool {
        self.node().has(OF_TABLES)
    }

    /// From its header (else its key) through the end of its last entry, those of its
    /// sub-tables included. Where sub-tables stand apart from their table, other tables lie
    /// in it too: [`Item::holds`] is exact.
    pub fn whole_span(self) -> Span {
        let node = self.node();
        let mut start = node.at.0;
        if node.key != (0, 0) && !node.has(HEADER) {
            start = start.min(node.key.0);
        }
        let mut end = node.at.1;
        let mut open = vec![self.id];
        while let Some(id) = open.pop() {
            for child in self.document.children(id) {
                let inner = self.document.node(child);
                start = start.min(if inner.has(HEADER) { inner.at.0 } else { start });
                end = end.max(inner.at.1);
                if inner.has_children() && !inner.has(INLINE) {
                    open.push(child);
                }
            }
        }
        self.document.span((start, end))
    }

    /// Whether `place` lies in this item: for a table, on its header, its entries or those
    /// of its sub-tables, wherever they stand; for a value, on its key, the value or between.
    pub fn holds(self, place: Span) -> bool {
        if place.file != self.document.file {
            return false;
        }
        if self.id == ROOT {
            return true;
        }
        let section = self.document.section_at(place.start as usize);
        if self.is_above(section) {
            return true;
        }
        self.covers(place.start)
    }

    /// Whether `other` is this item or lies below it.
    pub fn is_above(self, other: Item<'d>) -> bool {
        std::iter::successors(Some(other), |item| item.parent()).any(|item| item.id == self.id)
    }

    /// Whether byte `at` is one of this value's own, or of the values under a dotted key.
    fn covers(self, at: u32) -> bool {
        let node = self.node();
        if node.has(HEADER) {
            return false;
        }
        if node.has(DOTTED) {
            return self.entries().any(|entry| entry.covers(at));
        }
        let start = if node.key == (0, 0) {
            node.at.0
        } else {
            node.key.0
        };
        start <= at && at < node.at.1.max(start + 1)
    }

    /// Whether something in this table or list couldn't be read, so that what isn't found
    /// in it can't be said to be missing.
    pub fn damaged(self) -> bool {
        self.document.cut || self.node().has(DAMAGED)
    }

    /// Whether the text of this string holds a character that was reported as unsafe. It
    /// reads as written, but a second complaint about it would have the same cause.
    pub fn is_suspect(self) -> bool {
        self.node().has(SUSPECT)
    }

    /// The bytes of the text from which bytes `from..to` of a string's reading come: exact
    /// unless escapes were used in it, then the whole value.
    pub fn part_span(self, from: usize, to: usize) -> Span {
        let node = self.node();
        if node.kind != Kind::String || node.has(DECODED) {
            return self.span();
        }
        self.document.span((node.a, node.b)).part(from, to)
    }
}

impl PartialEq for Item<'_> {
    fn eq(&self, other: &Self) -> bool {
        std::ptr::eq(self.document, other.document) && self.id == other.id
    }
}

impl Eq for Item<'_> {}

impl std::fmt::Debug for Item<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:?} {}", self.kind(), self.path())
    }
}
