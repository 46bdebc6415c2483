//! Notes at a page's foot: what a figure that bears a mark holds under.

use std::ops::Range;

use hashbrown::HashMap;

use crate::units::Quantity;

use super::claim::Attribute;
use super::finder::Finder;
use super::holding::{fits, is_condition};
use super::{conditions, measure, tokens, view};

/// Longest note.
const LONGEST: usize = 400;

/// How far before a figure its label may bear the mark, in bytes.
const FARTHEST: usize = 60;

/// Most figures of a raised mark.
const MOST_FIGURES: usize = 4;

/// What a note says.
struct Note {
    /// Number of its passage.
    passage: u32,
    stated: Vec<Quantity>,
    hours: Option<f64>,
}

/// The mark that stands at the beginning: as figures for those that are raised or in brackets, else as it is;
/// with its length.
fn mark_at(text: &str) -> Option<(String, usize)> {
    let first = text.chars().next()?;
    let raised = || {
        text.chars()
            .map_while(|c| Some((digit_of(c)?, c.len_utf8())))
    };
    let digits: String = raised()
        .take(MOST_FIGURES)
        .map(|(digit, _)| digit)
        .collect();
    if !digits.is_empty() {
        let length = raised().take(MOST_FIGURES).map(|(_, length)| length).sum();
        return Some((digits, length));
    }
    match first {
        '*' | '†' | '‡' => {
            let length = text.chars().take_while(|&c| c == first).count();
            let bytes = length * first.len_utf8();
            (length <= 4).then(|| (text[..bytes].to_owned(), bytes))
        }
        '(' | '[' => {
            let inner = text.get(1..)?;
            let (mark, length) = match inner.chars().next()? {
                c if c.is_ascii_digit() => (c.to_string(), 1),
                '*' | '†' | '‡' => mark_at(inner)?,
                _ => return None,
            };
            inner
                .get(length..)?
                .starts_with([')', ']'])
                .then_some((mark, length + 2))
        }
        _ => None,
    }
}

fn digit_of(c: char) -> Option<char> {
    ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹']
        .iter()
        .position(|&raised| raised == c)
        .and_then(|digit| char::from_digit(digit as u32, 10))
}

/// Whether a byte of a text may be a mark's, or the first of one.
fn may_have_marks(text: &str) -> bool {
    text.bytes()
        .any(|byte| matches!(byte, b'*' | b'(' | b'[' | 0xc2 | 0xe2))
}

/// The marks that stand in a text, none that is the power of a unit.
fn marks(text: &str) -> impl Iterator<Item = String> + '_ {
    let may_have = may_have_marks(text);
    text.char_indices()
        .take_while(move |_| may_have)
        .filter_map(|(at, c)| {
            if !(digit_of(c).is_some() || matches!(c, '*' | '†' | '‡' | '(' | '[')) {
                return None;
            }
            let before = &text[..at];
            let word = before
                .rsplit(|c: char| !c.is_alphabetic())
                .next()
                .unwrap_or("");
            let is_power =
                digit_of(c).is_some() && ["m", "cm", "mm", "km", "ft", "in", "yd"].contains(&word);
            let goes_on = digit_of(c).is_some()
                && before
                    .chars()
                    .next_back()
                    .is_some_and(|c| digit_of(c).is_some());
            if is_power || goes_on || before.ends_with(['*', '†', '‡']) {
                return None;
            }
            mark_at(&text[at..]).map(|(mark, _)| mark)
        })
}

/// The mark of a text that is that and not much more.
fn mark_of_note(text: &str) -> Option<String> {
    // Most passages begin with a letter or a figure.
    if text.starts_with(|c: char| c.is_ascii_alphanumeric()) {
        return None;
    }
    let (mark, end) = mark_at(text).filter(|_| text.len() <= LONGEST)?;
    text[end..]
        .trim_start()
        .starts_with(char::is_alphanumeric)
        .then_some(mark)
}

