//! One figure listed twice, in two units: `6 ft (1.83 m)`, two columns of a table.

use crate::units::{self, Dimension, Quantity};

use super::claim::{Also, Claim};
use super::finder::Reading;
use super::layout::{Passage, Role};
use super::lexicon;
use super::measure::Measure;

/// The figure that the one at `place` lists in another unit: the one before it, or before the condition that
/// stands between.
pub(super) fn also_of(
    text: &str,
    measures: &[Measure<'_>],
    readings: &[Reading],
    place: usize,
) -> Option<usize> {
    let before = place.checked_sub(1)?;
    if readings[before].attribute.is_some()
        && readings[before].also_of.is_none()
        && is_dual(
            text,
            &measures[before],
            &measures[place],
            measures[before].at.end,
        )
    {
        return Some(before);
    }
    // `1.8 cfm at 2 psi (51 L/min)`
    let first = before.checked_sub(1)?;
    let behind = text
        .get(measures[before].at.end..measures[place].at.start)?
        .trim_start();
    (readings[before].is_condition
        && readings[first].attribute.is_some()
        && behind.starts_with(['(', '/', '[', '='])
        && is_dual(
            text,
            &measures[first],
            &measures[place],
            measures[before].at.end,
        ))
    .then_some(first)
}

/// Two columns of one quantity, in two units, are one listing of it.
pub(super) fn pair_columns(claims: &mut Vec<Claim>, passages: &[Passage]) {
    let cell = |claim: &Claim| match passages[claim.passage()].role {
        Role::Cell {
            table, row, column, ..
        } => Some((table, row, column)),
        _ => None,
    };
    claims.dedup_by(|second, first| {
        let neighbours = || match (cell(first), cell(second)) {
            (Some(a), Some(b)) => a.0 == b.0 && a.1 == b.1 && a.2 + 1 == b.2,
            _ => false,
        };
        // `8 | ft | 2.4 m`: a remark that says the same in another unit.
        let same = || {
            let row = match (cell(first), cell(second)) {
                (Some(a), Some(b)) => a.0 == b.0 && a.1 == b.1,
                _ => false,
            };
            let (Some(a), Some(b)) = (&first.quantity, &second.quantity) else {
                return false;
            };
            row && (0.97..=1.03).contains(&(a.si_central() / b.si_central()))
        };
        let dual = first.attribute == second.attribute
            && (neighbours() || same())
            && first.also.is_none()
            && second.also.is_none()
            && match (&first.quantity, &second.quantity) {
                (Some(a), Some(b)) => {
                    a.dimension() == b.dimension()
                        && a.unit() != b.unit()
                        && !are_shaft_and_socket(a, b)
                        // `up to 800 sq m | up to 1 acre` are two things.
                        && plausible_pair(a, b, false)
                        && (units::table::System::of(a.unit()) != units::table::System::of(b.unit())
                            || same())
                }
                _ => false,
            };
        if dual {
            first.also = Some(Box::new(Also {
                at: second.at.clone(),
                text: std::mem::take(&mut second.text),
                si: second.si,
                quantity: second.quantity.take(),
            }));
        }
        dual
    });
}

/// Whether one is the size of a motor in horsepower, and the other what it takes from the socket: `1/4 hp, 180 W` are two
/// figures unless they are the same.
fn are_shaft_and_socket(a: &Quantity, b: &Quantity) -> bool {
    a.unit().is_of_a_shaft() != b.unit().is_of_a_shaft()
        && !units::agree(a, b).is_some_and(units::Agreement::holds)
}

/// Whether `second` repeats `first` in another unit: `6 ft (1.83 m)`, `6 ft / 1.83 m`.
pub(super) fn is_dual(text: &str, first: &Measure<'_>, second: &Measure<'_>, from: usize) -> bool {
    let (Some(a), Some(b)) = (&first.quantity, &second.quantity) else {
        return false;
    };
    let same = a.dimension() == b.dimension()
        || (matches!(a.dimension(), Dimension::VolumeFlow | Dimension::AirAmount)
            && matches!(b.dimension(), Dimension::VolumeFlow | Dimension::AirAmount));
    if !same || a.unit() == b.unit() || a.dimension().is_money() || are_shaft_and_socket(a, b) {
        return false;
    }
    if second.at.start < from || is_with_its_box(text, second) {
        return false;
    }
    let between = text[from..second.at.start].trim();
    let bare = between.to_lowercase();
    let tail = bare
        .trim_start_matches(['(', '[', '/', '|', '=', '≈', '~', ',', '–', '-', ' ', ';'])
        .trim();
    let joins = bare.starts_with(['(', '[', '/', '|', '=', '≈', '–'])
        || bare == "or"
        || bare == ","
        || bare == ", which is"
        || bare == "which is"
        || bare == ", that is"
        || bare == ", i.e."
        || bare == "oder"
        || bare == "bzw."
        || bare.ends_with(['(', '[']) && bare.split_whitespace().count() <= 3;
    let words = tail.trim_end_matches(['(', '[', ' ']);
    let joins_time = a.dimension() != Dimension::Time;
    joins
        && joins_time
        && (words.is_empty() || lexicon::AGAIN.contains(&words))
        && (plausible_pair(a, b, bare == "," || bare == "or")
            || bare == "(" && is_restated(text, a, b, second.at.end))
}

/// Whether a mass is one with its box, and no second listing of one without: `24 lb (12 kg boxed)`.
fn is_with_its_box(text: &str, second: &Measure<'_>) -> bool {
    const BOXED: [&str; 12] = [
        "boxed", "packed", "gross", "shipping", "crated", "with", "verpackt", "brutto", "mit",
        "emballé", "bruto", "lordo",
    ];
    let after = text.get(second.at.end..).unwrap_or("").trim_start();
    let next = after
        .split(|c: char| !c.is_alphabetic())
        .next()
        .unwrap_or("");
    second.dimension() == Some(Dimension::Mass) && BOXED.contains(&next.to_lowercase().as_str())
}

/// Whether a figure alone in brackets, in another system of units, restates the one before them, right or wrong:
/// `44 lb (97 kg)`. A bore and a length are farther apart.
fn is_restated(text: &str, a: &Quantity, b: &Quantity, end: usize) -> bool {
    const FARTHEST: f64 = 12.0;
    let ratio = (a.si_central() / b.si_central()).abs();
    let closed = text
        .get(end..)
        .is_some_and(|after| after.trim_start().starts_with(')'));
    closed
        && units::table::System::of(a.unit()) != units::table::System::of(b.unit())
        && (1.0 / FARTHEST..=FARTHEST).contains(&ratio)
}

/// Two listings of one figure are near each other; a size and a length aren't.
pub(super) fn plausible_pair(a: &Quantity, b: &Quantity, strict: bool) -> bool {
    let (a, b) = (a.si_central(), b.si_central());
    if a == 0.0 || b == 0.0 {
        return a == b;
    }
    let ratio = (a / b).abs();
    if strict {
        (0.9..=1.1).contains(&ratio)
    } else {
        (0.4..=2.5).contains(&ratio)
    }
}
