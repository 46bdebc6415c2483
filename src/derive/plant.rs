//! A package as it would be laid, in the engine's terms: machines, lines, diffusers.
//!
//! A [`Plant`] is what the catalog says of one [`Way`] to buy a package, in SI and without any
//! assumption; [`Plant::network`] puts the assumptions of one calculation on it. Losses are
//! only there where the catalog gives cause: a check valve, barbed ends, a valve with a
//! coefficient, a diffuser.

use crate::assumptions::{Name, Values};
use crate::catalog::{
    Airline, AirlineUse, Catalog, Compressor, Diffuser, DiffuserUse, End as PartEnd, Figure, Given,
    Package, Reference, Supply,
};
use crate::physics::check_valve::CheckValve;
use crate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::fittings::MinorLoss;
use crate::physics::friction::{Line, SMOOTH_PLASTIC};
use crate::physics::head;
use crate::physics::network::{Bleed, Branch, Element, End, Network, Outlet, Run, Surroundings};
use crate::physics::refusal::Refusal;
use crate::physics::valve::ControlValve;
use crate::units::quantity::{AirAmount, si};

use super::flow::{self, Air};
use super::missing::Missing;
use super::way::Way;

/// Pa in a psi, for the ranges that are kept in psi.
const PSI: f64 = 6_894.757_293_168_361;

/// A compressor's curve, for rooms that ask no other question of the physics.
pub type Curve = CompressorCurve;

/// A compressor of the plant.
#[derive(Debug, Clone)]
pub struct PlantMachine<'c> {
    /// Its entry.
    pub part: &'c Compressor,
    /// How many.
    pub count: u32,
    /// Its curve, as free air against gauge pressure.
    pub curve: CompressorCurve,
    /// The air its curve was taken in.
    pub taken_in: Air,
    /// Greatest pressure for continuous running, Pa.
    pub max_pressure: Option<f64>,
}

/// A length of airline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlantLine {
    /// Inside diameter, m.
    pub bore: f64,
    /// Length, m.
    pub length: f64,
}

/// Diffusers that lie alike, and the run to them.
#[derive(Debug, Clone)]
pub struct PlantOutlet<'c> {
    /// Its entry.
    pub part: &'c Diffuser,
    /// How many runs of this kind.
    pub runs: u32,
    /// Diffusers on each run.
    pub per_run: u32,
    /// Number of the statement in the package that names it.
    pub stated_in: usize,
    /// Its own depth, m.
    pub own_depth: Option<f64>,
    /// The depth it is calculated at, m; set by [`Plant::at_depth`].
    pub depth: f64,
    /// The run, from the manifold on.
    pub lines: Vec<PlantLine>,
    /// Whether its run has a barbed end.
    pub barbed: bool,
    /// Least air for one of it, kg/s.
    pub least: Option<f64>,
    /// Most air for one of it, kg/s.
    pub most: Option<f64>,
    /// Wet pressure by amount of air, (kg/s, Pa); nothing if it isn't stated.
    loss: Option<Vec<(f64, f64)>>,
    /// Check valves between manifold and water: how many, and the sum of the stated openings, Pa.
    check_valves: CheckValves,
    /// Height of the bubbles above its bottom, m.
    stand: f64,
}

impl PlantOutlet<'_> {
    /// Diffusers in all.
    pub fn count(&self) -> u32 {
        self.runs * self.per_run
    }

    /// Depth at which the bubbles leave, m.
    pub fn bubble_depth(&self) -> f64 {
        (self.depth - self.stand).max(0.0)
    }

    /// Length of its run, m.
    pub fn run_length(&self) -> f64 {
        self.lines.iter().map(|line| line.length).sum()
    }

    /// Whether it takes a default loss.
    pub fn loss_is_default(&self) -> bool {
        self.loss.is_none()
    }

    /// Whether any check valve on the way has no stated opening.
    pub fn check_valve_is_default(&self) -> bool {
        self.check_valves.unstated > 0
    }
}

