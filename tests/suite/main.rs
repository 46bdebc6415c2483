//! All tests that look at the program from outside, in one binary.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a test that panics has failed, and says where"
)]

mod again;
mod amend;
mod architecture;
mod command_line;
mod convert;
mod catalog_examples;
mod made;
mod manifold;
mod schemas;
mod supplies;
mod supply;
mod sweep;
mod reading;
mod readme;
mod guide;
mod new;
mod shells;
mod style;
mod pipeline;
mod ponds;
mod printing;
mod desk;
mod developers_page;
mod editor;
mod escapes;
mod growth;
mod faults;
mod feeds;
mod fuzz;
mod fair_pages;
mod generated;
mod hull;
mod intake;
mod lexicon;
mod sheet_corpus;
mod sheet_families;
mod sheets;
mod sheet_robustness;
mod levels;
mod limits;
mod long_runs;
mod hull_claims;
mod judging;
mod toml_reading;
mod unjudged;
mod units;
mod answers;
mod air_edges;
mod air_packages;
mod air_properties;
mod air_rows;
mod air_values;
mod common_practice_air;
mod pinned_air;
mod published_air;
mod published_count;
mod published_rows;
mod common_practice_water;
mod monotone_water;
mod pinned_water;
mod published_water;
mod ranges_water;
mod revise;
mod report_baseline;
mod report_formats;
mod report_html;
mod report_folder;
mod audit_table;
mod standard_input;
mod read_aloud;
mod record;
mod report_sample;
mod reports;
mod rule_pages;
mod rulebook;
#[cfg(feature = "pdf")]
mod pdf;
mod scratch;
mod since;
mod validation;
mod validation_pictures;
mod since_property;
mod watch;
mod water_rows;
