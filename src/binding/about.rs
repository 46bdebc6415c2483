//! Several things on one page are told apart: by the head of a column or row, by heading, by a name in the text.

use std::collections::{BTreeMap, BTreeSet};

use crate::catalog::{Catalog, Kind};
use crate::spec_sheet::{Attribute, Claim, Passage, Role, Sheet, heads_names, names_no_thing};

/// The claims of a sheet that are made of one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct About {
    /// The catalog's package, where it is one.
    pub package: Option<String>,
    /// What the sheet calls it, where the sheet tells several things apart.
    pub called: Option<String>,
    /// Numbers of its claims, in the sheet's order.
    pub claims: Vec<usize>,
}

/// A package and the ways in which a text may call it.
#[derive(Debug, Clone)]
pub struct Name {
    /// Its ID.
    pub id: String,
    words: Vec<String>,
}

/// The names of a catalog's packages: ID, title, model and number.
pub fn names(catalog: &Catalog) -> Vec<Name> {
    let packages = catalog.entries(Kind::Package).into_iter();
    packages
        .map(|entry| {
            let identity = &entry.identity;
            let numbers = [&identity.sku, &identity.model].into_iter();
            let numbers = numbers.filter_map(|text| text.known().map(|text| text.text.as_str()));
            let all = std::iter::once(entry.id.as_str())
                .chain(entry.title.as_deref())
                .chain(numbers);
            let mut words: Vec<String> = all
                .map(plain)
                .filter(|name| name.trim().len() > 2)
                .collect();
            words.dedup();
            Name {
                id: entry.id.clone(),
                words,
            }
        })
        .collect()
}

/// A text as words between single blanks, in small letters, with a blank at both ends.
fn plain(text: &str) -> String {
    let mut plain = String::with_capacity(text.len() + 2);
    plain.push(' ');
    for c in text.chars() {
        if c.is_alphanumeric() {
            plain.extend(c.to_lowercase());
        } else if !plain.ends_with(' ') {
            plain.push(' ');
        }
    }
    if !plain.ends_with(' ') {
        plain.push(' ');
    }
    plain
}

/// The package that a text names last, and with its longest name.
fn named<'n>(text: &str, names: &'n [Name]) -> Option<&'n str> {
    let text = plain(text);
    let mut best: Option<(usize, usize, &str)> = None;
    for name in names {
        for words in &name.words {
            if let Some(at) = text.rfind(words.as_str()) {
                let end = at + words.len();
                if best.is_none_or(|(other, long, _)| (end, words.len()) > (other, long)) {
                    best = Some((end, words.len(), &name.id));
                }
            }
        }
    }
    best.map(|(_, _, id)| id)
}

/// What a claim is made of, while groups are gathered.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Thing {
    /// What the sheet as a whole is about.
    Whole,
    Package(String),
    Called(String),
}

/// Tells apart what a sheet's claims are made of. `names` are the packages it may name, `package` the one it is
/// bound to. Nothing stands in a group without claims; the first is what the sheet as a whole is about, where any
/// claim is.
pub fn tell_apart(sheet: &Sheet, names: &[Name], package: Option<&str>) -> Vec<About> {
    let tables = Tables::of(sheet);
    let sections = if package.is_none() {
        sections(sheet)
    } else {
        BTreeMap::new()
    };
    let mut groups: Vec<(Thing, Vec<usize>)> = Vec::new();
    let mut places: BTreeMap<Thing, usize> = BTreeMap::new();
    for (number, claim) in sheet.claims.iter().enumerate() {
        let thing = tables
            .thing(sheet, claim, names, package.is_some())
            .or_else(|| in_text(sheet, claim, names))
            .or_else(|| by_heading(sheet, claim, names, &sections))
            .unwrap_or(Thing::Whole);
        let thing = match thing {
            Thing::Package(id) if Some(id.as_str()) == package => Thing::Whole,
            other => other,
        };
        match places.get(&thing) {
            Some(&place) => groups[place].1.push(number),
            None => {
                places.insert(thing.clone(), groups.len());
                groups.push((thing, vec![number]));
            }
        }
    }
    groups.sort_by_key(|(thing, _)| *thing != Thing::Whole);
    groups
        .into_iter()
        .map(|(thing, claims)| match thing {
            Thing::Whole => About {
                package: package.map(str::to_string),
                called: None,
                claims,
            },
            Thing::Package(id) => About {
                package: Some(id),
                called: None,
                claims,
            },
            Thing::Called(name) => About {
                package: None,
                called: Some(name),
                claims,
            },
        })
        .collect()
}

