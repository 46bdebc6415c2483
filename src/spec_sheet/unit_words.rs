//! Units as they stand in running text.
//!
//! The units and their sizes are those of [`crate::units`]; here is only where a spelling begins and
//! ends among other words, and which short ones need their capitals to be believed.

use std::sync::OnceLock;

use hashbrown::{HashMap, HashSet};

use crate::units::Dimension;
use crate::units::table::{self, Unit};

use super::lexicon;
use super::vocabulary::{self, Topic};
use super::word::{Word, WordMap};

/// Longest spelling that is looked for, in characters.
const LONGEST: usize = 36;

/// What a spelling stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Found {
    /// A unit.
    Unit(Unit),
    /// A unit that a bare word leaves open: the US one and the UK one.
    Gallon(Unit, Unit),
}

impl Found {
    /// The unit, where a sheet follows British custom or not.
    pub fn unit(self, british: bool) -> Unit {
        match self {
            Found::Unit(unit) => unit,
            Found::Gallon(us, uk) => {
                if british {
                    uk
                } else {
                    us
                }
            }
        }
    }
}

/// Spellings that only prose has, by the unit's own.
static PROSE: &[(&str, &str)] = &[
    (
        "L/min",
        "l/min. | litres a min | liters a min | litres per min | liters per min | litre a minute | litres a minute | liters a minute | l pro minute | liter pro minute | liter/minute | l/mn | liter je minute | l per minute | l per min | lit/min | litres d'air par minute | litres par minute | litros por minuto | liter i minuttet | liter pr. minut | liter per minuut | litri al minuto | litri/min | litre par minute | l par minute | l al minuto | l/minuut | l/minut | l i minuttet",
    ),
    (
        "m3/h",
        "m³/st | m3/std | m3/u | m³/u | m3/uur | m3 per uur | kubieke meter per uur | m3 par heure | cubic metres an hour | cubic meters an hour | kubikmeter pro stunde | m3 per hour | m3 per h | m3 pro stunde | m3 je stunde | mètres cubes par heure | m³/t | m3/t | m³/time | m3/time | m3 i timen | metros cúbicos por hora | metri cubi all'ora | m3 por hora | m3 all'ora",
    ),
    (
        "L/h",
        "l/std | liter pro stunde | litres an hour | l pro stunde | l per hour | liter/std | liter je stunde",
    ),
    (
        "m2",
        "qm | quadratmeter | quadratmetern | mètres carrés | metros cuadrados | vierkante meter | metri quadrati | kvadratmeter | m²",
    ),
    (
        "m3",
        "kubikmeter | kubikmetern | mètres cubes | metros cúbicos",
    ),
    ("m", "metern | mètre | mètres | metro | metros"),
    ("L", "litern | litros"),
    ("dB(A)", "db (a) | dba spl | a-weighted db | dezibel (a)"),
    ("dB", "dezibel | décibels | decibelios"),
    (
        "day",
        "tag | tage | tagen | jours | días | dage | giorni | dagen",
    ),
    (
        "month",
        "måned | måneder | monat | monate | monaten | mois | meses | maanden | mdr | måneden | mesi | mese | mnd | mnd. | maand | mes",
    ),
    (
        "week",
        "wk | wks | weken | semanas | uge | uger | settimane",
    ),
    (
        "year",
        "år | jahr | jahre | jahren | ans | années | años | jaar | anni | anno | año | j. | jr | jr.",
    ),
    (
        "h",
        "std | stunde | stunden | betriebsstunden | bedrijfsuren | draaiuren | heures | horas | uur | uren | timer | driftstimer | ore | heures de marche",
    ),
    ("min", "minuten | minutos | minutter | minuti"),
    ("acre-ft", "acre-feet | acre-foot"),
    ("scfm", "scfms"),
    (
        "cfm",
        "cfms | cubic feet a minute | cubic foot/min | cu. ft. per min | cu ft per min | ft3 per minute | cubic feet per min",
    ),
    ("lb/h", "lb an hour | pounds an hour | lbs an hour"),
    ("lb/d", "lb a day | pounds a day | lbs a day | lb daily"),
    (
        "kg/d",
        "kg a day | kg am tag | kg pro tag | kg/tag | kg par jour | kg al día | kg per dag | kg i døgnet | kg al giorno | kg/dag",
    ),
    (
        "kg/h",
        "kg an hour | kg pro stunde | kg/std | kg/time | kg i timen | kg par heure | kg por hora | kg all'ora | kg per uur | kg/uur | kg/u | kg je stunde | kg/t",
    ),
    (
        "g/h",
        "g per hour | g an hour | g pro stunde | g/std | g/time | g i timen | g par heure | g por hora | g all'ora | g per uur | g/uur | g/u | g je stunde | g/t",
    ),
    ("g/d", "g per day | g a day"),
    ("Hz", "cycle | cycles | cps | cycles per second"),
    ("lb", "#"),
    ("hp", "h.p. | h p | horse-power | horse"),
    ("hp(metric)", "ps"),
    ("W", "watts of power"),
    ("V", "volts ac | vac | vdc | v ac"),
    ("in", "inch | inches | zoll"),
    (
        "psi",
        "p.s.i. | pounds per sq in | pounds per sq inch | pounds per square inch",
    ),
    ("kg", "kilogramm"),
    ("g", "gramm"),
    ("week", "woche | wochen | semaines"),
    ("degF", "degrees f | deg. f | ° f"),
    ("degC", "degrees c | deg. c | ° c | grad celsius | grad c"),
    (
        "ha",
        "hectares | hektar | hectáreas | hectare | ettari | ettaro",
    ),
    ("acre", "ac. | acre's | acres'"),
    ("%/ft", "% a foot"),
    ("%/m", "% pro meter | % a metre"),
];

