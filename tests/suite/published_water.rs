//! The water side against published figures, and against other programs' solutions of
//! the same equations. Each table names its sources.

use crate::water_rows::{Row, central, hold};
use nameplate::physics::bubble_transfer::bubble_transfer;
use nameplate::physics::first_run::{Layers, mixed_oxygen, safe_share, time_to_lift};
use nameplate::physics::mixing::{AirPerArea, air_per_area, heat_balance_air, mixing_area};
use nameplate::physics::oxygen_saturation::{Salinity, saturation};
use nameplate::physics::oxygen_transfer::{
    FULL_FLOOR_TRANSFER, FieldConditions, OXYGEN_IN_AIR, OxygenDemand, STILL_WATER_TRANSFER,
    TransferPerDepth, area_covered, demand_covered, field_transfer, saturation_at_depth,
    standard_transfer, transfer_efficiency,
};
use nameplate::physics::plume::{PlumeConstants, plume};
use nameplate::physics::plume_forms::{kobus, mcdougall, pure_plume};
use nameplate::physics::reach::{jet_reach, reach_area, reach_per_depth_needed};
use nameplate::physics::rising_air::{Column, volume_at, work};
use nameplate::physics::stratification::{EnergyPerArea, Layering, layering_energy, mixing_time};
use nameplate::physics::surface_velocity::{distance_of, speed_at};
use nameplate::physics::turnover::{Basin, mean_depth_ratio, turnover_area, turnover_rate, volume};
use nameplate::physics::water_properties::{HeatFlux, density, expansion};
use nameplate::physics::winter::{CoolingRate, cooling_rate, time_to_cool};
use nameplate::units::math;
use nameplate::units::quantity::{AbsolutePressure, AirAmount, FreeAir, Frequency, Length, si};
use std::f64::consts::PI;

#[test]
fn plumes_drawn_and_worked_agree_with_scipy() {
    let table = include_str!("../published/water_plume.csv");
    hold("water_plume.csv", table, 180, answer);
}

#[test]
fn the_table_of_lifted_water_agrees_with_scipy_and_kobus() {
    let table = include_str!("../published/water_plume_table.csv");
    hold("water_plume_table.csv", table, 175, answer);
}

#[test]
fn density_and_expansion_agree_with_coolprop() {
    let table = include_str!("../published/water_density.csv");
    hold("water_density.csv", table, 24, answer);
}

#[test]
fn oxygen_agrees_with_gsw() {
    let table = include_str!("../published/water_oxygen_gsw.csv");
    hold("water_oxygen_gsw.csv", table, 36, answer);
}

#[test]
fn oxygen_agrees_with_the_handbook_as_remembered() {
    let table = include_str!("../published/water_standard_methods.csv");
    hold("water_standard_methods.csv", table, 8, answer);
}

#[test]
fn water_agrees_with_printed_tables() {
    let table = include_str!("../published/water_printed.csv");
    hold("water_printed.csv", table, 77, answer);
}

#[test]
fn single_bubbles_agree_with_scipy() {
    let table = include_str!("../published/water_bubble.csv");
    hold("water_bubble.csv", table, 60, answer);
}

#[test]
fn worked_figures() {
    let table = include_str!("../published/water_worked.csv");
    hold("water_worked.csv", table, 170, answer);
}

#[test]
fn kobus_factor_follows_from_his_own_argument() {
    // 2 sqrt(10.3 pi g), printed as 35.6.
    let factor = 2.0 * (10.3 * PI * 9.80665).sqrt();
    assert!((factor - 35.63).abs() < 0.005, "{factor}");
}

/// What the program gives for a row, in SI units.
fn answer(row: &Row) -> f64 {
    match row.check.as_str() {
        "plume_water"
        | "plume_water_narrow"
        | "plume_momentum"
        | "plume_without_slip_or_expansion"
        | "pure_plume"
        | "kobus"
        | "mcdougall"
        | "air_for_slip_ratio"
        | "plume_sensitivity" => plumes(row),
        "reach_area" | "reach_needed" | "jet_reach" => reach(row),
        "surface_distance" | "surface_area" | "surface_speed" => surface(row),
        "basin_round" | "basin_square" | "volume" | "turnovers" | "turnover_area" => turnover(row),
        "mixing_rule" | "mixing_area" | "heat_balance" | "density_difference" | "layering_even"
        | "layering_two" | "work" | "mixing_time" | "density" | "expansion" => mixing(row),
        "oxygen_saturation"
        | "salinity"
        | "oxygen_supplied"
        | "saturation_at_depth"
        | "standard_transfer"
        | "field_transfer"
        | "demand_on_area"
        | "area_covered"
        | "bubble_transfer"
        | "bubble_transfer_per_foot"
        | "full_floor_transfer"
        | "still_water_transfer" => oxygen(row),
        _ => winter_and_start(row),
    }
}

