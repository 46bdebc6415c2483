//! What a catalog states, as a tree that can be compared, changed in one place and written again.
//!
//! Remarks, which judge nothing and are judged by nothing, are left out.

use std::fmt::Write;

use crate::document::{Item, Kind};
use crate::text::Span;
use crate::units::{self, Dimension, Quantity};

/// Keys that judge nothing and are judged by nothing.
const REMARKS: [&str; 2] = ["notes", "own"];
/// Characters of a table or list that are shown.
const SHOWN: usize = 72;

/// What stands at a key.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Value {
    /// A string, number, date or word.
    Leaf(Leaf),
    /// A list.
    List(Vec<Value>, Span),
    /// A table, its keys in the order of the text.
    Table(Vec<(String, Value)>, Span),
}

/// A value that holds no others.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Leaf {
    pub what: What,
    /// As a person reads it: a string without its quotes.
    pub text: String,
    pub at: Span,
}

/// What a leaf is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum What {
    /// A string.
    Text,
    /// A number.
    Number(f64),
    /// A date, or true or false.
    Word,
    /// Something that couldn't be read.
    Unread,
}

impl Value {
    /// What an item states.
    pub fn of(item: Item) -> Value {
        let leaf = |what, text: &str| {
            Value::Leaf(Leaf {
                what,
                text: text.to_string(),
                at: item.span(),
            })
        };
        match item.kind() {
            Kind::Table => {
                let entries = item.entries().filter_map(|entry| {
                    let (key, _) = entry.key()?;
                    (!REMARKS.contains(&key)).then(|| (key.to_string(), Value::of(entry)))
                });
                Value::Table(entries.collect(), item.name_span())
            }
            Kind::Array => Value::List(item.items().map(Value::of).collect(), item.name_span()),
            Kind::String => leaf(What::Text, item.as_str().unwrap_or_default()),
            Kind::Integer | Kind::Float => leaf(
                What::Number(item.as_f64().unwrap_or_default()),
                item.written(),
            ),
            Kind::Boolean | Kind::Date => leaf(What::Word, item.written()),
            Kind::Bad => leaf(What::Unread, item.written()),
        }
    }

    /// Where it stands.
    pub fn at(&self) -> Span {
        match self {
            Value::Leaf(leaf) => leaf.at,
            Value::List(_, at) | Value::Table(_, at) => *at,
        }
    }

    /// The entry of a table.
    pub fn get(&self, key: &str) -> Option<&Value> {
        match self {
            Value::Table(entries, _) => entries.iter().find(|(one, _)| one == key).map(|(_, v)| v),
            _ => None,
        }
    }

    /// The words of a string.
    pub fn text(&self) -> Option<&str> {
        match self {
            Value::Leaf(leaf) if leaf.what == What::Text => Some(&leaf.text),
            _ => None,
        }
    }

    /// A table's ID, by which it is known in a list.
    pub fn id(&self) -> Option<&str> {
        self.get("id")
            .and_then(Value::text)
            .filter(|id| !id.is_empty())
    }

    /// Calls `f` with every leaf.
    pub fn leaves_mut(&mut self, f: &mut dyn FnMut(&str, &mut Leaf)) {
        self.walk("", f);
    }

    fn walk(&mut self, key: &str, f: &mut dyn FnMut(&str, &mut Leaf)) {
        match self {
            Value::Leaf(leaf) => f(key, leaf),
            Value::List(rows, _) => rows.iter_mut().for_each(|row| row.walk(key, f)),
            Value::Table(entries, _) => {
                for (key, value) in entries {
                    value.walk(key, f);
                }
            }
        }
    }

    /// How many leaves it has.
    pub fn leaves(&self) -> usize {
        match self {
            Value::Leaf(_) => 1,
            Value::List(rows, _) => rows.iter().map(Value::leaves).sum(),
            Value::Table(entries, _) => entries.iter().map(|(_, one)| one.leaves()).sum(),
        }
    }

