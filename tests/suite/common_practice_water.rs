//! What the trade does, on a pond invented for it: Otter Mill Water. Common practice, no
//! source; nothing here is a proof, only a reminder of what the program calls usual.

use crate::water_rows::{central, hold};
use nameplate::physics::first_run::COMMON_SCHEDULE_HOURS;
use nameplate::physics::plume::{Regime, plume};
use nameplate::physics::reach::{LONGEST_PUBLISHED_CELL, reach_area, reach_per_depth_needed};
use nameplate::physics::rising_air::Column;
use nameplate::physics::turnover::{a_day, turnover_area};
use nameplate::units::quantity::{AbsolutePressure, AirAmount, si};

const ACRE: f64 = 4_046.856_422_4;

#[test]
fn figures_of_the_trade() {
    let table = include_str!("../published/water_practice.csv");
    hold("water_practice.csv", table, 5, |row| {
        if row.check == "first_day_hours" {
            let day = row.si("day");
            let index = (1..).take_while(|i| f64::from(*i) < day).count();
            return COMMON_SCHEDULE_HOURS[index] * 3600.0;
        }
        let area = si::square_metres(row.si("area"));
        reach_per_depth_needed(area, &row.depths(), row.si("coverage"))
            .unwrap()
            .value
    });
}

/// The mill pair: two diffusers at 6 ft in a quarter of an acre. Common practice is at
/// the very top of the published cell lengths, and far from running out of water moved.
#[test]
fn the_mill_pair_is_as_bold_as_the_trade_and_no_bolder() {
    let depths = [si::metres(1.8288), si::metres(1.8288)];
    let quarter = si::square_metres(0.25 * ACRE);
    let needed = reach_per_depth_needed(quarter, &depths, 1.0).unwrap();
    assert!(needed.breaches.is_empty());
    assert!((6.9..LONGEST_PUBLISHED_CELL).contains(&needed.value));
    assert!(reach_area(&depths, 1.0, LONGEST_PUBLISHED_CELL).value > quarter);
    assert!(reach_area(&depths, 1.0, 5.0).value < quarter);

    let column = Column {
        depth: depths[0],
        ambient: AbsolutePressure::pascals(101_325.0),
        temperature: si::celsius(20.0),
    };
    let each = AirAmount::kilograms_per_second(1.25 * 5.682_71e-4);
    let risen = plume(each, &column, &central()).value;
    assert_eq!(risen.regime(), Regime::Buoyant);
    let served = turnover_area(risen.water * 2.0, a_day(1.0), 0.5, depths[0]).unwrap();
    assert!(served > 8.0 * quarter);
}

/// Doubling everything, four diffusers in half an acre, changes nothing that one
/// diffuser must do: the practice alone can't tell which criterion is behind it.
#[test]
fn the_mill_pair_twice_over_asks_for_the_same_reach() {
    let depth = si::metres(1.8288);
    let once = reach_per_depth_needed(si::square_metres(0.25 * ACRE), &[depth; 2], 1.0).unwrap();
    let twice = reach_per_depth_needed(si::square_metres(0.5 * ACRE), &[depth; 4], 1.0).unwrap();
    assert!((once.value - twice.value).abs() < 1e-12);
}
