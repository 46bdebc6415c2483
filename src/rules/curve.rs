//! Is a compressor's curve a possible one, and does it agree with its nameplate.

use crate::catalog::{Compressor, Figure, Given, Point};
use crate::derive::flow::{self, Air};
use crate::derive::laying::{self, Curve};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
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
    speaks: "rated flow, open flow or greatest pressure contradicts the curve",
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
/// Open flow and a flow quoted at the greatest pressure are the same within this.
const CORNER_SHARE: f64 = 0.03;

fn check(context: &Context, findings: &mut Vec<Finding>) {
    for part in context.catalog.compressors.iter() {
        if let Given::Known(points) = &part.supply.curve
            && !rising(context, part, points, findings)
        {
            let taken = Air::of_curve(&part.conditions);
            if let Ok(curve) = laying::curve(part, &taken) {
                nameplate(context, part, &curve, &taken, findings);
            }
        }
        corner(context, part, findings);
    }
    too_short(context, findings);
}

/// Whether a curve rises; the first rise is reported at the flow that rose.
fn rising(
    context: &Context,
    part: &Compressor,
    points: &[Point],
    findings: &mut Vec<Finding>,
) -> bool {
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
        if after > before || twice {
            let message = if twice {
                format!(
                    "At {} the curve has two flows, {} and {}.",
                    second.pressure.text(),
                    first.flow.text(),
                    second.flow.text()
                )
            } else {
                format!(
                    "The flow grows from {} at {} to {} at {}: against more pressure a compressor gives less air.",
                    first.flow.text(),
                    first.pressure.text(),
                    second.flow.text(),
                    second.pressure.text()
                )
            };
            let users = context.users(part.entry.kind, &part.entry.id);
            findings.push(
                Finding::new(&RULES[0], second.flow.at, message)
                    .mend(format!(
                        "Until it is mended the curve isn't used{}.",
                        super::touches(&users)
                    ))
                    .related(first.flow.at, "the flow at the lower pressure")
                    .on(part.entry.on()),
            );
            return true;
        }
    }
    false
}

/// Rated flow, open flow and greatest pressure against the curve.
fn nameplate(
    context: &Context,
    part: &Compressor,
    curve: &Curve,
    taken: &Air,
    findings: &mut Vec<Finding>,
) {
    let standard = flow::counts_standard(part);
    let free =
        |figure: &Figure| flow::free_air(figure.si(), figure.dimension(), taken, standard).value();
    let mut disagreement = |figure: &Figure, name: &str, at: GaugePressure, system: System| {
        let Some(by_curve) = curve.flow(at).map(|flow| flow.value()) else {
            return;
        };
        let stated = free(figure);
        let apart = (stated - by_curve).abs() / stated.abs().max(by_curve).max(1e-12);
        if apart > MOST_APART {
            let curve_flow = show(Dimension::VolumeFlow, by_curve, system);
            let pressure = show(Dimension::GaugePressure, at.value(), system);
            findings.push(
                Finding::new(
                    &RULES[2],
                    figure.at,
                    format!(
                        "{name} is {}, but the curve gives {curve_flow} at {pressure}.",
                        figure.text()
                    ),
                )
                .mend("One of the two isn't of this machine, or not at this pressure.")
                .evidence([
                    Evidence::derived(
                        "flow by the curve",
                        Value::Quantity(by_curve, Dimension::VolumeFlow),
                        "monotone cubic through the curve's points (Fritsch & Butland 1984)",
                        Mark::Published,
                    ),
                    Evidence::derived(
                        "apart",
                        Value::Number(apart * 100.0, "%".into()),
                        "the two",
                        Mark::Exact,
                    ),
                ])
                .on(part.entry.on()),
            );
        }
    };
    let system = System::of;
    if let Given::Known(rated) = &part.rated
        && let Some(pressure) = &rated.conditions.pressure
        && !is_corner(part, rated)
    {
        let system = system(rated.quantity.unit()).unwrap_or(System::Metric);
        disagreement(
            rated,
            "The rated flow",
            flow::gauge(pressure, taken.pressure),
            system,
        );
    }
    if let Given::Known(open) = &part.open_flow
        && curve.first_pressure().value() <= 0.0
    {
        let system = system(open.quantity.unit()).unwrap_or(System::Metric);
        disagreement(open, "The open flow", GaugePressure::pascals(0.0), system);
    }
    if let Given::Known(max) = &part.max_pressure {
        let most = flow::gauge(max, taken.pressure).value();
        let last = curve.last_pressure().value();
        if curve.reaches_shut_off() && most > last * (1.0 + 1e-9) {
            let system = system(max.quantity.unit()).unwrap_or(System::Metric);
            findings.push(
                Finding::new(
                    &RULES[2],
                    max.at,
                    format!(
                        "The greatest continuous pressure is {}, but by the curve no air flows from {} on.",
                        max.text(),
                        show(Dimension::GaugePressure, last, system)
                    ),
                )
                .mend("State the pressure the machine may hold while it delivers air; shut-off is no rating.")
                .related(context.place(&part.entry, "curve"), "the curve")
                .on(part.entry.on()),
            );
        }
    }
}

/// Whether the rated flow is the open flow quoted at the greatest pressure.
fn is_corner(part: &Compressor, rated: &Figure) -> bool {
    let taken = Air::of_curve(&part.conditions);
    let standard = flow::counts_standard(part);
    let free =
        |figure: &Figure| flow::free_air(figure.si(), figure.dimension(), &taken, standard).value();
    let open = match (&part.open_flow, &part.supply.curve) {
        (Given::Known(open), _) => free(open),
        (_, Given::Known(points)) => {
            let first = points.iter().find(|point| point.pressure.si() == 0.0);
            match first {
                Some(point) => free(&point.flow),
                None => return false,
            }
        }
        _ => return false,
    };
    let (Given::Known(max), Some(at)) = (&part.max_pressure, &rated.conditions.pressure) else {
        return false;
    };
    let at = flow::gauge(at, taken.pressure).value();
    let most = flow::gauge(max, taken.pressure).value();
    most > 0.0 && at >= most * (1.0 - 1e-9) && (free(rated) / open - 1.0).abs() <= CORNER_SHARE
}

/// The two ends of a curve quoted as one point.
fn corner(context: &Context, part: &Compressor, findings: &mut Vec<Finding>) {
    let Given::Known(rated) = &part.rated else {
        return;
    };
    if !is_corner(part, rated) {
        return;
    }
    let at = rated
        .conditions
        .pressure
        .as_ref()
        .map_or("", |pressure| pressure.text());
    findings.push(
        Finding::new(
            &RULES[3],
            rated.at,
            format!(
                "{} at {at} pairs the open flow with the greatest pressure: no machine gives both at once.",
                rated.text()
            ),
        )
        .mend("State the flow that was measured at that pressure, or the curve.")
        .related(context.place(&part.entry, "max_pressure"), "the greatest pressure")
        .on(part.entry.on()),
    );
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
        let point = machine.part.supply.curve.known().and_then(|points| {
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
                    "The curve of {} ends at {}, and {} needs more at {}: what flows there isn't known.",
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
