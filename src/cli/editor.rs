//! `nameplate editor`: the language server.

use std::path::{Path, PathBuf};

use globset::GlobSet;

use super::files::{self, From, Handed};
use super::{Failure, SOUND, UNUSABLE, output, pages, today};
use crate::editor::{self, Files, Shelf};

/// Serve an editor: findings while you type, and what stands behind a figure. Started by the editor.
///
/// A language server (LSP 3.17) on standard input and output. `nameplate guide editor` says how to set up an editor.
#[derive(Debug, clap::Args)]
pub(crate) struct Editor {}

impl Editor {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// Standard output can't be written.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let input = std::io::BufReader::new(std::io::stdin());
        let mut output = std::io::stdout();
        let served = editor::serve(input, &mut output, &mut Disk);
        match served.map_err(|error| output::unwritten(&error))? {
            true => Ok(SOUND),
            false => Ok(UNUSABLE),
        }
    }
}

/// The disk, with what is open in the editor in place of what lies there.
struct Disk;

impl Shelf for Disk {
    fn read(&mut self, home: &str, open: &[(String, Vec<u8>)]) -> Result<Files, String> {
        let handed: Vec<Handed> = { open.iter() }
            .map(|(path, bytes)| Handed::of(Path::new(path), bytes.clone()))
            .collect();
        let read = || -> Result<Files, Failure> {
            let named = [PathBuf::from(home)];
            let state = files::read(&named, From::Handed(&handed), &GlobSet::empty())?;
            Ok(Files {
                pages: pages::read(&state.inputs)?,
                inputs: state.inputs,
                documents: state.documents,
                today: today::today(None),
            })
        };
        read().map_err(|failure| failure.to_string())
    }

    fn is_file(&mut self, path: &str) -> bool {
        Path::new(path).is_file()
    }

    fn is_top(&mut self, folder: &str) -> bool {
        Path::new(folder).join(".git").exists()
    }
}
