//! PDF: the text of its pages with the box of each word.
//!
//! What takes a PDF apart can panic, run for ever or ask for all memory on a damaged or hostile file, so it
//! never runs in the process that audits. It is run in a process of its own, under limits, which gives *placed
//! text* ([`placed_text`]); this room reads that text ([`read`]) and starts no process by itself.
//!
//! Placed text is a line `nameplate-placed-text/1 LENGTH`, then so many bytes of text with pages parted by
//! form feeds, then a line for each word and each thing that wasn't read:
//!
//! ```text
//! w START END PAGE LEFT BOTTOM RIGHT TOP
//! u KIND PAGE
//! ```
//!
//! Bytes are those of the text, boxes in points (1/72 in) from the lower left corner of the page.

#[cfg(feature = "pdf")]
mod extract;
mod lines;

use std::fmt::Write as _;

use super::claim::Claim;
use super::layout::{Layout, Unread, UnreadKind};
use super::plain;

/// The first word of placed text.
pub const MARK: &str = "nameplate-placed-text/1 ";

/// Most pages of one file; what follows isn't read, and said so.
#[cfg(feature = "pdf")]
const MOST_PAGES: usize = 2_000;

/// A box on a page, in points (1/72 in) from its lower left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Left edge.
    pub left: f32,
    /// Lower edge.
    pub bottom: f32,
    /// Right edge.
    pub right: f32,
    /// Upper edge.
    pub top: f32,
}

impl Bounds {
    /// The least box that holds both.
    fn with(self, other: Bounds) -> Bounds {
        Bounds {
            left: self.left.min(other.left),
            bottom: self.bottom.min(other.bottom),
            right: self.right.max(other.right),
            top: self.top.max(other.top),
        }
    }
}

/// A word of placed text: its bytes, its page and its box.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Word {
    start: usize,
    end: usize,
    page: u32,
    bounds: Bounds,
}

/// Takes a PDF apart into placed text. It may panic, not end, or exhaust the memory: run it apart, under limits.
pub fn placed_text(bytes: &[u8]) -> String {
    #[cfg(feature = "pdf")]
    {
        extract::placed_text(bytes)
    }
    #[cfg(not(feature = "pdf"))]
    {
        let _ = bytes;
        unreadable(UnreadKind::Kind)
    }
}

/// Placed text of a file that can't be read at all.
pub fn unreadable(why: UnreadKind) -> String {
    let mut placed = Placed::default();
    placed.unread(why, 0);
    placed.written()
}

/// Placed text while it is gathered.
#[derive(Default)]
struct Placed {
    text: String,
    notes: String,
}

impl Placed {
    fn word(&mut self, word: Word) {
        let Word { start, end, page, bounds } = word;
        let Bounds { left, bottom, right, top } = bounds;
        let _ = writeln!(self.notes, "w {start} {end} {page} {left:.1} {bottom:.1} {right:.1} {top:.1}");
    }

    fn unread(&mut self, why: UnreadKind, page: u32) {
        let _ = writeln!(self.notes, "u {} {page}", word_of(why));
    }

    fn written(&self) -> String {
        format!("{MARK}{}\n{}\n{}", self.text.len(), self.text, self.notes)
    }
}

/// What can be said of a PDF, and its word in placed text.
static REASONS: &[(UnreadKind, &str)] = &[
    (UnreadKind::TooLarge, "too-large"),
    (UnreadKind::Damaged, "damaged"),
    (UnreadKind::Encrypted, "encrypted"),
    (UnreadKind::TooMuchWork, "too-much-work"),
    (UnreadKind::Kind, "kind"),
    (UnreadKind::ScannedPage, "scanned-page"),
];

fn word_of(why: UnreadKind) -> &'static str {
    REASONS.iter().find(|(kind, _)| *kind == why).map_or("damaged", |(_, word)| word)
}

/// The words of a sheet in the order of their bytes, to find the box of a claim.
pub struct Words(Vec<Word>);

/// Reads placed text into passages.
pub fn read(source: &str, layout: &mut Layout) -> Words {
    let Some((from, length)) = head(source) else {
        // The bytes of the PDF itself, or nothing of ours.
        let what = if source.starts_with("%PDF") { UnreadKind::Kind } else { UnreadKind::Damaged };
        layout.unread(what, 0..0);
        return Words(Vec::new());
    };
    let end = from + length;
    let (text, notes) = (&source[from..end], &source[end..]);
    let mut words: Vec<Word> = Vec::new();
    for line in notes.lines() {
        if let Some(word) = word(line, from, end) {
            words.push(word);
        } else if let Some((what, page)) = reason(line) {
            let at = if page == 0 { 0..0 } else { page_at(text, from, page) };
            layout.unread.push(Unread {
                what,
                at,
                page: (page > 0).then_some(page),
            });
        }
    }
    words.sort_by_key(|word| word.start);
    plain::read(text, from, layout);
    let words = Words(words);
    for passage in &mut layout.passages {
        let start = passage.source(0..1).start;
        passage.page = words.at(start).map(|word| word.page);
    }
    words
}

