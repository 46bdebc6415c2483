//! What each check in the air side's tables is called, and how it is calculated.
//!
//! The inputs are in the units the source prints; they are turned into SI here, once.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use nameplate::physics::atmosphere::{self, HEAT_RATIO};
use nameplate::physics::curve::{self, CompressorCurve, CurvePoint};
use nameplate::physics::diffuser::{SCFM, capillary_pressure};
use nameplate::physics::fittings::{Fitting, MinorLoss, barb_coefficient};
use nameplate::physics::friction::{Line, friction_factor};
use nameplate::physics::hose::{HoseSize, LINE_AIR};
use nameplate::physics::reference::{
    AirState, CUBIC_FOOT_PER_MINUTE, REFERENCES, free_per_line_volume, volume_ratio,
};
use nameplate::physics::running_cost::{Period, cost, energy};
use nameplate::physics::sound::{self, Decibels};
use nameplate::physics::valve::{ControlValve, coefficient_from_cv};
use nameplate::physics::{head, heat, power};
use nameplate::units::quantity::{
    AbsolutePressure, AirAmount, ElectricPotential, FreeAir, GaugePressure, Length, Pressure, si,
};
use uom::si::electric_potential::volt;

const PSI: f64 = 6_894.757_293_168;
const IN: f64 = 0.0254;
const FT: f64 = 0.3048;
const SEA: f64 = 101_325.0;

fn inches(x: f64) -> Length {
    si::metres(x * IN)
}

fn absolute(pascals: f64) -> AbsolutePressure {
    AbsolutePressure::pascals(pascals)
}

fn gauge_psi(psi: f64) -> GaugePressure {
    GaugePressure::pascals(psi * PSI)
}

fn amount(scfm: f64) -> AirAmount {
    AirAmount::kilograms_per_second(scfm * SCFM)
}

fn cfm(x: f64) -> FreeAir {
    FreeAir::cubic_metres_per_second(x * CUBIC_FOOT_PER_MINUTE)
}

/// Pressure lost in a smooth plastic line at 20 °C under some feet of water of
/// 1000 kg/m3, as the tables take it.
fn line_loss(bore_in: f64, scfm: f64, deep_ft: f64, length_ft: f64) -> f64 {
    let end = absolute(SEA + 1000.0 * 9.80665 * deep_ft * FT);
    let line = Line::new(
        inches(bore_in),
        si::metres(length_ft * FT),
        si::celsius(20.0),
        si::metres(1.5e-6),
    );
    (line.unwrap().pressure_at_start(amount(scfm), end).value - end).value
}

/// A line whose friction factor at an amount is `friction`, whatever its Reynolds number.
fn line_with_friction(
    bore: f64,
    length: f64,
    kelvin: f64,
    friction: f64,
    amount: AirAmount,
) -> Line {
    let line = Line::new(
        si::metres(bore),
        si::metres(length),
        si::kelvins(kelvin),
        si::metres(1.5e-6),
    )
    .unwrap();
    let own = friction_factor(line.reynolds_at(amount), line.relative_roughness()).value;
    line.with_friction_times(friction / own).unwrap()
}

fn hose(x: &[f64]) -> HoseSize {
    HoseSize::new(inches(x[0]), inches(x[1])).unwrap()
}

fn water_of_10_degrees() -> nameplate::units::quantity::MassDensity {
    si::kilograms_per_cubic_metre(999.7)
}

/// The value of a check for its inputs.
pub fn evaluate(check: &str, x: &[f64]) -> f64 {
    air(check, x)
        .or_else(|| flow(check, x))
        .or_else(|| work(check, x))
        .or_else(|| things(check, x))
        .unwrap_or_else(|| panic!("no check is called {check}"))
}

