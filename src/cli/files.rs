//! Which files a run reads, from the disk or from what git keeps.
//!
//! The rules are the same for both: of a named folder every catalog's file and spec sheet in it, of a named file that
//! file. What lies in a folder and isn't read is told with its reason. Only regular files are read, and only so much
//! of them as any catalog has; what leads out of the named folders is neither read nor quoted.

use std::collections::{BTreeSet, HashSet};
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::sync::OnceLock;

use globset::{Glob, GlobSet, GlobSetBuilder};

use super::disk::Disk;
use super::{Failure, git, refusal};
use crate::engine::{self, Input, LeftOut, Settings};
use crate::text::Source;

/// Where files are read from.
#[derive(Debug, Clone, Copy)]
pub enum From<'a> {
    /// As they are.
    Disk,
    /// As they are, but for those whose texts were handed in.
    Handed(&'a [Handed]),
    /// As they are staged.
    Index,
    /// As they were at a revision.
    Revision(&'a str),
}

/// A text that stands for the file at a path, whether there is one or not.
#[derive(Debug)]
pub struct Handed {
    /// The path, links followed.
    pub(super) at: PathBuf,
    pub(super) bytes: Vec<u8>,
}

impl Handed {
    /// Standard input, in place of the file at `path`.
    ///
    /// # Errors
    /// It can't be read, or is larger than any file of a catalog.
    pub fn read(path: &Path) -> Result<Handed, Failure> {
        let failure = |why: String| Failure::Unreadable {
            path: "standard input".into(),
            why,
        };
        let mut bytes = Vec::new();
        std::io::stdin()
            .take(Source::MAX_BYTES + 1)
            .read_to_end(&mut bytes)
            .map_err(|error| failure(refusal(&error)))?;
        if bytes.len() as u64 > Source::MAX_BYTES {
            return Err(failure(too_large()));
        }
        Ok(Handed::of(path, bytes))
    }

    /// A text in place of the file at `path`.
    pub fn of(path: &Path, bytes: Vec<u8>) -> Handed {
        let at = place(path);
        Handed { at, bytes }
    }
}

/// What a catalog of the run says of how it is audited.
#[derive(Debug)]
pub struct Said {
    /// The path of its file.
    pub path: String,
    /// What it says.
    pub settings: Settings,
}

/// The files of a run.
#[derive(Debug, Default)]
pub struct State {
    /// Their texts, called as the disk calls them.
    pub inputs: Vec<Input>,
    /// Those of the documents and spec sheets that they name that are there.
    pub documents: BTreeSet<String>,
    /// What lies in the named folders and wasn't read.
    pub left_out: Vec<LeftOut>,
    /// What the catalogs say under `[audit]`.
    pub settings: Vec<Said>,
}

/// What keeps files and can list them.
pub(super) trait Shelf {
    /// Whether a folder lies there.
    fn is_folder(&mut self, path: &Path) -> Result<bool, Failure>;

    /// All files in a folder and below, in order of their paths; what isn't listed is told.
    fn list(&mut self, folder: &Path, told: &mut Vec<LeftOut>) -> Result<Vec<PathBuf>, Failure>;

    /// The path that a file has when links are followed; nothing where there is no regular file.
    fn resolve(&mut self, path: &Path) -> Result<Option<PathBuf>, Failure>;

    /// Whether a path that was named may be missing, as it may be of another time.
    fn may_lack(&self) -> bool {
        false
    }

    /// The bytes of a file, called by what [`resolve`](Shelf::resolve) gave.
    fn bytes(&mut self, resolved: &Path, shown: &str) -> Result<Vec<u8>, Failure>;
}

/// The globs of `--exclude`.
///
/// # Errors
/// One that isn't a glob.
pub fn globs(texts: &[String]) -> Result<GlobSet, Failure> {
    let mut set = GlobSetBuilder::new();
    for text in texts {
        let glob = Glob::new(text).map_err(|error| {
            Failure::Arguments(format!("`{text}` is no glob: {}", error.kind()))
        })?;
        set.add(glob);
    }
    set.build()
        .map_err(|error| Failure::Arguments(error.to_string()))
}

/// Reads what `paths` name and hold, but for what `exclude` names within them.
///
/// # Errors
/// A path that doesn't exist or can't be read; what git hasn't got.
pub fn read(paths: &[PathBuf], from: From, exclude: &GlobSet) -> Result<State, Failure> {
    match from {
        From::Disk => gather(&mut Disk::default(), paths, exclude),
        From::Handed(handed) => gather(&mut Disk::with(handed), paths, exclude),
        From::Index => gather(&mut git::Kept::staged(paths)?, paths, exclude),
        From::Revision(revision) => gather(&mut git::Kept::at(paths, revision)?, paths, exclude),
    }
}

/// The files of folders as they are, nothing excluded.
///
/// # Errors
/// As [`read`].
pub fn inputs(paths: &[PathBuf]) -> Result<Vec<Input>, Failure> {
    Ok(read(paths, From::Disk, &GlobSet::empty())?.inputs)
}

/// Those of the documents and spec sheets that `inputs` name whose files are there.
pub fn documents(inputs: &[Input]) -> BTreeSet<String> {
    let files = inputs.iter().flat_map(named_files);
    files.filter(|path| Path::new(path).is_file()).collect()
}

/// The documents and spec sheets that a catalog's file names.
fn named_files(input: &Input) -> Vec<String> {
    let mut files = engine::evidence_files(input);
    files.extend(engine::sheet_files(input));
    files
}

struct Gathering<'a, S> {
    shelf: &'a mut S,
    exclude: &'a GlobSet,
    /// The named folders, and those that named files lie in: beyond them nothing is read.
    roots: Vec<PathBuf>,
    seen: HashSet<PathBuf>,
    state: State,
}

