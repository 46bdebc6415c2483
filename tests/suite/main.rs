//! All tests that look at the program from outside, in one binary.

mod air_rows;
mod published_air;
