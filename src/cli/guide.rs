//! `nameplate guide`: the manual.

use super::look::Signs;
use super::rulebook::Format;
use super::{Failure, SOUND, look, output};
use crate::catalog::nearest;
use crate::guide::{PAGES, Page};
use crate::report;
use crate::report::terminal::Detail;

/// Read the manual: one page for each topic.
///
/// Without a topic it lists them.
#[derive(Debug, clap::Args)]
pub(crate) struct Guide {
    /// A topic, such as units; without one, the list of topics.
    #[arg(value_name = "TOPIC")]
    topic: Option<String>,

    /// How to write the page.
    #[arg(long, value_enum, default_value_t = Format::Terminal, value_name = "FORMAT")]
    format: Format,

    #[command(flatten)]
    signs: Signs,
}

impl Guide {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// There is no such topic, or the page can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let look = look::of(self.signs, Detail::Usual, false);
        let is_markdown = self.format == Format::Markdown;
        let text = match &self.topic {
            None if is_markdown => PAGES.iter().map(item).collect(),
            None => {
                let topics = PAGES.iter().map(|page| (page.topic, page.title()));
                report::terminal::guide::list(topics, look)
            }
            Some(topic) => {
                let page = find(topic)?;
                match is_markdown {
                    true => page.text.to_string(),
                    false => report::terminal::guide::page(page.text, look),
                }
            }
        };
        output::print(&text).map(|()| SOUND)
    }
}

/// The line of a page in a Markdown list.
fn item(page: &Page) -> String {
    format!("- `{}`: {}\n", page.topic, page.title())
}

fn find(topic: &str) -> Result<&'static Page, Failure> {
    let found = PAGES.iter().find(|page| page.topic == topic);
    found.ok_or_else(|| {
        let topics = || PAGES.iter().map(|page| page.topic);
        let offered = match nearest(topic, topics()) {
            Some(nearest) => format!("the nearest is `{nearest}`"),
            None => format!("the topics are {}", topics().collect::<Vec<_>>().join(", ")),
        };
        Failure::Arguments(format!("the guide has no topic `{topic}`; {offered}"))
    })
}
