//! Exact numbers: a ratio of two integers, and one with a sign.
//!
//! Every unit's factor is such a ratio, and so is nearly every number a person
//! writes. Their product is rounded once, at the very end, so that `12 in` and
//! `1 ft` are the same number to the last bit and can be compared as equal.

use std::cmp::Ordering;

/// A ratio of two whole numbers in lowest terms, never negative.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Ratio {
    numerator: u128,
    denominator: u128,
}

/// A ratio with a sign.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct Exact {
    negative: bool,
    magnitude: Ratio,
}

const fn greatest_common_divisor(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        // Nearly every number fits 64 bits, which divide many times faster.
        if a <= u64::MAX as u128 && b <= u64::MAX as u128 {
            let (mut c, mut d) = (a as u64, b as u64);
            while d != 0 {
                (c, d) = (d, c % d);
            }
            return c as u128;
        }
        (a, b) = (b, a % b);
    }
    a
}

impl Ratio {
    /// Nought.
    pub const ZERO: Ratio = Ratio::of(0, 1);
    /// One.
    pub const ONE: Ratio = Ratio::of(1, 1);

    /// `numerator` over `denominator`, for the constants of this room: a denominator
    /// of nought doesn't compile there.
    pub(super) const fn of(numerator: u128, denominator: u128) -> Ratio {
        assert!(denominator != 0, "a ratio's denominator isn't nought");
        if numerator == 1 || denominator == 1 {
            return Ratio {
                numerator,
                denominator,
            };
        }
        let common = greatest_common_divisor(numerator, denominator);
        // Most are in lowest terms already, and 128 bits divide slowly.
        if common == 1 {
            return Ratio {
                numerator,
                denominator,
            };
        }
        Ratio {
            numerator: numerator / common,
            denominator: denominator / common,
        }
    }

    /// The product, for constants: one too large doesn't compile.
    pub(super) const fn times(self, other: Ratio) -> Ratio {
        // Dividing crosswise first keeps the products as small as they can be.
        let a = Ratio::of(self.numerator, other.denominator);
        let b = Ratio::of(other.numerator, self.denominator);
        Ratio {
            numerator: a.numerator * b.numerator,
            denominator: a.denominator * b.denominator,
        }
    }

    /// The quotient, for constants.
    pub(super) const fn over(self, other: Ratio) -> Ratio {
        self.times(Ratio::of(other.denominator, other.numerator))
    }

    /// `numerator` over `denominator`; none if the denominator is nought.
    pub fn new(numerator: u128, denominator: u128) -> Option<Ratio> {
        (denominator != 0).then(|| Ratio::of(numerator, denominator))
    }

    /// The number above the line, in lowest terms.
    pub const fn numerator(self) -> u128 {
        self.numerator
    }

    /// The number below the line, in lowest terms; never nought.
    pub const fn denominator(self) -> u128 {
        self.denominator
    }

    /// The product; none if it needs more than 128 bits.
    pub fn checked_mul(self, other: Ratio) -> Option<Ratio> {
        let a = Ratio::of(self.numerator, other.denominator);
        let b = Ratio::of(other.numerator, self.denominator);
        Some(Ratio {
            numerator: a.numerator.checked_mul(b.numerator)?,
            denominator: a.denominator.checked_mul(b.denominator)?,
        })
    }

    /// The quotient; none if it needs more than 128 bits or `other` is nought.
    pub fn checked_div(self, other: Ratio) -> Option<Ratio> {
        self.checked_mul(Ratio::new(other.denominator, other.numerator)?)
    }

    /// Both over one denominator: the two numerators and that denominator.
    fn common(self, other: Ratio) -> Option<(u128, u128, u128)> {
        let shared = greatest_common_divisor(self.denominator, other.denominator);
        let (lift, other_lift) = (other.denominator / shared, self.denominator / shared);
        Some((
            self.numerator.checked_mul(lift)?,
            other.numerator.checked_mul(other_lift)?,
            self.denominator.checked_mul(lift)?,
        ))
    }

    /// The nearest double, ties to even. Exactly rounded, unlike dividing the
    /// rounded numerator by the rounded denominator.
    pub const fn to_f64(self) -> f64 {
        if self.numerator == 0 {
            return 0.0;
        }
        // Where both are doubles, IEEE 754 division is exactly rounded.
        if self.numerator < 1 << 53 && self.denominator < 1 << 53 {
            return self.numerator as u64 as f64 / self.denominator as u64 as f64;
        }
        // Long division in base two: `bits` gathers 66 binary digits or more, which
        // leaves at least twelve beyond a double's 53, and the last one stands for
        // every digit that follows it.
        let mut bits = self.numerator / self.denominator;
        let mut rest = self.numerator % self.denominator;
        let mut exponent: u64 = 0;
        while bits >> 65 == 0 {
            let complement = self.denominator - rest;
            let next = rest >= complement;
            rest = if next { rest - complement } else { rest + rest };
            bits = (bits << 1) | next as u128;
            exponent += 1;
        }
        if rest != 0 {
            bits |= 1;
        }
        // The exponent is at most 128 + 65, so the power of two is an ordinary double
        // and the product is exact.
        bits as f64 * f64::from_bits((1023 - exponent) << 52)
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Ratio) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Ratio {
    /// Compares whole parts, then the remainders turned upside down: no product is
    /// needed, so nothing can overflow.
    fn cmp(&self, other: &Ratio) -> Ordering {
        let (mut a, mut b) = (
            (self.numerator, self.denominator),
            (other.numerator, other.denominator),
        );
        loop {
            let whole = (a.0 / a.1).cmp(&(b.0 / b.1));
            if whole != Ordering::Equal {
                return whole;
            }
            let rests = (a.0 % a.1, b.0 % b.1);
            match rests {
                (0, 0) => return Ordering::Equal,
                (0, _) => return Ordering::Less,
                (_, 0) => return Ordering::Greater,
                // x/p < y/q exactly when q/y < p/x.
                (x, y) => (a, b) = ((b.1, y), (a.1, x)),
            }
        }
    }
}

impl Exact {
    /// A ratio with a sign; nought has none.
    pub fn new(negative: bool, magnitude: Ratio) -> Exact {
        Exact {
            negative: negative && magnitude != Ratio::ZERO,
            magnitude,
        }
    }

