//! How the terminal report may look here: width, colours, characters.

use std::io::IsTerminal;

use crate::report::terminal::{Detail, Look};

/// Columns where nothing says how many there are.
const USUAL_WIDTH: usize = 100;

/// When colours are used.
#[derive(Debug, Clone, Copy, PartialEq, Eq, clap::ValueEnum)]
pub enum Color {
    /// On a terminal, unless NO_COLOR is set.
    Auto,
    /// Always.
    Always,
    /// Never.
    Never,
}

/// With which signs a command writes; every command that writes for people takes these.
#[derive(Debug, Clone, Copy, clap::Args)]
pub(crate) struct Signs {
    /// When to use colours; `auto` uses them on a terminal unless NO_COLOR is set.
    #[arg(long, value_enum, default_value_t = Color::Auto, value_name = "WHEN")]
    color: Color,

    /// Use ASCII characters only, in what is written for a terminal.
    #[arg(long)]
    ascii: bool,
}

/// The look of a report that goes to standard output, or into a file.
///
/// A file is the same wherever it is written: as wide as usual, without colours unless they are asked for.
pub(crate) fn of(signs: Signs, detail: Detail, into_file: bool) -> Look {
    let terminal = !into_file && std::io::stdout().is_terminal();
    Look {
        width: if into_file { USUAL_WIDTH } else { width() },
        color: match signs.color {
            Color::Always => true,
            Color::Never => false,
            Color::Auto => terminal && !is_set("NO_COLOR") && !is_dumb(),
        },
        unicode: !signs.ascii
            && (into_file || supports_unicode::on(supports_unicode::Stream::Stdout)),
        detail,
    }
}

/// Columns of the terminal, and what COLUMNS says where it doesn't tell them.
fn width() -> usize {
    if let Some((terminal_size::Width(columns), _)) = terminal_size::terminal_size()
        && std::io::stdout().is_terminal()
    {
        return usize::from(columns);
    }
    // A report that goes elsewhere is the same wherever it is made.
    if !std::io::stdout().is_terminal() {
        return USUAL_WIDTH;
    }
    let columns = std::env::var("COLUMNS").ok();
    let columns = columns.and_then(|columns| columns.trim().parse().ok());
    columns
        .filter(|columns| *columns > 0)
        .unwrap_or(USUAL_WIDTH)
}

/// Whether a variable is there and not empty, as no-color.org asks.
fn is_set(name: &str) -> bool {
    std::env::var_os(name).is_some_and(|value| !value.is_empty())
}

fn is_dumb() -> bool {
    std::env::var_os("TERM").is_some_and(|term| term == "dumb")
}
