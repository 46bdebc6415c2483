//! Findings of two states: which are new, which are gone, which changed their level.

use std::collections::HashMap;

use crate::finding::Finding;
use crate::text::Sources;

use super::verdicts::Direction;

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

/// The findings that differ, in the order of the new run, then those that are gone. `on` gives what a finding
/// of the old state is about the name it has now, and `words` does so within what stands at its place.
pub(super) fn compare(
    (old, old_sources): (&[Finding], &Sources),
    (new, new_sources): (&[Finding], &Sources),
    on: impl Fn(&str) -> String,
    words: impl Fn(&str) -> String,
) -> Vec<FindingChange> {
    let text = |finding: &Finding, sources: &Sources| {
        let line = sources.slice(finding.at).lines().next().unwrap_or("");
        line.trim().to_string()
    };
    let mut exact: HashMap<_, Vec<usize>> = HashMap::new();
    let mut near: HashMap<_, Vec<usize>> = HashMap::new();
    let mut open = vec![true; old.len()];
    for (place, one) in old.iter().enumerate().rev() {
        let about = (one.rule.name, on(&one.on));
        near.entry(about.clone()).or_default().push(place);
        exact
            .entry((about, words(&text(one, old_sources))))
            .or_default()
            .push(place);
    }
    let mut matched: Vec<Option<usize>> = new
        .iter()
        .map(|one| {
            let key = ((one.rule.name, one.on.clone()), text(one, new_sources));
            let place = exact.get_mut(&key)?.pop()?;
            open[place] = false;
            Some(place)
        })
        .collect();
    for (one, was) in new.iter().zip(&mut matched) {
        if was.is_none() {
            // What is about a whole file is known by its words alone.
            let places = near.get_mut(&(one.rule.name, one.on.clone()));
            let places = places.filter(|_| !one.on.is_empty());
            *was = places.and_then(|places| {
                places.retain(|place| open[*place]);
                places.pop()
            });
            if let Some(place) = *was {
                open[place] = false;
            }
        }
    }
    let mut changes: Vec<FindingChange> = Vec::new();
    for (place, (one, was)) in new.iter().zip(&matched).enumerate() {
        let before = was.map(|was| &old[was]);
        let shift = match before {
            None => FindingShift::New,
            Some(before) => {
                let weight = |one: &Finding| (one.waived.is_none(), one.level);
                match weight(one).cmp(&weight(before)) {
                    std::cmp::Ordering::Greater => FindingShift::Graver,
                    std::cmp::Ordering::Less => FindingShift::Milder,
                    _ if text(one, new_sources) == words(&text(before, old_sources)) => continue,
                    _ => FindingShift::Restated,
                }
            }
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
