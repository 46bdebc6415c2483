//! Which package serves a pond: for people in the units of the pond, for programs in SI.

pub mod html;
pub mod json;
pub mod order;
mod plan;
pub mod terminal;
mod words;

use crate::charts::Charts;
use crate::pond::Answer;
use crate::pond::closely::{Chosen, Listed};
use crate::pond::degrees::Degrees;
use crate::pond::fit::Judge;
use crate::pond::order::Order;
use crate::pond::plan::Plan;
use crate::pond::season::Season;

/// What is shown of a pond.
pub struct Shown<'a> {
    /// What judged each catalog.
    pub judges: &'a [Judge<'a>],
    /// Every offer, the best first.
    pub answer: &'a Answer<'a>,
    /// Those that are shown, with more about each.
    pub listed: &'a [Listed<'a>],
    /// The one that is shown in full: the one that was asked about, else the first.
    pub chosen: Option<&'a Chosen<'a>>,
    /// Where on the globe the pond lies, if its outline says.
    pub degrees: Option<Degrees>,
}

impl<'a> Shown<'a> {
    /// The one that is shown in full, as it is listed.
    fn first(&self) -> Option<&'a Listed<'a>> {
        self.chosen.map(|chosen| &chosen.listed)
    }

    /// How to begin with it, and winter.
    fn season(&self) -> Option<&'a Season> {
        self.chosen?.season.as_ref()
    }

    /// Where its diffusers go.
    fn plan(&self) -> Option<&'a Plan> {
        self.chosen?.plan.as_ref()
    }

    /// What to order for it.
    fn order(&self) -> Option<&'a Order<'a>> {
        self.chosen?.order.as_ref()
    }

    /// The numbers of its pictures.
    fn pictures(&self) -> Option<&'a Charts> {
        self.chosen?.pictures.as_ref()
    }
}
