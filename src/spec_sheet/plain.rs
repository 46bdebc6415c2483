//! Plain text: paragraphs, lists, and columns that are held apart by blanks.

use super::columns;
use super::layout::{Layout, Role};

/// Reads plain text into passages.
///
/// A line of its own in front of an empty line, short and without a full stop, is a heading, and so is one
/// that is underlined. A line with tabs or gaps of two blanks and more is a row: each part becomes a cell
/// of a table that lasts as long as such lines follow each other. Everything else is running text, whose
/// lines belong together until an empty one, a list's mark or an indent of another depth. Where running text stands
/// in two columns, the left one comes first.
pub fn read(text: &str, from: usize, layout: &mut Layout) {
    for part in columns::parts(text) {
        let (start, end) = (part.lines.start, part.lines.end);
        let lines = Lines {
            text: &text[start..end],
            at: from + start,
            from: from + start,
            window: part.window,
        };
        read_lines(lines, is_thread(text), layout);
    }
}

fn read_lines(mut lines: Lines<'_>, thread: bool, layout: &mut Layout) {
    let mut row: Option<u32> = None;
    let mut stops = Stops::default();
    let mut before_blank = true;
    // Whether the one who writes is somebody else than the seller.
    let mut stranger = false;
    while let Some((start, line)) = lines.next_line() {
        let bare = line.trim();
        if thread && is_post(bare) {
            layout.end(role(stranger));
            stranger = !lines.is_sellers_post(bare);
            layout.push(
                bare,
                start + line.len() - line.trim_start().len()..start + line.trim_end().len(),
            );
            layout.end(Role::Quote);
            row = None;
            continue;
        }
        if stranger || bare.starts_with('>') {
            if bare.is_empty() || !layout.is_open() {
                layout.end(Role::Quote);
            }
            let into = line.len() - line.trim_start().len();
            layout.push(bare, start + into..start + into + bare.len());
            layout.space(start + line.len());
            if !stranger && !lines.next_begins_with('>') {
                layout.end(Role::Quote);
            }
            row = None;
            before_blank = bare.is_empty();
            continue;
        }
        if bare.is_empty() {
            layout.end(Role::Text);
            row = None;
            before_blank = true;
            continue;
        }
        if is_rule(bare) {
            // An underlined line is a heading: the text so far is that line.
            if layout.is_open() && row.is_none() {
                layout.end(Role::Heading(if bare.starts_with('=') { 1 } else { 2 }));
            }
            before_blank = true;
            continue;
        }
        let cells = split_row(line);
        if cells.len() > 1 {
            layout.end(Role::Text);
            let number = match row {
                Some(number) => number + 1,
                None => {
                    layout.tables += 1;
                    stops = lines.stops(line, &cells);
                    0
                }
            };
            row = Some(number);
            let places = stops.places(line, &cells);
            let mut joined = 0;
            for (place, &(from, to)) in cells.iter().enumerate() {
                layout.push(&line[from..to], start + from..start + to);
                let column = match places.get(place) {
                    Some(&column) => column,
                    None => (place - joined) as u32,
                };
                // `40 dB   at 3 ft`, `1,450 l/h   (free)`: what a figure holds under stays with it.
                if let Some(&(next, end)) = cells.get(place + 1)
                    && column > 0
                    && line[next..end].starts_with(['@', '(', '±'])
                        | line[next..end].starts_with("at ")
                {
                    layout.space(start + to);
                    joined += 1;
                    continue;
                }
                layout.end(Role::Cell {
                    table: layout.tables,
                    row: number,
                    column,
                    head: false,
                });
            }
            before_blank = false;
            continue;
        }
        // An indented line within a table goes on with the row above.
        if row.is_some() && line.starts_with("    ") && !starts_item(bare) {
            let into = line.len() - line.trim_start().len();
            layout.push(bare, start + into..start + into + bare.len());
            layout.end(Role::Text);
            continue;
        }
        row = None;
        if starts_item(bare) || (layout.is_open() && looks_labelled(bare)) {
            layout.end(Role::Text);
        }
        let into = line.len() - line.trim_start().len();
        let heading = before_blank && is_heading(bare) && lines.next_is_blank_or_end();
        layout.push(bare, start + into..start + into + bare.len());
        if heading {
            let level = if is_capitals(bare) { 2 } else { 3 };
            layout.end(Role::Heading(level));
        } else if looks_labelled(bare) && !lines.next_goes_on() {
            // `Depth: 6 ft` stands for itself.
            layout.end(Role::Text);
        } else {
            layout.space(start + line.len());
        }
        before_blank = false;
    }
    layout.end(role(stranger));
}

