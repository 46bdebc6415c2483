//! `nameplate-revision/1`, for programs. Figures are in SI.

use serde::Serialize;

use crate::claims::Verdict;
use crate::finding::Finding;
use crate::report::json_text;
use crate::revise::{
    Cause, Effect, Fact, FindingChange, Part, Revision, State, Thing, VerdictChange,
};
use crate::text::Span;

/// The format's name and version.
pub const FORMAT: &str = "nameplate-revision/1";

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("../../../schemas/revision.schema.json");

#[derive(Serialize)]
struct Report<'r> {
    format: &'static str,
    old: StateRow<'r>,
    new: StateRow<'r>,
    nothing_changed: bool,
    things: Vec<ThingRow<'r>>,
    verdicts: Vec<VerdictRow<'r>>,
    findings: Vec<FindingRow<'r>>,
    effects: Vec<EffectRow<'r>>,
    summary: SummaryRow,
}

#[derive(Serialize)]
struct StateRow<'r> {
    name: &'r str,
    catalogs: usize,
    packages: usize,
    claims: usize,
    unread: Vec<UnreadRow<'r>>,
}

#[derive(Serialize)]
struct UnreadRow<'r> {
    file: &'r str,
    places: usize,
}

#[derive(Serialize)]
struct PlaceRow<'r> {
    file: &'r str,
    line: usize,
    column: usize,
}

#[derive(Serialize)]
struct ThingRow<'r> {
    catalogs: Vec<&'r str>,
    on: &'r str,
    change: &'static str,
    was_on: Option<&'r str>,
    title: Option<&'r str>,
    was_at: Option<PlaceRow<'r>>,
    is_at: Option<PlaceRow<'r>>,
    facts: Vec<FactRow<'r>>,
}

#[derive(Serialize)]
struct FactRow<'r> {
    key: &'r str,
    change: &'static str,
    was: Option<WrittenRow<'r>>,
    is: Option<WrittenRow<'r>>,
    growth: Option<f64>,
}

#[derive(Serialize)]
struct WrittenRow<'r> {
    text: &'r str,
    #[serde(flatten)]
    place: PlaceRow<'r>,
}

#[derive(Serialize)]
struct VerdictRow<'r> {
    catalog: &'r str,
    package: &'r str,
    option: Option<&'r str>,
    claim: &'static str,
    change: &'static str,
    direction: &'static str,
    was: Option<JudgedRow<'r>>,
    is: Option<JudgedRow<'r>>,
    cause: Option<CauseRow>,
}

#[derive(Serialize)]
struct JudgedRow<'r> {
    stated: &'r str,
    verdict: &'static str,
    within_rating: Option<bool>,
    rated: Option<f64>,
    range: Option<[f64; 2]>,
    #[serde(flatten)]
    place: PlaceRow<'r>,
}

#[derive(Serialize)]
struct CauseRow {
    known: &'static str,
    ways: Vec<Vec<PartRow>>,
    things: Vec<usize>,
}

#[derive(Serialize)]
struct PartRow {
    thing: usize,
    fact: Option<usize>,
}

#[derive(Serialize)]
struct FindingRow<'r> {
    change: &'static str,
    direction: &'static str,
    rule: &'r str,
    level: &'static str,
    waived: bool,
    on: &'r str,
    message: &'r str,
    #[serde(flatten)]
    place: PlaceRow<'r>,
    cause: Option<CauseRow>,
    through: &'r [usize],
}

#[derive(Serialize)]
struct EffectRow<'r> {
    how: &'static str,
    things: &'r [usize],
    verdicts: &'r [usize],
    findings: &'r [usize],
}

#[derive(Serialize)]
struct SummaryRow {
    worse: usize,
    better: usize,
    neither: usize,
    kept: usize,
    trials: usize,
}

/// The whole report, ending with a line feed.
pub fn render(revision: &Revision) -> String {
    use crate::revise::Direction;
    let report = Report {
        format: FORMAT,
        old: state(&revision.old),
        new: state(&revision.new),
        nothing_changed: revision.is_empty(),
        things: revision
            .things
            .iter()
            .map(|one| thing(revision, one))
            .collect(),
        verdicts: revision
            .verdicts
            .iter()
            .filter_map(|one| verdict(revision, one))
            .collect(),
        findings: revision
            .findings
            .iter()
            .filter_map(|one| finding(revision, one))
            .collect(),
        effects: revision.effects.iter().map(effect).collect(),
        summary: SummaryRow {
            worse: revision.moved(Direction::Worse),
            better: revision.moved(Direction::Better),
            neither: revision.moved(Direction::Neither),
            kept: revision.kept,
            trials: revision.trials,
        },
    };
    json_text(&report)
}

