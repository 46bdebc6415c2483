//! Does a cited document stand in the catalog, cover what cites it, and postdate it.

use std::collections::BTreeSet;

use crate::catalog::{Entry, EvidenceEntry, Given, Kind, Text, beside, lies_in, nearest};
use crate::document::{Item, Kind as Node};
use crate::finding::{Finding, Level, Rule};
use crate::text::Span;

use super::{Context, Family, quoted};

static RULES: &[Rule] = &[MISSING, DOES_NOT_COVER];

const MISSING: Rule = Rule {
    name: "evidence.missing",
    level: Level::Error,
    speaks: "a cited document isn't described, or its file isn't in the catalog",
};
const DOES_NOT_COVER: Rule = Rule {
    name: "evidence.does-not-cover",
    level: Level::Warning,
    speaks: "a cited document doesn't cover what cites it, or is older than what it measures",
};

pub const FAMILY: Family = Family {
    name: "evidence",
    rules: RULES,
    page: include_str!("evidence.md"),
    check,
};

/// A place that cites a document.
struct Citation<'a> {
    id: &'a str,
    at: Span,
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    let mut looked_for = 0;
    for &kind in Kind::PARTS.iter().chain(&[Kind::Package]) {
        for entry in catalog.entries(kind) {
            let item = context.documents[entry.document].item(entry.node);
            let mut citations = Vec::new();
            gather(item, &mut citations);
            for citation in citations {
                match catalog.evidence.get(citation.id) {
                    Some(document) => {
                        findings.extend(covers(context, entry, document, &citation));
                    }
                    None => {
                        let missing = missing(context, &citation, &mut looked_for);
                        findings.push(missing.on(entry.on()));
                    }
                }
            }
        }
    }
    outside(context, findings);
    for range in &catalog.ranges {
        if let Given::Known(source) = &range.source
            && let Some(citation) = cited(&source.text, source.at)
            && catalog.evidence.get(citation.id).is_none()
        {
            let on = format!("assumption.{}", range.name.text);
            findings.push(missing(context, &citation, &mut looked_for).on(on));
        }
    }
}

/// Documents that lie outside the catalog, and don't go with it where it goes.
fn outside(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    let Some(root) = super::folder(context) else {
        return;
    };
    for document in catalog.evidence.iter() {
        let Some((file, path)) = path_of(context, document) else {
            continue;
        };
        if !lies_in(&path, root) {
            findings.push(
                Finding::new(
                    &RULES[0],
                    file.at,
                    format!("{} lies outside the catalog's folder, so it is lost when the catalog is moved.", file.text),
                )
                .mend("Put the document into the catalog's folder, and write its path as seen from this file.")
                .on(document.entry.on()),
            );
        }
    }
}

/// The documents of the register that aren't among the files that are there.
///
/// Whether a file is there is the disk's business, so the paths of those that are come from outside.
pub fn files(context: &Context, there: &BTreeSet<String>, findings: &mut Vec<Finding>) {
    let told = super::places(&MISSING, findings);
    for document in context.catalog.evidence.iter() {
        let Some((file, path)) = path_of(context, document) else {
            continue;
        };
        // One that lies outside has been told already.
        if !told.contains(&file.at) && !there.contains(&path) {
            findings.push(
                Finding::new(&RULES[0], file.at, format!("File {path} doesn't exist."))
                    .mend("Put the document there, or write its path as seen from this file.")
                    .on(document.entry.on()),
            );
        }
    }
}

/// The file of a document and its path, seen from where the run is.
fn path_of<'a>(context: &Context, document: &'a EvidenceEntry) -> Option<(&'a Text, String)> {
    let file = document
        .file
        .known()
        .filter(|file| !file.text.trim().is_empty())?;
    let own = context.sources.get(file.at.file).name();
    Some((file, beside(own, &file.text)))
}

fn cited(text: &str, at: Span) -> Option<Citation<'_>> {
    let id = text.trim().strip_prefix("evidence.")?;
    Some(Citation { id, at })
}

