//! A quantity as it was written.

use std::cmp::Ordering;
use std::ops::Range;
use std::sync::Arc;

use compact_str::CompactString;

use super::dimension::Dimension;
use super::number::{Form, Number};
use super::ratio::{Exact, Ratio};
use super::table::Unit;

/// One end of a quantity: a number of its unit, and for `5 ft 6 in` a number of a
/// lesser unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Amount {
    /// The number of the unit.
    pub number: Number,
    /// The number of the lesser unit, always of the same sign as the first.
    pub lesser: Option<Box<(Number, Unit)>>,
}

/// How far a tolerance reaches to either side.
#[derive(Debug, Clone, PartialEq)]
pub enum Spread {
    /// Hundredths of the stated value.
    Percent(Number),
    /// So much of a unit.
    Absolute(Number, Unit),
}

/// What a quantity states.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// One value.
    Single(Amount),
    /// From one to another.
    Range(Amount, Box<Amount>),
    /// A value and how far it may be off.
    Tolerance(Amount, Box<Spread>),
}

/// A quantity as it was written, with its value in the SI.
///
/// It is handed on as often as it is read, so that a copy shares what it holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity(Arc<Written>);

#[derive(Debug, PartialEq)]
struct Written {
    text: CompactString,
    unit: Unit,
    shape: Shape,
    number_at: Range<usize>,
    unit_at: Range<usize>,
    /// In the written unit: low, central, high.
    written: [f64; 3],
    /// In the SI: low, central, high.
    si: [f64; 3],
    rounding: (f64, f64),
}

/// Why a quantity can't be calculated with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Unusable {
    /// It, or how finely it is written, is more than a number holds.
    NotFinite,
    /// It is beyond anything that its unit measures.
    BeyondScale,
}

impl Amount {
    /// In `unit`.
    fn value(&self, unit: Unit) -> f64 {
        let Some((lesser, small)) = self.lesser.as_deref() else {
            return self.number.value();
        };
        // A compound has no offset, so its SI value over the factor is exact.
        let exact = self.exact_si(unit).and_then(|si| {
            let size = si.magnitude().checked_div(unit.factor())?;
            Some(Exact::new(si.is_negative(), size).to_f64())
        });
        exact.unwrap_or_else(|| {
            self.number.value() + unit.from_si(small.to_si(self.sign() * lesser.value()))
        })
    }

    fn sign(&self) -> f64 {
        if self.number.text().starts_with('-') {
            -1.0
        } else {
            1.0
        }
    }

    fn exact_si(&self, unit: Unit) -> Option<Exact> {
        let si = unit.exact_si(self.number.exact()?)?;
        match self.lesser.as_deref() {
            None => Some(si),
            Some((number, small)) => {
                let size = small.exact_si(number.exact()?)?.magnitude();
                si.checked_add(Exact::new(self.sign() < 0.0, size))
            }
        }
    }

    fn si(&self, unit: Unit) -> f64 {
        match (self.exact_si(unit), &self.lesser) {
            (Some(exact), _) => exact.to_f64(),
            (None, None) => unit.to_si(self.number.value()),
            (None, Some(_)) => unit.to_si(self.value(unit)),
        }
    }

    /// Half a unit of the last written digit, in the SI.
    fn half_width_si(&self, unit: Unit) -> f64 {
        let (number, unit) = self.finest(unit);
        unit.difference_to_si(number.half_width())
    }

    /// The number that was written last, and its unit: what tells how fine it is.
    fn finest(&self, unit: Unit) -> (&Number, Unit) {
        match self.lesser.as_deref() {
            Some((number, lesser)) => (number, *lesser),
            None => (&self.number, unit),
        }
    }

    /// In the format's own writing.
    fn canonical(&self, unit: Unit) -> String {
        match self.lesser.as_deref() {
            None => self.number.text().to_owned(),
            Some((number, lesser)) => {
                format!("{} {unit} {} {lesser}", self.number.text(), number.text())
            }
        }
    }
}

