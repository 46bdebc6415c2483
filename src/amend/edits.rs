//! Replacing bytes of a text, and knowing where the others went.

use std::ops::Range;

/// One replacement in one text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Replacement {
    /// What is replaced; empty to insert.
    pub at: Range<usize>,
    /// What stands there afterwards.
    pub with: Vec<u8>,
}

/// Replacements in one text, by place and apart.
#[derive(Debug, Default)]
pub struct Replacements {
    all: Vec<Replacement>,
}

impl Replacements {
    /// Whether `one` can join: it overlaps none that is there, or is one of them.
    pub fn takes(&self, one: &Replacement) -> bool {
        self.all
            .iter()
            .all(|other| other == one || !overlap(&other.at, &one.at))
    }

    /// Adds `one`, which [`takes`](Self::takes) it.
    pub fn add(&mut self, one: Replacement) {
        let place = self
            .all
            .partition_point(|other| (other.at.start, other.at.end) < (one.at.start, one.at.end));
        if self.all.get(place) != Some(&one) {
            self.all.insert(place, one);
        }
    }

    /// `bytes` with all replacements made; every other byte stays.
    pub fn apply(&self, bytes: &[u8]) -> Vec<u8> {
        let mut after = Vec::with_capacity(bytes.len());
        let mut from = 0;
        for one in &self.all {
            after.extend_from_slice(bytes.get(from..one.at.start).unwrap_or_default());
            after.extend_from_slice(&one.with);
            from = one.at.end;
        }
        after.extend_from_slice(bytes.get(from..).unwrap_or_default());
        after
    }

    /// Where what stood at `span` stands afterwards; an end that lies in a replacement is that
    /// replacement's end.
    pub fn moved(&self, span: &Range<usize>) -> Range<usize> {
        let start = self.moved_by(|at| at.end <= span.start && at.start < span.start);
        let cut = self
            .all
            .iter()
            .find(|one| one.at.start < span.start && span.start < one.at.end);
        let start = cut
            .map_or(span.start, |one| one.at.start)
            .saturating_add_signed(start);
        let end = self.moved_by(|at| at.end <= span.end);
        let cut = self
            .all
            .iter()
            .find(|one| one.at.start < span.end && span.end < one.at.end);
        let end = cut
            .map_or(span.end, |one| one.at.start + one.with.len())
            .saturating_add_signed(end);
        start..end.max(start)
    }

    /// By how many bytes the replacements that lie `before` a place move it.
    fn moved_by(&self, before: impl Fn(&Range<usize>) -> bool) -> isize {
        let all = self.all.iter().filter(|one| before(&one.at));
        all.map(|one| one.with.len() as isize - one.at.len() as isize)
            .sum()
    }
}

/// Whether two replacements touch the same bytes, or insert at one place.
fn overlap(a: &Range<usize>, b: &Range<usize>) -> bool {
    (a.start < b.end && b.start < a.end) || a.start == b.start
}

#[cfg(test)]
mod tests {
    use super::*;

    fn replacements(all: &[(Range<usize>, &str)]) -> Replacements {
        let mut made = Replacements::default();
        for (at, with) in all {
            let one = Replacement {
                at: at.clone(),
                with: with.as_bytes().to_vec(),
            };
            assert!(made.takes(&one), "{one:?}");
            made.add(one);
        }
        made
    }

    #[test]
    fn only_the_bytes_concerned_change() {
        let text = b"\xEF\xBB\xBFa = 1 \xFF\r\nb = 2";
        let made = replacements(&[(16..17, "22"), (7..8, "")]);
        assert_eq!(made.apply(text), b"\xEF\xBB\xBFa =  \xFF\r\nb = 22");
        assert_eq!(replacements(&[]).apply(text), text);
    }

    #[test]
    fn what_overlaps_waits_and_what_is_the_same_joins() {
        let made = replacements(&[(4..8, "x"), (4..8, "x")]);
        assert_eq!(made.all.len(), 1);
        let one = |at: Range<usize>| Replacement {
            at,
            with: b"y".to_vec(),
        };
        assert!(!made.takes(&one(7..9)) && !made.takes(&one(4..4)) && !made.takes(&one(0..5)));
        assert!(made.takes(&one(8..9)) && made.takes(&one(0..4)));
    }

    #[test]
    fn places_move_with_the_text() {
        // "abcdefgh" becomes "aXXXdefY".
        let made = replacements(&[(1..3, "XXX"), (6..8, "Y")]);
        assert_eq!(made.apply(b"abcdefgh"), b"aXXXdefY");
        for (was, is) in [
            (0..1, 0..1),
            (1..3, 1..4),
            (3..6, 4..7),
            (6..8, 7..8),
            (2..4, 1..5),
            (4..7, 5..8),
            (0..8, 0..8),
            (8..8, 8..8),
        ] {
            assert_eq!(made.moved(&was), is, "{was:?}");
        }
    }
}
