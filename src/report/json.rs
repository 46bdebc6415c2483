//! `nameplate-audit/1`, for programs. Keys are in SI, with the unit in the key's name or beside it.

mod claims;

use serde::{Serialize, Serializer};

use crate::claims::{Ask, Judged, Outcome as VerdictOutcome, Verdict};
use crate::engine::{Change, Earlier, Heard, Outcome, Partial, Recorded};
use crate::finding::{Correction, Evidence, Finding, State, Value};
use crate::text::{Source, Sources, Span};

use super::json_text;

/// The format's name and version.
pub const FORMAT: &str = "nameplate-audit/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../schemas/audit.schema.json");

/// The whole report, ending with a line feed, with all that findings and verdicts rest on.
pub fn render(outcome: &Outcome) -> String {
    text(outcome, true)
}

/// The report without evidence, which is most of a large one.
pub fn brief(outcome: &Outcome) -> String {
    text(outcome, false)
}

fn text(outcome: &Outcome, evidence: bool) -> String {
    let report = Report {
        format: FORMAT,
        findings: FindingRows { outcome, evidence },
        verdicts: VerdictRows { outcome, evidence },
        claims: claims::rows(outcome),
        sheets: claims::sheets(outcome),
        ask: outcome.asks.as_ref().map(|asks| {
            let row = |ask| AskRow::of(ask, &outcome.verdicts, &outcome.sources);
            asks.iter().map(row).collect()
        }),
        heard: (!outcome.heard.is_all()).then(|| HeardRow::of(&outcome.heard)),
        as_of: outcome.as_of.as_deref(),
        gone: outcome
            .gone
            .as_ref()
            .map(|gone| gone.iter().map(GoneRow::of).collect()),
        partial: outcome.partial.as_ref().map(PartialRow::of),
        record: outcome
            .record
            .as_ref()
            .map(|kept| kept.changes.iter().map(ChangeRow::of).collect()),
        left_out: outcome
            .left_out
            .iter()
            .map(|one| LeftOutRow {
                path: &one.path,
                why: one.why,
            })
            .collect(),
        summary: SummaryRow {
            files: outcome.summary.files,
            catalogs: outcome.summary.catalogs,
            sheets: outcome.summary.sheets,
            packages: outcome.summary.packages,
            errors: outcome.summary.errors,
            warnings: outcome.summary.warnings,
            notes: outcome.summary.notes,
            waived: outcome.summary.waived,
        },
    };
    json_text(&report)
}

#[derive(Serialize)]
struct Report<'a> {
    format: &'static str,
    findings: FindingRows<'a>,
    verdicts: VerdictRows<'a>,
    claims: Vec<claims::ClaimRow<'a>>,
    sheets: Vec<claims::SheetRow<'a>>,
    /// Only where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    ask: Option<Vec<AskRow<'a>>>,
    /// Only where not every rule is heard.
    #[serde(skip_serializing_if = "Option::is_none")]
    heard: Option<HeardRow<'a>>,
    /// Only where there are waivers, which are held to that day.
    #[serde(skip_serializing_if = "Option::is_none")]
    as_of: Option<&'a str>,
    /// Only where an earlier run was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    gone: Option<Vec<GoneRow<'a>>>,
    /// Only where not everything is shown.
    #[serde(skip_serializing_if = "Option::is_none")]
    partial: Option<PartialRow<'a>>,
    record: Option<Vec<ChangeRow<'a>>>,
    /// Only where something lies there and wasn't read.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    left_out: Vec<LeftOutRow<'a>>,
    summary: SummaryRow,
}

/// The findings, each made a row of when it is written: all rows at once are several times the outcome.
struct FindingRows<'a> {
    outcome: &'a Outcome,
    evidence: bool,
}

impl Serialize for FindingRows<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Outcome {
            sources, findings, ..
        } = self.outcome;
        let row = |one| FindingRow::of(sources, one, self.evidence);
        serializer.collect_seq(findings.iter().map(row))
    }
}

/// The verdicts, likewise.
struct VerdictRows<'a> {
    outcome: &'a Outcome,
    evidence: bool,
}

