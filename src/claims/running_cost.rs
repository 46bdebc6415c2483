//! What it costs to run: watts, hours and the price of electricity.

use crate::assumptions::End;
use crate::catalog::{Figure, Given};
use crate::derive::Missing;
use crate::derive::pond::hours_a_day;
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::Ground;
use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::verdict::{Claim, Decision, Verdict, lenient};

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

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let mut verdict = Verdict::new(ground, Claim::RunningCost, figure);
    let watts = match super::power::sum(ground) {
        Ok(watts) => watts,
        Err(missing) => return verdict.without(missing),
    };
    let watts = watts.max(super::power::least_work(ground).unwrap_or(0.0)) / ground.times(figure);
    let share = hours_a_day(ground.catalog, ground.facts.package, Some(figure)) / 24.0;
    // A promise of cost promises at most so much, with what it was rounded from.
    let most = lenient(figure, figure.high(), Sense::AtMost);
    let period = Period::of(figure).unwrap_or(Period::Month);
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
        let hours = period.hours().1;
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
    let (short, usual) = period.hours();
    let cost = |hours: f64| watts * share * price * hours * HOUR / period.seconds();
    let least = cost(short);
    let criterion = Criterion {
        name: "cost",
        says: "cost of running",
        dimension: Dimension::MoneyPerTime,
        sense: Sense::AtMost,
        bad: |_| End::Unfavourable,
        turns: &[],
        depends: Vec::new(),
        measure: Box::new(move |_| Measured {
            value: Some(least),
            needed: most,
            ..Measured::default()
        }),
    };
    verdict.judge_by_one(ground, vec![criterion]);
    // What to claim is what a usual period costs.
    verdict.rated = Some(cost(usual));
    verdict.range = Some((least, cost(usual)));
    verdict
}

/// The period a rate is stated for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Period {
    /// An hour.
    Hour,
    /// A day.
    Day,
    /// A month.
    Month,
    /// A year.
    Year,
}

impl Period {
    /// The period in a figure's unit; nothing where it has none of these.
    pub fn of(figure: &Figure) -> Option<Period> {
        let unit = figure.quantity.unit().to_string();
        Some(match unit.rsplit_once('/')?.1 {
            "h" => Period::Hour,
            "day" | "d" => Period::Day,
            "month" => Period::Month,
            "year" => Period::Year,
            _ => return None,
        })
    }

    /// Hours in it, as few as people mean by it and as it usually has: a month is 30 days or a twelfth of a
    /// year, a year 365 days or a quarter more.
    pub fn hours(self) -> (f64, f64) {
        match self {
            Period::Hour => (1.0, 1.0),
            Period::Day => (24.0, 24.0),
            Period::Month => (720.0, 730.5),
            Period::Year => (8760.0, 8766.0),
        }
    }

    /// Seconds by which the unit table divides: a month of 730.5 h, a year of 8766 h.
    fn seconds(self) -> f64 {
        HOUR * self.hours().1
    }
}
