//! What became of the rows of tables: for people, and for programs.

pub mod json;
pub mod terminal;

use crate::engine::Outcome;
use crate::intake::merge::Change;
use crate::intake::told::{Account, Fate, Told};

/// All that an intake tells of.
#[derive(Debug)]
pub struct Shown<'s> {
    /// What became of each row.
    pub accounts: &'s [Account],
    /// What was found, in the order of the tables.
    pub told: &'s [Told],
    /// What changes in the catalog.
    pub changes: &'s [Change],
    /// Values that a person changed in the catalog and that stay.
    pub kept: usize,
    /// Values that are the same in both.
    pub same: usize,
    /// The catalog's folder.
    pub catalog: &'s str,
    /// Whether the files hold it already.
    pub written: bool,
    /// The audit of the catalog as it is afterwards.
    pub audit: Option<&'s Outcome>,
}

/// How many rows the accounts have in all, were taken, were taken with a finding, and weren't taken.
fn totals(accounts: &[Account]) -> [usize; 4] {
    let count = |fate: Fate| {
        accounts
            .iter()
            .map(|account| account.count(fate))
            .sum::<usize>()
    };
    let rows = accounts
        .iter()
        .map(|account| account.rows.len())
        .sum::<usize>();
    let (taken, with) = (count(Fate::Taken), count(Fate::WithFinding));
    [rows, taken, with, rows - taken - with]
}
