//! Waiting for files to change.
//!
//! Times and lengths are looked at again and again: that sees a change on every disk, also on one of another machine, and
//! takes no more than a look at each file.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, SystemTime};

use walkdir::WalkDir;

use super::files::{State, is_read};
use super::signals;

/// Between two looks.
const PAUSE: Duration = Duration::from_millis(250);

/// What files are known by: when they were written and how long they are.
type Stamps = BTreeMap<PathBuf, (Option<SystemTime>, u64)>;

/// Files that are watched.
pub(super) struct Watched {
    paths: BTreeSet<PathBuf>,
    seen: Stamps,
    end: Arc<AtomicBool>,
}

impl Watched {
    /// What is named, before it is read: what changes meanwhile is seen.
    pub fn of(named: &[PathBuf]) -> Watched {
        let mut watched = Watched {
            paths: named.iter().cloned().collect(),
            seen: Stamps::new(),
            end: signals::asked_to_end(),
        };
        watched.seen = watched.stamps();
        watched
    }

    /// Watches also what was read now, wherever it lies.
    pub fn take(&mut self, named: &[PathBuf], files: &State) {
        let read = files.inputs.iter().map(|input| PathBuf::from(&input.path));
        let cited = files.documents.iter().map(PathBuf::from);
        self.paths = read.chain(cited).chain(named.iter().cloned()).collect();
    }

    /// Waits until something is another, and stays so for a while: who saves may write in pieces. False where somebody
    /// wants an end.
    pub fn wait(&mut self) -> bool {
        let mut last = None;
        while !self.end.load(Ordering::Relaxed) {
            std::thread::sleep(PAUSE);
            let now = self.stamps();
            if now != self.seen && last.as_ref() == Some(&now) {
                self.seen = now;
                return true;
            }
            last = Some(now);
        }
        false
    }

    fn stamps(&self) -> Stamps {
        let mut all = Stamps::new();
        let mut stamp = |path: &Path| {
            if let Ok(about) = path.metadata() {
                all.insert(path.to_path_buf(), (about.modified().ok(), about.len()));
            }
        };
        for path in &self.paths {
            if !path.is_dir() {
                stamp(path);
                continue;
            }
            let is_shown = |entry: &walkdir::DirEntry| {
                entry.depth() == 0 || !entry.file_name().to_string_lossy().starts_with('.')
            };
            let below = WalkDir::new(path)
                .into_iter()
                .filter_entry(is_shown)
                .flatten();
            below
                .filter(|entry| is_read(entry.path(), false))
                .for_each(|entry| stamp(entry.path()));
        }
        all
    }
}
