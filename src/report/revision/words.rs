//! Sentences about a revision that all formats for people share.

use crate::claims::{Grade, Outcome as Word, Verdict};
use crate::finding::Finding;
use crate::report::order;
use crate::report::promise::Promise;
use crate::report::told::{self, count};
use crate::revise::{
    Cause, Direction, Effect, Fact, FactChange, FindingChange, FindingShift, How, Part, Revision,
    Shift, Standing, State, Thing, ThingChange, VerdictChange,
};
use crate::text::Span;
use crate::units::show::significant;

/// A changed thing.
pub(super) struct ThingText {
    /// Its kind and ID.
    pub heading: String,
    /// Its name for people.
    pub title: Option<String>,
    /// That it came, went or has another name; empty where its facts say all.
    pub says: String,
    /// Where it stands, or stood.
    pub place: String,
    /// Its facts that differ.
    pub facts: Vec<FactText>,
}

/// A changed fact.
pub(super) struct FactText {
    /// Its keys.
    pub key: String,
    /// What was written and is.
    pub says: String,
    /// By how much a number grew, or that only the writing is another; may be empty.
    pub growth: String,
    /// Where it stands, or stood.
    pub place: String,
}

/// A verdict that differs.
pub(super) struct VerdictText {
    /// The package.
    pub package: String,
    /// The claim as it is stated, or was.
    pub promise: String,
    /// The verdict as it was.
    pub was: Option<Grade>,
    /// The verdict as it is.
    pub is: Option<Grade>,
    /// The claim's figures before and now, and what decides.
    pub figures: String,
    /// Which of the changed facts did it, where there are several; may be empty.
    pub by: String,
    /// Which way it moved.
    pub direction: Direction,
}

/// A finding that differs.
pub(super) struct FindingText<'r> {
    /// What became of it.
    pub shift: FindingShift,
    /// It.
    pub finding: &'r Finding,
    /// What became of it and how grave it is: `new error`.
    pub label: String,
    /// What is wrong, with what it is about.
    pub message: String,
    /// The verdict that it is about, where that stands beside it: then the message says it once more.
    pub about: Option<String>,
    /// File, line, column and rule.
    pub place: String,
}

/// What some changes did.
pub(super) struct EffectText<'r> {
    /// The changes.
    pub things: Vec<ThingText>,
    /// What they did, as a sentence; empty where they did nothing.
    pub says: String,
    /// The verdicts that differ by them.
    pub verdicts: Vec<VerdictText>,
    /// The findings that have to do with them.
    pub findings: Vec<FindingText<'r>>,
}

/// What the report is headed with.
pub(super) fn title(revision: &Revision) -> String {
    format!(
        "What changed from {} to {}",
        revision.old.name, revision.new.name
    )
}

/// Files that can be read only in part, as sentences.
pub(super) fn unread(revision: &Revision) -> Vec<String> {
    let of = |state: &State| -> Vec<String> {
        let files = state.unread.iter().map(|(file, problems)| {
            let path = state.outcome.sources.get(*file).name();
            let places = count(*problems, "place", "places");
            format!(
                "{path} can't be read at {places} in {}: it is compared as far as it was understood.",
                state.name
            )
        });
        files.collect()
    };
    [of(&revision.old), of(&revision.new)].concat()
}

/// What changed, in the order of the revision's effects.
pub(super) fn effects(revision: &Revision) -> Vec<EffectText<'_>> {
    let one = |effect: &Effect| {
        let things = effect.things.iter().map(|&place| {
            let thing = &revision.things[place];
            thing_text(revision, thing)
        });
        let changes: Vec<&VerdictChange> = effect
            .verdicts
            .iter()
            .map(|&place| &revision.verdicts[place])
            .collect();
        let findings = effect.findings.iter().filter_map(|&place| {
            let change = &revision.findings[place];
            finding_text(revision, change, &changes)
        });
        EffectText {
            things: things.collect(),
            says: says(revision, effect, &changes),
            verdicts: changes
                .iter()
                .map(|change| verdict_text(revision, change, Some(effect)))
                .collect(),
            findings: findings.collect(),
        }
    };
    revision.effects.iter().map(one).collect()
}

