//! What a verdict says in whole sentences, its figures in the unit the claim is written in.

use crate::claims::airline_length::LINE_LOSS;
use crate::claims::area::{FARTHEST, FARTHEST_REACH, REACH_NEEDED, REACH_RATED, SERVED};
use crate::claims::{
    AIR_THERE, Claim, Judged, LINE, OPEN_FLOW, Outcome, QUIETEST, Verdict, WORK, oxygen,
};
use crate::finding::Value;
use crate::units::show::{down_to_step, show, show_in, show_money, significant, up_to_step};
use crate::units::{Dimension, Unit, math};

/// What a compressor's greatest pressure is called: what its plate states, or what was assumed where nobody states
/// any.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Limit {
    Stated,
    Assumed,
}

impl Limit {
    /// The pressure that it may be run at for good.
    fn continuous(self) -> &'static str {
        match self {
            Limit::Stated => "the compressor's continuous limit",
            Limit::Assumed => "the greatest pressure assumed for it",
        }
    }

    /// The greatest that anything says of it.
    fn greatest(self) -> &'static str {
        match self {
            Limit::Stated => "the greatest pressure stated for the compressor",
            Limit::Assumed => self.continuous(),
        }
    }
}

/// The finding's message.
pub(super) fn message(verdict: &Verdict, limit: Limit) -> String {
    match verdict.claim {
        Claim::Depth => depth(verdict, limit),
        Claim::Area => area(verdict),
        Claim::Flow => flow(verdict),
        Claim::Turnover => turnover(verdict),
        Claim::Oxygen | Claim::OxygenUptake | Claim::TransferEfficiency => oxygen(verdict),
        Claim::AirlineLength => airline_length(verdict, limit),
        Claim::RunningCost => running_cost(verdict),
        Claim::Sound => sound(verdict),
        Claim::Power => power(verdict),
        Claim::Volume => volume(verdict),
        Claim::WaterMoved => water_moved(verdict),
        // Nothing is found about what nobody judges.
        Claim::WinterOpening | Claim::Warranty | Claim::ServiceInterval | Claim::PackedMass => {
            verdict.stated.clone()
        }
    }
}

/// That some options can't keep a promise which another way to buy the package keeps.
pub(super) fn of_options(verdict: &Verdict, failing: &[&str], best: Option<&str>) -> String {
    let (options, does) = match failing {
        [one] => (format!("Option {one}"), "does"),
        [first @ .., last] => (format!("Options {} and {last}", first.join(", ")), "do"),
        [] => return String::new(),
    };
    let holds = best
        .filter(|best| !best.is_empty())
        .map_or(String::new(), |best| format!("; {best} does"));
    let promise = format!("the {} of {}", name(verdict.claim), verdict.stated);
    if verdict.claim.is_of_the_machine() {
        return format!("{options} {does} not keep {promise}{holds}.");
    }
    format!("{options}, with the airline supplied, {does} not reach {promise}{holds}.")
}

/// A claim as a sentence calls it.
pub(super) fn name(claim: Claim) -> &'static str {
    match claim {
        Claim::AirlineLength => "run of airline",
        Claim::RunningCost => "running cost",
        Claim::Sound => "sound level",
        Claim::TransferEfficiency => "transfer efficiency",
        Claim::OxygenUptake => "oxygen uptake",
        Claim::WaterMoved => "water moved",
        Claim::WinterOpening => "opening in ice",
        Claim::ServiceInterval => "service interval",
        Claim::PackedMass => "packed mass",
        other => other.as_str(),
    }
}

/// A figure in the unit the claim is written in.
pub(super) fn figure(verdict: &Verdict, si: f64) -> String {
    if verdict.unit.dimension().is_money() {
        show_money(verdict.unit, si)
    } else {
        show_in(verdict.unit, si, 3)
    }
}

/// The same rounded so that what is read is never more than what is meant: for a capacity.
pub(super) fn down(verdict: &Verdict, si: f64) -> String {
    rounded(verdict, si, down_to_step)
}

/// A capacity in a unit, likewise.
pub(super) fn down_in(unit: Unit, si: f64) -> String {
    let value = unit.from_si(si);
    show_in(unit, unit.to_si(down_to_step(value, third_digit(value))), 3)
}

/// The place of the third digit.
fn third_digit(value: f64) -> f64 {
    math::powi(
        10.0,
        math::log10(value.abs().max(1e-300)).floor() as i32 - 2,
    )
}

