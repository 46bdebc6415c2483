//! What may be offered to be written into a page.
//!
//! A figure of a page stands in a sentence that somebody wrote. Only its number is replaced, only where it keeps its
//! unit, and only where nothing is left beside it that says otherwise.

use crate::finding::{Edit, Finding};
use crate::spec_sheet::{Claim, Comparator};
use crate::units::{self, Quantity};

use super::{CLAIM, CONTRADICTS, Said};

/// The edit of a number in prose that does what `edit` would do to a figure of a catalog.
pub(super) fn edit(said: &Said, claim: &Claim, edit: &Edit) -> Option<Edit> {
    let own = claim.quantity.as_ref()?;
    let meant = edit.with.trim_matches('"');
    let meant = units::read(meant, &[own.dimension()]).quantity?;
    // The other listing of `16 ft (4.9 m)` would stay.
    let has_partner = claim.also.is_some() || claim.comparator == Comparator::Range;
    // `$4 a month` isn't written as a catalog would.
    if has_partner || claim.currency.is_some() || own.unit() != meant.unit() {
        return None;
    }
    let written = number(own)?;
    // A comma may part decimals here and thousands there.
    let number = number(&meant)?;
    let is_plain = |text: &str| !text.contains(',');
    let speaks_english = said
        .page
        .sheet
        .language
        .as_deref()
        .is_none_or(|one| one.starts_with("en"));
    if !is_plain(written) || !is_plain(number) || (number.contains('.') && !speaks_english) {
        return None;
    }
    // `1 acre`, and `2 acres`.
    let is_one = |text: &str| text == "1";
    if is_one(written) != is_one(number) && is_word(own) {
        return None;
    }
    let at = said.page.at(claim);
    let stands = said.contexts.first()?.sources.slice(at);
    // A tag, an entity or the end of a line inside: the bytes aren't the text.
    let passage = said.page.sheet.passages.get(claim.passage())?;
    if passage.text.get(claim.place()) != Some(stands) {
        return None;
    }
    let from = stands.find(written)?;
    let is_only = stands.matches(|c: char| c.is_ascii_digit()).count()
        == written.matches(|c: char| c.is_ascii_digit()).count();
    is_only.then(|| {
        let start = at.start + from as u32;
        let mut place = at;
        (place.start, place.end) = (start, start + written.len() as u32);
        Edit {
            at: place,
            with: number.to_string(),
        }
    })
}

fn number(quantity: &Quantity) -> Option<&str> {
    quantity.text().get(quantity.number_at()).map(str::trim)
}

/// Whether a unit is written as a word that has a plural.
fn is_word(quantity: &Quantity) -> bool {
    let unit = quantity.text().get(quantity.unit_at()).unwrap_or("");
    unit.chars().filter(|c| c.is_alphabetic()).count() > 3
}

/// A page is corrected whole or not at all: where one figure stays that is wrong, such as a price or a count, the
/// others may be those of another machine.
pub(super) fn whole_or_not(findings: &mut [Finding]) {
    let of_figures = |one: &Finding| [CONTRADICTS.name, CLAIM.name].contains(&one.rule.name);
    if findings
        .iter()
        .any(|one| of_figures(one) && one.correction.is_none())
    {
        for finding in findings.iter_mut().filter(|one| of_figures(one)) {
            finding.correction = None;
        }
    }
}
