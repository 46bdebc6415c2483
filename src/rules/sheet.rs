//! What a page of marketing text says, held to the catalog and to the physics.
//!
//! A page is judged in two steps. [`about`] takes what it says of one thing: the engine has judged its figures as
//! promises of the catalog's package, or of a package of the page's figures alone. [`page`] takes what the page says
//! as a whole: words about outcomes, conditions that stand nowhere, what couldn't be read.

use std::collections::BTreeMap;

use crate::claims::{Claim as Promise, Outcome, Verdict};
use crate::finding::{Correction, Evidence, Finding, Level, Rule};
use crate::spec_sheet::{Attribute, Claim, Sheet, Sureness};
use crate::text::{FileId, Span};
use crate::units::Mark;

use super::{Context, Family};

mod against;
mod conditions;
mod listings;
mod prose;
mod unread;
mod wording;

pub use against::Own;
pub use unread::failed;

static RULES: &[Rule] = &[
    CONTRADICTS,
    CONDITION_MISSING,
    UNIT,
    CLAIM,
    ABSOLUTE,
    UNBOUND,
    STALE,
    UNREADABLE,
    UNREAD,
    COPY_DIFFERS,
];

const CONTRADICTS: Rule = Rule {
    name: "sheet.contradicts-catalog",
    level: Level::Error,
    speaks: "a figure of the text that isn't the catalog's",
};
const CONDITION_MISSING: Rule = Rule {
    name: "sheet.condition-missing",
    level: Level::Warning,
    speaks: "a flow without pressure or depth, a level without distance, a cost without tariff or hours, an area without depth",
};
const UNIT: Rule = Rule {
    name: "sheet.unit",
    level: Level::Error,
    speaks: "two listings of one figure in the text that differ",
};
const CLAIM: Rule = Rule {
    name: "sheet.claim",
    level: Level::Error,
    speaks: "a promise that stands in the text alone and that the physics contradicts",
};
const ABSOLUTE: Rule = Rule {
    name: "sheet.absolute-wording",
    level: Level::Warning,
    speaks: "an outcome promised without any exception, which nobody can promise",
};
const UNBOUND: Rule = Rule {
    name: "sheet.unbound",
    level: Level::Note,
    speaks: "a sheet of no package, judged on its own figures",
};
const STALE: Rule = Rule {
    name: "sheet.stale",
    level: Level::Warning,
    speaks: "a figure that the catalog had before a change, and has no more",
};
const UNREADABLE: Rule = Rule {
    name: "sheet.unreadable",
    level: Level::Error,
    speaks: "a sheet that is damaged, encrypted or larger than the limits",
};
const UNREAD: Rule = Rule {
    name: "sheet.unread",
    level: Level::Note,
    speaks: "parts of a sheet that nobody has read: pictures without words, another language",
};
const COPY_DIFFERS: Rule = Rule {
    name: "sheet.copy-differs",
    level: Level::Error,
    speaks: "a kept copy that isn't the one whose hash its entry holds",
};

pub(super) const FAMILY: Family = Family {
    name: "sheet",
    rules: RULES,
    page: include_str!("sheet.md"),
    // Sheets are read beside the catalogs; the engine hands each to `about` and `page`.
    check: |_, _| {},
};

/// A sheet as the rules see it.
pub struct Page<'a> {
    /// Its text.
    pub file: FileId,
    /// What was read of it.
    pub sheet: &'a Sheet,
    /// The package that it is bound to.
    pub package: Option<&'a str>,
    /// The package that it is said to be about, and that no catalog has; where that is said.
    pub unknown: Option<(&'a str, Option<Span>)>,
    /// What its entry says it is: `web-page`, `price-list`, …
    pub kind: Option<&'a str>,
    /// The market its entry names.
    pub market: Option<&'a str>,
    /// The hash that its entry holds and the one that it has, where they differ.
    pub copy: Option<(&'a str, &'a str, Span)>,
    /// Levels and words are this catalog's or its own.
    pub first: Span,
}