#[derive(Debug, Clone, Copy, Default)]
struct CheckValves {
    stated: f64,
    unstated: u32,
    kv: Option<f64>,
}

/// A package as it would be laid.
#[derive(Debug, Clone)]
pub struct Plant<'c> {
    /// The compressors.
    pub machines: Vec<PlantMachine<'c>>,
    /// Airline from the compressors to the manifold.
    pub trunk: Vec<PlantLine>,
    /// Whether the trunk has a barbed end.
    pub trunk_barbed: bool,
    /// Diffusers by run.
    pub outlets: Vec<PlantOutlet<'c>>,
    /// Whether each outlet of the manifold has a valve.
    pub has_valves: bool,
    /// Flow coefficient of each outlet of the manifold.
    outlet_kv: Option<f64>,
    bleed: Option<Bleed>,
    /// The air around.
    pub site: Air,
    /// Water temperature, K.
    pub water: f64,
    /// Whether every diffuser has a depth: its own or one it was set to.
    pub has_depth: bool,
}

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
            Some(Given::Unreadable) => return Err(Missing::unusable("the trunk line", None)),
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
            site,
            water: catalog.site.water_k(),
            has_depth,
        })
    }

    /// The same with a claimed depth in m: a diffuser's own depth stays, and where every one has its
    /// own and the claim goes beyond them all, the deepest are moved there.
    #[must_use]
    pub fn at_depth(mut self, depth: f64) -> Plant<'c> {
        let deepest = self
            .outlets
            .iter()
            .filter_map(|o| o.own_depth)
            .fold(0.0, f64::max);
        let all_own = self.outlets.iter().all(|o| o.own_depth.is_some());
        for outlet in &mut self.outlets {
            outlet.depth = match outlet.own_depth {
                Some(own) if all_own && own == deepest && depth > deepest => depth,
                Some(own) => own,
                None => depth,
            };
        }
        self.has_depth = true;
        self
    }

    /// The same with every diffuser at `depth` m, its own depth or not.
    #[must_use]
    pub fn all_at_depth(mut self, depth: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            outlet.depth = depth;
        }
        self.has_depth = true;
        self
    }

    /// The same with every run of length `length` m, its segments in proportion.
    #[must_use]
    pub fn with_run(mut self, length: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            let whole = outlet.run_length();
            for line in &mut outlet.lines {
                line.length = if whole > 0.0 {
                    line.length * length / whole
                } else {
                    length
                };
            }
        }
        self
    }

    /// The same with every run of bore `bore` m.
    #[must_use]
    pub fn with_bore(mut self, bore: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            for line in &mut outlet.lines {
                line.bore = bore;
            }
        }
        self
    }

    /// The same without any airline: what a run's cost in flow is counted from.
    #[must_use]
    pub fn without_runs(mut self) -> Plant<'c> {
        for outlet in &mut self.outlets {
            outlet.lines.clear();
        }
        self
    }

    /// Number of diffusers.
    pub fn diffusers(&self) -> u32 {
        self.outlets.iter().map(PlantOutlet::count).sum()
    }

    /// The deepest diffuser, m.
    pub fn deepest(&self) -> f64 {
        self.outlets
            .iter()
            .map(|outlet| outlet.depth)
            .fold(0.0, f64::max)
    }

    /// Whether all branches are alike, so that they share the air evenly.
    pub fn is_even(&self) -> bool {
        are_alike(&self.outlets)
    }

    /// Least of the compressors' greatest continuous pressures, Pa; nothing if one isn't known.
    pub fn max_pressure(&self) -> Option<f64> {
        self.machines
            .iter()
            .map(|machine| machine.max_pressure)
            .reduce(|a, b| Some(a?.min(b?)))
            .flatten()
    }

    /// The least diffuser's least air, as the network counts it, kg/s.
    pub fn least(&self) -> Option<f64> {
        self.outlets
            .iter()
            .map(|outlet| outlet.least)
            .reduce(|a, b| Some(a?.max(b?)))
            .flatten()
    }

    /// The network this is under the assumptions of one calculation.
    ///
    /// # Errors
    /// A figure no network can be built with; its own rules report it.
    pub fn network(&self, values: &Values) -> Result<Network, Refusal> {
        let water = si::kelvins(self.water);
        let surroundings = Surroundings {
            ambient: self.site.pressure,
            inlet_density: self.site.density,
            water_density: head::water_density(water).value,
        };
        let mut machines = Vec::with_capacity(self.machines.len());
        for machine in &self.machines {
            let model = if values[Name::AltitudeModel] < 0.5 {
                AltitudeModel::Ratio {
                    taken_at: machine.taken_in.pressure,
                }
            } else {
                AltitudeModel::Gauge
            };
            let flow = values[Name::CurveTolerance];
            machines.push(
                Machine::new(machine.curve.clone(), machine.count, model)?.with_flow_times(flow)?,
            );
        }
        let mut branches = Vec::with_capacity(self.outlets.len());
        for (label, outlet) in self.outlets.iter().enumerate() {
            branches.push(Branch {
                count: outlet.runs,
                run: self.run(outlet, label, values)?,
            });
        }
        let mut elements = Vec::new();
        self.lay(&mut elements, &self.trunk, self.trunk_barbed, values)?;
        let root = Run {
            elements,
            end: End::Split(branches),
        };
        Network::new(surroundings, machines, self.bleed, root)
    }

    /// One run: valve, barbs, lines, diffusers.
    fn run(&self, outlet: &PlantOutlet, label: usize, values: &Values) -> Result<Run, Refusal> {
        let water = si::kelvins(self.water);
        let mut elements = Vec::new();
        if let Some(kv) = self.outlet_kv {
            elements.push(Element::Valve(ControlValve::from_kv(kv, water)?));
        }
        self.lay(&mut elements, &outlet.lines, outlet.barbed, values)?;
        let end = End::Outlet(Outlet {
            depth: si::metres(outlet.bubble_depth()),
            loss: loss(outlet, values)?,
            check_valve: self.check_valve(outlet, values)?,
            label,
        });
        Ok(if outlet.per_run > 1 {
            let one = Branch {
                count: outlet.per_run,
                run: Run {
                    elements: Vec::new(),
                    end,
                },
            };
            Run {
                elements,
                end: End::Split(vec![one]),
            }
        } else {
            Run { elements, end }
        })
    }

    /// Lines in series with their barbs, half of these at either end.
    fn lay(
        &self,
        elements: &mut Vec<Element>,
        lines: &[PlantLine],
        barbed: bool,
        values: &Values,
    ) -> Result<(), Refusal> {
        let water = si::kelvins(self.water);
        let bore = |line: &PlantLine| si::metres(line.bore * values[Name::Bore]);
        let barbs = values[Name::BarbsPerLine] / 2.0;
        let barb = |line: &PlantLine| {
            let loss = MinorLoss::barbs(barbs, bore(line), barb_ratio(line.bore), water)?;
            Ok::<_, Refusal>(Element::Fitting(loss))
        };
        if let (true, Some(first)) = (barbed && barbs > 0.0, lines.first()) {
            elements.push(barb(first)?);
        }
        for line in lines.iter().filter(|line| line.length > 0.0) {
            let tube = Line::new(
                bore(line),
                si::metres(line.length),
                water,
                si::metres(SMOOTH_PLASTIC),
            )?;
            elements.push(Element::Line(
                tube.with_friction_times(values[Name::Friction])?,
            ));
        }
        if let (true, Some(last)) = (barbed && barbs > 0.0, lines.last()) {
            elements.push(barb(last)?);
        }
        Ok(())
    }

    /// Pressure in Pa at which air begins to leave an outlet.
    pub fn opening_pressure(&self, outlet: &PlantOutlet, values: &Values) -> Option<f64> {
        let density = head::water_density(si::kelvins(self.water)).value;
        let water = head::water_head(density, si::metres(outlet.bubble_depth()))
            .value
            .value;
        let loss = loss(outlet, values)
            .ok()?
            .at(AirAmount::kilograms_per_second(0.0))
            .value
            .value;
        let valve = self
            .check_valve(outlet, values)
            .ok()?
            .map_or(0.0, |valve| valve.opening().value);
        Some(water + loss.max(0.0) + valve)
    }

    fn check_valve(
        &self,
        outlet: &PlantOutlet,
        values: &Values,
    ) -> Result<Option<CheckValve>, Refusal> {
        let valves = outlet.check_valves;
        if valves.unstated == 0 && valves.stated == 0.0 {
            return Ok(None);
        }
        let usual = values[Name::CheckValveOpening] * PSI;
        let opening = valves.stated + f64::from(valves.unstated) * usual;
        let valve = CheckValve::new(si::pascals(opening))?;
        Ok(Some(match valves.kv {
            Some(kv) => valve.with_valve(ControlValve::from_kv(kv, si::kelvins(self.water))?),
            None => valve,
        }))
    }
}

