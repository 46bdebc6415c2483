//! Values: which kind comes next, and those without quotes.

use toml_parser::lexer::TokenKind;

use super::item::Kind;
use super::problem::Fault;
use super::reader::{Part, Reader, is_string, opens};
use super::recover::{line_end, resume_before};
use super::scalar::{self, Scalar};
use super::tokens::{Token, ends_line};
use super::tree::{NONE, Node};

/// Where a value belongs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Slot<'p, 's> {
    /// The table or list, or [`NONE`] if the value goes nowhere.
    pub parent: u32,
    /// Its name in a table.
    pub key: Option<&'p Part<'s>>,
    /// How the key is written, for messages; empty in a list.
    pub name: &'s str,
    /// How deep it lies.
    pub depth: usize,
}

/// How a value ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Flow {
    /// At its own end.
    Closed,
    /// It was taken as closed at a line end further on, and whatever follows may follow.
    Broken,
    /// At the beginning of a line that can't belong to it, nor to what holds it.
    Abandoned,
}

impl<'s> Reader<'s, '_> {
    /// Reads the value that comes next.
    pub(super) fn value(&mut self, slot: Slot<'_, 's>) -> (u32, Flow) {
        let token = self.tokens.peek_past_space();
        match token.kind {
            kind if is_string(kind) => {
                self.tokens.next();
                (self.string(slot, token), Flow::Closed)
            }
            TokenKind::LeftSquareBracket => self.list(slot),
            TokenKind::LeftCurlyBracket => self.braces(slot),
            TokenKind::Atom | TokenKind::Dot => (self.bare(slot, token), Flow::Closed),
            kind if self.open.is_empty() && !ends_line(kind) => {
                (self.bare(slot, token), Flow::Closed)
            }
            TokenKind::Newline if self.goes_on_below(token, begins_plain_value) => {
                let end = self.text[..token.start].trim_end().len();
                self.report(Fault::PairOverLines, end - 1, end);
                while matches!(
                    self.tokens.peek().kind,
                    TokenKind::Newline | TokenKind::Whitespace
                ) {
                    self.tokens.next();
                }
                self.value(slot)
            }
            kind => {
                // Where nothing stands there is no byte to point at but the one before.
                let at = self.text[..token.start].trim_end_matches([' ', '\t']).len();
                self.report(
                    Fault::MissingValue(slot.name.into()),
                    at.saturating_sub(1),
                    at,
                );
                if ends_line(kind) {
                    self.mute_line(at.saturating_sub(1));
                    if self.open.is_empty() {
                        // The value may stand below, without its opening bracket.
                        self.stray_until = Some(line_end(self.text, at));
                    }
                }
                let node = self.bad(slot, at.saturating_sub(1), at);
                (node, Flow::Closed)
            }
        }
    }

    pub(super) fn bad(&mut self, slot: Slot<'_, 's>, start: usize, end: usize) -> u32 {
        self.add_value(slot, Node::new(Kind::Bad, NONE, start, end))
    }

    pub(super) fn add_value(&mut self, slot: Slot<'_, 's>, node: Node) -> u32 {
        self.add(slot.parent, slot.key, node)
    }

    /// Takes back what a value says, since what follows shows that it wasn't read right.
    pub(super) fn spoil(&mut self, node: u32) {
        let node = self.document.node_mut(node);
        node.kind = Kind::Bad;
        node.count = 0;
    }

    /// A value without quotes.
    fn bare(&mut self, slot: Slot<'_, 's>, first: Token) -> u32 {
        let start = first.start;
        let mut end = start;
        loop {
            let token = self.tokens.peek();
            match token.kind {
                TokenKind::Atom | TokenKind::Dot => end = token.end,
                TokenKind::Whitespace => {}
                _ => break,
            }
            self.tokens.next();
        }
        let next = self.tokens.peek();
        let text = &self.text[start..end];
        if self.value_may_end(next) {
            match scalar::read(text) {
                Ok(value) => return self.scalar(slot, value, start, end),
                Err(cause) => {
                    let words = text.split_ascii_whitespace();
                    let values = words.clone().all(|word| scalar::read(word).is_ok());
                    let fault = if !self.open.is_empty() && values && words.count() > 1 {
                        Fault::MissingComma
                    } else {
                        scalar::diagnose(text, cause)
                    };
                    self.report(fault, start, end);
                    if ends_line(next.kind) {
                        self.mute_line(start);
                    }
                    return self.bad(slot, start, end);
                }
            }
        }
        self.bare_with_more(slot, start, end, next)
    }

    /// What looks like a value without quotes, and doesn't end where one would.
    fn bare_with_more(&mut self, slot: Slot<'_, 's>, start: usize, end: usize, next: Token) -> u32 {
        let value = &self.text[start..end];
        // Of `1 b = 2` the last word is the next key.
        let next_name = (next.kind == TokenKind::Equals)
            .then(|| value.rfind([' ', '\t']))
            .flatten()
            .map(|blank| start + blank + 1);
        if let Some(name) = next_name
            && self.open.last() != Some(&b'[')
            && let Ok(read) = scalar::read(self.text[start..name].trim_end())
        {
            // The value is sound, and what follows it is looked at next.
            self.go_to(name);
            let end = self.text[..name].trim_end().len();
            return self.scalar(slot, read, start, end);
        }
        if !self.open.is_empty() {
            let (fault, from) = if let Some(name) = next_name {
                (Fault::MissingComma, name)
            } else if next.kind == TokenKind::Equals {
                (Fault::PairInList, start)
            } else {
                let fault = scalar::diagnose(value, scalar::NotScalar::Malformed);
                (fault, start)
            };
            self.report(fault, from, end.max(start + 1));
            self.mute_line(start);
            self.skip_entry();
            return self.bad(slot, start, end);
        }
        // To the end of the line or its comment, in one piece.
        while !ends_line(self.tokens.peek().kind) && !is_string(self.tokens.peek().kind) {
            self.tokens.next();
        }
        let stop = self.tokens.peek().start.min(line_end(self.text, start));
        let whole = self.text[start..stop].trim_end();
        let stop = start + whole.len();
        let inner = whole.trim_end_matches([',', ' ']);
        let mut from = start;
        let fault = if next.kind == TokenKind::Equals {
            from = next_name.unwrap_or(start);
            Fault::TwoOnALine
        } else if inner.len() < whole.len() && scalar::read(inner).is_ok() {
            if let Ok(value) = scalar::read(inner) {
                self.report(Fault::CommaAtEnd, start + inner.len(), stop);
                self.skip_line(start);
                return self.scalar(slot, value, start, start + inner.len());
            }
            Fault::CommaAtEnd
        } else if inner.contains(", ") && inner.split(',').all(is_value) {
            Fault::ListWithoutBrackets
        } else if matches!(
            next.kind,
            TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket
        ) && scalar::read(value).is_ok()
        {
            Fault::AfterValue
        } else {
            scalar::diagnose(inner, scalar::NotScalar::Malformed)
        };
        self.report(fault, from, stop);
        self.skip_line(start);
        self.bad(slot, start, stop)
    }

    fn scalar(&mut self, slot: Slot<'_, 's>, value: Scalar, start: usize, end: usize) -> u32 {
        let mut node = Node::new(Kind::Bad, NONE, start, end);
        match value {
            Scalar::Integer(value) => {
                node.kind = Kind::Integer;
                node.set_bits(value.cast_unsigned());
            }
            Scalar::Float(value) => {
                node.kind = Kind::Float;
                node.set_bits(value.to_bits());
            }
            Scalar::Boolean(value) => {
                node.kind = Kind::Boolean;
                node.a = u32::from(value);
            }
            Scalar::Date { without_seconds } => {
                node.kind = Kind::Date;
                if without_seconds {
                    let text = self.text[start..end].into();
                    self.report(Fault::NewerTime(text), start, end);
                }
            }
        }
        self.add_value(slot, node)
    }

    /// Whether a value can end before this token.
    pub(super) fn value_may_end(&self, token: Token) -> bool {
        ends_line(token.kind)
            || !self.open.is_empty()
                && matches!(
                    token.kind,
                    TokenKind::Comma | TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket
                )
    }

    /// Passes over the rest of an entry, up to its comma, closing bracket or line end.
    pub(super) fn skip_entry(&mut self) {
        let mut depth = 0_usize;
        loop {
            let token = self.tokens.peek();
            match token.kind {
                kind if ends_line(kind) => return,
                TokenKind::Comma if depth == 0 => return,
                kind if opens(kind) => depth += 1,
                TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket => {
                    if depth == 0 {
                        return;
                    }
                    depth -= 1;
                }
                TokenKind::MlBasicString | TokenKind::MlLiteralString => {
                    if let Some(stop) = resume_before(self.text, token.start, token.end) {
                        self.go_to(stop);
                        continue;
                    }
                }
                _ => {}
            }
            self.tokens.next();
        }
    }
}

fn begins_plain_value(character: char) -> bool {
    character.is_ascii_digit() || "\"'-+".contains(character)
}

/// Whether a piece of a line could stand as a value in a list.
fn is_value(text: &str) -> bool {
    let text = text.trim();
    let quoted = text.len() > 1 && text.starts_with(['"', '\'']) && text.ends_with(['"', '\'']);
    quoted || scalar::read(text).is_ok()
}
