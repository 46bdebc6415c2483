//! Which bytes a decoded text stands for, where entities and line ends were changed.

use std::ops::Range;

use super::layout::Layout;

/// Adds `decoded`, which stands for `written` at byte `start` of the file.
///
/// Both run along together: what is the same stands for itself; an entity stands for the character it
/// names; a carriage return that was dropped stands for nothing.
pub fn push(layout: &mut Layout, decoded: &str, written: &str, start: usize) {
    // Mostly one is the other itself.
    let is_itself = std::ptr::eq(decoded, written);
    if is_itself || decoded == written {
        layout.push(decoded, start..start + written.len());
        return;
    }
    for (text, source) in parts(decoded, written) {
        layout.push(text, start + source.start..start + source.end);
    }
}

/// The parts of `decoded`, each with its bytes in `written`.
fn parts<'a>(decoded: &'a str, written: &str) -> Vec<(&'a str, Range<usize>)> {
    if decoded == written {
        return vec![(decoded, 0..written.len())];
    }
    let mut found = Vec::new();
    let (mut at, mut there) = (0, 0);
    let (mut same_at, mut same_there) = (0, 0);
    let (d, w) = (decoded.as_bytes(), written.as_bytes());
    while at < d.len() {
        // The usual run is the same on both sides, up to an entity or a carriage return.
        while at < d.len()
            && there < w.len()
            && d[at] == w[there]
            && !matches!(w[there], b'&' | b'\r')
        {
            at += 1;
            there += 1;
        }
        // Back to the beginning of a character, should one differ only in its later bytes.
        while at > same_at && !decoded.is_char_boundary(at) {
            at -= 1;
            there -= 1;
        }
        if at > same_at {
            found.push((&decoded[same_at..at], same_there..there));
        }
        if at >= d.len() {
            break;
        }
        let next = next_char(decoded, at);
        if w.get(there) == Some(&b'&') {
            let entity = entity_len(&w[there..]);
            if entity > 1 {
                // Few entities name two characters; the second is then a mark on the first.
                let mut end = next;
                while end < d.len()
                    && decoded[end..].starts_with(['\u{338}', '\u{20d2}', '\u{20e5}', '\u{fe00}'])
                {
                    end = next_char(decoded, end);
                }
                found.push((&decoded[at..end], there..there + entity));
                at = end;
                there += entity;
            } else {
                found.push((&decoded[at..next], there..there + 1));
                at = next;
                there += 1;
            }
        } else if w.get(there) == Some(&b'\r') {
            if d[at] == b'\r' {
                at += 1;
            } else if w.get(there + 1) != Some(&b'\n') && d[at] == b'\n' {
                // A lone carriage return was made a line feed.
                at += 1;
            }
            there += 1;
        } else {
            // Nothing known does this; the character is given the next of the source.
            let step = written
                .get(there..)
                .and_then(|rest| rest.chars().next())
                .map_or(0, char::len_utf8);
            found.push((&decoded[at..next], there..there + step));
            at = next;
            there += step;
            if step == 0 {
                there = w.len();
            }
        }
        (same_at, same_there) = (at, there);
    }
    found
}

fn next_char(text: &str, at: usize) -> usize {
    at + text[at..].chars().next().map_or(1, char::len_utf8)
}

/// Length of the character reference at the beginning; 1 if there is none.
fn entity_len(bytes: &[u8]) -> usize {
    let body = |from: usize, is: fn(&u8) -> bool| {
        from + bytes[from..].iter().take(32).take_while(|b| is(b)).count()
    };
    let end = match (bytes.get(1), bytes.get(2)) {
        (Some(b'#'), Some(b'x' | b'X')) => body(3, u8::is_ascii_hexdigit),
        (Some(b'#'), _) => body(2, u8::is_ascii_digit),
        (Some(b), _) if b.is_ascii_alphabetic() => body(1, u8::is_ascii_alphanumeric),
        _ => return 1,
    };
    if bytes.get(end) == Some(&b';') {
        end + 1
    } else if matches!(bytes.get(1), Some(b'#')) {
        end
    } else {
        // Old names are entities without their semicolon too; which ones, the decoder knew.
        OLD_NAMES
            .iter()
            .find(|name| bytes[1..].starts_with(name.as_bytes()))
            .map_or(1, |name| 1 + name.len())
    }
}

/// Names that stand without a semicolon and matter to figures; the longer before its beginning.
static OLD_NAMES: &[&str] = &[
    "frac14", "frac12", "frac34", "sup1", "sup2", "sup3", "nbsp", "deg", "plusmn", "times",
    "middot", "quot", "amp", "lt", "gt", "cent", "pound", "yen", "eacute", "auml", "ouml", "uuml",
    "szlig", "reg", "copy", "laquo", "raquo", "micro", "acute",
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entities_and_line_ends_keep_their_places() {
        let written = "250&nbsp;m&sup3;/h\r\n& x &#189; &frac12 y";
        let decoded = "250\u{a0}m³/h\n& x ½ ½ y";
        let found = parts(decoded, written);
        let joined: String = found.iter().map(|(text, _)| *text).collect();
        assert!(decoded.starts_with(&joined[..8]));
        let place = |text: &str| {
            found
                .iter()
                .find(|(part, _)| *part == text)
                .map(|(_, at)| &written[at.clone()])
        };
        assert_eq!(place("\u{a0}"), Some("&nbsp;"));
        assert_eq!(place("³"), Some("&sup3;"));
        assert_eq!(place("½"), Some("&#189;"));
        assert_eq!(
            found.last().map(|(text, at)| (*text, &written[at.clone()])),
            Some((" y", " y"))
        );
    }
}
