//! A sheet's claims as the figures of a catalog.

use crate::catalog::{Claims, Conditions, Figure, Given, Put};
use crate::spec_sheet::{Attribute, Claim, Comparator, Condition, Counted, Si};
use crate::text::{FileId, Span};
use crate::units::show::significant;
use crate::units::{self, Dimension, Quantity};

/// The claim as a figure with its conditions; nothing for a count or a comparison.
pub fn figure(claim: &Claim, file: FileId) -> Option<Figure> {
    let at = Span::new(file, claim.at.start, claim.at.end);
    let quantity = match claim.attribute {
        Attribute::Turnover => turnovers(claim)?,
        _ => claim.quantity.clone()?,
    };
    let also = claim.also.as_ref().and_then(|also| {
        let quantity = also.quantity.clone()?;
        Some((quantity, Span::new(file, also.at.start, also.at.end)))
    });
    Some(Figure {
        quantity,
        at,
        also: also.into_iter().collect(),
        conditions: conditions(&claim.condition, at),
        source: None,
        per_diffuser: claim.condition.per == Some(Counted::Diffuser),
        put: match claim.comparator {
            Comparator::About => Put::About,
            Comparator::AtMost => Put::AtMost,
            Comparator::AtLeast => Put::AtLeast,
            Comparator::Exact | Comparator::Range => Put::Plainly,
        },
    })
}

/// A turnover as so many a day, however it is written: `every 8 hours` is three.
fn turnovers(claim: &Claim) -> Option<Quantity> {
    const DAY: f64 = 86_400.0;
    let written = claim.quantity.as_ref();
    if let Some(own) = written.filter(|own| own.dimension() == Dimension::PerTime) {
        return Some(own.clone());
    }
    let day = |si: f64| significant(si * DAY, 6);
    let text = match claim.si {
        Si::Value(value) => format!("{} /day", day(value)),
        Si::Range(low, high) => format!("{} to {} /day", day(low), day(high)),
        Si::None => return None,
    };
    units::read(&text, &[Dimension::PerTime]).quantity
}

fn conditions(condition: &Condition, at: Span) -> Conditions {
    let figure = |quantity: &Option<Quantity>| {
        quantity
            .as_ref()
            .map(|quantity| Box::new(Figure::bare(quantity.clone(), at)))
    };
    Conditions {
        pressure: figure(&condition.pressure),
        depth: figure(&condition.depth),
        distance: figure(&condition.distance),
        tariff: figure(&condition.tariff),
        hours_per_day: condition.hours_per_day,
        altitude: None,
        temperature: figure(&condition.temperature),
        at: (!condition.is_empty()).then_some(at),
        unreadable: false,
    }
}

/// The claims as the promises of a package. Open water in ice is promised as a winter's opening, not as an area
/// that is mixed.
pub(super) fn promises(claims: &[&Claim], file: FileId) -> Claims {
    let rows = |wanted: &dyn Fn(&Claim) -> bool| {
        let rows: Vec<Figure> = claims
            .iter()
            .filter(|claim| wanted(claim))
            .filter_map(|claim| figure(claim, file))
            .collect();
        if rows.is_empty() {
            Given::Absent
        } else {
            Given::Known(rows)
        }
    };
    let of = |attribute: Attribute| rows(&|claim: &Claim| claim.attribute == attribute);
    Claims {
        at: None,
        depth: of(Attribute::Depth),
        area: rows(&|claim| claim.attribute == Attribute::Area && !claim.in_winter),
        flow: of(Attribute::Flow),
        power: of(Attribute::Power),
        running_cost: of(Attribute::Cost),
        sound: of(Attribute::Sound),
        turnover: of(Attribute::Turnover),
        oxygen_uptake: Given::Absent,
        oxygen: of(Attribute::Oxygen),
        transfer_efficiency: of(Attribute::Efficiency),
        volume: of(Attribute::Volume),
        water_moved: of(Attribute::WaterFlow),
        winter_opening: rows(&|claim| claim.attribute == Attribute::Area && claim.in_winter),
        warranty: of(Attribute::Warranty),
        service_interval: of(Attribute::ServiceInterval),
        packed_mass: Given::Absent,
        unread: Vec::new(),
        source: None,
    }
}