/// Claims that keep their verdicts with other figures.
pub(super) fn figures(revision: &Revision) -> Vec<VerdictText> {
    let all = revision.verdicts.iter();
    all.filter(|one| one.shift == Shift::Figures)
        .map(|one| verdict_text(revision, one, None))
        .collect()
}

/// The counts, in sentences.
pub(super) fn summary(revision: &Revision) -> String {
    if revision.is_empty() {
        return format!(
            "Nothing changed from {} to {}: no fact, no verdict and no finding.",
            revision.old.name, revision.new.name
        );
    }
    let facts: usize = revision
        .things
        .iter()
        .map(|thing| {
            thing
                .facts
                .iter()
                .filter(|fact| fact.change != FactChange::Rewritten)
                .count()
        })
        .sum();
    let rewritten: usize = revision
        .things
        .iter()
        .map(|thing| {
            thing
                .facts
                .iter()
                .filter(|fact| fact.change == FactChange::Rewritten)
                .count()
        })
        .sum();
    let of = |change: ThingChange| {
        revision
            .things
            .iter()
            .filter(|one| one.change == change)
            .count()
    };
    let mut parts = vec![count(facts, "fact changed", "facts changed")];
    for (number, words) in [
        (rewritten, "written otherwise with the same value"),
        (of(ThingChange::Added), "added"),
        (of(ThingChange::Removed), "removed"),
        (of(ThingChange::Renamed), "renamed"),
    ] {
        if number > 0 {
            parts.push(format!("{number} {words}"));
        }
    }
    let mut text = format!("{}.", parts.join(", "));
    let (worse, better) = (
        revision.moved(Direction::Worse),
        revision.moved(Direction::Better),
    );
    let neither = revision.moved(Direction::Neither);
    if worse + better + neither == 0 {
        let kept = count(
            revision.kept,
            "promise kept its grade",
            "promises kept their grades",
        );
        text.push_str(&match revision.kept {
            0 => " There are no promises".to_string(),
            1 => format!(" The {kept}"),
            _ => format!(" All {kept}"),
        });
    } else {
        text.push_str(&format!(
            " {} got worse, {better} got better",
            count(worse, "promise of the catalogs", "promises of the catalogs")
        ));
        if neither > 0 {
            text.push_str(&format!(
                ", {neither} came, went or can no longer be judged"
            ));
        }
        text.push_str(&format!(" and {} kept their grades", revision.kept));
    }
    let moved = revision.verdicts.iter();
    let moved = moved.filter(|one| one.shift == Shift::Figures).count();
    if moved > 0 {
        text.push_str(&format!(" ({moved} with other figures)"));
    }
    let found = |shift: FindingShift| {
        let all = revision.findings.iter();
        all.filter(|one| one.shift == shift).count()
    };
    text.push_str(&format!(
        ". Findings: {} new, {} gone",
        found(FindingShift::New),
        found(FindingShift::Gone)
    ));
    for (shift, word) in [
        (FindingShift::Graver, "more severe"),
        (FindingShift::Milder, "less severe"),
        (FindingShift::Restated, "about another figure"),
    ] {
        if found(shift) > 0 {
            text.push_str(&format!(", {} {word}", found(shift)));
        }
    }
    text.push('.');
    let outcome = &revision.new.outcome;
    if let Some(day) = &outcome.as_of {
        text.push_str(&format!(" Waivers are as of {day}."));
    }
    text
}

