//! Sentences that several formats for people share.

use std::collections::HashSet;

use crate::claims::{Grade, Outcome as Word};
use crate::engine::{self, Cause, Change, LeftOut, Outcome, Partial, Recorded};
use crate::finding::{Edit, Finding, Level, State, Waived};
use crate::text::{Sources, Span};

use super::order;
use super::terminal::safe;

/// How to fix it, with the correction where there is one; may be empty.
pub fn fix(finding: &Finding) -> String {
    let mut text = finding.mend.clone();
    if let Some(correction) = &finding.correction {
        let says = &correction.says;
        // The sentence may have said the figure already.
        let mut edits = correction.edits.iter();
        let is_said = edits.all(|edit| finding.mend.contains(edit.with.trim_matches('"')));
        let offer = match (correction.sure, is_said) {
            (true, _) => format!("Safe fix: {says}."),
            (false, false) => format!("Offered fix: {says}."),
            (false, true) => String::new(),
        };
        if !text.is_empty() && !offer.is_empty() {
            text.push(' ');
        }
        text.push_str(&offer);
    }
    text
}

/// Which fixes the program can write by itself; nothing where there are none.
pub fn fixes(outcome: &Outcome) -> Option<String> {
    let of = |sure: bool| {
        let open = outcome.findings.iter().filter(|one| one.counts());
        let corrections = open.filter_map(|one| one.correction.as_ref());
        let corrections = corrections.filter(|one| one.sure == sure);
        // Two faults of one figure are mended by one writing of it.
        let edits: HashSet<&[Edit]> = corrections.map(|one| one.edits.as_slice()).collect();
        edits.len()
    };
    let safe = |number| {
        format!(
            "`nameplate amend` writes {}",
            count(number, "safe fix", "safe fixes")
        )
    };
    match (of(true), of(false)) {
        (0, 0) => None,
        (sure, 0) => Some(format!("{}.", safe(sure))),
        (0, offered) => Some(format!(
            "`nameplate amend --offered` writes {}.",
            count(offered, "offered fix", "offered fixes")
        )),
        (sure, offered) => Some(format!(
            "{}, and with `--offered` {offered} more.",
            safe(sure)
        )),
    }
}

/// Who accepts a finding, until when and why.
pub fn waiver(waived: &Waived) -> String {
    let by = waived.owner.as_ref().map(|owner| format!(" by {owner}"));
    let until = waived.until.as_ref().map(|until| format!(" until {until}"));
    let (by, until) = (by.unwrap_or_default(), until.unwrap_or_default());
    format!(
        "Accepted{by}{until}: {}.",
        waived.reason.trim_end_matches('.')
    )
}

/// What a finding is to an earlier run, as a sentence.
pub fn since(state: State) -> &'static str {
    match state {
        State::New => "New since the baseline.",
        State::Unchanged => "Unchanged since the baseline.",
        State::Graver => "More severe than in the baseline.",
        State::Milder => "Less severe than in the baseline.",
    }
}

/// All that is to be said of a finding without its evidence and place: what is wrong, how to fix it, who
/// accepts it and what it is to an earlier run.
pub fn sentences(finding: &Finding) -> String {
    let mut parts = vec![finding.message.clone(), fix(finding)];
    parts.extend(finding.waived.as_ref().map(waiver));
    parts.extend(finding.state.map(|state| since(state).to_string()));
    parts.retain(|part| !part.is_empty());
    parts.join(" ")
}

/// What became of a verdict since the record, as a sentence.
pub fn change(change: &Change) -> String {
    let name = |line: &Recorded| {
        let option = line.option.as_ref().map(|option| format!(", {option}"));
        let option = option.unwrap_or_default();
        format!("{}{option}: {} {}", line.package, line.claim, line.stated)
    };
    let verdict = |line: &Recorded| {
        let outcomes = [Word::Supported, Word::Undecided, Word::Contradicted];
        let mut outcomes = outcomes.into_iter();
        let outcome = outcomes.find(|one| one.as_str() == line.verdict);
        Grade::of(outcome.unwrap_or(Word::NotEvaluated), line.within_rating).to_string()
    };
    match (&change.was, &change.is) {
        (Some(was), Some(is)) => {
            let stated = if was.stated == is.stated {
                String::new()
            } else {
                format!(" as {}", was.stated)
            };
            let why = match change.cause {
                Cause::Catalog => "the catalog changed".to_string(),
                Cause::Program => format!(
                    "the catalog states the same, and the program changed ({} with rulebook {} before)",
                    was.program, was.rulebook
                ),
                Cause::Both => format!(
                    "the catalog changed and so did the program ({} with rulebook {} before)",
                    was.program, was.rulebook
                ),
            };
            format!(
                "{} was graded {}{stated} and is now graded {}: {why}.",
                name(is),
                verdict(was),
                verdict(is)
            )
        }
        (None, Some(is)) => format!("{} is new, graded {}.", name(is), verdict(is)),
        (Some(was), None) => format!("{} is gone; it was graded {}.", name(was), verdict(was)),
        (None, None) => String::new(),
    }
}