impl Words {
    /// The word that holds a byte of the source, or the next one.
    fn at(&self, byte: usize) -> Option<&Word> {
        self.0.get(self.0.partition_point(|word| word.end <= byte))
    }

    /// Gives claims the page and the box of their figures.
    pub fn place(&self, claims: &mut [Claim]) {
        for claim in claims {
            let first = self.0.partition_point(|word| word.end <= claim.at.start);
            let own = self.0.iter().skip(first).take_while(|word| word.start < claim.at.end.max(claim.at.start + 1));
            // A figure that goes on over the page's end is shown by its first part.
            let mut found: Option<(u32, Bounds)> = None;
            for word in own {
                found = match found {
                    None => Some((word.page, word.bounds)),
                    Some((page, bounds)) if page == word.page => Some((page, bounds.with(word.bounds))),
                    other => other,
                };
            }
            claim.page = found.map(|(page, _)| page).or(claim.page);
            claim.bounds = found.map(|(_, bounds)| bounds);
        }
    }
}

/// Where the text begins, and its length.
fn head(source: &str) -> Option<(usize, usize)> {
    let rest = source.strip_prefix(MARK)?;
    let (length, _) = rest.split_once('\n')?;
    let from = MARK.len() + length.len() + 1;
    let length: usize = length.parse().ok()?;
    source.get(from..from.checked_add(length)?)?;
    Some((from, length))
}

fn word(line: &str, from: usize, most: usize) -> Option<Word> {
    let mut parts = line.strip_prefix("w ")?.split(' ');
    let mut number = || parts.next()?.parse::<usize>().ok();
    let (start, end, page) = (from.checked_add(number()?)?, from.checked_add(number()?)?, number()?);
    let mut edge = || parts.next()?.parse::<f32>().ok().filter(|edge| edge.is_finite());
    let bounds = Bounds {
        left: edge()?,
        bottom: edge()?,
        right: edge()?,
        top: edge()?,
    };
    (start <= end && end <= most).then_some(Word {
        start,
        end,
        page: page as u32,
        bounds,
    })
}

fn reason(line: &str) -> Option<(UnreadKind, u32)> {
    let (word, page) = line.strip_prefix("u ")?.split_once(' ')?;
    let (kind, _) = REASONS.iter().find(|(_, known)| *known == word)?;
    Some((*kind, page.parse().ok()?))
}

/// The bytes of a page's first line, from 1.
fn page_at(text: &str, from: usize, page: u32) -> std::ops::Range<usize> {
    let mut at = 0;
    for (number, part) in text.split('\u{c}').enumerate() {
        if number + 1 == page as usize {
            let line = part.find('\n').unwrap_or(part.len());
            return from + at..from + at + line;
        }
        at += part.len() + 1;
    }
    from..from
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read() {
        let mut placed = Placed::default();
        placed.text.push_str("Depth 6 ft\u{c}");
        let bounds = Bounds {
            left: 72.0,
            bottom: 700.0,
            right: 90.0,
            top: 712.5,
        };
        placed.word(Word {
            start: 6,
            end: 7,
            page: 1,
            bounds,
        });
        placed.unread(UnreadKind::ScannedPage, 2);
        let written = placed.written();
        let mut layout = Layout::default();
        let words = read(&written, &mut layout);
        assert_eq!(layout.passages.len(), 1);
        assert_eq!(layout.passages[0].page, Some(1));
        assert_eq!(layout.unread[0].what, UnreadKind::ScannedPage);
        assert_eq!(layout.unread[0].page, Some(2));
        assert_eq!(&written[words.0[0].start..words.0[0].end], "6");
        assert_eq!(words.0[0].bounds, bounds);
    }

    #[test]
    fn what_is_no_placed_text_is_told() {
        for (source, what) in [
            ("%PDF-1.7", UnreadKind::Kind),
            ("", UnreadKind::Damaged),
            ("nameplate-placed-text/1 900\nshort", UnreadKind::Damaged),
            ("nameplate-placed-text/1 -1\n", UnreadKind::Damaged),
            ("nameplate-placed-text/1 18446744073709551615\n", UnreadKind::Damaged),
        ] {
            let mut layout = Layout::default();
            read(source, &mut layout);
            assert_eq!(layout.unread[0].what, what, "{source}");
        }
        let mut layout = Layout::default();
        read(&unreadable(UnreadKind::Encrypted), &mut layout);
        assert_eq!(layout.unread[0].what, UnreadKind::Encrypted);
    }
}
