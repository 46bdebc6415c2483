//! Plain text in two columns: running text on the left, and something else beside it.

use std::ops::Range;

/// A part of a text, and the column of it that is read.
#[derive(Debug, PartialEq)]
pub(super) struct Part {
    /// Its bytes: whole lines.
    pub(super) lines: Range<usize>,
    pub(super) window: Option<Window>,
}

/// A column of lines, by the character that the right one begins at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Window {
    at: usize,
    is_right: bool,
}

impl Window {
    /// The bytes of a line that stand in it.
    pub(super) fn of(self, line: &str) -> Range<usize> {
        let line = line.strip_suffix('\r').unwrap_or(line);
        let split = line
            .char_indices()
            .nth(self.at)
            .map_or(line.len(), |(at, _)| at);
        if self.is_right {
            split..line.len()
        } else {
            0..line[..split].trim_end().len()
        }
    }
}

/// Lines from which on nobody sets a page by hand, and the longest that is one of columns.
const MOST_LINES: usize = 2000;
const LONGEST: usize = 400;

/// The parts of a text in the order in which they are read.
pub(super) fn parts(text: &str) -> Vec<Part> {
    let whole = || {
        vec![Part {
            lines: 0..text.len(),
            window: None,
        }]
    };
    let mut lines: Vec<Range<usize>> = Vec::new();
    let mut from = 0;
    for line in text.split_inclusive('\n') {
        if lines.len() >= MOST_LINES || line.len() > LONGEST || line.contains('\t') {
            return whole();
        }
        lines.push(from..from + line.len());
        from += line.len();
    }
    let Some(gutter) = gutter(text, &lines) else {
        return whole();
    };
    let mut parts: Vec<Part> = Vec::new();
    let mut first = 0;
    while first < lines.len() {
        let open = is_apart(&text[lines[first].clone()], gutter);
        let stop = |line: &Range<usize>| is_apart(&text[line.clone()], gutter) != open;
        let end = lines[first..]
            .iter()
            .position(stop)
            .map_or(lines.len(), |stop| first + stop);
        let bytes = lines[first].start..lines[end - 1].end;
        first = end;
        let columns = open && is_of_columns(text, &lines, &bytes, gutter);
        match parts.last_mut() {
            _ if columns => parts.extend([false, true].map(|is_right| Part {
                lines: bytes.clone(),
                window: Some(Window {
                    at: gutter,
                    is_right,
                }),
            })),
            // What isn't in columns is read in one go.
            Some(last) if last.window.is_none() => last.lines.end = bytes.end,
            _ => parts.push(Part {
                lines: bytes,
                window: None,
            }),
        }
    }
    parts
}

/// The character at which most lines begin a second part.
fn gutter(text: &str, lines: &[Range<usize>]) -> Option<usize> {
    const NARROWEST: usize = 20;
    const FEWEST: usize = 8;
    let mut begins = vec![0usize; LONGEST + 1];
    for line in lines {
        let mut blanks = 0;
        for (at, c) in text[line.clone()].trim_end().chars().enumerate() {
            if c != ' ' && blanks >= 2 && at >= NARROWEST {
                begins[at] += 1;
            }
            blanks = if c == ' ' { blanks + 1 } else { 0 };
        }
    }
    let (at, &count) = begins
        .iter()
        .enumerate()
        .rev()
        .max_by_key(|(_, count)| **count)?;
    (count >= FEWEST).then_some(at)
}

/// Whether a line leaves the two characters before a gutter blank.
fn is_apart(line: &str, gutter: usize) -> bool {
    let mut before = line.trim_end().chars().skip(gutter - 2).take(2);
    before.all(|c| c == ' ')
}

/// Whether the left parts of lines are running text that goes on beside the right ones, and no labels of a table.
fn is_of_columns(text: &str, lines: &[Range<usize>], of: &Range<usize>, gutter: usize) -> bool {
    const FEWEST: usize = 3;
    let part = |line: &Range<usize>, is_right| {
        let line = text[line.clone()].trim_end_matches('\n');
        let window = Window {
            at: gutter,
            is_right,
        };
        line[window.of(line)].trim()
    };
    let within = lines
        .windows(2)
        .filter(|two| two[0].start >= of.start && two[1].end <= of.end);
    let goes_on = within.filter(|two| {
        let (before, left) = (part(&two[0], false), part(&two[1], false));
        before.contains(' ')
            && !left.contains("  ")
            && !before.ends_with(['.', ':'])
            && left.contains(' ')
            && left.starts_with(char::is_lowercase)
            && !part(&two[1], true).is_empty()
    });
    goes_on.count() >= FEWEST
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::claims_of;

    #[test]
    fn running_text_beside_data_is_read_first() {
        let page = "\
The Reed is built for working ponds      Free air ....... 60 l/min
and small lakes of up to                 Power .......... 48 W
500 m², and needs nothing but            Sound at 1 m ... 38 dB(A)
a socket nearby, as every pump           Mass ........... 9 kg
of its kind does, and a dry place        Supply ......... 230 V
to stand in; the diffusers lie on        Frequency ...... 50 Hz
the bed of the pond, each with its       Current ........ 0.4 A
own valve.                               Bore ........... 9 mm
";
        let claims = claims_of(Kind::Text, page);
        for one in ["500 m² area at-most", "60 l/min flow exact"] {
            assert!(claims.iter().any(|claim| claim == one), "{claims:?}");
        }
        let table = "\
A table of four rows     of two columns
Air                      60 l/min
Power                    48 W
";
        assert_eq!(super::parts(table).len(), 1);
    }
}
