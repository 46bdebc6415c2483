//! Does each named part exist, once, and is it of the right kind.

use std::collections::{BTreeSet, HashMap, HashSet};

use crate::catalog::{
    FaultKind, Kind, Mention, Package, PackageOption, Text, beside, lies_in, nearest,
};
use crate::finding::{Finding, Level, Rule, capital};

use super::{Context, Family, one, quoted, subject};

static RULES: &[Rule] = &[
    Rule {
        name: "reference.unknown",
        level: Level::Error,
        speaks: "a named part doesn't exist",
    },
    Rule {
        name: "reference.duplicate",
        level: Level::Error,
        speaks: "an ID is defined twice for a kind",
    },
    Rule {
        name: "reference.unused",
        level: Level::Note,
        speaks: "a part that no package uses",
    },
    SHEET_FILE,
];

const SHEET_FILE: Rule = Rule {
    name: "reference.sheet-file",
    level: Level::Error,
    speaks: "a spec sheet that isn't there, or lies outside the catalog",
};

pub const FAMILY: Family = Family {
    name: "reference",
    rules: RULES,
    page: include_str!("reference.md"),
    check,
};

/// For as many unknown parts the nearest is looked for: more of them are another kind of fault than a slip, and each
/// search goes through all IDs.
const MOST_LOOKED_FOR: usize = 50;

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    let mut looked_for = 0;
    for mention in &catalog.mentions {
        let mut kinds = mention.kinds.iter();
        let is_there = kinds
            .any(|&kind| catalog.has(kind, &mention.id) || misspelt(context, kind, &mention.id));
        if !is_there {
            looked_for += 1;
            findings.push(unknown(context, mention, looked_for <= MOST_LOOKED_FOR));
        }
    }
    for fault in &catalog.faults {
        if let FaultKind::Duplicate { kind, id, first } = &fault.kind {
            findings.push(
                Finding::new(
                    &RULES[1],
                    fault.at,
                    format!(
                        "There is already {} `{id}`. The first one counts.",
                        one(kind.words())
                    ),
                )
                .mend("Give one of them another ID, or remove it.")
                .related(*first, "the first one")
                .on(fault.on.clone()),
            );
        }
    }
    for package in catalog.packages.iter() {
        options(package, findings);
    }
    unused(context, findings);
    outside(context, findings);
}

/// Whether a part of that ID stands in a table whose name is a slip of its kind's: it is there once the name is right.
fn misspelt(context: &Context, kind: Kind, id: &str) -> bool {
    let kinds = || {
        Kind::PARTS
            .iter()
            .chain(&[Kind::Package])
            .map(|kind| kind.table())
    };
    let documents = context.catalog.documents.iter();
    let mut tables = documents.flat_map(|&at| context.documents[at].root().entries());
    tables.any(|table| {
        table.key().is_some_and(|(name, _)| {
            !kinds().any(|known| known == name) && nearest(name, kinds()) == Some(kind.table())
        }) && table.get(id).is_some()
    })
}

/// Spec sheets that lie outside the catalog, and don't go with it where it goes.
fn outside(context: &Context, findings: &mut Vec<Finding>) {
    let Some(root) = super::folder(context) else {
        return;
    };
    for (file, path) in sheets(context) {
        if !lies_in(&path, root) {
            findings.push(
                Finding::new(
                    &SHEET_FILE,
                    file.at,
                    format!(
                        "{} lies outside the catalog's folder, so it is lost when the catalog is moved.",
                        file.text
                    ),
                )
                .mend("Put the sheet into the catalog's folder, and write its path as seen from this file.")
                .on("catalog"),
            );
        }
    }
}

/// Spec sheets that aren't among the files that are there. Whether one is there is the disk's business, so the paths
/// of those that are come from outside.
pub fn files(context: &Context, there: &BTreeSet<String>, findings: &mut Vec<Finding>) {
    let told = super::places(&SHEET_FILE, findings);
    for (file, path) in sheets(context) {
        if !told.contains(&file.at) && !there.contains(&path) {
            findings.push(
                Finding::new(
                    &SHEET_FILE,
                    file.at,
                    format!("There is no spec sheet {path}."),
                )
                .mend("Put the sheet there, or write its path as seen from this file.")
                .on("catalog"),
            );
        }
    }
}

/// The files of the catalog's `[[sheet]]` tables, and their paths as the run has them.
fn sheets<'a>(context: &'a Context) -> impl Iterator<Item = (&'a Text, String)> {
    let files = context
        .catalog
        .sheets
        .iter()
        .filter_map(|sheet| sheet.file.known());
    let files = files.filter(|file| !file.text.trim().is_empty());
    files.map(|file| {
        let own = context.sources.get(file.at.file).name();
        (file, beside(own, &file.text))
    })
}

/// The options of one package by the same ID.
fn options(package: &Package, findings: &mut Vec<Finding>) {
    let mut met: HashMap<&str, &PackageOption> = HashMap::new();
    let named = package.options.iter().filter(|one| !one.id.is_empty());
    for option in named {
        let first = *met.entry(&option.id).or_insert(option);
        if !std::ptr::eq(first, option) {
            let id = &option.id;
            findings.push(
                Finding::new(
                    &RULES[1],
                    option.at,
                    format!("{} has two options `{id}`.", capital(&subject(package))),
                )
                .mend("Give one of them another ID: reports and waivers name options by it.")
                .related(first.at, "the first one")
                .on(format!("{}.option.{id}", package.entry.on())),
            );
        }
    }
}

