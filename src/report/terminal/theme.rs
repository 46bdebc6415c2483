//! Colours and characters of the terminal report.
//!
//! Only the sixteen colours that a terminal's own scheme defines are used, and never as the only
//! sign: each verdict and level is told by its word too.

use std::borrow::Cow;

use miette::{GraphicalTheme, ThemeCharacters, ThemeStyles};
use owo_colors::{OwoColorize, Style};

use crate::claims::{Grade, Outcome};
use crate::finding::Level;

use super::clean::clean;

/// What a piece of text is, for its colour.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// Running text.
    Plain,
    /// A name or heading.
    Strong,
    /// What may be passed over.
    Quiet,
    /// A label in the margin.
    Label,
    /// A level's word, and what it marks.
    Level(Level),
    /// A grade.
    Grade(Grade),
}

/// Which colours and characters may be used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Theme {
    /// Whether escape sequences for colour may be written.
    pub color: bool,
    /// Whether anything but ASCII may be written.
    pub unicode: bool,
}

impl Theme {
    /// `text` as it may be shown.
    pub fn text<'t>(&self, text: &'t str) -> Cow<'t, str> {
        clean(text, !self.unicode)
    }

    /// `text`, which is clean, in the colour of `role`.
    pub fn paint(&self, role: Role, text: &str) -> String {
        if !self.color || role == Role::Plain || text.is_empty() {
            return text.to_string();
        }
        text.style(style(role)).to_string()
    }

    /// The sign before a grade: how much of the ranges it holds for.
    pub fn sign(&self, grade: Grade) -> &'static str {
        match (grade, self.unicode) {
            (Grade::Holds, true) => "●",
            (Grade::WithinRating, true) => "◕",
            (Grade::BeyondRating, true) => "◔",
            (Grade::Contradicted, true) => "○",
            (Grade::NotJudged, true) => "·",
            (Grade::Holds, false) => "*",
            (Grade::WithinRating, false) => "+",
            (Grade::BeyondRating, false) => "!",
            (Grade::Contradicted, false) => "x",
            (Grade::NotJudged, false) => ".",
        }
    }

    /// The sign of what one way to buy a package makes of a promise, where no rating is known.
    pub fn sign_of(&self, outcome: Outcome) -> &'static str {
        match (outcome, self.unicode) {
            (Outcome::Undecided, true) => "◐",
            (Outcome::Undecided, false) => "?",
            (other, _) => self.sign(Grade::of(other, None)),
        }
    }

    /// Between the values of one quantity.
    pub fn dot(&self) -> &'static str {
        if self.unicode { " · " } else { " | " }
    }

    /// The rule under a heading, one column of it.
    pub fn rule(&self) -> &'static str {
        if self.unicode { "━" } else { "=" }
    }

    /// What stands where nothing is known.
    pub fn none(&self) -> &'static str {
        if self.unicode { "–" } else { "-" }
    }

    /// What stands where a line was cut.
    pub fn cut(&self) -> &'static str {
        if self.unicode { "…" } else { ".." }
    }

    /// The theme in which places are drawn; `marks` are the colours of the labels, in the order of
    /// their places.
    pub fn frames(&self, marks: &[Role]) -> GraphicalTheme {
        let style = |role| {
            if self.color {
                style(role)
            } else {
                Style::new()
            }
        };
        let (bar, under, corner, along) = if self.unicode {
            ('┆', '▔', '└', '─')
        } else {
            ('|', '^', '`', '-')
        };
        GraphicalTheme {
            characters: ThemeCharacters {
                hbar: along,
                vbar: bar,
                xbar: bar,
                vbar_break: bar,
                uarrow: under,
                rarrow: along,
                ltop: corner,
                mtop: along,
                rtop: corner,
                lbot: corner,
                rbot: corner,
                mbot: along,
                lbox: '[',
                rbox: ']',
                lcross: corner,
                rcross: along,
                underbar: under,
                underline: under,
                error: String::new(),
                warning: String::new(),
                advice: String::new(),
            },
            styles: ThemeStyles {
                error: Style::new(),
                warning: Style::new(),
                advice: Style::new(),
                help: Style::new(),
                link: Style::new(),
                linum: style(Role::Quiet),
                highlights: if marks.is_empty() {
                    vec![Style::new()]
                } else {
                    marks.iter().map(|&role| style(role)).collect()
                },
            },
        }
    }
}

fn style(role: Role) -> Style {
    let style = Style::new();
    match role {
        Role::Plain => style,
        Role::Strong => style.bold(),
        Role::Quiet => style.dimmed(),
        Role::Label => style.cyan(),
        Role::Level(Level::Error) | Role::Grade(Grade::Contradicted) => style.red().bold(),
        Role::Level(Level::Warning) | Role::Grade(Grade::BeyondRating) => style.yellow(),
        Role::Level(Level::Note) => style.cyan(),
        Role::Grade(Grade::Holds | Grade::WithinRating) => style.green(),
        Role::Grade(Grade::NotJudged) => style.dimmed(),
    }
}
