//! What to ask whom, so that promises can be settled.

use crate::claims::{Ask, Claim, Outcome, Verdict};

use super::theme::Role;
use super::{Page, words};

/// Columns before what is asked for.
const INDENT: usize = 2;
/// Columns before what it settles.
const DEEPER: usize = 6;

impl Page<'_> {
    /// The list, by who could supply it.
    pub(super) fn asks(&mut self, asks: &[Ask], verdicts: &[Verdict]) {
        self.indented(0, Role::Strong, "What to ask for");
        let rule = self.theme.rule().repeat(self.width);
        let rule = self.theme.paint(Role::Quiet, &rule);
        self.line(&rule);
        if asks.is_empty() {
            self.line("Nothing: every promise is settled, one way or the other.");
        }
        let mut of = None;
        for ask in asks {
            if of != Some(ask.of) {
                if of.is_some() {
                    self.line("");
                }
                of = Some(ask.of);
                self.indented(0, Role::Label, &format!("from {}", ask.of.words()));
            }
            let what = crate::finding::capital(&ask.what);
            self.indented(INDENT, Role::Plain, &format!("{what}{}.", about(ask)));
            for &place in &ask.settles {
                if let Some(verdict) = verdicts.get(place) {
                    self.indented(DEEPER, Role::Quiet, &settles(verdict));
                }
            }
        }
        self.line("");
    }

    fn indented(&mut self, indent: usize, role: Role, text: &str) {
        let text = self.theme.text(text).into_owned();
        for line in words::wrap(&text, self.width.saturating_sub(indent)) {
            let line = format!("{}{}", " ".repeat(indent), self.theme.paint(role, &line));
            self.line(&line);
        }
    }
}

/// The range that an answer would narrow, in parentheses; nothing where it is a fact that was named already.
pub(super) fn about(ask: &Ask) -> String {
    match ask.about == ask.what {
        true => String::new(),
        false => format!(" ({})", ask.about),
    }
}

/// A claim that waits for the answer, and what the answer would have to be.
pub(in crate::report) fn settles(verdict: &Verdict) -> String {
    let claim = match verdict.claim {
        Claim::AirlineLength => "run of airline".to_string(),
        other => other.as_str().replace('-', " "),
    };
    let option = match &verdict.option {
        Some(option) => format!(", option {option}"),
        None => String::new(),
    };
    let head = format!("{}: {claim} {}{option}", verdict.package, verdict.stated);
    if verdict.outcome == Outcome::NotEvaluated {
        return format!("{head} can't be judged without it.");
    }
    let Some(decision) = &verdict.decision else {
        return format!("{head}.");
    };
    match decision.needed(verdict.system) {
        Some(needed) => {
            let side = if decision.from { "at least" } else { "at most" };
            format!("{head} holds if it is {side} {needed}.")
        }
        None => format!("{head} depends on it most."),
    }
}
