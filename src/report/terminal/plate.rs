//! The plate: packages and what is promised of them, what the physics gives, what decides.

use std::collections::HashMap;

use crate::claims::{Judged, Outcome, Sense, Verdict};
use crate::engine::Audited;
use crate::units::show::significant;

use super::figures::{Reader, joined};
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
            "physics allows",
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
    let reader = Reader::of_verdict(verdict);
    let claim = format!("  {}", verdict.claim.as_str());
    let mut stated = verdict.stated.clone();
    if let Some(option) = &verdict.option {
        stated.push_str(&format!(", {option}"));
    }
    let outcome = verdict.outcome;
    let word = match outcome {
        Outcome::NotEvaluated => "not evaluated",
        other => other.as_str(),
    };
    let judged = outcome != Outcome::NotEvaluated;
    let figure = |si| reader.figure(si, verdict.dimension);
    let rated = verdict.rated.filter(|_| judged).map(figure);
    let ends = verdict.range.filter(|_| judged);
    let ends = ends.map(|(low, high)| [figure(low), figure(high)]);
    let range = match (&rated, &ends) {
        (Some(rated), Some(ends)) => beside(rated, ends),
        (None, Some(ends)) => joined(ends, " to "),
        _ => String::new(),
    };
    // Within the rating an undecided promise is what the trade makes; beyond it somebody should look.
    let beyond = outcome == Outcome::Undecided && verdict.within_rating == Some(false);
    let decides = decides(verdict, reader);
    let mut cells = vec![
        Cell::new(claim, Role::Plain),
        Cell::new(theme.text(&stated), Role::Plain),
        Cell::new(
            format!("{} {word}", theme.sign(outcome)),
            Role::Verdict(outcome),
        ),
    ];
    if wide {
        cells.push(match rated {
            Some(rated) if beyond => Cell::new(format!("beyond {rated}"), Role::Strong),
            rated => Cell::new(rated.unwrap_or_default(), Role::Plain),
        });
        cells.push(Cell::new(range, Role::Plain));
        cells.push(Cell::new(theme.text(&decides), Role::Plain));
    } else {
        let rated = rated.map(|rated| match beyond {
            true => format!("beyond the rated {rated}"),
            false => format!("rated {rated}"),
        });
        let range = Some(range).filter(|range| !range.is_empty());
        let range = range.map(|range| format!("physics allows {range}"));
        let parts: Vec<String> = [rated, range].into_iter().flatten().collect();
        // A mark alone belongs to what stands before it.
        let between = match (parts.is_empty(), decides.starts_with('(')) {
            (true, _) => "",
            (_, true) => " ",
            _ => "; ",
        };
        let gives = format!("{}{between}{decides}", parts.join("; "));
        cells.push(Cell::new(theme.text(&gives), Role::Plain));
    }
    cells
}

/// A range beside a figure, without a unit where both have the same.
fn beside(figure: &str, ends: &[String; 2]) -> String {
    let range = joined(ends, " to ");
    match (figure.split_once(' '), range.rsplit_once(' ')) {
        (Some((_, of_figure)), Some((numbers, of_range))) if of_figure == of_range => {
            numbers.to_string()
        }
        _ => range,
    }
}

/// What decides, in half a sentence, with the weakest mark it rests on.
fn decides(verdict: &Verdict, reader: Reader) -> String {
    if verdict.outcome == Outcome::NotEvaluated {
        let missing = verdict.missing.as_ref();
        return missing.map_or(String::new(), |missing| {
            format!("missing: {}", missing.fact)
        });
    }
    let mut parts = Vec::new();
    if let Some(judged) = verdict.deciding() {
        parts.extend(criterion(verdict, judged, reader));
    }
    if let Some(other) = verdict.follows {
        parts.push(format!("follows from {}", other.as_str()));
    }
    if verdict.outcome == Outcome::Undecided {
        let outside = !verdict.breaches.is_empty();
        if let Some(decision) = &verdict.decision {
            let by = &decision.by;
            match decision.needs {
                Some(needs) => {
                    let side = if decision.from { "from" } else { "up to" };
                    let (needs, unit) = (significant(needs, 3), &decision.unit);
                    let needs = format!("needs {by} {side} {needs} {unit}");
                    parts.push(needs.trim_end().to_string());
                }
                // Then it isn't the range that keeps it open.
                None if outside => {}
                None => parts.push(format!("turns most on {by}")),
            }
        }
        if outside {
            parts.push("outside an equation's range".into());
        }
    }
    let mark = format!("({})", verdict.weakest);
    let text = parts.join("; ");
    format!("{text} {mark}").trim_start().to_string()
}

/// What a criterion gives of what it takes: `pressure 19.7 of 24 kPa`. What stands in the row already
/// isn't repeated.
fn criterion(verdict: &Verdict, judged: &Judged, reader: Reader) -> Option<String> {
    let name = judged.name.replace('-', " ");
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
    let own = judged.dimension == verdict.dimension;
    let Some(central) = judged.central else {
        return Some(format!("{name} not known"));
    };
    if own && verdict.rated.is_some_and(|rated| same(central, rated)) {
        return None;
    }
    let needed = reader.figure(judged.needed, judged.dimension);
    let central = reader.figure(central, judged.dimension);
    // Where any at all will do, there is nothing to set it against.
    let stated = own && same(judged.needed, verdict.si);
    if stated || judged.needed <= f64::MIN_POSITIVE {
        return Some(format!("{name} {central}"));
    }
    let both = [central, needed];
    Some(match judged.sense {
        Sense::AtMost => format!("{name} {}", joined(&both, " of ")),
        Sense::AtLeast => format!("{name} {} needed", joined(&both, ", ")),
    })
}

/// Every way to buy the package and its own verdict.
fn ways(verdict: &Verdict, theme: &Theme) -> Vec<Row> {
    let line = |(way, outcome): &(String, Outcome)| {
        Row::Cells(vec![
            Cell::new("", Role::Plain),
            Cell::new(theme.text(way), Role::Quiet),
            Cell::new(
                format!("{} {outcome}", theme.sign(*outcome)),
                Role::Verdict(*outcome),
            ),
        ])
    };
    verdict.ways.iter().map(line).collect()
}