/// What a file is to a run.
#[derive(Clone, Copy, Default)]
struct As {
    alone: bool,
    borrowed: bool,
    /// Somebody named it, on the command line or in a `[[sheet]]`.
    named: bool,
}

fn gather<S: Shelf>(shelf: &mut S, paths: &[PathBuf], exclude: &GlobSet) -> Result<State, Failure> {
    let mut all = Gathering {
        shelf,
        exclude,
        roots: Vec::new(),
        seen: HashSet::new(),
        state: State::default(),
    };
    for named in paths {
        let path = all.catalog_of(named)?;
        if all.shelf.is_folder(&path)? {
            all.roots.push(absolute(&path));
            all.folder(&path, false)?;
            if path != *named {
                // Whatever an ignore file says of it.
                all.file(
                    named,
                    As {
                        named: true,
                        ..As::default()
                    },
                )?;
            }
        } else {
            all.roots
                .push(absolute(path.parent().unwrap_or(Path::new(""))));
            all.file(
                &path,
                As {
                    alone: true,
                    named: true,
                    borrowed: false,
                },
            )?;
        }
    }
    all.borrowed()?;
    all.sheets()?;
    all.documents()?;
    all.state.settings = settings(&all.state.inputs);
    all.state.left_out.sort();
    all.state.left_out.dedup();
    Ok(all.state)
}

