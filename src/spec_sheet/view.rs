//! What stands around a figure: the words near it, its label, the heads of its row and column.

use std::cell::Cell;
use std::ops::Range;
use std::rc::Rc;

use crate::units::Dimension;

use super::lexicon::SENTENCES;
use super::measure::Measure;
use super::tokens::{Kind, Token};
use super::vocabulary::{Topic, Topics, cue};
use super::word::{Word, is_one};

/// A passage taken apart.
pub struct View<'a> {
    /// Its text.
    pub text: &'a str,
    /// Its tokens.
    pub tokens: &'a [Token],
    /// Its figures.
    pub measures: &'a [Measure<'a>],
    /// Topics of what stands beside or above it, the nearest first.
    pub around: &'a Around,
    /// What was found out about it once, for all of its figures.
    pub facts: &'a Facts,
}

/// The topics of a head, in order and as a set.
#[derive(Debug, Default)]
pub struct Head {
    /// In order.
    pub topics: Vec<Topic>,
    /// As a set.
    pub set: Topics,
    /// What its words tell beyond their topics.
    pub cues: u64,
}

/// Topics of what stands beside or above a passage.
#[derive(Debug, Default, Clone)]
pub struct Around {
    /// Of the row's head, the term, the label before.
    pub row: Rc<Head>,
    /// Of the column's head.
    pub column: Rc<Head>,
    /// Of the heading.
    pub heading: Rc<Head>,
}

impl Around {
    /// Whether the row's or column's head has that topic.
    pub fn head(&self, topic: Topic) -> bool {
        self.row.set.has(topic) || self.column.set.has(topic)
    }

    /// Whether there is a head at all.
    pub fn has_head(&self) -> bool {
        !self.row.set.is_empty() || !self.column.set.is_empty()
    }
}

/// A topic near a figure: the lower its cost, the nearer it is.
#[derive(Debug, Clone, Copy)]
pub struct Near {
    /// What it is about.
    pub topic: Topic,
    /// How far, in words and signs between.
    pub cost: u32,
    /// Whether it follows the figure.
    pub after: bool,
}

/// A sentence: its tokens, and what its words tell.
#[derive(Debug, Clone, Default)]
struct Sentence {
    tokens: Range<usize>,
    topics: Topics,
    cues: u64,
    /// Whether a sound level stands in it.
    has_sound: bool,
    /// Its first word of money that is no price of the thing.
    charge: Option<usize>,
    /// Whether it asks.
    asks: bool,
    /// Whether it goes on with what stood before a semicolon.
    goes_on: bool,
    /// Whether somebody's own pond is spoken of: `your pond`, `my 2 acre lake`.
    own_pond: bool,
    /// The last word of possession in it.
    whose: Option<usize>,
    /// What its phrases tell: bits of [`super::phrases::says`].
    says: u32,
}

/// What is found out about a passage once, for all of its figures. Its memory serves passage after passage.
#[derive(Debug, Default)]
pub struct Facts {
    sentences: Vec<Sentence>,
    topics: Topics,
    cues: u64,
    /// Whether a word of bores stands in it, and not only one of diameters.
    names_bore: bool,
    /// Whether somebody's own pond is spoken of.
    own_pond: bool,
    /// How many of its words tell of what was.
    past: u32,
    /// Whether a part of a whole stands in it as a word: `half the power`.
    has_part: bool,
    near: Vec<Near>,
    /// By figure, its part of `near`.
    near_at: Vec<(u32, u32)>,
    /// By figure, the word before it.
    prepositions: Vec<Word>,
    /// The sentence that was asked for last.
    last: Cell<usize>,
}

