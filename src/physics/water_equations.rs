//! All equations of the water side, in the order of the walk from bubble to pond.

use super::bubble_transfer::BUBBLE_TRANSFER;
use super::equation::Equation;
use super::first_run::{FIRST_RUN, MIXED_OXYGEN};
use super::mixing::{HEAT_BALANCE, MIXING_AIR};
use super::oxygen_saturation::OXYGEN_SATURATION;
use super::oxygen_transfer::{DEMAND_AREA, FIELD_TRANSFER, STANDARD_TRANSFER, TRANSFER_EFFICIENCY};
use super::plume::{BUBBLE_PLUME, PLUME_REGIME, PLUME_SOURCE};
use super::plume_forms::{KOBUS, MCDOUGALL_SERIES, PURE_PLUME};
use super::reach::{JET_REACH, REACH_AREA};
use super::rising_air::EXPANSION_WORK;
use super::stratification::{LAYERING_ENERGY, MIXING_TIME};
use super::surface_velocity::SURFACE_JET;
use super::turnover::{MEAN_DEPTH, TURNOVER};
use super::water_properties::{WATER_DENSITY, WATER_EXPANSION};
use super::winter::WINTER_COOLING;

/// Every equation of the water side.
pub static WATER_EQUATIONS: &[&Equation] = &[
    &WATER_DENSITY,
    &WATER_EXPANSION,
    &EXPANSION_WORK,
    &BUBBLE_PLUME,
    &PLUME_SOURCE,
    &PLUME_REGIME,
    &KOBUS,
    &MCDOUGALL_SERIES,
    &PURE_PLUME,
    &REACH_AREA,
    &JET_REACH,
    &SURFACE_JET,
    &MEAN_DEPTH,
    &TURNOVER,
    &MIXING_AIR,
    &HEAT_BALANCE,
    &LAYERING_ENERGY,
    &MIXING_TIME,
    &OXYGEN_SATURATION,
    &TRANSFER_EFFICIENCY,
    &STANDARD_TRANSFER,
    &FIELD_TRANSFER,
    &DEMAND_AREA,
    &BUBBLE_TRANSFER,
    &WINTER_COOLING,
    &MIXED_OXYGEN,
    &FIRST_RUN,
];

#[cfg(test)]
mod tests {
    use super::*;

    /// The files that hold equations of the water side.
    const FILES: &[&str] = &[
        include_str!("bubble_transfer.rs"),
        include_str!("mixing.rs"),
        include_str!("oxygen_saturation.rs"),
        include_str!("oxygen_transfer.rs"),
        include_str!("plume.rs"),
        include_str!("plume_forms.rs"),
        include_str!("reach.rs"),
        include_str!("rising_air.rs"),
        include_str!("first_run.rs"),
        include_str!("stratification.rs"),
        include_str!("surface_velocity.rs"),
        include_str!("turnover.rs"),
        include_str!("water_properties.rs"),
        include_str!("winter.rs"),
    ];

    #[test]
    fn every_equation_of_every_file_is_listed_once() {
        let written: usize = FILES
            .iter()
            .map(|file| file.matches(": Equation = Equation {").count())
            .sum();
        assert_eq!(WATER_EQUATIONS.len(), written);
        let mut names: Vec<_> = WATER_EQUATIONS.iter().map(|e| e.name).collect();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), written);
    }

    #[test]
    fn every_record_is_whole() {
        for equation in WATER_EQUATIONS {
            assert!(!equation.formula.is_empty() && !equation.source.is_empty());
            for range in equation.ranges {
                assert!(
                    range.low < range.high,
                    "{} {}",
                    equation.name,
                    range.quantity
                );
            }
        }
    }
}
