//! What can be wrong with the text of a catalog, before any key is looked at.

use crate::text::Span;

/// Which of the reading rules a problem belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ProblemKind {
    /// The text isn't TOML 1.0.
    Syntax,
    /// Bytes that aren't UTF-8, or characters that could act on a terminal or hide text.
    Encoding,
    /// Larger, deeper or with more keys than is read; or more problems than are listed.
    Limit,
}

/// One fault of a text, at its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Where it is. Lies within the text; it may hold no byte where something is missing.
    pub span: Span,
    /// The rule it belongs to.
    pub kind: ProblemKind,
    /// Another place that has to do with it, and what is there.
    pub related: Option<(Span, &'static str)>,
    pub(super) fault: Fault,
}

impl Problem {
    /// What is wrong, what was expected, and how to mend it.
    pub fn message(&self) -> String {
        self.fault.message()
    }
}

/// A short piece of the user's text, kept for the message.
pub(super) type Words = Box<str>;

/// Every fault the reader knows by name.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Fault {
    // A whole line.
    NotALine,
    OtherComment(&'static str),
    DashList,
    KeyAlone(Words),
    Colon(Words),
    MissingEquals(Words),
    DoubleEquals,
    MissingKey,
    KeyOfSeveralWords(Words),
    KeyCharacter(Words, char),
    KeyDots,
    KeyTripleQuotes,
    StrayBracket(char),
    StrayComma,
    LineOfBraces,
    Conflict,
    LoneReturns(usize),
    // A header.
    HeaderUnclosed(&'static str),
    HeaderEmpty,
    HeaderName,
    HeaderBrackets,
    AfterHeader,
    // A value.
    MissingValue(Words),
    QuantityUnquoted(Words),
    QuantityComma(Words),
    TextUnquoted(Words),
    SmartQuotes(Words),
    MissingOpeningQuote,
    FeetInchMarks,
    BooleanWord(bool),
    NoValueWord(Words),
    NoSuchDate(Words),
    DateOrder(Words),
    DecimalComma(Words),
    NumberTooLarge,
    LeadingZero(Words),
    BarePoint(Words),
    MalformedNumber(Words),
    MoneySign(Words),
    UnclosedString(char),
    UnclosedText(&'static str),
    UnopenedText(&'static str),
    QuoteInText,
    BadEscape(Words),
    CommaAtEnd,
    ListWithoutBrackets,
    AfterValue,
    TwoOnALine,
    // Brackets.
    UnclosedList,
    UnclosedBraces,
    MissingComma,
    ExtraComma,
    PairInList,
    BracesNeedKey,
    PairOverLines,
    UnopenedBraces,
    WrongBracket { found: char, expected: char },
    // Definitions.
    DuplicateKey(Words),
    DuplicateTable(Words),
    NotATable(Words),
    NotAList(Words),
    IsAList(Words),
    BracesAreClosed(Words),
    HasOwnHeader(Words),
    // Only in TOML 1.1.
    NewerLineBreak,
    NewerComma,
    NewerEscape(Words),
    NewerTime(Words),
    // Encoding.
    Utf16,
    NotUtf8(usize),
    Control(char),
    Hidden(char),
    EscapedControl(Words),
    // Limits.
    TooLarge(u64),
    TooDeep(usize),
    TooManyKeys(usize),
    MoreProblems(usize),
}

impl Fault {
    /// Whether it is clear where the faulty piece ends, so that what else is wrong on its line
    /// has a cause of its own. Of other faults the first on a line is reported.
    pub(super) fn is_contained(&self) -> bool {
        matches!(
            self,
            Fault::Colon(_)
                | Fault::QuantityUnquoted(_)
                | Fault::QuantityComma(_)
                | Fault::TextUnquoted(_)
                | Fault::SmartQuotes(_)
                | Fault::FeetInchMarks
                | Fault::BooleanWord(_)
                | Fault::NoValueWord(_)
                | Fault::NoSuchDate(_)
                | Fault::DateOrder(_)
                | Fault::DecimalComma(_)
                | Fault::NumberTooLarge
                | Fault::LeadingZero(_)
                | Fault::BarePoint(_)
                | Fault::MalformedNumber(_)
                | Fault::MoneySign(_)
                | Fault::BadEscape(_)
                | Fault::ExtraComma
                | Fault::DuplicateKey(_)
                | Fault::NotATable(_)
                | Fault::BracesAreClosed(_)
                | Fault::HasOwnHeader(_)
                | Fault::NewerLineBreak
                | Fault::NewerComma
                | Fault::NewerEscape(_)
                | Fault::NewerTime(_)
        )
    }
}