fn state(state: &State) -> StateRow<'_> {
    let summary = &state.outcome.summary;
    StateRow {
        name: &state.name,
        catalogs: summary.catalogs,
        packages: summary.packages,
        claims: summary.verdicts.iter().sum(),
        unread: state
            .unread
            .iter()
            .map(|(file, places)| UnreadRow {
                file: state.outcome.sources.get(*file).name(),
                places: *places,
            })
            .collect(),
    }
}

fn place(state: &State, at: Span) -> PlaceRow<'_> {
    let sources = &state.outcome.sources;
    let position = sources.position(at);
    PlaceRow {
        file: sources.get(at.file).name(),
        line: position.line,
        column: position.column,
    }
}

fn thing<'r>(revision: &'r Revision, thing: &'r Thing) -> ThingRow<'r> {
    ThingRow {
        catalogs: thing
            .catalogs
            .iter()
            .map(|one| revision.catalogs[*one].name.as_str())
            .collect(),
        on: &thing.on,
        change: thing.change.as_str(),
        was_on: thing.was_on.as_deref(),
        title: thing.title.as_deref(),
        was_at: thing.was_at.map(|at| place(&revision.old, at)),
        is_at: thing.is_at.map(|at| place(&revision.new, at)),
        facts: thing.facts.iter().map(|one| fact(revision, one)).collect(),
    }
}

fn fact<'r>(revision: &'r Revision, fact: &'r Fact) -> FactRow<'r> {
    let written = |state: &'r State, one: &'r Option<(String, Span)>| {
        one.as_ref().map(|(text, at)| WrittenRow {
            text,
            place: place(state, *at),
        })
    };
    FactRow {
        key: &fact.key,
        change: fact.change.as_str(),
        was: written(&revision.old, &fact.was),
        is: written(&revision.new, &fact.is),
        growth: fact.growth,
    }
}

fn verdict<'r>(revision: &'r Revision, change: &'r VerdictChange) -> Option<VerdictRow<'r>> {
    let was = change
        .was
        .and_then(|one| revision.old.outcome.verdicts.get(one));
    let is = change
        .is
        .and_then(|one| revision.new.outcome.verdicts.get(one));
    let either = is.or(was)?;
    Some(VerdictRow {
        catalog: &revision.catalogs[change.catalog].name,
        package: &change.package,
        option: either.option.as_deref(),
        claim: either.claim.as_str(),
        change: change.shift.as_str(),
        direction: change.direction.as_str(),
        was: was.map(|one| judged(&revision.old, one)),
        is: is.map(|one| judged(&revision.new, one)),
        cause: change.cause.as_ref().map(cause),
    })
}

fn judged<'r>(state: &'r State, verdict: &'r Verdict) -> JudgedRow<'r> {
    JudgedRow {
        stated: &verdict.stated,
        verdict: verdict.outcome.as_str(),
        within_rating: verdict.within_rating,
        rated: verdict.rated.filter(|one| one.is_finite()),
        range: verdict
            .range
            .filter(|(low, high)| low.is_finite() && high.is_finite())
            .map(|(low, high)| [low, high]),
        place: place(state, verdict.at),
    }
}

fn cause(cause: &Cause) -> CauseRow {
    let part = |part: &Part| PartRow {
        thing: part.thing,
        fact: part.fact,
    };
    let (known, ways) = match cause {
        Cause::Found(ways) => ("found", ways.as_slice()),
        Cause::TooMany(_) => ("too-many", &[][..]),
        Cause::Unknown(_) => ("unknown", &[][..]),
    };
    CauseRow {
        known,
        ways: ways
            .iter()
            .map(|way| way.iter().map(part).collect())
            .collect(),
        things: cause.things().into_iter().collect(),
    }
}

fn finding<'r>(revision: &'r Revision, change: &'r FindingChange) -> Option<FindingRow<'r>> {
    let finding: &Finding = revision.finding(change)?;
    let state = match change.is {
        Some(_) => &revision.new,
        None => &revision.old,
    };
    Some(FindingRow {
        change: change.shift.as_str(),
        direction: change.shift.direction().as_str(),
        rule: finding.rule.name,
        level: finding.level.as_str(),
        waived: finding.waived.is_some(),
        on: &finding.on,
        message: &finding.message,
        place: place(state, finding.at),
        cause: change.cause.as_ref().map(cause),
        through: &change.through,
    })
}

fn effect(effect: &Effect) -> EffectRow<'_> {
    EffectRow {
        how: effect.how.as_str(),
        things: &effect.things,
        verdicts: &effect.verdicts,
        findings: &effect.findings,
    }
}
