//! What the trade knows and nobody published: common practice, no source.
//!
//! Each fact is checked by itself, on an invented machine with figures of its own. What
//! is held is that the physics reproduces the fact's substance, and where it stops.

use crate::air_packages::*;
use nameplate::physics::curve::CompressorCurve;
use nameplate::physics::network::Network;
use nameplate::physics::power::{Technology, wire_to_air};
use nameplate::physics::running_cost::{Period, cost, energy, tariff_for};
use nameplate::physics::sound::{Decibels, at_distance};
use nameplate::units::quantity::{AbsolutePressure, si};

const SEA: f64 = 101_325.0;

/// A linear machine's nameplate flow is what it moves at its rated pressure, not at the
/// end of the lines: common practice, no source.
///
/// Invented: 64 W, 3.2 cfm at 2.0 psi, shut off at 7.2 psi, two lines of 90 ft 3/8 in,
/// 5 ft deep. Read at the rated pressure, its efficiency is an ordinary one at the duty
/// point; delivering 3.2 cfm there would take more than the technology is known for.
#[test]
fn a_nameplate_flow_is_that_at_the_rated_pressure() {
    let watts = si::watts(64.0);
    let sea = AbsolutePressure::pascals(SEA);
    let rated = straight(3.2 / (1.0 - 2.0 / 7.2), 7.2);
    let duty = alike(rated, 2, 0.375, 90.0, 5.0).solve();
    let band = Technology::LinearDiaphragm.band();
    let efficiency = wire_to_air(duty.free_air, sea, duty.manifold, watts).value;
    assert!(
        (band.efficiency.0..band.efficiency.1).contains(&efficiency),
        "{efficiency}"
    );
    assert!(scfm(&duty) < 3.2 * 0.9, "{} scfm", scfm(&duty));
    // The machine that delivers 3.2 cfm at that duty point itself.
    let literal = literal_machine(3.2, 7.2, |curve| alike(curve, 2, 0.375, 90.0, 5.0)).solve();
    let efficiency = wire_to_air(literal.free_air, sea, literal.manifold, watts).value;
    assert!(efficiency > band.doubtful_above - 0.06, "{efficiency}");
    assert!(efficiency < band.impossible_above, "{efficiency}");
}

/// The straight machine of a shut-off pressure that delivers `wanted` scfm.
fn literal_machine(
    wanted: f64,
    shut: f64,
    network: impl Fn(CompressorCurve) -> Network,
) -> Network {
    let (mut low, mut high) = (wanted, 20.0 * wanted);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if scfm(&network(straight(middle, shut)).solve()) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    network(straight(low, shut))
}

/// Linear machines run out at 8 to 10 ft: common practice, no source.
///
/// Invented: 6.1 cfm open, shut off at 8.4 psi, three lines of 80 ft 1/2 in. What ends it
/// is the continuous pressure, 4.2 to 4.9 psi for such machines, not the flow.
#[test]
fn a_linear_machine_runs_out_of_pressure_at_eight_to_ten_feet() {
    let manifold = |deep: f64| psi(&alike(straight(6.1, 8.4), 3, 0.5, 80.0, deep).solve());
    let deepest = |continuous: f64| {
        (0..200)
            .map(|k| f64::from(k) * 0.1)
            .take_while(|deep| manifold(*deep) <= continuous)
            .last()
    };
    let shallow_end = deepest(4.2).unwrap();
    let deep_end = deepest(4.9).unwrap();
    assert!((7.5..9.0).contains(&shallow_end), "{shallow_end} ft");
    assert!((9.0..10.5).contains(&deep_end), "{deep_end} ft");
    assert!(scfm(&alike(straight(6.1, 8.4), 3, 0.5, 80.0, deep_end).solve()) > 1.0);
}

/// Ponds of 10 to 15 ft take a rocking piston: common practice, no source.
///
/// Invented: a piston of 3.4 cfm open, straight to 40 psi; two lines of 120 ft 1/2 in.
#[test]
fn ten_to_fifteen_feet_take_a_rocking_piston() {
    for deep in [10.5, 12.0, 15.0] {
        let duty = alike(straight(3.4, 40.0), 2, 0.5, 120.0, deep).solve();
        let linear = Technology::LinearDiaphragm.band().pressure.1 / PSI;
        let piston = Technology::RockingPiston.band().pressure;
        assert!(psi(&duty) > linear * 0.98, "{deep} ft: {} psi", psi(&duty));
        assert!(
            (0.98 * piston.0..piston.1).contains(&duty.manifold.value()),
            "{deep} ft"
        );
        // It keeps most of its open flow there.
        assert!(scfm(&duty) > 0.75 * 3.4, "{deep} ft: {} scfm", scfm(&duty));
    }
}

/// A hundred feet of 3/8 in each are fine for two diffusers; longer runs want 5/8 in, and
/// short ones don't need it: common practice, no source.
///
/// Invented: 4.4 cfm open, shut off at 7.0 psi, 5.5 ft deep.
#[test]
fn a_hundred_feet_of_three_eighths_will_do_for_two() {
    let flow = |bore: f64, feet: f64, lines: u32| {
        scfm(&alike(straight(4.4, 7.0), lines, bore, feet, 5.5).solve())
    };
    let lost = |feet: f64, lines: u32| 1.0 - flow(0.375, feet, lines) / flow(0.375, 0.0, lines);
    let gained = |feet: f64| flow(0.625, feet, 2) / flow(0.375, feet, 2) - 1.0;
    assert!((0.07..0.15).contains(&lost(100.0, 2)), "{}", lost(100.0, 2));
    assert!(lost(200.0, 2) > 0.15, "{}", lost(200.0, 2));
    assert!(gained(40.0) < 0.10, "{}", gained(40.0));
    assert!(gained(200.0) > 0.15, "{}", gained(200.0));
    // The rule is one for two lines: one line carries all the air, four share it.
    assert!(lost(100.0, 1) > 0.15 && lost(100.0, 4) < 0.07);
}

/// A small linear machine runs for less than five dollars a month: common practice, no
/// source. It depends on the tariff alone.
///
/// Invented: 43 W all day.
#[test]
fn a_small_machine_costs_five_dollars_a_month_below_a_tariff() {
    let month = energy(si::watts(43.0), Period::Month.length(), 24.0).unwrap();
    let turn = tariff_for(month, 5.0);
    assert!((turn - 0.159_18).abs() < 1e-5, "{turn}");
    assert!(cost(month, turn - 0.001) < 5.0 && cost(month, turn + 0.001) > 5.0);
    // Half the day is half the cost.
    let half = energy(si::watts(43.0), Period::Month.length(), 12.0).unwrap();
    assert!((cost(half, turn) - 2.5).abs() < 1e-9);
}

/// Sound is quoted at 10 ft, which flatters against others' 1 m: common practice, no
/// source.
///
/// Invented: 42 dB(A) at 10 ft.
#[test]
fn a_level_at_ten_feet_is_ten_decibels_more_at_a_metre() {
    let there = at_distance(Decibels(42.0), si::metres(3.048), si::metres(1.0)).unwrap();
    let band = Technology::LinearDiaphragm.band().sound;
    assert!((band.0..=band.1).contains(&there.value.0), "{there:?}");
    assert!((there.value.0 - 51.68).abs() < 0.01);
    // Read as a level at 1 m, the same figure would be a much quieter machine's.
    let misread = at_distance(Decibels(42.0), si::metres(1.0), si::metres(3.048)).unwrap();
    assert!((misread.value.0 - 32.32).abs() < 0.01);
}
