//! What was written where by an amendment, in sentences.

use crate::amend::{Amended, Change, Refusal, Refused, Scope};
use crate::engine::Summary;

use super::super::told::count;
use super::theme::{Role, Theme};
use super::words;
use super::{Look, NARROWEST, WIDEST};

/// Columns of a changed text that are quoted.
const QUOTED: usize = 60;

/// The files and what was done to each; then what was refused, and what is left.
///
/// `written` says whether the files hold it already, or are only to; with `all`, no file was refused, so that
/// the audit of the result is that of what stands in the files.
pub fn render(amended: &Amended, written: bool, all: bool, look: Look) -> String {
    let mut page = Page {
        theme: Theme {
            color: look.color,
            unicode: look.unicode,
        },
        width: look.width.clamp(NARROWEST, WIDEST),
        text: String::new(),
    };
    for file in &amended.files {
        let name = page.theme.text(&file.path).into_owned();
        page.say(0, Role::Strong, &name);
        for change in &file.changes {
            let sentence = page.change(change);
            page.say(2, Role::Plain, &sentence);
        }
        page.text.push('\n');
    }
    for refused in &amended.refused {
        let sentence = page.refused(refused);
        page.say(0, Role::Plain, &sentence);
    }
    if !amended.refused.is_empty() {
        page.text.push('\n');
    }
    let mut sentences = summary(amended, written);
    if all {
        sentences.push(audits(amended));
    }
    let sentences = sentences.join(" ");
    page.say(0, Role::Strong, &sentences);
    page.text
}

struct Page {
    theme: Theme,
    width: usize,
    text: String,
}

impl Page {
    fn say(&mut self, indent: usize, role: Role, words: &str) {
        for line in words::wrap(words, self.width - indent) {
            let line = self.theme.paint(role, &line);
            self.text.push_str(&" ".repeat(indent));
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }

    fn change(&self, change: &Change) -> String {
        let what = match (quoted(&change.was), quoted(&change.is)) {
            (was, is) if is.is_empty() => format!("`{was}` is taken out"),
            (was, is) if was.is_empty() => format!("`{is}` is added"),
            (was, is) => format!("`{was}` becomes `{is}`"),
        };
        let about = match change.on.as_str() {
            "" => String::new(),
            on => format!(", {on}"),
        };
        let sentence = format!("In line {} {what} ({}{about}).", change.line, change.rule);
        self.theme.text(&sentence).into_owned()
    }

    fn refused(&self, refused: &Refused) -> String {
        let why = match refused.why {
            Refusal::Unreadable => "the file couldn't be read any more with it",
            Refusal::StillThere => "it was still found with it",
        };
        let sentence = format!(
            "{}, line {}: to {} was tried for {} and taken back, because {why}.",
            refused.path, refused.line, refused.says, refused.rule
        );
        self.theme.text(&sentence).into_owned()
    }
}

/// A changed text as a sentence quotes it: its first line, and no more than fits.
fn quoted(text: &str) -> String {
    let first = text.lines().next().unwrap_or("").trim();
    let cut: String = first.chars().take(QUOTED).collect();
    if cut.len() < text.trim().len() {
        format!("{cut} ...")
    } else {
        cut
    }
}

/// How much was done and what is left.
fn summary(amended: &Amended, written: bool) -> Vec<String> {
    let changes: usize = amended.files.iter().map(|file| file.changes.len()).sum();
    let mut sentences = Vec::new();
    sentences.push(match changes {
        0 if amended.offered > 0 => "There is no safe fix.".to_string(),
        0 if counts(&amended.after().summary)
            .into_iter()
            .any(|count| count > 0) =>
        {
            "No fix can be written for what was found.".to_string()
        }
        0 => "There was nothing to correct.".to_string(),
        changes => format!(
            "{} {} in {}.",
            count(changes, "correction", "corrections"),
            match (written, changes) {
                (true, 1) => "was written",
                (true, _) => "were written",
                (false, 1) => "would be written",
                (false, _) => "would be written",
            },
            count(amended.files.len(), "file", "files")
        ),
    });
    sentences.extend(match (amended.offered, amended.scope) {
        (0, _) => None,
        (1, Scope::Sure) => Some(
            "One more is offered, because a person has to decide about it: --offered applies it too.".to_string(),
        ),
        (more, Scope::Sure) => Some(format!(
            "{more} more are offered, because a person has to decide about them: --offered applies them too."
        )),
        (1, Scope::Offered) => {
            Some("One more came up or was taken back; audit again to decide about it.".to_string())
        }
        (more, Scope::Offered) => Some(format!(
            "{more} more came up or were taken back; audit again to decide about them."
        )),
    });
    if amended.borrowed > 0 {
        sentences.push(format!(
            "{} in borrowed parts; name their folder to have them amended.",
            match amended.borrowed {
                1 => "One lies".to_string(),
                more => format!("{more} lie"),
            }
        ));
    }
    sentences
}

/// What the audit says to it.
fn audits(amended: &Amended) -> String {
    let (before, after) = (&amended.before.summary, &amended.after().summary);
    if counts(before) == counts(after) {
        format!("The audit finds {}.", found(after))
    } else {
        format!(
            "The audit finds {}, where it found {}.",
            found(after),
            found(before)
        )
    }
}

fn counts(summary: &Summary) -> [usize; 3] {
    [summary.errors, summary.warnings, summary.notes]
}

fn found(summary: &Summary) -> String {
    format!(
        "{}, {} and {}",
        count(summary.errors, "error", "errors"),
        count(summary.warnings, "warning", "warnings"),
        count(summary.notes, "note", "notes")
    )
}
