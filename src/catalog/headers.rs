//! The headers in which a table is named: its own and those of the tables below it.

use std::ops::Range;

use crate::document::{Item, Kind as Node};
use crate::text::Span;

/// The places of an item's key in every header below it, but for the first, which is the key's own place.
pub fn naming(item: Item) -> Vec<Span> {
    let mut headers = Vec::new();
    collect(item, &mut headers);
    let place = depth(item);
    let text = item.document().text();
    let named = headers.into_iter().filter_map(|header| {
        let key = segment(&text[header.range()], place)?;
        let start = header.start as usize + key.start;
        Some(Span::new(
            header.file,
            start,
            header.start as usize + key.end,
        ))
    });
    let own = item.name_span();
    let mut places: Vec<Span> = named.filter(|at| *at != own).collect();
    places.sort_unstable();
    places.dedup();
    places
}

fn collect(item: Item, headers: &mut Vec<Span>) {
    headers.extend(item.header_span());
    let below = item.entries().chain(item.items());
    for inner in below.filter(|inner| matches!(inner.kind(), Node::Table | Node::Array)) {
        if !inner.is_inline() {
            collect(inner, headers);
        }
    }
}

/// How many keys lead to an item before its own.
fn depth(item: Item) -> usize {
    let mut keys = 0;
    let mut above = item.parent();
    while let Some(item) = above {
        keys += usize::from(item.key().is_some());
        above = item.parent();
    }
    keys
}

/// The bytes of the key at `place` in a header.
fn segment(header: &str, place: usize) -> Option<Range<usize>> {
    let mut quote = None;
    let mut at = 0;
    let mut start = None;
    for (byte, c) in header.char_indices() {
        let ends = match (quote, c) {
            (None, '.' | ']') => true,
            (None, '"' | '\'') => {
                quote = Some(c);
                false
            }
            (Some(mark), c) if c == mark => {
                quote = None;
                false
            }
            _ => false,
        };
        if ends {
            if at == place {
                let written = &header[start?..byte];
                return Some(start?..start? + written.trim_end().len());
            }
            at += 1;
            start = None;
        } else if start.is_none() && !c.is_whitespace() && (c != '[' || quote.is_some()) {
            start = Some(byte);
        }
    }
    None
}

#[cfg(test)]
mod tests {
    use super::segment;

    #[test]
    fn a_key_of_a_header_is_found_by_its_place() {
        let at = |header: &str, place| segment(header, place).map(|at| header[at].to_string());
        assert_eq!(at("[compresor.x]", 0).as_deref(), Some("compresor"));
        assert_eq!(at("[[a.x.variants]]", 2).as_deref(), Some("variants"));
        assert_eq!(at("[ a . \"b.c\" . d ]", 1).as_deref(), Some("\"b.c\""));
        assert_eq!(at("[ a . \"b.c\" . d ]", 2).as_deref(), Some("d"));
        assert_eq!(at("[a]", 1), None);
        assert_eq!(at("[a", 0), None);
    }
}
