//! The text of a sheet in passages, each with the way back to the bytes it came from.
//!
//! A passage is what a person reads in one go: a paragraph, a heading, a table's cell, a list's item.
//! Its text is decoded: entities are characters, tags inside a word are gone. A [`Piece`] says which
//! bytes of the file a part of the text stands for.

use std::num::NonZeroU32;
use std::ops::Range;

use compact_str::CompactString;
use smallvec::SmallVec;

/// What a passage is on its page.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A heading of that level, from 1.
    Heading(u8),
    /// Running text, a line of plain text, a list's item.
    Text,
    /// What somebody else is quoted with.
    Quote,
    /// A cell of a table.
    Cell {
        /// Number of the table in the sheet.
        table: u32,
        /// Row, from 0, the heads included.
        row: u32,
        /// Column, from 0.
        column: u32,
        /// Whether it is a head by its markup.
        head: bool,
    },
    /// The term of a definition list.
    Term,
    /// What a term is explained by.
    Definition,
    /// The words that stand for a picture.
    Alternative,
}

/// Which bytes of the file a part of a passage's text stands for.
///
/// Where both are equally long, byte stands for byte; else the part can't be told apart further.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// First byte in the passage's text.
    pub at: u32,
    /// Length there.
    pub len: u32,
    /// First byte in the file.
    pub source: u32,
    /// Length there.
    pub source_len: u32,
}

/// A stretch of text that is read in one go.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Passage {
    /// What it is.
    pub role: Role,
    /// Its text, decoded; that of most cells and labels is short.
    pub text: CompactString,
    /// Where the text comes from, in order; mostly in one piece.
    pub pieces: SmallVec<[Piece; 1]>,
    /// The heading it stands under, as its number among the passages.
    pub under: Option<u32>,
    /// The term that it explains, as its number among the passages.
    pub term: Option<u32>,
    /// The page, from 1, where the file has pages and no bytes to point at.
    pub page: Option<NonZeroU32>,
}

impl Passage {
    /// The bytes of the file that the bytes `range` of the text stand for.
    pub fn source(&self, range: Range<usize>) -> Range<usize> {
        let first = self.piece_at(range.start);
        let last = self.piece_at(range.end.saturating_sub(1).max(range.start));
        let (Some(first), Some(last)) = (first, last) else {
            return 0..0;
        };
        let start = if first.len == first.source_len {
            let into = (range.start as u32).saturating_sub(first.at).min(first.len);
            first.source + into
        } else {
            first.source
        };
        let end = if last.len == last.source_len {
            let into = (range.end as u32).saturating_sub(last.at).min(last.len);
            last.source + into
        } else {
            last.source + last.source_len
        };
        start as usize..end.max(start) as usize
    }

    fn piece_at(&self, at: usize) -> Option<&Piece> {
        let at = at as u32;
        let after = self.pieces.partition_point(|piece| piece.at <= at);
        self.pieces.get(after.saturating_sub(1))
    }
}

/// Something of the sheet that wasn't read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unread {
    /// What and why.
    pub what: UnreadKind,
    /// Its bytes in the file; empty where it has none.
    pub at: Range<usize>,
    /// The page, for files with pages.
    pub page: Option<u32>,
}

/// What wasn't read, and why.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum UnreadKind {
    /// A picture without words that stand for it.
    Picture,
    /// Text in a language whose words aren't known; figures with units in it are read all the same.
    Language,
    /// The rest of a file that is larger than the limit.
    TooLarge,
    /// Bytes that aren't UTF-8.
    Encoding,
    /// A file of this kind that is damaged.
    Damaged,
    /// A file that is encrypted.
    Encrypted,
    /// A file that took too long or too much memory to read.
    TooMuchWork,
    /// A file of a kind that this build of the program doesn't read.
    Kind,
    /// A page that holds no text, only a picture of it.
    ScannedPage,
    /// HTML after a tag with more attributes than anybody writes.
    CrowdedTag,
    /// A file at which the program itself failed.
    Failed,
}

/// Most cells, rows or passages of one sheet; what follows isn't read, and said so.
pub const MOST_PASSAGES: usize = 4_000_000;

/// For how many passages room is set aside at once; it costs nothing until it is filled.
const MOST_AT_ONCE: usize = 1_000_000;

/// The passages while they are gathered.
#[derive(Debug, Default)]
pub struct Layout {
    /// The passages so far.
    pub passages: Vec<Passage>,
    /// What wasn't read.
    pub unread: Vec<Unread>,
    /// The package that the sheet itself says it is about.
    pub package: Option<(String, Range<usize>)>,
    /// The language the sheet says it is in.
    pub language: Option<String>,
    /// Number of tables so far.
    pub tables: u32,
    /// The open headings: level, number among the passages.
    headings: Vec<(u8, u32)>,
    text: String,
    pieces: Vec<Piece>,
    blank: Option<(u32, u32)>,
    /// Whether the next blank of the markup is none.
    joined: bool,
}

