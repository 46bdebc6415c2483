//! The words of each problem, written for a person who keeps a list of pond aerators.
//!
//! Each says what was found or expected and how to mend it; none needs the reader to know
//! how TOML is read.

use super::marks::is_unsafe;
use super::problem::Fault;

impl Fault {
    /// The message, in one or two sentences.
    pub(super) fn message(&self) -> String {
        self.line()
            .or_else(|| self.value())
            .or_else(|| self.brackets())
            .or_else(|| self.definition())
            .unwrap_or_else(|| self.whole_text())
    }

    /// Lines and headers.
    fn line(&self) -> Option<String> {
        Some(match self {
            Fault::NotALine => {
                "This line can't be read. Expected `key = value`, a header like `[compressor.small]`, or a comment that begins with `#`.".into()
            }
            Fault::OtherComment(sign) => {
                format!("A comment begins with `#` here, not with `{sign}`.")
            }
            Fault::DashList => {
                "A line can't begin with `-`. A list is written in square brackets: `key = [\"first\", \"second\"]`.".into()
            }
            Fault::KeyAlone(key) => {
                format!("{} has no value. Write `{} = …`, with its value after the equals sign.", code(key), short(key))
            }
            Fault::Colon(key) => {
                format!("Expected `=` after {}, found a colon. Write `{} = …`.", code(key), short(key))
            }
            Fault::MissingEquals(key) => {
                format!("The `=` between {} and its value is missing. Write `{} = …`.", code(key), short(key))
            }
            Fault::DoubleEquals => "One `=` between a key and its value is enough.".into(),
            Fault::MissingKey => {
                "There is no key before this `=`. Write what the value is called, as in `power = \"38 W\"`.".into()
            }
            Fault::KeyOfSeveralWords(key) => format!(
                "A key is one word. Join its words, as in `{}`, or put the whole key in quotes.",
                short(&key.split_whitespace().collect::<Vec<_>>().join("_"))
            ),
            Fault::KeyCharacter(key, character) => format!(
                "A key without quotes has only letters a to z, digits, `_` and `-`; this one has `{character}`. Rename it, or write it in quotes: `\"{}\"`.",
                short(key)
            ),
            Fault::KeyDots => {
                "Something is missing beside a dot in this key. Dots stand between two names, as in `site.water`.".into()
            }
            Fault::KeyTripleQuotes => "A key can't stand in triple quotes. Use one quotation mark on each side.".into(),
            Fault::StrayBracket(bracket) => {
                format!("This `{bracket}` closes nothing. Take it out, or put in the bracket that should open before it.")
            }
            Fault::StrayComma => "A line can't begin with a comma outside of a list. Take the comma out.".into(),
            Fault::LineOfBraces => {
                "A line can't begin with `{`. Write `key = { … }`, or give the table a header of its own: `[name]`.".into()
            }
            Fault::Conflict => {
                "Two versions of this file were merged and the conflict was left standing. Keep the lines that are right and delete the marker lines (`<<<<<<<`, `=======`, `>>>>>>>`). The first version was read.".into()
            }
            Fault::LoneReturns(count) => format!(
                "Lines of this file end in a carriage return alone ({count} in all), which other TOML readers refuse. Save the file with line ends of the kind LF or CRLF."
            ),
            Fault::HeaderUnclosed(close) => {
                format!("This header isn't closed. Expected `{close}` after the name, as in `[compressor.small]` or `[[package.pair.option]]`.")
            }
            Fault::HeaderEmpty => "This header has no name. Write one between the brackets, as in `[compressor.small]`.".into(),
            Fault::HeaderName => {
                "The name in this header can't be read. Expected words joined by dots, as in `[package.mill-pair]`; a word with spaces or other signs stands in quotes. The lines below it, up to the next header, weren't used.".into()
            }
            Fault::HeaderBrackets => {
                "The brackets of this header don't match. Write `[name]` for a table of its own, or `[[name]]` for one of several.".into()
            }
            Fault::AfterHeader => {
                "Only a comment can follow a header on its line. Move this to the next line.".into()
            }
            _ => return None,
        })
    }

