//! Two figures for one thing: `["9 ft", "2.74 m"]`.

use super::math;
use super::show;
use super::written::Quantity;

/// Share by which two listings may differ whatever their digits, since a seller who
/// converts rounds to a handy number. A rule of the catalog format.
pub const LISTING_SHARE: f64 = 0.025;

/// How two listings of one quantity compare.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Agreement {
    /// By how much they differ in the SI: of ranges the ends that differ more.
    pub difference: f64,
    /// By how much they may: half a unit of the coarser figure's last written digit,
    /// or the share of the greater figure, whichever is more.
    pub allowed: f64,
}

impl Agreement {
    /// Whether they say the same.
    pub fn holds(self) -> bool {
        // A conversion may end on the very edge: 0.5 of the last digit, computed with
        // two roundings, is not a difference.
        self.difference <= self.allowed * (1.0 + 1e-12)
    }
}

/// Compares two listings of one quantity. None if they are of different dimensions or
/// currencies, which is a matter for another rule.
///
/// A share of a temperature or a sound level means nothing, so for these only the
/// written digits count.
pub fn agree(a: &Quantity, b: &Quantity) -> Option<Agreement> {
    if !a.unit().is_comparable(b.unit()) {
        return None;
    }
    let low = (a.si_low() - b.si_low()).abs();
    let high = (a.si_high() - b.si_high()).abs();
    // Which ends differ more decides, and with them how large a share is.
    let (difference, size) = if low > high {
        (low, a.si_low().abs().max(b.si_low().abs()))
    } else {
        (high, a.si_high().abs().max(b.si_high().abs()))
    };
    let digits = a.half_width_si().max(b.half_width_si());
    let share = if a.dimension().has_shares() {
        LISTING_SHARE * size
    } else {
        0.0
    };
    Some(Agreement {
        difference,
        allowed: digits.max(share),
    })
}

/// One figure is a conversion of the other and shows more digits than that can carry.
#[derive(Debug, Clone, PartialEq)]
pub struct FalsePrecision {
    /// Whether the first of the two is the one with too many digits.
    pub first: bool,
    /// That figure with as many digits as the round one carries.
    pub restated: String,
}

/// Whether one figure is a conversion of a round other and shows at least two more
/// significant digits than it.
///
/// It is one if it lies within what the other rounds to, and its last digit is a
/// hundredth or less of the other's: then two digits are more than was known. `1.83 m`
/// for `6 ft` is no such case (0.01 m to 0.3048 m), `1.8288 m` is. A round number's
/// trailing noughts are not held against it beyond the second digit: `100 ft` counts
/// as known to ten feet, so `30.5 m` passes and `30.48 m` doesn't. Ranges, tolerances
/// and compounds such as `5 ft 6 in` are judged by their finest number.
pub fn false_precision(a: &Quantity, b: &Quantity) -> Option<FalsePrecision> {
    if !a.unit().is_comparable(b.unit()) {
        return None;
    }
    let last_digit = |quantity: &Quantity, round: bool| {
        let (number, unit) = quantity.finest();
        unit.difference_to_si(if round {
            number.round_resolution()
        } else {
            number.resolution()
        })
    };
    let judge = |round: &Quantity, fine: &Quantity, first: bool| {
        let carried = last_digit(round, true);
        let converted = [
            (round.si_low(), fine.si_low()),
            (round.si_high(), fine.si_high()),
        ]
        .iter()
        .all(|(x, y)| (x - y).abs() <= carried / 2.0 * (1.0 + 1e-12));
        // A hundredth, but for the rounding of the two conversions.
        let finer = last_digit(fine, false) * 100.0 <= carried * (1.0 + 1e-9);
        if !converted || !finer || carried == 0.0 {
            return None;
        }
        Some(FalsePrecision {
            first,
            restated: restate(fine, carried),
        })
    };
    judge(b, a, true).or_else(|| judge(a, b, false))
}

/// `quantity` with its last digit between a tenth and a hundredth of `carried` (SI),
/// which keeps the conversion true without claiming more.
fn restate(quantity: &Quantity, carried: f64) -> String {
    let unit = quantity.unit();
    let place = math::log10(unit.difference_from_si(carried)).ceil() as i32 - 2;
    let write = |value: f64| show::to_place(value, place);
    if quantity.is_range() {
        format!(
            "{} to {} {unit}",
            write(quantity.low()),
            write(quantity.high())
        )
    } else {
        format!("{} {unit}", write(quantity.central()))
    }
}