/// File, line and column of a finding.
pub fn place(finding: &Finding, sources: &Sources) -> String {
    let name = sources.get(finding.at.file).name();
    format!("{name}, {}", spot(sources, finding.at))
}

/// Line and column of a place, or its page where the file has pages and no lines.
pub fn spot(sources: &Sources, at: Span) -> String {
    match sources.page(at) {
        Some(page) => format!("page {page}"),
        None => {
            let position = sources.position(at);
            format!("line {}, column {}", position.line, position.column)
        }
    }
}

/// Line of a place, or its page where the file has pages and no lines.
pub fn line(sources: &Sources, at: Span) -> String {
    match sources.page(at) {
        Some(page) => format!("page {page}"),
        None => format!("line {}", sources.position(at).line),
    }
}

/// Which rule speaks, and of which option.
pub fn rule(finding: &Finding) -> String {
    let option = order::option(&finding.on);
    let option = option.map_or(String::new(), |option| format!(", option {option}"));
    format!("{}{option}", finding.rule.name)
}

/// `one thing`, `2 things`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// That a run was partial: what it shows of all that was audited.
fn partial(partial: &Partial, shown: usize) -> String {
    let since = &partial.since;
    let news = match shown {
        0 => format!("no verdict differs from {since}"),
        1 => format!("1 package has something new since {since}"),
        many => format!("{many} packages have something new since {since}"),
    };
    let standing = match partial.standing {
        0 => "nothing found then still stands".to_string(),
        1 => "1 older finding still stands and isn't shown".to_string(),
        many => format!("{many} older findings still stand and aren't shown"),
    };
    format!(
        "This was a partial report on {}: {news}, and {standing}.",
        count(partial.packages, "package", "packages")
    )
}

/// What a report in Markdown or HTML is known by, so that it is never taken for a spec sheet.
pub fn mark() -> String {
    format!("{}{}", engine::REPORT_MARK, env!("CARGO_PKG_VERSION"))
}

/// What lies in the named folders and wasn't read, by its reason.
fn left_out(files: &[LeftOut]) -> String {
    let whys = files.chunk_by(|a, b| a.why == b.why).map(|all| {
        let named = match all {
            [one] => one.path.clone(),
            [first, ..] => format!("{} and {} more", first.path, all.len() - 1),
            [] => String::new(),
        };
        format!("{named} ({})", all[0].why)
    });
    format!(
        " Left out {}: {}.",
        count(files.len(), "file or folder", "files or folders"),
        whys.collect::<Vec<_>>().join("; ")
    )
}

/// How many promises have each grade, and how many there are.
fn graded(outcome: &Outcome) -> ([usize; Grade::ALL.len()], usize) {
    let of = |grade: Grade| {
        let all = outcome.verdicts.iter();
        all.filter(|one| one.grade() == grade).count()
    };
    (Grade::ALL.map(of), outcome.verdicts.len())
}

/// What the report is of.
pub fn title(outcome: &Outcome) -> String {
    match outcome.catalogs.as_slice() {
        [one] => format!(
            "Audit of {}",
            safe(one.title.as_deref().unwrap_or(&one.name))
        ),
        many => {
            let sheets = many.iter().filter(|one| one.is_sheet).count();
            let catalogs = many.len() - sheets;
            let some = |number, one, many| (number > 0).then(|| count(number, one, many));
            let parts = [
                some(catalogs, "catalog", "catalogs"),
                some(sheets, "sheet", "sheets"),
            ];
            format!(
                "Audit of {}",
                parts
                    .into_iter()
                    .flatten()
                    .collect::<Vec<_>>()
                    .join(" and ")
            )
        }
    }
}

