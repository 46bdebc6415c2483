//! Numbers that identify things, and what took the place of what.

use std::collections::{HashMap, HashSet};

use crate::catalog::{Entry, Given, Identity, Kind, Text, nearest};
use crate::finding::{Finding, Level, Rule};
use crate::text::Span;

use super::{Context, Family, quoted, subject};

static RULES: &[Rule] = &[CHECK_DIGIT, SHARED_NUMBER, REPLACED_BY, DISCONTINUED_PART];

const CHECK_DIGIT: Rule = Rule {
    name: "identity.check-digit",
    level: Level::Error,
    speaks: "a trade item number whose check digit, or length, is wrong",
};
const SHARED_NUMBER: Rule = Rule {
    name: "identity.shared-number",
    level: Level::Error,
    speaks: "one stock or trade item number on two things",
};
const REPLACED_BY: Rule = Rule {
    name: "identity.replaced-by",
    level: Level::Warning,
    speaks: "what took a thing's place doesn't exist, or was replaced by the thing itself",
};
const DISCONTINUED_PART: Rule = Rule {
    name: "identity.discontinued-part",
    level: Level::Warning,
    speaks: "a current package holds a discontinued part",
};

pub const FAMILY: Family = Family {
    name: "identity",
    rules: RULES,
    page: include_str!("identity.md"),
    check,
};

/// A thing that has numbers: a part, a package, or an option.
struct Thing<'a> {
    words: String,
    on: String,
    identity: &'a Identity,
    /// What it belongs with: replacements are of the same kind, options of the same package.
    among: (Kind, Option<&'a str>),
    id: &'a str,
    header: Span,
}

/// Everything with numbers, in the catalog's order.
fn things<'a>(context: &Context<'a>) -> Vec<Thing<'a>> {
    let catalog = context.catalog;
    let mut things = Vec::new();
    let entry = |entry: &'a Entry| Thing {
        words: format!("{} {}", entry.kind.words(), entry.id),
        on: entry.on(),
        identity: &entry.identity,
        among: (entry.kind, None),
        id: &entry.id,
        header: entry.header,
    };
    for &kind in Kind::PARTS {
        things.extend(catalog.entries(kind).into_iter().map(entry));
    }
    for package in catalog.packages.iter() {
        things.push(entry(&package.entry));
        for option in &package.options {
            things.push(Thing {
                words: format!("option {} of {}", option.id, subject(package)),
                on: format!("{}.option.{}", package.entry.on(), option.id),
                identity: &option.identity,
                among: (Kind::Package, Some(&package.entry.id)),
                id: &option.id,
                header: option.at,
            });
        }
    }
    things
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    let things = things(context);
    for thing in &things {
        if let Given::Known(gtin) = &thing.identity.gtin {
            findings.extend(check_digit(gtin).map(|finding| finding.on(thing.on.clone())));
        }
    }
    shared(&things, findings);
    replaced(&things, findings);
    discontinued(context, findings);
}

/// The digits of a number, if it has 8, 12, 13 or 14 of them and nothing else.
fn digits(gtin: &str) -> Option<Vec<u32>> {
    let digits: Option<Vec<u32>> = gtin.chars().map(|c| c.to_digit(10)).collect();
    digits.filter(|digits| matches!(digits.len(), 8 | 12 | 13 | 14))
}

/// The last digit that the others ask for: they are weighed 3, 1, 3, … from the right, and the check
/// digit fills their sum up to a multiple of ten.
///
/// Source: GS1 General Specifications, section on check digits (from memory). Check: 9520381333937.
fn wanted(digits: &[u32]) -> Option<(u32, u32)> {
    let (&last, others) = digits.split_last()?;
    let weights = [3, 1].into_iter().cycle();
    let sum: u32 = others.iter().rev().zip(weights).map(|(d, w)| d * w).sum();
    Some((last, (10 - sum % 10) % 10))
}

fn check_digit(gtin: &Text) -> Option<Finding> {
    let text = &gtin.text;
    let Some(digits) = digits(text) else {
        return Some(
            Finding::new(
                &RULES[0],
                gtin.at,
                format!("{text} is no trade item number: such a number has 8, 12, 13 or 14 digits and nothing else."),
            )
            .mend("Copy it from the label again, without spaces or hyphens."),
        );
    };
    let (last, right) = wanted(&digits)?;
    if last == right {
        return None;
    }
    let kept = &text[..text.len() - 1];
    Some(
        Finding::new(
            &RULES[0],
            gtin.at,
            format!("The check digit of {text} is wrong: after {kept} it must be {right}, not {last}."),
        )
        .mend("A digit was mistyped, not necessarily the last, or two were swapped. Copy the number from the label again.")
        .correct(false, gtin.at, quoted(&format!("{kept}{right}"))),
    )
}

