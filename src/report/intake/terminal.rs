//! For people: the sheets with their rows, what was found at which cell, what changes, and the audit's counts.

use std::collections::BTreeMap;

use super::{Shown, totals};
use crate::finding::Level;
use crate::intake::told::{Account, Fate, Told};
use crate::report::terminal::{Look, safe};
use crate::report::told::{count, summary};

/// Most rows that are listed for one reason; the rest are counted.
const MOST_ROWS: usize = 12;

/// Most changes that are listed; the rest are counted, and programs get them all.
const MOST_CHANGES: usize = 40;

/// The whole report, ending with a line feed.
#[must_use]
pub fn render(shown: &Shown, look: Look) -> String {
    let mut page = Page {
        look,
        text: String::new(),
    };
    for account in shown.accounts {
        page.account(account);
    }
    for told in shown.told {
        page.told(told);
    }
    page.changes(shown);
    page.end(shown);
    page.text
}

struct Page {
    look: Look,
    text: String,
}

impl Page {
    /// A paragraph, broken to the width, its first line behind `label` and the others below it.
    fn say(&mut self, label: &str, indent: usize, words: &str) {
        let words = match self.look.unicode {
            true => safe(words).into_owned(),
            false => deunicode::deunicode(&safe(words)),
        };
        let first = format!("{label:<indent$}");
        let next = " ".repeat(indent);
        let options = textwrap::Options::new(self.look.width.clamp(40, 100))
            .initial_indent(&first)
            .subsequent_indent(&next)
            .break_words(false);
        self.text
            .push_str(textwrap::fill(&words, options).trim_end());
        self.text.push('\n');
    }

    fn account(&mut self, account: &Account) {
        let mut name = account.file.clone();
        if !account.sheet.is_empty() {
            name.push_str(&format!(", sheet {}", account.sheet));
        }
        if let Some(kind) = account.kind {
            name.push_str(&format!(": {kind}"));
        }
        self.say("", 0, &name);
        let [rows, taken, with, not] = totals(std::slice::from_ref(account));
        let sentence = format!(
            "{}: {taken} taken, {with} taken with a finding, {not} not taken",
            count(rows, "row", "rows")
        );
        self.say("", 2, &sentence);
        let mut by_fate: BTreeMap<Fate, Vec<u32>> = BTreeMap::new();
        for &(row, fate) in account.rows.iter().filter(|(_, fate)| !fate.is_taken()) {
            by_fate.entry(fate).or_default().push(row);
        }
        for (fate, rows) in by_fate {
            let listed: Vec<String> = rows.iter().take(MOST_ROWS).map(u32::to_string).collect();
            let more = match rows.len().saturating_sub(MOST_ROWS) {
                0 => String::new(),
                more => format!(" and {more} more"),
            };
            let word = if rows.len() == 1 { "row" } else { "rows" };
            self.say(
                "",
                4,
                &format!(
                    "not taken, {}: {word} {}{more}",
                    fate.words(),
                    listed.join(", ")
                ),
            );
        }
        if !account.unknown.is_empty() {
            let columns: Vec<String> = account
                .unknown
                .iter()
                .map(|(column, heading)| {
                    let letters = crate::intake::grid::letters(*column);
                    match heading.is_empty() {
                        true => format!("{letters} (no heading)"),
                        false => format!("{letters} ({heading})"),
                    }
                })
                .collect();
            self.say("", 4, &format!("columns not taken: {}", columns.join(", ")));
        }
        self.text.push('\n');
    }

    fn told(&mut self, told: &Told) {
        let label = match told.what.level() {
            Level::Error => " error",
            Level::Warning => " warning",
            Level::Note => " note",
        };
        const MARGIN: usize = 10;
        self.say(label, MARGIN, &told.what.words());
        if let Some(offer) = &told.offer {
            self.say(" fix", MARGIN, &format!("Offered fix: read it as {offer}."));
        }
        let place = told.at.words();
        if !place.is_empty() {
            self.say(" where", MARGIN, &place);
        }
        self.text.push('\n');
    }

    fn changes(&mut self, shown: &Shown) {
        let mut path = "";
        for change in shown.changes.iter().take(MOST_CHANGES) {
            if change.path != path {
                path = &change.path;
                self.say("", 0, path);
            }
            let sentence = match (&change.was, change.key.as_str()) {
                (_, "") => {
                    let keys: usize = change.is.parse().unwrap_or(0);
                    format!(
                        "{} is new, with {}",
                        change.on,
                        count(keys, "value", "values")
                    )
                }
                (None, key) => format!("{} gets {key} = {}", change.on, change.is),
                (Some(was), key) => format!("{}: {key} = {was} becomes {}", change.on, change.is),
            };
            self.say("", 2, &sentence);
        }
        if let Some(more) = shown
            .changes
            .len()
            .checked_sub(MOST_CHANGES)
            .filter(|more| *more > 0)
        {
            self.say("", 2, &format!("and {more} more; --format json lists all"));
        }
        if !shown.changes.is_empty() {
            self.text.push('\n');
        }
    }

    fn end(&mut self, shown: &Shown) {
        let [rows, taken, with, not] = totals(shown.accounts);
        let mut sentences = vec![format!(
            "{}: {taken} taken, {with} taken with a finding, {not} not taken.",
            count(rows, "row", "rows")
        )];
        let new = shown
            .changes
            .iter()
            .filter(|change| change.key.is_empty())
            .count();
        let values = shown.changes.len() - new;
        let will = if shown.written { "" } else { "to be " };
        sentences.push(format!(
            "{} {will}added, {} {will}changed.",
            count(new, "entry", "entries"),
            count(values, "value", "values")
        ));
        if shown.kept > 0 {
            let verb = if shown.kept == 1 { "stays" } else { "stay" };
            sentences.push(format!(
                "{} changed by hand in the catalog {verb}.",
                count(shown.kept, "value", "values")
            ));
        }
        let offers = shown
            .told
            .iter()
            .filter(|told| told.offer.is_some())
            .count();
        if offers > 0 {
            sentences.push(format!(
                "--offered takes {}.",
                count(offers, "offered fix", "offered fixes")
            ));
        }
        if !shown.written {
            sentences.push("Nothing was written.".into());
        }
        self.say("", 0, &sentences.join(" "));
        if let Some(audit) = shown.audit {
            self.say("", 0, &summary(audit));
            if audit.summary.errors + audit.summary.warnings > 0 && shown.written {
                self.say(
                    "",
                    0,
                    &format!("`nameplate audit {}` shows them.", shown.catalog),
                );
            }
        }
    }
}
