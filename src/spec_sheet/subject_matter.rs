//! Which attribute a figure is a claim of, if it is one at all.

use crate::units::Dimension;

use super::claim::{Attribute, Comparator};
use super::lexicon;
use super::measure::Measure;
use super::money::money;
use super::others::{is_of_others, others_cost};
use super::phrases::says;
use super::tokens::Kind;
use super::view::{Near, View};
use super::vocabulary::{Topic, cue};
use super::word::{Word, is_one};

/// Largest inside diameter of an airline that this trade lays, in m.
const WIDEST_LINE: f64 = 0.065;

/// What a figure is a claim of; none for what isn't one.
pub fn attribute(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    if measure.is_size {
        return None;
    }
    let near = view.near(measure);
    let close = |topic: Topic, reach: u32| {
        near.iter()
            .any(|one| one.topic == topic && one.cost <= reach)
    };
    let head = |topic: Topic| view.around.head(topic);
    let quantity = measure.quantity.as_ref()?;
    let at = measure.tokens.start;
    if is_of_others(view, measure, near) {
        return None;
    }
    // `per 100 ft`, `every 1,000 gallons`: what is counted by, and no figure of the thing.
    let before = view.preposition(measure);
    let is_money = quantity.dimension().is_money();
    let is_length = quantity.dimension() == Dimension::Length;
    // `je 25 m` in a row of the airline is each diffuser's.
    let shares = is_length && head(Topic::Line) && is_one!(before, "je" | "each");
    let counts = !shares
        && (is_one!(before, "per" | "je" | "pro" | "every" | "alle")
            || is_length && is_one!(before, "each"));
    if counts && !matches!(quantity.dimension(), Dimension::Time) && !is_money {
        return None;
    }
    // A column of its own for what another holds under: `flow at, kPa`, `sound at (ft)`.
    let column = view.around.column.set;
    if column.has(Topic::At)
        && (column.has(Topic::Air) || column.has(Topic::Sound))
        && matches!(
            quantity.dimension(),
            Dimension::Length | Dimension::GaugePressure
        )
    {
        return None;
    }
    match quantity.dimension() {
        Dimension::Length => {
            let found = length(view, measure, near);
            let is_depth = found == Some(Attribute::Depth);
            found.filter(|_| !(is_depth && is_extent(view, measure, near)))
        }
        Dimension::Area => {
            let small = matches!(quantity.unit().spelling(), "in2" | "mm2" | "cm2");
            let not = close(Topic::Other, 4)
                || small
                || near.iter().any(|one| {
                    one.cost <= 1
                        && matches!(one.topic, Topic::Diffuser | Topic::Body)
                        && !head(Topic::Area)
                        && one.after
                })
                || (head(Topic::Body) && !head(Topic::Area) && !head(Topic::Pond))
                || close(Topic::Body, 1);
            (!not).then_some(Attribute::Area)
        }
        Dimension::VolumeFlow | Dimension::AirAmount => {
            if close(Topic::Fan, 3)
                || head(Topic::Fan)
                || close(Topic::Other, 3)
                || others_cost(view, measure)
            {
                return None;
            }
            let name = quantity.unit().spelling();
            if name.starts_with("gpm") || name.starts_with("gal") {
                return Some(Attribute::WaterFlow);
            }
            // `loss 12 inH2O at 1 cfm`: the flow at which a pressure is lost.
            if view.is_at(measure)
                && near_before(view, measure).is_some_and(|d| d == Dimension::GaugePressure)
            {
                return None;
            }
            if view.text[measure.at.clone()].contains("water") {
                return Some(Attribute::WaterFlow);
            }
            if matches!(name, "cfm" | "scfm" | "Nm3/h" | "cfh" | "scfh") {
                return Some(Attribute::Flow);
            }
            let water = near
                .iter()
                .find(|one| matches!(one.topic, Topic::Water | Topic::Air | Topic::Compressor));
            let is_water = match water {
                // `moves 30 L/min of water` speaks of water, `the compressor moves 30 L/min` of air.
                Some(one) => one.topic == Topic::Water,
                None => {
                    let moves =
                        |one: &Near| one.topic == Topic::Moved && one.cost <= 1 && !one.after;
                    (head(Topic::Moved) || head(Topic::Water)) && !head(Topic::Air)
                        || near.iter().any(moves) && !view.sentence_has(at, Topic::Compressor)
                        || (!view.around.has_head()
                            && near
                                .iter()
                                .any(|one| one.topic == Topic::Moved && !one.after)
                            && view.sentence_has(at, Topic::Water)
                            && !view.sentence_has(at, Topic::Compressor)
                            && !view.sentence_has(at, Topic::Air))
                }
            };
            Some(if is_water {
                Attribute::WaterFlow
            } else {
                Attribute::Flow
            })
        }
        Dimension::GaugePressure | Dimension::AbsolutePressure => {
            // The weight of the air, as a barometer reads it: 100 kPa may as well be what a machine pushes.
            let beside = measure.place.saturating_sub(2)..measure.place + 3;
            let with_warmth = || {
                let mut others = view.measures.iter().take(beside.end).skip(beside.start);
                others.any(|other| other.dimension() == Some(Dimension::Temperature))
            };
            let is_weather = (95_000.0..=105_000.0).contains(&quantity.si_central())
                && (view.sentence_says(at, says::WEATHER)
                    || view.sentence_says(at, says::TEST) && with_warmth());
            if close(Topic::Other, 2) || is_weather || is_water_level(view, measure) {
                return None;
            }
            // What a gauge can show: `a 0–30 psi gauge`.
            let scale = quantity.is_range()
                && quantity.si_low() == 0.0
                && (view.sentence_tells(at, cue::SCALE) || view.around.row.cues & cue::SCALE != 0);
            (!scale).then_some(Attribute::Pressure)
        }
        Dimension::Power => {
            let not = close(Topic::Other, 2)
                || close(Topic::Fan, 1)
                || head(Topic::Fan)
                || head(Topic::Other)
                || others_cost(view, measure);
            (!not).then_some(Attribute::Power)
        }
        Dimension::Voltage => {
            // `All 115 V receptacles by others`.
            let not = close(Topic::Other, 1)
                || (view.sentence_tells(at, cue::RIVAL) && view.sentence_has(at, Topic::Breaker));
            (!not).then_some(Attribute::Voltage)
        }
        // Only what protects people trips at so little: 30 mA and less (IEC 60364-4-41, from memory).
        Dimension::Current if quantity.si_high() <= 0.0301 => None,
        Dimension::Current => {
            // `a 20-amp circuit`, `a breaker of 20 A`; an outlet that is fed with some protects nothing.
            let breaks = near
                .iter()
                .any(|one| one.topic == Topic::Breaker && one.cost <= 4 && one.after)
                || (at.saturating_sub(6).max(view.sentence(at).start)..at)
                    .rev()
                    .take_while(|&before| {
                        // What draws it begins something else: `off a GFCI outlet it draws 0.9 A`.
                        !matches!(view.tokens[before].kind, Kind::Sign(',' | ';'))
                            && !matches!(
                                view.tokens[before].topic(),
                                Some(Topic::Power | Topic::Compressor | Topic::Running)
                            )
                    })
                    .any(|before| {
                        view.tokens[before].topic() == Some(Topic::Breaker)
                            && (before + 2 == at && view.tokens[at - 1].kind == Kind::Sign(':')
                                || !is_one!(
                                    view.word(before),
                                    "outlet"
                                        | "outlets"
                                        | "socket"
                                        | "sockets"
                                        | "receptacle"
                                        | "steckdose"
                                ))
                    });
            let not = breaks || head(Topic::Breaker) || close(Topic::Cord, 1);
            (!not).then_some(Attribute::Current)
        }
        Dimension::Frequency => Some(Attribute::Frequency),
        Dimension::SoundLevel | Dimension::WeightedSoundLevel => {
            let other = near
                .iter()
                .any(|one| one.topic == Topic::Other && one.cost <= 2)
                || near
                    .iter()
                    .any(|one| one.topic == Topic::Body && one.cost == 0 && one.after)
                    && !near.iter().any(|one| one.topic == Topic::Sound);
            let lowered = is_one!(before, "by" | "um" | "another");
            (!other && !lowered && (!head(Topic::Other) || head(Topic::Sound)))
                .then_some(Attribute::Sound)
        }
        Dimension::MassRate => Some(Attribute::Oxygen),
        Dimension::Mass => mass(view, measure, near),
        Dimension::Temperature => {
            let warm = |one: &Near| one.topic == Topic::Temperature;
            let not = near.iter().any(|one| {
                one.cost <= 4
                    && matches!(
                        one.topic,
                        Topic::Water
                            | Topic::Winter
                            | Topic::Life2
                            | Topic::Elsewhere
                            | Topic::Pond
                    )
            });
            // From cold to heat: nothing but where a machine may stand.
            let wide = quantity.is_range() && quantity.si_high() - quantity.si_low() >= 25.0;
            let said = wide
                || near.iter().any(warm)
                || view.asked(at).has(Topic::Temperature)
                || head(Topic::Temperature)
                || close(Topic::Running, 5)
                || head(Topic::Running)
                || view.sentence_has(at, Topic::Temperature)
                || view.sentence_has(at, Topic::Compressor);
            let water_first = near.iter().find(|one| {
                matches!(
                    one.topic,
                    Topic::Water | Topic::Temperature | Topic::Winter | Topic::Pond | Topic::Life2
                )
            });
            // `measured at 21 °C room temperature`
            let hot = quantity.si_low() > 308.0
                && super::conditions::comparator(view, measure).0 == Comparator::AtMost;
            let said = said || hot;
            let of_a_test = view.is_at(measure) && view.sentence_says(at, says::MEASURED);
            let about_water = of_a_test
                || !wide && water_first.is_some_and(|one| one.topic != Topic::Temperature)
                || (near.iter().any(warm) && not && view.sentence_has(at, Topic::Water));
            (said && !about_water).then_some(Attribute::Temperature)
        }
        Dimension::Share | Dimension::SharePerLength => {
            if quantity.dimension() == Dimension::SharePerLength {
                return Some(Attribute::Efficiency);
            }
            let compared = near
                .iter()
                .any(|one| one.cost <= 2 && one.after && one.topic == Topic::Compared);
            let not = close(Topic::Charge, 3) || compared;
            let said = close(Topic::Efficiency, 3)
                || head(Topic::Efficiency)
                || view.sentence_says(at, says::TRANSFER);
            (!not && said).then_some(Attribute::Efficiency)
        }
        Dimension::Time => time(view, measure, near),
        Dimension::Volume => volume(view, measure, near),
        Dimension::Money
        | Dimension::MoneyPerEnergy
        | Dimension::MoneyPerTime
        | Dimension::MoneyPerLength => money(view, measure, near),
        Dimension::MassPerLength
        | Dimension::Energy
        | Dimension::AirAmountPerArea
        | Dimension::PerTime => None,
    }
}

