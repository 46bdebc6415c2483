//! Every equation behind an answer, with the figures it was used with.

use crate::assumptions::Name;
use crate::derive::solver::Settled;
use crate::physics::atmosphere::{self, STANDARD_PRESSURE};
use crate::physics::check_valve::CHECK_VALVE_LOSS;
use crate::physics::curve::{ALTITUDE_MODEL, CURVE_FLOW};
use crate::physics::diffuser::{DEFAULT_DIFFUSER_LOSS, DIFFUSER_LOSS};
use crate::physics::fittings::{BARB_LOSS, MINOR_LOSS};
use crate::physics::friction::{FRICTION_FACTOR, LINE_LOSS, SMOOTH_PLASTIC};
use crate::physics::head::{WATER_DENSITY, WATER_HEAD};
use crate::physics::heat::{CABINET_RISE, DISCHARGE_TEMPERATURE};
use crate::physics::network::{DUTY_POINT, OutletDuty};
use crate::physics::power::{ISENTROPIC_POWER, WIRE_TO_AIR};
use crate::physics::running_cost::RUNNING_ENERGY;
use crate::physics::sound::{SOUND_BY_DISTANCE, SOUND_SUM};
use crate::physics::start_pressure::START_PRESSURE;
use crate::physics::valve::VALVE_FLOW;
use crate::physics::{Equation, head};
use crate::units::quantity::si;

use super::choose::Asked;
use super::duty::Duty;

/// One use of an equation.
#[derive(Debug, Clone, PartialEq)]
pub struct Step {
    /// The equation.
    pub equation: &'static Equation,
    /// Of what: a diffuser, a machine; empty for the whole.
    pub of: String,
    /// What went in.
    pub with: Vec<Number>,
    /// What came out.
    pub gives: Number,
}

/// A symbol's value in SI.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    /// The symbol of the formula, or what it is in words.
    pub symbol: &'static str,
    /// Its value.
    pub value: f64,
    /// Its unit; empty for a plain number.
    pub unit: &'static str,
}

/// A symbol's value.
pub fn number(symbol: &'static str, value: f64, unit: &'static str) -> Number {
    Number {
        symbol,
        value,
        unit,
    }
}

/// The equations of a duty point, from the air around to the cost.
pub fn duty(asked: &Asked, settled: &Settled, duty: &Duty) -> Vec<Step> {
    let plant = &asked.solver.plant;
    let mut steps = Vec::new();
    let mut add = |equation, of: &str, with: Vec<Number>, gives: Number| {
        steps.push(Step {
            equation,
            of: of.to_string(),
            with,
            gives,
        });
    };
    let altitude = asked.catalog.site.altitude_m();
    let ambient = plant.site.pressure.value();
    let density = plant.site.density.value;
    let water = si::kelvins(plant.water);
    add(
        &STANDARD_PRESSURE,
        "",
        vec![number("altitude", altitude, "m")],
        number("p_a", ambient, "Pa"),
    );
    let water_density = head::water_density(water).value.value;
    add(
        &WATER_DENSITY,
        "",
        vec![number("T", plant.water, "K")],
        number("rho", water_density, "kg/m3"),
    );
    for machine in &plant.machines {
        let id = format!("compressor {}", machine.part.entry.id);
        let per_machine = machine
            .curve
            .flow(settled.manifold)
            .map_or(0.0, |flow| flow.value());
        add(
            &CURVE_FLOW,
            &id,
            vec![
                number("p_g", duty.manifold, "Pa"),
                number("machines", f64::from(machine.count), ""),
            ],
            number("q of each", per_machine, "m3/s"),
        );
        if machine.taken_in.pressure != plant.site.pressure {
            add(
                &ALTITUDE_MODEL,
                &id,
                vec![
                    number("p_0", machine.taken_in.pressure.value(), "Pa"),
                    number("p_a", ambient, "Pa"),
                ],
                number("q of each, gauge model", per_machine, "m3/s"),
            );
        }
    }
    for outlet in &settled.duty().outlets {
        let of = &plant.outlets[outlet.label];
        let id = format!("diffuser {}, {} of it", of.part.entry.id, outlet.count);
        for step in way(asked, outlet, &id, water_density) {
            add(step.equation, &step.of, step.with, step.gives);
        }
    }
    let sum: f64 = settled
        .duty()
        .outlets
        .iter()
        .map(|outlet| outlet.amount.value() * outlet.count)
        .sum();
    add(
        &DUTY_POINT,
        "",
        vec![
            number("sum of m_i", sum, "kg/s"),
            number("bleed", settled.duty().bled.value(), "kg/s"),
            number("rho_in", density, "kg/m3"),
            number("sum of q_j", duty.free_air, "m3/s"),
        ],
        number("P - p_a", duty.manifold, "Pa"),
    );
    if let (Some(watts), Some(efficiency)) = (duty.power, duty.wire_to_air) {
        let ratio = (ambient + duty.manifold) / ambient;
        let ideal = vec![
            number("p_a", ambient, "Pa"),
            number("q", duty.free_air, "m3/s"),
            number("r", ratio, ""),
        ];
        add(
            &ISENTROPIC_POWER,
            "",
            ideal,
            number("W_s", efficiency * watts, "W"),
        );
        add(
            &WIRE_TO_AIR,
            "",
            vec![
                number("W_s", efficiency * watts, "W"),
                number("power from the supply", watts, "W"),
            ],
            number("eta", efficiency, ""),
        );
    }
    add(
        &DISCHARGE_TEMPERATURE,
        "",
        vec![
            number("T1", plant.site.temperature, "K"),
            number("r", (ambient + duty.manifold) / ambient, ""),
            number(
                "eta",
                asked.assumptions.central()[Name::AirPathEfficiency],
                "",
            ),
        ],
        number("T2", duty.discharge[1], "K"),
    );
    if let Some(start) = duty.start {
        add(
            &START_PRESSURE,
            "the deepest diffuser",
            vec![number("p_shut, at least", duty.shut_off, "Pa")],
            number("p_start", start, "Pa"),
        );
    }
    if let Some(heat) = crate::derive::heat::cabinet(asked.catalog, asked.package, asked.way) {
        add(
            &CABINET_RISE,
            &format!("cabinet {}", heat.part.entry.id),
            vec![number("W", heat.watts, "W"), number("q", heat.flow, "m3/s")],
            number("rise", heat.rise, "K"),
        );
    }
    if let Some(cost) = &duty.cost {
        add(
            &RUNNING_ENERGY,
            "a month",
            vec![
                number("W", cost.watts, "W"),
                number("hours in the month", cost.month, "h"),
                number("hours a day", cost.hours_a_day, "h"),
                number("price of a kWh", cost.tariff, ""),
            ],
            number("cost", cost.a_month, ""),
        );
    }
    if let Some(noise) = &duty.noise {
        for source in &noise.sources {
            add(
                &SOUND_BY_DISTANCE,
                &source.of,
                vec![
                    number("Lp(r1)", source.stated, "dB"),
                    number("r1", source.stated_at, "m"),
                    number("r2", noise.distance, "m"),
                ],
                number("Lp(r2)", source.level, "dB"),
            );
        }
        let with = noise
            .sources
            .iter()
            .map(|source| number("L", source.level, "dB"))
            .chain([number("taken off by the cabinet", noise.reduction, "dB")])
            .collect();
        add(&SOUND_SUM, "", with, number("L", noise.central, "dB"));
    }
    steps
}

