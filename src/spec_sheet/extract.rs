//! The text of a file of pages, as one process hands it to another: a JSON object on one line.

use serde::{Deserialize, Serialize};

use super::layout::UnreadKind;
use crate::text::{Frame, PagedText, Word};

/// What was taken from a file of pages.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Extract {
    /// The text: a line for each line of a page, a form feed before each page but the first.
    pub text: String,
    /// Its words with their places.
    pub words: Vec<Word>,
    /// What wasn't read, and of which page; of none for the whole file.
    pub unread: Vec<(UnreadKind, Option<u32>)>,
}

#[derive(Serialize, Deserialize)]
struct Wire {
    text: String,
    words: Vec<(u32, u32, f64, f64, f64, f64, bool)>,
    unread: Vec<(String, Option<u32>)>,
}

const KINDS: [(&str, UnreadKind); 6] = [
    ("damaged", UnreadKind::Damaged),
    ("encrypted", UnreadKind::Encrypted),
    ("picture", UnreadKind::Picture),
    ("scanned-page", UnreadKind::ScannedPage),
    ("too-large", UnreadKind::TooLarge),
    ("too-much-work", UnreadKind::TooMuchWork),
];

impl Extract {
    /// Of a file of which nothing was read.
    pub fn unread(what: UnreadKind) -> Extract {
        Extract {
            unread: vec![(what, None)],
            ..Extract::default()
        }
    }

    /// Notes that something of a page wasn't read.
    pub fn not_read(&mut self, what: UnreadKind, page: u32) {
        let one = (what, Some(page));
        if !self.unread.contains(&one) {
            self.unread.push(one);
        }
    }

    /// As one line.
    pub fn to_wire(&self) -> String {
        // A tenth of a point is finer than any letter.
        let tenth = |value: f64| (value * 10.0).round() / 10.0;
        let words = self.words.iter().map(|word| {
            let frame = word.frame;
            let (x0, y0, x1, y1) = (
                tenth(frame.x0),
                tenth(frame.y0),
                tenth(frame.x1),
                tenth(frame.y1),
            );
            (word.start, word.end, x0, y0, x1, y1, word.bold)
        });
        let unread = self.unread.iter().filter_map(|(what, page)| {
            let (word, _) = KINDS.iter().find(|(_, kind)| kind == what)?;
            Some(((*word).to_owned(), *page))
        });
        let wire = Wire {
            text: self.text.clone(),
            words: words.collect(),
            unread: unread.collect(),
        };
        serde_json::to_string(&wire).unwrap_or_default()
    }

    /// Reads such a line. Nothing if it isn't one, or if what it holds can't be: the process that wrote it may
    /// have been led astray by the file it read.
    pub fn parse(line: &[u8]) -> Option<Extract> {
        let wire: Wire = serde_json::from_slice(line).ok()?;
        let words = wire
            .words
            .into_iter()
            .map(|(start, end, x0, y0, x1, y1, bold)| Word {
                start,
                end,
                frame: Frame { x0, y0, x1, y1 },
                bold,
            });
        let extract = Extract {
            words: words.collect(),
            unread: wire
                .unread
                .into_iter()
                .filter_map(|(word, page)| {
                    Some((KINDS.iter().find(|(name, _)| *name == word)?.1, page))
                })
                .collect(),
            text: wire.text,
        };
        extract.paged().is_some().then_some(extract)
    }

    /// The text with its places.
    pub fn paged(&self) -> Option<PagedText> {
        PagedText::new(self.text.clone(), self.words.clone())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_again() {
        let frame = Frame {
            x0: 1.0,
            y0: 2.5,
            x1: 3.0,
            y1: 4.0,
        };
        let mut extract = Extract {
            text: "6 ft\n\u{c}\n".into(),
            words: vec![
                Word {
                    start: 0,
                    end: 1,
                    frame,
                    bold: true,
                },
                Word {
                    start: 2,
                    end: 4,
                    frame,
                    bold: false,
                },
            ],
            unread: Vec::new(),
        };
        extract.not_read(UnreadKind::ScannedPage, 2);
        extract.not_read(UnreadKind::ScannedPage, 2);
        let read = Extract::parse(extract.to_wire().as_bytes());
        assert_eq!(read, Some(extract));
    }

    #[test]
    fn what_can_not_be_is_refused() {
        for line in [
            "",
            "{}",
            r#"{"text":"a","words":[[0,2,0,0,1,1,false]],"unread":[]}"#,
        ] {
            assert_eq!(Extract::parse(line.as_bytes()), None, "{line}");
        }
    }
}
