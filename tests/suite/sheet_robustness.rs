//! Spec sheets that are cut off, damaged or made to do harm: reading them never panics, and takes time and
//! memory in proportion to their bytes.

use std::sync::OnceLock;
use std::time::{Duration, Instant};

use nameplate::spec_sheet::{self, Kind, Sheet, UnreadKind};
use nameplate::text::Source;

use super::sheet_corpus::{folder, sheets};

fn read(kind: Kind, bytes: Vec<u8>) -> (Source, Sheet) {
    let source = Source::new("sheet", bytes);
    let sheet = spec_sheet::read(kind, &source);
    (source, sheet)
}

/// What holds of every reading: places lie in the file, in the passage, and between characters.
fn is_sound(source: &Source, sheet: &Sheet) {
    let length = source.text().len();
    for claim in &sheet.claims {
        assert!(
            claim.at.start <= claim.at.end && claim.at.end <= length,
            "{claim:?}"
        );
        assert!(source.text().is_char_boundary(claim.at.start), "{claim:?}");
        assert!(source.text().is_char_boundary(claim.at.end), "{claim:?}");
        let passage = &sheet.passages[claim.passage()];
        assert!(passage.text.get(claim.place()).is_some(), "{claim:?}");
        if let Some((low, high)) = claim.si.bounds() {
            assert!(
                low.is_finite() && high.is_finite() && low <= high,
                "{claim:?}"
            );
        }
    }
    for unread in &sheet.unread {
        assert_ne!(unread.what, UnreadKind::Failed, "the program itself failed");
        assert!(unread.at.end <= length.max(1), "{unread:?}");
    }
    assert!(sheet.claims.is_sorted_by_key(|claim| claim.passage()));
}

/// A generator of numbers whose sequence is the same everywhere (SplitMix64, from memory).
pub struct Numbers(pub u64);

impl Numbers {
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    pub fn below(&mut self, bound: usize) -> usize {
        (self.next() % bound.max(1) as u64) as usize
    }
}

/// What is put into a sheet here and there.
static SCRAPS: &[&str] = &[
    "½",
    "&frac14;",
    "&#x2009;",
    "&",
    " | ",
    "\n|---|---|\n",
    "```",
    "<td>",
    "</table>",
    "<table><tr><td rowspan=999 colspan=999>",
    "\0",
    "\u{feff}",
    "\r",
    "10 ft",
    " at ",
    " up to ",
    " per ",
    "$",
    " € pro Monat",
    "“",
    "\"",
    "'",
    "1,5",
    "1.500,00",
    " cfm ",
    "²",
    "⁄",
    "(",
    ")",
    "- ",
    "> ",
    "# ",
    "\n\n",
    "<!--",
    "-->",
    "<script>",
    "<noscript>",
    "</noscript>",
    "24/7",
    " times a day",
    " dB(A) ",
    " x ",
    "–",
    "±5 %",
    " kWh",
    " in ",
    "1-1/2",
    "half an acre",
    "\u{ad}",
    "\u{200b}",
    "İ",
    "ß",
    "𝟙",
    "🐟",
    "\t",
    "e\u{301}",
    "<sup>3</sup>",
    " twice the ",
    "less than ",
    "+++\n",
    "---\n",
    "\u{2028}",
    "<s>",
    "~~",
    "[^1]",
    "![",
    "](",
    "https://",
    "°F",
    "per kWh",
];

/// The bytes with a few places cut, doubled, swapped, overwritten or filled with scraps.
pub fn mutated(bytes: &[u8], numbers: &mut Numbers) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..1 + numbers.below(8) {
        let at = numbers.below(bytes.len() + 1);
        let end = (at + numbers.below(40)).min(bytes.len());
        match numbers.below(6) {
            0 => drop(bytes.drain(at..end)),
            1 => {
                let part = bytes[at..end].to_vec();
                bytes.splice(at..at, part);
            }
            2 => {
                if let Some(byte) = bytes.get_mut(at) {
                    *byte = numbers.next() as u8;
                }
            }
            3 => {
                let part: Vec<u8> = bytes.drain(at..end).collect();
                let to = numbers.below(bytes.len() + 1);
                bytes.splice(to..to, part);
            }
            _ => {
                let scrap = SCRAPS[numbers.below(SCRAPS.len())];
                bytes.splice(at..at, scrap.bytes());
            }
        }
    }
    bytes
}

