//! A span of bytes in one of the texts.

/// The number of a text among those of a run.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct FileId(pub u32);

/// Bytes `start..end` of a text.
///
/// The order is that of a report: by text, then by place.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Span {
    /// The text.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// Bytes `start..end` of `file`.
    pub fn new(file: FileId, start: usize, end: usize) -> Self {
        // A text is no larger than `Source::MAX_BYTES`, which fits; a place past
        // that end is held at the end rather than wrapped round to the beginning.
        let hold = |at: usize| u32::try_from(at).unwrap_or(u32::MAX);
        Span {
            file,
            start: hold(start),
            end: hold(end.max(start)),
        }
    }

    /// As a range of bytes.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Number of bytes.
    pub fn len(self) -> usize {
        (self.end - self.start) as usize
    }

    /// Whether it holds no byte.
    pub fn is_empty(self) -> bool {
        self.start == self.end
    }

    /// Whether `other` lies wholly in it.
    pub fn contains(self, other: Span) -> bool {
        self.file == other.file && self.start <= other.start && other.end <= self.end
    }

    /// The bytes from `from` to `to` of this span, counted from its start.
    pub fn part(self, from: usize, to: usize) -> Span {
        let start = self.start as usize;
        Span::new(
            self.file,
            (start + from).min(self.end as usize),
            (start + to).min(self.end as usize),
        )
    }
}
