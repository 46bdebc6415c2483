//! SARIF 2.1.0, for code-scanning tools: "Static Analysis Results Interchange Format", OASIS standard.
//!
//! A place is told twice, in characters by line and column and in bytes; both name the same text. An earlier
//! report can be read back as a baseline.

use std::collections::BTreeMap;

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, utf8_percent_encode};
use serde_json::{Value, json};
use serde_sarif::sarif::{
    Artifact, ArtifactChange, ArtifactContent, ArtifactLocation, Fix, Location, LogicalLocation,
    Message, MultiformatMessageString, PhysicalLocation, PropertyBag, Region, Replacement,
    ReportingConfiguration, ReportingDescriptor, Result as SarifResult, ResultLevel, Run,
    RunAutomationDetails, Sarif, Suppression, Tool, ToolComponent,
};

use crate::engine::{self, Earlier, Known, Outcome, Places};
use crate::finding::{
    Correction, Finding, Level, Rule, Waived, capital, fingerprints, name_before,
};
use crate::text::{Sources, Span};

use super::json::EvidenceRow;
use super::{json_text, rule_text};

mod earlier;

pub use earlier::read as read_baseline;

/// Where the standard's own schema is published.
const SCHEMA: &str = "https://raw.githubusercontent.com/oasis-tcs/sarif-spec/master/Schemata/sarif-schema-2.1.0.json";

/// The name of our fingerprint, which holds for a place; a new way to make it gets a new number.
const FINGERPRINT: &str = "placeRuleSubjectText/v2";
/// The name of the one that stays when a catalog or a file moves.
const MOVABLE: &str = "ruleSubjectText/v2";

/// The most results that are written, the gravest first: code-scanning services take no more (from memory).
const MOST_RESULTS: usize = 5_000;

/// Where the program is told of, as its package says; empty where that names no place.
const HOME: &str = env!("CARGO_PKG_HOMEPAGE");

/// What a path may hold as it is: the unreserved characters of RFC 3986 and the separator.
const IN_PATH: &AsciiSet = &NON_ALPHANUMERIC
    .remove(b'-')
    .remove(b'.')
    .remove(b'_')
    .remove(b'~')
    .remove(b'/');

/// The whole report, ending with a line feed.
pub fn render(outcome: &Outcome) -> String {
    let sources = &outcome.sources;
    let rules: Vec<&'static Rule> = engine::all_rules().collect();
    let prints = fingerprints(&outcome.findings);
    let mut graver: Vec<(&Finding, String)> = outcome.findings.iter().zip(prints).collect();
    let gone_before = outcome.gone.as_deref().unwrap_or_default();
    let all = graver.len() + gone_before.len();
    if all > MOST_RESULTS {
        graver.sort_by_key(|(one, _)| std::cmp::Reverse((one.counts(), one.level)));
    }
    let found = graver
        .into_iter()
        .map(|(finding, print)| result(sources, finding, &rules, print));
    let gone = gone_before.iter().map(|one| gone(one, &rules));
    let results: Vec<SarifResult> = found.chain(gone).take(MOST_RESULTS).collect();
    let left_out = all - results.len();
    let mut driver = ToolComponent::builder()
        .name("nameplate")
        .version(env!("CARGO_PKG_VERSION"))
        .semantic_version(env!("CARGO_PKG_VERSION"))
        .full_name(concat!("nameplate ", env!("CARGO_PKG_VERSION")))
        .rules(descriptors())
        .build();
    driver.information_uri = Some(HOME.to_string()).filter(|place| !place.is_empty());
    let mut run = Run::builder()
        .tool(Tool::builder().driver(driver).build())
        .column_kind(json!("unicodeCodePoints"))
        // A service keeps whole and partial runs apart by this.
        .automation_details(
            RunAutomationDetails::builder()
                .id(match outcome.partial {
                    Some(_) => "nameplate/partial/",
                    None => "nameplate/whole/",
                })
                .build(),
        )
        .results(results)
        .build();
    let partial = outcome.partial.as_ref().map(|partial| &partial.since);
    let places = Places::of(&outcome.catalogs, sources);
    run.artifacts = Some(
        places
            .files
            .iter()
            .map(|file| {
                let at = ArtifactLocation::builder().uri(uri(file)).build();
                Artifact::builder().location(at).build()
            })
            .collect(),
    );
    let catalogs = places.catalogs.iter();
    let catalogs = catalogs.map(|(name, title)| json!({ "name": name, "title": title }));
    run.properties = Some(properties([
        ("waiversHeldTo", json!(outcome.as_of)),
        ("onlyNewSince", json!(partial)),
        ("resultsLeftOut", json!((left_out > 0).then_some(left_out))),
        ("catalogs", Value::Array(catalogs.collect())),
    ]));
    let log = Sarif::builder()
        .schema(SCHEMA)
        .version(json!("2.1.0"))
        .runs(vec![run])
        .build();
    json_text(&log)
}

