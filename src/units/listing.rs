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
            number.shown_resolution()
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
        // Nought has no digits to show, whatever its unit.
        let nought = round.si_low() == 0.0 && round.si_high() == 0.0;
        if !converted || !finer || nought {
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::read;

    fn quantity(text: &str) -> Quantity {
        let reading = read(text, &[]);
        reading
            .quantity
            .unwrap_or_else(|| panic!("{text}: {:?}", reading.faults))
    }

    fn agrees(a: &str, b: &str) -> bool {
        let (a, b) = (quantity(a), quantity(b));
        let both = (
            agree(&a, &b).unwrap().holds(),
            agree(&b, &a).unwrap().holds(),
        );
        assert_eq!(both.0, both.1, "the order doesn't matter");
        both.0
    }

    #[test]
    fn listings_agree_within_their_digits_or_a_fortieth() {
        assert!(agrees("9 ft", "2.74 m"));
        assert!(agrees("200 ft", "60 m"), "1.6 %");
        assert!(agrees("6 ft", "2 m"), "half a metre is what 2 m rounds");
        assert!(agrees("20 degC", "68 degF"));
        assert!(agrees("40 to 60 W", "0.04 to 0.06 kW"));
        assert!(agrees("5 ft 6 in", "1.68 m"));
        assert!(agrees("0.5 in", "12.7 mm"));
        assert!(agrees("1/2 in", "13 mm"));
        assert!(agrees("1/8 acre", "500 m2"));
        assert!(agrees("3.5 ft", "1.067 m"), "1.0668 m");
        // Exactly half a unit of the last digit.
        assert!(agrees("1.5 m", "2 m"));
        assert!(!agrees("6 ft", "2.4 m"));
        assert!(!agrees("6.0 ft", "1.9 m"), "3.9 %, and 0.05 m of digits");
        assert!(
            !agrees("1/2 in", "12 mm"),
            "a fraction names a size, it rounds nothing"
        );
        assert!(!agrees("200 ft", "63 m"));
        assert!(
            !agrees("20 degC", "70 degF"),
            "no share of a temperature: 1.1 K apart"
        );
        assert!(!agrees("40 to 60 W", "0.04 to 0.07 kW"));
        assert!(!agrees("38 dB(A)", "39 dB(A)"), "nor of a sound level");
        assert!(!agrees("1 acre", "1.0 ha"));
    }

    #[test]
    fn what_can_not_be_compared_is_left_alone() {
        for (a, b) in [
            ("6 ft", "2 psi"),
            ("5 USD", "5 EUR"),
            ("5 psi", "5 psia"),
            ("2 cfm", "2 scfm"),
        ] {
            assert_eq!(agree(&quantity(a), &quantity(b)), None);
            assert_eq!(false_precision(&quantity(a), &quantity(b)), None);
        }
    }

    #[test]
    fn a_conversion_may_show_one_digit_more_than_its_original() {
        let restated = |a: &str, b: &str| {
            let found = false_precision(&quantity(a), &quantity(b));
            let turned = false_precision(&quantity(b), &quantity(a));
            assert_eq!(
                found.as_ref().map(|f| (!f.first, f.restated.clone())),
                turned.map(|f| (f.first, f.restated)),
                "the order decides only which is the first"
            );
            found.map(|found| {
                assert!(!found.first);
                let mended = false_precision(&quantity(a), &quantity(&found.restated));
                assert_eq!(mended, None, "{a} {}", found.restated);
                found.restated
            })
        };
        assert_eq!(restated("6 ft", "1.8288 m").as_deref(), Some("1.83 m"));
        assert_eq!(restated("6 ft", "1.829 m").as_deref(), Some("1.83 m"));
        assert_eq!(restated("100 ft", "30.48 m").as_deref(), Some("30.5 m"));
        assert_eq!(restated("¼ acre", "1011.71 m2").as_deref(), Some("1012 m2"));
        assert_eq!(restated("1 acre", "4046.86 m2").as_deref(), Some("4000 m2"));
        assert_eq!(
            restated("5 to 10 ft", "1.524 to 3.048 m").as_deref(),
            Some("1.52 to 3.05 m")
        );
        for (a, b) in [
            ("6 ft", "1.83 m"),
            ("1 acre", "4000 m2"),
            ("9 ft", "2.74 m"),
            ("10 ft", "3.05 m"),
            ("100 ft", "30.5 m"),
            ("1/2 in", "12.7 mm"),
            ("¼ acre", "1012 m2"),
            ("5 psi", "34.5 kPa"),
            ("1.8288 m", "6.000 ft"),
            ("1.5 ft", "0.457 m"),
            // No conversion: not within what the round one rounds.
            ("6 ft", "2.1234 m"),
            ("0 ft", "0.000 m"),
        ] {
            assert_eq!(restated(a, b), None, "{a} {b}");
        }
    }
}
