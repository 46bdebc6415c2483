//! Which end of each range is the bad one, question by question.
//!
//! One pair of corners is no hull for everything. A compressor that gives more air than listed
//! helps the flow and hurts the pressure; a lossy diffuser hurts the flow and hides what a run
//! costs. Each question here moves one way with every range it names, so its two corners bound
//! every draw between them, which a property test holds.

use crate::assumptions::{Assumptions, End, Name, Values};

/// The air side at one set of assumptions.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Corner {
    /// Everything central.
    Central,
    /// The most pressure the machine can be put under.
    GreatestPressure,
    /// The least.
    LeastPressure,
    /// The least air at the diffusers.
    LeastFlow,
    /// The most.
    GreatestFlow,
}

impl Corner {
    /// Every corner, in the order of their numbers.
    pub const ALL: [Corner; 5] = [
        Corner::Central,
        Corner::GreatestPressure,
        Corner::LeastPressure,
        Corner::LeastFlow,
        Corner::GreatestFlow,
    ];

    /// The values of it.
    pub fn values(self, assumptions: &Assumptions) -> Values {
        match self {
            Corner::Central => assumptions.central(),
            Corner::GreatestPressure => assumptions.ends(greatest_pressure),
            Corner::LeastPressure => assumptions.ends(|name| other(greatest_pressure(name))),
            Corner::LeastFlow => assumptions.ends(least_flow),
            Corner::GreatestFlow => assumptions.ends(|name| other(least_flow(name))),
        }
    }
}

fn other(end: End) -> End {
    match end {
        End::Unfavourable => End::Favourable,
        End::Central => End::Central,
        End::Favourable => End::Unfavourable,
    }
}

/// The greatest pressure: losses high, and as much air as can be against them.
pub fn greatest_pressure(name: Name) -> End {
    match name {
        Name::CurveTolerance | Name::AltitudeModel | Name::PlateBound => End::Favourable,
        _ => End::Unfavourable,
    }
}

/// The least air: everything against it.
pub fn least_flow(_: Name) -> End {
    End::Unfavourable
}

/// The most flow lost in a run: a long thin rough line, much air, and little else in its way.
pub fn most_lost(name: Name) -> End {
    match name {
        Name::Friction | Name::Bore | Name::LineLossLimit => End::Unfavourable,
        _ => End::Favourable,
    }
}

/// What else stands in the way of the air makes a run's share of the loss smaller or greater,
/// depending on how the machine's curve bends: these are sought at both ends.
pub const EITHER_WAY: &[&[Name]] = &[
    &[Name::CurveTolerance],
    &[Name::AltitudeModel],
    &[Name::PlateBound],
    &[Name::DiffuserLoss, Name::DiffuserLossDefault],
    &[Name::CheckValveOpening],
    &[Name::BarbsPerLine],
];

/// The ranges the air side depends on.
pub const AIR_SIDE: &[Name] = &[
    Name::CurveTolerance,
    Name::DiffuserLoss,
    Name::DiffuserLossDefault,
    Name::CheckValveOpening,
    Name::BarbsPerLine,
    Name::Bore,
    Name::Friction,
    Name::AltitudeModel,
    Name::PlateBound,
];

/// The ranges a plume's flow depends on beside its air.
pub const PLUME: &[Name] = &[
    Name::Entrainment,
    Name::BubbleSpread,
    Name::Slip,
    Name::MomentumAmplification,
    Name::SourceRadius,
];