fn plumes(row: &Row) -> f64 {
    match row.check.as_str() {
        "plume_water" => water(row.air(), &row.column(), &row.constants()),
        "plume_water_narrow" => {
            let risen = plume(row.air(), &row.column(), &row.constants());
            let outside: Vec<_> = risen.breaches.iter().map(|b| b.range.quantity).collect();
            assert!(outside.contains(&"radius of the diffuser"), "{outside:?}");
            risen.value.water.value
        }
        "plume_momentum" => {
            let risen = plume(row.air(), &row.column(), &row.constants());
            assert!(
                risen.breaches.is_empty(),
                "{}: {:?}",
                row.place,
                risen.breaches
            );
            risen.value.momentum.value()
        }
        // Under an air pressure beyond all measure a bubble doesn't expand on the way.
        "plume_without_slip_or_expansion" => {
            let crushing = 1e15;
            let column = Column {
                ambient: AbsolutePressure::pascals(crushing),
                ..row.column()
            };
            let constants = PlumeConstants {
                entrainment: row.si("entrainment"),
                bubble_spread: 1.0,
                slip_velocity: si::metres_per_second(0.0),
                momentum_amplification: 1.0,
                ..central()
            };
            let squeezed = row.air() * (crushing / 101_325.0);
            plume(squeezed, &column, &constants).value.water.value
        }
        "pure_plume" => {
            let column = row.column();
            let air = volume_at(row.air(), column.temperature, column.ambient);
            pure_plume(air, column.depth, row.si("entrainment")).value
        }
        "kobus" => kobus(row.air(), row.depth()).value.value,
        "mcdougall" => {
            mcdougall(
                row.air(),
                row.depth(),
                row.si("gaussian_entrainment"),
                row.si("spread"),
                si::metres_per_second(row.si("slip")),
            )
            .value
            .value
        }
        "air_for_slip_ratio" => {
            let (column, constants) = (row.column(), row.constants());
            let ratio = row.si("ratio");
            let (mut low, mut high) = (1e-7, 1e-2);
            for _ in 0..60 {
                let middle = 0.5 * (low + high);
                let air = AirAmount::kilograms_per_second(middle);
                let reached = plume(air, &column, &constants).value.velocity_ratio();
                if reached.is_some_and(|reached| reached < ratio) {
                    low = middle;
                } else {
                    high = middle;
                }
            }
            low
        }
        _ => sensitivity(row),
    }
}

/// Water at the surface, which every row asks for within the plume's ranges.
fn water(air: AirAmount, column: &Column, constants: &PlumeConstants) -> f64 {
    let risen = plume(air, column, constants);
    assert!(risen.breaches.is_empty(), "{:?}", risen.breaches);
    risen.value.water.value
}

/// Slope of the logarithm of the flow in that of one input.
fn sensitivity(row: &Row) -> f64 {
    let flow = |factor: f64| {
        let mut air = AirAmount::kilograms_per_second(1.25 * 5.682_71e-4);
        let mut column = Column {
            depth: si::metres(1.8288),
            ambient: AbsolutePressure::pascals(101_325.0),
            temperature: si::celsius(20.0),
        };
        let mut constants = PlumeConstants {
            source_radius: si::metres(row.si("radius")),
            ..central()
        };
        match row.word("to") {
            "air" => air = air * factor,
            "depth" => column.depth *= factor,
            "ambient" => column.ambient = column.ambient * factor,
            "entrainment" => constants.entrainment *= factor,
            "slip" => constants.slip_velocity *= factor,
            "amplification" => constants.momentum_amplification *= factor,
            "spread" => constants.bubble_spread *= factor,
            "radius" => constants.source_radius *= factor,
            "froude" => constants.froude *= factor,
            other => panic!("{}: {other:?}", row.place),
        }
        math::ln(water(air, &column, &constants))
    };
    (flow(1.005) - flow(0.995)) / (math::ln(1.005) - math::ln(0.995))
}

fn reach(row: &Row) -> f64 {
    match row.check.as_str() {
        "reach_area" => {
            let area = reach_area(&row.depths(), row.si("coverage"), row.si("k"));
            assert!(area.breaches.is_empty(), "{}", row.place);
            area.value.value
        }
        "reach_needed" => {
            let area = si::square_metres(row.si("area"));
            reach_per_depth_needed(area, &row.depths(), row.si("coverage"))
                .map_or(f64::NAN, |needed| needed.value)
        }
        _ => jet_reach(row.si("growth"), row.si("edge")).map_or(f64::NAN, |reach| reach.value),
    }
}

