//! From a catalog's statements to a plant: which run goes to which diffuser, what each is made of.

use crate::assumptions::Name;
use crate::catalog::{
    Airline, AirlineUse, Catalog, Diffuser, DiffuserUse, End as PartEnd, Figure, Given, Package,
    Reference,
};
use crate::physics::network::Bleed;
use crate::units::Dimension;

use super::flow::{self, Air};
use super::missing::Missing;
use super::pipe;
use super::plant::{
    CheckValves, InletRise, Least, Plant, PlantLine, PlantMachine, PlantOutlet, are_alike,
};
use super::way::Way;

impl<'c> Plant<'c> {
    /// What the catalog says of one way to buy a package.
    ///
    /// # Errors
    /// The fact that is missing or unusable.
    pub fn of(
        catalog: &'c Catalog,
        package: &'c Package,
        way: Way<'c>,
    ) -> Result<Plant<'c>, Missing> {
        let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
        let machines = machines(catalog, package, way)?;
        let manifold = way.manifold_part(catalog, package);
        if let (Given::Known(named), None) = (way.manifold(package), manifold) {
            return Err(unknown("manifold", &named.part));
        }
        let manifold_end = manifold.and_then(|part| part.outlet.known());
        let first = machines.first().map(|machine| machine.part);
        let outlet_end = first.and_then(|part| part.outlet.known());
        let line_start = if manifold.is_some() {
            manifold_end
        } else {
            outlet_end
        };
        let checks = check_valves(catalog, package)?;
        let outlets = outlets(&Laying {
            catalog,
            package,
            way,
            site: &site,
            line_start,
            checks,
        })?;
        let (trunk, trunk_barbed) = match way.option().map(|option| &option.trunk) {
            Some(Given::Known(trunk)) => {
                let inlet = manifold.and_then(|part| part.inlet.known());
                let barbed = is_barb(outlet_end) || is_barb(inlet);
                (lines(catalog, trunk)?, barbed)
            }
            Some(Given::Unreadable) => {
                return Err(Missing::unusable("the trunk line", None).of_key("trunk"));
            }
            _ => (Vec::new(), false),
        };
        let outlet_kv = manifold.and_then(|part| {
            let cv = part
                .cv
                .known()
                .map(|cv| cv.value * crate::physics::valve::KV_PER_CV);
            part.kv.known().map(|kv| kv.value).or(cv)
        });
        let bleed = package.bleed.known().map(|figure| {
            let flow = flow::free_air(figure.si(), figure.dimension(), &site, false);
            match &figure.conditions.pressure {
                Some(at) => Bleed::Orifice {
                    at: flow::gauge(at, site.pressure),
                    flow,
                },
                None => Bleed::Constant { flow },
            }
        });
        let has_depth = outlets.iter().all(|outlet| outlet.own_depth.is_some());
        Ok(Plant {
            machines,
            trunk,
            trunk_barbed,
            outlets,
            has_valves: manifold.is_some_and(|part| part.has_valves()),
            outlet_kv,
            bleed,
            flow_times: 1.0,
            site,
            inlet_rise: inlet_rise(catalog, package, way),
            water: catalog.site.water_k(),
            has_depth,
        })
    }
}

/// How much warmer a cabinet makes the air that is drawn in; without one not at all.
fn inlet_rise(catalog: &Catalog, package: &Package, way: Way) -> InletRise {
    if way.cabinet(package).is_absent() {
        return InletRise::Known(0.0);
    }
    super::heat::cabinet(catalog, package, way)
        .map_or(InletRise::Unknown, |heat| InletRise::Known(heat.rise))
}

fn is_barb(end: Option<&PartEnd>) -> bool {
    end.is_some_and(PartEnd::is_barb)
}

