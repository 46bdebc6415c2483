//! Applies the corrections that findings carry.
//!
//! Texts are handed in, as to the engine; the disk is not here. Corrections are applied in rounds: of
//! two that touch the same bytes the first by place goes first and the other waits for the next round,
//! in which it is found again if it is still needed. After each round everything is read and audited again. A
//! correction after which its text can't be read as well as before, or after which its finding is still
//! there, is held back and tried again by itself; if that fails too it is refused and leaves no trace.
//!
//! What a person decides about is applied only where the first audit offered a fix for that fault: the person has seen
//! it. What comes up later is left, and told.

mod edits;

use std::collections::HashSet;
use std::ops::Range;

use crate::engine::{self, Input, Options, Outcome};
use crate::finding::{Correction, Finding};
use crate::text::{FileId, Span};

use edits::{Replacement, Replacements};

/// Rounds after which no more is tried. A catalog needs two or three; a tenth would mean that two
/// corrections undo each other.
const ROUNDS: usize = 10;

/// Audits after which no more is tried, however many corrections are refused.
const TRIES: usize = 200;

/// Which corrections are applied.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scope {
    /// Those that can't change the meaning.
    Sure,
    /// Also those that a person decides about.
    Offered,
}

/// What came of it.
#[derive(Debug)]
pub struct Amended {
    /// The texts that changed, in the order they were handed in.
    pub files: Vec<AmendedFile>,
    /// Corrections that were tried and taken back.
    pub refused: Vec<Refused>,
    /// How many corrections are left that a person decides about.
    pub offered: usize,
    /// Which corrections were asked for.
    pub scope: Scope,
    /// How many corrections are left in texts that were only borrowed.
    pub borrowed: usize,
    /// The audit before.
    pub before: Outcome,
    after: Option<Outcome>,
}

impl Amended {
    /// The audit of what stands now.
    pub fn after(&self) -> &Outcome {
        self.after.as_ref().unwrap_or(&self.before)
    }
}

/// A text that changed.
#[derive(Debug)]
pub struct AmendedFile {
    /// Its path, as it was handed in.
    pub path: String,
    /// Its bytes before.
    pub before: Vec<u8>,
    /// Its bytes afterwards.
    pub after: Vec<u8>,
    /// What was done, by round and place.
    pub changes: Vec<Change>,
}

/// One correction that was applied.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// The rule that asked for it.
    pub rule: &'static str,
    /// What it is about.
    pub on: String,
    /// Line in the text as it is afterwards in its round, from 1.
    pub line: usize,
    /// What stood there, as far as its first line goes.
    pub was: String,
    /// What stands there now.
    pub is: String,
    /// Whether the meaning can't have changed.
    pub sure: bool,
}

/// A correction that was tried and taken back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    /// The rule that asked for it.
    pub rule: &'static str,
    /// Path of the text.
    pub path: String,
    /// Line, from 1.
    pub line: usize,
    /// What it would have done, in the imperative.
    pub says: String,
    /// Why it was taken back.
    pub why: Refusal,
}

/// Why a correction is taken back.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// The text couldn't be read as well as before.
    Unreadable,
    /// What it was to mend was still found.
    StillThere,
}

/// Applies the corrections in `scope` to all texts but the borrowed ones.
pub fn amend(inputs: Vec<Input>, options: &Options, scope: Scope) -> Amended {
    amend_by(inputs, scope, &|inputs| engine::audit(inputs, options))
}

