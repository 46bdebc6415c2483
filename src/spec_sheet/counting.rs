//! Bare numbers that count: diffusers, and turnovers in a time.

use crate::units::Dimension;

use super::around::is_title;
use super::claim::Attribute;
use super::measure::Measure;
use super::numeral;
use super::phrases::says;
use super::tokens::{Kind, Token};
use super::view::View;
use super::vocabulary::Topic;
use super::word::{Lead, Word, is_one};

/// Whether a bare number counts diffusers, or turnovers a day.
pub(super) fn count(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    if measure.is_size {
        return None;
    }
    let value = numeral::value(&measure.number)?;
    // `the 2nd disc`
    let after = view.text.get(measure.number_at.end..)?;
    let is_ordinal = ["st", "nd", "rd", "th", "ème", "er"].iter().any(|end| {
        after
            .strip_prefix(end)
            .is_some_and(|rest| !rest.starts_with(char::is_alphabetic))
    });
    if is_ordinal {
        return None;
    }
    // `2 discs ........ 58.00`: nothing that is counted is written with hundredths.
    let is_amount = measure
        .number
        .split_once('.')
        .is_some_and(|(_, decimals)| decimals.len() == 2);
    if let Some(turnover) = turnovers(view, measure) {
        return Some(turnover);
    }
    let own = Word::read(&view.text[measure.number_at.clone()]);
    if is_one!(own, "once" | "twice" | "thrice" | "double") {
        return None;
    }
    // The `5` of `a Reed 5 disc` is part of a name.
    let before = measure.tokens.start.checked_sub(1);
    let is_named = before.is_some_and(|before| {
        let token = &view.tokens[before];
        token.kind == Kind::Word(None)
            && token.cues == 0
            && before > view.sentence(before).start
            && is_title(&view.text[token.range()])
            // `You Get 5 Discs` is written so throughout.
            && view
                .tokens
                .get(measure.tokens.end)
                .is_some_and(|next| !is_title(&view.text[next.range()]))
            && view.tokens[measure.tokens.start].kind == Kind::Figure
    });
    if is_named {
        return None;
    }
    // `The diffusers, three of them`
    let of_them = is_one!(view.word(measure.tokens.end), "of")
        && is_one!(view.word(measure.tokens.end + 1), "them")
        && (view.around.row.set.has(Topic::Diffuser)
            || (measure.tokens.start.saturating_sub(4)..measure.tokens.start)
                .any(|at| view.tokens[at].topic() == Some(Topic::Diffuser)));
    // `Tom's lake has 6 m of water; he runs 9 airstones`
    let theirs = view.has_own_pond(measure.tokens.start)
        || view.speaks_of_own_pond() && view.goes_on(measure.tokens.start);
    if theirs || view.sentence_says(measure.tokens.start, says::NO_LONGER) {
        return None;
    }
    if is_amount {
        return None;
    }
    // `How many diffusers? Two, of rubber.`
    let answers = measure.tokens.start == view.sentence(measure.tokens.start).start
        && view.asked(measure.tokens.start).has(Topic::Diffuser)
        && view
            .tokens
            .get(measure.tokens.end)
            .is_none_or(|next| !next.is_word());
    if of_them || answers {
        return Some(Attribute::DiffuserCount);
    }
    // `4 × twin disc`: the first number counts.
    let times = measure.tokens.start.checked_sub(1).is_some_and(|at| {
        matches!(view.tokens[at].kind, Kind::Sign('×' | '*')) || is_one!(view.word(at), "x")
    });
    if times && measure.tokens.start >= 2 && view.tokens[measure.tokens.start - 2].is_number() {
        return None;
    }
    if !(1.0..=64.0).contains(&value) || value.fract() != 0.0 {
        return None;
    }
    // `the single disc` is one that was spoken of, a `single-disc set` a name.
    if is_one!(own, "single")
        && (view.text[measure.number_at.end..].starts_with('-')
            || measure.tokens.start > 0 && is_one!(view.word(measure.tokens.start - 1), "the"))
    {
        return None;
    }
    let first = measure.tokens.start;
    let is_colon = |at: usize| {
        matches!(view.tokens[at].kind, Kind::Sign(':' | '=' | '–' | '—'))
            || at > 0
                && view.tokens[at].kind == Kind::Sign('-')
                && view.tokens[at - 1].kind == Kind::Sign('-')
    };
    if first > 0 && is_colon(first - 1) {
        let label = &view.tokens[first.saturating_sub(6)..first - 1];
        let begins = label
            .iter()
            .rposition(|token| matches!(token.kind, Kind::Stop | Kind::Sign(';' | ',')))
            .map_or(0, |stop| stop + 1);
        let is_label = label[begins..]
            .iter()
            .any(|token| token.topic() == Some(Topic::Diffuser))
            && !label[begins..].iter().any(|token| {
                matches!(
                    token.topic(),
                    Some(Topic::Body | Topic::Bore | Topic::Depth | Topic::Weight | Topic::Fitting)
                )
            });
        let joins = matches!(
            view.tokens.get(measure.tokens.end).map(|token| token.kind),
            Some(Kind::Sign('/' | '.' | '-'))
        );
        if is_label && !joins {
            return Some(Attribute::DiffuserCount);
        }
    }
    let mut at = measure.tokens.end;
    let mut words = 0;
    if view
        .tokens
        .get(at)
        .is_some_and(|token| matches!(token.kind, Kind::Sign('.' | '-')))
        && view.text[measure.at.end..].starts_with('.')
    {
        return None;
    }
    // `(2) diffusers`, `2 x 10 in discs`, `two 9-inch discs`, `2 pcs diffusers`.
    while at < view.tokens.len() && words <= 3 {
        let token = &view.tokens[at];
        match token.kind {
            Kind::Sign('-' | ')' | '×') => at += 1,
            Kind::Sign('x') => at += 1,
            Kind::Spelled("1" | "2") => at += 1,
            Kind::Sign('"' | '”' | '\'') if words > 0 || at > measure.tokens.end => at += 1,
            Kind::Figure => {
                let size = view.measure_at(at)?;
                if size.dimension() != Some(Dimension::Length)
                    && size.dimension() != Some(Dimension::SoundLevel)
                {
                    return None;
                }
                at = size.tokens.end;
                words += 1;
            }
            Kind::Word(topic) | Kind::Mixed(topic) => {
                match topic {
                    Some(Topic::Diffuser) => {
                        let next = view.tokens.get(at + 1);
                        let also_diffuser =
                            next.is_some_and(|next| next.topic() == Some(Topic::Diffuser));
                        let after = if also_diffuser {
                            view.tokens.get(at + 2)
                        } else {
                            next
                        };
                        let other = after.is_some_and(|next| {
                            matches!(
                                next.topic(),
                                Some(Topic::Fitting | Topic::Per | Topic::Body)
                            ) || view.text[next.range()].eq_ignore_ascii_case("manifold")
                        });
                        return (!other).then_some(Attribute::DiffuserCount);
                    }
                    // `Diffusers | 2 tubes`
                    // `four tube diffusers`
                    Some(Topic::Line)
                        if view.tokens.get(at + 1).and_then(Token::topic)
                            == Some(Topic::Diffuser) => {}
                    Some(Topic::Line)
                        if measure.at.start == 0 && view.around.row.set.has(Topic::Diffuser) =>
                    {
                        break;
                    }
                    Some(
                        Topic::Joint
                        | Topic::At
                        | Topic::Per
                        | Topic::Compressor
                        | Topic::Line
                        | Topic::Fitting
                        | Topic::Package
                        | Topic::Fan
                        | Topic::Name
                        | Topic::Cord
                        | Topic::Pond
                        | Topic::Service
                        | Topic::Warranty,
                    ) => return None,
                    _ => {}
                }
                let word = &view.text[token.range()];
                if !word.eq_ignore_ascii_case("x") {
                    words += 1;
                }
                at += 1;
            }
            _ => break,
        }
    }
    // `Diffusers: 2`, a row or column of them.
    let alone = view.tokens.len() - (measure.tokens.end - measure.tokens.start) <= 1;
    // The head that says what a column holds says it alone.
    let by_column_alone = view.around.column.set.has(Topic::Diffuser);
    let heads = |topic: Topic| {
        if by_column_alone {
            view.around.column.set.has(topic)
        } else {
            view.around.head(topic)
        }
    };
    let other = heads(Topic::Depth)
        || heads(Topic::Fitting)
        || heads(Topic::Line)
        || heads(Topic::Price)
        || heads(Topic::Weight)
        || (heads(Topic::Name) && !view.around.row.set.has(Topic::Diffuser))
        || heads(Topic::Bore)
        || heads(Topic::Air)
        || heads(Topic::Body)
        || heads(Topic::Service);
    let start = view
        .text
        .trim_start()
        .starts_with(&view.text[measure.number_at.clone()]);
    let by_column = view.around.column.set.has(Topic::Diffuser);
    let by_row = view.around.row.set.has(Topic::Diffuser);
    let listed = start && view.text[measure.at.end..].starts_with(',');
    let plain_row = by_row && (alone || listed || start && !view.has(Topic::Body));
    (!other && (plain_row || (by_column && alone))).then_some(Attribute::DiffuserCount)
}