/// The package that running text names before the claim.
fn in_text(sheet: &Sheet, claim: &Claim, names: &[Name]) -> Option<Thing> {
    let passage = &sheet.passages[claim.passage()];
    let before = passage.text.get(..claim.place().start)?;
    // What was named many sentences ago isn't what a figure is about; a passage is short.
    let from = before.char_indices().rev().nth(400).map_or(0, |(at, _)| at);
    named(&before[from..], names).map(|id| Thing::Package(id.to_string()))
}

/// The package that a heading above names, or the section of a page that shows several things.
fn by_heading(
    sheet: &Sheet,
    claim: &Claim,
    names: &[Name],
    sections: &BTreeMap<u32, String>,
) -> Option<Thing> {
    let mut above = heading_of(sheet, claim);
    while let Some(number) = above {
        let heading = &sheet.passages[number as usize];
        if let Some(id) = named(&heading.text, names) {
            return Some(Thing::Package(id.to_string()));
        }
        if let Some(called) = sections.get(&number) {
            return Some(Thing::Called(called.clone()));
        }
        above = heading.under;
    }
    None
}

/// The heading that a claim stands in or under.
fn heading_of(sheet: &Sheet, claim: &Claim) -> Option<u32> {
    match sheet.passages[claim.passage()].role {
        Role::Heading(_) => u32::try_from(claim.passage()).ok(),
        _ => sheet.passages[claim.passage()].under,
    }
}

/// What a thing for sale is known by: two sections that each state three of these are about two things.
const TELLING: [Attribute; 7] = [
    Attribute::Area,
    Attribute::Depth,
    Attribute::Flow,
    Attribute::Power,
    Attribute::Price,
    Attribute::DiffuserCount,
    Attribute::Pressure,
];

/// The headings of a page that shows several things, each in a section of its own, with what they call it.
fn sections(sheet: &Sheet) -> BTreeMap<u32, String> {
    let mut told: BTreeMap<u32, BTreeSet<Attribute>> = BTreeMap::new();
    for claim in sheet
        .claims
        .iter()
        .filter(|claim| TELLING.contains(&claim.attribute))
    {
        let mut above = heading_of(sheet, claim);
        while let Some(number) = above {
            told.entry(number).or_default().insert(claim.attribute);
            above = sheet.passages[number as usize].under;
        }
    }
    told.retain(|&number, attributes| {
        attributes.len() >= 3 && !names_no_thing(&sheet.passages[number as usize].text)
    });
    // Sections beside each other have the same heading above and the same level.
    let beside = |number: u32| {
        let passage = &sheet.passages[number as usize];
        let level = match passage.role {
            Role::Heading(level) => level,
            _ => 0,
        };
        (passage.under, level)
    };
    let mut together: BTreeMap<(Option<u32>, u8), usize> = BTreeMap::new();
    for &number in told.keys() {
        *together.entry(beside(number)).or_default() += 1;
    }
    told.keys()
        .filter(|&&one| together.get(&beside(one)).is_some_and(|&all| all > 1))
        .map(|&one| (one, sheet.passages[one as usize].text.to_string()))
        .collect()
}

/// The tables of a sheet whose columns or rows are different things.
struct Tables {
    /// Text of the head of a column, by table and column.
    columns: BTreeMap<(u32, u32), String>,
    /// First cell of a row, by table and row.
    rows: BTreeMap<(u32, u32), String>,
    /// Tables whose columns are different things.
    by_column: BTreeSet<u32>,
    /// Tables whose rows are different things.
    by_row: BTreeSet<u32>,
}

/// Row and column of a passage in a table.
fn cell(passage: &Passage) -> Option<(u32, u32, u32)> {
    match passage.role {
        Role::Cell {
            table, row, column, ..
        } => Some((table, row, column)),
        _ => None,
    }
}

