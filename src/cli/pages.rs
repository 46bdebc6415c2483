//! Files of pages: each is read in a process of its own, with limits, so that a file that was made to do harm, or
//! is damaged, can't take the audit with it.

use std::collections::{BTreeMap, BTreeSet};

use super::Failure;
use crate::engine::{self, Input};
use crate::spec_sheet::Extract;

/// The texts of those files among `inputs` that have pages, by path.
///
/// A document that a catalog cites as evidence, and that nobody names as a sheet, isn't read.
///
/// # Errors
/// The program can't be started again to read one.
pub fn read(inputs: &[Input]) -> Result<BTreeMap<String, Extract>, Failure> {
    let paged: Vec<&Input> = inputs
        .iter()
        .filter(|input| engine::is_paged(&input.path) && !input.borrowed)
        .collect();
    if paged.is_empty() {
        return Ok(BTreeMap::new());
    }
    let named: BTreeSet<String> = inputs.iter().flat_map(engine::sheet_files).collect();
    let cited: BTreeSet<String> = inputs.iter().flat_map(engine::evidence_files).collect();
    let sheets: Vec<&Input> = paged
        .into_iter()
        .filter(|input| input.alone || named.contains(&input.path) || !cited.contains(&input.path))
        .collect();
    texts(&sheets)
}

#[cfg(not(feature = "pdf"))]
fn texts(_sheets: &[&Input]) -> Result<BTreeMap<String, Extract>, Failure> {
    Ok(BTreeMap::new())
}

#[cfg(feature = "pdf")]
pub use child::ReadPages;
#[cfg(feature = "pdf")]
use child::texts;

#[cfg(feature = "pdf")]
mod child {
    use std::collections::BTreeMap;

    use rayon::prelude::*;

    use super::super::Failure;
    use super::super::contained::{self, Answer};
    use crate::engine::Input;
    use crate::spec_sheet::{Extract, UnreadKind, pdf};

    pub fn texts(sheets: &[&Input]) -> Result<BTreeMap<String, Extract>, Failure> {
        let texts = sheets
            .par_iter()
            .map(|input| Ok((input.path.clone(), text(input)?)));
        texts.collect()
    }

    fn text(input: &Input) -> Result<Extract, Failure> {
        let damaged = || Extract::unread(UnreadKind::Damaged);
        Ok(
            match contained::ask("read-pages", &input.path, &input.bytes)? {
                Answer::Read(written) => Extract::parse(&written).unwrap_or_else(damaged),
                Answer::TooMuchWork => Extract::unread(UnreadKind::TooMuchWork),
                Answer::Damaged => damaged(),
            },
        )
    }

    /// Read a PDF file from standard input and write its text with the places of its words; for the program itself.
    #[derive(Debug, clap::Args)]
    pub struct ReadPages {}

    impl ReadPages {
        /// Runs it; the exit status.
        ///
        /// # Errors
        /// What was read can't be written.
        pub(crate) fn run(self) -> Result<u8, Failure> {
            contained::answer(|bytes| pdf::extract(bytes).to_wire())
        }
    }
}