/// Whether all outlets have the same diffuser, depth and run.
fn are_alike(outlets: &[PlantOutlet]) -> bool {
    let mut outlets = outlets.iter();
    let Some(first) = outlets.next() else {
        return true;
    };
    outlets.all(|other| {
        other.depth == first.depth
            && other.lines == first.lines
            && other.per_run == first.per_run
            && std::ptr::eq(other.part, first.part)
    })
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

/// A barb's bore over its tube's: the smaller the tube, the more a barb narrows it.
fn barb_ratio(bore: f64) -> f64 {
    const INCH: f64 = 0.0254;
    // Half a per cent over the nominal size, so that 9.53 mm counts as 3/8 in.
    if bore <= 0.375 * INCH * 1.005 {
        0.667
    } else if bore <= 0.5 * INCH * 1.005 {
        0.75
    } else {
        0.8
    }
}

/// A diffuser's wet pressure: the stated one by its factor, else the default.
///
/// The default's central value is 0.30 psi and 0.04 psi for each scfm. Below that the slope
/// shrinks to nothing at the favourable 0.15 psi; above it the constant part holds until the
/// central line overtakes it.
fn loss(outlet: &PlantOutlet, values: &Values) -> Result<DiffuserLoss, Refusal> {
    let point =
        |&(amount, loss): &(f64, f64)| (AirAmount::kilograms_per_second(amount), si::pascals(loss));
    if let Some(points) = &outlet.loss {
        let points: Vec<_> = points.iter().map(point).collect();
        return DiffuserLoss::from_amounts(&points)?.times(values[Name::DiffuserLoss]);
    }
    const CENTRAL: f64 = 0.30;
    const SLOPE: f64 = 0.04;
    let constant = values[Name::DiffuserLossDefault];
    let scfm = crate::physics::diffuser::SCFM;
    if constant <= CENTRAL {
        let slope = SLOPE * ((constant - 0.15) / (CENTRAL - 0.15)).clamp(0.0, 1.0);
        return DiffuserLoss::linear(si::pascals(constant * PSI), slope * PSI / scfm);
    }
    let knee = (constant - CENTRAL) / SLOPE;
    let points = [
        (0.0, constant),
        (knee, constant),
        (2.0 * knee, constant + SLOPE * knee),
    ];
    let points: Vec<_> = points
        .iter()
        .map(|&(q, dp)| point(&(q * scfm, dp * PSI)))
        .collect();
    DiffuserLoss::from_amounts(&points)
}

fn is_barb(end: Option<&PartEnd>) -> bool {
    end.is_some_and(PartEnd::is_barb)
}

/// The compressors with their curves.
fn machines<'c>(
    catalog: &'c Catalog,
    package: &'c Package,
    way: Way<'c>,
) -> Result<Vec<PlantMachine<'c>>, Missing> {
    let uses = match way.compressors(package) {
        Given::Known(uses) => uses,
        Given::Unreadable => return Err(Missing::unusable("the compressor", None)),
        Given::Absent => {
            return Err(Missing::unusable(
                "the compressor",
                Some(package.entry.header),
            ));
        }
    };
    uses.iter()
        .map(|one| {
            let part = catalog
                .compressors
                .get(&one.part.id)
                .ok_or_else(|| unknown("compressor", &one.part))?;
            let taken_in = Air::of_curve(&part.conditions);
            let curve = curve(part, &taken_in)?;
            let max_pressure = super::machine::max_pressure(part);
            Ok(PlantMachine {
                part,
                count: one.count,
                curve,
                taken_in,
                max_pressure,
            })
        })
        .collect()
}

