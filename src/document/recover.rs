//! Where to go on after a bracket or a quote that is never closed.
//!
//! TOML lets lists and triple-quoted text run over many lines, so a missing `]` would take
//! the rest of the file with it. These functions look at the text of a line alone and tell
//! whether it can only be the beginning of something new.

use toml_parser::lexer::TokenKind;

use super::tokens::Tokens;

/// What a line looks like from its own text.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum LineLook {
    /// Wholly `[name]` or `[[name]]`; `as_list` when the same text could be a list of plain
    /// values too, like `[2]` or `["a"]`.
    Header { as_list: bool },
    /// Begins with `name =`.
    Pair,
    /// Anything else.
    Other,
}

/// First byte of the line end at or after `at`, or the end of the text.
pub(super) fn line_end(text: &str, at: usize) -> usize {
    let rest = text.as_bytes().get(at..).unwrap_or(&[]);
    memchr::memchr2(b'\n', b'\r', rest).map_or(text.len(), |skip| at + skip)
}

/// How the line that begins at `at` looks.
pub(super) fn look(text: &str, at: usize) -> LineLook {
    let line = &text.as_bytes()[at..line_end(text, at)];
    let start = skip_blank(line, 0);
    match line.get(start) {
        Some(b'[') => header(line, start),
        Some(_) => match dotted(line, start) {
            Some((end, _)) if line.get(skip_blank(line, end)) == Some(&b'=') => LineLook::Pair,
            _ => LineLook::Other,
        },
        None => LineLook::Other,
    }
}

/// The line end before the first line after `from` and before `to` that is a header or begins
/// a `key = value` with something that can be a value: where to go on when a
/// triple quote is never closed.
pub(super) fn resume_before(text: &str, from: usize, to: usize) -> Option<usize> {
    let mut end = line_end(text, from);
    while end < to {
        let bytes = text.as_bytes();
        let len = if bytes[end..].starts_with(b"\r\n") {
            2
        } else {
            1
        };
        let start = end + len;
        if start >= to {
            return None;
        }
        let found = match look(text, start) {
            LineLook::Header { .. } => true,
            LineLook::Pair => {
                let line = &text[start..line_end(text, start)];
                let value = line.split_once('=').map_or("", |(_, value)| value.trim());
                value.starts_with(|c: char| c.is_ascii_digit() || "\"'[{+-tf".contains(c))
            }
            LineLook::Other => false,
        };
        if found {
            return Some(end);
        }
        end = line_end(text, start);
    }
    None
}

/// Whether an inline table that is still open at the line end `from` is closed further down,
/// by the rules of TOML 1.1; the place of its brace if so.
///
/// `budget` is taken down by the bytes looked at, and no more are looked at once it is gone,
/// so that a file of nothing but open braces is still read in linear time.
pub(super) fn brace_closes(
    text: &str,
    from: usize,
    after_separator: bool,
    budget: &mut usize,
) -> Option<usize> {
    let mut tokens = Tokens::new(text);
    tokens.seek(from);
    let mut open = vec![b'{'];
    // Whether the last thing was a comma or an opening bracket, so that a new entry may follow.
    let mut separated = after_separator;
    let mut line_began = false;
    loop {
        let token = tokens.next();
        let in_table = open.last() == Some(&b'{');
        let looked_at = token.end.saturating_sub(from);
        if looked_at > *budget || token.kind == TokenKind::Eof {
            *budget = budget.saturating_sub(looked_at);
            return None;
        }
        let mut ok = true;
        match token.kind {
            TokenKind::Whitespace | TokenKind::Comment => continue,
            TokenKind::Newline => {
                line_began = true;
                ok = !matches!(look(text, token.end), LineLook::Header { as_list }
                    if in_table || !separated || !as_list)
                    && (in_table || look(text, token.end) != LineLook::Pair);
                if ok {
                    continue;
                }
            }
            // A break beside `=` is a fault of its own, and no sign that the braces ended.
            TokenKind::Comma | TokenKind::Equals => separated = true,
            TokenKind::LeftSquareBracket | TokenKind::LeftCurlyBracket => {
                ok = !(line_began && in_table);
                let bracket = text.as_bytes()[token.start];
                open.push(bracket);
                separated = true;
            }
            TokenKind::RightSquareBracket | TokenKind::RightCurlyBracket => {
                ok = in_table == (token.kind == TokenKind::RightCurlyBracket);
                open.pop();
                if ok && open.is_empty() {
                    *budget = budget.saturating_sub(looked_at);
                    return Some(token.start);
                }
                separated = false;
            }
            _ => {
                ok = !(line_began && in_table && !separated);
                separated = false;
            }
        }
        if !ok {
            *budget = budget.saturating_sub(looked_at);
            return None;
        }
        line_began = false;
    }
}

