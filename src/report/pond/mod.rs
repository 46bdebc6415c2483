//! Which package serves a pond: for people in the units of the pond, for programs in SI.

pub mod json;
pub mod terminal;
mod words;

use crate::pond::fit::Judge;
use crate::pond::mend::{Mend, Reach};
use crate::pond::season::Season;
use crate::pond::{Answer, Offer};

/// What is shown of a pond.
pub struct Shown<'a> {
    /// What judged each catalog.
    pub judges: &'a [Judge<'a>],
    /// Every offer, the best first.
    pub answer: &'a Answer<'a>,
    /// Those that are shown, with more about each.
    pub listed: &'a [Listed<'a>],
    /// How to begin with the first, and winter, where one serves.
    pub season: Option<&'a Season>,
}

/// An offer that is shown.
pub struct Listed<'a> {
    /// The offer.
    pub offer: &'a Offer<'a>,
    /// How far it goes, where it can be laid.
    pub reach: Option<Reach>,
    /// The changes that would each make it serve.
    pub mends: Vec<Mend>,
}
