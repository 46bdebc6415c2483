//! Markdown as a terminal shows it: headings, paragraphs, lists, tables and blocks of code, in the width of
//! the page.

use pulldown_cmark::{Event, HeadingLevel, Options, Parser, Tag, TagEnd};
use unicode_width::UnicodeWidthStr;

use super::table::{self, Cell, Room, Row};
use super::theme::{Role, Theme};
use super::words;

/// Columns before a line of code.
const CODE: usize = 4;

/// `text` in `width` columns, ending with a line feed.
pub fn render(text: &str, width: usize, theme: &Theme) -> String {
    let mut page = Page {
        theme,
        width,
        text: String::new(),
        line: Line::default(),
        lists: Vec::new(),
        table: None,
        in_code: false,
    };
    for event in Parser::new_ext(text, Options::ENABLE_TABLES) {
        page.event(event);
    }
    page.end_paragraph();
    while page.text.ends_with("\n\n") {
        page.text.pop();
    }
    page.text
}

/// One paragraph, indented.
pub fn paragraph(text: &str, indent: usize, width: usize, theme: &Theme) -> String {
    let rendered = render(text, width.saturating_sub(indent), theme);
    let lines = rendered.lines().map(|line| match line {
        "" => "\n".to_string(),
        line => format!("{}{line}\n", " ".repeat(indent)),
    });
    lines.collect()
}

/// Words waiting to be broken into lines.
#[derive(Default)]
struct Line {
    /// Each with its role; one that goes on where the last ended is joined to it.
    words: Vec<Vec<(String, Role)>>,
    /// Whether the next text begins a new word.
    apart: bool,
    role: Option<Role>,
}

impl Line {
    fn push(&mut self, text: &str, role: Role) {
        for (place, word) in text.split(' ').enumerate() {
            if place > 0 {
                self.apart = true;
            }
            if word.is_empty() {
                continue;
            }
            let piece = (word.to_string(), role);
            match self.words.last_mut() {
                Some(last) if !self.apart => last.push(piece),
                _ => self.words.push(vec![piece]),
            }
            self.apart = false;
        }
    }
}

struct Page<'t> {
    theme: &'t Theme,
    width: usize,
    text: String,
    line: Line,
    /// The next number of each open list; nothing for one without numbers.
    lists: Vec<Option<u64>>,
    table: Option<Vec<Row>>,
    in_code: bool,
}

