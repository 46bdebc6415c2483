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
            other => assumptions.ends(other.end()),
        }
    }

    /// The end that it has each range at.
    pub fn end(self) -> fn(Name) -> End {
        match self {
            Corner::Central => |_| End::Central,
            Corner::GreatestPressure => greatest_pressure,
            Corner::LeastPressure => |name| other(greatest_pressure(name)),
            Corner::LeastFlow => least_flow,
            Corner::GreatestFlow => |name| other(least_flow(name)),
        }
    }
}

/// The other end.
pub fn other(end: End) -> End {
    match end {
        End::Unfavourable => End::Favourable,
        End::Central => End::Central,
        End::Favourable => End::Unfavourable,
    }
}

/// The greatest pressure: losses high, and as much air as can be against them.
pub fn greatest_pressure(name: Name) -> End {
    match name {
        Name::CurveTolerance
        | Name::AltitudeModel
        | Name::PlateBound
        | Name::Humidity
        | Name::InletRise => End::Favourable,
        _ => End::Unfavourable,
    }
}

/// The least air, as an amount of it: everything against it.
pub fn least_flow(_: Name) -> End {
    End::Unfavourable
}

/// The least air as a volume: dense air loses more on the way.
pub fn least_volume(name: Name) -> End {
    match name {
        Name::Humidity | Name::InletRise => End::Favourable,
        _ => End::Unfavourable,
    }
}

/// Where unlike branches share a manifold without valves, more loss in the lines raises its pressure and
/// feeds the branch that the air finds hardest: what is lost on the way is sought at both ends.
pub const EITHER_WAY: &[&[Name]] = &[
    &[Name::Friction, Name::Bore],
    &[Name::BoreNominal],
    &[Name::BarbsPerLine],
    &[Name::DiffuserLoss],
    &[Name::DiffuserLossDefault],
    &[Name::CheckValveOpening],
];

/// `end` for every range, and the same with each group of `turns` at its other end, in every combination
/// that matters to `depends`.
pub fn turned<'a>(
    assumptions: &'a Assumptions,
    end: impl Fn(Name) -> End + 'a,
    turns: &'static [&'static [Name]],
    depends: &[Name],
) -> impl Iterator<Item = Values> + 'a {
    // A group that nothing depends on needn't be turned.
    let matters = |group: &&[Name]| group.iter().any(|name| depends.contains(name));
    let turns: Vec<&[Name]> = turns.iter().copied().filter(matters).collect();
    (0..1u32 << turns.len()).map(move |pick| {
        assumptions.ends(|name| {
            let group = turns.iter().position(|group| group.contains(&name));
            let turned = group.is_some_and(|group| pick >> group & 1 == 1);
            if turned { other(end(name)) } else { end(name) }
        })
    })
}

/// The ranges the air side depends on.
pub const AIR_SIDE: &[Name] = &[
    Name::CurveTolerance,
    Name::DiffuserLoss,
    Name::DiffuserLossDefault,
    Name::CheckValveOpening,
    Name::BarbsPerLine,
    Name::Bore,
    Name::BoreNominal,
    Name::Friction,
    Name::AltitudeModel,
    Name::PlateBound,
    Name::Humidity,
    Name::InletRise,
    Name::LeastFlowFine,
    Name::LeastFlowCoarse,
];

/// The ranges a plume's flow depends on beside its air.
pub const PLUME: &[Name] = &[
    Name::Entrainment,
    Name::BubbleSpread,
    Name::SlipVelocity,
    Name::MomentumAmplification,
    Name::SourceRadius,
];
