//! Spec sheets: the text of Markdown, HTML, plain text, separated values and PDF with the place of each byte or
//! word, the figures in it, and which of them are claims.
//!
//! ```text
//! bytes ─► layout (passages with their places) ─► tokens ─► measure (numbers with units) ─► claim
//! ```
//!
//! Reading never fails: what can't be read is said ([`Unread`]), and the rest is read.

mod around;
mod asides;
mod columns;
mod comparison;
mod conditions;
mod counting;
mod csv;
mod decoded;
mod dual;
mod extract;
mod finder;
mod hazards;
mod holding;
mod html;
mod labels;
mod layout;
mod lexicon;
mod markdown;
mod measure;
mod money;
mod notes;
mod numeral;
mod others;
mod pages;
mod phrases;
#[cfg(feature = "pdf")]
pub mod pdf;
mod plain;
mod rows;
mod scope;
mod siblings;
mod subject_matter;
mod structured;
mod sureness;
mod tables;
mod tokens;
mod unit_words;
mod view;
mod vocabulary;
mod word;

mod claim;
mod claims;

use std::ops::Range;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::OnceLock;

pub use claim::{
    Also, Attribute, Claim, Comparator, Condition, Counted, SaidBy, Si, Subject, Sureness, Under,
};
pub use extract::Extract;
pub use hazards::{Hazard, Hazards};
pub use layout::{Passage, Piece, Role, Unread, UnreadKind};
pub use lexicon::{heads_names, heads_others, names_no_thing};
pub use measure::Period;
pub use scope::Scope;
pub use sureness::{Heard, Seen, Why};

use crate::text::{DecodingFault, Source};
use crate::units::{Currency, Unit};

use layout::Layout;
use lexicon::{BRITISH, DOLLARS, METRIC, RUNNING, US};
use measure::Habits;
use word::{Word, WordMap};

/// What kind of file a sheet is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// CommonMark with tables.
    Markdown,
    /// HTML.
    Html,
    /// Plain text.
    Text,
    /// Separated values.
    Csv,
    /// PDF: its text is taken from it beforehand.
    Pdf,
}

impl Kind {
    /// By a file's name; none for names that no sheet has.
    pub fn of(name: &str) -> Option<Kind> {
        let (_, ending) = name.rsplit_once('.')?;
        Some(match ending.to_ascii_lowercase().as_str() {
            "md" | "markdown" => Kind::Markdown,
            "html" | "htm" | "xhtml" => Kind::Html,
            "txt" | "text" => Kind::Text,
            "csv" | "tsv" => Kind::Csv,
            "pdf" => Kind::Pdf,
            _ => return None,
        })
    }
}

/// A sheet as it was read.
#[derive(Debug, Clone)]
pub struct Sheet {
    /// Its text, in the order of the page.
    pub passages: Vec<Passage>,
    /// Its claims, in the order of the page.
    pub claims: Vec<Claim>,
    /// Figures that are read and not judged.
    pub heard: Vec<Heard>,
    /// Figures that are seen and not read.
    pub seen: Vec<Seen>,
    /// Whether a kilowatt-hour is named anywhere on it.
    pub counts_energy: bool,
    /// What wasn't read.
    pub unread: Vec<Unread>,
    /// The package that the sheet itself says it is about, with the place of the word.
    pub package: Option<(String, Range<usize>)>,
    /// The language the sheet says it is in, or seems to be.
    pub language: Option<String>,
    /// Whether it follows US custom: feet, acres, dollars.
    pub is_us: bool,
}

/// The unit that the heading of a table's column names for the figures below it, and where it stands there.
pub fn unit_of_heading(heading: &str) -> Option<(Unit, Range<usize>)> {
    let (found, at) = unit_words::of_head(heading)?;
    Some((found.unit(false), at))
}

/// What comes of `work`; nothing if the program itself fails at it, so that one file can't end the run of all.
pub fn contained<T>(work: impl FnOnce() -> T) -> Option<T> {
    // What `work` borrows is only read, and what it was making is dropped.
    catch_unwind(AssertUnwindSafe(work)).ok()
}

/// A sheet of which nothing was read, as the program failed at it.
fn failed() -> Sheet {
    let mut layout = Layout::default();
    layout.unread(UnreadKind::Failed, 0..0);
    understand(layout)
}