fn unknown(kind: &str, part: &Reference) -> Missing {
    Missing::unusable(format!("the {kind} {}", part.id), Some(part.at))
}

/// A compressor's curve as free air against gauge pressure, at the air it was taken in.
///
/// # Errors
/// What is missing, or why the stated points are no curve.
pub fn curve(part: &Compressor, taken_in: &Air) -> Result<Curve, Missing> {
    curve_on(part, &part.supply, taken_in)
}

/// The same on one of the compressor's supplies: each has a curve of its own.
///
/// # Errors
/// As for [`curve`].
pub fn curve_on(part: &Compressor, supply: &Supply, taken_in: &Air) -> Result<Curve, Missing> {
    let id = &part.entry.id;
    let points = match &supply.curve {
        Given::Known(points) => points,
        Given::Unreadable => {
            return Err(Missing::unusable(
                format!("the curve of compressor {id}"),
                None,
            ));
        }
        Given::Absent => {
            return Err(Missing::absent(
                format!("the curve of compressor {id}"),
                Some(part.entry.header),
            ));
        }
    };
    let standard = flow::counts_standard(part);
    let points: Vec<CurvePoint> = points
        .iter()
        .map(|point| CurvePoint {
            pressure: flow::gauge(&point.pressure, taken_in.pressure),
            flow: flow::free_air(point.flow.si(), point.flow.dimension(), taken_in, standard),
            power: point.power.as_ref().map(|power| si::watts(power.si())),
        })
        .collect();
    CompressorCurve::new(&points).map_err(|refusal| {
        let place = supply
            .curve
            .known()
            .and_then(|points| points.first())
            .map(|p| p.flow.at);
        let fact = format!("a usable curve of compressor {id} ({refusal})");
        match refusal {
            // `curve.rising` says so.
            Refusal::FlowRises { .. } | Refusal::Repeated { .. } => Missing::unusable(fact, place),
            _ => Missing::absent(fact, place),
        }
    })
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
            return Err(Missing::unusable(
                "the diffusers",
                Some(package.entry.header),
            ));
        }
    };
    // The runs of the way, one entry for each run: its lines and the diffusers it takes.
    let mut runs = runs(laying)?.into_iter();
    let mut run: Option<(Vec<PlantLine>, u32)> = runs.next();
    let mut places = run.as_ref().map_or(0, |run| run.1);
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
            let (lines, take) = match &own {
                Some(lines) => (lines.clone(), 1),
                None => {
                    if places == 0
                        && let Some(next) = runs.next()
                    {
                        places = next.1;
                        run = Some(next);
                    }
                    let Some((lines, per_run)) = &run else {
                        return Err(Missing::absent(
                            "an option that says with `airline` or `allows` what line is laid",
                            Some(package.entry.header),
                        ));
                    };
                    // With too few runs the last kind serves the rest; `kit.airline-count` says so.
                    let take = if places > 0 {
                        places.min(left)
                    } else {
                        (*per_run).min(left)
                    };
                    places = places.saturating_sub(take);
                    (lines.clone(), take)
                }
            };
            left -= take;
            let alike = outlets.last_mut().filter(|last| {
                last.stated_in == stated_in && last.per_run == take && last.lines == lines
            });
            match alike {
                Some(last) => last.runs += 1,
                None => outlets.push(outlet(laying, one, part, stated_in, lines, take)?),
            }
        }
    }
    if outlets.is_empty() {
        return Err(Missing::unusable(
            "the diffusers",
            Some(package.entry.header),
        ));
    }
    Ok(outlets)
}

