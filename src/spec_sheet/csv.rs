//! Comma-separated values by RFC 4180, with the bytes of each field.
//!
//! Separator is what parts the first lines most evenly: a comma, a semicolon, a tab or a stroke.

use super::layout::{Layout, Role};

/// Reads a table of separated values into cells.
pub fn read(text: &str, from: usize, layout: &mut Layout) {
    let separator = separator(text);
    let bytes = text.as_bytes();
    layout.tables += 1;
    let mut table = layout.tables;
    let (mut row, mut column, mut at) = (0u32, 0u32, 0usize);
    let mut any = false;
    while at < bytes.len() {
        let (end, quoted) = field(bytes, at, separator);
        any |= text[at..end].chars().any(|c| !c.is_whitespace());
        put(text, at..end, quoted, from, layout);
        layout.end(Role::Cell {
            table,
            row,
            column,
            head: false,
        });
        at = end;
        match bytes.get(at) {
            Some(&b) if b == separator => {
                column += 1;
                at += 1;
            }
            Some(b'\r') if bytes.get(at + 1) == Some(&b'\n') => at += 1,
            _ => {}
        }
        if matches!(bytes.get(at), Some(b'\n' | b'\r')) && column_ends(bytes, at, end) {
            at += 1;
            // An empty line is no row; what begins behind it with names alone is a table of its own.
            if any {
                row += 1;
            } else if row > 1 && begins_table(text.get(at..).unwrap_or(""), separator) {
                layout.tables += 1;
                table = layout.tables;
                row = 0;
            }
            column = 0;
            any = false;
        }
    }
}

/// Whether a line holds nothing but the names of columns.
fn begins_table(rest: &str, separator: u8) -> bool {
    let line = rest.lines().next().unwrap_or("");
    const LONGEST: usize = 400;
    let fields = line
        .split(separator as char)
        .map(str::trim)
        .filter(|field| !field.is_empty());
    line.len() <= LONGEST
        && fields.clone().count() >= 3
        && fields.clone().all(|field| {
            field.starts_with(char::is_alphabetic) && field.split_whitespace().count() <= 4
        })
        && !line.contains(|c: char| c.is_ascii_digit() || c == '"')
}

/// Whether the line ends here: it does at a line's end that wasn't passed by a separator.
fn column_ends(bytes: &[u8], at: usize, end: usize) -> bool {
    at == end || bytes.get(end) == Some(&b'\r')
}

/// Where a field ends, and whether it stands in quotation marks.
fn field(bytes: &[u8], at: usize, separator: u8) -> (usize, bool) {
    if bytes.get(at) == Some(&b'"') {
        let mut end = at + 1;
        while let Some(found) = memchr::memchr(b'"', bytes.get(end..).unwrap_or(&[])) {
            let mark = end + found;
            if bytes.get(mark + 1) == Some(&b'"') {
                end = mark + 2;
                continue;
            }
            // What follows the closing mark by mistake still belongs to the field.
            let rest = &bytes[mark + 1..];
            let more = memchr::memchr3(separator, b'\n', b'\r', rest).unwrap_or(rest.len());
            if rest[..more].iter().all(u8::is_ascii_whitespace) {
                return (mark + 1 + more, true);
            }
            break;
        }
    }
    // No quotation marks, or an inch mark that looked like one: the field ends at the separator.
    let rest = &bytes[at..];
    (
        at + memchr::memchr3(separator, b'\n', b'\r', rest).unwrap_or(rest.len()),
        false,
    )
}

fn put(text: &str, range: std::ops::Range<usize>, quoted: bool, from: usize, layout: &mut Layout) {
    let raw = &text[range.clone()];
    if !quoted {
        layout.push(raw, from + range.start..from + range.end);
        return;
    }
    let close = raw.rfind('"').unwrap_or(raw.len());
    let inner = raw.get(1..close).unwrap_or("");
    let mut at = range.start + 1;
    for (number, part) in inner.split("\"\"").enumerate() {
        if number > 0 {
            layout.push("\"", from + at..from + at + 2);
            at += 2;
        }
        layout.push(part, from + at..from + at + part.len());
        at += part.len();
    }
}

/// The separator that parts most of the first lines into as many fields; titles and notes have none.
fn separator(text: &str) -> u8 {
    const LINES: usize = 12;
    let mut best = ((0usize, 0usize), b',');
    for candidate in [b'\t', b';', b',', b'|'] {
        let mut counts = [0usize; LINES];
        let mut lines = 0;
        for line in text
            .lines()
            .filter(|line| !line.trim().is_empty())
            .take(LINES)
        {
            // A line longer than any row of a table tells nothing.
            let head = &line.as_bytes()[..line.len().min(4096)];
            let mut inside = false;
            let mut before = candidate;
            let mut count = 0;
            for &byte in head {
                // A mark within a field is one of inches.
                if byte == b'"' && (inside || before == candidate) {
                    inside = !inside;
                } else if byte == candidate && !inside {
                    count += 1;
                }
                before = byte;
            }
            counts[lines] = count;
            lines += 1;
        }
        for &count in counts[..lines].iter().filter(|&&count| count > 0) {
            let same = counts[..lines]
                .iter()
                .filter(|&&other| other == count)
                .count();
            if (same, count) > best.0 {
                best = ((same, count), candidate);
            }
        }
    }
    best.1
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(text: &str) -> Vec<(u32, u32, String)> {
        let mut layout = Layout::default();
        read(text, 0, &mut layout);
        layout
            .passages
            .iter()
            .map(|passage| {
                let Role::Cell { row, column, .. } = passage.role else {
                    panic!("a table has cells")
                };
                (row, column, passage.text.to_string())
            })
            .collect()
    }

    #[test]
    fn quotation_marks_line_ends_and_separators() {
        let cell = |row, column, text: &str| (row, column, text.to_owned());
        assert_eq!(
            cells("a,b\r\n\"1,500 gpm\",\"3/8\"\" ID\"\r\n,x\n"),
            [
                cell(0, 0, "a"),
                cell(0, 1, "b"),
                cell(1, 0, "1,500 gpm"),
                cell(1, 1, "3/8\" ID"),
                cell(2, 1, "x"),
            ]
        );
        assert_eq!(
            cells("Tiefe;Preis\n1,5 m;300,00 €\n"),
            [
                cell(0, 0, "Tiefe"),
                cell(0, 1, "Preis"),
                cell(1, 0, "1,5 m"),
                cell(1, 1, "300,00 €"),
            ]
        );
        assert_eq!(cells("a\tb\n\n1\t2").len(), 4);
        assert_eq!(cells("\"open\nfield,2\n").len(), 3);
    }
}