impl Finder<'_> {
    /// Whether a passage is a note. Of several with one star after another each is an item of a list.
    pub(super) fn is_note(&self, number: usize) -> bool {
        let mark_of = |number: usize| {
            self.passages
                .get(number)
                .and_then(|passage| mark_of_note(&passage.text))
        };
        mark_of(number).is_some_and(|mark| {
            let beside = [number.wrapping_sub(1), number + 1];
            mark != "*"
                || !beside
                    .iter()
                    .any(|&other| mark_of(other).as_ref() == Some(&mark))
        })
    }

    /// Gives the claims that bear a mark what its note says.
    pub(super) fn of_the_notes(&mut self) {
        let notes = self.notes();
        if notes.is_empty() {
            return;
        }
        // What the heads of the passage that was looked at last bear.
        let mut last: (usize, Vec<String>) = (usize::MAX, Vec::new());
        for number in 0..self.claims.len() {
            let claim = &self.claims[number];
            let passage = claim.passage();
            let mut borne = self.borne(passage, claim.place(), number);
            if last.0 != passage {
                let above = self.above(passage);
                let heads = above.columns.into_iter().chain([above.row]).flatten();
                let texts = heads.map(|head| self.passages[head as usize].text.as_str());
                let short = texts.filter(|text| text.len() <= LONGEST);
                last = (passage, short.flat_map(marks).collect());
            }
            borne.extend_from_slice(&last.1);
            for note in borne.iter().filter_map(|mark| notes.get(mark)) {
                if note.passage as usize == passage {
                    continue;
                }
                for quantity in &note.stated {
                    if fits(self.claims[number].attribute, quantity.dimension()) {
                        self.put(number, quantity);
                    }
                }
                let claim = &mut self.claims[number];
                if claim.attribute == Attribute::Cost
                    && note.hours.is_some()
                    && claim.condition.hours_per_day.is_none()
                {
                    claim.condition.hours_per_day = note.hours;
                }
            }
        }
    }

    /// The marks right behind a figure, or on the label before it.
    fn borne(&self, passage: usize, place: Range<usize>, number: usize) -> Vec<String> {
        let text = self.passages[passage].text.as_str();
        if !may_have_marks(text) {
            return Vec::new();
        }
        let behind = text.get(place.end..).unwrap_or("");
        // `118 L/min (4.2 cfm)¹`: a mark behind the second listing is the first's too.
        let bracket = behind
            .trim_start_matches(' ')
            .strip_prefix('(')
            .filter(|_| self.claims[number].also.is_some());
        // A second listing is short, and a page of brackets is long.
        let inside = bracket.map_or("", |inside| &inside[..inside.floor_char_boundary(FARTHEST)]);
        let behind = match (bracket, inside.find(')')) {
            (Some(bracket), Some(close)) => &bracket[close + 1..],
            _ => behind,
        };
        let mut borne: Vec<String> =
            mark_at(behind.trim_start_matches([' ', ')', '\u{a0}', '.', ',']))
                .map(|(mark, _)| mark)
                .into_iter()
                .collect();
        let last = number
            .checked_sub(1)
            .map(|before| &self.claims[before])
            .filter(|before| before.passage() == passage)
            .map_or(0, |before| before.place().end.min(place.start));
        let near = text.floor_char_boundary(place.start.saturating_sub(FARTHEST));
        let label = &text[last.max(near)..place.start];
        // A mark behind the figure before is that one's.
        let own = label
            .find(char::is_alphabetic)
            .map_or("", |at| &label[at..]);
        borne.extend(marks(own));
        borne
    }

    /// The notes of the page, by their marks.
    fn notes(&self) -> HashMap<String, Note> {
        let mut notes = HashMap::new();
        for (number, passage) in self.passages.iter().enumerate() {
            if !self.is_note(number) {
                continue;
            }
            // Several may stand behind each other: `¹ at 18 kPa. ² at 3 m.`
            let mut rest = passage.text.as_str();
            while let Some((mark, end)) = mark_at(rest) {
                let next = rest[end..]
                    .char_indices()
                    .find(|&(at, c)| c == ' ' && mark_at(&rest[end + at + 1..]).is_some())
                    .map_or(rest.len(), |(at, _)| end + at + 1);
                let note = self.note(number as u32, &rest[..next]);
                if !note.stated.is_empty() || note.hours.is_some() {
                    notes.entry(mark).or_insert(note);
                }
                rest = &rest[next..];
            }
        }
        notes
    }

    fn note(&self, number: u32, text: &str) -> Note {
        let (mut found, mut measures) = (Vec::new(), Vec::new());
        tokens::tokens(text, self.habits.style, &mut found);
        measure::measures(text, &found, self.habits, self.memory, &mut measures);
        measure::tariffs(text, &found, &mut measures);
        let mut facts = view::Facts::default();
        facts.of(text, &found, &measures);
        let around = view::Around::default();
        let view = view::View {
            text,
            tokens: &found,
            measures: &measures,
            around: &around,
            facts: &facts,
        };
        Note {
            passage: number,
            stated: measures
                .iter()
                .filter(|measure| is_condition(&view, measure))
                .filter_map(|measure| measure.quantity.clone())
                .collect(),
            hours: conditions::hours_per_day(&view, 0..found.len()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::Kind;
    use super::super::shown::claims_of;

    #[test]
    fn a_mark_behind_a_second_listing_is_the_firsts_too() {
        let page =
            "| Free air | 118 L/min (4.2 cfm)[^a] |\n|--|--|\n\n[^a]: At 25 kPa back pressure.\n";
        assert_eq!(
            claims_of(Kind::Markdown, page),
            ["118 L/min flow exact at 25 kPa also 4.2 cfm"]
        );
    }

    #[test]
    fn a_mark_leads_to_what_its_note_says() {
        let html = "<p>Noise<sup>2</sup>: 41 dBA. Air 60 L/min<sup>1</sup> for 800 m<sup>2</sup>.</p>\
            <p><sup>1</sup> At 20 kPa.</p><p><sup>2</sup> Measured at 10 ft.</p>";
        assert_eq!(
            claims_of(Kind::Html, html),
            [
                "41 dBA sound exact at 10 ft",
                "60 L/min flow exact at 20 kPa",
                "800 m² area exact"
            ]
        );
        let text = "| Sound* | Air** |\n|--|--|\n| 38 dB(A) | 60 L/min |\n\n\\* at 1 m\n\n\\** at a depth of 2 m\n";
        assert_eq!(
            claims_of(Kind::Markdown, text),
            ["38 dB(A) sound exact at 1 m", "60 L/min flow exact at 2 m"]
        );
        let items = "* Compressor 44 W\n* Air 60 L/min\n";
        assert_eq!(
            claims_of(Kind::Text, items),
            ["44 W power exact", "60 L/min flow exact"]
        );
        let twelfth = "<p>Noise<sup>12</sup>: 41 dBA</p><p><sup>1</sup> at 1 m</p><p><sup>12</sup> at 10 ft</p>";
        assert_eq!(
            claims_of(Kind::Html, twelfth),
            ["41 dBA sound exact at 10 ft"]
        );
        let footnotes =
            "Costs £9 a month[^a] to run, at 38 dB[^b].\n\n[^a]: At 27p/kWh.\n[^b]: At 1 m.\n";
        assert_eq!(
            claims_of(Kind::Markdown, footnotes),
            [
                "£9 a month cost exact at 0.27 GBP/kWh",
                "38 dB sound exact at 1 m"
            ]
        );
    }
}
