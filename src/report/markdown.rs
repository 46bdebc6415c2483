//! Markdown, as a comment on a change: what is new, what is gone, the table of verdicts.
//!
//! Words of a catalog are written so that they stay words: no link, no heading, no mention of a person.

use crate::claims::{Outcome as Word, Verdict};
use crate::engine::{Audited, Earlier, Outcome};
use crate::finding::{Finding, Level, State};
use crate::text::Sources;

use super::order;
use super::promise::Promise;
use super::terminal::safe;
use super::told;

/// The whole report, ending with a line feed.
pub fn render(outcome: &Outcome) -> String {
    let mut text = format!("<!-- {} -->\n\n", told::mark());
    text.push_str("## What the audit found\n\n");
    text.push_str(&escape(&told::summary(outcome)));
    text.push('\n');
    let findings: Vec<&Finding> = outcome.findings.iter().collect();
    match &outcome.gone {
        None => list(&mut text, "Findings", &findings, &outcome.sources),
        Some(gone) => {
            let of = |wanted: fn(State) -> bool| -> Vec<&Finding> {
                let fits = |finding: &&&Finding| finding.state.is_some_and(wanted);
                findings.iter().filter(fits).copied().collect()
            };
            let sources = &outcome.sources;
            list(&mut text, "New", &of(|s| s == State::New), sources);
            list(&mut text, "Graver", &of(|s| s == State::Graver), sources);
            list(&mut text, "Milder", &of(|s| s == State::Milder), sources);
            self::gone(&mut text, gone);
            list(
                &mut text,
                "Unchanged",
                &of(|s| s == State::Unchanged),
                sources,
            );
        }
    }
    let kept = outcome.record.as_ref();
    let changes = kept.map_or(&[][..], |kept| &kept.changes);
    if !changes.is_empty() {
        text.push_str("\n### Changed since the record\n\n");
        for change in changes {
            text.push_str(&format!("- {}\n", escape(&told::change(change))));
        }
    }
    text.push_str("\n### Promises\n");
    for catalog in &outcome.catalogs {
        let verdicts = &outcome.verdicts[catalog.verdicts.clone()];
        table(&mut text, catalog, verdicts);
    }
    if !outcome.verdicts.is_empty() {
        text.push_str(READING);
    }
    text
}

/// How the table is to be read, for somebody who sees one for the first time.
const READING: &str = "
*Supported* holds for every value of the ranges that the program works with, *undecided* for part of them, *contradicted* for none. \
An undecided promise within what is rated is what the trade makes; beyond it somebody should look. *Rated* is by the declared rating \
basis, *physics gives* is with every range at its worst and at its best, and in parentheses stands the weakest ground of it. \
The ranges are listed by nameplate rulebook --assumptions.
";

/// A list of findings under a heading; nothing where there are none.
fn list(text: &mut String, heading: &str, findings: &[&Finding], sources: &Sources) {
    if findings.is_empty() {
        return;
    }
    text.push_str(&format!("\n### {heading}\n\n"));
    for finding in findings {
        let level = match finding.level {
            Level::Error => "**error**",
            other => other.as_str(),
        };
        text.push_str(&format!("- {level} "));
        if !finding.on.is_empty() {
            let on = order::heading(order::subject(&finding.on));
            text.push_str(&format!("{}: ", escape(&on)));
        }
        text.push_str(&escape(&finding.message));
        let mend = told::mend(finding);
        if !mend.is_empty() {
            text.push_str(&format!(" *{}*", escape(&mend)));
        }
        if let Some(waived) = &finding.waived {
            text.push_str(&format!(" {}", escape(&told::waiver(waived))));
        }
        text.push_str(&format!(
            " ({}; {})\n",
            escape(&told::place(finding, sources)),
            escape(&told::rule(finding))
        ));
    }
}

/// What an earlier run found and this one doesn't.
fn gone(text: &mut String, gone: &[Earlier]) {
    if gone.is_empty() {
        return;
    }
    text.push_str("\n### Gone\n\n");
    for one in gone {
        text.push_str(&format!(
            "- {} {} ({}, {})\n",
            one.level,
            escape(&one.message),
            escape(one.file.as_deref().unwrap_or("no file")),
            escape(&one.rule)
        ));
    }
}

fn table(text: &mut String, catalog: &Audited, verdicts: &[Verdict]) {
    let title = catalog.title.as_deref().unwrap_or(&catalog.name);
    text.push_str(&format!("\n#### {}\n\n", escape(title)));
    for remark in &catalog.remarks {
        text.push_str(&format!("{}\n\n", escape(remark)));
    }
    if verdicts.is_empty() {
        if !catalog.is_sheet {
            text.push_str("No promise that can be read.\n");
        }
        return;
    }
    text.push_str(
        "| package | promise | as stated | verdict | rated | physics gives | what decides |\n",
    );
    text.push_str("| --- | --- | --- | --- | --- | --- | --- |\n");
    for verdict in verdicts {
        let promise = Promise::of(verdict);
        let word = match promise.outcome {
            Word::Contradicted => format!("**{}**", promise.word),
            _ => promise.word.to_string(),
        };
        let rated = promise.rated.as_deref().unwrap_or_default();
        let beyond = if promise.beyond { "beyond " } else { "" };
        text.push_str(&format!(
            "| {} | {} | {} | {word} | {beyond}{} | {} | {} |\n",
            escape(&verdict.package),
            promise.claim,
            escape(&promise.stated),
            escape(rated),
            escape(&promise.range),
            escape(&promise.decides),
        ));
    }
}

/// Whether an address could begin at the end of `text`.
fn ends_in_www(text: &str) -> bool {
    let end = text.len().saturating_sub(3);
    text.get(end..)
        .is_some_and(|end| end.eq_ignore_ascii_case("www"))
}

/// `text` as words of a Markdown page, whatever it holds: everything that a renderer would take for a sign
/// is written as a character reference (CommonMark 0.31, "Entity and numeric character references").
pub(super) fn escape(text: &str) -> String {
    let text = safe(text);
    let mut escaped = String::with_capacity(text.len());
    let mut rest = text.chars().peekable();
    while let Some(character) = rest.next() {
        let is_sign = match character {
            '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '&' | '#' | '|' | '~' | '@' | '!' => {
                true
            }
            // What would make an address out of words: `://` and `www.`
            ':' => rest.peek() == Some(&'/'),
            '.' => ends_in_www(&escaped),
            // `$` opens a formula on some forges.
            '$' => true,
            _ => false,
        };
        if is_sign {
            escaped.push_str(&format!("&#{};", u32::from(character)));
        } else {
            escaped.push(character);
        }
    }
    escaped
}
