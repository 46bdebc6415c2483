//! The rulebook at a terminal.

use crate::assumptions::Assumptions;
use crate::engine::{FAMILIES, Family};
use crate::finding::Rule;
use crate::report::{assumptions, rule_text, rulebook};

use super::table::{self, Cell, Room, Row};
use super::theme::{Role, Theme};
use super::{Look, NARROWEST, WIDEST, markdown, words};

/// All families with what each asks, and their rules with level and one line.
pub fn list(look: Look) -> String {
    let (theme, width) = page(look);
    let mut text = String::new();
    for family in FAMILIES {
        if !text.is_empty() {
            text.push('\n');
        }
        text.push_str(&theme.paint(Role::Strong, family.name));
        text.push('\n');
        let asks = rule_text::question(family.page);
        text.push_str(&markdown::paragraph(asks, 2, width, &theme));
        text.push_str(&rows(family, width, &theme));
    }
    text.push('\n');
    let last = "`nameplate rulebook RULE` explains one, `nameplate rulebook --assumptions` shows the ranges that verdicts stand on.";
    text.push_str(&markdown::paragraph(last, 0, width, &theme));
    text
}

/// A family's rules, each with its level.
fn rows(family: &Family, width: usize, theme: &Theme) -> String {
    let rows: Vec<Row> = family
        .rules
        .iter()
        .map(|rule| {
            Row::Cells(vec![
                Cell::new(rule.name, Role::Plain),
                Cell::new(rule.level.as_str(), Role::Level(rule.level)),
                Cell::new(theme.text(rule.speaks), Role::Plain),
            ])
        })
        .collect();
    let room = Room {
        width,
        indent: 2,
        widest: 34,
        least: 24,
    };
    table::lay(&rows, room, theme)
}

/// What a family asks, and its rules.
pub fn family(family: &Family, look: Look) -> String {
    let (theme, width) = page(look);
    let mut text = theme.paint(Role::Strong, &format!("The family {}", family.name));
    text.push_str("\n\n");
    text.push_str(&markdown::render(
        rule_text::preface(family.page),
        width,
        &theme,
    ));
    text.push('\n');
    text.push_str(&rows(family, width, &theme));
    text
}

/// A rule's page.
pub fn rule(family: &Family, rule: &Rule, look: Look) -> String {
    let (theme, width) = page(look);
    markdown::render(&rulebook::rule(family, rule), width, &theme)
}

/// The ranges that verdicts stand on.
pub fn ranges(look: Look) -> String {
    let (theme, width) = page(look);
    let mut rows = vec![Row::Heads(
        ["range", "bad · central · good", "mark", "what it is"]
            .map(|head| Cell::new(theme.text(&head.replace(" · ", theme.dot())), Role::Quiet))
            .to_vec(),
    )];
    for one in Assumptions::builtin().iter() {
        let [name, bad, central, good, _, what, mark, source] = assumptions::cells(one);
        let values = [bad, central, good].join(theme.dot());
        let values = format!("{values} {}", one.unit);
        rows.push(Row::Cells(vec![
            Cell::new(name, Role::Strong),
            Cell::new(theme.text(values.trim_end()), Role::Plain),
            Cell::new(mark, Role::Plain),
            Cell::new(theme.text(&what), Role::Plain),
        ]));
        let source = theme.text(&source).into_owned();
        for line in words::wrap(&source, width.saturating_sub(4)) {
            rows.push(Row::Across(vec![Cell::new(
                format!("    {line}"),
                Role::Quiet,
            )]));
        }
    }
    let room = Room {
        width,
        indent: 0,
        widest: 36,
        least: 16,
    };
    table::lay(&rows, room, &theme)
}

/// Colours and columns of a page.
pub(super) fn page(look: Look) -> (Theme, usize) {
    let theme = Theme {
        color: look.color,
        unicode: look.unicode,
    };
    (theme, look.width.clamp(NARROWEST, WIDEST))
}