impl Layout {
    /// One for a file of that many bytes.
    pub fn of(bytes: usize) -> Layout {
        // Few passages are shorter with all their marks.
        const SHORTEST: usize = 32;
        Layout {
            passages: Vec::with_capacity((bytes / SHORTEST).min(MOST_AT_ONCE)),
            ..Layout::default()
        }
    }

    /// Adds text that stands at `source` of the file, byte for byte if both are equally long.
    ///
    /// Blanks are drawn together to one, as a browser shows them, and none stands at either end.
    pub fn push(&mut self, text: &str, source: Range<usize>) {
        let same = text.len() == source.len();
        let start = source.start as u32;
        if !same {
            // An entity, or line ends that were changed: it can only be pointed at as a whole.
            let trimmed = text.trim_matches(is_space);
            if without_width(text).is_some_and(|(_, length)| length == text.len()) {
                return;
            }
            if trimmed.is_empty() {
                if !text.is_empty() {
                    self.blank.get_or_insert((start, source.len() as u32));
                }
                return;
            }
            self.settle_blank();
            self.put(trimmed, start, source.len() as u32);
            return;
        }
        if is_plain(text) {
            self.settle_blank();
            self.put(text, start, text.len() as u32);
            return;
        }
        // What has no width isn't seen: `3<zero-width space>½` is one figure.
        let (mut rest, mut from) = (text, source.start);
        while let Some((at, length)) = without_width(rest) {
            self.push_seen(&rest[..at], from);
            rest = &rest[at + length..];
            from += at + length;
        }
        self.push_seen(rest, from);
    }

    /// Adds text byte for byte.
    fn push_seen(&mut self, text: &str, start: usize) {
        let start = start as u32;
        let bytes = text.as_bytes();
        let mut at = 0;
        while at < bytes.len() {
            let from = at;
            while at < bytes.len() && is_space_byte(bytes[at]) {
                at += 1;
            }
            if at > from {
                self.blank
                    .get_or_insert((start + from as u32, (at - from) as u32));
            }
            // One blank between two words is the usual case: such a stretch stays one piece.
            let word = at;
            while at < bytes.len() {
                if !is_space_byte(bytes[at]) {
                    at += 1;
                } else if bytes[at] == b' ' && at + 1 < bytes.len() && !is_space_byte(bytes[at + 1])
                {
                    at += 2;
                } else {
                    break;
                }
            }
            if at > word {
                self.settle_blank();
                self.put(&text[word..at], start + word as u32, (at - word) as u32);
            }
        }
    }

    fn put(&mut self, text: &str, source: u32, source_len: u32) {
        let at = self.text.len() as u32;
        self.text.push_str(text);
        let len = text.len() as u32;
        if let Some(last) = self.pieces.last_mut()
            && last.len == last.source_len
            && len == source_len
            && last.source + last.source_len == source
        {
            last.len += len;
            last.source_len += len;
            return;
        }
        self.pieces.push(Piece {
            at,
            len,
            source,
            source_len,
        });
    }

    fn settle_blank(&mut self) {
        if let Some((source, len)) = self.blank.take()
            && !self.text.is_empty()
        {
            self.put(" ", source, len);
        }
    }

    /// A blank that the markup stands for, at a place of the file.
    pub fn space(&mut self, source: usize) {
        if !std::mem::take(&mut self.joined) {
            self.blank.get_or_insert((source as u32, 0));
        }
    }

    /// Takes a blank back that the markup stood for: what follows goes on with the word.
    pub fn no_space(&mut self) {
        self.blank = None;
        self.joined = true;
    }

    /// A line's end that means something, such as `<br>`.
    pub fn line(&mut self, source: usize) {
        if !self.text.is_empty() && !self.text.ends_with('\n') {
            self.blank = None;
            self.put("\n", source as u32, 0);
        }
    }

    /// Whether the open text ends with such a character, and no blank is waiting behind it.
    pub fn ends_with(&self, is: impl Fn(char) -> bool) -> bool {
        self.blank.is_none() && self.text.ends_with(is)
    }

    /// Whether the open text is somebody's word, and not a remark that the page sets apart: who speaks says `I`,
    /// tells what was, or is named behind a dash.
    pub fn is_quotation(&self) -> bool {
        let text = self.text.trim();
        let speaks = text
            .split(|c: char| !(c.is_alphanumeric() || matches!(c, '\'' | '’')))
            .any(|word| {
                [
                    "i", "i've", "i’ve", "i'm", "i’m", "my", "mine", "me", "was", "had", "ich",
                    "mein",
                ]
                .iter()
                .any(|known| word.eq_ignore_ascii_case(known))
            });
        let named = text.rsplit_once(['—', '–', '~']).is_some_and(|(_, name)| {
            !name.trim().is_empty() && name.split_whitespace().count() <= 5
        });
        speaks || named || text.ends_with('?') || text.starts_with(['"', '“', '„', '«'])
    }

