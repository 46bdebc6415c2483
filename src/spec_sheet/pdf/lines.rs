//! From the glyphs of a page to its lines: words, gaps between cells, raised figures.

use super::{Bounds, Placed, Word};

/// A glyph where it stands on its page.
#[derive(Debug, Clone, PartialEq)]
pub struct Glyph {
    /// Left end of its baseline, in points.
    pub x: f64,
    /// Its baseline, from the foot of the page.
    pub y: f64,
    /// Right end.
    pub end: f64,
    /// Size of its font.
    pub size: f64,
    /// What it shows: one character, or more for a ligature.
    pub text: String,
}

/// A gap of so many sizes of the font parts words.
const WORD: f64 = 0.15;
/// A gap of so many sizes of the font parts the cells of a row.
const CELL: f64 = 1.3;
/// Lines that lie so many sizes of the font below each other belong to different paragraphs.
const PARAGRAPH: f64 = 1.75;
/// Rows of a table may lie so far apart.
const ROW: f64 = 3.5;

/// Adds the lines of a page to placed text.
pub fn page(number: u32, mut glyphs: Vec<Glyph>, placed: &mut Placed) {
    glyphs.retain(|glyph| {
        [glyph.x, glyph.y, glyph.end, glyph.size].iter().all(|x| x.is_finite() && x.abs() < 1e6)
            && glyph.size > 0.1
            && !glyph.text.is_empty()
    });
    let columns = columns(&glyphs);
    for column in columns {
        let mut last: Option<(f64, f64, bool)> = None;
        for line in lines(column) {
            let (y, size) = (line.y, line.size);
            let has_cells = line.has_cells();
            if let Some((above, size_above, cells_above)) = last {
                placed.text.push('\n');
                let reach = if has_cells && cells_above { ROW } else { PARAGRAPH };
                // A change of size parts a heading from what stands under it.
                let differs = size > size_above * 1.15 || size_above > size * 1.15;
                if above - y > reach * size.max(size_above) || (differs && !(has_cells && cells_above)) {
                    placed.text.push('\n');
                }
            }
            line.write(number, placed);
            last = Some((y, size, has_cells));
        }
        placed.text.push_str("\n\n");
    }
}

/// The glyphs of each column of running text, from left to right; of a page without columns all of them.
///
/// There are two where a strip in the middle of the page is crossed by hardly a line, and where much text
/// stands in lines on either side: a table's cells are short.
fn columns(glyphs: &[Glyph]) -> Vec<Vec<Glyph>> {
    let whole = || vec![glyphs.to_vec()];
    let (left, right) = glyphs.iter().fold((f64::MAX, f64::MIN), |(left, right), glyph| (left.min(glyph.x), right.max(glyph.end)));
    if right.partial_cmp(&left) != Some(std::cmp::Ordering::Greater) || glyphs.len() < 400 {
        return whole();
    }
    // How many glyphs cover each of the strips across the page.
    const STRIPS: usize = 200;
    let strip = |x: f64| (((x - left) / (right - left) * STRIPS as f64) as usize).min(STRIPS - 1);
    let mut covered = [0u32; STRIPS];
    for glyph in glyphs.iter().filter(|glyph| !glyph.text.trim().is_empty()) {
        for place in covered.iter_mut().take(strip(glyph.end) + 1).skip(strip(glyph.x)) {
            *place += 1;
        }
    }
    let mean = covered.iter().sum::<u32>() / STRIPS as u32;
    let free = |at: usize| covered.get(at..at + 4).is_some_and(|strips| strips.iter().all(|&count| count * 20 < mean));
    let Some(middle) = (STRIPS * 2 / 5..STRIPS * 3 / 5).find(|&at| free(at)) else {
        return whole();
    };
    let gutter = left + (right - left) * (middle + 2) as f64 / STRIPS as f64;
    let (first, second): (Vec<Glyph>, Vec<Glyph>) = glyphs.iter().cloned().partition(|glyph| glyph.x < gutter);
    let is_running = |side: &[Glyph]| {
        let lines = lines(side.to_vec());
        let long = lines.iter().filter(|line| line.glyphs.len() >= 25 && !line.has_cells()).count();
        long * 2 >= lines.len() && lines.len() >= 8
    };
    if is_running(&first) && is_running(&second) {
        vec![first, second]
    } else {
        whole()
    }
}

