//! Pages for reviewers: verdicts, findings, pictures, evidence, sources.
//!
//! Up to [`MOST`] packages stand on one page; more are parted into a folder of pages with an index, as no browser
//! opens a hundred megabytes. A page asks for nothing: no script, no font, no image from elsewhere, which its content
//! security policy holds it to. Every string of a catalog is escaped by `maud` and cleaned of what can't be
//! seen. It reads in light and dark, on a narrow screen, on paper, by keyboard and by ear.
//!
//! - [`folder`]: the pages of many packages, and the index over them;
//! - [`brief`]: half a page for each sheet, at the beginning;
//! - [`asks`]: what would settle what isn't settled, where it was asked for;
//! - [`chapter`]: a catalog or sheet with what a page needs of it at hand;
//! - [`pictures`]: the charts of a package;
//! - [`svg`]: the writer under them;
//! - [`findings`]: what was found, with evidence and the lines of its file;
//! - [`sheets`]: what was read of spec sheets;
//! - [`ground`]: ranges and equations that verdicts stand on.

mod asks;
mod brief;
mod chapter;
mod findings;
mod folder;
mod ground;
pub(super) mod pictures;
mod sheets;
pub(super) mod svg;

use base64::Engine as _;
use maud::{DOCTYPE, Markup, PreEscaped, html};
use sha2::{Digest, Sha256};

use crate::charts;
use crate::claims::{Grade, Outcome as Word, Verdict};
use crate::engine::{Audited, Earlier, Named, Outcome};
use crate::finding::{Finding, Level};

use super::order;
use super::promise::{Promise, word};
use super::terminal::safe;
use super::told;

use chapter::Chapter;
pub use folder::Folder;

/// The colours, and how pictures look.
pub(super) const PICTURES: &str = include_str!("picture.css");

/// The page's own style sheet.
const STYLE: &str = concat!(include_str!("picture.css"), include_str!("page.css"));

/// The most packages that stand on one page, with all their pictures.
pub const MOST: usize = charts::ALL_OF;

/// The whole report as one page.
pub fn render(outcome: &Outcome) -> String {
    let chapters = Chapter::all(outcome);
    let body = html! {
        a class="skip" href="#main" { "To the verdicts" }
        (head(outcome))
        (brief::briefs(outcome, &chapters))
        (contents(outcome, &chapters))
        main id="main" { (all_of(outcome, &chapters)) }
        (foot())
    };
    page(&told::title(outcome), &body).into_string()
}

/// The report within a page that has a head of its own.
pub(super) fn room(outcome: &Outcome) -> Markup {
    let chapters = Chapter::all(outcome);
    html! {
        p class="lead" { strong { (safe(&told::answer(outcome))) } }
        p { (safe(&told::summary(outcome))) }
        (contents(outcome, &chapters))
        (all_of(outcome, &chapters))
        (foot_words())
    }
}

/// Every catalog and sheet, and what their verdicts stand on.
fn all_of(outcome: &Outcome, chapters: &[Chapter]) -> Markup {
    html! {
        @for chapter in chapters { (one_catalog(outcome, chapter)) }
        (asks::asks(outcome))
        @if let Some(gone) = &outcome.gone { (what_is_gone(gone)) }
        (sheets::sheets(outcome, &outcome.sheets))
        (reading(&html! { a href="#ranges" { "all ranges" } " are listed below." }))
        (ground::ranges(chapters))
        (ground::equations(outcome))
    }
}

fn head(outcome: &Outcome) -> Markup {
    html! {
        header {
            h1 { (told::title(outcome)) }
            p class="lead" { strong { (safe(&told::answer(outcome))) } }
            p { (safe(&told::summary(outcome))) }
            p class="quiet" {
                "Audited " @if let Some(day) = &outcome.day { "on " (safe(day)) " " }
                "by nameplate " (env!("CARGO_PKG_VERSION")) "."
            }
        }
    }
}

fn foot() -> Markup {
    html! { footer { (foot_words()) } }
}

fn foot_words() -> Markup {
    html! {
        p {
            "This report looks at a catalog, not at an installation, and doesn't forecast what a given pond will do. "
            "Mains near water, thin ice and hot or pressurised lines can hurt people: local codes decide, and licensed people judge a site."
        }
    }
}