/// Reads a sheet of pages: `source` is the text that was taken from it, and `unread` what of it couldn't be.
pub fn read_pages(source: &Source, unread: &[(UnreadKind, Option<u32>)]) -> Sheet {
    contained(|| pages_of(source, unread)).unwrap_or_else(failed)
}

/// Reads a sheet.
pub fn read(kind: Kind, source: &Source) -> Sheet {
    contained(|| text_of(kind, source)).unwrap_or_else(failed)
}

fn pages_of(source: &Source, unread: &[(UnreadKind, Option<u32>)]) -> Sheet {
    let mut layout = Layout::default();
    if let Some(pages) = source.pages() {
        pages::read(source, pages, &mut layout);
    }
    for &(what, page) in unread {
        let at = source
            .pages()
            .zip(page)
            .and_then(|(pages, page)| pages.start(page))
            .unwrap_or(0);
        layout.unread.push(Unread {
            what,
            at: at..at,
            page,
        });
    }
    understand(layout)
}

fn text_of(kind: Kind, source: &Source) -> Sheet {
    let text = source.text();
    let mut layout = Layout::of(text.len());
    match kind {
        Kind::Markdown => markdown::read(text, 0, &mut layout),
        Kind::Html => html::read(text, 0, &mut layout),
        Kind::Text => {
            let mark = if text.starts_with('\u{feff}') { 3 } else { 0 };
            plain::read(&text[mark..], mark, &mut layout);
        }
        Kind::Csv => {
            let mark = if text.starts_with('\u{feff}') { 3 } else { 0 };
            csv::read(&text[mark..], mark, &mut layout);
        }
        Kind::Pdf => return pages_of(source, &[(UnreadKind::Kind, None)]),
    }
    if let Some(fault) = source.fault() {
        let at = match fault {
            DecodingFault::Utf16 => 0..0,
            DecodingFault::NotUtf8 { at, .. } => at..at + 1,
        };
        layout.unread(UnreadKind::Encoding, at);
    }
    understand(layout)
}

/// Finds the claims of a text that is laid out.
fn understand(mut layout: Layout) -> Sheet {
    let signs = Signs::of(&layout);
    let language = layout
        .language
        .clone()
        .or_else(|| signs.language.map(str::to_owned));
    if let Some(at) = signs.foreign.clone() {
        layout.unread(UnreadKind::Language, at);
    }
    let comma_language = language.as_deref().is_some_and(|language| {
        let language = language.to_ascii_lowercase();
        [
            "de", "fr", "es", "it", "nl", "pt", "da", "sv", "nb", "fi", "pl", "cs",
        ]
        .iter()
        .any(|code| language.starts_with(code))
            && !language.starts_with("es-mx")
    });
    let (style, mixed) = numeral::style(
        layout.passages.iter().map(|passage| passage.text.as_str()),
        comma_language,
    );
    let habits = Habits {
        style,
        british: signs.is_british(layout.language.as_deref()),
        dollar: signs.dollar(layout.language.as_deref()),
        cent: if signs.euros > 0 && signs.us_dollars == 0 {
            Currency::EUR
        } else {
            signs.dollar(layout.language.as_deref())
        },
        crown: language.as_deref().and_then(crown),
    };
    let claims::Found {
        claims,
        figures,
        cut,
    } = claims::find(&layout.passages, habits, mixed);
    let spoken = match &language {
        Some(language) => lexicon::LANGUAGES
            .iter()
            .position(|code| {
                language
                    .get(..2)
                    .is_some_and(|two| two.eq_ignore_ascii_case(code))
            })
            .map_or(sureness::Language::Unknown, sureness::Language::Known),
        None if signs.foreign.is_some() => sureness::Language::Unknown,
        None => sureness::Language::Untold,
    };
    let sureness::Sorted {
        claims,
        heard,
        seen,
    } = sureness::sort(&layout.passages, claims, figures, spoken);
    if let Some(passage) = cut.and_then(|number| layout.passages.get(number)) {
        let at = passage.source(passage.text.len()..passage.text.len());
        layout.unread(UnreadKind::TooLarge, at);
    }
    layout.unread.sort_by_key(|one| (one.at.start, one.what));
    let names_energy = |passage: &Passage| {
        let mut words = passage.text.as_bytes().windows(3);
        words.any(|word| word.eq_ignore_ascii_case(b"kwh"))
    };
    Sheet {
        counts_energy: layout.passages.iter().any(names_energy),
        claims,
        heard,
        seen,
        package: layout.package,
        language,
        is_us: signs.us > signs.metric,
        unread: layout.unread,
        passages: layout.passages,
    }
}

