//! The air side at its edges: curves that end, bleeds, odd and large networks, refusals.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use crate::air_packages::*;
use nameplate::physics::Refusal;
use nameplate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use nameplate::physics::diffuser::{DiffuserLoss, SCFM};
use nameplate::physics::fittings::MinorLoss;
use nameplate::physics::friction::Line;
use nameplate::physics::network::{Bleed, End, MOST_OUTLETS, Network, Outcome, Outlet, Run};
use nameplate::units::quantity::{AirAmount, FreeAir, GaugePressure, si};

#[test]
fn a_curve_that_ends_early_is_never_carried_on() {
    let short = curve(&[(0.0, 4.85), (2.0, 3.6), (3.0, 2.9)]);
    let duty = alike(short, 2, 0.375, 100.0, 6.0).solve();
    let Outcome::BeyondCurve {
        last,
        curve: given,
        network,
    } = duty.outcome
    else {
        panic!("{:?}", duty.outcome);
    };
    near(last.value() / PSI, 3.0, 1e-9);
    assert!(given > network && network.value() > 0.0);
    assert!(duty.outlets.is_empty() && duty.amount.value() == 0.0);
}

#[test]
fn a_curve_that_begins_above_open_flow_holds_its_first_value_and_says_so() {
    let late = curve(&[(3.0, 2.0), (6.0, 0.5)]);
    let duty = alike(late, 4, 0.625, 5.0, 2.0).solve();
    assert_eq!(duty.outcome, Outcome::Running);
    near(scfm(&duty), 2.0, 1e-6);
    assert!(
        duty.breaches
            .iter()
            .any(|b| b.range.quantity == "gauge pressure"),
        "{:?}",
        duty.breaches
    );
}

#[test]
fn a_bleed_that_takes_all_is_told() {
    let tree = split(vec![(2, branch(0.375, 100.0, 6.0))]);
    for bleed in [
        Bleed::Constant {
            flow: FreeAir::cubic_metres_per_second(0.0022),
        },
        Bleed::Constant {
            flow: FreeAir::cubic_metres_per_second(1.0),
        },
        Bleed::Orifice {
            at: GaugePressure::pascals(5_000.0),
            flow: FreeAir::cubic_metres_per_second(0.003),
        },
    ] {
        let network = Network::new(
            at_sea_level(),
            machines(worked_machine(), 1),
            Some(bleed),
            tree.clone(),
        );
        let duty = network.unwrap().solve();
        assert_eq!(duty.outcome, Outcome::AllBled, "{bleed:?}");
        assert_eq!(duty.amount.value(), 0.0);
        assert!(duty.manifold.value() >= 0.0 && psi(&duty) < 2.949);
        assert!(duty.bled.value() > 0.0);
    }
}

#[test]
fn odd_networks_settle() {
    let constant = |pascals: f64| Outlet {
        loss: DiffuserLoss::from_amounts(&[(
            AirAmount::kilograms_per_second(SCFM),
            si::pascals(pascals),
        )])
        .unwrap(),
        check_valve: None,
        ..outlet(6.0, 0)
    };
    let bare = |loss: f64| Run {
        elements: Vec::new(),
        end: End::Outlet(constant(loss)),
    };
    // No line, no slope: the manifold stands at the water and the loss.
    let duty = solve(101_325.0, gauge_machine(1), vec![(1, bare(1_000.0))]);
    near(
        duty.manifold.value(),
        999.103 * 9.80665 * 6.0 * 0.3048 + 1_000.0,
        1e-4,
    );
    near(duty.amount.value(), duty.free_air.value() * 1.204_09, 1e-4);
    // Two such at the same depth share; the deeper of two takes nothing.
    let duty = solve(
        101_325.0,
        gauge_machine(1),
        vec![(1, bare(1_000.0)), (1, bare(1_000.0))],
    );
    near(
        duty.outlets[0].amount.value(),
        duty.outlets[1].amount.value(),
        1e-6,
    );
    let duty = solve(
        101_325.0,
        gauge_machine(1),
        vec![(1, bare(1_000.0)), (1, bare(1_100.0))],
    );
    assert_eq!(duty.outlets[1].amount.value(), 0.0);
    // A line of no length is no line.
    let none = solve(
        101_325.0,
        gauge_machine(1),
        vec![(1, branch(0.375, 0.0, 6.0))],
    );
    assert_eq!(none.outlets[0].line_loss.value, 0.0);
    // A hair of a bore, a kilometre long, and a bore of a metre.
    for (bore, feet) in [(0.001, 3_000.0), (39.0, 3_000.0), (0.001, 1e-6)] {
        let duty = solve(
            101_325.0,
            gauge_machine(1),
            vec![(1, branch(bore, feet, 6.0))],
        );
        assert_eq!(duty.outcome, Outcome::Running);
        near(duty.outlets[0].budget().value, duty.manifold.value(), 1e-9);
    }
    // A choked line breaches the range of its equation, and still has one answer.
    let blast = Machine::new(straight(2_000.0, 900.0), 1, AltitudeModel::Gauge).unwrap();
    let duty = solve(101_325.0, blast, vec![(1, branch(0.375, 1.0, 1.0))]);
    assert_eq!(duty.outcome, Outcome::Running);
    assert!(
        duty.breaches
            .iter()
            .any(|b| b.range.quantity == "Mach number")
    );
    // A machine that gives nothing at all.
    let dead = Machine::new(curve(&[(0.0, 0.0)]), 1, AltitudeModel::Gauge).unwrap();
    let duty = solve(101_325.0, dead, vec![(1, branch(0.375, 10.0, 1.0))]);
    assert_eq!(duty.outcome, Outcome::DeadHeaded);
    // A diffuser at the surface.
    let duty = solve(
        101_325.0,
        gauge_machine(1),
        vec![(1, bare(0.0)), (1, branch(0.5, 10.0, 0.0))],
    );
    assert_eq!(duty.outcome, Outcome::Running);
}

