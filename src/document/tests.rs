//! One example of each fault, with the place and the words it is reported in.
//!
//! A place is line and column, the bytes there, and in brackets what else is pointed at.

use super::{Document, Limits, read, read_within};
use crate::text::{FileId, Source};

/// Checks what is reported of a text: all of it, in order.
fn case(text: &str, expected: &[(&str, &str)]) {
    bytes(text.as_bytes(), &Limits::default(), expected);
}

fn bytes(bytes: &[u8], limits: &Limits, expected: &[(&str, &str)]) {
    let source = Source::new("t", bytes.to_vec());
    let document = read_within(FileId(0), &source, limits);
    let found = shown(&source, &document);
    let found: Vec<_> = found
        .iter()
        .map(|(at, message)| (at.as_str(), message.as_str()))
        .collect();
    assert_eq!(found, expected, "of\n{}", source.text());
}

fn shown(source: &Source, document: &Document) -> Vec<(String, String)> {
    let place = |at: usize| {
        let position = source.position(at);
        format!("{}:{}", position.line, position.column)
    };
    document
        .problems()
        .iter()
        .map(|problem| {
            let found = source.slice(problem.span.range());
            let mut at = format!("{} {found}", place(problem.span.start as usize));
            if let Some((other, words)) = problem.related {
                at.push_str(&format!(" ({} {words})", place(other.start as usize)));
            }
            (at, problem.message())
        })
        .collect()
}

/// The examples of `faults.txt`: a text, then for each problem `-> place` and its message below.
/// Blanks at the end of a place aren't compared.
#[test]
fn every_fault_has_an_example() {
    for example in include_str!("faults.txt").split("%%\n") {
        let text_len = example.find("\n-> ").map_or(example.len(), |at| at + 1);
        let (text, expected) = example.split_at(text_len);
        let source = Source::new("t", text.as_bytes().to_vec());
        let document = read(FileId(0), &source);
        let found: String = shown(&source, &document)
            .iter()
            .map(|(at, message)| format!("-> {}\n   {message}\n", at.trim_end()))
            .collect();
        assert_eq!(found, expected, "of\n{text}");
    }
}

#[test]
fn unsafe_characters() {
    case(
        "x = 1 \u{1b}\ny = \"a\u{200b}b\"\nz = \"\\u001b[31m\"\n# \u{202e}\npow\u{1b}er = 3",
        &[
            (
                "1:7 \u{1b}",
                "There is an invisible control character here (U+001B), which TOML doesn't allow. Delete it.",
            ),
            (
                "2:7 \u{200b}",
                "There is an invisible character here (U+200B) that can change how the text looks. Delete it; it may have come along from a web page.",
            ),
            (
                "3:6 \\u001b",
                "`\\u001b` stands for a control character, which could act on the screen that shows it. Take it out.",
            ),
            (
                "4:3 \u{202e}",
                "There is an invisible character here (U+202E) that can change how the text looks. Delete it; it may have come along from a web page.",
            ),
            (
                "5:4 \u{1b}",
                "There is an invisible control character here (U+001B), which TOML doesn't allow. Delete it.",
            ),
        ],
    );
    case(
        "a = 1\rb = 2\r",
        &[(
            "1:6 \r",
            "Lines of this file end in a carriage return alone (2 in all), which other TOML readers refuse. Save the file with line ends of the kind LF or CRLF.",
        )],
    );
}

#[test]
fn bytes_that_are_no_text() {
    let usual = Limits::default();
    bytes(
        b"title = \"caf\xe9\"\nn\xe4me = 1\nx = 2 # \xfc\n",
        &usual,
        &[(
            "1:13 ?",
            "This file isn't wholly UTF-8: 3 bytes can't be read, the first here, and the values they stand in weren't used. Save the file as UTF-8.",
        )],
    );
    bytes(
        b"title = \"caf\xe9\"\n",
        &usual,
        &[(
            "1:13 ?",
            "This file isn't wholly UTF-8: one byte can't be read, and the value it stands in wasn't used. Save the file as UTF-8.",
        )],
    );
    let refused = "This file is saved as UTF-16 and wasn't read. Save it as UTF-8.";
    bytes(b"\xff\xfea\x00=\x001\x00", &usual, &[("1:1 ", refused)]);
    bytes(
        b"a\x00 \x00=\x00 \x001\x00\n\x00",
        &usual,
        &[("1:1 a", refused)],
    );
}

#[test]
fn limits() {
    let few = Limits {
        nesting: 3,
        keys: 5,
        problems: 2,
    };
    bytes(
        b"a = [[[[1]]]]\nb = 2\n",
        &few,
        &[(
            "1:8 [",
            "Tables and lists are nested more than 3 deep here; these weren't read.",
        )],
    );
    bytes(
        b"a.b.c.d = 1\n[a.b.c.d]\n",
        &few,
        &[
            (
                "1:1 a.b.c.d",
                "Tables and lists are nested more than 3 deep here; these weren't read.",
            ),
            (
                "2:1 [a.b.c.d]",
                "Tables and lists are nested more than 3 deep here; these weren't read.",
            ),
        ],
    );
    bytes(
        b"a = [1, 2, 3, 4, 5, 6, 7]\nb = 2\n",
        &few,
        &[(
            "1:18 5",
            "This file has more than 5 keys and values; reading stopped here. Divide it.",
        )],
    );
    bytes(
        b"a\nb\nc\nd\n",
        &few,
        &[
            (
                "1:1 a",
                "`a` has no value. Write `a = \u{2026}`, with its value after the equals sign.",
            ),
            (
                "2:1 b",
                "`b` has no value. Write `b = \u{2026}`, with its value after the equals sign.",
            ),
            (
                "3:1 ",
                "There are 2 more problems in this file that aren't listed.",
            ),
        ],
    );
}

#[test]
fn nothing_is_wrong_with_nothing() {
    case("", &[]);
    case("\u{feff}", &[]);
    case("# only a remark", &[]);
    case("\r\n \t\n", &[]);
    let source = Source::new("t", b"\xef\xbb\xbf# x\n".to_vec());
    assert!(read(FileId(0), &source).root().is_empty());
}
