//! What stands around a passage: the heads of its row and column, its label, its heading, the question it answers.

use std::rc::Rc;

use super::asides::is_strangers;
use super::finder::{Above, Finder, MOST_LABELS};
use super::layout::{Passage, Role};
use super::lexicon;
use super::tables::Heads;
use super::tokens::{self, Kind};
use super::view::{Around, Head};
use super::vocabulary::{self, Topic, cue};
use super::word::{Word, is_one};

impl Finder<'_> {
    pub(super) fn topics_of(&mut self, number: u32) -> Rc<Head> {
        let passage = &self.passages[number as usize];
        // Pages with many tables say the same labels again and again.
        let exact = Word::exact(&passage.text);
        let by_text = exact.and_then(|label| self.labels.get(label)?.as_ref());
        if let Some(known) = by_text.or_else(|| self.heads.get(&number)) {
            return Rc::clone(known);
        }
        let mut tokens = std::mem::take(&mut self.tokens);
        // A head is short; what follows in a long cell is text of its own.
        let end = passage
            .text
            .char_indices()
            .nth(120)
            .map_or(passage.text.len(), |(at, _)| at);
        tokens::tokens(&passage.text[..end], self.habits.style, &mut tokens);
        let mut head = Head::default();
        let up_to = tokens
            .windows(2)
            .any(|pair| is_one!(pair[0].word, "up") && is_one!(pair[1].word, "to"));
        for (at, token) in tokens.iter().enumerate() {
            head.cues |= token.cues;
            // The `min` of `l/min`, and of `litres a min.`, bounds nothing.
            // `from now on` is a time.
            let is_time = token.topic() == Some(Topic::AtLeast)
                && tokens
                    .get(at + 1)
                    .is_some_and(|next| next.cues & cue::NOW != 0);
            // The `Max` of `Reed Max` is a name's.
            let is_named = at > 0
                && at + 1 == tokens.len()
                && !head.set.tell()
                && tokens[at - 1].kind == Kind::Word(None)
                && tokens[at - 1].cues == 0
                && [&tokens[at - 1], token]
                    .iter()
                    .all(|token| is_title(&passage.text[token.range()]));
            // `Maxi` alone is a name, `Profondeur maxi` a bound.
            let is_named = is_named || at == 0 && is_one!(token.word, "maxi");
            let is_none = is_time
                || is_named
                || at > 0
                    && (token.topic() == Some(Topic::AtLeast)
                    && (tokens[at - 1].kind == Kind::Sign('/')
                        || is_one!(tokens[at - 1].word, "a" | "per"))
                    // The sign of alternating current: `115V~`.
                    || token.kind == Kind::Sign('~')
                        && passage.text[..token.start as usize].ends_with(['V', 'v']));
            if let Some(topic) = token.topic().filter(|_| !is_none) {
                // `not over`, `nicht unter`
                let is_denied = at > 0
                    && is_one!(
                        tokens[at - 1].word,
                        "not" | "nicht" | "pas" | "niet" | "ikke" | "non"
                    );
                let topic = match topic {
                    Topic::AtLeast if is_denied => Topic::AtMost,
                    Topic::AtMost if is_denied => Topic::AtLeast,
                    topic => topic,
                };
                head.topics.push(topic);
                head.set.add(topic);
            }
        }
        self.tokens = tokens;
        let text = &passage.text[..end];
        // `Highest pressure`, `Most it'll push`, `Largest pond`: what a label begins with bounds what it names.
        let first = text
            .split(|c: char| !c.is_alphabetic())
            .next()
            .unwrap_or("");
        let first = Word::read(first);
        if lexicon::MOST.contains(&first) {
            head.topics.push(Topic::AtMost);
            head.set.add(Topic::AtMost);
        }
        if is_one!(
            first,
            "lowest" | "least" | "shallowest" | "smallest" | "minimum"
        ) {
            head.topics.push(Topic::AtLeast);
            head.set.add(Topic::AtLeast);
        }
        // `Reaches down to`
        let tail = text.len().checked_sub("down to".len());
        if tail
            .and_then(|tail| text.get(tail..))
            .is_some_and(|tail| tail.eq_ignore_ascii_case("down to"))
        {
            head.topics.push(Topic::Depth);
            head.set.add(Topic::Depth);
        }
        // `Pond area, up to`.
        let bare = text.trim_end_matches([':', ' ']);
        if up_to
            || ["t/m", "op til", "fino a", "fino ad"]
                .iter()
                .any(|tail| bare.ends_with(tail))
            || text.contains(" t/m ")
            || bare.ends_with(" to")
            || bare.ends_with(" TO")
        {
            head.topics.push(Topic::AtMost);
            head.set.add(Topic::AtMost);
        }
        let head = Rc::new(head);
        match exact.filter(|_| self.labels.len() < MOST_LABELS) {
            Some(label) => *self.labels.entry(label) = Some(Rc::clone(&head)),
            None => _ = self.heads.insert(number, Rc::clone(&head)),
        }
        head
    }

    /// The cell right before a figure's that says under what it holds, if that isn't its label.
    pub(super) fn remark(&self, number: usize, label: Option<u32>) -> Option<u32> {
        let before = number.checked_sub(1)?;
        let (
            Role::Cell { table, row, .. },
            Role::Cell {
                table: t, row: r, ..
            },
        ) = (self.passages[number].role, self.passages[before].role)
        else {
            return None;
        };
        let text = self.passages[before].text.as_str();
        let says = text.starts_with(['@', '('])
            || ["at ", "At ", "AT ", "bei ", "à ", "op "]
                .iter()
                .any(|word| text.starts_with(word));
        ((table, row) == (t, r) && label != Some(before as u32) && says).then_some(before as u32)
    }

    /// The question right before a passage that answers it.
    pub(super) fn question(&self, number: usize) -> Option<u32> {
        const LONGEST: usize = 90;
        let before = number.checked_sub(1)?;
        let asks = |passage: &Passage| {
            passage.text.len() <= LONGEST
                && (passage.text.trim_end().ends_with('?') || is_strangers(&passage.text))
                && matches!(passage.role, Role::Text | Role::Heading(_) | Role::Term)
        };
        (!matches!(self.passages[number].role, Role::Cell { .. }) && asks(&self.passages[before]))
            .then_some(before as u32)
    }

    /// The label of a cell, if it is one.
    pub(super) fn tables_label(&mut self, number: usize) -> Option<u32> {
        if matches!(self.passages[number].role, Role::Cell { .. }) {
            self.label(number)
        } else {
            None
        }
    }

    /// The cell that names the figures of a cell's row: the first that has a name, where the first is but a number
    /// or a mark; under heads that tell nothing, the last that has a word of the trade.
    pub(super) fn label(&mut self, number: usize) -> Option<u32> {
        const MOST: usize = 4;
        let Role::Cell {
            table, row, column, ..
        } = self.passages[number].role
        else {
            return None;
        };
        let first = self.tables.first(table, row)?;
        if number <= first as usize + 1 {
            return Some(first);
        }
        let own_head = match self.tables.above(table, row, column)[0] {
            Some(head) => self.topics_of(head).set.tell(),
            None => false,
        };
        let is_whole = number >= first as usize + MOST;
        if let Some((key, label)) = self.labelled
            && is_whole
            && key == (table, row, own_head)
        {
            return Some(label);
        }
        let label = self.label_of_row(number, first, own_head, MOST);
        if is_whole {
            self.labelled = Some(((table, row, own_head), label));
        }
        Some(label)
    }

    /// The label of a row for a cell of it, of its first cells.
    pub(super) fn label_of_row(
        &self,
        number: usize,
        first: u32,
        own_head: bool,
        most: usize,
    ) -> u32 {
        let Role::Cell { table, row, .. } = self.passages[number].role else {
            return first;
        };
        let cells = first as usize..number.min(first as usize + most);
        let is_name = |text: &str| {
            text.split(|c: char| !c.is_alphanumeric())
                .any(|word| word.chars().count() >= 3 && word.chars().all(char::is_alphabetic))
        };
        let in_row = |cell: &usize| matches!(self.passages[*cell].role, Role::Cell { table: t, row: r, .. } if (t, r) == (table, row));
        let named = cells.clone().take_while(in_row).filter(|&cell| {
            let text = self.passages[cell].text.as_str();
            is_name(text) && !text.starts_with(|c: char| c.is_ascii_digit())
        });
        let first_text = &self.passages[first as usize].text;
        let is_whole = is_name(first_text);
        let first = if is_whole {
            first
        } else {
            named.clone().next().map_or(first, |cell| cell as u32)
        };
        if own_head {
            return first;
        }
        const LONGEST: usize = 48;
        let telling = |&cell: &usize| {
            let text = self.passages[cell].text.as_str();
            (is_whole || text.len() <= LONGEST) && vocabulary::has_topic(text)
        };
        named
            .filter(telling)
            .last()
            .map_or(first, |cell| cell as u32)
    }

    /// The topics of the heads above a cell, all together.
    pub(super) fn topics_above(&mut self, heads: Heads) -> Rc<Head> {
        let [Some(near), far] = heads else {
            return Rc::clone(&self.none);
        };
        let Some(far) = far else {
            return self.topics_of(near);
        };
        if let Some(known) = self.pairs.get(&(near, far)) {
            return Rc::clone(known);
        }
        let mut both = Head::default();
        for head in [self.topics_of(near), self.topics_of(far)] {
            both.cues |= head.cues;
            for &topic in &head.topics {
                both.topics.push(topic);
                both.set.add(topic);
            }
        }
        let both = Rc::new(both);
        self.pairs.insert((near, far), Rc::clone(&both));
        both
    }

    /// The topics of the heads above a cell. A length is the airline's where the rows are lines:
    /// `Line | Bore | Length`.
    fn topics_of_column(&mut self, number: usize, heads: Heads) -> Rc<Head> {
        let topics = self.topics_above(heads);
        if topics.set.has(Topic::Length)
            && !topics.set.has(Topic::Line)
            && let Role::Cell {
                table, row, column, ..
            } = self.passages[number].role
            && column > 0
            && let Some(first) = self.tables.above(table, row, 0)[0]
            && self.topics_of(first).set.has(Topic::Line)
        {
            return self.topics_above([heads[0], Some(first)]);
        }
        topics
    }

    /// The passages that head one.
    pub(super) fn above(&mut self, number: usize) -> Above {
        let passage = &self.passages[number];
        let mut above = Above {
            row: passage.term,
            beside: None,
            columns: Heads::default(),
            unit: None,
            section: None,
        };
        if let Role::Cell {
            table, row, column, ..
        } = passage.role
        {
            above.columns = self.tables.above(table, row, column);
            if column > 0 {
                above.row = self.label(number);
                above.beside = self.remark(number, above.row);
                above.unit = self.unit_cell(number);
                above.section = self.tables.section(table, row);
            }
        }
        if above.row.is_none() {
            above.row = self.caption(number).or_else(|| self.question(number));
        }
        above
    }

    /// What stands around a passage: topics, and the passages that head it.
    pub(super) fn around(&mut self, number: usize) -> (Around, Above) {
        let above = self.above(number);
        let of = |finder: &mut Self, head: Option<u32>| match head {
            Some(head) => finder.topics_of(head),
            None => Rc::clone(&finder.none),
        };
        let around = Around {
            // `ft, max.` in the column of units bounds what its row holds.
            row: match (above.row, above.unit) {
                (Some(row), Some(unit)) if row != unit => {
                    self.topics_above([Some(row), Some(unit)])
                }
                _ => of(self, above.row),
            },
            column: self.topics_of_column(number, above.columns),
            heading: of(self, self.passages[number].under),
        };
        (around, above)
    }
}

