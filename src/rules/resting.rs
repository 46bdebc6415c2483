//! Promises that rest on something in doubt: they aren't lowered before that is mended.
//!
//! Lowering a promise to what the catalog's figures allow is right only if the figures are. A loss typed in psi for
//! kPa makes a right depth look like a bold one, and whoever accepted its correction would have two wrong figures.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::catalog::Kind;
use crate::document::{Item, ProblemKind};
use crate::finding::{Finding, Level, Related};
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

/// Those of them that take watts and are heard.
const MACHINES: [Kind; 2] = [Kind::Compressor, Kind::Cabinet];

/// The tables of a catalog's head on which every verdict rests.
const HEAD: [&str; 3] = ["site", "rating", "assumption"];

/// Takes back the corrections of promises that rest on something doubtful, and says what comes first.
pub fn hold_back(context: &Context, findings: &mut [Finding]) {
    if !findings.iter().any(lowers) {
        return;
    }
    let doubts = doubts(context, findings);
    let mut parts: HashMap<&str, Vec<String>> = HashMap::new();
    for mention in &context.catalog.mentions {
        let kinds = mention.kinds.iter().filter(|kind| PARTS.contains(kind));
        let named = kinds.map(|kind| format!("{}.{}", kind.table(), mention.id));
        parts.entry(&mention.on).or_default().extend(named);
    }
    for finding in findings.iter_mut().filter(|one| lowers(one)) {
        let on = root(&finding.on);
        let parts = parts.get(on).map_or(&[][..], |parts| parts);
        let rests = Rests::of(finding);
        let Some((of, doubt)) = first_doubt(context, &doubts, on, parts, rests) else {
            continue;
        };
        let of = of.replacen('.', " ", 1);
        let (mend, says) = match doubt.why {
            Why::Fault => (
                format!("First correct the fault in {of}, because this result depends on it."),
                "correct this first",
            ),
            Why::Unusual => (
                format!(
                    "First check this figure of {of}: it is far outside the usual, and the result depends on it."
                ),
                "check this first",
            ),
        };
        finding.correction = None;
        finding.mend = mend;
        finding.related.push(Related {
            at: doubt.at,
            says: says.into(),
        });
    }
}

/// Something that makes figures doubtful which others rest on.
#[derive(Clone, Copy)]
struct Doubt {
    at: Span,
    why: Why,
    /// The family of the rule that spoke; nothing for what no rule has told.
    family: &'static str,
}

/// What of a package a promise rests on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Rests {
    /// Air and water, and so all of it.
    All,
    /// The watts of compressor and fan.
    Watts,
    /// The levels of compressor and cabinet.
    Levels,
}

impl Rests {
    /// Of the promise that a finding is about.
    fn of(finding: &Finding) -> Rests {
        match finding.rule.name {
            "claim.running-cost" | "claim.power" => Rests::Watts,
            "claim.sound" => Rests::Levels,
            _ => Rests::All,
        }
    }

    /// Whether it rests on a figure of `of` that a rule of the doubt's family speaks about.
    fn on(self, of: &str, doubt: &Doubt) -> bool {
        let table = of.split('.').next().unwrap_or(of);
        let is_of = |kinds: &[Kind]| kinds.iter().any(|kind| kind.table() == table);
        let is_machine = is_of(&MACHINES) || !is_of(&PARTS);
        match self {
            Rests::All => true,
            Rests::Watts => is_machine && doubt.family != "sound",
            Rests::Levels => is_machine && !["power", "curve"].contains(&doubt.family),
        }
    }
}

#[derive(Clone, Copy)]
enum Why {
    /// An error stands there.
    Fault,
    /// Hardly any figure is meant so; how it was meant needn't be known.
    Unusual,
}

/// What is in doubt, and where: parts, packages and tables of the head.
fn doubts(context: &Context, findings: &[Finding]) -> BTreeMap<String, Vec<Doubt>> {
    let catalog = context.catalog;
    let mut doubts: BTreeMap<String, Vec<Doubt>> = BTreeMap::new();
    let mut add = |of: String, at: Span, why: Why, family: &'static str| {
        let doubt = Doubt { at, why, family };
        doubts.entry(of).or_default().push(doubt);
    };
    for finding in findings.iter().filter(|one| is_doubt(one)) {
        let of = match finding.on.as_str() {
            "catalog" => section(context, finding.at),
            on => root(on).to_string(),
        };
        add(of, finding.at, Why::Fault, finding.rule.family());
    }
    // What can't be read at all is told apart from the rules.
    let mut documents: BTreeSet<usize> = catalog.documents.iter().copied().collect();
    for kind in PARTS {
        for entry in catalog.entries(kind) {
            documents.insert(entry.document);
            if let Some(at) = slip::unusual(catalog, kind, &entry.id) {
                add(entry.on(), at, Why::Unusual, "");
            }
        }
    }
    for document in documents {
        let problems = context.documents[document].problems().iter();
        for problem in problems.filter(|one| one.kind == ProblemKind::Syntax) {
            add(section(context, problem.span), problem.span, Why::Fault, "");
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

/// Families whose errors are about a figure or a reference, so that what is calculated from them is in doubt. A part
/// that is missing or doesn't fit is a fault too, but no figure changes by it.
const OF_FIGURES: [&str; 10] = [
    "syntax",
    "schema",
    "reference",
    "unit",
    "curve",
    "power",
    "airline",
    "diffuser",
    "sound",
    "cabinet",
];

/// Whether a finding makes figures doubtful that others rest on: an error about a figure, or a slip of units.
fn is_doubt(finding: &Finding) -> bool {
    let is_figure = OF_FIGURES.contains(&finding.rule.family());
    (finding.level == Level::Error && is_figure) || finding.rule.name == "unit.slip"
}

/// Whether a finding's correction changes a promise by what the physics allows.
fn lowers(finding: &Finding) -> bool {
    finding.rule.family() == "claim" && finding.correction.is_some()
}

/// `package.a.option.b` is about `package.a`.
fn root(on: &str) -> &str {
    on.match_indices('.').nth(1).map_or(on, |(at, _)| &on[..at])
}

/// What of all that the promises of the package `on` rest on is in doubt, its `parts` first.
fn first_doubt(
    context: &Context,
    doubts: &BTreeMap<String, Vec<Doubt>>,
    on: &str,
    parts: &[String],
    rests: Rests,
) -> Option<(String, Doubt)> {
    let package = context.catalog.packages.get(on.strip_prefix("package.")?)?;
    // A promise doesn't rest on its neighbours, or on how it is written itself.
    let table = context.documents[package.entry.document].item(package.entry.node);
    let claims: Option<Item> = table.get("claim");
    let is_promise = |at: Span| claims.is_some_and(|claims| claims.holds(at));
    let in_head = |of: &&String| HEAD.contains(&of.split('.').next().unwrap_or(of));
    let own = [on.to_string()];
    let things = parts.iter().chain(&own);
    things.chain(doubts.keys().filter(in_head)).find_map(|of| {
        let mut own = doubts.get(of)?.iter();
        let doubt = own.find(|one| !is_promise(one.at) && rests.on(of, one))?;
        Some((of.clone(), *doubt))
    })
}