/// A page of ours with `body` in it.
pub(super) fn page(title: &str, body: &Markup) -> Markup {
    let hash = base64::engine::general_purpose::STANDARD.encode(Sha256::digest(STYLE));
    let policy = format!(
        "default-src 'none'; style-src 'sha256-{hash}'; base-uri 'none'; form-action 'none'"
    );
    html! {
        (DOCTYPE)
        html lang="en" {
            head {
                meta charset="utf-8";
                meta name="generator" content=(told::mark());
                meta http-equiv="Content-Security-Policy" content=(policy);
                meta name="viewport" content="width=device-width, initial-scale=1";
                meta name="color-scheme" content="light dark";
                meta name="referrer" content="no-referrer";
                title { (title) }
                style { (PreEscaped(STYLE)) }
            }
            body { (body) }
        }
    }
}

/// The name that a package has within its page.
fn anchor(catalog: usize, package: usize) -> String {
    format!("c{}-p{}", catalog + 1, package + 1)
}

fn id_of(package: &Named) -> &str {
    package.on.trim_start_matches("package.")
}

/// A catalog's title, else its path.
fn title_of(catalog: &Audited) -> std::borrow::Cow<'_, str> {
    safe(catalog.title.as_deref().unwrap_or(&catalog.name))
}

/// What the page holds, with the worst verdict of each package.
fn contents(outcome: &Outcome, chapters: &[Chapter]) -> Markup {
    html! {
        nav aria-label="Contents" {
            h2 { "Contents" }
            @for chapter in chapters {
                @if chapters.len() > 1 {
                    h3 { a href=(format!("#c{}", chapter.number + 1)) { (title_of(chapter.catalog)) } }
                }
                @if !chapter.packages.is_empty() { (summary_table(chapter, 0..chapter.packages.len())) }
                @if !chapter.rest.is_empty() {
                    p { a href=(format!("#c{}-parts", chapter.number + 1)) { "Parts and files" } ": " (counted(chapter.found_beside())) }
                }
            }
            ul {
                @if outcome.gone.is_some() { li { a href="#gone" { "What is gone since the baseline" } } }
                @if !outcome.sheets.is_empty() { li { a href="#read" { "What was read of the spec sheets" } } }
                li { a href="#how-to-read" { "How to read this" } ", " a href="#ranges" { "assumptions" } " and " a href="#equations" { "equations" } }
            }
        }
    }
}

/// How many findings, by level: `1 error, 2 warnings`; nothing where there are none.
fn counted<'a>(findings: impl Iterator<Item = &'a Finding> + Clone) -> String {
    let of = |level: Level| {
        let own = findings.clone().filter(|one| one.waived.is_none());
        own.filter(|one| one.level == level).count()
    };
    let waived = findings.clone().filter(|one| one.waived.is_some()).count();
    let parts = [
        (of(Level::Error), "error", "errors"),
        (of(Level::Warning), "warning", "warnings"),
        (of(Level::Note), "note", "notes"),
        (waived, "waived", "waived"),
    ];
    let parts = parts.into_iter().filter(|(number, ..)| *number > 0);
    let parts: Vec<String> = parts
        .map(|(number, one, many)| told::count(number, one, many))
        .collect();
    parts.join(", ")
}

/// The verdicts of some of a catalog's packages, counted, and what was found about each.
fn summary_table(chapter: &Chapter, packages: std::ops::Range<usize>) -> Markup {
    let rows = packages.map(|place| {
        let package = chapter.packages[place];
        let link = html! {
            a href=(format!("#{}", anchor(chapter.number, place))) { (safe(id_of(package))) }
            @if let Some(title) = &package.title { span class="title" { " " (safe(title)) } }
        };
        (link, place..place + 1)
    });
    counts(chapter, "package", "Verdicts and findings by package", rows)
}

/// A row for each group of a catalog's packages: what it is called, the verdicts counted, and what was found.
fn counts(
    chapter: &Chapter,
    what: &str,
    caption: &str,
    rows: impl Iterator<Item = (Markup, std::ops::Range<usize>)>,
) -> Markup {
    html! {
        table role="table" class="counts" {
            caption { (caption) }
            thead role="rowgroup" {
                tr role="row" {
                    th role="columnheader" scope="col" { (what) }
                    @for grade in Grade::ALL { th role="columnheader" scope="col" class="number" { (grade) } }
                    th role="columnheader" scope="col" { "found" }
                }
            }
            tbody role="rowgroup" {
                @for (name, places) in rows { (count_row(&name, &chapter.verdicts_on(places.clone()), &counted(chapter.found_about(places)))) }
            }
        }
    }
}

