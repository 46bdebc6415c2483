//! Which attribute a figure is a claim of, if it is one at all.

use crate::units::Dimension;

use super::claim::Attribute;
use super::measure::{Measure, Period};
use super::tokens::Kind;
use super::view::{Near, View};
use super::vocabulary::{Topic, cue};

/// Largest inside diameter of an airline that this trade lays, in m.
const WIDEST_LINE: f64 = 0.065;

/// What a figure is a claim of; none for what isn't one.
pub fn attribute(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    if measure.is_size {
        return None;
    }
    let near = view.near(measure);
    let close = |topic: Topic, reach: u32| near.iter().any(|one| one.topic == topic && one.cost <= reach);
    let head = |topic: Topic| view.around.head(topic);
    let quantity = measure.quantity.as_ref()?;
    let at = measure.tokens.start;
    // What a sentence about another thing says, it says of that one: `fountains take $4 a day`.
    let is_other = view.first_topic(at) == Some(Topic::Other) && !view.around.has_head();
    if is_other && matches!(quantity.dimension(), Dimension::Power | Dimension::MoneyPerTime | Dimension::SoundLevel | Dimension::WeightedSoundLevel) {
        return None;
    }
    if of_somebody_else(view, measure, near) {
        return None;
    }
    // `per 100 ft`, `every 1,000 gallons`: what is counted by, and no figure of the thing.
    let before = view.preposition(measure);
    let is_money = quantity.dimension().is_money();
    if matches!(&*before, "per" | "je" | "pro" | "every" | "alle")
        && !matches!(quantity.dimension(), Dimension::Time)
        && !is_money
    {
        return None;
    }
    match quantity.dimension() {
        Dimension::Length => length(view, measure, near),
        Dimension::Area => {
            let small = matches!(quantity.unit().spelling(), "in2" | "mm2" | "cm2");
            let not = close(Topic::Other, 4)
                || small
                || near.iter().any(|one| {
                    one.cost <= 1 && matches!(one.topic, Topic::Diffuser | Topic::Body)
                        && !head(Topic::Area)
                        && one.after
                })
                || (head(Topic::Body) && !head(Topic::Area) && !head(Topic::Pond))
                || close(Topic::Body, 1);
            (!not).then_some(Attribute::Area)
        }
        Dimension::VolumeFlow | Dimension::AirAmount => {
            if close(Topic::Fan, 3) || head(Topic::Fan) || close(Topic::Other, 3) {
                return None;
            }
            let name = quantity.unit().spelling();
            if name.starts_with("gpm") || name.starts_with("gal") {
                return Some(Attribute::WaterFlow);
            }
            if matches!(name, "cfm" | "scfm" | "Nm3/h" | "cfh" | "scfh") {
                return Some(Attribute::Flow);
            }
            let water = near.iter().find(|one| matches!(one.topic, Topic::Water | Topic::Moved | Topic::Air | Topic::Compressor));
            let is_water = match water {
                Some(one) => matches!(one.topic, Topic::Water | Topic::Moved),
                None => {
                    (head(Topic::Moved) || head(Topic::Water)) && !head(Topic::Air)
                        || (!view.around.has_head()
                            && view.sentence_has(at, Topic::Moved)
                            && !view.sentence_has(at, Topic::Air))
                }
            };
            Some(if is_water { Attribute::WaterFlow } else { Attribute::Flow })
        }
        Dimension::GaugePressure | Dimension::AbsolutePressure => Some(Attribute::Pressure),
        Dimension::Power => {
            let not = close(Topic::Other, 2) || close(Topic::Fan, 1) || head(Topic::Fan) || head(Topic::Other);
            (!not).then_some(Attribute::Power)
        }
        Dimension::Voltage => {
            let not = close(Topic::Other, 1);
            (!not).then_some(Attribute::Voltage)
        }
        Dimension::Current => {
            let not = close(Topic::Breaker, 4) || head(Topic::Breaker) || close(Topic::Cord, 1);
            (!not).then_some(Attribute::Current)
        }
        Dimension::Frequency => Some(Attribute::Frequency),
        Dimension::SoundLevel | Dimension::WeightedSoundLevel => {
            let other = near.iter().any(|one| one.topic == Topic::Other && one.cost <= 2)
                || close(Topic::Body, 0) && !near.iter().any(|one| one.topic == Topic::Sound);
            let lowered = matches!(&*before, "by" | "um" | "another");
            (!other && !lowered && !(head(Topic::Other) && !head(Topic::Sound))).then_some(Attribute::Sound)
        }
        Dimension::MassRate => Some(Attribute::Oxygen),
        Dimension::Mass => mass(view, measure, near),
        Dimension::Temperature => {
            let warm = |one: &Near| one.topic == Topic::Temperature;
            let not = near.iter().any(|one| {
                one.cost <= 4 && matches!(one.topic, Topic::Water | Topic::Winter | Topic::Life2 | Topic::Elsewhere | Topic::Pond)
            });
            let bounded = near.iter().any(|one| !one.after && one.cost <= 2 && matches!(one.topic, Topic::AtMost | Topic::AtLeast));
            let said = near.iter().any(warm)
                || (bounded && (close(Topic::Air, 3) || close(Topic::Compressor, 6)))
                || head(Topic::Temperature)
                || close(Topic::Running, 5)
                || head(Topic::Running)
                || view.sentence_has(at, Topic::Temperature);
            let water_first = near.iter().find(|one| {
                matches!(one.topic, Topic::Water | Topic::Temperature | Topic::Winter | Topic::Pond | Topic::Life2)
            });
            let about_water = water_first.is_some_and(|one| one.topic != Topic::Temperature)
                || (near.iter().any(warm) && not && view.sentence_has(at, Topic::Water));
            (said && !about_water).then_some(Attribute::Temperature)
        }
        Dimension::Share | Dimension::SharePerLength => {
            if quantity.dimension() == Dimension::SharePerLength {
                return Some(Attribute::Efficiency);
            }
            let compared = near.iter().any(|one| one.cost <= 2 && one.after && one.topic == Topic::Compared);
            let not = close(Topic::Charge, 3) || compared;
            (!not && (close(Topic::Efficiency, 3) || head(Topic::Efficiency))).then_some(Attribute::Efficiency)
        }
        Dimension::Time => time(view, measure, near),
        Dimension::Volume => volume(view, measure, near),
        Dimension::Money
        | Dimension::MoneyPerEnergy
        | Dimension::MoneyPerTime
        | Dimension::MoneyPerLength => money(view, measure, near),
        Dimension::MassPerLength | Dimension::Energy | Dimension::AirAmountPerArea | Dimension::PerTime => None,
    }
}

