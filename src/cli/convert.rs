//! `nameplate convert`: a quantity in other units of the trade.

use super::asking;
use super::look::{self, Signs};
use super::{Failure, SOUND, output};
use crate::answers::convert::{Place, convert};
use crate::report::answers::convert as shown;
use crate::report::terminal::Detail;
use crate::units::{Dimension, Unit};

/// Show a quantity in other units: to the digits it was known to, and as if it were exact.
///
/// Free air (cfm, L/min) and air at reference conditions (scfm, L(n)/min) are told apart: how much air a volume holds
/// depends on the altitude and temperature at which it is drawn in. A pressure is also shown as a depth of water.
#[derive(Debug, clap::Args)]
#[command(
    after_help = "Examples:\n  nameplate convert \"2.4 cfm\"\n  nameplate convert \"2.4 cfm\" to L/min\n  nameplate convert \"3 psi\" to ft"
)]
pub(crate) struct Convert {
    /// The quantity, such as "2.4 cfm".
    #[arg(value_name = "QUANTITY")]
    quantity: String,

    /// The word `to` and a unit; every unit of the format unless given.
    #[arg(value_name = "to UNIT", num_args = 0..=2)]
    to: Vec<String>,

    /// Height above the sea at which air is drawn in.
    #[arg(long, default_value = "0 m", value_name = "QUANTITY")]
    altitude: String,

    /// Temperature at which air is drawn in.
    #[arg(long, default_value = "20 degC", value_name = "QUANTITY")]
    air: String,

    /// Temperature of the water that a depth is of.
    #[arg(long, default_value = "15 degC", value_name = "QUANTITY")]
    water: String,

    #[command(flatten)]
    signs: Signs,
}

impl Convert {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A quantity or unit that can't be read, or a unit of something else.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let quantity = asking::any_quantity("QUANTITY", &self.quantity)?;
        let one = |name: &str, text: &str, dimension: Dimension| {
            let read = asking::quantity(name, Some(text), &[dimension])?;
            Ok::<f64, Failure>(read.map_or(0.0, |read| read.si_central()))
        };
        let at = Place {
            altitude: one("--altitude", &self.altitude, Dimension::Length)?,
            air: one("--air", &self.air, Dimension::Temperature)?,
            water: one("--water", &self.water, Dimension::Temperature)?,
        };
        let to = self.to()?;
        let all = convert(&quantity, to, &at);
        let text = match (to, all.first()) {
            (Some(to), None) => return Err(Failure::Arguments(shown::refusal(&quantity, to))),
            (Some(_), Some(one)) => one
                .rows
                .iter()
                .map(|row| shown::line(one, row, &at))
                .collect(),
            (None, _) => {
                let look = look::of(self.signs, Detail::Usual, false);
                shown::table(&quantity, &all, &at, look)
            }
        };
        output::print(&text)?;
        Ok(SOUND)
    }

    fn to(&self) -> Result<Option<Unit>, Failure> {
        match self.to.as_slice() {
            [] => Ok(None),
            [to, unit] if to == "to" => {
                // A unit is read as one of it.
                let read = asking::any_quantity("UNIT", &format!("1 {unit}"));
                let unknown = |_| {
                    Failure::Arguments(format!(
                        "{unit:?} is no unit of the format; `nameplate schema units` lists them"
                    ))
                };
                Ok(Some(read.map_err(unknown)?.unit()))
            }
            other => Err(Failure::Arguments(format!(
                "after the quantity stands `to` and a unit, not {:?}",
                other.join(" ")
            ))),
        }
    }
}
