//! Answers about one package: what it does at a duty point, how far it goes, what its gauge reads.
//!
//! - [`choose`]: which package and which way to lay it is asked about;
//! - [`duty`]: pressures, flows, power and cost at one duty point;
//! - [`limits`]: the deepest, the largest and the longest;
//! - [`sweep`]: the same over one or two variables;
//! - [`water`]: what it does to the largest pond;
//! - [`gauge`]: what the gauge at the manifold should read, and which faults a reading fits;
//! - [`convert`]: a quantity in other units, without a catalog;
//! - [`explain`]: the equations behind a duty point, with the figures they were used with.
//!
//! They need only their own inputs: other faults of the catalog don't stop them.

pub mod choose;
pub mod convert;
pub mod duty;
pub mod explain;
pub mod gauge;
pub mod limits;
pub mod sweep;
pub mod water;

pub use choose::{Asked, Question, Unanswerable};
