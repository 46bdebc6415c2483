//! What must hold of every network, drawn at random from a fixed number.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use crate::air_packages::{Turn, drawn};
use nameplate::physics::network::{Duty, Outcome};
use nameplate::units::quantity::GaugePressure;
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

fn few(cases: u32) -> ProptestConfig {
    ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(20_260_502),
        failure_persistence: None,
        ..ProptestConfig::default()
    }
}

/// Everything that must hold of a solved network, or what doesn't.
fn sound(duty: &Duty) -> Result<(), String> {
    let manifold = duty.manifold.value();
    if !(manifold.is_finite() && manifold >= -1e-9) {
        return Err(format!("manifold at {manifold} Pa"));
    }
    if matches!(duty.outcome, Outcome::BeyondCurve { .. }) {
        return Ok(());
    }
    let mut sum = 0.0;
    for outlet in &duty.outlets {
        let amount = outlet.amount.value();
        if !(amount.is_finite() && amount >= 0.0) {
            return Err(format!("outlet {} draws {amount} kg/s", outlet.label));
        }
        sum += amount * outlet.count;
        let off = outlet.budget().value - manifold;
        // Behind a diffuser of constant loss the flow is the difference of two pressures
        // over the least slope, and the trunk multiplies its last digits.
        if off.abs() > 1e-5 {
            return Err(format!("budget of outlet {} is {off} Pa off", outlet.label));
        }
        let parts = [
            outlet.water_head,
            outlet.diffuser_loss,
            outlet.check_valve_loss,
            outlet.line_loss,
            outlet.fitting_loss,
            outlet.valve_loss,
            outlet.short_by,
        ];
        if parts
            .iter()
            .any(|part| part.value.is_nan() || part.value < -1e-9)
        {
            return Err(format!("a part of the budget is below 0: {outlet:?}"));
        }
        if amount > 0.0 && outlet.short_by.value != 0.0 {
            return Err(format!("outlet {} flows and is short", outlet.label));
        }
    }
    let running = matches!(duty.outcome, Outcome::Running);
    if running != (sum > 0.0) {
        return Err(format!("{:?} with {sum} kg/s", duty.outcome));
    }
    if running {
        // One part in a billion, and 1e-12 kg/s (two billionths of a scfm) where hardly
        // anything flows.
        let allowed = 1e-9 * sum + 1e-12;
        let given = duty.free_air.value() * duty.density() - duty.bled.value();
        if (sum - given).abs() > allowed {
            return Err(format!("{sum} kg/s leave, {given} are given"));
        }
        if (duty.amount.value() - sum).abs() > allowed {
            return Err(format!("outlets sum to {sum}, not {}", duty.amount.value()));
        }
    }
    Ok(())
}

trait Density {
    fn density(&self) -> f64;
}

impl Density for Duty {
    /// Dry air in a cubic metre at the inlet, from any outlet that flows.
    fn density(&self) -> f64 {
        let flowing = self.outlets.iter().find(|o| o.amount.value() > 0.0);
        flowing.map_or(0.0, |o| o.amount.value() / o.free_air.value())
    }
}

proptest! {
    #![proptest_config(few(2000))]

    #[test]
    fn budget_and_mass_close(number: u64) {
        let duty = drawn(number, Turn::NONE).solve();
        if let Err(what) = sound(&duty) {
            prop_assert!(false, "number {number}: {what}");
        }
    }
}

proptest! {
    #![proptest_config(few(300))]

    #[test]
    fn drawn_air_never_falls_and_supply_never_rises(number: u64) {
        let network = drawn(number, Turn::NONE);
        let mut before = (0.0, f64::INFINITY);
        for k in 0..30 {
            let at = GaugePressure::pascals(8_000.0 * f64::from(k));
            let here = (network.drawn_at(at).value(), network.supplied_at(at).value());
            prop_assert!(here.0 >= before.0 * (1.0 - 1e-11), "drawn at {k}: {here:?} after {before:?}");
            prop_assert!(here.1 <= before.1 * (1.0 + 1e-11), "supplied at {k}: {here:?} after {before:?}");
            before = here;
        }
    }

    #[test]
    fn deeper_is_less_air_at_more_pressure(number: u64) {
        compare(number, Turn { deeper: 0.7, ..Turn::NONE }, Turn::NONE)?;
    }

    #[test]
    fn longer_is_less_air_at_more_pressure(number: u64) {
        compare(number, Turn { longer: 1.4, ..Turn::NONE }, Turn::NONE)?;
    }

    #[test]
    fn narrower_is_less_air_at_more_pressure(number: u64) {
        compare(number, Turn { wider: 0.8, ..Turn::NONE }, Turn::NONE)?;
    }

    #[test]
    fn a_stronger_machine_leaves_no_outlet_with_less(number: u64) {
        let weak = drawn(number, Turn::NONE).solve();
        let strong = drawn(number, Turn { stronger: 1.2, ..Turn::NONE }).solve();
        if weak.outcome == Outcome::Running && strong.outcome == Outcome::Running {
            prop_assert!(strong.manifold.value() >= weak.manifold.value() - 1e-6);
            for (more, less) in strong.outlets.iter().zip(&weak.outlets) {
                prop_assert!(more.amount.value() >= less.amount.value() - 1e-12);
            }
        }
    }
}

/// `hard` asks more of the machine than `easy`: it gets no more air, and the manifold
/// stands no lower.
fn compare(number: u64, hard: Turn, easy: Turn) -> Result<(), TestCaseError> {
    let (hard, easy) = (drawn(number, hard).solve(), drawn(number, easy).solve());
    let known = |duty: &Duty| !matches!(duty.outcome, Outcome::BeyondCurve { .. });
    if known(&hard) && known(&easy) {
        let most = easy.amount.value();
        prop_assert!(hard.amount.value() <= most * (1.0 + 1e-9));
        // Without air there is only the curve's last pressure, above any duty point.
        prop_assert!(hard.manifold.value() >= easy.manifold.value() - 1e-6);
    }
    Ok(())
}

/// A million networks.
#[test]
#[ignore = "takes minutes: cargo test --release --test suite a_million_networks_solve -- --ignored --nocapture"]
fn a_million_networks_solve() {
    let start = std::time::Instant::now();
    let mut outcomes = [0_u32; 4];
    let count = std::env::var("NETWORKS").map_or(1_000_000, |n| n.parse().unwrap());
    for number in 0..count {
        let duty = drawn(number, Turn::NONE).solve();
        if let Err(what) = sound(&duty) {
            panic!("number {number}: {what}");
        }
        let kind = match duty.outcome {
            Outcome::Running => 0,
            Outcome::DeadHeaded => 1,
            Outcome::AllBled => 2,
            Outcome::BeyondCurve { .. } => 3,
        };
        outcomes[kind] += 1;
    }
    let count = 100_000;
    let alike = crate::air_packages::alike(
        crate::air_packages::straight(4.85, 7.5),
        2,
        0.375,
        100.0,
        6.0,
    );
    let before = std::time::Instant::now();
    let sum: f64 = (0..count).map(|_| alike.solve().amount.value()).sum();
    println!(
        "two alike lines: {:?} each ({sum} kg/s)",
        before.elapsed() / count
    );
    println!(
        "{outcomes:?} running, dead-headed, all bled, beyond in {:?}",
        start.elapsed()
    );
}
