//! Sentences in lines of a given width.

use textwrap::{Options, WordSeparator, WordSplitter, WrapAlgorithm};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::theme::Theme;

/// The no-break space: a space at which no line may end.
const GLUE: char = '\u{a0}';

/// `text` in lines of `width` columns, broken between words. A number keeps the unit after it.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    if text.width() <= width {
        return vec![text.to_string()];
    }
    let glued = glue(text, width);
    let options = Options::new(width)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .wrap_algorithm(WrapAlgorithm::FirstFit)
        .break_words(true);
    textwrap::wrap(&glued, options)
        .into_iter()
        .map(|line| line.replace(GLUE, " "))
        .collect()
}

/// Ties a number to the short word after it and to the `line` or `column` before it: `38 L/min` stays
/// on one line.
fn glue(text: &str, width: usize) -> String {
    let mut glued = String::with_capacity(text.len());
    let mut words = text.split(' ').peekable();
    while let Some(word) = words.next() {
        glued.push_str(word);
        let Some(next) = words.peek() else { break };
        let number = word.ends_with(|last: char| last.is_ascii_digit());
        let tied = (number || matches!(word.trim_start_matches('('), "line" | "column"))
            && !next.is_empty()
            && next.len() <= 10
            && word.len() + next.len() < width;
        glued.push(if tied { GLUE } else { ' ' });
    }
    glued
}

/// `text` in at most `width` columns, with a sign at its end if it was cut.
pub fn shorten(text: &str, width: usize, theme: &Theme) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let Some(room) = width.checked_sub(theme.cut().width()) else {
        return String::new();
    };
    let mut shown = String::new();
    let mut taken = 0;
    for character in text.chars() {
        taken += character.width().unwrap_or(0);
        if taken > room {
            break;
        }
        shown.push(character);
    }
    shown.push_str(theme.cut());
    shown
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_number_keeps_its_unit() {
        assert_eq!(
            wrap("it takes 24.5 kPa at least", 15),
            ["it takes", "24.5 kPa at", "least"]
        );
        assert_eq!(wrap("abcdefgh", 3), ["abc", "def", "gh"]);
        assert_eq!(wrap("", 10), [""]);
    }

    #[test]
    fn what_is_cut_says_so() {
        let theme = Theme {
            color: false,
            unicode: true,
        };
        assert_eq!(shorten("abcdef", 4, &theme), "abc…");
        assert_eq!(shorten("日本語", 4, &theme), "日…");
        assert_eq!(shorten("abc", 0, &theme), "");
    }
}
