//! Sound levels: by distance, several together, against a background.
//!
//! A level without its distance compares with nothing. All of this is for a machine
//! outdoors on the ground and for A-weighted levels alike; weighting a level afterwards
//! needs its spectrum, which no spec sheet of the trade gives.

use super::refusal::{Refusal, bounded};
use super::{Checked, Equation, Range};
use crate::units::Mark;
use crate::units::math::{log10, powf};
use crate::units::quantity::Length;

/// A sound pressure level or sound power level in dB.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Decibels(pub f64);

/// Level of one source at another distance.
///
/// `Lp(r2) = Lp(r1) − 20 log10(r2 / r1)`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | Lp | sound pressure level | dB |
/// | r1, r2 | distances | m |
///
/// 6.02 dB for each doubling. The range starts where a machine of half a metre is
/// small against the distance, and ends where air and ground begin to take their share.
/// Indoors the room adds 3 to 10 dB. Check: 44 dB at 10 ft is 53.68 dB at 1 m.
pub static SOUND_BY_DISTANCE: Equation = Equation {
    name: "sound level at another distance",
    formula: "Lp(r2) = Lp(r1) - 20 log10(r2/r1)",
    source: "spherical spreading; the relation the ISO 3740 series uses",
    mark: Mark::Published,
    ranges: &[
        Range {
            quantity: "nearer distance",
            low: 0.9,
            high: 100.0,
            unit: "m",
        },
        Range {
            quantity: "farther distance",
            low: 0.9,
            high: 100.0,
            unit: "m",
        },
    ],
};

/// Level at another distance; see [`SOUND_BY_DISTANCE`].
///
/// Refused: a distance of nothing.
pub fn at_distance(
    level: Decibels,
    measured: Length,
    wanted: Length,
) -> Result<Checked<Decibels>, Refusal> {
    let from = bounded("distance", measured.value, 1e-3, 1e5, "m")?;
    let to = bounded("distance", wanted.value, 1e-3, 1e5, "m")?;
    let there = Decibels(level.0 - 20.0 * log10(to / from));
    Ok(SOUND_BY_DISTANCE.checked(&[from.min(to), from.max(to)], there))
}

/// Sound power of a source on the ground.
///
/// `Lw = Lp(r) + 20 log10(r) + 10 log10(2 pi)`, r in m; the last part is 7.982 dB
///
/// Check: 44 dB at 10 ft is Lw 61.66 dB.
pub static SOUND_POWER: Equation = Equation {
    name: "sound power over a reflecting plane",
    formula: "Lw = Lp(r) + 20 log10 r + 10 log10(2 pi)",
    source: "hemispherical spreading; the relation the ISO 3740 series uses",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "distance",
        low: 0.9,
        high: 100.0,
        unit: "m",
    }],
};

/// Sound power level from a level at a distance; see [`SOUND_POWER`].
///
/// Refused: a distance of nothing.
pub fn sound_power(level: Decibels, distance: Length) -> Result<Checked<Decibels>, Refusal> {
    let r = bounded("distance", distance.value, 1e-3, 1e5, "m")?;
    let power = level.0 + 20.0 * log10(r) + 10.0 * log10(2.0 * std::f64::consts::PI);
    Ok(SOUND_POWER.checked(&[r], Decibels(power)))
}

/// Level of several sources together.
///
/// `L = 10 log10(sum of 10^(L_i/10))`
///
/// Check: 44 and 44 dB together are 47.01 dB.
pub static SOUND_SUM: Equation = Equation {
    name: "level of several sources",
    formula: "L = 10 log10 sum 10^(L_i/10)",
    source: "sum of incoherent powers",
    mark: Mark::Exact,
    ranges: &[],
};

/// Level of several sources together; see [`SOUND_SUM`]. Nothing for no source.
pub fn sum(levels: &[Decibels]) -> Option<Decibels> {
    let power: f64 = levels.iter().map(|level| powf(10.0, level.0 / 10.0)).sum();
    (!levels.is_empty()).then(|| Decibels(10.0 * log10(power)))
}

/// What the background adds to a measured level.
///
/// `K1 = −10 log10(1 − 10^(−0.1 dL))`
///
/// | symbol | is | unit |
/// | --- | --- | --- |
/// | dL | measured level less that with the machine off | dB |
/// | K1 | to be taken off the measured level | dB |
///
/// Check: 10 dB gives 0.458 dB.
pub static BACKGROUND: Equation = Equation {
    name: "background correction of a sound level",
    formula: "K1 = -10 log10(1 - 10^(-0.1 dL))",
    source: "sum of incoherent powers; applied from 6 dB on as in ISO 10140-4:2010 (its limits were read in an acoustics program's help; those of ISO 3744 are from memory the same)",
    mark: Mark::Published,
    ranges: &[Range {
        quantity: "level above the background",
        low: 6.0,
        high: 100.0,
        unit: "dB",
    }],
};

/// Background correction; see [`BACKGROUND`].
///
/// Refused: a machine no louder than its background.
pub fn background(above: Decibels) -> Result<Checked<Decibels>, Refusal> {
    let above = bounded("level above the background", above.0, 0.1, 300.0, "dB")?;
    let correction = -10.0 * log10(1.0 - powf(10.0, -0.1 * above));
    Ok(BACKGROUND.checked(&[above], Decibels(correction)))
}

/// What a lined, vented cabinet takes off, least and most, dB: judgement of this project.
pub const CABINET_REDUCTION: (f64, f64) = (3.0, 12.0);

/// A level at 1 m below which no machine of the trade is, dB(A): judgement.
pub const QUIETEST: f64 = 30.0;
