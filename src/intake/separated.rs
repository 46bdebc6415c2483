//! Files of separated values, as other programs write them: RFC 4180 by a library, encodings and separators by
//! what stands in the first lines.

use super::grid::{Cell, Grid, Remark, Row, Sheet, Value};

/// Reads a file of separated values.
pub fn read(bytes: &[u8]) -> Grid {
    let (text, remark) = decode(bytes);
    let mut remarks: Vec<Remark> = remark.into_iter().collect();
    let separator = separator(&text);
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(separator)
        .from_reader(text.as_bytes());
    let mut rows = Vec::new();
    let mut lines = Lines::new(&text);
    let mut record = csv::StringRecord::new();
    let place = |position: &csv::Position| usize::try_from(position.byte()).unwrap_or(usize::MAX);
    loop {
        let begin = place(reader.position());
        match reader.read_record(&mut record) {
            Ok(true) => {}
            Ok(false) => break,
            Err(_) => return Grid::unread(Remark::Damaged),
        }
        let line = lines.of(begin);
        // Where a mark isn't closed the rows below it seem to stand in one cell.
        let raw = text.as_bytes().get(begin..place(reader.position()));
        let is_open = |text: &str| text.contains('\n');
        if record.iter().any(is_open) && !raw.is_some_and(|raw| closes(raw, separator)) {
            remarks.push(Remark::OpenQuote(line));
            break;
        }
        let row = row(line, &record);
        rows.extend(Some(row).filter(|row| !row.cells.is_empty()));
    }
    Grid {
        sheets: vec![Sheet {
            name: String::new(),
            rows,
        }],
        remarks,
    }
}

fn row(number: u32, record: &csv::StringRecord) -> Row {
    let filled = record.iter().enumerate();
    let filled = filled.filter(|(_, text)| !text.trim().is_empty());
    let cells = filled.map(|(column, text)| Cell {
        column: u32::try_from(column).unwrap_or(u32::MAX),
        value: Value::Text(text.to_string()),
        formula: None,
    });
    Row {
        number,
        hidden: false,
        cells: cells.collect(),
    }
}

/// Whether each quotation mark that opens a cell is closed where the cell ends, as RFC 4180 has it.
fn closes(record: &[u8], separator: u8) -> bool {
    let is_end = |byte: &u8| *byte == separator || matches!(byte, b'\n' | b'\r');
    let mut rest = record;
    while !rest.is_empty() {
        if let Some(inside) = rest.strip_prefix(b"\"") {
            // Two marks within stand for one.
            let mut at = 0;
            loop {
                let Some(found) = memchr::memchr(b'"', &inside[at..]) else {
                    return false;
                };
                at += found + 1;
                match inside.get(at) {
                    Some(b'"') => at += 1,
                    Some(byte) if !is_end(byte) => return false,
                    _ => break,
                }
            }
            rest = &inside[at..];
        }
        let end = rest.iter().position(is_end);
        rest = end.map_or(&[], |end| &rest[end + 1..]);
    }
    true
}

/// The lines on which records begin, counted in one pass: the library names the place before empty lines.
struct Lines<'t> {
    text: &'t [u8],
    at: usize,
    line: u32,
}