static GALLONS: &[(&str, &str, &str)] = &[
    ("gal | gals | gallon | gallons", "gal(US)", "gal(UK)"),
    (
        "gpm | g.p.m. | gal/min | gals/min | gallon per minute | gallons per minute | gallons/min | gal/minute | gallons/minute | gal per min | gal per minute | gallons a minute | gallons per min",
        "gpm(US)",
        "gpm(UK)",
    ),
    (
        "gph | gal/h | gal/hr | gals/hr | gallon per hour | gallons per hour | gallons/hr | gal/hour | gallons/hour | gallons an hour | gal per hour",
        "gal(US)/h",
        "gal(UK)/h",
    ),
];

/// Spellings that mean something else too often, and are never a unit without more.
static NEVER: &[&str] = &[
    "in", "y", "d", "sf", "cf", "af", "t", "ins", "c", "f", "mo", "mos", "g", "s", "l", "m", "h",
    "a", "v", "w", "k", "ac", "acs", "ton", "tons", "t ", "min", "mb", "ps", "r", "mi", "pa", "lt",
    "ma", "mw", "/d",
];

type Map = HashMap<Vec<u8>, Found, fnv::FnvBuildHasher>;

/// The spellings, and how those of several words begin.
struct Spellings {
    units: Map,
    /// Each up to one of its blanks or strokes, without it.
    beginnings: Set,
    /// Single words, which most are.
    words: WordMap<Single>,
    /// Each up to one byte behind its first blank.
    openings: WordMap<bool>,
}

/// What is known of a single word.
#[derive(Clone, Copy, Default)]
struct Single {
    found: Option<Found>,
    /// Whether a longer spelling begins with it.
    begins: bool,
}

type Set = HashSet<Vec<u8>, fnv::FnvBuildHasher>;

fn spellings() -> &'static Spellings {
    static SPELLINGS: OnceLock<Spellings> = OnceLock::new();
    SPELLINGS.get_or_init(|| {
        let mut map = Map::default();
        let mut add = |spelling: &str, found: Found| {
            let key = folded(spelling);
            if !key.is_empty() && spelling.chars().count() <= LONGEST {
                map.entry(key).or_insert(found);
            }
        };
        for &(names, us, uk) in GALLONS {
            if let (Some(us), Some(uk)) = (Unit::known(us), Unit::known(uk)) {
                for name in names.split(" | ") {
                    add(name, Found::Gallon(us, uk));
                }
            }
        }
        for unit in table::all() {
            if matches!(unit.dimension(), Dimension::PerTime) {
                continue;
            }
            add(&unit.to_string(), Found::Unit(unit));
            for spelling in table::aliases(unit) {
                add(spelling, Found::Unit(unit));
            }
        }
        for &(unit, names) in PROSE {
            if let Some(unit) = Unit::known(unit) {
                for name in names.split(" | ") {
                    add(name, Found::Unit(unit));
                }
            }
        }
        let mut beginnings = Set::default();
        let mut words = WordMap::<Single>::default();
        let mut openings = WordMap::<bool>::default();
        let as_word =
            |key: &[u8]| std::str::from_utf8(key).map_or_else(|_| Word::default(), Word::read);
        for (key, found) in &map {
            words.entry(as_word(key)).found = Some(*found);
            for at in (0..key.len()).filter(|&at| matches!(key[at], b' ' | b'/')) {
                beginnings.insert(key[..at].to_vec());
                words.entry(as_word(&key[..at])).begins = true;
                if key[at] == b' ' {
                    *openings.entry(as_word(&key[..key.len().min(at + 2)])) = true;
                }
            }
        }
        Spellings {
            units: map,
            beginnings,
            words,
            openings,
        }
    })
}

