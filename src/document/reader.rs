//! Reads a text line by line: headers, `key = value`, and what is neither.
//!
//! The lexer and the decoders of strings and numbers are the parser crate's. What stands on
//! a line is decided here rather than by that crate's event parser, because its recovery
//! goes on to the end of the file after one missing bracket, and because one fault has to
//! be one problem.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::Limits;
use super::marks::{Marks, is_unreadable};
use super::problem::{Fault, Problem, ProblemKind};
use super::recover::{is_bare, line_end};
use super::tokens::{Token, Tokens, ends_line};
use super::tree::{DAMAGED, Document, NONE, ROOT};
use super::value::{Flow, Slot};
use crate::text::Span;

/// One name of a dotted key.
#[derive(Debug, Clone)]
pub(super) struct Part<'s> {
    pub start: usize,
    pub end: usize,
    pub text: Cow<'s, str>,
}

/// What comes after a key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Next {
    /// Its value.
    Value,
    /// A value, of which the key can't be used.
    Discard,
    /// No value.
    Nothing,
}

/// A fault and its bytes, found but not yet reported.
pub(super) type Found = (Fault, usize, usize);

pub(super) struct Reader<'s, 'l> {
    pub(super) document: Document<'s>,
    pub(super) text: &'s str,
    pub(super) tokens: Tokens<'s>,
    pub(super) marks: &'l Marks,
    pub(super) limits: &'l Limits,
    pub(super) problems: Vec<Problem>,
    /// Problems found beyond as many as are listed, and the place of the first.
    pub(super) unlisted: usize,
    pub(super) first_unlisted: usize,
    /// The table of the last header, and how deep it lies.
    pub(super) section: u32,
    pub(super) section_depth: usize,
    /// The name of the last header that was a duplicate, and the table its keys went to:
    /// headers that go deeper follow it there rather than be reported one by one.
    pub(super) shadow: Option<(Vec<String>, u32)>,
    /// Further faults of syntax on these bytes aren't reported: they come from one that was.
    muted: (usize, usize),
    /// Brackets that were taken as closed and may still turn up: `]` and `}`.
    pub(super) owed: (usize, usize),
    /// Brackets open at this place of a value.
    pub(super) open: Vec<u8>,
    /// Up to here, open braces are known to be closed.
    pub(super) braces_close_by: usize,
    /// Bytes that may still be looked at in vain for closing braces.
    pub(super) budget: usize,
    in_conflict: bool,
    /// Where the next `>>>>>>>` line was last found; past the end if there is none.
    conflict_end: usize,
    /// Buffers for keys, kept for use again.
    pub(super) buffers: Vec<Vec<Part<'s>>>,
}

impl<'s, 'l> Reader<'s, 'l> {
    pub fn new(document: Document<'s>, marks: &'l Marks, limits: &'l Limits) -> Self {
        let text = document.text;
        Reader {
            document,
            text,
            tokens: Tokens::new(text),
            marks,
            limits,
            problems: Vec::new(),
            unlisted: 0,
            first_unlisted: text.len(),
            section: ROOT,
            section_depth: 0,
            shadow: None,
            muted: (0, 0),
            owed: (0, 0),
            open: Vec::new(),
            braces_close_by: 0,
            budget: text.len().saturating_mul(4).saturating_add(1 << 20),
            in_conflict: false,
            conflict_end: 0,
            buffers: Vec::new(),
        }
    }

    /// Reads to the end.
    pub fn read(&mut self) {
        loop {
            let at = self.tokens.peek().start;
            if !self.document.cut && self.conflict_line(at) {
                continue;
            }
            let token = self.tokens.peek_past_space();
            match token.kind {
                TokenKind::Eof => return,
                TokenKind::Newline | TokenKind::Comment => {
                    self.tokens.next();
                }
                TokenKind::LeftSquareBracket => self.header(),
                TokenKind::RightSquareBracket => self.stray(token, Fault::StrayBracket(']')),
                TokenKind::RightCurlyBracket => self.stray(token, Fault::StrayBracket('}')),
                TokenKind::LeftCurlyBracket => self.stray(token, Fault::LineOfBraces),
                TokenKind::Comma => self.stray(token, Fault::StrayComma),
                _ => self.pair(),
            }
        }
    }