/// One number on two things; numbers of different lengths are the same behind their leading zeros.
fn shared<'a>(things: &'a [Thing<'a>], findings: &mut Vec<Finding>) {
    let mut met: HashMap<(&str, String), (&Thing, Span)> = HashMap::new();
    for thing in things {
        let gtin = thing.identity.gtin.known();
        let gtin = gtin.map(|gtin| {
            let number = gtin.text.trim_start_matches('0').to_string();
            ("trade item number", number, gtin)
        });
        let sku = thing.identity.sku.known();
        let sku = sku.map(|sku| ("stock number", sku.text.trim().to_string(), sku));
        for (what, number, text) in gtin.into_iter().chain(sku) {
            match met.get(&(what, number.clone())) {
                Some((first, at)) => findings.push(
                    Finding::new(
                        &RULES[1],
                        text.at,
                        format!(
                            "The {what} {} already belongs to {}.",
                            text.text, first.words
                        ),
                    )
                    .mend("Give each thing that can be ordered by itself its own number.")
                    .related(*at, "the first thing of that number")
                    .on(thing.on.clone()),
                ),
                None => {
                    met.insert((what, number), (thing, text.at));
                }
            }
        }
    }
}

/// For as many unknown names the nearest is looked for: more of them are another kind of fault than a slip, and each
/// search goes through all IDs.
const MOST_LOOKED_FOR: usize = 50;

/// What took the place of what, followed to its end.
fn replaced(things: &[Thing], findings: &mut Vec<Finding>) {
    let mut by_name: HashMap<((Kind, Option<&str>), &str), usize> = HashMap::new();
    for (index, thing) in things.iter().enumerate() {
        by_name.entry((thing.among, thing.id)).or_insert(index);
    }
    let find = |thing: &Thing| {
        let next = thing.identity.replaced_by.known()?;
        by_name.get(&(thing.among, next.text.as_str())).copied()
    };
    let mut looked_for = 0;
    for thing in things {
        let Given::Known(next) = &thing.identity.replaced_by else {
            continue;
        };
        if find(thing).is_none() {
            let ids = things
                .iter()
                .filter(|other| other.among == thing.among && other.id != thing.id)
                .map(|other| other.id);
            let mut finding = Finding::new(
                &RULES[2],
                next.at,
                format!(
                    "The replacement, {} `{}`, doesn't exist.",
                    match thing.among {
                        (_, Some(_)) => "option",
                        (kind, None) => kind.words(),
                    },
                    next.text
                ),
            )
            .on(thing.on.clone());
            looked_for += 1;
            let near = (looked_for <= MOST_LOOKED_FOR).then(|| nearest(&next.text, ids));
            match near.flatten() {
                Some(near) => {
                    finding
                        .message
                        .push_str(&format!(" The nearest ID is `{near}`."));
                    finding = finding.correct(false, next.at, quoted(near));
                }
                None => {
                    finding.mend = "Write the ID of what is sold instead, or leave it out.".into()
                }
            }
            findings.push(finding);
        }
    }
    for circle in circles(things.len(), |at| find(&things[at])) {
        findings.extend(in_a_circle(things, &circle));
    }
}

/// That things replace each other, told at the first of them.
fn in_a_circle(things: &[Thing], circle: &[usize]) -> Option<Finding> {
    let (&first, others) = circle.split_first()?;
    let thing = &things[first];
    let next = thing.identity.replaced_by.known()?;
    let names: Vec<&str> = others.iter().map(|&other| things[other].id).collect();
    let message = if names.is_empty() {
        format!(
            "{} names itself as its replacement.",
            crate::finding::capital(&thing.words)
        )
    } else {
        format!(
            "The replacements form a circle: {} is replaced by {}, which is replaced by {} again.",
            thing.id,
            names.join(", that by "),
            thing.id
        )
    };
    let mut finding = Finding::new(&RULES[2], next.at, message)
        .mend("Take out the link that leads back to an older thing.")
        .on(thing.on.clone());
    for &other in others {
        finding = finding.related(things[other].header, "also in the circle");
    }
    Some(finding)
}