/// Whether a word is written as a name is: a capital before small letters.
pub(super) fn is_title(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(char::is_uppercase) && letters.next().is_some_and(char::is_lowercase)
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::{claims_of, is};

    #[test]
    fn a_length_among_lines_is_the_airlines() {
        let lines =
            "| Line | Bore | Length |\n|--|--|--|\n| A | 12 mm | 30 m |\n| B | 12 mm | 45 m |\n";
        assert_eq!(
            claims_of(Kind::Markdown, lines),
            [
                "12 mm airline-size exact",
                "30 m airline-length exact",
                "12 mm airline-size exact",
                "45 m airline-length exact"
            ]
        );
        let parts = "| Part | Length |\n|--|--|\n| Cabinet | 60 cm |\n| Fence | 3 m |\n";
        assert_eq!(claims_of(Kind::Markdown, parts), Vec::<String>::new());
    }

    #[test]
    fn a_name_in_a_head_bounds_nothing() {
        let two = "| | Reed | Reed Plus |\n|--|--|--|\n| Power | 42 W | 71 W |\n";
        assert_eq!(
            claims_of(Kind::Markdown, two),
            ["42 W power exact", "71 W power exact"]
        );
        is("Profondeur : plus de 2 m", "2 m depth at-least");
        let three = "| | Reed | Reed Max | Max |\n|--|--|--|--|\n| Power | 42 W | 71 W | 90 W |\n";
        assert_eq!(
            claims_of(Kind::Markdown, three),
            ["42 W power exact", "71 W power exact", "90 W power at-most"]
        );
        let rows = "Set;Power (W);Recommended Max\nReed Max;71;90 W\n";
        assert_eq!(
            claims_of(Kind::Csv, rows),
            ["71 power exact", "90 W power at-most"]
        );
    }
}
