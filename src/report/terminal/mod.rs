//! What a person at a terminal sees.
//!
//! For each catalog its title; then the plate, with packages and promises; then the findings, by what
//! they are about. A finding leads with what is wrong, then how to mend it, then the physics; the
//! place in the text comes last. The last line of all counts.
//!
//! - [`plate`]: the table of verdicts;
//! - [`evidence`]: the physics of a finding;
//! - [`frame`]: a place in a text, drawn by `miette`;
//! - [`table`], [`words`]: columns and lines of a given width;
//! - [`figures`]: numbers in the reader's own units;
//! - [`theme`], [`clean`]: colours and characters, and what must not reach a terminal.

mod clean;
mod evidence;
mod figures;
mod frame;
mod plate;
mod table;
mod theme;
mod words;

use std::collections::HashMap;

use crate::claims::Verdict;
use crate::engine::{Audited, Earlier, Named, Outcome};
use crate::finding::{Finding, Level, State, Waived};
use crate::text::{FileId, Sources, Span};

use figures::Reader;
use frame::Marked;
use table::{Cell, Room, Row};
use theme::{Role, Theme};
use words::count;

/// Columns of the margin that holds the labels.
const MARGIN: usize = 10;
/// Columns that a figure's source takes at least, beside it.
const GROUND: usize = 32;
/// Lines of physics that a finding shows unless all are asked for.
const PHYSICS: usize = 6;
/// The narrowest page that is laid out as such; a narrower terminal wraps it.
const NARROWEST: usize = 60;
/// The widest: a longer line is hard to read.
const WIDEST: usize = 160;

/// How much is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Detail {
    /// Errors and the counts.
    Errors,
    /// All, with a note on one line and the first lines of each finding's physics.
    Usual,
    /// Everything.
    All,
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
    for (catalog, findings) in outcome.catalogs.iter().zip(by_catalog(outcome)) {
        page.catalog(
            catalog,
            &outcome.verdicts[catalog.verdicts.clone()],
            &findings,
        );
    }
    if look.detail != Detail::Errors {
        page.gone(outcome.gone.as_deref().unwrap_or_default());
    }
    page.summary(outcome);
    page.text
}

/// The findings of each catalog. A finding in a borrowed part goes to the first catalog that has it.
fn by_catalog(outcome: &Outcome) -> Vec<Vec<&Finding>> {
    let mut of_file: HashMap<FileId, usize> = HashMap::new();
    for (place, catalog) in outcome.catalogs.iter().enumerate() {
        for &file in &catalog.files {
            of_file.entry(file).or_insert(place);
        }
    }
    let mut lists = vec![Vec::new(); outcome.catalogs.len()];
    for finding in &outcome.findings {
        let named = || {
            outcome.catalogs.iter().position(|catalog| {
                let mut entries = catalog.entries.iter();
                entries.any(|entry| entry.on == subject(&finding.on))
            })
        };
        let place = of_file.get(&finding.at.file).copied().or_else(named);
        if let Some(list) = lists.get_mut(place.unwrap_or(0)) {
            list.push(finding);
        }
    }
    lists
}

/// The part or package that a finding is about: its kind and ID, without an option.
fn subject(on: &str) -> &str {
    match on.match_indices('.').nth(1) {
        Some((end, _)) => &on[..end],
        None => on,
    }
}

/// What a catalog's findings are looked up in.
struct Index<'a> {
    catalog: &'a Audited,
    entries: HashMap<&'a str, &'a Named>,
    verdicts: HashMap<Span, &'a Verdict>,
}

impl<'a> Index<'a> {
    fn of(catalog: &'a Audited, verdicts: &'a [Verdict]) -> Index<'a> {
        let entries = catalog.entries.iter();
        Index {
            catalog,
            entries: entries.map(|entry| (entry.on.as_str(), entry)).collect(),
            verdicts: verdicts.iter().map(|one| (one.at, one)).collect(),
        }
    }

    /// The units of what a finding is about: of the claim it stands at, else of its package, else of most
    /// packages.
    fn reader(&self, finding: &Finding) -> Reader {
        if let Some(verdict) = self.verdicts.get(&finding.at) {
            return Reader::of_verdict(verdict);
        }
        let own = self.entries.get(subject(&finding.on));
        let own = own.and_then(|entry| entry.system);
        Reader::of_system(own.unwrap_or(self.catalog.system))
    }
}

/// The word in the margin of a finding, and its colour.
fn label(finding: &Finding) -> (&'static str, Role) {
    match finding.waived {
        Some(_) => ("waived", Role::Quiet),
        None => (finding.level.as_str(), Role::Level(finding.level)),
    }
}

