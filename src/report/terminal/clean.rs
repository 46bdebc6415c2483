//! Words of a catalog, made safe to show.

use std::borrow::Cow;

/// Stands where a character stood that would act on a terminal or can't be seen.
const STANDS_IN: char = '\u{fffd}';

/// What begins an order in a job's log, however far into its line (from memory).
const ORDERS: [&str; 2] = ["::", "##["];

/// `text` without what could act on a terminal or hide in it.
///
/// A tab and a line's end become a space. Every other control character, every character that
/// turns the direction of writing and every invisible one becomes a mark, so that a reader sees
/// that something is there. Signs that begin an order to the runner of a job, which reads its log line by line,
/// are set apart. With `ascii` the rest is spelled in ASCII.
pub fn clean(text: &str, ascii: bool) -> Cow<'_, str> {
    let is_plain = text.is_ascii() && !text.bytes().any(|byte| byte.is_ascii_control());
    if is_plain && ORDERS.iter().all(|order| !text.contains(order)) {
        return Cow::Borrowed(text);
    }
    let mut shown = String::with_capacity(text.len());
    for character in text.chars() {
        push(&mut shown, character, ascii);
    }
    Cow::Owned(shown)
}

/// Adds one character as it may be shown, apart from those with which it would begin an order.
pub fn push(shown: &mut String, character: char, ascii: bool) {
    let ends_order = |order: &str| {
        let begin = order.strip_suffix(character);
        begin.is_some_and(|begin| shown.ends_with(begin))
    };
    if ORDERS.iter().any(|order| ends_order(order)) {
        shown.push(' ');
    }
    match character {
        '\t' | '\n' | '\r' => shown.push(' '),
        ' '..='~' => shown.push(character),
        _ if acts_or_hides(character) => shown.push(if ascii { '?' } else { STANDS_IN }),
        _ if ascii => match deunicode::deunicode_char(character) {
            Some(spelled) if !spelled.is_empty() => shown.push_str(spelled),
            _ => shown.push('?'),
        },
        _ => shown.push(character),
    }
}

/// Whether a character acts on a terminal, turns the direction of writing, ends a line or takes no room.
///
/// These are the Unicode categories Cc, Cf, Zl, Zp and the characters of the property
/// Default_Ignorable_Code_Point (Unicode Character Database, from memory), which a terminal shows
/// as nothing.
fn acts_or_hides(character: char) -> bool {
    character.is_control()
        || matches!(character,
            '\u{ad}'
            | '\u{34f}'
            | '\u{600}'..='\u{605}'
            | '\u{61c}'
            | '\u{6dd}'
            | '\u{70f}'
            | '\u{890}'..='\u{891}'
            | '\u{8e2}'
            | '\u{115f}'..='\u{1160}'
            | '\u{17b4}'..='\u{17b5}'
            | '\u{180b}'..='\u{180f}'
            | '\u{200b}'..='\u{200f}'
            | '\u{2028}'..='\u{202e}'
            | '\u{2060}'..='\u{206f}'
            | '\u{3164}'
            | '\u{fe00}'..='\u{fe0f}'
            | '\u{feff}'
            | '\u{ffa0}'
            | '\u{fff0}'..='\u{fffb}'
            | '\u{110bd}'
            | '\u{110cd}'
            | '\u{13430}'..='\u{1343f}'
            | '\u{1bca0}'..='\u{1bca3}'
            | '\u{1d173}'..='\u{1d17a}'
            | '\u{fdd0}'..='\u{fdef}'
            | '\u{e0000}'..='\u{e0fff}')
        // No characters at all, and two of them no XML either.
        || u32::from(character) & 0xfffe == 0xfffe
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_acts_or_hides_becomes_a_mark() {
        assert_eq!(clean("a\u{1b}[31mb\u{7f}", false), "a\u{fffd}[31mb\u{fffd}");
        assert_eq!(
            clean("x\u{202e}y\u{200b}z\u{9b}", false),
            "x\u{fffd}y\u{fffd}z\u{fffd}"
        );
        assert_eq!(clean("a\tb\r\nc", false), "a b  c");
        assert_eq!(clean("½ × ü", false), "½ × ü");
        assert_eq!(clean("a\u{fffe}b\u{1ffff}", false), "a\u{fffd}b\u{fffd}");
    }

    #[test]
    fn no_order_to_a_runner_is_left() {
        assert_eq!(clean("::stop-commands::x", false), ": :stop-commands: :x");
        assert_eq!(clean(":::error::", false), ": : :error: :");
        assert_eq!(clean("##[group]x", false), "## [group]x");
        assert_eq!(clean(":\u{1b}:", true), ":?:");
    }

    #[test]
    fn ascii_spells_the_rest() {
        assert_eq!(clean("½ × Wüest\u{1b}", true), "1/2 x Wuest?");
        assert!(clean("日本 🐟 \u{10ffff}", true).is_ascii());
    }
}
