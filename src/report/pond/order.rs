//! What to order: as rows of a table, as separated values, and in words.

use std::borrow::Cow;

use crate::pond::fit;
use crate::pond::offers::Money;
use crate::pond::order::{Absent, Amount, Group, Line, Order};
use crate::units::Dimension;
use crate::units::show::significant;

use super::Shown;
use super::words::{Figures, count, money};

/// Heads of the table.
pub const HEADS: [&str; 7] = ["part", "how many", "what", "number", "price", "sum", "mass"];

/// The groups with their headings, in order.
pub const GROUPS: [(Group, &str); 4] = [
    (Group::Package, "The package"),
    (Group::With, "Comes with it, in its price"),
    (Group::Beside, "To buy beside it"),
    (Group::Spares, "Spares that fall due within a year"),
];

/// The lines of a group as rows.
pub fn rows(says: &Figures, order: &Order, group: Group) -> Vec<[Option<String>; 7]> {
    let lines = order.lines.iter().filter(|line| line.group == group);
    lines.map(|line| row(says, line)).collect()
}

fn row(says: &Figures, line: &Line) -> [Option<String>; 7] {
    let amount = match line.amount {
        Amount::Pieces(count) => count.to_string(),
        Amount::Length(metres) => says.length(metres),
        Amount::Rolls(1, metres) => format!("1 roll of {}", says.length(metres)),
        Amount::Rolls(count, metres) => format!("{count} rolls of {}", says.length(metres)),
    };
    let per = if matches!(line.amount, Amount::Length(_)) {
        " a metre"
    } else {
        ""
    };
    [
        Some(name(line)),
        Some(amount),
        Some(
            line.entry
                .title
                .clone()
                .unwrap_or(line.entry.kind.words().into()),
        ),
        line.sku.map(String::from),
        line.price
            .as_ref()
            .map(|price| format!("{}{per}", money(price))),
        line.sum.as_ref().map(money),
        line.mass.map(|mass| says.figure(mass, Dimension::Mass)),
    ]
}

/// Its ID, with that of the option.
fn name(line: &Line) -> String {
    let id = &line.entry.id;
    line.option
        .map_or(id.clone(), |option| format!("{id}, {option}"))
}

/// What is to be known of the order.
pub fn sentences(says: &Figures, shown: &Shown, order: &Order) -> Vec<String> {
    let mut all = Vec::new();
    if let Some(chosen) = shown.first().filter(|one| !fit::serves(one.offer.grade())) {
        let why = chosen.offer.fit.first_to_fail();
        let why = why.map_or(String::new(), |need| format!(": {}", says.fails(need)));
        all.push(format!(
            "{} doesn't serve this pond{why}.",
            says.offer(chosen.offer)
        ));
    }
    let sums = |sums: &[Money]| sums.iter().map(money).collect::<Vec<_>>().join(" and ");
    if !order.sums.is_empty() {
        all.push(format!("Sum without spares: {}.", sums(&order.sums)));
    }
    if !order.spares.is_empty() {
        all.push(format!("Spares for a year: {}.", sums(&order.spares)));
    }
    if order.sums.len() + order.spares.len() > 0 {
        all.push("Each line is rounded to the smallest coin, then added; taxes and freight aren't in it.".into());
    }
    let is_unpriced = |line: &&Line| line.sum.is_none() && line.group != Group::With;
    let unpriced: Vec<String> = order.lines.iter().filter(is_unpriced).map(name).collect();
    if !unpriced.is_empty() {
        all.push(format!(
            "The catalog has no price for {}; no sum counts {}.",
            unpriced.join(" and for "),
            if unpriced.len() == 1 { "it" } else { "them" }
        ));
    }
    if order.mass > 0.0 {
        let left = match order.unweighed {
            0 => String::new(),
            1 => "; 1 line has none in the catalog".into(),
            lines => format!("; {lines} lines have none in the catalog"),
        };
        all.push(format!(
            "Mass without spares: {}{left}.",
            says.figure(order.mass, Dimension::Mass)
        ));
    }
    let absent: Vec<String> = order.absent.iter().map(|one| absent(says, *one)).collect();
    if !absent.is_empty() {
        all.push(format!(
            "Needed, and not in the catalog: {}.",
            absent.join("; ")
        ));
    }
    let more: Vec<&str> = order
        .more_spares
        .iter()
        .map(|entry| entry.id.as_str())
        .collect();
    if !more.is_empty() {
        all.push(format!(
            "Spares that fit, without an interval: {}.",
            more.join(", ")
        ));
    }
    all.push(
        "Cable, ground-fault device and what the local code asks for aren't part of an order from a catalog: a licensed \
         electrician names them."
            .into(),
    );
    all
}

fn absent(says: &Figures, absent: Absent) -> String {
    match absent {
        Absent::Airline(bore, metres) => {
            format!("{} of airline of {}", says.length(metres), says.bore(bore))
        }
        Absent::Couplers(number, bore) => {
            format!(
                "{} for airline of {}",
                count(number, "coupler", "couplers"),
                says.bore(bore)
            )
        }
        Absent::Clamps(number) => count(number, "clamp for barbed ends", "clamps for barbed ends"),
        Absent::Runs => {
            let own = says.pond.runs.is_empty();
            format!(
                "airline, whose length isn't known{}",
                if own {
                    ": state `run` or `cabinet`"
                } else {
                    ""
                }
            )
        }
    }
}

/// The order as separated values (RFC 4180), SI in the columns that say so.
pub fn csv(shown: &Shown) -> String {
    let mut text = String::from(
        "group,part,option,kind,title,number,count,unit,roll_m,price,sum,currency,mass_kg\r\n",
    );
    let lines = shown.order().into_iter().flat_map(|order| &order.lines);
    for line in lines {
        let (count, unit, roll) = line.amount.counted();
        let number =
            |value: Option<f64>| value.map_or(String::new(), |value| significant(value, 9));
        let coins =
            |value: Option<&Money>| value.map_or(String::new(), |money| significant(money.sum, 12));
        let currency = line
            .price
            .as_ref()
            .map_or("", |price| price.currency.as_str());
        let cells = [
            line.group.as_str().into(),
            cell(&line.entry.id),
            cell(line.option.unwrap_or_default()),
            line.entry.kind.table().into(),
            cell(line.entry.title.as_deref().unwrap_or_default()),
            cell(line.sku.unwrap_or_default()),
            number(Some(count)).into(),
            unit.into(),
            number(roll).into(),
            coins(line.price.as_ref()).into(),
            coins(line.sum.as_ref()).into(),
            currency.into(),
            number(line.mass).into(),
        ];
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

/// A text as a cell: in quotes where it must be, and with an apostrophe before what a spreadsheet would take for a
/// formula.
fn cell(text: &str) -> Cow<'_, str> {
    let is_formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let apostrophe = if is_formula { "'" } else { "" };
    if is_formula || text.contains(['"', ',', '\n', '\r']) {
        Cow::Owned(format!("\"{apostrophe}{}\"", text.replace('"', "\"\"")))
    } else {
        Cow::Borrowed(text)
    }
}