/// Longest line whose cells are put into columns by where they stand.
const LONGEST_ROW: usize = 400;

/// Where the columns of a table stand on their lines: a row with fewer cells than others leaves some out.
#[derive(Default)]
struct Stops(Vec<(usize, usize)>);

impl Stops {
    /// The columns of a row's cells by where they stand; none where they are simply counted.
    fn places(&self, line: &str, cells: &[(usize, usize)]) -> Vec<u32> {
        let Stops(stops) = self;
        if cells.len() >= stops.len() || line.contains('\t') || line.len() > LONGEST_ROW {
            return Vec::new();
        }
        let mut places: Vec<u32> = Vec::with_capacity(cells.len());
        for &(from, to) in cells {
            let (from, to) = (line[..from].chars().count(), line[..to].chars().count());
            let away = |&(start, end): &(usize, usize)| {
                let gap = start.saturating_sub(to).max(from.saturating_sub(end));
                (gap, from.abs_diff(start).min(to.abs_diff(end)))
            };
            let next = places.last().map_or(0, |&last| last as usize + 1);
            let nearest = (next..stops.len()).min_by_key(|&stop| away(&stops[stop]));
            match nearest {
                Some(stop) => places.push(stop as u32),
                // They don't stand under each other.
                None => return Vec::new(),
            }
        }
        places
    }
}

struct Lines<'a> {
    text: &'a str,
    at: usize,
    from: usize,
    /// The column that is read, as characters of each line.
    window: Option<columns::Window>,
}

impl<'a> Lines<'a> {
    /// What isn't read yet, as far as it is looked at for what comes next.
    fn rest(&self) -> &'a str {
        let rest = self.text.get(self.at - self.from..).unwrap_or("");
        match self.window {
            Some(window) => &rest[window.of(rest.split('\n').next().unwrap_or(""))],
            None => rest,
        }
    }

    /// Where the next line begins, and the line without its end.
    fn next_line(&mut self) -> Option<(usize, &'a str)> {
        let rest = self.text.get(self.at - self.from..)?;
        if rest.is_empty() {
            return None;
        }
        let start = self.at;
        let end = memchr::memchr2(b'\n', 0x0c, rest.as_bytes());
        let line = &rest[..end.unwrap_or(rest.len())];
        self.at += end.map_or(rest.len(), |end| end + 1);
        let line = line.strip_suffix('\r').unwrap_or(line);
        let part = self.window.map_or(0..line.len(), |window| window.of(line));
        Some((start + part.start, &line[part]))
    }

    /// Where the columns of a table stand that begins with a row of these cells: as in the fullest of its first rows.
    fn stops(&self, line: &str, cells: &[(usize, usize)]) -> Stops {
        const LOOKED_AT: usize = 8;
        let rest = self.text.get(self.at - self.from..).unwrap_or("");
        let places = |line: &str, cells: &[(usize, usize)]| -> Vec<(usize, usize)> {
            cells
                .iter()
                .map(|&(from, to)| (line[..from].chars().count(), line[..to].chars().count()))
                .collect()
        };
        if line.len() > LONGEST_ROW || line.contains('\t') {
            return Stops::default();
        }
        let mut best = places(line, cells);
        for line in rest.split('\n').take(LOOKED_AT) {
            let line = &line[self.window.map_or(0..line.len(), |window| window.of(line))];
            if line.trim().is_empty() || line.len() > LONGEST_ROW || line.contains('\t') {
                break;
            }
            let row = split_row(line);
            if row.len() > best.len() {
                best = places(line, &row);
            }
        }
        Stops(best)
    }

    /// Whether the next line begins with a small letter, and so in the middle of a sentence.
    fn next_goes_on(&self) -> bool {
        let rest = self.rest();
        rest.trim_start_matches([' ', '\t'])
            .starts_with(char::is_lowercase)
    }

    fn next_begins_with(&self, sign: char) -> bool {
        let rest = self.rest();
        rest.trim_start_matches([' ', '\t']).starts_with(sign)
    }

    /// Whether a post of a thread is the seller's, by the name it bears or by what it says.
    fn is_sellers_post(&self, head: &str) -> bool {
        let small = head.to_lowercase();
        if [
            "seller", "sales", "shop", "staff", "dealer", "support", "store", "vendor", "official",
            "admin",
        ]
        .iter()
        .any(|word| small.contains(word))
        {
            return true;
        }
        // A post is short; what says who sells stands near its beginning.
        let rest = self.text.get(self.at - self.from..).unwrap_or("");
        let end = rest
            .char_indices()
            .nth(LONGEST_POST)
            .map_or(rest.len(), |(at, _)| at);
        let body = &rest[..end];
        let body = &body[..memchr::memmem::find(body.as_bytes(), b"\n#").unwrap_or(body.len())];
        [
            "I sell", "i sell", "we sell", "We sell", "we make", "We make",
        ]
        .iter()
        .any(|words| body.contains(words))
    }

    fn next_is_blank_or_end(&self) -> bool {
        let rest = self.rest();
        let line = rest.split(['\n', '\u{c}']).next().unwrap_or("");
        line.trim().is_empty()
    }
}