/// The same by another `audit`, for whoever changes what it finds.
pub fn amend_by(
    inputs: Vec<Input>,
    scope: Scope,
    audit: &dyn Fn(Vec<Input>) -> Outcome,
) -> Amended {
    // Places name texts by their number in a run.
    let inputs = engine::in_order(inputs);
    let originals = inputs.clone();
    let before = audit(inputs.clone());
    let mut state = State {
        inputs,
        changes: vec![Vec::new(); originals.len()],
        refused: Vec::new(),
        barred: HashSet::new(),
        held: Vec::new(),
        seen: HashSet::from([hash(&originals)]),
        announced: offers(&before).map(fault).collect(),
    };
    let mut after: Option<Outcome> = None;
    let mut rounds = 0;
    let mut tries = 0;
    while rounds < ROUNDS && tries < TRIES {
        tries += 1;
        match state.round(after.as_ref().unwrap_or(&before), audit, scope) {
            // What was held back is tried by itself, one after the other.
            Round::Nothing if state.held.pop().is_some() => {}
            Round::Nothing => break,
            Round::Refused => {}
            Round::Applied(outcome) => {
                after = Some(*outcome);
                rounds += 1;
            }
        }
    }
    let outcome = after.as_ref().unwrap_or(&before);
    let corrections = || outcome.findings.iter().filter(|one| one.waived.is_none());
    let corrections = || corrections().filter_map(|one| one.correction.as_ref());
    let is_borrowed = |one: &&Correction| {
        let mut edits = one.edits.iter();
        edits.any(|edit| originals[edit.at.file.0 as usize].borrowed)
    };
    let borrowed = corrections().filter(is_borrowed).count();
    let offered = corrections().filter(|one| !one.sure && !is_borrowed(one));
    let offered = offered.count();
    let files = originals.into_iter().zip(state.inputs).zip(state.changes);
    let files = files.filter(|((was, is), _)| was.bytes != is.bytes);
    Amended {
        files: files
            .map(|((was, is), changes)| AmendedFile {
                path: was.path,
                before: was.bytes,
                after: is.bytes,
                changes,
            })
            .collect(),
        refused: state.refused,
        offered,
        scope,
        borrowed,
        before,
        after,
    }
}

/// What came of a round.
enum Round {
    /// There was nothing to apply.
    Nothing,
    /// Something was refused; the round is to be tried again without it.
    Refused,
    /// Everything that was tried holds.
    Applied(Box<Outcome>),
}

struct State {
    inputs: Vec<Input>,
    changes: Vec<Vec<Change>>,
    refused: Vec<Refused>,
    /// Corrections that were refused.
    barred: HashSet<Key>,
    /// Corrections that failed together with others: they wait until the others are in.
    held: Vec<Key>,
    /// What the first audit offered a fix for, so that a person could decide.
    announced: HashSet<Fault>,
    /// All texts as they were in earlier rounds, by hash: coming back to one would go round forever.
    seen: HashSet<u64>,
}

/// What a correction is known by from one round to the next, when its place has moved.
type Key = (&'static str, FileId, String, Vec<String>);

/// What a fault is known by when its figures have changed.
type Fault = (&'static str, FileId, String);

fn fault(finding: &Finding) -> Fault {
    (finding.rule.name, finding.at.file, finding.on.clone())
}

/// The findings whose fix a person decides about.
fn offers(outcome: &Outcome) -> impl Iterator<Item = &Finding> {
    let findings = outcome.findings.iter().filter(|one| one.waived.is_none());
    findings.filter(|one| one.correction.as_ref().is_some_and(|fix| !fix.sure))
}

impl State {
    fn round(
        &mut self,
        outcome: &Outcome,
        audit: &dyn Fn(Vec<Input>) -> Outcome,
        scope: Scope,
    ) -> Round {
        let mut texts: Vec<Replacements> = Vec::new();
        texts.resize_with(self.inputs.len(), Replacements::default);
        let mut chosen: Vec<(&Finding, &Correction)> = Vec::new();
        for finding in &outcome.findings {
            let Some(correction) = self.wanted(outcome, finding, scope) else {
                continue;
            };
            let made: Vec<(usize, Replacement)> =
                correction.edits.iter().map(replacement).collect();
            if made.iter().all(|(text, one)| texts[*text].takes(one)) {
                for (text, one) in made {
                    texts[text].add(one);
                }
                chosen.push((finding, correction));
            }
        }
        if chosen.is_empty() {
            return Round::Nothing;
        }
        let mut inputs = self.inputs.clone();
        for (input, replacements) in inputs.iter_mut().zip(&texts) {
            input.bytes = replacements.apply(&input.bytes);
        }
        let state = hash(&inputs);
        if self.seen.contains(&state) {
            return Round::Nothing;
        }
        let after = audit(inputs.clone());
        let refused = refused(outcome, &after, &texts, &chosen);
        if !refused.is_empty() {
            for (finding, correction, why) in refused {
                let key = key(outcome, finding, correction);
                // Another correction may be what makes it fail: a depth and an area that are lowered at once.
                if chosen.len() > 1 {
                    self.held.push(key);
                } else if self.barred.insert(key) {
                    self.refused.push(Refused {
                        rule: finding.rule.name,
                        path: outcome.sources.get(finding.at.file).name().to_string(),
                        line: outcome.sources.position(finding.at).line,
                        says: correction.says.clone(),
                        why,
                    });
                }
            }
            return Round::Refused;
        }
        for (finding, correction) in chosen {
            for edit in &correction.edits {
                let text = edit.at.file.0 as usize;
                let moved = texts[text].moved(&edit.at.range());
                let change = Change {
                    rule: finding.rule.name,
                    on: finding.on.clone(),
                    line: after.sources.get(edit.at.file).position(moved.start).line,
                    was: outcome.sources.slice(edit.at).to_string(),
                    is: edit.with.clone(),
                    sure: correction.sure,
                };
                if !self.changes[text].contains(&change) {
                    self.changes[text].push(change);
                }
            }
        }
        self.seen.insert(state);
        self.held.clear();
        self.inputs = inputs;
        Round::Applied(Box::new(after))
    }

    fn is_out(&self, key: &Key) -> bool {
        self.barred.contains(key) || self.held.contains(key)
    }

    /// The correction of a finding, if it is to be applied.
    fn wanted<'f>(
        &self,
        outcome: &Outcome,
        finding: &'f Finding,
        scope: Scope,
    ) -> Option<&'f Correction> {
        let correction = finding.correction.as_ref()?;
        let mut edits = correction.edits.iter();
        let wanted = finding.waived.is_none()
            && (correction.sure
                || scope == Scope::Offered && self.announced.contains(&fault(finding)))
            && !self.is_out(&key(outcome, finding, correction))
            && edits.all(|edit| !self.inputs[edit.at.file.0 as usize].borrowed);
        let changes = || {
            let mut edits = correction.edits.iter();
            edits.any(|edit| outcome.sources.slice(edit.at) != edit.with)
        };
        (wanted && changes()).then_some(correction)
    }
}