impl Facts {
    /// Finds them out.
    pub fn of(&mut self, text: &str, tokens: &[Token], measures: &[Measure<'_>]) {
        self.sentences.clear();
        self.near.clear();
        self.near_at.clear();
        self.prepositions.clear();
        (self.topics, self.cues, self.names_bore) = (Topics::default(), 0, false);
        (self.own_pond, self.past, self.has_part) = (false, 0, false);
        let mut sentence = Sentence::default();
        for (at, token) in tokens.iter().enumerate() {
            if token.kind == Kind::Stop {
                let sign = &text[token.range()];
                sentence.asks |= sign == "?";
                self.end(&mut sentence, at);
                sentence.goes_on = sign == ";";
                continue;
            }
            // `You asked about noise: 50 dBA`: what stands behind the colon answers.
            if token.kind == Kind::Sign(':') {
                sentence.asks = false;
            }
            sentence.cues |= token.cues;
            self.has_part |= token.is_part();
            // `36 months (asked: 24)` and `it asks for a circuit` ask nothing.
            sentence.asks |= token.cues & cue::ASKS != 0
                && !tokens
                    .get(at + 1)
                    .is_some_and(|next| is_one!(next.word, ":" | "for"));
            self.past += u32::from(token.cues & cue::PAST != 0);
            if token.cues & cue::WHOSE != 0 {
                // `our own pond`
                if is_one!(token.word, "own") && at > 0 && is_one!(tokens[at - 1].word, "our") {
                    sentence.whose = Some(at);
                }
                // `Dottie's place: 0.8 acre`, `you said yours is about an acre`
                sentence.own_pond |= is_one!(token.word, "yours" | "mine")
                    || is_one!(token.word, "place")
                        && sentence.whose.is_some_and(|whose| at - whose <= 2);
            }
            if token.is_word() && is_owner(&text[token.range()]) {
                sentence.whose = Some(at);
            }
            if let Some(topic) = token.topic() {
                sentence.topics.add(topic);
                if topic == Topic::Charge {
                    sentence.charge.get_or_insert(at);
                }
                match topic {
                    Topic::Whose => sentence.whose = Some(at),
                    Topic::Pond => {
                        sentence.own_pond |= sentence.whose.is_some_and(|whose| at - whose <= 5)
                    }
                    // `their water of 1.1 ha`
                    Topic::Water => {
                        sentence.own_pond |= at > 0
                            && sentence.whose == Some(at - 1)
                            && (is_one!(tokens[at - 1].word, "their" | "his" | "her")
                                || is_owner(&text[tokens[at - 1].range()]))
                    }
                    _ => {}
                }
                self.topics.add(topic);
                let vague = token.cues & cue::ANY_DIAMETER != 0
                    || matches!(token.kind, Kind::Sign('ø' | 'Ø'));
                self.names_bore |= topic == Topic::Bore && !vague;
            }
        }
        self.end(&mut sentence, tokens.len());
        for measure in measures.iter().filter(|measure| is_sound(measure)) {
            for at in measure.tokens.clone() {
                let place = self.place(at);
                if let Some(sentence) = self.sentences.get_mut(place) {
                    sentence.has_sound = true;
                }
            }
        }
        let words = Words { tokens, measures };
        if !measures.is_empty() && self.cues & cue::PHRASED != 0 {
            self.hear(text, tokens);
        }
        for measure in measures {
            self.prepositions.push(words.preposition(measure));
            let start = self.near.len();
            words.near(measure, &mut self.near);
            self.near[start..]
                .sort_by_key(|near| (near.cost * 2 + u32::from(!near.after), near.after));
            self.near_at.push((start as u32, self.near.len() as u32));
        }
    }

    /// Finds the phrases of the sentences.
    fn hear(&mut self, text: &str, tokens: &[Token]) {
        // What is longer is a list without stops, and a phrase speaks for a part of it only.
        const LONGEST: usize = 400;
        let mut sentences = self.sentences.iter_mut().filter_map(|sentence| {
            let last = sentence.tokens.end.checked_sub(1)?;
            let (first, last) = (tokens.get(sentence.tokens.start)?, tokens.get(last)?);
            Some((first.start as usize..last.end as usize, &mut sentence.says))
        });
        let Some(mut sentence) = sentences.next() else {
            return;
        };
        for (start, end, says) in SENTENCES.of(text) {
            while sentence.0.end < end {
                match sentences.next() {
                    Some(next) => sentence = next,
                    None => return,
                }
            }
            if sentence.0.start <= start && sentence.0.len() <= LONGEST {
                *sentence.1 |= says;
            }
        }
    }

    fn end(&mut self, sentence: &mut Sentence, at: usize) {
        sentence.tokens.end = at;
        self.cues |= sentence.cues;
        self.own_pond |= sentence.own_pond;
        self.sentences.push(std::mem::take(sentence));
        sentence.tokens = at + 1..at + 1;
    }

    /// The number of the sentence that holds token `at`; a stop belongs to the one it ends.
    fn place(&self, at: usize) -> usize {
        // Mostly the one that was asked for last is asked for again.
        let last = self.last.get();
        if let Some(sentence) = self.sentences.get(last)
            && (sentence.tokens.start..=sentence.tokens.end).contains(&at)
        {
            return last;
        }
        let place = self
            .sentences
            .partition_point(|sentence| sentence.tokens.end < at);
        self.last.set(place);
        place
    }
}

/// Whether the figure is a sound level.
pub fn is_sound(measure: &Measure<'_>) -> bool {
    matches!(
        measure.dimension(),
        Some(Dimension::SoundLevel | Dimension::WeightedSoundLevel)
    )
}

impl<'a> View<'a> {
    fn sentence_at(&self, at: usize) -> Option<&'a Sentence> {
        self.facts.sentences.get(self.facts.place(at))
    }

