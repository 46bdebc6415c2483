//! The equations behind an answer, with the figures they were used with.

use serde::Serialize;

use crate::answers::explain::{Number, Step};
use crate::physics::{Breach, Range};
use crate::report::terminal::table::{Cell, Row};
use crate::report::terminal::theme::Role;
use crate::units::show::significant;

use super::page::Page;

#[derive(Serialize)]
pub(super) struct StepRow<'a> {
    equation: &'static str,
    of: &'a str,
    formula: &'static str,
    source: &'static str,
    mark: String,
    ranges: Vec<RangeRow>,
    with: Vec<NumberRow>,
    gives: NumberRow,
}

#[derive(Serialize)]
struct RangeRow {
    quantity: &'static str,
    low: f64,
    high: f64,
    unit: &'static str,
}

#[derive(Serialize)]
struct NumberRow {
    symbol: &'static str,
    value: f64,
    unit: &'static str,
}

impl NumberRow {
    fn of(number: &Number) -> NumberRow {
        NumberRow {
            symbol: number.symbol,
            value: number.value,
            unit: number.unit,
        }
    }
}

/// The steps as rows of JSON, where they are asked for.
pub(super) fn rows(steps: &[Step], wanted: bool) -> Option<Vec<StepRow<'_>>> {
    let row = |step| -> StepRow<'_> {
        let step: &Step = step;
        StepRow {
            equation: step.equation.name,
            of: &step.of,
            formula: step.equation.formula,
            source: step.equation.source,
            mark: step.equation.mark.to_string(),
            ranges: step.equation.ranges.iter().map(range).collect(),
            with: step.with.iter().map(NumberRow::of).collect(),
            gives: NumberRow::of(&step.gives),
        }
    };
    wanted.then(|| steps.iter().map(row).collect())
}

fn range(range: &Range) -> RangeRow {
    RangeRow {
        quantity: range.quantity,
        low: range.low,
        high: range.high,
        unit: range.unit,
    }
}

fn shown(number: &Number) -> String {
    let value = if number.value != 0.0 && number.value.abs() < 1e-3 {
        format!("{:.4e}", number.value)
    } else {
        significant(number.value, 6)
    };
    let space = if number.unit.is_empty() { "" } else { " " };
    format!("{} {value}{space}{}", number.symbol, number.unit)
}

/// The steps on a page: each equation once, with every use of it.
pub(super) fn show(page: &mut Page, steps: &[Step]) {
    page.heading("Equations, with their figures in SI");
    let mut met: Vec<&str> = Vec::new();
    for step in steps {
        if met.contains(&step.equation.name) {
            continue;
        }
        met.push(step.equation.name);
        page.gap();
        let equation = step.equation;
        page.across(vec![Cell::new(equation.name, Role::Strong)], 2);
        let mut rows = vec![
            cells("formula", equation.formula),
            cells(
                "source",
                &format!("{} ({})", equation.source, equation.mark),
            ),
        ];
        let holds: Vec<String> = equation.ranges.iter().map(holds).collect();
        if !holds.is_empty() {
            rows.push(cells("holds for", &holds.join("; ")));
        }
        let uses = steps
            .iter()
            .filter(|other| other.equation.name == equation.name);
        for step in uses {
            let with: Vec<String> = step.with.iter().map(shown).collect();
            let of = if step.of.is_empty() {
                String::new()
            } else {
                format!("{}: ", step.of)
            };
            let used = format!("{of}{} gives {}", with.join(", "), shown(&step.gives));
            rows.push(cells("here", &page.theme.text(&used)));
        }
        page.table(&rows);
    }
}

fn holds(range: &Range) -> String {
    let space = if range.unit.is_empty() { "" } else { " " };
    let end = |value: f64| significant(value, 3);
    let upper = if range.high >= 1e9 {
        format!("{} from {}", range.quantity, end(range.low))
    } else {
        format!(
            "{} {} to {}",
            range.quantity,
            end(range.low),
            end(range.high)
        )
    };
    format!("{upper}{space}{}", range.unit)
}

fn cells(label: &str, text: &str) -> Row {
    Row::Cells(vec![
        Cell::new(label, Role::Label),
        Cell::new(text, Role::Plain),
    ])
}

/// Equations used outside their range, on a page.
pub(super) fn breaches(page: &mut Page, breaches: &[Breach]) {
    if breaches.is_empty() {
        return;
    }
    page.heading("Outside the range of an equation");
    for breach in breaches {
        page.says(&breach.to_string());
    }
}
