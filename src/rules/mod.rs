//! The rules: which facts and verdicts are worth a finding, and in what words.
//!
//! A family is one `.rs` and one `.md`: the code that speaks and the page that says why, whose
//! examples are its tests. A rule's author names keys of an entry; [`Context::place`] turns them
//! into bytes. No equation is here, and no format.

use std::collections::{HashMap, HashSet};
use std::sync::OnceLock;

use rayon::iter::{IntoParallelRefIterator, ParallelIterator};

use crate::catalog::mapping::ReadMapping;
use crate::catalog::pond::ReadPond;
use crate::catalog::{Catalog, CatalogFault, Entry, Kind, Package, PackageOption};
use crate::claims::Verdict;
use crate::derive::{Derived, PackageFacts, Way};
use crate::document::{Document, Item, ProblemKind};
use crate::finding::{Finding, Rule};
use crate::text::{FileId, Sources, Span};

mod airline;
mod cabinet;
pub mod caution;
mod claim;
mod curve;
mod diffuser;
mod duty;
mod evidence;
mod identity;
mod kit;
mod packing;
mod power;
mod reference;
mod schema;
mod resting;
pub mod sheet;
mod slip;
mod sound;
mod syntax;
mod unit;
mod waiver;

/// A family of rules.
pub struct Family {
    /// Its name: the part of a rule's name before the dot.
    pub name: &'static str,
    /// Its rules.
    pub rules: &'static [Rule],
    /// Its page.
    pub page: &'static str,
    /// What speaks, given a catalog.
    check: fn(&Context, &mut Vec<Finding>),
}

/// What completes an example of a page that has no `[catalog]` table of its own: the head of a
/// catalog and a stock of sound parts, as files apart by lines `# file: NAME`.
pub const HEADER: &str = include_str!("header.toml");

/// All families, in the order of the rulebook.
pub static FAMILIES: &[Family] = &[
    syntax::FAMILY,
    schema::FAMILY,
    reference::FAMILY,
    unit::FAMILY,
    curve::FAMILY,
    power::FAMILY,
    airline::FAMILY,
    diffuser::FAMILY,
    sound::FAMILY,
    cabinet::FAMILY,
    kit::FAMILY,
    duty::FAMILY,
    claim::FAMILY,
    identity::FAMILY,
    evidence::FAMILY,
    packing::FAMILY,
    sheet::FAMILY,
    caution::FAMILY,
    waiver::FAMILY,
];

/// What is wrong with the text and the values of a pond file, in words.
pub fn check_pond(document: &Document, pond: &ReadPond) -> Vec<Finding> {
    check_beside(document, &pond.faults, pond.more)
}

/// What is wrong with the mapping of a table, in words.
pub fn check_mapping(document: &Document, mapping: &ReadMapping) -> Vec<Finding> {
    check_beside(document, &mapping.faults, mapping.more)
}

/// What is wrong with a file beside a catalog, `more` faults than are listed.
fn check_beside(document: &Document, faults: &[CatalogFault], more: usize) -> Vec<Finding> {
    let mut findings = Vec::new();
    check_text(document, &mut findings);
    let worded = faults.iter();
    findings
        .extend(worded.filter_map(|fault| schema::word(fault).or_else(|| unit::of_fault(fault))));
    if let Some(last) = faults.last().filter(|_| more > 0) {
        findings.push(syntax::unlisted(more, last.at));
    }
    findings
}

/// Version of the rulebook: of the built-in ranges, the rules and their levels. A record names it, and a
/// catalog can ask for it, so that a verdict that changes with it can be told from one that the catalog
/// changed.
pub const RULEBOOK: &str = "2";

/// All rules, in the order of the rulebook.
pub fn rules() -> impl Iterator<Item = &'static Rule> {
    FAMILIES.iter().flat_map(|family| family.rules)
}

/// The rule of that name.
pub fn rule(name: &str) -> Option<&'static Rule> {
    rules().find(|rule| rule.name == name)
}

