//! `nameplate duty`: where a package's pressure and flow settle.

use super::asking::Asking;
use super::{Failure, SOUND};
use crate::answers::{choose, duty};
use crate::report::answers::duty as shown;

/// Show the duty point of a package: pressures, flows, power, cost and noise.
///
/// The figures are for typical values; the ranges of the assumptions stand beside them. The exit status is 0 if
/// there is a duty point, even one without any air, and 2 if a fact is missing.
#[derive(Debug, clap::Args)]
pub(crate) struct DutyPoint {
    #[command(flatten)]
    asking: Asking,
}

impl DutyPoint {
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
        let duty = duty::answer(&asked).map_err(refused)?;
        let text = if self.asking.json() {
            shown::json(&asked, &duty, self.asking.explain())
        } else {
            shown::terminal(&asked, &duty, self.asking.style())
        };
        self.asking.write(&text)?;
        Ok(SOUND)
    }
}
