//! JUnit XML, for pipelines that show test results.
//!
//! A suite is a package; its cases are its promises and the package itself. What is found about parts and
//! files stands in a suite of its own for each catalog. An error fails its case; what doesn't fail (warnings,
//! notes, what is waived or was told by an earlier run) is told in the case's output.

use std::collections::HashMap;

use quick_junit::{NonSuccessKind, Report, TestCase, TestCaseStatus, TestSuite};

use crate::claims::{Outcome as Word, Verdict};
use crate::engine::{Audited, Outcome};
use crate::finding::{Finding, Level};
use crate::text::{Sources, Span};

use super::order::{self, by_catalog};
use super::promise::Promise;
use super::terminal::safe;
use super::told;

/// What every case is told by.
#[derive(Clone, Copy)]
struct CaseContext<'a> {
    sources: &'a Sources,
    /// The lowest level of finding that fails a case; nothing fails where there is none.
    failing: Option<Level>,
}

/// The whole report, ending with a line feed. A finding from the level `failing` on fails its case.
pub fn render(outcome: &Outcome, failing: Option<Level>) -> String {
    let context = CaseContext {
        sources: &outcome.sources,
        failing,
    };
    let mut report = Report::new(match &outcome.partial {
        Some(partial) => format!("nameplate, only what is new since {}", safe(&partial.since)),
        None => "nameplate".into(),
    });
    for (catalog, findings) in outcome.catalogs.iter().zip(by_catalog(outcome)) {
        let verdicts = &outcome.verdicts[catalog.verdicts.clone()];
        report.add_test_suites(suites(context, catalog, verdicts, findings));
    }
    // Strings and numbers always serialise.
    let mut text = report.to_string().unwrap_or_default();
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text
}

fn suites(
    context: CaseContext,
    catalog: &Audited,
    verdicts: &[Verdict],
    findings: Vec<&Finding>,
) -> Vec<TestSuite> {
    let name = safe(catalog.title.as_deref().unwrap_or(&catalog.name)).into_owned();
    // Two catalogs may have packages of one ID, and a pipeline tells cases apart by class and name.
    let class = |on: &str| match catalog.name.as_str() {
        "." => on.to_string(),
        folder => format!("{folder}.{on}"),
    };
    let mut shared = Shared::of(catalog, verdicts, findings);
    let mut suites = Vec::new();
    for entry in catalog.packages() {
        let id = entry.on.trim_start_matches("package.");
        let class = class(&entry.on);
        let mut suite = TestSuite::new(format!("{name}: {}", safe(id)));
        let mut named: HashMap<String, usize> = HashMap::new();
        for verdict in shared.verdicts.remove(id).into_iter().flatten() {
            let own = shared.at.remove(&verdict.at).unwrap_or_default();
            let name = case_name(verdict, &mut named);
            suite.add_test_case(promise(context, &class, &name, verdict, &own));
        }
        let own = shared.about.remove(entry.on.as_str()).unwrap_or_default();
        suite.add_test_case(case(context, &class, &entry.on, None, &own, None));
        suites.push(suite);
    }
    if !shared.rest.is_empty() {
        let mut suite = TestSuite::new(format!("{name}: parts and files"));
        for (on, findings) in order::by_subject(shared.rest, context.sources) {
            suite.add_test_case(case(context, &class(on), on, None, &findings, None));
        }
        suites.push(suite);
    }
    suites
}

/// A catalog's verdicts and findings, shared out.
#[derive(Default)]
struct Shared<'a> {
    /// The verdicts on each package's promises.
    verdicts: HashMap<&'a str, Vec<&'a Verdict>>,
    /// Findings at promises.
    at: HashMap<Span, Vec<&'a Finding>>,
    /// Findings about packages.
    about: HashMap<&'a str, Vec<&'a Finding>>,
    rest: Vec<&'a Finding>,
}

