//! The air side's own figures, kept against accident, and what it does with odd input.
//!
//! Nothing here is a proof that a figure is right: the worked cases were solved once with
//! scipy and CoolProp outside the program (agreeing to 0.05 %), the rest is what the
//! program gave when it was written.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use crate::air_packages::*;
use nameplate::physics::air_equations;
use nameplate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use nameplate::physics::diffuser::{DiffuserLoss, SCFM};
use nameplate::physics::network::{Duty, Network, Outcome, Run};
use nameplate::physics::power::{Technology, power_factor, supply_system, wire_to_air};
use nameplate::physics::start_pressure::{
    clearing_time, line_volume, start_margin, start_pressure,
};
use nameplate::physics::throttle::even;
use nameplate::units::quantity::{
    AbsolutePressure, AirAmount, ElectricCurrent, ElectricPotential, FreeAir, GaugePressure, si,
};

#[test]
fn the_worked_cases() {
    let sea = 101_325.0;
    let two = || vec![(2, branch(0.375, 100.0, 6.0))];
    let case = |duty: Duty, at: f64, total: f64, each: &[f64]| {
        near(psi(&duty), at, 0.002);
        near(scfm(&duty), total, 0.002);
        for (outlet, expected) in duty.outlets.iter().zip(each) {
            near(outlet.amount.value() / SCFM, *expected, 0.002);
        }
        assert!(duty.breaches.is_empty(), "{:?}", duty.breaches);
    };
    case(solve(sea, gauge_machine(1), two()), 3.632, 2.502, &[1.251]);
    let one = vec![(1, branch(0.375, 100.0, 6.0))];
    case(solve(sea, gauge_machine(1), one), 4.420, 1.992, &[1.992]);
    let wide = vec![(2, branch(0.625, 200.0, 6.0))];
    case(solve(sea, gauge_machine(1), wide), 3.137, 2.821, &[1.411]);
    let unlike = vec![
        (1, branch(0.375, 150.0, 6.0)),
        (1, branch(0.375, 50.0, 8.0)),
    ];
    case(
        solve(sea, gauge_machine(1), unlike),
        4.036,
        2.240,
        &[1.346, 0.894],
    );
    case(solve(84_307.0, gauge_machine(1), two()), 3.547, 2.127, &[]);
    let ratio = AltitudeModel::Ratio {
        taken_at: AbsolutePressure::pascals(sea),
    };
    let ratio = Machine::new(worked_machine(), 1, ratio).unwrap();
    case(solve(84_307.0, ratio, two()), 3.415, 1.827, &[]);
    case(solve(sea, gauge_machine(2), two()), 4.420, 3.983, &[1.992]);
    let deep = solve(sea, gauge_machine(1), vec![(2, branch(0.375, 100.0, 18.0))]);
    assert_eq!(deep.outcome, Outcome::DeadHeaded);
    assert_eq!(deep.outlets[0].amount.value(), 0.0);
    near(psi(&deep), 7.5, 1e-9);
}

/// Water 2.599, diffuser 0.350, check valve 0.050, line 0.576, barbs 0.056 psi.
#[test]
fn the_worked_budget() {
    let duty = alike(worked_machine(), 2, 0.375, 100.0, 6.0).solve();
    let outlet = &duty.outlets[0];
    near(outlet.water_head.value / PSI, 2.599, 0.001);
    near(outlet.diffuser_loss.value / PSI, 0.350, 0.002);
    near(outlet.check_valve_loss.value / PSI, 0.050, 0.001);
    near(outlet.line_loss.value / PSI, 0.576, 0.005);
    // The worked figure takes the barbs at 4 psi gauge; the two at the diffuser stand at
    // less, where the same air is faster.
    near(outlet.fitting_loss.value / PSI, 0.056, 0.025);
    assert_eq!(outlet.valve_loss.value, 0.0);
    assert_eq!(outlet.count, 2.0);
}

