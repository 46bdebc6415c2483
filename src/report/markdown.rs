//! Markdown, as a comment on a change: what is new, what is gone, the table of verdicts.
//!
//! Words of a catalog are written so that they stay words: no link, no heading, no mention of a person.

use crate::claims::{Outcome as Word, Verdict};
use crate::engine::{Audited, Earlier, Outcome};
use crate::finding::{Finding, Level, State};
use crate::text::Sources;

use super::order;
use super::promise::Promise;
use super::terminal::{safe, settles};
use super::told;

/// How many characters a report has at most unless another limit is given: what forges take as a comment.
pub const LIMIT: usize = 65_000;
/// Kept free for what says how much was left out.
const END: usize = 200;

/// The whole report, ending with a line feed, cut at `limit` characters: the gravest findings come first, promises
/// last, and what doesn't fit is counted.
pub fn render(outcome: &Outcome, limit: usize) -> String {
    let mut page = Page {
        text: String::new(),
        room: limit.saturating_sub(END),
        left_out: [0; 5],
    };
    page.put(&format!("<!-- {} -->\n\n", told::mark()));
    page.put(&format!("## {}\n\n", escape(&told::title(outcome))));
    page.put(&format!("**{}**\n\n", escape(&told::answer(outcome))));
    page.put(&format!("{}\n", escape(&told::summary(outcome))));
    let mut findings: Vec<&Finding> = outcome.findings.iter().collect();
    findings.sort_by_key(|one| std::cmp::Reverse((one.counts(), one.level)));
    match &outcome.gone {
        None => list(&mut page, "Findings", &findings, &outcome.sources),
        Some(gone) => {
            let of = |wanted: fn(State) -> bool| -> Vec<&Finding> {
                let fits = |finding: &&&Finding| finding.state.is_some_and(wanted);
                findings.iter().filter(fits).copied().collect()
            };
            let sources = &outcome.sources;
            list(&mut page, "New", &of(|s| s == State::New), sources);
            list(
                &mut page,
                "More severe",
                &of(|s| s == State::Graver),
                sources,
            );
            list(
                &mut page,
                "Less severe",
                &of(|s| s == State::Milder),
                sources,
            );
            self::gone(&mut page, gone);
            list(
                &mut page,
                "Unchanged",
                &of(|s| s == State::Unchanged),
                sources,
            );
        }
    }
    let kept = outcome.record.as_ref();
    let changes = kept.map_or(&[][..], |kept| &kept.changes);
    if !changes.is_empty() {
        page.put("\n### Changed since the record\n\n");
        for change in changes {
            let line = format!("- {}\n", escape(&told::change(change)));
            page.put_one(Piece::Change, &line);
        }
    }
    page.put("\n### Promises\n");
    for catalog in &outcome.catalogs {
        let verdicts = &outcome.verdicts[catalog.verdicts.clone()];
        table(&mut page, catalog, verdicts);
    }
    asks(&mut page, outcome);
    if !outcome.verdicts.is_empty() {
        page.put(READING);
    }
    page.end(limit)
}

/// A report that is being written within its limit.
struct Page {
    text: String,
    /// Characters that still fit.
    room: usize,
    /// How many of each kind of piece didn't.
    left_out: [usize; 5],
}

/// What is counted where it doesn't fit.
#[derive(Clone, Copy)]
enum Piece {
    Finding,
    Gone,
    Change,
    Promise,
    Ask,
}

/// The pieces by their names, one and many.
const PIECES: [(Piece, &str, &str); 5] = [
    (Piece::Finding, "finding", "findings"),
    (
        Piece::Gone,
        "finding that is gone",
        "findings that are gone",
    ),
    (
        Piece::Change,
        "change since the record",
        "changes since the record",
    ),
    (Piece::Promise, "promise", "promises"),
    (Piece::Ask, "question", "questions"),
];

impl Page {
    /// Writes a piece if it fits; from the first that doesn't on, nothing fits.
    fn put(&mut self, piece: &str) -> bool {
        let length = piece.chars().count();
        let fits = length <= self.room;
        self.room = if fits { self.room - length } else { 0 };
        if fits {
            self.text.push_str(piece);
        }
        fits
    }

    /// Writes a piece if it fits, else counts it.
    fn put_one(&mut self, piece: Piece, text: &str) {
        if !self.put(text) {
            self.left_out[piece as usize] += 1;
        }
    }

    fn end(mut self, limit: usize) -> String {
        let counts = PIECES.map(|(piece, one, many)| (self.left_out[piece as usize], one, many));
        let parts = counts.into_iter().filter(|(count, ..)| *count > 0);
        let parts: Vec<String> = parts
            .map(|(count, one, many)| told::count(count, one, many))
            .collect();
        if let Some((last, before)) = parts.split_last() {
            let before = match before {
                [] => String::new(),
                before => format!("{} and ", before.join(", ")),
            };
            self.text.push_str(&format!(
                "\nLeft out of this report, which is cut at {limit} characters: {before}{last}.\n"
            ));
        }
        self.text
    }
}