/// A line of a page, its glyphs from left to right.
struct Line {
    y: f64,
    size: f64,
    glyphs: Vec<Glyph>,
    /// Where its cells begin, but for the first; empty for running text.
    cells: Vec<f64>,
}

/// Gathers glyphs that share a baseline, from the top of the page down.
fn lines(mut glyphs: Vec<Glyph>) -> Vec<Line> {
    glyphs.sort_by(|a, b| b.y.total_cmp(&a.y).then(a.x.total_cmp(&b.x)));
    let mut lines: Vec<Line> = Vec::new();
    for glyph in glyphs {
        match lines.last_mut() {
            // A raised or lowered glyph lies off the baseline by less than half a size.
            Some(line) if line.y - glyph.y < 0.45 * line.size.max(glyph.size) => {
                if glyph.size > line.size {
                    line.size = glyph.size;
                    line.y = glyph.y;
                }
                line.glyphs.push(glyph);
            }
            _ => lines.push(Line {
                y: glyph.y,
                size: glyph.size,
                glyphs: vec![glyph],
                cells: Vec::new(),
            }),
        }
    }
    for line in &mut lines {
        line.glyphs.sort_by(|a, b| a.x.total_cmp(&b.x));
        // Bold is sometimes made by printing twice.
        line.glyphs.dedup_by(|b, a| a.text == b.text && (a.x - b.x).abs() < 0.05 * a.size && (a.y - b.y).abs() < 0.05 * a.size);
    }
    for line in &mut lines {
        line.cells = line.starts(CELL);
    }
    // Long heads leave narrow gaps; there the rows beside them tell where the cells begin.
    let own: Vec<(f64, Vec<f64>)> = lines.iter().map(|line| (line.y, line.cells.clone())).collect();
    for (place, line) in lines.iter_mut().enumerate() {
        if line.glyphs.len() > 100 {
            continue;
        }
        let words = line.starts(WORD);
        let beside = [place.checked_sub(1), place.checked_add(1)];
        for (y, cells) in beside.into_iter().flatten().filter_map(|at| own.get(at)) {
            if (y - line.y).abs() <= ROW * line.size {
                let shared = words.iter().filter(|&&x| cells.iter().any(|&cell| (cell - x).abs() < 0.1 * line.size));
                line.cells.extend(shared.copied());
            }
        }
    }
    lines
}

impl Line {
    /// Where the words begin that a gap of so many sizes parts from what stands before.
    fn starts(&self, gap: f64) -> Vec<f64> {
        let mut end: Option<f64> = None;
        let mut found = Vec::new();
        for glyph in self.glyphs.iter().filter(|glyph| !glyph.text.trim().is_empty()) {
            if end.is_some_and(|end| glyph.x - end > gap * self.size) {
                found.push(glyph.x);
            }
            end = Some(glyph.end.max(glyph.x));
        }
        found
    }

    /// Whether gaps part it into cells.
    fn has_cells(&self) -> bool {
        !self.cells.is_empty()
    }

