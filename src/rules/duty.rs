//! At the claimed depth: the compressor's pressure, the air at each diffuser, the balance between
//! branches, the start against full lines.

use crate::claims::{Claim, Outcome, Verdict};
use crate::derive::solver::Settled;
use crate::derive::{Corner, PackageFacts, Solver, Way, WayFacts};
use crate::finding::{Evidence, Finding, Level, Rule, Value};
use crate::units::show::{show, show_in, significant};
use crate::units::{Dimension, Mark, System};

use super::{Asked, Context, Family, on_way};

static RULES: &[Rule] = &[
    OVER_PRESSURE,
    STARVED,
    FLOODED,
    UNBALANCED,
    START_UP,
    MARGIN,
];

const OVER_PRESSURE: Rule = Rule {
    name: "duty.over-pressure",
    level: Level::Error,
    speaks: "with an option's airline the compressor would run above its continuous pressure",
};
const STARVED: Rule = Rule {
    name: "duty.starved",
    level: Level::Error,
    speaks: "a diffuser gets less than its working range, or nothing",
};
const FLOODED: Rule = Rule {
    name: "duty.above-range",
    level: Level::Warning,
    speaks: "a diffuser gets more than its working range",
};
const UNBALANCED: Rule = Rule {
    name: "duty.unbalanced",
    level: Level::Warning,
    speaks: "branches differ by more than a quarter with all valves open",
};
const START_UP: Rule = Rule {
    name: "duty.start-up",
    level: Level::Warning,
    speaks: "the compressor's last pressure is too little to start against full lines",
};

const MARGIN: Rule = Rule {
    name: "duty.margin",
    level: Level::Note,
    speaks: "a depth that holds new and not after a season's wear",
};

pub const FAMILY: Family = Family {
    name: "duty",
    rules: RULES,
    page: include_str!("duty.md"),
    check,
};

fn check(context: &Context, findings: &mut Vec<Finding>) {
    context.of_each_package(Asked::Duty, findings, |facts, findings| {
        let duty = Duty { context, facts };
        duty.over_pressure(findings);
        duty.each_way(findings);
        duty.unbalanced(findings);
        duty.starting(findings);
        duty.margin(findings);
    });
}

/// Branches that differ by more than this aren't in balance.
pub(super) const UNEVEN: f64 = 1.25;

/// One package's duty points, looked at.
struct Duty<'a> {
    context: &'a Context<'a>,
    facts: &'a PackageFacts<'a>,
}

/// How a limit fares at a bad corner, the centre and a good corner.
#[derive(Clone, Copy, PartialEq)]
enum Fails {
    Everywhere,
    AtTheCentre,
    Not,
}

fn fails(bad: Option<bool>, centre: Option<bool>, good: Option<bool>) -> Fails {
    match (bad, centre, good) {
        // Of a machine without a curve the centre isn't known; what fails at its best fails there too.
        (Some(true), Some(true) | None, Some(true)) => Fails::Everywhere,
        (_, Some(true), _) => Fails::AtTheCentre,
        _ => Fails::Not,
    }
}

impl<'a> Duty<'a> {
    fn system(&self) -> System {
        self.facts.system
    }

    fn pressure(&self, pascals: f64) -> String {
        show(Dimension::GaugePressure, pascals, self.system())
    }

    fn air(&self, cubic_metres_per_second: f64) -> String {
        show(
            Dimension::VolumeFlow,
            cubic_metres_per_second,
            self.system(),
        )
    }

    fn depth_words(&self, solver: &Solver) -> String {
        show(Dimension::Length, solver.plant.deepest(), self.system())
    }

