//! What `duty`, `limits`, `gauge` and `sweep` say: for people in the units of the package, for programs in SI.

pub mod convert;
pub mod duty;
mod explain;
pub mod gauge;
pub mod limits;
pub(in crate::report) mod page;
pub mod sweep;
pub mod sweep_picture;

use crate::report::terminal::Look;

/// How an answer is shown to a person.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    /// Width, colours and characters.
    pub look: Look,
    /// Whether the equations are shown.
    pub explain: bool,
}