/// What a finding is to an earlier run, as a sentence without its end.
fn since(state: State) -> &'static str {
    match state {
        State::New => "New since the baseline",
        State::Unchanged => "Unchanged since the baseline",
        State::Graver => "Graver than in the baseline",
        State::Milder => "Milder than in the baseline",
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
        if self.detail != Detail::Errors {
            self.heading(catalog);
            let all = self.detail == Detail::All;
            let plate = plate::draw(catalog, verdicts, all, self.width, &self.theme);
            self.text.push_str(&plate);
            self.text.push('\n');
        }
        // What each is about, in the order of the first finding about it.
        let mut about: Vec<(&str, Vec<&Finding>)> = Vec::new();
        let mut place: HashMap<&str, usize> = HashMap::new();
        for finding in findings {
            let fails = finding.level == Level::Error && finding.counts();
            if self.detail == Detail::Errors && !fails {
                continue;
            }
            let on = match subject(&finding.on) {
                "" => self.sources.get(finding.at.file).name(),
                on => on,
            };
            let at = *place.entry(on).or_insert_with(|| {
                about.push((on, Vec::new()));
                about.len() - 1
            });
            about[at].1.push(finding);
        }
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
    }

    /// The heading of the findings about one thing.
    fn about(&mut self, on: &str, entry: Option<&Named>) {
        let name = match on.split_once('.') {
            Some((kind, id)) if !on.contains('/') && !on.ends_with(".toml") => {
                format!("{} {id}", kind.replace('-', " "))
            }
            _ => on.to_string(),
        };
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
            words.push_str(&format!(" {}.", since(state)));
        }
        words.push_str(&format!(" ({})", self.place(finding)));
        let (label, role) = label(finding);
        self.labelled(label, role, &words);
    }

    /// Who accepts a finding, until when and why.
    fn waiver(&self, waived: &Waived) -> String {
        let by = waived.owner.as_ref().map(|owner| format!(" by {owner}"));
        let until = waived.until.as_ref().map(|until| format!(" until {until}"));
        let (by, until) = (by.unwrap_or_default(), until.unwrap_or_default());
        let words = format!(
            "Accepted{by}{until}: {}.",
            waived.reason.trim_end_matches('.')
        );
        self.theme.text(&words).into_owned()
    }

    fn finding(&mut self, finding: &Finding, reader: Reader) {
        let (word, role) = label(finding);
        let mut message = self.theme.text(&finding.message).into_owned();
        if let Some(state) = finding.state {
            message.push_str(&format!(" {}.", since(state)));
        }
        self.labelled(word, role, &message);
        if let Some(waived) = &finding.waived {
            let words = self.waiver(waived);
            self.labelled("waiver", Role::Label, &words);
        }
        let mend = self.mend(finding);
        if !mend.is_empty() {
            self.labelled("mend", Role::Label, &mend);
        }
        self.physics(finding, reader);
        self.places(finding);
        self.text.push('\n');
    }

    /// How to mend it, with the correction where there is one.
    fn mend(&self, finding: &Finding) -> String {
        let mut text = self.theme.text(&finding.mend).into_owned();
        if let Some(correction) = &finding.correction {
            if !text.is_empty() {
                text.push(' ');
            }
            let says = self.theme.text(&correction.says);
            text.push_str(&if correction.sure {
                format!("A sure correction: {says}.")
            } else {
                format!("If that is what is meant: {says}.")
            });
        }
        text
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
        self.beside("physics", &text);
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
        let source = self.sources.get(finding.at.file);
        let position = source.position(finding.at.start as usize);
        let option = finding.on.get(subject(&finding.on).len()..);
        let option = option.and_then(|rest| rest.strip_prefix(".option."));
        let option = option.map_or(String::new(), |option| {
            format!(", option {}", self.theme.text(option))
        });
        let name = self.theme.text(source.name());
        let dot = self.theme.dot();
        let (line, column, rule) = (position.line, position.column, finding.rule.name);
        format!("{name}, line {line}, column {column}{dot}{rule}{option}")
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
                self.labelled("place", Role::Label, &format!("{place}{says}"));
                self.drawn(&first.lines);
            }
            for window in windows {
                let name = self.theme.text(source.name()).into_owned();
                let (line, column) = (window.line, window.column);
                let mut place = format!("{name}, line {line}, column {column}");
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

    /// The counts, as one sentence each for promises and findings.
    fn summary(&mut self, outcome: &Outcome) {
        let summary = &outcome.summary;
        let claims: usize = summary.verdicts.iter().sum();
        let words = ["supported", "undecided", "contradicted", "not evaluated"];
        let verdicts: Vec<String> = summary
            .verdicts
            .iter()
            .zip(words)
            .filter(|(number, _)| **number > 0)
            .map(|(number, word)| format!("{number} {word}"))
            .collect();
        let mut audited = format!(
            "Audited {} and {}",
            count(summary.packages, "package", "packages"),
            count(claims, "promise", "promises"),
        );
        if !verdicts.is_empty() {
            audited.push_str(&format!(": {}", verdicts.join(", ")));
        }
        audited.push_str(&format!(
            ". Found {}, {} and {}",
            count(summary.errors, "error", "errors"),
            count(summary.warnings, "warning", "warnings"),
            count(summary.notes, "note", "notes")
        ));
        if let Some(day) = &outcome.as_of {
            let waived = summary.waived;
            audited.push_str(&format!("; {waived} waived as of {}", self.theme.text(day)));
        }
        audited.push('.');
        if let Some(gone) = &outcome.gone {
            let of = |wanted: fn(State) -> bool| {
                let states = outcome.findings.iter().filter_map(|finding| finding.state);
                states.filter(|&state| wanted(state)).count()
            };
            audited.push_str(&format!(
                " Since the baseline: {} new, {} changed in level, {} unchanged, {} gone.",
                of(|state| state == State::New),
                of(|state| matches!(state, State::Graver | State::Milder)),
                of(|state| state == State::Unchanged),
                gone.len(),
            ));
        }
        for line in words::wrap(&audited, self.width) {
            let line = self.theme.paint(Role::Strong, &line);
            self.line(&line);
        }
    }
}
