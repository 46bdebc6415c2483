//! HTML: what a person sees of a page, and the words that stand for its pictures.
//!
//! The tokenizer is that of the HTML standard, so no markup is too broken to be read; the tree isn't
//! built, as headings, cells and list terms are told by their tags alone.

use std::cell::Cell;
use std::convert::Infallible;

use html5gum::emitters::callback::{CallbackEmitter, CallbackEvent};
use html5gum::{Readable, Reader, Span, StringReader, Tokenizer};

use super::asides::begins_list_of_others;
use super::decoded;
use super::layout::{Layout, Role, UnreadKind};
use super::plain;
use super::structured::{self, Property, Written};

/// How deep `noscript` may lie in `noscript`.
const DEEPEST: u8 = 3;

/// How many attributes one tag may have. The tokenizer takes some stack for each, until the tag ends.
pub const MOST_ATTRIBUTES: u32 = 1000;

/// Reads a page, or a part of one that begins at byte `from` of the file.
pub fn read(text: &str, from: usize, layout: &mut Layout) {
    read_part(text, from, layout, 0);
}

/// A stretch of HTML within Markdown: its tags may be opened and closed in different stretches.
fn read_part(text: &str, from: usize, layout: &mut Layout, depth: u8) {
    let attributes = Cell::new(0);
    let mut page = Page {
        attributes: &attributes,
        source: text,
        from,
        layout,
        depth,
        tag: Tag::default(),
        attribute: Vec::new(),
        silent: 0,
        silent_tag: Vec::new(),
        noscript: false,
        heading: None,
        item: Item::Text,
        term: None,
        quote: 0,
        other: None,
        lists: Vec::new(),
        raised: false,
        closed: false,
        apart: false,
        preformatted: false,
        tables: Vec::new(),
        data: None,
        items: Items::default(),
    };
    let mut emitter: CallbackEmitter<_, Infallible, usize> = CallbackEmitter::new(
        |event: CallbackEvent<'_>, span: Span<usize>| -> Option<Infallible> {
            page.event(event, span);
            None
        },
    );
    emitter.naively_switch_states(true);
    let bounded = Bounded {
        text: text.to_reader(),
        attributes: &attributes,
    };
    // The emitter hands on what it meets itself, so no token comes out at this end; a crowded tag was told there.
    let _ = Tokenizer::new_with_emitter(bounded, emitter).next();
    page.block();
    page.items.end();
    let rows = std::mem::take(&mut page.items.rows);
    structured::lay_out(page.layout, &rows);
}

/// The text, until a tag is crowded: an error is what makes the tokenizer give its stack back.
struct Bounded<'a> {
    text: StringReader<'a>,
    /// How many attributes the open tag has so far.
    attributes: &'a Cell<u32>,
}

#[derive(Debug)]
struct Crowded;

impl std::fmt::Display for Crowded {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "more than {MOST_ATTRIBUTES} attributes in one tag")
    }
}

impl std::error::Error for Crowded {}

impl Bounded<'_> {
    #[inline]
    fn check(&self) -> Result<(), Crowded> {
        if self.attributes.get() > MOST_ATTRIBUTES {
            return Err(Crowded);
        }
        Ok(())
    }
}

impl Reader for Bounded<'_> {
    type Error = Crowded;

    #[inline]
    fn read_byte(&mut self) -> Result<Option<u8>, Crowded> {
        self.check()?;
        let Ok(byte) = self.text.read_byte();
        Ok(byte)
    }

    #[inline]
    fn try_read_string(&mut self, text: &[u8], case_sensitive: bool) -> Result<bool, Crowded> {
        let Ok(is_next) = self.text.try_read_string(text, case_sensitive);
        Ok(is_next)
    }

    #[inline]
    fn read_until<'b>(
        &'b mut self,
        needle: &[u8],
        buffer: &'b mut [u8; 4],
    ) -> Result<Option<&'b [u8]>, Crowded> {
        self.check()?;
        let Ok(chunk) = self.text.read_until(needle, buffer);
        Ok(chunk)
    }
}

