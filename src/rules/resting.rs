//! Promises that rest on something in doubt: they aren't lowered before that is mended.
//!
//! Lowering a promise to what the catalog's figures allow is right only if the figures are. A loss typed in psi for
//! kPa makes a right depth look like a bold one, and whoever accepted its correction would have two wrong figures.

use std::collections::{BTreeMap, BTreeSet, HashMap};

use crate::catalog::Kind;
use crate::document::{Item, ProblemKind};
use crate::finding::{Finding, Level, Related, Rule};
use crate::text::Span;

use super::{Context, slip};

/// What the formula of a promise takes, of its package's facts.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Basis {
    /// What decides the air that a machine presses through its lines.
    Air,
    /// Watts, and what a kilowatt-hour costs.
    Watts,
    /// Sound levels.
    Sound,
}

const ALL: &[Basis] = &[Basis::Air, Basis::Watts, Basis::Sound];
const AIR: &[Basis] = &[Basis::Air];
const WATTS: &[Basis] = &[Basis::Watts];
const SOUND: &[Basis] = &[Basis::Sound];
const NONE: &[Basis] = &[];

impl Basis {
    /// What a promise is worked out from, by the rule that holds it to that; nothing where that is other promises.
    fn of(rule: &str) -> Option<Basis> {
        match rule {
            "claim.power" | "claim.running-cost" => Some(Basis::Watts),
            "claim.sound" => Some(Basis::Sound),
            "claim.volume" => None,
            _ => Some(Basis::Air),
        }
    }

    /// The parts whose figures it is.
    fn kinds(self) -> &'static [Kind] {
        match self {
            Basis::Watts | Basis::Sound => &[Kind::Compressor, Kind::Cabinet],
            Basis::Air => &[
                Kind::Compressor,
                Kind::Diffuser,
                Kind::Airline,
                Kind::Manifold,
                Kind::Fitting,
                Kind::CheckValve,
            ],
        }
    }
}

/// What the faults of a rule, or of a family, make doubtful. What is missing in a box changes no figure. Faults of all
/// others do by the key that they stand at.
const BY_RULE: &[(&str, &[Basis])] = &[
    ("kit.airline-count", AIR),
    ("kit.airline-short", AIR),
    ("kit", NONE),
    ("packing", NONE),
    ("identity", NONE),
    ("evidence", NONE),
    ("waiver", NONE),
    ("airline", NONE),
    ("cabinet", NONE),
    ("curve", AIR),
    ("diffuser", AIR),
    ("power.volt-amperes", WATTS),
    ("power", &[Basis::Air, Basis::Watts]),
    ("sound", SOUND),
    ("syntax", ALL),
];

/// What takes the figure of a key; air does of every other.
#[rustfmt::skip]
const BY_KEY: &[(&[&str], &[Basis])] = &[
    (
        &["power", "fan_power", "tariff", "hours_per_day"],
        WATTS,
    ),
    (&["sound", "fan_sound", "sound_reduction"], SOUND),
    (
        &["compressor", "technology", "supply", "variant", "voltage", "frequency", "count"],
        ALL,
    ),
    (&["cabinet"], &[Basis::Watts, Basis::Sound]),
    (
        &[
            "title", "notes", "model", "sku", "gtin", "status", "replaced_by", "source", "sources", "image", "files",
            "own", "price", "price_per_length", "mass", "mass_per_length", "packed", "packed_mass", "warranty",
            "service", "current", "starting_current", "plugs", "receptacles", "outlets", "roll", "outside",
            "self_sinking", "inlet_filter", "hot_section", "ambient_limit", "lowest_ambient", "max_temperature",
            "enclosure",
        ],
        NONE,
    ),
];

/// The tables of a catalog's head on which every verdict rests.
const HEAD: [&str; 3] = ["site", "rating", "assumption"];

