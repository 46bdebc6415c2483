//! A plant worked out once for all assumptions: what differs between two corners is a
//! handful of factors.
//!
//! Bore, friction, barbs, a diffuser's loss and a machine's flow enter the equations as
//! factors on coefficients, so these are worked out at a factor of one and multiplied at
//! each corner. The rest stays as it is.

use crate::assumptions::{Name, Values};
use crate::physics::check_valve::CheckValve;
use crate::physics::curve::{AltitudeModel, CompressorCurve, Machine};
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::fittings::MinorLoss;
use crate::physics::friction::{Line, SMOOTH_PLASTIC};
use crate::physics::head;
use crate::physics::manifold::{Manifold, Series};
use crate::physics::network::{Bleed, Element, Outlet, Surroundings};
use crate::physics::refusal::Refusal;
use crate::physics::valve::ControlValve;
use crate::units::quantity::{AbsolutePressure, AirAmount, ThermodynamicTemperature, si};

use super::plant::{self, Plant, PlantLine, PlantOutlet};

/// Pa in a psi, for the ranges that are kept in psi.
const PSI: f64 = 6_894.757_293_168_361;

/// A plant at factors of one.
#[derive(Debug)]
pub(super) struct Plan {
    surroundings: Surroundings,
    machines: Vec<PlannedMachine>,
    flow_times: f64,
    bleed: Option<Bleed>,
    trunk: Vec<Element>,
    runs: Vec<PlannedRun>,
}

#[derive(Debug)]
struct PlannedMachine {
    count: u32,
    curve: CompressorCurve,
    at_least: Option<CompressorCurve>,
    taken_at: AbsolutePressure,
}

#[derive(Debug)]
struct PlannedRun {
    runs: u32,
    per_run: u32,
    elements: Vec<Element>,
    depth: f64,
    /// Stated openings of the check valves, how many state none, and the valve where a flow
    /// coefficient is stated; nothing where there is no check valve.
    check_valve: Option<(f64, f64, Option<ControlValve>)>,
    /// The stated loss; nothing where it is the default.
    loss: Option<DiffuserLoss>,
    loss_times: f64,
}

impl Plan {
    /// Works out a plant.
    ///
    /// # Errors
    /// A figure no network can be built with.
    pub(super) fn of(plant: &Plant) -> Result<Plan, Refusal> {
        let water = si::kelvins(plant.water);
        let machines = plant.machines.iter().map(|machine| PlannedMachine {
            count: machine.count,
            curve: machine.curve.clone(),
            at_least: machine.at_least.clone(),
            taken_at: machine.taken_in.pressure,
        });
        let mut trunk = Vec::new();
        lay(&mut trunk, &plant.trunk, plant.trunk_barbed, water)?;
        let runs = plant.outlets.iter();
        Ok(Plan {
            surroundings: Surroundings {
                ambient: plant.site.pressure,
                inlet_density: plant.site.density,
                water_density: head::water_density(water).value,
            },
            machines: machines.collect(),
            flow_times: plant.flow_times,
            bleed: plant.bleed,
            trunk,
            runs: runs
                .map(|outlet| PlannedRun::of(plant, outlet))
                .collect::<Result<_, _>>()?,
        })
    }

    /// What it is under the assumptions of one calculation, of the plant it was worked out of.
    ///
    /// # Errors
    /// A figure no network can be built with; its own rules report it.
    pub(super) fn under(&self, plant: &Plant, values: &Values) -> Result<Manifold, Refusal> {
        let machines = self
            .machines
            .iter()
            .map(|machine| machine.under(self.flow_times, values))
            .collect::<Result<smallvec::SmallVec<[Machine; 1]>, _>>()?;
        let trunk = series(&self.trunk, values)?;
        let mut manifold = Manifold::new(self.surroundings, machines, self.bleed, trunk)?;
        for (label, (run, outlet)) in self.runs.iter().zip(&plant.outlets).enumerate() {
            let end = Outlet {
                depth: si::metres(run.depth),
                loss: run.loss(outlet, values)?,
                check_valve: run.check_valve(values)?,
                label,
            };
            manifold.add(run.runs, run.per_run, series(&run.elements, values)?, end)?;
        }
        Ok(manifold)
    }
}