#[derive(Default)]
struct Tag {
    name: Vec<u8>,
    start: usize,
    /// The attributes that matter, with their places.
    alt: Option<(String, Span<usize>)>,
    content: Option<(String, Span<usize>)>,
    meta_name: Option<String>,
    /// What a `meta` element says of the page to those that link to it.
    property: Option<String>,
    lang: Option<String>,
    /// Its kind of script.
    kind: Option<String>,
    /// What it is of its item, and what the item is.
    itemprop: Option<String>,
    itemtype: Option<String>,
    colspan: u32,
    rowspan: u32,
    hidden: bool,
    /// Whether it is a part that the reader of the page opens: the panel of a tab.
    panel: bool,
    /// Whether its class says that it holds other matter than the page's own.
    other: bool,
    /// Whether its class says that it holds a price that is asked no longer.
    former: bool,
}

/// How deep lists are looked into.
const DEEPEST_LIST: usize = 64;

/// What text is at the moment, outside tables and headings.
#[derive(Clone, Copy, PartialEq)]
enum Item {
    Text,
    Term,
    Definition,
}

struct Table {
    number: u32,
    row: u32,
    column: u32,
    /// Whether a row has been opened.
    begun: bool,
    /// Whether a cell is open, whether it is a head, and how wide it is.
    cell: Option<(bool, u32)>,
    /// Columns that a cell of an earlier row still fills, for how many rows.
    filled: Vec<(u32, u32)>,
    in_head: bool,
}

struct Page<'a, 'l> {
    /// How many attributes the open tag has so far.
    attributes: &'a Cell<u32>,
    source: &'a str,
    from: usize,
    layout: &'l mut Layout,
    depth: u8,
    tag: Tag,
    attribute: Vec<u8>,
    /// How many tags are open whose text nobody sees, all of the same name.
    silent: u32,
    silent_tag: Vec<u8>,
    noscript: bool,
    heading: Option<u8>,
    item: Item,
    term: Option<u32>,
    quote: u32,
    /// The element of other matter that is open, and how many of its name are open in it: links to other pages,
    /// what others say or have bought.
    other: Option<(Vec<u8>, u32)>,
    /// The open lists: whether one is of other things, as its first item says.
    lists: Vec<Option<bool>>,
    raised: bool,
    /// Whether an element within a line was closed right before, and whether the next was opened right after it.
    closed: bool,
    apart: bool,
    /// Whether line ends are line ends.
    preformatted: bool,
    tables: Vec<Table>,
    /// Where the data for machines begins that is open.
    data: Option<usize>,
    items: Items,
}

/// Items of microdata.
#[derive(Default)]
struct Items {
    /// How many products have begun.
    products: u32,
    /// What the `meta` elements say that stand in the item that is open.
    open: Property,
    rows: Vec<Property>,
    /// The price that the page tells those that link to it, until its currency comes.
    price: Option<Written>,
}

impl Items {
    /// Begins an item of a kind, which may be a property of the one around it.
    fn begin(&mut self, kind: &str, property: Option<&str>, at: usize) {
        self.end();
        let kind = kind.rsplit('/').next().unwrap_or("");
        self.products += u32::from(kind == "Product");
        let name = match (kind, property) {
            ("Offer", _) => "Price",
            ("QuantitativeValue", Some("weight")) => "Weight",
            _ => return,
        };
        self.open.name = Some(Written {
            text: name.into(),
            at: at..at,
        });
    }

    /// What the page says of its price to those that link to it.
    fn say_to_others(&mut self, property: &str, value: Written) {
        if property.ends_with("price:amount") {
            self.price.get_or_insert(value);
        } else if property.ends_with("price:currency")
            && let Some(price) = self.price.take()
        {
            let at = price.at.start;
            self.rows.push(Property {
                name: Some(Written {
                    text: "Price".into(),
                    at: at..at,
                }),
                value: Some(price),
                unit: Some(value),
            });
        }
    }

    fn end(&mut self) {
        let item = std::mem::take(&mut self.open);
        if item.name.is_some() && item.value.is_some() {
            self.rows.push(item);
        }
    }