/// The rules on claims that can be heard of undecided ones within the rating, as `RULE.undecided`.
pub fn with_undecided() -> impl Iterator<Item = &'static Rule> {
    use crate::claims::Claim;
    const CLAIMS: [Claim; 11] = [
        Claim::Depth,
        Claim::Area,
        Claim::Flow,
        Claim::Power,
        Claim::Volume,
        Claim::AirlineLength,
        Claim::RunningCost,
        Claim::Sound,
        Claim::Turnover,
        Claim::Oxygen,
        Claim::WaterMoved,
    ];
    let speaks = |rule: &&Rule| {
        let subject = rule.name.strip_prefix("claim.");
        CLAIMS.iter().any(|claim| Some(claim.as_str()) == subject)
    };
    rules().filter(speaks)
}

/// What the rules look at: one catalog and what follows from it.
pub struct Context<'a> {
    /// All texts of the run.
    pub sources: &'a Sources,
    /// All documents of the run, by the numbers of their texts.
    pub documents: &'a [Document],
    /// The catalog.
    pub catalog: &'a Catalog,
    /// What its facts imply.
    pub derived: &'a Derived<'a>,
    /// The verdicts on its claims.
    pub verdicts: &'a [Verdict],
    /// The same by package.
    pub by_package: ByPackage<'a>,
    /// What was said of packages before, where a run keeps it.
    pub said: Option<&'a Said>,
}

/// What is asked of each package by itself.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Asked {
    /// What its box holds.
    Kit,
    /// Its duty points.
    Duty,
    /// Each of its promises.
    Promises,
    /// Its promises together.
    Together,
}

/// What was said of each package by itself, by its ID: kept from one run to the next for packages of which nothing
/// changed that it rests on.
#[derive(Debug, Default)]
pub struct Said(HashMap<String, [OnceLock<Vec<Finding>>; 4]>);

impl Said {
    /// With room for `packages`, of which those that `stands` names stand as they did `before`.
    pub fn of<'p>(
        packages: impl Iterator<Item = &'p str>,
        mut before: Said,
        stands: impl Fn(&str) -> bool,
    ) -> Said {
        let kept = packages.map(|id| {
            let kept = before.0.remove(id).filter(|_| stands(id));
            (id.to_string(), kept.unwrap_or_default())
        });
        Said(kept.collect())
    }
}

/// Verdicts by the ID of their package.
pub struct ByPackage<'a>(HashMap<&'a str, Vec<&'a Verdict>>);

impl<'a> ByPackage<'a> {
    /// Of all verdicts on a catalog.
    pub fn of(verdicts: &'a [Verdict]) -> ByPackage<'a> {
        let mut all: HashMap<&str, Vec<&Verdict>> = HashMap::new();
        for verdict in verdicts {
            all.entry(&verdict.package).or_default().push(verdict);
        }
        ByPackage(all)
    }

    /// Those on the claims of one package, in their order.
    pub fn get(&self, package: &str) -> impl Iterator<Item = &'a Verdict> + use<'a, '_> {
        self.0.get(package).into_iter().flatten().copied()
    }
}

impl Context<'_> {
    /// Where a finding about `key` of an entry stands: at the value; at the entry's header where
    /// the key isn't there. `key` may lead into sub-tables: `claim.depth`.
    pub fn place(&self, entry: &Entry, key: &str) -> Span {
        let document = &self.documents[entry.document];
        let mut item = document.item(entry.node);
        for part in key.split('.').filter(|part| !part.is_empty()) {
            match item.get(part) {
                Some(inner) => item = inner,
                None => return header(item),
            }
        }
        item.span()
    }

    /// The same for a key of one of a package's options.
    pub fn place_in(&self, package: &Package, option: &PackageOption, key: &str) -> Span {
        let document = &self.documents[package.entry.document];
        let item = document.item(option.node);
        item.get(key).map_or(option.header, |inner| inner.span())
    }

    /// Where a finding about a way to buy a package stands: at the option's airline; at the ID of an
    /// option that only allows; without options at the diffusers.
    pub fn place_of_way(&self, package: &Package, way: Way) -> Span {
        match way {
            Way::Supplied(option) => {
                let document = &self.documents[package.entry.document];
                let airline = document.item(option.node).get("airline");
                airline.map_or(option.at, |item| item.span())
            }
            Way::Allowed(option, _) => option.at,
            Way::Own => self.place(&package.entry, "diffuser"),
        }
    }

    /// The header of an entry.
    pub fn header(&self, entry: &Entry) -> Span {
        header(self.documents[entry.document].item(entry.node))
    }
}