fn surface(row: &Row) -> f64 {
    let risen = plume(row.air(), &row.column(), &central()).value;
    let kept = row.si("kept");
    if row.check == "surface_speed" {
        let distance = si::metres((row.si("area") / PI).sqrt());
        return speed_at(risen.momentum, kept, distance).map_or(f64::NAN, |u| u.value.value);
    }
    let speed = si::metres_per_second(row.si("speed"));
    let distance = distance_of(risen.momentum, kept, speed).map_or(f64::NAN, |r| r.value.value);
    if row.check == "surface_area" {
        PI * distance * distance
    } else {
        distance
    }
}

fn turnover(row: &Row) -> f64 {
    let area = || si::square_metres(row.si("area"));
    let flow = || si::cubic_metres_per_second(row.si("water"));
    match row.check.as_str() {
        "basin_round" => {
            let exponent = row.si("exponent");
            mean_depth_ratio(Basin::Round { exponent }).value
        }
        "basin_square" => {
            mean_depth_ratio(Basin::Square {
                side: si::metres(row.si("area").sqrt()),
                depth: row.depth(),
                slope: row.si("slope"),
            })
            .value
        }
        "volume" => volume(area(), row.depth(), row.si("ratio")).value,
        "turnovers" => turnover_rate(flow(), si::cubic_metres(row.si("volume")))
            .map_or(f64::NAN, |rate| rate.value),
        _ => {
            // A frequency from its own unit of time.
            let needed: Frequency =
                si::cubic_metres_per_second(row.si("needed")) / si::cubic_metres(1.0);
            turnover_area(flow(), needed, row.si("ratio"), row.depth())
                .map_or(f64::NAN, |area| area.value)
        }
    }
}

fn mixing(row: &Row) -> f64 {
    match row.check.as_str() {
        "density" => density(si::kelvins(row.si("temperature"))).value.value,
        "expansion" => expansion(si::kelvins(row.si("temperature"))).value,
        "density_difference" => {
            let at = |name| density(si::kelvins(row.si(name))).value.value;
            at("lower") - at("upper")
        }
        // At the density of the standard cubic foot, so that only the units are left.
        "mixing_rule" => AirPerArea::volume_on(
            si::cubic_metres_per_second(row.si("flow")),
            si::kilograms_per_cubic_metre(101_325.0 / (287.055 * 293.15)),
            si::square_metres(row.si("area")),
        )
        .value(),
        "mixing_area" => {
            let needed = AirPerArea::kilograms_per_second_and_square_metre(row.si("needed"));
            let area = mixing_area(row.air(), needed, row.depth());
            area.map_or(f64::NAN, |area| area.value.value)
        }
        "heat_balance" => {
            let column = Column {
                temperature: si::kelvins(row.si("bottom")),
                ..row.column()
            };
            let surface = si::kelvins(row.si("surface"));
            let heat = HeatFlux::watts_per_square_metre(row.si("heat"));
            heat_balance_air(&column, surface, heat, row.si("efficiency"))
                .map_or(f64::NAN, |air| air.value.value())
        }
        "layering_even" | "layering_two" => {
            let layering = row
                .given("upper_share")
                .map_or(Layering::Even, |upper_share| Layering::TwoLayers {
                    upper_share,
                });
            let difference = row.concentration("difference");
            layering_energy(difference, row.depth(), layering)
                .value
                .value()
        }
        "work" => work(row.air(), &row.column()).value.value,
        _ => {
            let energy = EnergyPerArea::joules_per_square_metre(row.si("energy"));
            let area = si::square_metres(row.si("area"));
            mixing_time(
                energy,
                area,
                si::watts(row.si("work")),
                row.si("efficiency"),
            )
            .map_or(f64::NAN, |time| time.value.value)
        }
    }
}