/// A spelling as the map has it.
fn folded(spelling: &str) -> Vec<u8> {
    let mut key = Key::default();
    for c in spelling.chars() {
        key.push(c);
    }
    key.bytes().trim_ascii_end().to_vec()
}

/// What a spelling stands for, wherever it stands.
fn spelled(spelling: &str) -> Option<Found> {
    let mut key = Key::default();
    spelling.chars().for_each(|c| key.push(c));
    spellings().units.get(key.bytes().trim_ascii_end()).copied()
}

/// The folding of a spelling, character by character; what is longer than any spelling is cut off.
struct Key {
    bytes: [u8; Key::MOST],
    len: usize,
}

impl Default for Key {
    fn default() -> Key {
        Key {
            bytes: [0; Key::MOST],
            len: 0,
        }
    }
}

impl Key {
    const MOST: usize = 128;

    fn bytes(&self) -> &[u8] {
        self.bytes.get(..self.len).unwrap_or_default()
    }

    fn byte(&mut self, byte: u8) {
        if let Some(place) = self.bytes.get_mut(self.len) {
            *place = byte;
            self.len += 1;
        }
    }

    fn last(&self) -> Option<u8> {
        self.bytes().last().copied()
    }

    fn push(&mut self, c: char) {
        match c {
            'a'..='z' | '0'..='9' => self.byte(c as u8),
            'A'..='Z' => self.byte(c as u8 | 0x20),
            ' ' | '\u{a0}' | '\u{202f}' | '\u{2009}' | '\u{2007}' | '\u{200a}' | '\n' | '-'
            | '\u{2010}' | '\u{2011}' => {
                if !matches!(self.last(), None | Some(b' ' | b'/')) {
                    self.byte(b' ');
                    // `per` between two blanks is a stroke.
                    if self.bytes().ends_with(b" per ") {
                        self.len -= 5;
                        self.byte(b'/');
                    }
                }
            }
            '.' | '·' | '(' | ')' | '[' | ']' | '\u{200b}' | '\u{ad}' => {}
            '²' => self.byte(b'2'),
            '³' => self.byte(b'3'),
            '/' | '∕' | '⁄' => {
                while self.last() == Some(b' ') {
                    self.len -= 1;
                }
                self.byte(b'/');
            }
            '″' | '”' | '“' | '＂' => self.byte(b'"'),
            '′' | '’' | '‘' | '´' => self.byte(b'\''),
            'º' | '˚' => self.other('°'),
            '\u{3bc}' => self.other('µ'),
            '％' => self.byte(b'%'),
            c => c.to_lowercase().for_each(|c| self.other(c)),
        }
    }

    fn other(&mut self, c: char) {
        let mut buffer = [0; 4];
        for &byte in c.encode_utf8(&mut buffer).as_bytes() {
            self.byte(byte);
        }
    }
}

