//! `nameplate rulebook`: what the rules are, and why.

use super::look::Color;
use super::{Failure, SOUND, choice, look, output};
use crate::engine::{self, FAMILIES};
use crate::report;
use crate::report::terminal::Detail;

/// List the rules, or explain one: what it holds a catalog to, the physics behind it, what settles it, how
/// to mend what it finds, and examples.
#[derive(Debug, clap::Args)]
pub struct Rulebook {
    /// A rule, such as claim.area, or a family, such as kit; all of them unless given.
    #[arg(value_name = "NAME")]
    name: Option<String>,

    /// Show the ranges that verdicts stand on, with their sources.
    #[arg(long, conflicts_with = "name")]
    assumptions: bool,

    /// How to write it.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    /// Whether it has colours; `auto` looks at the terminal and at NO_COLOR.
    #[arg(long, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    color: Color,

    /// Write in ASCII only, also where the terminal could show more.
    #[arg(long)]
    ascii: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
enum Format {
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
        let look = look::of(self.color, self.ascii, Detail::Usual, false);
        let markdown = self.format == Format::Markdown;
        let text = match &self.name {
            None if self.assumptions && markdown => report::assumptions::table(),
            None if self.assumptions => report::terminal::rulebook::ranges(look),
            None if markdown => report::rulebook::table(false),
            None => report::terminal::rulebook::list(look),
            Some(name) => {
                engine::known(name).map_err(|unknown| choice::misnamed(&unknown))?;
                explain(name, markdown, look)
            }
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
