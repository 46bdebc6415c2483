//! Files as they are on the disk.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use ignore::gitignore::{Gitignore, GitignoreBuilder};
use walkdir::WalkDir;

use super::files::{Handed, Shelf, absolute, is_read, place, regular, shown};
use super::{Failure, git, refusal};
use crate::engine::LeftOut;

/// The disk, with texts in place of those of its files that were handed in.
#[derive(Default)]
pub(super) struct Disk<'a> {
    ignores: Ignores,
    handed: &'a [Handed],
}

impl<'a> Disk<'a> {
    pub fn with(handed: &'a [Handed]) -> Disk<'a> {
        Disk {
            handed,
            ..Disk::default()
        }
    }
}

impl Shelf for Disk<'_> {
    fn is_folder(&mut self, path: &Path) -> Result<bool, Failure> {
        Ok(path.is_dir())
    }

    fn list(&mut self, folder: &Path, told: &mut Vec<LeftOut>) -> Result<Vec<PathBuf>, Failure> {
        let mut files = BTreeSet::new();
        let mut ignored = Vec::new();
        let mut tell = |path: &Path, why: &'static str| {
            told.push(LeftOut {
                path: shown(path),
                why,
            });
        };
        let mut walk = WalkDir::new(folder).sort_by_file_name().into_iter();
        while let Some(entry) = walk.next() {
            let entry = entry.map_err(|error| Failure::Unreadable {
                path: error.path().map_or_else(|| shown(folder), shown),
                why: error.io_error().map_or_else(|| error.to_string(), refusal),
            })?;
            let (path, kind) = (entry.path(), entry.file_type());
            let is_hidden = entry.file_name().to_string_lossy().starts_with('.');
            let is_below = entry.depth() > 0;
            if is_below && (is_hidden || self.ignores.leave_out(path, kind.is_dir())) {
                if kind.is_dir() {
                    walk.skip_current_dir();
                }
                match is_hidden {
                    // Folders such as `.git` are nobody's catalog.
                    true if kind.is_dir() || !is_read(path, false) => {}
                    true => tell(path, "its name begins with a dot"),
                    false if kind.is_dir() || is_read(path, false) => {
                        ignored.push(path.to_path_buf());
                    }
                    false => {}
                }
            } else if kind.is_dir() {
                self.ignores.enter(path);
            } else if is_below && kind.is_symlink() && path.is_dir() {
                tell(path, "a link to a folder, which isn't followed");
            } else {
                files.insert(path.to_path_buf());
            }
        }
        // What is under version control is part of the catalog, whatever an ignore file says.
        let tracked = match ignored.is_empty() {
            true => BTreeSet::new(),
            false => git::tracked(folder)?,
        };
        for path in ignored {
            if !tracked.contains(&path) {
                tell(&path, "an ignore file names it");
            }
            let own = tracked.range(path.clone()..);
            let own = own.take_while(|one| one.starts_with(&path));
            files.extend(own.filter(|one| one.exists()).cloned());
        }
        // What was handed in is there, whether it lies on the disk yet or not.
        let root = absolute(folder);
        let below = self
            .handed
            .iter()
            .map(|handed| handed.at.strip_prefix(&root));
        files.extend(below.flatten().map(|below| folder.join(below)));
        Ok(files.into_iter().collect())
    }

    fn resolve(&mut self, path: &Path) -> Result<Option<PathBuf>, Failure> {
        if !self.handed.is_empty() {
            let at = place(path);
            if self.handed.iter().any(|handed| handed.at == at) {
                return Ok(Some(at));
            }
        }
        Ok(path.canonicalize().ok().filter(|place| place.is_file()))
    }

    fn bytes(&mut self, resolved: &Path, shown: &str) -> Result<Vec<u8>, Failure> {
        match self.handed.iter().find(|handed| handed.at == resolved) {
            Some(handed) => Ok(handed.bytes.clone()),
            None => regular(resolved, shown),
        }
    }
}

/// The ignore files of the folders on the way, the deepest last.
#[derive(Default)]
struct Ignores {
    all: Vec<(PathBuf, Gitignore)>,
}

impl Ignores {
    fn enter(&mut self, folder: &Path) {
        self.all.retain(|(of, _)| folder.starts_with(of));
        let mut builder = GitignoreBuilder::new(folder);
        let mut any = false;
        for name in [".gitignore", ".ignore"] {
            let path = folder.join(name);
            // What can't be read of an ignore file leaves nothing out.
            let bytes = match path.exists() {
                true => regular(&path, name).unwrap_or_default(),
                false => Vec::new(),
            };
            let text = String::from_utf8_lossy(&bytes);
            for line in text.trim_start_matches('\u{feff}').lines() {
                any |= builder.add_line(None, line).is_ok();
            }
        }
        if any && let Ok(matcher) = builder.build() {
            self.all.push((folder.to_path_buf(), matcher));
        }
    }

    fn leave_out(&self, path: &Path, is_dir: bool) -> bool {
        let answers = self.all.iter().rev().filter(|(of, _)| path.starts_with(of));
        for (_, matcher) in answers {
            match matcher.matched(path, is_dir) {
                ignore::Match::None => {}
                ignore::Match::Ignore(_) => return true,
                ignore::Match::Whitelist(_) => return false,
            }
        }
        false
    }
}
