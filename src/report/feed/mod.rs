//! A feed: separated values, a workbook, and data for machines by schema.org.

pub mod json_ld;
pub mod mapping;
pub mod separated;
pub mod workbook;
