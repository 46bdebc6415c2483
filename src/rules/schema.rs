//! Are the keys and shapes those of the format.

use crate::catalog::{CatalogFault, FaultKind, RangeEntry, nearest};
use crate::derive::ranges;
use crate::finding::{Edit, Finding, Level, Rule, capital, name_now};
use crate::text::Span;

use super::{Context, Family, one, quoted};

static RULES: &[Rule] = &[
    Rule {
        name: "schema.unknown-key",
        level: Level::Error,
        speaks: "a key or name that the format doesn't have",
    },
    Rule {
        name: "schema.missing-key",
        level: Level::Error,
        speaks: "a required key is absent",
    },
    Rule {
        name: "schema.wrong-type",
        level: Level::Error,
        speaks: "a value of the wrong kind, or a word that isn't one of those allowed",
    },
    Rule {
        name: "schema.format-version",
        level: Level::Error,
        speaks: "a version of the format that this program doesn't read",
    },
    Rule {
        name: "schema.rulebook-version",
        level: Level::Error,
        speaks: "the catalog was checked by another version of the rulebook",
    },
];

pub const FAMILY: Family = Family {
    name: "schema",
    rules: RULES,
    page: include_str!("schema.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    findings.extend(head(context));
    findings.extend(pin(context));
    let faults = &context.catalog.faults;
    let heard = faults
        .iter()
        .filter(|fault| !is_told_by_its_slip(fault, faults));
    findings.extend(heard.filter_map(word));
    for range in &context.catalog.ranges {
        findings.extend(range_name(range));
        findings.extend(range_order(range));
        findings.extend(range_limits(range));
    }
    for setting in &context.catalog.levels {
        findings.extend(level_name(setting));
    }
}

/// Whether a key is missing only because it is misspelt beside: that is one fault, and the slip tells it.
fn is_told_by_its_slip(fault: &CatalogFault, faults: &[CatalogFault]) -> bool {
    let FaultKind::MissingKey { ways, .. } = &fault.kind else {
        return false;
    };
    faults.iter().any(|other| match &other.kind {
        FaultKind::UnknownKey {
            nearest: Some(near),
            ..
        } => other.on == fault.on && ways.iter().any(|way| way == near),
        _ => false,
    })
}

/// A folder's `catalog.toml` has a head, and a file that was named holds something. What is there
/// and couldn't be read has been told.
fn head(context: &Context) -> Option<Finding> {
    let catalog = context.catalog;
    if catalog.header.is_some() {
        return None;
    }
    let documents = catalog.documents.iter().map(|&at| &context.documents[at]);
    let root = documents.into_iter().find(|document| {
        let name = context.sources.get(document.file()).name();
        let is_head = name.rsplit('/').next() == Some("catalog.toml") && name != catalog.name;
        is_head || (name == catalog.name && document.root().is_empty())
    })?;
    root.is_sound().then(|| {
        Finding::new(
            &RULES[1],
            Span::new(root.file(), 0, 0),
            "A catalog begins with the table `[catalog]`, which is missing here.",
        )
        .mend("Write at least [catalog], and format = 1 below it.")
        .on("catalog")
    })
}

/// A catalog that names its rulebook is held to that one.
fn pin(context: &Context) -> Option<Finding> {
    let pin = context.catalog.rulebook.as_ref()?;
    let own = super::RULEBOOK;
    (pin.text.trim() != own).then(|| {
        Finding::new(
            &RULES[4],
            pin.at,
            format!(
                "This catalog was checked with rulebook {}. This program has rulebook {own}, whose ranges, rules and levels may differ.",
                pin.text
            ),
        )
        .mend(format!(
            "Look through the report, with --record where verdicts are kept; then write rulebook = \"{own}\", or audit it with the program that has the rulebook it names."
        ))
        .on("catalog")
    })
}

/// A range in the catalog replaces a built-in one of that name.
fn range_name(range: &RangeEntry) -> Option<Finding> {
    let name = range.name.text.as_str();
    if ranges::is_known(name) {
        return None;
    }
    let at = range.name.at;
    let on = format!("assumption.{name}");
    Some(match nearest(name, ranges::names()) {
        Some(near) => Finding::new(
            &RULES[0],
            at,
            format!("There is no range `{name}` to replace; the nearest name is `{near}`."),
        )
        .correct(false, at, near)
        .on(on),
        None => Finding::new(
            &RULES[0],
            at,
            format!("There is no range `{name}` to replace."),
        )
        .mend(format!(
            "The ranges are: {}.",
            ranges::names().collect::<Vec<_>>().join(", ")
        ))
        .on(on),
    })
}

/// A range begins with its numerically lower end; one that doesn't isn't used.
fn range_order(range: &RangeEntry) -> Option<Finding> {
    let (low, central, high) = (
        range.low.known()?,
        range.central.known()?,
        range.high.known()?,
    );
    let at = if low.value > central.value {
        low.at
    } else if central.value > high.value {
        high.at
    } else {
        return None;
    };
    let name = &range.name.text;
    Some(
        Finding::new(
            &RULES[2],
            at,
            format!(
                "The range `{name}` is out of order: {}, {}, {} must rise. The built-in range is used.",
                low.value, central.value, high.value
            ),
        )
        .mend("Write the lowest number at `low`, the likeliest at `central` and the highest at `high`.")
        .on(format!("assumption.{name}")),
    )
}

/// No measurement leaves certain limits; a range that does isn't used.
fn range_limits(range: &RangeEntry) -> Option<Finding> {
    let name = &range.name.text;
    let ([least, most], unit) = ranges::possible(name)?;
    let (low, high) = (range.low.known()?, range.high.known()?);
    let beyond = match (low.value < least, high.value > most) {
        (true, _) => low,
        (_, true) => high,
        _ => return None,
    };
    let number = |value: f64| format!("{value} {unit}").trim_end().to_string();
    Some(
        Finding::new(
            &RULES[2],
            beyond.at,
            format!(
                "No measurement gives {} for `{name}`: it lies between {} and {}. The built-in range stays.",
                number(beyond.value),
                number(least),
                number(most)
            ),
        )
        .mend("Check the unit and the decimal point, or delete the range.")
        .on(format!("assumption.{name}")),
    )
}

/// A name in `[level]` is that of a rule, of a family, or `RULE.undecided`.
fn level_name(setting: &crate::catalog::LevelSetting) -> Option<Finding> {
    let name = setting.name.text.as_str();
    let undecided = name.strip_suffix(".undecided");
    let bare = name_now(undecided.unwrap_or(name));
    let known =
        super::FAMILIES.iter().any(|family| family.name == bare) || super::rule(bare).is_some();
    if known && undecided.is_some() && super::with_undecided().all(|rule| rule.name != bare) {
        let all: Vec<String> = super::with_undecided()
            .map(|rule| format!("`{}.undecided`", rule.name))
            .collect();
        let finding = Finding::new(
            &RULES[0],
            setting.name.at,
            format!("`{name}` sets no level."),
        );
        let mend = format!("Those that do are {}.", all.join(", "));
        return Some(finding.mend(mend).on("catalog"));
    }
    if known {
        return None;
    }
    let names = super::FAMILIES
        .iter()
        .map(|f| f.name)
        .chain(super::rules().map(|rule| rule.name));
    let near = nearest(bare, names);
    let finding = Finding::new(
        &RULES[0],
        setting.name.at,
        match near {
            Some(near) => {
                format!("There is no rule or family `{name}`; the nearest name is `{near}`.")
            }
            None => format!("There is no rule or family `{name}`."),
        },
    )
    .on("catalog");
    Some(match near {
        Some(near) => {
            let rest = undecided.map_or("", |_| ".undecided");
            finding.correct(false, setting.name.at, quoted(&format!("{near}{rest}")))
        }
        None => finding.mend("`nameplate rulebook` lists all rules."),
    })
}

/// What is wrong with a key or shape, in words; nothing where a unit is at fault.
pub(super) fn word(fault: &CatalogFault) -> Option<Finding> {
    let at = fault.at;
    let finding = match &fault.kind {
        FaultKind::UnknownKey { key, nearest, also, table, known } => {
            let what = describe(table);
            match nearest {
                Some(near) => {
                    let message = format!("`{key}` isn't a key of {what}; the nearest is `{near}`.");
                    let mut finding = Finding::new(&RULES[0], at, message).correct(false, at, *near);
                    if let Some(correction) = &mut finding.correction {
                        let edit = |&at: &Span| Edit { at, with: (*near).to_string() };
                        correction.edits.extend(also.iter().map(edit));
                        correction.edits.sort_by_key(|edit| edit.at);
                    }
                    finding
                }
                None if known.is_empty() => {
                    Finding::new(&RULES[0], at, format!("`{key}` isn't a key of {what}."))
                }
                None => Finding::new(&RULES[0], at, format!("`{key}` isn't a key of {what}.")).mend(format!(
                    "Keys that are allowed here: {}. Keys of your own belong under `own`, which isn't judged.",
                    list(known, 12)
                )),
            }
        }
        FaultKind::WrongId { found, offered } => {
            let message = format!(
                "`{found}` can't be an ID. An ID has lower-case letters and digits, in words joined by hyphens."
            );
            let finding = Finding::new(&RULES[2], at, message);
            match offered {
                Some(id) => finding.correct(false, at, id.clone()),
                None => finding,
            }
        }
        FaultKind::MissingKey { ways, says, example, table } => {
            let what = describe(table);
            match ways.as_slice() {
                [key] if says.is_empty() => {
                    Finding::new(&RULES[1], at, format!("{} needs `{key}`.", capital(&what)))
                }
                [key] => Finding::new(&RULES[1], at, format!("{} needs `{key}`: {says}.", capital(&what)))
                    .mend(format!("For example: {key} = {example}")),
                ways => {
                    let ways: Vec<String> = ways.iter().map(|way| format!("`{}`", way.replace(" and ", "` and `"))).collect();
                    Finding::new(&RULES[1], at, format!("{} needs at least one of {}.", capital(&what), ways.join(", ")))
                }
            }
        }
        FaultKind::WrongShape { expected, found, example, offered } => {
            let finding = Finding::new(&RULES[2], at, format!("This must be {expected}, but it is {found}."));
            match offered {
                Some(offered) => finding.correct(false, at, offered.clone()),
                None if example.is_empty() => finding,
                None => finding.mend(format!("For example: {example}")),
            }
        }
        FaultKind::WrongWord { found, allowed, nearest } => {
            let finding = Finding::new(
                &RULES[2],
                at,
                format!("\"{found}\" isn't one of the words allowed here: {}.", list(allowed, 12)),
            );
            match nearest {
                Some(near) => finding.correct(false, at, quoted(near)),
                None => match begun_with(found, allowed).as_slice() {
                    [] => finding,
                    meant => finding.mend(format!("Write {}, whichever it is.", meant.join(" or "))),
                },
            }
        }
        FaultKind::FormatVersion { found } => Finding::new(
            &RULES[3],
            at,
            format!("This program doesn't read format {found}. It reads format 1, and treated the file as that."),
        )
        .mend("Write format = 1, or use a program that reads the newer format.")
        .correct(false, at, "1"),
        FaultKind::NotHere { table, belongs } => Finding::new(
            &RULES[0],
            at,
            format!("`[{table}]` stands only in the catalog's own file, {belongs}."),
        )
        .mend("Move it there, because it has no effect here."),
        FaultKind::NoUnit { .. }
        | FaultKind::Unit { .. }
        | FaultKind::ListingsDisagree { .. }
        | FaultKind::FalsePrecision { .. }
        | FaultKind::Duplicate { .. } => return None,
    };
    Some(finding.on(fault.on.clone()))
}

/// A table as a sentence has it.
fn describe(table: &str) -> String {
    match table {
        "file" => "a catalog file".into(),
        "pond" => "`[pond]`".into(),
        "quantity" => "a figure".into(),
        "claim" => "a package's claims".into(),
        "conditions" => "a condition".into(),
        "site" | "rating" | "catalog" => format!("`[{table}]`"),
        name if name.ends_with("-use") => format!("a package's {}", name.trim_end_matches("-use")),
        name => one(&name.replace('-', " ")),
    }
}

/// The first `most` words as a list.
fn list(words: &[&str], most: usize) -> String {
    let shown: Vec<String> = words
        .iter()
        .take(most)
        .map(|word| format!("`{word}`"))
        .collect();
    let more = words.len().saturating_sub(most);
    if more > 0 {
        format!("{} and {more} more", shown.join(", "))
    } else {
        shown.join(", ")
    }
}

/// The words that a shorter one is a part of, as `linear` is of `linear-piston`.
fn begun_with(found: &str, allowed: &[&str]) -> Vec<String> {
    let found = found.trim().to_lowercase();
    let meant = allowed
        .iter()
        .filter(|word| word.split('-').any(|part| part == found));
    meant.map(|word| format!("`{word}`")).collect()
}
