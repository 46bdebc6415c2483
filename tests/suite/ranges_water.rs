//! Each equation of the water side says when it is used outside its range, and which
//! range it was. (Those of the plume are held in `monotone_water`.)

use nameplate::physics::bubble_transfer::bubble_transfer;
use nameplate::physics::first_run::{Layers, mixed_oxygen, time_to_lift};
use nameplate::physics::mixing::{AirPerArea, heat_balance_air, mixing_area};
use nameplate::physics::oxygen_saturation::{Salinity, saturation};
use nameplate::physics::oxygen_transfer::{
    FieldConditions, OxygenDemand, TransferPerDepth, area_covered, field_transfer,
    transfer_efficiency,
};
use nameplate::physics::plume::MomentumFlux;
use nameplate::physics::plume_forms::{kobus, mcdougall};
use nameplate::physics::reach::{jet_reach, reach_area, reach_per_depth_needed};
use nameplate::physics::rising_air::{Column, work};
use nameplate::physics::stratification::{EnergyPerArea, Layering, layering_energy, mixing_time};
use nameplate::physics::surface_velocity::{distance_of, speed_at};
use nameplate::physics::turnover::{Basin, mean_depth_ratio};
use nameplate::physics::water_properties::{HeatFlux, density, expansion};
use nameplate::physics::winter::cooling_rate;
use nameplate::physics::{Breach, Checked};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, si};

/// The quantities whose ranges were left.
fn left<T>(checked: impl Into<Option<Checked<T>>>) -> Vec<&'static str> {
    let breaches: Vec<Breach> = checked.into().map_or_else(Vec::new, |c| c.breaches);
    breaches.iter().map(|b| b.range.quantity).collect()
}

fn column(depth: f64, ambient: f64, celsius: f64) -> Column {
    Column {
        depth: si::metres(depth),
        ambient: AbsolutePressure::pascals(ambient),
        temperature: si::celsius(celsius),
    }
}

/// kg/s of `litres` of standard air a second.
fn air(litres: f64) -> AirAmount {
    AirAmount::kilograms_per_second(litres * 1.204_1e-3)
}

const ATM: f64 = 101_325.0;

#[test]
fn water_and_air() {
    assert_eq!(left(density(si::celsius(41.0))), ["water temperature"]);
    assert_eq!(left(expansion(si::celsius(-1.0))), ["water temperature"]);
    assert_eq!(left(work(air(1.0), &column(101.0, ATM, 20.0))), ["depth"]);
    let thin = column(3.0, 59_000.0, 20.0);
    assert_eq!(left(work(air(1.0), &thin)), ["pressure of the air"]);
    assert!(left(work(air(1.0), &column(3.0, ATM, 20.0))).is_empty());
}

#[test]
fn closed_forms() {
    let of_kobus = |litres, depth| left(kobus(air(litres), si::metres(depth)));
    assert!(of_kobus(1.0, 4.5).is_empty());
    for (litres, depth) in [(0.19, 4.5), (6.3, 4.5)] {
        assert_eq!(of_kobus(litres, depth), ["air for each diffuser"]);
    }
    for depth in [0.95, 10.2] {
        assert_eq!(of_kobus(1.0, depth), ["depth"]);
    }
    let series = |litres, slip| {
        let slip = si::metres_per_second(slip);
        left(mcdougall(air(litres), si::metres(3.0), 0.083, 0.3, slip))
    };
    assert!(series(1.0, 0.3).is_empty());
    assert_eq!(series(0.02, 0.3), ["height over slip length"]);
    assert_eq!(series(f64::NAN, 0.3), ["height over slip length"]);
}

#[test]
fn reach_and_surface() {
    let of = |depth, f, k| left(reach_area(&[si::metres(depth)], f, k));
    assert!(of(2.0, 1.0, 2.5).is_empty() && of(2.0, 0.64, 10.0).is_empty());
    assert_eq!(of(2.0, 1.0, 2.4), ["reach per depth"]);
    assert_eq!(of(2.0, 1.0, 10.1), ["reach per depth"]);
    assert_eq!(of(0.8, 1.0, 5.0), ["depth"]);
    assert_eq!(of(10.5, 1.0, 5.0), ["depth"]);
    assert_eq!(of(2.0, 0.6, 5.0), ["coverage"]);
    assert_eq!(of(2.0, 1.1, 5.0), ["coverage"]);
    let depths = [si::metres(2.0), si::metres(0.5)];
    let needed = reach_per_depth_needed(si::square_metres(500.0), &depths, 1.0);
    assert_eq!(left(needed), ["depth"]);
    assert_eq!(left(jet_reach(0.07, 1.0)), ["growth of the surface jet"]);
    assert_eq!(
        left(jet_reach(0.09, 2.1)),
        ["edge over half-velocity depth"]
    );
    let momentum = MomentumFlux::new(0.01);
    let far = speed_at(momentum, 0.4, si::metres(10.0));
    assert_eq!(left(far), ["share of momentum kept"]);
    let slow = distance_of(momentum, 1.1, si::metres_per_second(0.01));
    assert_eq!(left(slow), ["share of momentum kept"]);
}

