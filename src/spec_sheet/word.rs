//! Words as numbers: to hold one against a list costs no more than to compare a few numbers.

use std::ops::Range;

use hashbrown::HashTable;

/// A token's text in small letters, filled up with noughts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Word(u128);

/// Words that something is known of.
pub struct WordMap<T>(HashTable<(Word, T)>);

impl<T> Default for WordMap<T> {
    fn default() -> WordMap<T> {
        WordMap(HashTable::new())
    }
}

impl<T: Default> WordMap<T> {
    /// What is known of a word, to be changed.
    pub fn entry(&mut self, word: Word) -> &mut T {
        let place = self.0.entry(
            word.hash(),
            |(other, _)| *other == word,
            |(other, _)| other.hash(),
        );
        &mut place.or_insert((word, T::default())).into_mut().1
    }
}

impl<T> WordMap<T> {
    /// Of how many words something is known.
    pub fn len(&self) -> usize {
        self.0.len()
    }

    /// What is known of a word.
    pub fn get(&self, word: Word) -> Option<&T> {
        let found = self.0.find(word.hash(), |(other, _)| *other == word);
        found.map(|(_, known)| known)
    }
}

impl Word {
    /// Longest that is told from others, in bytes.
    const LONGEST: usize = 16;

    /// All that are longer. Its bytes are no text's, so none of a list is equal to it.
    const LONG: Word = Word(u128::MAX);

    /// One of a list of words in small letters. Too long a one stops the build.
    pub const fn of(word: &str) -> Word {
        let bytes = word.as_bytes();
        assert!(bytes.len() <= Word::LONGEST, "a word of a list is too long");
        let mut number = 0;
        let mut at = 0;
        while at < bytes.len() {
            number |= (bytes[at] as u128) << (8 * at);
            at += 1;
        }
        Word(number)
    }

    /// One of a text, whatever its capitals.
    pub fn read(text: &str) -> Word {
        let mut bytes = [0; Word::LONGEST];
        let Some(part) = bytes.get_mut(..text.len()) else {
            return Word::read_any(text);
        };
        part.copy_from_slice(text.as_bytes());
        Word::small(u128::from_le_bytes(bytes)).unwrap_or_else(|| Word::read_any(text))
    }

    /// That of the bytes `from` up to `to` of a text, whatever its capitals.
    pub fn at(text: &str, from: usize, to: usize) -> Word {
        // Sixteen bytes are taken at once, wherever the text goes on so far.
        let whole = text
            .as_bytes()
            .get(from..)
            .and_then(|rest| rest.first_chunk());
        let length = to - from;
        if let Some(bytes) = whole
            && length < Word::LONGEST
            && let Some(word) = Word::small(u128::from_le_bytes(*bytes) & ((1 << (8 * length)) - 1))
        {
            return word;
        }
        Word::read(&text[from..to])
    }

    /// The letters of ASCII from a byte on, and how many they are; none where that many can't be told at once, or
    /// where what follows may go on with the word.
    pub fn of_letters(text: &str, from: usize) -> Option<(Word, usize)> {
        const ONES: u128 = u128::MAX / 0xff;
        const TOPS: u128 = ONES * 0x80;
        let bytes = text.as_bytes().get(from..)?.first_chunk::<16>()?;
        let number = u128::from_le_bytes(*bytes);
        // By byte: the upper bit is set from `a` on, and from behind `z` on.
        let small = (number | (ONES * 0x20)) & !TOPS;
        let from = small + ONES * (0x80 - b'a' as u128);
        let behind = small + ONES * (0x80 - b'z' as u128 - 1);
        let letters = from & !behind & !number & TOPS;
        let length = ((letters ^ TOPS).trailing_zeros() / 8) as usize;
        let next = *bytes.get(length)?;
        let is_over = length > 1 && next.is_ascii() && !matches!(next, b'0'..=b'9' | b'-' | b'\'');
        is_over.then(|| (Word(small & ((1 << (8 * length)) - 1)), length))
    }

    /// A text as it is written, capitals and all, as a key; none of one that is too long, or ends as keys are
    /// filled up.
    pub fn exact(text: &str) -> Option<Word> {
        if text.ends_with('\0') {
            return None;
        }
        let mut bytes = [0; Word::LONGEST];
        bytes
            .get_mut(..text.len())?
            .copy_from_slice(text.as_bytes());
        Some(Word(u128::from_le_bytes(bytes)))
    }

