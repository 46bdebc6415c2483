//! Which package serves a pond: for people in the units of the pond, for programs in SI.

pub mod html;
pub mod json;
pub mod order;
mod plan;
pub mod terminal;
mod words;

use crate::charts::Charts;
use crate::pond::degrees::Degrees;
use crate::pond::fit::Judge;
use crate::pond::mend::{Mend, Reach};
use crate::pond::order::Order;
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
    /// The one that is shown in full: the one that was asked about, else the first.
    pub chosen: Option<&'a Listed<'a>>,
    /// How to begin with it, and winter, where it serves or was asked about.
    pub season: Option<&'a Season>,
    /// Where its diffusers go, likewise.
    pub plan: Option<&'a Plan>,
    /// What to order for it, likewise.
    pub order: Option<&'a Order<'a>>,
    /// The numbers of its pictures, for a page that has pictures.
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