/// The unit that stands at byte `at` of `text`, with the byte after it.
pub fn at(text: &str, at: usize) -> Option<(Found, usize)> {
    let rest = text.get(at..)?;
    let first = rest.chars().next()?;
    if !(first.is_alphabetic()
        || matches!(
            first,
            '"' | '\''
                | '″'
                | '”'
                | '′'
                | '’'
                | '°'
                | '%'
                | 'º'
                | '˚'
                | '％'
                | '℃'
                | '℉'
                | '#'
                | '/'
        ))
    {
        return None;
    }
    let Spellings {
        units, beginnings, ..
    } = spellings();
    if let Some((end, found)) = lone_word(text, at) {
        let found = found?;
        let mut small = [0u8; SHORT];
        let small = small.get_mut(..end - at)?;
        small.copy_from_slice(&text.as_bytes()[at..end]);
        small.make_ascii_lowercase();
        return believable(text, at, end, small, found).then_some((found, end));
    }
    let mut key = Key::default();
    let mut best: Option<(Found, usize)> = None;
    let mut before_was_letter = false;
    let mut chars = rest.char_indices().peekable();
    let mut count = 0;
    while let Some((_, c)) = chars.next() {
        // A stop after a word may end a sentence; only a letter or blank after it keeps the spelling open.
        if matches!(
            c,
            '!' | '?' | ';' | ':' | ',' | '|' | '@' | '=' | '+' | '*' | '—' | '–' | '\t'
        ) {
            break;
        }
        count += 1;
        if count > LONGEST {
            break;
        }
        let len = key.len;
        key.push(c);
        // No spelling goes on from here.
        if key.len == len + 1
            && let Some((b' ' | b'/', beginning)) = key.bytes().split_last()
            && !beginnings.contains(beginning)
        {
            break;
        }
        let next = chars.peek().map(|&(_, c)| c);
        let end = at + chars.peek().map_or(rest.len(), |&(place, _)| place);
        let is_letter = c.is_alphanumeric();
        let boundary = match next {
            None => true,
            Some(next) => {
                !(is_letter && (next.is_alphabetic() || next.is_ascii_digit()))
                    // A power belongs to a length; behind another unit it is a note's mark.
                    && !(matches!(next, '²' | '³')
                        && matches!(
                            key.bytes(),
                            b"m" | b"cm" | b"mm" | b"km" | b"dm" | b"ft" | b"in" | b"yd" | b"n" | b"feet" | b"foot" | b"inch"
                        ))
            }
        };
        if c == '.' {
            // A sentence that ends with a unit is over: `10 ft. Water`.
            let ends = best.is_some_and(|(_, best_end)| best_end + 1 >= end)
                && rest[end - at..].starts_with(' ')
                && rest[end - at..]
                    .trim_start()
                    .starts_with(char::is_uppercase)
                && rest[end - at..]
                    .trim_start()
                    .chars()
                    .nth(1)
                    .is_some_and(char::is_lowercase);
            // The stop of an abbreviation belongs to it: `ft.`, `sq. ft.`
            if let Some((_, best_end)) = &mut best
                && *best_end == end - 1
                && before_was_letter
            {
                let last = text[at..end - 1]
                    .rsplit([' ', '.', '/'])
                    .next()
                    .unwrap_or("");
                if is_abbreviated(last)
                    && (follows_on(&rest[end - at..])
                        || ends_a_label(text, at, &rest[end - at..])
                        || is_capital(last) && begins_capital(&rest[end - at..]))
                {
                    *best_end = end;
                }
            }
            if ends {
                break;
            }
            before_was_letter = false;
            continue;
        }
        before_was_letter = is_letter;
        let closing = matches!(c, ')' | ']') && {
            let count = |signs: [char; 2]| text[at..end].matches(signs).count();
            count([')', ']']) > count(['(', '['])
        };
        if boundary
            && !closing
            && !c.is_whitespace()
            && c != '-'
            && c != '('
            && let Some(found) = units.get(key.bytes())
            && believable(text, at, end, key.bytes(), *found)
        {
            best = Some((*found, end));
        }
    }
    // `C.F.M.`: with stops within, the last one belongs to it.
    if let Some((_, end)) = &mut best
        && text[*end..].starts_with('.')
        && text[at..*end]
            .split('.')
            .all(|letter| letter.len() == 1 && letter.bytes().all(|b| b.is_ascii_alphabetic()))
        && text[at..*end].contains('.')
    {
        *end += 1;
    }
    best
}

/// Whether a word is of capitals alone.
fn is_capital(word: &str) -> bool {
    word.len() > 1 && word.bytes().all(|byte| byte.is_ascii_uppercase())
}

/// Whether the next word is of capitals alone, as in a line of them: `150 FT. OF HOSE`.
fn begins_capital(rest: &str) -> bool {
    let word = rest
        .trim_start()
        .split(|c: char| !c.is_alphabetic())
        .next()
        .unwrap_or("");
    is_capital(word)
}

/// Whether a unit's word is one that is written with a stop; the symbols of SI never are.
fn is_abbreviated(word: &str) -> bool {
    [
        "ft", "in", "ins", "sq", "cu", "lb", "lbs", "oz", "gal", "gals", "yr", "yrs", "mo", "mos",
        "hr", "hrs", "min", "mins", "ac", "mi", "wk", "wks", "amp", "amps", "std", "mth", "mths",
        "sec", "secs", "hp", "ltr", "jr", "j",
    ]
    .iter()
    .any(|known| word.eq_ignore_ascii_case(known))
}

