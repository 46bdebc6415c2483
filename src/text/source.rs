//! One text of a run, and the numbered set of them.

use std::sync::{Arc, OnceLock};

use super::{FileId, LineIndex, PagedText, Position, Span};

/// Why some bytes of a text couldn't be decoded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DecodingFault {
    /// The text is UTF-16 (seen by its byte-order mark); none of it was read.
    Utf16,
    /// `count` bytes aren't UTF-8, the first at `at`.
    NotUtf8 {
        /// Byte offset of the first.
        at: usize,
        /// How many there are in all.
        count: usize,
    },
}

/// A text as the program reads it.
///
/// Every byte keeps its place: a byte that isn't UTF-8 stands as `?` in [`Source::text`]
/// and is listed in [`Source::undecoded`], so that what holds it can be left unread.
#[derive(Debug)]
pub struct Source {
    name: String,
    text: Arc<str>,
    fault: Option<DecodingFault>,
    undecoded: Vec<std::ops::Range<usize>>,
    lines: OnceLock<LineIndex>,
    pages: Option<PagedText>,
}

impl Source {
    /// A text larger than this isn't read: 256 MiB, far beyond any catalog.
    pub const MAX_BYTES: u64 = 256 * 1024 * 1024;

    /// Decodes `bytes`; `name` is how a report calls the text.
    pub fn new(name: impl Into<String>, bytes: Vec<u8>) -> Self {
        let mut source = Source {
            name: name.into(),
            text: Arc::default(),
            fault: None,
            undecoded: Vec::new(),
            lines: OnceLock::new(),
            pages: None,
        };
        if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
            source.fault = Some(DecodingFault::Utf16);
            return source;
        }
        source.text = match String::from_utf8(bytes) {
            Ok(text) => text.into(),
            Err(error) => source.decode_damaged(error.into_bytes()).into(),
        };
        source
    }

    /// A text that was taken from pages: its bytes are none of the file's.
    pub fn paged(name: impl Into<String>, mut pages: PagedText) -> Self {
        Source {
            text: pages.take_text().into(),
            pages: Some(pages),
            ..Source::new(name, Vec::new())
        }
    }

    /// Puts `?` for each byte that isn't UTF-8 and remembers where.
    fn decode_damaged(&mut self, mut bytes: Vec<u8>) -> String {
        let mut from = 0;
        while let Err(error) = std::str::from_utf8(&bytes[from..]) {
            let start = from + error.valid_up_to();
            let end = error.error_len().map_or(bytes.len(), |len| start + len);
            bytes[start..end].fill(b'?');
            match self.undecoded.last_mut() {
                Some(last) if last.end == start => last.end = end,
                _ => self.undecoded.push(start..end),
            }
            from = end;
        }
        self.fault = self.undecoded.first().map(|first| DecodingFault::NotUtf8 {
            at: first.start,
            count: self.undecoded.iter().map(|range| range.len()).sum(),
        });
        String::from_utf8(bytes).unwrap_or_default()
    }

    /// How a report calls the text: a path as given, with forward slashes.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text, byte for byte as long as the file (a byte-order mark included).
    pub fn text(&self) -> &str {
        &self.text
    }

    /// The same, for what outlives the text.
    pub(crate) fn shared_text(&self) -> Arc<str> {
        self.text.clone()
    }

    /// The pages it was taken from, if it was.
    pub fn pages(&self) -> Option<&PagedText> {
        self.pages.as_ref()
    }

    /// What couldn't be decoded, if anything.
    pub fn fault(&self) -> Option<DecodingFault> {
        self.fault
    }

    /// Where the bytes stand that couldn't be decoded, in order.
    pub fn undecoded(&self) -> &[std::ops::Range<usize>] {
        &self.undecoded
    }

    /// The lines; found at the first call.
    pub fn lines(&self) -> &LineIndex {
        self.lines.get_or_init(|| LineIndex::new(&self.text))
    }

    /// Line and column of byte `at`; a place past the end is the end.
    pub fn position(&self, at: usize) -> Position {
        let mut at = at.min(self.text.len());
        while !self.text.is_char_boundary(at) {
            at -= 1;
        }
        let line = self.lines().line_of(at);
        let start = self.lines().start_of(line).unwrap_or(0);
        let before = &self.text[start..at];
        // A byte-order mark is no character of the first line.
        let column = before.trim_start_matches('\u{feff}').chars().count();
        Position {
            line: line + 1,
            column: column + 1,
        }
    }

    /// The text of `range`, as far as it lies within the text and on whole characters.
    pub fn slice(&self, range: std::ops::Range<usize>) -> &str {
        self.text.get(range).unwrap_or("")
    }
}

/// All texts of a run, numbered in the order they were handed in.
#[derive(Debug, Default)]
pub struct Sources {
    all: Vec<Arc<Source>>,
}

impl Sources {
    /// Adds a text and gives its number.
    pub fn add(&mut self, source: Source) -> FileId {
        self.share(Arc::new(source))
    }

    /// Adds a text that another run has too.
    pub(crate) fn share(&mut self, source: Arc<Source>) -> FileId {
        let id = FileId(u32::try_from(self.all.len()).unwrap_or(u32::MAX));
        self.all.push(source);
        id
    }

    /// The text with number `id`.
    pub fn get(&self, id: FileId) -> &Source {
        &self.all[id.0 as usize]
    }

    /// All texts with their numbers.
    pub fn iter(&self) -> impl Iterator<Item = (FileId, &Source)> {
        (0..).map(FileId).zip(self.all.iter().map(Arc::as_ref))
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.all.len()
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.all.is_empty()
    }

    /// What stands at `span`.
    pub fn slice(&self, span: Span) -> &str {
        self.get(span.file).slice(span.range())
    }

    /// The page, from 1, on which `span` begins, where its text was taken from pages.
    pub fn page(&self, span: Span) -> Option<u32> {
        let pages = self.get(span.file).pages()?;
        Some(pages.page(span.start as usize))
    }

    /// Line and column at which `span` begins.
    pub fn position(&self, span: Span) -> Position {
        self.get(span.file).position(span.start as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_byte_that_is_not_utf8_keeps_its_place() {
        let source = Source::new("a", b"ab\xffc\xc3".to_vec());
        assert_eq!(source.text(), "ab?c?");
        assert_eq!(source.undecoded(), [2..3, 4..5]);
        assert_eq!(
            source.fault(),
            Some(DecodingFault::NotUtf8 { at: 2, count: 2 })
        );
    }

    #[test]
    fn utf16_is_named_and_not_read() {
        let source = Source::new("a", b"\xff\xfea\0".to_vec());
        assert_eq!(source.fault(), Some(DecodingFault::Utf16));
        assert_eq!(source.text(), "");
    }

    #[test]
    fn columns_count_characters_and_skip_the_mark() {
        let source = Source::new("a", "\u{feff}é = 1\r\n½ x".as_bytes().to_vec());
        let at = source.text().find('=').unwrap();
        assert_eq!(source.position(at), Position { line: 1, column: 3 });
        let at = source.text().find('x').unwrap();
        assert_eq!(source.position(at), Position { line: 2, column: 3 });
        assert_eq!(source.position(999), Position { line: 2, column: 4 });
    }
}