impl Page<'_> {
    /// The place of a claim.
    fn at(&self, claim: &Claim) -> Span {
        Span::new(self.file, claim.at.start, claim.at.end)
    }
}

/// What a sheet says of one thing, with what the engine makes of it.
pub struct Said<'a> {
    /// The sheet.
    pub page: &'a Page<'a>,
    /// Its claims about the thing.
    pub claims: Vec<&'a Claim>,
    /// The figures as promises of a package: of the catalog's, or of as many as the page could mean.
    pub contexts: Vec<Context<'a>>,
    /// The catalog's package with its own promises, where there is one.
    pub own: Option<Own<'a>>,
    /// The figures that the catalog's package had before a change, where an earlier state is given.
    pub before: Option<Own<'a>>,
}

/// Families that judge a sheet's figures as they judge a catalog's.
const FAMILIES: [&str; 4] = ["unit", "power", "sound", "claim"];
/// Rules of theirs that ask about a catalog's keys, or whose question a rule of this family asks.
const OTHERS: [&str; 5] = [
    "sound.no-distance",
    "claim.airline-oversized",
    "claim.unsourced",
    "claim.not-evaluated",
    "unit.listings-disagree",
];

/// What is to be found in what a sheet says of one thing.
pub fn about(said: &Said) -> Vec<Finding> {
    let mut findings = against::speak(said);
    let told: Vec<Span> = findings.iter().map(|finding| finding.at).collect();
    for mut finding in common(said) {
        let claim = said
            .claims
            .iter()
            .copied()
            .find(|claim| said.page.at(claim) == finding.at);
        // What the catalog has too speaks there; what it has otherwise has been told.
        if told.contains(&finding.at) {
            if let Some(first) = findings.iter_mut().find(|first| first.at == finding.at) {
                if finding.rule.name == "unit.slip" {
                    first.mend = format!("{} {}", finding.message, first.mend);
                }
                first.evidence.extend(finding.evidence);
            }
            continue;
        }
        let own = said.own.as_ref().zip(claim);
        if own.is_some_and(|(own, claim)| own.agrees(claim)) {
            continue;
        }
        if finding.rule.family() == "claim" {
            let Some(verdict) = verdict(said, &finding) else {
                continue;
            };
            match (verdict.outcome, said.own.is_some()) {
                (Outcome::Contradicted, is_bound) => {
                    finding.rule = &CLAIM;
                    if !is_bound {
                        finding
                            .message
                            .push_str(" That holds for the best machine these figures allow");
                        finding.message.push_str(&assumed(said, verdict.claim));
                    }
                }
                (Outcome::Undecided, true) if verdict.within_rating == Some(false) => {}
                (Outcome::Undecided, false) if is_beyond_reach(verdict) => {}
                _ => continue,
            }
        }
        in_prose(said, claim, &mut finding);
        findings.push(finding);
    }
    listings::speak(said, &mut findings);
    for finding in &mut findings {
        ask_where_unsure(said, finding);
    }
    prose::whole_or_not(&mut findings);
    conditions::speak(said, &mut findings);
    let on = said.own.as_ref().map(Own::on).unwrap_or_default();
    for finding in &mut findings {
        finding.on.clone_from(&on);
    }
    findings
}

/// What a page doesn't say and was assumed in favour of a promise, as the end of a sentence.
fn assumed(said: &Said, claim: Promise) -> String {
    match left_open(&said.claims, claim).as_slice() {
        [] => ".".to_string(),
        open => format!(
            "; assumed, because the page doesn't say: {}.",
            open.join(", ")
        ),
    }
}

/// Whether a page says how many diffusers there are. Else so many are assumed that figures of each, and of the pond they
/// would serve, are nobody's.
pub fn counts_diffusers(claims: &[&Claim]) -> bool {
    let mut counts = claims.iter();
    counts.any(|claim| claim.attribute == Attribute::DiffuserCount && claim.si.bounds().is_some())
}

