//! Of whom a stretch of text speaks: of what the page offers, or of somebody and something else.
//!
//! What the layout shows comes first (a quotation, a heading over other things, the head of a rival's column), words
//! second. The words stand in [`lexicon`].

use std::ops::Range;

use super::claim::{Attribute, Claim, Comparator};
use super::lexicon::{self, Hit, Reach, Tag};

/// Of whom a figure is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scope {
    /// Of what the page offers.
    Offer,
    /// Of another seller's thing.
    Rival,
    /// Of another thing of the same seller.
    OtherOffer,
    /// Of the reader's or a customer's own water.
    Customer,
    /// Of what was sold or said before.
    Former,
    /// Of what is wished, planned or imagined.
    Wish,
    /// By somebody else.
    Quoted,
    /// That it isn't so.
    Negated,
    /// Of what may be so in another case.
    Supposed,
    /// Of what a single part may bear.
    Part,
}

impl Scope {
    /// What a report says of a figure that is said of that.
    pub fn as_str(self) -> &'static str {
        match self {
            Scope::Offer => "said of the offer",
            Scope::Rival => "said of another seller's thing",
            Scope::OtherOffer => "said of another offer",
            Scope::Customer => "said of a customer's water",
            Scope::Former => "said of what was sold before",
            Scope::Wish => "a wish, a plan or a thought",
            Scope::Quoted => "somebody is quoted with it",
            Scope::Negated => "said not to be so",
            Scope::Supposed => "a condition that is supposed",
            Scope::Part => "what a part may bear",
        }
    }

    fn of(tag: Tag) -> Option<Scope> {
        Some(match tag {
            Tag::Rival => Scope::Rival,
            Tag::Other => Scope::OtherOffer,
            Tag::Customer | Tag::Story => Scope::Customer,
            Tag::Former => Scope::Former,
            Tag::Wish => Scope::Wish,
            Tag::Quoted => Scope::Quoted,
            Tag::Negated => Scope::Negated,
            Tag::Supposed => Scope::Supposed,
            Tag::Part => Scope::Part,
            _ => return None,
        })
    }

    /// Of a head or heading: what it says of all that stands under it.
    pub(super) fn of_head(text: &str) -> Option<Scope> {
        const LONGEST: usize = 80;
        if text.len() > LONGEST {
            return None;
        }
        let heads = |hit: &Hit| matches!(hit.tag, Tag::Rival | Tag::Other | Tag::Story);
        let hit = lexicon::hits(text).into_iter().find(heads)?;
        Scope::of(hit.tag)
    }
}

/// A text with its sentences, quotations and the words that tell of whom it speaks.
pub(super) struct Stretch<'a> {
    text: &'a str,
    hits: Vec<Hit>,
    sentences: Vec<Range<usize>>,
    quotations: Vec<Range<usize>>,
}

