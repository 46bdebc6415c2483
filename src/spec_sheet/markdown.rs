//! Markdown (CommonMark, with tables, struck-out text, definition lists and footnotes).

use std::ops::Range;

use hashbrown::HashMap;
use pulldown_cmark::{CodeBlockKind, Event, HeadingLevel, Options, Parser, Tag, TagEnd};

use super::decoded;
use super::html;
use super::layout::{Layout, Role, UnreadKind};
use super::structured::{self, Property, Written};

/// Longest text of a list's item that is a label for the items in it.
const LONGEST_LABEL: usize = 48;

/// Reads Markdown that begins at byte `from` of the file.
pub fn read(text: &str, from: usize, layout: &mut Layout) {
    let (front, body) = front_matter(text);
    if let Some(front) = front {
        own_word(&text[front.clone()], from + front.start, layout);
        let rows = rows_of(&text[front.clone()], from + front.start);
        structured::lay_out(layout, &rows);
    }
    let options = Options::ENABLE_TABLES
        | Options::ENABLE_STRIKETHROUGH
        | Options::ENABLE_FOOTNOTES
        | Options::ENABLE_DEFINITION_LIST;
    let start = from + body;
    let mut page = Page {
        source: &text[body..],
        start,
        layout,
        struck: 0,
        heading: None,
        quote: 0,
        code: false,
        cell: None,
        definition: false,
        items: Vec::new(),
        term: None,
        pictures: Vec::new(),
        footnotes: HashMap::new(),
        keeps_open: false,
        html: None,
    };
    for (event, range) in Parser::new_ext(&text[body..], options).into_offset_iter() {
        page.event(event, range);
    }
    page.flush_html();
    page.block();
}

/// The bytes between `+++` lines at the head, and where the rest begins.
fn front_matter(text: &str) -> (Option<Range<usize>>, usize) {
    let mark = usize::from(text.starts_with('\u{feff}')) * '\u{feff}'.len_utf8();
    let rest = &text[mark..];
    for fence in ["+++", "---"] {
        let Some(after) = rest.strip_prefix(fence) else {
            continue;
        };
        let Some(line) = after
            .find('\n')
            .filter(|&end| after[..end].trim().is_empty())
        else {
            continue;
        };
        let begin = mark + fence.len() + line + 1;
        let mut at = begin;
        for line in text[begin..].split_inclusive('\n') {
            if line.trim_end() == fence {
                return (Some(begin..at), at + line.len());
            }
            // A line across the page may open a text that has no head at all.
            if fence == "---"
                && !line.trim().is_empty()
                && !line.contains(':')
                && !line.starts_with([' ', '-', '#'])
            {
                break;
            }
            at += line.len();
        }
    }
    (None, mark)
}

/// What the head of a sheet says of itself: its package and its language.
fn own_word(front: &str, at: usize, layout: &mut Layout) {
    let mut start = at;
    for line in front.split_inclusive('\n') {
        if let Some((key, value)) = line.split_once(['=', ':']) {
            let bare = value.trim().trim_matches(['"', '\'']);
            let place = line.find(bare).map_or(start, |found| start + found);
            match key.trim() {
                "package" if !bare.is_empty() => {
                    layout
                        .package
                        .get_or_insert((bare.to_owned(), place..place + bare.len()));
                }
                "language" | "lang" => layout.language = Some(bare.to_owned()),
                _ => {}
            }
        }
        start += line.len();
    }
}

/// Figures that the head of a sheet gives by names: `price_eur: 1249.00`.
fn rows_of(front: &str, at: usize) -> Vec<Property> {
    let mut rows = Vec::new();
    let mut start = at;
    for line in front.split_inclusive('\n') {
        if let Some((key, value)) = line.split_once([':', '='])
            && !key.starts_with([' ', '#'])
        {
            let value = value.trim();
            let place = |part: &str, from: usize| {
                let found = line[from..]
                    .find(part)
                    .map_or(start, |found| start + from + found);
                Written {
                    text: part.to_owned(),
                    at: found..found + part.len(),
                }
            };
            if value.starts_with(|c: char| c.is_ascii_digit()) {
                rows.push(Property {
                    name: Some(place(key.trim(), 0)),
                    value: Some(place(value, key.len() + 1)),
                    unit: None,
                });
            }
        }
        start += line.len();
    }
    rows
}

struct Page<'a, 'l> {
    source: &'a str,
    start: usize,
    layout: &'l mut Layout,
    struck: u32,
    heading: Option<u8>,
    quote: u32,
    /// Whether the text is a program's, which promises nothing: a block fenced with the name of its language.
    code: bool,
    /// Row, column and whether it is the head, of the open table.
    cell: Option<(u32, u32, bool)>,
    definition: bool,
    /// The text of each open item of a list, which the items in it belong to.
    items: Vec<Option<u32>>,
    term: Option<u32>,
    /// Pictures that are open, with whether any words were seen in them.
    pictures: Vec<(Range<usize>, bool)>,
    /// Numbers of footnotes by their names, in the order in which they were met.
    footnotes: HashMap<String, usize>,
    /// Whether the next paragraph goes on with what is open.
    keeps_open: bool,
    /// HTML that is gathered until the Markdown goes on.
    html: Option<Range<usize>>,
}

