//! Markers that a merge left standing.

use super::problem::Fault;
use super::reader::Reader;
use super::recover::line_end;

impl Reader<'_, '_> {
    /// Passes over a marker of a merge conflict at the beginning of a line, and over the
    /// second version; true if there was one.
    pub(super) fn conflict_line(&mut self, at: usize) -> bool {
        let bytes = self.text.as_bytes();
        let Some(sign @ (b'<' | b'=' | b'>' | b'|')) = bytes.get(at).copied() else {
            return false;
        };
        if at > 0 && !matches!(bytes[at - 1], b'\n' | b'\r') || !is_marker(bytes, at, sign) {
            return false;
        }
        let end = line_end(self.text, at);
        let close = self.next_conflict_end(at);
        if sign == b'<' || !self.in_conflict {
            let related = (close < self.text.len() && close != at).then(|| {
                let close_end = line_end(self.text, close);
                (self.place(close, close_end), "the conflict ends here")
            });
            self.report_with(Fault::Conflict, at, end, related);
        }
        self.damage(self.section);
        self.in_conflict = match sign {
            b'<' => true,
            b'=' | b'|' if self.in_conflict && close < self.text.len() => {
                let section = self.section;
                self.go_to(line_end(self.text, close));
                self.damage(section);
                self.in_conflict = false;
                return true;
            }
            _ => false,
        };
        self.go_to(end);
        true
    }

    fn next_conflict_end(&mut self, from: usize) -> usize {
        if self.conflict_end < from || self.conflict_end == 0 {
            let bytes = self.text.as_bytes();
            self.conflict_end = memchr::memmem::find_iter(&bytes[from..], b">>>>>>>")
                .map(|found| from + found)
                .find(|&found| found == 0 || matches!(bytes[found - 1], b'\n' | b'\r'))
                .unwrap_or(self.text.len());
        }
        self.conflict_end
    }
}

/// Seven of one sign, then a blank or the line's end.
fn is_marker(bytes: &[u8], at: usize, sign: u8) -> bool {
    let line = &bytes[at..];
    line.len() >= 7
        && line[..7].iter().all(|byte| *byte == sign)
        && matches!(line.get(7), None | Some(b' ' | b'\t' | b'\r' | b'\n'))
}