/// How a shallow diffuser takes the air of a deep one, 50 ft of 3/8 in each.
#[test]
fn the_worked_unlike_depths() {
    for (deep, shallow_gets, deep_gets) in [
        (5.0, 1.842, 1.152),
        (6.0, 2.147, 0.699),
        (7.0, 2.506, 0.146),
        (8.0, 2.599, 0.0),
    ] {
        let branches = vec![
            (1, branch(0.375, 50.0, 4.0)),
            (1, branch(0.375, 50.0, deep)),
        ];
        let duty = solve(101_325.0, gauge_machine(1), branches);
        let got: Vec<f64> = duty
            .outlets
            .iter()
            .map(|o| o.amount.value() / SCFM)
            .collect();
        assert!((got[0] - shallow_gets).abs() < 0.003, "{deep}: {got:?}");
        assert!((got[1] - deep_gets).abs() < 0.003, "{deep}: {got:?}");
    }
    // Anything below 7.23 ft stays dry.
    let dry = |deep: f64| {
        let branches = vec![
            (1, branch(0.375, 50.0, 4.0)),
            (1, branch(0.375, 50.0, deep)),
        ];
        solve(101_325.0, gauge_machine(1), branches).outlets[1]
            .amount
            .value()
            == 0.0
    };
    assert!(!dry(7.20) && dry(7.26));
}

#[test]
fn the_worked_valves_on_unlike_depths() {
    for (open, shallow_gets, deep_gets) in [
        (0.5, 1.996, 0.358),
        (0.3, 1.481, 0.786),
        (0.2, 1.097, 1.089),
    ] {
        let branches = vec![
            (1, run(vec![cv(open)], 0.375, 50.0, 4.0)),
            (1, run(vec![cv(20.0)], 0.375, 50.0, 8.0)),
        ];
        let duty = solve(101_325.0, gauge_machine(1), branches);
        let got: Vec<f64> = duty
            .outlets
            .iter()
            .map(|o| o.amount.value() / SCFM)
            .collect();
        assert!((got[0] - shallow_gets).abs() < 0.006, "{open}: {got:?}");
        assert!((got[1] - deep_gets).abs() < 0.006, "{open}: {got:?}");
    }
}

/// The valve settings that `even` gives, put into the network, even it.
#[test]
fn evening_valves_even() {
    let build = |first: Option<f64>| {
        let valve = first.map(|kv| cv(kv / 0.865)).into_iter().collect();
        let tree = split(vec![
            (1, run(valve, 0.375, 50.0, 4.0)),
            (1, run(Vec::new(), 0.375, 50.0, 8.0)),
        ]);
        Network::new(at_sea_level(), machines(worked_machine(), 1), None, tree).unwrap()
    };
    let open = build(None);
    let need = AirAmount::kilograms_per_second(0.7 * SCFM);
    let evened = even(&open, &[need, need], si::celsius(15.0)).unwrap();
    assert!(!evened.beyond_curve && evened.scale > 1.0);
    near(evened.manifold.value() / PSI, 4.12, 0.005);
    let kv = evened.outlets[0].kv;
    assert!(kv.is_some() && evened.outlets[1].kv.is_none(), "{evened:?}");
    let duty = build(kv).solve();
    for outlet in &duty.outlets {
        near(outlet.amount.value(), evened.scale * need.value(), 1e-6);
    }
    near(duty.manifold.value(), evened.manifold.value(), 1e-6);
    // Throttled by hand the manifold stands no lower than before and no lower than the
    // deep branch needs for its least.
    let throttled = evened.throttled_manifold(&open.solve());
    assert!(throttled >= open.solve().manifold && throttled >= evened.needed);
    // Twice the need is half the scale.
    let twice = even(&open, &[need * 2.0, need * 2.0], si::celsius(15.0)).unwrap();
    near(twice.scale, evened.scale / 2.0, 1e-9);
    assert!(twice.needed > evened.needed);
}

#[test]
fn evening_goes_through_trunks_and_nested_manifolds() {
    let inner = Run {
        elements: vec![line(0.5, 40.0)],
        ..split(vec![
            (1, branch(0.375, 20.0, 5.0)),
            (2, branch(0.375, 60.0, 6.0)),
        ])
    };
    let tree = Run {
        elements: vec![line(0.75, 80.0)],
        ..split(vec![(1, inner), (1, branch(0.375, 30.0, 4.0))])
    };
    let network = Network::new(at_sea_level(), machines(worked_machine(), 2), None, tree).unwrap();
    let need = AirAmount::kilograms_per_second(0.6 * SCFM);
    let evened = even(&network, &[need; 3], si::celsius(15.0)).unwrap();
    // The hardest outlet has its valve open, the others have something to take.
    let surplus: Vec<f64> = evened.outlets.iter().map(|o| o.surplus.value).collect();
    assert!(
        surplus[1] < 1.0 && surplus[0] > 1_000.0 && surplus[2] > surplus[0],
        "{surplus:?}"
    );
    assert!(even(&network, &[need; 2], si::celsius(15.0)).is_err());
    assert!(even(&network, &[need * 0.0; 3], si::celsius(15.0)).is_err());
    assert!(even(&network, &[need * f64::NAN; 3], si::celsius(15.0)).is_err());
}

