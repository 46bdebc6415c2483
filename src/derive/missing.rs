//! What keeps a question from being answered.

use crate::text::Span;

/// A fact that isn't known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Which, in the words of a sentence: `the curve of compressor linear-38`.
    pub fact: String,
    /// Where it should stand, or stands and can't be used.
    pub place: Option<Span>,
    /// The catalog's key that holds it, where one does.
    pub key: Option<&'static str>,
    /// Whether another finding says so already.
    pub reported: bool,
    /// What fails, where nothing is missing: `the claimed depth isn't reached`.
    pub fails: Option<&'static str>,
}

impl Missing {
    /// A fact that nobody stated.
    pub fn absent(fact: impl Into<String>, place: Option<Span>) -> Missing {
        Missing {
            fact: fact.into(),
            place,
            key: None,
            reported: false,
            fails: None,
        }
    }

    /// A fact that is stated but unusable, which another rule reports.
    pub fn unusable(fact: impl Into<String>, place: Option<Span>) -> Missing {
        Missing {
            fact: fact.into(),
            place,
            key: None,
            reported: true,
            fails: None,
        }
    }

    /// Nobody left out a fact: what else is promised fails, which another rule reports, and `fact` would be without it.
    pub fn failing(fact: impl Into<String>, fails: &'static str) -> Missing {
        Missing {
            fails: Some(fails),
            ..Missing::unusable(fact, None)
        }
    }

    /// Whether somebody could supply it: not where what it waits for fails, which is said elsewhere.
    pub fn can_be_asked_for(&self) -> bool {
        !(self.reported && self.fails.is_some())
    }

    /// As a row or a list says it.
    pub fn told(&self) -> String {
        match self.fails {
            Some(fails) => fails.to_string(),
            None => format!("missing: {}", self.fact),
        }
    }

    /// The same with the catalog's key that holds it.
    #[must_use]
    pub fn of_key(mut self, key: &'static str) -> Missing {
        self.key = Some(key);
        self
    }
}
