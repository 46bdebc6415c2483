//! Names of one family: `Reed 60` beside the `Reed 50` that the page doesn't offer.
//!
//! A page names what it offers in its title, its headings and the heads of its tables. A sentence that names
//! another number of the same family speaks of another thing.

use std::ops::Range;

use hashbrown::{HashMap, HashSet};

use super::layout::{Passage, Role};
use super::lexicon;
use super::scope::Scope;
use super::unit_words;
use super::vocabulary;
use super::word::stretches;

/// A name with its family: its bytes in a text, the word before the number, and the number.
#[derive(Debug, PartialEq)]
struct Name {
    at: Range<usize>,
    family: String,
    number: String,
}

/// The names that a page offers, by family.
#[derive(Default)]
pub(super) struct Families {
    offered: HashMap<String, HashSet<String>>,
}

/// How many names of a page are remembered.
const MOST: usize = 4096;

impl Families {
    /// Of the titles, headings and heads of a page.
    pub(super) fn of(passages: &[Passage]) -> Families {
        let mut families = Families::default();
        for passage in passages {
            let names = names(&passage.text);
            if names.is_empty()
                || families.offered.len() >= MOST
                || Scope::of_head(&passage.text, None).is_some()
            {
                continue;
            }
            // A heading names what is offered, and so does what a cell or a label begins with.
            let heads = match passage.role {
                Role::Heading(level) => level <= 2,
                Role::Cell { row, column, .. } => row <= 1 || column <= 1,
                _ => false,
            };
            let text = passage.text.as_str();
            for name in names {
                let rest = text.get(name.at.end..).unwrap_or("");
                let is_label = name.at.start == 0
                    && match passage.role {
                        Role::Cell { .. } => rest.len() <= name.at.len(),
                        _ => rest.is_empty() || rest.starts_with(':'),
                    };
                if heads || is_label {
                    let numbers = families.offered.entry(name.family).or_default();
                    numbers.insert(name.number);
                }
            }
        }
        families
    }

    /// The names of offered families in a sentence: where each stands, and whether it is offered.
    pub(super) fn known(&self, text: &str, sentence: Range<usize>) -> Known {
        let mut places = Vec::new();
        if !self.offered.is_empty()
            && let Some(written) = text.get(sentence.clone())
        {
            places.extend(names(written).into_iter().filter_map(|name| {
                let offered = self.offered.get(&name.family)?.contains(&name.number);
                Some((sentence.start + name.at.start, offered))
            }));
        }
        Known { sentence, places }
    }
}

/// The names of offered families in a sentence.
pub(super) struct Known {
    pub(super) sentence: Range<usize>,
    places: Vec<(usize, bool)>,
}

impl Known {
    /// Whether a figure at a place is said of a thing of an offered family that isn't offered: by the name before it,
    /// or by the first one of the sentence.
    pub(super) fn is_of_sibling(&self, place: usize) -> bool {
        let before = self.places.iter().rev().find(|(start, _)| *start < place);
        before
            .or(self.places.first())
            .is_some_and(|(_, offered)| !offered)
    }
}

/// The names in a text: a word with a capital and a number, together, behind a stroke or a blank.
fn names(text: &str) -> Vec<Name> {
    const LONGEST: usize = 400;
    let mut found = Vec::new();
    if text.len() > LONGEST * 4 {
        return found;
    }
    let is_stroke = |c: char| matches!(c, '-' | '\u{2010}' | '\u{2011}' | ' ' | '\u{a0}');
    let mut before: Option<Range<usize>> = None;
    for word in stretches(text) {
        let written = &text[word.clone()];
        let letters = written.chars().take_while(|c| c.is_alphabetic()).count();
        let split = written
            .char_indices()
            .nth(letters)
            .map_or(written.len(), |(at, _)| at);
        let (stem, number) = written.split_at(split);
        let joined = before.clone().filter(|before| {
            let gap = &text[before.end..word.start];
            gap.chars().count() == 1 && gap.chars().all(is_stroke)
        });
        let name = if !stem.is_empty() && is_number(number) {
            Some((word.start, stem.to_owned(), number))
        } else if stem.is_empty() && is_number(number) || is_roman(written) {
            joined.map(|joined| (joined.start, text[joined].to_owned(), written))
        } else {
            None
        };
        if let Some((start, family, number)) = name
            && is_family(&family)
            && !(stem.is_empty() && unit_words::whole(&family).is_some())
            && !is_measured(text, word.end)
        {
            found.push(Name {
                at: start..word.end,
                family: family.to_lowercase(),
                number: number.to_lowercase(),
            });
        }
        before = Some(word);
    }
    found
}

/// Up to four figures, with at most a letter behind them; no year.
fn is_number(text: &str) -> bool {
    let figures = text.bytes().take_while(u8::is_ascii_digit).count();
    let is_year = figures == 4 && (text.starts_with("19") || text.starts_with("20"));
    (1..=4).contains(&figures) && text.len() <= figures + 1 && !is_year
}

fn is_roman(text: &str) -> bool {
    matches!(text, "I" | "II" | "III" | "IV" | "V" | "VI")
}

/// Whether a word may be a family's: it has a capital, and means nothing of the trade.
fn is_family(word: &str) -> bool {
    word.starts_with(char::is_uppercase)
        && vocabulary::topic(word).is_none()
        && lexicon::number(word).is_none()
}

/// Whether a unit, a sign of money or decimals stand right behind a number, so that it measures.
fn is_measured(text: &str, end: usize) -> bool {
    let rest = &text[end..];
    let bare = rest.trim_start_matches([' ', '\u{a0}', '-']);
    let goes_on = rest.starts_with(['.', ',', '/', '%'])
        && rest.chars().nth(1).is_some_and(|c| c.is_ascii_digit());
    goes_on
        || bare.starts_with(['%', '°', '€', '$', '£', '×', '"'])
        || unit_words::at(text, end + rest.len() - bare.len()).is_some()
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::claims_of;
    use super::*;

    #[test]
    fn names_are_words_with_numbers() {
        let found = |text: &str| {
            names(text)
                .into_iter()
                .map(|name| format!("{} {}", name.family, name.number))
                .collect::<Vec<_>>()
        };
        assert_eq!(
            found("Reed 60 and the RX-8, Mark II"),
            ["reed 60", "rx 8", "mark ii"]
        );
        assert_eq!(found("V2 draws 35 W"), ["v 2"]);
        assert_eq!(
            found("Depth 20 ft, Teiche bis 800, Sold 2019"),
            Vec::<String>::new()
        );
    }

    #[test]
    fn what_the_page_doesnt_offer_promises_nothing() {
        let page =
            "# Reed 60\n\nDraws 48 W. The Reed 90 draws 140 W. The Reed 60 gives 60 l/min.\n";
        assert_eq!(
            claims_of(Kind::Markdown, page),
            ["48 W power exact", "60 l/min flow exact"]
        );
        let page = "# Which Reed?\n\n| Pond | Set |\n|--|--|\n| 90 m² | Reed 30 |\n| 300 m² | Reed 60 |\n\n\
                    Reed 60: 48 W\n";
        assert!(claims_of(Kind::Markdown, page).contains(&"48 W power exact".to_owned()));
    }
}