/// Sheets of the corpus with their kinds and bytes; of PDF none, as those are read elsewhere.
fn corpus() -> Vec<(String, Kind, Vec<u8>)> {
    sheets()
        .into_iter()
        .map(|path| {
            let name = path.strip_prefix(folder()).unwrap().display().to_string();
            let kind = Kind::of(&name).unwrap();
            (name, kind, std::fs::read(path).unwrap())
        })
        .collect()
}

/// Every length of a sheet that was cut off.
fn prefixes(kind: Kind, bytes: &[u8]) {
    for end in 0..=bytes.len() {
        let (source, sheet) = read(kind, bytes[..end].to_vec());
        is_sound(&source, &sheet);
    }
}

/// The tokenizer's stack grows with each attribute of a tag: 7 000 were enough to end the program.
#[test]
fn a_tag_may_have_any_number_of_attributes() {
    let claim = "<p>Aerates up to 2 acres.</p>";
    for kind in [Kind::Html, Kind::Markdown] {
        for (begin, attribute) in [("<p ", "a=\"\" "), ("</p ", "a=\"\" "), ("<p ", "a='' b ")] {
            let page =
                |count: usize| format!("{claim}\n\n{begin}{}>\n{claim}\n", attribute.repeat(count));
            let text = page(100_000);
            let (source, sheet) = read(kind, text.into_bytes());
            is_sound(&source, &sheet);
            let told: Vec<_> = sheet.unread.iter().map(|one| one.what).collect();
            assert_eq!(told, [UnreadKind::CrowdedTag], "{kind:?} {begin}");
            assert_eq!(
                sheet.claims.len(),
                1,
                "{kind:?} {begin}: what stands before it is read"
            );
            assert_eq!(source.position(sheet.unread[0].at.start).line, 3);
            // As many as no page has, and yet a page.
            let (_, sheet) = read(kind, page(400).into_bytes());
            assert_eq!(sheet.unread, [], "{kind:?} {begin}");
            assert_eq!(sheet.claims.len(), 2, "{kind:?} {begin}");
        }
    }
}

#[test]
fn a_fault_of_the_program_stays_with_its_file() {
    assert_eq!(spec_sheet::contained(|| 1), Some(1));
    assert_eq!(spec_sheet::contained(|| -> u8 { panic!("a fault") }), None);
}

#[test]
fn a_small_sheet_may_be_cut_off_anywhere() {
    let mut small: Vec<_> = corpus()
        .into_iter()
        .filter(|(_, _, bytes)| bytes.len() <= 1500)
        .collect();
    small.sort_by_key(|(name, _, bytes)| (bytes.len(), name.clone()));
    for (_, kind, bytes) in small.into_iter().take(12) {
        prefixes(kind, &bytes);
    }
}

#[test]
#[ignore = "takes minutes: cargo test --release --test suite every_sheet_may_be_cut_off_anywhere -- --ignored"]
fn every_sheet_may_be_cut_off_anywhere() {
    for (_, kind, bytes) in corpus() {
        prefixes(kind, &bytes);
    }
}

fn mutations(count: u64, seed: u64) {
    let corpus = corpus();
    let kinds = [Kind::Markdown, Kind::Html, Kind::Text, Kind::Csv];
    for number in 0..count {
        let mut numbers = Numbers(seed ^ number);
        let (_, kind, bytes) = &corpus[numbers.below(corpus.len())];
        // Now and then a sheet is read as what it isn't.
        let kind = if numbers.below(8) == 0 {
            kinds[numbers.below(4)]
        } else {
            *kind
        };
        let (source, sheet) = read(kind, mutated(bytes, &mut numbers));
        is_sound(&source, &sheet);
    }
}

#[test]
fn damaged_sheets_are_read_soundly() {
    mutations(600, 0x0771);
}

#[test]
#[ignore = "takes minutes: cargo test --release --test suite a_hundred_thousand_damaged_sheets -- --ignored"]
fn a_hundred_thousand_damaged_sheets() {
    mutations(100_000, 0x5eed);
}

