//! The air side against what others have published or calculated.
//!
//! Each row of a file under `tests/published` names its source, and its tolerance is half
//! of the source's last printed digit, or what the source or the library is good for.
//! What is quoted from memory says so in its row.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use crate::air_rows::{network, rows};
use crate::air_values::evaluate;
use nameplate::physics::network::Outcome;
use nameplate::units::math::{powf, powi};

/// The networks of `air_networks.py`, which solves them with scipy, fluids and CoolProp
/// on a way of its own. 0.2 % is the spread between CoolProp's viscosity and ours (0.8 %,
/// of which a quarter reaches the friction, of which a part reaches the flow).
#[test]
fn networks_settle_where_an_independent_solution_settles() {
    let table = rows(include_str!("../published/air_networks.csv"));
    assert!(table.len() >= 60, "{} networks", table.len());
    let mut worst = (0.0_f64, String::new());
    for row in &table {
        let network = network(row);
        let duty = network.solve();
        let name = &row["name"];
        let outcome = match duty.outcome {
            Outcome::Running => "running",
            Outcome::DeadHeaded => "dead-headed",
            Outcome::AllBled => "all bled",
            Outcome::BeyondCurve { .. } => "beyond",
        };
        assert_eq!(outcome, row["outcome"], "{name}");
        let total: f64 = row["total_kg_s"].parse().unwrap();
        let manifold: f64 = row["manifold_gauge_pa"].parse().unwrap();
        let mut near = |what: &str, ours: f64, theirs: f64, scale: f64| {
            let off = (ours - theirs).abs() / scale;
            if off > worst.0 {
                worst = (off, format!("{name}, {what}: {ours} against {theirs}"));
            }
        };
        near("manifold", duty.manifold.value(), manifold, manifold);
        if outcome == "running" {
            near("total", duty.amount.value(), total, total);
            let flows: Vec<f64> = row["outlets_kg_s"]
                .split(' ')
                .map(|flow| flow.parse().unwrap())
                .collect();
            assert_eq!(flows.len(), duty.outlets.len(), "{name}");
            for (outlet, flow) in duty.outlets.iter().zip(flows) {
                assert_eq!(outlet.amount.value() == 0.0, flow == 0.0, "{name}");
                // A branch that has just opened is the small difference of two pressures;
                // its share of the whole is what can be compared.
                near("outlet", outlet.amount.value(), flow, total);
            }
        }
    }
    assert!(worst.0 < 0.002, "{worst:?}");
}

fn hold(text: &str) -> usize {
    let table = rows(text);
    let mut wrong = Vec::new();
    for row in &table {
        let inputs: Vec<f64> = row["inputs"]
            .split(' ')
            .map(|x| x.parse().unwrap())
            .collect();
        let value: f64 = row["value"].parse().unwrap();
        let tolerance: f64 = row["tolerance"].parse().unwrap();
        let ours = evaluate(&row["check"], &inputs);
        let allowed = match row["kind"].as_str() {
            "rel" => tolerance * value.abs(),
            "abs" => tolerance,
            kind => panic!("unknown kind {kind}"),
        };
        assert!(!row["source"].is_empty());
        let off = (ours - value).abs();
        if off > allowed || off.is_nan() {
            wrong.push(format!(
                "{} of {}: {ours}, not {value} ± {allowed} ({})",
                row["check"], row["inputs"], row["source"]
            ));
        }
    }
    assert!(
        wrong.is_empty(),
        "{} of {}:\n{}",
        wrong.len(),
        table.len(),
        wrong.join("\n")
    );
    table.len()
}

/// Single equations against general-purpose libraries; `air_tables.py` writes the table.
#[test]
fn equations_agree_with_libraries() {
    assert!(hold(include_str!("../published/air_tables.csv")) > 600);
}

/// Single equations against handbooks, textbooks and sums worked outside the program.
///
/// `mark` says which: published, library, from memory, or worked.
#[test]
fn equations_agree_with_printed_figures() {
    assert!(hold(include_str!("../published/air_printed.csv")) > 200);
}

/// Two handbook formulas without a Reynolds number, for steel: Harris (US units) and a
/// metric one. They are factor-of-1.5 and ±25 % checks of the order of magnitude, from
/// sources that were read.
#[test]
fn empirical_formulas_give_the_same_magnitude() {
    for (bore, scfm) in [
        (0.375, 1.0),
        (0.375, 1.25),
        (0.375, 2.5),
        (0.625, 1.25),
        (0.625, 2.5),
    ] {
        let ours = evaluate("line_pa", &[bore, scfm, 6.0, 100.0]) / 6_894.757;
        let end = (101_325.0 + 1000.0 * 9.80665 * 6.0 * 0.3048) / 6_894.757;
        let harris = 100.0 * scfm * scfm / (2390.0 * (end + ours / 2.0) * powf(bore, 5.31));
        let off = (harris / ours).max(ours / harris);
        assert!(off < 1.5, "{bore} in, {scfm} scfm: {harris} and {ours} psi");
    }
    for (bore, scfm) in [
        (0.375, 1.0),
        (0.375, 2.5),
        (0.375, 5.0),
        (0.375, 10.0),
        (1.0, 5.0),
        (1.0, 10.0),
    ] {
        let pa = evaluate("line_pa", &[bore, scfm, 6.0, 100.0]);
        let end = 101_325.0 + 1000.0 * 9.80665 * 6.0 * 0.3048;
        let at = 98_066.5;
        let q = scfm * 0.028_316_8;
        let metric = 7.57e4 * powf(q, 1.85) * 30.48 / (powi(bore * 25.4, 5) * (end + pa) / at);
        let ratio = metric / (pa / at);
        assert!(
            (0.75..1.25).contains(&ratio),
            "{bore} in, {scfm} scfm: {ratio}"
        );
    }
}
