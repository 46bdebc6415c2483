//! Quantities, and how the trade writes them.
//!
//! Two halves that meet in SI base units:
//!
//! - [`quantity`]: what the engine calculates with. Dimensions are checked by
//!   `uom`; what `uom` can't tell apart has types of its own: gauge pressure and
//!   absolute pressure, a volume of free air and an amount of air.
//! - the written figure: the exact unit table and the reader that turns
//!   `"5 ft 6 in"` or `"¼ acre"` into a value that still knows its digits.
//!
//! Here is neither a place in a file nor any meaning of a catalog's keys.

pub mod mark;
pub mod math;
pub mod quantity;

pub use mark::Mark;
