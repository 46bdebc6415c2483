//! Values: text, numbers, dates, lists in brackets and tables in braces.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::item::Kind;
use super::marks::{MarkKind, is_unsafe};
use super::problem::{Fault, ProblemKind};
use super::reader::{Found, Next, Part, Reader, is_string, opens};
use super::recover::{LineLook, brace_closes, line_end, look, resume_before};
use super::scalar::{self, Scalar};
use super::tokens::{Token, ends_line};
use super::tree::{DECODED, INLINE, NONE, Node, SUSPECT};

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

/// What may come next in a list or in braces.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Expect {
    /// An entry, and nothing came before it.
    First,
    /// An entry, after a comma.
    Entry,
    Comma,
    /// Either, after something that was reported.
    Either,
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
                }
                let node = self.bad(slot, at.saturating_sub(1), at);
                (node, Flow::Closed)
            }
        }
    }

    fn bad(&mut self, slot: Slot<'_, 's>, start: usize, end: usize) -> u32 {
        self.add_value(slot, Node::new(Kind::Bad, NONE, start, end))
    }

    fn add_value(&mut self, slot: Slot<'_, 's>, node: Node) -> u32 {
        self.add(slot.parent, slot.key, node)
    }

    /// Takes back what a value says, since what follows shows that it wasn't read right.
    pub(super) fn spoil(&mut self, node: u32) {
        let node = self.document.node_mut(node);
        node.kind = Kind::Bad;
        node.count = 0;
    }

    fn string(&mut self, slot: Slot<'_, 's>, token: Token) -> u32 {
        let mut node = Node::new(Kind::String, NONE, token.start, token.end);
        let (text, fault) = self.decode(token);
        if let Some((fault, start, end)) = fault {
            return self.bad_string(slot, token, (fault, start, end));
        }
        if self.unreadable(token.start, token.end) {
            return self.bad(slot, token.start, token.end);
        }
        if self
            .marks
            .on(token.start, token.end, |kind| kind == MarkKind::Hidden)
            .is_some()
        {
            node.flags |= SUSPECT;
        }
        match text {
            Cow::Borrowed(text) => {
                // The place of a slice of the source in it; an empty one may be anywhere.
                let from = if text.is_empty() {
                    token.start
                } else {
                    text.as_ptr() as usize - self.text.as_ptr() as usize
                };
                (node.a, node.b) = (narrow(from), narrow(from + text.len()));
            }
            Cow::Owned(text) => {
                node.flags |= DECODED;
                if self.look_at_escapes(token) {
                    node.flags |= SUSPECT;
                }
                (node.a, node.b) = self.document.keep(&text);
            }
        }
        self.add_value(slot, node)
    }

    /// A string that isn't closed, or has something in it that can't be read.
    fn bad_string(&mut self, slot: Slot<'_, 's>, token: Token, (fault, start, end): Found) -> u32 {
        let mut stop = token.end;
        let unclosed = matches!(fault, Fault::UnclosedString(_) | Fault::UnclosedText(_));
        if !self.unreadable(token.start, token.end) {
            self.report(fault, start, end);
        }
        if unclosed {
            stop = resume_before(self.text, token.start, token.end).unwrap_or(token.end);
            self.go_to(stop);
            self.mute_line(token.start.max(stop.saturating_sub(1)));
        }
        self.bad(slot, token.start, stop)
    }

    /// Whether the text of several lines that ended at `at` ought to have ended before: then
    /// it was closed by the opening quotes of another. Goes on where it broke off.
    pub(super) fn resume_in_text(&mut self, node: u32, at: usize) -> bool {
        let start = self.document.node(node).at.0 as usize;
        let long =
            self.text[start..].starts_with("\"\"\"") || self.text[start..].starts_with("'''");
        if !long {
            return false;
        }
        let Some(stop) = resume_before(self.text, start, at) else {
            return false;
        };
        let quotes = if self.text[start..].starts_with('"') {
            "\"\"\""
        } else {
            "'''"
        };
        self.report(Fault::UnclosedText(quotes), start, start + 3);
        self.spoil(node);
        self.document.node_mut(node).at.1 = narrow(stop);
        self.go_to(stop);
        true
    }

    /// The reading of a quoted key or string, and what is wrong with it, not yet reported.
    pub(super) fn decode(&mut self, token: Token) -> (Cow<'s, str>, Option<Found>) {
        let written = self.slice(token);
        let long = matches!(
            token.kind,
            TokenKind::MlBasicString | TokenKind::MlLiteralString
        );
        let basic = matches!(
            token.kind,
            TokenKind::BasicString | TokenKind::MlBasicString
        );
        let quote = if long { 3 } else { 1 };
        if !is_closed(written, quote, basic) {
            let fault = match (long, basic) {
                (false, true) => Fault::UnclosedString('"'),
                (false, false) => Fault::UnclosedString('\''),
                (true, true) => Fault::UnclosedText("\"\"\""),
                (true, false) => Fault::UnclosedText("'''"),
            };
            let found = (fault, token.start, token.start + quote);
            return (Cow::Borrowed(""), Some(found));
        }
        let inner = &written[quote..written.len() - quote];
        if !long
            && inner
                .bytes()
                .all(|b| b >= 0x20 && b != 0x7f && !(basic && b == b'\\'))
        {
            return (Cow::Borrowed(inner), None);
        }
        let encoding = token_encoding(token.kind);
        let span = toml_parser::Span::new_unchecked(token.start, token.end);
        let raw = toml_parser::Raw::new_unchecked(written, encoding, span);
        let mut text = Cow::Borrowed("");
        let mut first = None;
        let mut note = |error: toml_parser::ParseError| {
            let place = error.unexpected().map_or(token.start, |span| span.start());
            first.get_or_insert(place);
        };
        let _kind = raw.decode_scalar(&mut text, &mut note);
        let fault = first.map(|place| self.bad_escape(token, place));
        (text, fault)
    }

    /// The escape in which the decoder stumbled at `place`.
    fn bad_escape(&self, token: Token, place: usize) -> Found {
        let place = place.clamp(token.start, token.end);
        let before = &self.text.as_bytes()[token.start..place];
        let start = memchr::memrchr(b'\\', before).map_or(place, |at| token.start + at);
        let end = self.text[start..token.end]
            .char_indices()
            .nth(2)
            .map_or(token.end, |(skip, _)| start + skip)
            .max(place.min(token.end));
        (Fault::BadEscape(self.text[start..end].into()), start, end)
    }

    /// Looks for escapes that only TOML 1.1 has, and for those of unsafe characters; true if
    /// there is one of the latter.
    fn look_at_escapes(&mut self, token: Token) -> bool {
        if !matches!(
            token.kind,
            TokenKind::BasicString | TokenKind::MlBasicString
        ) {
            return false;
        }
        let bytes = self.text.as_bytes();
        let mut found_unsafe = false;
        let mut newer = false;
        let mut at = token.start;
        while let Some(skip) = memchr::memchr(b'\\', &bytes[at..token.end]) {
            let start = at + skip;
            let sign = bytes.get(start + 1).copied().unwrap_or(b' ');
            let digits = match sign {
                b'x' => 2,
                b'u' => 4,
                b'U' => 8,
                _ => 0,
            };
            let end = (start + 2 + digits).min(token.end);
            at = end;
            let character = match sign {
                b'e' => Some('\u{1b}'),
                b'b' => Some('\u{8}'),
                b'f' => Some('\u{c}'),
                _ => self
                    .text
                    .get(start + 2..end)
                    .and_then(|code| u32::from_str_radix(code, 16).ok())
                    .and_then(char::from_u32),
            };
            let Some(escape) = self.text.get(start..end) else {
                continue;
            };
            if character.is_some_and(is_unsafe) {
                found_unsafe = true;
                let fault = Fault::EscapedControl(escape.into());
                self.push(ProblemKind::Encoding, fault, self.place(start, end), None);
            } else if matches!(sign, b'e' | b'x') && !newer {
                newer = true;
                self.report(Fault::NewerEscape(escape.into()), start, end);
            }
        }
        found_unsafe
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
                    self.report(scalar::diagnose(text, cause), start, end);
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
        let name_follows = next.kind == TokenKind::Equals && value.contains([' ', '\t']);
        if !self.open.is_empty() {
            let fault = if name_follows {
                Fault::MissingComma
            } else if next.kind == TokenKind::Equals {
                Fault::PairInList
            } else {
                scalar::diagnose(value, scalar::NotScalar::Malformed)
            };
            self.report(fault, start, end.max(start + 1));
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
        let fault = if name_follows || next.kind == TokenKind::Equals {
            Fault::TwoOnALine
        } else if inner.len() < whole.len() && scalar::read(inner).is_ok() {
            if let Ok(value) = scalar::read(inner) {
                self.report(Fault::CommaAtEnd, start + inner.len(), stop);
                self.skip_line(start);
                return self.scalar(slot, value, start, start + inner.len());
            }
            Fault::CommaAtEnd
        } else if inner.contains(", ") {
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
        self.report(fault, start, stop);
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
    fn value_may_end(&self, token: Token) -> bool {
        ends_line(token.kind)
            || !self.open.is_empty()
                && matches!(
                    token.kind,
                    TokenKind::Comma | TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket
                )
    }

    /// Passes over the rest of an entry, up to its comma, closing bracket or line end.
    fn skip_entry(&mut self) {
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
                    let end = line_end(self.text, token.start).min(token.end);
                    self.go_to(end.max(token.start + 1));
                    continue;
                }
                _ => {}
            }
            self.tokens.next();
        }
    }

    /// A list in brackets.
    fn list(&mut self, slot: Slot<'_, 's>) -> (u32, Flow) {
        let open = self.tokens.next();
        let mut node = Node::new(Kind::Array, NONE, open.start, open.end);
        node.flags = INLINE;
        let id = self.add_value(slot, node);
        if slot.depth >= self.limits.nesting {
            return (id, self.skip_nested(id, open));
        }
        self.open.push(b'[');
        let inner = Slot {
            parent: id,
            key: None,
            name: "",
            depth: slot.depth + 1,
        };
        let mut expect = Expect::First;
        let flow = loop {
            let token = self.tokens.peek_past_space();
            match token.kind {
                TokenKind::Newline => {
                    self.tokens.next();
                    if self.conflict_line(token.end) {
                        self.damage(id);
                        continue;
                    }
                    if self.line_is_outside(token.end, expect) {
                        self.unclosed(id, open, Fault::UnclosedList, token.start);
                        self.owed.0 += 1;
                        break Flow::Abandoned;
                    }
                }
                TokenKind::Comment => {
                    self.tokens.next();
                }
                TokenKind::Eof => {
                    self.unclosed(id, open, Fault::UnclosedList, token.start);
                    self.mute_line(token.start);
                    break Flow::Closed;
                }
                TokenKind::RightSquareBracket => {
                    self.tokens.next();
                    self.close(id, token);
                    break Flow::Closed;
                }
                TokenKind::RightCurlyBracket => {
                    let flow = self.wrong_bracket(id, open, token, b'{');
                    break flow;
                }
                TokenKind::Comma => {
                    self.tokens.next();
                    expect = self.comma(id, expect, token);
                }
                _ => {
                    if expect == Expect::Comma {
                        self.missing_comma(id, token);
                    }
                    let (child, flow) = self.value(inner);
                    if flow == Flow::Abandoned {
                        self.unclosed(id, open, Fault::UnclosedList, token.start);
                        self.owed.0 += 1;
                        break flow;
                    }
                    expect = self.after_entry(id, child, flow);
                }
            }
        };
        self.open.pop();
        (id, flow)
    }

    /// A table in braces.
    fn braces(&mut self, slot: Slot<'_, 's>) -> (u32, Flow) {
        let open = self.tokens.next();
        let mut node = Node::new(Kind::Table, NONE, open.start, open.end);
        node.flags = INLINE;
        let id = self.add_value(slot, node);
        if slot.depth >= self.limits.nesting {
            return (id, self.skip_nested(id, open));
        }
        self.open.push(b'{');
        let mut expect = Expect::First;
        let mut several_lines = false;
        let mut last_comma = open;
        let flow = loop {
            let token = self.tokens.peek_past_space();
            match token.kind {
                TokenKind::Newline | TokenKind::Comment => {
                    let line = line_end(self.text, token.start);
                    if !self.braces_go_on(line, expect) {
                        self.unclosed(id, open, Fault::UnclosedBraces, token.start);
                        self.owed.1 += 1;
                        break Flow::Broken;
                    }
                    several_lines = true;
                    self.tokens.next();
                    if token.kind == TokenKind::Newline && self.conflict_line(token.end) {
                        self.damage(id);
                    }
                }
                TokenKind::Eof => {
                    self.unclosed(id, open, Fault::UnclosedBraces, token.start);
                    self.mute_line(token.start);
                    break Flow::Closed;
                }
                TokenKind::RightCurlyBracket => {
                    self.tokens.next();
                    self.close(id, token);
                    if several_lines {
                        self.report(Fault::NewerLineBreak, open.start, open.end);
                    } else if expect == Expect::Entry {
                        self.report(Fault::NewerComma, last_comma.start, last_comma.end);
                    }
                    break Flow::Closed;
                }
                TokenKind::RightSquareBracket => {
                    let flow = self.wrong_bracket(id, open, token, b'[');
                    break flow;
                }
                TokenKind::Comma => {
                    self.tokens.next();
                    expect = self.comma(id, expect, token);
                    last_comma = token;
                }
                kind if opens(kind) => {
                    self.report(Fault::BracesNeedKey, token.start, token.end);
                    self.mute_line(token.start);
                    self.damage(id);
                    self.skip_entry();
                    expect = Expect::Either;
                }
                _ => {
                    if expect == Expect::Comma {
                        self.missing_comma(id, token);
                    }
                    let Some((child, flow)) = self.entry(id, slot.depth + 1, token) else {
                        expect = Expect::Either;
                        continue;
                    };
                    if flow == Flow::Abandoned {
                        self.unclosed(id, open, Fault::UnclosedBraces, token.start);
                        self.owed.1 += 1;
                        break flow;
                    }
                    expect = self.after_entry(id, child, flow);
                }
            }
        };
        self.open.pop();
        (id, flow)
    }

    /// One `key = value` in braces; `None` if it has no value.
    fn entry(&mut self, id: u32, depth: usize, token: Token) -> Option<(u32, Flow)> {
        if self.is_decimal_comma(token) {
            let from = self.text[..token.start - 1]
                .rfind(|c: char| !(c.is_ascii_digit() || c == '.'))
                .map_or(0, |at| at + 1);
            self.skip_entry();
            let end = self.text[..self.tokens.peek().start].trim_end().len();
            let written = &self.text[from..end];
            let fault = scalar::diagnose(written, scalar::NotScalar::Malformed);
            self.report(fault, from, end);
            let last = self.document.node(id).b;
            if self.document.node(id).count > 0 {
                self.spoil(last);
            }
            return None;
        }
        let mut parts = self.buffers.pop().unwrap_or_default();
        let fault = self.read_key(&mut parts);
        let sound = fault.is_none();
        if let Some((fault, from, to)) = fault {
            let swallows = matches!(fault, Fault::UnclosedString(_) | Fault::KeyTripleQuotes);
            self.report(fault, from, to);
            if swallows {
                self.mute_line(token.start);
            }
        }
        let next = self.to_value(&parts, token.start, sound);
        let found = if next == Next::Nothing {
            self.damage(id);
            self.skip_entry();
            None
        } else {
            let slot = self.slot(next, id, depth - 1, &parts);
            Some(self.value(slot))
        };
        parts.clear();
        self.buffers.push(parts);
        found
    }

    /// Whether this number without `=` is the second half of one written with a comma.
    fn is_decimal_comma(&self, token: Token) -> bool {
        let bytes = self.text.as_bytes();
        let digit = |at: Option<usize>| at.is_some_and(|at| bytes[at].is_ascii_digit());
        token.start > 1
            && digit(Some(token.start))
            && bytes[token.start - 1] == b','
            && digit(token.start.checked_sub(2))
            && look(self.text, token.start) != LineLook::Pair
    }

    fn comma(&mut self, id: u32, expect: Expect, token: Token) -> Expect {
        if matches!(expect, Expect::First | Expect::Entry) {
            self.report(Fault::ExtraComma, token.start, token.end);
            self.damage(id);
        }
        Expect::Entry
    }

    fn missing_comma(&mut self, id: u32, token: Token) {
        let at = self.text[..token.start].trim_end();
        // On another line the comma is missing at the end of the value before.
        let start = if at.len() + 1 < token.start {
            at.len()
        } else {
            token.start
        };
        let quote_before = at.ends_with(['"', '\'']) && self.slice(token).ends_with(['"', '\'']);
        if quote_before && token.kind == TokenKind::Atom {
            self.report(Fault::QuoteInText, token.start, token.end);
            self.mute_line(token.start);
        } else {
            self.report(Fault::MissingComma, start.saturating_sub(1), start);
        }
        self.damage(id);
    }

    /// What may follow an entry, which has been read up to its end.
    fn after_entry(&mut self, id: u32, child: u32, flow: Flow) -> Expect {
        if flow == Flow::Broken {
            return Expect::Either;
        }
        let token = self.tokens.peek_past_space();
        if self.document.node(child).kind == Kind::Bad {
            // It was reported; what is left of the entry belongs to it.
            if !self.value_may_end(token) {
                self.mute_line(token.start);
                self.skip_entry();
            }
            return Expect::Either;
        }
        if !self.value_may_end(token) && self.resume_in_text(child, token.start) {
            self.damage(id);
            return Expect::Either;
        }
        Expect::Comma
    }

    fn close(&mut self, id: u32, token: Token) {
        self.document.node_mut(id).at.1 = narrow(token.end);
    }

    /// A list or table that never ends; `at` is where it was taken as ended.
    fn unclosed(&mut self, id: u32, open: Token, fault: Fault, at: usize) {
        let end = self.text[..at].trim_end().len().max(open.end);
        self.document.node_mut(id).at.1 = narrow(end);
        self.damage(id);
        self.damage(self.section);
        if !self.muted_since(open.start) {
            self.report(fault, open.start, open.end);
        }
    }

    /// A closing bracket of the other kind: it closes what holds this, or is a slip.
    fn wrong_bracket(&mut self, id: u32, open: Token, token: Token, holder: u8) -> Flow {
        let of_list = holder == b'{';
        let enclosing = &self.open[..self.open.len() - 1];
        if enclosing.contains(&holder) {
            let fault = if of_list {
                Fault::UnclosedList
            } else {
                Fault::UnclosedBraces
            };
            self.unclosed(id, open, fault, token.start);
            return Flow::Closed;
        }
        let (found, expected) = if of_list { ('}', ']') } else { (']', '}') };
        self.report(
            Fault::WrongBracket { found, expected },
            token.start,
            token.end,
        );
        self.tokens.next();
        self.close(id, token);
        Flow::Closed
    }

    /// Whether the line at `at` can't be part of the list that is open there.
    fn line_is_outside(&self, at: usize, expect: Expect) -> bool {
        match look(self.text, at) {
            LineLook::Header { as_list } => !as_list || expect == Expect::Comma,
            LineLook::Pair => true,
            LineLook::Other => false,
        }
    }

    /// Whether braces that are open at this line end are closed on a later line.
    fn braces_go_on(&mut self, line_end: usize, expect: Expect) -> bool {
        if line_end < self.braces_close_by {
            return true;
        }
        let separated = expect != Expect::Comma;
        match brace_closes(self.text, line_end, separated, &mut self.budget) {
            Some(end) => {
                self.braces_close_by = end;
                true
            }
            None => false,
        }
    }

    /// Passes over a list or table that lies too deep.
    fn skip_nested(&mut self, id: u32, open: Token) -> Flow {
        self.too_deep(open.start, open.end);
        self.damage(id);
        let mut depth = 1_usize;
        loop {
            let token = self.tokens.next();
            match token.kind {
                kind if opens(kind) => depth += 1,
                TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket => {
                    depth -= 1;
                    if depth == 0 {
                        self.close(id, token);
                        return Flow::Closed;
                    }
                }
                TokenKind::Newline if self.line_is_outside(token.end, Expect::Comma) => {
                    self.mute_line(open.start);
                    return Flow::Abandoned;
                }
                TokenKind::Eof => {
                    self.mute_line(token.start);
                    return Flow::Closed;
                }
                _ => {}
            }
        }
    }
}

/// Whether a quoted text ends with its own quotation marks.
fn is_closed(written: &str, quote: usize, escapes: bool) -> bool {
    if written.len() < 2 * quote || !written.ends_with(['"', '\'']) {
        return false;
    }
    let bytes = written.as_bytes();
    let mark = bytes[0];
    if !bytes[bytes.len() - quote..]
        .iter()
        .all(|byte| *byte == mark)
    {
        return false;
    }
    let inner = &bytes[quote..bytes.len() - quote];
    let slashes = inner
        .iter()
        .rev()
        .take_while(|byte| **byte == b'\\')
        .count();
    !escapes || slashes % 2 == 0
}

fn token_encoding(kind: TokenKind) -> Option<toml_parser::decoder::Encoding> {
    kind.encoding()
}

fn narrow(at: usize) -> u32 {
    u32::try_from(at).unwrap_or(u32::MAX)
}
