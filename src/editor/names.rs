//! IDs: where one is given, where it is used, and another one in all places at once.

use std::collections::BTreeSet;
use std::ops::Range;

use serde_json::{Value, json};

use crate::catalog::{self, Catalog, Entry, Kind};
use crate::document::{Document, Item};
use crate::engine::{self, Input};
use crate::text::{FileId, Span};

use super::spot::{Spot, item_at};
use super::unit::Unit;
use super::{Answer, Asked, Refusal};

/// A named thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Name {
    pub kind: Kind,
    pub id: String,
    /// The letters of the ID that were pointed at.
    pub at: Span,
}

/// Places of an ID, and whether each gives it.
type Places = BTreeSet<(Span, bool)>;

/// The thing whose ID stands at byte `at` of a file, where one does.
pub(super) fn at(unit: &mut Unit, file: FileId, at: usize) -> Option<Name> {
    let catalogs = unit.catalogs();
    let known = |kinds: &[Kind], id: &str| -> Option<Kind> {
        let has = |kind: &&Kind| catalogs.iter().any(|catalog| catalog.has(**kind, id));
        // A name that nothing has is one too: others may use it as well.
        kinds.iter().find(has).or(kinds.first()).copied()
    };
    let name = |kind: Kind, id: &str, at: Span| {
        let id = id.to_string();
        Name { kind, id, at }
    };
    let Some(document) = unit.document(file) else {
        let mut sheets = unit.outcome()?.sheets.iter();
        let (id, at) = sheets
            .find(|sheet| sheet.file == file)?
            .sheet
            .package
            .as_ref()
            .filter(|(_, own)| own.start <= at && at <= own.end)?;
        let letters = letters(unit, Span::new(file, at.start, at.end), id, 0)?;
        return Some(name(Kind::Package, id, letters));
    };
    let header = document.headers().take_while(|&start| start <= at).last();
    for (number, (place, key)) in header_keys(document.text(), header.unwrap_or(0))
        .into_iter()
        .enumerate()
    {
        if header.is_some() && number == 1 && place.start <= at && at <= place.end {
            let table = header_keys(document.text(), header?);
            let kind = kind_of(table.first()?.1)?;
            return Some(name(kind, key, Span::new(file, place.start, place.end)));
        }
    }
    let item = item_at(document, at);
    if let (Some(kind), Some((id, key))) = (Spot::of(item).named, item.key())
        && holds(key, file, at)
    {
        return Some(name(kind, id, letters(unit, key, id, 0)?));
    }
    for catalog in catalogs.iter() {
        if let Some(one) = catalog.mentions.iter().find(|one| holds(one.at, file, at)) {
            return Some(name(
                known(one.kinds, &one.id)?,
                &one.id,
                letters(unit, one.at, &one.id, 0)?,
            ));
        }
        let next = |entry: &Entry| {
            let next = entry.identity.replaced_by.known();
            next.filter(|next| holds(next.at, file, at))
                .map(|next| (entry.kind, next.clone()))
        };
        if let Some((kind, next)) = all_entries(catalog).find_map(next) {
            return Some(name(
                kind,
                &next.text,
                letters(unit, next.at, &next.text, 0)?,
            ));
        }
        let mut waivers = catalog
            .waivers
            .iter()
            .filter_map(|waiver| waiver.on.known());
        if let Some(on) = waivers.find(|on| holds(on.at, file, at)) {
            let mut keys = on.text.split('.');
            let (table, id) = (keys.next()?, keys.next()?);
            return Some(name(
                kind_of(table)?,
                id,
                letters(unit, on.at, id, table.len() + 1)?,
            ));
        }
    }
    let id = item.as_str()?.strip_prefix("evidence.")?;
    let letters = letters(unit, item.span(), id, "evidence.".len())?;
    Some(name(Kind::Evidence, id, letters))
}

fn kind_of(table: &str) -> Option<Kind> {
    let mut kinds = Kind::PARTS.iter().chain(&[Kind::Package, Kind::Evidence]);
    kinds.find(|kind| kind.table() == table).copied()
}

