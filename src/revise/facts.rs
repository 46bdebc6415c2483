//! Facts that differ, and a thing with only some of them changed.

use crate::text::Span;

use super::value::{self, Value};

/// One step down into a thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Step {
    /// Into a table.
    Key(String),
    /// To the row with that ID.
    Row(String),
    /// To the row at that place, from 0.
    Nth(usize),
}

/// How a fact differs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FactChange {
    /// It wasn't stated.
    Added,
    /// It is stated no more.
    Removed,
    /// It says something else.
    Changed,
    /// It says the same in another writing: other digits, or another unit.
    Rewritten,
}

impl FactChange {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            FactChange::Added => "added",
            FactChange::Removed => "removed",
            FactChange::Changed => "changed",
            FactChange::Rewritten => "rewritten",
        }
    }
}

/// A fact that differs.
#[derive(Debug, Clone)]
pub struct Fact {
    /// Its keys within the thing: `option with-airline, airline, length` is `option.with-airline.airline.length`.
    pub key: String,
    /// How it differs.
    pub change: FactChange,
    /// As it was written, and where.
    pub was: Option<(String, Span)>,
    /// As it is written now, and where.
    pub is: Option<(String, Span)>,
    /// By how much a number grew, as a share of what it was.
    pub growth: Option<f64>,
    pub(super) path: Vec<Step>,
    pub(super) value: Option<Value>,
}

/// Every fact in which a thing differs, in the order of its keys as they were and then as they are.
pub(super) fn differences(was: &Value, is: &Value) -> Vec<Fact> {
    let mut facts = Vec::new();
    compare(Some(was), Some(is), &mut Vec::new(), &mut facts);
    facts
}

/// `x = 1` is short for `x = { is = 1 }`.
fn unfolded<'v>(value: &'v Value, other: &Value) -> Option<&'v Value> {
    let is_row = matches!(other, Value::Table(..)) && other.get("is").is_some();
    (is_row && !matches!(value, Value::Table(..))).then_some(value)
}

fn compare(was: Option<&Value>, is: Option<&Value>, path: &mut Vec<Step>, facts: &mut Vec<Fact>) {
    match (was, is) {
        (None, None) => {}
        (Some(was), Some(is)) if was.says_the_same(is) => {}
        (Some(was), Some(is)) => {
            if let (Some(short), Value::Table(entries, _)) = (unfolded(was, is), is) {
                for (key, value) in entries {
                    let before = (key == "is").then_some(short);
                    into(Step::Key(key.clone()), before, Some(value), path, facts);
                }
            } else if let (Some(short), Value::Table(entries, _)) = (unfolded(is, was), was) {
                for (key, value) in entries {
                    let now = (key == "is").then_some(short);
                    into(Step::Key(key.clone()), Some(value), now, path, facts);
                }
            } else {
                both(was, is, path, facts);
            }
        }
        // A table by itself is told key by key; a row of a list as a whole.
        (None, Some(Value::Table(entries, _))) if !is_row(path) && !entries.is_empty() => {
            for (key, value) in entries {
                into(Step::Key(key.clone()), None, Some(value), path, facts);
            }
        }
        (Some(Value::Table(entries, _)), None) if !is_row(path) && !entries.is_empty() => {
            for (key, value) in entries {
                into(Step::Key(key.clone()), Some(value), None, path, facts);
            }
        }
        (was, is) => facts.push(fact(path, was, is)),
    }
}

fn is_row(path: &[Step]) -> bool {
    matches!(path.last(), Some(Step::Row(_) | Step::Nth(_)))
}

fn into(
    step: Step,
    was: Option<&Value>,
    is: Option<&Value>,
    path: &mut Vec<Step>,
    facts: &mut Vec<Fact>,
) {
    path.push(step);
    compare(was, is, path, facts);
    path.pop();
}

