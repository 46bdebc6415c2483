//! What each change did: verdicts and findings under what they come from.

use std::collections::{BTreeMap, BTreeSet};

use super::cause::Cause;
use super::findings::FindingChange;
use super::verdicts::{Direction, Shift, VerdictChange};
use super::{FindingShift, Thing};

/// How changed things account for what stands under them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum How {
    /// The one thing by itself, or all of them together.
    Accounts,
    /// Each of the things by itself.
    Each,
    /// They have to do with it; what of them accounts for it isn't known.
    Concerns,
}

impl How {
    /// As a machine format has it.
    pub fn as_str(self) -> &'static str {
        match self {
            How::Accounts => "accounts",
            How::Each => "each",
            How::Concerns => "concerns",
        }
    }
}

/// What some changed things did.
#[derive(Debug, Clone)]
pub struct Effect {
    /// The changed things, by number; none where no changed fact has to do with it.
    pub things: Vec<usize>,
    /// How they account for it.
    pub how: How,
    /// The verdicts, by number: worse first.
    pub verdicts: Vec<usize>,
    /// The findings, by number: worse first.
    pub findings: Vec<usize>,
}

/// Verdicts and findings by what they come from, what is worst first; then every changed thing that did
/// nothing.
pub(super) fn by_cause(
    things: &[Thing],
    verdicts: &[VerdictChange],
    findings: &[FindingChange],
) -> Vec<Effect> {
    let mut all: BTreeMap<(Vec<usize>, How), Effect> = BTreeMap::new();
    for (place, change) in verdicts.iter().enumerate() {
        let Some(cause) = &change.cause else { continue };
        let things: Vec<usize> = cause.things().into_iter().collect();
        let how = how(cause);
        effect(&mut all, things, how).verdicts.push(place);
    }
    for (place, change) in findings.iter().enumerate() {
        let things = change.through.clone();
        // A finding about a verdict stands beside it, and what has to do with one changed thing only under it.
        let beside = [How::Accounts, How::Each]
            .into_iter()
            .find(|how| all.contains_key(&(things.clone(), *how)));
        let how = match &change.cause {
            Some(cause) => how(cause),
            None => beside.unwrap_or(match things.len() {
                1 => How::Accounts,
                _ => How::Concerns,
            }),
        };
        effect(&mut all, things, how).findings.push(place);
    }
    let mut effects: Vec<Effect> = all.into_values().collect();
    for effect in &mut effects {
        effect
            .verdicts
            .sort_by_key(|&place| (verdicts[place].direction, place));
        effect
            .findings
            .sort_by_key(|&place| (findings[place].shift, place));
    }
    let told: BTreeSet<usize> = effects.iter().flat_map(|one| one.things.clone()).collect();
    let silent = (0..things.len()).filter(|place| !told.contains(place));
    effects.extend(silent.map(|thing| Effect {
        things: vec![thing],
        how: How::Accounts,
        verdicts: Vec::new(),
        findings: Vec::new(),
    }));
    effects.sort_by_cached_key(|effect| {
        let turned = |direction| {
            let own = effect.verdicts.iter().map(|&place| &verdicts[place]);
            own.filter(|one| one.direction == direction && one.shift != Shift::Figures)
                .count()
        };
        let new = |shift| {
            let own = effect.findings.iter().map(|&place| findings[place].shift);
            own.filter(|one| *one == shift).count()
        };
        let down = |count: usize| std::cmp::Reverse(count);
        (
            down(turned(Direction::Worse)),
            down(new(FindingShift::New) + new(FindingShift::Graver)),
            down(turned(Direction::Better)),
            down(effect.verdicts.len()),
            down(effect.findings.len()),
            effect.things.clone(),
        )
    });
    effects
}

fn how(cause: &Cause) -> How {
    match cause {
        Cause::Found(ways) => {
            let things = |way: &Vec<super::Part>| -> BTreeSet<usize> {
                way.iter().map(|part| part.thing).collect()
            };
            let sets: BTreeSet<BTreeSet<usize>> = ways.iter().map(things).collect();
            match sets.len() {
                1 => How::Accounts,
                _ => How::Each,
            }
        }
        _ => How::Concerns,
    }
}

fn effect(
    all: &mut BTreeMap<(Vec<usize>, How), Effect>,
    things: Vec<usize>,
    how: How,
) -> &mut Effect {
    all.entry((things.clone(), how)).or_insert_with(|| Effect {
        things,
        how,
        verdicts: Vec::new(),
        findings: Vec::new(),
    })
}