    /// Pressure above the continuous rating, where no promise says so.
    fn over_pressure(&self, findings: &mut Vec<Finding>) {
        for way in &self.facts.ways {
            let Ok(solver) = &way.solver else { continue };
            let Some(most) = solver.plant.max_pressure() else {
                continue;
            };
            let Some(centre) = solver.corner(Corner::Central) else {
                continue;
            };
            let over = |corner: Corner| {
                let settled = solver.corner(corner)?;
                let known = settled.pressure().map(|pressure| pressure > most);
                known.or(settled.beyond().filter(|&last| last > most).map(|_| true))
            };
            let verdict = fails(
                over(Corner::GreatestPressure),
                over(Corner::Central),
                over(Corner::LeastPressure),
            );
            // A buyer's own airline is judged by its length.
            if verdict == Fails::Not
                || centre.is_dry()
                || matches!(way.way, Way::Allowed(..))
                || self.told_by_a_promise(way)
            {
                continue;
            }
            findings.push(self.one_over(way, solver, &centre, most, verdict));
        }
    }

    fn one_over(
        &self,
        way: &WayFacts,
        solver: &Solver,
        centre: &Settled,
        most: f64,
        verdict: Fails,
    ) -> Finding {
        let pressure = centre.pressure().unwrap_or(most);
        let machine = solver
            .plant
            .machines
            .first()
            .map_or("", |machine| machine.part.entry.id.as_str());
        let corner = |corner: Corner| {
            solver
                .corner(corner)
                .and_then(|settled| settled.pressure())
                .unwrap_or(f64::NAN)
        };
        let figure = |name: &'static str, pascals: f64, mark: Mark| {
            let value = Value::Quantity(pascals, Dimension::GaugePressure);
            Evidence::derived(
                name,
                value,
                "duty point of compressor, lines and diffusers",
                mark,
            )
        };
        Finding::new(
            &OVER_PRESSURE,
            self.context.place_of_way(self.facts.package, way.way),
            format!(
                "With this airline and a depth of {}, compressor {machine} would run at {}; its continuous limit is {}.",
                self.depth_words(solver),
                self.pressure(pressure),
                self.pressure(most)
            ),
        )
        .level(if verdict == Fails::Everywhere { Level::Error } else { Level::Warning })
        .mend("Use a larger bore or a shorter line, shallower water, or a compressor with a higher continuous pressure.")
        .evidence([
            figure("pressure, central", pressure, Mark::Published),
            figure("pressure at the least", corner(Corner::LeastPressure), Mark::Judgement),
            figure("pressure at the most", corner(Corner::GreatestPressure), Mark::Judgement),
        ])
        .on(on_way(self.facts.package, way.way))
    }

    /// Whether a promise of the package says of this way what pressure or air would say here: its depth, or the
    /// length of the line that comes with the option. The promise is told, and this is its explanation.
    fn told_by_a_promise(&self, way: &WayFacts) -> bool {
        let package = &self.facts.package.entry.id;
        let own = self.context.by_package.get(package);
        let option = way.way.option().map(|option| option.id.as_str());
        let speaks = |one: &Verdict| {
            one.outcome == Outcome::Contradicted || one.within_rating == Some(false)
        };
        own.filter(|one| speaks(one)).any(|one| match one.claim {
            Claim::Depth => true,
            Claim::AirlineLength => {
                one.option.as_deref() == option
                    && one
                        .deciding()
                        .is_some_and(|by| by.holds_centrally == Some(false))
            }
            _ => false,
        })
    }

    /// Air at each diffuser, one finding for each option.
    fn each_way(&self, findings: &mut Vec<Finding>) {
        let mut told: Vec<(&str, &str)> = Vec::new();
        for way in &self.facts.ways {
            let Ok(solver) = &way.solver else { continue };
            let shown = [Corner::Central, Corner::GreatestFlow];
            let Some(centre) = shown.iter().find_map(|corner| solver.corner(*corner)) else {
                continue;
            };
            // Entries of what the buyer may fit differ in length, which is judged by itself; the first
            // stands for the option.
            let option = way.way.option().map_or("", |option| option.id.as_str());
            let mut once = |rule: &'static str, finding: Option<Finding>| {
                if let Some(finding) = finding
                    && !told.contains(&(option, rule))
                {
                    told.push((option, rule));
                    findings.push(finding);
                }
            };
            let starved = self.starved(way, solver, &centre);
            once("starved", starved.filter(|_| !self.told_by_a_promise(way)));
            once("above-range", self.above_range(way, solver, &centre));
        }
    }

    /// Air at the least-fed diffuser, over its least, at a corner.
    fn least_share(&self, solver: &Solver, corner: Corner) -> Option<f64> {
        let shares = solver.corners(corner).map(|settled| {
            let (_, amount, least) = settled.least_fed()?;
            Some(if least > 0.0 {
                amount / least
            } else if amount > 0.0 {
                f64::INFINITY
            } else {
                0.0
            })
        });
        let pick = match corner {
            Corner::LeastFlow => f64::min,
            _ => f64::max,
        };
        shares.reduce(|a, b| Some(pick(a?, b?))).flatten()
    }

    fn starved(&self, way: &WayFacts, solver: &Solver, centre: &Settled) -> Option<Finding> {
        let less = |corner| self.least_share(solver, corner).map(|share| share < 1.0);
        let verdict = fails(
            less(Corner::LeastFlow),
            less(Corner::Central),
            less(Corner::GreatestFlow),
        );
        if verdict == Fails::Not {
            return None;
        }
        let (label, amount, least) = centre.least_fed()?;
        let outlet = &solver.plant.outlets[label];
        let density = centre.inlet_density;
        let depth = show(Dimension::Length, outlet.depth, self.system());
        let id = &outlet.part.entry.id;
        let message = if amount <= 0.0 {
            format!(
                "At {depth} no air leaves diffuser {id}: the compressor's pressure is too low for that depth."
            )
        } else {
            format!(
                "At {depth} diffuser {id} gets {}, and its working range starts at {}.",
                self.air(amount / density),
                self.air(least / density)
            )
        };
        let supply = |corner: Corner| {
            let settled = solver.corner(corner)?;
            let (_, amount, _) = settled.least_fed()?;
            Some(amount / settled.inlet_density)
        };
        let figure = |name: &'static str, flow: Option<f64>, mark: Mark| {
            let value = Value::Quantity(flow.unwrap_or(f64::NAN), Dimension::VolumeFlow);
            Evidence::derived(
                name,
                value,
                "duty point of compressor, lines and diffusers",
                mark,
            )
        };
        let mut finding = Finding::new(
            &STARVED,
            self.context.place_of_way(self.facts.package, way.way),
            message,
        )
        .level(if verdict == Fails::Everywhere {
            Level::Error
        } else {
            Level::Warning
        })
        .evidence([
            figure("air, central", Some(amount / density), Mark::Published),
            figure(
                "air at the least",
                supply(Corner::LeastFlow),
                Mark::Judgement,
            ),
            figure(
                "air at the most",
                supply(Corner::GreatestFlow),
                Mark::Judgement,
            ),
        ])
        .on(on_way(self.facts.package, way.way));
        if let Some(range) = outlet.part.flow.known() {
            finding = finding.related(range.at, "its working range");
        }
        finding.mend = if centre.throttled.is_some() {
            "No valve setting helps: the machine gives too little air.".into()
        } else {
            "Use fewer diffusers, a shorter run or a larger bore, or a machine with more air at this pressure.".into()
        };
        Some(finding)
    }

    fn above_range(&self, way: &WayFacts, solver: &Solver, centre: &Settled) -> Option<Finding> {
        // Where valves can even unlike branches, what they make of it counts; without a most nothing is
        // too much.
        let share = |settled: &Settled| {
            let outlets = settled.duty().outlets.iter();
            outlets
                .filter_map(|outlet| {
                    let least = Some(settled.least[outlet.label]).filter(|least| *least > 0.0);
                    let evened = settled.throttled.zip(least);
                    let amount = evened.map_or(outlet.amount.value(), |(throttled, least)| {
                        throttled.share * least
                    });
                    Some((outlet.label, amount / settled.most[outlet.label]?))
                })
                .max_by(|a, b| a.1.total_cmp(&b.1))
        };
        let more = |corner: Corner| {
            let settled = solver.corner(corner)?;
            share(&settled).map(|(_, share)| share > 1.0)
        };
        let verdict = fails(
            more(Corner::GreatestFlow),
            more(Corner::Central),
            more(Corner::LeastFlow),
        );
        if verdict == Fails::Not {
            return None;
        }
        let (label, over) = share(centre)?;
        let outlet = &solver.plant.outlets[label];
        let most = centre.most[label]? / centre.inlet_density;
        let depth = show(Dimension::Length, outlet.depth, self.system());
        Some(
            Finding::new(
                &FLOODED,
                self.context.place_of_way(self.facts.package, way.way),
                format!(
                    "At {depth} diffuser {} gets {}, and its working range ends at {}.",
                    outlet.part.entry.id,
                    self.air(most * over),
                    self.air(most)
                ),
            )
            .level(Level::Warning)
            .mend("Bubbles grow coarse and the pressure loss rises. Use more diffusers, or bleed air at the manifold.")
            .evidence([Evidence::derived(
                "air over the most of its range",
                Value::Number(over, "".into()),
                "duty point of compressor, lines and diffusers",
                Mark::Published,
            )])
            .on(on_way(self.facts.package, way.way)),
        )
    }

    /// The way whose branches differ most; the others have the same cause.
    fn unbalanced(&self, findings: &mut Vec<Finding>) {
        let ratio = |way: &WayFacts| {
            let settled = way.solver.as_ref().ok()?.corner(Corner::Central)?;
            let flows = || settled.duty().outlets.iter().map(|one| one.amount.value());
            let (most, least) = (
                flows().fold(0.0, f64::max),
                flows().fold(f64::MAX, f64::min),
            );
            if least > 0.0 {
                (most / least > UNEVEN).then_some(most / least)
            } else {
                // Where no valve can help it, a branch that gets nothing starves, which is told by itself.
                (most > 0.0 && settled.throttled.is_some()).then_some(f64::INFINITY)
            }
        };
        let worst = self
            .facts
            .ways
            .iter()
            .filter_map(|way| Some((way, ratio(way)?)))
            .reduce(|a, b| if b.1 > a.1 { b } else { a });
        if let Some((way, ratio)) = worst {
            findings.extend(self.one_unbalanced(way, ratio));
        }
    }

    fn one_unbalanced(&self, way: &WayFacts, ratio: f64) -> Option<Finding> {
        let solver = way.solver.as_ref().ok()?;
        let centre = solver.corner(Corner::Central)?;
        let package = self.facts.package;
        let option = way
            .way
            .option()
            .map_or(String::new(), |option| format!(" (option {})", option.id));
        let mut finding = Finding::new(
            &UNBALANCED,
            self.context.place(&package.entry, "diffuser"),
            if ratio.is_finite() {
                format!(
                    "With all valves open, the run with the least resistance gets {} times as much air as the one with the most{option}.",
                    significant(ratio, 2)
                )
            } else {
                format!("With all valves open, the run with the most resistance gets no air{option}.")
            },
        )
        .on(package.entry.on());
        let setting = solver.evened();
        finding.mend = match setting {
            Some(evened) => {
                let mut runs: Vec<String> = evened
                    .iter()
                    .filter_map(|one| {
                        let kv = one.kv?;
                        let outlet = &solver.plant.outlets[one.label];
                        Some(format!(
                            "the valve of {} at {} (to a Kv of about {}, Cv {})",
                            outlet.part.entry.id,
                            show(Dimension::Length, outlet.depth, self.system()),
                            significant(kv, 2),
                            significant(one.cv.unwrap_or(f64::NAN), 2)
                        ))
                    })
                    .collect();
                runs.dedup();
                if runs.is_empty() {
                    "Valves can balance them.".into()
                } else {
                    format!(
                        "To balance them, close {} little by little until all diffusers bubble alike.",
                        runs.join(" and ")
                    )
                }
            }
            None => "Valves at the manifold can balance them.".into(),
        };
        for outlet in &centre.duty().outlets {
            let part = &solver.plant.outlets[outlet.label];
            finding.evidence.push(Evidence::derived(
                format!(
                    "air at {}, {} deep",
                    part.part.entry.id,
                    show(Dimension::Length, part.depth, self.system())
                ),
                Value::Quantity(outlet.free_air.value(), Dimension::VolumeFlow),
                "duty point of compressor, lines and diffusers",
                Mark::Published,
            ));
        }
        Some(finding)
    }

    /// A claimed depth that the package reaches as delivered and not after a season.
    fn margin(&self, findings: &mut Vec<Finding>) {
        let package = &self.facts.package.entry;
        let own = self.context.by_package.get(&package.id);
        let depths = own.filter(|one| one.claim == Claim::Depth);
        for verdict in depths {
            let Some(worn) = &verdict.in_service else {
                continue;
            };
            let new = verdict.outcome == Outcome::Supported || verdict.within_rating == Some(true);
            let ([_, Some(usual), _], Some(rated)) = (worn.depth, verdict.rated) else {
                continue;
            };
            if !new || worn.holds != Some(false) {
                continue;
            }
            let length = |si: f64| show_in(verdict.unit, si, 3);
            let figure = |name: &'static str, si: Option<f64>| {
                si.map(|si| {
                    let value = Value::Quantity(si, Dimension::Length);
                    Evidence::derived(
                        name,
                        value,
                        "the same plant with a season's wear",
                        Mark::Judgement,
                    )
                })
            };
            findings.push(
                Finding::new(
                    &MARGIN,
                    verdict.at,
                    format!(
                        "New, the package reaches {}; after a season it reaches {}, less than the {} claimed.",
                        length(rated),
                        length(usual),
                        verdict.stated
                    ),
                )
                .mend("Claim the depth it still reaches in service, or state the service that keeps the depth.")
                .evidence(
                    [
                        figure("depth reached new", Some(rated)),
                        figure("depth reached after a season, most wear", worn.depth[0]),
                        figure("depth reached after a season, usual wear", worn.depth[1]),
                        figure("depth reached after a season, least wear", worn.depth[2]),
                    ]
                    .into_iter()
                    .flatten(),
                )
                .on(package.on()),
            );
        }
    }

    /// Shut-off against what starting with water in the lines takes: the head over the deepest
    /// diffuser, its loss carried to no flow, and the check valve's opening.
    fn starting(&self, findings: &mut Vec<Finding>) {
        let Some((solver, settled)) = self.facts.ways.iter().find_map(|way| {
            let solver = way.solver.as_ref().ok()?;
            Some((solver, solver.corner(Corner::Central)?))
        }) else {
            return;
        };
        let Some(start) = solver.start_pressure() else {
            return;
        };
        let last = solver
            .plant
            .machines
            .iter()
            .map(|machine| machine.curve.last_pressure().value())
            .fold(0.0, f64::max);
        // Where no air comes through at all, the depth is at fault and told there; where the curve ends
        // before the duty point, the curve is.
        if last >= 1.1 * start || settled.is_dry() || settled.beyond().is_some() {
            return;
        }
        let package = self.facts.package;
        findings.push(
            Finding::new(
                &START_UP,
                self.context.place(&package.entry, "claim.depth"),
                format!(
                    "Starting against lines full of water takes {}, and the curve ends at {}: less than a tenth to spare.",
                    self.pressure(start),
                    self.pressure(last)
                ),
            )
            .mend("Start with a valve open to the air, or state the pressure the machine reaches at start-up.")
            .evidence([
                Evidence::derived(
                    "pressure to start",
                    Value::Quantity(start, Dimension::GaugePressure),
                    "water head, the diffuser's loss at no flow and the check valve's opening",
                    Mark::Judgement,
                ),
                Evidence::derived(
                    "the curve's last pressure",
                    Value::Quantity(last, Dimension::GaugePressure),
                    "the catalog",
                    Mark::Stated,
                ),
            ])
            .on(package.entry.on()),
        );
    }
}