fn air(check: &str, x: &[f64]) -> Option<f64> {
    let density = |d: nameplate::units::quantity::MassDensity| d.value;
    Some(match check {
        "standard_pressure" => atmosphere::standard_pressure(si::metres(x[0]))
            .value
            .value(),
        "air_viscosity" => atmosphere::air_viscosity(si::kelvins(x[0])).value.value,
        "standard_psi" => {
            atmosphere::standard_pressure(si::metres(x[0] * FT))
                .value
                .value()
                / PSI
        }
        "saturation_mbar" => {
            let temperature = si::kelvins(x[0] + 273.15);
            atmosphere::saturation_pressure(temperature).value.value / 100.0
        }
        "saturation_pressure" => {
            atmosphere::saturation_pressure(si::kelvins(x[0]))
                .value
                .value
        }
        "moist_air_density" => {
            density(atmosphere::moist_air_density(absolute(x[0]), si::kelvins(x[1]), x[2]).value)
        }
        "dry_air_in_moist" => {
            density(atmosphere::dry_air_in_moist(absolute(x[0]), si::kelvins(x[1]), x[2]).value)
        }
        "dry_air_density" => density(atmosphere::dry_air_density(
            absolute(x[0]),
            si::kelvins(x[1]),
        )),
        "water_density" => density(head::water_density(si::kelvins(x[0])).value),
        "reference_ratio" => {
            let state = AirState::new(x[0], x[1] - 273.15, x[2]);
            1.0 / volume_ratio(&REFERENCES[0].state(), &state).value
        }
        "reference_dry_ratio" => {
            let state = REFERENCES[x[0] as usize].state();
            1.0 / volume_ratio(&REFERENCES[0].state(), &state).value
        }
        "acfm_per_100_scfm" => {
            let rankine = |r: f64| r / 1.8 - 273.15;
            let from = AirState::new(x[0] * PSI, rankine(x[1]), 0.0);
            let to = AirState::new(x[2] * PSI, rankine(x[3]), x[4]);
            100.0 * volume_ratio(&from, &to).value
        }
        "volume_ratio_from_standard" => {
            let actual = AirState::new(x[2], x[0], x[1]);
            volume_ratio(&REFERENCES[0].state(), &actual).value
        }
        "free_per_line_psi" => free_per_line_volume(absolute(SEA), gauge_psi(x[0])),
        "psi_per_foot" | "head_psi" => {
            let feet = x.get(1).copied().unwrap_or(1.0);
            let rho = head::water_density(si::celsius(x[0])).value;
            head::water_head(rho, si::metres(feet * FT)).value.value / PSI
        }
        "capillary_pa" => capillary_pressure(si::metres(x[0] / 1000.0)).value.value,
        _ => return None,
    })
}