impl Page<'_, '_> {
    fn event(&mut self, event: Event<'_>, range: Range<usize>) {
        match event {
            Event::Html(_) | Event::InlineHtml(_) => return self.html(&event, range),
            _ => self.flush_html(),
        }
        match event {
            Event::Start(tag) => self.open(&tag, range),
            Event::End(tag) => self.close(tag, range),
            Event::Text(text) => self.text(&text, range),
            Event::Code(text) => {
                // The range holds the marks around the code.
                let whole = self.source.get(range.clone()).unwrap_or("");
                let into = whole.find(&*text).unwrap_or(0);
                let start = range.start + into;
                self.text(&text, start..(start + text.len()).min(range.end));
            }
            Event::SoftBreak => self.layout.space(self.start + range.start),
            Event::HardBreak => self.layout.line(self.start + range.start),
            Event::Rule => self.block(),
            Event::FootnoteReference(label) => {
                let mark = self.footnote(&label);
                let (from, to) = (self.start + range.start, self.start + range.end);
                self.layout.push(&mark, from..to);
            }
            _ => {}
        }
    }

    /// A footnote's mark: its number as raised figures.
    fn footnote(&mut self, label: &str) -> String {
        // What is written by four figures and less is read as a mark.
        const MOST: usize = 9999;
        let next = self.footnotes.len() + 1;
        let number = match self.footnotes.get(label) {
            Some(&known) => known,
            None if next > MOST => return String::new(),
            None => *self.footnotes.entry(label.to_owned()).or_insert(next),
        };
        super::html::raised(&number.to_string()).unwrap_or_default()
    }

    fn text(&mut self, text: &str, range: Range<usize>) {
        if self.struck > 0 {
            return;
        }
        if let Some((_, words)) = self.pictures.last_mut() {
            *words |= !text.trim().is_empty();
        }
        let written = self.source.get(range.clone()).unwrap_or("");
        decoded::push(self.layout, text, written, self.start + range.start);
    }

    fn html(&mut self, event: &Event<'_>, range: Range<usize>) {
        if let Event::InlineHtml(tag) = event {
            // Tags within a sentence: only what changes the text is looked at.
            let tag = tag.to_ascii_lowercase();
            if tag.starts_with("<br") {
                self.layout.line(self.start + range.start);
            } else if tag.starts_with("<del")
                || tag.starts_with("<s>")
                || tag.starts_with("<strike")
            {
                self.struck += 1;
            } else if tag.starts_with("</del")
                || tag.starts_with("</s>")
                || tag.starts_with("</strike")
            {
                self.struck = self.struck.saturating_sub(1);
            } else if tag.starts_with("<img") {
                self.block();
                let written = self.source.get(range.clone()).unwrap_or("");
                html::read(written, self.start + range.start, self.layout);
            }
            return;
        }
        match &mut self.html {
            Some(open) => open.end = range.end,
            None => {
                self.block();
                self.html = Some(range);
            }
        }
    }

    fn flush_html(&mut self) {
        if let Some(range) = self.html.take() {
            let written = self.source.get(range.clone()).unwrap_or("");
            html::read(written, self.start + range.start, self.layout);
        }
    }

    fn role(&self) -> Role {
        if let Some(level) = self.heading {
            Role::Heading(level)
        } else if let Some((row, column, head)) = self.cell {
            Role::Cell {
                table: self.layout.tables,
                row,
                column,
                head,
            }
        } else if self.definition {
            Role::Definition
        } else if self.code
            || self.quote > 0 && (self.layout.is_quotation() || self.layout.is_led_in())
        {
            Role::Quote
        } else {
            Role::Text
        }
    }

    fn block(&mut self) {
        let role = self.role();
        let ended = self.layout.end(role);
        if ended.is_some()
            && role == Role::Definition
            && let Some(passage) = self.layout.passages.last_mut()
        {
            passage.term = self.term;
        }
        // The first text of an item is what its inner items are about.
        if let (Some(number), Role::Text) = (ended, role) {
            let mut outer = self.items.iter().rev();
            let own = outer.next().copied().flatten();
            let above = own.or_else(|| outer.find_map(|&item| item));
            if let Some(above) = above
                && self.layout.passages[above as usize].text.len() <= LONGEST_LABEL
                && let Some(passage) = self.layout.passages.last_mut()
            {
                passage.term = Some(above);
            }
            if let Some(item) = self.items.last_mut() {
                item.get_or_insert(number);
            }
        }
    }

