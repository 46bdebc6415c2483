//! Which package serves a pond: for people in the units of the pond, for programs in SI.

pub mod html;
pub mod json;
mod plan;
pub mod terminal;
mod words;

use crate::charts::Charts;
use crate::pond::degrees::Degrees;
use crate::pond::fit::Judge;
use crate::pond::mend::{Mend, Reach};
use crate::pond::plan::Plan;
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
    /// Where the diffusers of the first go, where one serves.
    pub plan: Option<&'a Plan>,
    /// The numbers of the first one's pictures, for a page that has pictures.
    pub pictures: Option<&'a Charts>,
    /// Where on the globe the pond lies, if its outline says.
    pub degrees: Option<Degrees>,
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