/// The same rounded so that what is read is never less than what is meant: for a cost or a level.
pub(super) fn up(verdict: &Verdict, si: f64) -> String {
    rounded(verdict, si, up_to_step)
}

fn rounded(verdict: &Verdict, si: f64, to_step: fn(f64, f64) -> f64) -> String {
    let value = verdict.unit.from_si(si);
    let step = match verdict.unit.dimension() {
        // Nobody hears a tenth of a decibel.
        Dimension::SoundLevel | Dimension::WeightedSoundLevel => 1.0,
        _ if verdict.unit.currency().is_some() => {
            let decimals = verdict.unit.currency().and_then(|code| code.exponent());
            math::powi(10.0, -i32::from(decimals.unwrap_or(2)))
        }
        _ => third_digit(value),
    };
    figure(verdict, verdict.unit.to_si(to_step(value, step)))
}

/// Whether it is refuted, or only more than the rating.
fn is_refuted(verdict: &Verdict) -> bool {
    verdict.outcome == Outcome::Contradicted
}

/// How much holds over the ranges, where that differs.
fn bounds(verdict: &Verdict) -> String {
    match verdict.range {
        Some((low, high)) if figure(verdict, low) != figure(verdict, high) => format!(
            " The limit is {} in the worst case and {} in the best case.",
            figure(verdict, low),
            figure(verdict, high)
        ),
        _ => String::new(),
    }
}

/// A piece of the verdict's evidence.
pub(super) fn evidence(verdict: &Verdict, name: &str) -> Option<f64> {
    verdict.evidence.iter().find_map(|one| match one.value {
        Value::Number(value, _) | Value::Quantity(value, _) if one.name == name => Some(value),
        _ => None,
    })
}

/// A pressure or flow of the air, in the units the claim's country uses.
fn air(verdict: &Verdict, dimension: Dimension, si: f64) -> String {
    show(dimension, si, verdict.system)
}

/// Why the plant can't do it: its pressure, or the air of the diffuser that gets least.
fn because_of_the_air(verdict: &Verdict, limit: Limit) -> String {
    let pressure = |si: f64| air(verdict, Dimension::GaugePressure, si);
    let flow = |si: f64| air(verdict, Dimension::VolumeFlow, si);
    let continuous = limit.continuous();
    let is_dry = verdict
        .criteria
        .iter()
        .any(|one| one.name == "flow" && one.central == Some(0.0));
    match verdict.deciding() {
        Some(one) if one.name == "head" => format!(
            "the water above the diffusers alone needs {}, and {} is {}",
            pressure(one.central.unwrap_or(one.needed)),
            limit.greatest(),
            pressure(one.needed)
        ),
        Some(one) if one.name == LINE => format!(
            "the stated air needs {} to get through it, and {} is {}",
            pressure(one.central.unwrap_or(one.needed)),
            limit.greatest(),
            pressure(one.needed)
        ),
        Some(one) if one.name == "pressure" => {
            let most = pressure(one.needed);
            match (
                is_dry,
                evidence(verdict, "water over the diffuser"),
                one.central,
            ) {
                (true, Some(head), _) => format!(
                    "the water above the diffusers needs {}, and {continuous} is {most}",
                    pressure(head)
                ),
                (_, _, Some(held)) => format!(
                    "the compressor would need {}, and {} is {most}",
                    pressure(held),
                    continuous.replace("the compressor's", "its")
                ),
                _ => format!("{continuous} is {most}"),
            }
        }
        Some(_) if is_dry => "no air leaves the diffusers at that depth".into(),
        // Of a machine without a curve only the most that it may give is known.
        Some(one) => match one.central.or(one.high) {
            Some(gets) if one.needed > f64::MIN_POSITIVE => format!(
                "a diffuser gets {}, and its working range starts at {}",
                flow(gets),
                flow(one.needed)
            ),
            _ => format!("no air gets through at {continuous}"),
        },
        None => String::new(),
    }
}

fn depth(verdict: &Verdict, limit: Limit) -> String {
    let gets = |one: &Judged| one.name == "flow" && one.central.is_some_and(|air| air > 0.0);
    let verb = if is_refuted(verdict) && verdict.deciding().is_some_and(gets) {
        "is too deep"
    } else if is_refuted(verdict) {
        "can't be reached"
    } else {
        "is beyond the rating"
    };
    format!(
        "A depth of {} {verb}: {}.{}",
        verdict.stated,
        because_of_the_air(verdict, limit),
        bounds(verdict)
    )
}

