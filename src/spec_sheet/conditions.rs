//! How a figure is bounded, and under what it holds.

use std::sync::{LazyLock, OnceLock};

use crate::units::{Dimension, Quantity};

use super::claim::{Attribute, Comparator, Counted};
use super::lexicon::{self, AFTER, ARTICLES, BEFORE, BOTH_WAYS, COMPARING, DAILY};
use super::measure::Measure;
use super::tokens::{Kind, Token};
use super::view::View;
use super::vocabulary::{Topic, cue};
use super::word::{Lead, Word, WordMap, is_one};

/// How a figure is bounded, and where the words that bound it begin and end in the passage.
pub fn comparator(view: &View<'_>, measure: &Measure<'_>) -> (Comparator, usize, usize) {
    let (start, end) = (measure.at.start, measure.at.end);
    if let Some(quantity) = &measure.quantity
        && quantity.is_range()
    {
        return (Comparator::Range, start, end);
    }
    let dimension = measure.dimension();
    if let Some((comparator, at)) = bound_before(&view.text[..start], dimension) {
        return (comparator, at.unwrap_or(start), end);
    }
    if let Some((comparator, after)) = bound_behind(view, measure) {
        return (comparator, start, after);
    }
    let labelled = measure
        .tokens
        .start
        .checked_sub(1)
        .is_some_and(|before| view.tokens[before].kind == Kind::Sign(':'));
    // `deepest we allow: 12 ft`
    let in_label = || {
        let colon = measure.tokens.start - 1;
        (colon.saturating_sub(8)..colon)
            .rev()
            .take_while(|&at| {
                let kind = view.tokens[at].kind;
                !matches!(kind, Kind::Stop | Kind::Sign(',' | '|' | '·'))
            })
            .any(|at| limits(view, at))
    };
    if labelled && in_label() {
        return (Comparator::AtMost, start, end);
    }
    // `maximum depth of 6 ft`, `Max. depth: 6 ft`.
    for one in view.near(measure) {
        // A label bounds what stands behind its colon: `Max. working depth (ft): 12`.
        let reach = if labelled { 8 } else { 3 };
        if one.after || one.cost > reach {
            continue;
        }
        // `Highest pressure 27.5 kPa`
        if one.topic == Topic::Superlative && one.cost <= 2 && is_limit_word(view, measure) {
            return (Comparator::AtMost, start, end);
        }
        // `min depth 5 ft`
        let least = one.topic == Topic::AtLeast && one.cost <= 2 && {
            let from = measure.tokens.start.saturating_sub(4);
            (from..measure.tokens.start)
                .any(|at| is_one!(view.word(at), "min" | "minimum" | "minimal" | "mindest"))
        };
        if least {
            return (Comparator::AtLeast, start, end);
        }
        if one.topic == Topic::AtMost && is_limit_word(view, measure) {
            return (Comparator::AtMost, start, end);
        }
    }
    (Comparator::Exact, start, end)
}

/// The bound that stands at the end of the text before a figure, and where its words begin.
fn bound_before(text: &str, dimension: Option<Dimension>) -> Option<(Comparator, Option<usize>)> {
    const SKIPPED: [char; 7] = [' ', '\u{a0}', '\u{2009}', '\u{202f}', '(', '\n', '+'];
    if !may_bound(text.trim_end_matches(SKIPPED)) {
        return None;
    }
    let from = text.char_indices().rev().nth(39).map_or(0, |(at, _)| at);
    // A line that ends with a bound bounds what stands on it: `TO 1 ACRE MAX.`
    if text.trim_end_matches([' ', '\n']).ends_with('.')
        && text.trim_end_matches(' ').ends_with('\n')
    {
        return None;
    }
    let lead = text[from..].trim_end_matches(SKIPPED);
    let lowered = Lead::of(lead, lead.len()).unbroken();
    let mut small = lowered.as_str();
    // `up to a ¼ acre`, `at least an acre`, `up to the 1/2 acre`, `up to about 6 ft`.
    for article in ARTICLES {
        if let Some(rest) = small.strip_suffix(article)
            && bound_at_end(rest, dimension).is_some_and(|(_, length)| length > 0)
            && (!matches!(*article, " to" | " in" | " of")
                || rest.ends_with("up")
                || rest.ends_with("than"))
        {
            small = rest;
            break;
        }
    }
    let (comparator, length) = bound_at_end(small, dimension)?;
    let at = from + lowered.written(small.len() - length, lead)?;
    Some((comparator, text.is_char_boundary(at).then_some(at)))
}

