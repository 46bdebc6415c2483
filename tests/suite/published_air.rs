//! The air side against what others have published or calculated.
//!
//! Each row of a file under `tests/published` names its source, and its tolerance is half
//! of the source's last printed digit, or what the source or the library is good for.
//! What is quoted from memory says so in its row.

use crate::air_rows::{network, rows};
use nameplate::physics::network::Outcome;

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