/// Whether a line ends after a stop that isn't a sentence's: `MAX. DEPTH: 22 FT.`, a cell with `7 ft.`.
fn ends_a_label(text: &str, at: usize, rest: &str) -> bool {
    let after = rest.trim_start_matches([' ', '\u{a0}']).chars().next();
    if after.is_some_and(|c| c != '\n') {
        return false;
    }
    const LONGEST: usize = 64;
    let from = text[..at]
        .char_indices()
        .rev()
        .nth(LONGEST)
        .map_or(0, |(from, _)| from);
    let line = text[from..at].rsplit('\n').next().unwrap_or("");
    // Who writes `sq. ft.` writes each stop.
    let spelled = text.get(at..).is_some_and(|text| {
        ["sq. ft.", "cu. ft.", "Sq. Ft.", "SQ. FT.", "Sq. ft."]
            .iter()
            .any(|word| text.starts_with(word))
    });
    spelled || line.len() <= 8 || (line.len() < LONGEST && !line.contains(char::is_lowercase))
}

/// Longest word that is looked up by itself.
const SHORT: usize = 16;

/// Where the word at a byte ends and what it stands for, if it can only be a spelling by itself: nothing that
/// begins with it could go on as the text does.
fn lone_word(text: &str, at: usize) -> Option<(usize, Option<Found>)> {
    let bytes = text.as_bytes().get(at..)?;
    let length = bytes
        .iter()
        .take(SHORT)
        .take_while(|byte| byte.is_ascii_alphabetic())
        .count();
    if length == 0 || length > SHORT - 2 {
        return None;
    }
    let Spellings {
        words, openings, ..
    } = spellings();
    let end = at + length;
    let known = words
        .get(Word::at(text, at, end))
        .copied()
        .unwrap_or_default();
    let is_lone = match bytes.get(length) {
        None | Some(b',' | b';' | b':' | b'|' | b'!' | b'?') => true,
        Some(b' ') if known.begins => {
            let next = bytes.get(length + 1)?.to_ascii_lowercase();
            // `per` may be a stroke.
            next.is_ascii_alphabetic()
                && next != b'p'
                && openings.get(Word::at(text, at, end + 2)).is_none()
        }
        Some(b' ' | b'/') => !known.begins,
        Some(_) => false,
    };
    is_lone.then_some((end, known.found))
}

/// Whether a sentence goes on after a stop: with a small letter, a figure or a sign.
fn follows_on(rest: &str) -> bool {
    let next = rest.trim_start().chars().next();
    next.is_some_and(|c| {
        c.is_lowercase()
            || c.is_ascii_digit()
            || matches!(c, '(' | ',' | ')' | '/' | ';' | '½' | '¼' | '–' | '-')
    }) || ["I.D", "ID", "O.D", "OD"].iter().any(|diameter| {
        rest.trim_start()
            .strip_prefix(diameter)
            .is_some_and(|rest| !rest.starts_with(char::is_alphabetic))
    })
}