    /// What a `meta` element says. What others are, that the page shows as well, begins with a product of its own.
    fn say(&mut self, property: &str, value: Written) {
        if self.products != 1 {
            return;
        }
        let place = match property {
            "name" => &mut self.open.name,
            "value" | "price" => &mut self.open.value,
            "unitText" | "unitCode" | "priceCurrency" => &mut self.open.unit,
            _ => return,
        };
        place.get_or_insert(value);
    }
}

impl Page<'_, '_> {
    fn event(&mut self, event: CallbackEvent<'_>, span: Span<usize>) {
        match event {
            CallbackEvent::OpenStartTag { name } => {
                self.attributes.set(0);
                self.tag = Tag {
                    name: name.to_vec(),
                    start: span.start,
                    colspan: 1,
                    rowspan: 1,
                    ..Tag::default()
                };
            }
            CallbackEvent::AttributeName { name } => {
                self.count(&span);
                self.attribute.clear();
                self.attribute.extend_from_slice(name);
                if name == b"hidden" {
                    self.tag.hidden = true;
                }
            }
            CallbackEvent::AttributeValue { value } => self.attribute_value(value, span),
            CallbackEvent::CloseStartTag { self_closing } => {
                self.attributes.set(0);
                let end = span.end;
                self.open(self_closing, end);
            }
            CallbackEvent::EndTag { name } => {
                self.attributes.set(0);
                self.close(name, span.start);
            }
            CallbackEvent::String { value } => self.text(value, span),
            CallbackEvent::Comment { .. }
            | CallbackEvent::Doctype { .. }
            | CallbackEvent::Error(_) => {}
        }
    }

    /// Counts an attribute of the open tag, be it one that begins or ends.
    fn count(&mut self, span: &Span<usize>) {
        let attributes = self.attributes.get() + 1;
        self.attributes.set(attributes);
        if attributes > MOST_ATTRIBUTES {
            let at = self.from + span.start..self.from + span.end;
            self.layout.unread(UnreadKind::CrowdedTag, at);
        }
    }

    fn attribute_value(&mut self, value: &[u8], span: Span<usize>) {
        let value = || String::from_utf8_lossy(value).into_owned();
        match self.attribute.as_slice() {
            b"alt" => self.tag.alt = Some((value(), span)),
            b"content" => self.tag.content = Some((value(), span)),
            b"name" => self.tag.meta_name = Some(value()),
            b"property" => self.tag.property = Some(value()),
            b"type" => self.tag.kind = Some(value()),
            b"itemprop" => self.tag.itemprop = Some(value()),
            b"itemtype" => self.tag.itemtype = Some(value()),
            b"lang" | b"xml:lang" => self.tag.lang = Some(value()),
            // What a tab shows isn't seen until somebody opens it, and is part of the page all the same.
            b"role" | b"class" => {
                let value = value().to_ascii_lowercase();
                self.tag.other |= is_other(&value);
                self.tag.former |= is_former(&value);
                self.tag.panel |= value
                    .split(|c: char| !c.is_ascii_alphanumeric())
                    .any(|word| {
                        matches!(
                            word,
                            "tab"
                                | "tabpanel"
                                | "tabs"
                                | "panel"
                                | "pane"
                                | "accordion"
                                | "collapse"
                        )
                    });
            }
            b"colspan" => self.tag.colspan = value().trim().parse().unwrap_or(1).clamp(1, 1000),
            b"rowspan" => self.tag.rowspan = value().trim().parse().unwrap_or(1).clamp(1, 1000),
            _ => {}
        }
    }

    /// Whether an open list is of other things: `Also near you: …`.
    fn is_in_others_list(&self) -> bool {
        self.lists.contains(&Some(true))
    }

    /// Whether links to other pages are open, which nobody may have closed.
    fn is_in_links(&self) -> bool {
        self.other.as_ref().is_some_and(|(name, _)| name == b"nav")
    }

