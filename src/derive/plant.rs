//! A package as it would be laid, in the engine's terms: machines, lines, diffusers.
//!
//! A [`Plant`] is what the catalog says of one [`Way`] to buy a package, in SI and without any
//! assumption; a plan of it puts the assumptions of one calculation on it. Losses are only
//! there where the catalog gives cause: a check valve, barbed ends, a valve with a
//! coefficient, a diffuser.

use std::ops::Index;

use crate::assumptions::{Name, Values};
use crate::catalog::{Compressor, Diffuser, Supply};
use crate::physics::atmosphere;
use crate::physics::check_valve::CheckValve;
use crate::physics::curve::CompressorCurve;
use crate::physics::diffuser::DiffuserLoss;
use crate::physics::head;
use crate::physics::network::Bleed;
use crate::physics::refusal::Refusal;
use crate::physics::valve::ControlValve;
use crate::units::quantity::{AirAmount, FreeAir, GaugePressure, MassDensity, si};

use super::corners::EITHER_WAY;
use super::flow::Air;

/// Pa in a psi, for the ranges that are kept in psi.
const PSI: f64 = 6_894.757_293_168_361;

/// A compressor of the plant.
#[derive(Debug, Clone)]
pub struct PlantMachine<'c> {
    /// Its entry.
    pub part: &'c Compressor,
    /// The supply it runs on.
    pub supply: &'c Supply,
    /// How many.
    pub count: u32,
    /// Its curve, as free air against gauge pressure; of a machine that states none, the most it may give.
    pub curve: CompressorCurve,
    /// The least it may give, where it states no curve.
    pub at_least: Option<CompressorCurve>,
    /// The air its curve was taken in.
    pub taken_in: Air,
    /// Greatest pressure it may be held at, Pa: for continuous running, or where its relief valve opens before that.
    pub max_pressure: Option<f64>,
}

/// Which lines of a plant.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Lines {
    /// Every run.
    Runs,
    /// The runs of an option's airline statement of that number.
    Of(usize),
    /// The line from the compressors to the manifold.
    Trunk,
}

/// A length of airline.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PlantLine {
    /// Inside diameter, m.
    pub bore: f64,
    /// Length, m.
    pub length: f64,
    /// Whether the bore is the size it is sold by, which nobody measured.
    pub nominal: bool,
}

/// The least air a diffuser works with.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Least {
    /// As its working range says, kg/s.
    Stated(f64),
    /// It states one flow, kg/s, and the least is a usual share of that.
    Share(f64, Name),
    /// Nothing is stated: any air will do.
    Unstated,
}

impl Least {
    /// In kg/s, under the assumptions of one calculation.
    pub fn under(self, values: &impl Index<Name, Output = f64>) -> Option<f64> {
        match self {
            Least::Stated(least) => Some(least),
            Least::Share(flow, share) => Some(flow * values[share]),
            Least::Unstated => None,
        }
    }
}

/// How much warmer than the site the compressors draw their air in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum InletRise {
    /// As the heat in the cabinet and its fan come to, or not at all without a cabinet, K.
    Known(f64),
    /// The cabinet's fan isn't stated.
    Unknown,
}

/// The air that compressors draw in: the site's, and how much warmer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Inlet {
    pub(super) site: Air,
    rise: InletRise,
}