impl Quantity {
    /// # Errors
    /// It can't be calculated with.
    pub(super) fn new(
        text: CompactString,
        shape: Shape,
        unit: Unit,
        number_at: Range<usize>,
        unit_at: Range<usize>,
    ) -> Result<Quantity, Unusable> {
        let at = |amount: &Amount| {
            (
                amount.value(unit),
                amount.si(unit),
                amount.half_width_si(unit),
            )
        };
        let (written, si, rounding) = match &shape {
            Shape::Single(amount) => {
                let (value, si, half) = at(amount);
                ([value; 3], [si; 3], (si - half, si + half))
            }
            Shape::Range(from, to) => {
                let ((low, si_low, low_half), (high, si_high, high_half)) = (at(from), at(to));
                (
                    [low, low / 2.0 + high / 2.0, high],
                    [si_low, si_low / 2.0 + si_high / 2.0, si_high],
                    (si_low - low_half, si_high + high_half),
                )
            }
            Shape::Tolerance(amount, spread) => {
                let (value, si, half) = at(amount);
                let (off, si_off) = match &**spread {
                    Spread::Percent(share) => {
                        let off = (value * share.value() / 100.0).abs();
                        (off, unit.difference_to_si(off))
                    }
                    Spread::Absolute(number, other) => {
                        let si_off = other.difference_to_si(number.value()).abs();
                        let off = if *other == unit {
                            number.value().abs()
                        } else {
                            unit.difference_from_si(si_off)
                        };
                        (off, si_off)
                    }
                };
                (
                    [value - off, value, value + off],
                    [si - si_off, si, si + si_off],
                    (si - si_off.max(half), si + si_off.max(half)),
                )
            }
        };
        // The middle of `-1 to 1 °C` may be as near to 0 as it likes, so only what was written is held to the scale.
        let [low, _, high] = si;
        if ![low, high].iter().all(|&si| unit.dimension().holds(si)) {
            return Err(Unusable::BeyondScale);
        }
        let values = written.iter().chain([&rounding.0, &rounding.1]);
        if !values.into_iter().all(|value| value.is_finite()) {
            return Err(Unusable::NotFinite);
        }
        Ok(Quantity(Arc::new(Written {
            text,
            unit,
            shape,
            number_at,
            unit_at,
            written,
            si,
            rounding,
        })))
    }

    /// The string it was read from, whole.
    pub fn text(&self) -> &str {
        &self.0.text
    }

    /// The unit.
    pub fn unit(&self) -> Unit {
        self.0.unit
    }

    /// What it is a quantity of.
    pub fn dimension(&self) -> Dimension {
        self.0.unit.dimension()
    }

    /// What it states, with every written number.
    pub fn shape(&self) -> &Shape {
        &self.0.shape
    }

    /// Bytes of the number in [`Quantity::text`]: of both ends, for a range.
    pub fn number_at(&self) -> Range<usize> {
        self.0.number_at.clone()
    }

    /// Bytes of the unit in [`Quantity::text`]. For money written before its number
    /// the currency's.
    pub fn unit_at(&self) -> Range<usize> {
        self.0.unit_at.clone()
    }

    /// Least value stated, in the written unit.
    pub fn low(&self) -> f64 {
        self.0.written[0]
    }

    /// The value stated, or the middle of a range, in the written unit.
    pub fn central(&self) -> f64 {
        self.0.written[1]
    }

    /// Greatest value stated, in the written unit.
    pub fn high(&self) -> f64 {
        self.0.written[2]
    }

    /// Least value stated, in the SI. Money is in its currency, for each SI unit.
    pub fn si_low(&self) -> f64 {
        self.0.si[0]
    }

    /// The value stated, or the middle of a range, in the SI.
    pub fn si_central(&self) -> f64 {
        self.0.si[1]
    }

    /// Greatest value stated, in the SI.
    pub fn si_high(&self) -> f64 {
        self.0.si[2]
    }

    /// The values in SI that are rounded to what is written: half a unit of the last
    /// digit beyond either end; at least the whole of a stated tolerance.
    pub fn rounding(&self) -> (f64, f64) {
        self.0.rounding
    }

    /// Whether more than one value is stated.
    pub fn is_range(&self) -> bool {
        !matches!(self.0.shape, Shape::Single(_))
    }

    /// Half a unit of the last written digit in the SI; of the coarser end of a range.
    pub fn half_width_si(&self) -> f64 {
        let half = |amount: &Amount| amount.half_width_si(self.0.unit);
        match &self.0.shape {
            Shape::Single(amount) | Shape::Tolerance(amount, _) => half(amount),
            Shape::Range(from, to) => half(from).max(half(to)),
        }
    }

    /// The number that tells how fine the quantity is, and its unit: the last one
    /// written of a single value; of a range the finer end's.
    pub(super) fn finest(&self) -> (&Number, Unit) {
        match &self.0.shape {
            Shape::Single(amount) | Shape::Tolerance(amount, _) => amount.finest(self.0.unit),
            Shape::Range(from, to) => {
                let (a, b) = (from.finest(self.0.unit), to.finest(self.0.unit));
                if a.0.resolution() < b.0.resolution() {
                    a
                } else {
                    b
                }
            }
        }
    }

    /// The first number written.
    pub fn number(&self) -> &Number {
        match &self.0.shape {
            Shape::Single(amount) | Shape::Tolerance(amount, _) | Shape::Range(amount, _) => {
                &amount.number
            }
        }
    }

