//! A promise in words: what was stated, the verdict, what the physics gives and what decides.

use crate::claims::{Claim, Judged, Outcome, Sense, Verdict};
use crate::units::Dimension;
use crate::units::show::significant;

use super::figures::{Reader, joined};
use crate::claims::airline_length::LONGEST;

/// A row of the table of verdicts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Promise {
    /// Which claim.
    pub claim: &'static str,
    /// What was stated, with the option it is about.
    pub stated: String,
    /// The verdict.
    pub outcome: Outcome,
    /// The word for it.
    pub word: &'static str,
    /// What is rated.
    pub rated: Option<String>,
    /// Undecided and beyond what is rated: within the rating an undecided promise is what the trade makes,
    /// beyond it somebody should look.
    pub beyond: bool,
    /// What the physics allows; empty where that isn't known.
    pub range: String,
    /// What decides, in half a sentence, with the weakest mark it rests on.
    pub decides: String,
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
            word: match verdict.unjudged {
                Some(_) => "not judged",
                None => word(outcome),
            },
            rated,
            beyond: outcome == Outcome::Undecided && verdict.within_rating == Some(false),
            range,
            decides: decides(verdict, reader),
        }
    }

    /// What is rated, what the physics allows and what decides, as one text.
    pub fn gives(&self) -> String {
        let rated = self.rated.as_ref().map(|rated| match self.beyond {
            true => format!("beyond the rated {rated}"),
            false => format!("rated {rated}"),
        });
        let range = Some(&self.range).filter(|range| !range.is_empty());
        let range = range.map(|range| format!("physics gives {range}"));
        let parts: Vec<String> = [rated, range].into_iter().flatten().collect();
        // A mark alone belongs to what stands before it.
        let between = match (parts.is_empty(), self.decides.starts_with('(')) {
            (true, _) => "",
            (_, true) => " ",
            _ => "; ",
        };
        format!("{}{between}{}", parts.join("; "), self.decides)
    }
}

/// What is left of a depth and its air after a season: `1.4 to 1.7 m; 30 to 41 L/min`.
pub fn in_service(verdict: &Verdict) -> Option<String> {
    let worn = verdict.in_service.as_ref()?;
    let reader = Reader::of_verdict(verdict);
    let range = |ends: [Option<f64>; 3], dimension: Dimension| {
        let figure = |si: f64| reader.figure(si, dimension);
        Some(joined(&[figure(ends[0]?), figure(ends[2]?)], " to "))
    };
    let depth = range(worn.depth, Dimension::Length)?;
    Some(match range(worn.flow, Dimension::VolumeFlow) {
        Some(flow) => format!("{depth}; {flow} at {}", verdict.stated),
        None => depth,
    })
}

/// A verdict's word as a person reads it.
pub fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::NotEvaluated => "not evaluated",
        other => other.as_str(),
    }
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

/// What decides, in half a sentence, with the weakest mark it rests on.
fn decides(verdict: &Verdict, reader: Reader) -> String {
    if let Some(why) = verdict.unjudged {
        return why.to_string();
    }
    if verdict.outcome == Outcome::NotEvaluated {
        let missing = verdict.missing.as_ref();
        return missing.map_or(String::new(), |missing| {
            format!("missing: {}", missing.fact)
        });
    }
    let mut parts = Vec::new();
    if let Some(judged) = verdict.deciding() {
        parts.extend(criterion(verdict, judged, reader));
    }
    if verdict.outcome == Outcome::Undecided {
        let outside = !verdict.breaches.is_empty();
        let deciding = verdict.deciding();
        let fails = deciding.filter(|one| one.outcome == Outcome::Contradicted);
        if let Some(one) = fails.filter(|_| !outside) {
            // Else a promise beyond all that the physics gives would seem to be misjudged.
            let name = one.name.replace('-', " ");
            parts.push(format!(
                "{name} fails for every value, no second criterion does"
            ));
        } else if let Some(decision) = &verdict.decision {
            let by = &decision.by;
            match decision.needs {
                Some(needs) => {
                    let side = if decision.from { "from" } else { "up to" };
                    let (needs, unit) = (significant(needs, 3), &decision.unit);
                    let needs = format!("needs {by} {side} {needs} {unit}");
                    parts.push(needs.trim_end().to_string());
                }
                // Then it isn't the range that keeps it open.
                None if outside => {}
                None => parts.push(format!("turns most on {by}")),
            }
        }
        if outside {
            parts.push("outside an equation's range".into());
        }
    }
    let mark = format!("({})", verdict.weakest);
    let text = parts.join("; ");
    format!("{text} {mark}").trim_start().to_string()
}

/// What a criterion gives of what it takes: `pressure 19.7 of 24 kPa`. What stands in the row already
/// isn't repeated.
fn criterion(verdict: &Verdict, judged: &Judged, reader: Reader) -> Option<String> {
    let name = judged.name.replace('-', " ");
    let same = |a: f64, b: f64| (a - b).abs() <= 1e-9 * b.abs();
    let own = judged.dimension == verdict.dimension;
    let Some(central) = judged.central else {
        return Some(format!("{name} not known"));
    };
    if own && verdict.rated.is_some_and(|rated| same(central, rated)) {
        return None;
    }
    let needed = reader.figure(judged.needed, judged.dimension);
    let central = reader.figure(central, judged.dimension);
    // Where any at all will do, there is nothing to set it against.
    let stated = own && same(judged.needed, verdict.si);
    // Beside what is rated, which is by another set of values.
    if stated && verdict.rated.is_some() {
        return Some(format!("{name} {central} at central values"));
    }
    if stated || judged.needed <= f64::MIN_POSITIVE {
        return Some(format!("{name} {central}"));
    }
    let both = [central, needed];
    Some(match judged.sense {
        Sense::AtMost => format!("{name} {}", joined(&both, " of ")),
        Sense::AtLeast => format!("{name} {} needed", joined(&both, ", ")),
    })
}