/// The compressors of a way with their curves.
///
/// # Errors
/// What is missing or unusable of the first that can't be taken.
pub fn machines<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Result<Vec<PlantMachine<'c>>, Missing> {
    let uses = match way.compressors(package) {
        Given::Known(uses) => uses,
        Given::Unreadable => {
            return Err(Missing::unusable("the compressor", None).of_key("compressor"));
        }
        Given::Absent => {
            return Err(
                Missing::unusable("the compressor", Some(package.entry.header))
                    .of_key("compressor"),
            );
        }
    };
    uses.iter()
        .map(|one| {
            let part = catalog
                .compressors
                .get(&one.part.id)
                .ok_or_else(|| unknown("compressor", &one.part))?;
            let taken_in = Air::of_curve(&part.conditions);
            let supply = super::supply::of(catalog, package, way, part)?;
            let (curve, at_least) = match super::nameplate::bounds(part, supply, &taken_in) {
                Some(bounds) => (bounds.most, Some(bounds.least)),
                None => (super::machine::curve(part, supply, &taken_in)?, None),
            };
            let max_pressure = super::machine::may_hold(part);
            Ok(PlantMachine {
                part,
                supply,
                count: one.count,
                curve,
                at_least,
                taken_in,
                max_pressure,
            })
        })
        .collect()
}

fn unknown(kind: &str, part: &Reference) -> Missing {
    Missing::unusable(format!("the {kind} {}", part.id), Some(part.at))
}

/// Check valves that come with the package, apart from those in the diffusers.
fn check_valves(catalog: &Catalog, package: &Package) -> Result<CheckValves, Missing> {
    let mut all = CheckValves::default();
    let named = package
        .check_valves
        .known()
        .map_or(&[][..], |valves| valves);
    // Several of one kind in a box are one for each line: what counts is what one line passes.
    let mut met: Vec<&str> = Vec::new();
    for reference in named {
        if met.contains(&reference.id.as_str()) {
            continue;
        }
        met.push(&reference.id);
        let part = catalog
            .check_valves
            .get(&reference.id)
            .ok_or_else(|| unknown("check valve", reference))?;
        match &part.opening {
            Given::Known(opening) => all.stated += opening.si().max(0.0),
            _ => all.unstated += 1,
        }
        let cv = part
            .cv
            .known()
            .map(|cv| cv.value * crate::physics::valve::KV_PER_CV);
        all.kv = part.kv.known().map(|kv| kv.value).or(cv).or(all.kv);
    }
    Ok(all)
}

/// Whether the runs of a way are alike, with a claimed depth in m where there is one. It asks nothing
/// of the compressor; nothing where a run isn't known.
pub fn is_laid_evenly<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
    claimed: Option<f64>,
) -> Option<bool> {
    let site = Air::at(catalog.site.altitude_m(), catalog.site.air_k());
    let mut outlets = outlets(&Laying {
        catalog,
        package,
        way,
        site: &site,
        line_start: None,
        checks: CheckValves::default(),
    })
    .ok()?;
    for outlet in &mut outlets {
        outlet.depth = outlet.own_depth.or(claimed).unwrap_or(0.0);
    }
    Some(are_alike(&outlets))
}

/// What laying the runs needs to know.
struct Laying<'c, 'a> {
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
    site: &'a Air,
    line_start: Option<&'c PartEnd>,
    checks: CheckValves,
}

/// Gives each diffuser its run, in the order both are stated in.
fn outlets<'c>(laying: &Laying<'c, '_>) -> Result<Vec<PlantOutlet<'c>>, Missing> {
    let package = laying.package;
    let uses = match &package.diffuser {
        Given::Known(uses) => uses,
        _ => {
            return Err(
                Missing::unusable("the diffusers", Some(package.entry.header)).of_key("diffuser"),
            );
        }
    };
    // The runs of the way, one entry for each run.
    let mut runs = runs(laying)?.into_iter();
    let mut run: Option<Laid> = runs.next();
    let mut places = run.as_ref().map_or(0, |run| run.per_run);
    let mut outlets: Vec<PlantOutlet<'c>> = Vec::new();
    for (stated_in, one) in uses.iter().enumerate() {
        let part = laying
            .catalog
            .diffusers
            .get(&one.part.id)
            .ok_or_else(|| unknown("diffuser", &one.part))?;
        let own = own_lines(laying, one)?;
        let mut left = one.count;
        while left > 0 {
            let (lines, take, laid_by) = match &own {
                Some(lines) => (lines.clone(), 1, None),
                None => {
                    if places == 0
                        && let Some(next) = runs.next()
                    {
                        places = next.per_run;
                        run = Some(next);
                    }
                    let Some(laid) = &run else {
                        return Err(Missing::absent(
                            "an option that says with `airline` or `allows` what line is laid",
                            Some(package.entry.header),
                        )
                        .of_key("option"));
                    };
                    // With too few runs the last kind serves the rest; `kit.airline-count` says so.
                    let take = if places > 0 {
                        places.min(left)
                    } else {
                        laid.per_run.min(left)
                    };
                    places = places.saturating_sub(take);
                    (laid.lines.clone(), take, laid.by)
                }
            };
            left -= take;
            let alike = outlets.last_mut().filter(|last| {
                last.stated_in == stated_in
                    && last.laid_by == laid_by
                    && last.per_run == take
                    && last.lines == lines
            });
            match alike {
                Some(last) => last.runs += 1,
                None => {
                    let mut new = outlet(laying, one, part, lines, take)?;
                    new.stated_in = stated_in;
                    new.laid_by = laid_by;
                    outlets.push(new);
                }
            }
        }
    }
    if outlets.is_empty() {
        return Err(
            Missing::unusable("the diffusers", Some(package.entry.header)).of_key("diffuser"),
        );
    }
    Ok(outlets)
}

