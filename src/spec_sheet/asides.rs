//! What stands on a page about other things, or is said by somebody else than the seller.

use super::lexicon;
use super::phrases::Phrases;
use super::vocabulary::{self, Topic};
use super::word::{Word, is_one, words};

/// Whether a passage is what somebody else than the seller says in a conversation: `visitor: is it loud`.
pub(super) fn is_strangers(text: &str) -> bool {
    const LONGEST: usize = 14;
    let begin = &text.as_bytes()[..text.len().min(LONGEST)];
    let Some(end) = memchr::memchr(b':', begin) else {
        return false;
    };
    words![
        "visitor",
        "customer",
        "client",
        "caller",
        "user",
        "guest",
        "buyer",
        "asker",
        "kunde",
        "klant",
        "man",
        "woman",
        "husband",
        "wife",
        "neighbour",
        "neighbor",
        "q",
        "you",
    ]
    .contains(&Word::read(text[..end].trim()))
}

/// Whether a passage says at its beginning that it is about other things: `People also read: …`.
pub(super) fn begins_aside(text: &str) -> bool {
    const LONGEST: usize = 40;
    let end = text
        .char_indices()
        .take(LONGEST)
        .find(|&(_, c)| c == ':')
        .map(|(at, _)| at);
    end.is_some_and(|end| is_aside(&text[..end]))
}

/// Whether the first item of a list says that all of them are of other things.
pub(super) fn begins_list_of_others(text: &str) -> bool {
    let first = text
        .split(|c: char| !c.is_alphabetic())
        .next()
        .unwrap_or("");
    is_one!(
        Word::read(first),
        "also" | "more" | "others" | "people" | "customers" | "related" | "similar"
    ) && begins_aside(text)
}

/// Whether a heading stands over what isn't about the thing that the page sells.
pub(super) fn is_aside(heading: &str) -> bool {
    const LONGEST: usize = 60;
    if heading.len() > LONGEST {
        return false;
    }
    // `Warranty & returns` heads terms of the thing itself.
    let warrants = heading
        .split(|c: char| !c.is_alphanumeric())
        .any(|word| vocabulary::topic(word) == Some(Topic::Warranty));
    if warrants {
        return false;
    }
    // `Too big for it?`: what it doesn't do.
    let begins = |words: &str| {
        let begin = heading.get(..words.len());
        begin.is_some_and(|begin| begin.eq_ignore_ascii_case(words))
    };
    if begins("too ") && heading.ends_with('?') && !heading.to_lowercase().contains("small") {
        return true;
    }
    ASIDES.said(heading) != 0
}

/// Phrases of headings over such things.
static ASIDES: Phrases = Phrases::new(&[(1, lexicon::BESIDE)]);