impl Serialize for VerdictRows<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let Outcome {
            sources, verdicts, ..
        } = self.outcome;
        let row = |one| VerdictRow::of(sources, one, self.evidence);
        serializer.collect_seq(verdicts.iter().map(row))
    }
}

/// A file or folder that wasn't read.
#[derive(Serialize)]
struct LeftOutRow<'a> {
    path: &'a str,
    why: &'static str,
}

/// That only what is new since an earlier state is shown.
#[derive(Serialize)]
struct PartialRow<'a> {
    since: &'a str,
    packages_in_all: usize,
    standing: usize,
}

impl<'a> PartialRow<'a> {
    fn of(partial: &'a Partial) -> PartialRow<'a> {
        PartialRow {
            since: &partial.since,
            packages_in_all: partial.packages,
            standing: partial.standing,
        }
    }
}

/// A verdict that isn't what the record has.
#[derive(Serialize)]
struct ChangeRow<'a> {
    package: &'a str,
    option: Option<&'a str>,
    claim: &'a str,
    was: Option<StateRow<'a>>,
    is: Option<StateRow<'a>>,
    cause: &'static str,
}

/// A claim and its verdict at one time.
#[derive(Serialize)]
struct StateRow<'a> {
    stated: &'a str,
    verdict: &'a str,
    within_rating: Option<bool>,
    program: &'a str,
    rulebook: &'a str,
}

impl<'a> ChangeRow<'a> {
    fn of(change: &'a Change) -> ChangeRow<'a> {
        let either = change.is.as_ref().or(change.was.as_ref());
        let state = |line: &'a Recorded| StateRow {
            stated: &line.stated,
            verdict: &line.verdict,
            within_rating: line.within_rating,
            program: &line.program,
            rulebook: &line.rulebook,
        };
        ChangeRow {
            package: either.map_or("", |line| &line.package),
            option: either.and_then(|line| line.option.as_deref()),
            claim: either.map_or("", |line| &line.claim),
            was: change.was.as_ref().map(state),
            is: change.is.as_ref().map(state),
            cause: change.cause.as_str(),
        }
    }
}

/// What an earlier run found and this one doesn't.
#[derive(Serialize)]
struct GoneRow<'a> {
    rule: &'a str,
    level: &'static str,
    message: &'a str,
    file: Option<&'a str>,
    line: Option<usize>,
}

impl<'a> GoneRow<'a> {
    fn of(earlier: &'a Earlier) -> GoneRow<'a> {
        GoneRow {
            rule: &earlier.rule,
            level: earlier.level.as_str(),
            message: &earlier.message,
            file: earlier.file.as_deref(),
            line: earlier.line,
        }
    }
}

#[derive(Serialize)]
struct HeardRow<'a> {
    only: &'a [String],
    silent: &'a [String],
}

impl<'a> HeardRow<'a> {
    fn of(heard: &'a Heard) -> HeardRow<'a> {
        HeardRow {
            only: &heard.only,
            silent: &heard.silent,
        }
    }
}

/// What to ask whom.
#[derive(Serialize)]
struct AskRow<'a> {
    of: &'static str,
    what: &'a str,
    about: &'a str,
    settles: Vec<SettlesRow<'a>>,
}

/// A claim that an answer would settle, and the value from which it would hold.
#[derive(Serialize)]
struct SettlesRow<'a> {
    package: &'a str,
    option: Option<&'a str>,
    claim: &'static str,
    verdict: &'static str,
    stated: &'a str,
    needs: Option<f64>,
    needs_unit: Option<&'a str>,
    file: &'a str,
    line: Option<usize>,
}

