//! `nameplate completions` and `nameplate man`: what a shell and `man` need to know of the commands.

use std::path::PathBuf;

use clap::CommandFactory;

use super::{Arguments, Failure, SOUND, output, refusal};

/// Print a script that completes commands and options in your shell.
///
/// Save the script where your shell looks for completions; `nameplate guide start` says where that is.
#[derive(Debug, clap::Args)]
pub(crate) struct Completions {
    /// The shell.
    #[arg(value_enum, value_name = "SHELL")]
    shell: clap_complete::Shell,
}

/// Write the man pages, one for each command, into a folder.
///
/// Existing pages of the same names are replaced, each of them whole or not at all.
#[derive(Debug, clap::Args)]
pub(crate) struct ManPages {
    /// The folder, such as ~/.local/share/man/man1. It is made if it isn't there.
    #[arg(value_name = "FOLDER")]
    folder: PathBuf,
}

impl Completions {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// The script can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let mut script = Vec::new();
        let mut command = shown();
        let name = command.get_name().to_string();
        clap_complete::generate(self.shell, &mut command, name, &mut script);
        output::print_bytes(&script).map(|()| SOUND)
    }
}

impl ManPages {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A page can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        std::fs::create_dir_all(&self.folder).map_err(|error| Failure::Unwritable {
            path: self.folder.display().to_string(),
            why: refusal(&error),
        })?;
        let mut whole = shown().disable_help_subcommand(true);
        // A page needs the full name and the arguments that only building gives a command.
        whole.build();
        let all = std::iter::once(&whole).chain(whole.get_subcommands());
        for command in all {
            let name = command.get_display_name().unwrap_or(command.get_name());
            let path = self.folder.join(format!("{name}.1"));
            let mut page = Vec::new();
            let man = clap_mangen::Man::new(command.clone())
                .title(name.to_uppercase())
                .source(concat!("nameplate ", env!("CARGO_PKG_VERSION")))
                .manual("nameplate");
            man.render(&mut page).map_err(|error| Failure::Unwritable {
                path: path.display().to_string(),
                why: refusal(&error),
            })?;
            output::write(&path, &String::from_utf8_lossy(&page))?;
        }
        Ok(SOUND)
    }
}

/// The commands that are for people: what the program calls itself isn't completed and has no page.
fn shown() -> clap::Command {
    let whole = Arguments::command();
    let is_shown = |command: &&clap::Command| !command.is_hide_set();
    let mut shown = clap::Command::new("nameplate")
        .version(env!("CARGO_PKG_VERSION"))
        .subcommands(whole.get_subcommands().filter(is_shown).cloned());
    if let Some(about) = whole.get_about() {
        shown = shown.about(about.clone());
    }
    if let Some(last) = whole.get_after_help() {
        shown = shown.after_help(last.clone());
    }
    shown
}