    /// Whether both say the same in the same writing.
    pub fn says_the_same(&self, other: &Value) -> bool {
        match (self, other) {
            (Value::Leaf(a), Value::Leaf(b)) => a.says_the_same(b),
            (Value::List(a, _), Value::List(b, _)) => {
                a.len() == b.len() && a.iter().zip(b).all(|(a, b)| a.says_the_same(b))
            }
            (Value::Table(a, _), Value::Table(_, _)) => {
                let size = |value: &Value| match value {
                    Value::Table(entries, _) => entries.len(),
                    _ => 0,
                };
                a.len() == size(other)
                    && a.iter()
                        .all(|(key, a)| other.get(key).is_some_and(|b| a.says_the_same(b)))
            }
            _ => false,
        }
    }

    /// The quantity that stands there, if one does.
    pub fn quantity(&self) -> Option<Quantity> {
        let text = match self {
            Value::Leaf(leaf) if leaf.what == What::Text => &leaf.text,
            _ => return None,
        };
        let reading = units::read(text, &[]);
        reading.quantity.filter(|_| reading.faults.is_empty())
    }

    /// As a person reads it, long ones in part.
    pub fn shown(&self) -> String {
        let mut text = String::new();
        self.show(&mut text);
        match text.char_indices().nth(SHOWN) {
            Some((end, _)) if !matches!(self, Value::Leaf(_)) => format!("{}…", &text[..end]),
            _ => text,
        }
    }

    fn show(&self, text: &mut String) {
        // What is beyond what is shown needn't be put together.
        if text.len() > 8 * SHOWN {
            return;
        }
        match self {
            Value::Leaf(leaf) => text.push_str(&leaf.text),
            Value::List(rows, _) => {
                text.push('[');
                for (place, row) in rows.iter().enumerate() {
                    text.push_str(if place > 0 { ", " } else { "" });
                    row.show(text);
                }
                text.push(']');
            }
            Value::Table(entries, _) => {
                text.push('{');
                for (place, (key, value)) in entries.iter().enumerate() {
                    text.push_str(if place > 0 { ", " } else { "" });
                    // Writing to a string can't fail.
                    let _ = write!(text, "{key} ");
                    value.show(text);
                }
                text.push('}');
            }
        }
    }

    /// Writes it as TOML on one line.
    pub fn write(&self, out: &mut String) {
        match self {
            Value::Leaf(leaf) => match leaf.what {
                What::Text => string(&leaf.text, out),
                What::Number(_) | What::Word => out.push_str(&leaf.text),
                // A date where none belongs can't be read either, and breaks nothing around it.
                What::Unread => out.push_str("1970-01-01"),
            },
            Value::List(rows, _) => {
                out.push('[');
                for row in rows {
                    row.write(out);
                    out.push(',');
                }
                out.push(']');
            }
            Value::Table(entries, _) => {
                out.push('{');
                for (place, (key, value)) in entries.iter().enumerate() {
                    out.push_str(if place > 0 { "," } else { "" });
                    string(key, out);
                    out.push('=');
                    value.write(out);
                }
                out.push('}');
            }
        }
    }
}

impl Leaf {
    fn says_the_same(&self, other: &Leaf) -> bool {
        let kind = |leaf: &Leaf| std::mem::discriminant(&leaf.what);
        kind(self) == kind(other) && self.text == other.text
    }
}

/// Whether two values are the same however they are written: `6 ft` and `72 in`, `0x10` and `16`.
pub(super) fn equal(a: &Value, b: &Value) -> bool {
    if a.says_the_same(b) {
        return true;
    }
    if let (Value::Leaf(a), Value::Leaf(b)) = (a, b)
        && let (What::Number(a), What::Number(b)) = (a.what, b.what)
    {
        return a == b;
    }
    let (Some(a), Some(b)) = (a.quantity(), b.quantity()) else {
        return false;
    };
    if let Some(order) = a.compare_exact(&b) {
        return order.is_eq();
    }
    let near = |a: f64, b: f64| (a - b).abs() <= 1e-12 * a.abs().max(b.abs());
    a.unit().is_comparable(b.unit())
        && near(a.si_low(), b.si_low())
        && near(a.si_high(), b.si_high())
        && a.is_range() == b.is_range()
}

