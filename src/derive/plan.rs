//! A plant worked out once for all assumptions: what differs between two corners is a
//! handful of factors.
//!
//! Bore, friction, barbs, a diffuser's loss and a machine's flow enter the equations as
//! factors on coefficients, so these are worked out at a factor of one and multiplied at
//! each corner. The rest stays as it is.

use std::ops::Index;

use crate::assumptions::{Name, Values};
use crate::physics::curve::{AltitudeModel, Machine};
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::fittings::MinorLoss;
use crate::physics::friction::{Line, SMOOTH_PLASTIC};
use crate::physics::head;
use crate::physics::manifold::{Bore, Discharge, Manifold, Series, Tolerances};
use crate::physics::network::{Element, Network, Surroundings};
use crate::physics::refusal::Refusal;
use crate::physics::valve::ControlValve;
use crate::units::quantity::{AirAmount, ThermodynamicTemperature, si};

use super::plant::{self, Inlet, Plant, PlantLine, PlantOutlet};

/// Pa in a psi, for the ranges that are kept in psi.
const PSI: f64 = 6_894.757_293_168_361;

/// A plant at factors of one.
#[derive(Debug)]
pub(super) struct Plan {
    manifold: Manifold,
    /// The same with every machine that states no curve at the least it may give.
    least: Option<Manifold>,
    /// The loss of diffusers that state theirs all: none asks for another.
    no_other_loss: Option<DiffuserLoss>,
    inlet: Inlet,
    /// Factor on the machines' flow beyond the ranges.
    flow_times: f64,
}

impl Plan {
    /// Works out a plant.
    ///
    /// # Errors
    /// A figure no network can be built with.
    pub(super) fn of(plant: &Plant) -> Result<Plan, Refusal> {
        if plant.outlets.is_empty() {
            return Err(Refusal::Empty {
                of: "branch of a split",
            });
        }
        let least = plant.is_bounded().then(|| manifold(plant, true));
        let all_stated = !plant.outlets.iter().any(PlantOutlet::loss_is_default);
        Ok(Plan {
            manifold: manifold(plant, false)?,
            least: least.transpose()?,
            no_other_loss: all_stated
                .then(|| DiffuserLoss::default_times(1.0))
                .transpose()?,
            inlet: plant.inlet(),
            flow_times: plant.flow_times,
        })
    }

    /// The manifold to calculate with, and what one calculation assumes of it.
    ///
    /// # Errors
    /// Between its bounds a machine's flow isn't known, and none is made up.
    pub(super) fn under(
        &self,
        values: &impl Index<Name, Output = f64>,
    ) -> Result<(&Manifold, Tolerances), Refusal> {
        self.under_at(values, self.inlet_density(values))
    }

    /// Mass of dry air in what the compressors draw in, kg/m3.
    pub(super) fn inlet_density(&self, values: &impl Index<Name, Output = f64>) -> f64 {
        self.inlet.density(values)
    }

    /// The same, where `inlet_density` is known already.
    ///
    /// # Errors
    /// As [`Plan::under`].
    pub(super) fn under_at(
        &self,
        values: &impl Index<Name, Output = f64>,
        inlet_density: f64,
    ) -> Result<(&Manifold, Tolerances), Refusal> {
        let bound = values[Name::PlateBound];
        let manifold = match &self.least {
            Some(least) if bound <= 0.0 => least,
            Some(_) if bound < 1.0 => {
                return Err(Refusal::Empty {
                    of: "curve of the compressor",
                });
            }
            _ => &self.manifold,
        };
        Ok((
            manifold,
            Tolerances {
                inlet_density: inlet_density / self.inlet.site.density.value,
                flow: values[Name::CurveTolerance] * self.flow_times,
                keeps_gauge: values[Name::AltitudeModel],
                bore: values[Name::Bore],
                nominal_bore: values[Name::BoreNominal],
                friction: values[Name::Friction],
                // A fitting is the barbs at one end of a line: half of them.
                fittings: values[Name::BarbsPerLine] / 2.0,
                loss: values[Name::DiffuserLoss],
                unstated_loss: match &self.no_other_loss {
                    Some(any) => any.clone(),
                    None => plant::default_loss(values)?,
                },
                unstated_opening: si::pascals(values[Name::CheckValveOpening] * PSI),
            },
        ))
    }
}

