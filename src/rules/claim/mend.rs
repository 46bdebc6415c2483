//! What settles a verdict, and what to do about it.

use crate::claims::{Claim, Judged, Outcome, Verdict, depth};
use crate::derive::machine;
use crate::units::Dimension;
use crate::units::show::show;

use super::Context;
use super::lower;
use super::words::{down, up};

/// In whole sentences: what decides where it is undecided, then what to write.
pub(super) fn mend(context: &Context, verdict: &Verdict) -> String {
    let mut sentences: Vec<String> = Vec::new();
    if verdict.by_a_hair {
        sentences.push(
            "It fails in every case, but misses a limit that rests on judgement by less than a quarter, so it isn't called contradicted."
                .into(),
        );
    }
    if verdict.claim == Claim::Depth {
        sentences.extend(technology(context, verdict));
    }
    sentences.extend(figure_to_claim(context, verdict));
    if sentences.is_empty() {
        sentences.push(equipment(verdict).into());
    }
    sentences.join(" ")
}

/// The range that decides an undecided claim, and the value in it at which the claim would hold.
pub(super) fn decides(verdict: &Verdict) -> Option<String> {
    if verdict.outcome != Outcome::Undecided || verdict.by_a_hair {
        return None;
    }
    // These say it in their message.
    if matches!(
        verdict.claim,
        Claim::RunningCost | Claim::Oxygen | Claim::OxygenUptake | Claim::TransferEfficiency
    ) {
        return None;
    }
    let decision = verdict.decision.as_ref()?;
    let article = if decision.what.starts_with("how ") || decision.what.starts_with("what ") {
        ""
    } else {
        "the "
    };
    let what = format!("{article}{}", decision.what);
    Some(match decision.needed(verdict.system) {
        // One of two models is no figure anyone could look up.
        _ if decision.by == "altitude-model" => format!("It depends on {what}."),
        Some(needed) if decision.from => {
            format!("It depends on {what}: the claim holds from {needed} up.")
        }
        Some(needed) => format!("It depends on {what}: the claim holds up to {needed}."),
        None => format!("It depends most on {what}, but not on that alone."),
    })
}

/// The figure that is within the rating, rounded to its safe side.
fn figure_to_claim(context: &Context, verdict: &Verdict) -> Option<String> {
    if verdict.claim == Claim::RunningCost && verdict.rated.is_none() {
        return Some("State the tariff with the claim, or under [site].".into());
    }
    let rated = verdict.rated.filter(|rated| *rated > 0.0)?;
    // What a correction would write is what the sentence says.
    let offered = lower::offered(context, verdict);
    let most = || offered.clone().unwrap_or_else(|| down(verdict, rated));
    let least = || offered.clone().unwrap_or_else(|| up(verdict, rated));
    Some(match verdict.claim {
        Claim::Power => format!("Claim {}.", least()),
        Claim::RunningCost => format!("Claim {}, with the tariff it is counted at.", least()),
        Claim::Sound => format!(
            "Claim {}, or use a cabinet with a measured reduction.",
            least()
        ),
        Claim::AirlineLength => format!(
            "Up to {} is within the rating; a larger bore reaches farther.",
            most()
        ),
        Claim::Flow => format!(
            "Claim no more than {}, with the depth or pressure it is counted at.",
            most()
        ),
        _ => format!("Claim no more than {}.", most()),
    })
}

/// What to change where no figure at all can be claimed.
fn equipment(verdict: &Verdict) -> &'static str {
    let deciding = verdict.deciding().map_or("", |one| one.name);
    match (verdict.claim, deciding) {
        (Claim::Depth | Claim::AirlineLength, "flow") => {
            "Use fewer diffusers, or a compressor that gives more air at this depth."
        }
        (Claim::Depth | Claim::AirlineLength, _) => {
            "Use a compressor that holds a higher pressure, or claim less depth."
        }
        (Claim::Sound, _) => "Claim the level that was measured, with its distance.",
        (Claim::Volume, deciding) if !["turnover", "all-lifted"].contains(&deciding) => {
            "Claim what a pond of that area and depth holds, or correct the area or the depth."
        }
        (Claim::Area, "farthest") => "Claim a smaller pond, or use more diffusers.",
        _ => "Claim what the package can do, or offer it with more air.",
    }
}

/// That the line is what takes too much, where the machine could hold the depth without it.
fn too_thin(verdict: &Verdict, pressure: &Judged) -> Option<String> {
    let line = depth::airline_loss(verdict)?;
    let held = pressure.central?;
    let show = |si| show(Dimension::GaugePressure, si, verdict.system);
    (held > pressure.needed && held - line <= pressure.needed).then(|| {
        format!(
            "The airline takes {} of the {}: a larger bore or a shorter run leaves enough.",
            show(line),
            show(held)
        )
    })
}

const COMPRESSOR: &str = " compressor";

/// The other technologies whose continuous pressure reaches what the depth needs.
fn technology(context: &Context, verdict: &Verdict) -> Option<String> {
    let pressure = verdict.criteria.iter().find(|one| one.name == "pressure")?;
    if verdict.deciding()?.name != "pressure" {
        return None;
    }
    if let Some(line) = too_thin(verdict, pressure) {
        return Some(line);
    }
    // What the depth needs, not what a dead-headed machine holds: the water and the losses.
    let head = verdict.si * 998.0 * 9.80665;
    let needed = pressure.central.unwrap_or(0.0).max(head * 1.15);
    let facts = context.derived.package(&verdict.package);
    let own: Vec<_> = facts
        .into_iter()
        .flat_map(|facts| &facts.ways)
        .filter_map(|way| way.solver.as_ref().ok())
        .flat_map(|solver| &solver.plant.machines)
        .filter_map(|machine| machine::technology(machine.part))
        .collect();
    let names: Vec<String> = machine::bands()
        .iter()
        .filter(|band| band.pressure.1 >= needed && !own.contains(&band.technology))
        .map(|band| crate::rules::one(band.technology.words()))
        .collect();
    let (last, first) = names.split_last()?;
    let names = match first {
        [] => last.clone(),
        first => {
            // The last one says for all of them that they are compressors.
            let first: Vec<&str> = first
                .iter()
                .map(|name| match last.ends_with(COMPRESSOR) {
                    true => name.strip_suffix(COMPRESSOR).unwrap_or(name),
                    false => name,
                })
                .collect();
            format!("{} or {last}", first.join(", "))
        }
    };
    Some(format!(
        "{} can hold the pressure that this depth needs.",
        crate::finding::capital(&names)
    ))
}
