//! What the water side makes of five invented packages, pinned against accident. These
//! figures are the project's own, worked out apart from the program; they prove nothing
//! about ponds.

use crate::water_rows::{Row, central, hold};
use nameplate::physics::mixing::{AirPerArea, air_per_area, mixing_area};
use nameplate::physics::oxygen_transfer::{
    FieldConditions, OxygenDemand, TransferPerDepth, area_covered, field_transfer,
    standard_transfer, transfer_efficiency,
};
use nameplate::physics::plume::{PlumeConstants, plume};
use nameplate::physics::plume_forms::kobus;
use nameplate::physics::reach::{reach_area, reach_per_depth_needed};
use nameplate::physics::turnover::{a_day, turnover_area, turnover_rate, volume};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, MassRate, VolumeRate, si};

#[test]
fn packages_at_both_ends_and_in_the_middle() {
    let table = include_str!("../published/water_packages.csv");
    hold("water_packages.csv", table, 120, answer);
}

/// One end of everything that is assumed.
struct End {
    plume: PlumeConstants,
    coverage: f64,
    reach_per_depth: f64,
    mean_depth: f64,
    /// Standard cubic feet a minute for each acre.
    mixing: f64,
    /// Percent a foot.
    per_foot: f64,
    alpha: f64,
    beta: f64,
    fouling: f64,
    /// mg/L.
    oxygen: f64,
    /// g/m2 a day.
    demand: f64,
}

fn end(name: &str) -> End {
    match name {
        "low" => End {
            plume: PlumeConstants {
                entrainment: 0.055,
                bubble_spread: 0.3,
                slip_velocity: si::metres_per_second(0.35),
                momentum_amplification: 2.5,
                ..central()
            },
            coverage: 0.64,
            reach_per_depth: 2.5,
            mean_depth: 0.8,
            mixing: 2.0,
            per_foot: 1.0,
            alpha: 0.8,
            beta: 0.95,
            fouling: 0.7,
            oxygen: 5.0,
            demand: 3.0,
        },
        "central" => End {
            plume: central(),
            coverage: 0.83,
            reach_per_depth: 5.0,
            mean_depth: 0.5,
            mixing: 1.3,
            per_foot: 1.6,
            alpha: 0.9,
            beta: 0.98,
            fouling: 0.9,
            oxygen: 4.0,
            demand: 1.0,
        },
        "high" => End {
            plume: PlumeConstants {
                entrainment: 0.15,
                bubble_spread: 1.0,
                slip_velocity: si::metres_per_second(0.20),
                momentum_amplification: 1.0,
                source_radius: si::metres(0.15),
                ..central()
            },
            coverage: 1.0,
            reach_per_depth: 10.0,
            mean_depth: 0.4,
            mixing: 0.6,
            per_foot: 3.0,
            alpha: 1.0,
            beta: 1.0,
            fouling: 1.0,
            oxygen: 3.0,
            demand: 0.3,
        },
        other => panic!("no end {other:?}"),
    }
}

const ACRE: f64 = 4_046.856_422_4;
/// kg/s of a standard cubic foot a minute, ideal gas.
const SCFM: f64 = 101_325.0 / (287.055 * 293.15) * 0.3048 * 0.3048 * 0.3048 / 60.0;

/// Everything a package row holds, so that each check finds all inputs read.
struct Package {
    air: AirAmount,
    diffusers: f64,
    end: End,
}

impl Package {
    fn water(&self, row: &Row) -> VolumeRate {
        let each = self.air / self.diffusers;
        let risen = plume(each, &row.column(), &self.end.plume);
        assert!(
            risen.breaches.is_empty(),
            "{}: {:?}",
            row.place,
            risen.breaches
        );
        risen.value.water * self.diffusers
    }

    fn transfer(&self, row: &Row) -> MassRate {
        let end = &self.end;
        // The figures were worked out with real air, 1.2046 kg/m3.
        let air = self.air * (1.2046 * 287.055 * 293.15 / 101_325.0);
        let per_depth = TransferPerDepth::per_metre(end.per_foot / 100.0 / 0.3048);
        let efficiency = transfer_efficiency(per_depth, row.depth());
        let conditions = FieldConditions {
            alpha: end.alpha,
            beta: end.beta,
            fouling: end.fouling,
            effective_depth: 0.33,
            temperature: si::celsius(25.0),
            ambient: AbsolutePressure::pascals(101_325.0),
            oxygen: si::kilograms_per_cubic_metre(end.oxygen * 1e-3),
            depth: row.depth(),
        };
        field_transfer(standard_transfer(air, efficiency.value), &conditions).value
    }
}

fn answer(row: &Row) -> f64 {
    row.word("package");
    let area = si::square_metres(row.si("area"));
    let (depth, depths) = (row.depth(), row.depths());
    let package = Package {
        air: row.air(),
        diffusers: row.si("diffusers"),
        end: end(row.word("end")),
    };
    let end = &package.end;
    match row.check.as_str() {
        "package_reach" => {
            reach_area(&depths, end.coverage, end.reach_per_depth)
                .value
                .value
        }
        "package_reach_needed" => {
            reach_per_depth_needed(area, &depths, 1.0).map_or(f64::NAN, |needed| needed.value)
        }
        "package_turnover" => turnover_area(package.water(row), a_day(1.0), end.mean_depth, depth)
            .map_or(f64::NAN, |area| area.value),
        "package_turnovers" => {
            let pond = volume(area, depth, end.mean_depth);
            turnover_rate(package.water(row), pond).map_or(f64::NAN, |rate| rate.value)
        }
        "package_mixing" => {
            let needed =
                AirPerArea::kilograms_per_second_and_square_metre(end.mixing * SCFM / ACRE);
            mixing_area(package.air, needed, depth).map_or(f64::NAN, |area| area.value.value)
        }
        "package_air_per_area" => {
            air_per_area(package.air, area).map_or(f64::NAN, |air| air.value())
        }
        "package_oxygen" => {
            let demand = OxygenDemand::grams_per_square_metre_a_day(end.demand);
            area_covered(package.transfer(row), demand).map_or(f64::NAN, |area| area.value.value)
        }
        "package_transfer" => package.transfer(row).value,
        "package_water" => package.water(row).value,
        "package_water_kobus" => {
            let each = package.air / package.diffusers;
            kobus(each, depth).value.value * package.diffusers
        }
        other => panic!("{}: nothing checks {other:?}", row.place),
    }
}
