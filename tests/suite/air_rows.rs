//! Reading the tables under `tests/published` that belong to the air side.

#![allow(
    clippy::unwrap_used,
    reason = "a test that can't build its case should stop there"
)]

use crate::published_rows::cells;
use nameplate::physics::check_valve::CheckValve;
use nameplate::physics::curve::{AltitudeModel, CompressorCurve, CurvePoint, Machine};
use nameplate::physics::diffuser::DiffuserLoss;
use nameplate::physics::fittings::MinorLoss;
use nameplate::physics::friction::Line;
use nameplate::physics::network::{
    Bleed, Branch, Element, End, Network, Outlet, Run, Surroundings,
};
use nameplate::physics::valve::ControlValve;
use nameplate::units::quantity::{AbsolutePressure, AirAmount, FreeAir, GaugePressure, si};
use std::collections::BTreeMap;

/// One line of a table, by the names in its first line.
pub type Row = BTreeMap<String, String>;

/// The lines of a comma-separated table.
pub fn rows(text: &str) -> Vec<Row> {
    let mut lines = text.lines();
    let names = cells(lines.next().unwrap());
    lines
        .filter(|line| !line.is_empty())
        .map(|line| {
            let cells = cells(line);
            assert_eq!(cells.len(), names.len(), "{line}");
            names.iter().cloned().zip(cells).collect()
        })
        .collect()
}

fn number(word: &str) -> f64 {
    word.parse().unwrap_or_else(|_| panic!("no number: {word}"))
}

/// The network a row describes; its words are explained in `air_networks.py`.
pub fn network(row: &Row) -> Network {
    let ambient = AbsolutePressure::pascals(number(&row["ambient_pa"]));
    let model = match row["model"].as_str() {
        "gauge" => AltitudeModel::Gauge,
        _ => AltitudeModel::Ratio {
            taken_at: AbsolutePressure::pascals(101_325.0),
        },
    };
    let machines = row["machines"]
        .split(" / ")
        .map(|machine| {
            let (count, points) = machine.split_once(' ').unwrap();
            let points: Vec<CurvePoint> = points
                .split(' ')
                .map(|point| {
                    let (pressure, flow) = point.split_once(':').unwrap();
                    CurvePoint {
                        pressure: GaugePressure::pascals(number(pressure)),
                        flow: FreeAir::cubic_metres_per_second(number(flow)),
                        power: None,
                    }
                })
                .collect();
            let curve = CompressorCurve::new(&points).unwrap();
            Machine::new(curve, count.parse().unwrap(), model).unwrap()
        })
        .collect();
    let bleed = row["bleed"].split(' ').collect::<Vec<_>>();
    let bleed = match bleed.as_slice() {
        ["constant", flow] => Some(Bleed::Constant {
            flow: FreeAir::cubic_metres_per_second(number(flow)),
        }),
        ["orifice", at, flow] => Some(Bleed::Orifice {
            at: GaugePressure::pascals(number(at)),
            flow: FreeAir::cubic_metres_per_second(number(flow)),
        }),
        _ => None,
    };
    let mut words = Words {
        kelvin: number(&row["line_k"]),
        left: row["tree"].split(' ').collect::<Vec<_>>().into_iter(),
        outlets: 0,
    };
    let surroundings = Surroundings {
        ambient,
        inlet_density: si::kilograms_per_cubic_metre(number(&row["inlet_kg_m3"])),
        water_density: si::kilograms_per_cubic_metre(number(&row["water_kg_m3"])),
    };
    Network::new(surroundings, machines, bleed, words.run()).unwrap()
}

struct Words<'a> {
    kelvin: f64,
    left: std::vec::IntoIter<&'a str>,
    outlets: usize,
}

impl Words<'_> {
    fn next(&mut self) -> f64 {
        number(self.left.next().unwrap())
    }

    fn run(&mut self) -> Run {
        let kelvin = si::kelvins(self.kelvin);
        let mut elements = Vec::new();
        loop {
            match self.left.next().unwrap() {
                "V" => elements.push(Element::Valve(
                    ControlValve::from_kv(self.next(), kelvin).unwrap(),
                )),
                "B" => {
                    let (count, tube, ratio) = (self.next(), self.next(), self.next());
                    elements.push(Element::Fitting(
                        MinorLoss::barbs(count, si::metres(tube), ratio, kelvin).unwrap(),
                    ));
                }
                "L" => {
                    let (bore, length, rough) = (self.next(), self.next(), self.next());
                    let line = Line::new(
                        si::metres(bore),
                        si::metres(length),
                        kelvin,
                        si::metres(rough),
                    );
                    elements.push(Element::Line(line.unwrap()));
                }
                "O" => {
                    let end = End::Outlet(self.outlet());
                    return Run { elements, end };
                }
                "{" => {
                    let end = End::Split(self.branches());
                    return Run { elements, end };
                }
                word => panic!("unknown word {word}"),
            }
        }
    }

    fn outlet(&mut self) -> Outlet {
        let (depth, opening, count) = (self.next(), self.next(), self.next() as usize);
        let points: Vec<_> = (0..count)
            .map(|_| {
                let amount = AirAmount::kilograms_per_second(self.next());
                (amount, si::pascals(self.next()))
            })
            .collect();
        self.outlets += 1;
        Outlet {
            depth: si::metres(depth),
            loss: DiffuserLoss::from_amounts(&points).unwrap(),
            check_valve: Some(CheckValve::new(si::pascals(opening)).unwrap()),
            label: self.outlets - 1,
        }
    }

    fn branches(&mut self) -> Vec<Branch> {
        let mut branches = Vec::new();
        loop {
            let word = self.left.next().unwrap();
            if word == "}" {
                return branches;
            }
            assert_eq!(self.left.next(), Some("["));
            let run = self.run();
            assert_eq!(self.left.next(), Some("]"));
            branches.push(Branch {
                count: word.parse().unwrap(),
                run,
            });
        }
    }
}
