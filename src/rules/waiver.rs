//! Are the waivers still needed, still in date, and with a reason.
//!
//! A waiver accepts findings of one rule in one place: it takes them out of the count, and every
//! report still shows them with the reason. One without a reason, or past its day, accepts nothing.

use std::collections::{HashMap, HashSet};

use jiff::civil::Date;

use crate::catalog::{Given, Text, Waiver};
use crate::document::{Item, ItemId};
use crate::finding::{Finding, Level, Rule, Waived, name_now};
use crate::text::FileId;

use super::{Context, Family};

static RULES: &[Rule] = &[
    Rule {
        name: "waiver.expired",
        level: Level::Error,
        speaks: "a waiver past its last day",
    },
    Rule {
        name: "waiver.unused",
        level: Level::Warning,
        speaks: "a waiver that no finding needs, or whose figure has changed",
    },
    Rule {
        name: "waiver.no-reason",
        level: Level::Error,
        speaks: "a waiver without a reason",
    },
    Rule {
        name: "waiver.ending",
        level: Level::Note,
        speaks: "a waiver whose last day is within 30 days",
    },
];

/// So many days ahead an end is told: time to measure again, or to mend the figure.
const AHEAD: i32 = 30;

pub const FAMILY: Family = Family {
    name: "waiver",
    rules: RULES,
    page: include_str!("waiver.md"),
    // A waiver is judged by what it waives, so it waits until all others have spoken.
    check: |_, _| {},
};

/// Applies the catalog's waivers to `findings` as of `today` (`YYYY-MM-DD`), and says which are
/// expired, unused, without reason or near their end.
pub fn apply(context: &Context, today: &str, findings: &mut Vec<Finding>) {
    let mut held = Held::of(context, findings);
    let mut new = Vec::new();
    for waiver in &context.catalog.waivers {
        new.extend(one(context, today, waiver, &mut held, findings));
    }
    findings.extend(new);
}

/// Findings by what waivers ask for, so that none of them looks at all findings.
struct Held<'d> {
    /// By rule and by family.
    of: HashMap<&'static str, Vec<usize>>,
    /// By rule and by family, and by the table with a header in which they stand.
    within: HashMap<(&'static str, FileId, ItemId), Vec<usize>>,
    /// What has been asked for, by rule or family and thing.
    asked: HashMap<(String, String), Option<Asked<'d>>>,
}

/// The findings of one rule or family in one thing.
struct Asked<'d> {
    all: Vec<usize>,
    /// By what stands at them.
    by_text: HashMap<&'d str, Vec<usize>>,
    /// The figures that waivers of them have accepted; nothing for whatever stands there.
    accepted: HashSet<Option<String>>,
}

impl<'d> Held<'d> {
    fn of(context: &'d Context, findings: &[Finding]) -> Held<'d> {
        let mut held = Held {
            of: HashMap::new(),
            within: HashMap::new(),
            asked: HashMap::new(),
        };
        if context.catalog.waivers.is_empty() {
            return held;
        }
        for (number, finding) in findings.iter().enumerate() {
            let names = [finding.rule.name, finding.rule.family()];
            let file = finding.at.file;
            let document = context.documents.get(file.0 as usize);
            let section = document.map(|one| one.section_at(finding.at.start as usize));
            let above: Vec<Item> = std::iter::successors(section, |item| item.parent()).collect();
            // A waiver names a thing, `package.a` below the root, or one of its options below that.
            let named: Vec<ItemId> = { above.iter().rev() }
                .skip(2)
                .step_by(2)
                .take(2)
                .map(|item| item.id())
                .collect();
            for name in names {
                push(&mut held.of, name, number);
                for &item in &named {
                    push(&mut held.within, (name, file, item), number);
                }
            }
        }
        held
    }

    /// The findings that a waiver of `rule` on `on` is about; nothing where there is no such thing.
    fn ask(
        &mut self,
        context: &'d Context,
        rule: &str,
        on: &Text,
        findings: &[Finding],
    ) -> Option<&mut Asked<'d>> {
        let key = (rule.to_string(), on.text.clone());
        if !self.asked.contains_key(&key) {
            let place = Place::of(context, on);
            let asked = place.map(|place| {
                let numbers = self.numbers(rule, &place);
                Asked::of(
                    context,
                    numbers.filter(|&number| place.holds(context, &findings[number])),
                    findings,
                )
            });
            self.asked.insert(key.clone(), asked);
        }
        self.asked.get_mut(&key)?.as_mut()
    }

    /// Those among which the findings of a rule in a place are.
    fn numbers(&self, rule: &str, place: &Place) -> impl Iterator<Item = usize> {
        let entry = self.of.get_key_value(rule);
        let numbers = entry.and_then(|(&rule, all)| match place {
            Place::Table(item) if item.header_span().is_some() => {
                self.within.get(&(rule, item.document().file(), item.id()))
            }
            _ => Some(all),
        });
        numbers.into_iter().flatten().copied()
    }
}

fn push<K: std::hash::Hash + Eq>(lists: &mut HashMap<K, Vec<usize>>, key: K, number: usize) {
    lists.entry(key).or_default().push(number);
}

impl<'d> Asked<'d> {
    fn of(
        context: &'d Context,
        numbers: impl Iterator<Item = usize>,
        findings: &[Finding],
    ) -> Asked<'d> {
        let mut asked = Asked {
            all: numbers.collect(),
            by_text: HashMap::new(),
            accepted: HashSet::new(),
        };
        for &number in &asked.all {
            let text = context.sources.slice(findings[number].at);
            push(&mut asked.by_text, text.trim_matches('"'), number);
        }
        asked
    }
}

