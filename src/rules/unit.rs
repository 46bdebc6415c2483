//! Is the unit there, of the right dimension, unambiguous, and do listings of one figure agree.

use crate::catalog::{CatalogFault, FaultKind};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::{self, Dimension, Fault, FaultKind as UnitFault, Quantity, Style, Unit, either};

use super::{Context, Family, quoted};

pub static RULES: &[Rule] = &[
    Rule {
        name: "unit.unreadable",
        level: Level::Error,
        speaks: "the text isn't a quantity",
    },
    Rule {
        name: "unit.missing",
        level: Level::Error,
        speaks: "a number without a unit where one is needed",
    },
    Rule {
        name: "unit.unknown",
        level: Level::Error,
        speaks: "a unit, or a way to write one, that isn't the format's",
    },
    Rule {
        name: "unit.wrong-dimension",
        level: Level::Error,
        speaks: "a unit of another kind of quantity",
    },
    Rule {
        name: "unit.ambiguous",
        level: Level::Warning,
        speaks: "a unit that stands for several things, or bare cfm where free and standard air differ",
    },
    Rule {
        name: "unit.listings-disagree",
        level: Level::Error,
        speaks: "two listings of one figure that differ",
    },
    Rule {
        name: "unit.slip",
        level: Level::Warning,
        speaks: "an implausible figure that a common mix-up of units explains",
    },
    Rule {
        name: "unit.false-precision",
        level: Level::Note,
        speaks: "more digits than a converted figure can carry",
    },
];

pub const FAMILY: Family = Family {
    name: "unit",
    rules: RULES,
    page: include_str!("unit.md"),
    check,
};

/// The rule of that name in this family.
pub fn rule(name: &str) -> &'static Rule {
    RULES
        .iter()
        .find(|rule| rule.name.ends_with(name))
        .unwrap_or(&RULES[0])
}

fn check(context: &Context, findings: &mut Vec<Finding>) {
    findings.extend(context.catalog.faults.iter().filter_map(of_fault));
    bare_cfm(context, findings);
}

/// What is wrong with a unit or its figure, in words.
pub(super) fn of_fault(fault: &CatalogFault) -> Option<Finding> {
    let finding = match &fault.kind {
        FaultKind::NoUnit {
            found,
            expected,
            example,
        } => Some(
            Finding::new(
                rule("missing"),
                fault.at,
                format!(
                    "{found} has no unit. Write {} with its unit, in quotes.",
                    either(expected)
                ),
            )
            .mend(format!("For example: {example}")),
        ),
        FaultKind::Unit {
            text,
            fault: unit_fault,
            expected,
            ..
        } => Some(word(fault, text, unit_fault, expected)),
        FaultKind::ListingsDisagree {
            first,
            first_at,
            other,
            agreement,
        } => Some(disagree(fault, first, *first_at, other, *agreement)),
        FaultKind::FalsePrecision { text, of, restated } => Some(
            Finding::new(
                rule("false-precision"),
                fault.at,
                format!("{text} has more digits than a conversion of {of} can give."),
            )
            .correct(false, fault.at, quoted(restated)),
        ),
        _ => None,
    };
    finding.map(|finding| finding.on(fault.on.clone()))
}

fn word(fault: &CatalogFault, text: &str, unit_fault: &Fault, expected: &[Dimension]) -> Finding {
    let at = fault.at;
    let written = text.get(unit_fault.at.clone()).unwrap_or(text).trim();
    let finding = match &unit_fault.kind {
        UnitFault::NotAQuantity { .. } => Finding::new(
            rule("unreadable"),
            at,
            format!(
                "\"{text}\" can't be read as {}: a figure is a number, a space and a unit.",
                either(expected)
            ),
        ),
        UnitFault::UnitMissing { .. } => Finding::new(
            rule("missing"),
            at,
            format!("\"{text}\" has no unit. It must be {}.", either(expected)),
        ),
        UnitFault::UnitUnknown { offered } => {
            let message = match offered {
                Some(unit) => {
                    format!(
                        "`{written}` isn't a unit of the format; the nearest is `{unit}`, {}.",
                        unit.description()
                    )
                }
                None => format!("`{written}` isn't a unit of the format."),
            };
            let finding = Finding::new(rule("unknown"), at, message);
            if offered.is_none() {
                finding.mend("`nameplate schema units` prints all units.")
            } else {
                finding
            }
        }
        UnitFault::UnitSpelling { canonical, .. } => Finding::new(
            rule("unknown"),
            at,
            format!("Write `{canonical}` instead of `{written}`."),
        ),
        UnitFault::UnitUnlisted { unit, restated, .. } => Finding::new(
            rule("unknown"),
            at,
            format!("`{unit}` isn't a unit of the format. The same figure is {restated}."),
        ),
        UnitFault::WrongDimension {
            found,
            expected,
            offered,
        } => {
            let mut message = format!(
                "\"{text}\" is {}, but this must be {}.",
                found.words(),
                either(expected)
            );
            if let Some(unit) = offered {
                message.push_str(&format!(
                    " If it was meant as {}, its unit is `{unit}`.",
                    unit.dimension().words()
                ));
            }
            Finding::new(rule("wrong-dimension"), at, message)
        }
        UnitFault::Ambiguous { candidates } => {
            let names: Vec<String> = candidates.iter().map(Unit::to_string).collect();
            Finding::new(
                rule("ambiguous"),
                at,
                format!("`{written}` can stand for {}.", names.join(", for ")),
            )
            .mend("Write the one that is meant. Until then the figure isn't used.")
        }
        UnitFault::ThousandsSeparator { meant, or } => {
            let message = match or {
                Some(or) => {
                    format!(
                        "`{written}` can be {meant} or {or}: a number has neither commas nor spaces between its digits."
                    )
                }
                None => format!("`{written}` is written without separators: {meant}."),
            };
            Finding::new(rule("unreadable"), at, message)
        }
        UnitFault::DecimalComma { meant } => Finding::new(
            rule("unreadable"),
            at,
            format!("`{written}` has a comma; a number is written with a point: {meant}."),
        ),
        UnitFault::LetterForDigit { meant } => Finding::new(
            rule("unreadable"),
            at,
            format!("`{written}` has a letter among its digits; with digits alone it is {meant}."),
        ),
        UnitFault::NotFinite => Finding::new(
            rule("unreadable"),
            at,
            format!("`{written}` is no number that can be calculated with."),
        ),
        UnitFault::BeyondScale(dimension) => Finding::new(
            rule("unreadable"),
            at,
            format!(
                "`{written}` is beyond what {dimension} can be. It is read {}.",
                dimension.extent()
            ),
        ),
        UnitFault::Reversed => Finding::new(
            rule("unreadable"),
            at,
            format!("\"{text}\" has its higher end first. Write the lower end first."),
        ),
        UnitFault::TwoQuantities { first, second, .. } => Finding::new(
            rule("unreadable"),
            at,
            format!("\"{text}\" holds two figures, {first} and {second}, where only one can stand."),
        )
        .mend(
            "Write the same figure in two units as a list of two, a figure with its condition as { is, at }, and a second supply as \
             a variant.",
        ),
        UnitFault::Writing(style) => Finding::new(rule("unknown"), at, writing(*style)),
    };
    match &fault.kind {
        FaultKind::Unit {
            whole,
            correction: Some(correction),
            ..
        } if correction.text != text => finding.correct(
            correction.sure && unit_fault.kind.is_sure(),
            *whole,
            quoted(&correction.text),
        ),
        _ => finding,
    }
}

