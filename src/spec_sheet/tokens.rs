//! Words, numbers and signs of a passage.

use super::numeral::{self, Style};
use super::vocabulary::{self, Meaning, Topic, cue};
use super::word::{Word, is_one, words};

/// What a token is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A number in figures.
    Figure,
    /// A number as a word, in the format's writing.
    Spelled(&'static str),
    /// A word, with its topic if it has one.
    Word(Option<Topic>),
    /// Letters and figures together: a part's number, a formula.
    Mixed(Option<Topic>),
    /// Any other character.
    Sign(char),
    /// The end of a sentence.
    Stop,
}

/// A token with its bytes in the passage.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Token {
    /// What it is.
    pub kind: Kind,
    /// What a word tells beyond its topic: bits of [`vocabulary::cue`].
    pub cues: u64,
    /// Its text.
    pub word: Word,
    /// First byte.
    pub start: u32,
    /// One past the last.
    pub end: u32,
}

impl Token {
    /// Its bytes.
    pub fn range(&self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }

    /// Its topic, if it is a word with one.
    pub fn topic(&self) -> Option<Topic> {
        match self.kind {
            Kind::Word(topic) | Kind::Mixed(topic) => topic,
            Kind::Sign('@') => Some(Topic::At),
            Kind::Sign('≤' | '<') => Some(Topic::AtMost),
            Kind::Sign('≥' | '>') => Some(Topic::AtLeast),
            Kind::Sign('~' | '≈') => Some(Topic::About),
            Kind::Sign('ø' | 'Ø' | '⌀' | '∅') => Some(Topic::Bore),
            _ => None,
        }
    }

    /// Whether it is a part of a whole as a word, which may begin a comparison.
    pub fn is_part(&self) -> bool {
        matches!(self.kind, Kind::Spelled("1/2" | "1/3" | "1/4"))
    }

    /// Whether it is a number of either kind.
    pub fn is_number(&self) -> bool {
        matches!(self.kind, Kind::Figure | Kind::Spelled(_))
    }

    /// Whether it is a word of any kind.
    pub fn is_word(&self) -> bool {
        matches!(self.kind, Kind::Word(_) | Kind::Mixed(_))
    }
}

/// Words whose stop ends no sentence.
fn is_abbreviation(word: &str) -> bool {
    const KNOWN: &[Word] = words![
        "max", "min", "approx", "ca", "ft", "in", "sq", "dia", "no", "nr", "mr", "mrs", "dr", "st",
        "co", "inc", "ltd", "vs", "fig", "cu", "incl", "excl", "inkl", "zzgl", "bzw", "ggf",
        "evtl", "etc", "usw", "art", "tel", "ext", "nom", "temp", "hr", "hrs", "lb", "lbs", "oz",
        "gal", "diam", "rec", "est", "cont", "wt", "std", "eg", "ie",
    ];
    word.chars().count() == 1 || word.contains('.') || KNOWN.contains(&Word::read(word))
}

/// How many points and blanks may stand between the ends of a range.
const LONGEST_ELLIPSIS: usize = 8;

