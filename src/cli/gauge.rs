//! `nameplate gauge`: what the gauge at the manifold should read, and what a reading may mean.

use super::asking::{self, Asking};
use super::{Failure, SOUND};
use crate::answers::{choose, gauge};
use crate::report::answers::gauge as shown;
use crate::units::Dimension;

/// Show what the pressure gauge at the manifold should read, and which faults a reading fits.
///
/// For each fault it gives what the gauge would read, and the check that tells it from the others.
#[derive(Debug, clap::Args)]
pub(crate) struct Gauge {
    #[command(flatten)]
    asking: Asking,

    /// What the gauge reads, such as "3.6 psi".
    #[arg(long, value_name = "QUANTITY")]
    reads: Option<String>,

    /// What it reads with one valve shut.
    #[arg(long, value_name = "QUANTITY")]
    one_shut: Option<String>,
}

impl Gauge {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// What keeps it from being answered.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let pressure = |name: &str, text: &Option<String>| {
            let read = asking::quantity(name, text.as_deref(), &[Dimension::GaugePressure])?;
            Ok::<_, Failure>(read.map(|quantity| quantity.si_central()))
        };
        let reads = pressure("--reads", &self.reads)?;
        let one_shut = pressure("--one-shut", &self.one_shut)?;
        let put = self.asking.put()?;
        let refused = |why: choose::Unanswerable| Failure::Unanswerable(why.to_string());
        let asked = choose::find(&put.catalog, &put.question).map_err(refused)?;
        let gauge = gauge::answer(&asked, reads, one_shut).map_err(refused)?;
        let text = if self.asking.json() {
            shown::json(&asked, &gauge, self.asking.explain())
        } else {
            shown::terminal(&asked, &gauge, self.asking.style())
        };
        self.asking.write(&text)?;
        Ok(SOUND)
    }
}
