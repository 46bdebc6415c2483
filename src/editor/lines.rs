//! Places of a text as an editor counts them: lines from 0, and bytes or UTF-16 units in them.

use serde_json::{Value, json};

/// What an editor counts in a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Encoding {
    /// Bytes.
    Utf8,
    /// Units of UTF-16: what every editor understands.
    #[default]
    Utf16,
}

impl Encoding {
    /// Its name in the protocol.
    pub fn name(self) -> &'static str {
        match self {
            Encoding::Utf8 => "utf-8",
            Encoding::Utf16 => "utf-16",
        }
    }
}

/// The lines of a text. They end with `\n`, `\r\n` or `\r`, as the protocol has it.
pub struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
    encoding: Encoding,
}

impl<'t> Lines<'t> {
    /// The lines of `text`; a byte-order mark is none of it.
    pub fn of(text: &'t str, encoding: Encoding) -> Lines<'t> {
        let bytes = text.as_bytes();
        let ends = memchr::memchr2_iter(b'\n', b'\r', bytes);
        let ends = ends.filter(|&at| bytes[at] == b'\n' || bytes.get(at + 1) != Some(&b'\n'));
        let first = if text.starts_with('\u{feff}') { 3 } else { 0 };
        Lines {
            text,
            starts: std::iter::once(first)
                .chain(ends.map(|at| at + 1))
                .collect(),
            encoding,
        }
    }

    /// Line and character of byte `at`.
    pub fn position(&self, at: usize) -> (usize, usize) {
        let at = floor(self.text, at).max(self.starts[0]);
        let line = self.starts.partition_point(|&start| start <= at) - 1;
        let before = &self.text[self.starts[line]..at];
        let character = match self.encoding {
            Encoding::Utf8 => before.len(),
            Encoding::Utf16 => before.encode_utf16().count(),
        };
        (line, character)
    }

    /// The byte at a line and character; what lies past the end of a line or the text is that end.
    pub fn offset(&self, line: u64, character: u64) -> usize {
        let Some(line) = usize::try_from(line)
            .ok()
            .filter(|&line| line < self.starts.len())
        else {
            return self.text.len();
        };
        let start = self.starts[line];
        let end = self
            .starts
            .get(line + 1)
            .map_or(self.text.len(), |&next| next);
        let text = self.text[start..end].trim_end_matches(['\n', '\r']);
        let wanted = usize::try_from(character).unwrap_or(usize::MAX);
        match self.encoding {
            Encoding::Utf8 => start + floor(text, wanted),
            Encoding::Utf16 => {
                let mut units = 0;
                let mut chars = text.char_indices();
                let found = chars.find(|(_, letter)| {
                    let is_there = units + letter.len_utf16() > wanted;
                    units += letter.len_utf16();
                    is_there
                });
                start + found.map_or(text.len(), |(at, _)| at)
            }
        }
    }

    /// A range as the protocol writes it.
    pub fn range(&self, range: std::ops::Range<usize>) -> Value {
        let at =
            |(line, character): (usize, usize)| json!({ "line": line, "character": character });
        let end = range.end.max(range.start);
        json!({ "start": at(self.position(range.start)), "end": at(self.position(end)) })
    }

    /// The bytes of a range as the protocol writes it.
    pub fn bytes(&self, range: &Value) -> Option<std::ops::Range<usize>> {
        let at = |end: &str| {
            let place = range.get(end)?;
            Some(self.offset(
                place.get("line")?.as_u64()?,
                place.get("character")?.as_u64()?,
            ))
        };
        let (start, end) = (at("start")?, at("end")?);
        Some(start.min(end)..end.max(start))
    }

    /// How many there are.
    pub fn count(&self) -> usize {
        self.starts.len()
    }

    /// The bytes of a line, without its end.
    pub fn line(&self, number: usize) -> std::ops::Range<usize> {
        let start = self.starts.get(number).copied().unwrap_or(self.text.len());
        let end = self
            .starts
            .get(number + 1)
            .map_or(self.text.len(), |&next| next);
        start..start + self.text[start..end].trim_end_matches(['\n', '\r']).len()
    }
}

/// The beginning of the character in which byte `at` lies.
fn floor(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The letter is the example of the protocol's page on positions (LSP 3.17, *Position*): two units of UTF-16, four
    /// bytes.
    #[test]
    fn a_letter_outside_the_basic_plane_counts_as_the_protocol_says() {
        let text = "a𐐀b\r\nc\rd\n";
        let utf16 = Lines::of(text, Encoding::Utf16);
        assert_eq!(utf16.position(5), (0, 3));
        assert_eq!((utf16.offset(0, 3), utf16.offset(0, 1)), (5, 1));
        let utf8 = Lines::of(text, Encoding::Utf8);
        assert_eq!(utf8.position(5), (0, 5));
        assert_eq!((utf8.offset(0, 5), utf8.offset(0, 3)), (5, 1));
        // Line ends of all three kinds, and places past an end.
        assert_eq!(utf16.count(), 4);
        assert_eq!(utf16.position(8), (1, 0));
        assert_eq!(
            (utf16.offset(0, 99), utf16.offset(2, 0), utf16.offset(9, 9)),
            (6, 10, 12)
        );
    }

    #[test]
    fn a_mark_at_the_start_is_no_character() {
        let lines = Lines::of("\u{feff}ab", Encoding::Utf16);
        assert_eq!((lines.position(4), lines.offset(0, 1)), ((0, 1), 4));
    }
}
