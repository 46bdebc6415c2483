//! A number as it was written.
//!
//! `2.50` claims more than `2.5`. Beside its value a written number keeps the place
//! of its last digit, from which follow how coarse it is and the interval of values
//! that are rounded to it.

use compact_str::CompactString;

use super::math;
use super::ratio::Exact;

/// How a number was written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// With `decimals` digits after the point, times ten to the power `exponent`.
    Decimal {
        /// Digits after the point.
        decimals: u32,
        /// Power of ten written after `e`.
        exponent: i32,
    },
    /// A fraction, with a whole number before it or not.
    Fraction {
        /// The number below the line.
        denominator: u32,
    },
}

/// A number as it was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Number {
    value: f64,
    exact: Option<Exact>,
    form: Form,
    significant: Option<(u32, u32)>,
    text: CompactString,
}

impl Number {
    /// The nearest double; always finite.
    pub fn value(&self) -> f64 {
        self.value
    }

    /// The number exactly, where 128 bits hold it.
    pub fn exact(&self) -> Option<Exact> {
        self.exact
    }

    /// How it was written.
    pub fn form(&self) -> Form {
        self.form
    }

    /// The number in the format's own writing.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Place value of the last written digit: 0.01 for `2.50`, 1 for `200`, 1/8 for
    /// `3/8`.
    pub fn resolution(&self) -> f64 {
        match self.form {
            Form::Decimal { decimals, exponent } => place(decimals, exponent),
            Form::Fraction { denominator } => 1.0 / f64::from(denominator),
        }
    }

    /// How far the number that was rounded may lie from the written one: half a unit
    /// of the last digit. `200` counts as written to the unit.
    ///
    /// A fraction isn't rounded: it names a mark of a scale, and which finer marks
    /// that scale has can't be seen from it. `1/2 in` is no statement about 0.4 in.
    pub fn half_width(&self) -> f64 {
        match self.form {
            Form::Decimal { .. } => self.resolution() / 2.0,
            Form::Fraction { .. } => 0.0,
        }
    }

    /// Significant digits, fewest and most: `200` has one to three, `2.50` has
    /// three. None for a fraction.
    pub fn significant(&self) -> Option<(u32, u32)> {
        self.significant
    }

    /// Place value of the last digit but for the noughts a whole number ends with,
    /// which may only hold places: 10 for `4050`, 0.01 for `2.50`.
    pub(super) fn shown_resolution(&self) -> f64 {
        let noughts = self.significant.map_or(0, |(fewest, most)| most - fewest);
        self.resolution() * math::powi(10.0, noughts.min(400) as i32)
    }

    /// How coarse the number is when it is taken for a round one: trailing noughts
    /// are not counted as digits beyond the second, and a fraction as a decimal with
    /// two. 10 for `200`, 1 for `10`, 1 for `6`, 0.01 for `¼`.
    pub(super) fn round_resolution(&self) -> f64 {
        let two_digits = || {
            let size = self.value.abs();
            if size == 0.0 {
                return 0.0;
            }
            math::powi(10.0, math::log10(size).floor() as i32 - 1)
        };
        match (self.form, self.significant) {
            (Form::Decimal { .. }, Some((fewest, most))) if most > fewest.max(2) => {
                let noughts = most - fewest.max(2);
                self.resolution() * math::powi(10.0, noughts.min(400) as i32)
            }
            (Form::Decimal { .. }, _) => self.resolution(),
            (Form::Fraction { .. }, _) => two_digits(),
        }
    }

    /// A decimal number or a fraction as it was read.
    pub(super) fn read(
        value: f64,
        exact: Option<Exact>,
        form: Form,
        significant: Option<(u32, u32)>,
        text: CompactString,
    ) -> Number {
        Number {
            value,
            exact,
            form,
            significant,
            text,
        }
    }

    /// With the sign that stood before it.
    pub(super) fn signed(mut self, sign: char) -> Number {
        if sign == '-' {
            self.value = -self.value;
            self.exact = self.exact.map(|exact| Exact::new(true, exact.magnitude()));
        }
        self.text.insert(0, sign);
        self
    }
}

fn place(decimals: u32, exponent: i32) -> f64 {
    let power = i64::from(exponent) - i64::from(decimals);
    // Beyond a double's range in either direction there is only nought and infinity.
    let power = power.clamp(-400, 400) as i32;
    if power < 0 {
        // One division is exactly rounded: 0.01 and not its neighbour.
        1.0 / math::powi(10.0, -power)
    } else {
        math::powi(10.0, power)
    }
}

/// A way of writing that is understood but isn't the format's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Style {
    /// No space, more than one, or an unusual one between the parts; or around them.
    Spacing,
    /// A minus sign that isn't the hyphen of the keyboard.
    Minus,
    /// Nothing before the point: `.5`.
    BarePoint,
    /// Nothing after the point: `5.`.
    OpenPoint,
    /// A hyphen between whole number and fraction: `1-1/2`.
    MixedHyphen,
    /// The fraction slash of print.
    FractionSlash,
    /// A dash, or a word other than `to`, between the ends of a range.
    RangeJoint,
    /// The unit after both ends of a range: `40 W to 60 W`.
    UnitTwice,
    /// `+-` for `±`.
    Tolerance,
    /// Money before the number: `$6.50`.
    MoneyFirst,
}
