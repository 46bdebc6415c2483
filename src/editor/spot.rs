//! What the format has at a place of a text.

use crate::catalog::fields::{self, Field, Kind, Shape, Table};
use crate::document::{Document, Item};

/// What the format says of a table or key.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Spot {
    /// The keys that may stand in it, where it is a table.
    pub table: Option<&'static Table>,
    /// The key that it stands at.
    pub field: Option<&'static Field>,
    /// What has an ID here, where its ID has just been read.
    pub named: Option<Kind>,
}

impl Spot {
    /// The root of a catalog's file.
    pub fn root() -> Spot {
        Spot {
            table: Some(&fields::ROOT),
            ..Spot::default()
        }
    }

    /// One key further down.
    #[must_use]
    pub fn below(self, key: &str) -> Spot {
        if let (None, Some(field)) = (self.table, self.field) {
            // The key of a table of tables is an ID or a word of the writer.
            return match field.shape {
                Shape::ById(kind, table) => Spot {
                    table: Some(table),
                    field: None,
                    named: Some(kind),
                },
                Shape::ByName(table) => Spot {
                    table: Some(table),
                    ..Spot::default()
                },
                _ => Spot::default(),
            };
        }
        let field = self.table.and_then(|table| table.field(key));
        Spot {
            table: field.and_then(|field| inner(&field.shape)),
            field,
            named: None,
        }
    }

    /// What the format says of an item.
    pub fn of(item: Item) -> Spot {
        let above = std::iter::successors(Some(item), |item| item.parent());
        let mut keys: Vec<&str> = above.filter_map(|item| Some(item.key()?.0)).collect();
        keys.reverse();
        keys.into_iter().fold(Spot::root(), Spot::below)
    }
}

/// The table whose keys stand in what has a shape.
fn inner(shape: &Shape) -> Option<&'static Table> {
    match shape {
        Shape::Part(table)
        | Shape::Parts(table)
        | Shape::One(table)
        | Shape::Many(table)
        | Shape::OneOrMany(table) => Some(table),
        _ => None,
    }
}

/// The kinds of thing whose IDs may stand at a key.
pub(super) fn kinds(field: &Field) -> &'static [Kind] {
    match field.shape {
        Shape::Id(kinds) | Shape::Ids(kinds) => kinds,
        Shape::Part(table) | Shape::Parts(table) => {
            match table.field("part").map(|field| &field.shape) {
                Some(Shape::Id(kinds)) => kinds,
                _ => &[],
            }
        }
        _ => &[],
    }
}

/// The innermost item at byte `at`: a key, or its value.
pub(super) fn item_at(document: &Document, at: usize) -> Item<'_> {
    let mut item = document.section_at(at);
    let is_there = |one: &Item| {
        let (name, whole) = (one.name_span().range(), one.whole_span().range());
        let has_header = one.header_span().is_some();
        !has_header && name.start.min(whole.start) <= at && at <= whole.end.max(name.end)
    };
    while let Some(inner) = { item.entries().chain(item.items()) }.find(is_there) {
        item = inner;
    }
    item
}
