//! Which way each answer of the water side moves with each input, drawn with a fixed
//! seed over the ranges of the assumptions; and that no input at all upsets it.
//!
//! Verdicts rest on this: where an answer is monotone in every uncertain input, its
//! least and greatest values stand at two corners, and two evaluations are exact.

use crate::water_rows::central;
use nameplate::physics::Checked;
use nameplate::physics::bubble_transfer::bubble_transfer;
use nameplate::physics::mixing::{AirPerArea, mixing_area};
use nameplate::physics::oxygen_saturation::{Salinity, saturation};
use nameplate::physics::oxygen_transfer::{
    FieldConditions, TransferPerDepth, field_transfer, standard_transfer, transfer_efficiency,
};
use nameplate::physics::plume::{Plume, PlumeConstants, plume};
use nameplate::physics::plume_forms::{kobus, mcdougall};
use nameplate::physics::reach::reach_area;
use nameplate::physics::rising_air::{Column, work};
use nameplate::physics::turnover::{a_day, turnover_area};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, Velocity, si};
use proptest::prelude::*;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

/// Runs a property on drawn values, always the same ones.
fn drawn<S: Strategy>(
    cases: u32,
    strategy: S,
    property: impl Fn(S::Value) -> Result<(), TestCaseError>,
) {
    let config = Config {
        cases,
        failure_persistence: None,
        ..Config::default()
    };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let outcome = TestRunner::new_with_rng(config, rng).run(&strategy, property);
    if let Err(failure) = outcome {
        panic!("{failure}");
    }
}

/// Inputs of a plume as plain numbers, to vary one at a time.
#[derive(Debug, Clone, Copy)]
struct Case {
    air: f64,
    depth: f64,
    ambient: f64,
    temperature: f64,
    entrainment: f64,
    spread: f64,
    slip_velocity: f64,
    amplification: f64,
    radius: f64,
    froude: f64,
}

impl Case {
    fn column(self) -> Column {
        Column {
            depth: si::metres(self.depth),
            ambient: AbsolutePressure::pascals(self.ambient),
            temperature: si::kelvins(self.temperature),
        }
    }

    fn water(self) -> f64 {
        self.risen().value.water.value
    }

    fn risen(self) -> Checked<Plume> {
        let constants = PlumeConstants {
            entrainment: self.entrainment,
            bubble_spread: self.spread,
            slip_velocity: si::metres_per_second(self.slip_velocity),
            momentum_amplification: self.amplification,
            source_radius: si::metres(self.radius),
            froude: self.froude,
        };
        let air = AirAmount::kilograms_per_second(self.air);
        plume(air, &self.column(), &constants)
    }
}

fn cases() -> impl Strategy<Value = Case> {
    let site = (5.7e-5..2.8e-3, 0.9..10.0, 70_000.0..105_000.0, 274.0..305.0);
    let constants = (0.06..0.15, 0.3..1.0, 0.2..0.35, 1.0..1.3);
    let source = (prop_oneof![Just(0.0), 0.02..0.28], 1.0..2.0);
    (site, constants, source).prop_map(
        |(
            (air, depth, ambient, temperature),
            (entrainment, spread, slip_velocity, amplification),
            (radius, froude),
        )| Case {
            air,
            depth,
            ambient,
            temperature,
            entrainment,
            spread,
            slip_velocity,
            amplification,
            radius,
            froude,
        },
    )
}

type Change = fn(&mut Case);

const PLUME_GROWS_WITH: &[(&str, Change)] = &[
    ("air", |c| c.air *= 1.03),
    ("depth", |c| c.depth *= 1.03),
    ("entrainment", |c| c.entrainment *= 1.03),
    ("bubble spread", |c| c.spread *= 1.03),
    ("gas temperature", |c| c.temperature += 5.0),
];
const PLUME_FALLS_WITH: &[(&str, Change)] = &[
    ("slip", |c| c.slip_velocity *= 1.03),
    ("momentum amplification", |c| c.amplification *= 1.03),
    ("pressure of the air", |c| c.ambient *= 1.03),
];
const WIDE_PLUME_GROWS_WITH: &[(&str, Change)] = &[
    ("source radius", |c| c.radius *= 1.03),
    ("Froude number", |c| c.froude *= 1.03),
];

