//! `nameplate desk`: a page on this machine.

use std::path::PathBuf;
use std::time::Duration;

use super::{Failure, SOUND, files, output};
use crate::desk::Desk;
use crate::desk::http::Server;
use crate::report::count;

/// Serve a page on this machine that answers as the other commands do, for people who use no terminal.
///
/// It prints an address to open in a browser. Only this machine can open it, and only with that address, which is a new
/// one each time. The page asks nobody else for anything, and writes nothing. It closes with the terminal, with Ctrl-C,
/// or after an hour in which nobody asked. The exit status is 0 if it was open, and 2 if it couldn't be.
#[derive(Debug, clap::Args)]
pub(crate) struct OpenDesk {
    /// Catalogs: folders that hold a catalog.toml, or single TOML files with a [catalog] table. Without one this
    /// folder's is taken.
    #[arg(value_name = "PATH")]
    paths: Vec<PathBuf>,

    /// Port to listen at; any that is free for 0.
    #[arg(long, value_name = "PORT", default_value_t = 0)]
    port: u16,

    /// Minutes without a question after which it closes.
    #[arg(long, value_name = "MINUTES", default_value_t = 60, value_parser = clap::value_parser!(u16).range(1..=1440))]
    idle: u16,
}

impl OpenDesk {
    /// Runs it; the exit status.
    ///
    /// # Errors
    /// A catalog that can't be read, a port that can't be listened at.
    pub(crate) fn run(self) -> Result<u8, Failure> {
        let mut paths = self.paths;
        if paths.is_empty() {
            paths.push(PathBuf::from("."));
        }
        let first = files::inputs(&paths)?;
        let named = paths.clone();
        if crate::engine::read(first).catalogs.is_empty() {
            return Err(Failure::nothing(&named));
        }
        let reader = move || files::inputs(&paths).map_err(|failure| failure.to_string());
        let desk = Desk::new(Box::new(reader)).map_err(Failure::Unanswerable)?;
        let idle = Duration::from_secs(60 * u64::from(self.idle));
        let server = Server::open(self.port, idle).map_err(|error| Failure::Unreadable {
            path: format!("port {} of this machine", self.port),
            why: super::refusal(&error),
        })?;
        output::print(&format!(
            "The desk is open, with {}: {}\nOpen that address in a browser on this machine. Ctrl-C closes the desk.\n",
            count(desk.packages(), "package", "packages"),
            server.url()
        ))?;
        server.serve(|request| desk.answer(request));
        Ok(SOUND)
    }
}
