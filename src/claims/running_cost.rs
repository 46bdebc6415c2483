//! What it costs to run: watts, hours and the price of electricity.

use crate::assumptions::{End, Name};
use crate::catalog::{Figure, Given};
use crate::derive::Missing;
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::verdict::{Claim, Decision, Verdict};

const HOUR: f64 = 3600.0;

/// Judges every claimed running cost.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = ground
        .facts
        .package
        .claims
        .running_cost
        .known()
        .map_or(&[][..], |rows| rows);
    for figure in rows {
        verdicts.push(one(ground, figure));
    }
}

/// Running hours a day: the claim's own, else the package's, else the site's.
pub fn hours_a_day(ground: &Ground, figure: Option<&Figure>) -> f64 {
    let site = &ground.catalog.site.hours_per_day;
    figure
        .and_then(|figure| figure.conditions.hours_per_day)
        .or(ground
            .facts
            .package
            .hours_per_day
            .known()
            .map(|hours| hours.value))
        .or(site.known().map(|hours| hours.value))
        .unwrap_or(24.0)
        .clamp(0.0, 24.0)
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::RunningCost, figure);
    let watts = match super::power::sum(ground) {
        Ok(watts) => watts,
        Err(missing) => return verdict.without(missing),
    };
    let watts = watts / ground.times(figure);
    let share = hours_a_day(ground, Some(figure)) / 24.0;
    // A promise of cost promises at most so much, with what it was rounded from.
    let most = figure.quantity.rounding().1;
    let period = Period::of(figure);
    let fact = |name: &'static str, value: Value| {
        Evidence::derived(name, value, "the catalog", Mark::Stated)
    };
    verdict.evidence.push(fact(
        "power, compressors and fan",
        Value::Quantity(watts, Dimension::Power),
    ));
    verdict.evidence.push(fact(
        "running hours a day",
        Value::Number(share * 24.0, "h".into()),
    ));
    let currency = figure.quantity.unit().currency();
    let stated = figure
        .conditions
        .tariff
        .as_deref()
        .or(ground.catalog.site.tariff.known());
    let tariff = stated.filter(|tariff| tariff.quantity.unit().currency() == currency);
    // A tariff that couldn't be read isn't one that nobody stated.
    let unread = matches!(ground.catalog.site.tariff, Given::Unreadable);
    if tariff.is_none() && (figure.conditions.unreadable || unread) {
        return verdict.without(Missing::unusable(
            "the price of electricity",
            Some(figure.at),
        ));
    }
    let Some(tariff) = tariff else {
        // What the price of electricity would have to be, in a month of usual length.
        let hours = period.hours(ground.assumptions[Name::Month].central);
        let needs = figure.high() * period.seconds() / (watts * share * hours * HOUR);
        verdict.outcome = Outcome::Undecided;
        verdict.weakest = Mark::Stated;
        verdict.decision = Some(Decision {
            by: "tariff".into(),
            what: "price of electricity".into(),
            from: false,
            needs: (needs.is_finite()).then_some(needs * 3.6e6),
            unit: format!("{}/kWh", verdict.currency.as_deref().unwrap_or("")),
            mark: Mark::Stated,
        });
        let code = verdict.currency.as_deref().unwrap_or("its currency");
        verdict.missing = Some(Missing::absent(
            match stated {
                Some(_) => format!("a price of electricity in {code}"),
                None => "a price of electricity".to_string(),
            },
            Some(figure.at),
        ));
        return verdict;
    };
    verdict.evidence.push(Evidence::stated(
        "price of electricity",
        Value::Number(
            tariff.si() * 3.6e6,
            tariff.quantity.unit().to_string().into(),
        ),
        Some(tariff.at),
    ));
    let price = tariff.si();
    let criteria = vec![Criterion {
        name: "cost",
        says: "cost of running",
        dimension: Dimension::MoneyPerTime,
        sense: Sense::AtMost,
        bad: |_| End::Unfavourable,
        turns: &[],
        depends: if period == Period::Day {
            Vec::new()
        } else {
            vec![Name::Month]
        },
        measure: Box::new(move |values| Measured {
            value: Some(
                watts * share * price * period.hours(values[Name::Month]) * HOUR / period.seconds(),
            ),
            needed: most,
            known_to_hold: None,
            breaches: Vec::new(),
        }),
    }];
    verdict.judge_by_one(ground.assumptions, criteria);
    // The unfavourable corner of a cost is the greater one, and ranges begin with the lesser.
    verdict.range = verdict.range.map(|(high, low)| (low, high));
    verdict
}

/// The period a cost is stated for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Period {
    Hour,
    Day,
    Month,
    Year,
}

impl Period {
    fn of(figure: &Figure) -> Period {
        let unit = figure.quantity.unit().to_string();
        match unit.rsplit('/').next() {
            Some("h") => Period::Hour,
            Some("day") => Period::Day,
            Some("year") => Period::Year,
            _ => Period::Month,
        }
    }

    /// Hours in it, where a month has `month` hours.
    fn hours(self, month: f64) -> f64 {
        match self {
            Period::Hour => 1.0,
            Period::Day => 24.0,
            Period::Month => month,
            // A year has 365 or 366 days, however long its months are.
            Period::Year => {
                let (short, usual, long) = (720.0, 730.5, 744.0);
                if month <= usual {
                    8760.0 + (month - short) / (usual - short) * 6.0
                } else {
                    8766.0 + (month - usual) / (long - usual) * 18.0
                }
            }
        }
    }

    /// Seconds by which the unit table divides: a month of 730.5 h, a year of 8766 h.
    fn seconds(self) -> f64 {
        HOUR * match self {
            Period::Hour => 1.0,
            Period::Day => 24.0,
            Period::Month => 730.5,
            Period::Year => 8766.0,
        }
    }
}