impl<'a> AskRow<'a> {
    fn of(ask: &'a Ask, verdicts: &'a [Verdict], sources: &'a Sources) -> AskRow<'a> {
        let settles = ask.settles.iter().filter_map(|&place| verdicts.get(place));
        AskRow {
            of: ask.of.as_str(),
            what: &ask.what,
            about: &ask.about,
            settles: settles
                .map(|verdict| SettlesRow {
                    package: &verdict.package,
                    option: verdict.option.as_deref(),
                    claim: verdict.claim.as_str(),
                    verdict: verdict.outcome.as_str(),
                    stated: &verdict.stated,
                    needs: verdict.decision.as_ref().and_then(|one| one.needs),
                    needs_unit: verdict.decision.as_ref().map(|one| one.unit.as_str()),
                    file: sources.get(verdict.at.file).name(),
                    line: line(sources, verdict.at),
                })
                .collect(),
        }
    }
}

#[derive(Serialize)]
struct SummaryRow {
    files: usize,
    catalogs: usize,
    sheets: usize,
    packages: usize,
    errors: usize,
    warnings: usize,
    notes: usize,
    waived: usize,
}

#[derive(Serialize)]
struct PlaceRow<'a> {
    file: &'a str,
    /// Null for a file of pages, like the column and the bytes.
    line: Option<usize>,
    column: Option<usize>,
    byte_start: Option<u32>,
    byte_end: Option<u32>,
    #[serde(flatten)]
    page: Option<PageRow>,
}

/// Where something stands in a file of pages.
#[derive(Serialize)]
struct PageRow {
    page: u32,
    /// Left, lower, right and upper edge, points from the lower left corner of the page.
    #[serde(rename = "box", skip_serializing_if = "Option::is_none")]
    frame: Option<[f64; 4]>,
}

impl PageRow {
    fn of(source: &Source, at: std::ops::Range<usize>) -> Option<PageRow> {
        let pages = source.pages()?;
        Some(PageRow {
            page: pages.page(at.start),
            frame: pages
                .frame(at)
                .map(|frame| [frame.x0, frame.y0, frame.x1, frame.y1]),
        })
    }
}

/// A line by its number; none in a file of pages.
fn line(sources: &Sources, at: Span) -> Option<usize> {
    let has_lines = sources.page(at).is_none();
    has_lines.then(|| sources.position(at).line)
}

impl<'a> PlaceRow<'a> {
    fn of(sources: &'a Sources, at: Span) -> PlaceRow<'a> {
        let source = sources.get(at.file);
        let page = PageRow::of(source, at.range());
        let has_lines = page.is_none();
        let position = has_lines.then(|| sources.position(at));
        PlaceRow {
            file: source.name(),
            line: position.map(|position| position.line),
            column: position.map(|position| position.column),
            byte_start: has_lines.then_some(at.start),
            byte_end: has_lines.then_some(at.end),
            page,
        }
    }
}

#[derive(Serialize)]
struct FindingRow<'a> {
    rule: &'static str,
    level: &'static str,
    #[serde(flatten)]
    place: PlaceRow<'a>,
    on: &'a str,
    message: &'a str,
    mend: Option<&'a str>,
    related: Vec<RelatedRow<'a>>,
    /// Only where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    evidence: Option<Vec<EvidenceRow<'a>>>,
    correction: Option<CorrectionRow<'a>>,
    waived: Option<WaivedRow<'a>>,
    /// Only where an earlier run was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    baseline: Option<&'static str>,
}

/// The waiver that accepts a finding.
#[derive(Serialize)]
struct WaivedRow<'a> {
    reason: &'a str,
    owner: Option<&'a str>,
    until: Option<&'a str>,
    file: &'a str,
    line: usize,
}

#[derive(Serialize)]
struct RelatedRow<'a> {
    #[serde(flatten)]
    place: PlaceRow<'a>,
    says: &'a str,
}

impl<'a> FindingRow<'a> {
    fn of(sources: &'a Sources, finding: &'a Finding, evidence: bool) -> FindingRow<'a> {
        let related = finding.related.iter();
        FindingRow {
            rule: finding.rule.name,
            level: finding.level.as_str(),
            place: PlaceRow::of(sources, finding.at),
            on: &finding.on,
            message: &finding.message,
            mend: (!finding.mend.is_empty()).then_some(finding.mend.as_str()),
            related: related
                .map(|r| RelatedRow {
                    place: PlaceRow::of(sources, r.at),
                    says: &r.says,
                })
                .collect(),
            evidence: evidence.then(|| EvidenceRow::all(sources, &finding.evidence)),
            correction: finding
                .correction
                .as_ref()
                .map(|one| CorrectionRow::of(sources, one)),
            waived: finding.waived.as_ref().map(|one| WaivedRow {
                reason: &one.reason,
                owner: one.owner.as_deref(),
                until: one.until.as_deref(),
                file: sources.get(one.at.file).name(),
                line: sources.position(one.at).line,
            }),
            baseline: finding.state.map(State::as_str),
        }
    }
}

