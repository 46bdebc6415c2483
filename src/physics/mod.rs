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
pub mod refusal;

// The air side, from the air around to the bubbles.
pub mod air;
pub mod atmosphere;
pub mod check_valve;
pub mod curve;
pub mod diffuser;
pub mod fittings;
pub mod friction;
pub mod head;
pub mod heat;
pub mod hose;
pub mod manifold;
pub mod network;
pub mod power;
pub mod reference;
pub mod root;
pub mod running_cost;
pub mod sound;
pub mod start_pressure;
pub mod throttle;
pub mod valve;

pub use air::air_equations;
// The water side, listed whole in `water_equations`.
pub mod bubble_transfer;
pub mod first_run;
pub mod mixing;
pub mod oxygen_saturation;
pub mod oxygen_transfer;
pub mod plume;
pub mod plume_forms;
pub mod reach;
pub mod rising_air;
pub mod stratification;
pub mod surface_velocity;
pub mod turnover;
pub mod water_equations;
pub mod water_properties;
pub mod winter;

pub use equation::{Breach, Checked, Equation, Range};
pub use refusal::Refusal;
