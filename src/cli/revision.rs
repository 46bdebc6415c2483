//! The files of a run as they were at a revision, through the program `git`.
//!
//! Only reading commands are called, without a shell, and nothing is fetched. What a variable of the
//! environment says of another repository, as it does within a hook, doesn't count: the repository is the one
//! that a path lies in.

use std::collections::{BTreeMap, BTreeSet, HashSet};
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::process::{Command, Stdio};

use super::Failure;
use super::files::{Ignores, base, shown};
use crate::engine::{self, Input};
use crate::text::Source;

/// Files as git has them.
pub struct State {
    /// The texts, called as they would be called now.
    pub inputs: Vec<Input>,
    /// Those of the documents and spec sheets they name that are there.
    pub documents: BTreeSet<String>,
}

/// The files that `paths` named or held at `revision`.
///
/// # Errors
/// `git` can't be run, a path lies in no repository, or the repository doesn't know the revision.
pub fn state(paths: &[PathBuf], revision: &str) -> Result<State, Failure> {
    let mut trees: BTreeMap<PathBuf, Tree> = BTreeMap::new();
    let mut before = Before::default();
    for path in paths {
        let place = absolute(path);
        let folder = if place.is_dir() {
            place.clone()
        } else {
            place
                .parent()
                .map_or_else(|| place.clone(), Path::to_path_buf)
        };
        let top = top(&folder, path)?;
        if !trees.contains_key(&top) {
            trees.insert(top.clone(), Tree::at(&top, revision)?);
        }
        if let Some(tree) = trees.get(&top) {
            before.take(tree, path, &place, !place.is_dir(), false);
        }
    }
    // Parts that a catalog borrowed lay perhaps outside the paths.
    let mut asked = HashSet::new();
    let mut next = 0;
    while next < before.inputs.len() {
        let input = &before.inputs[next];
        next += 1;
        if base(&input.path) != "catalog.toml" && !input.alone {
            continue;
        }
        for folder in engine::borrows(input) {
            let path = PathBuf::from(&folder);
            let place = absolute(&path);
            let tree = trees.values().find(|tree| place.starts_with(&tree.top));
            if let Some(tree) = tree.filter(|_| asked.insert(folder)) {
                before.take(tree, &path, &place, false, true);
            }
        }
    }
    let named = before.inputs.iter().flat_map(super::files::named_files);
    let is_there = |path: &String| {
        let place = absolute(Path::new(path));
        trees.values().any(|tree| {
            let inside = place.strip_prefix(&tree.top).ok();
            inside.is_some_and(|inside| tree.names.contains(&*inside.to_string_lossy()))
        })
    };
    Ok(State {
        documents: named.filter(is_there).collect(),
        inputs: before.inputs,
    })
}