    /// Letters of ASCII made small; none where others are among them.
    fn small(number: u128) -> Option<Word> {
        const ONES: u128 = u128::MAX / 0xff;
        if number & (ONES * 0x80) != 0 {
            return None;
        }
        // By byte: the upper bit is set from `A` on, and from behind `Z` on.
        let from = number + ONES * (0x80 - b'A' as u128);
        let behind = number + ONES * (0x80 - b'Z' as u128 - 1);
        let capitals = from & !behind & (ONES * 0x80);
        Some(Word(number | capitals >> 2))
    }

    /// Whether it is longer than words are told from others.
    pub fn is_long(self) -> bool {
        self == Word::LONG
    }

    /// A number by which to look it up.
    pub fn hash(self) -> u64 {
        let halves = self.0 as u64 ^ ((self.0 >> 64) as u64).rotate_left(23);
        let mixed = halves.wrapping_mul(0x9e37_79b9_7f4a_7c15);
        mixed ^ mixed >> 29
    }

    /// One with letters beyond ASCII, whose small letters may be shorter or longer.
    #[cold]
    fn read_any(text: &str) -> Word {
        let mut bytes = [0; Word::LONGEST];
        let mut end = 0;
        for c in text.chars().flat_map(char::to_lowercase) {
            let Some(part) = bytes.get_mut(end..end + c.len_utf8()) else {
                return Word::LONG;
            };
            end += c.encode_utf8(part).len();
        }
        Word(u128::from_le_bytes(bytes))
    }
}

/// The beginning of a text in small letters, with plain blanks for those that break no line; it asks for no memory.
pub struct Lead {
    bytes: [u8; Lead::MOST],
    len: usize,
}

impl Lead {
    /// As many bytes as the characters that are ever asked for can have.
    const MOST: usize = 256;

    /// The first `characters` of a text, or what of them has room.
    pub fn of(text: &str, characters: usize) -> Lead {
        let mut lead = Lead {
            bytes: [0; Lead::MOST],
            len: 0,
        };
        let length = text.len().min(characters);
        let bytes = &text.as_bytes()[..length];
        if let Some(part) = lead.bytes.get_mut(..length)
            && bytes.is_ascii()
        {
            part.copy_from_slice(bytes);
            part.make_ascii_lowercase();
            lead.len = length;
            return lead;
        }
        let small = text.chars().take(characters).flat_map(char::to_lowercase);
        for c in small.map(plain) {
            let Some(part) = lead.bytes.get_mut(lead.len..lead.len + c.len_utf8()) else {
                break;
            };
            lead.len += c.encode_utf8(part).len();
        }
        lead
    }

    /// With blanks for line ends.
    pub fn unbroken(mut self) -> Lead {
        let ends = self.bytes.iter_mut().filter(|byte| **byte == b'\n');
        ends.for_each(|byte| *byte = b' ');
        self
    }

    /// As a text.
    pub fn as_str(&self) -> &str {
        let bytes = self.bytes.get(..self.len).unwrap_or_default();
        std::str::from_utf8(bytes).unwrap_or("")
    }

    /// How many bytes of the text that it is of its first `length` bytes stand for.
    pub fn written(&self, length: usize, text: &str) -> Option<usize> {
        let small = self.as_str().get(..length)?;
        if small.is_ascii() && text.get(..length).is_some_and(str::is_ascii) {
            return Some(length);
        }
        // Small letters may be longer than their capitals, and blanks shorter.
        let (mut read, mut written) = (0, 0);
        for c in text.chars() {
            if read >= length {
                break;
            }
            written += c.len_utf8();
            read += c
                .to_lowercase()
                .map(plain)
                .map(char::len_utf8)
                .sum::<usize>();
        }
        Some(written)
    }
}

/// A plain blank for one that breaks no line.
fn plain(c: char) -> char {
    match c {
        '\u{a0}' | '\u{202f}' => ' ',
        c => c,
    }
}