fn replacement(edit: &crate::finding::Edit) -> (usize, Replacement) {
    let one = Replacement {
        at: edit.at.range(),
        with: edit.with.clone().into_bytes(),
    };
    (edit.at.file.0 as usize, one)
}

fn key(outcome: &Outcome, finding: &Finding, correction: &Correction) -> Key {
    let edits = correction.edits.iter();
    let edits = edits.flat_map(|edit| {
        let was = outcome.sources.slice(edit.at).to_string();
        [was, edit.with.clone()]
    });
    (
        finding.rule.name,
        finding.at.file,
        finding.on.clone(),
        edits.collect(),
    )
}

fn hash(inputs: &[Input]) -> u64 {
    use std::hash::Hasher;
    let mut hasher = fnv::FnvHasher::default();
    for input in inputs {
        hasher.write(&input.bytes);
        hasher.write_usize(input.bytes.len());
    }
    hasher.finish()
}

/// The corrections of a round that didn't do what they were for.
fn refused<'f>(
    before: &Outcome,
    after: &Outcome,
    texts: &[Replacements],
    chosen: &[(&'f Finding, &'f Correction)],
) -> Vec<(&'f Finding, &'f Correction, Refusal)> {
    let mut refused = Vec::new();
    for &(finding, correction) in chosen {
        let worse = |file: FileId| syntax(after, file) > syntax(before, file);
        if correction.edits.iter().any(|edit| worse(edit.at.file)) {
            refused.push((finding, correction, Refusal::Unreadable));
            continue;
        }
        let at = finding.at;
        let moved = texts[at.file.0 as usize].moved(&at.range());
        let same = |other: &&Finding| other.rule == finding.rule && other.waived.is_none();
        // Two faults of one value may have one correction, and both must be gone.
        let count = |outcome: &Outcome, at: Span| {
            let found = outcome.findings.iter().filter(same);
            found.filter(|one| touch(one.at, at)).count()
        };
        let mended = chosen
            .iter()
            .filter(|(other, _)| other.rule == finding.rule && touch(other.at, at));
        let place = Span::new(at.file, moved.start, moved.end);
        if count(after, place) + mended.count() > count(before, at) {
            refused.push((finding, correction, Refusal::StillThere));
        }
    }
    refused
}

/// How many faults of the text itself a file has.
fn syntax(outcome: &Outcome, file: FileId) -> usize {
    let findings = outcome.findings.iter();
    let findings = findings.filter(|one| one.at.file == file && one.rule.family() == "syntax");
    findings.count()
}

/// Whether two places share a byte, or are the same empty place.
fn touch(a: Span, b: Span) -> bool {
    let share = |a: Range<usize>, b: Range<usize>| a.start < b.end && b.start < a.end;
    a.file == b.file && (a == b || share(a.range(), b.range()))
}