    /// Begins other matter, or an element of the same name within it.
    fn begin_other(&mut self, name: &[u8], is_other: bool) {
        match &mut self.other {
            Some((open, depth)) if open.as_slice() == name => *depth += 1,
            Some(_) => {}
            None if name == b"nav" || is_other && is_container(name) => {
                self.block();
                self.other = Some((name.to_vec(), 1));
            }
            None => {}
        }
    }

    fn end_other(&mut self, name: &[u8]) {
        let Some((open, depth)) = &mut self.other else {
            return;
        };
        if open.as_slice() == name {
            *depth -= 1;
            if *depth == 0 {
                self.block();
                self.other = None;
            }
        }
    }

    /// The role of the text that is open.
    fn role(&self) -> Role {
        if let Some(level) = self.heading {
            return Role::Heading(level);
        }
        if let Some(table) = self.tables.last()
            && let Some((head, _)) = table.cell
        {
            return Role::Cell {
                table: table.number,
                row: table.row,
                column: table.column,
                head,
            };
        }
        match self.item {
            Item::Term => Role::Term,
            Item::Definition => Role::Definition,
            Item::Text if self.quote > 0 || self.other.is_some() || self.is_in_others_list() => {
                Role::Quote
            }
            Item::Text => Role::Text,
        }
    }

    /// Ends the open passage.
    fn block(&mut self) {
        let role = self.role();
        let Some(number) = self.layout.end(role) else {
            return;
        };
        if let Some(last) = self.lists.last_mut()
            && let Some(passage) = self.layout.passages.last()
        {
            last.get_or_insert_with(|| begins_list_of_others(&passage.text));
        }
        match role {
            Role::Term => self.term = Some(number),
            Role::Definition => {
                if let Some(passage) = self.layout.passages.last_mut() {
                    passage.term = self.term;
                }
            }
            _ => {}
        }
    }