/// What the program gave when it was written, to the last digits: a change here is a
/// change of physics or of the search.
#[test]
fn pinned_to_the_last_digits() {
    let duty = alike(worked_machine(), 2, 0.375, 100.0, 6.0).solve();
    near(duty.manifold.value(), 25_039.583_350, 1e-10);
    near(duty.amount.value(), 0.001_421_535_128_082, 1e-10);
}

#[test]
fn alike_branches_solve_as_one_and_as_many() {
    let once = alike(worked_machine(), 3, 0.5, 60.0, 5.0).solve();
    let branches = (0..3).map(|_| (1, branch(0.5, 60.0, 5.0))).collect();
    let thrice = solve(101_325.0, gauge_machine(1), branches);
    near(once.manifold.value(), thrice.manifold.value(), 1e-11);
    assert_eq!((once.outlets.len(), thrice.outlets.len()), (1, 3));
    for outlet in &thrice.outlets {
        near(outlet.amount.value(), once.outlets[0].amount.value(), 1e-9);
    }
}

#[test]
fn a_diffuser_loss_goes_straight_through_its_points() {
    let law = |points: &[(f64, f64)]| {
        let points: Vec<_> = points
            .iter()
            .map(|(m, p)| (AirAmount::kilograms_per_second(*m), si::pascals(*p)))
            .collect();
        DiffuserLoss::from_amounts(&points).unwrap()
    };
    let at = |law: &DiffuserLoss, m: f64| law.at(AirAmount::kilograms_per_second(m));
    let three = law(&[(4.0, 500.0), (1.0, 100.0), (2.0, 400.0)]);
    let expected = [
        (0.0, 0.0),
        (0.9, 70.0),
        (1.0, 100.0),
        (1.5, 250.0),
        (3.0, 450.0),
        (6.0, 600.0),
        (6.1, 605.0),
    ];
    for (m, pascals) in expected {
        let loss = at(&three, m);
        assert!((loss.value.value - pascals).abs() < 1e-9, "{m}: {loss:?}");
        // Straight pieces are carried on to half as much again as the last stated flow.
        assert_eq!(loss.breaches.is_empty(), m <= 6.0, "{m}");
    }
    let falling = law(&[(1.0, 300.0), (2.0, 200.0), (3.0, 400.0)]);
    assert!(falling.was_raised() && !three.was_raised());
    assert_eq!(at(&falling, 2.0).value.value, 300.0);
    let default = DiffuserLoss::default_times(1.0).unwrap();
    near(at(&default, 1.25 * SCFM).value.value / PSI, 0.35, 1e-12);
    near(
        at(&default.times(1.5).unwrap(), 1.25 * SCFM).value.value / PSI,
        0.525,
        1e-12,
    );
}

#[test]
fn a_start_asks_for_the_whole_water() {
    let head = si::pascals(18_000.0);
    let start = start_pressure(head, si::pascals(350.0), si::pascals(1_650.0));
    assert_eq!(start.value(), 20_000.0);
    assert!(
        start_margin(GaugePressure::pascals(24_000.0), start)
            .breaches
            .is_empty()
    );
    assert_eq!(
        start_margin(GaugePressure::pascals(21_000.0), start)
            .breaches
            .len(),
        1
    );
    // 30 m of 12.7 mm hold 3.80 L.
    let volume = line_volume(si::metres(0.0127), si::metres(30.0));
    near(volume.value, 0.003_800_3, 1e-4);
    let flow = FreeAir::cubic_metres_per_second(0.001);
    near(clearing_time(volume, flow, 1.1).unwrap().value, 4.180, 1e-3);
    assert!(clearing_time(volume, flow * 0.0, 1.1).is_err());
}