    /// The tokens of the sentence that holds token `at`.
    pub fn sentence(&self, at: usize) -> Range<usize> {
        self.sentence_at(at)
            .map_or(0..0, |sentence| sentence.tokens.clone())
    }

    /// Whether the sentence has a word of that topic.
    pub fn sentence_has(&self, at: usize, topic: Topic) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.topics.has(topic))
    }

    /// Whether a word of the sentence has one of the cues.
    pub fn sentence_tells(&self, at: usize, cues: u64) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.cues & cues != 0)
    }

    /// Whether a sound level stands in the sentence.
    pub fn sentence_has_sound(&self, at: usize) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.has_sound)
    }

    /// Whether the sentence is a question.
    pub fn asks(&self, at: usize) -> bool {
        self.sentence_at(at).is_some_and(|sentence| sentence.asks)
    }

    /// The topics of the sentence before.
    pub fn before(&self, at: usize) -> Topics {
        self.facts
            .place(at)
            .checked_sub(1)
            .and_then(|before| self.facts.sentences.get(before))
            .map_or_else(Topics::default, |before| before.topics)
    }

    /// What the question asks that the sentence answers, or the label that it stands behind: the topics of a short
    /// one right before it.
    pub fn asked(&self, at: usize) -> Topics {
        const LONGEST: usize = 10;
        // `Warranty. Two years.`
        const LABEL: usize = 2;
        let place = self.facts.place(at);
        place
            .checked_sub(1)
            .and_then(|before| self.facts.sentences.get(before))
            .filter(|before| {
                before.asks && before.tokens.len() <= LONGEST || before.tokens.len() <= LABEL
            })
            .map_or_else(Topics::default, |before| before.topics)
    }

    /// Whether something may be compared in the passage.
    pub fn may_compare(&self) -> bool {
        self.facts.has_part || self.tells(cue::COMPARES)
    }

    /// Whether the passage speaks of somebody's own pond.
    pub fn speaks_of_own_pond(&self) -> bool {
        self.facts.own_pond
    }

    /// Whether the passage tells what was with somebody's pond, and promises nothing.
    pub fn is_story(&self) -> bool {
        self.facts.own_pond && self.facts.past >= 2
            || self.facts.past >= 4 && self.facts.cues & cue::SPEAKS != 0
    }

    /// Whether a phrase of the sentence has one of the bits of [`super::phrases::says`].
    pub fn sentence_says(&self, at: usize, says: u32) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.says & says != 0)
    }

    /// Whether the sentence goes on with what stood before a semicolon.
    pub fn goes_on(&self, at: usize) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.goes_on)
    }

    /// Whether the sentence speaks of somebody's own pond.
    pub fn has_own_pond(&self, at: usize) -> bool {
        self.sentence_at(at)
            .is_some_and(|sentence| sentence.own_pond)
    }

    /// The first word of the sentence about money that is no price of the thing.
    pub fn first_charge(&self, at: usize) -> Option<usize> {
        self.sentence_at(at)?.charge
    }

    /// Whether a word of the passage has that topic.
    pub fn has(&self, topic: Topic) -> bool {
        self.facts.topics.has(topic)
    }

    /// Whether a word of the passage has one of the cues.
    pub fn tells(&self, cues: u64) -> bool {
        self.facts.cues & cues != 0
    }

    /// Whether the passage names an inside diameter, and not just any.
    pub fn names_bore(&self) -> bool {
        self.facts.names_bore
    }

    /// A token's text.
    pub fn word(&self, at: usize) -> Word {
        self.tokens
            .get(at)
            .map_or_else(Word::default, |token| token.word)
    }

    /// The figure that holds token `at`.
    pub fn measure_at(&self, at: usize) -> Option<&'a Measure<'a>> {
        measure_at(self.measures, at)
    }

    /// The topics near a figure, the nearest first.
    pub fn near(&self, measure: &Measure<'_>) -> &'a [Near] {
        let (start, end) = self
            .facts
            .near_at
            .get(measure.place)
            .copied()
            .unwrap_or_default();
        self.facts
            .near
            .get(start as usize..end as usize)
            .unwrap_or_default()
    }

    /// Whether a figure is introduced as a condition.
    pub fn is_at(&self, measure: &Measure<'_>) -> bool {
        is_one!(self.preposition(measure), "at" | "@" | "bei")
    }

    /// The first word before a figure, skipping those that bound it.
    pub fn preposition(&self, measure: &Measure<'_>) -> Word {
        self.facts
            .prepositions
            .get(measure.place)
            .copied()
            .unwrap_or_default()
    }
}