fn flow(check: &str, x: &[f64]) -> Option<f64> {
    let fitting = |kind: Fitting| kind.coefficient(si::metres(x[0])).value;
    Some(match check {
        "friction_factor" | "friction" => friction_factor(x[0], x[1]).value,
        "line_start" | "line_loss" => {
            let line = Line::new(
                si::metres(x[0]),
                si::metres(x[1]),
                si::kelvins(x[2]),
                si::metres(x[3]),
            );
            let end = absolute(x[5]);
            let start = line
                .unwrap()
                .pressure_at_start(AirAmount::kilograms_per_second(x[4]), end)
                .value;
            if check == "line_start" {
                start.value()
            } else {
                (start - end).value
            }
        }
        "line_pa" => line_loss(x[0], x[1], x[2], x[3]),
        "steel_psi_per_100_ft" => {
            // 100 psi gauge and 60 °F at the start; the loss is so small against it that
            // the end may be taken there.
            let line = Line::new(
                inches(x[0]),
                si::metres(100.0 * FT),
                si::celsius(140.0 / 9.0),
                inches(0.0018),
            );
            // The table's cubic feet are of 60 °F and 14.7 psi.
            let kg = x[1] * CUBIC_FOOT_PER_MINUTE * 14.7 * PSI / (287.055 * (519.67 / 1.8));
            let m = AirAmount::kilograms_per_second(kg);
            let line = line.unwrap();
            let wanted = 114.7 * PSI;
            let mut end = wanted;
            for _ in 0..50 {
                end -= line.pressure_at_start(m, absolute(end)).value.value() - wanted;
            }
            (wanted - end) / PSI
        }
        "pipe_flow_scfm" => {
            // K counts pipe and exit together, so a line of friction factor K D / L has it.
            let (bore, k) = (x[0] * IN, x[1]);
            let kelvin = (x[3] + 459.67) / 1.8;
            let each = CUBIC_FOOT_PER_MINUTE * 14.7 * PSI / (287.055 * (519.67 / 1.8));
            let start = |scfm: f64| {
                let m = AirAmount::kilograms_per_second(scfm * each);
                let line = line_with_friction(bore, bore, kelvin, k, m);
                line.pressure_at_start(m, absolute(14.7 * PSI))
                    .value
                    .value()
            };
            let (mut low, mut high) = (1.0, 200.0);
            for _ in 0..100 {
                let middle = 0.5 * (low + high);
                if start(middle) < (x[2] + 14.7) * PSI {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        }
        "line_of_other_gas_kpa" => {
            // The equation knows a gas only by m² R T, so air of another mass flow stands
            // for it.
            let m = AirAmount::kilograms_per_second(x[0] * (x[6] / 287.055).sqrt());
            let line = line_with_friction(x[1], x[2], x[3], x[5], m);
            line.pressure_at_start(m, absolute(x[4] * 1000.0))
                .value
                .value()
                / 1000.0
        }
        "barb_coefficient" | "barb_k" => barb_coefficient(x[0]).value,
        "expansion_part" => barb_coefficient(x[0]).value - 0.5 * (1.0 - x[0] * x[0]),
        "barb_psi_behind_4_psi" => {
            let barb = MinorLoss::barbs(1.0, inches(x[0]), x[1], si::celsius(20.0)).unwrap();
            let end = absolute(SEA + 4.0 * PSI);
            (barb.pressure_before(amount(x[2]), end) - end).value / PSI
        }
        "fitting_elbow" => fitting(Fitting::Elbow),
        "fitting_tee_run" => fitting(Fitting::TeeRun),
        "fitting_tee_branch" => fitting(Fitting::TeeBranch),
        "fitting_ball_valve" => fitting(Fitting::OpenBallValve),
        "fitting_swing_check" => fitting(Fitting::SwingCheck),
        "coefficient_from_cv" => coefficient_from_cv(x[0], si::metres(x[1])),
        "k_of_cv" => coefficient_from_cv(x[0], inches(x[1])),
        "valve_flow" => {
            let valve = ControlValve::from_kv(x[0], si::kelvins(x[1])).unwrap();
            let (before, behind) = (absolute(x[2]), absolute(x[3]));
            let m = valve.flow(before, behind).value;
            // The way back must find the pressure again unless the valve is choked.
            if behind / before > 0.31 {
                let again = valve.pressure_before(m, behind).value;
                assert!((again / before - 1.0).abs() < 1e-12, "{again:?}");
            }
            m.value()
        }
        "valve_reynolds" => {
            let valve = ControlValve::from_kv(x[0], si::kelvins(x[1])).unwrap();
            valve.reynolds_at(AirAmount::kilograms_per_second(x[2]), absolute(x[3]))
        }
        "valve_scfm" => {
            let valve = ControlValve::from_cv(x[0], si::celsius(20.0)).unwrap();
            let (before, behind) = (gauge_psi(x[1]), gauge_psi(x[2]));
            let m = valve.flow(before.above(absolute(SEA)), behind.above(absolute(SEA)));
            m.value.value() / SCFM
        }
        "curve_flow" => {
            let points: Vec<CurvePoint> = x[1..]
                .chunks_exact(2)
                .map(|point| CurvePoint {
                    pressure: GaugePressure::pascals(point[0]),
                    flow: FreeAir::cubic_metres_per_second(point[1]),
                    power: None,
                })
                .collect();
            let curve = CompressorCurve::new(&points).unwrap();
            curve.flow(GaugePressure::pascals(x[0])).unwrap().value()
        }
        "clearance" => curve::clearance_efficiency(x[0], x[1], 1.3).value,
        "frequency_50_over_60" => {
            let (flow, pressure, power) = curve::frequency_factors(50.0 / 60.0).value;
            [flow, pressure, power][x[0] as usize]
        }
        _ => return None,
    })
}

fn work(check: &str, x: &[f64]) -> Option<f64> {
    // One house scfm is a cubic foot each minute of 20 °C at sea level.
    let isentropic = |k, q: f64, p1: f64, p2: f64| {
        let flow = FreeAir::cubic_metres_per_second(q);
        let gauge = GaugePressure::pascals(p2 - p1);
        power::isentropic_power_with(k, flow, absolute(p1), gauge)
            .value
            .value
    };
    Some(match check {
        "isentropic_power" => {
            let flow = FreeAir::cubic_metres_per_second(x[0]);
            let gauge = GaugePressure::pascals(x[2]);
            power::isentropic_power(flow, absolute(x[1]), gauge)
                .value
                .value
        }
        "isothermal_power" => {
            let flow = FreeAir::cubic_metres_per_second(x[0]);
            let gauge = GaugePressure::pascals(x[2]);
            power::isothermal_power(flow, absolute(x[1]), gauge)
                .value
                .value
        }
        "isothermal_w_per_scfm" => {
            power::isothermal_power(cfm(1.0), absolute(SEA), gauge_psi(x[0]))
                .value
                .value
        }
        "isentropic_w_per_scfm" => {
            isentropic(HEAT_RATIO, CUBIC_FOOT_PER_MINUTE, SEA, SEA + x[0] * PSI)
        }
        "isentropic_kj_per_kg" => {
            let each = absolute(x[1]).value() / (287.055 * (x[2] + 273.15));
            isentropic(x[0], 1.0 / each, x[1], x[3]) / 1000.0
        }
        "isentropic_kw" => isentropic(x[0], x[4], x[1], x[3]) / 1000.0,
        "most_scfm_from_50_w" => {
            let most = power::most_flow(si::watts(50.0), x[0], absolute(SEA), gauge_psi(x[1]));
            most.value / cfm(1.0)
        }
        "amps" => {
            let volts = ElectricPotential::new::<volt>(x[1]);
            power::current_for(si::watts(x[0]), volts, x[2])
                .unwrap()
                .value
        }
        "discharge_temperature" => {
            let gauge = GaugePressure::pascals(x[2]);
            heat::discharge_temperature(si::kelvins(x[0]), absolute(x[1]), gauge, x[3])
                .value
                .value
        }
        "discharge_c" => {
            heat::discharge_temperature(si::celsius(20.0), absolute(SEA), gauge_psi(x[0]), x[1])
                .value
                .value
                - 273.15
        }
        "polytropic_exponent" | "polytropic" => heat::polytropic_exponent(x[0]).value,
        "condensate" => {
            let inlet = (si::kelvins(x[2]), x[3]);
            let line = (si::kelvins(x[4]), GaugePressure::pascals(x[5]));
            heat::condensate(
                AirAmount::kilograms_per_second(x[0]),
                absolute(x[1]),
                inlet,
                line,
            )
            .value
            .value
        }
        "condensate_kg_a_day" => {
            let (inlet, line) = (
                (si::celsius(x[0]), x[1]),
                (si::celsius(x[3]), gauge_psi(x[2])),
            );
            heat::condensate(amount(1.0), absolute(SEA), inlet, line)
                .value
                .value
                * 86_400.0
        }
        "kwh_a_month" => {
            energy(si::watts(x[0]), Period::Month.length(), 24.0)
                .unwrap()
                .value
                / 3.6e6
        }
        "cost_a_month" => {
            let month = energy(si::watts(x[0]), Period::Month.length(), 24.0).unwrap();
            cost(month, x[1])
        }
        "cabinet_cfm" => {
            let flow = heat::cabinet_flow(si::watts(x[0]), x[1]).unwrap().value;
            flow.value / CUBIC_FOOT_PER_MINUTE
        }
        _ => return None,
    })
}

fn things(check: &str, x: &[f64]) -> Option<f64> {
    let grams = |mass: nameplate::units::quantity::LinearMassDensity| mass.value * 1000.0;
    let stress = || -> Pressure { si::pascals(x[2] * PSI) };
    Some(match check {
        "background_db" => sound::background(Decibels(x[0])).unwrap().value.0,
        "db_at" => {
            sound::at_distance(Decibels(x[0]), si::metres(x[1]), si::metres(x[2]))
                .unwrap()
                .value
                .0
        }
        "sound_power_db" => {
            sound::sound_power(Decibels(x[0]), si::metres(x[1]))
                .unwrap()
                .value
                .0
        }
        "sum_db" => {
            let levels: Vec<_> = x.iter().map(|level| Decibels(*level)).collect();
            sound::sum(&levels).unwrap().0
        }
        "displaced_g_per_m" => grams(hose(x).displaced(water_of_10_degrees())),
        "neutral_density" => {
            let air = si::kilograms_per_cubic_metre(LINE_AIR);
            hose(x).neutral_wall(air, water_of_10_degrees()).value
        }
        "lb_per_100_ft_to_sink" => {
            let air = si::kilograms_per_cubic_metre(LINE_AIR);
            let size = hose(x);
            let wall = size.neutral_wall(air, water_of_10_degrees());
            size.mass_of_wall(wall).value * 30.48 / 0.453_592_37
        }
        "net_g_per_m" => {
            let size = hose(x);
            let mass = size.mass_of_wall(si::kilograms_per_cubic_metre(x[2]));
            let air = si::kilograms_per_cubic_metre(LINE_AIR);
            grams(size.weight_in_water(mass, air, water_of_10_degrees()).value)
        }
        "thin_wall_psi" => hose(x).thin_wall_pressure(stress()).value.value / PSI,
        "mean_diameter_psi" => hose(x).mean_diameter_pressure(stress()).value.value / PSI,
        "thick_wall_psi" => hose(x).thick_wall_pressure(stress()).value.value / PSI,
        _ => return None,
    })
}
