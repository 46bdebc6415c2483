//! Of whom a stretch of text speaks: of what the page offers, or of somebody and something else.
//!
//! What the layout shows comes first (a quotation, a heading over other things, the head of a rival's column), words
//! second. The words stand in [`lexicon`].

use std::ops::Range;

use super::around::is_title;
use super::claim::{Attribute, Claim, Comparator, SaidBy};
use super::lexicon::{self, Hit, Reach, Tag};
use super::unit_words;
use super::vocabulary;
use crate::units::Dimension;

/// Of whom a figure is said.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Scope {
    /// Of what the page offers.
    Offer,
    /// Of another seller's thing.
    Rival,
    /// Of another thing of the same seller.
    OtherOffer,
    /// Of the reader's or a customer's own water.
    Customer,
    /// Of what was sold or said before.
    Former,
    /// Of what is wished, planned or imagined.
    Wish,
    /// By somebody else.
    Quoted,
    /// That it isn't so.
    Negated,
    /// Of what may be so in another case.
    Supposed,
    /// Of what a single part may bear.
    Part,
    /// Of what words and units mean.
    Aside,
    /// Of how much more or less something is.
    Difference,
    /// Of money that is asked for something else.
    Fee,
    /// Of what a gauge shows.
    Reading,
    /// Of a thing that the offer is compared with.
    Compared,
}

impl Scope {
    /// What a report says of a figure that is said of that.
    pub fn as_str(self) -> &'static str {
        match self {
            Scope::Offer => "said of the offer",
            Scope::Rival => "said of another seller's thing",
            Scope::OtherOffer => "said of another offer",
            Scope::Customer => "said of a customer's water",
            Scope::Former => "said of what was sold before",
            Scope::Wish => "a wish, a plan or a thought",
            Scope::Quoted => "somebody is quoted with it",
            Scope::Negated => "said not to be so",
            Scope::Supposed => "a condition that is supposed",
            Scope::Part => "what a part may bear",
            Scope::Aside => "explains words or units",
            Scope::Difference => "a difference, and no figure of its own",
            Scope::Fee => "money for something else",
            Scope::Reading => "what a gauge shows",
            Scope::Compared => "said of something to compare with",
        }
    }

    fn of(tag: Tag) -> Option<Scope> {
        Some(match tag {
            Tag::Rival => Scope::Rival,
            Tag::Other => Scope::OtherOffer,
            Tag::Customer | Tag::Story | Tag::Elsewhere => Scope::Customer,
            Tag::Former => Scope::Former,
            Tag::Wish => Scope::Wish,
            Tag::Quoted => Scope::Quoted,
            Tag::Negated => Scope::Negated,
            Tag::Supposed => Scope::Supposed,
            Tag::Part => Scope::Part,
            Tag::Explained => Scope::Aside,
            Tag::Difference => Scope::Difference,
            Tag::Fee => Scope::Fee,
            Tag::Gauge => Scope::Reading,
            Tag::Everyday => Scope::Compared,
            Tag::Absent => Scope::OtherOffer,
            Tag::Ask => Scope::Supposed,
            Tag::Rate => Scope::Aside,
            Tag::Denied | Tag::None => Scope::Negated,
            Tag::Voices => Scope::Quoted,
            Tag::Least | Tag::Shallow => Scope::Supposed,
            Tag::Outside | Tag::Carries => Scope::Part,
            _ => return None,
        })
    }

    /// Of a head or heading: what it says of all that stands under it.
    pub(super) fn of_head(text: &str, language: Option<usize>) -> Option<Scope> {
        const LONGEST: usize = 80;
        const SHORT: usize = 24;
        if text.len() > LONGEST {
            return None;
        }
        if lexicon::heads_parts(text) {
            return Some(Scope::OtherOffer);
        }
        let own = language.unwrap_or(0);
        let hits = lexicon::hits(text);
        let is_what = |hit: &Hit| hit.tag == Tag::What && hit.language == own && hit.start == 0;
        let says_what = hits.iter().any(is_what);
        let heads = |hit: &&Hit| match hit.tag {
            Tag::Rival | Tag::Other | Tag::Story | Tag::Explained | Tag::Wish | Tag::Voices => true,
            // `was`, `total` and the like tell nothing by themselves.
            Tag::Former => hit.reach != Reach::Next,
            // A column of what a gauge shows; a gauge may be a part beside others.
            Tag::Gauge => {
                hit.start == 0 && hit.end == text.len()
                    || hits.iter().any(|hit| hit.tag == Tag::Shows)
            }
            // `For comparison: a fountain`
            Tag::Everyday => hit.start == 0,
            // `Total`, `VAT 20 %`, and no `Total price`
            Tag::Fee => {
                hit.reach != Reach::Next
                    || hit.start == 0
                        && text.len() <= SHORT
                        && !hits.iter().any(|hit| hit.tag == Tag::Price)
            }
            // `What it doesn't do`
            Tag::Denied => says_what && hit.language == own,
            _ => false,
        };
        Scope::of(hits.iter().find(heads)?.tag)
    }

    /// Whether a cell says that its row's thing is sold no longer.
    pub(super) fn is_no_longer_sold(text: &str) -> bool {
        const LONGEST: usize = 80;
        text.len() <= LONGEST
            && lexicon::hits(text)
                .iter()
                .any(|hit| hit.tag == Tag::Former && hit.reach == Reach::Sentence)
    }

    /// Whether what a head says of all under it holds for a claim: a gauge shows pressures, a fee is money.
    pub(super) fn heads(self, claim: &Claim) -> bool {
        match self {
            Scope::Reading => match claim.attribute {
                Attribute::Pressure => claim.said_by != SaidBy::Label,
                Attribute::Depth => claim.said_by == SaidBy::Sentence,
                _ => false,
            },
            Scope::Fee => is_money(claim),
            _ => true,
        }
    }
}

