//! The one answer that people read of a verdict: what the physics says and what the rating says, together.

use super::criterion::Outcome;
use super::verdict::Verdict;

/// A verdict and its rating as one word. Machine formats keep the two apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Grade {
    /// It holds for every value in the ranges.
    Holds,
    /// Not for every value, but it is within what is rated: what the trade usually promises.
    WithinRating,
    /// More is promised than is rated, and some values still allow it.
    BeyondRating,
    /// No value in the ranges allows it.
    Contradicted,
    /// A fact is missing, or nobody judges such a promise.
    NotJudged,
}

impl Grade {
    /// All, in the order of a list.
    pub const ALL: [Grade; 5] = [
        Grade::Holds,
        Grade::WithinRating,
        Grade::BeyondRating,
        Grade::Contradicted,
        Grade::NotJudged,
    ];

    /// Of an outcome, where it is known whether the promise is within the rating.
    pub fn of(outcome: Outcome, within_rating: Option<bool>) -> Grade {
        match (outcome, within_rating) {
            (Outcome::Contradicted, _) => Grade::Contradicted,
            (Outcome::NotEvaluated, _) | (Outcome::Undecided, None) => Grade::NotJudged,
            (_, Some(false)) => Grade::BeyondRating,
            (Outcome::Supported, _) => Grade::Holds,
            (Outcome::Undecided, Some(true)) => Grade::WithinRating,
        }
    }

    /// The words for it.
    pub fn as_str(self) -> &'static str {
        match self {
            Grade::Holds => "holds",
            Grade::WithinRating => "within rating",
            Grade::BeyondRating => "beyond rating",
            Grade::Contradicted => "contradicted",
            Grade::NotJudged => "not judged",
        }
    }
}

impl std::fmt::Display for Grade {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(self.as_str())
    }
}

impl Verdict {
    /// Its one answer.
    pub fn grade(&self) -> Grade {
        match self.unjudged {
            Some(_) => Grade::NotJudged,
            None => Grade::of(self.outcome, self.within_rating),
        }
    }
}
