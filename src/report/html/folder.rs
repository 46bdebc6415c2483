//! A report of more packages than a page holds: an index, a page for each catalog and for each group of its packages,
//! and pages of spec sheets.

use std::cmp::Reverse;
use std::ops::Range;

use maud::{Markup, html};

use crate::claims::Grade;
use crate::engine::Outcome;
use crate::finding::Finding;

use super::super::sarif::uri;
use super::super::terminal::safe;
use super::super::told;
use super::chapter::Chapter;
use super::{
    MOST, about, anchor, count_row, counted, counts, foot, ground, head, heading, id_of,
    one_catalog, one_package, page, reading, sheets, summary_table, title_of, what_is_gone,
};

/// How many packages stand on a page: with their pictures about a megabyte.
const GROUP: usize = 25;
/// How many findings about parts and files.
const FINDINGS: usize = 200;
/// How many of the gravest findings the index tells.
const GRAVEST: usize = 100;

/// The pages of a report, made one by one as they are written.
pub struct Folder<'a> {
    outcome: &'a Outcome,
    chapters: Vec<Chapter<'a>>,
    pages: Vec<Page<'a>>,
    /// File names of the index, and of the folder beside it in which the pages lie.
    names: (String, String),
}

/// A page of the folder.
struct Page<'a> {
    /// Its file's name without the ending.
    name: String,
    title: String,
    what: What<'a>,
}

/// What stands on a page.
enum What<'a> {
    /// A catalog's groups of packages, and the ranges that it stands on.
    Catalog(usize),
    /// Some packages of a catalog.
    Packages(usize, Range<usize>),
    /// Findings about a catalog's parts and files.
    Beside(usize, Vec<About<'a>>),
    /// Catalogs or sheets that need no more than this page.
    Whole(Range<usize>),
}

/// What a part or a file is called, and what was found about it.
type About<'a> = (&'a str, Vec<&'a Finding>);

impl<'a> Folder<'a> {
    /// The report as a folder where it has more packages than a page holds; `index` and `folder` are the file names it
    /// is to have.
    pub fn of(outcome: &'a Outcome, index: &str, folder: &str) -> Option<Folder<'a>> {
        if !Folder::is_needed(outcome) {
            return None;
        }
        let mut all = Folder {
            outcome,
            chapters: Chapter::all(outcome),
            pages: Vec::new(),
            names: (index.to_string(), folder.to_string()),
        };
        all.pages = all.part();
        Some(all)
    }

    /// Whether a report has more packages than a page holds.
    pub fn is_needed(outcome: &Outcome) -> bool {
        let packages = outcome.catalogs.iter().map(|one| one.packages().count());
        packages.sum::<usize>() > MOST
    }

    /// How many pages there are.
    pub fn len(&self) -> usize {
        self.pages.len()
    }

    /// Whether there is no page but the index.
    pub fn is_empty(&self) -> bool {
        self.pages.is_empty()
    }

    /// The file name of a page and its text.
    pub fn page(&self, number: usize) -> Option<(String, String)> {
        let one = self.pages.get(number)?;
        let body = html! {
            a class="skip" href="#main" { "To the verdicts" }
            header {
                h1 { (safe(&one.title)) }
                (self.way(number))
            }
            main id="main" { (self.body(&one.what)) }
            (foot())
        };
        Some((
            file(&one.name),
            page(&safe(&one.title), &body).into_string(),
        ))
    }

    /// Parts what there is into pages.
    fn part(&self) -> Vec<Page<'a>> {
        let mut pages = Vec::new();
        let mut small: Range<usize> = 0..0;
        for (place, chapter) in self.chapters.iter().enumerate() {
            let is_large =
                chapter.packages.len() > GROUP || chapter.found_beside().count() > FINDINGS;
            let held = self.chapters[small.clone()].iter();
            let held: usize = held.map(|one| one.packages.len().max(1)).sum();
            // Neighbouring sheets share a page; a catalog has its own.
            let fits = chapter.catalog.is_sheet && held + chapter.packages.len().max(1) <= GROUP;
            if is_large || !fits {
                pages.extend(self.whole(std::mem::replace(&mut small, place..place)));
            }
            match is_large {
                true => {
                    pages.extend(Self::large(place, chapter));
                    small = place + 1..place + 1;
                }
                false => small.end = place + 1,
            }
            if !chapter.catalog.is_sheet {
                pages.extend(self.whole(std::mem::replace(&mut small, place + 1..place + 1)));
            }
        }
        pages.extend(self.whole(small));
        pages
    }

