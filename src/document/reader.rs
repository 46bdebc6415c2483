//! Reads a text line by line: headers, `key = value`, and what is neither.
//!
//! The lexer and the decoders of strings and numbers are the parser crate's. What stands on
//! a line is decided here rather than by that crate's event parser, because its recovery
//! goes on to the end of the file after one missing bracket, and because one fault has to
//! be one problem.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::Limits;
use super::keys::Next;
use super::marks::{Marks, is_unreadable};
use super::problem::{Fault, Problem, ProblemKind};
use super::recover::{LineLook, line_end, look};
use super::tokens::{Token, Tokens, ends_line};
use super::tree::{DAMAGED, Document, ROOT};
use super::value::Flow;
use crate::text::Span;

/// One name of a dotted key.
#[derive(Debug, Clone)]
pub(super) struct Part<'s> {
    pub start: usize,
    pub end: usize,
    pub text: Cow<'s, str>,
}

/// A fault and its bytes, found but not yet reported.
pub(super) type Found = (Fault, usize, usize);

pub(super) struct Reader<'s, 'l> {
    pub(super) document: Document,
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
    /// A text that seems to end with the opening quotes of another, or an empty one that may
    /// lack a third quotation mark.
    doubtful_text: Option<u32>,
    /// End of the last line that looked like a row of a list without its beginning.
    pub(super) stray_until: Option<usize>,
    /// Brackets that were taken as closed and may still turn up: `]` and `}`.
    pub(super) owed: (usize, usize),
    /// Brackets open at this place of a value.
    pub(super) open: Vec<u8>,
    /// Up to here, open braces are known to be closed.
    pub(super) braces_close_by: usize,
    /// Bytes that may still be looked at in vain for closing braces.
    pub(super) budget: usize,
    /// The line on which a fault was reported that may be the cause of others there.
    pub(super) faulty_line: (usize, usize),
    pub(super) in_conflict: bool,
    /// Where the next `>>>>>>>` line was last found; past the end if there is none.
    pub(super) conflict_end: usize,
    /// Buffers for keys, kept for use again.
    pub(super) buffers: Vec<Vec<Part<'s>>>,
}

impl<'s, 'l> Reader<'s, 'l> {
    pub fn new(document: Document, text: &'s str, marks: &'l Marks, limits: &'l Limits) -> Self {
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
            doubtful_text: None,
            stray_until: None,
            owed: (0, 0),
            open: Vec::new(),
            braces_close_by: 0,
            budget: text.len().saturating_mul(4).saturating_add(1 << 20),
            faulty_line: (1, 0),
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
            let doubtful = self.doubtful_text.filter(|_| !ends_line(token.kind));
            let before = (
                self.problems.len(),
                self.unlisted,
                self.document.nodes.len(),
            );
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
            if let Some(text) = doubtful {
                self.settle(text, before);
            }
        }
    }

    /// This was the line after a doubtful text. If it can't be read, nor did it leave anything
    /// in the tree, it belongs to the text or to what is between that and the next.
    fn settle(&mut self, node: u32, (problems, unlisted, nodes): (usize, usize, usize)) {
        self.doubtful_text = self.doubtful_text.filter(|other| *other != node);
        let faulty = self.problems.len() > problems || self.unlisted > unlisted;
        if !faulty || self.document.nodes.len() > nodes {
            return;
        }
        let (start, end) = self.document.node(node).at;
        let stop = if end - start == 2 {
            let Some(stop) = self.end_of_unopened(start as usize) else {
                return;
            };
            Some(stop)
        } else {
            None
        };
        self.problems.truncate(problems);
        self.unlisted = unlisted;
        self.muted = (0, 0);
        self.faulty_line = (1, 0);
        match stop {
            Some(stop) => self.take_as_text(node, stop),
            None => {
                self.resume_in_text(node, end as usize);
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
        match self.go_to_value(&parts, start, sound) {
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
                    if self.is_doubtful(node) {
                        self.doubtful_text = Some(node);
                    }
                }
            }
        }
        parts.clear();
        self.buffers.push(parts);
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
        if self.swallowed_a_key(node) {
            self.damage(self.section);
            self.skip_line(token.start);
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
            _ if rest.starts_with("//") || rest.starts_with("/*") => {
                (Fault::OtherComment("//"), false)
            }
            _ if was_text && self.slice(token).contains(['"', '\'']) => (Fault::QuoteInText, true),
            TokenKind::Atom
                if !self.is_on_faulty_line(token.start)
                    && look(self.text, token.start) == LineLook::Pair =>
            {
                // Both can be read; the second is the next thing that is.
                self.report(Fault::TwoOnALine, token.start, token.end);
                return;
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
            _ => {
                // What follows may be read line by line, down to the closing bracket.
                self.owed.1 += usize::from(token.kind == TokenKind::LeftCurlyBracket);
                &mut 0
            }
        };
        let line = line_end(self.text, token.start);
        // Rows of a list without its beginning follow each other; the first is enough.
        let goes_on = self
            .stray_until
            .is_some_and(|until| self.text[until..token.start].trim().is_empty());
        self.stray_until = Some(line);
        if *owed > 0 {
            // The bracket of a list or table that was taken as closed further up.
            *owed -= 1;
            self.mute_line(token.start);
        } else if !goes_on {
            self.report(fault, token.start, token.end);
        }
        self.damage(self.section);
        self.skip_line(token.start);
    }

    /// The text of a token.
    pub(super) fn slice(&self, token: Token) -> &'s str {
        &self.text[token.start..token.end]
    }

    /// Goes on at the end of the line that holds byte `at`, or behind the text of several
    /// lines that is opened on it.
    pub(super) fn skip_line(&mut self, at: usize) {
        let end = line_end(self.text, at);
        let bytes = self.text.as_bytes();
        let start = memchr::memrchr2(b'\n', b'\r', &bytes[..at]).map_or(0, |before| before + 1);
        for quotes in ["\"\"\"", "'''"] {
            let marks = memchr::memmem::find_iter(&bytes[start..end], quotes);
            if marks.count() % 2 == 1
                && let Some(close) = self.end_of_text(start, end, quotes)
            {
                self.go_to(close);
                self.go_to(line_end(self.text, close));
                return;
            }
        }
        self.go_to(end);
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
        if self.muted.0 <= from && from < self.muted.1 {
            return;
        }
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
        if self.is_on_faulty_line(start) || self.unreadable(start, end) {
            return;
        }
        if !fault.is_contained() {
            let bytes = &self.text.as_bytes()[..start];
            let line = memchr::memrchr2(b'\n', b'\r', bytes).map_or(0, |before| before + 1);
            self.faulty_line = (line, line_end(self.text, start));
            // A second definition that can't be read defines nothing: its own fault stands alone.
            let again = |one: &Problem| {
                matches!(one.fault, Fault::DuplicateKey(_)) && one.span.start as usize >= line
            };
            if self.problems.last().is_some_and(again) {
                self.problems.pop();
            }
        }
        self.push(ProblemKind::Syntax, fault, self.place(start, end), related);
    }

    pub(super) fn is_on_faulty_line(&self, at: usize) -> bool {
        self.faulty_line.0 <= at && at <= self.faulty_line.1
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