fn holds(span: Span, file: FileId, at: usize) -> bool {
    span.file == file && span.start as usize <= at && at <= span.end as usize
}

fn all_entries(catalog: &Catalog) -> impl Iterator<Item = &Entry> {
    let kinds = Kind::PARTS.iter().chain(&[Kind::Package, Kind::Evidence]);
    kinds.flat_map(|&kind| catalog.entries(kind))
}

/// All places of an ID in a catalog and its sheets, and whether each gives it.
fn places(unit: &Unit, catalog: &Catalog, kind: Kind, id: &str) -> Places {
    let mut all = BTreeSet::new();
    let entry = catalog.entry(kind, id);
    let mut documents: BTreeSet<usize> = catalog.documents.iter().copied().collect();
    documents.extend(entry.map(|entry| entry.document));
    for document in documents
        .into_iter()
        .filter_map(|number| document(unit, number))
    {
        given(document, kind, id, &mut all);
        if kind == Kind::Evidence {
            cited(document.root(), id, &mut all);
        }
    }
    let is_meant = |kinds: &[Kind]| {
        let first = kinds.iter().find(|&&kind| catalog.has(kind, id));
        first.or(kinds.first()) == Some(&kind)
    };
    let used = catalog.mentions.of(id).filter(|one| is_meant(one.kinds));
    all.extend(used.filter_map(|one| Some((letters(unit, one.at, id, 0)?, false))));
    let followed = catalog.entries(kind).into_iter();
    let followed = followed.filter_map(|entry| entry.identity.replaced_by.known());
    let followed = followed.filter(|next| next.text == id);
    all.extend(followed.filter_map(|next| Some((letters(unit, next.at, id, 0)?, false))));
    let on = format!("{}.{id}", kind.table());
    for waiver in &catalog.waivers {
        let Some(text) = waiver.on.known() else {
            continue;
        };
        let rest = text.text.strip_prefix(&on);
        if rest.is_some_and(|rest| rest.is_empty() || rest.starts_with('.')) {
            let before = kind.table().len() + 1;
            all.extend(letters(unit, text.at, id, before).map(|at| (at, false)));
        }
    }
    if let (Kind::Package, Some(outcome)) = (kind, unit.outcome()) {
        for sheet in &outcome.sheets {
            let own = sheet.sheet.package.as_ref().filter(|(own, _)| own == id);
            let Some((_, at)) = own else { continue };
            let at = Span::new(sheet.file, at.start, at.end);
            all.extend(letters(unit, at, id, 0).map(|at| (at, false)));
        }
    }
    all
}

fn document(unit: &Unit, number: usize) -> Option<&Document> {
    unit.document(FileId(u32::try_from(number).ok()?))
}

/// The letters of an ID in the text at `at`, `before` bytes after it begins.
fn letters(unit: &Unit, at: Span, id: &str, before: usize) -> Option<Span> {
    let written = unit.text(at.file).get(at.range())?;
    let quote = usize::from(written.starts_with(['"', '\'']));
    let from = quote + before;
    (written.get(from..from + id.len()) == Some(id)).then(|| at.part(from, from + id.len()))
}

/// Where headers and keys of a document give an ID.
fn given(document: &Document, kind: Kind, id: &str, all: &mut Places) {
    let mut is_first = true;
    let item = document
        .root()
        .get(kind.table())
        .and_then(|table| table.get(id));
    for header in document.headers() {
        let mut keys = header_keys(document.text(), header).into_iter();
        let is_kind = keys.next().is_some_and(|(_, key)| key == kind.table());
        let Some((at, _)) = keys.next().filter(|(_, key)| is_kind && *key == id) else {
            continue;
        };
        all.insert((Span::new(document.file(), at.start, at.end), is_first));
        is_first = false;
    }
    let key = item.and_then(Item::key);
    if let Some((_, at)) = key.filter(|_| is_first) {
        let quote = usize::from(document.text()[at.range()].starts_with(['"', '\'']));
        all.insert((at.part(quote, quote + id.len()), true));
    }
}

