//! How loud a package is: its sources together, at the stated distance, less what a cabinet takes.

use crate::assumptions::{Assumption, End, Name, Values};
use crate::catalog::Figure;
use crate::derive::Missing;
use crate::finding::{Evidence, Value};
use crate::physics::Breach;
use crate::physics::sound::{Decibels, at_distance, sum};
use crate::units::quantity::si;
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Sense};
use super::verdict::{Claim, Verdict, lenient};
use super::without_machine;

/// Judges every claimed sound level.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .sound
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        let verdict = Verdict::new(ground, Claim::Sound, figure);
        verdicts.push(match sources(ground, figure) {
            Ok(sources) => one(ground, figure, sources, verdict),
            Err(missing) => {
                let most = lenient(figure, figure.high(), Sense::AtMost);
                without_machine::sound(ground, most, figure, verdict.without(missing))
            }
        });
    }
}

/// A level at the claim's distance: the least and the greatest that its statement means there, and whether it
/// had to be carried to another distance.
#[derive(Clone, Copy)]
struct Level {
    low: Decibels,
    high: Decibels,
    carried: bool,
}

impl Level {
    /// Under one calculation's values: the middle of what is stated, off by the tolerance; at either end of that
    /// the end of a stated range.
    fn under(self, tolerance: &Assumption, values: &Values) -> Decibels {
        let off = values[Name::SoundTolerance];
        let stated = if off == tolerance.unfavourable {
            self.high.0
        } else if off == tolerance.favourable {
            self.low.0
        } else {
            f64::midpoint(self.low.0, self.high.0)
        };
        Decibels(if self.carried { stated + off } else { stated })
    }
}

/// Levels at the claim's distance.
struct Sources {
    /// The compressors.
    machines: Vec<Level>,
    /// The cabinet's fan.
    fan: Option<Level>,
    /// What the cabinet takes off: nothing without one, `None` where it doesn't say.
    reduction: Option<f64>,
    breaches: Vec<Breach>,
}

/// A level with its distance, at another one. Weighted and unweighted levels don't compare.
fn moved(
    figure: &Figure,
    claim: &Figure,
    to: f64,
    of: &str,
    breaches: &mut Vec<Breach>,
) -> Result<Level, Missing> {
    if figure.dimension() != claim.dimension() {
        let place = match claim.dimension() {
            Dimension::SoundLevel => claim.at,
            _ => figure.at,
        };
        let fact =
            format!("whether the sound level of {of} and the claimed one are A-weighted alike");
        return Err(Missing::absent(fact, Some(place)));
    }
    let distance = figure
        .conditions
        .distance
        .as_ref()
        .map(|distance| distance.si());
    let missing = || {
        Missing::absent(
            format!("the distance at which {of} is heard"),
            Some(figure.at),
        )
    };
    let distance = distance
        .filter(|distance| *distance > 0.0)
        .ok_or_else(missing)?;
    let mut there = |level: f64| {
        at_distance(Decibels(level), si::metres(distance), si::metres(to))
            .map(|level| level.gather(breaches))
            .map_err(|_| missing())
    };
    Ok(Level {
        low: there(figure.low())?,
        high: there(figure.high())?,
        carried: (distance / to - 1.0).abs() > 1e-6,
    })
}

