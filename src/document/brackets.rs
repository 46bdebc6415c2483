//! Lists in brackets and tables in braces, and what closes them when their own bracket doesn't.

use toml_parser::lexer::TokenKind;

use super::item::Kind;
use super::keys::Next;
use super::problem::Fault;
use super::reader::{Reader, opens};
use super::recover::{LineLook, brace_closes, line_end, look};
use super::scalar;
use super::tokens::Token;
use super::tree::{INLINE, NONE, Node, narrow};
use super::value::{Flow, Slot};

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
    /// A list in brackets.
    pub(super) fn list(&mut self, slot: Slot<'_, 's>) -> (u32, Flow) {
        let open = self.tokens.next();
        let mut node = Node::new(Kind::Array, NONE, open.start, open.end);
        node.flags = INLINE;
        let id = self.add_value(slot, node);
        if slot.depth > self.limits.nesting {
            return (id, self.skip_nested(slot, id, open));
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
                    if self.row_lacks_brace(token.end) {
                        let row = self.tokens.peek_past_space();
                        self.report(Fault::UnopenedBraces, row.start, row.end);
                        let end = line_end(self.text, row.start);
                        self.bad(inner, row.start, end);
                        self.go_to(end);
                        expect = Expect::Either;
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
                    if let Some(flow) = self.wrong_bracket(id, open, token, b'{') {
                        break flow;
                    }
                    expect = Expect::Either;
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
    pub(super) fn braces(&mut self, slot: Slot<'_, 's>) -> (u32, Flow) {
        let open = self.tokens.next();
        let mut node = Node::new(Kind::Table, NONE, open.start, open.end);
        node.flags = INLINE;
        let id = self.add_value(slot, node);
        if slot.depth > self.limits.nesting {
            return (id, self.skip_nested(slot, id, open));
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
                    if let Some(flow) = self.wrong_bracket(id, open, token, b'[') {
                        break flow;
                    }
                    expect = Expect::Either;
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
        let next = self.go_to_value(&parts, token.start, sound);
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
        let last = self.document.node(id).b;
        if self.document.node(id).count > 0 && self.swallowed_a_key(last) {
            self.mute_line(token.start);
            self.damage(id);
            return;
        }
        let at = self.text[..token.start].trim_end();
        let end = at.len();
        let quote_before = is_string_end(at) && self.slice(token).ends_with(['"', '\'']);
        if quote_before && token.kind == TokenKind::Atom {
            self.report(Fault::QuoteInText, token.start, token.end);
            self.mute_line(token.start);
        } else {
            self.report(Fault::MissingComma, end.saturating_sub(1), end);
            if token.kind == TokenKind::Atom && is_string_end(at) {
                // What stands there may belong into the text before it.
                self.mute_line(token.start);
            }
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

    /// A closing bracket of the other kind: it closes what holds this, or is a slip, or is one
    /// too many, since more follows or its opening was lost on this line; then this goes on.
    fn wrong_bracket(&mut self, id: u32, open: Token, token: Token, holder: u8) -> Option<Flow> {
        let of_list = holder == b'{';
        let after = self.text[token.end..].trim_start_matches([' ', '\t']);
        let more = !after.is_empty() && !after.starts_with([',', ']', '}', '#', '\n', '\r']);
        let left_over = of_list && self.open.len() == 1 && self.is_on_faulty_line(token.start);
        if more || left_over {
            let bracket = if of_list { '}' } else { ']' };
            self.report(Fault::StrayBracket(bracket), token.start, token.end);
            self.damage(id);
            self.tokens.next();
            return None;
        }
        let enclosing = &self.open[..self.open.len() - 1];
        if enclosing.contains(&holder) {
            let fault = if of_list {
                Fault::UnclosedList
            } else {
                Fault::UnclosedBraces
            };
            self.unclosed(id, open, fault, token.start);
            return Some(Flow::Closed);
        }
        let (found, expected) = if of_list { ('}', ']') } else { (']', '}') };
        self.report(
            Fault::WrongBracket { found, expected },
            token.start,
            token.end,
        );
        self.tokens.next();
        self.close(id, token);
        Some(Flow::Closed)
    }

    /// Whether the line at `at` begins like a key and has more closing than opening braces.
    fn row_lacks_brace(&self, at: usize) -> bool {
        let line = &self.text.as_bytes()[at..line_end(self.text, at)];
        let opening = memchr::memchr_iter(b'{', line).count();
        let closing = memchr::memchr_iter(b'}', line).count();
        closing > opening && look(self.text, at) == LineLook::Pair
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
    fn skip_nested(&mut self, slot: Slot<'_, 's>, id: u32, open: Token) -> Flow {
        // A key that lay too deep itself was reported, and its value goes nowhere.
        if slot.parent != NONE {
            self.too_deep(open.start, open.end);
        }
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

fn is_string_end(text: &str) -> bool {
    text.ends_with(['"', '\''])
}
