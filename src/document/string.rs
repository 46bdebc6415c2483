//! Text in quotes: its reading, its escapes, and where to go on when a quote is missing.

use std::borrow::Cow;

use toml_parser::lexer::TokenKind;

use super::item::Kind;
use super::marks::{MarkKind, is_unsafe};
use super::problem::{Fault, ProblemKind};
use super::reader::{Found, Reader};
use super::recover::{LineLook, look, resume_before};
use super::tokens::Token;
use super::tree::{DECODED, NONE, Node, SUSPECT, narrow};
use super::value::Slot;

impl<'s> Reader<'s, '_> {
    /// A quoted text.
    pub(super) fn string(&mut self, slot: Slot<'_, 's>, token: Token) -> u32 {
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
                // The place of a slice of the source in it; an empty one may be anywhere, and is
                // taken to stand behind the opening quotes.
                let from = if text.is_empty() {
                    let quotes = if is_long(token.kind) { 3 } else { 1 };
                    token.start + quotes
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

    /// Whether a text may have been meant otherwise, which the next line tells: its own last
    /// line is `key =` and the closing quotes, or it is empty and may lack a third quote.
    pub(super) fn is_doubtful(&self, node: u32) -> bool {
        let found = self.document.node(node);
        let (start, end) = (found.at.0 as usize, found.at.1 as usize);
        let written = &self.text[start..end];
        if found.kind == Kind::String && (written == "\"\"" || written == "''") {
            return true;
        }
        if found.kind != Kind::String
            || !(written.starts_with("\"\"\"") || written.starts_with("'''"))
        {
            return false;
        }
        let Some(line) = written.rfind('\n') else {
            return false;
        };
        let line = start + line + 1;
        let before = self.text[line..end].trim_end_matches(['"', '\'']);
        before.trim_end().ends_with('=') && look(self.text, line) == LineLook::Pair
    }

    /// Where three quotation marks close what an empty text at `start` may have begun: further
    /// down, with nothing between that is a header or a key.
    pub(super) fn end_of_unopened(&mut self, start: usize) -> Option<usize> {
        let quotes = if self.text[start..].starts_with('"') {
            "\"\"\""
        } else {
            "'''"
        };
        self.end_of_text(start, start + 2, quotes)
    }

    /// Where the next of these quotes after `from` end, if no header and no key stands between
    /// them and the line of `start`.
    pub(super) fn end_of_text(&mut self, start: usize, from: usize, quotes: &str) -> Option<usize> {
        let below = &self.text.as_bytes()[from..];
        let below = &below[..below.len().min(self.budget)];
        let found = memchr::memmem::find(below, quotes.as_bytes());
        self.budget -= found.unwrap_or(below.len());
        let close = from + found?;
        match resume_before(self.text, start, close) {
            None => Some(close + 3),
            Some(_) => None,
        }
    }

    /// Takes an empty text and what follows, to `stop`, as one that wasn't opened right.
    pub(super) fn take_as_text(&mut self, node: u32, stop: usize) {
        let (start, end) = self.document.node(node).at;
        let (start, end) = (start as usize, end as usize);
        let quotes = if self.text[start..].starts_with('"') {
            "\"\"\""
        } else {
            "'''"
        };
        self.report(Fault::UnopenedText(quotes), start, end);
        self.spoil(node);
        self.document.node_mut(node).at.1 = narrow(stop);
        self.go_to(stop);
    }

    /// Whether the text of this node ends with `key =`, so that its closing quote must have been
    /// forgotten and the next text's opening quote taken for it. Reports it if so.
    pub(super) fn swallowed_a_key(&mut self, node: u32) -> bool {
        let found = self.document.node(node);
        if found.kind != Kind::String || found.has(DECODED) {
            return false;
        }
        let start = found.at.0 as usize;
        let text = self.document.string(found).trim_end();
        if !text.ends_with('=') {
            return false;
        }
        let quote = if self.text[start..].starts_with('"') {
            '"'
        } else {
            '\''
        };
        self.report(Fault::UnclosedString(quote), start, start + 1);
        self.spoil(node);
        true
    }

    /// The reading of a quoted key or string, and what is wrong with it, not yet reported.
    pub(super) fn decode(&mut self, token: Token) -> (Cow<'s, str>, Option<Found>) {
        let written = self.slice(token);
        let long = is_long(token.kind);
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
        let encoding = token.kind.encoding();
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
        let escape = &self.text[start..token.end];
        let digits = match escape.as_bytes().get(1) {
            Some(b'x') => 2,
            Some(b'u') => 4,
            Some(b'U') => 8,
            _ => 0,
        };
        let digit = |c: &char| c.is_ascii_hexdigit();
        let digits = escape.chars().skip(2).take(digits).take_while(digit);
        let len = escape.chars().take(2).map(char::len_utf8).sum::<usize>() + digits.count();
        let end = start + len;
        (Fault::BadEscape(self.text[start..end].into()), start, end)
    }

    /// Looks for escapes that only TOML 1.1 has, and for those of unsafe characters; true if
    /// there is one of the latter.
    pub(super) fn look_at_escapes(&mut self, token: Token) -> bool {
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
}

fn is_long(kind: TokenKind) -> bool {
    matches!(kind, TokenKind::MlBasicString | TokenKind::MlLiteralString)
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
