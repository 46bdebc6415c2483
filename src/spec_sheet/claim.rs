//! What a claim of a sheet is.

use std::num::NonZeroU32;
use std::ops::{Deref, DerefMut, Range};

use compact_str::CompactString;

use crate::units::{Currency, Quantity};

use super::measure::Period;

/// What a figure promises.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Attribute {
    /// Largest pond.
    Area,
    /// Greatest depth.
    Depth,
    /// Free air.
    Flow,
    /// Watts drawn.
    Power,
    /// Volts.
    Voltage,
    /// Hertz.
    Frequency,
    /// Amperes.
    Current,
    /// Pressure above the air around.
    Pressure,
    /// Sound level.
    Sound,
    /// What running it costs.
    Cost,
    /// Bore or nominal size of an airline.
    AirlineSize,
    /// Length of an airline.
    AirlineLength,
    /// How many diffusers.
    DiffuserCount,
    /// How often the pond is turned over.
    Turnover,
    /// A temperature.
    Temperature,
    /// Mass of a part, packed or shipped.
    Mass,
    /// Water moved.
    WaterFlow,
    /// Oxygen in a time.
    Oxygen,
    /// Share of the oxygen that goes over.
    Efficiency,
    /// Price.
    Price,
    /// How long it is warranted.
    Warranty,
    /// How often it wants service.
    ServiceInterval,
    /// Volume of the pond it is for.
    Volume,
}

impl Attribute {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            Attribute::Area => "area",
            Attribute::Depth => "depth",
            Attribute::Flow => "flow",
            Attribute::Power => "power",
            Attribute::Voltage => "voltage",
            Attribute::Frequency => "frequency",
            Attribute::Current => "current",
            Attribute::Pressure => "pressure",
            Attribute::Sound => "sound",
            Attribute::Cost => "cost",
            Attribute::AirlineSize => "airline-size",
            Attribute::AirlineLength => "airline-length",
            Attribute::DiffuserCount => "diffuser-count",
            Attribute::Turnover => "turnover",
            Attribute::Temperature => "temperature",
            Attribute::Mass => "mass",
            Attribute::WaterFlow => "volume-flow-water",
            Attribute::Oxygen => "oxygen",
            Attribute::Efficiency => "efficiency",
            Attribute::Price => "price",
            Attribute::Warranty => "warranty",
            Attribute::ServiceInterval => "service-interval",
            Attribute::Volume => "volume",
        }
    }
}

/// How the figure bounds what it speaks of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Comparator {
    /// As it stands.
    Exact,
    /// Up to it.
    AtMost,
    /// From it on.
    AtLeast,
    /// Near it.
    About,
    /// Between two.
    Range,
}

impl Comparator {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            Comparator::Exact => "exact",
            Comparator::AtMost => "at-most",
            Comparator::AtLeast => "at-least",
            Comparator::About => "about",
            Comparator::Range => "range",
        }
    }
}

/// The figure in SI units, as `machine formats` want it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Si {
    /// A comparison: against what isn't said.
    None,
    /// One value.
    Value(f64),
    /// From one to another.
    Range(f64, f64),
}

impl Si {
    /// Least and greatest, where there is a figure.
    pub fn bounds(self) -> Option<(f64, f64)> {
        match self {
            Si::None => None,
            Si::Value(value) => Some((value, value)),
            Si::Range(low, high) => Some((low, high)),
        }
    }
}

/// What a figure is said of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Subject {
    /// The package as a whole.
    Package,
    /// Its compressor.
    Compressor,
    /// A diffuser.
    Diffuser,
    /// The airline.
    Airline,
    /// The cabinet.
    Cabinet,
}

impl Subject {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            Subject::Package => "package",
            Subject::Compressor => "compressor",
            Subject::Diffuser => "diffuser",
            Subject::Airline => "airline",
            Subject::Cabinet => "cabinet",
        }
    }
}

/// One for which a figure holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Counted {
    /// Each diffuser.
    Diffuser,
    /// The package.
    Package,
}

impl Counted {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            Counted::Diffuser => "diffuser",
            Counted::Package => "package",
        }
    }
}

/// Under what a figure holds.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Condition {
    /// Pressure.
    pub pressure: Option<Quantity>,
    /// Depth.
    pub depth: Option<Quantity>,
    /// Distance.
    pub distance: Option<Quantity>,
    /// Price of energy.
    pub tariff: Option<Quantity>,
    /// Hours that it runs each day.
    pub hours_per_day: Option<f64>,
    /// Temperature.
    pub temperature: Option<Quantity>,
    /// For each of these.
    pub per: Option<Counted>,
}

