//! All tests that look at the program from outside, in one binary.

mod air_rows;
mod air_values;
mod published_air;
