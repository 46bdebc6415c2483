//! Tables of other programs into a catalog.
//!
//! ```text
//! bytes ──grid──► cells ──mapping──► rows as entries ──merge──► the catalog's texts, edited in place
//! ```
//!
//! [`read`] makes cells of a file, [`guess`] a first mapping of them, [`take`] entries of the rows, and [`merge`] holds
//! those to the catalog. The disk is not here: texts are handed in and handed back.

mod figure;
pub mod grid;
pub mod guess;
mod headings;
pub mod merge;
mod names;
mod numeral;
mod separated;
mod shapes;
pub mod take;
pub mod told;
mod workbook;
mod write;

pub use grid::{Grid, Remark};

use crate::catalog::mapping::Mapping;
use crate::document;
use crate::finding::{Finding, Level};
use crate::rules;
use crate::text::{Source, Sources};

/// A mapping file, read.
#[derive(Debug)]
pub struct Mapped {
    /// What it states.
    pub mapping: Mapping,
    /// The text, for showing its lines.
    pub sources: Sources,
    /// What is wrong with it.
    pub findings: Vec<Finding>,
}

impl Mapped {
    /// Reads the mapping in `bytes`, which reports call `path`.
    #[must_use]
    pub fn of(path: &str, bytes: Vec<u8>) -> Mapped {
        let mut sources = Sources::default();
        let file = sources.add(Source::new(path, bytes));
        let document = document::read(file, sources.get(file));
        let read = Mapping::read(&document);
        let findings = rules::check_mapping(&document, &read);
        Mapped {
            mapping: read.mapping,
            findings,
            sources,
        }
    }

    /// Whether it can't be gone on with.
    #[must_use]
    pub fn is_faulty(&self) -> bool {
        self.findings
            .iter()
            .any(|finding| finding.level == Level::Error)
    }
}

/// Reads a file of tables: a workbook, or separated values. Call it in a process with limits.
#[must_use]
pub fn read(bytes: &[u8]) -> Grid {
    /// The first bytes of workbooks before XLSX, and of XLSX under a password.
    const OLD: &[u8] = &[0xD0, 0xCF, 0x11, 0xE0];
    let grid = match bytes {
        bytes if bytes.starts_with(b"PK") => workbook::read(bytes),
        bytes if bytes.starts_with(OLD) => Grid::unread(Remark::OldOrLocked),
        bytes if bytes.iter().take(1024).any(|&byte| byte == 0) && !has_mark(bytes) => {
            Grid::unread(Remark::Damaged)
        }
        bytes => separated::read(bytes),
    };
    grid.without_long_cells()
}

/// Whether a text begins with the mark of UTF-16.
fn has_mark(bytes: &[u8]) -> bool {
    bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF])
}
