//! The ranges and equations that the verdicts stand on.

use std::collections::{HashMap, HashSet};

use maud::{Markup, html};

use crate::assumptions::{Assumption, Name};
use crate::claims::{Outcome as Word, Verdict, equations};
use crate::engine::{Audited, Outcome};
use crate::physics::equation::Equation;
use crate::units::show::significant;

use super::super::terminal::safe;
use super::chapter::Chapter;
use super::title_of;

/// The ranges that verdicts of some catalogs depend on.
pub(super) fn ranges(chapters: &[Chapter]) -> Markup {
    let several = chapters.len() > 1;
    html! {
        section aria-labelledby="ranges" {
            h2 id="ranges" { "Assumptions" }
            p {
                "What no catalog can know is a range: from the worst case for a promise to the best. A catalog may replace a range by its own, with a source. "
                "The list has the ranges that this report depends on."
            }
            details {
                summary { "All ranges, with their sources" }
                @for chapter in chapters {
                    @let used = used(chapter.catalog, chapter.all);
                    @if !used.is_empty() {
                        @if several { h3 { (title_of(chapter.catalog)) } }
                        (table(&used, chapter.all))
                    }
                }
            }
        }
    }
}

/// The equations behind the verdicts.
pub(super) fn equations(outcome: &Outcome) -> Markup {
    html! {
        section aria-labelledby="equations" {
            h2 id="equations" { "Equations" }
            details {
            summary { "All equations, with their sources" }
            dl class="equations" {
                @for equation in used_equations(&outcome.verdicts) {
                    dt { (equation.name) }
                    dd {
                        code { (equation.formula) } " " span class="quiet" { (equation.source) " (" (equation.mark) ")." }
                        @for range in equation.ranges {
                            " " span class="quiet" {
                                "Holds for " (range.quantity) " " (significant(range.low, 3)) " to " (significant(range.high, 3)) " " (range.unit) "."
                            }
                        }
                    }
                }
            }
            }
        }
    }
}

/// The ranges that a catalog's verdicts depend on, and those it puts in place of built-in ones.
fn used<'a>(catalog: &'a Audited, verdicts: &[Verdict]) -> Vec<&'a Assumption> {
    let criteria = verdicts.iter().flat_map(|verdict| &verdict.criteria);
    let depends: HashSet<Name> = criteria.flat_map(|one| &one.depends).copied().collect();
    let all = catalog.assumptions.iter();
    all.filter(|range| range.replaced || depends.contains(&range.name))
        .collect()
}

fn table(used: &[&Assumption], verdicts: &[Verdict]) -> Markup {
    let mut decisions: HashMap<&str, usize> = HashMap::new();
    for decision in verdicts.iter().filter_map(|one| one.decision.as_ref()) {
        *decisions.entry(&decision.by).or_default() += 1;
    }
    let decided = |range: &Assumption| decisions.get(range.name.as_str()).copied().unwrap_or(0);
    html! {
        table role="table" class="ranges" {
            thead role="rowgroup" {
                tr role="row" {
                    @for head in ["range", "worst case", "typical", "best case", "unit", "what it is, and its source", "decides"] {
                        th role="columnheader" scope="col" { (head) }
                    }
                }
            }
            tbody role="rowgroup" {
                @for range in used {
                    tr role="row" {
                        th role="rowheader" scope="row" { (range.name) @if range.replaced { " (the catalog's own)" } }
                        td role="cell" data-label="worst case" class="number" { (significant(range.unfavourable, 4)) }
                        td role="cell" data-label="typical" class="number" { (significant(range.central, 4)) }
                        td role="cell" data-label="best case" class="number" { (significant(range.favourable, 4)) }
                        td role="cell" data-label="unit" { @if range.unit.is_empty() { "–" } @else { (safe(&range.unit)) } }
                        td role="cell" data-label="what it is, and its source" {
                            (range.what) ". " span class="quiet" { (safe(&range.source)) @if !range.source.ends_with(')') { " (" (range.mark) ")" } }
                        }
                        td role="cell" data-label="decides" class="number" {
                            @match decided(range) {
                                0 => { span class="quiet" { "none" } }
                                1 => "1 promise",
                                many => (format!("{many} promises")),
                            }
                        }
                    }
                }
            }
        }
    }
}

/// The equations behind the verdicts, each once, in the order of the first verdict that takes it.
fn used_equations(verdicts: &[Verdict]) -> Vec<&'static Equation> {
    let mut used: Vec<&Equation> = Vec::new();
    let judged = verdicts
        .iter()
        .filter(|one| one.outcome != Word::NotEvaluated);
    for equation in judged.flat_map(|one| equations::behind(one.claim)) {
        if !used.iter().any(|known| known.name == equation.name) {
            used.push(equation);
        }
    }
    used
}