fn level(level: Level) -> ResultLevel {
    match level {
        Level::Error => ResultLevel::Error,
        Level::Warning => ResultLevel::Warning,
        Level::Note => ResultLevel::Note,
    }
}

fn properties<const N: usize>(pairs: [(&str, Value); N]) -> PropertyBag {
    let pairs = pairs.into_iter().filter(|(_, value)| !value.is_null());
    let pairs: BTreeMap<String, Value> = pairs.map(|(k, v)| (k.to_string(), v)).collect();
    PropertyBag::builder().additional_properties(pairs).build()
}

/// Every rule, with what its page says.
fn descriptors() -> Vec<ReportingDescriptor> {
    let of_family = |family: &'static engine::Family| {
        family.rules.iter().map(|rule| {
            let page = rule_text::section(family.page, rule.name, false);
            let help = match &page {
                Some(page) => MultiformatMessageString::builder()
                    .text(rule_text::plain(page))
                    .markdown(page.clone())
                    .build(),
                None => MultiformatMessageString::builder()
                    .text(rule.speaks)
                    .build(),
            };
            let mut descriptor = ReportingDescriptor::builder()
                .id(rule.name)
                .name(name_of(rule))
                .full_description(
                    MultiformatMessageString::builder()
                        .text(format!(
                            "{}. Of the family {}.",
                            words_of(rule),
                            family.name
                        ))
                        .build(),
                )
                .short_description(
                    MultiformatMessageString::builder()
                        .text(rule.speaks)
                        .build(),
                )
                .help(help)
                .default_configuration(
                    ReportingConfiguration::builder()
                        .level(json!(rule.level.as_str()))
                        .build(),
                )
                .properties(properties([("family", json!(family.name))]))
                .build();
            descriptor.deprecated_ids = name_before(rule.name).map(|name| vec![name.to_string()]);
            descriptor
        })
    };
    engine::FAMILIES.iter().flat_map(of_family).collect()
}

/// The name of a rule for people who read no points and hyphens: `ClaimArea`.
fn name_of(rule: &Rule) -> String {
    rule.name.split(['.', '-']).map(capital).collect()
}

/// What a rule speaks about, as a sentence begins.
fn words_of(rule: &Rule) -> String {
    capital(rule.speaks)
}

