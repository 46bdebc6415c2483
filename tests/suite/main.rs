//! All tests that look at the program from outside, in one binary.

mod air_edges;
mod air_packages;
mod air_properties;
mod air_rows;
mod air_values;
mod common_practice_air;
mod pinned_air;
mod published_air;