/// The crown of a language's country.
fn crown(language: &str) -> Option<Currency> {
    let own = [
        ("da", Currency::DKK),
        ("sv", Currency::SEK),
        ("nb", Currency::NOK),
        ("no", Currency::NOK),
    ];
    let begins = |code: &str| {
        language
            .get(..2)
            .is_some_and(|two| two.eq_ignore_ascii_case(code))
    };
    own.into_iter()
        .find(|(code, _)| begins(code))
        .map(|(_, crown)| crown)
}

/// What a sign of pounds weighs among words of British English.
const POUND: u32 = 10;

/// What a page shows of its customs, in one pass over its words.
struct Signs {
    /// Words of British English, and pounds.
    british: u32,
    us: u32,
    metric: u32,
    /// Signs of euros and of dollars.
    euros: u32,
    us_dollars: u32,
    /// Words of Canada, Australia and New Zealand, whose dollars are written like those of the USA.
    dollars: [u32; 3],
    language: Option<&'static str>,
    /// Bytes of the first passage in a language whose words aren't known.
    foreign: Option<Range<usize>>,
}

impl Signs {
    /// Whether bare gallons are imperial and bare pence money: by pounds or by the language that the page says
    /// it is in, or by two words that only Britain has on a page of metres and litres.
    fn is_british(&self, language: Option<&str>) -> bool {
        let says = language.is_some_and(|language| {
            ["en-gb", "en-ie"]
                .iter()
                .any(|code| language.eq_ignore_ascii_case(code))
        });
        says || self.british >= POUND || (self.british >= 2 && self.metric > self.us)
    }

    /// Whose dollar a bare `$` is.
    fn dollar(&self, language: Option<&str>) -> Currency {
        let says = |code: &str| {
            language.is_some_and(|language| language.to_ascii_lowercase().ends_with(code))
        };
        let [canada, australia, zealand] = self.dollars;
        if says("-ca") || (canada >= 2 && canada >= australia) {
            Currency::CAD
        } else if says("-au") || (australia >= 2 && australia >= zealand) {
            Currency::AUD
        } else if says("-nz") || zealand >= 2 {
            Currency::NZD
        } else {
            Currency::USD
        }
    }
}

/// What a word shows of a page's customs.
#[derive(Clone, Copy, Default)]
struct Custom {
    /// Languages by their place in [`RUNNING`], as bits.
    languages: u8,
    us: bool,
    metric: bool,
    /// What it weighs as a sign of Britain.
    british: u32,
    /// Whose dollar it is a sign of, by its place in [`DOLLARS`].
    dollar: Option<usize>,
}

/// What words show.
fn customs() -> &'static WordMap<Custom> {
    static KNOWN: OnceLock<WordMap<Custom>> = OnceLock::new();
    KNOWN.get_or_init(|| {
        let mut known = WordMap::<Custom>::default();
        let mut change = |words: &[&str], change: &dyn Fn(&mut Custom)| {
            for word in words {
                change(known.entry(Word::read(word)));
            }
        };
        for (place, (_, words)) in RUNNING.iter().enumerate() {
            change(words, &|custom| custom.languages |= 1 << place);
        }
        change(US, &|custom| custom.us = true);
        change(METRIC, &|custom| custom.metric = true);
        change(&["imperial"], &|custom| custom.british = POUND);
        change(BRITISH, &|custom| custom.british = 1);
        for (place, words) in DOLLARS.iter().enumerate() {
            change(words, &|custom| custom.dollar = Some(place));
        }
        known
    })
}

/// Where the words of a text stand, with the signs of money at them.
fn signed_words(text: &str) -> impl Iterator<Item = Range<usize>> {
    let bytes = text.as_bytes();
    // The length of what stands at a byte, and whether it is part of a word.
    let part = |at: usize| {
        let byte = *bytes.get(at)?;
        if byte.is_ascii() {
            return Some((1, byte.is_ascii_alphanumeric() || byte == b'$'));
        }
        let c = text.get(at..)?.chars().next()?;
        Some((c.len_utf8(), c.is_alphanumeric() || matches!(c, '£' | '€')))
    };
    let mut at = 0;
    std::iter::from_fn(move || {
        while let Some((length, false)) = part(at) {
            at += length;
        }
        let start = at;
        while let Some((length, true)) = part(at) {
            at += length;
        }
        (at > start).then_some(start..at)
    })
}

