//! Fills in what findings are known by.

use std::collections::HashMap;

use crate::document::{Document, Item};
use crate::finding::{Finding, Identity, one_writing};
use crate::text::Sources;

/// Tells what each of a catalog's findings is known by; `catalog` is empty for findings of none. `keys` are those of
/// documents, by their numbers, as far as they were looked for.
pub(super) fn fill(
    sources: &Sources,
    documents: &[Document],
    catalog: &str,
    findings: &mut [Finding],
    keys: &mut HashMap<usize, Keys>,
) {
    for finding in findings {
        let index = finding.at.file.0 as usize;
        let document = documents.get(index);
        // A named thing may lie in any of a catalog's files; a page is what it is by its path.
        let is_named = document.is_some() && finding.on.contains('.');
        finding.identity = Identity {
            catalog: catalog.to_string(),
            file: match is_named {
                true => String::new(),
                false => sources.get(finding.at.file).name().to_string(),
            },
            key: document.map_or_else(String::new, |document| {
                let keys = keys.entry(index).or_insert_with(|| Keys::of(document));
                keys.at(document, finding.at.start, if is_named { 2 } else { 0 })
            }),
            text: one_writing(sources.slice(finding.at)),
        };
    }
}

/// Where the keys of a document stand, in order.
#[derive(Debug)]
pub(super) struct Keys(Vec<(u32, crate::document::ItemId)>);

impl Keys {
    fn of(document: &Document) -> Keys {
        let mut all = Vec::new();
        let mut open: Vec<Item> = vec![document.root()];
        while let Some(item) = open.pop() {
            for inner in item.entries().chain(item.items()) {
                all.push((inner.name_span().start, inner.id()));
                open.push(inner);
            }
        }
        all.sort_unstable_by_key(|one| one.0);
        Keys(all)
    }

    /// The keys that lead to byte `at`, without the first `skip`; the number of a row isn't one, as rows move.
    fn at(&self, document: &Document, at: u32, skip: usize) -> String {
        let before = self.0.partition_point(|&(start, _)| start <= at);
        let Some(&(_, last)) = before.checked_sub(1).and_then(|place| self.0.get(place)) else {
            return String::new();
        };
        let above = std::iter::successors(Some(document.item(last)), |item| item.parent());
        let mut keys: Vec<&str> = above.filter_map(|item| Some(item.key()?.0)).collect();
        keys.reverse();
        keys.get(skip..).unwrap_or_default().join(".")
    }
}