    /// Values.
    fn value(&self) -> Option<String> {
        Some(match self {
            Fault::MissingValue(key) if key.is_empty() => {
                "A value is missing here. Expected one like `\"38 W\"`, `2` or `true`.".into()
            }
            Fault::MissingValue(key) => {
                format!("{} has no value. Expected one after `=`, like `\"38 W\"`, `2` or `true`.", code(key))
            }
            Fault::QuantityUnquoted(text) => {
                format!("A quantity is written in quotes, number and unit together: `\"{}\"`.", short(text))
            }
            Fault::QuantityComma(text) => format!(
                "A quantity is written in quotes and with a decimal point, not a comma: `\"{}\"`.",
                short(text)
            ),
            Fault::TextUnquoted(text) => format!("Text is written in quotes: `\"{}\"`.", short(text)),
            Fault::SmartQuotes(text) => format!(
                "These quotation marks aren't the straight ones that TOML reads. Write `\"{}\"`.",
                short(text)
            ),
            Fault::MissingOpeningQuote => {
                "This text has no quotation mark at its beginning. Put the same mark on both sides.".into()
            }
            Fault::FeetInchMarks => {
                "Feet and inches are written out and in quotes, like `\"5 ft 6 in\"`; a quotation mark would end the text.".into()
            }
            Fault::BooleanWord(value) => {
                format!("Expected `true` or `false`, in small letters. Write `{value}` if that is what is meant.")
            }
            Fault::NoValueWord(text) => {
                format!("TOML has no word for \"no value\" such as {}. Leave the whole line out instead.", code(text))
            }
            Fault::NoSuchDate(text) => {
                format!("There is no such date or time as {}. Check the day, the month and the hour.", code(text))
            }
            Fault::DateOrder(text) => format!(
                "{} can't be read as a date. A date is written year, month, day with two digits each for month and day, like `2026-05-02`.",
                code(text)
            ),
            Fault::DecimalComma(text) => format!(
                "A number has a decimal point, not a comma, and nothing between its thousands. Write `{}` if the comma stands for the decimal point.",
                short(text)
            ),
            Fault::NumberTooLarge => "This number is larger than TOML can hold.".into(),
            Fault::LeadingZero(text) => format!(
                "A number can't begin with 0. If {0} is a code or an article number, write it in quotes: `\"{1}\"`.",
                code(text),
                short(text)
            ),
            Fault::BarePoint(text) => {
                format!("A decimal point has digits on both sides. {} lacks some: write `0.5` or `5.0`.", code(text))
            }
            Fault::MalformedNumber(text) => {
                format!("{} can't be read as a number. Expected digits, like `24` or `1.5`; text stands in quotes.", code(text))
            }
            Fault::MoneySign(text) => format!(
                "{} needs quotes, and money is written with its currency's code after the amount, like `\"6.50 USD\"`.",
                code(text)
            ),
            Fault::UnclosedString(quote) => {
                format!("This text has no closing quotation mark. Expected another `{quote}` on the same line.")
            }
            Fault::UnclosedText(quotes) => {
                format!("This text of several lines is never closed. Expected another `{quotes}` where it ends.")
            }
            Fault::UnopenedText(quotes) => {
                format!("Text of several lines begins with three quotation marks. Write `{quotes}` here, as at its end.")
            }
            Fault::QuoteInText => {
                "The text ends at the quotation mark before this. Inside a text write `in` for inches, and `\\\"` for a quotation mark.".into()
            }
            Fault::BadEscape(escape) => format!(
                "A backslash in double quotes begins a special character, and there is none like {}. Write `\\\\` for a backslash, or put the text in single quotes.",
                code(escape)
            ),
            Fault::CommaAtEnd => "No comma stands at the end of a line outside of brackets. Take it out.".into(),
            Fault::ListWithoutBrackets => {
                "Several values make a list, which stands in square brackets: `[\"first\", \"second\"]`.".into()
            }
            Fault::AfterValue => {
                "Only a comment can follow a value on its line. Put this into the quotes if it belongs to the value, or after a `#` if it is a remark.".into()
            }
            Fault::TwoOnALine => "Each `key = value` has a line of its own. Begin a new line here.".into(),
            Fault::NewerLineBreak => format!("A table in braces stands on one line. {NEWER} Write it on one line, or give it a header of its own."),
            Fault::NewerComma => format!("No comma stands before the closing brace. {NEWER} Take the comma out."),
            Fault::NewerEscape(escape) => {
                format!("The special character {} is a newer one. {NEWER} Write it as `\\u` and four digits.", code(escape))
            }
            Fault::NewerTime(text) => format!("{} has no seconds. {NEWER} Add `:00`.", code(text)),
            _ => return None,
        })
    }