/// How much of a post is looked at for who writes it, in characters.
const LONGEST_POST: usize = 600;

fn role(stranger: bool) -> Role {
    if stranger { Role::Quote } else { Role::Text }
}

/// Whether a text is a thread of numbered posts.
fn is_thread(text: &str) -> bool {
    memchr::memmem::find_iter(text.as_bytes(), b"\n#")
        .filter(|&at| is_post(text[at + 1..].split('\n').next().unwrap_or("")))
        .take(2)
        .count()
        > 1
}

/// `#14  a name`: the head of a post.
fn is_post(line: &str) -> bool {
    let Some(rest) = line.strip_prefix('#') else {
        return false;
    };
    let digits = rest.bytes().take_while(u8::is_ascii_digit).count();
    (1..=6).contains(&digits)
        && rest[digits..].starts_with(' ')
        && rest[digits..].trim_start().starts_with(char::is_alphabetic)
}

/// A line of nothing but strokes.
fn is_rule(line: &str) -> bool {
    line.len() >= 3
        && line
            .bytes()
            .filter(|b| !matches!(b, b' ' | b'|' | b'+'))
            .count()
            >= 3
        && line
            .bytes()
            .all(|b| matches!(b, b'=' | b'-' | b'_' | b'*' | b'~' | b' ' | b'|' | b'+'))
}

pub(super) fn starts_item(line: &str) -> bool {
    let mut rest = line.chars();
    match rest.next() {
        Some('-' | '*' | '•' | '–' | '·' | '+' | '»' | '✓' | '■' | '▪' | '►' | '○') => {
            rest.next().is_some_and(char::is_whitespace)
        }
        Some(c) if c.is_ascii_digit() => {
            let digits = line.bytes().take_while(u8::is_ascii_digit).count();
            digits <= 2
                && line[digits..].starts_with(['.', ')'])
                && line[digits + 1..].starts_with(' ')
        }
        // `a) for waters`
        Some(c) if c.is_ascii_lowercase() => line[1..].starts_with(") "),
        _ => false,
    }
}

/// `Name: value` on a line of its own.
pub(super) fn looks_labelled(line: &str) -> bool {
    let Some(at) = line.find(": ").or_else(|| line.find(":\t")) else {
        return false;
    };
    // What goes on from the line before, `months. Price: $9`, has no label.
    at <= 40
        && line[..at].split_whitespace().count() <= 5
        && line.len() <= 120
        && !line[..at].contains(". ")
}

fn is_capitals(line: &str) -> bool {
    let mut letters = line.chars().filter(|c| c.is_alphabetic()).peekable();
    letters.peek().is_some() && letters.all(char::is_uppercase)
}

pub(super) fn is_heading(line: &str) -> bool {
    line.len() <= 80
        && !line.ends_with(['.', '!', ',', ';', ':'])
        && !starts_item(line)
        && line
            .chars()
            .next()
            .is_some_and(|c| c.is_uppercase() || c.is_ascii_digit())
        && (is_capitals(line) || line.split_whitespace().count() <= 8)
}

