//! What it costs to run: watts, hours and the price of electricity.

use crate::assumptions::Ends;
use crate::catalog::{Figure, Given};
use crate::derive::pond::{hours_a_day, hours_are_unread};
use crate::derive::{Missing, supply};
use crate::finding::{Evidence, Value};
use crate::units::{Dimension, Mark};

use super::criterion::{Criterion, Measured, Outcome, Sense};
use super::power::{depends, taken, within};
use super::verdict::{Claim, Decision, Verdict, lenient, over_offers};
use super::{Ground, each};

const HOUR: f64 = 3600.0;

/// Judges every claimed running cost.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let rows = &ground.facts.package.claims.running_cost;
    each(ground, Claim::RunningCost, rows, verdicts, |figure| {
        one(ground, figure)
    });
}

fn one(ground: &Ground, figure: &Figure) -> Verdict {
    let verdict = Verdict::new(ground, Claim::RunningCost, figure);
    let bill = Bill {
        share: hours_a_day(ground.catalog, ground.facts.package, Some(figure)) / 24.0,
        period: Period::of(figure).unwrap_or(Period::Month),
        times: ground.times(figure),
    };
    if hours_are_unread(ground.catalog, ground.facts.package, figure) {
        return verdict.without(Missing::unusable("the running hours a day", None));
    }
    let currency = figure.quantity.unit().currency();
    let stated = figure
        .conditions
        .tariff
        .as_deref()
        .or(ground.catalog.site.tariff.known());
    match stated.filter(|tariff| tariff.quantity.unit().currency() == currency) {
        Some(tariff) => at_tariff(ground, figure, &bill, tariff, verdict),
        None => without_tariff(ground, figure, &bill, stated.is_some(), verdict),
    }
}

/// What a bill is reckoned with.
#[derive(Clone, Copy)]
struct Bill {
    /// Share of the day that the machine runs.
    share: f64,
    period: Period,
    /// Of so many pieces the promise speaks of one.
    times: f64,
}

impl Bill {
    /// What `watts` W cost at `price` a joule where the period has so many `hours`.
    fn cost(self, watts: f64, price: f64, hours: f64) -> f64 {
        watts / self.times * self.share * price * hours * HOUR / self.period.seconds()
    }

    /// The facts it stands on.
    fn facts(self, watts: f64) -> [Evidence; 2] {
        let fact = |name, value| Evidence::derived(name, value, "the catalog", Mark::Stated);
        [
            fact(
                "power, compressors and fan",
                Value::Quantity(watts / self.times, Dimension::Power),
            ),
            fact(
                "running hours a day",
                Value::Number(self.share * 24.0, "h".into()),
            ),
        ]
    }
}

fn at_tariff(
    ground: &Ground,
    figure: &Figure,
    bill: &Bill,
    tariff: &Figure,
    mut verdict: Verdict,
) -> Verdict {
    // A promise of cost promises at most so much, with what it was rounded from.
    let most = lenient(figure, figure.high(), Sense::AtMost);
    let (bill, price) = (*bill, tariff.si());
    let (short, usual) = bill.period.hours();
    let criterion = |way| {
        let watts = taken(ground, way)?;
        Ok(Criterion {
            name: "cost",
            says: bill.period.cost(),
            dimension: Dimension::MoneyPerTime,
            sense: Sense::AtMost,
            bad: Ends::UNFAVOURABLE,
            turns: &[],
            depends: depends(watts),
            measure: Box::new(move |values| Measured {
                value: Some(bill.cost(within(watts, values), price, short)),
                needed: most,
                ..Measured::default()
            }),
        })
    };
    let Some(best) = over_offers(ground, &mut verdict, criterion) else {
        return verdict;
    };
    verdict.settle_by_one(ground, &best.criteria, best.judged);
    let Ok(watts) = taken(ground, best.way) else {
        return verdict;
    };
    // What to claim is what a usual period costs, with all the watts that are stated.
    verdict.rated = Some(bill.cost(watts.most, price, usual));
    verdict.range = Some((
        bill.cost(watts.least, price, short),
        bill.cost(watts.most, price, usual),
    ));
    verdict.evidence.extend(bill.facts(watts.most));
    verdict.evidence.push(Evidence::stated(
        "price of electricity",
        Value::Number(price * 3.6e6, tariff.quantity.unit().to_string().into()),
        Some(tariff.at),
    ));
    verdict
}

/// Without a price of electricity in its currency nothing is known for or against a cost but the price that it would
/// be true at.
fn without_tariff(
    ground: &Ground,
    figure: &Figure,
    bill: &Bill,
    another_currency: bool,
    mut verdict: Verdict,
) -> Verdict {
    let mut missing = None;
    let offers = supply::offers(ground.facts.package).filter_map(|way| {
        let watts = taken(ground, way);
        watts.map_err(|fact| missing = Some(fact)).ok()
    });
    let Some(watts) = offers.map(|watts| watts.least).reduce(f64::min) else {
        verdict.missing = missing;
        return verdict;
    };
    verdict.evidence.extend(bill.facts(watts));
    // A tariff that couldn't be read isn't one that nobody stated.
    if matches!(ground.catalog.site.tariff, Given::Unreadable) {
        return verdict.without(Missing::unusable(
            "the price of electricity",
            Some(figure.at),
        ));
    }
    // What the price of electricity would have to be, in a period of usual length.
    let needs = figure.high() / bill.cost(watts, 1.0, bill.period.hours().1);
    let code = verdict.currency.clone().unwrap_or_default();
    verdict.outcome = Outcome::Undecided;
    verdict.weakest = Mark::Stated;
    verdict.decision = Some(Decision {
        by: "tariff".into(),
        what: "price of electricity".into(),
        from: false,
        needs: (needs.is_finite()).then_some(needs * 3.6e6),
        unit: format!("{code}/kWh"),
        mark: Mark::Stated,
    });
    verdict.missing = Some(Missing::absent(
        if another_currency {
            format!("a price of electricity in {code}")
        } else {
            "a price of electricity".to_string()
        },
        Some(figure.at),
    ));
    verdict
}

/// What a month of usual length costs: `watts` running so many hours a day at a price for each kilowatt-hour.
pub fn a_month(watts: f64, hours_a_day: f64, price: f64) -> f64 {
    watts / 1000.0 * hours_a_day / 24.0 * Period::Month.hours().1 * price
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

    /// What is held to a promise of cost, which is the least that a period of this name can mean.
    fn cost(self) -> &'static str {
        match self {
            Period::Hour => "cost of an hour",
            Period::Day => "cost of a day",
            Period::Month => "cost of 30 days",
            Period::Year => "cost of 365 days",
        }
    }

    /// Seconds by which the unit table divides: a month of 730.5 h, a year of 8766 h.
    fn seconds(self) -> f64 {
        HOUR * self.hours().1
    }
}