/// `my ½-acre pond`, `a customer with 2 acres`: somebody's pond and not what is promised.
fn of_somebody_else(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> bool {
    let Some(quantity) = measure.quantity.as_ref() else {
        return false;
    };
    if !matches!(quantity.dimension(), Dimension::Area | Dimension::Length | Dimension::Volume) {
        return false;
    }
    let bounded = near.iter().any(|one| {
        !one.after && one.cost <= 2 && matches!(one.topic, Topic::AtMost | Topic::AtLeast)
    });
    if bounded {
        return false;
    }
    if view.has_their_pond(measure.tokens.start) && !view.sentence_tells(measure.tokens.start, cue::RATES) {
        return true;
    }
    let whose = near.iter().any(|one| !one.after && one.cost <= 3 && one.topic == Topic::Whose);
    let pond_is = near.iter().any(|one| one.topic == Topic::Pond && one.cost <= 3);
    let first_person = view.sentence_tells(measure.tokens.start, cue::SOMEBODY);
    let conditional = view.sentence_tells(measure.tokens.start, cue::SUPPOSES);
    // `We rate it for ½ acre` promises; `we have ½ acre` doesn't.
    let is_ours = view.sentence_tells(measure.tokens.start, cue::RATES);
    let has_pond = view.sentence_has(measure.tokens.start, Topic::Pond) || quantity.dimension() == Dimension::Area;
    (whose && pond_is && quantity.dimension() != Dimension::Length)
        || (first_person && has_pond && quantity.dimension() != Dimension::Length && !is_ours)
        || (first_person && pond_is && whose)
        || (conditional && whose)
}

fn length(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let quantity = measure.quantity.as_ref()?;
    let is_fine = matches!(quantity.unit().spelling(), "in" | "mm" | "cm");
    let by_unit = || {
        if is_fine {
            (quantity.si_high() <= WIDEST_LINE).then_some(Attribute::AirlineSize)
        } else {
            Some(Attribute::AirlineLength)
        }
    };
    // `10 ft from the water`, `30 ft away`: where something stands.
    if matches!(&*view.word(measure.tokens.end), "from" | "away" | "off") && !is_fine {
        return None;
    }
    let before = view.preposition(measure);
    let downward = matches!(&*before, "at" | "to" | "down" | "@" | "bei" | "in" | "bis" | "beyond" | "than");
    let has = |topic: Topic| near.iter().any(|one| one.topic == topic);
    for one in near.iter().filter(|one| one.cost <= 6) {
        match one.topic {
            Topic::Depth => {
                // `15 in deep trench`, a cabinet's depth.
                if has(Topic::Clearance) && near.iter().any(|n| n.topic == Topic::Clearance && n.cost <= 3) && !has(Topic::Pond) {
                    return None;
                }
                if is_fine && near.iter().any(|n| n.topic == Topic::Body && n.cost <= 3) {
                    return None;
                }
                return depth_or_body(view, measure);
            }
            Topic::Line => {
                if near.iter().any(|n| n.topic == Topic::Cord && n.cost < one.cost) {
                    return None;
                }
                if near.iter().any(|n| n.topic == Topic::Outside && n.cost <= 2) && is_fine {
                    return outside(view, measure);
                }
                if is_fine && near.iter().any(|n| n.topic == Topic::Fitting && n.cost <= 1) {
                    return None;
                }
                return by_unit();
            }
            Topic::Bore => {
                if !is_fine {
                    continue;
                }
                let other = near.iter().any(|n| {
                    n.cost <= one.cost + 3 && matches!(n.topic, Topic::Diffuser | Topic::Body | Topic::Fitting | Topic::Fan)
                });
                let line = near.iter().any(|n| n.topic == Topic::Line);
                if (other && !line) || quantity.si_high() > WIDEST_LINE {
                    return None;
                }
                if view.around.head(Topic::Diffuser) && !view.around.head(Topic::Line) && !line {
                    return None;
                }
                return Some(Attribute::AirlineSize);
            }
            Topic::Outside => {
                if is_fine {
                    return outside(view, measure);
                }
            }
            Topic::Water => {
                // `12 ft of water`, `in 12 ft of water`.
                let next = view.word(measure.tokens.end);
                if one.after && one.cost <= 1 && !is_fine && (next == "of" || next == "water" || next == "wasser") {
                    return Some(Attribute::Depth);
                }
                if one.after && downward && !is_fine && one.cost <= 2 {
                    return Some(Attribute::Depth);
                }
            }
            Topic::Diffuser => {
                if !one.after && downward && !is_fine {
                    return Some(Attribute::Depth);
                }
                if one.after && one.cost == 0 && is_fine {
                    return None;
                }
                if one.after && one.cost <= 1 {
                    return None;
                }
            }
            Topic::Cord | Topic::Fitting | Topic::Clearance | Topic::Elsewhere | Topic::Other | Topic::Life2 | Topic::Winter => {
                return None;
            }
            Topic::Body => {
                if one.cost <= 3 || is_fine {
                    return None;
                }
            }
            Topic::Away | Topic::Sound => return None,
            _ => {}
        }
    }
    // The heads of its row and column.
    for heads in [view.around.row.set, view.around.column.set] {
        if heads.is_empty() {
            continue;
        }
        let has = |topic: Topic| heads.has(topic);
        if has(Topic::Cord) || has(Topic::Clearance) || has(Topic::Elsewhere) || has(Topic::Fan) {
            return None;
        }
        if has(Topic::Depth) && !has(Topic::Body) {
            return depth_or_body(view, measure);
        }
        if has(Topic::Fitting) || has(Topic::Body) {
            return None;
        }
        if has(Topic::Outside) && is_fine {
            return outside(view, measure);
        }
        if has(Topic::Line) {
            return by_unit();
        }
        if has(Topic::Diffuser) {
            return None;
        }
        if has(Topic::Bore) && is_fine && quantity.si_high() <= WIDEST_LINE {
            return Some(Attribute::AirlineSize);
        }
    }
    if is_fine {
        // A list under a heading of the airline.
        let under = view.around.heading.set.has(Topic::Line);
        let has_line = view.sentence_has(measure.tokens.start, Topic::Line);
        let fits = quantity.si_high() <= WIDEST_LINE;
        return (fits && (under || has_line) && !view.around.has_head()).then_some(Attribute::AirlineSize);
    }
    // `ponds up to ¼ acre and 6 ft`
    let pond = view.sentence_has(measure.tokens.start, Topic::Pond) || view.sentence_tells(measure.tokens.start, cue::ACRES);
    let plausible = (0.3..=30.0).contains(&quantity.si_high());
    let joined = downward
        || matches!(&*before, "and" | "," | "/" | "x" | "over" | "under")
        || view.tokens.get(measure.tokens.start.wrapping_sub(1)).is_some_and(|token| matches!(token.kind, Kind::Sign(',' | '/')));
    if pond && plausible && joined {
        return Some(Attribute::Depth);
    }
    if view.around.heading.set.has(Topic::Depth) && downward {
        return Some(Attribute::Depth);
    }
    None
}

fn depth_or_body(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    // A depth among a width and a height is a box's.
    (!view.sentence_tells(measure.tokens.start, cue::BOXED)).then_some(Attribute::Depth)
}

/// An outside diameter is listed only beside an inside one.
fn outside(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    let beside = view.names_bore() && !measure.tokens.contains(&0);
    (beside || (view.around.head(Topic::Outside) && view.around.head(Topic::Bore))).then_some(Attribute::AirlineSize)
}

fn mass(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let not = near.iter().any(|one| {
        one.cost <= 3 && matches!(one.topic, Topic::Life2 | Topic::Oxygen | Topic::Charge | Topic::Price)
            || (one.cost <= 2 && matches!(one.topic, Topic::Other))
    });
    if not && !near.iter().any(|one| one.topic == Topic::Weight && one.cost <= 4) {
        return None;
    }
    if view.around.head(Topic::Weight) {
        return Some(Attribute::Mass);
    }
    let said = near.iter().any(|one| one.topic == Topic::Weight)
        || view.sentence_has(measure.tokens.start, Topic::Weight)
        || (!view.around.has_head()
            && near.iter().any(|one| matches!(one.topic, Topic::Diffuser | Topic::Compressor | Topic::Body | Topic::Package)));
    said.then_some(Attribute::Mass)
}

fn time(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let quantity = measure.quantity.as_ref()?;
    let unit = quantity.unit().spelling();
    if matches!(unit, "s" | "min") {
        return None;
    }
    let before = view.preposition(measure);
    if view.sentence_tells(measure.tokens.start, cue::BUSINESS) {
        return None;
    }
    let first = near
        .iter()
        .find(|one| one.cost <= 6 && matches!(one.topic, Topic::Warranty | Topic::Service | Topic::Life | Topic::Turnover | Topic::Charge));
    if matches!(&*before, "every" | "alle" | "each" | "after" | "at" | "nach") {
        if view.sentence_has(measure.tokens.start, Topic::Turnover) && matches!(unit, "h" | "day") {
            return matches!(&*before, "every" | "each" | "alle").then_some(Attribute::Turnover);
        }
        let service = view.sentence_has(measure.tokens.start, Topic::Service)
            || view.around.head(Topic::Service)
            || view.sentence_tells(measure.tokens.start, cue::WEARS);
        if service {
            return Some(Attribute::ServiceInterval);
        }
    }
    match first.map(|one| one.topic) {
        Some(Topic::Warranty) => return Some(Attribute::Warranty),
        Some(Topic::Life | Topic::Charge) => return None,
        Some(Topic::Service) => {
            let interval = view.around.head(Topic::Service)
                || near.iter().any(|one| !one.after && one.topic == Topic::Service && one.cost <= 5)
                || view.sentence_tells(measure.tokens.start, cue::INTERVAL);
            let running = view.word(measure.tokens.end);
            if interval && running != "of" {
                return Some(Attribute::ServiceInterval);
            }
        }
        _ => {}
    }
    if view.around.has_head() && view.around.heading.set.has(Topic::Service) && matches!(unit, "day" | "week" | "month" | "year" | "h") {
        return Some(Attribute::ServiceInterval);
    }
    if view.around.head(Topic::Warranty) {
        return Some(Attribute::Warranty);
    }
    if view.around.head(Topic::Service) {
        return Some(Attribute::ServiceInterval);
    }
    if view.around.head(Topic::Turnover) && matches!(unit, "h" | "day") {
        return Some(Attribute::Turnover);
    }
    if view.sentence_has(measure.tokens.start, Topic::Warranty)
        && !view.sentence_has(measure.tokens.start, Topic::Life)
        && matches!(unit, "year" | "month")
    {
        return Some(Attribute::Warranty);
    }
    if view.around.heading.set.has(Topic::Warranty) && matches!(unit, "year" | "month") && !view.around.has_head() {
        return Some(Attribute::Warranty);
    }
    None
}

fn volume(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let pond = near.iter().any(|one| matches!(one.topic, Topic::Pond) && one.cost <= 5);
    let bounded = near.iter().any(|one| !one.after && one.cost <= 3 && matches!(one.topic, Topic::AtMost | Topic::AtLeast))
        || view.word(measure.tokens.start.wrapping_sub(1)) == "to";
    let head = view.around.head(Topic::Pond) || (view.around.head(Topic::AtMost) && view.around.head(Topic::Water));
    let not = near.iter().any(|one| one.cost <= 3 && matches!(one.topic, Topic::Other | Topic::Body | Topic::Life2 | Topic::Diffuser));
    ((pond && bounded) || head && !not || (bounded && view.sentence_has(measure.tokens.start, Topic::Pond)))
        .then_some(Attribute::Volume)
        .filter(|_| !not)
}

fn money(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let close = |topic: Topic, reach: u32| near.iter().any(|one| one.topic == topic && one.cost <= reach);
    let head = |topic: Topic| view.around.head(topic);
    match measure.period {
        // A tariff is a condition of what running costs.
        Some(Period::KilowattHour) => None,
        Some(Period::Foot | Period::Metre) => Some(Attribute::Price),
        Some(_) => {
            if close(Topic::Charge, 3) || head(Topic::Charge) || close(Topic::Other, 2) {
                return None;
            }
            Some(Attribute::Cost)
        }
        None => {
            // `$1,895 plus freight`, `£429 inc. VAT`: what comes to a price is named behind it.
            let added = matches!(
                &*view.word(measure.tokens.end),
                "plus" | "+" | "inc" | "incl" | "including" | "ex" | "excl" | "excluding" | "zzgl" | "inkl" | "ttc" | "ht"
            );
            let charged = near.iter().any(|one| one.topic == Topic::Charge && one.cost <= 4 && !(added && one.after));
            let taxed = near.iter().any(|one| one.topic == Topic::Tax && one.cost <= 1 && !one.after);
            let priced = view.around.column.set.has(Topic::Price) && !view.around.row.set.has(Topic::Charge);
            if charged || taxed || (head(Topic::Charge) && !priced) || view.around.heading.set.has(Topic::Charge) && !head(Topic::Price) {
                return None;
            }
            if &*view.word(measure.tokens.start.wrapping_sub(1)) == "port" {
                return None;
            }
            // The first word of charges in the sentence, close before the figure.
            let at = measure.tokens.start;
            if view.first_charge(at).is_some_and(|first| first < at && at - first <= 6) {
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
