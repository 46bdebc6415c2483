//! One figure in two units: `6 ft (1.83 m)`.

use crate::finding::{Evidence, Finding, Value};
use crate::text::Span;
use crate::units::{self, Mark, show};

use super::super::unit;
use super::{Said, UNIT};

/// Whether the two say the same, and whether a conversion pretends to know more than the figure it is of.
pub fn speak(said: &Said, findings: &mut Vec<Finding>) {
    for claim in &said.claims {
        let (Some(first), Some(also)) = (&claim.quantity, &claim.also) else {
            continue;
        };
        let Some(other) = &also.quantity else {
            continue;
        };
        let at = Span::new(said.page.file, also.at.start, also.at.end);
        let Some(agreement) = units::agree(first, other) else {
            continue;
        };
        let figure = |name: &'static str, si: f64| {
            Evidence::derived(
                name,
                Value::Quantity(si, first.dimension()),
                "the text",
                Mark::Stated,
            )
        };
        if !agreement.holds() {
            let right = show::show_at(
                other.unit(),
                first.si_central(),
                other.number().resolution(),
            );
            findings.push(
                Finding::new(
                    &UNIT,
                    at,
                    format!(
                        "{} and {} are given as one figure, but {} is {right}.",
                        first.text(),
                        other.text(),
                        first.text()
                    ),
                )
                .mend("Find out which of the two is right.")
                .related(said.page.at(claim), "the first of the two")
                .evidence([
                    figure("difference", agreement.difference),
                    figure("allowed by the digits", agreement.allowed),
                ]),
            );
        } else if let Some(fine) = units::false_precision(first, other) {
            let (shown, of, place) = if fine.first {
                (first, other, said.page.at(claim))
            } else {
                (other, first, at)
            };
            findings.push(
                Finding::new(
                    unit::rule("false-precision"),
                    place,
                    format!(
                        "{} has more digits than a conversion of {} can give.",
                        shown.text(),
                        of.text()
                    ),
                )
                .mend(format!("Write {}.", fine.restated)),
            );
        }
    }
}
