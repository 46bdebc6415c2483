//! `nameplate` checks equipment catalogs and spec sheets of the pond-aeration trade
//! against the physics of air and water.

pub mod assumptions;
pub mod catalog;
pub mod claims;
pub mod cli;
pub mod derive;
pub mod document;
pub mod engine;
pub mod finding;
pub mod physics;
pub mod report;
pub mod rules;
pub mod text;
pub mod units;