impl Plant<'_> {
    /// The network this is under the assumptions of one calculation, for the general search.
    ///
    /// # Errors
    /// A figure no network can be built with; its own rules report it.
    pub fn network(&self, values: &Values) -> Result<Network, Refusal> {
        let plan = Plan::of(self)?;
        let (manifold, tolerances) = plan.under(values)?;
        manifold.under(&tolerances)?.network()
    }
}

/// A plant as it is listed, its machines at the most or the least they may give.
fn manifold(plant: &Plant, least: bool) -> Result<Manifold, Refusal> {
    let water = si::kelvins(plant.water);
    let surroundings = Surroundings {
        ambient: plant.site.pressure,
        inlet_density: plant.site.density,
        water_density: head::water_density(water).value,
    };
    let machines = plant.machines.iter().map(|machine| {
        let curve = match &machine.at_least {
            Some(at_least) if least => at_least,
            _ => &machine.curve,
        };
        let taken_at = machine.taken_in.pressure;
        Machine::new(
            curve.clone(),
            machine.count,
            AltitudeModel::Ratio { taken_at },
        )
    });
    let mut trunk = Series::default();
    lay(&mut trunk, &plant.trunk, plant.trunk_barbed, water)?;
    let machines = machines.collect::<Result<_, _>>()?;
    let mut manifold = Manifold::new(surroundings, machines, plant.bleed, trunk)?;
    for (label, outlet) in plant.outlets.iter().enumerate() {
        let mut run = Series::default();
        if let Some(kv) = plant.outlet_kv {
            let valve = ControlValve::from_kv(kv, water)?;
            run.push(Element::Valve(valve), Bore::Measured);
        }
        lay(&mut run, &outlet.lines, outlet.barbed, water)?;
        let discharge = discharge(outlet, label, water)?;
        manifold.add(outlet.runs, outlet.per_run, run, discharge)?;
    }
    Ok(manifold)
}

fn discharge(
    outlet: &PlantOutlet,
    label: usize,
    water: ThermodynamicTemperature,
) -> Result<Discharge, Refusal> {
    let valves = outlet.check_valves;
    // Without an opening, stated or usual, there is no check valve.
    let kv = valves
        .kv
        .filter(|_| valves.unstated > 0 || valves.stated > 0.0);
    let check_valve = kv.map(|kv| ControlValve::from_kv(kv, water));
    let loss = outlet.loss.as_ref().map(|points| {
        let points: Vec<_> = points
            .iter()
            .map(|&(amount, loss)| (AirAmount::kilograms_per_second(amount), si::pascals(loss)))
            .collect();
        DiffuserLoss::from_amounts(&points)
    });
    Ok(Discharge {
        bottom: si::metres(outlet.depth),
        stand: si::metres(outlet.stand),
        loss: loss.transpose()?,
        loss_times: outlet.loss_times,
        opening: si::pascals(valves.stated),
        unstated_openings: f64::from(valves.unstated),
        check_valve: check_valve.transpose()?,
        label,
    })
}

/// Lines in series, with one barb at either end where they are barbed.
fn lay(
    series: &mut Series,
    lines: &[PlantLine],
    barbed: bool,
    water: ThermodynamicTemperature,
) -> Result<(), Refusal> {
    let barb = |line: &PlantLine| {
        let ratio = plant::barb_ratio(line.bore);
        MinorLoss::barbs(1.0, si::metres(line.bore), ratio, water).map(Element::Fitting)
    };
    let known = |line: &PlantLine| {
        if line.nominal {
            Bore::Nominal
        } else {
            Bore::Measured
        }
    };
    if let (true, Some(first)) = (barbed, lines.first()) {
        series.push(barb(first)?, known(first));
    }
    for line in lines.iter().filter(|line| line.length > 0.0) {
        let (bore, length) = (si::metres(line.bore), si::metres(line.length));
        let tube = Line::new(bore, length, water, si::metres(SMOOTH_PLASTIC))?;
        series.push(Element::Line(tube), known(line));
    }
    if let (true, Some(last)) = (barbed, lines.last()) {
        series.push(barb(last)?, known(last));
    }
    Ok(())
}
