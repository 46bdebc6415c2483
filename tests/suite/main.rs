//! All tests that look at the program from outside, in one binary.

mod common_practice_water;
mod monotone_water;
mod pinned_water;
mod published_water;
mod ranges_water;
mod water_rows;