#[test]
fn basins_mixing_and_layers() {
    let closed = Basin::Square {
        side: si::metres(10.0),
        depth: si::metres(3.0),
        slope: 2.0,
    };
    let bottom = "side of the bottom over side of the surface";
    assert_eq!(left(mean_depth_ratio(closed)), [bottom]);
    let needed = AirPerArea::kilograms_per_second_and_square_metre(2e-7);
    assert_eq!(
        left(mixing_area(air(1.0), needed, si::metres(61.0))),
        ["depth"]
    );
    assert!(left(mixing_area(air(1.0), needed, si::metres(1.5))).is_empty());
    let balance = |depth, surface, heat, efficiency| {
        let heat = HeatFlux::watts_per_square_metre(heat);
        let column = column(depth, ATM, 20.0);
        left(heat_balance_air(
            &column,
            si::celsius(surface),
            heat,
            efficiency,
        ))
    };
    assert!(balance(3.0, 25.0, 100.0, 0.05).is_empty());
    assert_eq!(balance(0.5, 25.0, 100.0, 0.05), ["depth"]);
    assert_eq!(balance(3.0, 45.0, 100.0, 0.05), ["water temperature"]);
    let heat = "net heat that layers the water";
    assert_eq!(balance(3.0, 25.0, 160.0, 0.05), [heat]);
    assert_eq!(balance(3.0, 25.0, 100.0, 0.2), ["mixing efficiency"]);
    let two = Layering::TwoLayers { upper_share: 1.2 };
    let energy = layering_energy(si::kilograms_per_cubic_metre(1.0), si::metres(3.0), two);
    assert_eq!(left(energy), ["upper layer's share of the depth"]);
    let energy = EnergyPerArea::joules_per_square_metre(10.0);
    let time = mixing_time(energy, si::square_metres(10.0), si::watts(1.0), 0.005);
    assert_eq!(left(time), ["mixing efficiency"]);
}

#[test]
fn oxygen() {
    let held = |celsius, salt, pressure| {
        let salt = Salinity::grams_per_kilogram(salt);
        let pressure = AbsolutePressure::pascals(pressure);
        left(saturation(si::celsius(celsius), salt, pressure))
    };
    assert_eq!(held(41.0, 0.0, ATM), ["water temperature"]);
    assert_eq!(held(20.0, 41.0, ATM), ["salinity"]);
    assert_eq!(held(20.0, 0.0, 112_000.0), ["pressure of the air"]);
    let share = |per_metre, depth| {
        left(transfer_efficiency(
            TransferPerDepth::per_metre(per_metre),
            si::metres(depth),
        ))
    };
    assert_eq!(share(0.05, 11.0), ["depth"]);
    assert_eq!(share(0.16, 2.0), ["transfer for each metre of depth"]);
    let field = |alpha, effective_depth, depth, celsius, ambient| {
        let conditions = FieldConditions {
            alpha,
            beta: 0.98,
            fouling: 0.9,
            effective_depth,
            temperature: si::celsius(celsius),
            ambient: AbsolutePressure::pascals(ambient),
            oxygen: si::kilograms_per_cubic_metre(0.004),
            depth: si::metres(depth),
        };
        left(field_transfer(si::kilograms_per_second(1e-5), &conditions))
    };
    // Deep enough for the bubbles to be beyond 1.1 atmospheres, and still in range.
    assert!(field(0.9, 0.33, 8.0, 25.0, ATM).is_empty());
    assert_eq!(
        field(0.2, 0.33, 2.0, 25.0, ATM),
        ["alpha, beta and fouling"]
    );
    assert_eq!(
        field(0.9, 0.6, 2.0, 25.0, ATM),
        ["effective over diffuser's depth"]
    );
    assert_eq!(field(0.9, 0.33, 11.0, 25.0, ATM), ["depth"]);
    assert_eq!(field(0.9, 0.33, 2.0, 45.0, ATM), ["water temperature"]);
    assert_eq!(
        field(0.9, 0.33, 2.0, 25.0, 50_000.0),
        ["pressure of the air"]
    );
    let demand = OxygenDemand::grams_per_square_metre_a_day(4.0);
    let covered = area_covered(si::kilograms_per_second(1e-5), demand);
    assert_eq!(left(covered), ["sediment oxygen demand"]);
    let bubble = |diameter, depth, celsius| {
        let still = si::metres_per_second(0.0);
        let none = si::kilograms_per_cubic_metre(0.0);
        let column = column(depth, ATM, celsius);
        left(bubble_transfer(si::metres(diameter), &column, still, none))
    };
    assert_eq!(bubble(0.03, 2.0, 20.0), ["bubble diameter"]);
    assert_eq!(bubble(0.002, 31.0, 20.0), ["depth"]);
    assert_eq!(bubble(0.002, 2.0, 31.0), ["water temperature"]);
}

#[test]
fn winter_and_start() {
    let cooled = cooling_rate(
        si::square_metres(10.0),
        HeatFlux::watts_per_square_metre(700.0),
        si::cubic_metres(100.0),
    );
    assert_eq!(left(cooled), ["heat lost from open water"]);
    let milligrams = |x: f64| si::kilograms_per_cubic_metre(x * 1e-3);
    let layers = |reduced| Layers {
        upper: milligrams(7.0),
        lower: milligrams(0.0),
        reduced: milligrams(reduced),
    };
    let share = "lower layer's share of the volume";
    assert_eq!(left(mixed_oxygen(&layers(2.0), 1.5)), [share]);
    let taken = "oxygen taken by reduced substances";
    assert_eq!(left(mixed_oxygen(&layers(6.0), 0.5)), [taken]);
    let flow = si::cubic_metres_per_second(0.1);
    let lifted = time_to_lift(1.5, si::cubic_metres(100.0), flow);
    assert_eq!(left(lifted), ["share of the volume lifted"]);
}
