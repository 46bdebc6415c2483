//! What can be wrong with a written quantity. Words for people are made elsewhere.

use std::ops::Range;

use super::dimension::Dimension;
use super::number::Style;
use super::table::Unit;

/// What a second quantity is to the first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Link {
    /// Another value or another listing: `115/230 V`, `9 ft (2.7 m)`.
    Other,
    /// The condition under which the first holds: `3.5 cfm at 5 psi`.
    Condition,
}

/// Something wrong with a written quantity, and where.
#[derive(Debug, Clone, PartialEq)]
pub struct Fault {
    /// What is wrong.
    pub kind: FaultKind,
    /// Bytes of the string that was read.
    pub at: Range<usize>,
}

/// What is wrong with a written quantity.
///
/// Of each it is said whether a value is read all the same.
#[derive(Debug, Clone, PartialEq)]
pub enum FaultKind {
    /// It isn't a number and a unit. No value.
    NotAQuantity {
        /// What belongs here; empty if anything does.
        expected: Vec<Dimension>,
    },
    /// A number without a unit. No value.
    UnitMissing {
        /// What belongs here.
        expected: Vec<Dimension>,
    },
    /// No unit is spelled like this. No value.
    UnitUnknown {
        /// The nearest one that is.
        offered: Option<Unit>,
    },
    /// Another spelling of a unit of the format. The value is read.
    UnitSpelling {
        /// The unit.
        canonical: Unit,
        /// Whether the spelling said something that the unit doesn't, as the direct
        /// current of `VDC`: then the correction isn't sure.
        loses: bool,
    },
    /// A unit outside the format's list. The value is read.
    UnitUnlisted {
        /// The unit.
        unit: Unit,
        /// The quantity in the unit of the list that takes its place.
        restated: String,
        /// Whether `restated` is the same quantity to the last digit.
        exact: bool,
    },
    /// A unit of something else than belongs here. The value is read, as a *misfit*.
    WrongDimension {
        /// What it is.
        found: Dimension,
        /// What belongs here.
        expected: Vec<Dimension>,
        /// A unit of what belongs here that is easily confused with the written one.
        offered: Option<Unit>,
    },
    /// The spelling stands for several units. Read as each of them, as *alternatives*.
    Ambiguous {
        /// All it stands for, the likeliest first.
        candidates: Vec<Unit>,
    },
    /// Digits in groups: `1,500`. No value, for one comma may be a decimal comma.
    ThousandsSeparator {
        /// The number without separators.
        meant: String,
        /// The number with a point for its only comma.
        or: Option<String>,
    },
    /// A comma for the point: `5,5`. No value.
    DecimalComma {
        /// The number with a point.
        meant: String,
    },
    /// A letter that looks like a digit among the digits: `29O`. No value.
    LetterForDigit {
        /// The number with digits alone.
        meant: String,
    },
    /// A division by nought, or a number larger or smaller than can be calculated
    /// with. No value.
    NotFinite,
    /// More or less of its dimension than there is. No value.
    BeyondScale(Dimension),
    /// The upper end of a range stands first. No value.
    Reversed,
    /// Two quantities, where one belongs: a dual rating, a dual listing, a value with
    /// its condition. No value, since the format has a place for each.
    TwoQuantities {
        /// The first, in the format's writing.
        first: String,
        /// The second.
        second: String,
        /// What the second is to the first.
        link: Link,
    },
    /// Understood, but not written as the format has it. The value is read.
    Writing(Style),
}

impl FaultKind {
    /// Whether the correction can't change the meaning.
    pub fn is_sure(&self) -> bool {
        match self {
            FaultKind::UnitSpelling { loses, .. } => !loses,
            FaultKind::UnitUnlisted { exact, .. } => *exact,
            FaultKind::Writing(_) => true,
            _ => false,
        }
    }

    /// Whether a value is read in spite of it.
    pub fn leaves_value(&self) -> bool {
        matches!(
            self,
            FaultKind::UnitSpelling { .. } | FaultKind::UnitUnlisted { .. } | FaultKind::Writing(_)
        )
    }
}