    /// A page of whole catalogs or sheets; none where there are none.
    fn whole(&self, chapters: Range<usize>) -> Option<Page<'a>> {
        let all = self.chapters.get(chapters.clone())?;
        let (first, last) = (all.first()?, all.last()?);
        let title = match all.len() {
            1 => title_of(first.catalog).into_owned(),
            _ => format!("{} to {}", first.catalog.name, last.catalog.name),
        };
        Some(Page {
            name: format!("c{}", first.number + 1),
            title,
            what: What::Whole(chapters),
        })
    }

    /// The pages of a catalog with many packages.
    fn large(place: usize, chapter: &Chapter<'a>) -> Vec<Page<'a>> {
        let name = format!("c{}", chapter.number + 1);
        let title = title_of(chapter.catalog);
        let mut pages = vec![Page {
            name: name.clone(),
            title: title.to_string(),
            what: What::Catalog(place),
        }];
        for (number, group) in groups(chapter).enumerate() {
            pages.push(Page {
                name: format!("{name}-{}", number + 1),
                title: format!("{title}: {}", ends(chapter, &group)),
                what: What::Packages(place, group),
            });
        }
        for (number, findings) in beside(chapter).into_iter().enumerate() {
            pages.push(Page {
                name: format!("{name}-parts-{}", number + 1),
                title: format!("{title}: parts and files {}", number + 1),
                what: What::Beside(place, findings),
            });
        }
        pages
    }

    /// The links from a page to the index, its catalog and its neighbours.
    fn way(&self, number: usize) -> Markup {
        let link = |page: Option<&Page>, says: &str| match page {
            Some(page) => html! { " · " a href=(file(&page.name)) { (says) } },
            None => html! {},
        };
        let above = match self.pages[number].what {
            What::Packages(place, _) | What::Beside(place, _) => {
                let is_above = |one: &&Page| matches!(one.what, What::Catalog(of) if of == place);
                self.pages[..number].iter().rev().find(is_above)
            }
            _ => None,
        };
        html! {
            nav aria-label="Pages" {
                p {
                    a href=(format!("../{}", uri(&self.names.0))) { "All catalogs" }
                    (link(above, "The whole catalog"))
                    (link(number.checked_sub(1).and_then(|before| self.pages.get(before)), "Page before"))
                    (link(self.pages.get(number + 1), "Next page"))
                }
            }
        }
    }

    fn body(&self, what: &What) -> Markup {
        match what {
            What::Catalog(place) => self.catalog(&self.chapters[*place]),
            What::Packages(place, group) => {
                let chapter = &self.chapters[*place];
                html! {
                    (summary_table(chapter, group.clone()))
                    section class="catalog" aria-labelledby="packages" {
                        h2 id="packages" { "Packages" }
                        @for package in group.clone() { (one_package(self.outcome, chapter, package)) }
                    }
                }
            }
            What::Beside(place, findings) => html! {
                section aria-labelledby="parts" {
                    h2 id="parts" { "Parts and files" }
                    @for (on, findings) in findings { (about(self.outcome, &self.chapters[*place], on, findings)) }
                }
            },
            What::Whole(chapters) => {
                let chapters = &self.chapters[chapters.clone()];
                html! {
                    @for chapter in chapters {
                        @if !chapter.packages.is_empty() { (summary_table(chapter, 0..chapter.packages.len())) }
                        (one_catalog(self.outcome, chapter))
                    }
                    (self.read(chapters))
                    (ground::ranges(chapters))
                }
            }
        }
    }

    /// What was read of those of some chapters that are spec sheets.
    fn read(&self, chapters: &[Chapter]) -> Markup {
        let pages = chapters.iter().filter(|one| one.catalog.is_sheet);
        let pages: Vec<&str> = pages.map(|one| one.catalog.name.as_str()).collect();
        let own = self.outcome.sheets.iter().filter(|sheet| {
            let name = self.outcome.sources.get(sheet.file).name();
            pages.contains(&name)
        });
        sheets::sheets(self.outcome, own)
    }

    /// The page of a catalog with many packages: its groups, its packages by name, and what it stands on.
    fn catalog(&self, chapter: &Chapter) -> Markup {
        let own = format!("c{}", chapter.number + 1);
        let rows = groups(chapter).enumerate().map(|(number, group)| {
            let href = file(&format!("{own}-{}", number + 1));
            let name = html! { a href=(href) { (safe(&ends(chapter, &group))) } };
            (name, group)
        });
        let mut by_name: Vec<usize> = (0..chapter.packages.len()).collect();
        by_name.sort_by_key(|&place| id_of(chapter.packages[place]));
        html! {
            section class="catalog" aria-labelledby=(own) {
                (heading(chapter.catalog, &own))
                (counts(chapter, "packages", "Verdicts and findings by group of packages", rows))
                @if !chapter.rest.is_empty() {
                    p {
                        a href=(file(&format!("{own}-parts-1"))) { "Parts and files" }
                        ": " (counted(chapter.found_beside()))
                    }
                }
                @if !by_name.is_empty() {
                    details {
                        summary { "All packages by name" }
                        ul { @for place in by_name { li { (self.link(chapter, place, "")) } } }
                    }
                }
            }
            (self.read(std::slice::from_ref(chapter)))
            (ground::ranges(std::slice::from_ref(chapter)))
        }
    }

    /// A link to a package, seen from a folder.
    fn link(&self, chapter: &Chapter, place: usize, from: &str) -> Markup {
        let number = chapter.number;
        let page = self.page_of(number, place / GROUP);
        let href = format!("{from}{page}#{}", anchor(number, place));
        html! { a href=(href) { (safe(id_of(chapter.packages[place]))) } }
    }

    /// The file of the page on which a group of a chapter's packages stands.
    fn page_of(&self, chapter: usize, group: usize) -> String {
        let parted = format!("c{}-{}", chapter + 1, group + 1);
        if self.pages.iter().any(|one| one.name == parted) {
            return file(&parted);
        }
        let holds = |one: &&Page| matches!(&one.what, What::Whole(all) if all.contains(&chapter));
        let page = self.pages.iter().find(holds);
        page.map_or(String::new(), |page| file(&page.name))
    }

    /// The index over all pages.
    pub fn index(&self) -> String {
        let folder = format!("{}/", uri(&self.names.1));
        let body = html! {
            a class="skip" href="#main" { "To the verdicts" }
            (head(self.outcome))
            main id="main" {
                p {
                    "This is the index of a report in " (self.len() + 1) " files: the pages lie in the folder "
                    code { (safe(&self.names.1)) } " beside it, and the two go together."
                }
                (self.gravest(&folder))
                (self.overview(&folder))
                @if let Some(gone) = &self.outcome.gone { (what_is_gone(gone)) }
                (reading(&html! {
                    "each catalog's page lists its ranges. A report as large as this one shows the evidence of promises "
                    "that aren't within their rating, and pictures of packages with one that is contradicted or beyond it; the report on a "
                    "single file shows them for all."
                }))
                (ground::equations(self.outcome))
            }
            (foot())
        };
        page(&told::title(self.outcome), &body).into_string()
    }

    /// A row for each catalog, and for each page of sheets.
    fn overview(&self, folder: &str) -> Markup {
        let pages = self.pages.iter().filter_map(|one| match &one.what {
            What::Catalog(place) => Some((one, *place..*place + 1)),
            What::Whole(all) => Some((one, all.clone())),
            _ => None,
        });
        html! {
            section aria-labelledby="pages" {
                h2 id="pages" { "Catalogs and spec sheets" }
                table role="table" class="counts" {
                    caption { "Verdicts and findings" }
                    thead role="rowgroup" {
                        tr role="row" {
                            th role="columnheader" scope="col" { "catalog or sheets" }
                            @for grade in Grade::ALL { th role="columnheader" scope="col" class="number" { (grade) } }
                            th role="columnheader" scope="col" { "found" }
                        }
                    }
                    tbody role="rowgroup" {
                        @for (page, chapters) in pages { (self.overview_row(folder, page, &self.chapters[chapters])) }
                    }
                }
            }
        }
    }

    fn overview_row(&self, folder: &str, page: &Page, chapters: &[Chapter]) -> Markup {
        let mut verdicts = [0; Grade::ALL.len()];
        for chapter in chapters {
            let own = chapter.verdicts_on(0..chapter.packages.len());
            for (sum, count) in verdicts.iter_mut().zip(own) {
                *sum += count;
            }
        }
        let found = chapters.iter().flat_map(Chapter::found_in_all);
        let name =
            html! { a href=(format!("{folder}{}", file(&page.name))) { (safe(&page.title)) } };
        count_row(&name, &verdicts, &counted(found))
    }

    /// The gravest findings, each with a link to where it is told whole.
    fn gravest(&self, folder: &str) -> Markup {
        let mut all: Vec<(&Finding, &Chapter, Option<usize>)> = Vec::new();
        for chapter in &self.chapters {
            for place in 0..chapter.packages.len() {
                let own = chapter.found(place).iter();
                all.extend(own.map(|one| (*one, chapter, Some(place))));
            }
            all.extend(chapter.found_beside().map(|one| (one, chapter, None)));
        }
        all.retain(|(one, ..)| one.counts());
        all.sort_by_key(|(one, ..)| Reverse(one.level));
        let more = all.len().saturating_sub(GRAVEST);
        all.truncate(GRAVEST);
        html! {
            @if !all.is_empty() {
                section aria-labelledby="gravest" {
                    h2 id="gravest" { "The most severe findings" }
                    ul {
                        @for (finding, chapter, place) in all {
                            li {
                                strong { (finding.level) } " "
                                @if let Some(place) = place { (self.link(chapter, place, folder)) ": " }
                                (safe(&finding.message)) " "
                                span class="quiet" { (safe(&told::place(finding, &self.outcome.sources))) }
                            }
                        }
                    }
                    @if more > 0 { p { (told::count(more, "finding", "findings")) " more on the pages." } }
                }
            }
        }
    }
}

