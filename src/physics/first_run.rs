//! Starting in a layered pond without harm to the fish.
//!
//! Water from below brings up neither oxygen nor only itself: what has gathered there
//! uses oxygen up. Turned over at once, a layered pond can fall below what fish live on.

use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::quantity::{MassDensity, Time, Volume, VolumeRate, si};

/// Oxygen after two layers have mixed.
pub static MIXED_OXYGEN: Equation = Equation {
    name: "oxygen after mixing two layers",
    formula: "C = (1 - f) C_upper + f C_lower - f R",
    source: "mass balance; what reduced substances take, R, 0 to 5 mg/L, by judgement of this project",
    mark: Mark::Judgement,
    ranges: &[SHARE, REDUCED],
};

const SHARE: Range = Range {
    quantity: "lower layer's share of the volume",
    low: 0.0,
    high: 1.0,
    unit: "",
};
const REDUCED: Range = Range {
    quantity: "oxygen taken by reduced substances",
    low: 0.0,
    high: 0.005,
    unit: "kg/m3",
};

/// Two layers before they mix.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Layers {
    /// Oxygen in the upper layer.
    pub upper: MassDensity,
    /// Oxygen in the lower layer, often none.
    pub lower: MassDensity,
    /// Oxygen that reduced substances of each m3 of lower water use up at once.
    pub reduced: MassDensity,
}

/// Oxygen in a pond after its layers have mixed.
///
/// `C = (1 - f) C_upper + f C_lower - f R`, with `f` the lower layer's share of the
/// volume.
///
/// - Range: `f` 0 to 1, `R` up to 5 mg/L; nothing from the air meanwhile.
/// - Check value: 7 over 0 mg/L, `R` 2 mg/L, half the volume: 2.5 mg/L. Fish are at risk
///   below 3.
/// - Negative where even that doesn't settle what is owed.
pub fn mixed_oxygen(layers: &Layers, lower_share: f64) -> Checked<MassDensity> {
    let f = lower_share;
    let value = (1.0 - f) * layers.upper.value + f * (layers.lower.value - layers.reduced.value);
    Checked {
        value: si::kilograms_per_cubic_metre(value),
        breaches: [
            SHARE.check(&MIXED_OXYGEN, f),
            REDUCED.check(&MIXED_OXYGEN, layers.reduced.value),
        ]
        .into_iter()
        .flatten()
        .collect(),
    }
}

/// Largest share of lower water that may be mixed in at once.
///
/// `f = (C_upper - C_least) / (C_upper - C_lower + R)`, [`mixed_oxygen`] solved for the
/// share that leaves `C_least`.
///
/// - Check value: 7 over 0 mg/L, `R` 2 mg/L, 3 mg/L to be left: 0.44.
/// - Between 0 and 1: 0 where the upper layer is short already, 1 where the lower does
///   no harm. What isn't a number gives 0.
pub fn safe_share(layers: &Layers, least: MassDensity) -> f64 {
    let to_spare = layers.upper.value - least.value;
    let fall = layers.upper.value - layers.lower.value + layers.reduced.value;
    if to_spare.is_nan() || fall.is_nan() || to_spare <= 0.0 {
        0.0
    } else if fall <= to_spare {
        1.0
    } else {
        to_spare / fall
    }
}

/// How long to run at first.
pub static FIRST_RUN: Equation = Equation {
    name: "first day's running time",
    formula: "t = s V / Q",
    source: "definition; a tenth of the volume on the first day: judgement of this project",
    mark: Mark::Judgement,
    ranges: &[FIRST_SHARE],
};

const FIRST_SHARE: Range = Range {
    quantity: "share of the volume lifted",
    low: 0.0,
    high: 1.0,
    unit: "",
};

/// Time in which plumes lift a share of a pond.
///
/// `t = s V / Q`. For a first day, a share of 0.1 and the plumes' *greatest* flow, since
/// the danger is in moving more than one thinks.
///
/// - `V` volume, m3; `Q` water of all plumes, m3/s.
/// - Check value: a tenth of 925.1 m3 at 98.14 L/s: 16 minutes.
/// - `None` where nothing is lifted.
pub fn time_to_lift(share: f64, volume: Volume, water: VolumeRate) -> Option<Checked<Time>> {
    let time = share * volume.value / water.value;
    (water.value > 0.0 && time.is_finite() && time >= 0.0).then(|| Checked {
        value: si::seconds(time),
        breaches: FIRST_SHARE.check(&FIRST_RUN, share).into_iter().collect(),
    })
}

/// Hours to run on each of the first days: half an hour, doubled daily. Common practice,
/// no source; in the cool of the day, or better in spring before there are layers.
pub const COMMON_SCHEDULE_HOURS: [f64; 7] = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 24.0];

#[cfg(test)]
mod tests {
    use super::*;

    fn milligrams(x: f64) -> MassDensity {
        si::kilograms_per_cubic_metre(x * 1e-3)
    }

    fn layers(upper: f64, lower: f64, reduced: f64) -> Layers {
        Layers {
            upper: milligrams(upper),
            lower: milligrams(lower),
            reduced: milligrams(reduced),
        }
    }

    #[test]
    fn the_safe_share_leaves_what_it_promises() {
        let layers = layers(8.0, 1.0, 3.0);
        let share = safe_share(&layers, milligrams(4.0));
        let left = mixed_oxygen(&layers, share).value.value;
        assert!((left * 1e3 - 4.0).abs() < 1e-12);
    }

    #[test]
    fn short_already_or_harmless() {
        assert_eq!(safe_share(&layers(2.0, 0.0, 2.0), milligrams(3.0)), 0.0);
        assert_eq!(safe_share(&layers(7.0, 6.0, 0.0), milligrams(3.0)), 1.0);
        assert_eq!(
            safe_share(&layers(f64::NAN, 0.0, 0.0), milligrams(3.0)),
            0.0
        );
    }

    #[test]
    fn the_schedule_doubles_until_the_day_is_full() {
        for pair in COMMON_SCHEDULE_HOURS.windows(2) {
            assert_eq!(pair[1], (2.0 * pair[0]).min(24.0));
        }
    }
}