/// Texts that cost a careless reader the square of their length.
fn hostile(bytes: usize) -> Vec<(&'static str, String)> {
    let many = |part: &str| part.repeat(bytes / part.len());
    let nested = |open: &str, close: &str| {
        let depth = bytes / (open.len() + close.len());
        format!("{}6 ft deep{}", open.repeat(depth), close.repeat(depth))
    };
    vec![
        ("one line of words", many("pond with a compressor and air ")),
        ("one line of figures", many("6 ft and 10 psi at 2 m, ")),
        ("one line of counts", many("2 times 3 ")),
        ("turnovers", many("1.5 turnovers 2 x a day ")),
        ("sound", many("44 dB 10 ft ")),
        ("one word", many("a")),
        ("digits", many("7")),
        ("digits and commas", many("1,")),
        ("groups of thousands", many("123,")),
        ("points", many("1.")),
        ("fractions", many("1/2")),
        ("raised fractions", many("³⁄₈")),
        ("hyphens", many("a-")),
        ("initials", many("a.b.")),
        ("less than", many("<")),
        ("greater than", many(">")),
        ("strokes", many("|")),
        ("rows", many("| a ")),
        ("stars", many("*")),
        ("stars and words", many("*a ")),
        ("low lines", many("_a_")),
        ("ticks", many("`a")),
        ("brackets", many("[")),
        ("links", many("[a](")),
        ("pictures", many("![")),
        ("quotation marks", many("6\" ")),
        ("open quotations", many("“6” ")),
        ("fields in quotation marks", many("\"a")),
        ("quotation marks alone", many("\"")),
        ("ands", many("8 and 12 ft ")),
        ("dollars", many("$5 ")),
        ("currencies", many("USD 5 ")),
        ("ampersands", many("&")),
        ("entities", many("&frac12; ft ")),
        ("nulls", many("\0")),
        ("carriage returns", many("\r")),
        ("blanks", many(" ")),
        ("blanks between figures", many("6       ft")),
        ("empty lines", many("\n")),
        ("rules across", many("---\n")),
        ("underlines", many("a\n===\n")),
        ("tabs", many("\ta")),
        ("gaps", many("a  ")),
        ("a gap before one word", format!("a  {}", many("b"))),
        ("stops", many("...")),
        ("labels", many("Depth: 6 ft\n")),
        ("hours a day", many("24 hours a day $5 a month ")),
        (
            "comparisons",
            many("half the power twice the air less than more than "),
        ),
        ("watts beside air", many("2 cfm and 75 W ")),
        ("conditions", many("at 2 psi ")),
        ("dual listings", many("6 ft (1.83 m) ")),
        ("sizes", many("2 x 10 x ")),
        ("soft hyphens", many("\u{ad}")),
        ("signs", many("±≤≥~")),
        ("headings", many("# 6 ft\n")),
        ("footnotes", many("[^1]: 6 ft\n")),
        ("quotes", many("> ")),
        ("quotes on lines", many("> 6 ft\n")),
        ("lists", many("- ")),
        ("numbered lists", many("1. ")),
        ("nested tags", nested("<div>", "</div>")),
        (
            "nested tables",
            nested("<table><tr><td>", "</td></tr></table>"),
        ),
        ("nested lists of HTML", nested("<ul><li>", "</li></ul>")),
        (
            "nested quotes of HTML",
            nested("<blockquote>", "</blockquote>"),
        ),
        ("nested definition lists", nested("<dl><dd>", "</dd></dl>")),
        ("nested noscript", nested("<noscript>", "</noscript>")),
        ("cells that span", many("<td rowspan=1000 colspan=1000>")),
        (
            "rows that span",
            many("<tr><td rowspan=1000 colspan=16>6 ft"),
        ),
        ("attributes", format!("<p {}>6 ft", many("a=b "))),
        ("one attribute", format!("<img alt=\"{}\">", many("6 ft "))),
        ("comments", many("<!--")),
        (
            "a table's head",
            format!(
                "<table><tr><th>Flow at 2 psi {}</th></tr>{}",
                "a ".repeat(bytes / 8),
                "<tr><td>2 cfm</td></tr>".repeat(bytes / 48)
            ),
        ),
        (
            "a wide table",
            format!(
                "| {} |\n|{}\n{}",
                "Flow (cfm) at 2 psi | ".repeat(bytes / 50),
                "---|".repeat(bytes / 50),
                "| 2 ".repeat(bytes / 50)
            ),
        ),
        (
            "a long table",
            format!(
                "| Depth | Flow (cfm) |\n|---|---|\n{}",
                "| 6 ft | 2 |\n".repeat(bytes / 14)
            ),
        ),
        (
            "values",
            format!(
                "Depth,Flow at 2 psi (cfm)\n{}",
                "6 ft,2\n".repeat(bytes / 8)
            ),
        ),
        ("definitions", many("Depth\n: 6 ft\n\n")),
        ("raised figures behind money", format!("$30{}", many("²"))),
        ("repetition marks", many("Flow,5,″\n")),
        ("pairs of points", many(" ..")),
        ("asked", many("asked 6 ft and ")),
        ("letters of two bytes", many("üüüüüüüü 6 ft ")),
        (
            "footnotes by name",
            numbered(bytes / 16, |n| format!("5 W[^{n}] ")),
        ),
        (
            "a note and a long head",
            format!(
                "<p>* at 2 psi</p><table><tr><th>Flow* {}</th></tr>{}",
                "a* ".repeat(bytes / 12),
                "<tr><td>2 cfm</td></tr>".repeat(bytes / 48)
            ),
        ),
        (
            "a curve of names far apart",
            format!(
                "Model,Depth (ft),Flow (cfm)\n{0}{0}",
                numbered(bytes / 32, |n| format!("m{n},6,2\n"))
            ),
        ),
    ]
}