#[test]
fn a_plume_moves_one_way_with_each_input() {
    drawn(400, cases(), |case| {
        let water = case.water();
        let changed = |change: Change| {
            let mut other = case;
            change(&mut other);
            other.water()
        };
        for (name, change) in PLUME_GROWS_WITH {
            prop_assert!(changed(*change) > water, "{name}");
        }
        for (name, change) in PLUME_FALLS_WITH {
            prop_assert!(changed(*change) < water, "{name}");
        }
        if case.radius > 0.0 {
            for (name, change) in WIDE_PLUME_GROWS_WITH {
                prop_assert!(changed(*change) > water, "{name}");
            }
        }
        Ok(())
    });
}

#[test]
fn the_same_air_lifts_more_through_more_diffusers() {
    drawn(200, cases(), |case| {
        let halved = Case {
            air: case.air / 2.0,
            ..case
        };
        let doubled = 2.0 * halved.water() / case.water();
        prop_assert!(doubled > 1.0, "{doubled}");
        Ok(())
    });
}

#[test]
fn turnover_grows_with_depth_above_a_point_but_not_above_a_wide_diffuser() {
    drawn(200, cases(), |case| {
        let point = Case {
            radius: 0.0,
            ..case
        };
        let deeper = Case {
            depth: point.depth * 1.03,
            ..point
        };
        prop_assert!(deeper.water() / deeper.depth > point.water() / point.depth);
        Ok(())
    });
    // Above a wide one it falls first: the plume isn't free of its source yet.
    let lifted_for_each_metre = |radius: f64, depth: f64| {
        let c = central();
        Case {
            air: 1.25 * 5.682_71e-4,
            depth,
            ambient: 101_325.0,
            temperature: 293.15,
            entrainment: c.entrainment,
            spread: c.bubble_spread,
            slip_velocity: c.slip_velocity.value,
            amplification: c.momentum_amplification,
            radius,
            froude: c.froude,
        }
        .water()
            / depth
    };
    for (radius, least) in [(0.05, 0.8), (0.10, 1.8), (0.15, 3.0)] {
        let depths = (1..100).map(|i| f64::from(i) * 0.1);
        let at = depths
            .min_by(|a, b| {
                lifted_for_each_metre(radius, *a).total_cmp(&lifted_for_each_metre(radius, *b))
            })
            .unwrap_or_default();
        assert!(
            (at - least).abs() <= 0.15,
            "radius {radius}: least at {at} m"
        );
    }
}

#[test]
fn areas_move_one_way_with_each_input() {
    let inputs = (1e-4..5e-3, 0.9..10.0, 2.5..9.5, 0.64..0.95, 1u32..8);
    drawn(200, inputs, |(flow, depth, k, f, n)| {
        let area = |depth: f64, f: f64, k: f64, n: u32| {
            let depths: Vec<_> = (0..n).map(|_| si::metres(depth)).collect();
            reach_area(&depths, f, k).value
        };
        let reached = area(depth, f, k, n);
        prop_assert!(area(depth * 1.01, f, k, n) > reached);
        prop_assert!(area(depth, f * 1.01, k, n) > reached);
        prop_assert!(area(depth, f, k * 1.01, n) > reached);
        prop_assert!(area(depth, f, k, n + 1) > reached);

        let water = |scale: f64| si::cubic_metres_per_second(scale * 100.0 * flow);
        let turned = |scale, needed, ratio| {
            turnover_area(water(scale), a_day(needed), ratio, si::metres(depth))
        };
        prop_assert!(turned(1.01, 1.0, 0.5) > turned(1.0, 1.0, 0.5));
        prop_assert!(turned(1.0, 1.01, 0.5) < turned(1.0, 1.0, 0.5));
        prop_assert!(turned(1.0, 1.0, 0.51) < turned(1.0, 1.0, 0.5));

        let mixed = |flow: f64, needed: f64| {
            let air = AirAmount::kilograms_per_second(flow);
            let needed = AirPerArea::kilograms_per_second_and_square_metre(needed);
            mixing_area(air, needed, si::metres(depth)).map(|area| area.value)
        };
        prop_assert!(mixed(flow * 1.01, 2e-7) > mixed(flow, 2e-7));
        prop_assert!(mixed(flow, 2.1e-7) < mixed(flow, 2e-7));
        Ok(())
    });
}

