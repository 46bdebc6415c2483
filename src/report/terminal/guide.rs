//! The manual at a terminal.

use super::rulebook::page as measures;
use super::table::{self, Cell, Room, Row};
use super::theme::Role;
use super::{Look, markdown};

/// The topics, each with its title.
pub fn list<'t>(topics: impl Iterator<Item = (&'t str, &'t str)>, look: Look) -> String {
    let (theme, width) = measures(look);
    let rows: Vec<Row> = topics
        .map(|(topic, title)| {
            Row::Cells(vec![
                Cell::new(topic, Role::Strong),
                Cell::new(theme.text(title), Role::Plain),
            ])
        })
        .collect();
    let room = Room {
        width,
        indent: 0,
        widest: 34,
        least: 24,
    };
    let mut text = table::lay(&rows, room, &theme);
    text.push('\n');
    let last = "`nameplate guide TOPIC` shows a page; `nameplate rulebook` lists the rules.";
    text.push_str(&markdown::paragraph(last, 0, width, &theme));
    text
}

/// A page.
pub fn page(text: &str, look: Look) -> String {
    let (theme, width) = measures(look);
    markdown::render(text, width, &theme)
}
