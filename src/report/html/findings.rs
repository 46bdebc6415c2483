//! What was found, with how to mend it, what it rests on and the lines of its file.

use maud::{Markup, html};

use crate::claims::{Outcome as Word, Verdict, equations};
use crate::finding::{Evidence, Finding};
use crate::text::{Sources, Span};

use super::super::basis;
use super::super::figures::Reader;
use super::super::order::Index;
use super::super::promise::{Promise, in_service};
use super::super::terminal::safe;
use super::super::told;
use super::{graded, sign};

/// Characters of a line that are shown before and after the place.
const AROUND: usize = 60;

/// A finding.
pub(super) fn finding(finding: &Finding, index: &Index, sources: &Sources) -> Markup {
    let reader = index.reader(finding);
    let class = match finding.waived {
        Some(_) => "finding waived",
        None => match finding.level {
            crate::finding::Level::Error => "finding error",
            crate::finding::Level::Warning => "finding warning",
            crate::finding::Level::Note => "finding note",
        },
    };
    let fix = told::fix(finding);
    html! {
        article class=(class) {
            p class="message" {
                strong class="level" { (finding.level) @if finding.waived.is_some() { ", waived" } ": " }
                (safe(&finding.message))
            }
            @if let Some(state) = finding.state { p { (told::since(state)) } }
            @if let Some(waived) = &finding.waived { p { (safe(&told::waiver(waived))) } }
            @if !fix.is_empty() { p { strong { "Fix: " } (safe(&fix)) } }
            (evidence(&finding.evidence, reader, sources))
            p class="place" {
                (safe(&told::place(finding, sources))) " · rule " code { (safe(&told::rule(finding))) }
            }
            (line(sources, finding.at))
            @for related in &finding.related {
                p class="place" {
                    (safe(sources.get(related.at.file).name())) ", " (told::spot(sources, related.at))
                    ": " (safe(&related.says))
                }
                (line(sources, related.at))
            }
        }
    }
}

/// What figures rest on, as a table.
fn evidence(evidence: &[Evidence], reader: Reader, sources: &Sources) -> Markup {
    if evidence.is_empty() {
        return html! {};
    }
    html! {
        table role="table" class="basis" {
            thead role="rowgroup" {
                tr role="row" {
                    th role="columnheader" scope="col" { "quantity" }
                    th role="columnheader" scope="col" { "figure (lowest · typical · highest)" }
                    th role="columnheader" scope="col" { "ground" }
                }
            }
            tbody role="rowgroup" {
                @for line in basis::lines(evidence, reader, sources) {
                    tr role="row" {
                        th role="rowheader" scope="row" { (safe(&line.name)) }
                        td role="cell" data-label="figure" {
                            (safe(&line.figure(" · ")))
                        }
                        td role="cell" data-label="ground" { (safe(&line.ground)) }
                    }
                }
            }
        }
    }
}

/// The line of a place, with the place marked; a long one in part.
fn line(sources: &Sources, at: Span) -> Markup {
    let source = sources.get(at.file);
    let start = (at.start as usize).min(source.text().len());
    let number = source.position(start).line;
    let lines = source.lines();
    let first = lines.start_of(number - 1).unwrap_or(0);
    let end = lines.start_of(number).unwrap_or(source.text().len());
    let stop = (at.end as usize).clamp(start, end);
    let before = source.slice(first..start);
    let marked = source.slice(start..stop).trim_end_matches(['\r', '\n']);
    let after = source.slice(stop..end).trim_end_matches(['\r', '\n']);
    let skip = before.chars().count().saturating_sub(AROUND);
    let cut: String = before.chars().skip(skip).collect();
    let shown: String = marked.chars().take(2 * AROUND).collect();
    let rest: String = after.chars().take(AROUND).collect();
    // A line of a page has no number that a reader could look for.
    let (label, number) = match sources.page(at) {
        Some(page) => (format!("a line of page {page}"), String::new()),
        None => (format!("line {number} of the file"), format!("{number} ")),
    };
    html! {
        pre class="line" tabindex="0" role="group" aria-label=(label) {
            code {
                span class="quiet" { (number) } @if skip > 0 { "…" }
                (safe(&cut)) mark { (safe(&shown)) @if shown.len() < marked.len() { "…" } }
                (safe(&rest)) @if rest.len() < after.len() { "…" }
            }
        }
    }
}

/// The evidence of a verdict.
pub(super) fn verdict(verdict: &Verdict, sources: &Sources) -> Markup {
    let reader = Reader::of_verdict(verdict);
    let promise = Promise::of(verdict);
    let figure = |value: Option<f64>, dimension| {
        value.map_or("not known".to_string(), |value| {
            reader.figure(value, dimension)
        })
    };
    html! {
        section class="proof" {
            h4 { (promise.claim) " " (safe(&promise.stated)) " " (graded(promise.grade)) }
            @if let Some(missing) = &verdict.missing { p { (safe(&crate::finding::capital(&missing.told()))) "." } }
            @if !verdict.criteria.is_empty() {
                table role="table" class="basis" {
                    thead role="rowgroup" {
                        tr role="row" {
                            @for head in ["measure", "worst case", "typical", "best case", "limit", "by itself"] {
                                th role="columnheader" scope="col" { (head) }
                            }
                        }
                    }
                    tbody role="rowgroup" {
                        @for one in &verdict.criteria {
                            tr role="row" {
                                th role="rowheader" scope="row" { (one.says) }
                                td role="cell" data-label="worst case" { (figure(one.low, one.dimension)) }
                                td role="cell" data-label="typical" { (figure(one.central, one.dimension)) }
                                td role="cell" data-label="best case" { (figure(one.high, one.dimension)) }
                                td role="cell" data-label="limit" {
                                    @match one.sense {
                                        crate::claims::Sense::AtLeast => "at least ",
                                        crate::claims::Sense::AtMost => "at most ",
                                    }
                                    (figure(Some(one.needed), one.dimension))
                                }
                                td role="cell" data-label="by itself" { (sign(one.outcome)) }
                            }
                        }
                    }
                }
            }
            @if let Some(decision) = &verdict.decision {
                p {
                    "It depends most on: " (safe(&decision.what)) " (" (safe(&decision.by)) ", " (decision.mark) ")."
                    @if let Some(needed) = decision.needed(verdict.system) {
                        " It holds " @if decision.from { "from " } @else { "up to " } (needed) "."
                    }
                }
            }
            (evidence(&verdict.evidence, reader, sources))
            @if let Some((depth, flow)) = in_service(verdict) {
                p { "After a season: " (safe(&depth)) @if !flow.is_empty() { "; " (safe(&flow)) } "." }
            }
            @if !verdict.ways.is_empty() {
                p { "Each way to buy it:" }
                ul { @for one in &verdict.ways { li { (safe(&one.way)) ": " (sign(one.outcome)) } } }
            }
            @for breach in &verdict.breaches { p { "Outside an equation's range: " (breach.to_string()) "." } }
            @if verdict.outcome != Word::NotEvaluated {
                @let behind = equations::behind(verdict.claim);
                @if !behind.is_empty() {
                    p class="quiet" {
                        "Equations: "
                        @for (place, equation) in behind.iter().enumerate() {
                            @if place > 0 { ", " }
                            (equation.name)
                        }
                        "."
                    }
                }
            }
        }
    }
}