/// By how much a number grew, as a share of what it was; nothing where a share says nothing, as of a
/// temperature or a sound level.
pub(super) fn growth(was: &Value, is: &Value) -> Option<f64> {
    let (was, is) = match (was, is) {
        (Value::Leaf(a), Value::Leaf(b)) => match (a.what, b.what) {
            (What::Number(a), What::Number(b)) => (a, b),
            _ => {
                let (a, b) = (was.quantity()?, is.quantity()?);
                let has_no_nought = matches!(
                    a.dimension(),
                    Dimension::Temperature | Dimension::SoundLevel | Dimension::WeightedSoundLevel
                );
                if has_no_nought || a.is_range() || b.is_range() {
                    return None;
                }
                if !a.unit().is_comparable(b.unit()) {
                    return None;
                }
                (a.si_central(), b.si_central())
            }
        },
        _ => return None,
    };
    let growth = is / was - 1.0;
    growth.is_finite().then_some(growth)
}

/// A basic string of TOML 1.0: quotation mark, backslash and control characters are escaped.
pub(super) fn string(text: &str, out: &mut String) {
    out.push('"');
    for character in text.chars() {
        match character {
            '"' | '\\' => {
                out.push('\\');
                out.push(character);
            }
            control if control.is_control() => {
                // Writing to a string can't fail.
                let _ = write!(out, "\\u{:04X}", u32::from(control));
            }
            other => out.push(other),
        }
    }
    out.push('"');
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "a test that panics has failed")]
mod tests {
    use super::*;
    use crate::document;
    use crate::text::{FileId, Source};

    fn value(text: &str) -> Value {
        let source = Source::new("a.toml", text.into());
        Value::of(document::read(FileId(0), &source).root())
    }

    #[test]
    fn what_is_written_again_says_the_same() {
        let text = "[a.\"b \\\" c\"]\nx = \"1 \\u0007 \\\\ é\"\ny = [1, 2.50, 0x10]\nz = { on = true, at = 2026-01-02 }\n[[r]]\nid = \"one\"\nnotes = \"gone\"\n";
        let once = value(text);
        let Value::Table(entries, _) = &once else {
            unreachable!()
        };
        let mut again = String::new();
        for (key, value) in entries {
            string(key, &mut again);
            again.push('=');
            value.write(&mut again);
            again.push('\n');
        }
        assert!(once.says_the_same(&value(&again)), "{again}");
        assert!(!again.contains("gone"));
    }

    #[test]
    fn values_are_equal_however_they_are_written() {
        let of = |text: &str| value(&format!("x = {text}")).get("x").unwrap().clone();
        for (a, b) in [
            ("\"6 ft\"", "\"72 in\""),
            ("\"2.5 m\"", "\"2.50 m\""),
            ("0x10", "16"),
            ("\"10 to 20 kPa\"", "\"10000 to 20000 Pa\""),
        ] {
            assert!(equal(&of(a), &of(b)), "{a} {b}");
        }
        for (a, b) in [
            ("\"6 ft\"", "\"6 in\""),
            ("\"6 kPa\"", "\"6 kPa(abs)\""),
            ("\"10 to 20 kPa\"", "\"15 kPa\""),
            ("16", "\"16\""),
        ] {
            assert!(!equal(&of(a), &of(b)), "{a} {b}");
        }
        let grew = |a: &str, b: &str| growth(&of(a), &of(b));
        assert_eq!(
            grew("\"10 mm\"", "\"7 mm\"").map(|x| (x * 1e9).round()),
            Some(-3e8)
        );
        assert_eq!(grew("\"10 degC\"", "\"20 degC\""), None);
        assert_eq!(grew("0", "1"), None);
    }
}