impl<'a> Stretch<'a> {
    /// `language` is the page's; what says how sure a writer is is short, and a word of another language.
    pub(super) fn of(text: &'a str, language: Option<usize>) -> Stretch<'a> {
        let mut hits = lexicon::hits(text);
        let own = language.unwrap_or(0);
        hits.retain(|hit| hit.language == own || !matches!(hit.tag, Tag::Hedged | Tag::Contrast));
        Stretch {
            text,
            hits,
            sentences: sentences(text),
            quotations: quotations(text),
        }
    }

    /// The sentence that holds a place.
    pub(super) fn sentence(&self, at: usize) -> Range<usize> {
        let next = self.sentences.partition_point(|one| one.end <= at);
        self.sentences
            .get(next)
            .cloned()
            .unwrap_or(0..self.text.len())
    }

    fn hits_in(&self, sentence: Range<usize>) -> impl Iterator<Item = &Hit> {
        self.hits
            .iter()
            .filter(move |hit| sentence.start <= hit.start && hit.end <= sentence.end)
    }

    /// Of whom a figure is said, and whether its writer is in doubt or of two minds.
    pub(super) fn scope(&self, claim: &Claim) -> (Scope, bool) {
        let place = claim.place();
        if self
            .quotations
            .iter()
            .any(|one| one.start <= place.start && place.end <= one.end)
        {
            return (Scope::Quoted, false);
        }
        let sentence = self.sentence(place.start);
        let mut scope = Scope::Offer;
        let mut hedged = false;
        for hit in self.hits_in(sentence) {
            if hit.tag == Tag::Hedged {
                hedged = true;
                continue;
            }
            let Some(found) = Scope::of(hit.tag).filter(|_| self.reaches(hit, &place)) else {
                continue;
            };
            let bounded = matches!(claim.comparator, Comparator::AtMost);
            let of_water = matches!(
                claim.attribute,
                Attribute::Area | Attribute::Depth | Attribute::Volume
            );
            match found {
                Scope::Customer if hit.tag == Tag::Customer && (bounded || !of_water) => continue,
                // `no deeper than 4 m`: a bound, said by what it isn't.
                Scope::Negated if bounded && self.words_between(hit, &place) <= 3 => {
                    hedged = true;
                    continue;
                }
                Scope::Supposed if bounded => {
                    hedged = true;
                    continue;
                }
                _ => {}
            }
            if scope == Scope::Offer || found < scope {
                scope = found;
            }
        }
        (scope, hedged)
    }

    /// Words between a hit and a figure, on either side of it.
    fn words_between(&self, hit: &Hit, place: &Range<usize>) -> usize {
        let between = if hit.end <= place.start {
            &self.text[hit.end..place.start]
        } else {
            self.text.get(place.end..hit.start).unwrap_or("")
        };
        between.split_whitespace().count()
    }

    fn reaches(&self, hit: &Hit, place: &Range<usize>) -> bool {
        let is_before = hit.end <= place.start;
        let between = || self.text.get(hit.end..place.start).unwrap_or("");
        match hit.reach {
            Reach::Sentence => true,
            Reach::Ahead => {
                let turned = |other: &Hit| {
                    other.tag == Tag::Contrast && hit.end <= other.start && other.end <= place.start
                };
                is_before && !breaks(between()) && !self.hits.iter().any(turned)
            }
            Reach::Clause => is_before && !ends_clause(between()),
            Reach::Next => {
                is_before && self.words_between(hit, place) <= 1 && !ends_clause(between())
            }
            Reach::Last => {
                let after = || self.text.get(place.end..hit.start).unwrap_or("");
                place.end <= hit.start
                    && self.words_between(hit, place) <= 3
                    && !ends_clause(after())
            }
        }
    }

    /// Whether words around a figure, up to the next comma on either side, say that it is a limit.
    pub(super) fn is_limit(&self, place: &Range<usize>) -> bool {
        let sentence = self.sentence(place.start);
        self.hits_in(sentence).any(|hit| {
            hit.tag == Tag::Limit
                && if hit.end <= place.start {
                    !ends_clause(&self.text[hit.end..place.start])
                } else {
                    self.text.get(place.end..hit.start).is_some_and(|after| {
                        !after.contains(|c: char| c.is_ascii_digit()) && after.len() <= 24
                    })
                }
        })
    }

    /// Hours that something runs each day, as the sentence at a place says, or any that speaks of days.
    pub(super) fn hours(&self, at: Option<usize>) -> Option<f64> {
        let within = at.map_or(0..self.text.len(), |at| self.sentence(at));
        self.hits_in(within.clone())
            .find_map(|hit| match hit.tag {
                Tag::AllDay => Some(24.0),
                Tag::Minutes => Some(self.number_before(hit.start)? / 60.0 * 24.0),
                Tag::Hour => {
                    let daily = |other: &Hit| {
                        other.tag == Tag::Daily
                            && other.start >= hit.end
                            && other.start - hit.end <= 3
                    };
                    let counted = self.hits_in(within.clone()).any(daily) || at.is_some();
                    self.number_before(hit.start).filter(|_| counted)
                }
                _ => None,
            })
            .filter(|hours| *hours > 0.0 && *hours <= 24.0)
    }

    /// The number right before a place, in words or in at most two figures.
    fn number_before(&self, at: usize) -> Option<f64> {
        let before = self.text[..at].trim_end();
        let word = before
            .rsplit(|c: char| c.is_whitespace() || matches!(c, '(' | '/' | ':'))
            .next()?;
        (word.len() <= 16 && word.bytes().filter(u8::is_ascii_digit).count() <= 3)
            .then(|| lexicon::number(word))?
    }
}

/// Whether a stretch of a sentence ends a clause.
fn ends_clause(text: &str) -> bool {
    text.contains(", ") || text.contains('(') || text.contains(')') || breaks(text)
}

/// Whether something new begins in a stretch of a sentence.
fn breaks(text: &str) -> bool {
    [": ", "; ", " – ", " — ", "|"]
        .iter()
        .any(|sign| text.contains(sign))
}

/// The sentences of a text. A point before a small letter or a figure ends none: `max. 3 psi`.
fn sentences(text: &str) -> Vec<Range<usize>> {
    let mut all = Vec::new();
    let mut from = 0;
    for (at, c) in text.char_indices() {
        let rest = &text[at + c.len_utf8()..];
        let next = rest.trim_start().chars().next();
        let parted = rest.starts_with(char::is_whitespace) || rest.is_empty();
        let ends = match c {
            '\n' | '!' | '?' => true,
            ';' => parted,
            '.' => parted && next.is_none_or(|c| !c.is_lowercase() && !c.is_ascii_digit()),
            _ => false,
        };
        if ends {
            all.push(from..at + c.len_utf8());
            from = at + c.len_utf8();
        }
    }
    if from < text.len() {
        all.push(from..text.len());
    }
    all
}

/// Stretches of four words and more between quotation marks.
fn quotations(text: &str) -> Vec<Range<usize>> {
    const WORDS: usize = 4;
    const PAIRS: [(char, &[char]); 4] = [
        ('“', &['”']),
        ('„', &['“', '”']),
        ('«', &['»']),
        ('"', &['"']),
    ];
    let mut all = Vec::new();
    let mut from = 0;
    while let Some((open, close)) = text[from..].char_indices().find_map(|(at, c)| {
        PAIRS
            .iter()
            .find(|pair| pair.0 == c)
            .map(|pair| (from + at, pair.1))
    }) {
        let first = text[open..].chars().next().map_or(1, char::len_utf8);
        let inside = open + first;
        // `3/8" bore`: an inch opens nothing.
        let opens = text[..open]
            .chars()
            .next_back()
            .is_none_or(|c| !c.is_alphanumeric());
        let end = text[inside..].find(close).map(|at| inside + at);
        match end.filter(|_| opens) {
            Some(end) => {
                if text[inside..end].split_whitespace().count() >= WORDS {
                    all.push(inside..end);
                }
                from = end + text[end..].chars().next().map_or(1, char::len_utf8);
            }
            None => from = inside,
        }
    }
    all
}