fn header(line: &[u8], start: usize) -> LineLook {
    let double = line.get(start + 1) == Some(&b'[');
    let brackets = if double { 2 } else { 1 };
    let name = skip_blank(line, start + brackets);
    let Some((end, dots)) = dotted(line, name) else {
        return LineLook::Other;
    };
    let close = skip_blank(line, end);
    if !line[close..].starts_with(&b"]]"[..brackets]) {
        return LineLook::Other;
    }
    let after = skip_blank(line, close + brackets);
    if !matches!(line.get(after), None | Some(b'#')) {
        return LineLook::Other;
    }
    let content = std::str::from_utf8(&line[name..end]).unwrap_or("");
    let quoted = content.starts_with(['"', '\'']) && dots == 0;
    let as_list = quoted || super::scalar::read(content).is_ok();
    LineLook::Header { as_list }
}

/// End of the dotted key at `at`, and how many dots it has.
fn dotted(line: &[u8], mut at: usize) -> Option<(usize, usize)> {
    let mut dots = 0;
    loop {
        at = simple(line, at)?;
        let dot = skip_blank(line, at);
        if line.get(dot) != Some(&b'.') {
            return Some((at, dots));
        }
        dots += 1;
        at = skip_blank(line, dot + 1);
    }
}

fn simple(line: &[u8], at: usize) -> Option<usize> {
    match line.get(at)? {
        quote @ (b'"' | b'\'') => {
            let mut end = at + 1;
            while line.get(end)? != quote {
                end += if *quote == b'"' && line[end] == b'\\' {
                    2
                } else {
                    1
                };
            }
            Some(end + 1)
        }
        _ => {
            let len = line[at..].iter().take_while(|b| is_bare(**b)).count();
            (len > 0).then_some(at + len)
        }
    }
}

/// Whether a key without quotes may hold this byte.
pub(super) fn is_bare(byte: u8) -> bool {
    BARE[byte as usize]
}

const BARE: [bool; 256] = {
    let mut table = [false; 256];
    let mut byte = 0_u8;
    while byte < 0x80 {
        table[byte as usize] = byte.is_ascii_alphanumeric() || byte == b'_' || byte == b'-';
        byte += 1;
    }
    table
};

fn skip_blank(line: &[u8], at: usize) -> usize {
    let rest = line.get(at..).unwrap_or(&[]);
    at + rest
        .iter()
        .take_while(|byte| matches!(byte, b' ' | b'\t'))
        .count()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_is_known_by_its_own_text() {
        let sure = LineLook::Header { as_list: false };
        let either = LineLook::Header { as_list: true };
        for (line, expected) in [
            ("[site]", sure),
            ("  [[package.mill-pair.option]] # one way", sure),
            ("[ \"a b\" . c ]", sure),
            ("[2]", either),
            ("[1.5]", either),
            ("[true]", either),
            ("[\"a\"]", either),
            ("[compressor.38]", sure),
            ("[1, 2]", LineLook::Other),
            ("[a],", LineLook::Other),
            ("[a", LineLook::Other),
            ("max_pressure = \"24 kPa\"", LineLook::Pair),
            ("a.\"b c\" . d=", LineLook::Pair),
            ("\"38 W\",", LineLook::Other),
            ("\"unclosed = 1", LineLook::Other),
            ("{ a = 1 }", LineLook::Other),
            ("", LineLook::Other),
        ] {
            assert_eq!(look(line, 0), expected, "{line}");
        }
    }

    #[test]
    fn an_open_brace_is_followed_to_its_end() {
        let closes = |text: &str| {
            let from = line_end(text, 0);
            let separated = text[..from].trim_end().ends_with(['{', ',']);
            brace_closes(text, from, separated, &mut 1000)
        };
        let whole = "{\na = 1,\nb = [\n[2],\n],\n}";
        assert_eq!(closes(whole), whole.rfind('}'));
        assert_eq!(closes("{ a = 1\n}"), Some(8));
        assert_eq!(closes("{ a = 1\nb = 2\n}"), None);
        assert_eq!(closes("{ a = 1,\nb = 2\n[c]\n}"), None);
        assert_eq!(closes("{ a = 1,\nb = 2\n"), None);
        assert_eq!(closes("{ a = 1,\n{ b = 2 }\n}"), None);
        assert_eq!(brace_closes("{\na = 1 }", 1, true, &mut 3), None);
    }
}