/// Whether a page says how much pressure its machine may hold. How deep one of an assumed limit goes is nobody's figure.
pub fn states_limit(claims: &[&Claim]) -> bool {
    claims.iter().any(|claim| claim.is_limit)
}

/// What the claims of a page leave open of what a promise leans on.
pub fn left_open(claims: &[&Claim], claim: Promise) -> Vec<&'static str> {
    let states = |attribute: Attribute| {
        let mut own = claims.iter();
        own.any(|claim| claim.attribute == attribute && claim.si.bounds().is_some())
    };
    let has_limit = states_limit(claims);
    let of_air = !matches!(
        claim,
        Promise::Power | Promise::RunningCost | Promise::Sound
    );
    let of_water = of_air && !matches!(claim, Promise::Depth | Promise::Flow);
    let open = [
        ("the greatest pressure of its machine", of_air && !has_limit),
        ("its air", of_air && !states(Attribute::Flow)),
        ("how many diffusers", of_water && !counts_diffusers(claims)),
        ("its airline", of_air && !states(Attribute::AirlineSize)),
    ];
    open.iter()
        .filter_map(|(what, is_open)| is_open.then_some(*what))
        .collect()
}

/// What is only likely meant of the package accuses nobody: it is asked about.
fn ask_where_unsure(said: &Said, finding: &mut Finding) {
    let stands = |claim: &&&Claim| {
        let at = said.page.at(claim);
        let also = claim.also.as_ref();
        at == finding.at
            || also.is_some_and(|also| {
                (also.at.start, also.at.end) == (finding.at.start as usize, finding.at.end as usize)
            })
    };
    let unsure = said
        .claims
        .iter()
        .find(stands)
        .is_some_and(|claim| claim.sureness != Sureness::Asserted);
    if unsure && finding.level == Level::Error {
        finding.level = Level::Warning;
        finding.message = format!("If this is meant of the package: {}", finding.message);
    }
}

/// A package of a page's figures alone is rated for its area by reach and nothing else.
pub fn is_beyond_reach(verdict: &Verdict) -> bool {
    verdict.claim == crate::claims::Claim::Area
        && verdict.within_rating == Some(false)
        && verdict.deciding().is_some_and(|one| one.name == "reach")
}

/// What all packages that the page could mean have in common, at its mildest and as the most favourable of them has it.
fn common(said: &Said) -> Vec<Finding> {
    let mut lists = said.contexts.iter().map(|context| {
        let mut found = super::check(context);
        found.retain(|finding| {
            finding.at.file == said.page.file
                && !finding.at.is_empty()
                && FAMILIES.contains(&finding.rule.family())
                && !OTHERS.contains(&finding.rule.name)
        });
        (context, found)
    });
    let Some((first, mut common)) = lists.next() else {
        return Vec::new();
    };
    let mut of: Vec<&Context> = vec![first; common.len()];
    for (context, list) in lists {
        let mut mildest: BTreeMap<(Span, &str), &Finding> = BTreeMap::new();
        for finding in &list {
            let key = (finding.at, finding.rule.family());
            let milder = mildest
                .get(&key)
                .is_none_or(|other| finding.level < other.level);
            if milder {
                mildest.insert(key, finding);
            }
        }
        let mut kept = Vec::new();
        for (finding, from) in common.into_iter().zip(of) {
            let Some(&other) = mildest.get(&(finding.at, finding.rule.family())) else {
                continue;
            };
            let favours = || {
                let own = verdict_at(from, finding.at);
                let others = verdict_at(context, other.at);
                others
                    .zip(own)
                    .is_some_and(|(others, own)| others.favours_more_than(own))
            };
            let milder = other.level < finding.level || other.rule == finding.rule && favours();
            kept.push(if milder {
                (other.clone(), context)
            } else {
                (finding, from)
            });
        }
        (common, of) = kept.into_iter().unzip();
    }
    common
}