    /// `key = value`, or a line that was meant to be one.
    fn pair(&mut self) {
        let mut parts = self.buffers.pop().unwrap_or_default();
        let start = self.tokens.peek().start;
        let fault = self.read_key(&mut parts);
        let sound = fault.is_none();
        if let Some((fault, from, to)) = fault {
            self.report(fault, from, to);
        }
        match self.to_value(&parts, start, sound) {
            Next::Nothing => {
                self.damage(self.section);
                self.skip_line(start);
            }
            next => {
                let slot = self.slot(next, self.section, self.section_depth, &parts);
                let (node, flow) = self.value(slot);
                self.open.clear();
                if flow == Flow::Closed {
                    self.after_value(node);
                }
            }
        }
        parts.clear();
        self.buffers.push(parts);
    }

    /// Where the value of a key goes: into `table`, or nowhere if the key couldn't be read.
    pub(super) fn slot<'p>(
        &mut self,
        next: Next,
        table: u32,
        depth: usize,
        parts: &'p [Part<'s>],
    ) -> Slot<'p, 's> {
        let holder = if next == Next::Value {
            self.define_key(table, parts, depth)
        } else {
            self.damage(table);
            None
        };
        Slot {
            parent: holder.unwrap_or(NONE),
            key: holder.and(parts.last()),
            name: written_key(self.text, parts),
            depth: depth + parts.len(),
        }
    }

    /// Goes from a key to its value, over the `=` or what stands for it, and reports what
    /// is wrong there.
    pub(super) fn to_value(&mut self, parts: &[Part<'s>], start: usize, sound: bool) -> Next {
        let token = self.tokens.peek_past_space();
        let text = self.text;
        let key = || -> Box<str> { written_key(text, parts).into() };
        let value = if sound { Next::Value } else { Next::Discard };
        match token.kind {
            TokenKind::Equals => {
                self.tokens.next();
                let second = self.tokens.peek_past_space();
                if second.kind == TokenKind::Equals {
                    self.report(Fault::DoubleEquals, second.start, second.end);
                    self.mute_line(second.start);
                    while self.tokens.peek_past_space().kind == TokenKind::Equals {
                        self.tokens.next();
                    }
                }
                value
            }
            TokenKind::Atom if sound && self.slice(token).starts_with(':') => {
                self.report(Fault::Colon(key()), token.start, token.start + 1);
                self.mute_line(token.start);
                self.go_to(token.start + 1);
                if self.tokens.peek_past_space().kind == TokenKind::Equals {
                    self.tokens.next();
                }
                value
            }
            kind if sound && (is_string(kind) || opens(kind)) => {
                self.report(Fault::MissingEquals(key()), token.start, token.end);
                self.mute_line(start);
                value
            }
            _ if !sound => {
                if self.find_equals() {
                    Next::Discard
                } else {
                    Next::Nothing
                }
            }
            kind if ends_line(kind)
                || matches!(
                    kind,
                    TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket | TokenKind::Comma
                ) =>
            {
                let end = parts.last().map_or(token.start, |part| part.end);
                let fault = self.odd_line(start).unwrap_or(Fault::KeyAlone(key()));
                self.report(fault, start, end);
                if ends_line(kind) {
                    self.mute_line(start);
                }
                Next::Nothing
            }
            _ => {
                let next = self.slice(token);
                let number = next.starts_with(|c: char| c.is_ascii_digit() || c == '+');
                if let Some(fault) = self.odd_line(start) {
                    self.report(fault, start, token.end);
                    self.mute_line(start);
                    return Next::Nothing;
                }
                let found = self.find_equals();
                let end = self.text[..self.tokens.peek().start].trim_end_matches([' ', '\t', '=']);
                let words: Box<str> = self.text[start..end.len().max(start)].into();
                let end = start + words.len();
                let fault = match (found, number) {
                    (true, _) => Fault::KeyOfSeveralWords(words),
                    (false, true) => Fault::MissingEquals(key()),
                    (false, false) if !self.open.is_empty() => Fault::BracesNeedKey,
                    (false, false) => Fault::NotALine,
                };
                self.report(fault, start, end);
                self.mute_line(start);
                // Even a value that goes nowhere is read, for its brackets' sake.
                if found { Next::Discard } else { Next::Nothing }
            }
        }
    }

    /// Signs of other formats at the beginning of a line.
    fn odd_line(&self, start: usize) -> Option<Fault> {
        let line = &self.text[start..line_end(self.text, start)];
        [("//", "//"), ("/*", "/*"), (";", ";"), ("--", "--")]
            .iter()
            .find(|(sign, _)| line.starts_with(sign))
            .map(|(_, sign)| Fault::OtherComment(sign))
            .or_else(|| line.starts_with("- ").then_some(Fault::DashList))
    }

    /// Takes tokens up to and with the next `=` of the line; false if there is none.
    fn find_equals(&mut self) -> bool {
        loop {
            let kind = self.tokens.peek().kind;
            if kind == TokenKind::Equals {
                self.tokens.next();
                return true;
            }
            if ends_line(kind) || is_string(kind) || opens(kind) {
                return false;
            }
            if !self.open.is_empty()
                && matches!(
                    kind,
                    TokenKind::Comma | TokenKind::RightCurlyBracket | TokenKind::RightSquareBracket
                )
            {
                return false;
            }
            self.tokens.next();
        }
    }

    /// Reads a dotted key into `parts`; gives the first fault in it, not yet reported.
    pub(super) fn read_key(&mut self, parts: &mut Vec<Part<'s>>) -> Option<Found> {
        let mut fault: Option<Found> = None;
        loop {
            let token = self.tokens.peek_past_space();
            let (start, end) = (token.start, token.end);
            let found = match token.kind {
                TokenKind::Atom => self.bare_key(token, parts),
                TokenKind::BasicString | TokenKind::LiteralString => {
                    self.tokens.next();
                    self.quoted_key(token, parts)
                }
                TokenKind::MlBasicString | TokenKind::MlLiteralString => {
                    // It may run over many lines; only the first is given up.
                    self.go_to(line_end(self.text, start).min(end));
                    Some((Fault::KeyTripleQuotes, start, start + 3))
                }
                TokenKind::Equals if parts.is_empty() && fault.is_none() => {
                    Some((Fault::MissingKey, start, end))
                }
                TokenKind::Dot => Some((Fault::KeyDots, start, end)),
                _ => {
                    let at = parts.last().map_or(start, |part| part.end);
                    return fault.or(Some((Fault::KeyDots, at, start.max(at))));
                }
            };
            fault = fault.or(found);
            if self.tokens.peek_past_space().kind != TokenKind::Dot {
                return fault;
            }
            self.tokens.next();
        }
    }

    /// A name without quotes. A colon ends it, since what stands there is `key: value`.
    fn bare_key(&mut self, token: Token, parts: &mut Vec<Part<'s>>) -> Option<Found> {
        self.tokens.next();
        let written = self.slice(token);
        let bare = written.bytes().take_while(|byte| is_bare(*byte)).count();
        let mut end = token.end;
        let mut fault = None;
        if bare < written.len() {
            if bare > 0 && written[bare..].starts_with(':') {
                end = token.start + bare;
                self.go_to(end);
            } else {
                let odd = written[bare..].chars().next().unwrap_or(' ');
                let fix = super::scalar::unquoted(written.trim_end_matches(':'));
                fault = Some((
                    self.odd_line(token.start)
                        .unwrap_or(Fault::KeyCharacter(fix.into(), odd)),
                    token.start,
                    token.end,
                ));
            }
        }
        parts.push(Part {
            start: token.start,
            end,
            text: Cow::Borrowed(&self.text[token.start..end]),
        });
        fault
    }

    fn quoted_key(&mut self, token: Token, parts: &mut Vec<Part<'s>>) -> Option<Found> {
        let (text, fault) = self.decode(token);
        parts.push(Part {
            start: token.start,
            end: token.end,
            text,
        });
        if fault.is_none() && self.unreadable(token.start, token.end) {
            // Reported as a fault of encoding; this one isn't listed, but spoils the key.
            return Some((Fault::NotALine, token.start, token.end));
        }
        fault
    }

    /// Whether bytes in this range couldn't be decoded or are forbidden.
    pub(super) fn unreadable(&self, start: usize, end: usize) -> bool {
        self.marks.on(start, end, is_unreadable).is_some()
    }

    /// After a value outside of brackets the line has to end.
    fn after_value(&mut self, node: u32) {
        let token = self.tokens.peek_past_space();
        if ends_line(token.kind) {
            return;
        }
        if self.resume_in_text(node, token.start) {
            return;
        }
        let was_text = self.text[..token.start].trim_end().ends_with(['"', '\'']);
        let rest = &self.text[token.start..line_end(self.text, token.start)];
        let (fault, spoils) = match token.kind {
            TokenKind::Comma if is_blank(&rest[1..]) => (Fault::CommaAtEnd, false),
            TokenKind::Comma => (Fault::ListWithoutBrackets, true),
            TokenKind::RightSquareBracket => (Fault::StrayBracket(']'), false),
            TokenKind::RightCurlyBracket => (Fault::StrayBracket('}'), false),
            kind if is_string(kind) && was_text => (Fault::QuoteInText, true),
            _ if was_text && self.slice(token).contains(['"', '\'']) => (Fault::QuoteInText, true),
            TokenKind::Atom
                if matches!(
                    super::recover::look(self.text, token.start),
                    super::recover::LineLook::Pair
                ) =>
            {
                (Fault::TwoOnALine, true)
            }
            _ => (Fault::AfterValue, true),
        };
        self.report(fault, token.start, token.end.min(token.start + rest.len()));
        if spoils {
            self.spoil(node);
            self.damage(self.section);
        }
        self.skip_line(token.start);
    }

    /// A bracket or comma at the beginning of a line.
    fn stray(&mut self, token: Token, fault: Fault) {
        let owed = match token.kind {
            TokenKind::RightSquareBracket => &mut self.owed.0,
            TokenKind::RightCurlyBracket => &mut self.owed.1,
            _ => &mut 0,
        };
        if *owed > 0 {
            // The bracket of a list or table that was taken as closed further up.
            *owed -= 1;
            self.mute_line(token.start);
        } else {
            self.report(fault, token.start, token.end);
        }
        self.damage(self.section);
        self.skip_line(token.start);
    }

    /// Passes over a marker of a merge conflict at the beginning of a line, and over the
    /// second version; true if there was one.
    pub(super) fn conflict_line(&mut self, at: usize) -> bool {
        let bytes = self.text.as_bytes();
        let Some(sign @ (b'<' | b'=' | b'>' | b'|')) = bytes.get(at).copied() else {
            return false;
        };
        if at > 0 && !matches!(bytes[at - 1], b'\n' | b'\r') || !is_marker(bytes, at, sign) {
            return false;
        }
        let end = line_end(self.text, at);
        let close = self.next_conflict_end(at);
        if sign == b'<' || !self.in_conflict {
            let related = (close < self.text.len() && close != at).then(|| {
                let close_end = line_end(self.text, close);
                (self.place(close, close_end), "the conflict ends here")
            });
            self.report_with(Fault::Conflict, at, end, related);
        }
        self.damage(self.section);
        self.in_conflict = match sign {
            b'<' => true,
            b'=' | b'|' if self.in_conflict && close < self.text.len() => {
                let section = self.section;
                self.go_to(line_end(self.text, close));
                self.damage(section);
                self.in_conflict = false;
                return true;
            }
            _ => false,
        };
        self.go_to(end);
        true
    }

    fn next_conflict_end(&mut self, from: usize) -> usize {
        if self.conflict_end < from || self.conflict_end == 0 {
            let bytes = self.text.as_bytes();
            self.conflict_end = memchr::memmem::find_iter(&bytes[from..], b">>>>>>>")
                .map(|found| from + found)
                .find(|&found| found == 0 || matches!(bytes[found - 1], b'\n' | b'\r'))
                .unwrap_or(self.text.len());
        }
        self.conflict_end
    }

    /// The text of a token.
    pub(super) fn slice(&self, token: Token) -> &'s str {
        &self.text[token.start..token.end]
    }

    /// Goes on at the end of the line that holds byte `at`.
    pub(super) fn skip_line(&mut self, at: usize) {
        self.go_to(line_end(self.text, at));
    }

    /// Goes on at byte `at`, unless reading was stopped.
    pub(super) fn go_to(&mut self, at: usize) {
        if !self.document.cut {
            self.tokens.seek(at);
        }
    }

    /// Notes that something couldn't be read in this table or list.
    pub(super) fn damage(&mut self, node: u32) {
        self.document.node_mut(node).flags |= DAMAGED;
    }

    pub(super) fn place(&self, start: usize, end: usize) -> Span {
        Span::new(self.document.file, start, end)
    }

    /// From here to the end of the line, what else looks wrong follows from what was
    /// reported.
    pub(super) fn mute_line(&mut self, from: usize) {
        self.muted = (from, line_end(self.text, from));
    }

    /// Whether a fault that may have swallowed what follows was reported at or after `from`.
    pub(super) fn muted_since(&self, from: usize) -> bool {
        self.muted.1 > 0 && self.muted.1 >= from
    }

    pub(super) fn report(&mut self, fault: Fault, start: usize, end: usize) {
        self.report_with(fault, start, end, None);
    }

    pub(super) fn report_with(
        &mut self,
        fault: Fault,
        start: usize,
        end: usize,
        related: Option<(Span, &'static str)>,
    ) {
        let (start, end) = (start.min(self.text.len()), end.min(self.text.len()));
        if self.muted.0 <= start && start <= self.muted.1 && self.muted.1 > 0 {
            return;
        }
        if self.unreadable(start, end) {
            return;
        }
        self.push(ProblemKind::Syntax, fault, self.place(start, end), related);
    }

    pub(super) fn push(
        &mut self,
        kind: ProblemKind,
        fault: Fault,
        span: Span,
        related: Option<(Span, &'static str)>,
    ) {
        if self.problems.len() >= self.limits.problems {
            self.unlisted += 1;
            self.first_unlisted = self.first_unlisted.min(span.start as usize);
            return;
        }
        self.problems.push(Problem {
            span,
            kind,
            related,
            fault,
        });
    }
}

/// A dotted key as it is written.
pub(super) fn written_key<'t>(text: &'t str, parts: &[Part<'_>]) -> &'t str {
    match (parts.first(), parts.last()) {
        (Some(first), Some(last)) => &text[first.start..last.end],
        _ => "",
    }
}

/// Seven of one sign, then a blank or the line's end.
fn is_marker(bytes: &[u8], at: usize, sign: u8) -> bool {
    let line = &bytes[at..];
    line.len() >= 7
        && line[..7].iter().all(|byte| *byte == sign)
        && matches!(line.get(7), None | Some(b' ' | b'\t' | b'\r' | b'\n'))
}

/// Whether nothing but blanks and a comment is left.
fn is_blank(rest: &str) -> bool {
    let rest = rest.trim_start();
    rest.is_empty() || rest.starts_with('#')
}

pub(super) fn is_string(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::BasicString
            | TokenKind::LiteralString
            | TokenKind::MlBasicString
            | TokenKind::MlLiteralString
    )
}

pub(super) fn opens(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::LeftSquareBracket | TokenKind::LeftCurlyBracket
    )
}