/// Whether a short spelling is that unit where it stands.
fn believable(text: &str, at: usize, end: usize, key: &[u8], found: Found) -> bool {
    let written = &text[at..end];
    let bare = written.trim_end_matches(['.', ' ']);
    let after = text[end..].trim_start_matches('.');
    match key {
        // So much water is deep; inches of water are a pressure.
        b"ft of water" | b"feet of water" | b"foot of water" | b"m of water"
        | b"metres of water" | b"meters of water" | b"metre of water" | b"meter of water"
        | b"ft water" | b"m water" => false,
        // Kinds of current are words of their own behind the unit.
        b"v~" | b"v ac" | b"v dc" | b"v a c" | b"volts ac" | b"volts dc" | b"volt ac"
        | b"volt dc" => false,
        // What flows is a word of its own: `2.4 CFM air`.
        b"cfm air" | b"cfm of air" | b"cfm free air" => false,
        b"in" | b"ins" => is_inch(after, written),
        b"'" | b"\"" => true,
        // `50 cycles` is a supply, `9# each` a mass.
        b"cycle" | b"cycles" | b"cps" | b"cycles/second" => {
            let before = text[..at].trim_end_matches([' ', '-', '\u{a0}']);
            before.ends_with("50") || before.ends_with("60")
        }
        b"#" => {
            text[..at].ends_with(|c: char| c.is_ascii_digit())
                && !after.starts_with(char::is_alphanumeric)
        }
        b"w" | b"v" | b"l" | b"hz" => true,
        // `36 dB a un metro`
        b"db a" | b"dba" if written.ends_with(" a") => false,
        b"a" => bare == "A" || is_small_ampere(text, at),
        b"c" | b"f" | b"k" => bare.chars().all(char::is_uppercase),
        b"m" => bare == "m" && !after.starts_with(['\'', '’']),
        // `EVERY 2,000 H` on a plate of capitals
        b"h" if bare == "H" => {
            let number = text[..at].trim_end();
            number.len()
                - number
                    .trim_end_matches(|c: char| c.is_ascii_digit() || c == ',')
                    .len()
                >= 3
        }
        b"g" | b"t" | b"h" | b"s" | b"min" => bare.chars().all(char::is_lowercase),
        b"d" | b"y" | b"r" | b"/d" | b"lt" | b"b" => false,
        // `Garantie: 2 J.`, as no joule is written
        b"j" => bare == "J" && (written.ends_with('.') || text[end..].starts_with('.')),
        b"mo" | b"mos" => bare.chars().all(char::is_lowercase),
        b"ac" | b"acs" => bare == "ac" || bare == "acs",
        b"ps" => bare == "PS",
        b"pa" => bare == "Pa",
        b"mpa" => bare == "MPa",
        b"ma" => bare == "mA",
        b"mw" => bare == "mW" || bare == "MW",
        b"sf" | b"cf" | b"af" => {
            bare.chars().all(char::is_lowercase) || bare.chars().all(char::is_uppercase)
        }
        b"mb" | b"kt" => bare == "mb",
        b"ton" | b"tons" => false,
        b"sec" | b"secs" | b"second" | b"seconds" => true,
        _ => {
            // `mbar` and `MBAR` are both read; only the capitals of the first letters of SI could mislead.
            !matches!(found, Found::Unit(unit) if unit.spelling() == "MWh" && bare != "MWh")
        }
    }
}

/// Whether a small `a` stands right behind decimals, `6.4a`, as no article and no number of a section does.
fn is_small_ampere(text: &str, at: usize) -> bool {
    let figures = text[..at].len()
        - text[..at]
            .trim_end_matches(|c: char| c.is_ascii_digit())
            .len();
    (1..=3).contains(&figures) && text[..at - figures].ends_with('.')
}

/// Whether `in` is the unit: a bare word before another noun of its own (`2 in the box`) isn't.
fn is_inch(after: &str, written: &str) -> bool {
    if written.ends_with('.') {
        return true;
    }
    let next = after.trim_start_matches([' ', '\u{a0}', '-']);
    let length = next
        .find(|c: char| !c.is_alphabetic())
        .unwrap_or(next.len());
    !lexicon::NO_UNIT.contains(&Word::read(&next[..length]))
        && !next.starts_with(|c: char| c.is_ascii_digit()) // `4 in 1`
}

/// Whether the key is one that means nothing without a figure in front.
pub fn is_weak(spelling: &str) -> bool {
    NEVER.contains(&spelling.trim().to_lowercase().as_str())
}

/// The unit that a table's head names for the figures under it: in brackets, after a comma, after `in`,
/// or as its last word.
pub fn of_head(head: &str) -> Option<(Found, std::ops::Range<usize>)> {
    of_bare_head(head).or_else(|| {
        // `Depth, m ¹`, `Air (L/min) 2)`: the mark of a footnote.
        let bare = head.trim_end_matches([
            ' ', ')', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹', '‡', '§', '1', '2', '3', '4',
            '5', '6',
        ]);
        (bare.len() < head.len())
            .then(|| of_bare_head(bare))
            .flatten()
    })
}

