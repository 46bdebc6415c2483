//! What a finding rests on, a line for each quantity.

use crate::finding::{Evidence, Value};
use crate::text::Sources;

use super::figures::{Reader, joined};
use super::table::{Cell, Row};
use super::theme::{Role, Theme};

/// What a figure's name ends with where it is one of several of one quantity, and which.
const CORNERS: [(&str, Corner); 6] = [
    (", unfavourable", Corner::Range),
    (", central", Corner::Range),
    (", favourable", Corner::Range),
    (" at the least", Corner::Range),
    (" at the most", Corner::Range),
    (", needed", Corner::Needed),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Corner {
    Range,
    Needed,
}

/// The figures of one quantity.
struct Line<'e> {
    name: &'e str,
    range: Vec<&'e Evidence>,
    needed: Option<&'e Evidence>,
}

/// A table of the evidence.
///
/// The figures of one quantity over its ranges share a line, the least first; `legend` says so, in a
/// line of its own that is first.
pub fn table(
    evidence: &[Evidence],
    reader: Reader,
    sources: &Sources,
    legend: bool,
    theme: &Theme,
) -> Vec<Row> {
    let mut lines: Vec<Line> = Vec::new();
    for one in evidence {
        let (name, corner) = split(&one.name);
        match (corner, lines.last_mut().filter(|line| line.name == name)) {
            (Some(Corner::Needed), Some(line)) if line.needed.is_none() => line.needed = Some(one),
            (Some(Corner::Range), Some(line)) if line.needed.is_none() => line.range.push(one),
            _ => lines.push(Line {
                name: if corner.is_some() { name } else { &one.name },
                range: vec![one],
                needed: None,
            }),
        }
    }
    let legend = legend.then(|| {
        let words = ["least", "central", "greatest"].join(theme.dot());
        Row::Heads(vec![
            Cell::new("", Role::Quiet),
            Cell::new(words, Role::Quiet),
            Cell::new("", Role::Quiet),
        ])
    });
    let rows = lines.iter().map(|line| line.row(reader, sources, theme));
    legend.into_iter().chain(rows).collect()
}

/// Whether some figures of it are of one quantity, over its ranges.
pub fn has_ranges(evidence: &[Evidence]) -> bool {
    let of_range = |one: &Evidence| {
        let (name, corner) = split(&one.name);
        (corner == Some(Corner::Range)).then(|| name.to_string())
    };
    evidence
        .windows(2)
        .any(|pair| of_range(&pair[0]).is_some_and(|name| of_range(&pair[1]) == Some(name)))
}

/// A figure's name without what says which of several it is.
fn split(name: &str) -> (&str, Option<Corner>) {
    for (ending, corner) in CORNERS {
        if let Some(base) = name.strip_suffix(ending) {
            return (base, Some(corner));
        }
    }
    (name, None)
}

impl Line<'_> {
    fn row(&self, reader: Reader, sources: &Sources, theme: &Theme) -> Row {
        let mut values: Vec<&Evidence> = self.range.clone();
        values.sort_by(|a, b| number(&a.value).total_cmp(&number(&b.value)));
        let figures: Vec<String> = values
            .iter()
            .map(|one| theme.text(&reader.value(&one.value)).into_owned())
            .collect();
        let mut figure = joined(&figures, theme.dot());
        if let Some(needed) = self.needed {
            let needed = theme.text(&reader.value(&needed.value)).into_owned();
            // Its unit stands there already, if it is the same.
            let unit = |figure: &str| figure.rsplit_once(' ').map(|(_, unit)| unit.to_string());
            let needed = match needed.split_once(' ') {
                Some((number, own)) if unit(&figure).as_deref() == Some(own) => number,
                _ => &needed,
            };
            figure.push_str(&format!(", needed {needed}"));
        }
        Row::Cells(vec![
            Cell::new(theme.text(self.name), Role::Plain),
            Cell::new(figure, Role::Strong),
            Cell::new(self.ground(sources, theme), Role::Quiet),
        ])
    }

    /// Where the figures come from, and how firmly they are known.
    fn ground(&self, sources: &Sources, theme: &Theme) -> String {
        let Some(weakest) = self.range.iter().max_by_key(|one| one.mark) else {
            return String::new();
        };
        let mut ground = match weakest.place {
            // What stands in the catalog is named by its place.
            Some(place) => {
                let name = theme.text(sources.get(place.file).name());
                format!("{name}, line {}", sources.position(place).line)
            }
            None => theme.text(&weakest.source).into_owned(),
        };
        // Some sources say themselves how they are known.
        if !ground.ends_with(&format!("({})", weakest.mark)) {
            ground.push_str(&format!(" ({})", weakest.mark));
        }
        ground
    }
}

fn number(value: &Value) -> f64 {
    match value {
        Value::Quantity(number, _) | Value::Number(number, _) => *number,
        Value::Words(_) => 0.0,
    }
}
