//! What a finding rests on, as a table.

use crate::finding::Evidence;
use crate::text::Sources;

use super::super::basis;
use super::figures::Reader;
use super::table::{Cell, Row};
use super::theme::{Role, Theme};

pub use super::super::basis::has_ranges;

/// A table of the evidence.
///
/// The figures of one quantity over its ranges share a line, the least first; `legend` says so, in a
/// line of its own that is first.
pub fn table(
    evidence: &[Evidence],
    reader: Reader,
    sources: &Sources,
    legend: bool,
    theme: &Theme,
) -> Vec<Row> {
    let legend = legend.then(|| {
        let words = ["lowest", "typical", "highest"].join(theme.dot());
        Row::Heads(vec![
            Cell::new("", Role::Quiet),
            Cell::new(words, Role::Quiet),
            Cell::new("", Role::Quiet),
        ])
    });
    let lines = basis::lines(evidence, reader, sources);
    let rows = lines.into_iter().map(|line| {
        Row::Cells(vec![
            Cell::new(theme.text(&line.name), Role::Plain),
            Cell::new(theme.text(&line.figure(theme.dot())), Role::Strong),
            Cell::new(theme.text(&line.ground), Role::Quiet),
        ])
    });
    legend.into_iter().chain(rows).collect()
}
