//! What things are called: IDs made from titles, and things found again by number or name.

use std::collections::{HashMap, HashSet};

use crate::catalog::{Catalog, Kind, id_of, is_id, mapping, nearest};

/// The names of the things in the tables and the catalog, with what they name. They are compared as IDs, without what
/// people write differently: case, accents, blanks and hyphens.
#[derive(Debug, Default)]
pub struct Names {
    all: HashMap<String, Vec<(Kind, String)>>,
}

/// What a name names.
#[derive(Debug, PartialEq, Eq)]
pub enum Found {
    /// One thing: its kind and ID.
    One(Kind, String),
    /// Several.
    Several,
    /// Nothing.
    None,
}

impl Names {
    /// The names of everything in a catalog.
    pub fn of(catalog: &Catalog) -> Names {
        let mut names = Names::default();
        let kinds = Kind::PARTS.iter().copied().chain([Kind::Package]);
        for kind in kinds {
            for entry in catalog.entries(kind) {
                let identity = &entry.identity;
                names.add(kind, &entry.id, &entry.id);
                let stated = [&identity.sku, &identity.model, &identity.gtin];
                for text in stated.into_iter().filter_map(|given| given.known()) {
                    names.add(kind, &entry.id, &text.text);
                }
                if let Some(title) = &entry.title {
                    names.add(kind, &entry.id, title);
                }
            }
        }
        names
    }

    /// Adds a name of something.
    pub fn add(&mut self, kind: Kind, id: &str, name: &str) {
        let folded = id_of(name);
        if folded.is_empty() {
            return;
        }
        let named = self.all.entry(folded).or_default();
        if !named.iter().any(|(own, known)| *own == kind && known == id) {
            named.push((kind, id.to_string()));
        }
    }

    /// What `name` names among things of those kinds.
    pub fn find(&self, kinds: &[Kind], name: &str) -> Found {
        let named = self.all.get(&id_of(name)).into_iter().flatten();
        let mut named = named.filter(|(kind, _)| kinds.contains(kind));
        match (named.next(), named.next()) {
            (Some((kind, id)), None) => Found::One(*kind, id.clone()),
            (Some(_), Some(_)) => Found::Several,
            (None, _) => Found::None,
        }
    }

    /// The ID of the thing whose name is nearest, if one is near.
    pub fn nearest(&self, kinds: &[Kind], name: &str) -> Option<String> {
        const MOST: usize = 5000;
        if self.all.len() > MOST {
            return None;
        }
        let of_kind = |(name, named): (&'_ String, &Vec<(Kind, String)>)| {
            let is_one = named.iter().any(|(kind, _)| kinds.contains(kind));
            is_one.then(|| name.clone())
        };
        let mut known: Vec<String> = self.all.iter().filter_map(of_kind).collect();
        known.sort();
        let near = nearest(&id_of(name), known.iter().map(String::as_str))?.to_string();
        match self.find(kinds, &near) {
            Found::One(_, id) => Some(id),
            _ => None,
        }
    }
}

/// Things by what is known of their names under each key.
#[derive(Debug, Default)]
pub struct Known {
    ids: HashMap<(Kind, String, String), Option<String>>,
    skus: HashMap<(Kind, String), String>,
    all: HashSet<(Kind, String)>,
}

impl Known {
    /// What a catalog's things are called.
    pub fn of(catalog: &Catalog) -> Known {
        let mut known = Known::default();
        let kinds = Kind::PARTS.iter().copied().chain([Kind::Package]);
        for kind in kinds {
            for entry in catalog.entries(kind) {
                let identity = &entry.identity;
                known.all.insert((kind, entry.id.clone()));
                let stated = [
                    ("sku", &identity.sku),
                    ("gtin", &identity.gtin),
                    ("model", &identity.model),
                ];
                for (key, given) in stated {
                    if let Some(text) = given.known() {
                        known.add(kind, &entry.id, key, &text.text);
                    }
                }
                if let Some(title) = &entry.title {
                    known.add(kind, &entry.id, "title", title);
                }
            }
        }
        known
    }

    /// Adds what something is called under a key. What two things are called names none of them.
    pub fn add(&mut self, kind: Kind, id: &str, key: &str, name: &str) {
        if key == "sku" {
            self.skus.insert((kind, id.to_string()), id_of(name));
        }
        let named = self.ids.entry((kind, key.to_string(), id_of(name)));
        named
            .and_modify(|own| {
                if own.as_deref() != Some(id) {
                    *own = None;
                }
            })
            .or_insert_with(|| Some(id.to_string()));
    }

    /// The one thing that is called so under that key.
    pub fn id_of(&self, kind: Kind, key: &str, name: &str) -> Option<String> {
        let folded = id_of(name);
        // What has neither letters nor digits names nothing.
        if folded.is_empty() {
            return None;
        }
        let found = self.ids.get(&(kind, key.to_string(), folded));
        found.cloned().flatten()
    }

    /// The stock number of a thing, folded.
    pub fn sku_of(&self, kind: Kind, id: &str) -> Option<String> {
        self.skus.get(&(kind, id.to_string())).cloned()
    }

    /// Whether the catalog has it.
    pub fn has(&self, kind: Kind, id: &str) -> bool {
        self.all.contains(&(kind, id.to_string()))
    }
}

/// What a row says of the name of its thing, by key.
#[derive(Debug, Clone, Default)]
pub struct Called {
    /// Key and name, in the order of [`mapping::NAMES`].
    pub by: Vec<(&'static str, String)>,
}

impl Called {
    /// The name under a key.
    pub fn get(&self, key: &str) -> Option<&str> {
        let found = self.by.iter().find(|(own, _)| *own == key);
        found.map(|(_, name)| name.as_str())
    }

    /// The ID that is made from it: the stated one, else of the title, model or number.
    pub fn id(&self) -> Option<String> {
        if let Some(id) = self.get("id") {
            return Some(if is_id(id) { id.to_string() } else { id_of(id) }).filter(|id| is_id(id));
        }
        let ways = ["title", "model", "sku", "gtin"];
        let named = ways.iter().filter_map(|key| self.get(key)).map(id_of);
        named.into_iter().find(|id| is_id(id))
    }

    /// The keys that name a thing.
    pub fn keys() -> &'static [&'static str] {
        mapping::NAMES
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ids_are_made_of_titles() {
        assert_eq!(id_of("Tube 300, 1/2 in"), "tube-300-1-2-in");
        assert_eq!(id_of("M\u{fc}hlenteich \u{2013} Paar"), "muhlenteich-paar");
        assert_eq!(id_of("  "), "");
    }

    #[test]
    fn a_name_names_one_thing_or_is_told() {
        let mut names = Names::default();
        names.add(Kind::Airline, "half", "1/2 in");
        names.add(Kind::Fitting, "half-barb", "1/2 in");
        names.add(Kind::Airline, "half-weighted", "half weighted");
        assert_eq!(
            names.find(&[Kind::Airline], "1/2 IN"),
            Found::One(Kind::Airline, "half".into())
        );
        assert_eq!(
            names.find(&[Kind::Airline, Kind::Fitting], "1/2 in"),
            Found::Several
        );
        assert_eq!(names.find(&[Kind::Cabinet], "1/2 in"), Found::None);
        assert_eq!(
            names.nearest(&[Kind::Airline], "half-wieghted").as_deref(),
            Some("half-weighted")
        );
    }
}