/// Takes a passage apart.
pub fn tokens(text: &str, style: Style, found: &mut Vec<Token>) {
    found.clear();
    let bytes = text.as_bytes();
    let mut at = 0;
    let put = |found: &mut Vec<Token>, (kind, cues): (Kind, u64), start: usize, end: usize| {
        found.push(Token {
            kind,
            cues,
            word: Word::at(text, start, end),
            start: start as u32,
            end: end as u32,
        });
    };
    while at < bytes.len() {
        let byte = bytes[at];
        let start = at;
        match byte {
            b' ' | b'\t' | b'\r' => at += 1,
            b'\n' => {
                put(found, (Kind::Stop, 0), at, at + 1);
                at += 1;
            }
            b'0'..=b'9' => {
                at = numeral::end(text, at, style);
                put(found, (Kind::Figure, 0), start, at);
            }
            b'.' if bytes.get(at + 1).is_some_and(u8::is_ascii_digit)
                && !text[..at].ends_with(|c: char| c.is_alphanumeric()) =>
            {
                at = numeral::end(text, at, style);
                put(found, (Kind::Figure, 0), start, at);
            }
            b'.' if bytes[at..].starts_with(b"....") => {
                // A row of points leads from a label to its figure, as a colon does.
                at += bytes[at..].iter().take_while(|&&b| b == b'.').count();
                put(found, (Kind::Sign(':'), 0), start, at);
            }
            b'.' if bytes[at..].starts_with(b". . .") => {
                at += bytes[at..]
                    .iter()
                    .take_while(|&&b| matches!(b, b'.' | b' '))
                    .count();
                put(found, (Kind::Sign(':'), 0), start, at);
            }
            // `14..104 F`, `14...104 F`: from one figure to another.
            b'.' if bytes[at..].starts_with(b"..")
                && at > 0
                && matches!(bytes[at - 1], b'0'..=b'9' | b' ')
                && bytes[at..]
                    .iter()
                    .take(LONGEST_ELLIPSIS)
                    .find(|&&b| !matches!(b, b'.' | b' '))
                    .is_some_and(|b| b.is_ascii_digit() || matches!(b, b'+' | b'-')) =>
            {
                at += bytes[at..].iter().take_while(|&&b| b == b'.').count();
                put(found, (Kind::Sign('…'), 0), start, at);
            }
            b'.' | b'!' | b'?' | b';' => {
                at += 1;
                let after = text[at..].trim_start_matches(['"', '\'', ')', '”', '’']);
                let ends = byte != b'.'
                    || after.is_empty()
                    || (after.starts_with(|c: char| c.is_whitespace())
                        && after.trim_start().starts_with(|c: char| {
                            c.is_uppercase() || c.is_ascii_digit() || !c.is_alphanumeric()
                        })
                        && (!is_abbreviation(last_word(&text[..start]))
                            || ends_with_its_unit(text, start, after)));
                put(
                    found,
                    (if ends { Kind::Stop } else { Kind::Sign('.') }, 0),
                    start,
                    at,
                );
            }
            b'a'..=b'z' | b'A'..=b'Z' => at = self::word(text, at, found),
            _ if byte.is_ascii() => {
                at += 1;
                // `24/7`
                let is_hourly = byte == b'/' && bytes.get(at) == Some(&b'7');
                let cues = if is_hourly { cue::HOURLY } else { 0 };
                put(found, (Kind::Sign(byte as char), cues), start, at);
            }
            _ => {
                let Some(c) = text[at..].chars().next() else {
                    break;
                };
                if numeral::vulgar(c).is_some()
                    || (numeral::is_raised(c) && numeral::raised_fraction(&text[at..]).is_some())
                {
                    at = numeral::end(text, at, style);
                    put(found, (Kind::Figure, 0), start, at);
                } else if c.is_alphabetic() && !matches!(c, 'º' | 'ª') {
                    at = self::word(text, at, found);
                } else {
                    at += c.len_utf8();
                    if !c.is_whitespace() && !matches!(c, '\u{200b}' | '\u{ad}' | '\u{2060}') {
                        put(found, (Kind::Sign(c), 0), start, at);
                    }
                }
            }
        }
    }
}

/// `quarter-inch`, `two-disc`: the number that such a word begins with, and its length without the hyphen.
fn counted(word: &str) -> Option<(&'static str, usize)> {
    let (first, last) = word.rsplit_once('-')?;
    let counts = vocabulary::entry(last).cues & cue::COUNTED != 0;
    match (
        vocabulary::entry(first).meaning,
        vocabulary::entry(last).meaning,
    ) {
        (Some(Meaning::Number(number)), _) if counts => Some((number, first.len())),
        // `forty-four`
        (Some(Meaning::Number(tens)), Some(Meaning::Number(ones)))
            if tens.len() == 2 && ones.len() == 1 && vocabulary::entry(word).meaning.is_none() =>
        {
            Some((tens, first.len()))
        }
        _ => None,
    }
}

/// Whether a sentence ends at the stop that follows a unit: `draws 0.9 A. The cord`, `to 8 ft. Then`, but
/// not `3 ft. 6 in.` or `22 FT. MAX`.
fn ends_with_its_unit(text: &str, stop: usize, after: &str) -> bool {
    let word = last_word(&text[..stop]);
    let before = text[..stop - word.len()].trim_end_matches([' ', '\u{a0}']);
    if !before.ends_with(|c: char| c.is_ascii_digit() || numeral::vulgar(c).is_some())
        || word.is_empty()
    {
        return false;
    }
    let mut next = after.trim_start().chars();
    next.next().is_some_and(char::is_uppercase)
        && next.next().is_some_and(|c| c.is_lowercase() || c == ' ')
}

fn last_word(text: &str) -> &str {
    let start = text
        .rfind(|c: char| !(c.is_alphanumeric() || c == '.'))
        .map_or(0, |at| {
            at + text[at..].chars().next().map_or(1, char::len_utf8)
        });
    &text[start..]
}

