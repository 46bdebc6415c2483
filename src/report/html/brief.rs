//! Half a page for each sheet: what it promises, what can't be and on what grounds, what was assumed in its favour, what
//! nobody judged and what wasn't read.

use std::collections::{BTreeSet, HashSet};

use maud::{Markup, html};

use crate::claims::{Grade, Verdict, WITHOUT_CURVE};
use crate::engine::{AuditedSheet, Outcome};
use crate::finding::{Evidence, Finding, Level};

use super::super::promise::Promise;
use super::super::terminal::safe;
use super::super::told;
use super::chapter::Chapter;
use super::title_of;

/// Most lines of one kind; the chapter of the sheet has all.
const MOST: usize = 8;

/// A part for each sheet among the chapters; nothing where none is.
pub(super) fn briefs(outcome: &Outcome, chapters: &[Chapter]) -> Markup {
    let mut sheets = chapters
        .iter()
        .filter_map(|chapter| {
            let file = chapter.catalog.files.first()?;
            let sheet = outcome.sheets.iter().find(|sheet| sheet.file == *file)?;
            chapter.catalog.is_sheet.then_some((chapter, sheet))
        })
        .peekable();
    html! {
        @if sheets.peek().is_some() {
            section class="briefs" aria-labelledby="briefs" {
                h2 id="briefs" { "The sheets in brief" }
                @for (chapter, sheet) in sheets { (one(chapter, sheet)) }
            }
        }
    }
}

fn one(chapter: &Chapter, sheet: &AuditedSheet) -> Markup {
    let link = format!("#c{}", chapter.number + 1);
    let found: Vec<&Finding> = chapter.found_in_all().collect();
    let of_level = |level: Level| {
        let own = found.iter().copied();
        own.filter(move |one| one.level == level && one.waived.is_none())
    };
    let impossible: Vec<String> = of_level(Level::Error)
        .map(|one| one.message.clone())
        .collect();
    let unread: Vec<String> = found
        .iter()
        .filter(|one| matches!(one.rule.name, "sheet.unread" | "sheet.unreadable"))
        .map(|one| one.message.clone())
        .collect();
    let (heard, seen) = (sheet.sheet.heard.len(), sheet.sheet.seen.len());
    let figures = format!(
        "{} read and not judged, {} seen and not read; each is listed below.",
        told::count(heard, "figure", "figures"),
        told::count(seen, "figure", "figures")
    );
    html! {
        section class="brief" {
            h3 { a href=(link) { (title_of(chapter.catalog)) } }
            dl class="words" {
                dt { "Promised" } dd { (list(promised(chapter.all), "Nothing that can be judged.")) }
                dt { "Can't be" } dd { (list(impossible, "Nothing was found that can't be.")) }
                dt { "Assumed in its favour" } dd { (list(assumed(chapter.all), "Nothing.")) }
                dt { "Not judged" } dd { (list(not_judged(chapter.all), "Nothing that was promised.")) }
                dt { "Not read" } dd { (list(unread.into_iter().chain([figures]).collect(), "")) }
            }
        }
    }
}

/// What a sheet promises, as it states it.
fn promised(verdicts: &[Verdict]) -> Vec<String> {
    let all = verdicts.iter().map(Promise::of);
    all.map(|promise| {
        format!(
            "{} {}: {}",
            words(promise.claim),
            promise.stated,
            promise.grade
        )
    })
    .collect()
}

/// Facts that the sheet keeps silent on and that were taken as they favour it.
fn assumed(verdicts: &[Verdict]) -> Vec<String> {
    let evidence = verdicts.iter().flat_map(|verdict| &verdict.evidence);
    let names: BTreeSet<&str> = evidence
        .filter_map(|one: &Evidence| match one.name.as_ref() {
            name if one.is_assumed() => Some(name),
            name if name.starts_with(WITHOUT_CURVE) => Some(WITHOUT_CURVE),
            _ => None,
        })
        .collect();
    names.into_iter().map(str::to_owned).collect()
}

/// Promises that nobody judged, each with what is missing.
fn not_judged(verdicts: &[Verdict]) -> Vec<String> {
    let open = verdicts
        .iter()
        .filter(|verdict| verdict.grade() == Grade::NotJudged);
    open.map(|verdict| {
        let promise = Promise::of(verdict);
        let why = &promise.why;
        format!("{} {}: {why}", words(promise.claim), promise.stated)
    })
    .collect()
}

fn words(claim: &str) -> String {
    claim.replace('-', " ")
}

/// A few lines, and how many more there are; what a page says again stands once.
fn list(mut lines: Vec<String>, none: &str) -> Markup {
    let mut told = HashSet::new();
    lines.retain(|line| told.insert(line.clone()));
    let more = lines.len().saturating_sub(MOST);
    html! {
        @if lines.is_empty() { (none) } @else {
            ul {
                @for line in lines.iter().take(MOST) { li { (safe(line)) } }
                @if more > 0 { li { (more) " more" } }
            }
        }
    }
}
