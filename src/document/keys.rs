//! Keys, and the way from a key to its value.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::problem::Fault;
use super::reader::{Found, Part, Reader, is_string, opens};
use super::recover::{LineLook, is_bare, line_end, look};
use super::tokens::{Token, ends_line};
use super::tree::NONE;
use super::value::Slot;

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

impl<'s> Reader<'s, '_> {
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
    pub(super) fn go_to_value(&mut self, parts: &[Part<'s>], start: usize, sound: bool) -> Next {
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
            TokenKind::Newline if sound && self.goes_on_below(token, |c| c == '=') => {
                self.report(Fault::PairOverLines, start, token.start);
                while self.tokens.next().kind != TokenKind::Equals {}
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
                let nameless =
                    text[start..end].starts_with(|c: char| c.is_ascii_digit() || c == '"');
                let fault = if !self.open.is_empty() && nameless {
                    Fault::BracesNeedKey
                } else {
                    self.odd_line(start).unwrap_or(Fault::KeyAlone(key()))
                };
                self.report(fault, start, end);
                if ends_line(kind) || kind == TokenKind::RightSquareBracket {
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

    /// Whether braces are open and the next line with anything on it begins with what belongs
    /// before this line end.
    pub(super) fn goes_on_below(&self, line_end: Token, wanted: fn(char) -> bool) -> bool {
        let below = self.text[line_end.start..].trim_start();
        self.open.last() == Some(&b'{')
            && below.starts_with(wanted)
            && look(self.text, self.text.len() - below.len()) == LineLook::Other
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
                let line = &self.text[token.start..line_end(self.text, token.start)];
                let otherwise = if line.contains('=') || !self.open.is_empty() {
                    Fault::KeyCharacter(fix.into(), odd)
                } else {
                    Fault::NotALine
                };
                fault = Some((
                    self.odd_line(token.start).unwrap_or(otherwise),
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
        if fault.is_none() && matches!(text, Cow::Owned(_)) {
            self.look_at_escapes(token);
        }
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
}

/// A dotted key as it is written.
pub(super) fn written_key<'t>(text: &'t str, parts: &[Part<'_>]) -> &'t str {
    match (parts.first(), parts.last()) {
        (Some(first), Some(last)) => &text[first.start..last.end],
        _ => "",
    }
}
