//! The first days of a pond that may lie in layers, and where diffusers go in winter.

use jiff::ToSpan;
use jiff::civil::Date;

use crate::derive::pond::LAYERS_FROM;
use crate::physics::first_run::COMMON_SCHEDULE_HOURS;

use super::asked::Pond;
use super::fit::Judge;
use super::offers::Offer;

/// A day of the first week.
#[derive(Debug, Clone, PartialEq)]
pub struct Day {
    /// Which, from 1 on.
    pub day: usize,
    /// Its date, where the first one's is known: `YYYY-MM-DD`.
    pub date: Option<String>,
    /// Hours to run.
    pub hours: f64,
}

/// How to begin, and what winter asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Season {
    /// Whether the pond is deep enough to lie in layers for days.
    pub layers: bool,
    /// The first days, until it runs as long as it is to; none where the pond doesn't layer.
    pub days: Vec<Day>,
    /// How long the first run takes to lift a tenth of the water at the strongest, s.
    pub first_run: Option<f64>,
    /// Depths between which diffusers lie in winter, m, where the pond freezes over.
    pub winter: Option<(f64, f64)>,
}

/// Shares of the greatest depth between which diffusers lie in winter: common practice, no source.
const WINTER: (f64, f64) = (0.25, 0.5);

/// The first days with `offer`.
pub fn season(judge: &Judge, offer: &Offer) -> Season {
    let pond = judge.pond;
    let layers = pond.depth >= LAYERS_FROM;
    let first_run = first_run(judge, offer).filter(|_| layers);
    let mut days = if layers { days(pond) } else { Vec::new() };
    // What lifts too much at once is no first day, whatever is usual.
    if let Some((first, run)) = days.first_mut().zip(first_run) {
        first.hours = first.hours.min(run / 3600.0);
    }
    Season {
        layers,
        days,
        first_run,
        winter: pond
            .ice
            .filter(|ice| *ice)
            .map(|_| (WINTER.0 * pond.depth, WINTER.1 * pond.depth)),
    }
}

/// The usual schedule, up to the hours that the pond is to have.
fn days(pond: &Pond) -> Vec<Day> {
    let most = pond.hours_a_day.unwrap_or(24.0);
    let first: Option<Date> = pond.start.as_ref().and_then(|day| day.parse().ok());
    let mut days = Vec::new();
    for (place, hours) in COMMON_SCHEDULE_HOURS.iter().enumerate() {
        let later = i64::try_from(place).unwrap_or(0).days();
        let date = first.and_then(|first| first.checked_add(later).ok());
        days.push(Day {
            day: place + 1,
            date: date.map(|date| date.to_string()),
            hours: hours.min(most),
        });
        if *hours >= most {
            break;
        }
    }
    days
}

fn first_run(judge: &Judge, offer: &Offer) -> Option<f64> {
    use crate::answers::choose::Asked;
    let laid = judge.lay(offer.package, offer.way);
    let solver = laid.solver().ok()?.clone();
    let asked = Asked {
        catalog: judge.catalog,
        package: offer.package,
        way: offer.way,
        solver,
        assumptions: laid.facts.assumptions.clone(),
        rating: judge.rating,
        claimed_depth: Some(judge.pond.depth),
        asked_depth: None,
    };
    crate::answers::water::of(&asked, judge.pond.area)?.first_run
}
