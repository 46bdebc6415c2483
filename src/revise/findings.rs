//! Findings of two states: which are new, which are gone, which changed their level.

use std::collections::{BTreeMap, HashMap};

use crate::engine::{self, Known, Outcome, Places};
use crate::finding::{Finding, State, kind_hash};

use super::since::on_now;
use super::verdicts::Direction;
use super::{below, renamed_within};

/// What became of a finding.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum FindingShift {
    /// It wasn't there.
    New,
    /// It is graver, or a waiver accepted it and none does now.
    Graver,
    /// The same rule speaks about the same thing, of another figure.
    Restated,
    /// It is milder, or a waiver accepts it now.
    Milder,
    /// It isn't there any more.
    Gone,
}

impl FindingShift {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            FindingShift::New => "new",
            FindingShift::Graver => "graver",
            FindingShift::Restated => "restated",
            FindingShift::Milder => "milder",
            FindingShift::Gone => "gone",
        }
    }

    /// Whether that is worse.
    pub fn direction(self) -> Direction {
        match self {
            FindingShift::New | FindingShift::Graver => Direction::Worse,
            FindingShift::Restated => Direction::Neither,
            FindingShift::Milder | FindingShift::Gone => Direction::Better,
        }
    }
}

/// A finding that isn't what it was.
#[derive(Debug, Clone)]
pub struct FindingChange {
    /// Which of the old run's findings it was.
    pub was: Option<usize>,
    /// Which of the new run's findings it is.
    pub is: Option<usize>,
    /// What became of it.
    pub shift: FindingShift,
    /// What accounts for it, where that was found by trying.
    pub cause: Option<super::Cause>,
    /// The changed things that it has to do with, by their numbers.
    pub through: Vec<usize>,
}

/// The findings that differ, in the order of the new run, then those that are gone. Each run comes with what it was
/// named by; `renamed` gives what was renamed the name of now.
pub(super) fn compare(
    (was, old_root): (&Outcome, &str),
    (is, new_root): (&Outcome, &str),
    renamed: &BTreeMap<String, String>,
) -> Vec<FindingChange> {
    let (old, new) = (&was.findings, &is.findings);
    let known = |one: &Finding, root: &str, kind: u64| Known {
        catalog: below(&one.identity.catalog, root),
        file: below(&one.identity.file, root),
        kind,
        ..Known::of(one)
    };
    let places = |of: &Outcome, root: &str| {
        let Places { catalogs, files } = Places::of(&of.catalogs, &of.sources);
        let catalogs = catalogs.into_iter();
        Places {
            catalogs: catalogs
                .map(|(name, title)| (below(&name, root), title))
                .collect(),
            files: files.iter().map(|file| below(file, root)).collect(),
        }
    };
    let text_now = |one: &Finding| renamed_within(&one.identity.text, renamed);
    let kind_now = |one: &Finding| {
        let (on, key) = (on_now(&one.on, renamed), &one.identity.key);
        kind_hash(one.rule.name, &on, key, &text_now(one))
    };
    let before: Vec<Known> = old
        .iter()
        .map(|one| known(one, old_root, kind_now(one)))
        .collect();
    let after: Vec<Known> = new
        .iter()
        .map(|one| known(one, new_root, one.kind()))
        .collect();
    let (old_places, new_places) = (places(was, old_root), places(is, new_root));
    let mut matched = engine::same_findings((&old_places, &before), (&new_places, &after));
    let mut open = vec![true; old.len()];
    for place in matched.iter().flatten() {
        open[*place] = false;
    }
    // The same rule about the same thing, of another figure; what is about a whole file is known by its words alone.
    let mut near: HashMap<(&str, String), Vec<usize>> = HashMap::new();
    for (place, one) in old
        .iter()
        .enumerate()
        .rev()
        .filter(|(place, _)| open[*place])
    {
        let about = (one.rule.name, on_now(&one.on, renamed));
        near.entry(about).or_default().push(place);
    }
    for (one, was) in new.iter().zip(&mut matched) {
        if was.is_none() && !one.on.is_empty() {
            let about = (one.rule.name, one.on.clone());
            *was = near.get_mut(&about).and_then(Vec::pop);
            if let Some(place) = *was {
                open[place] = false;
            }
        }
    }
    let mut changes: Vec<FindingChange> = Vec::new();
    for (place, (one, was)) in new.iter().zip(&matched).enumerate() {
        let before = was.map(|was| &old[was]);
        let state = engine::state(before.map(|one| (one.level, one.waived.is_some())), one);
        let shift = match (state, before) {
            (State::New, _) | (_, None) => FindingShift::New,
            (State::Graver, _) => FindingShift::Graver,
            (State::Milder, _) => FindingShift::Milder,
            (State::Unchanged, Some(before)) if text_now(before) == one.identity.text => continue,
            (State::Unchanged, Some(_)) => FindingShift::Restated,
        };
        changes.push(FindingChange {
            was: *was,
            is: Some(place),
            shift,
            cause: None,
            through: Vec::new(),
        });
    }
    let gone = open.iter().enumerate().filter(|(_, open)| **open);
    changes.extend(gone.map(|(place, _)| FindingChange {
        was: Some(place),
        is: None,
        shift: FindingShift::Gone,
        cause: None,
        through: Vec::new(),
    }));
    changes
}