/// How far the `No` goes that a text begins with.
pub(super) fn denies(text: &str) -> Option<usize> {
    let before = text.len() - text.trim_start_matches(|c: char| !c.is_alphabetic()).len();
    let answer = text
        .get(before..)?
        .split(|c: char| !c.is_alphabetic())
        .next()?;
    let hits = lexicon::hits(answer);
    let is_no = |hit: &Hit| hit.tag == Tag::No && hit.end == answer.len();
    hits.iter().any(is_no).then_some(before + answer.len())
}

/// Whether a question asks if there is such a thing.
pub(super) fn asks_for_an_offer(text: &str) -> bool {
    text.trim_end().ends_with('?')
        && lexicon::hits(text)
            .iter()
            .any(|hit| hit.tag == Tag::Offered)
}

/// Whether words are so short, or so common, that they mean nothing in another language.
fn is_short(hit: &Hit) -> bool {
    matches!(
        hit.tag,
        Tag::Hedged | Tag::Contrast | Tag::Denied | Tag::None | Tag::Shallow | Tag::Outside
    ) || hit.reach == Reach::Next && matches!(hit.tag, Tag::Former | Tag::Fee)
}

/// A text with its sentences, quotations and the words that tell of whom it speaks.
pub(super) struct Stretch<'a> {
    text: &'a str,
    hits: Vec<Hit>,
    sentences: Vec<Range<usize>>,
    quotations: Vec<Range<usize>>,
    /// What answers that there is no such thing, and what reckons with an example.
    asides: Vec<(Range<usize>, Scope)>,
}