/// The parts of a line that are held apart by a tab, a stroke, or two blanks and more; by a row of points.
fn split_row(line: &str) -> Vec<(usize, usize)> {
    let bytes = line.as_bytes();
    let mut parts = Vec::new();
    let gap = memchr::memchr(b'\t', bytes).is_some()
        || memchr::memmem::find(bytes, b"  ").is_some()
        || memchr::memmem::find(bytes, b" | ").is_some()
        || memchr::memmem::find(bytes, b"...").is_some();
    if !gap {
        return parts;
    }
    let bare = line.trim();
    // A box drawn in strokes is parted by them alone.
    let boxed = bare.starts_with('|') && bare.ends_with('|') && bare.matches('|').count() > 2;
    let mut start = None;
    let mut last = 0;
    let mut at = 0;
    while at < bytes.len() {
        let byte = bytes[at];
        // Only what may part cells is counted, lest a long word be counted from each of its bytes.
        let run = match byte {
            b'\t' | b' ' | b'.' | b'|' => bytes[at..].iter().take_while(|&&b| b == byte).count(),
            _ => 1,
        };
        let parts_here = match byte {
            b'\t' => true,
            b' ' => run >= 2 && !boxed,
            b'|' => true,
            // `-5...40` is a range, and no row of points.
            b'.' => {
                let digit = |at: Option<usize>| {
                    at.and_then(|at| bytes.get(at))
                        .is_some_and(u8::is_ascii_digit)
                };
                run >= 3 && !(run == 3 && digit(at.checked_sub(1)) && digit(Some(at + run)))
            }
            _ => false,
        };
        if parts_here {
            if let Some(from) = start.take() {
                parts.push((from, last));
            }
            at += run;
            continue;
        }
        if byte == b' ' {
            at += 1;
            continue;
        }
        start.get_or_insert(at);
        at += 1;
        last = at;
    }
    if let Some(from) = start {
        parts.push((from, last));
    }
    // Two sentences on one line, with two blanks after the full stop, are no row.
    let sentence = parts.len() == 2
        && line[parts[0].0..parts[0].1].ends_with(['.', '!', '?', ':'])
        && line[parts[0].0..parts[0].1].contains(' ')
        && !line[parts[0].0..parts[0].1].ends_with(':');
    // `Depth      : 6 ft`: the colon belongs to the label.
    for part in &mut parts {
        let text = &line[part.0..part.1];
        if let Some(rest) = text.strip_prefix(": ") {
            part.0 += text.len() - rest.trim_start().len();
        }
    }
    parts.retain(|part| &line[part.0..part.1] != ":");
    let bullet = parts.len() == 2 && starts_item(&format!("{} x", &line[parts[0].0..parts[0].1]));
    if sentence || bullet {
        return Vec::new();
    }
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rows_headings_and_paragraphs_are_told_apart() {
        let text = "POND KIT\n\nWorks in ponds\nup to 6 ft.\n\nDepth      6 ft\nFlow\t1.8 cfm\n\n- one\n- two\n";
        let mut layout = Layout::default();
        read(text, 0, &mut layout);
        let shown: Vec<(Role, &str)> = layout
            .passages
            .iter()
            .map(|p| (p.role, p.text.as_str()))
            .collect();
        let cell = |row, column| Role::Cell {
            table: 1,
            row,
            column,
            head: false,
        };
        assert_eq!(
            shown,
            [
                (Role::Heading(2), "POND KIT"),
                (Role::Text, "Works in ponds up to 6 ft."),
                (cell(0, 0), "Depth"),
                (cell(0, 1), "6 ft"),
                (cell(1, 0), "Flow"),
                (cell(1, 1), "1.8 cfm"),
                (Role::Text, "- one"),
                (Role::Text, "- two"),
            ]
        );
        for passage in &layout.passages {
            let at = passage.source(0..passage.text.len());
            assert_eq!(
                text[at].split_whitespace().collect::<Vec<_>>().join(" "),
                passage.text
            );
        }
    }

    #[test]
    fn posts_quotes_and_rows_that_go_on() {
        use super::super::Kind;
        use super::super::shown::claims_of;
        let thread = "#1  reader  joined 2011\nsaw a 1hp unit for $1200\n\n#2  mill_seller\n1350w, 18ft deep\n\n#3  third\nmine is 60 dB\n";
        assert_eq!(
            claims_of(Kind::Text, thread),
            ["1350w power exact", "18ft depth exact"]
        );
        assert_eq!(
            claims_of(
                Kind::Text,
                "It draws 168 W.\n\n> My old one used 400 W. Need\n> 300 ft of hose.\n"
            ),
            ["168 W power exact"]
        );
        let rows = "Pos  Article            Each, USD\n---  -----------------  ---------\n 1   Twin package       725.00\n       145 W, 2.7 cfm at 5 psi\n 2   Bracket            12.50\n";
        assert_eq!(
            claims_of(Kind::Text, rows),
            [
                "725.00 price exact",
                "145 W power exact",
                "2.7 cfm flow exact at 5 psi"
            ]
        );
        assert_eq!(
            claims_of(Kind::Text, "Sound:\t< 40 dB\tat 3 ft\n"),
            ["40 dB sound at-most at 3 ft"]
        );
        assert_eq!(
            claims_of(Kind::Text, "Sound: 39\ndB(A) at 10 ft. It is\nquiet.\n"),
            ["39 dB(A) sound exact at 10 ft"]
        );
    }
}
