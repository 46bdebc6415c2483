//! `nameplate rulebook`: what the rules are, and why.

use super::look::Signs;
use super::{Failure, SOUND, choice, look, output};
use crate::engine::FAMILIES;
use crate::report;
use crate::report::terminal::Detail;

/// List the rules, or explain one: the promise it checks, the physics, what would settle it, how to fix it, and
/// examples.
#[derive(Debug, clap::Args)]
pub struct Rulebook {
    /// A rule, such as claim.area, or a family, such as kit; all of them if not given.
    #[arg(value_name = "NAME")]
    name: Option<String>,

    /// List the assumptions' ranges, with their sources.
    #[arg(long, conflicts_with = "name")]
    assumptions: bool,

    /// Format of the page.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    #[command(flatten)]
    signs: Signs,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub(super) enum Format {
    /// For people.
    Terminal,
    /// For a page: Markdown.
    Markdown,
}

impl Rulebook {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// There is no rule or family of that name.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let look = look::of(self.signs, Detail::Usual, false);
        let markdown = self.format == Format::Markdown;
        let text = match &self.name {
            None if self.assumptions && markdown => report::assumptions::table(),
            None if self.assumptions => report::terminal::rulebook::ranges(look),
            None if markdown => report::rulebook::table(false),
            None => report::terminal::rulebook::list(look),
            Some(name) => explain(&choice::known(name)?, markdown, look),
        };
        output::print(&text)?;
        Ok(SOUND)
    }
}

/// The page of a rule or family that is known.
fn explain(name: &str, markdown: bool, look: report::terminal::Look) -> String {
    let mut rules = FAMILIES
        .iter()
        .flat_map(|family| family.rules.iter().map(move |rule| (family, rule)));
    if let Some((family, rule)) = rules.find(|(_, rule)| rule.name == name) {
        return if markdown {
            report::rulebook::rule(family, rule)
        } else {
            report::terminal::rulebook::rule(family, rule, look)
        };
    }
    let family = FAMILIES.iter().find(|family| family.name == name);
    family.map_or(String::new(), |family| {
        if markdown {
            report::rulebook::family(family)
        } else {
            report::terminal::rulebook::family(family, look)
        }
    })
}
