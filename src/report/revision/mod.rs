//! What differs between two states of catalogs, for people and for programs.
//!
//! - [`words`]: the sentences that the formats for people share;
//! - [`terminal`], [`markdown`], [`html`]: for people;
//! - [`json`]: `nameplate-revision/1`, for programs.

pub mod html;
pub mod json;
pub mod markdown;
pub mod terminal;
mod words;