impl Tables {
    fn of(sheet: &Sheet) -> Tables {
        let mut tables = Tables {
            columns: BTreeMap::new(),
            rows: BTreeMap::new(),
            by_column: BTreeSet::new(),
            by_row: BTreeSet::new(),
        };
        for passage in &sheet.passages {
            if let Some((table, row, column)) = cell(passage) {
                if row == 0 {
                    tables
                        .columns
                        .insert((table, column), passage.text.to_string());
                }
                if column == 0 {
                    tables.rows.insert((table, row), passage.text.to_string());
                }
            }
        }
        // How often an attribute stands in several columns of one row, and in several rows of one column.
        let mut across: BTreeMap<(u32, u32, Attribute), BTreeSet<u32>> = BTreeMap::new();
        let mut down: BTreeMap<(u32, u32, Attribute), BTreeSet<u32>> = BTreeMap::new();
        for claim in &sheet.claims {
            if let Some((table, row, column)) = cell(&sheet.passages[claim.passage()])
                && column > 0
            {
                across
                    .entry((table, row, claim.attribute))
                    .or_default()
                    .insert(column);
                down.entry((table, column, claim.attribute))
                    .or_default()
                    .insert(row);
            }
        }
        let repeated = |of: &BTreeMap<(u32, u32, Attribute), BTreeSet<u32>>| {
            let mut count: BTreeMap<u32, BTreeSet<Attribute>> = BTreeMap::new();
            for ((table, _, attribute), places) in of {
                if places.len() >= 2 {
                    count.entry(*table).or_default().insert(*attribute);
                }
            }
            count
        };
        let is_name = |text: Option<&String>| {
            text.is_some_and(|text| {
                (!text.contains(|c: char| c.is_ascii_digit()) || !begins_with_figure(text))
                    && !names_no_thing(text)
            })
        };
        // Under `Model` a bare number is a name too.
        let under_names = |table: u32| {
            let corner = tables.columns.get(&(table, 0));
            corner.is_some_and(|corner| heads_names(corner))
        };
        for (table, attributes) in repeated(&across) {
            let names_all = under_names(table);
            let heads: Vec<&String> = tables
                .columns
                .range((table, 1)..=(table, u32::MAX))
                .map(|(_, text)| text)
                .collect();
            let names = heads
                .iter()
                .filter(|head| names_all || is_name(Some(head)) && !is_custom(head))
                .count();
            if attributes.len() >= 2 && names >= 2 {
                tables.by_column.insert(table);
            }
        }
        for (table, attributes) in repeated(&down) {
            let names_all = under_names(table);
            let firsts: Vec<&String> = tables
                .rows
                .range((table, 1)..=(table, u32::MAX))
                .map(|(_, text)| text)
                .collect();
            let names = firsts
                .iter()
                .filter(|first| names_all || is_name(Some(first)))
                .count();
            if attributes.len() >= 2 && names >= 2 && !tables.by_column.contains(&table) {
                tables.by_row.insert(table);
            }
        }
        tables
    }

    fn thing(&self, sheet: &Sheet, claim: &Claim, names: &[Name], is_bound: bool) -> Option<Thing> {
        let (table, row, column) = cell(&sheet.passages[claim.passage()])?;
        let head = self.columns.get(&(table, column)).filter(|_| row > 0);
        let first = self.rows.get(&(table, row)).filter(|_| column > 0);
        for text in [head, first].into_iter().flatten() {
            if let Some(id) = named(text, names) {
                return Some(Thing::Package(id.to_string()));
            }
        }
        // Where no head of the table is a package's name, what a bound sheet compares are its options.
        let any_named = |heads: &BTreeMap<(u32, u32), String>| {
            let mut own = heads.range((table, 0)..=(table, u32::MAX));
            own.any(|(_, text)| named(text, names).is_some())
        };
        let (by, heads) = if self.by_column.contains(&table) {
            (head, &self.columns)
        } else if self.by_row.contains(&table) {
            (first, &self.rows)
        } else {
            return None;
        };
        if is_bound && !any_named(heads) {
            return Some(Thing::Whole);
        }
        by.map(|text| Thing::Called(text.clone()))
    }
}

/// Whether a head is a condition, such as `6 ft` or `230 V`, and no name.
fn begins_with_figure(text: &str) -> bool {
    let text = text.trim_start_matches(|c: char| !c.is_alphanumeric());
    let first = text.split_whitespace().next().unwrap_or("");
    first.chars().next().is_some_and(|c| c.is_ascii_digit()) || plain(text).starts_with(" at ")
}

/// Whether a head names a custom of units and no thing.
fn is_custom(text: &str) -> bool {
    matches!(
        plain(text).trim(),
        "metric"
            | "imperial"
            | "us"
            | "si"
            | "us units"
            | "si units"
            | "metrisch"
            | "imperial units"
    )
}