impl PlannedMachine {
    fn under(&self, flow_times: f64, values: &Values) -> Result<Machine, Refusal> {
        let model = if values[Name::AltitudeModel] < 0.5 {
            AltitudeModel::Ratio {
                taken_at: self.taken_at,
            }
        } else {
            AltitudeModel::Gauge
        };
        let curve = match &self.at_least {
            None => &self.curve,
            Some(_) if values[Name::PlateBound] >= 1.0 => &self.curve,
            Some(least) if values[Name::PlateBound] <= 0.0 => least,
            // Between its bounds a machine's flow isn't known, and none is made up.
            Some(_) => {
                return Err(Refusal::Empty {
                    of: "curve of the compressor",
                });
            }
        };
        Machine::new(curve.clone(), self.count, model)?
            .with_flow_times(values[Name::CurveTolerance] * flow_times)
    }
}

impl PlannedRun {
    fn of(plant: &Plant, outlet: &PlantOutlet) -> Result<PlannedRun, Refusal> {
        let water = si::kelvins(plant.water);
        let mut elements = Vec::new();
        if let Some(kv) = plant.outlet_kv {
            elements.push(Element::Valve(ControlValve::from_kv(kv, water)?));
        }
        lay(&mut elements, &outlet.lines, outlet.barbed, water)?;
        let valves = outlet.check_valves;
        let check_valve = if valves.unstated == 0 && valves.stated == 0.0 {
            None
        } else {
            let kv = valves.kv.map(|kv| ControlValve::from_kv(kv, water));
            Some((valves.stated, f64::from(valves.unstated), kv.transpose()?))
        };
        let loss = outlet.loss.as_ref().map(|points| {
            let points: Vec<_> = points
                .iter()
                .map(|&(amount, loss)| (AirAmount::kilograms_per_second(amount), si::pascals(loss)))
                .collect();
            DiffuserLoss::from_amounts(&points)
        });
        Ok(PlannedRun {
            runs: outlet.runs,
            per_run: outlet.per_run,
            elements,
            depth: outlet.bubble_depth(),
            check_valve,
            loss: loss.transpose()?,
            loss_times: outlet.loss_times,
        })
    }

    fn check_valve(&self, values: &Values) -> Result<Option<CheckValve>, Refusal> {
        let Some((stated, unstated, valve)) = self.check_valve else {
            return Ok(None);
        };
        let opening = stated + unstated * values[Name::CheckValveOpening] * PSI;
        let check_valve = CheckValve::new(si::pascals(opening))?;
        Ok(Some(match valve {
            Some(valve) => check_valve.with_valve(valve),
            None => check_valve,
        }))
    }

    fn loss(&self, outlet: &PlantOutlet, values: &Values) -> Result<DiffuserLoss, Refusal> {
        match &self.loss {
            Some(stated) => stated
                .times(values[Name::DiffuserLoss])?
                .times(self.loss_times),
            None => plant::loss(outlet, values)?.times(self.loss_times),
        }
    }
}

/// Lines in series, with one barb at either end where they are barbed.
fn lay(
    elements: &mut Vec<Element>,
    lines: &[PlantLine],
    barbed: bool,
    water: ThermodynamicTemperature,
) -> Result<(), Refusal> {
    let barb = |line: &PlantLine| {
        let ratio = plant::barb_ratio(line.bore);
        MinorLoss::barbs(1.0, si::metres(line.bore), ratio, water).map(Element::Fitting)
    };
    if let (true, Some(first)) = (barbed, lines.first()) {
        elements.push(barb(first)?);
    }
    for line in lines.iter().filter(|line| line.length > 0.0) {
        let (bore, length) = (si::metres(line.bore), si::metres(line.length));
        let tube = Line::new(bore, length, water, si::metres(SMOOTH_PLASTIC))?;
        elements.push(Element::Line(tube));
    }
    if let (true, Some(last)) = (barbed, lines.last()) {
        elements.push(barb(last)?);
    }
    Ok(())
}

/// Elements under the assumptions of one calculation: half the barbs of a line at either end.
fn series(elements: &[Element], values: &Values) -> Result<Series, Refusal> {
    let barbs = values[Name::BarbsPerLine] / 2.0;
    let mut series = Series::default();
    for element in elements {
        // No barbs are no fitting.
        if barbs > 0.0 || !matches!(element, Element::Fitting(_)) {
            series.push(element.scaled(values[Name::Bore], values[Name::Friction], barbs)?);
        }
    }
    Ok(series)
}
