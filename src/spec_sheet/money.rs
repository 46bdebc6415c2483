//! What money is: a price of the thing, what running it costs, or neither.

use crate::units::Dimension;

use super::claim::Attribute;
use super::lexicon;
use super::measure::{Measure, Period};
use super::others::others_cost;
use super::phrases::says;
use super::tokens::Kind;
use super::view::{Near, View};
use super::vocabulary::{Topic, cue};
use super::word::is_one;

/// What an amount of money is a claim of.
pub(super) fn money(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let close = |topic: Topic, reach: u32| {
        near.iter()
            .any(|one| one.topic == topic && one.cost <= reach)
    };
    let head = |topic: Topic| view.around.head(topic);
    let at = measure.tokens.start;
    match measure.period {
        // A tariff is a condition of what running costs.
        Some(Period::KilowattHour) => None,
        Some(Period::Foot | Period::Metre) => {
            (!is_charge(view, measure)).then_some(Attribute::Price)
        }
        Some(_) => {
            if is_charge(view, measure)
                || close(Topic::Charge, 3)
                || head(Topic::Charge)
                || close(Topic::Other, 2)
                || others_cost(view, measure)
                || is_instalment(view, measure)
                || is_contract(view, measure)
            {
                return None;
            }
            Some(Attribute::Cost)
        }
        None => {
            // Nothing that is sold here costs less than one of its currency; what a kilowatt-hour costs does.
            let small = measure.quantity.as_ref();
            if small.is_some_and(|amount| amount.high() < 1.0) {
                return None;
            }
            // `Freight to the coast per package; EUR 14,50`
            let charges = view.tokens.first().and_then(|first| first.topic())
                == Some(Topic::Charge)
                && !view.has(Topic::Price);
            if charges {
                return None;
            }
            // `Windmills cost about $2,500`
            let at_once = |at: usize| {
                view.tokens[at].topic() == Some(Topic::Other)
                    && is_one!(view.word(at + 1), "cost" | "costs" | "kostet" | "kosten")
            };
            if (at.saturating_sub(5)..at).any(at_once) {
                return None;
            }
            // `25 ft of fence ($31)`, `ways to spend $1,200`
            if close(Topic::Clearance, 2)
                || is_one!(
                    view.preposition(measure),
                    "spend" | "spent" | "spending" | "add"
                )
            {
                return None;
            }
            if (head(Topic::Charge) || head(Topic::Tax) || heads_tell(view, cue::CHARGES))
                && !head(Topic::Price)
            {
                return None;
            }
            let row = &view.around.row;
            let charges = row
                .topics
                .first()
                .is_some_and(|topic| matches!(topic, Topic::Charge | Topic::Tax))
                || row.cues & cue::CHARGES != 0;
            if charges && !row.set.has(Topic::Price) && !row.set.has(Topic::Package) {
                return None;
            }
            if is_charge(view, measure) {
                return None;
            }
            // The first word of charges in the sentence, close before the figure.
            if view
                .first_charge(at)
                .is_some_and(|first| first < at && at - first <= 6 && !is_apart(view, first, at))
            {
                return None;
            }
            // The column or row may say what the money is paid for.
            let running = head(Topic::Running) && !head(Topic::Price);
            if running {
                return Some(Attribute::Cost);
            }
            Some(Attribute::Price)
        }
    }
}

/// Whether money of a period is the price of a warranty or of work, and no running cost: `the service plan costs $99 a year`.
fn is_contract(view: &View<'_>, measure: &Measure<'_>) -> bool {
    const NEAR: usize = 8;
    let from = measure.tokens.start.saturating_sub(NEAR);
    let from = from.max(view.sentence(measure.tokens.start).start);
    let sold = |at: usize| {
        view.tokens[at].topic() == Some(Topic::Warranty)
            || lexicon::CONTRACTS.contains(&view.word(at))
    };
    (from..measure.tokens.start).any(sold) || view.around.head(Topic::Warranty)
}

fn heads_tell(view: &View<'_>, cues: u64) -> bool {
    (view.around.row.cues | view.around.column.cues) & cues != 0
}

/// Whether a word between two tokens keeps a charge apart from a price: `plus freight`, `ships free. $9`.
fn is_apart(view: &View<'_>, from: usize, to: usize) -> bool {
    view.tokens[from..to]
        .iter()
        .any(|token| token.topic() == Some(Topic::Price) || token.topic() == Some(Topic::Package))
}

