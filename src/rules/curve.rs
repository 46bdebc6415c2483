//! Is a compressor's curve a possible one, and does it agree with its nameplate.

use crate::catalog::{Compressor, Figure, Given, Package, Point, Supply};
use crate::derive::flow::{self, Air};
use crate::derive::machine::{self, Curve};
use crate::derive::{Way, supply};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::text::Span;
use crate::units::quantity::GaugePressure;
use crate::units::show::show;
use crate::units::{Dimension, Mark, System};

use super::{Context, Family, subject};

static RULES: &[Rule] = &[RISING, TOO_SHORT, DISAGREES, CORNER];

const RISING: Rule = Rule {
    name: "curve.rising",
    level: Level::Error,
    speaks: "flow grows with pressure between two points of a curve",
};
const TOO_SHORT: Rule = Rule {
    name: "curve.too-short",
    level: Level::Warning,
    speaks: "the curve ends below the pressure a package needs, so the duty point isn't known",
};
const DISAGREES: Rule = Rule {
    name: "curve.disagrees",
    level: Level::Error,
    speaks: "rated flow, open flow or a stated pressure contradicts the curve",
};
const CORNER: Rule = Rule {
    name: "curve.corner-quoted",
    level: Level::Warning,
    speaks: "open flow and greatest pressure stated as if they held together",
};

pub const FAMILY: Family = Family {
    name: "curve",
    rules: RULES,
    page: include_str!("curve.md"),
    check,
};

/// Flows further apart than this contradict each other; within it a reading off a printed chart.
const MOST_APART: f64 = 0.07;

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for part in context.catalog.compressors.iter() {
        let taken = Air::of_curve(&part.conditions);
        for supply in supply::all(part) {
            if let Some(rise) = rising(context, part, supply) {
                findings.push(rise);
            } else if let Ok(curve) = machine::curve(part, supply, &taken) {
                nameplate(part, supply, &curve, &taken, findings);
            }
        }
        if let Given::Known(rated) = &part.rated
            && machine::is_corner(part, rated)
        {
            let max = context.place(&part.entry, "max_pressure");
            findings.push(corner(rated, max).on(part.entry.on()));
        }
    }
    for facts in &context.derived.packages {
        claimed_corner(context, facts.package, findings);
    }
    too_short(context, findings);
}

/// Where a curve rises first, at the flow that rose.
fn rising(context: &Context, part: &Compressor, supply: &Supply) -> Option<Finding> {
    let points = supply.curve.known()?;
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let mut sorted: Vec<(f64, f64, &Point)> = points
        .iter()
        .map(|point| {
            let pressure = flow::gauge(&point.pressure, taken.pressure).value();
            let free = flow::free_air(point.flow.si(), point.flow.dimension(), &taken, standard);
            (pressure, free.value(), point)
        })
        .collect();
    sorted.sort_by(|a, b| a.0.total_cmp(&b.0));
    for pair in sorted.windows(2) {
        let [(low, before, first), (high, after, second)] = pair else {
            continue;
        };
        let twice = high - low <= 1e-9 * high.abs() && before != after;
        if *after <= *before && !twice {
            continue;
        }
        let (pressure, flow) = (second.pressure.text(), second.flow.text());
        let (low, before) = (first.pressure.text(), first.flow.text());
        let message = if twice {
            format!("At {pressure} the curve has two flows, {before} and {flow}.")
        } else {
            format!(
                "The flow grows from {before} at {low} to {flow} at {pressure}: against more pressure a compressor \
                 gives less air."
            )
        };
        let users = context.users(part.entry.kind, &part.entry.id);
        return Some(
            Finding::new(&RULES[0], second.flow.at, message)
                .mend(format!(
                    "Until this is fixed, the curve isn't used{}.",
                    super::touches(&users)
                ))
                .related(first.flow.at, "the flow at the lower pressure")
                .on(part.entry.on()),
        );
    }
    None
}

