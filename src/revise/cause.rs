//! Which changed facts account for a verdict: found by trying.
//!
//! A package and all it rests on are written down as they were, with only some of the changes made, and
//! judged again. First each changed thing is tried by itself. If none of them gives the new verdict, those
//! without which it still comes about are taken out of the whole, one after another, until each one left is
//! needed. Then the same is done fact by fact within what was found. So a set that is named is one that
//! nothing can be taken out of; where several single ones do, all of them are named.
//!
//! The old facts as written down have to give the old verdict, and with all changes the new one; else nothing
//! is said to be the cause.

use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::fmt::Write;
use std::rc::Rc;

use crate::catalog;
use crate::claims::{self, Claim, Verdict};
use crate::derive::Derived;
use crate::document;
use crate::engine::{self, Input, Options};
use crate::finding::{Finding, Level};
use crate::text::{FileId, Source};

use super::edition::{Edition, HEAD, rests_on};
use super::facts::{Fact, with};
use super::value::Value;
use super::verdicts::{Standing, VerdictChange};
use super::{Thing, ThingChange};

/// The most trials for all packages together.
const TRIALS: usize = 20_000;
/// The most trials for one package.
const TRIALS_OF_ONE: usize = 400;
/// The most ways to account for one verdict that are named.
const MOST_WAYS: usize = 8;

/// A changed fact, or a changed thing as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Part {
    /// The number of the changed thing.
    pub thing: usize,
    /// The number of its fact; nothing for a thing that came or went.
    pub fact: Option<usize>,
}

/// What accounts for a verdict.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Cause {
    /// The changes of one of these sets, made by themselves, give the new verdict. There is mostly one set, of
    /// one change; each set is such that none of it can be left out.
    Found(Vec<Vec<Part>>),
    /// These changed things have to do with it, but there were too many to try.
    TooMany(Vec<usize>),
    /// These changed things have to do with it. What was tried didn't come to the verdicts that were given.
    Unknown(Vec<usize>),
}

impl Cause {
    /// The changed things that it names, by number.
    pub fn things(&self) -> BTreeSet<usize> {
        match self {
            Cause::Found(ways) => ways.iter().flatten().map(|part| part.thing).collect(),
            Cause::TooMany(things) | Cause::Unknown(things) => things.iter().copied().collect(),
        }
    }
}

