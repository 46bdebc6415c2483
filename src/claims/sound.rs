//! How loud a package is: its sources together, at the stated distance, less what a cabinet takes.

use crate::assumptions::{Ends, Name, Values};
use crate::catalog::Figure;
use crate::derive::{Missing, Way};
use crate::finding::{Evidence, Value};
use crate::physics::Breach;
use crate::physics::sound::{Decibels, at_distance, sum};
use crate::units::quantity::si;
use crate::units::{Dimension, Mark};

use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::verdict::{Claim, Verdict, lenient, over_offers};
use super::without_machine;
use super::{Ground, each};

/// Judges every claimed sound level.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.sound;
    each(ground, Claim::Sound, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::Sound, figure);
    let most = lenient(figure, figure.high(), Sense::AtMost);
    let criterion = |way| Ok(sources(ground, figure, way)?.criterion(figure, most));
    let Some(best) = over_offers(ground, &mut verdict, criterion) else {
        return without_machine::sound(ground, most, figure, verdict);
    };
    verdict.settle_by_one(ground, &best.criteria, best.judged);
    if let Ok(sources) = sources(ground, figure, best.way) {
        verdict.evidence.extend(sources.facts(ground, figure));
    }
    if verdict.outcome == Outcome::Contradicted {
        return verdict;
    }
    // A level that a part states bears no promise of less than any machine is heard at.
    without_machine::sound(ground, most, figure, verdict)
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
    /// Under one calculation's values: within what is stated, and off by the tolerance where it was carried.
    fn under(self, values: &Values) -> f64 {
        let stated = self.high.0 + (self.low.0 - self.high.0) * values[Name::StatedRange];
        if self.carried {
            stated + values[Name::SoundTolerance]
        } else {
            stated
        }
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

fn sources(ground: &Ground, figure: &Figure, way: Way) -> Result<Sources, Missing> {
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
    let uses = way.compressors(package);
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
    let cabinet = way.cabinet_part(ground.catalog, package);
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

impl Sources {
    fn levels(&self) -> impl Iterator<Item = &Level> {
        self.machines.iter().chain(&self.fan)
    }

    /// All of them together against the claim, which allows at most so much.
    fn criterion(self, figure: &Figure, most: f64) -> Criterion<'static> {
        let mut depends = Vec::new();
        let mut add = |name, wanted: bool| depends.extend(wanted.then_some(name));
        add(Name::CabinetReduction, self.reduction.is_none());
        add(Name::SoundTolerance, self.levels().any(|one| one.carried));
        let is_range = |one: &Level| one.low.0 != one.high.0;
        add(Name::StatedRange, self.levels().any(is_range));
        Criterion {
            name: "sound",
            says: "level at the stated distance",
            dimension: figure.dimension(),
            sense: Sense::AtMost,
            bad: Ends::UNFAVOURABLE,
            turns: &[],
            depends,
            measure: Box::new(move |values| Measured {
                value: self.together(values),
                needed: most,
                breaches: self.breaches.clone(),
                ..Measured::default()
            }),
        }
    }

    /// Their level together, with what the cabinet takes off the machines.
    fn together(&self, values: &Values) -> Option<f64> {
        let less = self.reduction.unwrap_or(values[Name::CabinetReduction]);
        let machines = self.machines.iter().map(|one| one.under(values) - less);
        let fan = self.fan.map(|fan| fan.under(values));
        let all: Vec<Decibels> = machines.chain(fan).map(Decibels).collect();
        sum(&all).map(|level| level.0)
    }

    /// What it is worked out from.
    fn facts(&self, ground: &Ground, figure: &Figure) -> Vec<Evidence> {
        let level = |name: &'static str, level: f64, source: &'static str, mark: Mark| {
            let unit = figure.quantity.unit().to_string();
            Evidence::derived(name, Value::Number(level, unit.into()), source, mark)
        };
        let carried = |name: &'static str, one: &Level| {
            let source = "its stated level, carried to the claim's distance";
            level(name, one.high.0, source, Mark::Published)
        };
        let machines = self.machines.iter();
        let machines = machines.map(|one| carried("a compressor at that distance", one));
        let fan = self.fan.iter();
        let fan = fan.map(|one| carried("the cabinet's fan at that distance", one));
        let mut facts: Vec<Evidence> = machines.chain(fan).collect();
        let taken_off = "taken off the compressors by the cabinet";
        match self.reduction {
            Some(less) if less > 0.0 => {
                facts.push(level(taken_off, less, "the catalog", Mark::Stated));
            }
            Some(_) => {}
            None => facts.push(level(
                taken_off,
                ground.assumptions[Name::CabinetReduction].central,
                "central of the range for a cabinet that doesn't say",
                Mark::Judgement,
            )),
        }
        facts
    }
}