    /// Brackets and commas.
    fn brackets(&self) -> Option<String> {
        Some(match self {
            Fault::UnclosedList => "This list is never closed. Expected `]` after its last value.".into(),
            Fault::UnclosedBraces => "This `{` is never closed. Expected `}` after its last value, on the same line.".into(),
            Fault::MissingComma => "A comma is missing here. One stands between each value and the next.".into(),
            Fault::ExtraComma => "There is no value before this comma. Take the comma out, or put the value in.".into(),
            Fault::PairInList => {
                "A list holds values. To give them names, put braces round them: `{ flow = \"10 L/min\" }`.".into()
            }
            Fault::BracesNeedKey => {
                "Inside braces each value has a name. Expected `key = value`, as in `{ is = \"38 W\", at = \"15 kPa\" }`.".into()
            }
            Fault::UnopenedBraces => {
                "This row of the list is closed with `}` but not opened. Put `{` before its first key.".into()
            }
            Fault::PairOverLines => {
                "A line break stands between this key and its value. Write key, `=` and value on one line.".into()
            }
            Fault::WrongBracket { found, expected } => {
                format!("Found `{found}` where `{expected}` closes. The bracket that closes is of the kind that opened.")
            }
            _ => return None,
        })
    }

    /// What is defined twice, or as two things.
    fn definition(&self) -> Option<String> {
        Some(match self {
            Fault::DuplicateKey(key) => format!(
                "{} is written twice in one table. The first counts; take one of them out.",
                code(key)
            ),
            Fault::DuplicateTable(name) => format!(
                "The table `[{0}]` stands twice. The first counts, and what is below this one isn't used; rename one of them or join the two.",
                short(name)
            ),
            Fault::NotATable(key) => format!(
                "{} already has a value, so it can't be a table too. Rename one of them.",
                code(key)
            ),
            Fault::NotAList(name) => format!(
                "`[[{0}]]` is one of several, but {1} is already something else. Write all of them as `[[{0}]]`, or rename this one.",
                short(name),
                code(name)
            ),
            Fault::IsAList(name) => format!(
                "{1} is already one of several, written `[[{0}]]`. Write this one with two brackets too, or rename it.",
                short(name),
                code(name)
            ),
            Fault::BracesAreClosed(key) => format!(
                "{} was written in braces, and nothing can be added to it elsewhere. Put this into the braces.",
                code(key)
            ),
            Fault::HasOwnHeader(key) => format!(
                "{} has a header of its own. Write this below that header instead.",
                code(key)
            ),
            _ => return None,
        })
    }

    /// Encoding and limits.
    fn whole_text(&self) -> String {
        match self {
            Fault::Utf16 => "This file is saved as UTF-16 and wasn't read. Save it as UTF-8.".into(),
            Fault::NotUtf8(1) => {
                "This file isn't wholly UTF-8: one byte can't be read, and the value it stands in wasn't used. Save the file as UTF-8.".into()
            }
            Fault::NotUtf8(count) => format!(
                "This file isn't wholly UTF-8: {count} bytes can't be read, the first here, and the values they stand in weren't used. Save the file as UTF-8."
            ),
            Fault::Control(character) => format!(
                "There is an invisible control character here (U+{:04X}), which TOML doesn't allow. Delete it.",
                u32::from(*character)
            ),
            Fault::Hidden(character) => format!(
                "There is an invisible character here (U+{:04X}) that can change how the text looks. Delete it; it may have come along from a web page.",
                u32::from(*character)
            ),
            Fault::EscapedControl(escape) => format!(
                "{} stands for a control character, which could act on the screen that shows it. Take it out.",
                code(escape)
            ),
            Fault::TooLarge(limit) => format!(
                "This file is larger than {} MiB and wasn't read. Divide it.",
                limit / (1024 * 1024)
            ),
            Fault::TooDeep(limit) => format!(
                "Tables and lists are nested more than {limit} deep here; these weren't read."
            ),
            Fault::TooManyKeys(limit) => format!(
                "This file has more than {limit} keys and values; reading stopped here. Divide it."
            ),
            Fault::MoreProblems(1) => "There is 1 more problem in this file that isn't listed.".into(),
            Fault::MoreProblems(count) => {
                format!("There are {count} more problems in this file that aren't listed.")
            }
            // The other groups have said everything else.
            _ => String::new(),
        }
    }
}

/// What the syntax of TOML 1.1 means for the file.
const NEWER: &str =
    "It was read, but only readers of TOML 1.1 accept this; others refuse the file.";

/// The longest piece of the user's text that a message repeats, in characters.
const LONGEST: usize = 40;

fn short(text: &str) -> String {
    let mut shown: String = text
        .chars()
        .take(LONGEST)
        .map(|c| {
            if c.is_control() || is_unsafe(c) {
                ' '
            } else {
                c
            }
        })
        .collect();
    if text.chars().nth(LONGEST).is_some() {
        shown.push('…');
    }
    shown
}

fn code(text: &str) -> String {
    format!("`{}`", short(text))
}