fn thing_text(revision: &Revision, thing: &Thing) -> ThingText {
    let says = match (thing.change, &thing.was_on) {
        (ThingChange::Added, _) => "new".to_string(),
        (ThingChange::Removed, _) => "gone".to_string(),
        (ThingChange::Renamed, Some(was)) => {
            let id = was.split_once('.').map_or(was.as_str(), |(_, id)| id);
            if thing
                .facts
                .iter()
                .all(|fact| fact.change == FactChange::Rewritten)
            {
                format!("renamed: the same facts under another ID, {id} before")
            } else {
                format!("taken for {id} renamed, since most of its facts are the same")
            }
        }
        _ => String::new(),
    };
    ThingText {
        heading: heading(&thing.on),
        title: thing.title.clone(),
        says,
        place: place(revision, thing.was_at, thing.is_at),
        facts: thing
            .facts
            .iter()
            .map(|fact| fact_text(revision, fact))
            .collect(),
    }
}

/// A thing as a heading has it.
pub(super) fn heading(on: &str) -> String {
    if on.starts_with("waiver ") || on.starts_with("sheet ") {
        return on.to_string();
    }
    order::heading(on)
}

fn place(revision: &Revision, was: Option<Span>, is: Option<Span>) -> String {
    let told = |state: &State, at: Span| {
        let sources = &state.outcome.sources;
        let line = sources.position(at).line;
        format!("{}, line {line}", sources.get(at.file).name())
    };
    match (was, is) {
        (_, Some(at)) => told(&revision.new, at),
        (Some(at), None) => format!("{} before", told(&revision.old, at)),
        (None, None) => String::new(),
    }
}

fn fact_text(revision: &Revision, fact: &Fact) -> FactText {
    let written = |one: &Option<(String, Span)>| one.as_ref().map(|(text, _)| text.clone());
    let at = |one: &Option<(String, Span)>| one.as_ref().map(|(_, at)| *at);
    let says = match (written(&fact.was), written(&fact.is)) {
        (Some(was), Some(is)) => format!("{was} → {is}"),
        (None, Some(is)) => format!("{is} (new)"),
        (Some(was), None) => format!("{was} (gone)"),
        (None, None) => String::new(),
    };
    let growth = match (fact.change, fact.growth) {
        (FactChange::Rewritten, _) => "the same value".to_string(),
        (_, Some(growth)) => grown(growth),
        _ => String::new(),
    };
    FactText {
        key: fact.key.clone(),
        says,
        growth,
        place: place(revision, at(&fact.was), at(&fact.is)),
    }
}

/// By how much a number grew, in words.
fn grown(growth: f64) -> String {
    if growth >= 1.0 {
        return format!("{} times", significant(growth + 1.0, 3));
    }
    let share = significant(100.0 * growth.abs(), 3);
    let sign = if growth < 0.0 { "-" } else { "+" };
    format!("{sign}{share} %")
}

/// A verdict as a reader takes it.
fn verdict_text(
    revision: &Revision,
    change: &VerdictChange,
    effect: Option<&Effect>,
) -> VerdictText {
    let was = change
        .was
        .and_then(|place| revision.old.outcome.verdicts.get(place));
    let is = change
        .is
        .and_then(|place| revision.new.outcome.verdicts.get(place));
    let stated = |one: &Verdict| {
        let promise = Promise::of(one);
        format!("{} {}", promise.claim, promise.stated)
    };
    let promise = match (was, is) {
        (Some(was), Some(is)) if was.stated != is.stated => {
            format!("{} ({} before)", stated(is), was.stated)
        }
        (was, is) => is.or(was).map(stated).unwrap_or_default(),
    };
    VerdictText {
        package: change.package.clone(),
        promise,
        was: was.map(Verdict::grade),
        is: is.map(Verdict::grade),
        figures: figures_of(was, is),
        by: by(revision, change, effect),
        direction: change.direction,
    }
}