/// What `one` writes for each number below `count`.
fn numbered(count: usize, one: impl Fn(usize) -> String) -> String {
    (0..count).map(one).collect()
}

/// How long this thread has worked, which other jobs of a busy machine don't lengthen; where the system doesn't
/// say, the time that went by.
fn worked() -> Duration {
    static BEGUN: OnceLock<Instant> = OnceLock::new();
    let begun = BEGUN.get_or_init(Instant::now);
    std::fs::read_to_string("/proc/thread-self/schedstat")
        .ok()
        .and_then(|text| text.split(' ').next()?.parse().ok())
        .map_or_else(|| begun.elapsed(), Duration::from_nanos)
}

/// Reads hostile texts of one size and of four times that, as every kind.
fn time(bytes: usize) {
    let kinds = [Kind::Markdown, Kind::Html, Kind::Text, Kind::Csv];
    let mut slow = String::new();
    for ((name, small), (_, large)) in hostile(bytes).into_iter().zip(hostile(bytes * 4)) {
        for kind in kinds {
            let timed = |text: &str| {
                let start = worked();
                let (source, sheet) = read(kind, text.as_bytes().to_vec());
                let time = worked().saturating_sub(start);
                is_sound(&source, &sheet);
                time
            };
            let first = timed(&small);
            let second = timed(&large);
            // Four times the bytes take four times as long; the square would take 16 times, and each time anew. What is
            // told of a thread's work is a few milliseconds old.
            const TRIES: usize = 6;
            let floor = Duration::from_micros(2000);
            let is_slow = |first: Duration, second: Duration| second > first.max(floor) * 10;
            if is_slow(first, second) && (1..TRIES).all(|_| is_slow(timed(&small), timed(&large))) {
                slow += &format!(
                    "{name} as {kind:?}: {first:?} for {} bytes, {second:?} for {}\n",
                    small.len(),
                    large.len()
                );
            }
            if std::env::var_os("NAMEPLATE_SHOW").is_some()
                && second > Duration::from_millis(large.len() as u64 / 2000)
            {
                slow += &format!("{name} as {kind:?}: {second:?} for {} bytes\n", large.len());
            }
        }
    }
    assert!(slow.is_empty(), "{slow}");
}

#[test]
fn hostile_texts_take_time_in_proportion_to_their_bytes() {
    time(40_000);
}

#[test]
#[ignore = "reads gigabytes: cargo test --release --test suite ten_megabytes_of_each_hostile_text -- --ignored"]
fn ten_megabytes_of_each_hostile_text() {
    time(2_500_000);
}