impl<'a> Context<'a> {
    /// Lets `speak` speak of each package by itself. What it says may rest on nothing but the package, what it names,
    /// the verdicts on it and the head of the catalog: a run that keeps things asks again only where these change.
    pub(crate) fn of_each_package(
        &self,
        asked: Asked,
        findings: &mut Vec<Finding>,
        speak: impl Fn(&PackageFacts, &mut Vec<Finding>),
    ) {
        for facts in &self.derived.packages {
            let id = facts.package.entry.id.as_str();
            match self.said.and_then(|said| said.0.get(id)) {
                Some(kept) => findings.extend_from_slice(kept[asked as usize].get_or_init(|| {
                    let mut said = Vec::new();
                    speak(facts, &mut said);
                    said
                })),
                None => speak(facts, findings),
            }
        }
    }

    /// The packages that name the part of that kind and ID, themselves or in an option.
    pub fn users(&self, kind: Kind, id: &str) -> Vec<&'a str> {
        let mut users: Vec<&str> = self
            .catalog
            .mentions
            .of(id)
            .filter(|mention| mention.kinds.contains(&kind))
            .filter_map(|mention| mention.on.strip_prefix("package."))
            .collect();
        users.dedup();
        users
    }
}

/// A way to buy a package, as a waiver names it: its option, else the package.
pub(crate) fn on_way(package: &Package, way: Way) -> String {
    match way.option() {
        Some(option) => format!("{}.option.{}", package.entry.on(), option.id),
        None => package.entry.on(),
    }
}

/// How many packages a cause touches, as the end of a sentence: ``; 3 packages depend on it``.
pub(crate) fn touches(users: &[&str]) -> String {
    match users {
        [] => String::new(),
        [one] => format!("; package {one} depends on it"),
        [first, second] => format!("; packages {first} and {second} depend on it"),
        many => format!(
            "; {} packages depend on it, {} among them",
            many.len(),
            many[0]
        ),
    }
}

/// A package as a sentence has it.
pub(crate) fn subject(package: &Package) -> String {
    format!("package {}", package.entry.id)
}

/// The folder that a catalog lies in, where it has files at all.
fn folder<'a>(context: &Context<'a>) -> Option<&'a str> {
    let catalog = context.catalog;
    let first = u32::try_from(*catalog.documents.first()?).ok()?;
    let path = context.sources.get(FileId(first)).name();
    Some(if path == catalog.name {
        path.rsplit_once('/').map_or("", |(folder, _)| folder)
    } else {
        &catalog.name
    })
}

/// As a TOML string.
pub(crate) fn quoted(text: &str) -> String {
    let mut quoted = String::with_capacity(text.len() + 2);
    quoted.push('"');
    for character in text.chars() {
        match character {
            '"' | '\\' => {
                quoted.push('\\');
                quoted.push(character);
            }
            '\t' => quoted.push_str("\\t"),
            '\n' => quoted.push_str("\\n"),
            '\r' => quoted.push_str("\\r"),
            // TOML 1.0 lets no other control character stand for itself.
            _ if character.is_ascii_control() => {
                quoted.push_str(&format!("\\u{:04X}", u32::from(character)));
            }
            _ => quoted.push(character),
        }
    }
    quoted.push('"');
    quoted
}

/// A thing with its article.
pub(crate) fn one(what: &str) -> String {
    let article = if what.starts_with(['a', 'e', 'i', 'o', 'u']) {
        "an"
    } else {
        "a"
    };
    format!("{article} {what}")
}

fn header(item: Item) -> Span {
    item.header_span().unwrap_or(item.name_span())
}