impl<'t> Lines<'t> {
    fn new(text: &'t str) -> Lines<'t> {
        Lines {
            text: text.as_bytes(),
            at: 0,
            line: 1,
        }
    }

    /// The line of the first thing at or behind a byte that isn't before those asked for so far.
    fn of(&mut self, byte: usize) -> u32 {
        let rest = self.text.get(byte..).unwrap_or_default();
        let empty = rest
            .iter()
            .take_while(|byte| matches!(byte, b'\n' | b'\r'))
            .count();
        let to = (byte + empty).min(self.text.len());
        let passed = self.text.get(self.at..to).unwrap_or_default();
        let ends = memchr::memchr_iter(b'\n', passed).count();
        self.line = self
            .line
            .saturating_add(u32::try_from(ends).unwrap_or(u32::MAX));
        self.at = to.max(self.at);
        self.line
    }
}

/// The text of a file: UTF-8, UTF-16 by its mark, else the single-byte encoding of Western Europe.
fn decode(bytes: &[u8]) -> (String, Option<Remark>) {
    if let Some((encoding, _)) = encoding_rs::Encoding::for_bom(bytes) {
        return (encoding.decode(bytes).0.into_owned(), None);
    }
    match std::str::from_utf8(bytes) {
        Ok(text) => (text.to_string(), None),
        Err(_) => {
            let (text, _, _) = encoding_rs::WINDOWS_1252.decode(bytes);
            (text.into_owned(), Some(Remark::OldEncoding))
        }
    }
}

/// The separator that stands in as many of the first lines as often as in another.
fn separator(text: &str) -> u8 {
    const LINES: usize = 20;
    const LONGEST: usize = 4096;
    // Some programs say it in a first line of its own.
    if let Some(stated) = text
        .strip_prefix("sep=")
        .and_then(|rest| rest.bytes().next())
    {
        return stated;
    }
    let lines = text.lines().filter(|line| !line.trim().is_empty());
    let lines: Vec<&[u8]> = lines
        .take(LINES)
        .map(|line| &line.as_bytes()[..line.len().min(LONGEST)])
        .collect();
    let mut best = ((0, 0), b',');
    for candidate in [b'\t', b';', b',', b'|'] {
        let counts = lines.iter().map(|line| outside_quotes(line, candidate));
        let counts: Vec<usize> = counts.collect();
        for &count in counts.iter().filter(|&&count| count > 0) {
            let same = counts.iter().filter(|&&other| other == count).count();
            if (same, count) > best.0 {
                best = ((same, count), candidate);
            }
        }
    }
    best.1
}

/// How often a byte stands in a line, but for what is in quotation marks.
fn outside_quotes(line: &[u8], byte: u8) -> usize {
    let (mut inside, mut before, mut count) = (false, byte, 0);
    for &one in line {
        // A mark within a field is one of inches.
        if one == b'"' && (inside || before == byte) {
            inside = !inside;
        } else if one == byte && !inside {
            count += 1;
        }
        before = one;
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cells(bytes: &[u8]) -> Vec<(u32, u32, String)> {
        let grid = read(bytes);
        let rows = grid.sheets.iter().flat_map(|sheet| &sheet.rows);
        rows.flat_map(|row| {
            let cells = row.cells.iter();
            cells.map(|cell| (row.number, cell.column, cell.value.shown()))
        })
        .collect()
    }

    #[test]
    fn separators_encodings_and_lines() {
        let cell = |row, column, text: &str| (row, column, text.to_string());
        assert_eq!(
            cells("Tiefe;Preis\n\n1,5 m;\"300,00 \u{20ac}\"\n".as_bytes()),
            [
                cell(1, 0, "Tiefe"),
                cell(1, 1, "Preis"),
                cell(3, 0, "1,5 m"),
                cell(3, 1, "300,00 \u{20ac}")
            ]
        );
        assert_eq!(cells(b"a,3/8\"\nb,\x80 9\n")[3], cell(2, 1, "\u{20ac} 9"));
        let wide: Vec<u8> = "\u{feff}a\tb\n"
            .encode_utf16()
            .flat_map(u16::to_le_bytes)
            .collect();
        assert_eq!(cells(&wide), [cell(1, 0, "a"), cell(1, 1, "b")]);
        // Cells may have several lines.
        assert_eq!(
            cells(b"a,\"b\n\"\"c\"\"\"\nd,e\n")[1..],
            [cell(1, 1, "b\n\"c\""), cell(3, 0, "d"), cell(3, 1, "e")]
        );
        assert_eq!(cells(b"sep=|\na|b,c\n").last(), Some(&cell(2, 1, "b,c")));
    }

    #[test]
    fn a_mark_that_is_never_closed_is_told_with_its_row() {
        let open = "Name,Size\nA,1/2\n\"B,3/8\nC,1/2\n";
        let closed_by_another = format!("{open}\"D\",1/2\n");
        for text in [open, closed_by_another.as_str()] {
            let grid = read(text.as_bytes());
            assert_eq!(grid.remarks, [Remark::OpenQuote(3)], "{text}");
            assert_eq!(grid.sheets[0].rows.len(), 2, "{text}");
        }
        // A mark of inches opens nothing.
        assert_eq!(read(b"Hose,3/8\"\nHose,\"1/2\"\"\"\n").remarks, []);
    }
}
