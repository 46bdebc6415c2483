//! Which figures are conditions, and which claims hold under them.

use crate::units::Dimension;

use super::claim::{Attribute, Comparator};
use super::conditions;
use super::finder::{FARTHEST, Reading};
use super::lexicon;
use super::measure::{Measure, Period};
use super::tokens::Kind;
use super::view::{View, is_sound};
use super::vocabulary::{Topic, cue};
use super::word::{Word, is_one};

/// The figure of the sentence that one joined by `or` or `and` goes on from: of the same unit, and an airline's
/// length or a depth.
pub(super) fn goes_on_from(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let measure = &measures[place];
    let unit = measure.quantity.as_ref()?.unit();
    // `never deeper than 3.2 m, nor in less than 1.2 m`
    let nor = measures[place - 1].tokens.end..measure.tokens.start;
    let nor = nor.len() <= 6 && nor.clone().any(|at| is_one!(view.word(at), "nor"));
    let joint = match view.preposition(measure) {
        _ if nor => Word::of("or"),
        joint => joint,
    };
    if !is_one!(joint, "or" | "and" | "oder" | "und")
        || measure.is_size
        || (readings[place].attribute.is_some() && !is_one!(joint, "or" | "oder"))
    {
        return None;
    }
    let sentence = view.sentence(measure.tokens.start);
    (place.saturating_sub(3)..place).rev().find(|&first| {
        sentence.contains(&measures[first].tokens.start)
            && matches!(
                readings[first].attribute,
                Some(Attribute::AirlineLength | Attribute::Depth)
            )
            && readings[place]
                .attribute
                .is_none_or(|own| Some(own) == readings[first].attribute)
            && measures[first]
                .quantity
                .as_ref()
                .is_some_and(|quantity| quantity.unit() == unit)
    })
}

pub(super) fn near_sound(view: &View<'_>, measure: &Measure<'_>) -> bool {
    view.measures
        .iter()
        .take(measure.place)
        .rev()
        .take_while(|other| measure.tokens.start.saturating_sub(other.tokens.end) <= 6)
        .any(|other| is_sound(other) && other.tokens.end <= measure.tokens.start)
}

/// Whether a word introduces a condition.
pub(super) fn introduces(word: Word) -> bool {
    is_one!(
        word,
        "at" | "@"
            | "bei"
            | "à"
            | "against"
            | "gegen"
            | "auf"
            | "op"
            | "ved"
            | "tegen"
            | "bij"
            | "sous"
            | "bajo"
            | "sotto"
    )
}

/// Whether a length is a height above the sea, or stands close behind one: `at 2,000 m above the sea …; at 100 m`.
fn is_height(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let from = measure.tokens.start.saturating_sub(14);
    let to = (measure.tokens.end + 4).min(view.tokens.len());
    let mut around = view.tokens[from..to].iter();
    around.any(|token| token.topic() == Some(Topic::Elsewhere))
}

/// Whether but an `a` or a `sous` parts a figure from one that it may be the condition of: `60 l/min a 0,2 bar`.
fn is_right_behind(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let Some(at) = measure.tokens.start.checked_sub(1) else {
        return false;
    };
    let before = measure
        .place
        .checked_sub(1)
        .and_then(|before| view.measures.get(before));
    is_one!(view.word(at), "a" | "ad" | "sous" | "på" | "in")
        && before.is_some_and(|before| {
            (before.tokens.end == at
                || before.tokens.end + 1 == at
                    && matches!(view.tokens[before.tokens.end].kind, Kind::Sign(')')))
                && matches!(
                    before.dimension(),
                    Some(
                        Dimension::VolumeFlow
                            | Dimension::AirAmount
                            | Dimension::SoundLevel
                            | Dimension::WeightedSoundLevel
                            | Dimension::Share
                    )
                )
        })
}