/// A path from the root, links followed as far as it is there.
fn absolute(path: &Path) -> PathBuf {
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

/// `git` in a folder.
fn git(folder: &Path) -> Command {
    let mut git = Command::new("git");
    git.arg("-C").arg(folder);
    for name in [
        "GIT_DIR",
        "GIT_WORK_TREE",
        "GIT_INDEX_FILE",
        "GIT_COMMON_DIR",
        "GIT_PREFIX",
    ] {
        git.env_remove(name);
    }
    git.env("GIT_OPTIONAL_LOCKS", "0")
        .env("GIT_NO_LAZY_FETCH", "1")
        .env("LC_ALL", "C")
        .stdin(Stdio::null());
    git
}

/// What a call of `git` wrote; nothing where it refused.
fn ask(mut git: Command) -> Result<Option<Vec<u8>>, Failure> {
    let output = git.output().map_err(|error| cannot_run(&error))?;
    Ok(output.status.success().then_some(output.stdout))
}

fn cannot_run(error: &std::io::Error) -> Failure {
    Failure::Revision(format!(
        "`git` can't be run, which is asked about revisions: {}",
        super::refusal(error)
    ))
}

/// The top folder of the repository that `folder` lies in.
fn top(folder: &Path, path: &Path) -> Result<PathBuf, Failure> {
    let mut call = git(folder);
    call.args(["rev-parse", "--show-toplevel"]);
    let top = ask(call)?.and_then(|text| String::from_utf8(text).ok());
    let top = top.map(|top| PathBuf::from(top.trim_end_matches(['\n', '\r'])));
    top.filter(|top| top.is_dir())
        .map(|top| top.canonicalize().unwrap_or(top))
        .ok_or_else(|| {
            Failure::Revision(format!(
                "{} lies in no git repository, so it has no revisions",
                path.display()
            ))
        })
}

/// The files of a repository at a revision.
struct Tree {
    top: PathBuf,
    /// All of them, by the path from the top.
    names: BTreeSet<String>,
    /// The texts of those that are read.
    files: BTreeMap<String, Vec<u8>>,
}

impl Tree {
    fn at(top: &Path, revision: &str) -> Result<Tree, Failure> {
        let unknown = || {
            Failure::Revision(format!(
                "the repository at {} knows no revision `{revision}`",
                top.display()
            ))
        };
        // Such a word would be taken for an option.
        if revision.is_empty() || revision.starts_with('-') {
            return Err(unknown());
        }
        let mut call = git(top);
        call.args(["rev-parse", "--verify", "--quiet"])
            .arg(format!("{revision}^{{commit}}"));
        let commit = ask(call)?.and_then(|text| String::from_utf8(text).ok());
        let commit = commit.ok_or_else(unknown)?;
        let mut call = git(top);
        call.args(["ls-tree", "-r", "-z", "--full-tree", commit.trim()]);
        let list = ask(call)?.ok_or_else(unknown)?;
        let list = String::from_utf8_lossy(&list);
        // `MODE TYPE ID\tPATH`; a link's mode is another than a file's.
        let names = list.split('\0').filter_map(|line| line.split_once('\t'));
        let names = names.map(|(_, path)| path.to_string()).collect();
        let wanted = list.split('\0').filter_map(|line| {
            let (head, path) = line.split_once('\t')?;
            let id = head.strip_prefix("100")?.split(' ').nth(2)?;
            let is_wanted = is_read(path) || [".gitignore", ".ignore"].contains(&base(path));
            is_wanted.then(|| (path.to_string(), id.to_string()))
        });
        let files = read(top, wanted.collect()).map_err(|error| cannot_run(&error))?;
        Ok(Tree {
            top: top.to_path_buf(),
            names,
            files,
        })
    }
}

/// Whether a file is a catalog's or a spec sheet by its name.
fn is_read(path: &str) -> bool {
    path.ends_with(".toml") || engine::is_sheet(path)
}

/// The texts of `wanted`, each a path and the number of its text. One that isn't there, or is larger than any
/// catalog's, is left out, so that what stands in its place now counts as new.
fn read(top: &Path, wanted: Vec<(String, String)>) -> std::io::Result<BTreeMap<String, Vec<u8>>> {
    let mut call = git(top);
    call.args(["cat-file", "--batch"])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::null());
    let mut child = call.spawn()?;
    let mut files = BTreeMap::new();
    if let (Some(mut asks), Some(answers)) = (child.stdin.take(), child.stdout.take()) {
        let mut answers = BufReader::new(answers);
        // Asked one at a time, so that neither side waits for the other to empty its pipe.
        for (path, id) in wanted {
            writeln!(asks, "{id}")?;
            asks.flush()?;
            let mut head = String::new();
            answers.read_line(&mut head)?;
            // `ID TYPE SIZE`, else `ID missing`.
            let size = head.trim_end().split(' ').nth(2);
            let Some(size) = size.and_then(|size| size.parse::<u64>().ok()) else {
                continue;
            };
            let mut bytes = Vec::new();
            if size > Source::MAX_BYTES {
                std::io::copy(&mut answers.by_ref().take(size), &mut std::io::sink())?;
            } else {
                answers.by_ref().take(size).read_to_end(&mut bytes)?;
                files.insert(path, bytes);
            }
            let mut end = [0];
            answers.read_exact(&mut end)?;
        }
    }
    child.wait()?;
    Ok(files)
}

#[derive(Default)]
struct Before {
    inputs: Vec<Input>,
    seen: HashSet<(PathBuf, String)>,
}

impl Before {
    /// Takes the files of `tree` at `place`, which is called `path` now, by the rules that hold for a folder.
    fn take(&mut self, tree: &Tree, path: &Path, place: &Path, alone: bool, borrowed: bool) {
        let Ok(inside) = place.strip_prefix(&tree.top) else {
            return;
        };
        let inside: Vec<_> = inside.iter().map(|part| part.to_string_lossy()).collect();
        let root = inside.join("/");
        if alone {
            self.put(tree, &root, shown(path), true, borrowed);
            return;
        }
        let mut ignores = Ignores::default();
        let mut entered = HashSet::new();
        for name in tree.files.keys() {
            let rest = match root.as_str() {
                "" => name.as_str(),
                root => match name
                    .strip_prefix(root)
                    .and_then(|rest| rest.strip_prefix('/'))
                {
                    Some(rest) => rest,
                    None => continue,
                },
            };
            let parts: Vec<&str> = rest.split('/').collect();
            let mut at = path.to_path_buf();
            let mut is_left_out = false;
            for (depth, part) in parts.iter().enumerate() {
                if entered.insert(at.clone()) {
                    let folder = &name[..name.len() - rest.len()];
                    let folder = format!("{folder}{}", parts[..depth].join("/"));
                    ignores.enter_with(&at, |file| {
                        let folder = folder.trim_end_matches('/');
                        let file = if folder.is_empty() {
                            file.to_string()
                        } else {
                            format!("{folder}/{file}")
                        };
                        let bytes = tree.files.get(&file)?;
                        Some(String::from_utf8_lossy(bytes).into_owned())
                    });
                }
                at.push(part);
                let is_folder = depth + 1 < parts.len();
                if part.starts_with('.') || ignores.leave_out(&at, is_folder) {
                    is_left_out = true;
                    break;
                }
            }
            if !is_left_out && is_read(name) {
                self.put(tree, name, shown(&at), false, borrowed);
            }
        }
    }

    fn put(&mut self, tree: &Tree, name: &str, path: String, alone: bool, borrowed: bool) {
        let Some(bytes) = tree.files.get(name) else {
            return;
        };
        if self.seen.insert((tree.top.clone(), name.to_string())) {
            self.inputs.push(Input {
                path,
                bytes: bytes.clone(),
                alone,
                borrowed,
            });
        }
    }
}