fn oxygen(row: &Row) -> f64 {
    match row.check.as_str() {
        "oxygen_saturation" => {
            let held = saturation(
                si::kelvins(row.si("temperature")),
                Salinity::grams_per_kilogram(row.si("salinity")),
                AbsolutePressure::pascals(row.si("pressure")),
            );
            assert!(held.breaches.is_empty(), "{}", row.place);
            held.value.value
        }
        "salinity" => Salinity::specific_conductance(row.si("conductance")).value(),
        "oxygen_supplied" => OXYGEN_IN_AIR * row.air().value(),
        "saturation_at_depth" => {
            let column = row.column();
            let share = row.si("effective_depth");
            saturation_at_depth(column.temperature, column.ambient, share, column.depth)
                .value
                .value
        }
        "standard_transfer" => standard(row),
        "field_transfer" => field(row),
        "full_floor_transfer" => FULL_FLOOR_TRANSFER.value() * row.si("per"),
        "still_water_transfer" => STILL_WATER_TRANSFER.value() * row.si("per"),
        "demand_on_area" => {
            let area = row.si("area");
            let demand = OxygenDemand::kilograms_per_second_and_square_metre(row.si("demand"));
            let transfer = si::kilograms_per_second(demand.value() * area);
            // There and back, so that both directions are used.
            let covered = demand_covered(transfer, si::square_metres(area));
            covered.map_or(f64::NAN, |covered| covered.value() * area)
        }
        "area_covered" => {
            let transfer = si::kilograms_per_second(row.si("transfer"));
            let demand = OxygenDemand::kilograms_per_second_and_square_metre(row.si("demand"));
            area_covered(transfer, demand).map_or(f64::NAN, |area| area.value.value)
        }
        _ => {
            let share = bubble_transfer(
                si::metres(row.si("diameter")),
                &row.column(),
                si::metres_per_second(row.si("water")),
                row.concentration("oxygen"),
            )
            .value;
            if row.check == "bubble_transfer_per_foot" {
                share / (row.si("depth") / 0.3048)
            } else {
                share
            }
        }
    }
}

fn standard(row: &Row) -> f64 {
    let per_depth = TransferPerDepth::per_metre(row.si("per_foot") / 0.3048);
    let efficiency = transfer_efficiency(per_depth, row.depth());
    assert!(efficiency.breaches.is_empty(), "{}", row.place);
    standard_transfer(row.air(), efficiency.value).value
}

fn field(row: &Row) -> f64 {
    let column = row.column();
    let conditions = FieldConditions {
        alpha: row.si("alpha"),
        beta: row.si("beta"),
        fouling: row.si("fouling"),
        effective_depth: row.si("effective_depth"),
        temperature: column.temperature,
        ambient: column.ambient,
        oxygen: row.concentration("oxygen"),
        depth: column.depth,
    };
    let transfer = field_transfer(si::kilograms_per_second(standard(row)), &conditions);
    assert!(
        transfer.breaches.is_empty(),
        "{}: {:?}",
        row.place,
        transfer.breaches
    );
    transfer.value.value
}

fn winter_and_start(row: &Row) -> f64 {
    match row.check.as_str() {
        "cooling" => cooling_rate(
            si::square_metres(row.si("open")),
            HeatFlux::watts_per_square_metre(row.si("heat")),
            si::cubic_metres(row.si("volume")),
        )
        .map_or(f64::NAN, |rate| rate.value.value()),
        "time_to_cool" => time_to_cool(
            CoolingRate::kelvins_per_second(row.si("rate")),
            si::kelvins(row.si("start")),
            si::kelvins(row.si("end")),
        )
        .map_or(f64::NAN, |time| time.value),
        "mixed_oxygen" => mixed_oxygen(&layers(row), row.si("share")).value.value,
        "safe_share" => safe_share(&layers(row), row.concentration("least")),
        "lifted_in_half_an_hour" | "time_to_lift_a_tenth" => {
            let whole = volume(
                si::square_metres(row.si("area")),
                row.depth(),
                row.si("ratio"),
            );
            let lifted = row.si("diffusers") * water(row.air(), &row.column(), &central());
            let flow = si::cubic_metres_per_second(lifted);
            let tenth = time_to_lift(0.1, whole, flow).map_or(f64::NAN, |time| time.value.value);
            if row.check == "time_to_lift_a_tenth" {
                tenth
            } else {
                0.1 * 1800.0 / tenth
            }
        }
        other => panic!("{}: nothing checks {other:?}", row.place),
    }
}

fn layers(row: &Row) -> Layers {
    Layers {
        upper: row.concentration("upper"),
        lower: row.concentration("lower"),
        reduced: row.concentration("reduced"),
    }
}

/// A standard cubic foot's air is the same however it is counted.
#[test]
fn free_air_and_amount_agree_on_the_volume_of_bubbles() {
    let air = FreeAir::cubic_metres_per_second(1e-3);
    let column = Column {
        depth: Length::default(),
        ambient: AbsolutePressure::pascals(101_325.0),
        temperature: si::celsius(20.0),
    };
    let amount = air.amount(si::kilograms_per_cubic_metre(
        101_325.0 / (287.055 * 293.15),
    ));
    let back = volume_at(amount, column.temperature, column.ambient);
    assert!((back.value / air.value() - 1.0).abs() < 1e-12);
    assert!(air_per_area(amount, si::square_metres(10.0)).is_some());
}