    /// The stated value in the SI, exactly, where 128 bits hold it. A range has none.
    pub fn exact_si(&self) -> Option<Exact> {
        match &self.0.shape {
            Shape::Single(amount) | Shape::Tolerance(amount, _) => amount.exact_si(self.0.unit),
            Shape::Range(..) => None,
        }
    }

    /// Which of two single values is greater, without any rounding: `12 in` and `1 ft`
    /// are equal. None where they can't be compared, or not exactly.
    pub fn compare_exact(&self, other: &Quantity) -> Option<Ordering> {
        if !self.0.unit.is_comparable(other.0.unit) {
            return None;
        }
        Some(self.exact_si()?.cmp(&other.exact_si()?))
    }

    /// The quantity in the format's own writing, in the written unit.
    pub fn canonical(&self) -> String {
        self.canonical_in(self.0.unit)
    }

    /// The same numbers with another unit: for a unit that was mistaken for it.
    pub(super) fn canonical_in(&self, unit: Unit) -> String {
        let with_unit = |amount: &Amount| {
            let text = amount.canonical(unit);
            if amount.lesser.is_some() {
                text
            } else {
                format!("{text} {unit}")
            }
        };
        match &self.0.shape {
            Shape::Single(amount) => with_unit(amount),
            Shape::Range(from, to) if from.lesser.is_none() && to.lesser.is_none() => {
                format!("{} to {} {unit}", from.number.text(), to.number.text())
            }
            Shape::Range(from, to) => format!("{} to {}", with_unit(from), with_unit(to)),
            Shape::Tolerance(amount, spread) => {
                let amount = with_unit(amount);
                match &**spread {
                    Spread::Percent(share) => format!("{amount} ± {} %", share.text()),
                    Spread::Absolute(number, other) => {
                        let other = if *other == self.0.unit { unit } else { *other };
                        format!("{amount} ± {} {other}", number.text())
                    }
                }
            }
        }
    }

    /// The quantity in the listed unit that takes the place of an unlisted one, and
    /// whether that is the same to the last digit.
    pub(super) fn restated(&self) -> (String, bool) {
        let unit = self.0.unit.restated();
        let mut exact = true;
        let mut convert = |number: &Number, from: Unit, difference: bool| -> String {
            let ratio = number.exact().and_then(|value| {
                let si = if difference {
                    value.checked_mul(from.factor())?
                } else {
                    from.exact_si(value)?
                };
                let back = Exact::new(
                    true,
                    if difference {
                        Ratio::ZERO
                    } else {
                        unit.offset()
                    },
                );
                let above = si.checked_add(back)?;
                let size = above.magnitude().checked_div(unit.factor())?;
                Some(Exact::new(above.is_negative(), size))
            });
            if let Some(written) = ratio.and_then(terminating) {
                return written;
            }
            exact = false;
            let value = if difference {
                unit.difference_from_si(from.difference_to_si(number.value()))
            } else {
                unit.from_si(from.to_si(number.value()))
            };
            let digits = match number.form() {
                Form::Decimal { .. } => number
                    .significant()
                    .map_or(3, |(_, most)| most.clamp(3, 15)),
                Form::Fraction { .. } => 4,
            };
            super::show::significant(value, digits)
        };
        let text = match &self.0.shape {
            Shape::Single(amount) => {
                format!("{} {unit}", convert(&amount.number, self.0.unit, false))
            }
            Shape::Range(from, to) => {
                let low = convert(&from.number, self.0.unit, false);
                format!(
                    "{low} to {} {unit}",
                    convert(&to.number, self.0.unit, false)
                )
            }
            Shape::Tolerance(amount, spread) => {
                let value = convert(&amount.number, self.0.unit, false);
                match &**spread {
                    Spread::Percent(share) => format!("{value} {unit} ± {} %", share.text()),
                    Spread::Absolute(number, other) => {
                        format!("{value} {unit} ± {} {unit}", convert(number, *other, true))
                    }
                }
            }
        };
        (text, exact)
    }
}

/// A number whose decimals end, written out; none if they don't, or only after a
/// dozen.
fn terminating(exact: Exact) -> Option<String> {
    let size = exact.magnitude();
    for decimals in 0..=12u32 {
        let scale = 10u128.pow(decimals);
        if scale % size.denominator() != 0 {
            continue;
        }
        let units = size.numerator().checked_mul(scale / size.denominator())?;
        let sign = if exact.is_negative() { "-" } else { "" };
        if decimals == 0 {
            return Some(format!("{sign}{units}"));
        }
        let width = decimals as usize;
        return Some(format!("{sign}{}.{:0width$}", units / scale, units % scale));
    }
    None
}
