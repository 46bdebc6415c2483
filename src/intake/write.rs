//! New entries as text, laid out as a person would.

use crate::catalog::fields::{Field, ROOT, Shape, Table, table_behind};
use crate::catalog::mapping;

use super::shapes::Toml;
use super::take::{Draft, Stated};

/// The ID of the one way to buy that a row tells of without naming it.
const AS_SOLD: &str = "as-sold";

/// What stands at a key of a table being written.
enum Node {
    Leaf(Toml),
    Inner(&'static Field, Tree),
}

/// A table being written: its keys in the order of the list of fields.
struct Tree {
    table: &'static Table,
    keys: Vec<(String, Node)>,
}

impl Tree {
    fn new(table: &'static Table) -> Tree {
        Tree {
            table,
            keys: Vec::new(),
        }
    }

    fn put(&mut self, key: &str, way: &[&'static Field], toml: &Toml) {
        let Some((first, rest)) = key.split_once('.') else {
            self.keys.push((key.to_string(), Node::Leaf(toml.clone())));
            return;
        };
        let (Some(&field), inner) = (way.first(), way.get(1..).unwrap_or(&[])) else {
            return;
        };
        let place = self.keys.iter().position(|(own, _)| own == first);
        let place = place.unwrap_or_else(|| {
            let table = table_behind(field).unwrap_or(&ROOT);
            self.keys
                .push((first.to_string(), Node::Inner(field, Tree::new(table))));
            self.keys.len() - 1
        });
        if let Node::Inner(_, tree) = &mut self.keys[place].1 {
            tree.put(rest, inner, toml);
        }
    }

    /// In the order of the list of fields, and with an ID for the one row of a list whose rows need one.
    fn settle(&mut self) {
        let table = self.table;
        let place = |key: &str| table.fields.iter().position(|field| field.key == key);
        // What people call it stands first.
        self.keys
            .sort_by_key(|(key, _)| (key != "title", place(key).unwrap_or(usize::MAX)));
        for (_, node) in &mut self.keys {
            if let Node::Inner(field, tree) = node {
                let has_id = tree.keys.iter().any(|(key, _)| key == "id");
                if matches!(field.shape, Shape::Many(table) if table.field("id").is_some())
                    && !has_id
                    && tree.several().is_none()
                {
                    tree.keys
                        .push(("id".into(), Node::Leaf(Toml::text(AS_SOLD))));
                }
                tree.settle();
                if let Some(place) = tree.keys.iter().position(|(key, _)| key == "id") {
                    let id = tree.keys.remove(place);
                    tree.keys.insert(0, id);
                }
            }
        }
    }

    /// The rows of a list in which each is named by its ID.
    fn several(&self) -> Option<Vec<&Tree>> {
        let rows = self.keys.iter().map(|(key, node)| match node {
            Node::Inner(_, tree) if self.table.field(key).is_none() => Some(tree),
            _ => None,
        });
        rows.collect::<Option<Vec<&Tree>>>()
            .filter(|rows| !rows.is_empty())
    }

    /// On one line.
    fn inline(&self) -> String {
        let keys = self.keys.iter().map(|(key, node)| match node {
            Node::Leaf(toml) => format!(
                "{key} = {}",
                toml.written().replace("\n  ", " ").replace('\n', "")
            ),
            Node::Inner(field, tree) => format!("{key} = {}", tree.value(field)),
        });
        format!("{{ {} }}", keys.collect::<Vec<_>>().join(", "))
    }

    /// As a value of its field.
    fn value(&self, field: &Field) -> String {
        match field.shape {
            Shape::Many(_) => {
                let rows = self.several().unwrap_or_else(|| vec![self]);
                let rows: Vec<String> = rows.into_iter().map(Tree::inline).collect();
                format!("[{}]", rows.join(", "))
            }
            // An ID stands for itself.
            Shape::Part(_) | Shape::Parts(_) => match self.keys.as_slice() {
                [(key, Node::Leaf(toml))] if key == "part" => toml.written(),
                _ => self.inline(),
            },
            _ => self.inline(),
        }
    }

    /// With headers: its own keys first, then the tables within.
    fn sections(&self, header: &str, out: &mut String) {
        let is_section = |field: &Field| {
            matches!(field.shape, Shape::One(_))
                || matches!(field.shape, Shape::Many(table) if table.field("id").is_some())
        };
        for (key, node) in &self.keys {
            match node {
                Node::Leaf(toml) => out.push_str(&format!("{key} = {}\n", toml.written())),
                Node::Inner(field, tree) if !is_section(field) => {
                    out.push_str(&format!("{key} = {}\n", tree.value(field)));
                }
                Node::Inner(..) => {}
            }
        }
        for (key, node) in &self.keys {
            let Node::Inner(field, tree) = node else {
                continue;
            };
            if is_section(field) {
                let name = format!("{header}.{key}");
                let (head, rows) = match field.shape {
                    Shape::Many(_) => (format!("\n[[{name}]]\n"), tree.several()),
                    _ => (format!("\n[{name}]\n"), None),
                };
                for tree in rows.unwrap_or_else(|| vec![tree]) {
                    out.push_str(&head);
                    tree.sections(&name, out);
                }
            }
        }
    }
}

/// A thing that the catalog hasn't got, as its table.
pub fn entry(draft: &Draft) -> String {
    let header = draft.on();
    let mut tree = Tree::new(mapping::table_of(draft.kind));
    for value in &draft.values {
        tree.put(&value.key, &value.way, &value.toml);
    }
    tree.settle();
    let mut out = format!("[{header}]\n");
    tree.sections(&header, &mut out);
    out
}

/// Values that lie below one key of a table, as what stands at that key: `claim` for `claim.depth` and `claim.area`.
pub fn below(field: &'static Field, values: &[&Stated]) -> String {
    let mut tree = Tree::new(table_behind(field).unwrap_or(&ROOT));
    for value in values {
        if let Some((_, rest)) = value.key.split_once('.') {
            tree.put(rest, value.way.get(1..).unwrap_or(&[]), &value.toml);
        }
    }
    let mut outer = Tree {
        table: tree.table,
        keys: vec![(field.key.to_string(), Node::Inner(field, tree))],
    };
    outer.settle();
    match &outer.keys[0].1 {
        Node::Inner(field, tree) => tree.value(field),
        Node::Leaf(toml) => toml.written(),
    }
}