    fn open(&mut self, self_closing: bool, end: usize) {
        let tag = std::mem::take(&mut self.tag);
        let name = tag.name.as_slice();
        if self.silent > 0 {
            if name == self.silent_tag.as_slice() && !self_closing {
                self.silent += 1;
            }
            return;
        }
        let at = self.from + tag.start;
        if let Some(kind) = &tag.itemtype {
            self.items.begin(kind, tag.itemprop.as_deref(), at);
        }
        if let (b"meta", Some(property), Some((text, span))) = (name, &tag.itemprop, &tag.content) {
            let at = self.from + span.start..self.from + span.end;
            let text = text.clone();
            self.items.say(property, Written { text, at });
        }
        match name {
            b"script" | b"style" | b"template" | b"del" | b"s" | b"strike" | b"iframe"
            | b"object" => {
                if !self_closing {
                    let is_data = tag.kind.as_deref().is_some_and(|kind| {
                        kind.trim().eq_ignore_ascii_case("application/ld+json")
                    });
                    self.data = (name == b"script" && is_data).then_some(end);
                    self.layout.space(at);
                    self.silence(name);
                }
                return;
            }
            b"noscript" => {
                self.block();
                self.noscript = true;
                return;
            }
            b"html" => {
                if let Some(lang) = tag.lang {
                    self.layout.language.get_or_insert(lang);
                }
                return;
            }
            b"meta" => {
                let is_package = tag
                    .meta_name
                    .as_ref()
                    .is_some_and(|name| name.trim().eq_ignore_ascii_case("package"));
                // What a search engine shows of the page is a promise too.
                let describes = [&tag.meta_name, &tag.property]
                    .into_iter()
                    .flatten()
                    .any(|name| {
                        matches!(name.trim(), "description" | "og:description" | "og:title")
                    });
                if describes && let Some((words, span)) = &tag.content {
                    self.words(words, span, end);
                }
                if let (Some(property), Some((text, span))) = (&tag.property, &tag.content) {
                    let at = self.from + span.start..self.from + span.end;
                    let text = text.clone();
                    self.items.say_to_others(property, Written { text, at });
                }
                if is_package && let Some((content, span)) = tag.content {
                    let place = self.from + span.start..self.from + span.end;
                    let content = content.trim().to_owned();
                    if !content.is_empty() {
                        self.layout.package.get_or_insert((content, place));
                    }
                }
                return;
            }
            b"img" | b"input" | b"area" => {
                if name == b"img" || tag.alt.is_some() {
                    self.picture(&tag, at, end);
                }
                return;
            }
            b"br" => {
                self.layout.line(at);
                return;
            }
            b"sup" => {
                self.raised = true;
                return;
            }
            _ => {}
        }
        if tag.former && name == b"span" && !self_closing {
            self.layout.space(at);
            self.silence(name);
            return;
        }
        let opens = tag.panel || matches!(name, b"section" | b"article" | b"details");
        if tag.hidden && !opens && !self_closing && !is_void(name) {
            self.silence(name);
            return;
        }
        // Links to other pages end where the page's own matter begins, even if nobody closes them.
        if matches!(
            name,
            b"h1" | b"h2" | b"main" | b"section" | b"article" | b"table" | b"footer"
        ) && (self.is_in_links() || self.is_in_others_list())
        {
            self.block();
            self.other = None;
            self.lists.clear();
        }
        if !self_closing && !is_void(name) {
            self.begin_other(name, tag.other);
        }
        if matches!(name, b"ul" | b"ol") {
            self.block();
            // Lists that nobody closes are no deeper than lists are.
            if self.lists.len() < DEEPEST_LIST {
                self.lists.push(None);
            }
        }
        match name {
            b"nav" => self.block(),
            b"h1" | b"h2" | b"h3" | b"h4" | b"h5" | b"h6" => {
                self.block();
                // No list goes on beyond a heading, even if nobody closes it.
                self.lists.clear();
                self.heading = Some(name[1] - b'0');
            }
            b"title" | b"caption" | b"legend" => {
                self.block();
                self.heading = Some(if name == b"title" { 1 } else { 6 });
            }
            b"table" => {
                self.block();
                self.layout.tables += 1;
                self.tables.push(Table {
                    number: self.layout.tables,
                    row: 0,
                    column: 0,
                    begun: false,
                    cell: None,
                    filled: Vec::new(),
                    in_head: false,
                });
            }
            b"thead" => {
                self.block();
                if let Some(table) = self.tables.last_mut() {
                    table.in_head = true;
                }
            }
            b"tbody" | b"tfoot" => {
                self.block();
                if let Some(table) = self.tables.last_mut() {
                    table.in_head = false;
                }
            }
            b"tr" => self.row(),
            b"td" | b"th" => self.cell(name == b"th", tag.colspan, tag.rowspan),
            b"dt" => {
                self.block();
                self.item = Item::Term;
            }
            b"dd" => {
                self.block();
                self.item = Item::Definition;
            }
            b"dl" => {
                self.block();
                self.item = Item::Text;
            }
            b"blockquote" | b"q" => {
                if name == b"blockquote" {
                    self.block();
                }
                self.quote += u32::from(name == b"blockquote");
            }
            name if is_block(name) => {
                self.block();
                self.preformatted |= name == b"pre";
            }
            _ => self.apart = self.closed,
        }
    }

    fn silence(&mut self, name: &[u8]) {
        self.silent = 1;
        self.silent_tag = name.to_vec();
    }

    fn picture(&mut self, tag: &Tag, at: usize, end: usize) {
        let words = tag
            .alt
            .as_ref()
            .filter(|(words, _)| !words.trim().is_empty());
        let Some((words, span)) = words else {
            self.layout.unread(UnreadKind::Picture, at..self.from + end);
            return;
        };
        self.words(words, span, end);
    }

    /// Reads the words of an attribute by themselves, after the text that is open now.
    fn words(&mut self, words: &str, span: &Span<usize>, end: usize) {
        let at = self.from + span.start;
        self.block();
        let written = self.source.get(span.start..span.end).unwrap_or("");
        if written.is_empty() {
            self.layout.push(words, at..self.from + end);
        } else {
            decoded::push(self.layout, words, written, self.from + span.start);
        }
        self.layout.end(Role::Alternative);
    }