/// How the table is to be read, for somebody who sees one for the first time.
const READING: &str = "
*Holds*: for every value of the ranges that the program works with. *Within rating* and *beyond rating*: for some values, and the rated ones \
are among them or not. *Contradicted*: for none. *Not judged*: a fact is missing, so this neither confirms nor refutes the promise. *Rated* is \
the figure for the declared rating basis, *possible* the one from the worst case to the best. The command nameplate rulebook --assumptions lists the ranges.
";

/// A list of findings under a heading; nothing where there are none.
fn list(page: &mut Page, heading: &str, findings: &[&Finding], sources: &Sources) {
    if findings.is_empty() {
        return;
    }
    page.put(&format!("\n### {heading}\n\n"));
    for finding in findings {
        let mut text = String::new();
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
        let fix = told::fix(finding);
        if !fix.is_empty() {
            text.push_str(&format!(" *{}*", escape(&fix)));
        }
        if let Some(waived) = &finding.waived {
            text.push_str(&format!(" {}", escape(&told::waiver(waived))));
        }
        text.push_str(&format!(
            " ({}; {})\n",
            escape(&told::place(finding, sources)),
            escape(&told::rule(finding))
        ));
        page.put_one(Piece::Finding, &text);
    }
}

/// What an earlier run found and this one doesn't.
fn gone(page: &mut Page, gone: &[Earlier]) {
    if gone.is_empty() {
        return;
    }
    page.put("\n### Gone\n\n");
    for one in gone {
        let line = format!(
            "- {} {} ({}, {})\n",
            one.level,
            escape(&one.message),
            escape(one.file.as_deref().unwrap_or("no file")),
            escape(&one.rule)
        );
        page.put_one(Piece::Gone, &line);
    }
}

fn table(page: &mut Page, catalog: &Audited, verdicts: &[Verdict]) {
    let title = catalog.title.as_deref().unwrap_or(&catalog.name);
    page.put(&format!("\n#### {}\n\n", escape(title)));
    for remark in &catalog.remarks {
        page.put(&format!("{}\n\n", escape(remark)));
    }
    if verdicts.is_empty() {
        if !catalog.is_sheet {
            page.put("It states no promise that could be read.\n");
        }
        return;
    }
    page.put("| package | promise | as stated | grade | rated | possible | why |\n");
    page.put("| --- | --- | --- | --- | --- | --- | --- |\n");
    for verdict in verdicts {
        let promise = Promise::of(verdict);
        let word = match promise.outcome {
            Word::Contradicted => format!("**{}**", promise.grade),
            _ => promise.grade.to_string(),
        };
        let rated = promise.rated.as_deref().unwrap_or_default();
        let row = format!(
            "| {} | {} | {} | {word} | {} | {} | {} |\n",
            escape(&verdict.package),
            promise.claim.replace('-', " "),
            escape(&promise.stated),
            escape(rated),
            escape(&promise.range),
            escape(&promise.why),
        );
        page.put_one(Piece::Promise, &row);
    }
}

/// Whether what was written last is a letter or digit, and no reference.
fn is_within_a_word(text: &str) -> bool {
    text.chars().next_back().is_some_and(char::is_alphanumeric)
}

/// What to ask whom, where it was asked for.
fn asks(page: &mut Page, outcome: &Outcome) {
    let Some(asks) = &outcome.asks else {
        return;
    };
    page.put("\n### What would settle what isn't settled\n\n");
    if asks.is_empty() {
        page.put("Nothing: every promise is settled, one way or the other.\n");
    }
    for ask in asks {
        let of = ask.of.words();
        let what = format!("From {of}: {} ({}).", ask.what, ask.about);
        let mut text = format!("- {}\n", escape(&what));
        let settled = ask
            .settles
            .iter()
            .filter_map(|&place| outcome.verdicts.get(place));
        for verdict in settled {
            text.push_str(&format!("  - {}\n", escape(&settles(verdict))));
        }
        page.put_one(Piece::Ask, &text);
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
            '\\' | '`' | '*' | '[' | ']' | '<' | '>' | '&' | '#' | '|' | '~' | '@' | '!' => true,
            // What would make an address out of words: `://` and `www.`
            ':' => rest.peek() == Some(&'/'),
            '.' => ends_in_www(&escaped),
            // Within a word it opens nothing.
            '_' => {
                !(is_within_a_word(&escaped)
                    && rest.peek().is_some_and(|next| next.is_alphanumeric()))
            }
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
