//! The table of grades: packages and what is promised of them, its grade, what is rated, what is possible and why.

use std::collections::HashMap;

use crate::claims::{Grade, Outcome, Verdict, WayOutcome};
use crate::engine::Audited;

use super::super::promise::{self, Promise};
use super::table::{self, Cell, Room, Row};
use super::theme::{Role, Theme};

/// The columns, whatever the width: where there is no room for the last beside the others it goes beneath.
const HEADS: [&str; 6] = ["promise", "as stated", "grade", "rated", "possible", "why"];

/// The room of the table on a page of `width` columns.
fn room(width: usize) -> Room {
    Room {
        width,
        indent: 2,
        widest: 18,
        least: 24,
    }
}

/// A catalog's table of grades, in `width` columns. `all`: every promise on a line of its own, with every way to buy the
/// package; else what holds is named on one line.
pub fn draw(
    catalog: &Audited,
    verdicts: &[Verdict],
    all: bool,
    width: usize,
    theme: &Theme,
) -> String {
    let mut by_package: HashMap<&str, Vec<&Verdict>> = HashMap::new();
    for verdict in verdicts {
        let own = by_package.entry(&verdict.package).or_default();
        own.push(verdict);
    }
    let mut rows = Vec::new();
    for package in packages(catalog) {
        let id = package.on.trim_start_matches("package.");
        let mut head = vec![Cell::new(theme.text(id), Role::Strong)];
        if let Some(title) = &package.title {
            head.push(Cell::new(theme.text(title), Role::Plain));
        }
        let own = by_package.remove(id).unwrap_or_default();
        let (holding, others): (Vec<&Verdict>, Vec<&Verdict>) = own
            .iter()
            .partition(|one| !all && one.grade() == Grade::Holds && !depends_on_the_option(one));
        if own.is_empty() {
            head.push(Cell::new("no promise that can be read", Role::Quiet));
        }
        let holds = holds(&holding, theme);
        // A package all of whose promises hold takes one line.
        if others.is_empty() {
            head.extend(holds);
            rows.push(Row::Across(head));
            continue;
        }
        rows.push(Row::Across(head));
        for verdict in others {
            rows.push(Row::Cells(cells(verdict, all, theme)));
            rows.extend(in_service(verdict, theme));
            if all || depends_on_the_option(verdict) {
                rows.extend(ways(verdict, theme));
            }
        }
        if let Some(holds) = holds {
            rows.push(Row::Across(vec![holds]));
        }
    }
    if rows.is_empty() {
        return String::new();
    }
    if rows.iter().any(|row| matches!(row, Row::Cells(_))) {
        let heads = HEADS.iter().map(|head| Cell::new(*head, Role::Label));
        rows.insert(0, Row::Heads(heads.collect()));
    }
    table::lay(&rows, room(width), theme)
}

/// Whether some options keep a promise and others can't.
fn depends_on_the_option(verdict: &Verdict) -> bool {
    let refuted = |one: &WayOutcome| one.outcome == Outcome::Contradicted;
    let of_options = verdict.ways.iter().any(|one| one.supplied.is_some());
    of_options && verdict.ways.iter().any(refuted) && !verdict.ways.iter().all(refuted)
}

/// What holds, by name, each once.
fn holds(holding: &[&Verdict], theme: &Theme) -> Option<Cell> {
    let mut names: Vec<String> = Vec::new();
    for verdict in holding {
        let name = Promise::of(verdict).claim.replace('-', " ");
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let sign = theme.sign(Grade::Holds);
    let words = format!("  {sign} holds: {}", names.join(", "));
    (!names.is_empty()).then(|| Cell::new(words, Role::Grade(Grade::Holds)))
}

/// The packages of a catalog, in order.
fn packages(catalog: &Audited) -> impl Iterator<Item = &crate::engine::Named> {
    let packages = catalog.entries.iter();
    packages.filter(|entry| entry.on.starts_with("package."))
}

fn cells(verdict: &Verdict, all: bool, theme: &Theme) -> Vec<Cell> {
    let mut promise = Promise::of(verdict);
    if all {
        promise = promise.in_full(verdict);
    }
    let grade = promise.grade;
    vec![
        Cell::new(
            format!("  {}", promise.claim.replace('-', " ")),
            Role::Plain,
        ),
        Cell::new(theme.text(&promise.stated), Role::Plain),
        Cell::new(format!("{} {grade}", theme.sign(grade)), Role::Grade(grade)),
        Cell::new(promise.rated.unwrap_or_default(), Role::Plain),
        Cell::new(promise.range, Role::Plain),
        Cell::new(theme.text(&promise.why), Role::Plain),
    ]
}

/// What is left of a depth after a season, below it.
fn in_service(verdict: &Verdict, theme: &Theme) -> Option<Row> {
    let (depth, flow) = promise::in_service(verdict)?;
    let flow = match flow.as_str() {
        "" => String::new(),
        flow => format!("; {flow}"),
    };
    let words = format!("    after a season of wear: {depth}{flow}");
    Some(Row::Across(vec![Cell::new(
        theme.text(&words),
        Role::Quiet,
    )]))
}

/// Every way to buy the package and its own verdict.
fn ways(verdict: &Verdict, theme: &Theme) -> Vec<Row> {
    let line = |one: &WayOutcome| {
        let grade = Grade::of(one.outcome, None);
        let sign = theme.sign_of(one.outcome);
        Row::Cells(vec![
            Cell::new("", Role::Plain),
            Cell::new(theme.text(&one.way), Role::Quiet),
            Cell::new(
                format!("{sign} {}", promise::word(one.outcome)),
                Role::Grade(grade),
            ),
        ])
    };
    verdict.ways.iter().map(line).collect()
}
