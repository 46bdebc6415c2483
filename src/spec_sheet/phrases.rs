//! Phrases of several words that tell what a sentence or a head is about, all found in one pass over its letters.

use std::sync::OnceLock;

use aho_corasick::{AhoCorasick, AhoCorasickKind, MatchKind};

/// What a sentence says, as bits of [`super::lexicon::SENTENCES`].
pub mod says {
    /// What the thing is made for.
    pub const PROMISES: u32 = 1;
    /// What was sold before, or is no more.
    pub const NO_LONGER: u32 = 1 << 1;
    /// The weight of the air.
    pub const WEATHER: u32 = 1 << 2;
    /// A test, and the room that it was made in.
    pub const TEST: u32 = 1 << 3;
    /// How warm the air was when it was measured.
    pub const MEASURED: u32 = 1 << 4;
    /// How much of the oxygen goes into the water.
    pub const TRANSFER: u32 = 1 << 5;
    /// A site that the buyer described.
    pub const SITE: u32 = 1 << 6;
    /// What somebody saw or heard.
    pub const SEEN: u32 = 1 << 7;
    /// Some machines and not this one.
    pub const SOME: u32 = 1 << 8;
    /// Another seller's machine.
    pub const RIVAL: u32 = 1 << 9;
    /// The machine that is sold.
    pub const OURS: u32 = 1 << 10;
    /// What isn't needed.
    pub const NEEDLESS: u32 = 1 << 11;
    /// What isn't made or promised any more, or stands elsewhere.
    pub const GONE: u32 = 1 << 12;
    /// Money that isn't asked for the thing.
    pub const OTHER_MONEY: u32 = 1 << 13;
    /// Somebody who has a pond or a machine, and what became of it.
    pub const STORY: u32 = 1 << 14;
    /// How far down it reaches.
    pub const DOWN: u32 = 1 << 15;
    /// What it is good for.
    pub const GOES_TO: u32 = 1 << 16;
    /// The water goes round.
    pub const GOES_ROUND: u32 = 1 << 17;
    /// The seller is liable for it.
    pub const LIABLE: u32 = 1 << 18;
    /// The price is paid in parts.
    pub const IN_PARTS: u32 = 1 << 19;
}

/// Families of phrases, in small letters, each with a bit of its own. One may stand within a longer word.
pub struct Phrases {
    families: &'static [(u32, &'static [&'static str])],
    /// The automaton, and by phrase the bit of its family.
    automaton: OnceLock<Option<(AhoCorasick, Vec<u32>)>>,
}

impl Phrases {
    /// These families.
    pub const fn new(families: &'static [(u32, &'static [&'static str])]) -> Phrases {
        Phrases {
            families,
            automaton: OnceLock::new(),
        }
    }

    fn all(&self) -> impl Iterator<Item = (u32, &'static str)> + Clone {
        self.families
            .iter()
            .flat_map(|&(says, phrases)| phrases.iter().map(move |&phrase| (says, phrase)))
    }

    /// None is built only of more phrases than an automaton holds.
    fn automaton(&self) -> Option<&(AhoCorasick, Vec<u32>)> {
        let automaton = self.automaton.get_or_init(|| {
            let automaton = AhoCorasick::builder()
                .match_kind(MatchKind::Standard)
                .ascii_case_insensitive(true)
                .kind(Some(AhoCorasickKind::DFA))
                .build(self.all().map(|(_, phrase)| phrase))
                .ok()?;
            Some((automaton, self.all().map(|(says, _)| says).collect()))
        });
        automaton.as_ref()
    }

    /// The phrases of a text by where they end: first byte, one past the last, and the bit of the family.
    pub fn of(&self, text: &str) -> impl Iterator<Item = (usize, usize, u32)> {
        self.automaton()
            .into_iter()
            .flat_map(move |(automaton, says)| {
                automaton.find_overlapping_iter(text).map(|found| {
                    let says = says.get(found.pattern().as_usize()).copied();
                    (found.start(), found.end(), says.unwrap_or(0))
                })
            })
    }

    /// The bits of all families that a text has a phrase of.
    pub fn said(&self, text: &str) -> u32 {
        self.of(text).fold(0, |all, (_, _, says)| all | says)
    }
}

#[cfg(test)]
mod tests {
    use super::super::lexicon::SENTENCES;
    use super::super::numeral::Style;
    use super::super::tokens;
    use super::super::vocabulary::cue;

    #[test]
    fn a_word_of_each_phrase_tells_that_it_may_be_one() {
        let mut found = Vec::new();
        for (_, phrase) in SENTENCES.all() {
            // What is the beginning of a longer word only stands in one.
            let whole = phrase.replace("atmospher", "atmosphere");
            tokens::tokens(&whole, Style::Point, &mut found);
            let tells = found.iter().any(|token| token.cues & cue::PHRASED != 0);
            assert!(tells, "{phrase}");
        }
    }
}