/// Whether money is asked for bringing the thing, for taxes or parts of the price, or for somebody else's
/// thing, by the words around it.
fn is_charge(view: &View<'_>, measure: &Measure<'_>) -> bool {
    const NEAR: usize = 6;
    let is_charging = |token: &super::tokens::Token| {
        token.topic() == Some(Topic::Charge) || token.cues & cue::CHARGES != 0
    };
    // `$199 plus $18 freight`: the first word behind that isn't kept apart.
    for (place, token) in view.tokens[measure.tokens.end..]
        .iter()
        .take(NEAR)
        .enumerate()
    {
        if matches!(
            token.kind,
            Kind::Stop
                | Kind::Figure
                | Kind::Sign(
                    ',' | '|' | '(' | ')' | '·' | '–' | '—' | '+' | '$' | '€' | '£' | '/' | ':'
                )
        ) || token.cues & cue::APART != 0
        {
            break;
        }
        // `349 € IVA inclusa`
        let is_inside = lexicon::INSIDE.contains(&view.word(measure.tokens.end + place + 1));
        if token.topic() == Some(Topic::Tax) && is_inside {
            break;
        }
        if is_charging(token) || token.topic() == Some(Topic::Tax) && place == 0 {
            // `£389 Save £70`, `£389 Save 15 %`: a charge right before an amount is that amount's.
            let next = view.measure_at(measure.tokens.end + place + 1);
            let is_amount =
                |dimension: Dimension| dimension.is_money() || dimension == Dimension::Share;
            return !next.is_some_and(|next| next.dimension().is_some_and(is_amount));
        }
    }
    // `3 × £133`
    let times = measure.tokens.start.checked_sub(1).is_some_and(|at| {
        matches!(view.tokens[at].kind, Kind::Sign('×' | '*')) || is_one!(view.word(at), "x")
    });
    if times && measure.tokens.start >= 2 && view.tokens[measure.tokens.start - 2].is_number() {
        return true;
    }
    // `trucking would be $85 on top`
    let end = measure.tokens.end;
    if is_one!(view.word(end), "on") && is_one!(view.word(end + 1), "top") {
        return true;
    }
    // `shipping to 55511 another $88`, `free delivery over £75`.
    let mut charge = false;
    let mut free = false;
    let from = measure.tokens.start.saturating_sub(NEAR);
    let before = view.tokens[from..measure.tokens.start].iter().rev();
    for (place, token) in before.enumerate() {
        match token.kind {
            Kind::Stop | Kind::Sign('|' | '·' | '•' | '—') => break,
            Kind::Sign(',' | '+' | '&') if place > 0 => break,
            _ => {}
        }
        if token.topic() == Some(Topic::Price) {
            break;
        }
        let word = view.word(measure.tokens.start - 1 - place);
        if is_charging(token) || token.topic() == Some(Topic::Tax) {
            charge = true;
            break;
        }
        free |= is_one!(word, "plus" | "free" | "zzgl" | "carriage");
    }
    let threshold = is_one!(
        view.preposition(measure),
        "over" | "above" | "exceeding" | "ab" | "from" | "than" | "under"
    ) && (free
        || view.sentence_tells(measure.tokens.start, cue::CHARGES)
        || view.sentence_has(measure.tokens.start, Topic::Charge));
    charge || threshold
}

/// `$49 a month for 24 months`: a part of the price.
fn is_instalment(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let at = measure.tokens.end;
    let over = is_one!(
        view.word(at),
        "for" | "over" | "i" | "in" | "sur" | "über" | "voor"
    ) && view.measure_at(at + 1).is_some_and(|next| {
        next.quantity
            .as_ref()
            .is_some_and(|time| matches!(time.unit().spelling(), "month" | "year"))
    });
    let apr = view.sentence_says(measure.tokens.start, says::IN_PARTS);
    over || apr
}

#[cfg(test)]
mod tests {
    use super::super::shown::is;

    #[test]
    fn prices_and_what_comes_to_them() {
        is(
            "$1895 plus freight, I think $140 to your zip",
            "$1895 price exact",
        );
        is("Was $1,299, now $999", "$999 price exact");
        is(
            "£429.00 inc. VAT at 20 %. Carriage £12.50, free over £150.",
            "£429.00 price exact",
        );
        is("€1,099. Postage €12.90", "€1,099 price exact");
        is("$979.00 Save 15%", "$979.00 price exact");
        is("Asking: £260", "£260 price exact");
        is("The paddle can be taken in part exchange at £120", "");
        is("£1,099, part exchange welcome", "£1,099 price exact");
        is("Spare discs at $38 a plate", "");
        is("Fish fry, June 6, $12 a plate, kids under 8 free", "");
        is("Windmills cost about $2,500", "");
        is("It cost us £640 new", "");
        is("New diaphragms last March (£34, I have the bill)", "");
        is("Now £449, or 3 payments of £149.67", "£449 price exact");
        is("$219; there is a $25 rebate", "$219 price exact");
        is("$64.95 (qty 12: $59.95)", "$64.95 price exact");
        is("£389.00 Save £70", "£389.00 price exact");
    }

    #[test]
    fn what_running_costs_and_the_tariff() {
        is(
            "At your rate of 13.5 cents it costs some $1.80 a day",
            "$1.80 a day cost about at 0.135 USD/kWh",
        );
        is(
            "With units at 35c it costs about $12 a month",
            "$12 a month cost about at 0.35 USD/kWh",
        );
        is(
            "About 48 cents a day at 12 cents",
            "48 cents a day cost about at 0.12 USD/kWh",
        );
        is("A fountain that size would take $4 a day", "");
        is(
            "$102 a season at $0.14 a kilowatt-hour",
            "$102 a season cost exact at 0.14 USD/kWh",
        );
    }
}
