//! Every criterion's two corners bound whatever its ranges may be: random draws from the ranges lie
//! between them. A wrong end for one range shows here.

use std::sync::Arc;

use nameplate::assumptions::{Assumptions, Name, Values};
use nameplate::catalog::{self, Catalog, File};
use nameplate::claims::criterion::Criterion;
use nameplate::claims::{Ground, area, depth};
use nameplate::derive::Derived;
use nameplate::derive::pond::Setting;
use nameplate::document::{self, Document};
use nameplate::text::{FileId, Source};

/// Invented packages that between them have every kind of line, depth and machine.
pub const CATALOG: &str = r#"
[catalog]
format = 1
[site]
altitude = "900 m"
tariff = "0.2 USD/kWh"
[compressor.linear]
technology = "linear-diaphragm"
voltage = "230 V"
frequency = "50 Hz"
power = "40 W"
max_pressure = "26 kPa"
outlet = "1/2 in barb"
curve = [
  { pressure = "0 kPa", flow = "70 L/min" },
  { pressure = "12 kPa", flow = "55 L/min" },
  { pressure = "24 kPa", flow = "33 L/min" },
  { pressure = "36 kPa", flow = "0 L/min" },
]
[compressor.piston]
technology = "rocking-piston"
voltage = "115 V"
frequency = "60 Hz"
power = "250 W"
max_pressure = "30 psi"
curve = [
  { pressure = "0 psi", flow = "3.6 cfm" },
  { pressure = "10 psi", flow = "3.2 cfm" },
  { pressure = "30 psi", flow = "2.6 cfm" },
  { pressure = "60 psi", flow = "0 cfm" },
]
[diffuser.stated]
flow = "8 to 45 L/min"
check_valve = true
inlet = "1/2 in barb"
loss = [ { flow = "10 L/min", pressure = "2.1 kPa" }, { flow = "40 L/min", pressure = "3.2 kPa" } ]
[diffuser.unstated]
flow = "0.3 to 3 cfm"
check_valve = true
[airline.half]
bore = "12.7 mm"
[airline.small]
bore = "0.375 in"
[airline.wide]
bore = "1 in"
[manifold.four]
outlets = 4
valve = "ball"
cv = 4
inlet = "3/4 in barb"
outlet = "1/2 in barb"

[package.even]
compressor = "linear"
diffuser = { part = "stated", count = 2 }
manifold = "four"
[package.even.claim]
depth = "1.4 m"
area = "500 m2"
[[package.even.option]]
id = "supplied"
airline = { part = "half", length = "30 m", count = 2 }
[[package.even.option]]
id = "own"
allows = [ { size = "3/8 in", up_to = "15 m" } ]

[package.unequal]
compressor = "piston"
diffuser = [ { part = "unstated", count = 2, depth = "8 ft" }, { part = "unstated", depth = "14 ft" } ]
manifold = "four"
[package.unequal.claim]
depth = "14 ft"
area = "0.8 acre"
[[package.unequal.option]]
id = "trunk"
trunk = { part = "wide", length = "200 ft" }
airline = { part = "small", length = "120 ft", count = 3 }

[package.pairs]
compressor = { part = "linear", count = 2 }
diffuser = { part = "unstated", count = 4 }
manifold = "four"
[package.pairs.claim]
depth = "1.2 m"
area = "700 m2"
[[package.pairs.option]]
id = "segments"
airline = { count = 2, per_run = 2, segments = [ { part = "wide", length = "10 m" }, { part = "half", length = "20 m" } ] }

[package.deep]
compressor = "piston"
diffuser = { part = "stated", count = 3 }
manifold = "four"
[package.deep.claim]
depth = "4 m"
area = "4000 m2"
[[package.deep.option]]
id = "supplied"
airline = { part = "small", length = "60 m", count = 3 }

[manifold.plain]
outlets = 2
inlet = "3/4 in barb"
outlet = "1/2 in barb"

[package.no-valves]
compressor = "linear"
diffuser = [ { part = "unstated", depth = "4 ft" }, { part = "unstated", depth = "6 ft" } ]
manifold = "plain"
[package.no-valves.claim]
area = "600 m2"
[[package.no-valves.option]]
id = "supplied"
airline = { part = "small", length = "50 ft", count = 2 }