/// A row with how many verdicts of each kind there are.
fn count_row(name: &Markup, verdicts: &[usize; Grade::ALL.len()], found: &str) -> Markup {
    html! {
        tr role="row" {
            th role="rowheader" scope="row" { (name) }
            @for grade in Grade::ALL {
                @let count = verdicts[grade as usize];
                td role="cell" class="number" data-label=(grade) {
                    @if count == 0 { span class="quiet" { "0" } } @else { span class=(class(grade)) { (count) } }
                }
            }
            td role="cell" data-label="found" { @if found.is_empty() { span class="quiet" { "–" } } @else { (found) } }
        }
    }
}

/// How the page is to be read, for somebody who sees one for the first time.
fn reading(ranges: &Markup) -> Markup {
    html! {
        section aria-labelledby="how-to-read" {
            h2 id="how-to-read" { "How to read this" }
            details {
            summary { "Grades and figures" }
            p {
                "Each promise is compared with the physics of air and water, and with what the catalog states of its parts. "
                "What no catalog can know, such as how far a diffuser stirs, is a range with a source; " (ranges)
            }
            dl class="words" {
                dt { (graded(Grade::Holds)) } dd { "It holds for every value in the ranges." }
                dt { (graded(Grade::WithinRating)) } dd { "It holds for some values, among them those by which such equipment is rated. The trade promises this." }
                dt { (graded(Grade::BeyondRating)) } dd { "It holds for some values, but not for the rated ones." }
                dt { (graded(Grade::Contradicted)) } dd { "It holds for no value in the ranges." }
                dt { (graded(Grade::NotJudged)) } dd { "A fact is missing, which the row names, or the program judges no such promise. This neither confirms nor refutes it." }
                dt { "not certain" } dd { "Said of one measure or one way to buy a package: it holds for some values in the ranges only." }
                dt { "rated" } dd { "The figure for the declared rating basis: one value for each range, so that packages can be compared." }
                dt { "possible" } dd {
                    "From the worst case, with every range at its worst, to the best case. "
                    "An area is contradicted only if a second measure fails too, so the picture draws that line higher."
                }
                dt { "(judgement) …" } dd {
                    "How firmly the figure is known, by its weakest part: stated by the catalog, exact by definition, published in a source that was read, "
                    "published and quoted from memory, common practice that nobody published, or this project's judgement."
                }
            }
            }
        }
    }
}

/// A verdict's word with its sign; the sign only repeats the word.
fn sign(outcome: Word) -> Markup {
    let sign = match outcome {
        Word::Supported => "●",
        Word::Undecided => "◐",
        Word::Contradicted => "○",
        Word::NotEvaluated => "·",
    };
    signed(outcome.as_str(), sign, word(outcome))
}

/// The grade of a promise, likewise.
fn graded(grade: Grade) -> Markup {
    let sign = match grade {
        Grade::Holds => "●",
        Grade::WithinRating => "◕",
        Grade::BeyondRating => "◔",
        Grade::Contradicted => "○",
        Grade::NotJudged => "·",
    };
    signed(class(grade), sign, grade.as_str())
}

/// The colour of a grade.
pub(super) fn class(grade: Grade) -> &'static str {
    match grade {
        Grade::Holds | Grade::WithinRating => "supported",
        Grade::BeyondRating => "undecided",
        Grade::Contradicted => "contradicted",
        Grade::NotJudged => "not-evaluated",
    }
}

fn signed(class: &str, sign: &str, word: &str) -> Markup {
    html! { span class=(format!("verdict {class}")) { span aria-hidden="true" { (sign) " " } (word) } }
}

fn one_catalog(outcome: &Outcome, chapter: &Chapter) -> Markup {
    let catalog = chapter.catalog;
    let id = format!("c{}", chapter.number + 1);
    html! {
        section class="catalog" aria-labelledby=(id) {
            (heading(catalog, &id))
            @if chapter.packages.is_empty() && !catalog.is_sheet { p { "It has no packages." } }
            // Packages rest on parts.
            @if !chapter.rest.is_empty() {
                section aria-labelledby=(format!("{id}-parts")) {
                    h3 id=(format!("{id}-parts")) { "Parts and files" }
                    @for (on, findings) in &chapter.rest { (about(outcome, chapter, on, findings)) }
                }
            }
            @for place in 0..chapter.packages.len() { (one_package(outcome, chapter, place)) }
        }
    }
}