/// What of the writing isn't the format's.
fn writing(style: Style) -> &'static str {
    match style {
        Style::Spacing => "Put one plain space between number and unit.",
        Style::Minus => "Write the minus sign as a plain hyphen.",
        Style::BarePoint => "Write a digit before the point.",
        Style::OpenPoint => "Write a digit after the point.",
        Style::MixedHyphen => "Put a space between the whole number and the fraction.",
        Style::FractionSlash => "Write a fraction with a plain slash.",
        Style::RangeJoint => "Write `to` between the ends of a range.",
        Style::UnitTwice => "Write the unit of a range once, after its upper end.",
        Style::Tolerance => "Write a tolerance with `±`.",
        Style::MoneyFirst => "Write the currency after the number.",
    }
}

fn disagree(
    fault: &CatalogFault,
    first: &Quantity,
    first_at: crate::text::Span,
    other: &Quantity,
    agreement: units::Agreement,
) -> Finding {
    // The first figure counts, so the other is what it should be, with the digits it has.
    let unit = other.unit();
    let resolution = other.number().resolution();
    let right = units::show::show_at(unit, first.si_central(), resolution);
    let dimension = first.dimension();
    let figure = |name: &'static str, si: f64| {
        let value = Value::Quantity(si, dimension);
        Evidence::derived(name, value, "the catalog", crate::units::Mark::Stated)
    };
    let is_twice = first.unit() == unit;
    let finding = Finding::new(
        rule("listings-disagree"),
        fault.at,
        match is_twice {
            true => format!(
                "{} and {} are listed as the same figure.",
                first.text(),
                other.text()
            ),
            false => format!(
                "{} and {} are listed as the same figure, but {} is {right}.",
                first.text(),
                other.text(),
                first.text()
            ),
        },
    )
    .mend("Find out which of the two is right; the first one is used until then.")
    .related(first_at, "the first listing, which counts")
    .evidence([
        figure("difference", agreement.difference),
        figure("allowed by the digits", agreement.allowed),
    ]);
    match is_twice {
        true => finding,
        false => finding.correct(false, fault.at, quoted(&right)),
    }
}

/// Bare cfm where it matters which air is meant: at an altitude where free and standard air differ by
/// over 3 %.
fn bare_cfm(context: &Context, findings: &mut Vec<Finding>) {
    use crate::derive::flow::Air;
    let catalog = context.catalog;
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    for part in catalog.compressors.iter() {
        if part.flow_basis.is_there() || part.entry.damaged {
            continue;
        }
        let taken = Air::of_curve(&part.conditions);
        // What the height does; the weather is the same for every machine.
        let sea = Air::at(0.0, catalog.site.air_k()).pressure.value();
        let share = |air: &Air| (air.pressure.value() / sea - 1.0).abs();
        let most = share(&site).max(share(&taken));
        if most <= 0.03 {
            continue;
        }
        let curve = part.supply.curve.known().map_or(&[][..], |points| points);
        let flows = curve
            .iter()
            .map(|point| &point.flow)
            .chain(part.rated.known())
            .chain(part.open_flow.known());
        // One finding for a machine, at its first bare figure.
        let Some(first) = flows
            .into_iter()
            .find(|figure| figure.quantity.unit().to_string() == "cfm")
        else {
            continue;
        };
        findings.push(
            Finding::new(
                rule("ambiguous"),
                first.at,
                format!(
                    "`cfm` can be air at the inlet or standard air, and here the two differ by {} %.",
                    units::show::significant(most * 100.0, 2)
                ),
            )
            .mend("State flow_basis = \"inlet\" or \"standard\" in the compressor's table. Until then it counts as air at the inlet.")
            .on(part.entry.on()),
        );
    }
}