impl Inlet {
    /// Dry air in it under the assumptions of one calculation, kg/m3.
    pub(super) fn density(&self, values: &impl Index<Name, Output = f64>) -> f64 {
        let rise = match self.rise {
            InletRise::Known(rise) => rise,
            InletRise::Unknown => values[Name::InletRise],
        };
        let warm = si::kelvins(self.site.temperature + rise);
        let humidity = values[Name::Humidity];
        atmosphere::dry_air_in_moist(self.site.pressure, warm, humidity)
            .value
            .value
    }
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
    /// Number of the option's airline statement that gives it its run; nothing for a run of its own.
    pub laid_by: Option<usize>,
    /// Its own depth, m.
    pub own_depth: Option<f64>,
    /// The depth it is calculated at, m; set by [`Plant::at_depth`].
    pub depth: f64,
    /// The run, from the manifold on.
    pub lines: Vec<PlantLine>,
    /// Whether its run has a barbed end.
    pub barbed: bool,
    /// Least air for one of it, counted in the site's dry air.
    pub(super) least: Least,
    /// Most air for one of it, kg/s, counted likewise.
    pub(super) most: Option<f64>,
    /// Whether its range is one of volumes, which are those the machine draws in.
    pub(super) by_volume: bool,
    /// Wet pressure by amount of air, (kg/s, Pa); nothing if it isn't stated.
    pub(super) loss: Option<Vec<(f64, f64)>>,
    /// Check valves between manifold and water: how many, and the sum of the stated openings, Pa.
    pub(super) check_valves: CheckValves,
    /// Height of the bubbles above its bottom, m.
    pub(super) stand: f64,
    /// Factor on what it takes: fouling beyond the ranges, for a question about faults.
    pub(super) loss_times: f64,
}

impl PlantOutlet<'_> {
    /// Diffusers in all.
    pub fn count(&self) -> u32 {
        self.runs * self.per_run
    }

    /// Whether it is laid as `other` is: the same statements, depth and run.
    fn is_laid_like(&self, other: &PlantOutlet) -> bool {
        self.stated_in == other.stated_in
            && self.laid_by == other.laid_by
            && self.per_run == other.per_run
            && self.own_depth == other.own_depth
            && self.lines == other.lines
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

/// Check valves between a manifold and the water.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct CheckValves {
    /// Sum of the stated openings, Pa.
    pub stated: f64,
    /// How many have none stated.
    pub unstated: u32,
    /// Flow coefficient, where one is stated.
    pub kv: Option<f64>,
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
    pub(super) outlet_kv: Option<f64>,
    pub(super) bleed: Option<Bleed>,
    /// Factor on the machines' flow: wear beyond the ranges, for a question about faults.
    pub(super) flow_times: f64,
    /// The air around.
    pub site: Air,
    /// How much warmer the compressors draw it in.
    pub inlet_rise: InletRise,
    /// Water temperature, K.
    pub water: f64,
    /// Whether every diffuser has a depth: its own or one it was set to.
    pub has_depth: bool,
}