impl Condition {
    /// Whether nothing is said.
    pub fn is_empty(&self) -> bool {
        *self == Condition::NONE
    }

    /// Nothing said.
    const NONE: Condition = Condition {
        pressure: None,
        depth: None,
        distance: None,
        tariff: None,
        hours_per_day: None,
        temperature: None,
        per: None,
    };
}

/// The condition of a claim. Most claims have none, and it takes a pointer's room in them until one is put.
#[derive(Clone, Default)]
pub struct Under(Option<Box<Condition>>);

impl Under {
    /// That a figure is one of each of these, if it is.
    pub(super) fn per(per: Option<Counted>) -> Under {
        Under(per.map(|counted| {
            Box::new(Condition {
                per: Some(counted),
                ..Condition::NONE
            })
        }))
    }
}

impl Deref for Under {
    type Target = Condition;

    fn deref(&self) -> &Condition {
        static NONE: Condition = Condition::NONE;
        self.0.as_deref().unwrap_or(&NONE)
    }
}

impl DerefMut for Under {
    fn deref_mut(&mut self) -> &mut Condition {
        self.0.get_or_insert_default()
    }
}

impl PartialEq for Under {
    fn eq(&self, other: &Under) -> bool {
        **self == **other
    }
}

impl std::fmt::Debug for Under {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        (**self).fmt(f)
    }
}

/// The second figure of a dual listing.
#[derive(Debug, Clone, PartialEq)]
pub struct Also {
    /// Its bytes in the file.
    pub at: Range<usize>,
    /// As it is written.
    pub text: CompactString,
    /// In SI units.
    pub si: Si,
    /// With its digits.
    pub quantity: Option<Quantity>,
}

/// How sure it is that a figure is promised of what the page offers.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Sureness {
    /// It may be meant of it: a contradiction asks.
    Likely,
    /// The page says it of it: a contradiction is an error.
    Asserted,
}

impl Sureness {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            Sureness::Asserted => "asserted",
            Sureness::Likely => "likely",
        }
    }
}

/// What says of a figure that it is promised.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum SaidBy {
    /// A cell of a table.
    Cell,
    /// The label before it.
    Label,
    /// The words of its sentence.
    Sentence,
}

impl SaidBy {
    /// Its word in every format.
    pub fn as_str(self) -> &'static str {
        match self {
            SaidBy::Cell => "cell",
            SaidBy::Label => "label",
            SaidBy::Sentence => "sentence",
        }
    }
}

/// A figure, or a comparison without one, that a sheet promises.
#[derive(Debug, Clone, PartialEq)]
pub struct Claim {
    /// The bytes of the figure with its unit in the file; of the words, for a comparison.
    pub at: Range<usize>,
    /// The page, from 1, where the file has pages and no bytes to point at.
    pub page: Option<NonZeroU32>,
    /// As it is written, with the words that bound it.
    pub text: CompactString,
    /// What it promises.
    pub attribute: Attribute,
    /// How it is bounded.
    pub comparator: Comparator,
    /// In SI units; money in its currency and period; a count as it is.
    pub si: Si,
    /// With its digits and unit; none for a count or comparison.
    pub quantity: Option<Quantity>,
    /// The currency of money.
    pub currency: Option<Currency>,
    /// What money is paid for.
    pub period: Option<Period>,
    /// Under what it holds.
    pub condition: Under,
    /// The second figure of a dual listing.
    pub also: Option<Box<Also>>,
    /// What it is said of.
    pub subject: Subject,
    /// How many of it, as in `2 x 25 m`.
    pub count: Option<f64>,
    /// Whether it is about open water in ice.
    pub in_winter: bool,
    /// Whether it is the OUTSIDE diameter of an airline.
    pub is_outside: bool,
    /// How sure it is that the page says it of what it offers.
    pub sureness: Sureness,
    /// What says so.
    pub said_by: SaidBy,
    /// Whether it is a pressure that the page calls the greatest.
    pub is_limit: bool,
    /// The passage it stands in.
    pub(super) passage: u32,
    /// Its bytes in the passage.
    pub(super) place: Range<u32>,
}

impl Claim {
    /// The passage it stands in, as its number.
    pub fn passage(&self) -> usize {
        self.passage as usize
    }

    /// Its bytes in the passage.
    pub fn place(&self) -> Range<usize> {
        self.place.start as usize..self.place.end as usize
    }
}