    fn row(&mut self) {
        self.block();
        if let Some(table) = self.tables.last_mut() {
            if table.begun {
                table.row += 1;
                for (_, rows) in &mut table.filled {
                    *rows -= 1;
                }
                table.filled.retain(|&(_, rows)| rows > 0);
            }
            table.begun = true;
            table.column = 0;
            table.cell = None;
        }
    }

    fn cell(&mut self, head: bool, colspan: u32, rowspan: u32) {
        self.block();
        self.heading = None;
        let Some(table) = self.tables.last_mut() else {
            return;
        };
        table.begun = true;
        if let Some((_, width)) = table.cell.take() {
            table.column += width;
        }
        while table
            .filled
            .iter()
            .any(|&(column, _)| column == table.column)
        {
            table.column += 1;
        }
        // The number of columns that reach down is held, whatever a page asks for.
        if rowspan > 1 && table.filled.len() < 256 {
            let width = colspan.min(16);
            table
                .filled
                .extend((table.column..table.column + width).map(|column| (column, rowspan)));
        }
        table.cell = Some((head || table.in_head, colspan));
    }

    /// Reads the data for machines that ends here.
    fn of_data(&mut self, end: usize) {
        let Some(start) = self.data.take() else {
            return;
        };
        let written = self.source.get(start..end).unwrap_or("");
        let rows = structured::of_json(written, self.from + start);
        if !rows.is_empty() {
            self.block();
            structured::lay_out(self.layout, &rows);
        }
    }

    fn close(&mut self, name: &[u8], at: usize) {
        if self.silent > 0 {
            if name == self.silent_tag.as_slice() {
                self.silent -= 1;
                if self.silent == 0 {
                    self.of_data(at);
                }
            }
            return;
        }
        self.end_other(name);
        match name {
            b"noscript" => self.noscript = false,
            b"h1" | b"h2" | b"h3" | b"h4" | b"h5" | b"h6" | b"title" | b"caption" | b"legend" => {
                self.block();
                self.heading = None;
            }
            b"nav" => self.block(),
            b"ul" | b"ol" => {
                self.block();
                self.lists.pop();
            }
            b"sup" => self.raised = false,
            b"table" => {
                self.block();
                self.tables.pop();
            }
            b"thead" => {
                self.block();
                if let Some(table) = self.tables.last_mut() {
                    table.in_head = false;
                }
            }
            b"tr" | b"td" | b"th" => self.block(),
            b"dt" | b"dd" | b"dl" => {
                self.block();
                self.item = Item::Text;
            }
            b"blockquote" => {
                self.block();
                self.quote = self.quote.saturating_sub(1);
            }
            b"br" => self.layout.line(self.from + at),
            name if is_block(name) => {
                self.block();
                self.preformatted &= name != b"pre";
            }
            _ => self.closed = true,
        }
    }

    fn text(&mut self, value: &[u8], span: Span<usize>) {
        if self.silent > 0 {
            return;
        }
        let written = self.source.get(span.start..span.end).unwrap_or("");
        let start = self.from + span.start;
        if self.noscript {
            // Its inside comes as it is written, tags and all.
            if self.depth < DEEPEST {
                read_part(written, start, self.layout, self.depth + 1);
            }
            return;
        }
        let Ok(text) = std::str::from_utf8(value) else {
            return;
        };
        self.closed = false;
        // `<b>6 m</b><span>depth</span>`: two elements side by side, each with words of its own.
        if std::mem::take(&mut self.apart) {
            let word = text.len() >= 4 && text.starts_with(char::is_alphabetic);
            let figure = text.starts_with(|c: char| c.is_ascii_digit());
            let apart =
                word && self.layout.ends_with(|c| {
                    c.is_alphanumeric() || matches!(c, ')' | '²' | '³' | '%' | '"' | '\'')
                }) || figure && self.layout.ends_with(char::is_alphabetic);
            if apart {
                self.layout.space(start);
            }
        }
        if self.preformatted && self.tables.is_empty() && text.contains('\n') && text == written {
            self.block();
            plain::read(text, start, self.layout);
            return;
        }
        if self.raised
            && let Some(raised) = raised(text.trim())
        {
            self.layout.push(&raised, start..start + written.len());
            return;
        }
        decoded::push(self.layout, text, written, start);
    }
}