fn area(verdict: &Verdict) -> String {
    let because = match verdict.deciding() {
        Some(one) if one.name == FARTHEST_REACH => format!(
            "no diffuser stirs as far as {FARTHEST} times its depth, and even that would cover only {}",
            figure(verdict, one.high.unwrap_or(one.needed))
        ),
        Some(one) if one.name == SERVED => format!(
            "whatever its depth, all the air it can have serves at most {}",
            down(verdict, one.high.unwrap_or(one.needed))
        ),
        Some(one) if one.name == "reach" => {
            let needed = evidence(verdict, REACH_NEEDED);
            match needed.zip(evidence(verdict, REACH_RATED)) {
                Some((needed, rated)) => format!(
                    "each diffuser would have to stir as far as {} times its depth, and is rated at {}",
                    significant(needed, 3),
                    significant(rated, 3)
                ),
                None => "the diffusers do not stir that far".into(),
            }
        }
        Some(one) if one.name == "turnover" => match one.central {
            Some(rate) => format!(
                "the bubbles turn it over only {}",
                times_a_day(rate * 86_400.0)
            ),
            None => "the bubbles do not turn it over often enough".into(),
        },
        Some(_) => "the air is too little to keep that area mixed".into(),
        None => String::new(),
    };
    let verb = if is_refuted(verdict) {
        "is too large"
    } else {
        "is beyond the rating"
    };
    // The bound that nothing exceeds stands in the sentence. Else a second measure has to fail too.
    let deciding = verdict.deciding().map(|one| one.name);
    let is_bound = deciding.is_some_and(|name| [FARTHEST_REACH, SERVED].contains(&name));
    let bounds = match verdict.range {
        _ if is_bound => String::new(),
        Some((low, high)) if low > 0.0 => format!(
            " Up to {} it holds in the worst case; more than {} is contradicted.",
            figure(verdict, low),
            figure(verdict, high)
        ),
        Some((_, high)) if high > 0.0 => {
            format!(" More than {} is contradicted.", figure(verdict, high))
        }
        _ => String::new(),
    };
    format!("A pond of {} {verb}: {because}.{bounds}", verdict.stated)
}

/// More is promised than there is: `source` is what gives it, as `the bubbles lift`.
fn too_much(verdict: &Verdict, promise: &str, source: &str) -> String {
    let verb = if is_refuted(verdict) {
        "is too much"
    } else {
        "is beyond the rating"
    };
    if verdict.range == Some((0.0, 0.0)) {
        return format!("{promise} {verb}: no air reaches the water there.");
    }
    let gives = gives(verdict, |si| figure(verdict, si));
    format!("{promise} {verb}: {source} {gives}.")
}

/// What there is, in the words of `show`: the typical value with its best case or both ends; of a machine without a
/// curve only the ends are known.
fn gives(verdict: &Verdict, show: impl Fn(f64) -> String) -> String {
    let typical = verdict.rated.map(&show);
    let range = verdict.range.map(|(low, high)| (show(low), show(high)));
    match (typical, range, is_refuted(verdict)) {
        (None, Some((_, high)), true) => format!("at most {high}"),
        (None, Some((low, high)), false) => format!("between {low} and {high}"),
        (Some(typical), Some((_, high)), true) if high != typical => {
            format!("{typical}, at most {high}")
        }
        (Some(typical), Some((low, high)), false) => {
            format!("{typical} (worst case {low}, best case {high})")
        }
        (typical, _, _) => typical.unwrap_or_default(),
    }
}