/// That a named part isn't there, with the nearest that is where it `looks_for` one.
fn unknown(context: &Context, mention: &Mention, looks_for: bool) -> Finding {
    let catalog = context.catalog;
    let id = &mention.id;
    let kinds: Vec<&str> = mention.kinds.iter().map(|kind| kind.words()).collect();
    let what = match kinds.as_slice() {
        [one] => (*one).to_string(),
        _ => "part".to_string(),
    };
    let mut finding = Finding::new(&RULES[0], mention.at, format!("There is no {what} `{id}`."))
        .on(mention.on.clone());
    // An ID of another kind is worth more than a similar one of the right kind.
    let other = Kind::PARTS
        .iter()
        .chain(&[Kind::Package])
        .find(|&&kind| catalog.has(kind, id));
    if let Some(other) = other {
        finding.message = format!(
            "`{id}` is {}, but this must be {}.",
            one(other.words()),
            one(&what)
        );
        if let Some(entry) = catalog
            .entries(*other)
            .into_iter()
            .find(|entry| entry.id == *id)
        {
            finding = finding.related(entry.header, format!("the {} of that ID", other.words()));
        }
    }
    let is_there = |part: &str| mention.kinds.iter().any(|&kind| catalog.has(kind, part));
    if let Some((count, part)) = counted(id).filter(|(_, part)| is_there(part)) {
        finding.message = format!(
            "There is no {what} `{id}`. {count} pieces of `{part}` are written as a part with its count."
        );
        let meant = format!("{{ part = {}, count = {count} }}", quoted(part));
        return match mention.is_use {
            true => finding.correct(false, mention.at, meant),
            false => finding.mend(format!(
                "Name `{part}` alone, with count = {count} where a count may stand."
            )),
        };
    }
    if !looks_for {
        return finding;
    }
    let ids: Vec<&str> = mention
        .kinds
        .iter()
        .flat_map(|&kind| catalog.entries(kind))
        .map(|entry| entry.id.as_str())
        .collect();
    match nearest(id, ids.iter().copied()) {
        Some(near) => {
            finding
                .message
                .push_str(&format!(" The nearest ID is `{near}`."));
            finding.correct(false, mention.at, quoted(near))
        }
        None if ids.is_empty() => finding.mend(format!("The catalog has no {what} at all yet.")),
        None if ids.len() <= 8 => finding.mend(format!("The catalog has: {}.", ids.join(", "))),
        None => finding,
    }
}

/// A part with a count before or after it, as order lists have it: `2x tube-300`, `tube-300 × 2`.
fn counted(text: &str) -> Option<(u32, &str)> {
    let joint = |c: char| c.is_whitespace() || matches!(c, 'x' | 'X' | '×' | '*');
    let number = |digits: &str| digits.parse().ok().filter(|count| *count > 0);
    let text = text.trim();
    let digits = text.find(|c: char| !c.is_ascii_digit())?;
    let (count, rest) = text.split_at(digits);
    if let Some(count) = number(count).filter(|_| rest.starts_with(joint)) {
        // An ID may begin with an x of its own.
        let rest = rest.trim_start();
        let rest = rest.strip_prefix(['x', 'X', '×', '*']).unwrap_or(rest);
        return Some((count, rest.trim_start()));
    }
    let rest = text.trim_end_matches(|c: char| c.is_ascii_digit());
    let count = number(&text[rest.len()..])?;
    let part = rest.trim_end().strip_suffix(['x', 'X', '×', '*'])?;
    Some((count, part.trim_end()))
}

/// Parts that nothing names. A catalog without packages is a stock of parts for others.
fn unused(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    if catalog.packages.is_empty() {
        return;
    }
    let named: HashSet<(Kind, &str)> = catalog
        .mentions
        .iter()
        // A spare part's list of what it fits is no use of it.
        .filter(|mention| !mention.on.starts_with("spare."))
        .flat_map(|mention| {
            mention
                .kinds
                .iter()
                .map(|&kind| (kind, mention.id.as_str()))
        })
        .collect();
    for &kind in Kind::PARTS.iter().filter(|kind| **kind != Kind::Spare) {
        for entry in catalog.entries(kind) {
            let borrowed = catalog.documents.binary_search(&entry.document).is_err();
            if !borrowed && !named.contains(&(kind, entry.id.as_str())) {
                findings.push(
                    Finding::new(
                        &RULES[2],
                        context.header(entry),
                        format!("No package uses the {} `{}`.", kind.words(), entry.id),
                    )
                    .on(entry.on()),
                );
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::counted;

    #[test]
    fn a_count_stands_before_or_after_a_part() {
        for text in [
            "2x tube-500",
            "2 x tube-500",
            "2 × tube-500",
            "2 tube-500",
            "tube-500 x 2",
            "tube-500 x2",
        ] {
            assert_eq!(counted(text), Some((2, "tube-500")), "{text}");
        }
        for text in [
            "tube-500",
            "2",
            "",
            "0x tube-500",
            "tube-5002",
            "2-way",
            "99999999999x tube",
        ] {
            assert_eq!(
                counted(text).filter(|(_, part)| !part.is_empty()),
                None,
                "{text}"
            );
        }
    }
}