/// Raised figures as characters of their own.
pub(super) fn raised(text: &str) -> Option<String> {
    if text.is_empty() || text.len() > 4 {
        return None;
    }
    text.chars()
        .map(|c| match c {
            '0' => Some('⁰'),
            '1' => Some('¹'),
            '2' => Some('²'),
            '3' => Some('³'),
            '4'..='9' => char::from_u32('⁴' as u32 + (c as u32 - '4' as u32)),
            _ => None,
        })
        .collect()
}

/// Whether an element is one that holds a part of a page.
fn is_container(name: &[u8]) -> bool {
    matches!(
        name,
        b"div" | b"section" | b"aside" | b"ul" | b"ol" | b"p" | b"li"
    )
}

/// Whether a class, in small letters, is of a price that is struck out: `old-price`, `price__was`.
fn is_former(class: &str) -> bool {
    class
        .split(|c: char| !c.is_ascii_alphanumeric())
        .any(|word| {
            matches!(
                word,
                "old"
                    | "was"
                    | "compare"
                    | "strike"
                    | "strikethrough"
                    | "streichpreis"
                    | "ancien"
                    | "foer"
            )
        })
}

/// Whether a class or a role, in small letters, is of other matter than the page's own.
fn is_other(class: &str) -> bool {
    class
        .split(|c: char| !c.is_ascii_alphanumeric())
        .any(|word| {
            matches!(
                word,
                "nav"
                    | "navigation"
                    | "navbar"
                    | "menu"
                    | "breadcrumb"
                    | "breadcrumbs"
                    | "topbar"
                    | "cookie"
                    | "cookies"
                    | "cookiebar"
                    | "usp"
                    | "minicart"
                    | "review"
                    | "reviews"
                    | "testimonial"
                    | "testimonials"
                    | "related"
                    | "upsell"
                    | "upsells"
                    | "crosssell"
                    | "recommendations"
                    | "recommended"
                    | "similar"
                    | "bewertungen"
                    | "rezensionen"
                    | "kundenmeinungen"
                    | "avis"
                    | "temoignages"
                    | "opiniones"
                    | "resenas"
                    | "anmeldelser"
                    | "recensioni"
                    | "beoordelingen"
            )
        })
}

fn is_void(name: &[u8]) -> bool {
    matches!(
        name,
        b"area"
            | b"base"
            | b"br"
            | b"col"
            | b"embed"
            | b"hr"
            | b"img"
            | b"input"
            | b"link"
            | b"meta"
            | b"source"
            | b"track"
            | b"wbr"
    )
}