fn result(
    sources: &Sources,
    finding: &Finding,
    rules: &[&'static Rule],
    print: String,
) -> SarifResult {
    let index = rules.iter().position(|rule| rule.name == finding.rule.name);
    // Most tools show nothing but the message, so what mends it belongs there.
    let message = match finding.mend.as_str() {
        "" => finding.message.clone(),
        mend => format!("{} {mend}", finding.message),
    };
    let mut at = location(sources, finding.at, None);
    if !finding.on.is_empty() {
        at.logical_locations = Some(vec![
            LogicalLocation::builder()
                .fully_qualified_name(finding.on.as_str())
                .build(),
        ]);
    }
    let evidence: Vec<Value> = finding
        .evidence
        .iter()
        .filter_map(|one| serde_json::to_value(EvidenceRow::of(sources, one)).ok())
        .collect();
    let mut result = SarifResult::builder()
        .rule_id(finding.rule.name)
        .level(level(finding.level))
        .message(words(&message))
        .locations(vec![at])
        .partial_fingerprints(prints(print, &Known::of(finding)))
        .properties(properties([
            ("on", json!(finding.on)),
            ("catalog", json!(finding.identity.catalog)),
            ("knownByFile", json!(!finding.identity.file.is_empty())),
            ("evidence", Value::Array(evidence)),
        ]))
        .build();
    result.rule_index = index.and_then(|index| i64::try_from(index).ok());
    result.baseline_state = finding.state.map(|state| json!(state.as_str()));
    if !finding.related.is_empty() {
        let related = finding.related.iter().zip(0..).map(|(related, id)| {
            let mut place = location(sources, related.at, Some(&related.says));
            place.id = Some(id);
            place
        });
        result.related_locations = Some(related.collect());
    }
    result.fixes = finding
        .correction
        .as_ref()
        .map(|correction| vec![fix(sources, correction)]);
    result.suppressions = finding
        .waived
        .as_ref()
        .map(|waived| vec![suppression(sources, waived)]);
    result
}

/// What a finding is known by.
fn prints(print: String, known: &Known) -> BTreeMap<String, String> {
    BTreeMap::from([
        (FINGERPRINT.to_string(), print),
        (MOVABLE.to_string(), format!("{:016x}", known.kind)),
    ])
}

/// What an earlier report found and this run doesn't.
fn gone(earlier: &Earlier, rules: &[&'static Rule]) -> SarifResult {
    let mut result = SarifResult::builder()
        .rule_id(earlier.rule.as_str())
        .level(level(earlier.level))
        .message(words(&earlier.message))
        .partial_fingerprints(prints(earlier.print.clone(), &earlier.known))
        .baseline_state(json!("absent"))
        .build();
    let index = rules.iter().position(|rule| rule.name == earlier.rule);
    result.rule_index = index.and_then(|index| i64::try_from(index).ok());
    result.locations = earlier.file.as_ref().map(|file| {
        let artifact = ArtifactLocation::builder().uri(uri(file)).build();
        let mut region = Region::builder().build();
        region.start_line = earlier.line.and_then(whole);
        let physical = PhysicalLocation::builder()
            .artifact_location(artifact)
            .region(region)
            .build();
        vec![Location::builder().physical_location(physical).build()]
    });
    result
}

fn words(text: &str) -> Message {
    Message::builder().text(text).build()
}

fn location(sources: &Sources, at: Span, says: Option<&str>) -> Location {
    let mut physical = PhysicalLocation::builder()
        .artifact_location(artifact(sources, at))
        .build();
    let page = sources.page(at);
    // A file of pages has no lines, and its text's bytes are none of its own.
    if page.is_none() {
        physical.region = Some(region(sources, at));
    }
    let mut location = Location::builder().physical_location(physical).build();
    location.message = says.map(words);
    location.properties = page.map(|page| properties([("page", json!(page))]));
    location
}

fn artifact(sources: &Sources, at: Span) -> ArtifactLocation {
    ArtifactLocation::builder()
        .uri(uri(sources.get(at.file).name()))
        .build()
}

/// A path as a URI: relative as it was given, or absolute with its scheme.
pub(in crate::report) fn uri(path: &str) -> String {
    let encoded = utf8_percent_encode(path, IN_PATH).to_string();
    let bytes = path.as_bytes();
    let drive = bytes.len() > 2 && bytes[0].is_ascii_alphabetic() && bytes[1..3] == *b":/";
    if drive {
        return format!("file:///{}:{}", &path[..1], &encoded["C%3A".len()..]);
    }
    if path.starts_with('/') {
        return format!("file://{encoded}");
    }
    encoded
}

fn region(sources: &Sources, at: Span) -> Region {
    let mut region = characters(sources, at);
    let length = sources.get(at.file).text().len();
    let clamp = |byte: u32| (byte as usize).min(length);
    region.byte_offset = whole(clamp(at.start));
    region.byte_length = whole(clamp(at.end) - clamp(at.start));
    region
}

/// The region in lines and characters alone, as a text's replacement is given.
fn characters(sources: &Sources, at: Span) -> Region {
    let source = sources.get(at.file);
    let (start, end) = (
        source.position(at.start as usize),
        source.position(at.end as usize),
    );
    let mut region = Region::builder().build();
    region.start_line = whole(start.line);
    region.start_column = whole(start.column);
    region.end_line = whole(end.line);
    region.end_column = whole(end.column);
    region
}

fn whole(number: usize) -> Option<i64> {
    i64::try_from(number).ok()
}

fn fix(sources: &Sources, correction: &Correction) -> Fix {
    let mut changes: Vec<(Span, Vec<Replacement>)> = Vec::new();
    for edit in &correction.edits {
        let content = ArtifactContent::builder().text(edit.with.as_str()).build();
        let replacement = Replacement::builder()
            .deleted_region(characters(sources, edit.at))
            .inserted_content(content)
            .build();
        match changes.iter_mut().find(|(at, _)| at.file == edit.at.file) {
            Some((_, replacements)) => replacements.push(replacement),
            None => changes.push((edit.at, vec![replacement])),
        }
    }
    let changes = changes.into_iter().map(|(at, replacements)| {
        ArtifactChange::builder()
            .artifact_location(artifact(sources, at))
            .replacements(replacements)
            .build()
    });
    Fix::builder()
        .description(words(&correction.says))
        .artifact_changes(changes.collect::<Vec<_>>())
        .properties(properties([("sure", json!(correction.sure))]))
        .build()
}

fn suppression(sources: &Sources, waived: &Waived) -> Suppression {
    Suppression::builder()
        .kind(json!("inSource"))
        .status(json!("accepted"))
        .justification(waived.reason.as_str())
        .location(location(sources, waived.at, None))
        .properties(properties([
            ("owner", json!(waived.owner)),
            ("until", json!(waived.until)),
        ]))
        .build()
}

#[cfg(test)]
mod tests {
    use super::uri;

    #[test]
    fn paths_become_uris() {
        assert_eq!(uri("lists/spring ½.toml"), "lists/spring%20%C2%BD.toml");
        assert_eq!(uri("../a:b#c.toml"), "../a%3Ab%23c.toml");
        assert_eq!(uri("/home/x y"), "file:///home/x%20y");
        assert_eq!(uri("C:/x y"), "file:///C:/x%20y");
    }
}