/// The equations of the way to one diffuser.
fn way(asked: &Asked, outlet: &OutletDuty, id: &str, water_density: f64) -> Vec<Step> {
    let plant = &asked.solver.plant;
    let of = &plant.outlets[outlet.label];
    let mut steps = Vec::new();
    let mut add = |equation, with: Vec<Number>, gives: Number| {
        steps.push(Step {
            equation,
            of: id.to_string(),
            with,
            gives,
        });
    };
    add(
        &WATER_HEAD,
        vec![
            number("rho", water_density, "kg/m3"),
            number("h", outlet.depth.value, "m"),
        ],
        number("dp", outlet.water_head.value, "Pa"),
    );
    let amount = outlet.amount.value();
    let loss = if of.loss_is_default() {
        &DEFAULT_DIFFUSER_LOSS
    } else {
        &DIFFUSER_LOSS
    };
    add(
        loss,
        vec![
            number("free air", outlet.free_air.value(), "m3/s"),
            number("m", amount, "kg/s"),
        ],
        number("dp", outlet.diffuser_loss.value, "Pa"),
    );
    if outlet.check_valve_loss.value > 0.0 {
        let opening = plant.opening_pressure(of, &asked.assumptions.central());
        let opening = opening.unwrap_or(0.0) - outlet.water_head.value;
        add(
            &CHECK_VALVE_LOSS,
            vec![number("opening, with the diffuser's", opening, "Pa")],
            number("dp", outlet.check_valve_loss.value, "Pa"),
        );
    }
    let viscosity = atmosphere::air_viscosity(si::kelvins(plant.water))
        .value
        .value;
    for line in &outlet.lines {
        add(
            &FRICTION_FACTOR,
            vec![
                number("m", amount, "kg/s"),
                number("D", line.bore, "m"),
                number("mu", viscosity, "Pa s"),
                number("Re", line.reynolds, ""),
                number("e/D", SMOOTH_PLASTIC / line.bore, ""),
            ],
            number("f", line.friction, ""),
        );
        add(
            &LINE_LOSS,
            vec![
                number("f", line.friction, ""),
                number("L", line.length, "m"),
                number("D", line.bore, "m"),
                number("T", plant.water, "K"),
            ],
            number("p1 - p2", line.loss, "Pa"),
        );
    }
    if outlet.fitting_loss.value > 0.0 {
        let barbs = asked.assumptions.central()[Name::BarbsPerLine];
        let ratio = of.lines.last().map_or(1.0, |line| plant.barb_ratio(line));
        let k = crate::physics::fittings::barb_coefficient(ratio).value;
        add(
            &BARB_LOSS,
            vec![number("b", ratio, "")],
            number("K on the barb's bore", k, ""),
        );
        add(
            &MINOR_LOSS,
            vec![number("K", k, ""), number("barbs", barbs, "")],
            number("dp", outlet.fitting_loss.value, "Pa"),
        );
    }
    if outlet.valve_loss.value > 0.0 {
        add(
            &VALVE_FLOW,
            vec![
                number("Kv", plant.outlet_kv().unwrap_or(0.0), "m3/h"),
                number("m", amount, "kg/s"),
            ],
            number("dp", outlet.valve_loss.value, "Pa"),
        );
    }
    steps
}