fn outlet<'c>(
    laying: &Laying<'c, '_>,
    one: &DiffuserUse,
    part: &'c Diffuser,
    stated_in: usize,
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
            return Err(Missing::unusable(
                format!("the loss of diffuser {}", part.entry.id),
                None,
            ));
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
        stated_in,
        own_depth: one.depth.known().map(Figure::si),
        depth: one.depth.known().map_or(0.0, Figure::si),
        barbed: is_barb(laying.line_start) || is_barb(part.inlet.known()),
        lines,
        least: range.map(|figure| end(figure.low(), figure)),
        most: range.map(|figure| end(figure.high(), figure)),
        loss,
        check_valves,
        stand: part.stand.known().map_or(0.0, |stand| stand.si().max(0.0)),
    })
}

/// The run a diffuser's own statement gives it.
fn own_lines(laying: &Laying, one: &DiffuserUse) -> Result<Option<Vec<PlantLine>>, Missing> {
    let Given::Known(airline) = &one.airline else {
        // An own length without an own airline is laid in the option's.
        let Given::Known(run) = &one.run else {
            return Ok(None);
        };
        let Some((lines, _)) = runs(laying)?.into_iter().next() else {
            return Ok(None);
        };
        let bore = lines.first().map_or(0.0, |line| line.bore);
        return Ok(Some(vec![PlantLine {
            bore,
            length: run.si(),
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
            Some((lines, _)) => lines.iter().map(|line| line.length).sum(),
            None => {
                let fact = format!("the run of diffuser {}", one.part.id);
                return Err(Missing::absent(fact, Some(one.at)));
            }
        },
    };
    Ok(Some(vec![PlantLine {
        bore: bore(part)?,
        length,
    }]))
}

/// Every run of the way, and how many diffusers each takes.
fn runs(laying: &Laying) -> Result<Vec<(Vec<PlantLine>, u32)>, Missing> {
    match laying.way {
        Way::Own => Ok(Vec::new()),
        Way::Allowed(_, allow) => {
            let (Given::Known(size), Given::Known(up_to)) = (&allow.size, &allow.up_to) else {
                return Err(Missing::unusable(
                    "the airline the buyer may fit",
                    Some(allow.at),
                ));
            };
            let line = PlantLine {
                bore: size.si(),
                length: up_to.si(),
            };
            Ok(vec![
                (vec![line], 1);
                laying.package.diffuser_count() as usize
            ])
        }
        Way::Supplied(option) => {
            let Given::Known(uses) = &option.airline else {
                return Err(Missing::unusable(
                    "the supplied airline",
                    Some(option.header),
                ));
            };
            let mut runs = Vec::new();
            for one in uses {
                let lines = lines(laying.catalog, one)?;
                runs.extend(std::iter::repeat_n(
                    (lines, one.per_run),
                    one.count as usize,
                ));
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
                return Err(Missing::unusable(fact, Some(segment.part.at)));
            };
            Ok(PlantLine {
                bore: bore(part)?,
                length: length.si(),
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
        (Given::Absent, Given::Known(size)) => {
            nominal_bore(part, size).ok_or_else(|| Missing::absent(fact(), Some(part.entry.header)))
        }
        _ => Err(Missing::unusable(fact(), Some(part.entry.header))),
    }
}

/// The bore a nominal size stands for; a tube named by its outside has none.
pub fn nominal_bore(part: &Airline, size: &Figure) -> Option<f64> {
    match part
        .size_means
        .known()
        .map_or("hose", |word| word.text.as_str())
    {
        "pipe" => super::pipe::inside(size.si()),
        "tube" => None,
        _ => Some(size.si()),
    }
}