/// The answer, in a sentence or two: how many promises fail, and how many faults are in the files.
pub fn answer(outcome: &Outcome) -> String {
    let ([.., beyond, contradicted, open], all) = graded(outcome);
    let promises = count(all, "promise", "promises");
    let are = |number| if number == 1 { "is" } else { "are" };
    let of_all = |number: usize, words: &str| match all {
        1 => format!("The one promise is {words}"),
        _ => format!("{number} of {promises} {} {words}", are(number)),
    };
    let parts = match (contradicted, beyond) {
        (0, 0) if all == 0 => vec!["No promise was judged".to_string()],
        // What nobody could judge hasn't passed.
        (0, 0) if open == all => vec![match all {
            1 => "The one promise could not be judged".to_string(),
            _ => format!("None of the {promises} could be judged"),
        }],
        (0, 0) if all == 1 => {
            vec!["The one promise is neither contradicted nor beyond the rating".to_string()]
        }
        (0, 0) => vec![format!(
            "None of {promises} is contradicted or beyond the rating"
        )],
        (0, beyond) => vec![of_all(beyond, "beyond the rating")],
        (contradicted, 0) => vec![of_all(contradicted, "contradicted")],
        (contradicted, beyond) => vec![
            of_all(contradicted, "contradicted"),
            format!("{beyond} {} beyond the rating", are(beyond)),
        ],
    };
    let open = match open {
        0 => String::new(),
        open if open == all => String::new(),
        open => format!("; {open} {} not judged", are(open)),
    };
    let errors = outcome.findings.iter().filter(|one| one.counts());
    let faults = errors.filter(|one| one.level == Level::Error && !one.contradicts);
    let faults = match faults.count() {
        0 => String::new(),
        number => format!(" {} in the files.", count(number, "fault", "faults")),
    };
    format!("{}{open}.{faults}", parts.join(", "))
}

/// The counts, as one sentence each for promises, findings and what became of an earlier run's.
pub fn summary(outcome: &Outcome) -> String {
    let summary = &outcome.summary;
    let (graded, claims) = graded(outcome);
    let verdicts: Vec<String> = graded
        .iter()
        .zip(Grade::ALL)
        .filter(|(number, _)| **number > 0)
        .map(|(number, grade)| match grade {
            Grade::Holds if *number != 1 => format!("{number} hold"),
            grade => format!("{number} {grade}"),
        })
        .collect();
    let mut parts = vec![count(summary.packages, "package", "packages")];
    if summary.sheets > 0 {
        if summary.catalogs == 0 {
            parts.clear();
        }
        parts.push(format!(
            "{} with {}",
            count(summary.sheets, "spec sheet", "spec sheets"),
            count(summary.claims, "claim", "claims")
        ));
    }
    let mut audited = format!(
        "Audited {} and {}",
        parts.join(", "),
        count(claims, "promise", "promises"),
    );
    if !verdicts.is_empty() {
        audited.push_str(&format!(": {}", verdicts.join(", ")));
    }
    audited.push_str(&format!(
        ". Found {}, {} and {}",
        count(summary.errors, "error", "errors"),
        count(summary.warnings, "warning", "warnings"),
        count(summary.notes, "note", "notes")
    ));
    if let Some(day) = &outcome.as_of {
        audited.push_str(&format!("; {} waived as of {day}", summary.waived));
    }
    audited.push('.');
    let heard = &outcome.heard;
    if !heard.only.is_empty() {
        audited.push_str(&format!(" Heard only {}.", heard.only.join(", ")));
    }
    if !heard.silent.is_empty() {
        audited.push_str(&format!(" Kept silent: {}.", heard.silent.join(", ")));
    }
    if !outcome.left_out.is_empty() {
        audited.push_str(&left_out(&outcome.left_out));
    }
    if let Some(partial) = &outcome.partial {
        audited.push_str(&format!(" {}", self::partial(partial, summary.packages)));
    }
    if let Some(gone) = &outcome.gone {
        let of = |wanted: fn(State) -> bool| {
            let states = outcome.findings.iter().filter_map(|finding| finding.state);
            states.filter(|&state| wanted(state)).count()
        };
        audited.push_str(&format!(
            " Since the baseline: {} new, {} changed in level, {} unchanged, {} gone.",
            of(|state| state == State::New),
            of(|state| matches!(state, State::Graver | State::Milder)),
            of(|state| state == State::Unchanged),
            gone.len(),
        ));
    }
    audited
}