/// `the club's`, and not `it's`.
fn is_owner(word: &str) -> bool {
    (word.ends_with("'s") || word.ends_with("’s"))
        && ![
            "it", "that", "here", "there", "what", "let", "he", "she", "who", "how", "where",
            "today", "world",
        ]
        .iter()
        .any(|short| {
            word.get(..short.len())
                .is_some_and(|begin| begin.eq_ignore_ascii_case(short))
                && word.len() <= short.len() + 4
        })
}

/// The figure that holds token `at`.
fn measure_at<'a>(measures: &'a [Measure<'a>], at: usize) -> Option<&'a Measure<'a>> {
    let next = measures.partition_point(|measure| measure.tokens.end <= at);
    measures
        .get(next)
        .filter(|measure| measure.tokens.contains(&at))
}

/// Words that cost nothing between a figure and what it is about.
fn is_light_after(word: Word) -> bool {
    is_one!(word, "of" | "the" | "a" | "an" | "in" | "-" | "total")
}

fn is_light_before(word: Word) -> bool {
    is_one!(
        word,
        "of" | "the" | "a" | "an" | "is" | "to" | "up" | "as" | "just" | "only"
    )
}

/// Words that begin something else.
fn turns(word: Word) -> bool {
    is_one!(
        word,
        "from" | "but" | "while" | "which" | "that" | "when" | "if"
    )
}

/// A passage while the topics near its figures are looked for.
struct Words<'a> {
    tokens: &'a [Token],
    measures: &'a [Measure<'a>],
}

