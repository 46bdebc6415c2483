//! Which rules are heard, and how loud: options that commands share.

use super::Failure;
use crate::engine::{self, Heard, Options, Setting, UnknownName};
use crate::finding::Level;

/// Which rules are heard, and how loud.
#[derive(Debug, Clone, clap::Args)]
pub struct Choice {
    /// Report only this rule or family, such as kit or kit.valves; may be given several times. All rules still
    /// run, so waivers stay needed.
    #[arg(long, value_name = "NAME")]
    hear: Vec<String>,

    /// Don't report this rule or family; may be given several times. A rule counts before its family.
    #[arg(long, value_name = "NAME")]
    silence: Vec<String>,

    /// Override a level of the catalog's [level]: NAME is a rule, a family, or RULE.undecided for undecided
    /// claims within the rating; LEVEL is error, warning, note or none. May be given several times.
    #[arg(long, value_name = "NAME=LEVEL")]
    level: Vec<String>,
}

impl Choice {
    /// Puts the choice into `options`.
    ///
    /// # Errors
    /// A name that is no rule's and no family's, or a word that is no level.
    pub(super) fn put(self, options: &mut Options) -> Result<(), Failure> {
        let names = |given: &[String]| -> Result<Vec<String>, Failure> {
            given.iter().map(|name| known(name)).collect()
        };
        for setting in &self.level {
            options.levels.push(parse(setting)?);
        }
        options.heard = Heard {
            only: names(&self.hear)?,
            silent: names(&self.silence)?,
        };
        Ok(())
    }
}

/// `NAME=LEVEL`.
fn parse(text: &str) -> Result<Setting, Failure> {
    let fault = || {
        Failure::Arguments(format!(
            "`--level {text}` isn't NAME=LEVEL with a level error, warning, note or none"
        ))
    };
    let (name, word) = text.split_once('=').ok_or_else(fault)?;
    let level = match word {
        "none" => None,
        word => Some(Level::parse(word).ok_or_else(fault)?),
    };
    match name.strip_suffix(".undecided") {
        None => return Ok((known(name)?, level)),
        Some(rule) if engine::with_undecided().any(|one| one.name == rule) => {}
        Some(rule) => {
            known(rule)?;
            let all: Vec<String> = engine::with_undecided()
                .map(|rule| format!("{}.undecided", rule.name))
                .collect();
            return Err(Failure::Arguments(format!(
                "`{name}` sets no level; those that do are {}",
                all.join(", ")
            )));
        }
    }
    Ok((name.to_string(), level))
}

/// The name that a rule or family has now.
///
/// # Errors
/// There is none of that name.
pub(super) fn known(name: &str) -> Result<String, Failure> {
    let now = engine::known(name).map_err(|unknown| misnamed(&unknown))?;
    Ok(now.to_string())
}

/// That there is no such rule.
fn misnamed(unknown: &UnknownName) -> Failure {
    let nearest = match unknown.nearest {
        Some(nearest) => format!("; the nearest name is `{nearest}`"),
        None => "; `nameplate rulebook` lists them".into(),
    };
    Failure::Arguments(format!(
        "there is no rule or family `{}`{nearest}",
        unknown.name
    ))
}