fn flow(verdict: &Verdict) -> String {
    if let Some(open) = verdict.deciding().filter(|one| one.name == OPEN_FLOW.0) {
        return format!(
            "{} is more than the compressor gives against no pressure at all: at most {}.",
            verdict.stated,
            figure(verdict, open.high.unwrap_or(open.needed))
        );
    }
    if let Some(most) = verdict.deciding().filter(|one| one.name == AIR_THERE.0) {
        return format!(
            "{} is too much: the stated flow and watts allow at most {} there.",
            verdict.stated,
            figure(verdict, most.high.unwrap_or(most.needed))
        );
    }
    if let Some(one) = verdict.deciding().filter(|one| one.name == "pressure") {
        let pressure = |si: f64| air(verdict, Dimension::GaugePressure, si);
        return format!(
            "{} {}: there the compressor has to hold {}, and may hold {}.",
            verdict.stated,
            if is_refuted(verdict) {
                "can't be kept up"
            } else {
                "is beyond the rating"
            },
            pressure(one.central.unwrap_or(one.needed)),
            pressure(one.needed)
        );
    }
    if verdict.deciding().is_some_and(|one| one.name == "curve") {
        return too_much(verdict, &verdict.stated, "the curve gives");
    }
    let taken =
        evidence(verdict, crate::claims::flow::DEPTH_TAKEN).map_or(String::new(), |depth| {
            format!(
                " at the claimed depth of {}",
                show(Dimension::Length, depth, verdict.system)
            )
        });
    let promise = format!("{}{taken}", verdict.stated);
    let mut message = too_much(verdict, &promise, "the package delivers");
    if verdict.missing.is_some() {
        message.push_str(" State the pressure or depth it is meant for.");
    }
    message
}

/// How often in words: `twice a day`, `12.5 times a day`.
fn times_a_day(rate: f64) -> String {
    match significant(rate, 3).as_str() {
        "1" => "once a day".into(),
        "2" => "twice a day".into(),
        number => format!("{number} times a day"),
    }
}

fn turnover(verdict: &Verdict) -> String {
    let a_day = |si: f64| times_a_day(si * 86_400.0);
    let promise = a_day(verdict.si);
    let gives = gives(verdict, a_day);
    if is_refuted(verdict) {
        return format!("The bubbles can't turn the pond over {promise}: they reach {gives}.");
    }
    format!(
        "Turning the pond over {promise} is beyond the rating: the bubbles turn it over {gives}."
    )
}

fn oxygen(verdict: &Verdict) -> String {
    let promise = match verdict.claim {
        Claim::TransferEfficiency => format!("{} of the oxygen", verdict.stated),
        _ => format!("{} of oxygen", verdict.stated),
    };
    let verb = if is_refuted(verdict) {
        "is too much"
    } else {
        "is beyond the rating"
    };
    if let Some(all) = verdict.deciding().filter(|one| one.name == "taken") {
        return format!(
            "{promise} {verb}: small bubbles take at most {} from all the air it can have.",
            figure(verdict, all.high.unwrap_or(all.needed))
        );
    }
    if let Some(carried) = evidence(verdict, oxygen::CARRIED).filter(|most| verdict.si > *most) {
        return format!(
            "{promise} {verb}: all the air that reaches the water carries {}.",
            figure(verdict, carried)
        );
    }
    let share = |si: f64| show(Dimension::SharePerLength, si, verdict.system);
    let most = verdict.range.map(|(_, high)| figure(verdict, high));
    let rated = verdict.rated.map(|rated| figure(verdict, rated));
    let needed = evidence(verdict, oxygen::TRANSFER_NEEDED).map_or(String::new(), |needed| {
        format!(
            "the bubbles would have to give the water {} of their oxygen; ",
            share(needed)
        )
    });
    match (is_refuted(verdict), most, rated) {
        (true, Some(most), _) => {
            format!("{promise} {verb}: {needed}the diffusers give at most {most}.")
        }
        (false, Some(most), Some(rated)) => format!(
            "{promise} {verb}: {needed}a floor full of diffusers gives {rated}, and at best {most}."
        ),
        _ => format!("{promise} {verb}: no air reaches the water."),
    }
}

fn airline_length(verdict: &Verdict, limit: Limit) -> String {
    // What the line costs speaks where nothing graver does.
    let costs = verdict
        .criteria
        .iter()
        .find(|one| one.name == LINE_LOSS && one.holds_centrally == Some(false));
    let fits = verdict
        .deciding()
        .is_none_or(|one| one.holds_centrally == Some(true));
    let because = match costs.filter(|_| fits) {
        Some(one) => {
            let share = |share: f64| significant(share * 100.0, 2);
            format!(
                "it costs {} % of the flow, and the rating allows {} %",
                share(one.central.unwrap_or(one.needed)),
                share(one.needed)
            )
        }
        None => because_of_the_air(verdict, limit),
    };
    let verb = if is_refuted(verdict) {
        "is too long"
    } else {
        "is beyond the rating"
    };
    format!(
        "A run of {} {verb}: {because}.{}",
        verdict.stated,
        bounds(verdict)
    )
}

