//! Finding and reading the files of a run.

use std::collections::{BTreeSet, HashSet};
use std::path::{Path, PathBuf};

use ignore::gitignore::{Gitignore, GitignoreBuilder};
use walkdir::{DirEntry, WalkDir};

use super::{Failure, refusal};
use crate::engine::{self, Input};
use crate::text::Source;

/// Every TOML file and spec sheet that the paths name or hold.
///
/// A path that is a file is read whatever its name and whatever an ignore file says. In a folder
/// hidden files and what `.gitignore` and `.ignore` leave out are passed over.
///
/// # Errors
/// A path that doesn't exist or can't be opened.
pub fn inputs(paths: &[PathBuf]) -> Result<Vec<Input>, Failure> {
    let mut files = Files::default();
    for path in paths {
        if path.is_dir() {
            files.folder(path, false)?;
        } else {
            files.file(path, true, false)?;
        }
    }
    // Folders whose parts a catalog borrows may lie outside the paths; and may borrow in turn.
    let mut asked = HashSet::new();
    let mut next = 0;
    while next < files.inputs.len() {
        let input = &files.inputs[next];
        next += 1;
        if base(&input.path) != "catalog.toml" && !input.alone {
            continue;
        }
        for folder in engine::borrows(input) {
            if asked.insert(folder.clone()) && Path::new(&folder).is_dir() {
                files.folder(Path::new(&folder), true)?;
            }
        }
    }
    // A catalog that is a single file names its sheets beside it.
    for sheet in files
        .inputs
        .iter()
        .flat_map(engine::sheet_files)
        .collect::<Vec<_>>()
    {
        if Path::new(&sheet).is_file() {
            files.file(Path::new(&sheet), false, false)?;
        }
    }
    Ok(files.inputs)
}

/// Those of the documents and spec sheets that `inputs` name whose files are there.
pub fn documents(inputs: &[Input]) -> BTreeSet<String> {
    let files = inputs.iter().flat_map(named_files);
    files.filter(|path| Path::new(path).is_file()).collect()
}

/// The documents and spec sheets that a catalog's file names.
pub(super) fn named_files(input: &Input) -> Vec<String> {
    let mut files = engine::evidence_files(input);
    files.extend(engine::sheet_files(input));
    files
}

/// The text of a file that isn't a catalog's, such as an earlier report.
///
/// # Errors
/// It can't be read, or is larger than any report.
pub fn text(path: &Path) -> Result<String, Failure> {
    let failure = |why: String| Failure::Unreadable {
        path: shown(path),
        why,
    };
    let size = std::fs::metadata(path).map_err(|error| failure(refusal(&error)))?;
    if size.len() > Source::MAX_BYTES {
        let most = Source::MAX_BYTES / (1024 * 1024);
        return Err(failure(format!("it is larger than {most} MiB")));
    }
    let bytes = std::fs::read(path).map_err(|error| failure(refusal(&error)))?;
    String::from_utf8(bytes).map_err(|_| failure("it isn't UTF-8".into()))
}

pub(super) fn base(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, base)| base)
}

#[derive(Default)]
struct Files {
    inputs: Vec<Input>,
    seen: HashSet<PathBuf>,
}

impl Files {
    fn file(&mut self, path: &Path, alone: bool, borrowed: bool) -> Result<(), Failure> {
        let same = path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
        if !self.seen.insert(same) {
            return Ok(());
        }
        let shown = shown(path);
        let failure = |why: String| Failure::Unreadable {
            path: shown.clone(),
            why,
        };
        let size = std::fs::metadata(path)
            .map_err(|error| failure(refusal(&error)))?
            .len();
        if size > Source::MAX_BYTES {
            let most = Source::MAX_BYTES / (1024 * 1024);
            return Err(failure(format!("it is larger than {most} MiB")));
        }
        let bytes = std::fs::read(path).map_err(|error| failure(refusal(&error)))?;
        self.inputs.push(Input {
            path: shown,
            bytes,
            alone,
            borrowed,
        });
        Ok(())
    }

    fn folder(&mut self, root: &Path, borrowed: bool) -> Result<(), Failure> {
        let mut ignores = Ignores::default();
        let walk = WalkDir::new(root).follow_links(true).sort_by_file_name();
        let mut walk = walk.into_iter();
        while let Some(entry) = walk.next() {
            let entry = match entry {
                Ok(entry) => entry,
                // A link that leads back into a folder above it has nothing new behind it.
                Err(error) if error.loop_ancestor().is_some() => continue,
                Err(error) => {
                    let path = error.path().map_or_else(|| shown(root), shown);
                    let why = error.io_error().map_or_else(|| error.to_string(), refusal);
                    return Err(Failure::Unreadable { path, why });
                }
            };
            if entry.depth() > 0
                && (is_hidden(&entry)
                    || ignores.leave_out(entry.path(), entry.file_type().is_dir()))
            {
                if entry.file_type().is_dir() {
                    walk.skip_current_dir();
                }
                continue;
            }
            if entry.file_type().is_dir() {
                ignores.enter(entry.path());
            } else if is_read(entry.path(), borrowed) {
                self.file(entry.path(), false, borrowed)?;
            }
        }
        Ok(())
    }
}

/// Whether a file in a folder is read: a catalog's, or a spec sheet where it isn't only parts that are borrowed.
fn is_read(path: &Path, borrowed: bool) -> bool {
    path.extension().is_some_and(|ext| ext == "toml")
        || (!borrowed && engine::is_sheet(&path.to_string_lossy()))
}

fn is_hidden(entry: &DirEntry) -> bool {
    entry.file_name().to_string_lossy().starts_with('.')
}

/// A path as reports show it: with forward slashes, without a `./` before it.
pub(super) fn shown(path: &Path) -> String {
    let text = path.to_string_lossy();
    let text = if std::path::MAIN_SEPARATOR == '/' {
        text.into_owned()
    } else {
        text.replace(std::path::MAIN_SEPARATOR, "/")
    };
    match text.strip_prefix("./") {
        Some(rest) if !rest.is_empty() => rest.to_string(),
        _ => text,
    }
}

/// The ignore files of the folders on the way, the deepest last.
#[derive(Default)]
pub(super) struct Ignores {
    all: Vec<(PathBuf, Gitignore)>,
}

impl Ignores {
    fn enter(&mut self, folder: &Path) {
        self.enter_with(folder, |name| {
            let bytes = std::fs::read(folder.join(name)).ok()?;
            Some(String::from_utf8_lossy(&bytes).into_owned())
        });
    }

    /// Goes into a folder whose ignore files `read` gives by their names.
    pub(super) fn enter_with(&mut self, folder: &Path, read: impl Fn(&str) -> Option<String>) {
        self.all.retain(|(of, _)| folder.starts_with(of));
        let mut builder = GitignoreBuilder::new(folder);
        let mut any = false;
        for name in [".gitignore", ".ignore"] {
            for line in read(name)
                .unwrap_or_default()
                .trim_start_matches('\u{feff}')
                .lines()
            {
                // What can't be read of an ignore file leaves nothing out.
                any |= builder.add_line(None, line).is_ok();
            }
        }
        if any && let Ok(matcher) = builder.build() {
            self.all.push((folder.to_path_buf(), matcher));
        }
    }

    pub(super) fn leave_out(&self, path: &Path, is_dir: bool) -> bool {
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
