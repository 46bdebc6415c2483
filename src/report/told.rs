//! Sentences that several formats for people share.

use crate::claims::Outcome as Word;
use crate::engine::{self, Cause, Change, LeftOut, Outcome, Partial, Recorded};
use crate::finding::{Finding, State, Waived};
use crate::text::{Sources, Span};

use super::order;

/// How to mend it, with the correction where there is one; may be empty.
pub fn mend(finding: &Finding) -> String {
    let mut text = finding.mend.clone();
    if let Some(correction) = &finding.correction {
        if !text.is_empty() {
            text.push(' ');
        }
        let says = &correction.says;
        // The sentence may have said the figure already.
        let mut edits = correction.edits.iter();
        let is_said = edits.all(|edit| finding.mend.contains(edit.with.trim_matches('"')));
        text.push_str(&if correction.sure {
            format!("A sure correction: {says}.")
        } else if is_said {
            "That is what amend --offered writes.".into()
        } else {
            format!("If that is what is meant: {says}.")
        });
    }
    text
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
        State::Graver => "Graver than in the baseline.",
        State::Milder => "Milder than in the baseline.",
    }
}

/// All that is to be said of a finding without its evidence and place: what is wrong, how to mend it, who
/// accepts it and what it is to an earlier run.
pub fn sentences(finding: &Finding) -> String {
    let mut parts = vec![finding.message.clone(), mend(finding)];
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
    let verdict = |line: &Recorded| match (line.verdict.as_str(), line.within_rating) {
        ("undecided", Some(true)) => "undecided within the rating".to_string(),
        ("undecided", Some(false)) => "undecided beyond the rating".to_string(),
        ("not-evaluated", _) => "not evaluated".to_string(),
        (word, _) => word.to_string(),
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
                "{} was {}{stated} and is {} now: {why}.",
                name(is),
                verdict(was),
                verdict(is)
            )
        }
        (None, Some(is)) => format!("{} is new: {}.", name(is), verdict(is)),
        (Some(was), None) => format!("{} is gone; it was {}.", name(was), verdict(was)),
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
        0 => format!("no verdict is another than at {since}"),
        1 => format!("of 1 package something is new since {since}"),
        many => format!("of {many} packages something is new since {since}"),
    };
    let standing = match partial.standing {
        0 => "nothing that was found then still stands".to_string(),
        1 => "1 finding of then still stands and isn't shown".to_string(),
        many => format!("{many} findings of then still stand and aren't shown"),
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

/// The counts, as one sentence each for promises, findings and what became of an earlier run's.
pub fn summary(outcome: &Outcome) -> String {
    let summary = &outcome.summary;
    let claims: usize = summary.verdicts.iter().sum();
    let words = ["supported", "undecided", "contradicted", "not evaluated"];
    let open = outcome.verdicts.iter();
    let open: Vec<Option<bool>> = open
        .filter(|one| one.outcome == Word::Undecided)
        .map(|one| one.within_rating)
        .collect();
    let beyond = open.iter().filter(|one| **one == Some(false)).count();
    let rating = match open.len() {
        1 if beyond == 0 && open[0] == Some(true) => " (within the rating)".to_string(),
        1 if beyond == 1 => " (beyond the rating)".to_string(),
        _ if beyond > 0 => format!(" ({beyond} beyond the rating)"),
        _ if open.iter().all(|one| *one == Some(true)) => " (all within the rating)".to_string(),
        _ => String::new(),
    };
    let verdicts: Vec<String> = summary
        .verdicts
        .iter()
        .zip(words)
        .filter(|(number, _)| **number > 0)
        .map(|(number, word)| match word {
            "undecided" => format!("{number} {word}{rating}"),
            _ => format!("{number} {word}"),
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