fn of_bare_head(head: &str) -> Option<(Found, std::ops::Range<usize>)> {
    let head = head.trim_end_matches([' ', '\u{a0}', ':', '.', '*', '†', '?', ',']);
    // `ft max`, `Airline, ft per diffuser`
    for tail in [
        " max",
        " min",
        " up to",
        " to",
        " per diffuser",
        " per line",
        " each",
        " total",
        " approx",
    ] {
        if head.len() > tail.len()
            && head
                .get(head.len() - tail.len()..)
                .is_some_and(|end| end.eq_ignore_ascii_case(tail))
            // `Litres a min` has no bound at its end.
            && let Some(found) = of_head(&head[..head.len() - tail.len()])
        {
            return Some(found);
        }
    }
    // `cfm at 10 psi` is cfm: what follows is a condition.
    for mark in [
        " at ",
        " AT ",
        " At ",
        " @ ",
        "_at_",
        "_@_",
        "_bei_",
        " bei ",
        " à ",
        "\u{a0}at\u{a0}",
    ] {
        if let Some(end) = head.find(mark)
            && let Some(found) = of_head(&head[..end])
        {
            return Some(found);
        }
    }
    let inside = |from: usize, to: usize, loose: bool| -> Option<(Found, std::ops::Range<usize>)> {
        let part = head.get(from..to)?;
        let lead = part.len() - part.trim_start().len();
        let start = from + lead;
        let (found, end) = at_forced(head, start)?;
        // The brackets of `(dB(A))` may be counted as the unit's.
        let rest = head.get(end..to.max(end))?.trim();
        (rest.is_empty() || (loose && rest.starts_with(['/', ',', '@', ' '])))
            .then_some((found, start..end))
    };
    for (open, close) in [('(', ')'), ('[', ']')] {
        let mut from = 0;
        while let Some(found) = head[from..].find(open) {
            let start = from + found + 1;
            // `dB(A)` has brackets of its own.
            if head[..start - 1].ends_with(|c: char| c.is_alphanumeric()) {
                from = start;
                continue;
            }
            let length = head[start..].rfind(close).unwrap_or(head.len() - start);
            let first = head[start..].find(close).unwrap_or(length);
            for length in [first, length] {
                if let Some(found) = inside(start, start + length, true) {
                    return Some(found);
                }
            }
            from = start;
        }
    }
    // `Acres (max)`, `dB(A) 1 m`: a unit with what bounds it, or with what it holds at.
    if let Some(end) = head.find(" (")
        && !is_weak(&head[..end])
        && let Some(found) = whole(&head[..end])
    {
        return Some((found, 0..end));
    }
    if let Some((first, rest)) = head.split_once(' ')
        && rest.starts_with(|c: char| c.is_ascii_digit())
        && !is_weak(first)
        && let Some(found) = whole(first)
    {
        return Some((found, 0..first.len()));
    }
    for mark in [", ", " in ", " / ", " – ", " - ", ": ", ","] {
        if let Some(found) = head.rfind(mark)
            && let Some(found) = inside(found + mark.len(), head.len(), false)
        {
            return Some(found);
        }
    }
    // `Flow, L/min, at 15 kPa`, `Area, m², up to`
    for (at, _) in head.match_indices(", ") {
        let end = head[at + 2..]
            .find(", ")
            .map_or(head.len(), |end| at + 2 + end);
        if let Some(found) = inside(at + 2, end, false) {
            return Some(found);
        }
    }
    // The head is the unit, or ends with one of more than a letter.
    if let Some(found) = inside(0, head.len(), false)
        && !is_weak(head)
    {
        return Some(found);
    }
    for (at, _) in head.rmatch_indices([' ', '_', '\n']).take(3) {
        let word = &head[at + 1..];
        if !is_weak(word)
            && let Some(found) = inside(at + 1, head.len(), false)
        {
            return Some(found);
        }
    }
    // `Input W`, `Tension V`, `depth_m`: a short unit where its quantity is named before it.
    if let Some(found) = short_of_head(head) {
        return Some(found);
    }
    // `GPM moved`: a flow is named by its unit first.
    if let Some(end) = head.find(' ')
        && let Some(found) = whole(&head[..end])
        && matches!(
            found.unit(false).dimension(),
            Dimension::VolumeFlow | Dimension::AirAmount
        )
    {
        return Some((found, 0..end));
    }
    // `Weight/kg`
    let stroke = head.rfind('/').filter(|&at| !head[..at].ends_with(' '))?;
    inside(stroke + 1, head.len(), false)
        .filter(|(found, _)| found.unit(false).dimension() != Dimension::Time)
}