fn is_block(name: &[u8]) -> bool {
    matches!(
        name,
        b"address"
            | b"article"
            | b"aside"
            | b"body"
            | b"button"
            | b"center"
            | b"details"
            | b"dialog"
            | b"div"
            | b"fieldset"
            | b"figcaption"
            | b"figure"
            | b"footer"
            | b"form"
            | b"head"
            | b"header"
            | b"hr"
            | b"legend"
            | b"li"
            | b"main"
            | b"menu"
            | b"nav"
            | b"ol"
            | b"optgroup"
            | b"option"
            | b"p"
            | b"pre"
            | b"section"
            | b"select"
            | b"summary"
            | b"tbody"
            | b"textarea"
            | b"tfoot"
            | b"ul"
    )
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::claims_of;
    use super::*;

    fn passages(html: &str) -> Layout {
        let mut layout = Layout::default();
        read(html, 0, &mut layout);
        layout
    }

    #[test]
    fn what_a_tab_shows_is_part_of_the_page() {
        let html = "<section hidden><p>3.3 CFM</p></section><div hidden class='tab-pane'><p>47 dBA</p></div>\
                    <div hidden><p>1 acre</p></div>";
        assert_eq!(
            claims_of(Kind::Html, html),
            ["3.3 CFM flow exact", "47 dBA sound exact"]
        );
    }

    #[test]
    fn a_legend_heads_its_choices() {
        let html =
            "<fieldset><legend>Airline, ⅝″ inside</legend><label>100 ft — $74</label></fieldset>";
        assert_eq!(
            claims_of(Kind::Html, html),
            [
                "⅝″ airline-size exact",
                "100 ft airline-length exact",
                "$74 price exact"
            ]
        );
    }

    #[test]
    fn a_list_of_other_things_is_one_to_its_end() {
        let html = "<ul><li>Also near you: pump, £25<li>Duck house, £80</ul><ul><li>Delivery: 5 days<li>Power: 40 W</ul>";
        assert_eq!(claims_of(Kind::Html, html), ["40 W power exact"]);
        let html =
            "<ul><li>Also near you: pump, £25<li>Duck house, £80<h3>Data</h3><p>Power 40 W</p>";
        assert_eq!(claims_of(Kind::Html, html), ["40 W power exact"]);
        let html = "<p>“Running on 2 acres, no trouble!” — verified buyer</p><p>“Quiet” – 38 dBA</p>\
             <p>\"Tench\", 60 W, ½\" line – in steel</p>";
        assert_eq!(
            claims_of(Kind::Html, html),
            [
                "38 dBA sound exact",
                "60 W power exact",
                "½\" airline-size exact"
            ]
        );
    }

    #[test]
    fn entities_and_tags_in_a_figure() {
        let html = "<p>moves 4.2&nbsp;m<sup>3</sup>/h,\r\n <b>44</b> dB<i>A</i> &amp; more</p>";
        let layout = passages(html);
        let passage = &layout.passages[0];
        assert_eq!(passage.text, "moves 4.2\u{a0}m³/h, 44 dBA & more");
        let find = |text: &str| {
            let at = passage.text.find(text).unwrap();
            &html[passage.source(at..at + text.len())]
        };
        assert_eq!(find("4.2"), "4.2");
        assert_eq!(find("4.2\u{a0}m³"), "4.2&nbsp;m<sup>3");
        assert_eq!(find("44 dBA"), "44</b> dB<i>A");
        assert_eq!(find("more"), "more");
    }

    #[test]
    fn tables_lists_pictures_and_what_nobody_sees() {
        let html = "<html lang=de><meta name=package content='mill-pair'><style>p{width:6ft}</style>\
            <table><tr><th>Depth<th>Flow</tr><tr><td rowspan=2>6 ft<td>2</tr><tr><td>3</table>\
            <dl><dt>Power<dd>38 W</dl><!-- 9 ft --><img src=a.png><img alt='44 dBA'>\
            <noscript><p>8 ft</p></noscript><s>$5</s><script>var a='7 ft';</script>";
        let layout = passages(html);
        let shown: Vec<(Role, &str)> = layout
            .passages
            .iter()
            .map(|p| (p.role, p.text.as_str()))
            .collect();
        let cell = |row, column, head| Role::Cell {
            table: 1,
            row,
            column,
            head,
        };
        assert_eq!(
            shown,
            [
                (cell(0, 0, true), "Depth"),
                (cell(0, 1, true), "Flow"),
                (cell(1, 0, false), "6 ft"),
                (cell(1, 1, false), "2"),
                (cell(2, 1, false), "3"),
                (Role::Term, "Power"),
                (Role::Definition, "38 W"),
                (Role::Alternative, "44 dBA"),
                (Role::Text, "8 ft"),
            ]
        );
        assert_eq!(layout.passages[6].term, Some(5));
        assert_eq!(layout.unread.len(), 1);
        assert_eq!(layout.language.as_deref(), Some("de"));
        assert_eq!(layout.package.as_ref().unwrap().0, "mill-pair");
        for passage in &layout.passages {
            let at = passage.source(0..passage.text.len());
            assert_eq!(&html[at], passage.text);
        }
    }
}