/// Inputs of a field transfer as plain numbers.
#[derive(Debug, Clone, Copy)]
struct Field {
    air: f64,
    depth: f64,
    per_metre: f64,
    alpha: f64,
    beta: f64,
    fouling: f64,
    effective_depth: f64,
    ambient: f64,
    oxygen: f64,
    temperature: f64,
}

impl Field {
    fn transfer(self) -> f64 {
        let depth = si::metres(self.depth);
        let per_depth = TransferPerDepth::per_metre(self.per_metre);
        let efficiency = transfer_efficiency(per_depth, depth).value;
        let air = AirAmount::kilograms_per_second(self.air);
        let conditions = FieldConditions {
            alpha: self.alpha,
            beta: self.beta,
            fouling: self.fouling,
            effective_depth: self.effective_depth,
            temperature: si::kelvins(self.temperature),
            ambient: AbsolutePressure::pascals(self.ambient),
            oxygen: si::kilograms_per_cubic_metre(self.oxygen),
            depth,
        };
        field_transfer(standard_transfer(air, efficiency), &conditions)
            .value
            .value
    }
}

fn fields() -> impl Strategy<Value = Field> {
    let air = (5.7e-5..2.8e-3, 0.9..9.5, 0.033..0.072);
    let water = (0.8..0.99, 0.95..0.99, 0.7..0.99, 0.25..0.48);
    let pond = (70_000.0..101_325.0, 0.0..0.005, 278.0..303.0);
    (air, water, pond).prop_map(
        |(
            (air, depth, per_metre),
            (alpha, beta, fouling, effective_depth),
            (ambient, oxygen, temperature),
        )| Field {
            air,
            depth,
            per_metre,
            alpha,
            beta,
            fouling,
            effective_depth,
            ambient,
            oxygen,
            temperature,
        },
    )
}

type FieldChange = fn(&mut Field);

const TRANSFER_GROWS_WITH: &[(&str, FieldChange)] = &[
    ("air", |f| f.air *= 1.01),
    ("depth", |f| f.depth *= 1.01),
    ("transfer for each metre", |f| f.per_metre *= 1.01),
    ("alpha", |f| f.alpha *= 1.01),
    ("beta", |f| f.beta *= 1.01),
    ("fouling", |f| f.fouling *= 1.01),
    ("pressure of the air", |f| f.ambient *= 1.01),
    ("effective depth", |f| f.effective_depth *= 1.01),
];

#[test]
fn oxygen_moves_one_way_with_each_input_but_temperature() {
    drawn(400, fields(), |field| {
        let transfer = field.transfer();
        for (name, change) in TRANSFER_GROWS_WITH {
            let mut other = field;
            change(&mut other);
            prop_assert!(other.transfer() > transfer, "{name}");
        }
        let fuller = Field {
            oxygen: field.oxygen + 1e-4,
            ..field
        };
        prop_assert!(fuller.transfer() < transfer);
        Ok(())
    });
    // With 4 mg/L in the water already, warmth takes more than it gives; with none it
    // is least somewhere in between.
    let at = |oxygen: f64, celsius: f64| {
        Field {
            air: 5.7e-4,
            depth: 1.8288,
            per_metre: 0.0525,
            alpha: 0.9,
            beta: 0.98,
            fouling: 0.9,
            effective_depth: 0.33,
            ambient: 101_325.0,
            oxygen,
            temperature: 273.15 + celsius,
        }
        .transfer()
    };
    for t in 5..32 {
        let t = f64::from(t);
        assert!(at(0.004, t + 1.0) < at(0.004, t));
    }
    assert!(at(0.0, 10.0) < at(0.0, 5.0) && at(0.0, 10.0) < at(0.0, 32.0));
}