/// Rated flow, open flow, greatest pressure and the pressure of the watts against the curve of one supply. All but
/// the watts are stated for the first.
fn nameplate(
    part: &Compressor,
    supply: &Supply,
    curve: &Curve,
    taken: &Air,
    findings: &mut Vec<Finding>,
) {
    let standard = flow::counts_standard(part);
    let last = curve.last_pressure().value();
    let system = |figure: &Figure| System::of(figure.quantity.unit()).unwrap_or(System::Metric);
    let listed = supply.curve.known().and_then(|points| points.first());
    let listed = listed.map_or(part.entry.header, |point| point.flow.at);
    let is_first = supply::is_first(part, supply);
    let mut flow = |figure: &Figure, name: &str, at: GaugePressure| {
        let Some(by_curve) = curve.flow(at).map(|flow| flow.value()) else {
            return;
        };
        let stated = flow::free_air(figure.si(), figure.dimension(), taken, standard).value();
        let apart = (stated - by_curve).abs() / by_curve.max(1e-12);
        if apart <= MOST_APART {
            return;
        }
        let curve_flow = show(Dimension::VolumeFlow, by_curve, system(figure));
        let pressure = show(Dimension::GaugePressure, at.value(), system(figure));
        findings.push(
            Finding::new(
                &RULES[2],
                figure.at,
                format!(
                    "{name} is {}, but the curve gives {curve_flow} at {pressure}.",
                    figure.text()
                ),
            )
            .mend("One of the two figures isn't for this machine, or not at this pressure.")
            .related(listed, "the curve")
            .evidence([Evidence::derived(
                "flow by the curve",
                Value::Quantity(by_curve, Dimension::VolumeFlow),
                "monotone cubic through the curve's points (Fritsch & Butland 1984)",
                Mark::Published,
            )])
            .on(part.entry.on()),
        );
    };
    let rated = part
        .rated
        .known()
        .filter(|rated| is_first && !machine::is_corner(part, rated))
        .and_then(|rated| Some((rated, rated.conditions.pressure.as_deref()?)));
    if let Some((rated, pressure)) = rated {
        let at = flow::gauge(pressure, taken.pressure);
        flow(rated, "The rated flow", at);
    }
    if let Given::Known(open) = &part.open_flow
        && is_first
        && curve.first_pressure().value() <= 0.0
    {
        flow(open, "The open flow", GaugePressure::pascals(0.0));
    }
    if !curve.reaches_shut_off() {
        return;
    }
    let greatest = part.max_pressure.known().filter(|_| is_first).map(|max| {
        let mend =
            "State the pressure the machine may hold while it delivers air. The pressure at which its flow ends is no rating.";
        (max, "The greatest continuous pressure", mend)
    });
    let rated = rated.map(|(_, at)| {
        let mend = "One of the two figures isn't for this machine.";
        (at, "The pressure of the rated flow", mend)
    });
    let watts = supply.power.known().and_then(|power| {
        let at = power.conditions.pressure.as_deref()?;
        let mend = "Watts are stated at a pressure at which the machine delivers air.";
        Some((at, "The pressure of the stated watts", mend))
    });
    for (figure, name, mend) in greatest.into_iter().chain(rated).chain(watts) {
        if flow::gauge(figure, taken.pressure).value() > last * (1.0 + 1e-9) {
            let shut_off = show(Dimension::GaugePressure, last, system(figure));
            findings.push(
                Finding::new(
                    &RULES[2],
                    figure.at,
                    format!(
                        "{name} is {}, but by the curve no air flows at {shut_off} or above.",
                        figure.text()
                    ),
                )
                .mend(mend)
                .related(listed, "the curve")
                .on(part.entry.on()),
            );
        }
    }
}

/// The two ends of a curve quoted as one point.
fn corner(figure: &Figure, max: Span) -> Finding {
    let at = figure.conditions.pressure.as_deref();
    let at = at.map_or("", |pressure| pressure.text());
    Finding::new(
        &RULES[3],
        figure.at,
        format!(
            "{} at {at} pairs the open flow with the greatest pressure: no machine gives both at once.",
            figure.text()
        ),
    )
    .mend("State the flow that was measured at that pressure, or the curve.")
    .related(max, "the greatest pressure")
}

/// A package's flow that pairs what its compressors give against nothing with their greatest pressure.
fn claimed_corner(context: &Context, package: &Package, findings: &mut Vec<Finding>) {
    let claimed = package.claims.flow.known().map_or(&[][..], |rows| rows);
    let uses = package.compressor.known().map_or(&[][..], |uses| uses);
    let parts: Option<Vec<(&Compressor, &Supply, f64)>> = uses
        .iter()
        .map(|one| {
            let part = context.catalog.compressors.get(&one.part.id)?;
            let supply = supply::of(context.catalog, package, Way::Own, part).ok()?;
            Some((part, supply, f64::from(one.count)))
        })
        .collect();
    let Some((parts, &(first, ..))) = parts.as_deref().and_then(|all| Some((all, all.first()?)))
    else {
        return;
    };
    let open = parts
        .iter()
        .map(|(part, supply, count)| Some(machine::open_flow(part, supply)? * count))
        .sum::<Option<f64>>();
    let most = parts
        .iter()
        .map(|(part, ..)| machine::max_pressure(part))
        .reduce(|a, b| Some(a?.min(b?)))
        .flatten();
    let catalog = context.catalog;
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    for figure in claimed {
        let free = flow::free_air(figure.si(), figure.dimension(), &site, false).value();
        let each = if figure.per_diffuser {
            f64::from(package.diffuser_count())
        } else {
            1.0
        };
        let at = figure.conditions.pressure.as_deref();
        let at = at.map(|at| flow::gauge(at, site.pressure).value());
        if machine::is_corner_pair(free * each, at, open, most) {
            let max = context.place(&first.entry, "max_pressure");
            findings.push(corner(figure, max).on(package.entry.on()));
        }
    }
}

/// Packages whose duty point lies beyond what is known of the machine: one finding for each package,
/// at the curve's last point.
fn too_short(context: &Context, findings: &mut Vec<Finding>) {
    use crate::derive::Corner;
    for facts in &context.derived.packages {
        let beyond = facts.ways.iter().find_map(|way| {
            let solver = way.solver.as_ref().ok()?;
            let settled = solver.corner(Corner::Central)?;
            Some((solver, settled.beyond()?))
        });
        let Some((solver, last)) = beyond else {
            continue;
        };
        let Some(machine) = solver.plant.machines.first() else {
            continue;
        };
        let point = machine.supply.curve.known().and_then(|points| {
            points
                .iter()
                .max_by(|a, b| a.pressure.si().total_cmp(&b.pressure.si()))
        });
        let place = point.map_or(machine.part.entry.header, |point| point.pressure.at);
        let depth = solver.plant.deepest();
        findings.push(
            Finding::new(
                &RULES[1],
                place,
                format!(
                    "The curve of {} ends at {}, and {} needs more at {}, where the flow isn't known.",
                    machine.part.entry.id,
                    show(Dimension::GaugePressure, last, facts.system),
                    subject(facts.package),
                    show(Dimension::Length, depth, facts.system),
                ),
            )
            .mend("Add the curve's points up to the pressure at which no air flows.")
            .related(context.place(&facts.package.entry, "claim.depth"), "the depth that needs it")
            .on(facts.package.entry.on()),
        );
    }
}