impl<S: Shelf> Gathering<'_, S> {
    /// The folder of the catalog that a named TOML file is a part of; else the path itself.
    fn catalog_of(&mut self, path: &Path) -> Result<PathBuf, Failure> {
        let is_toml = path.extension().is_some_and(|ext| ext == "toml");
        if !is_toml || self.shelf.is_folder(path)? {
            return Ok(path.to_path_buf());
        }
        let folder = |path: &Path| match path.parent() {
            Some(parent) if parent.as_os_str().is_empty() => PathBuf::from("."),
            Some(parent) => parent.to_path_buf(),
            None => PathBuf::from("."),
        };
        if path.file_name().is_some_and(|name| name == "catalog.toml") {
            return Ok(folder(path));
        }
        let shown = shown(path);
        let Some(resolved) = self.shelf.resolve(path)? else {
            return Ok(path.to_path_buf());
        };
        let bytes = self.shelf.bytes(&resolved, &shown)?;
        let input = Input {
            path: shown,
            bytes,
            alone: true,
            borrowed: false,
        };
        if engine::is_whole(&input) {
            return Ok(path.to_path_buf());
        }
        // No further up than the repository goes, or the folders that the path names.
        let mut above = folder(path);
        loop {
            if self.shelf.resolve(&above.join("catalog.toml"))?.is_some() {
                return Ok(above);
            }
            if above.join(".git").exists() {
                return Ok(path.to_path_buf());
            }
            let last = above.components().next_back();
            above = match last {
                Some(Component::Normal(_)) => folder(&above),
                _ if above.is_absolute() => return Ok(path.to_path_buf()),
                _ => above.join(".."),
            };
            if absolute(&above).parent().is_none() {
                return Ok(path.to_path_buf());
            }
        }
    }

    /// Folders whose parts a catalog borrows may lie outside the paths; and may borrow in turn.
    fn borrowed(&mut self) -> Result<(), Failure> {
        let mut asked = HashSet::new();
        let mut next = 0;
        while let Some(input) = self.state.inputs.get(next) {
            next += 1;
            if base(&input.path) != "catalog.toml" && !input.alone {
                continue;
            }
            for folder in engine::borrows(input) {
                let path = PathBuf::from(&folder);
                if asked.insert(folder) && self.shelf.is_folder(&path)? {
                    self.folder(&path, true)?;
                }
            }
        }
        Ok(())
    }

    /// A catalog that is a single file names its sheets beside it.
    fn sheets(&mut self) -> Result<(), Failure> {
        let named = self.state.inputs.iter().flat_map(engine::sheet_files);
        for sheet in named.collect::<Vec<_>>() {
            let path = Path::new(&sheet);
            if self.shelf.resolve(path)?.is_some() {
                self.file(
                    path,
                    As {
                        named: true,
                        ..As::default()
                    },
                )?;
            }
        }
        Ok(())
    }

    fn documents(&mut self) -> Result<(), Failure> {
        for path in self
            .state
            .inputs
            .iter()
            .flat_map(named_files)
            .collect::<Vec<_>>()
        {
            if self.shelf.resolve(Path::new(&path))?.is_some() {
                self.state.documents.insert(path);
            }
        }
        Ok(())
    }

    /// What the catalogs among the files say isn't to be read, each with its own file.
    fn left_unread(&mut self, files: &[PathBuf]) -> Result<Vec<(PathBuf, GlobSet)>, Failure> {
        let mut all = Vec::new();
        for path in files.iter().filter(|path| path.ends_with("catalog.toml")) {
            let Some(resolved) = self.shelf.resolve(path)? else {
                continue;
            };
            let input = Input {
                path: shown(path),
                bytes: self.shelf.bytes(&resolved, &shown(path))?,
                alone: false,
                borrowed: false,
            };
            let own = engine::settings(&input).map(|(settings, _)| settings.exclude);
            // What is no glob names nothing.
            let globs = own.iter().flatten().filter_map(|text| Glob::new(text).ok());
            let mut set = GlobSetBuilder::new();
            for glob in globs {
                set.add(glob);
            }
            let set = set.build().unwrap_or_default();
            if !set.is_empty() {
                all.push((path.clone(), set));
            }
        }
        Ok(all)
    }

    fn folder(&mut self, folder: &Path, borrowed: bool) -> Result<(), Failure> {
        let files = self.shelf.list(folder, &mut self.state.left_out)?;
        let unread = match borrowed {
            true => Vec::new(),
            false => self.left_unread(&files)?,
        };
        let names = |(own, globs): &(PathBuf, GlobSet), path: &Path| {
            let folder = own.parent().unwrap_or(Path::new(""));
            let below = path.strip_prefix(folder);
            own != path && below.is_ok_and(|below| globs.is_match(below))
        };
        for path in files {
            let below = path.strip_prefix(folder).unwrap_or(&path);
            if !is_read(&path, borrowed) {
                continue;
            }
            if self.exclude.is_match(below) {
                self.leave(&path, "--exclude names it");
                continue;
            }
            if unread.iter().any(|one| names(one, &path)) {
                self.leave(&path, "`exclude` under `[audit]` names it");
                continue;
            }
            self.file(
                &path,
                As {
                    borrowed,
                    ..As::default()
                },
            )?;
        }
        Ok(())
    }

    fn leave(&mut self, path: &Path, why: &'static str) {
        self.state.left_out.push(LeftOut {
            path: shown(path),
            why,
        });
    }

    fn file(&mut self, path: &Path, what: As) -> Result<(), Failure> {
        let shown = shown(path);
        let Some(resolved) = self.shelf.resolve(path)? else {
            if what.alone && self.shelf.may_lack() {
                return Ok(());
            }
            if what.alone {
                return Err(Failure::Unreadable {
                    path: shown,
                    why: "there is no such file, or it isn't a regular file".into(),
                });
            }
            self.leave(path, "a link that leads nowhere, or not a regular file");
            return Ok(());
        };
        if self.seen.contains(&resolved) {
            return Ok(());
        }
        // Parts are borrowed from wherever a catalog says; everything else lies below what was named.
        let is_inside = self.roots.iter().any(|root| resolved.starts_with(root));
        if !what.alone && !what.borrowed && !is_inside {
            self.leave(path, "it lies outside what was named");
            return Ok(());
        }
        let bytes = self.shelf.bytes(&resolved, &shown)?;
        if !what.named && engine::is_own_report(&shown, &bytes) {
            self.leave(path, "a report of this program");
            return Ok(());
        }
        self.seen.insert(resolved);
        self.state.inputs.push(Input {
            path: shown,
            bytes,
            alone: what.alone,
            borrowed: what.borrowed,
        });
        Ok(())
    }
}

