//! Which package each claim of a sheet is made of, and those claims as the figures of a package.
//!
//! ```text
//! claims of a sheet ─► about (told apart by heading, column, row) ─┬─► bound: the catalog's package with the sheet's promises
//!                                                                  └─► provisional: a package of the sheet's figures alone
//! ```
//!
//! Both come out as a [`Catalog`](crate::catalog::Catalog) whose figures stand at their bytes in the sheet, so that
//! whatever judges a catalog judges a sheet, at the right places. No judgement is here.

mod about;
mod figures;
mod provisional;
mod technology;

use crate::catalog::Catalog;
use crate::spec_sheet::{Claim, Sheet};
use crate::text::FileId;

pub use about::{About, Name, names, tell_apart};
pub use figures::figure;
pub use provisional::{Watts, provisional, states_enough, watts};
pub use technology::{machines, named_machines};

/// The catalog's package with what the sheet promises in place of its own promises: an excerpt with its parts.
/// Where the sheet states no depth, area or volume, the catalog's stand, because areas and turnovers rest on them.
/// Nothing if the catalog has no such package.
pub fn bound(catalog: &Catalog, package: &str, claims: &[&Claim], file: FileId) -> Option<Catalog> {
    let mut excerpt = catalog.excerpt(&std::iter::once(package).collect(), None);
    let entry = excerpt.packages.iter_mut().next()?;
    let own = std::mem::take(&mut entry.claims);
    let mut promised = figures::promises(claims, file);
    promised.at = own.at;
    if promised.depth.is_absent() {
        promised.depth = own.depth;
    }
    if promised.area.is_absent() {
        promised.area = own.area;
    }
    if promised.volume.is_absent() {
        promised.volume = own.volume;
    }
    entry.claims = promised;
    Some(excerpt)
}

/// Whether a text is a spec sheet at all, for files that nobody named as one: it states an area, depth, flow or
/// power.
pub fn is_sheet(sheet: &Sheet) -> bool {
    use crate::spec_sheet::Attribute::{Area, Depth, Flow, Power};
    let mut claims = sheet.claims.iter();
    claims.any(|claim| {
        matches!(claim.attribute, Area | Depth | Flow | Power) && claim.quantity.is_some()
    })
}
