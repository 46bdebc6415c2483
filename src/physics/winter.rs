//! Winter: how fast open water cools the refuge below it.
//!
//! People can be hurt here. Rising water keeps a hole open and thins the ice around it,
//! in a shape that shifts with the weather. What a pond's owner must put up, and whether
//! it is allowed at all, local rules say; a sheet that speaks of winter must send its
//! reader there. Keeping fish alive asks for a hole, not for the pond to be mixed, so the
//! criteria of mixing and turnover don't apply to it.

use super::water_properties::{FRESH_WATER, HeatFlux, SPECIFIC_HEAT};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{Area, ThermodynamicTemperature, Time, Volume, si};

/// Fall of temperature with time.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct CoolingRate(f64);

impl CoolingRate {
    /// From K/s.
    pub fn kelvins_per_second(x: f64) -> Self {
        Self(x)
    }
    /// In K/s.
    pub fn value(self) -> f64 {
        self.0
    }
}

/// Cooling through a hole in the ice.
pub static WINTER_COOLING: Equation = Equation {
    name: "cooling through open water",
    formula: "dT/dt = A q / (rho cp V)",
    source: "heat balance of a mixed pond; exact but for heat from the bottom, which it leaves out",
    mark: Mark::Exact,
    ranges: &[HEAT],
};

/// Loss from open water on winter days and nights: judgement of this project.
const HEAT: Range = Range {
    quantity: "heat lost from open water",
    low: 0.0,
    high: 600.0,
    unit: "W/m2",
};

/// How fast a mixed pond cools through water kept open.
///
/// `dT/dt = A q / (rho cp V)`. Below 4 degrees Celsius the warmest water lies at the
/// bottom; air let out there brings it up and cools the place where fish winter.
///
/// - `A` open water, m2; `q` heat it loses, W/m2; `V` volume that is mixed, m3.
/// - Range: up to 600 W/m2. Ice keeps the rest of the surface.
/// - Check value: 100 m2, 300 W/m2, 925 m3: 0.67 K a day.
/// - `None` without a volume.
pub fn cooling_rate(open: Area, heat: HeatFlux, volume: Volume) -> Option<Checked<CoolingRate>> {
    let rate = open.value * heat.value() / (FRESH_WATER * SPECIFIC_HEAT * volume.value);
    (volume.value > 0.0 && rate.is_finite()).then(|| Checked {
        value: CoolingRate(rate),
        breaches: HEAT
            .check(&WINTER_COOLING, heat.value())
            .into_iter()
            .collect(),
    })
}

/// Time in which a pond cools from one temperature to another at a steady rate; zero
/// when it is there already, `None` when it never gets there.
///
/// - Check value: 4 to 1 degrees Celsius at 0.67 K a day: 4.5 days.
pub fn time_to_cool(
    rate: CoolingRate,
    from: ThermodynamicTemperature,
    to: ThermodynamicTemperature,
) -> Option<Time> {
    let fall = from.value - to.value;
    if fall <= 0.0 {
        return Some(si::seconds(0.0));
    }
    let time = fall / rate.0;
    (rate.0 > 0.0 && time.is_finite()).then(|| si::seconds(time))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn heat_lost_is_heat_missing() {
        let rate = cooling_rate(
            si::square_metres(50.0),
            HeatFlux::watts_per_square_metre(200.0),
            si::cubic_metres(1000.0),
        )
        .unwrap()
        .value;
        let day = 86_400.0;
        let lost = 50.0 * 200.0 * day;
        let missing = 1000.0 * FRESH_WATER * SPECIFIC_HEAT * rate.value() * day;
        assert!((lost / missing - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_pond_that_does_not_cool_never_gets_there() {
        let (warm, cold) = (si::celsius(4.0), si::celsius(1.0));
        assert!(time_to_cool(CoolingRate(0.0), warm, cold).is_none());
        assert_eq!(
            time_to_cool(CoolingRate(0.0), cold, warm),
            Some(si::seconds(0.0))
        );
        let none = cooling_rate(
            si::square_metres(50.0),
            HeatFlux::watts_per_square_metre(200.0),
            si::cubic_metres(0.0),
        );
        assert!(none.is_none());
    }
}
