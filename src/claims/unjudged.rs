//! Promises without a verdict: those that can't be read, and those that nothing here could decide. They keep their
//! rows, so that nobody takes silence for consent.

use crate::catalog::{Claims, Figure, Given, UnreadPromise};
use crate::derive::Missing;
use crate::units::{Unit, of_unit};

use super::Ground;
use super::verdict::{Claim, Verdict};

/// Every promise by its key, in the order of the table of verdicts, with a unit it may be written in and its name in
/// a sentence.
const PROMISES: [(&str, Claim, &str, &str); 16] = [
    ("depth", Claim::Depth, "m", "a depth"),
    ("area", Claim::Area, "m2", "an area"),
    ("flow", Claim::Flow, "L/min", "a flow"),
    ("power", Claim::Power, "W", "a power"),
    ("volume", Claim::Volume, "m3", "a volume"),
    ("turnover", Claim::Turnover, "/day", "a turnover"),
    ("water_moved", Claim::WaterMoved, "L/min", "a flow of water"),
    (
        "running_cost",
        Claim::RunningCost,
        "USD/month",
        "a running cost",
    ),
    ("sound", Claim::Sound, "dB(A)", "a sound level"),
    ("oxygen", Claim::Oxygen, "kg/h", "an oxygen rate"),
    (
        "oxygen_uptake",
        Claim::OxygenUptake,
        "kg/h",
        "an oxygen uptake",
    ),
    (
        "transfer_efficiency",
        Claim::TransferEfficiency,
        "%/m",
        "a transfer efficiency",
    ),
    (
        "winter_opening",
        Claim::WinterOpening,
        "m2",
        "an opening in ice",
    ),
    ("warranty", Claim::Warranty, "year", "a warranty"),
    (
        "service_interval",
        Claim::ServiceInterval,
        "year",
        "a service interval",
    ),
    ("packed_mass", Claim::PackedMass, "kg", "a packed mass"),
];

/// Those that nothing here could decide, and why.
fn undecidable(claims: &Claims) -> [(Claim, &Given<Vec<Figure>>, &'static str); 4] {
    [
        (
            Claim::WinterOpening,
            &claims.winter_opening,
            "how much ice stays open depends on the weather",
        ),
        (Claim::Warranty, &claims.warranty, "a term of sale"),
        (
            Claim::ServiceInterval,
            &claims.service_interval,
            "wear isn't calculated",
        ),
        (
            Claim::PackedMass,
            &claims.packed_mass,
            "weighed, not calculated",
        ),
    ]
}

/// Gives every promise without a verdict its row, beside the others of its kind.
pub fn judge(ground: &Ground, verdicts: &mut Vec<Verdict>) {
    let claims = &ground.facts.package.claims;
    let mut rows: Vec<Verdict> = Vec::new();
    for (claim, figures, why) in undecidable(claims) {
        for figure in figures.known().into_iter().flatten() {
            let mut verdict = Verdict::new(ground, claim, figure);
            verdict.unjudged = Some(why);
            rows.push(verdict);
        }
    }
    let unread = claims.unread.iter();
    rows.extend(unread.filter_map(|promise| unreadable(ground, promise)));
    for row in rows {
        let place = verdicts
            .iter()
            .position(|one| order(one.claim) > order(row.claim));
        verdicts.insert(place.unwrap_or(verdicts.len()), row);
    }
}

/// The row of a promise that can't be read: what is wrong with it, another rule says.
fn unreadable(ground: &Ground, promise: &UnreadPromise) -> Option<Verdict> {
    let (_, claim, unit, name) = PROMISES.iter().find(|(key, ..)| *key == promise.key)?;
    let figure = Figure::bare(of_unit("0", Unit::known(unit)?)?, promise.at);
    let mut verdict = Verdict::new(ground, *claim, &figure);
    verdict.stated = promise.text.clone();
    verdict.si = f64::NAN;
    verdict.currency = None;
    let fact = format!("{name} that can be read");
    Some(verdict.without(Missing::unusable(fact, Some(promise.at))))
}

/// Where a claim stands in the table.
fn order(claim: Claim) -> usize {
    // A run of airline is no promise of its own: it stands with what is laid, behind the water.
    let place = |claim| PROMISES.iter().position(|(_, of, ..)| *of == claim);
    match claim {
        Claim::AirlineLength => place(Claim::WaterMoved),
        claim => place(claim),
    }
    .unwrap_or(PROMISES.len())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::catalog::fields;

    #[test]
    fn every_promise_of_the_format_has_its_row_and_a_unit_of_its_own() {
        let table = fields::table_of("package");
        let claim = table.field("claim").and_then(fields::table_behind).unwrap();
        for field in claim.fields {
            let fields::Shape::Promise(dimensions) = field.shape else {
                continue;
            };
            let row = PROMISES.iter().find(|(key, ..)| *key == field.key);
            let (_, claim, unit, _) = row.unwrap_or_else(|| panic!("{} has no row", field.key));
            assert!(
                dimensions.contains(&Unit::known(unit).unwrap().dimension()),
                "{unit}"
            );
            assert_eq!(claim.as_str(), field.key.replace('_', "-"));
        }
    }
}
