//! From byte offsets to lines and columns.

/// A line and column, both from 1; the column counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

/// Where each line of a text begins. Built once, then each look-up is a binary search.
#[derive(Debug)]
pub struct LineIndex {
    starts: Vec<u32>,
}

impl LineIndex {
    /// Finds the lines of `text`. A line ends with LF; a CR before it belongs to it.
    pub fn new(text: &str) -> Self {
        let mut starts = vec![0];
        starts.extend(
            memchr::memchr_iter(b'\n', text.as_bytes())
                .map(|at| u32::try_from(at + 1).unwrap_or(u32::MAX)),
        );
        LineIndex { starts }
    }

    /// Number of the line that holds byte `at`, from 0.
    pub fn line_of(&self, at: usize) -> usize {
        let at = u32::try_from(at).unwrap_or(u32::MAX);
        self.starts.partition_point(|&start| start <= at) - 1
    }

    /// First byte of line `line` (from 0), or `None` past the last one.
    pub fn start_of(&self, line: usize) -> Option<usize> {
        self.starts.get(line).map(|&start| start as usize)
    }

    /// Number of lines.
    pub fn len(&self) -> usize {
        self.starts.len()
    }

    /// Never: even an empty text has one line.
    pub fn is_empty(&self) -> bool {
        false
    }
}
