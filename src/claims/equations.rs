//! The equations that each kind of claim is judged by, for a reader who wants to check.

use crate::physics::equation::Equation;
use crate::physics::{
    check_valve, curve, diffuser, fittings, friction, head, mixing, network, oxygen_saturation,
    oxygen_transfer, plume, reach, running_cost, sound, turnover, valve,
};

use super::Claim;

/// What every duty point takes.
static AIR_SIDE: &[&Equation] = &[
    &network::DUTY_POINT,
    &curve::CURVE_FLOW,
    &head::WATER_HEAD,
    &friction::LINE_LOSS,
    &friction::FRICTION_FACTOR,
    &fittings::BARB_LOSS,
    &valve::VALVE_FLOW,
    &check_valve::CHECK_VALVE_LOSS,
    &diffuser::DIFFUSER_LOSS,
];

/// The equations behind a claim of that kind, those of the duty point first.
pub fn behind(claim: Claim) -> Vec<&'static Equation> {
    let own: &[&Equation] = match claim {
        Claim::Depth | Claim::Flow | Claim::AirlineLength => &[],
        Claim::Area => &[
            &reach::REACH_AREA,
            &plume::BUBBLE_PLUME,
            &turnover::MEAN_DEPTH,
            &turnover::TURNOVER,
            &mixing::MIXING_AIR,
        ],
        Claim::Volume => &[&turnover::MEAN_DEPTH],
        Claim::Turnover => &[
            &plume::BUBBLE_PLUME,
            &turnover::MEAN_DEPTH,
            &turnover::TURNOVER,
        ],
        Claim::WaterMoved => &[&plume::BUBBLE_PLUME],
        Claim::Oxygen | Claim::OxygenUptake | Claim::TransferEfficiency => &[
            &oxygen_transfer::TRANSFER_EFFICIENCY,
            &oxygen_transfer::STANDARD_TRANSFER,
            &oxygen_transfer::FIELD_TRANSFER,
            &oxygen_saturation::OXYGEN_SATURATION,
        ],
        Claim::RunningCost => &[&running_cost::RUNNING_ENERGY],
        Claim::Sound => &[&sound::SOUND_BY_DISTANCE, &sound::SOUND_SUM],
        // A sum of stated figures, and what nobody judges.
        Claim::Power
        | Claim::WinterOpening
        | Claim::Warranty
        | Claim::ServiceInterval
        | Claim::PackedMass => &[],
    };
    let by_air = !matches!(
        claim,
        Claim::RunningCost
            | Claim::Sound
            | Claim::Power
            | Claim::Volume
            | Claim::WinterOpening
            | Claim::Warranty
            | Claim::ServiceInterval
            | Claim::PackedMass
    );
    let air: &[&Equation] = if by_air { AIR_SIDE } else { &[] };
    air.iter().chain(own).copied().collect()
}
