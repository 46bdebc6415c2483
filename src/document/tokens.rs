//! The tokens of a text, one at a time and from any place.

use toml_parser::lexer::{Lexer, TokenKind};

/// One token and the bytes it stands on.
#[derive(Debug, Clone, Copy)]
pub(super) struct Token {
    pub kind: TokenKind,
    pub start: usize,
    pub end: usize,
}

/// Gives the tokens of a text in order; [`Tokens::seek`] goes on elsewhere.
///
/// Nothing is kept but the token looked at, so reading costs no memory beside the tree.
pub(super) struct Tokens<'s> {
    text: &'s str,
    base: usize,
    lexer: Lexer<'s>,
    current: Token,
}

impl<'s> Tokens<'s> {
    /// From the beginning of `text`; a byte-order mark there is passed over.
    pub fn new(text: &'s str) -> Self {
        let mut tokens = Tokens {
            text,
            base: 0,
            lexer: toml_parser::Source::new(text).lex(),
            current: Token {
                kind: TokenKind::Eof,
                start: 0,
                end: 0,
            },
        };
        tokens.advance();
        tokens
    }

    /// Goes on at byte `at`, which has to be the first of a character.
    pub fn seek(&mut self, at: usize) {
        let rest = self.text.get(at..).unwrap_or("");
        self.base = self.text.len() - rest.len();
        self.lexer = toml_parser::Source::new(rest).lex();
        self.advance();
    }

    fn advance(&mut self) {
        self.current = match self.lexer.next() {
            Some(token) => Token {
                kind: token.kind(),
                start: self.base + token.span().start(),
                end: self.base + token.span().end(),
            },
            None => Token {
                kind: TokenKind::Eof,
                start: self.text.len(),
                end: self.text.len(),
            },
        };
    }

    /// The next token, taken.
    pub fn next(&mut self) -> Token {
        let token = self.current;
        self.advance();
        token
    }

    /// The next token, left where it is.
    pub fn peek(&self) -> Token {
        self.current
    }

    /// The next token that isn't blank space, left where it is.
    pub fn peek_past_space(&mut self) -> Token {
        if self.current.kind == TokenKind::Whitespace {
            // The lexer gives a stretch of blanks as one token.
            self.advance();
        }
        self.current
    }
}

/// Whether a line ends before this token.
pub(super) fn ends_line(kind: TokenKind) -> bool {
    matches!(
        kind,
        TokenKind::Newline | TokenKind::Eof | TokenKind::Comment
    )
}