/// A catalog's name and what is to be said of it.
fn heading(catalog: &Audited, id: &str) -> Markup {
    html! {
        h2 id=(id) {
            (title_of(catalog))
            @if catalog.title.is_some() && catalog.name != "." { " " span class="quiet" { (safe(&catalog.name)) } }
        }
        @for remark in &catalog.remarks { p { (safe(remark)) } }
    }
}

/// What was found about a part or a file.
fn about(outcome: &Outcome, chapter: &Chapter, on: &str, findings: &[&Finding]) -> Markup {
    html! {
        h4 {
            (safe(&order::heading(on)))
            @if let Some(title) = chapter.index.entries.get(on).and_then(|entry| entry.title.as_deref()) { ", " (safe(title)) }
        }
        @for finding in findings { (findings::finding(finding, &chapter.index, &outcome.sources)) }
    }
}

/// A package by its place in the catalog.
fn one_package(outcome: &Outcome, chapter: &Chapter, place: usize) -> Markup {
    let (catalog, package) = (chapter.catalog, chapter.packages[place]);
    let anchor = anchor(chapter.number, place);
    let id = id_of(package);
    let own = chapter.verdicts(place);
    let found = chapter.found(place);
    let system = package.system.unwrap_or(catalog.system);
    html! {
        section class="package" aria-labelledby=(anchor) {
            h3 id=(anchor) {
                (safe(id))
                @if let Some(title) = &package.title { span class="title" { " " (safe(title)) } }
                // The catalog has a section of the same package.
                @if catalog.is_sheet { span class="title" { " in " (safe(&catalog.name)) } }
            }
            @for finding in found { (findings::finding(finding, &chapter.index, &outcome.sources)) }
            div class="card" {
                @if own.is_empty() { p { "It states no promise that could be read." } } @else { (promises(own)) }
            }
            @if let Some(charts) = chapter.charts(place) { (pictures::pictures(charts, system, &anchor)) }
            @let mut explained = own.iter().filter(|one| chapter.explains(one)).peekable();
            @if explained.peek().is_some() {
                details class="evidence" {
                    summary { "Evidence for " (if chapter.whole { "each promise" } else { "the promises in doubt" }) " of " (safe(id)) }
                    @for verdict in explained { (findings::verdict(verdict, &outcome.sources)) }
                }
            }
        }
    }
}

fn promises(verdicts: &[&Verdict]) -> Markup {
    html! {
        table role="table" class="promises" {
            thead role="rowgroup" {
                tr role="row" {
                    @for head in ["promise", "as stated", "grade", "rated", "possible", "why"] {
                        th role="columnheader" scope="col" { (head) }
                    }
                }
            }
            tbody role="rowgroup" {
                @for verdict in verdicts {
                    @let promise = Promise::of(verdict);
                    tr role="row" {
                        th role="rowheader" scope="row" { (promise.claim.replace('-', " ")) }
                        td role="cell" data-label="as stated" { (safe(&promise.stated)) }
                        td role="cell" data-label="grade" { (graded(promise.grade)) }
                        td role="cell" class="figure" data-label="rated" {
                            (promise.rated.as_deref().unwrap_or("–"))
                        }
                        td role="cell" class="figure" data-label="possible" { @if promise.range.is_empty() { "–" } @else { (promise.range) } }
                        td role="cell" data-label="why" { (safe(&promise.why)) }
                    }
                }
            }
        }
    }
}

/// Most lines of what is gone that are shown.
const MOST_GONE: usize = 2000;

fn what_is_gone(gone: &[Earlier]) -> Markup {
    html! {
        section aria-labelledby="gone" {
            h2 id="gone" { "Gone since the baseline" }
            @if gone.is_empty() { p { "Nothing." } }
            ul {
                @for one in gone.iter().take(MOST_GONE) {
                    li {
                        (one.level) ": " (safe(&one.message)) " "
                        span class="quiet" { (safe(one.file.as_deref().unwrap_or("no file"))) ", " (safe(&one.rule)) }
                    }
                }
            }
            @if gone.len() > MOST_GONE { p { (gone.len() - MOST_GONE) " more; the report in JSON lists all." } }
        }
    }
}