/// The file of a page.
fn file(name: &str) -> String {
    format!("{name}.html")
}

/// A catalog's packages in groups.
fn groups(chapter: &Chapter) -> impl Iterator<Item = Range<usize>> + use<> {
    let all = chapter.packages.len();
    (0..all.div_ceil(GROUP)).map(move |number| number * GROUP..all.min((number + 1) * GROUP))
}

/// What a group of packages is called: its first and last ID.
fn ends(chapter: &Chapter, group: &Range<usize>) -> String {
    let id = |place: usize| chapter.packages.get(place).map_or("", |one| id_of(one));
    match group.len() {
        1 => id(group.start).to_string(),
        _ => format!("{} to {}", id(group.start), id(group.end - 1)),
    }
}

/// What was found about a catalog's parts and files, by pages.
fn beside<'a>(chapter: &Chapter<'a>) -> Vec<Vec<About<'a>>> {
    let mut pages: Vec<Vec<About>> = Vec::new();
    let mut room = 0;
    for (on, findings) in &chapter.rest {
        for part in findings.chunks(FINDINGS) {
            if part.len() > room {
                pages.push(Vec::new());
                room = FINDINGS;
            }
            room -= part.len();
            if let Some(page) = pages.last_mut() {
                page.push((on, part.to_vec()));
            }
        }
    }
    pages
}