/// Lets every family speak.
pub fn check(context: &Context) -> Vec<Finding> {
    let mut findings = check_facts(context);
    slip::explain(context, &mut findings);
    resting::hold_back(context, &mut findings);
    findings
}

/// Lets every family speak, each for itself: what a mix-up of units would explain isn't looked for.
fn check_facts(context: &Context) -> Vec<Finding> {
    let of_family = |family: &Family| {
        let mut findings = Vec::new();
        (family.check)(context, &mut findings);
        findings
    };
    let of_families: Vec<Vec<Finding>> = FAMILIES.par_iter().map(of_family).collect();
    let mut findings: Vec<Finding> = of_families.into_iter().flatten().collect();
    one_cause(&mut findings);
    findings.retain(|finding| !is_echo(context, finding));
    findings
}

/// Applies the catalog's waivers as of `today` (`YYYY-MM-DD`); says which are expired, unused or
/// without a reason.
pub fn waive(context: &Context, today: &str, findings: &mut Vec<Finding>) {
    waiver::apply(context, today, findings);
}

/// Says which documents of the catalog's register, and which of its spec sheets, aren't among the files that are `there`.
pub fn check_files(
    context: &Context,
    there: &std::collections::BTreeSet<String>,
    findings: &mut Vec<Finding>,
) {
    evidence::files(context, there, findings);
    reference::files(context, there, findings);
}

/// Whether a fault of shape only echoes a fault of the text: it stands in a header that couldn't be
/// read, or touches a value that couldn't.
fn is_echo(context: &Context, finding: &Finding) -> bool {
    if finding.rule.family() != "schema" {
        return false;
    }
    let file = finding.at.file;
    let document = context.documents.get(file.0 as usize);
    let source = context.sources.get(file);
    let line = |at: Span| source.position(at.start as usize).line;
    document.is_some_and(|document| {
        document.problems().iter().any(|problem| {
            let touches =
                problem.span.start <= finding.at.end && finding.at.start <= problem.span.end;
            let in_header = || {
                let start = source.lines().start_of(line(finding.at) - 1).unwrap_or(0);
                let text = source.text().get(start..).unwrap_or("");
                text.trim_start().starts_with('[') && line(problem.span) == line(finding.at)
            };
            problem.kind == ProblemKind::Syntax && (touches || in_header())
        })
    })
}

/// Where a rule has spoken.
fn places(rule: &Rule, findings: &[Finding]) -> HashSet<Span> {
    let own = findings.iter().filter(|finding| finding.rule == rule);
    own.map(|finding| finding.at).collect()
}

/// Rules that speak in place of others about the same figure.
const FIRST: &[(&str, &[&str])] = &[("curve.corner-quoted", &["claim.flow", "curve.disagrees"])];

/// Of two rules that find the same cause at the same figure only the first speaks.
fn one_cause(findings: &mut Vec<Finding>) {
    for (first, others) in FIRST {
        let places: HashSet<Span> = findings
            .iter()
            .filter(|finding| finding.rule.name == *first)
            .map(|finding| finding.at)
            .collect();
        findings.retain(|finding| {
            !(others.contains(&finding.rule.name) && places.contains(&finding.at))
        });
    }
}

/// What is wrong with a text before any key is looked at; once for each document.
pub fn check_text(document: &Document, findings: &mut Vec<Finding>) {
    syntax::check_text(document, findings);
}

#[cfg(test)]
mod tests {
    use std::hash::Hasher;

    use super::{RULEBOOK, rules};

    #[test]
    fn the_version_of_the_rulebook_goes_with_what_is_in_it() {
        let mut hasher = fnv::FnvHasher::default();
        hasher.write(include_bytes!("../assumptions/ranges.toml"));
        for rule in rules() {
            hasher.write(format!("{} {}", rule.name, rule.level).as_bytes());
        }
        let now = format!("{RULEBOOK} {:016x}", hasher.finish());
        assert_eq!(
            now, "2 450be5d647ec85b6",
            "A range, a rule or a level changed: give RULEBOOK its next number once for each release, and write \
             the new line here."
        );
    }
}
