//! A revision as one page for reviewers, in the frame of the report on a catalog.

use maud::{Markup, html};

use crate::claims::Grade;
use crate::report::html::page;
use crate::report::terminal::safe;
use crate::revise::{FindingShift, Revision};

use super::words::{self, EffectText, FindingText, ThingText, VerdictText};

/// The whole page.
pub fn render(revision: &Revision) -> String {
    let title = words::title(revision);
    let title = safe(&title);
    let effects = words::effects(revision);
    let (told, silent): (Vec<_>, Vec<_>) = effects.iter().partition(|one| one.does_something());
    let figures = words::figures(revision);
    let body = html! {
        a class="skip" href="#main" { "To the changes" }
        header {
            h1 { (title) }
            p class="lead" { (safe(&words::summary(revision))) }
            @for sentence in words::unread(revision) { p { (safe(&sentence)) } }
            p class="quiet" { "Made by nameplate " (env!("CARGO_PKG_VERSION")) "." }
        }
        main id="main" {
            @if !told.is_empty() {
                h2 { "What the changes did" }
                p class="quiet" {
                    "Each change stands with the promises whose grade it changed. To find them, the old catalog was judged again with that "
                    "change alone. A promise holds if it is kept for every value in the ranges, and is contradicted if it fails for every one."
                }
            }
            @for effect in &told { (self::effect(effect)) }
            @if !silent.is_empty() {
                h2 { @if told.is_empty() { "What changed" } @else { "What else changed, without an effect on grades" } }
                @for thing in silent.iter().flat_map(|one| &one.things) { (self::thing(thing)) }
            }
            @if !figures.is_empty() {
                h2 { "The same grades with other figures" }
                (verdicts(&figures))
            }
        }
        footer {
            p {
                "This report looks at a catalog, not at an installation, and doesn't forecast what a given pond will do. "
                "Mains near water, thin ice and hot or pressurised lines can hurt people: local codes decide, and licensed people judge a site."
            }
        }
    };
    page(&title, &body).into_string()
}

fn effect(effect: &EffectText) -> Markup {
    html! {
        section class="package" {
            div class="card" {
                @if effect.things.is_empty() { h3 { "Without a change of facts" } }
                @for thing in &effect.things { (self::thing(thing)) }
                @if !effect.says.is_empty() {
                    p { strong { (safe(&effect.says)) } }
                }
                @if !effect.verdicts.is_empty() { (verdicts(&effect.verdicts)) }
            }
            @for finding in &effect.findings { (self::finding(finding)) }
        }
    }
}

fn thing(thing: &ThingText) -> Markup {
    html! {
        h3 {
            (safe(&thing.heading))
            @if let Some(title) = &thing.title { span class="title quiet" { " " (safe(title)) } }
        }
        @if !thing.says.is_empty() {
            p { (safe(&thing.says)) " " span class="place" { (safe(&thing.place)) } }
        }
        @if !thing.facts.is_empty() {
            table role="table" class="promises" {
                thead role="rowgroup" {
                    tr role="row" {
                        @for head in ["fact", "before and now", "by how much", "place"] {
                            th role="columnheader" scope="col" { (head) }
                        }
                    }
                }
                tbody role="rowgroup" {
                    @for fact in &thing.facts {
                        tr role="row" {
                            th role="rowheader" scope="row" { (safe(&fact.key)) }
                            td role="cell" data-label="before and now" { (safe(&fact.says)) }
                            td role="cell" data-label="by how much" { @if fact.growth.is_empty() { "–" } @else { (safe(&fact.growth)) } }
                            td role="cell" data-label="place" { span class="place" { (safe(&fact.place)) } }
                        }
                    }
                }
            }
        }
    }
}

fn verdicts(verdicts: &[VerdictText]) -> Markup {
    html! {
        table role="table" class="promises" {
            thead role="rowgroup" {
                tr role="row" {
                    @for head in ["package", "promise", "before", "now", "figures"] {
                        th role="columnheader" scope="col" { (head) }
                    }
                }
            }
            tbody role="rowgroup" {
                @for verdict in verdicts {
                    tr role="row" {
                        th role="rowheader" scope="row" { (safe(&verdict.package)) }
                        td role="cell" data-label="promise" { (safe(&verdict.promise)) }
                        td role="cell" data-label="before" { (grade(verdict.was, "not made")) }
                        td role="cell" data-label="now" { (grade(verdict.is, "no longer made")) }
                        td role="cell" data-label="figures" {
                            @if !verdict.by.is_empty() { strong { (safe(&verdict.by)) } "; " }
                            (safe(&verdict.figures))
                        }
                    }
                }
            }
        }
    }
}

fn grade(grade: Option<Grade>, none: &str) -> Markup {
    match grade {
        Some(grade) => html! { span class=(crate::report::html::class(grade)) { (grade) } },
        None => html! { span class="quiet" { (none) } },
    }
}

fn finding(finding: &FindingText) -> Markup {
    let is_news = matches!(finding.shift, FindingShift::New | FindingShift::Graver);
    let class = match is_news && finding.finding.waived.is_none() {
        true => format!("finding {}", finding.finding.level),
        false => "finding".to_string(),
    };
    html! {
        article class=(class) {
            p class="message" { strong class="level" { (safe(&finding.label)) ": " } (safe(&finding.message)) }
            p class="place" { (safe(&finding.place)) }
        }
    }
}
