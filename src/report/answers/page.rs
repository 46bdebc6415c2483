//! A page of one answer, for people.

use crate::answers::Asked;
use crate::report::figures::{Reader, joined};
use crate::report::terminal::table::{self, Cell, Room, Row};
use crate::report::terminal::theme::{Role, Theme};
use crate::report::terminal::{Look, NARROWEST, WIDEST, words};
use crate::units::show::show_bore;
use crate::units::{Dimension, System};

/// Columns before what stands below a heading.
const INDENT: usize = 2;

/// A page being written.
pub(in crate::report) struct Page {
    pub theme: Theme,
    pub width: usize,
    pub system: System,
    text: String,
}

impl Page {
    /// An empty page.
    pub fn new(look: Look, system: System) -> Page {
        Page {
            theme: Theme {
                color: look.color,
                unicode: look.unicode,
            },
            width: look.width.clamp(NARROWEST, WIDEST),
            system,
            text: String::new(),
        }
    }

    /// The page with the package and how it is laid at its head.
    pub fn headed(asked: &Asked, look: Look) -> Page {
        let mut page = Page::new(look, asked.system());
        let entry = &asked.package.entry;
        let mut head = vec![Cell::new(page.theme.text(&entry.id), Role::Strong)];
        if let Some(title) = &entry.title {
            head.push(Cell::new(page.theme.text(title), Role::Plain));
        }
        page.across(head, 0);
        let laid = page.laid(asked);
        page.ruled_off(&laid);
        page
    }

    /// Quiet words with a rule below them: the end of a head.
    pub fn ruled_off(&mut self, laid: &str) {
        for line in words::wrap(laid, self.width) {
            let line = self.theme.paint(Role::Quiet, &line);
            self.line(&line);
        }
        let rule = self.theme.rule().repeat(self.width);
        let rule = self.theme.paint(Role::Quiet, &rule);
        self.line(&rule);
    }

    /// How the package is bought and laid, in one line.
    fn laid(&self, asked: &Asked) -> String {
        let plant = &asked.solver.plant;
        let mut says = Vec::new();
        let option = asked.way.option();
        if let Some(option) = option {
            let others = asked.package.options.iter().map(|one| one.id.as_str());
            let others: Vec<&str> = others.filter(|id| *id != option.id).collect();
            let others = match others.as_slice() {
                [] => String::new(),
                [one] => format!(" (--option {one} shows the other)"),
                [one, ..] => format!(" (--option {one} shows another, of {} more)", others.len()),
            };
            let id = self.theme.text(&option.id);
            says.push(format!("option {id}{}", self.theme.text(&others)));
        }
        let machines = plant.machines.iter().map(|machine| {
            let part = machine.part;
            let id = self.theme.text(&part.entry.id);
            let supply = [&machine.supply.voltage, &machine.supply.frequency];
            let on: Vec<&str> = supply
                .iter()
                .filter_map(|one| Some(one.known()?.text()))
                .collect();
            let on = if on.is_empty() {
                String::new()
            } else {
                format!(" on {}", on.join(" "))
            };
            format!("{} {id}{}", machine.count, self.theme.text(&on))
        });
        says.push(machines.collect::<Vec<_>>().join(" and "));
        for line in &plant.trunk {
            says.push(format!(
                "trunk {} of {}",
                self.figure(line.length, Dimension::Length),
                show_bore(line.bore, self.system)
            ));
        }
        let site = &asked.catalog.site;
        says.push(format!(
            "{} above the sea",
            self.figure(site.altitude_m(), Dimension::Length)
        ));
        says.push(format!(
            "air {}, water {}",
            self.figure(site.air_k(), Dimension::Temperature),
            self.figure(plant.water, Dimension::Temperature)
        ));
        says.join(", ")
    }

    /// A quantity in the reader's units.
    pub fn figure(&self, si: f64, dimension: Dimension) -> String {
        Reader::of_system(self.system).figure(si, dimension)
    }

    /// Two of one dimension, their unit once.
    pub fn range(&self, low: f64, high: f64, dimension: Dimension) -> String {
        let figures = [self.figure(low, dimension), self.figure(high, dimension)];
        joined(&figures, " to ")
    }

    /// A line as it stands.
    pub fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    /// An empty line.
    pub fn gap(&mut self) {
        self.text.push('\n');
    }

    /// Cells across the page.
    pub fn across(&mut self, cells: Vec<Cell>, indent: usize) {
        let text = table::lay(&[Row::Across(cells)], self.room(indent), &self.theme);
        self.text.push_str(&text);
    }

    /// The answer in the first lines.
    pub fn answer(&mut self, words: &str) {
        let clean = self.theme.text(words).into_owned();
        for line in words::wrap(&clean, self.width) {
            let line = self.theme.paint(Role::Strong, &line);
            self.line(&line);
        }
    }

    /// The heading of a part, with an empty line before it.
    pub fn heading(&mut self, words: &str) {
        self.gap();
        let head = self.theme.paint(Role::Strong, words);
        self.line(&head);
    }

    /// A sentence below a heading, over as many lines as it takes.
    pub fn says(&mut self, words: &str) {
        let clean = self.theme.text(words).into_owned();
        for line in words::wrap(&clean, self.width.saturating_sub(INDENT)) {
            self.line(&format!("{}{line}", " ".repeat(INDENT)));
        }
    }

    /// A table below a heading.
    pub fn table(&mut self, rows: &[Row]) {
        let text = table::lay(rows, self.room(INDENT), &self.theme);
        for line in text.lines() {
            self.line(line);
        }
    }

    fn room(&self, indent: usize) -> Room {
        Room {
            width: self.width,
            indent,
            widest: 44,
            least: 24,
        }
    }

    /// The whole page.
    pub fn done(self) -> String {
        self.text
    }
}

/// A row of a table, its first cell a label.
pub(in crate::report) fn row(cells: impl IntoIterator<Item = String>) -> Row {
    let cells = cells.into_iter().enumerate().map(|(place, text)| {
        let role = if place == 0 { Role::Label } else { Role::Plain };
        Cell::new(text, role)
    });
    Row::Cells(cells.collect())
}

/// The heads of a table's columns.
pub(in crate::report) fn heads(cells: impl IntoIterator<Item = String>) -> Row {
    let cells = cells.into_iter().map(|text| Cell::new(text, Role::Quiet));
    Row::Heads(cells.collect())
}
