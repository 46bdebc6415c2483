//! What stands around a figure: the words near it, its label, the heads of its row and column.

use std::ops::Range;

use super::measure::Measure;
use super::tokens::{Kind, Token};
use super::vocabulary::Topic;

/// A passage taken apart.
pub struct View<'a> {
    /// Its text.
    pub text: &'a str,
    /// Its tokens.
    pub tokens: &'a [Token],
    /// Its figures.
    pub measures: &'a [Measure],
    /// Topics of what stands beside or above it, the nearest first.
    pub around: &'a Around,
}

/// Topics of what stands beside or above a passage.
#[derive(Debug, Default, Clone)]
pub struct Around {
    /// Of the row's head, the term, the label before.
    pub row: Vec<Topic>,
    /// Of the column's head.
    pub column: Vec<Topic>,
    /// Of the heading.
    pub heading: Vec<Topic>,
}

impl Around {
    /// Whether the row's or column's head has that topic.
    pub fn head(&self, topic: Topic) -> bool {
        self.row.contains(&topic) || self.column.contains(&topic)
    }

    /// Whether there is a head at all.
    pub fn has_head(&self) -> bool {
        !self.row.is_empty() || !self.column.is_empty()
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

impl<'a> View<'a> {
    /// The tokens of the sentence that holds token `at`.
    pub fn sentence(&self, at: usize) -> Range<usize> {
        let is_stop = |token: &Token| token.kind == Kind::Stop;
        let start = self.tokens[..at].iter().rposition(is_stop).map_or(0, |stop| stop + 1);
        let end = self.tokens[at..].iter().position(is_stop).map_or(self.tokens.len(), |stop| at + stop);
        start..end
    }

    /// Whether the sentence has a word of that topic.
    pub fn sentence_has(&self, at: usize, topic: Topic) -> bool {
        self.tokens[self.sentence(at)].iter().any(|token| token.topic() == Some(topic))
    }

    /// A token's word, in small letters.
    pub fn word(&self, at: usize) -> String {
        self.tokens
            .get(at)
            .map_or_else(String::new, |token| self.text[token.range()].to_lowercase())
    }

    /// The figure that holds token `at`.
    fn measure_at(&self, at: usize) -> Option<&'a Measure> {
        let next = self.measures.partition_point(|measure| measure.tokens.end <= at);
        self.measures.get(next).filter(|measure| measure.tokens.contains(&at))
    }

    /// The topics near figure `measure`, the nearest first.
    pub fn near(&self, measure: &Measure) -> Vec<Near> {
        let mut found = Vec::new();
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
                    // What follows a bracket is another figure, or a remark on this one.
                    if self.measure_at(at + 1).is_some() {
                        let inner = self.measure_at(at + 1).map_or(at + 1, |m| m.tokens.end);
                        at = inner;
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
                Kind::Sign(_) => {}
                Kind::Figure | Kind::Spelled(_) => {
                    // A size may stand between: `100 ft of 3/8 in airline`.
                    let of = matches!(self.word(at - 1).as_str(), "of" | "x" | "×" | "von");
                    let Some(other) = self.measure_at(at).filter(|_| of) else {
                        break;
                    };
                    cost += 1;
                    at = other.tokens.end;
                    continue;
                }
                Kind::Word(topic) | Kind::Mixed(topic) => match topic {
                    Some(Topic::Joint) => break,
                    Some(Topic::At) => break,
                    Some(Topic::AtMost | Topic::AtLeast | Topic::About) if self.measure_at(at + 1).is_some() => break,
                    Some(topic) => {
                        found.push(Near {
                            topic,
                            cost,
                            after: true,
                        });
                        cost += 1;
                    }
                    None => {
                        let word = &self.text[token.range()];
                        cost += u32::from(!matches!(word, "of" | "the" | "a" | "an" | "in" | "-" | "total"));
                        if matches!(word, "from" | "but" | "while" | "which" | "that" | "when" | "if") {
                            cost += 2;
                        }
                    }
                },
            }
            at += 1;
        }
        cost = 0;
        let mut before = measure.tokens.start;
        let mut past_label = false;
        while cost <= 9 && before > 0 {
            before -= 1;
            let token = &self.tokens[before];
            if let Some(other) = self.measure_at(before) {
                // Another figure stands between; what it is about may still hold for a list of both.
                if other.quantity.is_some() {
                    cost += 4;
                }
                before = other.tokens.start;
                cost += 1;
                continue;
            }
            match token.kind {
                Kind::Stop => break,
                Kind::Sign(',' | '|') => cost += 3,
                Kind::Sign(';') => break,
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
                        cost += u32::from(!matches!(topic, Topic::AtMost | Topic::AtLeast | Topic::About | Topic::At));
                    }
                    None => {
                        let word = &self.text[token.range()];
                        cost += u32::from(!matches!(word, "of" | "the" | "a" | "an" | "is" | "to" | "up" | "as" | "just" | "only"));
                        if matches!(word, "from" | "but" | "while" | "which" | "that" | "when" | "if") {
                            cost += 2;
                        }
                    }
                },
                Kind::Figure | Kind::Spelled(_) => cost += 1,
            }
        }
        found.sort_by_key(|near| (near.cost * 2 + u32::from(!near.after), near.after));
        found
    }

    /// The first word token before a figure, skipping the words that bound it.
    pub fn preposition(&self, measure: &Measure) -> String {
        let mut at = measure.tokens.start;
        while at > 0 {
            at -= 1;
            let token = &self.tokens[at];
            let word = self.text[token.range()].to_lowercase();
            if matches!(
                word.as_str(),
                "up" | "a" | "an" | "the" | "about" | "approximately" | "approx" | "around" | "." | "of" | "depth" | "depths"
                    | "pressure" | "just" | "only" | "roughly" | "distance" | "(" | "~" | "maximum" | "max" | "least" | "full"
                    | "minimum" | "working" | "water" | "ca" | "rate" | "tariff" | "etwa" | "einer" | "tiefe" | "rund" | "average" | "as"
                    | "back" | "running" | "operating" | "duty" | "nominal" | "steady" | "typical" | "say" | "price" | "temperature" | "ambient" | "air"
            ) {
                continue;
            }
            return word;
        }
        String::new()
    }
}