/// Adds the word at a byte, and tells where it ends.
fn word(text: &str, start: usize, found: &mut Vec<Token>) -> usize {
    // Most words are a few letters and nothing else.
    let (mut word, extent) = match Word::of_letters(text, start) {
        Some((word, length)) => {
            let extent = Extent {
                end: start + length,
                has_digit: false,
                has_hyphen: false,
            };
            (word, extent)
        }
        None => {
            let extent = Extent::of(text, start);
            (Word::at(text, start, extent.end), extent)
        }
    };
    let Extent {
        mut end,
        has_digit,
        has_hyphen,
    } = extent;
    let mut kind = Kind::Word(None);
    let mut cues = 0;
    if has_hyphen && let Some((number, length)) = counted(&text[start..end]) {
        end = start + length;
        word = Word::at(text, start, end);
        kind = Kind::Spelled(number);
    } else if has_digit {
        kind = Kind::Mixed(vocabulary::topic(&text[start..end]));
    } else {
        let entry = vocabulary::entry_of(word, &text[start..end]);
        cues = entry.cues;
        match entry.meaning {
            Some(Meaning::Topic(topic)) => kind = Kind::Word(Some(topic)),
            Some(Meaning::Number(number)) => kind = Kind::Spelled(number),
            // Of a compound the last part tells: `power-saving` is none of power, `low-noise` is of noise.
            None => {
                if has_hyphen && let Some((first, last)) = text[start..end].rsplit_once('-') {
                    let topic = vocabulary::topic(last).or_else(|| vocabulary::topic(first));
                    kind = Kind::Word(topic);
                }
            }
        }
    }
    // `whisper quiet`: what stands right before it only says how quiet.
    if is_one!(
        word,
        "quiet" | "silent" | "leise" | "silencieux" | "stil" | "stille"
    ) && let Some(before) = found.last_mut()
        && before.end as usize + 1 == start
        && before.topic() == Some(Topic::Other)
    {
        before.kind = Kind::Word(None);
    }
    found.push(Token {
        kind,
        cues,
        word,
        start: start as u32,
        end: end as u32,
    });
    end
}

/// Where a word ends, and what is in it.
struct Extent {
    end: usize,
    has_digit: bool,
    has_hyphen: bool,
}

impl Extent {
    /// Of the word at a byte: letters and figures, with single hyphens and points between letters.
    fn of(text: &str, at: usize) -> Extent {
        let bytes = text.as_bytes();
        let mut extent = Extent {
            end: at,
            has_digit: false,
            has_hyphen: false,
        };
        while let Some(&byte) = bytes.get(extent.end) {
            let end = extent.end;
            let next = bytes.get(end + 1);
            match byte {
                b'a'..=b'z' | b'A'..=b'Z' => extent.end += 1,
                b'0'..=b'9' => {
                    extent.has_digit = true;
                    extent.end += 1;
                }
                // `1/4-acre` begins with its figure; `half-acre` is one word; `OM-38` too.
                b'-' | b'\'' if next.is_some_and(u8::is_ascii_alphanumeric) => {
                    extent.has_hyphen |= byte == b'-';
                    extent.end += 1;
                }
                // `I.D.` and `p.s.i`, not the stop of a sentence.
                b'.' if (end == at + 1 || (end >= 2 && bytes[end - 2] == b'.'))
                    && bytes[end - 1].is_ascii_alphabetic()
                    && next.is_some_and(u8::is_ascii_alphabetic)
                    && bytes.get(end + 2).is_none_or(|b| !b.is_ascii_alphabetic()) =>
                {
                    extent.end += 1;
                }
                0..=0x7f => break,
                _ => {
                    let Some(c) = text[end..].chars().next() else {
                        break;
                    };
                    let after = end + c.len_utf8();
                    let goes_on = match c {
                        '’' | '‑' => text[after..].starts_with(|c: char| c.is_alphabetic()),
                        '₂' | '\u{ad}' => true,
                        c => c.is_alphabetic(),
                    };
                    if !goes_on {
                        break;
                    }
                    extent.end = after;
                }
            }
        }
        extent.end = extent.end.max(at + 1);
        extent
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(text: &str) -> Vec<String> {
        let mut found = Vec::new();
        tokens(text, Style::Point, &mut found);
        found
            .iter()
            .map(|token| match token.kind {
                Kind::Stop => "|".to_owned(),
                Kind::Figure => format!("#{}", &text[token.range()]),
                _ => text[token.range()].to_owned(),
            })
            .collect()
    }

    #[test]
    fn words_numbers_and_sentences() {
        assert_eq!(
            shown("Up to 1-1/2 acres. OM-38 runs 1,500 gpm @ 10'."),
            [
                "Up", "to", "#1-1/2", "acres", "|", "OM-38", "runs", "#1,500", "gpm", "@", "#10",
                "'", "|"
            ]
        );
        assert_eq!(shown("Max. Depth .5 m"), ["Max", ".", "Depth", "#.5", "m"]);
        assert_eq!(shown("3/8 I.D. line"), ["#3/8", "I.D", ".", "line"]);
        assert_eq!(shown("115/230V"), ["#115", "/", "#230", "V"]);
        assert_eq!(shown("24/7"), ["#24", "/", "#7"]);
    }
}