/// Bounds with what each says, the longest first: `up to about` says more than `about`.
fn bounds(listed: &[(Comparator, &[&'static str])]) -> Vec<(&'static str, Comparator)> {
    let all = listed
        .iter()
        .flat_map(|(comparator, words)| words.iter().map(|words| (*words, *comparator)));
    let mut all: Vec<_> = all.collect();
    all.sort_by_key(|(words, _)| std::cmp::Reverse(words.len()));
    all
}

/// Whether a text may end with a bound, by its last word or sign: most do not, and needn't be looked at further.
fn may_bound(text: &str) -> bool {
    /// The last words in letters of ASCII, and the last bytes of bounds that end otherwise.
    static ENDS: OnceLock<(WordMap<bool>, [bool; 256])> = OnceLock::new();
    let (words, signs) = ENDS.get_or_init(|| {
        let mut words = WordMap::<bool>::default();
        let mut signs = [false; 256];
        let bounds = bounds(BEFORE);
        let bounds = bounds.iter().map(|(words, _)| *words);
        for bound in bounds.chain(ARTICLES.iter().chain(COMPARING).copied()) {
            match last_word(bound) {
                "" => signs[usize::from(bound.bytes().last().unwrap_or(0))] = true,
                word => *words.entry(Word::read(word)) = true,
            }
        }
        (words, signs)
    });
    match last_word(text) {
        "" => text
            .bytes()
            .last()
            .is_some_and(|last| last >= 0x80 || signs[usize::from(last)]),
        word => words.get(Word::read(word)).is_some(),
    }
}

/// The letters of ASCII that a text ends with.
fn last_word(text: &str) -> &str {
    let letters = text
        .bytes()
        .rev()
        .take_while(u8::is_ascii_alphabetic)
        .count();
    &text[text.len() - letters..]
}

/// The bound that a text ends with, and the length of its words.
fn bound_at_end(small: &str, dimension: Option<Dimension>) -> Option<(Comparator, usize)> {
    if let Some((words, comparator)) = listed_at_end(small) {
        let rest = &small[..small.len() - words.len()];
        let means = match words {
            // `230 V ~ 50 Hz` and `230~ 50 Hz` name the current; `a < b > c` is no bound of `c`.
            "~" => !rest.trim_end().ends_with('v') && !rest.ends_with(|c: char| c.is_ascii_digit()),
            ">" => !rest.contains('<'),
            // The minutes of `60 l/min a 0,2 bar`.
            "min" | "min." => !rest.ends_with('/'),
            // `Über zwei Belüfter wird …`: what is counted isn't bounded by `over`.
            "über" => dimension.is_some(),
            // Volts and hertz come `from` somewhere; a price or an area begins there.
            "from" | "ab" | "dès" | "desde" => dimension
                .is_some_and(|d| d.is_money() || matches!(d, Dimension::Area | Dimension::Volume)),
            _ => true,
        };
        // Cold is bounded from below: `good down to -10 °F`.
        // Air goes down to three diffusers.
        let means = means && (dimension.is_some() || !matches!(words, "down to" | "ned til"));
        let comparator = if words == "down to" && dimension == Some(Dimension::Temperature) {
            Comparator::AtLeast
        } else {
            comparator
        };
        return means.then_some((comparator, words.len()));
    }
    if let Some(found) = compared_at_end(small, dimension) {
        return Some(found);
    }
    // `ponds to ½ acre`, `to 6 ft`: how far it goes.
    let rest = small
        .strip_suffix("to")
        .filter(|rest| !rest.ends_with(char::is_alphanumeric))?
        .trim_end();
    let far = dimension.is_some_and(|d| {
        matches!(
            d,
            Dimension::Area | Dimension::Length | Dimension::Volume | Dimension::Temperature
        )
    });
    let word = rest
        .rsplit(|c: char| !c.is_alphanumeric())
        .next()
        .unwrap_or("");
    let goes = rest.is_empty()
        || rest.ends_with("rate it")
        || rest.ends_with("take it")
        || rest.ends_with([':', '(', ',', '•', '|'])
        || lexicon::WATERS.contains(&word);
    (far && goes).then_some((Comparator::AtMost, 2))
}

/// `no more than`, `not deeper than`, `less than`, `must never exceed`, `not above`: a comparison that bounds,
/// turned around by a `not` before it.
fn compared_at_end(small: &str, dimension: Option<Dimension>) -> Option<(Comparator, usize)> {
    let mut words = small.rsplit(' ').filter(|word| !word.is_empty());
    let mut last = words.next()?;
    let mut length = last.len();
    if matches!(last, "than" | "als" | "dan" | "que" | "end") {
        last = words.next()?;
        length += last.len() + 1;
        let more = lexicon::MORE.contains(&last);
        let less = lexicon::LESS.contains(&last);
        if !more && !less {
            return None;
        }
        return Some(turned(more, words, length));
    }
    // `turns over 3 acres`, `turn your pond over twice a day`.
    let rolls = |word: &str| word.starts_with("turn") || word.starts_with("roll");
    if last == "over" && words.clone().take(6).any(rolls) {
        return None;
    }
    let more = matches!(
        last,
        "over" | "above" | "exceed" | "exceeds" | "exceeding" | "beyond" | "past"
    );
    // `don't put them below 2.4 m`: deeper.
    let deeper = dimension == Some(Dimension::Length) && matches!(last, "below" | "beneath");
    let more = more || deeper;
    let less = !deeper && matches!(last, "under" | "below" | "beneath");
    (more || less).then(|| turned(more, words, length))
}

/// A bound, turned around if one of the next three words before it is a `not`.
fn turned<'a>(
    more: bool,
    words: impl Iterator<Item = &'a str>,
    mut length: usize,
) -> (Comparator, usize) {
    let mut turned = false;
    for (place, word) in words.take(4).enumerate() {
        if word.ends_with(['.', ':', ',', ';']) {
            break;
        }
        if lexicon::TURNS.contains(&word) {
            turned = true;
            if place == 0 {
                length += word.len() + 1;
            }
            break;
        }
    }
    (
        if more == turned {
            Comparator::AtMost
        } else {
            Comparator::AtLeast
        },
        length,
    )
}

/// The first of [`BEFORE`] that the text ends with.
fn listed_at_end(small: &str) -> Option<(&'static str, Comparator)> {
    /// By their last byte, in order.
    static BY_LAST: OnceLock<Vec<Vec<(&'static str, Comparator)>>> = OnceLock::new();
    let by_last = BY_LAST.get_or_init(|| {
        let mut lists = vec![Vec::new(); 256];
        for one in bounds(BEFORE) {
            if let Some(list) = one
                .0
                .bytes()
                .last()
                .and_then(|last| lists.get_mut(usize::from(last)))
            {
                list.push(one);
            }
        }
        lists
    });
    let last = small.bytes().last()?;
    by_last
        .get(usize::from(last))?
        .iter()
        .find(|(words, _)| ends_with_word(small, words))
        .copied()
}

/// The bound that stands behind a figure, and where its words end. A second listing in brackets may stand
/// between, and a word of what is measured: `6 ft deep at most`, `0.1 ha (¼ acre) max.`
fn bound_behind(view: &View<'_>, measure: &Measure<'_>) -> Option<(Comparator, usize)> {
    let mut at = measure.at.end;
    if let Some(after) = bound_after(view.text, at, true) {
        return Some(after);
    }
    let mut next = measure.tokens.end;
    if let Some(Kind::Sign('(' | '[')) = view.tokens.get(next).map(|token| token.kind)
        && let Some(other) = view.measure_at(next + 1)
        && let Some(close) = view.tokens.get(other.tokens.end)
        && matches!(close.kind, Kind::Sign(')' | ']'))
    {
        next = other.tokens.end + 1;
        at = close.end as usize;
    }
    if let Some(word) = view.tokens.get(next)
        && is_one!(
            view.word(next),
            "deep" | "depth" | "long" | "tief" | "of" | "in" | "wide"
        )
    {
        at = word.end as usize;
    }
    (at > measure.at.end)
        .then(|| bound_after(view.text, at, false))
        .flatten()
}

/// The bound that stands at byte `at`, and where its words end; right behind the figure also as a sign.
fn bound_after(text: &str, at: usize, behind: bool) -> Option<(Comparator, usize)> {
    let rest = text.get(at..)?;
    let bare = rest.trim_start_matches([' ', '\u{a0}', ',']);
    let gap = rest.len() - bare.len();
    let first = bare.bytes().next()?.to_ascii_lowercase();
    // The letters that such bounds begin with.
    let may_begin = matches!(
        first,
        b'm' | b'o' | b'a' | b'n' | b'r' | b't' | b'h' | b'u' | b'i' | b'g'
    );
    let may_bound = matches!(first, b'+' | b'-') || may_begin && may_bound_behind(bare);
    if !may_bound {
        return None;
    }
    const LONGEST: usize = 24;
    let lead = Lead::of(bare, LONGEST);
    let small = lead.as_str();
    static BOUNDS: LazyLock<Vec<(&str, Comparator)>> = LazyLock::new(|| bounds(AFTER));
    BOUNDS.iter().find_map(|&(words, comparator)| {
        if words.as_bytes().first() != Some(&first) {
            return None;
        }
        let after = small.strip_prefix(words)?;
        if words == "+" {
            return (gap == 0 && behind && !after.starts_with(|c: char| c.is_ascii_digit())).then_some((comparator, at + 1));
        }
        // `87 W MAX 6 PSI` bounds what follows.
        let bounds_next = after.trim_start_matches(['.', ' ', ':']).starts_with(|c: char| c.is_ascii_digit() || matches!(c, '$' | '€' | '£' | '½' | '¼' | '¾'));
        let ends = !after.starts_with(char::is_alphanumeric)
            // Behind a comma it may begin what follows: `12 ft, minimum four feet`.
            && (!rest[..gap].contains(',') || !BOTH_WAYS.contains(&words) || !after.trim_start_matches(['.', ' ']).starts_with(char::is_alphanumeric));
        (ends && !(bounds_next && BOTH_WAYS.contains(&words)))
            .then_some((comparator, at + gap + words.len()))
    })
}

/// Whether a text may begin with a bound, by the letters of ASCII that it begins with.
fn may_bound_behind(text: &str) -> bool {
    static BEGINNINGS: OnceLock<WordMap<bool>> = OnceLock::new();
    let letters = |text: &str| {
        let letters = text.bytes().take_while(u8::is_ascii_alphabetic).count();
        Word::at(text, 0, letters)
    };
    let known = BEGINNINGS.get_or_init(|| {
        let mut known = WordMap::<bool>::default();
        for (words, _) in bounds(AFTER) {
            *known.entry(letters(words)) = true;
        }
        known
    });
    known.get(letters(text)).is_some()
}

/// Whether the words before it hold `max`, `maximum` or `limit`, and not merely `under`.
fn is_limit_word(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let from = measure.tokens.start.saturating_sub(9);
    (from..measure.tokens.start).any(|at| limits(view, at))
}

/// Whether a word is one of a limit. `Profondeur maxi` bounds, `Maxi: 60 W` begins with a name.
fn limits(view: &View<'_>, at: usize) -> bool {
    let begins = || {
        at.checked_sub(1)
            .is_none_or(|before| !view.tokens[before].is_word())
    };
    view.tokens[at].cues & cue::LIMIT != 0 && !(is_one!(view.word(at), "maxi") && begins())
}

fn ends_with_word(text: &str, words: &str) -> bool {
    text.strip_suffix(words).is_some_and(|rest| {
        let first = words.chars().next();
        first.is_some_and(|c| !c.is_alphanumeric())
            || !rest.ends_with(|c: char| c.is_alphanumeric())
    })
}

/// `per diffuser`, `each`, `per kit` behind a figure, or in the head of its row or column.
pub fn per(view: &View<'_>, measure: &Measure<'_>, attribute: Attribute) -> Option<Counted> {
    if !matches!(
        attribute,
        Attribute::Flow
            | Attribute::AirlineLength
            | Attribute::WaterFlow
            | Attribute::Oxygen
            | Attribute::Power
            | Attribute::Area
    ) {
        return None;
    }
    for head in [&view.around.row.set, &view.around.column.set] {
        if head.has(Topic::Per) && head.has(Topic::Diffuser) {
            return Some(Counted::Diffuser);
        }
    }
    if attribute == Attribute::AirlineLength {
        // `line_each`, `je 25 m` in a row of the airline
        let each = [&view.around.row, &view.around.column].iter().any(|head| {
            head.set.has(Topic::Line)
                && head.set.has(Topic::Per)
                && !head.set.has(Topic::Package)
                && !head.set.has(Topic::Price)
        });
        let shares = view.around.head(Topic::Line)
            && is_one!(view.preposition(measure), "je" | "each" | "jeweils");
        if each || shares {
            return Some(Counted::Diffuser);
        }
    }
    // `Disc, working range 0.5-2 cfm`: what a diffuser takes.
    if attribute == Attribute::Flow
        && measure.quantity.as_ref().is_some_and(Quantity::is_range)
        && is_one!(view.preposition(measure), "range" | "bereich")
        && view.has(Topic::Diffuser)
    {
        return Some(Counted::Diffuser);
    }
    // `each diffuser wants 0.5 to 1.5 cfm`
    let from = measure.tokens.start.saturating_sub(8);
    // `each on its own 100-foot line`, `each fed by its own 150 feet`
    let own = |at: usize| {
        is_one!(view.word(at), "each")
            && is_one!(
                view.word(at + 1),
                "on" | "fed" | "with" | "has" | "gets" | "carries"
            )
            && view.has(Topic::Diffuser)
    };
    if (from..measure.tokens.start).any(own) {
        return Some(Counted::Diffuser);
    }
    // `je Teller 25 m`, but not `je 25 m`
    let leads = |at: usize| {
        let names = || view.tokens.get(at + 1).and_then(Token::topic) == Some(Topic::Diffuser);
        view.tokens[at].topic() == Some(Topic::Per) && (!is_one!(view.word(at), "je") || names())
    };
    for at in (from..measure.tokens.start).rev().take_while(|&at| {
        !matches!(
            view.tokens[at].kind,
            Kind::Stop | Kind::Figure | Kind::Sign(',' | ';')
        )
    }) {
        if leads(at) && counted(view, at + 1) == Some(Counted::Diffuser) {
            return Some(Counted::Diffuser);
        }
    }
    let mut at = measure.tokens.end;
    let mut skipped = 0;
    while at < view.tokens.len() && skipped <= 7 {
        let token = &view.tokens[at];
        // `150 ft of 3/8 in line for each diffuser`
        if at > measure.tokens.end
            && let Some(other) = view.measure_at(at)
        {
            if attribute != Attribute::AirlineLength || other.dimension() != measure.dimension() {
                return None;
            }
            at = other.tokens.end;
            skipped += 1;
            continue;
        }
        if let Kind::Sign('/') = token.kind
            && let Some(found) = counted(view, at + 1)
        {
            return Some(found);
        }
        if token.topic() == Some(Topic::Per) {
            let word = view.word(at);
            if let Some(found) = counted(view, at + 1) {
                return Some(found);
            }
            // `1.2 cfm each`
            let ends = view.tokens.get(at + 1).is_none_or(|next| {
                !next.is_word() && !next.is_number()
                    || next.topic() == Some(Topic::At)
                    || view
                        .measure_at(at + 1)
                        .is_some_and(|next| next.dimension() != measure.dimension())
            });
            if is_one!(word, "each" | "apiece")
                && ends
                && (view.has(Topic::Diffuser) || view.around.head(Topic::Diffuser))
            {
                return Some(Counted::Diffuser);
            }
            return None;
        }
        match token.kind {
            Kind::Word(Some(Topic::Joint | Topic::At)) => return None,
            Kind::Word(_) | Kind::Mixed(_) | Kind::Sign('(' | ')' | '-') => skipped += 1,
            _ => return None,
        }
        at += 1;
    }
    None
}

fn counted(view: &View<'_>, at: usize) -> Option<Counted> {
    // `each of the three diffusers`
    for next in at..at + 4 {
        let token = view.tokens.get(next)?;
        match token.topic() {
            _ if matches!(token.kind, Kind::Spelled(_)) => {}
            Some(Topic::Diffuser) => return Some(Counted::Diffuser),
            Some(Topic::Package) => return Some(Counted::Package),
            _ if token.is_word() => {
                if is_one!(
                    view.word(next),
                    "head" | "heads" | "line" | "run" | "tube" | "tubes"
                ) {
                    return Some(Counted::Diffuser);
                }
                // `two diffusers, and for each of them 25 m`
                if is_one!(view.word(next), "them" | "these") {
                    let only = view.has(Topic::Diffuser) && !view.has(Topic::Package);
                    return only.then_some(Counted::Diffuser);
                }
            }
            _ => return None,
        }
    }
    None
}

/// `24 hours a day`, `24/7`, `12 h/day`: hours that it runs each day.
pub fn hours_per_day(view: &View<'_>, range: std::ops::Range<usize>) -> Option<f64> {
    let tokens = view.tokens.get(range)?;
    let is_slashed =
        |pair: &[Token]| pair[0].kind == Kind::Figure && pair[1].kind == Kind::Sign('/');
    for pair in tokens.windows(2).filter(|pair| is_slashed(pair)) {
        let end = pair[0].end as usize;
        if view.text[..end].ends_with("24") && view.text[end..].starts_with("/7") {
            return Some(24.0);
        }
    }
    let said = || tokens.iter().filter(|token| token.cues & cue::HOURLY != 0);
    let ends_with = |text: &str, words: &str| {
        let from = text.len().checked_sub(words.len());
        from.and_then(|from| text.get(from..))
            .is_some_and(|end| end.eq_ignore_ascii_case(words))
    };
    for token in said() {
        let (before, word) = (
            view.text.get(..token.start as usize)?,
            &view.text[token.range()],
        );
        if word.eq_ignore_ascii_case("clock") && ends_with(before, "round the ")
            || word.eq_ignore_ascii_case("uhr") && ends_with(before, "rund um die ")
        {
            return Some(24.0);
        }
    }
    said().find_map(|token| {
        let (before, rest) = view.text.split_at_checked(token.start as usize)?;
        if !before
            .trim_end()
            .ends_with(|c: char| c.is_ascii_digit() || c == '.')
        {
            return None;
        }
        const LONGEST: usize = 20;
        let lead = Lead::of(rest, LONGEST);
        let rest = lead.as_str();
        DAILY.iter().find(|mark| rest.starts_with(**mark))?;
        let before = before.trim_end();
        let digits = before.len()
            - before
                .bytes()
                .rev()
                .take(8)
                .take_while(|b| b.is_ascii_digit() || *b == b'.')
                .count();
        let hours = before[digits..].parse::<f64>().ok()?;
        (hours > 0.0 && hours <= 24.0).then_some(hours)
    })
}

#[cfg(test)]
mod tests {
    use super::super::shown::is;

    #[test]
    fn words_before_a_figure_bound_it() {
        is("Ponds up to ½ acre", "½ acre area at-most");
        is(
            "Good for ponds to 2 acres and depths to 16 ft",
            "2 acres area at-most; 16 ft depth at-most",
        );
        is(
            "Not larger than 15,000 sq. ft. of pond",
            "15,000 sq. ft. area at-most",
        );
        is("Pressure must never exceed 5 psi", "5 psi pressure at-most");
        is(
            "Diffusers not deeper than 9 ft 6 in",
            "9 ft 6 in depth at-most",
        );
        // A least depth is no claim of the greatest.
        is("Set it never in less than three feet of water", "");
        is("Air flow no less than 3 cfm", "3 cfm flow at-least");
        is(
            "The compressor is good down to -10 °F",
            "-10 °F temperature at-least",
        );
        is("Runs from 208–230 V", "208–230 V voltage range");
        is(
            "230 V ~ 50 Hz",
            "230 V voltage exact; 50 Hz frequency exact",
        );
        is("230~ 50Hz", "50Hz frequency exact");
        is(
            "Pipe: it can reach 190 °F of heat",
            "190 °F temperature at-most",
        );
        is("It turns over 3 acres of pond", "3 acres area exact");
        is("Call it $38 a month", "$38 a month cost about");
        is("Max. working depth (ft): 12", "12 depth at-most");
    }

    #[test]
    fn words_behind_a_figure_bound_it() {
        is("Depth 1.8 m at most", "1.8 m depth at-most");
        is(
            "Pond: 0.1 ha (¼ acre) max.",
            "0.1 ha area at-most also ¼ acre",
        );
        is("87W MAX 6 PSI", "87W power exact; 6 PSI pressure at-most");
        is(
            "Depth twelve feet, minimum four feet deep",
            "twelve feet depth exact; four feet depth at-least",
        );
    }

    #[test]
    fn a_share_is_each_diffusers() {
        is(
            "75 feet of half-inch line for each diffuser",
            "75 feet airline-length exact per diffuser; half-inch airline-size exact",
        );
        is(
            "Each diffuser wants 0.5 to 1.5 cfm",
            "0.5 to 1.5 cfm flow range per diffuser",
        );
        is(
            "Two discs, 14 lb each",
            "Two diffuser-count exact; 14 lb mass exact",
        );
        is(
            "Up to 150 ft of 3/8 in line for each diffuser, or 400 ft of 1/2 in.",
            "150 ft airline-length at-most per diffuser; 3/8 in airline-size exact; 400 ft airline-length at-most per diffuser; 1/2 in airline-size exact",
        );
    }
}