/// The figures before and now, and what decides now.
fn figures_of(was: Option<&Verdict>, is: Option<&Verdict>) -> String {
    let (was, is) = (was.map(Promise::of), is.map(Promise::of));
    let (Some(was), Some(is)) = (&was, &is) else {
        return is.or(was).map(|one| one.gives()).unwrap_or_default();
    };
    // Where there are figures on one side only, they stand together.
    let without = |one: &Promise| Promise {
        why: String::new(),
        ..one.clone()
    };
    match (was.outcome, is.outcome) {
        (Word::NotEvaluated, Word::NotEvaluated) => return is.why.clone(),
        (_, Word::NotEvaluated) => {
            let was = without(was).gives();
            return format!("{} before; now {}", was.trim_end_matches("; "), is.why);
        }
        (Word::NotEvaluated, _) => return format!("{}; before {}", is.gives(), was.why),
        _ => {}
    }
    let mut parts = Vec::new();
    let both = |name: &str, was: &str, is: &str| -> Option<String> {
        match (was, is) {
            ("", "") => None,
            (was, is) if was == is => Some(format!("{name} {is} as before")),
            ("", is) => Some(format!("{name} {is}, not known before")),
            (was, "") => Some(format!("{name} {was} before, not known now")),
            (was, is) => Some(format!("{name} {was} → {is}")),
        }
    };
    let rated = |one: &Promise| one.rated.clone().unwrap_or_default();
    parts.extend(both("rated", &rated(was), &rated(is)));
    parts.extend(both("possible", &was.range, &is.range));
    let decides = match (parts.is_empty(), is.why.as_str()) {
        (_, "") => String::new(),
        (true, decides) => decides.to_string(),
        // A mark alone belongs to what stands before it.
        (false, decides) if decides.starts_with('(') => format!(" {decides}"),
        (false, decides) => format!("; now {decides}"),
    };
    format!("{}{decides}", parts.join("; "))
}

/// Which of the changed facts account for a verdict, where that isn't all that stands above it.
fn by(revision: &Revision, change: &VerdictChange, effect: Option<&Effect>) -> String {
    let Some(Cause::Found(ways)) = &change.cause else {
        return String::new();
    };
    let things = effect.map_or(&[][..], |effect| &effect.things);
    let facts: usize = things
        .iter()
        .map(|&one| revision.things[one].facts.len().max(1))
        .sum();
    let named: usize = ways.iter().map(Vec::len).sum();
    if ways.len() == 1 && named == facts {
        return String::new();
    }
    let name = |part: &Part| {
        let thing = &revision.things[part.thing];
        let fact = part.fact.and_then(|fact| thing.facts.get(fact));
        match (fact, things.len()) {
            (Some(fact), 1) => fact.key.clone(),
            (Some(fact), _) => format!("{} of {}", fact.key, heading(&thing.on)),
            (None, _) => heading(&thing.on),
        }
    };
    let ways: Vec<String> = ways
        .iter()
        .map(|way| way.iter().map(name).collect::<Vec<_>>().join(" and "))
        .collect();
    match ways.as_slice() {
        [one] if named > 1 => format!("by {one} together"),
        [one] => format!("by {one}"),
        [one, other] => format!("by {one} as well as by {other}"),
        many => format!("by any one of {}", many.join(", ")),
    }
}