/// The stretches of letters and figures of a text.
pub fn stretches(text: &str) -> impl Iterator<Item = Range<usize>> + '_ {
    let mut at = 0;
    std::iter::from_fn(move || {
        let start = at + text[at..].find(char::is_alphanumeric)?;
        let length = text[start..].find(|c: char| !c.is_alphanumeric());
        at = length.map_or(text.len(), |length| start + length);
        Some(start..at)
    })
}

/// What of `text` follows the first of `words` that it begins with.
pub fn strip_any<'a>(text: &'a str, words: &[&str]) -> Option<&'a str> {
    let first = text.as_bytes().first()?;
    words
        .iter()
        .filter(|word| word.as_bytes().first() == Some(first))
        .find_map(|word| text.strip_prefix(word))
}

/// Whether a [`Word`] is one of these, written in small letters.
macro_rules! is_one {
    ($word:expr, $($known:literal)|+ $(,)?) => {{
        let word: $crate::spec_sheet::word::Word = $word;
        $(word == const { $crate::spec_sheet::word::Word::of($known) })||+
    }};
}

/// A list of [`Word`]s, written in small letters.
macro_rules! words {
    ($($known:literal),+ $(,)?) => {
        const { &[$($crate::spec_sheet::word::Word::of($known)),+] }
    };
}

pub(super) use {is_one, words};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn capitals_make_no_difference_and_length_does() {
        assert!(is_one!(Word::read("FÜR"), "pro" | "für"));
        assert!(is_one!(Word::read("Energy-Efficient"), "energy-efficient"));
        assert!(!is_one!(
            Word::read("energy-efficients"),
            "energy-efficient"
        ));
        assert!(!is_one!(Word::read("oft"), "ft" | "of" | "often"));
        assert!(words!["to", "’bout"].contains(&Word::read("’BOUT")));
        assert_eq!(Word::read(""), Word::default());
        let text = "OM-38 for ½ ACRE @[`{";
        for from in 0..text.len() {
            for to in (from..=text.len()).filter(|&to| text.get(from..to).is_some()) {
                let small = text[from..to].to_lowercase();
                let expected = if small.len() > Word::LONGEST {
                    Word::LONG
                } else {
                    Word::of(&small)
                };
                assert_eq!(Word::at(text, from, to), expected, "{small}");
            }
        }
    }

    #[test]
    fn letters_are_told_at_once() {
        let fill = " and so on, and so on";
        for (text, expected) in [
            ("Acre", Some("acre")),
            ("zAZ@", Some("zaz")),
            ("LPM/", Some("lpm")),
            ("ft.", Some("ft")),
            ("fifteen-letters", None),
            ("a", None),
            ("I.D.", None),
            ("m3", None),
            ("don't", None),
            ("maß", None),
            ("abcdefghijklmno.", Some("abcdefghijklmno")),
            ("abcdefghijklmnop.", None),
            ("[x", None),
        ] {
            let text = format!("é{text}{fill}");
            let found = Word::of_letters(&text, 2);
            let expected = expected.map(|word| (Word::of(word), word.len()));
            assert_eq!(found, expected, "{text}");
        }
        assert_eq!(Word::of_letters("Acre and no mor", 0), None);
        assert_eq!(
            Word::of_letters("Acre é and so on", 0),
            Some((Word::of("acre"), 4))
        );
    }

    #[test]
    fn a_lead_knows_how_long_it_was_written() {
        let text = "İ 5\u{a0}FT";
        let lead = Lead::of(text, 40);
        assert_eq!(lead.as_str(), "i\u{307} 5 ft");
        let small = "i\u{307} 5 ".len();
        assert_eq!(lead.written(small, text), Some("İ 5\u{a0}".len()));
        assert_eq!(Lead::of("Per Month", 3).as_str(), "per");
        assert_eq!(Lead::of("up\nTO", 5).unbroken().as_str(), "up to");
        assert!(Lead::of(&"ß".repeat(1000), 1000).as_str().len() <= Lead::MOST);
    }

    #[test]
    fn the_first_that_a_text_begins_with_is_stripped() {
        assert_eq!(strip_any("per month", &["each ", "per "]), Some("month"));
        assert_eq!(strip_any("month", &["each ", "per "]), None);
        assert_eq!(strip_any("", &["each "]), None);
    }
}