#[test]
fn electrical_nameplates() {
    use uom::si::{electric_current::ampere, electric_potential::volt};
    let volts = |v: f64| ElectricPotential::new::<volt>(v);
    let amps = |a: f64| ElectricCurrent::new::<ampere>(a);
    let fair = power_factor(si::watts(50.0), volts(120.0), amps(0.694));
    near(fair.value, 0.6, 1e-3);
    assert!(fair.breaches.is_empty());
    // More watts than volt-amperes, and locked-rotor amperes.
    assert_eq!(
        power_factor(si::watts(50.0), volts(120.0), amps(0.38))
            .breaches
            .len(),
        1
    );
    assert_eq!(
        power_factor(si::watts(50.0), volts(120.0), amps(1.5))
            .breaches
            .len(),
        1
    );
    assert_eq!(
        supply_system(volts(115.0), 60.0).map(|s| s.nominal),
        Some(120.0)
    );
    assert_eq!(
        supply_system(volts(220.0), 50.0).map(|s| s.nominal),
        Some(230.0)
    );
    assert_eq!(supply_system(volts(120.0), 50.0), None);
    assert_eq!(supply_system(volts(170.0), 60.0), None);
    for technology in [
        Technology::LinearDiaphragm,
        Technology::LinearPiston,
        Technology::Diaphragm,
        Technology::RockingPiston,
        Technology::RotaryVane,
        Technology::RegenerativeBlower,
    ] {
        let band = technology.band();
        assert_eq!(band.technology, technology);
        assert!(band.efficiency.1 < band.doubtful_above);
        assert!(band.doubtful_above < band.impossible_above);
    }
    let flow = FreeAir::cubic_metres_per_second(0.001);
    let sea = AbsolutePressure::pascals(101_325.0);
    let open = wire_to_air(flow, sea, GaugePressure::pascals(0.0), si::watts(40.0));
    assert_eq!((open.value, open.breaches.len()), (0.0, 1));
}

#[test]
fn power_is_straight_between_the_points_that_state_it() {
    let point = |psi: f64, cfm: f64, watts: Option<f64>| CurvePoint {
        pressure: GaugePressure::pascals(psi * PSI),
        flow: FreeAir::cubic_metres_per_second(cfm * 0.000_472),
        power: watts.map(si::watts),
    };
    let curve = CompressorCurve::new(&[
        point(0.0, 5.0, None),
        point(2.0, 4.0, Some(40.0)),
        point(4.0, 3.0, Some(52.0)),
        point(7.0, 0.0, None),
    ])
    .unwrap();
    let at = |psi: f64| {
        curve
            .power(GaugePressure::pascals(psi * PSI))
            .map(|p| p.value)
    };
    near(at(3.0).unwrap(), 46.0, 1e-12);
    assert_eq!(at(2.0), Some(40.0));
    assert_eq!((at(1.0), at(5.0)), (None, None));
    assert_eq!(
        curve
            .flow(GaugePressure::pascals(9.0 * PSI))
            .map(FreeAir::value),
        Some(0.0)
    );
    let two = Machine::new(curve, 2, AltitudeModel::Gauge).unwrap();
    let duty = solve(101_325.0, two, vec![(3, branch(0.5, 40.0, 5.0))]);
    near(
        duty.power.unwrap().value,
        2.0 * (40.0 + 6.0 * (psi(&duty) - 2.0)),
        1e-9,
    );
}

#[test]
fn every_equation_is_listed_once_and_fully() {
    let equations = air_equations();
    for (k, equation) in equations.iter().enumerate() {
        assert!(!equation.name.is_empty() && !equation.formula.is_empty());
        assert!(!equation.source.is_empty(), "{}", equation.name);
        assert!(
            equations[..k]
                .iter()
                .all(|other| other.name != equation.name),
            "{}",
            equation.name
        );
        for range in equation.ranges {
            assert!(range.low < range.high, "{}: {range:?}", equation.name);
        }
    }
    // Each static equation of the air side's files is in the list.
    let texts = [
        include_str!("../../src/physics/atmosphere.rs"),
        include_str!("../../src/physics/check_valve.rs"),
        include_str!("../../src/physics/curve.rs"),
        include_str!("../../src/physics/diffuser.rs"),
        include_str!("../../src/physics/fittings.rs"),
        include_str!("../../src/physics/friction.rs"),
        include_str!("../../src/physics/head.rs"),
        include_str!("../../src/physics/heat.rs"),
        include_str!("../../src/physics/hose.rs"),
        include_str!("../../src/physics/network/mod.rs"),
        include_str!("../../src/physics/power.rs"),
        include_str!("../../src/physics/reference.rs"),
        include_str!("../../src/physics/running_cost.rs"),
        include_str!("../../src/physics/sound.rs"),
        include_str!("../../src/physics/start_pressure.rs"),
        include_str!("../../src/physics/throttle.rs"),
        include_str!("../../src/physics/valve.rs"),
    ];
    let written: usize = texts
        .iter()
        .map(|text| text.matches(": Equation = Equation {").count())
        .sum();
    assert_eq!(written, equations.len());
}
