//! What a person at a terminal sees.
//!
//! First the answer. Then for each catalog its title; the findings, by what they are about, the gravest
//! first; then the table of grades, with packages and promises. A finding leads with what is wrong, then how to fix
//! it, then the figures; the place in the text comes last. The last line of all counts.
//!
//! - [`amendment`]: what an amendment wrote where;
//! - [`ask`]: what to ask whom;
//! - [`claims`]: what was read of spec sheets;
//! - [`rulebook`], [`markdown`]: the rules and their pages;
//! - [`guide`]: the manual;
//! - [`read_aloud`]: the same for the ear;
//! - [`grades`]: the table of grades;
//! - [`evidence`]: the physics of a finding;
//! - [`lines`]: a line for each finding, for hooks and editors;
//! - [`frame`]: a place in a text, drawn by `miette`;
//! - [`table`], [`words`]: columns and lines of a given width;
//! - [`theme`], [`clean`]: colours and characters, and what must not reach a terminal.

mod amendment;
mod ask;
mod claims;
pub(super) mod clean;
mod evidence;
mod frame;
mod grades;
pub mod guide;
mod lines;
mod markdown;
mod read_aloud;
pub mod rulebook;
pub(super) mod table;
pub(super) mod theme;
pub(super) mod words;

use crate::claims::Verdict;
use crate::engine::{Audited, Change, Earlier, Named, Outcome};
use crate::finding::{Finding, Level, State, Waived};
use crate::text::{FileId, Sources};
use crate::units::System;

use super::figures::{self, Reader};
use super::order::{self, Index, by_catalog};
use super::told;
use frame::Marked;
use table::{Cell, Room, Row};
use theme::{Role, Theme};

/// Columns of the margin that holds the labels.
const MARGIN: usize = 10;
/// Columns that a figure's source takes at least, beside it.
const GROUND: usize = 32;
/// Lines of physics that a finding shows unless all are asked for.
const PHYSICS: usize = 5;
/// The narrowest page that is laid out as such; a narrower terminal wraps it.
pub(super) const NARROWEST: usize = 60;
/// The widest: a longer line is hard to read.
pub(super) const WIDEST: usize = 160;

pub use amendment::render as amendment;
pub(super) use ask::settles;
pub use claims::render as claims;
pub use lines::{Lines, news, statistics};
pub use read_aloud::render as read_aloud;

/// How much is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// A line for each finding that counts and is at that level or above, and the counts.
    Lines(Level),
    /// All, with a note on one line and the first lines of each finding's physics.
    Usual,
    /// Everything.
    All,
}

impl Detail {
    /// Whether each finding has no more than a line.
    fn is_lines(self) -> bool {
        matches!(self, Detail::Lines(_))
    }
}

/// How the report is to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// Columns of the page.
    pub width: usize,
    /// Whether colours may be used.
    pub color: bool,
    /// Whether anything but ASCII may be written.
    pub unicode: bool,
    /// How much is shown.
    pub detail: Detail,
}

/// `text` without what could act on a terminal or hide in it, for a line beside the report.
pub fn safe(text: &str) -> std::borrow::Cow<'_, str> {
    clean::clean(text, false)
}

/// The whole report, ending with a line feed.
pub fn render(outcome: &Outcome, look: Look) -> String {
    if let Detail::Lines(least) = look.detail {
        return lines::render(outcome, least, look);
    }
    let mut page = Page {
        theme: Theme {
            color: look.color,
            unicode: look.unicode,
        },
        width: look.width.clamp(NARROWEST, WIDEST),
        detail: look.detail,
        sources: &outcome.sources,
        said_order: false,
        text: String::new(),
    };
    page.sentence(&told::answer(outcome));
    page.text.push('\n');
    for (catalog, findings) in outcome.catalogs.iter().zip(by_catalog(outcome)) {
        page.catalog(
            catalog,
            &outcome.verdicts[catalog.verdicts.clone()],
            &findings,
        );
    }
    if let Some(asks) = &outcome.asks {
        page.asks(asks, &outcome.verdicts);
    }
    page.gone(outcome.gone.as_deref().unwrap_or_default());
    let kept = outcome.record.as_ref();
    page.changes(kept.map_or(&[][..], |kept| &kept.changes));
    page.summary(outcome);
    page.text
}

