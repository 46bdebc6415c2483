//! Quantities, and how the trade writes them.
//!
//! Two halves that meet in SI base units:
//!
//! - [`quantity`]: what the engine calculates with. Dimensions are checked by
//!   `uom`; what `uom` can't tell apart has types of its own: gauge pressure and
//!   absolute pressure, a volume of free air and an amount of air.
//! - the written figure: the exact unit [`table`] and the reader ([`read`]) that turns
//!   `"5 ft 6 in"` or `"¼ acre"` into a value that still knows its digits.
//!
//! Around the second half stand what two listings of one figure must have in common
//! ([`agree`], [`false_precision`]), how a value is written for a person ([`show`])
//! and a promise as the trade rounds it ([`steps`]),
//! and how much air a cubic foot is under whose reference conditions ([`air`]).
//!
//! Here is neither a place in a file nor any meaning of a catalog's keys.

pub mod air;
mod aliases;
mod dimension;
mod fault;
mod listing;
pub mod mark;
pub mod math;
mod money;
mod number;
mod offers;
pub mod quantity;
mod ratio;
mod reading;
mod rows;
mod scan;
pub mod show;
mod spelling;
pub mod steps;
pub mod table;
mod written;

pub use dimension::{Dimension, either};
pub use fault::{Fault, FaultKind, Link};
pub use iso_currency::Currency;
pub use listing::{Agreement, FalsePrecision, LISTING_SHARE, agree, false_precision};
pub use mark::Mark;
pub use number::{Form, Number, Style};
pub use ratio::{Exact, Ratio};
pub use reading::{Correction, Reading, of_unit, read, read_under};
pub use spelling::{Conventions, Gallon};
pub use table::{System, Unit};
pub use written::{Amount, Quantity, Shape, Spread};
