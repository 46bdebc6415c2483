//! Where the words of a text stand that was taken from pages.
//!
//! Such a text has a line for each line of a page; each page but the first begins with a form feed. Its bytes
//! are none of the file's, so a place is a page and a box on it.

/// A box on a page, in points of 1/72 inch, from the lower left corner of the page as it is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// Left edge.
    pub x0: f64,
    /// Lower edge.
    pub y0: f64,
    /// Right edge.
    pub x1: f64,
    /// Upper edge.
    pub y1: f64,
}

impl Frame {
    /// The smallest box round both.
    pub fn around(self, other: Frame) -> Frame {
        Frame {
            x0: self.x0.min(other.x0),
            y0: self.y0.min(other.y0),
            x1: self.x1.max(other.x1),
            y1: self.y1.max(other.y1),
        }
    }

    /// From the lower to the upper edge.
    pub fn height(self) -> f64 {
        self.y1 - self.y0
    }
}

/// A word of the text and where it stands on its page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Word {
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
    /// Its box.
    pub frame: Frame,
    /// Whether it is set in bold.
    pub bold: bool,
}

/// A text that was taken from pages, with the places of its words.
#[derive(Debug, Clone, Default)]
pub struct PagedText {
    text: String,
    words: Vec<Word>,
    /// Where each page begins.
    starts: Vec<u32>,
}

impl PagedText {
    /// Puts both together. Nothing if a word doesn't stand in the text after the one before it, or a box isn't
    /// of numbers.
    pub fn new(text: String, words: Vec<Word>) -> Option<PagedText> {
        let mut last = 0;
        for word in &words {
            let (start, end) = (word.start as usize, word.end as usize);
            let frame = word.frame;
            let numbers = [frame.x0, frame.y0, frame.x1, frame.y1];
            let stands = start >= last && start < end && text.get(start..end).is_some();
            if !stands || !numbers.iter().all(|number| number.is_finite()) {
                return None;
            }
            last = end;
        }
        let feeds = memchr::memchr_iter(0x0c, text.as_bytes());
        let starts =
            std::iter::once(0).chain(feeds.map(|at| u32::try_from(at).unwrap_or(u32::MAX)));
        let starts = starts.collect();
        Some(PagedText {
            text,
            words,
            starts,
        })
    }

    /// The text.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Gives the text away; what stays are the places.
    pub(super) fn take_text(&mut self) -> String {
        std::mem::take(&mut self.text)
    }

    /// Its words, in order.
    pub fn words(&self) -> &[Word] {
        &self.words
    }

    /// How many pages it has.
    pub fn pages(&self) -> usize {
        self.starts.len()
    }

    /// The page, from 1, that byte `at` stands on.
    pub fn page(&self, at: usize) -> u32 {
        let at = u32::try_from(at).unwrap_or(u32::MAX);
        let page = self.starts.partition_point(|&start| start <= at);
        u32::try_from(page).unwrap_or(u32::MAX).max(1)
    }

    /// First byte of page `page`, from 1.
    pub fn start(&self, page: u32) -> Option<usize> {
        let page = usize::try_from(page).ok()?.checked_sub(1)?;
        self.starts.get(page).map(|&start| start as usize)
    }

    /// The words that `range` touches.
    pub fn words_in(&self, range: std::ops::Range<usize>) -> &[Word] {
        let from = self
            .words
            .partition_point(|word| word.end as usize <= range.start);
        let to = self
            .words
            .partition_point(|word| (word.start as usize) < range.end);
        self.words.get(from..to.max(from)).unwrap_or_default()
    }

    /// The box round what stands at `range` on the page on which it begins.
    pub fn frame(&self, range: std::ops::Range<usize>) -> Option<Frame> {
        let page = self.page(range.start);
        let words = self.words_in(range).iter();
        let words = words.filter(|word| self.page(word.start as usize) == page);
        words.map(|word| word.frame).reduce(Frame::around)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn word(start: u32, end: u32, x0: f64) -> Word {
        let frame = Frame {
            x0,
            y0: 10.0,
            x1: x0 + 5.0,
            y1: 20.0,
        };
        Word {
            start,
            end,
            frame,
            bold: false,
        }
    }

    #[test]
    fn a_byte_stands_on_a_page_and_a_word_in_a_box() {
        let text = "8 ft deep\n\x0c\n\x0c40 W\n".to_owned();
        let words = vec![
            word(0, 1, 1.0),
            word(2, 4, 8.0),
            word(5, 9, 20.0),
            word(13, 15, 1.0),
            word(16, 17, 7.0),
        ];
        let paged = PagedText::new(text, words).unwrap();
        assert_eq!(paged.pages(), 3);
        assert_eq!(
            [0, 9, 10, 12, 13, 99].map(|at| paged.page(at)),
            [1, 1, 2, 3, 3, 3]
        );
        assert_eq!(paged.start(2), Some(10));
        let frame = paged.frame(0..4).unwrap();
        assert_eq!((frame.x0, frame.x1), (1.0, 13.0));
        assert_eq!(paged.frame(9..10), None);
        assert_eq!(paged.frame(5..17).unwrap().x0, 20.0);
    }

    #[test]
    fn words_that_do_not_stand_in_the_text_are_refused() {
        for words in [
            vec![word(0, 9, 0.0)],
            vec![word(1, 2, 0.0)],
            vec![word(3, 4, 0.0), word(0, 1, 0.0)],
        ] {
            assert!(
                PagedText::new("a½c".into(), words.clone()).is_none(),
                "{words:?}"
            );
        }
        assert!(PagedText::new("abc".into(), vec![word(0, 1, f64::NAN)]).is_none());
    }
}