/// What is wrong with a file, each finding at its place.
pub fn faults(sources: &Sources, findings: &[Finding], look: Look) -> String {
    let mut page = Page {
        theme: Theme {
            color: look.color,
            unicode: look.unicode,
        },
        width: look.width.clamp(NARROWEST, WIDEST),
        detail: look.detail,
        sources,
        said_order: false,
        text: String::new(),
    };
    for finding in findings {
        page.finding(finding, Reader::of_system(System::Metric));
    }
    page.text
}

/// The word in the margin of a finding, and its colour.
fn label(finding: &Finding) -> (&'static str, Role) {
    match finding.waived {
        Some(_) => ("waived", Role::Quiet),
        None => (finding.level.as_str(), Role::Level(finding.level)),
    }
}

/// A page being written.
struct Page<'a> {
    theme: Theme,
    width: usize,
    detail: Detail,
    sources: &'a Sources,
    /// Whether it was said in which order the figures of a range stand.
    said_order: bool,
    text: String,
}

impl Page<'_> {
    fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    /// The room of a table that is indented so.
    fn room(&self, indent: usize) -> Room {
        Room {
            width: self.width,
            indent,
            widest: 44,
            least: GROUND,
        }
    }

    fn catalog(&mut self, catalog: &Audited, verdicts: &[Verdict], findings: &[&Finding]) {
        self.heading(catalog);
        self.text.push('\n');
        let about = order::by_subject(findings.iter().copied(), self.sources);
        let index = Index::of(catalog, verdicts);
        for (on, findings) in about {
            self.about(on, index.entries.get(on).copied());
            let mut brief = false;
            for finding in findings {
                // Notes on a line each stand close together.
                let is_brief = self.is_brief(finding);
                if brief && !is_brief {
                    self.text.push('\n');
                }
                brief = is_brief;
                if is_brief {
                    self.note(finding);
                } else {
                    self.finding(finding, index.reader(finding));
                }
            }
            if brief {
                self.text.push('\n');
            }
        }
        // A page that promises nothing needs no table of promises.
        if !catalog.is_sheet || !verdicts.is_empty() {
            let all = self.detail == Detail::All;
            let table = grades::draw(catalog, verdicts, all, self.width, &self.theme);
            self.text.push_str(&table);
            self.text.push('\n');
        }
    }

    fn heading(&mut self, catalog: &Audited) {
        let name = self.theme.text(&catalog.name).into_owned();
        let title = catalog
            .title
            .as_deref()
            .map(|title| self.theme.text(title).into_owned());
        let head = match title {
            Some(title) if name == "." => vec![Cell::new(title, Role::Strong)],
            Some(title) => vec![Cell::new(title, Role::Strong), Cell::new(name, Role::Quiet)],
            None => vec![Cell::new(name, Role::Strong)],
        };
        let head = table::lay(&[Row::Across(head)], self.room(0), &self.theme);
        self.text.push_str(&head);
        let rule = self.theme.rule().repeat(self.width);
        let rule = self.theme.paint(Role::Quiet, &rule);
        self.line(&rule);
        for remark in &catalog.remarks {
            let remark = self.theme.text(remark).into_owned();
            for line in words::wrap(&remark, self.width) {
                self.line(&line);
            }
        }
    }

    /// The heading of the findings about one thing.
    fn about(&mut self, on: &str, entry: Option<&Named>) {
        let name = order::heading(on);
        let mut cells = vec![Cell::new(self.theme.text(&name), Role::Strong)];
        if let Some(title) = entry.and_then(|entry| entry.title.as_deref()) {
            cells.push(Cell::new(self.theme.text(title), Role::Plain));
        }
        let head = table::lay(&[Row::Across(cells)], self.room(0), &self.theme);
        self.text.push_str(&head);
        self.text.push('\n');
    }

    /// Whether a finding takes a line: a note, and what is waived.
    fn is_brief(&self, finding: &Finding) -> bool {
        let told = finding.state == Some(State::Unchanged);
        let small = finding.level == Level::Note || finding.waived.is_some() || told;
        self.detail != Detail::All && small
    }

    /// A note, what is waived or was told by an earlier run, with its place and no more.
    fn note(&mut self, finding: &Finding) {
        let mut words = self.theme.text(&finding.message).into_owned();
        if let Some(waived) = &finding.waived {
            words.push_str(&format!(" {}", self.waiver(waived)));
        }
        if let Some(state) = finding.state {
            words.push_str(&format!(" {}", told::since(state)));
        }
        words.push_str(&format!(" ({})", self.place(finding)));
        let (label, role) = label(finding);
        self.labelled(label, role, &words);
    }

    /// Who accepts a finding, until when and why.
    fn waiver(&self, waived: &Waived) -> String {
        self.theme.text(&told::waiver(waived)).into_owned()
    }

    fn finding(&mut self, finding: &Finding, reader: Reader) {
        let (word, role) = label(finding);
        let mut message = self.theme.text(&finding.message).into_owned();
        if let Some(state) = finding.state {
            message.push_str(&format!(" {}", told::since(state)));
        }
        self.labelled(word, role, &message);
        if let Some(waived) = &finding.waived {
            let words = self.waiver(waived);
            self.labelled("waiver", Role::Label, &words);
        }
        let fix = self.theme.text(&told::fix(finding)).into_owned();
        if !fix.is_empty() {
            self.labelled("fix", Role::Label, &fix);
        }
        self.physics(finding, reader);
        self.places(finding);
        self.text.push('\n');
    }

    /// A label in the margin and words beside it.
    fn labelled(&mut self, label: &str, role: Role, words: &str) {
        let room = self.width.saturating_sub(MARGIN);
        for (place, line) in words::wrap(words, room).iter().enumerate() {
            let label = if place == 0 { label } else { "" };
            let margin = self.margin(label, role);
            self.line(&format!("{margin}{line}"));
        }
    }

    fn margin(&self, label: &str, role: Role) -> String {
        let pad = " ".repeat(MARGIN.saturating_sub(label.len() + 1));
        format!(" {}{pad}", self.theme.paint(role, label))
    }

    fn physics(&mut self, finding: &Finding, reader: Reader) {
        let evidence = &finding.evidence;
        let legend = !self.said_order && evidence::has_ranges(evidence);
        self.said_order |= legend;
        let mut rows = evidence::table(evidence, reader, self.sources, legend, &self.theme);
        let most = PHYSICS + usize::from(legend);
        let more = rows.len().saturating_sub(most);
        // One line more is as short as saying that there is one more.
        if self.detail != Detail::All && more > 1 {
            rows.truncate(most);
            let more = format!("{more} more lines with --verbose");
            rows.push(Row::Across(vec![Cell::new(more, Role::Quiet)]));
        }
        let text = table::lay(&rows, self.room(MARGIN), &self.theme);
        self.beside("figures", &text);
    }

    /// Lines that are indented already, with a label in the margin of the first.
    fn beside(&mut self, label: &str, text: &str) {
        for (place, line) in text.lines().enumerate() {
            if place == 0 {
                let margin = self.margin(label, Role::Label);
                let line = format!("{margin}{}", line.get(MARGIN..).unwrap_or(""));
                self.line(&line);
            } else {
                self.line(line);
            }
        }
    }

    /// File, line and column of a finding, and which rule speaks.
    fn place(&self, finding: &Finding) -> String {
        let (place, rule) = (told::place(finding, self.sources), told::rule(finding));
        let dot = self.theme.dot();
        format!("{}{dot}{}", self.theme.text(&place), self.theme.text(&rule))
    }

    /// The places, each with its line: the primary one first.
    fn places(&mut self, finding: &Finding) {
        let level = Role::Level(finding.level);
        let around = if self.detail == Detail::All { 2 } else { 0 };
        let own = Marked {
            at: finding.at,
            says: None,
            role: level,
        };
        let related = finding.related.iter().map(|related| Marked {
            at: related.at,
            says: Some(related.says.as_str()),
            role: Role::Label,
        });
        let marks: Vec<Marked> = std::iter::once(own).chain(related).collect();
        // The finding's own text first, then the others as they come.
        let mut files: Vec<FileId> = Vec::new();
        for mark in &marks {
            if !files.contains(&mark.at.file) {
                files.push(mark.at.file);
            }
        }
        let place = self.place(finding);
        let room = self.width.saturating_sub(MARGIN);
        for file in files {
            let source = self.sources.get(file);
            let here: Vec<Marked> = marks
                .iter()
                .filter(|mark| mark.at.file == file)
                .cloned()
                .collect();
            let mut windows = frame::draw(source, &here, around, room, &self.theme);
            // The window of the place itself stands below its line.
            let line = source.position(finding.at.start as usize).line;
            let own = windows
                .iter()
                .position(|one| file == finding.at.file && one.holds(line));
            if let Some(own) = own {
                let first = windows.remove(own);
                let says = first.says.map_or(String::new(), |says| format!(": {says}"));
                self.labelled("where", Role::Label, &format!("{place}{says}"));
                self.drawn(&first.lines);
            }
            for window in windows {
                let name = self.theme.text(source.name()).into_owned();
                let mut place = format!("{name}, {}", told::spot(self.sources, window.at));
                if let Some(says) = &window.says {
                    place.push_str(&format!(": {says}"));
                }
                self.labelled("", Role::Label, &place);
                self.drawn(&window.lines);
            }
        }
    }

    fn drawn(&mut self, lines: &[String]) {
        for line in lines {
            self.line(&format!("{}{line}", " ".repeat(MARGIN - 1)));
        }
    }

    /// What an earlier run found and this one doesn't.
    fn gone(&mut self, gone: &[Earlier]) {
        if gone.is_empty() {
            return;
        }
        let head = self.theme.paint(Role::Strong, "gone since the baseline");
        self.line(&head);
        self.text.push('\n');
        for one in gone {
            let mut words = self.theme.text(&one.message).into_owned();
            let line = one
                .line
                .map_or(String::new(), |line| format!(", line {line}"));
            let place = one.file.as_deref().unwrap_or_default();
            let (place, rule) = (self.theme.text(place), self.theme.text(&one.rule));
            words.push_str(&format!(" ({place}{line}{}{rule})", self.theme.dot()));
            self.labelled(one.level.as_str(), Role::Quiet, &words);
        }
        self.text.push('\n');
    }

    /// Verdicts that aren't what the record has.
    fn changes(&mut self, changes: &[Change]) {
        if changes.is_empty() {
            return;
        }
        let head = self.theme.paint(Role::Strong, "changed since the record");
        self.line(&head);
        self.text.push('\n');
        for change in changes {
            let words = self.theme.text(&told::change(change)).into_owned();
            self.labelled("", Role::Quiet, &words);
        }
        self.text.push('\n');
    }

    /// The counts, in sentences.
    fn summary(&mut self, outcome: &Outcome) {
        if let Some(fixes) = told::fixes(outcome) {
            for line in words::wrap(&fixes, self.width) {
                self.line(&line);
            }
        }
        self.sentence(&told::summary(outcome));
    }

    /// What nobody should miss.
    fn sentence(&mut self, text: &str) {
        let text = self.theme.text(text).into_owned();
        for line in words::wrap(&text, self.width) {
            let line = self.theme.paint(Role::Strong, &line);
            self.line(&line);
        }
    }
}