    fn write(&self, page: u32, placed: &mut Placed) {
        let mut open: Option<(usize, Bounds)> = None;
        let mut end = f64::MAX;
        let mut spaced = false;
        for glyph in &self.glyphs {
            if glyph.text.chars().all(|c| c.is_whitespace() || c.is_control()) {
                spaced = true;
                continue;
            }
            let gap = glyph.x - end;
            if spaced || gap > WORD * self.size || self.cells.contains(&glyph.x) {
                close(&mut open, page, placed);
                if end < f64::MAX {
                    placed.text.push_str(if self.cells.contains(&glyph.x) { "   " } else { " " });
                }
            }
            spaced = false;
            let bounds = Bounds {
                left: glyph.x as f32,
                bottom: (glyph.y - 0.2 * glyph.size) as f32,
                right: glyph.end as f32,
                top: (glyph.y + 0.8 * glyph.size) as f32,
            };
            open = Some(match open {
                Some((start, so_far)) => (start, so_far.with(bounds)),
                None => (placed.text.len(), bounds),
            });
            let is_raised = glyph.size < 0.85 * self.size && glyph.y > self.y + 0.15 * self.size;
            for c in glyph.text.chars() {
                match c {
                    _ if is_raised && c.is_ascii_digit() => placed.text.push(raised(c)),
                    'ﬁ' => placed.text.push_str("fi"),
                    'ﬂ' => placed.text.push_str("fl"),
                    'ﬀ' => placed.text.push_str("ff"),
                    'ﬃ' => placed.text.push_str("ffi"),
                    'ﬄ' => placed.text.push_str("ffl"),
                    c if c.is_control() => placed.text.push(' '),
                    c => placed.text.push(c),
                }
            }
            end = glyph.end.max(glyph.x);
        }
        close(&mut open, page, placed);
    }
}

/// Ends the word that is open.
fn close(open: &mut Option<(usize, Bounds)>, page: u32, placed: &mut Placed) {
    if let Some((start, bounds)) = open.take() {
        let end = placed.text.len();
        placed.word(Word {
            start,
            end,
            page,
            bounds,
        });
    }
}

fn raised(c: char) -> char {
    match c {
        '1' => '¹',
        '2' => '²',
        '3' => '³',
        _ => char::from_u32('⁰' as u32 + (c as u32 - '0' as u32)).unwrap_or(c),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Glyphs of a text that begins at a place, each half as wide as high.
    fn glyphs(x: f64, y: f64, size: f64, text: &str) -> Vec<Glyph> {
        text.chars()
            .enumerate()
            .map(|(place, c)| Glyph {
                x: x + place as f64 * size / 2.0,
                y,
                end: x + (place + 1) as f64 * size / 2.0,
                size,
                text: c.to_string(),
            })
            .collect()
    }

    #[test]
    fn lines_cells_and_raised_figures() {
        let mut all = glyphs(72.0, 700.0, 10.0, "Depth");
        all.extend(glyphs(200.0, 700.0, 10.0, "6 ft"));
        all.extend(glyphs(72.0, 685.0, 10.0, "Flow"));
        all.extend(glyphs(200.0, 685.0, 10.0, "4 m"));
        all.extend(glyphs(215.0, 688.5, 6.0, "3"));
        all.extend(glyphs(218.0, 685.0, 10.0, "/h"));
        all.reverse();
        let mut placed = Placed::default();
        page(1, all, &mut placed);
        all = glyphs(72.0, 715.0, 10.0, "What it is, on the test bench");
        all.extend(glyphs(222.0, 715.0, 10.0, "Value"));
        all.extend(glyphs(72.0, 700.0, 10.0, "Depth"));
        all.extend(glyphs(222.0, 700.0, 10.0, "6 ft"));
        let mut headed = Placed::default();
        page(1, all, &mut headed);
        assert_eq!(headed.text, "What it is, on the test bench   Value\nDepth   6 ft\n\n");
        assert_eq!(placed.text, "Depth   6 ft\nFlow   4 m³/h\n\n");
        assert!(placed.notes.contains("w 13 17 1 72.0 683.0 92.0 693.0"), "{}", placed.notes);
    }

    #[test]
    fn two_columns_are_read_one_after_the_other() {
        let mut all = Vec::new();
        for line in 0..12 {
            let y = 700.0 - f64::from(line) * 12.0;
            all.extend(glyphs(50.0, y, 10.0, "left words that run on and on here"));
            all.extend(glyphs(260.0, y, 10.0, "right words that run on and on too"));
        }
        let mut placed = Placed::default();
        page(1, all, &mut placed);
        let right = placed.text.find("right").unwrap();
        assert_eq!(placed.text[..right].matches("left").count(), 12);
    }
}