/// Where a document is cited: `source = "evidence.ID"`.
fn cited(item: Item, id: &str, all: &mut Places) {
    for inner in item.entries().chain(item.items()) {
        let text = inner
            .as_str()
            .and_then(|text| text.strip_prefix("evidence."));
        if text == Some(id) {
            let from = 1 + "evidence.".len();
            all.insert((inner.span().part(from, from + id.len()), false));
        }
        cited(inner, id, all);
    }
}

/// The keys of the header that begins at byte `at`, with the places of their letters.
pub(super) fn header_keys(text: &str, at: usize) -> Vec<(Range<usize>, &str)> {
    let line = text.get(at..).unwrap_or("").lines().next().unwrap_or("");
    let mut keys = Vec::new();
    let mut from = line.find(|letter| letter != '[').unwrap_or(line.len());
    while let Some(rest) = line.get(from..) {
        let blank = rest.len() - rest.trim_start().len();
        let rest = &rest[blank..];
        from += blank;
        let quote = rest
            .chars()
            .next()
            .filter(|letter| ['"', '\''].contains(letter));
        let (skip, length) = match quote {
            Some(quote) => (1, rest[1..].find(quote).unwrap_or(rest.len() - 1)),
            None => {
                let is_end = |letter: char| ['.', ']', ' ', '\t'].contains(&letter);
                (0, rest.find(is_end).unwrap_or(rest.len()))
            }
        };
        let start = at + from + skip;
        keys.push((start..start + length, &rest[skip..skip + length]));
        let after = from + 2 * skip + length;
        let next = line.get(after..).unwrap_or("");
        let dot = next.find(|letter: char| !letter.is_whitespace());
        match dot.filter(|&dot| next[dot..].starts_with('.')) {
            Some(dot) => from = after + dot + 1,
            None => break,
        }
    }
    keys
}

/// Every place of a thing's ID, in all catalogs that have it; where none has, in all that use it.
fn everywhere(unit: &mut Unit, name: &Name) -> Places {
    let catalogs = unit.catalogs();
    let header = |catalog: &Catalog| catalog.entry(name.kind, &name.id).map(|entry| entry.header);
    let of_each = catalogs.iter().map(|catalog| {
        let places = places(unit, catalog, name.kind, &name.id);
        (header(catalog), places)
    });
    let of_each: Vec<(Option<Span>, Places)> = of_each.collect();
    let is_own = |places: &Places| places.iter().any(|(at, _)| *at == name.at);
    let own = of_each.iter().filter(|(_, places)| is_own(places));
    let own: Vec<Option<Span>> = own.map(|(header, _)| *header).collect();
    let same = of_each.iter().filter(|(header, _)| own.contains(header));
    same.flat_map(|(_, places)| places.iter().copied())
        .collect()
}

fn asked(asked: &mut Asked) -> Result<Option<Name>, Refusal> {
    let place = asked.at()?;
    Ok(at(asked.unit, asked.file, place))
}

pub(super) fn definition(request: &mut Asked) -> Answer {
    let Some(name) = asked(request)? else {
        return Ok(Value::Null);
    };
    let all = everywhere(request.unit, &name);
    let given = all.into_iter().filter(|(_, is_given)| *is_given);
    let given = given.map(|(at, _)| request.unit.location(at, request.open, request.encoding));
    Ok(Value::Array(given.collect()))
}

pub(super) fn references(request: &mut Asked, declared: bool) -> Answer {
    let Some(name) = asked(request)? else {
        return Ok(Value::Null);
    };
    let all = everywhere(request.unit, &name).into_iter();
    let all = all.filter(|(_, is_given)| declared || !is_given);
    let all = all.map(|(at, _)| request.unit.location(at, request.open, request.encoding));
    Ok(Value::Array(all.collect()))
}