impl<'a> Stretch<'a> {
    /// `language` is the page's; what says how sure a writer is is short, and a word of another language.
    pub(super) fn of(text: &'a str, language: Option<usize>) -> Stretch<'a> {
        let mut hits = lexicon::hits(text);
        // Of a page too short to tell its language a denial is believed in any.
        let own = |hit: &Hit| match language {
            None if matches!(hit.tag, Tag::Denied | Tag::None) => true,
            _ => hit.language == language.unwrap_or(0),
        };
        hits.retain(|hit| own(hit) || !is_short(hit));
        let mut stretch = Stretch {
            text,
            hits,
            sentences: sentences(text),
            quotations: quotations(text),
            asides: Vec::new(),
        };
        let may = |hit: &Hit| matches!(hit.tag, Tag::Offered | Tag::Example);
        if stretch.hits.iter().any(may) {
            stretch.asides = stretch.find_asides();
        }
        stretch
    }

    /// `Is there a set for a lake? No. The lake …`, `Example: 30 x 20 m = 600 m²`
    fn find_asides(&self) -> Vec<(Range<usize>, Scope)> {
        let asks = |sentence: &Range<usize>| {
            self.text
                .get(sentence.clone())
                .is_some_and(|text| text.trim_end().ends_with('?'))
        };
        let refused = self.sentences.windows(2).filter_map(|two| {
            let asked = self
                .hits_in(two[0].clone())
                .any(|hit| hit.tag == Tag::Offered);
            if !asked || !asks(&two[0]) {
                return None;
            }
            let no = denies(self.text.get(two[1].clone())?)?;
            let from = two[1].start + no;
            let next = self.sentences.partition_point(|one| one.end <= from);
            let until = self.sentences[next..].iter().find(|one| asks(one));
            let until = until.map_or(self.text.len(), |one| one.start);
            let turned = self
                .hits_in(from..until)
                .find(|hit| hit.tag == Tag::Contrast);
            Some((from..turned.map_or(until, |hit| hit.start), Scope::Negated))
        });
        let first = self.text.find(char::is_alphabetic).unwrap_or(0);
        let examples = self.hits.iter().filter(|hit| hit.tag == Tag::Example);
        let examples = examples.filter_map(|hit| {
            let line = self.text.get(..hit.start)?.rsplit('\n').next()?;
            let begins = !line.contains(char::is_alphabetic);
            let after = self.text.get(hit.end..)?;
            let rest = after.trim_start_matches([' ', '*', '_']);
            let own = self.sentence(self.text.len() - rest.len() + 1).end;
            let end = match rest.chars().next()? {
                '=' => own,
                // What a passage begins with is an example to its end, or to what is set against it.
                c if begins && (matches!(c, ':' | '.') || hit.start == first) => {
                    let turned = self.hits_in(hit.end..self.text.len());
                    let turned = turned
                        .filter(|hit| hit.tag == Tag::Contrast)
                        .map(|hit| hit.start);
                    turned.min().unwrap_or(self.text.len())
                }
                _ => return None,
            };
            Some([(hit.start..own, Scope::Aside), (own..end, Scope::Customer)])
        });
        refused.chain(examples.flatten()).collect()
    }

    /// Whether a place's name stands behind a hit: `the lake at Oudermeer`, and no word of the trade.
    fn names_a_place(&self, hit: &Hit) -> bool {
        let after = self.text.get(hit.end..).unwrap_or("").trim_start();
        let word = after.split(|c: char| !c.is_alphabetic()).next();
        word.is_some_and(|word| is_title(word) && vocabulary::topic(word).is_none())
    }

    /// The sentence that holds a place.
    pub(super) fn sentence(&self, at: usize) -> Range<usize> {
        let next = self.sentences.partition_point(|one| one.end <= at);
        self.sentences
            .get(next)
            .cloned()
            .unwrap_or(0..self.text.len())
    }

    fn hits_in(&self, sentence: Range<usize>) -> impl Iterator<Item = &Hit> {
        let first = self.hits.partition_point(|hit| hit.start < sentence.start);
        self.hits[first..]
            .iter()
            .take_while(move |hit| hit.start < sentence.end)
            .filter(move |hit| hit.end <= sentence.end)
    }

    /// Of whom a figure is said, and whether its writer is in doubt or of two minds.
    pub(super) fn scope(&self, claim: &Claim) -> (Scope, bool) {
        let place = claim.place();
        let next = self.quotations.partition_point(|one| one.end < place.end);
        let quotation = self.quotations.get(next);
        let quotation = quotation.filter(|one| one.start <= place.start);
        // A passage that is one quotation may be the seller's own speech.
        let is_whole = |one: &&Range<usize>| one.len() + 8 >= self.text.len();
        let mut hedged = quotation.is_some_and(|one| is_whole(&one));
        if quotation.is_some() && !hedged {
            return (Scope::Quoted, false);
        }
        // Of the example's water speaks what follows, and of the offer as well.
        let of_water = matches!(
            claim.attribute,
            Attribute::Area
                | Attribute::Depth
                | Attribute::Volume
                | Attribute::WaterFlow
                | Attribute::Turnover
        );
        let inside = |one: &&(Range<usize>, Scope)| {
            one.0.contains(&place.start) && (of_water || one.1 != Scope::Customer)
        };
        if let Some((_, scope)) = self.asides.iter().find(inside) {
            return (*scope, false);
        }
        if self.is_asked(&place) {
            return (Scope::Supposed, false);
        }
        let mut scope = Scope::Offer;
        for hit in self.hits_in(self.sentence(place.start)) {
            if hit.tag == Tag::Hedged {
                hedged = true;
                continue;
            }
            let Some(found) = Scope::of(hit.tag).filter(|_| self.reaches(hit, &place)) else {
                continue;
            };
            match self.bears(hit, found, claim) {
                Bears::All if scope == Scope::Offer || found < scope => scope = found,
                Bears::All | Bears::Nothing => {}
                Bears::Doubt => hedged = true,
            }
        }
        if scope == Scope::Offer
            && claim.attribute == Attribute::Pressure
            && self.asks_for_a_reading(&place)
        {
            scope = Scope::Reading;
        }
        if scope == Scope::Offer && self.is_of_a_part(claim) {
            scope = Scope::OtherOffer;
        }
        if scope == Scope::Offer && self.is_of_a_water(claim) {
            scope = Scope::Customer;
        }
        (scope, hedged)
    }

    /// Whether a figure stands in a question, or in what leads a short passage to one: `My pond has 5 acres. Will it do?`
    fn is_asked(&self, place: &Range<usize>) -> bool {
        const LONGEST: usize = 160;
        let ends = |text: &str| text.trim_end().ends_with('?');
        ends(&self.text[self.sentence(place.start)])
            || self.text.len() <= LONGEST && self.sentences.len() <= 2 && ends(self.text)
    }

    /// Whether a price is a part's or some work's, which are sold beside the thing: what the sentence begins with
    /// (`Diaphragm kit: £38`), or what wears and stands right before it (`new membranes (£22)`).
    fn is_of_a_part(&self, claim: &Claim) -> bool {
        const NEAREST: usize = 3;
        let place = claim.place();
        let per_length = || {
            claim
                .quantity
                .as_ref()
                .is_some_and(|price| price.dimension() == Dimension::MoneyPerLength)
        };
        let sentence = self.sentence(place.start);
        let before = || self.hits_in(sentence.start..place.start);
        claim.attribute == Attribute::Price
            && (per_length()
                || before().any(|hit| {
                    let begins = self.text[sentence.start..hit.start]
                        .split_whitespace()
                        .count()
                        <= NEAREST
                        && self.is_subject(hit);
                    let beside =
                        hit.reach == Reach::Clause && self.words_between(hit, &place) <= NEAREST;
                    matches!(hit.tag, Tag::Spare) && (begins || beside) && !self.is_inside(hit)
                }))
            && !before().any(|hit| hit.tag == Tag::Price)
    }

    /// Whether words say that a pond of that size is served: of a depth in the same clause, of an area in the same
    /// sentence.
    pub(super) fn serves(&self, place: &Range<usize>, is_depth: bool) -> bool {
        self.hits_in(self.sentence(place.start)).any(|hit| {
            let between = if hit.end <= place.start {
                self.text.get(hit.end..place.start)
            } else {
                self.text.get(place.end..hit.start)
            };
            hit.tag == Tag::Serves && !(is_depth && between.is_some_and(ends_clause))
        })
    }

    /// Whether the sentence before a figure's asks what a gauge shows, or begins to say so.
    fn asks_for_a_reading(&self, place: &Range<usize>) -> bool {
        let own = self.sentence(place.start);
        let Some(before) = own.start.checked_sub(1).map(|at| self.sentence(at)) else {
            return false;
        };
        let asks = self
            .text
            .get(before.clone())
            .is_some_and(|text| text.trim_end().ends_with(['?', ';']));
        asks && self
            .hits_in(before.clone())
            .any(|hit| hit.tag == Tag::Gauge)
            && self.shows(before)
    }

    /// Whether a figure says of which depth an area before it is: `up to 2 acres where the water is 9 ft deep`.
    fn is_of_an_area(&self, place: &Range<usize>) -> bool {
        let sentence = self.sentence(place.start);
        self.hits_in(sentence.clone()).any(|hit| {
            let before = self.text.get(sentence.start..hit.start).unwrap_or("");
            let unit = before.split_whitespace().next_back().unwrap_or("");
            hit.tag == Tag::Where
                && hit.end <= place.start
                && unit_words::whole(unit)
                    .is_some_and(|found| found.unit(false).dimension() == Dimension::Area)
        })
    }

    /// Whether a depth is what some water has, and not what is served: `the lake is 40 m deep`.
    fn is_of_a_water(&self, claim: &Claim) -> bool {
        let place = claim.place();
        let says = |tag: Tag| {
            self.hits_in(self.sentence(place.start))
                .any(|hit| hit.tag == tag && self.reaches(hit, &place))
        };
        claim.attribute == Attribute::Depth
            && matches!(claim.comparator, Comparator::Exact | Comparator::About)
            && says(Tag::Is)
            && says(Tag::Deep)
            && !self.is_of_an_area(&place)
    }

    /// What a word that reaches a figure does to it. A bound may be said by what isn't so: `no deeper than 4 m`.
    fn bears(&self, hit: &Hit, found: Scope, claim: &Claim) -> Bears {
        /// Words between a negation and the figure that it bounds: `don't put the diffusers below 2.4 m`.
        const NEAR: usize = 4;
        let place = claim.place();
        let is_bounded = matches!(claim.comparator, Comparator::AtMost | Comparator::AtLeast);
        let of_water = matches!(
            claim.attribute,
            Attribute::Area | Attribute::Depth | Attribute::Volume
        );
        let of_sale = matches!(
            claim.attribute,
            Attribute::Price
                | Attribute::Warranty
                | Attribute::ServiceInterval
                | Attribute::Mass
                | Attribute::DiffuserCount
                | Attribute::AirlineSize
        );
        let when = |bears: bool| {
            if bears { Bears::All } else { Bears::Nothing }
        };
        match found {
            Scope::Quoted if hit.tag == Tag::Voices => Bears::Nothing,
            Scope::Part if hit.tag == Tag::Carries => when(
                (claim.attribute == Attribute::Current
                    || claim.attribute == Attribute::Power && hit.end <= place.start)
                    && self.is_carried(hit, &place),
            ),
            Scope::Part if hit.tag == Tag::Outside => {
                when(claim.attribute == Attribute::AirlineSize)
            }
            // A least depth is no greatest one.
            Scope::Supposed if hit.tag == Tag::Least => when(claim.attribute == Attribute::Depth),
            Scope::Supposed if hit.tag == Tag::Shallow => {
                when(claim.attribute == Attribute::Depth && self.goes_on(hit, &place))
            }
            // `Carriage, one pallet, 210 kg   95.00`
            Scope::Fee if claim.attribute == Attribute::Mass => {
                when(self.is_subject(hit) && self.is_counted_on(&place))
            }
            Scope::Fee => when(
                is_money(claim)
                    && !self
                        .hits_in(hit.end..place.start.max(hit.end))
                        .any(|other| other.tag == Tag::Price)
                    && (!is_named(claim) || !self.is_inside(hit)),
            ),
            // `instead of ½ inch` speaks of what follows.
            Scope::OtherOffer if hit.reach == Reach::Last => when(
                !self
                    .text
                    .get(hit.end..)
                    .is_some_and(|after| after.starts_with(" of")),
            ),
            Scope::OtherOffer if hit.tag == Tag::Absent => {
                when(self.is_subject(hit) && hit.end <= place.start)
            }
            Scope::Supposed if hit.tag == Tag::Ask => {
                when(of_water && claim.comparator != Comparator::AtMost)
            }
            // `(was 32 lb)`, `quieter, was 49 dB`
            Scope::Former if hit.reach == Reach::Next => when(
                claim.attribute == Attribute::Price
                    || self
                        .text
                        .get(..hit.start)
                        .is_some_and(|before| before.trim_end().ends_with(['(', ','])),
            ),
            Scope::Difference if hit.reach == Reach::Next => when(matches!(
                claim.attribute,
                Attribute::Sound | Attribute::Flow | Attribute::Power | Attribute::Pressure
            )),
            Scope::Reading => when(
                claim.attribute == Attribute::Pressure && self.shows(self.sentence(place.start)),
            ),
            Scope::Aside if hit.tag == Tag::Rate => when(matches!(
                claim.attribute,
                Attribute::Pressure | Attribute::Mass
            )),
            Scope::Compared => when(self.is_subject(hit) && hit.end <= place.start),
            // How much water is denied in the clause, or by what the sentence begins with.
            Scope::Negated if matches!(hit.tag, Tag::Denied | Tag::None) => when(
                of_water && claim.comparator != Comparator::AtMost && self.is_denied(hit, &place),
            ),
            Scope::Customer if hit.tag == Tag::Elsewhere => when(self.names_a_place(hit)),
            Scope::Customer if hit.tag == Tag::Customer => {
                if of_water && is_named(claim) {
                    Bears::All
                } else {
                    Bears::Nothing
                }
            }
            Scope::Negated if of_sale => Bears::Nothing,
            Scope::Negated if is_bounded && self.words_between(hit, &place) <= NEAR => Bears::Doubt,
            // `not quite 1.3 cfm`
            Scope::Negated if hit.reach == Reach::Next && claim.comparator != Comparator::Exact => {
                Bears::Nothing
            }
            Scope::Supposed if is_bounded => Bears::Doubt,
            _ => Bears::All,
        }
    }

    /// Whether a sentence says that something is shown.
    fn shows(&self, sentence: Range<usize>) -> bool {
        self.hits_in(sentence).any(|hit| hit.tag == Tag::Shows)
    }

    /// Whether a figure is what a part carries: `16 A breaker`, `fused at 16 A`, `timer, 16 A / 3600 W`.
    fn is_carried(&self, hit: &Hit, place: &Range<usize>) -> bool {
        const NEAREST: usize = 2;
        if hit.end > place.start {
            return self.words_between(hit, place) <= NEAREST
                && !ends_clause(&self.text[place.end..hit.start]);
        }
        let between = self.text[hit.end..place.start].trim_start_matches(',');
        !ends_clause(between)
    }

    /// Whether more figures follow in a sentence: what carriage costs, behind how much is carried.
    fn is_counted_on(&self, place: &Range<usize>) -> bool {
        let sentence = self.sentence(place.start);
        let rest = self.text.get(place.end..sentence.end).unwrap_or("");
        rest.contains(|c: char| c.is_ascii_digit())
    }

    /// Whether a depth is a condition that a sentence begins with: `in water shallower than 3 ft a frame does little`.
    fn goes_on(&self, hit: &Hit, place: &Range<usize>) -> bool {
        /// Words before the condition, and behind its figure.
        const BEFORE: usize = 4;
        const BEHIND: usize = 2;
        let sentence = self.sentence(place.start);
        let words = |from: usize, to: usize| {
            let text = self.text.get(from..to).unwrap_or("");
            // `below 8 ft (2.4 m).`
            let bare = text.find(')').map_or(text, |close| &text[close..]);
            bare.split(' ')
                .filter(|word| word.contains(char::is_alphabetic))
                .count()
        };
        words(sentence.start, hit.start) <= BEFORE && words(place.end, sentence.end) >= BEHIND
    }

    /// Whether words beside a hit say that it is inside a price: `incl. VAT`, `delivery is free`.
    fn is_inside(&self, hit: &Hit) -> bool {
        let near = |gap: Option<&str>, most: usize| {
            gap.is_some_and(|gap| {
                gap.split([' ', '.'])
                    .filter(|word| !word.is_empty())
                    .count()
                    <= most
            })
        };
        self.hits_in(self.sentence(hit.start)).any(|other| {
            other.tag == Tag::With
                && (near(self.text.get(other.end..hit.start), 0)
                    || near(self.text.get(hit.end..other.start), 1))
        })
    }

    /// Words of a clause before a hit.
    fn words_before(&self, hit: &Hit) -> &str {
        let sentence = self.sentence(hit.start);
        let before = self.text.get(sentence.start..hit.start).unwrap_or("");
        before.rsplit([',', ':', ';', '(']).next().unwrap_or("")
    }

    /// Whether a clause begins with a hit, and doesn't compare with it: `your kettle`, not `less than a kettle`.
    fn is_subject(&self, hit: &Hit) -> bool {
        const MOST: usize = 2;
        self.words_before(hit).split_whitespace().count() <= MOST
            && !self
                .hits_in(self.sentence(hit.start))
                .any(|other| other.tag == Tag::Difference && other.end <= hit.start)
    }

    /// Whether a denial bears on a figure: in the same clause, or as what its sentence begins with; not beyond words
    /// that turn it.
    fn is_denied(&self, hit: &Hit, place: &Range<usize>) -> bool {
        const FIRST: usize = 2;
        let sentence = self.sentence(place.start);
        let (from, to) = if hit.end <= place.start {
            (hit.end, place.start)
        } else {
            (place.end, hit.start)
        };
        let between = self.text.get(from..to).unwrap_or("");
        let first = self.text.get(sentence.start..hit.start).unwrap_or("");
        let begins = first.split_whitespace().count() < FIRST;
        let turned = self
            .hits_in(from..to)
            .any(|other| other.tag == Tag::Contrast);
        // `not deeper than 9 ft`, `no more than a quarter acre`
        let compares = self.hits_in(hit.end..sentence.end).any(|other| {
            other.tag == Tag::Difference
                && self
                    .text
                    .get(hit.end..other.start)
                    .is_some_and(|gap| gap.split_whitespace().count() <= 1)
        });
        // `No. 14 ft is the limit.` answers, and denies no more.
        let answers = self
            .text
            .get(hit.end..)
            .is_some_and(|after| begins && after.starts_with(['.', ',']));
        let turned = turned || compares || answers;
        !turned && (begins && hit.tag == Tag::None || !ends_clause(between))
    }

    /// Words between a hit and a figure, on either side of it.
    fn words_between(&self, hit: &Hit, place: &Range<usize>) -> usize {
        let between = if hit.end <= place.start {
            &self.text[hit.end..place.start]
        } else {
            self.text.get(place.end..hit.start).unwrap_or("")
        };
        between.split_whitespace().count()
    }

    fn reaches(&self, hit: &Hit, place: &Range<usize>) -> bool {
        // A remark in brackets speaks of what stands in them: `165 W (the old one took 340 W)`.
        if let Some(remark) = self.brackets(hit.start)
            && !(remark.start <= place.start && place.end <= remark.end)
        {
            return false;
        }
        let is_before = hit.end <= place.start;
        let between = || self.text.get(hit.end..place.start).unwrap_or("");
        match hit.reach {
            Reach::Sentence => true,
            Reach::Ahead => {
                let turned = |other: &Hit| {
                    other.tag == Tag::Contrast
                        && hit.start <= other.start
                        && other.end <= place.start
                };
                let mut others = self.hits_in(hit.start..place.start);
                // `Installation: £45` is a label, and its figure.
                let is_label = || matches!(hit.tag, Tag::Fee | Tag::Former) && self.is_subject(hit);
                is_before && (!breaks(between()) || is_label()) && !others.any(turned)
            }
            // `check valve (holds 3 bar)`
            Reach::Clause => {
                is_before
                    && (!ends_clause(between())
                        || hit.tag == Tag::Part && between().trim_start().starts_with('('))
            }
            Reach::Next => {
                is_before && self.words_between(hit, place) <= 1 && !ends_clause(between())
            }
            Reach::Last => {
                let after = || self.text.get(place.end..hit.start).unwrap_or("");
                place.end <= hit.start
                    && self.words_between(hit, place) <= 3
                    && !ends_clause(after())
            }
            Reach::Beside => {
                place.end < hit.start
                    && self
                        .text
                        .get(place.end..hit.start)
                        .is_some_and(|between| between.trim().is_empty())
            }
        }
    }

    /// The brackets of its sentence that a place stands in.
    fn brackets(&self, at: usize) -> Option<Range<usize>> {
        let sentence = self.sentence(at);
        let open = sentence.start + self.text.get(sentence.start..at)?.rfind('(')?;
        let close = open + self.text.get(open..sentence.end)?.find(')')?;
        (close > at).then_some(open..close)
    }

    /// Whether words around a figure, up to the next comma on either side, say that it is a limit.
    pub(super) fn is_limit(&self, place: &Range<usize>) -> bool {
        let sentence = self.sentence(place.start);
        self.hits_in(sentence).any(|hit| {
            hit.tag == Tag::Limit
                && if hit.end <= place.start {
                    !ends_clause(&self.text[hit.end..place.start])
                } else {
                    self.text.get(place.end..hit.start).is_some_and(|after| {
                        !after.contains(|c: char| c.is_ascii_digit()) && after.len() <= 24
                    })
                }
        })
    }

    /// Whether the sentence at a place speaks of what a gauge shows, which bounds nothing.
    pub(super) fn reads_a_gauge(&self, at: usize) -> bool {
        self.hits_in(self.sentence(at))
            .any(|hit| hit.tag == Tag::Gauge)
    }

    /// Hours that something runs each day, as the sentence at a place says.
    pub(super) fn hours_at(&self, at: usize) -> Option<f64> {
        self.hours_in(self.sentence(at), false)
    }

    /// The same, as any sentence says that counts hours of a day; on another passage than the figure's, one that speaks
    /// of what running costs.
    pub(super) fn hours(&self, of_costs: bool) -> Option<f64> {
        let sentences = self.sentences.iter().filter(|sentence| {
            !of_costs
                || self
                    .hits_in((*sentence).clone())
                    .any(|hit| hit.tag == Tag::Costs)
        });
        sentences
            .cloned()
            .find_map(|sentence| self.hours_in(sentence, true))
    }

    fn hours_in(&self, sentence: Range<usize>, of_a_day: bool) -> Option<f64> {
        let daily = |hit: &Hit| {
            self.hits_in(sentence.clone()).any(|other| {
                other.tag == Tag::Daily && other.start >= hit.end && other.start - hit.end <= 3
            })
        };
        self.hits_in(sentence.clone())
            .find_map(|hit| match hit.tag {
                Tag::AllDay => Some(24.0),
                Tag::Minutes => Some(self.number_before(hit.start)? / 60.0 * 24.0),
                Tag::Hour if !of_a_day || daily(hit) => self.number_before(hit.start),
                _ => None,
            })
            .filter(|hours| *hours > 0.0 && *hours <= 24.0)
    }

    /// The number right before a place, in words or in at most two figures.
    fn number_before(&self, at: usize) -> Option<f64> {
        let before = self.text[..at].trim_end();
        let word = before
            .rsplit(|c: char| c.is_whitespace() || matches!(c, '(' | '/' | ':'))
            .next()?;
        (word.len() <= 16 && word.bytes().filter(u8::is_ascii_digit).count() <= 3)
            .then(|| lexicon::number(word))?
    }
}

/// Whether a figure is named as it is, and bounds nothing.
fn is_named(claim: &Claim) -> bool {
    matches!(claim.comparator, Comparator::Exact | Comparator::About)
}

fn is_money(claim: &Claim) -> bool {
    matches!(claim.attribute, Attribute::Price | Attribute::Cost)
}

/// What a word that reaches a figure does to it.
enum Bears {
    /// It tells of whom the figure is said.
    All,
    /// It leaves that open.
    Doubt,
    /// Nothing.
    Nothing,
}

/// Whether a stretch of a sentence ends a clause.
pub(super) fn ends_clause(text: &str) -> bool {
    text.contains(", ") || text.contains('(') || text.contains(')') || breaks(text)
}

/// Whether something new begins in a stretch of a sentence.
pub(super) fn breaks(text: &str) -> bool {
    [": ", "; ", " – ", " — ", "|"]
        .iter()
        .any(|sign| text.contains(sign))
}

/// Bytes from which on no reader takes words for one sentence, or one quotation.
const LONGEST: usize = 800;

/// The sentences of a text. A point before a small letter or a figure ends none: `max. 3 psi`. What has no end for
/// very long is parted at a blank: a word's reach isn't longer.
pub(super) fn sentences(text: &str) -> Vec<Range<usize>> {
    let mut all = Vec::new();
    let mut from = 0;
    for (at, c) in text.char_indices() {
        let rest = &text[at + c.len_utf8()..];
        let next = rest.trim_start().chars().next();
        let parted = rest.starts_with(char::is_whitespace) || rest.is_empty();
        let ends = match c {
            '\n' | '!' | '?' => true,
            c if c.is_whitespace() => at - from >= LONGEST,
            ';' => parted,
            // Points lead the eye from a label to its figure: `max. ......... 3 psi`.
            '.' => {
                parted && next.is_none_or(|c| !c.is_lowercase() && !c.is_ascii_digit() && c != '.')
            }
            _ => false,
        };
        if ends {
            all.push(from..at + c.len_utf8());
            from = at + c.len_utf8();
        }
    }
    if from < text.len() {
        all.push(from..text.len());
    }
    all
}

/// Stretches of four words and more between quotation marks.
fn quotations(text: &str) -> Vec<Range<usize>> {
    const WORDS: usize = 4;
    const PAIRS: [(char, &[char]); 5] = [
        ('“', &['”']),
        ('„', &['“', '”']),
        ('«', &['»']),
        ('»', &['«']),
        ('"', &['"']),
    ];
    let mut all = Vec::new();
    let mut from = 0;
    while let Some((open, close)) = text[from..].char_indices().find_map(|(at, c)| {
        PAIRS
            .iter()
            .find(|pair| pair.0 == c)
            .map(|pair| (from + at, pair.1))
    }) {
        let first = text[open..].chars().next().map_or(1, char::len_utf8);
        let inside = open + first;
        // `3/8" bore`: an inch opens nothing.
        let opens = text[..open]
            .chars()
            .next_back()
            .is_none_or(|c| !c.is_alphanumeric());
        let near = text[inside..].char_indices();
        let mut near = near.take_while(|(at, _)| *at < LONGEST);
        let end = near.find(|(_, c)| close.contains(c));
        let end = end.map(|(at, _)| inside + at);
        match end.filter(|_| opens) {
            Some(end) => {
                if text[inside..end].split_whitespace().count() >= WORDS {
                    all.push(inside..end);
                }
                from = end + text[end..].chars().next().map_or(1, char::len_utf8);
            }
            None => from = inside,
        }
    }
    all
}
