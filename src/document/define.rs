//! What a header or a dotted key defines, by the rules of TOML 1.0: each table once, no
//! table that is a value too, nothing added to what stands in brackets.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::item::Kind;
use super::keys::written_key;
use super::problem::{Fault, ProblemKind};
use super::reader::{Part, Reader};
use super::tokens::ends_line;
use super::tree::{
    DAMAGED, DECODED_KEY, DOTTED, HEADER, INLINE, KeyText, NONE, Node, OF_TABLES, ROOT, narrow,
};
use crate::text::Span;

const FIRST: &str = "first written here";

impl<'s> Reader<'s, '_> {
    /// A line that begins with `[`.
    pub(super) fn header(&mut self) {
        let open = self.tokens.next();
        let start = open.start;
        let second = self.tokens.peek();
        let double = second.kind == TokenKind::LeftSquareBracket;
        if double {
            self.tokens.next();
        }
        self.owed = (0, 0);
        let mut parts = self.buffers.pop().unwrap_or_default();
        let usable = self.header_name(start, double, &mut parts);
        let end = self.text[..self.tokens.peek().start].trim_end().len();
        let end = end.max(open.end);
        // A bracket is forgotten more often than one too many is written.
        let double = double || self.text[..end].ends_with("]]");
        self.open_section(&parts, double, (start, end), usable);
        parts.clear();
        self.buffers.push(parts);
        let token = self.tokens.peek_past_space();
        if !ends_line(token.kind) {
            self.report(Fault::AfterHeader, token.start, token.end);
            self.damage(self.section);
            self.skip_line(start);
        }
    }

    /// Reads the name and the closing brackets.
    fn header_name(&mut self, start: usize, double: bool, parts: &mut Vec<Part<'s>>) -> Name {
        let close = if double { "]]" } else { "]" };
        let unclosed = Fault::HeaderUnclosed(close);
        let token = self.tokens.peek_past_space();
        if token.kind == TokenKind::RightSquareBracket {
            self.report(Fault::HeaderEmpty, start, token.end);
            self.mute_line(start);
            self.skip_line(start);
            return Name::Lost;
        }
        let fault = if ends_line(token.kind) {
            Some((unclosed.clone(), start, start + close.len()))
        } else {
            self.read_key(parts)
        };
        let token = self.tokens.peek_past_space();
        if let Some((fault, from, to)) = fault {
            // A header that breaks off is being typed; what its name lacks is no second fault.
            let nameless = matches!(fault, Fault::KeyDots) && parts.is_empty();
            let fault = match fault {
                Fault::KeyDots if ends_line(token.kind) => unclosed,
                Fault::KeyDots if token.kind == TokenKind::LeftSquareBracket => {
                    Fault::HeaderBrackets
                }
                Fault::KeyCharacter(..) | Fault::MissingKey => Fault::HeaderName,
                Fault::KeyDots if nameless && token.kind != TokenKind::Dot => Fault::HeaderName,
                other => other,
            };
            let about_brackets = matches!(
                fault,
                Fault::HeaderUnclosed(_) | Fault::HeaderBrackets | Fault::HeaderName
            );
            let from = if about_brackets { start } else { from.min(to) };
            self.report(fault, from, to.max(from));
            self.mute_line(start);
            self.skip_line(start);
            return Name::Lost;
        }
        if token.kind != TokenKind::RightSquareBracket {
            let broken_off = ends_line(token.kind) || token.kind == TokenKind::LeftSquareBracket;
            let end = parts.last().map_or(token.start, |part| part.end);
            if broken_off {
                self.report(unclosed, start, end);
            } else {
                self.report(Fault::HeaderName, start, token.end);
            }
            self.mute_line(start);
            self.skip_line(start);
            // The closing bracket may stand on the next line.
            self.owed.0 += 1;
            return if broken_off {
                Name::Unclosed
            } else {
                Name::Lost
            };
        }
        self.tokens.next();
        let after = self.tokens.peek();
        let doubly_closed = after.kind == TokenKind::RightSquareBracket;
        if doubly_closed {
            self.tokens.next();
        }
        if doubly_closed != double {
            let end = if doubly_closed { after.end } else { token.end };
            self.report(Fault::HeaderBrackets, start, end);
            self.mute_line(start);
            return Name::Unclosed;
        }
        Name::Whole
    }

    /// Makes `parts` the section to which the next lines belong.
    fn open_section(
        &mut self,
        parts: &[Part<'s>],
        double: bool,
        (start, end): (usize, usize),
        name: Name,
    ) {
        let section = if name == Name::Lost {
            self.damage_along(parts);
            None
        } else {
            self.resolve_header(parts, double, (start, end))
        };
        let section = section.unwrap_or_else(|| {
            self.shadow = Some((parts.iter().map(|part| part.text.to_string()).collect(), 0));
            let node = self.add(NONE, None, header_node(start, end));
            if let Some(shadow) = &mut self.shadow {
                shadow.1 = node;
            }
            node
        });
        if name == Name::Unclosed {
            // Its last name may lack an end, so the whole one may seem to be missing above.
            let mut at = section;
            while at != NONE {
                self.damage(at);
                at = self.document.node(at).parent;
            }
            self.damage(ROOT);
        }
        self.section = section;
        self.section_depth = parts.len();
        if let Ok(place) = u32::try_from(start) {
            self.document.sections.push((place, section));
        }
    }

    /// Finds or makes the table of a header; `None`, and a problem, if it can't be one.
    fn resolve_header(
        &mut self,
        parts: &[Part<'s>],
        double: bool,
        (start, end): (usize, usize),
    ) -> Option<u32> {
        if parts.len() > self.limits.nesting {
            self.too_deep(start, end);
            self.damage(ROOT);
            return None;
        }
        let (mut table, skip) = match self.shadow.take() {
            Some((path, node))
                if path.len() < parts.len()
                    && path
                        .iter()
                        .zip(parts)
                        .all(|(name, part)| *name == part.text) =>
            {
                let skip = path.len();
                self.shadow = Some((path, node));
                (node, skip)
            }
            _ => (ROOT, 0),
        };
        let (last, before) = parts.split_last()?;
        for (done, part) in before.iter().enumerate().skip(skip) {
            table = self.step_into(table, part, &parts[..=done])?;
        }
        let found = self.document.find(table, &last.text);
        if double {
            self.next_of_list(table, last, parts, (start, end), found)
        } else {
            self.define_table(table, last, parts, (start, end), found)
        }
    }

    /// From a table into the one under `part`, which is made if there is none.
    fn step_into(&mut self, table: u32, part: &Part<'s>, path: &[Part<'s>]) -> Option<u32> {
        let Some(found) = self.document.find(table, &part.text) else {
            let node = Node::new(Kind::Table, table, part.start, part.end);
            return Some(self.add(table, Some(part), node));
        };
        let node = self.document.node(found);
        match node.kind {
            Kind::Table if !node.has(INLINE) => Some(found),
            Kind::Array if node.has(OF_TABLES) => Some(node.b),
            Kind::Bad => None,
            _ => {
                let braces = node.has(INLINE) && node.kind == Kind::Table;
                let name = written_key(self.text, path).into();
                let fault = if braces {
                    Fault::BracesAreClosed(name)
                } else {
                    Fault::NotATable(name)
                };
                self.conflict(fault, part, found);
                None
            }
        }
    }

    fn define_table(
        &mut self,
        table: u32,
        last: &Part<'s>,
        parts: &[Part<'s>],
        (start, end): (usize, usize),
        found: Option<u32>,
    ) -> Option<u32> {
        let Some(found) = found else {
            return Some(self.add(table, Some(last), header_node(start, end)));
        };
        let node = self.document.node(found);
        let name = || -> Box<str> { written_key(self.text, parts).into() };
        let fault = match node.kind {
            Kind::Table if node.flags & (HEADER | DOTTED | INLINE) == 0 => {
                let extent = (narrow(last.start), narrow(last.end));
                let plain = matches!(last.text, Cow::Borrowed(_));
                let node = self.document.node_mut(found);
                node.flags |= HEADER;
                node.at = (narrow(start), narrow(end));
                if plain || node.has(DECODED_KEY) {
                    node.key = extent;
                }
                return Some(found);
            }
            Kind::Bad => return None,
            Kind::Table if node.has(INLINE) => Fault::BracesAreClosed(name()),
            Kind::Table => Fault::DuplicateTable(name()),
            Kind::Array if node.has(OF_TABLES) => Fault::IsAList(name()),
            _ => Fault::NotATable(name()),
        };
        self.conflict_at(fault, (start, end), found);
        None
    }

    /// One more table of a list; the list is made if this is the first.
    fn next_of_list(
        &mut self,
        table: u32,
        last: &Part<'s>,
        parts: &[Part<'s>],
        (start, end): (usize, usize),
        found: Option<u32>,
    ) -> Option<u32> {
        let list = match found {
            None => {
                let mut node = Node::new(Kind::Array, table, start, end);
                node.flags = OF_TABLES;
                self.add(table, Some(last), node)
            }
            Some(found) if self.document.node(found).has(OF_TABLES) => found,
            Some(found) if self.document.node(found).kind == Kind::Bad => return None,
            Some(found) => {
                let name = written_key(self.text, parts).into();
                self.conflict_at(Fault::NotAList(name), (start, end), found);
                return None;
            }
        };
        Some(self.add(list, None, header_node(start, end)))
    }

    /// The table to which the last name of a dotted key belongs, if that name is free.
    pub(super) fn define_key(
        &mut self,
        table: u32,
        parts: &[Part<'s>],
        depth: usize,
    ) -> Option<u32> {
        let (last, before) = parts.split_last()?;
        if depth + parts.len() > self.limits.nesting {
            self.too_deep(parts[0].start, last.end);
            self.damage(table);
            return None;
        }
        let mut holder = table;
        for (done, part) in before.iter().enumerate() {
            let Some(found) = self.document.find(holder, &part.text) else {
                let mut node = Node::new(Kind::Table, holder, part.start, part.end);
                node.flags = DOTTED;
                holder = self.add(holder, Some(part), node);
                continue;
            };
            let node = self.document.node(found);
            let name = || -> Box<str> { written_key(self.text, &parts[..=done]).into() };
            let fault = match node.kind {
                Kind::Table if node.has(DOTTED) => {
                    holder = found;
                    continue;
                }
                Kind::Bad => return None,
                Kind::Table if node.has(INLINE) => Fault::BracesAreClosed(name()),
                Kind::Table => Fault::HasOwnHeader(name()),
                Kind::Array if node.has(OF_TABLES) => Fault::HasOwnHeader(name()),
                _ => Fault::NotATable(name()),
            };
            self.conflict(fault, part, found);
            return None;
        }
        if let Some(found) = self.document.find(holder, &last.text) {
            self.conflict(
                Fault::DuplicateKey(written_key(self.text, parts).into()),
                last,
                found,
            );
            return None;
        }
        Some(holder)
    }

    fn conflict(&mut self, fault: Fault, part: &Part<'s>, first: u32) {
        self.conflict_at(fault, (part.start, part.end), first);
    }

    fn conflict_at(&mut self, fault: Fault, (start, end): (usize, usize), first: u32) {
        let node = self.document.node(first);
        let place = if node.has(HEADER) || node.key == (0, 0) {
            node.at
        } else {
            node.key
        };
        let related: Option<(Span, &'static str)> = Some((self.document.span(place), FIRST));
        self.report_with(fault, start, end, related);
    }

    /// Marks every table that is known along a name that couldn't be read to its end.
    fn damage_along(&mut self, parts: &[Part<'s>]) {
        let mut table = ROOT;
        self.damage(table);
        if parts.len() > self.limits.nesting {
            return;
        }
        for (done, part) in parts.iter().enumerate() {
            let found = match self.document.find(table, &part.text) {
                Some(found) => found,
                // A name before a dot was read whole, so a table of that name is meant to be.
                None if done + 1 < parts.len() => {
                    let node = Node::new(Kind::Table, table, part.start, part.end);
                    self.add(table, Some(part), node)
                }
                None => return,
            };
            if self.document.node(found).flags & INLINE != 0
                || !matches!(self.document.node(found).kind, Kind::Table | Kind::Array)
            {
                return;
            }
            let node = self.document.node_mut(found);
            node.flags |= DAMAGED;
            table = if node.has(OF_TABLES) { node.b } else { found };
            self.damage(table);
        }
    }

    pub(super) fn too_deep(&mut self, start: usize, end: usize) {
        let span = self.place(start, end);
        let fault = Fault::TooDeep(self.limits.nesting);
        self.push(ProblemKind::Limit, fault, span, None);
    }

    /// Adds a node, unless there are too many; then reading stops.
    pub(super) fn add(&mut self, parent: u32, key: Option<&Part<'s>>, node: Node) -> u32 {
        if self.document.nodes.len() > self.limits.keys && !self.document.cut {
            self.document.cut = true;
            let (start, end) = (node.at.0 as usize, node.at.1 as usize);
            let fault = Fault::TooManyKeys(self.limits.keys);
            self.push(ProblemKind::Limit, fault, self.place(start, end), None);
            // Nothing further is looked at, and what is open ends here.
            self.tokens.seek(self.text.len());
            self.mute_line(self.text.len());
        }
        let key = key.map(|part| KeyText {
            start: narrow(part.start),
            end: narrow(part.end),
            decoded: match &part.text {
                Cow::Borrowed(_) => None,
                Cow::Owned(text) => Some(text),
            },
        });
        self.document.add(parent, key, node)
    }
}

/// How much of a header's name could be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Name {
    Whole,
    /// Read, but its end may be missing.
    Unclosed,
    /// Not to be used.
    Lost,
}

fn header_node(start: usize, end: usize) -> Node {
    let mut node = Node::new(Kind::Table, NONE, start, end);
    node.flags = HEADER;
    node
}
