//! A promise in words: what was stated, its grade, what is rated, what is possible and why.

use crate::claims::area::{REACH_NEEDED, REACH_RATED};
use crate::claims::{Claim, Grade, Judged, Outcome, Sense, Verdict};
use crate::derive::Missing;
use crate::finding::Value;
use crate::units::Dimension;
use crate::units::show::significant;

use super::figures::{Reader, joined};
use crate::claims::airline_length::LONGEST;

/// A row of the table of promises.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Promise {
    /// Which claim.
    pub claim: &'static str,
    /// What was stated, with the option it is about.
    pub stated: String,
    /// The verdict.
    pub outcome: Outcome,
    /// The one answer.
    pub grade: Grade,
    /// What is rated.
    pub rated: Option<String>,
    /// What is possible: from the worst case to the best; empty where that isn't known.
    pub range: String,
    /// Why, in a phrase.
    pub why: String,
}

impl Promise {
    /// The row of a verdict.
    pub fn of(verdict: &Verdict) -> Promise {
        let reader = Reader::of_verdict(verdict);
        let mut stated = verdict.stated.clone();
        if let Some(option) = &verdict.option {
            stated.push_str(&format!(", {option}"));
        }
        let outcome = verdict.outcome;
        let judged = outcome != Outcome::NotEvaluated;
        let figure = |si| {
            let figure = reader.figure(si, verdict.dimension);
            // A run is looked for up to a length that nobody lays, and no further.
            if verdict.claim == Claim::AirlineLength && si >= LONGEST {
                return format!("{figure} or more");
            }
            figure
        };
        let rated = verdict.rated.filter(|_| judged).map(figure);
        let ends = verdict.range.filter(|_| judged);
        let ends = ends.map(|(low, high)| [figure(low), figure(high)]);
        let range = match (&rated, &ends) {
            (Some(rated), Some(ends)) => beside(rated, ends),
            (None, Some(ends)) => joined(ends, " to "),
            _ => String::new(),
        };
        Promise {
            claim: verdict.claim.as_str(),
            stated,
            outcome,
            grade: verdict.grade(),
            rated,
            range,
            why: why(verdict, reader),
        }
    }

    /// With the range that decides, by its name, and the weakest mark it rests on.
    #[must_use]
    pub fn in_full(mut self, verdict: &Verdict) -> Promise {
        if verdict.unjudged.is_none() && verdict.outcome != Outcome::NotEvaluated {
            let parts = [Some(self.why), decision(verdict)];
            let parts = parts.into_iter().flatten().filter(|part| !part.is_empty());
            let text = parts.collect::<Vec<_>>().join("; ");
            self.why = format!("{text} ({})", verdict.weakest)
                .trim_start()
                .to_string();
        }
        self
    }

    /// What is rated, what is possible and why, as one text.
    pub fn gives(&self) -> String {
        let rated = self.rated.as_ref().map(|rated| format!("rated {rated}"));
        let range = Some(&self.range).filter(|range| !range.is_empty());
        let range = range.map(|range| format!("possible {range}"));
        let why = Some(self.why.clone()).filter(|why| !why.is_empty());
        let parts: Vec<String> = [rated, range, why].into_iter().flatten().collect();
        parts.join("; ")
    }
}

/// What is left of a depth after a season, and of its air there: `1.4 to 1.7 m`, `30 to 41 L/min at 1.5 m`.
pub fn in_service(verdict: &Verdict) -> Option<(String, String)> {
    let worn = verdict.in_service.as_ref()?;
    let reader = Reader::of_verdict(verdict);
    let range = |ends: [Option<f64>; 3], dimension: Dimension| {
        Some(rising(reader, dimension, [ends[0]?, ends[2]?]))
    };
    let depth = range(worn.depth, Dimension::Length)?;
    let flow =
        range(worn.flow, Dimension::VolumeFlow).map(|flow| format!("{flow} at {}", verdict.stated));
    Some((depth, flow.unwrap_or_default()))
}

/// The word for what one criterion, or one way to buy the package, makes of a promise.
pub fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Supported => "holds",
        Outcome::Undecided => "not certain",
        Outcome::Contradicted => "contradicted",
        Outcome::NotEvaluated => "not judged",
    }
}