pub(super) fn prepare(request: &mut Asked) -> Answer {
    let Some(name) = asked(request)? else {
        return Ok(Value::Null);
    };
    let range = request.lines().range(name.at.range());
    Ok(json!({ "range": range, "placeholder": name.id }))
}

pub(super) fn rename(request: &mut Asked, new: &str) -> Answer {
    let failed = |why: String| Err(Refusal::Failed(why));
    let Some(name) = asked(request)? else {
        return failed("there is no ID here".into());
    };
    if !catalog::is_id(new) {
        return failed(format!(
            "`{new}` is no ID: an ID is made of lower-case letters and digits, in words joined by hyphens"
        ));
    }
    if new == name.id {
        return Ok(Value::Null);
    }
    let catalogs = request.unit.catalogs();
    if catalogs
        .iter()
        .any(|catalog| catalog.has(name.kind, new) && catalog.has(name.kind, &name.id))
    {
        return failed(format!("there is a {} `{new}` already", name.kind.words()));
    }
    let all = everywhere(request.unit, &name);
    let edits: Vec<(Span, String)> = all.iter().map(|(at, _)| (*at, new.to_string())).collect();
    if !is_whole(request.unit, &name, new, &edits) {
        return failed(format!(
            "`{}` is also written in a way that can't be renamed here, such as several dotted keys",
            name.id
        ));
    }
    let unit = &request.unit;
    Ok(unit.edits(&edits, request.open, request.encoding))
}

/// Whether nothing goes by the old ID after the edits, and as many things by the new one.
fn is_whole(unit: &Unit, name: &Name, new: &str, edits: &[(Span, String)]) -> bool {
    let mut inputs: Vec<Input> = unit.inputs().to_vec();
    for input in &mut inputs {
        let Some(file) = unit.file(&input.path) else {
            continue;
        };
        let own = edits.iter().filter(|(at, _)| at.file == file);
        // From the end, so that no place moves before its turn.
        let mut own: Vec<&(Span, String)> = own.collect();
        own.sort_by_key(|(at, _)| std::cmp::Reverse(at.start));
        for (at, with) in own {
            if at.end as usize <= input.bytes.len() {
                input.bytes.splice(at.range(), with.bytes());
            }
        }
    }
    let counts = |catalogs: &[Catalog], id: &str| -> (usize, usize) {
        let has = catalogs
            .iter()
            .filter(|catalog| catalog.has(name.kind, id))
            .count();
        let used = catalogs.iter().flat_map(|catalog| catalog.mentions.of(id));
        (
            has,
            used.filter(|one| one.kinds.contains(&name.kind)).count(),
        )
    };
    let before = engine::read(unit.inputs().to_vec()).catalogs;
    let after = engine::read(inputs).catalogs;
    let is_gone = |(has, _): (usize, usize), (had, _): (usize, usize)| has == 0 || has < had;
    let (was, is) = (counts(&before, &name.id), counts(&after, new));
    is_gone(counts(&after, &name.id), was) && is.0 >= was.0.min(1) && is.1 >= counts(&before, new).1
}

#[cfg(test)]
mod tests {
    use super::header_keys;

    #[test]
    fn a_header_has_its_keys_where_they_stand() {
        let keys = |text: &str| -> Vec<(usize, String)> {
            let keys = header_keys(text, 0).into_iter();
            keys.map(|(at, key)| (at.start, key.to_string())).collect()
        };
        let of = |all: &[(usize, &str)]| -> Vec<(usize, String)> {
            all.iter()
                .map(|(at, key)| (*at, (*key).to_string()))
                .collect()
        };
        assert_eq!(
            keys("[package.a.claim] # x"),
            of(&[(1, "package"), (9, "a"), (11, "claim")])
        );
        assert_eq!(
            keys("[[package . \"a b\".option]]"),
            of(&[(2, "package"), (13, "a b"), (18, "option")])
        );
        assert_eq!(keys("[package."), of(&[(1, "package"), (9, "")]));
        assert_eq!(keys("[\"open"), of(&[(2, "open")]));
        assert_eq!(keys(""), of(&[(0, "")]));
    }
}
