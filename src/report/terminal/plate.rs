//! The plate: packages and what is promised of them, what the physics gives, what decides.

use std::collections::HashMap;

use crate::claims::{Verdict, WayOutcome};
use crate::engine::Audited;

use super::super::promise::{self, Promise};
use super::table::{self, Cell, Room, Row};
use super::theme::{Role, Theme};

/// The room of a plate on a page of `width` columns.
fn room(width: usize) -> Room {
    Room {
        width,
        indent: 2,
        widest: 20,
        least: 26,
    }
}

/// A catalog's plate, in `width` columns. `all`: with every way to buy a package and its own verdict.
///
/// On a narrow page what the physics gives stands below each promise instead of beside it.
pub fn draw(
    catalog: &Audited,
    verdicts: &[Verdict],
    all: bool,
    width: usize,
    theme: &Theme,
) -> String {
    let rows = |wide: bool| rows(catalog, verdicts, all, wide, theme);
    let mut plate = rows(true);
    if plate.len() < 2 {
        return String::new();
    }
    if !table::fits(&plate, room(width)) {
        plate = rows(false);
    }
    table::lay(&plate, room(width), theme)
}

fn rows(catalog: &Audited, verdicts: &[Verdict], all: bool, wide: bool, theme: &Theme) -> Vec<Row> {
    let heads: &[&str] = if wide {
        &[
            "promise",
            "as stated",
            "verdict",
            "rated",
            "physics gives",
            "what decides",
        ]
    } else {
        &["promise", "as stated", "verdict", "what the physics gives"]
    };
    let heads = heads.iter().map(|head| Cell::new(*head, Role::Label));
    let mut rows = vec![Row::Heads(heads.collect())];
    let mut by_package: HashMap<&str, Vec<&Verdict>> = HashMap::new();
    for verdict in verdicts {
        let own = by_package.entry(&verdict.package).or_default();
        own.push(verdict);
    }
    for package in packages(catalog) {
        let id = package.on.trim_start_matches("package.");
        let mut head = vec![Cell::new(theme.text(id), Role::Strong)];
        if let Some(title) = &package.title {
            head.push(Cell::new(theme.text(title), Role::Plain));
        }
        let own = by_package.remove(id).unwrap_or_default();
        if own.is_empty() {
            head.push(Cell::new("no promise that can be read", Role::Quiet));
        }
        rows.push(Row::Across(head));
        for verdict in own {
            rows.push(Row::Cells(cells(verdict, wide, theme)));
            rows.extend(in_service(verdict, wide, theme));
            if all {
                rows.extend(ways(verdict, theme));
            }
        }
    }
    rows
}

/// The packages of a catalog, in order.
fn packages(catalog: &Audited) -> impl Iterator<Item = &crate::engine::Named> {
    let packages = catalog.entries.iter();
    packages.filter(|entry| entry.on.starts_with("package."))
}

fn cells(verdict: &Verdict, wide: bool, theme: &Theme) -> Vec<Cell> {
    let promise = Promise::of(verdict);
    let outcome = promise.outcome;
    let mut cells = vec![
        Cell::new(format!("  {}", promise.claim), Role::Plain),
        Cell::new(theme.text(&promise.stated), Role::Plain),
        Cell::new(
            format!("{} {}", theme.sign(outcome), promise.word),
            Role::Verdict(outcome),
        ),
    ];
    if wide {
        cells.push(match &promise.rated {
            Some(rated) if promise.beyond => Cell::new(format!("beyond {rated}"), Role::Strong),
            rated => Cell::new(rated.clone().unwrap_or_default(), Role::Plain),
        });
        cells.push(Cell::new(promise.range, Role::Plain));
        cells.push(Cell::new(theme.text(&promise.decides), Role::Plain));
    } else {
        cells.push(Cell::new(theme.text(&promise.gives()), Role::Plain));
    }
    cells
}

/// What is left of a depth after a season, below it.
fn in_service(verdict: &Verdict, wide: bool, theme: &Theme) -> Option<Row> {
    let left = promise::in_service(verdict)?;
    let mut cells = vec![
        Cell::new("", Role::Plain),
        Cell::new("after a season", Role::Quiet),
        Cell::new("", Role::Plain),
    ];
    if wide {
        cells.push(Cell::new("", Role::Plain));
    }
    cells.push(Cell::new(theme.text(&left), Role::Quiet));
    if wide {
        cells.push(Cell::new("", Role::Plain));
    }
    Some(Row::Cells(cells))
}

/// Every way to buy the package and its own verdict.
fn ways(verdict: &Verdict, theme: &Theme) -> Vec<Row> {
    let line = |one: &WayOutcome| {
        Row::Cells(vec![
            Cell::new("", Role::Plain),
            Cell::new(theme.text(&one.way), Role::Quiet),
            Cell::new(
                format!("{} {}", theme.sign(one.outcome), one.outcome),
                Role::Verdict(one.outcome),
            ),
        ])
    };
    verdict.ways.iter().map(line).collect()
}
