//! The physics: one file for each subject, each equation with its source, its range
//! and a check value.
//!
//! This room knows nothing of catalogs or places in files; it could be lifted out as a
//! library. It calculates with the types of [`crate::units::quantity`].
//!
//! An equation that is only good within a range says so: it returns its value and any
//! [`Breach`] of the range, in one [`Checked`]. What rests on a breached equation is
//! never called contradicted.

pub mod equation;

pub use equation::{Breach, Checked, Equation, Range};