#[test]
fn saturation_moves_one_way_with_each_input() {
    let inputs = (273.2..312.0, 0.0..38.0, 61_000.0..110_000.0);
    drawn(300, inputs, |(t, s, p)| {
        let held = |t: f64, s: f64, p: f64| {
            let salinity = Salinity::grams_per_kilogram(s);
            saturation(si::kelvins(t), salinity, AbsolutePressure::pascals(p)).value
        };
        let here = held(t, s, p);
        prop_assert!(held(t + 0.5, s, p) < here);
        prop_assert!(held(t, s + 0.5, p) < here);
        prop_assert!(held(t, s, p + 500.0) > here);
        Ok(())
    });
}

/// What every uncertain input together can do stays between the two corners.
#[test]
fn no_draw_leaves_the_corners() {
    let share = || 0.0..=1.0f64;
    let draws = prop::collection::vec(share(), 14);
    let sites = (5.7e-5..2.8e-3, 0.9..10.0);
    // From the end unfavourable to a claim to the favourable one.
    let capacities = |air: f64, depth: f64, at: &dyn Fn(usize) -> f64| {
        let between = |i: usize, low: f64, high: f64| low + at(i) * (high - low);
        let radius = between(4, 0.0, 0.15);
        let case = Case {
            air,
            depth,
            ambient: 101_325.0,
            temperature: 293.15,
            entrainment: between(0, 0.06, 0.15),
            spread: between(1, 0.3, 1.0),
            slip_velocity: between(2, 0.35, 0.20),
            amplification: between(3, 1.3, 1.0),
            // Below 2 cm the model is out of its range.
            radius: if radius < 0.02 { 0.0 } else { radius },
            froude: 1.6,
        };
        let field = Field {
            air,
            depth,
            per_metre: between(5, 0.0328, 0.0722),
            alpha: between(6, 0.8, 1.0),
            beta: between(7, 0.95, 1.0),
            fouling: between(8, 0.7, 1.0),
            effective_depth: 0.33,
            ambient: 101_325.0,
            oxygen: between(9, 0.005, 0.003),
            temperature: 298.15,
        };
        let ratio = between(10, 0.8, 0.4);
        let (f, k) = (between(11, 0.64, 1.0), between(12, 2.5, 10.0));
        [
            case.water() / (ratio * depth),
            reach_area(&[si::metres(depth)], f, k).value.value,
            field.transfer() / between(13, 3.0, 0.3),
        ]
    };
    drawn(1200, (sites, draws), |((air, depth), shares)| {
        let low = capacities(air, depth, &|_| 0.0);
        let high = capacities(air, depth, &|_| 1.0);
        let here = capacities(air, depth, &|i| shares[i]);
        for i in 0..here.len() {
            prop_assert!(low[i] <= here[i] && here[i] <= high[i], "capacity {i}");
        }
        Ok(())
    });
}

/// Any bits at all: no panic, and a flow that is a number and not below nothing.
#[test]
fn no_input_upsets_the_water_side() {
    // All bits, and as often positive ones alone, or few would get as far as the solution.
    let positive = prop::num::f64::POSITIVE | prop::num::f64::ZERO | prop::num::f64::SUBNORMAL;
    let any = move || prop_oneof![1 => prop::num::f64::ANY, 15 => positive, 5 => 1e-6..1e3];
    let inputs = (
        (any(), any(), any(), any()),
        (any(), any(), any()),
        (any(), any(), any()),
    );
    drawn(6000, inputs, |(site, first, second)| {
        let ((air, depth, ambient, temperature), (a, b, c), (d, e, f)) = (site, first, second);
        let column = Column {
            depth: si::metres(depth),
            ambient: AbsolutePressure::pascals(ambient),
            temperature: si::kelvins(temperature),
        };
        let constants = PlumeConstants {
            entrainment: a,
            bubble_spread: b,
            slip_velocity: si::metres_per_second(c),
            momentum_amplification: d,
            source_radius: si::metres(e),
            froude: f,
        };
        let air = AirAmount::kilograms_per_second(air);
        let sane = |x: f64| x.is_finite() && x >= 0.0;
        let risen = plume(air, &column, &constants);
        prop_assert!(sane(risen.value.water.value) && sane(risen.value.momentum.value()));
        prop_assert!(sane(risen.value.centreline.value));
        prop_assert!(sane(work(air, &column).value.value));
        prop_assert!(sane(kobus(air, column.depth).value.value));
        let slip_velocity: Velocity = si::metres_per_second(c);
        prop_assert!(sane(
            mcdougall(air, column.depth, a, b, slip_velocity)
                .value
                .value
        ));
        prop_assert!(sane(reach_area(&[column.depth], a, b).value.value));
        let oxygen = si::kilograms_per_cubic_metre(d);
        let left = bubble_transfer(si::metres(a), &column, slip_velocity, oxygen);
        prop_assert!(left.value.is_finite());
        Ok(())
    });
}