fn both(was: &Value, is: &Value, path: &mut Vec<Step>, facts: &mut Vec<Fact>) {
    match (was, is) {
        (Value::Table(before, _), Value::Table(now, _)) => {
            for (key, value) in before {
                into(
                    Step::Key(key.clone()),
                    Some(value),
                    is.get(key),
                    path,
                    facts,
                );
            }
            for (key, value) in now.iter().filter(|(key, _)| was.get(key).is_none()) {
                into(Step::Key(key.clone()), None, Some(value), path, facts);
            }
        }
        (Value::List(before, _), Value::List(now, _)) => {
            if let (Some(old), Some(new)) = (ids(before), ids(now)) {
                let mut of = |id: &str| {
                    let find = |ids: &[&str], rows: &'_ [Value]| {
                        let place = ids.iter().position(|one| *one == id)?;
                        rows.get(place).cloned()
                    };
                    let (was, is) = (find(&old, before), find(&new, now));
                    into(Step::Row(id.into()), was.as_ref(), is.as_ref(), path, facts);
                };
                old.iter().for_each(|id| of(id));
                let came = new.iter().filter(|id| !old.contains(id));
                came.for_each(|id| of(id));
            } else if before.len() == now.len() && before.iter().zip(now).all(tables) {
                for (place, (was, is)) in before.iter().zip(now).enumerate() {
                    into(Step::Nth(place), Some(was), Some(is), path, facts);
                }
            } else {
                facts.push(fact(path, Some(was), Some(is)));
            }
        }
        _ => facts.push(fact(path, Some(was), Some(is))),
    }
}

fn tables((a, b): (&Value, &Value)) -> bool {
    matches!((a, b), (Value::Table(..), Value::Table(..)))
}

/// The IDs of a list's rows, if each has one of its own.
fn ids(rows: &[Value]) -> Option<Vec<&str>> {
    let ids: Vec<&str> = rows.iter().map(Value::id).collect::<Option<_>>()?;
    let own: std::collections::HashSet<&str> = ids.iter().copied().collect();
    (own.len() == ids.len()).then_some(ids)
}

fn fact(path: &[Step], was: Option<&Value>, is: Option<&Value>) -> Fact {
    let change = match (was, is) {
        (None, _) => FactChange::Added,
        (_, None) => FactChange::Removed,
        (Some(was), Some(is)) if value::equal(was, is) => FactChange::Rewritten,
        _ => FactChange::Changed,
    };
    let told = |value: Option<&Value>| value.map(|value| (value.shown(), value.at()));
    Fact {
        key: key(path),
        change,
        was: told(was),
        is: told(is),
        growth: was
            .zip(is)
            .filter(|_| change == FactChange::Changed)
            .and_then(|(was, is)| value::growth(was, is)),
        path: path.to_vec(),
        value: is.cloned(),
    }
}

/// A path as a person reads it; rows are counted from 1, and the figure of `{ is, at }` is its key's own.
fn key(path: &[Step]) -> String {
    let mut text = String::new();
    for (place, step) in path.iter().enumerate() {
        let dot = if text.is_empty() { "" } else { "." };
        match step {
            Step::Key(key) if key == "is" && place > 0 => {}
            Step::Key(key) | Step::Row(key) => text.push_str(&format!("{dot}{key}")),
            Step::Nth(place) => text.push_str(&format!("[{}]", place + 1)),
        }
    }
    text
}

/// `was` with only those facts changed.
pub(super) fn with<'f>(was: &Value, facts: impl IntoIterator<Item = &'f Fact>) -> Value {
    let mut value = was.clone();
    for fact in facts {
        put(&mut value, &fact.path, fact.value.as_ref());
    }
    value
}

