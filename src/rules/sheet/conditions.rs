//! Figures that say nothing without their condition, which stands nowhere in the sheet.

use crate::finding::{Evidence, Finding, Level, Value};
use crate::spec_sheet::{Attribute, Claim, Role, Sheet, Subject};
use crate::units::{Dimension, Mark};

use super::{CONDITION_MISSING, Said, name};

/// A question to ask of the claims of an attribute.
struct Needs {
    attribute: Attribute,
    /// Whether a claim has what it needs.
    has: fn(&Sheet, &Claim) -> bool,
    /// Whether the catalog says it of a package that has none of its own.
    in_catalog: bool,
    /// Another claim that gives it, wherever it stands in the sheet.
    elsewhere: Option<Attribute>,
    what: &'static str,
    example: &'static str,
}

const NEEDS: [Needs; 5] = [
    Needs {
        attribute: Attribute::Flow,
        has: |sheet, claim| {
            claim.condition.pressure.is_some()
                || claim.condition.depth.is_some()
                || is_open(sheet, claim)
                || stands_beside(sheet, claim, |dimension| {
                    matches!(dimension, Dimension::Length | Dimension::GaugePressure)
                })
        },
        in_catalog: false,
        elsewhere: None,
        what: "the pressure or depth it is moved against",
        example: "say at which pressure or depth, or call it the open flow",
    },
    Needs {
        attribute: Attribute::Sound,
        has: |_, claim| claim.condition.distance.is_some(),
        in_catalog: false,
        elsewhere: None,
        what: "the distance it was heard at",
        example: "say at which distance, and that it was measured with A-weighting",
    },
    Needs {
        attribute: Attribute::Cost,
        has: |sheet, claim| {
            claim.condition.tariff.is_some()
                || stands_beside(sheet, claim, Dimension::is_money)
                || sheet.counts_energy
        },
        in_catalog: false,
        elsewhere: None,
        what: "the price of electricity it is counted at",
        example: "say at which price of a kilowatt-hour, and for how many hours a day",
    },
    Needs {
        attribute: Attribute::Cost,
        // Without a tariff that is what is asked for first.
        has: |sheet, claim| {
            claim.condition.hours_per_day.is_some()
                || claim.condition.tariff.is_none()
                || pays_for_all_day(sheet, claim)
        },
        in_catalog: true,
        elsewhere: None,
        what: "the hours a day it runs",
        example: "say for how many hours a day",
    },
    Needs {
        attribute: Attribute::Area,
        has: |_, claim| claim.condition.depth.is_some() || claim.in_winter,
        in_catalog: false,
        elsewhere: Some(Attribute::Depth),
        what: "the depth of the pond",
        example: "say how deep such a pond is",
    },
];

/// Whether a figure that wasn't read, and may be the condition, stands in the same stretch of text or in its label: then
/// nobody may say that it stands nowhere.
fn stands_beside(sheet: &Sheet, claim: &Claim, is: impl Fn(Dimension) -> bool) -> bool {
    let term = sheet
        .passages
        .get(claim.passage())
        .and_then(|passage| passage.term);
    // They stand in the order of the passages.
    let seen_in = |passage: u32| {
        let from = sheet.seen.partition_point(|seen| seen.passage < passage);
        let seen = sheet.seen[from..].iter();
        seen.take_while(move |seen| seen.passage == passage)
    };
    u32::try_from(claim.passage())
        .ok()
        .into_iter()
        .chain(term)
        .any(|passage| seen_in(passage).any(|seen| is(seen.dimension)))
}

/// Whether a cost pays for the sheet's watts at its tariff day and night, so that the hours leave nothing open.
fn pays_for_all_day(sheet: &Sheet, claim: &Claim) -> bool {
    /// What `about` and the digits of three figures leave open.
    const NEAR: f64 = 0.95;
    let mut watts = sheet
        .claims
        .iter()
        .filter(|one| one.attribute == Attribute::Power);
    let power = watts.find_map(|one| one.quantity.as_ref());
    let (Some(power), Some(cost), Some(tariff)) = (power, &claim.quantity, &claim.condition.tariff)
    else {
        return false;
    };
    // Watts times money for a joule is money for a second.
    cost.si_high() >= NEAR * power.si_low() * tariff.si_low()
}