/// What changes did to verdicts, as a sentence without its subject.
fn says(revision: &Revision, effect: &Effect, changes: &[&VerdictChange]) -> String {
    if changes.is_empty() {
        let says = match (effect.how, effect.things.len()) {
            _ if effect.findings.is_empty() => "",
            (_, 0 | 1) => "",
            (How::Accounts, _) => {
                "Together, and none of them by itself, these changed what is found."
            }
            (How::Each, _) => "Any one of these by itself changed what is found.",
            (How::Concerns, _) => {
                "What is found has to do with these; which of them changed it wasn't tried."
            }
        };
        return says.to_string();
    }
    let mut packages: Vec<&str> = changes.iter().map(|one| one.package.as_str()).collect();
    packages.sort_unstable();
    packages.dedup();
    // The worst are named first.
    let mut turns: Vec<(String, usize, std::cmp::Reverse<u8>)> = Vec::new();
    for change in changes {
        let was = change
            .was
            .and_then(|place| revision.old.outcome.verdicts.get(place));
        let is = change
            .is
            .and_then(|place| revision.new.outcome.verdicts.get(place));
        let word = Verdict::grade;
        let turn = match (was, is) {
            (Some(was), Some(is)) => format!("from {} to {}", word(was), word(is)),
            (None, Some(is)) => format!("new, {}", word(is)),
            (Some(was), None) => format!("gone, {} before", word(was)),
            (None, None) => continue,
        };
        let rank = is.map_or(0, |one| Standing::of(one).rank());
        match turns.iter_mut().find(|(one, ..)| *one == turn) {
            Some((_, number, _)) => *number += 1,
            None => turns.push((turn, 1, std::cmp::Reverse(rank))),
        }
    }
    turns.sort_by_key(|(_, _, rank)| *rank);
    let turns = match turns.as_slice() {
        [(turn, ..)] => turn.clone(),
        many => {
            let each = many
                .iter()
                .map(|(turn, number, _)| format!("{number} {turn}"));
            each.collect::<Vec<_>>().join(", ")
        }
    };
    let of = format!(
        "{} in {}",
        count(changes.len(), "promise", "promises"),
        count(packages.len(), "package", "packages")
    );
    let too_many = changes
        .iter()
        .any(|one| matches!(one.cause, Some(Cause::TooMany(_))));
    match (effect.how, effect.things.len()) {
        (How::Accounts, 1) => format!("This changed the grade of {of}: {turns}."),
        (How::Accounts, _) => {
            format!("Only together did these change the grade of {of}: {turns}.")
        }
        (How::Each, _) => format!("Any one of these alone changed the grade of {of}: {turns}."),
        (How::Concerns, 0) => format!("No changed fact explains the new grade of {of}: {turns}."),
        (How::Concerns, _) if too_many => format!(
            "With these, the grade of {of} changed: {turns}. There are too many changes to try which of them did it."
        ),
        (How::Concerns, _) => format!(
            "With these, the grade of {of} changed: {turns}. Trying them one by one didn't show which of them did it."
        ),
    }
}

fn finding_text<'r>(
    revision: &'r Revision,
    change: &FindingChange,
    beside: &[&VerdictChange],
) -> Option<FindingText<'r>> {
    let finding = revision.finding(change)?;
    let state = match change.is {
        Some(_) => &revision.new,
        None => &revision.old,
    };
    let about = beside.iter().find_map(|one| {
        let verdicts = &state.outcome.verdicts;
        let place = if change.is.is_some() { one.is } else { one.was };
        let verdict = place.and_then(|place| verdicts.get(place));
        let verdict = verdict.filter(|verdict| verdict.at == finding.at)?;
        let promise = Promise::of(verdict);
        Some(format!(
            "package {}: {} {}, as above",
            verdict.package,
            promise.claim.replace('-', " "),
            promise.stated
        ))
    });
    let on = match finding.on.as_str() {
        "" => String::new(),
        on => format!("{}: ", heading(order::subject(on))),
    };
    let waived = finding
        .waived
        .as_ref()
        .map(|one| format!(" {}", told::waiver(one)));
    let before = if change.is.is_none() { " before" } else { "" };
    let waives = if finding.waived.is_some() {
        "waived "
    } else {
        ""
    };
    let shift = match change.shift {
        FindingShift::Restated => "still",
        other => other.as_str(),
    };
    Some(FindingText {
        shift: change.shift,
        finding,
        label: format!("{shift} {waives}{}", finding.level),
        about,
        message: format!("{on}{}{}", finding.message, waived.unwrap_or_default()),
        place: format!(
            "{}{before}, {}",
            told::place(finding, &state.outcome.sources),
            told::rule(finding)
        ),
    })
}

/// The grade of before and now, where a sign can stand before each.
pub(super) fn turn(verdict: &VerdictText, sign: impl Fn(Grade) -> String) -> String {
    match (verdict.was, verdict.is) {
        (Some(was), Some(is)) if was == is => sign(is),
        (Some(was), Some(is)) => format!("{}, was {was}", sign(is)),
        (None, Some(is)) => format!("{}, new", sign(is)),
        (Some(was), None) => format!("gone, was {was}"),
        (None, None) => Grade::NotJudged.to_string(),
    }
}