/// The circles that `next` leads round in, each from its least member on. No link is followed twice.
fn circles(count: usize, next: impl Fn(usize) -> Option<usize>) -> Vec<Vec<usize>> {
    let mut circles = Vec::new();
    // The walk that came by, and after how many steps.
    let mut passed: Vec<Option<(usize, usize)>> = vec![None; count];
    for start in 0..count {
        let mut way = Vec::new();
        let mut at = Some(start);
        while let Some(here) = at {
            match passed[here] {
                Some((walk, steps)) => {
                    if walk == start {
                        let mut circle = way.split_off(steps);
                        let least = circle.iter().enumerate().min_by_key(|(_, member)| **member);
                        let least = least.map_or(0, |(place, _)| place);
                        circle.rotate_left(least);
                        circles.push(circle);
                    }
                    break;
                }
                None => passed[here] = Some((start, way.len())),
            }
            way.push(here);
            at = next(here);
        }
    }
    circles
}

fn is_discontinued(identity: &Identity) -> bool {
    let status = identity.status.known();
    status.is_some_and(|status| status.text == "discontinued")
}

/// Parts that are no longer made, in packages that are still sold.
fn discontinued(context: &Context, findings: &mut Vec<Finding>) {
    let catalog = context.catalog;
    let over: HashMap<(Kind, &str), &Entry> = Kind::PARTS
        .iter()
        .flat_map(|&kind| catalog.entries(kind))
        .filter(|entry| is_discontinued(&entry.identity))
        .map(|entry| ((entry.kind, entry.id.as_str()), entry))
        .collect();
    let mut told: HashSet<(&str, Kind, &str)> = HashSet::new();
    for mention in &catalog.mentions {
        let kinds = mention.kinds.iter();
        let part = kinds.filter_map(|&kind| over.get(&(kind, mention.id.as_str())));
        let package = mention.on.strip_prefix("package.");
        let package = package.and_then(|id| catalog.packages.get(id));
        let (Some(&part), Some(package)) = (part.min_by_key(|part| part.kind), package) else {
            continue;
        };
        let status = package.entry.identity.status.known();
        if status.is_some_and(|status| status.text != "current") {
            continue;
        }
        // An option that is itself discontinued may hold such a part.
        let document = &context.documents[package.entry.document];
        let gone = package.options.iter().any(|option| {
            is_discontinued(&option.identity) && document.item(option.node).holds(mention.at)
        });
        if gone || !told.insert((&package.entry.id, part.kind, &part.id)) {
            continue;
        }
        let instead = match &part.identity.replaced_by {
            Given::Known(next) => format!(
                "Its replacement is `{}`; see what that does to the claims.",
                next.text
            ),
            _ => "Choose another part, or give the package the same status.".to_string(),
        };
        findings.push(
            Finding::new(
                &RULES[3],
                mention.at,
                format!(
                    "The {} `{}` is discontinued, and {} is still sold.",
                    part.kind.words(),
                    part.id,
                    subject(package)
                ),
            )
            .mend(instead)
            .related(part.header, "the part")
            .on(package.entry.on()),
        );
    }
}

#[cfg(test)]
mod tests {
    use std::cell::Cell;

    use super::*;

    /// Invented numbers of each length in ranges that no shop's goods have: 952 for examples, 2 and 04
    /// for use within one company (GS1 prefixes, from memory). The library python-stdnum 2.2, module ean,
    /// takes all four.
    #[test]
    fn the_check_digit_fills_the_weighted_sum_up_to_tens() {
        for number in [
            "9520381333937",
            "26385075",
            "040009290149",
            "19520381333934",
        ] {
            let digits = digits(number).unwrap();
            let (last, right) = wanted(&digits).unwrap();
            assert_eq!(last, right, "{number}");
        }
        assert_eq!(digits("12345"), None);
        assert_eq!(digits("95203813339a1"), None);
    }

    #[test]
    fn circles_are_told_once_and_from_their_first_member() {
        // 0 leads to 4, which goes round by 2 and 3; 1 replaces itself; 5 leads nowhere.
        let links = [Some(4), Some(1), Some(3), Some(4), Some(2), None];
        let found = circles(links.len(), |at| links[at]);
        assert_eq!(found, [vec![2, 3, 4], vec![1]]);
    }

    #[test]
    fn a_chain_of_any_length_is_walked_once() {
        for count in [1_000, 2_000, 4_000] {
            for forwards in [true, false] {
                let steps = Cell::new(0);
                let next = |at: usize| {
                    steps.set(steps.get() + 1);
                    match forwards {
                        true => Some(at + 1).filter(|next| *next < count),
                        false => at.checked_sub(1),
                    }
                };
                assert!(circles(count, next).is_empty());
                assert_eq!(steps.get(), count);
            }
        }
    }
}