/// Whether a flow is called the open flow, whose pressure is none: beside it, or in the heads of its cell.
fn is_open(sheet: &Sheet, claim: &Claim) -> bool {
    let says = |text: &str| {
        let text = text.to_lowercase();
        let mut words = text.split(|c: char| !c.is_alphanumeric());
        words.any(|word| matches!(word, "open" | "offen" | "unrestricted"))
            || text.contains("free flow")
    };
    if says(&claim.text) {
        return true;
    }
    let Some(own) = sheet.passages.get(claim.passage()) else {
        return false;
    };
    // `65 L/min open`
    let after = own.text.get(claim.place().end..).unwrap_or("");
    let clause = after.split([',', ';', '.', '\n']).next().unwrap_or("");
    let next: Vec<&str> = clause.split_whitespace().take(2).collect();
    if says(&next.join(" ")) {
        return true;
    }
    let term = own.term.and_then(|term| sheet.passages.get(term as usize));
    if term.is_some_and(|term| says(&term.text)) {
        return true;
    }
    let Role::Cell {
        table, row, column, ..
    } = own.role
    else {
        // What stands before the figure in the same stretch of text.
        let before = own.text.get(..claim.place().start).unwrap_or("");
        let start = before.rfind(['.', ';', '\n']).map_or(0, |at| at + 1);
        return says(&before[start..]) && before[start..].len() < 60;
    };
    sheet.passages.iter().any(|passage| match passage.role {
        Role::Cell {
            table: of,
            row: at,
            column: place,
            ..
        } => {
            of == table
                && ((at == row && place == 0) || (at == 0 && place == column))
                && says(&passage.text)
        }
        _ => false,
    })
}

/// One finding for each attribute, at its first figure.
pub fn speak(said: &Said, findings: &mut Vec<Finding>) {
    let needed = NEEDS
        .iter()
        .filter(|needs| !(needs.in_catalog && said.own.is_some()));
    for needs in needed {
        let figures = |attribute: Attribute| {
            let all = said.claims.iter().copied();
            all.filter(move |claim| {
                // What a diffuser can take is no promise of what it gets.
                claim.attribute == attribute
                    && claim.quantity.is_some()
                    && claim.subject != Subject::Diffuser
            })
        };
        // Where it is said once, a reader carries it over to the rest.
        let sheet = said.page.sheet;
        if figures(needs.attribute).any(|claim| (needs.has)(sheet, claim)) {
            continue;
        }
        // What the whole page says holds for each thing on it.
        let page = &sheet.claims;
        let there = needs.elsewhere.is_some_and(|other| {
            page.iter()
                .any(|claim| claim.attribute == other && claim.quantity.is_some())
        });
        let Some(first) = figures(needs.attribute).next().filter(|_| !there) else {
            continue;
        };
        // What the physics or the catalog has against the same figure is graver, and told at it.
        let at = said.page.at(first);
        if findings
            .iter()
            .any(|one| one.at == at && one.level == Level::Error)
        {
            continue;
        }
        let more: Vec<&Claim> = figures(needs.attribute).skip(1).collect();
        let mut finding = Finding::new(
            &CONDITION_MISSING,
            at,
            format!(
                "{} says little without {}, which stands nowhere in the sheet.",
                first
                    .quantity
                    .as_ref()
                    .map_or(first.text.as_str(), |quantity| quantity.text()),
                needs.what
            ),
        )
        .mend(format!("{}.", crate::finding::capital(needs.example)))
        .evidence([Evidence::derived(
            "looked for",
            Value::Words(
                "beside the figure, in its row and heading, in notes and elsewhere in the sheet"
                    .into(),
            ),
            "the text",
            Mark::Stated,
        )]);
        for claim in more.into_iter().take(8) {
            finding = finding.related(
                said.page.at(claim),
                format!("another {} without it", name(needs.attribute)),
            );
        }
        findings.push(finding);
    }
}
