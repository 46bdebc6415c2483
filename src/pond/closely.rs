//! What is looked at of an answer: how far the first offers go and what would mend them, and one of them in full.

use rayon::prelude::*;

use crate::charts::Charts;

use super::fit::{Judge, serves};
use super::mend::{self, Mend, Reach};
use super::offers::Offer;
use super::order::{self, Order};
use super::plan::{self, Plan};
use super::season::{self, Season};

/// An offer that is listed.
pub struct Listed<'a> {
    /// The offer.
    pub offer: &'a Offer<'a>,
    /// How far it goes, where it can be laid.
    pub reach: Option<Reach>,
    /// The changes that would each make it serve.
    pub mends: Vec<Mend>,
}

/// The offer that is shown in full.
pub struct Chosen<'a> {
    /// It with what is listed of it.
    pub listed: Listed<'a>,
    /// How to begin with it, and winter, where it serves or was asked about.
    pub season: Option<Season>,
    /// Where its diffusers go, likewise.
    pub plan: Option<Plan>,
    /// What to order for it, likewise.
    pub order: Option<Order<'a>>,
    /// The numbers of its pictures, where those are wanted.
    pub pictures: Option<Charts>,
}

fn one<'a>(judges: &'a [Judge<'a>], offer: &'a Offer<'a>) -> Listed<'a> {
    Listed {
        offer,
        reach: mend::reach(&judges[offer.catalog], offer),
        mends: mend::mends(&judges[offer.catalog], offer),
    }
}

/// The first `most` of `offers`.
pub fn list<'a>(judges: &'a [Judge<'a>], offers: &'a [Offer<'a>], most: usize) -> Vec<Listed<'a>> {
    let first: Vec<&Offer> = offers.iter().take(most).collect();
    first
        .into_par_iter()
        .map(|offer| one(judges, offer))
        .collect()
}

/// An offer in full; nobody lays or orders what doesn't serve, unless `is_asked` for it.
pub fn choose<'a>(
    judges: &'a [Judge<'a>],
    offer: &'a Offer<'a>,
    is_asked: bool,
    with_pictures: bool,
) -> Chosen<'a> {
    let judge = &judges[offer.catalog];
    let wanted = is_asked || serves(offer.grade());
    let if_wanted = wanted.then_some(judge);
    Chosen {
        listed: one(judges, offer),
        season: if_wanted.map(|judge| season::season(judge, offer)),
        plan: if_wanted.and_then(|judge| plan::plan(judge, offer)),
        order: if_wanted.map(|judge| order::order(judge, offer)),
        pictures: Some(judge)
            .filter(|_| with_pictures)
            .and_then(|judge| plan::pictures(judge, offer)),
    }
}
