//! What a finding rests on, a line for each quantity.

use crate::finding::{Evidence, Value};
use crate::text::Sources;

use super::figures::{Reader, joined};
use super::told;

/// What a figure's name ends with where it is one of several of one quantity, and which.
const CORNERS: [(&str, Corner); 8] = [
    (", unfavourable", Corner::Range),
    (", central", Corner::Range),
    (", favourable", Corner::Range),
    (" at the least", Corner::Range),
    (" at the most", Corner::Range),
    (", needed at least", Corner::Limit("needed at least")),
    (", allowed at most", Corner::Limit("allowed at most")),
    (", claimed at most", Corner::Limit("claimed at most")),
];

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Corner {
    Range,
    /// What it is held to, in words before the figure.
    Limit(&'static str),
}

/// The figures of one quantity.
struct Line<'e> {
    name: &'e str,
    range: Vec<&'e Evidence>,
    limit: Option<(&'static str, &'e Evidence)>,
}

/// A line of what a finding rests on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Basis {
    /// The quantity.
    pub name: String,
    /// Its figures, the least first.
    pub figures: Vec<String>,
    /// What it is held to, `allowed at most 16`, without a unit that the figures have already.
    pub limit: Option<String>,
    /// Where the figures come from, and how firmly they are known.
    pub ground: String,
}

/// The lines of the evidence; the figures of one quantity over its ranges share a line.
pub fn lines(evidence: &[Evidence], reader: Reader, sources: &Sources) -> Vec<Basis> {
    let mut lines: Vec<Line> = Vec::new();
    for one in evidence {
        let (name, corner) = split(&one.name);
        match (corner, lines.last_mut().filter(|line| line.name == name)) {
            (Some(Corner::Limit(words)), Some(line)) if line.limit.is_none() => {
                line.limit = Some((words, one));
            }
            (Some(Corner::Range), Some(line)) if line.limit.is_none() => line.range.push(one),
            _ => lines.push(Line {
                name: if corner.is_some() { name } else { &one.name },
                range: vec![one],
                limit: None,
            }),
        }
    }
    lines
        .iter()
        .map(|line| line.told(reader, sources))
        .collect()
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

impl Basis {
    /// Its figures on one line, with what it is held to. `dot` stands between the three of a range; of two only the
    /// ends are known.
    pub fn figure(&self, dot: &str) -> String {
        let between = if self.figures.len() == 2 { " to " } else { dot };
        let figures = joined(&self.figures, between);
        match &self.limit {
            Some(limit) => format!("{figures}; {limit}"),
            None => figures,
        }
    }
}

impl Line<'_> {
    fn told(&self, reader: Reader, sources: &Sources) -> Basis {
        let mut values: Vec<&Evidence> = self.range.clone();
        values.sort_by(|a, b| number(&a.value).total_cmp(&number(&b.value)));
        let mut all: Vec<&Value> = values.iter().map(|one| &one.value).collect();
        all.extend(self.limit.map(|(_, limit)| &limit.value));
        let mut figures = reader.values(&all);
        let limit = self.limit.zip(figures.pop_if(|_| self.limit.is_some()));
        let limit = limit.map(|((words, _), limit)| {
            // Its unit stands there already, if it is the same.
            let unit = |figure: &str| figure.split_once(' ').map(|(_, unit)| unit.to_string());
            let last = figures.iter().rev().find_map(|figure| unit(figure));
            match limit.split_once(' ') {
                Some((number, own)) if last.as_deref() == Some(own) => format!("{words} {number}"),
                _ => format!("{words} {limit}"),
            }
        });
        Basis {
            name: self.name.to_string(),
            figures,
            limit,
            ground: self.ground(sources),
        }
    }

    /// Where the figures come from, and how firmly they are known.
    fn ground(&self, sources: &Sources) -> String {
        let Some(weakest) = self.range.iter().max_by_key(|one| one.mark) else {
            return String::new();
        };
        let mut ground = match weakest.place {
            // What stands in the catalog is named by its place.
            Some(place) => {
                let name = sources.get(place.file).name();
                format!("{name}, {}", told::line(sources, place))
            }
            None => weakest.source.to_string(),
        };
        // Some sources say themselves how they are known.
        if !ground.contains(&weakest.mark.to_string()) {
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