/// Two states of a catalog and what differs.
pub(super) struct TwoStates<'r> {
    pub editions: [&'r Edition; 2],
    /// The changed things by name; those that came or went, or differ in some fact.
    pub changed: BTreeMap<&'r str, usize>,
    pub things: &'r [Thing],
    /// The run's verdicts, old and new.
    pub verdicts: [&'r [Verdict]; 2],
    /// The run's findings, old and new.
    pub findings: [&'r [Finding]; 2],
    /// What trials are judged with.
    pub options: &'r Options,
}

/// What is to be accounted for.
pub(super) enum Target<'r> {
    /// The verdict on a claim.
    Verdict(&'r VerdictChange),
    /// The findings of a rule about a thing or one of its options: their levels before and now.
    Finding {
        /// The rule's name.
        rule: &'static str,
        /// What it is about.
        on: String,
        /// The levels of before.
        was: Vec<Level>,
        /// The levels of now.
        is: Vec<Level>,
    },
}

/// The levels of findings by rule and by what they are about.
pub(super) type Heard = HashMap<(&'static str, String), Vec<Level>>;

/// The findings of a run, those of an old one under the names that `now` gives.
pub(super) fn heard(findings: &[Finding], now: impl Fn(&str) -> String) -> Heard {
    let mut heard = Heard::new();
    for one in findings {
        let of = heard.entry((one.rule.name, now(&one.on)));
        of.or_default().push(one.level);
    }
    heard.values_mut().for_each(|levels| levels.sort_unstable());
    heard
}

/// How many trials each of `packages` packages may take.
pub(super) fn allowance(packages: usize) -> usize {
    (TRIALS / packages.max(1)).min(TRIALS_OF_ONE)
}

/// The changed things that a package rests on, those that count for all among them.
pub(super) fn changed_under(pair: &TwoStates, package: &str) -> Vec<usize> {
    let names = rests_on(pair.editions, package);
    let changed = pair.changed.iter();
    changed
        .filter(|(on, _)| names.contains(*on) || HEAD.contains(on))
        .map(|(_, thing)| *thing)
        .collect()
}

/// The cause of each of `targets`, which are about one package; and how many trials it took.
pub(super) fn find(
    pair: &TwoStates,
    package: &str,
    targets: &[Target],
    allowed: usize,
) -> (Vec<Cause>, usize) {
    let on = format!("package.{package}");
    let things = changed_under(pair, &on);
    // What came or went as a whole has one cause.
    let whole = pair.changed.get(on.as_str()).copied();
    if let Some(thing) = whole.filter(|thing| pair.things[*thing].change.is_whole()) {
        let cause = Cause::Found(vec![vec![Part { thing, fact: None }]]);
        return (vec![cause; targets.len()], 0);
    }
    let mut bench = Bench {
        pair,
        names: rests_on(pair.editions, &on),
        package,
        claims: HashMap::new(),
        audits: HashMap::new(),
        left: allowed,
    };
    let causes = targets.iter().map(|target| bench.cause(target, &things));
    let causes = causes.collect();
    (causes, allowed - bench.left)
}

/// A claim's verdict as far as it matters here.
type Stand = (Claim, Option<String>, String, Standing);

/// What a trial came to, by the parts that were changed in it.
type Tried<T> = HashMap<Vec<Part>, Rc<T>>;

/// What was tried of one package.
struct Bench<'b> {
    pair: &'b TwoStates<'b>,
    names: BTreeSet<&'b str>,
    package: &'b str,
    /// Claims alone, which is most of what is asked and the quicker.
    claims: Tried<Vec<Stand>>,
    /// Whole audits.
    audits: Tried<Heard>,
    left: usize,
}

/// There are no trials left.
struct Spent;

impl Bench<'_> {
    fn parts(&self, thing: usize) -> Vec<Part> {
        let facts = &self.pair.things[thing].facts;
        match self.pair.things[thing].change {
            ThingChange::Added | ThingChange::Removed => vec![Part { thing, fact: None }],
            _ => (0..facts.len())
                .map(|fact| Part {
                    thing,
                    fact: Some(fact),
                })
                .collect(),
        }
    }

    fn cause(&mut self, target: &Target, things: &[usize]) -> Cause {
        match self.search(target, things) {
            Ok(Some(ways)) => Cause::Found(ways),
            Ok(None) => Cause::Unknown(things.to_vec()),
            Err(Spent) => Cause::TooMany(things.to_vec()),
        }
    }

    /// The ways to account for a change; nothing where trials don't come to what was judged.
    fn search(
        &mut self,
        target: &Target,
        things: &[usize],
    ) -> Result<Option<Vec<Vec<Part>>>, Spent> {
        let all: Vec<Part> = things.iter().flat_map(|one| self.parts(*one)).collect();
        if !self.begins(target)? || !self.reaches(target, &all)? {
            return Ok(None);
        }
        // Where not even each by itself can be tried, none is.
        if things.len() > self.left {
            return Err(Spent);
        }
        let mut ways = Vec::new();
        for &thing in things {
            let parts = self.parts(thing);
            if self.reaches(target, &parts)? {
                ways.extend(self.within(target, parts)?);
            }
        }
        if ways.is_empty() {
            let needed = self.needed(target, things, |bench, thing| bench.parts(*thing))?;
            let parts = needed.iter().flat_map(|one| self.parts(*one)).collect();
            ways.extend(self.within(target, parts)?);
        }
        ways.truncate(MOST_WAYS);
        Ok(Some(ways))
    }

    /// The single ones of `parts` that account for a change, else one set of them that does.
    fn within(&mut self, target: &Target, parts: Vec<Part>) -> Result<Vec<Vec<Part>>, Spent> {
        if let [_] = parts[..] {
            return Ok(vec![parts]);
        }
        let mut ways = Vec::new();
        for &part in &parts {
            if self.reaches(target, &[part])? {
                ways.push(vec![part]);
            }
        }
        if ways.is_empty() {
            ways.push(self.needed(target, &parts, |_, part| vec![*part])?);
        }
        Ok(ways)
    }

    /// Those of `items` that are left when each without which the change still comes about is taken out.
    fn needed<T: Copy + PartialEq>(
        &mut self,
        target: &Target,
        items: &[T],
        parts: impl Fn(&Self, &T) -> Vec<Part>,
    ) -> Result<Vec<T>, Spent> {
        let mut needed = items.to_vec();
        for item in items {
            let rest: Vec<T> = needed.iter().copied().filter(|one| one != item).collect();
            let some: Vec<Part> = rest.iter().flat_map(|one| parts(self, one)).collect();
            if self.reaches(target, &some)? {
                needed = rest;
            }
        }
        Ok(needed)
    }

    /// Whether it is as it is now when only those parts are changed.
    fn reaches(&mut self, target: &Target, parts: &[Part]) -> Result<bool, Spent> {
        Ok(match target {
            Target::Verdict(change) => {
                let judged = self.judge(parts)?;
                self.stands(change, &judged)
            }
            Target::Finding { rule, on, is, .. } => self.levels(rule, on, parts)? == *is,
        })
    }

    /// Whether it is as it was when nothing is changed: only then do trials say something about it.
    fn begins(&mut self, target: &Target) -> Result<bool, Spent> {
        Ok(match target {
            Target::Verdict(_) => !self.reaches(target, &[])?,
            Target::Finding { rule, on, was, is } => {
                was != is && self.levels(rule, on, &[])? == *was
            }
        })
    }

    /// The levels of a rule's findings about something when only those parts are changed.
    fn levels(
        &mut self,
        rule: &'static str,
        on: &str,
        parts: &[Part],
    ) -> Result<Vec<Level>, Spent> {
        let heard = self.audit(parts)?;
        let here = heard.get(&(rule, on.to_string()));
        Ok(here.cloned().unwrap_or_default())
    }

    fn stands(&self, change: &VerdictChange, judged: &[Stand]) -> bool {
        let [old, new] = self.pair.verdicts;
        let was = change.was.and_then(|place| old.get(place));
        let is = change.is.and_then(|place| new.get(place));
        let as_stated = |wanted: Option<&Verdict>| {
            let wanted = wanted?;
            let mut same = judged.iter().filter(|(claim, option, stated, _)| {
                *claim == wanted.claim && *option == wanted.option && *stated == wanted.stated
            });
            same.next().map(|(.., standing)| *standing)
        };
        match (was, is) {
            (Some(_), Some(is)) => {
                // With the claim as it is stated now, else as it was.
                let standing = as_stated(Some(is)).or_else(|| as_stated(was));
                standing == Some(Standing::of(is))
            }
            (None, Some(is)) => as_stated(Some(is)) == Some(Standing::of(is)),
            _ => as_stated(was).is_none(),
        }
    }

    fn judge(&mut self, parts: &[Part]) -> Result<Rc<Vec<Stand>>, Spent> {
        let parts = sorted(parts);
        if let Some(judged) = self.claims.get(&parts) {
            return Ok(judged.clone());
        }
        self.left = self.left.checked_sub(1).ok_or(Spent)?;
        let judged = Rc::new(judge(&self.written(&parts), self.package));
        self.claims.insert(parts, judged.clone());
        Ok(judged)
    }

    fn audit(&mut self, parts: &[Part]) -> Result<Rc<Heard>, Spent> {
        let parts = sorted(parts);
        if let Some(heard) = self.audits.get(&parts) {
            return Ok(heard.clone());
        }
        self.left = self.left.checked_sub(1).ok_or(Spent)?;
        let heard = Rc::new(audit(self.written(&parts), self.pair.options));
        self.audits.insert(parts, heard.clone());
        Ok(heard)
    }

    /// The package and what it rests on, as they were but for those parts.
    fn written(&self, parts: &[Part]) -> String {
        let mut text = String::new();
        let [old, _] = self.pair.editions;
        for on in HEAD.iter().chain(&self.names) {
            let was = old.things.get(*on).map(|stated| &stated.value);
            let changed = self.pair.changed.get(on).copied();
            let mut chosen = parts.iter().filter(|part| Some(part.thing) == changed);
            let whole = chosen.clone().any(|part| part.fact.is_none());
            let value = match (was, changed) {
                (Some(_), Some(_)) if whole => None,
                (None, Some(_)) if whole => {
                    let [_, new] = self.pair.editions;
                    new.things.get(*on).map(|stated| stated.value.clone())
                }
                (Some(was), Some(thing)) => {
                    let facts = &self.pair.things[thing].facts;
                    let chosen: Vec<&Fact> = chosen
                        .by_ref()
                        .filter_map(|part| facts.get(part.fact?))
                        .collect();
                    Some(with(was, chosen))
                }
                (was, _) => was.cloned(),
            };
            if let Some(value) = value {
                put(on, &value, &mut text);
            }
        }
        text
    }
}

/// Writes a thing as a table with a header.
fn put(on: &str, value: &Value, text: &mut String) {
    let Value::Table(entries, _) = value else {
        return;
    };
    // Writing to a string can't fail.
    let _ = match on.split_once('.') {
        Some((kind, id)) => writeln!(text, "[{kind}.{}]", quoted(id)),
        None => writeln!(text, "[{on}]"),
    };
    for (key, value) in entries {
        // All of it stands in one text.
        if on == "catalog" && ["files", "exclude", "parts"].contains(&key.as_str()) {
            continue;
        }
        let _ = write!(text, "{} = ", quoted(key));
        value.write(text);
        text.push('\n');
    }
}

fn quoted(key: &str) -> String {
    let mut text = String::new();
    super::value::string(key, &mut text);
    text
}

fn sorted(parts: &[Part]) -> Vec<Part> {
    let mut parts = parts.to_vec();
    parts.sort_unstable();
    parts
}

/// The verdicts on a package's claims, as they are written.
fn judge(text: &str, package: &str) -> Vec<Stand> {
    let source = Source::new("trial.toml", text.into());
    let documents = [document::read(FileId(0), &source)];
    let file = catalog::File {
        path: "trial.toml".into(),
        alone: true,
        borrowed: false,
    };
    let gathered = catalog::gather(&[file], &documents);
    let mut judged = Vec::new();
    for catalog in &gathered.catalogs {
        let derived = Derived::of(catalog);
        if let Some(facts) = derived.package(package) {
            let verdicts = claims::judge(catalog, &derived, facts);
            judged.extend(verdicts.iter().map(|one| {
                let standing = Standing::of(one);
                (one.claim, one.option.clone(), one.stated.clone(), standing)
            }));
        }
    }
    judged
}

/// The findings on what is written.
fn audit(text: String, options: &Options) -> Heard {
    let input = Input {
        path: "trial.toml".into(),
        bytes: text.into(),
        alone: true,
        borrowed: false,
    };
    let outcome = engine::audit(vec![input], options);
    heard(&outcome.findings, str::to_string)
}
