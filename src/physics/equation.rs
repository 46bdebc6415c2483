//! What every equation states of itself: where it comes from and where it holds.

use crate::units::Mark;
use crate::units::show::significant;

/// A range of one of an equation's quantities, in the unit named.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The quantity, in the words of the field: `Reynolds number`.
    pub quantity: &'static str,
    /// Least value for which the equation was made.
    pub low: f64,
    /// Greatest value for which the equation was made.
    pub high: f64,
    /// Unit of both: SI, or empty for a plain number.
    pub unit: &'static str,
}

impl Range {
    /// The breach, if `value` lies outside.
    pub fn check(&self, equation: &'static Equation, value: f64) -> Option<Breach> {
        // Written so that a value that isn't a number is a breach as well.
        let inside = value >= self.low && value <= self.high;
        (!inside).then_some(Breach {
            equation,
            range: *self,
            value,
        })
    }
}

/// One equation's record, as the program prints it.
#[derive(Debug, PartialEq)]
pub struct Equation {
    /// What it gives: `friction factor of a smooth pipe`.
    pub name: &'static str,
    /// The formula in plain characters.
    pub formula: &'static str,
    /// Author, year, place.
    pub source: &'static str,
    /// How firmly the source is known.
    pub mark: Mark,
    /// Where it holds. The code reads these; they aren't a comment.
    pub ranges: &'static [Range],
}

impl Equation {
    /// Every range left by `values`, which are in the order of [`Equation::ranges`].
    ///
    /// It fills a list of the caller's own instead of making one, since the network
    /// solver asks at every element.
    pub fn note_breaches(&'static self, values: &[f64], breaches: &mut Vec<Breach>) {
        for (range, value) in self.ranges.iter().zip(values) {
            if let Some(breach) = range.check(self, *value) {
                breach.note(breaches);
            }
        }
    }

    /// `result` with every range left by `values`, in the order of [`Equation::ranges`].
    pub fn checked<T>(&'static self, values: &[f64], result: T) -> Checked<T> {
        let mut breaches = Vec::new();
        self.note_breaches(values, &mut breaches);
        Checked {
            value: result,
            breaches,
        }
    }
}

/// An equation used outside its range.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Breach {
    /// The equation that was used.
    pub equation: &'static Equation,
    /// The range that was left.
    pub range: Range,
    /// The value it was used at.
    pub value: f64,
}

impl Breach {
    /// Adds itself to `breaches`, unless the same range of the same equation is there.
    pub fn note(self, breaches: &mut Vec<Breach>) {
        let known = breaches
            .iter()
            .any(|b| b.equation.name == self.equation.name && b.range == self.range);
        if !known {
            breaches.push(self);
        }
    }
}

impl std::fmt::Display for Breach {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let Range {
            quantity,
            low,
            high,
            unit,
        } = self.range;
        let space = if unit.is_empty() { "" } else { " " };
        let [value, low, high] = [self.value, low, high].map(|number| significant(number, 3));
        write!(
            f,
            "{}: {quantity} {value}{space}{unit} is outside {low} to {high}{space}{unit}",
            self.equation.name
        )
    }
}

/// A value, and every range that was left on the way to it.
#[derive(Debug, Clone, PartialEq)]
pub struct Checked<T> {
    /// The value, calculated all the same.
    pub value: T,
    /// Empty when every equation was within its range.
    pub breaches: Vec<Breach>,
}

impl<T> Checked<T> {
    /// A value that no range was left for.
    pub fn sound(value: T) -> Self {
        Checked {
            value,
            breaches: Vec::new(),
        }
    }

    /// Applies `f` to the value and keeps the breaches.
    pub fn map<U>(self, f: impl FnOnce(T) -> U) -> Checked<U> {
        Checked {
            value: f(self.value),
            breaches: self.breaches,
        }
    }

    /// The value; its breaches are added to `breaches`, each equation's range once.
    pub fn gather(self, breaches: &mut Vec<Breach>) -> T {
        for breach in self.breaches {
            breach.note(breaches);
        }
        self.value
    }
}
