//! See the next commits.