fn one<'d>(
    context: &'d Context,
    today: &str,
    waiver: &Waiver,
    held: &mut Held<'d>,
    findings: &mut [Finding],
) -> Option<Finding> {
    // What is missing or unreadable of it has been reported.
    let (Given::Known(rule), Given::Known(on)) = (&waiver.rule, &waiver.on) else {
        return None;
    };
    let finding = |number: usize, at, message: String| {
        Finding::new(&RULES[number], at, message).on("catalog")
    };
    let reason = match &waiver.reason {
        Given::Known(reason) if !reason.text.trim().is_empty() => reason.text.clone(),
        Given::Unreadable => return None,
        given => {
            let at = given.known().map_or(waiver.at, |reason| reason.at);
            let message = "A waiver without a reason accepts nothing.".into();
            return Some(
                finding(2, at, message).mend("Say why the finding is accepted, and on whose word."),
            );
        }
    };
    let name = name_now(&rule.text);
    if super::rule(name).is_none() && !super::FAMILIES.iter().any(|f| f.name == name) {
        let near = crate::catalog::nearest(&rule.text, super::rules().map(|rule| rule.name));
        let message = format!(
            "There is no rule `{}`, so this waiver accepts nothing.",
            rule.text
        );
        let finding = finding(1, rule.at, message);
        return Some(match near {
            Some(near) => finding.correct(false, rule.at, format!("\"{near}\"")),
            None => finding,
        });
    }
    if let Given::Known(until) = &waiver.until
        && until.text.as_str() < today
    {
        let message = format!(
            "This waiver ended on {}. What it accepted is reported again.",
            until.text
        );
        return Some(
            finding(0, until.at, message)
                .mend("Correct the figure, or check the reason and set a new day."),
        );
    }
    // A day or figure that can't be read may be past or changed: until it is mended, nothing is accepted.
    if matches!(waiver.until, Given::Unreadable) || matches!(waiver.value, Given::Unreadable) {
        return None;
    }
    let Some(asked) = held.ask(context, name, on, findings) else {
        let message = format!("There is no `{}` for this waiver.", on.text);
        return Some(
            finding(1, on.at, message)
                .mend("Name a part (compressor.ID), a package (package.ID), an option (package.ID.option.ID) or the catalog."),
        );
    };
    let value = waiver.value.known().map(|value| value.text.as_str());
    let accepted = match value {
        Some(value) => asked.by_text.get(value),
        None => Some(&asked.all),
    };
    let accepted = accepted.map_or(&[][..], |all| all);
    let met = !accepted.is_empty();
    let changed = asked.all.last().filter(|_| !met).map(|&last| {
        let at = findings[last].at;
        (at, context.sources.slice(at).to_string())
    });
    // What a waiver has accepted, a second one like it needn't.
    let is_first = asked.accepted.insert(value.map(str::to_string));
    for &number in accepted.iter().filter(|_| is_first) {
        findings[number].waived.get_or_insert(Waived {
            reason: reason.clone(),
            owner: waiver.owner.known().map(|owner| owner.text.clone()),
            until: waiver.until.known().map(|until| until.text.clone()),
            at: waiver.at,
        });
    }
    if met {
        let until = waiver.until.known()?;
        let left = days_between(today, &until.text)?;
        return (left <= AHEAD).then(|| {
            let when = match left {
                0 => "today is its last day".to_string(),
                1 => "its last day is tomorrow".to_string(),
                days => format!("it ends in {days} days"),
            };
            finding(
                3,
                until.at,
                format!("This waiver is still needed, and {when}, {}.", until.text),
            )
            .mend("Correct the figure by then, or check the reason and set a new day.")
        });
    }
    Some(match changed {
        Some((at, stands)) => finding(
            1,
            waiver.value.known().map_or(waiver.at, |value| value.at),
            format!(
                "The figure that this waiver accepted has changed to {stands}, so the waiver no longer accepts anything."
            ),
        )
        .mend("Check the reason for the new figure.")
        .related(at, "the figure as it stands"),
        None => finding(
            1,
            waiver.at,
            format!("{name} no longer finds anything at {}, so this waiver isn't needed.", on.text),
        )
        .mend("Remove the waiver."),
    })
}

/// Days from one `YYYY-MM-DD` to another; nothing where one is no day.
fn days_between(from: &str, to: &str) -> Option<i32> {
    let (from, to): (Date, Date) = (from.parse().ok()?, to.parse().ok()?);
    Some((to - from).get_days())
}

/// What a waiver is about.
enum Place<'d> {
    Catalog,
    Table(Item<'d>),
    Sheet(String),
}

impl<'d> Place<'d> {
    /// The thing that `on` names, if it is there.
    fn of(context: &'d Context, on: &Text) -> Option<Place<'d>> {
        if on.text == "catalog" {
            return Some(Place::Catalog);
        }
        if let Some(file) = on.text.strip_prefix("sheet.") {
            return Some(Place::Sheet(file.to_string()));
        }
        let (table, rest) = on.text.split_once('.')?;
        let (id, option) = match rest.split_once(".option.") {
            Some((id, option)) => (id, Some(option)),
            None => (rest, None),
        };
        context.catalog.documents.iter().find_map(|&index| {
            let item = context.documents[index].root().get(table)?.get(id)?;
            match option {
                None => Some(Place::Table(item)),
                Some(option) => {
                    let mut options = item.get("option")?.items();
                    let has_id = |one: &Item| one.get("id").and_then(Item::as_str) == Some(option);
                    options.find(has_id).map(Place::Table)
                }
            }
        })
    }

    fn holds(&self, context: &Context, finding: &Finding) -> bool {
        match self {
            Place::Catalog => true,
            Place::Table(item) => item.holds(finding.at),
            Place::Sheet(file) => context.sources.get(finding.at.file).name().ends_with(file),
        }
    }
}
