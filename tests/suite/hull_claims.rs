//! Every criterion of every kind of claim, from outside: whatever single values a catalog puts in place of the
//! ranges, what the criterion then gives lies between the two corners it was judged at over the whole ranges.

use crate::scratch;
use nameplate::assumptions::Assumptions;
use nameplate::claims::{Claim, Verdict};
use nameplate::engine::{Options, audit};

/// An invented package that promises everything the format has a key for.
const CATALOG: &str = r#"
[catalog]
format = 1
title = "Otter Mill Water"
[site]
altitude = "650 m"
tariff = "0.2 USD/kWh"
[compressor.piston]
technology = "rocking-piston"
voltage = "115 V"
frequency = "60 Hz"
power = "160 W"
max_pressure = "12 psi"
outlet = "1/2 in barb"
sound = { is = "58 dB(A)", at = "2 m" }
curve = [
  { pressure = "0 psi", flow = "3.9 cfm" },
  { pressure = "8 psi", flow = "3.3 cfm" },
  { pressure = "20 psi", flow = "2.4 cfm" },
  { pressure = "40 psi", flow = "0 cfm" },
]
[diffuser.disc]
flow = "0.3 to 3 cfm"
check_valve = true
bubble = "fine"
inlet = "1/2 in barb"
[airline.half]
bore = "12.7 mm"
[manifold.two]
outlets = 2
valve = "ball"
outlet = "1/2 in barb"
[cabinet.post]
fan_flow = "40 cfm"
fan_power = "9 W"
fan_sound = { is = "35 dB(A)", at = "1 m" }
[package.all]
compressor = "piston"
diffuser = { part = "disc", count = 2 }
manifold = "two"
cabinet = "post"
[package.all.claim]
depth = "3.4 m"
area = "2500 m2"
flow = [ { is = "2.6 cfm", at = "3.4 m" }, { is = "3 cfm", at = "8 psi" } ]
power = "160 W"
running_cost = { is = "24 USD/month", at = "0.2 USD/kWh" }
sound = { is = "52 dB(A)", at = "3 m" }
turnover = "2 /day"
volume = "4000 m3"
water_moved = "9000 L/min"
oxygen = "0.09 kg/h"
transfer_efficiency = "1.5 %/ft"
[[package.all.option]]
id = "supplied"
airline = { part = "half", length = "40 m", count = 2 }
[[package.all.option]]
id = "own"
allows = [ { size = "3/8 in", up_to = "25 m" } ]
"#;

/// The verdicts on the package with `more` in its catalog.
fn verdicts(more: &str) -> Vec<Verdict> {
    let input = scratch::alone("all.toml", format!("{CATALOG}{more}").into_bytes());
    audit(vec![input], &Options::default()).verdicts
}

/// A catalog's own ranges, each of one value drawn from the built-in one.
fn drawn(next: &mut impl FnMut() -> f64) -> String {
    let open = Assumptions::builtin().iter().filter(|range| !range.fixed);
    let own = open.map(|range| {
        let share = match next() {
            x if x < 0.3 => 0.0,
            x if x < 0.6 => 1.0,
            _ => next(),
        };
        let value = range.low() + share * (range.high() - range.low());
        format!(
            "[assumption.{}]\nlow = {value:?}\ncentral = {value:?}\nhigh = {value:?}\nsource = \"a draw\"\n",
            range.name
        )
    });
    own.collect()
}

#[test]
fn whatever_the_ranges_hold_every_claim_stays_between_its_corners() {
    let whole = verdicts("");
    let kinds = [
        Claim::Depth,
        Claim::Area,
        Claim::Flow,
        Claim::Power,
        Claim::RunningCost,
        Claim::Sound,
        Claim::Turnover,
        Claim::Volume,
        Claim::WaterMoved,
        Claim::Oxygen,
        Claim::TransferEfficiency,
        Claim::AirlineLength,
    ];
    for kind in kinds {
        assert!(
            whole.iter().any(|verdict| verdict.claim == kind),
            "{}",
            kind.as_str()
        );
    }
    let mut state = 20_261_125_u64;
    let mut next = move || {
        // The multiplier and increment of Knuth's MMIX generator.
        state = state
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (state >> 11) as f64 / (1u64 << 53) as f64
    };
    let mut held = std::collections::BTreeMap::new();
    for _ in 0..60 {
        let more = drawn(&mut next);
        for (whole, drawn) in whole.iter().zip(verdicts(&more)) {
            assert_eq!(whole.claim, drawn.claim);
            for wide in &whole.criteria {
                let one = drawn.criteria.iter().find(|one| one.name == wide.name);
                let Some((one, (low, high))) = one.zip(wide.low.zip(wide.high)) else {
                    continue;
                };
                let Some(value) = one.central else { continue };
                let (low, high) = (low.min(high), low.max(high));
                // The halving of the throttled duty; a run's cost turns with the curve's bend (see `hull`).
                let spare = if wide.name == "line-loss" { 5e-3 } else { 1e-6 } * high.abs();
                assert!(
                    value >= low - spare && value <= high + spare,
                    "{} by {}: {value} not in {low}..{high}\n{more}",
                    whole.claim.as_str(),
                    wide.name
                );
                *held.entry((whole.claim.as_str(), wide.name)).or_insert(0) += 1;
            }
        }
    }
    assert!(
        held.len() >= 14 && held.values().all(|draws| *draws > 30),
        "{held:?}"
    );
}