    /// Whether it lies below nought.
    pub fn is_negative(self) -> bool {
        self.negative
    }

    /// The number without its sign.
    pub fn magnitude(self) -> Ratio {
        self.magnitude
    }

    /// The product; none if it needs more than 128 bits.
    pub fn checked_mul(self, factor: Ratio) -> Option<Exact> {
        Some(Exact::new(
            self.negative,
            self.magnitude.checked_mul(factor)?,
        ))
    }

    /// The sum; none if it needs more than 128 bits.
    pub fn checked_add(self, other: Exact) -> Option<Exact> {
        let (a, b, denominator) = self.magnitude.common(other.magnitude)?;
        let (negative, numerator) = if self.negative == other.negative {
            (self.negative, a.checked_add(b)?)
        } else if a >= b {
            (self.negative, a - b)
        } else {
            (other.negative, b - a)
        };
        Some(Exact::new(negative, Ratio::new(numerator, denominator)?))
    }

    /// The nearest double.
    pub fn to_f64(self) -> f64 {
        let size = self.magnitude.to_f64();
        if self.negative { -size } else { size }
    }
}

impl From<Ratio> for Exact {
    fn from(magnitude: Ratio) -> Exact {
        Exact::new(false, magnitude)
    }
}

impl PartialOrd for Exact {
    fn partial_cmp(&self, other: &Exact) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Exact {
    fn cmp(&self, other: &Exact) -> Ordering {
        match (self.negative, other.negative) {
            (false, true) => Ordering::Greater,
            (true, false) => Ordering::Less,
            (false, false) => self.magnitude.cmp(&other.magnitude),
            (true, true) => other.magnitude.cmp(&self.magnitude),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn a_ratio_is_rounded_once() {
        // A literal in the source is rounded to the nearest double by the compiler,
        // which makes it an independent answer.
        assert_eq!(Ratio::of(3048, 10_000).to_f64(), 0.3048);
        assert_eq!(Ratio::of(1, 3).to_f64(), 1.0 / 3.0);
        assert_eq!(Ratio::of(1, 10).to_f64(), 0.1);
        assert_eq!(
            Ratio::of(u128::MAX, 1).to_f64(),
            340282366920938463463374607431768211455.0
        );
        assert_eq!(Ratio::of(1, u128::MAX).to_f64(), 2.938735877055719e-39);
        // 2^53 + 1 lies halfway between two doubles: the even one is taken, and the
        // least bit above the middle goes up.
        assert_eq!(Ratio::of((1 << 53) + 1, 1).to_f64(), 9007199254740992.0);
        assert_eq!(
            Ratio::of((((1u128 << 53) + 1) << 60) + 1, 1 << 60).to_f64(),
            9007199254740994.0
        );
    }

    #[test]
    fn a_sum_that_needs_too_many_bits_is_none() {
        let huge = Exact::from(Ratio::of(u128::MAX, 1));
        assert_eq!(huge.checked_add(huge), None);
        assert_eq!(huge.checked_mul(Ratio::of(2, 1)), None);
        assert_eq!(
            huge.checked_add(Exact::new(true, Ratio::of(u128::MAX, 1))),
            Some(Exact::from(Ratio::ZERO))
        );
    }

    proptest! {
        #[test]
        fn long_division_is_that_of_ieee(n in 1u64..1 << 53, d in 1u64..1 << 53, shift in 0u32..60) {
            // Both fit a double exactly, and IEEE 754 division is exactly rounded. The
            // power of two takes the ratio past the short way without changing digits;
            // an odd denominator keeps it in place.
            let d = d | 1;
            let ratio = Ratio::of(u128::from(n) << shift, d.into());
            let power = f64::from_bits(u64::from(1023 + shift) << 52);
            prop_assert_eq!(ratio.to_f64(), n as f64 / d as f64 * power);
        }

        #[test]
        fn order_is_that_of_the_cross_products(
            a in 0u64.., b in 1u64.., c in 0u64.., d in 1u64..,
        ) {
            let by_products = (u128::from(a) * u128::from(d)).cmp(&(u128::from(c) * u128::from(b)));
            let (x, y) = (Ratio::of(a.into(), b.into()), Ratio::of(c.into(), d.into()));
            prop_assert_eq!(x.cmp(&y), by_products);
        }

        #[test]
        fn sums_agree_with_whole_numbers(a in -1_000_000i64..1_000_000, b in -1_000_000i64..1_000_000, d in 1u128..1000) {
            let exact = |x: i64| Exact::new(x < 0, Ratio::of(x.unsigned_abs().into(), d));
            prop_assert_eq!(exact(a).checked_add(exact(b)), Some(exact(a + b)));
            prop_assert_eq!(exact(a).cmp(&exact(b)), a.cmp(&b));
        }
    }
}