/// A piece of evidence; SARIF carries the same.
#[derive(Serialize)]
pub(super) struct EvidenceRow<'a> {
    name: &'a str,
    value: serde_json::Value,
    unit: &'a str,
    source: &'a str,
    mark: &'static str,
    file: Option<&'a str>,
    line: Option<usize>,
}

impl<'a> EvidenceRow<'a> {
    fn all(sources: &'a Sources, evidence: &'a [Evidence]) -> Vec<EvidenceRow<'a>> {
        let rows = evidence.iter();
        rows.map(|one| EvidenceRow::of(sources, one)).collect()
    }

    pub(super) fn of(sources: &'a Sources, one: &'a Evidence) -> EvidenceRow<'a> {
        let (value, unit) = match &one.value {
            Value::Quantity(si, dimension) => (number(*si), dimension.si_unit()),
            Value::Number(value, unit) => (number(*value), unit.as_ref()),
            Value::Words(words) => (serde_json::Value::String(words.to_string()), ""),
        };
        EvidenceRow {
            name: &one.name,
            value,
            unit,
            source: &one.source,
            mark: one.mark.words(),
            file: one.place.map(|at| sources.get(at.file).name()),
            line: one.place.and_then(|at| line(sources, at)),
        }
    }
}

/// A number, or null for what isn't one.
fn number(value: f64) -> serde_json::Value {
    serde_json::Number::from_f64(value).map_or(serde_json::Value::Null, serde_json::Value::Number)
}

#[derive(Serialize)]
struct CorrectionRow<'a> {
    says: &'a str,
    sure: bool,
    edits: Vec<EditRow<'a>>,
}

#[derive(Serialize)]
struct EditRow<'a> {
    file: &'a str,
    byte_start: u32,
    byte_end: u32,
    with: &'a str,
}

impl<'a> CorrectionRow<'a> {
    fn of(sources: &'a Sources, correction: &'a Correction) -> CorrectionRow<'a> {
        let edits = correction.edits.iter().map(|edit| EditRow {
            file: sources.get(edit.at.file).name(),
            byte_start: edit.at.start,
            byte_end: edit.at.end,
            with: &edit.with,
        });
        CorrectionRow {
            says: &correction.says,
            sure: correction.sure,
            edits: edits.collect(),
        }
    }
}

#[derive(Serialize)]
struct VerdictRow<'a> {
    package: &'a str,
    option: Option<&'a str>,
    claim: &'static str,
    verdict: &'static str,
    stated: &'a str,
    /// Null where the promise can't be read.
    si: Option<SiRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    currency: Option<&'a str>,
    criterion: Option<&'static str>,
    low: Option<f64>,
    central: Option<f64>,
    high: Option<f64>,
    needed: Option<f64>,
    unit: Option<&'static str>,
    /// Nominal bore in m, for an airline's length.
    #[serde(skip_serializing_if = "Option::is_none")]
    size: Option<f64>,
    rated: Option<f64>,
    allows: Option<AllowsRow>,
    within_rating: Option<bool>,
    decided_by: Option<&'a str>,
    needs: Option<f64>,
    needs_unit: Option<&'a str>,
    weakest_mark: Option<&'static str>,
    criteria: Vec<CriterionRow>,
    #[serde(skip_serializing_if = "Option::is_none")]
    missing: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unjudged: Option<&'static str>,
    breaches: Vec<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    read_as: Option<f64>,
    #[serde(skip_serializing_if = "Option::is_none")]
    in_service: Option<InServiceRow>,
    ways: Vec<WayRow<'a>>,
    /// Only where it was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    evidence: Option<Vec<EvidenceRow<'a>>>,
    file: &'a str,
    line: Option<usize>,
}