impl<'c> Plant<'c> {
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
    pub fn with_run(self, length: f64) -> Plant<'c> {
        self.with_length(Lines::Runs, length)
    }

    /// The same with runs of these lengths, m, one after the other; the last counts for all that are left. None
    /// leaves the runs as they are.
    #[must_use]
    pub fn with_runs(mut self, lengths: &[f64]) -> Plant<'c> {
        let mut lengths = lengths.iter().copied();
        let Some(mut length) = lengths.next() else {
            return self;
        };
        let mut outlets: Vec<PlantOutlet> = Vec::new();
        for outlet in std::mem::take(&mut self.outlets) {
            // A trunk's end may be the diffuser's place; where there is a run at all, it has its length.
            for _ in 0..outlet.runs {
                let mut one = outlet.clone();
                one.runs = 1;
                stretch(&mut one.lines, length);
                match outlets.last_mut() {
                    Some(last) if last.is_laid_like(&one) => last.runs += 1,
                    _ => outlets.push(one),
                }
                length = lengths.next().unwrap_or(length);
            }
        }
        self.outlets = outlets;
        self
    }

    /// The same with `runs` runs like the one it has; nothing where its runs differ.
    #[must_use]
    pub fn with_run_count(mut self, runs: u32) -> Option<Plant<'c>> {
        let [outlet] = self.outlets.as_mut_slice() else {
            return None;
        };
        outlet.runs = runs;
        Some(self)
    }

    /// The same in water of `depth` m: no diffuser lies deeper than that.
    #[must_use]
    pub fn within(mut self, depth: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            outlet.own_depth = outlet.own_depth.map(|own| own.min(depth));
            outlet.depth = outlet.depth.min(depth);
        }
        self
    }

    /// The same with `part` of length `length` m, its segments in proportion.
    #[must_use]
    pub fn with_length(mut self, part: Lines, length: f64) -> Plant<'c> {
        match part {
            Lines::Trunk => stretch(&mut self.trunk, length),
            Lines::Runs => {
                for outlet in &mut self.outlets {
                    stretch(&mut outlet.lines, length);
                }
            }
            Lines::Of(by) => {
                let laid = self.outlets.iter_mut();
                for outlet in laid.filter(|outlet| outlet.laid_by == Some(by)) {
                    stretch(&mut outlet.lines, length);
                }
            }
        }
        self
    }

    /// Whether any air goes through `part`.
    pub fn has_lines_of(&self, part: Lines) -> bool {
        match part {
            Lines::Trunk => !self.trunk.is_empty(),
            Lines::Runs => self.outlets.iter().any(|outlet| !outlet.lines.is_empty()),
            Lines::Of(by) => self.outlets.iter().any(|outlet| outlet.laid_by == Some(by)),
        }
    }

    /// The same with every run of bore `bore` m.
    #[must_use]
    pub fn with_bore(mut self, bore: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            for line in &mut outlet.lines {
                line.bore = bore;
                line.nominal = true;
            }
        }
        self
    }

    /// The same without any length of `part`, barbs and all: what its cost in flow is counted from.
    #[must_use]
    pub fn without(self, part: Lines) -> Plant<'c> {
        self.with_length(part, 0.0)
    }

    /// The same with one run of the outlet numbered `at` shut; nothing where there is only one.
    #[must_use]
    pub fn without_run_of(mut self, at: usize) -> Option<Plant<'c>> {
        let runs: u32 = self.outlets.iter().map(|outlet| outlet.runs).sum();
        if runs < 2 {
            return None;
        }
        let outlet = self.outlets.get_mut(at)?;
        if outlet.runs > 1 {
            outlet.runs -= 1;
        } else {
            self.outlets.remove(at);
        }
        Some(self)
    }

    /// The same with the diffusers of one run taking `factor` times their pressure.
    #[must_use]
    pub fn with_one_loss_times(mut self, factor: f64) -> Plant<'c> {
        let Some(last) = self.outlets.last_mut() else {
            return self;
        };
        if last.runs > 1 {
            let mut one = last.clone();
            last.runs -= 1;
            one.runs = 1;
            self.outlets.push(one);
        }
        if let Some(one) = self.outlets.last_mut() {
            one.loss_times *= factor;
        }
        self
    }

    /// The same with every diffuser taking `factor` times its pressure.
    #[must_use]
    pub fn with_losses_times(mut self, factor: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            outlet.loss_times *= factor;
        }
        self
    }

    /// The same with `metres` of water standing in a sag of every line, which the air has to push over.
    #[must_use]
    pub fn with_water_in_lines(mut self, metres: f64) -> Plant<'c> {
        let density = head::water_density(si::kelvins(self.water)).value;
        let head = head::water_head(density, si::metres(metres)).value.value;
        for outlet in &mut self.outlets {
            outlet.check_valves.stated += head;
        }
        self
    }

    /// The same with machines of `factor` times the flow.
    #[must_use]
    pub fn with_flow_times(mut self, factor: f64) -> Plant<'c> {
        self.flow_times *= factor;
        self
    }

    /// The same with a hole at the manifold that lets off `share` of the open flow at the machines' greatest
    /// pressure.
    #[must_use]
    pub fn with_leak(mut self, share: f64) -> Option<Plant<'c>> {
        let open: f64 = self
            .machines
            .iter()
            .map(|machine| machine.curve.first_flow().value() * f64::from(machine.count))
            .sum();
        let at = GaugePressure::pascals(self.max_pressure()?);
        self.bleed = Some(Bleed::Orifice {
            at,
            flow: FreeAir::cubic_metres_per_second(open * share),
        });
        Some(self)
    }

    /// The same with every diffuser `metres` deeper.
    #[must_use]
    pub fn deeper_by(mut self, metres: f64) -> Plant<'c> {
        for outlet in &mut self.outlets {
            outlet.depth = (outlet.depth + metres).max(0.0);
        }
        self
    }

    /// A barb's bore over the bore of a line it is in.
    pub fn barb_ratio(&self, line: &PlantLine) -> f64 {
        barb_ratio(line.bore)
    }

    /// Flow coefficient of each outlet of the manifold, where one is stated.
    pub fn outlet_kv(&self) -> Option<f64> {
        self.outlet_kv
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

    /// Least and most air of one diffuser of an outlet, kg/s; nothing where any air will do.
    pub fn working(&self, outlet: &PlantOutlet, values: &Values) -> (Option<f64>, Option<f64>) {
        self.working_in(outlet, values, self.inlet_density(values).value)
    }

    /// The same, where `density` kg/m3 of dry air are in what the compressors draw in.
    pub(super) fn working_in(
        &self,
        outlet: &PlantOutlet,
        values: &impl Index<Name, Output = f64>,
        density: f64,
    ) -> (Option<f64>, Option<f64>) {
        let drawn_in = if outlet.by_volume {
            density / self.site.density.value
        } else {
            1.0
        };
        (
            outlet.least.under(values).map(|least| least * drawn_in),
            outlet.most.map(|most| most * drawn_in),
        )
    }

    /// What must be sought at both ends: see [`EITHER_WAY`].
    pub fn turns(&self) -> &'static [&'static [Name]] {
        let evened = self.has_valves
            && self
                .outlets
                .iter()
                .all(|outlet| outlet.least != Least::Unstated);
        if self.is_even() || evened {
            &[]
        } else {
            EITHER_WAY
        }
    }

    /// The air its compressors draw in.
    pub(super) fn inlet(&self) -> Inlet {
        Inlet {
            site: self.site,
            rise: self.inlet_rise,
        }
    }

    /// Mass of dry air in what the compressors draw in, kg/m3: moist, and as warm as the cabinet makes it.
    pub fn inlet_density(&self, values: &Values) -> MassDensity {
        si::kilograms_per_cubic_metre(self.inlet().density(values))
    }

    /// Whether a machine states no curve, so that only bounds of its flow are known.
    pub fn is_bounded(&self) -> bool {
        self.machines
            .iter()
            .any(|machine| machine.at_least.is_some())
    }

    /// `values` where a network can be built: with a machine that states no curve at its least.
    pub fn known(&self, values: &Values) -> Values {
        if self.is_bounded() {
            values.clone().with(Name::PlateBound, 0.0)
        } else {
            values.clone()
        }
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

/// Makes lines in series `length` m long together, in proportion.
fn stretch(lines: &mut [PlantLine], length: f64) {
    let whole: f64 = lines.iter().map(|line| line.length).sum();
    let pieces = lines.len().max(1) as f64;
    for line in lines {
        line.length = if whole > 0.0 {
            line.length * length / whole
        } else {
            length / pieces
        };
    }
}

/// Whether all outlets have the same diffuser, depth and run.
pub(super) fn are_alike(outlets: &[PlantOutlet]) -> bool {
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

/// A barb's bore over its tube's: the smaller the tube, the more a barb narrows it.
pub(super) fn barb_ratio(bore: f64) -> f64 {
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
    default_loss(values)
}

/// What a diffuser takes that doesn't state it.
pub(super) fn default_loss(
    values: &impl Index<Name, Output = f64>,
) -> Result<DiffuserLoss, Refusal> {
    let point =
        |&(amount, loss): &(f64, f64)| (AirAmount::kilograms_per_second(amount), si::pascals(loss));
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