fn outlet<'c>(
    laying: &Laying<'c, '_>,
    one: &DiffuserUse,
    part: &'c Diffuser,
    lines: Vec<PlantLine>,
    per_run: u32,
) -> Result<PlantOutlet<'c>, Missing> {
    let site = laying.site;
    let loss = match &part.loss {
        Given::Known(points) => Some(
            points
                .iter()
                .map(|point| {
                    let amount = flow::amount(point.flow.si(), point.flow.dimension(), site);
                    (amount.value(), point.pressure.si())
                })
                .collect(),
        ),
        Given::Absent => None,
        Given::Unreadable => {
            return Err(
                Missing::unusable(format!("the loss of diffuser {}", part.entry.id), None)
                    .of_key("loss"),
            );
        }
    };
    let mut check_valves = laying.checks;
    if part.check_valve.known().is_some_and(|flag| flag.value) {
        check_valves.unstated += 1;
    }
    let range = part
        .flow
        .known()
        .filter(|figure| figure.low() < figure.high());
    let end = |value: f64, figure: &Figure| flow::amount(value, figure.dimension(), site).value();
    Ok(PlantOutlet {
        part,
        runs: 1,
        per_run,
        stated_in: 0,
        laid_by: None,
        own_depth: one.depth.known().map(Figure::si),
        depth: one.depth.known().map_or(0.0, Figure::si),
        barbed: is_barb(laying.line_start) || is_barb(part.inlet.known()),
        lines,
        least: least(part, site),
        by_volume: part
            .flow
            .known()
            .is_some_and(|figure| figure.dimension() != Dimension::AirAmount),
        most: range.map(|figure| end(figure.high(), figure)),
        loss,
        check_valves,
        loss_times: 1.0,
        stand: part.stand.known().map_or(0.0, |stand| stand.si().max(0.0)),
    })
}

/// The least air of a diffuser: the low end of its working range, or a usual share of the one flow it states.
fn least(part: &Diffuser, site: &Air) -> Least {
    let Some(figure) = part.flow.known() else {
        return Least::Unstated;
    };
    let amount = |value: f64| flow::amount(value, figure.dimension(), site).value();
    if figure.low() < figure.high() {
        return Least::Stated(amount(figure.low()));
    }
    let is_coarse = part
        .bubble
        .known()
        .is_some_and(|word| word.text == "coarse");
    let share = if is_coarse {
        Name::LeastFlowCoarse
    } else {
        Name::LeastFlowFine
    };
    Least::Share(amount(figure.si()), share)
}