/// Whether `75 cm of water` is how deep the water stands: it is a pressure only beside a word of pressure or a figure
/// of one.
fn is_water_level(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let names_water = |measure: &Measure<'_>| {
        let unit = view.text.get(measure.number_at.end..measure.at.end);
        unit.is_some_and(|unit| {
            let unit = unit.to_lowercase();
            ["water", "wasser", "eau", "agua", "acqua"]
                .iter()
                .any(|word| unit.trim_end().ends_with(word))
        })
    };
    if !names_water(measure) {
        return false;
    }
    let at = measure.tokens.start;
    let of_pressure = || {
        view.measures
            .iter()
            .any(|other| other.dimension() == Some(Dimension::GaugePressure) && !names_water(other))
    };
    let is_column = is_one!(
        view.word(measure.tokens.end),
        "column" | "gauge" | "kolom" | "static" | "säule"
    );
    !is_column
        && !view.has(Topic::Pressure)
        && !view.around.head(Topic::Pressure)
        && !view.around.heading.set.has(Topic::Pressure)
        && !view.sentence_tells(at, cue::SCALE)
        && !of_pressure()
}

/// Whether a length lies along the water and not down into it: `25 m long`, `8 m wide`, `15 x 20 m`.
fn is_extent(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> bool {
    let next = |topic: Topic| {
        let mut next = near.iter().filter(|one| one.after && one.cost <= 1);
        next.any(|one| one.topic == topic)
    };
    if next(Topic::Depth) {
        return false;
    }
    let times = |at: usize| is_one!(view.word(at), "x" | "×" | "by");
    let number = |at: usize| view.tokens.get(at).is_some_and(|one| one.is_number());
    let (start, end) = (measure.tokens.start, measure.tokens.end);
    let behind = start >= 2
        && times(start - 1)
        && (start - 2..start)
            .chain(start.saturating_sub(3)..start)
            .any(number);
    let before = times(end) && number(end + 1);
    next(Topic::Length) || next(Topic::Body) || behind || before
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
    let before = view.preposition(measure);
    let downward = lexicon::DOWNWARD.contains(&before);
    let has = |topic: Topic| near.iter().any(|one| one.topic == topic);
    // `the lane's under a foot of water`
    if is_one!(before, "under") && view.text[measure.number_at.clone()].eq_ignore_ascii_case("a") {
        return None;
    }
    let next = view.word(measure.tokens.end);
    // `10 ft from the water` is a distance; `from ten feet down` a depth.
    // `a tank 5 m across`
    if is_one!(
        next,
        "from" | "off" | "away" | "inland" | "upstream" | "across"
    ) {
        return None;
    }
    if !is_fine
        && (is_one!(next, "down")
            || is_one!(next, "below" | "under" | "beneath")
                && view.sentence_has(measure.tokens.start, Topic::Water))
        && !has(Topic::Clearance)
    {
        return Some(Attribute::Depth);
    }
    // `as far down as 20 ft`
    if !is_fine
        && is_one!(before, "as" | "down")
        && view.sentence_says(measure.tokens.start, says::DOWN)
        && !has(Topic::Clearance)
    {
        return Some(Attribute::Depth);
    }
    // `16 ft is the limit`
    let is_limit = is_one!(next, "is")
        && is_one!(view.word(measure.tokens.end + 1), "the" | "its" | "our")
        && is_one!(
            view.word(measure.tokens.end + 2),
            "limit" | "most" | "maximum"
        );
    if !is_fine && is_limit && !view.sentence_has(measure.tokens.start, Topic::Line) {
        return Some(Attribute::Depth);
    }
    // `5 mètres de fond`, `3 m di profondità`
    if !is_fine
        && is_one!(next, "de" | "di")
        && is_one!(
            view.word(measure.tokens.end + 1),
            "fond" | "fondo" | "profondeur" | "profundidad" | "profondità"
        )
    {
        return Some(Attribute::Depth);
    }
    if !is_fine
        && is_one!(before, "to")
        && measure.tokens.start >= 2
        && is_one!(view.word(measure.tokens.start - 2), "down")
        && !has(Topic::Clearance)
    {
        return Some(Attribute::Depth);
    }
    // `up to 600 ft may lie between shed and shore`
    if !is_fine
        && (0..4).any(|on| {
            is_one!(
                view.word(measure.tokens.end + on),
                "between" | "zwischen" | "tussen"
            )
        })
    {
        let of_line = view.sentence_has(measure.tokens.start, Topic::Line);
        return of_line.then_some(Attribute::AirlineLength);
    }
    for one in near.iter().filter(|one| one.cost <= 6) {
        match one.topic {
            Topic::Depth => {
                // `15 in deep trench`, a cabinet's depth.
                if has(Topic::Clearance)
                    && near
                        .iter()
                        .any(|n| n.topic == Topic::Clearance && n.cost <= 3)
                    && !has(Topic::Pond)
                {
                    return None;
                }
                // `in conduit, 18 in. deep`
                let of_body = |n: &Near| n.topic == Topic::Body && n.cost <= 3;
                let of_conduit = |n: &Near| n.topic == Topic::Fitting && n.cost <= 5 && !n.after;
                if is_fine && near.iter().any(|n| of_body(n) || of_conduit(n)) {
                    return None;
                }
                return depth_or_body(view, measure);
            }
            Topic::Line => {
                if near
                    .iter()
                    .any(|n| n.topic == Topic::Cord && n.cost < one.cost)
                {
                    return None;
                }
                if near
                    .iter()
                    .any(|n| n.topic == Topic::Outside && n.cost <= 2)
                    && is_fine
                {
                    return outside(view);
                }
                if near
                    .iter()
                    .any(|n| n.topic == Topic::Fitting && n.cost <= 1)
                    && is_fine
                {
                    return None;
                }
                // A piece of hose in the cabinet is no airline.
                if view.sentence_tells(measure.tokens.start, cue::PIECE) && !is_fine {
                    return None;
                }
                return by_unit();
            }
            Topic::Bore => {
                if !is_fine {
                    continue;
                }
                let other = near.iter().any(|n| {
                    n.cost <= one.cost + 3
                        && matches!(
                            n.topic,
                            Topic::Diffuser | Topic::Body | Topic::Fitting | Topic::Fan
                        )
                });
                let line = near.iter().any(|n| n.topic == Topic::Line)
                    || view.sentence_has(measure.tokens.start, Topic::Line);
                if (other && !line) || quantity.si_high() > WIDEST_LINE {
                    return None;
                }
                if view.around.head(Topic::Diffuser) && !view.around.head(Topic::Line) && !line {
                    return None;
                }
                return Some(Attribute::AirlineSize);
            }
            Topic::Outside if is_fine => return outside(view),
            Topic::Water => {
                // `12 ft of water`, `in 12 ft of water`.
                let next = view.word(measure.tokens.end);
                if one.after
                    && one.cost <= 1
                    && !is_fine
                    && is_one!(next, "of" | "water" | "wasser")
                {
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
                // `10 m per diffuser` is the line's.
                let shared = is_one!(
                    view.word(measure.tokens.end),
                    "per" | "each" | "for" | "par" | "pro" | "je"
                );
                if one.after && one.cost <= 1 && !shared {
                    return None;
                }
            }
            Topic::Cord
            | Topic::Fitting
            | Topic::Clearance
            | Topic::Elsewhere
            | Topic::Other
            | Topic::Life2
            | Topic::Winter => {
                return None;
            }
            Topic::Body if one.cost <= 3 || is_fine => return None,
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
            return outside(view);
        }
        // What runs and is as long as that is a line: `run_ft`.
        if has(Topic::Line) || has(Topic::Running) && !is_fine {
            return by_unit();
        }
        if has(Topic::Diffuser) {
            return None;
        }
        if has(Topic::Bore) && is_fine && quantity.si_high() <= WIDEST_LINE {
            return Some(Attribute::AirlineSize);
        }
    }
    if !is_fine
        && view.around.heading.set.has(Topic::Line)
        && !view.around.heading.set.has(Topic::Depth)
        && !view.around.has_head()
        && view.tokens.len() <= 24
        && !downward
        && !view.sentence_tells(measure.tokens.start, cue::SETS)
    {
        return by_unit();
    }
    if is_fine {
        // A list under a heading of the airline.
        let under = view.around.heading.set.has(Topic::Line);
        let has_line = view.sentence_has(measure.tokens.start, Topic::Line);
        let fits = quantity.si_high() <= WIDEST_LINE;
        return (fits && (under || has_line) && !view.around.has_head())
            .then_some(Attribute::AirlineSize);
    }
    // `ponds up to ¼ acre and 6 ft`
    let pond = view.sentence_has(measure.tokens.start, Topic::Pond)
        || view.sentence_tells(measure.tokens.start, cue::ACRES);
    let plausible = (0.3..=30.0).contains(&quantity.si_high());
    // `Set the pair at six to eight feet`, `hung at 3 ft`.
    if plausible
        && view.sentence_tells(measure.tokens.start, cue::SETS)
        && is_one!(
            before,
            "at" | "in" | "to" | "than" | "between" | "around" | "down" | "below" | "beyond"
        )
        && !has(Topic::Clearance)
        && !has(Topic::Body)
        && !view.sentence_has(measure.tokens.start, Topic::Body)
    {
        return Some(Attribute::Depth);
    }
    let joined = downward
        || is_one!(
            before,
            "and" | "und" | "et" | "y" | "en" | "e" | "og" | "," | "/" | "x" | "over" | "under"
        )
        || is_one!(before, "from") && quantity.is_range()
        || view
            .tokens
            .get(measure.tokens.start.wrapping_sub(1))
            .is_some_and(|token| matches!(token.kind, Kind::Sign(',' | '/')));
    if pond && plausible && joined {
        return Some(Attribute::Depth);
    }
    // `Airline 3/8 in, weighted, 100 ft`: what an item begins with is what its figures are of.
    // An item names what it is of at once; a long passage is no item.
    const FIRST: usize = 24;
    let mut items = view
        .tokens
        .iter()
        .take(FIRST)
        .filter_map(super::tokens::Token::topic);
    let item = items.next().map(|first| {
        if first == Topic::Air {
            items.next().unwrap_or(first)
        } else {
            first
        }
    });
    if item == Some(Topic::Line) && !pond && !view.around.has_head()
        || item == Some(Topic::Line) && view.tokens.len() <= 16
    {
        return by_unit();
    }
    let bare = ![
        Topic::Line,
        Topic::Cord,
        Topic::Body,
        Topic::Clearance,
        Topic::Away,
        Topic::Sound,
        Topic::Fitting,
        Topic::Life2,
    ]
    .into_iter()
    .any(|topic| view.sentence_has(measure.tokens.start, topic));
    // `goes to 7 ft 6 in and not an inch further`
    if plausible && bare && view.sentence_says(measure.tokens.start, says::GOES_TO) {
        return Some(Attribute::Depth);
    }
    // `Diffusers down to 3 m. It's happiest between 1.5 and 2.5 m.`
    let spoken_of = view.before(measure.tokens.start).has(Topic::Depth)
        || view.sentence_has(measure.tokens.start, Topic::Depth);
    if plausible && bare && spoken_of
        || view.around.heading.set.has(Topic::Depth) && (downward || plausible && bare)
        || plausible && view.asked(measure.tokens.start).has(Topic::Depth)
    {
        return Some(Attribute::Depth);
    }
    None
}

fn depth_or_body(view: &View<'_>, measure: &Measure<'_>) -> Option<Attribute> {
    // A depth among a width and a height is a box's.
    (!view.sentence_tells(measure.tokens.start, cue::BOXED)).then_some(Attribute::Depth)
}

/// An outside diameter is listed only beside an inside one.
fn outside(view: &View<'_>) -> Option<Attribute> {
    (view.names_bore() || (view.around.head(Topic::Outside) && view.around.head(Topic::Bore)))
        .then_some(Attribute::AirlineSize)
}

fn mass(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let at = measure.tokens.start;
    let weighed = near
        .iter()
        .any(|one| one.topic == Topic::Weight && one.cost <= 4);
    let not = near.iter().any(|one| {
        one.cost <= 3 && matches!(one.topic, Topic::Life2 | Topic::Oxygen | Topic::Clearance)
            || (one.cost <= 2 && matches!(one.topic, Topic::Other))
    });
    // `7.6 mg/l`
    let in_something = view
        .tokens
        .get(measure.tokens.end)
        .is_some_and(|token| token.kind == Kind::Sign('/'))
        && is_one!(
            view.word(measure.tokens.end + 1),
            "l" | "m" | "m3" | "m³" | "kg" | "gal" | "litre" | "liter" | "kwh"
        );
    // `Delivery is fifteen pounds on top`
    if is_one!(view.word(measure.tokens.end), "on")
        && is_one!(view.word(measure.tokens.end + 1), "top")
    {
        return None;
    }
    // `Freight is $60 below 100 lb`: what a charge goes by.
    let counted_by = view.sentence_has(at, Topic::Charge)
        && is_one!(
            view.preposition(measure),
            "below" | "under" | "over" | "above" | "per" | "ab" | "bis" | "unter" | "über"
        );
    // A row may be named after a fish.
    let living = if view.around.column.set.is_empty() {
        view.around.head(Topic::Life2)
    } else {
        view.around.column.set.has(Topic::Life2)
    };
    if not && !weighed || in_something || counted_by || living {
        return None;
    }
    let part = |topic: Topic| {
        matches!(
            topic,
            Topic::Diffuser
                | Topic::Compressor
                | Topic::Body
                | Topic::Package
                | Topic::Weight
                | Topic::Line
                | Topic::Power
                | Topic::Air
                | Topic::Sound
        )
    };
    // A mass that stands among a thing's data is that thing's; in running text a part is named.
    let short = view.tokens.len() <= 12 || view.sentence(at).len() <= 7;
    // `31 kg (68 lb), box 24 × 18 × 18 in` in a cell of its own
    let begins = at == 0 && view.tokens.len() <= 24 && view.around.has_head();
    let said = weighed
        || short
        || begins
        || view.around.head(Topic::Weight)
        || view.sentence_has(at, Topic::Weight)
        || near.iter().any(|one| part(one.topic))
        || [Topic::Diffuser, Topic::Compressor, Topic::Package]
            .into_iter()
            .any(|topic| view.has(topic));
    said.then_some(Attribute::Mass)
}

/// The dimension of the figure before one in its sentence.
fn near_before(view: &View<'_>, measure: &Measure<'_>) -> Option<Dimension> {
    let before = view.measures.get(measure.place.checked_sub(1)?)?;
    view.sentence(measure.tokens.start)
        .contains(&before.tokens.start)
        .then(|| before.dimension())?
}

fn time(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let quantity = measure.quantity.as_ref()?;
    let unit = quantity.unit().spelling();
    let before = view.preposition(measure);
    if unit == "min" && turns_over_every(view, measure) {
        return Some(Attribute::Turnover);
    }
    if matches!(unit, "s" | "min") {
        return None;
    }
    if view.sentence_tells(measure.tokens.start, cue::BUSINESS) {
        return None;
    }
    if matches!(unit, "h" | "day")
        && is_one!(before, "every" | "each" | "in" | "within")
        && view.sentence_says(measure.tokens.start, says::GOES_ROUND)
    {
        return Some(Attribute::Turnover);
    }
    if matches!(unit, "month" | "year")
        && !view.sentence_has(measure.tokens.start, Topic::Life)
        && (view.asked(measure.tokens.start).has(Topic::Warranty)
            || view.sentence_says(measure.tokens.start, says::LIABLE))
    {
        return Some(Attribute::Warranty);
    }
    let first = near.iter().find(|one| {
        one.cost <= 6
            && matches!(
                one.topic,
                Topic::Warranty | Topic::Service | Topic::Life | Topic::Turnover | Topic::Charge
            )
    });
    // `tous les 3 mois`, `om de 2 jaar`
    let word = |back: usize| {
        let at = measure.tokens.start.checked_sub(back);
        at.map_or_else(Word::default, |at| view.word(at))
    };
    let again = is_one!(word(1), "les") && is_one!(word(2), "tous" | "toutes")
        || is_one!(word(1), "de") && is_one!(word(2), "om");
    let before = if again { Word::of("every") } else { before };
    if lexicon::EVERY.contains(&before) {
        if view.sentence_has(measure.tokens.start, Topic::Turnover)
            && matches!(unit, "h" | "day")
            && !is_switched(view, measure)
        {
            return is_one!(before, "every" | "each" | "alle" | "in" | "within")
                .then_some(Attribute::Turnover);
        }
        let at = measure.tokens.start;
        let worn = view.sentence_tells(at, cue::WEARS) || view.around.row.cues & cue::WEARS != 0;
        let service = view.sentence_has(at, Topic::Service) || view.around.head(Topic::Service);
        let lasts = is_one!(before, "in" | "after") && view.sentence_has(at, Topic::Life);
        if (service || worn && unit != "min") && !is_one!(before, "within") && !lasts {
            return Some(Attribute::ServiceInterval);
        }
    }
    // `Every 3 months, please`, where the filter is spoken of; `Diaphragm kit due at | 15 000`
    if is_one!(
        before,
        "every" | "alle" | "cada" | "elke" | "ogni" | "hver" | "hvert"
    ) && view.tells(cue::WEARS)
        || view.around.row.cues & cue::WEARS != 0
            && (view.around.row.set.has(Topic::At) || view.around.row.set.has(Topic::Per))
    {
        return Some(Attribute::ServiceInterval);
    }
    // `every 10,000 hours or 18 months`
    let at = measure.tokens.start;
    if is_one!(before, "or" | "and" | "oder" | "und")
        && near_before(view, measure) == Some(Dimension::Time)
        && (view.sentence_tells(at, cue::WEARS) || view.sentence_has(at, Topic::Service))
        && view.sentence_tells(at, cue::INTERVAL)
    {
        return Some(Attribute::ServiceInterval);
    }
    match first.map(|one| one.topic) {
        Some(Topic::Warranty) => return Some(Attribute::Warranty),
        Some(Topic::Life | Topic::Charge) => return None,
        Some(Topic::Service) => {
            let interval = view.around.head(Topic::Service)
                || near
                    .iter()
                    .any(|one| !one.after && one.topic == Topic::Service && one.cost <= 5)
                || view.sentence_tells(measure.tokens.start, cue::INTERVAL);
            let running = view.word(measure.tokens.end);
            // `They last, in clean water, 5 to 7 years.`
            let lasts = view.sentence_has(at, Topic::Life) && quantity.is_range();
            if interval && !lasts && !is_one!(running, "of") {
                return Some(Attribute::ServiceInterval);
            }
        }
        _ => {}
    }
    // `Warranty | 3 years compressor, lifetime airline`: a life that stands apart is another's.
    let lives = near
        .iter()
        .any(|one| one.topic == Topic::Life && one.cost <= 2);
    if view.around.head(Topic::Warranty) && !lives {
        return Some(Attribute::Warranty);
    }
    // A table under a heading of upkeep.
    if view.around.has_head()
        && view.around.heading.set.has(Topic::Service)
        && matches!(unit, "day" | "week" | "month" | "year" | "h")
    {
        return Some(Attribute::ServiceInterval);
    }
    // A table of parts and how often: `Part | Every`.
    if view.around.column.set.has(Topic::Per) && view.around.column.topics.len() == 1 {
        return Some(Attribute::ServiceInterval);
    }
    // `Warranty 36 months; membranes 1 year`
    let at = measure.tokens.start;
    if view.goes_on(at)
        && view.has(Topic::Warranty)
        && !view.sentence_has(at, Topic::Life)
        && matches!(unit, "year" | "month" | "day")
    {
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
    if view.around.heading.set.has(Topic::Warranty)
        && matches!(unit, "year" | "month")
        && !view.around.has_head()
    {
        return Some(Attribute::Warranty);
    }
    None
}

/// `turns over a pond every 10 minutes`, `wälzt einen Teich alle 10 Minuten um`
fn turns_over_every(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let at = measure.tokens.start;
    let of_water = view.sentence_has(at, Topic::Pond) || view.sentence_has(at, Topic::Water);
    let turns = view.sentence_has(at, Topic::Turnover) || view.sentence_has(at, Topic::Moved);
    is_one!(view.preposition(measure), "every" | "alle")
        && of_water
        && turns
        && !is_switched(view, measure)
}

/// What goes on and off by a clock turns no water over: `the timer turns it on every 2 hours`.
fn is_switched(view: &View<'_>, measure: &Measure<'_>) -> bool {
    let sentence = view.sentence(measure.tokens.start);
    let before = sentence.start..measure.tokens.start;
    before.clone().any(|at| {
        is_one!(
            view.word(at),
            "turns" | "turn" | "turned" | "switches" | "switched"
        ) && (at + 1..measure.tokens.start.min(at + 4))
            .any(|next| is_one!(view.word(next), "on" | "off"))
    })
}

fn volume(view: &View<'_>, measure: &Measure<'_>, near: &[Near]) -> Option<Attribute> {
    let quantity = measure.quantity.as_ref()?;
    let pond = near
        .iter()
        .any(|one| matches!(one.topic, Topic::Pond) && one.cost <= 5);
    let bounded = near.iter().any(|one| {
        !one.after && one.cost <= 3 && matches!(one.topic, Topic::AtMost | Topic::AtLeast)
    }) || is_one!(view.word(measure.tokens.start.wrapping_sub(1)), "to");
    // `soit un volume d'environ 2 200 m³`, `volume up to 1,300 m³`
    let named = view.around.head(Topic::Holds)
        || near
            .iter()
            .any(|one| !one.after && one.cost <= 4 && one.topic == Topic::Holds);
    let named = named
        && quantity.si_low() >= 1.0
        && !near
            .iter()
            .any(|one| one.cost <= 3 && one.topic == Topic::Air);
    // `up to 900 m² or 2,000 m³`
    let joined = measure.place.checked_sub(1).is_some_and(|before| {
        let before = &view.measures[before];
        before.dimension() == Some(Dimension::Area)
            && (before.tokens.end..measure.tokens.start).len() <= 2
            && super::conditions::comparator(view, before).0 == Comparator::AtMost
    });
    let bounded = bounded || super::conditions::comparator(view, measure).0 == Comparator::AtMost;
    let head = view.around.head(Topic::Pond)
        || (view.around.head(Topic::AtMost) && view.around.head(Topic::Water));
    let not = near.iter().any(|one| {
        one.cost <= 3
            && matches!(
                one.topic,
                Topic::Other | Topic::Body | Topic::Life2 | Topic::Diffuser
            )
    });
    let turned = pond && view.sentence_has(measure.tokens.start, Topic::Turnover);
    ((pond && bounded)
        || turned
        || named
        || joined
        // `Volumen máximo | 100 m³`
        || view.around.head(Topic::AtMost) && quantity.si_low() >= 1.0 && !not
        || head && !not
        || (bounded && view.sentence_has(measure.tokens.start, Topic::Pond)))
    .then_some(Attribute::Volume)
    .filter(|_| !not)
}
#[cfg(test)]
mod tests {
    use super::super::shown::is;

    #[test]
    fn air_and_water() {
        is("The compressor moves 30 L/min", "30 L/min flow exact");
        is(
            "Moves 1,100 gallons of water a minute",
            "1,100 gallons of water a minute volume-flow-water exact",
        );
        is(
            "It gives 50 l/min at 1.8 m, moving the whole pond",
            "50 l/min flow exact at 1.8 m",
        );
        is("Loss 12 inH2O at 1 cfm", "12 inH2O pressure exact");
        is(
            "55 litres a minute with the discs at 1.5 m, 48 with them at 2.4 m",
            "55 litres a minute flow exact at 1.5 m; 48 flow exact at 2.4 m",
        );
        is("Weight 9·5 kg", "9·5 kg mass exact");
    }

    #[test]
    fn depths_and_lengths() {
        is("Reaches down to 1.5 m", "1.5 m depth at-most");
        is("Hung at 3 ft it keeps the water open", "3 ft depth exact");
        is(
            "Lifts cold water from ten feet down",
            "ten feet depth exact",
        );
        is("Keep the cabinet at least 10 ft from the water", "");
        is(
            "Airline 3/8 in, weighted, 100 ft",
            "3/8 in airline-size exact; 100 ft airline-length exact",
        );
        is(
            "6 diffusers, 900ft of 5/8 hose",
            "6 diffuser-count exact; 900ft airline-length exact; 5/8 airline-size exact",
        );
        is("Use 1 in conduit for the line", "");
    }

    #[test]
    fn upkeep_and_warranty() {
        is(
            "Filter: every 90 days. Diaphragms: every 15,000 hours.",
            "90 days service-interval exact; 15,000 hours service-interval exact",
        );
        is("Do the vanes every 3 yrs.", "3 yrs service-interval exact");
        is(
            "Limited warranty 36 mo.; membranes 1 year.",
            "36 mo. warranty exact; 1 year warranty exact",
        );
        is("Parts are covered for 3 years", "3 years warranty exact");
        is("Membranes last five to seven years", "");
        is("They last, in clean water, 5 to 7 years", "");
        is(
            "Les membranes se changent tous les 2 ans",
            "2 ans service-interval exact",
        );
        is(
            "Membranen om de 2 jaar vervangen",
            "2 jaar service-interval exact",
        );
        is(
            "Membranen nach jeweils 12.000 Betriebsstunden wechseln",
            "12.000 Betriebsstunden service-interval exact",
        );
    }

    #[test]
    fn turnovers_bear_their_period() {
        is(
            "Turns the pond over once a day",
            "once a day turnover exact",
        );
        is(
            "Turnover: 1.5 times a day",
            "1.5 times a day turnover exact",
        );
        is(
            "It turns the water over twice in 24 hours",
            "twice in 24 hours turnover exact",
        );
        is(
            "Turns the pond over every 20 hours",
            "20 hours turnover exact",
        );
    }
}