#[test]
fn hundreds_of_unlike_outlets_settle() {
    let branches = (0..600)
        .map(|k| {
            (
                1,
                branch(0.5, 20.0 + f64::from(k), 6.0 + 0.002 * f64::from(k)),
            )
        })
        .collect();
    let machine = Machine::new(straight(900.0, 7.5), 1, AltitudeModel::Gauge).unwrap();
    let duty = solve(101_325.0, machine, branches);
    let sum: f64 = duty.outlets.iter().map(|o| o.amount.value()).sum();
    near(sum, duty.amount.value(), 1e-9);
    assert_eq!(duty.outlets.len(), 600);
}

/// The slowest shape that is taken: every split nests a search, and the innermost has
/// most outlets. It must end in seconds, not hours.
#[test]
fn the_deepest_nesting_settles() {
    let mut tree = split(
        (0..60)
            .map(|k| {
                (
                    1,
                    branch(0.5, 20.0 + 9.0 * f64::from(k), 5.0 + 0.01 * f64::from(k)),
                )
            })
            .collect(),
    );
    for level in 0..2 {
        tree.elements.push(line(1.0, 30.0));
        tree = split(vec![
            (1, tree),
            (1, branch(0.5, 40.0, 5.0 + f64::from(level))),
        ]);
    }
    tree.elements.push(line(1.5, 30.0));
    let network = Network::new(at_sea_level(), machines(straight(30.0, 7.5), 1), None, tree);
    let duty = network.unwrap().solve();
    assert_eq!(duty.outcome, Outcome::Running);
    for outlet in &duty.outlets {
        near(outlet.budget().value, duty.manifold.value(), 1e-9);
    }
}

#[test]
fn what_cannot_be_calculated_with_is_refused() {
    let nan = f64::NAN;
    let t = si::celsius(15.0);
    for (bore, length) in [
        (0.0, 1.0),
        (-1.0, 1.0),
        (nan, 1.0),
        (0.01, -1.0),
        (0.01, nan),
        (0.01, f64::INFINITY),
    ] {
        assert!(Line::new(si::metres(bore), si::metres(length), t, si::metres(0.0)).is_err());
    }
    assert!(MinorLoss::new(-1.0, si::metres(0.01), t).is_err());
    assert!(MinorLoss::new(nan, si::metres(0.01), t).is_err());
    assert!(MinorLoss::barbs(2.0, si::metres(0.01), 1.5, t).is_err());
    assert!(DiffuserLoss::from_amounts(&[]).is_err());
    assert!(DiffuserLoss::linear(si::pascals(nan), 0.0).is_err());
    let point = |psi: f64, cfm: f64| CurvePoint {
        pressure: GaugePressure::pascals(psi),
        flow: FreeAir::cubic_metres_per_second(cfm),
        power: None,
    };
    assert_eq!(
        CompressorCurve::new(&[]),
        Err(Refusal::Empty {
            of: "point of the compressor curve"
        })
    );
    assert_eq!(
        CompressorCurve::new(&[point(0.0, 1.0), point(5.0, 2.0)]),
        Err(Refusal::FlowRises { at: 5.0 })
    );
    assert!(CompressorCurve::new(&[point(0.0, 2.0), point(0.0, 1.0)]).is_err());
    assert!(CompressorCurve::new(&[point(nan, 2.0)]).is_err());
    assert!(CompressorCurve::new(&[point(0.0, nan)]).is_err());
    assert!(CompressorCurve::new(&[point(-1.0, 1.0)]).is_err());
    // The same point twice says nothing new.
    assert!(CompressorCurve::new(&[point(0.0, 2.0), point(0.0, 2.0), point(9.0, 0.0)]).is_ok());
    assert!(Machine::new(worked_machine(), 0, AltitudeModel::Gauge).is_err());
    let network = |deep: f64| {
        Network::new(
            at_sea_level(),
            machines(worked_machine(), 1),
            None,
            branch(0.375, 1.0, deep),
        )
    };
    assert!(network(nan).is_err() && network(-1.0).is_err() && network(1.0).is_ok());
    assert!(
        Network::new(
            at_pressure(nan),
            machines(worked_machine(), 1),
            None,
            branch(0.375, 1.0, 1.0)
        )
        .is_err()
    );
    assert!(Network::new(at_sea_level(), Vec::new(), None, branch(0.375, 1.0, 1.0)).is_err());
    let empty = split(Vec::new());
    assert!(Network::new(at_sea_level(), machines(worked_machine(), 1), None, empty).is_err());
    let many = split(
        (0..=MOST_OUTLETS)
            .map(|_| (1, branch(0.375, 1.0, 1.0)))
            .collect(),
    );
    assert!(Network::new(at_sea_level(), machines(worked_machine(), 1), None, many).is_err());
    let mut nested = branch(0.375, 1.0, 1.0);
    for _ in 0..5 {
        nested = split(vec![(1, nested), (1, branch(0.375, 1.0, 1.0))]);
    }
    assert!(Network::new(at_sea_level(), machines(worked_machine(), 1), None, nested).is_err());
    let mut deep = branch(0.375, 1.0, 1.0);
    for _ in 0..40 {
        deep = split(vec![(1, deep)]);
    }
    assert!(Network::new(at_sea_level(), machines(worked_machine(), 1), None, deep).is_err());
    // Every refusal says what it refuses.
    let told = network(-1.0).unwrap_err().to_string();
    assert!(
        told.contains("depth") && told.contains("-0.3048 m"),
        "{told}"
    );
}