#[test]
fn nothing_lifts_nothing_and_is_no_breach() {
    let column = |depth: f64| Column {
        depth: si::metres(depth),
        ambient: AbsolutePressure::pascals(101_325.0),
        temperature: si::celsius(20.0),
    };
    let no_air = AirAmount::kilograms_per_second(0.0);
    let still = plume(no_air, &column(2.0), &central());
    assert_eq!(still.value.water.value, 0.0);
    assert!(still.breaches.is_empty());
    let some = AirAmount::kilograms_per_second(5e-4);
    let dry = plume(some, &column(0.0), &central());
    assert_eq!(dry.value.water.value, 0.0);
    assert!(dry.breaches.is_empty());
    let unknown = plume(some, &column(f64::NAN), &central());
    assert_eq!(unknown.value.water.value, 0.0);
    assert_eq!(unknown.breaches.len(), 1);
}

/// One step out of each range, at either end.
const OUT_OF_RANGE: &[(&str, Change)] = &[
    ("depth", |c| c.depth = 0.89),
    ("depth", |c| c.depth = 10.2),
    ("air for each diffuser", |c| c.air = 5.5e-5),
    ("air for each diffuser", |c| c.air = 2.86e-3),
    ("air for each diffuser", |c| c.air = -1e-3),
    ("pressure of the air", |c| c.ambient = 59_900.0),
    ("pressure of the air", |c| c.ambient = 111_500.0),
    ("water temperature", |c| c.temperature = 273.0),
    ("water temperature", |c| c.temperature = 313.2),
    ("entrainment", |c| c.entrainment = 0.054),
    ("entrainment", |c| c.entrainment = 0.24),
    ("bubble spread", |c| c.spread = 0.19),
    ("bubble spread", |c| c.spread = 1.01),
    ("slip velocity of the bubbles", |c| c.slip_velocity = 0.19),
    ("slip velocity of the bubbles", |c| c.slip_velocity = 0.36),
    ("momentum amplification", |c| c.amplification = 0.99),
    ("momentum amplification", |c| c.amplification = 2.81),
    ("radius of the diffuser", |c| c.radius = 0.019),
    ("radius of the diffuser", |c| c.radius = 0.31),
    ("Froude number at the diffuser", |c| c.froude = 0.99),
    ("Froude number at the diffuser", |c| c.froude = 2.01),
    ("slip velocity of the bubbles", |c| {
        c.slip_velocity = f64::NAN
    }),
];

#[test]
fn each_range_of_a_plume_is_reported_alone_when_it_is_left() {
    let sound = Case {
        air: 5.7e-4,
        depth: 2.0,
        ambient: 101_325.0,
        temperature: 293.15,
        entrainment: 0.11,
        spread: 0.8,
        slip_velocity: 0.25,
        amplification: 1.1,
        radius: 0.1,
        froude: 1.6,
    };
    assert!(sound.risen().breaches.is_empty());
    for (quantity, change) in OUT_OF_RANGE {
        let mut other = sound;
        change(&mut other);
        let breaches = other.risen().breaches;
        assert_eq!(breaches.len(), 1, "{quantity}: {breaches:?}");
        assert_eq!(breaches[0].range.quantity, *quantity);
    }
}