/// Every `source` in an entry that names a document, the owner's own keys left out.
fn gather<'d>(item: Item<'d>, citations: &mut Vec<Citation<'d>>) {
    for entry in item.entries() {
        match entry.key().map(|(key, _)| key) {
            Some("own") => {}
            Some("source") => {
                let text = entry.as_str();
                citations.extend(text.and_then(|text| cited(text, entry.span())));
            }
            _ => gather(entry, citations),
        }
    }
    if item.kind() == Node::Array {
        for inner in item.items() {
            gather(inner, citations);
        }
    }
}

/// For as many documents that aren't there the nearest is looked for: each search goes through all IDs.
const MOST_LOOKED_FOR: usize = 50;

fn missing(context: &Context, citation: &Citation, looked_for: &mut usize) -> Finding {
    let catalog = context.catalog;
    *looked_for += 1;
    let known = (*looked_for <= MOST_LOOKED_FOR).then(|| catalog.evidence.ids());
    let finding = Finding::new(
        &RULES[0],
        citation.at,
        format!("There is no document `{}` in the catalog.", citation.id),
    );
    match nearest(citation.id, known.into_iter().flatten()) {
        Some(near) => {
            let mut finding =
                finding.correct(false, citation.at, quoted(&format!("evidence.{near}")));
            finding
                .message
                .push_str(&format!(" The nearest ID is `{near}`."));
            finding
        }
        None => finding.mend(format!(
            "Describe it under [evidence.{}] with its file, kind and date.",
            citation.id
        )),
    }
}

/// Whether a document speaks of what cites it, as that was sold when it was written.
fn covers(
    context: &Context,
    entry: &Entry,
    document: &EvidenceEntry,
    citation: &Citation,
) -> Option<Finding> {
    let on = entry.on();
    let title = document
        .entry
        .title
        .as_deref()
        .unwrap_or(&document.entry.id);
    let place = |key: &str| context.place(&document.entry, key);
    if !document.covers.is_empty() && !document.covers.has(&on) {
        return Some(
            Finding::new(
                &RULES[1],
                citation.at,
                format!("{title} doesn't list {on} among what it covers."),
            )
            .mend("Cite a document that measures this thing, or add it to covers if the document does.")
            .related(place("covers"), "what it covers")
            .on(on),
        );
    }
    let date = document.date.known()?;
    let (what, since) = newest(context, entry)
        .into_iter()
        .max_by(|a, b| a.1.text.cmp(&b.1.text))?;
    // Dates are written year first, so their order is that of their letters.
    if date.text >= since.text {
        return None;
    }
    Some(
        Finding::new(
            &RULES[1],
            citation.at,
            format!(
                "{title} is of {}, older than {what}, which has been sold since {}.",
                date.text, since.text
            ),
        )
        .mend("The document is older than the product. Measure again, or say why the figure still holds.")
        .related(date.at, "the document's date")
        .related(since.at, "since when it is sold")
        .on(on),
    )
}

/// The thing itself and, for a package, its parts, each with the first day it was sold.
fn newest<'a>(context: &Context<'a>, entry: &'a Entry) -> Vec<(String, &'a Text)> {
    let catalog = context.catalog;
    let dated = |entry: &'a Entry| {
        let since = entry.identity.since.known()?;
        Some((format!("{} {}", entry.kind.words(), entry.id), since))
    };
    let mut all: Vec<_> = dated(entry).into_iter().collect();
    if let Some(package) = (entry.kind == Kind::Package)
        .then(|| catalog.packages.get(&entry.id))
        .flatten()
    {
        let compressors = package.compressor.known().into_iter().flatten();
        let compressors = compressors.filter_map(|one| catalog.compressors.get(&one.part.id));
        all.extend(compressors.filter_map(|part| dated(&part.entry)));
        let diffusers = package.diffuser.known().into_iter().flatten();
        let diffusers = diffusers.filter_map(|one| catalog.diffusers.get(&one.part.id));
        all.extend(diffusers.filter_map(|part| dated(&part.entry)));
    }
    all
}
