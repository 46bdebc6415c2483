//! Is it TOML, is it UTF-8, and is it small enough to be read.

use crate::document::{Document, ProblemKind};
use crate::finding::{Finding, Level, Rule};
use crate::text::Span;

use super::{Context, Family};

static RULES: &[Rule] = &[TOML, LIMIT, ENCODING];

const TOML: Rule = Rule {
    name: "syntax.toml",
    level: Level::Error,
    speaks: "the file isn't TOML 1.0",
};
const LIMIT: Rule = Rule {
    name: "syntax.limit",
    level: Level::Error,
    speaks: "the file is larger, deeper or more faulty than is read or listed",
};
const ENCODING: Rule = Rule {
    name: "syntax.encoding",
    level: Level::Error,
    speaks: "the file isn't UTF-8, or holds a character that could act on a terminal",
};

pub const FAMILY: Family = Family {
    name: "syntax",
    rules: RULES,
    page: include_str!("syntax.md"),
    check,
};

/// Faults of shape that aren't listed one by one, counted behind the last that is.
fn check(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    for &(document, more) in &catalog.unlisted {
        let file = context.documents[document].root().span().file;
        let listed = catalog.faults.iter().map(|fault| fault.at);
        let Some(last) = listed.filter(|at| at.file == file).max() else {
            continue;
        };
        findings.push(unlisted(more, last));
    }
}

/// That `more` faults of a file aren't listed, behind the last one that is.
pub(super) fn unlisted(more: usize, last: Span) -> Finding {
    Finding::new(
        &RULES[1],
        last,
        format!(
            "{more} more faults of this file aren't listed. It seems to be another kind of file."
        ),
    )
    .on("catalog")
}

/// One finding for each problem of the text.
pub fn check_text(document: &Document, findings: &mut Vec<Finding>) {
    for problem in document.problems() {
        let rule = match problem.kind {
            ProblemKind::Syntax => &RULES[0],
            ProblemKind::Limit => &RULES[1],
            ProblemKind::Encoding => &RULES[2],
        };
        let mut finding = Finding::new(rule, problem.span, problem.message()).on("catalog");
        if let Some((at, says)) = problem.related {
            finding = finding.related(at, says);
        }
        findings.push(finding);
    }
}