/// A range from its lower end to its higher one.
fn rising(reader: Reader, dimension: Dimension, [one, other]: [f64; 2]) -> String {
    let ends = [one.min(other), one.max(other)];
    joined(&reader.alike(&ends, dimension), " to ")
}

/// A range beside a figure, without a unit where both have the same.
fn beside(figure: &str, ends: &[String; 2]) -> String {
    let range = joined(ends, " to ");
    match (figure.split_once(' '), range.rsplit_once(' ')) {
        (Some((_, of_figure)), Some((numbers, of_range))) if of_figure == of_range => {
            numbers.to_string()
        }
        _ => range,
    }
}

/// Why, in a phrase a dealer would use.
fn why(verdict: &Verdict, reader: Reader) -> String {
    if let Some(why) = verdict.unjudged {
        return why.to_string();
    }
    let missing = verdict.missing.as_ref();
    let missing = missing.map(Missing::told);
    if verdict.outcome == Outcome::NotEvaluated {
        return missing.unwrap_or_default();
    }
    let deciding = verdict.deciding();
    let mut parts: Vec<String> = Vec::new();
    parts.extend(deciding.and_then(|judged| criterion(verdict, judged, reader)));
    let open = verdict.outcome == Outcome::Undecided;
    if verdict.by_a_hair {
        parts.push("misses a limit set by judgement, by less than a quarter".into());
    } else if open && deciding.is_some_and(|one| one.outcome == Outcome::Contradicted) {
        // Else a promise beyond all that is possible would seem to be misjudged.
        parts.push("every other measure holds".into());
    }
    if open && !verdict.breaches.is_empty() {
        parts.push("outside the range an equation was tested in".into());
    }
    if open {
        parts.extend(missing);
    }
    parts.join("; ")
}

/// The range that keeps a promise open, and the value in it at which the promise would hold.
fn decision(verdict: &Verdict) -> Option<String> {
    let decision = verdict.decision.as_ref()?;
    if verdict.outcome != Outcome::Undecided {
        return None;
    }
    let by = &decision.by;
    Some(match decision.needed(verdict.system) {
        Some(needed) => {
            let side = if decision.from { "at least" } else { "at most" };
            format!("needs {by} of {side} {needed}")
        }
        None => format!("depends most on {by}"),
    })
}

/// What a criterion gives of what it takes: `pressure: 19.7 of 24 kPa`. What stands in the row already
/// isn't repeated.
fn criterion(verdict: &Verdict, judged: &Judged, reader: Reader) -> Option<String> {
    if judged.name == "reach" {
        let depths = |name: &str| {
            let one = verdict.evidence.iter().find(|one| one.name == name)?;
            match one.value {
                Value::Number(depths, _) => Some(significant(depths, 3)),
                _ => None,
            }
        };
        return Some(format!(
            "each diffuser must stir {} times its depth; rated at {}",
            depths(REACH_NEEDED)?,
            depths(REACH_RATED)?
        ));
    }
    // A short name says enough where it is a word.
    let name = match judged.name.contains('-') {
        true => judged.says,
        false => judged.name,
    };
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
    let own = judged.dimension == verdict.dimension;
    let ends = || {
        Some(rising(
            reader,
            judged.dimension,
            [judged.low?, judged.high?],
        ))
    };
    let possible = verdict
        .range
        .into_iter()
        .flat_map(|(low, high)| [low, high]);
    let in_row = verdict.rated.into_iter().chain(possible);
    let is = match judged.central {
        Some(central) if own && in_row.into_iter().any(|shown| same(central, shown)) => {
            return None;
        }
        Some(central) => reader.figure(central, judged.dimension),
        None => ends()?,
    };
    // Where any at all will do, or it stands in the row, there is nothing to set it against.
    if own || judged.needed <= f64::MIN_POSITIVE {
        return Some(format!("{name}: {is}"));
    }
    let both = match judged.central {
        Some(central) => reader.alike(&[central, judged.needed], judged.dimension),
        None => vec![is, reader.figure(judged.needed, judged.dimension)],
    };
    Some(match judged.sense {
        Sense::AtMost => format!("{name}: {}", joined(&both, " of ")),
        Sense::AtLeast => format!("{name}: {}", joined(&both, ", at least ")),
    })
}
