//! What can be wrong with a catalog's entries, before any physics.

use crate::text::Span;
use crate::units::{Agreement, Correction, Dimension, Fault as UnitFault, Quantity};

use super::fields::Kind;

/// A fault of one place in a catalog.
#[derive(Debug, Clone)]
pub struct CatalogFault {
    /// Where it is.
    pub at: Span,
    /// What it is in, as a waiver names it.
    pub on: String,
    /// What is wrong.
    pub kind: FaultKind,
}

/// What is wrong.
#[derive(Debug, Clone)]
pub enum FaultKind {
    /// A key the format doesn't have there.
    UnknownKey {
        /// As written.
        key: String,
        /// The nearest key of that table, if one is near.
        nearest: Option<&'static str>,
        /// Other headers in which it stands as well.
        also: Vec<Span>,
        /// The table's name.
        table: &'static str,
        /// Keys of the table that aren't used yet.
        known: Vec<&'static str>,
    },
    /// A required key that isn't there.
    MissingKey {
        /// The key; several are ways of which one is needed.
        ways: Vec<String>,
        /// What the key says.
        says: &'static str,
        /// An example of its value.
        example: &'static str,
        /// The table's name.
        table: &'static str,
    },
    /// A value of the wrong shape.
    WrongShape {
        /// What was expected, in words.
        expected: String,
        /// What stands there, in words.
        found: String,
        /// An example of a right value.
        example: &'static str,
        /// The same value in the right shape, where it has one: a count without its quotes.
        offered: Option<String>,
    },
    /// A word that isn't one of those allowed.
    WrongWord {
        /// As written.
        found: String,
        /// The words allowed.
        allowed: &'static [&'static str],
        /// The nearest, if one is near.
        nearest: Option<&'static str>,
    },
    /// An ID that isn't made of small letters, digits and hyphens.
    WrongId {
        /// As written.
        found: String,
        /// What it could be.
        offered: Option<String>,
    },
    /// A format this program doesn't read.
    FormatVersion {
        /// As written.
        found: i64,
    },
    /// A number where a quantity with its unit is needed.
    NoUnit {
        /// As written.
        found: String,
        /// What is needed.
        expected: &'static [Dimension],
        /// An example.
        example: &'static str,
    },
    /// Something about a quantity's text.
    Unit {
        /// As written.
        text: String,
        /// What is wrong.
        fault: UnitFault,
        /// What is needed.
        expected: &'static [Dimension],
        /// The whole value's place, for a correction of all of it.
        whole: Span,
        /// What to write in its place.
        correction: Option<Correction>,
    },
    /// Two listings of one figure that differ.
    ListingsDisagree {
        /// The first, which counts.
        first: Box<Quantity>,
        /// Where it stands.
        first_at: Span,
        /// The other.
        other: Box<Quantity>,
        /// By how much they differ and may differ, SI.
        agreement: Agreement,
    },
    /// A conversion that shows more digits than it can carry.
    FalsePrecision {
        /// As written.
        text: String,
        /// The round figure it is a conversion of.
        of: String,
        /// With as many digits as that carries.
        restated: String,
    },
    /// An ID that stands for two things of a kind.
    Duplicate {
        /// The kind.
        kind: Kind,
        /// The ID.
        id: String,
        /// Where it stood first.
        first: Span,
    },
    /// A key of the catalog's own that stands in another file.
    NotHere {
        /// The table's name.
        table: &'static str,
        /// The file where it belongs.
        belongs: String,
    },
}