impl Page<'_> {
    fn event(&mut self, event: Event) {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                self.end_paragraph();
                self.line.role = Some(match level {
                    HeadingLevel::H1 | HeadingLevel::H2 => Role::Strong,
                    _ => Role::Label,
                });
            }
            Event::End(TagEnd::Heading(level)) => {
                self.flush(0, "");
                if level <= HeadingLevel::H2 {
                    self.text.push('\n');
                }
            }
            Event::Start(Tag::Emphasis | Tag::Strong) => self.line.role = Some(Role::Strong),
            Event::End(TagEnd::Emphasis | TagEnd::Strong) => self.line.role = None,
            Event::Start(Tag::CodeBlock(_)) => {
                self.end_paragraph();
                self.in_code = true;
            }
            Event::End(TagEnd::CodeBlock) => {
                self.in_code = false;
                self.text.push('\n');
            }
            Event::Start(Tag::List(first)) => {
                if self.lists.is_empty() {
                    self.flush(0, "");
                } else {
                    self.end_item();
                }
                self.lists.push(first);
            }
            Event::End(TagEnd::List(_)) => {
                self.lists.pop();
                if self.lists.is_empty() {
                    self.text.push('\n');
                }
            }
            Event::End(TagEnd::Item) => self.end_item(),
            Event::Start(Tag::Table(_)) => {
                self.end_paragraph();
                self.table = Some(Vec::new());
            }
            Event::End(TagEnd::Table) => self.end_table(),
            Event::Start(Tag::TableHead) => self.row(|| Row::Heads(Vec::new())),
            Event::Start(Tag::TableRow) => self.row(|| Row::Cells(Vec::new())),
            Event::End(TagEnd::TableCell) => self.end_cell(),
            Event::End(TagEnd::Paragraph) => self.end_paragraph(),
            Event::Text(text) if self.in_code => self.code(&text),
            Event::Text(text) => {
                let role = self.line.role.unwrap_or(Role::Plain);
                let text = self.theme.text(&text).into_owned();
                self.line.push(&text, role);
            }
            Event::Code(text) => {
                let role = self.line.role.unwrap_or(Role::Label);
                let text = self.theme.text(&text).into_owned();
                // Without colours nothing but its quotes sets a name apart.
                let text = if self.theme.color || self.table.is_some() {
                    text
                } else {
                    format!("`{text}`")
                };
                self.line.push(&text, role);
            }
            Event::SoftBreak | Event::HardBreak => self.line.apart = true,
            _ => {}
        }
    }

    fn row(&mut self, begin: fn() -> Row) {
        if let Some(table) = &mut self.table {
            table.push(begin());
        }
    }

    fn end_cell(&mut self) {
        let line = std::mem::take(&mut self.line);
        let words = line.words.into_iter();
        let words = words.map(|word| word.into_iter().map(|(text, _)| text).collect::<String>());
        let text = words.collect::<Vec<_>>().join(" ");
        if let Some(Row::Heads(cells)) = self.table.as_mut().and_then(|table| table.last_mut()) {
            cells.push(Cell::new(text, Role::Quiet));
        } else if let Some(Row::Cells(cells)) =
            self.table.as_mut().and_then(|table| table.last_mut())
        {
            cells.push(Cell::new(text, Role::Plain));
        }
    }

    fn end_table(&mut self) {
        let rows = self.table.take().unwrap_or_default();
        let room = Room {
            width: self.width,
            indent: 0,
            widest: 34,
            least: 24,
        };
        if table::fits(&rows, room) {
            self.text.push_str(&table::lay(&rows, room, self.theme));
            self.text.push('\n');
        } else {
            self.stack(&rows);
        }
    }

    /// A table that is wider than the page: each row by itself, its cells beneath one another.
    fn stack(&mut self, rows: &[Row]) {
        let mut heads: &[Cell] = &[];
        for row in rows {
            let cells = match row {
                Row::Heads(cells) => {
                    heads = cells;
                    continue;
                }
                Row::Cells(cells) | Row::Across(cells) => cells,
            };
            for (place, cell) in cells
                .iter()
                .enumerate()
                .filter(|(_, one)| !one.text.is_empty())
            {
                let head = heads.get(place).filter(|_| place > 0);
                let (indent, role) = if place == 0 {
                    (0, Role::Strong)
                } else {
                    (2, Role::Plain)
                };
                let text = match head {
                    Some(head) => format!("{}: {}", head.text, cell.text),
                    None => cell.text.clone(),
                };
                for line in words::wrap(&text, self.width.saturating_sub(indent)) {
                    self.text.push_str(&" ".repeat(indent));
                    self.text.push_str(&self.theme.paint(role, &line));
                    self.text.push('\n');
                }
            }
            self.text.push('\n');
        }
    }

    fn code(&mut self, text: &str) {
        for line in text.lines() {
            let line = self.theme.text(line).into_owned();
            // What an example is to show stands out.
            let role = if line.trim_start().starts_with("# here:") {
                Role::Label
            } else {
                Role::Plain
            };
            let line = self.theme.paint(role, &line);
            let line = format!("{}{line}", " ".repeat(CODE));
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }

    fn end_item(&mut self) {
        if self.line.words.is_empty() {
            return;
        }
        let depth = self.lists.len();
        let mark = match self.lists.last_mut() {
            Some(Some(number)) => {
                *number += 1;
                format!("{}. ", *number - 1)
            }
            _ => "- ".to_string(),
        };
        self.flush(2 * depth.saturating_sub(1), &mark);
    }

    fn end_paragraph(&mut self) {
        if self.line.words.is_empty() {
            return;
        }
        if self.lists.is_empty() {
            self.flush(0, "");
            self.text.push('\n');
        } else {
            self.end_item();
        }
    }

    /// Writes the waiting words in lines, the first behind `mark` and the others beneath its words.
    fn flush(&mut self, indent: usize, mark: &str) {
        let words = std::mem::take(&mut self.line).words;
        let hang = indent + mark.width();
        let mut used = 0;
        for word in words {
            let wide: usize = word.iter().map(|(text, _)| text.width()).sum();
            if used == 0 {
                self.text.push_str(&" ".repeat(indent));
                self.text.push_str(mark);
                used = hang;
            } else if used + 1 + wide > self.width {
                self.text.push('\n');
                self.text.push_str(&" ".repeat(hang));
                used = hang;
            } else {
                self.text.push(' ');
                used += 1;
            }
            for (text, role) in &word {
                self.text.push_str(&self.theme.paint(*role, text));
            }
            used += wide;
        }
        if used > 0 {
            self.text.push('\n');
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PLAIN: Theme = Theme {
        color: false,
        unicode: true,
    };

    #[test]
    fn every_kind_of_block_has_its_form() {
        let text = "# kit.valves\n\nThe air can be *shared out* to\nthe diffusers (`per_run = 2`).\n\n### Physics\n\n- one and a half words\n- two\n\n```toml\na = 1\n\n# here: x.y\n```\n\nEnd.\n";
        let expected = "kit.valves\n\nThe air can be shared\nout to the diffusers\n(`per_run = 2`).\n\nPhysics\n- one and a half words\n- two\n\n    a = 1\n\n    # here: x.y\n\nEnd.\n";
        assert_eq!(render(text, 22, &PLAIN), expected);
    }

    #[test]
    fn a_table_wider_than_the_page_is_stacked() {
        let text = "| a | b | c |\n| --- | --- | --- |\n| one word | two words more | three |\n| x | | y |\n";
        let stacked = "one word\n  b: two words more\n  c: three\n\nx\n  c: y\n";
        assert_eq!(render(text, 20, &PLAIN), stacked);
        assert!(render(text, 60, &PLAIN).contains("one word  two words more  three\n"));
    }

    #[test]
    fn colours_only_where_they_may_be() {
        let theme = Theme {
            color: true,
            unicode: true,
        };
        assert!(render("# a `b`\n\n`c`", 40, &theme).contains('\u{1b}'));
        assert!(!render("# a `b`\n\n`c`", 40, &PLAIN).contains('\u{1b}'));
    }

    #[test]
    fn what_could_act_on_a_terminal_is_shown_as_a_mark() {
        let text = render("a\u{1b}[2Jb `c\u{202e}`", 40, &PLAIN);
        assert!(
            !text.contains('\u{1b}') && !text.contains('\u{202e}'),
            "{text:?}"
        );
    }
}