fn put(value: &mut Value, path: &[Step], new: Option<&Value>) {
    let Some((step, rest)) = path.split_first() else {
        if let Some(new) = new {
            *value = new.clone();
        }
        return;
    };
    let at = value.at();
    match step {
        Step::Key(key) => {
            if !matches!(value, Value::Table(..)) {
                let short = std::mem::replace(value, Value::Table(Vec::new(), at));
                if let Value::Table(entries, _) = value {
                    entries.push(("is".into(), short));
                }
            }
            let Value::Table(entries, _) = value else {
                return;
            };
            let place = entries.iter().position(|(one, _)| one == key);
            if rest.is_empty() && new.is_none() {
                entries.retain(|(one, _)| one != key);
            } else {
                let place = place.unwrap_or_else(|| {
                    entries.push((key.clone(), Value::Table(Vec::new(), at)));
                    entries.len() - 1
                });
                put(&mut entries[place].1, rest, new);
                // A table whose last key is gone is gone too.
                let is_empty =
                    matches!(&entries[place].1, Value::Table(left, _) if left.is_empty());
                if new.is_none() && is_empty {
                    entries.remove(place);
                }
            }
        }
        Step::Row(_) | Step::Nth(_) => {
            let Value::List(rows, _) = value else { return };
            let place = match step {
                Step::Row(id) => rows.iter().position(|row| row.id() == Some(id)),
                Step::Nth(place) => Some(*place).filter(|place| *place < rows.len()),
                Step::Key(_) => None,
            };
            match (place, new) {
                (Some(place), None) if rest.is_empty() => {
                    rows.remove(place);
                }
                (Some(place), new) => put(&mut rows[place], rest, new),
                (None, Some(new)) if rest.is_empty() => rows.push(new.clone()),
                (None, _) => {}
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::document;
    use crate::text::{FileId, Source};

    fn value(text: &str) -> Value {
        let source = Source::new("a.toml", text.into());
        Value::of(document::read(FileId(0), &source).root())
    }

    fn told(was: &str, is: &str) -> Vec<String> {
        let (was, is) = (value(was), value(is));
        let facts = differences(&was, &is);
        // All of them make one of the other.
        let all = with(&was, &facts);
        assert!(differences(&all, &is).is_empty(), "{all:?}");
        facts
            .iter()
            .map(|fact| {
                let text = |one: &Option<(String, Span)>| {
                    one.as_ref().map_or("-".into(), |(text, _)| text.clone())
                };
                let (was, is) = (text(&fact.was), text(&fact.is));
                format!("{} {} {was} > {is}", fact.change.as_str(), fact.key)
            })
            .collect()
    }

    #[test]
    fn facts_differ_by_key_and_row() {
        let none: [&str; 0] = [];
        assert_eq!(
            told("a = 1 # x\nb = 2", "b = 2\na = 1\nnotes = \"n\""),
            none
        );
        assert_eq!(
            told(
                "bore = \"10 mm\"\nroll = \"6 ft\"",
                "bore = \"7 mm\"\nroll = \"72 in\""
            ),
            ["changed bore 10 mm > 7 mm", "rewritten roll 6 ft > 72 in"]
        );
        // A figure with a source is the same figure.
        assert_eq!(
            told(
                "p = \"2 W\"",
                "p = { is = \"2 W\", source = \"evidence.a\" }"
            ),
            ["added p.source - > evidence.a"]
        );
        assert_eq!(
            told("p = { is = \"2 W\", at = \"1 m\" }", "p = \"3 W\""),
            ["changed p 2 W > 3 W", "removed p.at 1 m > -"]
        );
        assert_eq!(
            told("[claim]\ndepth = \"1 m\"", "x = 1"),
            ["removed claim.depth 1 m > -", "added x - > 1"]
        );
        // Rows are known by their IDs, else by their places.
        assert_eq!(
            told(
                "[[option]]\nid = \"a\"\nn = 1\n[[option]]\nid = \"b\"\n",
                "[[option]]\nid = \"c\"\n[[option]]\nid = \"a\"\nn = 2\n"
            ),
            [
                "changed option.a.n 1 > 2",
                "removed option.b {id b} > -",
                "added option.c - > {id c}"
            ]
        );
        assert_eq!(
            told(
                "c = [{ p = 1, f = 2 }, { p = 3, f = 4 }]",
                "c = [{ p = 1, f = 2 }, { p = 3, f = 5 }]"
            ),
            ["changed c[2].f 4 > 5"]
        );
        assert_eq!(
            told("c = [{ p = 1 }]", "c = [{ p = 1 }, { p = 2 }]"),
            ["changed c [{p 1}] > [{p 1}, {p 2}]"]
        );
        assert_eq!(told("a = \"x\"", "a = 1"), ["changed a x > 1"]);
    }
}