/// What the catalogs among the inputs say under `[audit]`. Other files of a folder with a `catalog.toml` say nothing,
/// and those whose parts are borrowed are another run's.
fn settings(inputs: &[Input]) -> Vec<Said> {
    let own = inputs.iter().filter(|input| !input.borrowed);
    let is_head = |input: &Input| base(&input.path) == "catalog.toml";
    let folder = |input: &Input| PathBuf::from(&input.path).parent().map(Path::to_path_buf);
    let heads = own.clone().filter(|input| is_head(input));
    let folders: Vec<PathBuf> = heads.filter_map(folder).collect();
    let is_part = |input: &Input| {
        let mut folders = folders.iter();
        !input.alone && folders.any(|folder| Path::new(&input.path).starts_with(folder))
    };
    own.filter_map(|input| {
        let (settings, has_head) = engine::settings(input)?;
        let counts = is_head(input) || has_head && !is_part(input);
        counts.then(|| Said {
            path: input.path.clone(),
            settings,
        })
    })
    .collect()
}

/// The path of a file with all links followed, whether it is there or not.
pub(super) fn place(path: &Path) -> PathBuf {
    match (path.canonicalize(), path.file_name()) {
        (Ok(path), _) => path,
        (Err(_), Some(name)) => absolute(path.parent().unwrap_or(Path::new(""))).join(name),
        (Err(_), None) => absolute(path),
    }
}

/// A path from the root, links followed as far as it is there.
pub(super) fn absolute(path: &Path) -> PathBuf {
    let path = if path.as_os_str().is_empty() {
        Path::new(".")
    } else {
        path
    };
    if let Ok(place) = path.canonicalize() {
        return place;
    }
    let here = std::env::current_dir().unwrap_or_default();
    let here = here.canonicalize().unwrap_or(here);
    let mut place = PathBuf::new();
    for part in here.join(path).components() {
        match part {
            Component::CurDir => {}
            Component::ParentDir => {
                place.pop();
            }
            other => place.push(other),
        }
    }
    place
}

/// The text of a file that isn't a catalog's, such as an earlier report.
///
/// # Errors
/// It can't be read, or is larger than any report.
pub fn text(path: &Path) -> Result<String, Failure> {
    let bytes = regular(path, &shown(path))?;
    String::from_utf8(bytes).map_err(|_| Failure::Unreadable {
        path: shown(path),
        why: "it isn't UTF-8".into(),
    })
}

/// The bytes of a regular file, as many as any catalog or report has.
///
/// # Errors
/// It is no regular file, larger, or can't be read.
pub(super) fn regular(path: &Path, shown: &str) -> Result<Vec<u8>, Failure> {
    let failure = |why: String| Failure::Unreadable {
        path: shown.to_string(),
        why,
    };
    let io = |error: std::io::Error| failure(refusal(&error));
    // Looked at before it is opened, as opening a pipe waits for somebody to write.
    if !std::fs::metadata(path).map_err(io)?.is_file() {
        return Err(failure("it isn't a regular file".into()));
    }
    let mut bytes = Vec::new();
    let file = std::fs::File::open(path).map_err(io)?;
    file.take(most() + 1).read_to_end(&mut bytes).map_err(io)?;
    if bytes.len() as u64 > most() {
        return Err(failure(too_large()));
    }
    Ok(bytes)
}

const MIB: u64 = 1024 * 1024;

/// The largest file that is read unless another is asked for, MiB: a hundred times any catalog's or sheet's.
pub(super) const USUAL: u16 = 16;

/// The largest that may be asked for, MiB.
pub(super) const GREATEST: i64 = Source::MAX_BYTES.cast_signed() / MIB.cast_signed();

static MOST: OnceLock<u64> = OnceLock::new();

/// Lets no file be read that has more MiB than this.
pub(super) fn limit(most: u16) {
    // It is said once, before anything is read.
    let _ = MOST.set(u64::from(most) * MIB);
}

/// The largest file that is read, bytes.
pub(super) fn most() -> u64 {
    MOST.get().copied().unwrap_or(u64::from(USUAL) * MIB)
}

pub(super) fn too_large() -> String {
    format!(
        "it is larger than {} MiB; --max-size lets a larger one be read",
        most() / MIB
    )
}

pub(super) fn base(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, base)| base)
}

/// Whether a file in a folder is read: a catalog's, or a spec sheet where it isn't only parts that are borrowed.
pub(super) fn is_read(path: &Path, borrowed: bool) -> bool {
    path.extension().is_some_and(|ext| ext == "toml")
        || (!borrowed && engine::is_sheet(&path.to_string_lossy()))
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
