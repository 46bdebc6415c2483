//! `nameplate limits`: how far a package goes.

use super::asking::Asking;
use super::{Failure, SOUND};
use crate::answers::{choose, limits};
use crate::report::answers::limits as shown;

/// Show how far a package goes: the deepest diffuser, the largest pond, the longest run for each bore.
///
/// Each limit is given for the worst case, typical values and the best case, with what limits it.
#[derive(Debug, clap::Args)]
pub(crate) struct Limits {
    #[command(flatten)]
    asking: Asking,
}

impl Limits {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being answered.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let mut put = self.asking.put()?;
        // The answer names the option it is about, and the others.
        put.question.any_option = true;
        let refused = |why: choose::Unanswerable| Failure::Unanswerable(why.to_string());
        let asked = choose::find(&put.catalog, &put.question).map_err(refused)?;
        let limits = limits::answer(&asked).map_err(refused)?;
        let text = if self.asking.json() {
            shown::json(&asked, &limits, self.asking.explain())
        } else {
            shown::terminal(&asked, &limits, self.asking.style())
        };
        self.asking.write(&text)?;
        Ok(SOUND)
    }
}