impl Words<'_> {
    /// The first word before a figure, skipping those that bound it.
    fn preposition(&self, measure: &Measure<'_>) -> Word {
        for at in (0..measure.tokens.start).rev() {
            let token = &self.tokens[at];
            let between = token.cues & cue::BETWEEN != 0
                || matches!(token.kind, Kind::Sign('(' | '~' | '.'))
                || token.kind == Kind::Stop && is_one!(token.word, ".");
            if !between {
                // `at least four feet` bounds, and states no condition.
                let bounds = at + 1 < measure.tokens.start
                    && is_one!(
                        self.tokens[at + 1].word,
                        "least" | "most" | "max" | "minimum"
                    );
                return if bounds {
                    Word::of("at least")
                } else {
                    token.word
                };
            }
        }
        Word::default()
    }

    /// Adds the topics near a figure, in no order.
    fn near(&self, measure: &Measure<'_>, found: &mut Vec<Near>) {
        self.after(measure, found);
        self.before(measure, found);
    }

    fn after(&self, measure: &Measure<'_>, found: &mut Vec<Near>) {
        let mut others = self.measures.get(measure.place + 1..).unwrap_or_default();
        // The figure that holds token `at`, which never goes back.
        let mut figure_at = move |at: usize| {
            while let Some((first, rest)) = others.split_first()
                && first.tokens.end <= at
            {
                others = rest;
            }
            others.first().filter(|other| other.tokens.contains(&at))
        };
        let mut cost = 0;
        let mut at = measure.tokens.end;
        let mut opened = 0;
        while cost <= 7 && at < self.tokens.len() {
            let token = &self.tokens[at];
            match token.kind {
                Kind::Stop | Kind::Sign(',' | ';' | '|') => break,
                Kind::Sign('(' | '[') => {
                    opened += 1;
                    cost += 1;
                    // `34 dBA (a fridge has 42)` remarks on something else.
                    let inside = self.tokens[at + 1..].iter().take(8);
                    let remarks = inside
                        .take_while(|token| token.kind != Kind::Sign(')'))
                        .skip(1)
                        .any(|token| token.kind == Kind::Figure);
                    if remarks && figure_at(at + 1).is_none() {
                        cost += 3;
                    }
                    // What follows a bracket is another figure, or a remark on this one.
                    if let Some(other) = figure_at(at + 1) {
                        at = other.tokens.end;
                        continue;
                    }
                }
                Kind::Sign(')' | ']') => {
                    if opened == 0 && at > measure.tokens.end {
                        break;
                    }
                    cost += u32::from(opened == 0);
                }
                Kind::Sign(':' | '=') => break,
                Kind::Sign('/') => cost += 1,
                Kind::Sign('–' | '—') => cost += 3,
                Kind::Sign(_) => {}
                Kind::Figure | Kind::Spelled(_) => {
                    // A size may stand between: `100 ft of 3/8 in airline`, `(100 ft) 3/8 in airline`.
                    let joint = self.tokens[at - 1].word;
                    let beside = at <= measure.tokens.end + 1
                        && (at == measure.tokens.end || is_one!(joint, ")" | "/"))
                        && measure.dimension() == Some(Dimension::Length);
                    let of = beside || is_one!(joint, "of" | "x" | "×" | "von");
                    let Some(other) = figure_at(at).filter(|_| of) else {
                        break;
                    };
                    cost += 1;
                    at = other.tokens.end;
                    continue;
                }
                // `125 ft in the carton` says where it is.
                Kind::Word(_) if self.is_place(at) => {
                    cost += 2;
                    at += 2;
                }
                Kind::Word(topic) | Kind::Mixed(topic) => match topic {
                    Some(Topic::Joint | Topic::At) => break,
                    Some(Topic::AtMost | Topic::AtLeast | Topic::About)
                        if figure_at(at + 1).is_some() =>
                    {
                        break;
                    }
                    Some(topic) => {
                        found.push(Near {
                            topic,
                            cost,
                            after: true,
                        });
                        cost += 1;
                    }
                    None => {
                        let word = token.word;
                        cost += u32::from(!is_light_after(word)) + 2 * u32::from(turns(word));
                    }
                },
            }
            at += 1;
        }
    }

    /// Whether `in the carton` stands here.
    fn is_place(&self, at: usize) -> bool {
        let word = |at: usize| {
            self.tokens
                .get(at)
                .map_or_else(Word::default, |token| token.word)
        };
        is_one!(word(at), "in")
            && is_one!(word(at + 1), "the" | "a" | "its" | "each")
            && self
                .tokens
                .get(at + 2)
                .is_some_and(|token| token.topic() == Some(Topic::Body))
    }

    fn before(&self, measure: &Measure<'_>, found: &mut Vec<Near>) {
        let mut others = self.measures.get(..measure.place).unwrap_or_default();
        let mut cost = 0;
        let mut before = measure.tokens.start;
        let mut past_label = false;
        while cost <= 9 && before > 0 {
            before -= 1;
            let token = &self.tokens[before];
            while let Some((last, rest)) = others.split_last()
                && last.tokens.start > before
            {
                others = rest;
            }
            if let Some(other) = others.last().filter(|other| other.tokens.contains(&before)) {
                // Another figure stands between; what it is about may still hold for a list of both.
                if other.quantity.is_some() {
                    cost += 4;
                }
                before = other.tokens.start;
                cost += 1;
                continue;
            }
            match token.kind {
                Kind::Stop | Kind::Sign(';') => break,
                Kind::Sign(',' | '|') => cost += 3,
                Kind::Sign(':') => {
                    if past_label {
                        break;
                    }
                    past_label = true;
                }
                Kind::Sign('(' | ')' | '[' | ']') => cost += 1,
                Kind::Sign('–' | '—') => cost += 2,
                Kind::Sign(_) => {}
                Kind::Word(topic) | Kind::Mixed(topic) => match topic {
                    Some(Topic::Joint) => cost += 2,
                    Some(topic) => {
                        found.push(Near {
                            topic,
                            cost,
                            after: false,
                        });
                        cost += u32::from(!matches!(
                            topic,
                            Topic::AtMost | Topic::AtLeast | Topic::About | Topic::At
                        ));
                    }
                    None => {
                        let word = token.word;
                        cost += u32::from(!is_light_before(word)) + 2 * u32::from(turns(word));
                    }
                },
                Kind::Figure | Kind::Spelled(_) => cost += 1,
            }
        }
    }
}
