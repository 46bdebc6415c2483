//! What a text consists of: symbols, what can be folded, and grades beside promises.

use serde_json::{Value, json};

use crate::catalog::fields::{self, Shape};
use crate::document::{Document, Item};
use crate::report;
use crate::text::Span;

use super::lines::Lines;
use super::{Answer, Asked};

/// The protocol's numbers: a thing with an ID, a table, and a list of tables.
const THING: u8 = 5;
const TABLE: u8 = 3;

pub(super) fn symbols(request: &mut Asked) -> Answer {
    let Some(document) = request.unit.document(request.file) else {
        return Ok(json!([]));
    };
    let lines = request.lines();
    let mut all = Vec::new();
    for table in document.root().entries() {
        let Some((key, _)) = table.key() else {
            continue;
        };
        match fields::ROOT.field(key).map(|field| &field.shape) {
            Some(Shape::ById(kind, _)) => {
                let things = table.entries();
                all.extend(
                    things.filter_map(|item| symbol(&lines, item, Some(kind.words()), THING)),
                );
            }
            _ => all.extend(symbol(&lines, table, None, TABLE)),
        }
    }
    Ok(Value::Array(all))
}

/// A thing or table, with the tables in it.
fn symbol(lines: &Lines, item: Item, says: Option<&str>, kind: u8) -> Option<Value> {
    let (key, at) = item.key()?;
    let whole = item.whole_span();
    let own = whole.start.min(at.start) as usize..whole.end.max(at.end) as usize;
    let title = item.get("title").and_then(Item::as_str);
    let detail: Vec<&str> = says.into_iter().chain(title).collect();
    let inner = item
        .entries()
        .filter(|inner| inner.header_span().is_some() || inner.is_list_of_tables());
    let inner: Vec<Value> = inner
        .filter_map(|inner| symbol(lines, inner, None, TABLE))
        .collect();
    // An empty name isn't allowed.
    let name = if key.is_empty() { "\"\"" } else { key };
    Some(json!({
        "name": name,
        "detail": detail.join(", "),
        "kind": kind,
        "range": lines.range(own),
        "selectionRange": lines.range(at.range()),
        "children": inner,
    }))
}

pub(super) fn folds(request: &mut Asked) -> Answer {
    let Some(document) = request.unit.document(request.file) else {
        return Ok(json!([]));
    };
    let lines = request.lines();
    let mut all = sections(document, &lines);
    several_lines(document.root(), &lines, &mut all);
    all.sort_unstable();
    all.dedup();
    let folds = all
        .iter()
        .map(|(from, to)| json!({ "startLine": from, "endLine": to }));
    Ok(Value::Array(folds.collect()))
}

/// From each header to the last line before the next that holds anything.
fn sections(document: &Document, lines: &Lines) -> Vec<(usize, usize)> {
    let starts: Vec<usize> = document.headers().map(|at| lines.position(at).0).collect();
    let ends = starts.iter().skip(1).copied().chain([lines.count()]);
    let of = starts.iter().zip(ends).map(|(&from, next)| {
        let holds = |line: usize| {
            let text = document.text()[lines.line(line)].trim();
            !text.is_empty() && !text.starts_with('#')
        };
        (
            from,
            (from..next).rev().find(|&line| holds(line)).unwrap_or(from),
        )
    });
    of.filter(|(from, to)| to > from).collect()
}

/// Values of several lines.
fn several_lines(item: Item, lines: &Lines, all: &mut Vec<(usize, usize)>) {
    for inner in item.entries().chain(item.items()) {
        if inner.header_span().is_none() && !inner.is_list_of_tables() {
            let at = inner.span();
            let (from, to) = (
                lines.position(at.start as usize).0,
                lines.position(at.end as usize).0,
            );
            if to > from {
                all.push((from, to));
            }
        }
        several_lines(inner, lines, all);
    }
}

pub(super) fn hints(request: &mut Asked, params: &Value) -> Answer {
    let Some(outcome) = request.unit.outcome() else {
        return Ok(json!([]));
    };
    let lines = request.lines();
    let range = params.get("range").and_then(|range| lines.bytes(range));
    let range = range.ok_or(super::Refusal::Arguments)?;
    let is_shown = |at: Span| {
        at.file == request.file && range.start <= at.end as usize && at.end as usize <= range.end
    };
    let shown = outcome.verdicts.iter().filter(|one| is_shown(one.at));
    let hints = shown.map(|verdict| {
        let end = verdict.at.end as usize;
        json!({
            "position": lines.range(end..end)["start"],
            "label": verdict.grade().as_str(),
            "paddingLeft": true,
            "tooltip": { "kind": "markdown", "value": report::hover::promise(verdict) },
        })
    });
    Ok(Value::Array(hints.collect()))
}