fn running_cost(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let watts = evidence(verdict, "power, compressors and fan").map_or(String::new(), |watts| {
        show(Dimension::Power, watts, verdict.system)
    });
    let hours = evidence(verdict, "running hours a day")
        .map_or(String::new(), |hours| significant(hours, 3));
    let Some(cost) = verdict.rated else {
        let missing = verdict
            .missing
            .as_ref()
            .map_or("a price of electricity", |missing| &missing.fact);
        let until = verdict.decision.as_ref().and_then(|decision| {
            Some(format!(
                " {watts} for {hours} hours a day costs that much at {}.",
                decision.needed(verdict.system)?
            ))
        });
        return format!(
            "{stated} can't be checked without {missing}.{}",
            until.unwrap_or_default()
        );
    };
    let verb = if is_refuted(verdict) {
        "is too low"
    } else {
        "is below the rating"
    };
    format!(
        "{stated} {verb}: {watts} for {hours} hours a day costs {}.",
        figure(verdict, cost)
    )
}

fn sound(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    if let Some(quietest) = verdict.deciding().filter(|one| one.name == QUIETEST) {
        let level = quietest.high.unwrap_or(quietest.needed);
        return format!(
            "{stated} is too quiet: the quietest machine of its kind in the best cabinet makes {} there.",
            figure(verdict, level)
        );
    }
    let (Some(level), Some((least, most))) = (verdict.rated, verdict.range) else {
        return format!("{stated} is quieter than the parts of the package.");
    };
    let (level, least, most) = (
        figure(verdict, level),
        figure(verdict, least),
        figure(verdict, most),
    );
    if least == most {
        return format!("{stated} is too quiet: the parts together make {level} at that distance.");
    }
    let by = verdict.decision.as_ref().map(|decision| &*decision.by);
    let (best, by) = match by {
        Some("cabinet-reduction") => ("in the best cabinet", "depending on the cabinet"),
        Some("stated-range") => ("at best", "by the range that they state"),
        _ => ("at best", "within the tolerance of their levels"),
    };
    if is_refuted(verdict) {
        return format!(
            "{stated} is too quiet: the parts together make {level} at that distance, {least} {best}."
        );
    }
    format!(
        "{stated} is below the rating: the parts together make {level} at that distance, {least} to {most} {by}."
    )
}

fn power(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let watts = |si: f64| figure(verdict, si);
    let Some((least, most)) = verdict.range else {
        return format!("{stated} is less than the parts take.");
    };
    if verdict.deciding().is_some_and(|one| one.name == WORK) {
        return format!(
            "{stated} is too low: to compress the claimed air takes {} at least.",
            watts(least)
        );
    }
    match is_refuted(verdict) {
        true if watts(least) == watts(most) => {
            format!(
                "{stated} is too low: the parts together take {}.",
                watts(most)
            )
        }
        true => format!(
            "{stated} is too low: the parts together take {} to {}.",
            watts(least),
            watts(most)
        ),
        false => format!(
            "{stated} is below the rating: the parts together take {} to {}.",
            watts(least),
            watts(most)
        ),
    }
}

fn volume(verdict: &Verdict) -> String {
    let stated = &verdict.stated;
    let is = verdict
        .rated
        .map_or(String::new(), |volume| figure(verdict, volume));
    let most = verdict
        .range
        .map_or(String::new(), |(_, high)| figure(verdict, high));
    let by = verdict.deciding().map_or("", |one| one.name);
    if by == "all-lifted" {
        return format!(
            "{stated} is too much to turn over once a day: all the air of the machine lifts at most {most} a day."
        );
    }
    if by == "box" {
        return format!(
            "{stated} is too much: the claimed area times the claimed depth is {most}, and no pond of them holds more."
        );
    }
    let lifted = by == "turnover";
    match (lifted, is_refuted(verdict)) {
        (false, true) => format!(
            "{stated} is too much: a pond of the claimed area and depth holds {is}, at most {most}."
        ),
        (false, false) => format!(
            "{stated} is beyond the rating: a pond of the claimed area and depth usually holds {is}, at most {most}."
        ),
        (true, true) => {
            format!(
                "{stated} is too much to turn over once a day: the bubbles lift {is} a day, at most {most}."
            )
        }
        (true, false) => format!(
            "Turning {stated} over once a day is beyond the rating: the bubbles lift {is} a day, at most {most}."
        ),
    }
}

fn water_moved(verdict: &Verdict) -> String {
    let promise = format!("{} of water", verdict.stated);
    too_much(verdict, &promise, "the bubbles lift")
}