[package.unlike-lines]
compressor = "piston"
diffuser = [ { part = "stated", depth = "2 m" }, { part = "unstated", depth = "2.2 m" } ]
manifold = "plain"
[package.unlike-lines.claim]
depth = "2.2 m"
area = "600 m2"
[[package.unlike-lines.option]]
id = "supplied"
airline = [ { part = "small", length = "10 m" }, { part = "half", length = "90 m" } ]
"#;

pub fn read(text: &str) -> (Catalog, usize) {
    let source = Source::new("hull.toml", text.as_bytes().to_vec());
    let documents: Vec<Document> = vec![document::read(FileId(0), &source)];
    let files = [File {
        path: "hull.toml".into(),
        alone: true,
        borrowed: false,
    }];
    let mut gathered = catalog::gather(&files, &documents);
    let catalog = gathered.catalogs.remove(0);
    let faults = catalog.faults.len();
    (catalog, faults)
}

/// Numbers from 0 to 1, the same at every run.
pub struct Draws(pub u64);

impl Draws {
    fn next(&mut self) -> f64 {
        // The multiplier and increment of Knuth's MMIX generator.
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1u64 << 53) as f64
    }

    /// Every range at a random place: at either end as often as anywhere between.
    pub fn values(&mut self, assumptions: &Assumptions) -> Values {
        Name::ALL
            .iter()
            .fold(assumptions.central(), |values, &name| {
                let range = &assumptions[name];
                let share = match self.next() {
                    x if x < 0.25 => 0.0,
                    x if x < 0.5 => 1.0,
                    _ => self.next(),
                };
                values.with(name, range.low() + share * (range.high() - range.low()))
            })
    }
}

/// Draws that lie outside the corners of a criterion.
fn outside(criterion: &Criterion, assumptions: &Assumptions, draws: &mut Draws) -> Vec<String> {
    let judged = criterion.judge(assumptions);
    let (Some(low), Some(high)) = (judged.low, judged.high) else {
        return Vec::new();
    };
    let (least, most) = (low.min(high), low.max(high));
    // The solver's own tolerance, and the halving of the throttled duty.
    let spare = 1e-6 * most.abs();
    (0..400)
        .filter_map(|_| {
            let values = draws.values(assumptions);
            let value = (criterion.measure)(&values).value?;
            let inside = value >= least - spare && value <= most + spare;
            (!inside).then(|| {
                format!(
                    "{}: {value} not in {least}..{most} at {values:?}",
                    criterion.name
                )
            })
        })
        .collect()
}

#[test]
fn random_draws_lie_between_the_corners() {
    let (catalog, faults) = read(CATALOG);
    assert_eq!(faults, 0);
    let derived = Derived::of(&catalog);
    let mut draws = Draws(20_261_125);
    let mut tried = 0;
    for facts in &derived.packages {
        let ground = Ground::of(&catalog, &derived, facts);
        for way in &facts.ways {
            let solver = way.solver.as_ref().unwrap();
            let area_claimed = facts.package.claims.area.known().unwrap()[0].high();
            let mut criteria = depth::criteria(solver.clone()).unwrap();
            let setting = Setting::of(&catalog, facts.package, None);
            criteria.extend(area::criteria(
                &ground,
                solver.clone(),
                setting,
                area_claimed,
            ));
            for criterion in &criteria {
                let wrong = outside(criterion, &derived.assumptions, &mut draws);
                assert!(
                    wrong.is_empty(),
                    "{} {}: {} of 400 draws outside, the first {}",
                    facts.package.entry.id,
                    way.way.name(),
                    wrong.len(),
                    wrong[0]
                );
                tried += 1;
            }
        }
    }
    assert!(tried >= 30, "only {tried} criteria were tried");
}

/// The check sees a corner that is no corner: reach bounded by only half its range.
#[test]
fn a_wrong_end_is_seen() {
    let (catalog, _) = read(CATALOG);
    let derived = Derived::of(&catalog);
    let facts = &derived.packages[0];
    let solver = facts.ways[0].solver.as_ref().unwrap();
    let ground = Ground::of(&catalog, &derived, facts);
    let setting = Setting::of(&catalog, facts.package, None);
    let mut reach = area::criteria(&ground, Arc::clone(solver), setting, 100.0).remove(0);
    reach.bad = nameplate::assumptions::Ends::CENTRAL;
    let mut draws = Draws(7);
    assert!(!outside(&reach, &derived.assumptions, &mut draws).is_empty());
}
