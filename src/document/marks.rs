//! Characters that don't belong in a catalog's text, found before anything is read.
//!
//! Three kinds of trouble share one list, ordered by place: bytes that aren't UTF-8,
//! control characters that TOML forbids, and characters that TOML allows but that change
//! what a reader sees (turned reading direction, no width, C1 controls). The reader asks the
//! list whether a value stands on such a place, so that one cause is reported once.

use crate::text::Source;

/// What stands at a marked place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum MarkKind {
    /// Bytes that aren't UTF-8.
    Undecoded,
    /// A control character that TOML forbids.
    Control,
    /// A carriage return without the line feed that belongs to it.
    Return,
    /// A character TOML allows, but which hides or turns what is written.
    Hidden,
}

/// A run of bytes of one kind of trouble.
#[derive(Debug, Clone, Copy)]
pub(super) struct Mark {
    pub start: u32,
    pub end: u32,
    pub kind: MarkKind,
}

/// All marked places of a text, in order.
#[derive(Debug, Default)]
pub(super) struct Marks {
    all: Vec<Mark>,
}

impl Marks {
    /// Looks through the whole text once.
    pub fn find(source: &Source) -> Self {
        let mut marks = Marks::default();
        let text = source.text();
        let bytes = text.as_bytes();
        let mut at = 0;
        while let Some(found) = next_suspect(bytes, at) {
            at = found;
            let (kind, len) = judge(bytes, at);
            if let Some(kind) = kind {
                marks.push(kind, at, at + len);
            }
            at += len;
        }
        if !source.undecoded().is_empty() {
            for range in source.undecoded() {
                marks.push(MarkKind::Undecoded, range.start, range.end);
            }
            marks.all.sort_by_key(|mark| mark.start);
        }
        marks
    }

    fn push(&mut self, kind: MarkKind, start: usize, end: usize) {
        let (Ok(start), Ok(end)) = (u32::try_from(start), u32::try_from(end)) else {
            return;
        };
        match self.all.last_mut() {
            Some(last) if last.kind == kind && last.end == start => last.end = end,
            _ => self.all.push(Mark { start, end, kind }),
        }
    }

    /// All of them, in order.
    pub fn iter(&self) -> impl Iterator<Item = &Mark> {
        self.all.iter()
    }

    /// The first mark on bytes `start..end` (on the byte `start` if there are none) that
    /// `wanted` takes.
    pub fn on(&self, start: usize, end: usize, wanted: fn(MarkKind) -> bool) -> Option<&Mark> {
        if self.all.is_empty() {
            return None;
        }
        let end = end.max(start + 1);
        let from = self.all.partition_point(|mark| mark.end as usize <= start);
        self.all[from..]
            .iter()
            .take_while(|mark| (mark.start as usize) < end)
            .find(|mark| wanted(mark.kind))
    }
}

/// Kinds that make what stands on them unreadable.
pub(super) fn is_unreadable(kind: MarkKind) -> bool {
    kind != MarkKind::Hidden
}

/// Whether `character`, written as it is or as an escape, could act on a terminal or hide
/// what is written. Tab and the characters of a line end are ordinary text.
pub(super) fn is_unsafe(character: char) -> bool {
    match character {
        '\t' | '\n' | '\r' => false,
        '\u{feff}' => true,
        other => other.is_control() || is_formatting(other),
    }
}

/// Characters without a shape of their own that change the direction or the look of the
/// others (Unicode general category Cf, those that turn text or have no width).
fn is_formatting(character: char) -> bool {
    matches!(character,
        '\u{061c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}')
}

/// What stands at `at`, and how many bytes it takes.
fn judge(bytes: &[u8], at: usize) -> (Option<MarkKind>, usize) {
    let byte = bytes[at];
    match byte {
        b'\r' if bytes.get(at + 1) == Some(&b'\n') => (None, 2),
        b'\r' => (Some(MarkKind::Return), 1),
        0..=0x1f | 0x7f => (Some(MarkKind::Control), 1),
        _ => {
            let len = if byte < 0xe0 { 2 } else { 3 };
            let character = bytes
                .get(at..at + len)
                .and_then(|found| std::str::from_utf8(found).ok())
                .and_then(|found| found.chars().next());
            let hidden = character.is_some_and(is_unsafe) && !(at == 0 && byte == 0xef);
            (hidden.then_some(MarkKind::Hidden), len)
        }
    }
}

/// The first byte from `at` on where a marked place may begin. Plain text, which is nearly
/// all of it, is passed over a stretch at a time.
fn next_suspect(bytes: &[u8], mut at: usize) -> Option<usize> {
    const STRETCH: usize = 32;
    while at < bytes.len() {
        let end = bytes.len().min(at + STRETCH);
        let plain = bytes[at..end].iter().fold(true, |plain, &byte| {
            plain & (byte.wrapping_sub(b' ') < 0x5f || byte == b'\n' || byte == b'\t')
        });
        if !plain && let Some(skip) = bytes[at..end].iter().position(|&b| SUSPECT[b as usize]) {
            return Some(at + skip);
        }
        at = end;
    }
    None
}

/// Bytes at which a marked place may begin: controls, and the first bytes of the
/// characters of [`is_unsafe`] in UTF-8.
const SUSPECT: [bool; 256] = {
    let mut table = [false; 256];
    let mut byte = 0;
    while byte < 0x20 {
        table[byte] = byte != b'\t' as usize && byte != b'\n' as usize;
        byte += 1;
    }
    table[0x7f] = true;
    table[0xc2] = true;
    table[0xd8] = true;
    table[0xe2] = true;
    table[0xef] = true;
    table
};

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_unsafe_character_is_found_and_no_other() {
        for character in (0..=0x10ffff).filter_map(char::from_u32) {
            let text = format!("a{character}\n");
            let found = Marks::find(&Source::new("t", text.into_bytes()));
            let marked = found.iter().count() == 1;
            // A return before a line feed is an ordinary line end.
            assert_eq!(marked, is_unsafe(character), "{character:?}");
        }
    }

    #[test]
    fn a_lone_return_is_marked_and_neighbours_make_one_run() {
        let found = Marks::find(&Source::new("t", b"a\rb\x00\x01c\xff\xfe".to_vec()));
        let list: Vec<_> = found.iter().map(|m| (m.start, m.end, m.kind)).collect();
        assert_eq!(
            list,
            [
                (1, 2, MarkKind::Return),
                (3, 5, MarkKind::Control),
                (6, 8, MarkKind::Undecoded)
            ]
        );
        assert!(found.on(0, 1, |_| true).is_none());
        assert!(found.on(2, 4, |_| true).is_some());
    }
}