    /// Whether the passage before says who speaks: `joe wrote:`.
    pub fn is_led_in(&self) -> bool {
        self.passages.last().is_some_and(|before| {
            ["wrote:", "said:", "asked:", "asks:", "schrieb:", "writes:"]
                .iter()
                .any(|word| before.text.ends_with(word))
                || before.text.ends_with(':')
                    && before.text.len() <= 80
                    && [
                        " wrote ",
                        " schrieb ",
                        " a écrit ",
                        " schreef ",
                        " escribió ",
                        " skrev ",
                        " ha scritto ",
                    ]
                    .iter()
                    .any(|word| before.text.contains(word))
        })
    }

    /// Whether text is waiting for its passage to end.
    pub fn is_open(&self) -> bool {
        !self.text.is_empty()
    }

    /// Ends the passage; none is made of nothing. Its number, if there is one.
    pub fn end(&mut self, role: Role) -> Option<u32> {
        self.blank = None;
        self.joined = false;
        while self.text.ends_with('\n') {
            self.text.pop();
            self.pieces.pop();
        }
        if self.text.is_empty() {
            self.pieces.clear();
            return None;
        }
        // The memory that a passage was gathered in serves the next one.
        let text = CompactString::from(self.text.as_str());
        let pieces: SmallVec<[Piece; 1]> = SmallVec::from_slice(&self.pieces);
        self.text.clear();
        self.pieces.clear();
        if self.passages.len() >= MOST_PASSAGES {
            if self.unread.last().map(|one| one.what) != Some(UnreadKind::TooLarge) {
                let at = pieces.first().map_or(0, |piece| piece.source as usize);
                self.unread.push(Unread {
                    what: UnreadKind::TooLarge,
                    at: at..at,
                    page: None,
                });
            }
            return None;
        }
        if let Role::Heading(level) = role {
            while self.headings.last().is_some_and(|&(open, _)| open >= level) {
                self.headings.pop();
            }
        }
        let number = self.passages.len() as u32;
        self.passages.push(Passage {
            role,
            text,
            pieces,
            under: self.headings.last().map(|&(_, number)| number),
            term: None,
            page: None,
        });
        if let Role::Heading(level) = role {
            self.headings.push((level, number));
        }
        Some(number)
    }

    /// Notes something that wasn't read.
    pub fn unread(&mut self, what: UnreadKind, at: Range<usize>) {
        self.unread.push(Unread {
            what,
            at,
            page: None,
        });
    }
}

/// Whether a text is ASCII with no blanks but single ones between its words, as most is.
fn is_plain(text: &str) -> bool {
    let bytes = text.as_bytes();
    let [first, .., last] = bytes else {
        return bytes.first().is_some_and(|&byte| byte.is_ascii_graphic());
    };
    // No loop stops early here, so that many bytes are looked at in one step.
    let is_odd = |odd: bool, &byte: &u8| odd | !(b' '..=0x7e).contains(&byte);
    let is_double = |double: bool, (&a, &b): (&u8, &u8)| double | ((a == b' ') & (b == b' '));
    *first != b' '
        && *last != b' '
        && !bytes.iter().fold(false, is_odd)
        && !bytes.iter().zip(&bytes[1..]).fold(false, is_double)
}

/// The first character without width, and its length.
fn without_width(text: &str) -> Option<(usize, usize)> {
    let bytes = text.as_bytes();
    memchr::memchr3_iter(0xc2, 0xe2, 0xef, bytes).find_map(|at| {
        let length = match bytes.get(at..)? {
            [0xc2, 0xad, ..] => 2,
            [0xe2, 0x80, 0x8b..=0x8d, ..] | [0xe2, 0x81, 0xa0, ..] | [0xef, 0xbb, 0xbf, ..] => 3,
            _ => return None,
        };
        Some((at, length))
    })
}

fn is_space_byte(byte: u8) -> bool {
    matches!(byte, b' ' | b'\t' | b'\n' | b'\r' | 0x0c)
}

fn is_space(c: char) -> bool {
    matches!(c, ' ' | '\t' | '\n' | '\r' | '\u{c}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn blanks_are_drawn_together_and_places_kept() {
        let mut layout = Layout::default();
        layout.push("  up  to\n 6 ft ", 10..25);
        layout.push("²", 30..36);
        layout.end(Role::Text);
        let passage = &layout.passages[0];
        assert_eq!(passage.text, "up to 6 ft ²");
        assert_eq!(passage.source(0..2), 12..14);
        assert_eq!(passage.source(6..10), 20..24);
        assert_eq!(passage.source(11..13), 30..36);
    }

    #[test]
    fn a_passage_knows_the_heading_it_stands_under() {
        let mut layout = Layout::default();
        let mut add = |text: &str, role| {
            layout.push(text, 0..text.len());
            layout.end(role)
        };
        add("One", Role::Heading(1));
        add("Two", Role::Heading(2));
        add("under two", Role::Text);
        add("Three", Role::Heading(1));
        add("under three", Role::Text);
        let under: Vec<Option<u32>> = layout.passages.iter().map(|p| p.under).collect();
        assert_eq!(under, [None, Some(0), Some(1), None, Some(3)]);
    }
}