impl<'a> Shared<'a> {
    fn of(catalog: &'a Audited, verdicts: &'a [Verdict], findings: Vec<&'a Finding>) -> Self {
        let mut shared = Shared::default();
        for package in catalog.packages() {
            let id = package.on.trim_start_matches("package.");
            shared.verdicts.insert(id, Vec::new());
            shared.about.insert(&package.on, Vec::new());
        }
        for verdict in verdicts {
            if let Some(own) = shared.verdicts.get_mut(verdict.package.as_str()) {
                own.push(verdict);
                shared.at.entry(verdict.at).or_default();
            }
        }
        for finding in findings {
            let at = shared.at.get_mut(&finding.at);
            let own = at.or_else(|| shared.about.get_mut(order::subject(&finding.on)));
            own.unwrap_or(&mut shared.rest).push(finding);
        }
        shared
    }
}

/// What a promise is called from run to run: by its claim and option, numbered where it stands several times, and
/// without its figure, so that another figure is the same case.
fn case_name(verdict: &Verdict, named: &mut HashMap<String, usize>) -> String {
    let option = verdict.option.as_ref();
    let option = option.map_or(String::new(), |option| format!(", option {option}"));
    let name = format!("{}{option}", verdict.claim.as_str());
    let times = named.entry(name.clone()).or_default();
    *times += 1;
    match times {
        1 => name,
        times => format!("{name} ({times})"),
    }
}

/// The case of a promise.
fn promise(
    context: CaseContext,
    class: &str,
    name: &str,
    verdict: &Verdict,
    findings: &[&Finding],
) -> TestCase {
    let promise = Promise::of(verdict);
    let told = format!("{}: {}: {}", promise.stated, promise.grade, promise.gives());
    let skipped = (promise.outcome == Word::NotEvaluated).then(|| promise.gives());
    let mut case = case(context, class, name, Some(verdict.at), findings, skipped);
    let output = match &case.system_out {
        Some(more) => format!("{told}\n{}", more.as_str()),
        None => told,
    };
    case.set_system_out(safe_lines(&output));
    case
}

/// A case about `class`, with what was found there; `skipped` says why nothing could be judged.
fn case(
    context: CaseContext,
    class: &str,
    name: &str,
    at: Option<Span>,
    findings: &[&Finding],
    skipped: Option<String>,
) -> TestCase {
    let (failing, rest): (Vec<&Finding>, Vec<&Finding>) = findings.iter().partition(|finding| {
        finding.counts() && context.failing.is_some_and(|least| finding.level >= least)
    });
    let lines = |findings: &[&Finding]| {
        let lines = findings
            .iter()
            .map(|finding| line(context.sources, finding));
        lines.collect::<Vec<_>>().join("\n")
    };
    let status = match (failing.first(), skipped) {
        (Some(first), _) => {
            let mut status = TestCaseStatus::non_success(NonSuccessKind::Failure);
            status
                .set_message(safe(&first.message))
                .set_type(first.rule.name)
                .set_description(safe_lines(&lines(&failing)));
            status
        }
        (None, Some(why)) => {
            let mut status = TestCaseStatus::skipped();
            status.set_message(safe(&why));
            status
        }
        (None, None) => TestCaseStatus::success(),
    };
    let mut case = TestCase::new(safe(name), status);
    case.set_classname(safe(class));
    if !rest.is_empty() {
        case.set_system_out(safe_lines(&lines(&rest)));
    }
    let at = at.or(failing.first().or(rest.first()).map(|finding| finding.at));
    if let Some(at) = at {
        let file = safe(context.sources.get(at.file).name()).into_owned();
        case.extra.insert("file".into(), file.into());
        // A file of pages has no lines.
        if context.sources.page(at).is_none() {
            let line = context.sources.position(at).line.to_string();
            case.extra.insert("line".into(), line.into());
        }
    }
    case
}

/// A finding on a line: level, rule and place, then what is wrong and how to mend it.
fn line(sources: &Sources, finding: &Finding) -> String {
    let line = format!(
        "{} {} at {}: {}",
        finding.level,
        told::rule(finding),
        told::place(finding, sources),
        told::sentences(finding)
    );
    // Each stands on one line, whatever the catalog holds.
    safe(&line).into_owned()
}

/// Lines made safe one by one, so that they stay lines.
fn safe_lines(text: &str) -> String {
    let lines = text.lines().map(|line| safe(line).into_owned());
    lines.collect::<Vec<_>>().join("\n")
}