/// `1.5 times a day`, `two turnovers per day`, `Turnover: 1.5 per day`, `moves the whole pond once a day`.
pub(super) fn turnovers(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    let at = measure.tokens.start;
    let moves = view.sentence_has(at, Topic::Moved)
        && (view.sentence_has(at, Topic::Water) || view.sentence_has(at, Topic::Pond));
    let about =
        view.sentence_has(at, Topic::Turnover) || view.around.head(Topic::Turnover) || moves;
    let serves = view.sentence_has(at, Topic::Service) && !view.sentence_has(at, Topic::Turnover);
    (about && !serves)
        .then(|| period_after(view, measure))
        .flatten()
        .map(|_| Attribute::Turnover)
}

/// Seconds of the period that stands behind a count, and where its words end: `times a day`, `/day`, `daily`.
pub(super) fn period_after(view: &View<'_>, measure: &Measure<'_>) -> Option<(f64, usize)> {
    let rest = view.text.get(measure.number_at.end..)?;
    const LONGEST: usize = 56;
    let lead = Lead::of(rest, LONGEST);
    let small = lead.as_str();
    let mut tail = small.trim_start();
    for word in [
        "full ",
        "complete ",
        "whole ",
        "times ",
        "time ",
        "times",
        "x ",
        "x",
        "×",
        "turnovers ",
        "turnover ",
        "turns ",
        "mal ",
        "umwälzungen ",
        "fois ",
        "gange ",
        "gang ",
        "veces ",
        "vez ",
        "volte ",
        "volta ",
        "volume turnovers ",
        "pond turnovers ",
        "overturns ",
        "keer ",
        "pond volumes ",
        "volumes ",
        "of the pond ",
        "of the water ",
    ] {
        if let Some(after) = tail.strip_prefix(word) {
            tail = after.trim_start();
        }
    }
    let mut marked = false;
    for mark in [
        "per ", "each ", "every ", "a ", "an ", "/ ", "/", "pro ", "am ", "je ", "in a ", "in ",
        "par ", "al ", "i ", "om ",
    ] {
        if let Some(after) = tail.strip_prefix(mark) {
            tail = after.trim_start();
            marked = true;
            break;
        }
    }
    let periods: [(&str, f64, bool); 24] = [
        ("daily", 86_400.0, false),
        ("days", 86_400.0, true),
        ("day", 86_400.0, true),
        ("24 hours", 86_400.0, true),
        ("24-hour day", 86_400.0, true),
        ("24 hrs", 86_400.0, true),
        ("24 stunden", 86_400.0, true),
        ("24 heures", 86_400.0, true),
        ("24 uur", 86_400.0, true),
        ("24 horas", 86_400.0, true),
        ("24 ore", 86_400.0, true),
        ("24 h", 86_400.0, true),
        ("hour", 3600.0, true),
        ("week", 604_800.0, true),
        ("tag", 86_400.0, true),
        ("jour", 86_400.0, true),
        ("dag", 86_400.0, true),
        ("dagen", 86_400.0, true),
        ("døgnet", 86_400.0, true),
        ("døgn", 86_400.0, true),
        ("día", 86_400.0, true),
        ("giorno", 86_400.0, true),
        ("täglich", 86_400.0, false),
        ("d", 86_400.0, true),
    ];
    periods.iter().find_map(|&(word, seconds, needs_mark)| {
        let after = tail.strip_prefix(word)?;
        let ends = !after.starts_with(char::is_alphanumeric);
        (ends && marked == needs_mark).then(|| {
            let written = lead.written(small.len() - after.len(), rest).unwrap_or(0);
            (seconds, measure.number_at.end + written)
        })
    })
}
