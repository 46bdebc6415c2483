//! `nameplate` checks equipment catalogs and spec sheets of the pond-aeration trade
//! against the physics of air and water.
//!
//! One walk leads through the rooms, and nothing flows back:
//!
//! 1. [`text`] decodes the bytes of each file and knows its lines; [`document`] reads the
//!    TOML, with the place of every key and value;
//! 2. [`catalog`] turns that into typed entries that keep the digits they were written with;
//! 3. [`derive`] asks [`physics`] what the facts imply, under the ranges of [`assumptions`];
//! 4. [`claims`] gives each promise one verdict, with its evidence;
//! 5. [`rules`] decide which verdicts and facts are worth a [`finding`];
//! 6. [`engine`] is the one flow through all of these; [`amend`] applies the corrections it
//!    finds, [`revise`] tells what a change did, [`mod@sheet`] composes a page of one package, [`mod@feed`] a table of all, [`report`] shows what came of it and [`cli`] is the command around it.
//!
//! The order below is the order of the rooms: each names only those above it, which a test
//! holds to the table in `DEVELOPERS.md`.

pub mod text;
pub mod units;
pub mod assumptions;
pub mod finding;
pub mod document;
pub mod catalog;
pub mod spec_sheet;
pub mod physics;
pub mod derive;
pub mod binding;
pub mod claims;
pub mod charts;
pub mod rules;
pub mod engine;
pub mod answers;
pub mod pond;
pub mod sheet;
pub mod feed;
pub mod amend;
pub mod revise;
pub mod intake;
pub mod report;
pub mod desk;
pub mod guide;
pub mod editor;
pub mod cli;