#[derive(Serialize)]
struct SiRow {
    value: f64,
}

/// What the physics allows in the claim's own dimension.
#[derive(Serialize)]
struct AllowsRow {
    low: f64,
    high: f64,
}

/// Three ends of what is left after a season: most wear, usual, least.
#[derive(Serialize)]
struct WornRow {
    most_wear: Option<f64>,
    usual: Option<f64>,
    least_wear: Option<f64>,
}

impl WornRow {
    fn of([most_wear, usual, least_wear]: [Option<f64>; 3]) -> WornRow {
        WornRow {
            most_wear,
            usual,
            least_wear,
        }
    }
}

#[derive(Serialize)]
struct InServiceRow {
    depth_m: WornRow,
    flow_m3_per_s: WornRow,
    holds: Option<bool>,
}

#[derive(Serialize)]
struct WayRow<'a> {
    way: &'a str,
    verdict: &'static str,
}

#[derive(Serialize)]
struct CriterionRow {
    criterion: &'static str,
    verdict: &'static str,
    low: Option<f64>,
    central: Option<f64>,
    high: Option<f64>,
    needed: f64,
    unit: &'static str,
}

impl CriterionRow {
    fn of(one: &Judged) -> CriterionRow {
        CriterionRow {
            criterion: one.name,
            verdict: one.outcome.as_str(),
            low: one.low,
            central: one.central,
            high: one.high,
            needed: one.needed,
            unit: one.dimension.si_unit(),
        }
    }
}

impl<'a> VerdictRow<'a> {
    fn of(sources: &'a Sources, verdict: &'a Verdict, evidence: bool) -> VerdictRow<'a> {
        let judged = verdict.outcome != VerdictOutcome::NotEvaluated;
        let deciding = verdict.deciding().filter(|_| judged);
        VerdictRow {
            package: &verdict.package,
            option: verdict.option.as_deref(),
            claim: verdict.claim.as_str(),
            verdict: verdict.outcome.as_str(),
            stated: &verdict.stated,
            si: verdict
                .si
                .is_finite()
                .then_some(SiRow { value: verdict.si }),
            currency: verdict.currency.as_deref(),
            criterion: deciding.map(|one| one.name),
            low: deciding.and_then(|one| one.low),
            central: deciding.and_then(|one| one.central),
            high: deciding.and_then(|one| one.high),
            needed: deciding.map(|one| one.needed),
            unit: deciding.map(|one| one.dimension.si_unit()),
            size: verdict.size,
            rated: verdict.rated.filter(|_| judged),
            allows: verdict
                .range
                .filter(|_| judged)
                .map(|(low, high)| AllowsRow { low, high }),
            within_rating: verdict.within_rating.filter(|_| judged),
            decided_by: verdict.decision.as_ref().map(|one| one.by.as_str()),
            needs: verdict.decision.as_ref().and_then(|one| one.needs),
            needs_unit: verdict.decision.as_ref().map(|one| one.unit.as_str()),
            weakest_mark: judged.then(|| verdict.weakest.words()),
            criteria: verdict.criteria.iter().map(CriterionRow::of).collect(),
            missing: verdict
                .missing
                .as_ref()
                .map(|missing| missing.fact.as_str()),
            unjudged: verdict.unjudged,
            breaches: verdict.breaches.iter().map(ToString::to_string).collect(),
            read_as: verdict.read_as,
            in_service: verdict.in_service.as_ref().map(|worn| InServiceRow {
                depth_m: WornRow::of(worn.depth),
                flow_m3_per_s: WornRow::of(worn.flow),
                holds: worn.holds,
            }),
            ways: verdict
                .ways
                .iter()
                .map(|one| WayRow {
                    way: &one.way,
                    verdict: one.outcome.as_str(),
                })
                .collect(),
            evidence: evidence.then(|| EvidenceRow::all(sources, &verdict.evidence)),
            file: sources.get(verdict.at.file).name(),
            line: line(sources, verdict.at),
        }
    }
}
