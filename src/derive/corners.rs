//! Which end of each range is the bad one, question by question.
//!
//! One pair of corners is no hull for everything. A compressor that gives more air than listed
//! helps the flow and hurts the pressure; a lossy diffuser hurts the flow and hides what a run
//! costs. Each question here moves one way with every range it names, so its two corners bound
//! every draw between them, which a property test holds.

use smallvec::SmallVec;

use crate::assumptions::{Assumptions, End, Ends, Name, Values};

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
        assumptions.ends(&self.ends())
    }

    /// The end that it has each range at.
    pub const fn ends(self) -> Ends {
        match self {
            Corner::Central => Ends::CENTRAL,
            Corner::GreatestPressure => GREATEST_PRESSURE,
            Corner::LeastPressure => GREATEST_PRESSURE.other(),
            Corner::LeastFlow => LEAST_FLOW,
            Corner::GreatestFlow => LEAST_FLOW.other(),
        }
    }
}

/// The greatest pressure: losses high, and as much air as can be against them.
pub const GREATEST_PRESSURE: Ends = Ends::UNFAVOURABLE.but(
    &[
        Name::CurveTolerance,
        Name::AltitudeModel,
        Name::PlateBound,
        Name::Humidity,
        Name::InletRise,
    ],
    End::Favourable,
);

/// The least air, as an amount of it: everything against it.
pub const LEAST_FLOW: Ends = Ends::UNFAVOURABLE;

/// The least air as a volume: dense air loses more on the way.
pub const LEAST_VOLUME: Ends =
    Ends::UNFAVOURABLE.but(&[Name::Humidity, Name::InletRise], End::Favourable);

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

/// Every range at its own of `ends`, and the same with each group of `turns` at its other end, in every
/// combination that matters to `depends`.
pub fn turned<'a>(
    assumptions: &'a Assumptions,
    ends: Ends,
    turns: &'static [&'static [Name]],
    depends: &[Name],
) -> impl Iterator<Item = Values> + 'a {
    // A group that nothing depends on needn't be turned.
    let matters = |group: &&[Name]| group.iter().any(|name| depends.contains(name));
    let turns: SmallVec<[&[Name]; 6]> = turns.iter().copied().filter(matters).collect();
    (0..1u32 << turns.len()).map(move |pick| {
        let mut turned = ends;
        for (at, group) in turns.iter().enumerate() {
            if pick >> at & 1 == 1 {
                for &name in *group {
                    turned = turned.but(&[name], ends[name].other());
                }
            }
        }
        assumptions.ends(&turned)
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

/// The values that the air side of one calculation depends on.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirSide([f64; AIR_SIDE.len()]);

/// The place of each range among those of the air side.
const PLACES: [usize; Name::ALL.len()] = {
    // One that isn't among them has no place there.
    let mut places = [usize::MAX; Name::ALL.len()];
    let mut at = 0;
    while at < AIR_SIDE.len() {
        places[AIR_SIDE[at] as usize] = at;
        at += 1;
    }
    places
};

impl std::ops::Index<Name> for AirSide {
    type Output = f64;
    fn index(&self, name: Name) -> &f64 {
        &self.0[PLACES[name as usize]]
    }
}

impl AirSide {
    /// The air side of `values`.
    pub fn of(values: &Values) -> AirSide {
        let mut own = [0.0; AIR_SIDE.len()];
        for (own, &name) in own.iter_mut().zip(AIR_SIDE) {
            *own = values[name];
        }
        AirSide(own)
    }

    /// Whether the machines draw in the same air under both.
    pub fn has_same_inlet(&self, other: &AirSide) -> bool {
        let same = |name| self[name] == other[name];
        same(Name::Humidity) && same(Name::InletRise)
    }

    /// The bits of its values: what tells it from others.
    pub fn bits(&self) -> [u64; AIR_SIDE.len()] {
        self.0.map(f64::to_bits)
    }
}

/// The ranges a plume's flow depends on beside its air.
pub const PLUME: &[Name] = &[
    Name::Entrainment,
    Name::BubbleSpread,
    Name::SlipVelocity,
    Name::MomentumAmplification,
    Name::SourceRadius,
];
