//! What a person at a terminal sees of a revision.
//!
//! Each change leads: its old and new writing, then the verdicts it turned and the findings it brought. What is
//! worst stands first; what turned nothing stands last and briefly.

use crate::report::terminal::table::{self, Cell, Room, Row};
use crate::report::terminal::theme::{Role, Theme};
use crate::report::terminal::{Detail, Look, NARROWEST, WIDEST, words as lines};
use crate::revise::{Direction, FindingShift, Revision};

use super::words::{self, EffectText, FindingText, ThingText, VerdictText};

/// The whole report, ending with a line feed.
pub fn render(revision: &Revision, look: Look) -> String {
    let mut page = Page {
        theme: Theme {
            color: look.color,
            unicode: look.unicode,
        },
        width: look.width.clamp(NARROWEST, WIDEST),
        text: String::new(),
    };
    page.say(0, Role::Strong, &words::title(revision));
    let rule = page.theme.rule().repeat(page.width);
    page.say(0, Role::Quiet, &rule);
    for sentence in words::unread(revision) {
        page.say(0, Role::Plain, &sentence);
    }
    let effects = words::effects(revision);
    let (told, silent): (Vec<_>, Vec<_>) = effects.iter().partition(|one| one.does_something());
    for effect in &told {
        page.gap();
        page.effect(effect);
    }
    if !silent.is_empty() {
        page.gap();
        if !told.is_empty() {
            page.say(0, Role::Strong, "What else changed, and turned nothing");
        }
        for thing in silent.iter().flat_map(|one| &one.things) {
            page.thing(thing);
        }
    }
    let figures = words::figures(revision);
    if look.detail == Detail::All && !figures.is_empty() {
        page.gap();
        page.say(0, Role::Strong, "The same verdicts with other figures");
        page.verdicts(&figures, 2);
    }
    page.gap();
    let mut summary = words::summary(revision);
    if look.detail != Detail::All && !figures.is_empty() {
        summary.push_str(" With --verbose the other figures are listed.");
    }
    page.say(0, Role::Strong, &summary);
    page.text
}

impl EffectText<'_> {
    /// Whether there is more to it than the change.
    pub(super) fn does_something(&self) -> bool {
        !self.verdicts.is_empty() || !self.findings.is_empty()
    }
}

struct Page {
    theme: Theme,
    width: usize,
    text: String,
}

impl Page {
    fn line(&mut self, text: &str) {
        self.text.push_str(text.trim_end());
        self.text.push('\n');
    }

    fn gap(&mut self) {
        self.text.push('\n');
    }

    fn say(&mut self, indent: usize, role: Role, text: &str) {
        let clean = self.theme.text(text).into_owned();
        for line in lines::wrap(&clean, self.width - indent) {
            let line = self.theme.paint(role, line.trim_end());
            self.line(&format!("{}{line}", " ".repeat(indent)));
        }
    }

    fn cell(&self, text: &str, role: Role) -> Cell {
        Cell::new(self.theme.text(text).into_owned(), role)
    }

    fn table(&mut self, rows: &[Row], indent: usize) {
        let room = Room {
            width: self.width,
            indent,
            widest: 34,
            least: 40,
        };
        let text = table::lay(rows, room, &self.theme);
        self.text.push_str(&text);
    }

    fn effect(&mut self, effect: &EffectText) {
        for thing in &effect.things {
            self.thing(thing);
        }
        if effect.things.is_empty() && effect.says.is_empty() {
            self.say(0, Role::Strong, "Without a change of facts");
        }
        if !effect.says.is_empty() {
            self.say(2, Role::Plain, &effect.says);
        }
        self.verdicts(&effect.verdicts, 4);
        for finding in &effect.findings {
            self.finding(finding);
        }
    }

    /// A changed thing and its facts.
    fn thing(&mut self, thing: &ThingText) {
        let mut head = vec![self.cell(&thing.heading, Role::Strong)];
        if let Some(title) = &thing.title {
            head.push(self.cell(title, Role::Plain));
        }
        if !thing.says.is_empty() {
            head.push(self.cell(&thing.says, Role::Plain));
            head.push(self.cell(&thing.place, Role::Quiet));
        }
        self.table(&[Row::Across(head)], 0);
        let rows: Vec<Row> = thing
            .facts
            .iter()
            .map(|fact| {
                let says = match fact.growth.as_str() {
                    "" => fact.says.clone(),
                    growth => format!("{}  ({growth})", fact.says),
                };
                Row::Cells(vec![
                    self.cell(&fact.key, Role::Label),
                    self.cell(&says, Role::Plain),
                    self.cell(&fact.place, Role::Quiet),
                ])
            })
            .collect();
        self.table(&rows, 2);
    }

    fn verdicts(&mut self, verdicts: &[VerdictText], indent: usize) {
        let mut package = "";
        let mut rows = Vec::new();
        for verdict in verdicts {
            // A package's name stands once above its promises.
            let name = if package == verdict.package {
                ""
            } else {
                &verdict.package
            };
            package = &verdict.package;
            let turn = words::turn(verdict, |grade| {
                format!("{} {grade}", self.theme.sign(grade))
            });
            let role = match (verdict.is.or(verdict.was), verdict.direction) {
                (Some(grade), Direction::Worse | Direction::Better) => Role::Grade(grade),
                _ => Role::Plain,
            };
            let mut figures = verdict.figures.clone();
            if !verdict.by.is_empty() {
                figures = format!("{}; {figures}", verdict.by);
            }
            rows.push(Row::Cells(vec![
                self.cell(name, Role::Strong),
                self.cell(&verdict.promise, Role::Plain),
                self.cell(&turn, role),
                self.cell(&figures, Role::Plain),
            ]));
        }
        self.table(&rows, indent);
    }

    fn finding(&mut self, finding: &FindingText) {
        let role = match finding.shift {
            FindingShift::New | FindingShift::Graver if finding.finding.waived.is_none() => {
                Role::Level(finding.finding.level)
            }
            _ => Role::Quiet,
        };
        let label = self.cell(&finding.label, role);
        let message = finding.about.as_ref().unwrap_or(&finding.message);
        let says = format!("{message} ({})", finding.place);
        let says = self.cell(&says, Role::Plain);
        self.table(&[Row::Cells(vec![label, says])], 2);
    }
}