fn verdict_at<'a>(context: &Context<'a>, at: Span) -> Option<&'a Verdict> {
    let all = context.verdicts.iter().filter(|verdict| verdict.at == at);
    all.reduce(|best, one| {
        if one.favours_more_than(best) {
            one
        } else {
            best
        }
    })
}

/// The verdict on the claim that a finding stands at: of several the most favourable.
fn verdict<'a>(said: &Said<'a>, finding: &Finding) -> Option<&'a Verdict> {
    let all = said
        .contexts
        .iter()
        .filter_map(|context| verdict_at(context, finding.at));
    all.reduce(|best, one| {
        if one.favours_more_than(best) {
            one
        } else {
            best
        }
    })
}

/// Evidence of a package of a page's figures alone: the page states it, or nobody does.
pub fn of_the_page(evidence: &mut Evidence) {
    // What the program filled in stands nowhere.
    if evidence.place.is_some_and(|place| place.is_empty()) {
        evidence.source = Evidence::ASSUMED.into();
        evidence.place = None;
        evidence.mark = Mark::Judgement;
    } else if ["the catalog", "the curve"].contains(&evidence.source.as_ref()) {
        evidence.source = "the text".into();
    }
}

/// What a finding of a figure says of the page alone, and its correction as prose has it.
fn in_prose(said: &Said, claim: Option<&Claim>, finding: &mut Finding) {
    if said.own.is_none() {
        finding.evidence.iter_mut().for_each(of_the_page);
    }
    let edits = finding.correction.take().map(|one| one.edits);
    let edit = edits.as_deref().and_then(|edits| match edits {
        [edit] => prose::edit(said, claim?, edit),
        _ => None,
    });
    if let Some(edit) = edit {
        finding.correction = Some(Correction {
            sure: false,
            says: format!("write {}", edit.with),
            edits: vec![edit],
        });
    }
}

/// What is to be found in a sheet as a whole.
pub fn page(page: &Page, findings: &mut Vec<Finding>) {
    unread::speak(page, findings);
    wording::speak(page, findings);
    if page.package.is_none() {
        findings.push(unbound(page));
    }
    if let Some((held, has, at)) = page.copy {
        findings.push(
            Finding::new(
                &COPY_DIFFERS,
                page.first,
                format!("This copy isn't the one that was captured: its hash is {has}, and its entry holds {held}."),
            )
            .mend("Put the captured file back, or capture the page again and write its day and hash.")
            .related(at, "the hash of the captured copy"),
        );
    }
}

fn unbound(page: &Page) -> Finding {
    let figures = page
        .sheet
        .claims
        .iter()
        .filter(|claim| claim.si.bounds().is_some())
        .count();
    let judged = match figures {
        0 => "and it states no figure that could be judged".to_string(),
        1 => "so its one figure is judged by itself".to_string(),
        many => format!("so its {many} figures are judged by themselves"),
    };
    match page.unknown {
        Some((id, at)) => {
            let finding = Finding::new(
                &UNBOUND,
                page.first,
                format!("It is said to be about package {id}, which no catalog of this run has, {judged}."),
            )
            .mend("Name the catalog on the command line as well, or write the ID the package has.");
            match at {
                Some(at) => finding.related(at, "where the package is named"),
                None => finding,
            }
        }
        None => Finding::new(
            &UNBOUND,
            page.first,
            format!("No package is named that this sheet is about, {judged}."),
        )
        .mend("If a catalog has its package, name it with --package, in a [[sheet]] table of the catalog, or in the sheet itself."),
    }
}

/// What a sentence calls an attribute.
fn name(attribute: Attribute) -> &'static str {
    match attribute {
        Attribute::Cost => "running cost",
        Attribute::Sound => "sound level",
        Attribute::AirlineSize => "size of the airline",
        Attribute::AirlineLength => "length of the airline",
        Attribute::DiffuserCount => "number of diffusers",
        Attribute::WaterFlow => "water moved",
        Attribute::Efficiency => "oxygen taken up",
        Attribute::ServiceInterval => "service interval",
        other => other.as_str(),
    }
}
