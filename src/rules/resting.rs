//! Promises that rest on something in doubt: they aren't lowered before that is mended.
//!
//! Lowering a promise to what the catalog's figures allow is right only if the figures are. A loss typed in psi for
//! kPa makes a right depth look like a bold one, and whoever accepted its correction would have two wrong figures.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalog::Kind;
use crate::document::{Item, ProblemKind};
use crate::finding::{Finding, Level};
use crate::text::Span;

use super::{Context, slip};

/// The parts that decide what a package does.
const PARTS: [Kind; 7] = [
    Kind::Compressor,
    Kind::Diffuser,
    Kind::Airline,
    Kind::Manifold,
    Kind::Fitting,
    Kind::CheckValve,
    Kind::Cabinet,
];

/// The tables of a catalog's head on which every verdict rests.
const HEAD: [&str; 3] = ["site", "rating", "assumption"];

/// Takes back the corrections of promises that rest on something doubtful, and says what comes first.
pub fn hold_back(context: &Context, findings: &mut [Finding]) {
    if !findings.iter().any(lowers) {
        return;
    }
    let doubts = doubts(context, findings);
    for finding in findings.iter_mut().filter(|one| lowers(one)) {
        let Some((of, at)) = first_doubt(context, &doubts, &finding.on) else {
            continue;
        };
        finding.correction = None;
        finding.mend = format!("First mend what stands in {of}: this rests on it.");
        let at = crate::finding::Related {
            at,
            says: "what is to be mended first".into(),
        };
        finding.related.push(at);
    }
}

/// What is in doubt, and where: parts, packages and tables of the head.
fn doubts(context: &Context, findings: &[Finding]) -> BTreeMap<String, Vec<Span>> {
    let catalog = context.catalog;
    let mut doubts: BTreeMap<String, Vec<Span>> = BTreeMap::new();
    let mut add = |of: String, at: Span| doubts.entry(of).or_default().push(at);
    for finding in findings.iter().filter(|one| is_doubt(one)) {
        let of = match finding.on.as_str() {
            "catalog" => section(context, finding.at),
            on => root(on).to_string(),
        };
        add(of, finding.at);
    }
    // What can't be read at all is told apart from the rules.
    let mut documents: BTreeSet<usize> = catalog.documents.iter().copied().collect();
    for kind in PARTS {
        for entry in catalog.entries(kind) {
            documents.insert(entry.document);
            // Hardly any figure is meant so, and it needn't be known how it was meant.
            if let Some(at) = slip::unusual(catalog, kind, &entry.id) {
                add(entry.on(), at);
            }
        }
    }
    for document in documents {
        let problems = context.documents[document].problems().iter();
        for problem in problems.filter(|one| one.kind == ProblemKind::Syntax) {
            add(section(context, problem.span), problem.span);
        }
    }
    doubts
}

/// The part, package or table of the head whose section a place is in.
fn section(context: &Context, at: Span) -> String {
    let document = &context.documents[at.file.0 as usize];
    let mut keys: Vec<&str> = Vec::new();
    let mut item = Some(document.section_at(at.start as usize));
    while let Some(inner) = item {
        keys.extend(inner.key().map(|(key, _)| key));
        item = inner.parent();
    }
    match keys.as_slice() {
        [.., table] if HEAD.contains(table) => (*table).to_string(),
        [.., id, table] => format!("{table}.{id}"),
        _ => "catalog".to_string(),
    }
}

/// Whether a finding makes figures doubtful that others rest on: an error that isn't itself a verdict, or a slip of
/// units.
fn is_doubt(finding: &Finding) -> bool {
    let is_verdict = matches!(finding.rule.family(), "claim" | "duty");
    (finding.level == Level::Error && !is_verdict) || finding.rule.name == "unit.slip"
}

/// Whether a finding's correction changes a promise by what the physics allows.
fn lowers(finding: &Finding) -> bool {
    finding.rule.family() == "claim" && finding.correction.is_some()
}

/// `package.a.option.b` is about `package.a`.
fn root(on: &str) -> &str {
    on.match_indices('.').nth(1).map_or(on, |(at, _)| &on[..at])
}

/// What of all that a promise on `on` rests on is in doubt, and where.
fn first_doubt(
    context: &Context,
    doubts: &BTreeMap<String, Vec<Span>>,
    on: &str,
) -> Option<(String, Span)> {
    let on = root(on);
    let package = context.catalog.packages.get(on.strip_prefix("package.")?)?;
    // A promise doesn't rest on its neighbours, or on how it is written itself.
    let table = context.documents[package.entry.document].item(package.entry.node);
    let claims: Option<Item> = table.get("claim");
    let is_promise = |at: Span| claims.is_some_and(|claims| claims.holds(at));
    let mentions = context.catalog.mentions.iter();
    let parts = mentions
        .filter(|mention| mention.on == on)
        .flat_map(|mention| {
            let kinds = mention.kinds.iter().filter(|kind| PARTS.contains(kind));
            kinds.map(|kind| format!("{}.{}", kind.table(), mention.id))
        });
    let head = doubts
        .keys()
        .filter(|of| HEAD.contains(&of.split('.').next().unwrap_or(of)));
    let mut things: Vec<String> = parts.chain([on.to_string()]).collect();
    things.extend(head.cloned());
    things.into_iter().find_map(|of| {
        let at = doubts.get(&of)?.iter().find(|at| !is_promise(**at))?;
        Some((of, *at))
    })
}