impl Signs {
    fn of(layout: &Layout) -> Signs {
        let mut signs = Signs {
            british: 0,
            us: 0,
            metric: 0,
            euros: 0,
            us_dollars: 0,
            dollars: [0; 3],
            language: None,
            foreign: None,
        };
        let mut counts = [0u32; RUNNING.len()];
        let known = customs();
        let mut words = 0u32;
        let mut strange: Option<(u32, Range<usize>)> = None;
        // The first stretch of a page tells; a long one needn't be weighed to its end.
        for passage in layout.passages.iter().take(4000) {
            let (mut letters, mut foreign) = (0u32, 0u32);
            for at in signed_words(&passage.text) {
                let word = &passage.text[at.clone()];
                if let Some(first) = word.chars().next()
                    && first.is_alphabetic()
                {
                    letters += 1;
                    foreign += u32::from(
                        first as u32 >= 0x370
                            && !matches!(first, 'µ' | 'μ' | 'Ω' | '\u{1e00}'..='\u{1eff}' | '\u{2100}'..='\u{214f}'),
                    );
                }
                if word.starts_with('£') {
                    signs.british += POUND;
                }
                if word.starts_with('$') {
                    signs.us += 1;
                    signs.us_dollars += 1;
                }
                signs.euros += u32::from(word.starts_with('€') || word.ends_with('€'));
                if word.len() > 12 {
                    continue;
                }
                words += 1;
                let word = Word::at(&passage.text, at.start, at.end);
                let known = known.get(word).copied().unwrap_or_default();
                if known.languages != 0 {
                    for (place, count) in counts.iter_mut().enumerate() {
                        *count += u32::from(known.languages >> place & 1);
                    }
                }
                signs.us += u32::from(known.us);
                signs.metric += u32::from(known.metric);
                signs.british += known.british;
                if let Some(place) = known.dollar {
                    signs.dollars[place] += 1;
                }
            }
            if foreign > 3 && foreign * 2 > letters {
                let at = passage.source(0..passage.text.len());
                match &mut strange {
                    Some((count, place)) => {
                        *count += foreign;
                        place.end = at.end.max(place.end);
                    }
                    None => strange = Some((foreign, at)),
                }
            }
        }
        let best = counts
            .iter()
            .enumerate()
            .max_by_key(|&(place, count)| (*count, std::cmp::Reverse(place)))
            .map(|(place, _)| place);
        if let Some(place) = best
            && counts[place] >= 2
            && words >= 4
        {
            signs.language = Some(RUNNING[place].0);
        }
        signs.foreign = strange.map(|(_, at)| at);
        if signs.foreign.is_none()
            && matches!(signs.language, Some("fr" | "es" | "nl" | "it"))
            && let Some(first) = layout.passages.first()
        {
            signs.foreign = Some(first.source(0..first.text.len()));
        }
        signs
    }
}

/// What is read of a text, for the tests of each family of phrases.
#[cfg(test)]
mod shown {
    use super::{Kind, Si, Source, read};

    /// The claims of a text of that kind: the figure as it is written, its attribute, how it is bounded and under
    /// what it holds.
    pub fn claims_of(kind: Kind, text: &str) -> Vec<String> {
        let sheet = read(kind, &Source::new("sheet", text.as_bytes().to_vec()));
        let mut shown = Vec::new();
        for claim in &sheet.claims {
            let figure = &sheet.passages[claim.passage()].text[claim.place()];
            let mut line = format!(
                "{figure} {} {}",
                claim.attribute.as_str(),
                claim.comparator.as_str()
            );
            if claim.si == Si::None {
                line.push_str(" none");
            }
            let condition = &claim.condition;
            let all = [
                &condition.pressure,
                &condition.depth,
                &condition.distance,
                &condition.tariff,
                &condition.temperature,
            ];
            for quantity in all.into_iter().flatten() {
                line.push_str(&format!(" at {}", quantity.canonical()));
            }
            if let Some(per) = condition.per {
                line.push_str(&format!(" per {}", per.as_str()));
            }
            if let Some(also) = &claim.also {
                line.push_str(&format!(" also {}", also.text));
            }
            shown.push(line);
        }
        shown
    }

    /// Holds the claims of one line of running text to what is expected, parted by semicolons.
    #[track_caller]
    pub fn is(text: &str, expected: &str) {
        let shown = claims_of(Kind::Text, text).join("; ");
        assert_eq!(shown, expected, "{text}");
    }
}
