//! Figures that promise nothing of the thing that is sold: of somebody's pond, of other machines, of what was, and
//! of what somebody wishes.

use crate::units::Dimension;

use super::lexicon;
use super::measure::Measure;
use super::phrases::says;
use super::tokens::Kind;
use super::view::{Near, View};
use super::vocabulary::{Topic, cue};
use super::word::{Word, is_one, words};

/// Whether a figure is such a one.
pub(super) fn is_of_others(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> bool {
    of_somebody_else(view, measure, near)
        || is_former_figure(view, measure)
        || of_their_machine(view, measure)
        || is_wished(view, measure)
        || is_none_of_it(view, measure)
        || tells_of_somebody(view, measure)
        || is_of_the_old(view, measure)
}

/// `my ½-acre pond`, `a customer with 2 acres`: somebody's pond and not what is promised.
fn of_somebody_else(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> bool {
    let Some(quantity) = measure.quantity.as_ref() else {
        return false;
    };
    if !matches!(
        quantity.dimension(),
        Dimension::Area | Dimension::Length | Dimension::Volume
    ) {
        return false;
    }
    let at = measure.tokens.start;
    let up_to = at >= 2 && is_one!(view.word(at - 1), "to") && is_one!(view.word(at - 2), "up");
    let bounded = up_to
        || near.iter().any(|one| {
            !one.after && one.cost <= 2 && matches!(one.topic, Topic::AtMost | Topic::AtLeast)
        });
    // `If your pond is over 2 acres, call us`: what it doesn't serve.
    let beyond = view.sentence_tells(at, cue::SUPPOSES)
        && view.has_own_pond(at)
        && near
            .iter()
            .any(|one| !one.after && one.cost <= 2 && one.topic == Topic::AtLeast);
    if beyond {
        return true;
    }
    let ours = view.sentence_tells(at, cue::RATES);
    if bounded || ours {
        return false;
    }
    let whose = near
        .iter()
        .any(|one| !one.after && one.cost <= 3 && one.topic == Topic::Whose);
    let pond_is = near
        .iter()
        .any(|one| one.topic == Topic::Pond && one.cost <= 3);
    let first_person = view.sentence_tells(at, cue::SOMEBODY);
    if quantity.dimension() == Dimension::Length {
        // The depth of a pond that is somebody's; airlines and distances are told elsewhere.
        let deep = near
            .iter()
            .any(|one| one.topic == Topic::Depth && one.cost <= 3);
        let joined = measure
            .place
            .checked_sub(1)
            .and_then(|before| view.measures.get(before))
            .is_some_and(|before| {
                before.dimension() == Some(Dimension::Area) && before.tokens.end + 2 >= at
            });
        let left = view.sentence_tells(at, cue::SPEAKS)
            && view.sentence_tells(at, cue::OWNS)
            && view.sentence_has(at, Topic::Pond);
        return ((view.has_own_pond(at) || left && joined)
            && (deep || joined)
            && !view.is_at(measure))
            || (first_person && pond_is && (whose || deep));
    }
    let first_person =
        first_person || view.sentence_tells(at, cue::SPEAKS) && view.sentence_tells(at, cue::OWNS);
    let conditional = view.sentence_tells(at, cue::SUPPOSES);
    let has_pond = view.sentence_has(at, Topic::Pond) || quantity.dimension() == Dimension::Area;
    (whose && pond_is)
        || view.has_own_pond(at) && !view.sentence_has(at, Topic::Turnover)
        || (first_person && has_pond)
        || (conditional && whose)
}

/// `it was 74 W and is now 70 W`: what no longer holds.
fn is_former_figure(view: &View<'_>, measure: &Measure<'_>) -> bool {
    // `was 74 W and is 70 W`
    let becomes = || {
        view.measures.get(measure.place + 1).is_some_and(|next| {
            next.dimension() == measure.dimension()
                && next.tokens.start <= measure.tokens.end + 5
                && (measure.tokens.end..next.tokens.start)
                    .any(|at| is_one!(view.word(at), "is" | "to" | "becomes" | "are"))
        })
    };
    is_one!(
        view.preposition(measure),
        "was" | "were" | "formerly" | "previously" | "old" | "former" | "than"
    ) && (view.sentence_tells(measure.tokens.start, cue::NOW) || becomes())
}

/// What a sentence says of other things than what is sold: of a site, of what was seen, of what isn't made.
fn is_none_of_it(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let at = measure.tokens.start;
    let says = |phrases: u32| view.sentence_says(at, phrases);
    let Some(dimension) = measure.dimension() else {
        return false;
    };
    let before = view.preposition(measure);
    let site = matches!(
        dimension,
        Dimension::Area | Dimension::Length | Dimension::Volume
    ) && says(says::SITE);
    let seen = matches!(dimension, Dimension::Power | Dimension::Current)
        && (says(says::SEEN)
            || is_one!(before, "that")
            || measure.tokens.start > 0 && is_one!(view.word(measure.tokens.start - 1), "that"));
    let others = matches!(
        dimension,
        Dimension::SoundLevel | Dimension::WeightedSoundLevel
    ) && says(says::SOME);
    let rival = matches!(
        dimension,
        Dimension::Power | Dimension::Current | Dimension::VolumeFlow
    ) && says(says::RIVAL)
        && !says(says::OURS);
    let needless = is_one!(before, "need") && says(says::NEEDLESS);
    let gone = says(says::GONE);
    let money = dimension.is_money()
        && (says(says::OTHER_MONEY)
            || is_one!(view.word(measure.tokens.end), "a")
                && is_one!(
                    view.word(measure.tokens.end + 1),
                    "go" | "ticket" | "seat" | "person"
                )
            || is_one!(before, "otherwise"));
    let before_now = measure.tokens.start.wrapping_sub(1);
    // `the paddle you have now (1.5 kW)`
    let opened = view.text[..measure.at.start].ends_with('(');
    let before_now = before_now.wrapping_sub(usize::from(opened));
    let until_now = is_one!(view.word(before_now), "now" | "previously" | "formerly") && {
        let from = view
            .text
            .floor_char_boundary(measure.at.start.saturating_sub(16));
        let lead = view.text[from..measure.at.start]
            .trim_end_matches([' ', '('])
            .to_lowercase();
        [
            "until now",
            "up to now",
            "have now",
            "previously",
            "formerly",
        ]
        .iter()
        .any(|words| lead.ends_with(words))
    };
    // `5/8-inch instead of ½ inch`
    let alternative = {
        const NEAR: usize = 3;
        let from = at.saturating_sub(NEAR);
        let is_part = |&at: &usize| view.tokens[at].is_word();
        (from..at).rev().take_while(is_part).any(|at| {
            let before = || {
                at.checked_sub(1)
                    .map_or_else(Word::default, |at| view.word(at))
            };
            is_one!(view.word(at), "of") && is_one!(before(), "instead")
                || is_one!(view.word(at), "than") && is_one!(before(), "rather")
                || is_one!(view.word(at), "statt" | "anstatt")
        })
    };
    // `a rotameter of 0–10 m³/h scale`
    let scale = dimension == Dimension::VolumeFlow
        && view.sentence_tells(at, cue::SCALE)
        && measure
            .quantity
            .as_ref()
            .is_some_and(|quantity| quantity.is_range() && quantity.si_low() == 0.0);
    // `£25 to the islands`
    let sent = dimension.is_money()
        && is_one!(view.word(measure.tokens.end), "to")
        && is_one!(view.word(measure.tokens.end + 1), "the" | "your" | "zip");
    alternative
        || rival
        || until_now
        || scale
        || sent
        || site
        || seen
        || others
        || needless
        || gone
        || money
}

/// The tokens before a figure, the nearest first, but for remarks in brackets that are over: they speak of
/// themselves, as in `55 W (the old one took 110 W) and 80 L/min`.
fn before(view: &View<'_>, measure: &Measure<'_>, most: usize) -> impl Iterator<Item = usize> {
    let start = measure.tokens.start;
    let mut closed = 0u32;
    (start.saturating_sub(most)..start)
        .rev()
        .filter(move |&at| {
            match view.tokens[at].kind {
                Kind::Sign(')') => closed += 1,
                Kind::Sign('(') if closed > 0 => {
                    closed -= 1;
                    return false;
                }
                _ => {}
            }
            closed == 0
        })
}

/// `of which the old Teal (£860, 95 L/min) lacked the cabinet`: what was sold before.
fn is_of_the_old(view: &View<'_>, measure: &Measure<'_>) -> bool {
    const NEAR: usize = 16;
    if !view.sentence_tells(measure.tokens.start, cue::OLD) {
        return false;
    }
    before(view, measure, NEAR)
        .take_while(|&at| !matches!(view.tokens[at].kind, Kind::Stop))
        .any(|at| {
            let begins = at == view.sentence(at).start;
            is_one!(view.word(at), "old")
                && (begins
                    || at > 0
                        && (is_one!(view.word(at - 1), "the" | "our" | "my" | "his")
                            || view.text[view.tokens[at - 1].range()].ends_with("'s")))
                // `it replaces the OM-30 (110 W)`
                || is_one!(
                    view.word(at),
                    "replaces" | "supersedes" | "ersetzt" | "vervangt" | "remplace" | "afløser"
                ) && measure.tokens.start - at <= 6
                    && matches!(
                        view.tokens[measure.tokens.start - 1].kind,
                        Kind::Sign('(')
                    )
                || is_one!(view.word(at), "first")
                    && at == view.sentence(at).start + 1
                    && view.sentence_tells(at, cue::PAST)
        })
}

/// Whether a passage begins with somebody who has a pond or a machine, and tells of him: `A man rang last week …`.
fn tells_of_somebody(view: &View<'_>, measure: &Measure<'_>) -> bool {
    view.sentence_says(measure.tokens.start, says::STORY)
        && matches!(
            measure.dimension(),
            Some(
                Dimension::Area
                    | Dimension::Power
                    | Dimension::Volume
                    | Dimension::Length
                    | Dimension::Money
                    | Dimension::MoneyPerTime
                    | Dimension::VolumeFlow
                    | Dimension::Time
            )
        )
}

/// `the tender calls for 20 m³/h`: what somebody wants, and no promise.
fn is_wished(view: &View<'_>, measure: &Measure<'_>) -> bool {
    const NEAR: usize = 18;
    const CLOSE: usize = 9;
    if !view.sentence_tells(measure.tokens.start, cue::WISHES | cue::ASKS) {
        return false;
    }
    let from = measure.tokens.start.saturating_sub(NEAR);
    let mut wants = false;
    for at in (from..measure.tokens.start).rev() {
        let token = &view.tokens[at];
        // `asked: 24 months`
        if token.kind == Kind::Sign(':') {
            // `Asking: £260` is a seller's.
            let sells = at > 0
                && is_one!(view.word(at - 1), "asking")
                && measure.dimension().is_some_and(Dimension::is_money);
            return at > 0
                && !sells
                && (view.tokens[at - 1].cues & cue::ASKS != 0
                    || is_one!(
                        view.word(at - 1),
                        "required" | "requested" | "gefordert" | "gevraagd"
                    ));
        }
        if matches!(token.kind, Kind::Stop | Kind::Sign(';')) {
            return false;
        }
        if token.is_word() {
            let word = view.word(at);
            // `he asked for at least 4 cfm`
            if is_one!(word, "asked" | "asks")
                && is_one!(view.word(at + 1), "for")
                && measure.tokens.start - at <= CLOSE
            {
                return true;
            }
            wants |= lexicon::ASKS.contains(&word);
            if wants && lexicon::BUYERS.contains(&word) {
                return true;
            }
        }
    }
    false
}

/// `their unit draws 300 W`, `his pump gives 2 cfm`: up to the last comma, a machine that somebody else has.
fn of_their_machine(view: &View<'_>, measure: &Measure<'_>) -> bool {
    const NEAR: usize = 8;
    let at = measure.tokens.start;
    if !view.sentence_tells(at, cue::RIVAL) && !view.sentence_has(at, Topic::Whose) {
        return false;
    }
    let mut machine = false;
    for at in (measure.tokens.start.saturating_sub(NEAR)..measure.tokens.start).rev() {
        let token = &view.tokens[at];
        if matches!(token.kind, Kind::Stop | Kind::Sign(',' | ';' | ':' | '(')) {
            return false;
        }
        if machine && token.cues & cue::RIVAL != 0 {
            return true;
        }
        match token.topic() {
            Some(Topic::Compressor | Topic::Package) => machine = true,
            Some(Topic::Whose) if machine => {
                return !is_one!(
                    view.word(at),
                    "our" | "ours" | "your" | "yours" | "unser" | "unsere" | "ihr" | "ihren"
                );
            }
            _ => {}
        }
    }
    false
}

/// `a fountain that size would take $4 a day`: what another machine costs, up to the last comma.
pub(super) fn others_cost(view: &View<'_>, measure: &Measure<'_>) -> bool {
    if !view.sentence_has(measure.tokens.start, Topic::Other) {
        return false;
    }
    for at in before(view, measure, 9) {
        let token = &view.tokens[at];
        if matches!(token.kind, Kind::Stop | Kind::Sign(',' | ':' | '('))
            || token.topic() == Some(Topic::Package)
            || token.topic() == Some(Topic::Compressor)
        {
            return false;
        }
        if token.topic() == Some(Topic::Other) {
            let before = at
                .checked_sub(2)
                .map_or_else(Default::default, |at| view.word(at));
            let near = at
                .checked_sub(1)
                .map_or_else(Default::default, |at| view.word(at));
            return !words!["than", "of", "like", "as"]
                .iter()
                .any(|&word| word == before || word == near);
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::super::shown::is;

    #[test]
    fn what_others_have_promises_nothing() {
        is("Your pond of 1.1 acres and 14 ft was surveyed", "");
        is("Their unit draws 300 W, ours 145 W", "145 W power exact");
        is("Will it work in a pond 3 ft deep?", "");
        is("It was 74 W and is 70 W now", "70 W power exact");
        is("Owners of a half-acre pond buy the smaller kit", "");
        is("A 0–30 psi gauge", "");
    }

    #[test]
    fn what_sounds_like_anothers_is_a_claim_all_the_same() {
        is("Maximum pressure 100 kPa", "100 kPa pressure at-most");
        is("Tested at 20 °C and 1013 hPa", "");
        is(
            "Once installed it costs $5 a month",
            "$5 a month cost exact",
        );
        is("$49 a month in 24 instalments", "");
        is("Off any GFCI outlet it draws 0.9 A", "0.9 A current exact");
        is("A 20 A breaker", "");
        is("Différentiel 30 mA", "");
        is("Current 320 mA", "320 mA current exact");
        is(
            "The airline is 5/8 in inside instead of ½ inch",
            "5/8 in airline-size exact",
        );
        is(
            "100 ft of 3/8 in airline instead of the usual 1/2 in",
            "100 ft airline-length exact; 3/8 in airline-size exact",
        );
        is("The paddle you have now (1.5 kW) goes", "");
        is(
            "Our 60 W kit beats what you have now and gives 80 l/min",
            "60 W power exact; 80 l/min flow exact",
        );
        is(
            "Quiet for the house next door, it draws 40 W",
            "40 W power exact",
        );
        is("A tank 5 m across", "");
        is("A 20 A circuit in conduit, 18 in. deep", "");
        is(
            "Everything a reader needs for a half-acre pond",
            "half-acre area exact",
        );
        is("It works till 20 ft deep", "20 ft depth exact");
        is(
            "It draws 55 W (the old one took 110 W) and gives 80 l/min at 2 m",
            "55 W power exact; 80 l/min flow exact at 2 m",
        );
        is("The club's water is 1.2 ha and 4 m at the dam", "");
        is("Was £299, a pair of discs is £20 to go", "£20 price exact");
    }
}