/// The unit of one letter or two that a head ends with, behind the name of what it measures or an underscore.
fn short_of_head(head: &str) -> Option<(Found, std::ops::Range<usize>)> {
    let at = head.rfind([' ', '_', '\n', '-'])?;
    let (name, unit) = (&head[..at], &head[at + 1..]);
    let joined = head[at..].starts_with('_');
    let topics: &[Topic] = match unit {
        "W" | "w" => &[Topic::Power],
        "V" | "v" => &[Topic::Cord],
        "A" | "a" if name.to_lowercase().ends_with("current") => {
            return Some((spelled(unit)?, at + 1..head.len()));
        }
        "A" | "a" => &[],
        "m" => &[Topic::Depth, Topic::Line, Topic::Length, Topic::Away],
        "in" => &[Topic::Bore, Topic::Line],
        "h" => &[Topic::Service, Topic::Life, Topic::Turnover],
        "g" => &[Topic::Weight],
        "l" | "L" => &[Topic::Holds],
        "ac" => &[Topic::Pond, Topic::Area],
        _ => return None,
    };
    let mut words = name.split(|c: char| !c.is_alphanumeric());
    let means = words.any(|word| {
        vocabulary::topic(word).is_some_and(|topic| topics.contains(&topic))
            || vocabulary::unit_of_quantity(word).is_some_and(|of| of.eq_ignore_ascii_case(unit))
    });
    let suffix = joined && unit.len() > 1;
    if !means && !suffix {
        return None;
    }
    Some((spelled(unit)?, at + 1..head.len()))
}

/// The unit that a whole text is.
pub fn whole(text: &str) -> Option<Found> {
    let text = text.trim_matches(['(', ')', '[', ']', ' ']);
    let (found, end) = at_forced(text, 0)?;
    text.get(end..)?
        .trim_matches(['.', ' ', ':'])
        .is_empty()
        .then_some(found)
}

/// Like [`at`], where a figure surely has that unit: `in` is inches, `C` degrees.
fn at_forced(text: &str, start: usize) -> Option<(Found, usize)> {
    if let Some(found) = at(text, start) {
        return Some(found);
    }
    let rest = text.get(start..)?;
    let len = rest.find([')', ']', ',', ' ']).unwrap_or(rest.len());
    let word = rest[..len].trim_end_matches('.');
    Some((spelled(word)?, start + len))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn unit(text: &str) -> Option<(String, &str)> {
        let (found, end) = at(text, 0)?;
        Some((found.unit(false).to_string(), &text[..end]))
    }

    #[test]
    fn spellings_end_where_the_unit_does() {
        let is = |text: &str, spelled: &str, written: &str| {
            assert_eq!(unit(text), Some((spelled.to_owned(), written)), "{text}");
        };
        is("m³/hr of air", "m3/h", "m³/hr");
        is("ft. deep", "ft", "ft.");
        is("ft deep", "ft", "ft");
        is("sq. ft. of pond", "ft2", "sq. ft.");
        is("cubic feet per minute at", "cfm", "cubic feet per minute");
        is("dB(A) at 1 m", "dB(A)", "dB(A)");
        is("dBA @ 10'", "dB(A)", "dBA");
        is("acres", "acre", "acres");
        is("\" ID", "in", "\"");
        is("in. ID", "in", "in.");
        is("LPM", "L/min", "LPM");
        is("GPM,", "gpm(US)", "GPM");
        is("°F", "degF", "°F");
        is(
            "% per foot of",
            "%/ft",
            "% per foot of".trim_end_matches(" of"),
        );
        is("m. The", "m", "m");
        is("lb/hr", "lb/h", "lb/hr");
        assert_eq!(unit("in the box"), None);
        assert_eq!(unit("a day"), None);
        assert_eq!(unit("and"), None);
        assert_eq!(unit("inflow"), None);
    }

    #[test]
    fn heads_name_units() {
        let head = |text: &str| of_head(text).map(|(found, _)| found.unit(false).to_string());
        assert_eq!(head("Flow (cfm)").as_deref(), Some("cfm"));
        assert_eq!(head("Max. depth, ft").as_deref(), Some("ft"));
        assert_eq!(head("Depth in feet").as_deref(), Some("ft"));
        assert_eq!(head("Noise dB(A)").as_deref(), Some("dB(A)"));
        assert_eq!(head("Power [W]").as_deref(), Some("W"));
        assert_eq!(head("Watts").as_deref(), Some("W"));
        assert_eq!(head("Bore (in)").as_deref(), Some("in"));
        assert_eq!(head("Depth").as_deref(), None);
        assert_eq!(head("Model A").as_deref(), None);
    }
}