    fn open(&mut self, tag: &Tag<'_>, range: Range<usize>) {
        match tag {
            Tag::Heading { level, .. } => {
                self.block();
                self.heading = Some(match level {
                    HeadingLevel::H1 => 1,
                    HeadingLevel::H2 => 2,
                    HeadingLevel::H3 => 3,
                    HeadingLevel::H4 => 4,
                    HeadingLevel::H5 => 5,
                    HeadingLevel::H6 => 6,
                });
            }
            Tag::BlockQuote(_) => {
                self.block();
                self.quote += 1;
            }
            Tag::Table(_) => {
                self.block();
                self.layout.tables += 1;
            }
            Tag::TableHead => self.cell = Some((0, 0, true)),
            Tag::TableRow => {
                let row = self.cell.map_or(1, |(row, _, _)| row + 1);
                self.cell = Some((row, 0, false));
            }
            Tag::Strikethrough => self.struck += 1,
            Tag::Image { .. } => self.pictures.push((range, false)),
            Tag::DefinitionListDefinition => {
                self.block();
                self.definition = true;
            }
            Tag::Item => {
                self.block();
                self.items.push(None);
            }
            // A note's mark stands in the paragraph behind it.
            Tag::Paragraph if std::mem::take(&mut self.keeps_open) => {}
            Tag::CodeBlock(kind) => {
                self.block();
                const OF_TEXT: [&str; 6] = ["", "text", "txt", "plain", "csv", "console"];
                self.code =
                    matches!(kind, CodeBlockKind::Fenced(info) if !OF_TEXT.contains(&info.trim()));
            }
            Tag::Paragraph | Tag::List(_) | Tag::DefinitionListTitle => self.block(),
            Tag::FootnoteDefinition(label) => {
                self.block();
                let mark = self.footnote(label);
                let from = self.start + range.start;
                self.layout
                    .push(&mark, from..from + label.len() + "[^]".len());
                self.layout.space(from);
                self.keeps_open = true;
            }
            _ => {}
        }
    }

    fn close(&mut self, tag: TagEnd, range: Range<usize>) {
        match tag {
            TagEnd::Heading(_) => {
                self.block();
                self.heading = None;
            }
            TagEnd::BlockQuote(_) => {
                self.block();
                self.quote = self.quote.saturating_sub(1);
            }
            TagEnd::Table => {
                self.block();
                self.cell = None;
            }
            TagEnd::TableCell => {
                self.block();
                if let Some((_, column, _)) = &mut self.cell {
                    *column += 1;
                }
            }
            TagEnd::Strikethrough => self.struck = self.struck.saturating_sub(1),
            TagEnd::Image => {
                if let Some((at, words)) = self.pictures.pop()
                    && !words
                {
                    let at = self.start + at.start..self.start + range.end;
                    self.layout.unread(UnreadKind::Picture, at);
                }
            }
            TagEnd::DefinitionListTitle => self.term = self.layout.end(Role::Term),
            TagEnd::DefinitionListDefinition => {
                self.block();
                self.definition = false;
            }
            TagEnd::CodeBlock => {
                self.block();
                self.code = false;
            }
            TagEnd::Paragraph | TagEnd::List(_) | TagEnd::FootnoteDefinition => self.block(),
            TagEnd::Item => {
                self.block();
                self.items.pop();
            }
            _ => {}
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn headings_tables_entities_and_front_matter() {
        let text = "+++\npackage = \"mill-pair\"\n+++\n# Kit\n\nUp to &frac14; acre,\n**6** ft. ~~$9~~\n\n\
            | Depth | Flow |\n|---|---|\n| 6 ft | `1.8 cfm` |\n\n![a 44 dBA box](x.png) ![](y.png)\n\n\
            <table><tr><td>Power<td>38 W</table>\n";
        let mut layout = Layout::default();
        read(text, 0, &mut layout);
        let shown: Vec<(Role, &str)> = layout
            .passages
            .iter()
            .map(|p| (p.role, p.text.as_str()))
            .collect();
        let cell = |table, row, column, head| Role::Cell {
            table,
            row,
            column,
            head,
        };
        assert_eq!(
            shown,
            [
                (Role::Heading(1), "Kit"),
                (Role::Text, "Up to ¼ acre, 6 ft."),
                (cell(1, 0, 0, true), "Depth"),
                (cell(1, 0, 1, true), "Flow"),
                (cell(1, 1, 0, false), "6 ft"),
                (cell(1, 1, 1, false), "1.8 cfm"),
                (Role::Text, "a 44 dBA box"),
                (cell(2, 0, 0, false), "Power"),
                (cell(2, 0, 1, false), "38 W"),
            ]
        );
        let (package, at) = layout.package.clone().unwrap();
        assert_eq!((package.as_str(), &text[at]), ("mill-pair", "mill-pair"));
        assert_eq!(layout.unread.len(), 1);
        let area = &layout.passages[1];
        let at = area.text.find('¼').unwrap();
        assert_eq!(&text[area.source(at..at + '¼'.len_utf8())], "&frac14;");
        let at = area.text.find("6 ft").unwrap();
        assert_eq!(&text[area.source(at..at + 4)], "6** ft");
    }
}