/// Introduced by `at`: `@ 10'`, `at a depth of 6 ft`, `at 2 psi`.
pub(super) fn is_condition(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let Some(dimension) = measure.dimension() else {
        return false;
    };
    if !matches!(
        dimension,
        Dimension::Length
            | Dimension::GaugePressure
            | Dimension::AbsolutePressure
            | Dimension::Temperature
            | Dimension::MoneyPerEnergy
    ) {
        return false;
    }
    if measure.period == Some(Period::KilowattHour) {
        return true;
    }
    let before = view.preposition(measure);
    // `with the diffuser under 1.5 m of water`
    let end = measure.tokens.end;
    let drowned = is_one!(before, "under" | "unter" | "onder" | "sous")
        && is_one!(
            view.word(end),
            "of" | "water" | "wasser" | "vand" | "d'eau" | "d’eau"
        )
        && dimension == Dimension::Length;
    if introduces(before) || drowned || is_right_behind(view, measure) {
        // `Hung at 3 ft` says where it lies, `the valve opens at 50 kPa` what it does.
        let opens = || {
            let from = measure.tokens.start.saturating_sub(4);
            // `Open flow, at 0 kPa` is what it gives into the open.
            let gives = |at: usize| is_one!(view.word(at + 1), "flow");
            (from..measure.tokens.start)
                .any(|at| !gives(at) && lexicon::OPENS.contains(&view.word(at)))
        };
        return match dimension {
            Dimension::Length => !is_set(view, measure) && !is_height(view, measure),
            Dimension::GaugePressure | Dimension::AbsolutePressure => !opens(),
            _ => true,
        };
    }
    if dimension == Dimension::Length
        && is_one!(view.word(measure.tokens.end), "off" | "away")
        && view.sentence_has_sound(measure.tokens.start)
    {
        return true;
    }
    // `95 litres a minute when the discs are down 2.5 m`
    if dimension == Dimension::Length {
        let from = measure.tokens.start.saturating_sub(8);
        let mut diffuser = false;
        for at in (from..measure.tokens.start).rev() {
            let token = &view.tokens[at];
            if matches!(
                token.kind,
                Kind::Stop | Kind::Figure | Kind::Sign(',' | ';')
            ) {
                break;
            }
            diffuser |= token.topic() == Some(Topic::Diffuser);
            if diffuser && is_one!(view.word(at), "when" | "with" | "while" | "wenn") && at > 0 {
                let leads = view.measures[..measure.place]
                    .last()
                    .is_some_and(|other| other.tokens.end <= at && at - other.tokens.end <= 2);
                if leads {
                    return true;
                }
                break;
            }
        }
    }
    if dimension == Dimension::Length {
        // `44 dBA (1 m)`, `measured 3 ft away`, `44 dB in 1 m Abstand`.
        let away = view
            .near(measure)
            .iter()
            .any(|one| one.topic == Topic::Away && one.cost <= 3);
        if away && view.sentence_has_sound(measure.tokens.start) {
            return true;
        }
        if near_sound(view, measure)
            && is_one!(
                before,
                "from" | "in" | "/" | "," | "mesuré" | "dba" | "dbd" | "dba)" | ")" | "db"
            )
        {
            return true;
        }
    }
    // `At 6 ft, …` is seen above; `(2 psi)` behind a flow is a condition too.
    let bracket = measure.tokens.start > 0
        && matches!(
            view.tokens[measure.tokens.start - 1].kind,
            Kind::Sign('(' | '[')
        );
    let closed = view
        .tokens
        .get(measure.tokens.end)
        .is_some_and(|token| matches!(token.kind, Kind::Sign(')' | ']')));
    bracket && closed && matches!(dimension, Dimension::GaugePressure | Dimension::Length)
}

/// Whether a word of setting or hanging stands right before the preposition of a figure.
pub(super) fn is_set(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let from = measure.tokens.start.saturating_sub(4);
    view.tokens[from..measure.tokens.start]
        .iter()
        .any(|token| token.cues & cue::SETS != 0)
}

/// Whether a claim of that attribute can hold under a condition.
pub(super) fn takes_condition(attribute: Attribute) -> bool {
    matches!(
        attribute,
        Attribute::Flow
            | Attribute::Power
            | Attribute::Current
            | Attribute::Sound
            | Attribute::Area
            | Attribute::Turnover
            | Attribute::Oxygen
            | Attribute::Cost
            | Attribute::Efficiency
            | Attribute::WaterFlow
            | Attribute::Pressure
    )
}

/// Whether a condition of that dimension makes sense for the attribute.
pub(super) fn fits(attribute: Attribute, dimension: Dimension) -> bool {
    match dimension {
        Dimension::MoneyPerEnergy => attribute == Attribute::Cost,
        Dimension::GaugePressure | Dimension::AbsolutePressure => {
            matches!(
                attribute,
                Attribute::Flow
                    | Attribute::Power
                    | Attribute::Current
                    | Attribute::Sound
                    | Attribute::WaterFlow
            )
        }
        Dimension::Length => takes_condition(attribute) && attribute != Attribute::Cost,
        Dimension::Temperature => takes_condition(attribute) && attribute != Attribute::Cost,
        _ => false,
    }
}

/// Which figure of the sentence a condition belongs to: the nearest before, else the next.
pub(super) fn target(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let sentence = view.sentence(measures[place].tokens.start);
    let dimension = measures[place].dimension()?;
    let fit = |other: usize| {
        sentence.contains(&measures[other].tokens.start)
            && readings[other].also_of.is_none()
            && (!readings[other].is_condition
                || matches!(readings[other].attribute, Some(a) if takes_condition(a)))
            && readings[other]
                .attribute
                .is_some_and(|attribute| fits(attribute, dimension))
    };
    let before = (place.saturating_sub(FARTHEST)..place).rev();
    let after = place + 1..measures.len().min(place + FARTHEST);
    before
        .take_while(|&other| measures[other].tokens.start >= sentence.start)
        .find(|&other| fit(other))
        .or_else(|| {
            after
                .take_while(|&other| measures[other].tokens.start < sentence.end)
                .find(|&other| fit(other))
        })
}

pub(super) fn has_target(
    view: &View<'_>,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
    attribute: Attribute,
) -> bool {
    let Some(found) = target(view, measures, readings, place) else {
        return false;
    };
    // A bracket behind an area holds its depth only if nothing says it is a claim of its own.
    let before = view.preposition(&measures[place]);
    if !introduces(before)
        && readings[found].attribute == Some(Attribute::Area)
        && attribute == Attribute::Depth
    {
        return false;
    }
    // `1,200 square metres, with 2 diffusers at 3 metres at the most` bounds both.
    if readings[found].attribute == Some(Attribute::Area)
        && attribute == Attribute::Depth
        && conditions::comparator(view, &measures[place]).0 == Comparator::AtMost
    {
        return false;
    }
    true
}

/// Whether figure `place` is joined to the one before it by `and` or a comma alone.
pub(super) fn joined(view: &View<'_>, measures: &[Measure<'_>], place: usize) -> bool {
    let between = measures[place - 1].at.end..measures[place].at.start;
    let between = view.text.get(between).unwrap_or("").trim().to_lowercase();
    matches!(between.as_str(), "and" | "&" | "und" | "et" | "en")
}