fn sources(ground: &Ground, figure: &Figure) -> Result<Sources, Missing> {
    let package = ground.facts.package;
    let mut breaches = Vec::new();
    let Some(at) = figure
        .conditions
        .distance
        .as_ref()
        .map(|distance| distance.si())
    else {
        return Err(Missing::unusable(
            "the distance of the sound level",
            Some(figure.at),
        ));
    };
    let way = ground.facts.ways.first().map(|way| way.way);
    let uses = match way {
        Some(way) => way.compressors(package),
        None => &package.compressor,
    };
    let uses = uses
        .known()
        .ok_or_else(|| Missing::unusable("the compressor", Some(package.entry.header)))?;
    let mut machines = Vec::new();
    for one in uses {
        let fact = || format!("the sound level of compressor {}", one.part.id);
        let part = ground
            .catalog
            .compressors
            .get(&one.part.id)
            .ok_or_else(|| Missing::unusable(fact(), Some(one.part.at)))?;
        let stated = match &part.sound {
            crate::catalog::Given::Known(stated) => stated,
            crate::catalog::Given::Absent => {
                return Err(Missing::absent(fact(), Some(part.entry.header)));
            }
            crate::catalog::Given::Unreadable => {
                return Err(Missing::unusable(fact(), Some(part.entry.header)));
            }
        };
        let of = format!("compressor {}", one.part.id);
        let level = moved(stated, figure, at, &of, &mut breaches)?;
        machines.extend(std::iter::repeat_n(level, one.count as usize));
    }
    let cabinet = way.and_then(|way| way.cabinet_part(ground.catalog, package));
    let fan = match cabinet.and_then(|cabinet| cabinet.fan_sound.known()) {
        Some(level) => Some(moved(
            level,
            figure,
            at,
            "the cabinet's fan",
            &mut breaches,
        )?),
        None => None,
    };
    let reduction = match cabinet {
        None => Some(0.0),
        Some(cabinet) => cabinet.sound_reduction.known().map(Figure::si),
    };
    Ok(Sources {
        machines,
        fan,
        reduction,
        breaches,
    })
}

fn one(ground: &Ground, figure: &Figure, sources: Sources, mut verdict: Verdict) -> Verdict {
    let most = lenient(figure, figure.high(), Sense::AtMost);
    let level = |name: &'static str, level: f64, source: &'static str, mark: Mark| {
        let unit = figure.quantity.unit().to_string();
        Evidence::derived(name, Value::Number(level, unit.into()), source, mark)
    };
    let there = "its stated level, carried to the claim's distance";
    let machines = sources.machines.iter();
    let mut evidence: Vec<Evidence> = machines
        .map(|one| {
            level(
                "a compressor at that distance",
                one.high.0,
                there,
                Mark::Published,
            )
        })
        .collect();
    evidence.extend(sources.fan.map(|fan| {
        level(
            "the cabinet's fan at that distance",
            fan.high.0,
            there,
            Mark::Published,
        )
    }));
    if let Some(less) = sources.reduction.filter(|less| *less > 0.0) {
        evidence.push(level(
            "taken off the compressors by the cabinet",
            less,
            "the catalog",
            Mark::Stated,
        ));
    } else if sources.reduction.is_none() {
        let usual = ground.assumptions[Name::CabinetReduction].central;
        evidence.push(level(
            "taken off the compressors by the cabinet",
            usual,
            "central of the range for a cabinet that doesn't say",
            Mark::Judgement,
        ));
    }
    let mut depends = Vec::new();
    if sources.reduction.is_none() {
        depends.push(Name::CabinetReduction);
    }
    let mut levels = sources.machines.iter().chain(&sources.fan);
    if levels.any(|level| level.carried || level.low.0 != level.high.0) {
        depends.push(Name::SoundTolerance);
    }
    let tolerance = ground.assumptions[Name::SoundTolerance].clone();
    let criterion = Criterion {
        name: "sound",
        says: "level at the stated distance",
        dimension: figure.dimension(),
        sense: Sense::AtMost,
        bad: |_| End::Unfavourable,
        turns: &[],
        depends,
        measure: Box::new(move |values| {
            let less = sources.reduction.unwrap_or(values[Name::CabinetReduction]);
            let all: Vec<Decibels> = sources
                .machines
                .iter()
                .map(|level| Decibels(level.under(&tolerance, values).0 - less))
                .chain(sources.fan.map(|fan| fan.under(&tolerance, values)))
                .collect();
            Measured {
                value: sum(&all).map(|level| level.0),
                needed: most,
                breaches: sources.breaches.clone(),
                ..Measured::default()
            }
        }),
    };
    verdict.judge_by_one(ground, vec![criterion]);
    verdict.evidence.extend(evidence);
    // The unfavourable corner is the louder one, and ranges begin with the lesser.
    verdict.range = verdict.range.map(|(loud, quiet)| (quiet, loud));
    verdict
}