/// Takes back the corrections of promises that rest on something doubtful, and says what comes first.
pub fn hold_back(context: &Context, findings: &mut [Finding]) {
    if !findings.iter().any(lowers) {
        return;
    }
    let doubts = doubts(context, findings);
    let mut parts: HashMap<&str, Vec<(Kind, String)>> = HashMap::new();
    for mention in &context.catalog.mentions {
        let kinds = mention.kinds.iter();
        let named = kinds.map(|kind| (*kind, format!("{}.{}", kind.table(), mention.id)));
        parts.entry(&mention.on).or_default().extend(named);
    }
    for finding in findings.iter_mut().filter(|one| lowers(one)) {
        let on = root(&finding.on);
        let parts = parts.get(on).map_or(&[][..], |parts| parts);
        let basis = Basis::of(finding.rule.name);
        let Some((of, doubt)) =
            basis.and_then(|basis| first_doubt(context, &doubts, on, parts, basis))
        else {
            continue;
        };
        let of = of.replacen('.', " ", 1);
        let (mend, says) = match doubt.why {
            Why::Fault => (
                format!("First correct {of}: this figure depends on it."),
                "correct this first",
            ),
            Why::Unusual => (
                format!(
                    "First check {of}: a figure there is far outside the usual, and this one depends on it."
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
    /// What takes the figure that is in doubt.
    taken_by: &'static [Basis],
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
    let mut add = |of: String, at: Span, why: Why, taken_by: &'static [Basis]| {
        doubts
            .entry(of)
            .or_default()
            .push(Doubt { at, why, taken_by });
    };
    for finding in findings.iter().filter(|one| is_doubt(one)) {
        let of = match finding.on.as_str() {
            "catalog" => section(context, finding.at),
            on => root(on).to_string(),
        };
        let taken_by = by_rule(finding.rule).unwrap_or_else(|| by_key(context, finding.at));
        add(of, finding.at, Why::Fault, taken_by);
    }
    // What can't be read at all is told apart from the rules.
    let mut documents: BTreeSet<usize> = catalog.documents.iter().copied().collect();
    for kind in Kind::PARTS {
        for entry in catalog.entries(*kind) {
            documents.insert(entry.document);
            for at in slip::unusual(catalog, *kind, &entry.id) {
                add(entry.on(), at, Why::Unusual, by_key(context, at));
            }
        }
    }
    for document in documents {
        let problems = context.documents[document].problems().iter();
        for problem in problems.filter(|one| one.kind == ProblemKind::Syntax) {
            add(
                section(context, problem.span),
                problem.span,
                Why::Fault,
                ALL,
            );
        }
    }
    doubts
}

/// What a rule's faults make doubtful, where the rule says it.
fn by_rule(rule: &Rule) -> Option<&'static [Basis]> {
    let named = |name: &str| BY_RULE.iter().find(|(own, _)| *own == name);
    let found = named(rule.name).or_else(|| named(rule.family()))?;
    Some(found.1)
}

/// What takes the figure at a place: by the innermost key that tells. A header tells nothing.
fn by_key(context: &Context, at: Span) -> &'static [Basis] {
    let Some(document) = context.documents.get(at.file.0 as usize) else {
        return ALL;
    };
    let mut item = document.section_at(at.start as usize);
    let mut found = ALL;
    while let Some(inner) = item.entries().chain(item.items()).find(|one| one.holds(at)) {
        let named = inner.key().map(|(key, _)| key);
        let row = named.and_then(|key| BY_KEY.iter().find(|(keys, _)| keys.contains(&key)));
        found = match row {
            Some((_, taken_by)) => taken_by,
            None if found == ALL => AIR,
            None => found,
        };
        item = inner;
    }
    found
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

/// What of all that the promises of the package `on` rest on is in doubt, its `parts` first.
fn first_doubt(
    context: &Context,
    doubts: &BTreeMap<String, Vec<Doubt>>,
    on: &str,
    parts: &[(Kind, String)],
    basis: Basis,
) -> Option<(String, Doubt)> {
    let package = context.catalog.packages.get(on.strip_prefix("package.")?)?;
    // A promise doesn't rest on its neighbours, or on how it is written itself.
    let table = context.documents[package.entry.document].item(package.entry.node);
    let claims: Option<Item> = table.get("claim");
    let is_promise = |at: Span| claims.is_some_and(|claims| claims.holds(at));
    let in_head = |of: &&String| HEAD.contains(&of.split('.').next().unwrap_or(of));
    let own = [on.to_string()];
    let parts = parts
        .iter()
        .filter(|(kind, _)| basis.kinds().contains(kind));
    let things = parts.map(|(_, part)| part).chain(&own);
    things.chain(doubts.keys().filter(in_head)).find_map(|of| {
        let doubt = doubts
            .get(of)?
            .iter()
            .find(|one| one.taken_by.contains(&basis) && !is_promise(one.at))?;
        Some((of.clone(), *doubt))
    })
}