/// The run a diffuser's own statement gives it.
fn own_lines(laying: &Laying, one: &DiffuserUse) -> Result<Option<Vec<PlantLine>>, Missing> {
    let Given::Known(airline) = &one.airline else {
        // An own length without an own airline is laid in the option's.
        let Given::Known(run) = &one.run else {
            return Ok(None);
        };
        let Some(laid) = runs(laying)?.into_iter().next() else {
            return Ok(None);
        };
        let first = laid.lines.first();
        return Ok(Some(vec![PlantLine {
            bore: first.map_or(0.0, |line| line.bore),
            length: run.si(),
            nominal: first.is_some_and(|line| line.nominal),
        }]));
    };
    let part = laying
        .catalog
        .airlines
        .get(&airline.id)
        .ok_or_else(|| unknown("airline", airline))?;
    let length = match &one.run {
        Given::Known(run) => run.si(),
        _ => match runs(laying)?.into_iter().next() {
            Some(laid) => laid.lines.iter().map(|line| line.length).sum(),
            None => {
                let fact = format!("the run of diffuser {}", one.part.id);
                return Err(Missing::absent(fact, Some(one.at)).of_key("run"));
            }
        },
    };
    Ok(Some(vec![PlantLine {
        bore: bore(part)?,
        length,
        nominal: part.bore.is_absent(),
    }]))
}

/// A run of the way.
#[derive(Clone)]
struct Laid {
    lines: Vec<PlantLine>,
    /// Diffusers it takes.
    per_run: u32,
    /// Number of the airline statement that gives it.
    by: Option<usize>,
}

/// Every run of the way.
fn runs(laying: &Laying) -> Result<Vec<Laid>, Missing> {
    match laying.way {
        Way::Own => Ok(Vec::new()),
        Way::Allowed(_, allow) => {
            let (Given::Known(size), Given::Known(up_to)) = (&allow.size, &allow.up_to) else {
                return Err(
                    Missing::unusable("the airline the buyer may fit", Some(allow.at))
                        .of_key("allows"),
                );
            };
            let line = PlantLine {
                bore: size.si(),
                length: up_to.si(),
                nominal: true,
            };
            let laid = Laid {
                lines: vec![line],
                per_run: 1,
                by: None,
            };
            Ok(vec![laid; laying.package.diffuser_count() as usize])
        }
        Way::Supplied(option) => {
            let Given::Known(uses) = &option.airline else {
                return Err(
                    Missing::unusable("the supplied airline", Some(option.header))
                        .of_key("airline"),
                );
            };
            let mut runs = Vec::new();
            for (by, one) in uses.iter().enumerate() {
                let laid = Laid {
                    lines: lines(laying.catalog, one)?,
                    per_run: one.per_run,
                    by: Some(by),
                };
                runs.extend(std::iter::repeat_n(laid, one.count as usize));
            }
            Ok(runs)
        }
    }
}

/// The lengths of a run or trunk in series.
fn lines(catalog: &Catalog, one: &AirlineUse) -> Result<Vec<PlantLine>, Missing> {
    one.segments
        .iter()
        .map(|segment| {
            let part = catalog
                .airlines
                .get(&segment.part.id)
                .ok_or_else(|| unknown("airline", &segment.part))?;
            let Given::Known(length) = &segment.length else {
                let fact = format!("the length of airline {}", segment.part.id);
                return Err(Missing::unusable(fact, Some(segment.part.at)).of_key("length"));
            };
            Ok(PlantLine {
                bore: bore(part)?,
                length: length.si(),
                nominal: part.bore.is_absent(),
            })
        })
        .collect()
}

/// An airline's bore in m: as measured, else the size it is sold by.
///
/// # Errors
/// Neither is known.
pub fn bore(part: &Airline) -> Result<f64, Missing> {
    let fact = || format!("the bore of airline {}", part.entry.id);
    match (&part.bore, &part.size) {
        (Given::Known(bore), _) => Ok(bore.si()),
        (Given::Absent, Given::Known(size)) => nominal_bore(part, size)
            .ok_or_else(|| Missing::absent(fact(), Some(part.entry.header)).of_key("bore")),
        _ => Err(Missing::unusable(fact(), Some(part.entry.header)).of_key("bore")),
    }
}

/// The bore a nominal size stands for; a tube named by its outside has none.
pub fn nominal_bore(part: &Airline, size: &Figure) -> Option<f64> {
    match part
        .size_means
        .known()
        .map_or("hose", |word| word.text.as_str())
    {
        "pipe" => pipe::inside(size.si()),
        "tube" => None,
        _ => Some(size.si()),
    }
}
